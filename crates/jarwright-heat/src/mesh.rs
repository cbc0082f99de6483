//! The cells of a jar and the two sweeps that move heat through them.
//!
//! Row-major, the outer face of the base first; in a row the axis first. All rows of food have
//! the same coefficients, and so have all columns, so a step factors four short lines.

use crate::case::{Contents, JarBody};
use crate::jar::Grid;

/// One line of cells: what couples neighbours, and its factored form.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    /// Heat capacity [J/(m³ K)] of each cell.
    pub(crate) heat_j_m3k: Vec<f64>,
    /// Coupling to the neighbour before [W/(m³ K)].
    lower: Vec<f64>,
    /// Coupling to the neighbour after [W/(m³ K)].
    upper: Vec<f64>,
    /// Factored: 1/pivot, lower/pivot, upper/pivot.
    w: Vec<f64>,
    p: Vec<f64>,
    q: Vec<f64>,
}

impl Line {
    /// From conductances between neighbours [W/K] and the cells' volumes [m³], both for the same
    /// slice.
    fn new(between_w_k: &[f64], volume_m3: &[f64], heat_j_m3k: Vec<f64>) -> Self {
        let n = volume_m3.len();
        let mut lower = vec![0.0; n];
        let mut upper = vec![0.0; n];
        for i in 1..n {
            lower[i] = between_w_k[i - 1] / volume_m3[i];
            upper[i - 1] = between_w_k[i - 1] / volume_m3[i - 1];
        }
        let zero = vec![0.0; n];
        Self {
            heat_j_m3k,
            lower,
            upper,
            w: zero.clone(),
            p: zero.clone(),
            q: zero,
        }
    }

    /// Factors `rate * heat + conduction + films`, the films on the first and the last cell.
    fn factor(&mut self, rate: f64, first_film: f64, last_film: f64) {
        let n = self.w.len();
        let mut carried = 0.0;
        for i in 0..n {
            let mut pivot = rate * self.heat_j_m3k[i] + self.lower[i] + self.upper[i] - self.lower[i] * carried;
            if i == 0 {
                pivot += first_film;
            }
            if i + 1 == n {
                pivot += last_film;
            }
            self.w[i] = 1.0 / pivot;
            self.p[i] = self.lower[i] * self.w[i];
            self.q[i] = self.upper[i] * self.w[i];
            carried = self.q[i];
        }
    }
}

impl Line {
    /// Solves rows of the same coefficients; `last` is the film's part of the last cell.
    fn sweep(&self, right: &[f64], out: &mut [f64], last: f64) {
        let n = self.w.len();
        let mut rights = right.chunks_exact(n * ABREAST);
        let mut outs = out.chunks_exact_mut(n * ABREAST);
        for (right, out) in rights.by_ref().zip(outs.by_ref()) {
            self.sweep_abreast::<ABREAST>(right, out, last);
        }
        let rest = outs.into_remainder().chunks_exact_mut(n);
        for (right, out) in rights.remainder().chunks_exact(n).zip(rest) {
            self.sweep_abreast::<1>(right, out, last);
        }
    }

    fn sweep_abreast<const N: usize>(&self, right: &[f64], out: &mut [f64], last: f64) {
        let n = self.w.len();
        let (w, p, q) = (&self.w[..n], &self.p[..n], &self.q[..n]);
        let (right, out) = (&right[..N * n], &mut out[..N * n]);
        let mut before = [0.0; N];
        for i in 0..n {
            for (row, before) in before.iter_mut().enumerate() {
                *before = right[row * n + i] * w[i] + p[i] * *before;
                out[row * n + i] = *before;
            }
        }
        for (row, before) in before.iter_mut().enumerate() {
            *before += last * w[n - 1];
            out[row * n + n - 1] = *before;
        }
        for i in (0..n - 1).rev() {
            for (row, before) in before.iter_mut().enumerate() {
                *before = out[row * n + i] + q[i] * *before;
                out[row * n + i] = *before;
            }
        }
    }
}

/// Films of a moment [W/(m² K)].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Outside {
    pub(crate) side_w_m2k: f64,
    pub(crate) base_w_m2k: f64,
    pub(crate) top_w_m2k: f64,
}

/// Films as the cells feel them: through half a cell, per cubic metre of the outermost cell.
/// Rows and columns of glass and of food differ where one face has glass and the other has none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Films {
    /// On the side of the food's rows [W/(m³ K)].
    food_side: f64,
    /// On the side of the base's rows [W/(m³ K)].
    base_side: f64,
    /// Under the food's columns [W/(m³ K)].
    food_base: f64,
    /// Under the wall's columns [W/(m³ K)].
    wall_base: f64,
    /// On the food's top [W/(m³ K)].
    top: f64,
}

/// Radii of the food's cells run with this power of their number: closer together at the wall,
/// where the temperature bends.
const CROWDED: f64 = 0.65;
/// Rows solved side by side: they share their coefficients, and no row waits for another.
const ABREAST: usize = 4;

/// The cells.
#[derive(Debug, Clone)]
pub(crate) struct Mesh {
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    pub(crate) food_columns: usize,
    pub(crate) base_rows: usize,
    /// Radius [m] at which a column's mean temperature sits if it runs with r squared: the root
    /// mean square. Cells hold means, and so a slow, evenly heating jar is exact across them.
    pub(crate) radius_m: Vec<f64>,
    /// Area [m²] of each column's ring.
    pub(crate) ring_m2: Vec<f64>,
    /// Height [m] of each row.
    pub(crate) height_m: Vec<f64>,
    pub(crate) outer_radius_m: f64,
    glass_k: f64,
    pub(crate) food_k: f64,
    food_row: Line,
    base_row: Line,
    food_column: Line,
    wall_column: Line,
    factored: Option<(f64, Films)>,
    right: Vec<f64>,
}

impl Mesh {
    pub(crate) fn new(body: &JarBody, food: &Contents, grid: &Grid) -> Self {
        let wall_columns = if body.wall_m > 0.0 { grid.wall } else { 0 };
        let base_rows = if body.base_m > 0.0 { grid.base } else { 0 };
        let (columns, rows) = (grid.radial + wall_columns, base_rows + grid.axial);
        let faces: Vec<f64> = (0..=columns)
            .map(|i| {
                if i <= grid.radial {
                    body.inner_radius_m * (i as f64 / grid.radial as f64).powf(CROWDED)
                } else {
                    body.inner_radius_m + body.wall_m * (i - grid.radial) as f64 / wall_columns as f64
                }
            })
            .collect();
        let mean_square: Vec<f64> = faces.windows(2).map(|f| 0.5 * (f[0] * f[0] + f[1] * f[1])).collect();
        let radius_m: Vec<f64> = mean_square.iter().map(|s| s.sqrt()).collect();
        let ring_m2: Vec<f64> = faces
            .windows(2)
            .map(|f| std::f64::consts::PI * (f[1] * f[1] - f[0] * f[0]))
            .collect();
        let height_m: Vec<f64> = (0..rows)
            .map(|j| {
                if j < base_rows {
                    body.base_m / base_rows as f64
                } else {
                    body.food_height_m / grid.axial as f64
                }
            })
            .collect();
        let glass = body.glass_density_kg_m3 * body.glass_cp_j_kgk;
        let filling = food.density_kg_m3 * food.heat_capacity_j_kgk;
        let (kg, kf) = (body.glass_k_w_mk, food.conductivity_w_mk);

        let row = |k_in: f64, heat_in: f64| {
            let k = |i: usize| if i < grid.radial { k_in } else { kg };
            let between: Vec<f64> = (1..columns)
                .map(|i| {
                    let half = |i: usize, face: f64| (face * face - mean_square[i]).abs() / (2.0 * face * face) / k(i);
                    let (inside, outside) = (half(i - 1, faces[i]), half(i, faces[i]));
                    2.0 * std::f64::consts::PI / (inside + outside)
                })
                .collect();
            let heat = (0..columns)
                .map(|i| if i < grid.radial { heat_in } else { glass })
                .collect();
            Line::new(&between, &ring_m2, heat)
        };
        let column = |k_above: f64, heat_above: f64| {
            let k = |j: usize| if j < base_rows { kg } else { k_above };
            let between: Vec<f64> = (1..rows)
                .map(|j| 2.0 / (height_m[j - 1] / k(j - 1) + height_m[j] / k(j)))
                .collect();
            let heat = (0..rows)
                .map(|j| if j < base_rows { glass } else { heat_above })
                .collect();
            Line::new(&between, &height_m, heat)
        };
        Self {
            food_row: row(kf, filling),
            base_row: row(kg, glass),
            food_column: column(kf, filling),
            wall_column: column(kg, glass),
            outer_radius_m: body.inner_radius_m + body.wall_m,
            columns,
            rows,
            food_columns: grid.radial,
            base_rows,
            radius_m,
            ring_m2,
            height_m,
            glass_k: kg,
            food_k: kf,
            factored: None,
            right: vec![0.0; columns * rows],
        }
    }

    pub(crate) const fn glass_k(&self) -> f64 {
        self.glass_k
    }

    /// Conductance [W/(m² K)] from the outermost half cell of the side, on its outer face, in a row.
    pub(crate) fn side_half_w_m2k(&self, row: usize) -> f64 {
        let food = self.columns == self.food_columns && row >= self.base_rows;
        let k = if food { self.food_k } else { self.glass_k };
        let r = self.outer_radius_m;
        2.0 * k * r / (r * r - self.radius_m[self.columns - 1].powi(2))
    }

    /// Conductance [W/(m² K)] of the outermost half cell of the base, in a column.
    pub(crate) fn base_half_w_m2k(&self, column: usize) -> f64 {
        let food = self.base_rows == 0 && column < self.food_columns;
        2.0 * if food { self.food_k } else { self.glass_k } / self.height_m[0]
    }

    /// The films per volume of the cells they act on.
    pub(crate) fn films(&self, outside: &Outside) -> Films {
        let through = |half: f64, film: f64| half * film / (half + film);
        let top_height = self.height_m[self.rows - 1];
        let ring = 2.0 * std::f64::consts::PI * self.outer_radius_m / self.ring_m2[self.columns - 1];
        let side = |row| through(self.side_half_w_m2k(row), outside.side_w_m2k) * ring;
        let base = |column| through(self.base_half_w_m2k(column), outside.base_w_m2k) / self.height_m[0];
        Films {
            food_side: side(self.rows - 1),
            base_side: side(0),
            food_base: base(0),
            wall_base: base(self.columns - 1),
            top: through(2.0 * self.food_k / top_height, outside.top_w_m2k) / top_height,
        }
    }

    fn factor(&mut self, rate: f64, films: Films) {
        if self.factored == Some((rate, films)) {
            return;
        }
        self.food_row.factor(rate, 0.0, films.food_side);
        self.base_row.factor(rate, 0.0, films.base_side);
        self.food_column.factor(rate, films.food_base, films.top);
        self.wall_column.factor(rate, films.wall_base, 0.0);
        self.factored = Some((rate, films));
    }

    /// One first-order step that damps: radial, then axial, both implicit. Returns the heat let
    /// in [J].
    pub(crate) fn damped_step(&mut self, t: &mut [f64], step_s: f64, films: Films, around_c: f64) -> f64 {
        self.factor(1.0 / step_s, films);
        self.load(t, 1.0 / step_s);
        self.sweep_rows(t, films, around_c);
        let side = self.side_w(t, films, around_c);
        self.load(t, 1.0 / step_s);
        self.sweep_columns(t, films, around_c);
        step_s * (side + self.ends_w(t, films, around_c))
    }

    /// One second-order step of alternating directions (Peaceman and Rachford). `around_c` at
    /// the step's start, middle and end. Returns the heat let in [J].
    pub(crate) fn step(&mut self, t: &mut [f64], step_s: f64, films: Films, around_c: [f64; 3]) -> f64 {
        let rate = 2.0 / step_s;
        self.factor(rate, films);
        let ends_before = self.ends_w(t, films, around_c[0]);
        self.load(t, rate);
        self.add_axial(t, films, around_c[0]);
        self.sweep_rows(t, films, around_c[1]);
        let side = self.side_w(t, films, around_c[1]);
        // Both half steps share the conduction along rows, so it need not be computed again.
        self.turn(t, |right, held| 2.0 * rate * held - right);
        self.sweep_columns(t, films, around_c[2]);
        step_s * (side + 0.5 * (ends_before + self.ends_w(t, films, around_c[2])))
    }

    fn load(&mut self, t: &[f64], rate: f64) {
        self.turn(t, |_, held| rate * held);
    }

    /// Makes every right side anew, from itself and the heat its cell holds above 0 °C [J/m³].
    fn turn(&mut self, t: &[f64], new: impl Fn(f64, f64) -> f64) {
        for j in 0..self.rows {
            let heat = if j < self.base_rows {
                &self.base_row.heat_j_m3k
            } else {
                &self.food_row.heat_j_m3k
            };
            let at = j * self.columns;
            let row = &t[at..at + self.columns];
            for ((right, &c), &v) in self.right[at..at + self.columns].iter_mut().zip(heat).zip(row) {
                *right = new(*right, c * v);
            }
        }
    }

    fn add_axial(&mut self, t: &[f64], films: Films, around_c: f64) {
        let n = self.columns;
        for j in 0..self.rows {
            for (line, range) in [
                (&self.food_column, 0..self.food_columns),
                (&self.wall_column, self.food_columns..n),
            ] {
                let (lower, upper) = (line.lower[j], line.upper[j]);
                let here = &t[j * n..(j + 1) * n];
                let below = if j > 0 { &t[(j - 1) * n..j * n] } else { here };
                let above = if j + 1 < self.rows {
                    &t[(j + 1) * n..(j + 2) * n]
                } else {
                    here
                };
                let right = &mut self.right[j * n..(j + 1) * n];
                for i in range {
                    right[i] += lower * (below[i] - here[i]) + upper * (above[i] - here[i]);
                }
            }
        }
        for (i, (right, c)) in self.right[..n].iter_mut().zip(t).enumerate() {
            let film = if i < self.food_columns {
                films.food_base
            } else {
                films.wall_base
            };
            *right += film * (around_c - c);
        }
        let top = (self.rows - 1) * n;
        let food = top..top + self.food_columns;
        for (right, c) in self.right[food.clone()].iter_mut().zip(&t[food]) {
            *right += films.top * (around_c - c);
        }
    }

    /// Solves every row for the temperatures.
    fn sweep_rows(&self, t: &mut [f64], films: Films, around_c: f64) {
        let from = self.base_rows * self.columns;
        let (base, food) = t.split_at_mut(from);
        let (base_right, food_right) = self.right.split_at(from);
        self.base_row.sweep(base_right, base, films.base_side * around_c);
        self.food_row.sweep(food_right, food, films.food_side * around_c);
    }

    /// Solves every column for the temperatures, all columns side by side.
    fn sweep_columns(&mut self, t: &mut [f64], films: Films, around_c: f64) {
        let n = self.columns;
        for (i, right) in self.right[..n].iter_mut().enumerate() {
            let film = if i < self.food_columns {
                films.food_base
            } else {
                films.wall_base
            };
            *right += film * around_c;
        }
        let top = (self.rows - 1) * n;
        for right in &mut self.right[top..top + self.food_columns] {
            *right += films.top * around_c;
        }
        for (line, range) in [
            (&self.food_column, 0..self.food_columns),
            (&self.wall_column, self.food_columns..n),
        ] {
            for i in range.clone() {
                t[i] = self.right[i] * line.w[0];
            }
            for j in 1..self.rows {
                let (w, p) = (line.w[j], line.p[j]);
                let (below, here) = t.split_at_mut(j * n);
                let below = &below[(j - 1) * n..];
                let right = &self.right[j * n..(j + 1) * n];
                for i in range.clone() {
                    here[i] = right[i] * w + p * below[i];
                }
            }
            for j in (0..self.rows - 1).rev() {
                let q = line.q[j];
                let (here, above) = t.split_at_mut((j + 1) * n);
                let here = &mut here[j * n..];
                for i in range.clone() {
                    here[i] += q * above[i];
                }
            }
        }
    }

    /// Heat through the side [W].
    fn side_w(&self, t: &[f64], films: Films, around_c: f64) -> f64 {
        let last = self.columns - 1;
        let lost = self.height_m.iter().enumerate().map(|(j, height)| {
            let film = if j < self.base_rows {
                films.base_side
            } else {
                films.food_side
            };
            film * height * (around_c - t[j * self.columns + last])
        });
        self.ring_m2[last] * lost.sum::<f64>()
    }

    /// Heat through base and top [W].
    fn ends_w(&self, t: &[f64], films: Films, around_c: f64) -> f64 {
        let (low, top) = (self.height_m[0], films.top * self.height_m[self.rows - 1]);
        let upper = &t[(self.rows - 1) * self.columns..];
        let food = self.food_columns;
        let part = |film: f64, ring: &[f64], t: &[f64]| -> f64 {
            film * ring.iter().zip(t).map(|(a, v)| a * (around_c - v)).sum::<f64>()
        };
        let through_base = part(films.food_base, &self.ring_m2[..food], t)
            + part(films.wall_base, &self.ring_m2[food..], &t[food..self.columns]);
        let through_top: f64 = self.ring_m2[..self.food_columns]
            .iter()
            .zip(upper)
            .map(|(a, v)| a * (around_c - v))
            .sum();
        low * through_base + top * through_top
    }

    /// Heat held above 0 °C [J].
    pub(crate) fn heat_j(&self, t: &[f64]) -> f64 {
        let mut sum = 0.0;
        for j in 0..self.rows {
            let heat = if j < self.base_rows {
                &self.base_row.heat_j_m3k
            } else {
                &self.food_row.heat_j_m3k
            };
            for i in 0..self.columns {
                sum += heat[i] * self.ring_m2[i] * self.height_m[j] * t[j * self.columns + i];
            }
        }
        sum
    }
}
