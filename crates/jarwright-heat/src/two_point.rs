//! A cooling forecast from two readings.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`TwoPoint`].
pub static TWO_POINT_COOLING: Equation = Equation {
    key: "two-point-cooling",
    title: "Cooling forecast from two readings",
    text: "T(t) = T_s + (T_1 - T_s) exp(-r t), r = ln((T_1 - T_s)/(T_2 - T_s))/(t_2 - t_1)",
    source: "igo_two_point_cooling",
};

/// Cooling towards a sink, from two readings.
///
/// ```text
/// T(t) = Ts + (T1 - Ts) exp(-r t)     r = ln((T1 - Ts)/(T2 - Ts))/(t2 - t1)
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoPoint {
    /// First reading [°C].
    pub first_c: f64,
    /// Temperature it tends to [°C].
    pub sink_c: f64,
    /// Rate r [1/s].
    pub rate_per_s: f64,
}

impl TwoPoint {
    /// From two readings some time apart.
    ///
    /// * `first_c`, `second_c`: falling, both above `sink_c`
    /// * `between_s`: above 0
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the ranges above.
    ///
    /// # Source
    /// `igo_two_point_cooling`: validated there on 29 foods in 25 restaurants.
    pub fn new(first_c: f64, second_c: f64, between_s: f64, sink_c: f64) -> Result<Self, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, TWO_POINT_COOLING.key);
        range("sink", sink_c, -60.0, 60.0, "°C")?;
        range("first reading", first_c, sink_c, 200.0, "°C")?;
        // A reading at the sink itself would have no logarithm.
        range("second reading", second_c, sink_c + 1e-6, first_c, "°C")?;
        range("time between the readings", between_s, 1.0, 1e6, "s")?;
        Ok(Self {
            first_c,
            sink_c,
            rate_per_s: ((first_c - sink_c) / (second_c - sink_c)).ln() / between_s,
        })
    }

    /// Temperature [°C] some time after the first reading.
    #[must_use]
    pub fn at_c(&self, after_s: f64) -> f64 {
        self.sink_c + (self.first_c - self.sink_c) * (-self.rate_per_s * after_s).exp()
    }

    /// Time [s] from the first reading to a temperature.
    ///
    /// # Errors
    /// [`HeatError::NeverReaches`] at or below the sink, or if the readings did not fall;
    /// [`HeatError::OutOfRange`] above the first reading.
    ///
    /// # Source
    /// `igo_two_point_cooling`.
    pub fn time_to_s(&self, c: f64) -> Result<f64, HeatError> {
        OutOfRange::check("temperature", c, -60.0, self.first_c, "°C", TWO_POINT_COOLING.key)?;
        if c <= self.sink_c || self.rate_per_s <= 0.0 {
            let limit = if self.rate_per_s <= 0.0 {
                self.first_c
            } else {
                self.sink_c
            };
            return Err(HeatError::NeverReaches {
                quantity: "cooling food",
                target: c,
                limit,
                unit: "°C",
            });
        }
        Ok(((self.first_c - self.sink_c) / (c - self.sink_c)).ln() / self.rate_per_s)
    }
}

/// The same two readings drawn on as a straight line, as some handouts do.
///
/// Cooling food slows as it nears its surroundings; a line does not, so it promises the end far too
/// early. Kept to be shown beside [`TwoPoint`], never to decide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightLine {
    /// First reading [°C].
    pub first_c: f64,
    /// Fall [K/s].
    pub fall_k_s: f64,
}

impl StraightLine {
    /// From the readings of a forecast, `between_s` apart.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the ranges of [`TwoPoint::new`].
    ///
    /// # Source
    /// `county_cooling_handout`: 0.54 °F a minute.
    pub fn new(first_c: f64, second_c: f64, between_s: f64) -> Result<Self, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, TWO_POINT_COOLING.key);
        range("first reading", first_c, -60.0, 200.0, "°C")?;
        range("second reading", second_c, -60.0, first_c, "°C")?;
        range("time between the readings", between_s, 1.0, 1e6, "s")?;
        Ok(Self {
            first_c,
            fall_k_s: (first_c - second_c) / between_s,
        })
    }

    /// Time [s] from the first reading to a temperature; `None` for a line that does not fall or a
    /// temperature above it.
    #[must_use]
    pub fn time_to_s(&self, c: f64) -> Option<f64> {
        (self.fall_k_s > 0.0 && c <= self.first_c).then(|| (self.first_c - c) / self.fall_k_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_never_ends_after_the_exponential() -> Result<(), HeatError> {
        for sink in [-20.0, 0.0, 3.0] {
            let forecast = TwoPoint::new(57.0, 40.0, 3600.0, sink)?;
            let line = StraightLine::new(57.0, 40.0, 3600.0)?;
            for c in [30.0, 21.0, 5.0] {
                assert!(
                    line.time_to_s(c)
                        .is_some_and(|t| forecast.time_to_s(c).is_ok_and(|e| t < e))
                );
            }
        }
        assert_eq!(StraightLine::new(57.0, 57.0, 60.0)?.time_to_s(21.0), None);
        Ok(())
    }

    #[test]
    fn a_forecast_runs_through_both_readings_and_never_below_its_sink() -> Result<(), HeatError> {
        let forecast = TwoPoint::new(60.0, 40.0, 1800.0, 4.0)?;
        assert!((forecast.at_c(0.0) - 60.0).abs() < 1e-12);
        assert!((forecast.at_c(1800.0) - 40.0).abs() < 1e-12);
        assert!((forecast.at_c(forecast.time_to_s(20.0)?) - 20.0).abs() < 1e-9);
        assert!(matches!(forecast.time_to_s(4.0), Err(HeatError::NeverReaches { .. })));
        assert!(TwoPoint::new(40.0, 60.0, 1800.0, 4.0).is_err());
        Ok(())
    }
}
