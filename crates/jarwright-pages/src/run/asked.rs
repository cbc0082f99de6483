//! Something at the stove changed: numbers as they stand in the address, and the fields they come from.

use maud::{Markup, html};

use crate::trouble::Trouble;
use crate::words::Words;

/// A number as typed; nothing typed is nothing changed.
///
/// # Errors
/// [`Trouble`] for what is no number.
pub(super) fn number(typed: &str, unit: &str) -> Result<Option<f64>, Trouble> {
    match typed.trim() {
        "" => Ok(None),
        typed => match typed.replace(',', ".").parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(Some(number)),
            _ => {
                let shown: String = typed.chars().take(40).collect();
                Err(Trouble::unusable(
                    format!("\"{shown}\" is no number"),
                    format!("give a number in {unit}"),
                ))
            }
        },
    }
}

/// A number that may be changed under the finger.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slide<'a> {
    /// Its name in the address.
    pub(super) name: &'static str,
    /// Key of its label.
    pub(super) label: &'static str,
    /// Its unit.
    pub(super) unit: &'static str,
    /// What was typed.
    pub(super) typed: &'a str,
    /// What is planned; nothing is shown where nothing is.
    pub(super) planned: Option<f64>,
    /// Least, most and step.
    pub(super) range: (f64, f64, f64),
}

impl Slide<'_> {
    pub(super) fn field(&self, words: Words) -> Markup {
        let (least, most, step) = self.range;
        html! {
            @if let Some(planned) = self.planned {
                div class="field" {
                    label for=(self.name) { (words.say(self.label)) " [" (self.unit) "]" }
                    p class="hint" id={ (self.name) "-hint" } { (words.say("jar.planned")) " " (trimmed(planned)) " " (self.unit) }
                    input type="number" inputmode="decimal" id=(self.name) name=(self.name) value=(self.typed)
                        placeholder=(trimmed(planned)) min=(least) max=(most) step=(step) data-slide data-planned=(planned)
                        aria-describedby={ (self.name) "-hint" };
                }
            }
        }
    }
}

fn trimmed(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// Why there is no answer.
pub(super) fn refused(words: Words, trouble: &Trouble) -> Markup {
    html! {
        div class="stop" role="alert" {
            @match trouble {
                Trouble::Unusable { what, hint } => { p lang="en" { (what) ". " (hint) } }
                Trouble::Cannot { why, would } => { p lang="en" { (why) } ul lang="en" { @for line in would { li { (line) } } } }
                _ => { p { (words.say("trouble.ours")) } }
            }
        }
    }
}

/// Whether the asker wants the part of a page, not JSON.
pub(super) fn wants_html(headers: &axum::http::HeaderMap) -> bool {
    headers
        .get(axum::http::header::ACCEPT)
        .and_then(|value| value.to_str().ok())
        .is_some_and(|accepts| accepts.contains("text/html"))
}

/// The way between the formulas of a run.
pub(super) fn formulas<'a>(
    words: Words,
    run: &str,
    part: &str,
    nth: usize,
    names: impl ExactSizeIterator<Item = &'a str>,
) -> Markup {
    html! {
        @if names.len() > 1 {
            nav class="parts" aria-label=(words.say("jar.which")) { ul {
                @for (i, name) in names.enumerate() {
                    li { a href={ "/runs/" (run) "/" (part) "/" (i + 1) } aria-current=[(i + 1 == nth).then_some("page")] { (name) } }
                }
            } }
        }
    }
}
