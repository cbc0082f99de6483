//! Laws a jar of changing food keeps: heat, tolerance, order of temperatures, freezing and thawing.

use jarwright_heat::HeatError;
use jarwright_heat::case::{Answer, Contents, Film, JarBody, Phase};
use jarwright_heat::changing::{ChangingAnswer, ChangingCase, Fineness, solve};
use jarwright_heat::food_curves::{FoodAt, FoodCurves};
use jarwright_matter::{Food, Mixing};
use proptest::prelude::*;

const HALF_PINT: JarBody = JarBody {
    inner_radius_m: 0.032,
    food_height_m: 0.08,
    wall_m: 0.003,
    base_m: 0.003,
    glass_k_w_mk: 1.05,
    glass_density_kg_m3: 2500.0,
    glass_cp_j_kgk: 840.0,
};
/// Few cells, for laws that hold on any.
const COARSE: Fineness = Fineness {
    radial: 8,
    axial: 10,
    wall: 1,
    base: 1,
    tolerance_k: 0.02,
};

fn phase(minutes: f64, from_c: f64, to_c: f64, film_w_m2k: f64, top_w_m2k: f64) -> Phase {
    Phase {
        duration_s: 60.0 * minutes,
        ambient_start_c: from_c,
        ambient_end_c: to_c,
        side: Film::Fixed(film_w_m2k),
        top_w_m2k,
    }
}

fn curd() -> Food {
    Food {
        water_kg: 0.45,
        protein_kg: 0.045,
        fat_kg: 0.14,
        sucrose_kg: 0.355,
        fibre_kg: 0.003,
        ash_kg: 0.007,
        ..Food::default()
    }
}

fn juice() -> Food {
    Food {
        water_kg: 0.88,
        hexose_kg: 0.09,
        sucrose_kg: 0.02,
        protein_kg: 0.006,
        ash_kg: 0.004,
        ..Food::default()
    }
}

fn through(
    body: JarBody,
    food: &FoodCurves,
    start_c: f64,
    phases: &[Phase],
    fineness: &Fineness,
) -> Result<ChangingAnswer, HeatError> {
    let case = ChangingCase {
        body,
        food,
        food_start_c: start_c,
        glass_start_c: start_c,
        phases,
    };
    solve(&case, fineness)
}

fn last(values: &[f64]) -> f64 {
    values.last().copied().unwrap_or(f64::NAN)
}

fn lists(answer: &Answer) -> [&Vec<f64>; 4] {
    [&answer.centre_c, &answer.coldest_c, &answer.warmest_c, &answer.mean_c]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn heat_is_neither_made_nor_lost_and_nothing_leaves_its_surroundings(
        radius in 0.015f64..0.06, height in 0.03f64..0.15, water_kg in 0.4f64..0.95, sugar_kg in 0.05f64..0.4,
        start in -25.0f64..95.0, around in -25.0f64..100.0, end in -25.0f64..100.0,
        film in 5.0f64..2000.0, top in 0.0f64..100.0,
    ) {
        let body = JarBody { inner_radius_m: radius, food_height_m: height, ..HALF_PINT };
        let food = Food { water_kg, sucrose_kg: sugar_kg, ..Food::default() };
        let fail = |e: HeatError| TestCaseError::fail(format!("{e:?}"));
        let curves = FoodCurves::food(&food, Mixing::Parallel).map_err(fail)?;
        let mut air = phase(60.0, 20.0, 20.0, 0.0, top);
        air.side = Film::StillAir { emissivity: 0.9 };
        let phases = [phase(40.0, around, end, film, top), air];
        let answer = through(body, &curves, start, &phases, &COARSE).map_err(fail)?;
        let read = &answer.temperatures;
        prop_assert!(read.energy_error < 1e-9, "{}", read.energy_error);
        let (low, high) = (start.min(around).min(end).min(20.0), start.max(around).max(end).max(20.0));
        let slack = 0.02 * (high - low) + 0.1;
        for list in lists(read) {
            prop_assert!(list.iter().all(|c| *c > low - slack && *c < high + slack), "{low} {high}");
        }
    }

    #[test]
    fn what_only_warms_outside_only_warms_inside(
        start in -25.0f64..20.0, over in 1.0f64..60.0, film in 5.0f64..2000.0, falls in any::<bool>(),
    ) {
        // Down from the same heights where it falls.
        let fail = |e: HeatError| TestCaseError::fail(format!("{e:?}"));
        let curves = FoodCurves::food(&juice(), Mixing::Parallel).map_err(fail)?;
        let (from_c, to_c) = if falls { (start + over, start.max(-20.0) - 5.0) } else { (start, start + over) };
        let phases = [phase(120.0, from_c, to_c, film, 5.0)];
        let answer = through(HALF_PINT, &curves, from_c, &phases, &COARSE).map_err(fail)?;
        let read = &answer.temperatures;
        let cold = if falls { &read.warmest_c } else { &read.coldest_c };
        let slack = 5.0 * COARSE.tolerance_k;
        for two in cold.windows(2) {
            let rise = if falls { two[0] - two[1] } else { two[1] - two[0] };
            prop_assert!(rise > -slack, "{rise}");
        }
        let heat = answer.food_j.windows(2).map(|two| if falls { two[0] - two[1] } else { two[1] - two[0] });
        let scale = answer.food_j.iter().fold(1.0_f64, |most, j| most.max(j.abs()));
        for rise in heat {
            prop_assert!(rise > -1e-5 * scale, "{rise} of {scale}");
        }
    }
}

#[test]
fn a_frozen_jar_at_its_surroundings_temperature_stays_there() -> Result<(), HeatError> {
    let curves = FoodCurves::food(&juice(), Mixing::Parallel)?;
    for c in [-18.0, -1.3, 5.0, 60.0] {
        let answer = through(HALF_PINT, &curves, c, &[phase(60.0, c, c, 50.0, 5.0)], &COARSE)?;
        for list in lists(&answer.temperatures) {
            assert!(list.iter().all(|v| (v - c).abs() < 1e-6), "{c}");
        }
    }
    Ok(())
}

#[test]
fn half_a_cylinder_on_its_plane_of_symmetry_is_the_whole_one() -> Result<(), HeatError> {
    // The middle of the whole is the insulated top of the half; both from the same cells.
    let curves = FoodCurves::food(&juice(), Mixing::Parallel)?;
    let bare = JarBody {
        wall_m: 0.0,
        base_m: 0.0,
        ..HALF_PINT
    };
    let half = JarBody {
        food_height_m: 0.5 * bare.food_height_m,
        ..bare
    };
    let cells = |axial| Fineness {
        axial,
        tolerance_k: 0.005,
        ..COARSE
    };
    let whole = through(
        bare,
        &curves,
        10.0,
        &[phase(180.0, -20.0, -20.0, 20.0, 20.0)],
        &cells(24),
    )?;
    let half = through(
        half,
        &curves,
        10.0,
        &[phase(180.0, -20.0, -20.0, 20.0, 0.0)],
        &cells(12),
    )?;
    for (one, two) in whole.food_j.iter().zip(&half.food_j) {
        assert!((one - 2.0 * two).abs() < 1e-6 * whole.food_j[0].abs(), "{one} {two}");
    }
    assert_eq!(whole.steps, half.steps);
    assert!(last(&whole.temperatures.mean_c) < -5.0);
    Ok(())
}

#[test]
fn halving_the_tolerance_moves_the_mean_by_less_than_two_of_it_and_the_middle_of_warm_food_by_five()
-> Result<(), HeatError> {
    let often: Vec<f64> = (1..240).map(|i| 90.0 * f64::from(i)).collect();
    let air = |from_c, to_c, film| {
        [
            phase(45.0, from_c, to_c, film, 5.0),
            phase(315.0, to_c, to_c, film, 5.0),
        ]
    };
    let bath = [
        phase(45.0, 82.0, 100.0, 1000.0, 0.0),
        phase(315.0, 22.0, 22.0, 10.0, 5.0),
    ];
    for (food, start_c, phases, ice) in [
        (curd(), 77.0, bath, false),
        (juice(), 5.0, air(5.0, -18.0, 10.0), true),
        (juice(), 5.0, air(5.0, -18.0, 100.0), true),
        (curd(), -18.0, air(-18.0, 4.0, 10.0), true),
        (juice(), -18.0, air(-18.0, 4.0, 100.0), true),
    ] {
        let curves = FoodCurves::food(&food, Mixing::Parallel)?;
        for tolerance_k in [0.02, 0.005] {
            let at = |tolerance_k| {
                let fineness = Fineness { tolerance_k, ..COARSE };
                through(HALF_PINT, &curves, start_c, &phases, &fineness).map(|a| a.temperatures.at(&often))
            };
            let (one, other) = (at(tolerance_k)?, at(0.5 * tolerance_k)?);
            let apart = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            let mean = apart(&one.mean_c, &other.mean_c);
            assert!(mean < 2.0 * tolerance_k, "{start_c} {tolerance_k}: {mean}");
            let centre = apart(&one.centre_c, &other.centre_c);
            assert!(ice || centre < 5.0 * tolerance_k, "{start_c} {tolerance_k}: {centre}");
        }
    }
    Ok(())
}

#[test]
fn frozen_and_thawed_the_jar_holds_the_heat_it_had_but_thawing_is_not_freezing_backwards() -> Result<(), HeatError> {
    let curves = FoodCurves::food(&juice(), Mixing::Parallel)?;
    let phases = [
        phase(3000.0, -20.0, -20.0, 300.0, 5.0),
        phase(6000.0, 17.6, 17.6, 300.0, 5.0),
    ];
    let answer = through(HALF_PINT, &curves, 17.6, &phases, &COARSE)?;
    let read = &answer.temperatures;
    let frozen = read.phase_ends[0];
    assert!((read.centre_c[frozen] + 20.0).abs() < 0.05 && (last(&read.coldest_c) - 17.6).abs() < 0.05);
    let swing = answer.food_j[0] - answer.food_j[frozen];
    assert!((last(&answer.food_j) - answer.food_j[0]).abs() < 1e-3 * swing);
    // The surroundings stand as far over the freezing point as under it; ice conducts better than
    // water, so the same heat leaves through ice more quickly than it comes in through water.
    let volume = std::f64::consts::PI * 0.032 * 0.032 * 0.08;
    let passes = |from: usize, heat_j_m3: f64, falls: bool| {
        let level = heat_j_m3 * volume;
        let passed = |j: &f64| if falls { *j < level } else { *j > level };
        let at = answer.food_j[from..].iter().position(passed).unwrap_or(0) + from;
        read.times_s[at]
    };
    let (little, much) = (-3e7, -2.2e8);
    let freezing_s = passes(0, much, true) - passes(0, little, true);
    let thawing_s = passes(frozen, little, false) - passes(frozen, much, false);
    assert!(thawing_s > 1.3 * freezing_s, "{thawing_s} {freezing_s}");
    Ok(())
}

#[test]
fn a_film_that_is_everything_freezes_as_plank_has_it_for_layer_and_cylinder() -> Result<(), HeatError> {
    // Latent heat alone at -1 °C, air at -11 °C: time = latent times volume over film, area and 10 K,
    // with the film a hundredth of what the ice conducts.
    let latent = 3e8;
    let row = |c, heat_j_m3, k_w_mk| FoodAt { c, heat_j_m3, k_w_mk };
    let curves = FoodCurves::from_rows(vec![
        row(-60.0, -latent - 59.0 * 1e4, 2.0),
        row(-1.0, -latent, 2.0),
        row(-1.0, 0.0, 2.0),
        row(60.0, 61.0 * 1e4, 2.0),
    ])?;
    let bare = JarBody {
        wall_m: 0.0,
        base_m: 0.0,
        inner_radius_m: 0.03,
        food_height_m: 0.03,
        ..HALF_PINT
    };
    let (h, k) = (5.0, 2.0);
    for (side_w_m2k, base_w_m2k, way_m, dimension) in [(0.0, h, 0.03, 1.0), (h, 0.0, 0.03, 2.0)] {
        let plank_s = latent / 10.0 * (way_m / (dimension * h) + way_m * way_m / (2.0 * dimension * k));
        let around = Phase {
            side: Film::Apart { side_w_m2k, base_w_m2k },
            ..phase(1.2 * plank_s / 60.0, -11.0, -11.0, 0.0, 0.0)
        };
        let answer = through(bare, &curves, -1.0, &[around], &COARSE)?;
        let volume = std::f64::consts::PI * 0.03f64.powi(3);
        let frozen = answer.food_j.iter().position(|j| *j < -0.999 * latent * volume);
        let frozen_s = frozen.map_or(f64::NAN, |i| answer.temperatures.times_s[i]);
        assert!((frozen_s / plank_s - 1.0).abs() < 0.01, "{frozen_s} {plank_s}");
    }
    Ok(())
}

#[test]
fn nonsense_is_refused() -> Result<(), HeatError> {
    let curves = FoodCurves::constant(&Contents {
        conductivity_w_mk: 0.5,
        density_kg_m3: 1000.0,
        heat_capacity_j_kgk: 3900.0,
    })?;
    let bath = [phase(10.0, 100.0, 100.0, 1000.0, 0.0)];
    let refused = |body, start_c, phases: &[Phase], fineness: Fineness| {
        through(body, &curves, start_c, phases, &fineness).is_err()
    };
    let wall_m = f64::NAN;
    assert!(refused(JarBody { wall_m, ..HALF_PINT }, 20.0, &bath, COARSE));
    assert!(refused(HALF_PINT, f64::INFINITY, &bath, COARSE));
    assert!(refused(HALF_PINT, 20.0, &[], COARSE));
    assert!(refused(
        HALF_PINT,
        20.0,
        &[phase(10.0, 250.0, 20.0, 1000.0, 0.0)],
        COARSE
    ));
    for tolerance_k in [0.0, f64::NAN, 2.0] {
        assert!(refused(HALF_PINT, 20.0, &bath, Fineness { tolerance_k, ..COARSE }));
    }
    // A food known to -30 °C only.
    let juice = FoodCurves::food(&juice(), Mixing::Parallel)?;
    let colder = [phase(10.0, -40.0, -40.0, 10.0, 0.0)];
    assert!(through(HALF_PINT, &juice, 5.0, &colder, &COARSE).is_err());
    Ok(())
}
