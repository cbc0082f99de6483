//! Exact series for plain shapes: the yardstick of the solver, and of a pan that cools.
//!
//! A body at one temperature meets surroundings at another; `theta` is what is left of the
//! difference, 1 at the start and 0 at the end.
//!
//! ```text
//! theta = sum C_n exp(-z_n^2 Fo) profile(z_n x)        Fo = a t/L^2     Bi = h L/k
//! slab      z tan z = Bi           C = 4 sin z/(2 z + sin 2 z)              cos(z x)
//! cylinder  z J1(z) = Bi J0(z)     C = 2 J1/(z (J0^2 + J1^2))               J0(z x)
//! sphere    1 - z cot z = Bi       C = 4 (sin z - z cos z)/(2 z - sin 2 z)  sin(z x)/(z x)
//! ```
//!
//! L is half a slab's thickness, or the radius. Bi may be infinite: the face then takes the
//! surroundings' temperature at once. Source: `carslaw_jaeger_1959`.

use std::f64::consts::PI;

use jarwright_figure::OutOfRange;

use crate::HeatError;

/// Terms of a series; 40 leave less than 1e-9 from Fo = 0.002 on.
const TERMS: usize = 40;
/// Least Fourier number the terms serve.
const LEAST_FO: f64 = 0.002;
/// Exponent beyond which a term leaves nothing: 3e-20 of the start.
const NOTHING_LEFT: f64 = 45.0;
/// Halvings of a bracket: to the last bit of a double.
const HALVINGS: usize = 60;

/// A plain shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A layer heated from both faces; L is half its thickness.
    Slab,
    /// A long cylinder; L is its radius.
    Cylinder,
    /// A sphere; L is its radius.
    Sphere,
}

/// One term of a shape's series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// Eigenvalue z [-].
    pub root: f64,
    /// Weight C [-].
    pub weight: f64,
}

/// A shape's series at one Biot number, ready to be evaluated many times.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    shape: Shape,
    terms: Vec<Term>,
}

impl Series {
    /// The series of a shape.
    ///
    /// * `biot`: h L/k [-], 1e-4 to infinity
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the range above.
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn new(shape: Shape, biot: f64) -> Result<Self, HeatError> {
        let biot = OutOfRange::check("Biot number", biot, 1e-4, f64::INFINITY, "1", "carslaw_jaeger_1959")?;
        let terms = (0..TERMS)
            .map(|n| {
                let root = root(shape, biot, n as f64);
                Term {
                    root,
                    weight: weight(shape, root),
                }
            })
            .collect();
        Ok(Self { shape, terms })
    }

    /// The terms, slowest first.
    #[must_use]
    pub fn terms(&self) -> &[Term] {
        &self.terms
    }

    /// What is left of the difference at a place [-].
    ///
    /// * `fourier`: a t/L² [-], at least 0.002
    /// * `place`: distance from the centre over L, 0 to 1
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the ranges above.
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn theta(&self, fourier: f64, place: f64) -> Result<f64, HeatError> {
        let fo = least_fourier(fourier)?;
        let x = OutOfRange::check("place", place, 0.0, 1.0, "1", "carslaw_jaeger_1959")?;
        Ok(self.sum(fo, |z| profile(self.shape, z * x)))
    }

    /// What is left of the difference on the mean of the volume [-].
    ///
    /// # Errors
    /// As [`Series::theta`].
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn mean(&self, fourier: f64) -> Result<f64, HeatError> {
        let fo = least_fourier(fourier)?;
        Ok(self.sum(fo, |z| mean_factor(self.shape, z)))
    }

    /// Fourier number [-] at which a place has `theta` left.
    ///
    /// * `theta`: above 0, below its value at Fo = 0.002
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] where the place was never that far from, or is still further.
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn fourier(&self, theta: f64, place: f64) -> Result<f64, HeatError> {
        let start = self.theta(LEAST_FO, place)?;
        let theta = OutOfRange::check("theta", theta, f64::MIN_POSITIVE, start, "1", "carslaw_jaeger_1959")?;
        // The slowest term alone overestimates nothing beyond this, so it brackets the answer.
        let Some(slowest) = self.terms.first() else {
            return Ok(LEAST_FO);
        };
        let high = LEAST_FO + ((2.0 * slowest.weight / theta).ln() + 1.0).max(1.0) / slowest.root.powi(2);
        let (mut low, mut high) = (LEAST_FO, high);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if self.theta(middle, place)? > theta {
                low = middle
            } else {
                high = middle
            }
        }
        Ok(0.5 * (low + high))
    }

    fn sum(&self, fo: f64, factor: impl Fn(f64) -> f64) -> f64 {
        self.terms
            .iter()
            .take_while(|t| t.root * t.root * fo < NOTHING_LEFT)
            .map(|t| t.weight * (-t.root * t.root * fo).exp() * factor(t.root))
            .sum()
    }
}

/// A cylinder of finite height, all faces alike: the product of a long cylinder and a slab.
#[derive(Debug, Clone, PartialEq)]
pub struct FiniteCylinder {
    round: Series,
    flat: Series,
    height_over_radius: f64,
}

impl FiniteCylinder {
    /// The two series.
    ///
    /// * `biot_radius`: h a/k [-], 1e-4 to infinity
    /// * `height_over_radius`: half the height over the radius [-], 0.01 to 100
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the ranges above.
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn new(biot_radius: f64, height_over_radius: f64) -> Result<Self, HeatError> {
        let ratio = OutOfRange::check(
            "height over radius",
            height_over_radius,
            0.01,
            100.0,
            "1",
            "carslaw_jaeger_1959",
        )?;
        Ok(Self {
            round: Series::new(Shape::Cylinder, biot_radius)?,
            flat: Series::new(Shape::Slab, biot_radius * ratio)?,
            height_over_radius: ratio,
        })
    }

    /// What is left of the difference at a place [-]; `fourier` is a t over the radius squared.
    ///
    /// * `radial`, `axial`: distance from the centre over radius and half height, 0 to 1
    ///
    /// # Errors
    /// As [`Series::theta`].
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn theta(&self, fourier: f64, radial: f64, axial: f64) -> Result<f64, HeatError> {
        let flat = fourier / self.height_over_radius.powi(2);
        Ok(self.round.theta(fourier, radial)? * self.flat.theta(flat, axial)?)
    }

    /// What is left of the difference on the mean of the volume [-].
    ///
    /// # Errors
    /// As [`Series::theta`].
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn mean(&self, fourier: f64) -> Result<f64, HeatError> {
        Ok(self.round.mean(fourier)? * self.flat.mean(fourier / self.height_over_radius.powi(2))?)
    }
}

fn least_fourier(fourier: f64) -> Result<f64, OutOfRange> {
    OutOfRange::check("Fourier number", fourier, LEAST_FO, 1e6, "1", "carslaw_jaeger_1959")
}

/// The slowest term of a plain shape.
pub(crate) fn first_term(shape: Shape, biot: f64) -> Term {
    let root = root(shape, biot, 0.0);
    Term {
        root,
        weight: weight(shape, root),
    }
}

/// The n-th eigenvalue, counted from 0, by halving a bracket that holds no other.
fn root(shape: Shape, biot: f64, n: f64) -> f64 {
    match shape {
        Shape::Slab if biot.is_infinite() => (n + 0.5) * PI,
        Shape::Slab => halve(n * PI, (n + 0.5) * PI, |z| z * z.sin() - biot * z.cos()),
        Shape::Cylinder => {
            // Zeros of J0 and J1 take turns, near (n + 3/4) pi and (n + 1/4) pi.
            let high = halve((n + 0.5) * PI, (n + 1.0) * PI, |z| bessel(0, z));
            if biot.is_infinite() {
                return high;
            }
            let low = if n < 0.5 {
                0.0
            } else {
                halve(n * PI, (n + 0.5) * PI, |z| bessel(1, z))
            };
            halve(low, high, |z| z * bessel(1, z) - biot * bessel(0, z))
        }
        Shape::Sphere if biot.is_infinite() => (n + 1.0) * PI,
        Shape::Sphere => halve(n * PI, (n + 1.0) * PI, |z| (1.0 - biot) * z.sin() - z * z.cos()),
    }
}

fn weight(shape: Shape, z: f64) -> f64 {
    match shape {
        Shape::Slab => 4.0 * z.sin() / (2.0 * z + (2.0 * z).sin()),
        Shape::Cylinder => {
            let (j0, j1) = (bessel(0, z), bessel(1, z));
            2.0 * j1 / (z * (j0 * j0 + j1 * j1))
        }
        Shape::Sphere => 4.0 * (z.sin() - z * z.cos()) / (2.0 * z - (2.0 * z).sin()),
    }
}

fn profile(shape: Shape, zx: f64) -> f64 {
    match shape {
        Shape::Slab => zx.cos(),
        Shape::Cylinder => bessel(0, zx),
        Shape::Sphere => {
            if zx < 1e-9 {
                1.0
            } else {
                zx.sin() / zx
            }
        }
    }
}

fn mean_factor(shape: Shape, z: f64) -> f64 {
    match shape {
        Shape::Slab => z.sin() / z,
        Shape::Cylinder => 2.0 * bessel(1, z) / z,
        Shape::Sphere => 3.0 * (z.sin() - z * z.cos()) / z.powi(3),
    }
}

/// The zero of `f` between `low` and `high`, where its sign changes once.
fn halve(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    // A hair inside, since brackets may end on a zero that belongs to a neighbour.
    let hair = 1e-13 * high;
    let (mut low, mut high) = (low + hair, high - hair);
    let (mut at_low, mut at_high) = (f(low), f(high));
    let rising = at_high > 0.0;
    let mut kept = 0_i8;
    for _ in 0..HALVINGS {
        // Regula falsi with halved ends (Illinois), a bisection wherever it stalls.
        let chord = (low * at_high - high * at_low) / (at_high - at_low);
        let middle = if chord > low && chord < high {
            chord
        } else {
            0.5 * (low + high)
        };
        let here = f(middle);
        if here.abs() < f64::MIN_POSITIVE || high - low <= 4.0 * f64::EPSILON * high {
            return middle;
        }
        if (here > 0.0) == rising {
            (high, at_high) = (middle, here);
            if kept == 1 {
                at_low *= 0.5;
            }
            kept = 1;
        } else {
            (low, at_low) = (middle, here);
            if kept == -1 {
                at_high *= 0.5;
            }
            kept = -1;
        }
    }
    0.5 * (low + high)
}

/// Bessel function of the first kind, order 0 or 1 [-].
///
/// ```text
/// J_n(x) = (1/pi) integral 0..pi of cos(n s - x sin s) ds
/// ```
///
/// The trapezoid rule is exact to rounding once its points outnumber x by some tens.
fn bessel(order: u8, x: f64) -> f64 {
    let points = 24 + x.abs() as usize;
    let n = f64::from(order);
    let ends = 0.5 * (1.0 + (n * PI).cos());
    let inner: f64 = (1..points)
        .map(|k| {
            let s = PI * k as f64 / points as f64;
            (n * s - x * s.sin()).cos()
        })
        .sum();
    (ends + inner) / points as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bessel_functions_have_their_tabled_zeros_and_values() {
        // Abramowitz and Stegun, tables 9.1 and 9.5.
        for (x, j0, j1) in [
            (1.0, 0.765_197_686_557_966_6, 0.440_050_585_744_933_5),
            (5.0, -0.177_596_771_314_338_3, -0.327_579_137_591_465_2),
        ] {
            assert!((bessel(0, x) - j0).abs() < 1e-14);
            assert!((bessel(1, x) - j1).abs() < 1e-14);
        }
        assert!(bessel(0, 2.404_825_557_695_773).abs() < 1e-14);
        assert!(bessel(0, 62.048_469_190_227_17).abs() < 1e-13);
        assert!(bessel(1, 3.831_705_970_207_512).abs() < 1e-14);
    }

    #[test]
    fn series_start_at_one_and_their_roots_stay_apart() -> Result<(), HeatError> {
        for shape in [Shape::Slab, Shape::Cylinder, Shape::Sphere] {
            for biot in [0.01, 0.5, 5.0, 100.0] {
                let series = Series::new(shape, biot)?;
                assert!((series.theta(LEAST_FO, 0.0)? - 1.0).abs() < 1e-6, "{shape:?} {biot}");
                assert!(series.terms().windows(2).all(|t| t[1].root > t[0].root + 2.0));
            }
        }
        Ok(())
    }

    #[test]
    fn a_small_biot_number_is_a_lump() -> Result<(), HeatError> {
        // Lumped: exp(-m Bi Fo), m = 1, 2, 3 for the three shapes.
        for (shape, m) in [(Shape::Slab, 1.0), (Shape::Cylinder, 2.0), (Shape::Sphere, 3.0)] {
            let series = Series::new(shape, 1e-4)?;
            for fo in [1.0, 100.0, 5000.0] {
                let lump = f64::exp(-m * 1e-4 * fo);
                assert!((series.mean(fo)? - lump).abs() < 1e-4, "{shape:?} {fo}");
            }
        }
        Ok(())
    }

    #[test]
    fn the_fourier_number_of_a_theta_gives_that_theta_back() -> Result<(), HeatError> {
        for biot in [0.05, 1.0, f64::INFINITY] {
            let series = Series::new(Shape::Slab, biot)?;
            for theta in [0.9, 0.3, 1e-3, 1e-9] {
                let fo = series.fourier(theta, 0.0)?;
                assert!((series.theta(fo, 0.0)? / theta - 1.0).abs() < 1e-9, "{biot} {theta}");
            }
        }
        Ok(())
    }

    #[test]
    fn a_warm_start_or_a_place_outside_is_refused() -> Result<(), HeatError> {
        let series = Series::new(Shape::Slab, 1.0)?;
        assert!(series.theta(0.001, 0.0).is_err());
        assert!(series.theta(f64::NAN, 0.0).is_err());
        assert!(series.theta(1.0, 1.1).is_err());
        assert!(Series::new(Shape::Sphere, -1.0).is_err());
        Ok(())
    }
}
