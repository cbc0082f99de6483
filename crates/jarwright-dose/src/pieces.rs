//! Acid finding its way from brine into pieces.

use std::f64::consts::PI;

use jarwright_figure::{Equation, OutOfRange};

use crate::DoseError;

/// Registry entry of [`acid_reaches_s`].
pub static ACID_INTO_PIECES: Equation = Equation {
    key: "acid-into-pieces",
    title: "Time for acid to reach into pieces",
    text: "t = Fo R^2/D; share taken up: slab 1 - 8/pi^2 sum exp(-(2n+1)^2 pi^2 Fo/4)/(2n+1)^2, \
           sphere 1 - 6/pi^2 sum exp(-n^2 pi^2 Fo)/n^2, cylinder 1 - sum 4/b^2 exp(-b^2 Fo), J_0(b) = 0",
    source: "crank_1975",
};

/// How fast acid spreads in pieces [m²/s]: least, usual, greatest, for cut or porous pieces.
///
/// # Source
/// `selman_1983`: solutes out of blanched carrot 3e-10 to 8e-10 at 60 to 90 °C with 28.2 kJ/mol,
/// carried down to 20 °C for the least; acetic acid in water of 25 °C, 1.2e-9 from memory
/// (`crc_handbook`), for the greatest.
pub const CUT_M2_S: (f64, f64, f64) = (0.8e-10, 3.0e-10, 1.2e-9);

/// Shape of the pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Slices: half their thickness counts.
    Slab,
    /// Spears and sticks: their radius counts.
    Cylinder,
    /// Balls: their radius counts.
    Sphere,
}

/// Zeros of the Bessel function J0 (`crank_1975`, table of roots).
const ZEROS: [f64; 10] = [
    2.404_825_557_7,
    5.520_078_110_3,
    8.653_727_912_9,
    11.791_534_439_0,
    14.930_917_708_5,
    18.071_063_967_9,
    21.211_636_629_9,
    24.352_471_530_7,
    27.493_479_132_0,
    30.634_606_468_4,
];

/// Terms of a series.
const TERMS: i32 = 60;

impl Shape {
    /// Every shape.
    pub const ALL: [Self; 3] = [Self::Slab, Self::Cylinder, Self::Sphere];

    /// Share [1] of the acid of equilibrium that a piece has taken up at a Fourier number D t/R².
    ///
    /// Much brine round the pieces; a jar packed tight is there sooner, at a weaker brine.
    ///
    /// # Source
    /// `crank_1975`.
    #[must_use]
    pub fn taken_up(self, fourier: f64) -> f64 {
        let left: f64 = match self {
            Self::Slab => (0..TERMS)
                .map(|n| {
                    let odd = f64::from(2 * n + 1);
                    8.0 / (PI * PI * odd * odd) * (-odd * odd * PI * PI * fourier / 4.0).exp()
                })
                .sum(),
            // Ten terms; the rest matter only at the very first.
            Self::Cylinder => ZEROS.iter().map(|b| 4.0 / (b * b) * (-b * b * fourier).exp()).sum(),
            Self::Sphere => (1..=TERMS)
                .map(|n| {
                    let n = f64::from(n);
                    6.0 / (PI * PI * n * n) * (-n * n * PI * PI * fourier).exp()
                })
                .sum(),
        };
        1.0 - left
    }
}

/// Time [s] until pieces have taken up a share of the acid they will hold.
///
/// ```text
/// t = Fo R^2/D
/// ```
///
/// * `shape`, `half_m`: half thickness or radius R [m], 1e-4 to 0.2
/// * `diffusivity_m2_s`: D of acid in the piece [m²/s], 1e-12 to 1e-8; [`CUT_M2_S`] for cut pieces.
///   A whole skin may take ten times as long: measure it
/// * `share`: 0.1 to 0.999
///
/// The pH is near its equilibrium when nine tenths of the acid are in; a pH meter decides.
///
/// # Errors
/// [`DoseError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `crank_1975`.
pub fn acid_reaches_s(shape: Shape, half_m: f64, diffusivity_m2_s: f64, share: f64) -> Result<f64, DoseError> {
    let source = ACID_INTO_PIECES.source;
    let half_m = OutOfRange::check("half the piece", half_m, 1e-4, 0.2, "m", source)?;
    let d = OutOfRange::check("diffusivity", diffusivity_m2_s, 1e-12, 1e-8, "m²/s", source)?;
    let share = OutOfRange::check("share taken up", share, 0.1, 0.999, "1", source)?;
    let (mut low, mut high) = (0.0, 4.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if shape.taken_up(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(0.5 * (low + high) * half_m * half_m / d)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twice_the_piece_takes_four_times_as_long() -> Result<(), DoseError> {
        for shape in Shape::ALL {
            let one = acid_reaches_s(shape, 0.01, 1e-9, 0.9)?;
            let two = acid_reaches_s(shape, 0.02, 1e-9, 0.9)?;
            assert!((two / one - 4.0).abs() < 1e-9);
        }
        Ok(())
    }

    #[test]
    fn a_ball_is_quicker_than_a_spear_and_a_spear_than_a_slice() -> Result<(), DoseError> {
        let time = |shape| acid_reaches_s(shape, 0.01, 1e-9, 0.9);
        assert!(time(Shape::Sphere)? < time(Shape::Cylinder)?);
        assert!(time(Shape::Cylinder)? < time(Shape::Slab)?);
        assert!(acid_reaches_s(Shape::Slab, f64::NAN, 1e-9, 0.9).is_err());
        Ok(())
    }
}
