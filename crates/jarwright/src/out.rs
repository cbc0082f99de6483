//! The two streams: what was asked for on standard output, what is wrong on standard error.

use std::io::{ErrorKind, IsTerminal, Write};

use crate::exit::Stop;

/// Writes to standard output.
///
/// # Errors
/// [`Stop::NobodyReads`] when the reader of a pipe has gone, else a file fault.
pub fn say(text: &str) -> Result<(), Stop> {
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes())
        .and_then(|()| out.flush())
        .map_err(|error| match error.kind() {
            ErrorKind::BrokenPipe => Stop::NobodyReads,
            _ => Stop::file(
                "standard output",
                format!("could not be written: {error}"),
                "free the disk, or name another place",
            ),
        })
}

/// What a machine reads, as JSON.
///
/// # Errors
/// [`Stop`] where it cannot be written so: a fault of the program.
pub fn json(what: &impl serde::Serialize) -> Result<String, Stop> {
    serde_json::to_string_pretty(what)
        .map(|text| text + "\n")
        .map_err(|error| {
            Stop::asked(
                format!("the answer could not be written as JSON: {error}"),
                "report this fault",
            )
        })
}

/// Writes to standard error. When even that is closed there is nobody left to tell.
pub fn complain(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}

/// Whether standard error may be coloured.
#[must_use]
pub fn coloured() -> bool {
    let unwanted = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
        || std::env::var_os("TERM").is_some_and(|value| value == "dumb");
    !unwanted && std::io::stderr().is_terminal()
}
