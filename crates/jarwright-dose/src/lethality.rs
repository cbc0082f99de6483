//! Minutes at a reference temperature that a temperature history is worth.

use std::f64::consts::LN_10;

use jarwright_figure::{Equation, OutOfRange};

use crate::DoseError;

/// How fast a place at a temperature counts against the reference temperature.
pub static LETHAL_RATE: Equation = Equation {
    key: "lethal-rate",
    title: "Lethal rate",
    text: "L = 10^((T - T_ref) / z)   [minutes at T_ref for each minute at T]",
    source: "geankoplis",
};

/// Lethality of a history that runs straight between its readings.
pub static LETHALITY: Equation = Equation {
    key: "lethality",
    title: "Lethality, exact between readings",
    text: "F = integral of 10^((T - T_ref)/z) dt; a straight line from T_a to T_b in dt gives \
           F = dt z (L_b - L_a) / (ln 10 (T_b - T_a))",
    source: "geankoplis",
};

/// Lethality by the trapezoid rule on the lethal rate.
pub static LETHALITY_TRAPEZOID: Equation = Equation {
    key: "lethality-trapezoid",
    title: "Lethality, trapezoid rule",
    text: "F = sum dt (L_a + L_b) / 2",
    source: "warne_1988",
};

/// Lowest and highest temperature [°C] that a lethality is computed for.
const TEMPERATURE_C: (f64, f64) = (-40.0, 160.0);
/// Least and greatest z [K]; printed values for microbes and enzymes run from 3 to 50.
const Z_K: (f64, f64) = (1.0, 100.0);

/// What a lethality counts against: a reference temperature and a slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LethalTarget {
    /// Reference temperature [°C].
    pub ref_c: f64,
    /// Temperature rise that makes the lethal rate ten times larger [K].
    pub z_k: f64,
}

impl LethalTarget {
    /// A target whose numbers are in range.
    ///
    /// * `ref_c`: reference temperature [°C], -40 to 160
    /// * `z_k`: slope [K], 1 to 100
    ///
    /// # Errors
    /// [`DoseError::OutOfRange`] outside the ranges above.
    pub fn new(ref_c: f64, z_k: f64) -> Result<Self, DoseError> {
        check_constants(ref_c, z_k)?;
        Ok(Self { ref_c, z_k })
    }

    /// Lethal rate [1] at a temperature [°C].
    #[must_use]
    pub fn rate(&self, c: f64) -> f64 {
        lethal_rate(c, self.ref_c, self.z_k)
    }

    /// Lethality [min] of a history; see [`lethality_min`].
    ///
    /// # Errors
    /// As [`lethality_min`].
    pub fn lethality_min(&self, times_s: &[f64], temperatures_c: &[f64]) -> Result<f64, DoseError> {
        lethality_min(times_s, temperatures_c, self.ref_c, self.z_k)
    }
}

/// Lethal rate [1]: minutes at the reference temperature that one minute at `c` is worth.
///
/// ```text
/// L = 10^((T - T_ref) / z)
/// ```
///
/// * `c`: temperature [°C]
/// * `ref_c`: reference temperature [°C]
/// * `z_k`: slope [K], above 0
///
/// Says nothing of safety: it is the same for a wrong z. [`lethality_min`] refuses what is out
/// of range; this bare rate follows the floating point rules.
///
/// # Source
/// `geankoplis`, section 9.12.
///
/// ```
/// assert_eq!(jarwright_dose::lethal_rate(121.1, 121.1, 10.0), 1.0);
/// ```
#[must_use]
pub fn lethal_rate(c: f64, ref_c: f64, z_k: f64) -> f64 {
    (LN_10 * (c - ref_c) / z_k).exp()
}

/// Lethality [min] of a history that runs straight between its readings, exactly.
///
/// ```text
/// F = sum over intervals of dt L_a (e^x - 1)/x      x = ln10 (T_b - T_a) / z
/// ```
///
/// * `times_s`: times of the readings [s], rising
/// * `temperatures_c`: as many temperatures [°C], -40 to 160
/// * `ref_c`: reference temperature [°C], -40 to 160
/// * `z_k`: slope [K], 1 to 100
///
/// A straight line lies below a convex rate curve's chord, so this is never more than
/// [`lethality_trapezoid_min`] of the same readings.
///
/// # Errors
/// [`DoseError`]: readings that do not pair up, fewer than two, times that do not rise, or a
/// number outside the ranges above.
///
/// # Source
/// The integral of `geankoplis`, section 9.12, taken in closed form.
///
/// ```
/// let f = jarwright_dose::lethality_min(&[0.0, 600.0], &[90.0, 90.0], 90.0, 10.0);
/// assert_eq!(f, Ok(10.0));
/// assert!(jarwright_dose::lethality_min(&[0.0, 600.0], &[90.0], 90.0, 10.0).is_err());
/// ```
pub fn lethality_min(times_s: &[f64], temperatures_c: &[f64], ref_c: f64, z_k: f64) -> Result<f64, DoseError> {
    check(times_s, temperatures_c, ref_c, z_k)?;
    Ok(sum(times_s, temperatures_c, |a_c, b_c| straight(a_c, b_c, ref_c, z_k)))
}

/// Lethality [min] by the trapezoid rule on the lethal rate.
///
/// Arguments and errors as [`lethality_min`]. The rule most reports by hand use.
///
/// # Errors
/// As [`lethality_min`].
///
/// # Source
/// `warne_1988`.
pub fn lethality_trapezoid_min(
    times_s: &[f64],
    temperatures_c: &[f64],
    ref_c: f64,
    z_k: f64,
) -> Result<f64, DoseError> {
    check(times_s, temperatures_c, ref_c, z_k)?;
    Ok(sum(times_s, temperatures_c, |a_c, b_c| {
        0.5 * (lethal_rate(a_c, ref_c, z_k) + lethal_rate(b_c, ref_c, z_k))
    }))
}

/// Lethality [min] by the rectangle rule of logged readings: each reading counts for `step_s`.
///
/// * `step_s`: time each reading stands for [s], above 0 to 3600
///
/// Counts one step more than the trapezoid between the first and the last reading; kept because
/// logger reports print it.
///
/// # Errors
/// [`DoseError::OutOfRange`] for a number outside the ranges of [`lethality_min`].
///
/// # Source
/// `f0_report_slow_heating`.
pub fn lethality_rectangle_min(step_s: f64, temperatures_c: &[f64], ref_c: f64, z_k: f64) -> Result<f64, DoseError> {
    OutOfRange::check("reading step", step_s, f64::MIN_POSITIVE, 3600.0, "s", LETHALITY.source)?;
    check_constants(ref_c, z_k)?;
    check_temperatures(temperatures_c)?;
    Ok(temperatures_c.iter().map(|&c| lethal_rate(c, ref_c, z_k)).sum::<f64>() * step_s / 60.0)
}

/// Lethality [min] of readings that each stand for a time of their own.
///
/// ```text
/// F = sum of w L
/// ```
///
/// * `weights_s`: time each reading stands for [s], 0 or more; with the weights of a quadrature
///   rule on a smooth history a few dozen readings serve
/// * `temperatures_c`: as many temperatures [°C], -40 to 160
///
/// # Errors
/// [`DoseError`]: readings that do not pair up, a weight below 0, or a number outside the ranges of
/// [`lethality_min`].
///
/// # Source
/// The integral of `geankoplis`, section 9.12, by whatever rule gave the weights.
///
/// ```
/// assert_eq!(jarwright_dose::lethality_weighted_min(&[300.0, 300.0], &[90.0, 90.0], 90.0, 10.0), Ok(10.0));
/// assert!(jarwright_dose::lethality_weighted_min(&[-300.0], &[90.0], 90.0, 10.0).is_err());
/// ```
pub fn lethality_weighted_min(
    weights_s: &[f64],
    temperatures_c: &[f64],
    ref_c: f64,
    z_k: f64,
) -> Result<f64, DoseError> {
    check_constants(ref_c, z_k)?;
    check_temperatures(temperatures_c)?;
    if weights_s.len() != temperatures_c.len() {
        return Err(DoseError::Unpaired {
            times: weights_s.len(),
            temperatures: temperatures_c.len(),
        });
    }
    let mut seconds = 0.0;
    for (&weight_s, &c) in weights_s.iter().zip(temperatures_c) {
        let weight_s = OutOfRange::check("time of a reading", weight_s, 0.0, f64::INFINITY, "s", LETHALITY.source)?;
        seconds += weight_s * lethal_rate(c, ref_c, z_k);
    }
    Ok(seconds / 60.0)
}

/// Lethality [min] before and after one reading: (heating, cooling).
///
/// * `split_index`: reading where heating ends, counted from 0; it belongs to both sides
///
/// The two add up to [`lethality_min`] of the whole. A process that counts only its minutes at
/// the boil leaves the second number out; published home processes have it inside.
///
/// # Errors
/// As [`lethality_min`], and an index that is not a reading.
///
/// # Source
/// `willmore_2015`, who split their measured curves this way.
pub fn lethality_split_min(
    times_s: &[f64],
    temperatures_c: &[f64],
    split_index: usize,
    ref_c: f64,
    z_k: f64,
) -> Result<(f64, f64), DoseError> {
    check(times_s, temperatures_c, ref_c, z_k)?;
    let last = times_s.len() - 1;
    if split_index > last {
        return Err(DoseError::OutOfRange(OutOfRange {
            quantity: "reading where heating ends",
            got: split_index as f64,
            min: 0.0,
            max: last as f64,
            unit: "",
            source: LETHALITY.source,
        }));
    }
    let part = |range: std::ops::RangeInclusive<usize>| {
        sum(&times_s[range.clone()], &temperatures_c[range], |a_c, b_c| {
            straight(a_c, b_c, ref_c, z_k)
        })
    };
    Ok((part(0..=split_index), part(split_index..=last)))
}

/// Mean lethal rate along a straight line between two readings whose rates are known.
///
/// ```text
/// mean L = (L_b - L_a)/x      x = ln10 (T_b - T_a) / z
/// ```
///
/// * `rise_k`: temperature from the first reading to the second [K]
/// * `rate_a`, `rate_b`: their lethal rates [1], see [`lethal_rate`]
/// * `z_k`: slope [K], above 0
///
/// The same integral as [`lethality_min`], for readings that come one by one: each rate is
/// computed once.
///
/// # Source
/// The integral of `geankoplis`, section 9.12, taken in closed form.
#[must_use]
pub fn mean_rate_between(rise_k: f64, rate_a: f64, rate_b: f64, z_k: f64) -> f64 {
    let x = LN_10 * rise_k / z_k;
    if x.abs() < 1e-3 {
        // The quotient would lose digits; the series' next term is below 1e-14.
        rate_a * (1.0 + x * (0.5 + x * (1.0 / 6.0 + x / 24.0)))
    } else {
        (rate_b - rate_a) / x
    }
}

/// Mean lethal rate along a straight line from `a_c` to `b_c`.
pub(crate) fn straight(a_c: f64, b_c: f64, ref_c: f64, z_k: f64) -> f64 {
    let x = LN_10 * (b_c - a_c) / z_k;
    // (e^x - 1)/x has a removable gap at 0; below this its first two terms are exact in f64.
    let mean = if x.abs() < 1e-8 { 1.0 + 0.5 * x } else { x.exp_m1() / x };
    lethal_rate(a_c, ref_c, z_k) * mean
}

/// Sum over the intervals of duration [min] times the mean rate that `rate` gives.
pub(crate) fn sum(times_s: &[f64], temperatures_c: &[f64], rate: impl Fn(f64, f64) -> f64) -> f64 {
    let seconds: f64 = times_s
        .windows(2)
        .zip(temperatures_c.windows(2))
        .map(|(t, c)| (t[1] - t[0]) * rate(c[0], c[1]))
        .sum();
    // An empty sum is -0.
    (seconds + 0.0) / 60.0
}

pub(crate) fn check(times_s: &[f64], temperatures_c: &[f64], ref_c: f64, z_k: f64) -> Result<(), DoseError> {
    check_constants(ref_c, z_k)?;
    check_history(times_s, temperatures_c)
}

pub(crate) fn check_history(times_s: &[f64], temperatures_c: &[f64]) -> Result<(), DoseError> {
    if times_s.len() != temperatures_c.len() {
        return Err(DoseError::Unpaired {
            times: times_s.len(),
            temperatures: temperatures_c.len(),
        });
    }
    if times_s.len() < 2 {
        return Err(DoseError::TooShort {
            readings: times_s.len(),
        });
    }
    if let Some(i) = times_s
        .windows(2)
        .position(|t| !(t[0].is_finite() && t[1].is_finite() && t[1] > t[0]))
    {
        return Err(DoseError::TimeRunsBack {
            index: i + 1,
            at_s: times_s[i + 1],
            after_s: times_s[i],
        });
    }
    check_temperatures(temperatures_c)
}

pub(crate) fn check_constants(ref_c: f64, z_k: f64) -> Result<(), DoseError> {
    let (low, high) = TEMPERATURE_C;
    OutOfRange::check("reference temperature", ref_c, low, high, "°C", LETHALITY.source)?;
    OutOfRange::check("z", z_k, Z_K.0, Z_K.1, "K", LETHALITY.source)?;
    Ok(())
}

fn check_temperatures(temperatures_c: &[f64]) -> Result<(), DoseError> {
    let (low, high) = TEMPERATURE_C;
    for &c in temperatures_c {
        OutOfRange::check("temperature", c, low, high, "°C", LETHALITY.source)?;
    }
    Ok(())
}
