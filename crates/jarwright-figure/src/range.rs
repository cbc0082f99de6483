//! The error of leaving an equation's range.

/// A quantity outside the range its equation or table was made for. Nothing is clamped.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// What was out of range, in words.
    pub quantity: &'static str,
    /// The value met.
    pub got: f64,
    /// Least value allowed.
    pub min: f64,
    /// Greatest value allowed.
    pub max: f64,
    /// Unit of the three numbers.
    pub unit: &'static str,
    /// Key of the source that sets the range, or of the equation.
    pub source: &'static str,
}

impl std::fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (min, max) = (short(self.min), short(self.max));
        let mut got = short(self.got);
        // A miss too small to show in three decimals is written out.
        if got == min || got == max {
            got = self.got.to_string();
        }
        write!(
            f,
            "{} {got} {unit} is outside {min} to {max} {unit} ({})",
            self.quantity,
            self.source,
            unit = self.unit
        )
    }
}

/// Three decimals at most, for people; very small and very large numbers by their powers of ten.
fn short(value: f64) -> String {
    if value != 0.0 && !(1e-3..1e9).contains(&value.abs()) {
        return format!("{value:.3e}");
    }
    let written = format!("{value:.3}");
    written.trim_end_matches('0').trim_end_matches('.').into()
}

impl std::error::Error for OutOfRange {}

impl OutOfRange {
    /// `Ok(got)` inside `min..=max`, else the error. NaN is outside.
    ///
    /// # Errors
    /// The value itself, outside its range.
    pub fn check(
        quantity: &'static str,
        got: f64,
        min: f64,
        max: f64,
        unit: &'static str,
        source: &'static str,
    ) -> Result<f64, Self> {
        if got >= min && got <= max {
            Ok(got)
        } else {
            Err(Self {
                quantity,
                got,
                min,
                max,
                unit,
                source,
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(got: f64) -> String {
        OutOfRange::check("boiling endpoint", got, 99.575_631, 101.809_103, "°C", "norrish_1966")
            .map_or_else(|e| e.to_string(), |v| v.to_string())
    }

    #[test]
    fn a_range_is_told_in_few_digits_and_a_hair_outside_it_in_all() {
        assert_eq!(
            said(104.0),
            "boiling endpoint 104 °C is outside 99.576 to 101.809 °C (norrish_1966)"
        );
        assert!(said(101.809_104).starts_with("boiling endpoint 101.809104 °C is outside"));
        assert_eq!(
            (short(1.4e-7).as_str(), short(0.0).as_str(), short(f64::NAN).as_str()),
            ("1.400e-7", "0", "NaN")
        );
    }
}
