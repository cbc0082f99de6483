//! Where all parts meet: files and options become an order, the kitchen makes it a plan.
//!
//! The commands say what they want in a [`Request`]; nothing here prints.

use std::path::{Path, PathBuf};

use jarwright_figure::Equation;
use jarwright_kitchen::adjust::{self, Adjustment};
use jarwright_kitchen::assaying::{AssayAsked, AssaySheet, assay_formula};
use jarwright_kitchen::files::{self, FormulaFile, KitchenFile, Problem, StoresFile};
use jarwright_kitchen::pot_run::{PotSheet, run_pot};
use jarwright_kitchen::{Law, Much, Order, Plan, Use, Wanted};
use jarwright_papers::Sheet;
use jiff::civil::DateTime;

use crate::data_dir::{DataDir, make_dir, read_text, write_whole};
use crate::exit::Stop;
use crate::problem_report::Faulty;

/// What a person asks to have planned.
#[derive(Debug, Clone)]
pub struct Request {
    /// Formulas with how much of each, in which jar.
    pub lines: Vec<Line>,
    /// When the jars must be ready.
    pub by: Option<DateTime>,
    /// The time it is.
    pub now: DateTime,
    /// For sale or for the own table.
    pub for_use: Use,
    /// Whose law.
    pub market: Law,
    /// Altitude [m] in place of the kitchen's.
    pub altitude_m: Option<f64>,
    /// Bath's temperature [°C] at loading in place of the schedule's.
    pub bath_start_c: Option<f64>,
    /// The kitchen file.
    pub kitchen: PathBuf,
    /// The stores file; without one nothing is on hand and nothing is priced.
    pub stores: Option<PathBuf>,
}

/// One formula of a request.
#[derive(Debug, Clone)]
pub struct Line {
    /// The formula's file.
    pub formula: PathBuf,
    /// How much.
    pub much: Much,
    /// Jar's name.
    pub jar: String,
}

/// Reads the files and plans.
///
/// # Errors
/// [`Stop`]: every fault of every file at once, or the kitchen's refusal.
pub fn plan(request: &Request) -> Result<Plan, Stop> {
    let mut faulty = Vec::new();
    let stores = read_stores(request.stores.as_deref(), &mut faulty)?;
    let kitchen: Option<KitchenFile> = read(&request.kitchen, &mut faulty, files::read_kitchen)?;
    let mut lines = Vec::with_capacity(request.lines.len());
    for line in &request.lines {
        let formula = read_formula(&line.formula, stores.as_ref(), &mut faulty)?;
        lines.extend(formula.map(|formula| Wanted {
            formula,
            much: line.much.clone(),
            jar: line.jar.clone(),
        }));
    }
    let (Some(kitchen), Some(stores), true) = (kitchen, stores, faulty.is_empty()) else {
        return Err(Stop::Faults(faulty));
    };
    let order = Order {
        lines,
        by: request.by,
        now: request.now,
        for_use: request.for_use,
        market: request.market,
        altitude_m: request.altitude_m,
        bath_start_c: request.bath_start_c,
    };
    Ok(jarwright_kitchen::plan_order(&order, &kitchen, &stores)?)
}

/// Reads the files and assays the formula as `ask` makes of it.
///
/// # Errors
/// [`Stop`]: every fault of every file at once, or the kitchen's refusal.
pub fn assay(
    formula: &Path,
    kitchen: &Path,
    stores: Option<&Path>,
    ask: impl FnOnce(FormulaFile) -> AssayAsked,
) -> Result<AssaySheet, Stop> {
    let (formula, kitchen, stores) = read_all(formula, kitchen, stores)?;
    Ok(assay_formula(&ask(formula), &kitchen, &stores)?)
}

/// Reads a pot case and works it out.
///
/// # Errors
/// [`Stop`]: every fault of the case at once, or a pot that never gets there.
pub fn pot(path: &Path) -> Result<PotSheet, Stop> {
    let mut faulty = Vec::new();
    match read(path, &mut faulty, files::read_pot_case)? {
        Some(case) => Ok(run_pot(&case)?),
        None => Err(Stop::Faults(faulty)),
    }
}

/// One formula, the kitchen and the stores.
///
/// # Errors
/// [`Stop::Faults`]: every fault of every file at once.
fn read_all(
    formula: &Path,
    kitchen: &Path,
    stores: Option<&Path>,
) -> Result<(FormulaFile, KitchenFile, StoresFile), Stop> {
    let mut faulty = Vec::new();
    let stores = read_stores(stores, &mut faulty)?;
    let kitchen: Option<KitchenFile> = read(kitchen, &mut faulty, files::read_kitchen)?;
    let formula = read_formula(formula, stores.as_ref(), &mut faulty)?;
    match (formula, kitchen, stores) {
        (Some(formula), Some(kitchen), Some(stores)) if faulty.is_empty() => Ok((formula, kitchen, stores)),
        _ => Err(Stop::Faults(faulty)),
    }
}

/// Reads the stores; without a file nothing is on hand and nothing is priced.
fn read_stores(path: Option<&Path>, faulty: &mut Vec<Faulty>) -> Result<Option<StoresFile>, Stop> {
    match path {
        Some(path) => read(path, faulty, files::read_stores),
        None => Ok(Some(StoresFile::default())),
    }
}

/// Reads a formula with the stores' own ingredients.
fn read_formula(
    path: &Path,
    stores: Option<&StoresFile>,
    faulty: &mut Vec<Faulty>,
) -> Result<Option<FormulaFile>, Stop> {
    read(path, faulty, |name, text| {
        // Without its own ingredients a formula's names cannot be judged: a stores file that
        // cannot be read is told alone.
        match stores {
            Some(stores) => files::read_formula_with(name, text, Some(stores)),
            None => files::read_formula(name, text),
        }
    })
}

/// Reads the files and solves the formula for what `ask` makes of it.
///
/// # Errors
/// [`Stop`]: every fault of every file at once, or the kitchen's refusal.
pub fn adjust(
    formula: &Path,
    kitchen: &Path,
    stores: Option<&Path>,
    ask: impl FnOnce(FormulaFile) -> adjust::Request,
) -> Result<Adjustment, Stop> {
    let (formula, kitchen, stores) = read_all(formula, kitchen, stores)?;
    Ok(adjust::adjust(&ask(formula), &kitchen, &stores)?)
}

/// Reads one file; its faults are added to those of the others.
fn read<T>(
    path: &Path,
    faulty: &mut Vec<Faulty>,
    reader: impl FnOnce(&str, &str) -> Result<T, Vec<Problem>>,
) -> Result<Option<T>, Stop> {
    let text = read_text(path)?;
    match reader(&path.display().to_string(), &text) {
        Ok(value) => Ok(Some(value)),
        Err(problems) => {
            faulty.push(Faulty { text, problems });
            Ok(None)
        }
    }
}

/// A request for formulas of a data folder, with the folder's own kitchen and stores.
#[must_use]
pub fn request(data: &DataDir, lines: Vec<Line>, now: DateTime) -> Request {
    Request {
        lines,
        by: None,
        now,
        for_use: Use::OwnUse,
        market: Law::Us,
        altitude_m: None,
        bath_start_c: None,
        kitchen: data.kitchen(),
        stores: Some(data.stores()),
    }
}

/// Writes a plan's sheets into a folder; their paths in the sheets' order, with their titles.
///
/// # Errors
/// A folder or file that cannot be written.
pub fn write_sheets(plan: &Plan, dir: &Path) -> Result<Vec<(PathBuf, String)>, Stop> {
    let sheets = jarwright_papers::sheets(plan);
    sheets
        .iter()
        .map(|sheet| Ok((write_sheet(sheet, dir)?, sheet.title.clone())))
        .collect()
}

/// Writes one sheet into a folder, which is made, and returns its path.
///
/// # Errors
/// A folder or file that cannot be written.
pub fn write_sheet(sheet: &Sheet, dir: &Path) -> Result<PathBuf, Stop> {
    make_dir(dir)?;
    let path = dir.join(&sheet.file_name);
    write_whole(&path, &sheet.html)?;
    Ok(path)
}

/// Every equation the program computes with, sorted by key.
#[must_use]
pub fn equations() -> Vec<&'static Equation> {
    let mut all: Vec<&Equation> = [
        jarwright_matter::EQUATIONS,
        jarwright_heat::EQUATIONS,
        jarwright_dose::EQUATIONS,
        jarwright_kitchen::EQUATIONS,
    ]
    .concat();
    all.sort_by_key(|equation| equation.key);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_equation_has_its_own_key_and_a_source_in_the_table() {
        let all = equations();
        for pair in all.windows(2) {
            assert_ne!(pair[0].key, pair[1].key);
        }
        let unknown: Vec<(&str, &str)> = all
            .iter()
            .filter(|equation| jarwright_reference::source(equation.source).is_none())
            .map(|equation| (equation.key, equation.source))
            .collect();
        assert!(unknown.is_empty(), "not in the sources table: {unknown:?}");
    }
}
