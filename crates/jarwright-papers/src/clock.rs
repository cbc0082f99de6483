//! The clock of the run: each day drawn along its hours, then as a table.

use jarwright_kitchen::Plan;
use maud::html;

use crate::day_picture::pictures;
use crate::moment::{Moment, clock_words, day_words};
use crate::sheet::{blank, cautions, document, foot, head, tick};
use crate::{Sheet, words};

/// The clock of the run.
pub(crate) fn sheet(plan: &Plan) -> Sheet {
    let clock = &plan.clock;
    let body = html! {
        section class="page" {
            (head(plan, "The clock", "The run by the clock"))
            dl class="facts three" {
                div { dt { "Starts" } dd { (clock.starts) } }
                div { dt { "Last load out of the bath" } dd { (clock.last_out) } }
                div { dt { "Jars may leave, seals and pH known" } dd class="strong" { (clock.ready) } }
                div { dt { "Promised for" } dd {
                    @match &clock.by {
                        Some(by) => { (by) small { (met(clock.met)) } }
                        None => { "no time given" }
                    }
                } }
                div { dt { "Working time" } dd { (words::duration(&clock.working)) } }
                div { dt { "Wait after the last load" } dd { (words::duration(&clock.wait)) } }
            }
            @if !clock.findings.is_empty() {
                ul { @for finding in &clock.findings { li { (finding) } } }
            }
            (pictures(plan))
            h2 { "Step by step" }
            table {
                thead { tr { th { "Done" } th { "At" } th { "What" } th { "Batch" } th class="n" { "Takes" } th { "Really at" } } }
                tbody {
                    @for (i, step) in clock.steps.iter().enumerate() {
                        @let moment = Moment::read(&step.at);
                        @let before = i.checked_sub(1).and_then(|i| Moment::read(&clock.steps[i].at));
                        @if let Some(now) = moment && before.is_none_or(|b| b.day != now.day) && !now.day.is_empty() {
                            tr { th colspan="6" class="strong" scope="rowgroup" { (day_words(now.day)) } }
                        }
                        tr {
                            td { (tick()) }
                            td class="tight strong" { @match moment { Some(m) => { (clock_words(m.minutes)) } None => { (step.at) } } }
                            td { (step.what) }
                            td class=(if step.batch.chars().count() < 26 { "tight" } else { "" }) { (step.batch) }
                            td class="n tight" { @if step.takes.value > 0.0 { (words::duration(&step.takes)) } }
                            td class="tight" { (blank("", "short")) }
                        }
                    }
                }
            }
            (cautions(plan, None, &["bath", "cooling"]))
            (foot())
        }
    };
    document("clock.html".into(), "The run by the clock".into(), "clock", &body)
}

fn met(met: Option<bool>) -> &'static str {
    match met {
        Some(true) => "met",
        Some(false) => "NOT met",
        None => "not known whether it is met",
    }
}
