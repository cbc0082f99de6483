//! A jar cut open along its axis: the food's temperature at a list of times, for a picture.

use jarwright_heat::jar::{Grid, Moment, solve_watched};
use serde::Serialize;

use super::changed::Changed;
use super::{Departure, PlannedJar, RUNS, physics};
use crate::PlanError;

/// Most frames of one picture.
const MOST_FRAMES: usize = 500;

/// A jar in section.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Section {
    /// Inner radius [mm].
    pub radius_mm: f64,
    /// Height of the food [mm].
    pub height_mm: f64,
    /// Thickness of the glass at the side [mm].
    pub wall_mm: f64,
    /// Thickness of the glass at the base [mm].
    pub base_mm: f64,
    /// Empty height over the food [mm].
    pub headspace_mm: f64,
    /// Radii of the cells [mm], the axis first.
    pub radii_mm: Vec<f64>,
    /// Heights of the cells over the base [mm], the lowest first.
    pub heights_mm: Vec<f64>,
    /// One frame for each time asked, in the same order.
    pub frames: Vec<Frame>,
}

/// One moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Frame {
    /// Minutes from the pot.
    pub minutes: f64,
    /// Temperatures [°C]: rows from the lowest, in a row from the axis outwards.
    pub rows_c: Vec<Vec<f64>>,
}

impl PlannedJar {
    /// The central run of a departure, cut open at these times.
    ///
    /// * `minutes`: from the pot, not falling, from 0; 500 at most. After the last reading, four
    ///   hours after the bath, the last field stands.
    ///
    /// # Errors
    /// As [`PlannedJar::depart`]; [`PlanError::Asked`] too for times that fall or are too many, and
    /// where the food does not conduct or has no process to follow.
    pub fn section(&self, departure: &Departure, minutes: &[f64]) -> Result<Section, PlanError> {
        departure.check()?;
        let falls = minutes.windows(2).any(|pair| pair[1] < pair[0]);
        let below = minutes.iter().any(|min| !min.is_finite() || *min < 0.0);
        if minutes.is_empty() || minutes.len() > MOST_FRAMES || falls || below {
            return Err(PlanError::asked(
                format!("{} times for a picture, not all of them in order from 0", minutes.len()),
                format!("give 1 to {MOST_FRAMES} times in minutes from the pot, each at or after the one before"),
            ));
        }
        let changed = Changed::new(self, departure, RUNS.0)?;
        let Some(course) = changed.course() else {
            let why = self.work.not_computed.clone();
            return Err(PlanError::asked(
                format!("no picture of {}: {}", self.formula(), why.unwrap_or_default()),
                "ask it of a food that conducts, inside a tested time",
            ));
        };
        let case = course.case(course.phases().into_iter().map(|(_, phase)| phase).collect());
        let mut wanted = minutes.iter().copied().peekable();
        let (mut frames, mut radii_mm, mut rows) = (Vec::with_capacity(minutes.len()), Vec::new(), 0);
        let mut before: (f64, Vec<Vec<f64>>) = (0.0, Vec::new());
        let mut see = |moment: &Moment<'_>| {
            let now = moment.time_s / 60.0;
            if radii_mm.is_empty() {
                radii_mm = moment.radii_m().iter().map(|m| 1000.0 * m).collect();
                rows = moment.rows_c().count();
            }
            let here: Vec<Vec<f64>> = moment.rows_c().map(<[f64]>::to_vec).collect();
            while let Some(min) = wanted.next_if(|min| *min <= now) {
                let part = if now > before.0 {
                    (min - before.0) / (now - before.0)
                } else {
                    1.0
                };
                frames.push(Frame {
                    minutes: min,
                    rows_c: between(&before.1, &here, part),
                });
            }
            before = (now, here);
        };
        solve_watched(&case, &Grid::usual(&case), &mut see).map_err(|e| physics(&e))?;
        frames.extend(wanted.map(|min| Frame {
            minutes: min,
            rows_c: before.1.clone(),
        }));
        let height_mm = 1000.0 * course.body.food_height_m;
        let heights_mm = (0..rows)
            .map(|row| height_mm * (row as f64 + 0.5) / rows as f64)
            .collect();
        Ok(Section {
            radius_mm: 1000.0 * course.body.inner_radius_m,
            height_mm,
            wall_mm: 1000.0 * course.body.wall_m,
            base_mm: 1000.0 * course.body.base_m,
            headspace_mm: self.work.way.headspace_mm,
            radii_mm,
            heights_mm,
            frames,
        })
    }
}

/// The field between two moments; the later one where there is no earlier.
fn between(before: &[Vec<f64>], after: &[Vec<f64>], part: f64) -> Vec<Vec<f64>> {
    if before.is_empty() {
        return after.to_vec();
    }
    let row = |(a, b): (&Vec<f64>, &Vec<f64>)| a.iter().zip(b).map(|(a, b)| a + part * (b - a)).collect();
    before.iter().zip(after).map(row).collect()
}
