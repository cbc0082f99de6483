//! `jarwright brine`: what a solution of named amounts is.

use jarwright_kitchen::brine::{self, Ask};
use jarwright_matter::{barometer_pa, pressure_pa, station_pressure_pa};

use super::common::temperature_c;
use crate::exit::{Exit, Stop};
use crate::{out, text};

const EXAMPLES: &str = "\
Examples:
  jarwright brine citric=0.05 K=0.03 --at-c 25      a lemonade's acid, a part of it neutralised
  jarwright brine salt=0.9 acetic=0.3               a pickling brine
  jarwright brine sucrose=5.5 --altitude-m 1600 --sea-level-hpa 1025
                                                    a jelly's syrup on a day of high pressure

Words: acids citric, malic, tartaric, acetic, lactic, ascorbic, phosphoric, carbonic, oxalic,
succinic, benzoic, sorbic, phthalic, boric; ions Na, K, NH4, Mg, Ca, Cl, NO3, SO4; sugars
sucrose, glucose, fructose, maltose, lactose; ethanol; salt, KCl, CaCl2, MgCl2, NH4Cl, KNO3,
K2SO4, NaHCO3, Na2CO3, K2CO3. What the ions leave of charge is hydrogen and hydroxyl.

The bench on which the program's models are checked. A computed pH releases no jar.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// What is dissolved, in mol in a kilogram of water
    #[arg(value_name = "WORD=MOL", required = true)]
    amounts: Vec<String>,
    /// Temperature, 0 to 100 °C: a bare number is °C, 77F says its scale
    #[arg(long, value_name = "TEMP", value_parser = at_c, default_value = "25", allow_hyphen_values = true)]
    at_c: f64,
    /// Height above sea level [m], for the boiling point
    #[arg(long, value_name = "M", default_value_t = 0.0, allow_hyphen_values = true)]
    altitude_m: f64,
    /// Today's air pressure as weather services give it, reduced to sea level [hPa]
    #[arg(
        long,
        value_name = "HPA",
        allow_hyphen_values = true,
        conflicts_with = "barometer_hpa"
    )]
    sea_level_hpa: Option<f64>,
    /// Today's air pressure as a barometer here shows it, not set to sea level [hPa]
    #[arg(long, value_name = "HPA", allow_hyphen_values = true)]
    barometer_hpa: Option<f64>,
    /// Figures for machines, each with its basis
    #[arg(long)]
    json: bool,
}

/// Works the solution out and prints it.
///
/// # Errors
/// [`Stop`] on bad input.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let brine = brine::brine(&Ask {
        amounts: brine::read_amounts(&args.amounts)?,
        at_c: args.at_c,
        pressure_pa: args.pressure_pa()?,
    })?;
    let said = if args.json {
        out::json(&brine)?
    } else {
        text::brine(&brine)
    };
    out::say(&said).map(|()| Exit::Done)
}

fn at_c(text: &str) -> Result<f64, String> {
    // Below 0 °C the bench itself tells what is frozen.
    temperature_c(text, -20.0, 100.0)
}

impl Args {
    fn pressure_pa(&self) -> Result<f64, Stop> {
        let here = match (self.sea_level_hpa, self.barometer_hpa) {
            (Some(sea), _) => station_pressure_pa(100.0 * sea, self.altitude_m),
            (None, Some(here)) => barometer_pa(100.0 * here, self.altitude_m),
            (None, None) => pressure_pa(self.altitude_m),
        };
        here.map_err(|error| {
            Stop::asked(
                error.to_string(),
                "--sea-level-hpa takes a reading reduced to sea level, --barometer-hpa one as it is here, --altitude-m metres",
            )
        })
    }
}
