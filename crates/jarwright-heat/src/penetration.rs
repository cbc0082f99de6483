//! Heat penetration: the straight part of a heating or cooling curve on a logarithmic scale.
//!
//! A measured curve becomes two numbers, the rate f and the lag j, with how well the readings
//! carry them. What they do not carry is refused.

use std::f64::consts::LN_10;

use jarwright_figure::Equation;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Registry entry of [`Penetration::f_s`].
pub static PENETRATION_RATE: Equation = Equation {
    key: "heat-penetration-rate",
    title: "Rate f of heat penetration",
    text: "log10|T_m - T| = log10(j |T_m - T_0|) - t/f, a line by least squares over the straight part; f is \
           the time in which the difference to the medium T_m falls to a tenth",
    source: "drusas_saravacos_1985",
};

/// Registry entry of [`Penetration::lag`].
pub static PENETRATION_LAG: Equation = Equation {
    key: "heat-penetration-lag",
    title: "Lag j of heat penetration",
    text: "j = |T_m - T_pi| / |T_m - T_0|, T_pi where the straight part meets time zero; corrected for \
           come-up, zero stands at 0.58 of the come-up time after heat on (42 % of come-up counts)",
    source: "drusas_saravacos_1985",
};

/// Part of the come-up time that passes before the corrected zero: 42 % of it counts.
///
/// `simpson_2012`: a fit to readings against the recorded medium already has the come-up in it;
/// this zero only makes j comparable with printed ones and may not be credited a second time.
pub const CORRECTED_ZERO: f64 = 0.58;

/// Fewest readings of a straight part. This project's own choice.
pub const LEAST_READINGS: usize = 8;
/// Least fall of the difference to the medium over the straight part, in powers of ten: to about a
/// third. This project's own choice.
pub const LEAST_LOG_CYCLES: f64 = 0.5;
/// Most by which the slopes of the two halves of a straight part may differ, relative, unless their
/// scatter explains more. This project's own choice.
pub const MOST_BEND: f64 = 0.01;
/// Most that scatter may explain of that difference, relative. This project's own choice.
const MOST_SCATTER: f64 = 0.05;
/// Smallest difference to the medium that is used: a share of the first one, and kelvin. Nearer to
/// the medium its own error of a few tenths of a kelvin bends the line. This project's own choice.
pub const NEAREST: (f64, f64) = (0.03, 1.0);

/// A straight part, fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Penetration {
    /// Time for the difference to the medium to fall to a tenth [s].
    pub f_s: f64,
    /// 95 % interval of `f_s` [s].
    pub f_between_s: (f64, f64),
    /// First and last time of the straight part [s].
    pub window_s: (f64, f64),
    /// How many readings it has.
    pub readings: usize,
    /// How far the difference to the medium falls over it, in powers of ten.
    pub log_cycles: f64,
    /// Root mean square of the residuals, in powers of ten.
    pub residual: f64,
    /// Largest residual, in powers of ten.
    pub worst_residual: f64,
    /// Lag-one correlation of the residuals, 0 to 1; the intervals are widened for it.
    pub correlation: f64,
    line: Line,
    /// Sums of squared residuals, of those times the arm t - mean, and times its square.
    own: [f64; 3],
    quantile: f64,
    /// What the bend that is left may change the slope by.
    bent: f64,
    /// Width of the interval that holds 9 of 10 over that of 95 %.
    nine_of_ten: f64,
    slope_half: f64,
}

/// Why the readings carry no straight part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoFit {
    /// Too few readings between lag and medium.
    TooFew {
        /// How many there are.
        readings: usize,
    },
    /// The difference to the medium hardly falls.
    TooShort {
        /// How far it falls, in powers of ten.
        log_cycles: f64,
    },
    /// No part is straight: the best one's halves differ by this, relative.
    Bent {
        /// Slope of the first half over that of the second, less 1.
        bend: f64,
    },
    /// The food starts where the medium is.
    NoDifference,
}

impl std::fmt::Display for NoFit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::TooFew { readings } => write!(
                f,
                "{readings} readings lie between the lag and the medium, {LEAST_READINGS} are needed"
            ),
            Self::TooShort { log_cycles } => write!(
                f,
                "the difference to the medium falls only to 1/{:.1} of what it was, 1/{:.1} is needed",
                10_f64.powf(log_cycles.max(0.0)),
                10_f64.powf(LEAST_LOG_CYCLES)
            ),
            Self::Bent { bend } => write!(
                f,
                "no part of the logarithmic curve is straight: the slopes of its halves differ by {:.0} %",
                100.0 * bend.abs()
            ),
            Self::NoDifference => write!(f, "the food starts at the medium's temperature"),
        }
    }
}

impl std::error::Error for NoFit {}

/// Fits the straight part of a curve towards a steady medium; heating and cooling alike.
///
/// ```text
/// log10|T_m - T| = log10(j |T_m - T_0|) - t/f
/// ```
///
/// * `times_s`, `temps_c`: as many of each, times rising [s], [°C]
/// * `medium_c`: steady temperature of the medium [°C]
///
/// The part ends before the first reading nearer to the medium than [`NEAREST`]. It starts at the
/// earliest reading from which the two halves of what is left have one slope, within
/// [`MOST_BEND`] or twice its standard error, at most 5 %. Intervals are Student's with the
/// residuals' own squares as variances, since the logarithm's error grows near the medium, and
/// widened for residuals that follow each other by `sqrt((1+r)/(1-r))` with their lag-one
/// correlation r (both from memory), and for the bend that is left between the halves.
///
/// # Errors
/// [`NoFit`].
///
/// # Source
/// `drusas_saravacos_1985`.
pub fn penetration(times_s: &[f64], temps_c: &[f64], medium_c: f64) -> Result<Penetration, NoFit> {
    let count = times_s.len().min(temps_c.len());
    let first = *temps_c.first().ok_or(NoFit::TooFew { readings: 0 })?;
    let sign = if medium_c >= first { 1.0 } else { -1.0 };
    let gap = sign * (medium_c - first);
    let nearest = NEAREST.1.max(NEAREST.0 * gap);
    if gap.is_nan() || gap <= nearest {
        return Err(NoFit::NoDifference);
    }
    let points: Vec<(f64, f64)> = (0..count)
        .map(|i| (times_s[i], sign * (medium_c - temps_c[i])))
        .take_while(|&(_, left)| left >= nearest)
        .map(|(t, left)| (t, left.log10()))
        .collect();
    let readings = points.len();
    if readings < LEAST_READINGS {
        return Err(NoFit::TooFew { readings });
    }
    let sums = Sums::of(&points);
    let end = points[readings - 1].1;
    let deepest = points.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max) - end;
    let mut least_bend: Option<f64> = None;
    for start in 0..=readings - LEAST_READINGS {
        if points[start].1 - end < LEAST_LOG_CYCLES {
            continue;
        }
        let middle = start + (readings - start) / 2;
        let (early, late) = (sums.line(start, middle), sums.line(middle, readings));
        let bend = early.slope / late.slope - 1.0;
        let scatter = 2.0 * early.slope_error().hypot(late.slope_error()) / late.slope.abs();
        let falls = early.slope < 0.0 && late.slope < 0.0;
        if falls && bend.abs() <= MOST_BEND.max(scatter.min(MOST_SCATTER)) {
            return Ok(Penetration::new(&points[start..], sums.line(start, readings), bend));
        }
        let bend = if bend.is_finite() { bend } else { f64::MAX };
        if least_bend.is_none_or(|least| bend.abs() < least.abs()) {
            least_bend = Some(bend);
        }
    }
    Err(match least_bend {
        Some(bend) => NoFit::Bent { bend },
        None => NoFit::TooShort { log_cycles: deepest },
    })
}

impl Penetration {
    fn new(points: &[(f64, f64)], line: Line, bend: f64) -> Self {
        let residuals: Vec<f64> = points.iter().map(|&(t, y)| y - line.at(t)).collect();
        let squares: f64 = residuals.iter().map(|r| r * r).sum();
        let products: f64 = residuals.windows(2).map(|r| r[0] * r[1]).sum();
        // Exact data leave residuals of rounding only; their order means nothing.
        let correlation = if squares > 1e-20 {
            (products / squares).clamp(0.0, 0.99)
        } else {
            0.0
        };
        let widening = ((1.0 + correlation) / (1.0 - correlation)).sqrt();
        let freedom = points.len() as f64 - 2.0;
        let student = |share| StudentsT::new(0.0, 1.0, freedom).map_or(f64::NAN, |t| t.inverse_cdf(share));
        let quantile = student(0.975);
        let mut own = [0.0; 3];
        for (&(t, _), r) in points.iter().zip(&residuals) {
            let arm = t - line.mean_t;
            for (sum, weight) in own.iter_mut().zip([1.0, arm, arm * arm]) {
                *sum += weight * r * r * points.len() as f64 / freedom;
            }
        }
        let bent = (bend * line.slope).abs();
        let half = quantile * widening * own[2].sqrt() / line.spread_t + bent;
        Self {
            f_s: -1.0 / line.slope,
            f_between_s: (-1.0 / (line.slope - half), {
                let flattest = line.slope + half;
                if flattest < 0.0 { -1.0 / flattest } else { f64::INFINITY }
            }),
            window_s: (points[0].0, points[points.len() - 1].0),
            readings: points.len(),
            log_cycles: line.slope * (points[0].0 - points[points.len() - 1].0),
            residual: (squares / points.len() as f64).sqrt(),
            worst_residual: residuals.iter().fold(0.0, |worst, r| r.abs().max(worst)),
            correlation,
            line,
            own,
            quantile: quantile * widening,
            bent,
            nine_of_ten: student(0.95) / quantile,
            slope_half: half,
        }
    }

    /// Fall of the difference's decimal logarithm [1/s], with its 5th and 95th percentile.
    ///
    /// One over it is f.
    ///
    /// # Source
    /// `drusas_saravacos_1985`.
    #[must_use]
    pub fn fall_per_s(&self) -> (f64, f64, f64) {
        let half = self.nine_of_ten * self.slope_half;
        (-self.line.slope, -self.line.slope - half, -self.line.slope + half)
    }

    /// Decimal logarithm of the difference [K] where the line meets a time, with its 5th and 95th
    /// percentile.
    ///
    /// # Source
    /// `drusas_saravacos_1985`.
    #[must_use]
    pub fn meets(&self, zero_s: f64) -> (f64, f64, f64) {
        let (at, half) = (self.line.at(zero_s), self.nine_of_ten * self.half_at(zero_s));
        (at, at - half, at + half)
    }

    /// Half of the 95 % interval of the line at a time.
    fn half_at(&self, zero_s: f64) -> f64 {
        let lever = (zero_s - self.line.mean_t) / self.line.spread_t;
        let each = 1.0 / self.line.count;
        let variance = each * each * self.own[0] + 2.0 * each * lever * self.own[1] + lever * lever * self.own[2];
        self.quantile * variance.max(0.0).sqrt() + self.bent * (zero_s - self.line.mean_t).abs()
    }

    /// Lag j [1] at a time zero, with its 95 % interval.
    ///
    /// ```text
    /// j = |T_m - T_pi| / |T_m - T_0|
    /// ```
    ///
    /// * `zero_s`: time zero [s]
    /// * `difference_k`: from the food at zero to the medium [K], above 0 in size
    ///
    /// The interval is that of the line where it meets zero; the errors of T_m and T_0 are not in it.
    ///
    /// # Source
    /// `drusas_saravacos_1985`; the corrected zero, [`CORRECTED_ZERO`], as `simpson_2012` discusses it.
    #[must_use]
    pub fn lag(&self, zero_s: f64, difference_k: f64) -> (f64, f64, f64) {
        let at = self.line.at(zero_s) - difference_k.abs().log10();
        let half = self.half_at(zero_s);
        let power = |y: f64| (LN_10 * y).exp();
        (power(at), power(at - half), power(at + half))
    }
}

/// A least-squares line with what is needed for its errors.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Line {
    slope: f64,
    mean_t: f64,
    mean_y: f64,
    spread_t: f64,
    variance: f64,
    count: f64,
}

impl Line {
    fn at(&self, t: f64) -> f64 {
        self.mean_y + self.slope * (t - self.mean_t)
    }

    fn slope_error(&self) -> f64 {
        (self.variance / self.spread_t).sqrt()
    }
}

/// Running sums, so that any stretch's line costs the same.
struct Sums {
    origin: f64,
    sums: Vec<[f64; 5]>,
}

impl Sums {
    fn of(points: &[(f64, f64)]) -> Self {
        let origin = points[0].0;
        let mut sums = Vec::with_capacity(points.len() + 1);
        let mut sum = [0.0; 5];
        sums.push(sum);
        for &(t, y) in points {
            let t = t - origin;
            for (total, term) in sum.iter_mut().zip([t, y, t * t, t * y, y * y]) {
                *total += term;
            }
            sums.push(sum);
        }
        Self { origin, sums }
    }

    fn line(&self, from: usize, to: usize) -> Line {
        let count = (to - from) as f64;
        let [t, y, tt, ty, yy] = std::array::from_fn(|i| self.sums[to][i] - self.sums[from][i]);
        let (mean_t, mean_y) = (t / count, y / count);
        let spread_t = tt - t * mean_t;
        let slope = (ty - t * mean_y) / spread_t;
        let squares = (yy - y * mean_y - slope * (ty - t * mean_y)).max(0.0);
        Line {
            slope,
            mean_t: mean_t + self.origin,
            mean_y,
            spread_t,
            variance: squares / (count - 2.0).max(1.0),
            count,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A curve with a quick second mode, which makes the lag.
    fn curve(f_s: f64, j: f64, step_s: f64, many: usize, noise: impl Fn(usize) -> f64) -> (Vec<f64>, Vec<f64>) {
        let times: Vec<f64> = (0..many).map(|i| i as f64 * step_s).collect();
        let temps = times
            .iter()
            .enumerate()
            .map(|(i, t)| {
                let slow = j * 10_f64.powf(-t / f_s);
                let quick = (1.0 - j) * 10_f64.powf(-5.0 * t / f_s);
                100.0 - 80.0 * (slow + quick) + noise(i)
            })
            .collect();
        (times, temps)
    }

    #[test]
    fn a_made_curve_gives_back_what_it_was_made_from() {
        let (times, temps) = curve(1800.0, 1.7, 30.0, 120, |_| 0.0);
        let fit = penetration(&times, &temps, 100.0).map_err(|e| e.to_string());
        let fit = fit.as_ref().ok();
        assert!(fit.is_some_and(|fit| (fit.f_s / 1800.0 - 1.0).abs() < 0.02), "{fit:?}");
        let lag = fit.map(|fit| fit.lag(0.0, 80.0).0);
        assert!(lag.is_some_and(|j| (j - 1.7).abs() < 0.05), "{lag:?}");
    }

    #[test]
    fn ninety_five_percent_intervals_hold_what_is_true_about_that_often() {
        // A fixed generator of noise, uniform within 0.3 K.
        let mut state = 12_345_u64;
        let mut held = 0;
        for _ in 0..400 {
            let noise: Vec<f64> = (0..120)
                .map(|_| {
                    state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                    ((state >> 33) as f64 / f64::from(1_u32 << 31) - 0.5) * 0.6
                })
                .collect();
            let (times, temps) = curve(1800.0, 1.0, 30.0, 120, |i| noise[i]);
            if let Ok(fit) = penetration(&times, &temps, 100.0) {
                held += usize::from(fit.f_between_s.0 <= 1800.0 && 1800.0 <= fit.f_between_s.1);
            }
        }
        assert!((352..=396).contains(&held), "{held} of 400");
    }

    #[test]
    fn a_shift_of_time_zero_moves_the_lag_and_not_the_rate() -> Result<(), NoFit> {
        let (times, temps) = curve(1800.0, 1.7, 30.0, 120, |_| 0.0);
        let fit = penetration(&times, &temps, 100.0)?;
        let ratio = fit.lag(600.0, 80.0).0 / fit.lag(0.0, 80.0).0;
        assert!((ratio - 10_f64.powf(-600.0 / fit.f_s)).abs() < 1e-9);
        Ok(())
    }

    #[test]
    fn cooling_is_heating_upside_down() -> Result<(), NoFit> {
        let (times, temps) = curve(1800.0, 1.4, 30.0, 120, |_| 0.0);
        let down: Vec<f64> = temps.iter().map(|c| 100.0 - c).collect();
        let (up, down) = (penetration(&times, &temps, 100.0)?, penetration(&times, &down, 0.0)?);
        assert!((up.f_s / down.f_s - 1.0).abs() < 1e-9);
        Ok(())
    }

    #[test]
    fn what_the_readings_do_not_carry_is_refused() {
        let (times, temps) = curve(1800.0, 1.7, 30.0, 20, |_| 0.0);
        assert!(matches!(
            penetration(&times, &temps, 100.0),
            Err(NoFit::TooShort { .. })
        ));
        assert!(matches!(
            penetration(&times[..5], &temps[..5], 100.0),
            Err(NoFit::TooFew { .. })
        ));
        let flat = vec![100.0; 20];
        assert_eq!(penetration(&times, &flat, 100.0), Err(NoFit::NoDifference));
        let ramp: Vec<f64> = times.iter().map(|t| 20.0 + 79.0 * t / 570.0).collect();
        assert!(matches!(penetration(&times, &ramp, 100.0), Err(NoFit::Bent { .. })));
    }
}
