//! One root of a rising function.

use crate::HeatError;

/// Where a rising function meets a value: regula falsi with halved ends (Illinois), bounded.
pub(crate) fn rising_root(
    mut low: f64,
    mut high: f64,
    value: f64,
    within: f64,
    f: impl Fn(f64) -> Result<f64, HeatError>,
) -> Result<f64, HeatError> {
    let mut at_low = f(low)? - value;
    let mut at_high = f(high)? - value;
    if at_low >= 0.0 {
        return Ok(low);
    }
    let mut kept_high = false;
    let mut kept_low = false;
    let mut middle = high;
    for _ in 0..80 {
        if at_high.abs() <= within {
            return Ok(high);
        }
        middle = (low * at_high - high * at_low) / (at_high - at_low);
        let here = f(middle)? - value;
        if here.abs() <= within {
            return Ok(middle);
        }
        if here < 0.0 {
            low = middle;
            at_low = here;
            if kept_high {
                at_high *= 0.5;
            }
            (kept_high, kept_low) = (true, false);
        } else {
            high = middle;
            at_high = here;
            if kept_low {
                at_low *= 0.5;
            }
            (kept_high, kept_low) = (false, true);
        }
    }
    Ok(middle)
}
