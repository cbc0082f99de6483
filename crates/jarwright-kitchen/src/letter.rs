//! A process authority's letter, held against the run like a published schedule.
//!
//! The letter is entered with its own formula, by share of mass: whoever changes a line of the
//! formula afterwards has left it.

use jarwright_reference::{self as reference, Kind};

use crate::files::{FormulaFile, Letter, Part};
use crate::lines::Line;
use crate::order::Order;
use crate::words;

/// Relative distance of a share that is still the letter's.
const SHARE_TOLERANCE: f64 = 0.02;

/// Rounding of a share written to a tenth of a percent.
const WRITTEN: f64 = 0.000_5;

/// Headspace that is still the letter's [mm].
const HEADSPACE_TOLERANCE_MM: f64 = 1.0;

/// What a letter is held against.
pub(crate) struct LetterCase<'a> {
    pub(crate) formula: &'a FormulaFile,
    pub(crate) order: &'a Order,
    pub(crate) lines: &'a [Line],
    pub(crate) masses_g: &'a [f64],
    pub(crate) jar: &'a str,
    pub(crate) altitude_m: f64,
    pub(crate) headspace_mm: f64,
    /// Coolest that the food is filled at [°C].
    pub(crate) fill_low_c: f64,
    /// Highest pH: measured plus its guard, else the high end of the computed band.
    pub(crate) ph_high: Option<f64>,
}

/// In what the run leaves the letter; empty when the letter is in force, `None` without one.
pub(crate) fn departures(case: &LetterCase) -> Option<Vec<String>> {
    let letter = case.formula.letter.as_ref()?;
    let mut out = Vec::new();
    if letter.expires < case.order.now.date() {
        out.push(format!("the letter of {} ended on {}", letter.signer, letter.expires));
    }
    if letter.signed.is_some_and(|day| day > case.order.now.date()) {
        out.push("the letter is signed on a day to come".into());
    }
    if reference::jar(&letter.jar).is_none_or(|row| row.name != case.jar) {
        out.push(format!("the letter is for the {}, not the {}", letter.jar, case.jar));
    }
    if case.altitude_m > letter.altitude_to_m {
        out.push(format!("the letter goes up to {:.0} m", letter.altitude_to_m));
    }
    if letter
        .headspace_mm
        .is_some_and(|mm| (mm - case.headspace_mm).abs() > HEADSPACE_TOLERANCE_MM)
    {
        out.push("the letter has another headspace".into());
    }
    if letter.fill_min_c.is_some_and(|c| case.fill_low_c < c) {
        out.push(format!(
            "the letter asks for {} at filling, the coolest jar here has {}",
            words::temperature(letter.fill_min_c.unwrap_or(f64::NAN)),
            words::temperature(case.fill_low_c)
        ));
    }
    if let (Some(max), Some(given)) = (letter.bath_start_max_c, case.order.bath_start_c)
        && given > max
    {
        out.push(format!(
            "the letter allows the bath {} at the start",
            words::temperature(max)
        ));
    }
    match case.ph_high {
        Some(ph) if ph <= letter.ph_max => {}
        Some(ph) => out.push(format!(
            "the letter asks for pH {:.2} at most; here it may be {ph:.2} until it is measured",
            letter.ph_max
        )),
        None => out.push(format!(
            "the letter asks for pH {:.2} at most; here it is not known until it is measured",
            letter.ph_max
        )),
    }
    share_departures(case, letter, &mut out);
    Some(out)
}

fn share_departures(case: &LetterCase, letter: &Letter, out: &mut Vec<String>) {
    let members: Vec<usize> = (0..case.lines.len())
        .filter(|&i| case.lines[i].written.part != Some(Part::Soak))
        .collect();
    let total: f64 = members.iter().map(|&i| case.masses_g[i]).sum();
    let name_of =
        |name: &str| reference::ingredient(name).map_or_else(|| name.to_lowercase(), |row| row.name.to_lowercase());
    let asked = |name: &str| {
        letter
            .shares
            .iter()
            .find(|(n, _)| name_of(n) == name_of(name))
            .map(|(_, share)| *share)
    };
    let mut seen: Vec<String> = Vec::new();
    for &i in &members {
        let ingredient = &case.lines[i].ingredient;
        let name = name_of(&ingredient.name);
        if seen.contains(&name) {
            continue;
        }
        seen.push(name.clone());
        let got = members
            .iter()
            .filter(|&&j| name_of(&case.lines[j].ingredient.name) == name)
            .map(|&j| case.masses_g[j])
            .sum::<f64>()
            / total;
        let Some(share) = asked(&ingredient.name) else {
            out.push(format!("{} is not in the letter's formula", ingredient.name));
            continue;
        };
        let shown = format!(
            "{}: {:.1} % here, {:.1} % in the letter",
            ingredient.name,
            100.0 * got,
            100.0 * share
        );
        let sours = matches!(ingredient.kind, Kind::AcidJuice | Kind::Vinegar | Kind::Acid);
        let weakens = matches!(ingredient.kind, Kind::Egg | Kind::Fat);
        let out_of_step = (sours && got < share - WRITTEN)
            || (weakens && got > share + WRITTEN)
            || (got / share - 1.0).abs() > SHARE_TOLERANCE.max(WRITTEN / share);
        if out_of_step {
            out.push(shown);
        }
    }
    for (name, _) in &letter.shares {
        if !seen.contains(&name_of(name)) {
            out.push(format!("{name} of the letter's formula is missing"));
        }
    }
}
