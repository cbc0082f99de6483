//! What the kitchen asks of the outside: somebody who keeps texts as versions.
//!
//! A [`Keeper`] keeps formulas, kitchens, stores and runs under a name. What was saved is never
//! changed: saving makes a new version, withdrawing makes a version without a text, and a text is
//! found again by its [`Hash`], which is what a plan pins. Whoever saves says which version the
//! change was made from, so nobody writes over what they have not seen.
//!
//! Nothing here waits, reads a clock or opens a file: futures are boxed, time is an argument.
//! Read next: `ports/given.rs` (names, texts and hashes, checked where they are born),
//! `ports/last.rs` (whether a change was made from what stands), `ports/keep_error.rs` (why something
//! is not kept), `ports/memory.rs` (a keeper without a disk, which every other one is held to).

mod given;
mod keep_error;
mod last;
mod memory;

use std::fmt;
use std::future::Future;
use std::pin::Pin;
use std::sync::Arc;

use jiff::Timestamp;
use serde::{Serialize, Serializer};

pub use given::{Hash, MOST_ANSWER_BYTES, MOST_TEXT_BYTES, Name, Text, Who, answer_fits, to_the_microsecond};
pub use keep_error::KeepError;
pub use last::Last;
pub use memory::Memory;

/// Most names of one kind that stand at the same time.
pub const MOST_NAMES: usize = 10_000;

/// Most entries that [`Keeper::history`] gives.
pub const MOST_HISTORY: usize = 1_000;

/// An answer that is waited for.
pub type Pending<'a, T> = Pin<Box<dyn Future<Output = Result<T, KeepError>> + Send + 'a>>;

/// The kind of thing that is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kept {
    /// What goes into a jar and how it is made.
    Formula,
    /// Equipment, place and prices of a kitchen.
    Kitchen,
    /// Ingredients on hand.
    Stores,
    /// An order with the hashes of what it is made from.
    Run,
}

impl Kept {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Formula, Self::Kitchen, Self::Stores, Self::Run];

    /// The kind in one word, as it is stored and stands in an address.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Formula => "formula",
            Self::Kitchen => "kitchen",
            Self::Stores => "stores",
            Self::Run => "run",
        }
    }

    /// The kind of a word, none when it is not one of ours.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

impl fmt::Display for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Serialize for Kept {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// A text as it was saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// What kind of thing it is.
    pub kind: Kept,
    /// Its name.
    pub name: Name,
    /// Counts from 1 for each kind and name, without a gap.
    pub number: u64,
    /// The text, with its hash.
    pub text: Text,
    /// When it was saved, to the microsecond.
    pub saved: Timestamp,
    /// Who saved it.
    pub by: Who,
}

impl Version {
    /// The hash of its text: what a plan pins.
    #[must_use]
    pub const fn hash(&self) -> Hash {
        self.text.hash()
    }
}

/// A line of a history: one version without its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Number of the version.
    pub number: u64,
    /// Hash of its text; none where the name was withdrawn.
    pub hash: Option<Hash>,
    /// When, to the microsecond.
    pub saved: Timestamp,
    /// Who did it.
    pub by: Who,
}

/// A text to be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// What kind of thing it is.
    pub kind: Kept,
    /// Its name.
    pub name: Name,
    /// The text.
    pub text: Text,
    /// Number of the version that it was made from; none when nothing may stand under the name yet.
    pub after: Option<u64>,
    /// Who saves it.
    pub by: Who,
    /// The time it is.
    pub at: Timestamp,
}

/// Keeps texts as versions, and the answers of runs.
///
/// A name *stands* when its newest version has a text. What has been acknowledged is kept, also
/// when the machine stops a moment later; what failed has changed nothing.
///
/// # Errors
/// Every call may be [`KeepError::Unreachable`] or [`KeepError::Damaged`]; others stand beside the
/// calls.
pub trait Keeper: Send + Sync {
    /// The newest version of a name that stands.
    fn newest<'a>(&'a self, kind: Kept, name: &'a Name) -> Pending<'a, Option<Version>>;

    /// A version by its number, also when newer ones stand or the name is withdrawn; none when
    /// there is no such version, or it is the withdrawing itself.
    fn version<'a>(&'a self, kind: Kept, name: &'a Name, number: u64) -> Pending<'a, Option<Version>>;

    /// The newest version of every name that stands, by name (by code point).
    fn all(&self, kind: Kept) -> Pending<'_, Vec<Version>>;

    /// What happened to a name, newest first, at most [`MOST_HISTORY`] entries.
    fn history<'a>(&'a self, kind: Kept, name: &'a Name) -> Pending<'a, Vec<Entry>>;

    /// The text of a hash, whatever name it was saved under.
    fn content<'a>(&'a self, hash: &'a Hash) -> Pending<'a, Option<Text>>;

    /// Keeps a text that no name stands for: an earlier one, that a run still names by its hash.
    fn keep_text<'a>(&'a self, text: &'a Text) -> Pending<'a, ()>;

    /// Saves a draft and gives the version that then stands.
    ///
    /// A text that already stands under the name is that version: nothing new is made, whatever
    /// the draft was made from. So a save may be sent again when its answer was lost.
    ///
    /// # Errors
    /// [`KeepError::Overtaken`] when another version stands than the draft was made from;
    /// [`KeepError::Withdrawn`] when none does; [`KeepError::Full`] when a name would be one too
    /// many.
    fn save(&self, draft: Draft) -> Pending<'_, Version>;

    /// Withdraws a name: from then on it does not stand, its versions are all still there, and it
    /// can be saved again with `after: None`. Gives the number of the withdrawing.
    ///
    /// # Errors
    /// As [`Keeper::save`].
    fn withdraw<'a>(&'a self, kind: Kept, name: &'a Name, after: u64, by: &'a Who, at: Timestamp) -> Pending<'a, u64>;

    /// Keeps what a program answered to a run's text, and gives the answer that is kept. The
    /// first stays: a later one for the same text and program is not kept.
    ///
    /// * `run`: hash of the run's text, which must have been saved
    /// * `program`: name and version of the program that answered
    /// * `answer`: the plan as JSON, at most [`MOST_ANSWER_BYTES`]
    ///
    /// # Errors
    /// [`KeepError::UnknownHash`], [`KeepError::TooLarge`].
    fn keep_answer<'a>(&'a self, run: &'a Hash, program: &'a Who, answer: &'a str) -> Pending<'a, Arc<str>>;

    /// The answer kept for a run's text and a program.
    fn answer<'a>(&'a self, run: &'a Hash, program: &'a Who) -> Pending<'a, Option<Arc<str>>>;

    /// Whether the keeper can read and write just now.
    fn health(&self) -> Pending<'_, ()>;
}
