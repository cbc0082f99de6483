//! `jarwright jar` as people run it: numbers for machines, words for people, pictures, bad cases.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

type Any = Box<dyn std::error::Error>;

/// The case of the speed targets.
fn speed_case() -> Result<String, Any> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../jarwright-heat/benches/speed_case.toml");
    Ok(fs::read_to_string(path)?)
}

fn run(dir: &Path, text: &str, args: &[&str]) -> Result<Output, Any> {
    let case = dir.join("case.toml");
    fs::write(&case, text)?;
    Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .current_dir(dir)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .args(["jar", "case.toml"])
        .args(args)
        .output()?)
}

fn json(output: &Output) -> Result<Value, Any> {
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    Ok(serde_json::from_slice(&output.stdout)?)
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or(f64::NAN)
}

#[test]
fn machines_get_samples_lethality_and_the_time_of_a_solve() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    for solver in ["grid", "modes"] {
        let args = [
            "--solver",
            solver,
            "--json",
            "--time",
            "3",
            "--lethality",
            "93.3:8.9",
            "--lethality",
            "82.2:8.9",
        ];
        let told = json(&run(dir.path(), &speed_case()?, &args)?)?;
        let samples = told["samples"].as_array().cloned().unwrap_or_default();
        assert!(samples.len() > 600, "{}", samples.len());
        let mut before = -1.0;
        for sample in &samples {
            let (t_s, centre_c) = (number(sample, "t_s"), number(sample, "centre_c"));
            assert!(
                t_s > before && number(sample, "coldest_c") <= centre_c + 1e-6,
                "{sample}"
            );
            assert!(number(sample, "mean_c").is_finite());
            before = t_s;
        }
        for end_s in [600.0, 1500.0, 6900.0] {
            let there = samples.iter().any(|s| (number(s, "t_s") - end_s).abs() < 1e-6);
            assert!(there, "{solver} has no sample at {end_s} s");
        }
        let lethality = told["lethality"].as_array().cloned().unwrap_or_default();
        assert_eq!(lethality.len(), 2);
        for row in &lethality {
            let (heating, cooling) = (number(row, "heating_min"), number(row, "cooling_min"));
            assert!(heating > 0.0 && cooling > heating, "{row}");
        }
        assert!(number(&lethality[1], "heating_min") > number(&lethality[0], "heating_min"));
        assert!(number(&told, "solve_us") > 0.0 && number(&told, "solves") > 2.5);
    }
    let both = json(&run(dir.path(), &speed_case()?, &["--solver", "both", "--json"])?)?;
    assert!(number(&both, "apart_k") < 0.02, "{}", both["apart_k"]);
    Ok(())
}

#[test]
fn a_jar_that_only_cools_has_no_heating_dose_and_one_that_only_heats_no_cooling_dose() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let head = "radius_mm = 32\nfill_mm = 80\nglass_mm = 3\nk_w_mk = 0.45\nrho_kg_m3 = 1140\ncp_j_kgk = 2865\n";
    let films = "h_side_w_m2k = 400\nh_base_w_m2k = 400\nh_top_w_m2k = 10\n";
    for (start_c, around_c, empty) in [(95, 1, "heating_min"), (70, 100, "cooling_min")] {
        let text = format!(
            "{head}start_c = {start_c}\n[[phase]]\nseconds = 3600\nambient_start_c = {around_c}\n\
             ambient_end_c = {around_c}\n{films}"
        );
        for solver in ["grid", "modes"] {
            let told = json(&run(dir.path(), &text, &["--solver", solver, "--json"])?)?;
            let zero = told["lethality"][0][empty].as_f64().map(f64::to_bits);
            assert_eq!(zero, Some(0.0_f64.to_bits()), "{solver} {empty}");
        }
    }
    Ok(())
}

#[test]
fn people_get_both_scales_and_a_caution() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let output = run(dir.path(), &speed_case()?, &["--solver", "both"])?;
    let said = String::from_utf8(output.stdout)?;
    for part in [
        "BY CELLS",
        "BY EIGENFUNCTIONS",
        "phase 2 ends, 1500 s",
        "85.41 °C (185.7",
        "at 93.3 °C (199.9 °F)",
        "K apart",
        "replaces none; local law",
    ] {
        assert!(said.contains(part), "\"{part}\" is missing in\n{said}");
    }
    Ok(())
}

#[test]
fn pictures_stand_alone() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let args = ["--solver", "both", "--plot", "both.svg", "--convergence", "finer.svg"];
    assert_eq!(run(dir.path(), &speed_case()?, &args)?.status.code(), Some(0));
    for (file, words) in [("both.svg", "centre by cells"), ("finer.svg", "cells along the radius")] {
        let svg = fs::read_to_string(dir.path().join(file))?;
        assert!(
            svg.starts_with("<svg") && svg.contains(words) && svg.contains("<title"),
            "{file}"
        );
        assert!(!svg.contains("NaN") && !svg.contains("<script"), "{file}");
    }
    Ok(())
}

#[test]
fn bad_cases_end_with_two_and_say_where() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let good = speed_case()?;
    for (from, to, words) in [
        ("radius_mm = 32.5", "radius_mm = -1", "case.toml:1:13"),
        ("fill_mm", "fil_mm", "did you mean \"fill_mm\""),
        ("start_c = 76.7", "start_c = nan", "not a finite number"),
        ("seconds = 600", "seconds = 1e9", "five weeks"),
        ("radius_mm = 32.5", "", "has no \"radius_mm\""),
    ] {
        let output = run(dir.path(), &good.replacen(from, to, 1), &["--json"])?;
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(
            output.stdout.is_empty() && said.contains(words),
            "{words} is missing in\n{said}"
        );
    }
    for args in [
        &["--lethality", "93"][..],
        &["--lethality", "93:0"],
        &["--lethality", "nan:8"],
        &["--lethality", "200F:300F"],
        &["--lethality", "200K:8"],
        &["--time", "0"],
        &["--solver", "guess"],
        &["--plot", "no/such/folder/x.svg"],
    ] {
        assert_eq!(run(dir.path(), &good, args)?.status.code(), Some(2), "{args:?}");
    }
    Ok(())
}

#[test]
fn a_jar_of_glass_heated_from_one_side_is_sent_to_the_cells() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let one_sided = speed_case()?.replacen("glass_mm = 0", "glass_mm = 3", 1).replacen(
        "h_side_w_m2k = 1200",
        "h_side_w_m2k = 0",
        1,
    );
    let output = run(dir.path(), &one_sided, &["--solver", "modes"])?;
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(
        output.status.code() == Some(2) && said.contains("--solver grid"),
        "{said}"
    );
    assert_eq!(
        run(dir.path(), &one_sided, &["--solver", "grid"])?.status.code(),
        Some(0)
    );
    Ok(())
}

/// The demo's half-pint of curd with its bands.
fn study() -> Result<String, Any> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/jars/lime-curd.toml");
    Ok(fs::read_to_string(path)?)
}

#[test]
fn people_are_told_how_sure_it_is_and_what_to_measure_next() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let output = run(
        dir.path(),
        &study()?,
        &["--sure", "--rows", "128", "--plot", "sure.svg"],
    )?;
    let said = String::from_utf8(output.stdout)?;
    for part in [
        "times in 100 the middle gets what is asked",
        "5 draws in 100 get less than",
        "99 draws in 100",
        "MEASURE THIS NEXT",
        "not resolved",
        "(instrument)",
        "approves none",
        "licensed authority",
    ] {
        assert!(
            said.replace("\n  ", " ").replace('\n', " ").contains(part),
            "\"{part}\" is missing in\n{said}"
        );
    }
    assert!(said.lines().all(|line| line.chars().count() <= 88), "{said}");
    let svg = fs::read_to_string(dir.path().join("sure.svg"))?;
    assert!(svg.starts_with("<svg") && svg.contains("Measure this next") && svg.contains("approves none"));
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    Ok(())
}

#[test]
fn machines_are_told_the_same_twice() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let told = || {
        run(
            dir.path(),
            &study()?,
            &["--sure", "--rows", "64", "--json", "--seed", "5"],
        )
    };
    let (once, again) = (told()?, told()?);
    assert_eq!(once.stdout, again.stdout);
    let told = json(&once)?;
    assert!((0.5..=1.0).contains(&number(&told["chance"], "value")));
    assert_eq!(told["measure_next"].as_array().map(Vec::len), Some(13));
    assert!(
        told["caution"]
            .as_str()
            .is_some_and(|words| words.contains("approves none"))
    );
    Ok(())
}

#[test]
fn a_study_that_cannot_be_made_ends_with_two() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let good = study()?;
    let ends = |text: &str, args: &[&str], words: &str| -> Result<(), Any> {
        let output = run(dir.path(), text, args)?;
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{args:?}\n{said}");
        assert!(
            output.stdout.is_empty() && said.contains(words),
            "{words} is missing in\n{said}"
        );
        Ok(())
    };
    for rows in ["0", "63", "100", "1000000000", "many"] {
        ends(&good, &["--sure", "--rows", rows], "--rows")?;
    }
    ends(&good, &["--sure", "--solver", "grid"], "--solver")?;
    ends(&good, &["--rows", "128"], "--sure")?;
    ends(&speed_case()?, &["--sure"], "no [target]")?;
    ends(
        &good.replacen("k_w_mk = {", "k_w_km = {", 1),
        &["--sure"],
        "did you mean \"k_w_mk\"",
    )?;
    ends(
        &good.replacen("low = 0.41", "low = 0.9", 1),
        &["--sure"],
        "is not below high",
    )?;
    ends(
        &good.replacen("low = 0.41", "low = nan", 1),
        &["--sure"],
        "not a finite number",
    )
}

#[test]
fn a_dose_may_be_asked_in_either_scale() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let dose = |of: &str| -> Result<f64, Any> {
        let told = json(&run(dir.path(), &speed_case()?, &["--json", "--lethality", of])?)?;
        Ok(number(&told["lethality"][0], "heating_min"))
    };
    // 203 °F is 95 °C, and 16.2 °F of difference are 9 K.
    let celsius = dose("95:9")?;
    for of in ["203F:16.2F", "203F:16.2", "95C:9C", "95:16.2F"] {
        assert!((dose(of)? / celsius - 1.0).abs() < 1e-9, "{of}");
    }
    Ok(())
}
