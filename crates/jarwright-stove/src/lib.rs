//! Readings in: what a temperature logger's file says.
//!
//! Bytes in, a typed report out ([`read`]); the program opens the file. Nothing is guessed: what a
//! log leaves open is a question with the option that answers it. Nothing is decided: a computed
//! lethality explains a published schedule and replaces none.
//!
//! A log goes through `lines.rs` (bytes into records), `cells.rs`, `layout.rs` with `headings.rs`
//! (what the first rows tell), `rows.rs` with `number.rs` and `stamp.rs` (a row into numbers),
//! `track.rs` (rows in order, readings believed), `survey.rs` (first pass), `measure.rs` (second
//! pass), `report.rs`; `figures.rs` makes every number explain itself.
//!
//! Floor 4. Never opens a file, and lets no computed figure decide.

mod asked;
mod cells;
mod error;
mod figures;
mod headings;
mod layout;
mod lines;
mod measure;
mod number;
mod report;
mod rows;
mod stamp;
mod survey;
mod track;

pub use asked::{Asked, TimesCount};
pub use cells::cells;
pub use error::ReadError;
pub use figures::{ReportFigures, split_words, stage_key};
pub use layout::Times;
pub use measure::{Dose, Fault, FaultKind, Gap, Kept, LeftOut, Listed, MOST_KEPT, MOST_LISTED};
pub use number::{DecimalMark, Degrees};
pub use report::{Fit, Forecast, Medium, ProbeReport, Report, SplitBy, Told, USUAL_TARGET, read};
pub use rows::{Open, OrderBy};
pub use stamp::DateOrder;
pub use track::Point;

/// Said with every answer.
pub const CAUTIONS: [&str; 3] = [
    "Published schedules govern; this explains. A lethality computed from a log shortens, replaces and \
     approves no tested process.",
    "A log shows the place of its probes and no other. Whether a probe was at the slowest point, and how far \
     it is off, this file does not say.",
    "Local law and a licensed authority decide.",
];
