//! Reading a case of the pot.

use super::pot_case::{PotAddition, PotCase, PotFood, PotStop, Shares, VesselKind};
use super::problem::{Fault, Problem};
use super::section::Section;
use super::walk::Need::{May, Must};
use super::walk::{Need, Walk, choose};

const ROOT: &[&str] = &[
    "name",
    "vessel",
    "diameter_mm",
    "height_mm",
    "wall_mm",
    "pot_kg",
    "power_w",
    "efficiency",
    "steam_gauge_kpa",
    "air_in_steam",
    "lid",
    "stirs_per_min",
    "wiped_every_s",
    "viscosity_mpa_s",
    "mass_kg",
    "start_c",
    "room_c",
    "room_humidity_pct",
    "altitude_m",
    "pressure_hpa",
    "egg",
    "sugar_shift_k",
    "ph",
    "at_most_minutes",
    "change_minutes",
    "food",
    "stop",
    "addition",
];
const FOOD: &[&str] = &[
    "water_pct",
    "sucrose_pct",
    "glucose_fructose_pct",
    "fat_pct",
    "protein_pct",
    "starch_pct",
    "fibre_pct",
    "salt_pct",
    "ash_pct",
    "conductivity_w_mk",
    "density_kg_m3",
    "heat_capacity_j_kgk",
];
const STOP: &[&str] = &["at_c", "hold_minutes", "brix", "boil_minutes", "minutes"];
const ADDITION: &[&str] = &[
    "of_start_pct",
    "from_c",
    "at_c",
    "water_pct",
    "sucrose_pct",
    "glucose_fructose_pct",
    "fat_pct",
    "protein_pct",
    "starch_pct",
    "fibre_pct",
    "salt_pct",
    "ash_pct",
];

const EXPECTED_FILE: &str = "a case: vessel, diameter_mm, power_w, mass_kg, start_c, [food] and [stop]";
/// How far shares may miss 100 [%].
const SUM_MISSES_PCT: f64 = 0.5;
/// Most masses of one case.
const MOST_MASSES: usize = 12;

/// Reads a case of the pot.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_pot_case(name: &str, text: &str) -> Result<PotCase, Vec<Problem>> {
    let (mut walk, table) = Walk::open(name, text, EXPECTED_FILE)?;
    let root = walk.root(table.get_ref(), "a pot case", ROOT);
    let case = read(&mut walk, &root);
    // Without faults every needed key was there.
    let unreadable = || {
        vec![Problem::at(
            name,
            text,
            0..0,
            Fault::new("an unreadable case", EXPECTED_FILE),
        )]
    };
    walk.finish(())?;
    case.ok_or_else(unreadable)
}

fn read<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Option<PotCase> {
    let number = |walk: &mut Walk<'t>, key, need, range, expected: &str| root.number(walk, key, need, range, expected);
    let named = root.words(walk, "name", May, "a name");
    let vessel = root.read(walk, "vessel", Must, "what the pot is", |text| {
        choose(text, "vessel", &VesselKind::ALL, VesselKind::word)
    });
    let kettle = vessel == Some(VesselKind::SteamKettle);
    let diameter_mm = number(walk, "diameter_mm", Must, (50.0, 2000.0), "millimetres, 50 to 2000");
    let height_mm = number(walk, "height_mm", May, (20.0, 2000.0), "millimetres, 20 to 2000");
    let wall_mm = number(walk, "wall_mm", May, (0.2, 20.0), "millimetres, 0.2 to 20");
    let pot_kg = number(walk, "pot_kg", May, (0.0, 500.0), "kilograms, 0 to 500");
    let need = if kettle || vessel.is_none() { May } else { Must };
    let power_w = number(walk, "power_w", need, (10.0, 500_000.0), "watts, 10 to 500000");
    let efficiency = number(
        walk,
        "efficiency",
        May,
        (0.01, 1.0),
        "a share above 0, at most 1, such as 0.38",
    );
    let gauge_need = if kettle { Must } else { May };
    let steam_gauge_kpa = number(
        walk,
        "steam_gauge_kpa",
        gauge_need,
        (0.0, 700.0),
        "kilopascals above the room's, 0 to 700",
    );
    let air_in_steam = number(
        walk,
        "air_in_steam",
        May,
        (0.0, 20.0),
        "kilograms of air for each of steam, 0 to 20",
    );
    only_for(walk, root, vessel, "steam_gauge_kpa", VesselKind::SteamKettle);
    only_for(walk, root, vessel, "air_in_steam", VesselKind::BowlOverSteam);
    let lid = root.flag(walk, "lid");
    let stirs_per_min = number(walk, "stirs_per_min", May, (0.0, 300.0), "rounds a minute, 0 to 300");
    let wiped_every_s = number(
        walk,
        "wiped_every_s",
        May,
        (0.0, 600.0),
        "seconds, 0 to 600; 0 where nobody scrapes",
    );
    let viscosity_mpa_s = number(
        walk,
        "viscosity_mpa_s",
        May,
        (0.2, 500_000.0),
        "millipascal seconds, 0.2 to 500000",
    );
    let mass_kg = root.numbers(
        walk,
        "mass_kg",
        (0.01, 2000.0),
        MOST_MASSES,
        "kilograms, 0.01 to 2000, one or a list such as [1, 3, 6, 12]",
    );
    let start_c = number(walk, "start_c", Must, (0.0, 99.0), "°C, 0 to 99");
    let room_c = number(walk, "room_c", May, (0.0, 50.0), "°C, 0 to 50");
    let room_humidity_pct = number(walk, "room_humidity_pct", May, (0.0, 100.0), "per cent, 0 to 100");
    let altitude_m = number(walk, "altitude_m", May, (-400.0, 5000.0), "metres, -400 to 5000");
    let pressure_hpa = number(
        walk,
        "pressure_hpa",
        May,
        (500.0, 1100.0),
        "hPa as a barometer here reads, 500 to 1100",
    );
    if altitude_m.is_some() && pressure_hpa.is_some() {
        let at = root.place(walk, "pressure_hpa");
        walk.fault(at, Fault::new("both altitude_m and pressure_hpa", "one of the two"));
    }
    let egg = root.flag(walk, "egg");
    let sugar_shift_k = number(walk, "sugar_shift_k", May, (0.0, 25.0), "kelvin, 0 to 25");
    if sugar_shift_k.is_some() && !egg {
        let at = root.place(walk, "sugar_shift_k");
        walk.fault(at, Fault::new("sugar_shift_k without egg", "egg = true beside it"));
    }
    let ph = number(walk, "ph", May, (1.5, 8.0), "a pH, 1.5 to 8, such as 3.2");
    let at_most_minutes = number(walk, "at_most_minutes", May, (1.0, 1440.0), "minutes, 1 to 1440");
    let change_minutes = number(walk, "change_minutes", May, (0.0, 240.0), "minutes, 0 to 240");
    let food = food(walk, root);
    let stop = stop(walk, root);
    let additions = root
        .tables(walk, "addition", May, "an addition", ADDITION)
        .iter()
        .map(|section| addition(walk, section))
        .collect::<Vec<_>>();
    if let (Some(PotFood::Measured { .. }), Some(PotStop::Brix(_))) = (food, stop) {
        let at = root.place(walk, "stop");
        let fault = Fault::new(
            "a degree Brix of a food without composition",
            "at_c, boil_minutes or minutes",
        );
        walk.fault(at, fault.hint("or water_pct and the other shares in [food]"));
    }
    if let (Some(PotFood::Measured { .. }), true) = (food, root.has("addition")) {
        let at = root.place(walk, "addition");
        let fault = Fault::new(
            "additions to a food without composition",
            "water_pct and the other shares in [food]",
        );
        walk.fault(at, fault);
    }
    Some(PotCase {
        name: named.unwrap_or_else(|| "a pot".into()),
        vessel: vessel?,
        diameter_mm: diameter_mm?,
        height_mm,
        wall_mm,
        pot_kg,
        power_w,
        efficiency,
        steam_gauge_kpa,
        air_in_steam,
        lid,
        stirs_per_min,
        wiped_every_s,
        viscosity_mpa_s,
        mass_kg: mass_kg?,
        start_c: start_c?,
        room_c,
        room_humidity_pct,
        altitude_m,
        pressure_hpa,
        egg,
        sugar_shift_k,
        ph,
        at_most_minutes,
        change_minutes,
        food: food?,
        stop: stop?,
        additions: additions.into_iter().collect::<Option<Vec<_>>>()?,
    })
}

/// A key that only one vessel has.
fn only_for<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>, vessel: Option<VesselKind>, key: &str, only: VesselKind) {
    if root.has(key) && vessel.is_some_and(|kind| kind != only) {
        let at = root.place(walk, key);
        walk.fault(
            at,
            Fault::new(
                format!("\"{key}\" belongs to a {}", only.word()),
                "none for this vessel",
            ),
        );
    }
}

fn shares<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Shares> {
    let mut pct =
        |key: &str, need: Need| section.number(walk, key, need, (0.0, 100.0), "per cent of the mass, 0 to 100");
    let water_pct = pct("water_pct", Must);
    let rest = [
        "sucrose_pct",
        "glucose_fructose_pct",
        "fat_pct",
        "protein_pct",
        "starch_pct",
        "fibre_pct",
        "salt_pct",
        "ash_pct",
    ]
    .map(|key| pct(key, May).unwrap_or(0.0));
    let [
        sucrose_pct,
        glucose_fructose_pct,
        fat_pct,
        protein_pct,
        starch_pct,
        fibre_pct,
        salt_pct,
        ash_pct,
    ] = rest;
    let shares = Shares {
        water_pct: water_pct?,
        sucrose_pct,
        glucose_fructose_pct,
        fat_pct,
        protein_pct,
        starch_pct,
        fibre_pct,
        salt_pct,
        ash_pct,
    };
    if (shares.sum_pct() - 100.0).abs() > SUM_MISSES_PCT {
        let what = format!("the shares add up to {:.1} %", shares.sum_pct());
        let fault = Fault::new(what, "100 %, half a per cent either way");
        walk.fault(
            section.at.clone(),
            fault.hint("what is left over is most often water or fibre"),
        );
        return None;
    }
    Some(shares)
}

fn food<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Option<PotFood> {
    let Some(section) = root.table(walk, "food", "[food]", FOOD) else {
        if !root.has("food") {
            let fault = Fault::new(
                "a pot case has no [food]",
                "a table [food] with water_pct and the other shares",
            );
            walk.fault(root.at.clone(), fault);
        }
        return None;
    };
    let measured = ["conductivity_w_mk", "density_kg_m3", "heat_capacity_j_kgk"];
    if !measured.iter().any(|key| section.has(key)) {
        return shares(walk, &section).map(PotFood::Shares);
    }
    if FOOD.iter().any(|key| key.ends_with("_pct") && section.has(key)) {
        let fault = Fault::new("shares and measured properties", "one of the two");
        walk.fault(section.at.clone(), fault);
        return None;
    }
    let conductivity_w_mk = section.number(walk, measured[0], Must, (0.05, 1.0), "W/(m K), 0.05 to 1");
    let density_kg_m3 = section.number(walk, measured[1], Must, (200.0, 2000.0), "kg/m³, 200 to 2000");
    let heat_capacity_j_kgk = section.number(walk, measured[2], Must, (500.0, 5000.0), "J/(kg K), 500 to 5000");
    Some(PotFood::Measured {
        conductivity_w_mk: conductivity_w_mk?,
        density_kg_m3: density_kg_m3?,
        heat_capacity_j_kgk: heat_capacity_j_kgk?,
    })
}

fn stop<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Option<PotStop> {
    let expected = "one of at_c, brix, boil_minutes and minutes";
    let Some(section) = root.table(walk, "stop", "[stop]", STOP) else {
        if !root.has("stop") {
            walk.fault(
                root.at.clone(),
                Fault::new("a pot case has no [stop]", format!("a table [stop] with {expected}")),
            );
        }
        return None;
    };
    let at_c = section.number(walk, "at_c", May, (20.0, 120.0), "°C, 20 to 120");
    let hold = section.number(walk, "hold_minutes", May, (0.0, 1440.0), "minutes, 0 to 1440");
    let brix = section.number(walk, "brix", May, (1.0, 78.0), "°Brix, 1 to 78");
    let boil = section.number(walk, "boil_minutes", May, (0.0, 1440.0), "minutes, 0 to 1440");
    let minutes = section.number(walk, "minutes", May, (0.1, 1440.0), "minutes, 0.1 to 1440");
    let given = ["at_c", "brix", "boil_minutes", "minutes"]
        .iter()
        .filter(|key| section.has(key))
        .count();
    if given != 1 && section.meant.is_empty() {
        let what = if given == 0 {
            "[stop] says nothing"
        } else {
            "[stop] says two things"
        };
        walk.fault(section.at.clone(), Fault::new(what, expected));
        return None;
    }
    if section.has("hold_minutes") && !section.has("at_c") {
        walk.fault(
            section.place(walk, "hold_minutes"),
            Fault::new("hold_minutes without at_c", "at_c beside it"),
        );
    }
    match (at_c, brix, boil, minutes) {
        (Some(c), ..) => Some(PotStop::At {
            c,
            hold_min: hold.unwrap_or(0.0),
        }),
        (_, Some(brix), ..) => Some(PotStop::Brix(brix)),
        (_, _, Some(min), _) => Some(PotStop::BoilMinutes(min)),
        (_, _, _, Some(min)) => Some(PotStop::Minutes(min)),
        _ => None,
    }
}

fn addition<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<PotAddition> {
    let of_start_pct = section.number(
        walk,
        "of_start_pct",
        Must,
        (0.01, 1000.0),
        "per cent of the starting mass, 0.01 to 1000",
    );
    let from_c = section.number(walk, "from_c", Must, (0.0, 99.0), "its own temperature in °C, 0 to 99");
    let at_c = section.number(
        walk,
        "at_c",
        Must,
        (0.0, 110.0),
        "the pot's temperature in °C, 0 to 110",
    );
    let shares = shares(walk, section);
    Some(PotAddition {
        of_start_pct: of_start_pct?,
        from_c: from_c?,
        at_c: at_c?,
        shares: shares?,
    })
}
