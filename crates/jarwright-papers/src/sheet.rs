//! What every sheet shares: the document, its head, its cautions and its foot.

use jarwright_figure::Figure;
use jarwright_kitchen::Plan;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::{Sheet, drawing, words};

const STYLE: &str = include_str!("style.css");

/// What stands on every sheet that could hurt someone.
pub(crate) const AUTHORITY: &str =
    "Local law and a licensed authority decide. A plan is no licence and no process authority's letter.";

/// The words by which a caution is known to say who decides.
const WHO_DECIDES: &str = "Local law and a licensed authority decide";

/// A document of one sheet or more.
pub(crate) fn document(file_name: String, title: String, class: &str, body: &Markup) -> Sheet {
    styled_document(file_name, title, class, &[], body)
}

/// A document with styles of its own behind those of every sheet.
pub(crate) fn styled_document(file_name: String, title: String, class: &str, styles: &[&str], body: &Markup) -> Sheet {
    let html = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) @for own in styles { (PreEscaped(*own)) } }
            }
            body class=(class) { main { (body) } }
        }
    }
    .into_string();
    Sheet { file_name, title, html }
}

/// Head of a document's first page: its title, and that the order cannot be met if it cannot.
pub(crate) fn head(plan: &Plan, kind: &str, title: &str) -> Markup {
    html! {
        (plain_head(plan, kind, title))
        @if let Some(cannot) = &plan.run.cannot {
            div class="stop" {
                p { span class="strong" { "This order cannot be met as asked: " } (cannot.reason) }
                @if !cannot.would.is_empty() { p { "What would meet it: " (cannot.would.join("; ")) } }
            }
        }
    }
}

/// Head of a page: what it is for, above; its title; the jar; the jug's graduations.
pub(crate) fn plain_head(plan: &Plan, kind: &str, title: &str) -> Markup {
    html! {
        header class="head" {
            div {
                div class="over" { (plan.run.kitchen) " · " (kind) " · " (purpose(plan)) }
                h1 { (title) }
            }
            (drawing::jar())
        }
        (drawing::graduations())
    }
}

fn purpose(plan: &Plan) -> String {
    let use_words = match plan.run.for_use {
        "own-use" => "for the maker's own table",
        "sale" => "for sale",
        other => other,
    };
    format!("{use_words}, {}", plan.run.market)
}

/// The cautions that belong on a sheet: those of its places, those of everywhere, and those of
/// a place no sheet knows, so that none is ever lost. Always with who decides.
pub(crate) fn cautions(plan: &Plan, formula: Option<&str>, places: &[&str]) -> Markup {
    let here = plan.cautions.iter().filter(|c| {
        let place = places.contains(&c.at) || c.at == "everywhere" || !PLACES.contains(&c.at);
        let food = c.formula.is_empty() || formula.is_none_or(|f| f == c.formula);
        place && food
    });
    // The plan's own word on who decides closes the list; ours stands in where it has none.
    let (deciding, hurting): (Vec<_>, Vec<_>) =
        here.partition(|c| c.formula.is_empty() && c.text.contains(WHO_DECIDES));
    html! {
        section class="care" {
            h2 class="minor" { "Take care" }
            ul {
                @for c in hurting {
                    li {
                        @if formula.is_none() && !c.formula.is_empty() { (c.formula) ": " }
                        (c.text)
                    }
                }
            }
            @for c in &deciding { p class="strong" { (c.text) } }
            @if deciding.is_empty() { p class="strong" { (AUTHORITY) } }
        }
    }
}

/// Every place a caution can name, besides everywhere.
pub(crate) const PLACES: [&str; 6] = ["pot", "fill", "bath", "cooling", "keeping", "label"];

/// The foot: what brackets mean.
pub(crate) fn foot() -> Markup {
    html! {
        footer class="foot" {
            p {
                "Two numbers in brackets, or after a comma with \u{201c}to\u{201d}: " (words::brackets_meaning())
                ". None: the number is given, printed or counted without a spread, or the spread is below its last digit."
            }
        }
    }
}

/// A tick square.
pub(crate) fn tick() -> Markup {
    html! { span class="box" {} }
}

/// A labelled line to write on.
pub(crate) fn blank(label: &str, size: &str) -> Markup {
    html! { span { (label) " " span class=(format!("blank {size}")) {} } }
}

/// A value with its band in small type under it.
pub(crate) fn stacked(f: &Figure) -> Markup {
    html! {
        (words::value(f))
        @if let Some(spread) = words::spread(f) { small { (spread) } }
    }
}

/// A file name from words: lower case letters, digits and hyphens.
pub(crate) fn slug(words: &str) -> String {
    let mut slug = String::new();
    for c in words.chars().take(60) {
        if c.is_ascii_alphanumeric() {
            slug.push(c.to_ascii_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "formula".into() } else { slug.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_are_plain_whatever_the_formula_is_called() {
        assert_eq!(slug("Lemon curd, 2.5 x"), "lemon-curd-2-5-x");
        assert_eq!(slug("<b>&\""), "b");
        assert_eq!(slug("../../etc/passwd"), "etc-passwd");
        assert_eq!(slug("杏"), "formula");
    }
}
