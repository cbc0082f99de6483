//! Many draws of one jar, spread over the cores, and what is counted of them.

use jarwright_figure::Equation;
use jarwright_heat::HeatError;

use super::answer::CurvePoint;
use super::changed::Changed;
use super::quick::{Quick, Solved};
use super::reading_times;
use crate::cold_spot::{Course, Run, STRETCHES, Stretch};

/// Dose of a draw.
pub static DRAWN_DOSE: Equation = Equation {
    key: "drawn-dose",
    title: "Dose of a draw, by how far it is from the central run",
    text: "F = F_cells(central) F_modes(draw) / F_modes(central); temperatures by their difference",
    source: "carslaw_jaeger_1959",
};

/// Readings of a draw before its curve: boil, end, peak, and a dose for each stretch.
const READINGS: usize = 3 + STRETCHES;
/// Most draws that the curve and the peak are read of, evenly among all; doses are of all.
const READ: usize = 512;

/// What came of the draws, each run against the central one.
pub(super) struct Draws {
    pub(super) at_boil_c: Vec<f64>,
    pub(super) at_end_c: Vec<f64>,
    pub(super) peak_c: Vec<f64>,
    pub(super) doses_min: [Vec<f64>; STRETCHES],
    pub(super) curve: Vec<CurvePoint>,
    pub(super) refused: usize,
}

impl Draws {
    /// Runs the draws.
    ///
    /// * `course`, `run`: the central run and what came of it on cells
    pub(super) fn new(
        quick: &Quick,
        course: &Course,
        run: &Run,
        changed: &Changed,
        runs: usize,
    ) -> Result<Self, HeatError> {
        let central = quick.solve(course)?;
        let times = reading_times(course);
        let wait = course.wait_min;
        let width = READINGS + times.len();
        let row_of = |solved: &Solved, row: &mut [f64], read: bool| {
            row[0] = solved.at_boil_c;
            row[1] = solved.at_end_c;
            row[3..READINGS].copy_from_slice(&solved.doses_min);
            if read {
                row[2] = solved.peak_c();
                for (c, minutes) in row[READINGS..].iter_mut().zip(&times) {
                    *c = solved.centre_c(minutes - wait);
                }
            }
        };
        let mut rows = vec![f64::NAN; runs * width];
        let cores = std::thread::available_parallelism().map_or(1, usize::from).clamp(1, 8);
        let chunk = runs.div_ceil(cores);
        let apart = runs.div_ceil(READ);
        std::thread::scope(|scope| {
            for (part, cells) in rows.chunks_mut(chunk * width).enumerate() {
                let row_of = &row_of;
                scope.spawn(move || {
                    for (place, row) in cells.chunks_mut(width).enumerate() {
                        let run = part * chunk + place;
                        if let Ok(solved) = quick.solve(&changed.draw(run)) {
                            row_of(&solved, row, run.is_multiple_of(apart));
                        }
                    }
                });
            }
        });
        let mut zero = vec![0.0; width];
        row_of(&central, &mut zero, true);
        let column = |i: usize, f: &dyn Fn(f64) -> f64| -> Vec<f64> {
            rows.iter().skip(i).step_by(width).map(|value| f(*value)).collect()
        };
        let beside = |i: usize, cells: f64| column(i, &|c| c + (cells - zero[i]));
        let doses = run.doses_min;
        let scaled = |stretch: usize| {
            let here = zero[3 + stretch];
            let factor = if here > 0.0 { doses[stretch] / here } else { 1.0 };
            column(3 + stretch, &|min| min * factor)
        };
        let curve = times
            .iter()
            .enumerate()
            .map(|(i, &minutes)| {
                let c = run.centre_c(minutes);
                let [low_c, high_c] = percentiles(&beside(READINGS + i, c), [0.05, 0.95]);
                CurvePoint {
                    minutes,
                    c,
                    low_c: low_c.min(c),
                    high_c: high_c.max(c),
                }
            })
            .collect();
        Ok(Self {
            at_boil_c: beside(0, run.at_boil),
            at_end_c: beside(1, run.at_end),
            peak_c: beside(2, run.peak),
            doses_min: std::array::from_fn(scaled),
            curve,
            refused: rows.iter().step_by(width).filter(|c| c.is_nan()).count(),
        })
    }

    fn sum(&self, stretches: &[Vec<f64>]) -> Vec<f64> {
        let runs = self.at_end_c.len();
        (0..runs)
            .map(|run| stretches.iter().map(|column| column[run]).sum())
            .collect()
    }

    /// Dose until the jar leaves the bath, run by run [min].
    pub(super) fn heating_min(&self) -> Vec<f64> {
        self.sum(&self.doses_min[..Stretch::Cool as usize])
    }

    /// Whole dose, run by run [min].
    pub(super) fn whole_min(&self) -> Vec<f64> {
        self.sum(&self.doses_min)
    }
}

/// Percentiles of the finite values, by the nearest rank; NaN of none.
pub(super) fn percentiles<const K: usize>(values: &[f64], shares: [f64; K]) -> [f64; K] {
    let mut finite: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    let Some(last) = finite.len().checked_sub(1) else {
        return [f64::NAN; K];
    };
    shares.map(|share| {
        let rank = (last as f64 * share).round() as usize;
        *finite.select_nth_unstable_by(rank, f64::total_cmp).1
    })
}
