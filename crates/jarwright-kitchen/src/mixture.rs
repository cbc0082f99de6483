//! From ingredients to a mixture: composition, acids and charge of a formula's lines.
//!
//! A [`Mixture`] holds what one kilogram of each line brings, with everything uncertain about it
//! (solids, sugars and which, acids, native pH, what a table leaves blank, how much of the
//! protein's acid is amide) as leaves of the plan's graph, so that a juice that enters twice is
//! one cause. [`Mixture::food`] puts them together for any masses. Read next: `parts.rs`, what
//! a leaf does to an ingredient; `lot_acid.rs`, what a measured pH or titration says of its acid.

use jarwright_figure::{Basis, Cited, Equation, Graph, Id, Leaf, Mark, Spread, Unit};
use jarwright_matter as matter;
use jarwright_reference::{self as reference, Ingredient, IngredientSpread, Kind, Spreads, Titration, spread_of};

use crate::PlanError;
use crate::lot_acid::{base_mol_kg, chief_acid, lot_acid, strong_ions};
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

/// Carbohydrate that no column names [g/100 g] below which it is rounding.
const UNNAMED_G: f64 = 0.3;

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
    Unnamed,
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
            Part::Unnamed => self.unnamed = value,
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
    ) && row.acids.is_empty();
    let pure_acid = matches!(row.kind, Kind::Acid) && !row.acids.is_empty();
    let carries = parts.carries_protein() || !row.acids.is_empty();
    let ph = row.ph.as_ref().filter(|_| !neutral && !pure_acid && carries);
    let ph = ph.map(|ph| ph_leaf(graph, row, ph));
    let titration = titration(row, ph.is_some());
    if titration.is_none() {
        leaves.extend(acid_leaves(graph, row));
    }
    // A vinegar or acid without a pH of its own is its acid in water.
    let own_acid = pure_acid || (matches!(row.kind, Kind::Vinegar) && !row.acids.is_empty());
    let charge_known = match (titration, ph) {
        (Some(titration), ph) => {
            let (over, strong) = lot_acid(graph, row, &titration, &parts, &nominal, &leaves, ph, amide)?;
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
        if parts.unnamed() > UNNAMED_G {
            let what = Spreads::UnnamedDissolved;
            spread(
                graph,
                Part::Unnamed,
                what,
                Unit::One,
                "what is dissolved of carbohydrate that no column names, of",
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

/// What was titrated: by the stores' sheet, else by a table that prints titrated acid, where the
/// pH beside it tells what potassium has taken up.
fn titration(row: &Ingredient, ph_known: bool) -> Option<Titration> {
    if let Some(told) = row.sheet.as_ref().and_then(|sheet| sheet.titration.as_ref()) {
        return Some(told.clone());
    }
    let told = row.sheet.as_ref().is_some_and(|sheet| sheet.acids);
    if told || !row.acids_titrated || !ph_known {
        return None;
    }
    let counted_as = chief_acid(row)?;
    let of_one = base_mol_kg(counted_as, 1.0);
    let all: f64 = row
        .acids
        .iter()
        .map(|entry| base_mol_kg(entry.acid, entry.g_per_100g.value))
        .sum();
    let cited = &row.acids.first()?.g_per_100g;
    Some(Titration {
        counted_as,
        g_per_100g: Cited {
            value: all / of_one,
            low: all / of_one,
            high: all / of_one,
            ..cited.clone()
        },
    })
}

/// Leaves of the acids: by their own printed range, else by the spread of their kind. Several
/// acids of one ingredient ripen together, so they are one cause.
fn acid_leaves(graph: &mut Graph, row: &Ingredient) -> Vec<(Part, Id)> {
    let kinds = spread_of(row, Spreads::Acid);
    match row.acids.as_slice() {
        [] => Vec::new(),
        [entry] => {
            let cited = &entry.g_per_100g;
            let mut leaf = cited_leaf(
                format!("acid:{}:{}", row.name, entry.acid.word()),
                format!("{} acid in {}", entry.acid.word(), row.name),
                Unit::GramPer100Gram,
                cited,
            );
            leaf.spread = acid_spread(leaf.spread, cited, kinds);
            vec![(Part::Acid(acid_of(entry.acid)), graph.leaf(leaf))]
        }
        [first, ..] => {
            let sum = |of: fn(&Cited) -> f64| row.acids.iter().map(|entry| of(&entry.g_per_100g)).sum::<f64>();
            let all = sum(|cited| cited.value);
            let over = Cited {
                value: 1.0,
                low: sum(|cited| cited.low) / all,
                high: sum(|cited| cited.high) / all,
                ..first.g_per_100g.clone()
            };
            let mut leaf = cited_leaf(
                format!("acids:{}", row.name),
                format!("acids of {}, over the table's", row.name),
                Unit::One,
                &over,
            );
            leaf.spread = acid_spread(leaf.spread, &over, kinds);
            vec![(Part::AcidOver, graph.leaf(leaf))]
        }
    }
}

/// A document's range stands; one from memory only widens what documents say of the kind; where
/// there is none the kind's spread is taken.
fn acid_spread(own: Spread, cited: &Cited, kinds: Option<&IngredientSpread>) -> Spread {
    let Some(found) = kinds else { return own };
    let by_kind = spread(found, |over| cited.value * over);
    match (own, by_kind) {
        (Spread::Exact, by_kind) => by_kind,
        (Spread::Printed { low, high }, Spread::Percentiles { low: from, high: to }) if cited.mark == Mark::Memory => {
            Spread::Percentiles {
                low: low.min(from),
                high: high.max(to),
            }
        }
        (own, _) => own,
    }
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
pub(crate) fn spread(found: &IngredientSpread, at: impl Fn(f64) -> f64) -> Spread {
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

#[cfg(test)]
mod tests {
    use jarwright_reference::ingredient;

    use super::*;
    use crate::files::{StoresFile, read_stores};
    use crate::lines::find;

    fn sheet(name: &str, lines: &str) -> StoresFile {
        let text =
            format!("[[item]]\ningredient = \"{name}\"\npack = \"1 kg\"\nprice = \"1\"\n[item.analysis]\n{lines}");
        read_stores("stores.toml", &text).unwrap_or_else(|problems| panic!("{problems:?}"))
    }

    /// pH of 100 g of an ingredient alone, as the graph has it.
    fn ph_of(graph: &mut Graph, row: &Ingredient) -> Option<Id> {
        let mixture = Mixture::new(graph, &[row]).ok()?;
        let mass = graph.entered("mass", "mass", Unit::Gram, 100.0, "test");
        let inputs = mixture.inputs(&[mass]);
        let ids = inputs.ids.clone();
        graph
            .compute("pH", Unit::Ph, &matter::PH, &ids, |x| {
                matter::ph(&mixture.food(&inputs, x), 25.0)
            })
            .ok()
    }

    fn width(graph: &Graph, id: Id) -> f64 {
        graph.band(id).1 - graph.band(id).0
    }

    #[test]
    fn a_measured_ph_is_the_lots_ph_with_the_meters_band() {
        let stores = sheet("lemon juice, fresh", "ph = 2.45\n");
        let mut graph = Graph::new();
        let row = find("lemon juice, fresh", &stores).ok();
        let ph = row.and_then(|row| ph_of(&mut graph, &row));
        assert!(ph.is_some_and(|id| (graph.value(id) - 2.45).abs() < 1e-3));
        assert!(ph.is_some_and(|id| width(&graph, id) > 0.1 && width(&graph, id) < 0.2));
    }

    #[test]
    fn a_titration_moves_the_acid_and_keeps_the_ph() {
        let acid = |lines: &str| {
            let mut graph = Graph::new();
            let row = find("lemon juice, fresh", &sheet("lemon juice, fresh", lines)).ok()?;
            let mixture = Mixture::new(&mut graph, &[&row]).ok()?;
            let mass = graph.entered("mass", "mass", Unit::Gram, 1000.0, "test");
            let food = mixture.nominal(&graph, &[mass]);
            Some((
                food.acid_kg() * 100.0,
                food.strong_ion_mol,
                matter::ph(&food, 25.0).ok()?,
            ))
        };
        let (Some(weak), Some(strong)) = (
            acid("titratable_acidity = \"4.0 %\"\nph = 2.4\n"),
            acid("titratable_acidity = \"6.0 %\"\nph = 2.4\n"),
        ) else {
            panic!("no answer")
        };
        assert!(
            (weak.2 - 2.4).abs() < 1e-3 && (strong.2 - 2.4).abs() < 1e-3,
            "{weak:?} {strong:?}"
        );
        // What potassium has neutralised is not titrated, so there is a little more acid.
        assert!(
            weak.0 > 4.0 && weak.0 < 4.5 && strong.0 > 6.0 && strong.0 < 6.6,
            "{weak:?} {strong:?}"
        );
        assert!(weak.1 > 0.0 && strong.1 > weak.1);
    }

    #[test]
    fn a_titration_is_counted_as_the_trade_counts_it() {
        for (name, acid) in [
            ("lemon juice, fresh", reference::Acid::Citric),
            ("vinegar, cider 5 %", reference::Acid::Acetic),
            ("apples", reference::Acid::Malic),
            ("plums", reference::Acid::Malic),
            ("grapes", reference::Acid::Tartaric),
        ] {
            let row = find(name, &sheet(name, "titratable_acidity = \"1 %\"\n"));
            let counted = row.ok().and_then(|row| row.sheet?.titration).map(|t| t.counted_as);
            assert_eq!(counted, Some(acid), "{name}");
        }
    }

    #[test]
    fn strong_vinegar_by_titration_is_its_acetic_acid() {
        let mut graph = Graph::new();
        let stores = sheet("vinegar, malt 5 %", "titratable_acidity = \"6 %\"\nph = 2.7\n");
        let food = find("vinegar, malt 5 %", &stores).ok().and_then(|row| {
            let mixture = Mixture::new(&mut graph, &[&row]).ok()?;
            let mass = graph.entered("mass", "mass", Unit::Gram, 1000.0, "test");
            Some(mixture.nominal(&graph, &[mass]))
        });
        assert!(food.is_some_and(|food| (food.acid_kg() * 100.0 - 6.0).abs() < 0.15));
    }

    #[test]
    fn a_brix_of_ones_own_narrows_the_sugars_of_a_fruit() {
        let band = |lines: Option<&str>| {
            let mut graph = Graph::new();
            let stores = lines.map_or_else(StoresFile::default, |lines| sheet("strawberries", lines));
            let row = find("strawberries", &stores).ok()?;
            let mixture = Mixture::new(&mut graph, &[&row]).ok()?;
            let mass = graph.entered("mass", "mass", Unit::Gram, 100.0, "test");
            let inputs = mixture.inputs(&[mass]);
            let ids = inputs.ids.clone();
            let brix = |x: &[f64]| Ok::<_, PlanError>(mixture.food(&inputs, x).brix_of_water_phase());
            let id = graph.compute("brix", Unit::Brix, &matter::BRIX, &ids, brix).ok()?;
            Some((graph.value(id), width(&graph, id)))
        };
        let told = band(Some("brix = \"9 Bx\"\n"));
        assert!(
            told.is_some_and(|(value, width)| (value - 9.0).abs() < 1e-6 && width > 1.0 && width < 4.1),
            "{told:?}"
        );
        assert!(band(None).is_some_and(|(_, width)| width > 1.5));
    }

    #[test]
    fn the_same_juice_twice_is_one_cause_and_sugar_is_nearly_exact() {
        let mut graph = Graph::new();
        let (Some(juice), Some(sugar)) = (ingredient("lemon juice, fresh"), ingredient("sugar")) else {
            panic!("the table")
        };
        let twice = Mixture::new(&mut graph, &[juice, juice]).ok();
        let mass = graph.entered("mass", "mass", Unit::Gram, 100.0, "test");
        let ids = twice
            .map(|mixture| mixture.inputs(&[mass, mass]).ids)
            .unwrap_or_default();
        let leaf = |name: &str| ids.iter().filter(|&&id| graph.figure(id).name == name).count();
        assert_eq!(leaf("citric acid in lemon juice, fresh"), 2);
        let distinct: std::collections::HashSet<&Id> = ids.iter().collect();
        assert!(distinct.len() < ids.len());
        let water = |graph: &mut Graph, row: &Ingredient| {
            let mixture = Mixture::new(graph, &[row]).ok()?;
            let inputs = mixture.inputs(&[mass]);
            let ids = inputs.ids.clone();
            let water = |x: &[f64]| Ok::<_, PlanError>(1000.0 * mixture.food(&inputs, x).water_kg);
            let id = graph.compute("water", Unit::Gram, &ASSAY, &ids, water).ok()?;
            Some(width(graph, id))
        };
        assert!(water(&mut graph, sugar).is_some_and(|width| width < 0.07));
        assert!(water(&mut graph, juice).is_some_and(|width| width > 1.0));
    }

    #[test]
    fn a_sheet_that_leaves_half_open_widens_the_band_and_loses_no_mass() {
        let text = "[[item]]\nname = \"house paste\"\nkind = \"other\"\npack = \"1 kg\"\nprice = \"1\"\n[item.analysis]\nwater = \"50 %\"\n";
        let stores = read_stores("stores.toml", text).unwrap_or_default();
        let mut graph = Graph::new();
        let spread = find("house paste", &stores).ok().and_then(|row| {
            let mixture = Mixture::new(&mut graph, &[&row]).ok()?;
            let mass = graph.entered("mass", "mass", Unit::Gram, 100.0, "test");
            let inputs = mixture.inputs(&[mass]);
            let ids = inputs.ids.clone();
            let brix = |x: &[f64]| Ok::<_, PlanError>(mixture.food(&inputs, x).brix());
            let id = graph.compute("brix", Unit::Brix, &matter::BRIX, &ids, brix).ok()?;
            Some((width(&graph, id), mixture.nominal(&graph, &[mass]).mass_kg()))
        });
        assert!(
            spread.is_some_and(|(width, mass)| width > 40.0 && (mass - 0.1).abs() < 1e-9),
            "{spread:?}"
        );
    }
}
