//! What a food is at equilibrium.
//!
//! A [`Food`] is amounts: kilograms of each component, moles of whatever carries charge. Foods
//! add. From the amounts follow pH, water activity, thermal properties, boiling and freezing
//! points and degrees Brix. Nothing here knows time, a pot or a jar; nothing reads a file, a
//! clock or a table of ingredients: whoever calls brings the composition.
//!
//! Floor 1. Read next: `food.rs`, then `ph.rs`.

mod acid;
mod boiling;
mod charges;
mod electrolytes;
mod error;
mod food;
mod freezing;
mod ion;
mod ph;
mod sugar;
mod thermal;
mod water_activity;

pub use acid::{ACIDS, Acid, PK_LADDER, SideChain, Step, debye_huckel_a, pk_water};
pub use boiling::{
    FOOD_BOILS, LATENT_HEAT, SATURATION_PRESSURE, STANDARD_ATMOSPHERE, WATER_BOILS, food_boils_c, latent_heat_j_kg,
    pressure_pa, saturation_pressure_pa, water_boils_c,
};
pub use electrolytes::{SALTS, salts_dissolve};
pub use error::MatterError;
pub use food::{BRIX, FOOD_MASS, Food, Groups, INVERSION};
pub use freezing::{FREEZES, food_freezes_c};
pub use ion::{Ion, Minerals};
pub use ph::{
    Balance, PH, STRONG_ION, TITRATABLE_ACIDITY, balance, ionic_strength, ph, strong_ion_for_ph,
    titratable_acidity_pct_citric,
};
pub use sugar::{
    REFRACTIVE_INDEX, SUCROSE_DENSITY, WATER_TO_REMOVE, brix_from_refractive_index, refractive_index,
    sucrose_density_kg_m3, water_to_remove_kg,
};
pub use thermal::{CONDUCTIVITY, Component, DIFFUSIVITY, Mixing, THERMAL, Thermal, thermal, thermal_by};
pub use water_activity::{WATER_ACTIVITY, water_activity, water_activity_at};

use jarwright_figure::Equation;

/// Every equation this crate computes with.
pub static EQUATIONS: &[&Equation] = &[
    &FOOD_MASS,
    &BRIX,
    &INVERSION,
    &PK_LADDER,
    &PH,
    &STRONG_ION,
    &TITRATABLE_ACIDITY,
    &WATER_ACTIVITY,
    &SALTS,
    &THERMAL,
    &CONDUCTIVITY,
    &DIFFUSIVITY,
    &STANDARD_ATMOSPHERE,
    &SATURATION_PRESSURE,
    &WATER_BOILS,
    &FOOD_BOILS,
    &LATENT_HEAT,
    &FREEZES,
    &SUCROSE_DENSITY,
    &REFRACTIVE_INDEX,
    &WATER_TO_REMOVE,
];
