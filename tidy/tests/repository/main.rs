//! Rules of the repository.

mod architecture;
mod equations;
mod floors;
mod sizes;
mod sources;
mod validation;
mod words;

use std::sync::OnceLock;

use jarwright_checks::Check;

/// Every check against the outside world, run once for all rules.
fn checks() -> &'static [Check] {
    static CHECKS: OnceLock<Vec<Check>> = OnceLock::new();
    CHECKS.get_or_init(jarwright_checks::all)
}

/// What a rule's test ends with when a file cannot be read.
type Any = Box<dyn std::error::Error>;

/// Nothing found, or everything found at once.
fn none(faults: &[String]) {
    assert!(faults.is_empty(), "\n  {}", faults.join("\n  "));
}
