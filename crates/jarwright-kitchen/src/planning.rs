//! From an order to a plan: one walk, formula by formula, then what they share.
//!
//! Follow one formula: `work` resolves its lines, chooses pot and batch, loads the bath, asks
//! the schedules, the physics and the rules. [`plan_order`] lays all batches on one clock and
//! gathers buying and cost. Read next: `batching.rs` (the fixed point), `inside.rs`, `verdict.rs`.

use std::collections::BTreeMap;
use std::sync::Arc;

use jarwright_figure::Graph;

use crate::buying::{self, Needs};
use crate::cautions;
use crate::clock;
use crate::costing;
use crate::departing::{Planned, PlannedJar};
use crate::files::{KitchenFile, StoresFile};
use crate::order::{Order, Wanted};
use crate::place::place;
use crate::plan::{Cannot, Plan, Run};
use crate::timing;
use crate::watching::PlannedPot;
use crate::work::work;
use crate::worked::Work;
use crate::{PlanError, views};

/// Number of formulas on one bath in one run.
const MOST_FORMULAS: usize = 20;

/// Plans an order.
///
/// # Errors
/// [`PlanError`]: what was asked cannot be read (exit 2), or cannot be met here (exit 3). A run
/// that can be cooked but misses its deadline is a plan with [`Run::cannot`] set.
pub fn plan_order(order: &Order, kitchen: &KitchenFile, stores: &StoresFile) -> Result<Plan, PlanError> {
    Ok(plan_with_jars(order, kitchen, stores)?.plan)
}

/// Plans an order, with its jars and its pots to be asked again.
///
/// # Errors
/// As [`plan_order`].
pub fn plan_with_jars(order: &Order, kitchen: &KitchenFile, stores: &StoresFile) -> Result<Planned, PlanError> {
    if order.lines.is_empty() || order.lines.len() > MOST_FORMULAS {
        return Err(PlanError::asked(
            format!("{} formulas in one run", order.lines.len()),
            format!("give 1 to {MOST_FORMULAS}"),
        ));
    }
    check_numbers(order)?;
    let mut graph = Graph::new();
    let place = place(&mut graph, kitchen, order.altitude_m, None)?;
    let lines = told_apart(&order.lines)?;
    let works: Vec<Work> = lines
        .iter()
        .map(|wanted| work(&mut graph, order, wanted, kitchen, stores, &place))
        .collect::<Result<_, _>>()?;

    let jars: usize = works.iter().map(|w| w.size.started).sum();
    let timing = timing::timing(&mut graph, order, kitchen, &works).map_err(|e| PlanError::clock(&e, jars))?;
    let lots = timing::lots(&timing, &works);

    let mut needs: Needs = BTreeMap::new();
    for work in &works {
        buying::add_needs(&mut graph, work, &mut needs);
    }
    let mut buy = buying::list(&mut graph, &needs, stores);
    buy.extend(buying::jars(&mut graph, &works, kitchen));
    let cost = costing::sheets(&mut graph, kitchen, stores, &works, &timing, &place)?;
    let clock_view = timing.view(&mut graph, order, &works);

    let mut plan = Plan {
        run: Run {
            kitchen: kitchen.name.clone(),
            currency: kitchen.currency.clone(),
            for_use: order.for_use.word(),
            market: order.market.word(),
            altitude: graph.figure(place.altitude),
            water_boils: graph.figure(place.water_boils),
            orders: works.iter().map(|w| views::order_line(&mut graph, w)).collect(),
            cannot: cannot(order, &timing),
        },
        weigh: works
            .iter()
            .map(|w| views::weighing(&mut graph, w, kitchen.scale_step_g))
            .collect(),
        stages: works.iter().flat_map(|w| views::stages(&mut graph, w)).collect(),
        batches: works.iter().map(|w| views::batch(&mut graph, w)).collect(),
        loads: works
            .iter()
            .filter(|w| w.hold.is_some())
            .map(|w| views::load(&mut graph, w))
            .collect(),
        process: works.iter().map(|w| views::process(&mut graph, w, &place)).collect(),
        verdicts: works.iter().flat_map(|w| w.verdicts.clone()).collect(),
        clock: clock_view,
        cost,
        buy,
        cautions: cautions::of_run(works.iter().any(|w| w.hold.is_some()))
            .into_iter()
            .chain(works.iter().flat_map(|w| w.cautions.clone()))
            .collect(),
        labels: works
            .iter()
            .zip(lots)
            .map(|(w, lots)| views::label(&graph, w, order, lots, &timing))
            .collect(),
        quantities: BTreeMap::new(),
    };
    plan.quantities = views::reachable(&graph, &plan);
    let graph = Arc::new(graph);
    let works: Vec<Arc<Work>> = works.into_iter().map(Arc::new).collect();
    let jars = works.iter().map(|work| PlannedJar::new(&graph, work, &place)).collect();
    let pots = works.iter().map(|work| PlannedPot::new(&graph, work, &place)).collect();
    Ok(Planned { plan, jars, pots })
}

/// Numbers of the order that no thermometer or map shows.
fn check_numbers(order: &Order) -> Result<(), PlanError> {
    if order.bath_start_c.is_some_and(|c| !(0.0..=110.0).contains(&c)) {
        return Err(PlanError::asked(
            "a bath that starts below 0 °C or above 110 °C",
            "give --bath-start-c between 0 and 110",
        ));
    }
    if order.altitude_m.is_some_and(|m| !(-450.0..=6000.0).contains(&m)) {
        return Err(PlanError::asked(
            "a height that no kitchen has",
            "give --altitude-m between -450 and 6000",
        ));
    }
    Ok(())
}

/// Formulas by names of their own: the same one in two jars takes the jar into its name.
///
/// Names are keys of the plan's quantities; two formulas under one would share their minutes.
fn told_apart(lines: &[Wanted]) -> Result<Vec<Wanted>, PlanError> {
    let twice = |name: &str| {
        lines
            .iter()
            .filter(|w| w.formula.name.eq_ignore_ascii_case(name))
            .count()
            > 1
    };
    let mut out: Vec<Wanted> = Vec::with_capacity(lines.len());
    for wanted in lines {
        let mut wanted = wanted.clone();
        if twice(&wanted.formula.name) {
            wanted.formula.name = format!("{} ({})", wanted.formula.name, wanted.jar);
        }
        if out
            .iter()
            .any(|w| w.formula.name.eq_ignore_ascii_case(&wanted.formula.name))
        {
            return Err(PlanError::asked(
                format!("\"{}\" is in the order twice, in the same jar", wanted.formula.name),
                "order it once, or give the other formula a name of its own",
            ));
        }
        out.push(wanted);
    }
    Ok(out)
}

/// Why the deadline is missed, and what would do.
fn cannot(order: &Order, timing: &timing::Timing) -> Option<Cannot> {
    let by = order.by?;
    if timing.met {
        return None;
    }
    Some(Cannot {
        reason: format!(
            "the earliest this run can leave the kitchen is {}, after {}",
            clock::words(timing.layout.ready),
            clock::words(by)
        ),
        would: timing.would.clone(),
    })
}
