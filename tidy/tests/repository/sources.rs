//! No number without a source: every key that is used is a row of the sources table.

use std::collections::BTreeSet;

use jarwright_figure::{Equation, Mark};
use jarwright_reference::{source, sources};
use jarwright_tidy::{Text, texts};

use crate::{Any, checks, none};

const DATA: &str = "crates/jarwright-reference/data";

/// Tables without a column of sources, and why.
const WITHOUT: [(&str, &str); 5] = [
    ("sources.csv", "the table itself"),
    (
        "ingredients/names.csv",
        "the trade's names and this project's own classes; no numbers",
    ),
    (
        "schedules/formulas.csv",
        "lines of a schedule, whose own row has the source",
    ),
    (
        "schedules/cfr21_150_fruits.csv",
        "one document, 21 CFR 150, named by the file",
    ),
    (
        "harbours/fill_temperature_arkansas.csv",
        "one document, named by the file",
    ),
];

fn tables() -> Result<Vec<Text>, Any> {
    Ok(texts(DATA)?
        .into_iter()
        .filter(|file| file.path.ends_with(".csv"))
        .collect())
}

fn inside(file: &Text) -> &str {
    file.path
        .strip_prefix(DATA)
        .unwrap_or(&file.path)
        .trim_start_matches('/')
}

#[test]
fn every_equation_has_a_source_in_the_table() {
    let all: Vec<&Equation> = [
        jarwright_matter::EQUATIONS,
        jarwright_heat::EQUATIONS,
        jarwright_dose::EQUATIONS,
        jarwright_kitchen::EQUATIONS,
    ]
    .concat();
    let faults: Vec<String> = all
        .iter()
        .filter(|equation| source(equation.source).is_none())
        .map(|equation| format!("{}: {}", equation.key, equation.source))
        .collect();
    none(&faults);
}

#[test]
fn every_row_of_every_table_has_a_source_in_the_table() -> Result<(), Any> {
    let mut faults = Vec::new();
    for file in tables()? {
        let mut rows = csv::Reader::from_reader(file.text.as_bytes());
        let Some(column) = rows.headers()?.iter().position(|name| name == "source") else {
            continue;
        };
        for (number, row) in rows.records().enumerate() {
            let row = row?;
            let key = row.get(column).unwrap_or_default();
            if source(key).is_none() {
                faults.push(format!("{} row {}: `{key}`", inside(&file), number + 1));
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn every_cell_with_a_source_of_its_own_names_one_in_the_table() -> Result<(), Any> {
    let mut faults = Vec::new();
    for file in tables()? {
        let mut rows = csv::Reader::from_reader(file.text.as_bytes());
        for (number, row) in rows.records().enumerate() {
            for part in row?.iter().flat_map(|cell| cell.split(';')) {
                // `15 seen-2 : key : place`, as the schedules write it.
                let pieces: Vec<&str> = part.split(" : ").map(str::trim).collect();
                let [value, key, _] = pieces[..] else { continue };
                let marked = value.rsplit(' ').next().and_then(Mark::parse).is_some();
                if marked && source(key).is_none() {
                    faults.push(format!("{} row {}: `{key}`", inside(&file), number + 1));
                }
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn every_table_says_where_it_is_from() -> Result<(), Any> {
    let mut faults = Vec::new();
    for file in tables()? {
        let name = inside(&file);
        let stem = name.rsplit('/').next().unwrap_or(name).trim_end_matches(".csv");
        let column = file
            .text
            .lines()
            .next()
            .is_some_and(|head| head.split(',').any(|name| name == "source"));
        let excepted = WITHOUT.iter().any(|(path, _)| *path == name);
        if !column && source(stem).is_none() && !excepted {
            faults.push(format!(
                "{name} has no column `source`, and its name is no key of a source"
            ));
        }
    }
    for (path, why) in WITHOUT {
        if !tables()?.iter().any(|file| inside(file) == path) {
            faults.push(format!("{path} ({why}) is excepted and not there"));
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn every_check_has_a_source_in_the_table() {
    let faults: Vec<String> = checks()
        .iter()
        .filter(|check| source(check.source).is_none())
        .map(|check| format!("{}: {}", check.name, check.source))
        .collect();
    none(&faults);
}

#[test]
fn every_key_under_a_source_heading_is_in_the_table() -> Result<(), Any> {
    let files = texts("crates")?;
    let code: String = files.iter().map(|file| file.text.as_str()).collect();
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.path.ends_with(".rs")) {
        for section in file.text.split("/// # Source").skip(1) {
            let lines = section
                .lines()
                .skip(1)
                .map(str::trim_start)
                .take_while(|line| line.starts_with("///"));
            let words: Vec<&str> = lines.flat_map(|line| line.split('`').skip(1).step_by(2)).collect();
            for word in words {
                let keylike = word.contains('_')
                    && word
                        .chars()
                        .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
                let function = code.contains(&format!("fn {word}("));
                if keylike && !function && source(word).is_none() {
                    faults.push(format!("{}: `{word}`", file.path));
                }
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn every_source_is_used() -> Result<(), Any> {
    let mut used = BTreeSet::new();
    for file in texts("crates")?.iter().chain(&texts("checks")?) {
        if file.path.ends_with("sources.csv") {
            continue;
        }
        let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
        used.extend(file.text.split(|c| !word(c)).map(str::to_owned));
        used.extend(file.path.split(['/', '.']).map(str::to_owned));
    }
    let faults: Vec<String> = sources()
        .iter()
        .filter(|row| !used.contains(&row.key))
        .map(|row| row.key.clone())
        .collect();
    none(&faults);
    Ok(())
}
