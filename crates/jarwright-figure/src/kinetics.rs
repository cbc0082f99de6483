//! Where heat meets what heat does: the trait a pot integrates.

/// Changes that time and temperature make, as a few shares between 0 and 1.
///
/// Whoever moves heat carries a state along and knows nothing of what it means; whoever knows
/// the rates implements this and knows nothing of the pot.
pub trait Kinetics {
    /// Names of the shares, in the order of a state; a state has as many numbers.
    fn shares(&self) -> &'static [&'static str];

    /// Carries a state through a stretch of time in which the temperature runs straight.
    ///
    /// * `state`: shares, as many as [`Self::shares`] names; changed in place
    /// * `from_c`, `to_c`: temperature at the stretch's ends [°C]
    /// * `seconds`: its length [s], 0 or more
    fn advance(&self, state: &mut [f64], from_c: f64, to_c: f64, seconds: f64);

    /// How many times thicker (in viscosity) a state has made the food, 1 for an untouched one.
    fn thickening(&self, state: &[f64]) -> f64;
}

/// Nothing happens: a food whose changes nobody follows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Unchanging;

impl Kinetics for Unchanging {
    fn shares(&self) -> &'static [&'static str] {
        &[]
    }

    fn advance(&self, _state: &mut [f64], _from_c: f64, _to_c: f64, _seconds: f64) {}

    fn thickening(&self, _state: &[f64]) -> f64 {
        1.0
    }
}
