//! How long a departure takes: the demo's half-pint of curd.
//!
//! Targets on two cores: 2,000 runs with their band under 60 ms, as from a slider, which is 110 ms of
//! both cores together; what is behind its figures no more than 15 ms beside them; a section of 40
//! frames under 50 ms.

use divan::{Bencher, black_box};
use jarwright_kitchen::files::{read_formula_with, read_kitchen, read_stores};
use jarwright_kitchen::{Departure, Law, Much, Order, PlannedJar, Use, Wanted, plan_with_jars};
use jiff::civil::date;

fn main() {
    divan::main();
}

fn jar() -> Option<PlannedJar> {
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
    plan_with_jars(&order, &kitchen, &stores).ok()?.jars.into_iter().next()
}

fn departure() -> Departure {
    Departure {
        fill_c: Some(70.0),
        bath_start_c: Some(90.0),
        hold_min: Some(12.0),
        ..Departure::default()
    }
}

#[divan::bench(args = [64, 2000], sample_count = 20, sample_size = 1)]
fn depart(bencher: Bencher, runs: usize) {
    let Some(jar) = jar() else { return };
    bencher.bench_local(|| jar.depart(black_box(&departure()), runs));
}

#[divan::bench(args = [64, 2000], sample_count = 20, sample_size = 1)]
fn quantities(bencher: Bencher, runs: usize) {
    let Some(jar) = jar() else { return };
    bencher.bench_local(|| jar.quantities(black_box(&departure()), runs));
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn section(bencher: Bencher) {
    let Some(jar) = jar() else { return };
    let minutes: Vec<f64> = (0..40).map(|i| 3.0 * f64::from(i)).collect();
    bencher.bench_local(|| jar.section(black_box(&departure()), &minutes));
}
