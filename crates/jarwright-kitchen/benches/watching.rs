//! How long a watched pot takes: the demo's curd over steam, with something changed.
//!
//! Target on two cores: under 30 ms, as from a slider.

use divan::{Bencher, black_box};
use jarwright_kitchen::files::{read_formula_with, read_kitchen, read_stores};
use jarwright_kitchen::{Law, Much, Order, PlannedPot, PotChange, Use, Wanted, plan_with_jars};
use jiff::civil::date;

fn main() {
    divan::main();
}

fn pot() -> Option<PlannedPot> {
    let kitchen = read_kitchen("kitchen.toml", include_str!("../../../demo/kitchen.toml")).ok()?;
    let stores = read_stores("stores.toml", include_str!("../../../demo/stores.toml")).ok()?;
    let text = include_str!("../../../demo/formulas/lime-curd.toml");
    let formula = read_formula_with("formula.toml", text, Some(&stores)).ok()?;
    let order = Order {
        lines: vec![Wanted {
            formula,
            much: Much::Jars(20),
            jar: "half-pint".into(),
        }],
        by: None,
        now: date(2026, 11, 25).at(6, 0, 0, 0),
        for_use: Use::OwnUse,
        market: Law::Us,
        altitude_m: None,
        bath_start_c: None,
    };
    plan_with_jars(&order, &kitchen, &stores).ok()?.pots.into_iter().next()
}

#[divan::bench(sample_count = 50, sample_size = 1)]
fn watch(bencher: Bencher) {
    let Some(pot) = pot() else { return };
    let change = PotChange {
        of_batch: Some(0.8),
        stirs_per_min: Some(40.0),
        ..PotChange::default()
    };
    bencher.bench_local(|| pot.watch(black_box(&change)));
}
