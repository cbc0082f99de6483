//! Sheets to print: a plan on paper, as self-contained HTML.
//!
//! Takes a [`Plan`] and knows nothing of where its figures came from. Every sheet stands alone
//! (no script, no outside resource), fits A4 and Letter, and prints black on white. Read next:
//! `words.rs` (how a figure reads), `drawing.rs` (how a picture is drawn), then the sheet wanted.
//!
//! Floor 4.

mod buying;
mod clock;
mod day;
mod day_picture;
mod digits;
pub mod drawing;
mod label;
pub mod mathematics;
mod moment;
mod pot_picture;
mod process;
mod sheet;
mod stove;
mod trouble;
mod weighing;
pub mod why;
pub mod words;

pub use pot_picture::pot_picture;

use std::collections::HashSet;

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

/// Every sheet of a plan: weighing sheets, stove card, clock, process sheets, labels, buying list.
///
/// File names differ from each other. A formula that is ordered twice has two weighing sheets.
#[must_use]
pub fn sheets(plan: &Plan) -> Vec<Sheet> {
    let mut sheets = weighing::sheets(plan);
    sheets.push(stove::sheet(plan));
    sheets.push(clock::sheet(plan));
    sheets.extend(process::sheets(plan));
    sheets.push(label::sheet(plan));
    sheets.push(buying::sheet(plan));
    keep_names_apart(&mut sheets);
    sheets
}

/// Numbers the file names that would fall together.
fn keep_names_apart(sheets: &mut [Sheet]) {
    let mut taken = HashSet::new();
    for sheet in sheets {
        let stem = sheet.file_name.trim_end_matches(".html").to_owned();
        let mut next = 2_usize;
        while !taken.insert(sheet.file_name.clone()) {
            sheet.file_name = format!("{stem}-{next}.html");
            next += 1;
        }
    }
}
