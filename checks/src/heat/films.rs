//! Films of air, evaporation and radiation.

use jarwright_figure::Mark;
use jarwright_heat::films::{Surroundings, open_surface, still_air_convection_w_m2k, still_air_w_m2k};

use super::{Claim, or_miss};
use crate::{Check, Worst};

pub(super) fn still_air_table() -> Check {
    let mut worst = Worst::default();
    for (wall_c, convection, radiation) in [
        (95.0, 7.16, 7.47),
        (80.0, 6.83, 6.95),
        (60.0, 6.24, 6.29),
        (40.0, 5.33, 5.69),
    ] {
        let air = or_miss(still_air_convection_w_m2k(wall_c, 20.0, 0.09));
        worst.add(air, convection);
        worst.add(or_miss(still_air_w_m2k(wall_c, 20.0, 0.09, 0.9)) - air, radiation);
    }
    Claim {
        name: "still-air-jar",
        claim: "film of still air and radiation on a jar 90 mm tall",
        source: "coolprop_8",
        place: "walls 40 to 95 °C in air of 20 °C",
        mark: Mark::Computed,
        tolerance: 0.02,
        unit: "W/(m2 K)",
        why: "air by two sets of equations, 0.3 % apart",
        note: "",
    }
    .held(&worst)
}

pub(super) fn still_air_plate() -> Check {
    let mut worst = Worst::default();
    worst.add_relative(or_miss(still_air_convection_w_m2k(39.85, 13.85, 0.4)), 4.06);
    Claim {
        name: "still-air-plate",
        claim: "free convection on an upright plate of 0.4 m",
        source: "lienhard_htt",
        place: "example 8.1, by Squire and Eckert's equation",
        mark: Mark::Seen,
        tolerance: 0.07,
        unit: "1",
        why: "another author's equation, which lies some per cent under this one",
        note: "",
    }
    .held(&worst)
}

pub(super) fn hot_bath() -> Check {
    let around = Surroundings {
        air_c: 25.0,
        rel_humidity: 0.52,
        pressure_pa: 92_000.0,
    };
    let mut worst = Worst::default();
    match open_surface(3.5, 3.5 / 9.0, 50.0, 1.0, 0.95, &around) {
        Ok(surface) => {
            worst.add_relative(surface.convection_w_m2k, 5.467);
            worst.add_relative(surface.convection_w, 478.3);
            worst.add_relative(surface.evaporation_kg_s * 3600.0, 5.245);
            worst.add_relative(surface.evaporation_w, 3472.0);
        }
        Err(_) => worst.add(f64::NAN, 0.0),
    }
    Claim {
        name: "open-hot-bath",
        claim: "convection and evaporation from an open bath of 50 °C, 3.5 m by 1 m",
        source: "cengel_heat_mass",
        place: "example 14.13, recomputed with the book's viscosity 1.849e-5 m2/s",
        mark: Mark::Computed,
        tolerance: 0.02,
        unit: "1",
        why: "the book's table of air against equations, and moist against dry mean density",
        note: "the companion's printed answers suffer from integer division; that viscosity already holds at 92 kPa",
    }
    .held(&worst)
}

pub(super) fn hot_bath_radiation() -> Check {
    // The walls of the example's room are at 20 °C.
    let around = Surroundings {
        air_c: 20.0,
        rel_humidity: 0.52,
        pressure_pa: 92_000.0,
    };
    let mut worst = Worst::default();
    worst.add(
        or_miss(open_surface(3.5, 3.5 / 9.0, 50.0, 1.0, 0.95, &around).map(|s| s.radiation_w)),
        663.0,
    );
    Claim {
        name: "open-hot-bath-radiation",
        claim: "radiation from an open bath of 50 °C to walls of 20 °C",
        source: "cengel_heat_mass",
        place: "example 14.13",
        mark: Mark::Seen,
        tolerance: 1.0,
        unit: "W",
        why: "printed to the watt",
        note: "the walls' temperature was inferred from the printed answer",
    }
    .held(&worst)
}

pub(super) fn open_tank() -> Check {
    const W_M2_PER_BTU_H_FT2: f64 = 3.154_59;
    let around = Surroundings {
        air_c: 15.6,
        rel_humidity: 0.5,
        pressure_pa: 101_325.0,
    };
    let mut worst = Worst::default();
    for (fahrenheit, total) in [
        (120.0, 470.0),
        (130.0, 615.0),
        (140.0, 820.0),
        (150.0, 1040.0),
        (160.0, 1310.0),
        (170.0, 1615.0),
        (180.0, 2000.0),
        (190.0, 2450.0),
        (200.0, 3000.0),
        (210.0, 3600.0),
    ] {
        let surface = open_surface(1.0, 0.25, (fahrenheit - 32.0) / 1.8, 1.0, 0.95, &around);
        let watts = surface.map(|s| s.convection_w + s.radiation_w + s.evaporation_w);
        worst.add_relative(or_miss(watts) / W_M2_PER_BTU_H_FT2, total);
    }
    Claim {
        name: "open-tank-losses",
        claim: "heat lost by open water of 120 to 210 °F in still air",
        source: "open_tank_losses",
        place: "table, evaporation and radiation",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.4,
        unit: "1",
        why: "the table calls its values rough estimates and gives neither humidity nor size",
        note: "holds the order of magnitude up to boiling; ours lies above the table",
    }
    .held(&worst)
}
