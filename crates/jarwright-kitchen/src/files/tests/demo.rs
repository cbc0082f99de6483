use jarwright_reference::CupSystem;

use super::shown;
use crate::files::{FormulaFile, Weights, read_formula_with, read_kitchen, read_stores};

const STORES: &str = include_str!("../../../../../demo/stores.toml");
const FORMULAS: [(&str, &str); 4] = [
    (
        "lime-curd.toml",
        include_str!("../../../../../demo/formulas/lime-curd.toml"),
    ),
    (
        "passion-fruit-curd.toml",
        include_str!("../../../../../demo/formulas/passion-fruit-curd.toml"),
    ),
    (
        "apricot-jam.toml",
        include_str!("../../../../../demo/formulas/apricot-jam.toml"),
    ),
    (
        "dill-pickles.toml",
        include_str!("../../../../../demo/formulas/dill-pickles.toml"),
    ),
];

fn formula(name: &str) -> Option<FormulaFile> {
    let (name, text) = FORMULAS.into_iter().find(|(known, _)| *known == name)?;
    read_formula_with(name, text, read_stores("stores.toml", STORES).ok().as_ref()).ok()
}

#[test]
fn the_demo_files_are_read_without_a_fault() {
    let none: [&str; 0] = [];
    assert_eq!(
        shown(read_kitchen(
            "kitchen.toml",
            include_str!("../../../../../demo/kitchen.toml")
        )),
        none
    );
    let stores = read_stores("stores.toml", STORES);
    assert_eq!(shown(stores.clone()), none);
    for (name, text) in FORMULAS {
        assert_eq!(shown(read_formula_with(name, text, stores.as_ref().ok())), none);
    }
}

#[test]
fn the_stores_sell_what_the_formulas_need_or_what_it_is_split_from() {
    let stores = read_stores("stores.toml", STORES).unwrap_or_default();
    for (name, _) in FORMULAS {
        for line in formula(name).into_iter().flat_map(|formula| formula.lines) {
            let whole = jarwright_reference::splits()
                .iter()
                .find(|split| split.part == line.ingredient);
            let sold = |name: &str| stores.item(name).is_some();
            let tap = jarwright_reference::ingredient(&line.ingredient)
                .is_some_and(|row| row.kind == jarwright_reference::Kind::Water);
            assert!(
                tap || sold(&line.ingredient) || whole.is_some_and(|split| sold(&split.whole)),
                "{}",
                line.ingredient
            );
        }
    }
}

#[test]
fn the_lime_curd_has_the_amounts_of_the_published_one() {
    // nchfp_lemon_curd, with bottled lime juice as utah_lemon_lime_curd allows.
    let lines = formula("lime-curd.toml")
        .map(|formula| formula.lines)
        .unwrap_or_default();
    let lines: Vec<(String, String)> = lines
        .iter()
        .map(|line| (line.ingredient.clone(), line.amount.to_string()))
        .collect();
    let printed = [
        ("sugar", "2 1/2 cup"),
        ("lime zest", "1/2 cup"),
        ("lime juice, bottled", "1 cup"),
        ("butter, unsalted", "3/4 cup"),
        ("egg yolk", "7 large"),
        ("egg, whole", "4 large"),
    ];
    assert_eq!(
        lines,
        printed.map(|(ingredient, amount)| (ingredient.to_owned(), amount.to_owned()))
    );
}

#[test]
fn the_apricot_jam_meets_forty_five_to_fifty_five() {
    let lines = formula("apricot-jam.toml")
        .map(|formula| formula.lines)
        .unwrap_or_default();
    let g = |name: &str| {
        let of = |line: &&crate::files::FormulaLine| line.ingredient == name;
        lines
            .iter()
            .find(of)
            .and_then(|line| line.amount.weigh(&Weights::of(name), CupSystem::Us).ok())
    };
    // 21 CFR 150.160, fruits of group II.
    assert!(matches!((g("apricots"), g("sugar")), (Some(fruit), Some(sugar)) if fruit / sugar >= 45.0 / 55.0));
}
