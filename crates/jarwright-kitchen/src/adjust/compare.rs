//! The formula before and after: lines, assay, names, schedule, routes, cautions.

use std::collections::BTreeMap;

use jarwright_figure::{Figure, Graph, Id, Unit};
use jarwright_reference::{self as reference, Kind};

use super::answer::{
    Adjustment, AssayChange, LineView, ReadingView, RouteChange, ScheduleChange, SwapView, TargetView,
};
use super::rounding::step_g;
use super::solve::{Solved, shown};
use super::stages::Reading;
use super::target::{Asked, Relation};
use super::{Origin, Worked, Worktop, names};
use crate::PlanError;
use crate::facts::ph_high;
use crate::files::{AmountUnit, FormulaFile};
use crate::inside::stand;
use crate::lines::{Line, resolve};
use crate::measure::kitchen_measure;
use crate::on_scale::Side;
use crate::place::place;
use crate::plan::{Caution, Verdict};
use crate::setting::setting;
use crate::views::reachable_from;

/// Routes from the strictest state to the mildest.
const STATES: [&str; 3] = ["closed", "only-with", "open"];

/// A changed formula as it is written: without the schedule it has left, and, where it is another
/// food and not just more of it, without what was measured or signed of the old one.
///
/// Returns it with the departures from the schedule that the formula stood under before.
pub(super) fn as_written(
    worktop: &Worktop,
    before: &Worked,
    mut formula: FormulaFile,
    same_food: bool,
) -> Result<(FormulaFile, Vec<String>), PlanError> {
    if !same_food {
        formula.measured = None;
        formula.letter = None;
    }
    let Some(schedule) = before.work.standing.schedule else {
        return Ok((formula, Vec::new()));
    };
    let claimed = FormulaFile {
        schedule: Some(schedule.key.clone()),
        ..formula.clone()
    };
    let order = worktop.order(&claimed);
    let mut graph = Graph::new();
    let place = place(&mut graph, worktop.kitchen, order.altitude_m, None)?;
    let set = setting(
        &mut graph,
        &order,
        &order.lines[0],
        worktop.kitchen,
        worktop.stores,
        &place,
    )
    .map_err(no_longer)?;
    let departures = stand(&set.schedule_case(&graph))?.departures;
    // A claim that did not hold before is the cook's own; more of the same food does not end it.
    if !departures.is_empty() && (!same_food || inside(before)) {
        formula.schedule = None;
    }
    Ok((formula, departures))
}

/// A formula that meets the targets and cannot be cooked is an answer of its own, not bad input.
pub(super) fn no_longer(error: PlanError) -> PlanError {
    match error {
        PlanError::Asked { what, hint } => PlanError::CannotMeet {
            reason: format!("with the amounts that meet the targets it can no longer be cooked: {what}"),
            would: vec![hint],
        },
        PlanError::CannotMeet { reason, would } => PlanError::CannotMeet {
            reason: format!("with the amounts that meet the targets it can no longer be cooked: {reason}"),
            would,
        },
        PlanError::Physics { what, cause } => PlanError::CannotMeet {
            reason: format!("{what} could not be computed with the amounts that meet the targets: {cause}"),
            would: vec!["ask for less".into()],
        },
        other => other,
    }
}

/// Whether a formula stands inside its schedule, bath and all.
fn inside(worked: &Worked) -> bool {
    worked.work.standing.inside() && worked.work.departures.is_empty()
}

/// Gives the titratable acidity before and after a place among the quantities of their plans.
pub(super) fn acidity_as_quantity(before: &mut Worked, solved: &mut Solved) {
    let place = |worked: &mut Worked, value: f64| {
        let filled = &worked.work.batch.filled;
        let inputs: Vec<Id> = [filled.acids].into_iter().chain(filled.ph).collect();
        let name = "titratable acidity as citric acid";
        let equation = &jarwright_matter::TITRATABLE_ACIDITY;
        worked.graph.decide(name, Unit::Percent, equation, &inputs, value)
    };
    let was = solved.acidity.0.map(|value| place(before, value));
    let is = solved
        .acidity
        .1
        .map(|value| place(solved.worked.as_mut().unwrap_or(before), value));
    solved.acidity_ids = (was, is);
}

/// The answer.
pub(super) fn compare(
    worktop: &Worktop,
    before: &Worked,
    solved: &Solved,
    swaps: Vec<SwapView>,
    kept: &[usize],
) -> Result<Adjustment, PlanError> {
    let request = worktop.request;
    let after = solved.worked.as_ref().unwrap_or(before);
    let lines = lines(worktop, solved, kept)?;
    let day = request.now.date().to_string();
    let met = solved.held.iter().all(|h| h.short <= 0.0);
    let worst = solved
        .held
        .iter()
        .enumerate()
        .filter(|(_, h)| h.short > 0.0)
        .max_by(|a, b| (a.1.short / a.1.target.tolerance()).total_cmp(&(b.1.short / b.1.target.tolerance())))
        .map(|(i, _)| i);
    let mut changed_names: Vec<String> = Vec::new();
    for line in lines.iter().filter(|l| !matches!(l.change, "as written" | "scaled")) {
        if !changed_names.contains(&line.ingredient) {
            changed_names.push(line.ingredient.clone());
        }
    }
    let mut notes = solved.notes.clone();
    notes.extend(less_egg(before, after));
    notes.extend(less_made(solved));
    notes.extend(water_short(&swaps));
    notes.extend(printed_dose(after, solved));
    let changed = solved.worked.is_some();
    if changed && request.formula.measured.is_some() && solved.formula.measured.is_none() {
        notes.push("what was measured was measured on the formula as written: measure the new one".into());
    }
    if changed && request.formula.letter.is_some() && solved.formula.letter.is_none() {
        notes.push("the process authority's letter is for the formula as written: it is not carried over".into());
    }
    if let Some(factor) = solved.scaled {
        notes.push(if changed_names.is_empty() {
            format!("everything times {factor:.3}: the shares stay, so nothing else of the food changes")
        } else {
            format!("everything times {factor:.3} for the yield, after the lines that changed")
        });
    }
    if let Some(stop) = &solved.stop {
        notes.push(format!(
            "this food is boiled down to its °Brix: the target moved the stop, from {} to {}",
            stop.before, stop.after
        ));
    }
    if after.work.batch.filled.ph.is_some() {
        notes.push(
            "a computed pH releases nothing: measure the pH of the new food with a meter before you rely on it".into(),
        );
    }
    let targets = solved
        .held
        .iter()
        .enumerate()
        .map(|(i, h)| TargetView {
            target: h.target.words(),
            asked: h.target.asked.word(),
            relation: h.target.relation.sign(),
            value: h.target.value,
            unit: h.target.asked.unit(),
            before: reading(&h.before),
            after: reading(&h.after),
            met: h.short <= 0.0,
            short: h.short,
            binds: worst == Some(i),
            held_against: match h.target.relation {
                Relation::AtMost if h.target.asked.banded() => "upper end of the band",
                Relation::AtLeast if h.target.asked.banded() => "lower end of the band",
                _ => "value",
            },
            by: h.by,
        })
        .collect();
    let (assay, quantities) = assay(before, after, solved);
    Ok(Adjustment {
        quantities,
        formula: request.formula.name.clone(),
        food: request.formula.food.word().into(),
        market: request.market.word(),
        for_use: request.for_use.word(),
        jar: worktop.jar.to_owned(),
        stage: solved.stage.word(),
        met,
        lines_changed: lines
            .iter()
            .filter(|l| l.change != "as written" && l.change != "scaled")
            .count(),
        change: solved.change,
        targets,
        cannot: solved.cannot.clone(),
        lines,
        scaled: solved.scaled,
        makes_before_g: solved.makes_g.0,
        makes_after_g: solved.makes_g.1,
        stop: solved.stop.clone(),
        swaps,
        assay,
        ph_unknown: after.work.batch.filled.ph_unknown.clone(),
        names: names::changes(
            (&before.graph, &before.work),
            (&after.graph, &after.work),
            request.market,
            &day,
        ),
        schedule: schedule(before, after, solved, changed_names),
        routes: routes(&before.work.verdicts, &after.work.verdicts),
        cautions: no_longer_acid(worktop, before, after)
            .into_iter()
            .chain(after.work.cautions.clone())
            .collect(),
        alternatives: solved.alternatives.clone(),
        notes,
        new_formula: FormulaFile {
            name: new_name(&request.formula.name, changed),
            ..solved.formula.clone()
        },
    })
}

/// A formula of another food has a name of its own, so that both can stand in one order.
fn new_name(name: &str, changed: bool) -> String {
    const ADJUSTED: &str = ", adjusted";
    if changed && !name.ends_with(ADJUSTED) {
        format!("{name}{ADJUSTED}")
    } else {
        name.to_owned()
    }
}

/// Greatest pH of an acid or acidified food (`cfr21_114`, 114.3).
const ACID_FOOD_PH: f64 = 4.6;

/// What a pH above that of acid food means; its whole band counts.
fn no_longer_acid(worktop: &Worktop, before: &Worked, after: &Worked) -> Option<Caution> {
    let high = |worked: &Worked| ph_high(&worked.graph, &worked.work.formula, worktop.kitchen, &worked.work.batch);
    let now = high(after)?;
    let was = match high(before) {
        Some(was) if was <= ACID_FOOD_PH => "it was an acid food before and is none now",
        _ => "it is no acid food",
    };
    (now > ACID_FOOD_PH).then(|| Caution {
        at: "keeping",
        formula: after.work.formula.name.clone(),
        text: format!(
            "The pH may be as high as {now:.2}, above {ACID_FOOD_PH} (21 CFR 114.3): {was}. No schedule for acid or \
             acidified food applies to it, whatever its minutes, and Clostridium botulinum can grow in its closed jar. \
             Published practice for low-acid food is a tested pressure process from a process authority; without one \
             keep it cold, or bring the pH back down."
        ),
    })
}

/// How much less of something is worth a word.
const WORTH_A_WORD: f64 = 0.1;

/// An egg sets a curd: how far its share fell, where it did.
fn less_egg(before: &Worked, after: &Worked) -> Option<String> {
    let share = |worked: &Worked| {
        let lines = worked.work.in_batch();
        let of = |keep: &dyn Fn(&Line) -> bool| -> f64 {
            lines
                .iter()
                .filter(|(l, _)| keep(l))
                .map(|(_, id)| worked.graph.value(*id))
                .sum()
        };
        of(&|l| l.ingredient.kind == Kind::Egg) / of(&|_| true)
    };
    let (had, has) = (share(before), share(after));
    (had > 0.0 && has < (1.0 - WORTH_A_WORD) * had).then(|| {
        format!(
            "egg falls from {:.0} % to {:.0} % of the food: it sets it, and nothing here tells whether that is still enough; ask that the eggs stay if it must",
            100.0 * had,
            100.0 * has
        )
    })
}

/// Acid that a tested recipe prints stands as printed, whatever a computed pH would do with.
///
/// # Source
/// `usda_guide_1994`, tomatoes, introduction: acid for each quart, half of it for each pint.
fn printed_dose(after: &Worked, solved: &Solved) -> Option<String> {
    let sours = solved
        .held
        .iter()
        .any(|h| matches!(h.target.asked, Asked::Ph | Asked::Acidity));
    let tomato = after.work.lines.iter().any(|l| l.ingredient.name.contains("tomato"));
    let low_acid = after
        .work
        .lines
        .iter()
        .any(|l| matches!(l.ingredient.kind, Kind::LowAcidFruit | Kind::Vegetable | Kind::Allium));
    match (sours && low_acid, sours && tomato) {
        (_, true) => Some(
            "acid for tomatoes is published: 2 tablespoons of bottled lemon juice, or 1/2 teaspoon of citric acid, or 4 tablespoons of 5 % vinegar for each quart (usda_guide_1994); a smaller computed amount does not replace it"
                .into(),
        ),
        (true, false) => Some(
            "where a tested recipe prints how much acid goes to such pieces, that amount stands; a smaller computed one does not replace it"
                .into(),
        ),
        (false, false) => None,
    }
}

/// A formula that makes less than it did fills fewer jars.
fn less_made(solved: &Solved) -> Option<String> {
    let (had, has) = (solved.makes_g.0?, solved.makes_g.1?);
    (solved.scaled.is_none() && (has / had - 1.0).abs() > WORTH_A_WORD).then(|| {
        format!(
            "one formula makes {has:.0} g, before {had:.0} g: ask for \"yield {had:.0} g\" too, to keep what it makes"
        )
    })
}

/// A swap that left less water says how to make up for it.
fn water_short(swaps: &[SwapView]) -> Option<String> {
    let short = |swap: &SwapView| {
        swap.held
            .iter()
            .any(|held| held.what == "water" && !held.kept && held.after_g < held.before_g)
    };
    swaps
        .iter()
        .any(short)
        .then(|| "no line could make up for the water that left with the swap: --add water lets it come back".into())
}

fn reading(r: &Reading) -> ReadingView {
    ReadingView {
        value: r.value,
        low: r.low,
        high: r.high,
    }
}

/// What is in the food before and after, with every quantity behind it. Handles of the plan after
/// stand behind those of the plan before.
fn assay(before: &Worked, after: &Worked, solved: &Solved) -> (Vec<AssayChange>, BTreeMap<String, Figure>) {
    let further = if solved.worked.is_some() { before.graph.len() } else { 0 };
    let (was, is) = (&before.work.batch.filled, &after.work.batch.filled);
    let changes = [
        ("soluble solids", Some(was.brix), Some(is.brix)),
        ("pH", was.ph, is.ph),
        ("water activity", Some(was.water_activity), Some(is.water_activity)),
        ("sugars", Some(was.sugars), Some(is.sugars)),
        ("fat", Some(was.fat), Some(is.fat)),
        (
            "titratable acidity, as citric",
            solved.acidity_ids.0,
            solved.acidity_ids.1,
        ),
    ];
    let handles =
        |ids: &mut dyn Iterator<Item = Option<Id>>| -> Vec<String> { ids.flatten().map(|id| id.to_string()).collect() };
    let mut quantities = reachable_from(&before.graph, &handles(&mut changes.iter().map(|change| change.1)));
    for (_, figure) in reachable_from(&after.graph, &handles(&mut changes.iter().map(|change| change.2))) {
        let figure = figure.renumbered(further);
        quantities.insert(figure.id.clone(), figure);
    }
    let changes = changes.into_iter().map(|(what, was, is)| AssayChange {
        what,
        before: was.map(|id| before.graph.figure(id)),
        after: is.map(|id| after.graph.figure(id).renumbered(further)),
    });
    (changes.collect(), quantities)
}

fn schedule(before: &Worked, after: &Worked, solved: &Solved, changed_names: Vec<String>) -> ScheduleChange {
    let key = |worked: &Worked| worked.work.standing.schedule.map(|s| s.key.clone());
    let changed = solved.worked.is_some();
    ScheduleChange {
        before: key(before),
        inside_before: inside(before),
        after: key(after).filter(|_| inside(after)),
        inside_after: inside(before) && inside(after) && key(before) == key(after),
        changed: changed_names,
        departures: if changed {
            solved.departures.clone()
        } else {
            before.work.departures.clone()
        },
    }
}

/// Routes side by side; what was closed is not announced as open here.
fn routes(before: &[Verdict], after: &[Verdict]) -> Vec<RouteChange> {
    let rank = |state: &str| STATES.iter().position(|s| *s == state).unwrap_or(0);
    before
        .iter()
        .filter_map(|old| {
            let new = after.iter().find(|new| new.route == old.route)?;
            let milder = rank(new.state) > rank(old.state);
            let mut why: Vec<String> = new.reasons.iter().map(|r| r.text.clone()).collect();
            if milder {
                why = vec![format!(
                    "as before: an adjustment opens nothing; plan the new formula to see what it stands on ({})",
                    why.join("; ")
                )];
            }
            Some(RouteChange {
                route: old.route,
                before: old.state,
                after: if milder { old.state } else { new.state },
                why,
            })
        })
        .collect()
}

/// Every line before and after, in the order of the formula; what is gone stands last.
fn lines(worktop: &Worktop, solved: &Solved, kept: &[usize]) -> Result<Vec<LineView>, PlanError> {
    let request = worktop.request;
    let mut graph = Graph::new();
    let resolved = |graph: &mut Graph, formula: &FormulaFile| -> Result<Vec<(Line, f64)>, PlanError> {
        let lines = resolve(graph, formula, worktop.stores)?;
        Ok(lines.into_iter().map(|l| (l.clone(), graph.value(l.one_g))).collect())
    };
    let old = resolved(&mut graph, &request.formula)?;
    let new = resolved(&mut Graph::new(), &solved.formula)?;
    let mut out: Vec<LineView> = Vec::new();
    let mut seen = vec![false; old.len()];
    for ((line, after_g), origin) in new.iter().zip(&solved.origins) {
        let from = origin.written();
        for &i in &from {
            seen[i] = true;
        }
        let same = match origin {
            Origin::Written(i) => old.get(*i),
            Origin::For(_) | Origin::Added => None,
        };
        let before_g = same.map_or(0.0, |(_, g)| *g);
        let moved = (after_g - before_g).abs() > 1e-9;
        out.push(LineView {
            ingredient: line.written.ingredient.clone(),
            written: same.map_or_else(String::new, |(l, _)| l.written.amount.to_string()),
            before_g,
            after_g: if moved { *after_g } else { shown(*after_g) },
            after_measure: match same {
                Some((l, g)) if moved => measure(l, after_g / g, request.formula.cup),
                Some((l, _)) => l.written.amount.to_string(),
                None => String::new(),
            },
            difference_g: after_g - before_g,
            relative: same.map(|(_, g)| after_g / g - 1.0),
            change: match origin {
                Origin::Added => "new",
                Origin::For(_) => "swapped in",
                Origin::Written(_) if !moved => "as written",
                Origin::Written(_) if only_scaled(solved, after_g / before_g, *after_g) => "scaled",
                Origin::Written(_) => "changed",
            },
            kept: from.iter().any(|i| kept.contains(i)),
        });
        if let Origin::For(all) = origin {
            out.extend(
                all.iter()
                    .filter_map(|&i| old.get(i))
                    .map(|(l, g)| gone(l, *g, "swapped out")),
            );
        }
    }
    out.extend(
        old.iter()
            .zip(&seen)
            .filter(|(_, seen)| !**seen)
            .map(|((line, g), _)| gone(line, *g, "taken out")),
    );
    Ok(out)
}

/// Whether a line only grew with all the others, but for its rounding.
fn only_scaled(solved: &Solved, ratio: f64, after_g: f64) -> bool {
    let rounding = step_g(after_g) / after_g + 0.002;
    solved
        .scaled
        .is_some_and(|factor| (ratio / factor - 1.0).abs() <= rounding)
}

fn gone(line: &Line, before_g: f64, change: &'static str) -> LineView {
    LineView {
        ingredient: line.written.ingredient.clone(),
        written: line.written.amount.to_string(),
        before_g,
        after_g: 0.0,
        after_measure: String::new(),
        difference_g: -before_g,
        relative: Some(-1.0),
        change,
        kept: false,
    }
}

/// An amount times a factor in the cook's own unit: a mix of measures where one is near enough,
/// else the number as it comes.
fn measure(line: &Line, factor: f64, cup: Option<reference::CupSystem>) -> String {
    let amount = line.written.amount.times(factor);
    if amount.unit == AmountUnit::Gram {
        return String::new();
    }
    let said = kitchen_measure(&amount, cup.unwrap_or_default(), Side::Nearest);
    if said.is_empty() {
        let places = if amount.quantity < 10.0 { 2 } else { 1 };
        format!("{:.places$} {}", amount.quantity, amount.unit.word())
    } else {
        said
    }
}
