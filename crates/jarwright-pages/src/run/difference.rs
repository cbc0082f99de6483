//! Two versions of a run held against each other: what differs first, what stayed the same after it.

use jarwright_figure::Figure;
use jarwright_kitchen::Plan;
use jarwright_kitchen::ports::Version;
use maud::{Markup, html};

use super::answer::{route_key, state_key};
use crate::figures::Figures;
use crate::house::Worked;
use crate::reader::Reader;
use crate::words::Words;

/// Something that a plan says.
struct Fact<'a> {
    /// Formula it is said of; empty for the whole run.
    of: &'a str,
    /// What is said.
    what: String,
    said: Said<'a>,
}

enum Said<'a> {
    Figure(&'a Figure),
    Share(&'a Figure),
    Span(&'a Figure),
    Words(String),
}

/// What has changed from one version's plan to another's.
pub(crate) fn body(then: &Version, before: &Worked, now: &Version, after: &Worked, reader: Reader) -> Markup {
    let words = reader.words();
    let (Ok(was), Ok(is)) = (&before.plan, &after.plan) else {
        return html! { p class="stop" { (words.say("versions.no_plan")) } };
    };
    let (why_was, why_is) = (format!("/why/run/{}", then.hash()), format!("/why/run/{}", now.hash()));
    let shows = (
        Figures::new(reader, &why_was, &before.kitchen.currency),
        Figures::new(reader, &why_is, &after.kitchen.currency),
    );
    let (was, is) = (facts(was, words), facts(is, words));
    let mut rows: Vec<(Option<&Fact<'_>>, Option<&Fact<'_>>)> = is
        .iter()
        .map(|fact| {
            (
                was.iter().find(|old| old.of == fact.of && old.what == fact.what),
                Some(fact),
            )
        })
        .collect();
    rows.extend(
        was.iter()
            .filter(|old| !is.iter().any(|fact| old.of == fact.of && old.what == fact.what))
            .map(|old| (Some(old), None)),
    );
    let (same, differ): (Vec<_>, Vec<_>) = rows.into_iter().partition(|(old, new)| match (old, new) {
        (Some(old), Some(new)) => text(shows.0, old) == text(shows.1, new),
        _ => false,
    });
    html! {
        section {
            h2 { (words.say("versions.differs")) }
            @if differ.is_empty() { p { (words.say("versions.nothing")) } }
            @else { (table(words, shows, then, now, &differ)) }
            details {
                summary { (words.count("versions.unchanged", same.len())) }
                (table(words, shows, then, now, &same))
            }
        }
    }
}

fn table(
    words: Words,
    shows: (Figures<'_>, Figures<'_>),
    then: &Version,
    now: &Version,
    rows: &[(Option<&Fact<'_>>, Option<&Fact<'_>>)],
) -> Markup {
    html! {
        div class="wide" {
            table {
                thead { tr {
                    th scope="col" { (words.say("versions.what")) }
                    th scope="col" { (words.fill("runs.version", &[("n", &then.number.to_string())])) }
                    th scope="col" { (words.fill("runs.version", &[("n", &now.number.to_string())])) }
                    th scope="col" class="n" { (words.say("versions.by")) }
                } }
                tbody {
                    @for (old, new) in rows {
                        @if let Some(fact) = new.or(*old) {
                            tr {
                                th scope="row" { @if !fact.of.is_empty() { (fact.of) ": " } (fact.what) }
                                td { @if let Some(old) = old { (show(shows.0, old)) } }
                                td { @if let Some(new) = new { (show(shows.1, new)) } }
                                td class="n" { (by(*old, *new)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// By how much, as a share of what it was.
fn by(old: Option<&Fact<'_>>, new: Option<&Fact<'_>>) -> String {
    let value = |fact: &Fact<'_>| match fact.said {
        Said::Figure(figure) | Said::Share(figure) | Said::Span(figure) => Some((figure.value, figure.unit)),
        Said::Words(_) => None,
    };
    let (Some((was, unit)), Some((is, same_unit))) = (old.and_then(value), new.and_then(value)) else {
        return String::new();
    };
    // A share of a temperature or a pH says nothing.
    let by_share = !matches!(unit, jarwright_figure::Unit::Celsius | jarwright_figure::Unit::Ph);
    if unit != same_unit || !by_share || was.abs() < f64::EPSILON || (is / was - 1.0).abs() < 0.000_5 {
        return String::new();
    }
    format!("{:+.1} %", 100.0 * (is / was - 1.0)).replace('-', "\u{2212}")
}

fn show(figures: Figures<'_>, fact: &Fact<'_>) -> Markup {
    match &fact.said {
        Said::Figure(figure) => figures.show(figure),
        Said::Share(figure) => figures.share(figure),
        Said::Span(figure) => figures.duration(figure),
        Said::Words(words) => html! { (words) },
    }
}

/// As a person reads it, without where it leads.
fn text(figures: Figures<'_>, fact: &Fact<'_>) -> String {
    match &fact.said {
        Said::Figure(figure) | Said::Share(figure) | Said::Span(figure) => {
            format!(
                "{} {}",
                figures.value(figure),
                figures.spread(figure).unwrap_or_default()
            )
        }
        Said::Words(words) => words.clone(),
    }
}

/// What a plan says, in the order a cook would ask.
fn facts(plan: &Plan, words: Words) -> Vec<Fact<'_>> {
    let mut facts = Vec::new();
    for order in &plan.run.orders {
        of_formula(plan, &order.formula, words, &mut facts);
    }
    let mut put = |what: &str, said| {
        facts.push(Fact {
            of: "",
            what: what.to_owned(),
            said,
        })
    };
    put(words.say("in_hand.water_boils"), Said::Figure(&plan.run.water_boils));
    put(words.say("answer.starts"), Said::Words(plan.clock.starts.clone()));
    put(words.say("answer.last_out"), Said::Words(plan.clock.last_out.clone()));
    put(words.say("answer.ready"), Said::Words(plan.clock.ready.clone()));
    put(words.say("answer.working"), Said::Span(&plan.clock.working));
    if let Some(cannot) = &plan.run.cannot {
        put(words.say("answer.cannot"), Said::Words(cannot.reason.clone()));
    }
    for line in &plan.buy {
        put(
            &format!("{}: {}", words.say("money.to_buy"), line.ingredient),
            Said::Figure(&line.to_buy),
        );
    }
    facts
}

fn of_formula<'a>(plan: &'a Plan, formula: &'a str, words: Words, facts: &mut Vec<Fact<'a>>) {
    let mut put = |what: &str, said| {
        facts.push(Fact {
            of: formula,
            what: what.to_owned(),
            said,
        })
    };
    let ours = |of: &str| of == formula;
    for order in plan.run.orders.iter().filter(|order| ours(&order.formula)) {
        put(words.say("answer.ordered"), Said::Figure(&order.ordered));
        put(words.say("answer.started"), Said::Figure(&order.started));
        put(words.say("answer.chance"), Said::Share(&order.chance));
    }
    for verdict in plan.verdicts.iter().filter(|verdict| ours(&verdict.formula)) {
        put(
            words.say(route_key(verdict.route)),
            Said::Words(words.say(state_key(verdict.state)).to_owned()),
        );
    }
    for batch in plan.batches.iter().filter(|batch| ours(&batch.formula)) {
        let nth = format!("{} {}", words.say("clock.batch"), batch.numbers.0);
        let mut put = |key, said| put(&format!("{nth}: {}", words.say(key)), said);
        put("heat.jars", Said::Figure(&batch.jars));
        put("answer.cook", Said::Span(&batch.cook));
        put("heat.fill", Said::Figure(&batch.fill));
        put("heat.boiled_off", Said::Figure(&batch.boiled_off));
        if let Some(stop) = &batch.stop_at {
            put("answer.stop", Said::Figure(stop));
        }
    }
    for load in plan.loads.iter().filter(|load| ours(&load.formula)) {
        let nth = format!("{} {}", words.say("heat.bath"), load.numbers.0);
        let mut put = |key, said| put(&format!("{nth}: {}", words.say(key)), said);
        put("answer.bath_start", Said::Figure(&load.start));
        put("heat.come_up", Said::Figure(&load.come_up));
        put("heat.cycle", Said::Span(&load.cycle));
        if let Some(hold) = &load.hold {
            put("answer.hold", Said::Figure(hold));
        }
    }
    for process in plan.process.iter().filter(|process| ours(&process.formula)) {
        let title = process
            .schedule
            .as_ref()
            .map(|schedule| schedule.title.clone())
            .unwrap_or_default();
        put(words.say("heat.schedule"), Said::Words(title));
        put(words.say("heat.departs"), Said::Words(process.departures.join("; ")));
        if let Some(spot) = &process.cold_spot {
            put(words.say("spot.peak"), Said::Figure(&spot.peak));
            put(words.say("spot.heating"), Said::Figure(&spot.heating));
            put(words.say("spot.cooling"), Said::Figure(&spot.cooling));
        }
    }
    for stage in plan
        .stages
        .iter()
        .filter(|stage| ours(&stage.formula) && stage.stage == "filled")
    {
        put(words.say("tag.brix"), Said::Figure(&stage.assay.brix));
        put(
            words.say("tag.water_activity"),
            Said::Figure(&stage.assay.water_activity),
        );
        if let Some(ph) = &stage.assay.ph {
            put(words.say("tag.ph"), Said::Figure(ph));
        }
    }
    for sheet in plan.weigh.iter().filter(|sheet| ours(&sheet.formula)) {
        for line in &sheet.lines {
            put(
                &format!("{}: {}", words.say("weigh.scale"), line.ingredient),
                Said::Figure(&line.on_scale),
            );
        }
    }
    for cost in plan.cost.iter().filter(|cost| ours(&cost.formula)) {
        put(words.say("money.sold_jar"), Said::Figure(&cost.sold_jar));
    }
}
