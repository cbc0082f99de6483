//! A short cylinder or a block as a round body of one way out.
//!
//! Read next: `slow_grid.rs`, which marches it.

use std::f64::consts::PI;

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::exact::{Shape, Term, first_term};
use crate::slow_grid::Body;

/// Registry entry of [`round_alike`].
pub static ROUND_ALIKE: Equation = Equation {
    key: "equivalent-dimension",
    title: "The round body that cools alike",
    text: "E so that ln(3 C_E)/z_E^2 = ln(3 product C_i)/sum (z_i R/L_i)^2, first terms of each way out L_i, R the shortest; \
           z J_(E/2)(z) = Bi J_(E/2-1)(z), C f(z) = 2 Bi/(z^2 + Bi^2 + (2 - E) Bi)",
    source: "carslaw_jaeger_1959",
};

/// Terms of the series in z^2/4; exact in f64 for z up to pi.
const TERMS: usize = 24;
/// Share of the difference that is left where the two bodies meet.
const LEFT: f64 = 1.0 / 3.0;
/// Halvings of a bracket.
const HALVINGS: usize = 48;

/// A body with more than one way out, all its faces alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Solid {
    /// An upright cylinder.
    ShortCylinder {
        /// Diameter [m].
        across_m: f64,
        /// Height [m].
        high_m: f64,
    },
    /// A block.
    Block {
        /// Its three sizes [m].
        sizes_m: [f64; 3],
    },
}

impl Solid {
    /// Surface over volume [1/m].
    #[must_use]
    pub fn area_per_volume(&self) -> f64 {
        match *self {
            Self::ShortCylinder { across_m, high_m } => 4.0 / across_m + 2.0 / high_m,
            Self::Block { sizes_m } => sizes_m.iter().map(|size| 2.0 / size).sum(),
        }
    }

    /// Volume [m³].
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        match *self {
            Self::ShortCylinder { across_m, high_m } => 0.25 * PI * across_m * across_m * high_m,
            Self::Block { sizes_m } => sizes_m.iter().product(),
        }
    }

    fn ways(&self) -> Vec<(Shape, f64)> {
        match *self {
            Self::ShortCylinder { across_m, high_m } => {
                vec![(Shape::Cylinder, 0.5 * across_m), (Shape::Slab, 0.5 * high_m)]
            }
            Self::Block { sizes_m } => sizes_m.iter().map(|size| (Shape::Slab, 0.5 * size)).collect(),
        }
    }
}

/// The round body whose middle loses two thirds of its difference in the same time as a solid's.
///
/// ```text
/// ln(3 C_E)/z_E^2 = ln(3 product C_i)/sum (z_i R/L_i)^2
/// z J_(E/2)(z) = Bi J_(E/2-1)(z)     C f(z) = 2 Bi/(z^2 + Bi^2 + (2 - E) Bi)
/// ```
///
/// From 57 °C in air of 3 °C that third is left at 21 °C. Later the round body is a few per cent slower
/// than the solid, earlier as much faster: within 2 K of 80 for a jar.
///
/// * `solid`: sizes 1 mm to 1 m
/// * `film_w_m2k`: on all faces, 1 to 20 000 W/(m² K)
/// * `conductivity_w_mk`: 0.05 to 500 W/(m K)
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// Series of `carslaw_jaeger_1959`; that of a body of E dimensions is their cylinder's with order E/2 - 1.
pub fn round_alike(solid: &Solid, film_w_m2k: f64, conductivity_w_mk: f64) -> Result<Body, HeatError> {
    let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, ROUND_ALIKE.key);
    range("film", film_w_m2k, 1.0, 2e4, "W/(m2 K)")?;
    range("conductivity", conductivity_w_mk, 0.05, 500.0, "W/(m K)")?;
    let ways = solid.ways();
    let mut way_m = f64::INFINITY;
    for &(_, way) in &ways {
        range("half a size", way, 5e-4, 0.5, "m")?;
        way_m = way_m.min(way);
    }
    let (mut rate, mut weight) = (0.0, 1.0);
    for &(shape, way) in &ways {
        let term = first_term(shape, film_w_m2k * way / conductivity_w_mk);
        rate += (term.root * way_m / way).powi(2);
        weight *= term.weight;
    }
    let time = (weight / LEFT).ln() / rate;
    let biot = film_w_m2k * way_m / conductivity_w_mk;
    // The more ways out, the sooner.
    let (mut low, mut high) = (1.0, 3.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let term = term_of_dimension(middle, biot);
        if (term.weight / LEFT).ln() / term.root.powi(2) > time {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(Body::Round {
        way_m,
        dimension: 0.5 * (low + high),
    })
}

/// Slowest term of a round body of any dimension: z J_(E/2)(z) = Bi J_(E/2-1)(z).
fn term_of_dimension(dimension: f64, biot: f64) -> Term {
    let (mut low, mut high) = (0.0, PI * (1.0 + 1e-9));
    for _ in 0..HALVINGS {
        let z = 0.5 * (low + high);
        let (value, steep) = profile(dimension, z);
        if steep + biot * value > 0.0 {
            low = z;
        } else {
            high = z;
        }
    }
    let root = 0.5 * (low + high);
    let (_, steep) = profile(dimension, root);
    // Bi f = -z f', which keeps its digits where f itself vanishes.
    let weight = -2.0 * biot * biot / (steep * (root * root + biot * biot + (2.0 - dimension) * biot));
    Term { root, weight }
}

/// f = sum q^m / (m! (E/2)_m) with q = -z^2/4, and z f'.
fn profile(dimension: f64, z: f64) -> (f64, f64) {
    let q = -0.25 * z * z;
    let (mut term, mut value, mut steep) = (1.0, 1.0, 0.0);
    for m in 1..=TERMS {
        let m = m as f64;
        term *= q / (m * (0.5 * dimension + m - 1.0));
        value += term;
        steep += 2.0 * m * term;
    }
    (value, steep)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::FiniteCylinder;
    use crate::heat_content::HeatTable;
    use crate::jar::Contents;
    use crate::slow_grid::{Face, middle_reaches_s};

    #[test]
    fn the_series_of_any_dimension_has_the_plain_shapes_roots() {
        for (shape, dimension) in [(Shape::Slab, 1.0), (Shape::Cylinder, 2.0), (Shape::Sphere, 3.0)] {
            for biot in [0.01, 0.5, 5.0, 100.0] {
                let (term, exact) = (term_of_dimension(dimension, biot), first_term(shape, biot));
                assert!((term.root - exact.root).abs() < 1e-9, "{shape:?} {biot}");
                assert!((term.weight - exact.weight).abs() < 1e-6, "{shape:?} {biot}");
            }
        }
    }

    #[test]
    fn a_short_cylinder_stays_within_two_kelvins_of_its_exact_series() -> Result<(), HeatError> {
        let food = Contents {
            conductivity_w_mk: 0.5,
            density_kg_m3: 1000.0,
            heat_capacity_j_kgk: 3800.0,
        };
        let table = HeatTable::constant(&food)?;
        let solid = Solid::ShortCylinder {
            across_m: 0.066,
            high_m: 0.08,
        };
        for film in [8.0, 30.0, 200.0, 1000.0] {
            let body = round_alike(&solid, film, 0.5)?;
            let face = Face {
                medium_c: 0.0,
                film_w_m2k: film,
            };
            let exact = FiniteCylinder::new(film * 0.033 / 0.5, 0.04 / 0.033)?;
            for target in [50.0, 21.0, 5.0] {
                let time = middle_reaches_s(body, &table, 80.0, (face, face), target, 1e6)?;
                let theta = exact.theta(time * 0.5 / 3.8e6 / 0.033_f64.powi(2), 0.0, 0.0)?;
                // Early a single way out lags less than two; late, when it matters, it is never the faster.
                let left = theta * 80.0;
                assert!((left - target).abs() < 2.0, "{film} {target}: {left}");
                assert!(target > 20.0 || left < target + 0.05, "{film} {target}: {left}");
            }
        }
        Ok(())
    }

    #[test]
    fn a_weak_film_leaves_the_surface_over_the_volume() -> Result<(), HeatError> {
        let cube = Solid::Block { sizes_m: [0.05; 3] };
        if let Body::Round { dimension, .. } = round_alike(&cube, 1.0, 500.0)? {
            assert!((dimension - 3.0).abs() < 1e-3, "{dimension}");
        }
        let plate = Solid::Block {
            sizes_m: [0.01, 1.0, 1.0],
        };
        if let Body::Round { dimension, .. } = round_alike(&plate, 10.0, 0.5)? {
            assert!(dimension < 1.03, "{dimension}");
        }
        assert!(
            round_alike(
                &Solid::Block {
                    sizes_m: [0.05, f64::NAN, 0.05]
                },
                1.0,
                0.5
            )
            .is_err()
        );
        Ok(())
    }
}
