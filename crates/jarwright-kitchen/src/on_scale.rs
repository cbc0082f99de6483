//! Masses on the scale: rounded so that a batch stays inside what was planned.
//!
//! A tested formula lets acid be no less and egg, butter and water no more than published. So
//! acid rounds up and those round down, and each share of the whole is held to the same side.

use jarwright_figure::Equation;
use jarwright_reference::Kind;

use crate::files::Part;
use crate::lines::Line;

/// Rounding to the scale.
pub static ON_SCALE: Equation = Equation {
    key: "on-scale",
    title: "Mass on the scale",
    text: "m_scale = step x round(m / step); acid up and its share of the whole never lower; egg, fat, \
           pieces and a brine's water down and their share never higher; a finer step where this one \
           is off by more than 1 %",
    source: "mass_balance",
};

/// Sum of the lines as they stand on the scale.
pub static TOTAL_ON_SCALE: Equation = Equation {
    key: "total-on-scale",
    title: "What the scale shows in the end",
    text: "m = sum of the rounded lines",
    source: "mass_balance",
};

/// To which side a line may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Never below: what sours.
    Up,
    /// Never above: what a tested formula limits.
    Down,
    /// Either way.
    Nearest,
}

/// A rounded line may be so far from the planned mass before a finer step is taken: half of what
/// a schedule allows a share.
const CLOSE: f64 = 0.01;

/// Steps finer than the kitchen's scale: a pocket scale's, by tens.
const FINER_G: [f64; 3] = [1.0, 0.1, 0.01];

/// Rounds of holding the shares.
const MOST_ROUNDS: usize = 200;

/// Relative difference of shares that is only rounding of numbers.
const EQUAL: f64 = 1e-9;

/// The side of a formula's line; in a standardised preserve fruit may not fall short either.
pub(crate) fn side(line: &Line, fruit_counts: bool) -> Side {
    match (line.ingredient.kind, line.written.part) {
        (_, Some(Part::Soak)) => Side::Nearest,
        (_, Some(Part::Pieces)) => Side::Down,
        (Kind::AcidJuice | Kind::Vinegar | Kind::Acid, _) => Side::Up,
        (Kind::AcidFruit | Kind::LowAcidFruit, _) if fruit_counts => Side::Up,
        (Kind::Egg | Kind::Fat, _) => Side::Down,
        (Kind::Water, Some(Part::Brine)) => Side::Down,
        _ => Side::Nearest,
    }
}

/// Masses [g] as they are weighed.
///
/// * `lines`: planned mass [g], above 0, with its side
/// * `step_g`: step of the scale [g], above 0
/// * `together`: groups of lines whose shares of their own sum are held to their side
///
/// A line whose rounding at the scale's step is off by more than 1 % is weighed finer. What
/// cannot be held within the bounded number of rounds stays at its planned mass.
pub(crate) fn rounded(lines: &[(f64, Side)], step_g: f64, together: &[Vec<usize>]) -> Vec<f64> {
    let mut steps: Vec<f64> = lines.iter().map(|&(mass, side)| fit(mass, side, step_g)).collect();
    let mut units: Vec<f64> = lines
        .iter()
        .zip(&steps)
        .map(|(&(mass, side), &step)| whole(mass / step, side))
        .collect();
    for _ in 0..MOST_ROUNDS {
        let on: Vec<f64> = units.iter().zip(&steps).map(|(n, step)| tidy(n * step)).collect();
        let Some((i, side)) = worst(lines, &on, together) else {
            return on;
        };
        let mass = lines[i].0;
        let moved = if side == Side::Up {
            units[i] + 1.0
        } else {
            units[i] - 1.0
        };
        let finer = FINER_G.into_iter().find(|finer| *finer < steps[i]);
        match finer {
            Some(finer) if moved < 1.0 || (moved * steps[i] - mass).abs() > CLOSE * mass => {
                steps[i] = fit(mass, side, finer);
                units[i] = whole(mass / steps[i], side);
            }
            _ if moved >= 1.0 => units[i] = moved,
            _ => break,
        }
    }
    lines.iter().map(|&(mass, _)| mass).collect()
}

/// The line whose share of a group is furthest on the wrong side.
fn worst(lines: &[(f64, Side)], on: &[f64], together: &[Vec<usize>]) -> Option<(usize, Side)> {
    together
        .iter()
        .flat_map(|group| {
            let planned: f64 = group.iter().map(|&i| lines[i].0).sum();
            let got: f64 = group.iter().map(|&i| on[i]).sum();
            group.iter().map(move |&i| {
                let off = (on[i] / got) / (lines[i].0 / planned) - 1.0;
                let wrong = match lines[i].1 {
                    Side::Up => -off,
                    Side::Down => off,
                    Side::Nearest => 0.0,
                };
                (wrong, i)
            })
        })
        .filter(|(wrong, _)| *wrong > EQUAL)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, i)| (i, lines[i].1))
}

/// The coarsest step that comes close to a mass.
fn fit(mass: f64, side: Side, step_g: f64) -> f64 {
    std::iter::once(step_g)
        .chain(FINER_G.into_iter().filter(|finer| *finer < step_g))
        .find(|step| {
            let off = whole(mass / step, side) * step - mass;
            off.abs() <= CLOSE * mass && (side != Side::Down || off <= EQUAL * mass)
        })
        .unwrap_or_else(|| FINER_G[2].min(step_g))
}

/// Whole steps, at least one.
fn whole(steps: f64, side: Side) -> f64 {
    let rounded = match side {
        Side::Up => (steps - EQUAL).ceil(),
        Side::Down => (steps + EQUAL).floor(),
        Side::Nearest => steps.round(),
    };
    rounded.max(1.0)
}

/// A multiple of a step without the tail of binary fractions.
fn tidy(grams: f64) -> f64 {
    (grams * 1e4).round() / 1e4
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A plain generator, so that thousands of batches are tried and each can be repeated.
    fn next(state: &mut u64) -> f64 {
        *state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (*state >> 11) as f64 / (1_u64 << 53) as f64
    }

    #[test]
    fn no_batch_leaves_its_schedule_on_the_scale() {
        let sides = [Side::Up, Side::Down, Side::Down, Side::Nearest, Side::Nearest];
        let mut state = 7;
        for step_g in [0.1, 0.5, 1.0, 2.0, 5.0, 10.0] {
            for _ in 0..400 {
                let lines: Vec<(f64, Side)> = sides
                    .iter()
                    .map(|&side| (10_f64.powf(0.7 + 3.0 * next(&mut state)), side))
                    .collect();
                let on = rounded(&lines, step_g, &[vec![0, 1, 2, 3, 4]]);
                let (planned, got): (f64, f64) = (lines.iter().map(|l| l.0).sum(), on.iter().sum());
                for (&(mass, side), on) in lines.iter().zip(&on) {
                    let off = (on / got) / (mass / planned) - 1.0;
                    assert!(*on > 0.0);
                    match side {
                        Side::Up => assert!(off > -1e-6, "{mass} {on} {step_g}"),
                        Side::Down => assert!(off < 1e-6, "{mass} {on} {step_g}"),
                        Side::Nearest => {}
                    }
                    assert!(off.abs() < 0.02, "{mass} {on} {step_g}: {off}");
                    assert!((on * 100.0 - (on * 100.0).round()).abs() < 1e-6, "{on} is rounded");
                }
            }
        }
    }

    #[test]
    fn a_large_mass_keeps_the_scale_step_and_a_small_one_is_weighed_finer() {
        let on = rounded(
            &[(1234.0, Side::Nearest), (131.0, Side::Nearest), (7.34, Side::Nearest)],
            5.0,
            &[],
        );
        assert_eq!(on, [1235.0, 130.0, 7.3]);
        assert_eq!(rounded(&[(0.004, Side::Down)], 5.0, &[]), [0.01], "never nothing");
    }

    #[test]
    fn acid_rounds_up_and_egg_rounds_down() {
        assert_eq!(rounded(&[(701.0, Side::Up)], 5.0, &[]), [705.0]);
        assert_eq!(rounded(&[(704.0, Side::Down)], 5.0, &[]), [700.0]);
        assert_eq!(
            rounded(&[(700.0, Side::Up), (700.0, Side::Down)], 5.0, &[]),
            [700.0, 700.0]
        );
    }
}
