//! One ingredient line taken apart: amount, food, form, and the words that make it doubtful.

use super::measured::{self, Measured, Unit, in_brackets, is_rough_in_brackets};
use super::number::{self, after_words};
use crate::files::Part;

/// What a heading says of the lines under it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Under {
    /// Nothing.
    #[default]
    Nothing,
    /// They belong to a part of a pack.
    Part(Part),
    /// They go into each jar.
    EachJar,
}

/// Juice or peel that a line asks for by the fruit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Taken {
    /// Its juice.
    Juice,
    /// Its outer peel.
    Zest,
}

/// A line taken apart. Nothing is decided here.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Reading {
    /// The amount at the start, or at the end of the line.
    pub(super) amount: Option<Measured>,
    /// What is added to it: `2 cups plus 2 tbsp`.
    pub(super) plus: Vec<Measured>,
    /// The same amount said again: `1 lb / 450 g`.
    pub(super) again: Option<Measured>,
    /// Whether that is said roughly: `(about 450 g)`.
    pub(super) again_rough: bool,
    /// The food, with what follows its commas.
    pub(super) phrase: String,
    /// Words in brackets.
    pub(super) brackets: Vec<String>,
    /// The word that makes the number a rough one: `about`, `at least`.
    pub(super) rough: Option<String>,
    /// The word that makes the measure a rough one: `heaped`, `scant`.
    pub(super) heaped: Option<String>,
    /// More of it than the amount says: `plus extra for dusting`.
    pub(super) more: bool,
    /// No amount but taste or need: `to taste`, `to cover`.
    pub(super) to_taste: bool,
    /// It may be left out.
    pub(super) optional: bool,
    /// It goes into each jar.
    pub(super) each_jar: bool,
    /// What is taken of so many fruits.
    pub(super) taken: Option<Taken>,
    /// Acidity that is written [%].
    pub(super) percent: Option<f64>,
}

const ROUGH: [&str; 16] = [
    "approximately",
    "approx.",
    "approx",
    "about",
    "around",
    "roughly",
    "circa",
    "ca.",
    "at least",
    "at most",
    "up to",
    "almost",
    "nearly",
    "just under",
    "just over",
    "~",
];
const HEAPED: [&str; 12] = [
    "heaped",
    "heaping",
    "rounded",
    "scant",
    "generous",
    "good",
    "big",
    "overflowing",
    "slightly heaped",
    "brimming",
    "well-filled",
    "bare",
];
const TO_TASTE: [&str; 9] = [
    "to taste",
    "as needed",
    "as required",
    "to cover",
    "for dusting",
    "for sprinkling",
    "to serve",
    "for serving",
    "if needed",
];
const MORE: [&str; 10] = [
    "plus extra",
    "plus more",
    "and more",
    "or more",
    "or so",
    "plus a little",
    "extra for",
    "more to",
    "more for",
    "+ extra",
];
const OPTIONAL: [&str; 6] = [
    "optional",
    "if desired",
    "if you like",
    "if you wish",
    "if liked",
    "if using",
];
const EACH_JAR: [&str; 5] = ["per jar", "for each jar", "in each jar", "to each jar", "each jar"];
const TAKEN: [(&str, &[Taken]); 14] = [
    ("juice and grated zest", &[Taken::Juice, Taken::Zest]),
    ("grated zest and juice", &[Taken::Zest, Taken::Juice]),
    ("juice and zest", &[Taken::Juice, Taken::Zest]),
    ("zest and juice", &[Taken::Zest, Taken::Juice]),
    ("juice and rind", &[Taken::Juice, Taken::Zest]),
    ("rind and juice", &[Taken::Zest, Taken::Juice]),
    ("grated rind", &[Taken::Zest]),
    ("grated zest", &[Taken::Zest]),
    ("grated peel", &[Taken::Zest]),
    ("strained juice", &[Taken::Juice]),
    ("juice", &[Taken::Juice]),
    ("zest", &[Taken::Zest]),
    ("rind", &[Taken::Zest]),
    ("peel", &[Taken::Zest]),
];

/// Longest line that is taken apart [characters]; a longer one is no ingredient.
pub(super) const MOST_LINE: usize = 300;

/// Without the mark of a list: a bullet, a box, a number with a stop.
pub(super) fn without_bullet(line: &str) -> &str {
    let bullet = |c: char| {
        matches!(
            c,
            '*' | '•' | '·' | '▢' | '□' | '☐' | '☑' | '✓' | '◦' | '▪' | '●' | '‣' | '>' | '»'
        )
    };
    let mut line = line.trim().trim_start_matches(bullet).trim_start();
    // "- 5 g" is a list, "-5 g" may be one: that is asked.
    for dash in ["- ", "+ ", "– ", "— "] {
        line = line.strip_prefix(dash).unwrap_or(line).trim_start();
    }
    let digits = line.bytes().take_while(u8::is_ascii_digit).count();
    if (1..=2).contains(&digits)
        && let Some(rest) = line[digits..].strip_prefix(['.', ')'])
        && rest.starts_with(' ')
    {
        return rest.trim_start();
    }
    line
}

/// Takes a line apart; several readings where it names juice and zest of the same fruit.
pub(super) fn take_apart(line: &str) -> Vec<Reading> {
    let mut reading = Reading::default();
    let line = without_bullet(line);
    let lower = line.to_ascii_lowercase();
    let says = |words: &[&str]| words.iter().any(|word| lower.contains(word));
    reading.optional = says(&OPTIONAL);
    reading.each_jar = says(&EACH_JAR);
    reading.more = says(&MORE);
    reading.to_taste = says(&TO_TASTE);
    reading.percent = percent(&lower);
    let line = drop_words(line, &[&OPTIONAL, &EACH_JAR, &TO_TASTE]);
    let line = line.trim().trim_end_matches([',', ';', '-', '.']).trim();

    if let Some(found) = of_fruit(line, &reading) {
        return found;
    }
    let rest = amount_first(line, &mut reading);
    let rest = match rest {
        Some(rest) => rest,
        None => amount_last(line, &mut reading).unwrap_or_else(|| line.to_owned()),
    };
    let rest = collect_brackets(&rest, &mut reading);
    let rest = cut_more(&rest);
    reading.phrase = after_words(&rest, "of")
        .unwrap_or(&rest)
        .trim()
        .trim_matches([',', ';', ':', ' '])
        .to_owned();
    juiced(reading)
}

/// `2 lemons, juiced` and `2 lemons, zested and juiced` are juice and zest.
fn juiced(reading: Reading) -> Vec<Reading> {
    let Some((fruit, form)) = reading.phrase.split_once(',') else {
        return vec![reading];
    };
    let counted = reading.amount.as_ref().is_some_and(|amount| !amount.measures());
    let form = form.trim().to_ascii_lowercase();
    let taken: Vec<Taken> = [("zest", Taken::Zest), ("juice", Taken::Juice)]
        .into_iter()
        .filter(|(word, _)| form.contains(word))
        .map(|(_, taken)| taken)
        .collect();
    if taken.is_empty() || !counted {
        return vec![reading];
    }
    let fruit = fruit.trim().to_owned();
    taken
        .into_iter()
        .map(|taken| Reading {
            phrase: taken.of(&fruit),
            taken: Some(taken),
            ..reading.clone()
        })
        .collect()
}

impl Taken {
    /// `lemon juice` of `lemons`.
    fn of(self, fruit: &str) -> String {
        let fruit = fruit.trim();
        let one = fruit.strip_suffix('s').unwrap_or(fruit);
        match self {
            Self::Juice => format!("{one} juice"),
            Self::Zest => format!("{one} zest"),
        }
    }
}

/// `juice of 2 lemons`.
fn of_fruit(line: &str, so_far: &Reading) -> Option<Vec<Reading>> {
    let line = ["the", "finely", "freshly squeezed", "finely grated"]
        .iter()
        .fold(line, |line, word| after_words(line, word).map_or(line, str::trim_start));
    let (taken, rest) = TAKEN
        .iter()
        .find_map(|(words, taken)| Some((*taken, after_words(line, words)?.trim_start())))?;
    let rest = after_words(rest, "of").or_else(|| after_words(rest, "from"))?;
    let mut reading = so_far.clone();
    let rest = amount_first(rest.trim_start(), &mut reading)?;
    let rest = collect_brackets(&rest, &mut reading);
    let counted = reading.amount.as_ref().is_some_and(|amount| !amount.measures());
    counted.then(|| {
        taken
            .iter()
            .map(|taken| Reading {
                phrase: taken.of(rest.split(',').next().unwrap_or_default()),
                taken: Some(*taken),
                ..reading.clone()
            })
            .collect()
    })
}

/// Reads the amount at the start into `reading` and gives what is left of the line.
fn amount_first(line: &str, reading: &mut Reading) -> Option<String> {
    let mut line = line.trim_start();
    if let Some((word, rest)) = first_of(line, &ROUGH) {
        reading.rough = Some(word.to_owned());
        line = rest;
    }
    let (amount, rest) = heaped(line, reading).or_else(|| measured::leading(line)).or_else(|| {
        // "Pinch of salt", "handful of mint": a measure without a number is one of it.
        let (unit, rest) = measured::unit(line)?;
        let vague = matches!(unit, Unit::Vague(_) | Unit::Container(..));
        vague.then_some((
            Measured {
                many: number::Many::One(1.0),
                unit,
            },
            rest,
        ))
    })?;
    // "3 cups to 4 cups" is one range.
    let (amount, rest) = range_of_amounts(amount, rest);
    reading.amount = Some(amount);
    Some(more_amounts(rest, reading))
}

fn first_of<'t>(text: &'t str, words: &[&'static str]) -> Option<(&'static str, &'t str)> {
    words
        .iter()
        .find_map(|word| Some((*word, after_words(text, word)?.trim_start())))
}

/// `1 heaped tsp`, `1 level tsp`, `a heaped teaspoon`.
fn heaped<'t>(line: &'t str, reading: &mut Reading) -> Option<(Measured, &'t str)> {
    let (word, many, rest) = match first_of(line, &HEAPED) {
        Some((word, rest)) => (word, None, rest),
        None => {
            let (many, rest) = number::leading(line)?;
            let (word, rest) = first_of(rest, &HEAPED).or_else(|| first_of(rest, &["level"]))?;
            (word, Some(many), rest)
        }
    };
    let (many, rest) = match many {
        Some(many) => (many, rest),
        None => number::leading(rest).unwrap_or((number::Many::One(1.0), rest)),
    };
    let (unit, rest) = measured::unit(rest)?;
    let measured = Measured { many, unit };
    if !measured.measures() {
        return None;
    }
    if word != "level" {
        reading.heaped = Some(word.to_owned());
    }
    Some((measured, rest))
}

fn range_of_amounts(first: Measured, rest: &str) -> (Measured, &str) {
    let second = ["-", "to", "or"]
        .iter()
        .find_map(|word| after_words(rest.trim_start(), word))
        .and_then(|after| {
            measured::leading(after.trim_start()).filter(|_| after.trim_start().starts_with(number::is_start))
        });
    match (first.one(), second) {
        (Some(low), Some((second, after))) if second.unit == first.unit && first.measures() => match second.one() {
            Some(high) if high > low => (
                Measured {
                    many: number::Many::Range(low, high),
                    unit: first.unit,
                },
                after,
            ),
            _ => (first, rest),
        },
        _ => (first, rest),
    }
}

/// What follows an amount: more of it, or the same said again.
fn more_amounts(rest: &str, reading: &mut Reading) -> String {
    let mut rest = rest.trim_start();
    // A bounded walk: a line has room for no more.
    for _ in 0..4 {
        let plus = ["plus", "+", "and", "&"]
            .iter()
            .find_map(|word| after_words(rest, word))
            .and_then(|after| measured::leading(after.trim_start()));
        if let Some((more, after)) = plus.filter(|(more, _)| more.measures()) {
            reading.plus.push(more);
            rest = after.trim_start();
            continue;
        }
        let mass = |measured: &Measured| match &measured.unit {
            Unit::Of(unit) => jarwright_reference::mass_g(unit.word()).is_some(),
            Unit::Ounce => true,
            _ => false,
        };
        // "1 lb 4 oz" is one weight.
        if reading.amount.as_ref().is_some_and(mass)
            && rest.starts_with(number::is_start)
            && let Some((more, after)) = measured::leading(rest).filter(|(more, _)| mass(more))
        {
            reading.plus.push(more);
            rest = after.trim_start();
            continue;
        }
        if let Some(after) = rest.strip_prefix('/')
            && let Some((again, after)) = measured::leading(after.trim_start()).filter(|(again, _)| again.measures())
        {
            reading.again.get_or_insert(again);
            rest = after.trim_start();
            continue;
        }
        if let Some((again, after)) = in_brackets(rest) {
            if reading.again.is_none() {
                reading.again_rough = is_rough_in_brackets(rest);
                reading.again = Some(again);
            }
            rest = after;
            continue;
        }
        break;
    }
    rest.to_owned()
}

/// `Sugar 500 g`, `sugar: 500 g`, `sugar - 500 g`: the amount that ends a line.
fn amount_last(line: &str, reading: &mut Reading) -> Option<String> {
    let starts = line.char_indices().filter(|(at, c)| {
        number::is_start(*c)
            && line[..*at]
                .chars()
                .next_back()
                .is_some_and(|before| matches!(before, ' ' | ':' | '-' | ',' | '~'))
    });
    for (at, _) in starts {
        if let Some((amount, rest)) = measured::leading(&line[at..]) {
            let (amount, rest) = range_of_amounts(amount, rest);
            let name = line[..at].trim().trim_end_matches([':', '-', ',', '~']).trim();
            if amount.measures() && !name.is_empty() {
                let mut told = reading.clone();
                told.amount = Some(amount);
                let left = more_amounts(rest, &mut told);
                if left.trim().is_empty() || left.starts_with(',') || left.starts_with('(') {
                    *reading = told;
                    return Some(format!("{name}{left}"));
                }
            }
        }
    }
    None
}

/// Takes brackets out of the rest of a line: an amount is the same said again, words are kept.
fn collect_brackets(rest: &str, reading: &mut Reading) -> String {
    let mut out = String::new();
    let mut rest = rest;
    while let Some(at) = rest.find('(') {
        out.push_str(&rest[..at]);
        if let Some((again, after)) = in_brackets(&rest[at..]).filter(|_| reading.again.is_none()) {
            reading.again_rough = is_rough_in_brackets(&rest[at..]);
            reading.again = Some(again);
            rest = after;
            out.push(' ');
            continue;
        }
        let (inside, after) = rest[at + 1..].split_once(')').unwrap_or((&rest[at + 1..], ""));
        let inside = inside.trim().trim_matches([',', ';']).trim();
        if !inside.is_empty() {
            reading.brackets.push(inside.to_owned());
        }
        rest = after;
        out.push(' ');
    }
    out.push_str(rest);
    let joined = out.split_whitespace().collect::<Vec<_>>().join(" ");
    joined.replace(" ,", ",")
}

/// Without `plus extra for dusting`.
fn cut_more(rest: &str) -> String {
    let lower = rest.to_ascii_lowercase();
    let cut = MORE.iter().filter_map(|word| lower.find(word)).min();
    cut.map_or(rest, |at| &rest[..at])
        .trim()
        .trim_end_matches(',')
        .to_owned()
}

/// A line without some words, wherever they stand.
fn drop_words(line: &str, lists: &[&[&str]]) -> String {
    let mut out = line.to_owned();
    for word in lists.iter().flat_map(|list| list.iter()) {
        while let Some(at) = out.to_ascii_lowercase().find(word) {
            out.replace_range(at..at + word.len(), "");
        }
    }
    out.replace("()", "")
        .replace("( )", "")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// `5 %`, `5% acidity`, `50 grain`: a strength [%].
fn percent(lower: &str) -> Option<f64> {
    for (word, worth) in [
        ("%", 1.0),
        ("percent", 1.0),
        ("per cent", 1.0),
        ("grain", 0.1),
        ("-grain", 0.1),
    ] {
        let Some(at) = lower.find(word) else { continue };
        let before = lower[..at].trim_end().trim_end_matches('-');
        let digits: String = before
            .chars()
            .rev()
            .take_while(|c| c.is_ascii_digit() || *c == '.')
            .collect::<Vec<_>>()
            .into_iter()
            .rev()
            .collect();
        if let Ok(value) = digits.parse::<f64>() {
            return Some(value * worth).filter(|percent| (0.0..=100.0).contains(percent));
        }
    }
    None
}
