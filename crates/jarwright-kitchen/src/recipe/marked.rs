//! A draft with its open questions, as a text to decide in an editor.

use std::fmt::Write;

use super::clean::seen;
use super::doubt::{Doubt, DoubtKind};
use super::draft::{Draft, DraftLine};
use super::line::MOST_LINE;
use super::write::cup_word;
use crate::files::quoted;

/// Stands where nothing is decided.
const OPEN: &str = "?";

impl Draft {
    /// The draft as text: the formula once nothing is open, and before that the same with every open
    /// question as a comment where it belongs, `"?"` in the place of what it decides, and the list
    /// `to_decide`. The formula reader refuses such a text: a person writes what is meant over each
    /// `"?"` and takes the list out.
    #[must_use]
    pub fn to_marked_toml(&self) -> String {
        if let Ok(text) = self.to_toml() {
            return text;
        }
        let mut out = String::new();
        // Writing into a string cannot fail.
        let _ = self.write_marked(&mut out);
        out
    }

    fn write_marked(&self, out: &mut String) -> std::fmt::Result {
        for line in self.about() {
            comment(out, &line)?;
        }
        comment(
            out,
            "No formula yet: decide what stands under DECIDE, write it over each \"?\", then take out to_decide.",
        )?;
        let keys: Vec<String> = self.open().map(|doubt| quoted(&doubt.key)).collect();
        writeln!(out, "to_decide = [{}]", keys.join(", "))?;
        for doubt in self.doubts.iter().filter(|doubt| doubt.answer.is_none()) {
            decide(out, doubt)?;
        }
        writeln!(out, "name = {}", quoted(&self.name))?;
        let word = |kind: DoubtKind| self.words(kind).unwrap_or_else(|| OPEN.to_owned());
        writeln!(out, "food = {}", quoted(&word(DoubtKind::Food)))?;
        if self.doubts.iter().any(|doubt| doubt.kind == DoubtKind::Cup) {
            writeln!(out, "cup = {}", quoted(self.cup().map_or(OPEN, cup_word)))?;
        }
        let stop = word(DoubtKind::StopAt);
        if !stop.is_empty() {
            writeln!(out, "stop_at = {}", quoted(&stop))?;
        }
        if self.packed() == Some(true) {
            writeln!(
                out,
                "\n[pack]\npieces_per_jar = {}",
                quoted(&word(DoubtKind::PiecesPerJar))
            )?;
        }
        self.lines.iter().try_for_each(|line| marked_line(out, line))
    }
}

fn marked_line(out: &mut String, line: &DraftLine) -> std::fmt::Result {
    if line.left_out {
        return Ok(());
    }
    writeln!(out)?;
    comment(out, &format!("As written: {}", line.as_written))?;
    for doubt in line.open() {
        decide(out, doubt)?;
    }
    let name = line.ingredient.as_ref().and_then(|found| found.name.as_deref());
    writeln!(out, "[[line]]\ningredient = {}", quoted(name.unwrap_or(OPEN)))?;
    writeln!(out, "amount = {}", quoted(line.amount.as_deref().unwrap_or(OPEN)))?;
    if let Some(form) = &line.form {
        writeln!(out, "form = {}", quoted(form))?;
    }
    Ok(())
}

fn decide(out: &mut String, doubt: &Doubt) -> std::fmt::Result {
    comment(out, &format!("DECIDE {}: {}", doubt.key, doubt.question))?;
    for choice in &doubt.choices {
        comment(out, &format!("  - {}", choice.label))?;
    }
    match &doubt.in_words {
        Some(words) => comment(out, &format!("  - or {words}")),
        None => Ok(()),
    }
}

fn comment(out: &mut String, text: &str) -> std::fmt::Result {
    writeln!(out, "# {}", seen(text, 2 * MOST_LINE))
}
