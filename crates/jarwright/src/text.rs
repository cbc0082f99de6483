//! A plan as text a cook can read, in the order of the work.
//!
//! Only lays out what the plan holds: nothing is computed or decided here. `text/page.rs` wraps
//! lines; the sections stand in `text/keeping.rs`, `text/work.rs`, `text/bath.rs` and
//! `text/rest.rs`; a solution on the bench in `text/brine.rs`.

mod adjust;
mod assay;
mod bath;
mod bath_case;
mod brine;
pub mod cooling;
pub mod jar;
mod keeping;
pub mod page;
mod pot;
pub mod readings;
pub mod recipe;
mod rest;
pub mod sure;
mod work;

use std::path::PathBuf;

use jarwright_figure::Figure;
use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{BatchPlan, OrderLine};
use jarwright_papers::words;

pub use assay::assay;
pub use bath_case::bath_case;
pub use brine::brine;
use page::Page;
pub use pot::pot;

pub use adjust::adjustment;

/// The whole plan.
#[must_use]
pub fn plan(plan: &Plan) -> String {
    let mut page = Page::new();
    answer(&mut page, plan);
    keeping::verdicts(&mut page, plan);
    work::buying(&mut page, plan);
    work::batches(&mut page, plan);
    bath::loads(&mut page, plan);
    bath::process(&mut page, plan);
    rest::clock(&mut page, plan);
    rest::cost(&mut page, plan);
    rest::labels(&mut page, plan);
    keeping::cautions(&mut page, plan);
    page.gap();
    page.line(
        0,
        &format!(
            "Two numbers in brackets, \"(5 to 7)\": {}. --json gives every number with where it comes \
             from; `jarwright why KEY` shows an equation.",
            words::brackets_meaning()
        ),
    );
    page.text()
}

/// The list of sheets written.
#[must_use]
pub fn sheets(written: &[(PathBuf, String)]) -> String {
    let mut page = Page::new();
    page.gap();
    page.verbatim(
        0,
        if written.is_empty() {
            "No sheets to print."
        } else {
            "Sheets to print:"
        },
    );
    for (path, title) in written {
        page.verbatim(2, &path.display().to_string());
        page.line(6, title);
    }
    format!("\n{}", page.text())
}

fn answer(page: &mut Page, plan: &Plan) {
    let run = &plan.run;
    page.heading("Can it be done?");
    let clock = &plan.clock;
    match (&run.cannot, clock.met) {
        (Some(cannot), _) => {
            page.item(2, "No: ", &cannot.reason);
            for would in &cannot.would {
                page.item(2, "What would: ", would);
            }
        }
        (None, Some(false)) => page.item(2, "No: ", &format!("ready {}", clock.ready)),
        (None, _) => page.item(
            2,
            "Yes: ",
            &format!("start {}, ready to leave {}.", clock.starts, clock.ready),
        ),
    }
    for shut in plan
        .verdicts
        .iter()
        .filter(|v| v.route == "shelf" && v.state == "closed")
    {
        page.item(
            2,
            "But: ",
            &format!(
                "the shelf is CLOSED for {}. It leaves chilled or frozen, or not at all.",
                shut.formula
            ),
        );
    }
    if let Some(by) = &clock.by {
        page.item(2, "Wanted by ", &format!("{by}."));
    }
    page.list(2, &clock.findings);
    page.gap();
    for order in &run.orders {
        let batches = plan.batches.iter().find(|b| b.formula == order.formula);
        order_line(page, order, batches);
    }
    page.line(
        2,
        &format!(
            "{}, {} above sea level: water boils at {}. Rules of: {}, {}.",
            run.kitchen,
            words::figure(&run.altitude),
            words::figure(&run.water_boils),
            run.market,
            match run.for_use {
                "sale" => "for sale",
                "own-use" => "for the own table",
                other => other,
            }
        ),
    );
}

fn order_line(page: &mut Page, order: &OrderLine, batch: Option<&BatchPlan>) {
    page.line(
        2,
        &format!(
            "{} ({}), {} jars: {} promised, {} to start.",
            order.formula,
            order.food,
            order.jar,
            words::value(&order.ordered),
            words::value(&order.started)
        ),
    );
    if let Some(batch) = batch {
        let many = batch.numbers.1;
        let started = order.started.value;
        let spent = 2.0 * many as f64;
        page.line(
            4,
            &format!(
                "{started:.0} = {many} equal batches of {:.0}: {many} opened for their pH, {many} kept back, {:.0} to sell \
                 or to fail.",
                batch.jars.value,
                started - spent
            ),
        );
    }
    page.line(
        4,
        &format!(
            "Share of jars expected not to seal: {}; if each jar failed alone, {} good and bad would do, test jars apart. Chance of \
             enough good jars: {}.",
            share(&order.failure_rate),
            words::value(&order.started_if_independent),
            share(&order.chance)
        ),
    );
    if let Some(how) = &order.from_on_hand {
        page.line(4, how);
    }
}

/// A share as percent, whatever unit it was kept in.
fn share(figure: &Figure) -> String {
    if figure.unit == jarwright_figure::Unit::One {
        let percent = Figure {
            value: figure.value * 100.0,
            low: figure.low * 100.0,
            high: figure.high * 100.0,
            unit: jarwright_figure::Unit::Percent,
            ..figure.clone()
        };
        return words::figure(&percent);
    }
    words::figure(figure)
}

/// Numbers of things that are alike: `Batch 3`, `Batches 1 to 4`.
fn numbered(one: &str, many: &str, (first, last): (usize, usize)) -> String {
    if first == last {
        format!("{one} {first}")
    } else {
        format!("{many} {first} to {last}")
    }
}

/// Whether several formulas share the plan, so that each needs its name.
fn several(plan: &Plan) -> bool {
    plan.run.orders.len() > 1
}
