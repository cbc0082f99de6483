//! Who may ask: the door of every request.
//!
//! A request must name this house as its host (no rebinding of names), a change must come from one of
//! these pages (its origin, and a form token that only the visit's own pages carry), nobody asks
//! faster than a pace, where there is a lock only those inside get further, and every answer tells
//! the browser what it may load: style, script and pictures of this house, nothing else. Whatever
//! goes wrong behind the door comes out as a page of ours.
//!
//! Read next: `visit.rs` (a browser and the token of its forms), `lock.rs` (passphrase and stays),
//! `pace.rs` (how often), `turns.rs` (who computes), then `entry.rs`, the page that asks.

mod lock;
mod pace;
mod turns;
mod visit;

use std::time::{Duration, Instant};

use axum::body::{Body, Bytes};
use axum::extract::{DefaultBodyLimit, FromRequest, Request, State};
use axum::http::header::{
    ALLOW, CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HOST, ORIGIN, REFERRER_POLICY, SET_COOKIE,
    X_CONTENT_TYPE_OPTIONS,
};
use axum::http::request::Parts;
use axum::http::{HeaderName, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;

use crate::entry;
use crate::house::{House, Shared};
use crate::reader::{Reader, cookie};
use crate::trouble::Trouble;

pub use lock::{LEAST_CHARACTERS, Lock, Passphrase, Tried, Unfit};
pub use pace::{Pace, Paces, Peer};
pub(crate) use turns::Turns;
use turns::trying;
pub use visit::{Key, Posted, Visit, cookie_name};

/// What a page may load.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Largest request [bytes]: a kept text, written as a form.
pub(crate) const MOST_BODY: usize = 2 << 20;
/// Largest request of somebody who is not inside [bytes]: a passphrase.
const MOST_BODY_OUTSIDE: usize = 8 << 10;
/// A request is read in so long, or refused.
const LONGEST_READING: Duration = Duration::from_secs(30);

/// Pages of one address: 200 in a second, for hours.
const PAGES: Pace = Pace {
    at_once: 400,
    each: Duration::from_millis(5),
};
/// Changes of one address: faster than hands, slower than a flood.
const CHANGES: Pace = Pace {
    at_once: 120,
    each: Duration::from_millis(50),
};

/// How often one address may read and change.
#[derive(Debug)]
pub(crate) struct Tempo {
    pages: Paces,
    changes: Paces,
}

impl Default for Tempo {
    fn default() -> Self {
        Self {
            pages: Paces::new(PAGES),
            changes: Paces::new(CHANGES),
        }
    }
}

/// Which hosts a request may name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hosts {
    names: Vec<String>,
}

impl Hosts {
    /// Names of the house, each with its port: `127.0.0.1:8417`.
    #[must_use]
    pub fn new(names: Vec<String>) -> Self {
        Self { names }
    }

    /// Names at a port, as a browser sends them: without the port where it is the usual one.
    #[must_use]
    pub fn at(names: &[String], port: u16, secure: bool) -> Self {
        let usual = if secure { 443 } else { 80 };
        let with_port = names.iter().map(|name| format!("{name}:{port}"));
        let without = names.iter().filter(|_| port == usual).cloned();
        Self::new(with_port.chain(without).collect())
    }

    /// The loopback names at a port.
    #[must_use]
    pub fn loopback(port: u16) -> Self {
        Self::at(&["127.0.0.1", "localhost", "[::1]"].map(str::to_owned), port, false)
    }

    fn know(&self, host: &str) -> bool {
        self.names.iter().any(|name| name.eq_ignore_ascii_case(host))
    }
}

/// How an answer to a request is told when something does not go.
#[derive(Debug, Clone, Copy)]
struct Asked {
    reader: Reader,
    machine: bool,
}

impl Asked {
    fn of(parts: &Parts) -> Self {
        Self {
            reader: Reader::of(parts),
            machine: parts.uri.path().starts_with("/api/"),
        }
    }

    fn told(self, trouble: &Trouble) -> Response {
        if self.machine {
            trouble.problem()
        } else {
            trouble.page(self.reader)
        }
    }

    /// What a library answered in its own words, in ours.
    fn in_our_words(self, answer: Response) -> Response {
        let status = answer.status();
        if is_page(&answer)
            || kind(&answer) == "application/problem+json"
            || !(status.is_client_error() || status.is_server_error())
        {
            return answer;
        }
        let mut told = self.told(&Trouble::of_status(status));
        if let Some(ways) = answer.headers().get(ALLOW) {
            told.headers_mut().insert(ALLOW, ways.clone());
        }
        told
    }
}

/// Kind of an answer's content.
fn kind(answer: &Response) -> &str {
    answer
        .headers()
        .get(CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok())
        .unwrap_or_default()
}

fn is_page(answer: &Response) -> bool {
    kind(answer).starts_with("text/html")
}

/// The door.
pub async fn door(State(house): State<Shared>, request: Request, next: Next) -> Response {
    let (parts, body) = request.into_parts();
    let asked = Asked::of(&parts);
    let mut answer = match pass(&house, asked, parts, body, next).await {
        Ok(answer) => asked.in_our_words(answer),
        Err(refusal) => refusal,
    };
    protect(&mut answer);
    answer
}

async fn pass(house: &House, asked: Asked, mut parts: Parts, body: Body, next: Next) -> Result<Response, Response> {
    let told = |trouble: Trouble| asked.told(&trouble);
    let now = Instant::now();
    from_here(house, &parts).map_err(told)?;
    in_tempo(house, &parts, now).map_err(|wait| wait_for(asked, wait))?;
    let asset = parts.uri.path().starts_with("/assets/");
    let known = cookie(&parts, cookie_name(house.secure)).and_then(|value| Visit::parse(value, &house.key));
    let begun = known.is_none();
    let visit = known.unwrap_or_else(|| Visit::begin(&house.key));
    let inside = house.lock.as_ref().is_none_or(|lock| lock.has_inside(&visit, now));
    let behind_lock = house.lock.is_some() && inside;
    parts.extensions.insert(visit.clone());
    if behind_lock {
        parts.extensions.insert(BehindLock);
    }
    let mut answer = if inside || asset || matches!(parts.uri.path(), "/door" | "/health") {
        let most = if inside { MOST_BODY } else { MOST_BODY_OUTSIDE };
        let tries = only_tries(&parts);
        let request = read(parts, body, most).await.map_err(told)?;
        if tries {
            trying(next.run(request)).await
        } else {
            next.run(request).await
        }
    } else {
        outside(asked, &parts, &visit)
    };
    if begun && is_page(&answer) {
        set_cookie(&mut answer, &visit.cookie(house.secure));
    }
    Ok(answer)
}

/// Mark of a request of somebody inside a lock.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BehindLock;

/// Whether a request names this house, and a change comes from one of its pages.
fn from_here(house: &House, parts: &Parts) -> Result<(), Trouble> {
    let all = |name: HeaderName| {
        parts
            .headers
            .get_all(name)
            .iter()
            .map(|value| value.to_str().unwrap_or_default())
    };
    let mut hosts = all(HOST);
    let host = hosts.next().unwrap_or_default();
    let named = hosts.next().is_none() && house.hosts.know(host);
    let scheme = if house.secure { "https" } else { "http" };
    let same_origin = all(ORIGIN).all(|origin| {
        let met = origin.split_once("://");
        met.is_some_and(|(met, rest)| met == scheme && rest.eq_ignore_ascii_case(host))
    });
    let same_site = all(HeaderName::from_static("sec-fetch-site")).all(|from| matches!(from, "same-origin" | "none"));
    if named && (reads(&parts.method) || (same_origin && same_site)) {
        Ok(())
    } else {
        Err(Trouble::NotFromHere)
    }
}

/// Whether a method only reads.
fn reads(method: &Method) -> bool {
    matches!(*method, Method::GET | Method::HEAD)
}

/// Whether a request tries what is not kept: a form being filled in, a target, a departure.
fn only_tries(parts: &Parts) -> bool {
    let path = parts.uri.path();
    let asks = parts.uri.query().is_some() && (path.ends_with("/adjust") || path.contains("/jar/"));
    path.ends_with("/try") || (reads(&parts.method) && asks)
}

/// Whether a request is inside its peer's pace; else the time until it is.
fn in_tempo(house: &House, parts: &Parts, now: Instant) -> Result<(), Duration> {
    // Without a socket in between it is this program itself that asks.
    let peer = parts.extensions.get().copied().unwrap_or(Peer::HERE);
    // Trying is reading with many fields: it keeps nothing, and turns bound it.
    if reads(&parts.method) || only_tries(parts) {
        house.tempo.pages.take(peer, now)
    } else {
        house.tempo.changes.take(peer, now)
    }
}

fn wait_for(asked: Asked, wait: Duration) -> Response {
    let mut answer = asked.told(&Trouble::TooMany);
    entry::say_when(&mut answer, wait);
    answer
}

/// Reads a request whole, so that nothing behind the door waits for bytes.
async fn read(parts: Parts, body: Body, most: usize) -> Result<Request, Trouble> {
    if reads(&parts.method) {
        return Ok(Request::from_parts(parts, Body::empty()));
    }
    let mut to_read = Request::new(body);
    *to_read.headers_mut() = parts.headers.clone();
    DefaultBodyLimit::max(most).apply(&mut to_read);
    match tokio::time::timeout(LONGEST_READING, Bytes::from_request(to_read, &())).await {
        Ok(Ok(bytes)) => Ok(Request::from_parts(parts, Body::from(bytes))),
        Ok(Err(refused)) => Err(Trouble::of_status(refused.status())),
        Err(_) => Err(Trouble::TooSlow),
    }
}

/// What somebody outside gets: the page that asks for the passphrase, where they can come back to.
fn outside(asked: Asked, parts: &Parts, visit: &Visit) -> Response {
    if asked.machine || !reads(&parts.method) {
        return asked.told(&Trouble::Locked);
    }
    let to = parts.uri.path_and_query().map_or("/", |to| to.as_str());
    entry::ask(asked.reader, visit, to, None, StatusCode::UNAUTHORIZED)
}

/// Adds a cookie to an answer.
pub(crate) fn set_cookie(answer: &mut Response, cookie: &str) {
    if let Ok(value) = HeaderValue::from_str(cookie) {
        answer.headers_mut().append(SET_COOKIE, value);
    }
}

/// What every answer says to the browser; a page's own policy stays.
fn protect(answer: &mut Response) {
    let headers = answer.headers_mut();
    let mut usual = |name: HeaderName, value: &'static str| {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    };
    usual(CONTENT_SECURITY_POLICY, POLICY);
    usual(X_CONTENT_TYPE_OPTIONS, "nosniff");
    usual(REFERRER_POLICY, "same-origin");
    usual(HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    usual(HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    usual(CACHE_CONTROL, "no-store");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::house::{Example, Parts as HouseParts};
    use axum::http::header::RETRY_AFTER;

    fn house() -> Shared {
        House::new(HouseParts {
            keeper: std::sync::Arc::new(jarwright_kitchen::ports::Memory::default()),
            example: Example {
                kitchen: "",
                stores: "",
                formulas: &[],
            },
            clock: || jiff::civil::date(2026, 11, 25).at(9, 0, 0, 0),
            program: "tests",
            hosts: Hosts::loopback(8417),
            passphrase: None,
            secure: false,
            key: Key::new(),
        })
    }

    fn asked_by(peer: Peer, method: Method, path: &str) -> Parts {
        let mut request = Request::new(Body::empty());
        *request.method_mut() = method;
        *request.uri_mut() = path.parse().unwrap();
        request.extensions_mut().insert(peer);
        request.into_parts().0
    }

    #[test]
    fn pages_and_changes_have_their_own_pace_for_each_address() {
        let (house, now) = (house(), Instant::now());
        let (one, other) = (Peer::HERE, Peer::of([192, 0, 2, 1].into()));
        let passed = |peer, method: Method, path: &str| {
            let parts = asked_by(peer, method, path);
            (0..1000).take_while(|_| in_tempo(&house, &parts, now).is_ok()).count()
        };
        assert_eq!(passed(one, Method::POST, "/runs/new"), 120);
        assert_eq!(passed(one, Method::GET, "/runs"), 400);
        assert_eq!(passed(one, Method::POST, "/formulas/new/try"), 0, "trying is reading");
        assert_eq!(passed(other, Method::POST, "/formulas/new/try"), 400);
        assert_eq!(passed(other, Method::DELETE, "/runs"), 120);
    }

    #[test]
    fn fifty_five_pages_a_second_for_ten_minutes_are_no_haste() {
        let (house, start) = (house(), Instant::now());
        let parts = asked_by(Peer::HERE, Method::GET, "/runs");
        for second in 0..600 {
            for _ in 0..55 {
                assert_eq!(in_tempo(&house, &parts, start + Duration::from_secs(second)), Ok(()));
            }
        }
    }

    #[test]
    fn who_must_wait_is_told_how_long() {
        let asked = |machine| Asked {
            reader: Reader::default(),
            machine,
        };
        for machine in [false, true] {
            let answer = wait_for(asked(machine), Duration::from_millis(4_200));
            assert_eq!(answer.status(), StatusCode::TOO_MANY_REQUESTS);
            assert_eq!(answer.headers()[RETRY_AFTER], "5");
            assert_eq!(is_page(&answer), !machine);
        }
    }
}
