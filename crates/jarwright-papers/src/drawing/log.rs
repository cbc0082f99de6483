//! A logger's probes against time, and what they add up to beneath.

use maud::{Markup, html};

use super::{
    Anchor, Scale, Stroke, apart, axes, bold, ends_told, figure, line, on_white, path, picture, px, text, through,
    width_of,
};
use crate::words::both_scales;

/// A reading in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// When [min].
    pub at_min: f64,
    /// How much: [°C], or what the lower part counts.
    pub value: f64,
    /// Whether the line from the spot before is not known and not drawn.
    pub broken: bool,
}

/// A probe's line.
#[derive(Debug, Clone, PartialEq)]
pub struct Probe {
    /// Its name, written at its end.
    pub name: String,
    /// Whether it is the medium, which is drawn fine.
    pub medium: bool,
    /// Its readings, in order of time.
    pub spots: Vec<Spot>,
    /// What it adds up to, in order of time.
    pub sum: Vec<Spot>,
}

/// A logger's file.
#[derive(Debug, Clone, PartialEq)]
pub struct LogPicture {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title, drawn too.
    pub title: String,
    /// The picture in a sentence or two.
    pub desc: String,
    /// Probes.
    pub probes: Vec<Probe>,
    /// What the lower part counts.
    pub sum_title: String,
    /// Temperatures to mark across [°C], with their names.
    pub marks: Vec<(f64, String)>,
    /// Moments to mark [min], with their names, in order of time.
    pub moments: Vec<(f64, String)>,
    /// Said under the picture.
    pub note: String,
}

const WIDTH: f64 = 860.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = 690.0;
/// Room for names right of the scale in °F.
const NAMES: f64 = RIGHT + 42.0;
const PLOT: f64 = 280.0;
const LOWER: f64 = 120.0;
const ROW: f64 = 14.0;
/// Dashes that tell probes apart without colour; the first is unbroken.
const DASHES: [&str; 6] = ["none", "9 3", "3 3", "12 3 3 3", "1.5 3", "9 3 2 3 2 3"];

/// Draws the log; nothing when no probe has two spots.
#[must_use]
pub fn log(l: &LogPicture) -> Option<Markup> {
    let shown: Vec<&Probe> = l
        .probes
        .iter()
        .filter(|probe| finite(&probe.spots).count() > 1)
        .collect();
    let spots = || shown.iter().flat_map(|probe| finite(&probe.spots));
    let (from, to) = ends(spots().map(|spot| spot.at_min))?;
    let (cold, hot) = ends(spots().map(|spot| spot.value))?;
    let most = ends(shown.iter().flat_map(|probe| finite(&probe.sum)).map(|spot| spot.value)).map_or(0.0, |e| e.1);

    let head = 26.0 + ROW * l.moments.len() as f64;
    let top = head + 22.0;
    let floor = top + PLOT;
    let lower_top = floor + 44.0;
    let lower_floor = if most > 0.0 { lower_top + LOWER } else { floor };
    let lowest = (cold / 10.0).floor() * 10.0;
    let highest = (hot / 10.0).floor() * 10.0 + 10.0;
    let x = Scale::new(from, to, LEFT, RIGHT);
    let y = Scale::new(lowest, highest, floor, top);
    let lower = Scale::new(0.0, most, lower_floor, lower_top + 8.0);
    let names = apart(
        shown
            .iter()
            .map(|probe| last(&probe.spots).map_or(floor, |spot| y.at(spot.value))),
        top,
        floor,
        ROW,
    );
    let (hours, step) = hour_axis(to - from);
    let dashes = dashes(&shown);

    let inside = html! {
        (bold(0.0, 13.0, Anchor::Start, &l.title))
        (axes::temperature(&y, (LEFT, RIGHT), 12.0))
        (line(LEFT, top, LEFT, floor, Stroke::Fine))
        (line(RIGHT, top, RIGHT, floor, Stroke::Fine))
        (line(LEFT, floor, RIGHT, floor, Stroke::Fine))
        @for (i, (at, words)) in l.moments.iter().enumerate() {
            @let (at, height) = (x.at(*at), 30.0 + ROW * i as f64);
            (line(at, height - 8.0, at, floor, Stroke::Dashed))
            @if most > 0.0 { (line(at, lower_top + 8.0, at, lower_floor, Stroke::Dashed)) }
            @if at + 5.0 + width_of(words) < WIDTH {
                (on_white(at + 5.0, height + 2.0, Anchor::Start, words))
            } @else {
                (on_white(at - 5.0, height + 2.0, Anchor::End, words))
            }
        }
        @for (c, _) in l.marks.iter().filter(|(c, _)| (lowest..=highest).contains(c)) {
            (line(LEFT, y.at(*c), RIGHT, y.at(*c), Stroke::Dotted))
        }
        @for (probe, dash) in shown.iter().zip(&dashes) {
            (drawn(&pieces(finite(&probe.spots), &x, &y), dash))
        }
        @for (c, words) in l.marks.iter().filter(|(c, _)| (lowest..=highest).contains(c)) {
            @let words = format!("{words} {}", both_scales(*c, 1));
            @let hidden = |height: f64| spots()
                .map(|spot| (x.at(spot.at_min), y.at(spot.value)))
                .filter(|(at, v)| *at > RIGHT - 4.0 - width_of(&words) && (v - height + 4.0).abs() < 9.0)
                .count();
            @let (below, above) = (y.at(*c) + 14.0, y.at(*c) - 5.0);
            (on_white(RIGHT - 4.0, if hidden(above) < hidden(below) { above } else { below }, Anchor::End, &words))
        }
        @for ((probe, dash), &at) in shown.iter().zip(&dashes).zip(&names) {
            (drawn(&format!("M{} {}H{}", px(NAMES), px(at), px(NAMES + 26.0)), dash))
            (text(NAMES + 31.0, at + 4.0, Anchor::Start, &short(&probe.name)))
        }
        @if most > 0.0 {
            (bold(LEFT, lower_top, Anchor::Start, &l.sum_title))
            @for tick in lower.ticks(3) {
                (line(LEFT, lower.at(tick), RIGHT, lower.at(tick), Stroke::Hair))
                (text(LEFT - 6.0, lower.at(tick) + 4.0, Anchor::End, &figure(tick)))
            }
            (line(LEFT, lower_top + 8.0, LEFT, lower_floor, Stroke::Fine))
            (line(LEFT, lower_floor, RIGHT, lower_floor, Stroke::Fine))
            @for (probe, dash) in shown.iter().zip(&dashes) {
                (drawn(&pieces(finite(&probe.sum), &x, &lower), dash))
            }
            @let sums: Vec<(&&Probe, Spot)> = shown.iter().filter_map(|p| Some((p, last(&p.sum)?))).collect();
            @let heights = apart(sums.iter().map(|(_, spot)| lower.at(spot.value)), lower_top + 8.0, lower_floor, ROW);
            @for ((probe, spot), at) in sums.iter().zip(heights) {
                (text(RIGHT + 7.0, at + 4.0, Anchor::Start, &format!("{} min, {}", figure(spot.value), short(&probe.name))))
            }
        }
        @for base in [Some(floor), (most > 0.0).then_some(lower_floor)].into_iter().flatten() {
            @for tick in x.every(step) {
                (line(x.at(tick), base, x.at(tick), base + 4.0, Stroke::Fine))
                (text(x.at(tick), base + 17.0, Anchor::Middle, &px(if hours { tick / 60.0 } else { tick })))
            }
            (bold(RIGHT + 7.0, base + 17.0, Anchor::Start, if hours { "hours" } else { "minutes" }))
        }
        (text(0.0, lower_floor + 40.0, Anchor::Start, &l.note))
    };
    let told = shown.iter().filter_map(|probe| {
        let ends = ends_told(finite(&probe.spots).map(|spot| (spot.at_min, spot.value)))?;
        Some(format!(" {}: {ends}.", probe.name))
    });
    let desc = format!("{}{}", l.desc.trim(), told.collect::<String>());
    Some(picture(&l.id, &l.title, &desc, WIDTH, lower_floor + 48.0, &inside))
}

fn finite(spots: &[Spot]) -> impl Iterator<Item = &Spot> {
    spots
        .iter()
        .filter(|spot| spot.at_min.is_finite() && spot.value.is_finite())
}

fn last(spots: &[Spot]) -> Option<Spot> {
    finite(spots).last().copied()
}

fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |ends, v| match ends {
        None => Some((v, v)),
        Some((low, high)) => Some((f64::min(low, v), f64::max(high, v))),
    })
}

/// Whether the axis counts hours, and minutes between its marks.
fn hour_axis(span_min: f64) -> (bool, f64) {
    if span_min <= 600.0 {
        return (false, axes::minute_step(span_min, 10.0));
    }
    let step = [60.0, 120.0, 240.0, 480.0, 1440.0]
        .into_iter()
        .find(|step| span_min / step <= 12.0)
        .unwrap_or((span_min / 12.0 / 1440.0).ceil() * 1440.0);
    (true, step)
}

fn short(name: &str) -> String {
    if name.chars().count() > 14 {
        name.chars().take(13).chain(['…']).collect()
    } else {
        name.to_owned()
    }
}

/// Path data with a new start after every break.
fn pieces<'a>(spots: impl Iterator<Item = &'a Spot>, x: &Scale, y: &Scale) -> String {
    let mut parts: Vec<Vec<(f64, f64)>> = Vec::new();
    for spot in spots {
        let at = (x.at(spot.at_min), y.at(spot.value));
        match parts.last_mut() {
            Some(part) if !spot.broken => part.push(at),
            _ => parts.push(vec![at]),
        }
    }
    parts.into_iter().map(|part| through(part.into_iter())).collect()
}

/// Each probe's dashes; the medium, drawn fine, has none of them.
fn dashes(probes: &[&Probe]) -> Vec<Option<&'static str>> {
    let mut next = DASHES.iter().cycle();
    probes
        .iter()
        .map(|probe| if probe.medium { None } else { next.next().copied() })
        .collect()
}

fn drawn(d: &str, dash: &Option<&'static str>) -> Markup {
    let Some(dash) = dash else { return path(d, Stroke::Fine) };
    html! {
        path d=(d) class="ink-line" fill="none" stroke="#000" stroke-width="2" stroke-linejoin="round" stroke-dasharray=(dash) {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spots(values: &[f64]) -> Vec<Spot> {
        values
            .iter()
            .enumerate()
            .map(|(i, &value)| Spot {
                at_min: i as f64,
                value,
                broken: false,
            })
            .collect()
    }

    fn simple() -> LogPicture {
        LogPicture {
            id: "l".into(),
            title: "run <12>".into(),
            desc: "d".into(),
            probes: vec![Probe {
                name: "Centre".into(),
                medium: false,
                spots: spots(&[20.0, 60.0, 90.0, 95.0]),
                sum: spots(&[0.0, 0.0, 0.5, 2.5]),
            }],
            sum_title: "minutes".into(),
            marks: vec![(93.3, "reference".into())],
            moments: vec![(2.0, "off".into())],
            note: "n".into(),
        }
    }

    fn svg(l: &LogPicture) -> String {
        log(l).map(maud::PreEscaped::into_string).unwrap_or_default()
    }

    #[test]
    fn both_scales_names_and_marks_are_in_the_picture_and_words_are_escaped() {
        let svg = svg(&simple());
        for part in [
            "°C",
            "°F",
            "Centre",
            "reference 93.3 °C",
            "run &lt;12&gt;",
            "2.5 min",
            "minutes",
        ] {
            assert!(svg.contains(part), "{part}");
        }
    }

    #[test]
    fn a_line_is_not_drawn_over_a_break() {
        let mut broken = simple();
        broken.probes[0].spots[2].broken = true;
        let strokes = |l: &LogPicture| svg(l).matches('M').count();
        assert_eq!(strokes(&broken), strokes(&simple()) + 1);
    }

    #[test]
    fn names_stand_apart_and_inside() {
        let placed = apart([50.0, 51.0, 52.0, 290.0, 291.0].into_iter(), 20.0, 292.0, ROW);
        let mut sorted = placed.clone();
        sorted.sort_by(f64::total_cmp);
        assert!(
            sorted.windows(2).all(|pair| pair[1] - pair[0] >= ROW - 1e-9),
            "{placed:?}"
        );
        assert!(placed.iter().all(|&at| (20.0..=292.0).contains(&at)));
    }

    #[test]
    fn nothing_to_draw_is_no_picture() {
        let mut empty = simple();
        empty.probes[0].spots.truncate(1);
        assert!(log(&empty).is_none());
    }
}
