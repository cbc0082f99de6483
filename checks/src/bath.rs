//! Baths and steam canners followed load by load, held against print and measurements.

use jarwright_figure::Mark;
use jarwright_heat::HeatError;
use jarwright_heat::bath::{Bath, Lid};
use jarwright_heat::bath_run::{Around, Course, Inside, Load, run};
use jarwright_heat::condensing::{Film, film_condensation, steam_on_wall_w_m2k, steam_with_air_w_m2k};
use jarwright_heat::films::{Surroundings, open_surface};
use jarwright_heat::jar::{Contents, JarBody};
use jarwright_matter::{latent_heat_j_kg, liquid_water};

use crate::{Check, Worst};

/// Every check of baths followed load by load.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        rippled_condensation(),
        smooth_condensation(),
        air_in_steam(),
        load_by_hand(),
        come_ups_on_one_burner(),
        loaded_canner(),
        steam_come_up(),
        steam_limit(),
        open_tank_evaporation(),
    ]
}

fn passed(worst: &Worst, tolerance: f64) -> bool {
    worst.points > 0 && worst.miss <= tolerance
}

/// Film of a textbook's wall, the film's subcooling counted as the book does: 0.68 c dT more
/// latent heat.
fn film(steam_c: f64, wall_c: f64, height_m: f64, subcooled: bool) -> Result<Film, HeatError> {
    let colder_k = steam_c - wall_c;
    let more_j_kg = if subcooled { 0.68 * 4200.0 * colder_k } else { 0.0 };
    let water = liquid_water(0.5 * (steam_c + wall_c))?;
    film_condensation(&water, latent_heat_j_kg(steam_c)? + more_j_kg, colder_k, height_m)
}

fn rippled_condensation() -> Check {
    let mut worst = Worst::default();
    match (film(100.0, 80.0, 2.0, true), film(100.0, 50.0, 1.0, true)) {
        (Ok(plate), Ok(tube)) => {
            worst.add_relative(plate.reynolds, 1287.0);
            worst.add_relative(plate.w_m2k, 5850.0);
            worst.add_relative(plate.heat_w_m2 * 6.0 / 1000.0, 702.0);
            worst.add_relative(plate.condensate_kg_sm * 3.0, 0.303);
            let round_m = std::f64::consts::PI * 0.08;
            worst.add_relative(tube.heat_w_m2 * round_m / 1000.0, 66.6);
            // That book divides by the latent heat alone.
            worst.add_relative(tube.heat_w_m2 * round_m / 2.257e6, 0.0295);
        }
        _ => worst.add(f64::NAN, 0.0),
    }
    let tolerance = 0.02;
    Check {
        name: "rippled-condensation",
        claim: "steam condensing on a plate of 2 by 3 m at 80 °C and on a tube of 1 m by 80 mm at 50 °C, in rippled films",
        source: "cengel_heat_mass",
        place: "example 10.4; incropera_heat_mass, example 10.3",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "the books' tables of water against the steam tables' own equations, and answers of three digits",
        passed: passed(&worst, tolerance),
        note: "the books count the film's subcooling as 0.68 c dT more latent heat; so does this check".into(),
    }
}

fn smooth_condensation() -> Check {
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for (steam_c, wall_c, height_m, printed) in [
        (100.0, 98.0, 0.3, 13_156.0),
        (99.85, 89.85, 0.3, 8670.6),
        (89.44, 86.11, 0.305, 13_355.0),
    ] {
        let h = film(steam_c, wall_c, height_m, false).map_or(f64::NAN, |film| film.w_m2k);
        worst.add_relative(h, printed);
        seen.push(format!("{h:.0} against {printed:.0}"));
    }
    let tolerance = 0.2;
    Check {
        name: "smooth-condensation",
        claim: "steam condensing on upright walls of 0.3 m",
        source: "holman_heat",
        place: "example 9.1; lienhard_htt, example 8.6; geankoplis, example 4.8-2",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "authors differ by a fifth: two books keep the smooth film up to Re 1800, one takes 20 % more; ours ripples from Re 30 on",
        passed: passed(&worst, tolerance),
        note: format!(
            "in that order, W/(m2 K): {}; the wall of the third, 86.11 °C, is from memory",
            seen.join("; ")
        ),
    }
}

fn air_in_steam() -> Check {
    let mut worst = Worst::default();
    let pure = steam_on_wall_w_m2k(99.97, 90.0, 0.09).unwrap_or(f64::NAN);
    let mut seen = Vec::new();
    for mixture_c in [99.3, 99.0, 98.7, 98.3] {
        let with_air = steam_with_air_w_m2k(mixture_c, 101_325.0).unwrap_or(f64::NAN);
        worst.add_inside(with_air / pure, 0.0, 0.5);
        seen.push(format!("{mixture_c} °C {:.2}", with_air / pure));
    }
    Check {
        name: "air-in-steam",
        claim: "a few per cent of air take more than half of a condensing film away",
        source: "sparrow_lin_1964",
        place: "abstract",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "1",
        why: "more than 50 % printed",
        passed: passed(&worst, 0.0),
        note: format!(
            "what is left of the pure film, 3 to 9 % of air by mass: {}; the correlation itself is from memory",
            seen.join(", ")
        ),
    }
}

/// Rating [W] and published share of the large domestic burners.
const BURNERS: [(f64, f64); 3] = [(4400.0, 0.32), (4400.0, 0.44), (2500.0, 0.75)];
/// Two US quarts, what steam canners hold [kg].
const TWO_QUARTS_KG: f64 = 1.89;
/// A canner of 21.5 US quarts, half full as its instructions say [kg].
const HALF_FULL_KG: f64 = 0.5 * 21.5 * 0.946_353;
/// 75, 140 and 180 °F.
const F75_C: f64 = 23.9;
const F140_C: f64 = 60.0;
const F180_C: f64 = 82.2;
/// Least and greatest net power of the printed ratings and shares [W].
const NET_W: (f64, f64) = (1470.0 * 0.32, 2500.0 * 0.80);
const WATER_FILM: Around = Around::Water { film_w_m2k: 1000.0 };

fn canner(burner_w: f64, water_kg: f64) -> Bath {
    Bath {
        water_kg,
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

/// Juice, which stirs itself: nearly water.
fn juice(count: u32, inner_radius_m: f64, food_height_m: f64, glass_kg_each: f64, start_c: f64) -> Load {
    Load {
        count,
        body: JarBody {
            inner_radius_m,
            food_height_m,
            wall_m: 0.003,
            base_m: 0.004,
            glass_k_w_mk: 1.05,
            glass_density_kg_m3: 2520.0,
            glass_cp_j_kgk: 820.0,
        },
        contents: Contents {
            conductivity_w_mk: 0.6,
            density_kg_m3: 1020.0,
            heat_capacity_j_kgk: 4000.0,
        },
        inside: Inside::Stirs { film_w_m2k: 300.0 },
        glass_kg_each,
        start_c,
    }
}

/// A canner's loads of juice: quarts, pints, half-pints.
fn loads(start_c: f64) -> [Load; 3] {
    [
        juice(7, 0.0445, 0.140, 0.411, start_c),
        juice(9, 0.0372, 0.100, 0.241, start_c),
        juice(12, 0.032, 0.070, 0.177, start_c),
    ]
}

fn minutes(bath: &Bath, load: &Load, around: Around, start_c: f64) -> f64 {
    let course = Course {
        start_c,
        hold_s: 0.0,
        hold_w: None,
    };
    run(bath, load, around, &course).map_or(f64::NAN, |done| done.boils_s / 60.0)
}

fn load_by_hand() -> Check {
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for (power_w, start_c) in [(500.0, 82.2), (800.0, 60.0), (800.0, 20.0)] {
        let bath = Bath {
            vessel_j_k: 2.5 * 477.0,
            surface_m2: 0.0,
            ..canner(power_w, 18.0)
        };
        let jars = juice(12, 0.032, 0.070, 0.177, start_c);
        // Kilojoules by hand: water 18 x 4.186, steel 2.5 x 0.477, glass 12 x 0.177 x 0.82, and
        // 12 x 0.2298 kg of food x 4.0.
        let by_hand = (75.348 + 1.1925 + 1.7417 + 11.030) * (99.974 - start_c) / (power_w / 1000.0) / 60.0;
        let here = minutes(&bath, &jars, WATER_FILM, start_c);
        worst.add_relative(here, by_hand);
        seen.push(format!("{here:.1} against {by_hand:.1} min"));
    }
    let tolerance = 0.02;
    Check {
        name: "load-by-hand",
        claim: "18 L, 2.5 kg of steel and 12 half-pints of juice come up in the time that their printed heat capacities ask for",
        source: "kitchen_arithmetic",
        place: "water 4.186; incropera_heat_mass steel 0.477; container_glass_pages glass 0.82 kJ/(kg K)",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "the hand takes every jar to the boil, ours lag behind the water",
        passed: passed(&worst, tolerance),
        note: format!("slow burners, no losses: {}", seen.join("; ")),
    }
}

/// Net power [W] at which `minutes_at` meets `wanted`; between 100 W and 20 kW.
fn power_w(wanted: f64, minutes_at: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (100.0_f64, 20_000.0_f64);
    for _ in 0..40 {
        let middle = (low * high).sqrt();
        // A burner that never boils has no minutes, and none are fewer than those wanted.
        if minutes_at(middle) < wanted {
            high = middle;
        } else {
            low = middle;
        }
    }
    (low * high).sqrt()
}

/// The burner whose slowest load, 7 quarts filled at 75 °F, comes up from 180 °F in the printed 21 min [W].
fn one_burner_w() -> f64 {
    power_w(21.0, |w| {
        minutes(&canner(w, HALF_FULL_KG), &loads(F75_C)[0], WATER_FILM, F180_C)
    })
}

/// Least and most of some minutes, as they are told.
fn least_to_most(list: &[f64]) -> String {
    let (low, high) = list
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(low, high), m| (low.min(*m), high.max(*m)));
    format!("{low:.1} to {high:.1}")
}

fn come_ups_on_one_burner() -> Check {
    let burner_w = one_burner_w();
    let bath = canner(burner_w, HALF_FULL_KG);
    let mut worst = Worst::default();
    let (mut hot, mut whole) = (Vec::new(), Vec::new());
    worst.add_inside(burner_w, NET_W.0, NET_W.1);
    for start_c in [F75_C, F180_C] {
        for (n, load) in loads(start_c).into_iter().enumerate() {
            let up = minutes(&bath, &load, WATER_FILM, F180_C);
            // Water alone takes the lid's losses as well: what it needs from 20 °C less what it
            // needs from 180 °F.
            let water = Load { count: 0, ..load };
            let preheat = minutes(&bath, &water, WATER_FILM, 20.0) - minutes(&bath, &water, WATER_FILM, F180_C);
            if (n, start_c) != (0, F75_C) {
                worst.add_inside(up, 4.3, 21.0);
            }
            worst.add_inside(up + preheat, 23.0, 49.0);
            hot.push(up);
            whole.push(up + preheat);
        }
    }
    Check {
        name: "come-ups-on-one-burner",
        claim: "one domestic burner, set by the slowest load, brings every load up within both printed ranges, 4.3 to 21 min \
                from 180 °F and 23 to 49 min with preheating",
        source: "iafp_2013_4056",
        place: "abstract; canner, water and burner are not printed",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min",
        why: "plausibility: inside the printed ranges; the 21 min that set the burner do not count",
        passed: passed(&worst, 0.0),
        note: format!(
            "a canner of 21.5 quarts, half full, on {burner_w:.0} W: {} min from 180 °F, {} min with preheating, over quarts, \
             pints and half-pints filled at 75 and 180 °F. Missed: the printed quickest, 4.3 min, asks for less water over \
             short jars or a stronger burner; gas of 1.41 kW takes up to 64 min with preheating, so the measured \
             canners stood on something stronger",
            least_to_most(&hot),
            least_to_most(&whole)
        ),
    }
}

fn loaded_canner() -> Check {
    let up = |w: f64| loads(F75_C).map(|load| minutes(&canner(w, HALF_FULL_KG), &load, WATER_FILM, F140_C));
    let (here, on_gas) = (up(one_burner_w()), up(BURNERS[0].0 * BURNERS[0].1));
    let mut worst = Worst::default();
    for minutes in here {
        worst.add_inside(minutes, 20.0, 30.0);
    }
    Check {
        name: "loaded-canner",
        claim: "a half-full canner loaded raw at 140 °F needs 20 to 30 min to its boil on the burner of come-ups-on-one-burner",
        source: "usda_guide_1994",
        place: "recommended canners: about 20 to 30 min",
        mark: Mark::ThirdPartyCopy,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min",
        why: "plausibility: inside the printed range",
        passed: passed(&worst, 0.0),
        note: format!(
            "quarts, pints and half-pints: {} min. Missed on the weakest of the large burners, gas of 1.41 kW into the water: \
             {} min; the guide prints neither water nor burner",
            least_to_most(&here),
            least_to_most(&on_gas)
        ),
    }
}

fn steam_come_up() -> Check {
    let up = |load: Load| move |w: f64| minutes(&canner(w, TWO_QUARTS_KG), &load, Around::Steam, 20.0);
    let mut worst = Worst::default();
    let slow_w = power_w(16.2, up(loads(F180_C)[0]));
    let quick_w = power_w(10.3, up(loads(F180_C)[2]));
    for w in [slow_w, quick_w] {
        worst.add_inside(w, NET_W.0, NET_W.1);
    }
    let burner_w = one_burner_w();
    let both = [F75_C, F180_C].map(|fill_c| loads(fill_c).map(|load| up(load)(burner_w)));
    Check {
        name: "steam-come-up",
        claim: "both ends of the measured 10.3 to 16.2 min of steam canners, with hot jars, ask for a net power that domestic burners have",
        source: "iafp_2013_4056",
        place: "abstract; fill temperature, water and burner are not printed",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "W",
        why: "plausibility: between the smallest gas and the largest electric burner, 0.47 to 2.0 kW into the water",
        passed: passed(&worst, 0.0),
        note: format!(
            "two quarts of water from 20 °C: {slow_w:.0} W for 16.2 min, {quick_w:.0} W for 10.3 min. Missed: on the \
             {burner_w:.0} W that meet the water canner's come-ups, jars filled at 75 °F take {} min and at 180 °F {} min, a \
             wider spread than was measured",
            least_to_most(&both[0]),
            least_to_most(&both[1])
        ),
    }
}

fn steam_limit() -> Check {
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for (rating_w, share) in BURNERS {
        let bath = canner(rating_w * share, TWO_QUARTS_KG);
        let course = Course {
            start_c: F180_C,
            hold_s: 3.0 * 3600.0,
            hold_w: None,
        };
        for load in loads(F180_C) {
            let dry =
                run(&bath, &load, Around::Steam, &course).map(|done| done.dry_s.unwrap_or(f64::NAN) - done.boils_s);
            let dry = dry.map_or(f64::NAN, |s| s / 60.0);
            worst.add_relative(dry, 45.0);
            seen.push(format!("{dry:.0}"));
        }
    }
    let tolerance = 1.0 / 3.0;
    Check {
        name: "steam-limit",
        claim: "two quarts under full flame last about as long as the 45 min that steam canners are limited to",
        source: "nchfp_steam_canner",
        place: "process time at most 45 min, lest the canner boil dry",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "plausibility only: water and burner behind the limit are not printed",
        passed: passed(&worst, tolerance),
        note: format!(
            "minutes until dry on 1.41, 1.94 and 1.88 kW: {}; a strong burner left full on is dry before 45 min",
            seen.join(", ")
        ),
    }
}

fn open_tank_evaporation() -> Check {
    const W_M2_PER_BTU_H_FT2: f64 = 3.154_59;
    let around = Surroundings {
        air_c: 15.6,
        rel_humidity: 0.5,
        pressure_pa: 101_325.0,
    };
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for (fahrenheit, evaporation) in [
        (90.0, 80.0),
        (100.0, 160.0),
        (110.0, 240.0),
        (120.0, 360.0),
        (130.0, 480.0),
        (140.0, 660.0),
        (150.0, 860.0),
        (160.0, 1100.0),
        (170.0, 1380.0),
        (180.0, 1740.0),
        (190.0, 2160.0),
        (200.0, 2680.0),
        (210.0, 3240.0),
    ] {
        let surface = open_surface(1.0, 0.25, (fahrenheit - 32.0) / 1.8, 1.0, 0.95, &around);
        let here = surface.map_or(f64::NAN, |surface| surface.evaporation_w / W_M2_PER_BTU_H_FT2);
        worst.add_relative(here, evaporation);
        seen.push(format!("{:.2}", here / evaporation));
    }
    let tolerance = 0.4;
    Check {
        name: "open-tank-evaporation",
        claim: "vapour's share of the heat lost by open water of 90 to 210 °F in still air",
        source: "open_tank_losses",
        place: "table, evaporation alone",
        mark: Mark::ThirdPartyCopy,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "as of the table's totals: it calls its values rough estimates and gives neither humidity nor size",
        passed: passed(&worst, tolerance),
        note: format!("ours over the table's, 90 to 210 °F: {}", seen.join(", ")),
    }
}
