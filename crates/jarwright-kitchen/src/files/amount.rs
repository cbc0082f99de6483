//! An amount as cooks write it, `2 1/2 cup`, and what it weighs.

use std::fmt;

use jarwright_reference::{CupSystem, Ingredient, mass_g, volume_ml};

use super::number;
use super::problem::Fault;
use super::spell;

/// How much of an ingredient.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    /// How many of the unit; finite and above zero.
    pub quantity: f64,
    /// Of what.
    pub unit: AmountUnit,
}

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
pub const EXPECTED_UNIT: &str =
    "g, kg, oz, lb, ml, l, cup, tbsp, tsp, fl oz, pint, quart, gallon or a piece word";

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

/// Most of one ingredient that one line or pack may hold.
const MOST_G: f64 = 1e6;
/// Most pieces.
const MOST_PIECES: f64 = 20_000.0;
/// Least that a kitchen can weigh or measure.
const LEAST_G: f64 = 0.001;

impl Amount {
    /// Reads `2 1/2 cup`, `2½ cup`, `380 g`, `12 large`.
    ///
    /// # Errors
    /// A [`Fault`] that points at the part that is wrong: no number, a range, a decimal comma,
    /// an unknown unit, an amount that is zero, negative or beyond what a kitchen handles.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        let number::Leading {
            value,
            rest,
            rest_at,
        } = number::leading(text)?;
        let unit = AmountUnit::parse(rest).map_err(|fault| {
            let at = if rest.is_empty() {
                0..text.len()
            } else {
                rest_at..rest_at + rest.len()
            };
            fault.within(at)
        })?;
        let amount = Self {
            quantity: value,
            unit,
        };
        amount.check()?;
        Ok(amount)
    }

    fn check(&self) -> Result<(), Fault> {
        let written = self.to_string();
        if self.quantity < 0.0 {
            return Err(Fault::new(
                format!("negative amount \"{written}\""),
                "an amount above zero",
            ));
        }
        // A rough size is enough here: a millilitre is taken as a gram.
        let rough = match &self.unit {
            AmountUnit::Piece(_) => {
                if self.quantity > MOST_PIECES {
                    return Err(Fault::new(
                        format!("absurd amount \"{written}\""),
                        "at most 20000 pieces",
                    ));
                }
                self.quantity
            }
            unit => mass_or_volume(unit, CupSystem::Us).unwrap_or(1.0) * self.quantity,
        };
        if self.quantity <= 0.0 {
            Err(Fault::new("an amount of zero", "an amount above zero")
                .hint("leave the line out if nothing of it goes in"))
        } else if !(LEAST_G..=MOST_G).contains(&rough) {
            Err(Fault::new(
                format!("absurd amount \"{written}\""),
                "between 0.001 g and 1000 kg",
            ))
        } else {
            Ok(())
        }
    }

    /// The same ingredient, `factor` times as much.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self {
            quantity: self.quantity * factor,
            unit: self.unit.clone(),
        }
    }

    /// Mass [g] of the amount of a reference ingredient.
    ///
    /// ```text
    /// m = n m_unit        mass units
    /// m = n V_unit rho    volume units, rho the bulk density of the ingredient as measured out
    /// m = n m_piece       pieces
    /// ```
    ///
    /// # Errors
    /// [`WeighError`] when the ingredient's density or piece weight is not known. Nothing is
    /// guessed.
    ///
    /// # Source
    /// Units by `ucum_2_2`; density and pieces by the ingredient's own source.
    pub fn grams(&self, ingredient: &Ingredient, cup: CupSystem) -> Result<f64, WeighError> {
        self.weigh(&Weights::from(ingredient), cup)
    }

    /// Mass [g] by density and piece weights from anywhere, such as a supplier's sheet.
    ///
    /// # Errors
    /// As [`Self::grams`].
    pub fn weigh(&self, of: &Weights<'_>, cup: CupSystem) -> Result<f64, WeighError> {
        match &self.unit {
            AmountUnit::Piece(word) => of
                .pieces_g
                .iter()
                .find(|(piece, _)| piece == word)
                .map(|(_, g)| g * self.quantity)
                .ok_or_else(|| WeighError::NoPiece {
                    ingredient: of.name.to_owned(),
                    word: word.clone(),
                    known: of
                        .pieces_g
                        .iter()
                        .map(|(piece, _)| (*piece).to_owned())
                        .collect(),
                }),
            unit => {
                let size = mass_or_volume(unit, cup).ok_or_else(|| WeighError::NoSuchMeasure {
                    unit: unit.clone(),
                    cup,
                })?;
                if mass_g(unit.word()).is_some() {
                    return Ok(size * self.quantity);
                }
                let density = of.density_g_ml.ok_or_else(|| WeighError::NoDensity {
                    ingredient: of.name.to_owned(),
                })?;
                Ok(size * self.quantity * density)
            }
        }
    }
}

/// Grams or millilitres of one unit.
fn mass_or_volume(unit: &AmountUnit, cup: CupSystem) -> Option<f64> {
    mass_g(unit.word()).or_else(|| volume_ml(unit.word(), cup))
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", number::write(self.quantity), self.unit.word())
    }
}

/// What turns volumes and pieces of an ingredient into grams.
#[derive(Debug, Clone, PartialEq)]
pub struct Weights<'w> {
    /// The ingredient's name, for the error.
    pub name: &'w str,
    /// Bulk density [g/ml].
    pub density_g_ml: Option<f64>,
    /// Weight [g] of a piece by its word.
    pub pieces_g: Vec<(&'w str, f64)>,
}

impl<'w> Weights<'w> {
    /// Those of the reference table; nothing is known of a name it lacks.
    #[must_use]
    pub fn of(name: &'w str) -> Self {
        match jarwright_reference::ingredient(name) {
            Some(ingredient) => Self::from(ingredient),
            None => Self {
                name,
                density_g_ml: None,
                pieces_g: Vec::new(),
            },
        }
    }
}

impl<'w> From<&'w Ingredient> for Weights<'w> {
    fn from(ingredient: &'w Ingredient) -> Self {
        Self {
            name: &ingredient.name,
            density_g_ml: ingredient
                .density_g_ml
                .as_ref()
                .map(|density| density.value),
            pieces_g: ingredient
                .pieces
                .iter()
                .map(|piece| (piece.word.as_str(), piece.g.value))
                .collect(),
        }
    }
}

/// Why an amount cannot be turned into grams.
#[derive(Debug, Clone, PartialEq)]
pub enum WeighError {
    /// A volume of an ingredient whose density is not known.
    NoDensity {
        /// The ingredient.
        ingredient: String,
    },
    /// A piece of an ingredient whose weight is not known.
    NoPiece {
        /// The ingredient.
        ingredient: String,
        /// The piece's word.
        word: String,
        /// Words whose weight is known.
        known: Vec<String>,
    },
    /// The cup system does not have this measure.
    NoSuchMeasure {
        /// The measure.
        unit: AmountUnit,
        /// The cup system.
        cup: CupSystem,
    },
}

impl fmt::Display for WeighError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoDensity { ingredient } => write!(
                f,
                "no published weight of a measured volume of {ingredient}"
            ),
            Self::NoPiece {
                ingredient,
                word,
                known,
            } if known.is_empty() => {
                write!(f, "no published weight of one \"{word}\" of {ingredient}")
            }
            Self::NoPiece {
                ingredient,
                word,
                known,
            } => {
                let known = spell::list(known.iter().map(String::as_str));
                write!(
                    f,
                    "no published weight of one \"{word}\" of {ingredient}, only of {known}"
                )
            }
            Self::NoSuchMeasure { unit, cup } => {
                write!(f, "no {} among the {cup:?} measures", unit.word())
            }
        }
    }
}

impl std::error::Error for WeighError {}

impl From<WeighError> for Fault {
    fn from(error: WeighError) -> Self {
        Self::new(error.to_string(), "an amount by mass").hint("weigh it once and write grams")
    }
}
