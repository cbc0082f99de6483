//! A figure's "why?" as a whole document to print, A4 or Letter.

use std::collections::HashSet;

use maud::html;

use super::page::{STYLE, anchor, page};
use super::{Below, Step, value};
use crate::sheet::{AUTHORITY, styled_document};
use crate::{Sheet, drawing};

/// Colours, light and dark, of the document that the fragment stands in.
const COLOURS: &str = include_str!("sheet.css");

/// The document: `of` names the answer that the figure belongs to, such as `plan.json`; `currency`
/// is that of [`page`].
///
/// It stands alone: its links lead to places on itself. On paper it is black on white; on a screen
/// it is dark where the reader asked for that.
#[must_use]
pub fn sheet(step: &Step<'_>, of: &str, currency: &str) -> Sheet {
    let mut here = HashSet::new();
    handles(step, &mut here);
    let link = |handle: &str| here.contains(handle).then(|| format!("#{}", anchor(handle)));
    let figure = step.figure;
    let title = format!("Why is {} {}?", figure.name, value(figure, currency));
    let body = html! {
        header class="head" {
            div {
                div class="over" { (of) }
                h1 { "Where it comes from" }
            }
            (drawing::jar())
        }
        (drawing::graduations())
        (page(step, currency, &link))
        footer class="foot" { p { (AUTHORITY) } }
    };
    styled_document(
        format!("why-{}.html", figure.id),
        title,
        "why-sheet",
        &[COLOURS, STYLE],
        &body,
    )
}

/// Handles of the figures that are told in full.
fn handles<'a>(step: &Step<'a>, found: &mut HashSet<&'a str>) {
    found.insert(&step.figure.id);
    for input in &step.inputs {
        if let Below::Step(below) = input {
            handles(below, found);
        }
    }
}
