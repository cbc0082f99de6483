//! The buying list of the whole run.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::BuyLine;
use maud::{Markup, html};

use crate::sheet::{cautions, document, foot, head, stacked, tick};
use crate::{Sheet, words};

/// The buying list.
pub(crate) fn sheet(plan: &Plan) -> Sheet {
    let body = html! {
        section class="page" {
            (head(plan, "Buying list", "What to buy"))
            p {
                @for (i, order) in plan.run.orders.iter().enumerate() {
                    @if i > 0 { "; " }
                    (order.formula) ": " (words::value(&order.started)) " jars to start ("
                    (order.jar) "), for " (words::value(&order.ordered)) " good ones"
                }
                "."
            }
            table {
                thead {
                    tr {
                        th { "Got" } th { "Ingredient" } th class="n" { "Needed, ready to use" }
                        th class="n" { "Needed, as bought" } th class="n" { "On hand" } th { "Packs to buy" }
                        th class="n" { "Price" } th { "Left over" }
                    }
                }
                tbody { @for line in &plan.buy { (row(line, &plan.run.currency)) } }
            }
            (cautions(plan, None, &["label"]))
            (foot())
        }
    };
    document("buying-list.html".into(), "Buying list".into(), "buying", &body)
}

fn row(line: &BuyLine, currency: &str) -> Markup {
    html! {
        tr {
            td { (tick()) }
            td {
                span class="strong" { (line.ingredient) }
                @if let Some(note) = &line.note { br; small { (note) } }
            }
            td class="n" { (stacked_block(&line.needed)) }
            td class="n" { (stacked_block(&line.as_purchased)) }
            td class="n tight" { (words::value(&line.on_hand)) }
            td class="strong" {
                @for (i, pack) in line.packs.iter().enumerate() { @if i > 0 { br; } (pack) }
                @if line.packs.is_empty() {
                    @if line.to_buy.value > 0.0 { (words::value(&line.to_buy)) } @else { "\u{2013}" }
                }
            }
            td class="n tight" {
                @match &line.price {
                    Some(price) => { (words::money(price, currency)) }
                    None if line.to_buy.value > 0.0 => { "not priced" }
                    None => { "\u{2013}" }
                }
            }
            td {
                (words::value(&line.left_over))
                @for left in &line.also_left { br; small { (left) } }
            }
        }
    }
}

fn stacked_block(f: &jarwright_figure::Figure) -> Markup {
    html! { div { (stacked(f)) } }
}
