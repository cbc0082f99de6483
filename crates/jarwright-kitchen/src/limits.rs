//! What figures are held against: the numbers of the rules that speak of a food.
//!
//! Each is a published quantity of its own, so that a limit explains itself like any figure. The
//! rules decide in `verdict.rs`; nothing is decided here.

use jarwright_figure::{Bound, Cited, Graph, Id, Unit};
use jarwright_reference::{self as reference, Fact, Op, State};

use crate::batching::Batch;
use crate::files::FormulaFile;
use crate::verdict::Question;

/// A quantity that rules ask for, with every fact that is read off it.
pub(crate) struct Asked {
    facts: &'static [Fact],
    name: &'static str,
    unit: Unit,
    id: Id,
}

/// The quantities of the filled food that rules ask for. What was measured is held against the
/// limit in its place, so that its computed figure is left out.
pub(crate) fn asked(formula: &FormulaFile, batch: &Batch, stop_c: Option<Id>) -> Vec<Asked> {
    let measured = formula.measured.as_ref();
    let filled = &batch.filled;
    let ask = |facts, name, unit, id| Asked { facts, name, unit, id };
    let ph: &[Fact] = &[Fact::Ph, Fact::PhLow, Fact::PhHigh];
    let aw: &[Fact] = &[Fact::WaterActivity, Fact::WaterActivityLow, Fact::WaterActivityHigh];
    let computed = |measured: Option<f64>, id: Option<Id>| id.filter(|_| measured.is_none());
    [
        computed(measured.and_then(|m| m.ph), filled.ph).map(|id| ask(ph, "pH", Unit::Ph, id)),
        computed(measured.and_then(|m| m.water_activity), Some(filled.water_activity))
            .map(|id| ask(aw, "water activity", Unit::WaterActivity, id)),
        computed(measured.and_then(|m| m.brix), Some(filled.brix))
            .map(|id| ask(&[Fact::Brix], "soluble solids", Unit::Brix, id)),
        stop_c.map(|id| ask(&[Fact::HeatedToC], "temperature of the food", Unit::Celsius, id)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Holds each quantity against the numbers of the rules that speak of this food: right market,
/// use, class and day, and every yes or no of theirs answered as they ask.
pub(crate) fn hold_to_rules(graph: &mut Graph, question: &Question, asked: &[Asked]) {
    let speaks = |rule: &&reference::Rule| {
        let mut yes_and_no = rule.when.iter().filter(|condition| condition.op == Op::Is);
        let known = |fact: Fact| question.facts.get(&fact).copied().unwrap_or(f64::NAN);
        question.is_of(rule) && yes_and_no.all(|c| c.holds(known(c.fact)))
    };
    let mut rules: Vec<&reference::Rule> = reference::rules().iter().filter(speaks).collect();
    // A rule that closes says the limit itself; others name it on the way to something else.
    rules.sort_by_key(|rule| rule.state != State::Closed);
    for rule in rules {
        for condition in &rule.when {
            let bound = match condition.op {
                Op::Above | Op::AtMost => Bound::AtMost,
                Op::Below | Op::AtLeast => Bound::AtLeast,
                Op::Is => continue,
            };
            let Some(held) = asked.iter().find(|held| held.facts.contains(&condition.fact)) else {
                continue;
            };
            let told = |graph: &Graph| {
                graph
                    .limits(held.id)
                    .any(|(b, limit)| b == bound && (graph.value(limit) - condition.value).abs() < 1e-9)
            };
            if told(graph) {
                continue;
            }
            let place = match rule.edition.as_str() {
                "" => rule.place.clone(),
                edition => format!("{}; edition: {edition}", rule.place),
            };
            let limit = graph.published(
                &format!("limit:{}:{}:{}", rule.id, condition.fact.word(), condition.value),
                &format!("limit of the {}, rule {}", held.name, rule.id),
                held.unit,
                &Cited {
                    value: condition.value,
                    low: condition.value,
                    high: condition.value,
                    source: rule.source.clone(),
                    place,
                    mark: rule.mark,
                },
            );
            graph.hold(held.id, bound, limit);
        }
    }
}
