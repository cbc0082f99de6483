//! Sobol' points: they fill a box more evenly than chance does.
//!
//! Knows no food. Read next: `sampling.rs`, which turns points into inputs.

use jarwright_figure::{Equation, OutOfRange};

use crate::DoseError;

/// Registry entry of [`Sobol`].
pub static SOBOL_POINTS: Equation = Equation {
    key: "sobol-points",
    title: "Sobol' points, their digits scrambled",
    text: "x_i = g_1 v_1 xor g_2 v_2 xor ...   g = i xor i/2;  each digit then flipped or not by the digits before it",
    source: "joe_kuo_2008",
};

/// Binary digits of a coordinate.
const DIGITS: usize = 32;

/// Points of a Sobol' sequence in a unit box.
#[derive(Debug, Clone)]
pub struct Sobol {
    /// Direction numbers of each dimension, the first digit at the top.
    directions: Vec<[u32; DIGITS]>,
    seed: Option<u64>,
}

impl Sobol {
    /// Most dimensions there are direction numbers for.
    pub const MOST_DIMENSIONS: usize = 1 + DIRECTIONS.len();

    /// The sequence as published, the origin first.
    ///
    /// * `dimensions`: 1 to [`Self::MOST_DIMENSIONS`]
    ///
    /// # Errors
    /// [`DoseError::OutOfRange`] for another number of dimensions.
    ///
    /// # Source
    /// `joe_kuo_2008`: their direction numbers and, in Gray-code order, their points.
    pub fn plain(dimensions: usize) -> Result<Self, DoseError> {
        OutOfRange::check(
            "dimensions of Sobol' points",
            dimensions as f64,
            1.0,
            Self::MOST_DIMENSIONS as f64,
            "",
            SOBOL_POINTS.source,
        )?;
        let first = std::array::from_fn(|digit| 1 << (DIGITS - 1 - digit));
        let others = DIRECTIONS.iter().map(|(a, m)| directions(*a, m));
        Ok(Self {
            directions: std::iter::once(first).chain(others).take(dimensions).collect(),
            seed: None,
        })
    }

    /// The sequence with nested scrambling: each point is even in the box, and the whole stays as
    /// even as it was. One seed, one sequence, on any machine.
    ///
    /// * `dimensions`: 1 to [`Self::MOST_DIMENSIONS`]
    ///
    /// # Errors
    /// As [`Self::plain`].
    ///
    /// # Source
    /// `owen_1995`: every digit is flipped or not at random, by the digits before it; the random
    /// choice is the hash of `steele_2014`.
    pub fn scrambled(dimensions: usize, seed: u64) -> Result<Self, DoseError> {
        Ok(Self {
            seed: Some(seed),
            ..Self::plain(dimensions)?
        })
    }

    /// How many dimensions there are.
    #[must_use]
    pub fn dimensions(&self) -> usize {
        self.directions.len()
    }

    /// One coordinate, 0 to below 1; scrambled ones are above 0.
    ///
    /// * `index`: which point, from 0
    /// * `dimension`: below [`Self::dimensions`]; beyond them there is nothing but the middle, 0.5
    #[must_use]
    pub fn coordinate(&self, index: u32, dimension: usize) -> f64 {
        let Some(directions) = self.directions.get(dimension) else {
            return 0.5;
        };
        let gray = index ^ (index >> 1);
        let digits = (0..DIGITS)
            .filter(|bit| gray >> bit & 1 == 1)
            .fold(0, |digits, bit| digits ^ directions[bit]);
        let whole = 2.0_f64.powi(DIGITS as i32);
        match self.seed {
            None => f64::from(digits) / whole,
            Some(seed) => (f64::from(scramble(digits, hash(seed ^ hash(dimension as u64)))) + 0.5) / whole,
        }
    }
}

/// Direction numbers of one dimension from its polynomial and first odd numbers.
fn directions(polynomial: u32, first: &[u32]) -> [u32; DIGITS] {
    let degree = first.len();
    let mut v = [0; DIGITS];
    for digit in 0..DIGITS {
        v[digit] = if digit < degree {
            first[digit] << (DIGITS - 1 - digit)
        } else {
            let whole = v[digit - degree] ^ (v[digit - degree] >> degree);
            (1..degree)
                .filter(|k| polynomial >> (degree - 1 - k) & 1 == 1)
                .fold(whole, |sum, k| sum ^ v[digit - k])
        };
    }
    v
}

/// Flips each digit or leaves it, by a hash of the digits before it.
fn scramble(digits: u32, seed: u64) -> u32 {
    (0..DIGITS as u32).fold(digits, |scrambled, place| {
        // A one before the digits keeps 0 and 00 apart.
        let before = (1_u64 << place) | (u64::from(digits) >> (DIGITS as u32 - place));
        let flip = (hash(seed ^ before) & 1) as u32;
        scrambled ^ (flip << (DIGITS as u32 - 1 - place))
    })
}

/// The next number of the generator of `steele_2014` from a state.
pub(crate) fn hash(state: u64) -> u64 {
    let z = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// Polynomial and first direction numbers of dimensions 2 to 64, `joe_kuo_2008`.
#[rustfmt::skip]
const DIRECTIONS: [(u32, &[u32]); 63] = [
    (0, &[1]),
    (1, &[1, 3]),
    (1, &[1, 3, 1]),
    (2, &[1, 1, 1]),
    (1, &[1, 1, 3, 3]),
    (4, &[1, 3, 5, 13]),
    (2, &[1, 1, 5, 5, 17]),
    (4, &[1, 1, 5, 5, 5]),
    (7, &[1, 1, 7, 11, 19]),
    (11, &[1, 1, 5, 1, 1]),
    (13, &[1, 1, 1, 3, 11]),
    (14, &[1, 3, 5, 5, 31]),
    (1, &[1, 3, 3, 9, 7, 49]),
    (13, &[1, 1, 1, 15, 21, 21]),
    (16, &[1, 3, 1, 13, 27, 49]),
    (19, &[1, 1, 1, 15, 7, 5]),
    (22, &[1, 3, 1, 15, 13, 25]),
    (25, &[1, 1, 5, 5, 19, 61]),
    (1, &[1, 3, 7, 11, 23, 15, 103]),
    (4, &[1, 3, 7, 13, 13, 15, 69]),
    (7, &[1, 1, 3, 13, 7, 35, 63]),
    (8, &[1, 3, 5, 9, 1, 25, 53]),
    (14, &[1, 3, 1, 13, 9, 35, 107]),
    (19, &[1, 3, 1, 5, 27, 61, 31]),
    (21, &[1, 1, 5, 11, 19, 41, 61]),
    (28, &[1, 3, 5, 3, 3, 13, 69]),
    (31, &[1, 1, 7, 13, 1, 19, 1]),
    (32, &[1, 3, 7, 5, 13, 19, 59]),
    (37, &[1, 1, 3, 9, 25, 29, 41]),
    (41, &[1, 3, 5, 13, 23, 1, 55]),
    (42, &[1, 3, 7, 3, 13, 59, 17]),
    (50, &[1, 3, 1, 3, 5, 53, 69]),
    (55, &[1, 1, 5, 5, 23, 33, 13]),
    (56, &[1, 1, 7, 7, 1, 61, 123]),
    (59, &[1, 1, 7, 9, 13, 61, 49]),
    (62, &[1, 3, 3, 5, 3, 55, 33]),
    (14, &[1, 3, 1, 15, 31, 13, 49, 245]),
    (21, &[1, 3, 5, 15, 31, 59, 63, 97]),
    (22, &[1, 3, 1, 11, 11, 11, 77, 249]),
    (38, &[1, 3, 1, 11, 27, 43, 71, 9]),
    (47, &[1, 1, 7, 15, 21, 11, 81, 45]),
    (49, &[1, 3, 7, 3, 25, 31, 65, 79]),
    (50, &[1, 3, 1, 1, 19, 11, 3, 205]),
    (52, &[1, 1, 5, 9, 19, 21, 29, 157]),
    (56, &[1, 3, 7, 11, 1, 33, 89, 185]),
    (67, &[1, 3, 3, 3, 15, 9, 79, 71]),
    (70, &[1, 3, 7, 11, 15, 39, 119, 27]),
    (84, &[1, 1, 3, 1, 11, 31, 97, 225]),
    (97, &[1, 1, 1, 3, 23, 43, 57, 177]),
    (103, &[1, 3, 7, 7, 17, 17, 37, 71]),
    (115, &[1, 3, 1, 5, 27, 63, 123, 213]),
    (122, &[1, 1, 3, 5, 11, 43, 53, 133]),
    (8, &[1, 3, 5, 5, 29, 17, 47, 173, 479]),
    (13, &[1, 3, 3, 11, 3, 1, 109, 9, 69]),
    (16, &[1, 1, 1, 5, 17, 39, 23, 5, 343]),
    (22, &[1, 3, 1, 5, 25, 15, 31, 103, 499]),
    (25, &[1, 1, 1, 11, 11, 17, 63, 105, 183]),
    (44, &[1, 1, 5, 11, 9, 29, 97, 231, 363]),
    (47, &[1, 1, 5, 15, 19, 45, 41, 7, 383]),
    (52, &[1, 3, 7, 7, 31, 19, 83, 137, 221]),
    (55, &[1, 1, 1, 3, 23, 15, 111, 223, 83]),
    (59, &[1, 1, 5, 13, 31, 15, 55, 25, 161]),
    (62, &[1, 1, 3, 13, 25, 47, 39, 87, 257]),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_the_published_generator() {
        // First outputs from the state 1234567, as printed on a public page of examples.
        let printed = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        let mut state = 1_234_567_u64;
        for output in printed {
            assert_eq!(hash(state), output);
            state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        }
    }
}
