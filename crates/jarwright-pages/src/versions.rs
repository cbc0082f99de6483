//! Versions of what is kept: who kept which when, what has changed since, and how one stands again.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use jarwright_kitchen::ports::{Entry, Kept, Name, Version};
use jiff::tz::TimeZone;
use maud::{Markup, html};
use similar::{ChangeTag, TextDiff};

use crate::fields::hidden;
use crate::frame::{Page, Place};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared};
use crate::reader::Reader;
use crate::run::difference;
use crate::trouble::Trouble;
use crate::words::Words;

/// Lines shown around a change.
const LINES_AROUND: usize = 2;

/// Addresses of every kind's versions.
pub(crate) fn routes() -> Router<Shared> {
    let mut routes = Router::new();
    for (kind, address) in [(Kept::Kitchen, "/equipment"), (Kept::Stores, "/stores")] {
        let list = move |State(house): State<Shared>, reader: Reader| async move {
            told(list(&house, kind, kind.word(), reader).await, reader)
        };
        let one = move |State(house): State<Shared>, Path(number): Path<u64>, reader: Reader, visit: Visit| async move {
            told(one(&house, kind, kind.word(), number, reader, &visit).await, reader)
        };
        let again = move |State(house): State<Shared>, Path(number): Path<u64>, reader: Reader, posted: Posted| async move {
            told(again(&house, kind, kind.word(), number, &posted).await, reader)
        };
        routes = routes
            .route(&format!("{address}/versions"), get(list))
            .route(&format!("{address}/versions/{{number}}"), get(one).post(again));
    }
    for (kind, address) in [(Kept::Formula, "/formulas"), (Kept::Run, "/runs")] {
        let list = move |State(house): State<Shared>, Path(name): Path<String>, reader: Reader| async move {
            told(list(&house, kind, &name, reader).await, reader)
        };
        let one = move |State(house): State<Shared>,
                        Path((name, number)): Path<(String, u64)>,
                        reader: Reader,
                        visit: Visit| async move {
            told(one(&house, kind, &name, number, reader, &visit).await, reader)
        };
        let again = move |State(house): State<Shared>,
                          Path((name, number)): Path<(String, u64)>,
                          reader: Reader,
                          posted: Posted| async move {
            told(again(&house, kind, &name, number, &posted).await, reader)
        };
        routes = routes
            .route(&format!("{address}/{{name}}/versions"), get(list))
            .route(&format!("{address}/{{name}}/versions/{{number}}"), get(one).post(again));
    }
    routes
}

fn told(answer: Result<Response, Trouble>, reader: Reader) -> Response {
    answer.unwrap_or_else(|trouble| trouble.page(reader))
}

/// Where a kind's things stand.
pub(crate) fn address(kind: Kept, name: &Name) -> String {
    match kind {
        Kept::Formula => format!("/formulas/{name}"),
        Kept::Run => format!("/runs/{name}"),
        Kept::Kitchen => "/equipment".into(),
        Kept::Stores => "/stores".into(),
    }
}

const fn place(kind: Kept) -> Place {
    match kind {
        Kept::Formula => Place::Formulas,
        Kept::Run => Place::Runs,
        Kept::Kitchen => Place::Equipment,
        Kept::Stores => Place::Stores,
    }
}

async fn newest(house: &House, kind: Kept, name: &str) -> Result<Version, Trouble> {
    let missing = || Trouble::not_found(format!("a {kind} called {name}"));
    let kept = Name::new(name).map_err(|_| missing())?;
    house.keeper.newest(kind, &kept).await?.ok_or_else(missing)
}

async fn list(house: &House, kind: Kept, name: &str, reader: Reader) -> Result<Response, Trouble> {
    let words = reader.words();
    let newest = newest(house, kind, name).await?;
    let history = house.keeper.history(kind, &newest.name).await?;
    let at = address(kind, &newest.name);
    let body = html! {
        p { (words.say("versions.about")) }
        ol class="things" {
            @for entry in &history {
                li class="thing" {
                    p {
                        span class="strong" { (words.fill("runs.version", &[("n", &entry.number.to_string())])) }
                        " · " (when(entry)) " · " (entry.by)
                    }
                    p {
                        @if entry.number == newest.number { (words.say("versions.stands")) }
                        @else if entry.hash.is_none() { (words.say("versions.withdrawn")) }
                        @else { a href={ (at) "/versions/" (entry.number) } { (words.say("versions.since")) } }
                    }
                }
            }
        }
    };
    let title = title(kind, &newest, words);
    Ok(Page {
        place: place(kind),
        title: &title,
        over: Some(html! { a href=(at) { (words.say("versions.back")) } }),
        body,
    }
    .answer(reader))
}

fn title(kind: Kept, version: &Version, words: Words) -> String {
    let of = match kind {
        Kept::Formula | Kept::Run => version.name.to_string(),
        Kept::Kitchen => words.say("place.equipment").to_owned(),
        Kept::Stores => words.say("place.stores").to_owned(),
    };
    words.fill("versions.title", &[("of", &of)])
}

fn when(entry: &Entry) -> String {
    TimeZone::system().to_datetime(entry.saved).strftime("%Y-%m-%d %H:%M").to_string()
}

/// What has changed since a version: of a run its figures first, of every text its lines.
async fn one(
    house: &House,
    kind: Kept,
    name: &str,
    number: u64,
    reader: Reader,
    visit: &Visit,
) -> Result<Response, Trouble> {
    let words = reader.words();
    let newest = newest(house, kind, name).await?;
    let then = house
        .keeper
        .version(kind, &newest.name, number)
        .await?
        .ok_or_else(|| Trouble::not_found(format!("version {number}")))?;
    let at = address(kind, &newest.name);
    let figures = if kind == Kept::Run {
        let (before, after) = (house.worked(&then).await?, house.worked(&newest).await?);
        difference::body(&then, &before, &newest, &after, reader)
    } else {
        html! {}
    };
    let body = html! {
        (figures)
        section {
            h2 { (words.say("versions.lines")) }
            (lines(then.text.as_str(), newest.text.as_str(), words))
        }
        @if then.number != newest.number {
            form method="post" action={ (at) "/versions/" (number) } class="do" {
                (hidden(visit, Some(newest.number)))
                button type="submit" class="quiet" { (words.fill("versions.again", &[("n", &number.to_string())])) }
            }
        }
    };
    let title = words.fill(
        "versions.between",
        &[("then", &then.number.to_string()), ("now", &newest.number.to_string())],
    );
    Ok(Page {
        place: place(kind),
        title: &title,
        over: Some(html! { a href={ (at) "/versions" } { (title_of(kind, &newest, words)) } }),
        body,
    }
    .answer(reader))
}

fn title_of(kind: Kept, version: &Version, words: Words) -> String {
    title(kind, version, words)
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

/// Lets an old text stand again, as a new version.
async fn again(house: &House, kind: Kept, name: &str, number: u64, posted: &Posted) -> Result<Response, Trouble> {
    let newest = newest(house, kind, name).await?;
    let then = house
        .keeper
        .version(kind, &newest.name, number)
        .await?
        .ok_or_else(|| Trouble::not_found(format!("version {number}")))?;
    let after = posted.get("made-from").parse().ok();
    house.keep(kind, &newest.name, then.text.as_str(), after).await?;
    Ok(Redirect::to(&address(kind, &newest.name)).into_response())
}
