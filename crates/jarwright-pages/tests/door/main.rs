//! The door, tried from outside: what a browser, a stranger and a nuisance get.
//!
//! Everything goes through the router as a request, against a keeper without a disk; `over_tls.rs`
//! goes through a socket.

#![allow(clippy::unwrap_used, clippy::panic, reason = "what helps a test may stop it")]

mod from_here;
mod locked;
mod over_tls;
mod script;
mod shape;
mod whys;

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE, COOKIE, HOST, LOCATION, SET_COOKIE};
use axum::http::{HeaderMap, Method, Request, StatusCode};
use jarwright_kitchen::ports::{Keeper, Kept, Memory};
use jarwright_pages::guard::Peer;
use jarwright_pages::{Example, Hosts, House, Key, Parts, Passphrase, router};
use tower::ServiceExt;

const EXAMPLE: Example = Example {
    kitchen: include_str!("../../../../demo/kitchen.toml"),
    stores: include_str!("../../../../demo/stores.toml"),
    formulas: &[("lime-curd", include_str!("../../../../demo/formulas/lime-curd.toml"))],
};

/// The host that the house of the tests is called by.
const HOST_NAME: &str = "127.0.0.1:8417";
/// The passphrase of the locked house.
const WORDS: &str = "seven jars of quince";

fn house(keeper: Arc<dyn Keeper>, passphrase: Option<&str>, secure: bool, hosts: Hosts) -> Router {
    router(House::new(Parts {
        keeper,
        example: EXAMPLE,
        clock: || jiff::civil::date(2026, 11, 25).at(9, 0, 0, 0),
        program: "jarwright of the tests",
        hosts,
        passphrase: passphrase.map(|words| Passphrase::new(words).unwrap()),
        secure,
        key: Key::new(),
    }))
}

/// An answer, read to its end.
#[derive(Debug)]
struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    body: String,
}

impl Answer {
    fn header(&self, name: impl axum::http::header::AsHeaderName) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    /// Whether it is a page of ours, with everything that a page tells the browser.
    #[track_caller]
    fn must_be_a_page(&self, status: StatusCode) -> &Self {
        assert_eq!(self.status, status, "{}", self.body);
        assert!(self.header(CONTENT_TYPE).starts_with("text/html"), "{:?}", self.headers);
        assert!(
            self.body.contains("<title>") && self.body.contains("· Jarwright"),
            "{}",
            self.body
        );
        let policy = self.header(CONTENT_SECURITY_POLICY);
        assert!(
            policy.starts_with("default-src 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert_eq!(self.header("x-content-type-options"), "nosniff");
        assert_eq!(self.header("cache-control"), "no-store");
        self
    }

    /// Whether it is problem details (RFC 9457).
    #[track_caller]
    fn must_be_a_problem(&self, status: StatusCode) {
        assert_eq!(self.status, status, "{}", self.body);
        assert_eq!(self.header(CONTENT_TYPE), "application/problem+json");
        let details: serde_json::Value = serde_json::from_str(&self.body).unwrap();
        assert_eq!(details["status"], status.as_u16());
        assert!(details["title"].is_string() && details["type"].is_string());
    }

    /// The token of the page's forms.
    fn token(&self) -> Option<&str> {
        self.body
            .split_once("name=\"form-token\" value=\"")?
            .1
            .split('"')
            .next()
    }

    fn links(&self) -> Vec<String> {
        let named = self
            .body
            .split(" href=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next());
        named.map(str::to_owned).collect()
    }
}

/// A browser: keeps cookies, and the token of the page it saw last.
struct Browser {
    router: Router,
    host: String,
    peer: Option<Peer>,
    cookies: BTreeMap<String, String>,
    token: String,
}

impl Browser {
    fn of(router: Router) -> Self {
        Self {
            router,
            host: HOST_NAME.into(),
            peer: None,
            cookies: BTreeMap::new(),
            token: String::new(),
        }
    }

    /// A browser at a house with nothing in it, and its keeper.
    fn new() -> (Self, Arc<Memory>) {
        let keeper = Arc::new(Memory::default());
        let router = house(keeper.clone(), None, false, Hosts::new(vec![HOST_NAME.into()]));
        (Self::of(router), keeper)
    }

    /// A browser at a house with the invented kitchen in it.
    async fn begun() -> (Self, Arc<Memory>) {
        let (mut browser, keeper) = Self::new();
        browser.get("/").await;
        let answer = browser.post("/begin", &[("with", "example")]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
        (browser, keeper)
    }

    /// A browser outside a locked house.
    fn outside() -> Self {
        let hosts = Hosts::new(vec![HOST_NAME.into()]);
        Self::of(house(Arc::new(Memory::default()), Some(WORDS), false, hosts))
    }

    /// Another browser at the same house.
    fn another(&self) -> Self {
        Self::of(self.router.clone())
    }

    fn request(&self, method: Method, path: &str) -> axum::http::request::Builder {
        let mut request = Request::builder().method(method).uri(path).header(HOST, &self.host);
        if !self.cookies.is_empty() {
            let pairs: Vec<String> = self
                .cookies
                .iter()
                .map(|(name, value)| format!("{name}={value}"))
                .collect();
            request = request.header(COOKIE, pairs.join("; "));
        }
        request
    }

    async fn send(&mut self, mut request: Request<Body>) -> Answer {
        if let Some(peer) = self.peer {
            request.extensions_mut().insert(peer);
        }
        let answer = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = answer.into_parts();
        let bytes = to_bytes(body, 16 << 20).await.unwrap();
        for cookie in parts.headers.get_all(SET_COOKIE) {
            let (pair, _) = cookie.to_str().unwrap().split_once(';').unwrap();
            let (name, value) = pair.split_once('=').unwrap();
            self.cookies.insert(name.into(), value.into());
        }
        let answer = Answer {
            status: parts.status,
            headers: parts.headers,
            body: String::from_utf8_lossy(&bytes).into_owned(),
        };
        if let Some(token) = answer.token() {
            self.token = token.into();
        }
        answer
    }

    async fn get(&mut self, path: &str) -> Answer {
        let request = self.request(Method::GET, path).body(Body::empty()).unwrap();
        self.send(request).await
    }

    fn form(fields: &[(&str, &str)]) -> String {
        form_urlencoded::Serializer::new(String::new())
            .extend_pairs(fields)
            .finish()
    }

    /// A form of these fields and no others.
    fn bare_post(&self, path: &str, fields: &[(&str, &str)]) -> Request<Body> {
        self.request(Method::POST, path)
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from(Self::form(fields)))
            .unwrap()
    }

    /// A form as a page of the house sends it.
    async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = self.token.clone();
        let mut all = vec![("form-token", token.as_str())];
        all.extend(fields);
        let request = self.bare_post(path, &all);
        self.send(request).await
    }

    /// Comes in through the door.
    async fn come_in(&mut self, words: &str, to: &str) -> Answer {
        self.post("/door", &[("passphrase", words), ("to", to)]).await
    }
}

/// Everything that a keeper holds, told.
async fn held(keeper: &Memory) -> String {
    let mut told = String::new();
    for kind in Kept::ALL {
        told += &format!("{:?}\n", keeper.all(kind).await.unwrap());
    }
    told
}

fn location(answer: &Answer) -> &str {
    answer.header(LOCATION)
}
