//! What the planner refuses, and by which kind of error.

mod fixture;

use fixture::{Any, LIME_CURD};
use jarwright_kitchen::files::KitchenFile;
use jarwright_kitchen::{Much, Order, PlanError, plan_order};

/// The error of an order, if it is one.
fn refused(order: &Order, kitchen: &KitchenFile) -> Result<PlanError, Any> {
    match plan_order(order, kitchen, &fixture::stores()?) {
        Ok(_) => Err("it was planned".into()),
        Err(error) => Ok(error),
    }
}

fn curd(much: Much, jar: &str) -> Result<Order, Any> {
    Ok(fixture::order(vec![fixture::wanted(
        LIME_CURD,
        much,
        jar,
        &fixture::stores()?,
    )?]))
}

#[test]
fn what_cannot_be_read_is_told_apart_from_what_cannot_be_met() -> Result<(), Any> {
    let kitchen = fixture::kitchen()?;
    let asked = |e: &PlanError| matches!(e, PlanError::Asked { what, hint } if !what.is_empty() && !hint.is_empty());
    let cannot =
        |e: &PlanError| matches!(e, PlanError::CannotMeet { reason, would } if !reason.is_empty() && !would.is_empty());

    assert!(
        asked(&refused(&curd(Much::Jars(0), "half-pint")?, &kitchen)?),
        "no jars"
    );
    assert!(
        asked(&refused(&curd(Much::Jars(5), "half-pnt")?, &kitchen)?),
        "unknown jar"
    );
    assert!(
        asked(&refused(&curd(Much::Jars(5), "quart")?, &kitchen)?),
        "a jar without a bath"
    );
    assert!(
        asked(&refused(
            &curd(Much::From("2 kg gravel".into()), "half-pint")?,
            &kitchen
        )?),
        "not in the formula"
    );
    assert!(
        asked(&refused(
            &curd(Much::From("much sugar".into()), "half-pint")?,
            &kitchen
        )?),
        "no amount"
    );
    assert!(
        asked(&refused(&fixture::order(Vec::new()), &kitchen)?),
        "nothing ordered"
    );
    assert!(
        asked(&refused(
            &fixture::order(vec![curd(Much::Jars(5), "half-pint")?.lines[0].clone(); 21]),
            &kitchen
        )?),
        "too many formulas"
    );

    assert!(
        cannot(&refused(&curd(Much::Jars(1_000_000), "half-pint")?, &kitchen)?),
        "a million jars"
    );
    assert!(
        cannot(&refused(&curd(Much::Jars(u64::MAX), "half-pint")?, &kitchen)?)
            || asked(&refused(&curd(Much::Jars(u64::MAX), "half-pint")?, &kitchen)?),
        "more than can be counted"
    );
    assert!(
        cannot(&refused(&curd(Much::Jars(4_000), "half-pint")?, &kitchen)?),
        "more days than a run has"
    );
    assert!(
        cannot(&refused(
            &curd(Much::From("50 g sugar".into()), "half-pint")?,
            &kitchen
        )?),
        "not enough for a jar"
    );

    let mut unknown = curd(Much::Jars(5), "half-pint")?;
    unknown.lines[0].formula.lines[0].ingredient = "unobtainium".into();
    assert!(asked(&refused(&unknown, &kitchen)?), "unknown ingredient");
    let mut bare = curd(Much::Jars(5), "half-pint")?;
    bare.lines[0].formula.lines[0].ingredient = "meat".into();
    bare.lines[0].formula.lines[0].amount =
        jarwright_kitchen::files::Amount::parse("500 g").map_err(|f| format!("{f:?}"))?;
    assert!(matches!(refused(&bare, &kitchen)?, PlanError::UnknownComposition { ingredient } if ingredient == "meat"));
    Ok(())
}

#[test]
fn no_number_of_an_order_makes_the_planner_panic_or_lie() -> Result<(), Any> {
    let kitchen = fixture::kitchen()?;
    for m in [f64::NAN, f64::INFINITY, -1e9, 1e9] {
        let order = Order {
            altitude_m: Some(m),
            ..curd(Much::Jars(5), "half-pint")?
        };
        assert!(
            plan_order(&order, &kitchen, &fixture::stores()?).is_err(),
            "altitude {m}"
        );
    }
    for c in [f64::NAN, f64::INFINITY, -300.0, 1e6] {
        let order = Order {
            bath_start_c: Some(c),
            ..curd(Much::Jars(5), "half-pint")?
        };
        if let Ok(plan) = plan_order(&order, &kitchen, &fixture::stores()?) {
            assert_ne!(fixture::route(&plan, "shelf")?.state, "open", "bath {c}");
        }
    }
    Ok(())
}
