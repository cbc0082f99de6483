//! Pans, ice, freezing and forecasts.

use jarwright_figure::Mark;
use jarwright_heat::cooling::{pan_cooling, pan_time_to_s};
use jarwright_heat::freezing::{Freezing, FreezingShape, ice_kg, plank_freezing_s};
use jarwright_heat::jar::Contents;
use jarwright_heat::two_point::TwoPoint;

use super::{Claim, or_miss};
use crate::{Check, Worst};

pub(super) fn plank() -> Check {
    let mut worst = Worst::default();
    let meat = Freezing {
        shape: FreezingShape::Slab,
        size_m: 0.0635,
        film_w_m2k: 17.0,
        frozen_k_w_mk: 1.038,
        density_kg_m3: 1057.0,
        latent_j_kg: 0.75 * 335_000.0,
        freezes_c: 270.4 - 273.15,
        air_c: 244.3 - 273.15,
    };
    worst.add(or_miss(plank_freezing_s(&meat)), 23_940.0);
    Claim {
        name: "plank-meat-slab",
        claim: "freezing time of a slab of meat in a blast freezer",
        source: "geankoplis",
        place: "example 5.5-2",
        mark: Mark::Seen,
        tolerance: 5.0,
        unit: "s",
        why: "printed as 2.394e4 s",
        note: "",
    }
    .held(&worst)
}

/// Chili or tomato sauce: conductivity 0.55 W/(m K), diffusivity 1.4e-7 m²/s.
const SAUCE: Contents = Contents {
    conductivity_w_mk: 0.55,
    density_kg_m3: 1000.0,
    heat_capacity_j_kgk: 0.55 / 1.4e-7 / 1000.0,
};

#[allow(clippy::approx_constant)] // 6.28 h is no circle
pub(super) fn pan_table() -> Check {
    let mut worst = Worst::default();
    for (depth_m, air_c, film, to_21, to_5) in [
        (0.051, 3.0, 12.0, 3.23, 9.32),
        (0.051, 3.0, 20.0, 2.22, 6.28),
        (0.051, 3.0, 30.0, 1.71, 4.77),
        (0.051, -20.0, 8.0, 2.68, 4.63),
        (0.051, -20.0, 12.0, 1.95, 3.32),
        (0.051, -20.0, 20.0, 1.36, 2.28),
        (0.076, -20.0, 12.0, 3.25, 5.46),
        (0.076, -20.0, 20.0, 2.37, 3.91),
    ] {
        for (target_c, hours) in [(21.1, to_21), (5.0, to_5)] {
            let seconds = pan_time_to_s(depth_m, &SAUCE, film, 57.2, air_c, target_c);
            worst.add(or_miss(seconds) / 3600.0, hours);
        }
    }
    Claim {
        name: "pan-cooling-hours",
        claim: "hours to 21.1 and to 5 °C in the middle of pans 51 and 76 mm deep",
        source: "scipy_mpmath",
        place: "slab series, films 8 to 30 W/(m2 K)",
        mark: Mark::Computed,
        tolerance: 0.01,
        unit: "h",
        why: "given to 0.01 h",
        note: "",
    }
    .held(&worst)
}

pub(super) fn roberts_pans() -> Check {
    let mut worst = Worst::default();
    for film in [12.0, 16.0, 20.0] {
        for (depth_m, air_c, met) in [
            (0.051, -20.0, true),
            (0.076, -20.0, false),
            (0.051, 3.0, false),
            (0.076, 3.0, false),
        ] {
            let verdict = pan_cooling(depth_m, &SAUCE, film, 57.2, air_c);
            worst.add_answer(verdict.is_ok_and(|v| v.passes == met));
        }
    }
    Claim {
        name: "pan-cooling-verdicts",
        claim: "of pans 51 and 76 mm deep, only 51 mm in a freezer meets both cooling limits",
        source: "roberts_2013",
        place: "abstract: chili and tomato sauce, uncovered, walk-in cooler and freezer",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "1",
        why: "met or not, for every film that a cold room's moving air may give",
        note: "air taken at 3 and -20 °C, films 12, 16 and 20 W/(m2 K)",
    }
    .held(&worst)
}

pub(super) fn dickerson_depth() -> Check {
    let mut worst = Worst::default();
    let hours = |depth_m| or_miss(pan_time_to_s(depth_m, &SAUCE, 1000.0, 57.2, 3.0, 21.1));
    worst.add(hours(0.2) / hours(0.1), 4.0);
    worst.add(hours(0.15) / hours(0.05), 9.0);
    Claim {
        name: "cooling-time-and-depth",
        claim: "cooling time goes with the square of the smallest dimension",
        source: "dickerson_read_1973",
        place: "abstract",
        mark: Mark::Seen,
        tolerance: 0.3,
        unit: "1",
        why: "stated for large vessels, whose film hardly counts",
        note: "",
    }
    .held(&worst)
}

pub(super) fn two_point_chart() -> Check {
    let mut worst = Worst::default();
    let c = |fahrenheit: f64| (fahrenheit - 32.0) / 1.8;
    for (sink, at_two_hours) in [(36.0, 80.8), (41.0, 81.4)] {
        let forecast = TwoPoint::new(c(135.0), c(102.6), 3600.0, c(sink));
        worst.add(or_miss(forecast.map(|f| f.at_c(7200.0) * 1.8 + 32.0)), at_two_hours);
    }
    Claim {
        name: "straight-line-cooling-chart",
        claim: "food on a county chart's straight line after one hour is at 81 °F, not 70 °F, after two",
        source: "cooling_arithmetic",
        place: "cooling towards 36 and 41 °F",
        mark: Mark::Computed,
        tolerance: 0.1,
        unit: "°F",
        why: "given to 0.1 °F",
        note: "21 of 29 measured kitchen curves were exponential",
    }
    .held(&worst)
}

pub(super) fn ice_for_jars() -> Check {
    let mut worst = Worst::default();
    let heat_j = 60.0 * 75.0 * (0.227 * 3000.0 + 0.170 * 840.0);
    worst.add(or_miss(ice_kg(heat_j, 5.0)), 10.4);
    Claim {
        name: "ice-for-sixty-jars",
        claim: "ice that brings 60 half-pints from 80 to 5 °C",
        source: "cooling_arithmetic",
        place: "227 g of food and 170 g of glass a jar",
        mark: Mark::Computed,
        tolerance: 0.1,
        unit: "kg",
        why: "given to 0.1 kg",
        note: "",
    }
    .held(&worst)
}
