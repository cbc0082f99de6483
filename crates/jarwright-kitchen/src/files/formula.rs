//! A formula as read: what goes in, when, and when the pot is done.

use std::fmt;
use std::ops::Range;

use jarwright_reference::{CupSystem, FoodClass};
use jiff::civil::Date;

use super::Amount;

/// A formula file.
#[derive(Debug, Clone, PartialEq)]
pub struct FormulaFile {
    /// Formula's name.
    pub name: String,
    /// Class of food.
    pub food: FoodClass,
    /// Whose cups and spoons are meant; stated whenever one is used.
    pub cup: Option<CupSystem>,
    /// Key of the tested schedule that the formula claims to follow.
    pub schedule: Option<String>,
    /// When the pot is done; absent only in a raw pack.
    pub stop_at: Option<StopAt>,
    /// Headspace the jars are filled to [mm].
    pub jar_headspace_mm: Option<f64>,
    /// Temperature the food is filled at [°C].
    pub fill_at_c: Option<f64>,
    /// What the cook measured on the finished food.
    pub measured: Option<Measured>,
    /// A process authority's letter for this formula.
    pub letter: Option<Letter>,
    /// Pieces packed in jars and covered, instead of one mixture.
    pub pack: Option<Pack>,
    /// What goes in, in file order; at least one.
    pub lines: Vec<FormulaLine>,
}

/// One ingredient of a formula.
#[derive(Debug, Clone, PartialEq)]
pub struct FormulaLine {
    /// Ingredient as written: a name or alias of the reference table, or an own ingredient.
    pub ingredient: String,
    /// How much.
    pub amount: Amount,
    /// Form it is used in: `superfine`, `chilled`, `crushed`.
    pub form: Option<String>,
    /// What to do with it, in the cook's words.
    pub step: Option<String>,
    /// When it goes into the pot.
    pub goes_in: GoesIn,
    /// Share of it that stays in the sieve, 0 to 1.
    pub sieved_out: f64,
    /// Whether the amount is for each jar, not for the batch.
    pub per_jar: bool,
    /// What it belongs to in a pack; `None` without a pack and for what is added to each jar.
    pub part: Option<Part>,
    /// Bytes of the ingredient's name in the file, for later problems.
    pub ingredient_at: Range<usize>,
    /// Bytes of the amount in the file.
    pub amount_at: Range<usize>,
}

/// When an ingredient goes into the pot.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum GoesIn {
    /// Before heating.
    #[default]
    Start,
    /// When the pot reaches this temperature [°C].
    When {
        /// Pot temperature [°C].
        c: f64,
    },
    /// Off the heat.
    End,
}

/// What a line belongs to in a pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Part {
    /// What is packed.
    Pieces,
    /// What covers it.
    Brine,
    /// What it rests in before, thrown away.
    Soak,
}

/// When the pot is done, with the words it was written in.
#[derive(Debug, Clone, PartialEq)]
pub struct StopAt {
    /// The endpoint.
    pub at: Endpoint,
    /// As written: `170 F`.
    pub words: String,
}

/// When the pot is done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Endpoint {
    /// At a temperature [°C] at the core.
    Temperature {
        /// Core temperature [°C].
        c: f64,
    },
    /// At soluble solids [°Brix].
    Brix {
        /// Soluble solids [°Brix].
        brix: f64,
    },
    /// At so much [K] above the boiling point of water here and today; 0 is "at the boil".
    AboveBoiling {
        /// Above water's boiling point [K].
        kelvin: f64,
    },
    /// After so long [s] at the boil.
    Boiled {
        /// Time at the boil [s].
        seconds: f64,
    },
}

/// What the cook measured on the finished food.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Equilibrium pH.
    pub ph: Option<f64>,
    /// Soluble solids [°Brix].
    pub brix: Option<f64>,
    /// Water activity, 0 to 1.
    pub water_activity: Option<f64>,
    /// Who measured.
    pub by: String,
    /// The day.
    pub when: Date,
    /// Name of the instrument in the kitchen file.
    pub instrument: Option<String>,
}

/// A process authority's letter, entered as a schedule for this formula.
#[derive(Debug, Clone, PartialEq)]
pub struct Letter {
    /// Who signed.
    pub signer: String,
    /// The formula it holds for: share by mass of each ingredient, 0 to 1.
    pub shares: Vec<(String, f64)>,
    /// The day it was signed.
    pub signed: Option<Date>,
    /// The last day it holds.
    pub expires: Date,
    /// The jar it holds for.
    pub jar: String,
    /// Process time [min].
    pub minutes: f64,
    /// Greatest altitude it holds for [m].
    pub altitude_to_m: f64,
    /// Greatest equilibrium pH.
    pub ph_max: f64,
    /// Headspace [mm].
    pub headspace_mm: Option<f64>,
    /// Least fill temperature [°C].
    pub fill_min_c: Option<f64>,
    /// Hottest bath water when jars go in [°C].
    pub bath_start_max_c: Option<f64>,
    /// What the letter says, word by word.
    pub text: String,
}

/// Pieces packed in jars and covered.
#[derive(Debug, Clone, PartialEq)]
pub struct Pack {
    /// Pieces in one jar [g].
    pub pieces_per_jar_g: f64,
}

impl fmt::Display for StopAt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words)
    }
}
