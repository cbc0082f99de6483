//! Pots, burners and baths, held against measurements and worked arithmetic.

use jarwright_figure::Mark;
use jarwright_heat::HeatError;
use jarwright_heat::bath::{Bath, Jars, Lid, burner_for_come_up, come_up, heat_to_boil_j, litres_to_add};
use jarwright_heat::jar::{Contents, JarBody};
use jarwright_heat::lag::conducting_w_k;
use jarwright_heat::pot::{Charge, Heating, Pot, boil_for, cook_to_c};
use jarwright_matter::Food;

use crate::{Check, Worst};

/// Every check of pot and bath.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        loaded_bath_come_up(),
        burner_for_curd_come_up(),
        bath_water_heat(),
        water_to_cool_a_bath(),
        quart_of_water(),
        full_power_evaporation(),
        slowest_mode_of_jars(),
    ]
}

/// British thermal unit [J], international table.
const BTU_J: f64 = 1055.06;

fn passed(worst: &Worst, tolerance: f64) -> bool {
    worst.points > 0 && worst.miss <= tolerance
}

/// Half-pint of the heat-penetration tables: inner radius 32 mm, food 80 mm, glass 3 mm.
const HALF_PINT: JarBody = jar(0.032, 0.080);

const fn jar(inner_radius_m: f64, food_height_m: f64) -> JarBody {
    JarBody {
        inner_radius_m,
        food_height_m,
        wall_m: 0.003,
        base_m: 0.003,
        glass_k_w_mk: 1.05,
        glass_density_kg_m3: 2500.0,
        glass_cp_j_kgk: 840.0,
    }
}

const CURD: Contents = Contents {
    conductivity_w_mk: 0.45,
    density_kg_m3: 1140.0,
    heat_capacity_j_kgk: 2865.0,
};

/// A covered stock pot of 18 litres at sea level, in a kitchen.
fn bath(burner_w: f64) -> Bath {
    Bath {
        water_kg: 18.0,
        vessel_j_k: 0.0,
        burner_w,
        lid: Lid::On,
        surface_m2: 0.08,
        side_loss_w_k: 0.0,
        room_c: 21.0,
        rel_humidity: 0.5,
        pressure_pa: 101_325.0,
        boils_c: 99.974,
    }
}

fn half_pints(start_c: f64) -> Result<Jars, HeatError> {
    Ok(Jars {
        count: 12,
        food_kg_each: 0.24,
        food_j_kgk: CURD.heat_capacity_j_kgk,
        glass_kg_each: 0.17,
        glass_j_kgk: 840.0,
        start_c,
        u_a_w_k: conducting_w_k(&HALF_PINT, &CURD, 1000.0)?,
    })
}

/// 180 °F, the hottest a bath may be when curd goes in.
const LOADED_AT_C: f64 = 82.2;

fn loaded_bath_come_up() -> Check {
    /// Rating [W] and share into the water.
    const BURNERS: [(f64, f64); 3] = [(4400.0, 0.32), (4400.0, 0.44), (2500.0, 0.75)];
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for (rating_w, share) in BURNERS {
        let minutes = half_pints(70.0)
            .and_then(|jars| come_up(&bath(rating_w * share), &jars, LOADED_AT_C))
            .map_or(f64::NAN, |up| up.minutes);
        worst.add_inside(minutes, 4.3, 30.0);
        seen.push(format!("{minutes:.1}"));
    }
    Check {
        name: "loaded-bath-come-up",
        claim: "18 L with 12 hot-filled half-pints, loaded at 180 °F on a large domestic burner, boils within the published come-ups",
        source: "iafp_2013_4056",
        place: "abstract: 4.3 to 21 min from 180 °F; nchfp_lemon_curd: 25 to 30 min",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min",
        why: "inside the union of both published ranges",
        passed: passed(&worst, 0.0),
        note: format!(
            "a weak claim: vessel, water and burner of the publications are not printed, the two \
             ranges do not meet, and the burners here are ratings times published shares; computed {} min",
            seen.join(", ")
        ),
    }
}

fn burner_for_curd_come_up() -> Check {
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for minutes in [25.0, 30.0] {
        let burner_w = half_pints(70.0)
            .and_then(|jars| burner_for_come_up(&bath(0.0), &jars, LOADED_AT_C, minutes))
            .unwrap_or(f64::NAN);
        // Least and greatest net power of the printed ratings and shares.
        worst.add_inside(burner_w, 1470.0 * 0.32, 2500.0 * 0.80);
        seen.push(format!("{burner_w:.0} W for {minutes:.0} min"));
    }
    Check {
        name: "burner-for-curd-come-up",
        claim: "the published 25 to 30 min of curd ask for a net power that domestic burners have",
        source: "nchfp_lemon_curd",
        place: "come-up after loading; ratings cooktop_retailer_ratings, shares energy_star_cooktops",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "W",
        why: "between the smallest gas and the largest electric burner, 0.47 to 2.0 kW into the water",
        passed: passed(&worst, 0.0),
        note: format!("18 L, 12 half-pints at 70 °C: {}", seen.join(", ")),
    }
}

fn bath_water_heat() -> Check {
    let mut worst = Worst::default();
    let water = Bath {
        boils_c: 100.0,
        ..bath(0.0)
    };
    let kwh = heat_to_boil_j(&water, &Jars::NONE, 15.0).map_or(f64::NAN, |j| j / 3.6e6);
    worst.add(kwh, 1.78);
    let tolerance = 0.005;
    Check {
        name: "bath-water-heat",
        claim: "18 L of water from 15 to 100 °C takes 1.78 kWh",
        source: "kitchen_arithmetic",
        place: "18 L x 4.186 kJ/(kg K) x 85 K",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "kWh",
        why: "two decimals",
        passed: passed(&worst, tolerance),
        note: "18 L taken as 18 kg; jars and losses come on top".into(),
    }
}

fn water_to_cool_a_bath() -> Check {
    let mut worst = Worst::default();
    worst.add(litres_to_add(14.0, 100.0, 15.0, 82.0).unwrap_or(f64::NAN), 3.8);
    let tolerance = 0.05;
    Check {
        name: "water-to-cool-a-bath",
        claim: "14 L at the boil take 3.8 L of water at 15 °C to come down to 82 °C",
        source: "kitchen_arithmetic",
        place: "V x 18/(82 - 15)",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "L",
        why: "one decimal",
        passed: passed(&worst, tolerance),
        note: "without bailing; bailed first, 3.0 L are swapped".into(),
    }
}

/// A pot that neither holds nor loses heat: the burner's share already counts both.
fn counted(into_pot_w: f64) -> Pot {
    Pot {
        heating: Heating::Direct { into_pot_w },
        surface_m2: 0.0,
        diameter_m: 0.0,
        pot_j_k: 0.0,
        room_c: 21.0,
        humidity: 0.5,
        pressure_pa: 101_325.0,
        stirred: false,
    }
}

fn water(kg: f64, start_c: f64) -> Charge {
    Charge {
        food: Food {
            water_kg: kg,
            ..Food::default()
        },
        start_c,
    }
}

fn quart_of_water() -> Check {
    /// Rated power [W], published share, measured time [s].
    const RUNS: [(f64, f64, f64); 2] = [(7000.0 * BTU_J / 3600.0, 0.32, 510.0), (1300.0, 0.85, 350.0)];
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for (rated_w, share, measured_s) in RUNS {
        // Ideal heat 317 Btu printed: a US quart from 60 °F.
        let cook = cook_to_c(&counted(rated_w * share), &water(0.9464, 15.56), &[], 99.9, 0.0);
        let seconds = cook.map_or(f64::NAN, |cook| cook.seconds);
        worst.add_relative(seconds, measured_s);
        seen.push(format!("{seconds:.0} s against {measured_s:.0} s"));
    }
    let tolerance = 0.16;
    Check {
        name: "quart-of-water",
        claim: "a quart of water comes to the boil in the measured time by a published burner share",
        source: "cooktop_magazine_test",
        place: "gas 7000 Btu/h 8 min 30 s, induction 1300 W 5 min 50 s; shares of energy_star_cooktops",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "the two publications differ by as much: the test itself found 74 % for induction, the other prints 85 %",
        passed: passed(&worst, tolerance),
        note: format!("gas, then induction: {}", seen.join("; ")),
    }
}

fn full_power_evaporation() -> Check {
    /// Rated power [W], share, kilograms an hour.
    const RUNS: [(f64, f64, f64); 4] = [
        (2600.0, 0.32, 1.33),
        (4400.0, 0.32, 2.25),
        (2100.0, 0.75, 2.51),
        (1800.0, 0.85, 2.44),
    ];
    let mut worst = Worst::default();
    for (rated_w, share, kg_h) in RUNS {
        let cook = boil_for(&counted(rated_w * share), &water(10.0, 99.9), &[], 60.0);
        worst.add(
            cook.map_or(f64::NAN, |cook| cook.evaporated_kg * 3600.0 / cook.boiling_s),
            kg_h,
        );
    }
    let tolerance = 0.006;
    Check {
        name: "full-power-evaporation",
        claim: "all net power into the boil gives the evaporation worked out for four burners",
        source: "kitchen_arithmetic",
        place: "gas 2.6 and 4.4 kW, coil 2.1 kW, induction 1.8 kW",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "kg/h",
        why: "two decimals, and a latent heat rounded to four digits",
        passed: passed(&worst, tolerance),
        note: "an open pot loses a little of it to the room besides".into(),
    }
}

fn slowest_mode_of_jars() -> Check {
    /// Inner radius [m], height [m], heating factor f [min] at 1.25e-7 and 1.40e-7 m²/s.
    const JARS: [(f64, f64, f64, f64); 3] = [
        (0.026, 0.055, 37.2, 33.2),
        (0.032, 0.080, 56.4, 50.4),
        (0.038, 0.110, 79.7, 71.1),
    ];
    let mut worst = Worst::default();
    for (radius_m, height_m, slow_min, quick_min) in JARS {
        for (diffusivity_m2_s, f_min) in [(1.25e-7, slow_min), (1.40e-7, quick_min)] {
            let heat_capacity_j_kgk = 0.45 / (1140.0 * diffusivity_m2_s);
            let food = Contents {
                heat_capacity_j_kgk,
                ..CURD
            };
            let volume_m3 = std::f64::consts::PI * radius_m * radius_m * height_m;
            let capacity_j_k = 1140.0 * volume_m3 * heat_capacity_j_kgk;
            let u_a = conducting_w_k(&jar(radius_m, height_m), &food, 1000.0).unwrap_or(f64::NAN);
            worst.add(std::f64::consts::LN_10 * capacity_j_k / u_a / 60.0, f_min);
        }
    }
    let tolerance = 0.1;
    Check {
        name: "slowest-mode-of-jars",
        claim: "a jar's lumped conductance gives the heating factor of its slowest mode",
        source: "scipy_mpmath",
        place: "three jars, 3 mm glass, film 1000 W/(m² K), top insulated",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "min",
        why: "one decimal, and an overall coefficient rounded to 259 W/(m² K)",
        passed: passed(&worst, tolerance),
        note: "the lump has this rate by construction; early on a real jar draws more heat".into(),
    }
}
