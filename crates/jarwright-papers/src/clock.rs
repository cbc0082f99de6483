//! The clock of the run: each day drawn along its hours, then as a table.

use jarwright_kitchen::Plan;
use maud::{Markup, html};

use crate::day::{Busy, Day, Placed, days};
use crate::drawing::{Bar, Lane, Shade, Timeline, timeline};
use crate::moment::{Moment, clock_words};
use crate::sheet::{blank, cautions, document, foot, head, tick};
use crate::{Sheet, words};

/// The clock of the run.
pub(crate) fn sheet(plan: &Plan) -> Sheet {
    let clock = &plan.clock;
    let body = html! {
        section class="page" {
            (head(plan, "The clock", "The run by the clock"))
            dl class="facts" {
                div { dt { "Starts" } dd { (clock.starts) } }
                div { dt { "Last load out of the bath" } dd { (clock.last_out) } }
                div { dt { "Jars may leave, seals and pH known" } dd class="strong" { (clock.ready) } }
                div { dt { "Promised for" } dd {
                    @match &clock.by {
                        Some(by) => { (by) small { (met(clock.met)) } }
                        None => { "no time given" }
                    }
                } }
                div { dt { "Working time" } dd { (words::duration(&clock.working)) } }
                div { dt { "Wait after the last load" } dd { (words::duration(&clock.wait)) } }
            }
            @if !clock.findings.is_empty() {
                ul { @for finding in &clock.findings { li { (finding) } } }
            }
            (pictures(plan))
            h2 { "Step by step" }
            table {
                thead { tr { th { "Done" } th { "At" } th { "What" } th { "Batch" } th class="n" { "Takes" } th { "Really at" } } }
                tbody {
                    @for (i, step) in clock.steps.iter().enumerate() {
                        @let moment = Moment::read(&step.at);
                        @let before = i.checked_sub(1).and_then(|i| Moment::read(&clock.steps[i].at));
                        @if let Some(now) = moment && before.is_none_or(|b| b.day != now.day) && !now.day.is_empty() {
                            tr { th colspan="6" class="strong" scope="rowgroup" { (now.day) } }
                        }
                        tr {
                            td { (tick()) }
                            td class="tight strong" { @match moment { Some(m) => { (clock_words(m.minutes)) } None => { (step.at) } } }
                            td { (step.what) }
                            td { (step.batch) }
                            td class="n" { (words::duration(&step.takes)) }
                            td class="tight" { (blank("", "short")) }
                        }
                    }
                }
            }
            (cautions(plan, None, &["bath", "cooling"]))
            (foot())
        }
    };
    document(
        "clock.html".into(),
        "The run by the clock".into(),
        "clock",
        &body,
    )
}

fn met(met: Option<bool>) -> &'static str {
    match met {
        Some(true) => "met",
        Some(false) => "NOT met",
        None => "not known whether it is met",
    }
}

/// One picture a working day.
pub fn pictures(plan: &Plan) -> Markup {
    let days = days(&plan.clock);
    html! {
        @for (i, day) in days.iter().enumerate() {
            @if let Some(picture) = timeline(&of_day(day, i, &plan.clock.ready)) {
                @if !day.name.is_empty() { h3 { (day.name) } }
                (picture)
            }
        }
    }
}

fn of_day(day: &Day<'_>, index: usize, ready: &str) -> Timeline {
    let first = day
        .steps
        .iter()
        .map(|s| s.from_min)
        .fold(f64::INFINITY, f64::min);
    let last = day.steps.iter().map(|s| s.to_min).fold(0.0, f64::max);
    let lane = |name: &str, bars: Vec<Bar>| Lane {
        name: name.into(),
        bars,
    };
    Timeline {
        id: format!("day-{index}"),
        title: format!("The clock, {}", day.name),
        desc: format!(
            "Bars along the hours from {} to {} in four rows: pot, fill, bath and wait. The table below has every step.",
            clock_words(first),
            clock_words(last)
        ),
        lanes: [
            lane("Pot", pot(day)),
            lane("Fill", filling(day)),
            lane("Bath", bath(day)),
            lane("Wait", wait(day, ready)),
            lane("Also", also(day)),
        ]
        .into_iter()
        .filter(|lane| !lane.bars.is_empty())
        .collect(),
    }
}

fn bars<'a>(
    day: &'a Day<'a>,
    of: impl Fn(Busy) -> Option<Shade> + 'a,
) -> impl Iterator<Item = (Bar, &'a Placed<'a>)> {
    day.steps.iter().filter_map(move |placed| {
        let shade = of(placed.busy)?;
        let bar = Bar {
            from_min: placed.from_min,
            to_min: placed.to_min,
            inside: short(&placed.step.batch),
            below: String::new(),
            shade,
        };
        Some((bar, placed))
    })
}

/// The number of a batch alone, `curd 3` -> `3`, so that it fits into its bar.
fn short(batch: &str) -> String {
    let number = batch
        .rsplit(' ')
        .next()
        .filter(|last| last.chars().all(|c| c.is_ascii_digit()));
    number.unwrap_or(batch).to_owned()
}

fn label_first(bars: &mut [Bar], words: &str) {
    if let Some(first) = bars.first_mut() {
        first.below = words.into();
    }
}

fn pot(day: &Day<'_>) -> Vec<Bar> {
    let mut prepare: Vec<Bar> = bars(day, |b| (b == Busy::Prepare).then_some(Shade::Open))
        .map(|(bar, _)| Bar {
            inside: "prepare".into(),
            ..bar
        })
        .collect();
    let cook: Vec<Bar> = named(day, Busy::Pot, Shade::Pale);
    prepare.extend(cook);
    prepare
}

/// Bars of one kind; under the first of each formula, which formula it is.
fn named(day: &Day<'_>, of: Busy, shade: Shade) -> Vec<Bar> {
    let mut seen: Vec<&str> = Vec::new();
    bars(day, |b| (b == of).then_some(shade))
        .map(|(bar, placed)| {
            let formula = placed
                .step
                .batch
                .trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ');
            if formula.is_empty() || seen.contains(&formula) {
                return bar;
            }
            seen.push(formula);
            Bar {
                below: formula.trim_end_matches([',', ':']).to_owned(),
                ..bar
            }
        })
        .collect()
}

fn filling(day: &Day<'_>) -> Vec<Bar> {
    bars(day, |b| (b == Busy::Fill).then_some(Shade::Open))
        .map(|(bar, _)| bar)
        .collect()
}

fn bath(day: &Day<'_>) -> Vec<Bar> {
    let shade = |busy| match busy {
        Busy::ComeUp => Some(Shade::Hatched),
        Busy::Hold => Some(Shade::Solid),
        Busy::Out => Some(Shade::Open),
        Busy::Prepare | Busy::Pot | Busy::Fill | Busy::Ready | Busy::Other => None,
    };
    let mut said: Vec<Busy> = Vec::new();
    bars(day, shade)
        .map(|(bar, placed)| {
            if said.contains(&placed.busy) {
                return bar;
            }
            said.push(placed.busy);
            let below = format!(
                "{}: {}",
                placed.step.what,
                words::duration(&placed.step.takes)
            );
            Bar { below, ..bar }
        })
        .map(|bar| {
            if bar.shade == Shade::Open {
                Bar {
                    inside: String::new(),
                    ..bar
                }
            } else {
                bar
            }
        })
        .collect()
}

/// From the first jars out of the bath until they may leave; beyond the day's edge as a rule.
fn wait(day: &Day<'_>, ready: &str) -> Vec<Bar> {
    let known = day.steps.iter().find(|s| s.busy == Busy::Ready);
    let out = day.steps.iter().find(|s| s.busy == Busy::Out);
    let bar = |from_min, to_min, shade| Bar {
        from_min,
        to_min,
        inside: String::new(),
        below: String::new(),
        shade,
    };
    let mut bars = match (out, known) {
        (Some(out), Some(known)) => vec![bar(out.from_min, known.from_min, Shade::Open)],
        (Some(out), None) => vec![bar(out.from_min, out.to_min, Shade::Onward)],
        (None, Some(known)) => vec![bar(known.from_min - 30.0, known.from_min, Shade::Open)],
        (None, None) => vec![],
    };
    label_first(
        &mut bars,
        &format!("cooling on their own, seals, pH; may leave {ready}"),
    );
    bars
}

fn also(day: &Day<'_>) -> Vec<Bar> {
    bars(day, |b| (b == Busy::Other).then_some(Shade::Open))
        .map(|(bar, placed)| Bar {
            inside: String::new(),
            below: placed.step.what.clone(),
            ..bar
        })
        .collect()
}
