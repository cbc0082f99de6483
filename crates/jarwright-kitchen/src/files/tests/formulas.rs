use proptest::prelude::*;

use super::{only, shown};
use crate::files::{
    Endpoint, GoesIn, MOST_BYTES, MOST_LINES, MOST_PROBLEMS, Part, read_formula, read_formula_with, read_stores,
};

const GOOD: &str = "name = \"Syrup\"
food = \"syrup\"
stop_at = \"boil + 9 F\"
[[line]]
ingredient = \"sugar\"
amount = \"1 kg\"
";

/// The good text with one part replaced.
fn with(from: &str, to: &str) -> String {
    GOOD.replace(from, to)
}

fn bad(from: &str, to: &str, place: &str, words: &str) {
    only(
        read_formula("f.toml", &with(from, to)),
        &format!("f.toml:{place}: "),
        words,
    );
}

#[test]
fn a_short_formula_is_read() {
    let formula = read_formula("f.toml", GOOD);
    let stop = formula.as_ref().ok().and_then(|formula| formula.stop_at.clone());
    assert!(
        matches!(&stop, Some(stop) if matches!(stop.at, Endpoint::AboveBoiling { kelvin } if (kelvin - 5.0).abs() < 1e-12)),
        "{formula:?}"
    );
    assert_eq!(stop.map(|stop| stop.to_string()).as_deref(), Some("boil + 9 F"));
}

#[test]
fn every_fault_of_a_formula_has_its_line_and_column() {
    bad(
        "1 kg",
        "1 kgg",
        "6:13",
        "unknown unit \"kgg\"; expected g, kg, oz, lb, ml, l, cup, tbsp, tsp, fl oz, pint, quart, gallon or a piece word; did you mean \"kg\"?",
    );
    bad("1 kg", "3-4 kg", "6:11", "a range");
    bad("1 kg", "2,5 kg", "6:11", "a comma in a number");
    bad("1 kg", "-1 kg", "6:11", "negative amount");
    bad("1 kg", "0 kg", "6:11", "an amount of zero");
    bad("1 kg", "9000 kg", "6:11", "absurd amount");
    bad(
        "\"1 kg\"",
        "3",
        "6:10",
        "\"amount\" is a bare number; expected an amount such as",
    );
    bad("\"1 kg\"", "[]", "6:10", "\"amount\" is a list");
    bad("\"1 kg\"", "\"\"", "6:10", "\"amount\" is empty");
    bad(
        "1 kg",
        "1 clove",
        "6:11",
        "no published weight of one \"clove\" of sugar",
    );
    bad("1 kg", "1 cup", "6:11", "\"cup\" is not the same everywhere");
    bad("sugar", "sugr", "5:15", "unknown ingredient \"sugr\"");
    bad("amount", "amuont", "6:1", "unknown key \"amuont\"");
    bad("stop_at", "stop", "3:1", "unknown key \"stop\"");
    bad("boil + 9 F", "boil - 9 F", "3:12", "unknown endpoint");
    bad("boil + 9 F", "170", "3:12", "unknown endpoint");
    bad("boil + 9 F", "170 G", "3:12", "unknown endpoint");
    bad("boil + 9 F", "900 F", "3:12", "out of range");
    bad("boil + 9 F", "boil + 90 F", "3:12", "out of range");
    bad("boil + 9 F", "99 Bx", "3:12", "out of range");
    bad("\"syrup\"", "\"sirup\"", "2:9", "unknown class of food \"sirup\"");
    bad("name = \"Syrup\"", "", "1:1", "a formula has no \"name\"");
    bad("name = \"Syrup\"", "name = \"a\\u0007b\"", "1:8", "control character");
    bad(
        "name = \"Syrup\"",
        "name = \"Syrup\"\nschedule = \"curd-lime-half-pnt\"",
        "2:13",
        "did you mean \"curd-lime-half-pint\"?",
    );
    bad(
        "name = \"Syrup\"",
        "name = \"Syrup\"\ncup = \"uk\"",
        "2:8",
        "unknown cup \"uk\"",
    );
    bad(
        "name = \"Syrup\"",
        "name = \"Syrup\"\nfill_at = \"180\"",
        "2:12",
        "a temperature without a unit",
    );
    bad(
        "name = \"Syrup\"",
        "name = \"Syrup\"\njar_headspace = \"1 ft\"",
        "2:18",
        "out of range",
    );
    bad(
        "\n[[line]]",
        "\n[line]",
        "4:1",
        "\"line\" is a table; expected [[line]] in double brackets",
    );
    bad("1 kg\"", "1 kg\"\ngoes_in = \"soon\"", "7:12", "no number");
    bad("1 kg\"", "1 kg\"\nsieved_out = \"120 %\"", "7:15", "out of range");
    bad("1 kg\"", "1 kg\"\nper_jar = true", "7:11", "\"per_jar\" outside a pack");
    bad(
        "1 kg\"",
        "1 kg\"\nper_jar = \"yes\"",
        "7:11",
        "\"per_jar\" is a text; expected true or false",
    );
    bad("1 kg\"", "1 kg\"\npart = \"brine\"", "7:9", "\"part\" outside a pack");
    bad(
        "1 kg\"",
        "1 kg\"\n[pack]\npieces_per_jar = \"270 g\"",
        "4:1",
        "no part of it",
    );
    bad(
        "1 kg\"",
        "1 kg\"\npart = \"brine\"\n[pack]\npieces_per_jar = \"270 g\"",
        "8:1",
        "a pack without pieces",
    );
    bad(
        "1 kg\"",
        "1 kg\"\n[measured]\nby = \"A\"\nwhen = 2026-03-14",
        "7:1",
        "a measurement of nothing",
    );
    bad(
        "1 kg\"",
        "1 kg\"\n[measured]\nph = nan\nby = \"A\"\nwhen = 2026-03-14",
        "8:6",
        "not a finite number",
    );
    bad(
        "1 kg\"",
        "1 kg\"\n[measured]\nph = 37\nby = \"A\"\nwhen = 2026-03-14",
        "8:6",
        "\"ph\" is 37",
    );
    bad(
        "1 kg\"",
        "1 kg\"\n[measured]\nph = \"OK\"\nby = \"A\"\nwhen = 2026-03-14",
        "8:6",
        "\"ph\" is a text",
    );
    bad(
        "1 kg\"",
        "1 kg\"\n[measured]\nph = 3.7\nby = \"A\"\nwhen = \"2026-02-30\"",
        "10:8",
        "2026-02-30",
    );
    bad(
        "1 kg\"",
        "1 kg\"\n[measured]\nph = 3.7\nwhen = 2026-03-14",
        "7:1",
        "a measurement has no \"by\"",
    );
}

#[test]
fn a_letter_has_all_it_needs_or_says_what_is_missing() {
    let letter = "
[letter]
signer = \"A. Person\"
signed = 2026-01-01
expires = 2027-01-01
jar = \"half-pint\"
minutes = 15
altitude_to = \"1000 ft\"
ph_max = 4.2
text = \"\"\"Two
lines.\"\"\"
[[letter.line]]
ingredient = \"sugar\"
share = \"100 %\"
";
    let text = format!("{GOOD}{letter}");
    let read = read_formula("f.toml", &text);
    assert!(
        read.as_ref().is_ok_and(|formula| {
            formula
                .letter
                .as_ref()
                .is_some_and(|letter| (letter.altitude_to_m - 304.8).abs() < 1e-9)
        }),
        "{read:?}"
    );
    only(
        read_formula("f", &text.replace("ph_max = 4.2\n", "")),
        "f:8:1: ",
        "a letter has no \"ph_max\"",
    );
    only(
        read_formula("f", &text.replace("2027", "2025")),
        "f:11:11: ",
        "the letter ends before it was signed",
    );
    only(
        read_formula("f", &text.replace("half-pint", "half-pnt")),
        "f:12:8: ",
        "did you mean \"half-pint\"?",
    );
}

#[test]
fn all_faults_are_told_at_once_in_file_order() {
    let text = "name = 3
food = \"crud\"
colour = \"red\"
[[line]]
ingredient = \"sugr\"
amount = \"3-4 tbsp\"
[[line]]
ingredient = \"water\"
";
    let lines: Vec<String> = shown(read_formula("f", text))
        .iter()
        .map(|line| line.split(": ").next().unwrap_or_default().to_owned())
        .collect();
    assert_eq!(lines, ["f:1:1", "f:1:8", "f:2:9", "f:3:1", "f:5:15", "f:6:11", "f:7:1"]);
}

#[test]
fn a_text_that_is_no_formula_at_all_is_one_fault() {
    only(
        read_formula("f", ""),
        "f:1:1: ",
        "the file is empty; expected a formula",
    );
    only(read_formula("f", " \n\n"), "f:1:1: ", "the file is empty");
    only(read_formula("f", "\u{feff}"), "f:1:1: ", "the file is empty");
    only(read_formula("f", &"#".repeat(MOST_BYTES + 1)), "f:1:1: ", "bytes");
    only(read_formula("f", "name = \"a\"\namount = 2 cup\n"), "f:2:", "not TOML");
    only(
        read_formula("f", "name = \"a\"\nname = \"b\"\n"),
        "f:2:1: ",
        "not TOML: duplicate key",
    );
}

#[test]
fn bounds_are_kept() {
    let many = format!(
        "{GOOD}{}",
        "[[line]]\ningredient = \"sugar\"\namount = \"1 g\"\n".repeat(MOST_LINES)
    );
    only(read_formula("f", &many), "f:", "201 times [[line]]");
    bad(
        "\"Syrup\"",
        &format!("\"{}\"", "x".repeat(201)),
        "1:8",
        "has 201 characters",
    );
    let junk: String = (0..1000).map(|n| format!("k{n} = 1\n")).collect();
    assert_eq!(shown(read_formula("f", &junk)).len(), MOST_PROBLEMS);
}

#[test]
fn own_ingredients_of_the_stores_are_known_and_suggested() {
    let sheet = "[[item]]\nname = \"house syrup base\"\nkind = \"sweetener\"\npack = \"1 kg\"\nprice = \"9\"\ndensity = \"1.3 g/ml\"\n[item.analysis]\nwater = \"34 %\"\n";
    let stores = read_stores("s", sheet);
    assert_eq!(shown(stores.clone()), [""; 0]);
    let stores = stores.ok();
    let text = with("\"sugar\"", "\"house syrup base\"").replace("1 kg", "500 ml");
    assert_eq!(shown(read_formula_with("f", &text, stores.as_ref())), [""; 0]);
    only(read_formula("f", &text), "f:5:15: ", "unknown ingredient");
    let text = text.replace("syrup base", "sirup base");
    only(
        read_formula_with("f", &text, stores.as_ref()),
        "f:5:15: ",
        "did you mean \"house syrup base\"?",
    );
}

#[test]
fn a_line_says_when_it_goes_in_and_what_the_sieve_keeps() {
    let text = with("1 kg\"", "1 kg\"\ngoes_in = \"140 F\"\nsieved_out = \"90 %\"");
    let line = read_formula("f", &text)
        .ok()
        .and_then(|formula| formula.lines.into_iter().next());
    assert!(line.is_some_and(|line| {
        matches!(line.goes_in, GoesIn::When { c } if (c - 60.0).abs() < 1e-9)
            && (line.sieved_out - 0.9).abs() < 1e-12
            && text.get(line.amount_at) == Some("1 kg")
            && text.get(line.ingredient_at) == Some("sugar")
    }));
}

#[test]
fn a_pack_needs_no_endpoint_and_knows_its_parts() {
    let text = "name = \"P\"\nfood = \"pickle\"\n[pack]\npieces_per_jar = \"270 g\"\n[[line]]\ningredient = \"cucumbers\"\namount = \"1 kg\"\npart = \"pieces\"\n[[line]]\ningredient = \"dill heads\"\namount = \"1 head\"\nper_jar = true\n";
    let read = read_formula("f", text);
    assert!(
        read.as_ref()
            .is_ok_and(|f| f.lines[0].part == Some(Part::Pieces) && f.lines[1].per_jar),
        "{read:?}"
    );
    only(
        read_formula("f", &text.replace("true", "true\npart = \"brine\"")),
        "f:13:9: ",
        "goes into each jar",
    );
}

proptest! {
    #[test]
    fn arbitrary_text_never_panics(text in "(?s).{0,200}") {
        if let Err(problems) = read_formula("f", &text) {
            for problem in problems {
                prop_assert!(text.get(problem.offset.clone()).is_some());
                prop_assert!(problem.line >= 1 && problem.column >= 1);
            }
        }
    }

    #[test]
    fn a_good_text_with_a_hole_or_a_strange_piece_never_panics(
        from in 0usize..GOOD.len(), length in 0usize..12, put in ".{0,6}"
    ) {
        let to = (from + length).min(GOOD.len());
        let text = format!("{}{put}{}", &GOOD[..from], &GOOD[to..]);
        if let Err(problems) = read_formula("f", &text) {
            prop_assert!(!problems.is_empty());
            prop_assert!(problems.iter().all(|problem| text.get(problem.offset.clone()).is_some()));
        }
    }
}
