//! Every comparison with the outside world.
//!
//! One [`Check`] is one source and one claim; a table is one check with its points. A number
//! recomputed from our own equation and constants is a regression test and does not belong
//! here. One file a subject, one function a source; [`all`] lists them.

mod bath;
mod claim;
mod cooling;
mod dose;
mod heat;
mod ingredients;
mod kitchen_heat;
mod matter;
mod naming;
mod plan;
mod pot;
mod readings;
mod reference;
mod schedules;
mod sure;
mod validation;

use std::thread;

use jarwright_figure::Mark;
use serde::Serialize;

use claim::Claim;
pub use validation::validation_markdown;

/// One claim of one source, held against the program.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Check {
    /// Short name, unique: `boiling-altitude-table`.
    pub name: &'static str,
    /// What is claimed, in one sentence.
    pub claim: &'static str,
    /// Key in the sources table.
    pub source: &'static str,
    /// Place in the source.
    pub place: &'static str,
    /// How the source's numbers are known.
    pub mark: Mark,
    /// Whether the source's numbers are measurements or print (not a library's output).
    pub measured_or_printed: bool,
    /// How many numbers were compared.
    pub points: usize,
    /// Worst distance from the source, in `unit`.
    pub worst_miss: f64,
    /// Distance allowed, in `unit`: the source's printed precision unless `why` says more.
    pub tolerance: f64,
    /// Unit of the miss and the tolerance.
    pub unit: &'static str,
    /// Why the tolerance is what it is.
    pub why: &'static str,
    /// Whether the claim holds.
    pub passed: bool,
    /// What else should be known: a source's own error, a clash.
    pub note: String,
}

/// Follows a comparison point by point.
#[derive(Debug, Clone, Copy, Default)]
pub struct Worst {
    /// Points seen.
    pub points: usize,
    /// Largest miss so far; infinite once something could not be computed.
    pub miss: f64,
}

impl Worst {
    /// Adds the distance of a computed value from the source's.
    pub fn add(&mut self, computed: f64, printed: f64) {
        self.points += 1;
        let miss = (computed - printed).abs();
        self.miss = if miss.is_nan() {
            f64::INFINITY
        } else {
            self.miss.max(miss)
        };
    }

    /// Adds a relative distance (1 = 100 %).
    pub fn add_relative(&mut self, computed: f64, printed: f64) {
        self.add(computed / printed, 1.0);
    }

    /// Adds a value that must lie in a printed range; the miss is the distance outside it.
    pub fn add_inside(&mut self, computed: f64, low: f64, high: f64) {
        let nearest = computed.clamp(low, high);
        self.add(computed, if nearest.is_nan() { low } else { nearest });
    }

    /// Adds a yes or no: a wrong answer is a miss of one.
    pub fn add_answer(&mut self, right: bool) {
        self.add(if right { 0.0 } else { 1.0 }, 0.0);
    }
}

/// The subjects, in the order they are told.
const SUBJECTS: [Subject; 14] = [
    ("Ingredients, measures and allergens", reference::all),
    ("Ingredients and their bands", ingredients::all),
    ("Schedules, jars and reserved names", schedules::all),
    ("Foods held against reserved names", naming::all),
    ("What a food is", matter::all),
    ("Heat in jars, pans and films", heat::all),
    ("Cooling, freezing and glass", cooling::all),
    ("Heat in pots and baths", kitchen_heat::all),
    ("A pot followed, and what it does to food", pot::all),
    ("Baths and steam canners, load by load", bath::all),
    ("What time and temperature do", dose::all),
    ("How sure an answer is", sure::all),
    ("Reading a log", readings::all),
    ("The planning job", plan::all),
];

/// A subject's title and its checks.
type Subject = (&'static str, fn() -> Vec<Check>);

/// Every check the program has, subject by subject.
///
/// The subjects share the machine's cores; the order of the answer does not depend on it.
#[must_use]
pub fn all() -> Vec<Check> {
    by_subject().into_iter().flat_map(|(_, checks)| checks).collect()
}

/// The checks of every subject under its title.
#[must_use]
pub fn by_subject() -> Vec<(&'static str, Vec<Check>)> {
    thread::scope(|scope| {
        let running = SUBJECTS.map(|(title, checks)| (title, scope.spawn(checks)));
        running
            .map(|(title, handle)| {
                let checks = handle.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault));
                (title, checks)
            })
            .into()
    })
}
