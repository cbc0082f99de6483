//! What a titration and a pH say of a juice's potassium, against the potassium of its ash.

use jarwright_figure::{Cited, Graph, Mark, Unit};
use jarwright_kitchen::mixture::Mixture;
use jarwright_reference::{Acid, Ingredient, Sheet, Titration, ingredient};

use super::Claim;
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![potassium_of_titrated_juices()]
}

fn told(value: f64) -> Cited {
    Cited {
        value,
        low: value,
        high: value,
        source: "stores_file".into(),
        place: "check".into(),
        mark: Mark::Seen,
    }
}

/// Strong ions [mmol/kg] of a juice with this titration [% as citric] and pH.
fn strong_ions(name: &str, percent: f64, ph: f64) -> Option<f64> {
    let row = Ingredient {
        ph: Some(told(ph)),
        sheet: Some(Sheet {
            titration: Some(Titration {
                counted_as: Acid::Citric,
                g_per_100g: told(percent),
            }),
            ..Sheet::default()
        }),
        ..ingredient(name)?.clone()
    };
    let mut graph = Graph::new();
    let mixture = Mixture::new(&mut graph, &[&row]).ok()?;
    let mass = graph.entered("mass", "mass", Unit::Gram, 1000.0, "check");
    Some(1000.0 * mixture.nominal(&graph, &[mass]).strong_ion_mol)
}

/// Charge of the metals less phosphate [mmol/kg] in the ash of a food.
fn charge_of_ash(name: &str) -> Option<f64> {
    let row = ingredient(name)?;
    let part = |mg: Option<f64>, g_mol: f64, charge: f64| Some(mg? * 10.0 / g_mol * charge);
    Some(
        part(row.potassium_mg, 39.098, 1.0)?
            + part(row.sodium_mg, 22.990, 1.0)?
            + part(row.calcium_mg, 40.078, 2.0)?
            + part(row.magnesium_mg, 24.305, 2.0)?
            - part(row.phosphorus_mg, 30.974, 1.0)?,
    )
}

fn potassium_of_titrated_juices() -> Check {
    // Name, titrated % as citric (g/L over kg/L), pH, of citrus_jellies_2020, Table 1.
    const JUICES: [(&str, f64, f64); 3] = [
        ("orange juice, fresh", 1.349, 3.34),
        ("orange juice, fresh", 0.827, 3.47),
        ("grapefruit juice", 1.133, 3.02),
    ];
    let mut worst = Worst::default();
    let mut told = Vec::new();
    for (name, percent, ph) in JUICES {
        let (solved, ash) = (
            strong_ions(name, percent, ph).unwrap_or(f64::NAN),
            charge_of_ash(name).unwrap_or(f64::NAN),
        );
        worst.add_relative(solved, ash);
        told.push(format!("{name} {solved:.0} against {ash:.0} mmol/kg"));
    }
    Claim {
        name: "titrated-juices-potassium",
        claim: "strong ions solved from titration and pH of pressed juices are the metals of the juice's ash",
        source: "citrus_jellies_2020",
        place: "Table 1, against potassium, sodium, calcium, magnesium less phosphorus of usda_sr28",
        mark: Mark::Seen,
        tolerance: 0.45,
        unit: "1",
        why: "titration and ash are of other fruit; potassium of one juice varies from 108 to 400 mg in durst_1995",
    }
    .held(&worst, told.join("; "))
}
