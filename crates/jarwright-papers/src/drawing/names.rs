//! Where the names of curves and levels stand on a plot: by their own line, off all others.
//!
//! Every place along a line is tried with the words in one row or more; the one that costs least is
//! taken. What it costs to stand outside, on other words, on lines, or nearer to another's line, in
//! lengths of the picture, is chosen by eye.

use super::{Anchor, BandCurve, BandPoint, Level, Scale, Weight, folded, width_of};

/// Words with their place.
pub(super) type Words = (f64, f64, Anchor, String);

/// What a name names.
#[derive(Clone, Copy)]
enum Whose {
    /// A curve, by its number.
    Curve(usize),
    /// A level, by its height on the picture.
    Level(f64),
}

/// Names of curves and levels, each where it meets the fewest lines and no other words.
pub(super) fn curve_words(
    curves: &[(&BandCurve, Vec<BandPoint>)],
    x: &Scale,
    y: &Scale,
    levels: &[&Level],
    upright: &[Vec<(f64, f64)>],
) -> Vec<Words> {
    let lines: Vec<Vec<(f64, f64)>> = curves
        .iter()
        .map(|(_, points)| points.iter().map(|p| (x.at(p.at), y.at(p.value))).collect())
        .collect();
    // What words had better not stand on: curves, edges of bands, upright lines.
    let edge = |points: &[BandPoint], of: fn(&BandPoint) -> f64| -> Vec<(f64, f64)> {
        points.iter().map(|p| (x.at(p.at), y.at(of(p)))).collect()
    };
    let strong = curves.iter().filter(|(curve, _)| curve.weight == Weight::Strong);
    let mut barred: Vec<Vec<(f64, f64)>> = lines.iter().chain(upright).cloned().collect();
    barred.extend(strong.flat_map(|(_, points)| [edge(points, |p| p.low), edge(points, |p| p.high)]));
    let own_edges: Vec<Vec<(f64, f64)>> = curves
        .iter()
        .map(|(_, points)| [edge(points, |p| p.low), edge(points, |p| p.high)].concat())
        .collect();
    let mut taken: Vec<[f64; 4]> = Vec::new();
    let mut said = Vec::new();
    let mut place = |candidates: Vec<(f64, f64, f64)>, words: &str, whose: Whose| {
        let own = match whose {
            Whose::Curve(own) => Some(own),
            Whose::Level(_) => None,
        };
        let words = shortened(words, 52);
        // In one long row, or in more and shorter ones where there is less room across.
        let foldings = [44, 26, 16].map(|letters| folded(&words, letters));
        let mut best: Option<(f64, [f64; 4], &Vec<String>)> = None;
        for rows in &foldings {
            let long = rows.iter().map(|row| width_of(row)).fold(0.0, f64::max);
            let high = 14.0 * rows.len() as f64;
            for &(at, over, under) in &candidates {
                for (left, top) in [
                    (at + 6.0, over - high - 5.0),
                    (at + 6.0, under + 5.0),
                    (at - long - 6.0, over - high - 5.0),
                    (at - long - 6.0, under + 5.0),
                    (at + 9.0, over.midpoint(under) - high / 2.0),
                    (at - long - 9.0, over.midpoint(under) - high / 2.0),
                ] {
                    let frame = [left, top, left + long, top + high];
                    let out = (x.start + 3.0 - left).max(0.0)
                        + (frame[2] - x.end + 3.0).max(0.0)
                        + (y.end + 1.0 - top).max(0.0)
                        + (frame[3] - y.start + 2.0).max(0.0);
                    let over = taken.iter().filter(|t| overlap(t, &frame)).count() as f64;
                    let plain = 100.0 * out + 4000.0 * over + 25.0 * rows.len() as f64;
                    if best.as_ref().is_some_and(|(least, ..)| plain >= *least) {
                        continue;
                    }
                    let crossed: f64 = barred.iter().map(|line| inside(line, frame)).sum();
                    let level = levels
                        .iter()
                        .filter(|l| (top - 2.0..frame[3] + 2.0).contains(&y.at(l.c)))
                        .count() as f64;
                    // Near to another curve a name reads less well.
                    let others = lines
                        .iter()
                        .enumerate()
                        .filter(|(k, _)| own.is_some_and(|own| own != *k));
                    let nearest = others
                        .flat_map(|(_, line)| line.iter())
                        .map(|p| away(frame, *p))
                        .fold(40.0, f64::min);
                    // Nearer to another curve than to its own: it would be taken for that one's.
                    let own_near = own.map_or(0.0, |own| {
                        let (points, edges) = (&lines[own], &own_edges[own]);
                        points.iter().chain(edges).map(|p| away(frame, *p)).fold(40.0, f64::min)
                    });
                    let beside = |at: f64| (top - at).max(at - frame[3]).max(0.0);
                    let astray = match whose {
                        Whose::Curve(_) => nearest < own_near + 4.0,
                        Whose::Level(at) => levels.iter().any(|l| beside(y.at(l.c)) + 1.0 < beside(at)),
                    };
                    let astray = if astray { 600.0 } else { 0.0 };
                    let cost = plain + 3.0 * crossed + 120.0 * level + astray + 3.0 * (40.0 - nearest);
                    if best.as_ref().is_none_or(|(least, ..)| cost < *least - 1e-9) {
                        best = Some((cost, frame, rows));
                    }
                }
            }
        }
        if let Some((_, frame, rows)) = best {
            taken.push([frame[0] - 4.0, frame[1] - 1.0, frame[2] + 4.0, frame[3] + 1.0]);
            for (i, row) in rows.iter().enumerate() {
                said.push((frame[0], frame[1] + 11.0 + 14.0 * i as f64, Anchor::Start, row.clone()));
            }
        }
    };
    for level in levels {
        let at = y.at(level.c);
        let spots = (0..24)
            .map(|i| (x.start + (x.end - x.start) * f64::from(i) / 23.0, at, at))
            .collect();
        place(spots, &level.words, Whose::Level(at));
    }
    for (i, (curve, points)) in curves.iter().enumerate() {
        let all = &lines[i];
        let step = all.len().div_ceil(60).max(1);
        // A name belongs where its curve is far from the others.
        let far = |p: &(f64, f64)| {
            let others = lines
                .iter()
                .enumerate()
                .filter(|(k, _)| *k != i)
                .flat_map(|(_, line)| line.iter());
            others.map(|o| (o.0 - p.0).hypot(o.1 - p.1)).fold(1e9, f64::min)
        };
        let furthest = all.iter().step_by(step).map(far).fold(0.0, f64::max);
        let banded = curve.weight == Weight::Strong;
        let spots = all
            .iter()
            .zip(points)
            .step_by(step)
            .filter(|(p, _)| far(p) >= 0.45 * furthest.min(60.0));
        let spots = spots.map(|(at, p)| match banded {
            true => (at.0, y.at(p.high), y.at(p.low)),
            false => (at.0, at.1, at.1),
        });
        let spots = spots.collect();
        place(spots, &curve.words, Whose::Curve(i));
    }
    said
}

/// Words cut to a number of letters.
pub(super) fn shortened(words: &str, letters: usize) -> String {
    if words.chars().count() <= letters {
        return words.to_owned();
    }
    words.chars().take(letters - 1).chain(['…']).collect()
}

fn overlap(a: &[f64; 4], b: &[f64; 4]) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// How far a point lies from a frame.
fn away(frame: [f64; 4], (x, y): (f64, f64)) -> f64 {
    let across = (frame[0] - x).max(x - frame[2]).max(0.0);
    across.hypot((frame[1] - y).max(y - frame[3]).max(0.0))
}

/// About how much of a line runs within a frame.
fn inside(line: &[(f64, f64)], frame: [f64; 4]) -> f64 {
    let within = |(x, y): (f64, f64)| {
        (frame[0] - 3.0..frame[2] + 3.0).contains(&x) && (frame[1] - 3.0..frame[3] + 3.0).contains(&y)
    };
    let passes = |a: f64, b: f64, from: f64, to: f64| a.min(b) < to + 3.0 && a.max(b) > from - 3.0;
    line.windows(2)
        .filter(|p| passes(p[0].0, p[1].0, frame[0], frame[2]) && passes(p[0].1, p[1].1, frame[1], frame[3]))
        .map(|pair| {
            let ((ax, ay), (bx, by)) = (pair[0], pair[1]);
            let long = (bx - ax).hypot(by - ay);
            let parts = (long / 4.0).ceil().clamp(1.0, 200.0) as usize;
            let hit = (0..parts).filter(|k| {
                let share = (*k as f64 + 0.5) / parts as f64;
                within((ax + share * (bx - ax), ay + share * (by - ay)))
            });
            hit.count() as f64 * long / parts as f64
        })
        .sum()
}
