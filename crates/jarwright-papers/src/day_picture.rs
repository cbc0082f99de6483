//! The clock of a run as pictures: one a working day, its lanes pot, fill, bath and wait.

use jarwright_kitchen::Plan;
use maud::{Markup, html};

use crate::day::{Busy, Day, days};
use crate::drawing::{Bar, Lane, Shade, Timeline, timeline};
use crate::moment::{clock_words, day_words};
use crate::words;

/// One picture a working day; a day on which jars only wait has none.
pub(crate) fn pictures(plan: &Plan) -> Markup {
    html! {
        @for (i, day) in days(&plan.clock).iter().enumerate() {
            @if works(day) && let Some(picture) = timeline(&of_day(day, i, &plan.clock.ready)) {
                @if !day.name.is_empty() { h2 class="minor" { (day_words(day.name)) } }
                (picture)
            }
        }
    }
}

fn works(day: &Day<'_>) -> bool {
    day.steps
        .iter()
        .any(|step| !matches!(step.busy, Busy::Ready | Busy::Other))
}

fn of_day(day: &Day<'_>, index: usize, ready: &str) -> Timeline {
    let first = day.steps.iter().map(|s| s.from_min).fold(f64::INFINITY, f64::min);
    let last = day.steps.iter().map(|s| s.to_min).fold(0.0, f64::max);
    let lanes = [
        ("Pot", pot(day)),
        ("Fill", bars(day, Busy::Fill, Shade::Open)),
        ("Bath", bath(day)),
        ("Chill", spoken(day, Busy::Chill)),
        ("Wait", wait(day, ready)),
        ("Also", spoken(day, Busy::Other)),
    ];
    Timeline {
        id: format!("day-{index}"),
        title: format!("The clock, {}", day_words(day.name)),
        desc: format!(
            "Bars along the hours from {} to {} in rows for pot, fill, bath and wait. \
             The table has every step.",
            clock_words(first),
            clock_words(last)
        ),
        lanes: lanes
            .into_iter()
            .filter(|(_, bars)| !bars.is_empty())
            .map(|(name, bars)| Lane {
                name: name.into(),
                bars,
            })
            .collect(),
    }
}

/// Bars of one kind, each with its batch's number.
fn bars(day: &Day<'_>, of: Busy, shade: Shade) -> Vec<Bar> {
    day.steps
        .iter()
        .filter(|placed| placed.busy == of)
        .map(|placed| Bar {
            from_min: placed.from_min,
            to_min: placed.to_min,
            inside: placed.number().unwrap_or_default().to_owned(),
            below: String::new(),
            shade,
        })
        .collect()
}

/// Preparation, then the pots; under the first pot of each formula, which formula it is.
fn pot(day: &Day<'_>) -> Vec<Bar> {
    let mut all = bars(day, Busy::Prepare, Shade::Open);
    for bar in &mut all {
        bar.inside = "prepare".into();
    }
    let mut seen: Vec<&str> = Vec::new();
    let cooks = day.steps.iter().filter(|placed| placed.busy == Busy::Pot);
    for (mut bar, placed) in bars(day, Busy::Pot, Shade::Pale).into_iter().zip(cooks) {
        let formula = placed.formula();
        if !formula.is_empty() && !seen.contains(&formula) {
            seen.push(formula);
            bar.below = formula.to_owned();
        }
        all.push(bar);
    }
    all
}

/// What the bath does; the first bar of each kind says what it is and how long it takes.
fn bath(day: &Day<'_>) -> Vec<Bar> {
    let mut all = Vec::new();
    for (busy, shade, what) in [
        (Busy::ComeUp, Shade::Hatched, "jars in, coming up"),
        (Busy::Hold, Shade::Solid, "at the boil"),
        (Busy::Out, Shade::Open, "jars out, water swapped"),
    ] {
        let mut kind = bars(day, busy, shade);
        let first = day.steps.iter().find(|placed| placed.busy == busy);
        if let (Some(bar), Some(placed)) = (kind.first_mut(), first) {
            bar.below = match placed.step.takes.value > 0.0 {
                true => format!("{what}, {}", words::duration(&placed.step.takes)),
                false => what.to_owned(),
            };
        }
        if busy == Busy::Out {
            kind.iter_mut().for_each(|bar| bar.inside.clear());
        }
        all.append(&mut kind);
    }
    all.sort_by(|a, b| a.from_min.total_cmp(&b.from_min));
    all
}

/// From the first jars out of the bath, or chilled, until they may leave; beyond the day's edge if need be.
fn wait(day: &Day<'_>, ready: &str) -> Vec<Bar> {
    let first = |of: &[Busy]| day.steps.iter().find(|s| of.contains(&s.busy)).map(|s| s.from_min);
    let (from_min, to_min, shade) = match (first(&[Busy::Out, Busy::Chill]), first(&[Busy::Ready])) {
        (Some(out), Some(known)) => (out, known, Shade::Open),
        (Some(out), None) => (out, out, Shade::Onward),
        (None, _) => return Vec::new(),
    };
    let below = format!("cooling, seals, pH; may leave {ready}");
    vec![Bar {
        from_min,
        to_min,
        inside: String::new(),
        below,
        shade,
    }]
}

/// Bars without numbers; each thing is said once, under its first bar.
fn spoken(day: &Day<'_>, of: Busy) -> Vec<Bar> {
    let mut all = bars(day, of, Shade::Open);
    let mut said: Vec<&str> = Vec::new();
    let steps = day.steps.iter().filter(|placed| placed.busy == of);
    for (bar, placed) in all.iter_mut().zip(steps) {
        let what = placed.step.what.split(':').next().unwrap_or_default();
        bar.inside.clear();
        if !said.contains(&what) {
            said.push(what);
            bar.below = what.to_owned();
        }
    }
    all
}
