//! How long one pot takes.
//!
//! Targets: a plain heat-up under 100 µs; a boil for a time under 60 µs, at the boil and below it.

use divan::Bencher;
use jarwright_heat::pot::{Charge, Heating, Pot, boil_for, boil_to_brix, cook_to_c};
use jarwright_matter::Food;

fn main() {
    divan::main();
}

fn pan(into_pot_w: f64) -> Pot {
    Pot {
        heating: Heating::Direct { into_pot_w },
        surface_m2: std::f64::consts::FRAC_PI_4 * 0.36 * 0.36,
        diameter_m: 0.36,
        pot_j_k: 1200.0,
        room_c: 20.0,
        humidity: 0.5,
        pressure_pa: 100_700.0,
        stirred: true,
    }
}

/// Fruit and sugar, by weight as 4 to 3.
fn jam() -> Charge {
    let food = Food {
        water_kg: 0.495,
        sucrose_kg: 0.460,
        hexose_kg: 0.022,
        fibre_kg: 0.012,
        protein_kg: 0.008,
        ash_kg: 0.003,
        ..Food::default()
    };
    Charge {
        food: food.scaled(2.5),
        start_c: 20.0,
    }
}

/// Target: under 100 µs.
#[divan::bench]
fn plain_heat_up(bencher: Bencher) {
    let (pot, charge) = (pan(2000.0), jam());
    bencher.bench(|| cook_to_c(&pot, &charge, &[], 77.0, 0.0));
}

/// Target: under 60 µs. At 1300 W the pan stands below its boil.
#[divan::bench(args = [1300.0, 2100.0, 3000.0])]
fn boiled_for_a_quarter_hour(bencher: Bencher, into_pot_w: f64) {
    let (pot, charge) = (pan(into_pot_w), jam());
    bencher.bench(|| boil_for(&pot, &charge, &[], 15.0));
}

/// Target: under 60 µs.
#[divan::bench(args = [1300.0, 3000.0])]
fn boiled_down_to_65_brix(bencher: Bencher, into_pot_w: f64) {
    let (pot, charge) = (pan(into_pot_w), jam());
    bencher.bench(|| boil_to_brix(&pot, &charge, &[], 65.0));
}
