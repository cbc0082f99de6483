//! From targets to a rounded formula that the plan itself finds to meet them.
//!
//! The search runs on quick values; what the plan of each answer says beside them is carried
//! into the next turn, until the plan agrees.

use jarwright_figure::{Graph, Id};

use super::answer::StopView;
use super::movers::{Who, movers};
use super::rounding::{Rounded, neighbours, on_scale, plain, step_g};
use super::search::{Bench, Found, Goal, Mover, search};
use super::stages::{Loss, PackedJar, Reading, Stages};
use super::target::{Asked, Relation, Target};
use super::whole::{factor, move_stop, scaled_masses};
use super::why::say_why;
use super::{Draft, Origin, Stage, Worked, Worktop, compare};
use crate::PlanError;
use crate::cooking::Stop;
use crate::files::{Amount, AmountUnit, FormulaFile, Part};
use crate::lines::{Line, resolve};

/// Turns between search and plan.
const MOST_TURNS: usize = 4;

/// Neighbours on the scale that are read with their bands.
const MOST_ROUNDED: usize = 8;

/// Other answers that are told.
const MOST_OTHERS: usize = 3;

/// A target with its readings.
#[derive(Debug, Clone)]
pub(super) struct Held {
    pub(super) target: Target,
    pub(super) before: Reading,
    pub(super) after: Reading,
    pub(super) short: f64,
    pub(super) by: &'static str,
}

/// What was found.
#[derive(Debug)]
pub(super) struct Solved {
    /// The formula to write, its empty lines left out.
    pub(super) formula: FormulaFile,
    pub(super) origins: Vec<Origin>,
    /// The plan of it; `None` where nothing changed.
    pub(super) worked: Option<Worked>,
    /// In what it leaves the schedule that it stood under before.
    pub(super) departures: Vec<String>,
    pub(super) held: Vec<Held>,
    pub(super) stage: Stage,
    pub(super) scaled: Option<f64>,
    pub(super) stop: Option<StopView>,
    pub(super) change: f64,
    pub(super) cannot: Vec<String>,
    pub(super) notes: Vec<String>,
    pub(super) alternatives: Vec<String>,
    /// Titratable acidity before and after [% as citric acid].
    pub(super) acidity: (Option<f64>, Option<f64>),
    /// The same as quantities of their plans.
    pub(super) acidity_ids: (Option<Id>, Option<Id>),
    /// What one formula makes at the stage, before and after [g].
    pub(super) makes_g: (Option<f64>, Option<f64>),
}

/// What moves for a target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum By {
    Lines,
    Stop,
    Everything,
}

/// The quick values of the targets that lines are moved for, put right by the last plan.
struct TargetBench<'a> {
    stages: &'a Stages,
    targets: &'a [Target],
    /// What the plan said more than the quick value, its lower and its upper end.
    beside: &'a [(f64, f64, f64)],
}

impl TargetBench<'_> {
    fn readings(&self, masses_g: &[f64]) -> Option<Vec<Reading>> {
        let readings = self.stages.readings(self.targets, masses_g)?;
        Some(
            readings
                .iter()
                .zip(self.beside)
                .map(|(r, beside)| Reading {
                    value: r.value + beside.0,
                    low: r.low + beside.1,
                    high: r.high + beside.2,
                })
                .collect(),
        )
    }
}

impl Bench for TargetBench<'_> {
    fn values(&self, masses_g: &[f64]) -> Option<Vec<f64>> {
        let values = self.stages.values(self.targets, masses_g)?;
        Some(values.iter().zip(self.beside).map(|(v, beside)| v + beside.0).collect())
    }

    fn bands(&self, masses_g: &[f64]) -> Option<Vec<(f64, f64)>> {
        let readings = self.readings(masses_g)?;
        Some(readings.iter().map(|r| (r.value - r.low, r.high - r.value)).collect())
    }
}

/// Masses found, and how.
pub(super) struct Step {
    masses_g: Vec<f64>,
    change: f64,
    /// Lines at their bound, where the targets are not met.
    pub(super) at_bound: Vec<usize>,
    /// As near as the scale comes, in tolerances beyond the target's own.
    coarse: f64,
    nearest_only: bool,
    /// Other sets of as few lines.
    others: Vec<Found>,
}

/// Solves a draft for the request's targets.
pub(super) fn solve(worktop: &Worktop, draft: Draft, before: &Worked, who: Who) -> Result<Solved, PlanError> {
    let request = worktop.request;
    let mut draft = draft;
    let mut notes = Vec::new();
    let pack = request.formula.pack.is_some();
    let stage = if pack { Stage::Filled } else { request.stage };
    if pack && request.stage != Stage::Filled {
        notes.push(
            "of a pack only the jar is assayed, pieces and brine at equilibrium: the targets are for that".into(),
        );
    }
    let swapped = draft.origins.iter().any(|o| matches!(o, Origin::For(_)));
    let targets = request.targets.clone();
    let was = of_written(worktop, before, stage, &targets)?;

    let mut graph = Graph::new();
    let lines = resolve(&mut graph, &draft.formula, worktop.stores)?;
    let from_g: Vec<f64> = lines.iter().map(|l| graph.value(l.one_g)).collect();
    let mut at = if swapped {
        Some(written(worktop, before, &draft, false)?)
    } else {
        None
    };
    let start = at.as_ref().map_or(before, |(_, worked, _)| worked);
    let mut stages = Stages::new(&mut graph, &lines, loss_of(start), packed_of(start), stage)?;
    if targets.iter().any(|t| t.asked == Asked::Ph)
        && let Some(why) = stages.ph_unknown(&from_g)
    {
        return Err(PlanError::asked(
            format!("the pH of {} cannot be told: {why}", request.formula.name),
            "give its acids and pH in the stores file (analysis = { citric_acid = ..., ph = ... }), or measure the food",
        ));
    }
    let told = |masses: &[f64], stages: &Stages| {
        let not = targets
            .iter()
            .find(|t| stages.values(std::slice::from_ref(t), masses).is_none());
        let what = not.map_or("it", |t| t.asked.word());
        PlanError::asked(
            format!(
                "{what} of {} cannot be computed: the food is outside what the published equations are good for",
                request.formula.name
            ),
            "ask for something else of it, or measure it",
        )
    };
    let mut beside = beside_of(start, &stages, stage, &targets, &from_g).ok_or_else(|| told(&from_g, &stages))?;
    let by: Vec<By> = targets
        .iter()
        .map(|target| match target.asked {
            Asked::Brix if !pack && stage != Stage::Weighed && matches!(stages.loss, Loss::ToBrix(_)) => By::Stop,
            Asked::Yield if who.kept.is_empty() && who.only.is_empty() => By::Everything,
            _ => By::Lines,
        })
        .collect();
    let movers = movers(&draft, &lines, &from_g, who, request.bounds);
    let of = |which: By| -> Vec<usize> { (0..targets.len()).filter(|&t| by[t] == which).collect() };
    let (for_lines, for_stop, for_all) = (of(By::Lines), of(By::Stop), of(By::Everything));
    let pick = |which: &[usize]| -> Vec<Target> { which.iter().map(|&t| targets[t].clone()).collect() };
    let line_targets = pick(&for_lines);

    let as_drafted = draft.formula.lines.clone();
    let mut cannot = Vec::new();
    let mut stop = None;
    let mut scaled = None;
    let mut step = None;
    let mut masses = from_g.clone();
    for _ in 0..MOST_TURNS {
        cannot.clear();
        scaled = None;
        if !for_stop.is_empty() {
            stop = move_stop(&mut draft, &mut stages, &pick(&for_stop), &masses, request, &mut cannot);
        }
        let line_beside: Vec<_> = for_lines.iter().map(|&t| beside[t]).collect();
        let bench = TargetBench {
            stages: &stages,
            targets: &line_targets,
            beside: &line_beside,
        };
        let found = move_lines(&bench, &from_g, &movers, &request.formula.name)?;
        masses.clone_from(&found.masses_g);
        step = Some(found);
        if let Some(factor) = factor(&stages, &pick(&for_all), &masses) {
            masses = scaled_masses(&stages, &lines, &pick(&for_all), &masses, factor, before);
            scaled = Some(factor);
        }
        draft.formula.lines.clone_from(&as_drafted);
        set_amounts(&mut draft, &masses, &from_g);
        let unchanged = at.is_none() && stop.is_none() && scaled.is_none() && masses == from_g;
        if unchanged {
            break;
        }
        let same_food = !swapped && stop.is_none() && step.as_ref().is_some_and(|s| s.masses_g == from_g);
        let now = written(worktop, before, &draft, same_food)?;
        stages.loss = match (loss_of(&now.1), stop.is_some()) {
            (Loss::ToBrix(_), true) => stages.loss,
            (loss, _) => loss,
        };
        let readings = actual(&now.1, &stages, stage, &targets, &masses).ok_or_else(|| told(&masses, &stages))?;
        let fine = targets
            .iter()
            .zip(&readings)
            .all(|(t, r)| t.miss(r.value, r.low, r.high) <= 0.0);
        beside = beside_of(&now.1, &stages, stage, &targets, &masses).ok_or_else(|| told(&masses, &stages))?;
        at = Some(now);
        if fine || !cannot.is_empty() || step.as_ref().is_some_and(|s| s.nearest_only) {
            break;
        }
    }

    let (formula, worked, departures) = match at {
        Some((formula, worked, departures)) => (formula, Some(worked), departures),
        None => (request.formula.clone(), None, Vec::new()),
    };
    let end = worked.as_ref().unwrap_or(before);
    let readings = actual(end, &stages, stage, &targets, &masses).ok_or_else(|| told(&masses, &stages))?;
    let held: Vec<Held> = (0..targets.len())
        .map(|t| {
            let (target, r) = (&targets[t], readings[t]);
            let mut short = target.miss(r.value, r.low, r.high);
            let coarse = step.as_ref().map_or(0.0, |s| s.coarse) * target.tolerance();
            if short > 0.0 && by[t] == By::Lines && target.relation == Relation::Equal && short <= coarse {
                notes.push(format!(
                    "{}: {} is as near as steps of the scale come",
                    target.words(),
                    target.asked.number(r.value)
                ));
                short = 0.0;
            }
            Held {
                before: was.0[t],
                after: r,
                short,
                by: match by[t] {
                    _ if readings[t] == was.0[t] => "nothing",
                    By::Stop => "the stop",
                    By::Everything => "everything",
                    By::Lines => "lines",
                },
                target: target.clone(),
            }
        })
        .collect();
    if held.iter().any(|h| h.short > 0.0) {
        say_why(&mut cannot, &held, &step, &draft, &stages, &movers);
    } else {
        cannot.clear();
    }
    let alternatives = step.iter().flat_map(|s| others(&s.others, &draft)).collect();
    let origins = draft
        .origins
        .iter()
        .zip(&masses)
        .filter(|(_, g)| **g > 0.0)
        .map(|(origin, _)| origin.clone())
        .collect();
    Ok(Solved {
        formula,
        origins,
        departures,
        held,
        stage,
        scaled,
        stop,
        change: step.map_or(0.0, |s| s.change),
        cannot,
        alternatives,
        notes,
        acidity: (was.1, stages.acidity(&masses)),
        acidity_ids: (None, None),
        makes_g: (was.2, stages.makes_g(&masses)),
        worked,
    })
}

/// Readings, acidity and mass of the formula as written.
type Written = (Vec<Reading>, Option<f64>, Option<f64>);

/// What the formula is as written.
fn of_written(worktop: &Worktop, before: &Worked, stage: Stage, targets: &[Target]) -> Result<Written, PlanError> {
    let mut graph = Graph::new();
    let lines = resolve(&mut graph, &worktop.request.formula, worktop.stores)?;
    let masses: Vec<f64> = lines.iter().map(|l| graph.value(l.one_g)).collect();
    let stages = Stages::new(&mut graph, &lines, loss_of(before), packed_of(before), stage)?;
    let unknown = Reading {
        value: f64::NAN,
        low: f64::NAN,
        high: f64::NAN,
    };
    let readings = actual(before, &stages, stage, targets, &masses).unwrap_or_else(|| vec![unknown; targets.len()]);
    Ok((readings, stages.acidity(&masses), stages.makes_g(&masses)))
}

/// The draft as it would be written and planned.
///
/// * `same_food`: nothing changed but how much is made of it
fn written(
    worktop: &Worktop,
    before: &Worked,
    draft: &Draft,
    same_food: bool,
) -> Result<(FormulaFile, Worked, Vec<String>), PlanError> {
    let mut formula = draft.formula.clone();
    formula.lines.retain(|line| line.amount.quantity > 0.0);
    let (formula, departures) = compare::as_written(worktop, before, formula, same_food)?;
    let worked = worktop.worked(&formula).map_err(compare::no_longer)?;
    Ok((formula, worked, departures))
}

fn loss_of(worked: &Worked) -> Loss {
    let at = |id| worked.graph.value(id);
    match worked.work.stop {
        Stop::Brix(brix) => Loss::ToBrix(brix),
        Stop::Temperature(_) | Stop::Boiled(_) | Stop::AtTheBoil => {
            Loss::Share(at(worked.work.batch.boiled_off_g) / at(worked.work.batch.weighed_g))
        }
    }
}

/// What a packed jar holds, by the plan.
fn packed_of(worked: &Worked) -> Option<PackedJar> {
    let pack = worked.work.formula.pack.as_ref()?;
    let at = |id| worked.graph.value(id);
    let lines = &worked.work.lines;
    let of = |keep: &dyn Fn(&Line) -> bool, left: bool| -> f64 {
        lines
            .iter()
            .filter(|l| keep(l))
            .map(|l| at(l.one_g) * if left { 1.0 - l.written.sieved_out } else { 1.0 })
            .sum()
    };
    let brine = |l: &Line| l.written.part == Some(Part::Brine) && !l.written.per_jar;
    let by_jar = of(&|l| l.written.per_jar, false);
    let in_jar = at(worked.work.batch.fill_g) - pack.pieces_per_jar_g - by_jar;
    // The sieve keeps some of the brine's spice: what is in the jar came from a little more.
    Some(PackedJar {
        pieces_g: pack.pieces_per_jar_g,
        brine_g: in_jar * of(&brine, false) / of(&brine, true),
    })
}

/// The plan's own readings where its assay has them, the quick ones elsewhere.
fn actual(
    worked: &Worked,
    stages: &Stages,
    stage: Stage,
    targets: &[Target],
    masses_g: &[f64],
) -> Option<Vec<Reading>> {
    let batch = &worked.work.batch;
    let assay = match stage {
        Stage::Weighed => &batch.weighed,
        Stage::Cooked => &batch.cooked,
        Stage::Filled => &batch.filled,
    };
    let quick = stages.readings(targets, masses_g)?;
    let exact = |id| {
        let value = worked.graph.value(id);
        Reading {
            value,
            low: value,
            high: value,
        }
    };
    let banded = |id| {
        let (low, high) = worked.graph.band(id);
        Reading {
            value: worked.graph.value(id),
            low,
            high,
        }
    };
    targets
        .iter()
        .zip(quick)
        .map(|(target, quick)| {
            Some(match target.asked {
                Asked::Brix => exact(assay.brix),
                Asked::Fat => exact(assay.fat),
                Asked::Sugar => exact(assay.sugars),
                Asked::Ph => banded(assay.ph?),
                Asked::WaterActivity => banded(assay.water_activity),
                Asked::Acidity | Asked::Fruit | Asked::Yield => quick,
            })
        })
        .collect()
}

/// What the plan says beside the quick readings.
fn beside_of(
    worked: &Worked,
    stages: &Stages,
    stage: Stage,
    targets: &[Target],
    masses_g: &[f64],
) -> Option<Vec<(f64, f64, f64)>> {
    let quick = stages.readings(targets, masses_g)?;
    let plan = actual(worked, stages, stage, targets, masses_g)?;
    Some(
        plan.iter()
            .zip(quick)
            .map(|(p, q)| (p.value - q.value, p.low - q.low, p.high - q.high))
            .collect(),
    )
}

/// The fewest lines that meet the targets, on the scale.
fn move_lines(bench: &TargetBench, from_g: &[f64], movers: &[Mover], formula: &str) -> Result<Step, PlanError> {
    let misses = |masses: &[f64]| -> Option<f64> {
        let readings = bench.readings(masses)?;
        Some(
            bench
                .targets
                .iter()
                .zip(readings)
                .map(|(t, r)| t.miss(r.value, r.low, r.high) / t.tolerance())
                .fold(0.0, f64::max),
        )
    };
    let as_it_is = Step {
        masses_g: from_g.to_vec(),
        change: 0.0,
        at_bound: Vec::new(),
        coarse: 0.0,
        nearest_only: false,
        others: Vec::new(),
    };
    if misses(from_g).is_some_and(|miss| miss <= 0.0) {
        return Ok(as_it_is);
    }
    if movers.is_empty() {
        return Err(PlanError::asked(
            format!("no line of {formula} is left that may move"),
            "keep fewer lines, or allow a new one: --add water, --add \"citric acid\"; of a pack the brine's lines move, not its pieces",
        ));
    }
    let goals: Vec<Goal> = bench
        .targets
        .iter()
        .map(|t| Goal {
            relation: t.relation,
            value: t.value,
            tolerance: t.tolerance(),
        })
        .collect();
    let best_of = |found: &Found| -> Option<(Rounded, f64)> {
        let mut best: Option<(Rounded, f64)> = None;
        for rounded in neighbours(bench, &goals, found).into_iter().take(MOST_ROUNDED) {
            let Some(miss) = misses(&rounded.masses_g) else {
                continue;
            };
            if best.as_ref().is_none_or(|(_, least)| miss < *least) {
                best = Some((rounded, miss));
            }
            if miss <= 0.0 {
                break;
            }
        }
        best
    };
    // The set of least change whose rounded amounts meet the targets; else what comes nearest.
    let mut nearest: Option<(Found, Rounded, f64)> = None;
    let searched = search(bench, &goals, from_g, movers, |found| {
        let (rounded, miss) = best_of(found)?;
        if nearest.as_ref().is_none_or(|(.., least)| miss < *least) {
            nearest = Some((found.clone(), rounded, miss));
        }
        (miss <= 0.0).then_some(())
    });
    let searched = searched.ok_or_else(|| {
        PlanError::asked(
            format!("{formula} cannot be assayed near its amounts"),
            "plan it first: the plan says what is wrong",
        )
    })?;
    let nearest =
        nearest.or_else(|| best_of(&searched.found).map(|(rounded, miss)| (searched.found.clone(), rounded, miss)));
    let Some((found, rounded, miss)) = nearest else {
        return Ok(as_it_is);
    };
    let mut masses_g = from_g.to_vec();
    for mover in &found.movers {
        let to = rounded.masses_g[mover.line];
        // What rounds back to what was written was not moved.
        if (to - from_g[mover.line]).abs() > 0.5 * step_g(to) + 1e-9 {
            masses_g[mover.line] = to;
        }
    }
    if misses(&masses_g).is_none_or(|m| m > miss + 1e-9) {
        masses_g.clone_from(&rounded.masses_g);
    }
    let at_bound = found
        .movers
        .iter()
        .filter(|m| {
            let (low, high) = m.bounds_g();
            let at = found.masses_g[m.line];
            (at - low).abs() < 1e-6 * m.unit_g || (at - high).abs() < 1e-6 * m.unit_g
        })
        .map(|m| m.line)
        .collect();
    Ok(Step {
        change: found.movers.iter().map(|m| m.change(masses_g[m.line]).abs()).sum(),
        at_bound,
        // The least that one step of a moved line does, in tolerances.
        coarse: if found.meets() {
            coarseness(bench, &goals, &found, &masses_g)
        } else {
            0.0
        },
        nearest_only: !found.meets(),
        others: searched.others,
        masses_g,
    })
}

fn coarseness(bench: &TargetBench, goals: &[Goal], found: &Found, masses_g: &[f64]) -> f64 {
    let Some(here) = bench.values(masses_g) else { return 0.0 };
    found
        .movers
        .iter()
        .filter_map(|mover| {
            let mut there = masses_g.to_vec();
            there[mover.line] += step_g(there[mover.line]);
            let values = bench.values(&there)?;
            values
                .iter()
                .zip(&here)
                .zip(goals)
                .map(|((there, here), goal)| (there - here).abs() / goal.tolerance)
                .reduce(f64::max)
        })
        .fold(0.0, f64::max)
}

/// Other answers in words, without rounding: which lines, from what to what.
fn others(found: &[Found], draft: &Draft) -> Vec<String> {
    found
        .iter()
        .take(MOST_OTHERS)
        .map(|found| {
            let lines: Vec<String> = found
                .movers
                .iter()
                .map(|m| {
                    let name = &draft.formula.lines[m.line].ingredient;
                    let to = on_scale(found.masses_g[m.line]);
                    if m.from_g > 0.0 {
                        format!(
                            "{name} {} g ({:+.0} %)",
                            plain(to),
                            100.0 * (found.masses_g[m.line] / m.from_g - 1.0)
                        )
                    } else {
                        format!("{name} {} g, new", plain(to))
                    }
                })
                .collect();
            lines.join(" and ")
        })
        .collect()
}

/// Writes masses that moved into the draft's lines.
fn set_amounts(draft: &mut Draft, masses_g: &[f64], from_g: &[f64]) {
    for ((line, &mass), &from) in draft.formula.lines.iter_mut().zip(masses_g).zip(from_g) {
        if (mass - from).abs() > 1e-9 {
            line.amount = Amount {
                quantity: if mass > 0.0 { mass } else { 0.0 },
                unit: AmountUnit::Gram,
            };
        }
    }
}

/// A mass as it stands on the scale, for a line that was not moved.
pub(super) fn shown(mass_g: f64) -> f64 {
    on_scale(mass_g)
}
