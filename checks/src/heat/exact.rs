//! The exact series against general-purpose libraries.

use jarwright_figure::Mark;
use jarwright_heat::exact::{FiniteCylinder, Series, Shape};

use super::{Claim, or_miss};
use crate::{Check, Worst};

#[rustfmt::skip]
pub(super) const FO: [f64; 9] = [0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.75, 1.0, 2.0];
/// Height over radius 1: Biot number, then centre and mean at each Fourier number of [`FO`].
#[rustfmt::skip]
pub(super) const SQUARE: [(f64, [f64; 9], [f64; 9]); 3] = [
    (
        0.5,
        [0.99929648, 0.98390544, 0.90126942, 0.80024040, 0.70440041, 0.61848896, 0.44577964, 0.32114873, 0.086495671],
        [0.93222863, 0.87127345, 0.76291512, 0.66879792, 0.58648681, 0.51435845, 0.37053376, 0.26693092, 0.071892882],
    ),
    (
        5.0,
        [0.99489555, 0.90546310, 0.58069731, 0.33664187, 0.19153047, 0.10857347, 0.026213877, 0.0063275393, 2.1480267e-5],
        [0.64947973, 0.46681594, 0.25713881, 0.14484284, 0.081941244, 0.046396384, 0.011198474, 0.0027030832, 9.1762273e-6],
    ),
    (
        f64::INFINITY,
        [0.98400881, 0.80534806, 0.38730412, 0.17141423, 0.075200936, 0.032958300, 0.0041896466, 0.00053257569, 1.3905830e-7],
        [0.40964187, 0.25352465, 0.10803568, 0.047196211, 0.020674333, 0.0090592806, 0.0011515817, 0.00014638570, 3.8222070e-8],
    ),
];
/// Height over radius 1.25: Fourier number, then the centre at Biot numbers 0.5, 5 and infinity.
#[rustfmt::skip]
pub(super) const TALL: [(f64, [f64; 3]); 7] = [
    (0.05, [0.99942044, 0.99580416, 0.98694676]),
    (0.1, [0.98689501, 0.92257260, 0.83955155]),
    (0.2, [0.91710160, 0.63537872, 0.45323698]),
    (0.3, [0.82709527, 0.39479803, 0.22227106]),
    (0.5, [0.65604984, 0.14352902, 0.051356440]),
    (1.0, [0.35870745, 0.011021890, 0.0012946405]),
    (2.0, [0.10654639, 6.4700819e-5, 8.2173835e-7]),
];

pub(super) fn finite_cylinder_series() -> Check {
    let mut worst = Worst::default();
    for (biot, centres, means) in SQUARE {
        let body = FiniteCylinder::new(biot, 1.0);
        for ((fo, centre), mean) in FO.into_iter().zip(centres).zip(means) {
            worst.add(or_miss(body.clone().and_then(|b| b.theta(fo, 0.0, 0.0))), centre);
            worst.add(or_miss(body.clone().and_then(|b| b.mean(fo))), mean);
        }
    }
    for (fo, centres) in TALL {
        for (biot, centre) in [0.5, 5.0, f64::INFINITY].into_iter().zip(centres) {
            worst.add(
                or_miss(FiniteCylinder::new(biot, 1.25).and_then(|b| b.theta(fo, 0.0, 0.0))),
                centre,
            );
        }
    }
    Claim {
        name: "finite-cylinder-series",
        claim: "centre and mean of a cylinder heated on all faces, by the exact series",
        source: "scipy_mpmath",
        place: "60 terms, 30 digits; half height over radius 1 and 1.25",
        mark: Mark::Computed,
        tolerance: 1e-6,
        unit: "1",
        why: "the yardstick must be finer than anything held to it",
        note: "",
    }
    .held(&worst)
}

#[allow(clippy::approx_constant)] // a root at pi/2, to the digits given
/// Biot number, then first root and weight of slab, cylinder and sphere.
#[rustfmt::skip]
const ROOTS: [(f64, [f64; 6]); 12] = [
    (0.01, [0.0998336, 1.001661, 0.1412448, 1.002496, 0.1730320, 1.002998]),
    (0.05, [0.2217604, 1.008189, 0.3142616, 1.012395, 0.3853681, 1.014951]),
    (0.1, [0.3110528, 1.016094, 0.4416818, 1.024579, 0.5422809, 1.029798]),
    (0.2, [0.4328407, 1.031088, 0.6169748, 1.048304, 0.7593077, 1.059155]),
    (0.5, [0.6532712, 1.070128, 0.9407706, 1.114255, 1.165561, 1.144106]),
    (1.0, [0.8603336, 1.119132, 1.255784, 1.207092, 1.570796, 1.273240]),
    (2.0, [1.076874, 1.178456, 1.599449, 1.338377, 2.028758, 1.479319]),
    (5.0, [1.313838, 1.240249, 1.989815, 1.502869, 2.570432, 1.787001]),
    (10.0, [1.428870, 1.261963, 2.179497, 1.567692, 2.836300, 1.924909]),
    (20.0, [1.496129, 1.269916, 2.288048, 1.591944, 2.985724, 1.978138]),
    (50.0, [1.540006, 1.272652, 2.357242, 1.600221, 3.078842, 1.996221]),
    (100.0, [1.555245, 1.273088, 2.380902, 1.601524, 3.110187, 1.999033]),
];

fn term(shape: Shape, biot: f64, n: usize) -> (f64, f64) {
    let series = Series::new(shape, biot);
    series
        .ok()
        .and_then(|s| s.terms().get(n).map(|t| (t.root, t.weight)))
        .unwrap_or((f64::NAN, f64::NAN))
}

pub(super) fn eigenvalues() -> Check {
    let mut worst = Worst::default();
    let mut hold = |shape, biot, n, root, weight| {
        let (z, c) = term(shape, biot, n);
        worst.add(z, root);
        worst.add(c, weight);
    };
    for (biot, [slab, slab_c, cylinder, cylinder_c, sphere, sphere_c]) in ROOTS {
        hold(Shape::Slab, biot, 0, slab, slab_c);
        hold(Shape::Cylinder, biot, 0, cylinder, cylinder_c);
        hold(Shape::Sphere, biot, 0, sphere, sphere_c);
    }
    for (shape, biot, n, root, weight) in [
        (Shape::Slab, 0.5, 1, 3.292310, -0.0872758),
        (Shape::Slab, 0.5, 2, 6.361620, 0.0243348),
        (Shape::Cylinder, 0.5, 1, 3.959371, -0.1571596),
        (Shape::Cylinder, 0.5, 2, 7.086381, 0.0661898),
        (Shape::Slab, 5.0, 1, 4.033568, -0.3442150),
        (Shape::Slab, 5.0, 2, 6.909596, 0.1587753),
        (Shape::Cylinder, 5.0, 1, 4.713142, -0.7973155),
        (Shape::Cylinder, 5.0, 2, 7.617708, 0.4841843),
    ] {
        hold(shape, biot, n, root, weight);
    }
    Claim {
        name: "conduction-eigenvalues",
        claim: "eigenvalues and weights of slab, cylinder and sphere",
        source: "scipy_mpmath",
        place: "Biot numbers 0.01 to 100, and second and third roots at 0.5 and 5",
        mark: Mark::Computed,
        tolerance: 6e-7,
        unit: "1",
        why: "half a unit of the last digit given",
        note: "a published polynomial for the first root is 3.4 % off at Biot number 50; the roots are solved for instead",
    }
    .held(&worst)
}

pub(super) fn eigenvalues_printed() -> Check {
    let mut worst = Worst::default();
    for (shape, biot, root, weight) in [
        (Shape::Slab, 0.2, 0.4328, 1.0311),
        (Shape::Slab, 0.313, 0.531, 1.047),
        (Shape::Sphere, 47.8, 3.0754, 1.9959),
    ] {
        let (z, c) = term(shape, biot, 0);
        worst.add(z, root);
        worst.add(c, weight);
    }
    Claim {
        name: "conduction-eigenvalues-printed",
        claim: "first eigenvalues as textbooks read them from their tables",
        source: "cengel_heat_mass",
        place: "problem 11-44, example 4.3; Incropera example 5.4",
        mark: Mark::Seen,
        tolerance: 0.001,
        unit: "1",
        why: "the books read between the lines of a table",
        note: "",
    }
    .held(&worst)
}
