//! Laws that a load in its bath obeys: energy, order, limits, inverses.

use jarwright_heat::HeatError;
use jarwright_heat::bath::{Bath, Jars, Lid, WATER_J_KGK, come_up, litres_to_swap};
use jarwright_heat::bath_run::{Around, Course, Inside, Load, power_for_come_up_w, run};
use jarwright_heat::jar::{Contents, JarBody};
use jarwright_heat::lag::conducting_w_k;
use proptest::prelude::*;

const BATH: Bath = Bath {
    water_kg: 18.0,
    vessel_j_k: 900.0,
    burner_w: 1700.0,
    lid: Lid::On,
    surface_m2: 0.085,
    side_loss_w_k: 1.5,
    room_c: 22.0,
    rel_humidity: 0.5,
    pressure_pa: 101_325.0,
    boils_c: 99.97,
};

const HALF_PINTS: Load = Load {
    count: 12,
    body: JarBody {
        inner_radius_m: 0.032,
        food_height_m: 0.070,
        wall_m: 0.003,
        base_m: 0.004,
        glass_k_w_mk: 1.05,
        glass_density_kg_m3: 2520.0,
        glass_cp_j_kgk: 820.0,
    },
    contents: Contents {
        conductivity_w_mk: 0.45,
        density_kg_m3: 1140.0,
        heat_capacity_j_kgk: 2865.0,
    },
    inside: Inside::Conducts,
    glass_kg_each: 0.177,
    start_c: 72.0,
};

const WATER: Around = Around::Water { film_w_m2k: 1000.0 };

const COURSE: Course = Course {
    start_c: 82.0,
    hold_s: 900.0,
    hold_w: None,
};

const STEAMER: Bath = Bath { water_kg: 2.4, ..BATH };

#[test]
fn the_parts_of_the_heat_make_the_burner_s_whole() -> Result<(), HeatError> {
    for lid in [Lid::On, Lid::Off] {
        for (around, water_kg) in [(WATER, 18.0), (Around::Steam, 2.4)] {
            for inside in [Inside::Conducts, Inside::Stirs { film_w_m2k: 400.0 }] {
                let bath = Bath {
                    lid,
                    water_kg,
                    burner_w: 2600.0,
                    ..BATH
                };
                let load = Load { inside, ..HALF_PINTS };
                let done = run(&bath, &load, around, &COURSE)?;
                let miss = done.heat.miss_j().abs() / done.heat.burner_j;
                assert!(miss < 1e-6, "{lid:?} {around:?} {inside:?}: {miss}");
                let burner_j = 2600.0 * done.at_end.at_s;
                assert!((done.heat.burner_j / burner_j - 1.0).abs() < 1e-9);
                assert!((done.water_left_kg + done.evaporated_kg - water_kg).abs() < 1e-9);
            }
        }
    }
    Ok(())
}

#[test]
fn water_alone_without_losses_comes_up_as_its_heat_over_the_power() -> Result<(), HeatError> {
    let ideal = Bath {
        surface_m2: 0.0,
        side_loss_w_k: 0.0,
        ..BATH
    };
    let none = Load { count: 0, ..HALF_PINTS };
    let done = run(
        &ideal,
        &none,
        WATER,
        &Course {
            start_c: 20.0,
            ..COURSE
        },
    )?;
    let by_hand_s = (18.0 * WATER_J_KGK + 900.0) * (99.97 - 20.0) / 1700.0;
    assert!((done.boils_s / by_hand_s - 1.0).abs() < 1e-9, "{}", done.boils_s);
    Ok(())
}

#[test]
fn the_quick_lump_of_a_plan_comes_up_within_a_minute_of_the_whole_course() -> Result<(), HeatError> {
    let done = run(&BATH, &HALF_PINTS, WATER, &COURSE)?;
    let lump = Jars {
        count: 12,
        food_kg_each: HALF_PINTS.food_kg_each(),
        food_j_kgk: 2865.0,
        glass_kg_each: 0.177,
        glass_j_kgk: 820.0,
        start_c: 72.0,
        u_a_w_k: conducting_w_k(&HALF_PINTS.body, &HALF_PINTS.contents, 1000.0)?,
    };
    let quick = come_up(&BATH, &lump, 82.0)?;
    // The lump leaves out what the skin of the food draws at once, so it is the quicker one.
    let later = done.boils_s / 60.0 - quick.minutes;
    assert!(later > 0.0 && later < 1.5, "{later}");
    Ok(())
}

#[test]
fn jars_at_the_boil_in_boiling_water_have_no_come_up() -> Result<(), HeatError> {
    let hot = Load {
        start_c: BATH.boils_c,
        ..HALF_PINTS
    };
    let boiling = Course {
        start_c: BATH.boils_c,
        ..COURSE
    };
    let done = run(&BATH, &hot, WATER, &boiling)?;
    assert!(done.come_up_s < 1e-9 && done.boils_s < 1e-9, "{}", done.boils_s);
    assert!(done.boil_lost.is_some_and(|lost| lost.by_k < 1e-6));
    Ok(())
}

#[test]
fn a_second_load_that_finds_the_water_boiling_has_no_come_up_but_loses_the_boil() -> Result<(), HeatError> {
    let boiling = Course {
        start_c: BATH.boils_c,
        ..COURSE
    };
    let warm = run(&BATH, &HALF_PINTS, WATER, &boiling)?;
    let cold = run(
        &BATH,
        &Load {
            start_c: 20.0,
            ..HALF_PINTS
        },
        WATER,
        &boiling,
    )?;
    assert!(warm.come_up_s.abs() < 1e-9 && cold.come_up_s.abs() < 1e-9);
    let (Some(warm_lost), Some(cold_lost)) = (warm.boil_lost, cold.boil_lost) else {
        panic!("a boil that was there");
    };
    assert!(
        cold_lost.by_k > 2.0 * warm_lost.by_k && warm_lost.by_k > 0.1,
        "{cold_lost:?} {warm_lost:?}"
    );
    assert!(cold_lost.back_s > warm_lost.back_s && warm_lost.back_s > 10.0);
    // Heat the jars could take at most, if they came to the water at once.
    let n = f64::from(HALF_PINTS.count);
    let jars_j_k = n * (0.177 * 820.0 + HALF_PINTS.food_kg_each() * 2865.0);
    let water_j_k = 18.0 * WATER_J_KGK + 900.0;
    let most_k = (99.97 - 20.0) * jars_j_k / (jars_j_k + water_j_k);
    assert!(cold_lost.by_k < most_k, "{} {most_k}", cold_lost.by_k);
    // The process then starts from colder food than the tested one's.
    let tested = run(&BATH, &HALF_PINTS, WATER, &COURSE)?;
    assert!(warm.at_end.coldest_c < tested.at_end.coldest_c);
    Ok(())
}

#[test]
fn the_power_found_for_a_come_up_gives_it() -> Result<(), HeatError> {
    for around in [WATER, Around::Steam] {
        for minutes in [8.0, 20.0, 27.5, 60.0] {
            let bath = if around == Around::Steam { STEAMER } else { BATH };
            let burner_w = power_for_come_up_w(&bath, &HALF_PINTS, around, 60.0, minutes)?;
            let done = run(
                &Bath { burner_w, ..bath },
                &HALF_PINTS,
                around,
                &Course {
                    start_c: 60.0,
                    ..COURSE
                },
            )?;
            assert!(
                (done.boils_s / 60.0 - minutes).abs() < 0.02,
                "{} {minutes}",
                done.boils_s
            );
        }
    }
    Ok(())
}

#[test]
fn water_swapped_for_cold_starts_the_next_load_at_the_temperature_asked_for() -> Result<(), HeatError> {
    let swap_l = litres_to_swap(17.4, 99.97, 15.0, 82.2)?;
    let mixed_c = ((17.4 - swap_l) * 99.97 + swap_l * 15.0) / 17.4;
    assert!((mixed_c - 82.2).abs() < 1e-9);
    let again = run(
        &BATH,
        &HALF_PINTS,
        WATER,
        &Course {
            start_c: mixed_c,
            ..COURSE
        },
    )?;
    let asked = run(
        &BATH,
        &HALF_PINTS,
        WATER,
        &Course {
            start_c: 82.2,
            ..COURSE
        },
    )?;
    assert!((again.boils_s - asked.boils_s).abs() < 1e-3);
    Ok(())
}

#[test]
fn a_burner_below_the_losses_never_boils_and_a_small_flame_loses_the_boil() -> Result<(), HeatError> {
    let open = Bath {
        lid: Lid::Off,
        burner_w: 300.0,
        ..BATH
    };
    assert!(matches!(
        run(&open, &HALF_PINTS, WATER, &COURSE),
        Err(HeatError::NeverReaches { .. })
    ));
    let flame = Course {
        hold_w: Some(0.0),
        ..COURSE
    };
    assert!(run(&BATH, &HALF_PINTS, WATER, &flame)?.fell_in_hold_k > 1.0);
    assert!(run(&BATH, &HALF_PINTS, WATER, &COURSE)?.fell_in_hold_k < 1e-9);
    Ok(())
}

#[test]
fn little_water_on_a_strong_burner_is_gone_before_the_end_and_the_run_says_so() -> Result<(), HeatError> {
    let strong = Bath {
        burner_w: 3500.0,
        ..STEAMER
    };
    let long = Course {
        hold_s: 3.0 * 3600.0,
        ..COURSE
    };
    let done = run(&strong, &HALF_PINTS, Around::Steam, &long)?;
    let dry_s = done.dry_s.unwrap_or(f64::NAN);
    assert!(
        dry_s < done.boils_s + long.hold_s && done.water_left_kg < 0.05,
        "{dry_s}"
    );
    Ok(())
}

#[test]
fn what_no_bath_is_is_refused() {
    let refused = |load: Load, course: Course| run(&BATH, &load, WATER, &course).is_err();
    assert!(refused(
        HALF_PINTS,
        Course {
            start_c: 101.0,
            ..COURSE
        }
    ));
    assert!(refused(
        HALF_PINTS,
        Course {
            start_c: f64::NAN,
            ..COURSE
        }
    ));
    assert!(refused(HALF_PINTS, Course { hold_s: -1.0, ..COURSE }));
    assert!(refused(
        Load {
            glass_kg_each: 0.0,
            ..HALF_PINTS
        },
        COURSE
    ));
    assert!(refused(
        Load {
            inside: Inside::Stirs { film_w_m2k: f64::NAN },
            ..HALF_PINTS
        },
        COURSE
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn more_power_is_never_slower(w in 900.0..4000.0_f64, more in 1.0..2000.0_f64, start_c in 20.0..99.9_f64, jar_c in 5.0..95.0_f64) {
        for around in [WATER, Around::Steam] {
            let load = Load { start_c: jar_c, ..HALF_PINTS };
            let course = Course { start_c, hold_s: 0.0, hold_w: None };
            let minutes = |burner_w: f64| run(&Bath { burner_w, ..BATH }, &load, around, &course).map(|done| done.boils_s);
            prop_assert!(minutes(w + more)? <= minutes(w)? + 1e-6);
        }
    }

    #[test]
    fn more_jars_are_never_faster(n in 0_u32..24, start_c in 20.0..99.9_f64, jar_c in 5.0..95.0_f64) {
        // Jars no hotter than the water: hotter ones do heat it.
        let jar_c = jar_c.min(start_c);
        for around in [WATER, Around::Steam] {
            let course = Course { start_c, hold_s: 0.0, hold_w: None };
            let seconds = |count: u32| run(&BATH, &Load { count, start_c: jar_c, ..HALF_PINTS }, around, &course).map(|done| done.boils_s);
            prop_assert!(seconds(n + 1)? >= seconds(n)? - 1e-6);
        }
    }

    #[test]
    fn nothing_is_ever_hotter_than_the_boil(w in 900.0..6000.0_f64, start_c in 20.0..99.97_f64, jar_c in 5.0..99.0_f64, boils_c in 90.0..99.97_f64) {
        for lid in [Lid::On, Lid::Off] {
            let bath = Bath { burner_w: w + 1500.0, lid, boils_c, ..BATH };
            let course = Course { start_c: start_c.min(boils_c), hold_s: 900.0, hold_w: None };
            let done = run(&bath, &Load { start_c: jar_c.min(boils_c), ..HALF_PINTS }, WATER, &course)?;
            for sample in &done.samples {
                prop_assert!(sample.water_c <= boils_c + 1e-9);
                prop_assert!(sample.food_c <= boils_c + 1e-6 && sample.coldest_c <= boils_c + 1e-6);
            }
            prop_assert!(done.heat.miss_j().abs() < 1e-6 * done.heat.burner_j);
        }
    }
}
