//! Reading a kitchen file.

use jiff::civil::Time;
use toml::de::DeTable;

use super::Money;
use super::equipment::{Hours, KitchenFile, Losses, Oven, Times, Weekday};
use super::problem::{Fault, Problem};
use super::quantity::{altitude_m, loss_g, mass_g, power_w, pressure_pa, share, temperature_c, time_s};
use super::read_gear::{
    BATH, BURNER, COLD, EXPECTED_COUNT, EXPECTED_MONEY, EXPECTED_POWER, JAR, POT, bath, burner, cold, cold_list,
    instruments, jar, pot, unique,
};
use super::section::Section;
use super::spell;
use super::walk::Need::{May, Must};
use super::walk::Walk;

const ROOT: &[&str] = &[
    "name",
    "altitude",
    "barometer",
    "people",
    "currency",
    "labour_per_hour",
    "energy_per_kwh",
    "scale_step",
    "water_supply",
    "room",
    "hours",
    "works",
    "burner",
    "pot",
    "bath",
    "jar",
    "refrigerator",
    "freezer",
    "oven",
    "instrument",
    "losses",
    "times",
];

const EXPECTED_FILE: &str = "a kitchen: name, altitude, people, hours, [[burner]], [[pot]], [[bath]] and [[jar]]";
const EXPECTED_WEIGHT: &str = "a weight such as \"40 g\"";
const EXPECTED_SHARE: &str = "a share such as \"5 %\"";

const DAYS: [(&str, Weekday); 7] = [
    ("mon", Weekday::Monday),
    ("tue", Weekday::Tuesday),
    ("wed", Weekday::Wednesday),
    ("thu", Weekday::Thursday),
    ("fri", Weekday::Friday),
    ("sat", Weekday::Saturday),
    ("sun", Weekday::Sunday),
];

/// Reads a kitchen.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_kitchen(name: &str, text: &str) -> Result<KitchenFile, Vec<Problem>> {
    let (mut walk, table) = Walk::open(name, text, EXPECTED_FILE)?;
    let kitchen = read(&mut walk, table.get_ref());
    walk.finish(kitchen)
}

fn read<'t>(walk: &mut Walk<'t>, table: &DeTable<'t>) -> KitchenFile {
    let root = walk.root(table, "a kitchen", ROOT);
    let altitude = "an altitude such as \"120 m\" or \"400 ft\"";
    let temperature = "a temperature such as \"15 C\" or \"60 F\"";
    let burners = root.tables(walk, "burner", Must, "a burner", BURNER);
    let pots = root.tables(walk, "pot", Must, "a pot", POT);
    let baths = root.tables(walk, "bath", May, "a bath", BATH);
    let jars = root.tables(walk, "jar", Must, "a jar", JAR);
    for sections in [&burners, &pots, &baths] {
        unique(walk, sections, "name");
    }
    let kitchen = KitchenFile {
        name: root.words(walk, "name", Must, "the kitchen's name").unwrap_or_default(),
        altitude_m: root
            .read(walk, "altitude", Must, altitude, altitude_m)
            .unwrap_or_default(),
        barometer_pa: root.read(
            walk,
            "barometer",
            May,
            "an air pressure such as \"1013 hPa\"",
            pressure_pa,
        ),
        people: root.count(walk, "people", Must, (1, 500), EXPECTED_COUNT).unwrap_or(1),
        currency: root
            .read(walk, "currency", Must, EXPECTED_CURRENCY, currency)
            .unwrap_or_default(),
        labour_per_hour: root
            .read(walk, "labour_per_hour", Must, EXPECTED_MONEY, Money::parse)
            .unwrap_or_default(),
        energy_per_kwh: root
            .read(walk, "energy_per_kwh", Must, EXPECTED_MONEY, Money::parse)
            .unwrap_or_default(),
        scale_step_g: root
            .read(walk, "scale_step", Must, "a weight such as \"5 g\"", mass_g)
            .unwrap_or_default(),
        water_supply_c: root
            .read(walk, "water_supply", Must, temperature, temperature_c)
            .unwrap_or_default(),
        room_c: root
            .read(walk, "room", Must, temperature, temperature_c)
            .unwrap_or_default(),
        hours: hours(walk, &root),
        works: works(walk, &root),
        burners: burners.iter().map(|section| burner(walk, section)).collect(),
        pots: pots.iter().map(|section| pot(walk, section)).collect(),
        baths: baths.iter().map(|section| bath(walk, section)).collect(),
        jars: jars.iter().map(|section| jar(walk, section)).collect(),
        refrigerators: cold_list(walk, &root),
        freezer: root
            .table(walk, "freezer", "a freezer", COLD)
            .map(|section| cold(walk, &section, "freezer")),
        oven: root
            .table(walk, "oven", "an oven", &["power", "trays"])
            .map(|section| Oven {
                power_w: section
                    .read(walk, "power", Must, EXPECTED_POWER, power_w)
                    .unwrap_or_default(),
                trays: section.count(walk, "trays", May, (1, 500), EXPECTED_COUNT),
            }),
        instruments: instruments(walk, &root),
        losses: losses(walk, &root),
        times: times(walk, &root),
    };
    for (nth, jar) in kitchen.jars.iter().enumerate() {
        if !jar.size.is_empty() && kitchen.jars[..nth].iter().any(|known| known.size == jar.size) {
            let fault = Fault::new(format!("\"{}\" is there twice", jar.size), "one [[jar]] for each size");
            walk.fault(jars[nth].place(walk, "size"), fault);
        }
    }
    let names: Vec<&str> = kitchen.burners.iter().map(|burner| burner.name.as_str()).collect();
    let named = kitchen
        .pots
        .iter()
        .map(|pot| pot.burner.as_str())
        .chain(kitchen.baths.iter().map(|b| b.burner.as_str()));
    for (section, burner) in pots.iter().chain(&baths).zip(named) {
        if !burner.is_empty() && !names.contains(&burner) {
            let fault = Fault::new(
                format!("no burner is named \"{burner}\""),
                spell::list(names.iter().copied()),
            )
            .near(spell::nearest(burner, names.iter().copied()));
            walk.fault(section.place(walk, "burner"), fault);
        }
    }
    kitchen
}

const EXPECTED_CURRENCY: &str = "a three-letter code such as \"USD\"";

fn currency(text: &str) -> Result<String, Fault> {
    let code = text.trim();
    if code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase()) {
        Ok(code.to_owned())
    } else {
        Err(Fault::new(format!("unknown currency \"{code}\""), EXPECTED_CURRENCY))
    }
}

fn hours<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Hours {
    let midnight = Hours {
        open: Time::midnight(),
        close: Time::midnight(),
    };
    if !root.has("hours") {
        let expected = "hours = { open = \"07:00\", close = \"19:00\" }";
        walk.fault(root.at.clone(), Fault::new("a kitchen has no \"hours\"", expected));
    }
    let Some(section) = root.table(walk, "hours", "the hours", &["open", "close"]) else {
        return midnight;
    };
    let (open, close) = (section.time(walk, "open", Must), section.time(walk, "close", Must));
    let (Some(open), Some(close)) = (open, close) else {
        return midnight;
    };
    if open >= close {
        walk.fault(
            section.place(walk, "close"),
            Fault::new("the kitchen closes before it opens", "a later time of day"),
        );
    }
    Hours { open, close }
}

fn works<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Vec<Weekday> {
    let words = || DAYS.iter().map(|(word, _)| *word);
    if !root.has("works") {
        return DAYS.iter().map(|&(_, day)| day).collect();
    }
    let listed = root.list(walk, "works", "a list of days such as [\"mon\", \"tue\"]");
    if listed.is_empty() {
        walk.fault(
            root.place(walk, "works"),
            Fault::new("no working day", spell::list(words())),
        );
    }
    let mut days = Vec::new();
    for day in listed {
        match DAYS.iter().find(|(word, _)| *word == day.value.trim()) {
            Some(&(_, known)) if !days.contains(&known) => days.push(known),
            Some(_) => walk.fault(
                day.at,
                Fault::new(format!("\"{}\" is there twice", day.value), "each day once"),
            ),
            None => {
                let fault = Fault::new(format!("unknown day \"{}\"", day.value), spell::list(words()))
                    .near(spell::nearest(day.value, words()));
                walk.fault(day.at, fault);
            }
        }
    }
    days
}

fn losses<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Losses {
    let Some(section) = root.table(walk, "losses", "the losses", &["seal_failure", "pot", "sieve"]) else {
        return Losses::default();
    };
    Losses {
        seal_failure: section.read(walk, "seal_failure", May, EXPECTED_SHARE, seal_failure),
        pot_g: section.read(walk, "pot", May, EXPECTED_WEIGHT, loss_g),
        sieve_g: section.read(walk, "sieve", May, EXPECTED_WEIGHT, loss_g),
    }
}

fn seal_failure(text: &str) -> Result<f64, Fault> {
    let share = share(text)?;
    if share < 1.0 {
        Ok(share)
    } else {
        Err(Fault::new("every jar fails to seal", "below 100 %"))
    }
}

fn times<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Times {
    let keys = &["fill_jars_per_min", "unload_reload"];
    let Some(section) = root.table(walk, "times", "the times", keys) else {
        return Times::default();
    };
    let rate = "jars one person fills in a minute, such as 2.5";
    Times {
        fill_jars_per_min: section.number(walk, "fill_jars_per_min", May, (0.01, 1000.0), rate),
        unload_reload_s: section.read(walk, "unload_reload", May, "a time such as \"10 min\"", time_s),
    }
}
