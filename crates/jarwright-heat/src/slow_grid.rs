//! A food that cools or freezes, by its heat: one way out, implicit, what leaves is counted.
//!
//! The unknown of a cell is its heat, not its temperature, so that freezing needs no special case
//! and the grid keeps its balance to rounding.
//!
//! Read next: `heat_content.rs` for the table, `media.rs` for films, `fitting.rs` for bodies of
//! other shapes.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::heat_content::HeatTable;

/// Registry entry of [`SlowGrid`].
pub static SLOW_GRID: Equation = Equation {
    key: "cooling-grid",
    title: "Cooling and freezing by heat content on a grid",
    text: "V_i dH_i/dt = sum G (T_j - T_i), T = T(H); implicit, Newton on H; faces x^(E - 1), E = 1 layer, 2 cylinder, 3 ball; \
           outermost through half a cell and the film",
    source: "voller_1990",
};

/// Cells from the middle to the surface, or through a layer.
const CELLS: usize = 40;
/// Turns of Newton's method in a step.
const TURNS: usize = 40;
/// Share of the body's heat by which the balance of a cell may miss in a step.
const WITHIN: f64 = 1e-11;
/// Steps in one stretch of time.
const MAX_STEPS: usize = 40_000;
/// Steps that the estimated time of cooling is cut into.
const STEPS: f64 = 800.0;

/// The body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Body {
    /// A layer with two faces of its own.
    Layer {
        /// Thickness [m].
        thick_m: f64,
    },
    /// A round body: from its middle to its surface.
    Round {
        /// Shortest way from the middle to the surface [m].
        way_m: f64,
        /// Equivalent dimension E [-], 1 to 3: how the faces grow outwards.
        dimension: f64,
    },
}

/// What stands at a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face {
    /// Temperature [°C].
    pub medium_c: f64,
    /// Film with what wall lies between [W/(m² K)].
    pub film_w_m2k: f64,
}

/// A moment of the body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time [s].
    pub time_s: f64,
    /// Middle of a round body, hottest place of a layer [°C].
    pub middle_c: f64,
    /// Mean over the volume [°C].
    pub mean_c: f64,
    /// Surface; of a layer its first face [°C].
    pub surface_c: f64,
    /// The other surface of a layer; of a round body the same [°C].
    pub other_surface_c: f64,
    /// Share of the water that is ice, mean over the volume.
    pub ice_share: f64,
    /// Heat that has left since the start [J/m³].
    pub given_j_m3: f64,
}

/// A body under way.
#[derive(Debug, Clone)]
pub struct SlowGrid<'t> {
    table: &'t HeatTable,
    layer: bool,
    /// Faces between cells and at both ends, over the whole volume [1/m].
    faces: Vec<f64>,
    /// Share of the volume.
    shares: Vec<f64>,
    cell_m: f64,
    way_m: f64,
    dimension: f64,
    heat: Vec<f64>,
    c: Vec<f64>,
    k: Vec<f64>,
    slope: Vec<f64>,
    old: Vec<f64>,
    work: Work,
    time_s: f64,
    given_j_m3: f64,
    through_j_m3: f64,
    started_j_m3: f64,
    last: (Face, Face),
}

#[derive(Debug, Clone, Default)]
struct Work {
    between: Vec<f64>,
    rest: Vec<f64>,
    upper: Vec<f64>,
    change: Vec<f64>,
}

impl<'t> SlowGrid<'t> {
    /// A body at one temperature.
    ///
    /// * `body`: thickness 0.2 mm to 1 m, way 0.1 mm to 0.5 m, dimension 1 to 3
    /// * `start_c`: in the table
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the ranges above.
    ///
    /// # Source
    /// Finite volumes for the enthalpy form: `voller_1990`.
    pub fn new(body: Body, table: &'t HeatTable, start_c: f64) -> Result<Self, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, SLOW_GRID.key);
        range("start", start_c, table.coldest_c(), table.hottest_c(), "°C")?;
        let (layer, long_m, way_m, dimension) = match body {
            Body::Layer { thick_m } => {
                range("thickness", thick_m, 2e-4, 1.0, "m")?;
                (true, thick_m, 0.5 * thick_m, 1.0)
            }
            Body::Round { way_m, dimension } => {
                range("way to the surface", way_m, 1e-4, 0.5, "m")?;
                range("equivalent dimension", dimension, 1.0, 3.0, "1")?;
                (false, way_m, way_m, dimension)
            }
        };
        let cell_m = long_m / CELLS as f64;
        let at = |i: usize| i as f64 / CELLS as f64;
        let faces = (0..=CELLS)
            .map(|i| match (i, layer) {
                (0, false) => 0.0,
                _ => dimension * at(i).powf(dimension - 1.0) / long_m,
            })
            .collect();
        let shares = (0..CELLS)
            .map(|i| at(i + 1).powf(dimension) - at(i).powf(dimension))
            .collect();
        let heat = table.heat_j_m3(start_c);
        let still = Face {
            medium_c: start_c,
            film_w_m2k: 1.0,
        };
        let mut grid = Self {
            table,
            layer,
            faces,
            shares,
            cell_m,
            way_m,
            dimension,
            heat: vec![heat; CELLS],
            c: vec![start_c; CELLS],
            k: vec![0.0; CELLS],
            slope: vec![0.0; CELLS],
            old: vec![heat; CELLS],
            work: Work {
                between: vec![0.0; CELLS + 1],
                rest: vec![0.0; CELLS],
                upper: vec![0.0; CELLS],
                change: vec![0.0; CELLS],
            },
            time_s: 0.0,
            given_j_m3: 0.0,
            through_j_m3: 0.0,
            started_j_m3: heat,
            last: (still, still),
        };
        grid.look_up();
        Ok(grid)
    }

    /// Goes on for a stretch of time between two media; `faces` gives them for the surfaces'
    /// temperatures [°C] as they stand, first face first. A round body has only the second.
    ///
    /// `watch` sees every moment and stops the stretch by returning false.
    ///
    /// # Errors
    /// [`HeatError::TooManySteps`]; [`HeatError::OutOfRange`] for films outside 0.1 to 50 000
    /// W/(m² K), media outside -200 to 200 °C and food that leaves its table; whatever `faces` returns.
    ///
    /// # Source
    /// As [`SlowGrid::new`].
    pub fn run(
        &mut self,
        for_s: f64,
        faces: impl Fn(f64, f64) -> Result<(Face, Face), HeatError>,
        mut watch: impl FnMut(&Moment) -> bool,
    ) -> Result<(), HeatError> {
        let begun_s = self.time_s;
        let end_s = begun_s + OutOfRange::check("time", for_s, 0.0, 1e8, "s", SLOW_GRID.key)?;
        let mut step_s = 0.0;
        for _ in 0..MAX_STEPS {
            if self.time_s >= end_s * (1.0 - 1e-14) {
                return Ok(());
            }
            let now = self.moment();
            self.last = self.checked(faces(now.surface_c, now.other_surface_c)?)?;
            // Late, when little changes, steps grow with the time.
            let whole_s = f64::max(self.estimate_s(self.last), self.time_s - begun_s) / STEPS;
            step_s = if step_s > 0.0 {
                f64::min(step_s * 1.08, whole_s)
            } else {
                whole_s / 50.0
            };
            self.step(step_s.min(end_s - self.time_s), self.last)?;
            if !watch(&self.moment()) {
                return Ok(());
            }
        }
        Err(HeatError::TooManySteps {
            solver: "cooling grid",
            time_s: self.time_s,
            steps: MAX_STEPS,
        })
    }

    /// How it stands.
    #[must_use]
    pub fn moment(&self) -> Moment {
        let n = CELLS - 1;
        let (first, second) = self.last;
        let surface = |i: usize, face: Face| {
            let inner = 2.0 * self.k[i] / self.cell_m;
            (inner * self.c[i] + face.film_w_m2k * face.medium_c) / (inner + face.film_w_m2k)
        };
        let other_surface_c = surface(n, second);
        let sum = |f: &dyn Fn(usize) -> f64| -> f64 { (0..CELLS).map(|i| self.shares[i] * f(i)).sum() };
        Moment {
            time_s: self.time_s,
            middle_c: if self.layer {
                self.c.iter().copied().fold(f64::NEG_INFINITY, f64::max)
            } else {
                self.c[0]
            },
            mean_c: sum(&|i| self.c[i]),
            surface_c: if self.layer { surface(0, first) } else { other_surface_c },
            other_surface_c,
            ice_share: sum(&|i| self.table.ice_share(self.heat[i])),
            given_j_m3: self.given_j_m3,
        }
    }

    /// By how much the heat that left misses what the cells lost, over what they lost.
    #[must_use]
    pub fn imbalance(&self) -> f64 {
        (self.through_j_m3 - self.given_j_m3).abs() / self.given_j_m3.abs().max(1.0)
    }

    fn checked(&self, faces: (Face, Face)) -> Result<(Face, Face), HeatError> {
        for face in [faces.0, faces.1] {
            OutOfRange::check("medium", face.medium_c, -200.0, 200.0, "°C", SLOW_GRID.key)?;
            OutOfRange::check("film", face.film_w_m2k, 0.1, 5e4, "W/(m2 K)", SLOW_GRID.key)?;
        }
        Ok(faces)
    }

    /// About how long the body takes to give its heat [s]: sets the steps and nothing else.
    fn estimate_s(&self, faces: (Face, Face)) -> f64 {
        let film = if self.layer {
            f64::max(faces.0.film_w_m2k, faces.1.film_w_m2k)
        } else {
            faces.1.film_w_m2k
        };
        let medium = f64::min(faces.0.medium_c, faces.1.medium_c);
        let hot = self.c.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (low, high) = (f64::min(medium, hot - 1.0), hot);
        let low = low.max(self.table.coldest_c()).min(high - 0.1);
        let heat = (self.table.heat_j_m3(high) - self.table.heat_j_m3(low)).abs();
        let k = f64::max(self.k[0], self.table.k_w_mk(low));
        heat * self.way_m / (self.dimension * (high - low).max(1.0)) * (1.0 / film + 0.5 * self.way_m / k)
    }

    fn look_up(&mut self) {
        for i in 0..CELLS {
            (self.c[i], self.k[i], self.slope[i]) = self.table.at(self.heat[i]);
        }
    }

    /// One implicit step: conductivities of its start, temperatures of its end.
    fn step(&mut self, step_s: f64, faces: (Face, Face)) -> Result<(), HeatError> {
        let n = CELLS - 1;
        self.old.copy_from_slice(&self.heat);
        let half = |k: f64| 2.0 * k / self.cell_m;
        let series = |a: f64, b: f64| a * b / (a + b);
        for i in 1..CELLS {
            self.work.between[i] = step_s * self.faces[i] * series(half(self.k[i - 1]), half(self.k[i]));
        }
        self.work.between[0] = if self.layer {
            step_s * self.faces[0] * series(half(self.k[0]), faces.0.film_w_m2k)
        } else {
            0.0
        };
        self.work.between[CELLS] = step_s * self.faces[CELLS] * series(half(self.k[n]), faces.1.film_w_m2k);
        let scale = self.heat.iter().fold(1e3, |most: f64, h| most.max(h.abs()));
        for _ in 0..TURNS {
            self.look_up();
            let mut worst = 0.0_f64;
            for i in 0..CELLS {
                let before = if i == 0 { faces.0.medium_c } else { self.c[i - 1] };
                let after = if i == n { faces.1.medium_c } else { self.c[i + 1] };
                let flow = self.work.between[i] * (before - self.c[i]) + self.work.between[i + 1] * (after - self.c[i]);
                self.work.rest[i] = flow - self.shares[i] * (self.heat[i] - self.old[i]);
                worst = worst.max(self.work.rest[i].abs());
            }
            if worst <= WITHIN * scale {
                let through = self.work.between[0] * (self.c[0] - faces.0.medium_c)
                    + self.work.between[CELLS] * (self.c[n] - faces.1.medium_c);
                self.through_j_m3 += through;
                self.time_s += step_s;
                let holds: f64 = (0..CELLS).map(|i| self.shares[i] * self.heat[i]).sum();
                self.given_j_m3 = self.started_j_m3 - holds;
                let (cold, hot) = (self.table.coldest_c(), self.table.hottest_c());
                for c in [self.c[0], self.c[n]] {
                    // A hair for rounding at the ends.
                    OutOfRange::check("food", c, cold - 1e-6, hot + 1e-6, "°C", SLOW_GRID.key)?;
                }
                return Ok(());
            }
            self.newton();
        }
        Err(HeatError::TooManySteps {
            solver: "heat of a cooling food",
            time_s: self.time_s,
            steps: TURNS,
        })
    }

    /// One turn: the three-banded system for the change of every cell's heat.
    fn newton(&mut self) {
        let (w, s) = (&mut self.work, &self.slope);
        for i in 0..CELLS {
            let own = self.shares[i] + (w.between[i] + w.between[i + 1]) * s[i];
            let (lower, carried_upper, carried) = if i == 0 {
                (0.0, 0.0, 0.0)
            } else {
                (w.between[i] * s[i - 1], w.upper[i - 1], w.change[i - 1])
            };
            let pivot = own - lower * carried_upper;
            w.upper[i] = if i + 1 < CELLS {
                w.between[i + 1] * s[i + 1] / pivot
            } else {
                0.0
            };
            w.change[i] = (w.rest[i] + lower * carried) / pivot;
        }
        for i in (0..CELLS).rev() {
            if i + 1 < CELLS {
                w.change[i] += w.upper[i] * w.change[i + 1];
            }
            self.heat[i] += w.change[i];
        }
    }
}

/// Time [s] at which the middle passes a temperature between two media that do not change, and the
/// moment before and after by a straight line.
///
/// # Errors
/// Those of [`SlowGrid::run`]; [`HeatError::NeverReaches`] where it is not there within `longest_s`.
///
/// # Source
/// As [`SlowGrid::new`].
pub fn middle_reaches_s(
    body: Body,
    table: &HeatTable,
    start_c: f64,
    faces: (Face, Face),
    target_c: f64,
    longest_s: f64,
) -> Result<f64, HeatError> {
    let mut grid = SlowGrid::new(body, table, start_c)?;
    let mut before = (0.0, start_c);
    let mut found = None;
    grid.run(
        longest_s,
        |_, _| Ok(faces),
        |now| {
            if now.middle_c <= target_c {
                let part = if before.1 > now.middle_c {
                    ((before.1 - target_c) / (before.1 - now.middle_c)).clamp(0.0, 1.0)
                } else {
                    1.0
                };
                found = Some(before.0 + part * (now.time_s - before.0));
            }
            before = (now.time_s, now.middle_c);
            found.is_none()
        },
    )?;
    found.ok_or(HeatError::NeverReaches {
        quantity: "middle of the food",
        target: target_c,
        limit: before.1,
        unit: "°C",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{Series, Shape};
    use crate::heat_content::{Constants, Freezes};
    use crate::jar::Contents;

    const SAUCE: Contents = Contents {
        conductivity_w_mk: 0.55,
        density_kg_m3: 1000.0,
        heat_capacity_j_kgk: 3900.0,
    };

    fn face(film_w_m2k: f64, medium_c: f64) -> Face {
        Face { medium_c, film_w_m2k }
    }

    fn meat(freezes: Freezes) -> Constants {
        Constants {
            density_kg_m3: 1000.0,
            unfrozen_cp_j_kgk: 3600.0,
            frozen_cp_j_kgk: 1900.0,
            unfrozen_k_w_mk: 0.5,
            frozen_k_w_mk: 1.4,
            latent_j_kg: 250_000.0,
            freezes_c: -1.0,
            freezes,
        }
    }

    #[test]
    fn a_grid_that_does_not_freeze_follows_the_exact_series() -> Result<(), HeatError> {
        let table = HeatTable::constant(&SAUCE)?;
        for (shape, dimension) in [(Shape::Slab, 1.0), (Shape::Cylinder, 2.0), (Shape::Sphere, 3.0)] {
            for film in [8.0, 60.0, 1000.0] {
                let way_m = 0.03;
                let series = Series::new(shape, film * way_m / 0.55)?;
                let body = Body::Round { way_m, dimension };
                let f = face(film, 0.0);
                for target in [60.0, 21.0, 5.0] {
                    let time = middle_reaches_s(body, &table, 80.0, (f, f), target, 1e6)?;
                    let exact = series.fourier(target / 80.0, 0.0)? * way_m * way_m * 3.9e6 / 0.55;
                    assert!(
                        (time / exact - 1.0).abs() < 0.01,
                        "{shape:?} {film} {target}: {time} {exact}"
                    );
                }
            }
        }
        Ok(())
    }

    #[test]
    fn what_leaves_through_the_face_is_what_the_food_gave() -> Result<(), HeatError> {
        for freezes in [Freezes::AtOnce, Freezes::ByAndBy] {
            let table = HeatTable::freezing(&meat(freezes))?;
            let mut grid = SlowGrid::new(Body::Layer { thick_m: 0.05 }, &table, 20.0)?;
            grid.run(
                3.0 * 3600.0,
                |_, _| Ok((face(20.0, -30.0), face(60.0, -30.0))),
                |_| true,
            )?;
            assert!(grid.imbalance() < 1e-8, "{freezes:?} {}", grid.imbalance());
            assert!(grid.moment().ice_share > 0.5);
        }
        Ok(())
    }

    #[test]
    fn a_layer_alike_on_both_faces_is_a_round_body_of_half_its_thickness() -> Result<(), HeatError> {
        let table = HeatTable::freezing(&meat(Freezes::ByAndBy))?;
        let f = face(30.0, -25.0);
        let layer = middle_reaches_s(Body::Layer { thick_m: 0.05 }, &table, 10.0, (f, f), -10.0, 1e6)?;
        let half = Body::Round {
            way_m: 0.025,
            dimension: 1.0,
        };
        let half = middle_reaches_s(half, &table, 10.0, (f, f), -10.0, 1e6)?;
        assert!((layer / half - 1.0).abs() < 0.01, "{layer} {half}");
        Ok(())
    }

    #[test]
    fn freezing_alone_takes_planks_time() -> Result<(), HeatError> {
        // Plank: no heat capacities, all at one temperature. Least capacity allowed, 1 % of the latent heat.
        let table = HeatTable::freezing(&Constants {
            unfrozen_cp_j_kgk: 500.0,
            frozen_cp_j_kgk: 500.0,
            latent_j_kg: 330_000.0,
            ..meat(Freezes::AtOnce)
        })?;
        for (dimension, p, r) in [(1.0, 0.5, 0.125), (2.0, 0.25, 0.0625), (3.0, 1.0 / 6.0, 1.0 / 24.0)] {
            let body = Body::Round {
                way_m: 0.025,
                dimension,
            };
            let f = face(30.0, -11.0);
            let time = middle_reaches_s(body, &table, -0.9, (f, f), -1.2, 1e6)?;
            let plank = 3.3e8 / 10.0 * (p * 0.05 / 30.0 + r * 0.05 * 0.05 / 1.4);
            assert!((time / plank - 1.0).abs() < 0.03, "{dimension}: {time} {plank}");
        }
        Ok(())
    }

    #[test]
    fn time_goes_with_the_square_behind_a_strong_film_and_straight_behind_a_weak_one() -> Result<(), HeatError> {
        // Dickerson and Read 1973: time with the square of the smallest dimension.
        let table = HeatTable::constant(&SAUCE)?;
        for (film, ratio) in [(40_000.0, 4.0), (0.2, 2.0)] {
            let f = face(film, 3.0);
            let time = |thick_m| middle_reaches_s(Body::Layer { thick_m }, &table, 57.2, (f, f), 21.1, 1e8);
            let met = time(0.04)? / time(0.02)?;
            assert!((met - ratio).abs() < 0.02, "{film}: {met}");
        }
        Ok(())
    }

    #[test]
    fn halving_the_film_never_freezes_faster() -> Result<(), HeatError> {
        let table = HeatTable::freezing(&meat(Freezes::ByAndBy))?;
        let body = Body::Round {
            way_m: 0.03,
            dimension: 2.0,
        };
        let mut before = 0.0;
        for film in [400.0, 200.0, 100.0, 50.0, 25.0, 12.5] {
            let f = face(film, -30.0);
            let time = middle_reaches_s(body, &table, 20.0, (f, f), -18.0, 1e7)?;
            assert!(time > before);
            before = time;
        }
        Ok(())
    }

    #[test]
    fn a_medium_that_is_no_number_is_refused() -> Result<(), HeatError> {
        let table = HeatTable::constant(&SAUCE)?;
        let mut grid = SlowGrid::new(Body::Layer { thick_m: 0.05 }, &table, 60.0)?;
        let f = face(10.0, f64::NAN);
        assert!(grid.run(10.0, |_, _| Ok((f, f)), |_| true).is_err());
        assert!(SlowGrid::new(Body::Layer { thick_m: f64::NAN }, &table, 60.0).is_err());
        assert!(SlowGrid::new(Body::Layer { thick_m: 0.05 }, &table, 500.0).is_err());
        Ok(())
    }
}
