//! What is kept, as the text that it is: to read, to carry away, to bring back.

use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use jarwright_kitchen::files::{self, Problem};
use jarwright_kitchen::ports::Kept;
use maud::{Markup, html};

use crate::fields::hidden;
use crate::frame::{Page, Place, go_on_to};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::which::{ADDRESSES, Which, name_of_title};
use crate::words::Words;

/// Addresses of every kind's text, and of a new formula's.
pub(crate) fn routes() -> Router<Shared> {
    let routes = ADDRESSES.into_iter().fold(Router::new(), |routes, (kind, _, address)| {
        let shown = get(page);
        // A run's text names other texts by hash: it is made by its own page alone.
        let shown = if kind == Kept::Run { shown } else { shown.post(keep) };
        routes
            .route(&format!("{address}/text"), shown)
            .route(&format!("{address}/file"), get(file))
    });
    routes.route("/formulas/bring", get(bring).post(bring_in))
}

/// A text with its faults, and what to do with it.
struct Sheet<'a> {
    text: &'a str,
    problems: &'a [Problem],
    action: Option<&'a str>,
    file: Option<String>,
    after: Option<u64>,
    overtaken: Option<u64>,
}

fn sheet(words: Words, visit: &Visit, sheet: &Sheet<'_>) -> Markup {
    html! {
        p { (words.say("text.about")) }
        @if let Some(file) = &sheet.file { p { a class="button quiet" href=(file) download { (words.say("text.carry")) } } }
        @if let Some(number) = sheet.overtaken {
            p class="stop" role="alert" { (words.fill("form.overtaken", &[("n", &number.to_string())])) " " (words.say("form.keep_mine")) }
        }
        @if !sheet.problems.is_empty() {
            div class="fault" role="alert" lang="en" {
                @for problem in sheet.problems {
                    p { (words.fill("text.line", &[("n", &problem.line.to_string())])) " " (problem.what)
                        @if !problem.expected.is_empty() { "; " (words.say("form.expected")) " " (problem.expected) } }
                }
            }
        }
        @match sheet.action {
            Some(action) => {
                form method="post" action=(action) {
                    (hidden(visit, sheet.overtaken.or(sheet.after)))
                    div class="field" {
                        label for="text" { (words.say("text.label")) }
                        textarea id="text" name="text" rows="24" spellcheck="false" autocapitalize="off" { (sheet.text) }
                    }
                    p class="do" { button type="submit" { (words.say("form.keep")) } }
                }
            }
            None => { pre { code { (sheet.text) } } }
        }
    }
}

async fn page(State(_): State<Shared>, which: Which, reader: Reader, visit: Visit) -> Response {
    show(
        &which,
        which.newest.text.as_str(),
        &[],
        None,
        StatusCode::OK,
        reader,
        &visit,
    )
}

fn show(
    which: &Which,
    text: &str,
    problems: &[Problem],
    overtaken: Option<u64>,
    status: StatusCode,
    reader: Reader,
    visit: &Visit,
) -> Response {
    let words = reader.words();
    let at = which.address();
    let action = format!("{at}/text");
    let body = sheet(
        words,
        visit,
        &Sheet {
            text,
            problems,
            action: (which.kind != Kept::Run).then_some(action.as_str()),
            file: Some(format!("{at}/file")),
            after: Some(which.newest.number),
            overtaken,
        },
    );
    Page {
        place: which.place(),
        title: words.say("text.title"),
        over: Some(which.way(words)),
        body,
    }
    .answer_with(status, reader)
}

/// The text as a file.
async fn file(which: Which) -> Response {
    let name = format!("attachment; filename=\"{}.toml\"", which.newest.name);
    (
        [
            (CONTENT_TYPE, "application/toml; charset=utf-8".to_owned()),
            (CONTENT_DISPOSITION, name),
        ],
        which.newest.text.as_str().to_owned(),
    )
        .into_response()
}

/// Reads a text of a kind with the kitchen's own reader.
async fn faults(house: &House, kind: Kept, text: &str) -> Result<Vec<Problem>, Trouble> {
    let problems = match kind {
        Kept::Formula => {
            let stores = house.stores().await?;
            let stores = stores.and_then(|version| files::read_stores("stores", version.text.as_str()).ok());
            files::read_formula_with("formula", text, stores.as_ref()).map(drop)
        }
        Kept::Kitchen => files::read_kitchen("equipment", text).map(drop),
        Kept::Stores => files::read_stores("stores", text).map(drop),
        Kept::Run => files::read_run("run", text).map(drop),
    };
    Ok(problems.err().unwrap_or_default())
}

/// A browser sends lines that end in CR LF.
fn sent(posted: &Posted) -> String {
    posted.get("text").replace("\r\n", "\n")
}

async fn keep(
    State(house): State<Shared>,
    which: Which,
    reader: Reader,
    visit: Visit,
    posted: Posted,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let text = sent(&posted);
    let problems = faults(&house, which.kind, &text).await.map_err(told)?;
    if !problems.is_empty() {
        return Ok(show(
            &which,
            &text,
            &problems,
            None,
            StatusCode::UNPROCESSABLE_ENTITY,
            reader,
            &visit,
        ));
    }
    let after = posted.get("made-from").parse().ok();
    match house.keep(which.kind, &which.newest.name, &text, after).await {
        Ok(_) => Ok(go_on_to(&which.address())),
        Err(Trouble::Overtaken) => Ok(show(
            &which,
            &text,
            &[],
            Some(which.newest.number),
            StatusCode::CONFLICT,
            reader,
            &visit,
        )),
        Err(trouble) => Err(told(trouble)),
    }
}

/// A formula's text from elsewhere.
async fn bring(reader: Reader, visit: Visit) -> Response {
    show_bring("", &[], StatusCode::OK, reader, &visit)
}

fn show_bring(text: &str, problems: &[Problem], status: StatusCode, reader: Reader, visit: &Visit) -> Response {
    let words = reader.words();
    let body = sheet(
        words,
        visit,
        &Sheet {
            text,
            problems,
            action: Some("/formulas/bring"),
            file: None,
            after: None,
            overtaken: None,
        },
    );
    Page {
        place: Place::Formulas,
        title: words.say("text.bring"),
        over: Some(html! { a href="/formulas" { (words.say("place.formulas")) } }),
        body,
    }
    .answer_with(status, reader)
}

async fn bring_in(
    State(house): State<Shared>,
    reader: Reader,
    visit: Visit,
    posted: Posted,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let text = sent(&posted);
    let problems = faults(&house, Kept::Formula, &text).await.map_err(told)?;
    if !problems.is_empty() {
        return Ok(show_bring(
            &text,
            &problems,
            StatusCode::UNPROCESSABLE_ENTITY,
            reader,
            &visit,
        ));
    }
    let name = name_of_title(&text).map_err(told)?;
    house.keep(Kept::Formula, &name, &text, None).await.map_err(told)?;
    Ok(go_on_to(&format!("/formulas/{name}")))
}
