//! How a person reads: language, temperature scale, amounts and theme, kept in a cookie.

use axum::extract::FromRequestParts;
use axum::http::header::{ACCEPT_LANGUAGE, COOKIE};
use axum::http::request::Parts;
use std::convert::Infallible;

use crate::guard::BehindLock;
use crate::words::{Tongue, Words};

/// Name of the cookie.
pub const COOKIE_NAME: &str = "jarwright-reading";

/// Which temperature scale a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scale {
    /// °C with °F in brackets.
    #[default]
    Both,
    /// °C alone.
    Celsius,
    /// °F alone.
    Fahrenheit,
}

/// In what a person weighs and measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Amounts {
    /// Grams first.
    #[default]
    Grams,
    /// Ounces first.
    Ounces,
    /// Cups and spoons first.
    Cups,
}

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// As the device asks.
    #[default]
    Device,
    /// Dark ink on light ground.
    Light,
    /// Light ink on dark ground.
    Dark,
}

/// How a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Reader {
    /// Language.
    pub tongue: Tongue,
    /// Temperature scale.
    pub scale: Scale,
    /// Amounts.
    pub amounts: Amounts,
    /// Theme.
    pub theme: Theme,
    /// Whether they came in through a lock, and can go out again.
    pub behind_lock: bool,
}

impl Scale {
    /// Every scale with its word in the cookie and in forms.
    pub const ALL: [(Self, &'static str); 3] = [(Self::Both, "both"), (Self::Celsius, "c"), (Self::Fahrenheit, "f")];
}

impl Amounts {
    /// Every kind with its word.
    pub const ALL: [(Self, &'static str); 3] = [(Self::Grams, "g"), (Self::Ounces, "oz"), (Self::Cups, "cup")];
}

impl Theme {
    /// Every theme with its word.
    pub const ALL: [(Self, &'static str); 3] = [(Self::Device, "device"), (Self::Light, "light"), (Self::Dark, "dark")];

    /// The word on the page's root.
    #[must_use]
    pub fn word(self) -> &'static str {
        word(self, &Self::ALL)
    }
}

/// The word of a choice.
pub(crate) fn word<T: Copy + PartialEq>(choice: T, all: &[(T, &'static str)]) -> &'static str {
    all.iter().find(|(one, _)| *one == choice).map_or("", |(_, word)| word)
}

/// The choice of a word.
pub(crate) fn choice<T: Copy + Default>(met: &str, all: &[(T, &'static str)]) -> T {
    all.iter()
        .find(|(_, word)| *word == met)
        .map_or_else(T::default, |(one, _)| *one)
}

impl Reader {
    /// The texts in the reader's language.
    #[must_use]
    pub fn words(&self) -> Words {
        Words::of(self.tongue)
    }

    /// As it stands in the cookie.
    #[must_use]
    pub fn cookie(&self) -> String {
        [
            self.tongue.tag(),
            word(self.scale, &Scale::ALL),
            word(self.amounts, &Amounts::ALL),
            self.theme.word(),
        ]
        .join(".")
    }

    /// A reader from a cookie's value; what is not understood takes its default.
    #[must_use]
    pub fn from_cookie(value: &str) -> Self {
        let mut parts = value.split('.');
        let mut next = || parts.next().unwrap_or_default();
        Self {
            tongue: Tongue::of(next()).unwrap_or_default(),
            scale: choice(next(), &Scale::ALL),
            amounts: choice(next(), &Amounts::ALL),
            theme: choice(next(), &Theme::ALL),
            behind_lock: false,
        }
    }

    /// The reader who sent a request.
    #[must_use]
    pub fn of(parts: &Parts) -> Self {
        let chosen = cookie(parts, COOKIE_NAME).map_or_else(
            || {
                let asked = parts.headers.get(ACCEPT_LANGUAGE);
                Self::new(asked.and_then(|value| value.to_str().ok()).unwrap_or_default())
            },
            Self::from_cookie,
        );
        Self {
            behind_lock: parts.extensions.get::<BehindLock>().is_some(),
            ..chosen
        }
    }

    /// A reader who has chosen nothing yet: the browser's own language where the pages speak it.
    fn new(accept_language: &str) -> Self {
        let tongue = accept_language
            .split(',')
            .filter_map(|tag| tag.trim().get(..2))
            .find_map(Tongue::of)
            .unwrap_or_default();
        Self {
            tongue,
            ..Self::default()
        }
    }
}

impl<S: Sync> FromRequestParts<S> for Reader {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Self::Rejection> {
        Ok(Self::of(parts))
    }
}

/// A cookie's value.
pub(crate) fn cookie<'a>(parts: &'a Parts, name: &str) -> Option<&'a str> {
    parts
        .headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(key, _)| *key == name)
        .map(|(_, value)| value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reader_survives_its_cookie() {
        for tongue in Tongue::ALL {
            for (scale, _) in Scale::ALL {
                for (amounts, _) in Amounts::ALL {
                    for (theme, _) in Theme::ALL {
                        let reader = Reader {
                            tongue,
                            scale,
                            amounts,
                            theme,
                            ..Reader::default()
                        };
                        assert_eq!(Reader::from_cookie(&reader.cookie()), reader);
                    }
                }
            }
        }
    }

    #[test]
    fn a_garbled_cookie_is_a_reader_of_defaults() {
        assert_eq!(Reader::from_cookie("../..<script>"), Reader::default());
        assert_eq!(Reader::from_cookie(""), Reader::default());
    }

    #[test]
    fn the_browsers_language_counts_until_one_is_chosen() {
        assert_eq!(Reader::new("de-AT,de;q=0.9,en;q=0.8").tongue, Tongue::German);
        assert_eq!(Reader::new("fr,en;q=0.8").tongue, Tongue::English);
        assert_eq!(Reader::new("\u{e9}\u{e9}").tongue, Tongue::English);
    }
}
