//! Bessel functions of the first kind, orders 0 and 1, fast enough for a root search.

/// From here on Hankel's series serves; below it the power series loses fewer digits.
const FAR: f64 = 14.0;
/// Terms of the power series at [`FAR`].
const NEAR_TERMS: usize = 36;
/// Terms of Hankel's series, which shrink until about twice the argument.
const FAR_TERMS: usize = 28;

/// 1/(k k) and 1/(k (k + 1)), from k = 1.
const NEAR: [(f64, f64); NEAR_TERMS] = {
    let mut table = [(0.0, 0.0); NEAR_TERMS];
    let mut k = 1;
    while k <= NEAR_TERMS {
        table[k - 1] = (1.0 / (k * k) as f64, 1.0 / (k * (k + 1)) as f64);
        k += 1;
    }
    table
};

/// Ratios (4 n^2 - (2 k - 1)^2)/(8 k) of Hankel's terms for n = 0 and 1, from k = 1.
const HANKEL: [(f64, f64); FAR_TERMS] = {
    let mut table = [(0.0, 0.0); FAR_TERMS];
    let mut k = 1;
    while k <= FAR_TERMS {
        let odd = ((2 * k - 1) * (2 * k - 1)) as f64;
        table[k - 1] = (-odd / (8 * k) as f64, (4.0 - odd) / (8 * k) as f64);
        k += 1;
    }
    table
};

/// J0(x) and J1(x) [-] for x from 0 on, to 1e-11.
///
/// ```text
/// J_n(x) = (x/2)^n sum (-x^2/4)^k / (k! (k + n)!)                                   below 14
/// J_n(x) = sqrt(2/(pi x)) (P cos(x - n pi/2 - pi/4) - Q sin(x - n pi/2 - pi/4))     above
/// ```
///
/// # Source
/// `abramowitz_stegun_1964`, 9.1.10 and 9.2.5 to 9.2.10.
pub(crate) fn j01(x: f64) -> (f64, f64) {
    if x < FAR { near(x) } else { far(x) }
}

fn near(x: f64) -> (f64, f64) {
    let q = -0.25 * x * x;
    let terms = (8.0 + 1.6 * x) as usize;
    let (mut j0, mut j1) = (1.0, 1.0);
    for &(a, b) in NEAR[..terms.min(NEAR_TERMS)].iter().rev() {
        j0 = 1.0 + q * a * j0;
        j1 = 1.0 + q * b * j1;
    }
    (j0, 0.5 * x * j1)
}

fn far(x: f64) -> (f64, f64) {
    let over = 1.0 / x;
    let (mut a, mut b) = (1.0, 1.0);
    let (mut p, mut q) = ([1.0, 1.0], [0.0, 0.0]);
    for (k, &(r0, r1)) in HANKEL.iter().enumerate() {
        a *= r0 * over;
        b *= r1 * over;
        // Signs run + - - + from the term after the first: Q, P, Q, P.
        match k % 4 {
            0 => q = [q[0] + a, q[1] + b],
            1 => p = [p[0] - a, p[1] - b],
            2 => q = [q[0] - a, q[1] - b],
            _ => p = [p[0] + a, p[1] + b],
        }
        if a.abs() < 1e-13 && b.abs() < 1e-13 {
            break;
        }
    }
    let (sin, cos) = x.sin_cos();
    // sqrt(2) times cosine and sine of x - pi/4.
    let (c, s) = (cos + sin, sin - cos);
    let size = (over / std::f64::consts::PI).sqrt();
    (size * (p[0] * c - q[0] * s), size * (p[1] * s + q[1] * c))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_and_zeros_are_the_tabled_ones() {
        // Abramowitz and Stegun, tables 9.1, 9.2 and 9.5.
        for (x, j0, j1) in [
            (0.0, 1.0, 0.0),
            (1.0, 0.765_197_686_557_966_6, 0.440_050_585_744_933_5),
            (5.0, -0.177_596_771_314_338_3, -0.327_579_137_591_465_2),
            (10.0, -0.245_935_764_451_348_3, 0.043_472_746_168_861_44),
            (20.0, 0.167_024_664_340_583_1, 0.066_833_124_175_850_05),
        ] {
            let (a, b) = j01(x);
            assert!((a - j0).abs() < 1e-11 && (b - j1).abs() < 1e-11, "{x}: {a} {b}");
        }
        for (x, order) in [
            (2.404_825_557_695_773, 0),
            (62.048_469_190_227_17, 0),
            (3.831_705_970_207_512, 1),
            (13.323_691_936_314_22, 1),
        ] {
            let (a, b) = j01(x);
            assert!([a, b][order].abs() < 1e-11, "{x}");
        }
    }

    #[test]
    fn the_two_series_meet() {
        let (a, b) = (near(FAR), far(FAR));
        assert!((a.0 - b.0).abs() < 1e-11 && (a.1 - b.1).abs() < 1e-11, "{a:?} {b:?}");
    }
}
