//! What is taken in, asked, answered and written.

mod answers;
mod lines;
mod pages;
mod traps;

use super::{Answer, Doubt, Draft, take_in};

/// A draft of lines, or why there is none.
fn draft(text: &str) -> Result<Draft, String> {
    take_in(text, None).map_err(|fault| fault.to_string())
}

/// Answers one after another: `cup=a`, `3.range=b`, `stop-at=65 Bx`.
fn answered(text: &str, answers: &[&str]) -> Result<Draft, String> {
    let mut draft = draft(text)?;
    for answer in answers {
        let (key, said) = answer.split_once('=').ok_or("no =")?;
        draft
            .decide(key, &Answer::parse(said))
            .map_err(|fault| format!("{answer}: {fault}"))?;
    }
    Ok(draft)
}

/// Keys of what is open.
fn open(draft: &Draft) -> Vec<&str> {
    draft.open().map(|doubt: &Doubt| doubt.key.as_str()).collect()
}
