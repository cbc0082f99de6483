//! A visit: one browser, known by a cookie, and the token that its forms carry.

use axum::Extension;
use axum::extract::{FromRequest, FromRequestParts, RawForm, Request};
use axum::http::request::Parts;
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};

use crate::house::Shared;
use crate::reader::Reader;
use crate::trouble::Trouble;

/// Name of the visit's cookie. Over TLS it has the prefix that makes a browser take it from this very
/// host alone, and only over TLS (RFC 6265bis, 4.1.3.2).
#[must_use]
pub const fn cookie_name(secure: bool) -> &'static str {
    if secure {
        "__Host-jarwright-visit"
    } else {
        "jarwright-visit"
    }
}

/// Most fields of a form. The longest that a page has is some thousands.
const MOST_FIELDS: usize = 20_000;

/// Name of the form's token field.
pub const TOKEN_FIELD: &str = "form-token";

/// A secret that visits and form tokens are sealed with.
#[derive(Clone, PartialEq, Eq)]
pub struct Key([u8; 32]);

impl std::fmt::Debug for Key {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Key")
    }
}

impl Default for Key {
    fn default() -> Self {
        Self::new()
    }
}

impl Key {
    /// A new one that nobody can guess.
    #[must_use]
    pub fn new() -> Self {
        Self(random())
    }

    /// The key of its text; none of another text.
    #[must_use]
    pub fn of_text(text: &str) -> Option<Self> {
        let digits = text.trim().as_bytes();
        let mut key = [0; 32];
        if digits.len() != 2 * key.len() || !digits.iter().all(u8::is_ascii_hexdigit) {
            return None;
        }
        for (byte, two) in key.iter_mut().zip(digits.chunks(2)) {
            *byte = std::str::from_utf8(two)
                .ok()
                .and_then(|two| u8::from_str_radix(two, 16).ok())?;
        }
        Some(Self(key))
    }

    /// Its text, to be kept where only its owner reads: 64 hexadecimal digits.
    #[must_use]
    pub fn text(&self) -> String {
        hex(&self.0)
    }
}

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
fn sealed(key: &Key, purpose: &str, id: &str) -> String {
    let inner = Sha256::new()
        .chain_update(key.0)
        .chain_update(purpose)
        .chain_update(id)
        .finalize();
    hex(&Sha256::new().chain_update(key.0).chain_update(inner).finalize())
}

impl Visit {
    /// A new visit.
    pub(crate) fn begin(key: &Key) -> Self {
        Self::of(hex(&random::<16>()), key)
    }

    fn of(id: String, key: &Key) -> Self {
        Self {
            seal: sealed(key, "visit", &id),
            token: sealed(key, "form", &id),
            id,
        }
    }

    /// The visit of a cookie's value, if this house gave it out.
    pub(crate) fn parse(value: &str, key: &Key) -> Option<Self> {
        let (id, seal) = value.split_once('.')?;
        if id.len() != 32 || !id.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return None;
        }
        let visit = Self::of(id.to_owned(), key);
        same(&visit.seal, seal).then_some(visit)
    }

    /// Its cookie.
    ///
    /// `Lax`, not `Strict`: following a link from elsewhere must not begin a new visit, which would
    /// end a stay and make every open form useless. No page changes anything on GET, and what changes
    /// something asks for the token.
    pub(crate) fn cookie(&self, secure: bool) -> String {
        let name = cookie_name(secure);
        let only_tls = if secure { "; Secure" } else { "" };
        format!(
            "{name}={}.{}; Path=/; HttpOnly; SameSite=Lax{only_tls}",
            self.id, self.seal
        )
    }

    /// What it is known by inside the house.
    pub(crate) fn id(&self) -> &str {
        &self.id
    }

    /// The token its forms carry.
    #[must_use]
    pub fn token(&self) -> &str {
        &self.token
    }
}

/// Whether two are the same, in a time that does not tell where they differ.
pub(crate) fn same(a: impl AsRef<[u8]>, b: impl AsRef<[u8]>) -> bool {
    let (a, b) = (a.as_ref(), b.as_ref());
    a.len() == b.len() && std::hint::black_box(a.iter().zip(b).fold(0, |differ, (a, b)| differ | (a ^ b))) == 0
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

/// The fields of a form's body, as many as a form of ours can have.
fn fields(body: &[u8]) -> Result<Vec<(String, String)>, Trouble> {
    if body.iter().filter(|byte| **byte == b'&').count() >= MOST_FIELDS {
        return Err(Trouble::TooLarge);
    }
    Ok(form_urlencoded::parse(body).into_owned().collect())
}

impl FromRequest<Shared> for Posted {
    type Rejection = Response;

    async fn from_request(request: Request, state: &Shared) -> Result<Self, Response> {
        let (mut parts, body) = request.into_parts();
        let Ok(reader) = Reader::from_request_parts(&mut parts, state).await;
        let visit = Visit::from_request_parts(&mut parts, state).await?;
        let told = |trouble: Trouble| trouble.page(reader);
        let RawForm(bytes) = RawForm::from_request(Request::from_parts(parts, body), state)
            .await
            .map_err(|refused| told(Trouble::of_status(refused.into_response().status())))?;
        let fields = fields(&bytes).map_err(told)?;
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
        let (key, other) = (Key::new(), Key::new());
        let visit = Visit::begin(&key);
        let cookie = visit.cookie(false);
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
    fn a_key_survives_its_text_and_no_other_text_is_one() {
        let key = Key::new();
        assert_eq!(Key::of_text(&format!("{}\n", key.text())), Some(key.clone()));
        assert_ne!(Key::new(), key);
        for odd in [
            "",
            "0",
            &key.text()[1..],
            &"g".repeat(64),
            &"\u{e9}".repeat(32),
            &"+1".repeat(32),
        ] {
            assert_eq!(Key::of_text(odd), None, "{odd}");
        }
    }

    #[test]
    fn a_visits_token_is_not_its_cookie() {
        let key = Key::new();
        let visit = Visit::begin(&key);
        assert!(!visit.cookie(false).contains(visit.token()));
        assert_ne!(visit.token(), Visit::begin(&key).token());
    }
}
