//! Files that a person can read in one sitting, and nothing left undone in them.

use jarwright_tidy::{Text, texts};

use crate::{Any, none};

/// Look for a seam before this.
const MOST_LINES: usize = 800;

fn sources() -> Result<Vec<Text>, Any> {
    let all = texts("")?.into_iter();
    Ok(all.filter(|file| file.path.ends_with(".rs")).collect())
}

#[test]
fn no_source_file_is_longer_than_a_sitting() -> Result<(), Any> {
    let faults: Vec<String> = sources()?
        .iter()
        .map(|file| (&file.path, file.text.lines().count()))
        .filter(|(_, lines)| *lines > MOST_LINES)
        .map(|(path, lines)| format!("{path}: {lines} lines"))
        .collect();
    none(&faults);
    Ok(())
}

#[test]
fn nothing_is_left_undone_or_passed_over() -> Result<(), Any> {
    // Put together here so that this file is not its own fault.
    let undone = [
        ["to", "do!("],
        ["unimple", "mented!("],
        ["#[ig", "nore"],
        ["TO", "DO"],
        ["FIX", "ME"],
        ["XX", "X "],
    ];
    let mut faults = Vec::new();
    for file in sources()? {
        for word in undone.iter().map(|halves| halves.concat()) {
            if file.text.contains(&word) {
                faults.push(format!("{}: {word}", file.path));
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn every_file_says_first_what_it_is() -> Result<(), Any> {
    let faults: Vec<String> = sources()?
        .iter()
        .filter(|file| !file.is_tests() && !file.text.starts_with("//!"))
        .map(|file| file.path.clone())
        .collect();
    none(&faults);
    Ok(())
}
