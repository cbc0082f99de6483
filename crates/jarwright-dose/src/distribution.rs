//! How an uncertain number spreads.

use jarwright_figure::OutOfRange;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::DoseError;

/// z of the 95th percentile of the standard normal distribution.
const Z95: f64 = 1.644_853_626_951_472_2;

/// The shape of a spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SpreadShape {
    /// Every value alike.
    Uniform {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// Likeliest at one value, in straight lines down to nothing at both ends.
    Triangular {
        /// Lower end.
        low: f64,
        /// Likeliest value.
        mode: f64,
        /// Upper end.
        high: f64,
    },
    /// Normal on each side of its median.
    Normal {
        /// 5th percentile.
        p5: f64,
        /// 50th percentile.
        median: f64,
        /// 95th percentile.
        p95: f64,
    },
    /// Its logarithm is normal.
    LogNormal {
        /// 5th percentile, above 0.
        p5: f64,
        /// 95th percentile.
        p95: f64,
    },
}

/// An uncertain number: a shape, cut off where nothing can be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distribution {
    shape: SpreadShape,
    /// Shares of the shape below the two bounds.
    share: (f64, f64),
    /// The bounds.
    bounds: (f64, f64),
}

impl Distribution {
    /// A shape between two bounds; what lies beyond them is spread over what lies between.
    ///
    /// * `shape`: its numbers finite and rising
    /// * `least`, `greatest`: bounds, the shape's named percentiles within them
    ///
    /// # Errors
    /// [`DoseError::NoSpread`] for numbers that are not finite, do not rise, or leave the bounds.
    ///
    /// ```
    /// use jarwright_dose::{Distribution, SpreadShape};
    /// let even = Distribution::new(SpreadShape::Uniform { low: 1.0, high: 3.0 }, 0.0, 9.0);
    /// assert_eq!(even.map(|d| d.at(0.5)), Ok(2.0));
    /// assert!(Distribution::new(SpreadShape::Uniform { low: 3.0, high: 1.0 }, 0.0, 9.0).is_err());
    /// ```
    pub fn new(shape: SpreadShape, least: f64, greatest: f64) -> Result<Self, DoseError> {
        let (low, high) = shape.ends();
        let middle = match shape {
            SpreadShape::Triangular { mode, .. } => mode,
            SpreadShape::Normal { median, .. } => median,
            SpreadShape::Uniform { .. } | SpreadShape::LogNormal { .. } => low,
        };
        let rises = low < high && low <= middle && middle <= high && least <= low && high <= greatest;
        let positive = !matches!(shape, SpreadShape::LogNormal { .. }) || low > 0.0;
        if ![low, high, middle].into_iter().all(f64::is_finite) || !rises || !positive {
            return Err(DoseError::NoSpread {
                low,
                high,
                least,
                greatest,
            });
        }
        let share = (shape.share_below(least), shape.share_below(greatest));
        Ok(Self {
            shape,
            share,
            bounds: (least, greatest),
        })
    }

    /// The value that a share of all values lies below.
    ///
    /// * `share`: 0 to 1
    #[must_use]
    pub fn at(&self, share: f64) -> f64 {
        let share = self.share.0 + share * (self.share.1 - self.share.0);
        self.shape.value_at(share).max(self.bounds.0).min(self.bounds.1)
    }
}

impl SpreadShape {
    /// The two ends it is written by: of a range, or the 5th and the 95th percentile.
    const fn ends(&self) -> (f64, f64) {
        match *self {
            Self::Uniform { low, high } | Self::Triangular { low, high, .. } => (low, high),
            Self::Normal { p5, p95, .. } | Self::LogNormal { p5, p95 } => (p5, p95),
        }
    }

    fn value_at(&self, share: f64) -> f64 {
        match *self {
            Self::Uniform { low, high } => low + share * (high - low),
            Self::Triangular { low, mode, high } => {
                let (whole, left) = (high - low, mode - low);
                if share * whole <= left {
                    low + (share * whole * left).sqrt()
                } else {
                    high - ((1.0 - share) * whole * (high - mode)).max(0.0).sqrt()
                }
            }
            Self::Normal { p5, median, p95 } => {
                let z = Normal::standard().inverse_cdf(share);
                let side = if z < 0.0 { median - p5 } else { p95 - median };
                // A side without width stays at the median, however far out it is asked.
                if side > 0.0 { median + z / Z95 * side } else { median }
            }
            Self::LogNormal { p5, p95 } => {
                let (low, high) = (p5.ln(), p95.ln());
                let z = Normal::standard().inverse_cdf(share);
                (0.5 * (low + high) + z / Z95 * 0.5 * (high - low)).exp()
            }
        }
    }

    fn share_below(&self, bound: f64) -> f64 {
        let normal = |z: f64| {
            if z.is_finite() {
                Normal::standard().cdf(z)
            } else {
                f64::from(u8::from(z > 0.0))
            }
        };
        match *self {
            // Bounds lie outside the whole shape.
            Self::Uniform { low, .. } | Self::Triangular { low, .. } => f64::from(u8::from(bound > low)),
            Self::Normal { p5, median, p95 } => {
                let side = if bound < median { median - p5 } else { p95 - median };
                normal(Z95 * (bound - median) / side)
            }
            Self::LogNormal { p5, p95 } => {
                let (low, high) = (p5.ln(), p95.ln());
                let log = if bound > 0.0 { bound.ln() } else { f64::NEG_INFINITY };
                normal(Z95 * (log - 0.5 * (low + high)) / (0.5 * (high - low)))
            }
        }
    }
}

/// A list of uncertain inputs that a study can take.
pub(crate) fn check_inputs(inputs: &[Distribution], most: usize, source: &'static str) -> Result<(), DoseError> {
    OutOfRange::check("uncertain inputs", inputs.len() as f64, 1.0, most as f64, "", source)?;
    Ok(())
}
