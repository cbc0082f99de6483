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
    /// Dried vine fruit used [g per kg].
    VineFruitGPerKg,
    /// Share of the least of several fruits in all the fruit, by weight [-].
    ShareOfEachFruit,
    /// Number of kinds of fruit.
    KindsOfFruit,
    /// Sweetened by artificial sweeteners alone; a yes or no, no amount.
    ArtificialSweetener,
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
            "vine fruit g/kg" => Self::VineFruitGPerKg,
            "share of each fruit" => Self::ShareOfEachFruit,
            "kinds of fruit" => Self::KindsOfFruit,
            "artificial sweetener" => Self::ArtificialSweetener,
            _ => return None,
        })
    }
}

/// How the figures of several fruits become one for their mixture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mixed {
    /// Each fruit's figure weighed by its share of the fruit.
    InProportion,
    /// The lowest of them.
    Lowest,
    /// The highest of them: the law read does not say, so the strictest.
    Highest,
}

impl Mixed {
    /// Reads the word used in the table; a blank is the strictest.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Some(match text.trim() {
            "in proportion" => Self::InProportion,
            "lowest" => Self::Lowest,
            "" => Self::Highest,
            _ => return None,
        })
    }
}

/// One thing that a reserved name asks.
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
    /// Least amount; `None` beside an `at_most` of `None` = set by law, figure not read.
    pub at_least: Option<Cited>,
    /// Greatest amount, where there is one.
    pub at_most: Option<Cited>,
    /// How it stands for several fruits.
    pub mixed: Mixed,
    /// First day it applies, `YYYY-MM-DD`.
    pub from: Option<String>,
    /// Last day it applies, `YYYY-MM-DD`.
    pub until: Option<String>,
    /// Key of the source.
    pub source: String,
    /// Place in the source.
    pub place: String,
}

impl Identity {
    /// Whether the row applies on a day (`YYYY-MM-DD`).
    #[must_use]
    pub fn applies(&self, day: &str) -> bool {
        self.from.as_deref().is_none_or(|from| from <= day) && self.until.as_deref().is_none_or(|until| day <= until)
    }

    /// How many words of the ingredient's name the row's best fitting fruit has; `None` when the
    /// row names other fruits, 0 when it is for every fruit.
    #[must_use]
    pub fn fits(&self, ingredient: &str) -> Option<usize> {
        if self.fruit.is_empty() {
            return Some(0);
        }
        let words = plain_words(ingredient);
        self.fruit
            .iter()
            .map(|fruit| plain_words(fruit))
            .filter(|fruit| fruit.iter().all(|word| words.contains(word)))
            .map(|fruit| fruit.len())
            .max()
    }
}

/// Everything known that reserved names ask.
pub fn identities() -> &'static [Identity] {
    static ROWS: OnceLock<Vec<Identity>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// What a name asks in a market on a day, for a fruit where fruits differ.
///
/// The row that names the fruit closest goes before the row for every other fruit. `None` =
/// nothing known; that is not the same as nothing asked. A row without a figure is the same.
#[must_use]
pub fn identity(market: Market, name: &str, counted: Counted, fruit: &str, day: &str) -> Option<&'static Identity> {
    identities()
        .iter()
        .filter(|row| {
            row.market == market
                && row.name.eq_ignore_ascii_case(name.trim())
                && row.counted == counted
                && row.applies(day)
        })
        .filter_map(|row| row.fits(fruit).map(|fit| (fit, row)))
        // The first of equals.
        .rev()
        .max_by_key(|(fit, _)| *fit)
        .map(|(_, row)| row)
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
            at_least: cell::maybe(&row.text("at_least")?, &source, &place)?,
            at_most: cell::maybe(&row.text("at_most")?, &source, &place)?,
            mixed: row.word("mixed", Mixed::parse)?,
            from: cell::filled(row.text("from")?),
            until: cell::filled(row.text("until")?),
            source: source.clone(),
            place: place.clone(),
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
            assert!(crate::source(&row.source).is_some(), "{}", row.source);
        }
    }

    fn least(name: &str, fruit: &str, day: &str) -> Option<f64> {
        let row = identity(Market::Eu, name, Counted::FruitGPerKg, fruit, day)?;
        row.at_least.as_ref().map(|cited| cited.value)
    }

    #[test]
    fn the_fruit_minimum_of_jam_rises_in_the_european_union_on_14_june_2026() {
        assert_eq!(least("jam", "strawberries", "2026-06-13"), Some(350.0));
        assert_eq!(least("jam", "strawberries", "2026-06-14"), Some(450.0));
    }

    #[test]
    fn a_fruit_whose_new_minimum_was_not_read_is_unknown() {
        assert_eq!(least("jam", "quince", "2026-06-13"), Some(250.0));
        assert_eq!(least("jam", "quince", "2026-06-14"), None);
        assert!(identity(Market::Eu, "jam", Counted::FruitGPerKg, "quince", "2026-06-14").is_some());
    }

    #[test]
    fn the_row_that_names_the_fruit_closest_holds() {
        let share = |fruit| {
            identity(Market::Us, "marmalade", Counted::FruitShare, fruit, "2026-09-01")
                .and_then(|row| row.at_least.as_ref())
                .map(|cited| cited.value)
        };
        assert_eq!(share("oranges, Seville"), Some(0.25));
        assert_eq!(share("oranges"), Some(0.3));
        assert_eq!(share("strawberries"), None);
    }

    #[test]
    fn a_figure_is_at_least_nothing_and_never_above_its_greatest() {
        for row in identities() {
            let least = row.at_least.as_ref().map_or(0.0, |cited| cited.value);
            let most = row.at_most.as_ref().map_or(f64::INFINITY, |cited| cited.value);
            assert!(0.0 <= least && least <= most, "{} {:?}", row.name, row.counted);
        }
    }
}
