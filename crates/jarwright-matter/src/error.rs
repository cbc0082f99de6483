//! What can be wrong with a question about a food.

use jarwright_figure::OutOfRange;

/// Why a property of a food could not be given.
#[derive(Debug, Clone, PartialEq)]
pub enum MatterError {
    /// A quantity outside the range its equation or table was made for.
    OutOfRange(OutOfRange),
    /// An amount of the food is negative or not a number.
    NotAnAmount {
        /// Which amount.
        amount: &'static str,
        /// The value met, kg or mol.
        got: f64,
    },
    /// The food holds no water, so it has no pH, water activity or boiling point.
    NoWater,
    /// The food holds so much alcohol that it boils below any temperature told here.
    AlcoholBoils {
        /// Alcohol in the liquid [% by mass].
        percent: f64,
    },
    /// The food is so concentrated that no ice forms above the coldest temperature looked at.
    NoIce {
        /// That temperature [°C].
        coldest_c: f64,
    },
    /// More water would have to leave than the food holds.
    NotEnoughWater {
        /// Water that would have to leave [kg].
        asked_kg: f64,
        /// Water in the food [kg].
        present_kg: f64,
    },
    /// The food already holds more soluble solids than asked for.
    AlreadyThicker {
        /// Degrees Brix of the food.
        brix: f64,
        /// Degrees Brix asked for.
        target_brix: f64,
    },
    /// An iteration of this program did not settle: our fault.
    NotSettled {
        /// Which solver.
        solver: &'static str,
        /// Steps made.
        steps: usize,
        /// What was left over.
        left: f64,
    },
}

impl std::fmt::Display for MatterError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfRange(range) => write!(f, "{range}"),
            Self::NotAnAmount { amount, got } => {
                write!(f, "{amount} of the food is {got}, not an amount")
            }
            Self::NoWater => write!(f, "the food holds no water"),
            Self::AlcoholBoils { percent } => write!(
                f,
                "{percent:.1} % of its liquid is alcohol, which boils off first, lower than water does: keep it from flames"
            ),
            Self::NoIce { coldest_c } => {
                write!(
                    f,
                    "so concentrated that no ice forms above {coldest_c:.0} °C ({:.0} °F)",
                    coldest_c * 1.8 + 32.0
                )
            }
            Self::NotEnoughWater { asked_kg, present_kg } => {
                write!(
                    f,
                    "{asked_kg:.4} kg of water would have to leave, the food holds {present_kg:.4} kg"
                )
            }
            Self::AlreadyThicker { brix, target_brix } => {
                write!(
                    f,
                    "the food already has {brix:.2} °Brix, above the {target_brix:.2} °Brix asked for"
                )
            }
            Self::NotSettled { solver, steps, left } => {
                write!(f, "{solver} did not settle in {steps} steps, {left:e} left")
            }
        }
    }
}

impl std::error::Error for MatterError {}

impl From<OutOfRange> for MatterError {
    fn from(range: OutOfRange) -> Self {
        Self::OutOfRange(range)
    }
}
