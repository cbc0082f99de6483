//! The catalogue: every text of the pages, in every language they speak.
//!
//! One TOML file a language in `catalogue/`, the same keys in each (a test holds them to that and to
//! the keys the pages use). What the kitchen says (reasons, cautions, notes) comes in English and is
//! marked as English where the page is not.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use toml_edit::DocumentMut;

/// A language of the pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tongue {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

impl Tongue {
    /// Every language, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// The language's tag (BCP 47).
    #[must_use]
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// The language's name in itself.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "Deutsch",
        }
    }

    /// The language of a tag.
    #[must_use]
    pub fn of(tag: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|tongue| tongue.tag() == tag)
    }
}

type Texts = BTreeMap<String, String>;

static ENGLISH: LazyLock<Texts> = LazyLock::new(|| read(include_str!("catalogue/en.toml")));
static GERMAN: LazyLock<Texts> = LazyLock::new(|| read(include_str!("catalogue/de.toml")));

/// Keys and texts of a catalogue file; tables nest keys with dots.
fn read(file: &str) -> Texts {
    let mut texts = Texts::new();
    // The files are part of the program; a test reads them, and a fault leaves keys on the page.
    if let Ok(document) = file.parse::<DocumentMut>() {
        for (section, item) in document.iter() {
            let Some(table) = item.as_table() else { continue };
            for (key, text) in table.iter() {
                if let Some(text) = text.as_str() {
                    texts.insert(format!("{section}.{key}"), text.to_owned());
                }
            }
        }
    }
    texts
}

/// The texts of one language.
#[derive(Debug, Clone, Copy)]
pub struct Words {
    /// The language.
    pub tongue: Tongue,
    texts: &'static Texts,
}

impl Words {
    /// The texts of a language.
    #[must_use]
    pub fn of(tongue: Tongue) -> Self {
        let texts = match tongue {
            Tongue::English => &*ENGLISH,
            Tongue::German => &*GERMAN,
        };
        Self { tongue, texts }
    }

    /// The text of a key; the key itself where there is none, so that nothing is silently empty.
    #[must_use]
    pub fn say<'a>(&self, key: &'a str) -> &'a str
    where
        'static: 'a,
    {
        self.texts.get(key).map_or(key, String::as_str)
    }

    /// The text of a key with its `{places}` filled.
    #[must_use]
    pub fn fill(&self, key: &str, places: &[(&str, &str)]) -> String {
        let mut text = self.say(key).to_owned();
        for (place, word) in places {
            text = text.replace(&format!("{{{place}}}"), word);
        }
        text
    }

    /// The text of `key.one` or `key.many`, with `{n}` filled.
    #[must_use]
    pub fn count(&self, key: &str, n: usize) -> String {
        let form = if n == 1 { "one" } else { "many" };
        self.fill(&format!("{key}_{form}"), &[("n", &n.to_string())])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(texts: &Texts) -> Vec<&String> {
        texts.keys().collect()
    }

    /// Places of a text: `{n}`.
    fn places(text: &str) -> Vec<String> {
        let mut found: Vec<String> = text
            .split('{')
            .skip(1)
            .filter_map(|rest| rest.split_once('}').map(|(place, _)| place.to_owned()))
            .collect();
        found.sort();
        found
    }

    #[test]
    fn every_language_has_every_text_with_the_same_places() {
        assert!(ENGLISH.len() > 20, "the catalogue could not be read");
        assert_eq!(keys(&ENGLISH), keys(&GERMAN));
        for (key, text) in ENGLISH.iter() {
            assert_eq!(places(text), places(&GERMAN[key]), "{key}");
            assert!(!text.trim().is_empty() && !GERMAN[key].trim().is_empty(), "{key}");
        }
    }

    #[test]
    fn the_pages_use_every_text_and_only_texts_that_exist() {
        let mut used = std::collections::BTreeSet::new();
        let mut faults = Vec::new();
        let mut sources = Vec::new();
        let mut folders = vec![std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src")];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
                let path = entry.path();
                if path.is_dir() {
                    folders.push(path);
                } else if path.extension().is_some_and(|end| end == "rs") {
                    sources.push(path);
                }
            }
        }
        let sections: std::collections::BTreeSet<&str> = ENGLISH
            .keys()
            .filter_map(|key| key.split_once('.').map(|(section, _)| section))
            .collect();
        for path in sources {
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            // Every quoted `section.key` is a key of the catalogue.
            for piece in text.split('"').skip(1) {
                let Some((section, key)) = piece.split_once('.') else {
                    continue;
                };
                let plain = |word: &str| {
                    !word.is_empty()
                        && word
                            .bytes()
                            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
                };
                // `jar.svg` is a file.
                if !(sections.contains(section) && plain(key)) || key == "svg" {
                    continue;
                }
                let whole = ENGLISH.contains_key(piece);
                let counted = ENGLISH.contains_key(&format!("{piece}_one"));
                if whole {
                    used.insert(piece.to_owned());
                }
                if counted {
                    used.insert(format!("{piece}_one"));
                    used.insert(format!("{piece}_many"));
                }
                if !whole && !counted {
                    faults.push(format!("{}: {piece}", path.display()));
                }
            }
        }
        assert!(faults.is_empty(), "not in the catalogue: {faults:#?}");
        let idle: Vec<&String> = ENGLISH.keys().filter(|key| !used.contains(*key)).collect();
        assert!(idle.is_empty(), "in the catalogue and on no page: {idle:#?}");
    }
}
