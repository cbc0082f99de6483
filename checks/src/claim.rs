//! What a check says of its source, and the check it becomes.

use jarwright_figure::Mark;

use crate::{Check, Worst};

/// A claim of a source, not yet held against the program.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Claim {
    pub(crate) name: &'static str,
    pub(crate) claim: &'static str,
    pub(crate) source: &'static str,
    pub(crate) place: &'static str,
    pub(crate) mark: Mark,
    pub(crate) tolerance: f64,
    pub(crate) unit: &'static str,
    pub(crate) why: &'static str,
}

impl Claim {
    /// The claim held against what was compared. Only numbers that were read count as measured or
    /// printed: one from memory may be either, and nobody looked.
    pub(crate) fn held(self, worst: &Worst, note: impl Into<String>) -> Check {
        let read = matches!(self.mark, Mark::Seen | Mark::ThirdPartyCopy);
        self.check(worst, note.into(), read)
    }

    /// The same where a document was read, but holds a library's or an author's calculation.
    pub(crate) fn held_as_calculated(self, worst: &Worst, note: impl Into<String>) -> Check {
        self.check(worst, note.into(), false)
    }

    fn check(self, worst: &Worst, note: String, measured_or_printed: bool) -> Check {
        Check {
            name: self.name,
            claim: self.claim,
            source: self.source,
            place: self.place,
            mark: self.mark,
            measured_or_printed,
            points: worst.points,
            worst_miss: worst.miss,
            tolerance: self.tolerance,
            unit: self.unit,
            why: self.why,
            passed: worst.points > 0 && worst.miss <= self.tolerance,
            note,
        }
    }
}
