//! A planned jar asked again, with something changed at the stove: what its cold spot gets then,
//! and whether that is still the tested schedule.
//!
//! Published governs, computed explains: a departure on the side that may hurt keeps the shelf
//! closed, however great the dose. Driven by [`crate::plan_with_jars`]. Read next: `conditions.rs`
//! (what the schedule asks), `draws.rs` (the band), `quick.rs` (one draw).

mod answer;
mod changed;
mod conditions;
mod draws;
mod quick;
mod sample;
mod section;
mod volume;

pub use answer::{
    Condition, CurvePoint, Departed, DepartedSpot, Dose, DoseSoFar, Kept, Ruling, StretchDose, VolumeDose, WayStretch,
};
pub use changed::{COME_UP_CHANGED, SPREAD_KEPT};
pub use draws::DRAWN_DOSE;
pub use section::{Frame, Section};
pub use volume::VOLUME_DOSE;

use std::collections::BTreeMap;
use std::sync::Arc;

use jarwright_figure::{Figure, Graph, Id, Output, Unit};
use jarwright_heat::HeatError;
use jarwright_heat::modes::JAR_MODES;

use crate::PlanError;
use crate::cold_spot::{COOLING_S, Course, Run, Stretch};
use crate::place::Place;
use crate::plan::Plan;
use crate::views;
use crate::watching::PlannedPot;
use crate::worked::Work;
use changed::Changed;
use draws::Draws;
use quick::Quick;
use volume::Volume;

/// Fewest and most runs of a jar for one answer.
pub const RUNS: (usize, usize) = (64, 20_000);

/// A plan, with its jars and its pots to be asked again.
#[derive(Debug)]
pub struct Planned {
    /// The plan, as [`crate::plan_order`] gives it.
    pub plan: Plan,
    /// One for each formula, in the order's hand order.
    pub jars: Vec<PlannedJar>,
    /// One for each formula, in the same order.
    pub pots: Vec<PlannedPot>,
}

/// One formula's jar, planned.
#[derive(Debug, Clone)]
pub struct PlannedJar {
    graph: Arc<Graph>,
    work: Arc<Work>,
    place: Place,
}

/// What is changed at the stove; what is left out stays as planned.
///
/// What spreads in the plan spreads as much here, about its new value; minutes kept by a clock
/// do not.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Departure {
    /// Food when it is filled [°C], 0 to 110.
    pub fill_c: Option<f64>,
    /// Bath when the jars go in [°C], 0 to 110.
    pub bath_start_c: Option<f64>,
    /// Minutes from jars in to the boil, 0 to 240. Left out, the burner stays as planned, and what is
    /// changed besides shortens or lengthens them.
    pub come_up_min: Option<f64>,
    /// Minutes at the boil, 0 to 600.
    pub hold_min: Option<f64>,
    /// Height above sea level [m], -450 to 6000, under the standard atmosphere.
    pub altitude_m: Option<f64>,
    /// Another jar, by its name on file, filled to the same headspace.
    pub jar: Option<String>,
    /// Another inner radius [mm], 15 to 80, the food as high as planned; not with `jar`.
    pub inner_radius_mm: Option<f64>,
}

impl Departure {
    /// Every number within its bounds.
    fn check(&self) -> Result<(), PlanError> {
        let within = |what: &str, got: Option<f64>, (least, most): (f64, f64), unit: &str| match got {
            Some(got) if !(least..=most).contains(&got) => Err(PlanError::asked(
                format!("{what} of {got} {unit} is no departure that can be followed"),
                format!("give {least} to {most} {unit}"),
            )),
            _ => Ok(()),
        };
        within("a fill temperature", self.fill_c, (0.0, 110.0), "°C")?;
        within("a bath start", self.bath_start_c, (0.0, 110.0), "°C")?;
        within("a come-up", self.come_up_min, (0.0, 240.0), "min")?;
        within("a process time", self.hold_min, (0.0, 600.0), "min")?;
        within("an altitude", self.altitude_m, (-450.0, 6000.0), "m")?;
        within("an inner radius", self.inner_radius_mm, (15.0, 80.0), "mm")?;
        if self.jar.is_some() && self.inner_radius_mm.is_some() {
            return Err(PlanError::asked(
                "another jar and another inner radius at once",
                "give one of the two",
            ));
        }
        Ok(())
    }
}

fn physics(error: &HeatError) -> PlanError {
    PlanError::physics("the jar with this departure", error)
}

impl PlannedJar {
    pub(crate) fn new(graph: &Arc<Graph>, work: &Arc<Work>, place: &Place) -> Self {
        Self {
            graph: Arc::clone(graph),
            work: Arc::clone(work),
            place: place.clone(),
        }
    }

    /// Formula's name.
    #[must_use]
    pub fn formula(&self) -> &str {
        &self.work.formula.name
    }

    /// Jar's name.
    #[must_use]
    pub fn jar(&self) -> &str {
        &self.work.jar_name
    }

    /// The jar with something changed: conditions, ruling, and, where the food conducts and a process
    /// is there to follow, what its cold spot and its volume get.
    ///
    /// The central run is on the plan's own cells, so that nothing changed gives the plan's own
    /// numbers. The band is of `runs` draws by eigenfunctions, each counted by how far it is from the
    /// same solver's central run; the same `runs` give the same answer.
    ///
    /// * `runs`: 64 to 20,000
    ///
    /// # Errors
    /// [`PlanError::Asked`] for a number outside its bounds or an unknown jar,
    /// [`PlanError::CannotMeet`] for a bath that never boils,
    /// [`PlanError::Physics`] for a jar outside what the solvers take.
    pub fn depart(&self, departure: &Departure, runs: usize) -> Result<Departed, PlanError> {
        Ok(self.answer(departure, runs)?.0)
    }

    /// Every quantity behind the figures of [`PlannedJar::depart`], themselves with them, by their
    /// handles: what the departure made anew, and what it took of the plan, down to what was entered,
    /// measured or published.
    ///
    /// It is asked for when somebody wants to know why, and costs as much as the answer itself. A
    /// handle means the same quantity in every departure of a jar only where the plan has it too.
    ///
    /// * `runs`: as the answer was asked for
    ///
    /// # Errors
    /// As [`PlannedJar::depart`].
    pub fn quantities(&self, departure: &Departure, runs: usize) -> Result<BTreeMap<String, Figure>, PlanError> {
        let (_, changed) = self.answer(departure, runs)?;
        let anew = || changed.graph.ids().skip(self.graph.len());
        let shown = [changed.fill_c, changed.start_c, changed.come_up, changed.boils];
        let wanted = anew().chain(shown).chain(changed.hold).collect();
        let first = anew().next();
        let (planned, anew): (Vec<Id>, Vec<Id>) = views::behind(&changed.graph, wanted)
            .into_iter()
            .partition(|id| first.is_none_or(|first| *id < first));
        let mut quantities = self.graph.figures(views::behind(&self.graph, planned));
        quantities.extend(changed.graph.figures(anew));
        Ok(quantities)
    }

    fn answer(&self, departure: &Departure, runs: usize) -> Result<(Departed, Changed), PlanError> {
        departure.check()?;
        if !(RUNS.0..=RUNS.1).contains(&runs) {
            return Err(PlanError::asked(
                format!("{runs} runs of a jar"),
                format!("give {} to {}", RUNS.0, RUNS.1),
            ));
        }
        let mut changed = Changed::new(self, departure, runs)?;
        let spot = match &self.work.way.spot {
            Some(_) => Some(self.spot(&mut changed, runs)?),
            None => None,
        };
        let conditions = conditions::conditions(self, departure, &changed);
        let ruling = conditions::ruling(self, &conditions, spot.as_ref());
        let course = changed.course();
        let departed = Departed {
            formula: self.formula().to_owned(),
            fill: changed.figure(changed.fill_c),
            bath_start: changed.figure(changed.start_c),
            come_up: changed.figure(changed.come_up),
            hold: changed.hold.map(|id| changed.figure(id)),
            water_boils: changed.figure(changed.boils),
            conditions,
            ruling,
            medium: course.as_ref().map(medium).unwrap_or_default(),
            way: course.as_ref().map(way).unwrap_or_default(),
            not_computed: self.work.not_computed.clone(),
            spot,
        };
        Ok((departed, changed))
    }

    fn spot(&self, changed: &mut Changed, runs: usize) -> Result<DepartedSpot, PlanError> {
        let (Some(case), Some(target), Some(course)) = (&self.work.way.spot, self.work.spot_target, changed.course())
        else {
            return Err(PlanError::asked("a jar without a process", "plan it with one"));
        };
        let mut volume = Volume::new((case.ref_c, case.z_k));
        let (run, quick) = Quick::nominal(&course, (case.ref_c, case.z_k), &mut |stretch, moment| {
            volume.see(stretch, moment);
        })
        .map_err(|e| physics(&e))?;
        let draws = Draws::new(&quick, &course, &run, changed, runs).map_err(|e| physics(&e))?;
        let inputs = changed.inputs.clone();
        let graph = &mut changed.graph;
        let mut figure = |name, unit, equation, value, samples| {
            let output = Output { name, unit, equation };
            let id = graph.answered(output, &inputs, value, samples);
            graph.figure(id)
        };
        let temperature = |name, value, samples: &[f64]| (name, Unit::Celsius, &JAR_MODES, value, Some(samples.into()));
        let mut put = |(name, unit, equation, value, samples)| figure(name, unit, equation, value, samples);
        let at_boil = put(temperature(
            "cold spot when the water boils",
            run.at_boil,
            &draws.at_boil_c,
        ));
        let at_end = put(temperature(
            "cold spot at the end of the time",
            run.at_end,
            &draws.at_end_c,
        ));
        let peak = put(temperature("highest cold spot", run.peak, &draws.peak_c));
        let target_min = target.minutes.value;
        let mut dose = |name, value: f64, samples: Vec<f64>| {
            let [p5, p50, p95] = draws::percentiles(&samples, [0.05, 0.5, 0.95]);
            let counted = samples.iter().filter(|min| min.is_finite()).count().max(1);
            let met = samples.iter().filter(|min| **min >= target_min).count();
            Dose {
                minutes: put((name, Unit::Minute, &DRAWN_DOSE, value, Some(samples.into()))),
                p5,
                p50,
                p95,
                of_target: value / target_min,
                chance: met as f64 / counted as f64,
            }
        };
        let nominal = run.doses_min;
        let whole_min = run.heating + run.cooling;
        let heating = dose("dose while heating", run.heating, draws.heating_min());
        let cooling = dose(
            "dose while cooling",
            run.cooling,
            draws.doses_min[Stretch::Cool as usize].clone(),
        );
        let whole = dose("whole dose", whole_min, draws.whole_min());
        let mut stretches: Vec<StretchDose> = [Stretch::Wait, Stretch::ComeUp, Stretch::Hold, Stretch::Cool]
            .into_iter()
            .map(|stretch| {
                let name = stretch.word();
                let minutes = nominal[stretch as usize];
                StretchDose {
                    stretch: name,
                    share: minutes / whole_min,
                    dose: dose(name, minutes, draws.doses_min[stretch as usize].clone()),
                }
            })
            .collect();
        stretches.retain(|part| part.dose.minutes.value > 0.0 || part.stretch == "at the boil");
        let mut over_volume = |names: [&'static str; 3], stretches: &[Stretch]| {
            let [mean, median, lowest] = volume.over(stretches);
            let mut put = |name, value| figure(name, Unit::Minute, &VOLUME_DOSE, value, None);
            VolumeDose {
                mean: put(names[0], mean),
                median: put(names[1], median),
                lowest: put(names[2], lowest),
            }
        };
        let volume_heating = over_volume(
            [
                "dose while heating, mean of the volume",
                "dose while heating, median of the volume",
                "dose while heating, lowest in the volume",
            ],
            &[Stretch::Wait, Stretch::ComeUp, Stretch::Hold],
        );
        let volume_whole = over_volume(
            [
                "whole dose, mean of the volume",
                "whole dose, median of the volume",
                "whole dose, lowest in the volume",
            ],
            &[Stretch::Wait, Stretch::ComeUp, Stretch::Hold, Stretch::Cool],
        );
        let pot = figure(
            "dose in the pot, of what cooks from the start",
            Unit::Minute,
            &jarwright_dose::LETHALITY,
            self.pot_min((case.ref_c, case.z_k))?,
            None,
        );
        let of_reference = self.of_reference(&draws);
        let so_far = so_far(&run, &course, (case.ref_c, case.z_k), &draws.curve)?;
        Ok(DepartedSpot {
            runs,
            refused: draws.refused,
            curve: draws.curve,
            so_far,
            at_boil,
            at_end,
            peak,
            heating,
            cooling,
            whole,
            stretches,
            volume_heating,
            volume_whole,
            pot,
            target: target.title.clone(),
            target_min,
            ref_c: case.ref_c,
            z_k: case.z_k,
            heating_of_reference: of_reference,
        })
    }

    /// Dose of the food in the pot while it cooks [min].
    fn pot_min(&self, (ref_c, z_k): (f64, f64)) -> Result<f64, PlanError> {
        let (mut times_s, mut temperatures_c) = (Vec::new(), Vec::new());
        // Where something goes in, two readings share a time; the later one counts.
        for &(s, c) in &self.work.way.pot_curve {
            if times_s.last().is_some_and(|last| s <= *last) {
                times_s.pop();
                temperatures_c.pop();
            }
            times_s.push(s);
            temperatures_c.push(c);
        }
        if times_s.len() < 2 {
            return Ok(0.0);
        }
        jarwright_dose::lethality_min(&times_s, &temperatures_c, ref_c, z_k)
            .map_err(|e| PlanError::physics("the dose in the pot", &e))
    }

    /// Band of the heating dose over what every published condition at sea level gives, run by run
    /// on the plan's own rows.
    fn of_reference(&self, draws: &Draws) -> Option<(f64, f64)> {
        let spot = self.work.spot.as_ref()?;
        let ratio = self.graph.samples(spot.heating_of_reference?)?;
        let planned = self.graph.samples(spot.heating)?;
        let ratios: Vec<f64> = draws
            .heating_min()
            .iter()
            .zip(planned)
            .zip(ratio)
            .map(|((here, plan), ratio)| here / plan * ratio)
            .collect();
        let [low, high] = draws::percentiles(&ratios, [0.05, 0.95]);
        Some((low, high))
    }
}

/// What is around the jar: minutes from the pot, and °C; a jump is two points at one time.
fn medium(course: &Course) -> Vec<(f64, f64)> {
    let mut points = Vec::new();
    let mut now_min = 0.0;
    for (_, phase) in course.phases() {
        points.push((now_min, phase.ambient_start_c));
        now_min += phase.duration_s / 60.0;
        points.push((now_min, phase.ambient_end_c));
    }
    points
}

/// The stretches of the jar's way with their times.
fn way(course: &Course) -> Vec<WayStretch> {
    let mut now_min = 0.0;
    let each = course.phases().into_iter().map(|(stretch, phase)| {
        let from_min = now_min;
        now_min += phase.duration_s / 60.0;
        WayStretch {
            stretch: stretch.word(),
            from_min,
            until_min: now_min,
            in_water: matches!(stretch, Stretch::ComeUp | Stretch::Hold),
        }
    });
    each.collect()
}

/// What the central run's cold spot has got up to each of these moments, before and after it leaves
/// the bath.
fn so_far(
    run: &Run,
    course: &Course,
    (ref_c, z_k): (f64, f64),
    moments: &[CurvePoint],
) -> Result<Vec<DoseSoFar>, PlanError> {
    let out_min = course.wait_min + course.come_up_min + course.hold_min;
    let (mut heating_min, mut cooling_min) = (0.0, 0.0);
    let mut wanted = moments.iter().peekable();
    let mut told = Vec::with_capacity(moments.len());
    for pair in run.curve.windows(2) {
        let [(from, before), (until, after)] = [pair[0], pair[1]];
        while let Some(moment) = wanted.next_if(|moment| moment.minutes < until) {
            told.push(DoseSoFar {
                minutes: moment.minutes,
                heating_min,
                cooling_min,
            });
        }
        if until > from {
            let gained = jarwright_dose::lethality_min(&[60.0 * from, 60.0 * until], &[before, after], ref_c, z_k)
                .map_err(|e| PlanError::physics("the dose so far", &e))?;
            // A step of the solver ends where a phase does.
            let part = if until <= out_min + 1e-9 {
                &mut heating_min
            } else {
                &mut cooling_min
            };
            *part += gained;
        }
    }
    told.extend(wanted.map(|moment| DoseSoFar {
        minutes: moment.minutes,
        heating_min,
        cooling_min,
    }));
    Ok(told)
}

/// Minutes from the pot at which a curve is read: closer where it bends.
fn reading_times(course: &Course) -> Vec<f64> {
    let (wait, boil) = (course.wait_min, course.wait_min + course.come_up_min);
    let out = boil + course.hold_min;
    let mut times = Vec::new();
    let mut span = |from: f64, to: f64, many: usize, power: i32| {
        if to > from {
            times.extend((0..many).map(|i| from + (to - from) * (i as f64 / many as f64).powi(power)));
        }
    };
    span(0.0, wait, 5, 1);
    span(wait, boil, 10, 1);
    span(boil, out, 10, 1);
    let end = out + COOLING_S / 60.0;
    span(out, end, 24, 2);
    times.push(end);
    times
}
