//! What reserved names count of lines and their masses, and the standings as figures.

use jarwright_figure::{Bound, Cited, Equation, Graph, Id, Unit};
use jarwright_reference::Kind;

use super::sheet::{AskTold, NameTold};
use crate::files::Part;
use crate::lines::Line;
use crate::naming::{Ask, NameFacts, NameStanding, is_fruit};
use crate::order::Law;
use crate::routes::yolk_solids;

/// What a reserved name counts.
pub static NAME_COUNT: Equation = Equation {
    key: "name-count",
    title: "What a reserved name counts",
    text: "g of it used for each kg of finished food; a share is fruit/(fruit + sweetener); margin = counted - asked",
    source: "mass_balance",
};

/// What names count of each line [g of it in the finished food], without °Brix and fat.
pub(crate) fn counted(lines: &[(&Line, f64)], finished_g: f64, market: Law) -> NameFacts {
    let in_food = || {
        let eaten = lines.iter().filter(|(line, _)| line.written.part != Some(Part::Soak));
        eaten.map(|&(line, g)| (line, if finished_g > 0.0 { 1000.0 * g / finished_g } else { 0.0 }))
    };
    let fruit = |line: &Line| is_fruit(line.ingredient.kind, &line.ingredient.name, market);
    let sum = |keep: &dyn Fn(&Line) -> bool| -> f64 { in_food().filter(|(l, _)| keep(l)).map(|(_, g)| g).sum() };
    let (fruit_g, sweetener_g) = (sum(&fruit), sum(&|l| l.ingredient.kind == Kind::Sweetener));
    NameFacts {
        yolk_solids_g_per_kg: in_food().map(|(l, g)| g * yolk_solids(&l.ingredient)).sum(),
        fruits: in_food()
            .filter(|(line, _)| fruit(line))
            .map(|(line, g)| (line.ingredient.name.clone(), g))
            .collect(),
        fruit_share: if fruit_g + sweetener_g > 0.0 {
            fruit_g / (fruit_g + sweetener_g)
        } else {
            0.0
        },
        sweetener_g_per_kg: Some(sweetener_g),
        ..NameFacts::default()
    }
}

/// A standing as figures; `inputs` is what it was counted from.
pub(super) fn told(graph: &mut Graph, standing: &NameStanding, inputs: &[Id]) -> NameTold {
    NameTold {
        name: standing.name.clone(),
        market: standing.market.word(),
        held: standing.verdict(),
        asks: standing
            .asks
            .iter()
            .map(|ask| ask_told(graph, &standing.name, ask, inputs))
            .collect(),
        beside: standing
            .barred
            .iter()
            .cloned()
            .chain(standing.beyond.iter().map(|words| format!("not counted here: {words}")))
            .collect(),
    }
}

fn ask_told(graph: &mut Graph, name: &str, ask: &Ask, inputs: &[Id]) -> AskTold {
    let unit = match ask.unit {
        "°Brix" => Unit::Brix,
        "%" => Unit::Percent,
        _ => Unit::GramPerKilogram,
    };
    let has = ask
        .got
        .is_finite()
        .then(|| graph.decide(ask.what, unit, &NAME_COUNT, inputs, ask.got));
    let mut asked = |cited: &Option<Cited>, most: &str| {
        cited.as_ref().map(|cited| {
            let key = format!("name:{name}:{}:{most}:{}", ask.what, cited.place);
            let title = format!("{most} {} of {name}", ask.what);
            graph.published(&key, &title, unit, cited)
        })
    };
    let (at_least, at_most) = (asked(&ask.at_least, "least"), asked(&ask.at_most, "most"));
    for (bound, limit) in [(Bound::AtLeast, at_least), (Bound::AtMost, at_most)] {
        if let (Some(has), Some(limit)) = (has, limit) {
            graph.hold(has, bound, limit);
        }
    }
    let limits: Vec<Id> = has.into_iter().chain(at_least).chain(at_most).collect();
    let margin = (has.is_some() && limits.len() > 1 && ask.margin.is_finite())
        .then(|| graph.decide("margin", unit, &NAME_COUNT, &limits, ask.margin));
    let figure = |id: Id| graph.figure(id);
    AskTold {
        what: ask.what,
        has: has.map(figure),
        at_least: at_least.map(figure),
        at_most: at_most.map(figure),
        margin: margin.map(figure),
        said: ask.said(),
    }
}
