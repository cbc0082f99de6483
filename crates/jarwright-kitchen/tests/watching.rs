//! Laws of a planned pot watched with something changed.

mod fixture;

use std::sync::OnceLock;

use fixture::{APRICOT_JAM, Any, DEMO, LIME_CURD, but, kitchen, order, stores, wanted};
use jarwright_kitchen::departing::Planned;
use jarwright_kitchen::{Much, PlanError, PlannedPot, PotChange, PotWatched, plan_with_jars};

fn planned(text: &str, jar: &str) -> Result<Planned, Any> {
    let stores = stores()?;
    let order = order(vec![wanted(text, Much::Jars(20), jar, &stores)?]);
    Ok(plan_with_jars(&order, &kitchen()?, &stores)?)
}

/// Every demo formula, planned once.
fn demo() -> Result<&'static [Planned], Any> {
    static ONCE: OnceLock<Result<Vec<Planned>, String>> = OnceLock::new();
    let all = ONCE.get_or_init(|| {
        let all: Result<Vec<Planned>, Any> = DEMO.iter().map(|(text, jar)| planned(text, jar)).collect();
        all.map_err(|e| e.to_string())
    });
    all.as_deref().map_err(|e| e.clone().into())
}

fn pots() -> Result<Vec<&'static PlannedPot>, Any> {
    Ok(demo()?.iter().flat_map(|planned| &planned.pots).collect())
}

fn pot_of(formula: &str) -> Result<&'static PlannedPot, Any> {
    pots()?
        .into_iter()
        .find(|pot| pot.formula().eq_ignore_ascii_case(formula))
        .ok_or_else(|| format!("no pot of {formula}").into())
}

const NOTHING: PotChange = PotChange {
    of_batch: None,
    jars: None,
    burner_share: None,
    start_c: None,
    stirs_per_min: None,
};

#[test]
fn show() -> Result<(), Any> {
    for pot in pots()? {
        for change in [NOTHING, PotChange { of_batch: Some(0.5), ..NOTHING }, PotChange { burner_share: Some(0.6), ..NOTHING }, PotChange{stirs_per_min:Some(20.0),..NOTHING}, PotChange{stirs_per_min:Some(0.0),..NOTHING}] {
            let at = std::time::Instant::now();
            let w = pot.watch(&change);
            let took = at.elapsed();
            match w {
                Err(e) => println!("{} {change:?}: {e}", pot.formula()),
                Ok(w) => {
                    println!("== {} in {} {change:?} took {took:?}\n {:?}\n {:.2} [{:.2} {:.2}] min; {:.0} g; {:.2} °C; never {}/{}\n {:?}\n {:?}\n {:?}\n {:?}\n {:?}\n {:?} {:?}", pot.formula(), pot.pot(), w.with, w.minutes.value, w.minutes.low, w.minutes.high, w.evaporated.value, w.end.value, w.never, w.draws, w.wall, w.no_wall, w.egg, w.levels, w.boil, w.largest, w.splitting);
                    if change == NOTHING {
                        for p in w.curve.iter().step_by(10) { println!("   {p:?}"); }
                        println!("{:#?} {:#?}", w.notes, w.cautions);
                    }
                }
            }
        }
    }
    Ok(())
}
