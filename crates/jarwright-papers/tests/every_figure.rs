//! Every figure of every view has a "why?": down to what was entered, measured or published, each
//! equation on the way registered and set as mathematics, each limit explaining itself.

use std::collections::{BTreeMap, BTreeSet};

use jarwright_figure::{BasisView, Equation, Figure};
use jarwright_kitchen::adjust::{Request, Target, adjust};
use jarwright_kitchen::assaying::effects::line_effects;
use jarwright_kitchen::assaying::{AssayAsked, At, assay_formula};
use jarwright_kitchen::files::{FormulaFile, KitchenFile, StoresFile, read_formula_with, read_kitchen, read_stores};
use jarwright_kitchen::{Departure, Law, Much, Order, Use, Wanted, here, plan_order, plan_with_jars};
use jarwright_papers::mathematics;
use jarwright_papers::why::{Below, Bounds, Step, lines, page, walk};
use roxmltree::Document;
use serde_json::Value;

type Any = Box<dyn std::error::Error>;

const KITCHEN: &str = include_str!("../../../demo/kitchen.toml");
const STORES: &str = include_str!("../../../demo/stores.toml");
/// Formula, jar, what an adjustment is asked for.
const FORMULAS: [(&str, &str, &str); 4] = [
    (
        include_str!("../../../demo/formulas/lime-curd.toml"),
        "half-pint",
        "fat 12",
    ),
    (
        include_str!("../../../demo/formulas/passion-fruit-curd.toml"),
        "half-pint",
        "brix 45",
    ),
    (
        include_str!("../../../demo/formulas/apricot-jam.toml"),
        "half-pint",
        "brix 68",
    ),
    (
        include_str!("../../../demo/formulas/dill-pickles.toml"),
        "pint",
        "acidity 1",
    ),
];
const NOW: &str = "2026-11-25T06:00:00";

/// An answer as it is shown, and everything behind it.
struct View {
    name: String,
    shown: Value,
    quantities: BTreeMap<String, Figure>,
}

struct Demo {
    kitchen: KitchenFile,
    stores: StoresFile,
}

impl Demo {
    fn new() -> Result<Self, Any> {
        let told = |problems: Vec<jarwright_kitchen::files::Problem>| format!("{problems:?}");
        Ok(Self {
            kitchen: read_kitchen("kitchen.toml", KITCHEN).map_err(told)?,
            stores: read_stores("stores.toml", STORES).map_err(told)?,
        })
    }

    fn formula(&self, text: &str) -> Result<FormulaFile, Any> {
        Ok(read_formula_with("formula.toml", text, Some(&self.stores)).map_err(|problems| format!("{problems:?}"))?)
    }

    fn order(&self, market: Law, for_use: Use, altitude_m: Option<f64>) -> Result<Order, Any> {
        let lines = FORMULAS
            .iter()
            .map(|(text, jar, _)| {
                Ok(Wanted {
                    formula: self.formula(text)?,
                    much: Much::Jars(9),
                    jar: (*jar).to_owned(),
                })
            })
            .collect::<Result<_, Any>>()?;
        Ok(Order {
            lines,
            by: None,
            now: NOW.parse()?,
            for_use,
            market,
            altitude_m,
            bath_start_c: None,
        })
    }

    fn plan(&self, market: Law, for_use: Use, altitude_m: Option<f64>) -> Result<View, Any> {
        let order = self.order(market, for_use, altitude_m)?;
        let plan = plan_order(&order, &self.kitchen, &self.stores)?;
        Ok(View {
            name: format!("plan, {} {}", market.word(), for_use.word()),
            shown: serde_json::to_value(&plan)?,
            quantities: plan.quantities,
        })
    }

    /// Every jar of a plan, as planned and with one thing after the other changed.
    fn departures(&self) -> Result<Vec<View>, Any> {
        const RUNS: usize = 128;
        let order = self.order(Law::Us, Use::OwnUse, Some(1100.0))?;
        let planned = plan_with_jars(&order, &self.kitchen, &self.stores)?;
        let changes = [
            Departure::default(),
            Departure {
                fill_c: Some(66.0),
                bath_start_c: Some(91.0),
                ..Departure::default()
            },
            Departure {
                come_up_min: Some(20.0),
                hold_min: Some(12.0),
                altitude_m: Some(2100.0),
                ..Departure::default()
            },
            Departure {
                jar: Some("pint".into()),
                ..Departure::default()
            },
            Departure {
                inner_radius_mm: Some(35.0),
                ..Departure::default()
            },
        ];
        let mut views = Vec::new();
        for (jar, change) in planned
            .jars
            .iter()
            .flat_map(|jar| changes.iter().map(move |c| (jar, c)))
        {
            views.push(View {
                name: format!("{} with {change:?}", jar.formula()),
                shown: serde_json::to_value(jar.depart(change, RUNS)?)?,
                quantities: jar.quantities(change, RUNS)?,
            });
        }
        Ok(views)
    }

    fn asked(&self, text: &str, at: At) -> Result<AssayAsked, Any> {
        Ok(AssayAsked {
            formula: self.formula(text)?,
            at,
            at_c: None,
            thermometer_c: Some(104.0).filter(|_| at == At::Cooked && text.contains("jam")),
            jar: None,
            market: Law::Us,
            now: NOW.parse()?,
            altitude_m: None,
            barometer: None,
        })
    }

    fn assay(&self, text: &str, at: At) -> Result<View, Any> {
        let sheet = assay_formula(&self.asked(text, at)?, &self.kitchen, &self.stores)?;
        Ok(View {
            name: format!("assay of {}, {}", sheet.formula, sheet.stage),
            shown: serde_json::to_value(&sheet)?,
            quantities: sheet.quantities,
        })
    }

    fn effects(&self, text: &str) -> Result<View, Any> {
        let effects = line_effects(&self.asked(text, At::Filled)?, &self.kitchen, &self.stores)?;
        Ok(View {
            name: "what each line does".into(),
            shown: serde_json::to_value(&effects)?,
            quantities: effects.quantities,
        })
    }

    fn adjustment(&self, text: &str, to: &str) -> Result<View, Any> {
        let request = Request {
            targets: vec![Target::parse(to)?],
            ..Request::new(self.formula(text)?, NOW.parse()?)
        };
        let answer = adjust(&request, &self.kitchen, &self.stores)?;
        Ok(View {
            name: format!("adjustment of {} to {to}", answer.formula),
            shown: serde_json::to_value(&answer)?,
            quantities: answer.quantities,
        })
    }

    fn here(&self) -> Result<View, Any> {
        let here = here(&self.kitchen, None)?;
        let shown = [&here.altitude, &here.air_pressure, &here.water_boils];
        Ok(View {
            name: "where the kitchen stands".into(),
            shown: serde_json::to_value(shown)?,
            quantities: here.quantities,
        })
    }

    fn views(&self) -> Result<Vec<View>, Any> {
        let mut views = vec![
            self.here()?,
            self.plan(Law::Us, Use::OwnUse, None)?,
            self.plan(Law::Uk, Use::Sale, Some(1700.0))?,
        ];
        views.extend(self.departures()?);
        for (text, _, to) in FORMULAS {
            for at in [At::Weighed, At::Cooked, At::Filled] {
                views.push(self.assay(text, at)?);
            }
            views.push(self.effects(text)?);
            views.push(self.adjustment(text, to)?);
        }
        Ok(views)
    }
}

fn registry() -> BTreeMap<&'static str, &'static Equation> {
    [
        jarwright_matter::EQUATIONS,
        jarwright_heat::EQUATIONS,
        jarwright_dose::EQUATIONS,
        jarwright_kitchen::EQUATIONS,
    ]
    .concat()
    .into_iter()
    .map(|equation| (equation.key, equation))
    .collect()
}

/// Every figure shown, wherever it stands in the answer.
fn shown<'v>(value: &'v Value, found: &mut Vec<&'v Value>) {
    match value {
        Value::Object(map)
            if ["id", "value", "unit", "basis"]
                .iter()
                .all(|key| map.contains_key(*key)) =>
        {
            found.push(value);
        }
        Value::Object(map) => map
            .iter()
            .filter(|(key, _)| *key != "quantities")
            .for_each(|(_, value)| shown(value, found)),
        Value::Array(list) => list.iter().for_each(|value| shown(value, found)),
        _ => {}
    }
}

/// What is wrong with a figure's "why?"; nothing where all of it is there.
fn faults(
    handle: &str,
    quantities: &BTreeMap<String, Figure>,
    equations: &BTreeMap<&'static str, &'static Equation>,
) -> Vec<String> {
    let Some(figure) = quantities.get(handle) else {
        return vec![format!("{handle} is not among the quantities")];
    };
    let mut faults = Vec::new();
    told(
        &walk(figure, quantities, Bounds::LEAVES),
        quantities,
        equations,
        &mut faults,
    );
    faults
}

fn told(
    step: &Step<'_>,
    quantities: &BTreeMap<String, Figure>,
    equations: &BTreeMap<&'static str, &'static Equation>,
    faults: &mut Vec<String>,
) {
    let figure = step.figure;
    let mut fault = |what: String| faults.push(format!("{} ({}): {what}", figure.id, figure.name));
    if figure.name.trim().is_empty() {
        fault("has no name".into());
    }
    match &figure.basis {
        BasisView::Computed {
            equation, text, source, ..
        } => {
            match equations.get(equation) {
                None => fault(format!("{equation} is not registered")),
                Some(registered) if registered.text != *text => fault(format!("{equation} reads otherwise")),
                Some(_) => {}
            }
            let set = mathematics::equation(text).into_string();
            // Words stand as words in it, but something has to be equal to something.
            let signs = |document: &Document| document.descendants().any(|node| node.has_tag_name("mo"));
            if !Document::parse(&set).is_ok_and(|d| d.root_element().has_tag_name("math") && signs(&d)) {
                fault(format!("{equation} is no mathematics"));
            }
            if jarwright_reference::source(source).is_none() {
                fault(format!("{source} is not on file"));
            }
            if step.inputs.is_empty() {
                fault(format!("{equation} took nothing"));
            }
        }
        BasisView::Published { source, place, mark } => {
            if jarwright_reference::source(source).is_none() || place.is_empty() || mark.is_empty() {
                fault(format!("{source}, {place} [{mark}] is no document with place and mark"));
            }
        }
        BasisView::Measured { instrument, by } => {
            if instrument.is_empty() || by.is_empty() {
                fault("was measured by nobody".into());
            }
        }
        BasisView::Entered { by } => {
            // What the program chose for itself has an equation; nobody entered it.
            if by.trim().is_empty() || by.contains("the plan") || by.contains("the program") {
                fault(format!("was entered by \"{by}\""));
            }
        }
    }
    if step.limits.len() != figure.limits.len() {
        fault("a limit is not among the quantities".into());
    }
    for cause in &figure.causes {
        let leaf = quantities.get(&cause.id.to_string());
        if leaf.is_none_or(|leaf| matches!(leaf.basis, BasisView::Computed { .. })) {
            fault(format!("{} moves it and is no leaf", cause.name));
        }
    }
    for limit in &step.limits {
        if limit.figure.unit != figure.unit {
            fault(format!("{} is a limit in another unit", limit.figure.name));
        }
    }
    for input in &step.inputs {
        match input {
            Below::Step(below) => told(below, quantities, equations, faults),
            Below::Told(_) => {}
            Below::Further(figure) => faults.push(format!("{} is never reached", figure.id)),
            Below::Missing(input) => faults.push(format!("{} ({}) is nowhere", input.id, input.name)),
        }
    }
}

#[test]
fn every_figure_of_every_view_walks_to_what_was_entered_measured_or_published() -> Result<(), Any> {
    let equations = registry();
    let mut all = BTreeSet::new();
    let mut walked = 0;
    for View {
        name,
        shown: answer,
        quantities,
    } in Demo::new()?.views()?
    {
        let mut figures = Vec::new();
        shown(&answer, &mut figures);
        assert!(figures.len() >= 3, "{name} shows {} figures", figures.len());
        for figure in figures {
            let handle = figure["id"].as_str().ok_or("no handle")?;
            walked += 1;
            all.extend(
                faults(handle, &quantities, &equations)
                    .into_iter()
                    .map(|fault| format!("{name}: {fault}")),
            );
            // What is shown is what is explained.
            let behind = quantities.get(handle).map(serde_json::to_value).transpose()?;
            let same = |key: &str| behind.as_ref().is_some_and(|behind| behind[key] == figure[key]);
            if !["name", "value", "unit", "low", "high"].into_iter().all(same) {
                all.insert(format!("{name}: {handle} is shown as another figure than it explains"));
            }
        }
        // Limits explain themselves too.
        for limit in quantities.values().flat_map(|figure| &figure.limits) {
            all.extend(faults(&limit.id.to_string(), &quantities, &equations));
        }
    }
    assert!(walked > 900, "{walked}");
    let all: Vec<String> = all.into_iter().collect();
    assert!(all.is_empty(), "{}", all.join("\n"));
    Ok(())
}

#[test]
fn a_chain_that_breaks_or_an_equation_that_is_not_registered_is_found() -> Result<(), Any> {
    let view = Demo::new()?.assay(FORMULAS[0].0, At::Filled)?;
    let ph = view.shown["ph"]["id"].as_str().ok_or("no pH")?;
    let whole = registry();
    assert!(faults(ph, &view.quantities, &whole).is_empty());
    let BasisView::Computed { equation, inputs, .. } = &view.quantities[ph].basis else {
        return Err("the pH is computed".into());
    };
    let mut less = whole.clone();
    less.remove(equation);
    assert!(
        faults(ph, &view.quantities, &less)
            .iter()
            .any(|fault| fault.contains("is not registered"))
    );
    let mut broken = view.quantities.clone();
    broken.remove(&inputs[0].id.to_string());
    assert!(
        faults(ph, &broken, &whole)
            .iter()
            .any(|fault| fault.contains("is nowhere"))
    );
    assert!(!faults("q999999", &view.quantities, &whole).is_empty());
    Ok(())
}

#[test]
fn figures_that_rules_ask_for_are_held_against_the_rules_numbers() -> Result<(), Any> {
    let plan = Demo::new()?.plan(Law::Us, Use::Sale, None)?;
    let limits_of = |path: &str| -> Result<Vec<(String, f64, Figure)>, Any> {
        let handle = plan
            .shown
            .pointer(path)
            .and_then(Value::as_str)
            .ok_or(path.to_owned())?;
        let figure = plan.quantities.get(handle).ok_or("no figure")?;
        Ok(figure
            .limits
            .iter()
            .filter_map(|limit| {
                let own = plan.quantities.get(&limit.id.to_string())?;
                Some((limit.bound.words().to_owned(), limit.value, own.clone()))
            })
            .collect())
    };
    let curd = plan.shown["stages"]
        .as_array()
        .ok_or("no stages")?
        .iter()
        .position(|stage| stage["stage"] == "filled" && stage["assay"]["ph"].is_object())
        .ok_or("no filled curd")?;
    // 21 CFR 114.3: low-acid food has a finished equilibrium pH above 4.6 and a water activity
    // above 0.85.
    for (key, value) in [("ph", 4.6), ("water_activity", 0.85)] {
        let limits = limits_of(&format!("/stages/{curd}/assay/{key}/id"))?;
        let of_the_law = limits
            .iter()
            .find(|(bound, limit, _)| bound == "at most" && (*limit - value).abs() < 1e-9);
        let (_, _, own) = of_the_law.ok_or_else(|| format!("{key}: {limits:?}"))?;
        let cited = matches!(&own.basis, BasisView::Published { source, place, mark }
            if source == "cfr21_114" && place.starts_with("114.3") && *mark == "seen");
        assert!(cited, "{own:?}");
    }
    Ok(())
}

#[test]
fn every_why_of_a_plan_is_a_well_formed_page_and_the_text_tells_as_much() -> Result<(), Any> {
    let plan = Demo::new()?.plan(Law::Us, Use::OwnUse, None)?;
    for figure in plan.quantities.values() {
        let step = walk(figure, &plan.quantities, Bounds { depth: 1, figures: 40 });
        let fragment = page(&step, "EUR", &|handle| Some(format!("/why/{handle}"))).into_string();
        let document = Document::parse(&fragment).map_err(|fault| format!("{}: {fault}", figure.id))?;
        let computed = matches!(figure.basis, BasisView::Computed { .. });
        let mathematics = document.descendants().find(|node| node.has_tag_name("math"));
        assert!(
            !computed || mathematics.is_some_and(|math| math.has_attribute("alttext")),
            "{}",
            figure.id
        );
        let text = lines(&step, "EUR");
        assert!(
            text.len() > 1 && text.iter().all(|line| !line.words.trim().is_empty()),
            "{}",
            figure.id
        );
    }
    Ok(())
}

#[test]
fn a_departed_jars_dose_names_what_its_band_comes_from() -> Result<(), Any> {
    let departures = Demo::new()?.departures()?;
    let curd = departures.get(1).ok_or("no departure")?;
    let dose = curd.shown["spot"]["heating"]["minutes"]["id"]
        .as_str()
        .ok_or("no dose")?;
    let causes = &curd.quantities[dose].causes;
    assert!(!causes.is_empty(), "{:?}", curd.quantities[dose]);
    Ok(())
}
