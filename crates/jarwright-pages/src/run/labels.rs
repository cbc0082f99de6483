//! Draft labels: a person checks them against the market's law.

use jarwright_kitchen::Plan;
use maud::{Markup, html};

use super::answer::cautions;
use crate::figures::Figures;
use crate::reader::Reader;

pub(super) fn body(plan: &Plan, figures: Figures<'_>, reader: Reader) -> Markup {
    let words = reader.words();
    html! {
        @for label in &plan.labels {
            section {
                h2 { (label.formula) }
                div class="label" lang="en" {
                    p class="hint" { (words.say("labels.draft")) }
                    p class="food" { (label.name) }
                    p { (label.ingredients.join(", ")) }
                    @if !label.allergens.is_empty() { p class="strong" { (words.say("labels.contains")) " " (label.allergens.join(", ")) } }
                    @for line in &label.storage { p { (line) } }
                    p { (figures.plain(&label.content)) " · " (label.made) }
                    p class="lots" { (label.lots.iter().take(6).cloned().collect::<Vec<_>>().join("  ")) }
                }
                @if !label.open_points.is_empty() {
                    p { (words.say("labels.open")) }
                    ul lang="en" { @for line in &label.open_points { li { (line) } } }
                }
            }
        }
        (cautions(plan, words, &["label", "keeping"]))
    }
}
