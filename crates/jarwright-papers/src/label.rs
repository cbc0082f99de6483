//! Draft labels to cut out; what a person still has to settle stands outside the cut.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::Label;
use maud::{Markup, html};

use crate::sheet::{cautions, document, foot, head};
use crate::{Sheet, words};

/// Draft labels, one page or more a formula, one label a lot.
pub(crate) fn sheet(plan: &Plan) -> Sheet {
    let body = html! {
        @for label in &plan.labels {
            section class="page" {
                (head(plan, "Draft labels, not for sale before a person has checked them", &label.formula))
                div class="labels" {
                    @for lot in &label.lots { (cut(label, Some(lot))) }
                    @if label.lots.is_empty() { (cut(label, None)) }
                }
                section class="care" {
                    h2 class="minor" { "Still open, outside the label" }
                    ul {
                        @for point in &label.open_points { li { (point) } }
                        @if label.storage.len() > 1 {
                            li { "how the jars will be kept, and until when; by the plan: " (label.storage.join("; ")) }
                        }
                        li { "Content by the fill of the plan: " (words::figure(&label.content)) ". Weigh filled jars before it is declared." }
                    }
                }
                (cautions(plan, Some(&label.formula), &["label", "keeping"]))
                (foot())
            }
        }
    };
    document("labels.html".into(), "Draft labels".into(), "label", &body)
}

/// One label. Where the jars could be kept in several ways a person writes which one it is.
fn cut(label: &Label, lot: Option<&String>) -> Markup {
    html! {
        div class="one" {
        p class="draft" { "draft · cut along the dashes" }
        article class="cut" {
            p class="name" { (label.name) }
            p { "Ingredients: " (label.ingredients.join(", ")) "." }
            @if !label.allergens.is_empty() {
                p class="allergens" { "Contains: " (label.allergens.join(", ")) "." }
            }
            @match label.storage.as_slice() {
                [how] => { p { (how) } }
                _ => { p { "Keep: ____________________________" } p { "Best before: ______________" } }
            }
            div class="bottom" {
                span class="content" { (words::value(&label.content)) }
                span class="code" {
                    "made " (label.made) br;
                    "lot " @match lot { Some(lot) => { (lot) } None => { "__________" } }
                }
            }
        }
        }
    }
}
