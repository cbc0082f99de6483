//! Several temperature curves on one picture, each told at its end.

use maud::{Markup, html};

use super::{
    Anchor, Scale, Stroke, axes, bold, ends_told, folded, line, on_white, path, picture, ring, text, through, width_of,
};

/// How a curve is drawn; each is told from the others without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// What is asked for.
    Strong,
    /// What stands beside it.
    Dashed,
    /// What surrounds it: a bath, a room.
    Fine,
}

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct OneCurve {
    /// Minutes and °C, in order of time.
    pub points: Vec<(f64, f64)>,
    /// How it is drawn.
    pub weight: Weight,
    /// What it is and where it ends; nothing for a curve told by another's words.
    pub words: Option<String>,
}

/// A temperature worth a line across.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Temperature [°C].
    pub c: f64,
    /// What it is.
    pub words: String,
}

/// Several curves.
#[derive(Debug, Clone, PartialEq)]
pub struct Curves {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// The picture in a sentence or two.
    pub desc: String,
    /// The curves, at most 24 are drawn.
    pub curves: Vec<OneCurve>,
    /// Lines across.
    pub levels: Vec<Level>,
    /// Sentences under the picture.
    pub below: Vec<String>,
}

const WIDTH: f64 = 760.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = 702.0;
const TOP: f64 = 44.0;
const ROW: f64 = 17.0;
const MOST_CURVES: usize = 24;
/// Letters of a sentence under the picture in one line.
const MOST_LETTERS: usize = 108;

/// Draws the curves; nothing when none has two finite points.
#[must_use]
pub fn curves(c: &Curves) -> Option<Markup> {
    let drawn: Vec<(&OneCurve, Vec<(f64, f64)>)> = c
        .curves
        .iter()
        .take(MOST_CURVES)
        .map(|one| {
            let finite = one
                .points
                .iter()
                .copied()
                .filter(|(t, y)| t.is_finite() && y.is_finite());
            (one, finite.collect::<Vec<_>>())
        })
        .filter(|(_, points)| points.len() > 1)
        .collect();
    let all = || drawn.iter().flat_map(|(_, points)| points.iter().copied());
    let last_min = all().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
    let first_min = all().map(|p| p.0).fold(f64::INFINITY, f64::min);
    if drawn.is_empty() || last_min <= first_min {
        return None;
    }
    let levels: Vec<&Level> = c.levels.iter().filter(|level| level.c.is_finite()).collect();
    let coldest = all().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let hottest = levels
        .iter()
        .map(|level| level.c)
        .fold(all().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max), f64::max);

    let mut ends: Vec<(f64, f64, &str)> = drawn
        .iter()
        .filter_map(|(one, points)| Some((points.last()?.0, points.last()?.1, one.words.as_deref()?)))
        .collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let lowest = (coldest / 10.0).floor() * 10.0;
    let highest = hottest + 4.0;
    let floor = TOP + (highest - lowest).clamp(20.0, 140.0) * 2.7;
    let base = floor + ROW * (ends.len() as f64 + 0.6);
    let below: Vec<String> = c
        .below
        .iter()
        .flat_map(|sentence| folded(sentence, MOST_LETTERS))
        .collect();
    let height = base + 44.0 + ROW * below.len() as f64;
    let x = Scale::new(first_min, last_min, LEFT, RIGHT);
    let y = Scale::new(lowest, highest, floor, TOP);

    let row = |i: usize| base - 7.0 - ROW * i as f64;
    let inside = html! {
        (bold(LEFT, 16.0, Anchor::Start, &c.title))
        (axes::temperature(&y, (LEFT, RIGHT), 8.0))
        (line(LEFT, TOP, LEFT, base, Stroke::Fine))
        (line(RIGHT, TOP, RIGHT, base, Stroke::Fine))
        (line(LEFT, base, RIGHT, base, Stroke::Fine))
        (axes::along(&x, axes::minute_step(last_min - first_min, 10.0), base, "minutes"))
        @for (one, points) in &drawn {
            (path(&through(points.iter().map(|&(t, v)| (x.at(t), y.at(v)))), match one.weight {
                Weight::Strong => Stroke::Strong,
                Weight::Dashed => Stroke::Dashed,
                Weight::Fine => Stroke::Fine,
            }))
        }
        @for level in &levels {
            (line(LEFT, y.at(level.c), RIGHT, y.at(level.c), Stroke::Dotted))
            (on_white(LEFT + 6.0, y.at(level.c) - 4.0, Anchor::Start, &level.words))
        }
        @for (i, &(at_min, end_c, _)) in ends.iter().enumerate() {
            @let at = x.at(at_min);
            (line(at, y.at(end_c), at, row(i) - 4.0, Stroke::Fine))
            (ring(at, y.at(end_c)))
        }
        // The words after all lines, so that their white edge keeps every line off them.
        @for (i, &(at_min, _, words)) in ends.iter().enumerate() {
            @let at = x.at(at_min);
            @if at + 8.0 + width_of(words) < RIGHT || at - 8.0 - width_of(words) < LEFT {
                (line(at, row(i) - 4.0, at + 5.0, row(i) - 4.0, Stroke::Fine))
                (on_white(at + 8.0, row(i), Anchor::Start, words))
            } @else {
                (line(at, row(i) - 4.0, at - 5.0, row(i) - 4.0, Stroke::Fine))
                (on_white(at - 8.0, row(i), Anchor::End, words))
            }
        }
        @for (i, sentence) in below.iter().enumerate() {
            (text(LEFT, base + 52.0 + ROW * i as f64, Anchor::Start, sentence))
        }
    };
    let told = drawn.iter().enumerate().filter_map(|(i, (one, points))| {
        let name = one.words.clone().unwrap_or_else(|| format!("curve {}", i + 1));
        Some(format!(" {name}: {}.", ends_told(points.iter().copied())?))
    });
    let desc = format!("{}{}", c.desc.trim(), told.collect::<String>());
    Some(picture(&c.id, &c.title, &desc, WIDTH, height + 8.0, &inside))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two() -> Curves {
        let one = |end_min: f64, words: &str| OneCurve {
            points: vec![(0.0, 20.0), (end_min, 77.0)],
            weight: Weight::Strong,
            words: Some(words.into()),
        };
        Curves {
            id: "p".into(),
            title: "t".into(),
            desc: "d".into(),
            curves: vec![one(10.0, "1 kg <&>"), one(30.0, "3 kg")],
            levels: vec![Level {
                c: 77.0,
                words: "done".into(),
            }],
            below: vec!["word ".repeat(60)],
        }
    }

    #[test]
    fn each_curve_is_told_at_its_end_and_words_are_escaped() {
        let svg = curves(&two()).map(maud::PreEscaped::into_string).unwrap_or_default();
        for words in ["1 kg &lt;&amp;&gt;", "3 kg", "done", "°F", "minutes", "role=\"img\""] {
            assert!(svg.contains(words), "{words}");
        }
    }

    #[test]
    fn no_time_no_picture() {
        let mut none = two();
        none.curves = vec![OneCurve {
            points: vec![(0.0, f64::NAN), (0.0, 20.0)],
            weight: Weight::Dashed,
            words: None,
        }];
        assert!(curves(&none).is_none());
    }

    #[test]
    fn a_long_sentence_is_folded_and_none_of_it_lost() {
        let lines = folded(&"word ".repeat(60), MOST_LETTERS);
        assert!(lines.iter().all(|line| line.chars().count() <= MOST_LETTERS));
        assert_eq!(lines.iter().map(|line| line.split(' ').count()).sum::<usize>(), 60);
    }
}
