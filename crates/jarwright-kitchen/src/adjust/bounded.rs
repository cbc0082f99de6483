//! Least squares between bounds, for the handful of unknowns that a formula has.

use jarwright_figure::Equation;

/// Amounts that meet targets with the least change.
pub static LEAST_CHANGE: Equation = Equation {
    key: "least-change",
    title: "Amounts that meet the targets with the fewest lines and the least change",
    text: "for 1, 2, 3, ... moved lines in turn: least sum of r^2 over lines with |target - value(r)| within \
           tolerance, r = m/m_written - 1 between its bounds; value(r) by its tangent, taken anew until r is \
           settled; of sets of one size the least sum of |r|",
    source: "stark_parker_1995",
};

/// Weight of a relative change beside a miss of one tolerance: small, so that a target is met to
/// a ten-thousandth of its tolerance before a change is spared.
const SPARE: f64 = 1e-2;

/// Turns of the active set; each frees or binds one unknown.
const MOST_TURNS: usize = 400;

/// One wish, linear in the changes: `sum(slope r) + offset` in tolerances, to be 0 or to be at
/// most 0.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wish {
    pub(super) slopes: Vec<f64>,
    pub(super) offset: f64,
    pub(super) at_most: bool,
}

/// The least change `r` between `low` and `high` that comes nearest to every wish.
///
/// ```text
/// min  sum((slope r + offset + t)^2) + SPARE^2 sum(r^2)     low <= r <= high, t >= 0 where at most
/// ```
///
/// Deterministic; an unknown at its bound leaves it when that lowers the sum.
///
/// # Source
/// `stark_parker_1995`: bounded-variable least squares by an active set, on the normal equations.
pub(super) fn least_change(wishes: &[Wish], low: &[f64], high: &[f64]) -> Vec<f64> {
    let lines = low.len();
    let slacks: Vec<usize> = (0..wishes.len()).filter(|&w| wishes[w].at_most).collect();
    let n = lines + slacks.len();
    // Columns: the lines, then one slack for each wish that only sets a limit.
    let coefficient = |w: usize, j: usize| {
        if j < lines {
            wishes[w].slopes[j]
        } else if slacks[j - lines] == w {
            1.0
        } else {
            0.0
        }
    };
    let mut normal = vec![vec![0.0; n]; n];
    let mut right = vec![0.0; n];
    for (i, row) in normal.iter_mut().enumerate() {
        for (w, wish) in wishes.iter().enumerate() {
            right[i] -= coefficient(w, i) * wish.offset;
            for (j, cell) in row.iter_mut().enumerate() {
                *cell += coefficient(w, i) * coefficient(w, j);
            }
        }
        if i < lines {
            row[i] += SPARE * SPARE;
        }
    }
    let least = |i: usize| if i < lines { low[i] } else { 0.0 };
    let most = |i: usize| if i < lines { high[i] } else { f64::INFINITY };
    let mut x: Vec<f64> = (0..n).map(|i| 0.0_f64.clamp(least(i), most(i))).collect();
    let mut free = vec![true; n];
    for _ in 0..MOST_TURNS {
        let open: Vec<usize> = (0..n).filter(|&i| free[i]).collect();
        let Some(wanted) = solved(&normal, &right, &x, &open) else {
            break;
        };
        // As far towards the free solution as the first bound allows.
        let mut share = 1.0;
        let mut stopper = None;
        for (&i, &to) in open.iter().zip(&wanted) {
            let bound = if to < least(i) {
                least(i)
            } else if to > most(i) {
                most(i)
            } else {
                continue;
            };
            let here = if (to - x[i]).abs() > 0.0 {
                (bound - x[i]) / (to - x[i])
            } else {
                0.0
            };
            if here < share {
                share = here.max(0.0);
                stopper = Some((i, bound));
            }
        }
        for (&i, &to) in open.iter().zip(&wanted) {
            x[i] += share * (to - x[i]);
        }
        if let Some((i, bound)) = stopper {
            x[i] = bound;
            free[i] = false;
            continue;
        }
        // Of the bound ones, the one that most wants to leave.
        let pull = |i: usize| right[i] - (0..n).map(|j| normal[i][j] * x[j]).sum::<f64>();
        let leaves = (0..n)
            .filter(|&i| !free[i])
            .map(|i| {
                let gain = if x[i] <= least(i) { pull(i) } else { -pull(i) };
                (i, gain)
            })
            .filter(|&(_, gain)| gain > 1e-9)
            .max_by(|a, b| a.1.total_cmp(&b.1));
        match leaves {
            Some((i, _)) if most(i) > least(i) => free[i] = true,
            _ => break,
        }
    }
    x.truncate(lines);
    x
}

/// The open unknowns where the sum is lowest, the others held; by Cholesky's factors.
fn solved(normal: &[Vec<f64>], right: &[f64], x: &[f64], open: &[usize]) -> Option<Vec<f64>> {
    let n = open.len();
    let mut factor = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let done: f64 = (0..j).map(|k| factor[i][k] * factor[j][k]).sum();
            let left = normal[open[i]][open[j]] - done;
            factor[i][j] = if i == j {
                if left <= 0.0 {
                    return None;
                }
                left.sqrt()
            } else {
                left / factor[j][j]
            };
        }
    }
    let mut y: Vec<f64> = open
        .iter()
        .map(|&i| {
            let held: f64 = (0..x.len())
                .filter(|j| !open.contains(j))
                .map(|j| normal[i][j] * x[j])
                .sum();
            right[i] - held
        })
        .collect();
    for i in 0..n {
        let done: f64 = (0..i).map(|k| factor[i][k] * y[k]).sum();
        y[i] = (y[i] - done) / factor[i][i];
    }
    for i in (0..n).rev() {
        let done: f64 = (i + 1..n).map(|k| factor[k][i] * y[k]).sum();
        y[i] = (y[i] - done) / factor[i][i];
    }
    Some(y)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sum(wishes: &[Wish], r: &[f64]) -> f64 {
        let miss: f64 = wishes
            .iter()
            .map(|w| {
                let at: f64 = w.offset + w.slopes.iter().zip(r).map(|(s, r)| s * r).sum::<f64>();
                if w.at_most { at.max(0.0).powi(2) } else { at * at }
            })
            .sum();
        miss + SPARE * SPARE * r.iter().map(|r| r * r).sum::<f64>()
    }

    #[test]
    fn nothing_moves_where_nothing_is_wished() {
        let held = Wish {
            slopes: vec![3.0, -2.0],
            offset: -1.0,
            at_most: true,
        };
        let r = least_change(&[held], &[-0.5; 2], &[1.0; 2]);
        assert!(r.iter().all(|r| r.abs() < 1e-9), "{r:?}");
    }

    #[test]
    fn the_line_with_more_leverage_takes_more_of_the_change() {
        // min r1^2 + r2^2 with 30 r1 + 10 r2 = 10 is (0.3, 0.1).
        let wish = Wish {
            slopes: vec![30.0, 10.0],
            offset: -10.0,
            at_most: false,
        };
        let r = least_change(&[wish], &[-0.5; 2], &[1.0; 2]);
        assert!((r[0] - 0.3).abs() < 1e-4 && (r[1] - 0.1).abs() < 1e-4, "{r:?}");
    }

    proptest! {
        /// The lowest point: no step between the bounds goes lower.
        #[test]
        fn no_step_between_the_bounds_goes_lower(
            slopes in prop::collection::vec(prop::collection::vec(-200.0..200.0, 4), 1..5),
            offsets in prop::collection::vec(-100.0..100.0, 4),
            limits in prop::collection::vec(any::<bool>(), 4),
        ) {
            let wishes: Vec<Wish> = slopes
                .iter()
                .zip(offsets)
                .zip(limits)
                .map(|((slopes, offset), at_most)| Wish { slopes: slopes.clone(), offset, at_most })
                .collect();
            let (low, high) = (vec![-0.5; 4], vec![1.0; 4]);
            let r = least_change(&wishes, &low, &high);
            let here = sum(&wishes, &r);
            for i in 0..4 {
                prop_assert!(r[i] >= low[i] && r[i] <= high[i]);
                for step in [-1e-3, 1e-3] {
                    let mut to = r.clone();
                    to[i] = (to[i] + step).clamp(low[i], high[i]);
                    prop_assert!(sum(&wishes, &to) >= here - 1e-5 * (1.0 + here), "{r:?}");
                }
            }
        }
    }
}
