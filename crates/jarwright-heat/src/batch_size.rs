//! How time grows with the batch, the largest batch, and where two smaller ones are quicker.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`splits_from_kg`].
pub static SPLITTING: Equation = Equation {
    key: "splitting-a-batch",
    title: "Where two potfuls one after the other beat one",
    text: "2 t(m/2) + t_change < t(m)",
    source: "arithmetic",
};

/// Masses looked at between the least and the greatest, evenly in their ratio.
const LOOKS: usize = 16;
/// Halvings of the mass.
const HALVINGS: usize = 12;

/// Greatest mass [kg] that one pot manages within a time.
///
/// * `minutes`: minutes of a mass [kg], rising with it; none where the pot never gets there
/// * `least_kg`, `greatest_kg`: masses looked at, the greatest what the pot holds
/// * `within_min`: time allowed [min]
///
/// None where even the least mass takes longer.
///
/// # Errors
/// [`HeatError::OutOfRange`] for masses that are not above 0 and rising.
///
/// # Source
/// `arithmetic`: halving.
pub fn largest_kg(
    minutes: impl Fn(f64) -> Option<f64>,
    least_kg: f64,
    greatest_kg: f64,
    within_min: f64,
) -> Result<Option<f64>, HeatError> {
    check(least_kg, greatest_kg)?;
    let fits = |kg: f64| minutes(kg).is_some_and(|min| min <= within_min);
    if fits(greatest_kg) {
        return Ok(Some(greatest_kg));
    }
    if !fits(least_kg) {
        return Ok(None);
    }
    let (mut low, mut high) = (least_kg, greatest_kg);
    for _ in 0..HALVINGS {
        let middle = (low * high).sqrt();
        if fits(middle) { low = middle } else { high = middle }
    }
    Ok(Some(low))
}

/// Least mass [kg] from which two potfuls one after the other are quicker than one.
///
/// ```text
/// 2 t(m/2) + t_change < t(m)
/// ```
///
/// * `minutes`: minutes of a mass [kg]; none where the pot never gets there
/// * `least_kg`, `greatest_kg`: masses looked at
/// * `change_min`: emptying, wiping and filling between the two [min], 0 or more
///
/// None where one potful is the quicker all the way, as on a hob without losses.
///
/// # Errors
/// [`HeatError::OutOfRange`] for masses that are not above 0 and rising.
///
/// # Source
/// `arithmetic`.
pub fn splits_from_kg(
    minutes: impl Fn(f64) -> Option<f64>,
    least_kg: f64,
    greatest_kg: f64,
    change_min: f64,
) -> Result<Option<f64>, HeatError> {
    check(least_kg, greatest_kg)?;
    let splits = |kg: f64| match (minutes(0.5 * kg), minutes(kg)) {
        (Some(half), Some(whole)) => 2.0 * half + change_min < whole,
        (Some(_), None) => true,
        (None, _) => false,
    };
    let ratio = (greatest_kg / least_kg).powf(1.0 / LOOKS as f64);
    let mut low = least_kg;
    if splits(low) {
        return Ok(Some(low));
    }
    for _ in 0..LOOKS {
        let mut high = low * ratio;
        if splits(high) {
            for _ in 0..HALVINGS {
                let middle = (low * high).sqrt();
                if splits(middle) { high = middle } else { low = middle }
            }
            return Ok(Some(high));
        }
        low = high;
    }
    Ok(None)
}

fn check(least_kg: f64, greatest_kg: f64) -> Result<(), OutOfRange> {
    OutOfRange::check("least batch", least_kg, 1e-6, 1e6, "kg", SPLITTING.source)?;
    OutOfRange::check("greatest batch", greatest_kg, least_kg, 1e6, "kg", SPLITTING.source)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn splitting_wins_where_the_square_outgrows_the_change() -> Result<(), HeatError> {
        // t = m^2: 2 (m/2)^2 + 8 < m^2 from m = 4 on.
        let square = |kg: f64| Some(kg * kg);
        let from = splits_from_kg(square, 0.5, 20.0, 8.0)?;
        assert!(from.is_some_and(|kg| (kg - 4.0).abs() < 0.01), "{from:?}");
        assert_eq!(splits_from_kg(|kg| Some(3.0 * kg), 0.5, 20.0, 0.5)?, None);
        Ok(())
    }

    #[test]
    fn the_largest_batch_takes_just_the_time_allowed() -> Result<(), HeatError> {
        let largest = largest_kg(|kg| Some(6.0 * kg), 0.1, 50.0, 30.0)?;
        assert!(largest.is_some_and(|kg| (kg - 5.0).abs() < 0.01), "{largest:?}");
        assert_eq!(largest_kg(|kg| Some(6.0 * kg), 0.1, 2.0, 30.0)?, Some(2.0));
        assert_eq!(largest_kg(|_| None, 0.1, 2.0, 30.0)?, None);
        assert!(largest_kg(Some, 2.0, 1.0, 30.0).is_err());
        Ok(())
    }
}
