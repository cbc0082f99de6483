//! What an amount counts: grams, cups, eggs.

use super::problem::Fault;
use super::spell;

/// What an amount counts.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum AmountUnit {
    /// Milligram.
    Milligram,
    /// Gram.
    Gram,
    /// Kilogram.
    Kilogram,
    /// Avoirdupois ounce.
    Ounce,
    /// Avoirdupois pound.
    Pound,
    /// Millilitre.
    Millilitre,
    /// Litre.
    Litre,
    /// Cup of the formula's cup system.
    Cup,
    /// Tablespoon of the formula's cup system.
    Tablespoon,
    /// Teaspoon of the formula's cup system.
    Teaspoon,
    /// Fluid ounce of the formula's cup system.
    FluidOunce,
    /// Pint of the formula's cup system.
    Pint,
    /// Quart of the formula's cup system.
    Quart,
    /// Gallon of the formula's cup system.
    Gallon,
    /// A piece by its word: `large`, `fruit`, `head`.
    Piece(String),
}

/// What the unit of an amount may be.
pub const EXPECTED_UNIT: &str = "g, kg, oz, lb, ml, l, cup, tbsp, tsp, fl oz, pint, quart, gallon or a piece word";

/// Words for pieces that no reference table needs to know: an own ingredient may weigh them.
const PIECE_WORDS: [&str; 14] = [
    "small",
    "medium",
    "large",
    "extra large",
    "jumbo",
    "piece",
    "fruit",
    "head",
    "clove",
    "bulb",
    "sprig",
    "leaf",
    "stick",
    "pod",
];

impl AmountUnit {
    /// Every unit that is not a piece.
    pub const MEASURES: [Self; 14] = [
        Self::Milligram,
        Self::Gram,
        Self::Kilogram,
        Self::Ounce,
        Self::Pound,
        Self::Millilitre,
        Self::Litre,
        Self::Cup,
        Self::Tablespoon,
        Self::Teaspoon,
        Self::FluidOunce,
        Self::Pint,
        Self::Quart,
        Self::Gallon,
    ];

    /// The word written in a file.
    #[must_use]
    pub fn word(&self) -> &str {
        match self {
            Self::Milligram => "mg",
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Ounce => "oz",
            Self::Pound => "lb",
            Self::Millilitre => "ml",
            Self::Litre => "l",
            Self::Cup => "cup",
            Self::Tablespoon => "tbsp",
            Self::Teaspoon => "tsp",
            Self::FluidOunce => "fl oz",
            Self::Pint => "pint",
            Self::Quart => "quart",
            Self::Gallon => "gallon",
            Self::Piece(word) => word,
        }
    }

    /// Other spellings that are read.
    fn spellings(&self) -> &'static [&'static str] {
        match self {
            Self::Milligram => &["milligram", "milligrams"],
            Self::Gram => &["gram", "grams", "gramme", "grammes"],
            Self::Kilogram => &["kilo", "kilos", "kilogram", "kilograms"],
            Self::Ounce => &["ounce", "ounces"],
            Self::Pound => &["lbs", "pound", "pounds"],
            Self::Millilitre => &["millilitre", "millilitres", "milliliter", "milliliters"],
            Self::Litre => &["litre", "litres", "liter", "liters"],
            Self::Cup => &["cups"],
            Self::Tablespoon => &["tablespoon", "tablespoons"],
            Self::Teaspoon => &["teaspoon", "teaspoons"],
            Self::FluidOunce => &["fl. oz", "fl. oz.", "floz", "fluid ounce", "fluid ounces"],
            Self::Pint => &["pints", "pt"],
            Self::Quart => &["quarts", "qt"],
            Self::Gallon => &["gallons", "gal"],
            Self::Piece(_) => &[],
        }
    }

    /// Whether the word means another volume in another country.
    #[must_use]
    pub fn depends_on_cup(&self) -> bool {
        match self {
            Self::Cup
            | Self::Tablespoon
            | Self::Teaspoon
            | Self::FluidOunce
            | Self::Pint
            | Self::Quart
            | Self::Gallon => true,
            Self::Milligram
            | Self::Gram
            | Self::Kilogram
            | Self::Ounce
            | Self::Pound
            | Self::Millilitre
            | Self::Litre
            | Self::Piece(_) => false,
        }
    }

    /// Reads a unit. Case does not matter, but for `T` and `t`, which are refused as unclear.
    ///
    /// # Errors
    /// A [`Fault`] with the nearest word.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        let word = text.trim();
        if word.is_empty() {
            return Err(Fault::new("an amount without a unit", EXPECTED_UNIT));
        }
        if matches!(word, "T" | "t" | "c" | "C") {
            return Err(Fault::new(
                format!("unclear unit \"{word}\""),
                "cup, tbsp or tsp, written out",
            ));
        }
        let lower = word.to_lowercase();
        for unit in Self::MEASURES {
            if unit.word() == lower || unit.spellings().contains(&lower.as_str()) {
                return Ok(unit);
            }
        }
        let pieces = piece_words();
        let singular = [
            lower.as_str(),
            lower.strip_suffix('s').unwrap_or(&lower),
            lower.strip_suffix("es").unwrap_or(&lower),
        ];
        if let Some(piece) = pieces.iter().find(|piece| singular.contains(piece)) {
            return Ok(Self::Piece((*piece).to_owned()));
        }
        let measures = Self::MEASURES;
        let words = measures
            .iter()
            .flat_map(|unit| std::iter::once(unit.word()).chain(unit.spellings().iter().copied()));
        let nearest = spell::nearest(word, words.chain(pieces.iter().copied()));
        Err(Fault::new(format!("unknown unit \"{word}\""), EXPECTED_UNIT).near(nearest))
    }
}

/// Every piece word known: the reference's and the everyday ones.
fn piece_words() -> Vec<&'static str> {
    let mut words: Vec<&str> = PIECE_WORDS.to_vec();
    for ingredient in jarwright_reference::ingredients() {
        for piece in &ingredient.pieces {
            if !words.contains(&piece.word.as_str()) {
                words.push(&piece.word);
            }
        }
    }
    words
}
