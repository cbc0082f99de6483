//! Formula, stores, equipment and an order become a plan.
//!
//! The only place where a rule becomes a decision. Knows no file, no socket and no clock: texts
//! and the time are arguments. Read next: `order.rs` (what is asked), `planning.rs` (how it is
//! answered), `plan.rs` (the answer).
//!
//! Floor 3.

pub mod adjust;
mod assay;
pub mod assaying;
mod assumed;
pub mod batching;
pub mod bath_case;
pub mod bathing;
pub mod brine;
pub mod buying;
mod cautions;
pub mod clock;
pub mod cold_spot;
mod cooking;
pub mod cooling;
pub mod costing;
pub mod departing;
mod error;
mod facts;
pub mod files;
mod inside;
pub mod jar_fill;
mod labelling;
mod letter;
mod limits;
mod lines;
mod lot_acid;
mod measure;
pub mod mixture;
pub mod naming;
mod notes;
mod on_hand;
pub mod on_scale;
pub mod order;
pub mod pack;
pub mod packs;
mod parts;
mod place;
pub mod plan;
pub mod planning;
pub mod ports;
pub mod pot_run;
mod potful;
mod pots;
mod property;
pub mod recipe;
mod routes;
mod setting;
mod sheet;
mod sizing;
pub mod starts;
pub mod sure;
mod through_bath;
mod timing;
mod verdict;
mod views;
pub mod watching;
mod words;
mod work;
mod worked;

pub use departing::{Departure, Planned, PlannedJar};
pub use error::PlanError;
pub use order::{Law, Much, Order, Use, Wanted};
pub use place::{Barometer, Here, here};
pub use plan::Plan;
pub use planning::{plan_order, plan_with_jars};
pub use watching::{PlannedPot, PotChange, PotWatched};

use jarwright_figure::Equation;

/// Every equation of this crate that a figure can be computed with.
pub static EQUATIONS: &[&Equation] = &[
    &adjust::LEAST_CHANGE,
    &lines::AMOUNT_TO_MASS,
    &brine::SHARE_OF_MASS,
    &brine::NAMED_CHARGE,
    &mixture::ASSAY,
    &assaying::BAND_SHARE,
    &assaying::names::NAME_COUNT,
    &assaying::effects::LINE_EFFECT,
    &assaying::effects::LINE_SHARE,
    &lot_acid::TITRATED_LOT,
    &jar_fill::FILL_VOLUME,
    &jar_fill::FILL_MASS,
    &jar_fill::FILL_CYLINDER,
    &batching::BATCH_MULTIPLE,
    &batching::BATCH_LINE,
    &batching::STAGE_MASS,
    &batching::KEPT_BACK,
    &batching::JARS_FILLED,
    &batching::COOK,
    &pack::BRINE_PER_JAR,
    &pack::PACKED_TEMPERATURE,
    &bathing::BURNER_SETTING,
    &bathing::LOAD_CYCLE,
    &cold_spot::COOLING_SHARE,
    &cold_spot::DOSE_OF_REFERENCE,
    &departing::SPREAD_KEPT,
    &departing::COME_UP_CHANGED,
    &departing::DRAWN_DOSE,
    &departing::VOLUME_DOSE,
    &watching::STIRRED_OTHERWISE,
    &starts::STARTS_BINOMIAL,
    &starts::STARTS_CORRELATED,
    &sizing::ORDER_COUNT,
    &potful::FILL_TIME,
    &pots::FILL_TEMPERATURE,
    &timing::RUN_TIME,
    &buying::AS_PURCHASED,
    &buying::WHOLE_FOR_PART,
    &buying::NEED,
    &buying::TO_BUY,
    &buying::LEFT_OVER,
    &buying::JARS_NEEDED,
    &buying::JARS_PRICE,
    &buying::PACKS_PRICE,
    &costing::INGREDIENT_COST,
    &costing::LABOUR_COST,
    &costing::BATH_FIRST_HEAT,
    &costing::BATH_HOLD_HEAT,
    &costing::ENERGY_COST,
    &costing::SOLD_JAR,
    &on_scale::ON_SCALE,
    &on_scale::TOTAL_ON_SCALE,
    &views::POT_FULL,
];
