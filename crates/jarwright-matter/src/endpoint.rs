//! A degree Brix as a thermometer reading, and back: where boiling down ends.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError, food_boils_c, water_to_remove_kg};

/// Thermometer reading at a degree Brix.
pub static BOILS_AT_BRIX: Equation = Equation {
    key: "boils-at-brix",
    title: "Thermometer reading at a degree Brix",
    text: "boiling point of the food after water = mass - 100 soluble/Brix has left it",
    source: "iapws_if97",
};

/// Degree Brix at a thermometer reading.
pub static BRIX_AT_BOILING: Equation = Equation {
    key: "brix-at-boiling",
    title: "Degree Brix at a thermometer reading",
    text: "the B for which T_boil(B, p) = T_reading; B is the °Brix of the food with less of its water",
    source: "iapws_if97",
};

/// Halvings of the water left; each gains a binary digit.
const MAX_STEPS: usize = 60;

/// Boiling point [°C] of a food once it has been boiled down to a degree Brix of its whole mass.
///
/// * `brix`: where boiling ends [% by mass], not below the food's own
/// * `pressure_pa`: pressure of the air here today [Pa]
///
/// Sugar turns into glucose and fructose as it boils in acid: see [`Food::inverted`]. Good to
/// about 0.5 °C (`saska_2002`), counted from the boiling point of water read by the same
/// thermometer.
///
/// # Errors
/// Those of [`water_to_remove_kg`] and [`food_boils_c`].
///
/// # Source
/// `iapws_if97` with `norrish_1966`.
pub fn boils_at_brix_c(food: &Food, brix: f64, pressure_pa: f64) -> Result<f64, MatterError> {
    food_boils_c(&food.minus_water(water_to_remove_kg(food, brix)?)?, pressure_pa)
}

/// Degree Brix [% of the whole mass] of a food once it has been boiled down until it boils at a
/// thermometer reading: [`boils_at_brix_c`] read backwards.
///
/// * `thermometer_c`: reading at which boiling ends [°C], not below the food's own boiling point
/// * `pressure_pa`: pressure of the air here today [Pa]
///
/// # Errors
/// [`OutOfRange`] for a reading at which the food as it is already boils or which needs more
/// solids than the equations reach; those of [`food_boils_c`].
///
/// # Source
/// `iapws_if97` with `norrish_1966`.
pub fn brix_when_boiling_at(food: &Food, thermometer_c: f64, pressure_pa: f64) -> Result<f64, MatterError> {
    let now_c = food_boils_c(food, pressure_pa)?;
    let left = |share: f64| Food {
        water_kg: share * food.water_kg,
        ..food.clone()
    };
    // Where water is too scarce for the equations, the food counts as boiling hotter.
    let (mut dry, mut wet) = (0.0, 1.0);
    for _ in 0..MAX_STEPS {
        let middle = 0.5 * (dry + wet);
        if food_boils_c(&left(middle), pressure_pa).is_ok_and(|c| c <= thermometer_c) {
            wet = middle;
        } else {
            dry = middle;
        }
    }
    let end = left(wet);
    let hottest_c = food_boils_c(&end, pressure_pa)?;
    // Inside the equations' reach the reading is met to the last digits.
    if (hottest_c - thermometer_c).abs() < 1e-6 || thermometer_c < now_c {
        OutOfRange::check(
            "boiling endpoint",
            thermometer_c,
            now_c,
            f64::INFINITY,
            "°C",
            "norrish_1966",
        )?;
        return Ok(end.brix());
    }
    Err(OutOfRange {
        quantity: "boiling endpoint",
        got: thermometer_c,
        min: now_c,
        max: hottest_c,
        unit: "°C",
        source: "norrish_1966",
    }
    .into())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Acid, pressure_pa};

    fn pot(sucrose_kg: f64, citric_kg: f64) -> Food {
        let mut food = Food {
            water_kg: 1.0,
            sucrose_kg,
            fibre_kg: 0.01,
            ..Food::default()
        };
        food.add_acid_kg(Acid::Citric, citric_kg);
        food
    }

    proptest! {
        #[test]
        fn the_reading_for_a_brix_leads_back_to_it(
            sucrose_kg in 0.3..1.5, citric_kg in 0.0..0.02, height in 0.0..3000.0, up in 0.0..1.0,
        ) {
            let food = pot(sucrose_kg, citric_kg);
            let fail = |e: MatterError| TestCaseError::fail(e.to_string());
            let pa = pressure_pa(height).map_err(fail)?;
            let brix = food.brix() + up * (75.0 - food.brix());
            let reading = boils_at_brix_c(&food, brix, pa).map_err(fail)?;
            let back = brix_when_boiling_at(&food, reading + 1e-9, pa).map_err(fail)?;
            prop_assert!((back - brix).abs() < 1e-4, "{back} for {brix}");
        }
    }

    #[test]
    fn a_reading_the_food_is_past_or_cannot_reach_is_refused() {
        let food = pot(1.0, 0.0);
        for reading in [90.0, 101.0, 160.0, f64::NAN, f64::INFINITY] {
            assert!(
                matches!(
                    brix_when_boiling_at(&food, reading, 101_325.0),
                    Err(MatterError::OutOfRange(_))
                ),
                "{reading}"
            );
        }
        assert!(matches!(
            boils_at_brix_c(&food, 20.0, 101_325.0),
            Err(MatterError::AlreadyThicker { .. })
        ));
    }

    #[test]
    fn inverted_sugar_boils_hotter_at_the_same_brix() {
        let whole = boils_at_brix_c(&pot(1.0, 0.0), 65.0, 101_325.0);
        let split = pot(1.0, 0.0)
            .inverted(0.3)
            .and_then(|f| boils_at_brix_c(&f, 65.0, 101_325.0));
        assert!(whole.is_ok_and(|w| split.is_ok_and(|s| s > w + 0.3)));
    }
}
