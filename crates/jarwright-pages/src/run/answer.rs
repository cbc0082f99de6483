//! The first page of an answer: can it be met, where may the jars be kept, what is missing.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::Verdict;
use maud::{Markup, html};

use crate::figures::Figures;
use crate::words::Words;

pub(super) fn body(plan: &Plan, figures: Figures<'_>, words: Words) -> Markup {
    html! {
        @if let Some(cannot) = &plan.run.cannot {
            section class="stop" {
                h2 { (words.say("answer.cannot")) }
                p lang="en" { (cannot.reason) }
                @if !cannot.would.is_empty() {
                    p { (words.say("answer.would")) }
                    ul lang="en" { @for line in &cannot.would { li { (line) } } }
                }
            }
        }
        section {
            h2 { (words.say("answer.jars")) }
            @for order in &plan.run.orders {
                div class="order" {
                    h3 { (order.formula) ", " (order.jar.replace('-', " ")) }
                    dl class="cells" {
                        div { dt { (words.say("answer.ordered")) } dd { (figures.show(&order.ordered)) } }
                        div { dt { (words.say("answer.started")) } dd { (figures.show(&order.started)) } }
                        div { dt { (words.say("answer.chance")) } dd { (figures.share(&order.chance)) } }
                        @for batch in plan.batches.iter().filter(|b| b.formula == order.formula) {
                            div { dt { (words.say("answer.batches")) } dd { (batch.numbers.1) " × " (figures.plain(&batch.jars)) } }
                            div { dt { (words.say("answer.stop")) } dd { @match &batch.stop_at { Some(f) => (figures.show(f)), None => { span lang="en" { (batch.stop) } } } } }
                            div { dt { (words.say("answer.cook")) } dd { (figures.duration(&batch.cook)) } }
                        }
                        @for load in plan.loads.iter().filter(|l| l.formula == order.formula) {
                            div { dt { (words.say("answer.bath_start")) } dd { (figures.show(&load.start)) } }
                            @if let Some(hold) = &load.hold { div { dt { (words.say("answer.hold")) } dd { (figures.show(hold)) } } }
                        }
                        @for cost in plan.cost.iter().filter(|c| c.formula == order.formula) {
                            div { dt { (words.say("answer.cost")) } dd { (figures.show(&cost.sold_jar)) } }
                        }
                    }
                    @if let Some(how) = &order.from_on_hand { p class="hint" lang="en" { (how) } }
                }
            }
        }
        section {
            h2 { (words.say("answer.when")) }
            dl class="cells" {
                div { dt { (words.say("answer.starts")) } dd { (plan.clock.starts) } }
                div { dt { (words.say("answer.last_out")) } dd { (plan.clock.last_out) } }
                div { dt { (words.say("answer.ready")) } dd { (plan.clock.ready) } }
                div { dt { (words.say("answer.working")) } dd { (figures.duration(&plan.clock.working)) } }
            }
        }
        section {
            h2 { (words.say("answer.kept")) }
            @for order in &plan.run.orders {
                @if plan.run.orders.len() > 1 { h3 { (order.formula) } }
                ul class="routes" {
                    @for verdict in plan.verdicts.iter().filter(|v| v.formula == order.formula) { (route(words, verdict)) }
                }
            }
        }
        (cautions(plan, words, &["pot", "fill", "bath", "cooling", "keeping"]))
    }
}

/// Where a route stands, with what it lacks first.
pub(super) fn route(words: Words, verdict: &Verdict) -> Markup {
    html! {
        li class={ "route " (verdict.state) } {
            (lid(verdict.state))
            div {
                p { span class="strong" { (words.say(route_key(verdict.route))) } ": " (words.say(state_key(verdict.state))) }
                @if !verdict.missing.is_empty() {
                    ul lang="en" { @for line in &verdict.missing { li { (line) } } }
                } @else if verdict.state == "closed" {
                    ul lang="en" { @for reason in verdict.reasons.iter().take(2) { li { (reason.text) } } }
                }
            }
        }
    }
}

/// A jar's lid, lifted, tagged or shut, so that a state is read without colour.
pub(super) fn lid(state: &str) -> Markup {
    html! {
        svg class="lid" viewBox="0 0 28 28" aria-hidden="true" focusable="false" {
            path d="M6 12h16v11a3 3 0 0 1-3 3H9a3 3 0 0 1-3-3z" {}
            @match state {
                "open" => { path d="M5 8l18-5 1 4-18 5z" {} }
                "only-with" => { path d="M5 7h18v4H5z" {} path d="M14 15v5m0 2v1" {} }
                _ => { path d="M5 7h18v4H5z" {} path d="M10 15l8 8m0-8l-8 8" {} }
            }
        }
    }
}

pub(crate) fn route_key(route: &str) -> &'static str {
    match route {
        "shelf" => "route.shelf",
        "refrigerator" => "route.refrigerator",
        "freezer" => "route.freezer",
        _ => "route.vacuum_pack",
    }
}

pub(crate) fn state_key(state: &str) -> &'static str {
    match state {
        "open" => "route.open",
        "only-with" => "route.only_with",
        _ => "route.closed",
    }
}

/// The cautions that belong here.
pub(super) fn cautions(plan: &Plan, words: Words, places: &[&str]) -> Markup {
    let here: Vec<_> = plan
        .cautions
        .iter()
        .filter(|caution| caution.at == "everywhere" || places.contains(&caution.at))
        .collect();
    html! {
        @if !here.is_empty() {
            section class="care" {
                h2 { (words.say("answer.care")) }
                ul lang="en" {
                    @for caution in here { li { @if !caution.formula.is_empty() { (caution.formula) ": " } (caution.text) } }
                }
            }
        }
    }
}
