//! How long food keeps, as published. Documents that disagree stand side by side.

use std::sync::OnceLock;

use jarwright_figure::Cited;

use crate::table::{self, Table};
use crate::{FoodClass, ForUse, Market, Route};

/// What a keeping time says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum KeepingKind {
    /// Not to be eaten or sold after it.
    Limit,
    /// Best before it.
    Best,
}

impl KeepingKind {
    /// Reads `limit` or `best`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        match text.trim() {
            "limit" => Some(Self::Limit),
            "best" => Some(Self::Best),
            _ => None,
        }
    }
}

/// One published keeping time.
#[derive(Debug, Clone, PartialEq)]
pub struct Keeping {
    /// Class of food; `None` = any.
    pub food: Option<FoodClass>,
    /// Route.
    pub route: Route,
    /// Market of the rule.
    pub market: Market,
    /// For sale, own use or both.
    pub for_use: ForUse,
    /// Days [d].
    pub days: Cited,
    /// Under what condition: `canned, inside its schedule`, `opened`, ...
    pub condition: String,
    /// Limit or best before.
    pub kind: KeepingKind,
    /// The publisher's words' sense, with any clash.
    pub note: String,
}

/// Every published keeping time known.
pub fn keeping() -> &'static [Keeping] {
    static ROWS: OnceLock<Vec<Keeping>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// Those that speak of this food on this route.
pub fn keeping_of(food: FoodClass, route: Route) -> impl Iterator<Item = &'static Keeping> {
    keeping()
        .iter()
        .filter(move |row| row.route == route && row.food.is_none_or(|of| of == food))
}

fn load() -> Table<Keeping> {
    table::read(include_str!("../data/keeping/published.csv"), |row| {
        let food = row.text("food")?;
        Ok(Keeping {
            food: if food == "any" {
                None
            } else {
                Some(FoodClass::parse(&food).ok_or_else(|| format!("unknown food {food:?}"))?)
            },
            route: row.word("route", Route::parse)?,
            market: row.word("market", Market::parse)?,
            for_use: row.word("for_use", ForUse::parse)?,
            days: row.cited()?,
            condition: row.text("condition")?,
            kind: row.word("kind", KeepingKind::parse)?,
            note: row.text("note")?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_keeping_table_can_be_read_and_names_its_source() {
        assert_eq!(load().faults, Vec::<String>::new());
        for row in keeping() {
            assert!(crate::source(&row.days.source).is_some(), "{}", row.days.source);
            assert!(row.days.value > 0.0 && !row.condition.is_empty());
        }
    }

    #[test]
    fn documents_that_disagree_about_chilled_curd_stand_side_by_side() {
        let mut days: Vec<_> = keeping_of(FoodClass::Curd, Route::Refrigerator)
            .filter(|row| row.food.is_some() && row.condition == "never canned, chilled")
            .map(|row| row.days.value)
            .collect();
        days.sort_by(f64::total_cmp);
        assert_eq!(days, [7.0, 28.0, 42.0]);
    }
}
