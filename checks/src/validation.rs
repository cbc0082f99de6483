//! VALIDATION.md, written from the checks themselves.
//!
//! A miss is printed to two digits, and one below a hundredth of its tolerance as that, so
//! that the last bits of another machine's mathematics do not change the page.

use std::fmt::Write;

use crate::{Check, by_subject};

const OPENING: &str = "\
# Validation

Every comparison of the program with the outside world, as `jarwright checks` runs it. This
page is written by `cargo run -p jarwright-checks --example validation > VALIDATION.md`; a test
holds it against a new one.

A check is one claim of one source; a table is one check with its points. Its *mark* says how
the source's numbers are known: read in the source or a stored copy (seen), read only in a
third-party copy, computed by a general-purpose library, or from memory. *Measured or printed*
is what was read of a measurement or in print: no library's output, nothing from memory. A number
recomputed from the program's own equation is a test and stands elsewhere. Keys of sources are rows of
`crates/jarwright-reference/data/sources.csv`.

";

/// The whole page.
#[must_use]
pub fn validation_markdown() -> String {
    let subjects = by_subject();
    let checks: Vec<&Check> = subjects.iter().flat_map(|(_, checks)| checks).collect();
    let count = |which: fn(&Check) -> bool| checks.iter().filter(|check| which(check)).count();
    let points: usize = checks.iter().map(|check| check.points).sum();
    let mut page = OPENING.to_owned();
    line(
        &mut page,
        format_args!(
            "{} checks with {points} points: {} passed, {} failed; {} on measured or printed data.\n",
            checks.len(),
            count(|check| check.passed),
            count(|check| !check.passed),
            count(|check| check.measured_or_printed),
        ),
    );
    for (title, checks) in &subjects {
        line(&mut page, format_args!("## {title}\n"));
        for check in checks {
            entry(&mut page, check);
        }
    }
    while page.ends_with("\n\n") {
        page.pop();
    }
    page
}

fn entry(page: &mut String, check: &Check) {
    let verdict = if check.passed { "passed" } else { "FAILED" };
    let kind = if check.measured_or_printed {
        "measured or printed"
    } else {
        "not measured or printed"
    };
    line(page, format_args!("### {}: {verdict}\n", check.name));
    line(page, format_args!("{}\n", sentence(check.claim)));
    line(
        page,
        format_args!(
            "- source: `{}`, {}; {}, {kind}",
            check.source,
            check.place,
            check.mark.words()
        ),
    );
    line(
        page,
        format_args!("- points: {}; worst miss: {}", check.points, miss(check)),
    );
    line(
        page,
        format_args!("- tolerance: {}: {}", with_unit(check.tolerance, check.unit), check.why),
    );
    if !check.note.is_empty() {
        line(page, format_args!("- note: {}", check.note));
    }
    page.push('\n');
}

/// Writing into a string cannot fail.
fn line(page: &mut String, text: std::fmt::Arguments<'_>) {
    let _ = writeln!(page, "{text}");
}

fn sentence(claim: &str) -> String {
    let mut letters = claim.chars();
    letters.next().map_or_else(String::new, |first| {
        let end = if claim.ends_with('.') { "" } else { "." };
        format!("{}{}{end}", first.to_uppercase(), letters.as_str())
    })
}

fn miss(check: &Check) -> String {
    // The last bits of a sum decide between nothing and almost nothing.
    if check.worst_miss < 0.01 * check.tolerance {
        return "under a hundredth of the tolerance".into();
    }
    if check.worst_miss == 0.0 {
        return "none".into();
    }
    with_unit(check.worst_miss, check.unit)
}

fn with_unit(value: f64, unit: &str) -> String {
    let unit = if unit == "1" { "" } else { unit };
    format!("{} {unit}", two_digits(value)).trim_end().to_owned()
}

/// Two significant digits, without an exponent where people would not write one.
fn two_digits(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let places = 1 - value.abs().log10().floor() as i32;
    match places {
        ..=0 => format!("{value:.0}"),
        1..=6 => {
            let digits = format!("{value:.*}", places.unsigned_abs() as usize);
            digits.trim_end_matches('0').trim_end_matches('.').to_owned()
        }
        _ => format!("{value:.1e}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn misses_are_written_as_people_write_them() {
        assert_eq!(two_digits(0.05), "0.05");
        assert_eq!(two_digits(12.34), "12");
        assert_eq!(two_digits(1234.0), "1234");
        assert_eq!(two_digits(0.000_000_123), "1.2e-7");
        assert_eq!(two_digits(0.0), "0");
        assert_eq!(two_digits(f64::INFINITY), "inf");
    }

    #[test]
    fn a_claim_is_a_sentence() {
        assert_eq!(sentence("water boils"), "Water boils.");
        assert_eq!(sentence(""), "");
    }
}
