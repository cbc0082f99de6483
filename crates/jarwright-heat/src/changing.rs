//! A jar whose food changes with temperature: conductivity and heat capacity move, water freezes
//! and ice melts.
//!
//! Slower than the production grid (`jar.rs`), which takes constant properties and shares no step
//! with this. Each step is as long as its own estimated error allows.
//!
//! Read next: `food_curves.rs` for the food, `changing_cells.rs` for the cells.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::case::{Answer, Contents, Film, JarBody, Phase, check_course};
use crate::changing_cells::{Around, Cells, Unsettled};
use crate::films::still_air_w_m2k;
use crate::food_curves::FoodCurves;
use crate::jar::Grid;
use crate::mesh::{Mesh, Outside};
use crate::probe::Probe;

/// Registry entry of [`solve`].
pub static JAR_CHANGING: Equation = Equation {
    key: "jar-changing",
    title: "Conduction in a jar whose food changes, freezes or melts",
    text: "dH/dt = div grad theta, theta(H) = integral of k dT, T(H); finite volumes, \
           two implicit stages of second order a step, its error from the third",
    source: "bank_1985",
};

/// A jar of changing food and what it goes through.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangingCase<'a> {
    /// The jar.
    pub body: JarBody,
    /// Its food.
    pub food: &'a FoodCurves,
    /// The food's temperature at the start, everywhere [°C].
    pub food_start_c: f64,
    /// The glass's temperature at the start, everywhere [°C].
    pub glass_start_c: f64,
    /// What it goes through, in order.
    pub phases: &'a [Phase],
}

/// How finely space is cut, and how closely time is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fineness {
    /// Food cells from axis to wall.
    pub radial: usize,
    /// Food cells from base to top.
    pub axial: usize,
    /// Glass cells through the side.
    pub wall: usize,
    /// Glass cells through the base.
    pub base: usize,
    /// Error a step may make [K]: over all cells the root mean square of temperature, where ice
    /// forms the geometric mean of temperature and of heat over the food's least heat capacity.
    pub tolerance_k: f64,
}

impl Fineness {
    /// The centre within 0.02 K of exact series for a step of 30 K. The food's mean is within two
    /// tolerances of what half the tolerance gives, the centre of unfrozen food within five; while
    /// a front of ice passes the centre, its reading may be off by some tenths of a kelvin.
    #[must_use]
    pub const fn usual() -> Self {
        Self {
            radial: 20,
            axial: 36,
            wall: 2,
            base: 2,
            tolerance_k: 0.002,
        }
    }

    /// For checks.
    #[must_use]
    pub const fn fine() -> Self {
        Self {
            radial: 32,
            axial: 56,
            wall: 4,
            base: 4,
            tolerance_k: 0.001,
        }
    }

    const fn grid(&self) -> Grid {
        Grid {
            radial: self.radial,
            axial: self.axial,
            wall: self.wall,
            base: self.base,
            step_s: 1.0,
        }
    }
}

/// What a jar of changing food went through.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ChangingAnswer {
    /// Temperatures at the end of every step.
    pub temperatures: Answer,
    /// Heat the food holds at each of those times [J], counted as its curves count.
    pub food_j: Vec<f64>,
    /// Steps taken.
    pub steps: usize,
    /// Steps tried and taken back.
    pub taken_back: usize,
    /// Matrices factored.
    pub factored: usize,
}

/// First stage's part of a step, 2 - sqrt 2: both stages then share a matrix.
const FIRST_PART: f64 = 0.585_786_437_626_905;
/// Implicit part of a stage, 1 - sqrt 2 / 2.
const OWN: f64 = 0.292_893_218_813_452_5;
/// Weight of start and first stage in a step, sqrt 2 / 4.
const SHARED: f64 = 0.353_553_390_593_273_8;
/// Weights of the step less those of the third-order formula on the same stages.
const ERROR: [f64; 3] = [
    SHARED - (1.0 - SHARED) / 3.0,
    SHARED - (3.0 * SHARED + 1.0) / 3.0,
    OWN - OWN / 3.0,
];
/// Steps and tries a run may take.
const MOST_TRIES: usize = 200_000;
/// First step after a jump of the surroundings, of the phase's duration and at most [s].
const FIRST_STEP: (f64, f64) = (1e-3, 0.5);
/// Shortest step [s]; a stage that does not settle in it never will.
const LEAST_STEP_S: f64 = 1e-9;
/// A step may be so many times the one before ...
const GROWTH: (f64, f64) = (0.2, 3.0);
/// ... is cut to this part where a stage does not settle, ...
const CUT: f64 = 0.25;
/// ... aims at this part of what the error would allow, ...
const CAUTION: f64 = 0.85;
/// ... and stays as it is, its matrix with it, for less than this gain.
const NOT_WORTH: f64 = 1.2;
/// Stages settle to this part of the tolerance.
const SETTLED: f64 = 0.01;
/// Where all heat melts, errors still count this part of what they do elsewhere.
const LEAST_WARMING: f64 = 1e-3;

/// Temperatures and heat of a jar whose food changes with temperature.
///
/// ```text
/// dH/dt = (1/r) d/dr(r dtheta/dr) + d2theta/dz2      theta = integral of k dT
/// -k dT/dn = h (T - T_around)                        on the glass's outside and on the food's top
/// ```
///
/// * `case`: within [`crate::case::range`]; starts and surroundings within the food's curves
/// * `fineness`: 3 to 200 food cells and 1 to 40 glass cells a way; tolerance 1e-5 to 1 K
///
/// Conservative: [`Answer::energy_error`] is rounding only. Steps follow the trapezoid and the
/// second backward difference; each one's error is estimated and held to the tolerance. The
/// temperature of the ice follows its equilibrium: nothing supercools.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, [`HeatError::BadShape`] without phases,
/// [`HeatError::TooManySteps`] where the tolerance asks for more steps than a run may take.
///
/// # Source
/// `bank_1985` for the step, `hosea_shampine_1996` for its error, `crank_1984` for heat as the
/// unknown; `carslaw_jaeger_1959` for the integral of conductivity.
pub fn solve(case: &ChangingCase, fineness: &Fineness) -> Result<ChangingAnswer, HeatError> {
    check(case, fineness)?;
    let mut run = Run::new(case, fineness)?;
    for phase in case.phases {
        run.through(phase)?;
    }
    Ok(run.finish())
}

fn check(case: &ChangingCase, fineness: &Fineness) -> Result<(), HeatError> {
    let key = JAR_CHANGING.key;
    check_course(key, &case.body, [case.food_start_c, case.glass_start_c], case.phases)?;
    fineness.grid().check()?;
    OutOfRange::check("tolerance", fineness.tolerance_k, 1e-5, 1.0, "K", key)?;
    let (low, high) = case.food.ends_c();
    let around = case.phases.iter().flat_map(|p| [p.ambient_start_c, p.ambient_end_c]);
    for c in around.chain([case.food_start_c, case.glass_start_c]) {
        OutOfRange::check("temperature of the food's curves", c, low, high, "°C", key)?;
    }
    Ok(())
}

/// Where the outside of the glass is and how it moves.
#[derive(Debug, Clone, Copy)]
struct WallTrend {
    c: f64,
    slope: f64,
}

/// One jar under way.
struct Run<'a> {
    mesh: Mesh,
    cells: Cells<'a>,
    probe: Probe,
    outside_height_m: f64,
    tolerance_k: f64,
    /// The food's least heat capacity [J/(m³ K)], by which heat is told as kelvins.
    capacity_j_m3k: f64,
    now_s: f64,
    step_s: f64,
    wall: WallTrend,
    before: Option<&'a Phase>,
    /// Heat at the start of a step, and after its first stage [J/m³].
    start: Vec<f64>,
    middle: Vec<f64>,
    /// What a stage leads back to [J/m³].
    from: Vec<f64>,
    /// How fast heat changed over the last step [W/m³].
    rate: Vec<f64>,
    /// Flows into the cells at the start and the two stages [W].
    flow_w: [Vec<f64>; 3],
    start_j: f64,
    let_in_j: f64,
    exchanged_j: f64,
    answer: ChangingAnswer,
}

impl<'a> Run<'a> {
    fn new(case: &ChangingCase<'a>, fineness: &Fineness) -> Result<Self, HeatError> {
        let food_heat = case.food.heat_j_m3(case.food_start_c)?;
        let (_, k_w_mk) = case.food.at_heat(food_heat);
        // The mesh's own food only gives its cells their places.
        let contents = Contents {
            conductivity_w_mk: k_w_mk,
            density_kg_m3: 1000.0,
            heat_capacity_j_kgk: 4000.0,
        };
        let mesh = Mesh::new(&case.body, &contents, &fineness.grid());
        let cells = Cells::new(&mesh, &case.body, case.food, food_heat, case.glass_start_c);
        let n = cells.heat.len();
        let wall_c = if case.body.wall_m > 0.0 {
            case.glass_start_c
        } else {
            case.food_start_c
        };
        let mut answer = ChangingAnswer::default();
        answer.temperatures.begin(case.food_start_c);
        answer.food_j.push(cells.food_holds_j());
        let mut probe = Probe::new(&mesh);
        let around = case.phases.iter().flat_map(|p| [p.ambient_start_c, p.ambient_end_c]);
        let coldest_c = around.fold(case.food_start_c.min(case.glass_start_c), f64::min);
        probe.breaks = case.food.breaks_above(coldest_c);
        Ok(Self {
            probe,
            outside_height_m: case.body.food_height_m + case.body.base_m,
            tolerance_k: fineness.tolerance_k,
            capacity_j_m3k: case.food.least_capacity_j_m3k(),
            now_s: 0.0,
            step_s: 0.0,
            wall: WallTrend { c: wall_c, slope: 0.0 },
            before: None,
            start: vec![0.0; n],
            middle: vec![0.0; n],
            from: vec![0.0; n],
            rate: vec![0.0; n],
            flow_w: [vec![0.0; n], vec![0.0; n], vec![0.0; n]],
            start_j: cells.holds_j(),
            let_in_j: 0.0,
            exchanged_j: 0.0,
            answer,
            mesh,
            cells,
        })
    }

    fn through(&mut self, phase: &'a Phase) -> Result<(), HeatError> {
        let jump = self.before.is_none_or(|before| {
            (before.ambient_end_c - phase.ambient_start_c).abs() > 0.01
                || before.side != phase.side
                || (before.top_w_m2k - phase.top_w_m2k).abs() > 0.0
        });
        if jump {
            self.wall.slope = 0.0;
            self.rate.fill(0.0);
            self.step_s = (FIRST_STEP.0 * phase.duration_s).min(FIRST_STEP.1);
            self.cells.forget();
        }
        self.before = Some(phase);
        let mut elapsed_s = 0.0;
        let mut held_back_s = None;
        while elapsed_s < phase.duration_s {
            let left_s = phase.duration_s - elapsed_s;
            // The phase's end must not leave a crumb.
            let step_s = if left_s <= 1.001 * self.step_s {
                left_s
            } else if left_s < 2.0 * self.step_s {
                0.5 * left_s
            } else {
                self.step_s
            };
            if step_s < self.step_s {
                held_back_s = Some(self.step_s);
            }
            if self.answer.steps + self.answer.taken_back >= MOST_TRIES || step_s < LEAST_STEP_S * left_s.min(1.0) {
                return Err(HeatError::TooManySteps {
                    solver: "jar of changing food",
                    time_s: self.now_s + elapsed_s,
                    steps: self.answer.steps,
                });
            }
            let c = |part: f64| phase.ambient_start_c + phase.slope_k_s() * (elapsed_s + part * step_s);
            let around_c = [0.0, FIRST_PART, 1.0].map(c);
            let films = self.films(phase, step_s, c(0.5))?;
            let allowed = self.try_step(step_s, around_c, films);
            let Ok(allowed) = allowed else {
                self.take_back(CUT * step_s);
                continue;
            };
            if allowed < 1.0 {
                self.take_back(step_s * (CAUTION * allowed).max(GROWTH.0));
                continue;
            }
            let growth = (CAUTION * allowed).min(GROWTH.1);
            let same = (1.0..=NOT_WORTH).contains(&growth);
            self.step_s = if same { step_s } else { step_s * growth };
            elapsed_s += step_s;
            if left_s - step_s < 1e-9 * phase.duration_s {
                elapsed_s = phase.duration_s;
            }
            self.read(self.now_s + elapsed_s, step_s, &Around { films, c: around_c[2] });
        }
        if let Some(step_s) = held_back_s {
            self.step_s = self.step_s.max(step_s);
        }
        self.now_s += phase.duration_s;
        let at = self.answer.temperatures.times_s.len() - 1;
        self.answer.temperatures.phase_ends.push(at);
        Ok(())
    }

    fn films(&self, phase: &Phase, step_s: f64, around_c: f64) -> Result<Outside, HeatError> {
        let (side_w_m2k, base_w_m2k) = match phase.side {
            Film::Fixed(h) => (h, h),
            Film::Apart { side_w_m2k, base_w_m2k } => (side_w_m2k, base_w_m2k),
            Film::StillAir { emissivity } => {
                let wall_c = self.wall.c + 0.5 * step_s * self.wall.slope;
                let h = still_air_w_m2k(wall_c, around_c, self.outside_height_m, emissivity)?;
                (h, h)
            }
        };
        Ok(Outside {
            side_w_m2k,
            base_w_m2k,
            top_w_m2k: phase.top_w_m2k,
        })
    }

    fn take_back(&mut self, step_s: f64) {
        self.answer.taken_back += 1;
        self.cells.heat.copy_from_slice(&self.start);
        self.cells.look_up();
        self.step_s = step_s;
    }

    /// One step; how many times as long its error would allow it to be. The heat at its start
    /// stays in `start`.
    fn try_step(&mut self, step_s: f64, around_c: [f64; 3], films: Outside) -> Result<f64, Unsettled> {
        let around = around_c.map(|c| Around { films, c });
        let within = SETTLED * self.tolerance_k * self.capacity_j_m3k;
        let own_s = OWN * step_s;
        self.start.copy_from_slice(&self.cells.heat);
        let [first, second, third] = &mut self.flow_w;
        let mut let_in_w = [0.0; 3];

        let_in_w[0] = self.cells.flows(&around[0], first);
        for (i, flow_w) in first.iter().enumerate() {
            self.from[i] = self.start[i] + own_s * flow_w / self.cells.volume_m3[i];
            self.cells.heat[i] = self.start[i] + FIRST_PART * step_s * self.rate[i];
        }
        let_in_w[1] = self.cells.settle(&self.from, own_s, &around[1], second, within)?;
        self.middle.copy_from_slice(&self.cells.heat);

        for (i, (first, second)) in first.iter().zip(second.iter()).enumerate() {
            let shared = SHARED * step_s * (first + second) / self.cells.volume_m3[i];
            self.from[i] = self.start[i] + shared;
            self.cells.heat[i] = self.start[i] + (self.middle[i] - self.start[i]) / FIRST_PART;
        }
        let_in_w[2] = self.cells.settle(&self.from, own_s, &around[2], third, within)?;

        let miss = &mut self.from;
        for (i, miss) in miss.iter_mut().enumerate() {
            let sum = ERROR[0] * first[i] + ERROR[1] * second[i] + ERROR[2] * third[i];
            *miss = step_s * sum / self.cells.volume_m3[i];
        }
        self.cells.damp(miss, own_s, &around[2]);
        let (mut sum, mut volume) = (0.0, 0.0);
        for (i, miss) in miss.iter().enumerate() {
            let counts = (self.cells.warming[i] * self.capacity_j_m3k).max(LEAST_WARMING);
            sum += self.cells.volume_m3[i] * counts * (miss / self.capacity_j_m3k).powi(2);
            volume += self.cells.volume_m3[i];
        }
        let error_k = (sum / volume).sqrt();
        if !error_k.is_finite() {
            return Err(Unsettled);
        }
        let allowed = (self.tolerance_k / error_k.max(1e-12)).cbrt();
        if allowed >= 1.0 {
            for (i, rate) in self.rate.iter_mut().enumerate() {
                *rate = (self.cells.heat[i] - self.start[i]) / step_s;
            }
            let joules = step_s * (SHARED * (let_in_w[0] + let_in_w[1]) + OWN * let_in_w[2]);
            self.let_in_j += joules;
            self.exchanged_j += joules.abs();
            self.cells.look_up();
        }
        Ok(allowed)
    }

    fn read(&mut self, time_s: f64, step_s: f64, around: &Around) {
        let wall_c = self.cells.wall_c(around);
        self.wall = WallTrend {
            c: wall_c,
            slope: (wall_c - self.wall.c) / step_s,
        };
        let bottom = self.mesh.base_rows * self.mesh.columns;
        let top = (self.mesh.rows - 1) * self.mesh.columns;
        self.probe.ends_k = [self.cells.k[bottom], self.cells.k[top]];
        self.probe.read(
            &self.mesh,
            &self.cells.c,
            time_s,
            &around.films,
            around.c,
            &mut self.answer.temperatures,
        );
        self.answer.food_j.push(self.cells.food_holds_j());
        self.answer.steps += 1;
    }

    fn finish(mut self) -> ChangingAnswer {
        let gained_j = self.cells.holds_j() - self.start_j;
        self.answer.temperatures.energy_error =
            (gained_j - self.let_in_j).abs() / self.exchanged_j.max(f64::MIN_POSITIVE);
        self.answer.factored = self.cells.factored;
        self.answer
    }
}
