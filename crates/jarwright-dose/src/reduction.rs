//! D, z and decimal reductions: what a lethality is worth against one organism.

use std::f64::consts::LN_10;

use jarwright_figure::{Equation, OutOfRange};

use crate::DoseError;

/// Minutes at another temperature that do the same.
pub static DEATH_TIME: Equation = Equation {
    key: "death-time",
    title: "Equivalent time at a temperature",
    text: "t = t_ref 10^((T_ref - T) / z)",
    source: "breidt_2014",
};

/// Decimal reductions of a lethality.
pub static DECIMAL_REDUCTIONS: Equation = Equation {
    key: "decimal-reductions",
    title: "Decimal reductions",
    text: "log10(N_0/N) = F / D_ref",
    source: "geankoplis",
};

/// Minutes at `c` [°C] that are worth `ref_min` at the reference temperature.
///
/// ```text
/// t = t_ref 10^((T_ref - T) / z)
/// ```
///
/// * `ref_min`: time at the reference temperature [min], above 0; a D, an F or a table's cell
/// * `ref_c`: reference temperature [°C]
/// * `z_k`: slope [K], 1 to 100
/// * `c`: temperature asked for [°C]
///
/// Holds while the organism dies on one straight line; see [`crate::TwoSlope`] for one that
/// does not.
///
/// # Errors
/// [`DoseError::OutOfRange`].
///
/// # Source
/// `breidt_2014`, the linear model behind its 5-log table.
///
/// ```
/// let t = jarwright_dose::minutes_at(2.0, 70.0, 7.5, 77.5);
/// assert!(t.is_ok_and(|t| (t - 0.2).abs() < 1e-12));
/// ```
pub fn minutes_at(ref_min: f64, ref_c: f64, z_k: f64, c: f64) -> Result<f64, DoseError> {
    positive("time at the reference temperature", ref_min, "min")?;
    crate::lethality::check_constants(ref_c, z_k)?;
    crate::lethality::check_constants(c, z_k)?;
    Ok(ref_min * (LN_10 * (ref_c - c) / z_k).exp())
}

/// Decimal reductions [1] that a lethality [min] makes, with D [min] at the same reference
/// temperature.
///
/// ```text
/// log10(N_0/N) = F / D
/// ```
///
/// Counts only deaths on a straight line; no shoulder, no tail, no survivors left behind by
/// salt or sugar beyond what D was measured in.
///
/// # Errors
/// [`DoseError::OutOfRange`] for a lethality below 0 or a D not above 0.
///
/// # Source
/// `geankoplis`, section 9.12.
pub fn decimal_reductions(lethality_min: f64, d_min: f64) -> Result<f64, DoseError> {
    not_negative("lethality", lethality_min, "min")?;
    positive("decimal reduction time", d_min, "min")?;
    Ok(lethality_min / d_min)
}

/// Minutes [min] at the D's own temperature for a number of decimal reductions.
///
/// # Errors
/// [`DoseError::OutOfRange`] for reductions below 0 or a D not above 0.
///
/// # Source
/// `geankoplis`, section 9.12.
pub fn minutes_for_reductions(reductions: f64, d_min: f64) -> Result<f64, DoseError> {
    not_negative("decimal reductions", reductions, "")?;
    positive("decimal reduction time", d_min, "min")?;
    Ok(reductions * d_min)
}

/// D [min] from two survivor counts.
///
/// ```text
/// D = (t_b - t_a) / log10(N_a / N_b)
/// ```
///
/// * `minutes_between`: time between the counts [min], above 0
/// * `before`, `after`: counts, both above 0, `before` above `after`
///
/// # Errors
/// [`DoseError::OutOfRange`].
///
/// # Source
/// `geankoplis`, section 9.12.
pub fn d_from_survivors_min(minutes_between: f64, before: f64, after: f64) -> Result<f64, DoseError> {
    positive("time between the counts", minutes_between, "min")?;
    positive("survivors at the later count", after, "")?;
    let range = OutOfRange::check(
        "survivors at the earlier count",
        before,
        after.next_up(),
        f64::MAX,
        "",
        DECIMAL_REDUCTIONS.source,
    )?;
    Ok(minutes_between / (range / after).log10())
}

/// z [K] of the straight line through two times for the same effect.
///
/// ```text
/// z = (T_b - T_a) / log10(t_a / t_b)
/// ```
///
/// * `a_c`, `a_min`: lower temperature [°C] and its time [min]
/// * `b_c`, `b_min`: higher temperature [°C] and its shorter time [min]
///
/// # Errors
/// [`DoseError::OutOfRange`] when the hotter time is not the shorter one.
///
/// # Source
/// `breidt_2014`, the linear model behind its 5-log table.
pub fn z_from_two_times_k(a_c: f64, a_min: f64, b_c: f64, b_min: f64) -> Result<f64, DoseError> {
    let source = DEATH_TIME.source;
    positive("time at the higher temperature", b_min, "min")?;
    OutOfRange::check(
        "time at the lower temperature",
        a_min,
        b_min.next_up(),
        f64::MAX,
        "min",
        source,
    )?;
    OutOfRange::check("higher temperature", b_c, a_c.next_up(), 160.0, "°C", source)?;
    Ok((b_c - a_c) / (a_min / b_min).log10())
}

fn positive(quantity: &'static str, got: f64, unit: &'static str) -> Result<f64, OutOfRange> {
    OutOfRange::check(
        quantity,
        got,
        f64::MIN_POSITIVE,
        f64::MAX,
        unit,
        DECIMAL_REDUCTIONS.source,
    )
}

fn not_negative(quantity: &'static str, got: f64, unit: &'static str) -> Result<f64, OutOfRange> {
    OutOfRange::check(quantity, got, 0.0, f64::MAX, unit, DECIMAL_REDUCTIONS.source)
}
