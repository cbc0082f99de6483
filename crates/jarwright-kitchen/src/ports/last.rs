//! Whether a change was made from what stands: the one rule that every keeper follows.

use super::{Entry, KeepError, Kept, Name, Version};

/// What happened last to a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Last {
    /// Nothing yet.
    Never,
    /// This version was saved, and stands.
    Saved(Version),
    /// The name was withdrawn.
    Withdrawn(Entry),
}

impl Last {
    /// The version that stands.
    #[must_use]
    pub fn standing(self) -> Option<Version> {
        match self {
            Self::Saved(version) => Some(version),
            Self::Never | Self::Withdrawn(_) => None,
        }
    }

    /// The number of the next version, when the change was made from what stands.
    ///
    /// * `after`: number of the version it was made from, none for a name under which nothing stood
    ///
    /// # Errors
    /// [`KeepError::Overtaken`] when another version stands, [`KeepError::Withdrawn`] when none
    /// does and one was expected.
    pub fn next(self, kind: Kept, name: &Name, after: Option<u64>) -> Result<u64, KeepError> {
        let last = match self {
            Self::Saved(version) if after == Some(version.number) => return Ok(version.number + 1),
            Self::Saved(version) => {
                return Err(KeepError::Overtaken {
                    newest: Box::new(version),
                });
            }
            Self::Withdrawn(entry) => Some(entry),
            Self::Never => None,
        };
        match after {
            None => Ok(last.map_or(1, |entry| entry.number + 1)),
            Some(_) => Err(KeepError::Withdrawn {
                kind,
                name: name.clone(),
                last,
            }),
        }
    }
}
