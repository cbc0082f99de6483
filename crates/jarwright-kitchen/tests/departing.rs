//! Laws of a planned jar asked again with something changed.

mod fixture;

use std::sync::OnceLock;

use fixture::{Any, DILL, LIME_CURD, kitchen, order, stores, wanted};
use jarwright_kitchen::departing::{Departed, DepartedSpot, Kept, Planned};
use jarwright_kitchen::plan::ColdSpot;
use jarwright_kitchen::{Departure, Much, PlanError, PlannedJar, plan_with_jars};

const RUNS: usize = 512;

fn planned(text: &str, jar: &str) -> Result<Planned, Any> {
    let stores = stores()?;
    let order = order(vec![wanted(text, Much::Jars(20), jar, &stores)?]);
    Ok(plan_with_jars(&order, &kitchen()?, &stores)?)
}

/// The demo's curd, planned once.
fn curd() -> Result<&'static Planned, Any> {
    static ONCE: OnceLock<Result<Planned, String>> = OnceLock::new();
    let planned = ONCE.get_or_init(|| planned(LIME_CURD, "half-pint").map_err(|e| e.to_string()));
    planned.as_ref().map_err(|e| e.clone().into())
}

fn curd_jar() -> Result<&'static PlannedJar, Any> {
    curd()?.jars.first().ok_or_else(|| "no jar".into())
}

fn cold_spot() -> Result<&'static ColdSpot, Any> {
    let process = curd()?.plan.process.first();
    process
        .and_then(|p| p.cold_spot.as_ref())
        .ok_or_else(|| "no cold spot".into())
}

fn curd_with(departure: &Departure) -> Result<Departed, Any> {
    Ok(curd_jar()?.depart(departure, RUNS)?)
}

fn spot(departed: &Departed) -> Result<&DepartedSpot, Any> {
    departed.spot.as_ref().ok_or_else(|| "no cold spot".into())
}

fn heating(departure: &Departure) -> Result<[f64; 4], Any> {
    let departed = curd_with(departure)?;
    let dose = &spot(&departed)?.heating;
    Ok([dose.minutes.value, dose.p5, dose.p50, dose.p95])
}

fn fill(c: f64) -> Departure {
    Departure {
        fill_c: Some(c),
        ..Departure::default()
    }
}

fn hold(min: f64) -> Departure {
    Departure {
        hold_min: Some(min),
        ..Departure::default()
    }
}

/// The dose and its whole band rise from one departure to the next.
fn rises(departures: impl IntoIterator<Item = Departure>) -> Result<(), Any> {
    let mut before = [0.0; 4];
    for departure in departures {
        let now = heating(&departure)?;
        for (now, before) in now.iter().zip(before) {
            assert!(*now >= before, "{departure:?}: {now} after {before}");
        }
        before = now;
    }
    Ok(())
}

#[test]
fn a_hotter_fill_never_lowers_the_dose() -> Result<(), Any> {
    rises([20.0, 50.0, 65.0, 71.0, 77.0, 83.0, 95.0, 105.0].map(fill))
}

#[test]
fn a_shorter_time_at_the_boil_lowers_the_dose() -> Result<(), Any> {
    rises([0.0, 5.0, 10.0, 14.0, 15.0, 20.0, 40.0, 120.0].map(hold))
}

#[test]
fn a_longer_come_up_and_a_lower_kitchen_raise_it() -> Result<(), Any> {
    rises([0.0, 5.0, 15.0, 27.0, 40.0].map(|min| Departure {
        come_up_min: Some(min),
        ..Departure::default()
    }))?;
    rises([5000.0, 3000.0, 2000.0, 1000.0, 0.0].map(|m| Departure {
        altitude_m: Some(m),
        come_up_min: Some(27.0),
        ..Departure::default()
    }))
}

#[test]
fn a_hotter_bath_comes_up_sooner_and_gives_less() -> Result<(), Any> {
    let starts = [98.0, 94.0, 90.0, 86.0, 82.2].map(|c| Departure {
        bath_start_c: Some(c),
        ..Departure::default()
    });
    let mut before = 0.0;
    for start in &starts {
        let up = curd_with(start)?.come_up.value;
        assert!(up > before, "{up} {before}");
        before = up;
    }
    rises(starts)
}

#[test]
fn a_wider_jar_gets_less() -> Result<(), Any> {
    rises([50.0, 45.0, 40.0, 36.0, 33.0, 25.0].map(|mm| Departure {
        inner_radius_mm: Some(mm),
        come_up_min: Some(27.0),
        ..Departure::default()
    }))
}

#[test]
fn nothing_changed_is_the_plans_own_jar() -> Result<(), Any> {
    let departed = curd_jar()?.depart(&Departure::default(), 2000)?;
    let (spot, plan) = (spot(&departed)?, cold_spot()?);
    for (here, there) in [
        (&spot.at_boil, &plan.at_boil),
        (&spot.at_end, &plan.at_end),
        (&spot.peak, &plan.peak),
        (&spot.heating.minutes, &plan.heating),
        (&spot.cooling.minutes, &plan.cooling),
    ] {
        // The central run is the plan's own.
        assert!(
            (here.value - there.value).abs() <= 1e-9 * there.value,
            "{here:?} {there:?}"
        );
        // The plan's band is of 128 runs: its ends scatter by a seventh of its width
        // (two standard errors of a 5th percentile of that many).
        let width = there.high - there.low;
        assert!((here.low - there.low).abs() < width / 7.0, "{here:?} {there:?}");
        assert!((here.high - there.high).abs() < width / 7.0, "{here:?} {there:?}");
    }
    for (minutes, c) in &plan.curve {
        let at = spot.curve.partition_point(|point| point.minutes < *minutes);
        if let Some(point) = spot.curve.get(at)
            && (point.minutes - minutes).abs() < 1e-9
        {
            assert!((point.c - c).abs() < 1e-6);
        }
    }
    assert!(departed.conditions.iter().all(|c| c.state == Kept::Kept && !c.may_hurt));
    let shelf = curd()?.plan.verdicts.iter().find(|v| v.route == "shelf");
    assert_eq!(shelf.map(|v| v.state), Some(departed.ruling.shelf));
    Ok(())
}

#[test]
fn the_first_draws_are_the_plans_own_runs() -> Result<(), Any> {
    // Two solvers on the same 128 rows: what they say of the band differs by what they differ.
    let departed = curd_jar()?.depart(&Departure::default(), 128)?;
    let (spot, plan) = (spot(&departed)?, cold_spot()?);
    for (here, there) in [(&spot.heating, &plan.heating), (&spot.cooling, &plan.cooling)] {
        assert!((here.minutes.low / there.low - 1.0).abs() < 0.01, "{here:?} {there:?}");
        assert!(
            (here.minutes.high / there.high - 1.0).abs() < 0.01,
            "{here:?} {there:?}"
        );
    }
    for (here, there) in [
        (&spot.at_boil, &plan.at_boil),
        (&spot.at_end, &plan.at_end),
        (&spot.peak, &plan.peak),
    ] {
        let (low, high) = (here.low - there.low, here.high - there.high);
        assert!(low.abs() < 0.05 && high.abs() < 0.05, "{here:?} {there:?}");
    }
    Ok(())
}

#[test]
fn the_band_covers_the_central_run_and_the_curve_stays_between_its_media() -> Result<(), Any> {
    for departure in [Departure::default(), fill(60.0), fill(95.0), hold(60.0)] {
        let departed = curd_with(&departure)?;
        let spot = spot(&departed)?;
        // In one draw in twelve the demo's steam is too poor for its pot, in the plan as here.
        assert!(spot.refused * 12 < RUNS, "{}", spot.refused);
        assert!(spot.curve.windows(2).all(|pair| pair[1].minutes > pair[0].minutes));
        for point in &spot.curve {
            assert!(point.low_c <= point.c && point.c <= point.high_c, "{point:?}");
            assert!(point.c > 15.0 && point.c < 101.0, "{point:?}");
        }
        assert!(spot.curve.iter().any(|point| point.high_c - point.low_c > 1.0));
        for dose in [&spot.heating, &spot.cooling, &spot.whole] {
            assert!(dose.p5 < dose.p50 && dose.p50 < dose.p95, "{dose:?}");
            assert!(dose.minutes.low <= dose.minutes.value && dose.minutes.value <= dose.minutes.high);
        }
        assert!(departed.medium.windows(2).all(|pair| pair[1].0 >= pair[0].0));
    }
    Ok(())
}

#[test]
fn the_same_question_has_the_same_answer() -> Result<(), Any> {
    let asked = Departure {
        fill_c: Some(70.0),
        hold_min: Some(12.0),
        jar: Some("pint".into()),
        ..Departure::default()
    };
    assert_eq!(curd_with(&asked)?, curd_with(&asked)?);
    let anew = planned(LIME_CURD, "half-pint")?;
    let jar = anew.jars.first().ok_or("no jar")?;
    assert_eq!(jar.depart(&asked, RUNS)?, curd_with(&asked)?);
    // Four times the runs move the band by no more than a percentile of so many runs scatters.
    let few = curd_with(&asked)?;
    let many = curd_jar()?.depart(&asked, 4 * RUNS)?;
    let (few, many) = (&spot(&few)?.heating, &spot(&many)?.heating);
    assert!((few.p50 / many.p50 - 1.0).abs() < 0.05, "{few:?} {many:?}");
    Ok(())
}

#[test]
fn stretches_add_up_and_heating_and_cooling_stand_apart() -> Result<(), Any> {
    let departed = curd_with(&Departure::default())?;
    let spot = spot(&departed)?;
    let whole = spot.whole.minutes.value;
    let sum: f64 = spot.stretches.iter().map(|part| part.dose.minutes.value).sum();
    assert!((sum / whole - 1.0).abs() < 1e-9);
    assert!((spot.stretches.iter().map(|part| part.share).sum::<f64>() - 1.0).abs() < 1e-9);
    let apart = spot.heating.minutes.value + spot.cooling.minutes.value;
    assert!((apart / whole - 1.0).abs() < 1e-9);
    let names: Vec<&str> = spot.stretches.iter().map(|part| part.stretch).collect();
    assert_eq!(
        names,
        ["wait between pot and bath", "come-up", "at the boil", "cooling"]
    );
    // Published studies of such jars found the middle slowest while they heat.
    let volume = &spot.volume_heating;
    assert!(volume.lowest.value <= volume.median.value && volume.lowest.value <= volume.mean.value);
    assert!(spot.heating.minutes.value < volume.median.value, "{volume:?}");
    assert!(spot.volume_whole.lowest.value >= volume.lowest.value);
    assert!(spot.pot.value > 0.0 && spot.pot.value.is_finite());
    Ok(())
}

#[test]
fn what_departs_on_the_unsafe_side_stays_closed_however_great_the_dose() -> Result<(), Any> {
    let long = hold(400.0);
    for departure in [
        Departure {
            fill_c: Some(60.0),
            ..long.clone()
        },
        Departure {
            bath_start_c: Some(99.0),
            ..long.clone()
        },
        Departure {
            come_up_min: Some(10.0),
            ..long.clone()
        },
        Departure {
            jar: Some("pint".into()),
            ..long.clone()
        },
        Departure {
            inner_radius_mm: Some(20.0),
            ..long.clone()
        },
    ] {
        let departed = curd_with(&departure)?;
        let dose = &spot(&departed)?.heating;
        assert!(dose.of_target > 100.0 && dose.chance > 0.999, "{departure:?}: {dose:?}");
        assert_eq!(departed.ruling.shelf, "closed", "{departure:?}");
        assert!(departed.ruling.why.iter().any(|why| why.contains("opens nothing")));
        let text = serde_json::to_string(&departed)?;
        assert!(!text.contains("sterile") && !text.contains("safe"));
    }
    Ok(())
}

#[test]
fn no_departure_is_more_open_than_the_plan_and_each_that_may_hurt_closes() -> Result<(), Any> {
    let rank = |state: &str| ["closed", "only-with", "open"].iter().position(|s| *s == state);
    let shelf = curd()?
        .plan
        .verdicts
        .iter()
        .find(|v| v.route == "shelf")
        .ok_or("no shelf")?;
    for c in [50.0, 76.0, 77.0, 90.0] {
        for start in [70.0, 82.2, 95.0] {
            for min in [10.0, 15.0, 60.0] {
                for m in [0.0, 900.0, 2500.0] {
                    let departure = Departure {
                        fill_c: Some(c),
                        bath_start_c: Some(start),
                        hold_min: Some(min),
                        altitude_m: Some(m),
                        ..Departure::default()
                    };
                    let departed = curd_jar()?.depart(&departure, 64)?;
                    assert!(rank(departed.ruling.shelf) <= rank(shelf.state), "{departure:?}");
                    if departed.conditions.iter().any(|condition| condition.may_hurt) {
                        assert_eq!(departed.ruling.shelf, "closed", "{departure:?}");
                    }
                }
            }
        }
    }
    Ok(())
}

#[test]
fn each_condition_says_both_numbers() -> Result<(), Any> {
    let state = |departure: &Departure, what: &str| -> Result<(Kept, bool, String, String), Any> {
        let departed = curd_with(departure)?;
        let found = departed
            .conditions
            .into_iter()
            .find(|c| c.what == what)
            .ok_or("missing")?;
        Ok((found.state, found.may_hurt, found.asked, found.here))
    };
    // The published curd process: 82 °C (180 °F) at most, 25 to 30 min, 15 min up to 1,000 ft, 25 min
    // above 6,000 ft (`nchfp`, printed with the schedule on file).
    let hot = Departure {
        bath_start_c: Some(95.0),
        ..Departure::default()
    };
    let (kept, hurts, asked, here) = state(&hot, "bath start")?;
    assert!(
        kept == Kept::DepartedFrom && hurts && asked.contains("180") && here.contains("95"),
        "{asked} {here}"
    );
    let (kept, hurts, asked, here) = state(&hot, "come-up")?;
    assert!(
        kept == Kept::DepartedFrom && hurts && asked.contains("25 min"),
        "{asked} {here}"
    );
    let cool = Departure {
        bath_start_c: Some(60.0),
        ..Departure::default()
    };
    assert_eq!(state(&cool, "bath start")?.0, Kept::Kept);
    let (kept, hurts, asked, here) = state(&hold(14.0), "process time")?;
    assert!(
        kept == Kept::DepartedFrom && hurts && asked.contains("15 min") && here == "14 min",
        "{asked} {here}"
    );
    assert_eq!(state(&hold(16.0), "process time")?.0, Kept::Kept);
    let high = Departure {
        altitude_m: Some(2000.0),
        ..Departure::default()
    };
    let (kept, hurts, asked, here) = state(&high, "process time")?;
    assert!(
        kept == Kept::DepartedFrom && hurts && asked.contains("25 min") && here == "15 min",
        "{asked} {here}"
    );
    assert_eq!(state(&high, "altitude")?.0, Kept::Kept);
    let slow = Departure {
        come_up_min: Some(45.0),
        ..Departure::default()
    };
    let (kept, hurts, ..) = state(&slow, "come-up")?;
    assert!(kept == Kept::DepartedFrom && !hurts);
    let (kept, hurts, ..) = state(
        &Departure {
            jar: Some("pint".into()),
            ..Departure::default()
        },
        "jar",
    )?;
    assert!(kept == Kept::DepartedFrom && hurts);
    Ok(())
}

#[test]
fn a_brine_convects_so_its_conditions_are_answered_and_no_dose_is() -> Result<(), Any> {
    let planned = planned(DILL, "pint")?;
    let jar = planned.jars.first().ok_or("no jar")?;
    let departed = jar.depart(&Departure::default(), RUNS)?;
    assert!(departed.spot.is_none() && departed.not_computed.as_ref().is_some_and(|w| w.contains("convects")));
    assert!(
        departed.conditions.iter().all(|c| !c.may_hurt),
        "{:?}",
        departed.conditions
    );
    let short = jar.depart(&hold(1.0), RUNS)?;
    let time = short
        .conditions
        .iter()
        .find(|c| c.what == "process time")
        .ok_or("no time")?;
    assert!(time.may_hurt && short.ruling.shelf == "closed");
    assert!(matches!(
        jar.section(&Departure::default(), &[0.0]),
        Err(PlanError::Asked { .. })
    ));
    Ok(())
}

#[test]
fn numbers_out_of_bounds_are_refused_with_what_is_allowed() -> Result<(), Any> {
    let none = Departure::default();
    let jar = curd_jar()?;
    for bad in [
        fill(-1.0),
        fill(f64::NAN),
        fill(111.0),
        hold(601.0),
        hold(f64::INFINITY),
        Departure {
            bath_start_c: Some(120.0),
            ..none.clone()
        },
        Departure {
            come_up_min: Some(-0.1),
            ..none.clone()
        },
        Departure {
            altitude_m: Some(9000.0),
            ..none.clone()
        },
        Departure {
            inner_radius_mm: Some(2.0),
            ..none.clone()
        },
        Departure {
            jar: Some("thimble".into()),
            ..none.clone()
        },
        Departure {
            jar: Some("pint".into()),
            inner_radius_mm: Some(40.0),
            ..none.clone()
        },
    ] {
        let answer = jar.depart(&bad, RUNS);
        assert!(
            matches!(&answer, Err(PlanError::Asked { hint, .. }) if !hint.is_empty()),
            "{bad:?}"
        );
    }
    assert!(jar.depart(&none, 10).is_err() && jar.depart(&none, 1_000_000).is_err());
    Ok(())
}

#[test]
fn whatever_is_within_bounds_is_answered_or_refused_in_words() -> Result<(), Any> {
    let jar = curd_jar()?;
    // Draws in which the plan's own pot never gets there; no departure adds to them.
    let refused = spot(&jar.depart(&Departure::default(), 64)?)?.refused;
    for c in [0.0, 110.0] {
        for start in [0.0, 110.0] {
            for min in [0.0, 600.0] {
                for mm in [15.0, 80.0] {
                    for up in [None, Some(0.0), Some(240.0)] {
                        let departure = Departure {
                            fill_c: Some(c),
                            bath_start_c: Some(start),
                            hold_min: Some(min),
                            inner_radius_mm: Some(mm),
                            come_up_min: up,
                            altitude_m: Some(6000.0),
                            jar: None,
                        };
                        match jar.depart(&departure, 64) {
                            Ok(departed) => {
                                let spot = spot(&departed)?;
                                assert!(
                                    spot.whole.minutes.value.is_finite() && spot.refused == refused,
                                    "{departure:?}"
                                );
                                assert_eq!(departed.ruling.shelf, "closed");
                            }
                            Err(error) => assert!(!error.to_string().is_empty()),
                        }
                    }
                }
            }
        }
    }
    Ok(())
}

#[test]
fn a_section_shows_the_field_whose_middle_is_the_curve() -> Result<(), Any> {
    let departure = fill(70.0);
    let departed = curd_with(&departure)?;
    let curve = &spot(&departed)?.curve;
    let times: Vec<f64> = curve.iter().map(|point| point.minutes).collect();
    let section = curd_jar()?.section(&departure, &times)?;
    assert_eq!(section.frames.len(), times.len());
    assert!(section.radii_mm.windows(2).all(|r| r[1] > r[0]) && section.radii_mm.len() > 8);
    for (frame, point) in section.frames.iter().zip(curve) {
        assert!((frame.minutes - point.minutes).abs() < 1e-12);
        assert_eq!(frame.rows_c.len(), section.heights_mm.len());
        assert!(frame.rows_c.iter().all(|row| row.len() == section.radii_mm.len()));
        // Cells around the middle, on a finer grid than the curve's.
        let n = frame.rows_c.len();
        let middle = 0.5 * (frame.rows_c[n / 2][0] + frame.rows_c[(n - 1) / 2][0]);
        assert!((middle - point.c).abs() < 0.3, "{middle} {point:?}");
    }
    let first = section.frames.first().ok_or("no frame")?;
    assert!(first.rows_c.iter().flatten().all(|c| (c - 70.0).abs() < 1e-9));
    // When the water boils the outside leads.
    let wait = departed.come_up.value;
    let boiling = section
        .frames
        .iter()
        .find(|frame| frame.minutes > wait)
        .ok_or("no frame")?;
    assert!(boiling.rows_c.iter().all(|row| row.last() > row.first()));
    assert!(curd_jar()?.section(&departure, &[5.0, 1.0]).is_err());
    assert!(curd_jar()?.section(&departure, &[]).is_err());
    Ok(())
}

#[test]
fn the_dose_so_far_rises_to_the_dose_and_the_way_is_whole() -> Result<(), Any> {
    let departed = curd_with(&Departure::default())?;
    let spot = spot(&departed)?;
    let (first, last) = (spot.so_far.first().ok_or("none")?, spot.so_far.last().ok_or("none")?);
    assert!(first.heating_min <= 0.0 && first.cooling_min <= 0.0, "{first:?}");
    // The dose and what leads up to it are the same integral of the same readings.
    let close = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-9;
    assert!(
        close(last.heating_min, spot.heating.minutes.value),
        "{last:?} {:?}",
        spot.heating
    );
    assert!(
        close(last.cooling_min, spot.cooling.minutes.value),
        "{last:?} {:?}",
        spot.cooling
    );
    for pair in spot.so_far.windows(2) {
        assert!(pair[1].heating_min >= pair[0].heating_min && pair[1].cooling_min >= pair[0].cooling_min);
    }
    let way = &departed.way;
    assert!(
        way.windows(2)
            .all(|pair| (pair[1].from_min - pair[0].until_min).abs() < 1e-9),
        "{way:?}"
    );
    let in_water: Vec<&str> = way
        .iter()
        .filter(|part| part.in_water)
        .map(|part| part.stretch)
        .collect();
    assert_eq!(in_water, ["come-up", "at the boil"]);
    Ok(())
}
