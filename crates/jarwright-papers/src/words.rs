//! Figures as people read them: digits by unit and band, both temperature scales, both lengths.
//!
//! Papers and the program's text share these, so that a figure never reads in two ways.

use jarwright_figure::{BandKind, Figure, Unit};

use crate::digits::{UNKNOWN, fixed, places, spreads, trimmed, usual_places};

/// What a °Brix of the program is beside a refractometer's.
pub const WHOLE_BRIX: &str = "°Brix here is of the whole food. A refractometer reads the syrup alone and shows more \
                              where there is fat, egg, pulp or pieces.";

/// A figure with its unit, and its band where it spreads: `27 min (25 to 30)`.
///
/// Temperatures read as in [`temperature`], lengths likewise in both systems. Money comes
/// without its currency, which a figure does not know: see [`money`].
#[must_use]
pub fn figure(f: &Figure) -> String {
    match (pair(f), spread(f)) {
        (Some(_), Some(spread)) => format!("{}, {spread}", value(f)),
        _ => with_band(value(f), band(f)),
    }
}

/// A figure with its unit and without its band: `27 min`, `77 °C (171 °F)`.
///
/// Digits are those the band allows.
#[must_use]
pub fn value(f: &Figure) -> String {
    match pair(f) {
        Some(pair) => pair.value(f),
        None if amount(f) => join(&trimmed(f.value, places(f)), f.unit),
        None => join(&fixed(f.value, places(f)), f.unit),
    }
}

/// The band with its unit, in both scales where [`value`] has both: `25 to 30 min`,
/// `80 to 83 °C (176 to 182 °F)`; nothing when it does not show.
#[must_use]
pub fn spread(f: &Figure) -> Option<String> {
    match pair(f) {
        Some(pair) => pair.spread(f),
        None => band(f).map(|ends| join(&ends, f.unit)),
    }
}

/// A temperature in both scales: `77 °C (171 °F)`, with a band
/// `81 °C (178 °F), 79 to 83 °C (174 to 181 °F)`.
///
/// Tenths are shown where the value has them and the band is narrower than 1 °C on a side.
#[must_use]
pub fn temperature(f: &Figure) -> String {
    figure(f)
}

/// The two ends of a figure's band in its own unit, `25 to 30`; nothing when it does not
/// spread, or spreads less than its last digit.
#[must_use]
pub fn band(f: &Figure) -> Option<String> {
    match pair(f) {
        Some(_) => ends(f, |v| trimmed(v, places(f))),
        None => ends(f, |v| fixed(v, places(f))),
    }
}

/// What the ends of a band mean, for a note under figures.
#[must_use]
pub const fn band_meaning(kind: BandKind) -> &'static str {
    match kind {
        BandKind::P5P95 => "9 of 10 cases are expected between the two numbers",
        BandKind::PrintedRange => "range printed in the source",
        BandKind::Instrument => "width of the instrument",
        BandKind::Exact => "no spread",
    }
}

/// What brackets after a number mean, in all three cases, for a note under figures.
#[must_use]
pub fn brackets_meaning() -> String {
    format!(
        "after a computed number {}; after a number taken from a source they are the {}; after an instrument\u{2019}s \
         reading they are the {}",
        band_meaning(BandKind::P5P95),
        band_meaning(BandKind::PrintedRange),
        band_meaning(BandKind::Instrument)
    )
}

/// An amount of money with its currency: `3.42 EUR (3.10 to 3.80)`.
#[must_use]
pub fn money(f: &Figure, currency: &str) -> String {
    let per = match f.unit {
        Unit::MoneyPerHour => "/h",
        Unit::MoneyPerKilowattHour => "/kWh",
        _ => "",
    };
    let amount = fixed(f.value, 2);
    if amount == UNKNOWN {
        return amount;
    }
    with_band(format!("{amount} {currency}{per}"), ends(f, |v| fixed(v, 2)))
}

/// A time span in hours and minutes once it is long: `5 h 18 min (5 h 2 min to 5 h 40 min)`.
///
/// For figures in seconds, minutes and hours; any other reads as in [`figure`].
#[must_use]
pub fn duration(f: &Figure) -> String {
    let to_min = match f.unit {
        Unit::Second => 1.0 / 60.0,
        Unit::Minute => 1.0,
        Unit::Hour => 60.0,
        _ => return figure(f),
    };
    if !f.value.is_finite() || f.value * to_min < 90.0 {
        return figure(f);
    }
    with_band(hours(f.value * to_min), ends(f, |v| hours(v * to_min)))
}

/// A share as a percentage, whether it is kept as a ratio or in percent: `82 % (79 to 86)`.
#[must_use]
pub fn share(f: &Figure) -> String {
    figure(&percent(f))
}

/// A ratio as the same figure in percent; any other figure as it is.
#[must_use]
pub fn percent(f: &Figure) -> Figure {
    if f.unit != Unit::One {
        return f.clone();
    }
    let percent = |v: f64| v * 100.0;
    Figure {
        value: percent(f.value),
        low: percent(f.low),
        high: percent(f.high),
        unit: Unit::Percent,
        ..f.clone()
    }
}

/// A mass on the scale, in grams with the digits of the scale's step, or of a finer step where the
/// mass was rounded to one: `1234.5 g`.
#[must_use]
pub fn on_scale(mass: &Figure, scale_step: &Figure) -> String {
    let grams = |f: &Figure| {
        if f.unit == Unit::Kilogram {
            f.value * 1000.0
        } else {
            f.value
        }
    };
    let places = decimals_of(grams(scale_step)).unwrap_or(3);
    // A mass that no scale was asked for, such as a computed sum, keeps the scale's digits.
    let own = decimals_of(grams(mass)).unwrap_or(places);
    join(&fixed(grams(mass), places.max(own)), Unit::Gram)
}

/// Whether a mass on the scale is no whole number of the scale's steps, so that it wants a finer
/// scale or a spoon.
#[must_use]
pub fn finer_than(mass: &Figure, scale_step: &Figure) -> bool {
    let steps = mass.value / scale_step.value;
    steps.is_finite() && (steps - steps.round()).abs() > 1e-6
}

/// Decimals, up to two, that write a number above zero in full.
fn decimals_of(value: f64) -> Option<usize> {
    let whole_at = |power: f64| {
        let scaled = value * power;
        (scaled - scaled.round()).abs() < 1e-6 && scaled.round() > 0.0
    };
    [1.0, 10.0, 100.0].into_iter().position(whole_at)
}

/// A plain temperature in both scales: `94.9 °C (202.8 °F)`; whole degrees stay whole in both.
#[must_use]
pub fn both_scales(celsius: f64, places: usize) -> String {
    if celsius.is_finite() {
        let first = trimmed(celsius, places);
        let second = trimmed(fahrenheit(celsius), decimals(&first));
        format!("{first} °C ({second} °F)")
    } else {
        UNKNOWN.into()
    }
}

/// Degrees Fahrenheit of degrees Celsius.
#[must_use]
pub fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// A number alone, with the digits usual for its unit: `0.864`, `27`.
#[must_use]
pub fn number(value: f64, unit: Unit) -> String {
    fixed(value, usual_places(value, unit))
}

/// The unit as it stands behind a number; empty for counts, ratios, pH and money.
#[must_use]
pub const fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::One | Unit::Count | Unit::Ph | Unit::WaterActivity | Unit::Money => "",
        Unit::MoneyPerHour => "per h",
        Unit::MoneyPerKilowattHour => "per kWh",
        Unit::Day => "days",
        other => other.symbol(),
    }
}

/// A second unit that people read beside the first.
struct Pair {
    first: &'static str,
    second: &'static str,
    convert: fn(f64) -> f64,
}

/// Whether a figure is a plain amount without spread, which reads `2.5 kg`, not `2.50 kg`.
fn amount(f: &Figure) -> bool {
    let plain = matches!(
        f.unit,
        Unit::One | Unit::Gram | Unit::Kilogram | Unit::Litre | Unit::Millilitre | Unit::KilowattHour
    );
    plain && !spreads(f) && (f.value == 0.0 || f.value.abs() >= 1e-3)
}

/// The pair of a figure whose unit has one.
fn pair(f: &Figure) -> Option<Pair> {
    let (first, second, convert): (_, _, fn(f64) -> f64) = match f.unit {
        Unit::Celsius => ("°C", "°F", fahrenheit),
        Unit::Kelvin => ("K", "°F", |k| k * 1.8),
        Unit::Metre => ("m", "ft", |m| m / 0.3048),
        Unit::Millimetre => ("mm", "in", |mm| mm / 25.4),
        _ => return None,
    };
    Some(Pair { first, second, convert })
}

impl Pair {
    fn value(&self, f: &Figure) -> String {
        if !f.value.is_finite() {
            return UNKNOWN.into();
        }
        let first = trimmed(f.value, places(f));
        let second = (self.convert)(f.value);
        // Whole degrees stay whole: 77 °C is 171 °F, 94.9 °C is 202.8 °F.
        let second = match f.unit {
            Unit::Celsius | Unit::Kelvin => trimmed(second, decimals(&first)),
            _ => trimmed(second, second_places(f, second)),
        };
        format!("{first} {} ({second} {})", self.first, self.second)
    }

    fn spread(&self, f: &Figure) -> Option<String> {
        let first = ends(f, |v| trimmed(v, places(f)))?;
        let second = (self.convert)(f.value);
        Some(
            match ends(f, |v| trimmed((self.convert)(v), second_places(f, second))) {
                Some(second) => format!("{first} {} ({second} {})", self.first, self.second),
                None => format!("{first} {}", self.first),
            },
        )
    }
}

fn second_places(f: &Figure, second: f64) -> usize {
    match f.unit {
        Unit::Celsius | Unit::Kelvin => places(f),
        Unit::Millimetre => 2,
        _ => usize::from(second.abs() < 10.0),
    }
}

/// Digits behind the point of a written number.
fn decimals(text: &str) -> usize {
    text.split_once('.').map_or(0, |(_, behind)| behind.len())
}

fn ends(f: &Figure, write: impl Fn(f64) -> String) -> Option<String> {
    if !spreads(f) {
        return None;
    }
    let (low, high) = (write(f.low), write(f.high));
    (low != high).then(|| format!("{low} to {high}"))
}

fn with_band(plain: String, band: Option<String>) -> String {
    match band {
        Some(band) if plain != UNKNOWN => format!("{plain} ({band})"),
        _ => plain,
    }
}

fn join(number: &str, of: Unit) -> String {
    match unit(of) {
        "" => number.into(),
        _ if number == UNKNOWN => number.into(),
        "days" if number == "1" => "1 day".into(),
        symbol => format!("{number} {symbol}"),
    }
}

/// Minutes as `5 h 18 min`.
fn hours(minutes: f64) -> String {
    let whole = minutes.round();
    if !whole.is_finite() {
        return UNKNOWN.into();
    }
    let (hours, rest) = ((whole / 60.0).floor(), whole.rem_euclid(60.0));
    match (hours < 1.0, rest < 0.5) {
        (true, _) => format!("{} min", fixed(whole, 0)),
        (false, true) => format!("{hours:.0} h"),
        (false, false) => format!("{hours:.0} h {rest:.0} min"),
    }
}

#[cfg(test)]
mod tests {
    use jarwright_figure::BasisView;

    use super::*;

    fn make(value: f64, low: f64, high: f64, unit: Unit) -> Figure {
        Figure {
            id: "q1".into(),
            name: "a figure".into(),
            value,
            unit,
            low,
            high,
            band: if low < high { BandKind::P5P95 } else { BandKind::Exact },
            basis: BasisView::Entered { by: "test".into() },
            causes: Vec::new(),
            limits: Vec::new(),
        }
    }

    fn exact(value: f64, unit: Unit) -> Figure {
        make(value, value, value, unit)
    }

    #[test]
    fn temperatures_read_in_both_scales() {
        assert_eq!(temperature(&exact(77.0, Unit::Celsius)), "77 °C (171 °F)");
        assert_eq!(temperature(&exact(740.0 / 9.0, Unit::Celsius)), "82.2 °C (180 °F)");
        assert_eq!(temperature(&exact(94.93, Unit::Celsius)), "94.9 °C (202.9 °F)");
        assert_eq!(temperature(&exact(-18.0, Unit::Celsius)), "−18 °C (0 °F)");
        assert_eq!(
            temperature(&make(81.37, 79.6, 83.2, Unit::Celsius)),
            "81 °C (178 °F), 80 to 83 °C (175 to 182 °F)"
        );
    }

    #[test]
    fn a_band_stands_in_brackets_and_sets_the_digits() {
        assert_eq!(figure(&make(27.3, 25.2, 30.1, Unit::Minute)), "27 min (25 to 30)");
        assert_eq!(figure(&make(3.684, 3.512, 3.871, Unit::Ph)), "3.68 (3.51 to 3.87)");
        assert_eq!(
            figure(&make(5234.0, 5120.0, 5350.0, Unit::Gram)),
            "5234 g (5120 to 5350)"
        );
        assert_eq!(figure(&make(1609.0, 1609.0, 1609.0, Unit::Metre)), "1609 m (5279 ft)");
        assert_eq!(figure(&make(15.0, 14.99, 15.01, Unit::Minute)), "15 min");
    }

    #[test]
    fn exact_figures_show_no_band_whatever_their_ends() {
        let f = Figure {
            low: 1.0,
            high: 9.0,
            band: BandKind::Exact,
            ..exact(5.0, Unit::Count)
        };
        assert_eq!(figure(&f), "5");
        assert_eq!(band(&f), None);
    }

    #[test]
    fn a_scale_reads_the_digits_of_its_step() {
        let kilos = exact(1.2345, Unit::Kilogram);
        assert_eq!(on_scale(&kilos, &exact(0.5, Unit::Gram)), "1234.5 g");
        assert_eq!(on_scale(&exact(1235.0, Unit::Gram), &exact(5.0, Unit::Gram)), "1235 g");
        assert_eq!(on_scale(&exact(0.42, Unit::Gram), &exact(0.01, Unit::Gram)), "0.42 g");
        assert_eq!(on_scale(&exact(12.0, Unit::Gram), &exact(0.0, Unit::Gram)), "12.000 g");
        assert_eq!(on_scale(&exact(7.3, Unit::Gram), &exact(5.0, Unit::Gram)), "7.3 g");
        assert!(finer_than(&exact(7.3, Unit::Gram), &exact(5.0, Unit::Gram)));
        assert!(!finer_than(&exact(1235.0, Unit::Gram), &exact(5.0, Unit::Gram)));
    }

    #[test]
    fn long_spans_read_in_hours() {
        assert_eq!(
            duration(&make(318.0, 302.0, 340.0, Unit::Minute)),
            "5 h 18 min (5 h 2 min to 5 h 40 min)"
        );
        assert_eq!(duration(&exact(24.0, Unit::Hour)), "24 h");
        assert_eq!(duration(&exact(15.0, Unit::Minute)), "15 min");
    }

    #[test]
    fn money_shares_and_days_read_as_people_say_them() {
        assert_eq!(
            money(&make(3.416, 3.1, 3.8, Unit::Money), "EUR"),
            "3.42 EUR (3.10 to 3.80)"
        );
        assert_eq!(share(&exact(0.82, Unit::One)), "82 %");
        assert_eq!(figure(&exact(1.0, Unit::Day)), "1 day");
        assert_eq!(figure(&exact(28.0, Unit::Day)), "28 days");
        assert_eq!(figure(&exact(2.5, Unit::Kilogram)), "2.5 kg");
        assert_eq!(figure(&exact(0.0, Unit::Gram)), "0 g");
    }

    #[test]
    fn unknown_is_said() {
        assert_eq!(figure(&exact(f64::NAN, Unit::Celsius)), "unknown");
        assert_eq!(figure(&exact(f64::INFINITY, Unit::Gram)), "unknown");
        assert_eq!(both_scales(f64::NAN, 1), "unknown");
    }
}
