//! Sucrose splitting in hot acid.

use jarwright_figure::{Equation, OutOfRange};

use crate::DoseError;
use crate::lethality::check_history;

/// Registry entry of [`inversion_rate_per_s`].
pub static INVERSION_RATE: Equation = Equation {
    key: "inversion-rate",
    title: "Rate of the inversion of sucrose",
    text: "log10(k min) = 16.91 + log10(W kg/L) - 5670 K/T - pH, W the water in a litre of the solution",
    source: "vukov_1965",
};

/// Rate [1/s] at which sucrose splits into glucose and fructose.
///
/// ```text
/// log10(k min) = 16.91 + log10(W) - 5670/T - pH
/// ```
///
/// * `ph`: pH of the food as measured at room temperature, 0 to 8
/// * `c`: temperature [°C], 0 to 130
/// * `water_kg_l`: water in a litre of the solution [kg/L], 0.05 to 1; see [`syrup_water_kg_l`]
///
/// Made for sugar juices of pH 5 to 8; in acid it is 25 to 35 % slow against strong acids at room
/// temperature. 5670 K is 108.6 kJ/mol, which others measured as 108 and 109.2.
///
/// # Errors
/// [`DoseError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `vukov_1965`, from memory.
pub fn inversion_rate_per_s(ph: f64, c: f64, water_kg_l: f64) -> Result<f64, DoseError> {
    let source = INVERSION_RATE.source;
    let ph = OutOfRange::check("pH", ph, 0.0, 8.0, "", source)?;
    let c = OutOfRange::check("temperature", c, 0.0, 130.0, "°C", source)?;
    let water = OutOfRange::check("water in the solution", water_kg_l, 0.05, 1.0, "kg/L", source)?;
    Ok(water * 10_f64.powf(16.91 - 5670.0 / (c + 273.15) - ph) / 60.0)
}

/// Water [kg/L] in a litre of syrup, for [`inversion_rate_per_s`].
///
/// ```text
/// W = (1 - w) 1/((1 - w)/1.0 + w/1.59)
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
/// * `ph`: 0 to 8; it changes little while water boils off
///
/// # Errors
/// [`DoseError`] for a history that is none, and outside the ranges above.
///
/// # Source
/// `vukov_1965`; trapezoids.
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
