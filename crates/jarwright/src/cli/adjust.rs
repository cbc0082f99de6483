//! `jarwright adjust`: a formula and a target in, the fewest changes out.

use std::path::{Path, PathBuf};

use jarwright_kitchen::adjust::{self, Adjustment, Bounds, Request, Target};
use jarwright_kitchen::files;

use super::common::{Files, ForUse, Market, Stage, now};
use crate::data_dir::write_whole;
use crate::exit::{Exit, Stop};
use crate::{compose, out, text};

const EXAMPLES: &str = "\
Examples:
  jarwright adjust passion-fruit-curd --to \"ph<=3.9\" --keep butter
  jarwright adjust passion-fruit-curd --to \"brix 45\" --to \"ph<=3.8\" --add \"citric acid\"
  jarwright adjust apricot-jam --to \"brix 68\" --market EU --out formulas/apricot-jam-68.toml
  jarwright adjust dill-pickles --swap \"vinegar, distilled 5 % = vinegar, distilled 4 %\"
  jarwright adjust lime-curd --swap \"egg, whole = medium egg, whole\" --json

Targets: brix, ph, aw (water activity), acidity (titratable, % as citric acid), fat, sugar,
fruit (all in %), yield (g or kg), with =, <=, >= or a bare number. A pH or water activity
that is limited is met only when the far end of its computed band meets it.
Swaps: \"old = new\", \"old + other old = new\" or \"old = 60 g new\"; \"medium egg\" names a size.
A computed pH releases nothing: a measurement does.
Exit codes: 0 done, 2 bad input, 3 the targets cannot be met (nothing is written).";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Formula file, or name of a formula in the data folder
    #[arg(value_name = "FORMULA")]
    formula: String,
    /// What the food shall be: "brix 65", "ph<=3.9"; may be repeated
    #[arg(long = "to", value_name = "TARGET", allow_hyphen_values = true)]
    to: Vec<String>,
    /// A line that stays as it is; may be repeated
    #[arg(long, value_name = "LINE")]
    keep: Vec<String>,
    /// A line that may move, and no other; may be repeated
    #[arg(long = "move", value_name = "LINE")]
    only: Vec<String>,
    /// An ingredient that may come in as a new line: water, "citric acid"; may be repeated
    #[arg(long, value_name = "INGREDIENT")]
    add: Vec<String>,
    /// A line that may be left out altogether; may be repeated
    #[arg(long, value_name = "LINE")]
    take_out: Vec<String>,
    /// One line for another: "lime juice, fresh = lime juice, bottled"; may be repeated
    #[arg(long = "swap", value_name = "OLD = NEW")]
    swaps: Vec<String>,
    /// Least of a line, as a multiple of what is written
    #[arg(long, value_name = "TIMES", default_value_t = 0.5, allow_hyphen_values = true)]
    at_least: f64,
    /// Most of a line, as a multiple of what is written
    #[arg(long, value_name = "TIMES", default_value_t = 2.0, allow_hyphen_values = true)]
    at_most: f64,
    /// Stage at which the targets hold
    #[arg(long, value_enum, value_name = "STAGE", default_value = "filled")]
    stage: Stage,
    /// For sale or for the own table
    #[arg(long = "for", value_enum, value_name = "USE", default_value = "sale")]
    for_use: ForUse,
    /// Whose law
    #[arg(long, value_enum, ignore_case = true, value_name = "LAW", default_value = "US")]
    market: Market,
    /// Jar that schedule and routes are asked for [default: the schedule's, else the kitchen's first]
    #[arg(long, value_name = "JAR")]
    jar: Option<String>,
    /// Print the answer as JSON and nothing else
    #[arg(long)]
    json: bool,
    /// Write the adjusted formula into this file, which may not exist yet
    #[arg(long, value_name = "NEW.toml")]
    out: Option<PathBuf>,
    /// The time it is, in place of the computer's clock
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    #[command(flatten)]
    files: Files,
}

/// Solves and prints.
///
/// # Errors
/// [`Stop`] on bad input.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let targets: Vec<Target> = args
        .to
        .iter()
        .map(|text| Target::parse(text))
        .collect::<Result<_, _>>()?;
    let now = now(args.now.as_deref())?;
    if let Some(out) = &args.out {
        free(out)?;
    }
    let formula = args.files.formula(&args.formula)?;
    let (kitchen, stores) = (args.files.kitchen()?, args.files.stores().ok());
    let answer = compose::adjust(&formula, &kitchen, stores.as_deref(), |formula| Request {
        targets,
        stage: match args.stage {
            Stage::Weighed => adjust::Stage::Weighed,
            Stage::Cooked => adjust::Stage::Cooked,
            Stage::Filled => adjust::Stage::Filled,
        },
        keep: args.keep.clone(),
        only: args.only.clone(),
        add: args.add.clone(),
        take_out: args.take_out.clone(),
        swaps: args.swaps.clone(),
        bounds: Bounds {
            least: args.at_least,
            most: args.at_most,
        },
        jar: args.jar.clone(),
        market: args.market.law(),
        for_use: args.for_use.meant(),
        ..Request::new(formula, now)
    })?;
    let mut said = if args.json {
        out::json(&answer)?
    } else {
        text::adjustment(&answer)
    };
    if let Some(out) = &args.out {
        let told = write(&answer, out)?;
        if !args.json {
            said.push_str(&told);
        }
    }
    let ending = if answer.met { Exit::Done } else { Exit::CannotMeet };
    match out::say(&said) {
        Ok(()) | Err(Stop::NobodyReads) => Ok(ending),
        Err(stop) => Err(stop),
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

/// Writes the new formula, where the targets are met.
fn write(answer: &Adjustment, out: &Path) -> Result<String, Stop> {
    if !answer.met {
        return Ok(format!(
            "\nNothing was written to {}: the targets are not met.\n",
            out.display()
        ));
    }
    let mut about: Vec<String> = vec![format!("{}, adjusted.", answer.formula)];
    about.extend(
        answer
            .targets
            .iter()
            .map(|t| format!("For {} ({}).", t.target, answer.stage)),
    );
    about.extend(answer.swaps.iter().map(|swap| format!("Swapped: {}.", swap.words)));
    if answer.schedule.inside_before && !answer.schedule.inside_after {
        about.push("No longer the tested formula: the schedule's key is left out.".into());
    }
    about.push("A computed pH releases nothing: measure the new food.".into());
    // Once more, right before writing: nothing may be written over.
    free(out)?;
    write_whole(out, &files::formula_text(&answer.new_formula, &about))?;
    Ok(format!("\nWritten: {}\n", out.display()))
}
