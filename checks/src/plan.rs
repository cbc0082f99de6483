//! The planning job against outside: how many to start, which packs, what a day holds, what a
//! formula yields and costs.

mod adjusting;
mod day;
mod packs;
mod starts;
mod whole;

use jarwright_figure::Mark;

use crate::{Check, Worst};

/// Every check of the planning job.
#[must_use]
pub fn all() -> Vec<Check> {
    [starts::all(), packs::all(), day::all(), whole::all(), adjusting::all()].concat()
}

/// What a check says of its source.
struct Claim {
    name: &'static str,
    claim: &'static str,
    source: &'static str,
    place: &'static str,
    mark: Mark,
    tolerance: f64,
    unit: &'static str,
    why: &'static str,
}

impl Claim {
    fn held(self, worst: &Worst, note: impl Into<String>) -> Check {
        Check {
            name: self.name,
            claim: self.claim,
            source: self.source,
            place: self.place,
            mark: self.mark,
            measured_or_printed: matches!(self.mark, Mark::Seen | Mark::ThirdPartyCopy),
            points: worst.points,
            worst_miss: worst.miss,
            tolerance: self.tolerance,
            unit: self.unit,
            why: self.why,
            passed: worst.points > 0 && worst.miss <= self.tolerance,
            note: note.into(),
        }
    }
}
