use jarwright_reference::{Acid, Kind};
use proptest::prelude::*;

use super::only;
use crate::files::{Money, read_stores};

const OWN: &str = "[[item]]
name = \"quince purée, house\"
kind = \"acid fruit\"
pack = \"2 kg\"
price = \"14.50\"
density = \"1.05 g/ml\"
pieces = { fruit = \"95 g\" }
allergens = [\"sulphites\"]
label_name = \"quince purée\"
trim_yield = \"94 %\"
on_hand = \"500 g\"
lot = \"Q-17\"
[item.analysis]
water = \"81 %\"
sugars = \"9.5 %\"
citric_acid = \"0.2 %\"
malic_acid = \"0.9 %\"
ph = 3.4
brix = \"14 Bx\"
";

#[test]
fn an_own_ingredient_is_read_with_its_sheet() {
    let item = read_stores("s", OWN).map(|mut stores| stores.items.remove(0));
    assert!(
        item.as_ref().is_ok_and(|item| {
            let (own, sheet) = (item.own.as_ref(), item.analysis.as_ref());
            item.price == Money { millionths: 14_500_000 }
                && own.is_some_and(|own| own.kind == Kind::AcidFruit && own.pieces_g[0].0 == "fruit")
                && sheet.is_some_and(|sheet| {
                    sheet
                        .acids
                        .iter()
                        .map(|&(acid, _)| acid)
                        .eq([Acid::Citric, Acid::Malic])
                        && sheet.water.is_some_and(|water| (water - 81.0).abs() < 1e-9)
                        && sheet.protein.is_none()
                })
        }),
        "{item:?}"
    );
}

/// The own purée with what the kitchen measured of it.
fn measured(more: &str) -> String {
    OWN.replace("brix = \"14 Bx\"\n", more)
}

#[test]
fn a_titration_is_read_with_the_acid_it_is_counted_as() {
    let read = |text: &str| {
        let sheet = read_stores("s", text).ok()?.items.remove(0).analysis?;
        sheet.titratable_acidity.map(|t| (t.percent, t.counted_as))
    };
    let plain = read(&measured("titratable_acidity = \"1.2 %\"\n"));
    assert!(plain.is_some_and(|(percent, acid)| (percent - 1.2).abs() < 1e-9 && acid.is_none()));
    let said = read(&measured("titratable_acidity = \"1.2 %\"\ntitrated_as = \"malic\"\n"));
    assert!(said.is_some_and(|(_, acid)| acid == Some(Acid::Malic)));
}

#[test]
fn a_measurement_that_cannot_be_is_told_on_its_line() {
    for (more, line, words) in [
        ("titratable_acidity = \"-4 %\"\n", 19, "out of range"),
        ("titratable_acidity = \"0 %\"\n", 19, "a titratable acidity of zero"),
        ("titratable_acidity = \"120 %\"\n", 19, "out of range"),
        ("titratable_acidity = \"nan %\"\n", 19, "no number"),
        (
            "titratable_acidity = 4.6\n",
            19,
            "\"titratable_acidity\" is a bare number",
        ),
        ("titrated_as = \"citric\"\n", 19, "without \"titratable_acidity\""),
        (
            "titratable_acidity = \"1 %\"\ntitrated_as = \"citrik\"\n",
            20,
            "did you mean \"citric\"?",
        ),
        ("brix = \"40 Bx\"\n", 19, "do not fit beside"),
        ("brix = \"-1 Bx\"\n", 19, "out of range"),
    ] {
        let shown = super::shown(read_stores("s", &measured(more)));
        assert!(
            shown.len() == 1 && shown[0].starts_with(&format!("s:{line}:")),
            "{more}: {shown:#?}"
        );
        assert!(shown[0].contains(words), "{more}: {shown:#?}");
    }
    let bare = OWN.replace("citric_acid = \"0.2 %\"\nmalic_acid = \"0.9 %\"\n", "");
    only(read_stores("s", &bare), "s:16:", "a pH and no acid that carries it");
    let basic = measured("titratable_acidity = \"1 %\"\n").replace("ph = 3.4", "ph = 8.4");
    only(read_stores("s", &basic), "s:18:", "above the titration's end");
    let water = "[[item]]\ningredient = \"sugar\"\npack = \"1 kg\"\nprice = \"1\"\n[item.analysis]\nph = 5.0\n";
    only(read_stores("s", water), "s:6:", "a pH and no acid that carries it");
}

#[test]
fn every_fault_of_the_stores_is_told_on_its_line() {
    for (from, to, line, words) in [
        (
            "kind = \"acid fruit\"",
            "kind = \"acid frut\"",
            3,
            "did you mean \"acid fruit\"?",
        ),
        (
            "pack = \"2 kg\"",
            "pack = \"2 cup\"",
            4,
            "\"cup\" is not the same everywhere",
        ),
        ("pack = \"2 kg\"", "pack = \"0 kg\"", 4, "an amount of zero"),
        ("\"14.50\"", "\"14,50\"", 5, "a comma in money"),
        ("\"14.50\"", "14.5", 5, "\"price\" is a bare number"),
        ("\"94 %\"", "\"0 %\"", 10, "a trim yield of zero"),
        ("fruit = \"95 g\"", "lump = \"95 g\"", 7, "is no piece word"),
        ("fruit = \"95 g\"", "fruit = 95", 7, "the weight of a piece is no text"),
        ("water = \"81 %\"", "water = \"98 %\"", 13, "adds up to"),
        ("water = \"81 %\"\n", "", 13, "an analysis has no \"water\""),
        ("ph = 3.4", "ph = 34", 18, "\"ph\" is 34"),
        ("sugars", "suger", 15, "did you mean \"sugars\"?"),
        (
            "name = \"quince purée, house\"",
            "name = \"sugar\"",
            2,
            "of the reference table",
        ),
        (
            "name = \"quince purée, house\"",
            "name = \"house\"\ningredient = \"sugar\"",
            2,
            "one of the two",
        ),
    ] {
        assert!(OWN.contains(from), "{from}");
        only(
            read_stores("s", &OWN.replacen(from, to, 1)),
            &format!("s:{line}:"),
            words,
        );
    }
    only(read_stores("s", ""), "s:1:1: ", "the file is empty; expected stores");
    let twice = "[[item]]\ningredient = \"sugar\"\npack = \"1 kg\"\nprice = \"1\"\n".repeat(2);
    only(read_stores("s", &twice), "s:6:15: ", "\"sugar\" is there twice");
    let item = "[[item]]\ningredient = \"sugar\"\npack = \"1 kg\"\nprice = \"1\"\n";
    only(
        read_stores("s", &item.replace("sugar", "suggar")),
        "s:2:15: ",
        "did you mean \"sugar\"?",
    );
    only(
        read_stores("s", &format!("{item}kind = \"fat\"\n")),
        "s:5:9: ",
        "of the reference table",
    );
    let nameless = OWN.split("[item.analysis]").next().unwrap_or_default();
    only(
        read_stores("s", nameless),
        "s:1:1: ",
        "an own ingredient without \"analysis\"",
    );
}

#[test]
fn an_item_is_found_by_any_name_of_its_ingredient() {
    let text = "[[item]]\ningredient = \"egg, whole\"\npack = \"12 large\"\nprice = \"3.90\"\n";
    let stores = read_stores("s", text).unwrap_or_default();
    assert!(stores.item("Eggs").is_some());
    assert!(stores.item("egg yolk").is_none());
}

proptest! {
    #[test]
    fn stores_with_a_hole_never_panic(from in 0usize..1000, length in 0usize..40, put in ".{0,6}") {
        let chars: Vec<char> = OWN.chars().collect();
        let from = from.min(chars.len());
        let to = (from + length).min(chars.len());
        let text: String = chars[..from].iter().copied().chain(put.chars()).chain(chars[to..].iter().copied()).collect();
        let _ = read_stores("s", &text);
    }
}
