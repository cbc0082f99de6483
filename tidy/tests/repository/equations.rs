//! Every equation that a figure can be computed with is listed, under a key of its own.

use std::collections::{BTreeMap, BTreeSet};

use jarwright_figure::Equation;
use jarwright_tidy::texts;

use crate::{Any, none};

const COMPUTING: [(&str, &[&Equation]); 4] = [
    ("jarwright-matter", jarwright_matter::EQUATIONS),
    ("jarwright-heat", jarwright_heat::EQUATIONS),
    ("jarwright-dose", jarwright_dose::EQUATIONS),
    ("jarwright-kitchen", jarwright_kitchen::EQUATIONS),
];

fn all() -> impl Iterator<Item = &'static Equation> {
    COMPUTING.iter().flat_map(|(_, equations)| equations.iter().copied())
}

/// The value of `key: "..."` after each `static NAME: Equation`.
fn keys_in(text: &str) -> Vec<&str> {
    text.split(": Equation = Equation {")
        .skip(1)
        .filter_map(|rest| rest.split_once("key: \"")?.1.split('"').next())
        .collect()
}

#[test]
fn every_equation_in_the_sources_is_listed() -> Result<(), Any> {
    let mut faults = Vec::new();
    for (name, equations) in COMPUTING {
        let listed: BTreeSet<&str> = equations.iter().map(|equation| equation.key).collect();
        for file in texts(&format!("crates/{name}/src"))? {
            for key in keys_in(file.before_tests())
                .into_iter()
                .filter(|key| !listed.contains(key))
            {
                faults.push(format!("{}: {key} is not in {name}'s EQUATIONS", file.path));
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn no_other_crate_keeps_equations() -> Result<(), Any> {
    let computing: BTreeSet<&str> = COMPUTING.iter().map(|(name, _)| *name).collect();
    let files = texts("crates")?;
    let faults: Vec<String> = files
        .iter()
        .filter(|file| !file.is_tests() && !keys_in(file.before_tests()).is_empty())
        .filter(|file| !computing.contains(file.path.split('/').nth(1).unwrap_or_default()))
        .map(|file| format!("{} has equations that `why` does not know", file.path))
        .collect();
    none(&faults);
    Ok(())
}

#[test]
fn every_equation_has_a_key_of_its_own() {
    let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
    let mut faults = Vec::new();
    for equation in all() {
        if let Some(other) = seen.insert(equation.key, equation.title) {
            faults.push(format!("{}: {other} and {}", equation.key, equation.title));
        }
    }
    none(&faults);
}

#[test]
fn every_equation_says_what_it_is() {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let faults: Vec<String> = all()
        .filter(|equation| equation.title.is_empty() || equation.text.is_empty() || !equation.key.chars().all(plain))
        .map(|equation| equation.key.to_owned())
        .collect();
    none(&faults);
}
