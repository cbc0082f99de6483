//! Laws of how sure a dose is, on the demo's half-pint.

use jarwright_kitchen::PlanError;
use jarwright_kitchen::files::read_jar_study;
use jarwright_kitchen::sure::{Effort, Found, JarStudy, Sure, What, how_sure};

const CASE: &str = include_str!("../../../demo/jars/lime-curd.toml");
const EFFORT: Effort = Effort { rows: 64, seed: 1 };

fn study(text: &str) -> Result<JarStudy, PlanError> {
    read_jar_study("case", text).map_err(|faults| PlanError::asked(format!("{faults:?}"), ""))
}

fn asked(reductions: f64) -> Result<Sure, PlanError> {
    let text = CASE.replacen(
        "decimal_reductions = 5",
        &format!("decimal_reductions = {reductions}"),
        1,
    );
    how_sure(&study(&text)?, EFFORT)
}

fn seconds(sure: &Sure) -> f64 {
    match sure.hold.map(|hold| hold.found) {
        Some(Found::AsItIs) => 0.0,
        Some(Found::Longer { seconds, .. }) => seconds,
        Some(Found::None) | None => f64::INFINITY,
    }
}

#[test]
fn more_asked_is_less_likely_and_needs_a_longer_hold() -> Result<(), PlanError> {
    let all = [2.0, 5.0, 8.0, 12.0, 90.0].map(asked);
    let mut before: Option<Sure> = None;
    for sure in all {
        let sure = sure?;
        if let Some(before) = &before {
            assert!(sure.chance.value < before.chance.value || sure.chance.value <= 0.0);
            assert!(seconds(&sure) >= seconds(before));
            // The spread of the dose does not depend on what is asked of it.
            assert_eq!(sure.rising, before.rising);
            assert_eq!(sure.ranking, before.ranking);
        }
        before = Some(sure);
    }
    Ok(())
}

#[test]
fn the_hold_found_does_when_it_is_written_into_the_case_and_a_shorter_one_does_not() -> Result<(), PlanError> {
    // Without a band of its own, so that the case's number is the hold of every draw.
    let fixed = CASE
        .replacen("seconds = { low = 870, high = 960, band = \"printed range\" }", "", 1)
        .replacen("decimal_reductions = 5", "decimal_reductions = 8", 1);
    let found = seconds(&how_sure(&study(&fixed)?, EFFORT)?);
    assert!(found > 900.0 && found < 8000.0, "{found}");
    let with = |seconds: f64| -> Result<f64, PlanError> {
        let text = fixed.replacen("seconds = 900", &format!("seconds = {seconds}"), 1);
        Ok(how_sure(&study(&text)?, EFFORT)?.chance.value)
    };
    assert!(with(found)? >= 0.99 && with(found - 1.0)? < 0.99);
    Ok(())
}

#[test]
fn nothing_shorter_than_the_case_is_ever_found() -> Result<(), PlanError> {
    let sure = asked(1.0)?;
    assert!(sure.chance.value > 0.99 && sure.hold.is_some_and(|hold| hold.found == Found::AsItIs));
    Ok(())
}

#[test]
fn percentiles_rise_and_hold_the_case_as_it_is_written() -> Result<(), PlanError> {
    let sure = asked(5.0)?;
    assert!(sure.p5.value < sure.p50.value && sure.p50.value < sure.p95.value);
    assert!(sure.p5.value < sure.decimal_reductions && sure.decimal_reductions < sure.p95.value);
    for part in &sure.ranking {
        assert!(part.worse_reductions <= sure.decimal_reductions, "{part:?}");
    }
    assert!(
        sure.ranking
            .windows(2)
            .all(|two| two[0].in_all.value >= two[1].in_all.value)
    );
    Ok(())
}

#[test]
fn a_band_made_narrow_loses_its_part() -> Result<(), PlanError> {
    let part = |text: &str| -> Result<f64, PlanError> {
        let sure = how_sure(&study(text)?, EFFORT)?;
        let d = sure.ranking.iter().find(|part| part.of.what == What::D);
        Ok(d.map_or(f64::NAN, |part| part.in_all.value))
    };
    let wide = part(CASE)?;
    let narrow = part(&CASE.replacen("low = 1.4, high = 2.8", "low = 1.95, high = 2.05", 1))?;
    assert!(wide > 0.2 && narrow < 0.01, "{wide} {narrow}");
    Ok(())
}

#[test]
fn a_thermometer_that_reads_low_means_a_hotter_fill() -> Result<(), PlanError> {
    let sure = asked(5.0)?;
    let thermometer = sure.ranking.iter().find(|part| part.of.what == What::Thermometer);
    assert!(thermometer.is_some_and(|part| part.worse_end < 0.0 && part.worse_reductions < sure.decimal_reductions));
    Ok(())
}

#[test]
fn a_study_without_a_target_or_anything_uncertain_is_refused() -> Result<(), PlanError> {
    let until = |heading: &str| CASE.split(heading).next().unwrap_or_default().to_owned();
    let refused = |text: &str, words: &str| -> Result<bool, PlanError> {
        let answer = how_sure(&study(text)?, EFFORT);
        Ok(matches!(answer, Err(PlanError::Asked { what, .. }) if what.contains(words)))
    };
    assert!(refused(&until("[target]"), "no [target]")?);
    assert!(refused(&until("[uncertain]"), "nothing is uncertain")?);
    let odd = how_sure(&study(CASE)?, Effort { rows: 100, seed: 1 });
    assert!(matches!(odd, Err(PlanError::Asked { .. })));
    Ok(())
}

#[test]
fn a_jar_that_cannot_be_computed_is_told_with_what_was_drawn() -> Result<(), PlanError> {
    // Films on side and base drawn too far apart for the glass.
    let apart = CASE.replacen(
        "[uncertain.phase.boil]\n",
        "[uncertain.phase.boil]\nh_side_w_m2k = { low = 1, high = 2000, band = \"printed range\" }\n",
        1,
    );
    let answer = how_sure(&study(&apart)?, EFFORT);
    assert!(
        matches!(&answer, Err(PlanError::Physics { what, .. }) if what.contains("h_side_w_m2k")),
        "{answer:?}"
    );
    Ok(())
}
