//! A cooling curve as a picture: what is drawn, in words and minutes.

use jarwright_kitchen::cooling::{Cooling, Sample};
use jarwright_papers::drawing::{LogPicture, Probe, Spot, log};
use jarwright_papers::words::both_scales;

/// The picture, or none when there are no two moments.
#[must_use]
pub fn draw(cooling: &Cooling) -> Option<String> {
    let last_min = cooling.samples.last()?.t_s / 60.0;
    let line = |name: &str, value: fn(&Sample) -> f64| Probe {
        name: name.into(),
        medium: false,
        spots: cooling
            .samples
            .iter()
            .map(|sample| spot(sample.t_s / 60.0, value(sample)))
            .collect(),
        sum: Vec::new(),
    };
    let mut medium = Vec::new();
    for (i, film) in cooling.films.iter().enumerate() {
        let until = cooling.films.get(i + 1).map_or(last_min, |next| next.from_s / 60.0);
        medium.push(Spot {
            broken: i > 0,
            ..spot(film.from_s / 60.0, film.medium_c)
        });
        medium.push(spot(until, film.medium_c));
    }
    let mut moments: Vec<(f64, String)> = cooling
        .films
        .iter()
        .skip(1)
        .map(|film| (film.from_s / 60.0, format!("into {}", with_article(film.medium))))
        .collect();
    let frozen = cooling
        .freezing
        .as_ref()
        .and_then(|f| f.grid_minutes.map(|at| (at, f.to_c)));
    moments.extend(frozen.map(|(at, c)| (at, format!("middle at {}", both_scales(c, 0)))));
    let lid = if cooling.shape == "pan" { "top" } else { "surface" };
    let svg = log(&LogPicture {
        id: "cooling".into(),
        title: format!("{}: {}", cooling.name, cooling.two_stage.verdict),
        desc: format!(
            "Temperatures of the middle, the mean and the {lid} of a {} of food over {last_min:.0} minutes of cooling.",
            cooling.shape
        ),
        probes: vec![
            line("middle", |s| s.centre_c),
            line("mean", |s| s.mean_c),
            line(lid, |s| s.surface_c),
            Probe {
                name: "medium".into(),
                medium: true,
                spots: medium,
                sum: Vec::new(),
            },
        ],
        sum_title: String::new(),
        marks: vec![
            (57.0, "the clock starts at".into()),
            (21.0, "within 2 h:".into()),
            (5.0, "within 6 h:".into()),
        ],
        moments,
        note: "Computed: a thermometer in the middle of the food decides, and local code.".into(),
    })?;
    Some(svg.into_string())
}

fn spot(at_min: f64, value: f64) -> Spot {
    Spot {
        at_min,
        value,
        broken: false,
    }
}

/// A medium as a place: `the freezer`, `still air`.
fn with_article(medium: &str) -> String {
    match medium {
        "still air" | "water" => medium.into(),
        "fan" => "a fan's air".into(),
        _ => format!("the {medium}"),
    }
}
