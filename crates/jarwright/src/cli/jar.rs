//! `jarwright jar`: one jar on the bench, heated and cooled by cells, by eigenfunctions, or both.

use std::path::{Path, PathBuf};

use clap::ValueEnum;
use jarwright_dose::ROWS;
use jarwright_heat::case::Case;
use jarwright_kitchen::files::{self, Problem, quantity};
use jarwright_kitchen::sure::{Effort, how_sure};
use jarwright_papers::drawing::{Axis, Chart, Line, LineKind, chart};
use serde::Serialize;

use super::common::temperature_c;
use crate::data_dir::{read_text, write_whole};
use crate::exit::{Exit, Stop};
use crate::jar_bench::{Sample, Solved, Target, Truth, apart_k, by_cells, by_modes, convergence};
use crate::problem_report::Faulty;
use crate::{out, sure_picture, text};

const EXAMPLES: &str = r#"Examples:
  jarwright jar half-pint.toml
  jarwright jar half-pint.toml --solver modes --json
  jarwright jar half-pint.toml --solver both --plot both.svg
  jarwright jar half-pint.toml --solver modes --time 1000
  jarwright jar half-pint.toml --convergence finer.svg
  jarwright jar jars/lime-curd.toml --sure --plot sure.svg      how sure the dose is

A case, every number in the unit of its name; 0 insulates a face, glass_mm = 0 is no glass:
  radius_mm = 32.5
  fill_mm = 75
  glass_mm = 3
  k_w_mk = 0.45
  rho_kg_m3 = 1150
  cp_j_kgk = 3100
  start_c = 76.7

  [[phase]]
  seconds = 900
  ambient_start_c = 82
  ambient_end_c = 100
  h_side_w_m2k = 1000
  h_base_w_m2k = 1000
  h_top_w_m2k = 0

With glass, k_glass_w_mk, rho_glass_kg_m3 and cp_glass_j_kgk may be named; else it is container
glass. The dose is counted at the geometric centre; it heats up to the end of the last phase
whose surroundings end hotter than the centre began.

How sure it is (--sure) needs what the middle is held to and what is uncertain:
  [target]
  reference_c = 93.3
  z_k = 8.9
  d_min = 2
  decimal_reductions = 5
  hold = "boil"                  a phase's name = "boil"

  [uncertain]                    k_w_mk, rho_kg_m3, cp_j_kgk, start_c, thermometer_k, d_min, z_k,
                                 h_bath_w_m2k (side and base of all phases that heat, one cause)
  k_w_mk = { low = 0.41, high = 0.49, band = "p5-p95" }
  thermometer_k = { low = -1, high = 1, band = "instrument" }

  [uncertain.phase.boil]         seconds, ambient_start_c, ambient_end_c, h_side_w_m2k, h_base_w_m2k,
  seconds = { low = 870, high = 960, band = "printed range" }    h_water_w_m2k (both), h_top_w_m2k

A band is p5-p95 (shape normal round the case's own number, or lognormal), or a printed range or an
instrument's (shape uniform, or triangular). thermometer_k is added to the start and to the first
phase's start. The dose is counted by eigenfunctions."#;

/// Most solves timed.
const MOST_SOLVES: u32 = 1_000_000;

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// The case's file
    #[arg(value_name = "CASE.toml")]
    case: PathBuf,
    /// Which solver
    #[arg(long, value_enum, value_name = "SOLVER", default_value = "grid")]
    solver: Solver,
    /// Dose to count, as reference temperature in °C and z in K, or as 200F:16F; may be repeated
    #[arg(long, value_name = "REF:Z", value_parser = target, default_value = "93.3:8.9", allow_hyphen_values = true)]
    lethality: Vec<Target>,
    /// Solve so many times and tell the median time
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_SOLVES)), default_value_t = 1)]
    time: u32,
    /// Print JSON and nothing else
    #[arg(long)]
    json: bool,
    /// Draw the temperatures into this file
    #[arg(long, value_name = "FILE.svg")]
    plot: Option<PathBuf>,
    /// Draw how cells close in on the truth as they become finer into this file
    #[arg(long, value_name = "FILE.svg")]
    convergence: Option<PathBuf>,
    /// Say how sure it is that the middle gets what the case's [target] asks
    #[arg(long, conflicts_with_all = ["solver", "lethality", "time", "convergence"])]
    sure: bool,
    /// Rows drawn of everything uncertain, a power of two; a jar is run rows x (uncertain + 2) times
    #[arg(long, value_name = "N", requires = "sure", default_value_t = 1024)]
    rows: usize,
    /// One seed, one answer
    #[arg(long, value_name = "N", requires = "sure", default_value_t = 1)]
    seed: u64,
}

/// Which solver, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Solver {
    /// Finite volumes
    Grid,
    /// Eigenfunctions
    Modes,
    /// One after the other
    Both,
}

/// Both solvers' answers.
#[derive(Debug, Serialize)]
struct Both<'a> {
    grid: &'a Solved,
    modes: &'a Solved,
    /// Largest difference of the two centres [K].
    apart_k: f64,
}

/// `REF:Z`; a z that says no scale is on its reference's.
fn target(text: &str) -> Result<Target, String> {
    let expected = "a reference from -40 to 160 °C, a colon and a z from 1 to 100 K, such as 93.3:8.9 or 200F:16F";
    let (reference, z) = text.split_once(':').ok_or(expected)?;
    let reference_c = temperature_c(reference, -40.0, 160.0).map_err(|_| expected)?;
    let scale = reference.trim().chars().next_back().filter(char::is_ascii_alphabetic);
    let z = match (z.trim().parse::<f64>(), scale) {
        (Ok(_), scale) => format!("{} {}", z.trim(), scale.unwrap_or('K')),
        (Err(_), _) => z.to_owned(),
    };
    match quantity::kelvin(&z) {
        Ok(z_k) if z_k >= 1.0 => Ok(Target { reference_c, z_k }),
        _ => Err(expected.into()),
    }
}

/// Solves, draws and prints.
///
/// # Errors
/// [`Stop`] on a case that cannot be read or solved, and a picture that cannot be written.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    if args.sure {
        return how_sure_it_is(args);
    }
    let case = read(&args.case, files::read_jar_case)?;
    let cells = || by_cells(&case, &args.lethality, args.time);
    let modes = || by_modes(&case, &args.lethality, args.time);
    let solved = match args.solver {
        Solver::Grid => vec![cells()?],
        Solver::Modes => vec![modes()?],
        Solver::Both => vec![cells()?, modes()?],
    };
    if let Some(path) = &args.plot {
        draw(path, &temperatures(&case, &solved))?;
    }
    if let Some(path) = &args.convergence {
        draw(path, &closing_in(&case)?)?;
    }
    let said = if args.json {
        json(&solved)?
    } else {
        text::jar::jar(&solved)
    };
    out::say(&said).map(|()| Exit::Done)
}

/// How sure the case's dose is.
fn how_sure_it_is(args: &Args) -> Result<Exit, Stop> {
    let (least, most) = ROWS;
    if !(least..=most).contains(&args.rows) || !args.rows.is_power_of_two() {
        return Err(Stop::asked(
            format!("--rows is {}", args.rows),
            format!("a power of two from {least} to {most}, such as 1024"),
        ));
    }
    let study = read(&args.case, files::read_jar_study)?;
    let effort = Effort {
        rows: args.rows,
        seed: args.seed,
    };
    let sure = how_sure(&study, effort)?;
    if let Some(path) = &args.plot {
        let Some(svg) = sure_picture::drawn(&study, &sure) else {
            return Err(Stop::asked(
                "nothing to draw: every draw is alike",
                "widen the [uncertain] bands",
            ));
        };
        write_whole(path, &format!("{svg}\n"))?;
    }
    let said = if args.json {
        written(&text::sure::Told::new(&study, &sure))?
    } else {
        text::sure::sure(&study, &sure)
    };
    out::say(&said).map(|()| Exit::Done)
}

/// A case's file read by one of its readers.
fn read<T>(path: &Path, reader: fn(&str, &str) -> Result<T, Vec<Problem>>) -> Result<T, Stop> {
    let text = read_text(path)?;
    reader(&path.display().to_string(), &text).map_err(|problems| Stop::Faults(vec![Faulty { text, problems }]))
}

fn json(solved: &[Solved]) -> Result<String, Stop> {
    match solved {
        [grid, modes] => written(&Both {
            grid,
            modes,
            apart_k: apart_k(grid, modes),
        }),
        _ => written(&solved.first()),
    }
}

fn written(answer: &impl Serialize) -> Result<String, Stop> {
    serde_json::to_string_pretty(answer)
        .map(|text| text + "\n")
        .map_err(|error| {
            Stop::asked(
                format!("the answer could not be written as JSON: {error}"),
                "report this fault",
            )
        })
}

fn draw(path: &Path, picture: &Chart) -> Result<(), Stop> {
    let Some(svg) = chart(picture) else {
        return Err(Stop::asked(
            "nothing to draw: the lines have no two points",
            "lengthen the case's phases",
        ));
    };
    write_whole(path, &format!("{}\n", svg.into_string()))
}

/// Temperatures over minutes.
fn temperatures(case: &Case, solved: &[Solved]) -> Chart {
    let line = |words: &str, kind, points: Vec<(f64, f64)>| Line {
        words: words.into(),
        points,
        kind,
    };
    let of = |one: &Solved, value: fn(&Sample) -> f64| -> Vec<(f64, f64)> {
        one.samples.iter().map(|s| (s.t_s / 60.0, value(s))).collect()
    };
    let mut around = Vec::new();
    let mut start_s = 0.0;
    for phase in &case.phases {
        around.push((start_s / 60.0, phase.ambient_start_c));
        start_s += phase.duration_s;
        around.push((start_s / 60.0, phase.ambient_end_c));
    }
    let mut lines = vec![line("surroundings", LineKind::Dotted, around)];
    match solved {
        [cells, modes] => {
            lines.push(line(
                "centre by eigenfunctions",
                LineKind::Strong,
                of(modes, |s| s.centre_c),
            ));
            let every = (cells.samples.len() / 40).max(1);
            let rings = of(cells, |s| s.centre_c).into_iter().step_by(every).collect();
            lines.push(line("centre by cells", LineKind::Points, rings));
            lines.push(line(
                "mean by eigenfunctions",
                LineKind::Dashed,
                of(modes, |s| s.mean_c),
            ));
        }
        _ => {
            for one in solved {
                lines.push(line("centre", LineKind::Strong, of(one, |s| s.centre_c)));
                lines.push(line("coldest on the axis", LineKind::Fine, of(one, |s| s.coldest_c)));
                lines.push(line("mean of the food", LineKind::Dashed, of(one, |s| s.mean_c)));
            }
        }
    }
    Chart {
        id: "jar".into(),
        title: "One jar on the bench".into(),
        desc: "Temperatures of a jar's food over minutes, with what surrounds it.".into(),
        across: Axis {
            words: "minutes".into(),
            powers: false,
        },
        up: Axis {
            words: "°C".into(),
            powers: false,
        },
        fahrenheit: true,
        lines,
    }
}

/// Error of the cells over their number.
fn closing_in(case: &Case) -> Result<Chart, Stop> {
    let truth = Truth::new(case)?;
    let misses = convergence(case, &truth)?;
    let guide = match misses.last() {
        Some(&(cells, miss)) => misses.iter().map(|(n, _)| (*n, miss * (cells / n).powi(2))).collect(),
        None => Vec::new(),
    };
    Ok(Chart {
        id: "jar-convergence".into(),
        title: format!("Cells against {}", truth.words()),
        desc: "Largest miss of the centre in the whole run over the number of cells along the radius, \
               beside a line that falls with their square."
            .into(),
        across: Axis {
            words: "cells along the radius".into(),
            powers: true,
        },
        up: Axis {
            words: "K off at most in the whole run".into(),
            powers: true,
        },
        fahrenheit: false,
        lines: vec![
            Line {
                words: "the centre by cells, steps shortened alike".into(),
                points: misses,
                kind: LineKind::Points,
            },
            Line {
                words: "second order: half the width, a quarter of the miss".into(),
                points: guide,
                kind: LineKind::Dotted,
            },
        ],
    })
}
