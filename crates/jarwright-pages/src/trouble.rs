//! When something does not go: as a page for people, as problem details (RFC 9457) for machines.

use axum::http::header::{CONTENT_TYPE, RETRY_AFTER, WWW_AUTHENTICATE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use jarwright_kitchen::PlanError;
use jarwright_kitchen::ports::KeepError;
use maud::html;
use serde::Serialize;

use crate::frame::{Page, Place};
use crate::reader::Reader;

/// Most that is told of what was looked for [characters].
const MOST_TOLD: usize = 120;

/// What did not go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// There is no such page or thing.
    NotFound {
        /// What was looked for.
        what: String,
    },
    /// What was sent cannot be used.
    Unusable {
        /// What is wrong.
        what: String,
        /// What to do.
        hint: String,
    },
    /// What was asked is understood and cannot be done.
    Cannot {
        /// Why.
        why: String,
        /// What would do.
        would: Vec<String>,
    },
    /// Somebody else saved in between.
    Overtaken,
    /// The request does not come from one of these pages.
    NotFromHere,
    /// A request that is none of HTTP or of these pages.
    Garbled,
    /// The address is there; it is not for this method.
    NotThisWay,
    /// The request took too long to arrive.
    TooSlow,
    /// The request is larger than any of these pages makes.
    TooLarge,
    /// What was sent is no form.
    WrongKind,
    /// Too many requests.
    TooMany,
    /// A passphrase is asked for first.
    Locked,
    /// Our own fault, or the disk's.
    Ours {
        /// What failed, without a trace.
        what: String,
    },
}

impl Trouble {
    /// A thing that is not there.
    pub fn not_found(what: impl Into<String>) -> Self {
        // What was looked for may be anything that fits into an address.
        let what = what.into().chars().take(MOST_TOLD).collect();
        Self::NotFound { what }
    }

    /// Something that cannot be used.
    pub fn unusable(what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Unusable {
            what: what.into(),
            hint: hint.into(),
        }
    }

    /// The trouble behind a status that a library answered with.
    #[must_use]
    pub fn of_status(status: StatusCode) -> Self {
        match status {
            StatusCode::UNAUTHORIZED => Self::Locked,
            StatusCode::FORBIDDEN => Self::NotFromHere,
            StatusCode::NOT_FOUND => Self::not_found(""),
            StatusCode::METHOD_NOT_ALLOWED => Self::NotThisWay,
            StatusCode::REQUEST_TIMEOUT => Self::TooSlow,
            StatusCode::PAYLOAD_TOO_LARGE => Self::TooLarge,
            StatusCode::UNSUPPORTED_MEDIA_TYPE => Self::WrongKind,
            StatusCode::TOO_MANY_REQUESTS => Self::TooMany,
            status if status.is_client_error() => Self::Garbled,
            _ => Self::Ours { what: String::new() },
        }
    }

    /// The status it answers with, the key of its title, and the key of what to do.
    const fn told_as(&self) -> (StatusCode, &'static str, Option<&'static str>) {
        match self {
            Self::NotFound { .. } => (StatusCode::NOT_FOUND, "trouble.not_found", None),
            Self::Unusable { .. } => (StatusCode::UNPROCESSABLE_ENTITY, "trouble.unusable", None),
            Self::Cannot { .. } => (StatusCode::UNPROCESSABLE_ENTITY, "trouble.cannot", None),
            Self::Overtaken => (StatusCode::CONFLICT, "trouble.overtaken", None),
            Self::NotFromHere => (
                StatusCode::FORBIDDEN,
                "trouble.not_from_here",
                Some("trouble.not_from_here_do"),
            ),
            Self::Garbled => (StatusCode::BAD_REQUEST, "trouble.garbled", None),
            Self::NotThisWay => (StatusCode::METHOD_NOT_ALLOWED, "trouble.not_this_way", None),
            Self::TooSlow => (
                StatusCode::REQUEST_TIMEOUT,
                "trouble.too_slow",
                Some("trouble.too_slow_do"),
            ),
            Self::TooLarge => (
                StatusCode::PAYLOAD_TOO_LARGE,
                "trouble.too_large",
                Some("trouble.too_large_do"),
            ),
            Self::WrongKind => (StatusCode::UNSUPPORTED_MEDIA_TYPE, "trouble.wrong_kind", None),
            Self::TooMany => (
                StatusCode::TOO_MANY_REQUESTS,
                "trouble.too_many",
                Some("trouble.too_many_do"),
            ),
            Self::Locked => (StatusCode::UNAUTHORIZED, "trouble.locked", Some("trouble.locked_do")),
            Self::Ours { .. } => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "trouble.ours",
                Some("trouble.ours_do"),
            ),
        }
    }

    /// The status it answers with.
    #[must_use]
    pub const fn status(&self) -> StatusCode {
        self.told_as().0
    }

    const fn key(&self) -> &'static str {
        self.told_as().1
    }

    /// What is wrong, and what to do about it, in the kitchen's English.
    fn told(&self) -> (String, Vec<String>) {
        match self {
            Self::NotFound { what } | Self::Ours { what } => (what.clone(), Vec::new()),
            Self::Unusable { what, hint } => (what.clone(), vec![hint.clone()]),
            Self::Cannot { why, would } => (why.clone(), would.clone()),
            Self::Overtaken
            | Self::NotFromHere
            | Self::Garbled
            | Self::NotThisWay
            | Self::TooSlow
            | Self::TooLarge
            | Self::WrongKind
            | Self::TooMany
            | Self::Locked => (String::new(), Vec::new()),
        }
    }

    /// As a page.
    #[must_use]
    pub fn page(&self, reader: Reader) -> Response {
        let words = reader.words();
        let (what, do_this) = self.told();
        let body = html! {
            section class="plain" {
                @if !what.is_empty() { p lang="en" { (what) } }
                @if !do_this.is_empty() {
                    ul lang="en" { @for line in &do_this { li { (line) } } }
                }
                @if let Some(key) = self.told_as().2 { p { (words.say(key)) } }
                p { a href=(if *self == Self::Locked { "/door" } else { "/" }) { (words.say("trouble.back")) } }
            }
        };
        let mut answer = Page {
            place: Place::Elsewhere,
            title: words.say(self.key()),
            over: None,
            body,
        }
        .answer_with(self.status(), reader);
        self.mark(&mut answer);
        answer
    }

    /// As problem details.
    #[must_use]
    pub fn problem(&self) -> Response {
        #[derive(Serialize)]
        struct Details {
            #[serde(rename = "type")]
            kind: String,
            title: String,
            status: u16,
            #[serde(skip_serializing_if = "String::is_empty")]
            detail: String,
            #[serde(skip_serializing_if = "Vec::is_empty")]
            remedies: Vec<String>,
        }
        let (detail, remedies) = self.told();
        let details = Details {
            kind: format!(
                "/problems/{}",
                self.key().trim_start_matches("trouble.").replace('_', "-")
            ),
            title: Reader::default().words().say(self.key()).to_owned(),
            status: self.status().as_u16(),
            detail,
            remedies,
        };
        let body = serde_json::to_string(&details).unwrap_or_default();
        let mut answer = (self.status(), [(CONTENT_TYPE, "application/problem+json")], body).into_response();
        self.mark(&mut answer);
        answer
    }

    /// The header that HTTP asks for with some of the statuses.
    pub(crate) fn mark(&self, answer: &mut Response) {
        let (name, value) = match self {
            // RFC 9110, 15.5.2: what is asked for; no scheme that a browser would ask for by itself.
            Self::Locked => (WWW_AUTHENTICATE, "Passphrase realm=\"door\""),
            Self::TooMany => (RETRY_AFTER, "1"),
            _ => return,
        };
        answer.headers_mut().insert(name, HeaderValue::from_static(value));
    }
}

impl From<KeepError> for Trouble {
    fn from(error: KeepError) -> Self {
        match error {
            KeepError::Overtaken { .. } => Self::Overtaken,
            other => Self::Ours {
                what: other.to_string(),
            },
        }
    }
}

impl From<PlanError> for Trouble {
    fn from(error: PlanError) -> Self {
        match error {
            PlanError::Asked { what, hint } => Self::Unusable { what, hint },
            PlanError::CannotMeet { reason, would } => Self::Cannot { why: reason, would },
            other => {
                let text = other.to_string();
                let (what, hint) = text.split_once("\n  hint: ").unwrap_or((&text, ""));
                Self::unusable(what, hint)
            }
        }
    }
}
