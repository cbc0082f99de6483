//! `jarwright plan`: an order in, the whole run out.

use std::path::PathBuf;

use jarwright_kitchen::Much;

use super::common::{Files, ForUse, Market, altitude_m, fault_of, now, temperature_c};
use crate::compose::{self, Line, Request};
use crate::exit::{Exit, Stop};
use crate::{out, text, when};

/// Most jars one order may name; a kitchen's own limit is far below and told by the plan.
const MOST_JARS: u64 = 10_000_000;

const EXAMPLES: &str = "\
Examples:
  jarwright plan lime-curd --jars 48 --jar half-pint --by \"Saturday 09:00\" --for sale
  jarwright plan lime-curd apricot-jam --jars 48 --jars 30 --jar half-pint --out sheets
  jarwright plan lime-curd --from \"2.3 L bottled lime juice\" --jar half-pint --json

--jars and --jar may be repeated, in the order of the formulas; the last one serves the rest.
Exit codes: 0 done, 2 bad input, 3 the order cannot be met.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Formula files, or names of formulas in the data folder
    #[arg(required = true, value_name = "FORMULA")]
    formulas: Vec<String>,
    /// Good jars wanted
    #[arg(long, value_name = "N", value_parser = jars, allow_hyphen_values = true, required_unless_present = "from")]
    jars: Vec<u64>,
    /// Jar size: half-pint, pint, ...
    #[arg(long, value_name = "JAR", required = true)]
    jar: Vec<String>,
    /// Instead of --jars: as many as come from this much, such as "2.3 L bottled lime juice"
    #[arg(long, value_name = "AMOUNT", conflicts_with = "jars", allow_hyphen_values = true)]
    from: Option<String>,
    /// When the jars must be ready to leave: "2026-11-28 09:00" or "Saturday 09:00"
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    by: Option<String>,
    /// For sale or for the own table
    #[arg(long = "for", value_enum, value_name = "USE", default_value = "sale")]
    for_use: ForUse,
    /// Whose law
    #[arg(long, value_enum, ignore_case = true, value_name = "LAW", default_value = "US")]
    market: Market,
    /// Height above sea level in metres, in place of the kitchen's
    #[arg(long, value_name = "M", value_parser = altitude_m, allow_hyphen_values = true)]
    altitude_m: Option<f64>,
    /// Bath water when the jars go in, in °C or as 158F, in place of the schedule's
    #[arg(long, value_name = "TEMP", value_parser = bath_start_c, allow_hyphen_values = true)]
    bath_start_c: Option<f64>,
    /// Print the plan as JSON and nothing else
    #[arg(long)]
    json: bool,
    /// Write the sheets to print into this folder
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// The time it is, in place of the computer's clock
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    #[command(flatten)]
    files: Files,
}

/// Plans and prints.
///
/// # Errors
/// [`Stop`] on bad input or an order that cannot even be planned.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let request = args.request()?;
    let plan = compose::plan(&request)?;
    let mut said = if args.json {
        out::json(&plan)?
    } else {
        text::plan(&plan)
    };
    if let Some(dir) = &args.out {
        // Before anything is printed: a reader that goes away loses no sheet.
        let sheets = compose::write_sheets(&plan, dir)?;
        if !args.json {
            said.push_str(&text::sheets(&sheets));
        }
    }
    let ending = if plan.run.cannot.is_some() {
        Exit::CannotMeet
    } else {
        Exit::Done
    };
    match out::say(&said) {
        Ok(()) | Err(Stop::NobodyReads) => Ok(ending),
        Err(stop) => Err(stop),
    }
}

impl Args {
    fn request(&self) -> Result<Request, Stop> {
        let now = now(self.now.as_deref())?;
        let by = self.by.as_deref().map(|text| when::coming(text, now)).transpose();
        let by = by.map_err(|fault| fault_of("--by", &fault))?;
        let many = self.formulas.len();
        if self.from.is_some() && many > 1 {
            return Err(Stop::asked(
                "--from serves one formula, and here are several",
                "plan them one by one",
            ));
        }
        for (name, given) in [("--jars", self.jars.len()), ("--jar", self.jar.len())] {
            if given > many {
                let what = format!("{name} is given {given} times for {many} formula(s)");
                return Err(Stop::asked(what, "give it once a formula, or once for all"));
            }
        }
        let mut lines = Vec::with_capacity(many);
        for (index, name) in self.formulas.iter().enumerate() {
            let formula = self.files.formula(name)?;
            let much = match (&self.from, self.jars.get(index).or(self.jars.last())) {
                (Some(from), _) => Much::From(from.clone()),
                (None, Some(&jars)) => Much::Jars(jars),
                (None, None) => return Err(Stop::asked("how many jars?", "give --jars or --from")),
            };
            let Some(jar) = self.jar.get(index).or(self.jar.last()) else {
                return Err(Stop::asked("which jar?", "give --jar, such as --jar half-pint"));
            };
            lines.push(Line {
                formula,
                much,
                jar: jar.clone(),
            });
        }
        let stores = match self.files.stores() {
            Ok(stores) => Some(stores),
            Err(usual) => {
                if let Some(usual) = usual {
                    out::complain(&format!(
                        "no stores file at {}: nothing is on hand or priced\n",
                        usual.display()
                    ));
                }
                None
            }
        };
        Ok(Request {
            lines,
            by,
            now,
            for_use: self.for_use.meant(),
            market: self.market.law(),
            altitude_m: self.altitude_m,
            bath_start_c: self.bath_start_c,
            kitchen: self.files.kitchen()?,
            stores,
        })
    }
}

fn jars(text: &str) -> Result<u64, String> {
    let most = format!("write a whole number of jars, from 1 to {MOST_JARS}");
    match text.trim().parse::<u64>() {
        Ok(0) => Err(format!("no jars, nothing to plan; {most}")),
        Ok(jars) if jars <= MOST_JARS => Ok(jars),
        _ => Err(most),
    }
}

fn bath_start_c(text: &str) -> Result<f64, String> {
    temperature_c(text, 0.0, 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_jars_and_absurd_jars_are_refused() {
        for text in ["0", "-3", "1e3", "4.5", "48 jars", "99999999999", "1,000,000", ""] {
            assert!(jars(text).is_err(), "{text}");
        }
        assert_eq!(jars("1000000"), Ok(1_000_000));
    }

    #[test]
    fn what_is_no_number_in_range_is_refused() {
        for text in ["NaN", "inf", "-431", "5001", "120 m", ""] {
            assert!(altitude_m(text).is_err(), "{text}");
        }
        assert_eq!(altitude_m("1500"), Ok(1500.0));
        assert!(bath_start_c("101").is_err() && bath_start_c("213F").is_err());
        assert!(bath_start_c("158F").is_ok_and(|c| (c - 70.0).abs() < 1e-9));
    }
}
