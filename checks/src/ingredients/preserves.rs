//! Finished preserves of the composition table against a formula made of its ingredients.

use jarwright_figure::Mark;
use jarwright_reference::{Ingredient, ingredient};

use super::Claim;
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![
        carbohydrate_of_preserves(),
        energy_of_preserves(),
        sugars_of_preserves(),
    ]
}

/// A finished food, its printed entry, and its lines in parts by weight before boiling.
type Made = (&'static str, &'static [(&'static str, f64)]);

/// Lawful or usual shares; each is boiled, or not, to the printed water of the finished food.
const MADE: [Made; 5] = [
    ("jam, ready", &[("strawberries", 45.0), ("sugar", 55.0)]),
    ("jelly, ready", &[("apple juice", 45.0), ("sugar", 55.0)]),
    ("marmalade, ready", &[("oranges, with peel", 30.0), ("sugar", 70.0)]),
    ("apple butter, ready", &[("applesauce", 5.0), ("sugar", 1.2)]),
    ("cranberry sauce", &[("cranberries", 340.0), ("sugar", 200.0)]),
];

/// Solids-bound part of the mixed lines, brought to the printed water of the finished food.
fn computed(made: &Made, part: fn(&Ingredient) -> Option<f64>) -> Option<f64> {
    let (finished, lines) = made;
    let (mut sum, mut water, mut mass) = (0.0, 0.0, 0.0);
    for (name, g) in *lines {
        let row = ingredient(name)?;
        sum += g * part(row)?;
        water += g * row.water? / 100.0;
        mass += g;
    }
    let solids = mass - water;
    let left = solids / (1.0 - ingredient(finished)?.water? / 100.0);
    Some(sum / left)
}

fn held(claim: Claim, part: fn(&Ingredient) -> Option<f64>) -> Check {
    let mut worst = Worst::default();
    let mut told = Vec::new();
    for made in &MADE {
        let ours = computed(made, part).unwrap_or(f64::NAN);
        let printed = ingredient(made.0).and_then(part).unwrap_or(f64::NAN);
        worst.add(ours, printed);
        told.push(format!("{} {ours:.1} against {printed:.1}", made.0));
    }
    claim.held(&worst, told.join("; "))
}

fn carbohydrate_of_preserves() -> Check {
    held(
        Claim {
            name: "preserves-carbohydrate",
            claim: "fruit and sugar boiled to a preserve's printed water hold its printed carbohydrate",
            source: "usda_sr28",
            place: "19297, 19300, 19303, 19294, 09081 from 09316, 09016, 09205, 09019, 09078 and 19335",
            mark: Mark::Seen,
            tolerance: 1.5,
            unit: "g/100 g",
            why: "fruits differ in protein and ash, which are the rest of the solids",
        },
        |row| row.carbohydrate,
    )
}

fn energy_of_preserves() -> Check {
    held(
        Claim {
            name: "preserves-energy",
            claim: "fruit and sugar boiled to a preserve's printed water hold its printed energy",
            source: "usda_sr28",
            place: "19297, 19300, 19303, 19294, 09081",
            mark: Mark::Seen,
            tolerance: 20.0,
            unit: "kcal/100 g",
            why: "finished foods are printed with other carbohydrate factors than their ingredients: 4.0 against 3.6 and 3.87",
        },
        |row| row.energy_kcal,
    )
}

fn sugars_of_preserves() -> Check {
    let mut worst = Worst::default();
    let mut told = Vec::new();
    for made in &MADE {
        let ours =
            computed(made, |row| row.sugars).or_else(|| computed(made, |row| Some(row.carbohydrate? - row.fibre?)));
        let ours = ours.unwrap_or(f64::NAN);
        let printed = ingredient(made.0).and_then(|row| row.sugars).unwrap_or(f64::NAN);
        // Factory preserves are part syrup, whose higher saccharides no sugar column counts: a
        // home preserve of sugar alone must hold at least the printed sugars.
        worst.add((printed - ours).max(0.0), 0.0);
        told.push(format!("{} {ours:.1} against {printed:.1}", made.0));
    }
    Claim {
        name: "preserves-sugars",
        claim: "a preserve of fruit and sugar alone holds at least the sugars of the factory's, part of which is syrup",
        source: "usda_sr28",
        place: "19297, 19300, 19303, 19294, 09081",
        mark: Mark::Seen,
        tolerance: 1.5,
        unit: "g/100 g",
        why: "fruits differ in fibre and acid",
    }
    .held(&worst, told.join("; "))
}
