//! The dose everywhere in a jar, gathered from its cells.

use jarwright_dose::{lethal_rate, mean_rate_between};
use jarwright_figure::Equation;
use jarwright_heat::jar::Moment;

use crate::cold_spot::{STRETCHES, Stretch};

/// Dose over a volume.
pub static VOLUME_DOSE: Equation = Equation {
    key: "volume-dose",
    title: "Dose over a jar's volume",
    text: "F(r, z) = integral of 10^((T(r, z) - T_ref)/z) dt, cell by cell; mean and median by volume",
    source: "peaceman_rachford_1955",
};

/// Doses of all cells, stretch by stretch.
pub(super) struct Volume {
    target: (f64, f64),
    before_s: f64,
    /// Temperature and lethal rate of each cell at the last moment.
    last: Vec<(f64, f64)>,
    shares: Vec<f64>,
    doses_min: [Vec<f64>; STRETCHES],
}

impl Volume {
    pub(super) fn new(target: (f64, f64)) -> Self {
        Self {
            target,
            before_s: 0.0,
            last: Vec::new(),
            shares: Vec::new(),
            doses_min: std::array::from_fn(|_| Vec::new()),
        }
    }

    /// One moment more.
    pub(super) fn see(&mut self, stretch: Stretch, moment: &Moment<'_>) {
        let (ref_c, z_k) = self.target;
        let cells = moment.rows_c().flat_map(|row| row.iter().copied());
        let now: Vec<(f64, f64)> = cells.map(|c| (c, lethal_rate(c, ref_c, z_k))).collect();
        if self.last.is_empty() {
            let rows = moment.rows_c().count() as f64;
            self.shares = moment
                .rows_c()
                .flat_map(|_| moment.shares().map(|share| share / rows).collect::<Vec<f64>>())
                .collect();
            for doses in &mut self.doses_min {
                doses.resize(now.len(), 0.0);
            }
        } else {
            let minutes = (moment.time_s - self.before_s) / 60.0;
            let doses = &mut self.doses_min[stretch as usize];
            for ((dose, before), here) in doses.iter_mut().zip(&self.last).zip(&now) {
                *dose += minutes * mean_rate_between(here.0 - before.0, before.1, here.1, z_k);
            }
        }
        self.before_s = moment.time_s;
        self.last = now;
    }

    /// Mean, median and least of some stretches together [min].
    pub(super) fn over(&self, stretches: &[Stretch]) -> [f64; 3] {
        let mut cells: Vec<(f64, f64)> = self
            .shares
            .iter()
            .enumerate()
            .map(|(i, share)| {
                let dose = stretches.iter().map(|s| self.doses_min[*s as usize][i]).sum();
                (dose, *share)
            })
            .collect();
        cells.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mean = cells.iter().map(|(dose, share)| dose * share).sum();
        let mut below = 0.0;
        let median = cells.iter().find(|(_, share)| {
            below += share;
            below >= 0.5
        });
        let lowest = cells.first().map_or(0.0, |cell| cell.0);
        [mean, median.map_or(lowest, |cell| cell.0), lowest]
    }
}
