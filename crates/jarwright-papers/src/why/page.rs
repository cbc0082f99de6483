//! A tree of figures as a fragment of a page.
//!
//! Nothing is hidden and nothing needs a script: a computed figure is a heading with its equation
//! and the list of what it took, a leaf a line; keyboard and reader go from heading to heading and
//! along links, and paper shows all of it.

use maud::{Markup, html};

use super::grounds::grounds;
use super::limits::held;
use super::{Below, MOVED_BY, Step, band, share, value};
use crate::mathematics;

/// What the fragment needs of a page's style. It takes its colours from the page's own variables:
/// `--ink`, `--soft` and `--line`, and does without them.
pub const STYLE: &str = include_str!("fragment.css");

/// Address of a figure's own "why?" by its handle; `None` where there is no such page.
pub type Link<'a> = &'a dyn Fn(&str) -> Option<String>;

/// The fragment, in English: `link` gives the address of another figure's own "why?".
///
/// `currency` stands behind money; empty where it is not known.
#[must_use]
pub fn page(step: &Step<'_>, currency: &str, link: Link<'_>) -> Markup {
    let show = Show { currency, link };
    html! {
        article class="why" lang="en" id=(anchor(&step.figure.id)) {
            h2 { (step.figure.name) ": " (value(step.figure, currency)) }
            (show.body(step, 3))
        }
    }
}

struct Show<'a> {
    currency: &'a str,
    link: Link<'a>,
}

impl Show<'_> {
    /// A figure's name, as a way to its own "why?" where there is one.
    fn name(&self, handle: &str, name: &str) -> Markup {
        html! {
            @if let Some(href) = (self.link)(handle) { a href=(href) { (name) } } @else { (name) }
        }
    }

    /// Everything of a figure but its name and value.
    fn body(&self, step: &Step<'_>, level: usize) -> Markup {
        let grounds = grounds(&step.figure.basis);
        html! {
            @if let Some(band) = band(step.figure) {
                p {
                    (band)
                    @for (place, cause) in step.figure.causes.iter().enumerate() {
                        @if place == 0 { "; " (MOVED_BY) } @else { ", " }
                        (self.name(&cause.id.to_string(), &cause.name)) (share(cause))
                    }
                    "."
                }
            }
            p { (grounds.how) }
            @if let Some(text) = grounds.equation { div class="equation" role="group" aria-label="equation" tabindex="0" { (mathematics::equation(text)) } }
            @if let Some(document) = &grounds.document { p class="document" { (document) } }
            @for note in &grounds.notes { p class="document" { (note) } }
            @for (held, before, stands) in held(step) {
                p class="limit" {
                    (before) ": " (self.name(&held.id, &held.name)) ": " (value(held, self.currency)) "; " (stands) "."
                }
            }
            @if !step.inputs.is_empty() {
                p { "It was computed from:" }
                ol { @for input in &step.inputs { (self.input(input, level)) } }
            }
        }
    }

    fn input(&self, input: &Below<'_>, level: usize) -> Markup {
        match input {
            Below::Step(step) => html! {
                li id=(anchor(&step.figure.id)) {
                    (heading(level, &html! {
                        (self.name(&step.figure.id, &step.figure.name)) ": " (value(step.figure, self.currency))
                    }))
                    (self.body(step, level + 1))
                }
            },
            Below::Told(figure) => html! {
                li {
                    a href={ "#" (anchor(&figure.id)) } { (figure.name) } ": " (value(figure, self.currency))
                    " (told elsewhere on this page)"
                }
            },
            Below::Further(figure) => html! {
                li { (self.name(&figure.id, &figure.name)) ": " (value(figure, self.currency)) }
            },
            Below::Missing(input) => html! {
                li { (input.name) ": " (input.value) " " (input.unit.symbol()) " (nothing more is known of it here)" }
            },
        }
    }
}

/// A heading of a level; there are six.
fn heading(level: usize, inside: &Markup) -> Markup {
    match level {
        ..=3 => html! { h3 { (inside) } },
        4 => html! { h4 { (inside) } },
        5 => html! { h5 { (inside) } },
        _ => html! { h6 { (inside) } },
    }
}

/// Where a figure stands in the fragment.
pub(super) fn anchor(handle: &str) -> String {
    format!("why-{handle}")
}
