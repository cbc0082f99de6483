//! Numbers as people type them into recipes, with every way they can be meant.
//!
//! `files/number.rs` reads what a cook wrote for this program and refuses what is unclear; this
//! reads what somebody else wrote, and keeps the ways apart for a person to choose.

/// How many, as far as the writing tells.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Many {
    /// One number.
    One(f64),
    /// From a number to a greater one.
    Range(f64, f64),
    /// A mark between digits that may be a decimal mark or part thousands.
    Mark {
        /// Read as a decimal mark.
        decimal: f64,
        /// Read as thousands, where three digits follow.
        thousands: Option<f64>,
    },
    /// Digits that are no amount: negative, zero, absurd, a range with a doubtful end.
    Unclear,
}

/// Largest number that is read as an amount.
const MOST: f64 = 1e6;

const SIGNS: [(char, f64); 18] = [
    ('½', 1.0 / 2.0),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('¼', 1.0 / 4.0),
    ('¾', 3.0 / 4.0),
    ('⅕', 1.0 / 5.0),
    ('⅖', 2.0 / 5.0),
    ('⅗', 3.0 / 5.0),
    ('⅘', 4.0 / 5.0),
    ('⅙', 1.0 / 6.0),
    ('⅚', 5.0 / 6.0),
    ('⅐', 1.0 / 7.0),
    ('⅛', 1.0 / 8.0),
    ('⅜', 3.0 / 8.0),
    ('⅝', 5.0 / 8.0),
    ('⅞', 7.0 / 8.0),
    ('⅑', 1.0 / 9.0),
    ('⅒', 1.0 / 10.0),
];

/// Words for numbers, longer first.
const WORDS: [(&str, f64); 21] = [
    ("one and a half", 1.5),
    ("half a dozen", 6.0),
    ("three quarters of a", 0.75),
    ("a quarter of a", 0.25),
    ("half of a", 0.5),
    ("a dozen", 12.0),
    ("half an", 0.5),
    ("half a", 0.5),
    ("dozen", 12.0),
    ("half", 0.5),
    ("twelve", 12.0),
    ("eleven", 11.0),
    ("seven", 7.0),
    ("eight", 8.0),
    ("three", 3.0),
    ("four", 4.0),
    ("five", 5.0),
    ("nine", 9.0),
    ("one", 1.0),
    ("two", 2.0),
    ("six", 6.0),
];
/// Those that could not stand in the list above because others begin with them.
const SHORT_WORDS: [(&str, f64); 3] = [("ten", 10.0), ("an", 1.0), ("a", 1.0)];

/// The rest of a text after some words, when they stand at its start as whole words, in any case.
pub(super) fn after_words<'t>(text: &'t str, words: &str) -> Option<&'t str> {
    let head = text.get(..words.len())?;
    let rest = &text[words.len()..];
    let whole = !rest.starts_with(char::is_alphanumeric) || !words.ends_with(char::is_alphanumeric);
    (head.eq_ignore_ascii_case(words) && whole).then_some(rest)
}

/// The number or range a text starts with, and what follows without the blanks between.
pub(super) fn leading(text: &str) -> Option<(Many, &str)> {
    let text = text.trim_start();
    let (text, between) = match after_words(text, "between") {
        Some(rest) => (rest.trim_start(), true),
        None => (text, false),
    };
    let (first, rest) = single(text)?;
    let to = ["-", "to", "or", "and"]
        .iter()
        .filter(|word| between || **word != "and")
        .find_map(|word| after_words(rest.trim_start(), word))
        .and_then(single);
    // "6-8" is a range, "3-inch" is not; a text number after "or" is another thing: "1 or a".
    let Some((second, after)) = to else {
        return Some((bounded(first), rest.trim_start()));
    };
    let many = match (&first, &second) {
        (Many::One(low), Many::One(high)) if high > low => Many::Range(*low, *high),
        (Many::One(low), Many::One(high)) if (high - low).abs() < f64::EPSILON => Many::One(*low),
        _ => Many::Unclear,
    };
    Some((bounded(many), after.trim_start()))
}

fn bounded(many: Many) -> Many {
    let good = |value: &f64| *value > 0.0 && *value <= MOST;
    match &many {
        Many::One(value) if good(value) => many,
        Many::Range(low, high) if good(low) && good(high) => many,
        Many::Mark { decimal, thousands } if good(decimal) && thousands.as_ref().is_none_or(good) => many,
        _ => Many::Unclear,
    }
}

/// One number: digits, a fraction, a mixed number or a word.
fn single(text: &str) -> Option<(Many, &str)> {
    let text = text.trim_start();
    if let Some(rest) = text.strip_prefix('-') {
        // A minus sign, or the dash of a list: no amount either way.
        return single(rest)
            .filter(|_| rest.starts_with(is_start))
            .map(|(_, rest)| (Many::Unclear, rest));
    }
    for (word, value) in WORDS.iter().chain(&SHORT_WORDS) {
        if let Some(rest) = after_words(text, word) {
            // "a 14 oz can": the number that counts comes later.
            return Some((Many::One(*value), rest));
        }
    }
    if let Some((value, rest)) = sign(text) {
        return Some((Many::One(value), rest));
    }
    let (first, rest) = digits(text)?;
    let Many::One(whole) = first else {
        return Some((first, rest));
    };
    if let Some(under) = rest.trim_start().strip_prefix('/')
        && let Some((Many::One(under), rest)) = digits(under.trim_start())
    {
        let value = whole / under;
        return Some((if under > 0.0 { Many::One(value) } else { Many::Unclear }, rest));
    }
    match fraction_after(rest) {
        Some((part, rest)) if whole.fract() == 0.0 => Some((Many::One(whole + part), rest)),
        _ => Some((Many::One(whole), rest)),
    }
}

pub(super) fn is_start(c: char) -> bool {
    c.is_ascii_digit() || SIGNS.iter().any(|(sign, _)| *sign == c)
}

fn sign(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    let (_, value) = SIGNS.iter().find(|(sign, _)| *sign == first)?;
    Some((*value, &text[first.len_utf8()..]))
}

/// The fraction of a mixed number: `½`, ` 1/2`, `-1/2`, ` & 1/2`, ` and 1/2`.
fn fraction_after(text: &str) -> Option<(f64, &str)> {
    let mut rest = text.trim_start();
    for joint in ["-", "&", "and"] {
        if let Some(after) = after_words(rest, joint) {
            rest = after.trim_start();
            break;
        }
    }
    if let Some(found) = sign(rest) {
        return Some(found);
    }
    let (Many::One(over), after) = digits(rest)? else {
        return None;
    };
    let (Many::One(under), after) = digits(after.trim_start().strip_prefix('/')?.trim_start())? else {
        return None;
    };
    // "2-3/4" may only be mixed while the fraction is one: 3/4, not 3/2.
    (under > 0.0 && over > 0.0 && over < under).then(|| (over / under, after))
}

/// Digits with their marks: `12`, `0.5`, `1,500`, `1.500`, `1,5`.
fn digits(text: &str) -> Option<(Many, &str)> {
    let mut end = 0;
    let bytes = text.as_bytes();
    while bytes.get(end).is_some_and(|byte| {
        byte.is_ascii_digit() || (matches!(byte, b'.' | b',') && bytes.get(end + 1).is_some_and(u8::is_ascii_digit))
    }) {
        end += 1;
    }
    let (written, rest) = text.split_at(end);
    // "1e400" is no amount, and what follows it is none of its own.
    if rest.starts_with(['e', 'E']) && rest[1..].trim_start_matches(['+', '-']).starts_with(is_start) && end > 0 {
        let after = rest[1..].trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.'));
        return Some((Many::Unclear, after));
    }
    if written.is_empty() || !written.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    if written.len() > 15 {
        return Some((Many::Unclear, rest));
    }
    let marks: Vec<char> = written.chars().filter(|c| !c.is_ascii_digit()).collect();
    let number = |text: &str| text.parse::<f64>().ok();
    let without: String = written.chars().filter(char::is_ascii_digit).collect();
    let many = match marks.as_slice() {
        [] => number(written).map(Many::One),
        [mark] => {
            let (whole, part) = written.split_once(*mark).unwrap_or((written, ""));
            let decimal = number(&format!("0{whole}.{part}"));
            let by_thousands = part.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
            let thousands = number(&without).filter(|_| by_thousands);
            decimal.map(|decimal| match (mark, thousands) {
                // A point with one, two or four digits behind it, or a nought before it, is plain.
                ('.', None) => Many::One(decimal),
                _ => Many::Mark { decimal, thousands },
            })
        }
        _ => None,
    };
    Some((many.unwrap_or(Many::Unclear), rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Many, &str) {
        leading(text).unwrap_or((Many::Unclear, "none"))
    }

    #[test]
    fn one_number_is_read_in_every_way_of_writing_it() {
        for (text, value, rest) in [
            ("2 cups", 2.0, "cups"),
            ("2 1/2 cups", 2.5, "cups"),
            ("2½cups", 2.5, "cups"),
            ("½ cup", 0.5, "cup"),
            ("1-1/2 cups", 1.5, "cups"),
            ("1 & 1/2 cups", 1.5, "cups"),
            ("1 and 3/4 cups", 1.75, "cups"),
            ("2 ½ cups", 2.5, "cups"),
            ("0.125 g", 0.125, "g"),
            (".5 g", 0.5, "g"),
            ("1.25 kg", 1.25, "kg"),
            ("a lemon", 1.0, "lemon"),
            ("half a lemon", 0.5, "lemon"),
            ("Half a dozen eggs", 6.0, "eggs"),
            ("twelve eggs", 12.0, "eggs"),
            ("3/4 cup", 0.75, "cup"),
        ] {
            assert_eq!(read(text), (Many::One(value), rest), "{text}");
        }
        assert_eq!(leading("apples"), None);
        assert_eq!(leading("tenderloin"), None);
        assert_eq!(leading("∞ cups"), None);
    }

    #[test]
    fn a_range_a_comma_and_nonsense_are_kept_apart() {
        for (text, many) in [
            ("3-4 tbsp", Many::Range(3.0, 4.0)),
            ("3 to 4 tbsp", Many::Range(3.0, 4.0)),
            ("1-1 1/2 cups", Many::Range(1.0, 1.5)),
            ("1½-2 cups", Many::Range(1.5, 2.0)),
            ("between 2 and 3 cups", Many::Range(2.0, 3.0)),
            (
                "1,5 kg",
                Many::Mark {
                    decimal: 1.5,
                    thousands: None,
                },
            ),
            (
                "1,500 g",
                Many::Mark {
                    decimal: 1.5,
                    thousands: Some(1500.0),
                },
            ),
            (
                "1.500 g",
                Many::Mark {
                    decimal: 1.5,
                    thousands: Some(1500.0),
                },
            ),
            ("-5 g", Many::Unclear),
            ("0 g", Many::Unclear),
            ("1/0 g", Many::Unclear),
            ("1e400 g", Many::Unclear),
            ("4-3 g", Many::Unclear),
            ("99999999999999999999 g", Many::Unclear),
            ("1.2.3 g", Many::Unclear),
        ] {
            assert_eq!(read(text).0, many, "{text}");
        }
    }
}
