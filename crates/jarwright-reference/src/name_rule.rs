//! What counts as fruit for a reserved name, and what else a name asks in words.

use std::sync::OnceLock;

use jarwright_figure::Mark;

use crate::Market;
use crate::cell;
use crate::jam_group::plain_words;
use crate::table::{self, Table};

/// What of a fruit an ingredient is, by its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FruitForm {
    /// The fruit, its flesh, pulp or puree; fresh, frozen, canned.
    Whole,
    /// Juice.
    Juice,
    /// Zest, peel, rind.
    Peel,
    /// Dried fruit.
    Dried,
    /// Candied fruit or peel.
    Candied,
    /// Paste, sauce, syrup, a finished preserve: counted by no rule read.
    Made,
}

impl FruitForm {
    /// Reads the word used in the table.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Some(match text.trim() {
            "whole" => Self::Whole,
            "juice" => Self::Juice,
            "peel" => Self::Peel,
            "dried" => Self::Dried,
            "candied" => Self::Candied,
            _ => return None,
        })
    }
}

/// Words of a name that tell the form, most telling first; a name with none of them is whole.
const FORM_WORDS: [(FruitForm, &[&str]); 5] = [
    (
        FruitForm::Made,
        &[
            "paste",
            "sauce",
            "butter",
            "syrup",
            "ready",
            "ketchup",
            "jam",
            "jelly",
            "marmalade",
            "milk",
            "oil",
            "vinegar",
            "ground",
            "powder",
        ],
    ),
    (
        FruitForm::Candied,
        &["candied", "crystallised", "crystallized", "mixed"],
    ),
    (
        FruitForm::Dried,
        &["dried", "raisin", "sultana", "prune", "date", "desiccated"],
    ),
    (FruitForm::Juice, &["juice"]),
    (FruitForm::Peel, &["zest", "peel", "rind"]),
];

/// What of a fruit an ingredient is.
///
/// Names as in the table of ingredients: `lemon zest`, `currants, dried`, `oranges, with peel`.
#[must_use]
pub fn fruit_form(ingredient: &str) -> FruitForm {
    let words = plain_words(ingredient);
    let has = |word: &&str| words.iter().any(|own| own == word);
    if has(&"with") && has(&"peel") {
        return FruitForm::Whole;
    }
    FORM_WORDS
        .iter()
        .find(|(_, telling)| telling.iter().any(has))
        .map_or(FruitForm::Whole, |(form, _)| *form)
}

/// How the weight of a fruit line counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counts {
    /// As fruit.
    Fruit,
    /// As fruit where no other fruit is; beside other fruit it is an added ingredient.
    FruitAlone,
    /// Not as fruit.
    Nothing,
}

impl Counts {
    /// Reads the word used in the table.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Some(match text.trim() {
            "yes" => Self::Fruit,
            "alone" => Self::FruitAlone,
            "no" => Self::Nothing,
            _ => return None,
        })
    }
}

/// One rule of what counts as fruit for a name.
#[derive(Debug, Clone, PartialEq)]
pub struct FruitPart {
    /// Market whose law it is.
    pub market: Market,
    /// The reserved names it is for.
    pub names: Vec<String>,
    /// Form of the fruit; `None` = vegetables that the law puts on a level with fruit.
    pub form: Option<FruitForm>,
    /// Fruits it is for; empty = every fruit.
    pub fruit: Vec<String>,
    /// How its weight counts.
    pub counts: Counts,
    /// Key of the source.
    pub source: String,
    /// Place in the source.
    pub place: String,
    /// How it is known.
    pub mark: Mark,
}

/// The rule by which an ingredient counts as fruit for a name, or does not; `None` = no rule
/// read, and then it does not count.
#[must_use]
pub fn counts_in(market: Market, name: &str, ingredient: &str) -> Option<&'static FruitPart> {
    let form = fruit_form(ingredient);
    parts().iter().find(|row| {
        row.market == market
            && row.form == Some(form)
            && holds(&row.names, name)
            && (row.fruit.is_empty() || named(&row.fruit, ingredient))
    })
}

/// Whether the law of a market puts this vegetable or root on a level with fruit.
#[must_use]
pub fn equal_to_fruit(market: Market, ingredient: &str) -> bool {
    matches!(fruit_form(ingredient), FruitForm::Whole)
        && parts()
            .iter()
            .any(|row| row.market == market && row.form.is_none() && named(&row.fruit, ingredient))
}

/// Something a name asks that no amount here tells.
#[derive(Debug, Clone, PartialEq)]
pub struct NameWords {
    /// Market whose law it is.
    pub market: Market,
    /// The reserved names it is for.
    pub names: Vec<String>,
    /// What is asked or allowed.
    pub says: String,
    /// First day it applies, `YYYY-MM-DD`.
    pub from: Option<String>,
    /// Last day it applies, `YYYY-MM-DD`.
    pub until: Option<String>,
    /// Key of the source.
    pub source: String,
    /// Place in the source.
    pub place: String,
    /// How it is known.
    pub mark: Mark,
}

/// What a name asks on a day beside its amounts.
#[must_use]
pub fn name_words(market: Market, name: &str, day: &str) -> Vec<&'static NameWords> {
    static ROWS: OnceLock<Vec<NameWords>> = OnceLock::new();
    ROWS.get_or_init(|| load_words().rows)
        .iter()
        .filter(|row| {
            row.market == market
                && holds(&row.names, name)
                && row.from.as_deref().is_none_or(|from| from <= day)
                && row.until.as_deref().is_none_or(|until| day <= until)
        })
        .collect()
}

/// Whether a fruit may stand under this name only without other fruit.
///
/// # Source
/// `eu_2001_113`, Annex I, extra jam; `ni_sr_2018_78`, schedule 3, part 3.
#[must_use]
pub fn never_mixed(market: Market, name: &str, ingredient: &str) -> bool {
    lists().iter().any(|row| {
        row.market == market && row.says == Says::Alone && holds(&row.names, name) && names_it(&row.fruit, ingredient)
    })
}

/// Factor [-] by which the US standards of jelly and of fruit butter weigh a juice or pulp.
///
/// ```text
/// weight counted = weight * soluble solids [%] * factor * 0.01
/// ```
///
/// so that a juice of 100/factor % soluble solids counts for its weight. The formula is from
/// memory, the factors were read. `None` for a fruit or a name that the standards do not list.
///
/// # Source
/// `cfr21_150`, 150.140(b)(1) and 150.110(b)(1), as of 2024.
#[must_use]
pub fn us_fruit_factor(name: &str, ingredient: &str) -> Option<f64> {
    lists()
        .iter()
        .filter(|row| row.market == Market::Us && holds(&row.names, name) && names_it(&row.fruit, ingredient))
        .filter_map(|row| match row.says {
            Says::Factor(factor) => Some((plain_words(&row.fruit).len(), factor)),
            Says::Alone => None,
        })
        .max_by_key(|(words, _)| *words)
        .map(|(_, factor)| factor)
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Says {
    Alone,
    Factor(f64),
}

struct ListRow {
    market: Market,
    names: Vec<String>,
    fruit: String,
    says: Says,
}

fn holds(names: &[String], name: &str) -> bool {
    names.iter().any(|own| own.eq_ignore_ascii_case(name.trim()))
}

fn names_it(fruit: &str, ingredient: &str) -> bool {
    let words = plain_words(ingredient);
    plain_words(fruit).iter().all(|word| words.contains(word))
}

fn named(fruits: &[String], ingredient: &str) -> bool {
    fruits.iter().any(|fruit| names_it(fruit, ingredient))
}

fn parts() -> &'static [FruitPart] {
    static ROWS: OnceLock<Vec<FruitPart>> = OnceLock::new();
    ROWS.get_or_init(|| load_parts().rows)
}

fn lists() -> &'static [ListRow] {
    static ROWS: OnceLock<Vec<ListRow>> = OnceLock::new();
    ROWS.get_or_init(|| load_lists().rows)
}

fn load_parts() -> Table<FruitPart> {
    table::read(include_str!("../data/rules/fruit_counted.csv"), |row| {
        Ok(FruitPart {
            market: row.word("market", Market::parse)?,
            names: row.list("names")?,
            form: row.word("form", |word| match word {
                "equal to fruit" => Some(None),
                form => FruitForm::parse(form).map(Some),
            })?,
            fruit: row.list("fruit")?,
            counts: row.word("counts", Counts::parse)?,
            source: row.text("source")?,
            place: row.text("place")?,
            mark: row.word("mark", Mark::parse)?,
        })
    })
}

fn load_words() -> Table<NameWords> {
    table::read(include_str!("../data/rules/name_words.csv"), |row| {
        Ok(NameWords {
            market: row.word("market", Market::parse)?,
            names: row.list("names")?,
            says: row.text("says")?,
            from: cell::filled(row.text("from")?),
            until: cell::filled(row.text("until")?),
            source: row.text("source")?,
            place: row.text("place")?,
            mark: row.word("mark", Mark::parse)?,
        })
    })
}

fn load_lists() -> Table<ListRow> {
    table::read(include_str!("../data/rules/fruit_lists.csv"), |row| {
        let (names, fruit) = (row.list("names")?, row.text("fruit")?);
        let says = match row.text("says")?.as_str() {
            "alone" => Says::Alone,
            "factor" => Says::Factor(row.number("value")?),
            other => return Err(format!("unknown word {other:?}")),
        };
        Ok(ListRow {
            market: row.word("market", Market::parse)?,
            names,
            fruit,
            says,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_three_tables_can_be_read() {
        assert_eq!(load_parts().faults, Vec::<String>::new());
        assert_eq!(load_words().faults, Vec::<String>::new());
        assert_eq!(load_lists().faults, Vec::<String>::new());
        for row in parts() {
            assert!(crate::source(&row.source).is_some(), "{}", row.source);
        }
    }

    #[test]
    fn the_form_of_a_fruit_is_told_by_its_name() {
        for (name, form) in [
            ("strawberries, frozen", FruitForm::Whole),
            ("oranges, with peel", FruitForm::Whole),
            ("apples, peeled", FruitForm::Whole),
            ("lemon juice, bottled", FruitForm::Juice),
            ("lime zest", FruitForm::Peel),
            ("currants, dried", FruitForm::Dried),
            ("raisins, golden", FruitForm::Dried),
            ("candied fruit", FruitForm::Candied),
            ("tomato paste", FruitForm::Made),
        ] {
            assert_eq!(fruit_form(name), form, "{name}");
        }
    }

    #[test]
    fn juice_counts_in_jelly_and_marmalade_and_not_in_jam() {
        let counts = |name, fruit| counts_in(Market::Uk, name, fruit).is_some_and(|row| row.counts == Counts::Fruit);
        assert!(counts("jelly", "grape juice"));
        assert!(counts("marmalade", "lemon juice, fresh"));
        assert!(counts("marmalade", "orange zest"));
        assert!(!counts("marmalade", "strawberries"));
        assert!(!counts("jam", "lemon juice, fresh"));
        assert!(!counts("jam", "lemon zest"));
        assert!(counts("jam", "strawberries"));
        assert!(counts("mincemeat", "raisins") && counts("mincemeat", "candied fruit"));
        assert!(!counts("mincemeat", "apples"));
        let lemon = counts_in(Market::Uk, "jelly", "lemon juice, fresh").map(|row| row.counts);
        assert_eq!(lemon, Some(Counts::FruitAlone));
    }

    #[test]
    fn vegetables_of_the_directive_count_as_fruit_in_europe() {
        for name in [
            "tomatoes",
            "rhubarb",
            "carrots",
            "sweet potatoes",
            "cucumbers",
            "pumpkin",
            "watermelon",
            "ginger",
        ] {
            assert!(equal_to_fruit(Market::Eu, name), "{name}");
            assert!(equal_to_fruit(Market::Uk, name), "{name}");
        }
        for name in ["onions", "beetroot", "potatoes", "ginger, ground", "tomato paste"] {
            assert!(!equal_to_fruit(Market::Eu, name), "{name}");
        }
        assert!(!equal_to_fruit(Market::Us, "carrots"));
    }

    #[test]
    fn a_factor_goes_by_the_closest_fruit() {
        assert_eq!(us_fruit_factor("jelly", "black raspberries"), Some(9.0));
        assert_eq!(us_fruit_factor("jelly", "raspberries"), Some(9.5));
        assert_eq!(us_fruit_factor("fruit butter", "prunes"), Some(7.0));
        assert_eq!(us_fruit_factor("fruit butter", "strawberries"), None);
        assert_eq!(us_fruit_factor("jam", "apples"), None);
    }
}
