//! A jar by its eigenfunctions: one whole heat-and-cool run in microseconds.
//!
//! The temperature above the surroundings is a sum of products of one function along the radius
//! and one along the height, each dying at its own rate. A phase keeps its functions; where the
//! films change, the state is told anew in the next phase's functions, by the functions' values
//! at the faces alone.
//!
//! The wall correction: glass is a layer of its own in each direction, with its heat capacity and
//! its resistance, so that it lags as it does; a film acts on the whole of its face, rim and all.
//! Only along itself, and in its corner, glass spreads and stores heat as products of its layers
//! do. What that costs is in `checks`.
//!
//! Driven by whoever needs many runs. Knows nothing of cells. Read next: `spectrum.rs`.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::case::{Answer, Case, Contents, Film, JarBody, Phase};
use crate::spectrum::{Direction, Glass, Mode, Way};

/// Registry entry of [`Modes`].
pub static JAR_MODES: Equation = Equation {
    key: "jar-modes",
    title: "Conduction in a round jar by its eigenfunctions",
    text: "T - T_around = sum A_mn f_m(r) g_n(z);  dA/dt = -(L_m + L_n) A - dT_around/dt <f_m><g_n>;  \
           food J_0 and cos, glass cos, -k df/dn = h f at each face",
    source: "carslaw_jaeger_1959",
};

/// A change at a face is not felt in the middle before this Fourier number on its distance: a
/// long cylinder whose face jumps has then lost 3e-7 of the jump on its axis.
const HEARD_FO: f64 = 0.016;
/// That loss for the side, the base and the top together.
const UNHEARD: f64 = 1e-6;
/// What has died by this many powers of e is left out: 3e-7.
const DEAD: f64 = 15.0;
/// Changes are resolved no finer than this Fourier number on the longer of radius and height:
/// about 125 functions.
const FINEST_FO: f64 = 1e-4;
/// Part of the usual resolution where films change at the end of a ramp.
const RAMP_PART: f64 = 1.0 / 16.0;
/// Most functions a direction may have.
const MOST: usize = 800;
/// Places along the axis where the coldest and the warmest are looked for.
const AXIS_PLACES: usize = 49;
/// Below this share of heat exchanged, a jar counts as insulated.
const INSULATED: f64 = 1e-7;
/// Each stretch between readings for a dose is this many times as long as what came before it.
const STRETCH: f64 = 2.5;
/// Glass is thin up to this part of the food's radius and height.
const THIN: f64 = 0.125;
/// Most of the food's heat that the glass may hold.
const MOST_IN_GLASS: f64 = 0.5;
/// Under glass, the least film through it may be this much smaller than the others.
const MOST_APART: f64 = 4.0;
/// A function is zero in the middle below this, of functions whose mean square is 1.
const VANISHES: f64 = 1e-9;
/// Functions along the height summed side by side.
const BLOCK: usize = 16;
/// Nodes and weights of Gauss and Legendre on 0 to 1, five points.
const GAUSS: [(f64, f64); 5] = [
    (0.046_910_077_030_668, 0.118_463_442_528_094_5),
    (0.230_765_344_947_158_5, 0.239_314_335_249_683_2),
    (0.5, 0.284_444_444_444_444_4),
    (0.769_234_655_052_841_5, 0.239_314_335_249_683_2),
    (0.953_089_922_969_332, 0.118_463_442_528_094_5),
];

/// The middle's temperature where a dose is counted: each reading stands for its own time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DosePoints {
    /// Times [s].
    pub times_s: Vec<f64>,
    /// Time each reading stands for [s]; together the whole run.
    pub weights_s: Vec<f64>,
    /// Temperature on the axis at half the food's height [°C].
    pub centre_c: Vec<f64>,
    /// Index of each phase's first reading.
    pub phase_starts: Vec<usize>,
}

/// One phase in its own functions.
#[derive(Debug, Clone)]
struct Stage {
    start_s: f64,
    duration_s: f64,
    around_c: f64,
    slope_k_s: f64,
    round: usize,
    upright: usize,
    /// Rates of the functions along the radius [1/s].
    round_rates: Vec<f64>,
    /// Rates of the functions along the height [1/s].
    upright_rates: Vec<f64>,
    /// Functions along the height kept beside each one along the radius.
    kept: Vec<usize>,
    /// Where each of those rows begins.
    rows: Vec<usize>,
    /// State at the phase's start plus `lag`: what dies away.
    dying: Vec<f64>,
    /// What a ramp drags behind for good; empty without one.
    lag: Vec<f64>,
    /// `dying` in the middle.
    centre: Middle,
    /// How far the middle lags behind a ramp [K].
    centre_lag_k: f64,
}

/// A state in the middle of the jar, without the functions along the height that vanish there: half
/// of them where base and top are alike.
#[derive(Debug, Clone, Default)]
struct Middle {
    /// Rates of the functions along the height [1/s].
    rates: Vec<f64>,
    /// Products kept in each row, and where it begins.
    kept: Vec<usize>,
    rows: Vec<usize>,
    /// The state times the functions' values in the middle.
    states: Vec<f64>,
}

impl Middle {
    fn new(stage: &Stage, round: &[Mode], upright: &[Mode]) -> Self {
        let seen: Vec<usize> = (0..upright.len())
            .filter(|&n| upright[n].middle.abs() > VANISHES)
            .collect();
        let mut middle = Self {
            rates: seen.iter().map(|&n| upright[n].rate).collect(),
            states: Vec::with_capacity(stage.dying.len()),
            ..Self::default()
        };
        for (m, f) in round.iter().enumerate() {
            let many = seen.partition_point(|&n| n < stage.kept[m]);
            middle.kept.push(many);
            middle.rows.push(middle.states.len());
            let row = &stage.dying[stage.rows[m]..];
            middle
                .states
                .extend(seen[..many].iter().map(|&n| row[n] * f.middle * upright[n].middle));
        }
        middle
    }
}

/// A case solved; its temperatures can be asked for at any time.
#[derive(Debug, Clone)]
pub struct Modes {
    /// Sets of functions along the radius, one for each film met.
    round: Vec<Vec<Mode>>,
    /// Sets of functions along the height.
    upright: Vec<Vec<Mode>>,
    stages: Vec<Stage>,
    food_start_c: f64,
    duration_s: f64,
    heard_s: f64,
    resolved_s: f64,
    truncation_k: f64,
    unheard_k: f64,
    heat_left_out: f64,
}

/// Both directions of a jar; refuses glass that is no thin wall.
fn directions(body: &JarBody, food: &Contents) -> Result<(Direction, Direction), HeatError> {
    let heat_j_m3k = food.density_kg_m3 * food.heat_capacity_j_kgk;
    let direction = |way, length_m, thick_m: f64| Direction {
        way,
        length_m,
        k_w_mk: food.conductivity_w_mk,
        heat_j_m3k,
        glass: (thick_m > 0.0).then_some(Glass {
            thick_m,
            k_w_mk: body.glass_k_w_mk,
            heat_j_m3k: body.glass_density_kg_m3 * body.glass_cp_j_kgk,
        }),
    };
    let round = direction(Way::Round, body.inner_radius_m, body.wall_m);
    let upright = direction(Way::Upright, body.food_height_m, body.base_m);
    let up_to = |what, got, most, unit| OutOfRange::check(what, got, 0.0, most, unit, JAR_MODES.key);
    up_to(
        "thickness of the glass, for the eigenfunctions' wall correction,",
        body.wall_m.max(body.base_m),
        THIN * body.inner_radius_m.min(body.food_height_m),
        "m",
    )?;
    up_to(
        "heat held by the glass over that held by the food, for the eigenfunctions' wall correction,",
        round.weight() * upright.weight() - 1.0,
        MOST_IN_GLASS,
        "1",
    )?;
    Ok((round, upright))
}

/// The time after a change that the functions resolve: what is wanted, no more than the middle
/// feels or the shortest phase lasts, and no less than a bounded number of functions can tell.
fn resolution_s(case: &Case, heard_s: f64, wanted_s: f64) -> f64 {
    // What drags behind a ramp dies with no time: told in other functions it needs more of them.
    let told_anew = case.phases.windows(2).any(|pair| {
        let ramp = differ(pair[0].ambient_start_c, pair[0].ambient_end_c);
        ramp && (pair[0].side != pair[1].side || differ(pair[0].top_w_m2k, pair[1].top_w_m2k))
    });
    let usual_s = if told_anew { RAMP_PART * heard_s } else { heard_s };
    let shortest_s = case.phases.iter().map(|p| p.duration_s).fold(usual_s, f64::min);
    let longer_m = case.body.food_height_m.max(case.body.inner_radius_m);
    let finest_s = FINEST_FO * longer_m * longer_m / case.contents.diffusivity_m2_s();
    wanted_s.min(shortest_s).max(finest_s).min(heard_s)
}

/// Whether two inputs are not the same number.
fn differ(a: f64, b: f64) -> bool {
    (a - b).abs() > 0.0
}

/// The three films of a phase [W/(m² K)]: side, base, top.
fn films(phase: &Phase, body: &JarBody) -> Result<[f64; 3], HeatError> {
    let (side_w_m2k, base_w_m2k) = match phase.side {
        Film::Fixed(h) => (h, h),
        Film::Apart { side_w_m2k, base_w_m2k } => (side_w_m2k, base_w_m2k),
        Film::StillAir { .. } => {
            return Err(HeatError::FilmVaries {
                solver: "jar by eigenfunctions",
            });
        }
    };
    let top_w_m2k = phase.top_w_m2k;
    // What glass carries along itself from a warm face to a cold one is beyond the correction.
    let through = |film: f64, thick_m: f64| film / (1.0 + film * thick_m / body.glass_k_w_mk);
    let (side, base) = (through(side_w_m2k, body.wall_m), through(base_w_m2k, body.base_m));
    let least = side.min(base);
    let apart = side.max(base).max(top_w_m2k) > MOST_APART * least;
    if apart && (body.wall_m > 0.0 || body.base_m > 0.0) {
        return Err(HeatError::FilmsApart {
            films_w_m2k: [side, base, top_w_m2k],
            most: MOST_APART,
        });
    }
    Ok([side_w_m2k, base_w_m2k, top_w_m2k])
}

impl Modes {
    /// Solves a case for the middle of the jar: [`Modes::centre_c`], [`Modes::dose_points`] and
    /// [`Modes::peak`] hold to [`Modes::truncation_k`].
    ///
    /// * `case`: within [`crate::case::range`], with fixed films; a jar of glass no thicker than
    ///   an eighth of the food's radius and height and holding half its heat at most, its side and base under films that reach through
    ///   it within a factor of four, and the top under no more
    ///
    /// Under glass the middle is within 0.03 K of resolved glass, and no more than 0.02 K hotter, while
    /// a jar on its way through a bath and air is above 85 °C; further down it may be 0.2 K hotter.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`], [`HeatError::BadShape`] without phases,
    /// [`HeatError::FilmVaries`] for a film that depends on the wall's temperature, and
    /// [`HeatError::FilmsApart`] for a jar of glass that is heated from one side.
    ///
    /// # Source
    /// `carslaw_jaeger_1959`, chapters 7 and 8: products of the series of cylinder and slab.
    pub fn new(case: &Case) -> Result<Self, HeatError> {
        Self::resolving(case, f64::INFINITY)
    }

    /// Solves a case with as many functions as tell a change at a face `resolved_s` after it:
    /// for [`Modes::answer`], which reads faces and means too.
    ///
    /// * `resolved_s`: above 0; more than the middle needs changes nothing
    ///
    /// # Errors
    /// As [`Modes::new`].
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn resolving(case: &Case, resolved_s: f64) -> Result<Self, HeatError> {
        case.check(JAR_MODES.key)?;
        let (body, food) = (&case.body, &case.contents);
        let (round, upright) = directions(body, food)?;
        let near_m = body.inner_radius_m.min(0.5 * body.food_height_m);
        let heard_s = HEARD_FO * near_m * near_m / food.diffusivity_m2_s();
        let resolved_s = resolution_s(case, heard_s, resolved_s);
        let fastest = DEAD / resolved_s;
        let around = case.phases.iter().flat_map(|p| [p.ambient_start_c, p.ambient_end_c]);
        let (coldest_c, hottest_c) = around
            .chain([case.glass_start_c])
            .fold((case.food_start_c, case.food_start_c), |(low, high), c| {
                (low.min(c), high.max(c))
            });
        let mut modes = Self {
            round: Vec::with_capacity(case.phases.len().min(4)),
            upright: Vec::with_capacity(case.phases.len().min(4)),
            stages: Vec::with_capacity(case.phases.len()),
            food_start_c: case.food_start_c,
            duration_s: case.duration_s(),
            heard_s,
            resolved_s,
            truncation_k: 0.0,
            unheard_k: UNHEARD * (hottest_c - coldest_c),
            heat_left_out: 0.0,
        };
        let rims = (upright.rim(), round.rim());
        let weight = round.weight() * upright.weight();
        let mut known: Vec<([f64; 3], usize, usize)> = Vec::with_capacity(4);
        let mut start_s = 0.0;
        for phase in &case.phases {
            let [side, base, top] = films(phase, body)?;
            let (side, base) = (side * rims.0, base * rims.1);
            let same_side = known.iter().find(|(f, ..)| !differ(f[0], side)).map(|(_, i, _)| *i);
            let same_ends = known
                .iter()
                .find(|(f, ..)| !differ(f[1], base) && !differ(f[2], top))
                .map(|(.., i)| *i);
            let round_set = same_side.unwrap_or_else(|| {
                modes.round.push(round.modes(side, 0.0, fastest, MOST));
                modes.round.len() - 1
            });
            let upright_set = same_ends.unwrap_or_else(|| {
                modes.upright.push(upright.modes(base, top, fastest, MOST));
                modes.upright.len() - 1
            });
            known.push(([side, base, top], round_set, upright_set));
            modes.begin(case, phase, start_s, (round_set, upright_set), fastest, weight);
            start_s += phase.duration_s;
        }
        Ok(modes)
    }

    /// Opens a phase: the state of the one before, or the start, in the phase's functions.
    fn begin(&mut self, case: &Case, phase: &Phase, start_s: f64, sets: (usize, usize), fastest: f64, weight: f64) {
        let (round, upright) = (&self.round[sets.0], &self.upright[sets.1]);
        let rates = |modes: &[Mode]| modes.iter().map(|mode| mode.rate).collect();
        let (round_rates, upright_rates): (Vec<f64>, Vec<f64>) = (rates(round), rates(upright));
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
        let slowest = round_rates[0] + upright_rates[0];
        let slope_k_s = if slowest * phase.duration_s < INSULATED {
            0.0
        } else {
            phase.slope_k_s()
        };
        let mut stage = Stage {
            start_s,
            duration_s: phase.duration_s,
            around_c: phase.ambient_start_c,
            slope_k_s,
            round: sets.0,
            upright: sets.1,
            round_rates,
            upright_rates,
            kept,
            rows,
            dying: vec![0.0; total],
            lag: Vec::new(),
            centre: Middle::default(),
            centre_lag_k: 0.0,
        };
        let even_k = match self.stages.last() {
            None => {
                let food_k = case.food_start_c - case.glass_start_c;
                stage.each(round, upright, |state, f, g| *state += food_k * f.food * g.food);
                case.glass_start_c - phase.ambient_start_c
            }
            Some(before) => {
                self.carry(before, &mut stage);
                let around_c = before.around_c + before.slope_k_s * before.duration_s;
                around_c - phase.ambient_start_c
            }
        };
        stage.each(round, upright, |state, f, g| *state += even_k * f.whole * g.whole);
        // How much of an even temperature's heat the kept products hold.
        let mut below = 0.0;
        let mut up_to = Vec::with_capacity(upright.len());
        for g in upright {
            below += g.whole * g.whole;
            up_to.push(below);
        }
        let rows_held = round
            .iter()
            .zip(&stage.kept)
            .map(|(f, many)| f.whole * f.whole * up_to[many - 1]);
        let held: f64 = rows_held.sum();
        let left_out = (1.0 - held / weight).max(0.0) * (-DEAD).exp();
        self.heat_left_out = self.heat_left_out.max(left_out);
        if differ(slope_k_s, 0.0) {
            let mut lag = Vec::with_capacity(total);
            stage.each(round, upright, |_, f, g| {
                lag.push(slope_k_s * f.whole * g.whole / (f.rate + g.rate));
            });
            for (state, here) in stage.dying.iter_mut().zip(&lag) {
                *state += here;
            }
            // As if the middle had felt nothing until then: what is missing has died.
            stage.centre_lag_k = slope_k_s * self.heard_s + stage.middle(round, upright, &lag, self.heard_s).0;
            stage.lag = lag;
        }
        let (_, edge_k) = stage.middle(round, upright, &stage.dying, self.heard_s);
        self.truncation_k = self.truncation_k.max(edge_k + self.unheard_k);
        stage.centre = Middle::new(&stage, round, upright);
        self.stages.push(stage);
    }

    /// Tells the state at the end of one phase in the functions of the next.
    fn carry(&self, before: &Stage, next: &mut Stage) {
        let (old_round, old_upright) = (&self.round[before.round], &self.upright[before.upright]);
        let (new_round, new_upright) = (&self.round[next.round], &self.upright[next.upright]);
        let alive = before.alive(before.duration_s);
        let width = alive.first().copied().unwrap_or(0);
        let dies = decays(&before.upright_rates[..width], before.duration_s);
        // Along the radius first: one row for each new function.
        let mut half = vec![0.0; new_round.len() * width];
        for (m, &many) in alive.iter().enumerate() {
            let along = &old_round[m];
            let die = (-before.round_rates[m] * before.duration_s).exp();
            let row: Vec<f64> = (0..many)
                .map(|n| {
                    let at = before.rows[m] + n;
                    before.dying[at] * die * dies[n] - before.lag.get(at).copied().unwrap_or(0.0)
                })
                .collect();
            let mut add = |j: usize, share: f64| {
                for (sum, value) in half[j * width..j * width + many].iter_mut().zip(&row) {
                    *sum += share * value;
                }
            };
            if before.round == next.round {
                add(m, 1.0);
            } else {
                for (j, f) in new_round.iter().enumerate() {
                    add(j, along.overlap(f));
                }
            }
        }
        if before.upright == next.upright {
            for j in 0..new_round.len() {
                let many = next.kept[j].min(width);
                let (to, from) = (next.rows[j], j * width);
                next.dying[to..to + many].copy_from_slice(&half[from..from + many]);
            }
            return;
        }
        for (n, up) in old_upright[..width].iter().enumerate() {
            let shares: Vec<f64> = new_upright.iter().map(|g| up.overlap(g)).collect();
            for j in 0..new_round.len() {
                let value = half[j * width + n];
                let row = &mut next.dying[next.rows[j]..next.rows[j] + next.kept[j]];
                for (state, share) in row.iter_mut().zip(&shares) {
                    *state += share * value;
                }
            }
        }
    }

    /// The stage whose start the middle has already felt at a time, if any.
    fn felt(&self, time_s: f64) -> Option<&Stage> {
        self.stages
            .iter()
            .rev()
            .find(|stage| stage.start_s + self.heard_s <= time_s)
    }

    /// Temperature on the axis at half the food's height [°C].
    ///
    /// * `time_s`: from the start; beyond the last phase's end its surroundings go on as they did
    #[must_use]
    pub fn centre_c(&self, time_s: f64) -> f64 {
        let Some(stage) = self.felt(time_s) else {
            return self.food_start_c;
        };
        let elapsed_s = time_s - stage.start_s;
        let around_c = stage.around_c + stage.slope_k_s * elapsed_s - stage.centre_lag_k;
        around_c + stage.centre_sum(elapsed_s, 1.0, 0.0)
    }

    /// How fast the middle warms [K/s].
    fn centre_slope_k_s(&self, time_s: f64) -> f64 {
        let Some(stage) = self.felt(time_s) else {
            return 0.0;
        };
        stage.slope_k_s - stage.centre_sum(time_s - stage.start_s, 0.0, 1.0)
    }

    /// The middle's temperature at the points where a dose over the whole run is counted: five
    /// points of Gauss and Legendre in stretches that grow with the time since a change.
    ///
    /// The sum of weight times any smooth function of the temperature is that function's integral
    /// over time.
    #[must_use]
    pub fn dose_points(&self) -> DosePoints {
        let mut points = DosePoints::default();
        for stage in &self.stages {
            points.phase_starts.push(points.times_s.len());
            let mut from_s = 0.0;
            let mut to_s = self.heard_s;
            while from_s < stage.duration_s {
                // A rest shorter than the stretch before it is taken in.
                if to_s * 1.3 > stage.duration_s {
                    to_s = stage.duration_s;
                }
                for (node, weight) in GAUSS {
                    let time_s = stage.start_s + from_s + node * (to_s - from_s);
                    points.times_s.push(time_s);
                    points.weights_s.push(weight * (to_s - from_s));
                    points.centre_c.push(self.centre_c(time_s));
                }
                (from_s, to_s) = (to_s, to_s * STRETCH);
            }
        }
        points
    }

    /// When the middle is hottest [s], and how hot [°C].
    #[must_use]
    pub fn peak(&self, points: &DosePoints) -> (f64, f64) {
        let mut best = (0.0, self.food_start_c);
        let ends = self.stages.iter().map(|s| s.start_s + s.duration_s);
        for (time_s, c) in points
            .times_s
            .iter()
            .zip(&points.centre_c)
            .map(|(t, c)| (*t, *c))
            .chain(ends.map(|t| (t, self.centre_c(t))))
        {
            if c > best.1 {
                best = (time_s, c);
            }
        }
        let at = points.times_s.partition_point(|t| *t < best.0);
        let before = points.times_s[..at].last().copied().unwrap_or(0.0);
        let after = points.times_s.get(at + 1).copied().unwrap_or(self.duration_s);
        let (mut low, mut high) = (before, after.min(self.duration_s));
        // The slope falls through zero at a peak; at an edge it does not, and the edge stands.
        let (mut at_low, mut at_high) = (self.centre_slope_k_s(low), self.centre_slope_k_s(high));
        if at_low <= 0.0 || at_high >= 0.0 {
            return best;
        }
        for turn in 0..24 {
            let share = if turn % 3 == 2 {
                0.5
            } else {
                at_low / (at_low - at_high)
            };
            let time_s = low + share * (high - low);
            let slope = self.centre_slope_k_s(time_s);
            if slope > 0.0 {
                (low, at_low) = (time_s, slope);
            } else {
                (high, at_high) = (time_s, slope);
            }
            // A slope this small moves the peak by less than a billionth of a kelvin.
            if slope.abs() * (high - low) < 1e-7 {
                return (time_s, self.centre_c(time_s));
            }
        }
        best
    }

    /// Readings at chosen times.
    ///
    /// * `times_s`: rising, from 0 to the end of the last phase; each phase's end is read too
    ///
    /// The middle is exact to [`Modes::truncation_k`]. Coldest, warmest and mean are so from the
    /// time the functions resolve after each change; see [`Modes::resolving`].
    #[must_use]
    pub fn answer(&self, times_s: &[f64]) -> Answer {
        let mut answer = Answer {
            energy_error: self.heat_left_out,
            ..Answer::default()
        };
        answer.begin(self.food_start_c);
        let mut wanted = times_s.iter().copied().filter(|t| *t > 0.0).peekable();
        let shares: Vec<f64> = (0..AXIS_PLACES).map(|i| i as f64 / (AXIS_PLACES - 1) as f64).collect();
        for stage in &self.stages {
            let upright = &self.upright[stage.upright];
            let axis: Vec<Vec<f64>> = shares
                .iter()
                .map(|&share| upright.iter().map(|g| g.at_height(share)).collect())
                .collect();
            let end_s = stage.start_s + stage.duration_s;
            while let Some(time_s) = wanted.next_if(|t| *t < end_s) {
                let newer = answer.times_s.last().is_none_or(|last| time_s > *last);
                if newer {
                    self.read(stage, &axis, time_s, &mut answer);
                }
            }
            while wanted.next_if(|t| *t <= end_s).is_some() {}
            self.read(stage, &axis, end_s, &mut answer);
            answer.phase_ends.push(answer.times_s.len() - 1);
        }
        answer
    }

    fn read(&self, stage: &Stage, axis: &[Vec<f64>], time_s: f64, answer: &mut Answer) {
        let centre_c = self.centre_c(time_s);
        answer.times_s.push(time_s);
        answer.centre_c.push(centre_c);
        let elapsed_s = time_s - stage.start_s;
        let (round, upright) = (&self.round[stage.round], &self.upright[stage.upright]);
        let width = stage.kept.first().copied().unwrap_or(0);
        let dies = decays(&stage.upright_rates[..width], elapsed_s);
        let (mut on_axis, mut mean_k) = (vec![0.0; width], 0.0);
        for (m, f) in round.iter().enumerate() {
            let die = (-stage.round_rates[m] * elapsed_s).exp();
            for n in 0..stage.kept[m] {
                let at = stage.rows[m] + n;
                let state = stage.dying[at] * die * dies[n] - stage.lag.get(at).copied().unwrap_or(0.0);
                on_axis[n] += state * f.middle;
                mean_k += state * f.food * upright[n].food;
            }
        }
        let around_c = stage.around_c + stage.slope_k_s * elapsed_s;
        let place = |values: &Vec<f64>| around_c + values.iter().zip(&on_axis).map(|(a, b)| a * b).sum::<f64>();
        let places: Vec<f64> = axis.iter().map(place).collect();
        let (mut low, mut high) = (centre_c, centre_c);
        for c in &places {
            (low, high) = (low.min(*c), high.max(*c));
        }
        // Between places, where one stands out and the curve bends alike around it.
        for five in places.windows(5) {
            let bend = |i: usize| five[i - 1] - 2.0 * five[i] + five[i + 1];
            let (here, slope) = (bend(2), 0.5 * (five[3] - five[1]));
            let alike = |other: f64| other * here > 0.0 && 3.0 * other.abs() > here.abs();
            if slope.abs() < here.abs() && alike(bend(1)) && alike(bend(3)) {
                let turn = five[2] - 0.5 * slope * slope / here;
                (low, high) = (low.min(turn), high.max(turn));
            }
        }
        answer.coldest_c.push(low);
        answer.warmest_c.push(high);
        answer.mean_c.push(around_c + mean_k);
    }

    /// How far the middle may be off for what is left out [K]: the size of the last functions kept
    /// at the moment they count most, and what the middle feels of a change before it is counted.
    #[must_use]
    pub fn truncation_k(&self) -> f64 {
        self.truncation_k
    }

    /// Share of the heat of a sudden change that the functions left out may still hold at the
    /// first resolved moment after it [-]: a bound, by Parseval.
    #[must_use]
    pub fn heat_left_out(&self) -> f64 {
        self.heat_left_out
    }

    /// Time after a change from which faces and means are resolved [s].
    #[must_use]
    pub fn resolved_s(&self) -> f64 {
        self.resolved_s
    }

    /// Number of product functions of the largest phase.
    #[must_use]
    pub fn functions(&self) -> usize {
        self.stages.iter().map(|stage| stage.dying.len()).max().unwrap_or(0)
    }
}

impl Stage {
    /// Visits the state of every kept product.
    fn each(&mut self, round: &[Mode], upright: &[Mode], mut visit: impl FnMut(&mut f64, &Mode, &Mode)) {
        for (m, f) in round.iter().enumerate() {
            let row = &mut self.dying[self.rows[m]..self.rows[m] + self.kept[m]];
            for (state, g) in row.iter_mut().zip(upright) {
                visit(state, f, g);
            }
        }
    }

    /// How many products of each row still count after a time; all of them behind a ramp.
    fn alive(&self, elapsed_s: f64) -> Vec<usize> {
        if !self.lag.is_empty() {
            return self.kept.clone();
        }
        let limit = DEAD / elapsed_s;
        let rows = self.round_rates.iter().zip(&self.kept);
        rows.map(|(f, &many)| self.upright_rates[..many].partition_point(|g| f + g <= limit))
            .take_while(|many| *many > 0)
            .collect()
    }

    /// Sum of what has not died in the middle, each product times `plain` plus `by_rate` times its
    /// rate.
    fn centre_sum(&self, elapsed_s: f64, plain: f64, by_rate: f64) -> f64 {
        let (round, upright) = (&self.round_rates, &self.centre.rates);
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
                let many = most.min(self.centre.kept[m].saturating_sub(from));
                if many == 0 {
                    break;
                }
                let die = (-f * elapsed_s).exp();
                let here = die * (plain + by_rate * f);
                let row = &self.centre.states[self.centre.rows[m] + from..][..many];
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
    fn middle(&self, round: &[Mode], upright: &[Mode], state: &[f64], elapsed_s: f64) -> (f64, f64) {
        let here = |mode: &Mode, rate: &f64| mode.middle * (-rate * elapsed_s).exp();
        let values: Vec<f64> = upright
            .iter()
            .zip(&self.upright_rates)
            .map(|(g, rate)| here(g, rate))
            .collect();
        let (mut sum, mut edge) = (0.0, 0.0);
        for (m, f) in round.iter().enumerate() {
            let value = here(f, &self.round_rates[m]);
            let row = &state[self.rows[m]..self.rows[m] + self.kept[m]];
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
}

/// What is left of each function after a time.
fn decays(rates: &[f64], elapsed_s: f64) -> Vec<f64> {
    rates.iter().map(|rate| (-rate * elapsed_s).exp()).collect()
}
