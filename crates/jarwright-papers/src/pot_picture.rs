//! A pot case as a picture: middle and wall of one mass, or the middles of several.

use jarwright_kitchen::pot_run::{PotRun, PotSheet};

use crate::drawing::{Curves, Level, OneCurve, Weight, curves};
use crate::words::{both_scales, fahrenheit};

/// The picture as SVG text; nothing where no time passed.
#[must_use]
pub fn pot_picture(sheet: &PotSheet) -> Option<String> {
    let one = sheet.runs.len() == 1;
    let mut drawn = Vec::new();
    for run in &sheet.runs {
        let points = |c: fn(&jarwright_kitchen::pot_run::PotSample) -> f64| {
            run.samples.iter().map(|s| (s.t_s / 60.0, c(s))).collect::<Vec<_>>()
        };
        drawn.push(OneCurve {
            points: points(|s| s.bulk_c),
            weight: Weight::Strong,
            words: Some(at_the_end(run)),
        });
        if one {
            drawn.push(OneCurve {
                points: points(|s| s.wall_c),
                weight: Weight::Dashed,
                words: Some(format!(
                    "dashed: food at the wall, {} at its hottest",
                    both_scales(run.hottest_wall_c, 0)
                )),
            });
        }
    }
    let levels = vec![Level {
        c: sheet.water_boils_c,
        words: format!("water boils here at {}", both_scales(sheet.water_boils_c, 1)),
    }];
    let masses: Vec<String> = sheet
        .runs
        .iter()
        .map(|run| format!("{} kg", kg(run.start_kg)))
        .collect();
    let picture = curves(&Curves {
        id: "pot".into(),
        title: format!("{}: {}, {}", sheet.name, sheet.vessel, masses.join(", ")),
        desc: format!(
            "Temperature in the pot against time for {}; axes in °C and °F up to {:.0} °F.",
            masses.join(", "),
            fahrenheit(sheet.water_boils_c)
        ),
        curves: drawn,
        levels,
        below: below(sheet),
    })?;
    Some(picture.into_string())
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
