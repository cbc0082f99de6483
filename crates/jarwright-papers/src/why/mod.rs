//! "Why?": from a figure down to what was entered, measured or published.
//!
//! [`walk`] makes a tree of the figures behind one: each stands in it once, at its shallowest
//! place; a second mention refers to the first. One mechanism serves every figure: what a basis
//! has to say is in `grounds.rs`, one function a basis; what it is held against in `limits.rs`.
//! [`page`] is the fragment that any page can take up, [`sheet`] the whole document to print,
//! [`lines`] the same for a terminal.
//!
//! Read next: `grounds.rs`, then `page.rs`, `sheet.rs` and `lines.rs`.

mod grounds;
mod limits;
mod lines;
mod page;
mod sheet;

use std::collections::{BTreeMap, HashMap, HashSet, VecDeque};

use jarwright_figure::{BasisView, Bound, CauseView, Figure, InputView, Unit};

pub use lines::{Line, lines};
pub use page::{Link, STYLE, page};
pub use sheet::sheet;

use crate::words;

/// How far a walk goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bounds {
    /// Most steps from the figure down; at most [`Bounds::DEEPEST`] are taken.
    pub depth: usize,
    /// Most figures.
    pub figures: usize,
}

impl Bounds {
    /// Deepest walk there is.
    const DEEPEST: usize = 64;
    /// What a page holds; the rest is one link away.
    pub const PAGE: Self = Self { depth: 3, figures: 60 };
    /// What a terminal shows at once.
    pub const TERMINAL: Self = Self { depth: 2, figures: 24 };
    /// Down to every leaf of a plan.
    pub const LEAVES: Self = Self {
        depth: Self::DEEPEST,
        figures: 20_000,
    };
}

/// A figure of the tree, with what it was computed from.
#[derive(Debug, Clone, PartialEq)]
pub struct Step<'a> {
    /// The figure.
    pub figure: &'a Figure,
    /// Its inputs; empty for a leaf.
    pub inputs: Vec<Below<'a>>,
    /// Limits that it is held against.
    pub limits: Vec<Held<'a>>,
    /// Figures that are held against it, where it is the limit that was asked for.
    pub holds: Vec<Held<'a>>,
}

/// A figure beside a limit: the other one of the two.
#[derive(Debug, Clone, PartialEq)]
pub struct Held<'a> {
    /// On which side of the limit the figure has to stay.
    pub bound: Bound,
    /// The limit, or the figure that is held against it.
    pub figure: &'a Figure,
}

/// An input of a figure.
#[derive(Debug, Clone, PartialEq)]
pub enum Below<'a> {
    /// Walked on from here.
    Step(Step<'a>),
    /// Told elsewhere in the same tree.
    Told(&'a Figure),
    /// Beyond the walk's bounds.
    Further(&'a Figure),
    /// Not among the quantities: nothing is known but what the figure itself says of it.
    Missing(&'a InputView),
}

/// The tree under a figure, in bounds.
///
/// The figure is looked up by its handle first: among the quantities it carries its causes.
#[must_use]
pub fn walk<'a>(figure: &'a Figure, quantities: &'a BTreeMap<String, Figure>, bounds: Bounds) -> Step<'a> {
    let start = quantities.get(&figure.id).unwrap_or(figure);
    let places = places(start, quantities, bounds);
    let mut step = step(start, quantities, &places, bounds.depth.min(Bounds::DEEPEST));
    step.holds = quantities
        .values()
        .flat_map(|figure| figure.limits.iter().map(move |limit| (figure, limit)))
        .filter(|(_, limit)| limit.id.to_string() == start.id)
        .map(|(figure, limit)| Held {
            bound: limit.bound,
            figure,
        })
        .collect();
    step
}

/// Which figure each figure is told under: breadth first, so that it is the shallowest.
fn places<'a>(
    start: &'a Figure,
    quantities: &'a BTreeMap<String, Figure>,
    bounds: Bounds,
) -> HashMap<&'a str, Option<&'a str>> {
    let mut places = HashMap::from([(start.id.as_str(), None)]);
    let mut open = VecDeque::from([(start, 0)]);
    while let Some((figure, depth)) = open.pop_front() {
        if depth >= bounds.depth.min(Bounds::DEEPEST) {
            continue;
        }
        for input in inputs(figure) {
            let Some(below) = quantities.get(&input.id.to_string()) else {
                continue;
            };
            if places.len() < bounds.figures && !places.contains_key(below.id.as_str()) {
                places.insert(&below.id, Some(figure.id.as_str()));
                open.push_back((below, depth + 1));
            }
        }
    }
    places
}

fn step<'a>(
    figure: &'a Figure,
    quantities: &'a BTreeMap<String, Figure>,
    places: &HashMap<&'a str, Option<&'a str>>,
    depth: usize,
) -> Step<'a> {
    let mut here = HashSet::new();
    let inputs = inputs(figure)
        .iter()
        .filter_map(|input| {
            let Some(below) = quantities.get(&input.id.to_string()) else {
                return Some(Below::Missing(input));
            };
            // An input taken twice is told once.
            if !here.insert(&below.id) {
                return None;
            }
            Some(match places.get(below.id.as_str()) {
                Some(Some(parent)) if *parent == figure.id && depth > 0 => {
                    Below::Step(step(below, quantities, places, depth - 1))
                }
                Some(_) => Below::Told(below),
                None => Below::Further(below),
            })
        })
        .collect();
    let limits = figure
        .limits
        .iter()
        .filter_map(|limit| {
            Some(Held {
                bound: limit.bound,
                figure: quantities.get(&limit.id.to_string())?,
            })
        })
        .collect();
    Step {
        figure,
        inputs,
        limits,
        holds: Vec::new(),
    }
}

fn inputs(figure: &Figure) -> &[InputView] {
    match &figure.basis {
        BasisView::Computed { inputs, .. } => inputs,
        BasisView::Published { .. } | BasisView::Measured { .. } | BasisView::Entered { .. } => &[],
    }
}

/// A figure's value with its unit and band; money with its currency.
fn value(figure: &Figure, currency: &str) -> String {
    let money = matches!(
        figure.unit,
        Unit::Money | Unit::MoneyPerHour | Unit::MoneyPerKilowattHour
    );
    if money && !currency.is_empty() {
        words::money(figure, currency)
    } else {
        words::figure(figure)
    }
}

/// What the two ends of a figure's band mean; nothing where none shows.
fn band(figure: &Figure) -> Option<&'static str> {
    words::spread(figure).map(|_| words::band_meaning(figure.band))
}

/// What stands before the causes of a band.
const MOVED_BY: &str = "what moves it most: ";

/// Share of a band's variance behind its cause: ` (62 %)`.
fn share(cause: &CauseView) -> String {
    format!(" ({:.0} %)", 100.0 * cause.share)
}
