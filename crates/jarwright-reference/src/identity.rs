//! What a reserved name asks of the food that bears it.

use std::sync::OnceLock;

use jarwright_figure::Cited;

use crate::cell;
use crate::jam_group::plain_words;
use crate::table::{self, Table};
use crate::{FoodClass, Market};

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// Fruit used [g per kg of finished food].
    FruitGPerKg,
    /// Citrus endocarp used [g per kg].
    EndocarpGPerKg,
    /// Soluble solids by refractometer at 20 °C [°Brix].
    Brix,
    /// Fat and oil [g per kg].
    FatGPerKg,
    /// Egg-yolk solids [g per kg].
    YolkSolidsGPerKg,
    /// Fruit in fruit plus sweetener, by weight [-].
    FruitShare,
}

impl Counted {
    /// Reads the word used in the table.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Some(match text.trim() {
            "fruit g/kg" => Self::FruitGPerKg,
            "endocarp g/kg" => Self::EndocarpGPerKg,
            "brix" => Self::Brix,
            "fat g/kg" => Self::FatGPerKg,
            "yolk solids g/kg" => Self::YolkSolidsGPerKg,
            "fruit share" => Self::FruitShare,
            _ => return None,
        })
    }
}

/// One minimum that a reserved name carries.
#[derive(Debug, Clone, PartialEq)]
pub struct Identity {
    /// Market whose law reserves the name.
    pub market: Market,
    /// The reserved name, such as `extra jam`.
    pub name: String,
    /// Class of food.
    pub food: FoodClass,
    /// Fruits the row is for; empty = every fruit without a row of its own.
    pub fruit: Vec<String>,
    /// What is counted.
    pub counted: Counted,
    /// Least amount.
    pub at_least: Cited,
    /// First day it applies, `YYYY-MM-DD`.
    pub from: Option<String>,
    /// Last day it applies, `YYYY-MM-DD`.
    pub until: Option<String>,
}

/// Every minimum known.
pub fn identities() -> &'static [Identity] {
    static ROWS: OnceLock<Vec<Identity>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// The minimum that a name carries in a market on a day, for a fruit where fruits differ.
///
/// The row that names the fruit goes before the row for every other fruit. `None` = no minimum
/// known; that is not the same as none set.
#[must_use]
pub fn identity(market: Market, name: &str, counted: Counted, fruit: &str, day: &str) -> Option<&'static Identity> {
    let words = plain_words(fruit);
    let named = |row: &Identity| {
        row.fruit
            .iter()
            .any(|name| plain_words(name).iter().all(|word| words.contains(word)))
    };
    let rows = || {
        identities().iter().filter(|row| {
            row.market == market
                && row.name.eq_ignore_ascii_case(name.trim())
                && row.counted == counted
                && row.from.as_deref().is_none_or(|from| from <= day)
                && row.until.as_deref().is_none_or(|until| day <= until)
        })
    };
    if let Some(row) = rows().find(|row| named(row)) {
        return Some(row);
    }
    // A fruit that another day's law sets apart may be set apart on this day too, at a figure
    // that was not read: then nothing is known.
    let set_apart = identities().iter().any(|row| {
        row.market == market && row.name.eq_ignore_ascii_case(name.trim()) && row.counted == counted && named(row)
    });
    if set_apart {
        None
    } else {
        rows().find(|row| row.fruit.is_empty())
    }
}

fn load() -> Table<Identity> {
    table::read(include_str!("../data/rules/identity.csv"), |row| {
        let (source, place) = (row.text("source")?, row.text("place")?);
        Ok(Identity {
            market: row.word("market", Market::parse)?,
            name: row.text("name")?,
            food: row.word("food", FoodClass::parse)?,
            fruit: row.list("fruit")?,
            counted: row.word("counted", Counted::parse)?,
            at_least: cell::cited(&row.text("at_least")?, &source, &place)?,
            from: cell::filled(row.text("from")?),
            until: cell::filled(row.text("until")?),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_identity_table_can_be_read() {
        assert_eq!(load().faults, Vec::<String>::new());
        for row in identities() {
            assert!(crate::source(&row.at_least.source).is_some(), "{}", row.at_least.source);
        }
    }

    #[test]
    fn the_fruit_minimum_of_jam_rises_in_the_european_union_on_14_june_2026() {
        let at =
            |day| identity(Market::Eu, "jam", Counted::FruitGPerKg, "strawberries", day).map(|row| row.at_least.value);
        assert_eq!(at("2026-06-13"), Some(350.0));
        assert_eq!(at("2026-06-14"), Some(450.0));
    }

    #[test]
    fn a_fruit_whose_new_minimum_was_not_read_is_unknown() {
        let at = |day| identity(Market::Eu, "jam", Counted::FruitGPerKg, "quince", day).map(|row| row.at_least.value);
        assert_eq!(at("2026-06-13"), Some(250.0));
        assert_eq!(at("2026-06-14"), None);
    }
}
