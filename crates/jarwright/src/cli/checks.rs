//! `jarwright checks`: the program against the outside world.

use jarwright_checks::Check;
use jarwright_figure::Mark;
use serde::Serialize;

use crate::exit::{Exit, Stop};
use crate::out;
use crate::text::page::{Page, significant};

const EXAMPLES: &str = "\
Examples:
  jarwright checks              a table to read
  jarwright checks --json       the same for machines

Exit codes: 0 all passed, 1 a check failed.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Print JSON and nothing else
    #[arg(long)]
    json: bool,
}

const MARKS: [Mark; 5] = [
    Mark::Seen,
    Mark::ThirdPartyCopy,
    Mark::Computed,
    Mark::Memory,
    Mark::CommonPractice,
];

/// What all checks together come to.
#[derive(Debug, Serialize, PartialEq, Eq)]
struct Summary {
    checks: usize,
    points: usize,
    passed: usize,
    failed: usize,
    measured_or_printed: usize,
    marks: Vec<(&'static str, usize)>,
}

#[derive(Serialize)]
struct Report<'a> {
    summary: &'a Summary,
    checks: &'a [Check],
}

/// Runs and prints all checks.
///
/// # Errors
/// [`Stop`] when the output cannot be written.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let checks = jarwright_checks::all();
    let summary = Summary::of(&checks);
    let ending = if summary.failed == 0 {
        Exit::Done
    } else {
        Exit::CheckFailed
    };
    let text = if args.json {
        let report = Report {
            summary: &summary,
            checks: &checks,
        };
        let text = serde_json::to_string_pretty(&report).map_err(|error| {
            Stop::asked(
                format!("the checks could not be written as JSON: {error}"),
                "report this fault",
            )
        })?;
        text + "\n"
    } else {
        table(&checks, &summary)
    };
    match out::say(&text) {
        // A reader that has seen enough does not change what the checks found.
        Ok(()) | Err(Stop::NobodyReads) => Ok(ending),
        Err(stop) => Err(stop),
    }
}

impl Summary {
    fn of(checks: &[Check]) -> Self {
        let count = |which: &dyn Fn(&Check) -> bool| checks.iter().filter(|check| which(check)).count();
        let passed = count(&|check| check.passed);
        Self {
            checks: checks.len(),
            points: checks.iter().map(|check| check.points).sum(),
            passed,
            failed: checks.len() - passed,
            measured_or_printed: count(&|check| check.measured_or_printed),
            marks: MARKS
                .iter()
                .map(|&mark| (mark.words(), count(&|check| check.mark == mark)))
                .collect(),
        }
    }
}

fn table(checks: &[Check], summary: &Summary) -> String {
    let mut page = Page::new();
    let name = checks
        .iter()
        .map(|check| check.name.chars().count())
        .max()
        .unwrap_or(0)
        .clamp(5, 40);
    page.verbatim(
        0,
        &format!("verdict  {:name$} points  {:>10}  tolerance", "check", "worst miss"),
    );
    for check in checks {
        let verdict = if check.passed { "passed" } else { "FAILED" };
        let unit = if check.unit == "1" { "" } else { check.unit };
        page.verbatim(
            0,
            &format!(
                "{verdict:8} {:name$} {:>6}  {:>10}  {} {unit}",
                check.name,
                check.points,
                significant(check.worst_miss, 2),
                significant(check.tolerance, 2)
            ),
        );
        page.line(8, check.claim);
        page.line(
            8,
            &format!("source {}, {} ({})", check.source, check.place, check.mark.words()),
        );
        if !check.passed {
            page.line(8, &format!("tolerance: {}", check.why));
        }
        if !check.note.is_empty() {
            page.line(8, &format!("note: {}", check.note));
        }
    }
    page.gap();
    let marks: Vec<String> = summary
        .marks
        .iter()
        .filter(|(_, count)| *count > 0)
        .map(|(mark, count)| format!("{mark} {count}"))
        .collect();
    page.line(
        0,
        &format!(
            "{} checks with {} points: {}; {} of {} on measured or printed data",
            summary.checks,
            summary.points,
            marks.join(", "),
            summary.measured_or_printed,
            summary.checks
        ),
    );
    page.line(0, &format!("{} passed, {} failed", summary.passed, summary.failed));
    page.text()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(name: &'static str, passed: bool) -> Check {
        Check {
            name,
            claim: "water boils where the table says",
            source: "nobody",
            place: "table 1",
            mark: Mark::Seen,
            measured_or_printed: true,
            points: 3,
            worst_miss: 0.012_345,
            tolerance: 0.05,
            unit: "°C",
            why: "printed to a tenth",
            passed,
            note: String::new(),
        }
    }

    #[test]
    fn the_last_line_counts_what_passed_and_failed() {
        let checks = [check("one", true), check("two", false)];
        let text = table(&checks, &Summary::of(&checks));
        assert_eq!(text.lines().last(), Some("1 passed, 1 failed"));
        assert!(text.contains("0.012  0.050 °C") && text.contains("FAILED"), "{text}");
        assert!(
            text.contains("2 checks with 6 points: seen 2; 2 of 2 on measured or printed data"),
            "{text}"
        );
    }
}
