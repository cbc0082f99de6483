//! What one sold jar costs: everything started is paid for, only what is sold brings money.

use jarwright_figure::{Equation, Graph, Unit};

use crate::PlanError;
use crate::buying::price_per_g;
use crate::files::{KitchenFile, StoresFile};
use crate::jar_fill::infallible;
use crate::plan::CostSheet;
use crate::timing::Timing;
use crate::work::Work;

/// Ingredients of a run, per sold jar.
pub static INGREDIENT_COST: Equation = Equation {
    key: "ingredient-cost",
    title: "Ingredients of one sold jar",
    text: "c = sum over lines of (mass used x price as purchased / yield) / jars",
    source: "bccampus_kitchen_management",
};

/// Labour of one jar.
pub static LABOUR_COST: Equation = Equation {
    key: "labour-cost",
    title: "Labour of one jar",
    text: "c = people x hours of the run x rate / jars started",
    source: "bccampus_kitchen_management",
};

/// Energy of one jar.
pub static ENERGY_COST: Equation = Equation {
    key: "energy-cost",
    title: "Energy of one jar",
    text: "c = (heat into pot / burner's share + heat into bath / burner's share) x price / jars started",
    source: "heat_balance",
};

/// One sold jar.
pub static SOLD_JAR: Equation = Equation {
    key: "sold-jar",
    title: "Cost of one sold jar",
    text: "c_sold = c_started x started / ordered",
    source: "bccampus_kitchen_management",
};

/// One cost sheet a formula.
pub(crate) fn sheets(
    graph: &mut Graph,
    kitchen: &KitchenFile,
    stores: &StoresFile,
    works: &[Work],
    timing: &Timing,
) -> Result<Vec<CostSheet>, PlanError> {
    let minutes = |w: &Work, graph: &Graph| w.size.batches as f64 * graph.value(w.load.cycle).max(graph.value(w.batch.cook_min) + graph.value(w.fill_min));
    let all_minutes: f64 = works.iter().map(|w| minutes(w, graph)).sum();
    let mut sheets = Vec::new();
    for work in works {
        let started = graph.entered(&format!("started:{}", work.formula.name), "jars started", Unit::Count, work.size.started as f64, "the plan");
        let ordered = graph.entered(&format!("ordered:{}", work.formula.name), "jars sold", Unit::Count, work.size.ordered as f64, "the order");
        let per_batch = work.size.per_batch as f64;
        let mut unpriced = Vec::new();
        let mut priced = Vec::new();
        for (line, mass) in work.in_batch() {
            let name = &line.ingredient.name;
            match price_per_g(stores, name) {
                Some(price) => {
                    let id = graph.entered(&format!("price:{name}"), &format!("price of a gram of {name}, trim counted"), Unit::Money, price, "stores file");
                    priced.push((mass, id));
                }
                None if line.ingredient.kind == jarwright_reference::Kind::Water => {}
                None => unpriced.push(name.clone()),
            }
        }
        let ids: Vec<_> = priced.iter().flat_map(|&(m, p)| [m, p]).collect();
        let ingredients = infallible(graph.compute("ingredients of a jar", Unit::Money, &INGREDIENT_COST, &ids, |x| {
            Ok(x.chunks_exact(2).map(|p| p[0] * p[1]).sum::<f64>() / per_batch)
        }));
        let stock = kitchen.jars.iter().find(|j| jarwright_reference::jar(&j.size).is_some_and(|row| row.name == work.jar_name));
        let jar_price = stock.map_or(0.0, |j| j.price.units() + j.lid_price.units());
        if stock.is_none() {
            unpriced.push(format!("{} jar and lid", work.jar_name));
        }
        let jar = graph.entered(&format!("jar-price:{}", work.jar_name), "jar and lid", Unit::Money, jar_price, "kitchen file");
        let rate = graph.entered("rate", "labour", Unit::MoneyPerHour, kitchen.labour_per_hour.units(), "kitchen file");
        let people = graph.entered("people", "people", Unit::Count, f64::from(kitchen.people), "kitchen file");
        let share = if all_minutes > 0.0 { minutes(work, graph) / all_minutes } else { 1.0 };
        let hours = graph.decide("hours of the run for this formula", Unit::Hour, &crate::timing::RUN_TIME, &[work.batch.cook_min, work.load.cycle], timing.working_min / 60.0 * share);
        let labour = infallible(graph.compute("labour of a jar", Unit::Money, &LABOUR_COST, &[people, hours, rate, started], |x| Ok(x[0] * x[1] * x[2] / x[3])));
        let tariff = graph.entered("tariff", "energy", Unit::MoneyPerKilowattHour, kitchen.energy_per_kwh.units(), "kitchen file");
        let batches = work.size.batches as f64;
        let energy = infallible(graph.compute(
            "energy of a jar",
            Unit::Money,
            &ENERGY_COST,
            &[work.batch.energy_kwh, work.efficiency, work.load.energy_kwh, work.bath_efficiency, tariff, started],
            |x| Ok((x[0] / x[1] + x[2] / x[3]) * batches * x[4] / x[5]),
        ));
        let sold = infallible(graph.compute("one sold jar", Unit::Money, &SOLD_JAR, &[ingredients, jar, labour, energy, started, ordered], |x| {
            Ok((x[0] + x[1] + x[2] + x[3]) * x[4] / x[5])
        }));
        let losses = infallible(graph.compute("jars started and not sold", Unit::Money, &SOLD_JAR, &[ingredients, jar, labour, energy, started, ordered], |x| {
            Ok((x[0] + x[1] + x[2] + x[3]) * (x[4] / x[5] - 1.0))
        }));
        sheets.push(CostSheet {
            formula: work.formula.name.clone(),
            ingredients: graph.figure(ingredients),
            jar: graph.figure(jar),
            labour: graph.figure(labour),
            energy: graph.figure(energy),
            losses: graph.figure(losses),
            sold_jar: graph.figure(sold),
            unpriced,
        });
    }
    Ok(sheets)
}
