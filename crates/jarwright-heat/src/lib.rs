//! How heat moves: films, jar, bath, pot, cooling and freezing.
//!
//! Floor 2. Driven by the plan above it with plain numbers; leaves what the heat does to food
//! and to microbes to the crate that stands beside it. Never knows microbes or formulas, reads
//! no clock and no file. Temperatures are °C, times seconds, everything else SI.
//!
//! Read next: `films.rs`, then `jar.rs`; `exact.rs` is the yardstick that the solver is held to.

mod along_glass;
mod band;
pub mod batch_size;
pub mod bath;
mod bath_jar;
mod bath_ode;
pub mod bath_run;
mod bath_water;
mod bessel;
pub mod case;
pub mod changing;
mod changing_cells;
pub mod cold_store;
pub mod condensing;
pub mod cooled_vessel;
pub mod cooling;
pub mod cooling_clock;
mod error;
pub mod exact;
pub mod films;
pub mod fitting;
pub mod follow;
pub mod food_curves;
pub mod freezing;
pub mod glass;
pub mod heat_content;
pub mod heated_vessel;
pub mod jar;
pub mod lag;
mod march;
pub mod media;
mod mesh;
pub mod modes;
pub mod penetration;
pub mod pham;
pub mod pot;
mod pot_flow;
mod potful;
mod probe;
mod root;
pub mod slow_grid;
mod spectrum;
mod stage;
pub mod two_point;
pub mod wall;

pub use error::HeatError;

use jarwright_figure::Equation;

/// Every equation of this crate that a figure can be computed with.
pub static EQUATIONS: &[&Equation] = &[
    &films::STILL_AIR,
    &films::OPEN_SURFACE,
    &films::EVAPORATION,
    &jar::JAR_CONDUCTION,
    &changing::JAR_CHANGING,
    &food_curves::FOOD_CURVES,
    &modes::JAR_MODES,
    &pot::POT_HEATS,
    &pot::POT_BOILS,
    &pot::BOWL,
    &follow::POT_FOLLOWED,
    &follow::CARRY_OVER,
    &heated_vessel::STEAM_WITH_AIR,
    &heated_vessel::KETTLE_FILLED,
    &wall::AGITATED_FILM,
    &wall::WIPED_FILM,
    &wall::FILM_STAYS,
    &wall::WALL_TEMPERATURE,
    &batch_size::SPLITTING,
    &bath::COME_UP,
    &bath_run::BATH_RUN,
    &condensing::FILM_CONDENSATION,
    &bath::WATER_TO_SWAP,
    &bath::WATER_TO_ADD,
    &lag::JAR_LAG,
    &lag::JAR_THROUGH,
    &cooling::PAN_COOLING,
    &two_point::TWO_POINT_COOLING,
    &cooling_clock::TWO_STAGE_COOLING,
    &penetration::PENETRATION_RATE,
    &penetration::PENETRATION_LAG,
    &freezing::ICE_TO_COOL,
    &freezing::PLANK_FREEZING,
    &pham::PHAM_FREEZING,
    &pham::BLOCK_DIMENSION,
    &heat_content::HEAT_TABLE,
    &slow_grid::SLOW_GRID,
    &fitting::ROUND_ALIKE,
    &cooled_vessel::VESSEL_FILM,
    &media::COOLING_FILM,
    &media::WATER_VISCOSITY,
    &cold_store::COLD_STORE,
    &glass::GLASS_STRESS,
    &glass::JAR_WAITS,
];
