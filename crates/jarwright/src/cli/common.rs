//! Options that several commands take, and what they stand for.

use std::path::PathBuf;

use clap::ValueEnum;
use jarwright_kitchen::files::quantity;
use jarwright_kitchen::{Law, Use};
use jarwright_papers::words::fahrenheit;
use jiff::civil::DateTime;

use crate::data_dir::DataDir;
use crate::exit::Stop;
use crate::when;

/// Where the files are.
#[derive(Debug, clap::Args)]
pub(super) struct Files {
    /// Kitchen file [default: kitchen.toml in the data folder]
    #[arg(long, value_name = "FILE")]
    kitchen: Option<PathBuf>,
    /// Stores file [default: stores.toml in the data folder]
    #[arg(long, value_name = "FILE")]
    stores: Option<PathBuf>,
    /// Data folder [default: JARWRIGHT_DATA, else the platform's usual place]
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
}

impl Files {
    /// The file of a formula, by its path or its name in the data folder.
    pub(super) fn formula(&self, name: &str) -> Result<PathBuf, Stop> {
        // Only what is not named on the command line has to be in a data folder.
        match DataDir::find(self.data.as_deref()) {
            Ok(data) => data.formula(name),
            Err(_) => Ok(PathBuf::from(name)),
        }
    }

    /// The kitchen file.
    pub(super) fn kitchen(&self) -> Result<PathBuf, Stop> {
        match &self.kitchen {
            Some(kitchen) => Ok(kitchen.clone()),
            None => Ok(DataDir::find(self.data.as_deref())?.kitchen()),
        }
    }

    /// The stores file, named or where it usually is; `Err` is the usual place where none is.
    pub(super) fn stores(&self) -> Result<PathBuf, Option<PathBuf>> {
        if let Some(stores) = &self.stores {
            return Ok(stores.clone());
        }
        match DataDir::find(self.data.as_deref()) {
            Ok(data) if data.stores().symlink_metadata().is_ok() => Ok(data.stores()),
            Ok(data) => Err(Some(data.stores())),
            Err(_) => Err(None),
        }
    }
}

/// The time it is, by `--now` or the computer's clock.
pub(super) fn now(option: Option<&str>) -> Result<DateTime, Stop> {
    match option {
        Some(text) => when::fixed(text).map_err(|fault| fault_of("--now", &fault)),
        None => Ok(when::now()),
    }
}

/// A fault of an option: `what: hint` as the reader of its text says it.
pub(super) fn fault_of(option: &str, fault: &str) -> Stop {
    let (what, hint) = fault.split_once(": ").unwrap_or((fault, ""));
    Stop::asked(format!("{option}: {what}"), hint)
}

/// For whom the jars are, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum ForUse {
    /// For sale
    Sale,
    /// For the own table
    OwnUse,
}

impl ForUse {
    /// The use meant.
    pub(super) const fn meant(self) -> Use {
        match self {
            Self::Sale => Use::Sale,
            Self::OwnUse => Use::OwnUse,
        }
    }
}

/// Whose law, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[value(rename_all = "UPPER")]
pub(super) enum Market {
    /// United States
    Us,
    /// European Union
    Eu,
    /// United Kingdom
    Uk,
}

impl Market {
    /// The law meant.
    pub(super) const fn law(self) -> Law {
        match self {
            Self::Us => Law::Us,
            Self::Eu => Law::Eu,
            Self::Uk => Law::Uk,
        }
    }
}

/// Stage of the food, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Stage {
    /// Everything weighed, nothing heated
    Weighed,
    /// At the endpoint, before sieve and jar
    Cooked,
    /// In the jar
    Filled,
}

/// Height of a kitchen [m].
pub(super) fn altitude_m(text: &str) -> Result<f64, String> {
    between(text, -430.0, 5000.0, "metres above sea level, from -430 to 5000")
}

/// A temperature [°C] between two: a bare number is °C, `85C` and `185F` say their scale.
pub(super) fn temperature_c(text: &str, least_c: f64, most_c: f64) -> Result<f64, String> {
    let bare = text.trim().parse::<f64>().ok();
    bare.or_else(|| quantity::temperature_c(text).ok())
        .filter(|c| (least_c..=most_c).contains(c))
        .ok_or_else(|| {
            format!(
                "write a temperature from {least_c} to {most_c} °C ({:.0} to {:.0} °F): a bare number is °C, 85C and \
                 185F say their scale",
                fahrenheit(least_c),
                fahrenheit(most_c)
            )
        })
}

/// A plain number in a range.
pub(super) fn between(text: &str, least: f64, most: f64, words: &str) -> Result<f64, String> {
    text.trim()
        .parse::<f64>()
        .ok()
        .filter(|value| (least..=most).contains(value))
        .ok_or_else(|| format!("write a plain number of {words}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_temperature_is_celsius_unless_it_says_its_scale() {
        // NIST SP 811 (2008), B.8: t/°C = (t/°F - 32)/1.8, so 185 °F is 85 °C and -40 the same.
        for (text, c) in [
            ("85", 85.0),
            ("85C", 85.0),
            ("85 °C", 85.0),
            ("185F", 85.0),
            ("185 f", 85.0),
            ("-40F", -40.0),
        ] {
            let read = temperature_c(text, -40.0, 100.0);
            assert!(read.is_ok_and(|read| (read - c).abs() < 1e-9), "{text}");
        }
        for text in ["", "F", "NaN", "inf", "101", "101C", "213F", "85K", "185 G", "85C:3"] {
            let fault = temperature_c(text, -40.0, 100.0);
            assert!(fault.is_err_and(|why| why.contains("-40 to 212 °F")), "{text}");
        }
    }
}
