//! A day's work as bars along the hours.

use maud::{Markup, html};

use super::{Anchor, MOST_LINES, Scale, Stroke, bold, line, on_white, path, picture, px, text, width_of};

/// How a bar is filled; each is told from the others without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shade {
    /// White with an outline.
    Open,
    /// Pale grey.
    Pale,
    /// Upright hatching.
    Hatched,
    /// Black, white words.
    Solid,
    /// White, going on beyond the right edge.
    Onward,
}

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Begins, minutes since midnight.
    pub from_min: f64,
    /// Ends, minutes since midnight.
    pub to_min: f64,
    /// Short words inside, where they fit.
    pub inside: String,
    /// Words under the lane, pointing at the bar; empty for none.
    pub below: String,
    /// Filling.
    pub shade: Shade,
}

/// One lane of bars.
#[derive(Debug, Clone, PartialEq)]
pub struct Lane {
    /// What it is.
    pub name: String,
    /// Its bars, in order of time.
    pub bars: Vec<Bar>,
}

/// A day.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// The picture in a sentence or two.
    pub desc: String,
    /// Lanes from top to bottom.
    pub lanes: Vec<Lane>,
}

const WIDTH: f64 = 720.0;
const LEFT: f64 = 58.0;
const RIGHT: f64 = 696.0;
const BAR: f64 = 26.0;
const CALL: f64 = 15.0;

/// Draws the day; nothing without a bar.
#[must_use]
pub fn timeline(day: &Timeline) -> Option<Markup> {
    let bars = || {
        day.lanes
            .iter()
            .flat_map(|lane| &lane.bars)
            .filter(|b| b.from_min.is_finite())
    };
    let from = bars().map(|b| b.from_min).fold(f64::INFINITY, f64::min);
    let to = bars()
        .filter(|b| b.to_min.is_finite())
        .map(|b| b.to_min)
        .fold(f64::NEG_INFINITY, f64::max);
    if !from.is_finite() || !to.is_finite() {
        return None;
    }
    let from_hour = (from / 60.0).floor() * 60.0;
    // Room to the right for what goes on after the last bar.
    let to_hour = ((to + 20.0) / 60.0).ceil() * 60.0;
    let x = Scale::new(from_hour, to_hour, LEFT, RIGHT);
    let hours = ((to_hour - from_hour) / 60.0).max(1.0);
    let step = if hours > 36.0 {
        360.0
    } else if hours > 14.0 {
        120.0
    } else {
        60.0
    };
    let small = if hours > 14.0 { step } else { 15.0 };

    let mut tops = Vec::with_capacity(day.lanes.len());
    let mut next = 30.0;
    for lane in &day.lanes {
        tops.push(next);
        let calls = lane.bars.iter().filter(|bar| hangs(bar, &x)).count();
        next += BAR + 12.0 + CALL * calls as f64;
    }
    let drawn = html! {
        @for hour in x.every(step) {
            (line(x.at(hour), 20.0, x.at(hour), next - 4.0, Stroke::Hair))
            (text(x.at(hour), 12.0, Anchor::Middle, &hour_words(hour)))
        }
        (line(LEFT, 20.0, RIGHT, 20.0, Stroke::Fine))
        @for quarter in x.every(small) {
            (line(x.at(quarter), 20.0, x.at(quarter), if quarter % 60.0 == 0.0 { 27.0 } else { 23.5 }, Stroke::Fine))
        }
        @for (lane, &top) in day.lanes.iter().zip(&tops) {
            (bold(0.0, top + BAR / 2.0 + 4.0, Anchor::Start, &lane.name))
            @for bar in &lane.bars { (draw(bar, &x, top)) }
            @for (i, bar) in lane.bars.iter().filter(|bar| hangs(bar, &x)).rev().enumerate() {
                (call(bar, &x, top + BAR, CALL * (i as f64 + 1.0)))
            }
        }
    };
    Some(picture(&day.id, &day.title, &day.desc, WIDTH, next, &drawn))
}

/// Words under a lane, hung from the middle of their bar, or from the start of one that goes on.
///
/// They run to the right where they fit, else to the left, else they end at the right edge.
fn call(bar: &Bar, x: &Scale, floor: f64, drop: f64) -> Markup {
    let at = match bar.shade {
        Shade::Onward => x.at(bar.from_min) + 6.0,
        _ => x.at(bar.from_min.midpoint(bar.to_min)),
    };
    let long = width_of(&bar.below);
    let (foot, words_at, anchor) = match (at + 8.0 + long < WIDTH, at - 8.0 - long > 0.0) {
        (true, _) => (at + 5.0, at + 8.0, Anchor::Start),
        (false, true) => (at - 5.0, at - 8.0, Anchor::End),
        (false, false) => (at, WIDTH, Anchor::End),
    };
    let hook = format!(
        "M{} {}V{}H{}",
        px(at),
        px(floor + 1.0),
        px(floor + drop - 3.0),
        px(foot)
    );
    html! {
        (path(&hook, Stroke::Fine))
        (on_white(words_at, floor + drop + 1.0, anchor, &bar.below))
    }
}

/// Whether a bar's words hang under it: they do unless a white bar has room for them itself.
fn hangs(bar: &Bar, x: &Scale) -> bool {
    let width = right(bar, x) - x.at(bar.from_min);
    let white = matches!(bar.shade, Shade::Open | Shade::Onward) && bar.inside.is_empty();
    let room = white && width_of(&bar.below) + 12.0 < width;
    !bar.below.is_empty() && !room
}

/// Where a bar ends in the picture.
fn right(bar: &Bar, x: &Scale) -> f64 {
    if bar.shade == Shade::Onward {
        RIGHT - 8.0
    } else {
        x.at(bar.to_min)
    }
}

fn draw(bar: &Bar, x: &Scale, top: f64) -> Markup {
    let from = x.at(bar.from_min);
    let to = right(bar, x);
    let words = if bar.inside.is_empty() && !hangs(bar, x) {
        &bar.below
    } else {
        &bar.inside
    };
    let width = (to - from).max(1.2);
    let (class, fill, words_class, ink) = match bar.shade {
        Shade::Open | Shade::Hatched | Shade::Onward => ("ink-open", "#fff", "ink-words", "#000"),
        Shade::Pale => ("ink-pale", "#d9d9d9", "ink-words", "#000"),
        Shade::Solid => ("ink-solid", "#000", "ink-on-solid", "#fff"),
    };
    html! {
        @if bar.shade == Shade::Onward {
            path d=(format!("M{} {}H{}L{} {}L{} {}H{}Z", px(from), px(top), px(to), px(to + 8.0), px(top + BAR / 2.0), px(to), px(top + BAR), px(from)))
                class=(class) fill=(fill) stroke="#000" stroke-width="1" stroke-dasharray="4 2.5" {}
        } @else {
            rect x=(px(from)) y=(px(top)) width=(px(width)) height=(px(BAR)) class=(class) fill=(fill) stroke="#000" stroke-width="1" {}
        }
        @if bar.shade == Shade::Hatched { (hatching(from, width, top)) }
        @if bar.shade != Shade::Hatched && width_of(words) + 3.0 < width {
            text x=(px(from + width / 2.0)) y=(px(top + BAR / 2.0 + 4.0)) text-anchor="middle" class=(words_class) fill=(ink) { (words) }
        }
    }
}

fn hatching(from: f64, width: f64, top: f64) -> Markup {
    let many = ((width / 3.5).floor().max(0.0) as usize).min(MOST_LINES);
    let d: String = (1..=many)
        .map(|i| from + i as f64 * 3.5)
        .filter(|x| x - from < width - 0.5)
        .map(|x| format!("M{} {}V{}", px(x), px(top), px(top + BAR)))
        .collect();
    html! { path d=(d) class="ink-line" fill="none" stroke="#000" stroke-width="0.7" {} }
}

/// `06:00`; past midnight the hours go on from 00:00.
fn hour_words(minutes: f64) -> String {
    let hour = (minutes / 60.0).round().rem_euclid(24.0);
    format!("{hour:02.0}:00")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(bars: Vec<Bar>) -> Timeline {
        Timeline {
            id: "d".into(),
            title: "t".into(),
            desc: "d".into(),
            lanes: vec![Lane {
                name: "Pot".into(),
                bars,
            }],
        }
    }

    fn bar(from_min: f64, to_min: f64, shade: Shade) -> Bar {
        Bar {
            from_min,
            to_min,
            inside: "1".into(),
            below: String::new(),
            shade,
        }
    }

    #[test]
    fn hours_of_the_day_are_on_the_axis() {
        let svg = timeline(&day(vec![bar(425.0, 500.0, Shade::Pale)]))
            .map(maud::PreEscaped::into_string)
            .unwrap_or_default();
        for hour in ["07:00", "08:00", "09:00"] {
            assert!(svg.contains(hour), "{hour}");
        }
        assert!(!svg.contains("06:00") && !svg.contains("10:00"));
    }

    #[test]
    fn shades_differ_in_more_than_grey() {
        let drawn = |shade| timeline(&day(vec![bar(420.0, 500.0, shade)])).map(maud::PreEscaped::into_string);
        let all: Vec<_> = [Shade::Open, Shade::Pale, Shade::Hatched, Shade::Solid, Shade::Onward]
            .into_iter()
            .map(drawn)
            .collect();
        for (i, a) in all.iter().enumerate() {
            assert!(a.is_some() && all[i + 1..].iter().all(|b| a != b));
        }
    }

    #[test]
    fn a_day_without_a_bar_has_no_picture() {
        assert!(timeline(&day(vec![])).is_none());
        assert!(timeline(&day(vec![bar(f64::NAN, 1.0, Shade::Open)])).is_none());
    }
}
