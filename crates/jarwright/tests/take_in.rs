//! `jarwright take-in` as people run it: what is asked, answered, written and refused.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

const SPREAD: &str = "Lemon spread\n\nIngredients\n3-4 tbsp honey\n1 1/2 cups superfine sugar\n1 cup lemon juice\n\
    6 large egg yolks\n\nMethod\nHeat to 77 C, then fill.\nProcess 10 minutes.\n";

const ANSWERS: [&str; 6] = [
    "--food=curd",
    "--answer=cup=us",
    "--answer=1.range=b",
    "--answer=3.juice=a",
    "--answer=stop-at=77 C",
    "--json",
];

struct Desk {
    dir: TempDir,
}

impl Desk {
    fn new(recipe: &[u8]) -> Result<Self, Any> {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("spread.txt"), recipe)?;
        Ok(Self { dir })
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn run(&self, args: &[&str]) -> Result<Output, Any> {
        Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
            .current_dir(self.dir.path())
            .env("JARWRIGHT_DATA", self.dir.path())
            .env("NO_COLOR", "1")
            .stdin(Stdio::null())
            .args(["take-in", "spread.txt"])
            .args(args)
            .output()?)
    }
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn what_is_doubtful_is_asked_and_nothing_is_written() -> Result<(), Any> {
    let desk = Desk::new(SPREAD.as_bytes())?;
    let output = desk.run(&["--food", "curd", "--out", "spread.toml"])?;
    assert_eq!(output.status.code(), Some(2), "{}", err(&output));
    assert!(!desk.path("spread.toml").exists());
    let said = out(&output);
    for words in [
        "Lemon spread",
        "WHAT ONLY YOU CAN SAY",
        "SET ASIDE",
        "STEPS, AS WRITTEN",
        "1.range",
        "b  middle: 3 1/2 tbsp",
        "cup  Whose cups",
        "3.juice",
        "stop-at",
        "4 open; nothing is written",
        "no tested schedule",
        "Local law and a licensed authority decide",
    ] {
        assert!(said.contains(words), "no {words} in\n{said}");
    }
    assert!(said.lines().all(|line| line.chars().count() <= 88), "{said}");
    Ok(())
}

#[test]
fn a_draft_with_its_marks_is_written_for_an_editor_and_is_no_formula() -> Result<(), Any> {
    let desk = Desk::new(SPREAD.as_bytes())?;
    let output = desk.run(&["--food", "curd", "--draft", "draft.toml"])?;
    assert_eq!(output.status.code(), Some(2), "{}", err(&output));
    let text = fs::read_to_string(desk.path("draft.toml"))?;
    for words in ["DECIDE 1.range", "amount = \"?\"", "to_decide = [", "# Set aside"] {
        assert!(text.contains(words), "no {words} in\n{text}");
    }
    let again = desk.run(&["--draft", "draft.toml"])?;
    assert!(
        err(&again).contains("no formula is written over another"),
        "{}",
        err(&again)
    );
    Ok(())
}

#[test]
fn answered_it_is_written_once_and_can_be_adjusted() -> Result<(), Any> {
    let desk = Desk::new(SPREAD.as_bytes())?;
    let mut args = ANSWERS[..5].to_vec();
    args.push("--out=spread.toml");
    let first = desk.run(&args)?;
    assert_eq!(first.status.code(), Some(0), "{}{}", out(&first), err(&first));
    let text = fs::read_to_string(desk.path("spread.toml"))?;
    assert!(text.starts_with("# Taken in from outside."), "{text}");
    assert!(
        text.contains("amount = \"3 1/2 tbsp\"") && text.contains("lemon juice, bottled"),
        "{text}"
    );
    assert!(!text.contains("schedule ="), "{text}");
    let second = desk.run(&args)?;
    assert_eq!(second.status.code(), Some(2));
    assert!(err(&second).contains("no formula is written over another"));
    assert_eq!(fs::read_to_string(desk.path("spread.toml"))?, text);
    Ok(())
}

#[test]
fn json_holds_the_draft_its_questions_and_the_formula() -> Result<(), Any> {
    let desk = Desk::new(SPREAD.as_bytes())?;
    let open: Value = serde_json::from_slice(&desk.run(&["--json"])?.stdout)?;
    assert_eq!(open["formula"], Value::Null);
    assert_eq!(open["draft"]["lines"][0]["amount"], Value::Null);
    assert_eq!(open["draft"]["lines"][0]["doubts"][0]["choices"][2]["amount"], "4 tbsp");
    assert_eq!(open["draft"]["lines"][3]["amount"], "6 large");
    let done: Value = serde_json::from_slice(&desk.run(&ANSWERS)?.stdout)?;
    assert!(
        done["formula"].as_str().is_some_and(|text| text.contains("[[line]]")),
        "{done}"
    );
    Ok(())
}

#[test]
fn a_saved_page_is_taken_in() -> Result<(), Any> {
    let page = "<html><script type=\"application/ld+json\">{\"@type\":\"Recipe\",\"name\":\"Syrup\",\
        \"recipeIngredient\":[\"500 g sugar\",\"500 g water\"]}</script></html>";
    let desk = Desk::new(page.as_bytes())?;
    let output = desk.run(&["--food", "syrup", "--answer", "stop-at=boil"])?;
    assert_eq!(output.status.code(), Some(0), "{}{}", out(&output), err(&output));
    assert!(out(&output).contains("amount = \"500 g\""));
    Ok(())
}

#[test]
fn bad_input_ends_with_two_and_says_what_to_do() -> Result<(), Any> {
    let desk = Desk::new(SPREAD.as_bytes())?;
    for (args, said) in [
        (["--answer", "1.range"], "has no \"=\""),
        (["--answer", "1.range=z"], "a letter from a to c"),
        (["--answer", "1.rnage=a"], "no question \"1.rnage\""),
        (["--answer", "cup=tea"], "a letter from a to d"),
        (["--answer", "stop-at=soon"], "65 Bx"),
        (["--answer", "1.range=two handfuls"], "no number"),
        (["--food", "soup"], "a letter from a to n"),
        (["--out", "spread.txt"], "no formula is written over another"),
        (["--out", "spread.md"], "end in .toml"),
        (["--stores", "none.toml"], "none.toml"),
    ] {
        let output = desk.run(&args)?;
        assert_eq!(output.status.code(), Some(2), "{args:?}: {}", out(&output));
        assert!(err(&output).contains(said), "{args:?}: {}", err(&output));
    }
    for (recipe, said) in [
        (&b"<html></html>"[..], "paste the recipe's lines"),
        (b"", "no ingredient line"),
        (b"\xff\xfe", "not UTF-8"),
        (b"{\"@type\":", "not JSON"),
    ] {
        let output = Desk::new(recipe)?.run(&[])?;
        assert_eq!(output.status.code(), Some(2));
        assert!(err(&output).contains(said), "{}", err(&output));
    }
    Ok(())
}

#[test]
fn nothing_from_a_recipe_moves_the_cursor() -> Result<(), Any> {
    let desk = Desk::new("2 cups sugar\u{1b}[2J\u{202e}\r\nHoney\u{7} 5 g\n".as_bytes())?;
    let said = out(&desk.run(&[])?);
    assert!(
        said.chars().all(|c| c == '\n' || (!c.is_control() && c != '\u{202e}')),
        "{said:?}"
    );
    Ok(())
}
