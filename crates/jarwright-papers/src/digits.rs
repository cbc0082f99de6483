//! How many digits a number shows, and how it is written.

use jarwright_figure::{BandKind, Figure, Unit};

/// What a value that is not a number reads as.
pub(crate) const UNKNOWN: &str = "unknown";

/// Whether a figure has a band to show.
pub(crate) fn spreads(f: &Figure) -> bool {
    f.band != BandKind::Exact && f.low < f.high
}

/// Decimal places for a figure: those usual for its unit, fewer when its band is wide.
///
/// The band's half width keeps one digit, two when it begins with 1 or 2; 1 °C or more leaves no
/// tenths.
pub(crate) fn places(f: &Figure) -> usize {
    let usual = usual_places(f.value, f.unit);
    let half = (f.high - f.low) / 2.0;
    if !spreads(f) || !half.is_finite() {
        return usual;
    }
    let power = half.log10().floor();
    let two = half / 10_f64.powf(power) < 2.95;
    let allowed = (f64::from(u8::from(two)) - power).max(0.0) as usize;
    match f.unit {
        Unit::Celsius | Unit::Kelvin if half >= 1.0 => 0,
        // Rules draw their lines at hundredths, so a water activity keeps its third decimal.
        Unit::WaterActivity => usual,
        _ => usual.min(allowed),
    }
}

/// Decimal places usual for a value in a unit.
pub(crate) fn usual_places(value: f64, unit: Unit) -> usize {
    let size = value.abs();
    let by_size = |most: usize| match size {
        s if s >= 100.0 => most.saturating_sub(2),
        s if s >= 10.0 => most.saturating_sub(1),
        _ => most,
    };
    match unit {
        Unit::Count => usize::from((size - size.round()).abs() > 0.05),
        Unit::Celsius | Unit::Kelvin | Unit::Brix | Unit::JarsPerMinute | Unit::WattPerSquareMetreKelvin => 1,
        Unit::Ph | Unit::Money | Unit::MoneyPerHour | Unit::MoneyPerKilowattHour => 2,
        Unit::WaterActivity | Unit::WattPerMetreKelvin => 3,
        Unit::Percent | Unit::Minute | Unit::Hour | Unit::Day | Unit::MillimolePerKilogram | Unit::Millimetre => {
            usize::from(size < 10.0 && (size - size.round()).abs() > 0.05)
        }
        Unit::Gram | Unit::GramPer100Gram | Unit::GramPerKilogram | Unit::Millilitre | Unit::Metre => by_size(2),
        Unit::Litre => by_size(1).max(1) + usize::from(size < 1.0),
        Unit::Kilogram | Unit::KilowattHour => by_size(2).max(1),
        Unit::One | Unit::MolePerKilogram => by_size(3),
        Unit::Second | Unit::Watt | Unit::Pascal | Unit::KilogramPerCubicMetre | Unit::JoulePerKilogramKelvin => 0,
        Unit::SquareMetrePerSecond => 9,
    }
}

/// A number with so many decimals; powers of ten for what would read as zero.
pub(crate) fn fixed(value: f64, places: usize) -> String {
    if !value.is_finite() {
        return UNKNOWN.into();
    }
    if value != 0.0 && value.abs() < 1e-3 {
        return scientific(value);
    }
    let text = format!("{:.places$}", value.abs());
    let zero = text.chars().all(|c| c == '0' || c == '.');
    if value < 0.0 && !zero {
        format!("−{text}")
    } else {
        text
    }
}

/// A number with at most so many decimals: `100`, not `100.0`.
pub(crate) fn trimmed(value: f64, places: usize) -> String {
    let value = if value.abs() < 1e-3 { 0.0 } else { value };
    let text = fixed(value, places);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text
    }
}

/// `1.45 × 10⁻⁷`.
fn scientific(value: f64) -> String {
    let power = value.abs().log10().floor();
    let raised: String = format!("{power:.0}")
        .chars()
        .map(|c| match c {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            '4' => '⁴',
            '5' => '⁵',
            '6' => '⁶',
            '7' => '⁷',
            '8' => '⁸',
            '9' => '⁹',
            _ => '⁰',
        })
        .collect();
    let sign = if value < 0.0 { "−" } else { "" };
    format!("{sign}{:.2} × 10{raised}", value.abs() / 10_f64.powf(power))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_that_rounds_to_zero_has_no_sign() {
        assert_eq!(fixed(-0.004, 2), "0.00");
        assert_eq!(fixed(-18.0, 0), "−18");
        assert_eq!(trimmed(-1e-9, 1), "0");
    }

    #[test]
    fn small_numbers_are_not_lost() {
        assert_eq!(fixed(1.45e-7, 9), "1.45 × 10⁻⁷");
    }

    #[test]
    fn what_is_not_a_number_is_unknown() {
        assert_eq!(fixed(f64::NAN, 1), "unknown");
        assert_eq!(trimmed(f64::INFINITY, 1), "unknown");
    }
}
