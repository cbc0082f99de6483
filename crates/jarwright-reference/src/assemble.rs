//! Where the ingredient tables meet.
//!
//! Composition, amino acids, densities and pieces are keyed by the food's entry; acids, pH and
//! kitchen measures by the trade's name. Of two published pH ranges the first table's is used
//! and the other stands beside it: they are never blended.

use std::collections::HashMap;

use jarwright_figure::{Cited, Mark};

use crate::ingredient::{
    Acid, AcidRow, AcidsIn, EnergyFactors, FormDensity, Ingredient, Kind, PieceRow, ProteinGroups,
};
use crate::table::{self, Row, Table};

const SR28: &str = "usda_sr28";

/// The acid table whose column is headed titratable acidity.
const TITRATED: &str = "belitz_grosch_schieberle";

const COMPOSITION_SR28: &str = include_str!("../data/composition/usda_sr28.csv");
const COMPOSITION_OWN: &str = include_str!("../data/composition/own.csv");
const AMINO_ACIDS: &str = include_str!("../data/amino_acids/usda_sr28.csv");
const DENSITY: &str = include_str!("../data/density/usda_sr28.csv");
const PIECES: &str = include_str!("../data/pieces/usda_sr28.csv");
const KITCHEN: &str = include_str!("../data/measures/kitchen.csv");
const NAMES: &str = include_str!("../data/ingredients/names.csv");

/// Acid tables, in the order in which they are shown.
const ACIDS: [&str; 7] = [
    include_str!("../data/acids/honey_standard.csv"),
    include_str!("../data/acids/penniston_2008.csv"),
    include_str!("../data/acids/belitz_grosch_schieberle.csv"),
    include_str!("../data/acids/vinegar_strength.csv"),
    include_str!("../data/acids/by_difference_and_formula.csv"),
    include_str!("../data/acids/passion_fruit_juice.csv"),
    include_str!("../data/acids/souci_fachmann_kraut.csv"),
];

/// pH tables; the first that has a food is the one used. The table that prints acid and pH of the
/// same fruit goes first: a sour fruit's acid beside a ripe fruit's pH would ask for more potassium
/// than any fruit holds. Its ranges take in the next table's.
const FOOD_PH: [&str; 6] = [
    include_str!("../data/food_ph/belitz_grosch_schieberle.csv"),
    include_str!("../data/food_ph/fda_food_ph_list.csv"),
    include_str!("../data/food_ph/miller_2022.csv"),
    include_str!("../data/food_ph/ahea_1993.csv"),
    include_str!("../data/food_ph/others.csv"),
    include_str!("../data/food_ph/memory.csv"),
];

/// Molar masses [g/mol] of aspartic acid, glutamic acid, histidine and lysine.
const AMINO_G_MOL: [f64; 4] = [133.10, 147.13, 155.16, 146.19];

/// Every ingredient, joined from its tables, and what could not be read or joined.
pub(crate) fn ingredients() -> Table<Ingredient> {
    let mut faults = Vec::new();
    let mut compositions = HashMap::new();
    for (text, own) in [(COMPOSITION_SR28, false), (COMPOSITION_OWN, true)] {
        let read = table::read(text, |row| Ok((row.text("entry")?, composition(row, own)?)));
        keep(&mut faults, read.faults);
        compositions.extend(read.rows);
    }
    let mut groups = grouped(&mut faults, &[AMINO_ACIDS], |row| {
        Ok((row.text("entry")?, protein_groups(row)?))
    });
    let mut densities = grouped(&mut faults, &[DENSITY], |row| Ok((row.text("entry")?, density(row)?)));
    let mut pieces = grouped(&mut faults, &[PIECES], |row| Ok((row.text("entry")?, piece(row)?)));
    let mut acids = grouped(&mut faults, &ACIDS, |row| {
        let acid = row.word("acid", Acid::parse)?;
        Ok((
            row.text("ingredient")?,
            AcidRow {
                acid,
                g_per_100g: row.cited()?,
            },
        ))
    });
    let mut phs = grouped(&mut faults, &FOOD_PH, |row| Ok((row.text("ingredient")?, row.cited()?)));
    let mut kitchen = grouped(&mut faults, &[KITCHEN], |row| {
        Ok((row.text("ingredient")?, measure(row)?))
    });

    let mut names = table::read(NAMES, |row| {
        let entry = row.text("entry")?;
        let name = row.text("name")?;
        // Every entry has one name, so its rows move instead of being copied.
        let mut item = compositions.remove(&entry).unwrap_or_default();
        item.section = row.text("section")?;
        item.kind = row.word("kind", Kind::parse)?;
        item.label_name = row.text("label_name")?;
        item.aliases = row.list("aliases")?;
        item.allergens_us = row.list("allergens_us")?;
        item.allergens_eu = row.list("allergens_eu")?;
        item.acids_counted_in = row.word("acids_in", AcidsIn::parse)?;
        item.protein_groups = groups.remove(&entry).and_then(|found| found.first().copied());
        item.acids = acids.remove(&name).unwrap_or_default();
        item.acids_titrated = item.acids.iter().any(|row| row.g_per_100g.source == TITRATED);
        item.acids_known = !item.acids.is_empty() || row.text("acids")? == "none";
        let mut published = phs.remove(&name).unwrap_or_default().into_iter();
        item.ph = published.next();
        item.ph_also = published.collect();
        for own in kitchen.remove(&name).unwrap_or_default() {
            match own {
                Measure::Density(found) => item.densities.push(found),
                Measure::Piece(found) => item.pieces.push(found),
            }
        }
        item.densities.extend(densities.remove(&entry).unwrap_or_default());
        item.pieces.extend(pieces.remove(&entry).unwrap_or_default());
        item.density_g_ml = usual_density(&item.densities);
        item.name = name;
        Ok(item)
    });
    keep(&mut faults, std::mem::take(&mut names.faults));
    Table {
        rows: names.rows,
        faults,
    }
}

/// A kitchen's own measure of an ingredient.
enum Measure {
    Density(FormDensity),
    Piece(PieceRow),
}

fn keep(faults: &mut Vec<String>, more: Vec<String>) {
    faults.extend(more);
}

fn grouped<T>(
    faults: &mut Vec<String>,
    texts: &[&str],
    parse: impl Fn(&Row) -> Result<(String, T), String>,
) -> HashMap<String, Vec<T>> {
    let mut map: HashMap<String, Vec<T>> = HashMap::new();
    for text in texts {
        let read = table::read(text, &parse);
        keep(faults, read.faults);
        for (key, value) in read.rows {
            map.entry(key).or_default().push(value);
        }
    }
    map
}

fn composition(row: &Row, own: bool) -> Result<Ingredient, String> {
    let factors = [
        row.maybe("kcal_g_protein")?,
        row.maybe("kcal_g_fat")?,
        row.maybe("kcal_g_carbohydrate")?,
    ];
    Ok(Ingredient {
        ndb: if own { String::new() } else { row.text("entry")? },
        water: row.maybe("water")?,
        protein: row.maybe("protein")?,
        fat: row.maybe("fat")?,
        carbohydrate: row.maybe("carbohydrate")?,
        fibre: row.maybe("fibre")?,
        sugars: row.maybe("sugars")?,
        sucrose: row.maybe("sucrose")?,
        glucose: row.maybe("glucose")?,
        fructose: row.maybe("fructose")?,
        lactose: row.maybe("lactose")?,
        maltose: row.maybe("maltose")?,
        galactose: row.maybe("galactose")?,
        starch: row.maybe("starch")?,
        ash: row.maybe("ash")?,
        alcohol: row.maybe("alcohol")?,
        energy_kcal: row.maybe("energy_kcal")?,
        sodium_mg: row.maybe("sodium_mg")?,
        potassium_mg: row.maybe("potassium_mg")?,
        phosphorus_mg: row.maybe("phosphorus_mg")?,
        calcium_mg: row.maybe("calcium_mg")?,
        iron_mg: row.maybe("iron_mg")?,
        magnesium_mg: row.maybe("magnesium_mg")?,
        vitamin_c_mg: row.maybe("vitamin_c_mg")?,
        vitamin_d_ug: row.maybe("vitamin_d_ug")?,
        saturated_fat: row.maybe("saturated_fat")?,
        trans_fat: row.maybe("trans_fat")?,
        monounsaturated_fat: row.maybe("monounsaturated_fat")?,
        polyunsaturated_fat: row.maybe("polyunsaturated_fat")?,
        cholesterol_mg: row.maybe("cholesterol_mg")?,
        kcal_per_g: match factors {
            [Some(protein), Some(fat), Some(carbohydrate)] => Some(EnergyFactors {
                protein,
                fat,
                carbohydrate,
            }),
            _ => None,
        },
        refuse_pct: row.maybe("refuse_pct")?,
        refuse: row.text("refuse")?,
        described_as: row.text("food")?,
        source: if own { row.text("source")? } else { SR28.to_owned() },
        mark: Some(if own {
            row.word("mark", Mark::parse)?
        } else {
            Mark::Seen
        }),
        ..Ingredient::default()
    })
}

fn protein_groups(row: &Row) -> Result<ProteinGroups, String> {
    let [asp, glu, his, lys] = AMINO_G_MOL;
    let mmol = |column: &str, g_mol: f64| row.number(column).map(|g| g / g_mol * 1000.0);
    Ok(ProteinGroups {
        asp_glu: mmol("aspartic_g", asp)? + mmol("glutamic_g", glu)?,
        his: mmol("histidine_g", his)?,
        lys: mmol("lysine_g", lys)?,
    })
}

fn density(row: &Row) -> Result<FormDensity, String> {
    let place = format!("{}, {}", row.text("entry")?, row.text("place")?);
    let g_ml = Cited {
        value: row.number("value")?,
        low: row.number("low")?,
        high: row.number("high")?,
        source: SR28.to_owned(),
        place,
        mark: Mark::Seen,
    };
    Ok(FormDensity {
        form: row.text("form")?,
        g_ml,
    })
}

fn piece(row: &Row) -> Result<PieceRow, String> {
    let g = row.number("g")?;
    let (word, place) = (row.text("word")?, row.text("entry")?);
    let g = Cited {
        value: g,
        low: g,
        high: g,
        source: SR28.to_owned(),
        place,
        mark: Mark::Seen,
    };
    Ok(PieceRow { word, g })
}

fn measure(row: &Row) -> Result<Measure, String> {
    let word = row.text("word")?;
    match row.text("what")?.as_str() {
        "density" => Ok(Measure::Density(FormDensity {
            form: word,
            g_ml: row.cited()?,
        })),
        "piece" => Ok(Measure::Piece(PieceRow { word, g: row.cited()? })),
        other => Err(format!("{other:?} is neither density nor piece")),
    }
}

/// The density of a measure that names no form: plain, else chopped or sliced, else the first.
fn usual_density(densities: &[FormDensity]) -> Option<Cited> {
    let rank = |form: &str| match form {
        "" => 0,
        "chopped" | "chopped or diced" => 1,
        _ if form.contains("chopped") => 2,
        "sliced" | "slices" | "halves" => 3,
        "whole" => 4,
        _ => 5,
    };
    densities
        .iter()
        .min_by_key(|found| rank(&found.form))
        .map(|found| found.g_ml.clone())
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;
    use crate::{ingredient, source, splits};

    #[test]
    fn every_ingredient_table_can_be_read() {
        assert_eq!(ingredients().faults, Vec::<String>::new());
    }

    #[test]
    fn reading_every_ingredient_takes_no_time_that_a_person_notices() {
        let started = std::time::Instant::now();
        assert!(ingredients().rows.len() > 300);
        let took = started.elapsed();
        assert!(took.as_millis() < 200, "{took:?}");
    }

    #[test]
    fn a_broken_cell_is_a_fault_and_not_a_zero() {
        let read = table::read("entry,form,value,low,high,place\n1,,x,1,1,cup\n2,,1,1,1,cup\n", density);
        assert_eq!((read.rows.len(), read.faults.len()), (1, 1));
    }

    #[test]
    fn every_source_key_of_an_ingredient_exists() {
        for item in ingredients().rows {
            let cited = item.acids.iter().map(|row| &row.g_per_100g);
            let cited = cited.chain(&item.ph).chain(&item.ph_also);
            let cited = cited.chain(item.densities.iter().map(|row| &row.g_ml));
            let keys = cited
                .chain(item.pieces.iter().map(|row| &row.g))
                .map(|cited| cited.source.as_str());
            for key in keys.chain((!item.source.is_empty()).then_some(item.source.as_str())) {
                assert!(source(key).is_some(), "{}: no source {key:?}", item.name);
            }
        }
    }

    #[test]
    fn names_and_aliases_are_unique() {
        let mut seen = HashSet::new();
        for item in ingredients().rows {
            for name in std::iter::once(&item.name).chain(&item.aliases) {
                assert!(seen.insert(name.to_lowercase()), "{name} twice");
            }
        }
    }

    #[test]
    fn every_row_keyed_by_a_name_finds_its_ingredient() {
        let names: HashSet<String> = ingredients().rows.into_iter().map(|item| item.name).collect();
        for text in ACIDS.iter().chain(&FOOD_PH).chain(&[KITCHEN]) {
            for name in table::read(text, |row| row.text("ingredient")).rows {
                assert!(names.contains(&name), "{name}");
            }
        }
        for split in splits() {
            for name in [&split.part, &split.whole]
                .into_iter()
                .chain(split.leaves.iter().map(|(name, _)| name))
            {
                assert!(names.contains(name), "{name}");
            }
        }
    }

    #[test]
    fn every_food_of_a_composition_table_has_one_trade_name() {
        let mut used = HashSet::new();
        for entry in table::read(NAMES, |row| row.text("entry")).rows {
            assert!(used.insert(entry.clone()), "{entry} twice");
        }
        for text in [COMPOSITION_SR28, COMPOSITION_OWN] {
            for entry in table::read(text, |row| row.text("entry")).rows {
                assert!(used.contains(&entry), "{entry}");
            }
        }
    }

    #[test]
    fn no_acid_is_ever_more_than_the_food_and_no_ph_leaves_the_scale() {
        for item in ingredients().rows {
            let acid: f64 = item.acids.iter().map(|row| row.g_per_100g.value).sum();
            assert!((0.0..=100.0).contains(&acid), "{}", item.name);
            assert!(item.ph.is_none_or(|ph| ph.low > 1.0 && ph.high < 10.0), "{}", item.name);
        }
    }

    #[test]
    fn the_table_holds_what_a_preserving_kitchen_buys_and_says_where_from() {
        let items = ingredients().rows;
        let of_the_database = items.iter().filter(|item| !item.ndb.is_empty() && item.water.is_some());
        assert!(of_the_database.count() >= 250);
        let measured = |item: &&Ingredient| item.density_g_ml.is_some() || !item.pieces.is_empty();
        let known = items.iter().filter(|item| item.water.is_some());
        let without: Vec<&str> = known
            .filter(|item| !measured(item))
            .map(|item| item.name.as_str())
            .collect();
        assert!(without.len() < 15, "{without:?}");
        for name in [
            "vinegar, 4 %",
            "vinegar, 5 %",
            "lemon juice, fresh",
            "lemon juice, bottled",
            "lime juice, fresh",
            "lime juice, bottled",
        ] {
            assert!(ingredient(name).is_some_and(|item| !item.acids.is_empty()), "{name}");
        }
        for size in ["small", "medium", "large", "extra large", "jumbo"] {
            assert!(
                ingredient("eggs").is_some_and(|item| item.piece(size).is_some()),
                "{size}"
            );
        }
    }

    #[test]
    fn kinds_that_rules_ask_for_hold_what_they_must() {
        let kind = |name: &str| ingredient(name).map(|item| item.kind);
        for name in [
            "garlic",
            "garlic powder",
            "onions",
            "shallots",
            "leeks",
            "chives",
            "wild garlic",
        ] {
            assert_eq!(kind(name), Some(Kind::Allium), "{name}");
        }
        for name in [
            "banana",
            "mango",
            "figs",
            "papaya",
            "melon",
            "coconut",
            "watermelon",
            "white peaches",
        ] {
            assert_eq!(kind(name), Some(Kind::LowAcidFruit), "{name}");
        }
        assert_eq!(kind("EGGS"), Some(Kind::Egg));
        assert_eq!(kind("pumpkin"), Some(Kind::Vegetable));
        assert_eq!(kind("Lemon Juice, Bottled"), Some(Kind::AcidJuice));
        assert_eq!(kind("no such thing"), None);
    }

    #[test]
    fn fruit_published_above_the_limit_alone_is_not_an_acid_fruit() {
        for item in ingredients().rows {
            if item.kind == Kind::AcidFruit || item.kind == Kind::AcidJuice {
                let low = item.ph.as_ref().map_or(0.0, |ph| ph.low);
                assert!(low <= 4.6, "{} begins at pH {low}", item.name);
            }
        }
    }

    #[test]
    fn what_sours_is_never_taken_for_free_of_acid() {
        for item in ingredients().rows {
            if matches!(
                item.kind,
                Kind::AcidFruit | Kind::AcidJuice | Kind::Vinegar | Kind::Acid
            ) {
                assert_eq!(item.acids_known, !item.acids.is_empty(), "{}", item.name);
            }
            if matches!(item.kind, Kind::Vinegar | Kind::Acid) {
                assert!(item.acids_known, "{}", item.name);
            }
        }
    }
}
