//! Runs: every order that was planned.

use axum::extract::State;
use axum::response::Response;
use jarwright_kitchen::ports::Kept;
use maud::{Markup, html};

use crate::frame::{Page, Place};
use crate::house::{Shared, Worked};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::words::Words;

/// The list.
pub async fn page(State(house): State<Shared>, reader: Reader) -> Result<Response, Response> {
    let words = reader.words();
    let runs = house
        .keeper
        .all(Kept::Run)
        .await
        .map_err(|error| Trouble::from(error).page(reader))?;
    let mut rows = Vec::with_capacity(runs.len());
    for run in &runs {
        rows.push((run, house.worked(run).await));
    }
    let body = html! {
        @if rows.is_empty() { p { (words.say("in_hand.nothing_planned")) } }
        ul class="jars-row" {
            @for (run, worked) in &rows {
                li class="card" {
                    @match worked {
                        Ok(worked) => {
                            h2 { a href={ "/runs/" (run.name) } { (worked.run.name) } }
                            p { (deadline(words, worked)) }
                            p class="state" { (state_of(words, worked)) }
                        }
                        Err(_) => {
                            h2 { a href={ "/runs/" (run.name) } { (run.name) } }
                            p class="state" { (words.say("runs.unreadable")) }
                        }
                    }
                    p class="hint" { (words.fill("runs.version", &[("n", &run.number.to_string())])) }
                }
            }
        }
        p class="do" { a class="button" href="/runs/new" { (words.say("runs.new")) } }
    };
    Ok(Page {
        place: Place::Runs,
        title: words.say("place.runs"),
        over: None,
        body,
    }
    .answer(reader))
}

/// When the jars must leave, or when they may.
pub(crate) fn deadline(words: Words, worked: &Worked) -> Markup {
    html! {
        @match (&worked.plan, worked.run.by) {
            (_, Some(by)) => { (words.say("runs.by")) " " time { (by.strftime("%Y-%m-%d %H:%M")) } }
            (Ok(plan), None) => { (words.say("runs.ready")) " " time { (plan.clock.ready) } }
            (Err(_), None) => {}
        }
    }
}

/// Where a run stands, in a word.
pub(crate) fn state_of(words: Words, worked: &Worked) -> &'static str {
    let key = match &worked.plan {
        Ok(plan) if plan.run.cannot.is_some() => "runs.cannot",
        Ok(plan) if plan.verdicts.iter().any(|v| v.route == "shelf" && v.state == "closed") => "runs.shelf_closed",
        Ok(plan) if plan.verdicts.iter().any(|v| v.state == "only-with") => "runs.needs",
        Ok(_) => "runs.good",
        Err(_) => "runs.cannot",
    };
    words.say(key)
}
