//! What an adjustment is: the formula before and after, side by side. Pure data; its field names
//! are the keys of the program's JSON.

use std::collections::BTreeMap;

use jarwright_figure::Figure;
use serde::Serialize;

use crate::files::FormulaFile;
use crate::plan::Caution;

/// The answer.
#[derive(Debug, Clone, Serialize)]
pub struct Adjustment {
    /// Formula's name.
    pub formula: String,
    /// Class of food.
    pub food: String,
    /// `US`, `EU` or `UK`.
    pub market: &'static str,
    /// `sale` or `own-use`.
    pub for_use: &'static str,
    /// Jar that schedule and routes were asked for.
    pub jar: String,
    /// Stage the targets hold at: `weighed`, `cooked` or `filled`.
    pub stage: &'static str,
    /// Whether every target is met by the rounded formula.
    pub met: bool,
    /// Number of lines changed, added, swapped or taken out.
    pub lines_changed: usize,
    /// Sum of the relative changes of the lines that were moved for the targets.
    pub change: f64,
    /// The targets.
    pub targets: Vec<TargetView>,
    /// Why it cannot be met, and what would help; empty when it is met.
    pub cannot: Vec<String>,
    /// Every line, in the order of the formula.
    pub lines: Vec<LineView>,
    /// The factor of all lines, where a yield was met by making more or less of everything.
    pub scaled: Option<f64>,
    /// What one formula makes at the stage, before [g]; absent where it cannot be told.
    pub makes_before_g: Option<f64>,
    /// And after [g].
    pub makes_after_g: Option<f64>,
    /// Where the pot stops, where that moved.
    pub stop: Option<StopView>,
    /// What each swap kept, and what it could not.
    pub swaps: Vec<SwapView>,
    /// What is in the food before and after, as filled.
    pub assay: Vec<AssayChange>,
    /// Why the pH is unknown, if it is.
    pub ph_unknown: Option<String>,
    /// Reserved names of the class in this market.
    pub names: Vec<NameChange>,
    /// The tested schedule.
    pub schedule: ScheduleChange,
    /// Where the jars may be kept.
    pub routes: Vec<RouteChange>,
    /// Cautions of the adjusted formula.
    pub cautions: Vec<Caution>,
    /// Other sets of as few lines that would do, the least change first.
    pub alternatives: Vec<String>,
    /// What else should be known.
    pub notes: Vec<String>,
    /// Every quantity behind the figures, by handle; those after stand behind those before.
    pub quantities: BTreeMap<String, Figure>,
    /// The adjusted formula.
    #[serde(skip)]
    pub new_formula: FormulaFile,
}

/// One target, before and after.
#[derive(Debug, Clone, Serialize)]
pub struct TargetView {
    /// As read: `ph <= 3.9`.
    pub target: String,
    /// What is asked: `ph`.
    pub asked: &'static str,
    /// `=`, `<=` or `>=`.
    pub relation: &'static str,
    /// The value asked for.
    pub value: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
    /// Before.
    pub before: ReadingView,
    /// After, of the rounded formula.
    pub after: ReadingView,
    /// Whether the rounded formula meets it.
    pub met: bool,
    /// How much is missing, in its unit; 0 when met.
    pub short: f64,
    /// Whether it is the target furthest from met.
    pub binds: bool,
    /// What is held against it: the value, or the far end of its band.
    pub held_against: &'static str,
    /// What moved for it: `lines`, `the stop`, `everything` or `nothing`.
    pub by: &'static str,
}

/// A value with the ends of its band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ReadingView {
    /// Nominal value.
    pub value: f64,
    /// Lower end; the value itself where there is no band.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// One line, before and after.
#[derive(Debug, Clone, Serialize)]
pub struct LineView {
    /// Ingredient.
    pub ingredient: String,
    /// As the cook wrote it; empty for a new line.
    pub written: String,
    /// Before [g].
    pub before_g: f64,
    /// After [g], as a scale shows it.
    pub after_g: f64,
    /// After, in the cook's own unit; empty where that is grams.
    pub after_measure: String,
    /// After less before [g].
    pub difference_g: f64,
    /// After over before, less one; absent for a new line.
    pub relative: Option<f64>,
    /// `as written`, `changed`, `new`, `swapped in`, `swapped out`, `taken out` or `scaled`.
    pub change: &'static str,
    /// Whether the cook asked to keep it.
    pub kept: bool,
}

/// Where the pot stops, before and after.
#[derive(Debug, Clone, Serialize)]
pub struct StopView {
    /// Before.
    pub before: String,
    /// After.
    pub after: String,
}

/// A swap.
#[derive(Debug, Clone, Serialize)]
pub struct SwapView {
    /// What for what, and how much, in words.
    pub words: String,
    /// What set the new amount.
    pub by: String,
    /// Totals of the formula that the swap tried to keep.
    pub held: Vec<HeldView>,
}

/// A total of the formula before and after a swap.
#[derive(Debug, Clone, Serialize)]
pub struct HeldView {
    /// Of what.
    pub what: &'static str,
    /// Before [g].
    pub before_g: f64,
    /// After [g].
    pub after_g: f64,
    /// Whether it was kept: within 1 %, or within 0.1 g of acid, 1 g of sugars or water, 0.5 g of
    /// the rest.
    pub kept: bool,
}

/// A property of the filled food before and after.
#[derive(Debug, Clone, Serialize)]
pub struct AssayChange {
    /// `°Brix`, `pH`, ...
    pub what: &'static str,
    /// Before; absent when unknown.
    pub before: Option<Figure>,
    /// After; absent when unknown.
    pub after: Option<Figure>,
}

/// A reserved name before and after.
#[derive(Debug, Clone, Serialize)]
pub struct NameChange {
    /// The name.
    pub name: String,
    /// How the food stood to it before: `met by what is counted`, `not met`, `too close to call` or
    /// `not known`.
    pub before: &'static str,
    /// And after.
    pub after: &'static str,
    /// What it asks, with what the food has.
    pub asks: Vec<AskChange>,
}

/// One thing a reserved name asks.
#[derive(Debug, Clone, Serialize)]
pub struct AskChange {
    /// What is counted.
    pub what: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Before; absent where it was not counted.
    pub before: Option<f64>,
    /// After.
    pub after: Option<f64>,
    /// How far inside the nearest limit it is after.
    pub margin: Option<f64>,
    /// How it stands after, in one sentence, with what would mend it.
    pub said: String,
}

/// The tested schedule before and after.
#[derive(Debug, Clone, Serialize)]
pub struct ScheduleChange {
    /// Key of the schedule that covered or was claimed by the formula before.
    pub before: Option<String>,
    /// Whether the formula was inside it.
    pub inside_before: bool,
    /// Key of the schedule that the adjusted formula is inside.
    pub after: Option<String>,
    /// Whether the adjusted formula is inside the one before.
    pub inside_after: bool,
    /// Lines whose own amount or ingredient changed; by their shares they move the others too.
    pub changed: Vec<String>,
    /// In what the adjusted formula leaves it, line by line; in what it stood outside before.
    pub departures: Vec<String>,
}

/// A route before and after.
#[derive(Debug, Clone, Serialize)]
pub struct RouteChange {
    /// `shelf`, `refrigerator`, `freezer`, `vacuum pack`.
    pub route: &'static str,
    /// `open`, `only-with`, `closed`.
    pub before: &'static str,
    /// The same; never milder than before.
    pub after: &'static str,
    /// Why, after.
    pub why: Vec<String>,
}
