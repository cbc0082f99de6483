//! Reading what a formula brings with it: a measurement, a process authority's letter.

use super::formula::{Letter, Measured};
use super::formula_words::{EXPECTED_HEADSPACE, EXPECTED_TEMPERATURE, millimetres};
use super::problem::Fault;
use super::quantity::{altitude_m, headspace_m, share, temperature_c};
use super::section::Section;
use super::walk::Need::{May, Must};
use super::walk::{Walk, jar_size};

pub(crate) const MEASURED: &[&str] = &["ph", "brix", "water_activity", "by", "when", "instrument"];
pub(crate) const LETTER: &[&str] = &[
    "signer",
    "signed",
    "expires",
    "jar",
    "minutes",
    "altitude_to",
    "ph_max",
    "headspace",
    "fill_min",
    "bath_start_max",
    "text",
    "line",
];
const LETTER_LINE: &[&str] = &["ingredient", "share"];

/// Longest text of a letter [characters].
const LETTER_CHARS: usize = 20_000;

pub(crate) fn measured<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Measured> {
    if !["ph", "brix", "water_activity"].iter().any(|key| section.has(key)) {
        walk.fault(
            section.at.clone(),
            Fault::new("a measurement of nothing", "ph, brix or water_activity"),
        );
    }
    let ph = section.number(walk, "ph", May, (0.0, 14.0), "a pH such as 3.7");
    let brix = section.number(walk, "brix", May, (0.0, 90.0), "°Brix such as 66");
    let expected = "a water activity above 0 and at most 1, such as 0.86";
    let water_activity = section.number(walk, "water_activity", May, (f64::MIN_POSITIVE, 1.0), expected);
    let by = section.words(walk, "by", Must, "who measured");
    let when = section.date(walk, "when", Must);
    let instrument = section.words(walk, "instrument", May, "an instrument of the kitchen file");
    Some(Measured {
        ph,
        brix,
        water_activity,
        by: by?,
        when: when?,
        instrument,
    })
}

pub(crate) fn letter<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Letter> {
    let signer = section.words(walk, "signer", Must, "the process authority who signed");
    let signed = section.date(walk, "signed", May);
    let expires = section.date(walk, "expires", Must);
    let jar = section.read(walk, "jar", Must, "the jar it holds for", jar_size);
    let minutes = section.number(
        walk,
        "minutes",
        Must,
        (f64::MIN_POSITIVE, 600.0),
        "minutes, above 0 and at most 600",
    );
    let altitude_to_m = section.read(
        walk,
        "altitude_to",
        Must,
        "an altitude such as \"300 m\" or \"1000 ft\"",
        altitude_m,
    );
    let ph_max = section.number(walk, "ph_max", Must, (0.0, 14.0), "the highest pH, such as 4.2");
    let headspace_mm = section
        .read(walk, "headspace", May, EXPECTED_HEADSPACE, headspace_m)
        .map(millimetres);
    let fill_min_c = section.read(walk, "fill_min", May, EXPECTED_TEMPERATURE, temperature_c);
    let bath_start_max_c = section.read(walk, "bath_start_max", May, EXPECTED_TEMPERATURE, temperature_c);
    let text = section.read_long(walk, "text", Must, LETTER_CHARS, "what the letter says", |text| {
        Ok(text.to_owned())
    });
    let shares = section
        .tables(walk, "line", Must, "a line of the letter's formula", LETTER_LINE)
        .iter()
        .filter_map(|line| {
            let ingredient = line.words(walk, "ingredient", Must, "an ingredient of the letter");
            let share = line.read(walk, "share", Must, "a share by mass such as \"41 %\"", share);
            Some((ingredient?, share?))
        })
        .collect();
    if let (Some(signed), Some(expires)) = (signed, expires)
        && expires < signed
    {
        walk.fault(
            section.place(walk, "expires"),
            Fault::new("the letter ends before it was signed", "a later day"),
        );
    }
    Some(Letter {
        signer: signer?,
        shares,
        signed,
        expires: expires?,
        jar: jar?,
        minutes: minutes?,
        altitude_to_m: altitude_to_m?,
        ph_max: ph_max?,
        headspace_mm,
        fill_min_c,
        bath_start_max_c,
        text: text?,
    })
}
