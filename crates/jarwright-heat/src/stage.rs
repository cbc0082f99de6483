//! One phase of a jar in its own functions: which products of them count, how their state dies and
//! drags behind a ramp, and what the middle sees of it.
//!
//! Driven by `modes.rs`. Read next: `spectrum.rs` for the functions, `along_glass.rs` for what
//! glass does beside their products.

use crate::along_glass::{DRIVING, Slow};
use crate::case::Phase;
use crate::spectrum::Mode;

/// What has died by this many powers of e is left out: 3e-7.
pub(crate) const DEAD: f64 = 15.0;
/// A function is zero in the middle below this, of functions whose mean square is 1.
const VANISHES: f64 = 1e-9;
/// Functions along the height summed side by side.
const BLOCK: usize = 16;
/// What drives the glass counts as a jolt where it has died by this many powers of e when the
/// middle begins to feel it.
const JOLT: f64 = 6.0;
/// Two rates closer than this share count as apart by it: their quotient stays bounded.
const APART: f64 = 1e-6;
/// Nodes and weights of Gauss and Legendre on 0 to 1, five points.
pub(crate) const GAUSS: [(f64, f64); 5] = [
    (0.046_910_077_030_668, 0.118_463_442_528_094_5),
    (0.230_765_344_947_158_5, 0.239_314_335_249_683_2),
    (0.5, 0.284_444_444_444_444_4),
    (0.769_234_655_052_841_5, 0.239_314_335_249_683_2),
    (0.953_089_922_969_332, 0.118_463_442_528_094_5),
];

/// The products that count under one set of films.
#[derive(Debug, Clone)]
pub(crate) struct Products {
    /// Sets of functions along the radius and along the height.
    pub(crate) sets: (usize, usize),
    /// Rates of the functions along the radius [1/s].
    pub(crate) round_rates: Vec<f64>,
    /// Rates of the functions along the height [1/s].
    pub(crate) upright_rates: Vec<f64>,
    /// Functions along the height kept beside each one along the radius.
    pub(crate) kept: Vec<usize>,
    /// Where each of those rows begins.
    pub(crate) rows: Vec<usize>,
    middle: Middle,
    /// What glass does along itself; empty without glass.
    slow: Vec<Slow>,
    /// Time before the middle feels anything of that [s].
    late_s: f64,
}

/// The products that the middle sees: half of them where base and top are alike.
#[derive(Debug, Clone, Default)]
struct Middle {
    /// The functions along the height that do not vanish there, and their rates [1/s].
    seen: Vec<usize>,
    rates: Vec<f64>,
    /// Products kept in each row, and where it begins.
    kept: Vec<usize>,
    rows: Vec<usize>,
    /// The products' values.
    values: Vec<f64>,
}

impl Products {
    pub(crate) fn new(
        sets: (usize, usize),
        (round, upright): (&[Mode], &[Mode]),
        fastest: f64,
        (slow, late_s): (Vec<Slow>, f64),
    ) -> Self {
        let rates = |modes: &[Mode]| -> Vec<f64> { modes.iter().map(|mode| mode.rate).collect() };
        let (round_rates, upright_rates) = (rates(round), rates(upright));
        let mut rows = Vec::with_capacity(round.len());
        let mut kept = Vec::with_capacity(round.len());
        let (mut total, mut most) = (0, upright.len());
        for rate in &round_rates {
            while most > 1 && rate + upright_rates[most - 1] > fastest {
                most -= 1;
            }
            rows.push(total);
            kept.push(most);
            total += most;
        }
        let seen = (0..upright.len()).filter(|&n| upright[n].middle.abs() > VANISHES);
        let mut middle = Middle {
            seen: seen.collect(),
            ..Middle::default()
        };
        middle.rates = middle.seen.iter().map(|&n| upright_rates[n]).collect();
        for (f, &row) in round.iter().zip(&kept) {
            let many = middle.seen.partition_point(|&n| n < row);
            middle.kept.push(many);
            middle.rows.push(middle.values.len());
            let values = middle.seen[..many].iter().map(|&n| f.middle * upright[n].middle);
            middle.values.extend(values);
        }
        Self {
            sets,
            round_rates,
            upright_rates,
            kept,
            rows,
            middle,
            slow,
            late_s,
        }
    }

    pub(crate) fn total(&self) -> usize {
        self.kept.iter().sum()
    }

    /// Visits a value of every product with its two functions.
    pub(crate) fn each(
        &self,
        values: &mut [f64],
        (round, upright): (&[Mode], &[Mode]),
        mut visit: impl FnMut(&mut f64, &Mode, &Mode),
    ) {
        for (m, f) in round.iter().enumerate() {
            for (value, g) in values[self.rows[m]..][..self.kept[m]].iter_mut().zip(upright) {
                visit(value, f, g);
            }
        }
    }

    /// What the middle sees of a state.
    fn seen(&self, state: &[f64]) -> Vec<f64> {
        let middle = &self.middle;
        let mut seen = Vec::with_capacity(middle.values.len());
        for (m, &row) in self.rows.iter().enumerate() {
            let values = &middle.values[middle.rows[m]..][..middle.kept[m]];
            seen.extend(values.iter().zip(&middle.seen).map(|(value, n)| value * state[row + n]));
        }
        seen
    }

    /// Sum of what the middle sees after a time, each product times `plain` plus `by_rate` times its
    /// rate; what has died is left out.
    fn sum(&self, seen: &[f64], elapsed_s: f64, plain: f64, by_rate: f64) -> f64 {
        let (round, upright) = (&self.round_rates, &self.middle.rates);
        let limit = DEAD / elapsed_s;
        let (mut sum, mut from) = (0.0, 0);
        while from < upright.len() && (from == 0 || round[0] + upright[from] <= limit) {
            let block = &upright[from..upright.len().min(from + BLOCK)];
            let (mut values, mut weighted) = ([0.0; BLOCK], [0.0; BLOCK]);
            let mut most = block.len();
            for (m, f) in round.iter().enumerate() {
                while most > 0 && f + block[most - 1] > limit {
                    most -= 1;
                }
                let many = most.min(self.middle.kept[m].saturating_sub(from));
                if many == 0 {
                    break;
                }
                let die = (-f * elapsed_s).exp();
                let here = die * (plain + by_rate * f);
                let row = &seen[self.middle.rows[m] + from..][..many];
                for ((value, weight), state) in values.iter_mut().zip(&mut weighted).zip(row) {
                    *value += die * state;
                    *weight += here * state;
                }
            }
            for ((value, weight), g) in values.iter().zip(&weighted).zip(block) {
                if round[0] + g > limit {
                    break;
                }
                sum += (-g * elapsed_s).exp() * (weight + by_rate * g * value);
            }
            from += BLOCK;
        }
        sum
    }

    /// What a state gives in the middle after a time, and what its outermost products give there,
    /// each taken as far from zero as it gets.
    pub(crate) fn reach(&self, (round, upright): (&[Mode], &[Mode]), state: &[f64], elapsed_s: f64) -> (f64, f64) {
        let here = |mode: &Mode, rate: &f64| mode.middle * (-rate * elapsed_s).exp();
        let along = upright.iter().zip(&self.upright_rates);
        let values: Vec<f64> = along.map(|(g, rate)| here(g, rate)).collect();
        let (mut sum, mut edge) = (0.0, 0.0);
        for (m, f) in round.iter().enumerate() {
            let value = here(f, &self.round_rates[m]);
            let row = &state[self.rows[m]..][..self.kept[m]];
            for (state, g) in row.iter().zip(&values) {
                sum += value * state * g;
            }
            let last = if m + 1 == round.len() { 0 } else { row.len() - 1 };
            for (state, g) in row.iter().zip(&values).skip(last) {
                edge += (value * state * g).abs();
            }
        }
        (sum, edge)
    }

    /// How many products of each row still count after a time.
    fn alive(&self, elapsed_s: f64) -> Vec<usize> {
        let limit = DEAD / elapsed_s;
        let rows = self.round_rates.iter().zip(&self.kept).enumerate();
        rows.map(|(m, (f, &many))| {
            let alive = self.upright_rates[..many].partition_point(|g| f + g <= limit);
            alive.max(self.driven(m))
        })
        .take_while(|many| *many > 0)
        .collect()
    }

    /// How many products of a row glass has a part in.
    fn driven(&self, m: usize) -> usize {
        if self.slow.is_empty() || m >= DRIVING.0 {
            0
        } else {
            self.kept[m].min(DRIVING.1)
        }
    }

    /// Columns of the tables of a slow function.
    fn columns(&self) -> usize {
        self.upright_rates.len().min(DRIVING.1)
    }
}

/// One phase of a run.
#[derive(Debug, Clone)]
pub(crate) struct Stage {
    pub(crate) start_s: f64,
    pub(crate) duration_s: f64,
    pub(crate) around_c: f64,
    pub(crate) slope_k_s: f64,
    /// Which products it is told in.
    pub(crate) products: usize,
    /// State at the phase's start plus `lag`: what dies away.
    pub(crate) dying: Vec<f64>,
    /// The same as the middle feels it at first, without what glass did along itself just before;
    /// empty without glass.
    pub(crate) early: Vec<f64>,
    /// What a ramp drags behind for good; empty without one.
    pub(crate) lag: Vec<f64>,
    /// What the middle sees at first.
    centre: Vec<f64>,
    /// How far the middle lags behind a ramp [K].
    centre_lag_k: f64,
    /// What glass does along itself, if there is any.
    along: Option<Along>,
}

/// What glass does along itself in one phase, in the slow functions: nothing at its start.
#[derive(Debug, Clone)]
struct Along {
    /// What dies away of each slow function, and what a ramp holds up for good.
    dying: Vec<f64>,
    lag: Vec<f64>,
    /// What each driving product gives each slow function while it dies, by rows of [`DRIVING`].
    driven: Vec<f64>,
    /// The middle of it: products, slow functions, lag behind a ramp [K].
    alone: Vec<f64>,
    slow_centre: Vec<f64>,
    lag_k: f64,
    /// The middle with it.
    centre: Vec<f64>,
}

impl Along {
    /// Sum of the slow functions in the middle, each times `plain` plus `by_rate` times its rate.
    fn slow(&self, products: &Products, elapsed_s: f64, plain: f64, by_rate: f64) -> f64 {
        let each = self.slow_centre.iter().zip(&products.slow);
        each.map(|(state, slow)| state * (plain + by_rate * slow.rate) * (-slow.rate * elapsed_s).exp())
            .sum()
    }
}

impl Stage {
    /// A phase without any state yet.
    pub(crate) fn new(start_s: f64, phase: &Phase, slope_k_s: f64, products: usize, total: usize) -> Self {
        Self {
            start_s,
            duration_s: phase.duration_s,
            around_c: phase.ambient_start_c,
            slope_k_s,
            products,
            dying: vec![0.0; total],
            early: Vec::new(),
            lag: Vec::new(),
            centre: Vec::new(),
            centre_lag_k: 0.0,
            along: None,
        }
    }

    /// Adds to the state, felt early and late.
    pub(crate) fn add(&mut self, more: &[f64]) {
        for state in [&mut self.dying, &mut self.early] {
            for (state, more) in state.iter_mut().zip(more) {
                *state += more;
            }
        }
    }

    /// Settles what the middle sees, once state and lag are known.
    pub(crate) fn settle(&mut self, products: &Products, centre_lag_k: f64) {
        self.centre_lag_k = centre_lag_k;
        if products.slow.is_empty() {
            self.centre = products.seen(&self.dying);
        } else {
            self.centre = products.seen(&self.early);
            self.along = Some(self.along(products));
        }
    }

    /// Each slow function's equation solved for what drives it: a sum of exponentials again.
    fn along(&self, products: &Products) -> Along {
        let (columns, late_s) = (products.columns(), products.late_s);
        let many = products.slow.len();
        let mut along = Along {
            dying: Vec::with_capacity(many),
            lag: Vec::with_capacity(many),
            driven: vec![0.0; many * DRIVING.0 * columns],
            alone: vec![0.0; products.middle.values.len()],
            slow_centre: Vec::with_capacity(many),
            lag_k: 0.0,
            centre: products.seen(&self.dying),
        };
        // What the middle sees of the driving products, as if it had died from `late_s` on.
        let mut sees = vec![0.0; DRIVING.0 * columns];
        for (slow, driven) in products.slow.iter().zip(along.driven.chunks_mut(DRIVING.0 * columns)) {
            let late = slow.middle * (-slow.rate * late_s).exp();
            let (mut given, mut lag) = (0.0, 0.0);
            for (m, f) in products.round_rates.iter().take(DRIVING.0).enumerate() {
                let (row, at) = (products.rows[m], m * columns);
                for (n, g) in products.upright_rates[..products.driven(m)].iter().enumerate() {
                    let rate = f + g;
                    let (pull, apart) = (slow.pulls[at + n], slow.rate - rate);
                    let least = APART * rate.max(1.0 / late_s);
                    let apart = if apart.abs() < least { least } else { apart };
                    let here = pull * self.dying[row + n] / apart;
                    given += here;
                    driven[at + n] = here;
                    sees[at + n] += late * here;
                    lag += self.lag.get(row + n).map_or(0.0, |behind| pull * behind / slow.rate);
                }
            }
            along.lag_k -= lag * late;
            along.slow_centre.push((given - lag) * slow.middle);
            along.dying.push(given - lag);
            along.lag.push(lag);
        }
        let middle = &products.middle;
        for (m, f) in products.round_rates.iter().take(DRIVING.0).enumerate() {
            let seen = middle.seen.partition_point(|&n| n < products.driven(m));
            let row = &mut along.alone[middle.rows[m]..][..seen];
            for ((state, &n), g) in row.iter_mut().zip(&middle.seen).zip(&middle.rates) {
                let grown = (f + g) * late_s;
                if grown < JOLT {
                    *state = -grown.exp() * sees[m * columns + n];
                }
            }
        }
        for (state, alone) in along.centre.iter_mut().zip(&along.alone) {
            *state += alone;
        }
        along
    }

    /// The middle above what is around at the start [K], but for what [`Stage::along_k`] of the
    /// phase before adds while this one is young.
    pub(crate) fn middle_k(&self, products: &Products, elapsed_s: f64) -> f64 {
        let straight = self.slope_k_s * elapsed_s - self.centre_lag_k;
        match self.felt(products, elapsed_s) {
            Some(along) => {
                straight - along.lag_k
                    + along.slow(products, elapsed_s, 1.0, 0.0)
                    + products.sum(&along.centre, elapsed_s, 1.0, 0.0)
            }
            None => straight + products.sum(&self.centre, elapsed_s, 1.0, 0.0),
        }
    }

    /// How fast the middle warms [K/s], in the same sense.
    pub(crate) fn middle_slope_k_s(&self, products: &Products, elapsed_s: f64) -> f64 {
        let falls = match self.felt(products, elapsed_s) {
            Some(along) => along.slow(products, elapsed_s, 0.0, 1.0) + products.sum(&along.centre, elapsed_s, 0.0, 1.0),
            None => products.sum(&self.centre, elapsed_s, 0.0, 1.0),
        };
        self.slope_k_s - falls
    }

    /// What the middle feels of this phase's glass alone [K], also beyond the phase's end.
    pub(crate) fn along_k(&self, products: &Products, elapsed_s: f64) -> f64 {
        self.felt(products, elapsed_s).map_or(0.0, |along| {
            along.slow(products, elapsed_s, 1.0, 0.0) + products.sum(&along.alone, elapsed_s, 1.0, 0.0) - along.lag_k
        })
    }

    /// How fast that rises [K/s].
    pub(crate) fn along_slope_k_s(&self, products: &Products, elapsed_s: f64) -> f64 {
        self.felt(products, elapsed_s).map_or(0.0, |along| {
            -along.slow(products, elapsed_s, 0.0, 1.0) - products.sum(&along.alone, elapsed_s, 0.0, 1.0)
        })
    }

    /// Glass along itself, once the middle feels it.
    fn felt(&self, products: &Products, elapsed_s: f64) -> Option<&Along> {
        self.along.as_ref().filter(|_| elapsed_s >= products.late_s)
    }

    /// The whole state after a time, in products: row by row, and as many as still count.
    pub(crate) fn state(&self, products: &Products, elapsed_s: f64) -> Vec<Vec<f64>> {
        let (mut state, dies) = self.evolved(products, &self.dying, elapsed_s);
        if let Some(along) = &self.along {
            self.add_along(products, along, elapsed_s, &dies, &mut state);
        }
        state
    }

    /// The same without what glass does along itself in this phase and, where that is a short one,
    /// did in those before; none without glass.
    pub(crate) fn early_state(&self, products: &Products, elapsed_s: f64) -> Option<Vec<Vec<f64>>> {
        let from = if elapsed_s >= products.late_s {
            &self.dying
        } else {
            &self.early
        };
        self.along.as_ref().map(|_| self.evolved(products, from, elapsed_s).0)
    }

    /// A state after a time, and what is left then of each function along the height.
    fn evolved(&self, products: &Products, from: &[f64], elapsed_s: f64) -> (Vec<Vec<f64>>, Vec<f64>) {
        let alive = if self.lag.is_empty() {
            products.alive(elapsed_s)
        } else {
            products.kept.clone()
        };
        let width = alive.first().copied().unwrap_or(0);
        let decay = |rate: &f64| (-rate * elapsed_s).exp();
        let dies: Vec<f64> = products.upright_rates[..width].iter().map(decay).collect();
        let mut state: Vec<Vec<f64>> = Vec::with_capacity(alive.len());
        for (m, &many) in alive.iter().enumerate() {
            let (die, row) = (decay(&products.round_rates[m]), products.rows[m]);
            let here = from[row..row + many].iter().zip(&dies).enumerate();
            let behind = |n: usize| self.lag.get(row + n).copied().unwrap_or(0.0);
            state.push(here.map(|(n, (dying, dies))| dying * die * dies - behind(n)).collect());
        }
        (state, dies)
    }

    fn add_along(&self, products: &Products, along: &Along, elapsed_s: f64, dies: &[f64], state: &mut [Vec<f64>]) {
        let columns = products.columns();
        for (k, slow) in products.slow.iter().enumerate() {
            let driven = &along.driven[k * DRIVING.0 * columns..];
            let mut here = along.dying[k] * (-slow.rate * elapsed_s).exp() + along.lag[k];
            let rows = state.len().min(DRIVING.0);
            for m in 0..rows {
                let die = (-products.round_rates[m] * elapsed_s).exp();
                let row = &driven[m * columns..][..products.driven(m)];
                here -= die * row.iter().zip(dies).map(|(a, b)| a * b).sum::<f64>();
            }
            for (m, row) in state.iter_mut().take(rows).enumerate() {
                for (value, share) in row.iter_mut().zip(&slow.shares[m * columns..][..products.driven(m)]) {
                    *value += here * share;
                }
            }
        }
    }
}
