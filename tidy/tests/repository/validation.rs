//! VALIDATION.md is what the checks say today, and they all hold.

use std::collections::BTreeSet;
use std::fs;

use jarwright_tidy::root;

use crate::{Any, checks, none};

#[test]
fn every_check_against_the_outside_world_holds() {
    let faults: Vec<String> = checks()
        .iter()
        .filter(|check| !check.passed)
        .map(|check| {
            format!(
                "{}: {} {} off, {} allowed",
                check.name, check.worst_miss, check.unit, check.tolerance
            )
        })
        .collect();
    none(&faults);
}

#[test]
fn every_check_has_a_name_of_its_own_points_and_a_reason() {
    let mut seen = BTreeSet::new();
    let mut faults = Vec::new();
    for check in checks() {
        let told = !check.claim.is_empty() && !check.place.is_empty() && !check.why.is_empty();
        if !seen.insert(check.name) || check.points == 0 || !check.tolerance.is_finite() || !told {
            faults.push(check.name.to_owned());
        }
    }
    none(&faults);
}

#[test]
fn half_of_the_checks_or_more_stand_on_measured_or_printed_data() {
    let checks = checks();
    let solid = checks.iter().filter(|check| check.measured_or_printed).count();
    assert!(2 * solid >= checks.len(), "{solid} of {}", checks.len());
}

#[test]
fn the_committed_page_is_what_the_checks_say() -> Result<(), Any> {
    let committed = fs::read_to_string(root().join("VALIDATION.md"))?;
    let now = jarwright_checks::validation_markdown();
    let mut faults = Vec::new();
    let (mut old, mut new) = (committed.lines(), now.lines());
    for number in 1..=committed.lines().count().max(now.lines().count()) {
        let (was, is) = (old.next().unwrap_or_default(), new.next().unwrap_or_default());
        if was != is && faults.len() < 20 {
            faults.push(format!("line {number}\n    committed {was}\n    now       {is}"));
        }
    }
    if !faults.is_empty() {
        faults.push("cargo run -p jarwright-checks --example validation > VALIDATION.md".into());
    }
    none(&faults);
    Ok(())
}
