//! A formula before and after, side by side.

use jarwright_kitchen::adjust::{Adjustment, LineView, NameChange, ReadingView, TargetView};
use jarwright_papers::words;

use super::page::Page;

/// The whole answer.
#[must_use]
pub fn adjustment(answer: &Adjustment) -> String {
    let mut page = Page::new();
    said(&mut page, answer);
    targets(&mut page, answer);
    lines(&mut page, answer);
    swaps(&mut page, answer);
    assay(&mut page, answer);
    names(&mut page, answer);
    schedule(&mut page, answer);
    routes(&mut page, answer);
    page.heading("Cautions");
    for caution in &answer.cautions {
        page.item(2, "! ", &caution.text);
    }
    page.item(
        2,
        "! ",
        "Local law and a licensed authority decide. This answer explains; it does not license.",
    );
    if !answer.notes.is_empty() {
        page.heading("To know");
        page.list(2, &answer.notes);
    }
    page.text()
}

fn said(page: &mut Page, answer: &Adjustment) {
    page.heading("Can it be done?");
    let changes = match (answer.lines_changed, answer.scaled) {
        (0, Some(factor)) => format!("everything times {factor:.3}, no line by itself"),
        (0, None) => "no line changes".into(),
        (1, None) => "one line changes".into(),
        (n, None) => format!("{n} lines change"),
        (n, Some(factor)) => format!("{n} of the lines change their share, and everything is made times {factor:.3}"),
    };
    let stop = answer.stop.as_ref().map_or_else(String::new, |stop| {
        format!("; the pot stops at {}, not at {}", stop.after, stop.before)
    });
    if !answer.met {
        page.item(
            2,
            "No: ",
            "no amounts within the bounds meet this. The nearest that was reached stands below.",
        );
        for target in answer.targets.iter().filter(|t| t.binds) {
            page.item(
                2,
                "What binds: ",
                &format!("{} is missed by {}", target.target, number(target, target.short)),
            );
        }
        page.list(2, &answer.cannot);
    } else if answer.lines_changed == 0 && answer.stop.is_none() && answer.scaled.is_none() {
        page.item(2, "Yes: ", "the formula is there already; nothing changes.");
    } else {
        page.item(2, "Yes: ", &format!("{changes}{stop}."));
    }
}

fn targets(page: &mut Page, answer: &Adjustment) {
    if answer.targets.is_empty() {
        return;
    }
    page.heading(&format!("Targets, food as {}", answer.stage));
    let mut rows = vec![cells(["", "before", "after", ""])];
    for target in &answer.targets {
        let banded = target.held_against != "value";
        let met = if !target.met {
            format!("NOT MET, short by {}", number(target, target.short))
        } else if banded {
            format!("met, by the {}", target.held_against)
        } else {
            "met".into()
        };
        rows.push(vec![
            target.target.clone(),
            reading(target, &target.before),
            reading(target, &target.after),
            met,
        ]);
    }
    page.table(2, &rows, &[]);
}

fn cells<const N: usize>(row: [&str; N]) -> Vec<String> {
    row.map(str::to_owned).into()
}

fn number(target: &TargetView, value: f64) -> String {
    match target.asked {
        "ph" | "acidity" => format!("{value:.2}"),
        "water activity" => format!("{value:.3}"),
        "yield" => format!("{value:.0} g"),
        _ => format!("{value:.1}"),
    }
}

fn reading(target: &TargetView, reading: &ReadingView) -> String {
    if !reading.value.is_finite() {
        return "unknown".into();
    }
    let value = number(target, reading.value);
    if reading.high - reading.low > 1e-9 {
        format!(
            "{value} ({} to {})",
            number(target, reading.low),
            number(target, reading.high)
        )
    } else {
        value
    }
}

fn grams(g: f64) -> String {
    if g <= 0.0 {
        "-".into()
    } else if g < 9.95 {
        format!("{g:.1} g")
    } else {
        format!("{g:.0} g")
    }
}

fn lines(page: &mut Page, answer: &Adjustment) {
    page.heading("Line by line");
    let mut rows = vec![cells(["", "as written", "", "now", "difference", ""])];
    for line in &answer.lines {
        rows.push(vec![
            line.ingredient.clone(),
            line.written.clone(),
            if line.written.is_empty() {
                String::new()
            } else {
                grams(line.before_g)
            },
            grams(line.after_g),
            difference(line),
            told(line),
        ]);
    }
    page.table(2, &rows, &[false, false, true, true, true, false]);
    for other in &answer.alternatives {
        page.item(2, "or instead: ", other);
    }
    if let (Some(before), Some(after)) = (answer.makes_before_g, answer.makes_after_g) {
        page.line(
            2,
            &format!(
                "One formula makes {before:.0} g before and {after:.0} g now ({}).",
                answer.stage
            ),
        );
    }
}

fn difference(line: &LineView) -> String {
    if line.difference_g.abs() < 1e-9 {
        return String::new();
    }
    let size = line.difference_g.abs();
    let sign = if line.difference_g < 0.0 { "-" } else { "+" };
    let places = usize::from(size < 9.95);
    match line.relative {
        Some(relative) => format!("{sign}{size:.places$} g ({:+.0} %)", 100.0 * relative),
        None => format!("{sign}{size:.places$} g"),
    }
}

fn told(line: &LineView) -> String {
    let measure = if line.after_measure.is_empty() || line.difference_g.abs() < 1e-9 {
        String::new()
    } else {
        format!("= {}", line.after_measure)
    };
    match line.change {
        "as written" if line.kept => "kept".into(),
        "as written" => String::new(),
        "changed" | "scaled" => measure,
        other => other.to_uppercase(),
    }
}

fn swaps(page: &mut Page, answer: &Adjustment) {
    if answer.swaps.is_empty() {
        return;
    }
    page.heading("Swaps, and what they kept");
    for swap in &answer.swaps {
        page.line(2, &swap.words);
        page.line(4, &swap.by);
        for held in &swap.held {
            let state = if held.kept { "kept" } else { "NOT kept" };
            page.item(
                4,
                "- ",
                &format!(
                    "{}: {:.1} g before, {:.1} g after, {state}",
                    held.what, held.before_g, held.after_g
                ),
            );
        }
    }
}

fn assay(page: &mut Page, answer: &Adjustment) {
    page.heading("What is in it, as filled");
    let mut rows = vec![cells(["", "before", "after"])];
    for property in &answer.assay {
        let figure = |figure: &Option<jarwright_figure::Figure>| match figure {
            Some(figure) if property.what == "titratable acidity, as citric" => format!("{:.2} %", figure.value),
            Some(figure) => words::figure(figure),
            None => "unknown".into(),
        };
        rows.push(vec![
            property.what.into(),
            figure(&property.before),
            figure(&property.after),
        ]);
    }
    page.table(2, &rows, &[]);
    page.line(2, words::WHOLE_BRIX);
    if let Some(why) = &answer.ph_unknown {
        page.item(2, "pH unknown: ", why);
    }
}

fn names(page: &mut Page, answer: &Adjustment) {
    page.heading(&format!("Names reserved in this market ({})", answer.market));
    if answer.names.is_empty() {
        page.line(2, &format!("No reserved name for a {} is known here.", answer.food));
    }
    for name in &answer.names {
        page.item(2, "", &format!("\"{}\": {}", name.name, kept(name)));
        for ask in &name.asks {
            let before = ask
                .before
                .filter(|before| before.is_finite())
                .map_or_else(String::new, |before| format!("{before:.1} {} before; now ", ask.unit));
            page.item(4, "- ", &format!("{before}{}", ask.said));
        }
    }
}

fn kept(name: &NameChange) -> String {
    let met = "met by what is counted";
    match (name.before, name.after) {
        (before, after) if before == after => format!("{after}, before and after"),
        (before, after) if before == met => format!("LOST: {after} now"),
        (before, after) => format!("{after} now, {before} before"),
    }
}

fn schedule(page: &mut Page, answer: &Adjustment) {
    page.heading("Tested schedule");
    let schedule = &answer.schedule;
    match (&schedule.before, schedule.inside_before, schedule.inside_after) {
        (Some(key), true, true) => page.line(2, &format!("Kept: {key}, in the {}.", answer.jar)),
        (Some(key), true, false) => {
            page.line(
                2,
                &format!(
                    "LOST: {key}. A tested schedule stands only for its own formula. Changed here: {}. By share of \
                     the whole it is left on:",
                    if schedule.changed.is_empty() {
                        "the stop".into()
                    } else {
                        schedule.changed.join("; ")
                    }
                ),
            );
            page.list(4, &schedule.departures);
            if let Some(after) = &schedule.after {
                page.line(2, &format!("It is inside another: {after}."));
            }
        }
        (Some(key), false, _) => {
            page.line(2, &format!("{key} did not cover the formula before, and does not now:"));
            page.list(4, &schedule.departures);
        }
        (None, ..) => match &schedule.after {
            Some(after) => page.line(
                2,
                &format!("None covered it before; the new amounts stand inside {after}."),
            ),
            None => page.line(
                2,
                &format!("None on file covers it in the {}, before or after.", answer.jar),
            ),
        },
    }
}

fn routes(page: &mut Page, answer: &Adjustment) {
    page.heading("Where it may be kept");
    for route in &answer.routes {
        let state = |state: &str| match state {
            "open" => "open",
            "only-with" => "ONLY WITH what its plan names",
            _ => "CLOSED",
        };
        let words = if route.before == route.after {
            format!("{}, as before", state(route.after))
        } else {
            format!("{}; before: {}", state(route.after), state(route.before))
        };
        page.item(2, &format!("{}: ", route.route), &words);
        if route.before != route.after || route.why.iter().any(|why| why.starts_with("as before")) {
            page.list(4, &route.why);
        }
    }
    page.line(
        2,
        "What each route asks for, its days and its rules: plan the new formula.",
    );
}
