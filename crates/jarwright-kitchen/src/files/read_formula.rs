//! Reading a formula file.

use jarwright_reference::{CupSystem, FoodClass};
use toml::de::DeTable;

use super::amount::{Amount, Weights};
use super::formula::{FormulaFile, FormulaLine, Pack, Part};
use super::formula_words::{
    EXPECTED_CUP, EXPECTED_GOES_IN, EXPECTED_HEADSPACE, EXPECTED_PART, EXPECTED_STOP, EXPECTED_TEMPERATURE, cup, food,
    goes_in, known, millimetres, part, schedule, stop_at,
};
use super::problem::{Fault, Problem};
use super::quantity::{headspace_m, mass_g, share, temperature_c};
use super::read_letter::{LETTER, MEASURED, letter, measured};
use super::section::Section;
use super::stores::{StoresFile, StoresItem};
use super::unit::AmountUnit;
use super::walk::Need::{May, Must};
use super::walk::Walk;

const ROOT: &[&str] = &[
    "name",
    "food",
    "cup",
    "schedule",
    "stop_at",
    "jar_headspace",
    "fill_at",
    "measured",
    "letter",
    "pack",
    "line",
];
const LINE: &[&str] = &[
    "ingredient",
    "amount",
    "form",
    "step",
    "goes_in",
    "sieved_out",
    "per_jar",
    "part",
];

const EXPECTED_FILE: &str = "a formula: name, food, stop_at and one [[line]] for each ingredient";

/// Reads a formula whose ingredients all stand in the reference table.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_formula(name: &str, text: &str) -> Result<FormulaFile, Vec<Problem>> {
    read_formula_with(name, text, None)
}

/// Reads a formula that may also use the own ingredients of a stores file.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_formula_with(name: &str, text: &str, stores: Option<&StoresFile>) -> Result<FormulaFile, Vec<Problem>> {
    let (mut walk, table) = Walk::open(name, text, EXPECTED_FILE)?;
    let formula = read(&mut walk, table.get_ref(), stores);
    walk.finish(formula)
}

fn read<'t>(walk: &mut Walk<'t>, table: &DeTable<'t>, stores: Option<&StoresFile>) -> FormulaFile {
    let root = walk.root(table, "a formula", ROOT);
    let pack = root.table(walk, "pack", "a pack", &["pieces_per_jar"]).map(|section| {
        let expected = "a weight such as \"270 g\"";
        Pack {
            pieces_per_jar_g: section
                .read(walk, "pieces_per_jar", Must, expected, mass_g)
                .unwrap_or_default(),
        }
    });
    let stop_need = if pack.is_some() { May } else { Must };
    let lines = root.tables(walk, "line", Must, "a line", LINE);
    let formula = FormulaFile {
        name: root
            .words(walk, "name", Must, "a name such as \"Lime curd\"")
            .unwrap_or_default(),
        food: root
            .read(walk, "food", Must, "a class of food", food)
            .unwrap_or(FoodClass::Other),
        cup: root.read(walk, "cup", May, EXPECTED_CUP, cup),
        schedule: root.read(walk, "schedule", May, "the key of a tested schedule", schedule),
        stop_at: root.read(walk, "stop_at", stop_need, EXPECTED_STOP, stop_at),
        jar_headspace_mm: root
            .read(walk, "jar_headspace", May, EXPECTED_HEADSPACE, headspace_m)
            .map(millimetres),
        fill_at_c: root.read(walk, "fill_at", May, EXPECTED_TEMPERATURE, temperature_c),
        measured: root
            .table(walk, "measured", "a measurement", MEASURED)
            .and_then(|section| measured(walk, &section)),
        letter: root
            .table(walk, "letter", "a letter", LETTER)
            .and_then(|section| letter(walk, &section)),
        lines: lines
            .iter()
            .filter_map(|section| line(walk, section, pack.is_some(), stores))
            .collect(),
        pack,
    };
    check_cup(walk, &root, &formula, stores);
    // A line whose part is missing or misspelt is told by itself.
    let may_be = |line: &FormulaLine| line.part == Some(Part::Pieces) || (line.part.is_none() && !line.per_jar);
    let has_pieces = formula.lines.iter().any(may_be);
    if formula.pack.is_some() && formula.lines.len() == lines.len() && !has_pieces {
        walk.fault(
            root.place(walk, "pack"),
            Fault::new("a pack without pieces", "a line with part = \"pieces\""),
        );
    }
    formula
}

/// A cup-like word needs its country, and every amount needs a weight.
fn check_cup<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>, formula: &FormulaFile, stores: Option<&StoresFile>) {
    let unclear = formula.lines.iter().find(|line| line.amount.unit.depends_on_cup());
    if let (Some(line), false) = (unclear, root.has("cup")) {
        let what = format!(
            "\"{}\" is not the same everywhere, and the formula has no \"cup\"",
            line.amount.unit.word()
        );
        walk.fault(
            line.amount_at.clone(),
            Fault::new(what, format!("cup = {EXPECTED_CUP} at the top of the file")),
        );
    }
    for line in &formula.lines {
        let cup = match formula.cup {
            Some(cup) => cup,
            None if line.amount.unit.depends_on_cup() => continue,
            None => CupSystem::Us,
        };
        let item = stores.and_then(|stores| stores.item(&line.ingredient));
        let weights = item.map_or_else(|| Weights::of(&line.ingredient), StoresItem::weights);
        if let Err(error) = line.amount.weigh(&weights, cup) {
            walk.fault(line.amount_at.clone(), error.into());
        }
    }
}

fn line<'t>(
    walk: &mut Walk<'t>,
    section: &Section<'_, 't>,
    in_pack: bool,
    stores: Option<&StoresFile>,
) -> Option<FormulaLine> {
    let ingredient = section.read(walk, "ingredient", Must, "an ingredient such as \"sugar\"", |text| {
        known(text, stores)
    });
    let amount = section.read(walk, "amount", Must, "an amount such as \"2 1/2 cup\"", Amount::parse);
    let per_jar = section.flag(walk, "per_jar");
    let part = section.read(walk, "part", May, EXPECTED_PART, part);
    let line = FormulaLine {
        ingredient: ingredient.unwrap_or_default(),
        form: section.words(walk, "form", May, "a form such as \"superfine\""),
        step: section.words(walk, "step", May, "what to do with it"),
        goes_in: section
            .read(walk, "goes_in", May, EXPECTED_GOES_IN, goes_in)
            .unwrap_or_default(),
        sieved_out: section
            .read(walk, "sieved_out", May, "a share such as \"90 %\"", share)
            .unwrap_or_default(),
        per_jar,
        part,
        ingredient_at: section.place(walk, "ingredient"),
        amount_at: section.place(walk, "amount"),
        amount: amount.clone().unwrap_or(Amount {
            quantity: 0.0,
            unit: AmountUnit::Gram,
        }),
    };
    match (in_pack, per_jar, section.has("part")) {
        (true, true, true) => {
            let fault = Fault::new(
                "\"part\" on a line that goes into each jar",
                "either per_jar = true or part",
            );
            walk.fault(section.place(walk, "part"), fault);
        }
        (true, false, false) => {
            let fault = Fault::new(
                "a line of a pack that is no part of it",
                format!("part = {EXPECTED_PART}"),
            )
            .hint("write per_jar = true if the amount is for each jar");
            walk.fault(section.at.clone(), fault);
        }
        (false, _, true) => {
            walk.fault(
                section.place(walk, "part"),
                Fault::new("\"part\" outside a pack", "a [pack] in the formula"),
            );
        }
        (false, true, false) => {
            walk.fault(
                section.place(walk, "per_jar"),
                Fault::new("\"per_jar\" outside a pack", "a [pack] in the formula"),
            );
        }
        (true, true, false) | (true, false, true) | (false, false, false) => {}
    }
    (amount.is_some() && !line.ingredient.is_empty()).then_some(line)
}
