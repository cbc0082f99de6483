//! How far a lot in hand may lie from the composition table's average, and what stands in where
//! the table is blank.
//!
//! No constant percentage for all: each kind of food, or a food by its name, has its own row with
//! the source of the figure. `referee/ingredient_spreads.py` computes the rows that say
//! `computed`.

use std::collections::HashMap;
use std::sync::OnceLock;

use jarwright_figure::Cited;

use crate::ingredient::Ingredient;
use crate::table::{self, Table};

/// What of an ingredient spreads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spreads {
    /// Water [g/100 g], by a limit of law; governs over `Solids`.
    Water,
    /// Solids to water, as a factor on the table's.
    Solids,
    /// Sugars in the solids, as a factor on the table's.
    Sugars,
    /// Acids, as a factor on the table's.
    Acid,
    /// pH, as a difference from the published one.
    Ph,
    /// Unknown sugars, as a share of carbohydrate less fibre and acid.
    SugarsShare,
    /// Unknown sugars where fibre is unknown too, as a share of carbohydrate less acid.
    SugarsShareWithFibre,
    /// Glucose, fructose and galactose in sugars that the table does not tell apart.
    HexoseShare,
    /// Lactose, maltose and their like in sugars that the table does not tell apart.
    DoubleShare,
    /// Sodium chloride in salt.
    Purity,
    /// What a sheet's parts leave open: the share of it that is dissolved.
    LeftOutDissolved,
    /// Carbohydrate that is neither sugar, fibre nor acid by any column: the share dissolved.
    UnnamedDissolved,
}

impl Spreads {
    fn parse(word: &str) -> Option<Self> {
        Some(match word {
            "water" => Self::Water,
            "solids" => Self::Solids,
            "sugars" => Self::Sugars,
            "acid" => Self::Acid,
            "ph" => Self::Ph,
            "sugars_share" => Self::SugarsShare,
            "sugars_share_with_fibre" => Self::SugarsShareWithFibre,
            "hexose_share" => Self::HexoseShare,
            "double_share" => Self::DoubleShare,
            "purity" => Self::Purity,
            "left_out_dissolved" => Self::LeftOutDissolved,
            "unnamed_dissolved" => Self::UnnamedDissolved,
            _ => return None,
        })
    }
}

/// One row: how one thing of a kind of food, or of a food by its name, spreads.
#[derive(Debug, Clone, PartialEq)]
pub struct IngredientSpread {
    /// A kind's word, an ingredient's name, `sheet` or `any`.
    pub of: String,
    /// What spreads.
    pub what: Spreads,
    /// Whether the ends are the 5th and 95th percentile (true) or a printed range.
    pub percentiles: bool,
    /// Value and ends.
    pub cited: Cited,
    /// How it was worked out.
    pub how: String,
}

/// Every row.
pub fn ingredient_spreads() -> &'static [IngredientSpread] {
    static ROWS: OnceLock<Vec<IngredientSpread>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// How one thing of an ingredient spreads: by its name, else as told on a sheet, else by its
/// kind, else the row for any. `None` where nothing is said: the printed figure then stands.
#[must_use]
pub fn spread_of(item: &Ingredient, what: Spreads) -> Option<&'static IngredientSpread> {
    static BY_NAME: OnceLock<HashMap<(&'static str, Spreads), &'static IngredientSpread>> = OnceLock::new();
    let rows = BY_NAME.get_or_init(|| {
        ingredient_spreads()
            .iter()
            .map(|row| ((row.of.as_str(), row.what), row))
            .collect()
    });
    let told = item.sheet.as_ref().is_some_and(|sheet| sheet.tells(what));
    let find = |of: &str| rows.get(&(of, what)).copied();
    if told {
        return find("sheet");
    }
    find(&item.name)
        .or_else(|| find(item.kind.word()))
        .or_else(|| find("any"))
}

fn load() -> Table<IngredientSpread> {
    table::read(include_str!("../data/composition/spreads.csv"), |row| {
        Ok(IngredientSpread {
            of: row.text("of")?,
            what: row.word("column", Spreads::parse)?,
            percentiles: row.word("spread", |word| match word {
                "p5-p95" => Some(true),
                "printed" => Some(false),
                _ => None,
            })?,
            cited: row.cited()?,
            how: row.text("how")?,
        })
    })
}

#[cfg(test)]
mod tests {
    use jarwright_figure::Mark;

    use super::*;
    use crate::{Kind, ingredient, ingredients, source};

    #[test]
    fn every_spread_can_be_read_names_its_source_and_stands_once() {
        assert_eq!(load().faults, Vec::<String>::new());
        let mut seen = std::collections::HashSet::new();
        for row in ingredient_spreads() {
            assert!(source(&row.cited.source).is_some(), "{}", row.cited.source);
            assert!(seen.insert((&row.of, row.what)), "{} {:?} twice", row.of, row.what);
            let known = ["any", "sheet"].contains(&row.of.as_str())
                || Kind::parse(&row.of).is_some()
                || ingredient(&row.of).is_some_and(|item| item.name == row.of);
            assert!(known, "{} is neither kind nor ingredient", row.of);
        }
    }

    #[test]
    fn rows_that_say_computed_are_what_the_script_printed() {
        let printed = table::read(include_str!("../../../referee/ingredient_spreads.csv"), |row| {
            let what = row.word("column", Spreads::parse)?;
            Ok((
                row.text("of")?,
                what,
                row.number("low")?,
                row.number("value")?,
                row.number("high")?,
            ))
        });
        assert_eq!(printed.faults, Vec::<String>::new());
        let mut held = 0;
        for (of, what, low, value, high) in printed.rows {
            let same = |row: &&IngredientSpread| {
                row.of == of && row.what == what && row.percentiles && row.cited.mark == Mark::Computed
            };
            if let Some(row) = ingredient_spreads().iter().find(same) {
                let off = [row.cited.low - low, row.cited.value - value, row.cited.high - high];
                assert!(off.iter().all(|off| off.abs() < 0.003), "{of} {what:?}: {off:?}");
                held += 1;
            }
        }
        assert!(held > 25, "{held}");
    }

    #[test]
    fn whatever_grows_or_is_cooked_spreads_in_its_solids() {
        let exact = |item: &Ingredient| matches!(item.kind, Kind::Salt | Kind::Acid | Kind::Water | Kind::Fat);
        for item in ingredients().iter().filter(|item| !exact(item)) {
            let row = spread_of(item, Spreads::Water).or(spread_of(item, Spreads::Solids));
            assert!(row.is_some_and(|row| row.cited.low < row.cited.high), "{}", item.name);
        }
    }

    #[test]
    fn granulated_sugar_is_nearly_exact_and_a_strawberry_is_not() {
        let of = |name: &str, what| ingredient(name).and_then(|item| spread_of(item, what));
        assert!(of("sugar", Spreads::Water).is_some_and(|row| row.cited.high - row.cited.low < 0.1));
        assert!(of("strawberries", Spreads::Solids).is_some_and(|row| row.cited.high > 1.2));
    }
}
