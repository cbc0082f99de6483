//! Walking a TOML text: every fault is kept with its place, and reading goes on.
//!
//! Read next: `section.rs`, how one table is read.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::problem::{Fault, Problem};
use super::section::Section;
use super::spell;

/// Longest text read [bytes].
pub const MOST_BYTES: usize = 1 << 20;
/// Longest string in a file [characters], but for a letter's text.
pub const MOST_CHARS: usize = 200;
/// Most lines of a formula, and most tables of one kind in a kitchen.
pub const MOST_LINES: usize = 200;
/// Most faults told at once.
pub const MOST_PROBLEMS: usize = 100;

/// Whether a key has to be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Need {
    /// It has to.
    Must,
    /// It may be left out.
    May,
}

/// One text being read, and its faults so far.
pub(crate) struct Walk<'t> {
    file: &'t str,
    text: &'t str,
    problems: Vec<Problem>,
}

impl<'t> Walk<'t> {
    /// Parses a text. `expected` says what an empty one lacks.
    pub(crate) fn open(
        file: &'t str,
        text: &'t str,
        expected: &str,
    ) -> Result<(Self, Spanned<DeTable<'t>>), Vec<Problem>> {
        let refuse = |at: Range<usize>, fault: Fault| Err(vec![Problem::at(file, text, at, fault)]);
        if text.len() > MOST_BYTES {
            let what = format!("the text has {} bytes", text.len());
            return refuse(0..0, Fault::new(what, format!("at most {MOST_BYTES} bytes")));
        }
        if text.trim_start_matches('\u{feff}').trim().is_empty() {
            return refuse(0..0, Fault::new("the file is empty", expected));
        }
        match DeTable::parse(text) {
            Ok(table) => Ok((
                Self {
                    file,
                    text,
                    problems: Vec::new(),
                },
                table,
            )),
            Err(error) => {
                let fault = Fault::new(format!("not TOML: {}", error.message().replace('\n', ", ")), "")
                    .hint("one `key = value` a line; texts and amounts stand in quotation marks: amount = \"2 cup\"");
                refuse(error.span().unwrap_or(0..0), fault)
            }
        }
    }

    /// Keeps a fault.
    pub(crate) fn fault(&mut self, at: Range<usize>, fault: Fault) {
        if self.problems.len() <= MOST_PROBLEMS {
            self.problems.push(Problem::at(self.file, self.text, at, fault));
        }
    }

    /// The value, when nothing was wrong; else the faults in file order.
    pub(crate) fn finish<T>(mut self, value: T) -> Result<T, Vec<Problem>> {
        if self.problems.is_empty() {
            return Ok(value);
        }
        let cut = self.problems.len() > MOST_PROBLEMS;
        self.problems.truncate(MOST_PROBLEMS);
        self.problems.sort_by_key(|problem| problem.offset.start);
        if let (true, Some(last)) = (cut, self.problems.last_mut()) {
            last.hint = Some("there are more faults; mend these first".into());
        }
        Err(self.problems)
    }

    /// The root table; what it lacks is told at the start of the text.
    pub(crate) fn root<'d>(
        &mut self,
        table: &'d DeTable<'t>,
        name: &'static str,
        keys: &'static [&'static str],
    ) -> Section<'d, 't> {
        self.section(table, 0..0, name, keys)
    }

    pub(crate) fn section<'d>(
        &mut self,
        table: &'d DeTable<'t>,
        at: Range<usize>,
        name: &'static str,
        keys: &'static [&'static str],
    ) -> Section<'d, 't> {
        let mut meant = Vec::new();
        for (key, _) in table {
            let word = key.get_ref().as_ref();
            if !keys.contains(&word) {
                let nearest = spell::nearest(word, keys.iter().copied());
                meant.extend(nearest.clone());
                let shown: String = word.chars().take(60).collect();
                let what = format!("unknown key \"{shown}\" in {name}");
                let fault = Fault::new(what, spell::list(keys.iter().copied()));
                self.fault(key.span(), fault.near(nearest));
            }
        }
        Section { table, at, name, meant }
    }

    /// A fault inside a string: the part of it that is wrong, where it is written plainly.
    pub(crate) fn fault_in(&mut self, at: &Range<usize>, string: &str, fault: Fault) {
        let inside = self.inside(at.clone());
        let plain = self.text.get(inside.clone()) == Some(string);
        let place = match &fault.within {
            Some(part) if plain && part.end <= string.len() => inside.start + part.start..inside.start + part.end,
            _ => inside,
        };
        self.fault(place, fault);
    }

    /// The bytes between the quotation marks of a one-line string; other values as they are.
    pub(crate) fn inside(&self, at: Range<usize>) -> Range<usize> {
        let raw = self.text.get(at.clone()).unwrap_or_default();
        let quoted = |mark: &str| {
            raw.len() > 2 && raw.starts_with(mark) && raw.ends_with(mark) && !raw.starts_with(&mark.repeat(2))
        };
        if quoted("\"") || quoted("'") {
            at.start + 1..at.end - 1
        } else {
            at
        }
    }

    pub(crate) fn wrong_type(&mut self, value: &Spanned<DeValue<'t>>, key: &str, expected: &str) {
        let met = match value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.fault(value.span(), Fault::new(format!("\"{key}\" is {met}"), expected));
    }

    /// The text of a string value, within its bounds.
    pub(crate) fn string<'d>(
        &mut self,
        value: &'d Spanned<DeValue<'t>>,
        key: &str,
        most: usize,
        expected: &str,
    ) -> Option<&'d str> {
        let Some(string) = value.get_ref().as_str() else {
            self.wrong_type(value, key, expected);
            return None;
        };
        let chars = string.chars().count();
        let fault = if chars > most {
            Fault::new(format!("\"{key}\" has {chars} characters"), format!("at most {most}"))
        } else if string.trim().is_empty() {
            Fault::new(format!("\"{key}\" is empty"), expected)
        } else if string
            .chars()
            .any(|c| c.is_control() && !(most > MOST_CHARS && matches!(c, '\n' | '\r' | '\t')))
        {
            Fault::new(
                format!("\"{key}\" holds a control character"),
                "printable text in one line",
            )
        } else {
            return Some(string);
        };
        self.fault(value.span(), fault);
        None
    }
}

/// A pure number, if the value is one; integers beyond 64 bits count as infinite.
#[expect(clippy::cast_precision_loss, reason = "a file's integers are counts far below 2^53")]
pub(crate) fn number_of(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(number) => {
            Some(i64::from_str_radix(number.as_str(), number.radix()).map_or(f64::INFINITY, |whole| whole as f64))
        }
        DeValue::Float(number) => Some(number.as_str().parse().unwrap_or(f64::NAN)),
        _ => None,
    }
}

/// One of some words.
pub(crate) fn choose<T: Copy>(text: &str, what: &str, all: &[T], word: impl Fn(T) -> &'static str) -> Result<T, Fault> {
    let met = text.trim();
    all.iter().copied().find(|&choice| word(choice) == met).ok_or_else(|| {
        let words = || all.iter().map(|&choice| word(choice));
        let shown: String = met.chars().take(60).collect();
        Fault::new(format!("unknown {what} \"{shown}\""), spell::list(words())).near(spell::nearest(met, words()))
    })
}

/// A jar of the reference table.
pub(crate) fn jar_size(text: &str) -> Result<String, Fault> {
    let met = text.trim();
    if let Some(row) = jarwright_reference::jar(met) {
        return Ok(row.name.clone());
    }
    let words = || jarwright_reference::jars().iter().map(|row| row.name.as_str());
    Err(Fault::new(format!("unknown jar \"{met}\""), spell::list(words())).near(spell::nearest(met, words())))
}
