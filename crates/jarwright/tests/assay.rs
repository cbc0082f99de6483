//! `jarwright assay` as people run it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo")
}

fn run(args: &[&str]) -> Result<Output, Any> {
    Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .env("JARWRIGHT_DATA", demo())
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .args(args)
        .output()?)
}

fn said(output: &Output) -> (String, String) {
    (
        String::from_utf8_lossy(&output.stdout).into_owned(),
        String::from_utf8_lossy(&output.stderr).into_owned(),
    )
}

fn json(args: &[&str]) -> Result<Value, Any> {
    let output = run(&[&["assay", "--json"], args].concat())?;
    assert_eq!(output.status.code(), Some(0), "{:?}", said(&output));
    Ok(serde_json::from_slice(&output.stdout)?)
}

#[test]
fn every_demo_formula_is_assayed_at_every_stage() -> Result<(), Any> {
    for formula in ["lime-curd", "passion-fruit-curd", "apricot-jam", "dill-pickles"] {
        for stage in ["weighed", "cooked", "filled"] {
            let sheet = json(&[formula, "--stage", stage])?;
            assert_eq!(sheet["stage"], stage);
            for key in ["ph", "ph_band", "water_activity", "brix", "density_kg_m3", "boils_at_c"] {
                assert!(
                    sheet[key]["value"].is_number(),
                    "{formula} {stage} {key}: {}",
                    sheet[key]
                );
                assert!(sheet[key]["basis"].is_object(), "{formula} {stage} {key}");
            }
            let ph = &sheet["ph_band"];
            assert!(ph["low"].as_f64() < ph["high"].as_f64());
            assert!(sheet["dominates"]["ph"][0]["what"].is_string());
            assert!(sheet["composition"]["water"]["value"].is_number());
        }
    }
    Ok(())
}

#[test]
fn text_says_what_dominates_the_band_and_that_a_computed_ph_releases_nothing() -> Result<(), Any> {
    let (out, err) = said(&run(&["assay", "lime-curd"])?);
    for words in [
        "WHAT THE BANDS COME FROM",
        "pH at 25 °C (77 °F):",
        "release nothing",
        "°F",
    ] {
        assert!(out.contains(words), "{words}: {out}");
    }
    assert_eq!(err, "");
    Ok(())
}

#[test]
fn todays_pressure_moves_the_thermometer_of_the_same_jam() -> Result<(), Any> {
    let at = |hpa| -> Result<f64, Any> {
        json(&["apricot-jam", "--stage", "cooked", "--sea-level-hpa", hpa])?["boils_at_c"]["value"]
            .as_f64()
            .ok_or_else(|| "no boiling point".into())
    };
    let (low, high) = (at("985")?, at("1035")?);
    // 50 hPa are about 1.4 K of water's boiling point.
    assert!((high - low - 1.4).abs() < 0.15, "{low} {high}");
    Ok(())
}

#[test]
fn bad_input_ends_in_exit_2_with_what_to_do() -> Result<(), Any> {
    let cases: [(&[&str], &str); 11] = [
        (&["assay"], "FORMULA"),
        (&["assay", "lime-curb"], "lime-curd"),
        (&["assay", "lime-curd", "--stage", "eaten"], "weighed"),
        (&["assay", "lime-curd", "--at-c", "NaN"], "-40 to 150"),
        (&["assay", "lime-curd", "--at-c", "-300F"], "-40 to 150"),
        (&["assay", "lime-curd", "--barometer-hpa", "29.9"], "500 to 1100"),
        (
            &[
                "assay",
                "lime-curd",
                "--barometer-hpa",
                "990",
                "--sea-level-hpa",
                "1000",
            ],
            "cannot be used with",
        ),
        (&["assay", "dill-pickles", "--jar", "thimble"], "unknown jar"),
        (&["assay", "dill-pickles", "--thermometer", "101"], "is a pack"),
        (&["assay", "apricot-jam", "--thermometer", "90"], "boils only at"),
        (&["assay", "apricot-jam", "--kitchen", "nowhere.toml"], "nowhere.toml"),
    ];
    for (args, expected) in cases {
        let output = run(args)?;
        let (out, err) = said(&output);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {out}{err}");
        assert!(err.contains(expected), "{args:?}: {err}");
        assert!(!err.contains("panicked"), "{args:?}: {err}");
    }
    Ok(())
}

#[test]
fn a_formula_that_no_pot_could_hold_is_told_clearly() -> Result<(), Any> {
    let dir = TempDir::new()?;
    let formula = |lines: &str| format!("name = \"Odd\"\nfood = \"jam\"\nstop_at = \"boil\"\n{lines}");
    let line = |name: &str, amount: &str| format!("[[line]]\ningredient = \"{name}\"\namount = \"{amount}\"\n");
    for (lines, expected) in [
        (line("sugar", "-1 kg"), "-1 kg"),
        (line("sugar", "NaN kg"), "NaN"),
        (line("moon dust", "1 kg"), "moon dust"),
        (String::new(), "line"),
    ] {
        let path = dir.path().join("odd.toml");
        std::fs::write(&path, formula(&lines))?;
        let output = run(&["assay", &path.display().to_string()])?;
        let (out, err) = said(&output);
        assert_eq!(output.status.code(), Some(2), "{lines}: {out}{err}");
        assert!(err.contains(expected), "{lines}: {err}");
    }
    // Sugar alone has hardly any water: what cannot be told has its reason, the rest is told.
    let path = dir.path().join("dry.toml");
    std::fs::write(&path, formula(&line("sugar", "1 kg")))?;
    let sheet = json(&[&path.display().to_string(), "--stage", "weighed"])?;
    assert!(sheet["density_kg_m3"]["value"].is_number(), "{sheet}");
    for key in [
        "ph",
        "titratable_acidity",
        "water_activity",
        "boils_at_c",
        "freezes_at_c",
    ] {
        assert!(sheet["unknown"][key].is_string(), "{key}: {}", sheet["unknown"]);
    }
    Ok(())
}
