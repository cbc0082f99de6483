//! Reserved names on the demo's labels, market by market and before and after a law's change.

mod fixture;

use fixture::{APRICOT_JAM, Any, DILL, LIME_CURD, PASSION, but, kitchen, run};
use jarwright_kitchen::plan::Label;
use jarwright_kitchen::{Law, Use};
use jiff::civil::date;

/// The label of one formula for sale in a market on a day of June 2026.
fn label(text: &str, jar: &str, market: Law, june: i8) -> Result<Label, Any> {
    let plan = run(&[(text, jar, 12)], &kitchen()?, |mut order| {
        order.market = market;
        order.for_use = Use::Sale;
        order.now = date(2026, 6, june).at(6, 0, 0, 0);
        order
    })?;
    plan.labels.into_iter().next().ok_or_else(|| "no label".into())
}

fn says(label: &Label, words: &str) -> bool {
    label.open_points.iter().any(|point| point.contains(words))
}

#[test]
fn apricot_jam_keeps_its_name_in_every_market_before_and_after_june_2026() -> Result<(), Any> {
    for market in [Law::Us, Law::Eu, Law::Uk] {
        for june in [12, 16] {
            let label = label(APRICOT_JAM, "half-pint", market, june)?;
            assert_eq!(label.name, "Apricot jam", "{market:?} {june}: {:?}", label.open_points);
        }
    }
    // At the very least of the US standard the refractometer decides.
    assert!(says(&label(APRICOT_JAM, "half-pint", Law::Us, 16)?, "refractometer"));
    Ok(())
}

#[test]
fn a_jam_of_less_fruit_loses_its_european_name_on_14_june_2026() -> Result<(), Any> {
    let less = but(APRICOT_JAM, "2.25 kg", "1.85 kg")?;
    assert_eq!(label(&less, "half-pint", Law::Eu, 13)?.name, "Apricot jam");
    let after = label(&less, "half-pint", Law::Eu, 14)?;
    assert!(after.name.contains("to be settled"));
    assert!(says(&after, "more fruit for each kg made") && says(&after, "less sugar"));
    assert_eq!(label(&less, "half-pint", Law::Uk, 14)?.name, "Apricot jam");
    let us = label(&less, "half-pint", Law::Us, 14)?;
    assert!(us.name.contains("to be settled") && says(&us, "45:55"));
    Ok(())
}

#[test]
fn the_demos_curds_are_no_curds_in_the_united_kingdom() -> Result<(), Any> {
    for text in [LIME_CURD, PASSION] {
        let uk = label(text, "half-pint", Law::Uk, 16)?;
        assert!(uk.name.contains("to be settled"));
        assert!(says(&uk, "soluble solids") && says(&uk, "65.0 °Brix") && !says(&uk, "egg-yolk solids"));
        for market in [Law::Us, Law::Eu] {
            let label = label(text, "half-pint", market, 16)?;
            assert!(!label.name.contains("to be settled"));
            assert!(says(&label, "no reserved name is known in this market"));
        }
    }
    Ok(())
}

#[test]
fn a_pickle_is_told_that_no_reserved_name_is_known() -> Result<(), Any> {
    assert!(says(&label(DILL, "pint", Law::Us, 16)?, "no reserved name is known"));
    Ok(())
}
