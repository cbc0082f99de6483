//! Fruits of the US standard for jam, in its two groups.

use std::sync::OnceLock;

use crate::table::{self, Table};

/// The two groups of fruit of the US standard for jam.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum JamGroup {
    /// Fruit to sweetener at least 47 : 55 by weight.
    One,
    /// At least 45 : 55.
    Two,
}

/// Group of a fruit in the US standard for jam, by its name; `None` when not listed.
///
/// # Source
/// `cfr21_150`, 150.160(b).
#[must_use]
pub fn us_jam_group(ingredient: &str) -> Option<JamGroup> {
    let words = plain_words(ingredient);
    if words.iter().any(|word| NO_FRUIT.contains(&word.as_str())) {
        return None;
    }
    let listed = |row: &&JamFruit| plain_words(&row.fruit).iter().all(|word| words.contains(word));
    jam_fruits()
        .iter()
        .filter(listed)
        .max_by_key(|row| row.fruit.split(' ').count())
        .map(|row| row.group)
}

/// Words that make a name something else than the fresh, frozen or canned fruit of the standard.
const NO_FRUIT: [&str; 9] = [
    "juice", "zest", "peel", "dried", "candied", "paste", "sauce", "butter", "syrup",
];

struct JamFruit {
    fruit: String,
    group: JamGroup,
}

/// Lower-case words of a name, each without its plural ending.
pub(crate) fn plain_words(name: &str) -> Vec<String> {
    name.to_lowercase()
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(|word| {
            if let Some(stem) = word.strip_suffix("ies") {
                format!("{stem}y")
            } else if let Some(stem) = word.strip_suffix("oes") {
                format!("{stem}o")
            } else if let Some(stem) = word.strip_suffix("ches") {
                format!("{stem}ch")
            } else {
                word.strip_suffix('s').unwrap_or(word).to_owned()
            }
        })
        .collect()
}

fn jam_fruits() -> &'static [JamFruit] {
    static ROWS: OnceLock<Vec<JamFruit>> = OnceLock::new();
    ROWS.get_or_init(|| load_jam_fruits().rows)
}

fn load_jam_fruits() -> Table<JamFruit> {
    table::read(include_str!("../data/schedules/cfr21_150_fruits.csv"), |row| {
        Ok(JamFruit {
            fruit: row.text("fruit")?,
            group: row.word("group", |word| match word {
                "1" => Some(JamGroup::One),
                "2" => Some(JamGroup::Two),
                _ => None,
            })?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_fruit_table_can_be_read() {
        assert_eq!(load_jam_fruits().faults, Vec::<String>::new());
    }

    #[test]
    fn fruits_stand_in_the_group_of_the_standard() {
        for name in [
            "strawberries",
            "raspberries, frozen",
            "cherries, sour",
            "black raspberries",
            "oranges",
            "rhubarb",
        ] {
            assert_eq!(us_jam_group(name), Some(JamGroup::One), "{name}");
        }
        for name in [
            "apricots",
            "peaches",
            "redcurrants",
            "plums",
            "quinces",
            "greengages",
            "gooseberries",
        ] {
            assert_eq!(us_jam_group(name), Some(JamGroup::Two), "{name}");
        }
        for name in [
            "apricots, dried",
            "orange zest",
            "tomato paste",
            "bananas",
            "blackcurrants",
            "sugar",
        ] {
            assert_eq!(us_jam_group(name), None, "{name}");
        }
    }
}
