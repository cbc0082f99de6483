//! What was kept elsewhere, told to pages that listen (server-sent events).

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use jarwright_kitchen::ports::{Kept, Name};
use maud::{Markup, html};
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::{Stream, StreamExt};

use crate::house::Shared;
use crate::words::Words;

/// How often a quiet line is kept open.
const STILL_THERE: Duration = Duration::from_secs(25);

/// Every text kept from now on: `formula/lime-curd 4`.
pub async fn listen(State(house): State<Shared>) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    // A reader that fell behind has missed some: the next one it gets is as good.
    let told = BroadcastStream::new(house.changes.subscribe())
        .filter_map(Result::ok)
        .map(|changed| {
            let line = format!("{}/{} {}", changed.kind, changed.name, changed.number);
            Ok(Event::default().event("changed").data(line))
        });
    Sse::new(told).keep_alive(KeepAlive::new().interval(STILL_THERE))
}

/// Says, once it is so, that what the page shows was kept anew elsewhere.
pub(crate) fn notice(kind: Kept, name: &Name, number: u64, address: &str, words: Words) -> Markup {
    html! {
        p class="notice" role="status" hidden data-watch={ (kind) "/" (name) } data-number=(number) {
            (words.say("form.changed")) " " a href=(address) { (words.say("form.see_theirs")) }
        }
    }
}
