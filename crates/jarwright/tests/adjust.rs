//! `jarwright adjust` as people run it: what is said, written and refused.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

const NOW: &str = "2026-11-25 12:00";

/// A data folder with the demo's files.
struct Kitchen {
    dir: TempDir,
}

impl Kitchen {
    fn new() -> Result<Self, Any> {
        let dir = tempfile::tempdir()?;
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
        fs::create_dir(dir.path().join("formulas"))?;
        for name in ["kitchen.toml", "stores.toml"] {
            fs::copy(demo.join(name), dir.path().join(name))?;
        }
        for entry in fs::read_dir(demo.join("formulas"))? {
            let entry = entry?;
            fs::copy(entry.path(), dir.path().join("formulas").join(entry.file_name()))?;
        }
        Ok(Self { dir })
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn run(&self, command: &str, args: &[&str]) -> Result<Output, Any> {
        let output = Command::new(env!("CARGO_BIN_EXE_jarwright"))
            .env_remove("JARWRIGHT_DATA")
            .env("NO_COLOR", "1")
            .stdin(Stdio::null())
            .arg(command)
            .args(args)
            .args(["--now", NOW, "--data"])
            .arg(self.dir.path())
            .output()?;
        Ok(output)
    }

    fn adjust(&self, args: &[&str]) -> Result<Output, Any> {
        self.run("adjust", args)
    }
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn the_answer_shows_before_and_after_and_says_what_it_does_not_do() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.adjust(&["passion-fruit-curd", "--to", "ph<=3.9", "--keep", "butter"])?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let said = out(&output);
    for words in [
        "CAN IT BE DONE?",
        "met, by the upper end of the band",
        "LINE BY LINE",
        "kept",
        "TESTED SCHEDULE",
        "WHERE IT MAY BE KEPT",
        "a computed pH releases nothing",
        "Local law and a licensed authority decide",
    ] {
        assert!(said.contains(words), "no {words} in\n{said}");
    }
    assert!(said.lines().all(|line| line.chars().count() <= 88), "{said}");
    Ok(())
}

#[test]
fn the_json_has_the_figures_and_nothing_else_is_printed() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.adjust(&["lime-curd", "--to", "brix 50", "--json"])?;
    let answer: Value = serde_json::from_slice(&output.stdout)?;
    assert_eq!(answer["met"], true);
    assert_eq!(answer["lines_changed"], 1);
    let after = answer["targets"][0]["after"]["value"].as_f64().ok_or("no value")?;
    assert!((after - 50.0).abs() <= 0.1, "{after}");
    assert_eq!(answer["schedule"]["before"], "curd-lime-half-pint");
    assert_eq!(answer["schedule"]["inside_after"], false);
    assert!(answer["assay"][1]["after"]["high"].is_number(), "{}", answer["assay"]);
    Ok(())
}

#[test]
fn the_new_formula_is_written_once_and_can_be_planned() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let new = kitchen.path("formulas/sweeter-curd.toml");
    let place = new.display().to_string();
    let first = kitchen.adjust(&["lime-curd", "--to", "brix 50", "--out", &place])?;
    assert_eq!(first.status.code(), Some(0), "{}", err(&first));
    let text = fs::read_to_string(&new)?;
    assert!(!text.contains("schedule ="), "{text}");
    assert!(
        text.contains("form = \"superfine\"") && text.contains("step = \"rub with the zest"),
        "{text}"
    );
    let plan = kitchen.run("plan", &["sweeter-curd", "--jars", "4", "--jar", "half-pint"])?;
    assert_eq!(plan.status.code(), Some(0), "{}", err(&plan));
    // A second time it is refused before anything is computed, and the file is as it was.
    let second = kitchen.adjust(&["lime-curd", "--to", "brix 52", "--out", &place])?;
    assert_eq!(second.status.code(), Some(2));
    assert!(
        err(&second).contains("no formula is written over another"),
        "{}",
        err(&second)
    );
    assert_eq!(fs::read_to_string(&new)?, text);
    Ok(())
}

#[test]
fn what_cannot_be_met_ends_with_three_and_writes_nothing() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let new = kitchen.path("new.toml");
    let place = new.display().to_string();
    let output = kitchen.adjust(&["apricot-jam", "--to", "fat 10", "--out", &place])?;
    assert_eq!(output.status.code(), Some(3), "{}", err(&output));
    let said = out(&output);
    assert!(
        said.contains("What binds: fat = 10 %") && said.contains("NOT MET"),
        "{said}"
    );
    assert!(said.contains("Nothing was written"), "{said}");
    assert!(!new.exists());
    Ok(())
}

#[test]
fn a_stop_is_moved_for_a_boiled_food_and_the_answer_says_so() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.adjust(&["apricot-jam", "--to", "brix 68"])?;
    assert_eq!(output.status.code(), Some(0));
    assert!(
        out(&output).contains("the pot stops at 68 Bx, not at 65 Bx"),
        "{}",
        out(&output)
    );
    Ok(())
}

#[test]
fn a_swap_says_what_was_kept() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.adjust(&["dill-pickles", "--swap", "vinegar, 5 % = vinegar, 4 %"])?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let said = out(&output);
    assert!(
        said.contains("SWAPPED IN") && said.contains("acid, as citric:") && said.contains("kept"),
        "{said}"
    );
    assert!(said.contains("LOST: dill-quick-pint"), "{said}");
    Ok(())
}

#[test]
fn bad_input_ends_with_two_and_a_remedy() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    for (args, says) in [
        (&["no-such-curd", "--to", "brix 60"][..], "no formula \"no-such-curd\""),
        (&["lime-curd"], "nothing is asked"),
        (&["lime-curd", "--to", "brx 60"], "did you mean \"brix\"?"),
        (&["lime-curd", "--to", "brix 120"], "from 0 to 85"),
        (&["lime-curd", "--to", "ph -1"], "from 1.5 to 9"),
        (&["lime-curd", "--to", "ph NaN"], "is not a number"),
        (&["lime-curd", "--to", "aw 85"], "such as 0.85"),
        (&["lime-curd", "--to", "brix 50", "--to", "brix 60"], "contradict"),
        (
            &["lime-curd", "--to", "brix 50", "--keep", "flour"],
            "the lines are: sugar;",
        ),
        (
            &["lime-curd", "--to", "brix 50", "--keep", "buter"],
            "did you mean \"butter, unsalted\"?",
        ),
        (&["lime-curd", "--to", "brix 50", "--at-most", "-1"], "bounds"),
        (
            &["lime-curd", "--swap", "egg, whole = tofu"],
            "unknown ingredient \"tofu\"",
        ),
        (&["lime-curd", "--swap", "egg, whole = butter"], "is no egg"),
        (&["lime-curd", "--to", "brix 50", "--jar", "bucket"], "unknown jar"),
        (&["lime-curd", "--to", "brix 50", "--out", "new.txt"], ".toml"),
        (&["lime-curd", "--to", "brix 50", "--market", "MARS"], "possible values"),
    ] {
        let output = kitchen.adjust(args)?;
        assert_eq!(output.status.code(), Some(2), "{args:?}: {}", out(&output));
        let said = err(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(says), "{args:?}: {said}");
        assert!(out(&output).is_empty(), "{args:?}");
    }
    // Everything kept: nothing is left.
    let all = ["sugar", "lime zest", "lime juice", "butter", "egg yolk", "egg, whole"];
    let mut args = vec!["lime-curd", "--to", "brix 50"];
    args.extend(all.iter().flat_map(|line| ["--keep", *line]));
    let output = kitchen.adjust(&args)?;
    assert_eq!(output.status.code(), Some(2));
    assert!(
        err(&output).contains("no line of Lime curd is left"),
        "{}",
        err(&output)
    );
    Ok(())
}

#[test]
fn a_formula_whose_acidity_nobody_knows_gets_no_ph() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let file = kitchen.path("formulas/lime-curd.toml");
    let text = fs::read_to_string(&file)?.replace("\"butter, unsalted\"", "\"peanut butter\"");
    fs::write(&file, text)?;
    let output = kitchen.adjust(&["lime-curd", "--to", "ph<=3.9"])?;
    assert_eq!(output.status.code(), Some(2), "{}", out(&output));
    let said = err(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("cannot be told") && said.contains("stores file"),
        "{said}"
    );
    Ok(())
}

#[test]
fn the_help_has_examples_and_the_exit_codes() -> Result<(), Any> {
    let output = Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .args(["adjust", "--help"])
        .output()?;
    let said = out(&output);
    assert!(
        said.contains("Examples:") && said.contains("--swap") && said.contains("Exit codes: 0 done, 2"),
        "{said}"
    );
    Ok(())
}
