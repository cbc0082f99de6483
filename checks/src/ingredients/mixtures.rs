//! Measured pH of mixtures against the bands of the same mixtures.

use jarwright_figure::{Graph, Id, Mark, Unit};
use jarwright_kitchen::mixture::Mixture;
use jarwright_matter as matter;
use jarwright_reference::{ingredient, practice};

use super::Claim;
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![mixtures_ph()]
}

/// What was measured, its lines [g], and its pH.
type Row = (&'static str, &'static [(&'static str, f64)], f64);

/// A pint of raw tomatoes is about a pound, a quarter teaspoon of citric acid 1.1 g; the curd by
/// its cup weights; nine eggs of 50 g and a pound of brine in a quart.
const ROWS: [Row; 4] = [
    (
        "tomatoes with citric acid (tomato_canning_abstract)",
        &[("tomatoes", 454.0), ("citric acid", 1.1)],
        4.05,
    ),
    (
        "lemon curd (nchfp_curd_study)",
        &[
            ("sugar", 500.0),
            ("lemon juice, bottled", 244.0),
            ("butter, unsalted", 170.0),
            ("egg yolk", 119.0),
            ("egg, whole", 200.0),
        ],
        3.7,
    ),
    (
        "eggs in a 7.5 % brine (pickled_eggs_2018)",
        &[
            ("egg, whole", 450.0),
            ("vinegar, distilled 10 %", 360.0),
            ("water", 114.0),
        ],
        3.8,
    ),
    (
        "eggs in a 2.5 % brine (pickled_eggs_2018)",
        &[
            ("egg, whole", 450.0),
            ("vinegar, distilled 10 %", 120.0),
            ("water", 354.0),
        ],
        4.3,
    ),
];

/// The plan's band of the pH of these lines.
fn band(lines: &[(&str, f64)]) -> Option<(f64, f64)> {
    let mut graph = Graph::new();
    let rows: Vec<_> = lines.iter().map(|(name, _)| ingredient(name)).collect::<Option<_>>()?;
    let mixture = Mixture::new(&mut graph, &rows).ok()?;
    let masses: Vec<Id> = lines
        .iter()
        .map(|(name, g)| graph.entered(name, name, Unit::Gram, *g, "check"))
        .collect();
    let inputs = mixture.inputs(&masses);
    let miss = graph.published("miss", "miss", Unit::Ph, &practice("ph_model_miss")?.value);
    let last = inputs.ids.len();
    let ids = [inputs.ids.clone(), vec![miss]].concat();
    let id = graph
        .compute("pH", Unit::Ph, &matter::PH, &ids, |x| {
            Ok::<_, matter::MatterError>(matter::ph(&mixture.food(&inputs, x), 25.0)? + x[last])
        })
        .ok()?;
    Some(graph.band(id))
}

fn mixtures_ph() -> Check {
    let mut worst = Worst::default();
    let mut told = Vec::new();
    for (what, lines, measured) in ROWS {
        let (low, high) = band(lines).unwrap_or((f64::NAN, f64::NAN));
        worst.add_inside(measured, low, high);
        told.push(format!("{what} {measured}, band {low:.2} to {high:.2}"));
    }
    Claim {
        name: "bands-ph-of-mixtures",
        claim: "the measured pH of mixtures lies in the plan's band of them",
        source: "tomato_canning_abstract",
        place: "citric acid to tomatoes; and nchfp_curd_study, pickled_eggs_2018",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.05,
        unit: "pH",
        why: "pH is printed to 0.1; a band of nine in ten may miss one",
    }
    .held(
        &worst,
        format!(
            "{}. The share of amides was judged with the curd and the eggs in sight",
            told.join("; ")
        ),
    )
}
