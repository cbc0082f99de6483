//! What time and temperature do to a food and to what lives in it.
//!
//! Plain numbers in, plain numbers out: a temperature history becomes minutes at a reference
//! temperature ([`lethality_min`]), minutes become decimal reductions ([`decimal_reductions`]).
//! Egg sets and scrambles, sugar splits, colour and vitamins go ([`Change`], [`EggSetting`]).
//! How sure an answer is that rests on uncertain numbers, and which of them to measure, is told of any
//! function ([`sobol_indices`]).
//! A computed lethality explains a published process; it never shortens or replaces one.
//!
//! Floor 2. Never knows jars or pots: a history is two slices. Read next: `lethality.rs`.

mod change;
mod distribution;
mod egg;
mod error;
mod inversion;
mod lethality;
mod pieces;
mod rate_law;
mod reduction;
mod sampling;
mod sensitivity;
mod sobol;
mod two_slope;

pub use change::{ASCORBIC_ACID_LOST, BROWNS, Change, EGG_CURDLES, YOLK_SETS};
pub use distribution::{Distribution, SpreadShape};
pub use egg::{EGG_SETTING, EggSetting, SUGAR_SHIFT_K, sugar_shift_that_sets_k};
pub use error::DoseError;
pub use inversion::{INVERSION_RATE, inversion_rate_per_s, inverted_share, syrup_water_kg_l};
pub use lethality::{
    LETHAL_RATE, LETHALITY, LETHALITY_TRAPEZOID, LethalTarget, lethal_rate, lethality_min, lethality_rectangle_min,
    lethality_split_min, lethality_trapezoid_min, lethality_weighted_min, mean_rate_between,
};
pub use pieces::{ACID_INTO_PIECES, CUT_M2_S, Shape, acid_reaches_s};
pub use rate_law::{
    ACTIVATION, ARRHENIUS, Fit, Order, RateLaw, SCAN_PEAK, Standing, activation_j_mol, rate_at_scan_peak_per_s,
};
pub use reduction::{
    DEATH_TIME, DECIMAL_REDUCTIONS, d_from_survivors_min, decimal_reductions, minutes_at, minutes_for_reductions,
    z_from_two_times_k,
};
pub use sampling::{
    Estimate, PERCENTILE_INTERVAL, SHARE_INTERVAL, Sampler, each, percentile, percentile_places, share_of,
};
pub use sensitivity::{FIRST_ORDER, Indices, RESOLVED, ROWS, StudyError, TOTAL_ORDER, sobol_indices};
pub use sobol::{SOBOL_POINTS, Sobol};
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
    &ARRHENIUS,
    &ACTIVATION,
    &SCAN_PEAK,
    &YOLK_SETS,
    &EGG_CURDLES,
    &ASCORBIC_ACID_LOST,
    &BROWNS,
    &EGG_SETTING,
    &INVERSION_RATE,
    &ACID_INTO_PIECES,
    &SOBOL_POINTS,
    &SHARE_INTERVAL,
    &PERCENTILE_INTERVAL,
    &FIRST_ORDER,
    &TOTAL_ORDER,
];
