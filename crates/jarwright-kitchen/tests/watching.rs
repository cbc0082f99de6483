//! Laws of a planned pot watched with something changed.

mod fixture;

use std::sync::OnceLock;

use fixture::{APRICOT_JAM, Any, DEMO, but, kitchen, order, stores, wanted};
use jarwright_kitchen::departing::Planned;
use jarwright_kitchen::{Much, PlanError, PlannedPot, PotChange, PotWatched, plan_with_jars};

fn planned(text: &str, jar: &str) -> Result<Planned, Any> {
    let stores = stores()?;
    let order = order(vec![wanted(text, Much::Jars(20), jar, &stores)?]);
    Ok(plan_with_jars(&order, &kitchen()?, &stores)?)
}

const NOTHING: PotChange = PotChange {
    of_batch: None,
    jars: None,
    burner_share: None,
    start_c: None,
    stirs_per_min: None,
};

fn mass(of_batch: f64) -> PotChange {
    PotChange {
        of_batch: Some(of_batch),
        ..NOTHING
    }
}

fn burner(share: f64) -> PotChange {
    PotChange {
        burner_share: Some(share),
        ..NOTHING
    }
}

fn start(c: f64) -> PotChange {
    PotChange {
        start_c: Some(c),
        ..NOTHING
    }
}

fn stirred(rounds: f64) -> PotChange {
    PotChange {
        stirs_per_min: Some(rounds),
        ..NOTHING
    }
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

fn over_steam(watched: &PotWatched) -> bool {
    watched.kind == "bowl-over-steam"
}

fn above_mean_k(watched: &PotWatched) -> Result<f64, Any> {
    Ok(watched.wall.ok_or("no wall")?.most_above_mean_k)
}

/// Something of every demo pot rises from one change to the next.
fn rises(changes: &[PotChange], of: impl Fn(&PotWatched) -> Result<f64, Any>) -> Result<(), Any> {
    for pot in pots()? {
        let mut before = f64::NEG_INFINITY;
        for change in changes {
            let now = of(&pot.watch(change)?)?;
            assert!(now > before, "{}, {change:?}: {now} after {before}", pot.formula());
            before = now;
        }
    }
    Ok(())
}

fn minutes(watched: &PotWatched) -> Result<f64, Any> {
    Ok(watched.minutes.value)
}

#[test]
fn nothing_changed_is_the_plans_own_cook_with_its_own_band() -> Result<(), Any> {
    for planned in demo()? {
        assert_eq!(planned.pots.len(), planned.plan.batches.len());
        for (pot, batch) in planned.pots.iter().zip(&planned.plan.batches) {
            assert_eq!(pot.formula(), batch.formula);
            let watched = pot.watch(&NOTHING)?;
            for (here, there) in [
                (&watched.minutes, &batch.cook),
                (&watched.evaporated, &batch.boiled_off),
            ] {
                for (here, there) in [
                    (here.value, there.value),
                    (here.low, there.low),
                    (here.high, there.high),
                ] {
                    assert!(
                        (here - there).abs() <= 1e-9 * there,
                        "{}: {here} {there}",
                        pot.formula()
                    );
                }
            }
            assert!((watched.with.of_batch - 1.0).abs() < 1e-12);
        }
    }
    Ok(())
}

#[test]
fn a_larger_batch_takes_longer_and_so_does_a_weaker_burner_and_a_colder_start() -> Result<(), Any> {
    rises(&[0.4, 0.7, 1.0, 1.3].map(mass), minutes)?;
    rises(&[1.0, 0.9, 0.8, 0.7].map(burner), minutes)?;
    rises(&[60.0, 40.0, 21.0, 5.0].map(start), minutes)
}

#[test]
fn the_whole_band_of_the_time_moves_with_the_batch() -> Result<(), Any> {
    rises(&[0.7, 1.0, 1.3].map(mass), |watched| Ok(watched.minutes.high))?;
    rises(&[0.7, 1.0, 1.3].map(mass), |watched| Ok(watched.minutes.low))
}

#[test]
fn a_stronger_burner_drives_the_wall_further_above_the_mean() -> Result<(), Any> {
    rises(&[0.6, 0.7, 0.85, 1.0].map(burner), above_mean_k)?;
    for pot in pots()? {
        let (full, low) = (pot.watch(&NOTHING)?, pot.watch(&burner(0.6))?);
        let hottest = |watched: &PotWatched| watched.wall.map(|wall| wall.hottest_c).ok_or("no wall");
        // Over steam the last degrees are the coefficient's, whatever the burner.
        if !over_steam(&full) {
            assert!(hottest(&low)? < hottest(&full)?, "{}", pot.formula());
        }
    }
    Ok(())
}

#[test]
fn the_slower_the_spoon_the_further_the_wall_is_above_the_mean() -> Result<(), Any> {
    rises(&[200.0, 120.0, 60.0, 30.0].map(stirred), above_mean_k)?;
    for pot in pots()? {
        // Over steam the demo's curds never get there unstirred.
        let slow = pot.watch(&stirred(25.0))?;
        if !over_steam(&slow) {
            assert!(
                above_mean_k(&pot.watch(&stirred(0.0))?)? > above_mean_k(&slow)?,
                "{}",
                pot.formula()
            );
        }
    }
    Ok(())
}

#[test]
fn less_stirring_heats_the_wall_and_slows_only_a_pot_over_steam() -> Result<(), Any> {
    for pot in pots()?.into_iter().filter(|pot| pot.stirs_per_min() > 0.0) {
        let (usual, less) = (pot.watch(&NOTHING)?, pot.watch(&stirred(30.0))?);
        assert!(above_mean_k(&less)? > above_mean_k(&usual)?, "{}", pot.formula());
        let slower = less.minutes.value / usual.minutes.value;
        if over_steam(&usual) {
            assert!(slower > 1.05, "{}: {slower}", pot.formula());
        } else {
            assert!((slower - 1.0).abs() < 1e-12, "{}: {slower}", pot.formula());
        }
        // The usual rounds, said aloud, are as planned.
        let aloud = pot.watch(&stirred(pot.stirs_per_min()))?;
        assert!((aloud.minutes.value / usual.minutes.value - 1.0).abs() < 1e-12);
    }
    Ok(())
}

#[test]
fn the_wall_is_never_colder_than_the_mean_and_the_band_holds_the_mean() -> Result<(), Any> {
    for pot in pots()? {
        for change in [NOTHING, mass(0.5), burner(0.6), stirred(30.0)] {
            let watched = pot.watch(&change)?;
            let wall = watched.wall.ok_or("no wall")?;
            let mut before = -1.0;
            for point in &watched.curve {
                assert!(point.minutes > before, "{point:?}");
                before = point.minutes;
                let Some(c) = point.c else {
                    assert!(point.minutes > watched.minutes.value && point.wall_c.is_none());
                    continue;
                };
                assert!(point.low_c <= c && c <= point.high_c, "{point:?}");
                let wall_c = point.wall_c.ok_or("no wall")?;
                assert!(wall_c >= c - 1e-9 && wall_c <= wall.hottest_c + 1e-9, "{point:?}");
            }
            let last = watched.curve.iter().rev().find_map(|point| point.c).ok_or("no curve")?;
            assert!((last - watched.end.value).abs() < 1e-6);
            assert!(wall.carry_over_k > 0.0 && wall.carry_over_k < wall.most_above_mean_k);
        }
    }
    Ok(())
}

#[test]
fn two_models_of_one_pot_agree_as_far_as_the_sinking_level_of_a_bowl_lets_them() -> Result<(), Any> {
    for pot in pots()? {
        let watched = pot.watch(&NOTHING)?;
        let apart = watched.wall.ok_or("no wall")?.longer_than_plan_share;
        // A pan's shape does not change with its level: half a percent, as the two solvers promise.
        let most = if over_steam(&watched) { 0.02 } else { 0.005 };
        assert!(apart.abs() < most, "{}: {apart}", pot.formula());
    }
    Ok(())
}

#[test]
fn jars_of_a_batch_are_its_share_in_jars() -> Result<(), Any> {
    for pot in pots()? {
        let jars = u32::try_from(pot.jars_of_batch())?;
        let half = PotChange {
            jars: Some(jars / 2),
            ..NOTHING
        };
        let share = f64::from(jars / 2) / f64::from(jars);
        let (by_jars, by_share) = (pot.watch(&half)?, pot.watch(&mass(share))?);
        assert!((by_jars.minutes.value - by_share.minutes.value).abs() < 1e-9);
        assert!((by_jars.with.jars - f64::from(jars / 2)).abs() < 1e-9);
    }
    Ok(())
}

#[test]
fn what_boils_off_is_what_the_refractometer_sees() -> Result<(), Any> {
    let watched = pot_of("Apricot jam")?.watch(&NOTHING)?;
    let boil = watched.boil.ok_or("no boil")?;
    // Soluble solids stay in the pot.
    let left_kg = watched.with.food_kg - watched.evaporated.value / 1000.0;
    let solids_kg = watched.with.food_kg * boil.start_brix / 100.0;
    assert!((100.0 * solids_kg / left_kg - boil.end_brix).abs() < 1e-6, "{boil:?}");
    let drawn: Vec<f64> = watched.curve.iter().filter_map(|point| point.brix).collect();
    assert!(drawn.windows(2).all(|pair| pair[1] >= pair[0] - 1e-9));
    assert!(drawn.last().is_some_and(|brix| (brix - boil.end_brix).abs() < 0.05));
    for pot in pots()?.into_iter().filter(|pot| pot.formula() != "Apricot jam") {
        assert!(pot.watch(&NOTHING)?.boil.is_none());
    }
    Ok(())
}

#[test]
fn a_lively_boil_is_seen_and_a_pot_that_only_steams_is_said_to() -> Result<(), Any> {
    // On the demo's ring the wide pan steams below its boil; twice the ring boils it.
    let stores = stores()?;
    let strong = fixture::kitchen_of(&but(fixture::KITCHEN, "power = \"3.5 kW\"", "power = \"9 kW\"")?)?;
    let order = order(vec![wanted(APRICOT_JAM, Much::Jars(20), "half-pint", &stores)?]);
    let planned = plan_with_jars(&order, &strong, &stores)?;
    let pot = planned.pots.first().ok_or("no pot")?;
    let boiling = pot.watch(&NOTHING)?;
    let boil = boiling.boil.ok_or("no boil")?;
    assert!(boil.boils && boil.boils_after_min.is_some_and(|min| min < boiling.minutes.value));
    assert!(boiling.levels.iter().any(|level| level.what == "stop"));
    let steaming = pot.watch(&burner(0.35))?;
    assert!(steaming.boil.is_some_and(|boil| !boil.boils));
    assert!(steaming.notes.iter().any(|note| note.contains("does not boil")));
    assert!(steaming.end.value < boiling.end.value);
    Ok(())
}

#[test]
fn egg_is_watched_where_there_is_egg_and_says_that_it_is_extrapolated() -> Result<(), Any> {
    for pot in pots()? {
        let watched = pot.watch(&NOTHING)?;
        let level = |what: &str| {
            watched
                .levels
                .iter()
                .find(|level| level.what == what)
                .map(|level| level.c)
        };
        assert_eq!(
            watched.egg.is_some(),
            pot.formula().contains("curd"),
            "{}",
            pot.formula()
        );
        let Some(egg) = watched.egg else {
            assert!(level("egg sets").is_none());
            continue;
        };
        for share in [egg.set, egg.scrambled, egg.wall_scrambled] {
            assert!(0.0 <= share.low && share.low <= share.value && share.value <= share.high && share.high <= 1.0);
        }
        assert!(egg.set.value > egg.scrambled.value);
        assert!(egg.wall_scrambled.value > egg.scrambled.value);
        assert!(level("egg sets").ok_or("no level")? < level("egg at the wall scrambles").ok_or("no level")?);
        assert!(watched.notes.iter().any(|note| note.starts_with("Extrapolated")));
        assert!(
            watched
                .cautions
                .iter()
                .any(|caution| caution.text.contains("Salmonella"))
        );
        // Stirred half as much, more of the egg at the wall scrambles.
        let less = pot.watch(&stirred(30.0))?.egg.ok_or("no egg")?;
        assert!(less.wall_scrambled.value > egg.wall_scrambled.value);
    }
    Ok(())
}

#[test]
fn two_potfuls_take_twice_a_half_and_the_change_between_them() -> Result<(), Any> {
    for pot in pots()? {
        let (whole, half) = (pot.watch(&NOTHING)?, pot.watch(&mass(0.5))?);
        let two = whole.splitting.in_two_min.ok_or("no half")?;
        assert!((two - 2.0 * half.minutes.value - whole.splitting.change_min).abs() < 1e-6);
        let largest = whole.largest.ok_or("no largest")?;
        let there = pot.watch(&mass(largest.jars / whole.with.jars))?;
        assert!((there.minutes.value - largest.minutes).abs() < 1e-6);
        let quicker = whole.splitting.from_kg.is_some_and(|kg| kg <= whole.with.food_kg);
        assert_eq!(
            quicker,
            two < whole.minutes.value,
            "{}: {:?}",
            pot.formula(),
            whole.splitting
        );
    }
    Ok(())
}

#[test]
fn the_same_change_is_answered_the_same() -> Result<(), Any> {
    for pot in pots()? {
        let change = PotChange {
            of_batch: Some(0.8),
            burner_share: Some(0.9),
            start_c: Some(15.0),
            stirs_per_min: Some(45.0),
            jars: None,
        };
        assert_eq!(pot.watch(&change)?, pot.watch(&change)?);
    }
    Ok(())
}

fn refused(pot: &PlannedPot, change: &PotChange) -> Result<PlanError, Any> {
    match pot.watch(change) {
        Err(error) => Ok(error),
        Ok(_) => Err(format!("{change:?} is watched").into()),
    }
}

#[test]
fn numbers_outside_their_bounds_are_refused_with_what_to_give() -> Result<(), Any> {
    let pot = pot_of("Lime curd")?;
    let jars = |jars: u32| PotChange {
        jars: Some(jars),
        ..NOTHING
    };
    let beyond = [
        mass(0.0),
        mass(-1.0),
        mass(10.1),
        mass(f64::NAN),
        mass(f64::INFINITY),
        jars(0),
        jars(501),
        burner(0.09),
        burner(1.01),
        burner(f64::NAN),
        start(-0.1),
        start(100.1),
        start(f64::NAN),
        start(80.0),
        stirred(0.5),
        stirred(24.0),
        stirred(-1.0),
        stirred(201.0),
        stirred(f64::NAN),
        PotChange {
            of_batch: Some(1.0),
            ..jars(3)
        },
    ];
    for change in &beyond {
        let error = refused(pot, change)?;
        let PlanError::Asked { hint, .. } = &error else {
            return Err(format!("{change:?}: {error}").into());
        };
        assert!(hint.starts_with("give"), "{change:?}: {error}");
    }
    Ok(())
}

#[test]
fn what_does_not_fit_or_never_gets_there_says_what_would() -> Result<(), Any> {
    let pot = pot_of("Lime curd")?;
    for (change, says) in [
        (mass(5.0), "a potful"),
        (stirred(0.0), "stirring as planned"),
        (burner(0.1), "turned up"),
    ] {
        let error = refused(pot, &change)?;
        let PlanError::CannotMeet { would, .. } = &error else {
            return Err(format!("{change:?}: {error}").into());
        };
        assert!(would.iter().any(|would| would.contains(says)), "{change:?}: {error}");
    }
    Ok(())
}

#[test]
fn every_pot_of_the_demo_is_watched_over_the_whole_range_or_says_why_not() -> Result<(), Any> {
    for pot in pots()? {
        for of_batch in [0.05, 0.3, 1.0, 1.5, 10.0] {
            for burner_share in [0.1, 0.5, 1.0] {
                for start_c in [0.0, 21.0, 70.0] {
                    for rounds in [0.0, 25.0, 60.0, 200.0] {
                        let change = PotChange {
                            of_batch: Some(of_batch),
                            burner_share: Some(burner_share),
                            start_c: Some(start_c),
                            stirs_per_min: Some(rounds),
                            jars: None,
                        };
                        match pot.watch(&change) {
                            Ok(watched) => {
                                assert!(
                                    watched.minutes.value.is_finite() && watched.minutes.value > 0.0,
                                    "{change:?}"
                                );
                                assert!(watched.wall.is_some() != watched.no_wall.is_some(), "{change:?}");
                                assert!(watched.never < watched.draws, "{change:?}");
                            }
                            Err(error) => assert!(error.to_string().len() > 40, "{change:?}: {error}"),
                        }
                    }
                }
            }
        }
    }
    Ok(())
}
