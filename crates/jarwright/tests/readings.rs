//! `jarwright readings` as people run it.

use std::fs;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

/// A jar's centre and its bath: come-up, hold, air.
const RUN: &str = "\
Kitchen log;run 12
Time (min);Centre (°C);Bath (°C)
0;70,0;82,0
10;74,2;88,0
20;80,1;94,0
30;86,0;100,0
40;90,6;100,0
50;93,9;100,0
60;95,8;60,0
70;88,0;24,0
80;75,0;22,0
90;62,3;22,0
100;52,0;22,0
110;44,0;22,0
";

struct Bench {
    dir: TempDir,
}

impl Bench {
    fn new() -> Result<Self, Any> {
        Ok(Self {
            dir: tempfile::tempdir()?,
        })
    }

    fn run(&self, log: &[u8], args: &[&str]) -> Result<Output, Any> {
        fs::write(self.dir.path().join("run.csv"), log)?;
        Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
            .current_dir(self.dir.path())
            .env("NO_COLOR", "1")
            .stdin(Stdio::null())
            .args(["readings", "run.csv"])
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
fn a_log_is_told_with_both_rules_both_scales_and_what_governs() -> Result<(), Any> {
    let output = Bench::new()?.run(
        RUN.as_bytes(),
        &["--medium", "Bath", "--lethality", "93.3:8.9", "--lethality", "180F:16F"],
    )?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let said = out(&output);
    for part in [
        "Published schedules govern; this explains.",
        "93.3 °C (199.9 °F)",
        "82.2 °C (180 °F)",
        "trapezoid",
        "Come-up time 30.0 min",
        "no fh and jh;",
        "decimal comma",
    ] {
        assert!(said.contains(part), "{part} is missing in\n{said}");
    }
    assert!(said.lines().all(|line| line.chars().count() <= 110), "{said}");
    for promise in ["safe", "sterile", "approved"] {
        assert!(!said.to_lowercase().contains(promise), "{promise}");
    }
    Ok(())
}

#[test]
fn every_open_question_ends_in_2_with_the_option_that_answers() -> Result<(), Any> {
    let bench = Bench::new()?;
    for (log, option, answer) in [
        (
            "Time (min),Centre\n0,180\n1,181\n2,182\n",
            "--unit",
            &["--unit", "f"][..],
        ),
        (
            "Time,Centre (°C)\n3/4/2026 10:00,80\n3/4/2026 10:05,81\n",
            "--dates",
            &["--dates", "mdy"],
        ),
        (
            "Time (s);Centre (°C)\n0;85,312\n10;85,412\n",
            "--decimal",
            &["--decimal", "comma"],
        ),
        ("Time,Centre (°C)\n0,80\n10,81\n", "--times", &["--times", "s"]),
    ] {
        let asked = bench.run(log.as_bytes(), &[])?;
        assert_eq!(asked.status.code(), Some(2), "{log}");
        assert!(
            err(&asked).contains(option) && err(&asked).contains("hint"),
            "{}",
            err(&asked)
        );
        assert!(asked.stdout.is_empty());
        let answered = bench.run(log.as_bytes(), answer)?;
        assert_eq!(answered.status.code(), Some(0), "{}", err(&answered));
    }
    Ok(())
}

#[test]
fn what_is_no_log_or_no_option_ends_in_2_without_a_panic() -> Result<(), Any> {
    let bench = Bench::new()?;
    let long = vec![b'x'; 50_000_000];
    for log in [
        &b""[..],
        b"Time (min);Centre\n",
        b"\x7fELF\x00\x00\x00\x01\x02",
        b"80\n81\n82\n",
        &long,
    ] {
        let output = bench.run(log, &[])?;
        assert_eq!(output.status.code(), Some(2), "{}", err(&output));
        assert!(
            !err(&output).contains("panicked") && err(&output).len() < 2000,
            "{}",
            err(&output)
        );
    }
    for args in [
        &["--lethality", "hot"][..],
        &["--lethality", "93.3:0"],
        &["--medium", "Oven"],
        &["--zero", "teatime"],
        &["--off", "10 h"],
        &["--medium-at", "1000"],
        &["--unit", "f"],
        &["--plot", "no/such/folder/run.svg"],
        &["--dates", "middle"],
    ] {
        let output = bench.run(RUN.as_bytes(), args)?;
        assert_eq!(output.status.code(), Some(2), "{args:?} {}", err(&output));
        assert!(!err(&output).contains("panicked"));
    }
    let folder = Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .args(["readings", "."])
        .output()?;
    assert_eq!(folder.status.code(), Some(2));
    Ok(())
}

#[test]
fn json_gives_figures_with_their_basis() -> Result<(), Any> {
    let output = Bench::new()?.run(RUN.as_bytes(), &["--medium", "Bath", "--json", "--cooling-at", "22"])?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let told: Value = serde_json::from_slice(&output.stdout)?;
    let centre = &told["probes"][0];
    assert_eq!(centre["name"], "Centre");
    let dose = &centre["lethality"][0];
    assert_eq!(dose["exact"]["unit"], "min");
    assert_eq!(dose["exact"]["basis"]["equation"], "lethality");
    assert_eq!(dose["trapezoid"]["basis"]["equation"], "lethality-trapezoid");
    let (exact, trapezoid) = (dose["exact"]["value"].as_f64(), dose["trapezoid"]["value"].as_f64());
    assert!(exact > Some(0.0) && exact < trapezoid, "{exact:?} {trapezoid:?}");
    let parts: Option<f64> = dose["heating"]["value"]
        .as_f64()
        .zip(dose["cooling"]["value"].as_f64())
        .map(|(a, b)| a + b);
    assert!(
        parts
            .zip(exact)
            .is_some_and(|(parts, whole)| (parts - whole).abs() < 1e-9)
    );
    // Every input that a figure names is among the inputs.
    let ids: Vec<&Value> = told["inputs"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|figure| &figure["id"])
        .collect();
    let named = dose["exact"]["basis"]["inputs"].as_array().map_or(0, |inputs| {
        inputs.iter().filter(|input| ids.contains(&&input["id"])).count()
    });
    assert_eq!(named, 3);
    assert_eq!(centre["hottest"][0]["basis"]["kind"], "measured");
    assert!(
        told["cautions"][0]
            .as_str()
            .is_some_and(|caution| caution.starts_with("Published schedules govern"))
    );
    Ok(())
}

#[test]
fn a_picture_stands_alone_and_has_both_scales() -> Result<(), Any> {
    let bench = Bench::new()?;
    let output = bench.run(RUN.as_bytes(), &["--medium", "Bath", "--plot", "run.svg"])?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let svg = fs::read_to_string(bench.dir.path().join("run.svg"))?;
    for part in [
        "<svg",
        "<title",
        "<desc",
        "°C",
        "°F",
        "Centre",
        "Bath",
        "minutes at 93.3 °C",
        "heating ends",
    ] {
        assert!(svg.contains(part), "{part}");
    }
    assert!(!svg.contains("<script") && !svg.contains("href"));
    Ok(())
}

#[test]
fn nothing_in_a_log_moves_the_terminals_cursor() -> Result<(), Any> {
    let log = "Time (min),Cen\u{1b}[2Jtre (°C)\n0,80\n1,\u{1b}[31mOL\n2,82\nbye\u{1b}]0;x\u{7}\n";
    let more: String = (3..60).map(|minute| format!("{minute},82\n")).collect();
    let output = Bench::new()?.run(format!("{log}{more}").as_bytes(), &[])?;
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(!out(&output).contains('\u{1b}'), "{}", out(&output));
    Ok(())
}
