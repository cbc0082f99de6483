//! `jarwright take-in`: a recipe from outside becomes a formula, after a person's answers.

use std::path::{Path, PathBuf};

use jarwright_kitchen::files::{StoresFile, read_stores};
use jarwright_kitchen::recipe::{Answer, Draft, take_in};

use crate::data_dir::{DataDir, read_text, write_whole};
use crate::exit::{Exit, Stop};
use crate::problem_report::Faulty;
use crate::{out, text};

const EXAMPLES: &str = "\
Example: write this as spread.txt, or save a recipe's page as a file,

  Lemon spread

  Ingredients
  3-4 tbsp honey
  1 1/2 cups superfine sugar
  1 cup lemon juice
  6 large egg yolks

  Method
  Heat to 77 C, then fill.

then ask what is doubtful in it, and answer:

  jarwright take-in spread.txt --food curd
  jarwright take-in spread.txt --food curd --answer cup=us --answer 1.range=b --answer 3.juice=a \\
      --answer \"stop-at=77 C\" --out formulas/lemon-spread.toml

A question is answered by its name and a letter (1.range=b), or by an amount that was weighed
(1.range=\"70 g\"); 1=b does where line 1 has one open question. Reads lines of text in English,
and schema.org recipes in a page or as JSON. Nothing doubtful is settled by itself, no formula is
written while a question is open, and none taken in claims a tested schedule. --draft writes what
there is with every open question marked; no other command reads it as a formula before you decide.

Exit codes: 0 done, 2 bad input or open questions (no formula is written).";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// The recipe: lines of text, a saved page, or JSON
    #[arg(value_name = "FILE")]
    recipe: PathBuf,
    /// Class of food: jam, curd, pickle, ...; the same as --answer food=...
    #[arg(long, value_name = "CLASS")]
    food: Option<String>,
    /// Answer a question: "cup=us", "3.range=b"; may be repeated, in order
    #[arg(long = "answer", value_name = "QUESTION=ANSWER")]
    answers: Vec<String>,
    /// Write the formula into this file, which may not exist yet
    #[arg(long, value_name = "NEW.toml")]
    out: Option<PathBuf>,
    /// Write the draft into this new file, every open question marked, to decide in an editor
    #[arg(long, value_name = "NEW.toml")]
    draft: Option<PathBuf>,
    /// Stores file with own ingredients [default: stores.toml in the data folder, if it is there]
    #[arg(long, value_name = "FILE")]
    stores: Option<PathBuf>,
    /// Print JSON and nothing else
    #[arg(long)]
    json: bool,
}

/// Reads, answers, prints, and writes where nothing is open.
///
/// # Errors
/// [`Stop`] on bad input and on files that cannot be read or written.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    for out in args.out.iter().chain(&args.draft) {
        free(out)?;
    }
    let stores = stores(args.stores.as_deref())?;
    let recipe = read_text(&args.recipe)?;
    let mut draft = take_in(&recipe, stores.as_ref()).map_err(|fault| {
        let hint = fault
            .hint
            .clone()
            .unwrap_or_else(|| format!("expected {}", fault.expected));
        Stop::file(&args.recipe, fault.what, hint)
    })?;
    if let Some(food) = &args.food {
        answer(&mut draft, "--food", "food", food)?;
    }
    for said in &args.answers {
        let (key, words) = said.split_once('=').ok_or_else(|| {
            Stop::asked(
                format!("--answer: \"{said}\" has no \"=\""),
                "write a question's name and its answer: --answer 3.range=b",
            )
        })?;
        answer(&mut draft, "--answer", key, words)?;
    }
    let formula = draft.to_toml();
    // A draft whose questions are answered and that cannot be written has its reason told.
    if let (Err(why), None) = (&formula, draft.open().next()) {
        let why: Vec<&str> = why.iter().map(|doubt| doubt.question.as_str()).collect();
        return Err(Stop::asked(why.join("; "), "change an answer"));
    }
    let written = match (&formula, &args.out) {
        (Ok(formula), Some(out)) => {
            // Once more, right before writing: nothing may be written over.
            free(out)?;
            write_whole(out, formula)?;
            Some(out.as_path())
        }
        _ => None,
    };
    if let Some(path) = &args.draft {
        free(path)?;
        write_whole(path, &draft.to_marked_toml())?;
    }
    let formula = formula.ok();
    let said = if args.json {
        out::json(&serde_json::json!({ "draft": draft, "formula": formula }))?
    } else {
        text::recipe::draft(&draft, formula.as_deref(), written)
    };
    let ending = if formula.is_some() { Exit::Done } else { Exit::BadInput };
    match out::say(&said) {
        Ok(()) | Err(Stop::NobodyReads) => Ok(ending),
        Err(stop) => Err(stop),
    }
}

fn answer(draft: &mut Draft, option: &str, key: &str, words: &str) -> Result<(), Stop> {
    draft.decide(key, &Answer::parse(words)).map_err(|fault| {
        let near = fault
            .nearest
            .map(|near| format!("; did you mean \"{near}\"?"))
            .unwrap_or_default();
        let hint = match (fault.hint, fault.expected.is_empty()) {
            (Some(hint), _) => format!("{hint}{near}"),
            (None, false) => format!("expected {}{near}", fault.expected),
            (None, true) => "run it without that answer to see what is open".to_owned(),
        };
        Stop::asked(format!("{option} {key}={words}: {}", fault.what), hint)
    })
}

/// The stores: those named, or the data folder's where there are any.
fn stores(named: Option<&Path>) -> Result<Option<StoresFile>, Stop> {
    let path = match named {
        Some(path) => path.to_owned(),
        None => match DataDir::find(None) {
            Ok(data) if data.stores().is_file() => data.stores(),
            _ => return Ok(None),
        },
    };
    let text = read_text(&path)?;
    match read_stores(&path.display().to_string(), &text) {
        Ok(stores) => Ok(Some(stores)),
        Err(problems) => Err(Stop::Faults(vec![Faulty { text, problems }])),
    }
}

/// Refuses a file that is there already, or is no formula file's name.
fn free(out: &Path) -> Result<(), Stop> {
    if out.symlink_metadata().is_ok() {
        return Err(Stop::file(
            out,
            "is there already, and no formula is written over another",
            "name a new file",
        ));
    }
    if !out.extension().is_some_and(|end| end.eq_ignore_ascii_case("toml")) {
        return Err(Stop::file(out, "is no name of a formula file", "let it end in .toml"));
    }
    Ok(())
}
