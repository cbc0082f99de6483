//! Sucrose in water: density, refractive index, and the water to boil off for a degree Brix.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError};

/// Density of a sucrose solution.
pub static SUCROSE_DENSITY: Equation = Equation {
    key: "sucrose-density",
    title: "Density of a sucrose solution",
    text: "rho = rho_w(T) + sum b_ij w^i (T - 20)^j, i = 1 to 6, j = 0 to 4, w = Brix/100",
    source: "icumsa_density",
};

/// Coefficients by powers of T - 20 °C, each by powers of the mass fraction from the first on.
const DENSITY: [&[f64]; 5] = [
    &[385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890],
    &[-0.462_720, -0.071_720, 0.011_597, 0.051_126, 0.017_254],
    &[5.977_12e-3, 7.2491e-4, 1.236_30e-3, -3.547_91e-3],
    &[-4.722_07e-5, -2.169_77e-5, 2.763_01e-5],
    &[1.831_84e-7, 1.230_81e-7],
];

/// Coefficients of the curve through the tabulated index at 0, 20, 40, 60, 80 and 84 °Brix, by
/// powers of the mass fraction.
const INDEX: [f64; 6] = [
    1.332_99,
    0.142_664_34,
    0.055_295_07,
    0.010_540_17,
    0.015_225_36,
    -0.010_477_26,
];

/// Refractive index of a sucrose solution.
pub static REFRACTIVE_INDEX: Equation = Equation {
    key: "sucrose-refractive-index",
    title: "Refractive index of a sucrose solution",
    text: "n_D(20 °C) = 1.33299 + 0.142664 w + 0.055295 w^2 + 0.010540 w^3 + 0.015225 w^4 - 0.010477 w^5, w = Brix/100: \
           the curve through ICUMSA 1974 at 0, 20, 40, 60, 80 and 84 °Brix",
    source: "icumsa_1974",
};

/// Solubility of sucrose.
pub static SUCROSE_SOLUBILITY: Equation = Equation {
    key: "sucrose-solubility",
    title: "Sucrose that water holds",
    text: "read off the table between 0 and 100 °C, straight between its rows [% by mass of sucrose and water]",
    source: "sucrose_solubility_table",
};

/// Temperature [°C] and sucrose [% by mass] of a saturated solution.
const SATURATED: [(f64, f64); 10] = [
    (0.0, 64.18),
    (10.0, 65.58),
    (20.0, 67.09),
    (25.0, 67.89),
    (30.0, 68.70),
    (40.0, 70.42),
    (50.0, 72.25),
    (60.0, 74.18),
    (80.0, 78.36),
    (100.0, 82.87),
];

/// Water to remove for a degree Brix.
pub static WATER_TO_REMOVE: Equation = Equation {
    key: "water-to-remove",
    title: "Water to boil off to reach a degree Brix",
    text: "water = mass - 100 soluble/Brix",
    source: "arithmetic",
};

/// Density [kg/m³] of a sucrose solution.
///
/// ```text
/// rho = rho_w(T) + sum b_ij w^i (T - 20)^j
/// ```
///
/// * `brix`: sucrose [% by mass], 0 to 84
/// * `c`: temperature [°C], 0 to 80; for a filling hotter than that see [`crate::thermal`]
///
/// # Errors
/// [`OutOfRange`] outside those.
///
/// # Source
/// `icumsa_density`, coefficients from memory; held against `crc_handbook` and `laliberte_2009`.
pub fn sucrose_density_kg_m3(brix: f64, c: f64) -> Result<f64, MatterError> {
    let w = OutOfRange::check("sucrose", brix, 0.0, 84.0, "°Brix", "icumsa_density")? / 100.0;
    let c = OutOfRange::check("temperature", c, 0.0, 80.0, "°C", "icumsa_density")?;
    let by_warmth = DENSITY.iter().rev().fold(0.0, |sum, by_sugar| {
        sum * (c - 20.0) + w * by_sugar.iter().rev().fold(0.0, |sum, k| sum * w + k)
    });
    Ok(seuif97::pt(0.101_325, c, seuif97::OV).recip() + by_warmth)
}

/// Refractive index [-] of a sucrose solution at 20 °C and the sodium D line.
///
/// ```text
/// n = 1.33299 + 0.142664 w + 0.055295 w^2 + 0.010540 w^3 + 0.015225 w^4 - 0.010477 w^5
/// ```
///
/// * `brix`: sucrose [% by mass], 0 to 85; w is a hundredth of it
///
/// The curve runs through six rows of the table; the other rows check it.
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `icumsa_1974`.
pub fn refractive_index(brix: f64) -> Result<f64, MatterError> {
    let b = OutOfRange::check("sucrose", brix, 0.0, 85.0, "°Brix", "icumsa_1974")?;
    let w = b / 100.0;
    Ok(INDEX.iter().rev().fold(0.0, |sum, k| sum * w + k))
}

/// Sucrose [% by mass] from a refractive index at 20 °C: [`refractive_index`] read backwards.
///
/// * `index`: refractive index [-], 1.33299 to 1.503977
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `icumsa_1974`.
pub fn brix_from_refractive_index(index: f64) -> Result<f64, MatterError> {
    let n = OutOfRange::check("refractive index", index, 1.332_99, 1.503_98, "1", "icumsa_1974")?;
    let (mut low, mut high) = (0.0, 85.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if refractive_index(middle)? < n {
            low = middle
        } else {
            high = middle
        }
    }
    Ok(0.5 * (low + high))
}

/// Sucrose that water alone holds in solution [% by mass of the two]; above it, sucrose may grain.
///
/// Glucose and fructose beside it let a little less sucrose dissolve and more sugar in all.
///
/// * `c`: temperature [°C], 0 to 100
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `sucrose_solubility_table`; at 100 °C a second copy prints 82.97.
pub fn sucrose_solubility_pct(c: f64) -> Result<f64, MatterError> {
    let c = OutOfRange::check("temperature", c, 0.0, 100.0, "°C", "sucrose_solubility_table")?;
    let after = SATURATED
        .iter()
        .position(|&(at, _)| c <= at)
        .unwrap_or(SATURATED.len() - 1)
        .max(1);
    let ((c0, s0), (c1, s1)) = (SATURATED[after - 1], SATURATED[after]);
    Ok(s0 + (s1 - s0) * (c - c0) / (c1 - c0))
}

/// Water [kg] to boil off so that a food reaches a degree Brix of its whole mass.
///
/// ```text
/// water = mass - 100 soluble / Brix
/// ```
///
/// * `target_brix`: soluble solids asked for [% by mass], above 0 to 100
///
/// # Errors
/// [`MatterError::AlreadyThicker`] where water would have to be added;
/// [`MatterError::NotEnoughWater`] where the other solids leave too little room; [`OutOfRange`]
/// for the target.
///
/// # Source
/// Arithmetic.
pub fn water_to_remove_kg(food: &Food, target_brix: f64) -> Result<f64, MatterError> {
    food.check()?;
    let target = OutOfRange::check("target", target_brix, 1e-6, 100.0, "°Brix", "arithmetic")?;
    let water = food.mass_kg() - 100.0 * food.soluble_kg() / target;
    if water < -1e-12 * food.mass_kg() {
        Err(MatterError::AlreadyThicker {
            brix: food.brix(),
            target_brix,
        })
    } else if water > food.water_kg {
        Err(MatterError::NotEnoughWater {
            asked_kg: water,
            present_kg: food.water_kg,
        })
    } else {
        Ok(water.max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn boiling_off_the_water_to_remove_reaches_the_target(
            sucrose_kg in 0.05..1.0, water_kg in 0.5..2.0, fat_kg in 0.0..0.3, up in 0.0..1.0,
        ) {
            let food = Food { water_kg, sucrose_kg, fat_kg, ..Food::default() };
            let driest = 100.0 * sucrose_kg / (sucrose_kg + fat_kg);
            let target = food.brix() + up * (driest - food.brix());
            let water = water_to_remove_kg(&food, target).map_err(|e| TestCaseError::fail(e.to_string()))?;
            let thick = food.minus_water(water.min(water_kg)).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert!((thick.brix() - target).abs() < 1e-9);
        }

        #[test]
        fn a_refractometer_reads_back_what_was_dissolved(brix in 0.0..85.0) {
            let back = refractive_index(brix).and_then(brix_from_refractive_index);
            prop_assert!(back.is_ok_and(|b| (b - brix).abs() < 1e-6));
        }

        #[test]
        fn a_warmer_syrup_is_lighter(brix in 0.0..84.0, c in 5.0..79.0) {
            let heavy = sucrose_density_kg_m3(brix, c);
            let light = sucrose_density_kg_m3(brix, c + 1.0);
            prop_assert!(heavy.is_ok_and(|h| light.is_ok_and(|l| l < h)));
        }
    }

    #[test]
    fn a_food_already_thick_or_too_full_of_fat_says_so() {
        let jam = Food {
            water_kg: 0.3,
            sucrose_kg: 0.7,
            ..Food::default()
        };
        assert!(matches!(
            water_to_remove_kg(&jam, 65.0),
            Err(MatterError::AlreadyThicker { .. })
        ));
        let fatty = Food {
            water_kg: 0.1,
            sucrose_kg: 0.4,
            fat_kg: 0.5,
            ..Food::default()
        };
        assert!(matches!(
            water_to_remove_kg(&fatty, 60.0),
            Err(MatterError::NotEnoughWater { .. })
        ));
        assert!(water_to_remove_kg(&jam, 0.0).is_err());
    }

    #[test]
    fn warm_water_holds_more_sucrose() {
        for c in 0..100 {
            let (cool, warm) = (
                sucrose_solubility_pct(f64::from(c)),
                sucrose_solubility_pct(f64::from(c) + 1.0),
            );
            assert!(cool.is_ok_and(|cool| warm.is_ok_and(|warm| warm > cool)));
        }
        assert!(sucrose_solubility_pct(20.0).is_ok_and(|s| (s - 67.09).abs() < 1e-12));
        assert!(sucrose_solubility_pct(100.1).is_err());
    }

    #[test]
    fn outside_the_tables_is_refused() {
        assert!(refractive_index(85.1).is_err());
        assert!(sucrose_density_kg_m3(60.0, 95.0).is_err());
        assert!(brix_from_refractive_index(1.3).is_err());
    }
}
