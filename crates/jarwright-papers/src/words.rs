//! Figures as people read them: digits by unit and band, both temperature scales, both lengths.
//!
//! Papers and the program's text share these, so that a figure never reads in two ways.

use jarwright_figure::{BandKind, Figure, Unit};

/// What a value that is not a number reads as.
const UNKNOWN: &str = "unknown";

/// A figure with its unit, and its band where it spreads: `27 min (25 to 30)`.
///
/// Temperatures get both scales as in [`temperature`], lengths both systems. Money comes
/// without its currency, which a figure does not know: see [`money`].
#[must_use]
pub fn figure(f: &Figure) -> String {
    match f.unit {
        Unit::Celsius => temperature(f),
        Unit::Kelvin => paired(f, "K", "°F", |k| k * 1.8),
        Unit::Metre => paired(f, "m", "ft", |m| m / 0.3048),
        Unit::Millimetre => paired(f, "mm", "in", |mm| mm / 25.4),
        _ => {
            let places = places(f);
            let plain = join(&fixed(f.value, places), unit(f.unit));
            with_band(plain, band(f))
        }
    }
}

/// A figure with its unit and without its band: `27 min`, `77 °C (171 °F)`.
#[must_use]
pub fn value(f: &Figure) -> String {
    let alone = Figure {
        low: f.value,
        high: f.value,
        ..f.clone()
    };
    // Digits stay those the band allows.
    match f.unit {
        Unit::Celsius => both_scales(f.value, places(f)),
        Unit::Kelvin | Unit::Metre | Unit::Millimetre => figure(&alone),
        _ => join(&fixed(f.value, places(f)), unit(f.unit)),
    }
}

/// A temperature in both scales: `77 °C (171 °F)`, with a band
/// `81 °C (178 °F), 79 to 83 °C (174 to 181 °F)`.
///
/// Tenths are shown unless the band is wider than 1 °C on a side.
#[must_use]
pub fn temperature(f: &Figure) -> String {
    paired_at(f, "°C", "°F", fahrenheit, places(f), places(f))
}

/// The two ends of a figure's band in its own unit, `25 to 30`; nothing when it does not
/// spread, or spreads less than its last digit.
#[must_use]
pub fn band(f: &Figure) -> Option<String> {
    ends(f, places(f), |v| v)
}

/// What the ends of a band mean, for a note under figures.
#[must_use]
pub const fn band_meaning(kind: BandKind) -> &'static str {
    match kind {
        BandKind::P5P95 => "9 of 10 cases expected between the two numbers",
        BandKind::PrintedRange => "range printed in the source",
        BandKind::Instrument => "width of the instrument",
        BandKind::Exact => "no spread",
    }
}

/// An amount of money with its currency: `3.42 EUR (3.10 to 3.80)`.
#[must_use]
pub fn money(f: &Figure, currency: &str) -> String {
    let per = match f.unit {
        Unit::MoneyPerHour => "/h",
        Unit::MoneyPerKilowattHour => "/kWh",
        _ => "",
    };
    with_band(
        join(&fixed(f.value, 2), &format!("{currency}{per}")),
        ends(f, 2, |v| v),
    )
}

/// A time span in hours and minutes when it is long: `5 h 18 min (5 h 2 min to 5 h 40 min)`.
///
/// For figures in seconds, minutes, hours or days; any other reads as in [`figure`].
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
    let (value, low, high) = (
        span(f.value * to_min),
        span(f.low * to_min),
        span(f.high * to_min),
    );
    let spread = (spreads(f) && low != high).then(|| format!("{low} to {high}"));
    with_band(value, spread)
}

/// A mass on the scale, in grams with the digits of the scale's step: `1234.5 g`.
#[must_use]
pub fn on_scale(mass: &Figure, scale_step: &Figure) -> String {
    let grams = |f: &Figure| {
        if f.unit == Unit::Kilogram {
            f.value * 1000.0
        } else {
            f.value
        }
    };
    let step = grams(scale_step);
    let places = (0..=3_usize)
        .find(|&p| {
            let scaled = step * 10_f64.powi(i32::try_from(p).unwrap_or(0));
            (scaled - scaled.round()).abs() < 1e-6 * scaled.abs().max(1e-9)
        })
        .unwrap_or(3);
    join(&fixed(grams(mass), places), "g")
}

/// A plain temperature in both scales, to the tenth: `94.9 °C (202.8 °F)`.
#[must_use]
pub fn both_scales(celsius: f64, places: usize) -> String {
    format!(
        "{} °C ({} °F)",
        trimmed(celsius, places),
        trimmed(fahrenheit(celsius), places)
    )
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

/// The unit as it stands behind a number; nothing for counts, ratios and money.
#[must_use]
pub const fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::One | Unit::Count | Unit::Ph | Unit::WaterActivity | Unit::Money => "",
        Unit::MoneyPerHour => "per h",
        Unit::MoneyPerKilowattHour => "per kWh",
        other => other.symbol(),
    }
}

/// Decimal places for a value: those usual for its unit, fewer when the band is wide.
fn places(f: &Figure) -> usize {
    let usual = usual_places(f.value, f.unit);
    let half = (f.high - f.low) / 2.0;
    if !spreads(f) || !half.is_finite() {
        return usual;
    }
    // Two digits of the band's half width at most; 1 °C or more leaves no tenths.
    let allowed = (1.0 - half.log10().floor()).max(0.0) as usize;
    if f.unit == Unit::Celsius && half >= 1.0 {
        0
    } else {
        usual.min(allowed)
    }
}

fn usual_places(value: f64, unit: Unit) -> usize {
    let size = value.abs();
    let by_size = |three: usize| match size {
        s if s >= 100.0 => three.saturating_sub(2),
        s if s >= 10.0 => three.saturating_sub(1),
        _ => three,
    };
    match unit {
        Unit::Count => usize::from((size - size.round()).abs() > 0.05),
        Unit::Celsius | Unit::Kelvin | Unit::Brix | Unit::GramPer100Gram | Unit::JarsPerMinute => 1,
        Unit::Ph | Unit::Money | Unit::MoneyPerHour | Unit::MoneyPerKilowattHour => 2,
        Unit::WaterActivity | Unit::WattPerMetreKelvin => 3,
        Unit::Percent | Unit::Minute | Unit::Hour | Unit::Day | Unit::MillimolePerKilogram => {
            usize::from(size < 10.0 && (size - size.round()).abs() > 0.05)
        }
        Unit::Gram | Unit::Millilitre => {
            if size >= 100.0 {
                0
            } else if size >= 10.0 {
                1
            } else {
                2
            }
        }
        Unit::Kilogram | Unit::Litre | Unit::KilowattHour => {
            by_size(2).max(usize::from(size < 1000.0))
        }
        Unit::Metre => by_size(2),
        Unit::Millimetre => usize::from(size < 10.0),
        Unit::Second
        | Unit::Watt
        | Unit::Pascal
        | Unit::KilogramPerCubicMetre
        | Unit::JoulePerKilogramKelvin
        | Unit::WattPerSquareMetreKelvin => 0,
        Unit::One => by_size(3),
        Unit::SquareMetrePerSecond => 9,
    }
}

fn spreads(f: &Figure) -> bool {
    f.band != BandKind::Exact && f.low < f.high
}

fn ends(f: &Figure, places: usize, convert: impl Fn(f64) -> f64) -> Option<String> {
    if !spreads(f) {
        return None;
    }
    let (low, high) = (
        trimmed_like(convert(f.low), places, f.unit),
        trimmed_like(convert(f.high), places, f.unit),
    );
    (low != high).then(|| format!("{low} to {high}"))
}

/// Temperatures and lengths lose a trailing `.0`, all else keeps its places.
fn trimmed_like(value: f64, places: usize, unit: Unit) -> String {
    match unit {
        Unit::Celsius | Unit::Kelvin | Unit::Metre | Unit::Millimetre => trimmed(value, places),
        _ => fixed(value, places),
    }
}

fn paired(f: &Figure, first: &str, second: &str, convert: impl Fn(f64) -> f64) -> String {
    let second_places = match f.unit {
        Unit::Millimetre => 2,
        _ => usize::from(convert(f.value).abs() < 10.0),
    };
    paired_at(f, first, second, convert, places(f), second_places)
}

fn paired_at(
    f: &Figure,
    first: &str,
    second: &str,
    convert: impl Fn(f64) -> f64,
    places: usize,
    second_places: usize,
) -> String {
    if !f.value.is_finite() {
        return UNKNOWN.into();
    }
    let plain = format!(
        "{} {first} ({} {second})",
        trimmed(f.value, places),
        trimmed(convert(f.value), second_places)
    );
    match (ends(f, places, |v| v), ends(f, second_places, convert)) {
        (Some(a), Some(b)) => format!("{plain}, {a} {first} ({b} {second})"),
        (Some(a), None) => format!("{plain}, {a} {first}"),
        _ => plain,
    }
}

fn with_band(plain: String, band: Option<String>) -> String {
    match band {
        Some(band) if plain != UNKNOWN => format!("{plain} ({band})"),
        _ => plain,
    }
}

fn join(number: &str, unit: &str) -> String {
    if unit.is_empty() || number == UNKNOWN {
        number.into()
    } else {
        format!("{number} {unit}")
    }
}

fn span(minutes: f64) -> String {
    if !minutes.is_finite() {
        return UNKNOWN.into();
    }
    let whole = minutes.round();
    if whole < 60.0 {
        return format!("{} min", fixed(whole, 0));
    }
    let (hours, rest) = ((whole / 60.0).floor(), whole % 60.0);
    if rest < 0.5 {
        format!("{hours:.0} h")
    } else {
        format!("{hours:.0} h {rest:.0} min")
    }
}

fn fixed(value: f64, places: usize) -> String {
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

fn trimmed(value: f64, places: usize) -> String {
    let text = if value.is_finite() && value.abs() < 1e-3 {
        fixed(0.0, places)
    } else {
        fixed(value, places)
    };
    text.strip_suffix(".0")
        .or_else(|| text.strip_suffix(".00"))
        .map_or(text.clone(), str::to_string)
}

/// `1.45 × 10⁻⁷`.
fn scientific(value: f64) -> String {
    let power = value.abs().log10().floor();
    let digits: String = format!("{power:.0}")
        .chars()
        .map(|c| match c {
            '-' => '⁻',
            '0' => '⁰',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            '4' => '⁴',
            '5' => '⁵',
            '6' => '⁶',
            '7' => '⁷',
            '8' => '⁸',
            _ => '⁹',
        })
        .collect();
    let sign = if value < 0.0 { "−" } else { "" };
    format!("{sign}{:.2} × 10{digits}", value.abs() / 10_f64.powf(power))
}
