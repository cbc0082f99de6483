//! `jarwright cool`: how fast a vessel of food cools or freezes, and what the glass goes through.

use std::fs;
use std::path::PathBuf;

use jarwright_kitchen::cooling::cooling;
use jarwright_kitchen::files::{MOST_BYTES, read_cooling};

use crate::exit::{Exit, Stop};
use crate::problem_report::Faulty;
use crate::{cooling_picture, out, text};

const EXAMPLES: &str = "\
Example: write this as sauce.toml, then  jarwright cool sauce.toml --plot sauce.svg

  shape = \"pan\"              # pan, tub, jar or bowl
  depth_mm = 50              # of the food; pan and tub also length_mm and width_mm
  length_mm = 500
  width_mm = 300             # jar and bowl: diameter_mm
  start_c = 80
  freeze_to_c = -18          # left out: cooled to 5 °C

  [food]                     # shares that make 100 %, or k_w_mk, density_kg_m3 and cp_j_kgk
  water_pct = 88             # also protein_, fat_, sucrose_, glucose_fructose_, starch_,
  starch_pct = 12            # fibre_, ash_, salt_ and alcohol_pct

  [[phase]]
  medium = \"still air\"       # fan, refrigerator, blast chiller, freezer, ice bath, water
  medium_c = 20
  minutes = 20

  [[phase]]                  # the last may leave the minutes out
  medium = \"freezer\"
  medium_c = -25
  speed_m_s = 1.5            # air over the food, or stirred water; fan and blast chiller need it

Further: stirred = true; film_w_m2k in a phase, where it was measured; wall_mm and wall_k_w_mk;
  [readings]     first_c, second_c, minutes_between, sink_c: when it will be cold
  [refrigerator] spare_w, set_c, capacity_kj_k, limit_c: how much of it a refrigerator takes
  [glass]        wall_mm, height_mm, diameter_mm, jar_c, food_c, room_c; loaded_c with bath_c;
                 unloaded_c, into_water_c; oven_c; pass_k: how the wall of a jar is strained

Exit codes: 0 done, 2 bad input.
Processed jars cool undisturbed: their dose while cooling is part of the process.
Local code decides; a thermometer in the middle of the food says where it is.";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// The cooling case
    #[arg(value_name = "CASE.toml")]
    case: PathBuf,
    /// Print JSON and nothing else
    #[arg(long)]
    json: bool,
    /// Draw the curve into this SVG file
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
}

/// Reads the case, works it out, prints and draws.
///
/// # Errors
/// [`Stop`] on bad input and on files that cannot be read or written.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let unreadable =
        |what: String| Stop::file(&args.case, what, "check the name; jarwright cool --help has an example");
    let about = fs::metadata(&args.case).map_err(|error| unreadable(format!("could not be read: {error}")))?;
    if !about.is_file() || about.len() > MOST_BYTES as u64 {
        return Err(unreadable("is no case file".into()));
    }
    let case_text =
        fs::read_to_string(&args.case).map_err(|error| unreadable(format!("could not be read: {error}")))?;
    let name = args.case.display().to_string();
    let case = read_cooling(&name, &case_text).map_err(|problems| {
        Stop::Faults(vec![Faulty {
            text: case_text.clone(),
            problems,
        }])
    })?;
    let answer = cooling(&case)?;
    if let Some(path) = &args.plot {
        let svg = cooling_picture::draw(&answer)
            .ok_or_else(|| Stop::asked("--plot: there is nothing to draw", "a picture needs two moments"))?;
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
        out::json(&answer)?
    } else {
        text::cooling::cooling(&answer, args.plot.as_deref())
    };
    out::say(&said).map(|()| Exit::Done)
}
