//! The words of a formula: class of food, cup, endpoint, when something goes in.

use jarwright_reference::{CupSystem, FoodClass};

use super::formula::{Endpoint, GoesIn, Part, StopAt};
use super::problem::Fault;
use super::quantity::{brix, kelvin, temperature_c, time_s};
use super::spell;
use super::stores::StoresFile;
use super::walk::choose;

pub(crate) const EXPECTED_STOP: &str = "\"170 F\", \"65 Bx\", \"boil\", \"boil + 9 F\" or \"20 min\"";
pub(crate) const EXPECTED_HEADSPACE: &str = "a headspace such as \"1/2 in\"";
pub(crate) const EXPECTED_TEMPERATURE: &str = "a temperature such as \"180 F\" or \"82 C\"";
pub(crate) const EXPECTED_PART: &str = "\"pieces\", \"brine\" or \"soak\"";
pub(crate) const EXPECTED_GOES_IN: &str = "\"start\", \"end\" or a pot temperature such as \"60 C\"";
pub(crate) const EXPECTED_CUP: &str = "\"us\", \"us-label\", \"metric\" or \"imperial\"";

pub(crate) fn millimetres(m: f64) -> f64 {
    m * 1000.0
}

pub(crate) fn food(text: &str) -> Result<FoodClass, Fault> {
    choose(
        &text.replace('-', " "),
        "class of food",
        &FoodClass::ALL,
        FoodClass::word,
    )
}

/// The word of a cup system in a file.
pub(crate) const fn cup_word(cup: CupSystem) -> &'static str {
    match cup {
        CupSystem::Us => "us",
        CupSystem::UsLabel => "us-label",
        CupSystem::Metric => "metric",
        CupSystem::Imperial => "imperial",
    }
}

pub(crate) fn cup(text: &str) -> Result<CupSystem, Fault> {
    let all = [
        CupSystem::Us,
        CupSystem::UsLabel,
        CupSystem::Metric,
        CupSystem::Imperial,
    ];
    choose(text, "cup", &all, cup_word)
}

pub(crate) fn schedule(text: &str) -> Result<String, Fault> {
    let key = text.trim();
    if jarwright_reference::schedule(key).is_some() {
        return Ok(key.to_owned());
    }
    let keys = || {
        jarwright_reference::schedules()
            .iter()
            .map(|schedule| schedule.key.as_str())
    };
    Err(
        Fault::new(format!("unknown schedule \"{key}\""), "the key of a tested schedule")
            .near(spell::nearest(key, keys()))
            .hint("leave it out if the formula follows none"),
    )
}

/// Reads an endpoint.
pub(crate) fn stop_at(text: &str) -> Result<StopAt, Fault> {
    let words = text.trim();
    let lower = words.to_lowercase();
    let out_of = |what: &str, expected: &str| Err(Fault::new(format!("{what} \"{words}\" is out of range"), expected));
    let at = if let Some(after) = lower.strip_prefix("boil") {
        let rise = after.trim_start();
        let kelvin = match rise.strip_prefix('+') {
            None if rise.is_empty() => 0.0,
            Some(rise) => kelvin(rise).map_err(|fault| Fault { within: None, ..fault })?,
            None => {
                return Err(Fault::new(format!("unknown endpoint \"{words}\""), EXPECTED_STOP));
            }
        };
        if kelvin > 25.0 {
            return out_of("boiling-point rise", "at most 25 C, or 45 F");
        }
        Endpoint::AboveBoiling { kelvin }
    } else {
        let unit = words
            .trim_start_matches(|c: char| !c.is_alphabetic() && c != '°')
            .to_lowercase();
        match unit.trim_start_matches('°') {
            "bx" | "brix" => Endpoint::Brix { brix: brix(words)? },
            "s" | "sec" | "min" | "minute" | "minutes" | "h" | "hour" | "hours" => {
                let seconds = time_s(words)?;
                if seconds <= 0.0 || seconds > 43_200.0 {
                    return out_of("boiling time", "above 0 and at most 12 h");
                }
                Endpoint::Boiled { seconds }
            }
            "c" | "f" => {
                let c = temperature_c(words)?;
                if !(20.0..=150.0).contains(&c) {
                    return out_of("endpoint", "from 20 C to 150 C");
                }
                Endpoint::Temperature { c }
            }
            _ => {
                let near = spell::nearest(&unit, ["Bx", "Brix", "min", "F", "C", "h", "boil"]);
                return Err(Fault::new(format!("unknown endpoint \"{words}\""), EXPECTED_STOP).near(near));
            }
        }
    };
    Ok(StopAt {
        at,
        words: words.to_owned(),
    })
}

pub(crate) fn goes_in(text: &str) -> Result<GoesIn, Fault> {
    match text.trim() {
        "start" => Ok(GoesIn::Start),
        "end" => Ok(GoesIn::End),
        other => temperature_c(other).map(|c| GoesIn::When { c }).map_err(|fault| Fault {
            expected: EXPECTED_GOES_IN.into(),
            ..fault
        }),
    }
}

pub(crate) const fn part_word(part: Part) -> &'static str {
    match part {
        Part::Pieces => "pieces",
        Part::Brine => "brine",
        Part::Soak => "soak",
    }
}

pub(crate) fn part(text: &str) -> Result<Part, Fault> {
    choose(
        text,
        "part of a pack",
        &[Part::Pieces, Part::Brine, Part::Soak],
        part_word,
    )
}

/// Refuses an ingredient that neither the reference table nor the stores know.
pub(crate) fn known(text: &str, stores: Option<&StoresFile>) -> Result<String, Fault> {
    let name = text.trim();
    let own = stores.is_some_and(|stores| stores.item(name).is_some());
    if own || jarwright_reference::ingredient(name).is_some() {
        return Ok(name.to_owned());
    }
    let table = jarwright_reference::ingredients().iter();
    let words = table.flat_map(|row| std::iter::once(row.name.as_str()).chain(row.aliases.iter().map(String::as_str)));
    let items = stores
        .iter()
        .flat_map(|stores| stores.items.iter().map(|item| item.ingredient.as_str()));
    let expected = "an ingredient of the reference table or an own one of the stores";
    Err(Fault::new(format!("unknown ingredient \"{name}\""), expected)
        .near(spell::nearest(name, words.chain(items)))
        .hint("an own ingredient needs an [[item]] with `name` and `analysis` in the stores"))
}
