//! The plan's own draws of a cook, with something changed.

use jarwright_heat::HeatError;
use jarwright_heat::pot::Cook;

use super::answer::PotPoint;
use super::wall::mean_c;
use crate::cooking::CookCase;

/// Moments of the curve up to the central run's end, evenly in time.
const MOMENTS: usize = 60;
/// Moments from there to the end of the slow draws.
const AFTER: usize = 12;
/// Ends of the band.
const BAND: [f64; 2] = [0.05, 0.95];

/// What is uncertain about a cook: a value for each draw, or one for all.
pub(super) struct Rows {
    pub(super) many: usize,
    pub(super) efficiency: Vec<f64>,
    pub(super) steam_u: Vec<f64>,
    pub(super) room_c: f64,
}

/// The draws of one cook; a draw that never gets there has none.
pub(super) struct Draws(Vec<Option<Cook>>);

impl Draws {
    pub(super) fn new(case: &CookCase, multiple: f64, rows: &Rows) -> Self {
        let cooked = |draw: usize| -> Option<Cook> {
            let of = |column: &[f64]| column.get(draw).or(column.first()).copied();
            let cook: Result<Cook, HeatError> =
                case.followed(multiple, of(&rows.efficiency)?, of(&rows.steam_u)?, rows.room_c);
            cook.ok()
        };
        Self((0..rows.many).map(cooked).collect())
    }

    pub(super) fn many(&self) -> usize {
        self.0.len()
    }

    /// Draws that never get there.
    pub(super) fn never(&self) -> usize {
        self.0.iter().filter(|cook| cook.is_none()).count()
    }

    /// A reading of every draw, in order; NaN where there is none.
    pub(super) fn column(&self, of: impl Fn(&Cook) -> f64) -> Box<[f64]> {
        self.0.iter().map(|cook| cook.as_ref().map_or(f64::NAN, &of)).collect()
    }

    /// The central run with the band of the draws, moment by moment.
    ///
    /// * `last_min`: end of the slow draws [min]
    pub(super) fn curve(&self, central: &Cook, last_min: f64) -> Vec<PotPoint> {
        let end_s = central.seconds;
        times(central, 60.0 * last_min)
            .into_iter()
            .map(|s| {
                let c = mean_c(&central.curve, s);
                let mut drawn: Vec<f64> = self.0.iter().flatten().map(|cook| mean_c(&cook.curve, s)).collect();
                drawn.sort_by(f64::total_cmp);
                let [low_c, high_c] = BAND.map(|share| {
                    let rank = (drawn.len().saturating_sub(1) as f64 * share).round() as usize;
                    drawn.get(rank).copied().unwrap_or(c)
                });
                PotPoint {
                    minutes: s / 60.0,
                    c: (s <= end_s).then_some(c),
                    low_c: low_c.min(c),
                    high_c: high_c.max(c),
                    wall_c: None,
                    brix: None,
                    set_share: None,
                    scrambled_share: None,
                    wall_scrambled_share: None,
                }
            })
            .collect()
    }
}

/// Times of the curve [s]: evenly, with both sides of every addition.
fn times(central: &Cook, last_s: f64) -> Vec<f64> {
    let end_s = central.seconds;
    let mut times: Vec<f64> = (0..MOMENTS)
        .map(|i| end_s * i as f64 / MOMENTS as f64)
        .chain([end_s])
        .collect();
    if last_s > end_s {
        times.extend((1..=AFTER).map(|i| end_s + (last_s - end_s) * i as f64 / AFTER as f64));
    }
    let jumps = central.curve.windows(2).filter(|w| w[1].0 <= w[0].0).map(|w| w[1].0);
    // Just before it, and at it.
    times.extend(jumps.filter(|s| *s > 0.0).flat_map(|s| [s * (1.0 - 1e-9), s]));
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}
