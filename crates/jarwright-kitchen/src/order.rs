//! What is asked for.

use jiff::civil::DateTime;

use crate::files::FormulaFile;

/// An order: what, how many, in which jars, by when, under whose law.
#[derive(Debug, Clone)]
pub struct Order {
    /// What to make, in hand order.
    pub lines: Vec<Wanted>,
    /// When the jars must be ready to leave, local time.
    pub by: Option<DateTime>,
    /// The time it is now, local; the plan reads no clock.
    pub now: DateTime,
    /// For sale or for the maker's own table.
    pub for_use: Use,
    /// Whose law.
    pub market: Law,
    /// Height above sea level [m], in place of the kitchen's own.
    pub altitude_m: Option<f64>,
    /// Bath's temperature when the jars go in [°C], in place of the schedule's.
    pub bath_start_c: Option<f64>,
}

/// One formula of an order.
#[derive(Debug, Clone)]
pub struct Wanted {
    /// The formula.
    pub formula: FormulaFile,
    /// How much.
    pub much: Much,
    /// Jar's name: `half-pint`.
    pub jar: String,
}

/// How much of a formula.
#[derive(Debug, Clone, PartialEq)]
pub enum Much {
    /// Good jars promised.
    Jars(u64),
    /// As many as come from what is on hand: `2.3 L bottled lime juice`.
    From(String),
}

/// For whom the jars are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// For sale.
    Sale,
    /// For the maker's own table.
    OwnUse,
}

impl Use {
    /// As written on the command line and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sale => "sale",
            Self::OwnUse => "own-use",
        }
    }
}

/// Whose law decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Law {
    /// United States.
    Us,
    /// European Union.
    Eu,
    /// United Kingdom.
    Uk,
}

impl Law {
    /// As written on the command line and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::Eu => "EU",
            Self::Uk => "UK",
        }
    }
}
