//! Published lethality targets, the tables they were printed as, and heat resistance on record.

use std::sync::OnceLock;

use jarwright_figure::{Cited, Mark};

use crate::FoodClass;
use crate::cell;
use crate::table::{self, Table};

/// A published time-temperature target for a kind of food.
#[derive(Debug, Clone, PartialEq)]
pub struct Harbour {
    /// Key, such as `five-log-ph-to-4.1`.
    pub key: String,
    /// Title.
    pub title: String,
    /// Foods it was made for; empty = any food of its pH. Take the harbour by food class and
    /// pH; where several fit, the longest time.
    pub food: Vec<FoodClass>,
    /// Least equilibrium pH it holds for [-].
    pub ph_low: f64,
    /// Greatest equilibrium pH it holds for [-].
    pub ph_high: f64,
    /// Reference temperature [°C].
    pub ref_c: f64,
    /// z [K].
    pub z_k: f64,
    /// Time at the reference temperature [min].
    pub minutes: Cited,
    /// What it was measured in.
    pub medium: String,
    /// Shown beside results but no target: printed against itself or from memory.
    pub display_only: bool,
    /// What else should be known.
    pub note: String,
}

/// One cell of a table as printed.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedCell {
    /// Key of the table; a harbour's key where it belongs to one.
    pub table: String,
    /// Temperature [°C].
    pub at_c: f64,
    /// Temperature as printed, in its own unit.
    pub printed_temperature: f64,
    /// Whether it is printed in °F.
    pub fahrenheit: bool,
    /// Time [min].
    pub minutes: Cited,
}

/// Temperature to fill at, for an equilibrium pH, as one university's table has it. It gives no
/// hold time, so it is shown and never taken as a process.
#[derive(Debug, Clone, PartialEq)]
pub struct FillTemperature {
    /// Equilibrium pH [-].
    pub ph: f64,
    /// Temperature at fill [°C].
    pub fill_c: f64,
    /// How it is known.
    pub mark: Mark,
}

/// Two lawful ways to pasteurise one egg product (9 CFR 590.570).
#[derive(Debug, Clone, PartialEq)]
pub struct EggPair {
    /// Product.
    pub product: String,
    /// Temperature for 3.5 min [°C].
    pub short_c: f64,
    /// Temperature for 6.2 min [°C], where printed.
    pub long_c: Option<f64>,
    /// How it is known.
    pub mark: Mark,
}

/// What is on record of one organism's resistance to heat in one medium.
#[derive(Debug, Clone, PartialEq)]
pub struct Resistance {
    /// Organism.
    pub organism: String,
    /// Medium.
    pub medium: String,
    /// Temperature [°C].
    pub at_c: f64,
    /// Decimal reduction time [min].
    pub d_min: Cited,
    /// z [K], where given.
    pub z_k: Option<f64>,
    /// What else should be known.
    pub note: String,
}

/// °C of a printed °F.
fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// Every published target.
pub fn harbours() -> &'static [Harbour] {
    static ROWS: OnceLock<Vec<Harbour>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// The targets that hold for a food and its equilibrium pH [-], without those for display only.
pub fn harbours_for(food: FoodClass, ph: f64) -> impl Iterator<Item = &'static Harbour> {
    harbours().iter().filter(move |row| {
        !row.display_only && (row.food.is_empty() || row.food.contains(&food)) && ph >= row.ph_low && ph <= row.ph_high
    })
}

/// Every cell of every printed time-temperature table.
pub fn printed_cells() -> &'static [PrintedCell] {
    static ROWS: OnceLock<Vec<PrintedCell>> = OnceLock::new();
    ROWS.get_or_init(|| load_cells().rows)
}

/// The lawful egg pairs.
pub fn egg_pairs() -> &'static [EggPair] {
    static ROWS: OnceLock<Vec<EggPair>> = OnceLock::new();
    ROWS.get_or_init(|| load_eggs().rows)
}

/// The table of fill temperatures (`arkansas_fill`), highest pH first.
pub fn fill_temperatures() -> &'static [FillTemperature] {
    static ROWS: OnceLock<Vec<FillTemperature>> = OnceLock::new();
    ROWS.get_or_init(|| load_fills().rows)
}

/// Heat resistance on record.
pub fn resistances() -> &'static [Resistance] {
    static ROWS: OnceLock<Vec<Resistance>> = OnceLock::new();
    ROWS.get_or_init(|| load_resistances().rows)
}

fn load() -> Table<Harbour> {
    table::read(include_str!("../data/harbours/targets.csv"), |row| {
        let foods = |text: &String| FoodClass::parse(text).ok_or_else(|| format!("unknown food {text:?}"));
        Ok(Harbour {
            key: row.text("key")?,
            title: row.text("title")?,
            food: row.list("food")?.iter().map(foods).collect::<Result<_, _>>()?,
            ph_low: row.number("ph_low")?,
            ph_high: row.number("ph_high")?,
            ref_c: celsius(row.number("ref_f")?),
            z_k: row.number("z_f")? / 1.8,
            minutes: row.cited()?,
            medium: row.text("medium")?,
            display_only: row.word("display_only", cell::yes)?,
            note: row.text("note")?,
        })
    })
}

fn load_cells() -> Table<PrintedCell> {
    table::read(include_str!("../data/harbours/printed_tables.csv"), |row| {
        let printed_temperature = row.number("temperature")?;
        let fahrenheit = row.word("unit", |unit| match unit {
            "F" => Some(true),
            "C" => Some(false),
            _ => None,
        })?;
        Ok(PrintedCell {
            table: row.text("table")?,
            at_c: if fahrenheit {
                celsius(printed_temperature)
            } else {
                printed_temperature
            },
            printed_temperature,
            fahrenheit,
            minutes: cell::cited(&row.text("minutes")?, &row.text("source")?, &row.text("place")?)?,
        })
    })
}

fn load_eggs() -> Table<EggPair> {
    table::read(include_str!("../data/harbours/cfr9_590_570.csv"), |row| {
        Ok(EggPair {
            product: row.text("product")?,
            short_c: celsius(row.number("f_3_5_min")?),
            long_c: row.maybe("f_6_2_min")?.map(celsius),
            mark: row.word("mark", Mark::parse)?,
        })
    })
}

fn load_fills() -> Table<FillTemperature> {
    table::read(include_str!("../data/harbours/fill_temperature_arkansas.csv"), |row| {
        Ok(FillTemperature {
            ph: row.number("ph")?,
            fill_c: celsius(row.number("fill_f")?),
            mark: row.word("mark", Mark::parse)?,
        })
    })
}

fn load_resistances() -> Table<Resistance> {
    table::read(include_str!("../data/harbours/heat_resistance.csv"), |row| {
        Ok(Resistance {
            organism: row.text("organism")?,
            medium: row.text("medium")?,
            at_c: row.number("at_c")?,
            d_min: row.cited()?,
            z_k: row.maybe("z_k")?,
            note: row.text("note")?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_harbour_tables_can_be_read_and_names_its_source() {
        assert_eq!(load().faults, Vec::<String>::new());
        assert_eq!(load_cells().faults, Vec::<String>::new());
        assert_eq!(load_eggs().faults, Vec::<String>::new());
        assert_eq!(load_fills().faults, Vec::<String>::new());
        assert!(crate::source("arkansas_fill").is_some() && crate::source("cfr9_590_570").is_some());
        assert_eq!(load_resistances().faults, Vec::<String>::new());
        let cited = harbours().iter().map(|row| &row.minutes);
        let cited = cited.chain(printed_cells().iter().map(|row| &row.minutes));
        for figure in cited.chain(resistances().iter().map(|row| &row.d_min)) {
            assert!(crate::source(&figure.source).is_some(), "{}", figure.source);
            assert!(figure.value > 0.0);
        }
    }

    #[test]
    fn printed_tables_are_complete() {
        let count = |key| printed_cells().iter().filter(|cell| cell.table == key).count();
        assert_eq!(count("five-log-ph-to-4.1"), 20);
        assert_eq!(count("five-log-ph-4.1-to-4.6"), 40);
        assert_eq!(count("non-proteolytic-six-log"), 11);
        assert_eq!(egg_pairs().len(), 9);
    }

    #[test]
    fn less_acid_food_is_filled_no_cooler() {
        assert!(
            fill_temperatures()
                .windows(2)
                .all(|pair| pair[0].ph > pair[1].ph && pair[0].fill_c > pair[1].fill_c)
        );
    }

    #[test]
    fn a_target_from_memory_is_for_display_only() {
        for row in harbours() {
            assert!(row.display_only || row.minutes.mark != Mark::Memory, "{}", row.key);
        }
    }

    #[test]
    fn a_target_is_taken_by_food_and_acidity() {
        let keys = |food, ph| harbours_for(food, ph).map(|row| row.key.as_str()).collect::<Vec<_>>();
        assert_eq!(keys(FoodClass::Pickle, 3.8), ["five-log-ph-to-4.1"]);
        assert_eq!(keys(FoodClass::Relish, 4.4), ["five-log-ph-4.1-to-4.6"]);
        assert!(keys(FoodClass::Pickle, 4.7).is_empty());
        assert!(keys(FoodClass::Tomato, 4.4).contains(&"five-log-tomato-puree"));
    }
}
