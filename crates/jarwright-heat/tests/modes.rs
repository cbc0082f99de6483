//! Laws the eigenfunctions keep, and the two solvers beside each other.

use std::sync::Arc;

use jarwright_heat::HeatError;
use jarwright_heat::case::{Case, Contents, Film, JarBody, Phase};
use jarwright_heat::exact::FiniteCylinder;
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::{Modes, Spectrum};
use proptest::prelude::*;

const CURD: Contents = Contents {
    conductivity_w_mk: 0.45,
    density_kg_m3: 1140.0,
    heat_capacity_j_kgk: 2865.0,
};

fn body(glass_m: f64) -> JarBody {
    JarBody {
        inner_radius_m: 0.032,
        food_height_m: 0.08,
        wall_m: glass_m,
        base_m: glass_m,
        glass_k_w_mk: 1.05,
        glass_density_kg_m3: 2500.0,
        glass_cp_j_kgk: 840.0,
    }
}

fn phase(seconds: f64, from_c: f64, to_c: f64, films: [f64; 3]) -> Phase {
    Phase {
        duration_s: seconds,
        ambient_start_c: from_c,
        ambient_end_c: to_c,
        side: Film::Apart {
            side_w_m2k: films[0],
            base_w_m2k: films[1],
        },
        top_w_m2k: films[2],
    }
}

fn case(glass_m: f64, start_c: f64, phases: &[Phase]) -> Case {
    Case {
        body: body(glass_m),
        contents: CURD,
        food_start_c: start_c,
        glass_start_c: start_c,
        phases: phases.to_vec(),
    }
}

const BATH: [f64; 3] = [1000.0, 1000.0, 0.0];
const AIR: [f64; 3] = [12.0, 12.0, 8.0];

/// A minute on the bench, come-up, hold, air.
fn day() -> [Phase; 4] {
    [
        phase(60.0, 22.0, 22.0, AIR),
        phase(1620.0, 82.0, 100.0, BATH),
        phase(900.0, 100.0, 100.0, BATH),
        phase(9000.0, 22.0, 22.0, AIR),
    ]
}

#[test]
fn a_plain_cylinder_is_exact_at_every_time_and_the_truncation_is_true() -> Result<(), HeatError> {
    let (radius, diffusivity) = (0.032, CURD.diffusivity_m2_s());
    for (biot, ratio) in [(0.1, 1.25), (0.5, 1.0), (5.0, 1.25), (90.0, 1.0), (90.0, 3.0)] {
        let film = biot * CURD.conductivity_w_mk / radius;
        let mut case = case(0.0, 100.0, &[phase(40_000.0, 0.0, 0.0, [film; 3])]);
        case.body.food_height_m = 2.0 * ratio * radius;
        let modes = Modes::new(&case)?;
        let exact = FiniteCylinder::new(biot, ratio)?;
        for fo in [0.005, 0.0125, 0.0159, 0.0161, 0.018, 0.03, 0.05, 0.1, 0.3, 1.0, 4.0] {
            if fo / (ratio * ratio) < 0.002 {
                continue;
            }
            let time_s = fo * radius * radius / diffusivity;
            let miss = modes.centre_c(time_s) - 100.0 * exact.theta(fo, 0.0, 0.0)?;
            assert!(miss.abs() <= modes.truncation_k(), "{biot} {ratio} {fo}: {miss}");
        }
        assert!(modes.truncation_k() < 3e-4, "{}", modes.truncation_k());
    }
    Ok(())
}

#[test]
fn the_mean_of_a_plain_cylinder_is_exact_once_resolved() -> Result<(), HeatError> {
    let (radius, diffusivity) = (0.032, CURD.diffusivity_m2_s());
    for biot in [0.5, 5.0, 90.0] {
        let film = biot * CURD.conductivity_w_mk / radius;
        let mut case = case(0.0, 100.0, &[phase(40_000.0, 0.0, 0.0, [film; 3])]);
        case.body.food_height_m = 2.0 * radius;
        let modes = Modes::resolving(&case, 10.0)?;
        let exact = FiniteCylinder::new(biot, 1.0)?;
        let fourier = [0.01, 0.05, 0.2, 1.0];
        let times: Vec<f64> = fourier.iter().map(|fo| fo * radius * radius / diffusivity).collect();
        let answer = modes.answer(&times);
        assert!(answer.energy_error < 1e-6);
        for (fo, mean_c) in fourier.iter().zip(&answer.mean_c[1..]) {
            let miss = mean_c - 100.0 * exact.mean(*fo)?;
            assert!(miss.abs() < 1e-5, "{biot} {fo}: {miss}");
        }
    }
    Ok(())
}

#[test]
fn a_ramp_is_the_limit_of_a_fine_staircase() -> Result<(), HeatError> {
    for glass_m in [0.0, 0.003] {
        let ramp = case(
            glass_m,
            70.0,
            &[phase(1800.0, 60.0, 100.0, BATH), phase(1200.0, 20.0, 20.0, AIR)],
        );
        let steps = 720;
        let width = 40.0 / f64::from(steps);
        let mut stairs: Vec<Phase> = (0..steps)
            .map(|i| {
                let c = 60.0 + width * (f64::from(i) + 0.5);
                phase(1800.0 / f64::from(steps), c, c, BATH)
            })
            .collect();
        stairs.push(phase(1200.0, 20.0, 20.0, AIR));
        let (ramp, stairs) = (Modes::new(&ramp)?, Modes::new(&case(glass_m, 70.0, &stairs))?);
        for time_s in [400.0, 900.0, 1800.0, 1900.0, 2400.0, 3000.0] {
            let miss = ramp.centre_c(time_s) - stairs.centre_c(time_s);
            // Glass along itself is told in few functions, anew at each of 720 steps.
            let slack = if glass_m > 0.0 { 3e-3 } else { 3e-4 };
            assert!(miss.abs() < slack, "{glass_m} {time_s}: {miss}");
        }
    }
    Ok(())
}

#[test]
fn a_phase_cut_in_two_changes_nothing() -> Result<(), HeatError> {
    // Glass along itself is told in few functions, anew where a phase begins.
    for (glass_m, slack) in [(0.0, 2e-4), (0.003, 2e-3)] {
        let whole = Modes::new(&case(
            glass_m,
            70.0,
            &[phase(1500.0, 80.0, 100.0, BATH), phase(3000.0, 20.0, 20.0, AIR)],
        ))?;
        let cut = [
            phase(750.0, 80.0, 90.0, BATH),
            phase(750.0, 90.0, 100.0, BATH),
            phase(7.0, 20.0, 20.0, AIR),
            phase(2993.0, 20.0, 20.0, AIR),
        ];
        let cut = Modes::new(&case(glass_m, 70.0, &cut))?;
        for i in 0..45 {
            let time_s = 100.0 * f64::from(i);
            let miss = whole.centre_c(time_s) - cut.centre_c(time_s);
            assert!(miss.abs() < slack, "{glass_m} {time_s}: {miss}");
        }
    }
    Ok(())
}

#[test]
fn films_that_hardly_change_hardly_change_the_answer() -> Result<(), HeatError> {
    for change in [1e-12, 1e-9, 1e-7, 1e-5] {
        let near = BATH.map(|h| h * (1.0 + change));
        let same = [phase(600.0, 100.0, 100.0, BATH), phase(600.0, 100.0, 100.0, BATH)];
        let other = [phase(600.0, 100.0, 100.0, BATH), phase(600.0, 100.0, 100.0, near)];
        let (same, other) = (
            Modes::new(&case(0.0, 70.0, &same))?,
            Modes::new(&case(0.0, 70.0, &other))?,
        );
        let miss = same.centre_c(1200.0) - other.centre_c(1200.0);
        assert!(miss.abs() < 1e-4 + 30.0 * change, "{change}: {miss}");
    }
    Ok(())
}

#[test]
fn a_jar_at_its_surroundings_temperature_stays_there() -> Result<(), HeatError> {
    let still = case(
        0.003,
        20.0,
        &[phase(300.0, 20.0, 20.0, AIR), phase(5000.0, 20.0, 20.0, BATH)],
    );
    let answer = Modes::resolving(&still, 5.0)?.answer(&[1.0, 10.0, 200.0, 400.0, 2000.0]);
    for values in [&answer.centre_c, &answer.coldest_c, &answer.warmest_c, &answer.mean_c] {
        assert!(values.iter().all(|c| (c - 20.0).abs() < 1e-9), "{values:?}");
    }
    Ok(())
}

#[test]
fn a_jar_without_films_keeps_its_heat_and_evens_out() -> Result<(), HeatError> {
    // The surroundings may do what they like.
    let mut closed = case(0.003, 90.0, &[phase(90_000.0, 5.0, 100.0, [0.0; 3])]);
    closed.glass_start_c = 20.0;
    let answer = Modes::new(&closed)?.answer(&[]);
    let food = std::f64::consts::PI * 0.032f64.powi(2) * 0.08 * 1140.0 * 2865.0;
    let glass = std::f64::consts::PI * (0.035f64.powi(2) * 0.083 - 0.032f64.powi(2) * 0.08) * 2500.0 * 840.0;
    let even = (90.0 * food + 20.0 * glass) / (food + glass);
    // In the corner of the glass the functions hold a little more or less heat than is there.
    let corner = std::f64::consts::PI * (0.035f64.powi(2) - 0.032f64.powi(2)) * 0.003 * 2500.0 * 840.0;
    for c in [answer.centre_c[1], answer.mean_c[1], answer.coldest_c[1]] {
        assert!((c - even).abs() < 70.0 * corner / (food + glass), "{c} {even}");
    }
    Ok(())
}

#[test]
fn still_air_and_nonsense_are_refused() {
    let mut still = case(0.003, 20.0, &[phase(60.0, 20.0, 20.0, AIR)]);
    still.phases[0].side = Film::StillAir { emissivity: 0.9 };
    assert!(matches!(Modes::new(&still), Err(HeatError::FilmVaries { .. })));
    assert!(Modes::new(&case(0.003, 20.0, &[])).is_err());
    assert!(Modes::new(&case(0.003, f64::NAN, &[phase(60.0, 20.0, 20.0, AIR)])).is_err());
    assert!(Modes::new(&case(-0.003, 20.0, &[phase(60.0, 20.0, 20.0, AIR)])).is_err());
    assert!(Modes::new(&case(0.0, 20.0, &[phase(1e9, 20.0, 20.0, AIR)])).is_err());
    assert!(Modes::new(&case(0.0, 20.0, &[phase(60.0, 20.0, 20.0, [f64::INFINITY; 3])])).is_err());
}

#[test]
fn glass_that_is_no_thin_wall_is_refused() {
    let bath = [phase(600.0, 100.0, 100.0, BATH)];
    assert!(Modes::new(&case(0.003, 70.0, &bath)).is_ok());
    assert!(matches!(
        Modes::new(&case(0.006, 70.0, &bath)),
        Err(HeatError::OutOfRange(_))
    ));
    let mut foam = case(0.003, 70.0, &bath);
    foam.contents.density_kg_m3 = 150.0;
    assert!(matches!(Modes::new(&foam), Err(HeatError::OutOfRange(_))));
}

#[test]
fn films_that_change_places_turn_nothing_around() -> Result<(), HeatError> {
    // Base and top swap a strong and a weak film: the rates stay, the functions do not.
    let swap = [
        phase(600.0, 20.0, 20.0, [0.0, 1200.0, 1.0]),
        phase(900.0, 20.0, 20.0, [0.0, 1.0, 1200.0]),
    ];
    let case = case(0.0, 80.0, &swap);
    let modes = Modes::new(&case)?;
    let cells = jar::solve(&case, &Grid::fine())?;
    for (time_s, c) in cells.times_s.iter().zip(&cells.centre_c) {
        let miss = modes.centre_c(*time_s) - c;
        assert!(miss.abs() < 0.01, "{time_s} {c}: {miss}");
    }
    Ok(())
}

#[test]
fn dose_points_weigh_the_whole_run_and_the_peak_is_one() -> Result<(), HeatError> {
    let modes = Modes::new(&case(0.003, 70.0, &day()))?;
    let points = modes.dose_points();
    let whole: f64 = points.weights_s.iter().sum();
    assert!((whole - 11_580.0).abs() < 1e-6, "{whole}");
    assert!(points.times_s.windows(2).all(|t| t[1] > t[0]));
    assert_eq!(points.phase_starts.len(), 4);
    let (peak_s, peak_c) = modes.peak(&points);
    assert!(peak_s > 2580.0 && peak_s < 6000.0, "{peak_s}");
    for i in 0..1158 {
        let c = modes.centre_c(10.0 * f64::from(i));
        assert!(c <= peak_c + 1e-6, "{i}: {c} {peak_c}");
    }
    for off in [-5.0, 5.0] {
        assert!(modes.centre_c(peak_s + off) < peak_c);
    }
    Ok(())
}

/// Worst of modes less cells over a run [K]: middle, coldest and mean, each at every cell reading
/// from a minute after the last change.
fn apart(case: &Case, grid: &Grid) -> Result<[f64; 3], HeatError> {
    let cells = jar::solve(case, grid)?;
    let modes = Modes::resolving(case, 5.0)?.answer(&cells.times_s);
    let mut starts = vec![0.0];
    for phase in &case.phases {
        starts.push(starts.last().copied().unwrap_or(0.0) + phase.duration_s);
    }
    let mut worst = [0.0_f64; 3];
    for (i, &time_s) in cells.times_s.iter().enumerate() {
        assert!((modes.times_s[i] - time_s).abs() < 1e-6);
        let start = starts
            .iter()
            .rev()
            .find(|s| **s <= time_s + 1e-9)
            .copied()
            .unwrap_or(0.0);
        if time_s - start < 60.0 {
            continue;
        }
        let misses = [
            modes.centre_c[i] - cells.centre_c[i],
            modes.coldest_c[i] - cells.coldest_c[i],
            modes.mean_c[i] - cells.mean_c[i],
        ];
        for (worst, miss) in worst.iter_mut().zip(misses) {
            if miss.abs() > worst.abs() {
                *worst = miss;
            }
        }
    }
    Ok(worst)
}

#[test]
fn the_two_solvers_agree_without_glass() -> Result<(), HeatError> {
    let grid = Grid {
        radial: 60,
        axial: 100,
        step_s: 4.0,
        ..Grid::fine()
    };
    for films in [
        [1200.0, 1200.0, 1200.0],
        [1000.0, 300.0, 0.0],
        [0.0, 1e6, 3.0],
        [50.0, 0.0, 1e9],
        [1e-3, 0.0, 0.0],
    ] {
        let phases = [
            phase(900.0, 60.0, 100.0, films),
            phase(900.0, 100.0, 100.0, BATH),
            phase(5400.0, 22.0, 30.0, AIR),
        ];
        let worst = apart(&case(0.0, 50.0, &phases), &grid)?;
        assert!(worst[0].abs() < 0.01 && worst[2].abs() < 0.02, "{films:?}: {worst:?}");
        assert!(worst[1].abs() < 0.05, "{films:?}: {worst:?}");
    }
    Ok(())
}

/// Minutes at 93.3 °C with z 8.9 K, from readings and the time each stands for.
fn dose_min(weights_s: &[f64], centre_c: &[f64]) -> f64 {
    let rate = |c: &f64| 10f64.powf((c - 93.3) / 8.9);
    weights_s.iter().zip(centre_c).map(|(w, c)| w * rate(c) / 60.0).sum()
}

#[test]
fn with_glass_the_modes_are_not_hotter_than_the_cells_where_a_dose_depends_on_it() -> Result<(), HeatError> {
    let bath_with_top = [1000.0, 1000.0, 20.0];
    for (start_c, phases) in [
        (70.0, vec![phase(3600.0, 100.0, 100.0, BATH)]),
        (77.0, day().to_vec()),
        (
            66.0,
            vec![
                phase(1650.0, 82.0, 100.0, BATH),
                phase(900.0, 100.0, 100.0, BATH),
                phase(9000.0, 22.0, 22.0, [12.0, 12.0, 0.0]),
            ],
        ),
        (
            72.0,
            vec![
                phase(1500.0, 82.0, 100.0, bath_with_top),
                phase(900.0, 100.0, 100.0, bath_with_top),
                phase(9000.0, 22.0, 22.0, [12.0, 12.0, 20.0]),
            ],
        ),
    ] {
        let case = case(0.003, start_c, &phases);
        let cells = jar::solve(&case, &Grid::fine())?;
        let modes = Modes::new(&case)?;
        for (time_s, c) in cells.times_s.iter().zip(&cells.centre_c) {
            let miss = modes.centre_c(*time_s) - c;
            assert!(
                *c < 55.0 || (miss < 0.02 && miss > -0.03),
                "{start_c} {time_s} {c}: {miss}"
            );
        }
        let points = modes.dose_points();
        let middles: Vec<f64> = cells.centre_c.windows(2).map(|c| 0.5 * (c[0] + c[1])).collect();
        let widths: Vec<f64> = cells.times_s.windows(2).map(|t| t[1] - t[0]).collect();
        let (by_modes, by_cells) = (
            dose_min(&points.weights_s, &points.centre_c),
            dose_min(&widths, &middles),
        );
        // Cells read a minute apart at the end lose 0.05 % on the chords between them.
        assert!(
            by_modes < by_cells * 1.001 && by_modes > by_cells * 0.997,
            "{start_c}: {by_modes} {by_cells}"
        );
    }
    Ok(())
}

#[test]
fn functions_made_once_serve_other_temperatures_and_times() -> Result<(), HeatError> {
    let made = case(0.003, 70.0, &day());
    let spectrum = Arc::new(Spectrum::new(&made, f64::INFINITY)?);
    let mut other = made.clone();
    other.food_start_c = 55.0;
    other.phases[1].ambient_start_c = 60.0;
    other.phases[2].duration_s = 2400.0;
    let (kept, anew) = (spectrum.run(&other)?, Modes::new(&other)?);
    for i in 0..130 {
        let time_s = 100.0 * f64::from(i);
        let miss = kept.centre_c(time_s) - anew.centre_c(time_s);
        assert!(miss.abs() < 1e-4, "{time_s}: {miss}");
    }
    let mut colder = other.clone();
    colder.contents.conductivity_w_mk = 0.44;
    assert!(matches!(
        spectrum.run(&colder),
        Err(HeatError::NotInSpectrum { what: "food" })
    ));
    let mut thinner = other.clone();
    thinner.body.wall_m = 0.0025;
    assert!(matches!(
        spectrum.run(&thinner),
        Err(HeatError::NotInSpectrum { what: "jar" })
    ));
    other.phases[3].top_w_m2k = 7.0;
    assert!(matches!(
        spectrum.run(&other),
        Err(HeatError::NotInSpectrum { what: "film" })
    ));
    Ok(())
}

#[test]
fn the_two_solvers_share_only_what_goes_in_and_comes_out() {
    const SHARED: [&str; 2] = ["case", "HeatError"];
    let modes = [
        ("modes", include_str!("../src/modes.rs")),
        ("stage", include_str!("../src/stage.rs")),
        ("spectrum", include_str!("../src/spectrum.rs")),
        ("along_glass", include_str!("../src/along_glass.rs")),
        ("bessel", include_str!("../src/bessel.rs")),
    ];
    let cells = [
        ("jar", include_str!("../src/jar.rs")),
        ("mesh", include_str!("../src/mesh.rs")),
        ("probe", include_str!("../src/probe.rs")),
        ("films", include_str!("../src/films.rs")),
    ];
    for (own, other) in [(modes.to_vec(), cells.to_vec()), (cells.to_vec(), modes.to_vec())] {
        let own_names: Vec<&str> = own.iter().map(|(name, _)| *name).collect();
        for (name, text) in &own {
            let used = text.match_indices("crate::").map(|(at, found)| {
                let rest = &text[at + found.len()..];
                rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                    .next()
                    .unwrap_or("")
            });
            for module in used {
                let ours = SHARED.contains(&module) || own_names.contains(&module);
                assert!(ours && !other.iter().any(|(o, _)| *o == module), "{name} uses {module}");
            }
        }
    }
}

#[test]
fn a_jar_of_glass_heated_from_one_side_is_refused() {
    for films in [
        [0.0, 1000.0, 0.0],
        [12.0, 0.0, 0.0],
        [0.0, 0.0, 20.0],
        [12.0, 12.0, 400.0],
    ] {
        let one_sided = case(0.003, 70.0, &[phase(600.0, 100.0, 100.0, films)]);
        assert!(
            matches!(Modes::new(&one_sided), Err(HeatError::FilmsApart { .. })),
            "{films:?}"
        );
        assert!(
            Modes::new(&Case {
                body: body(0.0),
                ..one_sided
            })
            .is_ok(),
            "{films:?}"
        );
    }
    assert!(Modes::new(&case(0.003, 70.0, &[phase(600.0, 100.0, 100.0, [1000.0, 300.0, 20.0])])).is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn nothing_is_hotter_or_colder_than_what_was_there(
        radius in 0.01f64..0.1, height in 0.02f64..0.25, glass in prop_oneof![Just(0.0), 0.001f64..0.006],
        start in 0.0f64..100.0, around in 0.0f64..100.0, end in 0.0f64..100.0,
        films in proptest::array::uniform6(0.0f64..3000.0), seconds in 1.0f64..4000.0,
    ) {
        let mut case = case(glass, start, &[
            phase(seconds, around, end, [films[0], films[1], films[2]]),
            phase(5000.0, 20.0, 20.0, [films[3], films[4], films[5]]),
        ]);
        case.body.inner_radius_m = radius;
        case.body.food_height_m = height;
        if matches!(Modes::new(&case), Err(HeatError::FilmsApart { .. } | HeatError::OutOfRange(_))) {
            case.body = JarBody { inner_radius_m: radius, food_height_m: height, ..body(0.0) };
        }
        let modes = Modes::new(&case).map_err(|e| TestCaseError::fail(e.to_string()))?;
        let (low, high) = (start.min(around).min(end).min(20.0), start.max(around).max(end).max(20.0));
        let slack = 1e-6 + modes.truncation_k();
        for i in 0..60 {
            let c = modes.centre_c((seconds + 5000.0) * f64::from(i) / 60.0);
            prop_assert!(c > low - slack && c < high + slack, "{} {} {} {}", c, low, high, slack);
        }
        let points = modes.dose_points();
        prop_assert!((points.weights_s.iter().sum::<f64>() - seconds - 5000.0).abs() < 1e-6);
        prop_assert!(modes.truncation_k() < 1e-3, "{}", modes.truncation_k());
    }
}

/// A jar of 2 to 4 mm glass filled, brought up in a bath, held and cooled.
fn glass_runs() -> impl Strategy<Value = Case> {
    let body = (
        0.02f64..0.05,
        0.04f64..0.16,
        0.002f64..0.004,
        0.002f64..0.004,
        0.95f64..1.2,
    );
    let food = (0.35f64..0.62, 1000.0f64..1350.0, 2400.0f64..4000.0);
    let temperatures = (15.0f64..92.0, 75.0f64..105.0, 0.0f64..1.0, 2.0f64..30.0);
    let films = (300.0f64..4000.0, 0.5f64..1.2, 0.0f64..25.0, 5.0f64..20.0, 0.0f64..1.0);
    let times = (20.0f64..400.0, 0.2f64..0.9, 0.05f64..0.8, 2.0f64..4.0, any::<bool>());
    (body, food, temperatures, films, times).prop_map(|(body, food, c, h, t)| {
        let contents = Contents {
            conductivity_w_mk: food.0,
            density_kg_m3: food.1,
            heat_capacity_j_kgk: food.2,
        };
        let scale_s = body.0 * body.0 / contents.diffusivity_m2_s();
        let (bath, air) = ([h.0, h.0 * h.1, h.2], [h.3, h.3 * h.1, h.3 * h.4]);
        let came_from_c = 20.0 + c.2 * (c.1 - 20.0);
        let mut phases = vec![
            phase(t.0, c.3, c.3, air),
            phase(t.1 * scale_s, came_from_c, c.1, bath),
            phase(t.2 * scale_s, c.1, c.1, bath),
            phase(t.3 * scale_s, c.3, c.3, air),
        ];
        if t.4 {
            phases.remove(0);
        }
        Case {
            body: JarBody {
                inner_radius_m: body.0,
                food_height_m: body.1,
                wall_m: body.2,
                base_m: body.3,
                glass_k_w_mk: body.4,
                ..body_of_glass()
            },
            contents,
            food_start_c: c.0,
            glass_start_c: c.0,
            phases,
        }
    })
}

fn body_of_glass() -> JarBody {
    body(0.003)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn in_glass_the_modes_are_never_hotter_than_the_cells_by_more_than_a_fiftieth_kelvin(case in glass_runs()) {
        let Ok(modes) = Modes::new(&case) else {
            // Glass too thick for so small a jar.
            return Ok(());
        };
        let cells = |part: usize| {
            let grid = Grid { radial: 20 * part, axial: 30 * part, wall: 3 * part, base: 3 * part, step_s: 8.0 / part as f64 };
            let times: Vec<f64> = (1..200).map(|i| f64::from(i) / 200.0 * case.duration_s()).collect();
            jar::solve(&case, &grid).map(|answer| answer.at(&times)).map_err(|e| TestCaseError::fail(e.to_string()))
        };
        let (coarse, fine) = (cells(2)?, cells(3)?);
        for (i, &time_s) in fine.times_s.iter().enumerate() {
            // Richardson: the error of the cells falls with the square of their size.
            let c = fine.centre_c[i] + (fine.centre_c[i] - coarse.centre_c[i]) / 1.25;
            let miss = modes.centre_c(time_s) - c;
            prop_assert!(c < 55.0 || (miss < 0.02 && miss > -0.05), "{} s, {} C: {}", time_s, c, miss);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn products_alone_are_near_and_without_glass_the_same(case in glass_runs()) {
        let (Ok(whole), Ok(alone)) = (Modes::new(&case), Modes::products_alone(&case)) else {
            return Ok(());
        };
        let mut bare = case.clone();
        (bare.body.wall_m, bare.body.base_m) = (0.0, 0.0);
        let fail = |e: HeatError| TestCaseError::fail(e.to_string());
        let bare = (Modes::new(&bare).map_err(fail)?, Modes::products_alone(&bare).map_err(fail)?);
        for i in 0..200 {
            let time_s = f64::from(i) / 200.0 * case.duration_s();
            let miss = alone.centre_c(time_s) - whole.centre_c(time_s);
            prop_assert!(miss.abs() < 0.8, "{} s: {}", time_s, miss);
            let bits = (bare.0.centre_c(time_s).to_bits(), bare.1.centre_c(time_s).to_bits());
            prop_assert_eq!(bits.0, bits.1);
        }
    }
}
