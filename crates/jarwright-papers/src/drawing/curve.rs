//! Temperature against time, with its phases and its marked points.

use maud::{Markup, html};

use super::{Anchor, Scale, Stroke, axes, ends_told, line, on_white, path, picture, ring, text, through, width_of};
use crate::words::both_scales;

/// A stretch of the curve between two moments.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// Where it begins [min].
    pub from_min: f64,
    /// What it is.
    pub words: String,
}

/// A point worth reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// When [min].
    pub at_min: f64,
    /// How hot [°C].
    pub c: f64,
    /// What it is, with its figure.
    pub words: String,
}

/// A temperature curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// The picture in a sentence or two.
    pub desc: String,
    /// Minutes and °C, in order of time.
    pub points: Vec<(f64, f64)>,
    /// What water boils at here [°C].
    pub boils_c: f64,
    /// Phases, in order.
    pub phases: Vec<Phase>,
    /// Marked points, in order of time.
    pub marks: Vec<Mark>,
}

const WIDTH: f64 = 720.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = 662.0;
const ROW: f64 = 17.0;

/// Draws the curve; nothing when it has fewer than two finite points.
///
/// Labels never cross the curve: phases stand above the plot, marked points hang below it.
#[must_use]
pub fn curve(c: &Curve) -> Option<Markup> {
    let points: Vec<(f64, f64)> = c
        .points
        .iter()
        .copied()
        .filter(|(t, y)| t.is_finite() && y.is_finite())
        .collect();
    let (first, last) = (points.first()?, points.last()?);
    if points.len() < 2 || last.0 <= first.0 {
        return None;
    }
    let coldest = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let hottest = points.iter().map(|p| p.1).fold(c.boils_c, f64::max);

    let top = 12.0 + ROW * c.phases.len() as f64;
    let hang = ROW * (c.marks.len() as f64 + 0.6);
    let lowest = (coldest / 10.0).floor() * 10.0;
    let highest = hottest + 3.0;
    let plot = (highest - lowest).clamp(20.0, 120.0) * 2.7;
    let floor = top + plot;
    let base = floor + hang;
    let x = Scale::new(first.0, last.0, LEFT, RIGHT);
    let y = Scale::new(lowest, highest, floor, top);

    let inside = html! {
        (axes::temperature(&y, (LEFT, RIGHT), 6.0))
        (line(LEFT, top, LEFT, base, Stroke::Fine))
        (line(RIGHT, top, RIGHT, base, Stroke::Fine))
        (line(LEFT, base, RIGHT, base, Stroke::Fine))
        (axes::along(&x, axes::minute_step(last.0 - first.0, 10.0), base, "minutes"))

        @for (i, phase) in c.phases.iter().enumerate() {
            @let (at, height) = (x.at(phase.from_min), 12.0 + ROW * i as f64);
            (line(at, height - 8.0, at, floor, Stroke::Dashed))
            @if at + 5.0 + width_of(&phase.words) < WIDTH {
                (text(at + 5.0, height + 2.0, Anchor::Start, &phase.words))
            } @else {
                (text(at - 5.0, height + 2.0, Anchor::End, &phase.words))
            }
        }

        @if c.boils_c.is_finite() {
            (line(LEFT, y.at(c.boils_c), RIGHT, y.at(c.boils_c), Stroke::Dotted))
            (on_white(RIGHT - 4.0, y.at(c.boils_c) + 14.0, Anchor::End, &format!("water boils here at {}", both_scales(c.boils_c, 1))))
        }
        (path(&through(points.iter().map(|&(t, v)| (x.at(t), y.at(v)))), Stroke::Strong))

        @for (i, mark) in c.marks.iter().enumerate() {
            @let (at, level) = (x.at(mark.at_min), base - 7.0 - ROW * i as f64);
            (line(at, y.at(mark.c), at, level - 4.0, Stroke::Fine))
            (ring(at, y.at(mark.c)))
            (line(at, level - 4.0, at + 5.0, level - 4.0, Stroke::Fine))
            (on_white(at + 8.0, level, Anchor::Start, &mark.words))
        }
    };
    let ends = ends_told(points.iter().copied()).unwrap_or_default();
    let desc = format!("{} The curve: {ends}.", c.desc.trim());
    Some(picture(&c.id, &c.title, &desc, WIDTH, base + 38.0, &inside))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn simple() -> Curve {
        Curve {
            id: "c".into(),
            title: "t".into(),
            desc: "d".into(),
            points: vec![(0.0, 80.0), (30.0, 90.0), (90.0, 50.0)],
            boils_c: 95.0,
            phases: vec![Phase {
                from_min: 0.0,
                words: "come-up".into(),
            }],
            marks: vec![Mark {
                at_min: 30.0,
                c: 90.0,
                words: "highest <&>".into(),
            }],
        }
    }

    #[test]
    fn both_scales_stand_on_the_axes_and_words_are_escaped() {
        let svg = curve(&simple()).map(maud::PreEscaped::into_string).unwrap_or_default();
        assert!(svg.contains("°C") && svg.contains("°F") && svg.contains("minutes"));
        assert!(svg.contains("highest &lt;&amp;&gt;"));
        assert!(svg.contains("<title id=\"c-title\">t</title>") && svg.contains("role=\"img\""));
    }

    #[test]
    fn no_curve_no_picture() {
        assert!(
            curve(&Curve {
                points: vec![],
                ..simple()
            })
            .is_none()
        );
        assert!(
            curve(&Curve {
                points: vec![(f64::NAN, 1.0), (1.0, 2.0)],
                ..simple()
            })
            .is_none()
        );
    }
}
