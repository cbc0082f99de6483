//! `jarwright pot` as people run it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

const CURD: &str = r#"
name = "curd"
vessel = "bowl over steam"
diameter_mm = 340
power_w = 2500
mass_kg = 3
start_c = 18
egg = true
[food]
water_pct = 46
sucrose_pct = 41
fat_pct = 7
protein_pct = 6
[stop]
at_c = 77
"#;

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/pots").join(name)
}

fn run(args: &[&str]) -> Result<Output, Any> {
    Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .arg("pot")
        .args(args)
        .output()?)
}

/// Runs a case given as text.
fn run_text(case: &str, args: &[&str]) -> Result<Output, Any> {
    let dir = TempDir::new()?;
    let path = dir.path().join("case.toml");
    std::fs::write(&path, case)?;
    let path = path.to_string_lossy().into_owned();
    run(&[&[path.as_str()], args].concat())
}

fn json(case: &str) -> Result<Value, Any> {
    let output = run_text(case, &["--json"])?;
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    Ok(serde_json::from_slice(&output.stdout)?)
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Runs a case that is refused; what was said of it.
fn refused(case: &str, code: i32) -> Result<String, Any> {
    let output = run_text(case, &[])?;
    assert_eq!(output.status.code(), Some(code), "{case}\n{}", said(&output.stderr));
    Ok(said(&output.stderr))
}

fn number(value: &Value) -> Result<f64, Any> {
    value.as_f64().ok_or_else(|| format!("no number: {value}").into())
}

#[test]
fn one_mass_is_told_flat_with_its_samples() -> Result<(), Any> {
    let sheet = json(CURD)?;
    for key in [
        "minutes",
        "evaporated_kg",
        "energy_kwh",
        "carry_over_c",
        "set_share",
        "hottest_wall_c",
    ] {
        assert!(sheet[key].is_number(), "{key}: {}", sheet[key]);
    }
    let samples = sheet["samples"].as_array().ok_or("no samples")?;
    assert!(samples.len() > 20 && samples.len() <= 241);
    for sample in samples {
        for key in [
            "t_s",
            "bulk_c",
            "wall_c",
            "mass_kg",
            "brix",
            "set_share",
            "scrambled_share",
        ] {
            assert!(sample[key].is_number(), "{key}");
        }
        assert!(number(&sample["wall_c"])? >= number(&sample["bulk_c"])? - 1e-9);
    }
    assert!((number(&sheet["end_c"])? - 77.0).abs() < 1e-6);
    assert!(sheet["notes"].as_array().is_some_and(|notes| notes.len() >= 3));
    Ok(())
}

#[test]
fn several_masses_are_told_side_by_side_and_drawn_on_one_picture() -> Result<(), Any> {
    let sheet = json(&CURD.replace("mass_kg = 3", "mass_kg = [1, 3, 6, 12]"))?;
    let runs = sheet["runs"].as_array().ok_or("no runs")?;
    assert_eq!(runs.len(), 4);
    assert!(sheet.get("minutes").is_none());
    let minutes: Vec<f64> = runs.iter().map(|r| number(&r["minutes"])).collect::<Result<_, _>>()?;
    assert!(minutes.windows(2).all(|pair| pair[1] > pair[0]), "{minutes:?}");

    let dir = TempDir::new()?;
    let picture = dir.path().join("pots.svg");
    let case = demo("lime-curd.toml");
    let output = run(&[&case.to_string_lossy(), "--plot", &picture.to_string_lossy()])?;
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    let svg = std::fs::read_to_string(&picture)?;
    assert!(svg.starts_with("<svg") && svg.contains("12 kg:") && svg.contains("potful"));
    Ok(())
}

#[test]
fn the_demos_cases_run_and_say_both_scales() -> Result<(), Any> {
    for name in ["lime-curd.toml", "apricot-jam.toml"] {
        let output = run(&[&demo(name).to_string_lossy()])?;
        assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
        let out = said(&output.stdout);
        for words in ["°F", "at its hottest", "releases nothing", "Largest batch"] {
            assert!(out.contains(words), "{words}: {out}");
        }
    }
    Ok(())
}

#[test]
fn weaker_steam_longer_more_food_longer_a_lid_shorter() -> Result<(), Any> {
    let minutes = |case: &str| -> Result<f64, Any> { number(&json(case)?["minutes"]) };
    let usual = minutes(CURD)?;
    assert!(minutes(&CURD.replace("power_w = 2500", "power_w = 1500"))? > usual);
    assert!(minutes(&CURD.replace("mass_kg = 3", "mass_kg = 5"))? > usual);
    assert!(minutes(&CURD.replace("start_c = 18", "start_c = 18\nlid = true"))? < usual);
    assert!(minutes(&CURD.replace("start_c = 18", "start_c = 18\nair_in_steam = 0.4"))? > usual);
    let kettle = CURD
        .replace("bowl over steam", "steam kettle")
        .replace("start_c = 18", "start_c = 18\nsteam_gauge_kpa = 50");
    assert!(minutes(&kettle)? < usual);
    Ok(())
}

#[test]
fn measured_properties_serve_where_the_composition_is_not_known() -> Result<(), Any> {
    let (head, tail) = (CURD.split("[food]").next().unwrap_or_default(), "[stop]\nat_c = 77\n");
    let food = "[food]\nconductivity_w_mk = 0.45\ndensity_kg_m3 = 1140\nheat_capacity_j_kgk = 2865\n";
    let sheet = json(&format!("{head}{food}{tail}"))?;
    let (by_figures, by_shares) = (number(&sheet["minutes"])?, number(&json(CURD)?["minutes"])?);
    assert!(
        (by_figures / by_shares - 1.0).abs() < 0.25,
        "{by_figures} and {by_shares}"
    );
    assert!(sheet["food_boils_c"].is_null());
    Ok(())
}

#[test]
fn every_fault_of_a_case_is_told_in_its_place() -> Result<(), Any> {
    let faulty = CURD
        .replace("diameter_mm", "diametre_mm")
        .replace("bowl over steam", "bowl over steem")
        .replace("mass_kg = 3", "mass_kg = [3, -1]")
        .replace("sucrose_pct = 41", "sucrose_pct = 61");
    let told = refused(&faulty, 2)?;
    for words in [
        "did you mean \"diameter_mm\"",
        "did you mean \"bowl over steam\"",
        "case.toml:3:",
        "\"mass_kg\" is -1",
        "add up to 120.0 %",
        "4 faults",
    ] {
        assert!(told.contains(words), "{words}:\n{told}");
    }
    Ok(())
}

#[test]
fn odd_numbers_and_missing_keys_end_with_two_and_never_panic() -> Result<(), Any> {
    let odd = [
        ("mass_kg = 3", "mass_kg = nan"),
        ("mass_kg = 3", "mass_kg = 0"),
        ("mass_kg = 3", "mass_kg = []"),
        ("mass_kg = 3", "mass_kg = \"3 kg\""),
        ("mass_kg = 3", "mass_kg = 1e9"),
        ("mass_kg = 3", ""),
        ("diameter_mm = 340", "diameter_mm = -340"),
        ("diameter_mm = 340", "diameter_mm = inf"),
        ("diameter_mm = 340", "diameter_mm = 34000"),
        ("power_w = 2500", "power_w = 0"),
        ("power_w = 2500", ""),
        ("start_c = 18", "start_c = 200"),
        ("egg = true", "egg = \"yes\""),
        ("egg = true", "sugar_shift_k = 8"),
        ("[stop]\nat_c = 77", "[stop]"),
        ("[stop]\nat_c = 77", "[stop]\nat_c = 77\nbrix = 60"),
        ("[stop]\nat_c = 77", "[stop]\nbrix = 60\nhold_minutes = 3"),
        ("[stop]\nat_c = 77", ""),
        ("water_pct = 46", ""),
        ("water_pct = 46", "water_pct = 46\ndensity_kg_m3 = 1000"),
        ("start_c = 18", "start_c = 18\nsteam_gauge_kpa = 50"),
        ("start_c = 18", "start_c = 18\naltitude_m = 10\npressure_hpa = 1000"),
        ("bowl over steam", "steam kettle"),
        (
            "water_pct = 46\nsucrose_pct = 41\nfat_pct = 7",
            "water_pct = 5\nfat_pct = 89",
        ),
        (
            "water_pct = 46\nsucrose_pct = 41\nfat_pct = 7\nprotein_pct = 6\n[stop]\nat_c = 77",
            "conductivity_w_mk = 0.5\ndensity_kg_m3 = 1100\nheat_capacity_j_kgk = 3000\n[stop]\nbrix = 60",
        ),
    ];
    for (from, to) in odd {
        let case = CURD.replace(from, to);
        assert_ne!(case, CURD, "{from}");
        let told = refused(&case, 2)?;
        assert!(!told.is_empty() && !told.contains("panicked"), "{to}: {told}");
    }
    refused("", 2)?;
    refused("vessel = ", 2)?;
    assert_eq!(run(&["no-such-case.toml"])?.status.code(), Some(2));
    Ok(())
}

#[test]
fn a_pot_that_never_gets_there_ends_with_three_and_says_where_it_stands() -> Result<(), Any> {
    let told = refused(&CURD.replace("power_w = 2500", "power_w = 200"), 3)?;
    assert!(told.contains("never reaches 77") && told.contains("°F"), "{told}");
    // Of several masses the others are still told.
    let sheet = json(&CURD.replace("mass_kg = 3", "mass_kg = [0.02, 3]"))?;
    assert_eq!(sheet["runs"].as_array().map(Vec::len), Some(1));
    let why = sheet["refused"][0]["why"].as_str().ok_or("no reason")?;
    assert!(why.starts_with("0.02 kg"), "{why}");
    Ok(())
}

#[test]
fn a_load_over_the_pots_brim_is_refused_with_what_fits() -> Result<(), Any> {
    let output = run_text(&CURD.replace("mass_kg = 3", "mass_kg = 60\nheight_mm = 170"), &[])?;
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(3), "{said}");
    for words in ["60 kg does not fit", "kg at the start fits", "potfuls of"] {
        assert!(said.contains(words), "no {words} in\n{said}");
    }
    Ok(())
}
