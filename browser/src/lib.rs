//! The pages as people meet them: a real browser in front of the program as it is built.
//!
//! Three kinds of hands reach for a served house: a browser ([`chrome`], [`tab`]), a plain HTTP
//! client ([`caller`]) and the tests in `tests/`. Pages are found by their links ([`crawl`]), never
//! listed, so a new page is looked at the day it is linked.
//!
//! Needs on the machine: Chromium, npm (for the accessibility rules) and poppler's tools (to read what
//! was printed); `./check` installs them. Not among the default members: a build of the program
//! never compiles the driver.
//!
//! Read next: `served.rs`, `tab.rs`, `steps.rs`, then `tests/story.rs`.

pub mod axe;
pub mod caller;
pub mod chrome;
pub mod crawl;
pub mod look;
pub mod print;
pub mod served;
pub mod steps;
pub mod tab;

/// Any fault.
pub type Any = Box<dyn std::error::Error + Send + Sync>;

/// What a test or a command answers.
pub type Done<T = ()> = Result<T, Any>;

/// Fails with every fault told, one a line.
///
/// # Errors
/// The faults, if there are any.
pub fn none(faults: &[String]) -> Done {
    if faults.is_empty() {
        return Ok(());
    }
    let lines = faults.join("\n  ");
    Err(format!("{} faults\n  {lines}", faults.len()).into())
}
