use proptest::prelude::*;

use super::{only, shown};
use crate::files::{
    BathAnswer, BurnerAnswer, Fuel, KitchenAnswers, PotAnswer, PotKind, Weekday, kitchen_text, read_kitchen,
};

const DEMO: &str = include_str!("../../../../../demo/kitchen.toml");

fn bad(from: &str, to: &str, words: &str) {
    assert!(DEMO.contains(from), "{from}");
    let at = DEMO.find(from).unwrap_or_default();
    let text = DEMO.replacen(from, to, 1);
    let line = DEMO[..at].matches('\n').count() + 1;
    only(read_kitchen("k", &text), &format!("k:{line}:"), words);
}

#[test]
fn every_fault_of_a_kitchen_is_told_on_its_line() {
    bad(
        "altitude = \"120 m\"",
        "altitude = 120",
        "\"altitude\" is a bare number; expected an altitude such as",
    );
    bad(
        "altitude = \"120 m\"",
        "altitude = \"120\"",
        "an altitude without a unit",
    );
    bad("altitude = \"120 m\"", "altitude = \"120 mi\"", "unknown unit \"mi\"");
    bad("people = 2", "people = 0", "\"people\" is out of range");
    bad("people = 2", "people = 2.5", "\"people\" is a bare number");
    bad("people = 2", "people = 99999999999999999999", "");
    bad("\"USD\"", "\"dollars\"", "unknown currency");
    bad("\"18.00\"", "\"$18\"", "is not a number of currency units");
    bad("open = \"06:30\"", "open = \"20:30\"", "closes before it opens");
    bad("open = \"06:30\"", "open = \"6h30\"", "a time of day");
    bad("\"mon\", \"tue\"", "\"mon\", \"tues\"", "did you mean \"tue\"?");
    bad("\"mon\", \"tue\"", "\"mon\", \"mon\"", "is there twice");
    bad(
        "fuel = \"gas\"",
        "fuel = \"wood\"",
        "unknown fuel \"wood\"; expected gas, coil or induction",
    );
    bad(
        "kind = \"bowl-over-steam\"",
        "kind = \"bowl-over-stem\"",
        "did you mean \"bowl-over-steam\"?",
    );
    bad(
        "burner = \"side ring\"",
        "burner = \"sid ring\"",
        "no burner is named \"sid ring\"",
    );
    bad(
        "name = \"bench pH meter\"",
        "name = \"probe thermometer\"",
        "is there twice",
    );
    bad("half-pint = 12", "half-pnt = 12", "unknown jar \"half-pnt\"");
    bad(
        "half-pint = 12",
        "half-pint = 12, \"8 oz\" = 12",
        "\"half-pint\" is there twice",
    );
    bad("size = \"pint\"", "size = \"8 oz\"", "\"half-pint\" is there twice");
    bad("half-pint = 12", "half-pint = 0", "no number of half-pint jars");
    bad("plus_minus = \"1 C\"", "plus_minus = \"1 Bx\"", "unknown unit \"Bx\"");
    bad("checked = 2026-10-12", "checked = \"soon\"", "a day such as");
    bad("keeps = \"4 C\"", "keeps = \"4 Bx\"", "unknown unit");
    bad("[oven]", "[ovn]", "unknown key \"ovn\"");
}

#[test]
fn a_kitchen_that_says_nothing_of_days_works_every_day() {
    let text = DEMO.replace("works = [\"mon\", \"tue\", \"wed\", \"thu\", \"fri\", \"sat\"]\n", "");
    let works = read_kitchen("k", &text).map(|kitchen| kitchen.works);
    assert!(works.is_ok_and(|works| works.len() == 7 && works[0] == Weekday::Monday));
}

#[test]
fn an_empty_kitchen_is_told_what_it_needs() {
    only(
        read_kitchen("k", "\n"),
        "k:1:1: ",
        "the file is empty; expected a kitchen",
    );
    let faults = shown(read_kitchen("k", "name = \"K\"\n"));
    for key in [
        "altitude",
        "people",
        "currency",
        "scale_step",
        "room",
        "hours",
        "burner",
        "pot",
        "jar",
    ] {
        assert!(
            faults.iter().any(|fault| fault.contains(&format!("no \"{key}\""))),
            "{key}: {faults:#?}"
        );
    }
}

fn answers(name: String, altitude: String) -> KitchenAnswers {
    KitchenAnswers {
        name,
        altitude,
        people: 2,
        currency: "USD".into(),
        labour_per_hour: "18.00".into(),
        energy_per_kwh: "0.06".into(),
        scale_step: "5 g".into(),
        water_supply: "15 C".into(),
        room: "70 F".into(),
        open: "07:00".into(),
        close: "19:00".into(),
        works: vec!["mon".into(), "sat".into()],
        burners: vec![BurnerAnswer {
            name: "ring".into(),
            fuel: Fuel::Induction,
            power: "3.5 kW".into(),
        }],
        pots: vec![PotAnswer {
            name: "pan".into(),
            kind: PotKind::OpenPan,
            holds: "9 L".into(),
            diameter: "14 in".into(),
            burner: "ring".into(),
        }],
        baths: vec![BathAnswer {
            name: "bath".into(),
            water: "18 L".into(),
            diameter: "33 cm".into(),
            burner: "ring".into(),
            jars: vec![("half-pint".into(), 12), ("190 ml".into(), 14)],
        }],
        jars: vec![("half-pint".into(), "0.95".into(), "0.16".into())],
        refrigerator: Some("4 C".into()),
        thermometer: Some("2 F".into()),
        ph_meter: Some("0.02".into()),
        refractometer: Some("0.5 Bx".into()),
    }
}

#[test]
fn a_kitchen_written_from_answers_is_read_back() {
    let written = kitchen_text(&answers("A \"small\" kitchen \\ 2".into(), "400 ft".into()));
    let read = read_kitchen("k", &written);
    assert_eq!(shown(read.clone()), [""; 0], "{written}");
    assert!(read.is_ok_and(|kitchen| {
        kitchen.name == "A \"small\" kitchen \\ 2"
            && (kitchen.altitude_m - 121.92).abs() < 1e-9
            && kitchen.works == [Weekday::Monday, Weekday::Saturday]
            && kitchen.burners[0].fuel == Fuel::Induction
            && kitchen.baths[0].holds("half-pint") == Some(12)
            && kitchen.baths[0].holds("190 ml") == Some(14)
            && kitchen.instruments.len() == 3
            && (kitchen.instruments[0].plus_minus - 10.0 / 9.0).abs() < 1e-12
            && kitchen.losses.seal_failure.is_none()
    }));
}

#[test]
fn what_the_written_kitchen_keeps_as_a_comment_can_be_switched_on() {
    let written = kitchen_text(&answers("K".into(), "120 m".into()));
    let on: String = written
        .lines()
        .map(|line| match line.strip_prefix("# ") {
            Some(key) if key.starts_with('[') || key.contains(" = ") => format!("{key}\n"),
            _ => format!("{line}\n"),
        })
        .collect();
    let faults = shown(read_kitchen("k", &on));
    assert!(on.contains("\n[losses]\n") && faults.is_empty(), "{faults:#?}\n{on}");
}

proptest! {
    #[test]
    fn any_answer_gives_toml_and_any_plain_name_is_kept(name in ".{1,60}", altitude in "[0-9]{1,3} (m|ft)") {
        let read = read_kitchen("k", &kitchen_text(&answers(name.clone(), altitude)));
        match read {
            Ok(kitchen) => prop_assert_eq!(kitchen.name, name.trim()),
            Err(problems) => {
                prop_assert!(problems.iter().all(|problem| problem.line == 2), "{:?}", problems);
                prop_assert!(name.trim().is_empty() || name.chars().any(char::is_control));
            }
        }
    }

    #[test]
    fn a_kitchen_with_a_hole_never_panics(from in 0usize..DEMO.chars().count(), length in 0usize..40, put in ".{0,6}") {
        let to = (from + length).min(DEMO.len());
        let _ = read_kitchen("k", &format!("{}{put}{}", &DEMO[..from], &DEMO[to..]));
    }
}
