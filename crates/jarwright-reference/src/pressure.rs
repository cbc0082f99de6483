//! Published pressure-canner alternates to a bath at the boil.
//!
//! Altitude raises the pressure, not the time. Shown beside the bath; the program plans baths.

use std::sync::OnceLock;

use jarwright_figure::Cited;

use crate::cell;
use crate::table::{self, Table};

/// Pressure for one food, jar and band of altitude.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureBand {
    /// Food in the trade's words.
    pub product: String,
    /// Jar by name.
    pub jar: String,
    /// Process time [min].
    pub minutes: Cited,
    /// Above this altitude [ft].
    pub above_ft: f64,
    /// Up to and with this altitude [ft].
    pub to_ft: f64,
    /// Gauge pressure of a dial-gauge canner [psi].
    pub psi: Cited,
}

/// Every band known.
pub fn pressure_bands() -> &'static [PressureBand] {
    static ROWS: OnceLock<Vec<PressureBand>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

fn load() -> Table<PressureBand> {
    table::read(include_str!("../data/schedules/pressure_1997.csv"), |row| {
        let (source, place) = (row.text("source")?, row.text("place")?);
        Ok(PressureBand {
            product: row.text("product")?,
            jar: row.text("jar")?,
            minutes: cell::cited(&row.text("minutes")?, &source, &place)?,
            above_ft: row.number("above_ft")?,
            to_ft: row.number("to_ft")?,
            psi: cell::cited(&row.text("psi")?, &source, &place)?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_pressure_table_can_be_read_and_names_its_source_and_jar() {
        assert_eq!(load().faults, Vec::<String>::new());
        for row in pressure_bands() {
            assert!(crate::source(&row.psi.source).is_some() && crate::jar(&row.jar).is_some());
            assert!(row.to_ft > row.above_ft);
        }
    }
}
