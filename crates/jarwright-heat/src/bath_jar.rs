//! A jar in a bath: what it draws and where it is coldest, by the terms of its series.
//!
//! The food conducts behind its glass, heated through side and base, nothing through the top.
//! Each term of the cylinder's series times the plane wall's is a first-order lag behind the
//! glass; a few of them give the heat that the skin draws at once as well as the slow middle.

use std::f64::consts::PI;

use crate::HeatError;
use crate::bessel::j01;
use crate::jar::{Contents, JarBody};
use crate::lag::check_size;

/// How heat gets about inside a jar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Inside {
    /// It conducts: a spoon would stand in it.
    Conducts,
    /// It stirs itself, with a film of its own at the glass [W/(m² K)].
    Stirs {
        /// Film inside [W/(m² K)], 10 to 5000.
        film_w_m2k: f64,
    },
}

/// Terms along the radius and along the height.
const ROUND: usize = 6;
const FLAT: usize = 6;
/// Zeros of J0 and of J1 (`carslaw_jaeger_1959`, appendix IV), between which the roots lie.
const J0_ZEROS: [f64; ROUND] = [
    2.404_825_557_695_773,
    5.520_078_110_286_311,
    8.653_727_912_911_013,
    11.791_534_439_014_281,
    14.930_917_708_487_787,
    18.071_063_967_910_924,
];
const J1_ZEROS: [f64; ROUND] = [
    0.0,
    3.831_705_970_207_512,
    7.015_586_669_815_619,
    10.173_468_135_062_722,
    13.323_691_936_314_223,
    16.470_630_050_877_634,
];
const HALVINGS: usize = 44;

/// One first-order lag behind the glass.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Term {
    /// How fast it dies [1/s].
    pub(crate) rate_per_s: f64,
    /// Its share of the food's mean.
    pub(crate) of_mean: f64,
    /// Its share at the coldest place.
    pub(crate) of_coldest: f64,
}

/// The lags of a jar's food, slowest first; shares of the mean and of the coldest add up to one.
pub(crate) fn terms(body: &JarBody, contents: &Contents, inside: Inside) -> Result<Vec<Term>, HeatError> {
    check_size(body)?;
    let Contents {
        conductivity_w_mk: k,
        density_kg_m3,
        heat_capacity_j_kgk,
    } = *contents;
    let (radius_m, height_m) = (body.inner_radius_m, body.food_height_m);
    let (side, base) = (body.glass_k_w_mk / body.wall_m, body.glass_k_w_mk / body.base_m);
    let per_volume = density_kg_m3 * heat_capacity_j_kgk;
    if let Inside::Stirs { film_w_m2k } = inside {
        let with_film = |glass: f64| 1.0 / (1.0 / glass + 1.0 / film_w_m2k);
        let u_a_w_k = 2.0 * PI * radius_m * height_m * with_film(side) + PI * radius_m.powi(2) * with_film(base);
        return Ok(vec![Term {
            rate_per_s: u_a_w_k / (per_volume * PI * radius_m.powi(2) * height_m),
            of_mean: 1.0,
            of_coldest: 1.0,
        }]);
    }
    let diffusivity_m2_s = k / per_volume;
    let round: Vec<Term> = J1_ZEROS
        .into_iter()
        .zip(J0_ZEROS)
        .map(|(low, high)| {
            let biot = side * radius_m / k;
            let z = halve(low, high, |z| {
                let (j0, j1) = j01(z);
                z * j1 - biot * j0
            });
            let (j0, j1) = j01(z);
            let weight = 2.0 * j1 / (z * (j0 * j0 + j1 * j1));
            Term {
                rate_per_s: diffusivity_m2_s * (z / radius_m).powi(2),
                of_mean: weight * 2.0 * j1 / z,
                of_coldest: weight,
            }
        })
        .collect();
    let flat: Vec<Term> = (0..FLAT)
        .map(|n| {
            let from = n as f64 * PI;
            let biot = base * height_m / k;
            let z = halve(from, from + 0.5 * PI, |z| z * z.sin().abs() - biot * z.cos().abs());
            let weight = 4.0 * z.sin() / (2.0 * z + (2.0 * z).sin());
            Term {
                rate_per_s: diffusivity_m2_s * (z / height_m).powi(2),
                of_mean: weight * z.sin() / z,
                of_coldest: weight,
            }
        })
        .collect();
    // Mean lag of a long cylinder, R²/a (1/8 + 1/(2 Bi)), and of a plane wall, H²/a (1/3 + 1/Bi).
    let next_per_s = |z: f64, length_m: f64| diffusivity_m2_s * (z / length_m).powi(2);
    let round = whole(
        round,
        radius_m.powi(2) / diffusivity_m2_s * (0.125 + 0.5 * k / (side * radius_m)),
        next_per_s(J0_ZEROS[ROUND - 1] + PI, radius_m),
    );
    let flat = whole(
        flat,
        height_m.powi(2) / diffusivity_m2_s * (1.0 / 3.0 + k / (base * height_m)),
        next_per_s((FLAT as f64 + 0.5) * PI, height_m),
    );
    let mut all: Vec<Term> = round
        .iter()
        .flat_map(|r| {
            flat.iter().map(|f| Term {
                rate_per_s: r.rate_per_s + f.rate_per_s,
                of_mean: r.of_mean * f.of_mean,
                of_coldest: r.of_coldest * f.of_coldest,
            })
        })
        .filter(|term| term.of_mean.abs() + term.of_coldest.abs() > 0.0)
        .collect();
    all.sort_by(|a, b| a.rate_per_s.total_cmp(&b.rate_per_s));
    Ok(all)
}

/// A series with two more terms that hold what the others leave out of the mean and of the
/// coldest place.
///
/// The mean's is so quick that the mean lags behind a slow ramp as it should: the sum of share
/// over rate is `lag_s`, which a plane wall and a long cylinder have in closed form. The coldest
/// place's alternate, so that half of the next term stands for all that follow.
fn whole(mut series: Vec<Term>, lag_s: f64, next_per_s: f64) -> Vec<Term> {
    let mut rest = (1.0, 1.0, lag_s);
    for term in &series {
        rest.0 -= term.of_mean;
        rest.1 -= term.of_coldest;
        rest.2 -= term.of_mean / term.rate_per_s;
    }
    // Where rounding eats the rest it holds nothing, at whatever rate.
    let rate_per_s = (rest.0 / rest.2.max(f64::MIN_POSITIVE)).clamp(next_per_s, 1e6 * next_per_s);
    series.push(Term {
        rate_per_s,
        of_mean: rest.0,
        of_coldest: 0.0,
    });
    series.push(Term {
        rate_per_s: next_per_s,
        of_mean: 0.0,
        of_coldest: rest.1,
    });
    series
}

/// Where a function crosses zero.
fn halve(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let rising = f(high) > 0.0;
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if (f(middle) > 0.0) == rising {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{Series, Shape};

    const BODY: JarBody = JarBody {
        inner_radius_m: 0.032,
        food_height_m: 0.080,
        wall_m: 0.003,
        base_m: 0.003,
        glass_k_w_mk: 1.05,
        glass_density_kg_m3: 2500.0,
        glass_cp_j_kgk: 840.0,
    };
    const CURD: Contents = Contents {
        conductivity_w_mk: 0.45,
        density_kg_m3: 1140.0,
        heat_capacity_j_kgk: 2865.0,
    };

    #[test]
    fn a_step_of_the_glass_is_the_exact_series_of_the_jar() -> Result<(), HeatError> {
        let terms = terms(&BODY, &CURD, Inside::Conducts)?;
        let (glass, k) = (1.05 / 0.003, 0.45);
        let round = Series::new(Shape::Cylinder, glass * 0.032 / k)?;
        let flat = Series::new(Shape::Slab, glass * 0.080 / k)?;
        let diffusivity = 0.45 / (1140.0 * 2865.0);
        for t in [60.0, 120.0, 600.0, 1800.0, 3600.0_f64] {
            let (fo_r, fo_z) = (diffusivity * t / 0.032_f64.powi(2), diffusivity * t / 0.080_f64.powi(2));
            let of = |share: fn(&Term) -> f64| -> f64 {
                terms
                    .iter()
                    .map(|term| share(term) * (-term.rate_per_s * t).exp())
                    .sum()
            };
            if fo_z > 0.002 {
                let mean = round.mean(fo_r)? * flat.mean(fo_z)?;
                assert!(
                    (of(|term| term.of_mean) - mean).abs() < 2e-3,
                    "{t} {} {mean}",
                    of(|term| term.of_mean)
                );
                let coldest = round.theta(fo_r, 0.0)? * flat.theta(fo_z, 0.0)?;
                // In the first minutes the terms left out still hold something of the middle.
                let within = if t < 300.0 { 0.01 } else { 2e-3 };
                assert!((of(|term| term.of_coldest) - coldest).abs() < within, "{t}");
            }
        }
        Ok(())
    }

    #[test]
    fn shares_add_up_to_one_and_each_term_dies() -> Result<(), HeatError> {
        for inside in [Inside::Conducts, Inside::Stirs { film_w_m2k: 300.0 }] {
            let terms = terms(&BODY, &CURD, inside)?;
            let mean: f64 = terms.iter().map(|term| term.of_mean).sum();
            let coldest: f64 = terms.iter().map(|term| term.of_coldest).sum();
            assert!((mean - 1.0).abs() < 1e-12 && (coldest - 1.0).abs() < 1e-12);
            assert!(terms.iter().all(|term| term.rate_per_s > 0.0 && term.of_mean >= 0.0));
        }
        Ok(())
    }
}
