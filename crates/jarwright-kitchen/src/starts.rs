//! How many jars to start so that enough good ones come out.

use jarwright_figure::{Equation, OutOfRange};

/// Smallest number of starts, each good on its own.
pub static STARTS_BINOMIAL: Equation = Equation {
    key: "starts-binomial",
    title: "Starts, jars failing independently",
    text: "least n with P(X >= ordered) >= 0.95, X ~ Binomial(n, 1 - failure rate)",
    source: "johnson_kotz_2005",
};

/// Smallest number of starts when jars of one load share their luck.
pub static STARTS_CORRELATED: Equation = Equation {
    key: "starts-correlated",
    title: "Starts, jars of one load failing together",
    text: "least n with P(sum of loads >= ordered) >= 0.95, each load ~ BetaBinomial(m, a, b), \
           a = (1 - f)(1/r - 1), b = f (1/r - 1); f failure rate, r correlation within a load",
    source: "johnson_kotz_2005",
};

/// Most jars one order line may ask for; beyond it a kitchen of this kind is the wrong place.
pub const MOST_JARS: usize = 5_000;

/// Chance that at least `ordered` of `started` jars are good, jars independent.
///
/// `failure` in 0..1.
#[must_use]
pub fn chance_independent(started: usize, ordered: usize, failure: f64) -> f64 {
    at_least(&binomial_pmf(started, 1.0 - failure), ordered)
}

/// Chance that at least `ordered` of `started` jars are good when jars of one load of
/// `per_load` share their luck with intra-load correlation `correlation` (0 = independent).
#[must_use]
pub fn chance_correlated(started: usize, ordered: usize, failure: f64, correlation: f64, per_load: usize) -> f64 {
    if correlation <= 0.0 || failure <= 0.0 || failure >= 1.0 || per_load < 2 {
        return chance_independent(started, ordered, failure);
    }
    let full = started / per_load;
    let rest = started % per_load;
    let one = beta_binomial_pmf(per_load, 1.0 - failure, correlation);
    let mut total = vec![1.0];
    for _ in 0..full {
        total = convolve(&total, &one);
    }
    if rest > 0 {
        total = convolve(&total, &beta_binomial_pmf(rest, 1.0 - failure, correlation));
    }
    at_least(&total, ordered)
}

/// Least number of starts with `chance(n) >= 0.95`.
///
/// # Errors
/// [`OutOfRange`] when `ordered` is zero or beyond what a kitchen can mean, or the failure rate
/// is not in 0..0.9.
pub fn least_starts(ordered: usize, failure: f64, chance: impl Fn(usize) -> f64) -> Result<usize, OutOfRange> {
    OutOfRange::check(
        "ordered jars",
        ordered as f64,
        1.0,
        MOST_JARS as f64,
        "jars",
        "starts-binomial",
    )?;
    OutOfRange::check("failure rate", failure, 0.0, 0.9, "1", "starts-binomial")?;
    let mean = (ordered as f64 / (1.0 - failure)).ceil() as usize;
    // Chance grows with n: double the spare count until it is enough, then halve the gap.
    let mut step = 1;
    let mut high = mean.max(ordered);
    while chance(high) < 0.95 && high < 4 * MOST_JARS {
        high += step;
        step *= 2;
    }
    let mut low = ordered;
    while low < high {
        let middle = low.midpoint(high);
        if chance(middle) >= 0.95 {
            high = middle
        } else {
            low = middle + 1
        }
    }
    Ok(low)
}

fn at_least(pmf: &[f64], k: usize) -> f64 {
    pmf.iter().skip(k).sum::<f64>().min(1.0)
}

fn binomial_pmf(n: usize, p: f64) -> Vec<f64> {
    if p >= 1.0 {
        let mut pmf = vec![0.0; n + 1];
        pmf[n] = 1.0;
        return pmf;
    }
    let mut log = n as f64 * (1.0 - p).ln();
    let odds = (p / (1.0 - p)).ln();
    (0..=n)
        .map(|k| {
            let value = log.exp();
            log += odds + ((n - k) as f64 / (k + 1) as f64).ln();
            value
        })
        .collect()
}

/// Mean `p`, intra-class correlation `r` in 0..1 (exclusive).
fn beta_binomial_pmf(n: usize, p: f64, r: f64) -> Vec<f64> {
    let strength = 1.0 / r - 1.0;
    let (a, b) = (p * strength, (1.0 - p) * strength);
    // P(0) = B(a, n + b) / B(a, b) = prod (b + i) / (a + b + i); then the ratio of neighbours.
    let mut value = (0..n).map(|i| (b + i as f64) / (a + b + i as f64)).product::<f64>();
    (0..=n)
        .map(|k| {
            let now = value;
            let (i, left) = (k as f64, (n - k) as f64);
            value *= left * (a + i) / ((i + 1.0) * (b + left - 1.0));
            now
        })
        .collect()
}

fn convolve(a: &[f64], b: &[f64]) -> Vec<f64> {
    let mut sum = vec![0.0; a.len() + b.len() - 1];
    for (i, x) in a.iter().enumerate() {
        for (j, y) in b.iter().enumerate() {
            sum[i + j] += x * y;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_distribution_sums_to_one() {
        for (n, p, r) in [(12, 0.95, 0.1), (7, 0.5, 0.4), (1, 0.93, 0.02), (24, 0.99, 0.3)] {
            assert!((beta_binomial_pmf(n, p, r).iter().sum::<f64>() - 1.0).abs() < 1e-12);
            assert!((binomial_pmf(n, p).iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn luck_shared_within_a_load_asks_for_more_spares() -> Result<(), OutOfRange> {
        let alone = least_starts(48, 0.05, |n| chance_independent(n, 48, 0.05))?;
        let shared = least_starts(48, 0.05, |n| chance_correlated(n, 48, 0.05, 0.15, 12))?;
        assert!(shared > alone, "{shared} {alone}");
        Ok(())
    }

    #[test]
    fn no_correlation_is_the_plain_binomial() {
        let a = chance_correlated(66, 60, 0.05, 1e-9, 12);
        let b = chance_independent(66, 60, 0.05);
        assert!((a - b).abs() < 1e-6, "{a} {b}");
    }

    #[test]
    fn no_failures_need_no_spares() -> Result<(), OutOfRange> {
        assert_eq!(least_starts(48, 0.0, |n| chance_independent(n, 48, 0.0))?, 48);
        Ok(())
    }

    #[test]
    fn nothing_and_a_million_are_refused() {
        assert!(least_starts(0, 0.05, |_| 1.0).is_err());
        assert!(least_starts(1_000_000, 0.05, |_| 1.0).is_err());
    }
}
