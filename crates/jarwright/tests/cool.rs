//! Cooling cases: `jarwright cool` on good and bad files.

use std::fs;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

type Any = Box<dyn std::error::Error>;

const PAN: &str = r#"
shape = "pan"
depth_mm = 51
length_mm = 500
width_mm = 300
start_c = 80

[food]
water_pct = 88
glucose_fructose_pct = 6
starch_pct = 6

[[phase]]
medium = "freezer"
medium_c = -20
speed_m_s = 2
"#;

fn cool(case: &str, args: &[&str]) -> Result<Output, Any> {
    let dir = TempDir::new()?;
    fs::write(dir.path().join("case.toml"), case)?;
    Ok(Command::new(env!("CARGO_BIN_EXE_jarwright"))
        .current_dir(dir.path())
        .args(["cool", "case.toml"])
        .args(args)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()?)
}

fn json(case: &str) -> Result<Value, Any> {
    let output = cool(case, &["--json"])?;
    if output.status.code() != Some(0) {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned().into());
    }
    Ok(serde_json::from_slice(&output.stdout)?)
}

fn number(json: &Value, place: &str) -> f64 {
    json.pointer(place).and_then(Value::as_f64).unwrap_or(f64::NAN)
}

#[test]
fn a_pan_in_a_freezer_passes_and_cools_in_order() -> Result<(), Any> {
    let answer = json(PAN)?;
    assert_eq!(answer["two_stage"]["passes"], true);
    let (to_21, to_5) = (
        number(&answer, "/two_stage/minutes_to_21_c"),
        number(&answer, "/two_stage/minutes_to_5_c"),
    );
    assert!(0.0 < to_21 && to_21 < to_5 && to_5 < 360.0, "{to_21} {to_5}");
    assert!(number(&answer, "/greatest_depth_mm") > 51.0);
    assert!(number(&answer, "/imbalance") < 1e-8);
    let samples = answer["samples"].as_array().ok_or("no samples")?;
    for pair in samples.windows(2) {
        assert!(number(&pair[1], "/t_s") > number(&pair[0], "/t_s"));
        assert!(number(&pair[1], "/centre_c") <= number(&pair[0], "/centre_c") + 1e-9);
        assert!(number(&pair[1], "/mean_c") <= number(&pair[1], "/centre_c") + 1e-9);
    }
    Ok(())
}

#[test]
fn a_frozen_pan_has_its_three_times_in_order() -> Result<(), Any> {
    let answer = json(&PAN.replace("start_c = 80", "start_c = 20\nfreeze_to_c = -15"))?;
    let time = |key: &str| number(&answer, &format!("/freezing/{key}_minutes"));
    assert!(
        time("plank") < time("pham") && time("plank") < time("grid"),
        "{}",
        answer["freezing"]
    );
    assert!(
        (time("grid") / time("pham") - 1.0).abs() < 0.2,
        "{}",
        answer["freezing"]
    );
    Ok(())
}

#[test]
fn a_jar_is_never_advised_to_be_cooled_quickly() -> Result<(), Any> {
    let jar = PAN
        .replace("\"pan\"", "\"jar\"")
        .replace("length_mm = 500\nwidth_mm = 300", "diameter_mm = 66");
    let output = cool(&jar, &[])?;
    let said = String::from_utf8(output.stdout)?;
    let words: Vec<&str> = said.split_whitespace().collect();
    let said = words.join(" ");
    assert!(said.contains("nothing here is advice to cool them quickly"), "{said}");
    assert!(said.contains("°C") && said.contains("°F"));
    Ok(())
}

#[test]
fn glass_readings_and_a_refrigerator_are_answered() -> Result<(), Any> {
    let beside = "\n[readings]\nfirst_c = 57\nsecond_c = 39\nminutes_between = 60\nsink_c = 3\n\
        [refrigerator]\nspare_w = 400\nset_c = 3\ncapacity_kj_k = 30\n\
        [glass]\nwall_mm = 3\nheight_mm = 95\ndiameter_mm = 72\njar_c = 20\nfood_c = 88\nunloaded_c = 98\n\
        into_water_c = 20\noven_c = 120\nroom_c = 20\n";
    let answer = json(&format!("{PAN}{beside}"))?;
    assert!(number(&answer, "/forecast/minutes_to_5_c") > number(&answer, "/forecast/line_minutes_to_5_c"));
    assert!(number(&answer, "/refrigerator/most_kg") < number(&answer, "/refrigerator/most_kg_at_21_c"));
    let index = |step: usize| number(&answer, &format!("/glass/steps/{step}/stress_index"));
    // Fill, out into air, out into cold water.
    assert!(
        index(1) < 0.2 && index(0) > index(1) && index(2) > 1.0,
        "{}",
        answer["glass"]
    );
    Ok(())
}

#[test]
fn bad_cases_end_with_two_and_say_what_is_allowed() -> Result<(), Any> {
    for (from, to, said) in [
        ("depth_mm", "depht_mm", "did you mean \"depth_mm\""),
        ("\"pan\"", "\"pot\"", "pan, tub, jar or bowl"),
        ("depth_mm = 51", "depth_mm = nan", "not a finite number"),
        ("depth_mm = 51", "depth_mm = 1e9", "5 to 1000"),
        ("medium_c = -20", "medium_c = 90", "-30 to 60"),
        ("start_c = 80", "start_c = -21", "no colder"),
        ("water_pct = 88", "water_pct = -88", "\"water_pct\" is -88"),
        ("speed_m_s = 2", "speed_m_s = 2\nspeed = 2", "unknown key \"speed\""),
    ] {
        let output = cool(&PAN.replace(from, to), &[])?;
        let complaint = String::from_utf8(output.stderr)?;
        assert_eq!(output.status.code(), Some(2), "{to}: {complaint}");
        assert!(complaint.contains(said), "{to}: {complaint}");
    }
    Ok(())
}

#[test]
fn the_picture_is_written_with_both_scales() -> Result<(), Any> {
    let dir = TempDir::new()?;
    let picture = dir.path().join("pan.svg");
    let output = cool(PAN, &["--plot", &picture.to_string_lossy()])?;
    assert_eq!(output.status.code(), Some(0));
    let svg = fs::read_to_string(picture)?;
    assert!(svg.starts_with("<svg") && svg.contains("°F") && svg.contains("within 2 h: 21 °C (70 °F)"));
    assert!(!svg.contains("NaN"));
    Ok(())
}
