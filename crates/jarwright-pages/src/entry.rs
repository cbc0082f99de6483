//! The door itself: the page that asks for the passphrase, and the way out again.

use std::time::{Duration, Instant};

use axum::Extension;
use axum::extract::State;
use axum::http::header::{LOCATION, RETRY_AFTER};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use crate::fields::hidden;
use crate::frame::{Page, Place};
use crate::guard::{Peer, Posted, Tried, Visit, set_cookie};
use crate::house::Shared;
use crate::reader::Reader;
use crate::trouble::Trouble;

/// Longest address that is come back to [bytes].
const LONGEST_WAY: usize = 1000;

/// The address to go on to: a path of this house, or its first page.
///
/// Two slashes, or a slash and a backslash, would begin another house's name.
fn way(to: &str) -> &str {
    let plain = to.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'\\');
    let local = to.starts_with('/') && !to.starts_with("//") && !to.starts_with("/door");
    if plain && local && to.len() <= LONGEST_WAY {
        to
    } else {
        "/"
    }
}

/// The page that asks.
///
/// * `to`: where the person was going
/// * `fault`: key of what went wrong with the last try
pub(crate) fn ask(reader: Reader, visit: &Visit, to: &str, fault: Option<&str>, status: StatusCode) -> Response {
    let words = reader.words();
    let body = html! {
        form method="post" action="/door" class="plain" {
            (hidden(visit, None))
            input type="hidden" name="to" value=(way(to));
            div class="field" {
                label for="passphrase" { (words.say("door.passphrase")) }
                p class="hint" id="passphrase-hint" { (words.say("door.hint")) }
                input type="password" id="passphrase" name="passphrase" autocomplete="current-password" required autofocus
                    aria-invalid=[fault.map(|_| "true")]
                    aria-describedby=(if fault.is_some() { "passphrase-hint passphrase-fault" } else { "passphrase-hint" });
                @if let Some(key) = fault {
                    div class="fault" id="passphrase-fault" role="alert" { p { (words.say(key)) } }
                }
            }
            p class="do" { button type="submit" { (words.say("door.come_in")) } }
        }
    };
    let mut answer = door(reader, body, status);
    if status == StatusCode::UNAUTHORIZED {
        Trouble::Locked.mark(&mut answer);
    }
    answer
}

fn door(reader: Reader, body: Markup, status: StatusCode) -> Response {
    Page {
        place: Place::Door,
        title: reader.words().say("door.title"),
        over: None,
        body,
    }
    .answer_with(status, reader)
}

/// Says when it is worth asking again.
pub(crate) fn say_when(answer: &mut Response, wait: Duration) {
    let seconds = wait.as_secs() + 1;
    answer.headers_mut().insert(RETRY_AFTER, HeaderValue::from(seconds));
}

/// The door: asks whoever is outside, and shows the way out to whoever is inside.
pub async fn page(State(house): State<Shared>, reader: Reader, visit: Visit) -> Response {
    let words = reader.words();
    let Some(lock) = &house.lock else {
        return Trouble::not_found("/door").page(reader);
    };
    if !lock.has_inside(&visit, Instant::now()) {
        return ask(reader, &visit, "/", None, StatusCode::OK);
    }
    let body = html! {
        form method="post" action="/door/close" class="plain" {
            (hidden(&visit, None))
            p { (words.say("door.inside")) }
            p class="do" {
                button type="submit" { (words.say("door.close")) }
                a class="button quiet" href="/" { (words.say("trouble.back")) }
            }
        }
    };
    door(reader, body, StatusCode::OK)
}

/// Tries a passphrase.
pub async fn come_in(
    State(house): State<Shared>,
    reader: Reader,
    visit: Visit,
    peer: Option<Extension<Peer>>,
    posted: Posted,
) -> Response {
    let Some(lock) = &house.lock else {
        return Trouble::not_found("/door").page(reader);
    };
    let peer = peer.map_or(Peer::HERE, |Extension(peer)| peer);
    match lock.try_words(posted.get("passphrase"), peer, &visit, &house.key).await {
        Tried::Inside(new) => {
            let mut answer = (StatusCode::SEE_OTHER, [(LOCATION, way(posted.get("to")))]).into_response();
            set_cookie(&mut answer, &new.cookie(house.secure));
            answer
        }
        Tried::Wrong => ask(
            reader,
            &visit,
            posted.get("to"),
            Some("door.wrong"),
            StatusCode::UNAUTHORIZED,
        ),
        Tried::Wait(wait) => {
            let to = posted.get("to");
            let mut answer = ask(reader, &visit, to, Some("door.wait"), StatusCode::TOO_MANY_REQUESTS);
            say_when(&mut answer, wait);
            answer
        }
    }
}

/// Goes out and closes the door.
pub async fn close(State(house): State<Shared>, visit: Visit, _posted: Posted) -> Response {
    if let Some(lock) = &house.lock {
        lock.leave(&visit);
    }
    let mut answer = (StatusCode::SEE_OTHER, [(LOCATION, "/door")]).into_response();
    set_cookie(&mut answer, &Visit::begin(&house.key).cookie(house.secure));
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_on_leads_nowhere_but_into_this_house() {
        assert_eq!(way("/runs/market/heat?a=1"), "/runs/market/heat?a=1");
        let long = format!("/{}", "x".repeat(LONGEST_WAY));
        for elsewhere in [
            "",
            "//evil.example",
            "/\\evil.example",
            "https://evil.example",
            "runs",
            "/a b",
            "/\r\nx: y",
            "/\u{e9}",
            "/door",
            &long,
        ] {
            assert_eq!(way(elsewhere), "/", "{elsewhere}");
        }
    }
}
