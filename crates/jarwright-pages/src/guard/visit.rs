//! A visit: one browser, known by a cookie, and the token that its forms carry.

use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::request::Parts;
use axum::response::Response;
use axum::{Extension, Form};
use sha2::{Digest, Sha256};

use crate::house::Shared;
use crate::reader::Reader;
use crate::trouble::Trouble;

/// Name of the visit's cookie.
pub const VISIT_COOKIE: &str = "jarwright-visit";

/// Name of the form's token field.
pub const TOKEN_FIELD: &str = "form-token";

/// One browser's visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Visit {
    id: String,
    seal: String,
    token: String,
}

/// Bytes that nobody can guess.
pub(crate) fn random<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    if getrandom::fill(&mut bytes).is_err() {
        // Without the system's randomness no visit can be told from another: refuse to make one up.
        std::process::abort();
    }
    bytes
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A keyed hash of a visit for one purpose.
fn sealed(key: &[u8; 32], purpose: &str, id: &str) -> String {
    let inner = Sha256::new()
        .chain_update(key)
        .chain_update(purpose)
        .chain_update(id)
        .finalize();
    hex(&Sha256::new().chain_update(key).chain_update(inner).finalize())
}

impl Visit {
    /// A new visit.
    pub(crate) fn begin(key: &[u8; 32]) -> Self {
        Self::of(hex(&random::<16>()), key)
    }

    fn of(id: String, key: &[u8; 32]) -> Self {
        Self {
            seal: sealed(key, "visit", &id),
            token: sealed(key, "form", &id),
            id,
        }
    }

    /// The visit of a cookie's value, if this house gave it out.
    pub(crate) fn parse(value: &str, key: &[u8; 32]) -> Option<Self> {
        let (id, seal) = value.split_once('.')?;
        if id.len() != 32 || !id.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return None;
        }
        let visit = Self::of(id.to_owned(), key);
        same(&visit.seal, seal).then_some(visit)
    }

    /// Its cookie.
    pub(crate) fn cookie(&self) -> String {
        format!(
            "{VISIT_COOKIE}={}.{}; Path=/; HttpOnly; SameSite=Strict",
            self.id, self.seal
        )
    }

    /// The token its forms carry.
    #[must_use]
    pub fn token(&self) -> &str {
        &self.token
    }
}

/// Whether two texts are the same, in a time that does not tell where they differ.
fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |differ, (a, b)| differ | (a ^ b)) == 0
}

impl<S: Send + Sync> FromRequestParts<S> for Visit {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Response> {
        Extension::<Self>::from_request_parts(parts, state)
            .await
            .map(|Extension(visit)| visit)
            .map_err(|_| Trouble::NotFromHere.page(Reader::default()))
    }
}

/// Fields of a form that one of this visit's own pages sent.
#[derive(Debug, Clone)]
pub struct Posted {
    fields: Vec<(String, String)>,
}

impl Posted {
    /// The value of a field, trimmed; empty where it was not sent.
    #[must_use]
    pub fn get(&self, name: &str) -> &str {
        self.fields
            .iter()
            .find(|(key, _)| key == name)
            .map_or("", |(_, value)| value.trim())
    }

    /// Whether a field was sent.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.fields.iter().any(|(key, _)| key == name)
    }

    /// Every value of a field that may be sent more than once.
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.fields
            .iter()
            .filter(move |(key, _)| key == name)
            .map(|(_, value)| value.trim())
    }

    /// Every field with its value.
    pub fn fields(&self) -> impl Iterator<Item = (&str, &str)> {
        self.fields.iter().map(|(key, value)| (key.as_str(), value.trim()))
    }
}

impl FromRequest<Shared> for Posted {
    type Rejection = Response;

    async fn from_request(request: Request, state: &Shared) -> Result<Self, Response> {
        let (mut parts, body) = request.into_parts();
        let Ok(reader) = Reader::from_request_parts(&mut parts, state).await;
        let visit = Visit::from_request_parts(&mut parts, state).await?;
        let request = Request::from_parts(parts, body);
        let Form(fields) = Form::<Vec<(String, String)>>::from_request(request, state)
            .await
            .map_err(|_| Trouble::unusable("a form that cannot be read", "go back and send it again").page(reader))?;
        let posted = Self { fields };
        if same(posted.get(TOKEN_FIELD), visit.token()) {
            Ok(posted)
        } else {
            Err(Trouble::NotFromHere.page(reader))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_visit_is_known_again_by_the_house_that_began_it_and_by_no_other() {
        let (key, other) = (random::<32>(), random::<32>());
        let visit = Visit::begin(&key);
        let cookie = visit.cookie();
        let value = cookie
            .split_once('=')
            .and_then(|(_, rest)| rest.split_once(';'))
            .map_or("", |(value, _)| value);
        assert_eq!(Visit::parse(value, &key), Some(visit));
        assert_eq!(Visit::parse(value, &other), None);
        assert_eq!(Visit::parse("", &key), None);
        assert_eq!(Visit::parse(&value.replace('.', "0."), &key), None);
    }

    #[test]
    fn a_visits_token_is_not_its_cookie() {
        let key = random::<32>();
        let visit = Visit::begin(&key);
        assert!(!visit.cookie().contains(visit.token()));
        assert_ne!(visit.token(), Visit::begin(&key).token());
    }
}
