//! How sure an answer is: even points, counted shares, percentiles and sensitivity indices.

use std::f64::consts::PI;

use jarwright_dose::{
    Distribution, DoseError, Estimate, Indices, Sobol, SpreadShape, StudyError, percentile_places, share_of,
    sobol_indices,
};
use jarwright_figure::Mark;

use crate::{Check, Worst};

/// Every check of how sure an answer is.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        first_points(),
        points_of_a_library(),
        ishigami(),
        ishigami_intervals(),
        g_function(),
        indices_of_a_library(),
        shares_of_a_library(),
        places_of_a_library(),
        median_places(),
    ]
}

/// As `referee/sure.py` wrote it: what, a, b, c, value, half width.
const REFEREE: &str = include_str!("../../referee/sure.csv");

/// Rows of one kind: the two numbers before the value, as written, the value, and its half width.
fn referee(what: &'static str) -> impl Iterator<Item = (&'static str, &'static str, f64, f64)> {
    REFEREE.lines().filter_map(move |line| {
        let fields: Vec<&str> = line.split(',').collect();
        match fields[..] {
            [kind, a, b, _, value, half] if kind == what => {
                Some((a, b, value.parse().ok()?, half.parse().unwrap_or(f64::NAN)))
            }
            _ => None,
        }
    })
}

/// A number as the referee wrote it; one that cannot be read fails its check.
fn number(text: &str) -> f64 {
    text.parse().unwrap_or(f64::NAN)
}

fn first_points() -> Check {
    const POINTS: [[f64; 3]; 10] = [
        [0.0, 0.0, 0.0],
        [0.5, 0.5, 0.5],
        [0.75, 0.25, 0.25],
        [0.25, 0.75, 0.75],
        [0.375, 0.375, 0.625],
        [0.875, 0.875, 0.125],
        [0.625, 0.125, 0.875],
        [0.125, 0.625, 0.375],
        [0.1875, 0.3125, 0.9375],
        [0.6875, 0.8125, 0.4375],
    ];
    let mut worst = Worst::default();
    let points = Sobol::plain(3);
    for (i, point) in POINTS.iter().enumerate() {
        for (dimension, printed) in point.iter().enumerate() {
            let computed = points.as_ref().map_or(f64::NAN, |p| p.coordinate(i as u32, dimension));
            worst.add(computed, *printed);
        }
    }
    Check {
        name: "sobol-first-points",
        claim: "the first ten Sobol' points in three dimensions are those the direction numbers' authors print",
        source: "joe_kuo_2008",
        place: "the authors' program, 10 points in 3 dimensions",
        mark: Mark::Memory,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "1",
        why: "binary fractions are exact",
        passed: passed(&worst, 0.0),
        note: "the same points stand in the next check, from a library".into(),
    }
}

fn passed(worst: &Worst, tolerance: f64) -> bool {
    worst.points > 0 && worst.miss <= tolerance
}

fn points_of_a_library() -> Check {
    let mut worst = Worst::default();
    let points = Sobol::plain(24);
    for (index, dimension, value, _) in referee("point") {
        let computed = points.as_ref().ok().zip(index.parse().ok()).zip(dimension.parse().ok());
        let computed = computed.map_or(f64::NAN, |((points, i), d): ((&Sobol, u32), usize)| {
            points.coordinate(i, d)
        });
        worst.add(computed, value);
    }
    Check {
        name: "sobol-points-of-a-library",
        claim: "sixteen Sobol' points in 24 dimensions are a library's",
        source: "scipy_salib_sure",
        place: "scipy.stats.qmc.Sobol without scrambling",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 1e-9,
        unit: "1",
        why: "the library keeps 30 binary digits of a coordinate",
        passed: passed(&worst, 1e-9),
        note: String::new(),
    }
}

fn even(low: f64, high: f64) -> Result<Distribution, DoseError> {
    Distribution::new(SpreadShape::Uniform { low, high }, low, high)
}

type Study = Result<Indices, StudyError<DoseError>>;

fn study(f: impl Fn(&[f64]) -> f64 + Sync, bounds: &[(f64, f64)], rows: usize, seed: u64) -> Study {
    let inputs: Vec<Distribution> = bounds.iter().map(|&(a, b)| even(a, b)).collect::<Result<_, _>>()?;
    sobol_indices(|x| Ok(f(x)), &inputs, rows, seed)
}

/// First-order and total index of one input; no numbers where the study failed.
fn of(study: &Study, input: usize) -> [Estimate; 2] {
    let none = Estimate {
        value: f64::NAN,
        low: f64::NAN,
        high: f64::NAN,
    };
    study
        .as_ref()
        .map_or([none; 2], |study| [study.first[input], study.total[input]])
}

/// Constants of the usual case of the function of Ishigami and Homma.
const ISHIGAMI: (f64, f64) = (7.0, 0.1);
const ISHIGAMI_BOUNDS: [(f64, f64); 3] = [(-PI, PI); 3];

fn ishigami_function(x: &[f64]) -> f64 {
    let (a, b) = ISHIGAMI;
    x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin()
}

/// First-order and total index of each input, in closed form.
fn ishigami_exact() -> [[f64; 2]; 3] {
    let (a, b) = ISHIGAMI;
    let one = 0.5 * (1.0 + b * PI.powi(4) / 5.0).powi(2);
    let two = a * a / 8.0;
    let one_three = 8.0 * b * b * PI.powi(8) / 225.0;
    let whole = one + two + one_three;
    [
        [one / whole, (one + one_three) / whole],
        [two / whole, two / whole],
        [0.0, one_three / whole],
    ]
}

/// Rows of the studies held against a closed form.
const MANY: usize = 16_384;

fn ishigami() -> Check {
    let study = study(ishigami_function, &ISHIGAMI_BOUNDS, MANY, 1);
    let mut worst = Worst::default();
    for (input, exact) in ishigami_exact().iter().enumerate() {
        for (estimate, exact) in of(&study, input).iter().zip(exact) {
            worst.add(estimate.value, *exact);
        }
    }
    let tolerance = 0.005;
    Check {
        name: "ishigami-indices",
        claim: "first-order and total indices of the Ishigami function (a 7, b 0.1): 0.314, 0.442, 0; 0.558, 0.442, 0.244",
        source: "ishigami_homma_1990",
        place: "closed form of the variances",
        mark: Mark::Memory,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "share of the variance",
        why: "16,384 rows; half a digit of the two decimals people read",
        passed: passed(&worst, tolerance),
        note: "an input without a first-order share but with a part in another's is found".into(),
    }
}

fn ishigami_intervals() -> Check {
    const SEEDS: u64 = 40;
    let exact = ishigami_exact();
    let mut held = [[0_u32; 2]; 3];
    for seed in 0..SEEDS {
        let study = study(ishigami_function, &ISHIGAMI_BOUNDS, 1024, seed);
        for input in 0..3 {
            for (kind, estimate) in of(&study, input).iter().enumerate() {
                let exact = exact[input][kind];
                held[input][kind] += u32::from(estimate.low <= exact && exact <= estimate.high);
            }
        }
    }
    let mut worst = Worst::default();
    for held in held.iter().flatten() {
        worst.add_inside(f64::from(*held) / SEEDS as f64, 0.95, 1.0);
    }
    let tolerance = 0.06;
    Check {
        name: "bootstrap-intervals-hold-the-truth",
        claim: "95 % intervals hold the Ishigami function's exact indices at least 95 times in 100",
        source: "ishigami_homma_1990",
        place: "closed form of the variances; 40 seeds of 1024 rows",
        mark: Mark::Memory,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "share of the intervals",
        why: "of 40 true 95 % intervals, fewer than 36 hold the truth once in 20 times; 36 of 40 is 0.05 below",
        passed: passed(&worst, tolerance),
        note: format!("held, first-order and total of each input, of {SEEDS}: {held:?}"),
    }
}

fn g_function() -> Check {
    const A: [f64; 8] = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0];
    let g = |x: &[f64]| {
        x.iter()
            .zip(A)
            .map(|(x, a)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a))
            .product()
    };
    let study = study(g, &[(0.0, 1.0); 8], MANY, 1);
    let parts = A.map(|a| 1.0 / (3.0 * (1.0 + a).powi(2)));
    let product: f64 = parts.iter().map(|part| 1.0 + part).product();
    let mut worst = Worst::default();
    for (input, part) in parts.iter().enumerate() {
        let exact = [part / (product - 1.0), part * product / (1.0 + part) / (product - 1.0)];
        for (estimate, exact) in of(&study, input).iter().zip(exact) {
            worst.add(estimate.value, exact);
        }
    }
    let tolerance = 0.005;
    Check {
        name: "g-function-indices",
        claim: "first-order and total indices of the G function of eight inputs: 0.716, 0.179, ...; 0.787, 0.242, ...",
        source: "sobol_g_function",
        place: "closed form of the variances; a = 0, 1, 4.5, 9, 99, 99, 99, 99",
        mark: Mark::Memory,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "share of the variance",
        why: "16,384 rows; half a digit of the two decimals people read",
        passed: passed(&worst, tolerance),
        note: String::new(),
    }
}

fn indices_of_a_library() -> Check {
    const NAMES: [&str; 4] = ["a", "b", "z", "k"];
    let dose = |x: &[f64]| x[3].log10() + (x[0] - x[1]) / x[2];
    let study = study(dose, &[(84.0, 92.0), (92.0, 94.0), (6.0, 11.0), (0.5, 3.0)], MANY, 1);
    let mut worst = Worst::default();
    let mut widest = 0.0_f64;
    for (kind, what) in ["first", "total"].into_iter().enumerate() {
        for (name, _, value, half) in referee(what) {
            let input = NAMES.iter().position(|known| *known == name);
            worst.add(input.map_or(f64::NAN, |input| of(&study, input)[kind].value), value);
            widest = widest.max(half);
        }
    }
    let tolerance = 0.01;
    Check {
        name: "dose-indices-of-a-library",
        claim: "what the spread of a dose's logarithm comes from is what a library of sensitivity analysis says",
        source: "scipy_salib_sure",
        place: "SALib.analyze.sobol, 131,072 rows; four even inputs",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "share of the variance",
        why: "the library's own 95 % half width reaches 0.005 and ours as much",
        passed: passed(&worst, tolerance),
        note: format!("widest half width the library gives: {widest:.4}"),
    }
}

fn shares_of_a_library() -> Check {
    let mut worst = Worst::default();
    for (what, low) in [("share_low", true), ("share_high", false)] {
        for (met, of, value, _) in referee(what) {
            let share = met.parse().ok().zip(of.parse().ok()).map(|(met, of)| share_of(met, of));
            let end = |share: Estimate| if low { share.low } else { share.high };
            worst.add(share.and_then(Result::ok).map_or(f64::NAN, end), value);
        }
    }
    let tolerance = 1e-9;
    Check {
        name: "share-intervals-of-a-library",
        claim: "95 % intervals of counted shares, from none of 20 to all of 2048",
        source: "scipy_salib_sure",
        place: "scipy.stats.binomtest(...).proportion_ci(0.95, \"exact\")",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "1",
        why: "printed to ten decimals",
        passed: passed(&worst, tolerance),
        note: String::new(),
    }
}

fn places_of_a_library() -> Check {
    let mut worst = Worst::default();
    for (what, low) in [("place_low", true), ("place_high", false)] {
        for (many, share, value, _) in referee(what) {
            let places = percentile_places(number(many) as usize, number(share));
            let place = if low { places.0 } else { places.1 };
            worst.add(place.map_or(f64::NAN, |place| place as f64), value);
        }
    }
    Check {
        name: "percentile-places-of-a-library",
        claim: "which values of a sorted sample bound its 1st, 5th and 50th percentile",
        source: "scipy_salib_sure",
        place: "scipy.stats.binom, each side 2.5 %",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "place",
        why: "whole places",
        passed: passed(&worst, 0.0),
        note: String::new(),
    }
}

fn median_places() -> Check {
    /// Sample size, lower and upper place.
    const PLACES: [(usize, usize, usize); 9] = [
        (6, 1, 6),
        (10, 2, 9),
        (15, 4, 12),
        (20, 6, 15),
        (25, 8, 18),
        (30, 10, 21),
        (40, 14, 27),
        (50, 18, 33),
        (100, 40, 61),
    ];
    let mut worst = Worst::default();
    for (many, low, high) in PLACES {
        let places = percentile_places(many, 0.5);
        worst.add(places.0.map_or(f64::NAN, |place| place as f64), low as f64);
        worst.add(places.1.map_or(f64::NAN, |place| place as f64), high as f64);
    }
    Check {
        name: "median-places",
        claim: "which values of a sorted sample bound its median with 95 % confidence: 2nd and 9th of 10",
        source: "median_interval_tables",
        place: "n 6 to 100",
        mark: Mark::Memory,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "place",
        why: "whole places",
        passed: passed(&worst, 0.0),
        note: String::new(),
    }
}
