//! Published numbers and how far they can be trusted.

use serde::Serialize;

/// How a published value is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// Read in the source or a stored copy of it.
    Seen,
    /// Read only in a third-party copy.
    ThirdPartyCopy,
    /// Computed by a general-purpose library and script from named inputs.
    Computed,
    /// From memory, not checked against the source.
    Memory,
    /// A fact of the trade without a source.
    CommonPractice,
}

impl Mark {
    /// The mark as people read it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::ThirdPartyCopy => "third-party copy",
            Self::Computed => "computed by library and script",
            Self::Memory => "memory",
            Self::CommonPractice => "common practice",
        }
    }

    /// Reads what [`Mark::words`] writes.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        let all = [
            Self::Seen,
            Self::ThirdPartyCopy,
            Self::Computed,
            Self::Memory,
            Self::CommonPractice,
        ];
        all.into_iter().find(|mark| mark.words() == words)
    }

    /// Reads the word used in the reference tables.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Some(match text.trim() {
            "seen" => Self::Seen,
            "seen-2" | "third-party copy" => Self::ThirdPartyCopy,
            "computed" => Self::Computed,
            "memory" => Self::Memory,
            "common practice" => Self::CommonPractice,
            _ => return None,
        })
    }

    /// Whether a value with this mark may open a route to keep food by.
    ///
    /// A value from memory or from practice may not, until a person enters the printed page.
    #[must_use]
    pub const fn may_open(self) -> bool {
        matches!(self, Self::Seen | Self::ThirdPartyCopy)
    }
}

/// A number from outside, with its printed range where it has one.
#[derive(Debug, Clone, PartialEq)]
pub struct Cited {
    /// The value used.
    pub value: f64,
    /// Lower end of the printed range; equals `value` where none is printed.
    pub low: f64,
    /// Upper end of the printed range; equals `value` where none is printed.
    pub high: f64,
    /// Key of the source in `jarwright-reference/data/sources.csv`.
    pub source: String,
    /// Place in the source: table, row, page.
    pub place: String,
    /// How the value is known.
    pub mark: Mark,
}
