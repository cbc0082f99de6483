//! One table of a TOML text: its keys, read with their types and ranges.

use std::ops::Range;

use jiff::civil::{Date, Time};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::problem::Fault;
use super::walk::{MOST_CHARS, MOST_LINES, Need, Walk, number_of};

/// A value with the bytes it stands at.
pub(crate) struct Placed<T> {
    pub(crate) value: T,
    pub(crate) at: Range<usize>,
}

/// A table of the text, with the keys it may have.
pub(crate) struct Section<'d, 't> {
    pub(super) table: &'d DeTable<'t>,
    /// Where its missing keys are told: its header, or the start of the text.
    pub(crate) at: Range<usize>,
    pub(super) name: &'static str,
    /// Keys that its misspelt keys are taken for: those are not told as missing too.
    pub(super) meant: Vec<String>,
}

impl<'d, 't> Section<'d, 't> {
    pub(crate) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// The text of a key, where it is one.
    pub(crate) fn text(&self, key: &str) -> Option<&'d str> {
        self.table.get(key).and_then(|value| value.get_ref().as_str())
    }

    /// Bytes of a key's value, without its quotation marks; of the section when it is missing.
    pub(crate) fn place(&self, walk: &Walk<'t>, key: &str) -> Range<usize> {
        self.table
            .get(key)
            .map_or_else(|| self.at.clone(), |value| walk.inside(value.span()))
    }

    fn find(&self, walk: &mut Walk<'t>, key: &str, need: Need, expected: &str) -> Option<&'d Spanned<DeValue<'t>>> {
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
    pub(crate) fn words(&self, walk: &mut Walk<'t>, key: &str, need: Need, expected: &str) -> Option<String> {
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

    /// A number or a list of numbers, each in a closed range; at least one.
    pub(crate) fn numbers(
        &self,
        walk: &mut Walk<'t>,
        key: &str,
        range: (f64, f64),
        most: usize,
        expected: &str,
    ) -> Option<Vec<f64>> {
        let value = self.find(walk, key, Need::Must, expected)?;
        let Some(list) = value.get_ref().as_array() else {
            return self.number(walk, key, Need::Must, range, expected).map(|one| vec![one]);
        };
        if list.is_empty() || list.len() > most {
            let what = format!("\"{key}\" has {} numbers", list.len());
            walk.fault(value.span(), Fault::new(what, format!("1 to {most} of them")));
            return None;
        }
        let mut numbers = Vec::with_capacity(list.len());
        for item in list {
            match number_of(item.get_ref()) {
                None => walk.wrong_type(item, key, expected),
                Some(number) if number >= range.0 && number <= range.1 => numbers.push(number),
                Some(number) => walk.fault(item.span(), Fault::new(format!("\"{key}\" is {number}"), expected)),
            }
        }
        (numbers.len() == list.len()).then_some(numbers)
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
            walk.fault(value.span(), Fault::new(format!("\"{key}\" is out of range"), expected));
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

    fn civil<T: std::str::FromStr>(&self, walk: &mut Walk<'t>, key: &str, need: Need, expected: &str) -> Option<T> {
        let value = self.find(walk, key, need, expected)?;
        let text = match value.get_ref() {
            DeValue::Datetime(moment) => moment.to_string(),
            _ => walk.string(value, key, MOST_CHARS, expected)?.trim().to_owned(),
        };
        let parsed = text.parse().ok();
        if parsed.is_none() {
            walk.fault(value.span(), Fault::new(format!("\"{key}\" is \"{text}\""), expected));
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
            walk.wrong_type(value, key, &format!("[[{key}]] in double brackets, one for each"));
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
    pub(crate) fn list(&self, walk: &mut Walk<'t>, key: &str, expected: &str) -> Vec<Placed<&'d str>> {
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
                texts.push(Placed { value, at: item.span() });
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
            walk.fault(value.span(), Fault::new(format!("\"{key}\" is empty"), expected));
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
