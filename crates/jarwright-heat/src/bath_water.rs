//! Cold water for a bath that is too hot to load.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`litres_to_swap`].
pub static WATER_TO_SWAP: Equation = Equation {
    key: "bath-water-to-swap",
    title: "Hot water to bail out for cold",
    text: "x = V (T_hot - T_target) / (T_hot - T_cold)",
    source: "arithmetic",
};

/// Registry entry of [`litres_to_add`].
pub static WATER_TO_ADD: Equation = Equation {
    key: "bath-water-to-add",
    title: "Cold water to add without bailing",
    text: "x = V (T_hot - T_target) / (T_target - T_cold)",
    source: "arithmetic",
};

/// Hot water to bail out, then to fill up with cold [L], so that the bath meets `target_c`.
///
/// ```text
/// x = V (T_hot - T_target) / (T_hot - T_cold)
/// ```
///
/// * `litres`: water in the bath [L], above 0, the same before and after
/// * `hot_c`, `cold_c`, `target_c`: bath, supply and wanted [°C], cold < target <= hot
///
/// # Errors
/// [`HeatError::OutOfRange`] when the target is not between supply and bath.
///
/// # Source
/// `arithmetic`.
pub fn litres_to_swap(litres: f64, hot_c: f64, cold_c: f64, target_c: f64) -> Result<f64, HeatError> {
    check_mix(litres, hot_c, cold_c, target_c)?;
    Ok(litres * (hot_c - target_c) / (hot_c - cold_c))
}

/// Cold water to add to a bath without bailing [L], so that it meets `target_c`.
///
/// ```text
/// x = V (T_hot - T_target) / (T_target - T_cold)
/// ```
///
/// Arguments and errors as [`litres_to_swap`]; the vessel must hold the sum.
///
/// # Errors
/// As [`litres_to_swap`].
///
/// # Source
/// `arithmetic`.
pub fn litres_to_add(litres: f64, hot_c: f64, cold_c: f64, target_c: f64) -> Result<f64, HeatError> {
    check_mix(litres, hot_c, cold_c, target_c)?;
    Ok(litres * (hot_c - target_c) / (target_c - cold_c))
}

fn check_mix(litres: f64, hot_c: f64, cold_c: f64, target_c: f64) -> Result<(), HeatError> {
    let source = WATER_TO_SWAP.source;
    OutOfRange::check("water in the bath", litres, f64::MIN_POSITIVE, 1e5, "L", source)?;
    OutOfRange::check("bath", hot_c, 0.0, 120.0, "°C", source)?;
    OutOfRange::check("supply water", cold_c, 0.0, hot_c.next_down(), "°C", source)?;
    OutOfRange::check("wanted bath", target_c, cold_c.next_up(), hot_c, "°C", source)?;
    Ok(())
}
