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
    /// Numbers that spread nothing: not finite, not rising, or outside their bounds.
    NoSpread {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// Least value there can be.
        least: f64,
        /// Greatest value there can be.
        greatest: f64,
    },
    /// A study's rows fill their box evenly only as a power of two.
    NotPowerOfTwo {
        /// How many rows were asked for.
        rows: usize,
    },
    /// A function's answer that is no number.
    NoNumber {
        /// What it was asked.
        row: Vec<f64>,
    },
    /// A function whose answer is the same whatever it is asked.
    NoVariance,
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
            Self::NoSpread {
                low,
                high,
                least,
                greatest,
            } => {
                write!(f, "{low} to {high} is no spread between {least} and {greatest}")
            }
            Self::NotPowerOfTwo { rows } => {
                write!(f, "{rows} rows are no power of two, such as 512 or 1024")
            }
            Self::NoNumber { row } => write!(f, "the answer to {row:?} is no finite number"),
            Self::NoVariance => write!(f, "the answer does not vary with what is uncertain"),
        }
    }
}

impl std::error::Error for DoseError {}

impl From<OutOfRange> for DoseError {
    fn from(inner: OutOfRange) -> Self {
        Self::OutOfRange(inner)
    }
}
