//! Laws that a dose obeys.

use jarwright_dose::{
    DoseError, EQUATIONS, LethalTarget, TwoSlope, d_from_survivors_min, decimal_reductions, lethal_rate, lethality_min,
    lethality_rectangle_min, lethality_split_min, lethality_trapezoid_min, lethality_weighted_min, mean_rate_between,
    minutes_at, minutes_for_reductions, z_from_two_times_k,
};
use proptest::prelude::*;

/// Histories of 2 to 30 readings that rise and fall between 20 and 120 °C.
fn history() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    prop::collection::vec((1.0..600.0_f64, 20.0..120.0_f64), 2..30).prop_map(|steps| {
        let mut time_s = 0.0;
        steps
            .into_iter()
            .map(|(step_s, c)| {
                time_s += step_s;
                (time_s, c)
            })
            .unzip()
    })
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()))
}

#[test]
fn lethal_rate_is_one_at_reference_and_ten_one_z_above() {
    assert!(near(lethal_rate(93.3, 93.3, 8.89), 1.0));
    assert!(near(lethal_rate(93.3 + 8.89, 93.3, 8.89), 10.0));
    assert!(near(lethal_rate(93.3 - 2.0 * 8.89, 93.3, 8.89), 0.01));
}

#[test]
fn minutes_at_the_reference_temperature_count_as_themselves() -> Result<(), DoseError> {
    let target = LethalTarget { ref_c: 82.2, z_k: 8.9 };
    assert!(near(target.lethality_min(&[0.0, 900.0], &[82.2, 82.2])?, 15.0));
    Ok(())
}

#[test]
fn the_exact_integral_is_what_many_small_strips_add_up_to() -> Result<(), DoseError> {
    let (times, temperatures) = ([0.0, 600.0, 1500.0], [60.0, 95.0, 70.0]);
    let exact = lethality_min(&times, &temperatures, 90.0, 10.0)?;
    let strips = 20_000;
    let mut sum = 0.0;
    for i in 0..strips {
        let t = 1500.0 * (f64::from(i) + 0.5) / f64::from(strips);
        let c = if t < 600.0 {
            60.0 + 35.0 * t / 600.0
        } else {
            95.0 - 25.0 * (t - 600.0) / 900.0
        };
        sum += 10f64.powf((c - 90.0) / 10.0) * 1500.0 / f64::from(strips) / 60.0;
    }
    // Midpoint strips of 0.075 s: error below 1e-7 relative.
    assert!((exact - sum).abs() < 1e-6 * sum, "{exact} {sum}");
    Ok(())
}

#[test]
fn what_cannot_be_integrated_is_refused_by_name() {
    let f = |t: &[f64], c: &[f64]| lethality_min(t, c, 90.0, 10.0);
    assert_eq!(
        f(&[0.0, 1.0], &[90.0]),
        Err(DoseError::Unpaired {
            times: 2,
            temperatures: 1
        })
    );
    assert_eq!(f(&[0.0], &[90.0]), Err(DoseError::TooShort { readings: 1 }));
    assert_eq!(f(&[], &[]), Err(DoseError::TooShort { readings: 0 }));
    assert_eq!(
        f(&[0.0, 60.0, 60.0], &[90.0; 3]),
        Err(DoseError::TimeRunsBack {
            index: 2,
            at_s: 60.0,
            after_s: 60.0
        })
    );
    assert!(matches!(
        f(&[0.0, f64::NAN], &[90.0; 2]),
        Err(DoseError::TimeRunsBack { .. })
    ));
    assert!(matches!(
        f(&[0.0, 60.0], &[90.0, f64::NAN]),
        Err(DoseError::OutOfRange(_))
    ));
    assert!(matches!(f(&[0.0, 60.0], &[90.0, 194.0]), Err(DoseError::OutOfRange(_))));
    let no_slope = lethality_min(&[0.0, 60.0], &[90.0; 2], 90.0, 0.0);
    assert!(matches!(no_slope, Err(DoseError::OutOfRange(_))));
    let split = lethality_split_min(&[0.0, 60.0], &[90.0; 2], 2, 90.0, 10.0);
    assert!(matches!(split, Err(DoseError::OutOfRange(_))));
}

#[test]
fn twelve_reductions_of_the_standard_spore_take_two_and_a_half_minutes() -> Result<(), DoseError> {
    // produce_degradation_2005: D 0.21 min at 121 °C, twelve reductions 2.52 min.
    assert!(near(minutes_for_reductions(12.0, 0.21)?, 2.52));
    assert!(near(decimal_reductions(2.52, 0.21)?, 12.0));
    assert!(decimal_reductions(-1.0, 0.21).is_err());
    assert!(decimal_reductions(1.0, 0.0).is_err());
    Ok(())
}

#[test]
fn survivors_and_times_give_back_the_constants_they_were_made_with() -> Result<(), DoseError> {
    assert!(near(d_from_survivors_min(6.0, 1e6, 1e3)?, 2.0));
    assert!(d_from_survivors_min(6.0, 1e3, 1e6).is_err());
    let later = minutes_at(5.0, 71.1, 9.3, 77.0)?;
    assert!(near(z_from_two_times_k(71.1, 5.0, 77.0, later)?, 9.3));
    assert!(z_from_two_times_k(71.1, 5.0, 77.0, 6.0).is_err());
    assert!(z_from_two_times_k(77.0, 5.0, 71.1, 3.0).is_err());
    Ok(())
}

#[test]
fn two_slopes_meet_at_the_bend() {
    let bend = TwoSlope::NON_PROTEOLYTIC;
    assert!(near(bend.rate(90.0), 1.0));
    assert!((bend.rate(90.0 - 1e-9) - 1.0).abs() < 1e-8);
    assert!(near(bend.rate(81.0), 0.1));
    assert!(near(bend.rate(100.0), 10.0));
}

#[test]
fn every_equation_has_its_own_key_and_a_source() {
    let mut keys: Vec<&str> = EQUATIONS.iter().map(|e| e.key).collect();
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), EQUATIONS.len());
    assert!(EQUATIONS.iter().all(|e| !e.source.is_empty() && !e.text.is_empty()));
}

proptest! {
    #[test]
    fn heating_and_cooling_add_up_to_the_whole((times, temperatures) in history(), at in 0.0..1.0_f64) {
        let index = ((times.len() - 1) as f64 * at) as usize;
        let whole = lethality_min(&times, &temperatures, 82.2, 8.9);
        let parts = lethality_split_min(&times, &temperatures, index, 82.2, 8.9);
        prop_assert!(matches!((whole, parts), (Ok(w), Ok((h, c))) if near(w, h + c) && h >= 0.0 && c >= 0.0));
    }

    #[test]
    fn the_trapezoid_never_counts_less_than_the_exact_integral((times, temperatures) in history()) {
        let exact = lethality_min(&times, &temperatures, 82.2, 8.9);
        let trapezoid = lethality_trapezoid_min(&times, &temperatures, 82.2, 8.9);
        prop_assert!(matches!((exact, trapezoid), (Ok(e), Ok(t)) if e <= t * (1.0 + 1e-12)));
    }

    #[test]
    fn a_reading_put_on_the_line_changes_nothing((times, temperatures) in history(), share in 0.1..0.9_f64) {
        let (mut t, mut c) = (times.clone(), temperatures.clone());
        t.insert(1, times[0] + share * (times[1] - times[0]));
        c.insert(1, temperatures[0] + share * (temperatures[1] - temperatures[0]));
        for f in [
            |t: &[f64], c: &[f64]| lethality_min(t, c, 82.2, 8.9),
            |t: &[f64], c: &[f64]| TwoSlope::NON_PROTEOLYTIC.lethality_min(t, c),
        ] {
            let (with, without) = (f(&t, &c), f(&times, &temperatures));
            prop_assert!(matches!((with, without), (Ok(a), Ok(b)) if near(a, b)));
        }
    }

    #[test]
    fn a_warmer_history_is_never_worth_less((times, temperatures) in history(), by in 0.1..10.0_f64) {
        let warmer: Vec<f64> = temperatures.iter().map(|c| c + by).collect();
        let cool = lethality_min(&times, &temperatures, 82.2, 8.9);
        let warm = lethality_min(&times, &warmer, 82.2, 8.9);
        // One slope: a shift of the whole history multiplies its worth.
        let factor = lethal_rate(by, 0.0, 8.9);
        prop_assert!(matches!((cool, warm), (Ok(c), Ok(w)) if near(w / c, factor)));
    }

    #[test]
    fn equal_slopes_are_one_slope((times, temperatures) in history()) {
        let bent = TwoSlope { ref_c: 82.2, z_below_k: 8.9, z_above_k: 8.9 };
        let one = lethality_min(&times, &temperatures, 82.2, 8.9);
        prop_assert!(matches!((bent.lethality_min(&times, &temperatures), one), (Ok(a), Ok(b)) if near(a, b)));
    }

    #[test]
    fn the_rectangle_counts_half_of_both_ends_more(c in prop::collection::vec(20.0..120.0_f64, 2..30)) {
        let times: Vec<f64> = (0..c.len()).map(|i| 60.0 * i as f64).collect();
        let ends = 0.5 * (lethal_rate(c[0], 82.2, 8.9) + lethal_rate(c[c.len() - 1], 82.2, 8.9));
        let rectangle = lethality_rectangle_min(60.0, &c, 82.2, 8.9);
        let trapezoid = lethality_trapezoid_min(&times, &c, 82.2, 8.9);
        prop_assert!(matches!((rectangle, trapezoid), (Ok(r), Ok(t)) if near(r, t + ends)));
    }

    #[test]
    fn no_input_panics(
        t in prop::collection::vec(prop::num::f64::ANY, 0..6),
        c in prop::collection::vec(prop::num::f64::ANY, 0..6),
        a in prop::num::f64::ANY, b in prop::num::f64::ANY, index in 0usize..9,
    ) {
        let _ = lethality_min(&t, &c, a, b);
        let _ = lethality_trapezoid_min(&t, &c, a, b);
        let _ = lethality_rectangle_min(a, &c, b, a);
        let _ = lethality_split_min(&t, &c, index, a, b);
        let _ = TwoSlope { ref_c: a, z_below_k: b, z_above_k: a }.lethality_min(&t, &c);
        let _ = (minutes_at(a, b, a, b), decimal_reductions(a, b), d_from_survivors_min(a, b, a));
        let _ = z_from_two_times_k(a, b, b, a);
    }
}

#[test]
fn mean_rate_of_a_straight_line_is_what_numerical_integration_gives() {
    for rise_k in [0.0, 1e-9, 1e-4, 0.004, 0.02, 1.0, 30.0, -0.003, -12.0] {
        let rate = |part: f64| lethal_rate(90.0 + rise_k * part, 93.3, 8.9);
        // Simpson's rule in 1000 panels; its error is below 1e-11 here.
        let panels = 1000;
        let simpson: f64 = (0..panels)
            .map(|i| {
                let (a, b) = (f64::from(i) / 1000.0, f64::from(i + 1) / 1000.0);
                (rate(a) + 4.0 * rate(a.midpoint(b)) + rate(b)) / 6000.0
            })
            .sum();
        let mean = mean_rate_between(rise_k, rate(0.0), rate(1.0), 8.9);
        assert!((mean / simpson - 1.0).abs() < 1e-10, "{rise_k}: {mean} {simpson}");
    }
}

#[test]
fn readings_weighed_by_a_rule_give_the_integral() -> Result<(), DoseError> {
    // Two points of Gauss and Legendre on a straight line of 10 min, against the closed form.
    let half = 0.5 / f64::sqrt(3.0);
    let c = [0.5 - half, 0.5 + half].map(|part| 80.0 + 4.0 * part);
    let by_rule = lethality_weighted_min(&[300.0, 300.0], &c, 93.3, 8.89)?;
    let exact = lethality_min(&[0.0, 600.0], &[80.0, 84.0], 93.3, 8.89)?;
    assert!((by_rule / exact - 1.0).abs() < 1e-3, "{by_rule} {exact}");
    // Equal weights are the rectangle rule.
    let readings = [90.0, 91.0, 92.5];
    let rectangle = lethality_rectangle_min(60.0, &readings, 93.3, 8.89)?;
    assert!(near(
        lethality_weighted_min(&[60.0; 3], &readings, 93.3, 8.89)?,
        rectangle
    ));
    // Nothing weighed is nothing, and plain zero.
    assert_eq!(
        lethality_weighted_min(&[], &[], 93.3, 8.89)?.to_bits(),
        0.0_f64.to_bits()
    );
    assert!(lethality_weighted_min(&[60.0], &[], 93.3, 8.89).is_err());
    assert!(lethality_weighted_min(&[f64::NAN], &[90.0], 93.3, 8.89).is_err());
    assert!(lethality_weighted_min(&[60.0], &[900.0], 93.3, 8.89).is_err());
    Ok(())
}
