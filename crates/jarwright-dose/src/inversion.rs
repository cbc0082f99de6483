//! Sucrose splitting in hot acid.

use jarwright_figure::{Equation, OutOfRange};

use crate::DoseError;
use crate::lethality::check_history;

/// Registry entry of [`inversion_rate_per_s`].
pub static INVERSION_RATE: Equation = Equation {
    key: "inversion-rate",
    title: "Rate of the inversion of sucrose",
    text: "k = 7.09 x 10^-3/min 10^-pH W exp(-E/R (1/T - 1/(297.85 K))), E = 109.2 kJ/mol, W the water in kg in a litre",
    source: "guggenheim_wiseman_1950",
};

/// Rate for each mol/L of acid and kg/L of water at [`MEASURED_C`] [L²/(min mol kg)]: 6.95e-3
/// measured in 30 g/L of sucrose, where a litre holds 0.981 kg of water.
const RATE_PER_MIN: f64 = 6.95e-3 / 0.981;
/// Temperature of that measurement [°C].
const MEASURED_C: f64 = 24.7;
/// Activation energy [J/mol] (`tombari_2007`).
const ACTIVATION_J_MOL: f64 = 109.2e3;
/// Molar gas constant [J/(mol K)] (`codata_2018`).
const GAS_J_MOLK: f64 = 8.314_462_618;
/// Absolute zero [°C].
const ZERO_C: f64 = 273.15;

/// Rate [1/s] at which sucrose splits into glucose and fructose.
///
/// ```text
/// k = 7.09e-3/min 10^-pH W exp(-E/R (1/T - 1/297.85 K))     E = 109.2 kJ/mol
/// ```
///
/// * `ph`: pH of the food as measured at room temperature, 1.5 to 8; in stronger acid the salts
///   weigh in
/// * `c`: temperature [°C], 0 to 130
/// * `water_kg_l`: water in a litre of the solution [kg/L], 0.05 to 1; see [`syrup_water_kg_l`]
///
/// # Errors
/// [`DoseError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `guggenheim_wiseman_1950` at 24.7 °C, in the limit of little acid; `tombari_2007` for E; the
/// share of the water as `vukov_1965` has it.
pub fn inversion_rate_per_s(ph: f64, c: f64, water_kg_l: f64) -> Result<f64, DoseError> {
    let source = INVERSION_RATE.source;
    let ph = OutOfRange::check("pH", ph, 1.5, 8.0, "", source)?;
    let c = OutOfRange::check("temperature", c, 0.0, 130.0, "°C", source)?;
    let water = OutOfRange::check("water in the solution", water_kg_l, 0.05, 1.0, "kg/L", source)?;
    let inverse = 1.0 / (c + ZERO_C) - 1.0 / (MEASURED_C + ZERO_C);
    let quicker = (-ACTIVATION_J_MOL / GAS_J_MOLK * inverse).exp();
    Ok(RATE_PER_MIN / 60.0 * 10_f64.powf(-ph) * water * quicker)
}

/// Water [kg/L] in a litre of syrup, for [`inversion_rate_per_s`].
///
/// ```text
/// W = (1 - w)/((1 - w)/1.0 + w/1.59)
/// ```
///
/// * `brix`: sugar [% by mass], 0 to 95; water of 1 kg/L and sugar of 1.59 kg/L fill the litre
///
/// # Errors
/// [`DoseError::OutOfRange`] outside that.
///
/// # Source
/// `arithmetic`, with the density of crystals of sugar.
pub fn syrup_water_kg_l(brix: f64) -> Result<f64, DoseError> {
    let w = OutOfRange::check("syrup", brix, 0.0, 95.0, "°Brix", INVERSION_RATE.source)? / 100.0;
    Ok((1.0 - w) / (1.0 - w + w / 1.59))
}

/// Share [1] of the sucrose that splits over a history, pH and water as they were at each reading.
///
/// * `times_s`: times of the readings [s], rising
/// * `temperatures_c`: as many temperatures [°C], 0 to 130
/// * `brix`: as many degrees Brix, 0 to 95
/// * `ph`: 1.5 to 8; it changes little while water boils off
///
/// # Errors
/// [`DoseError`] for a history that is none, and outside the ranges above.
///
/// # Source
/// [`inversion_rate_per_s`]; trapezoids.
pub fn inverted_share(times_s: &[f64], temperatures_c: &[f64], brix: &[f64], ph: f64) -> Result<f64, DoseError> {
    check_history(times_s, temperatures_c)?;
    if brix.len() != times_s.len() {
        return Err(DoseError::Unpaired {
            times: times_s.len(),
            temperatures: brix.len(),
        });
    }
    let rates: Vec<f64> = temperatures_c
        .iter()
        .zip(brix)
        .map(|(&c, &brix)| inversion_rate_per_s(ph, c, syrup_water_kg_l(brix)?))
        .collect::<Result<_, _>>()?;
    let turns: f64 = times_s
        .windows(2)
        .zip(rates.windows(2))
        .map(|(t, k)| 0.5 * (t[1] - t[0]) * (k[0] + k[1]))
        .sum();
    Ok(1.0 - (-turns).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tenth_of_the_acid_takes_ten_times_as_long() -> Result<(), DoseError> {
        let ratio = inversion_rate_per_s(3.0, 100.0, 0.5)? / inversion_rate_per_s(4.0, 100.0, 0.5)?;
        assert!((ratio - 10.0).abs() < 1e-9);
        assert!(inversion_rate_per_s(3.0, 100.0, 0.5)? > inversion_rate_per_s(3.0, 90.0, 0.5)?);
        assert!(inversion_rate_per_s(-1.0, 100.0, 0.5).is_err());
        Ok(())
    }

    #[test]
    fn nothing_splits_in_no_time_and_all_in_a_long_one() -> Result<(), DoseError> {
        let share = |s: f64| inverted_share(&[0.0, s], &[100.0, 100.0], &[60.0, 60.0], 3.0);
        assert!(share(1e-6)? < 1e-6 && share(1e6)? > 0.999);
        assert!(inverted_share(&[0.0, 1.0], &[100.0, 100.0], &[60.0], 3.0).is_err());
        assert!((syrup_water_kg_l(0.0)? - 1.0).abs() < 1e-12);
        Ok(())
    }
}
