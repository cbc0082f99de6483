//! Heat conduction in a jar of food with its glass, through a row of phases.
//!
//! Food stands on a glass base inside a glass side; films act on the glass's outside and on the
//! food's top, the rim is insulated. Conduction only: a food that circulates in its jar heats
//! faster than this, so the result is for foods that a spoon would stand in.
//!
//! Driven by the plan, 129 times a plan. Read next: `mesh.rs` for the cells.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::films::still_air_w_m2k;
use crate::mesh::Mesh;
use crate::probe::Probe;

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
    /// For plans that run many times: the centre within 0.15 K of [`Grid::fine`].
    #[must_use]
    pub const fn plan() -> Self {
        Self {
            radial: 10,
            axial: 13,
            wall: 1,
            base: 1,
            step_s: 25.0,
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

/// Steps a run may take: a day in fine steps with room to spare.
const MOST_STEPS: usize = 400_000;
/// First steps after a jump of the surroundings are damped: the alternating method itself keeps
/// a jump's sharpest part alive.
const DAMPED_STEPS: usize = 2;
/// The first step after a jump is this part of [`Grid::step_s`].
const FIRST_STEP_PART: f64 = 1.0 / 16.0;
/// Steps grow with the time since the last jump: by this part of it while short ...
const GROWTH_SHORT: f64 = 0.15;
/// ... and beyond [`Grid::step_s`] by this part, for the slow end of cooling.
const GROWTH_LONG: f64 = 1.0 / 60.0;

/// Temperatures of a jar through phases: warming on the bench, come-up, hold, cooling.
///
/// ```text
/// rho c dT/dt = (1/r) d/dr(r k dT/dr) + d/dz(k dT/dz)
/// -k dT/dn = h (T - T_around)      on the glass's outside and on the food's top
/// ```
///
/// * `body`: radius 5 to 150 mm, food height 5 to 400 mm, glass 0.1 to 40 mm
/// * `contents`: conductivity 0.05 to 5 W/(m K), density 100 to 3000 kg/m³, heat capacity 500 to
///   6000 J/(kg K), constant
/// * `food_start_c`, `glass_start_c`: uniform at the start, -60 to 200 °C
/// * `phases`: at least one; films 0 to 100 000 W/(m² K); temperatures -60 to 200 °C
/// * `grid`: [`Grid::plan`] or [`Grid::fine`], or 3 to 200 food cells and 1 to 40 glass cells a way
///
/// Second order in space and time, conservative: [`History::energy_error`] is rounding only.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, [`HeatError::BadShape`] without phases,
/// [`HeatError::TooManySteps`] when the phases are longer than the grid's step can cover.
///
/// # Source
/// `peaceman_rachford_1955` for the alternating directions; `carslaw_jaeger_1959` for the equation.
pub fn run(
    body: &JarBody,
    contents: &Contents,
    food_start_c: f64,
    glass_start_c: f64,
    phases: &[Phase],
    grid: &Grid,
) -> Result<History, HeatError> {
    check(body, contents, food_start_c, glass_start_c, phases, grid)?;
    let mut mesh = Mesh::new(body, contents, grid);
    let mut t: Vec<f64> = (0..mesh.rows * mesh.columns)
        .map(|at| {
            let food = at / mesh.columns >= mesh.base_rows && at % mesh.columns < mesh.food_columns;
            if food { food_start_c } else { glass_start_c }
        })
        .collect();
    let probe = Probe::new(&mesh);
    let outside_height_m = body.food_height_m + body.base_m;
    let start_j = mesh.heat_j(&t);
    let (mut let_in_j, mut exchanged_j) = (0.0, 0.0);
    let mut history = History::default();
    let (mut now_s, mut steps) = (0.0, 0usize);
    let mut since_jump_s = 0.0;
    let mut before: Option<&Phase> = None;
    let mut wall = WallTrend {
        c: glass_start_c,
        slope: 0.0,
    };
    if let Some(first) = phases.first() {
        probe.read(
            &mesh,
            &t,
            0.0,
            first.top_w_m2k,
            first.ambient_start_c,
            glass_start_c,
            &mut history,
        );
    }
    for phase in phases {
        let jump = before.is_none_or(|b| {
            (b.ambient_end_c - phase.ambient_start_c).abs() > 0.01
                || b.side != phase.side
                || (b.top_w_m2k - phase.top_w_m2k).abs() > 0.0
        });
        if jump {
            since_jump_s = 0.0;
            wall.slope = 0.0;
        }
        let mut damped = if jump { DAMPED_STEPS } else { 0 };
        let slope = (phase.ambient_end_c - phase.ambient_start_c) / phase.duration_s;
        let mut elapsed_s = 0.0;
        while elapsed_s < phase.duration_s {
            if steps == MOST_STEPS {
                return Err(HeatError::TooManySteps {
                    solver: "jar conduction",
                    time_s: now_s,
                    steps,
                });
            }
            let step_s = step(since_jump_s, phase.duration_s - elapsed_s, grid.step_s);
            let around = [0.0, 0.5, 1.0].map(|part| phase.ambient_start_c + slope * (elapsed_s + part * step_s));
            let side_w_m2k = match phase.side {
                Film::Fixed(h) => h,
                Film::StillAir { emissivity } => {
                    let middle_c = wall.c + 0.5 * step_s * wall.slope;
                    still_air_w_m2k(middle_c, around[1], outside_height_m, emissivity)?
                }
            };
            let films = mesh.films(side_w_m2k, phase.top_w_m2k);
            let joules = if damped > 0 {
                damped -= 1;
                mesh.damped_step(&mut t, step_s, films, around[2])
            } else {
                mesh.step(&mut t, step_s, films, around)
            };
            let_in_j += joules;
            exchanged_j += joules.abs();
            steps += 1;
            elapsed_s += step_s;
            if phase.duration_s - elapsed_s < 1e-9 * phase.duration_s {
                elapsed_s = phase.duration_s;
            }
            since_jump_s += step_s;
            let wall_c = probe.wall_c(&mesh, &t, side_w_m2k, around[2]);
            wall = WallTrend {
                c: wall_c,
                slope: (wall_c - wall.c) / step_s,
            };
            probe.read(
                &mesh,
                &t,
                now_s + elapsed_s,
                phase.top_w_m2k,
                around[2],
                wall_c,
                &mut history,
            );
        }
        now_s += phase.duration_s;
        before = Some(phase);
        history.phase_ends.push(history.times_s.len() - 1);
    }
    let gained_j = mesh.heat_j(&t) - start_j;
    history.energy_error = (gained_j - let_in_j).abs() / exchanged_j.max(f64::MIN_POSITIVE);
    Ok(history)
}

/// Where the outside of the glass is and how it moves.
struct WallTrend {
    c: f64,
    slope: f64,
}

/// The next step [s].
fn step(since_jump_s: f64, left_s: f64, base_s: f64) -> f64 {
    let wanted = (since_jump_s * GROWTH_SHORT).clamp(base_s * FIRST_STEP_PART, base_s);
    let wanted = wanted.max(since_jump_s * GROWTH_LONG);
    if left_s <= wanted {
        left_s
    } else if left_s < 2.0 * wanted {
        0.5 * left_s
    } else {
        wanted
    }
}

fn check(
    body: &JarBody,
    contents: &Contents,
    food_start_c: f64,
    glass_start_c: f64,
    phases: &[Phase],
    grid: &Grid,
) -> Result<(), HeatError> {
    let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, JAR_CONDUCTION.key);
    range("inner radius of the jar", body.inner_radius_m, 0.005, 0.15, "m")?;
    range("height of the food", body.food_height_m, 0.005, 0.4, "m")?;
    range("thickness of the side", body.wall_m, 1e-4, 0.04, "m")?;
    range("thickness of the base", body.base_m, 1e-4, 0.04, "m")?;
    for (k, density, heat) in [
        (body.glass_k_w_mk, body.glass_density_kg_m3, body.glass_cp_j_kgk),
        (
            contents.conductivity_w_mk,
            contents.density_kg_m3,
            contents.heat_capacity_j_kgk,
        ),
    ] {
        range("conductivity", k, 0.05, 5.0, "W/(m K)")?;
        range("density", density, 100.0, 3000.0, "kg/m3")?;
        range("heat capacity", heat, 500.0, 6000.0, "J/(kg K)")?;
    }
    for temperature in [food_start_c, glass_start_c] {
        range("temperature at the start", temperature, -60.0, 200.0, "°C")?;
    }
    for cells in [grid.radial, grid.axial] {
        range("food cells", cells as f64, 3.0, 200.0, "1")?;
    }
    for cells in [grid.wall, grid.base] {
        range("glass cells", cells as f64, 1.0, 40.0, "1")?;
    }
    range("time step", grid.step_s, 0.01, 600.0, "s")?;
    if phases.is_empty() {
        return Err(HeatError::BadShape {
            what: "phases",
            got: 0,
            needed: 1,
        });
    }
    for phase in phases {
        range("duration of a phase", phase.duration_s, 1e-3, 3.0e6, "s")?;
        range("temperature around", phase.ambient_start_c, -60.0, 200.0, "°C")?;
        range("temperature around", phase.ambient_end_c, -60.0, 200.0, "°C")?;
        range("film on the top", phase.top_w_m2k, 0.0, 1e5, "W/(m2 K)")?;
        match phase.side {
            Film::Fixed(h) => range("film on the side", h, 0.0, 1e5, "W/(m2 K)")?,
            Film::StillAir { emissivity } => range("emissivity", emissivity, 0.0, 1.0, "1")?,
        };
    }
    Ok(())
}
