//! Why something is not kept, or not found again.

use std::fmt;

use super::{Entry, Hash, Kept, MOST_NAMES, Name, Version};

/// What a keeper refuses, or cannot do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum KeepError {
    /// Another version stands than the change was made from. Nothing was saved.
    Overtaken {
        /// The version that stands.
        newest: Box<Version>,
    },
    /// The change was made from a version that no longer stands. Nothing was saved.
    Withdrawn {
        /// What kind of thing was to be changed.
        kind: Kept,
        /// Its name.
        name: Name,
        /// The withdrawing; none when there never was a version.
        last: Option<Entry>,
    },
    /// As many names stand as may.
    Full {
        /// Of which kind.
        kind: Kept,
    },
    /// A text or an answer is too large.
    TooLarge {
        /// What it is.
        what: &'static str,
        /// Its size [bytes].
        bytes: usize,
        /// Most that is kept [bytes].
        most: usize,
    },
    /// Something given is not of the form it must have.
    Bad {
        /// What it is.
        what: &'static str,
        /// What was given, shortened.
        got: String,
        /// What is expected.
        expected: &'static str,
    },
    /// No text of this hash was saved.
    UnknownHash(Hash),
    /// A newer program wrote what is kept; this one might spoil it.
    Newer(String),
    /// What is kept is not what was saved, or is not a keeper's file at all.
    Damaged(String),
    /// The keeper could not be asked just now: disk full, locked, no right to read.
    Unreachable(String),
}

impl KeepError {
    /// Something of the wrong form; what was given is shortened to 80 characters.
    #[must_use]
    pub fn bad(what: &'static str, got: &str, expected: &'static str) -> Self {
        Self::Bad {
            what,
            got: got.chars().take(80).collect(),
            expected,
        }
    }

    /// What a person can do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Overtaken { .. } => "look at the newer version, and save again from there",
            Self::Withdrawn { .. } => "save it as new if it is still wanted",
            Self::Full { .. } => "withdraw what is no longer used",
            Self::TooLarge { .. } => "check that this is one of this program's files",
            Self::Bad { .. } => "change it and try again",
            Self::UnknownHash(_) => "save the run first",
            Self::Newer(_) => "use the newer program, or a copy made before it was used",
            Self::Damaged(_) => "put the file aside, go back to a copy, or import the exported folder",
            Self::Unreachable(_) => "check the disk and the permissions, then try again",
        }
    }
}

impl fmt::Display for KeepError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Overtaken { newest } => write!(
                f,
                "{} \"{}\" is at version {}, saved by {}",
                newest.kind, newest.name, newest.number, newest.by
            ),
            Self::Withdrawn {
                kind,
                name,
                last: Some(last),
            } => write!(
                f,
                "{kind} \"{name}\" was withdrawn by {} (version {})",
                last.by, last.number
            ),
            Self::Withdrawn { kind, name, last: None } => write!(f, "there is no {kind} \"{name}\""),
            Self::Full { kind } => write!(f, "{MOST_NAMES} names of kind {kind} are kept, which is the most"),
            Self::TooLarge { what, bytes, most } => {
                write!(f, "{what} of {bytes} bytes is larger than {most} bytes")
            }
            Self::Bad { what, got, expected } => write!(f, "{what} {got:?} is not {expected}"),
            Self::UnknownHash(hash) => write!(f, "no text with hash {hash} was saved"),
            Self::Newer(words) | Self::Damaged(words) | Self::Unreachable(words) => f.write_str(words),
        }
    }
}

impl std::error::Error for KeepError {}
