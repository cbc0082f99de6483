//! A formula's lines as masses: which ingredient, how much of it, by whose density or count.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_reference::{self as reference, CupSystem, Ingredient, volume_ml};

use crate::PlanError;
use crate::files::{Amount, AmountUnit, FormulaFile, FormulaLine, StoresFile};
use crate::sheet::{overlay, own};

/// An amount in cups, spoons or pieces as a mass.
pub static AMOUNT_TO_MASS: Equation = Equation {
    key: "amount-to-mass",
    title: "Mass of an amount as cooks write it",
    text: "m = n V rho for a volume (n measures of V mL at the ingredient's own bulk density), \
           m = n m_piece for pieces",
    source: "usda_sr28",
};

/// A line of a formula, resolved.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub(crate) written: FormulaLine,
    pub(crate) ingredient: Ingredient,
    /// Mass in the formula as written [g].
    pub(crate) one_g: Id,
}

/// Resolves every line; the stores' own sheets govern over the reference table.
pub(crate) fn resolve(graph: &mut Graph, formula: &FormulaFile, stores: &StoresFile) -> Result<Vec<Line>, PlanError> {
    formula
        .lines
        .iter()
        .map(|written| {
            let ingredient = find(&written.ingredient, stores)?;
            let one_g = mass(
                graph,
                &written.amount,
                &ingredient,
                formula.cup.unwrap_or_default(),
                &formula.name,
            )?;
            Ok(Line {
                written: written.clone(),
                ingredient,
                one_g,
            })
        })
        .collect()
}

/// The ingredient of a name: reference table, overlaid with the stores' own analysis.
pub(crate) fn find(name: &str, stores: &StoresFile) -> Result<Ingredient, PlanError> {
    let item = stores.item(name);
    let known = reference::ingredient(name);
    match (known, item) {
        (_, Some(item)) if item.own.is_some() => Ok(own(item)),
        (Some(known), item) => Ok(item.map_or_else(|| known.clone(), |item| overlay(known.clone(), item))),
        (None, _) => Err(PlanError::asked(
            format!("unknown ingredient \"{name}\""),
            "use a name of the ingredient table, or give it an entry of its own in the stores file",
        )),
    }
}

/// Mass [g] of an amount.
pub(crate) fn mass(
    graph: &mut Graph,
    amount: &Amount,
    row: &Ingredient,
    cup: CupSystem,
    by: &str,
) -> Result<Id, PlanError> {
    let name = format!("{amount} of {}", row.name);
    let weigh = |hint: &str, error: &dyn std::fmt::Display| PlanError::asked(format!("{by}: {error}"), hint);
    let weighed = amount.grams(row, cup);
    match &amount.unit {
        AmountUnit::Piece(word) => {
            let piece = row.pieces.iter().find(|p| &p.word == word);
            let (Ok(grams), Some(piece)) = (weighed.as_ref(), piece) else {
                let words: Vec<&str> = row.pieces.iter().map(|p| p.word.as_str()).collect();
                return Err(PlanError::asked(
                    format!("{by}: no weight of one \"{word}\" of {} is on file", row.name),
                    if words.is_empty() {
                        "write a mass in g".to_owned()
                    } else {
                        format!("write a mass, or one of: {}", words.join(", "))
                    },
                ));
            };
            let unit_g = graph.published(
                &format!("piece:{}:{word}", row.name),
                &format!("one {word} of {}", row.name),
                Unit::Gram,
                &piece.g,
            );
            let count = graph.entered(
                &format!("count:{by}:{name}"),
                "how many",
                Unit::Count,
                amount.quantity,
                by,
            );
            let _ = grams;
            product(graph, &name, &[count, unit_g])
        }
        unit if reference::mass_g(unit.word()).is_some() => {
            let grams = weighed.map_err(|e| weigh("write a mass in g", &e))?;
            Ok(graph.entered(&format!("mass:{by}:{name}"), &name, Unit::Gram, grams, by))
        }
        unit => {
            weighed.map_err(|e| weigh("write a mass in g, or give its density in the stores file", &e))?;
            let ml = volume_ml(unit.word(), cup).unwrap_or(0.0) * amount.quantity;
            let volume = graph.entered(
                &format!("volume:{by}:{name}"),
                &format!("volume of {amount}"),
                Unit::Millilitre,
                ml,
                by,
            );
            let Some(density) = &row.density_g_ml else {
                return Err(PlanError::asked(
                    format!("{by}: no density of {} is on file", row.name),
                    "write a mass in g",
                ));
            };
            // g/mL is the number of kg/L.
            let density = graph.published(
                &format!("bulk:{}", row.name),
                &format!("{} measured out, g/mL", row.name),
                Unit::One,
                density,
            );
            product(graph, &name, &[volume, density])
        }
    }
}

fn product(graph: &mut Graph, name: &str, inputs: &[Id]) -> Result<Id, PlanError> {
    graph.compute(name, Unit::Gram, &AMOUNT_TO_MASS, inputs, |x| Ok(x.iter().product()))
}
