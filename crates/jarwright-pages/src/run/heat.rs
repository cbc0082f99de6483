//! Potfuls, loads, and what the bath does in the middle of the jar.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{BatchPlan, ColdSpot, LoadPlan, Process};
use maud::{Markup, html};

use super::answer::cautions;
use crate::figures::Figures;
use crate::reader::Reader;
use crate::words::Words;

pub(super) fn body(plan: &Plan, figures: Figures<'_>, reader: Reader) -> Markup {
    let words = reader.words();
    html! {
        @for order in &plan.run.orders {
            section {
                h2 { (order.formula) }
                @for batch in plan.batches.iter().filter(|b| b.formula == order.formula) { (pot(words, figures, batch)) }
                @for load in plan.loads.iter().filter(|l| l.formula == order.formula) { (bath(words, figures, load)) }
                @for process in plan.process.iter().filter(|p| p.formula == order.formula) { (jar(words, figures, process)) }
            }
        }
        (cautions(plan, words, &["pot", "fill", "bath", "cooling"]))
    }
}

fn pot(words: Words, figures: Figures<'_>, batch: &BatchPlan) -> Markup {
    html! {
        h3 { (words.say("heat.pot")) ": " (batch.pot) ", " (batch.burner) }
        dl class="cells" {
            div { dt { (words.say("heat.jars")) } dd { (figures.plain(&batch.jars)) } }
            div { dt { (words.say("heat.fills")) } dd { (figures.show(&batch.fills)) } }
            div { dt { (words.say("answer.stop")) } dd { @match &batch.stop_at { Some(f) => (figures.show(f)), None => { span lang="en" { (batch.stop) } } } } }
            div { dt { (words.say("answer.cook")) } dd { (figures.duration(&batch.cook)) } }
            div { dt { (words.say("heat.fill")) } dd { (figures.show(&batch.fill)) } }
            div { dt { (words.say("heat.boiled_off")) } dd { (figures.show(&batch.boiled_off)) } }
            div { dt { (words.say("heat.volume")) } dd { (figures.show(&batch.volume)) } }
            div { dt { (words.say("heat.full")) } dd { (figures.share(&batch.pot_full)) } }
        }
        p lang="en" { (batch.bound_by) }
        p lang="en" { (batch.all_at_once) }
        @if !batch.notes.is_empty() { ul lang="en" { @for note in &batch.notes { li { (note) } } } }
    }
}

fn bath(words: Words, figures: Figures<'_>, load: &LoadPlan) -> Markup {
    html! {
        h3 { (words.say("heat.bath")) ": " (load.bath) }
        dl class="cells" {
            div { dt { (words.say("heat.load_jars")) } dd { (figures.plain(&load.jars)) " / " (figures.plain(&load.places)) } }
            div { dt { (words.say("answer.bath_start")) } dd { (figures.show(&load.start)) } }
            div { dt { (words.say("heat.come_up")) } dd { (figures.show(&load.come_up)) } }
            div { dt { (words.say("heat.come_up_full")) } dd { (figures.show(&load.come_up_full)) } }
            @if let Some(setting) = &load.burner_setting { div { dt { (words.say("heat.setting")) } dd { (figures.share(setting)) } } }
            @if let Some(hold) = &load.hold { div { dt { (words.say("answer.hold")) } dd { (figures.show(hold)) } } }
            @if let Some(wait) = &load.longest_wait { div { dt { (words.say("heat.longest_wait")) } dd { (figures.show(wait)) } } }
            div { dt { (words.say("heat.swap")) } dd { (figures.show(&load.swap)) } }
            div { dt { (words.say("heat.cycle")) } dd { (figures.duration(&load.cycle)) } }
        }
        @if !load.notes.is_empty() { ul lang="en" { @for note in &load.notes { li { (note) } } } }
    }
}

fn jar(words: Words, figures: Figures<'_>, process: &Process) -> Markup {
    html! {
        h3 { (words.say("heat.schedule")) }
        @match &process.schedule {
            Some(schedule) => {
                p { span class="strong" lang="en" { (schedule.title) } ": " (figures.show(&schedule.minutes)) ", " span lang="en" { (schedule.band) } }
                p { (words.say("heat.conditions")) }
                ul lang="en" { @for line in &schedule.conditions { li { (line) } } }
                @if !schedule.clashes.is_empty() { ul lang="en" { @for line in &schedule.clashes { li { (line) } } } }
                @if schedule.from_memory { p class="stop" { (words.say("heat.from_memory")) } }
            }
            None => { p { (words.say("heat.no_schedule")) } }
        }
        @if !process.departures.is_empty() {
            div class="stop" {
                p { (words.say("heat.departs")) }
                ul lang="en" { @for line in &process.departures { li { (line) } } }
            }
        }
        h3 { (words.say("heat.cold_spot")) }
        @match (&process.cold_spot, &process.not_computed) {
            (Some(spot), _) => { (cold_spot(words, figures, spot)) }
            (None, Some(why)) => { p lang="en" { (why) } }
            (None, None) => {}
        }
    }
}

fn cold_spot(words: Words, figures: Figures<'_>, spot: &ColdSpot) -> Markup {
    html! {
        dl class="cells" {
            div { dt { (words.say("spot.fill")) } dd { (figures.show(&spot.fill)) } }
            div { dt { (words.say("spot.at_boil")) } dd { (figures.show(&spot.at_boil)) } }
            div { dt { (words.say("spot.at_end")) } dd { (figures.show(&spot.at_end)) } }
            div { dt { (words.say("spot.peak")) } dd { (figures.show(&spot.peak)) } }
            div { dt { (words.say("spot.heating")) } dd { (figures.show(&spot.heating)) } }
            div { dt { (words.say("spot.cooling")) } dd { (figures.show(&spot.cooling)) } }
            div { dt { (words.say("spot.cooling_share")) } dd { (figures.share(&spot.cooling_share)) } }
            @if let Some(ratio) = &spot.heating_of_reference { div { dt { (words.say("spot.heating_of")) } dd { (figures.share(ratio)) } } }
            @if let Some(ratio) = &spot.total_of_reference { div { dt { (words.say("spot.total_of")) } dd { (figures.share(ratio)) } } }
            div { dt { (words.say("spot.target")) } dd { (figures.show(&spot.target_minutes)) } }
            div { dt { (words.say("spot.to_54")) } dd { (figures.duration(&spot.to_54)) } }
        }
        p lang="en" { (spot.target) }
        p lang="en" { (spot.meaning) }
    }
}
