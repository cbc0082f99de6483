//! The clock of a run: forward, inside opening hours, one load in the bath at a time.

mod fixture;

use std::collections::BTreeMap;

use fixture::{Any, DILL, LIME_CURD, everything, near, run};
use jarwright_kitchen::Order;
use jarwright_kitchen::plan::ClockStep;
use jiff::civil::{DateTime, date};

fn time(step: &ClockStep) -> Result<DateTime, Any> {
    Ok(DateTime::strptime("%Y-%m-%d %H:%M", &step.at)?)
}

#[test]
fn the_clock_goes_forward_inside_opening_hours() -> Result<(), Any> {
    let plan = run(
        &[(LIME_CURD, "half-pint", 150), (DILL, "pint", 30)],
        &fixture::kitchen()?,
        |o| o,
    )?;
    let steps = &plan.clock.steps;
    let mut last: Option<DateTime> = None;
    for (index, step) in steps.iter().enumerate() {
        let at = time(step)?;
        assert!(
            last.is_none_or(|before| before <= at),
            "{} comes before {last:?}",
            step.at
        );
        last = Some(at);
        if index + 1 < steps.len() {
            let minute = f64::from(at.hour()) * 60.0 + f64::from(at.minute());
            // The demo kitchen opens 06:30 to 19:00, Monday to Saturday.
            assert!((390.0..=1140.0).contains(&minute), "{}: {}", step.at, step.what);
            assert!(at.date().weekday() != jiff::civil::Weekday::Sunday, "{}", step.at);
        }
    }
    assert!(
        steps
            .first()
            .map(time)
            .transpose()?
            .is_some_and(|t| t >= fixture::now())
    );
    Ok(())
}

#[test]
fn every_batch_goes_through_pot_and_bath_once_and_never_two_at_a_time() -> Result<(), Any> {
    let plan = run(
        &[(LIME_CURD, "half-pint", 40), (DILL, "pint", 12)],
        &fixture::kitchen()?,
        |o| o,
    )?;
    let batches: usize = plan.weigh.iter().map(|w| w.batches).sum();
    let mut of_batch: BTreeMap<&str, Vec<&ClockStep>> = BTreeMap::new();
    for step in plan.clock.steps.iter().filter(|s| !s.batch.is_empty()) {
        of_batch.entry(&step.batch).or_default().push(step);
    }
    assert_eq!(of_batch.len(), batches);
    let mut in_bath = Vec::new();
    for (batch, steps) in &of_batch {
        // Pot on, fill, jars in, boil, jars out.
        assert_eq!(steps.len(), 5, "{batch}");
        for pair in steps.windows(2) {
            let gap = (time(pair[1])?.duration_since(time(pair[0])?)).as_secs_f64() / 60.0;
            // Clock times are printed to the minute.
            assert!(
                near(gap, pair[0].takes.value, 1.0),
                "{batch}: {} takes {}, {gap} until the next",
                pair[0].what,
                pair[0].takes.value
            );
        }
        in_bath.push((time(steps[2])?, time(steps[4])?));
    }
    in_bath.sort_unstable();
    for pair in in_bath.windows(2) {
        assert!(pair[0].1 <= pair[1].0, "{} overlaps {}", pair[0].1, pair[1].0);
    }
    Ok(())
}

#[test]
fn the_clock_and_the_loads_tell_the_same_minutes() -> Result<(), Any> {
    let plan = run(&[(LIME_CURD, "half-pint", 40)], &fixture::kitchen()?, |o| o)?;
    let load = &plan.loads[0];
    let takes = |start: &str| {
        plan.clock
            .steps
            .iter()
            .find(|s| s.what.starts_with(start))
            .map(|s| s.takes.value)
    };
    let hold = load.hold.as_ref().map(|f| f.value);
    assert_eq!(takes("full boil"), hold);
    assert!(takes("pot on").is_some_and(|m| near(m, plan.batches[0].cook.value, 1e-6)));
    let bath = plan
        .clock
        .steps
        .iter()
        .find(|s| s.what.contains("into the bath"))
        .map(|s| s.takes.value);
    assert!(bath.is_some_and(|m| near(m, load.come_up.value, 1e-6)));
    assert!(load.cycle.value >= load.come_up.value + hold.unwrap_or(0.0));
    let (first, last) = load.numbers;
    assert_eq!(last - first + 1, plan.weigh[0].batches);
    Ok(())
}

#[test]
fn a_deadline_is_met_or_the_plan_says_no() -> Result<(), Any> {
    let kitchen = fixture::kitchen()?;
    let by = |d: i8, h: i8| Some(date(2026, 12, d).at(h, 0, 0, 0));
    let lines = [(LIME_CURD, "half-pint", 48)];
    let easy = run(&lines, &kitchen, |o| Order { by: by(5, 9), ..o })?;
    assert!(easy.run.cannot.is_none() && easy.clock.met == Some(true));
    let ready = easy.clock.steps.last().map(time).transpose()?.ok_or("no step")?;
    assert!(Some(ready) <= by(5, 9));
    let late = run(&lines, &kitchen, |o| Order {
        by: Some(date(2026, 11, 25).at(20, 0, 0, 0)),
        ..o
    })?;
    assert!(late.clock.met == Some(false) && late.run.cannot.is_some_and(|c| !c.would.is_empty()));
    Ok(())
}

#[test]
fn several_formulas_keep_hand_order_on_one_bath() -> Result<(), Any> {
    let plan = everything()?;
    let names: Vec<&str> = plan.run.orders.iter().map(|o| o.formula.as_str()).collect();
    assert_eq!(
        names,
        ["Lime curd", "Dill pickles", "Passion fruit curd", "Apricot jam"]
    );
    let mut cooks: Vec<&str> = plan
        .clock
        .steps
        .iter()
        .filter(|s| s.what.starts_with("pot on"))
        .filter_map(|s| s.batch.split(" batch ").next())
        .collect();
    cooks.dedup();
    assert_eq!(cooks, names);
    // Alone or together, a formula is the same batch.
    let alone = fixture::plan(LIME_CURD, 20, "half-pint")?;
    assert!(near(alone.weigh[0].total.value, plan.weigh[0].total.value, 1e-6));
    Ok(())
}
