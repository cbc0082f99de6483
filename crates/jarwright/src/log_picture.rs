//! A log's report as a picture: what is drawn, in words and minutes.

use jarwright_papers::drawing::{LogPicture, Probe, Spot, log};
use jarwright_papers::words::both_scales;
use jarwright_stove::{Kept, ProbeReport, Report, SplitBy};

/// Most spots drawn of a line; what lies between them is thinner than its stroke.
const MOST_SPOTS: usize = 1500;

/// The picture, or none when no probe has two readings.
#[must_use]
pub fn draw(report: &Report, name: &str) -> Option<String> {
    let target = report.targets.first()?;
    let probes = report.probes.iter().map(line).collect();
    let mut moments = Vec::new();
    if let Some(up_s) = report.medium.as_ref().and_then(|medium| medium.come_up_s) {
        moments.push((up_s / 60.0, "medium is up".to_owned()));
    }
    if let Some(probe) = report.probes.iter().find(|probe| probe.split_by != SplitBy::Hottest) {
        moments.push((probe.split_s / 60.0, "heating ends".to_owned()));
    }
    let z = format!("z {:.1} K", target.z_k);
    let svg = log(&LogPicture {
        id: "log".into(),
        title: name.to_owned(),
        desc: format!(
            "Temperatures of {} over {:.0} minutes, and beneath them the minutes at {} that they are worth.",
            report
                .probes
                .iter()
                .map(|probe| probe.name.as_str())
                .collect::<Vec<_>>()
                .join(", "),
            report.told.long_s / 60.0,
            both_scales(target.ref_c, 1)
        ),
        probes,
        sum_title: format!("minutes at {}, {z}, added up", both_scales(target.ref_c, 1)),
        marks: vec![(target.ref_c, "reference".into())],
        moments,
        note: "Published schedules govern; this explains. Breaks in a line: readings missing or left out.".into(),
    })?;
    Some(svg.into_string())
}

fn line(probe: &ProbeReport) -> Probe {
    let spots = |value: fn(&Kept) -> f64| thinned(&probe.kept, value);
    Probe {
        name: probe.name.clone(),
        medium: probe.is_medium,
        spots: spots(|kept| kept.c),
        sum: if probe.is_medium {
            Vec::new()
        } else {
            spots(|kept| kept.dose_min)
        },
    }
}

/// Every n-th reading, and the last.
fn thinned(kept: &[Kept], value: fn(&Kept) -> f64) -> Vec<Spot> {
    let step = kept.len().div_ceil(MOST_SPOTS).max(1);
    let mut broken = false;
    let mut spots = Vec::new();
    for (i, reading) in kept.iter().enumerate() {
        broken |= reading.broken;
        if i % step == 0 || i + 1 == kept.len() {
            spots.push(Spot {
                at_min: reading.t_s / 60.0,
                value: value(reading),
                broken,
            });
            broken = false;
        }
    }
    spots
}
