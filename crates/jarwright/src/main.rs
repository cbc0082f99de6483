//! Jarwright plans what people put in jars. This is the program: words in, text out.
//!
//! It knows no equation and no rule's number. Read next: `cli/mod.rs` (the commands), then
//! `compose.rs` (where all parts meet) and `text.rs` (a plan as text).
//!
//! Floor 6.

mod bath_picture;
mod certificate;
mod cli;
mod compose;
mod cooling_picture;
mod data_dir;
mod dialogue;
mod exit;
mod jar_bench;
mod log_picture;
mod out;
mod problem_report;
mod saved_figures;
mod serving;
mod sure_picture;
mod text;
mod when;

fn main() -> std::process::ExitCode {
    cli::run().into()
}
