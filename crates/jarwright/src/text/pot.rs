//! A pot case as text.

use jarwright_kitchen::pot_run::{PotRun, PotSheet};
use jarwright_papers::words::{WHOLE_BRIX, both_scales};

use super::page::Page;

/// Most moments told of a single mass.
const MOMENTS: usize = 12;

/// The whole answer.
#[must_use]
pub fn pot(sheet: &PotSheet) -> String {
    let mut page = Page::new();
    page.line(0, &format!("{}: {}", sheet.name, sheet.vessel));
    page.item(0, "Water boils here  ", &both_scales(sheet.water_boils_c, 1));
    if let Some(c) = sheet.food_boils_c {
        page.item(0, "This food boils   ", &both_scales(c, 1));
    }
    for run in &sheet.runs {
        page.gap();
        one(&mut page, run, sheet.runs.len() == 1);
    }
    for refusal in &sheet.refused {
        page.gap();
        page.line(0, &refusal.why);
    }
    page.gap();
    page.line(0, WHOLE_BRIX);
    match sheet.splits_from_kg {
        Some(kg) => page.line(
            0,
            &format!("From {kg:.1} kg on, two potfuls of half one after the other are quicker than one."),
        ),
        None => page.line(0, "One potful is quicker than two of half, as far as was looked."),
    }
    if let Some(kg) = sheet.largest_kg {
        page.line(0, &format!("Largest batch for this pot: {kg:.1} kg at the start."));
    }
    page.gap();
    for note in &sheet.notes {
        page.line(0, note);
    }
    page.text()
}

fn one(page: &mut Page, run: &PotRun, alone: bool) {
    page.line(
        0,
        &format!("{:.2} kg: {:.1} min on the heat", run.start_kg, run.minutes),
    );
    page.item(
        2,
        "Ends at             ",
        &format!(
            "{}; off the heat {:.1} K more",
            both_scales(run.end_c, 1),
            run.carry_over_c
        ),
    );
    page.item(
        2,
        "Food at the wall    ",
        &format!("{} at its hottest", both_scales(run.hottest_wall_c, 1)),
    );
    page.item(
        2,
        "Left in the pot     ",
        &format!(
            "{:.2} kg, {:.2} kg went off as vapour, {:.1} °Brix",
            run.left_kg, run.evaporated_kg, run.brix
        ),
    );
    let taken = run
        .taken_kwh
        .map_or(String::new(), |kwh| format!(", {kwh:.2} kWh from the hob"));
    page.item(
        2,
        "Heat                ",
        &format!("{:.3} kWh into pot and food{taken}", run.energy_kwh),
    );
    if let (Some(set), Some(scrambled)) = (run.set_share, run.scrambled_share) {
        let margin = run.scramble_margin_c.map_or(String::new(), |k| {
            if k >= 0.0 {
                format!("; the wall stayed {k:.0} K below where half its film scrambles")
            } else {
                format!("; the wall was {:.0} K above where half its film scrambles", -k)
            }
        });
        page.item(
            2,
            "Egg                 ",
            &format!("{:.0} % set, {:.1} % scrambled{margin}", 100.0 * set, 100.0 * scrambled),
        );
    }
    if let Some(share) = run.inverted_share {
        page.item(2, "Sucrose split       ", &format!("{:.0} %", 100.0 * share));
    }
    let [usual, a, b] = run.browning_min_at_100c;
    page.item(
        2,
        "Vitamin C, browning ",
        &format!(
            "{:.0} % lost; as {usual:.1} min at 100 °C ({:.1} to {:.1})",
            100.0 * run.ascorbic_lost_share,
            a.min(b),
            a.max(b)
        ),
    );
    if let Some(min) = run.in_two_minutes {
        page.item(2, "In two potfuls      ", &format!("{min:.1} min"));
    }
    if alone {
        page.gap();
        moments(page, run);
    }
}

fn moments(page: &mut Page, run: &PotRun) {
    let every = run.samples.len().div_ceil(MOMENTS).max(1);
    let last = run.samples.len().saturating_sub(1);
    page.verbatim(2, "   min   middle °C   wall °C      kg    °Brix");
    for (_, s) in run
        .samples
        .iter()
        .enumerate()
        .filter(|(i, _)| i % every == 0 || *i == last)
    {
        page.verbatim(
            2,
            &format!(
                "{:6.1}  {:9.1}  {:8.1}  {:6.2}  {:7.1}",
                s.t_s / 60.0,
                s.bulk_c,
                s.wall_c,
                s.mass_kg,
                s.brix
            ),
        );
    }
}
