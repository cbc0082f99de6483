//! What a plan says beside its figures: sizes not studied, publishers that clash, the published
//! target that fits a food.

use jarwright_figure::{Graph, Id};
use jarwright_reference::{self as reference, FoodClass, Scope};

use crate::batching::Batch;
use crate::bathing::Load;

/// Rounding of a published come-up [min]: half of the minute it is printed to.
pub(crate) const COME_UP_ROUNDING_MIN: f64 = 0.5;

/// A potful larger than the published one has not been studied.
pub(crate) fn studied_size(schedule: &reference::Schedule, batch: &Batch, graph: &Graph, notes: &mut Vec<String>) {
    if let Scope::Formula(_) = schedule.scope
        && let Some((_, most)) = schedule.formula_makes
    {
        let multiple = graph.value(batch.multiple);
        if multiple > 1.0 + 1e-6 {
            notes.push(format!(
                "this potful is {multiple:.1} times the published one (which makes up to {most:.0} jars): not studied at this size; cook, fill and load within the wait all the same"
            ));
        }
    }
}

/// Come-up against what publishers print.
pub(crate) fn come_up_notes(
    graph: &Graph,
    published: Option<Id>,
    load: &Load,
    schedule: Option<&reference::Schedule>,
    notes: &mut Vec<String>,
    departures: &mut Vec<String>,
    start_given: bool,
) {
    let full = graph.value(load.come_up_full);
    if let Some(published) = published {
        let (low, high) = graph.band(published);
        match load.setting {
            Some(setting) => notes.push(format!(
                "full on, this burner brings the load up in {full:.0} min, less than the published {low:.0} to {high:.0} min: a departure. Turn it to {:.0} % of full, which gives {:.0} min",
                graph.value(setting),
                graph.value(load.come_up)
            )),
            None if load.slower => notes.push(format!(
                "this burner needs {full:.0} min, longer than the published {low:.0} to {high:.0} min; what that does to the heat stands with the cold spot"
            )),
            None => {}
        }
        if start_given && graph.value(load.come_up) < low - COME_UP_ROUNDING_MIN && load.setting.is_none() {
            departures.push(format!(
                "the come-up is {:.0} min, the published process has {low:.0} to {high:.0} min",
                graph.value(load.come_up)
            ));
        }
    }
    if let Some(schedule) = schedule {
        for (other, words) in &schedule.come_up_clash {
            notes.push(format!(
                "publishers clash: {:.1} to {:.1} min {words} ({}, {})",
                other.low,
                other.high,
                other.source,
                other.mark.words()
            ));
        }
    }
}

/// The published target of the food's class and acidity; the most demanding that is for it.
pub(crate) fn target(food: FoodClass, ph: f64) -> Option<&'static reference::Harbour> {
    let best = |rows: &mut dyn Iterator<Item = &'static reference::Harbour>| {
        rows.max_by(|a, b| a.minutes.value.total_cmp(&b.minutes.value))
    };
    best(&mut reference::harbours_for(food, ph)).or_else(|| {
        // No table was made for this class: the acid-vegetable one is shown, and said to be outside.
        best(
            &mut reference::harbours()
                .iter()
                .filter(move |h| !h.display_only && ph >= h.ph_low && ph <= h.ph_high),
        )
    })
}
