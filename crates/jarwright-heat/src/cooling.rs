//! Cooling of pans and jars, and the two-stage rule.
//!
//! The two-stage rule is law for cooked food that is kept chilled. Jars that are shelf-stable by
//! acid stand outside it and cool undisturbed: part of their dose comes while they cool.
//!
//! Read next: `exact.rs` for the series behind a pan, `two_point.rs` for a forecast from readings.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::cooling_clock::CoolingClock;
use crate::exact::{Series, Shape};
use crate::jar::Contents;

/// Registry entry of [`pan_cooling`].
pub static PAN_COOLING: Equation = Equation {
    key: "pan-cooling",
    title: "Centre of a layer cooled from both faces",
    text: "(T - T_a)/(T_0 - T_a) = sum C_n exp(-z_n^2 Fo), z tan z = Bi, C = 4 sin z/(2 z + sin 2 z), \
           Bi = h (d/2)/k, Fo = a t/(d/2)^2",
    source: "carslaw_jaeger_1959",
};

/// The rule's clock starts here [°C]: 135 °F (`fda_food_code`, 3-501.14).
pub const RULE_STARTS_C: f64 = 57.0;
/// End of its first stage [°C]: 70 °F (`fda_food_code`, 3-501.14).
pub const FIRST_STAGE_C: f64 = 21.0;
/// End of its second stage [°C]: 41 °F (`fda_food_code`, 3-501.14).
pub const SECOND_STAGE_C: f64 = 5.0;
/// Longest first stage [s]: 2 h (`fda_food_code`, 3-501.14).
pub const FIRST_STAGE_S: f64 = 7200.0;
/// Longest time to the end of the second stage [s]: 6 h in all (`fda_food_code`, 3-501.14).
pub const BOTH_STAGES_S: f64 = 21_600.0;

/// Depths searched for the greatest that passes [m].
const DEPTHS_M: (f64, f64) = (0.001, 0.3);
/// Halvings of a search: the depth to less than a micrometre.
const HALVINGS: usize = 40;

/// When a cooling food passes the rule's two marks, counted from 57 °C on the way down, or from
/// the start if that was cooler.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanCooling {
    /// Time to 21 °C [s]; `None` if it does not get there, or not before the curve ends.
    pub to_21_s: Option<f64>,
    /// Time to 5 °C [s]; `None` likewise.
    pub to_5_s: Option<f64>,
    /// Whether both are within their limits, 2 h and 6 h. False where one is not known.
    pub passes: bool,
}

impl PanCooling {
    fn new(to_21_s: Option<f64>, to_5_s: Option<f64>) -> Self {
        let within = |time: Option<f64>, limit: f64| time.is_some_and(|t| t <= limit);
        Self {
            to_21_s,
            to_5_s,
            passes: within(to_21_s, FIRST_STAGE_S) && within(to_5_s, BOTH_STAGES_S),
        }
    }
}

/// Time for the middle of a layer to cool to a temperature, both faces alike [s].
///
/// ```text
/// (T - Ta)/(T0 - Ta) = sum C_n exp(-z_n^2 Fo)     z tan z = Bi     C = 4 sin z/(2 z + sin 2 z)
/// Bi = h (d/2)/k     Fo = a t/(d/2)^2
/// ```
///
/// * `depth_m`: 1 mm to 0.3 m
/// * `film_w_m2k`: on each face, 1 to 10 000 W/(m² K)
/// * `start_c`: -60 to 150 °C, above `air_c`
/// * `target_c`: above `air_c`; at or above `start_c` the time is 0
///
/// Conduction only, nothing freezes: a stirred or thin food cools faster, one that freezes slower.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, [`HeatError::NeverReaches`] for a target not
/// above the air's temperature.
///
/// # Source
/// `carslaw_jaeger_1959`.
pub fn pan_time_to_s(
    depth_m: f64,
    contents: &Contents,
    film_w_m2k: f64,
    start_c: f64,
    air_c: f64,
    target_c: f64,
) -> Result<f64, HeatError> {
    Pan::new(depth_m, contents, film_w_m2k, start_c, air_c)?.time_to_s(target_c)
}

/// Cooling of the middle of a pan of food from both faces, against the two-stage rule.
///
/// Equation and arguments as [`pan_time_to_s`].
///
/// # Errors
/// [`HeatError::OutOfRange`] outside its ranges. A mark that is never reached is no error but `None`.
///
/// # Source
/// `carslaw_jaeger_1959`; the rule is `fda_food_code`, 3-501.14.
pub fn pan_cooling(
    depth_m: f64,
    contents: &Contents,
    film_w_m2k: f64,
    start_c: f64,
    air_c: f64,
) -> Result<PanCooling, HeatError> {
    let pan = Pan::new(depth_m, contents, film_w_m2k, start_c, air_c)?;
    let Some(starts_s) = pan.reaches_s(RULE_STARTS_C)? else {
        return Ok(PanCooling::new(None, None));
    };
    let after = |c| pan.reaches_s(c).map(|time| time.map(|t| t - starts_s));
    Ok(PanCooling::new(after(FIRST_STAGE_C)?, after(SECOND_STAGE_C)?))
}

/// Greatest depth [m] of a pan of food that passes the two-stage rule; `None` if 1 mm does not.
///
/// Arguments as [`pan_time_to_s`]. Searched up to 0.3 m, which is returned if even that passes.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside its ranges.
///
/// # Source
/// `carslaw_jaeger_1959`; the rule is `fda_food_code`, 3-501.14.
pub fn greatest_depth_m(
    contents: &Contents,
    film_w_m2k: f64,
    start_c: f64,
    air_c: f64,
) -> Result<Option<f64>, HeatError> {
    let passes = |depth| pan_cooling(depth, contents, film_w_m2k, start_c, air_c).map(|c| c.passes);
    let (mut good, mut bad) = DEPTHS_M;
    if passes(bad)? {
        return Ok(Some(bad));
    }
    if !passes(good)? {
        return Ok(None);
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (good + bad);
        if passes(middle)? { good = middle } else { bad = middle }
    }
    Ok(Some(good))
}

/// The two-stage rule on a cooling curve, measured or computed, by straight lines between readings.
///
/// * `times_s`, `temps_c`: as many of each, at least two; times rising
///
/// The clock starts at the last fall through 57 °C; a curve that starts cooler and stays so starts
/// it at its first reading; a curve that ends hotter never starts it.
///
/// # Errors
/// [`HeatError::BadShape`] for lists too short or of different lengths, [`HeatError::OutOfRange`] for
/// times that fall and for readings outside -60 to 200 °C.
///
/// # Source
/// `fda_food_code`, 3-501.14.
pub fn two_stage(times_s: &[f64], temps_c: &[f64]) -> Result<PanCooling, HeatError> {
    if times_s.len() < 2 {
        return Err(HeatError::BadShape {
            what: "cooling curve",
            got: times_s.len(),
            needed: 2,
        });
    }
    if temps_c.len() != times_s.len() {
        return Err(HeatError::BadShape {
            what: "temperatures of a cooling curve",
            got: temps_c.len(),
            needed: times_s.len(),
        });
    }
    for (pair, temps) in times_s.windows(2).zip(temps_c.windows(2)) {
        OutOfRange::check("time of a reading", pair[1], pair[0], f64::MAX, "s", "fda_food_code")?;
        for &c in temps {
            OutOfRange::check("reading", c, -60.0, 200.0, "°C", "fda_food_code")?;
        }
    }
    let mut clock = CoolingClock::default();
    for (&time_s, &c) in times_s.iter().zip(temps_c) {
        clock.push(time_s, c, true);
    }
    Ok(PanCooling::new(clock.to_21_s(), clock.to_5_s()))
}

/// A layer that cools from both faces.
struct Pan {
    series: Series,
    half_square_over_diffusivity_s: f64,
    start_c: f64,
    air_c: f64,
}

impl Pan {
    fn new(depth_m: f64, contents: &Contents, film_w_m2k: f64, start_c: f64, air_c: f64) -> Result<Self, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, PAN_COOLING.key);
        range("depth", depth_m, DEPTHS_M.0, DEPTHS_M.1, "m")?;
        range("film", film_w_m2k, 1.0, 1e4, "W/(m2 K)")?;
        range("air temperature", air_c, -60.0, 100.0, "°C")?;
        range("start temperature", start_c, air_c, 150.0, "°C")?;
        let k = range("conductivity", contents.conductivity_w_mk, 0.05, 5.0, "W/(m K)")?;
        let density = range("density", contents.density_kg_m3, 100.0, 3000.0, "kg/m3")?;
        let heat = range("heat capacity", contents.heat_capacity_j_kgk, 500.0, 6000.0, "J/(kg K)")?;
        let half = 0.5 * depth_m;
        Ok(Self {
            series: Series::new(Shape::Slab, film_w_m2k * half / k)?,
            half_square_over_diffusivity_s: half * half * density * heat / k,
            start_c,
            air_c,
        })
    }

    fn time_to_s(&self, target_c: f64) -> Result<f64, HeatError> {
        self.reaches_s(target_c)?.ok_or(HeatError::NeverReaches {
            quantity: "middle of the pan",
            target: target_c,
            limit: self.air_c,
            unit: "°C",
        })
    }

    fn reaches_s(&self, target_c: f64) -> Result<Option<f64>, HeatError> {
        if target_c >= self.start_c {
            return Ok(Some(0.0));
        }
        if target_c <= self.air_c {
            return Ok(None);
        }
        let theta = (target_c - self.air_c) / (self.start_c - self.air_c);
        Ok(Some(
            self.series.fourier(theta, 0.0)? * self.half_square_over_diffusivity_s,
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SAUCE: Contents = Contents {
        conductivity_w_mk: 0.55,
        density_kg_m3: 1040.0,
        heat_capacity_j_kgk: 3777.0,
    };

    #[test]
    fn a_thick_pan_with_a_strong_film_cools_with_the_square_of_its_depth() -> Result<(), HeatError> {
        // Dickerson and Read: time goes with the square of the smallest dimension.
        let time = |depth| pan_time_to_s(depth, &SAUCE, 1e4, 57.2, 3.0, 21.1);
        assert!((time(0.2)? / time(0.1)? - 4.0).abs() < 0.05);
        Ok(())
    }

    #[test]
    fn the_greatest_depth_passes_and_a_millimetre_more_does_not() -> Result<(), HeatError> {
        let depth = greatest_depth_m(&SAUCE, 16.0, 80.0, -20.0)?.unwrap_or(f64::NAN);
        assert!(pan_cooling(depth, &SAUCE, 16.0, 80.0, -20.0)?.passes);
        assert!(!pan_cooling(depth + 0.001, &SAUCE, 16.0, 80.0, -20.0)?.passes);
        Ok(())
    }

    #[test]
    fn on_the_bench_nothing_passes() -> Result<(), HeatError> {
        assert_eq!(greatest_depth_m(&SAUCE, 10.0, 80.0, 20.0)?, None);
        let bench = pan_cooling(0.05, &SAUCE, 10.0, 80.0, 20.0)?;
        assert!(bench.to_21_s.is_some() && bench.to_5_s.is_none() && !bench.passes);
        Ok(())
    }

    #[test]
    fn the_clock_starts_at_57_on_the_way_down() -> Result<(), HeatError> {
        let times = [0.0, 3600.0, 7200.0, 10_800.0, 18_000.0];
        let late = two_stage(&times, &[77.0, 57.0, 39.0, 21.0, 5.0])?;
        assert_eq!(
            (late.to_21_s, late.to_5_s, late.passes),
            (Some(7200.0), Some(14_400.0), true)
        );
        let slow = two_stage(&times, &[57.0, 40.0, 30.0, 21.0, 5.0])?;
        assert_eq!((slow.to_21_s, slow.passes), (Some(10_800.0), false));
        let hot = two_stage(&times, &[90.0, 85.0, 80.0, 70.0, 60.0])?;
        assert_eq!((hot.to_21_s, hot.to_5_s, hot.passes), (None, None, false));
        Ok(())
    }

    #[test]
    fn a_curve_that_warms_again_starts_its_clock_again() -> Result<(), HeatError> {
        let times = [0.0, 100.0, 200.0, 300.0, 400.0];
        let again = two_stage(&times, &[60.0, 50.0, 60.0, 20.0, 4.0])?;
        assert_eq!(again.to_21_s.map(f64::round), Some(90.0));
        Ok(())
    }

    #[test]
    fn a_curve_with_a_hole_is_refused() {
        assert!(two_stage(&[0.0], &[60.0]).is_err());
        assert!(two_stage(&[0.0, 1.0], &[60.0]).is_err());
        assert!(two_stage(&[0.0, -1.0], &[60.0, 50.0]).is_err());
        assert!(two_stage(&[0.0, 1.0], &[60.0, f64::NAN]).is_err());
    }
}
