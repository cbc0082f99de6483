//! `jarwright why`: an equation, a document or a figure of a saved answer, down to where it is from.

use std::path::{Path, PathBuf};

use jarwright_figure::{Equation, Id};
use jarwright_kitchen::files;
use jarwright_papers::why::{self, Bounds};
use jarwright_papers::words;
use jarwright_reference::SourceRow;

use crate::exit::{Exit, Stop};
use crate::problem_report::visible;
use crate::saved_figures::{self, Saved};
use crate::text::page::Page;
use crate::{compose, out};

const EXAMPLES: &str = "\
Examples:
  jarwright why                            all keys
  jarwright why lethality                  one equation
  jarwright why cfr21_114                  one source that a plan names
  jarwright why --of plan.json             the figures of a plan saved with --json
  jarwright why q155 --of plan.json        where one of them comes from
  jarwright why q155 --of plan.json --all  down to the last document
  jarwright why q155 --of plan.json --out sheets
                                           as a sheet to print, in a folder

plan, assay and adjust save their answer with --json > FILE.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Key of an equation or a source, or handle of a figure; without it, all are listed
    #[arg(value_name = "KEY")]
    key: Option<String>,
    /// Answer saved with --json, whose figures are asked for
    #[arg(long, value_name = "FILE.json")]
    of: Option<PathBuf>,
    /// Walk down to every leaf
    #[arg(long, requires = "of")]
    all: bool,
    /// Write the figure's sheet, to be printed, into this folder
    #[arg(long, value_name = "DIR", requires_all = ["of", "key"])]
    out: Option<PathBuf>,
}

/// Prints the equation, the document or the figure, or the list of all.
///
/// # Errors
/// [`Stop`] on a key that is not known, with the nearest one, and on a file that is no saved
/// answer.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let equations = compose::equations();
    let said = match (&args.of, &args.key) {
        (Some(path), key) => {
            let saved = saved_figures::read(path, &equations)?;
            match key {
                Some(key) => figure(&saved, key, path, args)?,
                None => figures(&saved),
            }
        }
        (None, Some(key)) => equation_or_source(&equations, key)?,
        (None, None) => list(&equations),
    };
    out::say(&said).map(|()| Exit::Done)
}

fn list(equations: &[&Equation]) -> String {
    let mut page = Page::new();
    let width = equations.iter().map(|equation| equation.key.len()).max().unwrap_or(0);
    for equation in equations {
        page.item(0, &format!("{:width$}  ", equation.key), equation.title);
    }
    page.gap();
    page.line(0, "jarwright why KEY shows one.");
    page.text()
}

fn equation_or_source(equations: &[&Equation], key: &str) -> Result<String, Stop> {
    let met = key.trim().to_lowercase();
    let mut page = Page::new();
    if let Some(equation) = equations.iter().find(|equation| equation.key == met) {
        show(&mut page, equation);
        return Ok(page.text());
    }
    if let Some(row) = jarwright_reference::source(&met) {
        source(&mut page, row);
        return Ok(page.text());
    }
    if Id::parse(&met).is_some() {
        return Err(Stop::asked(
            format!("{met} is a figure, and no saved answer is named"),
            format!("say whose: jarwright why {met} --of plan.json"),
        ));
    }
    let sources = jarwright_reference::sources().iter().map(|row| row.key.as_str());
    let known = equations.iter().map(|equation| equation.key).chain(sources);
    let hint = files::nearest(&met, known).map_or_else(
        || "`jarwright why` lists all keys".into(),
        |near| format!("did you mean \"{near}\"?"),
    );
    Err(Stop::asked(
        format!("no equation and no source \"{}\"", visible(key)),
        hint,
    ))
}

fn show(page: &mut Page, equation: &Equation) {
    page.line(0, equation.title);
    page.gap();
    for line in equation.text.lines() {
        page.verbatim(2, line.trim_end());
    }
    page.gap();
    match jarwright_reference::source(equation.source) {
        Some(row) => source(page, row),
        None => page.item(0, "Source  ", "not in the table of sources"),
    }
    page.item(
        0,
        "Keys    ",
        &format!("equation {}, source {}", equation.key, equation.source),
    );
}

fn source(page: &mut Page, row: &SourceRow) {
    let year = if row.year.is_empty() {
        String::new()
    } else {
        format!(" ({})", row.year)
    };
    page.item(
        0,
        "Source  ",
        &format!("{}{year}: {} ({})", row.authors, row.title, row.kind),
    );
    page.item(0, "        ", &row.note);
}

/// Every figure of a saved answer, in the order it was computed.
fn figures(saved: &Saved) -> String {
    let mut page = Page::new();
    let mut all: Vec<_> = saved.quantities.values().collect();
    all.sort_by_key(|figure| Id::parse(&figure.id));
    let width = all.iter().map(|figure| figure.id.len()).max().unwrap_or(0);
    for figure in all {
        page.item(
            0,
            &format!("{:width$}  ", figure.id),
            &format!("{}: {}", figure.name, words::value(figure)),
        );
    }
    page.text()
}

/// A figure down to where it comes from.
fn figure(saved: &Saved, key: &str, path: &Path, args: &Args) -> Result<String, Stop> {
    let met = key.trim().to_lowercase();
    let Some(figure) = saved.quantities.get(&met) else {
        return Err(Stop::asked(
            format!("no figure \"{}\" in {}", visible(key), path.display()),
            format!("`jarwright why --of {}` lists its figures, from q0 on", path.display()),
        ));
    };
    let bounds = |usual: Bounds| if args.all { Bounds::LEAVES } else { usual };
    let written = args.out.as_deref().map(|dir| {
        let step = why::walk(figure, &saved.quantities, bounds(Bounds::PAGE));
        let of = path.file_name().unwrap_or_default().to_string_lossy();
        compose::write_sheet(&why::sheet(&step, &of, &saved.currency), dir)
    });
    let written = written.transpose()?;
    let step = why::walk(figure, &saved.quantities, bounds(Bounds::TERMINAL));
    let mut page = Page::new();
    for line in why::lines(&step, &saved.currency) {
        let indent = 2 * line.depth;
        match (line.verbatim, line.begins && line.depth > 0) {
            (true, _) => page.verbatim(indent, &line.words),
            (false, true) => page.item(indent - 2, "- ", &line.words),
            (false, false) => page.line(indent, &line.words),
        }
    }
    page.gap();
    page.line(0, "A handle in square brackets can be asked for in its turn.");
    if let Some(path) = written {
        page.item(0, "Sheet written: ", &path.display().to_string());
    }
    Ok(page.text())
}
