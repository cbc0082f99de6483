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
mod endpoint;
mod error;
mod food;
mod freezing;
mod frozen;
mod ion;
mod liquid_water;
mod ph;
mod refractometer;
mod sugar;
mod thermal;
mod viscosity;
mod water_activity;

pub use acid::{ACIDS, Acid, PK_LADDER, SideChain, Step, debye_huckel_a, pk_water};
pub use boiling::{
    FOOD_BOILS, LATENT_HEAT, SATURATION_PRESSURE, STANDARD_ATMOSPHERE, STATION_PRESSURE, WATER_BOILS, barometer_pa,
    food_boils_c, latent_heat_j_kg, no_alcohol_to_boil, pressure_pa, saturation_pressure_pa, station_pressure_pa,
    water_boils_c,
};
pub use electrolytes::{SALTS, salts_dissolve};
pub use endpoint::{BOILS_AT_BRIX, BRIX_AT_BOILING, boils_at_brix_c, brix_when_boiling_at};
pub use error::MatterError;
pub use food::{BRIX, FOOD_MASS, Food, Groups, INVERSION};
pub use freezing::{FREEZES, ICE, food_freezes_c, ice_kg};
pub use frozen::{ENTHALPY, Frozen, enthalpy_j_kg, frozen};
pub use ion::{Ion, Minerals};
pub use liquid_water::{LiquidWater, liquid_water};
pub use ph::{
    BUFFERING, Balance, PH, STRONG_ION, TITRATABLE_ACIDITY, balance, buffering, ionic_strength, ph, ph_miss,
    strong_ion_for_ph, titratable_acidity_pct_citric,
};
pub use refractometer::{
    REFRACTOMETER, REFRACTOMETER_TEMPERATURE, acid_correction, refractometer_reading, temperature_correction,
};
pub use sugar::{
    REFRACTIVE_INDEX, SUCROSE_DENSITY, SUCROSE_SOLUBILITY, WATER_TO_REMOVE, brix_from_refractive_index,
    refractive_index, sucrose_density_kg_m3, sucrose_solubility_pct, water_to_remove_kg,
};
pub use thermal::{
    CONDUCTIVITY, Component, DIFFUSIVITY, Mixing, THERMAL, Thermal, thermal, thermal_by, thermal_with_ice,
};
pub use viscosity::{DISPERSED_VISCOSITY, SYRUP_VISCOSITY, syrup_viscosity_pa_s, viscosity_pa_s};
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
    &BUFFERING,
    &WATER_ACTIVITY,
    &SALTS,
    &THERMAL,
    &CONDUCTIVITY,
    &DIFFUSIVITY,
    &STANDARD_ATMOSPHERE,
    &STATION_PRESSURE,
    &SATURATION_PRESSURE,
    &WATER_BOILS,
    &FOOD_BOILS,
    &BOILS_AT_BRIX,
    &BRIX_AT_BOILING,
    &LATENT_HEAT,
    &FREEZES,
    &ICE,
    &ENTHALPY,
    &SUCROSE_DENSITY,
    &SUCROSE_SOLUBILITY,
    &REFRACTIVE_INDEX,
    &REFRACTOMETER,
    &REFRACTOMETER_TEMPERATURE,
    &WATER_TO_REMOVE,
    &SYRUP_VISCOSITY,
    &DISPERSED_VISCOSITY,
];
