//! What a refractometer shows for a food, and what its reading means at another temperature.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError};

/// Reading of a refractometer.
pub static REFRACTOMETER: Equation = Equation {
    key: "refractometer-reading",
    title: "Reading of a refractometer at 20 °C",
    text: "reading = sugars - 0.022 invert + acid - correction(acid) + salt reading;  % of the water phase, \
           the correction and the salt's reading from printed tables",
    source: "kimball_acid_corrections",
};

/// Temperature correction of a reading.
pub static REFRACTOMETER_TEMPERATURE: Equation = Equation {
    key: "refractometer-temperature",
    title: "Correction of a refractometer reading to 20 °C",
    text: "value at 20 °C = reading + correction, interpolated in the printed table by temperature and reading",
    source: "oiv_as2_02",
};

/// Invert sugar reads this much less than its percentage.
const INVERT_READS_LESS: f64 = 0.022;

/// Anhydrous citric acid [% by mass] and what to add to a reading for it [°Brix].
const ACID_CORRECTIONS: [(f64, f64); 12] = [
    (0.0, 0.0),
    (1.0, 0.20),
    (2.0, 0.39),
    (3.0, 0.58),
    (4.0, 0.78),
    (5.0, 0.97),
    (7.0, 1.34),
    (10.0, 1.91),
    (15.0, 2.81),
    (20.0, 3.70),
    (24.4, 4.44),
    (30.0, 5.46),
];

/// Sodium chloride [% by mass] and its reading [°Brix], from the refractive indices 1.3418,
/// 1.3505, 1.3594 and 1.3684.
const SALT_READINGS: [(f64, f64); 5] = [(0.0, 0.0), (5.0, 6.03), (10.0, 11.73), (15.0, 17.30), (20.0, 22.71)];

/// Greatest share of alcohol that leaves a reading usable [% of the water phase].
const ALCOHOL_MAX: f64 = 0.5;

/// Reading [°Brix] that a refractometer set at 20 °C shows for a food.
///
/// ```text
/// reading = sugars - 0.022 invert + acid - correction(acid) + salt reading
/// ```
///
/// All in percent of the water phase: fat, protein, starch and fibre stay out of the light. A
/// hundredth of citric acid reads as 0.8 of a hundredth of sugar; malic and the other acids are
/// taken as citric, as the trade does. Named ions read as salt of their weight, which nothing
/// printed here covers.
///
/// # Errors
/// [`MatterError::NoWater`]; [`MatterError::NotAnAmount`]; [`OutOfRange`] for more than 30 % of
/// acid, 20 % of salt or 0.5 % of alcohol in the water phase, for which the scale is not made.
///
/// # Source
/// `kimball_acid_corrections` for acid; `crc_handbook`, from memory, for salt; `icumsa_invert`,
/// from memory, for invert sugar.
pub fn refractometer_reading(food: &Food) -> Result<f64, MatterError> {
    food.check()?;
    if food.water_kg <= 0.0 {
        return Err(MatterError::NoWater);
    }
    let phase = food.soluble_kg() + food.water_kg + food.alcohol_kg;
    let percent = |kg: f64| 100.0 * kg / phase;
    let within = |what, kg: f64, most: f64, source| OutOfRange::check(what, percent(kg), 0.0, most, "%", source);
    within(
        "alcohol in the water phase",
        food.alcohol_kg,
        ALCOHOL_MAX,
        "kimball_acid_corrections",
    )?;
    let acid = within(
        "acid in the water phase",
        food.acid_kg(),
        30.0,
        "kimball_acid_corrections",
    )?;
    let salts = food.salt_kg + food.minerals_mol.mass_kg();
    let salts = within("salt in the water phase", salts, 20.0, "crc_handbook")?;
    Ok(
        percent(food.sugars_kg()) - INVERT_READS_LESS * percent(food.hexose_kg) + acid
            - between(&ACID_CORRECTIONS, acid)
            + between(&SALT_READINGS, salts),
    )
}

/// What to add [°Brix] to a reading for the acid in it, so that it tells the soluble solids.
///
/// * `acid_pct`: acid as anhydrous citric [% by mass], 0 to 30
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `kimball_acid_corrections`.
pub fn acid_correction(acid_pct: f64) -> Result<f64, MatterError> {
    let acid = OutOfRange::check("acid", acid_pct, 0.0, 30.0, "%", "kimball_acid_corrections")?;
    Ok(between(&ACID_CORRECTIONS, acid))
}

/// Readings [°Brix] of the columns of the temperature table.
const READINGS: [f64; 14] = [
    10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0,
];

/// Temperatures [°C] and what to add [°Brix] for each column, as printed; 20 °C is the scale's own.
const TEMPERATURES: [(f64, [f64; 14]); 8] = [
    (
        10.0,
        [
            -0.59, -0.62, -0.65, -0.67, -0.69, -0.71, -0.72, -0.73, -0.74, -0.75, -0.75, -0.75, -0.75, -0.75,
        ],
    ),
    (
        11.0,
        [
            -0.54, -0.57, -0.59, -0.61, -0.63, -0.64, -0.65, -0.66, -0.67, -0.68, -0.68, -0.68, -0.68, -0.67,
        ],
    ),
    (
        12.0,
        [
            -0.49, -0.51, -0.53, -0.55, -0.56, -0.57, -0.58, -0.59, -0.60, -0.60, -0.61, -0.61, -0.60, -0.60,
        ],
    ),
    (
        13.0,
        [
            -0.43, -0.45, -0.47, -0.48, -0.50, -0.51, -0.52, -0.52, -0.53, -0.53, -0.53, -0.53, -0.53, -0.53,
        ],
    ),
    (
        14.0,
        [
            -0.38, -0.39, -0.40, -0.42, -0.43, -0.44, -0.44, -0.45, -0.45, -0.46, -0.46, -0.46, -0.46, -0.45,
        ],
    ),
    (
        15.0,
        [
            -0.32, -0.33, -0.34, -0.35, -0.36, -0.37, -0.37, -0.38, -0.38, -0.38, -0.38, -0.38, -0.38, -0.38,
        ],
    ),
    (
        16.0,
        [
            -0.26, -0.27, -0.28, -0.28, -0.29, -0.30, -0.30, -0.30, -0.31, -0.31, -0.31, -0.31, -0.31, -0.30,
        ],
    ),
    (20.0, [0.0; 14]),
];

/// What to add [°Brix] to a reading taken at a temperature, so that it holds at 20 °C.
///
/// * `reading`: reading [°Brix], 10 to 75
/// * `c`: temperature of the drop and the prism [°C], 10 to 20
///
/// # Errors
/// [`OutOfRange`] outside those: above 20 °C no printed table was read. Let the drop cool.
///
/// # Source
/// `oiv_as2_02`, table I.
pub fn temperature_correction(reading: f64, c: f64) -> Result<f64, MatterError> {
    let reading = OutOfRange::check("reading", reading, 10.0, 75.0, "°Brix", "oiv_as2_02")?;
    let c = OutOfRange::check("temperature of the drop", c, 10.0, 20.0, "°C", "oiv_as2_02")?;
    let rows = TEMPERATURES.map(|(row_c, row)| {
        let columns: [(f64, f64); 14] = std::array::from_fn(|i| (READINGS[i], row[i]));
        (row_c, between(&columns, reading))
    });
    Ok(between(&rows, c))
}

/// Straight line between the rows of a table, whose ends the caller has checked.
fn between(rows: &[(f64, f64)], x: f64) -> f64 {
    let after = rows
        .iter()
        .position(|&(at, _)| x <= at)
        .unwrap_or(rows.len() - 1)
        .max(1);
    let ((x0, y0), (x1, y1)) = (rows[after - 1], rows[after]);
    y0 + (y1 - y0) * (x - x0) / (x1 - x0)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::Acid;

    fn juice(sucrose_kg: f64, hexose_kg: f64, citric_kg: f64) -> Food {
        let mut food = Food {
            water_kg: 1.0 - sucrose_kg - hexose_kg - citric_kg,
            sucrose_kg,
            hexose_kg,
            ..Food::default()
        };
        food.add_acid_kg(Acid::Citric, citric_kg);
        food
    }

    proptest! {
        #[test]
        fn sucrose_reads_as_it_is_and_acid_reads_less(sucrose in 0.05..0.6, acid in 0.001..0.2) {
            prop_assert!(refractometer_reading(&juice(sucrose, 0.0, 0.0)).is_ok_and(|r| (r - 100.0 * sucrose).abs() < 1e-9));
            let sour = juice(sucrose, 0.0, acid);
            let fail = |e: MatterError| TestCaseError::fail(e.to_string());
            let told = refractometer_reading(&sour).map_err(fail)? + acid_correction(100.0 * acid).map_err(fail)?;
            prop_assert!((told - sour.brix_of_water_phase()).abs() < 1e-9);
        }

        #[test]
        fn a_colder_drop_needs_more_taken_off(reading in 10.0..75.0, c in 10.0..19.0) {
            let (here, warmer) = (temperature_correction(reading, c), temperature_correction(reading, c + 1.0));
            prop_assert!(here.is_ok_and(|here| warmer.is_ok_and(|warmer| here < warmer && warmer <= 0.0)));
        }
    }

    #[test]
    fn spirits_brine_and_a_warm_drop_are_refused() {
        let punch = Food {
            alcohol_kg: 0.1,
            ..juice(0.1, 0.0, 0.0)
        };
        assert!(matches!(refractometer_reading(&punch), Err(MatterError::OutOfRange(_))));
        let brine = Food {
            water_kg: 0.7,
            salt_kg: 0.3,
            ..Food::default()
        };
        assert!(refractometer_reading(&brine).is_err());
        assert_eq!(refractometer_reading(&Food::default()), Err(MatterError::NoWater));
        assert!(temperature_correction(40.0, 25.0).is_err());
        assert!(temperature_correction(f64::NAN, 15.0).is_err());
    }
}
