//! Plain text laid out in lines that fit a terminal or a sheet.

use crate::problem_report::visible;

/// Columns of a line.
pub const WIDTH: usize = 88;

/// Text being laid out.
#[derive(Debug, Default)]
pub struct Page {
    out: String,
}

impl Page {
    /// An empty page.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The text.
    #[must_use]
    pub fn text(self) -> String {
        self.out
    }

    /// A heading, with an empty line before it.
    pub fn heading(&mut self, words: &str) {
        self.gap();
        self.verbatim(0, &words.to_uppercase());
    }

    /// One empty line, unless the page is empty or ends with one.
    pub fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// A line kept as it is.
    pub fn verbatim(&mut self, indent: usize, line: &str) {
        // Names and steps are the cook's own words: nothing in them moves a terminal's cursor.
        let line = visible(&format!("{:indent$}{line}", ""));
        self.out.push_str(line.trim_end());
        self.out.push('\n');
    }

    /// A paragraph, wrapped.
    pub fn line(&mut self, indent: usize, words: &str) {
        self.item(indent, "", words);
    }

    /// A paragraph behind a mark; its later lines stand under its first word.
    pub fn item(&mut self, indent: usize, mark: &str, words: &str) {
        let hang = indent + width(mark);
        if mark.trim().is_empty() && words.trim().is_empty() {
            return;
        }
        let mut lead = format!("{:indent$}{mark}", "");
        for line in wrap(words, WIDTH.saturating_sub(hang).max(24)) {
            self.verbatim(0, &format!("{lead}{line}"));
            lead = " ".repeat(hang);
        }
    }

    /// A list, each entry behind a dash.
    pub fn list<S: AsRef<str>>(&mut self, indent: usize, entries: impl IntoIterator<Item = S>) {
        for entry in entries {
            self.item(indent, "- ", entry.as_ref());
        }
    }

    /// Rows under each other, columns as wide as their widest cell; the last column wraps.
    ///
    /// `right` says which columns stand at their right edge.
    pub fn table(&mut self, indent: usize, rows: &[Vec<String>], right: &[bool]) {
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        let widths: Vec<usize> = (0..columns)
            .map(|c| {
                rows.iter()
                    .filter_map(|row| row.get(c))
                    .map(|cell| width(cell))
                    .max()
                    .unwrap_or(0)
            })
            .collect();
        for row in rows {
            let Some((last, cells)) = row.split_last() else {
                continue;
            };
            let mut lead = String::new();
            for (c, cell) in cells.iter().enumerate() {
                let pad = " ".repeat(widths[c].saturating_sub(width(cell)));
                if right.get(c).copied().unwrap_or(false) {
                    lead.push_str(&pad);
                    lead.push_str(cell);
                } else {
                    lead.push_str(cell);
                    lead.push_str(&pad);
                }
                lead.push_str("  ");
            }
            if right.get(columns.saturating_sub(1)).copied().unwrap_or(false) && row.len() == columns {
                lead.push_str(&" ".repeat(widths[columns - 1].saturating_sub(width(last))));
            }
            self.item(indent, &lead, last);
        }
    }
}

/// Columns a text takes.
fn width(text: &str) -> usize {
    text.chars().count()
}

/// Lines of at most so many columns; a line end in the words stays one, a longer word stands
/// alone, a number is not parted from its unit.
fn wrap(words: &str, columns: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in words.split('\n') {
        let mut line = String::new();
        for word in unparted(paragraph) {
            if !line.is_empty() && width(&line) + 1 + width(&word) > columns {
                lines.push(std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&word);
        }
        lines.push(line);
    }
    lines
}

/// Words, a number and its unit together as one.
fn unparted(paragraph: &str) -> Vec<String> {
    const UNITS: [&str; 10] = ["g", "kg", "L", "mL", "min", "h", "mm", "in", "m", "%"];
    let mut words: Vec<String> = Vec::new();
    for word in paragraph.split([' ', '\t']).filter(|word| !word.is_empty()) {
        let bare = word.trim_end_matches([',', '.', ';', ':', ')']);
        let unit = bare.starts_with('°') || UNITS.contains(&bare);
        match words.last_mut() {
            Some(last) if unit && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// A number with so many significant digits, without an exponent unless it is tiny or huge.
#[must_use]
pub fn significant(value: f64, digits: usize) -> String {
    if value == f64::INFINITY {
        return "not computed".into();
    }
    if !value.is_finite() {
        return "unknown".into();
    }
    let size = value.abs();
    if size == 0.0 {
        return "0".into();
    }
    let digits = digits.max(1);
    if !(1e-4..1e7).contains(&size) {
        return format!("{value:.*e}", digits - 1);
    }
    // At most 11 places: the least size above is 1e-4 and few digits are asked for.
    let places = (digits as f64 - 1.0 - size.log10().floor()).max(0.0) as usize;
    format!("{value:.places$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_hang_under_their_first_word() {
        let mut page = Page::new();
        page.item(2, "- ", &"word ".repeat(60));
        let text = page.text();
        assert!(text.lines().all(|line| width(line) <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("    word")));
    }

    #[test]
    fn a_number_is_not_parted_from_its_unit() {
        for columns in 8..40 {
            for line in wrap("done at 77 °C (171 °F) after 25 min, 12 g lost", columns) {
                assert!(!line.starts_with(['°', 'g', 'm']), "{line}");
            }
        }
    }

    #[test]
    fn columns_line_up() {
        let mut page = Page::new();
        let row = |a: &str, b: &str, c: &str| vec![a.to_owned(), b.to_owned(), c.to_owned()];
        page.table(
            0,
            &[row("sugar", "1200 g", "first"), row("lime juice", "95 g", "last")],
            &[false, true],
        );
        assert_eq!(page.text(), "sugar       1200 g  first\nlime juice    95 g  last\n");
    }

    #[test]
    fn numbers_keep_their_significant_digits() {
        for (value, text) in [
            (0.012_345, "0.012"),
            (0.05, "0.050"),
            (123.4, "123"),
            (0.0, "0"),
            (f64::INFINITY, "not computed"),
            (f64::NAN, "unknown"),
            (1.234e-9, "1.2e-9"),
        ] {
            assert_eq!(significant(value, 2), text);
        }
    }
}
