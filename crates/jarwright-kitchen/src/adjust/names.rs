//! The reserved names of a food before and after.

use jarwright_figure::Graph;

use super::answer::{AskChange, NameChange};
use crate::naming::{NameStanding, standings};
use crate::order::Law;
use crate::views::name_facts;
use crate::worked::Work;

/// The names before and after, by what the food is on each side.
pub(super) fn changes(before: (&Graph, &Work), after: (&Graph, &Work), market: Law, day: &str) -> Vec<NameChange> {
    let of = |(graph, work): (&Graph, &Work)| standings(work.food, &name_facts(graph, work, market), market, day);
    let before = of(before);
    of(after)
        .into_iter()
        .filter(|new| !new.is_remote())
        .map(|new| {
            let old = before.iter().find(|old| old.name == new.name);
            NameChange {
                before: old.map_or("not known", NameStanding::verdict),
                after: new.verdict(),
                asks: new
                    .asks
                    .iter()
                    .map(|ask| AskChange {
                        what: ask.what,
                        unit: ask.unit,
                        before: old
                            .and_then(|old| old.asks.iter().find(|had| had.what == ask.what))
                            .map(|had| had.got)
                            .filter(|got| got.is_finite()),
                        after: ask.got.is_finite().then_some(ask.got),
                        margin: ask.margin.is_finite().then_some(ask.margin),
                        said: ask.said(),
                    })
                    .collect(),
                name: new.name,
            }
        })
        .collect()
}
