//! Why targets are not met, and what would help.

use super::Draft;
use super::search::Mover;
use super::solve::{Held, Step};
use super::stages::{Loss, Stages};
use super::target::Asked;

/// Names told of the lines at their bound.
const MOST_NAMED: usize = 6;

/// Why the targets are not met, and what would help.
pub(super) fn say_why(
    cannot: &mut Vec<String>,
    held: &[Held],
    step: &Option<Step>,
    draft: &Draft,
    stages: &Stages,
    movers: &[Mover],
) {
    let name = |i: usize| draft.formula.lines[i].ingredient.clone();
    if let Some(step) = step
        && !step.at_bound.is_empty()
    {
        let mut names: Vec<String> = step.at_bound.iter().map(|&i| name(i)).collect();
        names.dedup();
        let more = names.len().saturating_sub(MOST_NAMED);
        names.truncate(MOST_NAMED);
        if more > 0 {
            names.push(format!("and {more} more"));
        }
        cannot.push(format!(
            "at the end of how far they may move: {}; --at-least and --at-most widen that, as multiples of what is written",
            names.join("; ")
        ));
    }
    let missed = |asked: Asked| held.iter().any(|h| h.short > 0.0 && h.target.asked == asked);
    if missed(Asked::WaterActivity) && matches!(stages.loss, Loss::ToBrix(_)) {
        cannot.push("it is boiled down to its °Brix, and that sets the water activity: ask for more °Brix too".into());
    }
    let added = |word: &str| movers.iter().any(|m| name(m.line).to_lowercase().contains(word));
    let too_sour = held
        .iter()
        .any(|h| h.short > 0.0 && h.target.asked == Asked::Ph && h.after.value < h.target.value);
    if missed(Asked::Ph) && !too_sour && !added("acid") {
        cannot.push("a stronger acid needs less room: --add \"citric acid\"".into());
    }
    if (missed(Asked::Brix) || missed(Asked::Sugar))
        && !added("water")
        && held.iter().any(|h| {
            matches!(h.target.asked, Asked::Brix | Asked::Sugar) && h.short > 0.0 && h.after.value > h.target.value
        })
    {
        cannot.push("water thins: --add water".into());
    }
    if held.len() > 1 {
        cannot.push("each target takes room from the others: ask for one alone to see how far it goes".into());
    }
    if cannot.is_empty() {
        cannot.push("let more lines move, or ask for less".into());
    }
}
