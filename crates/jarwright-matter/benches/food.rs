//! How long the questions about a food take. Each has its target on two-core office hardware.

use divan::{Bencher, black_box};
use jarwright_matter::{
    Acid, Food, Groups, Ion, Mixing, brix_when_boiling_at, food_freezes_c, frozen, ph, strong_ion_for_ph, thermal,
    water_activity,
};

fn main() {
    divan::main();
}

/// A chutney of twelve ingredients: fruit, onion, vinegar, sugar, salt, raisins, spice and egg,
/// stirred into one food.
fn twelve() -> Food {
    let mut pot = Food::default();
    for part in 0..12_u8 {
        let share = f64::from(part) / 12.0;
        let mut food = Food {
            water_kg: 0.9 - 0.5 * share,
            protein_kg: 0.01 * share,
            fat_kg: 0.005 * share,
            sucrose_kg: 0.3 * share,
            hexose_kg: 0.1,
            fibre_kg: 0.01,
            salt_kg: 0.004 * share,
            ash_kg: 0.003,
            groups_mol: Groups {
                carboxyl: 0.02 * share,
                histidine: 0.002 * share,
                lysine: 0.005 * share,
                phosphate: 0.001 * share,
            },
            strong_ion_mol: 0.01,
            ..Food::default()
        };
        food.add_acid_kg(Acid::ALL[usize::from(part % 6)], 0.008);
        food.minerals_mol.add(Ion::Potassium, 0.02);
        food.minerals_mol.add(Ion::Calcium, 0.002);
        food.minerals_mol.add(Ion::Chloride, 0.005);
        food.minerals_mol.add(Ion::Sulfate, 0.001);
        pot.add_scaled(&food, 0.1);
    }
    pot
}

/// Target: under 20 µs.
#[divan::bench]
fn ph_of_twelve_ingredients(bencher: Bencher) {
    let food = twelve();
    bencher.bench_local(|| ph(black_box(&food), 25.0));
}

/// Target: under 20 µs.
#[divan::bench]
fn strong_ions_from_a_ph(bencher: Bencher) {
    let food = twelve();
    bencher.bench_local(|| strong_ion_for_ph(black_box(&food), 3.6, 25.0));
}

/// Target: under 5 µs.
#[divan::bench]
fn water_activity_of_twelve_ingredients(bencher: Bencher) {
    let food = twelve();
    bencher.bench_local(|| water_activity(black_box(&food)));
}

/// Target: under 1 µs.
#[divan::bench]
fn thermal_properties(bencher: Bencher) {
    let food = twelve();
    bencher.bench_local(|| thermal(black_box(&food), 85.0));
}

/// Target: under 200 µs.
#[divan::bench]
fn freezing_point(bencher: Bencher) {
    let food = twelve();
    bencher.bench_local(|| food_freezes_c(black_box(&food)));
}

/// Target: under 1 ms.
#[divan::bench]
fn frozen_properties(bencher: Bencher) {
    let food = twelve();
    bencher.bench_local(|| frozen(black_box(&food), -18.0, Mixing::Parallel));
}

/// Target: under 500 µs.
#[divan::bench]
fn brix_at_a_thermometer_reading(bencher: Bencher) {
    let food = twelve();
    bencher.bench_local(|| brix_when_boiling_at(black_box(&food), 104.0, 101_325.0));
}
