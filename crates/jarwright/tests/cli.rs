//! The program as people run it: exit codes, what is said where, and what bad input does.

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

/// A Wednesday; the demo's Saturday is then 5 December 2026.
const NOW: &str = "2026-11-25 12:00";

fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_jarwright"));
    command
        .env_remove("JARWRIGHT_DATA")
        .env("NO_COLOR", "1")
        .stdin(Stdio::null());
    command
}

fn run(args: &[&str]) -> Result<Output, Any> {
    Ok(program().args(args).output()?)
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A data folder with the demo's files, and the demo's own output.
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

    fn curd(&self) -> PathBuf {
        self.path("formulas/lime-curd.toml")
    }

    /// Changes the curd's text.
    fn change(&self, from: &str, to: &str) -> Result<(), Any> {
        let text = fs::read_to_string(self.curd())?;
        if !text.contains(from) {
            return Err(format!("the demo's curd has no {from}").into());
        }
        Ok(fs::write(self.curd(), text.replacen(from, to, 1))?)
    }

    fn plan(&self, args: &[&str]) -> Result<Output, Any> {
        let mut command = program();
        command
            .arg("plan")
            .args(args)
            .args(["--now", NOW, "--data"])
            .arg(self.dir.path());
        Ok(command.output()?)
    }

    fn plan_curd(&self, jars: &str) -> Result<Output, Any> {
        self.plan(&["lime-curd", "--jars", jars, "--jar", "half-pint"])
    }
}

/// Ended with this code, without a panic and with nothing on standard output.
fn refused(output: &Output, code: i32, parts: &[&str]) {
    let said = err(output);
    assert_eq!(output.status.code(), Some(code), "{said}");
    assert_eq!(out(output), "", "a refusal prints no plan");
    assert!(!said.contains("panicked"), "{said}");
    for part in parts {
        assert!(said.contains(part), "\"{part}\" is missing in\n{said}");
    }
}

#[test]
fn without_a_command_a_short_help_with_an_example_is_shown() -> Result<(), Any> {
    let output = run(&[])?;
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).contains("jarwright plan lime-curd --jars 48"));
    Ok(())
}

#[test]
fn every_command_has_help_with_an_example_and_the_program_tells_its_version() -> Result<(), Any> {
    for command in ["plan", "setup", "demo", "jar", "checks", "why"] {
        let output = run(&[command, "--help"])?;
        assert_eq!(output.status.code(), Some(0), "{command}");
        assert!(
            out(&output).contains(&format!("  jarwright {command}")),
            "{command} has no example"
        );
    }
    let output = run(&["--version"])?;
    assert_eq!(out(&output), format!("jarwright {}\n", env!("CARGO_PKG_VERSION")));
    Ok(())
}

#[test]
fn a_command_line_that_cannot_be_read_ends_with_two() -> Result<(), Any> {
    for args in [
        &["brew"][..],
        &["plan"],
        &["plan", "lime-curd"],
        &["plan", "lime-curd", "--jars", "48"],
        &["plan", "a", "--jars", "1", "--jar", "half-pint", "--from", "1 kg sugar"],
        &["plan", "a", "--jars", "1", "--jar", "half-pint", "--market", "ZZ"],
    ] {
        refused(&run(args)?, 2, &[]);
    }
    Ok(())
}

#[test]
fn an_option_out_of_range_is_named() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    for jars in ["0", "-3", "1e3", "4.5", "1,000,000", "99999999999999999999"] {
        refused(&kitchen.plan_curd(jars)?, 2, &["--jars"]);
    }
    for (option, value) in [
        ("--altitude-m", "9000"),
        ("--altitude-m", "NaN"),
        ("--bath-start-c", "140"),
        ("--bath-start-c", "-1"),
        ("--by", "someday"),
        ("--by", "2026-11-24 09:00"),
        ("--by", "2026-11-31 09:00"),
        ("--by", ""),
    ] {
        let output = kitchen.plan(&["lime-curd", "--jars", "12", "--jar", "half-pint", option, value])?;
        refused(&output, 2, &[option]);
    }
    Ok(())
}

#[test]
fn an_unknown_jar_or_formula_gets_the_nearest_one() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    refused(
        &kitchen.plan(&["lime-crud", "--jars", "12", "--jar", "half-pint"])?,
        2,
        &["lime-crud", "lime-curd"],
    );
    refused(
        &kitchen.plan(&["lime-curd", "--jars", "12", "--jar", "half-pnt"])?,
        2,
        &["half-pnt"],
    );
    Ok(())
}

#[test]
fn a_misspelt_unit_is_shown_in_its_line_with_the_nearest_word() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    kitchen.change("2 1/2 cup", "2 1/2 cupp")?;
    refused(
        &kitchen.plan_curd("12")?,
        2,
        &["lime-curd.toml", "cupp", "did you mean \"cup\"?"],
    );
    Ok(())
}

#[test]
fn several_faults_in_several_files_are_told_at_once() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    kitchen.change("name = ", "nam = ")?;
    kitchen.change("2 1/2 cup", "-2 cup")?;
    let text = fs::read_to_string(kitchen.path("kitchen.toml"))?;
    fs::write(
        kitchen.path("kitchen.toml"),
        text.replacen("people = 2", "people = \"two\"", 1),
    )?;
    refused(
        &kitchen.plan_curd("12")?,
        2,
        &["kitchen.toml", "people", "lime-curd.toml", "\"name\"", "negative"],
    );
    Ok(())
}

#[test]
fn an_unknown_ingredient_gets_the_nearest_one() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    kitchen.change("\"egg yolk\"", "\"egg yoke\"")?;
    refused(
        &kitchen.plan_curd("12")?,
        2,
        &["egg yoke", "did you mean \"egg yolk\"?"],
    );
    Ok(())
}

#[test]
fn a_file_that_is_empty_rubbish_or_not_there_is_told_in_plain_words() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    fs::write(kitchen.curd(), "")?;
    refused(&kitchen.plan_curd("12")?, 2, &["lime-curd.toml"]);
    fs::write(kitchen.curd(), b"name = \"\xff\xfe\x00rubbish")?;
    refused(&kitchen.plan_curd("12")?, 2, &["lime-curd.toml", "byte 9 (line 1)"]);
    fs::write(kitchen.curd(), (0..=255_u8).cycle().take(4096).collect::<Vec<u8>>())?;
    refused(&kitchen.plan_curd("12")?, 2, &["UTF-8"]);
    let folder = kitchen.path("folder.toml");
    fs::create_dir(&folder)?;
    let name = folder.to_string_lossy().into_owned();
    refused(
        &kitchen.plan(&[&name, "--jars", "12", "--jar", "half-pint"])?,
        2,
        &["this is a folder"],
    );
    refused(
        &kitchen.plan(&["none/such.toml", "--jars", "12", "--jar", "half-pint"])?,
        2,
        &["there is no such file"],
    );
    Ok(())
}

#[test]
fn a_file_of_fifty_megabytes_is_refused_before_it_is_read() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    fs::File::create(kitchen.curd())?.set_len(50 << 20)?;
    refused(&kitchen.plan_curd("12")?, 2, &["lime-curd.toml", "larger than 1 MiB"]);
    Ok(())
}

#[cfg(unix)]
#[test]
fn a_source_without_an_end_is_refused() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    refused(
        &kitchen.plan(&["/dev/zero", "--jars", "12", "--jar", "half-pint"])?,
        2,
        &["larger than 1 MiB"],
    );
    Ok(())
}

#[test]
fn a_kitchen_that_is_not_there_names_the_command_that_makes_one() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    fs::remove_file(kitchen.path("kitchen.toml"))?;
    refused(&kitchen.plan_curd("12")?, 2, &["kitchen.toml", "jarwright setup"]);
    Ok(())
}

#[test]
fn an_order_that_no_kitchen_of_this_size_can_meet_ends_with_three_and_says_what_would() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.plan_curd("1000000")?;
    let said = out(&output) + &err(&output);
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(said.to_lowercase().contains("what would"), "{said}");
    Ok(())
}

#[test]
fn a_deadline_too_near_ends_with_three_and_says_what_would() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.plan(&[
        "lime-curd",
        "--jars",
        "48",
        "--jar",
        "half-pint",
        "--by",
        "Thursday 09:00",
        "--for",
        "sale",
    ])?;
    let said = out(&output) + &err(&output);
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(said.to_lowercase().contains("what would"), "{said}");
    Ok(())
}

#[test]
fn a_plan_is_told_in_the_order_of_the_work_and_fits_a_terminal() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.plan_curd("48")?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let text = out(&output);
    let headings = [
        "CAN IT BE DONE?",
        "WHERE IT MAY BE KEPT",
        "WHAT TO BUY",
        "BATCHES AND WHAT TO WEIGH",
        "BATH LOADS AND PROCESS",
        "CLOCK",
        "COST OF ONE SOLD JAR",
        "LABEL DRAFT",
        "CAUTIONS",
    ];
    let places: Vec<Option<usize>> = headings.iter().map(|heading| text.find(heading)).collect();
    assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{places:?}");
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{line}");
        assert!(!line.contains('\u{1b}'), "{line}");
    }
    for word in ["NaN", "inf ", "sterile"] {
        assert!(!text.contains(word), "{word}");
    }
    Ok(())
}

#[test]
fn a_run_that_departs_from_its_schedule_says_so_and_its_shelf_is_closed() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.plan(&[
        "lime-curd",
        "--jars",
        "12",
        "--jar",
        "half-pint",
        "--bath-start-c",
        "95",
    ])?;
    let text = out(&output);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    for part in ["Shelf: CLOSED", "THIS RUN DEPARTS", "95 °C (203 °F)"] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
    Ok(())
}

/// A number stands only inside a figure, or where a plan counts: batch numbers and curves.
fn bare_numbers(value: &Value, path: &str, found: &mut Vec<String>) {
    const COUNTS: [&str; 3] = ["numbers", "curve", "batches"];
    match value {
        Value::Object(map) if map.contains_key("basis") => {
            for key in ["id", "name", "value", "unit", "low", "high", "band", "basis"] {
                if !map.contains_key(key) {
                    found.push(format!("{path} has no {key}"));
                }
            }
        }
        Value::Object(map) => {
            for (key, value) in map {
                let plain = value.is_number() || value.is_array();
                if !(plain && COUNTS.contains(&key.as_str()) && !value[0].is_object()) {
                    bare_numbers(value, &format!("{path}.{key}"), found);
                }
            }
        }
        Value::Array(entries) => {
            for (index, value) in entries.iter().enumerate() {
                bare_numbers(value, &format!("{path}[{index}]"), found);
            }
        }
        Value::Number(_) => found.push(path.to_owned()),
        Value::Null | Value::Bool(_) | Value::String(_) => {}
    }
}

#[test]
fn in_json_every_number_is_a_figure_that_can_be_walked_down() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.plan(&["lime-curd", "--jars", "48", "--jar", "half-pint", "--json"])?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let plan: Value = serde_json::from_slice(&output.stdout)?;
    for key in [
        "run",
        "weigh",
        "stages",
        "batches",
        "loads",
        "process",
        "verdicts",
        "clock",
        "cost",
        "buy",
        "cautions",
        "labels",
        "quantities",
    ] {
        assert!(!plan[key].is_null(), "{key} is missing");
    }
    let mut found = Vec::new();
    bare_numbers(&plan, "plan", &mut found);
    assert!(found.is_empty(), "{found:?}");
    let quantities = plan["quantities"].as_object().ok_or("no quantities")?;
    let mut walked = 0;
    for (id, figure) in quantities {
        for input in figure["basis"]["inputs"].as_array().into_iter().flatten() {
            let handle = input["id"].as_str().unwrap_or_default();
            assert!(
                quantities.contains_key(handle),
                "{id} takes {handle}, which is not there"
            );
            walked += 1;
        }
    }
    assert!(walked > 0, "no figure is computed from another");
    Ok(())
}

#[test]
fn the_equations_a_plan_names_can_be_asked_for() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let output = kitchen.plan(&["lime-curd", "--jars", "12", "--jar", "half-pint", "--json"])?;
    let plan: Value = serde_json::from_slice(&output.stdout)?;
    let listed = out(&run(&["why"])?);
    let keys: Vec<&str> = listed
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    for figure in plan["quantities"].as_object().ok_or("no quantities")?.values() {
        if let Some(key) = figure["basis"]["equation"].as_str() {
            assert!(keys.contains(&key), "why does not list {key}");
        }
    }
    Ok(())
}

#[test]
fn why_prints_an_equation_with_its_source_and_finds_the_nearest_key() -> Result<(), Any> {
    let output = run(&["why", "lethality"])?;
    assert_eq!(output.status.code(), Some(0));
    assert!(
        out(&output).contains("10^((T - T_ref)/z)") && out(&output).contains("Source"),
        "{}",
        out(&output)
    );
    refused(&run(&["why", "lethalty"])?, 2, &["did you mean \"lethality\"?"]);
    refused(&run(&["why", "\u{1b}[2J"])?, 2, &[]);
    Ok(())
}

#[test]
fn sheets_are_written_whole_into_a_folder_that_is_made() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let dir = kitchen.path("papers/of/today");
    let name = dir.to_string_lossy().into_owned();
    let output = kitchen.plan(&["lime-curd", "--jars", "12", "--jar", "half-pint", "--out", &name])?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let mut sheets = 0;
    for entry in fs::read_dir(&dir)? {
        let path = entry?.path();
        assert!(path.extension().is_some_and(|end| end == "html"), "{}", path.display());
        assert!(out(&output).contains(&path.display().to_string()));
        assert!(fs::read_to_string(&path)?.trim_end().ends_with("</html>"));
        sheets += 1;
    }
    assert!(sheets > 0);
    fs::write(kitchen.path("a-file"), "")?;
    let name = kitchen.path("a-file").to_string_lossy().into_owned();
    refused(
        &kitchen.plan(&["lime-curd", "--jars", "12", "--jar", "half-pint", "--out", &name])?,
        2,
        &["a file stands"],
    );
    Ok(())
}

#[test]
fn a_reader_that_goes_away_is_no_fault() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    let mut child = program()
        .args([
            "plan",
            "lime-curd",
            "--jars",
            "48",
            "--jar",
            "half-pint",
            "--json",
            "--now",
            NOW,
            "--data",
        ])
        .arg(kitchen.dir.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()?;
    drop(child.stdout.take());
    let mut said = String::new();
    child.stderr.take().ok_or("no stderr")?.read_to_string(&mut said)?;
    assert_eq!(child.wait()?.code(), Some(0), "{said}");
    assert_eq!(said, "");
    Ok(())
}

fn demo(dir: &Path) -> Result<Output, Any> {
    Ok(program().args(["demo", "--now", NOW, "--data"]).arg(dir).output()?)
}

#[test]
fn the_demo_plans_its_saturday_and_says_what_friday_cannot() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let output = demo(dir.path())?;
    let text = out(&output);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    for part in ["invented", "Friday", "2026-12-05 09:00", "sheets", "jarwright setup"] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
    assert!(dir.path().join("sheets").is_dir());
    Ok(())
}

#[test]
fn the_demo_never_writes_over_what_was_changed() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    demo(dir.path())?;
    let file = dir.path().join("kitchen.toml");
    let mine = fs::read_to_string(&file)?.replace("Thornlea Kitchen", "Mine");
    fs::write(&file, &mine)?;
    let output = demo(dir.path())?;
    assert_eq!(fs::read_to_string(&file)?, mine);
    assert!(out(&output).contains("left as it is"), "{}", out(&output));
    Ok(())
}

fn setup(dir: &Path, answers: &str) -> Result<Output, Any> {
    let mut child = program()
        .args(["setup", "--data"])
        .arg(dir)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()?;
    // The program may have ended before it read everything.
    let _ = child.stdin.take().ok_or("no stdin")?.write_all(answers.as_bytes());
    Ok(child.wait_with_output()?)
}

#[test]
fn setup_makes_a_kitchen_that_plans() -> Result<(), Any> {
    let kitchen = Kitchen::new()?;
    fs::remove_file(kitchen.path("kitchen.toml"))?;
    let output = setup(kitchen.dir.path(), &format!("Ours\nhigh\n120 m\n{}", "\n".repeat(60)))?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(
        out(&output).contains("kitchen.toml") && out(&output).contains("no number at the start"),
        "{}",
        out(&output)
    );
    let output = kitchen.plan(&["apricot-jam", "--jars", "6", "--jar", "half-pint"])?;
    assert!(matches!(output.status.code(), Some(0 | 3)), "{}", err(&output));
    Ok(())
}

#[test]
fn setup_writes_nothing_when_the_answers_end_and_asks_before_it_replaces() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let output = setup(&dir.path().join("new"), "Ours\n120 m\n")?;
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("nothing was written"));
    assert!(!dir.path().join("new").exists());

    let kitchen = Kitchen::new()?;
    let before = fs::read_to_string(kitchen.path("kitchen.toml"))?;
    let output = setup(kitchen.dir.path(), &"\n".repeat(60))?;
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(fs::read_to_string(kitchen.path("kitchen.toml"))?, before);
    Ok(())
}

#[test]
fn checks_end_with_their_count_and_tell_machines_the_same() -> Result<(), Any> {
    let output = run(&["checks"])?;
    let text = out(&output);
    let last = text.lines().last().unwrap_or_default().to_owned();
    let report: Value = serde_json::from_slice(&run(&["checks", "--json"])?.stdout)?;
    let summary = &report["summary"];
    assert_eq!(
        last,
        format!("{} passed, {} failed", summary["passed"], summary["failed"])
    );
    let failed = summary["failed"].as_u64().unwrap_or(u64::MAX);
    assert_eq!(output.status.code(), Some(i32::from(failed > 0)), "{text}");
    assert_eq!(
        report["checks"].as_array().map(Vec::len),
        summary["checks"].as_u64().map(|n| n as usize)
    );
    Ok(())
}

#[test]
fn every_command_the_readme_names_exists() -> Result<(), Any> {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../README.md");
    let text = fs::read_to_string(readme)?;
    let mut named = 0;
    for line in text.lines().map(|line| line.trim().trim_start_matches("$ ")) {
        let Some(rest) = line.strip_prefix("jarwright ") else {
            continue;
        };
        let command = rest.split_whitespace().next().unwrap_or_default();
        let output = run(&[command, "--help"])?;
        assert_eq!(output.status.code(), Some(0), "README names `jarwright {command}`");
        for option in rest.split_whitespace().filter(|word| word.starts_with("--")) {
            let option = option.split('=').next().unwrap_or_default();
            assert!(
                out(&output).contains(option),
                "README names {option} of `jarwright {command}`"
            );
        }
        named += 1;
    }
    assert!(named > 0, "README names no command");
    Ok(())
}
