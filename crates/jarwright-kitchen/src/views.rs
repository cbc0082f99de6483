//! A formula worked through, as the plan shows it.

use std::collections::{BTreeMap, BTreeSet};

use jarwright_figure::{Basis, Bound, Equation, Figure, Graph, Id, Unit};
use jarwright_reference::{self as reference, Kind, Scope};

use crate::assaying::names::counted;
use crate::files::{GoesIn, Part};
use crate::labelling::{LabelCase, label as draft};
use crate::lines::Line;
use crate::measure::kitchen_measure;
use crate::naming::NameFacts;
use crate::on_scale::{self, ON_SCALE, Side, TOTAL_ON_SCALE};
use crate::order::{Law, Order};
use crate::place::Place;
use crate::plan::{
    BatchPlan, ColdSpot, Label, LoadPlan, OrderLine, Plan, Process, ScheduleView, Stage, Verdict, WeighLine,
    WeighingSheet,
};
use crate::starts::{STARTS_BINOMIAL, STARTS_CORRELATED};
use crate::timing::Timing;
use crate::words::{count, fine_temperature, temperature};
use crate::worked::Work;

/// Share of the pot that is full.
pub static POT_FULL: Equation = Equation {
    key: "pot-full",
    title: "Share of the pot that is full",
    text: "share = volume of everything in / volume the pot holds",
    source: "mass_balance",
};

pub(crate) fn order_line(graph: &mut Graph, work: &Work) -> OrderLine {
    let spread = [work.failure, work.correlation, work.counts.started];
    let chance = graph.decide(
        "chance of enough good ones",
        Unit::Percent,
        &STARTS_CORRELATED,
        &spread,
        100.0 * work.size.chance,
    );
    let independent = graph.decide(
        "starts if jars failed independently",
        Unit::Count,
        &STARTS_BINOMIAL,
        &[work.failure, work.counts.ordered],
        work.size.if_independent as f64,
    );
    OrderLine {
        formula: work.formula.name.clone(),
        food: work.food.word().into(),
        jar: work.jar_name.clone(),
        ordered: graph.figure(work.counts.ordered),
        started: graph.figure(work.counts.started),
        failure_rate: graph.figure(work.failure),
        started_if_independent: graph.figure(independent),
        chance: graph.figure(chance),
        from_on_hand: work.from_on_hand.clone(),
    }
}

/// The sheet of one batch.
pub(crate) fn weighing(graph: &mut Graph, work: &Work, step_g: f64) -> WeighingSheet {
    let step = graph.entered("scale-step", "step of the scale", Unit::Gram, step_g, "kitchen file");
    let factor = graph.value(work.batch.multiple);
    let jars = work.size.per_batch as f64;
    let system = work.formula.cup.unwrap_or_default();
    let sides: Vec<Side> = work
        .lines
        .iter()
        .map(|line| on_scale::side(line, work.standing.by_class()))
        .collect();
    let rounded = masses_on_scale(graph, work, &sides, step_g);
    let mut lines = Vec::new();
    let mut in_the_jars = Vec::new();
    // In the order they go in: start, by temperature, end; a pack's soak first.
    let mut order: Vec<usize> = (0..work.lines.len()).collect();
    let rank = |i: &usize| {
        let written = &work.lines[*i].written;
        match (written.part, written.goes_in) {
            (Some(Part::Soak), _) => -1.0,
            (Some(Part::Pieces), _) => 300.0,
            (_, _) if written.per_jar => 400.0,
            (_, GoesIn::Start) => 0.0,
            (_, GoesIn::When { c }) => c,
            (_, GoesIn::End) => 200.0,
        }
    };
    order.sort_by(|a, b| rank(a).total_cmp(&rank(b)));
    for i in order {
        let line = &work.lines[i];
        let mass = work.batch.masses_g[i];
        let on_scale = graph.decide("on the scale", Unit::Gram, &ON_SCALE, &[mass, step], rounded[i]);
        if line.written.part != Some(Part::Soak) {
            in_the_jars.push(on_scale);
        }
        let scaled = if line.written.per_jar {
            line.written.amount.times(jars)
        } else {
            let one = graph.value(line.one_g);
            line.written
                .amount
                .times(if one > 0.0 { graph.value(mass) / one } else { factor })
        };
        lines.push(WeighLine {
            ingredient: line.written.ingredient.clone(),
            form: line.written.form.clone().unwrap_or_default(),
            mass: graph.figure(mass),
            on_scale: graph.figure(on_scale),
            measure: match kitchen_measure(&scaled, system, sides[i]) {
                measure if measure.is_empty() || !line.written.per_jar => measure,
                measure => format!("{measure} ({} in each jar)", line.written.amount),
            },
            goes_in: match line.written.goes_in {
                _ if line.written.per_jar => "in each jar".into(),
                _ if line.written.part == Some(Part::Pieces) => "into the jars".into(),
                _ if line.written.part == Some(Part::Soak) => "soak, thrown away".into(),
                GoesIn::Start => "at the start".into(),
                GoesIn::When { c } => format!("at {}", temperature(c)),
                GoesIn::End => "off the heat".into(),
            },
            step: line.written.step.clone().unwrap_or_default(),
            part: match line.written.part {
                Some(Part::Pieces) => "pieces",
                Some(Part::Brine) => "brine",
                Some(Part::Soak) => "soak",
                None if line.written.per_jar => "jar",
                None => "pot",
            }
            .into(),
        });
    }
    let total_on_scale = crate::jar_fill::infallible(graph.compute(
        "all together on the scale",
        Unit::Gram,
        &TOTAL_ON_SCALE,
        &in_the_jars,
        |x| Ok(x.iter().sum()),
    ));
    WeighingSheet {
        formula: work.formula.name.clone(),
        batches: work.size.batches,
        multiple: graph.figure(work.batch.multiple),
        scale_step: graph.figure(step),
        lines,
        total: graph.figure(work.batch.weighed_g),
        total_on_scale: graph.figure(total_on_scale),
    }
}

/// The lines' masses [g] as weighed, each share held to its side: of all that ends in the jars, of
/// the brine by itself, and of fruit and sweetener where a standard counts those.
fn masses_on_scale(graph: &Graph, work: &Work, sides: &[Side], step_g: f64) -> Vec<f64> {
    let masses: Vec<(f64, Side)> = work
        .batch
        .masses_g
        .iter()
        .zip(sides)
        .map(|(&id, &side)| (graph.value(id), side))
        .collect();
    let pick = |keep: &dyn Fn(&Line) -> bool| -> Vec<usize> {
        (0..work.lines.len()).filter(|&i| keep(&work.lines[i])).collect()
    };
    let mut together = vec![
        pick(&|l| l.written.part != Some(Part::Soak)),
        pick(&|l| l.written.part == Some(Part::Brine) && !l.written.per_jar),
    ];
    if work.standing.by_class() {
        together.push(pick(&|l| {
            matches!(
                l.ingredient.kind,
                Kind::AcidFruit | Kind::LowAcidFruit | Kind::AcidJuice | Kind::Sweetener
            )
        }));
    }
    on_scale::rounded(&masses, step_g, &together)
}

pub(crate) fn stages(graph: &mut Graph, work: &Work) -> Vec<Stage> {
    let b = &work.batch;
    let jars = work.size.per_batch as f64;
    let in_jars = crate::jar_fill::infallible(graph.compute(
        "in the jars of the batch",
        Unit::Gram,
        &crate::batching::JARS_FILLED,
        &[b.fill_g],
        |x| Ok(x[0] * jars),
    ));
    let surplus = crate::jar_fill::infallible(graph.compute(
        "left over after the jars",
        Unit::Gram,
        &crate::batching::STAGE_MASS,
        &[b.filled_g, in_jars],
        |x| Ok(x[0] - x[1]),
    ));
    let stage = |stage, mass, lost: Option<Id>, assay: &crate::assay::AssayIds| Stage {
        formula: work.formula.name.clone(),
        stage,
        mass: graph.figure(mass),
        lost: lost.map(|id| graph.figure(id)),
        assay: assay.view(graph),
    };
    vec![
        stage("weighed", b.weighed_g, None, &b.weighed),
        stage("cooked", b.cooked_g, Some(b.boiled_off_g), &b.cooked),
        stage("sieved", b.filled_g, Some(b.kept_back_g), &b.filled),
        stage("filled", in_jars, Some(surplus), &b.filled),
    ]
}

pub(crate) fn batch(graph: &mut Graph, work: &Work) -> BatchPlan {
    let b = &work.batch;
    let holds = graph.entered(
        &format!("holds:{}", work.pot.name),
        &format!("the {} holds", work.pot.name),
        Unit::Litre,
        work.pot.holds_l,
        "kitchen file",
    );
    let volume = graph.decide(
        "volume with everything in",
        Unit::Litre,
        &POT_FULL,
        &[b.weighed_g, b.weighed.density],
        b.volume_l,
    );
    let pot_full = crate::jar_fill::infallible(graph.compute(
        "share of the pot that is full",
        Unit::Percent,
        &POT_FULL,
        &[volume, holds],
        |x| Ok(100.0 * x[0] / x[1]),
    ));
    let jars = work.counts.per_batch;
    let residual = graph.decide(
        "left of the fixed point",
        Unit::Count,
        &crate::batching::BATCH_MULTIPLE,
        &[b.multiple],
        b.residual_jars,
    );
    let place = graph.figure(work.fill_min);
    BatchPlan {
        formula: work.formula.name.clone(),
        numbers: (1, work.size.batches),
        pot: work.pot.name.clone(),
        burner: work.burner.name.clone(),
        jars: graph.figure(jars),
        fills: graph.figure(b.fills),
        cook: graph.figure(b.cook_min),
        fill: place,
        boiled_off: graph.figure(b.boiled_off_g),
        stop: work.stop_words(graph),
        stop_at: work.stop_c.map(|id| graph.figure(id)),
        volume: graph.figure(volume),
        pot_full: graph.figure(pot_full),
        bound_by: work.bound_by.clone(),
        all_at_once: work.all_at_once.clone(),
        residual: graph.figure(residual),
        notes: work.notes.clone(),
    }
}

pub(crate) fn load(graph: &mut Graph, work: &Work) -> LoadPlan {
    let places = graph.entered(
        &format!("places:{}:{}", work.bath_name, work.jar_name),
        "places in the bath",
        Unit::Count,
        work.places as f64,
        "kitchen file",
    );
    let jars = work.counts.per_batch;
    let longest_wait = work
        .standing
        .schedule
        .and_then(|s| s.longest_wait_min.as_ref())
        .map(|c| {
            graph.published(
                &format!("longest-wait:{}", work.formula.name),
                "longest wait from the heat to the bath",
                Unit::Minute,
                c,
            )
        });
    graph.hold(jars, Bound::AtMost, places);
    if let Some(wait) = longest_wait {
        graph.hold(work.fill_min, Bound::AtMost, wait);
    }
    LoadPlan {
        formula: work.formula.name.clone(),
        numbers: (1, work.size.batches),
        bath: work.bath_name.clone(),
        jars: graph.figure(jars),
        places: graph.figure(places),
        start: graph.figure(work.start_c),
        come_up: graph.figure(work.load.come_up),
        come_up_full: graph.figure(work.load.come_up_full),
        burner_setting: work.load.setting.map(|id| graph.figure(id)),
        hold: work.hold.map(|id| graph.figure(id)),
        longest_wait: longest_wait.map(|id| graph.figure(id)),
        swap: graph.figure(work.load.swap_l),
        cycle: graph.figure(work.load.cycle),
        notes: work.load_notes.clone(),
    }
}

pub(crate) fn process(graph: &mut Graph, work: &Work, place: &Place) -> Process {
    Process {
        formula: work.formula.name.clone(),
        schedule: schedule(graph, work, place),
        departures: work.departures.clone(),
        cold_spot: cold_spot(graph, work),
        not_computed: work.not_computed.clone(),
    }
}

fn schedule(graph: &mut Graph, work: &Work, place: &Place) -> Option<ScheduleView> {
    let schedule = work.standing.schedule?;
    let band = work.standing.band?;
    let minutes = graph.published(
        &format!("hold:{}:{:.0}", work.formula.name, place.altitude_m),
        "minutes at the boil",
        Unit::Minute,
        &band.minutes,
    );
    let printed = match band.to_ft {
        Some(to) => format!("{:.0} to {to:.0} ft, as printed; never interpolated", band.above_ft),
        None => format!("above {:.0} ft, as printed", band.above_ft),
    };
    let mut conditions = vec![format!(
        "jar: {} only; headspace {} in",
        schedule.jars.join(" or "),
        fraction(schedule.headspace_in.value)
    )];
    if let Some(c) = &schedule.cook_to_c {
        conditions.push(format!("cooked to {} ({})", temperature(c.value), c.mark.words()));
    }
    if let Some(c) = &schedule.fill_min_c {
        conditions.push(format!("filled at {} or hotter", temperature(c.value)));
    }
    conditions.push(format!("{} pack; closure: {}", schedule.pack.word(), schedule.closure));
    if let Some(c) = &schedule.longest_wait_min {
        conditions.push(format!("from the pot into the bath within {:.0} min", c.value));
    }
    if let Some(c) = &schedule.bath_start_max_c {
        conditions.push(format!(
            "bath at {} or cooler when the jars go in, never hotter",
            temperature(c.value)
        ));
    }
    if let Some(c) = &schedule.come_up_min {
        conditions.push(format!(
            "come-up {:.0} to {:.0} min: it is part of the process",
            c.low, c.high
        ));
    }
    conditions.push(format!("time starts {}", schedule.timing_starts));
    if schedule.sterile_jars_needed
        && let Some(boil) = reference::jar_boil_min(place.altitude_m * crate::words::FT_PER_M)
    {
        conditions.push(format!(
            "process under 10 min: the empty jars are boiled {boil:.0} min first"
        ));
    }
    conditions.push(format!("cooling: {}", schedule.cooling));
    if let Some(ph) = &schedule.equilibrium_ph {
        conditions.push(format!("equilibrium pH of the study: {:.1}", ph.value));
    }
    if let Scope::Class(class) = &schedule.scope {
        conditions.push(format!("by the standard: at least {:.0} °Brix, measured in each batch; fruit {:.0} of 100 parts of fruit and sugar here", class.min_brix.value, 100.0 * work.fruit_share));
    }
    let clashes = schedule
        .come_up_clash
        .iter()
        .map(|(c, what)| {
            format!(
                "come-up {:.1} to {:.1} min {what} ({}, {})",
                c.low,
                c.high,
                c.source,
                c.mark.words()
            )
        })
        .collect();
    Some(ScheduleView {
        key: schedule.key.clone(),
        title: format!("{} ({}, {})", schedule.title, schedule.source, schedule.place),
        minutes: graph.figure(minutes),
        band: printed,
        conditions,
        clashes,
        from_memory: !schedule.scope_may_open() || !band.minutes.mark.may_open(),
    })
}

fn fraction(inches: f64) -> String {
    match (inches * 4.0).round() as i64 {
        1 => "1/4".into(),
        2 => "1/2".into(),
        3 => "3/4".into(),
        4 => "1".into(),
        _ => format!("{inches:.2}"),
    }
}

fn cold_spot(graph: &mut Graph, work: &Work) -> Option<ColdSpot> {
    let spot = work.spot.as_ref()?;
    let target = work.spot_target?;
    let outside = !target.food.is_empty() && !target.food.contains(&work.food);
    let minutes = graph.published(
        &format!("target:{}", target.key),
        &target.title,
        Unit::Minute,
        &target.minutes,
    );
    graph.hold(spot.heating, Bound::AtLeast, minutes);
    let total = graph.value(spot.heating) + graph.value(spot.cooling);
    let met = graph.band(spot.heating).0 >= target.minutes.value;
    let mut meaning = format!(
        "The published target asks for {:.2} min at {}; the cold spot gets {total:.0} min, {} of them before the jar leaves the bath.",
        target.minutes.value,
        fine_temperature(target.ref_c),
        format_args!("{:.0}", graph.value(spot.heating))
    );
    if !work.departures.is_empty() {
        meaning.push_str(" It is no permission: the run is outside its schedule.");
    } else if met {
        meaning.push_str(" Met while heating in 95 of 100 cases.");
    } else {
        meaning.push_str(" Not met while heating in 95 of 100 cases.");
    }
    if outside {
        meaning.push_str(&format!(
            " Extrapolated: the target was measured in {}; sugar, fat and egg protect.",
            target.medium
        ));
    }
    if let Some(whole) = spot.total_of_reference
        && graph.band(whole).1 < 1.0
    {
        let (low, high) = graph.band(whole);
        meaning.push_str(&format!(
            " The published minutes here do not bring back the whole dose of the published process at sea level: {:.0} to {:.0} % of it.",
            100.0 * low,
            100.0 * high
        ));
    }
    meaning.push_str(" It concerns vegetative pathogens only; heat-resistant moulds and spores outlive it. The tested schedule governs; this explains it.");
    Some(ColdSpot {
        fill: graph.figure(work.fill_c),
        at_boil: graph.figure(spot.at_boil),
        at_end: graph.figure(spot.at_end),
        peak: graph.figure(spot.peak),
        heating: graph.figure(spot.heating),
        cooling: graph.figure(spot.cooling),
        cooling_share: graph.figure(spot.cooling_share),
        heating_of_reference: spot.heating_of_reference.map(|id| graph.figure(id)),
        total_of_reference: spot.total_of_reference.map(|id| graph.figure(id)),
        target: format!(
            "{} ({}, z {:.1} K, measured in {})",
            target.title,
            fine_temperature(target.ref_c),
            target.z_k,
            target.medium
        ),
        target_minutes: graph.figure(minutes),
        meaning,
        to_54: graph.figure(spot.to_54),
        curve: spot.curve.clone(),
    })
}

pub(crate) fn label(graph: &Graph, work: &Work, order: &Order, lots: Vec<String>, timing: &Timing) -> Label {
    let storage = work
        .verdicts
        .iter()
        .filter(|v| v.state != "closed")
        .map(storage_words)
        .collect();
    let members: Vec<usize> = (0..work.lines.len())
        .filter(|&i| work.lines[i].written.part != Some(Part::Soak))
        .collect();
    let lines: Vec<_> = members.iter().map(|&i| work.lines[i].clone()).collect();
    let masses: Vec<f64> = members.iter().map(|&i| graph.value(work.batch.masses_g[i])).collect();
    let day = order.now.date().to_string();
    draft(&LabelCase {
        formula: &work.formula.name,
        food: work.food,
        lines: &lines,
        masses_g: &masses,
        content: graph.figure(work.batch.fill_g),
        lots,
        made: timing.layout.starts.date().to_string(),
        storage,
        market: order.market,
        for_use: order.for_use,
        day: &day,
        counts: name_facts(graph, work, order.market),
    })
}

/// What reserved names count of the food in the jar.
pub(crate) fn name_facts(graph: &Graph, work: &Work, market: Law) -> NameFacts {
    let in_jar = || {
        work.in_batch()
            .into_iter()
            .filter(|(line, _)| line.written.part != Some(Part::Soak))
            .map(|(line, mass)| (line, graph.value(mass) * (1.0 - line.written.sieved_out)))
    };
    let made_g = in_jar().map(|(_, g)| g).sum::<f64>() - graph.value(work.batch.boiled_off_g);
    let in_jar: Vec<(&Line, f64)> = in_jar().collect();
    let (low, high) = graph.band(work.batch.filled.fat);
    NameFacts {
        brix: graph.value(work.batch.filled.brix),
        brix_band: Some(graph.band(work.batch.filled.brix)),
        fat_g_per_kg: work.fat_g_per_kg,
        fat_band: Some((10.0 * low, 10.0 * high)),
        yolk_solids_g_per_kg: work.yolk_solids_g_per_kg,
        fruit_share: work.fruit_share,
        ..counted(&in_jar, made_g, market)
    }
}

/// How to keep it, as a label would say it.
fn storage_words(verdict: &Verdict) -> String {
    let how_long = match verdict.keeps.as_ref().map(|f| f.low) {
        Some(days) if days.is_finite() && days > 0.0 => format!("for at most {}", days_words(days)),
        _ => "(no published time to keep it)".to_owned(),
    };
    let keep = match verdict.route {
        "shelf" => {
            format!("keep in a cool, dark, dry place {how_long}; once opened in the refrigerator, and by its days")
        }
        "refrigerator" => format!("keep in the refrigerator, at 5 °C (41 °F) or colder, {how_long}"),
        "freezer" => format!("keep frozen, at -18 °C (0 °F) or colder, {how_long}"),
        "vacuum pack" => format!("keep vacuum packed and in the refrigerator, at 5 °C (41 °F) or colder, {how_long}"),
        other => format!("keep by {other} {how_long}"),
    };
    if verdict.state == "open" {
        keep
    } else {
        format!("only once what the plan asks for is met: {keep}")
    }
}

/// `4 weeks`, `1 year`, `3 days`.
fn days_words(days: f64) -> String {
    let whole = days.floor().max(1.0) as usize;
    match whole {
        n if n % 365 == 0 => count(n / 365, "year"),
        n if n % 7 == 0 && n <= 12 * 7 => count(n / 7, "week"),
        n => count(n, "day"),
    }
}

/// Every quantity that a figure of the plan leads to.
pub(crate) fn reachable(graph: &Graph, plan: &Plan) -> BTreeMap<String, Figure> {
    reachable_from(graph, &shown(plan))
}

/// Every quantity behind the figures of these handles, themselves with them.
pub(crate) fn reachable_from(graph: &Graph, handles: &[String]) -> BTreeMap<String, Figure> {
    // Handles are q0, q1, ... in the graph's order; walk from the figures shown.
    let ids: Vec<Id> = graph.ids().collect();
    let number = |handle: &String| handle.strip_prefix('q').and_then(|n| n.parse::<usize>().ok());
    let wanted = handles
        .iter()
        .filter_map(number)
        .filter_map(|n| ids.get(n).copied())
        .collect();
    graph.figures(behind(graph, wanted))
}

/// These quantities, and every one behind them and their limits.
pub(crate) fn behind(graph: &Graph, mut wanted: Vec<Id>) -> BTreeSet<Id> {
    let mut seen = BTreeSet::new();
    while let Some(id) = wanted.pop() {
        if seen.insert(id) {
            wanted.extend(graph.limits(id).map(|(_, limit)| limit));
            if let Basis::Computed { inputs, .. } = graph.basis(id) {
                wanted.extend(inputs);
            }
        }
    }
    seen
}

/// Handles of the figures shown.
fn shown(plan: &Plan) -> Vec<String> {
    let mut handles = Vec::new();
    plan.each_figure(&mut |figure: &Figure| handles.push(figure.id.clone()));
    handles
}
