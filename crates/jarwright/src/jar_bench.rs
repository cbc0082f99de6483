//! One jar solved and timed: what `jarwright jar` tells.
//!
//! The dose is counted at one fixed place, the geometric centre, where both published studies of
//! jars that conduct found the slowest heating.

use std::time::Instant;

use jarwright_dose::{DoseError, lethality_split_min, lethality_weighted_min};
use jarwright_heat::HeatError;
use jarwright_heat::case::{Answer, Case};
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::Modes;
use serde::Serialize;

use crate::exit::Stop;

/// Readings told: about this many, at round times.
const SAMPLES: f64 = 700.0;
/// Faces and means are told from this long after a change [s].
const RESOLVED_S: f64 = 5.0;

/// What a lethality counts against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Reference temperature [°C].
    pub reference_c: f64,
    /// Slope [K].
    pub z_k: f64,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sample {
    /// Time from the start [s].
    pub t_s: f64,
    /// Geometric centre of the food [°C].
    pub centre_c: f64,
    /// Coldest place on the food's axis [°C].
    pub coldest_c: f64,
    /// Mean over the food [°C].
    pub mean_c: f64,
}

/// Lethality at the geometric centre.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Lethality {
    /// Reference temperature [°C].
    pub reference_c: f64,
    /// Slope [K].
    pub z_k: f64,
    /// Up to the end of the last phase that heats [min].
    pub heating_min: f64,
    /// After it [min].
    pub cooling_min: f64,
}

/// A jar solved.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Solved {
    /// Which solver.
    pub solver: &'static str,
    /// Readings, each phase's end and the peak among them.
    pub samples: Vec<Sample>,
    /// Lethalities, in the order asked.
    pub lethality: Vec<Lethality>,
    /// When the centre is hottest.
    pub peak: Sample,
    /// Ends of the phases [s].
    pub phase_ends_s: Vec<f64>,
    /// Median time of a solve [µs]: from the case to lethality, peak and the phases' ends.
    pub solve_us: f64,
    /// Solves timed.
    pub solves: u32,
    /// Cells, or product functions of the largest phase.
    pub size: usize,
    /// Share of the heat exchanged that the solver lost.
    pub energy_error: f64,
    /// How far the centre may be off for functions left out [K]; none for cells.
    pub truncation_k: Option<f64>,
}

/// What is timed: everything but the readings told.
struct Core<T> {
    solved: T,
    lethality: Vec<Lethality>,
    peak_s: f64,
}

/// Solves with cells.
///
/// # Errors
/// [`Stop`] where the case is outside what the solver or the dose takes.
pub fn by_cells(case: &Case, targets: &[Target], solves: u32) -> Result<Solved, Stop> {
    let grid = Grid::usual(case);
    let (core, solve_us) = timed(solves, || cells(case, &grid, targets))?;
    let answer = core.solved.at(&sample_times(case, core.peak_s));
    let wall = if case.body.wall_m > 0.0 { grid.wall } else { 0 };
    let base = if case.body.base_m > 0.0 { grid.base } else { 0 };
    Ok(Solved {
        solver: "grid",
        solve_us,
        solves,
        size: (grid.radial + wall) * (grid.axial + base),
        energy_error: answer.energy_error,
        truncation_k: None,
        ..told(case, &answer, core.lethality, core.peak_s)
    })
}

/// Solves with eigenfunctions.
///
/// # Errors
/// As [`by_cells`]; films on glass that are too far apart for the wall correction.
pub fn by_modes(case: &Case, targets: &[Target], solves: u32) -> Result<Solved, Stop> {
    let (core, solve_us) = timed(solves, || modes(case, targets))?;
    let fine = Modes::resolving(case, RESOLVED_S).map_err(|error| heat(&error))?;
    let answer = fine.answer(&sample_times(case, core.peak_s));
    Ok(Solved {
        solver: "modes",
        solve_us,
        solves,
        size: core.solved.functions(),
        energy_error: answer.energy_error,
        truncation_k: Some(core.solved.truncation_k()),
        ..told(case, &answer, core.lethality, core.peak_s)
    })
}

fn cells(case: &Case, grid: &Grid, targets: &[Target]) -> Result<Core<Answer>, Stop> {
    let answer = jar::solve(case, grid).map_err(|error| heat(&error))?;
    let starts = std::iter::once(0).chain(answer.phase_ends.iter().copied());
    let at_start: Vec<f64> = starts.map(|i| answer.centre_c[i]).collect();
    let heating = case.phases_heating(&at_start);
    let split = heating.checked_sub(1).map_or(0, |last| answer.phase_ends[last]);
    let lethality = targets
        .iter()
        .map(|target| {
            let (heating_min, cooling_min) =
                lethality_split_min(&answer.times_s, &answer.centre_c, split, target.reference_c, target.z_k)
                    .map_err(|error| dose(&error))?;
            Ok(target.lethality(heating_min, cooling_min))
        })
        .collect::<Result<_, Stop>>()?;
    let peak_s = peak_s(&answer);
    Ok(Core {
        solved: answer,
        lethality,
        peak_s,
    })
}

/// When the centre is hottest [s]: the top of the parabola through the hottest reading and its
/// neighbours, or the reading where it is at a phase's end.
fn peak_s(answer: &Answer) -> f64 {
    let (times, c) = (&answer.times_s, &answer.centre_c);
    let mut best = 0;
    for (i, value) in c.iter().enumerate() {
        if *value > c[best] {
            best = i;
        }
    }
    if best == 0 || best + 1 >= c.len() || answer.phase_ends.contains(&best) {
        return times.get(best).copied().unwrap_or(0.0);
    }
    let (before_s, after_s) = (times[best] - times[best - 1], times[best + 1] - times[best]);
    let (rise, fall) = ((c[best] - c[best - 1]) / before_s, (c[best + 1] - c[best]) / after_s);
    let bend = (fall - rise) / (0.5 * (before_s + after_s));
    let slope = (rise * after_s + fall * before_s) / (before_s + after_s);
    if bend < 0.0 {
        times[best] + (-slope / bend).clamp(-before_s, after_s)
    } else {
        times[best]
    }
}

fn modes(case: &Case, targets: &[Target]) -> Result<Core<Modes>, Stop> {
    let modes = Modes::new(case).map_err(|error| heat(&error))?;
    let mut start_s = 0.0;
    let at_start: Vec<f64> = case
        .phases
        .iter()
        .map(|phase| {
            let c = modes.centre_c(start_s);
            start_s += phase.duration_s;
            c
        })
        .collect();
    let points = modes.dose_points();
    let heating = case.phases_heating(&at_start);
    let split = points
        .phase_starts
        .get(heating)
        .copied()
        .unwrap_or(points.times_s.len());
    let part = |range: std::ops::Range<usize>, target: &Target| {
        let (weights, c) = (&points.weights_s[range.clone()], &points.centre_c[range]);
        lethality_weighted_min(weights, c, target.reference_c, target.z_k).map_err(|error| dose(&error))
    };
    let lethality = targets
        .iter()
        .map(|target| Ok(target.lethality(part(0..split, target)?, part(split..points.times_s.len(), target)?)))
        .collect::<Result<_, Stop>>()?;
    let (peak_s, _) = modes.peak(&points);
    Ok(Core {
        solved: modes,
        lethality,
        peak_s,
    })
}

impl Target {
    const fn lethality(&self, heating_min: f64, cooling_min: f64) -> Lethality {
        Lethality {
            reference_c: self.reference_c,
            z_k: self.z_k,
            heating_min,
            cooling_min,
        }
    }
}

/// The last of so many solves, and their median time [µs].
fn timed<T>(solves: u32, mut solve: impl FnMut() -> Result<T, Stop>) -> Result<(T, f64), Stop> {
    let mut times_us = Vec::with_capacity(solves as usize);
    let mut once = || {
        let began = Instant::now();
        let solved = std::hint::black_box(solve()?);
        times_us.push(began.elapsed().as_secs_f64() * 1e6);
        Ok::<T, Stop>(solved)
    };
    let mut solved = once()?;
    for _ in 1..solves {
        solved = once()?;
    }
    times_us.sort_by(f64::total_cmp);
    Ok((solved, times_us[times_us.len() / 2]))
}

/// Round times over the whole case, with the peak's.
fn sample_times(case: &Case, peak_s: f64) -> Vec<f64> {
    let whole_s = case.duration_s();
    let rough = whole_s / SAMPLES;
    let power = 10_f64.powf(rough.log10().floor());
    let step_s = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|digit| digit * power)
        .find(|step| *step >= rough * 0.999)
        .unwrap_or(10.0 * power);
    let many = (whole_s / step_s) as usize;
    let mut times: Vec<f64> = (1..=many).map(|i| i as f64 * step_s).filter(|t| *t < whole_s).collect();
    let at = times.partition_point(|t| *t < peak_s);
    if times.get(at).is_none_or(|t| *t > peak_s) {
        times.insert(at, peak_s);
    }
    times
}

/// What both solvers tell alike.
fn told(case: &Case, answer: &Answer, lethality: Vec<Lethality>, peak_s: f64) -> Solved {
    let sample = |i: usize| Sample {
        t_s: answer.times_s[i],
        centre_c: answer.centre_c[i],
        coldest_c: answer.coldest_c[i],
        mean_c: answer.mean_c[i],
    };
    let samples: Vec<Sample> = (0..answer.times_s.len()).map(sample).collect();
    let near = answer.times_s.partition_point(|t| *t < peak_s).min(samples.len() - 1);
    let mut end_s = 0.0;
    let ends = case.phases.iter().map(|phase| {
        end_s += phase.duration_s;
        end_s
    });
    Solved {
        solver: "",
        lethality,
        peak: samples[near],
        phase_ends_s: ends.collect(),
        samples,
        solve_us: 0.0,
        solves: 0,
        size: 0,
        energy_error: 0.0,
        truncation_k: None,
    }
}

/// Largest difference of the two centres [K].
#[must_use]
pub fn apart_k(a: &Solved, b: &Solved) -> f64 {
    let mut worst = 0.0_f64;
    for sample in &a.samples {
        let i = b.samples.partition_point(|s| s.t_s < sample.t_s - 1e-6);
        if let Some(other) = b.samples.get(i).filter(|s| (s.t_s - sample.t_s).abs() < 1e-6) {
            worst = worst.max((other.centre_c - sample.centre_c).abs());
        }
    }
    worst
}

/// What cells are held to.
pub enum Truth {
    /// Eigenfunctions, for a case without glass.
    Modes(Box<Modes>),
    /// Cells finer than any compared.
    Cells(Answer),
}

/// Cells along the radius of the finest grid.
const FINEST: usize = 120;

impl Truth {
    /// The finest there is for a case.
    ///
    /// # Errors
    /// As [`by_cells`].
    pub fn new(case: &Case) -> Result<Self, Stop> {
        if case.body.wall_m <= 0.0
            && let Ok(modes) = Modes::new(case)
        {
            return Ok(Self::Modes(Box::new(modes)));
        }
        Ok(Self::Cells(
            jar::solve(case, &grid_of(case, FINEST)).map_err(|error| heat(&error))?,
        ))
    }

    /// What it is, in words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Modes(_) => "eigenfunctions".into(),
            Self::Cells(_) => format!("{FINEST} cells along the radius"),
        }
    }

    /// Largest distance of an answer's centre from the truth [K].
    fn miss_k(&self, answer: &Answer) -> f64 {
        let misses = |other: &[f64]| {
            let pairs = answer.centre_c.iter().zip(other);
            pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
        };
        match self {
            Self::Modes(modes) => {
                let other: Vec<f64> = answer.times_s.iter().map(|t| modes.centre_c(*t)).collect();
                misses(&other)
            }
            Self::Cells(finest) => misses(&finest.at(&answer.times_s).centre_c),
        }
    }
}

/// A grid of so many cells along the radius, the rest and the steps in proportion.
fn grid_of(case: &Case, radial: usize) -> Grid {
    let usual = Grid::usual(case);
    let finer = radial as f64 / usual.radial as f64;
    let glass = (radial * usual.wall / usual.radial).max(1);
    Grid {
        radial,
        axial: (radial * usual.axial / usual.radial).min(200),
        wall: glass,
        base: glass,
        step_s: (usual.step_s / finer).clamp(0.01, 600.0),
    }
}

/// Largest miss of the cells' centre over a whole run [K], by their number along the radius.
///
/// # Errors
/// As [`by_cells`].
pub fn convergence(case: &Case, truth: &Truth) -> Result<Vec<(f64, f64)>, Stop> {
    [6, 8, 12, 16, 24, 36, 48, 72]
        .into_iter()
        .map(|radial| {
            let answer = jar::solve(case, &grid_of(case, radial)).map_err(|error| heat(&error))?;
            Ok((radial as f64, truth.miss_k(&answer)))
        })
        .collect()
}

fn heat(error: &HeatError) -> Stop {
    let hint = match error {
        HeatError::FilmsApart { .. } | HeatError::FilmVaries { .. } => "--solver grid takes any films",
        HeatError::TooManySteps { .. } => "shorten or join phases",
        _ => "change the case's file; --solver grid takes glass of any thickness",
    };
    let mut what = error.to_string();
    if let HeatError::OutOfRange(range) = error {
        what = range.to_string();
    }
    Stop::asked(what, hint)
}

fn dose(error: &DoseError) -> Stop {
    let what = match error {
        DoseError::OutOfRange(range) => format!("no lethality: {range}"),
        other => format!("no lethality: {other}"),
    };
    Stop::asked(what, "give --lethality REFERENCE:Z, such as 93.3:8.9")
}
