//! Formulas: every one that is kept, and the way to a new one.

use axum::extract::State;
use axum::response::Response;
use jarwright_kitchen::ports::Kept;
use maud::html;

use crate::form::Form;
use crate::frame::{Page, Place};
use crate::house::Shared;
use crate::reader::Reader;
use crate::trouble::Trouble;

/// The list.
pub async fn page(State(house): State<Shared>, reader: Reader) -> Result<Response, Response> {
    let words = reader.words();
    let formulas = house
        .keeper
        .all(Kept::Formula)
        .await
        .map_err(|error| Trouble::from(error).page(reader))?;
    let body = html! {
        @if formulas.is_empty() { p { (words.say("formulas.none")) } }
        ul class="jars-row" {
            @for formula in &formulas {
                @let form = Form::open(formula.text.as_str()).ok();
                li class="card" {
                    h2 { a href={ "/formulas/" (formula.name) } {
                        @match &form { Some(form) => (form.get("name")), None => (formula.name) }
                    } }
                    @if let Some(form) = &form {
                        p { (form.get("food")) " · " (words.count("formulas.lines", form.rows("line"))) }
                        @if !form.get("schedule").is_empty() { p class="hint" { (words.say("formulas.claims")) " " (form.get("schedule")) } }
                    }
                    p class="hint" { (words.fill("runs.version", &[("n", &formula.number.to_string())])) }
                }
            }
        }
        p class="do" {
            a class="button" href="/formulas/new" { (words.say("formulas.new")) }
            a class="button quiet" href="/formulas/recipe" { (words.say("recipe.title")) }
            a class="button quiet" href="/formulas/bring" { (words.say("text.bring")) }
        }
    };
    Ok(Page {
        place: Place::Formulas,
        title: words.say("place.formulas"),
        over: None,
        body,
    }
    .answer(reader))
}
