//! What a measured pH or titration says of the acid and the strong ions of one lot.
//!
//! A pH alone sets the strong ions that its acids need. A titration alone, with the published
//! pH, sets the acid. Both together set both: acid and potassium of the juice in hand.

use jarwright_figure::{Equation, Graph, Id, Spread, Unit};
use jarwright_matter::{self as matter, MatterError};
use jarwright_reference::{Acid, AcidRow, Ingredient, Spreads, Titration, spread_of};

use crate::PlanError;
use crate::mixture::{Part, acid_of, cited_leaf, spread};
use crate::parts::{Lot, Parts};

/// Acid and strong ions of a titrated lot.
pub static TITRATED_LOT: Equation = Equation {
    key: "titrated-lot",
    title: "Acid and strong ions of a titrated lot",
    text: "strong ions at pH 8.1 - combined = titrated base [mol/kg], by scaling all acids of the lot alike; combined \
           = strong ions at its own pH, in a table's fruit at most its metals less phosphate",
    source: "titration_end_point",
};

/// End point of titrating juice and vinegar.
const TITRATION_END_PH: f64 = 8.1;
/// Titrated base counts as met at this share of it.
const MET: f64 = 1e-7;
/// Secant steps before giving up; the base is all but linear in the acid.
const MAX_STEPS: usize = 40;
/// Water a sample is stirred into for its titration [kg/kg] (`common_practice`): a juice at full
/// strength would leave the activity model once it is all salt.
const DILUTED_IN: f64 = 9.0;
/// Temperature of a titration at the bench [°C].
const BENCH_C: f64 = 25.0;

/// Acidic protons of an acid that a titration to pH 8.1 takes.
const fn protons(acid: Acid) -> f64 {
    match acid {
        Acid::Citric => 3.0,
        Acid::Malic | Acid::Tartaric | Acid::Phosphoric => 2.0,
        Acid::Acetic | Acid::Lactic | Acid::Ascorbic => 1.0,
    }
}

/// Base [mol/kg] that a titrated acidity stands for.
pub(crate) fn base_mol_kg(counted_as: Acid, g_per_100g: f64) -> f64 {
    protons(counted_as) * g_per_100g / 100.0 / acid_of(counted_as).molar_mass_kg_mol()
}

/// The acid of an ingredient that takes most base.
pub(crate) fn chief_acid(row: &Ingredient) -> Option<Acid> {
    let base = |entry: &&AcidRow| base_mol_kg(entry.acid, entry.g_per_100g.value);
    row.acids
        .iter()
        .max_by(|a, b| base(a).total_cmp(&base(b)))
        .map(|entry| entry.acid)
}

/// Charge of an ingredient's metals less its phosphate [mol/kg]: what can have taken up acid
/// before it was titrated; `None` where the table leaves one blank.
///
/// A table's acid and another table's pH are not of the same fruit: without this bound a sour
/// acid beside the pH of a ripe fruit asks for more potassium than fruit holds.
pub(crate) fn metals_mol_kg(row: &Ingredient) -> Option<f64> {
    let of = |mg_per_100g: Option<f64>, g_mol: f64, charge: f64| Some(mg_per_100g? / g_mol * charge / 100.0);
    let metals = of(row.potassium_mg, 39.098, 1.0)?
        + of(row.sodium_mg, 22.990, 1.0)?
        + of(row.calcium_mg, 40.078, 2.0)?
        + of(row.magnesium_mg, 24.305, 2.0)?
        - of(row.phosphorus_mg, 30.974, 1.0)?;
    Some(metals.max(0.0))
}

/// One lot as drawn: `x` is amide, then the leaves.
fn drawn(nominal: &Lot, leaves: &[(Part, Id)], x: &[f64]) -> Lot {
    let mut lot = *nominal;
    lot.amide = x[0];
    for (&(part, _), &value) in leaves.iter().zip(&x[1..]) {
        lot.set(part, value);
    }
    lot
}

/// Strong ions [mmol/kg] from the lot's pH; `None` where no amount gives it.
pub(crate) fn strong_ions(
    graph: &mut Graph,
    row: &Ingredient,
    parts: &Parts,
    nominal: &Lot,
    leaves: &[(Part, Id)],
    ph: Id,
    amide: Id,
) -> Option<Id> {
    let mut inputs = vec![ph, amide];
    inputs.extend(leaves.iter().map(|&(_, id)| id));
    graph
        .compute(
            &format!("strong ions of {}", row.name),
            Unit::MillimolePerKilogram,
            &matter::STRONG_ION,
            &inputs,
            |x| {
                let food = parts.food(&drawn(nominal, leaves, &x[1..]));
                Ok::<_, MatterError>(1000.0 * matter::strong_ion_for_ph(&food, x[0], BENCH_C)?)
            },
        )
        .ok()
}

/// Acid of a titrated lot, over its nominal strength, and its strong ions where a pH is known.
///
/// # Errors
/// [`PlanError::Asked`] where no acid gives what was titrated.
#[expect(
    clippy::too_many_arguments,
    reason = "one call, everything it needs is at hand there"
)]
pub(crate) fn lot_acid(
    graph: &mut Graph,
    row: &Ingredient,
    titration: &Titration,
    parts: &Parts,
    nominal: &Lot,
    leaves: &[(Part, Id)],
    ph: Option<Id>,
    amide: Id,
) -> Result<(Id, Option<Id>), PlanError> {
    let name = format!(
        "titrated acidity of {} as {} acid",
        row.name,
        titration.counted_as.word()
    );
    let printed = &titration.g_per_100g;
    let mut leaf = cited_leaf(format!("titrated:{}", row.name), name, Unit::GramPer100Gram, printed);
    if let (Spread::Exact, Some(found)) = (leaf.spread, spread_of(row, Spreads::Acid)) {
        leaf.spread = spread(found, |over| printed.value * over);
    }
    let titrated = graph.leaf(leaf);
    let mut inputs = vec![titrated, amide];
    inputs.extend(leaves.iter().map(|&(_, id)| id));
    inputs.extend(ph);
    let counted_as = titration.counted_as;
    let own = row.sheet.as_ref().is_some_and(|sheet| sheet.titration.is_some());
    let combined_most = if own { None } else { metals_mol_kg(row) }.unwrap_or(f64::INFINITY);
    let solved = graph.solve_many(
        [
            (
                &format!("acid of {}, over what its titration is counted as", row.name),
                Unit::One,
            ),
            (&format!("strong ions of {}", row.name), Unit::MillimolePerKilogram),
        ],
        &TITRATED_LOT,
        &inputs,
        |x| {
            let lot = drawn(nominal, leaves, &x[1..=leaves.len() + 1]);
            let own_ph = ph.map(|_| x[x.len() - 1]);
            let [over, strong] = solve(parts, &lot, base_mol_kg(counted_as, x[0]), own_ph, combined_most)?;
            Ok::<_, MatterError>([over, 1000.0 * strong])
        },
    );
    match solved {
        Ok([over, strong]) => Ok((over, ph.map(|_| strong))),
        Err(error) => Err(PlanError::asked(
            format!(
                "{}: no amount of its acid gives {} % titrated as {} acid: {error}",
                row.name,
                titration.g_per_100g.value,
                counted_as.word()
            ),
            "look at titratable_acidity, and at the pH beside it, in the stores file",
        )),
    }
}

/// Acid over nominal and strong ions [mol/kg] of a lot that takes `base` [mol/kg] to pH 8.1, of
/// whose acid at most `combined_most` [mol/kg] was taken up before.
fn solve(
    parts: &Parts,
    lot: &Lot,
    base: f64,
    own_ph: Option<f64>,
    combined_most: f64,
) -> Result<[f64; 2], MatterError> {
    let titrate = |over: f64| -> Result<(f64, f64), MatterError> {
        let mut lot = *lot;
        lot.set(Part::AcidOver, over);
        let food = parts.food(&lot);
        let strong = match own_ph {
            Some(ph) => matter::strong_ion_for_ph(&food, ph, BENCH_C)?,
            None => 0.0,
        };
        let mut diluted = food;
        diluted.water_kg += DILUTED_IN;
        let at_the_end = matter::strong_ion_for_ph(&diluted, TITRATION_END_PH, BENCH_C)?;
        Ok((at_the_end - strong.min(combined_most), strong))
    };
    let (mut before, mut over) = (0.5, 1.0);
    let mut short_before = titrate(before)?.0 - base;
    for _ in 0..MAX_STEPS {
        let (takes, strong) = titrate(over)?;
        let short = takes - base;
        if short.abs() <= MET * base {
            return Ok([over, strong]);
        }
        let next = over - short * (over - before) / (short - short_before);
        (before, short_before) = (over, short);
        if !next.is_finite() || (next <= 0.0 && before <= 0.0) {
            break;
        }
        over = next.max(0.0);
    }
    Err(MatterError::NotSettled {
        solver: "titration",
        steps: MAX_STEPS,
        left: short_before,
    })
}

#[cfg(test)]
mod tests {
    use jarwright_reference::ingredient;

    use super::*;

    /// Lemon juice with its citric acid [g/100 g].
    fn juice(citric: f64) -> Option<(Parts, Lot)> {
        let parts = Parts::of(ingredient("lemon juice, fresh")?).ok()?;
        let mut lot = Lot::default();
        lot.acid_g[matter::Acid::Citric.index()] = citric;
        Some((parts, lot))
    }

    #[test]
    fn a_titration_of_a_known_juice_finds_its_acid_and_its_potassium_again() {
        let found = juice(4.6).and_then(|(parts, lot)| {
            let mut food = parts.food(&lot);
            food.strong_ion_mol = 0.03;
            let ph = matter::ph(&food, BENCH_C).ok()?;
            let mut diluted = food.clone();
            diluted.water_kg += DILUTED_IN;
            let end = matter::strong_ion_for_ph(&diluted, TITRATION_END_PH, BENCH_C).ok()?;
            let (other, start) = juice(3.5)?;
            solve(&other, &start, end - 0.03, Some(ph), f64::INFINITY).ok()
        });
        let Some([over, strong]) = found else {
            panic!("no answer")
        };
        assert!((over * 3.5 - 4.6).abs() < 1e-4, "{over}");
        assert!((strong - 0.03).abs() < 1e-5, "{strong}");
    }

    #[test]
    fn more_titrated_is_more_acid_and_a_higher_ph_is_more_potassium() {
        let of = |g, ph| {
            let (parts, lot) = juice(4.0)?;
            solve(&parts, &lot, base_mol_kg(Acid::Citric, g), Some(ph), f64::INFINITY).ok()
        };
        let (weak, strong, salty) = (of(4.0, 2.3), of(5.0, 2.3), of(4.0, 2.6));
        assert!(weak.zip(strong).is_some_and(|(weak, strong)| strong[0] > weak[0]));
        assert!(
            weak.zip(salty)
                .is_some_and(|(weak, salty)| salty[1] > weak[1] && salty[0] > weak[0])
        );
    }

    #[test]
    fn a_titration_of_nothing_is_refused_and_not_a_zero() {
        let Some((parts, lot)) = juice(4.0) else {
            panic!("no juice")
        };
        assert!(solve(&parts, &lot, f64::NAN, Some(2.3), f64::INFINITY).is_err());
        assert!(solve(&parts, &lot, 0.0, Some(2.3), f64::INFINITY).is_err());
    }
}
