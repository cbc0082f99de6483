//! Reading the embedded tables.

use std::cell::Cell;
use std::str::FromStr;

use csv::StringRecord;
use jarwright_figure::{Cited, Mark};

/// A table as read: its good rows, and a sentence for every bad one.
pub(crate) struct Table<T> {
    /// Rows that could be read.
    pub(crate) rows: Vec<T>,
    /// What was wrong with the others; the tests want none.
    pub(crate) faults: Vec<String>,
}

/// One row with its column names.
pub(crate) struct Row<'a> {
    columns: &'a StringRecord,
    cells: &'a StringRecord,
    /// Where the next column asked for most likely stands: tables are read from left to right.
    next: Cell<usize>,
}

/// Reads a table; `parse` returns the fault in words when a row is bad.
pub(crate) fn read<T>(text: &str, mut parse: impl FnMut(&Row) -> Result<T, String>) -> Table<T> {
    let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    let mut table = Table {
        rows: Vec::new(),
        faults: Vec::new(),
    };
    let columns = match reader.headers() {
        Ok(headers) => headers.clone(),
        Err(error) => {
            table.faults.push(error.to_string());
            return table;
        }
    };
    let mut cells = StringRecord::new();
    loop {
        let parsed = match reader.read_record(&mut cells) {
            Ok(false) => return table,
            Ok(true) => parse(&Row {
                columns: &columns,
                cells: &cells,
                next: Cell::new(0),
            }),
            Err(error) => Err(error.to_string()),
        };
        match parsed {
            Ok(row) => table.rows.push(row),
            Err(fault) => table.faults.push(fault),
        }
    }
}

impl Row<'_> {
    fn cell(&self, column: &str) -> Result<&str, String> {
        let expected = self.next.get();
        let at = if self.columns.get(expected).is_some_and(|name| name.trim() == column) {
            Some(expected)
        } else {
            self.columns.iter().position(|name| name.trim() == column)
        };
        let at = at.ok_or_else(|| format!("no column {column}"))?;
        self.next.set(at + 1);
        self.cells
            .get(at)
            .map(str::trim)
            .ok_or_else(|| format!("no cell under {column}"))
    }

    /// Text of a cell; may be empty.
    pub(crate) fn text(&self, column: &str) -> Result<String, String> {
        self.cell(column).map(str::to_owned)
    }

    /// Parts of a cell between semicolons.
    pub(crate) fn list(&self, column: &str) -> Result<Vec<String>, String> {
        Ok(self
            .cell(column)?
            .split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(str::to_owned)
            .collect())
    }

    /// A number, or `None` for a blank.
    pub(crate) fn maybe(&self, column: &str) -> Result<Option<f64>, String> {
        let text = self.cell(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        match f64::from_str(text) {
            Ok(value) if value.is_finite() => Ok(Some(value)),
            _ => Err(format!(
                "{column}: {text:?} is not a number, in {:?}",
                self.cells.get(0)
            )),
        }
    }

    /// A number that must be there.
    pub(crate) fn number(&self, column: &str) -> Result<f64, String> {
        self.maybe(column)?
            .ok_or_else(|| format!("{column} is blank in {:?}", self.cells.get(0)))
    }

    /// A cell read by `parse`.
    pub(crate) fn word<T>(&self, column: &str, parse: impl Fn(&str) -> Option<T>) -> Result<T, String> {
        let text = self.cell(column)?;
        parse(text).ok_or_else(|| format!("{column}: unknown word {text:?} in {:?}", self.cells.get(0)))
    }

    /// The columns `value`, `low`, `high`, `source`, `place`, `mark`; blank ends equal the value.
    pub(crate) fn cited(&self) -> Result<Cited, String> {
        let value = self.number("value")?;
        let low = self.maybe("low")?.unwrap_or(value);
        let high = self.maybe("high")?.unwrap_or(value);
        if low > value || value > high {
            return Err(format!(
                "{value} is not within {low} to {high} in {:?}",
                self.cells.get(0)
            ));
        }
        Ok(Cited {
            value,
            low,
            high,
            source: self.text("source")?,
            place: self.text("place")?,
            mark: self.word("mark", Mark::parse)?,
        })
    }
}

impl<T> Table<T> {
    /// Adds another table's rows and faults.
    pub(crate) fn append(&mut self, other: Self) {
        self.rows.extend(other.rows);
        self.faults.extend(other.faults);
    }
}
