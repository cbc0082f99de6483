//! Reading a kitchen file.

use jiff::civil::Time;
use toml::de::DeTable;

use super::Money;
use super::equipment::{
    Bath, Burner, Cold, Fuel, Hours, Instrument, InstrumentKind, JarStock, KitchenFile, Losses,
    Oven, Pot, PotKind, Times, Weekday,
};
use super::number;
use super::problem::{Fault, Problem};
use super::quantity::{
    altitude_m, area_m2, brix, kelvin, length_m, loss_g, mass_g, power_w, pressure_pa, share,
    temperature_c, time_s, volume_l,
};
use super::spell;
use super::walk::Need::{May, Must};
use super::walk::{Section, Walk, choose, jar_size, number_of};

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
const BURNER: &[&str] = &["name", "fuel", "power", "efficiency"];
const POT: &[&str] = &["name", "kind", "holds", "diameter", "weight", "burner"];
const BATH: &[&str] = &["name", "water", "diameter", "weight", "burner", "jars"];
const JAR: &[&str] = &["size", "price", "lid_price", "on_hand"];
const COLD: &[&str] = &["name", "keeps", "power", "shelf"];
const INSTRUMENT: &[&str] = &["name", "kind", "plus_minus", "checked"];

const EXPECTED_FILE: &str =
    "a kitchen: name, altitude, people, hours, [[burner]], [[pot]], [[bath]] and [[jar]]";
const EXPECTED_MONEY: &str = "money such as \"18.00\"";
const EXPECTED_POWER: &str = "a power such as \"2.4 kW\"";
const EXPECTED_LENGTH: &str = "a length such as \"28 cm\" or \"11 in\"";
const EXPECTED_WEIGHT: &str = "a weight such as \"40 g\"";
const EXPECTED_SHARE: &str = "a share such as \"5 %\"";
const EXPECTED_NAME: &str = "a name";
const EXPECTED_COUNT: &str = "a whole number from 1 to 500";

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
    unique(walk, &jars, "size");
    let kitchen = KitchenFile {
        name: root
            .words(walk, "name", Must, "the kitchen's name")
            .unwrap_or_default(),
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
        people: root
            .count(walk, "people", Must, (1, 500), EXPECTED_COUNT)
            .unwrap_or(1),
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
        burners: burners
            .iter()
            .map(|section| burner(walk, section))
            .collect(),
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
    let names: Vec<&str> = kitchen
        .burners
        .iter()
        .map(|burner| burner.name.as_str())
        .collect();
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
        Err(Fault::new(
            format!("unknown currency \"{code}\""),
            EXPECTED_CURRENCY,
        ))
    }
}

/// Refuses two tables of one name.
fn unique<'t>(walk: &mut Walk<'t>, sections: &[Section<'_, 't>], key: &str) {
    let mut seen: Vec<&str> = Vec::new();
    for section in sections {
        let Some(name) = section.text(key) else {
            continue;
        };
        if seen.contains(&name) {
            walk.fault(
                section.place(walk, key),
                Fault::new(format!("\"{name}\" is there twice"), "another name"),
            );
        }
        seen.push(name);
    }
}

fn hours<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Hours {
    let midnight = Hours {
        open: Time::midnight(),
        close: Time::midnight(),
    };
    if !root.has("hours") {
        let expected = "hours = { open = \"07:00\", close = \"19:00\" }";
        walk.fault(
            root.at.clone(),
            Fault::new("a kitchen has no \"hours\"", expected),
        );
    }
    let Some(section) = root.table(walk, "hours", "the hours", &["open", "close"]) else {
        return midnight;
    };
    let (open, close) = (
        section.time(walk, "open", Must),
        section.time(walk, "close", Must),
    );
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
                let fault = Fault::new(
                    format!("unknown day \"{}\"", day.value),
                    spell::list(words()),
                )
                .near(spell::nearest(day.value, words()));
                walk.fault(day.at, fault);
            }
        }
    }
    days
}

fn burner<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Burner {
    let fuel = |text: &str| choose(text, "fuel", &Fuel::ALL, Fuel::word);
    Burner {
        name: section
            .words(walk, "name", Must, EXPECTED_NAME)
            .unwrap_or_default(),
        fuel: section
            .read(walk, "fuel", Must, "gas, coil or induction", fuel)
            .unwrap_or(Fuel::Gas),
        power_w: section
            .read(walk, "power", Must, EXPECTED_POWER, power_w)
            .unwrap_or_default(),
        efficiency: section.read(
            walk,
            "efficiency",
            May,
            "a share such as \"38 %\"",
            positive_share,
        ),
    }
}

fn positive_share(text: &str) -> Result<f64, Fault> {
    let share = share(text)?;
    if share > 0.0 {
        Ok(share)
    } else {
        Err(Fault::new("a share of zero", "above 0 % and at most 100 %"))
    }
}

fn pot<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Pot {
    let kind = |text: &str| choose(text, "kind of pot", &PotKind::ALL, PotKind::word);
    let kinds = spell::list(PotKind::ALL.map(PotKind::word));
    Pot {
        name: section
            .words(walk, "name", Must, EXPECTED_NAME)
            .unwrap_or_default(),
        kind: section
            .read(walk, "kind", Must, &kinds, kind)
            .unwrap_or(PotKind::OpenPan),
        holds_l: section
            .read(walk, "holds", Must, "a volume such as \"6 L\"", volume_l)
            .unwrap_or_default(),
        diameter_m: section
            .read(walk, "diameter", Must, EXPECTED_LENGTH, length_m)
            .unwrap_or_default(),
        weight_kg: section
            .read(walk, "weight", May, "a weight such as \"2 kg\"", mass_g)
            .map(|g| g / 1000.0),
        burner: section
            .words(walk, "burner", Must, "the name of a burner")
            .unwrap_or_default(),
    }
}

fn bath<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Bath {
    Bath {
        name: section
            .words(walk, "name", Must, EXPECTED_NAME)
            .unwrap_or_default(),
        water_l: section
            .read(walk, "water", Must, "a volume such as \"18 L\"", volume_l)
            .unwrap_or_default(),
        diameter_m: section
            .read(walk, "diameter", Must, EXPECTED_LENGTH, length_m)
            .unwrap_or_default(),
        weight_kg: section
            .read(walk, "weight", May, "a weight such as \"3 kg\"", mass_g)
            .map(|g| g / 1000.0),
        burner: section
            .words(walk, "burner", Must, "the name of a burner")
            .unwrap_or_default(),
        jars: bath_jars(walk, section),
    }
}

fn bath_jars<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Vec<(String, u32)> {
    let expected = "jars = { half-pint = 12, pint = 8 }";
    let mut jars = Vec::new();
    for (size, count) in section.entries(walk, "jars", Must, expected) {
        if let Err(fault) = jar_size(size.value) {
            walk.fault(size.at.clone(), fault);
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number from 1 to 500"
        )]
        match number_of(count.get_ref()) {
            Some(number) if (1.0..=500.0).contains(&number) && number.fract() <= 0.0 => {
                jars.push((size.value.to_owned(), number as u32));
            }
            _ => walk.fault(
                count.span(),
                Fault::new(
                    format!("no number of {} jars in one load", size.value),
                    EXPECTED_COUNT,
                ),
            ),
        }
    }
    jars
}

fn jar<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> JarStock {
    JarStock {
        size: section
            .read(walk, "size", Must, "a jar such as \"half-pint\"", jar_size)
            .unwrap_or_default(),
        price: section
            .read(walk, "price", Must, EXPECTED_MONEY, Money::parse)
            .unwrap_or_default(),
        lid_price: section
            .read(walk, "lid_price", Must, EXPECTED_MONEY, Money::parse)
            .unwrap_or_default(),
        on_hand: section.count(
            walk,
            "on_hand",
            May,
            (0, 1_000_000),
            "a whole number of jars",
        ),
    }
}

fn cold_list<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Vec<Cold> {
    let sections = root.tables(walk, "refrigerator", May, "a refrigerator", COLD);
    unique(walk, &sections, "name");
    sections
        .iter()
        .map(|section| cold(walk, section, "refrigerator"))
        .collect()
}

fn cold<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>, unnamed: &str) -> Cold {
    let keeps = "the temperature it keeps, such as \"4 C\"";
    Cold {
        name: section
            .words(walk, "name", May, EXPECTED_NAME)
            .unwrap_or_else(|| unnamed.to_owned()),
        keeps_c: section
            .read(walk, "keeps", Must, keeps, temperature_c)
            .unwrap_or_default(),
        power_w: section.read(walk, "power", May, EXPECTED_POWER, power_w),
        shelf_m2: section.read(walk, "shelf", May, "an area such as \"1.2 m2\"", area_m2),
    }
}

fn instruments<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Vec<Instrument> {
    let sections = root.tables(walk, "instrument", May, "an instrument", INSTRUMENT);
    unique(walk, &sections, "name");
    let kind = |text: &str| {
        choose(
            text,
            "instrument",
            &InstrumentKind::ALL,
            InstrumentKind::word,
        )
    };
    let kinds = spell::list(InstrumentKind::ALL.map(InstrumentKind::word));
    let mut read = Vec::new();
    for section in &sections {
        let name = section.words(walk, "name", Must, EXPECTED_NAME);
        let kind = section.read(walk, "kind", Must, &kinds, kind);
        let (expected, parse): (&str, fn(&str) -> Result<f64, Fault>) = match kind {
            Some(InstrumentKind::Thermometer) => {
                ("a temperature difference such as \"1 C\"", kelvin)
            }
            Some(InstrumentKind::PhMeter) => ("pH such as \"0.02\"", half_ph),
            Some(InstrumentKind::Refractometer) => ("soluble solids such as \"0.5 Bx\"", brix),
            Some(InstrumentKind::Scale) => ("a weight such as \"5 g\"", mass_g),
            None => ("how far it can be off", |_| Ok(0.0)),
        };
        let plus_minus = section.read(walk, "plus_minus", Must, expected, parse);
        let checked = section.date(walk, "checked", May);
        if let (Some(name), Some(kind), Some(plus_minus)) = (name, kind, plus_minus) {
            read.push(Instrument {
                name,
                kind,
                plus_minus,
                checked,
            });
        }
    }
    read
}

/// Half width of a pH meter; pH has no unit, so the string is a number, `pH` after it is read.
fn half_ph(text: &str) -> Result<f64, Fault> {
    let value = number::whole(text.trim().trim_end_matches("pH"))?;
    if (0.0..=1.0).contains(&value) {
        Ok(value)
    } else {
        Err(Fault::new(
            format!("pH half width \"{}\" is out of range", text.trim()),
            "from 0 to 1",
        ))
    }
}

fn losses<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Losses {
    let Some(section) = root.table(
        walk,
        "losses",
        "the losses",
        &["seal_failure", "pot", "sieve"],
    ) else {
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
        unload_reload_s: section.read(
            walk,
            "unload_reload",
            May,
            "a time such as \"10 min\"",
            time_s,
        ),
    }
}
