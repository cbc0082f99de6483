//! `jarwright readings`: what a temperature logger's file says.

use std::fs::{self, File};
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};

use clap::ValueEnum;
use jarwright_stove::{Asked, DateOrder, DecimalMark, Degrees, ReadError, Report, TimesCount, read};

use crate::exit::{Exit, Stop};
use crate::{out, text};

const EXAMPLES: &str = "\
Examples:
  jarwright readings run-12.csv --medium Bath
  jarwright readings run-12.csv --medium Bath --lethality 93.3C:8.9C --lethality 180F:16F --plot run-12.svg
  jarwright readings cooler.csv --unit f --cooling-at 38 --json

The file may be apart by commas, semicolons, tabs, bars or spaces, with a point or a comma before the
decimals, with lines above and below the table. What it leaves open is asked, with the option that answers.
Published schedules govern; this explains.
Exit codes: 0 done, 2 bad input or a question to answer.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// The logger's file
    #[arg(value_name = "LOG")]
    log: PathBuf,
    /// Heading or number of the column that is the bath, the air or another medium
    #[arg(long, value_name = "COL")]
    medium: Option<String>,
    /// Temperature of the heating medium, in the log's unit or with C or F behind it
    #[arg(long, value_name = "TEMP", allow_hyphen_values = true)]
    medium_at: Option<String>,
    /// Temperature of what the food cools towards, likewise
    #[arg(long, value_name = "TEMP", allow_hyphen_values = true)]
    cooling_at: Option<String>,
    /// When heat was turned on: as the log writes it, "14:05", or "12 min" after its first row
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    zero: Option<String>,
    /// When heat was turned off or the jars were lifted out, likewise
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    off: Option<String>,
    /// Order of day, month and year
    #[arg(long, value_enum, value_name = "ORDER")]
    dates: Option<Dates>,
    /// Mark before the decimals
    #[arg(long, value_enum, value_name = "MARK")]
    decimal: Option<Decimal>,
    /// Unit of temperatures that the log leaves without one
    #[arg(long, value_enum, value_name = "UNIT", ignore_case = true)]
    unit: Option<UnitOption>,
    /// What bare times count
    #[arg(long, value_enum, value_name = "WHAT")]
    times: Option<TimesOption>,
    /// Lethality against a reference temperature and z, such as 93.3:8.9 or 200F:16F; may be repeated
    #[arg(long, value_name = "REF:Z")]
    lethality: Vec<String>,
    /// Print JSON and nothing else
    #[arg(long)]
    json: bool,
    /// Draw the log into this SVG file
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
}

/// Order of dates, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Dates {
    /// Day first
    Dmy,
    /// Month first
    Mdy,
    /// Year first
    Ymd,
}

/// Decimal mark, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Decimal {
    /// 85.3
    Point,
    /// 85,3
    Comma,
}

/// Unit, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum UnitOption {
    /// Celsius
    C,
    /// Fahrenheit
    F,
}

/// What bare times count, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum TimesOption {
    /// Times of day
    Clock,
    /// Seconds
    S,
    /// Minutes
    Min,
    /// Hours
    H,
    /// Days
    D,
}

/// Reads, prints and draws.
///
/// # Errors
/// [`Stop`] on what is no log, and on every question that the log leaves open.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    readable(&args.log)?;
    let asked = args.asked();
    let open =
        || File::open(&args.log).map(|file| Box::new(BufReader::with_capacity(1 << 16, file)) as Box<dyn BufRead>);
    let report = read(&open, &asked).map_err(|error| stop(&args.log, &error))?;
    if let Some(path) = &args.plot {
        let svg = picture(&report, &asked.name)?;
        // Before anything is printed: a reader that goes away loses no picture.
        fs::write(path, svg).map_err(|error| {
            Stop::file(
                path,
                format!("could not be written: {error}"),
                "name a file in a folder that is there",
            )
        })?;
    }
    let said = if args.json {
        let text = serde_json::to_string_pretty(&report.figures()).map_err(|error| {
            Stop::asked(
                format!("the report could not be written as JSON: {error}"),
                "report this fault",
            )
        })?;
        text + "\n"
    } else {
        text::readings::report(&report, args.plot.as_deref())
    };
    out::say(&said).map(|()| Exit::Done)
}

/// A file that can be read twice: no folder, no pipe.
fn readable(path: &Path) -> Result<(), Stop> {
    let about = fs::metadata(path)
        .map_err(|error| Stop::file(path, format!("could not be read: {error}"), "check the name"))?;
    if about.is_file() {
        return Ok(());
    }
    Err(Stop::file(
        path,
        "is no file that can be read twice",
        "save the log as a file first",
    ))
}

fn stop(path: &Path, error: &ReadError) -> Stop {
    match error {
        ReadError::Option { .. } => Stop::asked(error.to_string(), error.hint()),
        _ => Stop::file(path, error.to_string(), error.hint()),
    }
}

fn picture(report: &Report, name: &str) -> Result<String, Stop> {
    crate::log_picture::draw(report, name).ok_or_else(|| {
        Stop::asked(
            "--plot: there is nothing to draw",
            "a picture needs two readings of a probe",
        )
    })
}

impl Args {
    fn asked(&self) -> Asked {
        Asked {
            name: self
                .log
                .file_name()
                .map_or_else(|| "log".into(), |name| name.to_string_lossy().into_owned()),
            medium: self.medium.clone(),
            medium_at: self.medium_at.clone(),
            cooling_at: self.cooling_at.clone(),
            zero: self.zero.clone(),
            off: self.off.clone(),
            dates: self.dates.map(|dates| match dates {
                Dates::Dmy => DateOrder::DayMonthYear,
                Dates::Mdy => DateOrder::MonthDayYear,
                Dates::Ymd => DateOrder::YearMonthDay,
            }),
            decimal: self.decimal.map(|decimal| match decimal {
                Decimal::Point => DecimalMark::Point,
                Decimal::Comma => DecimalMark::Comma,
            }),
            unit: self.unit.map(|unit| match unit {
                UnitOption::C => Degrees::Celsius,
                UnitOption::F => Degrees::Fahrenheit,
            }),
            times: self.times.map(|times| match times {
                TimesOption::Clock => TimesCount::Clock,
                TimesOption::S => TimesCount::Seconds,
                TimesOption::Min => TimesCount::Minutes,
                TimesOption::H => TimesCount::Hours,
                TimesOption::D => TimesCount::Days,
            }),
            lethality: self.lethality.clone(),
        }
    }
}
