//! A recipe from elsewhere: pasted, read, and its doubtful amounts put before a person.
//!
//! Nothing stands in the house until every doubt has an answer; the answers travel with the form.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use jarwright_kitchen::files::read_stores;
use jarwright_kitchen::ports::Kept;
use jarwright_kitchen::recipe::{Answer, Doubt, Draft, DraftLine, take_in};
use maud::{Markup, html};

use crate::fields::hidden;
use crate::frame::{Page, Place, go_on_to};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::which::name_of_title;
use crate::words::Words;

/// The empty form.
pub async fn page(reader: Reader, visit: Visit) -> Response {
    show("", None, &[], StatusCode::OK, reader, &visit)
}

/// Reads what was pasted, asks what is open, keeps the formula once nothing is.
pub async fn take(
    State(house): State<Shared>,
    reader: Reader,
    visit: Visit,
    posted: Posted,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let text = posted.get("recipe").replace("\r\n", "\n");
    let draft = read(&house, &text).await.map_err(told)?;
    let (mut draft, mut refused) = match draft {
        Ok(draft) => (draft, Vec::new()),
        Err(fault) => {
            return Ok(show(
                &text,
                None,
                &[fault],
                StatusCode::UNPROCESSABLE_ENTITY,
                reader,
                &visit,
            ));
        }
    };
    let mut answered = false;
    for key in keys(&draft) {
        let typed = posted.get(&format!("words.{key}"));
        let chosen = posted.get(&format!("answer.{key}"));
        let answer = match (typed, chosen.parse::<usize>()) {
            ("", Ok(nth)) => Answer::Choice(nth),
            ("", Err(_)) => continue,
            (typed, _) => Answer::Words(typed.to_owned()),
        };
        answered = true;
        if let Err(fault) = draft.decide(&key, &answer) {
            refused.push((key, fault.what));
        }
    }
    let faults: Vec<String> = refused.iter().map(|(_, what)| what.clone()).collect();
    let made = if faults.is_empty() && (answered || posted.get("do") == "keep") {
        draft.to_toml().ok()
    } else {
        None
    };
    match made {
        Some(toml) => {
            let name = name_of_title(&toml).map_err(told)?;
            house.keep(Kept::Formula, &name, &toml, None).await.map_err(told)?;
            Ok(go_on_to(&format!("/formulas/{name}")))
        }
        None => Ok(show(&text, Some(&draft), &faults, StatusCode::OK, reader, &visit)),
    }
}

async fn read(house: &House, text: &str) -> Result<Result<Draft, String>, Trouble> {
    let stores = house.stores().await?;
    let text = text.to_owned();
    house
        .turns
        .compute(move || {
            let stores = stores.and_then(|version| read_stores("stores", version.text.as_str()).ok());
            Ok(take_in(&text, stores.as_ref()).map_err(|fault| match &fault.hint {
                Some(hint) => format!("{}; {}", fault.what, hint),
                None => format!("{}; {}", fault.what, fault.expected),
            }))
        })
        .await
}

/// Keys of every doubt, the whole recipe's first.
fn keys(draft: &Draft) -> Vec<String> {
    draft
        .doubts
        .iter()
        .chain(draft.lines.iter().flat_map(|line| &line.doubts))
        .map(|doubt| doubt.key.clone())
        .collect()
}

fn show(
    text: &str,
    draft: Option<&Draft>,
    faults: &[String],
    status: StatusCode,
    reader: Reader,
    visit: &Visit,
) -> Response {
    let words = reader.words();
    let body = html! {
        p { (words.say("recipe.about")) }
        @if !faults.is_empty() {
            div class="fault" role="alert" lang="en" { @for fault in faults { p { (fault) } } }
        }
        form method="post" action="/formulas/recipe" {
            (hidden(visit, None))
            @if let Some(draft) = draft { (asked(words, draft)) }
            div class="field" {
                label for="recipe" { (words.say("recipe.paste")) }
                textarea id="recipe" name="recipe" rows=(if draft.is_some() { "6" } else { "16" }) spellcheck="false" { (text) }
            }
            p class="do" {
                button type="submit" name="do" value=(if draft.is_some() { "keep" } else { "read" }) {
                    (words.say(if draft.is_some() { "recipe.keep" } else { "recipe.read" }))
                }
            }
        }
    };
    Page {
        place: Place::Formulas,
        title: words.say("recipe.title"),
        over: Some(html! { a href="/formulas" { (words.say("place.formulas")) } }),
        body,
    }
    .answer_with(status, reader)
}

/// What was read, line by line, with what a person has to decide.
fn asked(words: Words, draft: &Draft) -> Markup {
    let open = draft.open().count();
    html! {
        section {
            h2 { (draft.name) }
            @if let Some(made) = &draft.made { p lang="en" { (made) } }
            p class="strong" { (if open == 0 { words.say("recipe.clear").to_owned() } else { words.count("recipe.open", open) }) }
            @for doubt in &draft.doubts { (question(words, doubt)) }
            ol class="lines" { @for line in &draft.lines { li class="line" { (read_line(words, line)) } } }
            @if !draft.set_aside.is_empty() {
                details { summary { (words.count("recipe.aside", draft.set_aside.len())) } ul { @for line in &draft.set_aside { li { (line) } } } }
            }
        }
    }
}

fn read_line(words: Words, line: &DraftLine) -> Markup {
    html! {
        p {
            q { (line.as_written) }
            " \u{2192} "
            @if line.left_out { span class="strong" { (words.say("recipe.left_out")) } }
            @else {
                span class="strong" {
                    (line.amount.as_deref().unwrap_or("?")) " "
                    (line.ingredient.as_ref().and_then(|found| found.name.as_deref()).unwrap_or("?"))
                }
                @if let Some(form) = &line.form { ", " (form) }
            }
        }
        @for doubt in &line.doubts { (question(words, doubt)) }
    }
}

fn question(words: Words, doubt: &Doubt) -> Markup {
    let key = &doubt.key;
    let chosen = match &doubt.answer {
        Some(Answer::Choice(nth)) => Some(*nth),
        _ => None,
    };
    let typed = match &doubt.answer {
        Some(Answer::Words(words)) => words.as_str(),
        _ => "",
    };
    html! {
        fieldset class="choices doubt" {
            legend lang="en" { (doubt.question) }
            @for (nth, choice) in doubt.choices.iter().enumerate() {
                label lang="en" {
                    input type="radio" name={ "answer." (key) } value=(nth) checked[chosen == Some(nth)];
                    span { (choice.label) }
                }
            }
            @if let Some(what) = &doubt.in_words {
                div class="field" {
                    label for={ "words-" (key) } { (words.say("recipe.or_words")) }
                    p class="hint" id={ "words-" (key) "-hint" } lang="en" { (what) }
                    input type="text" id={ "words-" (key) } name={ "words." (key) } value=(typed) autocomplete="off"
                        aria-describedby={ "words-" (key) "-hint" };
                }
            }
        }
    }
}
