//! A log's report as text.

use std::path::Path;

use jarwright_heat::cooling_clock::{CoolingClock, Stages};
use jarwright_papers::words::{both_scales, fahrenheit};
use jarwright_stove::{
    CAUTIONS, DateOrder, DecimalMark, Dose, Fault, FaultKind, Fit, Forecast, Listed, OrderBy, ProbeReport, Report,
    split_words,
};

use super::page::{Page, significant};

/// The whole report.
#[must_use]
pub fn report(report: &Report, picture: Option<&Path>) -> String {
    let mut page = Page::new();
    page.line(0, &report.told.name);
    told(&mut page, report);
    left_out(&mut page, report);
    medium(&mut page, report);
    for probe in &report.probes {
        one(&mut page, report, probe);
    }
    how(&mut page, report);
    if let Some(path) = picture {
        page.gap();
        page.line(0, &format!("Picture: {}", path.display()));
    }
    page.gap();
    for caution in CAUTIONS {
        page.line(0, caution);
    }
    page.text()
}

fn minutes(s: f64) -> String {
    let m = s / 60.0;
    if m.abs() >= 600.0 {
        format!("{:.1} h", m / 60.0)
    } else {
        format!("{m:.1} min")
    }
}

fn interval(s: f64) -> String {
    if s < 120.0 {
        format!("{} s", significant(s, 3))
    } else {
        format!("{} min", significant(s / 60.0, 3))
    }
}

fn rows(count: u64) -> String {
    if count == 1 {
        "1 row".into()
    } else {
        format!("{count} rows")
    }
}

fn told(page: &mut Page, report: &Report) {
    let told = &report.told;
    page.line(
        0,
        &format!(
            "{} of {} count, {} long, usually one every {}; from {} to {}.",
            rows(told.rows),
            told.all_rows,
            minutes(told.long_s),
            interval(told.usual_s),
            told.written.0,
            told.written.1
        ),
    );
    let mark = match told.decimal {
        DecimalMark::Point => "point",
        DecimalMark::Comma => "comma",
    };
    let unit = told.unit.map_or("units as headed", |unit| unit.symbol());
    let mut read = format!(
        "Read as {} apart by {}, decimal {mark}, {unit}",
        told.script, told.delimiter
    );
    if let Some((order, by)) = told.order {
        let order = match order {
            DateOrder::DayMonthYear => "day first",
            DateOrder::MonthDayYear => "month first",
            DateOrder::YearMonthDay => "year first",
        };
        read += &match by {
            OrderBy::Told => format!(", dates {order} as told"),
            OrderBy::Line(line) => format!(", dates {order} as line {line} proves"),
        };
    }
    page.line(0, &format!("{read}."));
    if !told.passed_over.is_empty() {
        page.line(0, &format!("Passed over: {}.", told.passed_over.join(", ")));
    }
    let zero = if told.zero_given {
        "the time zero given"
    } else {
        "its first row"
    };
    page.line(0, &format!("Minutes below count from {zero}."));
}

/// Lines of a list, the first few of many.
fn lines<T>(list: &Listed<T>, word: impl Fn(&T) -> String) -> String {
    let mut shown: Vec<String> = list.first.iter().take(6).map(word).collect();
    if list.total > shown.len() as u64 {
        shown.push("...".into());
    }
    shown.join(", ")
}

fn left_out(page: &mut Page, report: &Report) {
    let out = &report.left_out;
    let mut entries = Vec::new();
    if out.backward.total > 0 {
        let hour = out.backward.first.iter().any(|(_, by)| (*by - 3600.0).abs() < 600.0);
        let half_day = out
            .backward
            .first
            .iter()
            .any(|(_, by)| (39_000.0..=43_200.0).contains(by));
        let mut entry = format!(
            "{} whose time runs back, left out and not sorted in: line {}",
            rows(out.backward.total),
            lines(&out.backward, |(line, by)| format!("{line} (by {})", interval(*by)))
        );
        if hour {
            entry += "; a clock put back by an hour looks like this";
        }
        if half_day {
            entry += "; a 12-hour clock without am and pm looks like this";
        }
        entries.push(entry);
    }
    if out.repeated.total > 0 {
        entries.push(format!(
            "{} with the time of the row before, left out: line {}",
            rows(out.repeated.total),
            lines(&out.repeated, u64::to_string)
        ));
    }
    if out.before_zero > 0 {
        entries.push(format!("{} before time zero, left out", rows(out.before_zero)));
    }
    if out.no_time.total > 0 {
        entries.push(format!(
            "{} without a time, left out: line {}",
            rows(out.no_time.total),
            lines(&out.no_time, |(line, text)| format!("{line} \"{text}\""))
        ));
    }
    if report.gaps.total > 0 {
        entries.push(format!(
            "{} longer than three usual intervals, {} in all, over which no lethality is counted: {}",
            if report.gaps.total == 1 {
                "1 gap".into()
            } else {
                format!("{} gaps", report.gaps.total)
            },
            minutes(report.gaps_s),
            lines(&report.gaps, |gap| format!(
                "{} after line {} (from {})",
                minutes(gap.long_s),
                gap.after_line,
                minutes(gap.from_s)
            ))
        ));
    }
    if !entries.is_empty() {
        page.heading("Rows left out and gaps");
        page.list(0, entries);
    }
}

fn medium(page: &mut Page, report: &Report) {
    let Some(medium) = &report.medium else { return };
    page.heading("Medium");
    let name = medium
        .probe
        .map_or("as given", |probe| report.probes[probe].name.as_str());
    page.line(
        0,
        &format!(
            "{name}: {}, {} to {} over its hold.",
            both_scales(medium.held_c, 1),
            both_scales(medium.between_c.0, 1),
            both_scales(medium.between_c.1, 1)
        ),
    );
    if let (Some(up), Some(ends)) = (medium.come_up_s, medium.ends_s) {
        page.line(
            0,
            &format!(
                "Come-up time {}: from time zero to within 1 K of its hottest. It was last there at {}.",
                minutes(up),
                minutes(ends)
            ),
        );
    }
}

fn one(page: &mut Page, report: &Report, probe: &ProbeReport) {
    page.heading(&probe.name);
    let (Some(first), Some(last)) = (&probe.first, &probe.last) else {
        page.line(0, "No reading counts.");
        faults(page, probe);
        return;
    };
    let mut spans = format!("First {}, ", both_scales(first.c, 1));
    if let Some(hottest) = &probe.hottest {
        spans += &format!(
            "hottest {} at {} (line {}), ",
            both_scales(hottest.c, 1),
            minutes(hottest.t_s),
            hottest.line
        );
    }
    spans += &format!("last {} at {}.", both_scales(last.c, 1), minutes(last.t_s));
    page.line(0, &spans);
    page.line(
        0,
        &format!(
            "{} readings, {} counted of {}{}. Heating ends at {}: {}.",
            probe.readings,
            minutes(probe.counted_s),
            minutes(report.told.long_s),
            if probe.missing > 0 {
                format!(", {} empty cells", probe.missing)
            } else {
                String::new()
            },
            minutes(probe.split_s),
            split_words(probe.split_by)
        ),
    );
    doses(page, report, probe);
    if !probe.is_medium {
        fit(page, "Heating", "h", &probe.heating);
        fit(page, "Cooling", "c", &probe.cooling);
        stages(page, probe);
    }
    faults(page, probe);
}

fn doses(page: &mut Page, report: &Report, probe: &ProbeReport) {
    let head = [
        "Lethality, min at",
        "heating",
        "cooling",
        "in all",
        "trapezoid",
        "time above",
    ];
    let mut table = vec![head.map(str::to_owned).to_vec()];
    for (target, dose) in report.targets.iter().zip(&probe.doses) {
        table.push(dose_row(
            &format!(
                "{}, z {} K ({} °F)",
                both_scales(target.ref_c, 1),
                significant(target.z_k, 3),
                significant(1.8 * target.z_k, 3)
            ),
            dose,
        ));
    }
    page.table(0, &table, &[false, true, true, true, true, true]);
}

fn dose_row(name: &str, dose: &Dose) -> Vec<String> {
    vec![
        name.to_owned(),
        dose_words(dose.heating_min),
        dose_words(dose.cooling_min),
        dose_words(dose.total_min()),
        dose_words(dose.total_trapezoid_min()),
        minutes(dose.above_s),
    ]
}

fn dose_words(minutes: f64) -> String {
    if minutes > 0.0 && minutes < 0.001 {
        "under 0.001".into()
    } else {
        significant(minutes, 3)
    }
}

fn fit(page: &mut Page, what: &str, letter: &str, fit: &Result<Fit, String>) {
    let fit = match fit {
        Ok(fit) => fit,
        Err(why) => {
            page.line(0, &format!("{what}: no f{letter} and j{letter}; {why}."));
            return;
        }
    };
    let line = &fit.line;
    let j = |lag: (f64, f64, f64)| format!("{:.2} ({:.2} to {:.2})", lag.0, lag.1, lag.2);
    let mut said = format!(
        "{what}: f{letter} {:.1} min ({:.1} to {:.1}), j{letter} {} from {}",
        line.f_s / 60.0,
        line.f_between_s.0 / 60.0,
        line.f_between_s.1 / 60.0,
        j(fit.lag),
        if letter == "h" {
            "time zero as read"
        } else {
            "the end of heating"
        },
    );
    if let Some((lag, zero_s)) = fit.corrected {
        said += &format!(
            ", {} from the corrected zero at {} (0.58 of come-up)",
            j(lag),
            minutes(zero_s)
        );
    }
    page.line(
        0,
        &format!(
            "{said}; brackets are 95 % intervals. Straight part {} to {}, {} readings towards {}, the difference \
             falls to 1/{}; residual {} of a power of ten, at most {}.",
            minutes(line.window_s.0),
            minutes(line.window_s.1),
            line.readings,
            both_scales(fit.medium_c, 1),
            significant(10_f64.powf(line.log_cycles), 2),
            significant(line.residual, 2),
            significant(line.worst_residual, 2)
        ),
    );
}

fn stages(page: &mut Page, probe: &ProbeReport) {
    let clock = &probe.clock;
    let says = match probe.stages {
        Stages::NotStarted => {
            if probe.forecast.is_some() {
                "the log ends above 57 °C (135 °F)"
            } else {
                return;
            }
        }
        Stages::Met => "both stages were within their times",
        Stages::FirstTooSlow if clock.in_a_gap() => "not shown to be met: 57 to 21 °C (135 to 70 °F) within 2 h",
        Stages::BothTooSlow if clock.in_a_gap() => "not shown to be met: 57 to 5 °C (135 to 41 °F) within 6 h",
        Stages::FirstTooSlow => "NOT met: 57 to 21 °C (135 to 70 °F) took more than 2 h",
        Stages::BothTooSlow => "NOT met: 57 to 5 °C (135 to 41 °F) took more than 6 h",
        Stages::EndsEarly => "not known yet: the log ends before 5 °C (41 °F)",
        Stages::BeginsCool if probe.hottest.is_some_and(|hottest| hottest.c <= 21.0) => return,
        Stages::BeginsCool => "not known: the log begins below 57 °C (135 °F), when the rule's clock already ran",
    };
    let mut said = format!("Two-stage cooling of food kept chilled: {says}");
    if probe.stages != Stages::NotStarted {
        said += &passed(clock);
    }
    if clock.in_a_gap() {
        said += "; readings are missing there, taken against the food";
    }
    page.line(0, &format!("{said}."));
    match &probe.forecast {
        Some(Ok(forecast)) => ahead(page, forecast, probe),
        Some(Err(why)) => page.line(2, &format!("No forecast: {why}.")),
        None => {}
    }
}

fn passed(clock: &CoolingClock) -> String {
    let mut said = String::new();
    for (mark, reached) in [("21 °C (70 °F)", clock.to_21_s()), ("5 °C (41 °F)", clock.to_5_s())] {
        if let Some(s) = reached {
            said += &format!("; {mark} after {:.2} h", s / 3600.0);
        }
    }
    said
}

fn ahead(page: &mut Page, forecast: &Forecast, probe: &ProbeReport) {
    let mark = |words: &str, to: Option<(f64, f64, f64)>, limit_h: f64| match to {
        None => format!("{words} is never reached"),
        Some((at, low, high)) => {
            let hours = |s: f64| format!("{:.1}", s / 3600.0);
            let spread = if high > low {
                format!(" ({} to {})", hours(low), hours(high))
            } else {
                String::new()
            };
            let late = if at / 3600.0 > limit_h { "later than" } else { "within" };
            format!("{words} after {} h{spread}, {late} {limit_h:.0} h", hours(at))
        }
    };
    let mut said = format!("If it goes on like this towards {}: ", both_scales(forecast.sink_c, 1));
    if probe.clock.to_21_s().is_none() || probe.stages == Stages::NotStarted {
        said += &format!("{}; ", mark("21 °C (70 °F)", forecast.to_21_s, 2.0));
    }
    said += &mark("5 °C (41 °F)", forecast.to_5_s, 6.0);
    let basis = if forecast.fitted {
        "from the line fitted"
    } else {
        "from two readings"
    };
    page.line(2, &format!("{said}; exponential, {basis}. A forecast, no reading."));
}

fn faults(page: &mut Page, probe: &ProbeReport) {
    if probe.faults.total == 0 {
        return;
    }
    page.line(
        0,
        &format!(
            "Probe faults ({}){}:",
            probe.faults.total,
            if probe.faults.total > probe.faults.first.len() as u64 {
                format!(", the first {}", probe.faults.first.len())
            } else {
                String::new()
            }
        ),
    );
    page.list(2, probe.faults.first.iter().map(fault));
}

fn fault(fault: &Fault) -> String {
    let where_it_is = match fault.lines {
        (a, b) if a == b => format!("line {a}"),
        (a, b) => format!("lines {a} to {b}"),
    };
    let what = match &fault.kind {
        FaultKind::Word(word) => format!("\"{word}\" instead of a number, left out"),
        FaultKind::OutOfRange(c) => format!("{c:.0} °C ({:.0} °F), outside -40 to 160 °C, left out", fahrenheit(*c)),
        FaultKind::Spike(c) => format!(
            "{} alone, more than 10 K from both its neighbours, left out",
            both_scales(*c, 1)
        ),
        FaultKind::Jump(from, to, s) => format!(
            "from {} to {} in {}, faster than a kitchen heats or cools; not counted",
            both_scales(*from, 1),
            both_scales(*to, 1),
            interval(*s)
        ),
        FaultKind::Silent(s) => format!("no reading for {} while rows went on; not counted", minutes(*s)),
        FaultKind::Stuck(c, readings) => format!(
            "{} unchanged over {readings} readings while another probe moved by more than 10 K: stuck? counted as read",
            both_scales(*c, 1)
        ),
    };
    format!("{where_it_is}: {what}")
}

fn how(page: &mut Page, report: &Report) {
    page.heading("How it was worked out");
    page.line(
        0,
        "Lethality is the exact integral of straight lines between readings; beside it the trapezoid rule on lethal \
         rates, which is never less and is the rule of most reports. Not counted: gaps, jumps, readings left out \
         (a lone one is bridged by a straight line). `jarwright why lethality`.",
    );
    for target in &report.targets {
        page.line(
            0,
            &format!(
                "A probe that reads 1 K (1.8 °F) too hot makes every lethality with z {} K {:.0} % too high.",
                significant(target.z_k, 3),
                100.0 * (target.rate(target.ref_c + 1.0) - 1.0)
            ),
        );
    }
    if report.usual_target {
        page.line(
            0,
            "Nobody asked for a lethality: 93.3 °C with z 8.9 K is the usual yardstick of acid foods, no target. Ask \
             with --lethality REF:Z.",
        );
    }
    page.line(
        0,
        "fh, jh, fc and jc are least-squares lines of the logarithm of the difference to the medium, from the \
         earliest reading after which it runs straight. The recorded medium already holds the come-up: its 42 % \
         may not be credited once more. `jarwright why heat-penetration-rate`.",
    );
    page.line(
        0,
        "Jars kept on the shelf by their acid stand outside the two-stage rule and cool undisturbed.",
    );
}
