//! A draft label: what the plan knows of it. A person checks it against the market's law.

use jarwright_figure::Figure;
use jarwright_reference::FoodClass;

use crate::lines::Line;
use crate::naming::{Ask, Held, NameFacts, NameStanding, no_name_known, standings};
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
    pub(crate) counts: NameFacts,
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
    let mut name = case.formula.to_owned();
    let (settled, said) = name_points(case);
    if !settled {
        name = format!("{name} (name to be settled)");
    }
    open_points.extend(said);
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

/// Whether the food may go by the name of its class in this market on this day, and what is open
/// about it.
fn name_points(case: &LabelCase) -> (bool, Vec<String>) {
    let names = standings(case.food, &case.counts, case.market, case.day);
    let Some(own) = own_name(&names, case.food) else {
        return (true, vec![no_name_known(case.food, case.market)]);
    };
    let open = own
        .asks
        .iter()
        .filter(|ask| ask.held != Held::Passes || ask.from_memory())
        .map(Ask::said)
        .chain(own.barred.iter().cloned())
        .collect::<Vec<_>>();
    if open.is_empty() {
        return (true, open);
    }
    let mut said = format!(
        "\"{}\" is a reserved name in this market: {}",
        own.name,
        open.join("; ")
    );
    let settled = own.bears() || own.too_close();
    if !settled {
        let others: Vec<String> = names
            .iter()
            .filter(|name| name.bears())
            .map(|name| format!("\"{}\"", name.name))
            .collect();
        if !others.is_empty() {
            said.push_str(&format!(
                "; by what is counted here it may be called {}",
                others.join(" or ")
            ));
        }
    }
    (settled, vec![said])
}

/// The plain name of the class among those it may have; the first where the law words it otherwise.
fn own_name(names: &[NameStanding], food: FoodClass) -> Option<&NameStanding> {
    names.iter().find(|name| name.name == food.word()).or(names.first())
}
