//! Writing a kitchen file from answers.

use std::fmt::Write;

use super::equipment::{Fuel, InstrumentKind, PotKind};

/// What a person answered about the kitchen. Quantities stand as answered, with their unit, so
/// that `400 ft` stays `400 ft`; the functions of [`super::quantity`] and
/// [`super::Money::parse`] check an answer at once.
#[derive(Debug, Clone, PartialEq)]
pub struct KitchenAnswers {
    /// Kitchen's name.
    pub name: String,
    /// Height above sea level: `120 m`.
    pub altitude: String,
    /// Hands on a working day.
    pub people: u32,
    /// Three-letter code.
    pub currency: String,
    /// Cost of one hour: `18.00`.
    pub labour_per_hour: String,
    /// Cost of one kilowatt-hour: `0.06`.
    pub energy_per_kwh: String,
    /// Smallest step of the scale: `5 g`.
    pub scale_step: String,
    /// Cold water: `15 C`.
    pub water_supply: String,
    /// Room: `21 C`.
    pub room: String,
    /// Work starts: `07:00`.
    pub open: String,
    /// Work ends: `19:00`.
    pub close: String,
    /// Working days: `mon`; none means every day.
    pub works: Vec<String>,
    /// Burners.
    pub burners: Vec<BurnerAnswer>,
    /// Pots.
    pub pots: Vec<PotAnswer>,
    /// Baths.
    pub baths: Vec<BathAnswer>,
    /// Jars: size, price of a jar, price of a lid.
    pub jars: Vec<(String, String, String)>,
    /// Temperature the refrigerator keeps: `4 C`.
    pub refrigerator: Option<String>,
    /// Half width of the thermometer: `1 C`.
    pub thermometer: Option<String>,
    /// Half width of the pH meter: `0.02`.
    pub ph_meter: Option<String>,
    /// Half width of the refractometer: `0.5 Bx`.
    pub refractometer: Option<String>,
}

/// A burner as answered.
#[derive(Debug, Clone, PartialEq)]
pub struct BurnerAnswer {
    /// Name.
    pub name: String,
    /// What it burns.
    pub fuel: Fuel,
    /// Rated power: `2.6 kW`.
    pub power: String,
}

/// A pot as answered.
#[derive(Debug, Clone, PartialEq)]
pub struct PotAnswer {
    /// Name.
    pub name: String,
    /// How it heats the food.
    pub kind: PotKind,
    /// Brimful volume: `6 L`.
    pub holds: String,
    /// Inner diameter: `28 cm`.
    pub diameter: String,
    /// Name of its burner.
    pub burner: String,
}

/// A bath as answered.
#[derive(Debug, Clone, PartialEq)]
pub struct BathAnswer {
    /// Name.
    pub name: String,
    /// Water in it: `18 L`.
    pub water: String,
    /// Inner diameter: `33 cm`.
    pub diameter: String,
    /// Name of its burner.
    pub burner: String,
    /// Jars one load holds, by size.
    pub jars: Vec<(String, u32)>,
}

/// A kitchen file, with comments, that [`super::read_kitchen`] reads when the answers are good.
#[must_use]
pub fn kitchen_text(answers: &KitchenAnswers) -> String {
    let mut out = String::new();
    // Writing into a string cannot fail.
    let _ = write_kitchen(&mut out, answers);
    out
}

fn write_kitchen(out: &mut String, answers: &KitchenAnswers) -> std::fmt::Result {
    let q = quoted;
    writeln!(
        out,
        "# A kitchen. Quantities carry their unit: \"120 m\", \"170 F\", \"6 L\"."
    )?;
    writeln!(out, "name = {}", q(&answers.name))?;
    writeln!(out, "altitude = {}  # above sea level", q(&answers.altitude))?;
    writeln!(
        out,
        "# barometer = \"1013 hPa\"  # as it reads here, not corrected to sea level"
    )?;
    writeln!(out, "people = {}  # hands on a working day", answers.people)?;
    writeln!(out, "currency = {}", q(&answers.currency))?;
    writeln!(out, "labour_per_hour = {}", q(&answers.labour_per_hour))?;
    writeln!(out, "energy_per_kwh = {}", q(&answers.energy_per_kwh))?;
    writeln!(
        out,
        "scale_step = {}  # the smallest step the scale shows",
        q(&answers.scale_step)
    )?;
    writeln!(out, "water_supply = {}  # cold tap", q(&answers.water_supply))?;
    writeln!(out, "room = {}", q(&answers.room))?;
    writeln!(
        out,
        "hours = {{ open = {}, close = {} }}",
        q(&answers.open),
        q(&answers.close)
    )?;
    if answers.works.is_empty() {
        writeln!(
            out,
            "# works = [\"mon\", \"tue\", \"wed\", \"thu\", \"fri\"]  # else every day"
        )?;
    } else {
        let days: Vec<String> = answers.works.iter().map(|day| q(day)).collect();
        writeln!(out, "works = [{}]", days.join(", "))?;
    }
    for burner in &answers.burners {
        writeln!(out, "\n[[burner]]")?;
        writeln!(out, "name = {}", q(&burner.name))?;
        writeln!(out, "fuel = {}  # gas, coil or induction", q(burner.fuel.word()))?;
        writeln!(out, "power = {}  # as rated", q(&burner.power))?;
        writeln!(
            out,
            "# efficiency = \"38 %\"  # share that reaches the pot, if you measured it"
        )?;
    }
    for pot in &answers.pots {
        writeln!(out, "\n[[pot]]")?;
        writeln!(out, "name = {}", q(&pot.name))?;
        writeln!(
            out,
            "kind = {}  # open-pan, bowl-over-steam or kettle",
            q(pot.kind.word())
        )?;
        writeln!(out, "holds = {}  # brimful", q(&pot.holds))?;
        writeln!(out, "diameter = {}  # inside, at the top", q(&pot.diameter))?;
        writeln!(out, "burner = {}", q(&pot.burner))?;
    }
    for bath in &answers.baths {
        write_bath(out, bath)?;
    }
    for (size, price, lid_price) in &answers.jars {
        writeln!(out, "\n[[jar]]")?;
        writeln!(out, "size = {}", q(size))?;
        writeln!(out, "price = {}", q(price))?;
        writeln!(out, "lid_price = {}", q(lid_price))?;
    }
    if let Some(keeps) = &answers.refrigerator {
        writeln!(out, "\n[[refrigerator]]")?;
        writeln!(out, "name = \"refrigerator\"")?;
        writeln!(out, "keeps = {}", q(keeps))?;
        writeln!(
            out,
            "# power = \"0.4 kW\"  # heat it can take away beside its own losses"
        )?;
    }
    let instruments = [
        (InstrumentKind::Thermometer, &answers.thermometer),
        (InstrumentKind::PhMeter, &answers.ph_meter),
        (InstrumentKind::Refractometer, &answers.refractometer),
    ];
    for (kind, plus_minus) in instruments {
        let Some(plus_minus) = plus_minus else {
            continue;
        };
        writeln!(out, "\n[[instrument]]")?;
        writeln!(out, "name = {}", q(kind.word()))?;
        writeln!(out, "kind = {}", q(kind.word()))?;
        writeln!(out, "plus_minus = {}  # how far it can be off", q(plus_minus))?;
        writeln!(out, "# checked = 2026-01-31  # the day of the last check")?;
    }
    writeln!(
        out,
        "\n# Losses and times are common practice until you measure your own."
    )?;
    writeln!(out, "# [losses]")?;
    writeln!(out, "# seal_failure = \"5 %\"")?;
    writeln!(out, "# pot = \"40 g\"")?;
    writeln!(out, "# sieve = \"30 g\"")?;
    writeln!(out, "#\n# [times]")?;
    writeln!(out, "# fill_jars_per_min = 2.5")?;
    writeln!(out, "# unload_reload = \"10 min\"")
}

fn write_bath(out: &mut String, bath: &BathAnswer) -> std::fmt::Result {
    writeln!(out, "\n[[bath]]")?;
    writeln!(out, "name = {}", quoted(&bath.name))?;
    writeln!(out, "water = {}  # with the jars in", quoted(&bath.water))?;
    writeln!(out, "diameter = {}  # inside", quoted(&bath.diameter))?;
    writeln!(out, "burner = {}", quoted(&bath.burner))?;
    let jars: Vec<String> = bath
        .jars
        .iter()
        .map(|(size, count)| format!("{} = {count}", key(size)))
        .collect();
    writeln!(out, "jars = {{ {} }}  # one load", jars.join(", "))
}

/// A TOML basic string.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => {
                // Writing into a string cannot fail.
                let _ = write!(out, "\\u{:04X}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A TOML key, bare where it may be.
fn key(text: &str) -> String {
    let bare = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
    if bare { text.to_owned() } else { quoted(text) }
}
