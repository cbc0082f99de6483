//! Pictures: SVG by hand, black and grey on white, labelled where the thing is.
//!
//! Shared by papers and pages. A picture takes plain numbers and words, never a plan; it has a
//! title and a description for those who do not see it, no script and no outside resource.
//! Shades differ by hatching as well as by grey, so that a copying machine keeps them apart.

mod axes;
mod banded;
mod bars;
mod chart;
mod contour;
mod curve;
mod curves;
mod film;
mod heat_bands;
mod ink;
mod jar_section;
mod log;
mod names;
mod odds;
mod ornament;
mod pot;
mod thinned;
mod timeline;

pub use banded::{Across, Adding, BandCurve, BandPoint, Banded, Lower, LowerLine, Up, banded};
pub use bars::{CauseRow, Causes, Change, ChangeScale, Changes, causes, changes};
pub use chart::{Axis, Chart, Line, LineKind, chart};
pub use curve::{Curve, Mark, Phase, curve};
pub use curves::{Curves, Level, OneCurve, Weight, curves};
pub use film::{FILM_JS, Film, film};
pub use heat_bands::BAND_EDGES_C;
pub use ink::PICTURE_CSS;
pub use jar_section::{
    Around, Frame, JarFrame, JarSection, MOST_FRAMES, Medium, jar_frames, jar_section, jar_strip, section_told,
};
pub use log::{LogPicture, Probe, Spot, log};
pub use odds::{Asked, CauseBar, Odds, ShareBar, odds};
pub use ornament::{graduations, jar, ladle};
pub use pot::{Pot, pot};
pub use timeline::{Bar, Lane, Shade, Timeline, timeline};

use maud::{Markup, html};

use crate::words::both_scales;

/// Most lines a scale or a hatching draws, whatever it is asked for.
const MOST_LINES: usize = 400;

/// A length in the picture's own units, to a tenth: `12.3`.
#[must_use]
pub fn px(length: f64) -> String {
    let tenth = (length * 10.0).round() / 10.0;
    if !tenth.is_finite() {
        return "0".into();
    }
    // Adding zero turns -0 into 0.
    format!("{}", tenth + 0.0)
}

/// A straight scale: values `from..to` lie on lengths `start..end`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    from: f64,
    to: f64,
    start: f64,
    end: f64,
}

impl Scale {
    /// A scale; a span of nothing is widened to one, so that every value has a place.
    #[must_use]
    pub fn new(from: f64, to: f64, start: f64, end: f64) -> Self {
        let to = if to > from { to } else { from + 1.0 };
        Self { from, to, start, end }
    }

    /// Where a value lies.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        self.start + (value - self.from) / (self.to - self.from) * (self.end - self.start)
    }

    /// Round values on the scale, about `many` of them.
    #[must_use]
    pub fn ticks(&self, many: usize) -> Vec<f64> {
        let rough = (self.to - self.from) / many.max(1) as f64;
        let power = 10_f64.powf(rough.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .map(|digit| digit * power)
            .find(|&step| step >= rough * 0.999)
            .unwrap_or(10.0 * power);
        self.every(step)
    }

    /// Round values at least `gap` apart on the picture, and the step between them.
    fn marks(&self, gap: f64) -> (Vec<f64>, f64) {
        let many = ((self.end - self.start).abs() / gap).clamp(1.0, 12.0) as usize;
        let ticks = self.ticks(many);
        let step = match ticks.as_slice() {
            [a, b, ..] => b - a,
            _ => (self.to - self.from) / 10.0,
        };
        (ticks, step)
    }

    /// Multiples of `step` on the scale.
    #[must_use]
    pub fn every(&self, step: f64) -> Vec<f64> {
        let first = (self.from / step - 1e-9).ceil();
        (0..MOST_LINES)
            .map(|i| (first + i as f64) * step)
            .take_while(|&value| value <= self.to + step * 1e-9)
            .collect()
    }
}

/// The frame of every picture: role, title and description. `id` is unique on its page.
fn picture(id: &str, title: &str, desc: &str, width: f64, height: f64, inside: &Markup) -> Markup {
    let (title_id, desc_id) = (format!("{id}-title"), format!("{id}-desc"));
    html! {
        svg class="picture" xmlns="http://www.w3.org/2000/svg" role="img"
            width=(px(width)) height=(px(height))
            viewBox=(format!("0 0 {} {}", px(width), px(height)))
            aria-labelledby=(format!("{title_id} {desc_id}"))
            font-family="'Liberation Sans', Arial, 'Segoe UI', sans-serif" font-size="12" fill="#000" {
            title id=(title_id) { (title) }
            desc id=(desc_id) { (desc) }
            rect class="ink-ground" width=(px(width)) height=(px(height)) fill="#fff" {}
            (inside)
        }
    }
}

/// Which side of its point a text stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Anchor {
    Start,
    Middle,
    End,
}

impl Anchor {
    const fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

fn text(x: f64, y: f64, anchor: Anchor, words: &str) -> Markup {
    html! { text x=(px(x)) y=(px(y)) text-anchor=(anchor.word()) { (words) } }
}

/// Words with a white edge, so that no line strikes them through.
fn on_white(x: f64, y: f64, anchor: Anchor, words: &str) -> Markup {
    html! {
        text x=(px(x)) y=(px(y)) text-anchor=(anchor.word())
            class="ink-halo" stroke="#fff" stroke-width="3.5" stroke-linejoin="round" paint-order="stroke" { (words) }
    }
}

fn bold(x: f64, y: f64, anchor: Anchor, words: &str) -> Markup {
    html! { text x=(px(x)) y=(px(y)) text-anchor=(anchor.word()) font-weight="700" { (words) } }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stroke {
    Hair,
    Fine,
    Dashed,
    Dotted,
    Strong,
}

/// Class, colour on paper, width and dashes of a line.
fn stroke(line: Stroke) -> (&'static str, &'static str, &'static str, &'static str) {
    match line {
        Stroke::Hair => ("ink-hair", "#8c8c8c", "0.5", "none"),
        Stroke::Fine => ("ink-line", "#000", "0.8", "none"),
        Stroke::Dashed => ("ink-line", "#000", "0.9", "5 3"),
        Stroke::Dotted => ("ink-line", "#000", "1", "1 3"),
        Stroke::Strong => ("ink-line", "#000", "2.4", "none"),
    }
}

fn line(x1: f64, y1: f64, x2: f64, y2: f64, kind: Stroke) -> Markup {
    path(&format!("M{} {}L{} {}", px(x1), px(y1), px(x2), px(y2)), kind)
}

fn path(d: &str, kind: Stroke) -> Markup {
    let (class, colour, width, dashes) = stroke(kind);
    html! {
        path d=(d) class=(class) fill="none" stroke=(colour) stroke-width=(width) stroke-dasharray=(dashes)
            stroke-linejoin="round" stroke-linecap="round" {}
    }
}

fn ring(x: f64, y: f64) -> Markup {
    html! {
        circle cx=(px(x)) cy=(px(y)) r="3.4" class="ink-open" fill="#fff" stroke="#000" stroke-width="1.4" {}
    }
}

/// A polyline through points, as path data; points that change nothing to see are left out.
fn through(points: impl Iterator<Item = (f64, f64)>) -> String {
    thinned::thinned(&points.collect::<Vec<_>>())
        .into_iter()
        .enumerate()
        .map(|(i, (x, y))| format!("{}{} {}", if i == 0 { 'M' } else { 'L' }, px(x), px(y)))
        .collect()
}

/// The ends of a temperature curve in words; nothing without a finite point.
///
/// `lowest 20 °C (68 °F) at 0 min, highest 94 °C (201 °F) at 79 min`
fn ends_told(points: impl Iterator<Item = (f64, f64)>) -> Option<String> {
    let finite: Vec<(f64, f64)> = points.filter(|(t, c)| t.is_finite() && c.is_finite()).collect();
    let by = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
    let (low, high) = (finite.iter().min_by(by)?, finite.iter().max_by(by)?);
    Some(format!(
        "lowest {} at {} min, highest {} at {} min",
        both_scales(low.1, 0),
        figure(low.0),
        both_scales(high.1, 0),
        figure(high.0)
    ))
}

/// A line's height at a place: nothing before its first point, its last beyond.
fn value_at(points: &[(f64, f64)], at: f64) -> f64 {
    let next = points.partition_point(|p| p.0 <= at);
    match (next.checked_sub(1).and_then(|i| points.get(i)), points.get(next)) {
        (Some(&(a, va)), Some(&(b, vb))) => va + (vb - va) * (at - a) / (b - a),
        (Some(last), None) => last.1,
        (None, _) => 0.0,
    }
}

/// Straight lines of one kind, as one path: `[x1, y1, x2, y2]` each.
fn strokes(lines: impl Iterator<Item = [f64; 4]>, kind: Stroke) -> Markup {
    let d: String = lines
        .map(|[x1, y1, x2, y2]| format!("M{} {}L{} {}", px(x1), px(y1), px(x2), px(y2)))
        .collect();
    html! { @if !d.is_empty() { (path(&d, kind)) } }
}

/// How much room a picture has across.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// A telephone held upright: 360.
    Narrow,
    /// A printed sheet, a screen: 720.
    Wide,
}

impl Room {
    const fn width(self) -> f64 {
        match self {
            Self::Narrow => 360.0,
            Self::Wide => 720.0,
        }
    }

    /// The id of a picture in this room: both may stand on one page.
    fn id(self, id: &str) -> String {
        match self {
            Self::Narrow => format!("{id}-narrow"),
            Self::Wide => id.to_owned(),
        }
    }
}

/// A picture for both rooms, of which the page's stylesheet shows the one that fits.
#[must_use]
pub fn in_both_rooms(draw: impl Fn(Room) -> Option<Markup>) -> Option<Markup> {
    let (narrow, wide) = (draw(Room::Narrow)?, draw(Room::Wide)?);
    Some(html! {
        div class="room-narrow" { (narrow) }
        div class="room-wide" { (wide) }
    })
}

/// The words of a sentence, a figure and the unit behind it as one: `77 °C`, `(171 °F)`, `45 min`.
fn with_units(sentence: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in sentence.split_whitespace() {
        let unit = word.chars().count() <= 4 && !word.starts_with(|c: char| c.is_ascii_digit());
        match words.last_mut() {
            Some(last) if unit && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// A sentence in lines of at most `letters`, broken between words, or inside one too long.
fn folded(sentence: &str, letters: usize) -> Vec<String> {
    let letters = letters.max(8);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in with_units(sentence) {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > letters {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for letter in word.chars() {
            if line.chars().count() >= letters {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Two or three digits; a power of ten where nobody counts any more.
fn figure(value: f64) -> String {
    if value.abs() >= 1e5 {
        return format!("{value:.1e}");
    }
    let places = if value == 0.0 || value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else {
        2
    };
    let digits = format!("{value:.places$}");
    if digits.contains('.') {
        digits.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        digits
    }
}

/// Letters of the usual size that fit into a length.
fn letters_in(length: f64) -> usize {
    (length / 6.1).clamp(8.0, 400.0) as usize
}

/// Heights moved apart so that names do not stand on each other, in the order given.
fn apart(heights: impl Iterator<Item = f64>, top: f64, floor: f64, row: f64) -> Vec<f64> {
    let heights: Vec<f64> = heights.collect();
    let mut order: Vec<usize> = (0..heights.len()).collect();
    order.sort_by(|&a, &b| heights[a].total_cmp(&heights[b]));
    let mut placed = heights.clone();
    let mut next = top;
    for &i in &order {
        placed[i] = placed[i].max(next);
        next = placed[i] + row;
    }
    let mut lowest = floor;
    for &i in order.iter().rev() {
        placed[i] = placed[i].min(lowest);
        lowest = placed[i] - row;
    }
    placed
}

/// About how wide words are at the usual size, generously.
fn width_of(words: &str) -> f64 {
    words.chars().count() as f64 * 6.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_keeps_its_unit_when_a_sentence_is_folded() {
        assert_eq!(
            folded("counts from 93.3 °C (200 °F) on", 18),
            ["counts from", "93.3 °C (200 °F)", "on"]
        );
        assert_eq!(
            folded("after 45 min in 12 345 678", 12),
            ["after 45 min", "in 12 345", "678"]
        );
    }

    #[test]
    fn lengths_have_at_most_one_decimal() {
        assert_eq!(px(12.345), "12.3");
        assert_eq!(px(-0.01), "0");
        assert_eq!(px(7.0), "7");
        assert_eq!(px(f64::NAN), "0");
    }

    #[test]
    fn ends_of_a_scale_lie_on_its_ends_and_nothing_is_endless() {
        let scale = Scale::new(20.0, 110.0, 300.0, 10.0);
        assert!((scale.at(20.0) - 300.0).abs() < 1e-9 && (scale.at(110.0) - 10.0).abs() < 1e-9);
        assert!(Scale::new(0.0, 1e12, 0.0, 1.0).every(1.0).len() <= MOST_LINES);
        assert!(Scale::new(5.0, 5.0, 0.0, 10.0).at(5.0).is_finite());
    }

    #[test]
    fn ticks_are_round_and_inside() {
        let ticks = Scale::new(20.0, 112.0, 0.0, 100.0).ticks(6);
        assert_eq!(ticks, [20.0, 40.0, 60.0, 80.0, 100.0]);
    }
}
