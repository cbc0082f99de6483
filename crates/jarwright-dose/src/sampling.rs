//! A function of uncertain inputs, tried on an even sample of all of them together.
//!
//! Knows no food: a function is anything from numbers to a number. Read next: `sensitivity.rs`.

use std::num::NonZeroUsize;
use std::thread;

use jarwright_figure::{Equation, OutOfRange};
use statrs::distribution::{Beta, Binomial, ContinuousCDF, DiscreteCDF};

use crate::distribution::check_inputs;
use crate::{Distribution, DoseError, Sobol};

/// Registry entry of [`share_of`].
pub static SHARE_INTERVAL: Equation = Equation {
    key: "share-interval",
    title: "A share counted in a sample, and what it may be in all",
    text: "low = Beta(a/2; k, n-k+1);  high = Beta(1-a/2; k+1, n-k)",
    source: "clopper_pearson_1934",
};

/// Registry entry of [`percentile`].
pub static PERCENTILE_INTERVAL: Equation = Equation {
    key: "percentile-interval",
    title: "A percentile of a sample, and between which of its values it may be in all",
    text: "P(x_(l) < q < x_(u)) = P(l <= Binomial(n, p) < u)",
    source: "wilks_1941",
};

/// Parts of a hundred that an interval leaves out, both sides together.
const LEFT_OUT: f64 = 0.05;

/// An estimate and the 95 % interval round it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The estimate.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Draws inputs: row after row, each an even choice from every distribution.
#[derive(Debug, Clone)]
pub struct Sampler<'a> {
    inputs: &'a [Distribution],
    points: Sobol,
    skip: usize,
}

impl<'a> Sampler<'a> {
    /// Rows for a list of inputs.
    ///
    /// * `inputs`: 1 to [`Sobol::MOST_DIMENSIONS`]
    /// * `seed`: one seed, one sample
    ///
    /// # Errors
    /// [`DoseError::OutOfRange`] for too few or too many inputs.
    pub fn new(inputs: &'a [Distribution], seed: u64) -> Result<Self, DoseError> {
        check_inputs(inputs, Sobol::MOST_DIMENSIONS, SHARE_INTERVAL.key)?;
        Ok(Self {
            inputs,
            points: Sobol::scrambled(inputs.len(), seed)?,
            skip: 0,
        })
    }

    /// Two samplers that have nothing in common, from one sequence of twice the dimensions.
    pub(crate) fn pair(inputs: &'a [Distribution], seed: u64) -> Result<[Self; 2], DoseError> {
        check_inputs(inputs, Sobol::MOST_DIMENSIONS / 2, SHARE_INTERVAL.key)?;
        let points = Sobol::scrambled(2 * inputs.len(), seed)?;
        let from = |skip| Self {
            inputs,
            points: points.clone(),
            skip,
        };
        Ok([from(0), from(inputs.len())])
    }

    /// One row of inputs, in their order.
    ///
    /// * `index`: which row, from 0
    #[must_use]
    pub fn row(&self, index: u32) -> Vec<f64> {
        let value = |(i, input): (usize, &Distribution)| input.at(self.points.coordinate(index, self.skip + i));
        self.inputs.iter().enumerate().map(value).collect()
    }
}

/// A function tried on each of so many things, on all cores; the answers stand in their order and
/// do not depend on how many cores there are.
///
/// # Errors
/// The function's error at the first thing it fails on.
pub fn each<T: Send, E: Send>(many: usize, f: impl Fn(usize) -> Result<T, E> + Sync) -> Result<Vec<T>, E> {
    let cores = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let part = many.div_ceil(cores).max(1);
    let parts: Vec<_> = (0..many)
        .step_by(part)
        .map(|from| from..(from + part).min(many))
        .collect();
    let done: Vec<Result<Vec<T>, E>> = thread::scope(|scope| {
        let running: Vec<_> = parts
            .into_iter()
            .map(|range| scope.spawn(|| range.map(&f).collect()))
            .collect();
        let wait = |handle: thread::ScopedJoinHandle<'_, _>| {
            handle.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault))
        };
        running.into_iter().map(wait).collect()
    });
    let mut all = Vec::with_capacity(many);
    for part in done {
        all.extend(part?);
    }
    Ok(all)
}

/// The share that so many of so many make, with the 95 % interval of independent draws.
///
/// * `met`: how many, up to `of`
/// * `of`: of how many, 1 or more
///
/// Even points miss by less than independent draws, so the interval is on the wide side of true.
///
/// # Errors
/// [`DoseError::OutOfRange`] for more met than there are, or none at all.
///
/// # Source
/// `clopper_pearson_1934`.
///
/// ```
/// let all = jarwright_dose::share_of(10, 10).map(|share| (share.low * 1000.0).round());
/// assert_eq!(all, Ok(692.0));
/// assert!(jarwright_dose::share_of(11, 10).is_err());
/// ```
pub fn share_of(met: usize, of: usize) -> Result<Estimate, DoseError> {
    OutOfRange::check(
        "values in a sample",
        of as f64,
        1.0,
        f64::INFINITY,
        "",
        SHARE_INTERVAL.key,
    )?;
    OutOfRange::check("values that meet", met as f64, 0.0, of as f64, "", SHARE_INTERVAL.key)?;
    let (k, n) = (met as f64, of as f64);
    let end = |a: f64, b: f64, share: f64| Beta::new(a, b).map_or(f64::NAN, |beta| beta.inverse_cdf(share));
    Ok(Estimate {
        value: k / n,
        low: if met == 0 {
            0.0
        } else {
            end(k, n - k + 1.0, LEFT_OUT / 2.0)
        },
        high: if met == of {
            1.0
        } else {
            end(k + 1.0, n - k, 1.0 - LEFT_OUT / 2.0)
        },
    })
}

/// A percentile of a sample, with the 95 % interval of independent draws.
///
/// * `rising`: the sample's values, sorted
/// * `share`: above 0 to below 1; 0.05 for the 5th percentile
///
/// Between two values the percentile lies on the straight line. Where the sample is too small to
/// bound it on a side, that side is infinite.
///
/// # Errors
/// [`DoseError::OutOfRange`] for an empty sample or another share.
///
/// # Source
/// `wilks_1941`: values of a sample in their order bound the percentiles of what it was drawn from.
pub fn percentile(rising: &[f64], share: f64) -> Result<Estimate, DoseError> {
    let n = rising.len();
    OutOfRange::check(
        "values in a sample",
        n as f64,
        1.0,
        f64::INFINITY,
        "",
        PERCENTILE_INTERVAL.key,
    )?;
    OutOfRange::check(
        "share",
        share,
        f64::MIN_POSITIVE,
        1.0 - f64::EPSILON,
        "",
        PERCENTILE_INTERVAL.key,
    )?;
    let place = share * (n - 1) as f64;
    let (below, part) = (place.floor() as usize, place.fract());
    let above = (below + 1).min(n - 1);
    let (low, high) = percentile_places(n, share);
    let at = |place: Option<usize>, none| place.and_then(|i| rising.get(i - 1)).copied().unwrap_or(none);
    Ok(Estimate {
        value: rising[below] + part * (rising[above] - rising[below]),
        low: at(low, f64::NEG_INFINITY),
        high: at(high, f64::INFINITY),
    })
}

/// Which values of so many, counted from 1 as they rise, bound a percentile: each is beyond it, on
/// its side, with at most 2.5 % chance. None where even the outermost does not bound it.
///
/// # Source
/// `wilks_1941`.
#[must_use]
pub fn percentile_places(many: usize, share: f64) -> (Option<usize>, Option<usize>) {
    let Ok(binomial) = Binomial::new(share, many as u64) else {
        return (None, None);
    };
    let up_to = |count: usize| binomial.cdf(count as u64);
    // The l-th value is above the percentile when fewer than l values lie below it.
    let first = first_where(many, |count| up_to(count) > LEFT_OUT / 2.0);
    let low = (first > 0).then_some(first);
    // The u-th is below it when u or more lie below it.
    let last = first_where(many, |count| up_to(count) >= 1.0 - LEFT_OUT / 2.0);
    let high = (last < many).then_some(last + 1);
    (low, high)
}

/// Least count below `many` at which something that stays true becomes true; else `many`.
fn first_where(many: usize, holds: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = (0, many);
    while low < high {
        let middle = low.midpoint(high);
        if holds(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}
