//! What to buy, what is left over, and what a sold jar costs.

use jarwright_kitchen::Plan;
use maud::{Markup, html};

use crate::figures::Figures;
use crate::reader::Reader;

pub(super) fn body(plan: &Plan, figures: Figures<'_>, reader: Reader) -> Markup {
    let words = reader.words();
    html! {
        section {
            h2 { (words.say("money.buy")) }
            div class="wide" {
                table {
                    thead { tr {
                        th scope="col" { (words.say("weigh.ingredient")) }
                        th scope="col" class="n" { (words.say("money.needed")) }
                        th scope="col" class="n" { (words.say("money.on_hand")) }
                        th scope="col" class="n" { (words.say("money.to_buy")) }
                        th scope="col" { (words.say("money.packs")) }
                        th scope="col" class="n" { (words.say("money.price")) }
                        th scope="col" class="n" { (words.say("money.left")) }
                    } }
                    tbody {
                        @for line in &plan.buy {
                            tr {
                                th scope="row" {
                                    (line.ingredient)
                                    @if let Some(note) = &line.note { br; small lang="en" { (note) } }
                                }
                                td class="n" { (figures.show(&line.as_purchased)) }
                                td class="n" { (figures.plain(&line.on_hand)) }
                                td class="n" { (figures.plain(&line.to_buy)) }
                                td { (line.packs.join(", ")) }
                                td class="n" { @if let Some(price) = &line.price { (figures.plain(price)) } }
                                td class="n" { (figures.plain(&line.left_over)) @for also in &line.also_left { br; small lang="en" { (also) } } }
                            }
                        }
                    }
                }
            }
        }
        section {
            h2 { (words.say("money.cost")) }
            @for cost in &plan.cost {
                h3 { (cost.formula) }
                dl class="cells" {
                    div { dt { (words.say("money.ingredients")) } dd { (figures.show(&cost.ingredients)) } }
                    div { dt { (words.say("money.jar")) } dd { (figures.show(&cost.jar)) } }
                    div { dt { (words.say("money.labour")) } dd { (figures.show(&cost.labour)) } }
                    div { dt { (words.say("money.energy")) } dd { (figures.show(&cost.energy)) } }
                    div { dt { (words.say("money.losses")) } dd { (figures.show(&cost.losses)) } }
                    div class="whole" { dt { (words.say("money.sold_jar")) } dd { (figures.show(&cost.sold_jar)) } }
                }
                @if !cost.unpriced.is_empty() { p class="hint" lang="en" { (cost.unpriced.join("; ")) } }
            }
        }
    }
}
