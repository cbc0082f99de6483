//! Sheets to print: a plan on paper, as self-contained HTML.
//!
//! Takes a [`Plan`] and knows nothing of where its figures came from. Every sheet stands alone
//! (no script, no outside resource), fits A4 and Letter, and prints black on white. Read next:
//! `words.rs` (how a figure reads), `drawing.rs` (how a picture is drawn), then the sheet wanted.
//!
//! Floor 4.

mod digits;
pub mod drawing;
pub mod words;

use jarwright_kitchen::Plan;

/// One document to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Name of its file: lower case letters, digits and hyphens, then `.html`.
    pub file_name: String,
    /// Title people read.
    pub title: String,
    /// The document.
    pub html: String,
}

/// Every sheet of a plan.
#[must_use]
pub fn sheets(plan: &Plan) -> Vec<Sheet> {
    let _ = plan;
    Vec::new()
}
