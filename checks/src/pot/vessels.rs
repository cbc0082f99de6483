//! Vessels: heating, boiling down, stirring, shape.

use jarwright_figure::{Mark, Unchanging};
use jarwright_heat::HeatError;
use jarwright_heat::follow::{Filling, Followed, Measured, Setting, Until, follow};
use jarwright_heat::heated_vessel::Vessel;
use jarwright_heat::wall::{Stirrer, Stuff, agitated_film_w_m2k};
use jarwright_kitchen::files::read_pot_case;
use jarwright_kitchen::pot_run::{PotRun, run_pot};
use jarwright_matter::{Acid, Food, syrup_viscosity_pa_s};

use super::{Claim, or_miss};
use crate::{Check, Worst};

/// British thermal unit [J], international table.
const BTU_J: f64 = 1055.06;
/// Pound [kg].
const LB_KG: f64 = 0.453_592_37;
/// Foot [m].
const FT_M: f64 = 0.3048;

/// A pot that neither holds nor loses heat.
fn bare(vessel: Vessel) -> Setting {
    Setting {
        vessel,
        wall_m: 0.001,
        pot_j_k: 0.0,
        stirs_s: Some(1.0),
        sweep: 0.5,
        wiped_s: None,
        lid: true,
        room_c: 20.0,
        humidity: 0.5,
        pressure_pa: 101_325.0,
        measured_pa_s: None,
    }
}

fn plain(setting: &Setting, filling: &Filling<'_>, start_c: f64, until: Until) -> Result<Followed, HeatError> {
    follow(setting, filling, start_c, &[], until, &Unchanging)
}

pub(super) fn soup_in_a_jacketed_pan() -> Check {
    // The book gives 300 W/(m² K) as a whole: a film of that much behind next to no wall.
    const U_W_M2K: f64 = 300.0;
    let mut worst = Worst::default();
    let soup = Measured {
        conductivity_w_mk: 0.5,
        density_kg_m3: 1000.0,
        heat_capacity_j_kgk: 3950.0,
    };
    // A kettle whose 50 kg wet one square metre: half round, 0.8 m wide, filled by 50 L to 0.24 m
    // wets 0.6 m²; the wiping is set so that U A is the book's 300 W/K.
    let vessel = Vessel::SteamKettle {
        diameter_m: 0.80,
        steam_c: 120.0,
        steam_w: 1e6,
    };
    let seconds = (|| -> Result<f64, HeatError> {
        let heated_m2 = vessel.filled(0.050)?.heated_m2;
        let u = U_W_M2K / heated_m2;
        let behind = vessel.steam_side_m2k_w(2e-4)?.unwrap_or(0.0);
        let film = 1.0 / (1.0 / u - behind);
        let half = film / 0.5;
        let wiped_s = 4.0 * 0.5 * 1000.0 * 3950.0 / (std::f64::consts::PI * half * half);
        let setting = Setting {
            wall_m: 2e-4,
            stirs_s: Some(0.01),
            wiped_s: Some(wiped_s),
            measured_pa_s: Some(500.0),
            ..bare(vessel)
        };
        Ok(plain(
            &setting,
            &Filling::Measured(50.0, soup),
            18.0,
            Until::Temperature(90.0, 0.0),
        )?
        .seconds)
    })();
    let minutes = or_miss(seconds) / 60.0;
    worst.add(minutes, 13.4);
    let tolerance = 0.1;
    Claim {
        name: "soup-in-a-jacketed-pan",
        claim: "50 kg of pea soup in a jacketed pan of 300 W/K comes from 18 to 90 °C in 13.4 min",
        source: "earle_unit_operations",
        place: "example of heating pea soup in a jacketed pan: steam 120 °C, 3.95 kJ/(kg K), 1 m², 300 W/(m² K)",
        mark: Mark::Memory,
        tolerance,
        unit: "min",
        why: "one decimal, and logarithms read to two digits in the book",
    }
    .held(&worst, format!("{minutes:.2} min; example and answer are from memory"))
}

pub(super) fn milk_boiled_down() -> Check {
    let mut worst = Worst::default();
    let kg = 1500.0 * LB_KG;
    let milk = Food {
        water_kg: 0.876,
        other_sugar_kg: 0.047,
        protein_kg: 0.033,
        fat_kg: 0.037,
        ash_kg: 0.007,
        ..Food::default()
    }
    .scaled(kg);
    let brix = milk.brix() / 0.75;
    let kettle = Setting {
        lid: false,
        ..bare(Vessel::StraightPot {
            diameter_m: 1.0,
            into_pot_w: 4e5,
        })
    };
    let pot = plain(
        &kettle,
        &Filling::Composed(&milk),
        (80.0 - 32.0) / 1.8,
        Until::Brix(brix),
    );
    // What the printed sum counts: the food's own heat and the vapour's, no losses to the room.
    let btu = pot.map(|pot| (pot.energy_j - pot.lost_j) / BTU_J);
    worst.add_relative(or_miss(btu.clone()), 542_063.0);
    let tolerance = 0.025;
    Claim {
        name: "milk-boiled-down",
        claim: "1500 lb of milk from 80 °F, a quarter boiled off, takes 542 063 Btu",
        source: "energy_handbook_milk",
        place: "worked example of a jacketed kettle: 178 200 Btu to the boil, 363 863 Btu of vapour",
        mark: Mark::ThirdPartyCopy,
        tolerance,
        unit: "relative",
        why: "the handbook takes 0.90 Btu/(lb °F) where milk's composition gives 0.92 to 0.93, and water's boil",
    }
    .held(&worst, format!("{:.0} Btu", or_miss(btu)))
}

pub(super) fn jam_yield() -> Check {
    let mut worst = Worst::default();
    let mut batch = Food {
        water_kg: 9.0,
        hexose_kg: 1.0,
        sucrose_kg: 10.0,
        // The sheet counts pectin as soluble; here it goes with the sugars.
        other_sugar_kg: 0.060,
        ..Food::default()
    };
    batch.add_acid_kg(Acid::Citric, 0.055);
    let pan = Setting {
        lid: false,
        ..bare(Vessel::StraightPot {
            diameter_m: 0.5,
            into_pot_w: 9000.0,
        })
    };
    let left = plain(&pan, &Filling::Composed(&batch), 20.0, Until::Brix(68.0)).map(|pot| pot.food.mass_kg());
    worst.add(or_miss(left), 16.4);
    let tolerance = 0.06;
    Claim {
        name: "jam-yield",
        claim: "10 kg of fruit with 10 % solids and 10 kg of sugar boil down to 16.4 kg of jam of 68 °Brix",
        source: "practical_action_jam",
        place: "recipe 1: 11.115 kg of soluble solids",
        mark: Mark::ThirdPartyCopy,
        tolerance,
        unit: "kg",
        why: "one decimal, rounded up in print: 16.346",
    }
    .held(&worst, "the mass balance of boiling down, through the followed pot")
}

pub(super) fn paddle_in_a_jacketed_vessel() -> Check {
    let mut worst = Worst::default();
    // lb, ft, h and °F to SI.
    let si = BTU_J / (3600.0 * FT_M / 1.8);
    let mu = 1.06 * LB_KG / (FT_M * 3600.0);
    let water = Stuff {
        conductivity_w_mk: 0.38 * si,
        density_kg_m3: 62.5 * LB_KG / FT_M.powi(3),
        heat_capacity_j_kgk: BTU_J / LB_KG * 1.8,
        viscosity_pa_s: mu,
        at_wall_pa_s: mu,
    };
    let film = agitated_film_w_m2k(Stirrer::Paddle, &water, 1.01 * FT_M, 0.6 * FT_M, 7500.0 / 3600.0);
    let btu = or_miss(film) * 3600.0 * FT_M * FT_M / BTU_J / 1.8;
    // j = 1100 read from the figure: 1100 (0.38/1.01) (1.06/0.38)^(1/3) = 583 Btu/(h ft² °F).
    worst.add_relative(btu, 583.0);
    let tolerance = 0.05;
    Claim {
        name: "paddle-in-a-jacketed-vessel",
        claim: "water stirred by a paddle of 0.6 ft at 125 rpm in a jacketed vessel of 1.01 ft takes 583 Btu/(h ft² °F)",
        source: "kern_1950",
        place: "example 20.1, j = 1100 read from figure 20.2",
        mark: Mark::ThirdPartyCopy,
        tolerance,
        unit: "relative",
        why: "j is read from a figure to two digits",
    }
    .held(&worst, format!("{btu:.0} Btu/(h ft² °F)"))
}

pub(super) fn turbine_in_a_jacketed_vessel() -> Check {
    let mut worst = Worst::default();
    let liquid = Stuff {
        conductivity_w_mk: 0.173,
        density_kg_m3: 961.0,
        heat_capacity_j_kgk: 2500.0,
        viscosity_pa_s: 1.0,
        at_wall_pa_s: 0.084,
    };
    let film = agitated_film_w_m2k(Stirrer::Turbine, &liquid, 1.83, 0.61, 100.0 / 60.0);
    worst.add(or_miss(film), 170.6);
    let tolerance = 3.0;
    Claim {
        name: "turbine-in-a-jacketed-vessel",
        claim: "a viscous liquid in a jacketed vessel of 1.83 m takes 170.6 W/(m² K) from its wall",
        source: "geankoplis",
        place: "example 4.13-1",
        mark: Mark::Memory,
        tolerance,
        unit: "W/(m2 K)",
        why: "exponents 0.67 and 0.33 are printed where 2/3 and 1/3 are taken here",
    }
    .held(&worst, "example and answer are from memory")
}

pub(super) fn cap_of_a_sphere() -> Check {
    let mut worst = Worst::default();
    // Base radius 10, height 5, sphere 12.5; in centimetres here.
    let bowl = Vessel::BowlOverSteam {
        diameter_m: 0.25,
        steam_c: 100.0,
        steam_w: 1000.0,
        air_kg_kg: 0.3,
    };
    let filled = bowl.holds_m3(0.05).and_then(|volume| bowl.filled(volume));
    worst.add(or_miss(filled.clone().map(|f| 50.0 * f.open_diameter_m)), 10.0);
    worst.add(or_miss(filled.map(|f| 100.0 * f.depth_m)), 5.0);
    let tolerance = 1e-6;
    Claim {
        name: "cap-of-a-sphere",
        claim: "a cap 5 high in a sphere of radius 12.5 has a base of radius 10",
        source: "spherical_cap_example",
        place: "worked example: r = (100 + 25)/10 = 12.5",
        mark: Mark::ThirdPartyCopy,
        tolerance,
        unit: "cm",
        why: "exact",
    }
    .held(
        &worst,
        "through the volume and back; kitchen bowls are flatter than half spheres, so a real bowl of the same rim \
         wets a little more wall",
    )
}

pub(super) fn syrup_viscosity() -> Check {
    /// °C; mPa s at 20, 40 and 60 % (none where not printed).
    const TABLE: [(f64, [Option<f64>; 3]); 9] = [
        (20.0, [Some(1.96), Some(6.2), Some(56.5)]),
        (30.0, [Some(1.504), Some(4.382), Some(33.78)]),
        (40.0, [Some(1.193), Some(3.249), Some(21.28)]),
        (50.0, [Some(0.97), Some(2.497), Some(14.01)]),
        (60.0, [Some(0.808), Some(1.982), Some(9.83)]),
        (70.0, [Some(0.685), Some(1.608), Some(7.15)]),
        (80.0, [Some(0.59), Some(1.334), Some(5.4)]),
        (90.0, [None, Some(1.123), Some(4.15)]),
        (100.0, [None, Some(0.96), Some(3.34)]),
    ];
    let mut worst = Worst::default();
    for (c, row) in TABLE {
        for (brix, printed) in [20.0, 40.0, 60.0].into_iter().zip(row) {
            if let Some(mpa_s) = printed {
                worst.add_relative(1000.0 * or_miss(syrup_viscosity_pa_s(brix, c)), mpa_s);
            }
        }
    }
    let tolerance = 0.09;
    Claim {
        name: "syrup-viscosity",
        claim: "viscosity of syrups of 20, 40 and 60 % from 20 to 100 °C",
        source: "sucrose_viscosity_table",
        place: "rows of 20 to 100 °C",
        mark: Mark::Seen,
        tolerance,
        unit: "relative",
        why: "the equation, from memory, drifts to 8 % for hot thin syrups; a film's coefficient takes its cube root",
    }
    .held(&worst, "the film at the wall moves by 3 % at most")
}

pub(super) fn quart_on_induction() -> Check {
    let mut worst = Worst::default();
    let shares = jarwright_reference::practice("induction_efficiency")
        .map_or([f64::NAN; 3], |row| [row.value.low, row.value.value, row.value.high]);
    let pot = |share: f64| {
        let setting = bare(Vessel::StraightPot {
            diameter_m: 0.18,
            into_pot_w: 1300.0 * share,
        });
        let water = Food {
            water_kg: 0.9464,
            ..Food::default()
        };
        plain(
            &setting,
            &Filling::Composed(&water),
            15.56,
            Until::Temperature(99.9, 0.0),
        )
        .map(|pot| pot.seconds)
    };
    for share in shares {
        worst.add_relative(or_miss(pot(share)), 350.0);
    }
    let tolerance = 0.16;
    Claim {
        name: "quart-on-induction",
        claim: "a quart of water comes to the boil on 1300 W of induction by the published shares as measured",
        source: "cooktop_magazine_test",
        place: "5 min 50 s; shares of energy_star_cooktops",
        mark: Mark::Seen,
        tolerance,
        unit: "relative",
        why: "the test itself found 74 %, the publications print 84 and 85 %: the clash stays",
    }
    .held(&worst, "quick by as much as the two publications differ")
}

pub(super) fn open_water() -> Check {
    // Printed for 50 °C over 3.5 m²; the pot's own surface is round, so the same side over
    // perimeter makes a circle of 4 L = 1.556 m across.
    let mut worst = Worst::default();
    let across_m = 4.0 * 3.5 / 9.0;
    let pool = Setting {
        lid: false,
        room_c: 25.0,
        humidity: 0.52,
        pressure_pa: 92_000.0,
        ..bare(Vessel::StraightPot {
            diameter_m: across_m,
            into_pot_w: 60_000.0,
        })
    };
    let water = Food {
        water_kg: 1500.0,
        ..Food::default()
    };
    let held = plain(
        &pool,
        &Filling::Composed(&water),
        50.0,
        Until::Temperature(50.0, 3600.0),
    );
    let area_m2 = std::f64::consts::FRAC_PI_4 * across_m * across_m;
    worst.add_relative(or_miss(held.map(|pot| pot.evaporated_kg / area_m2)), 5.245 / 3.5);
    let tolerance = 0.05;
    Claim {
        name: "open-water-held-warm",
        claim: "an open bath held at 50 °C gives off 1.50 kg an hour for each square metre",
        source: "cengel_heat_mass",
        place: "example 14.13, recomputed from its inputs: 5.245 kg/h from 3.5 m²",
        mark: Mark::Computed,
        tolerance,
        unit: "relative",
        why: "the book's viscosity of air at sea level where 92 kPa is meant makes 3 %",
    }
    .held(
        &worst,
        "the printed companion's own answer is spoilt by an integer division",
    )
}

const CURD: &str = r#"
name = "curd"
vessel = "bowl over steam"
diameter_mm = 300
power_w = 1500
efficiency = 0.38
mass_kg = 3
start_c = 18
egg = true
[food]
water_pct = 46
sucrose_pct = 41
fat_pct = 7
protein_pct = 6
[[addition]]
of_start_pct = 20
at_c = 60
from_c = 6
water_pct = 17
fat_pct = 83
[stop]
at_c = 77
"#;

fn curd(changes: &[(&str, &str)]) -> Option<PotRun> {
    let text = changes
        .iter()
        .fold(CURD.to_owned(), |text, (from, to)| text.replace(from, to));
    let case = read_pot_case("curd", &text).ok()?;
    run_pot(&case).ok()?.runs.into_iter().next()
}

/// Minutes until the middle last passes a temperature [°C] on its way up.
fn passes_min(run: &PotRun, c: f64) -> f64 {
    run.samples
        .windows(2)
        .filter(|pair| pair[0].bulk_c < c && pair[1].bulk_c >= c)
        .map(|pair| {
            let share = (c - pair[0].bulk_c) / (pair[1].bulk_c - pair[0].bulk_c);
            (pair[0].t_s + share * (pair[1].t_s - pair[0].t_s)) / 60.0
        })
        .next_back()
        .unwrap_or(f64::NAN)
}

pub(super) fn curd_over_steam() -> Check {
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for diameter in ["280", "300", "340"] {
        let run = curd(&[("diameter_mm = 300", &format!("diameter_mm = {diameter}"))]);
        let (at_64, at_77) = run
            .as_ref()
            .map_or((f64::NAN, f64::NAN), |run| (passes_min(run, 64.0), run.minutes));
        worst.add_inside(at_64, 15.0, 20.0);
        // "Soon after": within ten minutes.
        worst.add_inside(at_77 - at_64, 0.0, 10.0);
        seen.push(format!("{diameter} mm: {at_64:.1} and {at_77:.1} min"));
    }
    Claim {
        name: "curd-over-steam",
        claim: "3 kg of curd in a steel bowl over steam is at 63 to 65 °C after 15 to 20 min and at 77 °C soon after",
        source: "common_practice",
        place: "cooks' report; mass, bowl and ring are this check's own: 28 to 34 cm, 1.5 kW of gas",
        mark: Mark::CommonPractice,
        tolerance: 0.0,
        unit: "min",
        why: "inside the reported range",
    }
    .held(
        &worst,
        format!(
            "to 64 and to 77 °C: {}. A plausibility, no proof: air in the steam and scraping were judged so that a \
             bowl has the usual coefficient",
            seen.join("; ")
        ),
    )
}

pub(super) fn how_the_curd_moves() -> Check {
    let mut worst = Worst::default();
    let minutes = |changes: &[(&str, &str)]| curd(changes).map_or(f64::NAN, |run| run.minutes);
    let usual = minutes(&[]);
    let longer: [&[(&str, &str)]; 4] = [
        &[("mass_kg = 3", "mass_kg = 5")],
        &[("power_w = 1500", "power_w = 1200")],
        &[("start_c = 18", "start_c = 5")],
        &[("start_c = 18", "start_c = 18\naltitude_m = 1500")],
    ];
    let shorter: [&[(&str, &str)]; 3] = [
        &[("mass_kg = 3", "mass_kg = 2")],
        &[("power_w = 1500", "power_w = 3000")],
        &[("start_c = 18", "start_c = 18\nlid = true")],
    ];
    for changes in longer {
        worst.add_answer(minutes(changes) > usual);
    }
    for changes in shorter {
        worst.add_answer(minutes(changes) < usual);
    }
    // On a strong ring a pot straight on it beats the steam, which cannot pass the heat on.
    let strong = ("power_w = 1500", "power_w = 3500");
    worst.add_answer(minutes(&[strong, ("bowl over steam", "pot on gas")]) < minutes(&[strong]));
    // Ten times the mass on the same ring is not ten times the minutes to a hair, yet far longer.
    let (one, ten) = (
        minutes(&[("mass_kg = 3", "mass_kg = 1")]),
        minutes(&[("mass_kg = 3", "mass_kg = 10")]),
    );
    worst.add_answer(ten > 4.0 * one && ten < 12.0 * one);
    Claim {
        name: "how-a-curd-moves",
        claim: "more curd, a weaker ring, colder or higher up takes longer; a lid, or a pot straight on a strong ring, is quicker",
        source: "common_practice",
        place: "what every cook sees, and the balance says",
        mark: Mark::CommonPractice,
        tolerance: 0.0,
        unit: "wrong answers",
        why: "a direction is right or wrong",
    }
    .held(&worst, format!("1 kg takes {one:.1} min, 3 kg {usual:.1}, 10 kg {ten:.1} on 1.5 kW of gas"))
}
