//! A figure's "why?" as a whole document to print, A4 or Letter.

use maud::html;

use super::page::{STYLE, page};
use super::{Step, value};
use crate::sheet::{AUTHORITY, styled_document};
use crate::{Sheet, drawing};

/// Colours, light and dark, of the document that the fragment stands in.
const COLOURS: &str = include_str!("sheet.css");

/// The document: `of` names the answer that the figure belongs to, such as `lime-curd, 48 jars`;
/// `currency` and `link` are those of [`page`].
///
/// On paper it is black on white; on a screen it is dark where the reader asked for that.
#[must_use]
pub fn sheet(step: &Step<'_>, of: &str, currency: &str, link: &dyn Fn(&str) -> String) -> Sheet {
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
        (page(step, currency, link))
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
