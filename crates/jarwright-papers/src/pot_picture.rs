//! A pot case as a picture: middle and wall of one mass, or the middles of several.

use jarwright_kitchen::pot_run::{PotRun, PotSheet};

use crate::drawing::{BandPoint, Curves, Level, OneCurve, Pot, Room, Weight, curves, pot};
use crate::words::{both_scales, fahrenheit};

/// The picture as SVG text; nothing where no time passed.
#[must_use]
pub fn pot_picture(sheet: &PotSheet) -> Option<String> {
    let drawn = match sheet.runs.as_slice() {
        [run] => one_mass(sheet, run),
        runs => several(sheet, runs),
    };
    drawn.map(maud::PreEscaped::into_string)
}

/// One mass: mean and wall, where water boils, where the egg at the wall scrambles.
fn one_mass(sheet: &PotSheet, run: &PotRun) -> Option<maud::Markup> {
    let mut levels = vec![Level {
        c: sheet.water_boils_c,
        words: "water boils here at".into(),
    }];
    levels.extend(run.scramble_margin_c.map(|margin| Level {
        c: run.hottest_wall_c + margin,
        words: "half the egg at the wall scrambles at".into(),
    }));
    let mean = run.samples.iter().map(|s| BandPoint {
        at: s.t_s / 60.0,
        low: s.bulk_c,
        value: s.bulk_c,
        high: s.bulk_c,
    });
    let mut below: Vec<String> = run
        .scrambled_share
        .map(|share| format!("Egg scrambled in the middle: {:.1} %.", 100.0 * share))
        .into_iter()
        .collect();
    below.extend(self::below(sheet));
    pot(&Pot {
        id: "pot".into(),
        title: format!("{}: {}, {} kg", sheet.name, sheet.vessel, kg(run.start_kg)),
        desc: format!("Temperature in the pot against time for {} kg.", kg(run.start_kg)),
        room: Room::Wide,
        mean: mean.collect(),
        wall: run.samples.iter().map(|s| (s.t_s / 60.0, s.wall_c)).collect(),
        levels,
        phases: vec![],
        events: vec![],
        ready_min: run.samples.last().map(|s| s.t_s / 60.0),
        below,
    })
}

/// Several masses: their means, each told at its end.
fn several(sheet: &PotSheet, runs: &[PotRun]) -> Option<maud::Markup> {
    let drawn = runs.iter().map(|run| OneCurve {
        points: run.samples.iter().map(|s| (s.t_s / 60.0, s.bulk_c)).collect(),
        weight: Weight::Strong,
        words: Some(at_the_end(run)),
    });
    let masses: Vec<String> = runs.iter().map(|run| format!("{} kg", kg(run.start_kg))).collect();
    curves(&Curves {
        id: "pot".into(),
        title: format!("{}: {}, {}", sheet.name, sheet.vessel, masses.join(", ")),
        desc: format!(
            "Temperature in the pot against time for {}; axes in °C and °F up to {:.0} °F.",
            masses.join(", "),
            fahrenheit(sheet.water_boils_c)
        ),
        curves: drawn.collect(),
        levels: vec![Level {
            c: sheet.water_boils_c,
            words: format!("water boils here at {}", both_scales(sheet.water_boils_c, 1)),
        }],
        below: below(sheet),
    })
}

fn at_the_end(run: &PotRun) -> String {
    let egg = run
        .scrambled_share
        .map_or(String::new(), |share| format!(", {:.1} % scrambled", 100.0 * share));
    format!(
        "{} kg: {:.0} min, {}, wall to {:.0} °C{egg}",
        kg(run.start_kg),
        run.minutes,
        both_scales(run.end_c, 0),
        run.hottest_wall_c
    )
}

/// Where splitting wins, the largest batch, and what this pot does not manage.
fn below(sheet: &PotSheet) -> Vec<String> {
    let mut said = vec![match sheet.splits_from_kg {
        Some(from) => format!("From {from:.1} kg on, two potfuls of half one after the other are quicker than one."),
        None => "One potful is quicker than two of half, as far as was looked.".into(),
    }];
    if let Some(largest) = sheet.largest_kg {
        said.push(format!("Largest batch for this pot: {largest:.1} kg at the start."));
    }
    said.extend(sheet.refused.iter().map(|refusal| format!("{}.", refusal.why)));
    said
}

fn kg(kg: f64) -> String {
    let tenths = format!("{kg:.2}");
    tenths.trim_end_matches('0').trim_end_matches('.').into()
}
