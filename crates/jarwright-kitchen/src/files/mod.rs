//! The three files a cook writes: formula, kitchen, stores; and a jar on the bench. Text in, typed
//! values out.
//!
//! No file is opened here. A text is refused with every fault in it at once, each with its
//! place, what is expected there and the nearest word. Numbers whose unit could be guessed
//! wrongly are strings with the unit in them (`"170 F"`, `"1/2 in"`); a pure number is a
//! number. Nothing is guessed: a range, a decimal comma and a cup of no stated country are
//! faults.
//!
//! Read next: `formula.rs`, `equipment.rs`, `stores.rs` (the values), then `walk.rs` (how a
//! text is walked).

mod amount;
mod cooling_case;
mod equipment;
mod formula;
mod formula_words;
mod money;
mod number;
mod pot_case;
mod problem;
pub mod quantity;
mod read_bath_case;
mod read_cooling;
mod read_equipment;
mod read_formula;
mod read_gear;
mod read_jar_case;
mod read_jar_study;
mod read_letter;
mod read_pot_case;
mod read_stores;
mod run;
mod section;
mod spell;
mod stores;
#[cfg(test)]
mod tests;
mod unit;
mod walk;
mod write;
mod write_formula;

pub use amount::{Amount, WeighError, Weights};
pub use cooling_case::{CoolingCase, Matter, Phase, PlaceWord, Readings, Refrigerator, ShapeWord, WallCase};
pub use equipment::{
    Bath, Burner, Cold, Fuel, Hours, Instrument, InstrumentKind, JarStock, KitchenFile, Losses, Oven, Pot, PotKind,
    Times, Weekday,
};
pub use formula::{Endpoint, FormulaFile, FormulaLine, GoesIn, Letter, Measured, Pack, Part, StopAt};
pub(crate) use formula_words::stop_at;
pub use money::Money;
pub use pot_case::{PotAddition, PotCase, PotFood, PotStop, Shares, VesselKind};
pub use problem::{Fault, Problem};
pub use read_bath_case::read_bath_case;
pub use read_cooling::read_cooling;
pub use read_equipment::read_kitchen;
pub use read_formula::{read_formula, read_formula_with};
pub use read_jar_case::{read_jar_case, read_jar_study};
pub use read_pot_case::read_pot_case;
pub use read_stores::read_stores;
pub use run::{MOST_MAKES, Make, RunFile, Written, read_run, run_text};
pub use spell::nearest;
pub use stores::{Analysis, OwnIngredient, StoresFile, StoresItem, TitratableAcidity};
pub use unit::{AmountUnit, EXPECTED_UNIT};
pub use walk::{MOST_BYTES, MOST_CHARS, MOST_LINES, MOST_PROBLEMS};
pub(crate) use write::quoted;
pub use write::{BathAnswer, BurnerAnswer, KitchenAnswers, PotAnswer, kitchen_text};
pub use write_formula::formula_text;
