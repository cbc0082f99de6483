//! What README.md shows is what the program does.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

/// A Wednesday.
const NOW: &str = "2026-11-25 12:00";

fn readme() -> Result<String, Any> {
    let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../README.md");
    Ok(fs::read_to_string(path)?)
}

/// Texts of the fenced blocks of one kind.
fn blocks<'a>(page: &'a str, kind: &str) -> Vec<&'a str> {
    let opening = format!("```{kind}\n");
    page.split(&opening)
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .collect()
}

/// Runs the program in a folder with a data folder inside it, at [`NOW`].
fn run(dir: &TempDir, data: &str, args: &[String]) -> Result<Output, Any> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_jarwright"));
    command
        .current_dir(dir.path())
        .env("JARWRIGHT_DATA", data)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .args(args);
    if matches!(args.first().map(String::as_str), Some("plan" | "demo")) {
        command.args(["--now", NOW]);
    }
    Ok(command.output()?)
}

fn demo(dir: &TempDir) -> Result<String, Any> {
    let output = run(dir, "jarwright-demo", &["demo".into()])?;
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    Ok(String::from_utf8(output.stdout)?)
}

/// Words of a command line; only double quotes quote.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, piece) in line.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(piece.to_owned());
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[test]
fn every_command_of_the_tour_runs() -> Result<(), Any> {
    let page = readme()?;
    let dir = tempfile::tempdir()?;
    demo(&dir)?;
    let mut ran = 0;
    for line in blocks(&page, "sh").iter().flat_map(|block| block.lines()) {
        let (line, remark) = line.split_once('#').unwrap_or((line, ""));
        // Setup asks a person; it has tests of its own.
        let Some(args) = line
            .strip_prefix("jarwright ")
            .filter(|args| !args.starts_with("setup"))
        else {
            continue;
        };
        let expected = remark.trim().strip_prefix("exit ").map_or(Ok(0), str::parse)?;
        let output = run(&dir, "jarwright-demo", &words(args))?;
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(expected), "{line}\n{said}");
        ran += 1;
    }
    assert!(ran > 8, "{ran} commands");
    Ok(())
}

#[test]
fn the_tour_names_every_command() -> Result<(), Any> {
    let page = readme()?;
    let dir = tempfile::tempdir()?;
    let help = String::from_utf8(run(&dir, "none", &["--help".into()])?.stdout)?;
    let (_, listed) = help.split_once("Commands:\n").ok_or("no list of commands")?;
    let commands: Vec<&str> = listed
        .lines()
        .take_while(|line| line.starts_with(' '))
        // What is indented further is the rest of a description.
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|command| *command != "help")
        .collect();
    assert!(commands.len() > 10, "{commands:?}");
    for command in commands {
        // The demo is the one command run before the program is on the path.
        let named = [format!("jarwright {command}"), format!("-- {command}")];
        assert!(
            named.iter().any(|words| page.contains(words)),
            "the tour lacks {command}"
        );
    }
    Ok(())
}

#[test]
fn the_jars_answer_is_what_the_demo_says() -> Result<(), Any> {
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let page = readme()?;
    let said = flat(&demo(&tempfile::tempdir()?)?);
    for block in blocks(&page, "text") {
        for part in block.split("\n...\n").map(flat) {
            assert!(said.contains(&part), "the demo no longer says: {part}");
        }
    }
    Ok(())
}

#[test]
fn the_three_files_plan_an_order() -> Result<(), Any> {
    let page = readme()?;
    let dir = tempfile::tempdir()?;
    fs::create_dir_all(dir.path().join("own/formulas"))?;
    let files = blocks(&page, "toml");
    for (sign, name) in [
        ("[[line]]", "own/formulas/strawberry-jam.toml"),
        ("[[pot]]", "own/kitchen.toml"),
        ("[[item]]", "own/stores.toml"),
    ] {
        let text = files.iter().find(|text| text.contains(sign)).ok_or(sign)?;
        fs::write(dir.path().join(name), text)?;
    }
    let args = words("plan strawberry-jam --jars 24 --jar half-pint --for own-use");
    let output = run(&dir, "own", &args)?;
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    Ok(())
}
