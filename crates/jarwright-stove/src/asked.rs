//! What a person says about a log that the log may not say itself.

use jarwright_dose::LethalTarget;

use crate::ReadError;
use crate::number::{DecimalMark, Degrees, dressed};
use crate::stamp::DateOrder;

/// What bare times count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimesCount {
    /// Times of day.
    Clock,
    /// Seconds since some start.
    Seconds,
    /// Minutes since some start; `75:30` is minutes and seconds.
    Minutes,
    /// Hours since some start; `75:30` is hours and minutes.
    Hours,
    /// Days since some start, as spreadsheets count.
    Days,
}

impl TimesCount {
    /// Seconds in one; `None` for a time of day.
    #[must_use]
    pub const fn seconds(self) -> Option<f64> {
        match self {
            Self::Clock => None,
            Self::Seconds => Some(1.0),
            Self::Minutes => Some(60.0),
            Self::Hours => Some(3600.0),
            Self::Days => Some(86_400.0),
        }
    }
}

/// Answers to what a file leaves open, and what to work out from it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asked {
    /// The file's name, as figures name it.
    pub name: String,
    /// Heading or number (from 1) of the column that is the bath, air or other medium.
    pub medium: Option<String>,
    /// Temperature of the heating medium where no column has it, such as `100` or `212 F`.
    pub medium_at: Option<String>,
    /// Temperature of the cooling medium, likewise.
    pub cooling_at: Option<String>,
    /// When heat was turned on, as the log writes times; readings before it are left out.
    pub zero: Option<String>,
    /// When heat was turned off or the jars were taken out, likewise.
    pub off: Option<String>,
    /// Order of day and month.
    pub dates: Option<DateOrder>,
    /// Decimal mark.
    pub decimal: Option<DecimalMark>,
    /// Unit of temperatures that have none.
    pub unit: Option<Degrees>,
    /// What bare times count.
    pub times: Option<TimesCount>,
    /// Lethalities wanted, `REF:Z`, such as `93.3:8.9` or `200F:16F`.
    pub lethality: Vec<String>,
}

/// A temperature or difference an option gives, in the log's unit unless it has its own.
fn number(option: &'static str, text: &str, unit: Option<Degrees>) -> Result<(f64, Degrees), ReadError> {
    let read = dressed(text.trim().as_bytes(), DecimalMark::Point).filter(|(value, _)| value.is_finite());
    let Some((value, own)) = read else {
        return Err(ReadError::Option {
            option,
            what: format!("\"{text}\" is no temperature"),
            hint: "write a plain number, with C or F after it where the log's unit is not meant".into(),
        });
    };
    match own.or(unit) {
        Some(unit) => Ok((value, unit)),
        None => Err(ReadError::Question {
            question: format!("{option} {text}: the log's probes have different units; is this °C or °F?"),
            option: "C or F written behind the number",
        }),
    }
}

/// A temperature [°C] from an option.
pub(crate) fn temperature_c(option: &'static str, text: &str, unit: Option<Degrees>) -> Result<f64, ReadError> {
    let (value, unit) = number(option, text, unit)?;
    let c = unit.to_c(value);
    if (-60.0..=160.0).contains(&c) {
        Ok(c)
    } else {
        Err(ReadError::Option {
            option,
            what: format!("{text} is {c:.0} °C, outside -60 to 160 °C"),
            hint: "give the temperature of the bath, the air or the water".into(),
        })
    }
}

/// Lethal target from `REF:Z`.
pub(crate) fn target(text: &str, unit: Option<Degrees>) -> Result<LethalTarget, ReadError> {
    let Some((reference, z)) = text.split_once(':') else {
        return Err(ReadError::Option {
            option: "--lethality",
            what: format!("\"{text}\" has no colon between reference temperature and z"),
            hint: "write REF:Z, such as 93.3:8.9 or 200F:16F".into(),
        });
    };
    let (reference, its_unit) = number("--lethality", reference, unit)?;
    let (z, z_unit) = number("--lethality", z, Some(its_unit))?;
    LethalTarget::new(its_unit.to_c(reference), z_unit.to_k(z)).map_err(ReadError::Dose)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_target_is_the_same_in_either_unit() -> Result<(), ReadError> {
        let by_log = target("200:16", Some(Degrees::Fahrenheit))?;
        for text in ["200F:16F", "200 °F:16 °F", "200F:16"] {
            assert_eq!(target(text, Some(Degrees::Celsius))?, by_log, "{text}");
        }
        assert!((by_log.ref_c - 93.333).abs() < 1e-3 && (by_log.z_k - 8.889).abs() < 1e-3);
        Ok(())
    }

    #[test]
    fn what_is_no_target_is_refused() {
        for text in ["93.3", "hot:10", "93.3:0", "93.3:", "1e9:10", ""] {
            assert!(target(text, Some(Degrees::Celsius)).is_err(), "{text}");
        }
        assert!(matches!(target("93:9", None), Err(ReadError::Question { .. })));
    }
}
