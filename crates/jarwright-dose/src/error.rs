//! What can be wrong with a temperature history or a kinetic constant.

use jarwright_figure::OutOfRange;

/// Why a dose could not be computed.
#[derive(Debug, Clone, PartialEq)]
pub enum DoseError {
    /// A number outside what the equation is made for.
    OutOfRange(OutOfRange),
    /// Times and temperatures do not pair up.
    Unpaired {
        /// How many times.
        times: usize,
        /// How many temperatures.
        temperatures: usize,
    },
    /// Fewer than two readings: no time has passed.
    TooShort {
        /// How many readings.
        readings: usize,
    },
    /// A time that is not after the one before it.
    TimeRunsBack {
        /// Index of the reading, from 0.
        index: usize,
        /// Its time [s].
        at_s: f64,
        /// The time before it [s].
        after_s: f64,
    },
}

impl std::fmt::Display for DoseError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfRange(inner) => write!(f, "{inner}"),
            Self::Unpaired { times, temperatures } => {
                write!(f, "{times} times but {temperatures} temperatures")
            }
            Self::TooShort { readings } => {
                write!(f, "a lethality needs at least two readings, got {readings}")
            }
            Self::TimeRunsBack { index, at_s, after_s } => {
                write!(f, "reading {index} at {at_s} s is not after {after_s} s")
            }
        }
    }
}

impl std::error::Error for DoseError {}

impl From<OutOfRange> for DoseError {
    fn from(inner: OutOfRange) -> Self {
        Self::OutOfRange(inner)
    }
}
