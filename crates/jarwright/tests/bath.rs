//! The bench of baths: `jarwright bath` on good and bad cases.

use std::fs;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

type Any = Box<dyn std::error::Error>;

const CASE: &str = r#"kind = "water"
water_l = 18
vessel_kg = 2.5
diameter_mm = 320
burner_w = 3000
efficiency_pct = 75
jars = 12
jar = "half-pint"
jar_start_c = 72
bath_start_c = 82.2
altitude_m = 250
hold_min = 15
published_come_up_min = 27.5

[food]
heat = "conducts"
water_pct = 40
sugar_pct = 42
protein_pct = 4
fat_pct = 13
ash_pct = 1

[[load]]
"#;

fn bath(case: &str, args: &[&str]) -> Result<Output, Any> {
    let dir = tempfile::tempdir()?;
    fs::write(dir.path().join("case.toml"), case)?;
    Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .current_dir(dir.path())
        .args(["bath", "case.toml"])
        .args(args)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()?)
}

fn json(case: &str) -> Result<Value, Any> {
    let output = bath(case, &["--json"])?;
    if output.status.code() != Some(0) {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned().into());
    }
    Ok(serde_json::from_slice(&output.stdout)?)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

#[test]
fn a_second_load_in_boiling_water_has_no_come_up_and_ends_colder() -> Result<(), Any> {
    let answer = json(CASE)?;
    let (first, second) = (&answer["loads"][0], &answer["loads"][1]);
    assert!(number(&first["come_up_min"]) > 5.0 && first["boil_lost"].is_null());
    assert!(number(&second["come_up_min"]).abs() < 1e-9);
    assert!(number(&second["boil_lost"]["by_k"]) > 0.0);
    assert!(number(&second["coldest_at_end_c"]) < number(&first["coldest_at_end_c"]) - 1.0);
    let cautions = answer["cautions"].to_string();
    assert!(cautions.contains("never replaces a tested schedule") && cautions.contains("no come-up"));
    Ok(())
}

#[test]
fn the_litres_to_swap_start_the_next_load_as_the_first_one_started() -> Result<(), Any> {
    let swap_l = number(&json(CASE)?["loads"][0]["swap_before_next_l"]);
    let answer = json(&format!("{CASE}swap_l = {swap_l}\n"))?;
    assert!(
        (number(&answer["loads"][1]["bath_start_c"]) - 82.2).abs() < 1e-6,
        "{swap_l}"
    );
    Ok(())
}

#[test]
fn the_setting_gives_the_published_come_up() -> Result<(), Any> {
    let answer = json(CASE)?;
    let power_w = number(&answer["setting"]["power_w"]);
    let pct = number(&answer["setting"]["of_full_pct"]);
    assert!((pct * 22.5 - power_w).abs() < 0.01, "{pct} {power_w}");
    let set = CASE
        .replace("burner_w = 3000\nefficiency_pct = 75", &format!("power_w = {power_w}"))
        .replace("\n[[load]]", "");
    let again = json(&set)?;
    assert!((number(&again["loads"][0]["come_up_min"]) - 27.5).abs() < 0.02);
    Ok(())
}

#[test]
fn every_part_of_the_energy_adds_up_and_samples_run_in_order() -> Result<(), Any> {
    for load in json(CASE)?["loads"].as_array().into_iter().flatten() {
        let energy = &load["energy"];
        let parts: f64 = ["water_kwh", "glass_kwh", "food_kwh", "room_kwh", "vapour_kwh"]
            .iter()
            .map(|part| number(&energy[part]))
            .sum();
        assert!((parts / number(&energy["burner_kwh"]) - 1.0).abs() < 1e-6, "{energy}");
        let times: Vec<f64> = load["samples"]
            .as_array()
            .into_iter()
            .flatten()
            .map(|s| number(&s["t_s"]))
            .collect();
        assert!(times.len() > 20 && times.windows(2).all(|pair| pair[1] > pair[0]));
    }
    Ok(())
}

#[test]
fn today_s_low_barometer_lowers_the_boil_and_the_end() -> Result<(), Any> {
    let usual = json(CASE)?;
    let low = json(&CASE.replace("altitude_m = 250", "altitude_m = 250\nsea_level_hpa = 985"))?;
    let fell_k = number(&usual["boils_c"]) - number(&low["boils_c"]);
    assert!(fell_k > 0.5 && fell_k < 1.2, "{fell_k}");
    assert!(number(&low["loads"][0]["coldest_at_end_c"]) < number(&usual["loads"][0]["coldest_at_end_c"]));
    Ok(())
}

#[test]
fn steam_is_refused_beyond_its_published_minutes_and_says_when_it_is_dry() -> Result<(), Any> {
    let steam = CASE
        .replace("kind = \"water\"\nwater_l = 18", "kind = \"steam\"\nwater_l = 1.9")
        .replace("diameter_mm = 320", "diameter_mm = 330");
    let answer = json(&steam)?;
    let dry = number(&answer["loads"][0]["dry_after_min"]);
    assert!(dry > 20.0 && dry < 60.0, "{dry}");
    assert!(answer["cautions"].to_string().contains("tested process that allows it"));
    let long = bath(&steam.replace("hold_min = 15", "hold_min = 50"), &[])?;
    assert_eq!(long.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&long.stderr).contains("45 min"));
    Ok(())
}

#[test]
fn a_picture_is_drawn_with_its_lines_named() -> Result<(), Any> {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("bath.svg");
    let output = bath(CASE, &["--plot", &path.display().to_string()])?;
    assert_eq!(output.status.code(), Some(0));
    let svg = fs::read_to_string(path)?;
    for part in [
        "water boils here at",
        "jar, mean",
        "jar, coldest",
        "load 2: boil lost",
        "<desc",
        "°F",
    ] {
        assert!(svg.contains(part), "{part}");
    }
    Ok(())
}

#[test]
fn faults_are_told_in_place_with_what_was_meant() -> Result<(), Any> {
    for (from, to, said) in [
        ("water_l = 18", "water_l = -18", "0.2 to 500 L"),
        ("water_l = 18", "water_l = nan", "not a finite number"),
        ("water_l = 18", "water_l = 1e9", "0.2 to 500 L"),
        ("water_l = 18\n", "", "has no \"water_l\""),
        ("water_l = 18", "water_litres = 18", "water_l"),
        ("kind = \"water\"", "kind = \"stem\"", "did you mean \"steam\""),
        (
            "jar = \"half-pint\"",
            "jar = \"half-pnt\"",
            "did you mean \"half-pint\"",
        ),
        ("jars = 12", "jars = 100", "do not stand in"),
        ("jars = 12", "jars = 1.5", "whole number"),
        (
            "bath_start_c = 82.2",
            "bath_start_c = 99.9",
            "hotter than water boils here",
        ),
        ("efficiency_pct = 75", "power_w = 3", "power"),
        ("efficiency_pct = 75\n", "", "without its share"),
        (
            "altitude_m = 250",
            "altitude_m = 250\nbarometer_hpa = 700",
            "barometer_hpa",
        ),
        (
            "altitude_m = 250",
            "sea_level_hpa = 1013\nbarometer_hpa = 1013",
            "one of",
        ),
        ("heat = \"conducts\"", "heat = \"conduct\"", "did you mean \"conducts\""),
        ("water_pct = 40", "water_pct = 4", "95 to 105 %"),
        (
            "water_pct = 40",
            "water_pct = 40\ndensity_kg_m3 = 1100",
            "one of the two",
        ),
        ("[[load]]", "[load]", "double brackets"),
        ("[[load]]", "[[load]]\nswap_l = 30", "swap_l"),
    ] {
        let output = bath(&CASE.replace(from, to), &[])?;
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{to}: {told}");
        assert!(told.contains(said) && told.contains("case.toml"), "{to}: {told}");
        assert!(output.stdout.is_empty());
    }
    Ok(())
}

#[test]
fn a_flame_that_never_boils_the_water_is_no_fault_of_the_file() -> Result<(), Any> {
    let weak = CASE.replace("burner_w = 3000\nefficiency_pct = 75", "power_w = 60");
    let output = bath(&weak, &[])?;
    assert_eq!(output.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&output.stderr).contains("never comes to the boil"));
    Ok(())
}

#[test]
fn the_example_of_the_help_runs() -> Result<(), Any> {
    let help = Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .args(["bath", "--help"])
        .output()?;
    let text = String::from_utf8_lossy(&help.stdout).into_owned();
    let case: Vec<&str> = text
        .lines()
        .map(str::trim)
        .skip_while(|line| !line.starts_with("kind = "))
        .take_while(|line| !line.starts_with("A strong burner"))
        .collect();
    assert!(case.len() > 15, "{text}");
    let answer = json(&case.join("\n"))?;
    assert_eq!(answer["loads"].as_array().map(Vec::len), Some(2));
    Ok(())
}
