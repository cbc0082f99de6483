use jarwright_figure::BandKind;

use super::{only, shown};
use crate::files::read_jar_study;
use crate::sure::{OfPhase, What};

const STUDY: &str = r#"radius_mm = 32
fill_mm = 80
glass_mm = 3
k_w_mk = 0.45
rho_kg_m3 = 1140
cp_j_kgk = 2865
start_c = 76.7

[[phase]]
name = "boil"
seconds = 900
ambient_start_c = 100
ambient_end_c = 100
h_side_w_m2k = 1000
h_base_w_m2k = 1000
h_top_w_m2k = 0

[target]
reference_c = 93.3
z_k = 8.9
d_min = 2
decimal_reductions = 5
hold = "boil"

[uncertain]
k_w_mk = { low = 0.41, high = 0.49, band = "p5-p95" }
z_k = { low = 8, high = 10, band = "printed range", shape = "triangular" }

[uncertain.phase.boil]
seconds = { low = 870, high = 960, band = "instrument" }
"#;

fn with(from: &str, to: &str) -> String {
    assert!(STUDY.contains(from), "{from}");
    STUDY.replacen(from, to, 1)
}

#[test]
fn a_study_is_read_with_what_its_bands_are() {
    let study = read_jar_study("c", STUDY).unwrap_or_else(|faults| panic!("{faults:?}"));
    let said: Vec<_> = study
        .uncertain
        .iter()
        .map(|one| (one.what, one.low, one.high, one.said))
        .collect();
    let boil = What::Phase(0, OfPhase::Seconds);
    assert_eq!(
        said,
        [
            (What::Conductivity, 0.41, 0.49, BandKind::P5P95),
            (What::Z, 8.0, 10.0, BandKind::PrintedRange),
            (boil, 870.0, 960.0, BandKind::Instrument),
        ]
    );
    let target = study.target.unwrap_or_else(|| panic!("no target"));
    assert!((target.needed_min() - 10.0).abs() < 1e-12 && target.hold == Some(0));
    // Two of them are spread round the case's own number.
    assert!((study.uncertain[0].spread.at(0.5) - 0.45).abs() < 1e-9);
    assert!((study.uncertain[2].spread.at(0.5) - 915.0).abs() < 1e-9);
}

#[test]
fn faults_of_a_study_are_told_with_their_place() {
    for (from, to, place, words) in [
        ("low = 0.41", "low = 0.6", "c:26", "low 0.6 is not below high 0.49"),
        ("low = 0.41", "low = nan", "c:26", "not a finite number"),
        ("high = 0.49", "high = inf", "c:26", "not a finite number"),
        (
            "low = 0.41",
            "low = 0.46",
            "c:26",
            "the case's own \"k_w_mk\" is 0.45, outside 0.46 to 0.49",
        ),
        ("low = 0.41", "low = -3", "c:26", "numbers from 0.05 to 5"),
        ("low = 0.41, ", "", "c:26", "a band has no \"low\""),
        ("band = \"p5-p95\"", "band = \"p5-p59\"", "c:26", "\"p5-p95\""),
        (
            "\"p5-p95\"",
            "\"p5-p95\", shape = \"uniform\"",
            "c:26",
            "normal or lognormal",
        ),
        (
            "k_w_mk = { low = 0.41, high = 0.49, band = \"p5-p95\" }",
            "k_w_mk = 0.4",
            "c:26",
            "a table",
        ),
        ("hold = \"boil\"", "hold = \"biol\"", "c:23", "did you mean \"boil\""),
        (
            "[uncertain.phase.boil]",
            "[uncertain.phase.bowl]",
            "c:29",
            "no phase is named \"bowl\"",
        ),
        ("name = \"boil\"\n", "", "c:", "no phase is named \"boil\""),
        (
            "decimal_reductions = 5",
            "decimal_reductions = 0",
            "c:22",
            "decimal_reductions",
        ),
    ] {
        let faults = shown(read_jar_study("c", &with(from, to))).join("\n");
        assert!(
            faults.contains(place) && faults.contains(words),
            "{from} -> {to}\n{faults}"
        );
    }
    let unknown = with("k_w_mk = { low", "k_w_km = { low");
    only(read_jar_study("c", &unknown), "c:26:1", "did you mean \"k_w_mk\"");
    let unknown = with("seconds = { low", "secons = { low");
    only(read_jar_study("c", &unknown), "c:30:1", "did you mean \"seconds\"");
    let no_target = with(
        "[target]\nreference_c = 93.3\nz_k = 8.9\nd_min = 2\ndecimal_reductions = 5\nhold = \"boil\"\n",
        "",
    );
    only(read_jar_study("c", &no_target), "c:21", "\"z_k\" of no target");
}
