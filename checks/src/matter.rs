//! What a food is at equilibrium, held against standards, handbooks and measured foods.

use jarwright_matter::Food;

use crate::{Check, Claim};

mod acids;
mod boiling;
mod buffers;
mod frozen;
mod juices;
mod ph;
mod salts;
mod sugar;
mod thermal;
mod water_activity;

/// Every check of matter.
#[must_use]
pub fn all() -> Vec<Check> {
    [
        acids::all(),
        ph::all(),
        buffers::all(),
        water_activity::all(),
        salts::all(),
        boiling::all(),
        sugar::all(),
        frozen::all(),
        juices::all(),
        thermal::all(),
    ]
    .concat()
}

/// The value, or NaN where it was refused, which a [`Worst`] counts as an infinite miss.
fn or_nan<T, E>(result: Result<T, E>, take: impl FnOnce(T) -> f64) -> f64 {
    result.map_or(f64::NAN, take)
}

/// Sucrose in water, 1 kg in all.
fn syrup(brix: f64) -> Food {
    Food {
        water_kg: 1.0 - brix / 100.0,
        sucrose_kg: brix / 100.0,
        ..Food::default()
    }
}
