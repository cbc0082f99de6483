//! Money as written in a file: `18.00`.

use std::fmt;

use super::problem::Fault;

/// An amount of the kitchen's currency, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Money {
    /// Millionths of the currency unit.
    pub millionths: i64,
}

const EXPECTED: &str = "money such as \"18.00\"";

impl Money {
    /// Reads `18`, `18.00`, `0.1545`: no sign, at most six decimals, up to a billion.
    ///
    /// # Errors
    /// A [`Fault`]: a currency sign, a comma, a minus, or not a number.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        let met = text.trim();
        let fault = |what: String| Fault::new(what, EXPECTED);
        if met.starts_with('-') {
            return Err(fault(format!("negative money \"{met}\"")));
        }
        if met.contains(',') {
            return Err(fault("a comma in money".into()).hint("write a decimal point and no thousands mark"));
        }
        let (units, decimals) = met.split_once('.').unwrap_or((met, ""));
        let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
        if units.is_empty() || !digits(units) || !digits(decimals) || met.ends_with('.') {
            return Err(fault(format!("\"{met}\" is not a number of currency units"))
                .hint("the currency stands once in the kitchen file"));
        }
        if units.len() > 9 || decimals.len() > 6 {
            return Err(Fault::new(
                format!("money \"{met}\" is out of range"),
                "below a billion, at most six decimals",
            ));
        }
        let number = format!("{units}{decimals:0<6}");
        number
            .parse()
            .map(|millionths| Self { millionths })
            .map_err(|_| fault(format!("\"{met}\" is not money")))
    }

    /// In currency units, for a plan's figures.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "below 1e15, which a double holds exactly")]
    pub fn units(self) -> f64 {
        self.millionths as f64 / 1e6
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = format!("{:06}", self.millionths % 1_000_000);
        let kept = decimals.trim_end_matches('0');
        write!(f, "{}.{kept:0<2}", self.millionths / 1_000_000)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn money_is_exact_to_its_last_decimal() {
        assert_eq!(Money::parse("0.1545"), Ok(Money { millionths: 154_500 }));
        assert_eq!(Money::parse("18"), Ok(Money { millionths: 18_000_000 }));
        assert_eq!(Money { millionths: 18_000_000 }.to_string(), "18.00");
        assert_eq!(Money { millionths: 154_500 }.to_string(), "0.1545");
    }

    #[test]
    fn what_is_not_plain_money_is_refused() {
        for text in [
            "",
            "-1",
            "1,50",
            "$3",
            "3.",
            ".5",
            "1e3",
            "1.1234567",
            "12345678901",
            "NaN",
            "3 USD",
        ] {
            assert!(Money::parse(text).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn money_written_is_read_back(millionths in 0i64..1_000_000_000_000_000) {
            let money = Money { millionths };
            prop_assert_eq!(Money::parse(&money.to_string()), Ok(money));
        }
    }
}
