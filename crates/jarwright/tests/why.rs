//! `jarwright why` over a saved answer, as people run it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::{Value, json};
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

/// A folder with the answers of three commands, saved.
struct Saved {
    dir: TempDir,
}

fn run(args: &[&str]) -> Result<Output, Any> {
    Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .env(
            "JARWRIGHT_DATA",
            Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo"),
        )
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .args(args)
        .output()?)
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn done(args: &[&str]) -> Result<String, Any> {
    let output = run(args)?;
    let complaint = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{args:?}: {complaint}");
    Ok(out(&output))
}

/// Exit 2, nothing on the output, a complaint that says `words` and what to do.
fn refused(args: &[&str], words: &str) -> Result<(), Any> {
    let output = run(args)?;
    let complaint = String::from_utf8_lossy(&output.stderr).replace('\n', " ");
    let complaint = complaint.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(output.status.code(), Some(2), "{args:?}: {complaint}");
    assert!(output.stdout.is_empty());
    assert!(complaint.contains(words), "{args:?}: {complaint}");
    let tells = ["hint:", "help:", "--help"]
        .iter()
        .any(|words| complaint.contains(words));
    assert!(tells, "{args:?}: {complaint}");
    Ok(())
}

impl Saved {
    fn new() -> Result<Self, Any> {
        let dir = tempfile::tempdir()?;
        let saved: [(&str, &[&str]); 3] = [
            (
                "plan.json",
                &[
                    "plan",
                    "lime-curd",
                    "--jars",
                    "12",
                    "--jar",
                    "half-pint",
                    "--now",
                    "2026-11-25 12:00",
                ],
            ),
            ("assay.json", &["assay", "apricot-jam"]),
            ("adjust.json", &["adjust", "lime-curd", "--to", "fat 12"]),
        ];
        for (name, args) in saved {
            fs::write(dir.path().join(name), done(&[args, &["--json"]].concat())?)?;
        }
        Ok(Self { dir })
    }

    fn path(&self, name: &str) -> String {
        self.dir.path().join(name).to_string_lossy().into_owned()
    }

    fn json(&self, name: &str) -> Result<Value, Any> {
        Ok(serde_json::from_str(&fs::read_to_string(self.path(name))?)?)
    }

    /// The saved plan with one place changed, under another name.
    fn changed(&self, place: &str, to: Value) -> Result<String, Any> {
        let mut plan = self.json("plan.json")?;
        *plan.pointer_mut(place).ok_or(place.to_owned())? = to;
        let path = self.path("changed.json");
        fs::write(&path, plan.to_string())?;
        Ok(path)
    }
}

#[test]
fn figures_of_a_saved_plan_assay_and_adjustment_are_listed_and_walked() -> Result<(), Any> {
    let saved = Saved::new()?;
    for name in ["plan.json", "assay.json", "adjust.json"] {
        let path = saved.path(name);
        let quantities = saved.json(name)?["quantities"]
            .as_object()
            .ok_or("no quantities")?
            .clone();
        let listed = done(&["why", "--of", &path])?;
        for handle in quantities.keys() {
            assert!(
                listed
                    .lines()
                    .any(|line| line.split_whitespace().next() == Some(handle)),
                "{name} {handle}"
            );
        }
        let computed = quantities
            .iter()
            .filter(|(_, figure)| figure["basis"]["kind"] == "computed")
            .max_by_key(|(handle, _)| handle[1..].parse::<u32>().unwrap_or(0))
            .ok_or("nothing is computed")?;
        let short = done(&["why", computed.0, "--of", &path])?;
        let long = done(&["why", computed.0, "--of", &path, "--all"])?;
        assert!(
            short.contains("Computed: ") && short.contains(&format!("[{}]", computed.0)),
            "{short}"
        );
        assert!(long.len() >= short.len());
        // Down to a leaf: somebody entered it or a document says it.
        assert!(long.contains("Entered: ") || long.contains("Published"), "{long}");
    }
    Ok(())
}

#[test]
fn a_limit_is_told_from_both_ends() -> Result<(), Any> {
    let saved = Saved::new()?;
    let plan = saved.json("plan.json")?;
    let ph = plan["stages"][0]["assay"]["ph"]["id"].as_str().ok_or("no pH")?;
    let held = plan["quantities"]
        .as_object()
        .ok_or("no quantities")?
        .iter()
        .find(|(_, figure)| figure["unit"] == plan["quantities"][ph]["unit"] && figure["limits"].is_array())
        .ok_or("no pH is held against a limit")?;
    let limit = held.1["limits"][0]["id"].as_str().ok_or("no limit")?;
    let path = saved.path("plan.json");
    assert!(done(&["why", held.0, "--of", &path])?.contains("held against, at most:"));
    let told = done(&["why", limit, "--of", &path])?;
    assert!(
        told.contains("a limit, at most, of:") && told.contains("Published"),
        "{told}"
    );
    Ok(())
}

#[test]
fn a_sheet_is_written_to_be_printed() -> Result<(), Any> {
    let saved = Saved::new()?;
    let plan = saved.json("plan.json")?;
    let ph = plan["stages"][0]["assay"]["ph"]["id"].as_str().ok_or("no pH")?;
    let dir = saved.path("sheets/of/today");
    let told = done(&["why", ph, "--of", &saved.path("plan.json"), "--out", &dir])?;
    let sheet = PathBuf::from(&dir).join(format!("why-{ph}.html"));
    assert!(told.contains("Sheet written"), "{told}");
    let html = fs::read_to_string(sheet)?;
    assert!(html.contains("<math") && html.trim_end().ends_with("</html>"));
    refused(&["why", ph, "--out", &dir], "--of")
}

#[test]
fn bad_input_stops_with_what_to_do() -> Result<(), Any> {
    let saved = Saved::new()?;
    let plan = saved.path("plan.json");
    refused(&["why", "q999999", "--of", &plan], "no figure \"q999999\"")?;
    refused(&["why", "lethality", "--of", &plan], "no figure \"lethality\"")?;
    refused(&["why", "q1"], "no saved answer is named")?;
    refused(&["why", "q1", "--of", &saved.path("nothing.json")], "nothing.json")?;
    refused(&["why", "q1", "--of", &saved.path("")], "folder")?;
    for (text, words) in [
        ("", "is no JSON"),
        ("not json", "is no JSON"),
        ("[1, 2]", "has no figures"),
        ("{\"quantities\": 3}", "has no figures"),
        ("{\"quantities\": {\"q1\": 7}}", "is no figure"),
    ] {
        let path = saved.path("bad.json");
        fs::write(&path, text)?;
        refused(&["why", "q1", "--of", &path], words)?;
    }
    let (first, computed) = {
        let plan = saved.json("plan.json")?;
        let all = plan["quantities"].as_object().ok_or("no quantities")?.clone();
        let computed = all.iter().find(|(_, figure)| figure["basis"]["kind"] == "computed");
        let first = all.keys().next().ok_or("no figure")?.clone();
        (first, computed.ok_or("nothing is computed")?.0.clone())
    };
    let place = |figure: &str, key: &str| format!("/quantities/{figure}/{key}");
    for (place, to, words) in [
        (place(&first, "id"), json!("../../elsewhere"), "no handle"),
        (place(&first, "id"), json!("q424242"), "calls itself q424242"),
        (place(&first, "value"), json!(null), "has no value"),
        (place(&first, "unit"), json!("furlong"), "unit that is not known"),
        (place(&first, "band"), json!("guess"), "band of no known kind"),
        (place(&first, "basis/kind"), json!("guess"), "basis of no known kind"),
        (place(&computed, "basis/text"), json!("y = 2 x"), "another version"),
        (
            place(&computed, "basis/equation"),
            json!("none-such"),
            "another version",
        ),
        (place(&computed, "basis/inputs/0/id"), json!("7"), "no handle"),
    ] {
        let path = saved.changed(&place, to)?;
        refused(&["why", &first, "--of", &path], words)?;
    }
    Ok(())
}
