//! Laws of a plan: what must hold whatever is ordered, by direction and scale.

mod fixture;

use fixture::{APRICOT_JAM, Any, DEMO, DILL, KITCHEN, LIME_CURD, but, demo, near, run};
use jarwright_kitchen::files::KitchenFile;
use jarwright_kitchen::plan::Process;
use jarwright_kitchen::{Order, Plan};

#[test]
fn twice_the_order_needs_no_less_of_anything() -> Result<(), Any> {
    for (text, jar) in DEMO {
        let (one, two) = (fixture::plan(text, 15, jar)?, fixture::plan(text, 30, jar)?);
        let all = |p: &Plan| p.run.orders[0].started.value;
        assert!(all(&two) >= all(&one));
        for (a, b) in one.buy.iter().zip(&two.buy) {
            assert_eq!(a.ingredient, b.ingredient);
            assert!(
                b.needed.value >= a.needed.value && b.as_purchased.value >= a.as_purchased.value,
                "{}",
                a.ingredient
            );
        }
        assert!(two.clock.working.value >= one.clock.working.value);
    }
    Ok(())
}

#[test]
fn spares_cover_ph_jars_kept_jars_and_failed_seals() -> Result<(), Any> {
    for jars in [1, 2, 7, 24, 61, 120] {
        for (text, jar) in [(LIME_CURD, "half-pint"), (DILL, "pint")] {
            let plan = fixture::plan(text, jars, jar)?;
            let (line, batches) = (&plan.run.orders[0], plan.weigh[0].batches as f64);
            assert!(near(line.ordered.value, jars as f64, 0.0));
            assert!(
                line.started.value >= line.ordered.value + 2.0 * batches,
                "{jars}: {}",
                line.started.value
            );
            assert!(line.chance.value >= 95.0, "{jars}: {}", line.chance.value);
            assert!(near(line.started.value, batches * plan.batches[0].jars.value, 0.0));
            let good = (line.started.value - 2.0 * batches) * (1.0 - line.failure_rate.value);
            assert!(good >= line.ordered.value, "{jars}: the mean alone must be enough");
            assert!(line.started.value - 2.0 * batches >= line.started_if_independent.value);
        }
    }
    Ok(())
}

#[test]
fn no_failed_seals_need_no_spares_but_the_two_of_a_batch() -> Result<(), Any> {
    let kitchen = fixture::kitchen_of(&format!("{KITCHEN}\n[losses]\nseal_failure = \"0 %\"\n"))?;
    let plan = run(&[(LIME_CURD, "half-pint", 10)], &kitchen, |o| o)?;
    assert!(
        near(plan.run.orders[0].started.value, 12.0, 0.0),
        "{}",
        plan.run.orders[0].started.value
    );
    Ok(())
}

#[test]
fn a_batch_fits_its_bath_and_its_pot() -> Result<(), Any> {
    for jars in [3, 40, 90] {
        for plan in demo(jars)? {
            for batch in &plan.batches {
                assert!(
                    batch.pot_full.value <= 100.0,
                    "{}: {}",
                    batch.formula,
                    batch.pot_full.value
                );
                if batch.stop.contains("Brix") {
                    // A boiling jam fills a third of its pan at most (practice boiling_pot_fill_share).
                    assert!(batch.pot_full.value <= 100.0 / 3.0 + 0.5, "{}", batch.pot_full.value);
                }
            }
            for load in &plan.loads {
                assert!(load.jars.value <= load.places.value);
            }
        }
    }
    Ok(())
}

/// The demo kitchen with room for a very large batch, the same burners.
fn huge() -> Result<KitchenFile, Any> {
    let mut text = KITCHEN.to_owned();
    for (from, to) in [
        ("holds = \"7.5 L\"", "holds = \"90 L\""),
        (
            "jars = { half-pint = 12, pint = 8 }",
            "jars = { half-pint = 120, pint = 80 }",
        ),
        ("people = 2", "people = 2\ntimes = { fill_jars_per_min = 30 }"),
    ] {
        text = but(&text, from, to)?;
    }
    fixture::kitchen_of(&text)
}

#[test]
fn ten_times_the_batch_takes_longer_and_needs_ten_times_the_sugar() -> Result<(), Any> {
    let kitchen = huge()?;
    let (one, ten) = (
        run(&[(LIME_CURD, "half-pint", 6)], &kitchen, |o| o)?,
        run(&[(LIME_CURD, "half-pint", 88)], &kitchen, |o| o)?,
    );
    let (small, large) = (&one.batches[0], &ten.batches[0]);
    let times = large.jars.value / small.jars.value;
    assert!(times > 5.0, "{} {}", small.jars.value, large.jars.value);
    assert!(
        large.cook.value > 2.0 * small.cook.value,
        "{} {}",
        large.cook.value,
        small.cook.value
    );
    assert!(large.fill.value > small.fill.value);
    // Losses that do not grow with the batch make the large one cheaper by the jar, never dearer.
    let sugar = |p: &Plan| p.weigh[0].lines[0].mass.value;
    assert!(sugar(&ten) <= times * sugar(&one) && sugar(&ten) >= 0.85 * times * sugar(&one));
    assert!(ten.loads[0].come_up_full.value > one.loads[0].come_up_full.value);
    Ok(())
}

#[test]
fn a_run_in_one_potful_is_said_to_take_longer() -> Result<(), Any> {
    let plan = fixture::plan(LIME_CURD, 60, "half-pint")?;
    assert!(
        plan.weigh[0].batches > 1 && plan.batches[0].all_at_once.contains("60")
            || plan.batches[0]
                .all_at_once
                .contains(&format!("{:.0}", plan.run.orders[0].started.value)),
        "{}",
        plan.batches[0].all_at_once
    );
    Ok(())
}

fn at_altitude(text: &str, jar: &str, m: f64) -> Result<Plan, Any> {
    run(&[(text, jar, 10)], &fixture::kitchen()?, |o| Order {
        altitude_m: Some(m),
        ..o
    })
}

fn minutes(process: &Process) -> f64 {
    process.schedule.as_ref().map_or(f64::NAN, |s| s.minutes.value)
}

#[test]
fn the_higher_the_kitchen_the_cooler_the_boil_and_never_fewer_minutes() -> Result<(), Any> {
    for (text, jar) in [(LIME_CURD, "half-pint"), (APRICOT_JAM, "half-pint"), (DILL, "pint")] {
        let plans: Vec<Plan> = [0.0, 120.0, 304.0, 306.0, 1000.0, 1828.0, 1830.0]
            .iter()
            .map(|m| at_altitude(text, jar, *m))
            .collect::<Result<_, _>>()?;
        for pair in plans.windows(2) {
            let (low, high) = (&pair[0], &pair[1]);
            assert!(high.run.water_boils.value < low.run.water_boils.value);
            assert!(
                minutes(&high.process[0]) >= minutes(&low.process[0]),
                "{}",
                low.process[0].formula
            );
            if let (Some(a), Some(b)) = (&low.process[0].cold_spot, &high.process[0].cold_spot) {
                assert!(
                    b.at_boil.value <= a.at_boil.value + 0.05,
                    "{} {}",
                    b.at_boil.value,
                    a.at_boil.value
                );
                // The same printed minutes at a cooler boil never bring a hotter cold spot.
                if near(minutes(&high.process[0]), minutes(&low.process[0]), 0.0) {
                    assert!(b.at_end.value <= a.at_end.value && b.heating.value <= a.heating.value);
                }
            }
            if let (Some(a), Some(b)) = (&low.batches[0].stop_at, &high.batches[0].stop_at) {
                assert!(b.value <= a.value);
            }
        }
    }
    Ok(())
}

#[test]
fn water_boils_where_the_handbook_says() -> Result<(), Any> {
    // 100 °C at sea level by the scale's old definition; 98.2 and 93.4 °C at 500 and 2000 m of the
    // standard atmosphere: steam tables (iapws_if97) at 954.6 and 794.9 hPa (icao_7488).
    for (m, c) in [(0.0, 99.97), (500.0, 98.32), (2000.0, 93.35)] {
        let plan = at_altitude(DILL, "pint", m)?;
        assert!(
            near(plan.run.water_boils.value, c, 0.05),
            "{m}: {}",
            plan.run.water_boils.value
        );
    }
    Ok(())
}

#[test]
fn a_bath_hotter_than_published_comes_up_sooner_and_heats_less() -> Result<(), Any> {
    let kitchen = fixture::kitchen()?;
    let lines = [(LIME_CURD, "half-pint", 10)];
    let plans: Vec<Plan> = [82.0, 84.0, 88.0, 95.0, 99.0]
        .into_iter()
        .map(|c| {
            run(&lines, &kitchen, |o| Order {
                bath_start_c: Some(c),
                ..o
            })
        })
        .collect::<Result<_, _>>()?;
    let dose = |p: &Plan| p.process[0].cold_spot.as_ref().map_or(f64::NAN, |c| c.heating.value);
    for pair in plans.windows(2) {
        let (cool, hot) = (&pair[0], &pair[1]);
        assert!(hot.loads[0].come_up_full.value < cool.loads[0].come_up_full.value);
        assert!(dose(hot) < dose(cool), "{} {}", dose(hot), dose(cool));
        assert!(!hot.process[0].departures.is_empty());
    }
    Ok(())
}

#[test]
fn a_bath_that_heats_less_is_never_said_to_heat_more() -> Result<(), Any> {
    // Hot food in cold water is cooled first: a long come-up is not always more heat.
    let lines = [(LIME_CURD, "half-pint", 10)];
    for c in [20.0, 40.0, 60.0, 70.0] {
        let plan = run(&lines, &fixture::kitchen()?, |o| Order {
            bath_start_c: Some(c),
            ..o
        })?;
        let share = plan.process[0]
            .cold_spot
            .as_ref()
            .and_then(|s| s.heating_of_reference.as_ref())
            .ok_or("no dose")?;
        let said = plan.loads[0].notes.iter().any(|n| n.contains("more heat"));
        assert!(
            !said || share.value >= 1.0,
            "from {c} °C: {:.2} of the published dose, {:?}",
            share.value,
            plan.loads[0].notes
        );
    }
    Ok(())
}

#[test]
fn more_water_to_swap_the_hotter_the_tap() -> Result<(), Any> {
    let warm = fixture::kitchen_of(&but(KITCHEN, "water_supply = \"15 C\"", "water_supply = \"25 C\"")?)?;
    let lines = [(LIME_CURD, "half-pint", 24)];
    let (cold, warm) = (run(&lines, &fixture::kitchen()?, |o| o)?, run(&lines, &warm, |o| o)?);
    assert!(warm.loads[0].swap.value > cold.loads[0].swap.value);
    // Mixing rule: 18 L at the boil to 82.22 °C with water of 15 °C takes V (Tb - Ts)/(Tb - Tc).
    let boils = cold.run.water_boils.value;
    let litres = 18.0 * (boils - 82.222) / (boils - 15.0);
    assert!(
        near(cold.loads[0].swap.value, litres, 0.01),
        "{} {litres}",
        cold.loads[0].swap.value
    );
    Ok(())
}
