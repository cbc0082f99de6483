//! How you read: language, temperature scale, amounts, theme.

use axum::http::StatusCode;
use axum::http::header::{LOCATION, SET_COOKIE};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use crate::fields::hidden;
use crate::frame::{Page, Place};
use crate::guard::{Posted, Visit};
use crate::reader::{Amounts, COOKIE_NAME, Reader, Scale, Theme, choice, word};
use crate::words::{Tongue, Words};

/// The page of choices.
pub async fn page(reader: Reader, visit: Visit) -> Response {
    let words = reader.words();
    let body = html! {
        form method="post" action="/reading" class="plain" {
            (hidden(&visit, None))
            (group("language", words.say("reading.language"), &Tongue::ALL.map(|t| (t.tag(), t.name().to_owned())), reader.tongue.tag()))
            (group("scale", words.say("reading.scale"), &said(words, &[("both", "reading.scale_both"), ("c", "reading.scale_c"), ("f", "reading.scale_f")]), word(reader.scale, &Scale::ALL)))
            (group("amounts", words.say("reading.amounts"), &said(words, &[("g", "reading.amounts_g"), ("oz", "reading.amounts_oz"), ("cup", "reading.amounts_cup")]), word(reader.amounts, &Amounts::ALL)))
            (group("theme", words.say("reading.theme"), &said(words, &[("device", "reading.theme_device"), ("light", "reading.theme_light"), ("dark", "reading.theme_dark")]), reader.theme.word()))
            p class="do" { button type="submit" { (words.say("reading.keep")) } }
        }
    };
    Page {
        place: Place::Reading,
        title: words.say("place.reading"),
        over: None,
        body,
    }
    .answer(reader)
}

/// Words of choices with what people read.
fn said(words: Words, choices: &[(&'static str, &'static str)]) -> Vec<(&'static str, String)> {
    choices
        .iter()
        .map(|&(word, key)| (word, words.say(key).to_owned()))
        .collect()
}

fn group(name: &str, title: &str, choices: &[(&str, String)], chosen: &str) -> Markup {
    html! {
        fieldset class="choices" {
            legend { (title) }
            @for (value, label) in choices {
                label { input type="radio" name=(name) value=(value) checked[*value == chosen]; span { (label) } }
            }
        }
    }
}

/// Keeps the choices in the reader's cookie.
pub async fn choose(posted: Posted) -> Response {
    let reader = Reader {
        tongue: Tongue::of(posted.get("language")).unwrap_or_default(),
        scale: choice(posted.get("scale"), &Scale::ALL),
        amounts: choice(posted.get("amounts"), &Amounts::ALL),
        theme: choice(posted.get("theme"), &Theme::ALL),
        ..Reader::default()
    };
    let cookie = format!(
        "{COOKIE_NAME}={}; Path=/; Max-Age=31536000; HttpOnly; SameSite=Strict",
        reader.cookie()
    );
    (
        StatusCode::SEE_OTHER,
        [(LOCATION, "/reading".to_owned()), (SET_COOKIE, cookie)],
    )
        .into_response()
}
