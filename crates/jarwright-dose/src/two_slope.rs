//! A death line that bends at its reference temperature.

use jarwright_figure::Equation;

use crate::lethality::{check_constants, check_history, straight};
use crate::{DoseError, lethal_rate};

/// Lethal rate with one slope below the reference temperature and another above.
pub static TWO_SLOPE: Equation = Equation {
    key: "lethality-two-slope",
    title: "Lethality with two slopes",
    text: "L = 10^((T - T_ref)/z), z = z_below for T < T_ref, z_above for T >= T_ref",
    source: "cfa_2006",
};

/// Reference temperature with a slope on each side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoSlope {
    /// Reference temperature [°C], where the line bends.
    pub ref_c: f64,
    /// Slope below it [K].
    pub z_below_k: f64,
    /// Slope above it [K].
    pub z_above_k: f64,
}

impl TwoSlope {
    /// Non-proteolytic *Clostridium botulinum*: 10 minutes at 90 °C count as six decimal
    /// reductions; the printed table bends at 90 °C (z 9 K below, 10 K above).
    ///
    /// # Source
    /// `cfa_2006`, table of equivalent times 80 to 100 °C.
    pub const NON_PROTEOLYTIC: Self = Self {
        ref_c: 90.0,
        z_below_k: 9.0,
        z_above_k: 10.0,
    };

    /// Lethal rate [1] at a temperature [°C].
    #[must_use]
    pub fn rate(&self, c: f64) -> f64 {
        lethal_rate(c, self.ref_c, self.z_k(c))
    }

    /// Lethality [min] of a history that runs straight between its readings, exactly; an
    /// interval that crosses the bend is cut there.
    ///
    /// * `times_s`: times of the readings [s], rising
    /// * `temperatures_c`: as many temperatures [°C], -40 to 160
    ///
    /// # Errors
    /// As [`crate::lethality_min`].
    pub fn lethality_min(&self, times_s: &[f64], temperatures_c: &[f64]) -> Result<f64, DoseError> {
        check_constants(self.ref_c, self.z_below_k)?;
        check_constants(self.ref_c, self.z_above_k)?;
        check_history(times_s, temperatures_c)?;
        Ok(crate::lethality::sum(times_s, temperatures_c, |a_c, b_c| {
            self.mean_rate(a_c, b_c)
        }))
    }

    fn z_k(&self, c: f64) -> f64 {
        if c < self.ref_c { self.z_below_k } else { self.z_above_k }
    }

    /// Mean rate along a straight line, cut at the bend.
    fn mean_rate(&self, a_c: f64, b_c: f64) -> f64 {
        let crosses = (a_c - self.ref_c) * (b_c - self.ref_c) < 0.0;
        if !crosses {
            return straight(a_c, b_c, self.ref_c, self.z_k(0.5 * (a_c + b_c)));
        }
        let share = (self.ref_c - a_c) / (b_c - a_c);
        share * straight(a_c, self.ref_c, self.ref_c, self.z_k(a_c))
            + (1.0 - share) * straight(self.ref_c, b_c, self.ref_c, self.z_k(b_c))
    }
}
