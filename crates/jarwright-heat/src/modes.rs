//! A jar by its eigenfunctions: one whole heat-and-cool run in microseconds.
//!
//! The temperature above the surroundings is a sum of products of one function along the radius
//! and one along the height, each dying at its own rate. A phase keeps its functions; where the
//! films change, the state is told anew in the next phase's functions, by the functions' values
//! at the faces alone.
//!
//! Glass is a layer of its own in each direction, with its heat capacity and its resistance, so that
//! it lags as it does; a film acts on the whole of its face, rim and all. Along itself, and in its
//! corner, glass leads and stores heat otherwise than products of its layers do: that is told apart,
//! by `along_glass.rs`, and felt in the middle as late as anything that happens at a face.
//!
//! Driven by whoever needs many runs. Knows nothing of cells. Read next: `stage.rs`, one phase, and
//! `spectrum.rs`, the functions.

use std::sync::Arc;

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::along_glass;
use crate::case::{Answer, Case, Contents, Film, JarBody, Phase};
use crate::spectrum::{Direction, Glass, Mode, Way};
use crate::stage::{DEAD, GAUSS, Products, Stage};

/// Registry entry of [`Modes`].
pub static JAR_MODES: Equation = Equation {
    key: "jar-modes",
    title: "Conduction in a round jar by its eigenfunctions",
    text: "T - T_around = sum A_mn f_m(r) g_n(z);  dA/dt = -(L_m + L_n) A - dT_around/dt <f_m><g_n>;  \
           food J_0 and cos, glass cos, -k df/dn = h f at each face; what glass does along itself in \
           slow functions u_k beside them, d_k' + L_k d_k = -sum (A(u_k, f_m g_n) - L_mn M(u_k, f_m g_n)) A_mn",
    source: "carslaw_jaeger_1959",
};

/// A change at a face is not felt in the middle before this Fourier number on its distance: a
/// long cylinder whose face jumps has then lost 3e-7 of the jump on its axis.
const HEARD_FO: f64 = 0.016;
/// What glass does along itself is not felt in the middle before this one: a thousandth of a jump
/// at the face of a long cylinder has then reached its axis.
const LATE_FO: f64 = 0.04;
/// That loss for the side, the base and the top together.
const UNHEARD: f64 = 1e-6;
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

/// The functions of one jar, its food and the films it meets. Making them is most of the work of a
/// run in glass; [`Spectrum::run`] takes them for any temperatures and times.
#[derive(Debug, Clone)]
pub struct Spectrum {
    body: JarBody,
    contents: Contents,
    across: Direction,
    along: Direction,
    /// Sets of functions along the radius, one for each film met.
    round: Vec<Vec<Mode>>,
    /// Sets of functions along the height.
    upright: Vec<Vec<Mode>>,
    /// Films on side, base and top, and which products they make.
    films: Vec<([f64; 3], usize)>,
    products: Vec<Products>,
    heard_s: f64,
    late_s: f64,
    resolved_s: f64,
}

/// A case solved; its temperatures can be asked for at any time.
#[derive(Debug, Clone)]
pub struct Modes {
    spectrum: Arc<Spectrum>,
    stages: Vec<Stage>,
    food_start_c: f64,
    duration_s: f64,
    truncation_k: f64,
    unheard_k: f64,
    heat_left_out: f64,
}

/// How glass is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wall {
    /// As a layer of each direction.
    Layers,
    /// And with what it does along itself.
    AlongItself,
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

impl Spectrum {
    /// Makes the functions for a case's jar, food and films.
    ///
    /// * `case`: as [`Modes::new`] takes it; its temperatures do not matter, and its times only where
    ///   a phase is so short that more functions are needed to resolve it
    /// * `resolved_s`: as in [`Modes::resolving`]
    ///
    /// # Errors
    /// As [`Modes::new`].
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn new(case: &Case, resolved_s: f64) -> Result<Self, HeatError> {
        Self::with(case, resolved_s, Wall::AlongItself)
    }

    /// Makes the products alone, without what glass does along itself: for
    /// [`Modes::products_alone`].
    ///
    /// # Errors
    /// As [`Modes::new`].
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn products_alone(case: &Case) -> Result<Self, HeatError> {
        Self::with(case, f64::INFINITY, Wall::Layers)
    }

    fn with(case: &Case, resolved_s: f64, wall: Wall) -> Result<Self, HeatError> {
        case.check(JAR_MODES.key)?;
        let (body, contents) = (case.body, case.contents);
        let (across, along) = directions(&body, &contents)?;
        let near_m = body.inner_radius_m.min(0.5 * body.food_height_m);
        let square_s = near_m * near_m / contents.diffusivity_m2_s();
        let (heard_s, late_s) = (HEARD_FO * square_s, LATE_FO * square_s);
        let resolved_s = resolution_s(case, heard_s, resolved_s);
        let fastest = DEAD / resolved_s;
        let mut spectrum = Self {
            body,
            contents,
            across,
            along,
            round: Vec::with_capacity(case.phases.len().min(4)),
            upright: Vec::with_capacity(case.phases.len().min(4)),
            films: Vec::with_capacity(case.phases.len().min(4)),
            products: Vec::with_capacity(case.phases.len().min(4)),
            heard_s,
            late_s,
            resolved_s,
        };
        // A film acts on the whole of its face, the rim of the other direction's glass and all.
        let rims = (along.rim(), across.rim());
        for phase in &case.phases {
            let met = films(phase, &body)?;
            if spectrum.under(met).is_some() {
                continue;
            }
            let [side, base, top] = [met[0] * rims.0, met[1] * rims.1, met[2]];
            let same_side = spectrum.films.iter().find(|(f, _)| !differ(f[0], met[0]));
            let same_ends = spectrum
                .films
                .iter()
                .find(|(f, _)| !differ(f[1], met[1]) && !differ(f[2], met[2]));
            let sets = (
                same_side.map(|(_, i)| spectrum.products[*i].sets.0),
                same_ends.map(|(_, i)| spectrum.products[*i].sets.1),
            );
            let round_set = sets.0.unwrap_or_else(|| {
                spectrum.round.push(across.modes(side, 0.0, fastest, MOST));
                spectrum.round.len() - 1
            });
            let upright_set = sets.1.unwrap_or_else(|| {
                spectrum.upright.push(along.modes(base, top, fastest, MOST));
                spectrum.upright.len() - 1
            });
            let (round, upright) = (&spectrum.round[round_set][..], &spectrum.upright[upright_set][..]);
            let slow = match wall {
                Wall::Layers => Vec::new(),
                Wall::AlongItself => along_glass::slow((&across, round, side), (&along, upright, [base, top]), late_s),
            };
            let products = Products::new((round_set, upright_set), (round, upright), fastest, (slow, late_s));
            spectrum.films.push((met, spectrum.products.len()));
            spectrum.products.push(products);
        }
        Ok(spectrum)
    }

    /// Solves a case of the same jar and food under films among those the functions were made for.
    ///
    /// # Errors
    /// As [`Modes::new`]; [`HeatError::NotInSpectrum`] for another jar, food or film.
    pub fn run(self: &Arc<Self>, case: &Case) -> Result<Modes, HeatError> {
        case.check(JAR_MODES.key)?;
        if case.body != self.body {
            return Err(HeatError::NotInSpectrum { what: "jar" });
        }
        if case.contents != self.contents {
            return Err(HeatError::NotInSpectrum { what: "food" });
        }
        Modes::solve(self, case)
    }

    fn under(&self, met: [f64; 3]) -> Option<usize> {
        let same = |films: &[f64; 3]| films.iter().zip(met).all(|(a, b)| !differ(*a, b));
        self.films.iter().find(|(films, _)| same(films)).map(|(_, i)| *i)
    }

    fn products_under(&self, met: [f64; 3]) -> Result<usize, HeatError> {
        self.under(met).ok_or(HeatError::NotInSpectrum { what: "film" })
    }

    fn functions(&self, products: usize) -> (&[Mode], &[Mode]) {
        let (round, upright) = self.products[products].sets;
        (&self.round[round], &self.upright[upright])
    }

    /// Tells the state at the end of one phase in the functions of the next.
    fn carry(&self, before: &Stage, next: &mut Stage) {
        let old = &self.products[before.products];
        next.dying = self.told(before, next, &before.state(old, before.duration_s));
        if let Some(early) = before.early_state(old, before.duration_s) {
            next.early = self.told(before, next, &early);
        }
    }

    /// A state in one phase's functions, told in those of the next.
    fn told(&self, before: &Stage, next: &Stage, now: &[Vec<f64>]) -> Vec<f64> {
        let (old, new) = (&self.products[before.products], &self.products[next.products]);
        let ((old_round, old_upright), (new_round, new_upright)) =
            (self.functions(before.products), self.functions(next.products));
        let mut told = vec![0.0; new.total()];
        let width = now.first().map_or(0, Vec::len);
        // Along the radius first: one row for each new function.
        let mut half = vec![0.0; new_round.len() * width];
        for (m, (row, along)) in now.iter().zip(old_round).enumerate() {
            let mut add = |j: usize, share: f64| {
                for (sum, value) in half[j * width..][..row.len()].iter_mut().zip(row) {
                    *sum += share * value;
                }
            };
            if old.sets.0 == new.sets.0 {
                add(m, 1.0);
            } else {
                for (j, f) in new_round.iter().enumerate() {
                    add(j, along.overlap(f));
                }
            }
        }
        if old.sets.1 == new.sets.1 {
            for j in 0..new_round.len() {
                let many = new.kept[j].min(width);
                told[new.rows[j]..][..many].copy_from_slice(&half[j * width..][..many]);
            }
            return told;
        }
        for (n, up) in old_upright[..width].iter().enumerate() {
            let shares: Vec<f64> = new_upright.iter().map(|g| up.overlap(g)).collect();
            for j in 0..new_round.len() {
                let value = half[j * width + n];
                for (state, share) in told[new.rows[j]..][..new.kept[j]].iter_mut().zip(&shares) {
                    *state += share * value;
                }
            }
        }
        told
    }
}

impl Modes {
    /// Solves a case for the middle of the jar: [`Modes::centre_c`], [`Modes::dose_points`] and
    /// [`Modes::peak`] hold to [`Modes::truncation_k`].
    ///
    /// * `case`: within [`crate::case::range`], with fixed films; a jar of glass no thicker than
    ///   an eighth of the food's radius and height and holding half its heat at most, its side and
    ///   base under films that reach through it within a factor of four, and the top under no more
    ///
    /// Under glass of 2 to 4 mm the middle is no more than 0.02 K hotter than resolved glass, and no
    /// more than 0.03 K colder, while it is above 55 °C on its way through fill, bath and air.
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
        Arc::new(Spectrum::new(case, resolved_s)?).run(case)
    }

    /// Solves a case as [`Modes::new`] does, but for what glass does along itself: the same without
    /// glass, and in glass many times as fast and up to 0.8 K off in the middle.
    ///
    /// It is for many draws of one jar, each counted by how far it is from a central draw told
    /// alike: what is left out is then in both.
    ///
    /// # Errors
    /// As [`Modes::new`].
    ///
    /// # Source
    /// `carslaw_jaeger_1959`.
    pub fn products_alone(case: &Case) -> Result<Self, HeatError> {
        Arc::new(Spectrum::products_alone(case)?).run(case)
    }

    fn solve(spectrum: &Arc<Spectrum>, case: &Case) -> Result<Self, HeatError> {
        let around = case.phases.iter().flat_map(|p| [p.ambient_start_c, p.ambient_end_c]);
        let (coldest_c, hottest_c) = around
            .chain([case.glass_start_c])
            .fold((case.food_start_c, case.food_start_c), |(low, high), c| {
                (low.min(c), high.max(c))
            });
        let mut modes = Self {
            spectrum: spectrum.clone(),
            stages: Vec::with_capacity(case.phases.len()),
            food_start_c: case.food_start_c,
            duration_s: case.duration_s(),
            truncation_k: 0.0,
            unheard_k: UNHEARD * (hottest_c - coldest_c),
            heat_left_out: 0.0,
        };
        let mut start_s = 0.0;
        for phase in &case.phases {
            modes.begin(spectrum, case, phase, start_s)?;
            start_s += phase.duration_s;
        }
        Ok(modes)
    }

    /// Opens a phase: the state of the one before, or the start, in the phase's functions.
    fn begin(&mut self, spectrum: &Spectrum, case: &Case, phase: &Phase, start_s: f64) -> Result<(), HeatError> {
        let index = spectrum.products_under(films(phase, &case.body)?)?;
        let products = &spectrum.products[index];
        let functions = spectrum.functions(index);
        let (round, upright) = functions;
        let slowest = products.round_rates[0] + products.upright_rates[0];
        let slope_k_s = if slowest * phase.duration_s < INSULATED {
            0.0
        } else {
            phase.slope_k_s()
        };
        let mut stage = Stage::new(start_s, phase, slope_k_s, index, products.total());
        let even_k = match self.stages.last() {
            None => {
                let food_k = case.food_start_c - case.glass_start_c;
                products.each(&mut stage.dying, functions, |state, f, g| {
                    *state += food_k * f.food * g.food
                });
                stage.early.clone_from(&stage.dying);
                case.glass_start_c - phase.ambient_start_c
            }
            Some(before) => {
                spectrum.carry(before, &mut stage);
                let around_c = before.around_c + before.slope_k_s * before.duration_s;
                around_c - phase.ambient_start_c
            }
        };
        let mut jump = vec![0.0; products.total()];
        products.each(&mut jump, functions, |jump, f, g| *jump = even_k * f.whole * g.whole);
        stage.add(&jump);
        // How much of an even temperature's heat the kept products hold.
        let mut below = 0.0;
        let mut up_to = Vec::with_capacity(upright.len());
        for g in upright {
            below += g.whole * g.whole;
            up_to.push(below);
        }
        let rows_held = round
            .iter()
            .zip(&products.kept)
            .map(|(f, many)| f.whole * f.whole * up_to[many - 1]);
        let held: f64 = rows_held.sum();
        let weight = spectrum.across.weight() * spectrum.along.weight();
        let left_out = (1.0 - held / weight).max(0.0) * (-DEAD).exp();
        self.heat_left_out = self.heat_left_out.max(left_out);
        let mut centre_lag_k = 0.0;
        if differ(slope_k_s, 0.0) {
            let mut lag = vec![0.0; products.total()];
            products.each(&mut lag, functions, |lag, f, g| {
                *lag = slope_k_s * f.whole * g.whole / (f.rate + g.rate);
            });
            stage.add(&lag);
            // As if the middle had felt nothing until then: what is missing has died.
            centre_lag_k = slope_k_s * spectrum.heard_s + products.reach(functions, &lag, spectrum.heard_s).0;
            stage.lag = lag;
        }
        let (_, edge_k) = products.reach(functions, &stage.dying, spectrum.heard_s);
        self.truncation_k = self.truncation_k.max(edge_k + self.unheard_k);
        stage.settle(products, centre_lag_k);
        self.stages.push(stage);
        Ok(())
    }

    /// The last phase whose start the middle has felt at a time, if any.
    fn felt(&self, time_s: f64) -> Option<usize> {
        let heard_s = self.spectrum.heard_s;
        self.stages.iter().rposition(|stage| stage.start_s + heard_s <= time_s)
    }

    /// Temperature on the axis at half the food's height [°C].
    ///
    /// * `time_s`: from the start; beyond the last phase's end its surroundings go on as they did
    #[must_use]
    pub fn centre_c(&self, time_s: f64) -> f64 {
        let Some(at) = self.felt(time_s) else {
            return self.food_start_c;
        };
        let stage = &self.stages[at];
        let elapsed_s = time_s - stage.start_s;
        let here = |stage: &Stage| &self.spectrum.products[stage.products];
        let before = self.still_felt(at, elapsed_s);
        let before_k = before.map_or(0.0, |old| old.along_k(here(old), time_s - old.start_s));
        stage.around_c + stage.middle_k(here(stage), elapsed_s) + before_k
    }

    /// How fast the middle warms [K/s].
    fn centre_slope_k_s(&self, time_s: f64) -> f64 {
        let Some(at) = self.felt(time_s) else {
            return 0.0;
        };
        let stage = &self.stages[at];
        let elapsed_s = time_s - stage.start_s;
        let here = |stage: &Stage| &self.spectrum.products[stage.products];
        let before = self.still_felt(at, elapsed_s);
        let before_k_s = before.map_or(0.0, |old| old.along_slope_k_s(here(old), time_s - old.start_s));
        stage.middle_slope_k_s(here(stage), elapsed_s) + before_k_s
    }

    /// The phase before, while the middle feels only its glass along itself.
    fn still_felt(&self, at: usize, elapsed_s: f64) -> Option<&Stage> {
        let young = elapsed_s < self.spectrum.late_s;
        self.stages[..at].last().filter(|_| young)
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
            let mut to_s = self.spectrum.heard_s;
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
    /// time the functions resolve after each change; see [`Modes::resolving`]. Under glass the ends
    /// of the axis are less sure than the middle: while cooling the base may be 0.7 K too hot, and
    /// while heating the coldest place 0.1 K.
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
            let (_, upright) = self.spectrum.functions(stage.products);
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
        let products = &self.spectrum.products[stage.products];
        let (round, upright) = self.spectrum.functions(stage.products);
        let now = stage.state(products, elapsed_s);
        let (mut on_axis, mut mean_k) = (vec![0.0; now.first().map_or(0, Vec::len)], 0.0);
        for (row, f) in now.iter().zip(round) {
            for ((state, g), on_axis) in row.iter().zip(upright).zip(&mut on_axis) {
                *on_axis += state * f.middle;
                mean_k += state * f.food * g.food;
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
        self.spectrum.resolved_s
    }

    /// Number of product functions of the largest phase.
    #[must_use]
    pub fn functions(&self) -> usize {
        self.stages.iter().map(|stage| stage.dying.len()).max().unwrap_or(0)
    }
}
