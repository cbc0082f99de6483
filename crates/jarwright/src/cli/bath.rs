//! `jarwright bath`: one bath or steam canner on the bench.

use std::path::PathBuf;

use jarwright_kitchen::bath_case::{self, BathAnswer};
use jarwright_kitchen::files;

use crate::data_dir::{read_text, write_whole};
use crate::exit::{Exit, Stop};
use crate::problem_report::Faulty;
use crate::{bath_picture, out, text};

const EXAMPLES: &str = r#"Example, a first load and a second one that finds the water boiling:
  jarwright bath two-loads.toml --plot two-loads.svg

  # two-loads.toml
  kind = "water"                  # or "steam": water under the jars, not under pressure
  water_l = 18
  vessel_kg = 2.5
  diameter_mm = 320
  lid = "on"                      # or "off"
  burner_w = 3000                 # with its share; or power_w, what goes into the water
  efficiency_pct = 75
  jars = 12
  jar = "half-pint"               # or [own_jar]: inner_radius_mm, fill_height_mm, wall_mm,
  headspace_mm = 12.7             #   base_mm, glass_g, height_mm
  jar_start_c = 72
  bath_start_c = 82.2
  altitude_m = 250                # and today's barometer_hpa or sea_level_hpa
  hold_min = 15
  published_come_up_min = 27.5

  [food]
  heat = "conducts"               # or "stirs", a brine, with inside_w_m2k
  water_pct = 40                  # or conductivity_w_mk, density_kg_m3, heat_capacity_j_kgk
  sugar_pct = 42
  protein_pct = 4
  fat_pct = 13
  ash_pct = 1

  [[load]]                        # what is left out is as in the first
  jar_start_c = 72
  swap_l = 0                      # hot water bailed out and replaced by cold; add_l on top

A strong burner: set burner_w = 6000 and read the setting for the published come-up; the answer
tells of a burner twice as strong by itself. Other keys: title, rack_mm, power_at_boil_w,
side_loss_w_k, room_c, rel_humidity_pct, supply_c, film_w_m2k; of a load jars, hold_min, gap_min.

A computed bath never replaces a tested schedule. Come-up is part of the process.
Exit codes: 0 done, 2 bad input, 3 the bath never boils."#;

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// The case's file
    #[arg(value_name = "CASE.toml")]
    case: PathBuf,
    /// Print JSON and nothing else
    #[arg(long)]
    json: bool,
    /// Draw the loads into this SVG file
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
}

/// Reads the case, follows it and prints.
///
/// # Errors
/// [`Stop`] on every fault of the file at once, and where the bath never boils.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let text = read_text(&args.case)?;
    let case = match files::read_bath_case(&args.case.display().to_string(), &text) {
        Ok(case) => case,
        Err(problems) => return Err(Stop::Faults(vec![Faulty { text, problems }])),
    };
    let answer = bath_case::follow(&case)?;
    if let Some(path) = &args.plot {
        write_whole(path, &picture(&answer)?)?;
    }
    let said = if args.json {
        out::json(&answer)?
    } else {
        text::bath_case(&answer, args.plot.as_deref())
    };
    out::say(&said).map(|()| Exit::Done)
}

fn picture(answer: &BathAnswer) -> Result<String, Stop> {
    bath_picture::draw(answer).ok_or_else(|| Stop::asked("--plot: there is nothing to draw", "a hold of some minutes"))
}
