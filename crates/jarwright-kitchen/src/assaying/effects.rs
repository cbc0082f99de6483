//! What each line of a formula does: a tenth more of it, everything else as written.

use std::collections::BTreeMap;

use jarwright_figure::{Equation, Figure, Graph, Id, Unit};
use serde::Serialize;

use super::{AssayAsked, At, jar_of, staged};
use crate::PlanError;
use crate::assay::{Found, Sample, Steam, find, read};
use crate::files::{KitchenFile, Part, StoresFile};
use crate::jar_fill::infallible;
use crate::order::{Much, Order, Use, Wanted};
use crate::place::place;
use crate::property::Property;
use crate::setting::setting;
use crate::views;

/// What a tenth more of one line does.
pub static LINE_EFFECT: Equation = Equation {
    key: "line-effect",
    title: "What a tenth more of one line does",
    text: "effect = property(formula with 1.1 times the line) - property(formula as written), before the heat",
    source: "mass_balance",
};

/// Share of a line in the food.
pub static LINE_SHARE: Equation = Equation {
    key: "line-share",
    title: "Share of a line in what goes into the jars",
    text: "share = 100 mass of the line / mass of all lines",
    source: "mass_balance",
};

/// How much more of the line is tried, as a factor.
const MORE: f64 = 1.1;

/// What every line does.
#[derive(Debug, Clone, Serialize)]
pub struct Effects {
    /// One entry a line of the formula, in its order; a soak has none.
    pub lines: Vec<Option<LineEffect>>,
    /// Every quantity behind the figures, by handle.
    pub quantities: BTreeMap<String, Figure>,
}

/// What one line does.
#[derive(Debug, Clone, Serialize)]
pub struct LineEffect {
    /// Its mass.
    pub mass: Figure,
    /// Its share of everything, before the heat.
    pub share: Figure,
    /// A tenth more of it: soluble solids.
    pub brix: Option<Figure>,
    /// A tenth more of it: pH.
    pub ph: Option<Figure>,
    /// A tenth more of it: water activity.
    pub water_activity: Option<Figure>,
    /// A tenth more of it: where the food begins to boil.
    pub boils: Option<Figure>,
}

/// Properties whose change is told.
const TOLD: [Property; 4] = [Property::Brix, Property::Ph, Property::WaterActivity, Property::BoilsAt];

/// What each line does to the food before the heat, without bands.
///
/// # Errors
/// Those of [`super::assay_formula`].
pub fn line_effects(asked: &AssayAsked, kitchen: &KitchenFile, stores: &StoresFile) -> Result<Effects, PlanError> {
    let mut graph = Graph::with_samples(0);
    let place = place(&mut graph, kitchen, asked.altitude_m, asked.barometer)?;
    let wanted = Wanted {
        formula: asked.formula.clone(),
        much: Much::Jars(1),
        jar: jar_of(asked, kitchen)?,
    };
    let order = Order {
        lines: vec![wanted.clone()],
        by: None,
        now: asked.now,
        for_use: Use::OwnUse,
        market: asked.market,
        altitude_m: asked.altitude_m,
        bath_start_c: None,
    };
    let set = setting(&mut graph, &order, &wanted, kitchen, stores, &place)?;
    let weighed = AssayAsked {
        at: At::Weighed,
        ..asked.clone()
    };
    let staged = staged(&mut graph, &set, &weighed)?;
    let masses = staged.masses_g;
    let food = |masses_g: &[Id], graph: &mut Graph| -> Result<Found, PlanError> {
        let sample = Sample {
            mixture: &set.mixture,
            masses_g,
            steam: Steam::Nothing,
            inverted: None,
            at_c: staged.at_c,
            pressure_pa: Some(place.pressure),
        };
        read(graph, &sample, &TOLD)
    };
    let before = food(&masses, &mut graph)?;
    let mut told = Vec::with_capacity(masses.len());
    let mut handles = Vec::new();
    for i in 0..masses.len() {
        let more = infallible(
            graph.compute("a tenth more", Unit::Gram, &LINE_EFFECT, &[masses[i]], |x| {
                Ok(MORE * x[0])
            }),
        );
        let mut changed = masses.clone();
        changed[i] = more;
        let after = food(&changed, &mut graph)?;
        let mut effect = |property: Property, graph: &mut Graph| -> Option<Figure> {
            let (before, after) = (find(&before, property).ok()?, find(&after, property).ok()?);
            let unit = match property.output().unit {
                Unit::Celsius => Unit::Kelvin,
                other => other,
            };
            let name = "what a tenth more does";
            let id = infallible(graph.compute(name, unit, &LINE_EFFECT, &[before, after], |x| Ok(x[1] - x[0])));
            handles.push(id.to_string());
            Some(graph.figure(id))
        };
        let [brix, ph, water_activity, boils] = TOLD.map(|property| effect(property, &mut graph));
        let mut inputs = vec![masses[i]];
        inputs.extend(&masses);
        let share = infallible(
            graph.compute("share of the line", Unit::Percent, &LINE_SHARE, &inputs, |x| {
                Ok(100.0 * x[0] / x[1..].iter().sum::<f64>())
            }),
        );
        handles.extend([share.to_string(), masses[i].to_string()]);
        told.push(LineEffect {
            mass: graph.figure(masses[i]),
            share: graph.figure(share),
            brix,
            ph,
            water_activity,
            boils,
        });
    }
    // The food's lines are the formula's without what is soaked and thrown away.
    let mut told = told.into_iter();
    let lines = set
        .lines
        .iter()
        .map(|line| (line.written.part != Some(Part::Soak)).then(|| told.next()).flatten())
        .collect();
    Ok(Effects {
        lines,
        quantities: views::reachable_from(&graph, &handles),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::{read_formula, read_kitchen};
    use crate::order::Law;
    use jiff::civil::date;

    const KITCHEN: &str = include_str!("../../../../demo/kitchen.toml");
    const CURD: &str = include_str!("../../../../demo/formulas/lime-curd.toml");

    fn effects() -> Result<Effects, String> {
        let told = |problems: Vec<crate::files::Problem>| problems[0].to_string();
        let kitchen = read_kitchen("kitchen", KITCHEN).map_err(told)?;
        let asked = AssayAsked {
            formula: read_formula("curd", CURD).map_err(told)?,
            at: At::Filled,
            at_c: None,
            thermometer_c: None,
            jar: None,
            market: Law::Us,
            now: date(2026, 11, 25).at(8, 0, 0, 0),
            altitude_m: None,
            barometer: None,
        };
        line_effects(&asked, &kitchen, &StoresFile::default()).map_err(|error| error.to_string())
    }

    #[test]
    fn sugar_sweetens_juice_sours_and_shares_make_a_whole() -> Result<(), String> {
        let effects = effects()?;
        let line = |i: usize| effects.lines[i].as_ref().ok_or("no effect");
        let value = |figure: &Option<Figure>| figure.as_ref().map_or(f64::NAN, |f| f.value);
        let (sugar, juice) = (line(0)?, line(2)?);
        assert!(value(&sugar.brix) > 0.0 && value(&sugar.water_activity) < 0.0 && value(&sugar.boils) > 0.0);
        assert!(value(&juice.ph) < 0.0 && value(&juice.brix) < 0.0);
        let whole: f64 = effects.lines.iter().flatten().map(|line| line.share.value).sum();
        assert!((whole - 100.0).abs() < 1e-9, "{whole}");
        Ok(())
    }
}
