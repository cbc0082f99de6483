//! The stove card: what to read from an arm's length away.

use jarwright_figure::Figure;
use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{BatchPlan, LoadPlan, OrderLine, Process};
use maud::{Markup, html};

use crate::day::{Busy, Placed, days};
use crate::moment::{clock_words, day_words};
use crate::sheet::{blank, cautions, document, foot, head, plain_head};
use crate::trouble::{UNSEALED_MIN, trouble};
use crate::{Sheet, words};

/// Freezing point of water, where a thermometer is checked [°C]: a mark of the scale itself.
const ICE_C: f64 = 0.0;

/// Most filling times that stand on the card; more are on the page of times.
const MOST_TIMES: usize = 6;

/// The stove card of the run.
pub(crate) fn sheet(plan: &Plan) -> Sheet {
    let body = html! {
        @for (i, order) in plan.run.orders.iter().enumerate() {
            section class="page" {
                @let title = format!("{}, {}", order.formula, order.jar);
                @if i == 0 { (head(plan, "Stove card", &title)) } @else { (plain_head(plan, "Stove card", &title)) }
                @if i == 0 { (thermometer(plan)) }
                (formula(plan, order))
            }
        }
        section class="page" {
            (plain_head(plan, "Stove card", "When it goes wrong"))
            (trouble(plan))
        }
        section class="page" {
            (plain_head(plan, "Stove card", "Batch by batch"))
            (times(plan))
            (cautions(plan, None, &["pot", "fill", "bath", "cooling", "keeping"]))
            (foot())
        }
    };
    document("stove-card.html".into(), "Stove card".into(), "stove", &body)
}

/// One line of the card: what, the number to read, the rest in smaller type.
fn step(name: &str, hint: &str, number: &Markup, rest: &Markup) -> Markup {
    html! {
        div class="step" {
            div { p class="name" { (name) } p class="hint" { (hint) } }
            div class="number" { (number) }
            div class="rest" { (rest) }
        }
    }
}

/// A value in big type, its band under it.
fn key(f: &Figure) -> Markup {
    html! {
        p class="key" { (words::value(f)) }
        @if let Some(spread) = words::spread(f) { p class="also" { (spread) } }
    }
}

fn thermometer(plan: &Plan) -> Markup {
    let ice = html! { p class="key" { (words::both_scales(ICE_C, 1)) } };
    html! {
        (step("First", "thermometer in ice and water", &ice, &html! { p { (blank("yours reads", "")) } }))
        (step("Then", "thermometer in boiling water", &key(&plan.run.water_boils), &html! {
            p { (blank("yours reads", "")) }
            p { "at " (words::value(&plan.run.altitude)) "; take the difference with you all day" }
        }))
    }
}

fn formula(plan: &Plan, order: &OrderLine) -> Markup {
    let name = order.formula.as_str();
    let batch = plan.batches.iter().find(|b| b.formula == name);
    let load = plan.loads.iter().find(|l| l.formula == name);
    let process = plan.process.iter().find(|p| p.formula == name);
    html! {
        @if let Some(batch) = batch { (pot(batch)) (fill(plan, name, batch, load)) }
        @if let Some(load) = load { (bath(load, process)) (come_up(load)) }
        (hold(plan, name, load, process))
        (after(plan, name))
        (conditions(load, process))
    }
}

fn pot(batch: &BatchPlan) -> Markup {
    let rest = html! {
        @if batch.stop_at.is_some() && (batch.stop.contains("°Brix") || !batch.stop.contains("°C")) { p { (batch.stop) } }
        @if batch.stop.contains("°Brix") { p { (words::WHOLE_BRIX) } }
        p { "about " (words::duration(&batch.cook)) ", " (batch.burner) }
    };
    match &batch.stop_at {
        // A refractometer decides where °Brix is the endpoint; the temperature stands beneath.
        Some(_) if batch.stop.contains("°Brix") => {
            let brix = batch.stop.split(',').next().unwrap_or(&batch.stop);
            step("Pot", "stop at", &html! { p class="key" { (brix) } }, &rest)
        }
        Some(at) => step("Pot", "stop at", &key(at), &rest),
        None => step("Pot", "stop when", &html! { p class="key" { (batch.stop) } }, &rest),
    }
}

fn fill(plan: &Plan, formula: &str, batch: &BatchPlan, load: Option<&LoadPlan>) -> Markup {
    let days = days(&plan.clock);
    let until: Vec<String> = days
        .iter()
        .flat_map(|day| day.steps.iter().map(move |s| (day, s)))
        .filter(|(_, s)| s.busy == Busy::Fill && s.formula() == formula)
        .map(|(day, s)| match s.number() {
            Some(number) => format!("batch {number} {}", clock_words(day.filled_by(s))),
            None => clock_words(day.filled_by(s)),
        })
        .collect();
    let wait = load.and_then(|l| l.longest_wait.as_ref());
    let hint = match wait {
        Some(_) => "leaving the heat to the bath, at most",
        None => "last jar within",
    };
    step(
        "Fill",
        hint,
        &key(wait.unwrap_or(&batch.fill)),
        &html! {
            @if let Some(wait) = wait {
                p { "into the bath within " (words::value(wait)) " of leaving the heat; filling takes about " (words::figure(&batch.fill)) }
            }
            @if !until.is_empty() && until.len() <= MOST_TIMES {
                p { "last jar by: " (until.join(", ")) }
            } @else if !until.is_empty() {
                p { "last jar of each batch by: see \u{201c}Batch by batch\u{201d}" }
            }
            p { (words::value(&batch.jars)) " jars; " (blank("last jar reads", "short")) }
        },
    )
}

fn bath(load: &LoadPlan, process: Option<&Process>) -> Markup {
    // A start that departs from the schedule is no limit of anything.
    let departs = process.is_some_and(|p| !p.departures.is_empty());
    step(
        "Bath",
        if departs {
            "water for the jars, as planned here"
        } else {
            "water for the jars, not hotter"
        },
        &key(&load.start),
        &html! {
            p { "before the next load swap " (words::figure(&load.swap)) " hot for cold: bail first, then fill" }
        },
    )
}

fn come_up(load: &LoadPlan) -> Markup {
    match &load.burner_setting {
        Some(setting) => step(
            "Come-up",
            "burner at",
            &key(&words::percent(setting)),
            &html! {
                p { "full boil after " span class="strong" { (words::figure(&load.come_up)) } }
                p { "burner full on: " (words::figure(&load.come_up_full)) }
            },
        ),
        None => step(
            "Come-up",
            "to a full boil in",
            &key(&load.come_up),
            &html! {
                p { "burner full on: no setting is proposed" }
            },
        ),
    }
}

fn hold(plan: &Plan, formula: &str, load: Option<&LoadPlan>, process: Option<&Process>) -> Markup {
    let schedule = process.and_then(|p| p.schedule.as_ref());
    let minutes = load.and_then(|l| l.hold.as_ref()).or(schedule.map(|s| &s.minutes));
    let shelf = plan
        .verdicts
        .iter()
        .find(|v| v.formula == formula && v.route == "shelf");
    let closed = html! {
        @if shelf.is_some_and(|v| v.state == "closed") { p class="strong" { "The shelf is closed for these jars." } }
        @if process.is_some_and(|p| !p.departures.is_empty()) && schedule.is_some() {
            p class="strong" { "The schedule does NOT apply: this run departs from it. These minutes are no tested time for these jars." }
        }
        @if schedule.is_some_and(|s| s.from_memory) {
            p class="strong" { "Known only from memory: opens nothing until a person enters the printed page." }
        }
    };
    match minutes {
        Some(minutes) => step(
            "Hold",
            "from a full boil over the lids",
            &key(minutes),
            &html! {
                p { "boil lost: the full time again" }
                (closed)
            },
        ),
        None => step(
            "Hold",
            "",
            &html! { p class="key" { "no tested time" } },
            &html! {
                p { "No tested schedule covers these jars. Time in the bath does not make them keep on a shelf." }
                (closed)
            },
        ),
    }
}

/// What follows the bath, or the pot where there is no bath.
fn after(plan: &Plan, formula: &str) -> Markup {
    let days = days(&plan.clock);
    let chill = days
        .iter()
        .flat_map(|day| &day.steps)
        .find(|s| s.busy == Busy::Chill && s.formula() == formula);
    html! {
        div class="step wide" {
            p class="name" { "After" }
            div class="rest" {
                @match chill {
                    Some(chill) => { p class="strong" { (chill.step.what) } }
                    None => {
                        p {
                            "Jars out, apart, untouched: no quick cooling, no tightening, no stacking; "
                            "part of the process happens now."
                        }
                    }
                }
                p {
                    @if chill.is_some() { "May leave once pH is known: " } @else { "May leave once seals and pH are known: " }
                    span class="strong" { (plan.clock.ready) }
                }
            }
        }
    }
}

/// All conditions of the schedule, in what the run departs from it, and what is said of the bath.
fn conditions(load: Option<&LoadPlan>, process: Option<&Process>) -> Markup {
    html! {
        @if let Some(process) = process {
            @if !process.departures.is_empty() {
                p class="after strong" {
                    @if process.schedule.is_some() { "The schedule does NOT apply. " }
                    "Departs from the schedule: " (process.departures.join("; "))
                }
            }
            @if let Some(schedule) = &process.schedule {
                p class="after" {
                    span class="strong" {
                        @if process.departures.is_empty() { "The time holds only with all of these: " }
                        @else { "What the schedule asks for, not all of it kept here: " }
                    }
                    (schedule.conditions.join("; "))
                }
            }
        }
        @if let Some(load) = load {
            @for note in &load.notes { p class="after small" { (note) } }
        }
    }
}

/// The hour each batch is filled by, boils and is out, and when unsealed jars must be cold.
fn times(plan: &Plan) -> Markup {
    let days = days(&plan.clock);
    html! {
        @for day in &days {
            @let filled: Vec<&Placed<'_>> = day.steps.iter().filter(|s| s.busy == Busy::Fill).collect();
            @if !filled.is_empty() {
                table {
                    thead {
                        tr {
                            th { (day_words(day.name)) } th { "Last jar filled by" } th { "Full boil" } th { "Heat off" }
                            th { "Unsealed jars cold by" } th { "Really out" }
                        }
                    }
                    tbody {
                        @for fill in filled {
                            @let of = |busy| day.of_batch(busy, fill).map(|s| s.from_min);
                            tr {
                                th scope="row" { (fill.step.batch) }
                                td class="time" { (clock_words(day.filled_by(fill))) }
                                td class="time" { @if let Some(boil) = of(Busy::Hold) { (clock_words(boil)) } }
                                td class="time" { @if let Some(out) = of(Busy::Out) { (clock_words(out)) } }
                                td { @if let Some(out) = of(Busy::Out) { (clock_words(out + UNSEALED_MIN)) } }
                                td { (blank("", "short")) }
                            }
                        }
                    }
                }
            }
        }
    }
}
