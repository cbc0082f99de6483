//! The bench: `jarwright brine` on good and bad input.

use std::process::{Command, Output, Stdio};

use serde_json::Value;

type Any = Box<dyn std::error::Error>;

fn brine(args: &[&str]) -> Result<Output, Any> {
    Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .arg("brine")
        .args(args)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()?)
}

fn json(args: &[&str]) -> Result<Value, Any> {
    let output = brine(&[args, &["--json"]].concat())?;
    if output.status.code() != Some(0) {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned().into());
    }
    Ok(serde_json::from_slice(&output.stdout)?)
}

fn value(json: &Value, key: &str) -> f64 {
    json[key]["value"].as_f64().unwrap_or(f64::NAN)
}

const FIGURES: [&str; 12] = [
    "ph",
    "ph_band",
    "titratable_acidity",
    "water_activity",
    "ionic_strength",
    "boils_at_c",
    "freezes_at_c",
    "brix",
    "density_kg_m3",
    "heat_capacity_j_kgk",
    "conductivity_w_mk",
    "diffusivity_m2_s",
];

#[test]
fn every_figure_of_a_lemonade_has_a_value_a_unit_and_a_basis() -> Result<(), Any> {
    let json = json(&["citric=0.05", "K=0.03", "sucrose=0.35"])?;
    for key in FIGURES.into_iter().chain(["dominates", "at_c"]) {
        assert!(value(&json, key).is_finite(), "{key}: {}", json[key]);
        assert!(
            json[key]["unit"].is_string() && json[key]["basis"]["kind"].is_string(),
            "{key}"
        );
    }
    let parts = json["composition"].as_object().map_or(0, serde_json::Map::len);
    assert_eq!(parts, 4);
    assert_eq!(json["ph"]["basis"]["equation"], "ph-charge-balance");
    Ok(())
}

#[test]
fn the_citrate_standard_reads_what_it_is_certified_at() -> Result<(), Any> {
    // Staples and Bates 1969: 0.05 mol/kg potassium dihydrogen citrate, 3.776 at 25 °C.
    let json = json(&["citric=0.05", "K=0.05", "--at-c", "25"])?;
    assert!((value(&json, "ph") - 3.776).abs() < 0.02);
    assert!(json["ph_band"]["low"].as_f64() < Some(3.776) && json["ph_band"]["high"].as_f64() > Some(3.776));
    Ok(())
}

#[test]
fn saturated_salt_keeps_its_humidity_and_has_no_ph() -> Result<(), Any> {
    // Greenspan 1977: 75.3 % over saturated sodium chloride.
    let json = json(&["salt=6.146"])?;
    assert!((value(&json, "water_activity") - 0.753).abs() < 0.0015);
    for key in ["ph", "ph_band", "ionic_strength", "titratable_acidity", "dominates"] {
        assert!(json[key].is_null(), "{key}");
        let why = json[format!("{key}_unknown")].as_str().unwrap_or_default();
        assert!(why.contains("ionic strength"), "{key}: {why}");
    }
    assert!(value(&json, "freezes_at_c") < -21.0);
    Ok(())
}

#[test]
fn missing_figures_are_said_in_words_and_end_well() -> Result<(), Any> {
    let output = brine(&["NaCl=4"])?;
    let said = String::from_utf8(output.stdout)?;
    assert_eq!(output.status.code(), Some(0));
    assert!(said.contains("cannot be told: ionic strength"), "{said}");
    assert!(said.contains("°F"), "{said}");
    Ok(())
}

#[test]
fn ions_out_of_balance_are_told_as_charge() -> Result<(), Any> {
    let json = json(&["Cl=0.01"])?;
    assert!((value(&json, "ph") - 2.045).abs() < 0.01, "{}", json["ph"]);
    let notes = json["notes"].to_string();
    assert!(notes.contains("hydrogen ions"), "{notes}");
    Ok(())
}

#[test]
fn todays_barometer_moves_the_boiling_point() -> Result<(), Any> {
    let plain = value(&json(&["sucrose=3", "--altitude-m", "1500"])?, "boils_at_c");
    let high = value(
        &json(&["sucrose=3", "--altitude-m", "1500", "--sea-level-hpa", "1035"])?,
        "boils_at_c",
    );
    let here = value(
        &json(&["sucrose=3", "--altitude-m", "1500", "--barometer-hpa", "865"])?,
        "boils_at_c",
    );
    assert!(
        high > plain + 0.4 && here > plain && plain < 97.5,
        "{plain} {high} {here}"
    );
    Ok(())
}

#[test]
fn bad_input_ends_in_two_and_says_what_to_do() -> Result<(), Any> {
    let cases: [(&[&str], &str); 16] = [
        (&["citrc=0.05"], "did you mean \"citric\"?"),
        (&["elephant=1"], "known are"),
        (&["citric"], "WORD=MOL"),
        (&["citric=much"], "no number"),
        (&["citric=-0.1"], "no amount"),
        (&["citric=NaN"], "no amount"),
        (&["citric=inf"], "no amount"),
        (&["citric=0.1", "citric=0.1"], "twice"),
        (&["salt=1", "NaCl=1"], "the same"),
        (&["citric=0.1", "--at-c", "101"], "0 to 100"),
        (&["citric=0.1", "--at-c", "-5"], "frozen"),
        (&["citric=0.1", "--at-c", "nan"], "0 to 100"),
        (&["citric=0.1", "--at-c", "77K"], "say their scale"),
        (&["NaCl=8"], "more salt than dissolves"),
        (&["K2SO4=2"], "potassium sulfate"),
        (
            &["citric=0.1", "--altitude-m", "1500", "--sea-level-hpa", "850"],
            "sea level",
        ),
    ];
    for (args, said) in cases {
        let output = brine(args)?;
        let err = String::from_utf8(output.stderr)?;
        assert_eq!(output.status.code(), Some(2), "{args:?}: {err}");
        assert!(err.contains(said), "{args:?}: {err}");
        assert!(output.stdout.is_empty(), "{args:?}");
    }
    assert_eq!(brine(&[])?.status.code(), Some(2));
    Ok(())
}

#[test]
fn help_shows_an_example_that_runs() -> Result<(), Any> {
    let help = String::from_utf8(brine(&["--help"])?.stdout)?;
    assert!(help.contains("jarwright brine citric=0.05 K=0.03 --at-c 25"));
    assert_eq!(
        brine(&["citric=0.05", "K=0.03", "--at-c", "25"])?.status.code(),
        Some(0)
    );
    Ok(())
}

#[test]
fn a_temperature_may_be_given_in_either_scale() -> Result<(), Any> {
    let celsius = json(&["citric=0.05", "K=0.03", "--at-c", "25"])?;
    for at in ["77F", "77 °F", "25C"] {
        let other = json(&["citric=0.05", "K=0.03", "--at-c", at])?;
        assert!((value(&other, "ph") - value(&celsius, "ph")).abs() < 1e-9, "{at}");
    }
    Ok(())
}
