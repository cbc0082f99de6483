//! What to weigh: one table a formula; every batch of it is alike.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{WeighLine, WeighingSheet};
use jarwright_papers::words as said;
use maud::{Markup, html};

use super::answer::cautions;
use crate::figures::Figures;
use crate::reader::{Amounts, Reader};

/// Grams in an ounce, exactly (`nist_sp_811`).
const OUNCE_G: f64 = 28.349_523_125;

pub(super) fn body(plan: &Plan, figures: Figures<'_>, reader: Reader) -> Markup {
    let words = reader.words();
    html! {
        @for sheet in &plan.weigh {
            section {
                h2 { (sheet.formula) }
                p { (words.count("weigh.batches", sheet.batches)) ", " (words.say("weigh.times")) " " (figures.show(&sheet.multiple)) }
                div class="wide" {
                    table {
                        thead { tr {
                            th scope="col" { (words.say("weigh.ingredient")) }
                            th scope="col" class="n" { (words.say("weigh.scale")) }
                            th scope="col" { (words.say("weigh.measure")) }
                            th scope="col" { (words.say("weigh.do")) }
                        } }
                        tbody {
                            @for line in &sheet.lines {
                                tr {
                                    th scope="row" { (line.ingredient) @if !line.form.is_empty() { ", " (line.form) } }
                                    td class="n big" { (amount(figures, reader, sheet, line)) }
                                    td { (line.measure) }
                                    td lang="en" { span class="strong" { (line.goes_in) } @if !line.step.is_empty() { ": " (line.step) } }
                                }
                            }
                            tr class="sum" {
                                th scope="row" { (words.say("weigh.together")) }
                                td class="n big" { (figures.said(&sheet.total_on_scale, &said::on_scale(&sheet.total_on_scale, &sheet.scale_step))) }
                                td colspan="2" { (words.say("weigh.step")) " " (figures.plain(&sheet.scale_step)) }
                            }
                        }
                    }
                }
            }
        }
        p class="hint" { (words.say("weigh.rounding")) }
        (cautions(plan, words, &["pot"]))
    }
}

/// The mass as the reader weighs.
fn amount(figures: Figures<'_>, reader: Reader, sheet: &WeighingSheet, line: &WeighLine) -> Markup {
    let grams = said::on_scale(&line.on_scale, &sheet.scale_step);
    match reader.amounts {
        Amounts::Grams => figures.said(&line.on_scale, &grams),
        Amounts::Ounces => html! {
            (figures.said(&line.on_scale, &format!("{:.2} oz", line.on_scale.value / OUNCE_G)))
            br; small { (grams) }
        },
        Amounts::Cups if !line.measure.is_empty() => html! {
            (figures.said(&line.on_scale, &line.measure)) br; small { (grams) }
        },
        Amounts::Cups => figures.said(&line.on_scale, &grams),
    }
}
