//! The weighing sheet: one page a batch, from scale to pot.

use jarwright_figure::{Figure, Unit};
use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{BatchPlan, WeighLine, WeighingSheet};
use maud::{Markup, html};

use crate::sheet::{blank, cautions, document, foot, head, slug, stacked, tick};
use crate::{Sheet, words};

/// Most batches of one formula; an order this large is the wrong size for a kitchen.
const MOST_BATCHES: usize = 5_000;

/// More lines than this are set closer, to keep a batch on its page.
const DENSE_FROM: usize = 9;

/// One document a formula, one page a batch.
pub(crate) fn sheets(plan: &Plan) -> Vec<Sheet> {
    plan.weigh.iter().map(|sheet| of_formula(plan, sheet)).collect()
}

fn of_formula(plan: &Plan, sheet: &WeighingSheet) -> Sheet {
    let body = html! {
        @for (i, number) in numbers(plan, sheet).into_iter().enumerate() {
            (page(plan, sheet, i, number))
        }
    };
    let title = format!("Weighing sheets: {}", sheet.formula);
    document(
        format!("weighing-{}.html", slug(&sheet.formula)),
        title,
        "weighing",
        &body,
    )
}

/// The batches' own numbers in hand order; counted from 1 where the plan numbers fewer.
pub(crate) fn numbers(plan: &Plan, sheet: &WeighingSheet) -> Vec<usize> {
    let mut numbers: Vec<usize> = batches_of(plan, &sheet.formula)
        .flat_map(|batch| batch.numbers.0..=batch.numbers.1)
        .take(MOST_BATCHES)
        .collect();
    let many = sheet.batches.min(MOST_BATCHES);
    let next = numbers.last().map_or(1, |last| last.saturating_add(1));
    let missing = many.saturating_sub(numbers.len());
    numbers.extend((0..missing).map(|i| next.saturating_add(i)));
    numbers
}

fn batches_of<'a>(plan: &'a Plan, formula: &'a str) -> impl Iterator<Item = &'a BatchPlan> {
    plan.batches.iter().filter(move |batch| batch.formula == formula)
}

fn page(plan: &Plan, sheet: &WeighingSheet, index: usize, number: usize) -> Markup {
    let batch = batches_of(plan, &sheet.formula).find(|b| (b.numbers.0..=b.numbers.1).contains(&number));
    let lot = plan
        .labels
        .iter()
        .find(|l| l.formula == sheet.formula)
        .and_then(|l| l.lots.get(index));
    html! {
        section class="page" {
            (head(plan, "Weighing sheet", &sheet.formula))
            dl class="facts" {
                div { dt { "Batch" } dd class="which" { (number) small { "of " (sheet.batches) } } }
                div {
                    dt { "Lot code" }
                    dd {
                        @match lot {
                            Some(lot) => { span class="lot" { (lot) } }
                            None => { (blank("", "long")) }
                        }
                    }
                }
                div { dt { "Times the formula as written" } dd { (stacked(&sheet.multiple)) } }
                div { dt { "Date" } dd { (blank("", "")) } }
                @if let Some(batch) = batch { (batch_facts(batch)) }
            }
            table class=(if sheet.lines.len() > DENSE_FROM { "fixed dense" } else { "fixed" }) {
                colgroup { col class="tick"; col; col class="mass"; col class="measure"; col class="do"; col class="read"; }
                thead {
                    tr {
                        th { "In" }
                        th { "Ingredient, in the order it goes in" }
                        th class="n" { "On the scale" }
                        th { "Your measure" }
                        th { "When, and what to do" }
                        th { "Read back" }
                    }
                }
                tbody {
                    @for line in &sheet.lines { (row(line, &sheet.scale_step)) }
                    tr {
                        td {}
                        td class="strong" { "All together" br; small { "as rounded; computed " (whole_grams(&sheet.total)) } }
                        td class="scale" { (words::on_scale(&sheet.total_on_scale, &sheet.scale_step)) }
                        td colspan="2" {
                            @if sheet.lines.iter().all(|line| line.part == "pot") { "Weigh the full pot, less the empty one" }
                            @else { "Pieces, brine and spices; the soak is not in it" }
                        }
                        td class="tight" { (blank("", "short")) " g" }
                    }
                }
            }
            p class="small" {
                "Scale step " (words::value(&sheet.scale_step)) ". "
                @if sheet.lines.iter().any(|line| words::finer_than(&line.on_scale, &sheet.scale_step)) {
                    "What is no whole number of steps wants a finer scale, or your measure. "
                }
                "Acid is rounded up, egg, fat and a brine\u{2019}s water down: to the other side the batch could leave its schedule. Read each mass back off the scale and write down what it shows, not what it should."
            }
            @if let Some(batch) = batch {
                @if !batch.notes.is_empty() { ul { @for note in &batch.notes { li { (note) } } } }
            }
            div class="sign" {
                (blank("Weighed by", "long")) (blank("at", ""))
                (blank("Read back by", "long")) (blank("at", ""))
            }
            (cautions(plan, Some(&sheet.formula), &["pot"]))
            (foot())
        }
    }
}

fn batch_facts(batch: &BatchPlan) -> Markup {
    html! {
        div { dt { "Pot, burner" } dd { (batch.pot) small { (batch.burner) } } }
        div { dt { "Stops at" } dd {
            @match &batch.stop_at {
                Some(at) => { (stacked(at)) }
                None => { (batch.stop) }
            }
        } }
        div { dt { "Pot full, all in" } dd { (words::value(&batch.volume)) small { (words::share(&batch.pot_full)) " of the pot" } } }
        div { dt { "Jars from this batch" } dd { (words::value(&batch.jars)) small { "could fill " (words::figure(&batch.fills)) } } }
    }
}

fn row(line: &WeighLine, scale_step: &Figure) -> Markup {
    html! {
        tr {
            td { (tick()) }
            td {
                span class="strong" { (line.ingredient) }
                @if !line.form.is_empty() { ", " (line.form) }
                @if line.part != "pot" && !line.part.is_empty() && !line.goes_in.contains(&line.part) { br; small { "part: " (line.part) } }
            }
            td class="scale" { (words::on_scale(&line.on_scale, scale_step)) }
            td { (line.measure) }
            td {
                span class="strong" { (line.goes_in) }
                @if !line.goes_in.is_empty() && !line.step.is_empty() { ": " }
                (line.step)
            }
            td class="tight" { (blank("", "short")) " g" }
        }
    }
}

/// A mass in whole grams, without its band.
fn whole_grams(mass: &Figure) -> String {
    let grams = if mass.unit == Unit::Kilogram {
        1000.0 * mass.value
    } else {
        mass.value
    };
    format!("{} g", words::number(grams.round(), Unit::Count))
}
