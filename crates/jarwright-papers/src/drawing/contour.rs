//! Outlines of where a field on a grid reaches a level: marching squares.

/// Closed lines around everything warmer than a temperature.
pub(super) type Outlines = Vec<Vec<(f64, f64)>>;

/// A field on a grid of positions on the picture.
pub(super) struct Field<'a> {
    /// Positions across, rising or falling.
    pub x: &'a [f64],
    /// Positions along, rising or falling.
    pub y: &'a [f64],
    /// Values, row by row along `y`.
    pub values: &'a [f64],
}

impl Field<'_> {
    /// The value at a node of the grid widened by one all round, where nothing reaches the level.
    fn value(&self, i: usize, j: usize, level: f64) -> f64 {
        let inside = (1..=self.x.len()).contains(&i) && (1..=self.y.len()).contains(&j);
        let at = || self.values.get((j - 1) * self.x.len() + i - 1).copied();
        if inside {
            at().unwrap_or(level - 1.0)
        } else {
            level - 1.0
        }
    }

    fn place(&self, i: usize, j: usize) -> (f64, f64) {
        let on = |axis: &[f64], k: usize| axis[k.saturating_sub(1).min(axis.len() - 1)];
        (on(self.x, i), on(self.y, j))
    }

    /// Closed outlines of the parts at or above `level`; a hole runs the other way round.
    ///
    /// Linear along the grid's lines; where two opposite corners of a cell reach the level, its
    /// mean says whether they hang together. Parts that reach the grid's rim are closed along it.
    pub(super) fn outlines(&self, level: f64) -> Outlines {
        if self.x.is_empty() || self.y.is_empty() {
            return Vec::new();
        }
        let (wide, high) = (self.x.len() + 2, self.y.len() + 2);
        // A line of the grid is named by its first node: along x by an even number, along y by an odd one.
        let name = |i: usize, j: usize, upright: usize| 2 * (j * wide + i) + upright;
        let mut next: Vec<Option<usize>> = vec![None; 2 * wide * high];
        for j in 0..high - 1 {
            for i in 0..wide - 1 {
                let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)].map(|(i, j)| self.value(i, j, level));
                let lines = [name(i, j, 0), name(i + 1, j, 1), name(i, j + 1, 0), name(i, j, 1)];
                let reached = corners.map(|v| v >= level);
                let joined = corners.iter().sum::<f64>() / 4.0 >= level;
                for k in 0..4 {
                    // An outline enters over a line that leads into the part and leaves over one that leads out.
                    if reached[k] || !reached[(k + 1) % 4] {
                        continue;
                    }
                    let leaves = |m: &usize| reached[*m] && !reached[(*m + 1) % 4];
                    let ahead = (1..4).map(|s| (k + s) % 4).find(leaves);
                    let behind = (1..4).map(|s| (k + 4 - s) % 4).find(leaves);
                    next[lines[k]] = if joined { behind } else { ahead }.map(|m| lines[m]);
                }
            }
        }
        let point = |line: usize| {
            let (node, upright) = (line / 2, line % 2);
            let (i, j) = (node % wide, node / wide);
            let (to_i, to_j) = if upright == 1 { (i, j + 1) } else { (i + 1, j) };
            let (a, b) = (self.value(i, j, level), self.value(to_i, to_j, level));
            let share = if b - a == 0.0 {
                0.5
            } else {
                ((level - a) / (b - a)).clamp(0.0, 1.0)
            };
            let (from, to) = (self.place(i, j), self.place(to_i, to_j));
            (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1))
        };
        let mut outlines = Vec::new();
        for start in 0..next.len() {
            let mut outline = Vec::new();
            let mut at = start;
            while let Some(to) = next[at].take() {
                outline.push(point(at));
                at = to;
            }
            if outline.len() > 2 {
                outlines.push(outline);
            }
        }
        outlines
    }
}

/// Outlines as path data on a lattice of halves, written as small as it goes: units are half lengths.
pub(super) fn halves(outlines: &[Vec<(f64, f64)>]) -> String {
    let mut d = String::new();
    for outline in outlines {
        let mut points: Vec<(i64, i64)> = Vec::new();
        for &(x, y) in outline {
            let point = ((x * 2.0).round() as i64, (y * 2.0).round() as i64);
            if points.last() != Some(&point) {
                points.push(point);
            }
        }
        let points = thinned(&points);
        let Some((&first, rest)) = points.split_first() else {
            continue;
        };
        if rest.len() < 2 {
            continue;
        }
        d.push_str(&format!("M{} {}l", first.0, first.1));
        let mut from = first;
        let mut begun = false;
        for &to in rest {
            for step in [to.0 - from.0, to.1 - from.1] {
                if begun && step >= 0 {
                    d.push(' ');
                }
                d.push_str(&step.to_string());
                begun = true;
            }
            from = to;
        }
        d.push('z');
    }
    d
}

/// Leaves out points no further than half a length from the line without them (Douglas and Peucker 1973).
fn thinned(points: &[(i64, i64)]) -> Vec<(i64, i64)> {
    if points.len() < 4 {
        return points.to_vec();
    }
    const NEAR: f64 = 0.8;
    let last = points.len() - 1;
    let off = |at: usize, from: usize, to: usize| {
        let ((x, y), (ax, ay), (bx, by)) = (points[at], points[from], points[to]);
        let (dx, dy) = ((bx - ax) as f64, (by - ay) as f64);
        let (px, py) = ((x - ax) as f64, (y - ay) as f64);
        let long = dx.hypot(dy);
        if long == 0.0 {
            px.hypot(py)
        } else {
            (px * dy - py * dx).abs() / long
        }
    };
    let mut kept = vec![false; points.len()];
    (kept[0], kept[last]) = (true, true);
    let mut spans = vec![(0, last)];
    while let Some((from, to)) = spans.pop() {
        let furthest = (from + 1..to)
            .map(|at| (at, off(at, from, to)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((at, distance)) = furthest
            && distance > NEAR
        {
            kept[at] = true;
            spans.push((from, at));
            spans.push((at, to));
        }
    }
    points
        .iter()
        .zip(kept)
        .filter(|(_, kept)| *kept)
        .map(|(point, _)| *point)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Area within outlines, holes taken off: Gauss's shoelace.
    fn area(outlines: &[Vec<(f64, f64)>]) -> f64 {
        let one = |o: &Vec<(f64, f64)>| {
            let next = o.iter().cycle().skip(1);
            o.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0
        };
        outlines.iter().map(one).sum::<f64>().abs()
    }

    fn axis(many: usize) -> Vec<f64> {
        (0..many).map(|i| i as f64 / (many - 1) as f64).collect()
    }

    fn of(many: usize, f: impl Fn(f64, f64) -> f64) -> (Vec<f64>, Vec<f64>) {
        let at = axis(many);
        let values = at
            .iter()
            .flat_map(|&y| at.iter().map(move |&x| (x, y)))
            .map(|(x, y)| f(x, y));
        (at.clone(), values.collect())
    }

    #[test]
    fn a_circle_has_its_area_whether_it_is_the_part_or_the_hole() {
        let circle = |x: f64, y: f64| (x - 0.5).powi(2) + (y - 0.5).powi(2);
        let exact = std::f64::consts::PI * 0.09;
        for (sign, expected) in [(-1.0, exact), (1.0, 1.0 - exact)] {
            let (at, values) = of(201, |x, y| sign * circle(x, y));
            let found = Field {
                x: &at,
                y: &at,
                values: &values,
            }
            .outlines(sign * 0.09);
            assert!((area(&found) - expected).abs() < 1e-4, "{}", area(&found));
        }
    }

    #[test]
    fn a_slope_is_cut_where_it_is_and_closed_along_the_rim() {
        let (at, values) = of(5, |x, _| x);
        let found = Field {
            x: &at,
            y: &at,
            values: &values,
        }
        .outlines(0.3);
        assert!(found.len() == 1 && (area(&found) - 0.7).abs() < 1e-12);
        let all = Field {
            x: &at,
            y: &at,
            values: &values,
        }
        .outlines(-1.0);
        assert!((area(&all) - 1.0).abs() < 1e-12);
        assert!(
            Field {
                x: &at,
                y: &at,
                values: &values
            }
            .outlines(2.0)
            .is_empty()
        );
    }

    #[test]
    fn a_saddle_is_joined_where_its_middle_reaches_the_level_and_parted_where_not() {
        let at = [0.0, 1.0];
        let saddle = |level| {
            Field {
                x: &at,
                y: &at,
                values: &[1.0, 0.0, 0.0, 1.0],
            }
            .outlines(level)
        };
        assert_eq!((saddle(0.4).len(), saddle(0.6).len()), (1, 2));
    }

    #[test]
    fn a_part_and_its_complement_fill_the_grid() {
        let wave = |x: f64, y: f64| (9.0 * x).sin() * (7.0 * y + 1.0).cos();
        let (at, values) = of(60, wave);
        let (_, turned) = of(60, |x, y| -wave(x, y));
        // Levels that no node has: one that lies on the level belongs to both parts.
        for level in [-0.5, -0.03, 0.2, 0.7] {
            let part = area(
                &Field {
                    x: &at,
                    y: &at,
                    values: &values,
                }
                .outlines(level),
            );
            let rest = area(
                &Field {
                    x: &at,
                    y: &at,
                    values: &turned,
                }
                .outlines(-level),
            );
            assert!((part + rest - 1.0).abs() < 1e-9, "{level}: {part} + {rest}");
        }
    }

    #[test]
    fn path_data_is_small_and_straight_lines_have_two_ends() {
        let long: Vec<(f64, f64)> = (0..=100)
            .map(|i| (f64::from(i), 0.0))
            .chain([(100.0, 50.0), (0.0, 50.0)])
            .collect();
        assert_eq!(halves(&[long]), "M0 0l200 0 0 100-200 0z");
    }
}
