//! Values a plan has to assume until the kitchen measures its own, and where print clashes.

use std::collections::HashMap;
use std::sync::OnceLock;

use jarwright_figure::{Cited, Mark, Unit};

use crate::table::{self, Table};

/// One assumed value.
#[derive(Debug, Clone, PartialEq)]
pub struct Practice {
    /// Key, such as `hand_fill_jars_per_min`.
    pub key: String,
    /// Name people read.
    pub name: String,
    /// Unit of the value.
    pub unit: Unit,
    /// The value with its range and mark.
    pub value: Cited,
}

/// Two things said of one matter.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// The matter.
    pub subject: String,
    /// What the tested or lawful document says.
    pub published: String,
    /// What else is said or done.
    pub other: String,
    /// Key of the document.
    pub source: String,
    /// Place, and who says the other thing.
    pub place: String,
    /// How it is known.
    pub mark: Mark,
}

/// Every assumed value.
pub fn practices() -> &'static [Practice] {
    static ROWS: OnceLock<Vec<Practice>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// The assumed value of a key, or `None` when there is none.
#[must_use]
pub fn practice(key: &str) -> Option<&'static Practice> {
    static BY_KEY: OnceLock<HashMap<&'static str, &'static Practice>> = OnceLock::new();
    BY_KEY
        .get_or_init(|| practices().iter().map(|row| (row.key.as_str(), row)).collect())
        .get(key)
        .copied()
}

/// Where published guidance and other guidance or habit disagree.
pub fn clashes() -> &'static [Clash] {
    static ROWS: OnceLock<Vec<Clash>> = OnceLock::new();
    ROWS.get_or_init(|| load_clashes().rows)
}

fn unit(symbol: &str) -> Option<Unit> {
    [
        Unit::One,
        Unit::Count,
        Unit::Percent,
        Unit::Gram,
        Unit::Millimetre,
        Unit::Celsius,
        Unit::Kelvin,
        Unit::Second,
        Unit::Minute,
        Unit::Hour,
        Unit::Day,
        Unit::Watt,
        Unit::Brix,
        Unit::Ph,
        Unit::WattPerSquareMetreKelvin,
        Unit::JarsPerMinute,
        Unit::WattPerMetreKelvin,
        Unit::KilogramPerCubicMetre,
        Unit::JoulePerKilogramKelvin,
        Unit::Litre,
        Unit::Kilogram,
    ]
    .into_iter()
    .find(|unit| unit.symbol() == symbol)
}

fn load() -> Table<Practice> {
    table::read(include_str!("../data/practice/assumed.csv"), |row| {
        Ok(Practice {
            key: row.text("key")?,
            name: row.text("name")?,
            unit: row.word("unit", unit)?,
            value: row.cited()?,
        })
    })
}

fn load_clashes() -> Table<Clash> {
    table::read(include_str!("../data/practice/clashes.csv"), |row| {
        Ok(Clash {
            subject: row.text("subject")?,
            published: row.text("published")?,
            other: row.text("other")?,
            source: row.text("source")?,
            place: row.text("place")?,
            mark: row.word("mark", Mark::parse)?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_practice_tables_can_be_read_and_names_its_source() {
        assert_eq!(load().faults, Vec::<String>::new());
        assert_eq!(load_clashes().faults, Vec::<String>::new());
        for row in practices() {
            assert!(crate::source(&row.value.source).is_some(), "{}", row.value.source);
        }
        for row in clashes() {
            assert!(crate::source(&row.source).is_some(), "{}", row.source);
        }
    }

    #[test]
    fn keys_are_unique() {
        let keys: std::collections::HashSet<_> = practices().iter().map(|row| &row.key).collect();
        assert_eq!(keys.len(), practices().len());
    }

    #[test]
    fn the_values_every_plan_asks_for_are_there() {
        for key in [
            "seal_failure",
            "seal_failure_load_correlation",
            "hand_fill_jars_per_min",
            "pot_film_mm",
            "sieve_keeps_g",
            "unload_reload_min",
            "rest_in_bath_min",
            "seal_wait_h",
            "ph_wait_h",
            "prep_min",
            "gas_efficiency",
            "coil_efficiency",
            "induction_efficiency",
            "steam_bowl_u_w_m2k",
            "pot_fill_share",
            "boiling_pot_fill_share",
            "thermometer_half_width_c",
            "ph_meter_half_width",
            "room_c",
            "supply_water_c",
            "egg_amide_fraction",
        ] {
            assert!(practice(key).is_some(), "{key}");
        }
    }
}
