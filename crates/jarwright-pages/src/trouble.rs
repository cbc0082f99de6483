//! When something does not go: as a page for people, as problem details (RFC 9457) for machines.

use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use jarwright_kitchen::PlanError;
use jarwright_kitchen::ports::KeepError;
use maud::html;
use serde::Serialize;

use crate::frame::{Page, Place};
use crate::reader::Reader;

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
        Self::NotFound { what: what.into() }
    }

    /// Something that cannot be used.
    pub fn unusable(what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Unusable {
            what: what.into(),
            hint: hint.into(),
        }
    }

    /// The status it answers with.
    #[must_use]
    pub const fn status(&self) -> StatusCode {
        match self {
            Self::NotFound { .. } => StatusCode::NOT_FOUND,
            Self::Unusable { .. } | Self::Cannot { .. } => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Overtaken => StatusCode::CONFLICT,
            Self::NotFromHere => StatusCode::FORBIDDEN,
            Self::TooMany => StatusCode::TOO_MANY_REQUESTS,
            Self::Locked => StatusCode::UNAUTHORIZED,
            Self::Ours { .. } => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    const fn key(&self) -> &'static str {
        match self {
            Self::NotFound { .. } => "trouble.not_found",
            Self::Unusable { .. } => "trouble.unusable",
            Self::Cannot { .. } => "trouble.cannot",
            Self::Overtaken => "trouble.overtaken",
            Self::NotFromHere => "trouble.not_from_here",
            Self::TooMany => "trouble.too_many",
            Self::Locked => "trouble.locked",
            Self::Ours { .. } => "trouble.ours",
        }
    }

    /// What is wrong, and what to do about it, in the kitchen's English.
    fn told(&self) -> (String, Vec<String>) {
        match self {
            Self::NotFound { what } | Self::Ours { what } => (what.clone(), Vec::new()),
            Self::Unusable { what, hint } => (what.clone(), vec![hint.clone()]),
            Self::Cannot { why, would } => (why.clone(), would.clone()),
            Self::Overtaken | Self::NotFromHere | Self::TooMany | Self::Locked => (String::new(), Vec::new()),
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
                p { a href="/" { (words.say("trouble.back")) } }
            }
        };
        Page {
            place: Place::Elsewhere,
            title: words.say(self.key()),
            over: None,
            body,
        }
        .answer_with(self.status(), reader)
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
        (self.status(), [(CONTENT_TYPE, "application/problem+json")], body).into_response()
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
