//! What time and temperature do to what lives in a food.
//!
//! Plain numbers in, plain numbers out: a temperature history becomes minutes at a reference
//! temperature ([`lethality_min`]), minutes become decimal reductions ([`decimal_reductions`]).
//! A computed lethality explains a published process; it never shortens or replaces one.
//!
//! Floor 2. Never knows jars or pots: a history is two slices. Read next: `lethality.rs`.

mod error;
mod lethality;
mod reduction;
mod two_slope;

pub use error::DoseError;
pub use lethality::{
    LETHAL_RATE, LETHALITY, LETHALITY_TRAPEZOID, LethalTarget, lethal_rate, lethality_min, lethality_rectangle_min,
    lethality_split_min, lethality_trapezoid_min, lethality_weighted_min, mean_rate_between,
};
pub use reduction::{
    DEATH_TIME, DECIMAL_REDUCTIONS, d_from_survivors_min, decimal_reductions, minutes_at, minutes_for_reductions,
    z_from_two_times_k,
};
pub use two_slope::{TWO_SLOPE, TwoSlope};

use jarwright_figure::Equation;

/// Every equation of this crate.
pub static EQUATIONS: &[&Equation] = &[
    &LETHAL_RATE,
    &LETHALITY,
    &LETHALITY_TRAPEZOID,
    &DEATH_TIME,
    &DECIMAL_REDUCTIONS,
    &TWO_SLOPE,
];
