//! A rate law: how fast a change goes at a temperature, and how far that is known.

use jarwright_figure::{Equation, Mark, OutOfRange};

use crate::DoseError;
use crate::lethality::check_history;

/// Registry entry of [`RateLaw::rate_per_s`].
pub static ARRHENIUS: Equation = Equation {
    key: "arrhenius",
    title: "Rate of a change against temperature",
    text: "k = k_ref exp(-E/R (1/T - 1/T_ref)); first order: left = exp(-integral of k dt); zero order: done = integral of k dt",
    source: "levenspiel",
};

/// Registry entry of [`activation_j_mol`].
pub static ACTIVATION: Equation = Equation {
    key: "activation-energy",
    title: "Activation energy from two times for the same effect",
    text: "E = R ln(t_a/t_b)/(1/T_a - 1/T_b)",
    source: "levenspiel",
};

/// Registry entry of [`rate_at_scan_peak_per_s`].
pub static SCAN_PEAK: Equation = Equation {
    key: "scan-peak-rate",
    title: "Rate of a first-order change at the peak of a temperature scan",
    text: "k(T_p) = b E/(R T_p^2), b the heating rate",
    source: "kissinger_1957",
};

/// Molar gas constant [J/(mol K)] (`codata_2018`).
const GAS_J_MOLK: f64 = 8.314_462_618;
/// Absolute zero [°C].
const ZERO_C: f64 = 273.15;
/// Temperature that one panel of the integral spans at most [K].
const PANEL_K: f64 = 2.0;
/// Panels of one straight stretch at most.
const MOST_PANELS: usize = 200;

/// How a change runs on in time at one temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// What is left falls by the same share each second.
    First,
    /// As much is made each second.
    Zero,
}

/// Whether the data lie on the law's straight line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// They do, as far as the source says.
    Straight,
    /// They do not, or only for a part of the change: the line is a convenience.
    Forced,
}

/// How near a use of a law is to what was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// In the food and at the temperatures that were measured.
    Measured,
    /// In a food like it, at other temperatures.
    OtherTemperatures,
    /// In a food in which nobody has measured it.
    Extrapolated,
}

/// A rate law with its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateLaw {
    /// First or zero order.
    pub order: Order,
    /// Reference temperature [°C].
    pub ref_c: f64,
    /// Rate there [1/s].
    pub rate_per_s: f64,
    /// Activation energy [J/mol].
    pub activation_j_mol: f64,
    /// Its printed range [J/mol], least and greatest.
    pub activation_range_j_mol: (f64, f64),
    /// Temperatures it was measured at [°C].
    pub measured_c: (f64, f64),
    /// Temperature above which the rate rises no more [°C].
    pub levels_off_c: Option<f64>,
    /// Whether the data lie on its line.
    pub fit: Fit,
    /// What it was measured in.
    pub measured_in: &'static str,
    /// Key of its source.
    pub source: &'static str,
    /// Place in the source, and how the law was read from it.
    pub place: &'static str,
    /// How its numbers are known.
    pub mark: Mark,
}

impl RateLaw {
    /// Rate [1/s] at a temperature [°C].
    ///
    /// ```text
    /// k = k_ref exp(-E/R (1/T - 1/T_ref)), T no more than where it levels off
    /// ```
    #[must_use]
    pub fn rate_per_s(&self, c: f64) -> f64 {
        let c = self.levels_off_c.map_or(c, |most| c.min(most));
        let inverse = 1.0 / (c + ZERO_C) - 1.0 / (self.ref_c + ZERO_C);
        self.rate_per_s * (-self.activation_j_mol / GAS_J_MOLK * inverse).exp()
    }

    /// Integral of the rate [1] over a stretch in which the temperature runs straight; Simpson's
    /// rule, within a millionth.
    #[must_use]
    pub fn turns(&self, from_c: f64, to_c: f64, seconds: f64) -> f64 {
        if seconds <= 0.0 {
            return 0.0;
        }
        let panels = (((to_c - from_c).abs() / PANEL_K).ceil() as usize).clamp(1, MOST_PANELS);
        let step_k = (to_c - from_c) / panels as f64;
        if step_k.abs() < 1e-12 {
            return seconds * self.rate_per_s(from_c);
        }
        let mut sum = 0.0;
        let mut here = self.rate_per_s(from_c);
        for i in 0..panels {
            let c = from_c + i as f64 * step_k;
            let there = self.rate_per_s(c + step_k);
            sum += here + 4.0 * self.rate_per_s(c + 0.5 * step_k) + there;
            here = there;
        }
        seconds * sum / (6.0 * panels as f64)
    }

    /// How far a change has come after a stretch, from how far it was: a share for first order, an
    /// amount for zero order.
    #[must_use]
    pub fn after(&self, done: f64, from_c: f64, to_c: f64, seconds: f64) -> f64 {
        let turns = self.turns(from_c, to_c, seconds);
        match self.order {
            Order::First => 1.0 - (1.0 - done) * (-turns).exp(),
            Order::Zero => done + turns,
        }
    }

    /// How far a change comes over a history that runs straight between its readings.
    ///
    /// * `times_s`: times of the readings [s], rising
    /// * `temperatures_c`: as many temperatures [°C], -40 to 160
    ///
    /// # Errors
    /// As [`crate::lethality_min`].
    ///
    /// # Source
    /// `levenspiel`.
    pub fn over(&self, times_s: &[f64], temperatures_c: &[f64]) -> Result<f64, DoseError> {
        check_history(times_s, temperatures_c)?;
        let stretches = times_s.windows(2).zip(temperatures_c.windows(2));
        Ok(stretches.fold(0.0, |done, (t, c)| self.after(done, c[0], c[1], t[1] - t[0])))
    }

    /// The same law with another activation energy [J/mol], its rate at the reference kept.
    #[must_use]
    pub fn with_activation(self, activation_j_mol: f64) -> Self {
        Self {
            activation_j_mol,
            ..self
        }
    }

    /// How near a temperature [°C] is to what was measured, in the food it was measured in.
    #[must_use]
    pub fn standing(&self, c: f64) -> Standing {
        if c >= self.measured_c.0 && c <= self.measured_c.1 {
            Standing::Measured
        } else {
            Standing::OtherTemperatures
        }
    }
}

/// Activation energy [J/mol] from two times for the same effect.
///
/// ```text
/// E = R ln(t_a/t_b)/(1/T_a - 1/T_b)
/// ```
///
/// * `a_c`, `a_s`: lower temperature [°C] and its time [s]
/// * `b_c`, `b_s`: higher temperature [°C] and its shorter time [s]
///
/// # Errors
/// [`DoseError::OutOfRange`] when the hotter time is not the shorter one.
///
/// # Source
/// `levenspiel`, example 2.3.
pub fn activation_j_mol(a_c: f64, a_s: f64, b_c: f64, b_s: f64) -> Result<f64, DoseError> {
    let source = ACTIVATION.source;
    OutOfRange::check("lower temperature", a_c, -40.0, 160.0, "°C", source)?;
    OutOfRange::check("higher temperature", b_c, a_c.next_up(), 160.0, "°C", source)?;
    OutOfRange::check(
        "time at the higher temperature",
        b_s,
        f64::MIN_POSITIVE,
        f64::MAX,
        "s",
        source,
    )?;
    OutOfRange::check(
        "time at the lower temperature",
        a_s,
        b_s.next_up(),
        f64::MAX,
        "s",
        source,
    )?;
    Ok(GAS_J_MOLK * (a_s / b_s).ln() / (1.0 / (a_c + ZERO_C) - 1.0 / (b_c + ZERO_C)))
}

/// Rate [1/s] of a first-order change at the peak of a temperature scan.
///
/// ```text
/// k(T_p) = b E/(R T_p^2)
/// ```
///
/// * `peak_c`: peak of the scan [°C], -40 to 160
/// * `k_per_s`: heating rate b [K/s], above 0
/// * `activation_j_mol`: activation energy [J/mol], above 0
///
/// # Errors
/// [`DoseError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `kissinger_1957`, from memory: where the peak lies, the rate has its maximum.
pub fn rate_at_scan_peak_per_s(peak_c: f64, k_per_s: f64, activation_j_mol: f64) -> Result<f64, DoseError> {
    let source = SCAN_PEAK.source;
    OutOfRange::check("peak of the scan", peak_c, -40.0, 160.0, "°C", source)?;
    OutOfRange::check("heating rate", k_per_s, f64::MIN_POSITIVE, 100.0, "K/s", source)?;
    OutOfRange::check(
        "activation energy",
        activation_j_mol,
        f64::MIN_POSITIVE,
        1e7,
        "J/mol",
        source,
    )?;
    Ok(k_per_s * activation_j_mol / (GAS_J_MOLK * (peak_c + ZERO_C).powi(2)))
}
