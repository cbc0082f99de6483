//! Which lines to move, and how far: one line, then two, then three, until the targets are met.

use super::bounded::{Wish, least_change};
use super::target::Relation;

/// Most lines moved together before all that may move are.
const MOST_TOGETHER: usize = 4;

/// Answers of one size that are offered before a larger size is looked at.
const MOST_TAKEN: usize = 8;

/// Tangents taken before a set of lines is given up.
const MOST_TANGENTS: usize = 14;

/// Times a band is looked at again.
const MOST_BANDS: usize = 3;

/// Greatest step of a relative change by one tangent.
const MOST_STEP: f64 = 0.4;

/// Step of a slope.
const SLOPE_STEP: f64 = 1e-4;

/// Miss, in tolerances, that rounding to the scale can still mend.
const NEARLY: f64 = 0.2;

/// A line that may move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mover {
    pub(super) line: usize,
    /// Mass now [g], and what one unit of change is [g].
    pub(super) from_g: f64,
    pub(super) unit_g: f64,
    /// Bounds of the change, in units.
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Mover {
    pub(super) fn change(&self, mass_g: f64) -> f64 {
        (mass_g - self.from_g) / self.unit_g
    }

    /// The same bounds of the mass, counted from where the line stands now.
    pub(super) fn counted_from_here(self) -> Self {
        let moved = self.from_g / self.unit_g;
        Self {
            low: self.low - moved,
            high: self.high - moved,
            ..self
        }
    }

    /// Bounds of the mass [g].
    pub(super) fn bounds_g(&self) -> (f64, f64) {
        (
            self.from_g + self.low * self.unit_g,
            self.from_g + self.high * self.unit_g,
        )
    }
}

/// What a value shall be, and how near is near enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Goal {
    pub(super) relation: Relation,
    pub(super) value: f64,
    pub(super) tolerance: f64,
}

impl Goal {
    /// Distance on the wrong side, in tolerances; an equal goal within one tolerance has none.
    fn off(&self, value: f64, below: f64, above: f64) -> f64 {
        match self.relation {
            Relation::Equal => (value - self.value) / self.tolerance,
            Relation::AtMost => (value + above - self.value) / self.tolerance,
            Relation::AtLeast => (self.value - value + below) / self.tolerance,
        }
    }

    fn miss(&self, off: f64) -> f64 {
        match self.relation {
            Relation::Equal => (off.abs() - 1.0).max(0.0),
            Relation::AtMost | Relation::AtLeast => off.max(0.0),
        }
    }
}

/// What the search asks of the food.
pub(super) trait Bench {
    /// Values of the goals at these masses; `None` where there is no such food.
    fn values(&self, masses_g: &[f64]) -> Option<Vec<f64>>;
    /// How far each value's band reaches below and above it.
    fn bands(&self, masses_g: &[f64]) -> Option<Vec<(f64, f64)>>;
}

/// Masses found for a set of lines.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub(super) movers: Vec<Mover>,
    pub(super) masses_g: Vec<f64>,
    /// Sum of the relative changes.
    pub(super) change: f64,
    /// Largest miss, in tolerances.
    pub(super) miss: f64,
    bands: Vec<(f64, f64)>,
}

impl Found {
    /// Whether it meets the goals, but for what rounding mends.
    pub(super) fn meets(&self) -> bool {
        self.miss <= NEARLY
    }

    /// Largest miss of other masses near these, and how far they are from the values to be hit,
    /// both in tolerances.
    pub(super) fn miss_at(&self, bench: &impl Bench, goals: &[Goal], masses_g: &[f64]) -> Option<(f64, f64)> {
        let values = bench.values(masses_g)?;
        let off = goals
            .iter()
            .zip(&values)
            .filter(|(goal, _)| goal.relation == Relation::Equal)
            .map(|(goal, &value)| goal.off(value, 0.0, 0.0).abs())
            .sum();
        Some((largest(goals, &values, &self.bands), off))
    }
}

fn largest(goals: &[Goal], values: &[f64], bands: &[(f64, f64)]) -> f64 {
    goals
        .iter()
        .zip(values)
        .zip(bands)
        .map(|((goal, &value), &(below, above))| goal.miss(goal.off(value, below, above)))
        .fold(0.0, f64::max)
}

/// What a search ends with.
pub(super) struct Searched<T> {
    pub(super) found: Found,
    /// What was made of it; `None` where nothing was taken.
    pub(super) taken: Option<T>,
    /// Sets of as few lines that would do too, with more change.
    pub(super) others: Vec<Found>,
}

/// The smallest set of lines whose amounts are taken, within a size the least change first.
///
/// `take` rounds an answer to the scale, or refuses it. Where all lines together cannot meet the
/// goals a smaller set can only by a slip of the tangents: then pairs are looked at, and what all
/// reach is the answer, not taken.
pub(super) fn search<T>(
    bench: &impl Bench,
    goals: &[Goal],
    masses_g: &[f64],
    movers: &[Mover],
    mut take: impl FnMut(&Found) -> Option<T>,
) -> Option<Searched<T>> {
    let bands = bench.bands(masses_g)?;
    let all = approach(bench, goals, masses_g, movers, &bands)?;
    let most = if all.meets() { MOST_TOGETHER } else { 2 };
    let start = bench.values(masses_g)?;
    let slopes = slopes(bench, masses_g, movers, &start)?;
    let before = largest(goals, &start, &bands);
    for size in 1..=most.min(movers.len()) {
        let mut found: Vec<Found> = Vec::new();
        for set in sets(movers.len(), size) {
            let chosen: Vec<Mover> = set.iter().map(|&i| movers[i]).collect();
            // What one tangent cannot bring half way is left alone.
            let first: Vec<Vec<f64>> = set.iter().map(|&i| slopes[i].clone()).collect();
            if promised(goals, &start, &bands, &first, &chosen) > 0.5 * before {
                continue;
            }
            if let Some(answer) = approach(bench, goals, masses_g, &chosen, &bands)
                && answer.meets()
            {
                found.push(answer);
            }
        }
        found.sort_by(|a, b| a.change.total_cmp(&b.change));
        for at in 0..found.len().min(MOST_TAKEN) {
            if let Some(taken) = take(&found[at]) {
                let others = found.split_off(at + 1);
                return Some(Searched {
                    found: found.swap_remove(at),
                    taken: Some(taken),
                    others,
                });
            }
        }
    }
    Some(Searched {
        taken: if all.meets() { take(&all) } else { None },
        found: all,
        others: Vec::new(),
    })
}

/// Index sets of a size, in order.
fn sets(of: usize, size: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..size {
        all = all
            .into_iter()
            .flat_map(|set| {
                let next = set.last().map_or(0, |last| last + 1);
                (next..of).map(move |i| {
                    let mut longer = set.clone();
                    longer.push(i);
                    longer
                })
            })
            .collect();
    }
    all
}

/// Slopes of the values [per unit of change], one row a mover.
fn slopes(bench: &impl Bench, masses_g: &[f64], movers: &[Mover], here: &[f64]) -> Option<Vec<Vec<f64>>> {
    movers
        .iter()
        .map(|mover| {
            // Towards the inside of the bounds.
            let inward = if mover.change(masses_g[mover.line]) + SLOPE_STEP <= mover.high {
                1.0
            } else {
                -1.0
            };
            let mut there = masses_g.to_vec();
            there[mover.line] += inward * SLOPE_STEP * mover.unit_g;
            let values = bench.values(&there)?;
            Some(
                values
                    .iter()
                    .zip(here)
                    .map(|(there, here)| (there - here) / (inward * SLOPE_STEP))
                    .collect(),
            )
        })
        .collect()
}

fn wishes(goals: &[Goal], values: &[f64], bands: &[(f64, f64)], slopes: &[Vec<f64>], at: &[f64]) -> Vec<Wish> {
    goals
        .iter()
        .enumerate()
        .map(|(g, goal)| {
            let sign = if goal.relation == Relation::AtLeast { -1.0 } else { 1.0 };
            let slopes: Vec<f64> = slopes.iter().map(|of| sign * of[g] / goal.tolerance).collect();
            let moved: f64 = slopes.iter().zip(at).map(|(s, r)| s * r).sum();
            Wish {
                offset: goal.off(values[g], bands[g].0, bands[g].1) - moved,
                slopes,
                at_most: goal.relation != Relation::Equal,
            }
        })
        .collect()
}

/// The miss that the first tangent promises.
fn promised(goals: &[Goal], start: &[f64], bands: &[(f64, f64)], slopes: &[Vec<f64>], movers: &[Mover]) -> f64 {
    let wishes = wishes(goals, start, bands, slopes, &vec![0.0; movers.len()]);
    let low: Vec<f64> = movers.iter().map(|m| m.low).collect();
    let high: Vec<f64> = movers.iter().map(|m| m.high).collect();
    let r = least_change(&wishes, &low, &high);
    goals
        .iter()
        .zip(&wishes)
        .map(|(goal, wish)| goal.miss(wish.offset + wish.slopes.iter().zip(&r).map(|(s, r)| s * r).sum::<f64>()))
        .fold(0.0, f64::max)
}

/// Moves one set of lines by tangents until it settles; the band is looked at again in between.
fn approach(
    bench: &impl Bench,
    goals: &[Goal],
    from_g: &[f64],
    movers: &[Mover],
    bands: &[(f64, f64)],
) -> Option<Found> {
    let low: Vec<f64> = movers.iter().map(|m| m.low).collect();
    let high: Vec<f64> = movers.iter().map(|m| m.high).collect();
    let mut r: Vec<f64> = movers.iter().map(|m| 0.0_f64.clamp(m.low, m.high)).collect();
    let masses = |r: &[f64]| {
        let mut masses = from_g.to_vec();
        for (mover, r) in movers.iter().zip(r) {
            masses[mover.line] = (mover.from_g + r * mover.unit_g).max(0.0);
        }
        masses
    };
    let mut bands = bands.to_vec();
    for look in 0..MOST_BANDS {
        for _ in 0..MOST_TANGENTS {
            let here = masses(&r);
            let values = bench.values(&here)?;
            let slopes = slopes(bench, &here, movers, &values)?;
            let wanted = least_change(&wishes(goals, &values, &bands, &slopes, &r), &low, &high);
            let longest = wanted.iter().zip(&r).map(|(to, r)| (to - r).abs()).fold(0.0, f64::max);
            if longest < 1e-6 {
                break;
            }
            let mut share = (MOST_STEP / longest).min(1.0);
            // A step out of what foods are is halved until it is inside.
            let mut stepped = None;
            for _ in 0..8 {
                let next: Vec<f64> = r.iter().zip(&wanted).map(|(r, to)| r + share * (to - r)).collect();
                if bench.values(&masses(&next)).is_some() {
                    stepped = Some(next);
                    break;
                }
                share *= 0.5;
            }
            match stepped {
                Some(next) => r = next,
                None => break,
            }
        }
        let now = bench.bands(&masses(&r))?;
        let moved = now
            .iter()
            .zip(&bands)
            .zip(goals)
            .map(|((now, old), goal)| ((now.0 - old.0).abs()).max((now.1 - old.1).abs()) / goal.tolerance)
            .fold(0.0, f64::max);
        bands = now;
        if moved < 0.05 || look + 1 == MOST_BANDS {
            break;
        }
    }
    let masses_g = masses(&r);
    let values = bench.values(&masses_g)?;
    Some(Found {
        movers: movers.to_vec(),
        change: r.iter().map(|r| r.abs()).sum(),
        miss: largest(goals, &values, &bands),
        bands,
        masses_g,
    })
}
