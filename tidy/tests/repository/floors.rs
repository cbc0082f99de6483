//! A crate uses only what stands below it, and a library only where it belongs.

use std::collections::BTreeMap;

use jarwright_tidy::{folders, root, texts};
use toml::{Table, Value};

use crate::{Any, none};

/// The house, floor by floor. A new crate gets its line here and in ARCHITECTURE.md.
const FLOORS: [(&str, u8); 11] = [
    ("jarwright-figure", 0),
    ("jarwright-reference", 1),
    ("jarwright-matter", 1),
    ("jarwright-heat", 2),
    ("jarwright-dose", 2),
    ("jarwright-kitchen", 3),
    ("jarwright-ledger", 4),
    ("jarwright-papers", 4),
    ("jarwright-stove", 4),
    ("jarwright-pages", 5),
    ("jarwright", 6),
];

/// Which crates may name a library. What is not here is used by none; tests and benches may
/// use what is in [`FOR_TESTS`] anywhere.
const LIBRARIES: &[(&str, &[&str])] = &[
    ("argon2", &["jarwright-pages"]),
    ("axum", &["jarwright-pages"]),
    ("clap", &["jarwright"]),
    ("csv", &["jarwright-reference"]),
    ("encoding_rs", &["jarwright-stove"]),
    ("encoding_rs_io", &["jarwright-stove"]),
    ("form_urlencoded", &["jarwright-pages"]),
    ("getrandom", &["jarwright-pages"]),
    ("hyper", &["jarwright-pages"]),
    ("hyper-util", &["jarwright-pages"]),
    (
        "jiff",
        &[
            "jarwright-kitchen",
            "jarwright-ledger",
            "jarwright-stove",
            "jarwright-pages",
            "jarwright",
        ],
    ),
    ("maud", &["jarwright-papers", "jarwright-pages"]),
    ("miette", &["jarwright"]),
    ("nalgebra", &["jarwright-heat"]),
    ("rand", &["jarwright-figure"]),
    ("rand_chacha", &["jarwright-figure"]),
    ("rcgen", &["jarwright"]),
    ("rustls", &["jarwright-pages"]),
    (
        "serde",
        &[
            "jarwright-figure",
            "jarwright-kitchen",
            "jarwright-stove",
            "jarwright-pages",
            "jarwright",
        ],
    ),
    ("serde_json", &["jarwright-kitchen", "jarwright-pages", "jarwright"]),
    ("seuif97", &["jarwright-matter"]),
    ("sha2", &["jarwright-kitchen", "jarwright-pages"]),
    ("similar", &["jarwright-pages"]),
    ("sqlx", &["jarwright-ledger"]),
    ("statrs", &["jarwright-dose", "jarwright-figure", "jarwright-heat"]),
    ("strsim", &["jarwright-kitchen"]),
    ("tokio", &["jarwright-ledger", "jarwright-pages", "jarwright"]),
    ("tokio-rustls", &["jarwright-pages"]),
    ("tokio-stream", &["jarwright-pages"]),
    ("toml", &["jarwright-kitchen"]),
    ("toml_edit", &["jarwright-pages"]),
    ("tower", &["jarwright-pages"]),
    ("tower-http", &["jarwright-pages"]),
];

/// What stands beside the house and may name what its task needs.
const BESIDE: [&str; 3] = ["browser", "checks", "tidy"];

const FOR_TESTS: [&str; 8] = [
    "divan",
    "proptest",
    "rcgen",
    "roxmltree",
    "serde_json",
    "tempfile",
    "tokio",
    "toml",
];

fn manifest(name: &str) -> Result<Table, Any> {
    let path = root().join("crates").join(name).join("Cargo.toml");
    Ok(std::fs::read_to_string(path)?.parse()?)
}

/// Names under a heading of a manifest, also under each `target`.
fn named(manifest: &Table, heading: &str) -> Vec<String> {
    let under = |table: &Table| -> Vec<String> {
        table
            .get(heading)
            .and_then(Value::as_table)
            .into_iter()
            .flat_map(Table::keys)
            .cloned()
            .collect()
    };
    let targets = manifest.get("target").and_then(Value::as_table);
    let mut names = under(manifest);
    names.extend(
        targets
            .into_iter()
            .flat_map(Table::values)
            .filter_map(Value::as_table)
            .flat_map(under),
    );
    names
}

#[test]
fn every_crate_has_a_floor_and_every_floor_its_crates() -> Result<(), Any> {
    let mut listed: Vec<&str> = FLOORS.iter().map(|(name, _)| *name).collect();
    listed.sort_unstable();
    assert_eq!(folders("crates")?, listed);
    Ok(())
}

#[test]
fn a_crate_uses_only_lower_floors() -> Result<(), Any> {
    let floors: BTreeMap<&str, u8> = FLOORS.into();
    let mut faults = Vec::new();
    for (name, floor) in FLOORS {
        let manifest = manifest(name)?;
        for heading in ["dependencies", "dev-dependencies", "build-dependencies"] {
            for used in named(&manifest, heading)
                .iter()
                .filter(|used| used.starts_with("jarwright"))
            {
                let below = floors.get(used.as_str()).is_some_and(|&other| other < floor);
                // The program runs the checks; nothing else sees them.
                let checks = name == "jarwright" && used == "jarwright-checks";
                if !below && !checks {
                    faults.push(format!("{name} (floor {floor}) names {used} under {heading}"));
                }
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn a_library_is_named_only_where_it_belongs() -> Result<(), Any> {
    let allowed: BTreeMap<&str, &[&str]> = LIBRARIES.iter().copied().collect();
    let mut faults = Vec::new();
    for (name, _) in FLOORS {
        let manifest = manifest(name)?;
        for heading in ["dependencies", "build-dependencies"] {
            for used in named(&manifest, heading)
                .iter()
                .filter(|used| !used.starts_with("jarwright"))
            {
                if !allowed.get(used.as_str()).is_some_and(|crates| crates.contains(&name)) {
                    faults.push(format!("{name} names {used}"));
                }
            }
        }
        for used in named(&manifest, "dev-dependencies") {
            let known = FOR_TESTS.contains(&used.as_str()) || used.starts_with("jarwright");
            if !known {
                faults.push(format!("{name} names {used} for its tests"));
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn versions_and_features_stand_in_the_root_manifest() -> Result<(), Any> {
    let mut faults = Vec::new();
    for (name, _) in FLOORS {
        let manifest = manifest(name)?;
        for heading in ["dependencies", "dev-dependencies", "build-dependencies"] {
            for (used, how) in manifest.get(heading).and_then(Value::as_table).into_iter().flatten() {
                let inherits = how.get("workspace").and_then(Value::as_bool) == Some(true);
                if !inherits || how.get("features").is_some() {
                    faults.push(format!("{name}: {used} under {heading}"));
                }
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn what_stands_beside_the_house_takes_its_versions_from_the_root_too() -> Result<(), Any> {
    let mut faults = Vec::new();
    for folder in BESIDE {
        let manifest: Table = std::fs::read_to_string(root().join(folder).join("Cargo.toml"))?.parse()?;
        for (used, how) in manifest
            .get("dependencies")
            .and_then(Value::as_table)
            .into_iter()
            .flatten()
        {
            if how.get("workspace").and_then(Value::as_bool) != Some(true) || how.get("features").is_some() {
                faults.push(format!("{folder}: {used}"));
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn a_build_of_the_program_compiles_nothing_that_stands_beside_it() -> Result<(), Any> {
    let manifest: Table = std::fs::read_to_string(root().join("Cargo.toml"))?.parse()?;
    let usual = manifest["workspace"]["default-members"]
        .as_array()
        .into_iter()
        .flatten();
    let beside: Vec<String> = usual
        .filter_map(Value::as_str)
        .filter(|member| BESIDE.contains(member))
        .map(str::to_owned)
        .collect();
    none(&beside);
    Ok(())
}

#[test]
fn below_the_papers_nothing_reads_a_file_a_clock_or_the_network() -> Result<(), Any> {
    const OUTSIDE: [&str; 9] = [
        "std::fs",
        "std::net",
        "std::env",
        "std::process",
        "SystemTime",
        "Instant::now",
        "Zoned::now",
        "println!",
        "thread::sleep",
    ];
    let mut faults = Vec::new();
    for (name, _) in FLOORS.iter().filter(|(_, floor)| *floor < 4) {
        for file in texts(&format!("crates/{name}/src"))?
            .iter()
            .filter(|file| !file.is_tests())
        {
            for word in OUTSIDE.iter().filter(|word| file.before_tests().contains(*word)) {
                faults.push(format!("{}: {word}", file.path));
            }
        }
    }
    none(&faults);
    Ok(())
}
