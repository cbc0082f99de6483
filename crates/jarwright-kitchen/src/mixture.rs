//! From ingredients to a mixture: composition, acids and charge of a formula's lines.
//!
//! A [`Mixture`] holds what one kilogram of each line brings, with the uncertain parts (acids,
//! native pH, how much of the protein's acid is amide) as leaves of the plan's graph, so that a
//! juice that enters twice is one cause. [`Mixture::food`] puts them together for any masses.

use jarwright_figure::{Cited, Equation, Graph, Id, Mark, Unit};
use jarwright_matter as matter;
use jarwright_reference::{self as reference, AcidsIn, Ingredient, Kind};

use crate::PlanError;

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

/// Share of an egg's phosphorus that stands in phosphoserine groups: 4.0 mmol in 12.6 mmol of
/// phosphorus per 100 g of yolk (both `usda_sr28` phosphorus and a group content from memory).
const EGG_PHOSPHOSERINE_SHARE: f64 = 0.32;

/// Molar mass of phosphorus [g/mol].
const PHOSPHORUS_G_MOL: f64 = 30.974;

/// What one line brings per kilogram.
#[derive(Debug, Clone)]
struct Component {
    name: String,
    kind: Kind,
    /// Everything but acids and strong ions, per kg; protein's carboxyl groups with their amides.
    base: matter::Food,
    acids: Vec<(matter::Acid, Id)>,
    strong_ion: Option<Id>,
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
        for component in &self.components {
            ids.extend(component.acids.iter().map(|&(_, id)| id));
            ids.extend(component.strong_ion);
        }
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
            let mut per_kg = component.base.clone();
            per_kg.groups_mol.carboxyl *= 1.0 - amide;
            for &(acid, _) in &component.acids {
                per_kg.add_acid_kg(acid, x[next] / 100.0);
                next += 1;
            }
            if component.strong_ion.is_some() {
                per_kg.strong_ion_mol = x[next];
                next += 1;
            }
            sum.add_scaled(&per_kg, mass_g / 1000.0);
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

fn component(graph: &mut Graph, row: &Ingredient, amide: Id) -> Result<Component, PlanError> {
    let mut acids = Vec::new();
    let mut acid_g = 0.0;
    for entry in &row.acids {
        let acid = acid_of(entry.acid);
        let key = format!("acid:{}:{}", row.name, entry.acid.word());
        let name = format!("{} acid in {}", entry.acid.word(), row.name);
        let id = graph.published(&key, &name, Unit::GramPer100Gram, &entry.g_per_100g);
        acid_g += entry.g_per_100g.value;
        acids.push((acid, id));
    }
    let base = base_food(row, acid_g)?;
    let carries_protein = base.groups_mol.carboxyl > 0.0;
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
    let pure_acid = matches!(row.kind, Kind::Acid) && !acids.is_empty();
    let (strong_ion, charge_known) = match &row.ph {
        Some(ph) if !neutral && !pure_acid && (carries_protein || !acids.is_empty()) => {
            let ph_id = graph.published(
                &format!("ph:{}", row.name),
                &format!("pH of {} alone", row.name),
                Unit::Ph,
                ph,
            );
            let mut inputs = vec![ph_id, amide];
            inputs.extend(acids.iter().map(|&(_, id)| id));
            let id = graph
                .compute(
                    &format!("strong ions of {}", row.name),
                    Unit::MillimolePerKilogram,
                    &matter::STRONG_ION,
                    &inputs,
                    |x| {
                        let mut food = base.clone();
                        food.groups_mol.carboxyl *= 1.0 - x[1];
                        for (&(acid, _), g_per_100g) in acids.iter().zip(&x[2..]) {
                            food.add_acid_kg(acid, g_per_100g / 100.0);
                        }
                        matter::strong_ion_for_ph(&food, x[0], 25.0)
                    },
                )
                .ok();
            (id, id.is_some())
        }
        // A vinegar or acid without a pH of its own is its acid in water.
        _ => (
            None,
            neutral || pure_acid || (matches!(row.kind, Kind::Vinegar) && !acids.is_empty()),
        ),
    };
    Ok(Component {
        name: row.name.clone(),
        kind: row.kind,
        base,
        acids,
        strong_ion,
        charge_known,
    })
}

/// Components of one kilogram, acids taken out of the column that hides them.
fn base_food(row: &Ingredient, acid_g: f64) -> Result<matter::Food, PlanError> {
    let part = |value: Option<f64>| value.unwrap_or(0.0);
    let (protein, fat, ash, alcohol) = (part(row.protein), part(row.fat), part(row.ash), part(row.alcohol));
    let carbohydrate = part(row.carbohydrate);
    let hidden = match row.acids_counted_in {
        AcidsIn::Carbohydrate | AcidsIn::Sugars => acid_g,
        AcidsIn::Nowhere => 0.0,
    };
    let acid_outside = if matches!(row.acids_counted_in, AcidsIn::Nowhere) {
        acid_g
    } else {
        0.0
    };
    let known = [row.water, row.protein, row.fat, row.carbohydrate, row.ash]
        .iter()
        .flatten()
        .count();
    let water = match row.water {
        Some(water) => water,
        None if known >= 2 => 100.0 - protein - fat - carbohydrate - ash - alcohol - acid_outside,
        None => {
            return Err(PlanError::UnknownComposition {
                ingredient: row.name.clone(),
            });
        }
    };
    let by_name = part(row.sucrose)
        + part(row.glucose)
        + part(row.fructose)
        + part(row.galactose)
        + part(row.lactose)
        + part(row.maltose);
    let hidden_in_sugars = if matches!(row.acids_counted_in, AcidsIn::Sugars) {
        acid_g
    } else {
        0.0
    };
    // A sweetener without a sugar column is sugar; elsewhere an unknown sugar is counted as
    // starch, which binds less water: the higher water activity is the cautious side.
    let total = row.sugars.unwrap_or(if matches!(row.kind, Kind::Sweetener) {
        carbohydrate
    } else {
        by_name
    });
    let sugars = (total - hidden_in_sugars).max(by_name.min(total)).max(0.0);
    // Sugar that is not told apart is counted as sucrose: again the higher water activity.
    let sucrose = part(row.sucrose) + (sugars - by_name).max(0.0);
    let fibre = part(row.fibre);
    let starch = (carbohydrate - sugars - fibre - hidden).max(0.0);
    let salt = if matches!(row.kind, Kind::Salt) { ash } else { 0.0 };
    let groups = row
        .protein_groups
        .map_or_else(matter::Groups::default, |g| matter::Groups {
            carboxyl: g.asp_glu / 100.0,
            histidine: g.his / 100.0,
            lysine: g.lys / 100.0,
            phosphate: if matches!(row.kind, Kind::Egg) {
                part(row.phosphorus_mg) * EGG_PHOSPHOSERINE_SHARE / PHOSPHORUS_G_MOL / 100.0
            } else {
                0.0
            },
        });
    Ok(matter::Food {
        water_kg: water / 100.0,
        protein_kg: protein / 100.0,
        fat_kg: fat / 100.0,
        sucrose_kg: sucrose / 100.0,
        hexose_kg: (part(row.glucose) + part(row.fructose) + part(row.galactose)) / 100.0,
        other_sugar_kg: (part(row.lactose) + part(row.maltose)) / 100.0,
        starch_kg: starch / 100.0,
        fibre_kg: fibre / 100.0,
        ash_kg: (ash - salt).max(0.0) / 100.0,
        salt_kg: salt / 100.0,
        alcohol_kg: alcohol / 100.0,
        groups_mol: groups,
        ..matter::Food::default()
    })
}

fn acid_of(acid: reference::Acid) -> matter::Acid {
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
