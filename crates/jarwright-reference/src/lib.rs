//! Published numbers and rules as data.
//!
//! One table a source under `data/`, embedded in the program and parsed once. Every row names
//! its source by a key of `data/sources.csv` and says how the value is known. A blank cell is
//! unknown, never zero.
//!
//! Floor 0. Never knows physics or kitchens. A malformed row is skipped at run time and fails
//! the crate's own tests. Read next: `source.rs`, then `ingredient.rs`.

mod assemble;
pub mod ingredient;
pub mod measure;
pub mod source;
pub mod split;
mod table;

pub use ingredient::{
    Acid, AcidRow, AcidsIn, EnergyFactors, Ingredient, Kind, PieceRow, ProteinGroups, ingredient, ingredients,
};
pub use measure::{CupSystem, mass_g, volume_ml};
pub use source::{SourceRow, source, sources};
pub use split::{Split, splits};
