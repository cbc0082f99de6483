//! `jarwright assay`: everything known of one formula's food at a stage.

use jarwright_kitchen::Barometer;
use jarwright_kitchen::assaying::{AssayAsked, At};

use super::common::{Files, Market, Stage, altitude_m, between, now, temperature_c};
use crate::exit::{Exit, Stop};
use crate::{compose, out, text};

const EXAMPLES: &str = "\
Examples:
  jarwright assay lime-curd
  jarwright assay apricot-jam --stage cooked --sea-level-hpa 1002
  jarwright assay apricot-jam --thermometer 103.5
  jarwright assay dill-pickles --jar pint --json

Computed figures plan and explain; they release nothing. Exit codes: 0 done, 2 bad input.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Formula file, or name of a formula in the data folder
    #[arg(value_name = "FORMULA")]
    formula: String,
    /// Stage of the food
    #[arg(long, value_enum, value_name = "STAGE", default_value = "filled")]
    stage: Stage,
    /// Temperature, in °C or as 68F, of density, conductivity and heat capacity, in place of the stage's own
    #[arg(long, value_name = "TEMP", value_parser = food_c, allow_hyphen_values = true)]
    at_c: Option<f64>,
    /// A thermometer reading, in °C or as 218F, in the boiling food, to be told as °Brix
    #[arg(long, value_name = "TEMP", value_parser = boiling_c, allow_hyphen_values = true)]
    thermometer: Option<f64>,
    /// Jar of a pack of pieces and brine [default: the tested one]
    #[arg(long, value_name = "JAR")]
    jar: Option<String>,
    /// Whose law reserves names
    #[arg(long, value_enum, ignore_case = true, value_name = "LAW", default_value = "US")]
    market: Market,
    /// Height above sea level in metres, in place of the kitchen's
    #[arg(long, value_name = "M", value_parser = altitude_m, allow_hyphen_values = true)]
    altitude_m: Option<f64>,
    /// Today's barometer in hPa as it reads in the kitchen, not corrected to sea level
    #[arg(long, value_name = "HPA", value_parser = here_hpa, allow_hyphen_values = true, conflicts_with = "sea_level_hpa")]
    barometer_hpa: Option<f64>,
    /// Today's air pressure in hPa as weather services give it, reduced to sea level
    #[arg(long, value_name = "HPA", value_parser = sea_level_hpa, allow_hyphen_values = true)]
    sea_level_hpa: Option<f64>,
    /// Print the assay as JSON and nothing else
    #[arg(long)]
    json: bool,
    /// The time it is, in place of the computer's clock
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    #[command(flatten)]
    files: Files,
}

/// Assays and prints.
///
/// # Errors
/// [`Stop`] on bad input.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let now = now(args.now.as_deref())?;
    let formula = args.files.formula(&args.formula)?;
    let sheet = compose::assay(
        &formula,
        &args.files.kitchen()?,
        args.files.stores().ok().as_deref(),
        |formula| AssayAsked {
            formula,
            at: match args.stage {
                Stage::Weighed => At::Weighed,
                Stage::Cooked => At::Cooked,
                Stage::Filled => At::Filled,
            },
            at_c: args.at_c,
            thermometer_c: args.thermometer,
            jar: args.jar.clone(),
            market: args.market.law(),
            now,
            altitude_m: args.altitude_m,
            barometer: args
                .barometer_hpa
                .map(|hpa| Barometer::Here(100.0 * hpa))
                .or(args.sea_level_hpa.map(|hpa| Barometer::SeaLevel(100.0 * hpa))),
        },
    )?;
    let said = if args.json {
        out::json(&sheet)?
    } else {
        text::assay(&sheet)
    };
    out::say(&said).map(|()| Exit::Done)
}

fn food_c(text: &str) -> Result<f64, String> {
    temperature_c(text, -40.0, 150.0)
}

fn boiling_c(text: &str) -> Result<f64, String> {
    temperature_c(text, 80.0, 130.0)
}

fn here_hpa(text: &str) -> Result<f64, String> {
    between(text, 500.0, 1100.0, "hPa, from 500 to 1100")
}

fn sea_level_hpa(text: &str) -> Result<f64, String> {
    between(text, 870.0, 1085.0, "hPa at sea level, from 870 to 1085")
}
