//! An amount in somebody else's words: number and unit, with what is not plain about the unit.

use jarwright_reference::{CupSystem, mass_g, volume_ml};

use super::number::{self, Many, after_words};
use crate::files::AmountUnit;

/// What an amount counts, as far as the writing tells.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Unit {
    /// A unit of the formula file.
    Of(AmountUnit),
    /// So many of another unit: a centilitre is ten millilitres.
    Times(f64, AmountUnit),
    /// An ounce, of weight or of volume.
    Ounce,
    /// A word with several meanings, each told with its worth.
    Several(&'static str, Vec<(String, f64, AmountUnit)>),
    /// A word that is no measure: a knob.
    Vague(String),
    /// A can, a packet, with its size where it is written.
    Container(String, Option<Box<Measured>>),
    /// Pieces of no stated size.
    Bare,
}

/// A number and what it counts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Measured {
    /// How many.
    pub(super) many: Many,
    /// Of what.
    pub(super) unit: Unit,
}

const PLAIN: [(&str, AmountUnit); 62] = [
    ("milligrams", AmountUnit::Milligram),
    ("milligram", AmountUnit::Milligram),
    ("mg", AmountUnit::Milligram),
    ("grams", AmountUnit::Gram),
    ("gram", AmountUnit::Gram),
    ("grammes", AmountUnit::Gram),
    ("gramme", AmountUnit::Gram),
    ("gms", AmountUnit::Gram),
    ("gm", AmountUnit::Gram),
    ("g", AmountUnit::Gram),
    ("kilograms", AmountUnit::Kilogram),
    ("kilogram", AmountUnit::Kilogram),
    ("kilos", AmountUnit::Kilogram),
    ("kilo", AmountUnit::Kilogram),
    ("kgs", AmountUnit::Kilogram),
    ("kg", AmountUnit::Kilogram),
    ("pounds", AmountUnit::Pound),
    ("pound", AmountUnit::Pound),
    ("lbs", AmountUnit::Pound),
    ("lb", AmountUnit::Pound),
    ("millilitres", AmountUnit::Millilitre),
    ("millilitre", AmountUnit::Millilitre),
    ("milliliters", AmountUnit::Millilitre),
    ("milliliter", AmountUnit::Millilitre),
    ("mls", AmountUnit::Millilitre),
    ("ml", AmountUnit::Millilitre),
    ("cc", AmountUnit::Millilitre),
    ("litres", AmountUnit::Litre),
    ("litre", AmountUnit::Litre),
    ("liters", AmountUnit::Litre),
    ("liter", AmountUnit::Litre),
    ("l", AmountUnit::Litre),
    ("cups", AmountUnit::Cup),
    ("cup", AmountUnit::Cup),
    ("tablespoons", AmountUnit::Tablespoon),
    ("tablespoon", AmountUnit::Tablespoon),
    ("tablespoonfuls", AmountUnit::Tablespoon),
    ("tbsps", AmountUnit::Tablespoon),
    ("tbsp", AmountUnit::Tablespoon),
    ("tblsp", AmountUnit::Tablespoon),
    ("tbs", AmountUnit::Tablespoon),
    ("tbl", AmountUnit::Tablespoon),
    ("teaspoons", AmountUnit::Teaspoon),
    ("teaspoon", AmountUnit::Teaspoon),
    ("teaspoonfuls", AmountUnit::Teaspoon),
    ("tsps", AmountUnit::Teaspoon),
    ("tsp", AmountUnit::Teaspoon),
    ("fluid ounces", AmountUnit::FluidOunce),
    ("fluid ounce", AmountUnit::FluidOunce),
    ("fluid oz", AmountUnit::FluidOunce),
    ("fl. oz", AmountUnit::FluidOunce),
    ("fl oz", AmountUnit::FluidOunce),
    ("floz", AmountUnit::FluidOunce),
    ("pints", AmountUnit::Pint),
    ("pint", AmountUnit::Pint),
    ("pts", AmountUnit::Pint),
    ("pt", AmountUnit::Pint),
    ("quarts", AmountUnit::Quart),
    ("quart", AmountUnit::Quart),
    ("qts", AmountUnit::Quart),
    ("qt", AmountUnit::Quart),
    ("gallons", AmountUnit::Gallon),
];

/// Words of pieces that stand before "of" or the food: `2 cloves garlic`.
const PIECES: [(&str, &str); 28] = [
    ("cloves", "clove"),
    ("clove", "clove"),
    ("heads", "head"),
    ("head", "head"),
    ("bulbs", "bulb"),
    ("bulb", "bulb"),
    ("sprigs", "sprig"),
    ("sprig", "sprig"),
    ("leaves", "leaf"),
    ("leaf", "leaf"),
    ("sticks", "stick"),
    ("stick", "stick"),
    ("pods", "pod"),
    ("pod", "pod"),
    ("stalks", "stalk"),
    ("stalk", "stalk"),
    ("slices", "slice"),
    ("slice", "slice"),
    ("wedges", "wedge"),
    ("wedge", "wedge"),
    ("extra-large", "extra large"),
    ("extra large", "extra large"),
    ("medium-sized", "medium"),
    ("medium-size", "medium"),
    ("medium", "medium"),
    ("large", "large"),
    ("small", "small"),
    ("jumbo", "jumbo"),
];

/// Words that measure nothing.
const VAGUE: [&str; 52] = [
    "pinches",
    "pinch",
    "dashes",
    "dash",
    "knobs",
    "knob",
    "handfuls",
    "handful",
    "splash",
    "drizzle",
    "sprinkling",
    "sprinkle",
    "glug",
    "squeeze",
    "smidgen",
    "touch",
    "bit",
    "few",
    "couple",
    "bunches",
    "bunch",
    "pieces",
    "piece",
    "inch",
    "inches",
    "in",
    "cm",
    "drops",
    "drop",
    "lump",
    "nut",
    "dollop",
    "shake",
    "grinds",
    "grind",
    "twist",
    "mug",
    "teacup",
    "glass",
    "wineglass",
    "bowl",
    "parts",
    "part",
    "scoop",
    "spoonful",
    "spoonfuls",
    "little",
    "lot",
    "thumb",
    "strip",
    "strips",
    "measure",
];

const CONTAINERS: [&str; 34] = [
    "cans",
    "can",
    "tins",
    "tin",
    "jars",
    "jar",
    "bottles",
    "bottle",
    "packets",
    "packet",
    "packages",
    "package",
    "pkgs",
    "pkg",
    "pkt",
    "packs",
    "pack",
    "sachets",
    "sachet",
    "envelopes",
    "envelope",
    "pouches",
    "pouch",
    "boxes",
    "box",
    "cartons",
    "carton",
    "tubs",
    "tub",
    "bags",
    "bag",
    "punnets",
    "punnet",
    "tubes",
];

/// What a container holds that is poured off before it is used.
const DRAINED: [&str; 6] = ["can", "cans", "tin", "tins", "jar", "jars"];

impl Unit {
    /// The formula file's unit and how many of it, where the word leaves nothing open.
    pub(super) fn plain(&self) -> Option<(f64, AmountUnit)> {
        match self {
            Self::Of(unit) => Some((1.0, unit.clone())),
            Self::Times(factor, unit) => Some((*factor, unit.clone())),
            Self::Ounce | Self::Several(..) | Self::Vague(_) | Self::Container(..) | Self::Bare => None,
        }
    }

    /// Whether what it says of the amount depends on whose cup is meant.
    pub(super) fn depends_on_cup(&self) -> bool {
        self.plain().is_some_and(|(_, unit)| unit.depends_on_cup())
    }
}

/// Whether a container's size may be told with the liquid that is poured off.
pub(super) fn is_drained(container: &str) -> bool {
    DRAINED.contains(&container)
}

/// Every unit or container word, and the rest of the text behind it.
pub(super) fn unit(text: &str) -> Option<(Unit, &str)> {
    let text = text.trim_start().trim_start_matches('-').trim_start();
    if let Some(found) = one_letter(text) {
        return Some(found);
    }
    let named = PLAIN.iter().find_map(|(word, unit)| {
        // "450g" and "2 l" but never the "l" of "lemons", nor "L" of "LB".
        after_words(text, word).map(|rest| (Unit::Of(unit.clone()), rest))
    });
    let other = || {
        let several = several(text);
        let factor = [("cl", 10.0), ("dl", 100.0)]
            .iter()
            .find_map(|(word, ml)| Some((Unit::Times(*ml, AmountUnit::Millilitre), after_words(text, word)?)));
        let gallon = || after_words(text, "gal").map(|rest| (Unit::Of(AmountUnit::Gallon), rest));
        let ounce = || {
            ["ounces", "ounce", "ozs", "oz"]
                .iter()
                .find_map(|word| Some((Unit::Ounce, after_words(text, word)?)))
        };
        several.or(factor).or_else(gallon).or_else(ounce)
    };
    named
        .or_else(other)
        .or_else(|| container(text))
        .or_else(|| vague(text))
        .or_else(|| piece(text))
        .map(|(unit, rest)| (unit, after_unit(rest)))
}

/// Behind a unit: its full stop, and "of" or "of the".
fn after_unit(rest: &str) -> &str {
    let rest = rest.strip_prefix('.').unwrap_or(rest).trim_start();
    let rest = after_words(rest, "of").unwrap_or(rest).trim_start();
    after_words(rest, "the").unwrap_or(rest).trim_start()
}

/// `T`, `t`, `c` and `C`, where case counts.
fn one_letter(text: &str) -> Option<(Unit, &str)> {
    let first = text.chars().next().filter(|c| matches!(c, 'T' | 't' | 'c' | 'C'))?;
    let rest = &text[1..];
    if rest.starts_with(|c: char| c.is_alphanumeric() || c == '\'') {
        return None;
    }
    let spoon = |unit: AmountUnit, label: &str| (label.to_owned(), 1.0, unit);
    let meanings = if matches!(first, 'T' | 't') {
        vec![
            spoon(AmountUnit::Tablespoon, "tablespoon (usually the capital T)"),
            spoon(AmountUnit::Teaspoon, "teaspoon (usually the small t)"),
        ]
    } else {
        vec![spoon(AmountUnit::Cup, "cup")]
    };
    let word = if first.eq_ignore_ascii_case(&'t') { "t" } else { "c" };
    Some((Unit::Several(word, meanings), after_unit(rest)))
}

/// Words that mean different amounts in different places.
fn several(text: &str) -> Option<(Unit, &str)> {
    for word in ["grs", "gr"] {
        if let Some(rest) = after_words(text, word) {
            let grain_mg = mass_g("grain").map_or(0.0, |g| 1000.0 * g);
            let meanings = vec![
                ("gram".to_owned(), 1.0, AmountUnit::Gram),
                ("grain, 64.8 mg".to_owned(), grain_mg, AmountUnit::Milligram),
            ];
            return Some((Unit::Several("gr", meanings), rest));
        }
    }
    for word in ["gills", "gill"] {
        if let Some(rest) = after_words(text, word) {
            let gill = |system| volume_ml("gill", system).unwrap_or_default();
            let (us, imperial) = (gill(CupSystem::Us), gill(CupSystem::Imperial));
            let meanings = vec![
                (format!("US gill, {us:.1} ml"), us, AmountUnit::Millilitre),
                (
                    format!("imperial gill, {imperial:.1} ml"),
                    imperial,
                    AmountUnit::Millilitre,
                ),
            ];
            return Some((Unit::Several("gill", meanings), rest));
        }
    }
    for word in ["dessertspoons", "dessertspoon", "dsp"] {
        if let Some(rest) = after_words(text, word) {
            // Common practice, remembered: two teaspoons of 5 ml.
            let meanings = vec![("two teaspoons, 10 ml".to_owned(), 10.0, AmountUnit::Millilitre)];
            return Some((Unit::Several("dessertspoon", meanings), rest));
        }
    }
    None
}

fn container(text: &str) -> Option<(Unit, &str)> {
    // "1 large can": the size in a word is no size.
    let bare = ["large", "small", "medium", "big"]
        .iter()
        .find_map(|size| after_words(text, size))
        .unwrap_or(text)
        .trim_start();
    CONTAINERS
        .iter()
        .find_map(|word| Some((Unit::Container((*word).to_owned(), None), after_words(bare, word)?)))
}

fn vague(text: &str) -> Option<(Unit, &str)> {
    let bare = ["large", "small", "medium", "big", "good", "generous", "tiny"]
        .iter()
        .find_map(|size| after_words(text, size))
        .unwrap_or(text)
        .trim_start();
    VAGUE
        .iter()
        .find_map(|word| Some((Unit::Vague((*word).to_owned()), after_words(bare, word)?)))
}

/// `clove`, `large`, `large head`.
fn piece(text: &str) -> Option<(Unit, &str)> {
    let (word, rest) = piece_word(text)?;
    let sized = matches!(word, "large" | "medium" | "small");
    if let Some((second, after)) = piece_word(rest.trim_start()).filter(|_| sized) {
        let both = format!("{word} {second}");
        if AmountUnit::parse(&both).is_ok() {
            return Some((Unit::Of(AmountUnit::Piece(both)), after));
        }
        return Some((Unit::Of(AmountUnit::Piece(second.to_owned())), after));
    }
    // "6 cloves" alone is the spice, and "4 leaves" nothing.
    (!rest.trim_start().is_empty()).then(|| (Unit::Of(AmountUnit::Piece(word.to_owned())), rest))
}

fn piece_word(text: &str) -> Option<(&'static str, &str)> {
    PIECES
        .iter()
        .find_map(|(written, word)| Some((*word, after_words(text, written)?)))
}

/// The amount a text starts with, and the rest behind it.
///
/// A number alone counts pieces. A number before a size and a container counts containers:
/// `2 (14 oz) cans`, `2 14-oz cans`, `2 x 400 g tins`, `1 can (400 g)`.
pub(super) fn leading(text: &str) -> Option<(Measured, &str)> {
    let (many, rest) = number::leading(text)?;
    if let Some((size, container, after)) = sized_container(rest) {
        let unit = Unit::Container(container, Some(Box::new(size)));
        return Some((Measured { many, unit }, after));
    }
    let (unit, rest) = unit(rest).unwrap_or((Unit::Bare, rest));
    match unit {
        Unit::Container(word, None) => {
            let (size, rest) = match in_brackets(rest) {
                Some((size, after)) => (Some(Box::new(size)), after),
                None => (None, rest),
            };
            let unit = Unit::Container(word, size);
            Some((Measured { many, unit }, after_unit(rest)))
        }
        unit => Some((Measured { many, unit }, rest)),
    }
}

/// `(14 oz) cans`, `14-oz cans`, `x 400 g tins`: size, container and the rest.
fn sized_container(text: &str) -> Option<(Measured, String, &str)> {
    let text = after_words(text, "x").unwrap_or(text).trim_start();
    let (size, rest) = in_brackets(text).or_else(|| {
        let (many, rest) = number::leading(text).filter(|_| text.starts_with(number::is_start))?;
        let (unit, rest) = unit(rest)?;
        Some((Measured { many, unit }, rest))
    })?;
    size.measures().then_some(())?;
    match container(rest.trim_start().trim_start_matches('-')) {
        Some((Unit::Container(word, _), after)) => Some((size, word, after_unit(after))),
        _ => None,
    }
}

/// Whether brackets hold a rough amount: `(about 200 g)`.
pub(super) fn is_rough_in_brackets(text: &str) -> bool {
    let inside = text.trim_start().strip_prefix('(').unwrap_or_default().trim_start();
    ROUGH_IN_BRACKETS.iter().any(|word| after_words(inside, word).is_some())
}

const ROUGH_IN_BRACKETS: [&str; 6] = ["about", "approx.", "approx", "around", "roughly", "~"];

/// An amount of mass or volume that fills a pair of brackets: `(about 14 oz)`.
pub(super) fn in_brackets(text: &str) -> Option<(Measured, &str)> {
    let (inside, rest) = text.trim_start().strip_prefix('(')?.split_once(')')?;
    let inside = inside.trim();
    let inside = ROUGH_IN_BRACKETS
        .iter()
        .chain(&["each"])
        .find_map(|word| after_words(inside, word))
        .unwrap_or(inside);
    let (many, after) = number::leading(inside)?;
    let (unit, after) = unit(after)?;
    let measured = Measured { many, unit };
    let each = after.trim().trim_end_matches('.');
    (measured.measures() && (each.is_empty() || each == "each")).then(|| (measured, rest.trim_start()))
}

impl Measured {
    /// Whether it is a mass or a volume, not pieces.
    pub(super) fn measures(&self) -> bool {
        match &self.unit {
            Unit::Of(AmountUnit::Piece(_)) | Unit::Vague(_) | Unit::Container(..) | Unit::Bare => false,
            Unit::Of(_) | Unit::Times(..) | Unit::Ounce | Unit::Several(..) => true,
        }
    }

    /// The number, where there is one.
    pub(super) fn one(&self) -> Option<f64> {
        match self.many {
            Many::One(value) => Some(value),
            Many::Range(..) | Many::Mark { .. } | Many::Unclear => None,
        }
    }
}
