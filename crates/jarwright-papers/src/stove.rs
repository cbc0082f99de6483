//! The stove card: what to read from an arm's length away, and what to do when it goes wrong.

use jarwright_figure::Figure;
use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{BatchPlan, LoadPlan, OrderLine, Process, Verdict};
use maud::{Markup, html};

use crate::day::{Busy, days};
use crate::moment::clock_words;
use crate::sheet::{blank, cautions, document, foot, head};
use crate::{Sheet, drawing, words};

/// Until when a jar that did not seal must be in the refrigerator, counted from the bath [min].
///
/// # Source
/// `usda_guide_1994`: unsealed jars are reprocessed or refrigerated within 24 h.
const UNSEALED_MIN: f64 = 24.0 * 60.0;

/// Above this pH a food is not an acid one.
///
/// # Source
/// `cfr21_114`, 114.3 and 114.80.
const PH_LIMIT: f64 = 4.6;

/// Freezing point of water, where a thermometer is checked [°C]; by definition of the scale.
const ICE_C: f64 = 0.0;

/// The stove card of the run.
pub(crate) fn sheet(plan: &Plan) -> Sheet {
    let body = html! {
        section class="page" {
            (head(plan, "Stove card", "At the stove"))
            (thermometer(plan))
            @for (i, order) in plan.run.orders.iter().enumerate() {
                @if i > 0 { div class="page" {} }
                (formula(plan, order))
            }
        }
        section class="page" {
            (head(plan, "Stove card", "When it goes wrong"))
            (wrong(plan))
        }
        section class="page" {
            (head(plan, "Stove card", "Batch by batch"))
            (times(plan))
            (cautions(plan, None, &["pot", "fill", "bath", "cooling", "keeping"]))
            (foot())
        }
    };
    document(
        "stove-card.html".into(),
        "Stove card".into(),
        "stove",
        &body,
    )
}

fn thermometer(plan: &Plan) -> Markup {
    html! {
        div class="step" {
            div class="name" { "First, the thermo\u{ad}meter" }
            div class="pair" {
                div {
                    p { "in crushed ice and water" }
                    p class="key" { (words::both_scales(ICE_C, 1)) }
                    p { (blank("yours reads", "")) }
                }
                div {
                    p { "in boiling water here, at " (words::value(&plan.run.altitude)) }
                    (key(&plan.run.water_boils))
                    p { (blank("yours reads", "")) }
                }
            }
        }
    }
}

/// A value in big type, its band beside it.
fn key(f: &Figure) -> Markup {
    html! {
        p class="key" {
            (words::value(f))
            @if let Some(spread) = words::spread(f) { " " span class="also" { (spread) } }
        }
    }
}

fn step(name: &str, inside: &Markup) -> Markup {
    html! { div class="step" { div class="name" { (name) } div { (inside) } } }
}

fn formula(plan: &Plan, order: &OrderLine) -> Markup {
    let name = order.formula.as_str();
    let batch = plan.batches.iter().find(|b| b.formula == name);
    let load = plan.loads.iter().find(|l| l.formula == name);
    let process = plan.process.iter().find(|p| p.formula == name);
    html! {
        h2 { (name) ", " (order.jar) }
        @if let Some(batch) = batch { (pot(batch)) (fill(plan, name, batch)) }
        @if let Some(load) = load { (bath(load)) }
        (hold(plan, name, load, process))
        (step("After", &html! {
            p { "Lift the jars out, set them apart, leave them alone: no quick cooling, no tightening, no stacking. The heat left in the jar is part of the process." }
            p { "May leave when seals and pH are known: " span class="strong" { (plan.clock.ready) } }
        }))
    }
}

fn pot(batch: &BatchPlan) -> Markup {
    step(
        "Pot",
        &html! {
            @match &batch.stop_at {
                Some(at) => { p { "stop at" } (key(at)) }
                None => { p class="key" { (batch.stop) } }
            }
            p {
                @if batch.stop_at.is_some() { (batch.stop) "; " }
                "about " (words::duration(&batch.cook)) " on " (batch.burner)
            }
        },
    )
}

fn fill(plan: &Plan, formula: &str, batch: &BatchPlan) -> Markup {
    let until: Vec<String> = fills(plan, formula)
        .map(|(batch, until)| format!("{batch}: {until}"))
        .collect();
    step(
        "Fill",
        &html! {
            p { "last jar filled within" }
            (key(&batch.fill))
            @if until.len() == 1 {
                @for one in &until { p { "that is, batch " (one) } }
            } @else if !until.is_empty() {
                p { "the time for each batch is on the page \u{201c}Batch by batch\u{201d}" }
            }
            p { (words::value(&batch.jars)) " jars a batch; read the last jar\u{2019}s temperature " (blank("", "")) }
        },
    )
}

/// Each batch of a formula with the time its last jar is filled.
fn fills<'a>(plan: &'a Plan, formula: &'a str) -> impl Iterator<Item = (String, String)> + 'a {
    days(&plan.clock)
        .into_iter()
        .flat_map(|day| day.steps)
        .filter(move |s| s.busy == Busy::Fill && s.step.batch.contains(formula))
        .map(|s| (s.step.batch.clone(), clock_words(s.to_min)))
}

fn bath(load: &LoadPlan) -> Markup {
    html! {
        (step("Bath", &html! {
            p { "water when the jars go in, not hotter" }
            (key(&load.start))
            p { "before the next load swap " (words::figure(&load.swap)) " of hot water for cold: bail first, then fill" }
        }))
        (step("Come-up", &html! {
            @match &load.burner_setting {
                Some(setting) => {
                    p { "burner at" }
                    p class="key" { (words::share(setting)) }
                    p { "full boil after about " span class="strong" { (words::figure(&load.come_up)) }
                        "; with the burner full on it would be " (words::value(&load.come_up_full)) }
                }
                None => {
                    p { "to a full boil" }
                    (key(&load.come_up))
                }
            }
            @for note in &load.notes { p class="small" { (note) } }
        }))
    }
}

fn hold(plan: &Plan, formula: &str, load: Option<&LoadPlan>, process: Option<&Process>) -> Markup {
    let minutes = load.and_then(|l| l.hold.as_ref()).or(process
        .and_then(|p| p.schedule.as_ref())
        .map(|s| &s.minutes));
    let shelf = plan
        .verdicts
        .iter()
        .find(|v| v.formula == formula && v.route == "shelf");
    step(
        "Hold",
        &html! {
            @match minutes {
                Some(minutes) => {
                    p { "from a full boil over the jar tops, without a stop" }
                    (key(minutes))
                }
                None => {
                    p class="key" { "no tested time" }
                    p { "No tested schedule covers these jars. Time in the bath does not make them keep on a shelf." }
                }
            }
            @if let Some(schedule) = process.and_then(|p| p.schedule.as_ref()) {
                ul { @for condition in &schedule.conditions { li { (condition) } } }
                @if schedule.from_memory {
                    p class="strong" { "Known only from memory: it opens nothing until a person has entered the printed page." }
                }
            }
            @if let Some(process) = process {
                @for departure in &process.departures { p class="strong" { (departure) } }
            }
            @if let Some(shelf) = shelf { @if shelf.state == "closed" {
                p class="strong" { "The shelf is closed for these jars." }
            } }
        },
    )
}

fn wrong(plan: &Plan) -> Markup {
    let refrigerator: Vec<&Verdict> = plan
        .verdicts
        .iter()
        .filter(|v| v.route == "refrigerator")
        .collect();
    html! {
        (trouble("The boil is lost, even for a moment", "Back to a full boil, then the full time again", &html! {
            p {
                @for (i, load) in one_each(plan).into_iter().enumerate() {
                    @if i > 0 { "; " }
                    (load.formula) ": "
                    @match &load.hold {
                        Some(hold) => { span class="strong" { (words::value(hold)) } " from the new full boil" }
                        None => { "no tested time" }
                    }
                }
                ". Minutes from before do not count. Write down when and how long."
            }
        }))
        (trouble("A jar has not sealed", "Into the refrigerator at once", &html! {
            p { "At the latest " span class="strong" { "24 h after it left the bath" } "; the hour for each load is on the next page." }
            @for verdict in &refrigerator {
                p {
                    (verdict.formula) ": "
                    @if verdict.state == "closed" {
                        "the refrigerator is closed for it; throw it away"
                    } @else if let Some(keeps) = &verdict.keeps {
                        "then " (words::figure(keeps))
                    } @else {
                        "no published keeping time; throw it away when in doubt"
                    }
                }
            }
        }))
        (trouble("A jar breaks in the bath", "Heat off. Hands out. Let it cool", &html! {
            p { "Throw away its food. Lift the other jars out with tongs and look at each for chips and cracks; any doubt, throw it away. Empty the bath, gather the pieces, count them, new water. Jars that stay whole get the full time again from a full boil." }
        }))
        (trouble("Glass may be in the food", "Throw the batch away", &html! {
            p { "Straining does not find glass. Write down the lot code and where the pieces were." }
        }))
        (trouble(&format!("A jar\u{2019}s pH is above {PH_LIMIT}, or above your schedule\u{2019}s own limit"), "Hold the whole batch, cold", &html! {
            p { "A reading within the meter\u{2019}s own width of the limit counts as above it. None leaves. Measure a second jar with a checked meter; then ask the process authority. Do not add acid to closed jars." }
        }))
        (trouble("The last jar is colder than the schedule allows, or anything else departs from it", "Stop. Write it down. Hold the load", &html! {
            p { "A longer time, thought of at the stove, does not mend it." }
        }))
        (trouble("A burn or a scald", "Cool running water, at once", &html! {
            p { "Food and water on this card burn the skin at a touch. Lift with two people what is heavy." }
        }))
        p class="small" { "Limits: pH, 21 CFR 114; unsealed jars, USDA Complete Guide 1994. The rest is common practice." }
    }
}

/// One load a formula.
fn one_each(plan: &Plan) -> Vec<&LoadPlan> {
    let mut loads: Vec<&LoadPlan> = Vec::new();
    for load in &plan.loads {
        if !loads.iter().any(|l| l.formula == load.formula) {
            loads.push(load);
        }
    }
    loads
}

fn trouble(when: &str, then: &str, how: &Markup) -> Markup {
    html! {
        div class="wrong" {
            (drawing::ladle())
            div { p class="if" { (when) } p class="then" { (then) } (how) }
        }
    }
}

/// The hour each batch is filled by, boils and is out, and when unsealed jars must be cold.
fn times(plan: &Plan) -> Markup {
    let days = days(&plan.clock);
    html! {
        @for day in &days {
            @let filled: Vec<_> = day.steps.iter().filter(|s| s.busy == Busy::Fill).collect();
            @if !filled.is_empty() {
                table {
                    thead {
                        tr {
                            th { (day.name) } th { "Last jar filled by" } th { "Full boil" } th { "Out" }
                            th { "Unsealed jars cold by" } th { "Really out at" }
                        }
                    }
                    tbody {
                        @for fill in filled {
                            @let of = |busy| day.steps.iter().find(|s| s.busy == busy && s.step.batch == fill.step.batch).map(|s| s.from_min);
                            tr {
                                th scope="row" { (fill.step.batch) }
                                td class="time" { (clock_words(fill.to_min)) }
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
