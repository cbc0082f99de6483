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
        write!(
            f,
            "{} {:.4} {} is outside {} to {} {} ({})",
            self.quantity, self.got, self.unit, self.min, self.max, self.unit, self.source
        )
    }
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
