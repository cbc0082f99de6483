//! Water activity of a food: sugars and acids by Norrish, salts by Pitzer, the two multiplied.

use jarwright_figure::{Equation, OutOfRange};

use crate::electrolytes::Brine;
use crate::{Acid, Food, MatterError};

/// Water activity from composition.
pub static WATER_ACTIVITY: Equation = Equation {
    key: "water-activity",
    title: "Water activity",
    text: "a_w = X_w exp(-(sum sqrt(K) X)^2) x a_w(salts), salts as if alone in all the water",
    source: "norrish_1966",
};

/// Molar masses [kg/mol].
const WATER_KG_MOL: f64 = 0.018_015;
const TWO_RING_KG_MOL: f64 = 0.342_297;
const ONE_RING_KG_MOL: f64 = 0.180_156;
const ETHANOL_KG_MOL: f64 = 0.046_068;

/// Norrish constants: sucrose, glucose and fructose, maltose.
const K_SUCROSE: f64 = 6.47;
const K_HEXOSE: f64 = 2.25;
const K_MALTOSE: f64 = 4.54;

/// Water activity [-] at 25 °C.
///
/// ```text
/// aw = Xw exp(-(sum sqrt(K) X)^2) aw(salts)
/// ```
///
/// X are mole fractions in the water phase without salts; a solute of negative K enters the sum
/// with a negative root. Salts count as if alone in all the water (`ross_1975`). Ions whose
/// partner is not named (the potassium of a fruit's acids) and ethanol count as ideal solutes.
/// Protein, starch, fibre and ash bind no water here, so the value errs to the high, cautious
/// side.
///
/// # Errors
/// [`MatterError::NoWater`]; [`MatterError::NotAnAmount`]; [`OutOfRange`] for a salt beyond its
/// fit (6.2 mol/kg of sodium chloride) or a result below 0.3, where the constants were not
/// fitted.
///
/// # Source
/// `norrish_1966` with the constants of `chirife_1980`, from memory but for sucrose;
/// `pitzer_mayorga_1973` for salts.
pub fn water_activity(food: &Food) -> Result<f64, MatterError> {
    water_activity_at(food, 25.0)
}

/// Water activity [-] at a temperature.
///
/// As [`water_activity`]; only the salts' part moves with temperature. Sugar's hardly does below
/// 80 °Brix.
///
/// * `at_c`: temperature [°C], -30 to 50
///
/// # Errors
/// Those of [`water_activity`], and [`OutOfRange`] for the temperature.
///
/// # Source
/// `norrish_1966`; `pitzer_1991` for the salts.
pub fn water_activity_at(food: &Food, at_c: f64) -> Result<f64, MatterError> {
    OutOfRange::check("temperature", at_c, -30.0, 50.0, "°C", "pitzer_1991")?;
    food.check()?;
    if food.water_kg <= 0.0 {
        return Err(MatterError::NoWater);
    }
    let brine = Brine::of(food);
    let aw = norrish(food, &brine) * brine.water_activity(at_c)?;
    Ok(OutOfRange::check(
        "water activity",
        aw,
        0.3,
        1.0,
        "a_w",
        "norrish_1966",
    )?)
}

/// Water activity without the salts.
fn norrish(food: &Food, brine: &Brine) -> f64 {
    let water = food.water_kg / WATER_KG_MOL;
    let sucrose = food.sucrose_kg / TWO_RING_KG_MOL;
    let hexose = food.hexose_kg / ONE_RING_KG_MOL;
    let other = food.other_sugar_kg / TWO_RING_KG_MOL;
    let ions = food.strong_ion_mol.abs() + (brine.single - brine.as_carbonate) * food.water_kg;
    let mut solutes = sucrose + hexose + other + food.alcohol_kg / ETHANOL_KG_MOL + ions;
    let mut root = K_SUCROSE.sqrt() * sucrose + K_HEXOSE.sqrt() * hexose + K_MALTOSE.sqrt() * other;
    for (acid, mol) in Acid::ALL.iter().zip(food.acid_mol) {
        let k = norrish_acid(*acid);
        solutes += mol;
        root += k.abs().sqrt().copysign(k) * mol;
    }
    let all = water + solutes;
    water / all * (-(root / all).powi(2)).exp()
}

const fn norrish_acid(acid: Acid) -> f64 {
    match acid {
        Acid::Citric => 6.17,
        Acid::Tartaric => 4.68,
        Acid::Malic => 1.82,
        Acid::Lactic => -1.59,
        // No constant known: counted as ideal.
        Acid::Acetic
        | Acid::Ascorbic
        | Acid::Phosphoric
        | Acid::Carbonic
        | Acid::Oxalic
        | Acid::Succinic
        | Acid::Benzoic
        | Acid::Sorbic
        | Acid::Phthalic
        | Acid::Boric => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn syrup(sucrose_kg: f64, hexose_kg: f64, salt_kg: f64) -> Food {
        Food {
            water_kg: 1.0,
            sucrose_kg,
            hexose_kg,
            salt_kg,
            ..Food::default()
        }
    }

    #[test]
    fn water_alone_has_activity_one_and_no_water_has_none() {
        assert_eq!(water_activity(&syrup(0.0, 0.0, 0.0)), Ok(1.0));
        assert_eq!(water_activity(&Food::default()), Err(MatterError::NoWater));
    }

    #[test]
    fn a_dilute_solute_follows_raoult() {
        // 1 mol in 1000 mol of water.
        let dilute = Food {
            water_kg: 18.015,
            hexose_kg: 0.180_156,
            ..Food::default()
        };
        assert!(water_activity(&dilute).is_ok_and(|aw| (aw - 1000.0 / 1001.0).abs() < 5e-6));
    }

    #[test]
    fn more_salt_than_dissolves_is_refused() {
        assert!(matches!(
            water_activity(&syrup(0.0, 0.0, 0.37)),
            Err(MatterError::OutOfRange(_))
        ));
    }

    proptest! {
        #[test]
        fn every_solute_lowers_the_activity(sucrose in 0.0..1.5, hexose in 0.0..0.4, salt in 0.0..0.2) {
            let before = water_activity(&syrup(sucrose, hexose, salt)).map_err(|e| TestCaseError::fail(e.to_string()))?;
            for more in [(0.05, 0.0, 0.0), (0.0, 0.05, 0.0), (0.0, 0.0, 0.05)] {
                let after = water_activity(&syrup(sucrose + more.0, hexose + more.1, salt + more.2));
                prop_assert!(after.is_ok_and(|aw| aw < before));
            }
        }

        #[test]
        fn inverting_sucrose_lowers_the_activity(sucrose in 0.1..1.8, share in 0.05..0.9) {
            // 342.3 g of sucrose take up 18 g of water and give 360.3 g of hexose.
            let turned = share * sucrose;
            let inverted = Food {
                water_kg: 1.0 - turned * 0.052_63,
                sucrose_kg: sucrose - turned,
                hexose_kg: turned * 1.052_63,
                ..Food::default()
            };
            let whole = water_activity(&syrup(sucrose, 0.0, 0.0));
            prop_assert!(whole.is_ok_and(|w| water_activity(&inverted).is_ok_and(|i| i < w)));
        }
    }
}
