//! The cells of a jar whose food changes with temperature: what flows between them, and the
//! implicit stage that all steps are made of.
//!
//! The unknown of a cell is its heat. Between two cells of food flows the difference of their
//! integrals of conductivity, so a front of ice between them is no special case.

use crate::band::Band;
use crate::case::JarBody;
use crate::food_curves::{FoodCurves, State};
use crate::mesh::{Mesh, Outside};

/// Between a cell and the one after or above it.
#[derive(Debug, Clone, Copy)]
enum Link {
    /// The jar ends here.
    End,
    /// One material: area over distance [m].
    Same(f64),
    /// Food meets glass: area over distance of either half [m].
    Joint(f64, f64),
}

/// Which film acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Face {
    Side,
    Base,
    Top,
}

/// A face to the surroundings.
#[derive(Debug, Clone, Copy)]
struct Outer {
    cell: usize,
    /// Area over the distance to the cell's middle [m].
    half_m: f64,
    area_m2: f64,
    face: Face,
}

/// A stage that does not settle; the step is too long for it.
pub(crate) struct Unsettled;

/// Turns of Newton's method in a stage.
const TURNS: usize = 30;
/// A turn that leaves more than this of the miss asks for a new matrix.
const SLOW: f64 = 0.1;
/// Turns in which a face's temperature and the conductivity up to it settle.
const FACE_TURNS: usize = 2;
/// A matrix serves steps that differ by no more than this part.
const SAME_STEP: f64 = 0.2;

/// Cells and what they hold.
pub(crate) struct Cells<'a> {
    curves: &'a FoodCurves,
    glass: (f64, f64),
    is_food: Vec<bool>,
    pub(crate) volume_m3: Vec<f64>,
    columns: usize,
    after: Vec<Link>,
    above: Vec<Link>,
    outer: Vec<Outer>,
    /// Heat [J/m³], glass above 0 °C.
    pub(crate) heat: Vec<f64>,
    pub(crate) c: Vec<f64>,
    pub(crate) k: Vec<f64>,
    theta: Vec<f64>,
    pub(crate) warming: Vec<f64>,
    matrix: Band,
    /// Time the matrix was made for [s], while it serves.
    made_for: Option<f64>,
    rest: Vec<f64>,
    /// How often a matrix was factored.
    pub(crate) factored: usize,
}

/// Surroundings of a moment.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around {
    pub(crate) films: Outside,
    pub(crate) c: f64,
}

impl<'a> Cells<'a> {
    pub(crate) fn new(mesh: &Mesh, body: &JarBody, curves: &'a FoodCurves, food_heat: f64, glass_c: f64) -> Self {
        let (columns, rows) = (mesh.columns, mesh.rows);
        let n = columns * rows;
        let place = |at: usize| (at / columns, at % columns);
        let food_at = |row: usize, column: usize| row >= mesh.base_rows && column < mesh.food_columns;
        // Squares of the radii of faces, from the rings' areas.
        let squares: Vec<f64> = std::iter::once(0.0)
            .chain(mesh.ring_m2.iter().scan(0.0, |sum, ring| {
                *sum += ring / std::f64::consts::PI;
                Some(*sum)
            }))
            .collect();
        let round = 2.0 * std::f64::consts::PI;
        // Area over distance from a ring's face to its mean, along a radius.
        let sideways = |row: usize, column: usize, face: usize| {
            let way = (squares[face] - mesh.radius_m[column].powi(2)).abs() / (2.0 * squares[face]);
            round * mesh.height_m[row] / way
        };
        let upwards = |row: usize, column: usize| 2.0 * mesh.ring_m2[column] / mesh.height_m[row];
        let link = |same: bool, a: f64, b: f64| {
            if same {
                Link::Same(a * b / (a + b))
            } else {
                Link::Joint(a, b)
            }
        };
        let after = (0..n).map(place).map(|(row, column)| {
            if column + 1 == columns {
                return Link::End;
            }
            let same = food_at(row, column) == food_at(row, column + 1);
            link(
                same,
                sideways(row, column, column + 1),
                sideways(row, column + 1, column + 1),
            )
        });
        let above = (0..n).map(place).map(|(row, column)| {
            if row + 1 == rows {
                return Link::End;
            }
            let same = food_at(row, column) == food_at(row + 1, column);
            link(same, upwards(row, column), upwards(row + 1, column))
        });
        let last = columns - 1;
        let sides = (0..rows).map(|row| Outer {
            cell: row * columns + last,
            half_m: sideways(row, last, columns),
            area_m2: round * mesh.outer_radius_m * mesh.height_m[row],
            face: Face::Side,
        });
        let ends = (0..columns).flat_map(|column| {
            let at = |row: usize, face| Outer {
                cell: row * columns + column,
                half_m: upwards(row, column),
                area_m2: mesh.ring_m2[column],
                face,
            };
            let top = food_at(rows - 1, column).then(|| at(rows - 1, Face::Top));
            std::iter::once(at(0, Face::Base)).chain(top)
        });
        let capacity = body.glass_density_kg_m3 * body.glass_cp_j_kgk;
        let is_food: Vec<bool> = (0..n).map(place).map(|(row, column)| food_at(row, column)).collect();
        let glass_heat = capacity * glass_c;
        let mut cells = Self {
            curves,
            glass: (body.glass_k_w_mk, capacity),
            volume_m3: (0..n)
                .map(place)
                .map(|(row, column)| mesh.ring_m2[column] * mesh.height_m[row])
                .collect(),
            columns,
            after: after.collect(),
            above: above.collect(),
            outer: sides.chain(ends).collect(),
            heat: is_food
                .iter()
                .map(|food| if *food { food_heat } else { glass_heat })
                .collect(),
            is_food,
            c: vec![0.0; n],
            k: vec![0.0; n],
            theta: vec![0.0; n],
            warming: vec![0.0; n],
            matrix: Band::new(n, columns),
            made_for: None,
            rest: vec![0.0; n],
            factored: 0,
        };
        cells.look_up();
        cells
    }

    /// Temperatures and what goes with them from the cells' heat.
    pub(crate) fn look_up(&mut self) {
        let (glass_k, capacity) = self.glass;
        for i in 0..self.heat.len() {
            let state = if self.is_food[i] {
                self.curves.state(self.heat[i])
            } else {
                let c = self.heat[i] / capacity;
                State {
                    c,
                    k_w_mk: glass_k,
                    theta_w_m: glass_k * c,
                    warming: 1.0 / capacity,
                }
            };
            self.c[i] = state.c;
            self.k[i] = state.k_w_mk;
            self.theta[i] = state.theta_w_m;
            self.warming[i] = state.warming;
        }
    }

    /// The matrix serves no longer: films or surroundings are others.
    pub(crate) fn forget(&mut self) {
        self.made_for = None;
    }

    /// Heat held by food and glass [J].
    pub(crate) fn holds_j(&self) -> f64 {
        self.heat.iter().zip(&self.volume_m3).map(|(h, v)| h * v).sum()
    }

    /// Heat held by the food [J].
    pub(crate) fn food_holds_j(&self) -> f64 {
        let food = |i: &usize| self.is_food[*i];
        (0..self.heat.len())
            .filter(food)
            .map(|i| self.heat[i] * self.volume_m3[i])
            .sum()
    }

    fn film(outer: &Outer, films: &Outside) -> f64 {
        let film = match outer.face {
            Face::Side => films.side_w_m2k,
            Face::Base => films.base_w_m2k,
            Face::Top => films.top_w_m2k,
        };
        film * outer.area_m2
    }

    /// From a cell's middle through its half and whatever lies beyond it [W/K] to a temperature. The
    /// half's conductivity is the mean from the middle to the face, which stands between the two.
    fn through_w_k(&self, cell: usize, half_m: f64, beyond_w_k: f64, beyond_c: f64) -> f64 {
        let mut near = half_m * self.k[cell];
        if self.is_food[cell] {
            let state = State {
                c: self.c[cell],
                k_w_mk: self.k[cell],
                theta_w_m: self.theta[cell],
                warming: self.warming[cell],
            };
            for _ in 0..FACE_TURNS {
                let face_c = (near * state.c + beyond_w_k * beyond_c) / (near + beyond_w_k);
                near = half_m * self.curves.mean_k_w_mk(&state, face_c);
            }
        }
        series(near, beyond_w_k)
    }

    /// Between food and glass [W/K].
    fn joint_w_k(&self, i: usize, half_m: f64, j: usize, other_half_m: f64) -> f64 {
        if self.is_food[i] {
            self.through_w_k(i, half_m, other_half_m * self.k[j], self.c[j])
        } else {
            self.through_w_k(j, other_half_m, half_m * self.k[i], self.c[i])
        }
    }

    /// Heat that flows into each cell [W], and from outside into all of them.
    pub(crate) fn flows(&self, around: &Around, flow_w: &mut [f64]) -> f64 {
        flow_w.fill(0.0);
        for (links, step) in [(&self.after, 1), (&self.above, self.columns)] {
            for (i, link) in links.iter().enumerate() {
                let j = i + step;
                let flow = match *link {
                    Link::End => continue,
                    Link::Same(g) => g * (self.theta[j] - self.theta[i]),
                    Link::Joint(a, b) => self.joint_w_k(i, a, j, b) * (self.c[j] - self.c[i]),
                };
                flow_w[i] += flow;
                flow_w[j] -= flow;
            }
        }
        let mut let_in_w = 0.0;
        for outer in &self.outer {
            let i = outer.cell;
            let through = self.through_w_k(i, outer.half_m, Self::film(outer, &around.films), around.c);
            let flow = through * (around.c - self.c[i]);
            flow_w[i] += flow;
            let_in_w += flow;
        }
        let_in_w
    }

    /// Mean temperature of the outer face, side and base [°C].
    pub(crate) fn wall_c(&self, around: &Around) -> f64 {
        let (mut sum, mut area_m2) = (0.0, 0.0);
        for outer in self.outer.iter().filter(|outer| outer.face != Face::Top) {
            let i = outer.cell;
            let (half, film) = (outer.half_m * self.k[i], Self::film(outer, &around.films));
            sum += outer.area_m2 * (half * self.c[i] + film * around.c) / (half + film);
            area_m2 += outer.area_m2;
        }
        sum / area_m2
    }

    /// The change of a stage's miss with the cells' heat.
    fn make_matrix(&mut self, time_s: f64, around: &Around) {
        self.matrix.clear();
        for (i, volume) in self.volume_m3.iter().enumerate() {
            self.matrix.add(i, i, *volume);
        }
        for (links, step) in [(&self.after, 1), (&self.above, self.columns)] {
            for (i, link) in links.iter().enumerate() {
                let j = i + step;
                let (by_i, by_j) = match *link {
                    Link::End => continue,
                    Link::Same(g) => (g * self.k[i] * self.warming[i], g * self.k[j] * self.warming[j]),
                    Link::Joint(a, b) => {
                        let through = self.joint_w_k(i, a, j, b);
                        (through * self.warming[i], through * self.warming[j])
                    }
                };
                self.matrix.add(i, i, time_s * by_i);
                self.matrix.add(j, i, -time_s * by_i);
                self.matrix.add(j, j, time_s * by_j);
                self.matrix.add(i, j, -time_s * by_j);
            }
        }
        for outer in &self.outer {
            let i = outer.cell;
            let through = self.through_w_k(i, outer.half_m, Self::film(outer, &around.films), around.c);
            self.matrix.add(i, i, time_s * through * self.warming[i]);
        }
        self.matrix.factor();
        self.factored += 1;
        self.made_for = Some(time_s);
    }

    /// Heat of the cells from which `time_s` of their own flows leads back to `from` [J/m³], from
    /// the guess in `heat`. Leaves the flows in `flow_w` and the heat as they bring it, so that
    /// nothing is lost; returns what flows in from outside [W].
    pub(crate) fn settle(
        &mut self,
        from: &[f64],
        time_s: f64,
        around: &Around,
        flow_w: &mut [f64],
        within_j_m3: f64,
    ) -> Result<f64, Unsettled> {
        let mut before = f64::INFINITY;
        for _ in 0..TURNS {
            self.look_up();
            let let_in_w = self.flows(around, flow_w);
            let mut worst = 0.0_f64;
            for i in 0..from.len() {
                self.rest[i] = time_s * flow_w[i] - self.volume_m3[i] * (self.heat[i] - from[i]);
                worst = worst.max((self.rest[i] / self.volume_m3[i]).abs());
            }
            if worst <= within_j_m3 {
                for i in 0..from.len() {
                    self.heat[i] = from[i] + time_s * flow_w[i] / self.volume_m3[i];
                }
                return Ok(let_in_w);
            }
            if !worst.is_finite() {
                break;
            }
            let serves = self
                .made_for
                .is_some_and(|made_s| (made_s / time_s - 1.0).abs() < SAME_STEP);
            if !serves || worst > SLOW * before {
                self.make_matrix(time_s, around);
            }
            before = worst;
            self.matrix.solve(&mut self.rest);
            for (heat, change) in self.heat.iter_mut().zip(&self.rest) {
                *heat += change;
            }
        }
        self.made_for = None;
        Err(Unsettled)
    }

    /// A miss [J/m³] as an implicit step feels it: its quick parts damped.
    pub(crate) fn damp(&mut self, miss: &mut [f64], time_s: f64, around: &Around) {
        if self.made_for.is_none() {
            self.make_matrix(time_s, around);
        }
        for (value, volume) in miss.iter_mut().zip(&self.volume_m3) {
            *value *= volume;
        }
        self.matrix.solve(miss);
    }
}

fn series(a: f64, b: f64) -> f64 {
    if a + b > 0.0 { a * b / (a + b) } else { 0.0 }
}
