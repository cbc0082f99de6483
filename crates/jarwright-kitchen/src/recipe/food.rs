//! Which ingredient of the reference table or the stores a phrase means, and how sure that is.

use serde::Serialize;

use super::number::after_words;
use crate::files::{StoresFile, StoresItem, Weights, nearest};

/// How sure a match is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HowSure {
    /// The phrase is a name or alias, words of form apart.
    Exact,
    /// Spelled or put much like a name: a person has to say so.
    Near,
    /// Nothing is like it.
    None,
}

/// What a phrase means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IngredientMatch {
    /// The phrase as written.
    pub phrase: String,
    /// Name by which the table or the stores know it; `None` until it is certain or chosen.
    pub name: Option<String>,
    /// How sure.
    pub how_sure: HowSure,
    /// The nearest names, the nearest first, where it is not certain.
    pub nearest: Vec<String>,
}

/// Most near names offered.
const MOST_NEAR: usize = 5;

/// Words that tell form, not food. "Dried", "ground" and "canned" are no such words: they make
/// another food.
const FORMS: [&str; 76] = [
    "fresh",
    "freshly",
    "squeezed",
    "pressed",
    "ripe",
    "just-ripe",
    "underripe",
    "chopped",
    "finely",
    "roughly",
    "coarsely",
    "thinly",
    "thickly",
    "diced",
    "sliced",
    "grated",
    "minced",
    "crushed",
    "peeled",
    "unpeeled",
    "hulled",
    "pitted",
    "stoned",
    "cored",
    "seeded",
    "deseeded",
    "trimmed",
    "washed",
    "rinsed",
    "cold",
    "chilled",
    "softened",
    "soft",
    "melted",
    "cubed",
    "organic",
    "unwaxed",
    "firm",
    "good",
    "quality",
    "good-quality",
    "best",
    "packed",
    "lightly",
    "firmly",
    "well",
    "sifted",
    "strained",
    "beaten",
    "shredded",
    "halved",
    "quartered",
    "prepared",
    "cleaned",
    "boiling",
    "hot",
    "warm",
    "lukewarm",
    "cool",
    "ice-cold",
    "filtered",
    "mashed",
    "drained",
    "local",
    "small",
    "medium",
    "large",
    "extra-large",
    "fine",
    "very",
    "pure",
    "julienned",
    "zested",
    "torn",
    "whole",
    "extra",
];

/// Words before a food that say its waste is off already.
const READY: [&str; 12] = [
    "peeled", "hulled", "pitted", "stoned", "cored", "trimmed", "shelled", "prepared", "topped", "deseeded", "seeded",
    "cleaned",
];

/// A phrase found, with the words of form that stood around it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub(super) matched: IngredientMatch,
    /// Words of form, in their order.
    pub(super) form: Vec<String>,
    /// Whether the words before the food say that it is weighed ready to use.
    pub(super) ready: bool,
}

/// The names of the table and the stores.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pantry<'s>(pub(super) Option<&'s StoresFile>);

impl Pantry<'_> {
    /// The name a phrase stands for exactly, in any case, in the singular or plural.
    fn exact(&self, phrase: &str) -> Option<String> {
        let phrase = phrase.trim();
        if phrase.is_empty() || phrase.len() > 100 {
            return None;
        }
        let own = |name: &str| {
            let lower = name.to_lowercase();
            let items = self.0.into_iter().flat_map(|stores| &stores.items);
            let mut own = items.filter(|item| item.own.is_some());
            own.find(|item| item.ingredient.to_lowercase() == lower)
                .map(|item| item.ingredient.clone())
        };
        let known = |name: &str| own(name).or_else(|| Some(jarwright_reference::ingredient(name)?.name.clone()));
        known(phrase).or_else(|| other_number(phrase).iter().find_map(|form| known(form)))
    }

    /// What turns amounts of a name into grams.
    pub(super) fn weights<'w>(&'w self, name: &'w str) -> Weights<'w> {
        self.0
            .and_then(|stores| stores.item(name))
            .map_or_else(|| Weights::of(name), StoresItem::weights)
    }

    /// The name an answer means, exactly.
    pub(super) fn named(&self, words: &str) -> Option<String> {
        self.exact(words)
    }

    /// What a phrase means, and the form around it.
    pub(super) fn find(&self, phrase: &str) -> Found {
        let parts: Vec<&str> = phrase
            .split(',')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .collect();
        let found = |name: String, form: Vec<String>, ready: bool| Found {
            matched: IngredientMatch {
                phrase: phrase.trim().to_owned(),
                name: Some(name),
                how_sure: HowSure::Exact,
                nearest: Vec::new(),
            },
            form,
            ready,
        };
        let owned = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
        for take in (1..=parts.len().min(3)).rev() {
            if let Some(name) = self.exact(&parts[..take].join(", ")) {
                return found(name, owned(&parts[take..]), false);
            }
        }
        let head = parts.first().copied().unwrap_or_default();
        let rest = parts.get(1..).unwrap_or_default();
        let words: Vec<&str> = head.split_whitespace().collect();
        let before = words.iter().take_while(|word| is_form(word)).count();
        let behind = words.iter().rev().take_while(|word| is_form(word)).count();
        for from in 0..=before.min(words.len()) {
            for to in (from + 1..=words.len()).rev().take(behind + 1) {
                if let Some(name) = self.exact(&words[from..to].join(" ")) {
                    let mut form = vec![words[..from].join(" "), words[to..].join(" ")];
                    form.retain(|words| !words.is_empty());
                    form.extend(owned(rest));
                    let ready = words[..from]
                        .iter()
                        .any(|word| READY.contains(&word.to_lowercase().as_str()));
                    return found(name, form, ready);
                }
            }
        }
        let nearest = self.nearest(head);
        Found {
            matched: IngredientMatch {
                phrase: phrase.trim().to_owned(),
                name: None,
                how_sure: if nearest.0 { HowSure::Near } else { HowSure::None },
                nearest: nearest.1,
            },
            form: owned(rest),
            ready: false,
        }
    }

    /// Names most like a phrase, and whether the first is near enough to be meant.
    fn nearest(&self, phrase: &str) -> (bool, Vec<String>) {
        let phrase: String = phrase.to_lowercase().chars().take(80).collect();
        let words: Vec<&str> = phrase.split_whitespace().collect();
        let own = self.0.into_iter().flat_map(|stores| &stores.items);
        let own = own.filter(|item| item.own.is_some());
        let mut names: Vec<(&str, &str)> = own
            .map(|item| (item.ingredient.as_str(), item.ingredient.as_str()))
            .collect();
        for row in jarwright_reference::ingredients() {
            names.push((&row.name, &row.name));
            names.extend(row.aliases.iter().map(|alias| (alias.as_str(), row.name.as_str())));
        }
        let mut out: Vec<String> = Vec::new();
        // "Scottish raspberries" ends in a name; "raspberies" is spelled like one.
        let tail = (1..words.len()).find_map(|from| self.exact(&words[from..].join(" ")));
        let spelled = nearest(&phrase, names.iter().map(|(written, _)| *written));
        let spelled =
            spelled.and_then(|written| names.iter().find(|(known, _)| *known == written).map(|(_, name)| *name));
        let near = tail.is_some() || spelled.is_some();
        out.extend(tail);
        out.extend(spelled.map(str::to_owned));
        // Then names that share a word, those with the fewest other words first.
        let mut shared: Vec<(usize, usize, &str)> = names
            .iter()
            .filter_map(|(written, name)| {
                let theirs: Vec<String> = tokens(written);
                let common = tokens(&phrase).iter().filter(|word| theirs.contains(word)).count();
                (common > 0).then_some((usize::MAX - common, theirs.len(), *name))
            })
            .collect();
        shared.sort_unstable();
        out.extend(shared.into_iter().map(|(.., name)| name.to_owned()));
        let mut seen = Vec::new();
        out.retain(|name| {
            let new = !seen.contains(name);
            if new {
                seen.push(name.clone());
            }
            new
        });
        out.truncate(MOST_NEAR);
        (near, out)
    }
}

/// Whether a word tells form: `chopped`, `freshly`.
fn is_form(word: &str) -> bool {
    let lower = word.to_lowercase();
    FORMS.contains(&lower.as_str()) || lower == "and" || lower == "-" || lower == "&"
}

/// Words of a name without plural and small words.
fn tokens(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| word.len() > 2 && !["and", "the", "with", "for"].contains(word))
        .map(|word| {
            word.strip_suffix("es")
                .or_else(|| word.strip_suffix('s'))
                .unwrap_or(word)
                .to_owned()
        })
        .collect()
}

/// A phrase with its last word in the other number.
fn other_number(phrase: &str) -> Vec<String> {
    let mut out = vec![format!("{phrase}s"), format!("{phrase}es")];
    out.extend(phrase.strip_suffix("ies").map(|stem| format!("{stem}y")));
    out.extend(phrase.strip_suffix("es").map(str::to_owned));
    out.extend(phrase.strip_suffix('s').map(str::to_owned));
    out.extend(phrase.strip_suffix('y').map(|stem| format!("{stem}ies")));
    out
}

/// The two sides of a phrase that names one food or another.
pub(super) fn alternatives(phrase: &str) -> Option<(&str, &str)> {
    let at = phrase.to_ascii_lowercase().find(" or ")?;
    let (first, second) = (phrase[..at].trim(), phrase[at + 4..].trim());
    let second = after_words(second, "same amount of").unwrap_or(second).trim();
    (!first.is_empty() && !second.is_empty()).then_some((first, second))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(phrase: &str) -> Found {
        Pantry(None).find(phrase)
    }

    #[test]
    fn names_and_aliases_are_found_with_their_form() {
        for (phrase, name, form) in [
            ("superfine sugar", "sugar", ""),
            ("Butter, unsalted, chilled", "butter, unsalted", "chilled"),
            ("cold unsalted butter", "butter, unsalted", "cold"),
            ("freshly squeezed lemon juice", "lemon juice, fresh", "freshly squeezed"),
            ("strawberry", "strawberries", ""),
            ("strawberries, hulled", "strawberries", "hulled"),
            ("brown sugar packed", "sugar, brown", "packed"),
            ("finely chopped red onions", "onions", "finely chopped"),
            ("whole milk", "milk, whole", ""),
        ] {
            let found = find(phrase);
            assert_eq!(found.matched.name.as_deref(), Some(name), "{phrase}");
            assert_eq!(found.matched.how_sure, HowSure::Exact, "{phrase}");
            assert_eq!(found.form.join("; "), form, "{phrase}");
        }
    }

    #[test]
    fn another_food_is_never_taken_for_the_same() {
        // A sweet potato is no potato, and dried apples are no apples.
        for phrase in [
            "sweet potato",
            "dried apples",
            "coconut sugar",
            "raspberies",
            "preserved lemons",
        ] {
            let found = find(phrase);
            assert_eq!(found.matched.name, None, "{phrase}");
            assert!(!found.matched.nearest.is_empty(), "{phrase}");
        }
        assert_eq!(find("raspberies").matched.nearest[0], "raspberries");
        assert_eq!(find("raspberies").matched.how_sure, HowSure::Near);
        assert_eq!(find("xyzzy").matched.how_sure, HowSure::None);
    }

    #[test]
    fn weighed_ready_is_told_before_the_food_only() {
        assert!(find("pitted apricots").ready);
        assert!(!find("apricots, pitted").ready);
    }
}
