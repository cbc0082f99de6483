//! A recipe from outside becomes a draft formula, with every doubt as a question for a person.
//!
//! Takes the text of a web page or of JSON-LD (schema.org `Recipe`), or pasted lines. Nothing
//! doubtful is settled by default: a line has no amount until its questions are answered, and no
//! formula is written while one is open. A recipe taken in claims no tested schedule, whatever its
//! steps say. English only.
//!
//! The walk: `page.rs` and `raw.rs` find the lines, `line.rs` takes one apart (`number.rs`,
//! `measured.rs`), `food.rs` looks its food up, `ask.rs` raises the questions of `doubt.rs`,
//! `draft.rs` takes the answers, `write.rs` writes the formula, `marked.rs` a draft with
//! its open questions marked.

mod ask;
mod clean;
mod doubt;
mod draft;
mod food;
mod line;
mod marked;
mod measured;
mod number;
mod page;
mod raw;
#[cfg(test)]
mod tests;
mod whole;
mod write;

pub use doubt::{Answer, Choice, Doubt, DoubtKind};
pub use draft::{Draft, DraftLine};
pub use food::{HowSure, IngredientMatch};

use jarwright_reference::CupSystem;

use crate::files::{Amount, AmountUnit, Fault, MOST_BYTES, MOST_LINES, StoresFile};

/// Cup systems in the order they are offered.
const CUPS: [CupSystem; 4] = [
    CupSystem::Us,
    CupSystem::UsLabel,
    CupSystem::Metric,
    CupSystem::Imperial,
];

/// Longest step kept [characters].
const MOST_STEP: usize = 1000;
/// Most steps kept.
const MOST_STEPS: usize = 100;

/// Takes in a recipe: a page or JSON text with a schema.org `Recipe`, or lines of text.
///
/// `stores` may hold own ingredients that the recipe's lines are looked up among.
///
/// # Errors
/// A [`Fault`]: more than 1 MiB, a page or JSON text without a recipe, no line that could be an
/// ingredient, or more lines than a formula holds.
pub fn take_in(text: &str, stores: Option<&StoresFile>) -> Result<Draft, Fault> {
    if text.len() > MOST_BYTES {
        let what = format!("the recipe has {} bytes", text.len());
        return Err(Fault::new(what, format!("at most {MOST_BYTES} bytes")).hint("paste its lines into a text file"));
    }
    let start = text.trim_start_matches(|c: char| c == '\u{feff}' || c.is_whitespace());
    let without = |what: String| {
        Fault::new(what, "a schema.org Recipe in JSON-LD with ingredients")
            .hint("paste the recipe's lines into a text file and take that in")
    };
    let raw = if start.starts_with('{') || start.starts_with("[{") || start.starts_with("[\n") {
        match page::from_json(start) {
            Ok(Some(raw)) => raw,
            Ok(None) => return Err(without("no recipe in the JSON text".into())),
            Err(error) => return Err(without(format!("not JSON: {error}"))),
        }
    } else if start.starts_with('<') {
        page::from_page(start).ok_or_else(|| without("no recipe in the page".into()))?
    } else {
        raw::from_lines(start)
    };
    if !raw.lines.iter().any(|line| !clean::seen(&line.text, 1).is_empty()) {
        return Err(Fault::new(
            "no ingredient line",
            "one ingredient a line, such as \"2 cups sugar\"",
        ));
    }
    let many = |count: usize| {
        let what = format!("the recipe has {count} ingredient lines");
        Err(Fault::new(what, format!("at most {MOST_LINES}")))
    };
    if raw.lines.len() > MOST_LINES {
        return many(raw.lines.len());
    }
    let draft = Draft::new(raw, stores);
    // A line of juice and zest is two.
    match draft.lines.len() {
        0 => Err(Fault::new(
            "no ingredient line",
            "one ingredient a line, such as \"2 cups sugar\"",
        )),
        count if count > MOST_LINES => many(count),
        _ => Ok(draft),
    }
}

/// An amount in the formula file's notation, without the tail of binary fractions.
fn amount_text(number: f64, unit: &AmountUnit) -> String {
    let text = |quantity: f64| {
        Amount {
            quantity,
            unit: unit.clone(),
        }
        .to_string()
    };
    let exact = text(number);
    // A fraction such as 1/3 is written whole; a product of rounded numbers is rounded.
    if exact.contains('/') || exact.bytes().filter(u8::is_ascii_digit).count() <= 6 {
        exact
    } else {
        text((number * 1e4).round() / 1e4)
    }
}
