//! Laws of even points, spreads, shares and indices.

use jarwright_dose::{
    Distribution, DoseError, Sampler, Sobol, SpreadShape, StudyError, each, percentile, percentile_places, share_of,
    sobol_indices,
};
use proptest::prelude::*;

fn even(low: f64, high: f64) -> Distribution {
    spread(SpreadShape::Uniform { low, high })
}

fn spread(shape: SpreadShape) -> Distribution {
    Distribution::new(shape, -1e9, 1e9).unwrap_or_else(|error| unreachable!("{error}"))
}

#[test]
fn each_stretch_of_each_dimension_holds_one_point_scrambled_or_not() -> Result<(), DoseError> {
    let most = Sobol::MOST_DIMENSIONS;
    for points in [
        Sobol::plain(most)?,
        Sobol::scrambled(most, 7)?,
        Sobol::scrambled(most, 8)?,
    ] {
        for dimension in 0..most {
            for many in [2_u32, 64, 1024] {
                let mut held = vec![0; many as usize];
                for index in 0..many {
                    held[(points.coordinate(index, dimension) * f64::from(many)) as usize] += 1;
                }
                assert!(held.iter().all(|one| *one == 1), "dimension {dimension} of {many}");
            }
        }
    }
    Ok(())
}

#[test]
fn no_two_dimensions_are_alike_and_no_two_seeds() -> Result<(), DoseError> {
    let points = Sobol::scrambled(Sobol::MOST_DIMENSIONS, 1)?;
    let column = |of: &Sobol, dimension| {
        (0..256)
            .map(|i| of.coordinate(i, dimension).to_bits())
            .collect::<Vec<_>>()
    };
    let mut columns: Vec<_> = (0..Sobol::MOST_DIMENSIONS).map(|d| column(&points, d)).collect();
    columns.push(column(&Sobol::scrambled(1, 2)?, 0));
    columns.sort();
    let many = columns.len();
    columns.dedup();
    assert_eq!(columns.len(), many);
    assert_eq!(column(&points, 3), column(&Sobol::scrambled(5, 1)?, 3));
    Ok(())
}

#[test]
fn too_many_dimensions_or_none_are_refused() {
    assert!(Sobol::plain(0).is_err() && Sobol::plain(Sobol::MOST_DIMENSIONS + 1).is_err());
    assert!(Sampler::new(&[], 1).is_err());
}

#[test]
fn named_percentiles_are_where_they_were_named() {
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6 * b.abs().max(1.0), "{a} is not {b}");
    let normal = spread(SpreadShape::Normal {
        p5: 8.0,
        median: 9.0,
        p95: 13.0,
    });
    let log = spread(SpreadShape::LogNormal { p5: 2.0, p95: 50.0 });
    for (spread, at) in [
        (normal, [8.0, 9.0, 13.0]),
        (log, [2.0, 10.0, 50.0]),
        (even(0.0, 20.0), [1.0, 10.0, 19.0]),
    ] {
        for (share, value) in [0.05, 0.5, 0.95].into_iter().zip(at) {
            near(spread.at(share), value);
        }
    }
    // Half of the area of 0, 1, 3 with its top at 1: 3 - sqrt(3).
    let triangle = spread(SpreadShape::Triangular {
        low: 0.0,
        mode: 1.0,
        high: 3.0,
    });
    near(triangle.at(0.5), 3.0 - 3.0_f64.sqrt());
    near(triangle.at(1.0 / 3.0), 1.0);
}

#[test]
fn a_spread_is_refused_when_its_numbers_do_not_rise_or_are_none() {
    let refused = |shape| matches!(Distribution::new(shape, 0.0, 10.0), Err(DoseError::NoSpread { .. }));
    assert!(refused(SpreadShape::Uniform { low: 3.0, high: 1.0 }));
    assert!(refused(SpreadShape::Uniform { low: 3.0, high: 3.0 }));
    assert!(refused(SpreadShape::Uniform {
        low: 3.0,
        high: f64::NAN
    }));
    assert!(refused(SpreadShape::Uniform { low: -1.0, high: 3.0 }));
    assert!(refused(SpreadShape::LogNormal { p5: 0.0, p95: 3.0 }));
    assert!(refused(SpreadShape::Triangular {
        low: 1.0,
        mode: 4.0,
        high: 3.0
    }));
    assert!(refused(SpreadShape::Normal {
        p5: 1.0,
        median: f64::INFINITY,
        p95: 3.0
    }));
}

proptest! {
    #[test]
    fn a_spread_rises_and_stays_within_its_bounds(
        p5 in 0.1f64..5.0, width in 0.01f64..20.0, part in 0.0f64..=1.0, kind in 0usize..4,
        below in 0.0f64..1.0, above in 0.0f64..5.0, u in 0.0f64..=1.0, step in 0.0f64..0.5,
    ) {
        let (low, high) = (p5, p5 + width);
        let middle = low + part * width;
        let shape = [
            SpreadShape::Uniform { low, high },
            SpreadShape::Triangular { low, mode: middle, high },
            SpreadShape::Normal { p5: low, median: middle, p95: high },
            SpreadShape::LogNormal { p5: low, p95: high },
        ][kind];
        let (least, greatest) = (low * (1.0 - below), high + above);
        let spread = Distribution::new(shape, least, greatest).map_err(|e| TestCaseError::fail(e.to_string()))?;
        let (a, b) = (spread.at(u), spread.at((u + step).min(1.0)));
        prop_assert!(a >= least && b <= greatest && a <= b, "{a} {b}");
    }

    #[test]
    fn a_share_lies_in_its_interval_and_more_met_is_never_less(n in 1usize..3000, part in 0.0f64..1.0) {
        let k = (part * n as f64) as usize;
        let (one, more) = (share_of(k, n), share_of(k + 1, n));
        let (Ok(one), Ok(more)) = (one, more) else { return Err(TestCaseError::fail("refused")) };
        prop_assert!(0.0 <= one.low && one.low <= one.value && one.value <= one.high && one.high <= 1.0);
        prop_assert!(one.low < more.low && one.high <= more.high);
    }
}

#[test]
fn a_percentile_lies_between_the_values_that_bound_it() -> Result<(), DoseError> {
    let rising: Vec<f64> = (0..1000).map(f64::from).collect();
    let p5 = percentile(&rising, 0.05)?;
    assert!(
        (p5.value - 49.95).abs() < 1e-9 && p5.low < p5.value && p5.value < p5.high,
        "{p5:?}"
    );
    // Ten values bound no 5th percentile from below.
    assert!(percentile(&rising[..10], 0.05)?.low.is_infinite());
    assert!(
        percentile(&[], 0.5).is_err() && percentile(&rising, 0.0).is_err() && percentile(&rising, f64::NAN).is_err()
    );
    assert_eq!(percentile_places(0, 0.5), (None, None));
    Ok(())
}

#[test]
fn answers_stand_in_their_order_and_the_first_error_is_told() {
    assert_eq!(
        each(1001, Ok::<_, usize>).map(|all| all.into_iter().enumerate().all(|(i, j)| i == j)),
        Ok(true)
    );
    assert_eq!(each(1001, |i| if i % 400 == 399 { Err(i) } else { Ok(i) }), Err(399));
    assert_eq!(each(0, Ok::<usize, ()>), Ok(vec![]));
}

#[test]
fn a_study_is_the_same_twice_and_another_with_another_seed() {
    let study = |seed| {
        let f = |x: &[f64]| Ok::<_, ()>(x[0] + x[1] * x[2]);
        sobol_indices(f, &[even(0.0, 1.0), even(0.0, 1.0), even(0.0, 2.0)], 128, seed)
    };
    assert_eq!(study(3), study(3));
    assert_ne!(study(3), study(4));
}

#[test]
fn an_input_that_does_nothing_has_no_share_and_a_sum_is_its_parts() -> Result<(), StudyError<()>> {
    // Variances of evenly spread parts go with the squares of their widths: 1, 4, 9.
    let f = |x: &[f64]| Ok::<_, ()>(x[0] + x[1] + x[2]);
    let inputs = [even(0.0, 1.0), even(0.0, 2.0), even(0.0, 3.0), even(0.0, 9.0)];
    let indices = sobol_indices(f, &inputs, 4096, 1)?;
    for (i, share) in [1.0 / 14.0, 4.0 / 14.0, 9.0 / 14.0].into_iter().enumerate() {
        assert!((indices.first[i].value - share).abs() < 0.01, "{:?}", indices.first[i]);
        assert!((indices.total[i].value - share).abs() < 0.01, "{:?}", indices.total[i]);
    }
    assert!(indices.total[3].value.abs() < 1e-12 && indices.first[3].value.abs() < 1e-12);
    assert_eq!((indices.runs, indices.answers.len()), (4096 * 6, 8192));
    Ok(())
}

#[test]
fn moving_or_stretching_the_answer_moves_no_share() -> Result<(), StudyError<()>> {
    let inputs = [even(-1.0, 1.0), even(0.0, 1.0)];
    let plain = sobol_indices(|x| Ok::<_, ()>(x[0].exp() * x[1]), &inputs, 256, 5)?;
    let moved = sobol_indices(|x| Ok::<_, ()>(1000.0 - 3.0 * x[0].exp() * x[1]), &inputs, 256, 5)?;
    for (a, b) in plain
        .first
        .iter()
        .zip(&moved.first)
        .chain(plain.total.iter().zip(&moved.total))
    {
        assert!((a.value - b.value).abs() < 1e-9 && (a.low - b.low).abs() < 1e-9);
    }
    Ok(())
}

#[test]
fn intervals_hold_the_truth_as_often_as_they_say() -> Result<(), StudyError<()>> {
    // y = 2 x0 + x1 + x0 x1 on -1 to 1: variances 4/3, 1/3 and 1/9.
    let inputs = [even(-1.0, 1.0), even(-1.0, 1.0)];
    let parts = [4.0 / 3.0, 1.0 / 3.0, 1.0 / 9.0];
    let whole: f64 = parts.iter().sum();
    let truth = [
        parts[0] / whole,
        parts[1] / whole,
        (parts[0] + parts[2]) / whole,
        (parts[1] + parts[2]) / whole,
    ];
    let studies = 100;
    let mut held = [0; 4];
    for seed in 0..studies {
        let study = sobol_indices(|x| Ok::<_, ()>(2.0 * x[0] + x[1] + x[0] * x[1]), &inputs, 256, seed)?;
        for (i, estimate) in study.first.iter().chain(&study.total).enumerate() {
            held[i] += i32::from(estimate.low <= truth[i] && truth[i] <= estimate.high);
        }
    }
    // 95 of 100 asked; 90 is what a true 95 % falls short of once in 30 times.
    assert!(held.iter().all(|one| *one >= 90), "{held:?} of {studies}");
    Ok(())
}

#[test]
fn a_study_that_cannot_be_made_says_why() {
    let f = |x: &[f64]| Ok::<_, String>(x[0]);
    let inputs = [even(0.0, 1.0)];
    let study = |rows| sobol_indices(f, &inputs, rows, 1);
    assert!(matches!(
        study(100),
        Err(StudyError::Study(DoseError::NotPowerOfTwo { rows: 100 }))
    ));
    assert!(matches!(study(32), Err(StudyError::Study(DoseError::OutOfRange(_)))));
    assert!(matches!(
        study(1 << 20),
        Err(StudyError::Study(DoseError::OutOfRange(_)))
    ));
    let still = sobol_indices(|_| Ok::<_, ()>(4.0), &inputs, 64, 1);
    assert_eq!(still, Err(StudyError::Study(DoseError::NoVariance)));
    let none = sobol_indices(|_| Ok::<_, ()>(f64::NAN), &inputs, 64, 1);
    assert!(matches!(none, Err(StudyError::Study(DoseError::NoNumber { .. }))));
    let failed = sobol_indices(|_| Err::<f64, _>("no"), &inputs, 64, 1);
    assert!(matches!(failed, Err(StudyError::Function { error: "no", .. })));
    let many = [even(0.0, 1.0); 33];
    assert!(matches!(
        sobol_indices(f, &many, 64, 1),
        Err(StudyError::Study(DoseError::OutOfRange(_)))
    ));
}
