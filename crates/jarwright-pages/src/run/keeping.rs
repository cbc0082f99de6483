//! Where the jars may be kept, and by which rule.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::Verdict;
use maud::{Markup, html};

use super::answer::{cautions, lid, route_key, state_key};
use crate::figures::Figures;
use crate::reader::Reader;
use crate::words::Words;

pub(super) fn body(plan: &Plan, figures: Figures<'_>, reader: Reader) -> Markup {
    let words = reader.words();
    html! {
        @for order in &plan.run.orders {
            section {
                h2 { (order.formula) }
                @for verdict in plan.verdicts.iter().filter(|v| v.formula == order.formula) { (route(words, figures, verdict)) }
            }
        }
        (cautions(plan, words, &["keeping"]))
    }
}

fn route(words: Words, figures: Figures<'_>, verdict: &Verdict) -> Markup {
    html! {
        article class={ "route " (verdict.state) } {
            (lid(verdict.state))
            div {
                h3 { (words.say(route_key(verdict.route))) ": " (words.say(state_key(verdict.state))) }
                @if !verdict.missing.is_empty() {
                    p { (words.say("keeping.missing")) }
                    ul lang="en" { @for line in &verdict.missing { li { (line) } } }
                }
                @if let Some(keeps) = &verdict.keeps { p { (words.say("keeping.at_most")) " " (figures.show(keeps)) } }
                @if !verdict.keeping.is_empty() { ul lang="en" { @for line in &verdict.keeping { li { (line) } } } }
                @if !verdict.how.is_empty() {
                    p { (words.say("keeping.how")) }
                    ul lang="en" { @for line in &verdict.how { li { (line) } } }
                }
                details {
                    summary { (words.count("keeping.reasons", verdict.reasons.len())) }
                    ul lang="en" {
                        @for reason in &verdict.reasons {
                            li { (reason.text) br; small { (reason.rule) " · " (reason.jurisdiction) " · " (reason.source) " · " (reason.edition) " · " (reason.mark) } }
                        }
                    }
                }
            }
        }
    }
}
