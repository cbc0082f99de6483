//! Published numbers and rules as data.
//!
//! One table a source under `data/`, embedded in the program and parsed once. Every row names
//! its source by a key of `data/sources.csv` and says how the value is known. A blank cell is
//! unknown, never zero.
//!
//! Floor 0. Never knows physics or kitchens. A malformed row is skipped at run time and fails
//! the crate's own tests. Read next: `source.rs`, then `ingredient.rs`.

mod assemble;
mod cell;
pub mod food_class;
pub mod harbour;
pub mod identity;
pub mod ingredient;
pub mod jam_group;
pub mod jar;
pub mod keeping;
pub mod measure;
pub mod name_rule;
pub mod practice;
pub mod pressure;
pub mod rule;
pub mod schedule;
pub mod source;
pub mod split;
pub mod spread;
mod table;

pub use food_class::FoodClass;
pub use harbour::{
    EggPair, FillTemperature, Harbour, PrintedCell, Resistance, egg_pairs, fill_temperatures, harbours, harbours_for,
    printed_cells, resistances,
};
pub use identity::{Counted, Identity, Mixed, identities, identity};
pub use ingredient::{
    Acid, AcidRow, AcidsIn, EnergyFactors, FormDensity, Ingredient, Kind, PieceRow, ProteinGroups, Sheet, Titration,
    ingredient, ingredients,
};
pub use jam_group::{JamGroup, us_jam_group};
pub use jar::{JarRow, jar, jars};
pub use keeping::{Keeping, KeepingKind, keeping, keeping_of};
pub use measure::{CupSystem, mass_g, volume_ml};
pub use name_rule::{
    Counts, FruitForm, FruitPart, NameWords, counts_in, equal_to_fruit, fruit_form, name_words, never_mixed,
    us_fruit_factor,
};
pub use practice::{Clash, Practice, clashes, practice, practices};
pub use pressure::{PressureBand, pressure_bands};
pub use rule::{Condition, Fact, ForUse, Market, Op, Route, Rule, State, rules};
pub use schedule::{AltitudeBand, ClassRule, Pack, PublishedLine, Schedule, Scope, jar_boil_min, schedule, schedules};
pub use source::{SourceRow, source, sources};
pub use split::{Split, splits};
pub use spread::{IngredientSpread, Spreads, ingredient_spreads, spread_of};
