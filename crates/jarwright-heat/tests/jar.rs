//! Laws the jar solver keeps, and what the quick grid costs in accuracy.

use jarwright_heat::HeatError;
use jarwright_heat::exact::FiniteCylinder;
use jarwright_heat::jar::{Answer, Case, Contents, Film, Grid, JarBody, Phase, run, solve, solve_watched};
use proptest::prelude::*;

const BODY: JarBody = JarBody {
    inner_radius_m: 0.032,
    food_height_m: 0.08,
    wall_m: 0.003,
    base_m: 0.003,
    glass_k_w_mk: 1.05,
    glass_density_kg_m3: 2500.0,
    glass_cp_j_kgk: 840.0,
};
const CURD: Contents = Contents {
    conductivity_w_mk: 0.45,
    density_kg_m3: 1140.0,
    heat_capacity_j_kgk: 2865.0,
};

fn phase(minutes: f64, from_c: f64, to_c: f64, side: Film, top_w_m2k: f64) -> Phase {
    Phase {
        duration_s: 60.0 * minutes,
        ambient_start_c: from_c,
        ambient_end_c: to_c,
        side,
        top_w_m2k,
    }
}

fn day(air_c: f64) -> [Phase; 4] {
    let air = Film::StillAir { emissivity: 0.9 };
    let bath = Film::Fixed(1000.0);
    [
        phase(5.0, air_c, air_c, air, 10.0),
        phase(27.0, 82.0, 100.0, bath, 10.0),
        phase(15.0, 100.0, 100.0, bath, 10.0),
        phase(180.0, air_c, air_c, air, 10.0),
    ]
}

fn at(times_s: &[f64], values: &[f64], time_s: f64) -> f64 {
    let i = times_s.partition_point(|&t| t < time_s).clamp(1, times_s.len() - 1);
    let part = (time_s - times_s[i - 1]) / (times_s[i] - times_s[i - 1]);
    values[i - 1] + part * (values[i] - values[i - 1])
}

#[test]
fn the_quick_grid_stays_within_its_word_of_the_fine_one() -> Result<(), HeatError> {
    let quick = run(&BODY, &CURD, 77.0, 60.0, &day(22.0), &Grid::plan())?;
    let fine = run(&BODY, &CURD, 77.0, 60.0, &day(22.0), &Grid::fine())?;
    for (i, &time_s) in quick.times_s.iter().enumerate() {
        let miss = quick.centre_c[i] - at(&fine.times_s, &fine.centre_c, time_s);
        assert!(miss.abs() < 0.15, "{miss} K at {time_s} s");
    }
    Ok(())
}

#[test]
fn a_jar_at_its_surroundings_temperature_stays_there() -> Result<(), HeatError> {
    let still = [phase(60.0, 20.0, 20.0, Film::StillAir { emissivity: 0.9 }, 10.0)];
    let history = run(&BODY, &CURD, 20.0, 20.0, &still, &Grid::plan())?;
    let all = [
        &history.centre_c,
        &history.coldest_c,
        &history.warmest_c,
        &history.mean_c,
    ];
    for values in all {
        assert!(values.iter().all(|c| (c - 20.0).abs() < 1e-9));
    }
    Ok(())
}

#[test]
fn a_jar_left_long_enough_takes_its_surroundings_temperature() -> Result<(), HeatError> {
    let long = [phase(24.0 * 60.0, 60.0, 60.0, Film::Fixed(50.0), 5.0)];
    let history = run(&BODY, &CURD, 5.0, 20.0, &long, &Grid::plan())?;
    assert!(history.coldest_c.last().is_some_and(|c| (c - 60.0).abs() < 1e-3));
    Ok(())
}

#[test]
fn a_jar_without_films_keeps_its_heat_and_evens_out() -> Result<(), HeatError> {
    let closed = [phase(24.0 * 60.0, 20.0, 20.0, Film::Fixed(0.0), 0.0)];
    let history = run(&BODY, &CURD, 90.0, 20.0, &closed, &Grid::plan())?;
    let food = std::f64::consts::PI * 0.032f64.powi(2) * 0.08 * 1140.0 * 2865.0;
    let glass = std::f64::consts::PI * (0.035f64.powi(2) * 0.083 - 0.032f64.powi(2) * 0.08) * 2500.0 * 840.0;
    let even = (90.0 * food + 20.0 * glass) / (food + glass);
    for c in [history.centre_c.last(), history.mean_c.last(), history.coldest_c.last()]
        .into_iter()
        .flatten()
    {
        assert!((c - even).abs() < 1e-6, "{c} {even}");
    }
    Ok(())
}

/// A cylinder of one material: glass like the food, the insulated top its plane of symmetry.
fn plain(cells: usize, step_s: f64) -> Result<Answer, HeatError> {
    let like_glass = JarBody {
        wall_m: 0.004,
        base_m: 0.004,
        inner_radius_m: 0.036,
        food_height_m: 0.036,
        glass_k_w_mk: CURD.conductivity_w_mk,
        glass_density_kg_m3: CURD.density_kg_m3,
        glass_cp_j_kgk: CURD.heat_capacity_j_kgk,
    };
    let diffusivity = CURD.conductivity_w_mk / CURD.density_kg_m3 / CURD.heat_capacity_j_kgk;
    let film = Film::Fixed(5.0 * CURD.conductivity_w_mk / 0.04);
    let seconds = 0.3 * 0.04 * 0.04 / diffusivity;
    let grid = Grid {
        radial: 9 * cells,
        axial: 9 * cells,
        wall: cells,
        base: cells,
        step_s,
    };
    run(
        &like_glass,
        &CURD,
        100.0,
        100.0,
        &[phase(seconds / 60.0, 0.0, 0.0, film, 0.0)],
        &grid,
    )
}

#[test]
fn halving_cells_and_steps_quarters_the_error() -> Result<(), HeatError> {
    let exact = 100.0 * FiniteCylinder::new(5.0, 1.0)?.theta(0.3, 0.0, 0.0)?;
    let miss = |cells, step| {
        Ok::<_, HeatError>((plain(cells, step)?.warmest_c.last().copied().unwrap_or(f64::NAN) - exact).abs())
    };
    let (coarse, middle, fine) = (miss(1, 16.0)?, miss(2, 8.0)?, miss(4, 4.0)?);
    assert!(coarse / middle > 3.0 && middle / fine > 3.0, "{coarse} {middle} {fine}");
    assert!(fine < 0.02, "{fine}");
    Ok(())
}

#[test]
fn phases_end_when_they_say() -> Result<(), HeatError> {
    let history = run(&BODY, &CURD, 77.0, 60.0, &day(22.0), &Grid::plan())?;
    let ends: Vec<f64> = history.phase_ends.iter().map(|&i| history.times_s[i] / 60.0).collect();
    for (end, said) in ends.iter().zip([5.0, 32.0, 47.0, 227.0]) {
        assert!((end - said).abs() < 1e-6, "{end} {said}");
    }
    assert!(history.times_s.windows(2).all(|t| t[1] > t[0]));
    Ok(())
}

#[test]
fn a_phase_cut_in_two_changes_nothing_that_matters() -> Result<(), HeatError> {
    let bath = Film::Fixed(1000.0);
    let whole = run(
        &BODY,
        &CURD,
        70.0,
        70.0,
        &[phase(30.0, 80.0, 100.0, bath, 0.0)],
        &Grid::plan(),
    )?;
    let cut = [phase(15.0, 80.0, 90.0, bath, 0.0), phase(15.0, 90.0, 100.0, bath, 0.0)];
    let cut = run(&BODY, &CURD, 70.0, 70.0, &cut, &Grid::plan())?;
    let last = |h: &Answer| h.centre_c.last().copied().unwrap_or(f64::NAN);
    assert!(
        (last(&whole) - last(&cut)).abs() < 0.005,
        "{} {}",
        last(&whole),
        last(&cut)
    );
    Ok(())
}

#[test]
fn nonsense_is_refused() {
    let bath = [phase(10.0, 100.0, 100.0, Film::Fixed(1000.0), 0.0)];
    let refused = |body: JarBody, food: Contents, phases: &[Phase], grid: Grid| {
        run(&body, &food, 70.0, 70.0, phases, &grid).is_err()
    };
    assert!(refused(JarBody { wall_m: -0.003, ..BODY }, CURD, &bath, Grid::plan()));
    assert!(refused(
        BODY,
        Contents {
            conductivity_w_mk: f64::NAN,
            ..CURD
        },
        &bath,
        Grid::plan()
    ));
    assert!(refused(BODY, CURD, &[], Grid::plan()));
    assert!(refused(
        BODY,
        CURD,
        &[phase(-1.0, 100.0, 100.0, Film::Fixed(1000.0), 0.0)],
        Grid::plan()
    ));
    assert!(refused(
        BODY,
        CURD,
        &[phase(1.0, 100.0, 100.0, Film::Fixed(f64::INFINITY), 0.0)],
        Grid::plan()
    ));
    assert!(refused(
        BODY,
        CURD,
        &bath,
        Grid {
            radial: 0,
            ..Grid::plan()
        }
    ));
    let endless = [phase(50_000.0, 100.0, 100.0, Film::Fixed(1000.0), 0.0)];
    let tiny = Grid {
        step_s: 0.01,
        ..Grid::plan()
    };
    assert!(
        run(&BODY, &CURD, 70.0, 70.0, &endless, &tiny).is_ok(),
        "steps grow, so long phases stay affordable"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn heat_is_neither_made_nor_lost(
        radius in 0.01f64..0.08, height in 0.02f64..0.2, wall in 0.001f64..0.01,
        k in 0.2f64..0.7, start in 0.0f64..100.0, around in 0.0f64..100.0, end in 0.0f64..100.0,
        film in 5.0f64..5000.0, top in 0.0f64..100.0, step in 5.0f64..60.0,
    ) {
        let body = JarBody { inner_radius_m: radius, food_height_m: height, wall_m: wall, base_m: wall, ..BODY };
        let food = Contents { conductivity_w_mk: k, ..CURD };
        let phases = [
            phase(20.0, around, end, Film::Fixed(film), top),
            phase(40.0, 20.0, 20.0, Film::StillAir { emissivity: 0.9 }, top),
        ];
        let grid = Grid { step_s: step, ..Grid::plan() };
        let history = run(&body, &food, start, around, &phases, &grid);
        let history = history.map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert!(history.energy_error < 1e-9, "{}", history.energy_error);
        // What starts and surrounds the jar bounds what is in it, but for the sharp first seconds
        // after a jump on a coarse grid.
        let (low, high) = (start.min(around).min(end).min(20.0), start.max(around).max(end).max(20.0));
        let slack = 0.02 * (high - low) + 0.1;
        for i in 0..history.times_s.len() {
            prop_assert!(history.coldest_c[i] > low - slack, "{} {low}", history.coldest_c[i]);
            prop_assert!(history.warmest_c[i] < high + slack, "{} {high}", history.warmest_c[i]);
            prop_assert!(history.mean_c[i] > low - 1e-6 && history.mean_c[i] < high + 1e-6);
            prop_assert!(history.centre_c[i] >= history.coldest_c[i] - 1e-2);
        }
    }
}

#[test]
fn who_watches_the_cells_sees_the_mean_and_disturbs_nothing() -> Result<(), HeatError> {
    let case = Case {
        body: BODY,
        contents: CURD,
        food_start_c: 77.0,
        glass_start_c: 60.0,
        phases: day(22.0).to_vec(),
    };
    let (mut means, mut phases) = (Vec::new(), Vec::new());
    let answer = solve_watched(&case, &Grid::plan(), &mut |moment| {
        let rows = moment.rows_c().count() as f64;
        let of_row = |row: &[f64]| moment.shares().zip(row).map(|(share, c)| share * c).sum::<f64>();
        means.push((moment.time_s, moment.rows_c().map(of_row).sum::<f64>() / rows));
        phases.push(moment.phase);
        assert_eq!(moment.radii_m().len(), Grid::plan().radial);
        assert!(moment.radii_m().windows(2).all(|r| r[1] > r[0]));
    })?;
    assert_eq!(answer, solve(&case, &Grid::plan())?);
    assert_eq!(means.len(), answer.times_s.len());
    for (i, (time_s, mean_c)) in means.iter().enumerate() {
        assert!((time_s - answer.times_s[i]).abs() < 1e-9 && (mean_c - answer.mean_c[i]).abs() < 1e-9);
    }
    assert!(phases.is_sorted() && phases.last() == Some(&3));
    Ok(())
}
