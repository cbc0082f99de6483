//! A tree of figures as lines of text.

use jarwright_figure::Figure;

use super::grounds::grounds;
use super::limits::held;
use super::{Below, MOVED_BY, Step, band, share, value};

/// One line, not yet wrapped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// How deep it stands.
    pub depth: usize,
    /// Whether it begins a figure.
    pub begins: bool,
    /// Whether it is an equation, which is not wrapped.
    pub verbatim: bool,
    /// The words.
    pub words: String,
}

/// The tree as lines; each figure begins with its name, its value and its handle.
#[must_use]
pub fn lines(step: &Step<'_>, currency: &str) -> Vec<Line> {
    let mut all = Vec::new();
    tell(step, currency, 0, &mut all);
    all
}

fn tell(step: &Step<'_>, currency: &str, depth: usize, all: &mut Vec<Line>) {
    let figure = step.figure;
    let mut say = |depth, begins, verbatim, words: String| {
        all.push(Line {
            depth,
            begins,
            verbatim,
            words,
        });
    };
    say(
        depth,
        true,
        false,
        format!("{}: {} [{}]", figure.name, value(figure, currency), figure.id),
    );
    let inside = depth + 1;
    if let Some(band) = band(figure) {
        let causes: Vec<String> = figure
            .causes
            .iter()
            .map(|cause| format!("{}{} [{}]", cause.name, share(cause), cause.id))
            .collect();
        let moved = if causes.is_empty() { "" } else { MOVED_BY };
        let parting = if causes.is_empty() { "" } else { "; " };
        say(
            inside,
            false,
            false,
            format!("{band}{parting}{moved}{}", causes.join(", ")),
        );
    }
    let grounds = grounds(&figure.basis);
    say(inside, false, false, grounds.how);
    for line in grounds.equation.into_iter().flat_map(str::lines) {
        say(inside + 1, false, true, line.to_owned());
    }
    for words in grounds.document.into_iter().chain(grounds.notes) {
        say(inside + 1, false, false, words);
    }
    for (held, before, stands) in held(step) {
        let held = format!("{}: {} [{}]", held.name, value(held, currency), held.id);
        say(inside, false, false, format!("{before}: {held}; {stands}"));
    }
    for input in &step.inputs {
        match input {
            Below::Step(step) => tell(step, currency, inside, all),
            Below::Told(figure) => all.push(short(inside, figure, currency, ", told elsewhere here")),
            Below::Further(figure) => all.push(short(inside, figure, currency, "")),
            Below::Missing(input) => all.push(Line {
                depth: inside,
                begins: true,
                verbatim: false,
                words: format!(
                    "{}: {} {}, nothing more is known of it here",
                    input.name,
                    input.value,
                    input.unit.symbol()
                ),
            }),
        }
    }
}

fn short(depth: usize, figure: &Figure, currency: &str, remark: &str) -> Line {
    Line {
        depth,
        begins: true,
        verbatim: false,
        words: format!("{}: {} [{}]{remark}", figure.name, value(figure, currency), figure.id),
    }
}
