//! Walking a TOML text: every fault is kept with its place, and reading goes on.

use std::ops::Range;

use jiff::civil::{Date, Time};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::problem::{Fault, Problem};
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

/// A value with the bytes it stands at.
pub(crate) struct Placed<T> {
    pub(crate) value: T,
    pub(crate) at: Range<usize>,
}

/// A table of the text, with the keys it may have.
pub(crate) struct Section<'d, 't> {
    table: &'d DeTable<'t>,
    /// Where its missing keys are told: its header, or the start of the text.
    pub(crate) at: Range<usize>,
    name: &'static str,
    /// Keys that its misspelt keys are taken for: those are not told as missing too.
    meant: Vec<String>,
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
            return refuse(
                0..0,
                Fault::new(what, format!("at most {MOST_BYTES} bytes")),
            );
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
            self.problems
                .push(Problem::at(self.file, self.text, at, fault));
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

    /// The root table.
    pub(crate) fn root<'d>(
        &mut self,
        table: &'d DeTable<'t>,
        name: &'static str,
        keys: &'static [&'static str],
    ) -> Section<'d, 't> {
        self.section(
            table,
            0..self.text.lines().next().unwrap_or_default().len(),
            name,
            keys,
        )
    }

    fn section<'d>(
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
        Section {
            table,
            at,
            name,
            meant,
        }
    }

    /// A fault inside a string: the part of it that is wrong, where it is written plainly.
    pub(crate) fn fault_in(&mut self, at: &Range<usize>, string: &str, fault: Fault) {
        let inside = self.inside(at.clone());
        let plain = self.text.get(inside.clone()) == Some(string);
        let place = match &fault.within {
            Some(part) if plain && part.end <= string.len() => {
                inside.start + part.start..inside.start + part.end
            }
            _ => inside,
        };
        self.fault(place, fault);
    }

    /// The bytes between the quotation marks of a one-line string; other values as they are.
    fn inside(&self, at: Range<usize>) -> Range<usize> {
        let raw = self.text.get(at.clone()).unwrap_or_default();
        let quoted = |mark: &str| {
            raw.len() > 2
                && raw.starts_with(mark)
                && raw.ends_with(mark)
                && !raw.starts_with(&mark.repeat(2))
        };
        if quoted("\"") || quoted("'") {
            at.start + 1..at.end - 1
        } else {
            at
        }
    }

    fn wrong_type(&mut self, value: &Spanned<DeValue<'t>>, key: &str, expected: &str) {
        let met = match value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.fault(
            value.span(),
            Fault::new(format!("\"{key}\" is {met}"), expected),
        );
    }

    /// The text of a string value, within its bounds.
    fn string<'d>(
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
            Fault::new(
                format!("\"{key}\" has {chars} characters"),
                format!("at most {most}"),
            )
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

impl<'d, 't> Section<'d, 't> {
    pub(crate) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// The text of a key, where it is one.
    pub(crate) fn text(&self, key: &str) -> Option<&'d str> {
        self.table
            .get(key)
            .and_then(|value| value.get_ref().as_str())
    }

    /// Bytes of a key's value, without its quotation marks; of the section when it is missing.
    pub(crate) fn place(&self, walk: &Walk<'t>, key: &str) -> Range<usize> {
        self.table
            .get(key)
            .map_or_else(|| self.at.clone(), |value| walk.inside(value.span()))
    }

    fn find(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        expected: &str,
    ) -> Option<&'d Spanned<DeValue<'t>>> {
        let found = self.table.get(key);
        if found.is_none() && need == Need::Must && !self.meant.iter().any(|meant| meant == key) {
            walk.fault(
                self.at.clone(),
                Fault::new(format!("{} has no \"{key}\"", self.name), expected),
            );
        }
        found
    }

    /// A string read by `parse`.
    pub(crate) fn read<T>(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        expected: &str,
        parse: impl Fn(&str) -> Result<T, Fault>,
    ) -> Option<T> {
        self.read_long(walk, key, need, MOST_CHARS, expected, parse)
    }

    /// As [`Self::read`], with its own bound on length.
    pub(crate) fn read_long<T>(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        most: usize,
        expected: &str,
        parse: impl Fn(&str) -> Result<T, Fault>,
    ) -> Option<T> {
        let value = self.find(walk, key, need, expected)?;
        let string = walk.string(value, key, most, expected)?;
        match parse(string) {
            Ok(parsed) => Some(parsed),
            Err(fault) => {
                walk.fault_in(&value.span(), string, fault);
                None
            }
        }
    }

    /// A name or words.
    pub(crate) fn words(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        expected: &str,
    ) -> Option<String> {
        self.read(walk, key, need, expected, |text| Ok(text.trim().to_owned()))
    }

    /// A pure number in a closed range.
    pub(crate) fn number(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        range: (f64, f64),
        expected: &str,
    ) -> Option<f64> {
        let value = self.find(walk, key, need, expected)?;
        let number = number_of(value.get_ref());
        match number {
            None => {
                walk.wrong_type(value, key, expected);
                None
            }
            Some(number) if number >= range.0 && number <= range.1 => Some(number),
            Some(number) => {
                let what = if number.is_finite() {
                    format!("\"{key}\" is {number}")
                } else {
                    format!("\"{key}\" is not a finite number")
                };
                walk.fault(value.span(), Fault::new(what, expected));
                None
            }
        }
    }

    /// A count in a closed range.
    pub(crate) fn count(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        range: (u32, u32),
        expected: &str,
    ) -> Option<u32> {
        let value = self.find(walk, key, need, expected)?;
        let count = match value.get_ref() {
            DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).ok(),
            _ => {
                walk.wrong_type(value, key, expected);
                return None;
            }
        };
        let fits = count
            .and_then(|count| u32::try_from(count).ok())
            .filter(|count| (range.0..=range.1).contains(count));
        if fits.is_none() {
            walk.fault(
                value.span(),
                Fault::new(format!("\"{key}\" is out of range"), expected),
            );
        }
        fits
    }

    /// `true` or `false`; `false` when left out.
    pub(crate) fn flag(&self, walk: &mut Walk<'t>, key: &str) -> bool {
        let Some(value) = self.table.get(key) else {
            return false;
        };
        value.get_ref().as_bool().unwrap_or_else(|| {
            walk.wrong_type(value, key, "true or false");
            false
        })
    }

    /// A day: `2026-03-14`, bare or in quotation marks.
    pub(crate) fn date(&self, walk: &mut Walk<'t>, key: &str, need: Need) -> Option<Date> {
        self.civil(walk, key, need, "a day such as 2026-03-14")
    }

    /// A time of day: `06:30`, bare or in quotation marks.
    pub(crate) fn time(&self, walk: &mut Walk<'t>, key: &str, need: Need) -> Option<Time> {
        self.civil(walk, key, need, "a time of day such as \"06:30\"")
    }

    fn civil<T: std::str::FromStr>(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        expected: &str,
    ) -> Option<T> {
        let value = self.find(walk, key, need, expected)?;
        let text = match value.get_ref() {
            DeValue::Datetime(moment) => moment.to_string(),
            _ => walk
                .string(value, key, MOST_CHARS, expected)?
                .trim()
                .to_owned(),
        };
        let parsed = text.parse().ok();
        if parsed.is_none() {
            walk.fault(
                value.span(),
                Fault::new(format!("\"{key}\" is \"{text}\""), expected),
            );
        }
        parsed
    }

    /// A table by its key.
    pub(crate) fn table(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        name: &'static str,
        keys: &'static [&'static str],
    ) -> Option<Section<'d, 't>> {
        let value = self.table.get(key)?;
        let Some(table) = value.get_ref().as_table() else {
            walk.wrong_type(value, key, &format!("a table, [{key}]"));
            return None;
        };
        Some(walk.section(table, value.span(), name, keys))
    }

    /// A list of tables by its key: `[[line]]`.
    pub(crate) fn tables(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        name: &'static str,
        keys: &'static [&'static str],
    ) -> Vec<Section<'d, 't>> {
        let expected = format!("at least one [[{key}]]");
        let Some(value) = self.find(walk, key, need, &expected) else {
            return Vec::new();
        };
        let Some(list) = value.get_ref().as_array() else {
            walk.wrong_type(
                value,
                key,
                &format!("[[{key}]] in double brackets, one for each"),
            );
            return Vec::new();
        };
        if list.is_empty() && need == Need::Must {
            walk.fault(
                value.span(),
                Fault::new(format!("\"{key}\" is an empty list"), expected),
            );
        }
        if list.len() > MOST_LINES {
            let fault = Fault::new(
                format!("{} times [[{key}]]", list.len()),
                format!("at most {MOST_LINES}"),
            );
            walk.fault(value.span(), fault);
        }
        let mut sections = Vec::new();
        for item in list.iter().take(MOST_LINES) {
            match item.get_ref().as_table() {
                Some(table) => sections.push(walk.section(table, item.span(), name, keys)),
                None => walk.wrong_type(item, key, &format!("a table, [[{key}]]")),
            }
        }
        sections
    }

    /// A list of texts.
    pub(crate) fn list(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        expected: &str,
    ) -> Vec<Placed<&'d str>> {
        let Some(value) = self.table.get(key) else {
            return Vec::new();
        };
        let Some(list) = value.get_ref().as_array() else {
            walk.wrong_type(value, key, expected);
            return Vec::new();
        };
        let mut texts = Vec::new();
        for item in list.iter().take(MOST_LINES) {
            if let Some(value) = walk.string(item, key, MOST_CHARS, expected) {
                texts.push(Placed {
                    value,
                    at: item.span(),
                });
            }
        }
        texts
    }

    /// A table whose keys are free: each key and its value.
    pub(crate) fn entries(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        need: Need,
        expected: &str,
    ) -> Vec<(Placed<&'d str>, &'d Spanned<DeValue<'t>>)> {
        let Some(value) = self.find(walk, key, need, expected) else {
            return Vec::new();
        };
        let Some(table) = value.get_ref().as_table() else {
            walk.wrong_type(value, key, expected);
            return Vec::new();
        };
        if table.is_empty() && need == Need::Must {
            walk.fault(
                value.span(),
                Fault::new(format!("\"{key}\" is empty"), expected),
            );
        }
        let named = |(key, value): (&'d Spanned<_>, _)| (placed(key), value);
        table.iter().take(MOST_LINES).map(named).collect()
    }
}

fn placed<'d>(key: &'d Spanned<std::borrow::Cow<'_, str>>) -> Placed<&'d str> {
    Placed {
        value: key.get_ref().as_ref(),
        at: key.span(),
    }
}

/// A pure number, if the value is one; integers beyond 64 bits count as infinite.
#[expect(
    clippy::cast_precision_loss,
    reason = "a file's integers are counts far below 2^53"
)]
pub(crate) fn number_of(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(number) => Some(
            i64::from_str_radix(number.as_str(), number.radix())
                .map_or(f64::INFINITY, |whole| whole as f64),
        ),
        DeValue::Float(number) => Some(number.as_str().parse().unwrap_or(f64::NAN)),
        _ => None,
    }
}

/// One of some words.
pub(crate) fn choose<T: Copy>(
    text: &str,
    what: &str,
    all: &[T],
    word: impl Fn(T) -> &'static str,
) -> Result<T, Fault> {
    let met = text.trim();
    all.iter()
        .copied()
        .find(|&choice| word(choice) == met)
        .ok_or_else(|| {
            let words = || all.iter().map(|&choice| word(choice));
            let shown: String = met.chars().take(60).collect();
            Fault::new(format!("unknown {what} \"{shown}\""), spell::list(words()))
                .near(spell::nearest(met, words()))
        })
}

/// A jar of the reference table.
pub(crate) fn jar_size(text: &str) -> Result<String, Fault> {
    let met = text.trim();
    if let Some(row) = jarwright_reference::jar(met) {
        return Ok(row.name.clone());
    }
    let words = || {
        jarwright_reference::jars()
            .iter()
            .map(|row| row.name.as_str())
    };
    Err(
        Fault::new(format!("unknown jar \"{met}\""), spell::list(words()))
            .near(spell::nearest(met, words())),
    )
}
