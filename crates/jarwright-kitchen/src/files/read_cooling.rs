//! Reading a cooling case: a vessel of food, what it stands in phase by phase, and what is asked beside.

use jarwright_heat::cooled_vessel::{Around, Side, Vessel};
use jarwright_heat::heat_content::{Constants, Freezes};
use jarwright_heat::jar::Contents;
use jarwright_heat::media::Medium;
use jarwright_matter::Food;

use super::cooling_case::{CoolingCase, Matter, Phase, PlaceWord, Readings, Refrigerator, ShapeWord, WallCase};
use super::problem::{Fault, Problem};
use super::section::Section;
use super::walk::Need::{May, Must};
use super::walk::{Need, Walk, choose};

const ROOT: &[&str] = &[
    "name",
    "shape",
    "depth_mm",
    "length_mm",
    "width_mm",
    "diameter_mm",
    "wall_mm",
    "wall_k_w_mk",
    "start_c",
    "stirred",
    "freeze_to_c",
    "food",
    "phase",
    "readings",
    "refrigerator",
    "glass",
];
const FOOD: &[&str] = &[
    "water_pct",
    "protein_pct",
    "fat_pct",
    "sucrose_pct",
    "glucose_fructose_pct",
    "starch_pct",
    "fibre_pct",
    "ash_pct",
    "salt_pct",
    "alcohol_pct",
    "k_w_mk",
    "density_kg_m3",
    "cp_j_kgk",
    "frozen_k_w_mk",
    "frozen_cp_j_kgk",
    "latent_kj_kg",
    "freezes_c",
];
const COMPOSITION: [&str; 10] = [
    "water_pct",
    "protein_pct",
    "fat_pct",
    "sucrose_pct",
    "glucose_fructose_pct",
    "starch_pct",
    "fibre_pct",
    "ash_pct",
    "salt_pct",
    "alcohol_pct",
];
const FROZEN: [&str; 4] = ["frozen_k_w_mk", "frozen_cp_j_kgk", "latent_kj_kg", "freezes_c"];
const PHASE: &[&str] = &["medium", "medium_c", "minutes", "speed_m_s", "film_w_m2k"];
const READINGS: &[&str] = &["first_c", "second_c", "minutes_between", "sink_c"];
const REFRIGERATOR: &[&str] = &["spare_w", "set_c", "limit_c", "capacity_kj_k"];
const GLASS: &[&str] = &[
    "wall_mm",
    "height_mm",
    "diameter_mm",
    "jar_c",
    "food_c",
    "loaded_c",
    "bath_c",
    "unloaded_c",
    "into_water_c",
    "oven_c",
    "room_c",
    "pass_k",
];

const EXPECTED_FILE: &str = "a cooling case: shape, depth_mm, start_c, [food] and one [[phase]] or more";
const CELSIUS: (f64, f64) = (-30.0, 100.0);
/// How far shares may miss a hundred [%].
const SUM_MISS_PCT: f64 = 0.5;

/// Reads a cooling case.
///
/// # Errors
/// Every fault, in file order.
pub fn read_cooling(file: &str, text: &str) -> Result<CoolingCase, Vec<Problem>> {
    let (mut walk, table) = Walk::open(file, text, EXPECTED_FILE)?;
    let root = walk.root(table.get_ref(), "the cooling case", ROOT);
    let case = case(&mut walk, &root);
    let case = walk.finish(case)?;
    // Without a fault every part was read.
    case.ok_or_else(|| {
        vec![Problem::at(
            file,
            text,
            0..0,
            Fault::new("the case is not whole", EXPECTED_FILE),
        )]
    })
}

fn case<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Option<CoolingCase> {
    let name = root.words(walk, "name", May, "a name");
    let shape = root.read(walk, "shape", Must, "pan, tub, jar or bowl", |text| {
        choose(text, "shape", &ShapeWord::ALL, ShapeWord::word)
    });
    let vessel = vessel(walk, root, shape);
    let start_c = root.number(walk, "start_c", Must, CELSIUS, "°C at the start, -30 to 100");
    let wall_m = root.number(walk, "wall_mm", May, (0.0, 20.0), "millimetres of wall, 0 to 20");
    let wall_k = root.number(
        walk,
        "wall_k_w_mk",
        May,
        (0.02, 500.0),
        "W/(m K) of the wall, 0.02 to 500",
    );
    let stirred = root.flag(walk, "stirred");
    let freeze_to_c = root.number(walk, "freeze_to_c", May, (-30.0, -1.0), "°C in the middle, -30 to -1");
    let matter = match root.table(walk, "food", "the food", FOOD) {
        Some(section) => matter(walk, &section),
        None => {
            if !root.has("food") {
                let fault = Fault::new(
                    "the cooling case has no [food]",
                    "[food] with shares in % or with constants",
                );
                walk.fault(root.at.clone(), fault);
            }
            None
        }
    };
    if let (Some(_), Some(Matter::Constant(_))) = (freeze_to_c, &matter) {
        let fault = Fault::new(
            "the food has no freezing point to freeze at",
            "shares in %, or frozen_k_w_mk, frozen_cp_j_kgk, latent_kj_kg and freezes_c in [food]",
        );
        walk.fault(root.place(walk, "freeze_to_c"), fault);
    }
    let sections = root.tables(walk, "phase", Must, "a phase", PHASE);
    let last = sections.len().saturating_sub(1);
    let phases: Vec<Option<Phase>> = sections
        .iter()
        .enumerate()
        .map(|(i, section)| phase(walk, section, i == last))
        .collect();
    if let (Some(start), Some(Some(first)), Some(section)) = (start_c, phases.first(), sections.first())
        && first.around.medium_c >= start
    {
        let what = format!(
            "the food starts at {start} °C and its medium is no colder: {} °C",
            first.around.medium_c
        );
        walk.fault(
            section.place(walk, "medium_c"),
            Fault::new(what, "a medium colder than start_c"),
        );
    }
    if let (Some(to), Some(Some(end)), Some(section)) = (freeze_to_c, phases.last(), sections.last())
        && end.around.medium_c >= to
    {
        let what = format!(
            "a medium of {} °C never freezes the middle to {to} °C",
            end.around.medium_c
        );
        walk.fault(
            section.place(walk, "medium_c"),
            Fault::new(what, "a medium colder than freeze_to_c"),
        );
    }
    let readings = root.table(walk, "readings", "the readings", READINGS);
    let readings = readings.map(|section| read_readings(walk, &section));
    let refrigerator = root.table(walk, "refrigerator", "the refrigerator", REFRIGERATOR);
    let refrigerator = refrigerator.map(|section| read_refrigerator(walk, &section));
    let glass = root.table(walk, "glass", "the glass", GLASS);
    let glass = glass.map(|section| read_glass(walk, &section));
    let shape = shape?;
    let (usual_wall_m, usual_k) = shape.usual_wall();
    Some(CoolingCase {
        name: name.unwrap_or_else(|| shape.word().to_owned()),
        shape,
        vessel: vessel?,
        side: Side {
            wall_m: wall_m.map_or(usual_wall_m, |mm| mm / 1000.0),
            wall_k_w_mk: wall_k.unwrap_or(usual_k),
        },
        wall_assumed: wall_m.is_none() && usual_wall_m > 0.0,
        start_c: start_c?,
        stirred,
        freeze_to_c,
        matter: matter?,
        phases: phases.into_iter().collect::<Option<_>>()?,
        readings: whole(readings)?,
        refrigerator: whole(refrigerator)?,
        glass: whole(glass)?,
    })
}

/// A part that is not there is whole; one that is there and faulty is not.
fn whole<T>(part: Option<Option<T>>) -> Option<Option<T>> {
    match part {
        None => Some(None),
        Some(read) => read.map(Some),
    }
}

fn vessel<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>, shape: Option<ShapeWord>) -> Option<Vessel> {
    let mut metres = |key, need: Need, expected: &str| {
        root.number(walk, key, need, (5.0, 1000.0), expected)
            .map(|mm| mm / 1000.0)
    };
    let depth_m = metres("depth_mm", Must, "depth of the food in millimetres, 5 to 1000");
    let round = shape.is_some_and(ShapeWord::round);
    let boxed = if shape.is_some() && !round { Must } else { May };
    let length_m = metres("length_mm", boxed, "length in millimetres, 5 to 1000");
    let width_m = metres("width_mm", boxed, "width in millimetres, 5 to 1000");
    let across_need = if round { Must } else { May };
    let across_m = metres("diameter_mm", across_need, "diameter in millimetres, 5 to 1000");
    let odd: &[&str] = if round {
        &["length_mm", "width_mm"]
    } else {
        &["diameter_mm"]
    };
    if let Some(shape) = shape {
        for key in odd.iter().filter(|key| root.has(key)) {
            let what = format!("a {} has no \"{key}\"", shape.word());
            let expected = if round { "diameter_mm" } else { "length_mm and width_mm" };
            walk.fault(root.place(walk, key), Fault::new(what, expected));
        }
    }
    let vessel = match shape? {
        ShapeWord::Pan => Vessel::Pan {
            sizes_m: [depth_m?, length_m?, width_m?],
        },
        ShapeWord::Tub => Vessel::Tub {
            sizes_m: [depth_m?, length_m?, width_m?],
        },
        ShapeWord::Jar => Vessel::Jar {
            depth_m: depth_m?,
            across_m: across_m?,
        },
        ShapeWord::Bowl => Vessel::Bowl {
            depth_m: depth_m?,
            across_m: across_m?,
        },
    };
    if vessel.check().is_err() {
        let fault = Fault::new(
            "a bowl deeper than half its diameter",
            "a diameter of at least twice the depth",
        );
        walk.fault(root.place(walk, "diameter_mm"), fault);
        return None;
    }
    Some(vessel)
}

fn matter<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Matter> {
    let shares = COMPOSITION.iter().any(|key| section.has(key));
    let constants = ["k_w_mk", "density_kg_m3", "cp_j_kgk"]
        .iter()
        .any(|key| section.has(key))
        || FROZEN.iter().any(|key| section.has(key));
    if shares && constants {
        let fault = Fault::new("shares and constants of one food", "either shares in % or constants");
        walk.fault(section.at.clone(), fault);
        return None;
    }
    if shares {
        composition(walk, section)
    } else {
        constant(walk, section)
    }
}

fn composition<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Matter> {
    let mut kg = |key: &str, need| {
        let expected = "a share in %, 0 to 100";
        let read = section.number(walk, key, need, (0.0, 100.0), expected);
        read.map(|pct| pct / 100.0).or(if section.has(key) || need == Must {
            None
        } else {
            Some(0.0)
        })
    };
    let food = Food {
        water_kg: kg("water_pct", Must)?,
        protein_kg: kg("protein_pct", May)?,
        fat_kg: kg("fat_pct", May)?,
        sucrose_kg: kg("sucrose_pct", May)?,
        hexose_kg: kg("glucose_fructose_pct", May)?,
        starch_kg: kg("starch_pct", May)?,
        fibre_kg: kg("fibre_pct", May)?,
        ash_kg: kg("ash_pct", May)?,
        salt_kg: kg("salt_pct", May)?,
        alcohol_kg: kg("alcohol_pct", May)?,
        ..Food::default()
    };
    let sum_pct = 100.0 * food.mass_kg();
    if (sum_pct - 100.0).abs() > SUM_MISS_PCT {
        let fault = Fault::new(format!("the shares add up to {sum_pct:.1} %"), "100 %");
        walk.fault(section.at.clone(), fault);
        return None;
    }
    Some(Matter::Food(Box::new(food)))
}

fn constant<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Matter> {
    let k = section.number(walk, "k_w_mk", Must, (0.05, 5.0), "W/(m K) of the food, 0.05 to 5");
    let density = section.number(walk, "density_kg_m3", Must, (100.0, 3000.0), "kg/m³, 100 to 3000");
    let cp = section.number(walk, "cp_j_kgk", Must, (500.0, 6000.0), "J/(kg K), 500 to 6000");
    let need = if FROZEN.iter().any(|key| section.has(key)) {
        Must
    } else {
        May
    };
    let frozen_k = section.number(
        walk,
        "frozen_k_w_mk",
        need,
        (0.05, 5.0),
        "W/(m K) of the frozen food, 0.05 to 5",
    );
    let frozen_cp = section.number(walk, "frozen_cp_j_kgk", need, (500.0, 6000.0), "J/(kg K), 500 to 6000");
    let latent = section.number(
        walk,
        "latent_kj_kg",
        need,
        (10.0, 340.0),
        "kJ/kg of the food, 10 to 340",
    );
    let freezes = section.number(
        walk,
        "freezes_c",
        need,
        (-20.0, -0.05),
        "°C where it begins to freeze, -20 to -0.05",
    );
    if need == May {
        return Some(Matter::Constant(Contents {
            conductivity_w_mk: k?,
            density_kg_m3: density?,
            heat_capacity_j_kgk: cp?,
        }));
    }
    Some(Matter::Freezing(Constants {
        density_kg_m3: density?,
        unfrozen_cp_j_kgk: cp?,
        frozen_cp_j_kgk: frozen_cp?,
        unfrozen_k_w_mk: k?,
        frozen_k_w_mk: frozen_k?,
        latent_j_kg: 1000.0 * latent?,
        freezes_c: freezes?,
        freezes: Freezes::ByAndBy,
    }))
}

fn phase<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>, last: bool) -> Option<Phase> {
    let place = section.read(walk, "medium", Must, "what the food stands in", |text| {
        choose(text, "medium", &PlaceWord::ALL, PlaceWord::word)
    });
    let wet = place.is_some_and(PlaceWord::wet);
    let (range, expected) = if wet {
        ((0.0, 60.0), "°C of the water, 0 to 60")
    } else {
        (
            (-30.0, 60.0),
            "°C of the air, -30 to 60: below -30 the ice of a food is not known",
        )
    };
    let medium_c = section.number(walk, "medium_c", Must, range, expected);
    let need = if last { May } else { Must };
    let expected = "minutes, above 0 to 10 000; the last phase may leave them out";
    let minutes = section.number(walk, "minutes", need, (0.01, 10_000.0), expected);
    let film = section.number(
        walk,
        "film_w_m2k",
        May,
        (1.0, 20_000.0),
        "a measured film, 1 to 20 000 W/(m² K)",
    );
    let driven = place.is_some_and(PlaceWord::driven) && film.is_none();
    let most = if wet { 5.0 } else { 30.0 };
    let expected = if wet {
        "m/s of the stirred water, 0 to 5"
    } else {
        "m/s of the air over the food, 0 to 30"
    };
    let speed = section.number(
        walk,
        "speed_m_s",
        if driven { Must } else { May },
        (0.0, most),
        expected,
    );
    let speed_m_s = speed.unwrap_or(0.0);
    let place = place?;
    if last && minutes.is_none() && section.has("minutes") || !last && minutes.is_none() {
        return None;
    }
    Some(Phase {
        place,
        around: Around {
            medium: if wet {
                Medium::Water { speed_m_s }
            } else {
                Medium::Air { speed_m_s }
            },
            medium_c: medium_c?,
            film_w_m2k: film,
        },
        for_s: minutes.map(|minutes| 60.0 * minutes),
    })
}

fn read_readings<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Readings> {
    let expected = "°C, -30 to 100";
    let first_c = section.number(walk, "first_c", Must, CELSIUS, expected);
    let second_c = section.number(walk, "second_c", Must, CELSIUS, expected);
    let between = section.number(walk, "minutes_between", Must, (1.0, 2000.0), "minutes, 1 to 2000");
    let sink_c = section.number(
        walk,
        "sink_c",
        Must,
        (-30.0, 60.0),
        "°C of what it cools towards, -30 to 60",
    );
    let readings = Readings {
        first_c: first_c?,
        second_c: second_c?,
        between_s: 60.0 * between?,
        sink_c: sink_c?,
    };
    let mut right = true;
    if readings.second_c >= readings.first_c {
        let what = format!(
            "second_c {} is not below first_c {}",
            readings.second_c, readings.first_c
        );
        walk.fault(
            section.place(walk, "second_c"),
            Fault::new(what, "a later, colder reading"),
        );
        right = false;
    }
    if readings.sink_c >= readings.second_c {
        let what = format!("sink_c {} is not below second_c {}", readings.sink_c, readings.second_c);
        walk.fault(
            section.place(walk, "sink_c"),
            Fault::new(what, "what the food cools towards"),
        );
        right = false;
    }
    right.then_some(readings)
}

fn read_refrigerator<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Refrigerator> {
    let spare_w = section.number(walk, "spare_w", Must, (1.0, 100_000.0), "watts to spare, 1 to 100 000");
    let set_c = section.number(walk, "set_c", Must, (-30.0, 10.0), "°C it is set to, -30 to 10");
    let limit_c = section.number(walk, "limit_c", May, (-20.0, 20.0), "°C its air may reach, -20 to 20");
    let expected = "kJ/K of air, shelves and lining, 0.1 to 100 000";
    let capacity = section.number(walk, "capacity_kj_k", Must, (0.1, 100_000.0), expected);
    let (set_c, limit_c) = (set_c?, limit_c.unwrap_or(5.0));
    if limit_c <= set_c {
        let what = format!("the air may reach {limit_c} °C and is set to {set_c} °C");
        walk.fault(
            section.place(walk, "set_c"),
            Fault::new(what, "a setting below limit_c, which is 5 unless told"),
        );
        return None;
    }
    Some(Refrigerator {
        spare_w: spare_w?,
        set_c,
        limit_c,
        capacity_j_k: 1000.0 * capacity?,
    })
}

fn read_glass<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<WallCase> {
    let wall = section.number(walk, "wall_mm", Must, (1.0, 12.0), "millimetres of glass, 1 to 12");
    let high = section.number(walk, "height_mm", Must, (20.0, 500.0), "millimetres, 20 to 500");
    let across = section.number(walk, "diameter_mm", Must, (20.0, 300.0), "millimetres, 20 to 300");
    let jar_c = section.number(walk, "jar_c", Must, (0.0, 150.0), "°C of the empty jar, 0 to 150");
    let food_c = section.number(
        walk,
        "food_c",
        Must,
        (20.0, 110.0),
        "°C of the food as it is filled, 20 to 110",
    );
    let mut wet = |key| section.number(walk, key, May, (0.0, 110.0), "°C, 0 to 110");
    let (loaded_c, bath_c, unloaded_c, into_water_c) =
        (wet("loaded_c"), wet("bath_c"), wet("unloaded_c"), wet("into_water_c"));
    let oven_c = section.number(
        walk,
        "oven_c",
        May,
        (20.0, 150.0),
        "°C of the jar from the oven, 20 to 150",
    );
    let room_c = section.number(walk, "room_c", Must, (0.0, 60.0), "°C of the room, 0 to 60");
    let pass_k = section.number(
        walk,
        "pass_k",
        May,
        (10.0, 75.0),
        "K that the maker's jars pass, 10 to 75",
    );
    if bath_c.is_some() != loaded_c.is_some() {
        let fault = Fault::new(
            "loading needs loaded_c and bath_c",
            "°C of the filled jar and of the bath",
        );
        walk.fault(section.at.clone(), fault);
    }
    Some(WallCase {
        wall_m: wall? / 1000.0,
        high_m: high? / 1000.0,
        across_m: across? / 1000.0,
        jar_c: jar_c?,
        food_c: food_c?,
        loads: loaded_c.zip(bath_c),
        unloaded_c,
        into_water_c,
        oven_c,
        room_c: room_c?,
        pass_k,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAN: &str = "shape = \"pan\"\ndepth_mm = 51\nlength_mm = 500\nwidth_mm = 300\nstart_c = 80\n\
        [food]\nk_w_mk = 0.55\ndensity_kg_m3 = 1040\ncp_j_kgk = 3800\n\
        [[phase]]\nmedium = \"freezer\"\nmedium_c = -20\n";

    fn faults(text: &str) -> String {
        match read_cooling("c.toml", text) {
            Ok(_) => String::new(),
            Err(problems) => problems.iter().map(|problem| format!("{problem}\n")).collect(),
        }
    }

    #[test]
    fn a_whole_case_is_read() {
        assert_eq!(faults(PAN), "");
    }

    #[test]
    fn every_fault_is_told_in_place_with_the_nearest_word() {
        for (from, to, said) in [
            ("\"pan\"", "\"pam\"", "did you mean \"pan\""),
            ("depth_mm", "dept_mm", "did you mean \"depth_mm\""),
            ("\"freezer\"", "\"frezer\"", "did you mean \"freezer\""),
            ("depth_mm = 51", "depth_mm = -51", "\"depth_mm\" is -51"),
            ("depth_mm = 51", "depth_mm = nan", "not a finite number"),
            ("depth_mm = 51", "depth_mm = 51000", "5 to 1000"),
            ("start_c = 80", "start_c = -25", "no colder"),
            ("start_c = 80\n", "", "has no \"start_c\""),
            ("medium_c = -20", "medium_c = -90", "-30 to 60"),
            ("\"freezer\"", "\"fan\"", "has no \"speed_m_s\""),
            ("cp_j_kgk = 3800", "cp_j_kgk = 0", "500 to 6000"),
            ("k_w_mk = 0.55", "water_pct = 90", "either shares"),
            ("start_c = 80", "start_c = 80\nfreeze_to_c = -18", "no freezing point"),
            ("start_c = 80", "start_c = 80\ndiameter_mm = 80", "a pan has no"),
        ] {
            let text = PAN.replace(from, to);
            assert!(faults(&text).contains(said), "{to}: {}", faults(&text));
        }
        assert!(faults("").contains("empty"));
        assert!(faults("shape = [").contains("not TOML"));
    }

    #[test]
    fn readings_that_do_not_fall_and_shares_that_do_not_add_up_are_refused() {
        let readings = "[readings]\nfirst_c = 50\nsecond_c = 60\nminutes_between = 30\nsink_c = 3\n";
        assert!(faults(&format!("{PAN}{readings}")).contains("not below first_c"));
        let shares = PAN.replace(
            "k_w_mk = 0.55\ndensity_kg_m3 = 1040\ncp_j_kgk = 3800",
            "water_pct = 80\nprotein_pct = 3",
        );
        assert!(faults(&shares).contains("add up to 83.0 %"));
    }
}
