//! Words and numbers that the plan's sentences share.

/// Millimetres in an inch (`ucum_2_2`, exact).
pub(crate) const MM_PER_INCH: f64 = 25.4;

/// Feet in a metre (`ucum_2_2`, exact).
pub(crate) const FT_PER_M: f64 = 1.0 / 0.3048;

/// `77 °C (171 °F)`.
pub(crate) fn temperature(c: f64) -> String {
    format!("{} °C ({} °F)", whole(c), whole(fahrenheit(c)))
}

/// `77.2 °C (171.0 °F)`.
pub(crate) fn fine_temperature(c: f64) -> String {
    // Tenths first, so that nothing is written with a minus before it.
    let tenths = |v: f64| (v * 10.0).round() / 10.0 + 0.0;
    format!("{:.1} °C ({:.1} °F)", tenths(c), tenths(fahrenheit(c)))
}

/// °F of a temperature in °C.
pub(crate) fn fahrenheit(c: f64) -> f64 {
    c * 1.8 + 32.0
}

/// `4 h 20 min`, `35 min`.
pub(crate) fn duration(minutes: f64) -> String {
    let whole = minutes.round().abs() as i64;
    match (whole / 60, whole % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}

/// `3 jars`, `1 jar`, `2 batches`.
pub(crate) fn count(n: usize, one: &str) -> String {
    let hisses = ["ch", "sh", "s", "x"].iter().any(|end| one.ends_with(end));
    match (n, hisses) {
        (1, _) => format!("1 {one}"),
        (_, true) => format!("{n} {one}es"),
        (_, false) => format!("{n} {one}s"),
    }
}

/// A whole number without a minus before nothing.
fn whole(value: f64) -> String {
    format!("{:.0}", value.round() + 0.0)
}
