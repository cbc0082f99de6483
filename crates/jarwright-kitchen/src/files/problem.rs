//! A fault in a text a person wrote, with its place and what would mend it.

use std::fmt;
use std::ops::Range;

/// One fault in one file. Everything needed to draw the source line with a mark under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The file's name, as the caller gave it.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// Bytes of the text that the fault covers; may be empty at the end of the text.
    pub offset: Range<usize>,
    /// What is wrong, with what was met.
    pub what: String,
    /// What may stand there instead.
    pub expected: String,
    /// The allowed word that is spelled most like the one met.
    pub nearest: Option<String>,
    /// What to do about it, where that is not plain from `expected`.
    pub hint: Option<String>,
}

impl Problem {
    /// A fault at some bytes of a text.
    #[must_use]
    pub fn at(file: &str, text: &str, offset: Range<usize>, fault: Fault) -> Self {
        let start = floor(text, offset.start);
        let end = floor(text, offset.end).max(start);
        let before = text.get(..start).unwrap_or_default();
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        Self {
            file: file.into(),
            line: before.bytes().filter(|&byte| byte == b'\n').count() + 1,
            column: before.get(line_start..).unwrap_or_default().chars().count() + 1,
            offset: start..end,
            what: fault.what,
            expected: fault.expected,
            nearest: fault.nearest,
            hint: fault.hint,
        }
    }
}

/// The character boundary at or before a byte.
fn floor(text: &str, byte: usize) -> usize {
    let byte = byte.min(text.len());
    (0..=byte).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0)
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}: {}", self.file, self.line, self.column, self.what)?;
        write_rest(f, &self.expected, self.nearest.as_deref())
    }
}

impl std::error::Error for Problem {}

/// A fault in a word or value that does not know yet in which file it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong, with what was met.
    pub what: String,
    /// What may stand there instead.
    pub expected: String,
    /// The allowed word that is spelled most like the one met.
    pub nearest: Option<String>,
    /// What to do about it.
    pub hint: Option<String>,
    /// Bytes of the value that the fault covers; `None` for all of it.
    pub within: Option<Range<usize>>,
}

impl Fault {
    /// A fault of the whole value.
    #[must_use]
    pub fn new(what: impl Into<String>, expected: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            expected: expected.into(),
            nearest: None,
            hint: None,
            within: None,
        }
    }

    /// With the nearest allowed word.
    #[must_use]
    pub fn near(mut self, nearest: Option<String>) -> Self {
        self.nearest = nearest;
        self
    }

    /// With a remedy.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Of a part of the value only.
    #[must_use]
    pub fn within(mut self, bytes: Range<usize>) -> Self {
        self.within = Some(bytes);
        self
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)?;
        write_rest(f, &self.expected, self.nearest.as_deref())
    }
}

impl std::error::Error for Fault {}

fn write_rest(f: &mut fmt::Formatter<'_>, expected: &str, nearest: Option<&str>) -> fmt::Result {
    if !expected.is_empty() {
        write!(f, "; expected {expected}")?;
    }
    if let Some(nearest) = nearest {
        write!(f, "; did you mean \"{nearest}\"?")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn place_counts_lines_from_one_and_columns_in_characters() {
        let text = "a = 1\nb = \"é½x\"\n";
        let byte = text.find('x').unwrap_or_default();
        let problem = Problem::at("k.toml", text, byte..byte + 1, Fault::new("bad", "good"));
        assert_eq!((problem.line, problem.column), (2, 8));
        assert_eq!(problem.to_string(), "k.toml:2:8: bad; expected good");
    }

    #[test]
    fn a_place_outside_the_text_or_inside_a_character_is_moved_to_one_that_exists() {
        let problem = Problem::at("f", "é", 1..9, Fault::new("bad", ""));
        assert_eq!(problem.offset, 0..2);
        assert_eq!((problem.line, problem.column), (1, 1));
    }
}
