//! Who may ask: the door of every request.
//!
//! A request must name this house as its host (no rebinding of names), a change must come from one of
//! these pages (its origin, and a form token that only the visit's own pages carry), and every answer
//! tells the browser what it may load: style, script and pictures of this house, nothing else.

mod visit;

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, ORIGIN, REFERRER_POLICY, SET_COOKIE, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderName, HeaderValue, Method};
use axum::middleware::Next;
use axum::response::Response;

use crate::house::Shared;
use crate::reader::{Reader, cookie};
use crate::trouble::Trouble;

pub(crate) use visit::random;
pub use visit::{Posted, VISIT_COOKIE, Visit};

/// What a page may load.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

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

    /// The loopback names at a port.
    #[must_use]
    pub fn loopback(port: u16) -> Self {
        Self::new(
            ["127.0.0.1", "localhost", "[::1]"]
                .map(|name| format!("{name}:{port}"))
                .into(),
        )
    }

    fn know(&self, host: &str) -> bool {
        self.names.iter().any(|name| name.eq_ignore_ascii_case(host))
    }
}

/// The door.
pub async fn door(State(house): State<Shared>, request: Request, next: Next) -> Response {
    let (mut parts, body) = request.into_parts();
    let reader = match cookie(&parts, crate::reader::COOKIE_NAME) {
        Some(value) => Reader::from_cookie(value),
        None => Reader::default(),
    };
    let machine = parts.uri.path().starts_with("/api/");
    let refuse = |trouble: &Trouble| {
        if machine {
            trouble.problem()
        } else {
            trouble.page(reader)
        }
    };
    let text = |name: HeaderName| parts.headers.get(name).and_then(|value| value.to_str().ok());
    let host = text(HOST).unwrap_or_default();
    let changes = !matches!(parts.method, Method::GET | Method::HEAD);
    let same_origin = text(ORIGIN).is_none_or(|origin| {
        origin
            .split_once("://")
            .is_some_and(|(_, rest)| rest.eq_ignore_ascii_case(host))
    });
    let same_site =
        text(HeaderName::from_static("sec-fetch-site")).is_none_or(|from| matches!(from, "same-origin" | "none"));
    let mut answer = if !house.hosts.know(host) || (changes && !(same_origin && same_site)) {
        refuse(&Trouble::NotFromHere)
    } else {
        let known = cookie(&parts, VISIT_COOKIE).and_then(|value| Visit::parse(value, &house.key));
        let (visit, new) = match known {
            Some(visit) => (visit, false),
            None => (Visit::begin(&house.key), true),
        };
        let set = new.then(|| visit.cookie());
        parts.extensions.insert(visit);
        let mut answer = next.run(Request::from_parts(parts, body)).await;
        if let Some(value) = set.and_then(|cookie| HeaderValue::from_str(&cookie).ok()) {
            answer.headers_mut().append(SET_COOKIE, value);
        }
        answer
    };
    protect(&mut answer);
    answer
}

/// What every answer says to the browser; a page's own policy stays.
fn protect(answer: &mut Response<Body>) {
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
