//! No input, however absurd, gets a number that is not one.

use jarwright_matter as matter;
use jarwright_matter::{Acid, Food, Groups, Ion, MatterError};
use proptest::prelude::*;

fn any_amount() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => 0.0..2.0,
        1 => Just(0.0),
        1 => any::<f64>(),
        1 => Just(f64::NAN),
        1 => Just(1e-300),
    ]
}

fn any_food() -> impl Strategy<Value = Food> {
    (
        prop::array::uniform11(any_amount()),
        any_amount(),
        any_amount(),
        -1.0..1.0,
        prop::array::uniform8(any_amount()),
    )
        .prop_map(
            |(
                [
                    water_kg,
                    protein_kg,
                    fat_kg,
                    sucrose_kg,
                    hexose_kg,
                    other_sugar_kg,
                    starch_kg,
                    ash_kg,
                    salt_kg,
                    alcohol_kg,
                    citric,
                ],
                carboxyl,
                lysine,
                strong_ion_mol,
                ions,
            )| {
                let mut food = Food {
                    water_kg,
                    protein_kg,
                    fat_kg,
                    sucrose_kg,
                    hexose_kg,
                    other_sugar_kg,
                    starch_kg,
                    ash_kg,
                    salt_kg,
                    alcohol_kg,
                    strong_ion_mol,
                    groups_mol: Groups {
                        carboxyl,
                        lysine,
                        ..Groups::default()
                    },
                    ..Food::default()
                };
                food.acid_mol[Acid::Citric.index()] = citric;
                food.acid_mol[Acid::Carbonic.index()] = lysine;
                for (ion, mol) in Ion::ALL.into_iter().zip(ions) {
                    food.minerals_mol.add(ion, mol);
                }
                food
            },
        )
}

fn is_a_number_or_refused(result: &Result<f64, MatterError>) -> bool {
    result.as_ref().map_or(true, |value| value.is_finite())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    #[test]
    fn every_answer_is_a_number_or_a_refusal(food in any_food(), x in any_amount(), c in -50.0..200.0) {
        for result in [
            matter::ph(&food, c),
            matter::strong_ion_for_ph(&food, 10.0 * x, c),
            food.titratable_acidity_pct_citric(),
            matter::water_activity(&food),
            matter::water_activity_at(&food, c),
            food.inverted(x).map(|f| f.mass_kg()),
            matter::salts_dissolve(&food).map(|()| 0.0),
            matter::food_boils_c(&food, 1e5 * x),
            matter::food_freezes_c(&food),
            matter::ice_kg(&food, c),
            matter::enthalpy_j_kg(&food, c),
            matter::frozen(&food, c, matter::Mixing::Geometric).map(|f| f.apparent_heat_capacity_j_kgk),
            matter::boils_at_brix_c(&food, 60.0 * x, 1e5),
            matter::brix_when_boiling_at(&food, 100.0 + c, 1e5),
            matter::station_pressure_pa(1e5 * x, 100.0 * c),
            matter::barometer_pa(1e5 * x, 100.0 * c),
            matter::water_to_remove_kg(&food, 60.0 * x),
            matter::thermal(&food, c).map(|t| t.conductivity_w_mk),
            matter::thermal(&food, c).map(|t| t.density_kg_m3),
            matter::thermal(&food, c).map(|t| t.heat_capacity_j_kgk),
            matter::latent_heat_j_kg(c),
            matter::saturation_pressure_pa(c),
            matter::pressure_pa(1e4 * x),
            matter::sucrose_density_kg_m3(80.0 * x, c),
            matter::refractive_index(80.0 * x),
            matter::refractometer_reading(&food),
            matter::acid_correction(30.0 * x),
            matter::temperature_correction(70.0 * x, c),
        ] {
            prop_assert!(is_a_number_or_refused(&result), "{result:?}");
        }
    }
}
