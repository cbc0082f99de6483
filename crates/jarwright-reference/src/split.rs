//! Parts of a whole: what is bought for a part, and what is left over.

use std::sync::OnceLock;

use jarwright_figure::Cited;

use crate::table::{self, Table};

/// How a part is got from a whole that is bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    /// The part, an ingredient's name.
    pub part: String,
    /// What is bought for it, an ingredient's name.
    pub whole: String,
    /// The part that one whole gives [g].
    pub part_g_per_whole: Cited,
    /// What else one whole leaves, by ingredient name [g].
    pub leaves: Vec<(String, f64)>,
}

fn load() -> Table<Split> {
    table::read(include_str!("../data/ingredients/splits.csv"), |row| {
        let leaves = row
            .list("leaves")?
            .iter()
            .map(|entry| {
                let (name, grams) = entry.rsplit_once(' ').ok_or_else(|| format!("no grams in {entry:?}"))?;
                let grams = grams.parse::<f64>().map_err(|error| format!("{entry:?}: {error}"))?;
                Ok((name.trim().to_owned(), grams))
            })
            .collect::<Result<Vec<_>, String>>()?;
        Ok(Split {
            part: row.text("part")?,
            whole: row.text("whole")?,
            part_g_per_whole: row.cited()?,
            leaves,
        })
    })
}

/// Every split, in the table's order. The first row of a part is the usual one.
pub fn splits() -> &'static [Split] {
    static ROWS: OnceLock<Vec<Split>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}
