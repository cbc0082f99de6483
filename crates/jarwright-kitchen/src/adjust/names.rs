//! The reserved names of a food before and after.

use jarwright_figure::{Cited, Graph};
use jarwright_reference::{self as reference, Counted, FoodClass, Kind};

use super::answer::{AskChange, NameChange};
use crate::cooking::Stop;
use crate::files::Part;
use crate::order::Law;
use crate::worked::Work;

/// What reserved names count, of one food at the stage it is sold.
pub(super) struct NameFacts {
    /// Soluble solids [°Brix].
    pub(super) brix: f64,
    pub(super) fat_g_per_kg: f64,
    pub(super) yolk_solids_g_per_kg: f64,
    /// Each fruit line: reference name and g used per kg of finished food.
    pub(super) fruits: Vec<(String, f64)>,
    /// Fruit in fruit plus sweetener, by weight [-].
    pub(super) fruit_share: f64,
}

/// One reserved name held against a food.
pub(super) struct NameStanding {
    pub(super) name: String,
    pub(super) asks: Vec<Ask>,
}

impl NameStanding {
    pub(super) fn bears(&self) -> bool {
        // A hundredth is rounding.
        self.asks
            .iter()
            .all(|ask| ask.at_least.is_some() && ask.margin >= -0.01)
    }
}

/// One thing a name asks.
pub(super) struct Ask {
    pub(super) what: &'static str,
    pub(super) unit: &'static str,
    pub(super) got: f64,
    /// `None`: set by law, figure not known here.
    pub(super) at_least: Option<Cited>,
    pub(super) margin: f64,
}

/// Every reserved name of a food's class in a market on a day.
fn standings(food: FoodClass, facts: &NameFacts, market: Law, day: &str) -> Vec<NameStanding> {
    let mut names: Vec<&str> = Vec::new();
    for row in reference::identities() {
        if row.market == market.market() && row.food == food && !names.contains(&row.name.as_str()) {
            names.push(&row.name);
        }
    }
    let most = facts.fruits.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let fruit = most.map_or("", |(name, _)| name.as_str());
    let counted = [
        (Counted::Brix, facts.brix, "soluble solids", "°Brix", 1.0),
        (
            Counted::FruitGPerKg,
            facts.fruits.iter().map(|(_, g)| g).sum(),
            "fruit",
            "g/kg",
            1.0,
        ),
        (
            Counted::FruitShare,
            100.0 * facts.fruit_share,
            "fruit in fruit and sugar",
            "%",
            100.0,
        ),
        (Counted::FatGPerKg, facts.fat_g_per_kg, "fat", "g/kg", 1.0),
        (
            Counted::YolkSolidsGPerKg,
            facts.yolk_solids_g_per_kg,
            "egg-yolk solids",
            "g/kg",
            1.0,
        ),
    ];
    names
        .into_iter()
        .map(|name| NameStanding {
            name: name.to_owned(),
            asks: counted
                .iter()
                .filter_map(|&(counted, got, what, unit, times)| {
                    let row = reference::identity(market.market(), name, counted, fruit, day)?;
                    Some(Ask {
                        what,
                        unit,
                        got,
                        margin: got - times * row.at_least.value,
                        at_least: Some(Cited {
                            value: times * row.at_least.value,
                            ..row.at_least.clone()
                        }),
                    })
                })
                .collect(),
        })
        .filter(|standing| !standing.asks.is_empty())
        .collect()
}

/// The facts of a formula worked through.
fn facts(graph: &Graph, work: &Work) -> NameFacts {
    let brix = match work.stop {
        Stop::Brix(brix) => brix,
        Stop::Temperature(_) | Stop::Boiled(_) | Stop::AtTheBoil => graph.value(work.batch.filled.brix),
    };
    let in_jars: Vec<(&crate::lines::Line, f64)> = work
        .in_batch()
        .into_iter()
        .filter(|(line, _)| line.written.part != Some(Part::Soak))
        .map(|(line, id)| (line, graph.value(id)))
        .collect();
    let boiled_g = if work.formula.pack.is_some() {
        0.0
    } else {
        graph.value(work.batch.boiled_off_g)
    };
    let finished_g = in_jars.iter().map(|(_, g)| g).sum::<f64>() - boiled_g;
    NameFacts {
        brix,
        fat_g_per_kg: work.fat_g_per_kg,
        yolk_solids_g_per_kg: work.yolk_solids_g_per_kg,
        fruits: in_jars
            .iter()
            .filter(|(line, _)| {
                matches!(
                    line.ingredient.kind,
                    Kind::AcidFruit | Kind::LowAcidFruit | Kind::AcidJuice
                )
            })
            .map(|(line, g)| (line.ingredient.name.clone(), 1000.0 * g / finished_g))
            .collect(),
        fruit_share: work.fruit_share,
    }
}

/// The names before and after, by what the food is on each side.
pub(super) fn changes(before: (&Graph, &Work), after: (&Graph, &Work), market: Law, day: &str) -> Vec<NameChange> {
    let of = |(graph, work): (&Graph, &Work)| standings(work.food, &facts(graph, work), market, day);
    let after = of(after);
    of(before)
        .into_iter()
        .filter_map(|old| {
            let new = after.iter().find(|new| new.name == old.name)?;
            Some(NameChange {
                before: old.bears(),
                after: new.bears(),
                asks: old
                    .asks
                    .iter()
                    .filter_map(|ask| {
                        let now = new.asks.iter().find(|now| now.what == ask.what)?;
                        Some(AskChange {
                            what: ask.what,
                            unit: ask.unit,
                            at_least: now.at_least.as_ref().map(|c| c.value),
                            source: now.at_least.as_ref().map_or_else(String::new, |c| {
                                format!("{}, {}, {}", c.source, c.place, c.mark.words())
                            }),
                            before: ask.got,
                            after: now.got,
                            margin: now.margin,
                        })
                    })
                    .collect(),
                name: old.name,
            })
        })
        .collect()
}
