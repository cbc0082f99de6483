//! The documents behind the numbers.

use std::collections::HashMap;
use std::sync::OnceLock;

use crate::table::{self, Table};

/// One document that numbers or rules are taken from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceRow {
    /// Key used beside every number, such as `usda_sr28`.
    pub key: String,
    /// Title.
    pub title: String,
    /// Authors or publisher.
    pub authors: String,
    /// Year or edition.
    pub year: String,
    /// What kind of document it is: `regulation`, `handbook`, `paper`, `data`, `guide`, ...
    pub kind: String,
    /// What else a reader should know, such as where a copy was read.
    pub note: String,
}

fn load() -> Table<SourceRow> {
    table::read(include_str!("../data/sources.csv"), |row| {
        Ok(SourceRow {
            key: row.text("key")?,
            title: row.text("title")?,
            authors: row.text("authors")?,
            year: row.text("year")?,
            kind: row.text("kind")?,
            note: row.text("note")?,
        })
    })
}

/// Every document, in the table's order.
pub fn sources() -> &'static [SourceRow] {
    static ROWS: OnceLock<Vec<SourceRow>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// The document behind a key.
#[must_use]
pub fn source(key: &str) -> Option<&'static SourceRow> {
    static BY_KEY: OnceLock<HashMap<&'static str, &'static SourceRow>> = OnceLock::new();
    BY_KEY
        .get_or_init(|| sources().iter().map(|row| (row.key.as_str(), row)).collect())
        .get(key)
        .copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_source_table_can_be_read() {
        assert_eq!(load().faults, Vec::<String>::new());
    }

    #[test]
    fn keys_are_unique_and_in_lower_snake_case_and_titles_are_there() {
        let mut seen = std::collections::HashSet::new();
        for row in sources() {
            assert!(seen.insert(&row.key), "{} twice", row.key);
            assert!(!row.title.is_empty(), "{} has no title", row.key);
            let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
            assert!(!row.key.is_empty() && row.key.chars().all(plain), "{}", row.key);
        }
    }
}
