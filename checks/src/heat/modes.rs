//! The jar by eigenfunctions, and the production grid beside it, against general-purpose
//! libraries and textbooks. Each solver is held to the outside world by itself.

use jarwright_dose::{lethality_split_min, lethality_weighted_min};
use jarwright_figure::Mark;
use jarwright_heat::HeatError;
use jarwright_heat::case::{Case, Contents, Film, JarBody, Phase};
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::Modes;

use super::Claim;
use super::exact::{FO, SQUARE, TALL};
use super::jar::{HEATED, ICED, JAR_TIMES_MIN, glass_case};
use crate::{Check, Worst};

/// A cylinder without glass under one film, from one temperature.
struct Plain {
    radius_m: f64,
    height_m: f64,
    food: Contents,
    film_w_m2k: f64,
    start_c: f64,
    around_c: f64,
    seconds: f64,
}

/// A body without glass; the glass's own numbers then count for nothing.
pub(super) fn bare(inner_radius_m: f64, food_height_m: f64) -> JarBody {
    JarBody {
        inner_radius_m,
        food_height_m,
        wall_m: 0.0,
        base_m: 0.0,
        glass_k_w_mk: 1.0,
        glass_density_kg_m3: 2500.0,
        glass_cp_j_kgk: 800.0,
    }
}

impl Plain {
    fn case(&self) -> Case {
        Case {
            body: bare(self.radius_m, self.height_m),
            contents: self.food,
            food_start_c: self.start_c,
            glass_start_c: self.start_c,
            phases: vec![Phase {
                duration_s: self.seconds,
                ambient_start_c: self.around_c,
                ambient_end_c: self.around_c,
                side: Film::Fixed(self.film_w_m2k),
                top_w_m2k: self.film_w_m2k,
            }],
        }
    }
}

const FOOD: Contents = Contents {
    conductivity_w_mk: 0.5,
    density_kg_m3: 1000.0,
    heat_capacity_j_kgk: 4000.0,
};
const RADIUS_M: f64 = 0.04;

/// A plain cylinder of a Biot number and shape, cooling from 1 to 0 over the longest Fourier
/// number; and the times of the others. A film without end is 1e9 W/(m² K).
pub(super) fn plain(biot: f64, height_over_radius: f64, fourier: &[f64]) -> (Case, Vec<f64>) {
    let second = FOOD.diffusivity_m2_s() / (RADIUS_M * RADIUS_M);
    let times: Vec<f64> = fourier.iter().map(|fo| fo / second).collect();
    let plain = Plain {
        radius_m: RADIUS_M,
        height_m: 2.0 * height_over_radius * RADIUS_M,
        food: FOOD,
        film_w_m2k: (biot * FOOD.conductivity_w_mk / RADIUS_M).min(1e9),
        start_c: 1.0,
        around_c: 0.0,
        seconds: times.iter().copied().fold(0.0, f64::max),
    };
    (plain.case(), times)
}

pub(super) fn modes_series() -> Check {
    let mut worst = Worst::default();
    let mut hold = |biot: f64, ratio: f64, fo: &[f64], centres: &[f64], means: Option<&[f64]>| {
        let (case, times) = plain(biot, ratio, fo);
        let answer = Modes::resolving(&case, 20.0).map(|modes| modes.answer(&times));
        for (i, centre) in centres.iter().enumerate() {
            let at = |list: fn(&jar::Answer) -> &Vec<f64>| {
                answer
                    .as_ref()
                    .map_or(f64::NAN, |a| list(a).get(i + 1).copied().unwrap_or(f64::NAN))
            };
            worst.add(at(|a| &a.centre_c), *centre);
            if let Some(mean) = means.and_then(|means| means.get(i)) {
                worst.add(at(|a| &a.mean_c), *mean);
            }
        }
    };
    for (biot, centres, means) in &SQUARE {
        hold(*biot, 1.0, &FO, centres, Some(means));
    }
    for (i, biot) in [0.5, 5.0, f64::INFINITY].into_iter().enumerate() {
        hold(biot, 1.25, &TALL.map(|row| row.0), &TALL.map(|row| row.1[i]), None);
    }
    Claim {
        name: "jar-modes-series",
        claim: "centre and mean of a cylinder heated on all faces, by the jar's eigenfunctions",
        source: "scipy_mpmath",
        place: "60 terms, 30 digits; half height over radius 1 and 1.25",
        mark: Mark::Computed,
        tolerance: 1e-6,
        unit: "1",
        why: "what is left out is below 1e-6 of the step",
        note: "",
    }
    .held(&worst)
}

pub(super) fn grid_series() -> Check {
    let mut worst = Worst::default();
    let mut hold = |biot: f64, ratio: f64, fo: &[f64], centres: &[f64]| {
        let (case, times) = plain(biot, ratio, fo);
        let answer = jar::solve(&case, &Grid::usual(&case)).map(|answer| answer.at(&times));
        for (i, centre) in centres.iter().enumerate() {
            let c = answer.as_ref().ok().and_then(|a| a.centre_c.get(i + 1).copied());
            worst.add(30.0 * c.unwrap_or(f64::NAN), 30.0 * centre);
        }
    };
    for (biot, centres, _) in &SQUARE {
        hold(*biot, 1.0, &FO, centres);
    }
    for (i, biot) in [0.5, 5.0, f64::INFINITY].into_iter().enumerate() {
        hold(biot, 1.25, &TALL.map(|row| row.0), &TALL.map(|row| row.1[i]));
    }
    Claim {
        name: "finite-cylinder-grid",
        claim: "the production grid gives a plain cylinder's centre, for a step of 30 K",
        source: "scipy_mpmath",
        place: "60 terms, 30 digits; Biot numbers 0.5, 5 and endless",
        mark: Mark::Computed,
        tolerance: 0.02,
        unit: "K",
        why: "a thermometer in a jar reads to 0.1 K; a fifth of that",
        note: "",
    }
    .held(&worst)
}

/// The elements' jars J1 and J3 by a solver: centre and coldest, or centre and warmest.
fn elements(
    name: &'static str,
    claim: &'static str,
    solve: fn(&Case, &[f64]) -> Result<jar::Answer, HeatError>,
) -> Check {
    let mut worst = Worst::default();
    let minutes = |list: &[f64]| -> Vec<f64> { list.iter().map(|m| 60.0 * m).collect() };
    let (heat_s, ice_s) = (minutes(&JAR_TIMES_MIN.0), minutes(&JAR_TIMES_MIN.1));
    let mut hold = |case: &Case, times: &[f64], rows: &[(f64, f64)], warmest: bool| {
        let answer = solve(case, times);
        for (i, (centre, axis)) in rows.iter().enumerate() {
            let at = |list: &Vec<f64>| list.get(i + 1).copied().unwrap_or(f64::NAN);
            let read = answer
                .as_ref()
                .map(|a| (at(&a.centre_c), at(if warmest { &a.warmest_c } else { &a.coldest_c })));
            let (c, extreme) = read.unwrap_or((f64::NAN, f64::NAN));
            worst.add(c, *centre);
            worst.add(extreme, *axis);
        }
    };
    hold(&glass_case(70.0, 3600.0, 100.0, 1000.0, 0.0), &heat_s, &HEATED, false);
    hold(&glass_case(95.0, 5400.0, 1.0, 400.0, 10.0), &ice_s, &ICED, true);
    Claim {
        name,
        claim,
        source: "scikit_fem_12",
        place: "benchmarks J1 and J3",
        mark: Mark::Computed,
        tolerance: 0.05,
        unit: "K",
        why: "half of what a jar's thermometer shows; three element grids agree to 0.0005 K",
        note: "",
    }
    .held(&worst)
}

pub(super) fn modes_elements() -> Check {
    elements(
        "jar-modes-finite-elements",
        "a glass jar of food in boiling water and in an ice bath, by eigenfunctions with the wall correction",
        |case, times| Ok(Modes::resolving(case, 5.0)?.answer(times)),
    )
}

pub(super) fn grid_elements() -> Check {
    elements(
        "jar-finite-elements",
        "a glass jar of food in boiling water and in an ice bath, by the production grid",
        |case, times| Ok(jar::solve(case, &Grid::usual(case))?.at(times)),
    )
}

/// The jar of the speed target: come-up, hold, air; no glass, all faces alike.
fn bench_case() -> Case {
    let phase = |duration_s, ambient_start_c, ambient_end_c, film| Phase {
        duration_s,
        ambient_start_c,
        ambient_end_c,
        side: Film::Fixed(film),
        top_w_m2k: film,
    };
    Case {
        body: bare(0.0325, 0.075),
        contents: Contents {
            conductivity_w_mk: 0.45,
            density_kg_m3: 1150.0,
            heat_capacity_j_kgk: 3100.0,
        },
        food_start_c: 76.7,
        glass_start_c: 76.7,
        phases: vec![
            phase(600.0, 82.0, 100.0, 1200.0),
            phase(900.0, 100.0, 100.0, 1200.0),
            phase(5400.0, 22.0, 22.0, 8.0),
        ],
    }
}

/// Middle at 600 s, at 1500 s and at its peak [°C]; minutes at 93.3 °C, z 8.9 K.
const BENCH: [f64; 4] = [77.198_346, 85.408_451, 91.095_053, 13.146_295];

pub(super) fn bench_modes() -> Check {
    let mut worst = Worst::default();
    if let Ok(modes) = Modes::new(&bench_case()) {
        worst.add(modes.centre_c(600.0), BENCH[0]);
        worst.add(modes.centre_c(1500.0), BENCH[1]);
        worst.add(modes.peak(&modes.dose_points()).1, BENCH[2]);
    } else {
        worst.add(f64::NAN, 0.0);
    }
    bench(
        "jar-modes-process",
        "eigenfunctions",
        0.002,
        "what the solver promises; the extrapolation is good to 1e-4 K",
    )
    .held(&worst)
}

pub(super) fn bench_modes_dose() -> Check {
    let mut worst = Worst::default();
    let dose = Modes::new(&bench_case()).ok().and_then(|modes| {
        let points = modes.dose_points();
        lethality_weighted_min(&points.weights_s, &points.centre_c, 93.3, 8.9).ok()
    });
    worst.add_relative(dose.unwrap_or(f64::NAN), BENCH[3]);
    bench_dose("jar-modes-dose", "eigenfunctions", 5e-4).held(&worst)
}

/// The production grid's centre at 600 and 1500 s and its peak, and the dose.
fn bench_grid_run() -> [f64; 4] {
    let case = bench_case();
    let Ok(answer) = jar::solve(&case, &Grid::usual(&case)) else {
        return [f64::NAN; 4];
    };
    let dose = lethality_split_min(&answer.times_s, &answer.centre_c, answer.phase_ends[1], 93.3, 8.9);
    let peak = answer.centre_c.iter().copied().fold(f64::NAN, f64::max);
    [
        answer.centre_c[answer.phase_ends[0]],
        answer.centre_c[answer.phase_ends[1]],
        peak,
        dose.map_or(f64::NAN, |(heating, cooling)| heating + cooling),
    ]
}

pub(super) fn bench_grid() -> Check {
    let mut worst = Worst::default();
    let [at_600, at_1500, peak, _] = bench_grid_run();
    worst.add(at_600, BENCH[0]);
    worst.add(at_1500, BENCH[1]);
    // A peak may miss twice as much: half counts.
    worst.add(0.5 * peak, 0.5 * BENCH[2]);
    bench(
        "jar-production-grid-process",
        "the production grid",
        0.01,
        "a tenth of what a jar's thermometer shows, a fifth at the peak",
    )
    .held(&worst)
}

pub(super) fn bench_grid_dose() -> Check {
    let mut worst = Worst::default();
    worst.add_relative(bench_grid_run()[3], BENCH[3]);
    bench_dose("jar-production-grid-dose", "the production grid", 3e-3).held(&worst)
}

fn bench(name: &'static str, by: &str, tolerance: f64, why: &'static str) -> Claim {
    Claim {
        name,
        claim: match by {
            "eigenfunctions" => {
                "a jar's middle at the end of come-up and hold and at its peak in air, by eigenfunctions"
            }
            _ => "a jar's middle at the end of come-up and hold and at its peak in air, by the production grid",
        },
        source: "scipy_bdf_jar",
        place: "referee/jar_speed_case.csv, extrapolated",
        mark: Mark::Computed,
        tolerance,
        unit: "K",
        why,
        note: "finite volumes on three grids, extrapolated",
    }
}

fn bench_dose(name: &'static str, by: &str, tolerance: f64) -> Claim {
    Claim {
        name,
        claim: match by {
            "eigenfunctions" => "minutes at 93.3 °C (z 8.9 K) of the whole run in the middle, by eigenfunctions",
            _ => "minutes at 93.3 °C (z 8.9 K) of the whole run in the middle, by the production grid",
        },
        source: "scipy_bdf_jar",
        place: "referee/jar_speed_case.csv, extrapolated",
        mark: Mark::Computed,
        tolerance,
        unit: "1",
        why: "what the solver promises",
        note: "",
    }
}

/// A can of pea purée and a short brass cylinder. The brass has a hundredth of its conductivity,
/// film and diffusivity and a hundred times its time, which changes no number of the answer.
fn textbook() -> [(Case, bool, f64, f64); 3] {
    let peas = Plain {
        radius_m: 0.0681 / 2.0,
        height_m: 0.1016,
        food: Contents {
            conductivity_w_mk: 0.830,
            density_kg_m3: 1000.0,
            heat_capacity_j_kgk: 0.830 / 2.007e-7 / 1000.0,
        },
        film_w_m2k: 4540.0,
        start_c: 29.4,
        around_c: 115.6,
        seconds: 2700.0,
    };
    let brass = || Plain {
        radius_m: 0.05,
        height_m: 0.12,
        food: Contents {
            conductivity_w_mk: 1.10,
            density_kg_m3: 1000.0,
            heat_capacity_j_kgk: 1.10 / 3.39e-7 / 1000.0,
        },
        film_w_m2k: 0.6,
        start_c: 120.0,
        around_c: 25.0,
        seconds: 90_000.0,
    };
    // Whether it is the top that is asked for; the exact and the printed answer.
    [
        (peas.case(), false, 108.391, 106.6),
        (brass().case(), false, 62.732, 63.0),
        (brass().case(), true, 62.123, 62.0),
    ]
}

fn textbook_answers(worst: &mut Worst, printed: bool) {
    for (case, top, exact, print) in textbook() {
        let modes = Modes::resolving(&case, 10.0).map(|modes| modes.answer(&[]));
        let cells = jar::solve(&case, &Grid::usual(&case));
        for answer in [modes, cells] {
            let read = |a: jar::Answer| {
                if top {
                    a.coldest_c.last().copied()
                } else {
                    a.centre_c.last().copied()
                }
            };
            let c = answer.ok().and_then(read).unwrap_or(f64::NAN);
            if printed {
                worst.add(c, print);
            } else {
                worst.add_relative(c, exact);
            }
        }
    }
}

pub(super) fn solvers_textbook_exact() -> Check {
    let mut worst = Worst::default();
    textbook_answers(&mut worst, false);
    Claim {
        name: "jar-solvers-textbook-exact",
        claim: "a can of purée and a short brass cylinder by both solvers, the chart replaced by the series",
        source: "scipy_mpmath",
        place: "inputs of the books, full series",
        mark: Mark::Computed,
        tolerance: 1e-3,
        unit: "1",
        why: "the exact column is given to five digits; a thousandth is 0.1 K here",
        note: "",
    }
    .held(&worst)
}

pub(super) fn solvers_textbook_printed() -> Check {
    let mut worst = Worst::default();
    textbook_answers(&mut worst, true);
    Claim {
        name: "jar-solvers-textbook-printed",
        claim: "a can of purée and a short brass cylinder by both solvers, as printed",
        source: "geankoplis",
        place: "example 5.3-4; the brass cylinder is Çengel's example 4.8",
        mark: Mark::Seen,
        tolerance: 2.0,
        unit: "K",
        why: "read from charts",
        note: "the chart answer for the can lies 1.8 K under the exact one",
    }
    .held(&worst)
}
