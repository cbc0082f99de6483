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

/// Where a text makes an equation otherwise than as a static item of its own.
fn unlisted_makings(text: &str) -> Vec<&str> {
    text.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .filter(|line| line.contains("Equation {") && !line.contains("struct Equation {"))
        .filter(|line| {
            let line = line.trim_start();
            !(line.starts_with("pub static ") || line.starts_with("pub(crate) static "))
        })
        .collect()
}

#[test]
fn an_equation_is_a_static_item_so_that_it_can_be_listed() -> Result<(), Any> {
    let mut faults = Vec::new();
    for file in texts("crates")?
        .iter()
        .filter(|file| file.path.ends_with(".rs") && !file.is_tests())
    {
        let makings = unlisted_makings(file.before_tests());
        faults.extend(makings.iter().map(|line| format!("{}: {}", file.path, line.trim())));
    }
    none(&faults);
    assert_eq!(
        unlisted_makings("let e = &Equation {\npub static E: Equation = Equation {").len(),
        1
    );
    Ok(())
}

/// Files that make a figure otherwise than from a graph, and why that has a reason too.
const FIGURES_ANEW: [(&str, &str); 5] = [
    ("crates/jarwright-figure/src/figure.rs", "the graph's own view"),
    (
        "crates/jarwright-papers/src/words.rs",
        "a ratio shown in percent, all else of it kept",
    ),
    (
        "crates/jarwright-papers/src/why/limits.rs",
        "a difference, for its digits; never shown as a figure",
    ),
    (
        "crates/jarwright/src/text.rs",
        "a ratio shown in percent, all else of it kept",
    ),
    ("crates/jarwright/src/saved_figures.rs", "what was saved, read back"),
];

/// Whether a text makes a figure or the basis of one.
fn makes_figures(text: &str) -> bool {
    text.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .any(|line| {
            let makes = |what: &str| {
                line.match_indices(what).any(|(at, _)| {
                    let before = line[..at].trim_end();
                    let named = before
                        .chars()
                        .next_back()
                        .is_some_and(|c| c.is_alphanumeric() || c == '_');
                    // A type after an arrow or a declaration makes nothing.
                    !named && !before.ends_with("->") && !before.ends_with("struct") && !before.ends_with("impl")
                        || before.ends_with("return")
                })
            };
            makes("Figure {")
        })
}

#[test]
fn a_figure_comes_from_a_graph_and_so_has_a_reason() -> Result<(), Any> {
    let allowed: BTreeSet<&str> = FIGURES_ANEW.iter().map(|(path, _)| *path).collect();
    let faults: Vec<String> = texts("crates")?
        .iter()
        .filter(|file| file.path.ends_with(".rs") && !file.is_tests() && !allowed.contains(file.path.as_str()))
        .filter(|file| makes_figures(file.before_tests()))
        .map(|file| format!("{} makes a figure by hand: nothing says where it comes from", file.path))
        .collect();
    none(&faults);
    assert!(makes_figures("    let f = Figure {") && makes_figures("        Figure {"));
    assert!(!makes_figures("fn shown(&self, id: Id) -> Figure {") && !makes_figures("pub struct Figure {"));
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
