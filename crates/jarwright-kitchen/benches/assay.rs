//! How long one assay takes.
//!
//! Targets: the whole assay of the demo's lime curd without bands under 200 µs, with bands from
//! 256 draws of everything uncertain under 10 ms.

use divan::Bencher;
use jarwright_kitchen::Law;
use jarwright_kitchen::assaying::{AssayAsked, At, SAMPLES, assay_with};
use jarwright_kitchen::files::{StoresFile, read_formula, read_kitchen};
use jiff::civil::date;

const KITCHEN: &str = include_str!("../../../demo/kitchen.toml");
const FORMULAS: [(&str, &str); 3] = [
    ("lime curd", include_str!("../../../demo/formulas/lime-curd.toml")),
    ("apricot jam", include_str!("../../../demo/formulas/apricot-jam.toml")),
    ("dill pickles", include_str!("../../../demo/formulas/dill-pickles.toml")),
];

fn main() {
    divan::main();
}

fn assay(bencher: Bencher, name: &str, at: At, samples: usize) {
    let text = FORMULAS
        .iter()
        .find(|(known, _)| *known == name)
        .map_or("", |(_, text)| *text);
    let (Ok(kitchen), Ok(formula)) = (read_kitchen("kitchen", KITCHEN), read_formula("formula", text)) else {
        return;
    };
    let asked = AssayAsked {
        formula,
        at,
        at_c: None,
        thermometer_c: None,
        jar: None,
        market: Law::Us,
        now: date(2026, 11, 25).at(12, 0, 0, 0),
        altitude_m: None,
        barometer: None,
    };
    let stores = StoresFile::default();
    bencher.bench(|| assay_with(&asked, &kitchen, &stores, samples));
}

/// Target: under 200 µs.
#[divan::bench(args = ["lime curd", "apricot jam", "dill pickles"])]
fn weighed_without_bands(bencher: Bencher, name: &str) {
    assay(bencher, name, At::Weighed, 0);
}

/// The pot's heat balance comes on top.
#[divan::bench(args = ["lime curd", "apricot jam", "dill pickles"])]
fn filled_without_bands(bencher: Bencher, name: &str) {
    assay(bencher, name, At::Filled, 0);
}

/// Target: under 10 ms.
#[divan::bench(args = ["lime curd", "apricot jam", "dill pickles"])]
fn filled_with_bands(bencher: Bencher, name: &str) {
    assay(bencher, name, At::Filled, SAMPLES);
}
