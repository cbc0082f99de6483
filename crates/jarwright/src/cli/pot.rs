//! `jarwright pot`: one pot on the heat, followed with the film at its wall.

use std::path::PathBuf;

use crate::compose;
use crate::data_dir::write_whole;
use crate::exit::{Exit, Stop};
use crate::{out, text};

const EXAMPLES: &str = "\
Examples:
  jarwright pot jarwright-demo/pots/lime-curd.toml
  jarwright pot jarwright-demo/pots/apricot-jam.toml --json
  jarwright pot jarwright-demo/pots/lime-curd.toml --plot lime-curd.svg

A case, all of it:
  name = \"lime curd\"
  vessel = \"bowl over steam\"    # or steam kettle, pot on gas, pot on coil, pot on induction
  diameter_mm = 340
  power_w = 2500                # the ring's rating
  mass_kg = [1, 3, 6, 12]       # or one number
  start_c = 18
  egg = true                    # watch it set and scramble
  [food]                        # shares of the mass, 100 in all; or conductivity_w_mk,
  water_pct = 46                # density_kg_m3 and heat_capacity_j_kgk
  sucrose_pct = 40
  fat_pct = 7
  protein_pct = 7
  [[addition]]                  # butter, cold, when the pot is at 60 °C
  of_start_pct = 20
  at_c = 60
  from_c = 6
  water_pct = 17
  fat_pct = 83
  [stop]                        # or brix, boil_minutes, minutes
  at_c = 77

More keys: height_mm, wall_mm, pot_kg, efficiency, steam_gauge_kpa, air_in_steam, lid,
stirs_per_min, wiped_every_s, viscosity_mpa_s, room_c, room_humidity_pct, altitude_m or
pressure_hpa, sugar_shift_k, ph, at_most_minutes, change_minutes, hold_minutes in [stop];
glucose_fructose_pct, starch_pct, fibre_pct, salt_pct, ash_pct in [food] and [[addition]].

Computed figures plan and explain; they release nothing. Exit codes: 0 done, 2 bad input,
3 the pot never gets there or does not hold it.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// The case's file
    #[arg(value_name = "CASE.toml")]
    case: PathBuf,
    /// Print the answer as JSON and nothing else
    #[arg(long)]
    json: bool,
    /// Write the curves as a picture
    #[arg(long, value_name = "FILE.svg")]
    plot: Option<PathBuf>,
}

/// Works the case out and prints it.
///
/// # Errors
/// [`Stop`] on bad input or where the pot never gets there.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let sheet = compose::pot(&args.case)?;
    if let Some(path) = &args.plot {
        let svg = jarwright_papers::pot_picture(&sheet)
            .ok_or_else(|| Stop::asked("no time passes in this case", "a later [stop]"))?;
        write_whole(path, &svg)?;
    }
    let said = if args.json {
        out::json(&sheet)?
    } else {
        text::pot(&sheet)
    };
    out::say(&said).map(|()| Exit::Done)
}
