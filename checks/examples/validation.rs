//! Prints VALIDATION.md.

use std::io::Write;

fn main() -> std::io::Result<()> {
    std::io::stdout()
        .lock()
        .write_all(jarwright_checks::validation_markdown().as_bytes())
}
