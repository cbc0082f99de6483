//! A cooling case answered: how fast, whether within the two-stage rule, how deep, frozen when; and glass.
//!
//! Read next: `files/cooling_case.rs` for what is asked.

use std::collections::BTreeMap;

use jarwright_heat::HeatError;
use jarwright_heat::cold_store::{COLD_STORE, ColdStore, WarmFood, most_warm_food_kg};
use jarwright_heat::cooled_vessel::Vessel;
use jarwright_heat::cooling::{FIRST_STAGE_C, SECOND_STAGE_C};
use jarwright_heat::cooling_clock::{CoolingClock, Stages, TWO_STAGE_COOLING};
use jarwright_heat::freezing::{Freezing, FreezingShape, PLANK_FREEZING, plank_freezing_s};
use jarwright_heat::glass::{
    GLASS_STRESS, JAR_WAITS, Meets, Shock, USUAL_PASS_K, Wall, coldest_jar_to_fill_c, jar_waits_s, stress_index,
    wall_shock,
};
use jarwright_heat::heat_content::{Constants, Freezes, HeatTable};
use jarwright_heat::media::COOLING_FILM;
use jarwright_heat::pham::{PHAM_FREEZING, Pham, block_dimension, pham_freezing};
use jarwright_heat::slow_grid::{Body, Moment, SLOW_GRID, SlowGrid};
use jarwright_heat::two_point::{StraightLine, TWO_POINT_COOLING, TwoPoint};
use jarwright_matter::{Mixing, frozen};
use serde::Serialize;

use crate::PlanError;
use crate::files::{CoolingCase, Matter, Phase, PlaceWord, ShapeWord, WallCase};

/// Longest a case is followed [s]: three days.
const LONGEST_S: f64 = 259_200.0;
/// Most samples told.
const MOST_SAMPLES: usize = 240;
/// Halvings of the search for a depth.
const HALVINGS: usize = 12;
/// Depths searched [m].
const DEPTHS_M: (f64, f64) = (0.005, 0.3);
/// Freezing points that Pham's equation knows go down to about here [°C] (`pham_1986`, from memory).
const PHAM_KNOWS_C: f64 = -2.0;
/// Latent heat of ice [J/kg] (`ashrae_refrigeration_2006`).
const ICE_J_KG: f64 = 333_600.0;

/// A moment of the cooling.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sample {
    /// Time [s].
    pub t_s: f64,
    /// Middle, or the hottest place of a pan [°C].
    pub centre_c: f64,
    /// Mean [°C].
    pub mean_c: f64,
    /// Surface; of a pan its open top [°C].
    pub surface_c: f64,
    /// Share of the water that is ice.
    pub ice_share: f64,
}

/// A film as it was at the start of a phase.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FilmSaid {
    /// Where.
    pub medium: &'static str,
    /// How warm [°C].
    pub medium_c: f64,
    /// When the phase begins [s].
    pub from_s: f64,
    /// Film on the top of a pan, else all round [W/(m² K)].
    pub film_w_m2k: f64,
    /// Film under a pan, else the same [W/(m² K)].
    pub base_film_w_m2k: f64,
    /// Whether it was measured.
    pub measured: bool,
}

/// The two-stage rule's answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TwoStage {
    /// Minutes from 57 °C, or from the start if that was cooler, to 21 °C.
    pub minutes_to_21_c: Option<f64>,
    /// Minutes to 5 °C, from the same moment.
    pub minutes_to_5_c: Option<f64>,
    /// Whether both are within 2 h and 6 h.
    pub passes: bool,
    /// What the rule says, in words.
    pub verdict: &'static str,
}

/// Freezing times side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Freezes3 {
    /// Middle at the end [°C].
    pub to_c: f64,
    /// Where the food begins to freeze [°C].
    pub freezes_c: f64,
    /// By the grid, from the start of the case [min]; none where the case ends before.
    pub grid_minutes: Option<f64>,
    /// By Plank: freezing alone [min].
    pub plank_minutes: Option<f64>,
    /// By Pham: cooling and freezing, all of it in the last phase's medium [min].
    pub pham_minutes: Option<f64>,
    /// Ice at the end, share of the food's water.
    pub ice_share: f64,
    /// Why one is missing.
    pub missing: Vec<String>,
}

/// A forecast from two readings, and the straight line beside it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forecast {
    /// Minutes from the first reading to 21 °C, exponential; none where the sink is warmer.
    pub minutes_to_21_c: Option<f64>,
    /// Minutes to 5 °C, exponential.
    pub minutes_to_5_c: Option<f64>,
    /// Minutes to 21 °C by a straight line.
    pub line_minutes_to_21_c: Option<f64>,
    /// Minutes to 5 °C by a straight line.
    pub line_minutes_to_5_c: Option<f64>,
    /// Why the line is wrong.
    pub why_not_the_line: &'static str,
}

/// What a refrigerator takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Budget {
    /// Most of this food at its start temperature [kg].
    pub most_kg: f64,
    /// The same food once it is at 21 °C [kg].
    pub most_kg_at_21_c: f64,
    /// This vessel's food [kg].
    pub vessel_kg: f64,
    /// Air's limit [°C].
    pub limit_c: f64,
}

/// A step of the glass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GlassStep {
    /// Which.
    pub step: &'static str,
    /// Greatest difference between the wall's two surfaces [K].
    pub wall_difference_k: f64,
    /// Greatest tension [MPa].
    pub tension_mpa: f64,
    /// Over that of the test the jars pass.
    pub stress_index: f64,
    /// When it is greatest [s].
    pub worst_s: f64,
    /// Which surface.
    pub surface: &'static str,
}

/// Glass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GlassAnswer {
    /// Step by step.
    pub steps: Vec<GlassStep>,
    /// Difference of the test it is measured by [K].
    pub pass_k: f64,
    /// Coldest jar that takes the filling with an index of 1 [°C].
    pub coldest_jar_c: f64,
    /// How long the jar from the oven may wait [min].
    pub may_wait_minutes: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cooling {
    /// The case's name.
    pub name: String,
    /// Shape of the vessel.
    pub shape: &'static str,
    /// Moments, in order.
    pub samples: Vec<Sample>,
    /// Films.
    pub films: Vec<FilmSaid>,
    /// Equivalent dimension of what is no pan.
    pub equivalent_dimension: Option<f64>,
    /// The two-stage rule.
    pub two_stage: TwoStage,
    /// Greatest depth that passes in the same phases [mm]; none where 5 mm does not.
    pub greatest_depth_mm: Option<f64>,
    /// Minutes from the start to a middle of 5 °C: no vacuum pack before.
    pub vacuum_pack_after_minutes: Option<f64>,
    /// Freezing.
    pub freezing: Option<Freezes3>,
    /// Forecast from readings.
    pub forecast: Option<Forecast>,
    /// Refrigerator.
    pub refrigerator: Option<Budget>,
    /// Glass.
    pub glass: Option<GlassAnswer>,
    /// By how much the grid's balance of heat misses, over the heat.
    pub imbalance: f64,
    /// Which equation stands behind what.
    pub equations: BTreeMap<&'static str, &'static str>,
    /// What a person should know.
    pub notes: Vec<String>,
}

/// Answers a cooling case.
///
/// # Errors
/// [`PlanError::Asked`] where the case leaves what the equations know.
pub fn cooling(case: &CoolingCase) -> Result<Cooling, PlanError> {
    answer(case).map_err(|error| {
        let mut what = error.to_string();
        let mut cause = std::error::Error::source(&error);
        while let Some(inner) = cause {
            what = format!("{what}: {inner}");
            cause = inner.source();
        }
        PlanError::asked(what, "the equations do not know this case; nothing is stretched to fit")
    })
}

fn answer(case: &CoolingCase) -> Result<Cooling, HeatError> {
    let table = table(case)?;
    let run = follow(case, case.vessel, &table, true)?;
    let freezing = match case.freeze_to_c {
        Some(to_c) => Some(freezes(case, &table, &run, to_c)?),
        None => None,
    };
    let mut equations = BTreeMap::from([
        ("samples", SLOW_GRID.key),
        ("films", COOLING_FILM.key),
        ("two_stage", TWO_STAGE_COOLING.key),
    ]);
    if freezing.is_some() {
        equations.extend([
            ("freezing.plank_minutes", PLANK_FREEZING.key),
            ("freezing.pham_minutes", PHAM_FREEZING.key),
        ]);
    }
    if case.readings.is_some() {
        equations.insert("forecast", TWO_POINT_COOLING.key);
    }
    if case.refrigerator.is_some() {
        equations.insert("refrigerator", COLD_STORE.key);
    }
    if case.glass.is_some() {
        equations.extend([
            ("glass.steps", GLASS_STRESS.key),
            ("glass.may_wait_minutes", JAR_WAITS.key),
        ]);
    }
    Ok(Cooling {
        name: case.name.clone(),
        shape: case.shape.word(),
        equivalent_dimension: run.dimension,
        two_stage: two_stage(&run.clock),
        greatest_depth_mm: greatest_depth_mm(case, &table)?,
        vacuum_pack_after_minutes: run.to_5_s.map(|s| s / 60.0),
        freezing,
        forecast: forecast(case)?,
        refrigerator: budget(case, &table, &run)?,
        glass: case.glass.as_ref().map(glass).transpose()?,
        imbalance: run.imbalance,
        equations,
        notes: notes(case, &run),
        samples: thinned(&run.samples, &run.films),
        films: run.films,
    })
}

fn table(case: &CoolingCase) -> Result<HeatTable, HeatError> {
    let table = match &case.matter {
        Matter::Food(food) => HeatTable::food(food)?,
        Matter::Constant(contents) => HeatTable::constant(contents)?,
        Matter::Freezing(constants) => HeatTable::freezing(constants)?,
    };
    Ok(if case.stirred { table.stirred() } else { table })
}

/// What following a case brings.
struct Run {
    samples: Vec<Sample>,
    films: Vec<FilmSaid>,
    dimension: Option<f64>,
    clock: CoolingClock,
    to_5_s: Option<f64>,
    frozen_s: Option<f64>,
    ends_c: f64,
    imbalance: f64,
    ice_share: f64,
    freezes_c: Option<f64>,
}

fn follow(case: &CoolingCase, vessel: Vessel, table: &HeatTable, whole: bool) -> Result<Run, HeatError> {
    let mut films = Vec::new();
    let mut least = f64::INFINITY;
    for phase in &case.phases {
        let start = case.start_c.max(phase.around.medium_c);
        let (top, base) = vessel.faces(&case.side, &phase.around, (start, start))?;
        least = least.min(base.film_w_m2k);
        films.push((top.film_w_m2k, base.film_w_m2k));
    }
    // The weakest film has the most ways out that count least: the careful one for all phases.
    let body = vessel.body(least, table, case.start_c)?;
    let dimension = match body {
        Body::Round { dimension, .. } => Some(dimension),
        Body::Layer { .. } => None,
    };
    let mut grid = SlowGrid::new(body, table, case.start_c)?;
    let mut watch = Watch::new(case, whole);
    let mut said = Vec::new();
    for (phase, (top, base)) in case.phases.iter().zip(films) {
        let from_s = grid.moment().time_s;
        if watch.done || from_s >= LONGEST_S {
            break;
        }
        said.push(FilmSaid {
            medium: phase.place.word(),
            medium_c: phase.around.medium_c,
            from_s,
            film_w_m2k: if dimension.is_some() { base } else { top },
            base_film_w_m2k: base,
            measured: phase.around.film_w_m2k.is_some(),
        });
        let for_s = phase.for_s.unwrap_or(LONGEST_S).min(LONGEST_S - from_s);
        watch.stops = phase.for_s.is_none();
        grid.run(
            for_s,
            |first, second| vessel.faces(&case.side, &phase.around, (first, second)),
            |now| watch.sees(now),
        )?;
    }
    Ok(Run {
        films: said,
        dimension,
        clock: watch.clock,
        to_5_s: watch.to_5_s,
        frozen_s: watch.frozen_s,
        ends_c: watch.last.1,
        imbalance: grid.imbalance(),
        ice_share: grid.moment().ice_share,
        freezes_c: table.freezes_c(),
        samples: watch.samples,
    })
}

/// Follows the middle of the food.
struct Watch {
    samples: Vec<Sample>,
    clock: CoolingClock,
    last: (f64, f64),
    to_5_s: Option<f64>,
    frozen_s: Option<f64>,
    freeze_to_c: Option<f64>,
    keeps: bool,
    /// Whether the phase ends with what is looked for.
    stops: bool,
    done: bool,
}

impl Watch {
    fn new(case: &CoolingCase, keeps: bool) -> Self {
        let mut clock = CoolingClock::default();
        clock.push(0.0, case.start_c, true);
        Self {
            samples: vec![Sample {
                t_s: 0.0,
                centre_c: case.start_c,
                mean_c: case.start_c,
                surface_c: case.start_c,
                ice_share: 0.0,
            }],
            clock,
            last: (0.0, case.start_c),
            to_5_s: None,
            frozen_s: None,
            freeze_to_c: if keeps { case.freeze_to_c } else { None },
            keeps,
            stops: false,
            done: false,
        }
    }

    fn sees(&mut self, now: &Moment) -> bool {
        let here = (now.time_s, now.middle_c);
        self.clock.push(here.0, here.1, true);
        let passes = |mark: f64| {
            let falls = self.last.1 > mark && here.1 <= mark;
            falls.then(|| self.last.0 + (self.last.1 - mark) / (self.last.1 - here.1) * (here.0 - self.last.0))
        };
        self.to_5_s = self.to_5_s.or_else(|| passes(SECOND_STAGE_C));
        self.frozen_s = self.frozen_s.or_else(|| self.freeze_to_c.and_then(passes));
        self.last = here;
        if self.keeps {
            self.samples.push(Sample {
                t_s: now.time_s,
                centre_c: now.middle_c,
                mean_c: now.mean_c,
                surface_c: now.surface_c,
                ice_share: now.ice_share,
            });
        }
        self.done = match self.freeze_to_c {
            Some(_) => self.frozen_s.is_some(),
            None => here.1 <= SECOND_STAGE_C,
        };
        !(self.done && self.stops)
    }
}

/// Every n-th moment, the last, and those at which it changes its place.
fn thinned(samples: &[Sample], films: &[FilmSaid]) -> Vec<Sample> {
    let step = samples.len().div_ceil(MOST_SAMPLES).max(1);
    let last = samples.len().saturating_sub(1);
    let moved = |t_s: f64| films.iter().any(|film| (film.from_s - t_s).abs() < 1e-6);
    let kept = |(i, sample): &(usize, &Sample)| i % step == 0 || *i == last || moved(sample.t_s);
    samples
        .iter()
        .enumerate()
        .filter(kept)
        .map(|(_, sample)| *sample)
        .collect()
}

fn two_stage(clock: &CoolingClock) -> TwoStage {
    let minutes = |s: Option<f64>| s.map(|s| s / 60.0);
    let (to_21, to_5) = (minutes(clock.to_21_s()), minutes(clock.to_5_s()));
    let passes = to_21.is_some_and(|m| m <= 120.0) && to_5.is_some_and(|m| m <= 360.0);
    let verdict = match clock.stages() {
        Stages::Met => "both stages within their limits",
        Stages::FirstTooSlow => "the first stage takes more than 2 hours: reheat or discard, as local rules say",
        Stages::BothTooSlow => "both stages take more than 6 hours: discard, as local rules say",
        Stages::NotStarted => "never below 57 °C: the rule's clock did not start",
        Stages::EndsEarly => "it does not get to 5 °C here",
        Stages::BeginsCool if passes => "within the limits, counted from the start: what came before is not known",
        Stages::BeginsCool => "it does not get to 5 °C here; what came before is not known",
    };
    TwoStage {
        minutes_to_21_c: to_21,
        minutes_to_5_c: to_5,
        passes,
        verdict,
    }
}

fn greatest_depth_mm(case: &CoolingCase, table: &HeatTable) -> Result<Option<f64>, HeatError> {
    let passes = |depth_m: f64| -> Result<bool, HeatError> {
        let run = follow(case, case.vessel.with_depth(depth_m), table, false)?;
        Ok(two_stage(&run.clock).passes)
    };
    let most = match case.vessel {
        Vessel::Bowl { across_m, .. } => f64::min(DEPTHS_M.1, 0.5 * across_m),
        _ => DEPTHS_M.1,
    };
    let (mut good, mut bad) = (DEPTHS_M.0, most);
    if !passes(good)? {
        return Ok(None);
    }
    if passes(bad)? {
        return Ok(Some(1000.0 * bad));
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (good + bad);
        if passes(middle)? { good = middle } else { bad = middle }
    }
    Ok(Some(1000.0 * good))
}

/// Properties as Plank and Pham take them.
fn constants(case: &CoolingCase, table: &HeatTable, to_c: f64) -> Result<Option<Constants>, HeatError> {
    Ok(match &case.matter {
        Matter::Freezing(constants) => Some(*constants),
        Matter::Constant(_) => None,
        Matter::Food(food) => {
            let Some(freezes_c) = table.freezes_c() else {
                return Ok(None);
            };
            let (warm, cold) = (
                frozen(food, 10.0, Mixing::Parallel)?,
                frozen(food, to_c, Mixing::Parallel)?,
            );
            Some(Constants {
                density_kg_m3: table.density_kg_m3(),
                unfrozen_cp_j_kgk: warm.thermal.heat_capacity_j_kgk,
                frozen_cp_j_kgk: cold.thermal.heat_capacity_j_kgk,
                unfrozen_k_w_mk: warm.thermal.conductivity_w_mk,
                frozen_k_w_mk: cold.thermal.conductivity_w_mk,
                latent_j_kg: ICE_J_KG * cold.ice_share_of_water * food.water_kg / food.mass_kg(),
                freezes_c,
                freezes: Freezes::ByAndBy,
            })
        }
    })
}

fn freezes(case: &CoolingCase, table: &HeatTable, run: &Run, to_c: f64) -> Result<Freezes3, HeatError> {
    let mut missing = Vec::new();
    let mut kept = |name: &str, time: Result<f64, HeatError>| match time {
        Ok(s) => Some(s / 60.0),
        Err(error) => {
            let cause = std::error::Error::source(&error).map(|cause| format!(": {cause}"));
            missing.push(format!("{name}: {error}{}", cause.unwrap_or_default()));
            None
        }
    };
    let (mut plank_minutes, mut pham_minutes) = (None, None);
    if let (Some(c), Some(last)) = (constants(case, table, to_c)?, case.phases.last()) {
        let at = last.around;
        let (top, base) = case.vessel.faces(&case.side, &at, (c.freezes_c, c.freezes_c))?;
        let film_w_m2k = 0.5 * (top.film_w_m2k + base.film_w_m2k);
        let (way_m, beta) = case.vessel.ways();
        let dimension = block_dimension(film_w_m2k * way_m / c.frozen_k_w_mk, beta)?;
        let layer = Freezing {
            shape: FreezingShape::Slab,
            size_m: 2.0 * way_m,
            film_w_m2k,
            frozen_k_w_mk: c.frozen_k_w_mk,
            density_kg_m3: c.density_kg_m3,
            latent_j_kg: c.latent_j_kg,
            freezes_c: c.freezes_c,
            air_c: at.medium_c,
        };
        plank_minutes = kept("Plank", plank_freezing_s(&layer).map(|s| s / dimension));
        let pham = Pham {
            way_m,
            dimension,
            film_w_m2k,
            density_kg_m3: c.density_kg_m3,
            unfrozen_cp_j_kgk: c.unfrozen_cp_j_kgk,
            frozen_cp_j_kgk: c.frozen_cp_j_kgk,
            frozen_k_w_mk: c.frozen_k_w_mk,
            latent_j_kg: c.latent_j_kg,
            start_c: case.start_c,
            end_c: to_c,
            medium_c: at.medium_c,
        };
        pham_minutes = kept("Pham", pham_freezing(&pham).map(|time| time.total_s()));
    }
    Ok(Freezes3 {
        to_c,
        freezes_c: table.freezes_c().unwrap_or(f64::NAN),
        grid_minutes: run.frozen_s.map(|s| s / 60.0),
        plank_minutes,
        pham_minutes,
        ice_share: run.ice_share,
        missing,
    })
}

fn forecast(case: &CoolingCase) -> Result<Option<Forecast>, HeatError> {
    let Some(r) = case.readings else { return Ok(None) };
    let curve = TwoPoint::new(r.first_c, r.second_c, r.between_s, r.sink_c)?;
    let line = StraightLine::new(r.first_c, r.second_c, r.between_s)?;
    let curved = |c: f64| {
        (c < r.first_c)
            .then(|| curve.time_to_s(c).ok())
            .flatten()
            .map(|s| s / 60.0)
    };
    let straight = |c: f64| line.time_to_s(c).map(|s| s / 60.0);
    Ok(Some(Forecast {
        minutes_to_21_c: curved(FIRST_STAGE_C),
        minutes_to_5_c: curved(SECOND_STAGE_C),
        line_minutes_to_21_c: straight(FIRST_STAGE_C),
        line_minutes_to_5_c: straight(SECOND_STAGE_C),
        why_not_the_line: "a straight line keeps the first hour's pace; cooling slows as the food nears what it cools \
                           towards, so the line promises 21 and 5 °C too early, and even what is colder than the air",
    }))
}

fn budget(case: &CoolingCase, table: &HeatTable, run: &Run) -> Result<Option<Budget>, HeatError> {
    let Some(r) = case.refrigerator else { return Ok(None) };
    let vessel_kg = table.density_kg_m3() * case.vessel.volume_m3();
    // As it stands in the refrigerator, where the case has it there.
    let there = run
        .films
        .iter()
        .find(|film| film.medium == PlaceWord::Refrigerator.word());
    let Some(film) = there.or(run.films.first()) else {
        return Ok(None);
    };
    let film = 0.5 * (film.film_w_m2k + film.base_film_w_m2k);
    let store = ColdStore {
        spare_w: r.spare_w,
        set_c: r.set_c,
        capacity_j_k: r.capacity_j_k,
    };
    let span_c = (5.0, 15.0);
    let cp_j_kgk =
        (table.heat_j_m3(span_c.1) - table.heat_j_m3(span_c.0)) / (span_c.1 - span_c.0) / table.density_kg_m3();
    let most = |start_c: f64| {
        let food = WarmFood {
            start_c,
            cp_j_kgk,
            conductance_w_kgk: film * case.vessel.surface_m2() / vessel_kg,
        };
        most_warm_food_kg(&store, &food, r.limit_c)
    };
    Ok(Some(Budget {
        most_kg: most(case.start_c.max(r.limit_c))?,
        most_kg_at_21_c: most(FIRST_STAGE_C.max(r.limit_c))?,
        vessel_kg,
        limit_c: r.limit_c,
    }))
}

fn glass(case: &WallCase) -> Result<GlassAnswer, HeatError> {
    let wall = Wall {
        wall_m: case.wall_m,
        high_m: case.high_m,
        across_m: case.across_m,
    };
    let pass_k = case.pass_k.unwrap_or(USUAL_PASS_K);
    let room = (Meets::Air, case.room_c);
    let mut steps = vec![(
        "fill",
        wall_shock(&wall, case.jar_c, (Meets::Moving, case.food_c), room)?,
    )];
    if let Some((loaded_c, bath_c)) = case.loads {
        let shock = wall_shock(&wall, loaded_c, (Meets::Still, loaded_c), (Meets::Moving, bath_c))?;
        steps.push(("into the bath", shock));
    }
    if let Some(unloaded_c) = case.unloaded_c {
        let inside = (Meets::Still, unloaded_c);
        steps.push(("out into air", wall_shock(&wall, unloaded_c, inside, room)?));
        if let Some(water_c) = case.into_water_c {
            let shock = wall_shock(&wall, unloaded_c, inside, (Meets::Moving, water_c))?;
            steps.push(("out into cold water", shock));
        }
    }
    let coldest_jar_c = coldest_jar_to_fill_c(&wall, case.food_c, case.room_c, pass_k)?;
    let may_wait_minutes = match case.oven_c {
        Some(oven_c) if coldest_jar_c > case.room_c + 0.1 => {
            Some(jar_waits_s(&wall, oven_c, coldest_jar_c, case.room_c)? / 60.0)
        }
        _ => None,
    };
    let steps = steps
        .into_iter()
        .map(|(step, shock)| said(&wall, step, &shock, pass_k))
        .collect::<Result<_, _>>()?;
    Ok(GlassAnswer {
        steps,
        pass_k,
        coldest_jar_c,
        may_wait_minutes,
    })
}

fn said(wall: &Wall, step: &'static str, shock: &Shock, pass_k: f64) -> Result<GlassStep, HeatError> {
    Ok(GlassStep {
        step,
        wall_difference_k: shock.difference_k,
        tension_mpa: shock.tension_pa / 1e6,
        stress_index: stress_index(wall, shock, pass_k)?,
        worst_s: shock.worst_s,
        surface: if shock.outside { "outside" } else { "inside" },
    })
}

fn notes(case: &CoolingCase, run: &Run) -> Vec<String> {
    let mut notes = Vec::new();
    if case.shape == ShapeWord::Jar {
        notes.push(
            "jars from a boiling-water process cool undisturbed in air: the dose while they cool is part of the \
             process, so nothing here is advice to cool them quickly"
                .into(),
        );
    }
    if case.wall_assumed {
        let what = format!(
            "the wall is taken as {} mm; wall_mm says otherwise",
            1000.0 * case.side.wall_m
        );
        notes.push(what);
    }
    if case.stirred {
        notes.push(
            "stirred without a pause: the food's own resistance counts for nothing, the best that stirring can do"
                .into(),
        );
    }
    if case.shape == ShapeWord::Pan {
        notes.push("evaporation from an open pan is left out: an uncovered pan cools somewhat faster at first".into());
        if case.phases.iter().any(|phase: &Phase| phase.place.wet()) {
            notes.push("a pan in water is cooled through its base alone".into());
        }
    }
    if run.to_5_s.is_none() {
        let what = format!("the middle ends at {:.1} °C and not at 5 °C", run.ends_c);
        notes.push(what);
    } else {
        notes.push(
            "vacuum packs: only food that is 5 °C or colder in the middle, and only under a plan that local rules ask for"
                .into(),
        );
    }
    if case.freeze_to_c.is_some() && run.freezes_c.is_some_and(|c| c < PHAM_KNOWS_C) {
        notes.push(
            "Pham's equation was fitted to foods that begin to freeze near -1 °C; this one begins colder, and the grid \
             is the one to go by"
                .into(),
        );
    }
    if case.glass.is_some() {
        notes.push(
            "the stress index compares a smooth wall with itself: base, mouth and scratches are weaker, and no index \
             makes a jar unbreakable"
                .into(),
        );
    }
    notes.push("a computed curve explains; a thermometer in the middle decides, and local code with it".into());
    notes
}
