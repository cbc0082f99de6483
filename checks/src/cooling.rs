//! Food that cools and freezes, films round it, refrigerators and glass, against what was printed and measured.
//!
//! What `heat/cooling.rs` holds, pans by series and the first Plank example, is not counted again here.

use jarwright_figure::Mark;
use jarwright_heat::HeatError;
use jarwright_heat::cooled_vessel::{Around, Side, Vessel};
use jarwright_heat::cooling::two_stage;
use jarwright_heat::fitting::{Solid, round_alike};
use jarwright_heat::freezing::{Freezing, FreezingShape, plank_freezing_s};
use jarwright_heat::glass::{Meets, Wall, wall_shock};
use jarwright_heat::heat_content::{Constants, Freezes, HeatTable};
use jarwright_heat::jar::Contents;
use jarwright_heat::media::{Medium, Stands, film_w_m2k, water_viscosity_pa_s};
use jarwright_heat::pham::{Pham, block_dimension, pham_freezing};
use jarwright_heat::slow_grid::{Body, Face, SlowGrid, middle_reaches_s};

use crate::heat::{Claim, or_miss};
use crate::{Check, Worst};

/// Every check of cooling, freezing and glass.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        roberts_films(),
        olds_sneed(),
        dickerson_vessels(),
        home_refrigerator(),
        ice_bath_depth(),
        films_in_range(),
        plate_down(),
        cylinder_in_wind(),
        viscosity(),
        plank_factors(),
        pham_arithmetic(),
        grid_and_pham(),
        fish_heat(),
        fish_ice(),
        plate_freezer(),
        hotter_shock(),
    ]
}

/// Thick sauce or chili: conductivity 0.55 W/(m K), diffusivity 1.4e-7 m²/s.
const SAUCE: Contents = Contents {
    conductivity_w_mk: 0.55,
    density_kg_m3: 1000.0,
    heat_capacity_j_kgk: 0.55 / 1.4e-7 / 1000.0,
};
/// Metal counts for nothing.
const BARE: Side = Side {
    wall_m: 0.0,
    wall_k_w_mk: 15.0,
};

fn air(speed_m_s: f64, medium_c: f64) -> Around {
    Around {
        medium: Medium::Air { speed_m_s },
        medium_c,
        film_w_m2k: None,
    }
}

/// A pan of the usual size, 20 by 12 in, so deep.
fn pan(depth_m: f64) -> Vessel {
    Vessel::Pan {
        sizes_m: [depth_m, 0.5, 0.3],
    }
}

/// Middle against time, with films as they come.
fn curve(
    vessel: Vessel,
    around: &Around,
    stirred: bool,
    start_c: f64,
    until_c: f64,
) -> Result<(Vec<f64>, Vec<f64>), HeatError> {
    let table = HeatTable::constant(&SAUCE)?;
    let table = if stirred { table.stirred() } else { table };
    let (_, base) = vessel.faces(&BARE, around, (start_c, start_c))?;
    let mut grid = SlowGrid::new(vessel.body(base.film_w_m2k, &table, start_c)?, &table, start_c)?;
    let (mut times_s, mut temps_c) = (vec![0.0], vec![start_c]);
    grid.run(
        1e6,
        |first, second| vessel.faces(&BARE, around, (first, second)),
        |now| {
            times_s.push(now.time_s);
            temps_c.push(now.middle_c);
            now.middle_c > until_c
        },
    )?;
    Ok((times_s, temps_c))
}

fn hours(vessel: Vessel, around: &Around, start_c: f64, until_c: f64) -> f64 {
    let last = curve(vessel, around, false, start_c, until_c).map(|(times_s, _)| times_s.last().copied());
    last.ok().flatten().map_or(f64::NAN, |s| s / 3600.0)
}

fn passes(vessel: Vessel, around: &Around, stirred: bool) -> Option<bool> {
    let (times_s, temps_c) = curve(vessel, around, stirred, 57.2, 4.9).ok()?;
    two_stage(&times_s, &temps_c).ok().map(|verdict| verdict.passes)
}

fn roberts_films() -> Check {
    let mut worst = Worst::default();
    for speed_m_s in [1.5, 2.0, 3.0] {
        for (depth_m, air_c, met) in [
            (0.051, -20.0, true),
            (0.076, -20.0, false),
            (0.051, 3.0, false),
            (0.076, 3.0, false),
        ] {
            worst.add_answer(passes(pan(depth_m), &air(speed_m_s, air_c), false) == Some(met));
        }
    }
    Claim {
        name: "pan-verdicts-by-computed-films",
        claim: "of pans 51 and 76 mm deep, only 51 mm in a freezer meets both limits, films from correlations",
        source: "roberts_2013",
        place: "abstract: chili and tomato sauce, uncovered, walk-in cooler and freezer",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "1",
        why: "met or not",
        note: "air taken at 3 and -20 °C and 1.5 to 3 m/s, which the abstract does not give; evaporation left out",
    }
    .held(&worst)
}

fn olds_sneed() -> Check {
    let mut worst = Worst::default();
    let pot = Vessel::Jar {
        depth_m: 0.22,
        across_m: 0.26,
    };
    for speed_m_s in [0.0, 1.0, 2.0] {
        for vessel in [pan(0.064), pan(0.102), pot] {
            worst.add_answer(passes(vessel, &air(speed_m_s, 3.0), false) == Some(false));
        }
    }
    worst.add_answer(passes(pan(0.064), &air(6.0, -25.0), false) == Some(true));
    Claim {
        name: "chili-walk-in-and-blast-chiller",
        claim: "no pan of 64 or 102 mm and no 3-gallon pot meets both limits in a walk-in; a blast chiller does",
        source: "olds_sneed_2005",
        place: "abstract: 2.5 and 4 in pans, 3-gallon pot",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "1",
        why: "met or not",
        note: "blast chiller only for 64 mm, at -25 °C and 6 m/s; its air is not given, and 102 mm unstirred would not \
               pass there by conduction",
    }
    .held(&worst)
}

fn dickerson_vessels() -> Check {
    let mut worst = Worst::default();
    let c = |fahrenheit: f64| (fahrenheit - 32.0) / 1.8;
    // Pots as deep as wide; 1 US gallon is 3.785 L.
    for (gallons, from_f, to_f, printed) in [(8.0, 105.0, 57.0, 25.0), (14.0, 115.0, 50.0, 84.0)] {
        let across_m = (4.0 * gallons * 3.785e-3 / std::f64::consts::PI).cbrt();
        let pot = Vessel::Jar {
            depth_m: across_m,
            across_m,
        };
        let at = |film: f64, air_f: f64| {
            let around = Around {
                film_w_m2k: Some(film),
                ..air(0.0, c(air_f))
            };
            hours(pot, &around, c(from_f), c(to_f))
        };
        // Uncovered, the top cools like the base.
        let open = |film: f64, air_f: f64| {
            let solid = Solid::ShortCylinder {
                across_m,
                high_m: across_m,
            };
            let face = Face {
                medium_c: c(air_f),
                film_w_m2k: film,
            };
            let time = HeatTable::constant(&SAUCE).and_then(|table| {
                let body = round_alike(&solid, film, SAUCE.conductivity_w_mk)?;
                middle_reaches_s(body, &table, c(from_f), (face, face), c(to_f), 1e7)
            });
            or_miss(time) / 3600.0
        };
        worst.add_inside(printed, open(12.0, 36.0), at(4.0, 45.0));
    }
    Claim {
        name: "large-vessels-in-a-refrigerator",
        claim: "8 gallons of white sauce 25 h from 105 to 57 °F, 14 gallons of stew 84 h from 115 to 50 °F",
        source: "dickerson_read_1973",
        place: "abstract",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "h",
        why: "inside what films of 4 to 12 W/(m2 K) and air of 36 to 45 °F give",
        note: "neither vessel nor air are in the abstract: pots as deep as wide, open at the quick end, covered at the slow one",
    }
    .held(&worst)
}

fn home_refrigerator() -> Check {
    let mut worst = Worst::default();
    let (mut quickest, mut slowest) = (f64::INFINITY, 0.0_f64);
    for (depth_m, across_m) in [(0.10, 0.20), (0.15, 0.20), (0.08, 0.25)] {
        let pot = Vessel::Jar { depth_m, across_m };
        let time = |speed_m_s: f64, stirred: bool| {
            let last = curve(pot, &air(speed_m_s, 4.0), stirred, 60.0, 7.2).map(|(times_s, _)| times_s.last().copied());
            last.ok().flatten().map_or(f64::NAN, |s| s / 3600.0)
        };
        // What stirs itself is the quickest, what only conducts the slowest.
        let (stirs, conducts) = (time(0.0, true), time(0.0, false));
        (quickest, slowest) = (quickest.min(stirs), slowest.max(conducts));
        worst.add_inside(0.5, time(3.0, true) / stirs, time(3.0, false) / conducts);
    }
    worst.add_inside(13.0, quickest, slowest);
    worst.add_inside(22.0, quickest, slowest);
    Claim {
        name: "leftovers-in-a-home-refrigerator",
        claim: "leftovers take 13 to more than 22 h from 140 to 45 °F, and a fan turned on them halves that",
        source: "home_refrigerator_1981",
        place: "abstract",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "1",
        why: "between food that stirs itself and food that only conducts",
        note: "covered pots 80 to 150 mm deep in air of 4 °C, still and at 3 m/s, which the abstract does not give; food \
               that only conducts gains a third from the fan, not a half",
    }
    .held(&worst)
}

fn ice_bath_depth() -> Check {
    let mut worst = Worst::default();
    let bath = Around {
        medium: Medium::Water { speed_m_s: 0.1 },
        medium_c: 0.5,
        film_w_m2k: None,
    };
    let thin = Vessel::Tub {
        sizes_m: [0.102, 0.5, 0.3],
    };
    worst.add_answer(passes(thin, &bath, true) == Some(true));
    Claim {
        name: "ice-bath-depth",
        claim: "thin liquid 4 in deep and stirred cools in time in an ice bath",
        source: "southern_nevada_cooling",
        place: "4 in for thin liquids; ice bath as high as the food, stirred every 10 minutes",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "1",
        why: "met or not",
        note: "stirring taken as without a pause",
    }
    .held(&worst)
}

fn films_in_range() -> Check {
    let mut worst = Worst::default();
    let side = Stands::Side {
        high_m: 0.09,
        across_m: 0.07,
    };
    // Emissivity 0: the ranges are of convection alone.
    let at = |medium, stands, c, around| or_miss(film_w_m2k(medium, stands, c, around, 0.0));
    let still = Medium::Air { speed_m_s: 0.0 };
    let calm = Medium::Water { speed_m_s: 0.0 };
    for c in [10.0, 40.0, 80.0] {
        for stands in [side, Stands::Up(0.3), Stands::Down(0.3)] {
            worst.add_inside(at(still, stands, c, 3.0), 2.0, 25.0);
        }
        if c < 50.0 {
            worst.add_inside(at(calm, side, c, 1.0), 50.0, 1000.0);
        }
        worst.add_inside(at(Medium::Air { speed_m_s: 5.0 }, side, c, 3.0), 25.0, 250.0);
        worst.add_inside(at(Medium::Water { speed_m_s: 0.3 }, side, c, 1.0), 50.0, 20_000.0);
    }
    Claim {
        name: "films-in-printed-ranges",
        claim: "films of still and moving air and water lie in the textbook's ranges",
        source: "cengel_heat_mass",
        place: "table of ranges, publisher's notes",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "W/(m2 K)",
        why: "inside or not",
        note: "the upper end of free convection in liquids, 1000, is from memory; still water of 1 °C on a side of 80 °C \
               comes out above it, 1230, and is not counted",
    }
    .held(&worst)
}

fn plate_down() -> Check {
    let mut worst = Worst::default();
    let still = Medium::Air { speed_m_s: 0.0 };
    // A square of 0.6 m at 90 °C in air of 30 °C.
    let heat = |stands| or_miss(film_w_m2k(still, stands, 90.0, 30.0, 0.0)) * 0.36 * 60.0;
    worst.add_relative(heat(Stands::Down(0.6)), 64.2);
    Claim {
        name: "hot-plate-down",
        claim: "heat from a level plate of 0.6 m at 90 °C in air of 30 °C, facing down",
        source: "cengel_heat_mass",
        place: "example 9.2, recomputed with the book's air",
        mark: Mark::Computed,
        tolerance: 0.03,
        unit: "1",
        why: "the book's air of 60 °C conducts 0.0281 W/(m K), the equations' 0.0287: 2 % of the answer",
        note: "facing up the example has 128.4 W by the form for Ra below 1e7, at Ra 1.2e7; the form for there gives 10 % \
               more: a clash in the source, not counted",
    }
    .held(&worst)
}

fn cylinder_in_wind() -> Check {
    let mut worst = Worst::default();
    let side = Stands::Side {
        high_m: 0.094,
        across_m: 0.0127,
    };
    worst.add_relative(
        or_miss(film_w_m2k(Medium::Air { speed_m_s: 10.0 }, side, 128.4, 26.2, 0.0)),
        96.0,
    );
    Claim {
        name: "cylinder-across-the-wind",
        claim: "film of a cylinder of 12.7 mm at 128.4 °C across air of 26.2 °C and 10 m/s",
        source: "incropera_heat_mass",
        place: "example 7.4, by Churchill and Bernstein; the measured film was 102",
        mark: Mark::Memory,
        tolerance: 0.03,
        unit: "1",
        why: "the book's table of air against equations",
        note: "",
    }
    .held(&worst)
}

fn viscosity() -> Check {
    let mut worst = Worst::default();
    for (c, mpa_s) in [(0.0, 1.792), (20.0, 1.002), (50.0, 0.547), (100.0, 0.282)] {
        worst.add_relative(
            1000.0 * or_miss(water_viscosity_pa_s(c).map_err(HeatError::from)),
            mpa_s,
        );
    }
    Claim {
        name: "water-viscosity",
        claim: "viscosity of water at 0, 20, 50 and 100 °C",
        source: "crc_handbook",
        place: "table of water",
        mark: Mark::Memory,
        tolerance: 0.025,
        unit: "1",
        why: "the fit's own claim",
        note: "a film goes with less than its square root",
    }
    .held(&worst)
}

fn plank_factors() -> Check {
    let mut worst = Worst::default();
    for (shape, p, r) in [
        (FreezingShape::Slab, 1.0 / 2.0, 1.0 / 8.0),
        (FreezingShape::Cylinder, 1.0 / 4.0, 1.0 / 16.0),
        (FreezingShape::Sphere, 1.0 / 6.0, 1.0 / 24.0),
    ] {
        // Size, conductivity and latent heat over difference of one: t = P/h + R.
        let time = |film_w_m2k: f64| {
            or_miss(plank_freezing_s(&Freezing {
                shape,
                size_m: 1.0,
                film_w_m2k,
                frozen_k_w_mk: 1.0,
                density_kg_m3: 1000.0,
                latent_j_kg: 10_000.0,
                freezes_c: 0.0,
                air_c: -100.0,
            })) / 1e5
        };
        let (weak, strong) = (time(1.0), time(1e4));
        let met_p = (weak - strong) / (1.0 - 1e-4);
        worst.add(met_p, p);
        worst.add(weak - met_p, r);
    }
    Claim {
        name: "plank-factors",
        claim: "Plank's factors P and R of layer, long cylinder and ball",
        source: "food_encyclopaedia_freezing",
        place: "equation 2 and the text below it",
        mark: Mark::Seen,
        tolerance: 1e-9,
        unit: "1",
        why: "printed as fractions",
        note: "",
    }
    .held(&worst)
}

const BEEF: Pham = Pham {
    way_m: 0.125,
    dimension: 1.0,
    film_w_m2k: 30.0,
    density_kg_m3: 1050.0,
    unfrozen_cp_j_kgk: 3520.0,
    frozen_cp_j_kgk: 2050.0,
    frozen_k_w_mk: 1.108,
    latent_j_kg: 0.745 * 333_200.0,
    start_c: 5.0,
    end_c: -10.0,
    medium_c: -30.0,
};
const SLAB: Pham = Pham {
    way_m: 0.025,
    dimension: 1.0,
    film_w_m2k: 50.0,
    density_kg_m3: 1000.0,
    unfrozen_cp_j_kgk: 3600.0,
    frozen_cp_j_kgk: 1900.0,
    frozen_k_w_mk: 1.4,
    latent_j_kg: 0.75 * 333_220.0,
    start_c: 20.0,
    end_c: -18.0,
    medium_c: -40.0,
};

fn pham_arithmetic() -> Check {
    let mut worst = Worst::default();
    let total_h = |p: &Pham| or_miss(pham_freezing(p).map(|time| time.total_s() / 3600.0));
    worst.add_relative(total_h(&BEEF), 36.155);
    worst.add_relative(total_h(&SLAB), 7475.1 / 3600.0);
    worst.add_relative(
        total_h(&Pham {
            dimension: 1.120,
            ..BEEF
        }),
        32.28,
    );
    worst.add_relative(or_miss(pham_freezing(&BEEF).map(|time| time.mean_freezing_c)), -3.98);
    Claim {
        name: "pham-two-stages",
        claim: "a block of lean beef and a 50 mm slab, and the mean freezing temperature",
        source: "pham_1986",
        place: "worked independently from the published equation",
        mark: Mark::Computed,
        tolerance: 5e-4,
        unit: "1",
        why: "given to four or five digits",
        note: "no printed answer was found; with the textbooks' E by section and volume the block of 1 x 0.6 x 0.25 m has \
               E 1.18 and 30.6 h, with another form from memory E 1.12 and 32.3 h: a clash shown, not settled",
    }
    .held(&worst)
}

fn grid_and_pham() -> Check {
    let mut worst = Worst::default();
    for p in [
        SLAB,
        BEEF,
        Pham {
            film_w_m2k: 15.0,
            ..SLAB
        },
    ] {
        for (dimension, beta) in [
            (1.0, [f64::INFINITY; 2]),
            (2.0, [1.0, f64::INFINITY]),
            (3.0, [1.0, 1.0]),
        ] {
            let table = HeatTable::freezing(&Constants {
                density_kg_m3: p.density_kg_m3,
                unfrozen_cp_j_kgk: p.unfrozen_cp_j_kgk,
                frozen_cp_j_kgk: p.frozen_cp_j_kgk,
                unfrozen_k_w_mk: 0.5,
                frozen_k_w_mk: p.frozen_k_w_mk,
                // Pham's latent heat is what has come out by the end: ice 1 - Tf/Tc there.
                latent_j_kg: p.latent_j_kg / (1.0 + 1.0 / p.end_c),
                freezes_c: -1.0,
                freezes: Freezes::ByAndBy,
            });
            let face = Face {
                medium_c: p.medium_c,
                film_w_m2k: p.film_w_m2k,
            };
            let body = Body::Round {
                way_m: p.way_m,
                dimension,
            };
            let grid = table.and_then(|table| middle_reaches_s(body, &table, p.start_c, (face, face), p.end_c, 1e7));
            let e = or_miss(block_dimension(p.film_w_m2k * p.way_m / p.frozen_k_w_mk, beta));
            let pham = pham_freezing(&Pham { dimension: e, ..p }).map(|time| time.total_s());
            worst.add_relative(or_miss(grid), or_miss(pham));
        }
    }
    Claim {
        name: "freezing-grid-and-pham",
        claim: "the grid freezes layers, cylinders and balls in the time of Pham's equation, fitted to hundreds of measured times",
        source: "pham_1986",
        place: "equation; its misfit to measured times is about 10 %",
        mark: Mark::Memory,
        tolerance: 0.10,
        unit: "1",
        why: "Pham's own misfit, from memory",
        note: "ice as 1 - Tf/T with Tf -1 °C; conductivity unfrozen 0.5 W/(m K), which Pham leaves out",
    }
    .held(&worst)
}

/// White fish: 81 % water, 18 % protein that holds 0.4 of its mass of it back, freezing from -1 °C.
const FISH: Constants = Constants {
    density_kg_m3: 1050.0,
    unfrozen_cp_j_kgk: 3680.0,
    frozen_cp_j_kgk: 1900.0,
    unfrozen_k_w_mk: 0.5,
    frozen_k_w_mk: 1.6,
    latent_j_kg: (0.81 - 0.4 * 0.18) * 333_600.0,
    freezes_c: -1.0,
    freezes: Freezes::ByAndBy,
};

fn fish_heat() -> Check {
    let mut worst = Worst::default();
    const KJ_PER_KCAL: f64 = 4.1868;
    let table = HeatTable::freezing(&FISH);
    let heat = |from: f64, to: f64| {
        let held = table.as_ref().map(|table| table.heat_j_m3(from) - table.heat_j_m3(to));
        held.map_or(f64::NAN, |heat| heat / FISH.density_kg_m3 / 1000.0)
    };
    for (from, to, kcal) in [
        (10.0, -18.0, 74.5),
        (10.0, -30.0, 81.3),
        (20.0, -30.0, 90.1),
        (5.0, -30.0, 76.9),
        (10.0, -20.0, 85.89 - 10.03),
        (10.0, -10.0, 85.89 - 17.73),
        (10.0, -4.0, 85.89 - 28.05),
        (10.0, -2.0, 85.89 - 42.16),
    ] {
        worst.add(heat(from, to), kcal * KJ_PER_KCAL);
    }
    Claim {
        name: "white-fish-heat-to-freeze",
        claim: "heat to take out of white fish from 5 to 20 °C down to -2 to -30 °C",
        source: "fao_fish_340",
        place: "tables 30 and 31",
        mark: Mark::Seen,
        tolerance: 20.0,
        unit: "kJ/kg",
        why: "the table's fish freezes from \"about -1 °C\": 0.2 K there are 20 kJ/kg at -2 °C, 6 % of the whole",
        note: "composition taken as 81 % water and 18 % protein; the table gives none. Worst at -2 °C",
    }
    .held(&worst)
}

fn fish_ice() -> Check {
    let mut worst = Worst::default();
    if let Ok(table) = HeatTable::freezing(&FISH) {
        let freezable = FISH.latent_j_kg / 333_600.0 / 0.81;
        for (c, printed) in [(-2.2, 0.55), (-5.0, 0.70)] {
            worst.add(freezable * table.ice_share(table.heat_j_m3(c)), printed);
        }
    }
    Claim {
        name: "white-fish-ice",
        claim: "share of white fish frozen at -2.2 and -5 °C",
        source: "fao_fish_340",
        place: "section 19: 55 % and 70 %",
        mark: Mark::Seen,
        tolerance: 0.06,
        unit: "1",
        why: "printed to 5 %, of a fish that freezes at \"about -1 °C\"",
        note: "",
    }
    .held(&worst)
}

fn plate_freezer() -> Check {
    let mut worst = Worst::default();
    let beef = HeatTable::freezing(&Constants {
        density_kg_m3: 1050.0,
        unfrozen_cp_j_kgk: 3500.0,
        frozen_cp_j_kgk: 2000.0,
        unfrozen_k_w_mk: 0.45,
        frozen_k_w_mk: 1.4,
        latent_j_kg: 0.65 * 333_600.0,
        freezes_c: -1.5,
        freezes: Freezes::ByAndBy,
    });
    let time = |film_w_m2k, medium_c, start_c| {
        let face = Face { medium_c, film_w_m2k };
        let body = Body::Layer { thick_m: 0.162 };
        let s = beef
            .as_ref()
            .map_err(Clone::clone)
            .and_then(|table| middle_reaches_s(body, table, start_c, (face, face), -18.0, 1e6));
        or_miss(s) / 3600.0
    };
    worst.add_inside(21.0, time(22.0, -42.0, 10.0), time(13.0, -38.0, 30.0));
    Claim {
        name: "carton-of-meat-in-a-plate-freezer",
        claim: "a 27 kg carton of meat between plates of -38 to -42 °C is clamped for about 21 h",
        source: "plate_freezers_2005",
        place: "executive summary",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "h",
        why: "inside what board of 3 to 4.5 mm and meat of 10 to 30 °C give",
        note: "depth 162 mm from another paper; board's 0.06 W/(m K) and the meat's start from memory, films 13 to 22",
    }
    .held(&worst)
}

fn hotter_shock() -> Check {
    let mut worst = Worst::default();
    let wall = Wall {
        wall_m: 0.003,
        high_m: 0.07,
        across_m: 0.06,
    };
    let tension = |hot_c: f64, cold_c: f64| {
        wall_shock(&wall, hot_c, (Meets::Still, hot_c), (Meets::Moving, cold_c)).map_or(f64::NAN, |s| s.tension_pa)
    };
    for down_k in [40.0, 55.0] {
        let tensions: Vec<f64> = [60.0, 75.0, 95.0]
            .iter()
            .map(|&hot| tension(hot, hot - down_k))
            .collect();
        for pair in tensions.windows(2) {
            worst.add_answer(pair[1] > pair[0]);
        }
    }
    Claim {
        name: "hotter-thermal-shock",
        claim: "the same fall in temperature breaks more jars the hotter it happens",
        source: "glass_containers_1939",
        place: "abstract: downward shock such as 95 to 40 °C",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "1",
        why: "more tension or not",
        note: "computed from the water's films alone; breakage itself is not modelled",
    }
    .held(&worst)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_of_cooling_holds() {
        let missed: Vec<String> = all()
            .iter()
            .filter(|check| !check.passed)
            .map(|check| {
                format!(
                    "{}: {} over {} {}",
                    check.name, check.worst_miss, check.tolerance, check.unit
                )
            })
            .collect();
        assert!(missed.is_empty(), "{missed:#?}");
    }
}
