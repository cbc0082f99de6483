//! Curves with their bands: the coldest place of a jar, a pot's middle and wall, minutes against a batch.
//!
//! One picture serves them all: phases named above, levels across, each curve named on itself,
//! marked points told under the plot, and beneath it what the curve adds up to so far.

use maud::{Markup, html};

use super::names::{curve_words, shortened};
use super::{
    Anchor, Level, Mark, Phase, Room, Scale, Stroke, Weight, apart, axes, bold, figure, folded, letters_in, line,
    on_white, path, picture, px, ring, text, through, value_at, width_of,
};
use crate::words::both_scales;

/// A point of a curve with its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandPoint {
    /// Where along the foot: [min], or what the foot counts.
    pub at: f64,
    /// Lower edge of the band.
    pub low: f64,
    /// The curve.
    pub value: f64,
    /// Upper edge of the band.
    pub high: f64,
}

/// A curve with its band.
#[derive(Debug, Clone, PartialEq)]
pub struct BandCurve {
    /// What it is, a few words, written on it.
    pub words: String,
    /// How it is drawn; only a strong curve's band is filled.
    pub weight: Weight,
    /// Its points, in order along the foot.
    pub points: Vec<BandPoint>,
}

/// What runs up the sides.
#[derive(Debug, Clone, PartialEq)]
pub enum Up {
    /// Temperature [°C], with °F on the right.
    Temperature,
    /// Something else, with its unit.
    Plain(String),
}

/// What runs along the foot.
#[derive(Debug, Clone, PartialEq)]
pub enum Across {
    /// Minutes.
    Minutes,
    /// Something else, with its unit.
    Plain(String),
}

/// A line of the lower part.
#[derive(Debug, Clone, PartialEq)]
pub struct LowerLine {
    /// What it is and how far it comes: `heating 3.1`.
    pub words: String,
    /// How it is drawn.
    pub weight: Weight,
    /// Its points, in order along the foot.
    pub points: Vec<(f64, f64)>,
}

/// How the lines of the lower part stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Adding {
    /// Each by itself, from nothing.
    Apart,
    /// Each a filled area on top of the ones before: the uppermost edge is their sum.
    Stacked,
}

/// What the curves add up to, beneath them on the same foot.
#[derive(Debug, Clone, PartialEq)]
pub struct Lower {
    /// What it counts, with its unit.
    pub title: String,
    /// Its lines.
    pub lines: Vec<LowerLine>,
    /// How they stand to each other.
    pub adding: Adding,
    /// How much is asked, and in words.
    pub asked: Option<(f64, String)>,
}

/// Curves with bands.
#[derive(Debug, Clone, PartialEq)]
pub struct Banded {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// What the picture shows, in words.
    pub desc: String,
    /// How much room there is.
    pub room: Room,
    /// What runs up the sides.
    pub up: Up,
    /// What runs along the foot.
    pub across: Across,
    /// The curves, at most eight are drawn.
    pub curves: Vec<BandCurve>,
    /// Lines across; of a level its `c` is the height whatever runs up.
    pub levels: Vec<Level>,
    /// Phases, in order.
    pub phases: Vec<Phase>,
    /// Marked points, in order along the foot; `c` may be NaN for one that lies on no curve.
    pub marks: Vec<Mark>,
    /// What the curves add up to.
    pub lower: Option<Lower>,
    /// Moments a film's script points at: each a hidden line down the picture.
    pub cursors: Vec<f64>,
    /// Sentences under the picture.
    pub below: Vec<String>,
}

const MOST_CURVES: usize = 8;
/// Most points drawn of a curve; of more, every second or third is left out.
const MOST_POINTS: usize = 300;
const MOST_WORDS: usize = 24;
const MOST_CURSORS: usize = 60;
const ROW: f64 = 16.0;
const LEFT: f64 = 38.0;
const PLOT: f64 = 280.0;
const LOWER: f64 = 96.0;

/// Draws curves with bands; nothing when no curve has two finite points.
///
/// Of an edge that is not known, or crosses its curve, the curve itself is drawn.
#[must_use]
pub fn banded(b: &Banded) -> Option<Markup> {
    let width = b.room.width();
    let right = width - if b.up == Up::Temperature { 40.0 } else { 14.0 };
    let curves: Vec<(&BandCurve, Vec<BandPoint>)> = b
        .curves
        .iter()
        .take(MOST_CURVES)
        .map(|curve| (curve, known(&curve.points)))
        .filter(|(_, points)| points.len() > 1)
        .collect();
    let points = || curves.iter().flat_map(|(_, points)| points.iter());
    let (first, last) = ends(points().map(|p| p.at))?;
    let levels: Vec<&Level> = b.levels.iter().filter(|l| l.c.is_finite()).take(MOST_WORDS).collect();
    let heights = points().flat_map(|p| [p.low, p.high]).chain(levels.iter().map(|l| l.c));
    let (low, high) = ends(heights)?;
    if last <= first {
        return None;
    }
    let room = 0.06 * (high - low).max(1e-9 * high.abs()).max(1e-12);
    let lowest = if b.up != Up::Temperature && low >= 0.0 {
        0.0
    } else {
        low - room
    };

    let title = folded(&b.title, letters_in(width * 0.92));
    let phases: Vec<&Phase> = b
        .phases
        .iter()
        .filter(|p| p.from_min.is_finite())
        .take(MOST_WORDS)
        .collect();
    let x = Scale::new(first, last, LEFT, right);
    let named = phase_rows(&phases, &x);
    let phase_rows = named.iter().map(|n| n.row + 1).max().unwrap_or(0) as f64;
    let units = ROW * title.len() as f64 + 14.0;
    let top = units + ROW * phase_rows + 14.0;
    let floor = top + PLOT;
    // Over the uppermost level its words need a row.
    let y = Scale::new(lowest, high + 2.0 * room, floor, top);
    let marks: Vec<(&Mark, Vec<String>)> = b
        .marks
        .iter()
        .filter(|m| (first..=last).contains(&m.at_min))
        .take(MOST_WORDS)
        .map(|mark| (mark, folded(&mark.words, letters_in(right - LEFT - 14.0))))
        .collect();
    let hung: usize = marks.iter().map(|(_, rows)| rows.len()).sum();
    let base = floor + if hung > 0 { ROW * hung as f64 + 10.0 } else { 0.0 };
    let foot_words = match &b.across {
        Across::Minutes => "minutes",
        Across::Plain(words) => words.as_str(),
    };
    let most = (right - LEFT) / 44.0;
    let step = match b.across {
        Across::Minutes => axes::minute_step(last - first, most),
        Across::Plain(_) => x.marks(44.0).1,
    };
    let lower = b.lower.as_ref().and_then(|l| lower_part(l, &x, right, base + 62.0));
    let foot = base + if lower.is_some() { 62.0 + ROW + LOWER } else { 0.0 };
    let upright = named
        .iter()
        .map(|n| n.at)
        .chain(marks.iter().map(|(mark, _)| x.at(mark.at_min)))
        .map(|at| vec![(at, top), (at, floor)]);
    let words = curve_words(&curves, &x, &y, &levels, &upright.collect::<Vec<_>>());

    // Under a mark on its own line a phase's line ends: the mark's goes on.
    let phase_end = |at: f64| {
        let on_it = marks
            .iter()
            .filter(|(mark, _)| mark.c.is_finite() && (x.at(mark.at_min) - at).abs() < 1.5);
        on_it
            .map(|(mark, _)| y.at(mark.c).clamp(top, floor))
            .fold(floor, f64::min)
    };
    let below: Vec<String> = b
        .below
        .iter()
        .take(MOST_WORDS)
        .flat_map(|sentence| folded(sentence, letters_in(width - 8.0)))
        .collect();
    let mut parts = vec![(top, base)];
    if lower.is_some() {
        parts.push((base + 62.0 + ROW, foot));
    }

    let inside = html! {
        @for (i, row) in title.iter().enumerate() { (bold(4.0, ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, row)) }
        @for (curve, points) in &curves {
            @if curve.weight == Weight::Strong { (band(points, &x, &y)) }
        }
        @match &b.up {
            Up::Temperature => (axes::temperature(&y, (LEFT, right), 5.0)),
            Up::Plain(words) => {
                (axes::upward(&y, (LEFT, right)))
                (bold(4.0, top - 6.0, Anchor::Start, words))
            }
        }
        (line(LEFT, top, LEFT, base, Stroke::Fine))
        (line(right, top, right, base, Stroke::Fine))
        (line(LEFT, base, right, base, Stroke::Fine))
        (axes::along(&x, step, base, foot_words))
        @for name in &named {
            @let level = units + ROW * (name.row as f64 + 1.0) - 4.0;
            @let end = if name.at > LEFT + 1.0 { phase_end(name.at) } else { top };
            (line(name.at, level - 10.0, name.at, end, Stroke::Dashed))
            (on_white(name.words_x, level, name.anchor, &name.words))
        }
        @for level in &levels { (line(LEFT, y.at(level.c), right, y.at(level.c), Stroke::Dotted)) }
        @for (curve, points) in &curves {
            (path(&through(points.iter().map(|p| (x.at(p.at), y.at(p.value)))), stroke_of(curve.weight)))
        }
        (cursors(b, &x, &parts))
        (hang(&marks, &x, &y, right, base))
        @for (at_x, at_y, anchor, words) in &words { (on_white(*at_x, *at_y, *anchor, words)) }
        @if let Some(lower) = &lower {
            (lower)
            (axes::along(&x, step, foot, foot_words))
        }
        @for (i, row) in below.iter().enumerate() {
            (text(4.0, foot + 54.0 + ROW * i as f64, Anchor::Start, row))
        }
    };
    let id = b.room.id(&b.id);
    let desc = told(b, &curves);
    let height = foot + if below.is_empty() { 40.0 } else { 50.0 } + ROW * below.len() as f64;
    Some(picture(&id, &b.title, &desc, width, height, &inside))
}

/// The caller's words, then what can be read off each curve: its lowest, its highest, its band.
fn told(b: &Banded, curves: &[(&BandCurve, Vec<BandPoint>)]) -> String {
    let height = |v: f64| match &b.up {
        Up::Temperature => both_scales(v, 0),
        Up::Plain(unit) => format!("{} {unit}", figure(v)),
    };
    let place = |v: f64| match &b.across {
        Across::Minutes => format!("{} min", figure(v)),
        Across::Plain(unit) => format!("{} {unit}", figure(v)),
    };
    let mut said = vec![b.desc.trim().to_owned()];
    for (curve, points) in curves {
        let by = |p: &&BandPoint, q: &&BandPoint| p.value.total_cmp(&q.value);
        let (Some(low), Some(high)) = (points.iter().min_by(by), points.iter().max_by(by)) else {
            continue;
        };
        let band = if high.low < high.value || high.high > high.value {
            format!(", there between {} and {}", height(high.low), height(high.high))
        } else {
            String::new()
        };
        said.push(format!(
            "{}: lowest {} at {}, highest {} at {}{band}.",
            curve.words,
            height(low.value),
            place(low.at),
            height(high.value),
            place(high.at)
        ));
    }
    let levels: Vec<&str> = b
        .levels
        .iter()
        .filter(|l| l.c.is_finite())
        .map(|l| l.words.as_str())
        .collect();
    if !levels.is_empty() {
        said.push(format!("Lines across: {}.", levels.join("; ")));
    }
    if let Some(lower) = &b.lower {
        let asked = lower.asked.iter().map(|(_, words)| words.as_str());
        let all: Vec<&str> = lower
            .lines
            .iter()
            .take(MOST_CURVES)
            .map(|l| l.words.as_str())
            .chain(asked)
            .collect();
        said.push(format!("{}: {}.", lower.title, all.join(", ")));
    }
    said.retain(|sentence| !sentence.is_empty());
    said.join(" ")
}

/// Hidden lines for a film's script, each of class `film-cursor` with its number from 0.
fn cursors(b: &Banded, x: &Scale, parts: &[(f64, f64)]) -> Markup {
    html! {
        @for (i, at) in b.cursors.iter().take(MOST_CURSORS).enumerate() {
            @let at = if at.is_finite() { x.at(*at).clamp(x.start, x.end) } else { x.start };
            @let d: String = parts
                .iter()
                .map(|(top, foot)| format!("M{x} {}V{}M{} {}h12l-6 8z", px(*top), px(*foot), px(at - 6.0), px(top - 8.0), x = px(at)))
                .collect();
            path d=(d) class=(format!("film-cursor film-cursor-{i} ink-solid")) fill="#000" stroke="#000" stroke-width="2" visibility="hidden" {}
        }
    }
}

/// Points whose place and value are known, thinned to what can be seen; band edges put in order.
fn known(points: &[BandPoint]) -> Vec<BandPoint> {
    let finite: Vec<&BandPoint> = points
        .iter()
        .filter(|p| p.at.is_finite() && p.value.is_finite())
        .collect();
    let edge =
        |edge: f64, value: f64, pick: fn(f64, f64) -> f64| if edge.is_finite() { pick(edge, value) } else { value };
    kept(finite.len())
        .map(|i| finite[i])
        .map(|p| BandPoint {
            low: edge(p.low, p.value, f64::min),
            high: edge(p.high, p.value, f64::max),
            ..*p
        })
        .collect()
}

/// Which of many points are drawn; the last always.
fn kept(many: usize) -> impl Iterator<Item = usize> {
    let step = many.div_ceil(MOST_POINTS).max(1);
    (0..many).filter(move |i| i % step == 0 || i + 1 == many)
}

fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.filter(|v| v.is_finite()).fold(None, |ends, v| match ends {
        None => Some((v, v)),
        Some((low, high)) => Some((f64::min(low, v), f64::max(high, v))),
    })
}

fn stroke_of(weight: Weight) -> Stroke {
    match weight {
        Weight::Strong => Stroke::Strong,
        Weight::Dashed => Stroke::Dashed,
        Weight::Fine => Stroke::Fine,
    }
}

fn band(points: &[BandPoint], x: &Scale, y: &Scale) -> Markup {
    let there = points.iter().map(|p| (x.at(p.at), y.at(p.high)));
    let back = points.iter().rev().map(|p| (x.at(p.at), y.at(p.low)));
    let d = format!("{}Z", through(there.chain(back)));
    html! { path d=(d) class="ink-band ink-hair" fill="#d4d4d4" stroke="#8c8c8c" stroke-width="0.5" {} }
}

/// A phase's name over the plot.
struct Named {
    at: f64,
    words_x: f64,
    anchor: Anchor,
    row: usize,
    words: String,
}

/// Names in as few rows as hold them: each right of its line where it fits, else left of it.
fn phase_rows(phases: &[&Phase], x: &Scale) -> Vec<Named> {
    let mut free: Vec<f64> = Vec::new();
    let most = letters_in(x.end - LEFT - 10.0);
    let mut named = Vec::new();
    for phase in phases {
        let at = x.at(phase.from_min).clamp(x.start, x.end);
        let words = folded(&phase.words, most).into_iter().next().unwrap_or_default();
        let long = width_of(&words);
        let (from, anchor, words_x) = if at + 5.0 + long < x.end + 40.0 {
            (at, Anchor::Start, at + 5.0)
        } else {
            (at - 5.0 - long, Anchor::End, at - 5.0)
        };
        let row = free.iter().position(|end| *end <= from).unwrap_or(free.len());
        if row == free.len() {
            free.push(0.0);
        }
        free[row] = from + long + 10.0;
        named.push(Named {
            at,
            words_x,
            anchor,
            row,
            words,
        });
    }
    named
}

/// Marked points: a ring on the plot, a line down, the words beside its foot.
fn hang(marks: &[(&Mark, Vec<String>)], x: &Scale, y: &Scale, right: f64, base: f64) -> Markup {
    let mut level = base - 7.0;
    let mut placed = Vec::new();
    for (mark, rows) in marks {
        let first = level - ROW * (rows.len() as f64 - 1.0);
        placed.push((*mark, rows, first));
        level = first - ROW;
    }
    html! {
        @for (mark, _, first) in &placed {
            @let at = x.at(mark.at_min);
            @let from = if mark.c.is_finite() { y.at(mark.c).clamp(y.end, y.start) } else { y.start };
            (line(at, from, at, first - 4.0, Stroke::Fine))
            @if mark.c.is_finite() { (ring(at, from)) }
        }
        @for (mark, rows, first) in &placed {
            @let at = x.at(mark.at_min);
            @let long = rows.iter().map(|row| width_of(row)).fold(0.0, f64::max);
            @let (words_x, anchor) = if at + 8.0 + long < right { (at + 8.0, Anchor::Start) }
                else if at - 8.0 - long > LEFT { (at - 8.0, Anchor::End) }
                else { ((right - long - 2.0).clamp(LEFT + 8.0, at.max(LEFT) + 8.0), Anchor::Start) };
            (line(at, first - 4.0, at + if anchor == Anchor::Start { 5.0 } else { -5.0 }, first - 4.0, Stroke::Fine))
            @for (i, row) in rows.iter().enumerate() {
                (on_white(words_x, first + ROW * i as f64, anchor, row))
            }
        }
    }
}

/// What adds up: nothing where no line has two finite points.
fn lower_part(l: &Lower, x: &Scale, right: f64, top: f64) -> Option<Markup> {
    let lines: Vec<(&LowerLine, Vec<(f64, f64)>)> = l
        .lines
        .iter()
        .take(MOST_CURVES)
        .map(|line| {
            let finite: Vec<(f64, f64)> = line
                .points
                .iter()
                .copied()
                .filter(|(a, v)| a.is_finite() && v.is_finite())
                .collect();
            (line, kept(finite.len()).map(|i| finite[i]).collect::<Vec<_>>())
        })
        .filter(|(_, points)| points.len() > 1)
        .collect();
    let asked = l.asked.as_ref().filter(|(value, _)| value.is_finite());
    let edges = match l.adding {
        Adding::Apart => lines.iter().map(|(_, points)| points.clone()).collect(),
        Adding::Stacked => stacked(&lines),
    };
    let (_, most) = ends(edges.iter().flatten().map(|p| p.1))?;
    let most = asked.map_or(most, |(value, _)| most.max(*value));
    let (ceiling, floor) = (top + ROW, top + ROW + LOWER);
    let y = Scale::new(0.0, if most > 0.0 { most * 1.28 } else { 1.0 }, floor, ceiling);
    // Names stand over the ends of their lines; in an area that another stands on, under its edge.
    let lift = |i: usize| match l.adding {
        Adding::Stacked if i + 1 < lines.len() => 13.0,
        _ => -5.0,
    };
    let heights = edges.iter().enumerate();
    let heights = heights.map(|(i, points)| points.last().map_or(floor, |p| y.at(p.1)) + lift(i));
    let asked_y = asked.map(|(value, _)| y.at(*value));
    let names = apart(heights, ceiling + 8.0, floor - 4.0, 14.0);
    let drawn = |points: &[(f64, f64)]| points.iter().map(|p| (x.at(p.0), y.at(p.1))).collect::<Vec<_>>();
    Some(html! {
        (bold(4.0, top + 4.0, Anchor::Start, &l.title))
        @if l.adding == Adding::Stacked {
            @for (i, edge) in edges.iter().enumerate() {
                @let under = i.checked_sub(1).map_or_else(|| vec![(x.start, floor), (x.end, floor)], |j| drawn(&edges[j]));
                @let d = format!("{}Z", through(drawn(edge).into_iter().chain(under.into_iter().rev())));
                @let (class, fill) = AREAS[i % AREAS.len()];
                path d=(d) class=(class) fill=(fill) stroke="none" {}
            }
        }
        (axes::upward(&y, (LEFT, right)))
        (line(LEFT, ceiling, LEFT, floor, Stroke::Fine))
        (line(LEFT, floor, right, floor, Stroke::Fine))
        @if let Some(at) = asked_y { (line(LEFT, at, right, at, Stroke::Dotted)) }
        @for ((one, _), edge) in lines.iter().zip(&edges) {
            (path(&through(drawn(edge).into_iter()), stroke_of(one.weight)))
        }
        @if let (Some((_, words)), Some(at)) = (asked, asked_y) {
            (on_white(LEFT + 6.0, if at - 14.0 > ceiling { at - 5.0 } else { at + 14.0 }, Anchor::Start, words))
        }
        @for ((one, _), at) in lines.iter().zip(names) {
            (on_white(right - 4.0, at, Anchor::End, &shortened(&one.words, letters_in((right - LEFT) * 0.6))))
        }
    })
}

/// Fills of stacked areas, told apart in grey.
const AREAS: [(&str, &str); 2] = [("ink-band", "#d4d4d4"), ("ink-ground", "#fff")];

/// Upper edges of areas one on the other, all over the same places.
fn stacked(lines: &[(&LowerLine, Vec<(f64, f64)>)]) -> Vec<Vec<(f64, f64)>> {
    let mut places: Vec<f64> = lines
        .iter()
        .flat_map(|(_, points)| points.iter().map(|p| p.0))
        .collect();
    places.sort_by(f64::total_cmp);
    places.dedup();
    let mut sums = vec![0.0; places.len()];
    let mut edges = Vec::new();
    for (_, points) in lines {
        for (sum, at) in sums.iter_mut().zip(&places) {
            *sum += value_at(points, *at);
        }
        edges.push(places.iter().copied().zip(sums.iter().copied()).collect());
    }
    edges
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(super) fn simple(room: Room) -> Banded {
        let point = |at: f64, value: f64| BandPoint {
            at,
            low: value - 2.0,
            value,
            high: value + 1.5,
        };
        Banded {
            id: "b".into(),
            title: "coldest <place>".into(),
            desc: "d".into(),
            room,
            up: Up::Temperature,
            across: Across::Minutes,
            curves: vec![BandCurve {
                words: "as planned <&>".into(),
                weight: Weight::Strong,
                points: vec![
                    point(0.0, 40.0),
                    point(30.0, 80.0),
                    point(60.0, 92.0),
                    point(90.0, 50.0),
                ],
            }],
            levels: vec![Level {
                c: 82.0,
                words: "set point".into(),
            }],
            phases: vec![Phase {
                from_min: 0.0,
                words: "come-up".into(),
            }],
            marks: vec![Mark {
                at_min: 30.0,
                c: 80.0,
                words: "hold begins".into(),
            }],
            lower: Some(Lower {
                title: "minutes at 93.3 °C".into(),
                lines: vec![LowerLine {
                    words: "heating 3.1".into(),
                    weight: Weight::Strong,
                    points: vec![(0.0, 0.0), (60.0, 3.1), (90.0, 3.1)],
                }],
                adding: Adding::Apart,
                asked: Some((5.0, "asked 5".into())),
            }),
            cursors: vec![],
            below: vec![],
        }
    }

    fn svg(b: &Banded) -> String {
        banded(b).map(maud::PreEscaped::into_string).unwrap_or_default()
    }

    #[test]
    fn everything_said_is_in_the_picture_in_both_rooms() {
        for room in [Room::Narrow, Room::Wide] {
            let svg = svg(&simple(room));
            for words in [
                "coldest &lt;place&gt;",
                "as planned &lt;&amp;&gt;",
                "set point",
                "come-up",
                "hold begins",
                "heating 3.1",
                "asked 5",
                "minutes at 93.3 °C",
                "°C",
                "°F",
                ">minutes<",
                "ink-band",
                "role=\"img\"",
            ] {
                assert!(svg.contains(words), "{words}");
            }
            assert!(!svg.contains("NaN") && !svg.contains("inf") && !svg.contains("style"));
        }
    }

    #[test]
    fn unknown_points_are_left_out_and_nothing_known_is_no_picture() {
        let mut b = simple(Room::Narrow);
        b.curves[0].points[1].value = f64::NAN;
        b.curves[0].points[2].low = f64::NAN;
        b.marks[0].c = f64::NAN;
        b.levels[0].c = f64::INFINITY;
        b.phases[0].from_min = f64::NAN;
        let drawn = svg(&b);
        assert!(!drawn.is_empty() && !drawn.contains("NaN") && !drawn.contains("inf"));
        b.curves[0].points.truncate(2);
        assert!(banded(&b).is_none());
        b.curves.clear();
        assert!(banded(&b).is_none());
    }

    #[test]
    fn ten_thousand_points_and_long_words_stay_small_and_inside() {
        let mut b = simple(Room::Narrow);
        let point = |i: u32| BandPoint {
            at: f64::from(i),
            low: 1.0,
            value: f64::from(i % 90),
            high: 95.0,
        };
        b.curves[0].points = (0..10_000).map(point).collect();
        b.curves[0].words = "word ".repeat(80);
        b.title = "word ".repeat(80);
        b.marks = (0..100)
            .map(|i| Mark {
                at_min: f64::from(i),
                c: 50.0,
                words: "word ".repeat(30),
            })
            .collect();
        let drawn = svg(&b);
        assert!(drawn.len() < 60_000, "{}", drawn.len());
    }

    #[test]
    fn tiny_and_huge_numbers_have_a_picture() {
        for size in [1e-12, 1e12, 1e300] {
            let mut b = simple(Room::Narrow);
            b.up = Up::Plain("units".into());
            b.levels.clear();
            for p in &mut b.curves[0].points {
                (p.low, p.value, p.high) = (p.low * size, p.value * size, p.high * size);
            }
            let drawn = svg(&b);
            assert!(drawn.contains("<path") && !drawn.contains("NaN"), "{size}");
        }
    }

    #[test]
    fn its_words_name_lowest_and_highest_in_both_scales() {
        let svg = svg(&simple(Room::Wide));
        assert!(svg.contains(
            "as planned &lt;&amp;&gt;: lowest 40 °C (104 °F) at 0 min, highest 92 °C (198 °F) at 60 min, \
             there between 90 °C (194 °F) and 94 °C (200 °F)."
        ));
        assert!(svg.contains("minutes at 93.3 °C: heating 3.1, asked 5."));
    }

    #[test]
    fn areas_stand_on_each_other_and_their_uppermost_edge_is_the_sum() {
        let of = |points: Vec<(f64, f64)>| {
            let words = String::new();
            LowerLine {
                words,
                weight: Weight::Fine,
                points,
            }
        };
        let (a, b) = (
            of(vec![(0.0, 0.0), (10.0, 4.0), (20.0, 4.0)]),
            of(vec![(10.0, 0.0), (15.0, 1.0)]),
        );
        let lines = [(&a, a.points.clone()), (&b, b.points.clone())];
        let edges = stacked(&lines);
        assert_eq!(edges[0], [(0.0, 0.0), (10.0, 4.0), (15.0, 4.0), (20.0, 4.0)]);
        assert_eq!(edges[1], [(0.0, 0.0), (10.0, 4.0), (15.0, 5.0), (20.0, 5.0)]);
    }

    #[test]
    fn every_cursor_is_hidden_and_inside_the_axes() {
        let mut b = simple(Room::Narrow);
        b.cursors = vec![0.0, 45.0, 1e9, f64::NAN, -5.0];
        let drawn = svg(&b);
        assert_eq!(drawn.matches("film-cursor film-cursor-").count(), 5);
        assert_eq!(drawn.matches("visibility=\"hidden\"").count(), 5);
        assert!(!drawn.contains("NaN") && !drawn.contains("M-"));
    }

    #[test]
    fn axes_cover_everything_drawn() {
        let mut b = simple(Room::Wide);
        b.levels[0].c = 130.0;
        let drawn = svg(&b);
        let inside = drawn
            .split("<path")
            .skip(1)
            .flat_map(|p| p.split('"').nth(1))
            .flat_map(|d| {
                d.split(['M', 'L', 'Z'])
                    .filter_map(|pair| pair.split_once(' '))
                    .collect::<Vec<_>>()
            });
        for (x, y) in inside {
            let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
            assert!((0.0..=720.0).contains(&x) && (0.0..=700.0).contains(&y), "{x} {y}");
        }
        // 266 °F is 130 °C: the axis reaches the level.
        assert!(drawn.contains(">120<") && drawn.contains(">260<"));
    }
}
