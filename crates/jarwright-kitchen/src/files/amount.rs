//! An amount as cooks write it, `2 1/2 cup`, and what it weighs.

use std::fmt;

use jarwright_reference::{CupSystem, Ingredient, mass_g, volume_ml};

use super::number;
use super::problem::Fault;
use super::spell;
use super::unit::AmountUnit;

/// How much of an ingredient.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    /// How many of the unit; finite and above zero.
    pub quantity: f64,
    /// Of what.
    pub unit: AmountUnit,
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
        let number::Leading { value, rest, rest_at } = number::leading(text)?;
        let unit = AmountUnit::parse(rest).map_err(|fault| {
            let at = if rest.is_empty() {
                0..text.len()
            } else {
                rest_at..rest_at + rest.len()
            };
            fault.within(at)
        })?;
        let amount = Self { quantity: value, unit };
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
                    known: of.pieces_g.iter().map(|(piece, _)| (*piece).to_owned()).collect(),
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
            density_g_ml: ingredient.density_g_ml.as_ref().map(|density| density.value),
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
            Self::NoDensity { ingredient } => write!(f, "no published weight of a measured volume of {ingredient}"),
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
