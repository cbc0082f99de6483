//! How long one pot takes.
//!
//! Targets: a plain heat-up under 100 µs; a boil for a time under 60 µs, at the boil and below it;
//! a pot followed with its wall and an egg's kinetics under 200 µs.

use divan::Bencher;
use jarwright_figure::{Kinetics, Unchanging};
use jarwright_heat::follow::{Filling, Setting, Until, follow};
use jarwright_heat::heated_vessel::Vessel;
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

/// Two shares that grow with heat and thicken the film, as egg does.
struct Sets;

impl Kinetics for Sets {
    fn shares(&self) -> &'static [&'static str] {
        &["set", "scrambled"]
    }

    fn advance(&self, state: &mut [f64], from_c: f64, to_c: f64, seconds: f64) {
        let c = 0.5 * (from_c + to_c);
        for (share, half_c) in state.iter_mut().zip([78.0, 96.0]) {
            let rate = 0.004 * (0.4 * (c - half_c)).exp();
            *share = 1.0 - (1.0 - *share) * (-rate * seconds).exp();
        }
    }

    fn thickening(&self, state: &[f64]) -> f64 {
        50_f64.powf(state.first().copied().unwrap_or(0.0))
    }
}

fn setting(vessel: Vessel) -> Setting {
    Setting {
        vessel,
        wall_m: 0.001,
        pot_j_k: 1200.0,
        stirs_s: Some(1.0),
        sweep: 0.5,
        wiped_s: Some(2.0),
        lid: false,
        room_c: 20.0,
        humidity: 0.5,
        pressure_pa: 100_700.0,
        measured_pa_s: None,
    }
}

/// Target: under 100 µs.
#[divan::bench]
fn followed_heat_up(bencher: Bencher) {
    let pot = setting(Vessel::StraightPot {
        diameter_m: 0.36,
        into_pot_w: 2000.0,
    });
    let food = jam().food;
    let until = Until::Temperature(77.0, 0.0);
    bencher.bench(|| follow(&pot, &Filling::Composed(&food), 20.0, &[], until, &Unchanging));
}

/// Target: under 200 µs.
#[divan::bench]
fn followed_curd_over_steam(bencher: Bencher) {
    let bowl = setting(Vessel::BowlOverSteam {
        diameter_m: 0.34,
        steam_c: 100.0,
        steam_w: 900.0,
        air_kg_kg: 0.3,
    });
    let food = Food {
        water_kg: 1.26,
        sucrose_kg: 1.05,
        fat_kg: 0.51,
        protein_kg: 0.15,
        ..Food::default()
    };
    let until = Until::Temperature(77.0, 0.0);
    bencher.bench(|| follow(&bowl, &Filling::Composed(&food), 18.0, &[], until, &Sets));
}

/// Target: under 300 µs.
#[divan::bench]
fn followed_to_65_brix(bencher: Bencher) {
    let pot = setting(Vessel::StraightPot {
        diameter_m: 0.36,
        into_pot_w: 3000.0,
    });
    let food = jam().food;
    bencher.bench(|| {
        follow(
            &pot,
            &Filling::Composed(&food),
            20.0,
            &[],
            Until::Brix(65.0),
            &Unchanging,
        )
    });
}
