//! The process sheet of a formula: what is published, what is computed, where it may be kept.

use jarwright_figure::{BasisView, Figure};
use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{Assay, ColdSpot, LoadPlan, Process, Reason, ScheduleView, Stage, Verdict};
use maud::{Markup, html};

use crate::drawing::{Curve, Mark, Phase, curve};
use crate::sheet::{PLACES, cautions, document, foot, head, slug};
use crate::{Sheet, words};

/// One document a formula.
pub(crate) fn sheets(plan: &Plan) -> Vec<Sheet> {
    plan.process
        .iter()
        .enumerate()
        .map(|(i, process)| of_formula(plan, process, i))
        .collect()
}

fn of_formula(plan: &Plan, process: &Process, index: usize) -> Sheet {
    let name = process.formula.as_str();
    let load = plan.loads.iter().find(|l| l.formula == name);
    let stages: Vec<&Stage> = plan.stages.iter().filter(|s| s.formula == name).collect();
    let body = html! {
        section class="page" {
            (head(plan, "Process sheet", name))
            @match &process.schedule {
                Some(schedule) => { (published(schedule, process.departures.is_empty())) }
                None => {
                    div class="stop" {
                        p class="strong" { "No tested schedule covers this formula, jar, fill and altitude together." }
                        p { "What is computed below explains; it opens nothing." }
                    }
                }
            }
            @if !process.departures.is_empty() {
                h2 { "Departures from a tested schedule" }
                ul { @for departure in &process.departures { li class="strong" { (departure) } } }
            }
            h2 { "Where it may be kept" }
            @for verdict in plan.verdicts.iter().filter(|v| v.formula == name) { (route(verdict)) }
            @match &process.cold_spot {
                Some(cold) => { (computed(plan, cold, load, index)) }
                None => {
                    h2 { "The coldest point of the jar" }
                    p { "Not computed" @if let Some(why) = &process.not_computed { ": " (why) } "." }
                }
            }
            @if !stages.is_empty() { (assays(&stages)) }
            (cautions(plan, Some(name), &PLACES))
            (foot())
        }
    };
    document(
        format!("process-{}.html", slug(name)),
        format!("Process sheet: {name}"),
        "process",
        &body,
    )
}

fn published(schedule: &ScheduleView, applies: bool) -> Markup {
    html! {
        @if applies {
            h2 { "The tested schedule, which governs" }
        } @else {
            h2 { "The schedule named, which does NOT apply" }
            div class="stop" { p class="strong" { "This run departs from it, as listed below: its minutes are no tested time for these jars." } }
        }
        p { span class="strong" { (schedule.title) } " (" (schedule.key) ")" }
        dl class="facts" {
            div { dt { "At the boil, at this altitude" } dd class="which" { (words::figure(&schedule.minutes)) } }
            div class="wide" { dt { "Altitude band as printed" } dd { (schedule.band) } }
        }
        ul { @for condition in &schedule.conditions { li { (condition) } } }
        @if schedule.from_memory {
            div class="stop" { p class="strong" { "Known only from memory. It opens nothing until a person has entered the printed page and its edition." } }
        }
        @if !schedule.clashes.is_empty() {
            h3 { "Publishers that say otherwise" }
            ul { @for clash in &schedule.clashes { li { (clash) } } }
        }
    }
}

fn computed(plan: &Plan, cold: &ColdSpot, load: Option<&LoadPlan>, index: usize) -> Markup {
    let rows: [(&str, Option<String>); 11] = [
        ("Filled at", Some(words::figure(&cold.fill))),
        ("When the bath boils", Some(words::figure(&cold.at_boil))),
        ("At the end of the hold", Some(words::figure(&cold.at_end))),
        ("Highest, after the bath", Some(words::figure(&cold.peak))),
        (
            "Dose before the jar leaves the bath",
            Some(words::figure(&cold.heating)),
        ),
        ("Dose while it cools", Some(words::figure(&cold.cooling))),
        (
            "Share that comes while cooling",
            Some(words::share(&cold.cooling_share)),
        ),
        ("Published target", Some(words::figure(&cold.target_minutes))),
        (
            "Heating here, of the schedule at sea level",
            cold.heating_of_reference.as_ref().map(words::share),
        ),
        (
            "Whole dose here, of the schedule at sea level",
            cold.total_of_reference.as_ref().map(words::share),
        ),
        (
            "From end of hold to 54 °C (129 °F) in air",
            Some(words::duration(&cold.to_54)),
        ),
    ];
    html! {
        h2 { "The coldest point of the jar, computed" }
        p { (cold.meaning) }
        @match curve(&picture(plan, cold, load, index)) {
            Some(picture) => { (picture) }
            None => { p { "No curve to draw." } }
        }
        table {
            thead { tr { th { "At the cold spot" } th { "Computed" } } }
            tbody {
                @for (name, value) in rows {
                    @if let Some(value) = value { tr { th scope="row" { (name) } td { (value) } } }
                }
            }
        }
        p class="small" { "Dose: minutes at the reference temperature. " (cold.target) }
    }
}

fn picture(plan: &Plan, cold: &ColdSpot, load: Option<&LoadPlan>, index: usize) -> Curve {
    let hold_min = load.and_then(|l| l.hold.as_ref()).map(|h| h.value);
    let boil_min = hold_min.and_then(|hold| boil_of(cold, hold));
    let start = cold.curve.first().copied().unwrap_or_default();
    let peak = cold
        .curve
        .iter()
        .copied()
        .fold(start, |a, b| if b.1 > a.1 { b } else { a });
    let mut phases = Vec::new();
    let mut marks = vec![Mark {
        at_min: start.0,
        c: start.1,
        words: format!("filled at {}", words::value(&cold.fill)),
    }];
    if let (Some(boil), Some(hold)) = (boil_min, hold_min) {
        let come_up = load.map_or(0.0, |l| l.come_up.value);
        let jars_in = (boil - come_up).max(start.0);
        if jars_in - start.0 > 0.5 {
            phases.push(Phase {
                from_min: start.0,
                words: "filled, waiting".into(),
            });
        }
        phases.push(Phase {
            from_min: jars_in,
            words: "in the bath, coming up".into(),
        });
        phases.push(Phase {
            from_min: boil,
            words: format!(
                "at the boil {} min",
                words::number(hold, jarwright_figure::Unit::Minute)
            ),
        });
        phases.push(Phase {
            from_min: boil + hold,
            words: "out of the bath, cooling on its own".into(),
        });
        for (at_min, figure, what) in [
            (boil, &cold.at_boil, "the bath boils"),
            (boil + hold, &cold.at_end, "end of the hold"),
        ] {
            marks.push(Mark {
                at_min,
                c: figure.value,
                words: format!("{what}: {}", words::figure(figure)),
            });
        }
    }
    marks.push(Mark {
        at_min: peak.0,
        c: peak.1,
        words: format!("highest: {}", words::figure(&cold.peak)),
    });
    marks.sort_by(|a, b| a.at_min.total_cmp(&b.at_min));
    Curve {
        id: format!("cold-spot-{index}"),
        title: "Temperature of the coldest point of the jar".into(),
        desc: format!(
            "From {} at filling to {} when the bath boils, {} at the end of the hold and {} at its highest, then falling in air.",
            words::value(&cold.fill),
            words::value(&cold.at_boil),
            words::value(&cold.at_end),
            words::value(&cold.peak)
        ),
        points: cold.curve.clone(),
        boils_c: plan.run.water_boils.value,
        phases,
        marks,
    }
}

/// When the bath boils on the curve's own time: the moment from which `hold_min` later fits both
/// temperatures best. Nothing when none fits within 1.5 K, so that no phase is drawn wrongly.
fn boil_of(cold: &ColdSpot, hold_min: f64) -> Option<f64> {
    let miss = |t: f64| {
        let begin = value_at(&cold.curve, t)? - cold.at_boil.value;
        let end = value_at(&cold.curve, t + hold_min)? - cold.at_end.value;
        Some(begin.abs() + end.abs())
    };
    let first = cold.curve.first()?.0;
    let tries = cold
        .curve
        .iter()
        .map(|p| p.0)
        .chain((0..600).map(|i| first + 0.2 * f64::from(i)));
    let (t, miss) = tries
        .filter_map(|t| Some((t, miss(t)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    (miss < 1.5).then_some(t)
}

/// The curve between its points; nothing outside them.
fn value_at(points: &[(f64, f64)], t: f64) -> Option<f64> {
    points
        .windows(2)
        .find(|w| w[0].0 <= t && t <= w[1].0 && w[0].0 < w[1].0)
        .map(|w| {
            let part = (t - w[0].0) / (w[1].0 - w[0].0);
            w[0].1 + part * (w[1].1 - w[0].1)
        })
}

fn route(verdict: &Verdict) -> Markup {
    html! {
        section class="route" {
            div {
                p class="where" { (verdict.route) }
                p class="state" { (state(verdict.state)) }
                @if let Some(keeps) = &verdict.keeps { p { "keeps " (words::figure(keeps)) } }
            }
            div {
                ul {
                    @for reason in &verdict.reasons { li { (reason.text) small { (origin(reason)) } } }
                }
                (run_in("Missing", &verdict.missing))
                (run_in("How", &verdict.how))
                (run_in("Keeping times, side by side", &verdict.keeping))
            }
        }
    }
}

/// A short list with its name before it, on as few lines as it takes.
fn run_in(name: &str, items: &[String]) -> Markup {
    html! {
        @match items {
            [] => {}
            [one] => { p { span class="strong" { (name) ": " } (one) } }
            many => {
                p class="run" { span class="strong" { (name) ":" } }
                ul { @for item in many { li { (item) } } }
            }
        }
    }
}

fn state(state: &str) -> &str {
    match state {
        "open" => "○ open",
        "only-with" => "◐ open only with what is named here",
        "closed" => "● closed",
        other => other,
    }
}

fn origin(reason: &Reason) -> String {
    [
        reason.jurisdiction.as_str(),
        reason.source.as_str(),
        reason.edition.as_str(),
        &format!("rule {}", reason.rule),
        reason.mark,
    ]
    .into_iter()
    .filter(|part| !part.is_empty())
    .collect::<Vec<_>>()
    .join(" · ")
}

fn assays(stages: &[&Stage]) -> Markup {
    let row = |name: &str, of: &dyn Fn(&Assay) -> String| {
        html! { tr { th scope="row" { (name) } @for stage in stages { td { (of(&stage.assay)) } } } }
    };
    html! {
        h2 { "The food at each stage of one batch" }
        table {
            thead { tr { td {} @for stage in stages { th { (stage.stage) } } } }
            tbody {
                tr { th scope="row" { "mass" } @for stage in stages { td { (words::figure(&stage.mass)) } } }
                tr { th scope="row" { "lost on the way" } @for stage in stages { td { (optional(stage.lost.as_ref(), "")) } } }
                (row("water", &|a| words::figure(&a.water)))
                (row("sugars", &|a| words::figure(&a.sugars)))
                (row("fat", &|a| words::figure(&a.fat)))
                (row("protein", &|a| words::figure(&a.protein)))
                (row("acids", &|a| words::figure(&a.acids)))
                (row("soluble solids", &|a| words::figure(&a.brix)))
                (row("water activity", &|a| words::figure(&a.water_activity)))
                (row("pH, computed", &|a| optional(a.ph.as_ref(), a.ph_unknown.as_deref().unwrap_or("unknown"))))
                (row("density", &|a| words::figure(&a.density)))
                (row("conductivity", &|a| words::figure(&a.conductivity)))
                (row("heat capacity", &|a| words::figure(&a.heat_capacity)))
                (row("the last three at", &|a| words::figure(&a.at)))
            }
        }
        p class="small" { "A computed pH releases nothing: a measurement does." }
    }
}

fn optional(f: Option<&Figure>, else_words: &str) -> String {
    f.map_or_else(
        || else_words.to_owned(),
        |f| format!("{}{}", words::figure(f), known(f)),
    )
}

/// How a published figure is known, where that is weaker than having read it.
fn known(f: &Figure) -> String {
    match &f.basis {
        BasisView::Published { mark, .. } if *mark != "seen" => format!(", {mark}"),
        _ => String::new(),
    }
}
