//! A jar of food that changes with temperature: against series where it does not change, Neumann's
//! solution where water freezes, finite elements, and Plank's printed time.

use jarwright_figure::Mark;
use jarwright_heat::HeatError;
use jarwright_heat::case::{Film, Phase};
use jarwright_heat::changing::{ChangingAnswer, ChangingCase, Fineness, solve};
use jarwright_heat::food_curves::{FoodAt, FoodCurves};
use jarwright_heat::jar::Case;

use super::Claim;
use super::exact::{FO, SQUARE, TALL};
use super::jar::{HEATED, ICED, JAR_TIMES_MIN, glass_case};
use super::modes::{bare, plain};
use crate::{Check, Worst};

/// A case of constant properties, by this solver.
fn constant(case: &Case) -> Result<ChangingAnswer, HeatError> {
    let food = FoodCurves::constant(&case.contents)?;
    let changing = ChangingCase {
        body: case.body,
        food: &food,
        food_start_c: case.food_start_c,
        glass_start_c: case.glass_start_c,
        phases: &case.phases,
    };
    solve(&changing, &Fineness::usual())
}

pub(super) fn series() -> Check {
    let mut worst = Worst::default();
    let mut hold = |biot: f64, ratio: f64, fo: &[f64], centres: &[f64]| {
        let (mut case, times) = plain(biot, ratio, fo);
        // A step of 30 K by itself: the tolerance is in kelvins.
        case.food_start_c = 30.0;
        case.glass_start_c = 30.0;
        let answer = constant(&case).map(|answer| answer.temperatures.at(&times));
        for (i, centre) in centres.iter().enumerate() {
            let c = answer.as_ref().ok().and_then(|a| a.centre_c.get(i + 1).copied());
            worst.add(c.unwrap_or(f64::NAN), 30.0 * centre);
        }
    };
    for (biot, centres, _) in &SQUARE {
        hold(*biot, 1.0, &FO, centres);
    }
    for (i, biot) in [0.5, 5.0, f64::INFINITY].into_iter().enumerate() {
        hold(biot, 1.25, &TALL.map(|row| row.0), &TALL.map(|row| row.1[i]));
    }
    Claim {
        name: "jar-changing-series",
        claim: "a food that does not change, by the grid for changing foods: a plain cylinder's centre, step of 30 K",
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

/// Where conductivity and heat capacity rise by the same share, the integral of conductivity obeys
/// the series of a food that does not change: both double here over the step of 30 K.
pub(super) fn rising() -> Check {
    const SHARE_PER_K: f64 = 1.0 / 30.0;
    let mut worst = Worst::default();
    let theta = |c: f64| c * (1.0 + 0.5 * SHARE_PER_K * c);
    let back = |theta: f64| ((1.0 + 2.0 * SHARE_PER_K * theta).sqrt() - 1.0) / SHARE_PER_K;
    let mut hold = |ratio: f64, fo: &[f64], centres: &[f64]| {
        let (case, times) = plain(f64::INFINITY, ratio, fo);
        let still = &case.contents;
        let rows = (-40..=160).map(|quarter| {
            let c = 0.25 * f64::from(quarter);
            FoodAt {
                c,
                heat_j_m3: still.density_kg_m3 * still.heat_capacity_j_kgk * theta(c),
                k_w_mk: still.conductivity_w_mk * (1.0 + SHARE_PER_K * c),
            }
        });
        let answer = FoodCurves::from_rows(rows.collect()).and_then(|food| {
            let changing = ChangingCase {
                body: case.body,
                food: &food,
                food_start_c: 30.0,
                glass_start_c: 30.0,
                phases: &case.phases,
            };
            solve(&changing, &Fineness::usual())
        });
        let read = answer.map(|answer| answer.temperatures.at(&times));
        for (i, centre) in centres.iter().enumerate() {
            let c = read.as_ref().ok().and_then(|a| a.centre_c.get(i + 1).copied());
            worst.add(c.unwrap_or(f64::NAN), back(centre * theta(30.0)));
        }
    };
    for (_, centres, _) in SQUARE.iter().filter(|row| row.0.is_infinite()) {
        hold(1.0, &FO, centres);
    }
    hold(1.25, &TALL.map(|row| row.0), &TALL.map(|row| row.1[2]));
    Claim {
        name: "jar-changing-rising-properties",
        claim: "a food whose conductivity and heat capacity double over a step of 30 K: a plain cylinder's centre",
        source: "scipy_mpmath",
        place: "60 terms, 30 digits, faces held; the integral of conductivity in place of temperature",
        mark: Mark::Computed,
        tolerance: 0.02,
        unit: "K",
        why: "a thermometer in a jar reads to 0.1 K; a fifth of that",
        note: "",
    }
    .held(&worst)
}

pub(super) fn elements() -> Check {
    let mut worst = Worst::default();
    let mut hold = |case: &Case, minutes: &[f64], rows: &[(f64, f64)], warmest: bool| {
        let times: Vec<f64> = minutes.iter().map(|m| 60.0 * m).collect();
        let answer = constant(case).map(|answer| answer.temperatures.at(&times));
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
    let heated = glass_case(70.0, 3600.0, 100.0, 1000.0, 0.0);
    hold(&heated, &JAR_TIMES_MIN.0, &HEATED, false);
    let iced = glass_case(95.0, 5400.0, 1.0, 400.0, 10.0);
    hold(&iced, &JAR_TIMES_MIN.1, &ICED, true);
    Claim {
        name: "jar-changing-finite-elements",
        claim: "a glass jar of food in boiling water and in an ice bath, by the grid for changing foods",
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

/// Ice and water of equal density: conductivity, heat capacity and heat of melting.
const ICE: (f64, f64) = (2.22, 2050.0);
const WATER: (f64, f64) = (0.57, 4180.0);
const DENSITY_KG_M3: f64 = 1000.0;
const MELTING_J_KG: f64 = 333_600.0;

/// Face and water at the start [°C]; heat given off by a square metre of the face in a quarter,
/// half and whole hour [J].
type Neumann = (f64, f64, [f64; 3]);
const NEUMANN: [Neumann; 4] = [
    (-10.0, 0.0, [3_725_081.545, 5_268_060.842, 7_450_163.090]),
    (-30.0, 0.0, [6_700_235.296, 9_475_563.626, 13_400_470.591]),
    (-10.0, 10.0, [4_146_026.358, 5_863_366.706, 8_292_052.716]),
    (-30.0, 20.0, [7_754_018.858, 10_965_838.631, 15_508_037.716]),
];

/// A layer of food over one face, all else insulated: its heat given off against time [J/m²].
fn layer(
    food: &FoodCurves,
    thick_m: f64,
    start_c: f64,
    face: (f64, f64),
    seconds: f64,
    cells: usize,
) -> Result<(Vec<f64>, Vec<f64>), HeatError> {
    let radius_m = 0.05;
    let phases = [Phase {
        duration_s: seconds,
        ambient_start_c: face.1,
        ambient_end_c: face.1,
        side: Film::Apart {
            side_w_m2k: 0.0,
            base_w_m2k: face.0,
        },
        top_w_m2k: 0.0,
    }];
    let case = ChangingCase {
        body: bare(radius_m, thick_m),
        food,
        food_start_c: start_c,
        glass_start_c: start_c,
        phases: &phases,
    };
    let fineness = Fineness {
        radial: 3,
        axial: cells,
        wall: 1,
        base: 1,
        tolerance_k: 0.005,
    };
    let answer = solve(&case, &fineness)?;
    let area_m2 = std::f64::consts::PI * radius_m * radius_m;
    let given = answer.food_j.iter().map(|j| (answer.food_j[0] - j) / area_m2).collect();
    Ok((answer.temperatures.times_s, given))
}

/// By a straight line between two readings.
fn read(times_s: &[f64], values: &[f64], time_s: f64) -> f64 {
    let i = times_s.partition_point(|t| *t < time_s).max(1);
    match (times_s.get(i - 1..=i), values.get(i - 1..=i)) {
        (Some([a, b]), Some([low, high])) => low + (time_s - a) / (b - a) * (high - low),
        _ => f64::NAN,
    }
}

pub(super) fn neumann() -> Check {
    let mut worst = Worst::default();
    let row = |c: f64, heat_j_kg: f64, k_w_mk: f64| FoodAt {
        c,
        heat_j_m3: DENSITY_KG_M3 * heat_j_kg,
        k_w_mk,
    };
    let water = FoodCurves::from_rows(vec![
        row(-60.0, -60.0 * ICE.1 - MELTING_J_KG, ICE.0),
        row(0.0, -MELTING_J_KG, ICE.0),
        row(0.0, 0.0, WATER.0),
        row(60.0, 60.0 * WATER.1, WATER.0),
    ]);
    for (face_c, start_c, given) in NEUMANN {
        // Water at 0 °C does not know how deep it is; warm water must not feel its end.
        let thick_m = if start_c > 0.0 { 0.12 } else { 0.06 };
        let run = water
            .as_ref()
            .map_err(Clone::clone)
            .and_then(|water| layer(water, thick_m, start_c, (1e9, face_c), 3600.0, 200));
        for (time_s, printed) in [900.0, 1800.0, 3600.0].into_iter().zip(given) {
            let met = run.as_ref().map(|(times, given)| read(times, given, time_s));
            worst.add_relative(met.unwrap_or(f64::NAN), printed);
        }
    }
    Claim {
        name: "freezing-water-neumann",
        claim: "heat that freezing water gives off through a cold face, from 0 °C and from 10 and 20 °C",
        source: "crank_1984",
        place: "equations 3.11 and 3.14 solved to 12 digits, faces of -10 and -30 °C, a quarter hour to an hour",
        mark: Mark::Computed,
        tolerance: 0.005,
        unit: "1",
        why: "the front stands somewhere in a cell of 0.3 to 0.6 mm and is 10 to 37 mm deep: a tenth of a cell",
        note: "",
    }
    .held(&worst)
}

pub(super) fn plank() -> Check {
    let mut worst = Worst::default();
    let latent = 1057.0 * 0.75 * 335_000.0;
    let (freezes_c, air_c) = (270.4 - 273.15, 244.3 - 273.15);
    // Plank counts no heat but the latent: a thousandth of it for the whole fall to the air's.
    let row = |c: f64, heat_j_m3: f64| FoodAt {
        c,
        heat_j_m3,
        k_w_mk: 1.038,
    };
    let slight = 1e-3 * latent / (freezes_c - air_c);
    let meat = FoodCurves::from_rows(vec![
        row(-60.0, -latent - slight * (freezes_c + 60.0)),
        row(freezes_c, -latent),
        row(freezes_c, 0.0),
        row(60.0, slight * (60.0 - freezes_c)),
    ]);
    let half_m = 0.5 * 0.0635;
    let run = meat.and_then(|meat| layer(&meat, half_m, freezes_c, (17.0, air_c), 30_000.0, 60));
    let frozen_s = run.ok().and_then(|(times, given)| {
        let i = given.iter().position(|j| *j >= latent * half_m)?;
        let (a, b) = (*given.get(i.checked_sub(1)?)?, given[i]);
        Some(times[i - 1] + (latent * half_m - a) / (b - a) * (times[i] - times[i - 1]))
    });
    worst.add_relative(frozen_s.unwrap_or(f64::NAN), 23_940.0);
    Claim {
        name: "jar-changing-plank-slab",
        claim: "a slab of meat whose heat is all latent freezes in the printed time, by the grid for changing foods",
        source: "geankoplis",
        place: "example 5.5-2",
        mark: Mark::Seen,
        tolerance: 0.001,
        unit: "1",
        why: "a thousandth of the heat is not latent; printed to 0.0002",
        note: "with the frozen meat's own heat capacity the same slab takes longer: Plank is a lower bound",
    }
    .held(&worst)
}
