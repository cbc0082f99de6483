//! Equations as they are printed in a book: plain text in, presentation MathML out.
//!
//! The notation is that of [`jarwright_figure::Equation::text`]. Every text becomes something, no
//! character of it is dropped: what is no mathematics stands as words. A text of several
//! statements (parted by `;` or by two spaces) becomes one row each, and a long row goes on
//! indented on the next. Only elements and attributes of MathML Core are written.
//!
//! Read next: `tokens.rs`, `parse.rs` (which has the rules), `rows.rs`, `write.rs`.

mod parse;
mod rows;
mod tokens;
mod write;

use maud::{Markup, html};

/// An equation's text as a `math` element, its plain text as the alternative.
#[must_use]
pub fn equation(text: &str) -> Markup {
    let rows = rows::rows(text);
    html! {
        math display="block" alttext=(text) aria-label=(text) {
            @if let [row] = rows.as_slice() {
                mrow { (write::items(row)) }
            } @else {
                mtable displaystyle="true" {
                    @for row in &rows { mtr { mtd { (write::items(row)) } } }
                }
            }
        }
    }
}
