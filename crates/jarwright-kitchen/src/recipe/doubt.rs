//! What is doubtful of a recipe from outside, as a question with its answers.

use jarwright_reference::CupSystem;
use serde::Serialize;

use crate::files::{AmountUnit, Part};

/// What a question is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DoubtKind {
    /// Which class of food is made.
    Food,
    /// When the pot is done.
    StopAt,
    /// Whether pieces are packed and covered, or all is one mixture.
    Packed,
    /// Weight of pieces in one jar.
    PiecesPerJar,
    /// Whose cups and spoons are meant.
    Cup,
    /// A temperature in the steps without its scale.
    Scale,
    /// Which ingredient is meant.
    Ingredient,
    /// One food or another.
    Either,
    /// Which of several kinds a plain word means.
    Which,
    /// Juice bottled or fresh.
    Juice,
    /// A vinegar's strength.
    Strength,
    /// Digits that are no amount.
    Number,
    /// A mark between digits: decimal or thousands.
    Mark,
    /// From so much to so much.
    Range,
    /// A unit word of several meanings.
    Unit,
    /// Ounces of weight or of volume.
    Ounce,
    /// A heaped or scant measure.
    Heaped,
    /// About, at least, up to.
    About,
    /// More of it than the amount says.
    More,
    /// A word that measures nothing: a knob, to taste.
    Vague,
    /// A count of pieces whose size is not said.
    Size,
    /// A can or packet.
    Container,
    /// Juice or zest by the fruit.
    Fruit,
    /// Two amounts that do not agree.
    Clash,
    /// Whole as bought, or ready to use.
    Bought,
    /// A sum whose parts do not add up to one amount.
    Sum,
    /// A measure whose weight is not known.
    Weight,
    /// It may be left out.
    Optional,
    /// What part of a pack the line is, or whether it goes into each jar.
    Part,
    /// An amount for each jar in a recipe that is one mixture.
    EachJar,
}

impl DoubtKind {
    /// The word it is named by in a key.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Food => "food",
            Self::StopAt => "stop-at",
            Self::Packed => "packed",
            Self::PiecesPerJar => "pieces-per-jar",
            Self::Cup => "cup",
            Self::Scale => "scale",
            Self::Ingredient => "ingredient",
            Self::Either => "either",
            Self::Which => "which",
            Self::Juice => "juice",
            Self::Strength => "strength",
            Self::Number => "number",
            Self::Mark => "mark",
            Self::Range => "range",
            Self::Unit => "unit",
            Self::Ounce => "ounce",
            Self::Heaped => "heaped",
            Self::About => "about",
            Self::More => "more",
            Self::Vague => "vague",
            Self::Size => "size",
            Self::Container => "container",
            Self::Fruit => "fruit",
            Self::Clash => "clash",
            Self::Bought => "bought",
            Self::Sum => "sum",
            Self::Weight => "weight",
            Self::Optional => "optional",
            Self::Part => "part",
            Self::EachJar => "each-jar",
        }
    }

    /// Whether it is about how much: a weighed amount answers it and all others of its line.
    #[must_use]
    pub const fn is_amount(self) -> bool {
        matches!(
            self,
            Self::Number
                | Self::Mark
                | Self::Range
                | Self::Unit
                | Self::Ounce
                | Self::Heaped
                | Self::About
                | Self::More
                | Self::Vague
                | Self::Size
                | Self::Container
                | Self::Fruit
                | Self::Clash
                | Self::Bought
                | Self::Sum
                | Self::Weight
                | Self::EachJar
        )
    }

    /// Whether it is about which food is meant.
    #[must_use]
    pub const fn is_food(self) -> bool {
        matches!(
            self,
            Self::Ingredient | Self::Either | Self::Which | Self::Juice | Self::Strength
        )
    }
}

/// What a choice settles.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Settles {
    /// Nothing but the doubt: the amount stands as written.
    AsWritten,
    /// The number.
    Number(f64),
    /// The unit, and how many of it one is.
    Unit(f64, AmountUnit),
    /// Number and unit.
    Amount(f64, AmountUnit),
    /// The share of it that is used.
    Share(f64),
    /// The ingredient.
    Ingredient(String),
    /// That the line is left out.
    LeftOut,
    /// What part of a pack it is; `None` is each jar.
    Part(Option<Part>),
    /// Whose cups.
    Cup(CupSystem),
    /// Words for the formula's head: food class, endpoint.
    Words(String),
    /// Yes or no.
    Flag(bool),
}

/// One way to answer a question.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// What it says.
    pub label: String,
    /// The amount that it makes of the line, in the formula file's notation, where it alone
    /// settles one.
    pub amount: Option<String>,
    #[serde(skip)]
    pub(super) settles: Settles,
}

impl Choice {
    pub(super) fn new(label: impl Into<String>, settles: Settles) -> Self {
        let amount = match &settles {
            Settles::Amount(number, unit) => Some(super::amount_text(*number, unit)),
            _ => None,
        };
        Self {
            label: label.into(),
            amount,
            settles,
        }
    }
}

/// A question about a recipe or one of its lines, for a person to answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Doubt {
    /// What it is about.
    pub kind: DoubtKind,
    /// By what it is answered: `cup`, or line and kind, `3.range`.
    pub key: String,
    /// The question.
    pub question: String,
    /// The answers that can be chosen; there may be none.
    pub choices: Vec<Choice>,
    /// What else may be answered, in words: `an amount such as "350 g"`.
    pub in_words: Option<String>,
    /// The answer, once there is one.
    pub answer: Option<Answer>,
}

/// An answer to a question.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// One of the choices, counted from 0.
    Choice(usize),
    /// A person's own words.
    Words(String),
}

impl Answer {
    /// Reads an answer: a letter is the choice it stands before, all else is words.
    #[must_use]
    pub fn parse(text: &str) -> Self {
        let text = text.trim();
        match text.as_bytes() {
            [letter] if letter.is_ascii_alphabetic() => Self::Choice(usize::from(letter.to_ascii_lowercase() - b'a')),
            _ => Self::Words(text.to_owned()),
        }
    }
}

impl Doubt {
    pub(super) fn new(kind: DoubtKind, question: impl Into<String>) -> Self {
        Self {
            kind,
            key: kind.word().to_owned(),
            question: question.into(),
            choices: Vec::new(),
            in_words: None,
            answer: None,
        }
    }

    pub(super) fn choice(mut self, label: impl Into<String>, settles: Settles) -> Self {
        self.choices.push(Choice::new(label, settles));
        self
    }

    pub(super) fn or_words(mut self, what: impl Into<String>) -> Self {
        self.in_words = Some(what.into());
        self
    }

    /// What was chosen.
    pub(super) fn chosen(&self) -> Option<&Settles> {
        match self.answer {
            Some(Answer::Choice(at)) => self.choices.get(at).map(|choice| &choice.settles),
            Some(Answer::Words(_)) | None => None,
        }
    }

    /// What was said in words.
    pub(super) fn said(&self) -> Option<&str> {
        match &self.answer {
            Some(Answer::Words(words)) => Some(words),
            Some(Answer::Choice(_)) | None => None,
        }
    }
}
