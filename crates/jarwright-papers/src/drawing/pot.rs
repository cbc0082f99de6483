//! A pot on the heat: the mean of the food, the film at its wall, and the temperatures that matter.

use maud::Markup;

use super::{Across, BandCurve, BandPoint, Banded, Level, Mark, Phase, Room, Up, Weight, banded, figure, value_at};
use crate::words::both_scales;

/// A pot on the heat.
#[derive(Debug, Clone, PartialEq)]
pub struct Pot {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// What stands before the words made from the curves; may be empty.
    pub desc: String,
    /// How much room there is.
    pub room: Room,
    /// Mean temperature of the food [min, °C], in order of time; without a band all three are one.
    pub mean: Vec<BandPoint>,
    /// Temperature of the film at the wall [min, °C], in order of time; may be empty.
    pub wall: Vec<(f64, f64)>,
    /// Temperatures that matter: where it sets, where egg scrambles, what it is taken to. Their
    /// words need no figure: it is written behind them in both scales.
    pub levels: Vec<Level>,
    /// What goes on from when, in order.
    pub phases: Vec<Phase>,
    /// What is done and when, in order; each is marked on the mean curve.
    pub events: Vec<Phase>,
    /// When it is ready [min].
    pub ready_min: Option<f64>,
    /// Sentences under the picture.
    pub below: Vec<String>,
}

/// Draws a pot; nothing when the mean has fewer than two finite points.
#[must_use]
pub fn pot(p: &Pot) -> Option<Markup> {
    let finite = p.mean.iter().filter(|m| m.at.is_finite() && m.value.is_finite());
    let mean: Vec<(f64, f64)> = finite.map(|m| (m.at, m.value)).collect();
    let (first, last) = (mean.first()?.0, mean.last()?.0);
    let known = |at: &f64| (first..=last).contains(at);
    let mut marks: Vec<Mark> = p
        .events
        .iter()
        .filter(|event| known(&event.from_min))
        .map(|event| Mark {
            at_min: event.from_min,
            c: value_at(&mean, event.from_min),
            words: event.words.clone(),
        })
        .collect();
    if let Some(at_min) = p.ready_min.filter(known) {
        let c = value_at(&mean, at_min);
        let words = format!("ready after {} min: {}", figure(at_min), both_scales(c, 0));
        marks.push(Mark { at_min, c, words });
    }
    marks.sort_by(|a, b| a.at_min.total_cmp(&b.at_min));
    let levels = p.levels.iter().map(|level| Level {
        c: level.c,
        words: format!("{} {}", level.words, both_scales(level.c, 0)),
    });
    let mut curves = vec![BandCurve {
        words: "mean of the food".into(),
        weight: Weight::Strong,
        points: p.mean.clone(),
    }];
    let hottest = p
        .wall
        .iter()
        .map(|w| w.1)
        .filter(|c| c.is_finite())
        .fold(f64::NEG_INFINITY, f64::max);
    if hottest.is_finite() {
        let one = |&(at, value): &(f64, f64)| BandPoint {
            at,
            low: value,
            value,
            high: value,
        };
        curves.push(BandCurve {
            words: format!("wall film, to {}", both_scales(hottest, 0)),
            weight: Weight::Dashed,
            points: p.wall.iter().map(one).collect(),
        });
    }
    let ready = marks
        .iter()
        .map(|mark| format!(" At {} min: {}.", figure(mark.at_min), mark.words));
    banded(&Banded {
        id: p.id.clone(),
        title: p.title.clone(),
        desc: format!("{}{}", p.desc, ready.collect::<String>()),
        room: p.room,
        up: Up::Temperature,
        across: Across::Minutes,
        curves,
        levels: levels.collect(),
        phases: p.phases.clone(),
        marks,
        lower: None,
        cursors: vec![],
        below: p.below.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curd(room: Room) -> Pot {
        let point = |at: f64| {
            let value = 20.0 + 2.5 * at;
            BandPoint {
                at,
                low: value - 2.0,
                value,
                high: value + 2.0,
            }
        };
        Pot {
            id: "p".into(),
            title: "curd <3 kg>".into(),
            desc: String::new(),
            room,
            mean: (0..=24).map(|m| point(f64::from(m))).collect(),
            wall: (0..=24).map(|m| (f64::from(m), 26.0 + 2.5 * f64::from(m))).collect(),
            levels: vec![Level {
                c: 77.0,
                words: "set point".into(),
            }],
            phases: vec![],
            events: vec![Phase {
                from_min: 10.5,
                words: "butter in".into(),
            }],
            ready_min: Some(22.8),
            below: vec!["One potful is quicker.".into()],
        }
    }

    fn svg(p: &Pot) -> String {
        pot(p).map(maud::PreEscaped::into_string).unwrap_or_default()
    }

    #[test]
    fn levels_wall_and_the_ready_time_are_told_in_both_scales() {
        for room in [Room::Narrow, Room::Wide] {
            let svg = svg(&curd(room));
            for words in [
                "set point 77 °C (171 °F)",
                "mean of the food",
                "86 °C (187 °F)",
                "ready after 22.8 min: 77 °C (171 °F)",
                "butter in",
                "curd &lt;3 kg&gt;",
                "One potful is quicker.",
                "lowest 20 °C (68 °F) at 0 min, highest 80 °C (176 °F) at 24 min",
            ] {
                assert!(svg.contains(words), "{words}");
            }
        }
    }

    #[test]
    fn what_is_not_known_is_left_out_and_no_curve_is_no_picture() {
        let mut spoilt = curd(Room::Narrow);
        spoilt.wall = vec![(0.0, f64::NAN), (f64::INFINITY, 40.0)];
        spoilt.levels[0].c = f64::NAN;
        spoilt.events[0].from_min = f64::NAN;
        spoilt.ready_min = Some(1e9);
        spoilt.mean[3].value = f64::NAN;
        let drawn = svg(&spoilt);
        assert!(!drawn.is_empty() && !drawn.contains("NaN") && !drawn.contains("inf") && !drawn.contains("ready"));
        spoilt.mean.truncate(1);
        assert!(pot(&spoilt).is_none());
    }
}
