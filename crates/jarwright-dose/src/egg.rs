//! Egg in a pot: it sets, and where it gets too hot it scrambles.

use jarwright_figure::{Equation, Kinetics, OutOfRange};

use crate::DoseError;
use crate::change::Change;
use crate::lethality::check_history;
use crate::rate_law::Standing;

/// Registry entry of [`EggSetting`].
pub static EGG_SETTING: Equation = Equation {
    key: "egg-setting",
    title: "Egg setting and scrambling in a sweet food",
    text: "yolk's and white's laws at T - shift, shift by sugar and dilution; viscosity x 50^set",
    source: "mcgee_on_food",
};

/// How far sugar and dilution lift the setting of egg [K]: low, usual, high.
///
/// # Source
/// `mcgee_on_food`: a custard coagulates 10 to 20 °F above undiluted egg; the middle is usual. A curd has five times
/// a custard's sugar and acid besides, and nobody has measured it: fit it to the own kitchen
/// with [`sugar_shift_that_sets_k`].
pub const SUGAR_SHIFT_K: (f64, f64, f64) = (10.0 / 1.8, 15.0 / 1.8, 20.0 / 1.8);

/// Greatest shift that is looked for [K].
const MOST_SHIFT_K: f64 = 25.0;

/// How many times thicker a curd is when it has set.
///
/// # Source
/// `common_practice`: it runs off the spoon before and mounds after; from memory.
const SET_THICKENS: f64 = 50.0;

/// Egg that sets and scrambles in a food with sugar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EggSetting {
    shift_k: f64,
}

impl EggSetting {
    /// Egg in a food whose sugar lifts its setting by `shift_k` [K], 0 to 25.
    ///
    /// # Errors
    /// [`DoseError::OutOfRange`] outside that.
    ///
    /// # Source
    /// [`SUGAR_SHIFT_K`] says what is printed.
    pub fn new(shift_k: f64) -> Result<Self, DoseError> {
        let shift_k = OutOfRange::check("sugar's shift", shift_k, 0.0, MOST_SHIFT_K, "K", EGG_SETTING.source)?;
        Ok(Self { shift_k })
    }

    /// Shift [K].
    #[must_use]
    pub fn shift_k(&self) -> f64 {
        self.shift_k
    }

    /// How near this is to what was measured: plain egg at a measured temperature, or a food that
    /// nobody has looked at.
    #[must_use]
    pub fn standing(&self, c: f64) -> Standing {
        if self.shift_k > 0.0 {
            Standing::Extrapolated
        } else {
            Change::YolkSets.law().standing(c)
        }
    }

    /// Temperature [°C] at which half of the egg would scramble in a time [s]: the scramble's side
    /// of the margin.
    ///
    /// # Errors
    /// [`DoseError::OutOfRange`] for a time that is not from 0.1 s to a day.
    ///
    /// # Source
    /// [`Change::EggCurdles`], turned round.
    pub fn half_scrambles_c(&self, seconds: f64) -> Result<f64, DoseError> {
        self.half_c(Change::EggCurdles, seconds)
    }

    /// Temperature [°C] at which half of the egg would set in a time [s].
    ///
    /// # Errors
    /// As [`EggSetting::half_scrambles_c`].
    ///
    /// # Source
    /// [`Change::YolkSets`], turned round.
    pub fn half_sets_c(&self, seconds: f64) -> Result<f64, DoseError> {
        self.half_c(Change::YolkSets, seconds)
    }

    fn half_c(&self, change: Change, seconds: f64) -> Result<f64, DoseError> {
        let seconds = OutOfRange::check("time", seconds, 0.1, 86_400.0, "s", EGG_SETTING.source)?;
        let law = change.law();
        let (mut low, mut high) = (40.0, 140.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if law.rate_per_s(middle) * seconds < std::f64::consts::LN_2 {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(0.5 * (low + high) + self.shift_k)
    }
}

impl Kinetics for EggSetting {
    fn shares(&self) -> &'static [&'static str] {
        &["set", "scrambled"]
    }

    fn advance(&self, state: &mut [f64], from_c: f64, to_c: f64, seconds: f64) {
        for (share, change) in state.iter_mut().zip([Change::YolkSets, Change::EggCurdles]) {
            *share = change
                .law()
                .after(*share, from_c - self.shift_k, to_c - self.shift_k, seconds);
        }
    }

    fn thickening(&self, state: &[f64]) -> f64 {
        SET_THICKENS.powf(state.first().copied().unwrap_or(0.0).clamp(0.0, 1.0))
    }
}

/// The sugar's shift [K] with which a measured history sets to a share: the fit to the own kitchen.
///
/// * `times_s`, `temperatures_c`: thermometer in the middle up to where the cook called it set
/// * `set_share`: how far that is, above 0 and below 1; a half is a fair reading of "coats a spoon"
///
/// # Errors
/// [`DoseError`] for a history that is none; [`DoseError::OutOfRange`] where even plain egg would
/// not have set so far, or egg with a shift of 25 K would have set further.
///
/// # Source
/// [`Change::YolkSets`] turned round by halving.
pub fn sugar_shift_that_sets_k(times_s: &[f64], temperatures_c: &[f64], set_share: f64) -> Result<f64, DoseError> {
    check_history(times_s, temperatures_c)?;
    OutOfRange::check("share set", set_share, 1e-3, 0.999, "1", EGG_SETTING.source)?;
    let set = |shift_k: f64| -> Result<f64, DoseError> {
        let shifted: Vec<f64> = temperatures_c.iter().map(|c| c - shift_k).collect();
        Change::YolkSets.law().over(times_s, &shifted)
    };
    OutOfRange::check(
        "share set",
        set_share,
        set(MOST_SHIFT_K)?,
        set(0.0)?,
        "1",
        EGG_SETTING.source,
    )?;
    let (mut low, mut high) = (0.0, MOST_SHIFT_K);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if set(middle)? > set_share {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shift_is_found_again_from_the_history_it_made() -> Result<(), DoseError> {
        let (times, c) = ([0.0, 600.0, 900.0], [20.0, 70.0, 77.0]);
        for shift_k in [2.0, 8.0, 12.0] {
            let egg = EggSetting::new(shift_k)?;
            let mut state = [0.0, 0.0];
            egg.advance(&mut state, 20.0, 70.0, 600.0);
            egg.advance(&mut state, 70.0, 77.0, 300.0);
            let found = sugar_shift_that_sets_k(&times, &c, state[0])?;
            assert!((found - shift_k).abs() < 1e-3, "{found} for {shift_k}");
        }
        Ok(())
    }

    #[test]
    fn a_cold_history_sets_nothing_and_has_no_shift() {
        assert!(sugar_shift_that_sets_k(&[0.0, 600.0], &[20.0, 30.0], 0.5).is_err());
        assert!(EggSetting::new(f64::NAN).is_err() && EggSetting::new(-1.0).is_err());
    }

    #[test]
    fn egg_scrambles_later_than_it_sets_and_sugar_puts_both_off() -> Result<(), DoseError> {
        let state = |shift_k: f64, c: f64| -> Result<[f64; 2], DoseError> {
            let mut state = [0.0, 0.0];
            EggSetting::new(shift_k)?.advance(&mut state, c, c, 120.0);
            Ok(state)
        };
        let plain = state(0.0, 72.0)?;
        assert!(plain[0] > 0.4 && plain[1] < plain[0]);
        let sweet = state(8.0, 72.0)?;
        assert!(sweet[0] < plain[0] && sweet[1] < plain[1]);
        assert_eq!(EggSetting::new(8.0)?.standing(72.0), Standing::Extrapolated);
        let (quick, slow) = (
            EggSetting::new(8.0)?.half_scrambles_c(5.0)?,
            EggSetting::new(8.0)?.half_scrambles_c(60.0)?,
        );
        assert!(quick > slow && slow > 80.0);
        // Held where half of it sets in a time, half of it has set after that time.
        let egg = EggSetting::new(8.0)?;
        let half_c = egg.half_sets_c(60.0)?;
        let mut half = [0.0, 0.0];
        egg.advance(&mut half, half_c, half_c, 60.0);
        assert!((half[0] - 0.5).abs() < 1e-6 && half_c < slow, "{half:?} at {half_c}");
        Ok(())
    }
}
