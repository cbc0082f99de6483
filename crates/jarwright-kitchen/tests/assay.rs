//! Laws of an assay: what must hold whatever the formula.

mod fixture;

use std::collections::BTreeMap;

use fixture::{APRICOT_JAM, Any, DEMO, DILL, LIME_CURD, kitchen, near};
use jarwright_figure::{BasisView, Figure};
use jarwright_kitchen::assaying::{AssayAsked, AssaySheet, At, assay_formula};
use jarwright_kitchen::files::{StoresFile, read_formula};
use jarwright_kitchen::{Barometer, Law};

fn asked(text: &str, at: At) -> Result<AssayAsked, Any> {
    Ok(AssayAsked {
        formula: read_formula("formula", text).map_err(|problems| format!("{problems:?}"))?,
        at,
        at_c: None,
        thermometer_c: None,
        jar: None,
        market: Law::Us,
        now: fixture::now(),
        altitude_m: None,
        barometer: None,
    })
}

fn assay(text: &str, at: At) -> Result<AssaySheet, Any> {
    answer(&asked(text, at)?)
}

fn answer(asked: &AssayAsked) -> Result<AssaySheet, Any> {
    Ok(assay_formula(asked, &kitchen()?, &StoresFile::default())?)
}

fn value(figure: &Option<Figure>) -> f64 {
    figure.as_ref().map_or(f64::NAN, |figure| figure.value)
}

#[test]
fn a_key_has_a_figure_or_a_reason_and_never_both() -> Result<(), Any> {
    for (text, _) in DEMO {
        for at in [At::Weighed, At::Cooked, At::Filled] {
            let json = serde_json::to_value(assay(text, at)?)?;
            for key in [
                "ph",
                "titratable_acidity",
                "water_activity",
                "ionic_strength",
                "boils_at_c",
                "freezes_at_c",
                "brix",
                "refractometer_brix",
                "density_kg_m3",
                "heat_capacity_j_kgk",
                "conductivity_w_mk",
                "diffusivity_m2_s",
            ] {
                let told = json[key]["value"].is_number();
                assert_ne!(told, json["unknown"][key].is_string(), "{key}: {}", json[key]);
            }
        }
    }
    Ok(())
}

#[test]
fn the_parts_of_a_food_make_the_whole() -> Result<(), Any> {
    for (text, _) in DEMO {
        let sheet = assay(text, At::Filled)?;
        let part = |name: &str| sheet.composition.get(name).map_or(0.0, |part| part.value);
        let whole: f64 = [
            "water",
            "sugars",
            "starch and the like",
            "fibre",
            "fat",
            "protein",
            "salt",
            "ash",
            "alcohol",
            "acids",
        ]
        .map(part)
        .iter()
        .sum();
        assert!(near(whole, 100.0, 1e-6), "{}: {whole}", sheet.formula);
    }
    Ok(())
}

#[test]
fn what_is_boiled_to_a_reading_has_that_reading() -> Result<(), Any> {
    let sheet = assay(APRICOT_JAM, At::Cooked)?;
    let brix = sheet.brix.ok_or("no °Brix")?;
    assert!(near(brix.value, 65.0, 1e-6), "{}", brix.value);
    // Whatever the fruit brings, the band is no wider than the instrument.
    let half = 0.5 * (brix.high - brix.low);
    assert!(half > 0.0 && half <= 1.0, "{half}");
    Ok(())
}

#[test]
fn twice_the_formula_is_the_same_food() -> Result<(), Any> {
    let twice = APRICOT_JAM
        .replace("2.25 kg", "4.5 kg")
        .replace("2.75 kg", "5.5 kg")
        .replace("120 g", "240 g");
    assert_ne!(twice, APRICOT_JAM);
    let (one, two) = (assay(APRICOT_JAM, At::Cooked)?, assay(&twice, At::Cooked)?);
    assert!(near(two.mass.value, 2.0 * one.mass.value, 1e-6 * one.mass.value));
    for (a, b) in [
        (&one.ph, &two.ph),
        (&one.water_activity, &two.water_activity),
        (&one.titratable_acidity, &two.titratable_acidity),
        (&one.density_kg_m3, &two.density_kg_m3),
    ] {
        assert!(near(value(a), value(b), 1e-6 * value(a)), "{a:?} {b:?}");
    }
    Ok(())
}

#[test]
fn low_pressure_lowers_the_boil_and_nothing_else() -> Result<(), Any> {
    let mut low = asked(APRICOT_JAM, At::Cooked)?;
    low.barometer = Some(Barometer::Here(97_000.0));
    let mut high = low.clone();
    high.barometer = Some(Barometer::Here(103_000.0));
    let (low, high) = (answer(&low)?, answer(&high)?);
    assert!(value(&low.boils_at_c) < value(&high.boils_at_c) - 1.0);
    assert!(low.water_boils.value < high.water_boils.value - 1.0);
    assert!(near(value(&low.ph), value(&high.ph), 1e-9));
    for (a, b) in low.boiled_down.iter().zip(&high.boiled_down) {
        assert!(a.boils_at_c.value < b.boils_at_c.value);
    }
    Ok(())
}

#[test]
fn a_thermometer_and_a_refractometer_answer_each_other() -> Result<(), Any> {
    let sheet = assay(APRICOT_JAM, At::Cooked)?;
    let row = sheet.boiled_down.iter().find(|row| near(row.brix.value, 65.0, 1e-9));
    let reads_c = row.ok_or("65 °Brix is not told")?.boils_at_c.value;
    let mut back = asked(APRICOT_JAM, At::Cooked)?;
    back.thermometer_c = Some(reads_c);
    let found = answer(&back)?.thermometer.ok_or("no answer")?;
    assert!(near(found.brix.value, 65.0, 0.01), "{}", found.brix.value);
    Ok(())
}

#[test]
fn a_reading_that_no_boiling_food_shows_is_refused() -> Result<(), Any> {
    for (text, c) in [(APRICOT_JAM, 85.0), (DILL, 101.0)] {
        let mut asked = asked(text, At::Cooked)?;
        asked.thermometer_c = Some(c);
        assert!(answer(&asked).is_err(), "{c}");
    }
    Ok(())
}

#[test]
fn shares_of_a_band_are_shares() -> Result<(), Any> {
    for (text, _) in DEMO {
        let sheet = assay(text, At::Filled)?;
        let causes = sheet.dominates.get("ph").ok_or("the pH's band comes from nowhere")?;
        assert!(!causes.is_empty());
        for causes in sheet.dominates.values() {
            let sum: f64 = causes.iter().map(|cause| cause.share.value).sum();
            assert!((5.0..=100.0 + 1e-9).contains(&sum), "{}: {causes:?}", sheet.formula);
            assert!(causes.windows(2).all(|two| two[0].share.value >= two[1].share.value));
        }
    }
    Ok(())
}

#[test]
fn every_figure_walks_down_to_what_is_entered_or_published() -> Result<(), Any> {
    fn walk(id: &str, all: &BTreeMap<String, Figure>, depth: usize) -> Result<(), String> {
        let figure = all.get(id).ok_or_else(|| format!("{id} is not told"))?;
        if depth > 60 {
            return Err(format!("{id} goes in a circle"));
        }
        match &figure.basis {
            BasisView::Computed { inputs, .. } => inputs
                .iter()
                .try_for_each(|input| walk(&input.id.to_string(), all, depth + 1)),
            BasisView::Published { .. } | BasisView::Measured { .. } | BasisView::Entered { .. } => Ok(()),
        }
    }
    for text in [LIME_CURD, APRICOT_JAM, DILL] {
        let sheet = assay(text, At::Filled)?;
        let mut seen = 0;
        let mut fault = None;
        sheet.each_figure(&mut |figure| {
            seen += 1;
            fault = fault.take().or(walk(&figure.id, &sheet.quantities, 0).err());
        });
        assert_eq!(fault, None);
        assert!(seen > 40, "{seen}");
    }
    Ok(())
}
