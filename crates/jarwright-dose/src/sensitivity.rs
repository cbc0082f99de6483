//! Which uncertain input an answer's spread comes from.
//!
//! Knows no food. Driven by whoever wants to know what to measure next.

use jarwright_figure::{Equation, OutOfRange};

use crate::sampling::{Estimate, Sampler, each, percentile};
use crate::sobol::hash;
use crate::{Distribution, DoseError};

/// Registry entry of the first-order indices of [`sobol_indices`].
pub static FIRST_ORDER: Equation = Equation {
    key: "sobol-first-order",
    title: "Share of the variance that one input makes alone",
    text: "S_i = V(E(y|x_i)) / V(y) = mean(f(B) (f(A with B_i) - f(A))) / V",
    source: "saltelli_2010",
};

/// Registry entry of the total indices of [`sobol_indices`].
pub static TOTAL_ORDER: Equation = Equation {
    key: "sobol-total",
    title: "Share of the variance that one input has a part in",
    text: "T_i = E(V(y|all but x_i)) / V(y) = mean((f(A) - f(A with B_i))^2) / (2 V)",
    source: "jansen_1999",
};

/// Rows of a study: least and greatest.
pub const ROWS: (usize, usize) = (64, 65_536);
/// An index whose interval is wider than this is not resolved.
pub const RESOLVED: f64 = 0.1;
/// Samples drawn again for the intervals.
const DRAWN_AGAIN: usize = 400;

/// Where the spread of an answer comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Indices {
    /// Share of the variance each input makes alone.
    pub first: Vec<Estimate>,
    /// Share of the variance each input has a part in.
    pub total: Vec<Estimate>,
    /// The inputs of all independent rows.
    pub rows: Vec<Vec<f64>>,
    /// The answers to them: a sample of the answer.
    pub answers: Vec<f64>,
    /// How often the function was asked.
    pub runs: usize,
}

impl Estimate {
    /// Whether the interval is narrow enough for the estimate to be told.
    #[must_use]
    pub fn resolved(&self) -> bool {
        self.high - self.low <= RESOLVED
    }
}

/// Why a study ended.
#[derive(Debug, Clone, PartialEq)]
pub enum StudyError<E> {
    /// The study itself cannot be made.
    Study(DoseError),
    /// The function failed on a row.
    Function {
        /// The row's inputs.
        row: Vec<f64>,
        /// Its error.
        error: E,
    },
}

impl<E> From<DoseError> for StudyError<E> {
    fn from(error: DoseError) -> Self {
        Self::Study(error)
    }
}

/// Sobol' indices of a function of uncertain inputs, each with a 95 % bootstrap interval.
///
/// * `f`: any function of one value an input
/// * `inputs`: 1 to 32
/// * `rows`: a power of two from 64 to 65,536; the function is asked rows x (inputs + 2) times
/// * `seed`: one seed, one answer, whatever the number of cores
///
/// First-order indices by the estimator of Saltelli, total ones by that of Jansen, on scrambled
/// Sobol' points. The bootstrap takes rows for independent: its intervals are on the wide side.
///
/// # Errors
/// [`StudyError::Study`] for inputs and rows outside the ranges above, and where the answer does not
/// vary; [`StudyError::Function`] with the first row the function fails on or answers with no number.
///
/// # Source
/// `saltelli_2010`, table 2, (b) and (f); `jansen_1999`; intervals `efron_tibshirani_1993`.
pub fn sobol_indices<E: Send>(
    f: impl Fn(&[f64]) -> Result<f64, E> + Sync,
    inputs: &[Distribution],
    rows: usize,
    seed: u64,
) -> Result<Indices, StudyError<E>> {
    let (least, most) = ROWS;
    let checked = OutOfRange::check("rows", rows as f64, least as f64, most as f64, "", FIRST_ORDER.key);
    checked.map_err(DoseError::from)?;
    if !rows.is_power_of_two() {
        return Err(DoseError::NotPowerOfTwo { rows }.into());
    }
    let [from_a, from_b] = Sampler::pair(inputs, seed)?;
    let drawn = |sampler: &Sampler<'_>| -> Vec<Vec<f64>> { (0..rows as u32).map(|i| sampler.row(i)).collect() };
    let (a, b) = (drawn(&from_a), drawn(&from_b));
    // Blocks of rows: A, B, then A with one column of B after the other.
    let blocks = inputs.len() + 2;
    let row_of = |at: usize| {
        let (block, i) = (at / rows, at % rows);
        match block {
            0 => a[i].clone(),
            1 => b[i].clone(),
            _ => {
                let mut row = a[i].clone();
                row[block - 2] = b[i][block - 2];
                row
            }
        }
    };
    let answers = each(rows * blocks, |at| {
        let row = row_of(at);
        f(&row).map_err(|error| StudyError::Function { row, error })
    })?;
    if let Some(at) = answers.iter().position(|y| !y.is_finite()) {
        return Err(DoseError::NoNumber { row: row_of(at) }.into());
    }
    let terms = Terms::new(&answers, rows);
    let whole: Vec<usize> = (0..rows).collect();
    let (first, total) = terms.indices(&whole).ok_or(DoseError::NoVariance)?;
    let again = each(DRAWN_AGAIN, |turn| {
        let pick = |i: usize| (hash(hash(seed ^ hash(turn as u64)) ^ i as u64) % rows as u64) as usize;
        let picked: Vec<usize> = (0..rows).map(pick).collect();
        Ok::<_, DoseError>(terms.indices(&picked))
    })?;
    let again: Vec<_> = again.into_iter().flatten().collect();
    let with_interval = |values: &[f64], of: fn(&FirstAndTotal) -> &[f64]| {
        let one = |(i, value): (usize, &f64)| -> Result<Estimate, DoseError> {
            let mut drawn: Vec<f64> = again.iter().map(|both| of(both)[i]).collect();
            drawn.sort_by(f64::total_cmp);
            Ok(Estimate {
                value: *value,
                low: percentile(&drawn, 0.025)?.value,
                high: percentile(&drawn, 0.975)?.value,
            })
        };
        values.iter().enumerate().map(one).collect::<Result<Vec<_>, _>>()
    };
    let (first, total) = (
        with_interval(&first, |both| &both.0)?,
        with_interval(&total, |both| &both.1)?,
    );
    let mut independent = a;
    independent.extend(b);
    let mut answers = answers;
    let runs = answers.len();
    answers.truncate(2 * rows);
    Ok(Indices {
        first,
        total,
        rows: independent,
        answers,
        runs,
    })
}

/// First-order and total indices, one an input.
type FirstAndTotal = (Vec<f64>, Vec<f64>);

/// What a study's answers hold of the indices, row by row.
struct Terms {
    /// f(A) and f(B), about the mean of both.
    a: Vec<f64>,
    b: Vec<f64>,
    /// For each input, f(A with B_i) about the same mean.
    mixed: Vec<Vec<f64>>,
}

impl Terms {
    fn new(answers: &[f64], rows: usize) -> Self {
        let mean = answers[..2 * rows].iter().sum::<f64>() / (2 * rows) as f64;
        let mut blocks = answers
            .chunks(rows)
            .map(|block| block.iter().map(|y| y - mean).collect::<Vec<f64>>());
        Self {
            a: blocks.next().unwrap_or_default(),
            b: blocks.next().unwrap_or_default(),
            mixed: blocks.collect(),
        }
    }

    /// First-order and total indices from some of the rows; none where the answer does not vary.
    fn indices(&self, picked: &[usize]) -> Option<FirstAndTotal> {
        let n = picked.len() as f64;
        let mean = picked.iter().map(|&i| self.a[i] + self.b[i]).sum::<f64>() / (2.0 * n);
        let squares = picked
            .iter()
            .map(|&i| (self.a[i] - mean).powi(2) + (self.b[i] - mean).powi(2));
        let variance = squares.sum::<f64>() / (2.0 * n);
        if variance <= 0.0 {
            return None;
        }
        let of = |term: &dyn Fn(usize) -> f64| picked.iter().map(|&i| term(i)).sum::<f64>() / (n * variance);
        let first = |mixed: &Vec<f64>| of(&|i| (self.b[i] - mean) * (mixed[i] - self.a[i]));
        let total = |mixed: &Vec<f64>| of(&|i| 0.5 * (self.a[i] - mixed[i]).powi(2));
        Some((
            self.mixed.iter().map(first).collect(),
            self.mixed.iter().map(total).collect(),
        ))
    }
}
