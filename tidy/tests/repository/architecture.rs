//! ARCHITECTURE.md and README.md name what is there.

use std::collections::BTreeSet;
use std::fs;

use jarwright_tidy::{backticked, folders, root};

use crate::{Any, none};

/// `crates/NAME` in backticks.
fn crates_named(page: &str) -> BTreeSet<String> {
    backticked(page)
        .into_iter()
        .filter_map(|text| text.strip_prefix("crates/"))
        .filter_map(|rest| rest.split('/').next())
        .filter(|name| !name.is_empty() && !name.contains('<'))
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_page_names_exactly_the_crates_that_exist() -> Result<(), Any> {
    let page = fs::read_to_string(root().join("ARCHITECTURE.md"))?;
    let there: BTreeSet<String> = folders("crates")?.into_iter().collect();
    assert_eq!(crates_named(&page), there);
    Ok(())
}

#[test]
fn the_page_names_exactly_the_folders_that_exist() -> Result<(), Any> {
    let page = fs::read_to_string(root().join("ARCHITECTURE.md"))?;
    let named: BTreeSet<String> = backticked(&page)
        .into_iter()
        .filter_map(|text| text.strip_suffix('/'))
        .filter(|name| !name.contains('/'))
        .map(str::to_owned)
        .collect();
    let there: BTreeSet<String> = folders("")?.into_iter().collect();
    assert_eq!(named, there);
    Ok(())
}

/// What the program, Cargo or the reader makes, which the pages may name.
const MADE: [&str; 4] = ["jarwright-demo/", "sheets/", "formulas/", "target/"];

#[test]
fn every_file_that_a_page_names_is_there() -> Result<(), Any> {
    let mut faults = Vec::new();
    for page in ["README.md", "ARCHITECTURE.md"] {
        let text = fs::read_to_string(root().join(page))?;
        let links = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
        let named = backticked(&text)
            .into_iter()
            .filter(|text| text.contains('/') && !text.contains(' '));
        for path in named.chain(links) {
            let pattern = path.contains(['<', '*', ':', '{']);
            let made = MADE.iter().any(|folder| path.starts_with(folder));
            if !pattern && !made && !root().join(path.trim_start_matches("./")).exists() {
                faults.push(format!("{page} names {path}"));
            }
        }
    }
    none(&faults);
    Ok(())
}
