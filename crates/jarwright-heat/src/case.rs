//! A jar, its food and what it goes through; and what comes of it. Two solvers read the same
//! case and give the same kind of answer; they share nothing else.
//!
//! Read next: `jar.rs` (cells) and `modes.rs` (eigenfunctions).

use jarwright_figure::OutOfRange;

use crate::HeatError;

/// The jar and how far it is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JarBody {
    /// Inner radius [m].
    pub inner_radius_m: f64,
    /// Height of the food [m].
    pub food_height_m: f64,
    /// Thickness of the side [m]; 0 where the films act on the food itself.
    pub wall_m: f64,
    /// Thickness of the base [m]; 0 where the film acts on the food itself.
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

impl Contents {
    /// Diffusivity [m²/s].
    #[must_use]
    pub fn diffusivity_m2_s(&self) -> f64 {
        self.conductivity_w_mk / (self.density_kg_m3 * self.heat_capacity_j_kgk)
    }
}

/// What is around the glass's side and base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Film {
    /// One coefficient that does not change [W/(m² K)].
    Fixed(f64),
    /// A coefficient for the side and one for the base, neither of which changes.
    Apart {
        /// On the side [W/(m² K)].
        side_w_m2k: f64,
        /// On the base [W/(m² K)].
        base_w_m2k: f64,
    },
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

impl Phase {
    /// How fast the surroundings warm [K/s].
    #[must_use]
    pub fn slope_k_s(&self) -> f64 {
        (self.ambient_end_c - self.ambient_start_c) / self.duration_s
    }
}

/// One jar through one row of phases.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The jar.
    pub body: JarBody,
    /// Its food.
    pub contents: Contents,
    /// The food's temperature at the start, everywhere [°C].
    pub food_start_c: f64,
    /// The glass's temperature at the start, everywhere [°C].
    pub glass_start_c: f64,
    /// What it goes through, in order.
    pub phases: Vec<Phase>,
}

/// What a jar went through.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answer {
    /// Times from the start [s], rising.
    pub times_s: Vec<f64>,
    /// Temperature on the axis at half the food's height [°C].
    pub centre_c: Vec<f64>,
    /// Lowest temperature on the food's axis, its ends included [°C].
    pub coldest_c: Vec<f64>,
    /// Highest temperature on the food's axis, its ends included [°C].
    pub warmest_c: Vec<f64>,
    /// Mean temperature of the food by volume [°C].
    pub mean_c: Vec<f64>,
    /// Index of each phase's last time.
    pub phase_ends: Vec<usize>,
    /// Share of the heat exchanged that the solver lost [-].
    pub energy_error: f64,
}

impl Answer {
    /// The first reading: the food as it is filled, everywhere alike.
    pub(crate) fn begin(&mut self, food_c: f64) {
        self.times_s.push(0.0);
        for list in [
            &mut self.centre_c,
            &mut self.coldest_c,
            &mut self.warmest_c,
            &mut self.mean_c,
        ] {
            list.push(food_c);
        }
    }
}

/// Ranges of a case: least, greatest.
pub mod range {
    /// Inner radius [m].
    pub const RADIUS_M: (f64, f64) = (0.005, 0.15);
    /// Height of the food [m].
    pub const HEIGHT_M: (f64, f64) = (0.005, 0.4);
    /// Thickness of glass where there is any [m].
    pub const GLASS_M: (f64, f64) = (1e-4, 0.04);
    /// Conductivity [W/(m K)].
    pub const CONDUCTIVITY_W_MK: (f64, f64) = (0.05, 5.0);
    /// Density [kg/m³].
    pub const DENSITY_KG_M3: (f64, f64) = (100.0, 3000.0);
    /// Heat capacity [J/(kg K)].
    pub const HEAT_CAPACITY_J_KGK: (f64, f64) = (500.0, 6000.0);
    /// Any temperature [°C].
    pub const TEMPERATURE_C: (f64, f64) = (-60.0, 200.0);
    /// Any film [W/(m² K)]; the highest hold a face at its surroundings' temperature.
    pub const FILM_W_M2K: (f64, f64) = (0.0, 1e9);
    /// How long a phase takes [s]: up to five weeks.
    pub const DURATION_S: (f64, f64) = (1e-3, 3.0e6);
}

impl Case {
    /// Nothing outside the ranges of [`range`], and at least one phase.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] with `source` as its key, [`HeatError::BadShape`] without phases.
    pub fn check(&self, source: &'static str) -> Result<(), HeatError> {
        let check = |what, got, (min, max): (f64, f64), unit| OutOfRange::check(what, got, min, max, unit, source);
        let body = &self.body;
        check("inner radius of the jar", body.inner_radius_m, range::RADIUS_M, "m")?;
        check("height of the food", body.food_height_m, range::HEIGHT_M, "m")?;
        for (what, thick_m) in [
            ("thickness of the side", body.wall_m),
            ("thickness of the base", body.base_m),
        ] {
            if thick_m != 0.0 {
                check(what, thick_m, range::GLASS_M, "m")?;
            }
        }
        let food = &self.contents;
        for (k, density, heat) in [
            (body.glass_k_w_mk, body.glass_density_kg_m3, body.glass_cp_j_kgk),
            (food.conductivity_w_mk, food.density_kg_m3, food.heat_capacity_j_kgk),
        ] {
            check("conductivity", k, range::CONDUCTIVITY_W_MK, "W/(m K)")?;
            check("density", density, range::DENSITY_KG_M3, "kg/m3")?;
            check("heat capacity", heat, range::HEAT_CAPACITY_J_KGK, "J/(kg K)")?;
        }
        for temperature in [self.food_start_c, self.glass_start_c] {
            check("temperature at the start", temperature, range::TEMPERATURE_C, "°C")?;
        }
        if self.phases.is_empty() {
            return Err(HeatError::BadShape {
                what: "phases",
                got: 0,
                needed: 1,
            });
        }
        for phase in &self.phases {
            check("duration of a phase", phase.duration_s, range::DURATION_S, "s")?;
            check("temperature around", phase.ambient_start_c, range::TEMPERATURE_C, "°C")?;
            check("temperature around", phase.ambient_end_c, range::TEMPERATURE_C, "°C")?;
            check("film on the top", phase.top_w_m2k, range::FILM_W_M2K, "W/(m2 K)")?;
            match phase.side {
                Film::Fixed(h) => {
                    check("film on the side", h, range::FILM_W_M2K, "W/(m2 K)")?;
                }
                Film::Apart { side_w_m2k, base_w_m2k } => {
                    check("film on the side", side_w_m2k, range::FILM_W_M2K, "W/(m2 K)")?;
                    check("film on the base", base_w_m2k, range::FILM_W_M2K, "W/(m2 K)")?;
                }
                Film::StillAir { emissivity } => {
                    check("emissivity", emissivity, (0.0, 1.0), "1")?;
                }
            }
        }
        Ok(())
    }

    /// How long all phases take together [s].
    #[must_use]
    pub fn duration_s(&self) -> f64 {
        self.phases.iter().map(|phase| phase.duration_s).sum()
    }
}
