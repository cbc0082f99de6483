//! One run: what was asked, and the answer in parts.
//!
//! `ask.rs` is the question, `answer.rs` the first page, `weigh.rs`, `heat.rs`, `clock.rs`,
//! `keeping.rs`, `money.rs` and `labels.rs` the parts of the plan, each readable alone.

pub(crate) mod answer;
mod ask;
mod asked;
mod clock;
pub(crate) mod difference;
mod heat;
pub mod jar;
mod keeping;
mod labels;
mod money;
pub mod pot;
mod weigh;

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_SECURITY_POLICY;
use axum::response::{Html, IntoResponse, Response};
use jarwright_kitchen::Plan;
use jarwright_kitchen::ports::{Kept, Name, Version};
use maud::{Markup, html};
use sha2::{Digest, Sha256};

use crate::figures::Figures;
use crate::frame::{Page, Place, go_on_to};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared, Worked};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::which::ways;
use crate::words::Words;

use ask::Question;

/// Parts of a run's answer: the last step of their address, and the key of their title.
const PARTS: [(&str, &str); 10] = [
    ("", "run.answer"),
    ("weigh", "run.weigh"),
    ("heat", "run.heat"),
    ("pot", "run.pot"),
    ("jar", "run.jar"),
    ("clock", "run.clock"),
    ("keeping", "run.keeping"),
    ("money", "run.money"),
    ("labels", "run.labels"),
    ("sheets", "run.sheets"),
];

/// What a printed sheet may load: the very style it carries, known by its hash, nothing else.
fn sheet_policy(html: &str) -> String {
    let style = html
        .split_once("<style>")
        .and_then(|(_, rest)| rest.split_once("</style>"));
    let hash = base64(&Sha256::digest(style.map_or("", |(style, _)| style)));
    format!("default-src 'none'; style-src 'sha256-{hash}'; base-uri 'none'; frame-ancestors 'none'")
}

/// A kept run with its plan.
pub(crate) struct Shown {
    pub(crate) version: Version,
    pub(crate) worked: Arc<Worked>,
}

pub(crate) async fn find(house: &House, name: &str) -> Result<Shown, Trouble> {
    let missing = || Trouble::not_found(format!("a run called {name}"));
    let name = Name::new(name).map_err(|_| missing())?;
    let version = house.keeper.newest(Kept::Run, &name).await?.ok_or_else(missing)?;
    let worked = house.worked(&version).await?;
    Ok(Shown { version, worked })
}

/// The form of a new run.
pub async fn new(State(house): State<Shared>, reader: Reader, visit: Visit) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let question = Question::blank(&house).await.map_err(told)?;
    ask::page(&house, &question, None, StatusCode::OK, reader, &visit)
        .await
        .map_err(told)
}

/// Keeps a new run.
pub async fn keep_new(
    State(house): State<Shared>,
    reader: Reader,
    visit: Visit,
    posted: Posted,
) -> Result<Response, Response> {
    keep_question(&house, None, reader, &visit, &posted)
        .await
        .map_err(|trouble| trouble.page(reader))
}

/// Keeps a changed run.
pub async fn keep(
    State(house): State<Shared>,
    Path(name): Path<String>,
    reader: Reader,
    visit: Visit,
    posted: Posted,
) -> Result<Response, Response> {
    keep_question(&house, Some(&name), reader, &visit, &posted)
        .await
        .map_err(|trouble| trouble.page(reader))
}

async fn keep_question(
    house: &House,
    name: Option<&str>,
    reader: Reader,
    visit: &Visit,
    posted: &Posted,
) -> Result<Response, Trouble> {
    let question = Question::posted(house, name, posted).await?;
    if !question.faults.is_empty() || posted.get("do") == "more" {
        let status = if question.faults.is_empty() {
            StatusCode::OK
        } else {
            StatusCode::UNPROCESSABLE_ENTITY
        };
        return ask::page(house, &question, None, status, reader, visit).await;
    }
    let kept_as = question.kept_as()?;
    match house.keep(Kept::Run, &kept_as, &question.text, question.after).await {
        Ok(version) => {
            // The plan is worked out once, here; the pages that follow show it.
            let worked = house.worked(&version).await?;
            house.keep_answer(&version, &worked).await?;
            Ok(go_on_to(&format!("/runs/{kept_as}")))
        }
        Err(Trouble::Overtaken) => {
            let newest = house.keeper.newest(Kept::Run, &kept_as).await?;
            ask::page(
                house,
                &question,
                newest.map(|v| v.number),
                StatusCode::CONFLICT,
                reader,
                visit,
            )
            .await
        }
        Err(trouble) => Err(trouble),
    }
}

/// The answer's first page.
pub async fn page(
    State(house): State<Shared>,
    Path(name): Path<String>,
    reader: Reader,
    visit: Visit,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let shown = find(&house, &name).await.map_err(told)?;
    let question = Question::of(&shown);
    let ask = ask::form(&house, &question, None, reader, &visit).await.map_err(told)?;
    let newer = newer(&house, &shown).await.map_err(told)?;
    let before = older_texts(reader.words(), &newer);
    Ok(render(
        &shown,
        "",
        reader,
        |plan, figures| {
            html! { (before) (answer::body(plan, figures, reader.words())) }
        },
        &ask,
    ))
}

/// One part of the answer.
pub async fn part(
    State(house): State<Shared>,
    Path((name, part)): Path<(String, String)>,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let shown = find(&house, &name).await.map_err(told)?;
    let nothing = html! {};
    let body: fn(&Plan, Figures<'_>, Reader) -> Markup = match part.as_str() {
        "weigh" => weigh::body,
        "heat" => heat::body,
        "clock" => clock::body,
        "keeping" => keeping::body,
        "money" => money::body,
        "labels" => labels::body,
        "sheets" => sheets,
        _ => {
            let what = part.chars().take(60).collect::<String>();
            return Err(told(Trouble::not_found(what)));
        }
    };
    Ok(render(
        &shown,
        &part,
        reader,
        |plan, figures| body(plan, figures, reader),
        &nothing,
    ))
}

/// What of the run's texts stands otherwise by now.
async fn newer(house: &House, shown: &Shown) -> Result<Vec<String>, Trouble> {
    let run = &shown.worked.run;
    let mut newer = Vec::new();
    if house
        .kitchen()
        .await?
        .is_some_and(|version| version.hash() != run.kitchen)
    {
        newer.push("place.equipment".to_owned());
    }
    if house.stores().await?.map(|version| version.hash()) != run.stores {
        newer.push("place.stores".to_owned());
    }
    for make in &run.makes {
        if let Ok(name) = Name::new(&make.formula)
            && house
                .keeper
                .newest(Kept::Formula, &name)
                .await?
                .is_some_and(|version| version.hash() != make.text)
        {
            newer.push(make.formula.clone());
        }
    }
    Ok(newer)
}

fn older_texts(words: Words, newer: &[String]) -> Markup {
    // What is no text of the catalogue is a formula's own name, and stays as it is.
    let said: Vec<&str> = newer.iter().map(|of| words.say(of)).collect();
    html! {
        @if !said.is_empty() {
            section class="notice" {
                p { (words.fill("run.older", &[("what", &said.join(", "))])) }
                p class="do" { button type="submit" form="ask-form" name="do" value="keep" { (words.say("ask.plan_again")) } }
            }
        }
    }
}

fn render(
    shown: &Shown,
    part: &str,
    reader: Reader,
    body: impl FnOnce(&Plan, Figures<'_>) -> Markup,
    after: &Markup,
) -> Response {
    let words = reader.words();
    let why = format!("/why/run/{}", shown.version.hash());
    let currency = shown.worked.kitchen.currency.as_str();
    let figures = Figures::new(reader, &why, currency);
    let at_stove = matches!(part, "weigh" | "clock");
    let content = html! {
        // At the stove what is to be done comes first; the ways on follow it, for a thumb.
        @if at_stove { p { a href="#ways" { (words.say("run.ways")) } } } @else { (parts(words, shown, part)) }
        @match &shown.worked.plan {
            Ok(plan) => { (body(plan, figures)) }
            Err(error) => { (cannot(words, error)) }
        }
        @if at_stove { div id="ways" class="stove" data-stove { (parts(words, shown, part)) } }
        (after)
        (crate::changes::notice(Kept::Run, &shown.version.name, shown.version.number, &format!("/runs/{}", shown.version.name), words))
    };
    Page {
        place: Place::Runs,
        title: &shown.worked.run.name,
        over: Some(html! {
            a href="/runs" { (words.say("place.runs")) } " · "
            (ways(Kept::Run, &shown.version.name, shown.version.number, words))
        }),
        body: content,
    }
    .answer(reader)
}

/// The way between the parts.
fn parts(words: Words, shown: &Shown, here: &str) -> Markup {
    let name = &shown.version.name;
    html! {
        nav class="parts" aria-label=(words.say("run.parts")) {
            ul {
                @for (part, key) in PARTS {
                    li {
                        a href={ "/runs/" (name) @if !part.is_empty() { "/" (part) } @if matches!(part, "pot" | "jar") { "/1" } }
                            aria-current=[(part == here).then_some("page")] { (words.say(key)) }
                    }
                }
            }
        }
    }
}

fn cannot(words: Words, error: &jarwright_kitchen::PlanError) -> Markup {
    let trouble = Trouble::from(error.clone());
    html! {
        section class="stop" {
            h2 { (words.say("trouble.cannot")) }
            @match trouble {
                Trouble::Cannot { why, would } => {
                    p lang="en" { (why) }
                    ul lang="en" { @for line in would { li { (line) } } }
                }
                Trouble::Unusable { what, hint } => { p lang="en" { (what) ". " (hint) } }
                _ => { p lang="en" { (error) } }
            }
        }
    }
}

/// A sheet to print, as the papers make it.
pub async fn sheet(
    State(house): State<Shared>,
    Path((name, sheet)): Path<(String, String)>,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let shown = find(&house, &name).await.map_err(told)?;
    let plan = match &shown.worked.plan {
        Ok(plan) => plan,
        Err(error) => return Err(told(error.clone().into())),
    };
    jarwright_papers::sheets(plan)
        .into_iter()
        .find(|one| one.file_name == sheet)
        .map(|one| ([(CONTENT_SECURITY_POLICY, sheet_policy(&one.html))], Html(one.html)).into_response())
        .ok_or_else(|| told(Trouble::not_found(sheet.chars().take(80).collect::<String>())))
}

/// The sheets to print.
fn sheets(plan: &Plan, _: Figures<'_>, reader: Reader) -> Markup {
    let words = reader.words();
    html! {
        p { (words.say("sheets.about")) }
        ul class="sheets" {
            @for sheet in jarwright_papers::sheets(plan) {
                li { a href={ "sheets/" (sheet.file_name) } { (sheet.title) } }
            }
        }
    }
}

/// Bytes in base64 (RFC 4648, 4).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let bits = three
            .iter()
            .enumerate()
            .fold(0, |bits, (n, byte)| bits | u32::from(*byte) << (16 - 8 * n));
        for n in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * n) & 63) as usize];
            text.push(if n <= three.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, 10: test vectors.
    #[test]
    fn bytes_are_written_as_the_standard_prints_them() {
        let printed = ["", "Zg==", "Zm8=", "Zm9v", "Zm9vYg==", "Zm9vYmE=", "Zm9vYmFy"];
        for (length, text) in printed.into_iter().enumerate() {
            assert_eq!(base64(&b"foobar"[..length]), text);
        }
    }
}
