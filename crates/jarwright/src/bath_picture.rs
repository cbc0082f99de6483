//! A followed bath as a picture: water, jars and the boil against minutes.

use jarwright_kitchen::bath_case::{BathAnswer, Kind, Moment};
use jarwright_papers::drawing::{LogPicture, Probe, Spot, log};
use jarwright_papers::words::both_scales;

/// A line's name and what of a moment it draws.
type Line<'a> = (&'a str, fn(&Moment) -> f64);

/// The picture, or none when there is no course to draw.
#[must_use]
pub fn draw(answer: &BathAnswer) -> Option<String> {
    let around = match answer.kind {
        Kind::Water => "water",
        Kind::Steam => "steam",
    };
    let lines: [Line; 3] = [
        (around, |moment| moment.water_c),
        ("jar, mean", |moment| moment.jar_mean_c),
        ("jar, coldest", |moment| moment.coldest_c),
    ];
    let probes = lines
        .into_iter()
        .enumerate()
        .map(|(n, (name, value))| Probe {
            name: name.to_owned(),
            medium: n == 0,
            spots: spots(answer, value),
            sum: Vec::new(),
        })
        .collect();
    let svg = log(&LogPicture {
        id: "bath".into(),
        title: answer.title.clone(),
        desc: format!(
            "{} load{} of jars in {around} that boils at {}: temperatures of the {around}, of the jars' mean and of \
             their coldest place over {:.0} minutes.",
            answer.loads.len(),
            if answer.loads.len() == 1 { "" } else { "s" },
            both_scales(answer.boils_c, 1),
            ends(answer).last().copied().unwrap_or(0.0),
        ),
        probes,
        sum_title: String::new(),
        marks: vec![(answer.boils_c, "water boils here at".into())],
        moments: moments(answer),
        note: "Computed. A tested schedule's minutes stand; come-up is part of it.".into(),
    })?;
    Some(svg.into_string())
}

/// When each load begins [min].
fn starts(answer: &BathAnswer) -> Vec<f64> {
    let mut at_min = 0.0;
    answer
        .loads
        .iter()
        .zip(&answer.gaps_min)
        .map(|(load, gap_min)| {
            let start = at_min + gap_min;
            at_min = start + load.samples.last().map_or(0.0, |last| last.t_s / 60.0);
            start
        })
        .collect()
}

/// When each load ends [min].
fn ends(answer: &BathAnswer) -> Vec<f64> {
    starts(answer)
        .into_iter()
        .zip(&answer.loads)
        .map(|(start, load)| start + load.samples.last().map_or(0.0, |last| last.t_s / 60.0))
        .collect()
}

fn spots(answer: &BathAnswer, value: fn(&Moment) -> f64) -> Vec<Spot> {
    starts(answer)
        .into_iter()
        .zip(&answer.loads)
        .flat_map(|(start, load)| {
            load.samples.iter().enumerate().map(move |(n, moment)| Spot {
                at_min: start + moment.t_s / 60.0,
                value: value(moment),
                broken: n == 0,
            })
        })
        .collect()
}

fn moments(answer: &BathAnswer) -> Vec<(f64, String)> {
    let several = answer.loads.len() > 1;
    starts(answer)
        .into_iter()
        .zip(&answer.loads)
        .enumerate()
        .flat_map(|(n, (start, load))| {
            let which = if several {
                format!("load {}: ", n + 1)
            } else {
                String::new()
            };
            let boils = match &load.boil_lost {
                Some(lost) => format!(
                    "{which}boil lost by {:.1} K, back after {:.1} min",
                    lost.by_k, lost.back_min
                ),
                None => format!("{which}boils after {:.1} min", load.come_up_min),
            };
            let begins = (n > 0).then(|| (start, format!("{which}jars go in")));
            begins.into_iter().chain([(start + load.boils_min, boils)])
        })
        .collect()
}
