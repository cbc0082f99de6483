//! The planning job against outside: how many to start, which packs, what a day holds, what a
//! formula yields and costs.

mod adjusting;
mod day;
mod packs;
mod starts;
mod whole;

use crate::{Check, Claim};

/// Every check of the planning job.
#[must_use]
pub fn all() -> Vec<Check> {
    [starts::all(), packs::all(), day::all(), whole::all(), adjusting::all()].concat()
}
