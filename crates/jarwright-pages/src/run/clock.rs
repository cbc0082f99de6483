//! When what happens.

use jarwright_kitchen::Plan;
use maud::{Markup, html};

use super::answer::cautions;
use crate::figures::Figures;
use crate::reader::Reader;

/// Most steps shown; a run this long is laid out on paper.
const MOST_STEPS: usize = 600;

pub(super) fn body(plan: &Plan, figures: Figures<'_>, reader: Reader) -> Markup {
    let words = reader.words();
    html! {
        section {
            @if !plan.clock.findings.is_empty() {
                ul lang="en" { @for line in &plan.clock.findings { li { (line) } } }
            }
            div class="wide" {
                table {
                    thead { tr {
                        th scope="col" { (words.say("clock.at")) }
                        th scope="col" { (words.say("clock.what")) }
                        th scope="col" { (words.say("clock.batch")) }
                        th scope="col" class="n" { (words.say("clock.takes")) }
                    } }
                    tbody {
                        @for step in plan.clock.steps.iter().take(MOST_STEPS) {
                            tr {
                                th scope="row" class="tight" { (step.at) }
                                td lang="en" { (step.what) }
                                td class="tight" { (step.batch) }
                                td class="n" { (figures.plain(&step.takes)) }
                            }
                        }
                    }
                }
            }
        }
        (cautions(plan, words, &["pot", "bath", "cooling"]))
    }
}
