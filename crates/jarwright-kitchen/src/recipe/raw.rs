//! A recipe before anything in it is understood: title, yield, ingredient lines under their
//! headings, steps; and how pasted lines of text are sorted into them.

use super::clean::{resolve_references, seen, uniform};
use super::line::{Under, without_bullet};
use super::number::{after_words, is_start};
use crate::files::Part;

/// A recipe's texts.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Raw {
    pub(super) name: Option<String>,
    pub(super) made: Option<String>,
    pub(super) lines: Vec<RawLine>,
    pub(super) steps: Vec<String>,
    /// What is neither title, yield, ingredient line nor step: headings, notes.
    pub(super) aside: Vec<String>,
}

/// An ingredient line and what the heading above it says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawLine {
    pub(super) text: String,
    pub(super) under: Under,
}

impl RawLine {
    /// A line under no heading.
    pub(super) fn of(text: String) -> Self {
        Self {
            text,
            under: Under::Nothing,
        }
    }
}

const INGREDIENTS: [&str; 4] = ["ingredients", "you will need", "you'll need", "what you need"];
const STEPS: [&str; 9] = [
    "method",
    "instructions",
    "directions",
    "steps",
    "preparation",
    "procedure",
    "how to make",
    "what to do",
    "to make",
];
const MADE: [&str; 5] = ["makes", "yields", "yield", "serves", "servings"];
/// Headings whose lines are no ingredients.
const OTHER: [&str; 5] = ["notes", "nutrition", "equipment", "tips", "storage"];

/// What part of a page a pasted line stands in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum At {
    Ingredients,
    Steps,
    Elsewhere,
}

/// Sorts pasted lines.
pub(super) fn from_lines(text: &str) -> Raw {
    let mut raw = Raw::default();
    let text = resolve_references(text);
    let lines: Vec<String> = text.lines().map(|line| seen(line, super::MOST_STEP)).collect();
    let mut at = At::Ingredients;
    let mut under = Under::Nothing;
    for (index, line) in lines.iter().enumerate().filter(|(_, line)| !line.is_empty()) {
        let plain = uniform(line);
        let bare = plain.trim_start_matches('#').trim().trim_matches('*').trim();
        let heading = bare.trim_end_matches(':').trim().to_lowercase();
        let is = |words: &[&str]| words.contains(&heading.as_str());
        let turned = if is(&INGREDIENTS) {
            under = Under::Nothing;
            Some(At::Ingredients)
        } else if is(&STEPS) {
            Some(At::Steps)
        } else {
            is(&OTHER).then_some(At::Elsewhere)
        };
        if let Some(turned) = turned {
            at = turned;
            raw.aside.push(line.clone());
        } else if let Some(made) = made(bare).filter(|_| raw.made.is_none() && at != At::Steps) {
            raw.made = Some(made);
        } else if at == At::Steps {
            raw.steps.push(without_bullet(line).to_owned());
        } else if at == At::Ingredients {
            let first = raw.name.is_none() && raw.lines.is_empty();
            if first && is_title(&lines, index) {
                raw.name = Some(bare.to_owned());
            } else if let Some(told) = section(&plain) {
                under = told;
                raw.aside.push(line.clone());
            } else {
                raw.lines.push(RawLine {
                    text: line.clone(),
                    under,
                });
            }
        } else {
            raw.aside.push(line.clone());
        }
    }
    raw
}

/// `Makes 4 half-pints`: what is made, as written.
fn made(line: &str) -> Option<String> {
    let rest = MADE.iter().find_map(|word| after_words(line, word))?;
    let rest = rest.trim_start_matches([':', ' ']).trim();
    (!rest.is_empty()).then(|| rest.to_owned())
}

/// Whether the first line is a title: it has no amount, and a mark, a blank line or a heading of
/// the page sets it off.
fn is_title(lines: &[String], index: usize) -> bool {
    let line = &lines[index];
    let bare = line.trim_start_matches(['#', '*', ' ']);
    let of_a_part = ["for the", "for each"]
        .iter()
        .any(|words| after_words(bare, words).is_some());
    if of_a_part || line.starts_with(is_start) || line.ends_with(':') || without_bullet(line) != line {
        return false;
    }
    let next = lines.get(index + 1).map_or("", String::as_str);
    let after = lines[index + 1..].iter().find(|line| !line.is_empty());
    let sets_off = |line: &String| {
        let bare = uniform(line)
            .trim_start_matches('#')
            .trim()
            .trim_end_matches(':')
            .to_lowercase();
        INGREDIENTS.contains(&bare.as_str()) || made(&uniform(line)).is_some()
    };
    line.starts_with('#') || after.is_some_and(|line| next.is_empty() || sets_off(line))
}

/// What a heading inside the ingredients says: `For the brine:`.
pub(super) fn section(line: &str) -> Option<Under> {
    let bare = line.trim_start_matches('#').trim().trim_matches('*').trim();
    let marked = bare.ends_with(':') || line.starts_with('#') || line.starts_with("**");
    let starts = after_words(bare, "for the")
        .or_else(|| after_words(bare, "for each"))
        .is_some();
    if !(marked || starts) || bare.starts_with(is_start) || bare.contains(is_start) {
        return None;
    }
    let words = bare.to_lowercase();
    let says = |any: &[&str]| any.iter().any(|word| words.contains(word));
    Some(if says(&["each jar", "per jar"]) {
        Under::EachJar
    } else if says(&["soak"]) {
        Under::Part(Part::Soak)
    } else if says(&["brine", "pickling liquid", "pickling solution", "syrup", "vinegar mix"]) {
        Under::Part(Part::Brine)
    } else {
        Under::Nothing
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PASTED: &str = "Green bean pickle\n\nMakes: 4 half-pints\n\nIngredients\n• 1 kg green beans\n\
        For the brine:\n 500 ml vinegar\n## For each jar\n1 clove garlic\nMethod:\n1. Boil.\n2) Fill.\nNotes\nNice.\n";

    #[test]
    fn pasted_lines_are_sorted() {
        let raw = from_lines(PASTED);
        assert_eq!(raw.name.as_deref(), Some("Green bean pickle"));
        assert_eq!(raw.made.as_deref(), Some("4 half-pints"));
        let lines: Vec<(&str, Under)> = raw.lines.iter().map(|line| (line.text.as_str(), line.under)).collect();
        assert_eq!(
            lines,
            [
                ("• 1 kg green beans", Under::Nothing),
                ("500 ml vinegar", Under::Part(Part::Brine)),
                ("1 clove garlic", Under::EachJar),
            ]
        );
        assert_eq!(raw.steps, ["Boil.", "Fill."]);
        assert_eq!(
            raw.aside,
            [
                "Ingredients",
                "For the brine:",
                "## For each jar",
                "Method:",
                "Notes",
                "Nice."
            ]
        );
    }

    #[test]
    fn a_first_line_without_a_mark_is_an_ingredient() {
        let raw = from_lines("salt to taste\n2 cups sugar\n");
        assert_eq!(raw.name, None);
        assert_eq!(raw.lines.len(), 2);
    }
}
