//! How many jars to start.

use jarwright_figure::Mark;
use jarwright_kitchen::starts::{chance_correlated, least_starts};

use super::Claim;
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![start_counts(), start_chances()]
}

/// Ordered, failure rate, correlation within a load, jars a load; starts, chance, chance of one
/// start less.
type Row = (usize, f64, f64, usize, usize, f64, f64);

/// As printed by `referee/start_counts.py`.
const ROWS: [Row; 10] = [
    (60, 0.05, 0.0, 0, 66, 0.953_583_739, 0.894_125_711),
    (48, 0.07, 0.0, 0, 55, 0.963_240_514, 0.918_460_137),
    (12, 0.02, 0.0, 0, 13, 0.973_048_737, 0.784_716_724),
    (200, 0.05, 0.0, 0, 216, 0.955_468_178, 0.925_393_869),
    (24, 0.14, 0.0, 0, 32, 0.972_161_256, 0.940_972_796),
    (100, 0.03, 0.0, 0, 106, 0.959_135_694, 0.903_346_528),
    (48, 0.07, 0.15, 12, 58, 0.959_175_092, 0.940_711_144),
    (60, 0.05, 0.10, 12, 68, 0.955_511_007, 0.928_673_501),
    (24, 0.14, 0.30, 8, 36, 0.963_837_253, 0.949_601_134),
    (30, 0.03, 0.05, 7, 33, 0.967_566_497, 0.907_520_375),
];

fn start_counts() -> Check {
    let mut worst = Worst::default();
    for (ordered, failure, correlation, load, started, ..) in ROWS {
        let ours = least_starts(ordered, failure, |n| {
            chance_correlated(n, ordered, failure, correlation, load)
        });
        worst.add(ours.map_or(f64::NAN, |n| n as f64), started as f64);
    }
    Claim {
        name: "start-counts",
        claim: "least starts for enough good jars in 95 of 100 runs: 66 for 60 at 5 % loss",
        source: "scipy_stats",
        place: "scipy.stats.binom and betabinom, loads convolved",
        mark: Mark::Computed,
        tolerance: 0.0,
        unit: "jars",
        why: "whole jars",
    }
    .held(&worst, "")
}

fn start_chances() -> Check {
    let mut worst = Worst::default();
    for (ordered, failure, correlation, load, started, chance, one_less) in ROWS {
        let ours = |n| chance_correlated(n, ordered, failure, correlation, load);
        worst.add(ours(started), chance);
        worst.add(ours(started - 1), one_less);
    }
    Claim {
        name: "start-chances",
        claim: "chance of enough good jars, each jar failing alone or with its load",
        source: "scipy_stats",
        place: "scipy.stats.binom and betabinom, loads convolved",
        mark: Mark::Computed,
        tolerance: 1e-9,
        unit: "1",
        why: "printed to nine decimals",
    }
    .held(&worst, "")
}
