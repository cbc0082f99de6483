//! A draft label: what the plan knows of it. A person checks it against the market's law.

use jarwright_figure::Figure;
use jarwright_reference::{self as reference, Counted, FoodClass};

use crate::lines::Line;
use crate::order::{Law, Use};
use crate::plan::Label;

/// What a label is made from.
pub(crate) struct LabelCase<'a> {
    pub(crate) formula: &'a str,
    pub(crate) food: FoodClass,
    pub(crate) lines: &'a [Line],
    /// Masses as added [g], soak left out.
    pub(crate) masses_g: &'a [f64],
    pub(crate) content: Figure,
    pub(crate) lots: Vec<String>,
    pub(crate) made: String,
    pub(crate) storage: Vec<String>,
    pub(crate) market: Law,
    pub(crate) for_use: Use,
    /// `YYYY-MM-DD`.
    pub(crate) day: &'a str,
    pub(crate) identity: IdentityFacts,
}

/// What reserved names count.
#[derive(Debug, Clone, Copy)]
pub(crate) struct IdentityFacts {
    pub(crate) brix: f64,
    pub(crate) fruit_share: f64,
    pub(crate) fruit_g_per_kg: f64,
    pub(crate) fat_g_per_kg: f64,
    pub(crate) yolk_solids_g_per_kg: f64,
}

/// The draft.
pub(crate) fn label(case: &LabelCase) -> Label {
    let mut by_name: Vec<(String, f64)> = Vec::new();
    for (line, &mass) in case.lines.iter().zip(case.masses_g) {
        let name = if line.ingredient.label_name.is_empty() {
            line.ingredient.name.clone()
        } else {
            line.ingredient.label_name.clone()
        };
        match by_name.iter_mut().find(|(known, _)| *known == name) {
            Some((_, sum)) => *sum += mass,
            None => by_name.push((name, mass)),
        }
    }
    by_name.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let mut allergens: Vec<String> = Vec::new();
    for (line, &mass) in case.lines.iter().zip(case.masses_g) {
        let list = match case.market {
            Law::Us => &line.ingredient.allergens_us,
            Law::Eu | Law::Uk => &line.ingredient.allergens_eu,
        };
        if mass > 0.0 {
            allergens.extend(
                list.iter()
                    .filter(|a| !allergens.contains(a))
                    .cloned()
                    .collect::<Vec<_>>(),
            );
        }
    }
    let mut open_points = vec!["maker's name and address".to_owned()];
    if case.for_use == Use::Sale {
        open_points.push(match case.market {
            Law::Us => "nutrition panel, or the exemption it is sold under".into(),
            Law::Eu | Law::Uk => "nutrition declaration, or the exemption it is sold under".into(),
        });
    }
    if case.market == Law::Us && matches!(case.food, FoodClass::Pickle | FoodClass::Relish) {
        open_points.push("pickles and relishes declare volume, not weight (21 CFR 101.7(r))".into());
    }
    let short = name_short(case);
    let mut name = case.formula.to_owned();
    if !short.is_empty() {
        name = format!("{name} (name to be settled)");
        open_points.push(format!(
            "\"{}\" is a reserved name in this market: {}",
            case.food.word(),
            short.join("; ")
        ));
    }
    Label {
        formula: case.formula.into(),
        name,
        ingredients: by_name.into_iter().map(|(name, _)| name).collect(),
        allergens,
        content: case.content.clone(),
        lots: case.lots.clone(),
        made: case.made.clone(),
        storage: case.storage.clone(),
        open_points,
    }
}

/// In what the food falls short of the name of its class in this market, on this day.
fn name_short(case: &LabelCase) -> Vec<String> {
    let facts = &case.identity;
    reference::identities()
        .iter()
        .filter(|row| {
            row.market == case.market.market()
                && row.food == case.food
                && row.name == case.food.word()
                && row.fruit.is_empty()
        })
        .filter(|row| {
            row.from.as_deref().is_none_or(|d| d <= case.day) && row.until.as_deref().is_none_or(|d| case.day <= d)
        })
        .filter_map(|row| {
            let (got, what, unit) = match row.counted {
                Counted::Brix => (facts.brix, "soluble solids", "°Brix"),
                Counted::FatGPerKg => (facts.fat_g_per_kg, "fat", "g/kg"),
                Counted::YolkSolidsGPerKg => (facts.yolk_solids_g_per_kg, "egg-yolk solids", "g/kg"),
                Counted::FruitGPerKg => (facts.fruit_g_per_kg, "fruit", "g/kg"),
                Counted::FruitShare => (100.0 * facts.fruit_share, "fruit in fruit and sugar", "%"),
                // The plan does not know how much of a citrus is endocarp.
                Counted::EndocarpGPerKg => return None,
            };
            let least = if row.counted == Counted::FruitShare {
                100.0 * row.at_least.value
            } else {
                row.at_least.value
            };
            (got < least - 0.01).then(|| {
                format!(
                    "{what} {got:.1} {unit}, the name asks for {least:.1} ({}, {})",
                    row.at_least.source, row.at_least.place
                )
            })
        })
        .collect()
}
