//! From ingredients to a mixture: composition, acids and charge of a formula's lines.
//!
//! A [`Mixture`] holds what one kilogram of each line brings, with everything uncertain about it
//! (solids, sugars and which, acids, native pH, what a table leaves blank, how much of the
//! protein's acid is amide) as leaves of the plan's graph, so that a juice that enters twice is
//! one cause. [`Mixture::food`] puts them together for any masses. Read next: `parts.rs`, what
//! a leaf does to an ingredient; `lot_acid.rs`, what a measured pH or titration says of its acid.

use jarwright_figure::{Basis, Cited, Equation, Graph, Id, Leaf, Mark, Spread, Unit};
use jarwright_matter as matter;
use jarwright_reference::{self as reference, Ingredient, IngredientSpread, Kind, Spreads, spread_of};

use crate::PlanError;
use crate::lot_acid::{lot_acid, strong_ions};
use crate::parts::{Lot, Parts};

/// Composition, density and heat properties of a mixture.
pub static ASSAY: Equation = Equation {
    key: "assay-of-mixture",
    title: "Assay of a mixture",
    text: "sum of the lines' components; water activity by the Norrish mixture and the salt's own \
           activity, density, conductivity and heat capacity by Choi and Okos",
    source: "choi_okos_1986",
};

/// Mass share of the mixture above which ingredients of unknown acidity together make the pH
/// unknown; what the trade does not sort (baking powders are there) matters from far less.
const MATTERS_FOR_PH: f64 = 0.05;
const MATTERS_FOR_PH_UNSORTED: f64 = 0.002;

/// Sugars [g/100 g] below which it does not matter which they are.
const FEW_SUGARS_G: f64 = 0.2;

/// Where the stores' own figures come from.
pub(crate) const STORES: &str = "stores_file";

/// What a leaf of an ingredient is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Part {
    Water,
    Solids,
    Brix,
    Sugars,
    SugarsShare,
    Hexose,
    Double,
    LeftOut,
    Purity,
    Acid(matter::Acid),
    /// All acids of the lot together, over their nominal strength.
    AcidOver,
    StrongIon,
}

/// What one line brings.
#[derive(Debug, Clone)]
struct Component {
    name: String,
    kind: Kind,
    parts: Parts,
    /// Everything uncertain, in the order in which it is handed over.
    leaves: Vec<(Part, Id)>,
    /// A draw with every acid at its nominal strength.
    nominal: Lot,
    charge_known: bool,
}

/// The lines of a formula as a mixture.
#[derive(Debug, Clone)]
pub struct Mixture {
    components: Vec<Component>,
    amide: Id,
}

/// Where each value of a mixture's inputs stands.
#[derive(Debug, Clone)]
pub struct Inputs {
    /// Ids to hand to the graph, in order.
    pub ids: Vec<Id>,
    lines: usize,
}

impl Mixture {
    /// Gathers the lines. `by` names where the formula was entered.
    ///
    /// # Errors
    /// [`PlanError::UnknownComposition`] when an ingredient's water cannot be told.
    pub fn new(graph: &mut Graph, lines: &[&Ingredient]) -> Result<Self, PlanError> {
        let practice = reference::practice("egg_amide_fraction")
            .map(|p| p.value.clone())
            .unwrap_or(Cited {
                value: 0.15,
                low: 0.0,
                high: 0.3,
                source: "common_practice".into(),
                place: "protein side chains".into(),
                mark: Mark::Memory,
            });
        let amide = graph.published(
            "amide-fraction",
            "share of protein acid groups that are amides",
            Unit::One,
            &practice,
        );
        let components = lines
            .iter()
            .map(|row| component(graph, row, amide))
            .collect::<Result<_, _>>()?;
        Ok(Self { components, amide })
    }

    /// Inputs for [`Graph::compute`]: the lines' masses [g], then everything uncertain.
    #[must_use]
    pub fn inputs(&self, masses_g: &[Id]) -> Inputs {
        let mut ids = masses_g.to_vec();
        ids.push(self.amide);
        let leaves = self.components.iter().flat_map(|component| &component.leaves);
        ids.extend(leaves.map(|&(_, id)| id));
        Inputs {
            ids,
            lines: masses_g.len(),
        }
    }

    /// The mixture for one row of inputs.
    #[must_use]
    pub fn food(&self, inputs: &Inputs, x: &[f64]) -> matter::Food {
        let amide = x[inputs.lines];
        let mut next = inputs.lines + 1;
        let mut sum = matter::Food::default();
        for (component, &mass_g) in self.components.iter().zip(x) {
            let mut lot = Lot {
                amide,
                ..component.nominal
            };
            for &(part, _) in &component.leaves {
                lot.set(part, x[next]);
                next += 1;
            }
            sum.add_scaled(&component.parts.food(&lot), mass_g / 1000.0);
        }
        sum
    }

    /// The mixture at the graph's nominal values.
    #[must_use]
    pub fn nominal(&self, graph: &Graph, masses_g: &[Id]) -> matter::Food {
        let inputs = self.inputs(masses_g);
        let x: Vec<f64> = inputs.ids.iter().map(|&id| graph.value(id)).collect();
        self.food(&inputs, &x)
    }

    /// Why the mixture's pH cannot be told, if it cannot: ingredients of unknown acidity.
    #[must_use]
    pub fn ph_unknown(&self, masses_g: &[f64]) -> Option<String> {
        let total: f64 = masses_g.iter().sum();
        let unknown = || {
            self.components
                .iter()
                .zip(masses_g)
                .filter(|(c, mass)| !c.charge_known && **mass > 0.0)
        };
        let together: f64 = unknown().map(|(_, mass)| mass).sum();
        let unsorted = unknown().any(|(c, mass)| c.kind == Kind::Other && *mass > MATTERS_FOR_PH_UNSORTED * total);
        let matters = unsorted || together > MATTERS_FOR_PH * total;
        let names: Vec<&str> = unknown().map(|(c, _)| c.name.as_str()).collect();
        matters.then(|| format!("no acidity is on file for {}", names.join(", ")))
    }
}

impl Lot {
    /// Puts one drawn value where it belongs.
    pub(crate) fn set(&mut self, part: Part, value: f64) {
        match part {
            Part::Water => self.water = Some(value),
            Part::Solids => self.solids = value.max(0.0),
            Part::Brix => self.brix = Some(value),
            Part::Sugars => self.sugars = value.max(0.0),
            Part::SugarsShare => self.sugars_share = value,
            Part::Hexose => self.hexose = value,
            Part::Double => self.double = value,
            Part::LeftOut => self.left_out = value,
            Part::Purity => self.purity = value,
            Part::Acid(acid) => self.acid_g[acid.index()] = value,
            Part::AcidOver => self.acid_g.iter_mut().for_each(|g| *g *= value),
            Part::StrongIon => self.strong_ion_mol = value / 1000.0,
        }
    }
}

fn component(graph: &mut Graph, row: &Ingredient, amide: Id) -> Result<Component, PlanError> {
    let parts = Parts::of(row)?;
    let mut nominal = Lot::default();
    for entry in &row.acids {
        nominal.acid_g[acid_of(entry.acid).index()] += entry.g_per_100g.value;
    }
    let mut leaves = composition_leaves(graph, row, &parts);
    let neutral = matches!(
        row.kind,
        Kind::Sweetener
            | Kind::Fat
            | Kind::Water
            | Kind::Salt
            | Kind::Starch
            | Kind::Pectin
            | Kind::Gelatin
            | Kind::Alcohol
    );
    let titration = row.sheet.as_ref().and_then(|sheet| sheet.titration.as_ref());
    if titration.is_none() {
        leaves.extend(acid_leaves(graph, row));
    }
    let pure_acid = matches!(row.kind, Kind::Acid) && !row.acids.is_empty();
    let carries = parts.carries_protein() || !row.acids.is_empty();
    let ph = row.ph.as_ref().filter(|_| !neutral && !pure_acid && carries);
    let ph = ph.map(|ph| ph_leaf(graph, row, ph));
    // A vinegar or acid without a pH of its own is its acid in water.
    let own_acid = pure_acid || (matches!(row.kind, Kind::Vinegar) && !row.acids.is_empty());
    let charge_known = match (titration, ph) {
        (Some(titration), ph) => {
            let (over, strong) = lot_acid(graph, row, titration, &parts, &nominal, &leaves, ph, amide)?;
            leaves.push((Part::AcidOver, over));
            leaves.extend(strong.map(|id| (Part::StrongIon, id)));
            strong.is_some() || own_acid
        }
        (None, Some(ph)) => {
            let strong = strong_ions(graph, row, &parts, &nominal, &leaves, ph, amide);
            leaves.extend(strong.map(|id| (Part::StrongIon, id)));
            strong.is_some()
        }
        (None, None) => neutral || own_acid,
    };
    Ok(Component {
        name: row.name.clone(),
        kind: row.kind,
        parts,
        leaves,
        nominal,
        charge_known,
    })
}

/// Leaves of water, solids and sugars.
fn composition_leaves(graph: &mut Graph, row: &Ingredient, parts: &Parts) -> Vec<(Part, Id)> {
    let mut leaves = Vec::new();
    let mut spread = |graph: &mut Graph, part: Part, what: Spreads, unit: Unit, name: &str| {
        if let Some(found) = spread_of(row, what) {
            leaves.push((part, spread_leaf(graph, row, found, unit, name)));
        }
    };
    let brix = row.sheet.as_ref().and_then(|sheet| sheet.brix.as_ref());
    if parts.moves() {
        if spread_of(row, Spreads::Water).is_some() && !row.sheet.as_ref().is_some_and(|sheet| sheet.water) {
            spread(graph, Part::Water, Spreads::Water, Unit::GramPer100Gram, "water in");
        } else {
            spread(
                graph,
                Part::Solids,
                Spreads::Solids,
                Unit::One,
                "solids to water, over the table's, of",
            );
        }
    }
    if brix.is_none() {
        if parts.sugars_unknown() {
            let what = if row.fibre.is_some() {
                Spreads::SugarsShare
            } else {
                Spreads::SugarsShareWithFibre
            };
            spread(
                graph,
                Part::SugarsShare,
                what,
                Unit::One,
                "unknown sugars, as a share of the carbohydrate of",
            );
        } else if parts.has_sugars() {
            spread(
                graph,
                Part::Sugars,
                Spreads::Sugars,
                Unit::One,
                "sugars, over the table's, of",
            );
        }
        if parts.left_out > 0.0 {
            let what = Spreads::LeftOutDissolved;
            spread(
                graph,
                Part::LeftOut,
                what,
                Unit::One,
                "what is dissolved of the part that no figure tells, of",
            );
        }
    }
    if brix.is_some() || parts.sugars_untold() > FEW_SUGARS_G {
        spread(
            graph,
            Part::Hexose,
            Spreads::HexoseShare,
            Unit::One,
            "glucose and fructose in the sugars of",
        );
        spread(
            graph,
            Part::Double,
            Spreads::DoubleShare,
            Unit::One,
            "lactose, maltose and their like in the sugars of",
        );
    }
    spread(graph, Part::Purity, Spreads::Purity, Unit::One, "sodium chloride in");
    if let Some(brix) = brix {
        let leaf = cited_leaf(
            format!("brix:{}", row.name),
            format!("soluble solids of {}", row.name),
            Unit::Brix,
            brix,
        );
        leaves.push((Part::Brix, graph.leaf(leaf)));
    }
    leaves
}

/// Leaves of the acids: by their own printed range, else by the spread of their kind.
fn acid_leaves(graph: &mut Graph, row: &Ingredient) -> Vec<(Part, Id)> {
    let mut leaves = Vec::new();
    for entry in &row.acids {
        let cited = &entry.g_per_100g;
        let mut leaf = cited_leaf(
            format!("acid:{}:{}", row.name, entry.acid.word()),
            format!("{} acid in {}", entry.acid.word(), row.name),
            Unit::GramPer100Gram,
            cited,
        );
        if let (Spread::Exact, Some(found)) = (leaf.spread, spread_of(row, Spreads::Acid)) {
            leaf.spread = spread(found, |over| cited.value * over);
        }
        leaves.push((Part::Acid(acid_of(entry.acid)), graph.leaf(leaf)));
    }
    leaves
}

/// The pH leaf: by its own printed range, else by how far documents differ.
fn ph_leaf(graph: &mut Graph, row: &Ingredient, ph: &Cited) -> Id {
    let mut leaf = cited_leaf(
        format!("ph:{}", row.name),
        format!("pH of {} alone", row.name),
        Unit::Ph,
        ph,
    );
    if let (Spread::Exact, Some(found)) = (leaf.spread, spread_of(row, Spreads::Ph)) {
        leaf.spread = spread(found, |off| ph.value + off);
    }
    graph.leaf(leaf)
}

fn spread_leaf(graph: &mut Graph, row: &Ingredient, found: &IngredientSpread, unit: Unit, name: &str) -> Id {
    let mut leaf = cited_leaf(
        format!("{:?}:{}", found.what, row.name),
        format!("{name} {}", row.name),
        unit,
        &found.cited,
    );
    leaf.spread = spread(found, |x| x);
    graph.leaf(leaf)
}

/// A spread's ends, put to use.
fn spread(found: &IngredientSpread, at: impl Fn(f64) -> f64) -> Spread {
    let (low, high) = (at(found.cited.low), at(found.cited.high));
    match found.percentiles {
        _ if low >= high => Spread::Exact,
        true => Spread::Percentiles { low, high },
        false => Spread::Printed { low, high },
    }
}

/// A published figure as a leaf, or one that the stores told.
pub(crate) fn cited_leaf(key: String, name: String, unit: Unit, cited: &Cited) -> Leaf {
    let told = cited.source == STORES;
    Leaf {
        key,
        name,
        unit,
        value: cited.value,
        spread: match cited.low < cited.high {
            false => Spread::Exact,
            true if told => Spread::Instrument {
                half_width: (cited.high - cited.low) / 2.0,
            },
            true => Spread::Printed {
                low: cited.low,
                high: cited.high,
            },
        },
        basis: if told {
            Basis::Entered {
                by: format!("stores file, {}", cited.place),
            }
        } else {
            Basis::Published {
                source: cited.source.clone(),
                place: cited.place.clone(),
                mark: cited.mark,
            }
        },
    }
}

pub(crate) fn acid_of(acid: reference::Acid) -> matter::Acid {
    match acid {
        reference::Acid::Citric => matter::Acid::Citric,
        reference::Acid::Malic => matter::Acid::Malic,
        reference::Acid::Tartaric => matter::Acid::Tartaric,
        reference::Acid::Acetic => matter::Acid::Acetic,
        reference::Acid::Lactic => matter::Acid::Lactic,
        reference::Acid::Ascorbic => matter::Acid::Ascorbic,
        reference::Acid::Phosphoric => matter::Acid::Phosphoric,
    }
}
