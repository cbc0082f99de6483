//! New amounts as a scale shows them, still on the right side of every target.

use std::cmp::Ordering;

use super::search::{Bench, Found, Goal, Mover};

/// Steps of a kitchen scale [g]: whole grams, tenths below ten.
const COARSE_G: f64 = 1.0;
const FINE_G: f64 = 0.1;
const FINE_BELOW_G: f64 = 10.0;

/// Sets of neighbours that are tried one by one; more lines than that are rounded in turn.
const MOST_COMBINED: usize = 4;

/// Share of a written line that is no more than a trace.
const TRACE: f64 = 0.01;

/// Steps of rounding in turn.
const MOST_ROUNDS: usize = 12;

/// The step of a scale for a mass [g].
pub(super) fn step_g(mass_g: f64) -> f64 {
    if mass_g < FINE_BELOW_G - 1e-9 { FINE_G } else { COARSE_G }
}

/// A mass on the scale [g], without the tail of binary fractions.
pub(super) fn on_scale(mass_g: f64) -> f64 {
    tidy((mass_g / step_g(mass_g)).round() * step_g(mass_g))
}

/// A mass [g] in words, without a needless decimal.
pub(super) fn plain(mass_g: f64) -> String {
    format!("{}", tidy(mass_g) + 0.0)
}

/// A whole number of steps.
fn tidy(mass_g: f64) -> f64 {
    (mass_g * 10.0).round() / 10.0
}

/// Rounded masses with their largest miss [tolerances], how far they are from the values that are
/// to be hit, and their sum of relative changes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rounded {
    pub(super) masses_g: Vec<f64>,
    pub(super) miss: f64,
    off: f64,
    pub(super) change: f64,
}

/// The neighbours on the scale: least miss first, of equals the nearest to the values to be hit,
/// then the least change.
pub(super) fn neighbours(bench: &impl Bench, goals: &[Goal], found: &Found) -> Vec<Rounded> {
    let mut all = if found.movers.len() <= MOST_COMBINED {
        combined(bench, goals, found)
    } else {
        in_turn(bench, goals, found).into_iter().collect()
    };
    all.sort_by(order);
    all
}

fn order(a: &Rounded, b: &Rounded) -> Ordering {
    a.miss
        .total_cmp(&b.miss)
        .then_with(|| a.off.total_cmp(&b.off))
        .then_with(|| a.change.total_cmp(&b.change))
}

fn rounded(bench: &impl Bench, goals: &[Goal], found: &Found, masses_g: Vec<f64>) -> Option<Rounded> {
    let (miss, off) = found.miss_at(bench, goals, &masses_g)?;
    Some(Rounded {
        miss,
        off,
        change: found.movers.iter().map(|m| m.change(masses_g[m.line]).abs()).sum(),
        masses_g,
    })
}

/// Every mix of the two steps on each side.
fn combined(bench: &impl Bench, goals: &[Goal], found: &Found) -> Vec<Rounded> {
    let mut mixes = vec![found.masses_g.clone()];
    for mover in &found.movers {
        let steps = steps(mover, found.masses_g[mover.line]);
        mixes = mixes
            .into_iter()
            .flat_map(|mix| {
                steps.iter().map(move |&to| {
                    let mut next = mix.clone();
                    next[mover.line] = to;
                    next
                })
            })
            .collect();
    }
    mixes
        .into_iter()
        .filter_map(|masses| rounded(bench, goals, found, masses))
        .collect()
}

/// The nearest steps, then one line after the other while that helps.
fn in_turn(bench: &impl Bench, goals: &[Goal], found: &Found) -> Option<Rounded> {
    let mut masses = found.masses_g.clone();
    for mover in &found.movers {
        masses[mover.line] = on_scale(masses[mover.line]);
    }
    let mut best = rounded(bench, goals, found, masses)?;
    for _ in 0..MOST_ROUNDS {
        if best.miss <= 0.0 {
            break;
        }
        let better = found
            .movers
            .iter()
            .flat_map(|mover| {
                let masses = &best.masses_g;
                steps(mover, masses[mover.line]).into_iter().map(|to| {
                    let mut next = masses.clone();
                    next[mover.line] = to;
                    next
                })
            })
            .filter_map(|masses| rounded(bench, goals, found, masses))
            .min_by(order);
        match better {
            Some(better) if better.miss < best.miss => best = better,
            _ => break,
        }
    }
    Some(best)
}

/// Two steps below and two above, inside the line's bounds.
fn steps(mover: &Mover, mass_g: f64) -> Vec<f64> {
    let step = step_g(mass_g);
    let (low, high) = mover.bounds_g();
    // A trace of a line that may be left out is left out.
    if low <= 1e-9 && mass_g < TRACE * mover.from_g {
        return vec![0.0];
    }
    let floor = (mass_g / step + 1e-9).floor();
    let mut steps: Vec<f64> = [-1.0, 0.0, 1.0, 2.0]
        .iter()
        .map(|up| tidy((floor + up) * step))
        .filter(|&to| to >= low - 1e-9 && to <= high + 1e-9)
        .collect();
    if steps.is_empty() {
        // Bounds closer than a step: the bound itself.
        steps.push(mass_g.clamp(low, high));
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_shows_whole_grams_and_tenths_below_ten() {
        for (mass, shown) in [(123.4, 123.0), (9.97, 10.0), (9.94, 9.9), (0.26, 0.3), (10.4, 10.0)] {
            assert!((on_scale(mass) - shown).abs() < 1e-9, "{mass}");
        }
    }
}
