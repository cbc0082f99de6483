//! What can go wrong when heat is computed.

use jarwright_figure::OutOfRange;
use jarwright_matter::MatterError;

/// Why a heat calculation was refused or failed.
#[derive(Debug, Clone, PartialEq)]
pub enum HeatError {
    /// An input outside the range its equation was made for.
    OutOfRange(OutOfRange),
    /// A property of the food, of water or of steam could not be given.
    Matter(MatterError),
    /// The target lies beyond where the process settles, such as a pot whose losses eat the burner.
    NeverReaches {
        /// What was wanted, in words.
        quantity: &'static str,
        /// The value wanted.
        target: f64,
        /// The value it settles at.
        limit: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// A list is empty or two lists that belong together differ in length.
    BadShape {
        /// Which list, in words.
        what: &'static str,
        /// Length met.
        got: usize,
        /// Length needed.
        needed: usize,
    },
    /// A film that depends on the wall's temperature, given to a solver that takes fixed ones.
    FilmVaries {
        /// Which solver.
        solver: &'static str,
    },
    /// Films on a jar of glass too far apart for the wall correction.
    FilmsApart {
        /// Films through the glass on side and base, and the top's [W/(m² K)].
        films_w_m2k: [f64; 3],
        /// How many times the least of side and base the others may be.
        most: f64,
    },
    /// A case whose jar, food or film is not among those a set of functions was made for.
    NotInSpectrum {
        /// Which of them.
        what: &'static str,
    },
    /// A solver used up its steps; a fault of the program, not of the cook.
    TooManySteps {
        /// Which solver.
        solver: &'static str,
        /// Time reached [s].
        time_s: f64,
        /// Steps allowed.
        steps: usize,
    },
}

impl std::fmt::Display for HeatError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfRange(_) => write!(f, "heat calculation refused"),
            Self::Matter(_) => write!(f, "heat calculation lacks a property"),
            Self::NeverReaches {
                quantity,
                target,
                limit,
                unit,
            } => {
                write!(
                    f,
                    "{quantity} never reaches {target:.2} {unit}; it settles at {limit:.2} {unit}"
                )
            }
            Self::BadShape { what, got, needed } => {
                write!(f, "{what}: got {got} values, {needed} needed")
            }
            Self::FilmVaries { solver } => {
                write!(
                    f,
                    "{solver}: still air's film depends on the wall's temperature; a fixed film is needed"
                )
            }
            Self::FilmsApart {
                films_w_m2k: [side, base, top],
                most,
            } => {
                write!(
                    f,
                    "jar by eigenfunctions: films of {side:.0}, {base:.0} and {top:.0} W/(m2 K) through the glass of \
                     side and base and on the top; one may be {most:.0} times the least of side and base at most"
                )
            }
            Self::NotInSpectrum { what } => {
                write!(
                    f,
                    "jar by eigenfunctions: the functions were made for another {what}; make them for this case"
                )
            }
            Self::TooManySteps { solver, time_s, steps } => {
                write!(f, "{solver} used up {steps} steps at {time_s:.1} s")
            }
        }
    }
}

impl std::error::Error for HeatError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::OutOfRange(cause) => Some(cause),
            Self::Matter(cause) => Some(cause),
            Self::NeverReaches { .. }
            | Self::BadShape { .. }
            | Self::FilmVaries { .. }
            | Self::FilmsApart { .. }
            | Self::NotInSpectrum { .. }
            | Self::TooManySteps { .. } => None,
        }
    }
}

impl From<OutOfRange> for HeatError {
    fn from(cause: OutOfRange) -> Self {
        Self::OutOfRange(cause)
    }
}

impl From<MatterError> for HeatError {
    fn from(cause: MatterError) -> Self {
        match cause {
            MatterError::OutOfRange(cause) => Self::OutOfRange(cause),
            other => Self::Matter(other),
        }
    }
}
