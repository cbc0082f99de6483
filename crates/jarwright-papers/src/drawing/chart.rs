//! Lines over two scales, straight or by powers of ten; each line named under the plot.

use maud::{Markup, html};

use super::{Anchor, MOST_LINES, Scale, Stroke, axes, bold, line, path, picture, ring, text, through, width_of};

/// One scale of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it counts, with its unit.
    pub words: String,
    /// By powers of ten.
    pub powers: bool,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineKind {
    /// The line to look at.
    Strong,
    /// A thin line.
    Fine,
    /// Long dashes.
    Dashed,
    /// Dots.
    Dotted,
    /// A thin line with a ring at each point.
    Points,
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is.
    pub words: String,
    /// Its points, in order along the chart.
    pub points: Vec<(f64, f64)>,
    /// How it is drawn.
    pub kind: LineKind,
}

/// A chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// The picture in a sentence or two.
    pub desc: String,
    /// Along the foot.
    pub across: Axis,
    /// Up the left side.
    pub up: Axis,
    /// °F up the right side, where the left side is °C.
    pub fahrenheit: bool,
    /// The lines.
    pub lines: Vec<Line>,
}

const WIDTH: f64 = 720.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 662.0;
const TOP: f64 = 44.0;
const FLOOR: f64 = 364.0;
const ROW: f64 = 18.0;

/// A scale with its marks.
struct Ruler {
    scale: Scale,
    powers: bool,
    marks: Vec<(f64, String)>,
}

impl Ruler {
    /// A ruler that holds all values, its ends on them or, where `round`, on marks; by powers of
    /// ten only values above 0 count.
    fn new(
        axis: &Axis,
        round: bool,
        values: impl Iterator<Item = f64> + Clone,
        (start, end): (f64, f64),
    ) -> Option<Self> {
        let shown = values.filter(|v| v.is_finite() && (!axis.powers || *v > 0.0));
        let low = shown.clone().fold(f64::INFINITY, f64::min);
        let high = shown.fold(f64::NEG_INFINITY, f64::max);
        if low > high {
            return None;
        }
        if axis.powers {
            return Some(Self::by_powers(low, high, start, end));
        }
        let mut scale = Scale::new(low, high, start, end);
        let step = match scale.ticks(6).as_slice() {
            [a, b, ..] => b - a,
            _ => 1.0,
        };
        if round {
            scale = Scale::new((low / step).floor() * step, (high / step).ceil() * step, start, end);
        }
        let marks = scale
            .every(step)
            .into_iter()
            .map(|value| (value, axes::count(value, step)));
        Some(Self {
            marks: marks.collect(),
            powers: false,
            scale,
        })
    }

    /// Marks at 1, 2 and 5 of each power of ten, or at the powers alone where there are many.
    fn by_powers(low: f64, high: f64, start: f64, end: f64) -> Self {
        let (first, last) = (low.log10().floor(), high.log10().ceil());
        let digits: &[f64] = if last - first > 3.0 { &[1.0] } else { &[1.0, 2.0, 5.0] };
        let all: Vec<f64> = Scale::new(first, last, start, end)
            .every(1.0)
            .into_iter()
            .flat_map(|power| digits.iter().map(move |digit| digit * 10_f64.powf(power)))
            .collect();
        let hair = 1.0 + 1e-9;
        let below = all.iter().copied().rfind(|mark| *mark <= low * hair).unwrap_or(low);
        let above = all.iter().copied().find(|mark| *mark >= high / hair).unwrap_or(high);
        let inside = |mark: &&f64| **mark >= below / hair && **mark <= above * hair;
        Self {
            scale: Scale::new(below.log10(), above.log10(), start, end),
            powers: true,
            marks: all
                .iter()
                .filter(inside)
                .map(|mark| (mark.log10(), plain(*mark)))
                .collect(),
        }
    }

    fn at(&self, value: f64) -> Option<f64> {
        let value = if self.powers { value.log10() } else { value };
        value.is_finite().then(|| self.scale.at(value))
    }
}

/// One digit and its power of ten as people write it: `2000`, `0.05`.
fn plain(value: f64) -> String {
    let power = (value.log10() + 1e-9).floor();
    if (-5.0..=5.0).contains(&power) {
        let places = (-power).max(0.0) as usize;
        return format!("{value:.places$}");
    }
    format!("{:.0}e{power}", value / 10_f64.powf(power))
}

/// Draws the chart; nothing without a line of two finite points.
#[must_use]
pub fn chart(c: &Chart) -> Option<Markup> {
    let points = c.lines.iter().flat_map(|line| line.points.iter());
    let x = Ruler::new(&c.across, false, points.clone().map(|p| p.0), (LEFT, RIGHT))?;
    let y = Ruler::new(&c.up, true, points.map(|p| p.1), (FLOOR, TOP))?;
    let lines: Vec<(&Line, Vec<(f64, f64)>)> = c
        .lines
        .iter()
        .map(|line| {
            let places = line.points.iter().filter_map(|&(a, b)| Some((x.at(a)?, y.at(b)?)));
            (line, places.collect::<Vec<_>>())
        })
        .filter(|(_, places)| places.len() > 1)
        .collect();
    if lines.is_empty() {
        return None;
    }
    let names = FLOOR + 58.0;
    let inside = html! {
        (bold(LEFT - 52.0, 18.0, Anchor::Start, &c.title))
        @if c.fahrenheit && !y.powers {
            (axes::temperature(&y.scale, (LEFT, RIGHT), 10.0))
        } @else {
            @for (value, words) in &y.marks {
                @let at = y.scale.at(*value);
                (line(LEFT, at, RIGHT, at, Stroke::Hair))
                (text(LEFT - 6.0, at + 4.0, Anchor::End, words))
            }
        }
        (text(LEFT + 4.0, TOP - 10.0, Anchor::Start, &c.up.words))
        (line(LEFT, TOP, LEFT, FLOOR, Stroke::Fine))
        (line(RIGHT, TOP, RIGHT, FLOOR, Stroke::Fine))
        (line(LEFT, FLOOR, RIGHT, FLOOR, Stroke::Fine))
        @for (value, words) in &x.marks {
            @let at = x.scale.at(*value);
            (line(at, FLOOR, at, FLOOR + 4.0, Stroke::Fine))
            (text(at, FLOOR + 17.0, Anchor::Middle, words))
        }
        (text(RIGHT, FLOOR + 34.0, Anchor::End, &c.across.words))
        @for (drawn, places) in &lines {
            (path(&through(places.iter().copied()), stroke_of(drawn.kind)))
            @if drawn.kind == LineKind::Points {
                @for (px_x, px_y) in places.iter().take(MOST_LINES) { (ring(*px_x, *px_y)) }
            }
        }
        @for (i, (drawn, _)) in lines.iter().enumerate() {
            @let at = names + ROW * i as f64;
            (line(LEFT, at - 4.0, LEFT + 34.0, at - 4.0, stroke_of(drawn.kind)))
            @if drawn.kind == LineKind::Points { (ring(LEFT + 17.0, at - 4.0)) }
            (text(LEFT + 42.0, at, Anchor::Start, &drawn.words))
        }
    };
    let widest = lines
        .iter()
        .map(|(drawn, _)| width_of(&drawn.words))
        .fold(0.0, f64::max);
    let width = WIDTH.max(LEFT + 52.0 + widest).max(width_of(&c.title) * 1.15 + 24.0);
    let height = names + ROW * lines.len() as f64;
    Some(picture(&c.id, &c.title, &c.desc, width, height, &inside))
}

fn stroke_of(kind: LineKind) -> Stroke {
    match kind {
        LineKind::Strong => Stroke::Strong,
        LineKind::Fine | LineKind::Points => Stroke::Fine,
        LineKind::Dashed => Stroke::Dashed,
        LineKind::Dotted => Stroke::Dotted,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn simple(powers: bool, points: Vec<(f64, f64)>) -> Chart {
        let axis = |words: &str| Axis {
            words: words.into(),
            powers,
        };
        Chart {
            id: "c".into(),
            title: "t <&>".into(),
            desc: "d".into(),
            across: axis("cells"),
            up: axis("K"),
            fahrenheit: false,
            lines: vec![Line {
                words: "one & only".into(),
                points,
                kind: LineKind::Points,
            }],
        }
    }

    #[test]
    fn every_line_is_named_and_words_are_escaped() {
        let svg = chart(&simple(true, vec![(6.0, 0.3), (12.0, 0.08), (96.0, 1e-3)]));
        let svg = svg.map(maud::PreEscaped::into_string).unwrap_or_default();
        assert!(svg.contains("one &amp; only") && svg.contains("t &lt;&amp;&gt;"));
        assert!(svg.contains(">0.001<") && svg.contains(">100<"));
        assert!(svg.matches("<circle").count() == 4);
    }

    #[test]
    fn values_that_cannot_stand_on_the_scale_are_left_out() {
        assert!(chart(&simple(true, vec![(6.0, 0.0), (12.0, -1.0)])).is_none());
        assert!(chart(&simple(false, vec![(f64::NAN, 0.0), (12.0, -1.0)])).is_none());
        assert!(chart(&simple(false, vec![(1.0, 5.0), (2.0, 5.0)])).is_some());
    }
}
