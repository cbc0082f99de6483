use jarwright_heat::case::Film;
use proptest::prelude::*;

use super::{only, shown};
use crate::files::read_jar_case;

const CASE: &str = "radius_mm = 32.5
fill_mm = 75
glass_mm = 3
k_w_mk = 0.45
rho_kg_m3 = 1150
cp_j_kgk = 3100
start_c = 76.7

[[phase]]
seconds = 600
ambient_start_c = 82
ambient_end_c = 100
h_side_w_m2k = 1200
h_base_w_m2k = 800
h_top_w_m2k = 0
";

fn with(from: &str, to: &str) -> String {
    assert!(CASE.contains(from), "{from}");
    CASE.replacen(from, to, 1)
}

#[test]
fn a_case_is_read_in_the_units_of_its_keys() {
    let case = read_jar_case("c", CASE).unwrap_or_else(|faults| panic!("{faults:?}"));
    assert!((case.body.inner_radius_m - 0.0325).abs() < 1e-15 && (case.body.base_m - 0.003).abs() < 1e-15);
    assert!(
        (case.body.glass_k_w_mk - 1.05).abs() < 1e-12,
        "container glass where none is named"
    );
    assert!((case.glass_start_c - 76.7).abs() < 1e-12);
    let apart = Film::Apart {
        side_w_m2k: 1200.0,
        base_w_m2k: 800.0,
    };
    assert_eq!(case.phases[0].side, apart);
    let named = with("glass_mm = 3", "glass_mm = 3\nk_glass_w_mk = 0.9");
    let named = read_jar_case("c", &named).map(|case| case.body.glass_k_w_mk);
    assert!(named.is_ok_and(|k| (k - 0.9).abs() < 1e-12));
}

#[test]
fn what_cannot_be_is_refused_at_its_place() {
    for (from, to, place, words) in [
        (
            "radius_mm = 32.5",
            "radius_mm = -32.5",
            "c:1:13",
            "a number from 5 to 150 mm",
        ),
        (
            "radius_mm = 32.5",
            "radius_mm = 1e6",
            "c:1:13",
            "a number from 5 to 150 mm",
        ),
        ("fill_mm = 75", "fill_mm = nan", "c:2:11", "not a finite number"),
        ("fill_mm = 75", "fill_mm = \"75\"", "c:2:11", "is a text"),
        ("glass_mm = 3", "glass_mm = 0.01", "c:3:12", "0 for no glass"),
        ("fill_mm = 75", "", "c:1:1", "has no \"fill_mm\""),
        ("seconds = 600", "seconds = 1e9", "c:10:11", "five weeks"),
        ("seconds = 600", "seconds = 0", "c:10:11", "a number from"),
        ("h_top_w_m2k = 0", "h_top_w_m2k = -1", "c:15:15", "0 insulates"),
        ("start_c = 76.7", "start_c = 76.7\ncolour = 3", "c:8:1", "unknown key"),
    ] {
        only(read_jar_case("c", &with(from, to)), place, words);
    }
    only(read_jar_case("c", ""), "c:1:1", "the file is empty");
    only(read_jar_case("c", "radius_mm = "), "c:1", "not TOML");
    only(
        read_jar_case("c", CASE.split("[[phase]]").next().unwrap_or_default()),
        "c:1:1",
        "phase",
    );
}

#[test]
fn a_misspelt_key_is_told_once_with_the_right_one() {
    let faults = shown(read_jar_case("c", &with("fill_mm", "fil_mm")));
    assert!(faults.len() == 1 && faults[0].contains("\"fill_mm\""), "{faults:?}");
    let faults = shown(read_jar_case("c", &with("h_side_w_m2k", "h_sid_w_m2k")));
    assert!(
        faults.len() == 1 && faults[0].contains("\"h_side_w_m2k\""),
        "{faults:?}"
    );
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in ".{0,300}", at in 0usize..250, byte in "[ -~]") {
        let _ = read_jar_case("c", &text);
        let mut bent = CASE.to_owned();
        bent.insert_str(at.min(bent.len()), &byte);
        let _ = read_jar_case("c", &bent);
    }
}
