//! Heat conduction in a jar of food with its glass, through a row of phases.
//!
//! Food stands on a glass base inside a glass side; films act on the glass's outside and on the
//! food's top, the rim is insulated. Conduction only: a food that circulates in its jar heats
//! faster than this, so the result is for foods that a spoon would stand in.
//!
//! Driven by the plan, 129 times a plan. Read next: `mesh.rs` for the cells.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
pub use crate::case::{Answer, Case, Contents, Film, JarBody, Phase};
use crate::films::still_air_w_m2k;
use crate::mesh::{Mesh, Outside};
use crate::probe::Probe;

/// Registry entry of [`run`].
pub static JAR_CONDUCTION: Equation = Equation {
    key: "jar-conduction",
    title: "Conduction in a round jar with its glass",
    text: "rho c dT/dt = (1/r) d/dr(r k dT/dr) + d/dz(k dT/dz);  -k dT/dn = h (T - T_around) outside; \
           finite volumes, alternating directions",
    source: "peaceman_rachford_1955",
};

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

    /// For one jar asked about by itself: the centre within 0.02 K of exact series for a step of
    /// 30 K, whatever the jar's size.
    #[must_use]
    pub fn usual(case: &Case) -> Self {
        let near_m = case.body.inner_radius_m.min(0.5 * case.body.food_height_m);
        let step_s = STEP_FO * near_m * near_m / case.contents.diffusivity_m2_s();
        Self {
            radial: 24,
            axial: 48,
            wall: 3,
            base: 3,
            step_s: step_s.clamp(STEP_S.0, STEP_S.1),
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

/// Least and greatest of [`Grid::step_s`] [s].
const STEP_S: (f64, f64) = (0.01, 600.0);
/// [`Grid::step_s`] of [`Grid::usual`] as a Fourier number on the way to the middle.
const STEP_FO: f64 = 0.0024;

impl Grid {
    pub(crate) fn check(&self) -> Result<(), HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, JAR_CONDUCTION.key);
        for cells in [self.radial, self.axial] {
            range("food cells", cells as f64, 3.0, 200.0, "1")?;
        }
        for cells in [self.wall, self.base] {
            range("glass cells", cells as f64, 1.0, 40.0, "1")?;
        }
        range("time step", self.step_s, STEP_S.0, STEP_S.1, "s")?;
        Ok(())
    }
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
/// * `case`: within [`crate::case::range`]; properties do not change with temperature
/// * `grid`: [`Grid::usual`], [`Grid::plan`] or [`Grid::fine`], or 3 to 200 food cells and 1 to 40 glass cells a way
///
/// Readings at every step. Second order in space and time, conservative:
/// [`Answer::energy_error`] is rounding only.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, [`HeatError::BadShape`] without phases,
/// [`HeatError::TooManySteps`] when the phases are longer than the grid's step can cover.
///
/// # Source
/// `peaceman_rachford_1955` for the alternating directions; `carslaw_jaeger_1959` for the equation.
pub fn solve(case: &Case, grid: &Grid) -> Result<Answer, HeatError> {
    march(case, grid, None)
}

/// One moment of a jar on its cells.
#[derive(Debug, Clone, Copy)]
pub struct Moment<'a> {
    /// Time from the start [s].
    pub time_s: f64,
    /// Which phase, from 0.
    pub phase: usize,
    /// Mean temperature of the outer face, side and base [°C].
    pub wall_c: f64,
    mesh: &'a Mesh,
    cells_c: &'a [f64],
}

impl Moment<'_> {
    /// Radii of the food's cells, the axis first [m].
    #[must_use]
    pub fn radii_m(&self) -> &[f64] {
        &self.mesh.radius_m[..self.mesh.food_columns]
    }

    /// Share of each of the food's columns in its volume [-].
    pub fn shares(&self) -> impl Iterator<Item = f64> + '_ {
        let rings = &self.mesh.ring_m2[..self.mesh.food_columns];
        let all: f64 = rings.iter().sum();
        rings.iter().map(move |ring| ring / all)
    }

    /// Rows of the food's cells, equally high, the lowest first; in a row the axis first [°C].
    pub fn rows_c(&self) -> impl Iterator<Item = &[f64]> {
        let (columns, food) = (self.mesh.columns, self.mesh.food_columns);
        let rows = self.cells_c[self.mesh.base_rows * columns..].chunks_exact(columns);
        rows.map(move |row| &row[..food])
    }
}

/// [`solve`], with a look at the cells at the start and after every step.
///
/// * `watch`: is shown each moment in turn
///
/// # Errors
/// As [`solve`].
///
/// # Source
/// As [`solve`].
pub fn solve_watched(case: &Case, grid: &Grid, watch: &mut dyn FnMut(&Moment<'_>)) -> Result<Answer, HeatError> {
    march(case, grid, Some(watch))
}

/// Who looks at every step.
type Watch<'w> = &'w mut dyn FnMut(&Moment<'_>);

fn march(case: &Case, grid: &Grid, mut watch: Option<Watch<'_>>) -> Result<Answer, HeatError> {
    case.check(JAR_CONDUCTION.key)?;
    grid.check()?;
    let mut mesh = Mesh::new(&case.body, &case.contents, grid);
    let mut t: Vec<f64> = (0..mesh.rows * mesh.columns)
        .map(|at| {
            let food = at / mesh.columns >= mesh.base_rows && at % mesh.columns < mesh.food_columns;
            if food { case.food_start_c } else { case.glass_start_c }
        })
        .collect();
    let mut probe = Probe::new(&mesh);
    let outside_height_m = case.body.food_height_m + case.body.base_m;
    let start_j = mesh.heat_j(&t);
    let (mut let_in_j, mut exchanged_j) = (0.0, 0.0);
    let mut answer = Answer::default();
    let (mut now_s, mut steps) = (0.0, 0usize);
    let mut since_jump_s = 0.0;
    let mut before: Option<&Phase> = None;
    let mut wall = WallTrend {
        c: if case.body.wall_m > 0.0 {
            case.glass_start_c
        } else {
            case.food_start_c
        },
        slope: 0.0,
    };
    answer.begin(case.food_start_c);
    if let Some(watch) = watch.as_mut() {
        watch(&Moment {
            time_s: 0.0,
            phase: 0,
            wall_c: wall.c,
            mesh: &mesh,
            cells_c: &t,
        });
    }
    for (index, phase) in case.phases.iter().enumerate() {
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
        let slope = phase.slope_k_s();
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
            let (side_w_m2k, base_w_m2k) = match phase.side {
                Film::Fixed(h) => (h, h),
                Film::Apart { side_w_m2k, base_w_m2k } => (side_w_m2k, base_w_m2k),
                Film::StillAir { emissivity } => {
                    let middle_c = wall.c + 0.5 * step_s * wall.slope;
                    let h = still_air_w_m2k(middle_c, around[1], outside_height_m, emissivity)?;
                    (h, h)
                }
            };
            let outside = Outside {
                side_w_m2k,
                base_w_m2k,
                top_w_m2k: phase.top_w_m2k,
            };
            let films = mesh.films(&outside);
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
            if matches!(phase.side, Film::StillAir { .. }) {
                let wall_c = probe.wall_c(&mesh, &t, &outside, around[2]);
                wall = WallTrend {
                    c: wall_c,
                    slope: (wall_c - wall.c) / step_s,
                };
            }
            probe.read(&mesh, &t, now_s + elapsed_s, &outside, around[2], &mut answer);
            if let Some(watch) = watch.as_mut() {
                watch(&Moment {
                    time_s: now_s + elapsed_s,
                    phase: index,
                    wall_c: probe.wall_c(&mesh, &t, &outside, around[2]),
                    mesh: &mesh,
                    cells_c: &t,
                });
            }
            if elapsed_s >= phase.duration_s {
                // The next phase may be in still air, whose film asks for the wall.
                wall.c = probe.wall_c(&mesh, &t, &outside, around[2]);
            }
        }
        now_s += phase.duration_s;
        before = Some(phase);
        answer.phase_ends.push(answer.times_s.len() - 1);
    }
    let gained_j = mesh.heat_j(&t) - start_j;
    answer.energy_error = (gained_j - let_in_j).abs() / exchanged_j.max(f64::MIN_POSITIVE);
    Ok(answer)
}

/// [`solve`] of a case by its parts.
///
/// # Errors
/// As [`solve`].
///
/// # Source
/// As [`solve`].
pub fn run(
    body: &JarBody,
    contents: &Contents,
    food_start_c: f64,
    glass_start_c: f64,
    phases: &[Phase],
    grid: &Grid,
) -> Result<Answer, HeatError> {
    let case = Case {
        body: *body,
        contents: *contents,
        food_start_c,
        glass_start_c,
        phases: phases.to_vec(),
    };
    solve(&case, grid)
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
