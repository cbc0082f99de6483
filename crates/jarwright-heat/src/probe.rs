//! What is read off a jar's cells: the axis, the mean, the outside of the glass.

use crate::case::Answer;
use crate::mesh::{Mesh, Outside};

/// Weights worked out once a run.
pub(crate) struct Probe {
    /// Weights of the two innermost columns for the axis, where the temperature is even in r.
    axis: (f64, f64),
    /// First row and weights of four rows for half the food's height.
    middle: (usize, [f64; 4]),
    food_rows: usize,
    /// Share of each column in the food's volume, over the rows.
    share: Vec<f64>,
}

impl Probe {
    pub(crate) fn new(mesh: &Mesh) -> Self {
        let (s0, s1) = (mesh.radius_m[0].powi(2), mesh.radius_m[1].powi(2));
        let food_rows = mesh.rows - mesh.base_rows;
        // Equal rows: half the height is at (n - 1)/2 counted in rows from the lowest one's middle.
        let place = 0.5 * (food_rows as f64 - 1.0);
        let four = food_rows.min(4);
        let first = ((place - 1.0).floor().max(0.0) as usize).min(food_rows - four);
        let mut weights = [0.0; 4];
        for (a, weight) in weights.iter_mut().enumerate().take(four) {
            *weight = (0..four)
                .filter(|&b| b != a)
                .map(|b| (place - (first + b) as f64) / (a as f64 - b as f64))
                .product();
        }
        let food_m2: f64 = mesh.ring_m2[..mesh.food_columns].iter().sum();
        Self {
            axis: (s1 / (s1 - s0), -s0 / (s1 - s0)),
            middle: (first, weights),
            food_rows,
            share: mesh.ring_m2[..mesh.food_columns]
                .iter()
                .map(|a| a / food_m2 / food_rows as f64)
                .collect(),
        }
    }

    fn axis_c(&self, mesh: &Mesh, t: &[f64], food_row: usize) -> f64 {
        let at = (mesh.base_rows + food_row) * mesh.columns;
        self.axis.0 * t[at] + self.axis.1 * t[at + 1]
    }

    /// Appends one reading.
    pub(crate) fn read(
        &self,
        mesh: &Mesh,
        t: &[f64],
        time_s: f64,
        outside: &Outside,
        around_c: f64,
        answer: &mut Answer,
    ) {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let (mut centre_c, mut far, mut near) = (0.0, 0.0, 0.0);
        for j in 0..self.food_rows {
            let here = self.axis_c(mesh, t, j);
            if j >= self.middle.0 && j < self.middle.0 + 4 {
                centre_c += self.middle.1[j - self.middle.0] * here;
            }
            if j >= 2 {
                let (a, b) = extremes(far, near, here);
                low = low.min(a);
                high = high.max(b);
            }
            (far, near) = (near, here);
            low = low.min(here);
            high = high.max(here);
        }
        let top_c = end_c(mesh, near, far, outside.top_w_m2k, around_c);
        let bottom_c = self.bottom_c(mesh, t, outside.base_w_m2k, around_c);
        let mut mean_c = 0.0;
        for row in t[mesh.base_rows * mesh.columns..].chunks_exact(mesh.columns) {
            mean_c += self.share.iter().zip(row).map(|(a, v)| a * v).sum::<f64>();
        }
        answer.times_s.push(time_s);
        answer.centre_c.push(centre_c);
        answer.coldest_c.push(low.min(top_c).min(bottom_c));
        answer.warmest_c.push(high.max(top_c).max(bottom_c));
        answer.mean_c.push(mean_c);
    }

    /// The food's lowest point, where it meets the glass or the base's film.
    fn bottom_c(&self, mesh: &Mesh, t: &[f64], film_w_m2k: f64, around_c: f64) -> f64 {
        let Some(glass_row) = mesh.base_rows.checked_sub(1) else {
            return end_c(
                mesh,
                self.axis_c(mesh, t, 0),
                self.axis_c(mesh, t, 1),
                film_w_m2k,
                around_c,
            );
        };
        let at = glass_row * mesh.columns;
        let glass = self.axis.0 * t[at] + self.axis.1 * t[at + 1];
        let food = self.axis_c(mesh, t, 0);
        let g = mesh.glass_k() / mesh.height_m[glass_row];
        let f = mesh.food_k / mesh.height_m[mesh.base_rows];
        (g * glass + f * food) / (g + f)
    }

    /// Mean temperature [°C] of the outer face, side and base.
    pub(crate) fn wall_c(&self, mesh: &Mesh, t: &[f64], outside: &Outside, around_c: f64) -> f64 {
        let face = |half: f64, film: f64, cell: f64| (half * cell + film * around_c) / (half + film);
        let last = mesh.columns - 1;
        let around_m = 2.0 * std::f64::consts::PI * mesh.outer_radius_m;
        let (mut sum, mut area) = (0.0, 0.0);
        for (j, height) in mesh.height_m.iter().enumerate() {
            let cell = t[j * mesh.columns + last];
            sum += around_m * height * face(mesh.side_half_w_m2k(j), outside.side_w_m2k, cell);
            area += around_m * height;
        }
        for (i, ring) in mesh.ring_m2.iter().enumerate() {
            sum += ring * face(mesh.base_half_w_m2k(i), outside.base_w_m2k, t[i]);
            area += ring;
        }
        sum / area
    }
}

/// An end of the food's axis under a film: a parabola through the two outermost cells that meets
/// the film's slope.
fn end_c(mesh: &Mesh, outer: f64, inner: f64, film_w_m2k: f64, around_c: f64) -> f64 {
    let biot = film_w_m2k * mesh.height_m[mesh.rows - 1] / mesh.food_k;
    (9.0 * outer - inner + 3.0 * biot * around_c) / (8.0 + 3.0 * biot)
}

/// Least and greatest of the parabola through three equally spaced points, between the outer two.
fn extremes(a: f64, b: f64, c: f64) -> (f64, f64) {
    let (bend, slope) = (a - 2.0 * b + c, 0.5 * (c - a));
    if slope.abs() >= bend.abs() {
        return (b, b);
    }
    let turn = b - 0.5 * slope * slope / bend;
    (b.min(turn), b.max(turn))
}
