//! Versions of what is kept: who kept which when, what has changed since, and how one stands again.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use jarwright_kitchen::ports::{Entry, Kept};
use jiff::tz::TimeZone;
use maud::{Markup, html};
use serde::Deserialize;
use similar::{ChangeTag, TextDiff};

use crate::fields::hidden;
use crate::frame::Page;
use crate::frame::go_on_to;
use crate::guard::{Posted, Visit};
use crate::house::Shared;
use crate::reader::Reader;
use crate::run::difference;
use crate::trouble::Trouble;
use crate::which::{ADDRESSES, Which};
use crate::words::Words;

/// Lines shown around a change.
const LINES_AROUND: usize = 2;

/// The version an address means.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Number {
    number: u64,
}

/// Addresses of every kind's versions.
pub(crate) fn routes() -> Router<Shared> {
    ADDRESSES.into_iter().fold(Router::new(), |routes, (_, _, address)| {
        routes
            .route(&format!("{address}/versions"), get(list))
            .route(&format!("{address}/versions/{{number}}"), get(since).post(again))
    })
}

/// All of them, the newest first.
async fn list(State(house): State<Shared>, which: Which, reader: Reader) -> Result<Response, Response> {
    let words = reader.words();
    let history = house
        .keeper
        .history(which.kind, &which.newest.name)
        .await
        .map_err(|error| Trouble::from(error).page(reader))?;
    let at = which.address();
    let body = html! {
        p { (words.say("versions.about")) }
        ol class="things" {
            @for entry in &history {
                li class="thing" {
                    p {
                        span class="strong" { (words.fill("runs.version", &[("n", &entry.number.to_string())])) }
                        " · " (when(entry)) " · " (entry.by)
                        br;
                        @if entry.number == which.newest.number { (words.say("versions.stands")) }
                        @else if entry.hash.is_none() { (words.say("versions.withdrawn")) }
                        @else { a href={ (at) "/versions/" (entry.number) } { (words.say("versions.since")) } }
                    }
                }
            }
        }
    };
    Ok(Page {
        place: which.place(),
        title: words.say("versions.title"),
        over: Some(which.way(words)),
        body,
    }
    .answer(reader))
}

fn when(entry: &Entry) -> String {
    TimeZone::system()
        .to_datetime(entry.saved)
        .strftime("%Y-%m-%d %H:%M")
        .to_string()
}

/// What has changed since a version: of a run its figures first, of every text its lines.
async fn since(
    State(house): State<Shared>,
    which: Which,
    Path(Number { number }): Path<Number>,
    reader: Reader,
    visit: Visit,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let words = reader.words();
    let then = which.version(&house, number).await.map_err(told)?;
    let now = &which.newest;
    let figures = if which.kind == Kept::Run {
        let before = house.worked(&then).await.map_err(told)?;
        let after = house.worked(now).await.map_err(told)?;
        difference::body(&then, &before, now, &after, reader)
    } else {
        html! {}
    };
    let at = which.address();
    let body = html! {
        (figures)
        section {
            h2 { (words.say("versions.lines")) }
            (lines(then.text.as_str(), now.text.as_str(), words))
        }
        @if then.number != now.number {
            form method="post" action={ (at) "/versions/" (number) } class="do" {
                (hidden(&visit, Some(now.number)))
                button type="submit" class="quiet" { (words.fill("versions.again", &[("n", &number.to_string())])) }
            }
        }
    };
    let title = words.fill(
        "versions.between",
        &[("then", &then.number.to_string()), ("now", &now.number.to_string())],
    );
    Ok(Page {
        place: which.place(),
        title: &title,
        over: Some(html! { (which.way(words)) " · " a href={ (at) "/versions" } { (words.say("versions.title")) } }),
        body,
    }
    .answer(reader))
}

/// Lets an old text stand again, as a new version.
async fn again(
    State(house): State<Shared>,
    which: Which,
    Path(Number { number }): Path<Number>,
    reader: Reader,
    posted: Posted,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let then = which.version(&house, number).await.map_err(told)?;
    let after = posted.get("made-from").parse().ok();
    house
        .keep(which.kind, &which.newest.name, then.text.as_str(), after)
        .await
        .map_err(told)?;
    Ok(go_on_to(&which.address()))
}

/// Lines that were taken out and put in; a sign and a word tell which, not a colour.
fn lines(then: &str, now: &str, words: Words) -> Markup {
    let diff = TextDiff::from_lines(then, now);
    let groups = diff.grouped_ops(LINES_AROUND);
    html! {
        @if groups.is_empty() { p { (words.say("versions.same")) } }
        @for group in &groups {
            div class="wide" {
                table class="text" {
                    @for op in group {
                        @for change in diff.iter_changes(op) {
                            tr class=(match change.tag() { ChangeTag::Delete => "was", ChangeTag::Insert => "is", ChangeTag::Equal => "same" }) {
                                th scope="row" {
                                    @match change.tag() {
                                        ChangeTag::Delete => { (words.say("versions.was")) }
                                        ChangeTag::Insert => { (words.say("versions.is")) }
                                        ChangeTag::Equal => {}
                                    }
                                }
                                td { code { (change.value().trim_end()) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
