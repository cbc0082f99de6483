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
    /// The food's conductivity at the bottom and at the top of its axis [W/(m K)].
    pub(crate) ends_k: [f64; 2],
    /// Whether a front of ice may stand between cells, so that no curve is drawn through
    /// it: the axis is then its innermost cells.
    pub(crate) breaks: bool,
    /// The food's axis at the last reading [°C], from the base up.
    axis_c: Vec<f64>,
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
            ends_k: [mesh.food_k; 2],
            breaks: false,
            axis_c: Vec::with_capacity(food_rows),
            share: mesh.ring_m2[..mesh.food_columns]
                .iter()
                .map(|a| a / food_m2 / food_rows as f64)
                .collect(),
        }
    }

    fn axis_c_at(&self, mesh: &Mesh, t: &[f64], food_row: usize) -> f64 {
        let at = (mesh.base_rows + food_row) * mesh.columns;
        self.on_axis_c(t, at)
    }

    /// On the axis of a row that begins at a cell.
    fn on_axis_c(&self, t: &[f64], at: usize) -> f64 {
        if self.breaks {
            return t[at];
        }
        self.axis.0 * t[at] + self.axis.1 * t[at + 1]
    }

    /// Appends one reading.
    pub(crate) fn read(
        &mut self,
        mesh: &Mesh,
        t: &[f64],
        time_s: f64,
        outside: &Outside,
        around_c: f64,
        answer: &mut Answer,
    ) {
        let mut axis = std::mem::take(&mut self.axis_c);
        axis.clear();
        axis.extend((0..self.food_rows).map(|j| self.axis_c_at(mesh, t, j)));
        let (low, high) = if self.breaks { ends(&axis) } else { extremes(&axis) };
        let (first, weights) = self.middle;
        let mut centre_c: f64 = axis[first..].iter().zip(weights).map(|(c, weight)| c * weight).sum();
        if self.breaks {
            let (least, most) = ends(&axis[first..(first + 4).min(self.food_rows)]);
            centre_c = centre_c.clamp(least, most);
        }
        let (near, far) = (axis[self.food_rows - 1], axis[self.food_rows - 2]);
        self.axis_c = axis;
        let top_c = self.end_c(mesh, self.ends_k[1], (near, far), outside.top_w_m2k, around_c);
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
            let axis = (self.axis_c_at(mesh, t, 0), self.axis_c_at(mesh, t, 1));
            return self.end_c(mesh, self.ends_k[0], axis, film_w_m2k, around_c);
        };
        let at = glass_row * mesh.columns;
        let glass = self.on_axis_c(t, at);
        let food = self.axis_c_at(mesh, t, 0);
        let g = mesh.glass_k() / mesh.height_m[glass_row];
        let f = self.ends_k[0] / mesh.height_m[mesh.base_rows];
        (g * glass + f * food) / (g + f)
    }

    /// An end of the food's axis under a film: a parabola through the two outermost cells that meets
    /// the film's slope.
    fn end_c(&self, mesh: &Mesh, food_k: f64, (outer, inner): (f64, f64), film_w_m2k: f64, around_c: f64) -> f64 {
        let biot = film_w_m2k * mesh.height_m[mesh.rows - 1] / food_k;
        if self.breaks {
            return (2.0 * outer + biot * around_c) / (2.0 + biot);
        }
        (9.0 * outer - inner + 3.0 * biot * around_c) / (8.0 + 3.0 * biot)
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

/// Least and greatest of the values themselves.
fn ends(values: &[f64]) -> (f64, f64) {
    values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), c| {
            (low.min(*c), high.max(*c))
        })
}

/// Least and greatest of equally spaced values, between them too: where a value stands out and the
/// curve bends alike on both sides of it, by the parabola through it and its neighbours.
fn extremes(values: &[f64]) -> (f64, f64) {
    let bend = |i: usize| values[i - 1] - 2.0 * values[i] + values[i + 1];
    (2..values.len().saturating_sub(2)).fold(ends(values), |(low, high), i| {
        let (here, slope) = (bend(i), 0.5 * (values[i + 1] - values[i - 1]));
        let alike = |other: f64| other * here > 0.0 && 3.0 * other.abs() > here.abs();
        if slope.abs() >= here.abs() || !alike(bend(i - 1)) || !alike(bend(i + 1)) {
            return (low, high);
        }
        let turn = values[i] - 0.5 * slope * slope / here;
        (low.min(turn), high.max(turn))
    })
}
