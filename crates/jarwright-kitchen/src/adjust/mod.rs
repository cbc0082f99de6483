//! A formula solved for targets with the fewest changes.
//!
//! The plan turned round: not "what has this formula?" but "which amounts have 65 °Brix and a pH
//! of 3.9 at most?". [`adjust`] swaps, moves the fewest lines by the least, rounds to what a
//! scale shows, and lays the whole answer of the plan (names, schedule, routes, cautions) before
//! and after side by side. It opens nothing: a computed pH releases no jar.
//!
//! Read next: `target.rs` (what is asked), `search.rs` (which lines), `stages.rs` (what a
//! formula's food is), `compare.rs` (before and after).

mod answer;
mod bounded;
mod compare;
mod line_names;
mod movers;
mod names;
mod rounding;
mod search;
mod solve;
mod stages;
mod swap;
mod target;
mod whole;
mod why;

use jarwright_figure::Graph;
use jiff::civil::DateTime;

use crate::PlanError;
use crate::files::{FormulaFile, KitchenFile, Part, StoresFile};
use crate::lines::find;
use crate::order::{Law, Much, Order, Use, Wanted};
use crate::place::place;
use crate::work::work;
use crate::worked::Work;

pub use answer::{
    Adjustment, AskChange, AssayChange, HeldView, LineView, NameChange, ReadingView, RouteChange, ScheduleChange,
    StopView, SwapView, TargetView,
};
pub use bounded::LEAST_CHANGE;
pub use target::{Asked, Relation, Target};

/// The stage of the food that targets are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stage {
    /// Everything on the scale, before heat.
    Weighed,
    /// Out of the pot, before the sieve.
    Cooked,
    /// In the jars.
    #[default]
    Filled,
}

impl Stage {
    /// As written on the command line and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Cooked => "cooked",
            Self::Filled => "filled",
        }
    }
}

/// How far a line may move, as multiples of what is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Least, 0 to 1.
    pub least: f64,
    /// Most, 1 or more.
    pub most: f64,
}

impl Default for Bounds {
    /// Half to double.
    fn default() -> Self {
        Self { least: 0.5, most: 2.0 }
    }
}

/// What is asked of a formula.
#[derive(Debug, Clone)]
pub struct Request {
    /// The formula as written.
    pub formula: FormulaFile,
    /// What the food shall be.
    pub targets: Vec<Target>,
    /// The stage it shall be so at.
    pub stage: Stage,
    /// Lines that stay as they are.
    pub keep: Vec<String>,
    /// The only lines that may move; all when empty.
    pub only: Vec<String>,
    /// Ingredients that may be added as new lines.
    pub add: Vec<String>,
    /// Lines that may be taken out altogether.
    pub take_out: Vec<String>,
    /// Swaps: `lime juice, fresh = lime juice, bottled`.
    pub swaps: Vec<String>,
    /// How far a line may move.
    pub bounds: Bounds,
    /// Jar that schedule and routes are asked for; the formula's own schedule's when absent.
    pub jar: Option<String>,
    /// Whose law.
    pub market: Law,
    /// For sale or for the own table.
    pub for_use: Use,
    /// The time it is.
    pub now: DateTime,
}

impl Request {
    /// A request without any option.
    #[must_use]
    pub fn new(formula: FormulaFile, now: DateTime) -> Self {
        Self {
            formula,
            targets: Vec::new(),
            stage: Stage::default(),
            keep: Vec::new(),
            only: Vec::new(),
            add: Vec::new(),
            take_out: Vec::new(),
            swaps: Vec::new(),
            bounds: Bounds::default(),
            jar: None,
            market: Law::Us,
            for_use: Use::OwnUse,
            now,
        }
    }
}

/// Where a line of a draft comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Origin {
    /// A line of the formula as written.
    Written(usize),
    /// In place of these.
    For(Vec<usize>),
    /// Nowhere: it was added.
    Added,
}

impl Origin {
    /// Lines of the formula as written that it stands for.
    fn written(&self) -> Vec<usize> {
        match self {
            Self::Written(i) => vec![*i],
            Self::For(all) => all.clone(),
            Self::Added => Vec::new(),
        }
    }
}

/// A formula on its way, each line with where it comes from.
#[derive(Debug, Clone)]
struct Draft {
    formula: FormulaFile,
    origins: Vec<Origin>,
}

/// A formula worked through as the plan does, in a jar.
#[derive(Debug)]
struct Worked {
    graph: Graph,
    work: Work,
}

/// Everything a formula is worked in.
#[derive(Debug, Clone, Copy)]
struct Worktop<'a> {
    request: &'a Request,
    kitchen: &'a KitchenFile,
    stores: &'a StoresFile,
    jar: &'a str,
    jars: u64,
}

impl Worktop<'_> {
    fn order(&self, formula: &FormulaFile) -> Order {
        Order {
            lines: vec![Wanted {
                formula: formula.clone(),
                much: Much::Jars(self.jars),
                jar: self.jar.to_owned(),
            }],
            by: None,
            now: self.request.now,
            for_use: self.request.for_use,
            market: self.request.market,
            altitude_m: None,
            bath_start_c: None,
        }
    }

    fn worked(&self, formula: &FormulaFile) -> Result<Worked, PlanError> {
        let order = self.order(formula);
        let mut graph = Graph::new();
        let place = place(&mut graph, self.kitchen, order.altitude_m, None)?;
        let work = work(&mut graph, &order, &order.lines[0], self.kitchen, self.stores, &place)?;
        Ok(Worked { graph, work })
    }
}

/// Jars of a small batch: two are opened and kept, the rest is no more than a pot holds.
const JARS: u64 = 4;

/// Most targets, swaps or named lines of one request.
const MOST_ASKED: usize = 40;

/// Solves a formula for what is asked.
///
/// The answer's `met` is false where no amounts within the bounds meet every target: it then
/// holds the nearest that was reached.
///
/// # Errors
/// [`PlanError::Asked`]: a line, ingredient or swap that is not there, targets that contradict
/// each other, nothing left to move, a pH that is not known; and what stops a plan of the
/// formula.
pub fn adjust(request: &Request, kitchen: &KitchenFile, stores: &StoresFile) -> Result<Adjustment, PlanError> {
    let asked = [
        &request.keep,
        &request.only,
        &request.add,
        &request.take_out,
        &request.swaps,
    ];
    if request.targets.is_empty() && request.swaps.is_empty() {
        return Err(PlanError::asked(
            "nothing is asked of the formula",
            "give a target, such as --to \"brix 65\" or --to \"ph<=3.9\", or a swap",
        ));
    }
    if request.targets.len() > MOST_ASKED || asked.iter().any(|list| list.len() > MOST_ASKED) {
        return Err(PlanError::asked(
            "far too much is asked at once",
            "ask a few things at a time",
        ));
    }
    let Bounds { least, most } = request.bounds;
    if !((0.0..=1.0).contains(&least) && (1.0..=100.0).contains(&most)) {
        return Err(PlanError::asked(
            "bounds that are no bounds",
            "the least is 0 to 1 times what is written, the most 1 to 100 times",
        ));
    }
    target::agree(&request.targets)?;
    let lines = &request.formula.lines;
    let indices = |option: &str, names: &[String]| -> Result<Vec<usize>, PlanError> {
        let mut all = Vec::new();
        for name in names {
            all.extend(line_names::lines_named(option, name, lines)?);
        }
        Ok(all)
    };
    let kept = indices("--keep", &request.keep)?;
    let only = indices("--move", &request.only)?;
    let take_out = indices("--take-out", &request.take_out)?;
    if let Some(&i) = only.iter().chain(&take_out).find(|i| kept.contains(i)) {
        return Err(PlanError::asked(
            format!("{} shall be kept and moved", lines[i].ingredient),
            "name it once",
        ));
    }
    let jar = jar(request, kitchen)?;
    let worktop = Worktop {
        request,
        kitchen,
        stores,
        jar: &jar,
        jars: JARS,
    };
    let mut before = worktop.worked(&request.formula)?;
    let mut draft = Draft {
        formula: request.formula.clone(),
        origins: (0..lines.len()).map(Origin::Written).collect(),
    };
    for name in &request.add {
        add(&mut draft, name, stores)?;
    }
    let mut swaps = Vec::new();
    for text in &request.swaps {
        let (next, view) = swap::swap(text, &draft, stores, &kept, request.bounds)?;
        draft = next;
        swaps.push(view);
    }
    let who = movers::Who {
        kept: &kept,
        only: &only,
        take_out: &take_out,
    };
    let mut solved = solve::solve(&worktop, draft, &before, who)?;
    compare::acidity_as_quantity(&mut before, &mut solved);
    compare::compare(&worktop, &before, &solved, swaps, &kept)
}

/// A new line of nothing, which the search may fill.
fn add(draft: &mut Draft, name: &str, stores: &StoresFile) -> Result<(), PlanError> {
    let row = find(name.trim(), stores).map_err(|error| match error {
        PlanError::Asked { what, hint } => {
            let names = jarwright_reference::ingredients()
                .iter()
                .flat_map(|row| std::iter::once(row.name.as_str()).chain(row.aliases.iter().map(String::as_str)));
            let near = crate::files::nearest(name, names);
            PlanError::asked(
                format!("--add: {what}"),
                near.map_or(hint, |near| format!("did you mean \"{near}\"?")),
            )
        }
        other => other,
    })?;
    let there = |line: &crate::files::FormulaLine| find(&line.ingredient, stores).is_ok_and(|l| l.name == row.name);
    if draft
        .formula
        .lines
        .iter()
        .any(|line| there(line) && line.part != Some(Part::Soak))
    {
        return Err(PlanError::asked(
            format!("--add: {} is already a line of the formula", row.name),
            "leave --add out: the line may move by itself",
        ));
    }
    let part = draft.formula.pack.as_ref().map(|_| Part::Brine);
    draft.formula.lines.push(swap::new_line(name.trim(), part));
    draft.origins.push(Origin::Added);
    Ok(())
}

/// The jar asked for, else the claimed schedule's, else the first of the kitchen's that serves.
fn jar(request: &Request, kitchen: &KitchenFile) -> Result<String, PlanError> {
    if let Some(jar) = &request.jar {
        return Ok(jar.clone());
    }
    let holds = |jar: &str| kitchen.baths.iter().any(|bath| bath.holds(jar).is_some());
    let claimed = request
        .formula
        .schedule
        .as_deref()
        .and_then(jarwright_reference::schedule)
        .into_iter()
        .flat_map(|schedule| schedule.jars.iter().map(String::as_str));
    let stocked = kitchen.jars.iter().map(|stock| stock.size.as_str());
    let known = jarwright_reference::jars().iter().map(|row| row.name.as_str());
    let fits = |jar: &str| -> bool {
        // Pieces of a pack decide which jar takes them.
        let Some(pack) = &request.formula.pack else { return true };
        jarwright_reference::jar(jar).is_some_and(|row| pack.pieces_per_jar_g < 0.8 * row.volume_ml.value)
    };
    claimed
        .chain(stocked)
        .chain(known)
        .find(|jar| holds(jar) && fits(jar))
        .map(str::to_owned)
        .ok_or_else(|| {
            PlanError::asked(
                "no bath of the kitchen takes a jar for this formula",
                "name one: --jar half-pint",
            )
        })
}
