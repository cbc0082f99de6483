//! Questions about the whole recipe: what is made, when the pot is done, whose cups, which scale.

use jarwright_reference::{CupSystem, FoodClass, volume_ml};

use super::CUPS;
use super::clean::uniform;
use super::doubt::{Doubt, DoubtKind, Settles};
use super::draft::Draft;
use super::line::Under;
use super::number;
use super::write::cup_word;
use crate::files::quantity::mass_g;
use crate::files::{AmountUnit, Fault, stop_at};

/// Most temperatures asked about or offered.
const MOST_TEMPERATURES: usize = 6;

const EXPECTED_STOP: &str = "\"170 F\", \"65 Bx\", \"boil\", \"boil + 9 F\" or \"20 min\"";

/// A temperature in the steps.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Temperature {
    /// The number as written.
    pub(super) number: String,
    /// `C` or `F`, where it is written.
    pub(super) scale: Option<char>,
}

/// The questions of a draft, with those that its lines and answers so far give rise to.
pub(super) fn doubts(draft: &Draft) -> Vec<Doubt> {
    let mut out = Vec::new();
    let mut food = Doubt::new(
        DoubtKind::Food,
        "Which class of food is it? Rules and schedules go by it.",
    );
    for class in FoodClass::ALL {
        food = food.choice(class.word(), Settles::Words(class.word().to_owned()));
    }
    out.push(food);
    let temperatures = temperatures(&draft.steps);
    let mut scales: Vec<(String, Option<char>)> = Vec::new();
    for number in temperatures.iter().filter(|t| t.scale.is_none()).map(|t| &t.number) {
        let doubt = Doubt {
            key: format!("scale-{number}"),
            ..Doubt::new(
                DoubtKind::Scale,
                format!("The steps say {number} degrees. Of which scale?"),
            )
        };
        let doubt = doubt
            .choice(format!("{number} °C"), Settles::Words("C".into()))
            .choice(format!("{number} °F"), Settles::Words("F".into()));
        let before = draft.doubts.iter().find(|old| old.key == doubt.key);
        let scale = match before.and_then(Doubt::chosen) {
            Some(Settles::Words(scale)) => scale.chars().next(),
            _ => None,
        };
        scales.push((number.clone(), scale));
        out.push(doubt);
    }
    let packed = if is_maybe_packed(draft) {
        out.push(
            Doubt::new(
                DoubtKind::Packed,
                "Are pieces packed into jars and covered, or is all one mixture from one pot?",
            )
            .choice(
                "pieces packed and covered with brine, syrup or water",
                Settles::Flag(true),
            )
            .choice("one mixture", Settles::Flag(false)),
        );
        draft.packed()
    } else {
        Some(false)
    };
    if packed == Some(true) {
        out.push(
            Doubt::new(
                DoubtKind::PiecesPerJar,
                "How much of the pieces goes into one jar? Weigh one jar's fill.",
            )
            .or_words("a weight such as \"270 g\""),
        );
    }
    if packed.is_some() {
        out.push(when_done(packed == Some(true), &temperatures, &scales));
    }
    out.extend(whose_cup(draft));
    out
}

/// Whether anything hints at pieces in a brine.
fn is_maybe_packed(draft: &Draft) -> bool {
    let hints = draft
        .lines
        .iter()
        .any(|line| line.under != Under::Nothing || line.reading.each_jar);
    let food = match draft.told(DoubtKind::Food).and_then(Doubt::chosen) {
        Some(Settles::Words(word)) => FoodClass::parse(word),
        _ => None,
    };
    hints || matches!(food, Some(FoodClass::Pickle | FoodClass::Fruit | FoodClass::Tomato))
}

fn when_done(packed: bool, temperatures: &[Temperature], scales: &[(String, Option<char>)]) -> Doubt {
    let question = if packed {
        "When is what covers the pieces done?"
    } else {
        "When is the pot done: at which temperature, °Brix or after how many minutes at the boil? Minutes of a \
         boiling-water bath are none of these."
    };
    let mut doubt = Doubt::new(DoubtKind::StopAt, question);
    for found in temperatures {
        let said = scales
            .iter()
            .find(|(number, _)| *number == found.number)
            .and_then(|(_, scale)| *scale);
        if let Some(scale) = found.scale.or(said) {
            let words = format!("{} {scale}", found.number);
            // An oven's temperature is no endpoint.
            if stop_at(&words).is_ok() && doubt.choices.iter().all(|choice| choice.label != words) {
                doubt = doubt.choice(words.clone(), Settles::Words(words));
            }
        }
    }
    if packed {
        doubt = doubt
            .choice("at the boil", Settles::Words("boil".into()))
            .choice("nothing is heated: a raw pack", Settles::Words(String::new()));
    }
    doubt.or_words(EXPECTED_STOP)
}

/// Asked where a measure hangs on it; only systems that have all such measures are offered.
fn whose_cup(draft: &Draft) -> Option<Doubt> {
    let lines: Vec<_> = draft.lines.iter().filter(|line| line.may_need_cup()).collect();
    if lines.is_empty() {
        return None;
    }
    let mut words: Vec<AmountUnit> = Vec::new();
    for line in &lines {
        let measured = line.reading.amount.iter().chain(&line.reading.plus);
        for (_, unit) in measured.filter_map(|measured| measured.unit.plain()) {
            if unit.depends_on_cup() && !words.contains(&unit) {
                words.push(unit);
            }
        }
    }
    let has = |system: &CupSystem| words.iter().all(|unit| volume_ml(unit.word(), *system).is_some());
    let mut shown: Vec<&AmountUnit> = words.iter().take(4).collect();
    let cup = AmountUnit::Cup;
    if shown.is_empty() {
        shown.push(&cup);
    }
    let mut doubt = Doubt::new(
        DoubtKind::Cup,
        "Whose cups and spoons? Where it comes from says so. An Australian tablespoon holds 20 ml: answer such a \
         line in ml.",
    );
    for system in CUPS.into_iter().filter(has) {
        let sizes: Vec<String> = shown
            .iter()
            .filter_map(|unit| Some(format!("{} {:.1} ml", unit.word(), volume_ml(unit.word(), system)?)))
            .collect();
        let whose = match system {
            CupSystem::Us => "US kitchen",
            CupSystem::UsLabel => "US food labels",
            CupSystem::Metric => "metric",
            CupSystem::Imperial => "imperial, metric spoons",
        };
        doubt = doubt.choice(
            format!("{}: {whose}, {}", cup_word(system), sizes.join(", ")),
            Settles::Cup(system),
        );
    }
    Some(doubt)
}

/// Checks words that answer a question of the whole recipe.
pub(super) fn check(kind: DoubtKind, words: &str) -> Result<(), Fault> {
    match kind {
        DoubtKind::StopAt => stop_at(words).map(|_| ()),
        DoubtKind::PiecesPerJar => mass_g(words).map(|_| ()),
        _ => Err(Fault::new(
            format!("\"{words}\" does not answer that"),
            "one of its choices",
        )),
    }
}

/// Temperatures the steps name, each once, with their scale where it is written.
pub(super) fn temperatures(steps: &[String]) -> Vec<Temperature> {
    let mut out: Vec<Temperature> = Vec::new();
    for step in steps {
        let plain = uniform(step);
        let mut rest = plain.as_str();
        while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
            let digits = rest[at..]
                .bytes()
                .take_while(|b| b.is_ascii_digit() || *b == b'.')
                .count();
            let number = rest[at..at + digits].trim_end_matches('.');
            rest = &rest[at + digits..];
            if let Some(scale) = scale_after(rest)
                && number.len() <= 6
                && number.parse::<f64>().is_ok()
                && out.len() < MOST_TEMPERATURES
            {
                let found = Temperature {
                    number: number.to_owned(),
                    scale,
                };
                if !out.contains(&found) {
                    out.push(found);
                }
            }
        }
    }
    out
}

/// What follows the number of a temperature: `Some(None)` where degrees are meant and no scale
/// is written, `None` where it is no temperature.
fn scale_after(rest: &str) -> Option<Option<char>> {
    let text = rest.trim_start();
    let degrees = ["degrees", "degree", "deg.", "deg", "°"]
        .iter()
        .find_map(|word| number::after_words(text, word).or_else(|| text.strip_prefix(word).filter(|_| *word == "°")));
    let behind = degrees.unwrap_or(text).trim_start();
    let named = [
        ("Celsius", 'C'),
        ("Centigrade", 'C'),
        ("Fahrenheit", 'F'),
        ("C", 'C'),
        ("F", 'F'),
    ]
    .iter()
    .find(|(word, _)| number::after_words(behind, word).is_some() && (degrees.is_some() || behind.starts_with(word)))
    .map(|(_, scale)| *scale);
    match (degrees, named) {
        (_, Some(scale)) => Some(Some(scale)),
        (Some(_), None) => Some(None),
        (None, None) => None,
    }
}
