//! How sure the dose in the middle of a jar is: everything uncertain about its case drawn together,
//! the jar heated and cooled for each draw, and what came of it counted.
//!
//! Driven by `jarwright jar CASE.toml --sure`. It explains a process and approves none: no hold is
//! ever proposed that is shorter than the case's own. Read next: the sampling in `jarwright-dose`.

use jarwright_dose::{
    Distribution, DoseError, Estimate, Indices, StudyError, each, lethality_weighted_min, percentile, share_of,
    sobol_indices,
};
use jarwright_figure::BandKind;
use jarwright_heat::HeatError;
use jarwright_heat::case::{Case, Film, Phase};
use jarwright_heat::modes::Modes;

use crate::PlanError;

/// Chance that the longer hold is sought for.
const SOUGHT: f64 = 0.99;
/// Most that a hold is lengthened by [s].
const MOST_LONGER_S: u32 = 4 * 3600;

/// A jar's case, what its middle is held to, and what is uncertain.
#[derive(Debug, Clone, PartialEq)]
pub struct JarStudy {
    /// The case as written.
    pub case: Case,
    /// Names of its phases, where they have one.
    pub phases: Vec<Option<String>>,
    /// What the middle is held to, where the file says it.
    pub target: Option<SureTarget>,
    /// What is uncertain.
    pub uncertain: Vec<Uncertain>,
}

/// Decimal reductions asked of the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SureTarget {
    /// Reference temperature [°C].
    pub reference_c: f64,
    /// Slope [K].
    pub z_k: f64,
    /// Time at the reference temperature for one decimal reduction [min].
    pub d_min: f64,
    /// How many decimal reductions are asked.
    pub decimal_reductions: f64,
    /// The phase whose length may be changed, if the case has one that heats.
    pub hold: Option<usize>,
}

impl SureTarget {
    /// Minutes at the reference temperature that are asked.
    #[must_use]
    pub fn needed_min(&self) -> f64 {
        self.d_min * self.decimal_reductions
    }
}

/// One uncertain number of a case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    /// Which.
    pub what: What,
    /// Lower end as written.
    pub low: f64,
    /// Upper end as written.
    pub high: f64,
    /// What the two ends are.
    pub said: BandKind,
    /// How it spreads.
    pub spread: Distribution,
}

/// What can be uncertain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The food's conductivity [W/(m K)].
    Conductivity,
    /// The food's density [kg/m³].
    Density,
    /// The food's heat capacity [J/(kg K)].
    HeatCapacity,
    /// Temperature of food and glass at the start [°C].
    Start,
    /// What is to be added to what the thermometer showed [K]: at the start and at the first phase's
    /// start, one and the same for both.
    Thermometer,
    /// Time of one decimal reduction [min].
    D,
    /// Slope [K].
    Z,
    /// Film on side and base in every phase that heats, one and the same [W/(m² K)].
    Bath,
    /// Something of the phase of an index.
    Phase(usize, OfPhase),
}

/// What can be uncertain of a phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfPhase {
    /// How long [s].
    Seconds,
    /// Temperature around at its start [°C].
    AmbientStart,
    /// Temperature around at its end [°C].
    AmbientEnd,
    /// Film on the side [W/(m² K)].
    Side,
    /// Film on the base [W/(m² K)].
    Base,
    /// Film on side and base together [W/(m² K)].
    Water,
    /// Film on the top [W/(m² K)].
    Top,
}

impl What {
    /// Key in the case's file, without the phase's name.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Conductivity => "k_w_mk",
            Self::Density => "rho_kg_m3",
            Self::HeatCapacity => "cp_j_kgk",
            Self::Start => "start_c",
            Self::Thermometer => "thermometer_k",
            Self::D => "d_min",
            Self::Z => "z_k",
            Self::Bath => "h_bath_w_m2k",
            Self::Phase(_, of) => match of {
                OfPhase::Seconds => "seconds",
                OfPhase::AmbientStart => "ambient_start_c",
                OfPhase::AmbientEnd => "ambient_end_c",
                OfPhase::Side => "h_side_w_m2k",
                OfPhase::Base => "h_base_w_m2k",
                OfPhase::Water => "h_water_w_m2k",
                OfPhase::Top => "h_top_w_m2k",
            },
        }
    }

    /// Puts a drawn value into a case and its target. The thermometer's adds to what is there: it
    /// comes after the temperatures it read.
    fn put(self, value: f64, case: &mut Case, target: &mut SureTarget) {
        match self {
            Self::Conductivity => case.contents.conductivity_w_mk = value,
            Self::Density => case.contents.density_kg_m3 = value,
            Self::HeatCapacity => case.contents.heat_capacity_j_kgk = value,
            Self::Start => {
                case.food_start_c = value;
                case.glass_start_c = value;
            }
            Self::Thermometer => {
                case.food_start_c += value;
                case.glass_start_c += value;
                if let Some(first) = case.phases.first_mut() {
                    first.ambient_start_c += value;
                }
            }
            Self::D => target.d_min = value,
            Self::Z => target.z_k = value,
            Self::Bath => {
                let start_c = case.food_start_c;
                for phase in case.phases.iter_mut().filter(|phase| heats(phase, start_c)) {
                    phase.side = Film::Apart {
                        side_w_m2k: value,
                        base_w_m2k: value,
                    };
                }
            }
            Self::Phase(index, of) => {
                let Some(phase) = case.phases.get_mut(index) else {
                    return;
                };
                let (side, base) = match phase.side {
                    Film::Apart { side_w_m2k, base_w_m2k } => (side_w_m2k, base_w_m2k),
                    Film::Fixed(h) => (h, h),
                    Film::StillAir { .. } => return,
                };
                let films = |side_w_m2k, base_w_m2k| Film::Apart { side_w_m2k, base_w_m2k };
                match of {
                    OfPhase::Seconds => phase.duration_s = value,
                    OfPhase::AmbientStart => phase.ambient_start_c = value,
                    OfPhase::AmbientEnd => phase.ambient_end_c = value,
                    OfPhase::Side => phase.side = films(value, base),
                    OfPhase::Base => phase.side = films(side, value),
                    OfPhase::Water => phase.side = films(value, value),
                    OfPhase::Top => phase.top_w_m2k = value,
                }
            }
        }
    }
}

/// Whether a phase's surroundings end hotter than the food began.
pub(crate) fn heats(phase: &Phase, start_c: f64) -> bool {
    phase.ambient_end_c > start_c
}

/// How a study is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Rows: a power of two from 64 to 65,536.
    pub rows: usize,
    /// One seed, one answer.
    pub seed: u64,
}

/// How sure a dose is.
#[derive(Debug, Clone, PartialEq)]
pub struct Sure {
    /// What was asked.
    pub target: SureTarget,
    /// Dose with the case's own numbers [min at the target's reference temperature].
    pub dose_min: f64,
    /// The same in decimal reductions.
    pub decimal_reductions: f64,
    /// Share of draws that meet the target.
    pub chance: Estimate,
    /// 5th percentile of the decimal reductions.
    pub p5: Estimate,
    /// 50th percentile.
    pub p50: Estimate,
    /// 95th percentile.
    pub p95: Estimate,
    /// Decimal reductions of every draw, rising.
    pub rising: Vec<f64>,
    /// The hold that 99 in 100 need; none where the case has no phase that heats.
    pub hold: Option<Hold>,
    /// What the spread comes from, the greatest part first.
    pub ranking: Vec<Part>,
    /// How often a jar was run in all.
    pub runs: usize,
    /// How it was made.
    pub effort: Effort,
}

/// A hold, and the one that would do for 99 draws in 100.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// Which phase.
    pub phase: usize,
    /// Its length in the case [s].
    pub now_s: f64,
    /// What was found.
    pub found: Found,
}

/// A hold sought for 99 draws in 100.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Found {
    /// The case's own length does. Nothing shorter is sought.
    AsItIs,
    /// This much does.
    Longer {
        /// Length [s], whole seconds longer than now.
        seconds: f64,
        /// Share of draws that meet the target with it.
        chance: Estimate,
    },
    /// Not within four hours more.
    None,
}

/// One uncertain number's part in the spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Which, with its band.
    pub of: Uncertain,
    /// Share of the variance it makes alone.
    pub alone: Estimate,
    /// Share of the variance it has a part in.
    pub in_all: Estimate,
    /// Decimal reductions with this number alone at the end of its band that hurts.
    pub worse_reductions: f64,
    /// That end.
    pub worse_end: f64,
}

/// How sure it is that the middle of a jar gets what is asked of it.
///
/// Everything uncertain is drawn together on scrambled Sobol' points. Shares of variance are those of
/// the logarithm of the decimal reductions: a dose is sure or unsure by factors.
///
/// # Errors
/// [`PlanError::Asked`] without a target or anything uncertain, and for rows that are no power of two
/// or too many; [`PlanError::Physics`] where a drawn jar is outside what the solver or the dose takes.
pub fn how_sure(study: &JarStudy, effort: Effort) -> Result<Sure, PlanError> {
    let Some(target) = study.target else {
        return Err(PlanError::asked(
            "the case has no [target]",
            "say what the middle is held to: [target] with reference_c, z_k, d_min and decimal_reductions",
        ));
    };
    if study.uncertain.is_empty() {
        return Err(PlanError::asked(
            "nothing is uncertain in the case",
            "give bands in [uncertain], such as k_w_mk = { low = 0.4, high = 0.5, band = \"p5-p95\" }",
        ));
    }
    let drawn = Drawn::new(study, target);
    let written = reductions(&study.case, &target).map_err(|error| error.told(study, None))?;
    let inputs: Vec<Distribution> = drawn.order.iter().map(|&i| study.uncertain[i].spread).collect();
    let log = |row: &[f64]| drawn.reductions(row, 0).map(f64::log10);
    let indices = sobol_indices(log, &inputs, effort.rows, effort.seed).map_err(|error| match error {
        StudyError::Study(error) => PlanError::asked(error.to_string(), "change --rows or the [uncertain] bands"),
        StudyError::Function { row, error } => error.told(study, Some((&drawn, &row))),
    })?;
    let met: Vec<bool> = indices.answers.iter().map(|log| drawn.meets(log.exp10())).collect();
    let (hold, more_runs) = match target.hold {
        Some(phase) => {
            let (found, runs) = drawn.hold(&indices.rows, &met)?;
            let now_s = study.case.phases[phase].duration_s;
            let found = match found {
                Search::AsItIs => Found::AsItIs,
                Search::None => Found::None,
                Search::Longer { seconds, met, of } => Found::Longer {
                    seconds: now_s + f64::from(seconds),
                    chance: share_of(met, of).map_err(|error| PlanError::physics("a share", &error))?,
                },
            };
            (Some(Hold { phase, now_s, found }), runs)
        }
        None => (None, 0),
    };
    let mut rising: Vec<f64> = indices.answers.iter().map(|log| log.exp10()).collect();
    rising.sort_by(f64::total_cmp);
    let at = |share| percentile(&rising, share).map_err(|error| PlanError::physics("a percentile", &error));
    let met = met.iter().filter(|met| **met).count();
    Ok(Sure {
        target,
        dose_min: written * target.d_min,
        decimal_reductions: written,
        chance: share_of(met, rising.len()).map_err(|error| PlanError::physics("a share", &error))?,
        p5: at(0.05)?,
        p50: at(0.5)?,
        p95: at(0.95)?,
        hold,
        ranking: drawn.ranking(&indices)?,
        runs: 1 + indices.runs + more_runs + 2 * study.uncertain.len(),
        effort,
        rising,
    })
}

/// What a search for a hold found: seconds more.
enum Search {
    AsItIs,
    Longer { seconds: u32, met: usize, of: usize },
    None,
}

/// A study whose numbers are drawn.
struct Drawn<'s> {
    study: &'s JarStudy,
    target: SureTarget,
    /// What is uncertain, in the order it is put: the thermometer after what it read.
    order: Vec<usize>,
}

impl<'s> Drawn<'s> {
    fn new(study: &'s JarStudy, target: SureTarget) -> Self {
        let mut order: Vec<usize> = (0..study.uncertain.len()).collect();
        order.sort_by_key(|&i| study.uncertain[i].what == What::Thermometer);
        Self { study, target, order }
    }

    /// Decimal reductions of one draw, its hold lengthened.
    fn reductions(&self, row: &[f64], longer_s: u32) -> Result<f64, Fault> {
        let (mut case, mut target) = (self.study.case.clone(), self.target);
        for (&i, value) in self.order.iter().zip(row) {
            self.study.uncertain[i].what.put(*value, &mut case, &mut target);
        }
        if let Some(phase) = target.hold.and_then(|hold| case.phases.get_mut(hold)) {
            phase.duration_s += f64::from(longer_s);
        }
        reductions(&case, &target)
    }

    fn meets(&self, reductions: f64) -> bool {
        reductions >= self.target.decimal_reductions
    }

    /// Least seconds more, by which all but one draw in a hundred meet the target; and how many runs
    /// that took.
    ///
    /// A draw that meets the target meets it with a longer hold too: only what is between a hold too
    /// short and one long enough is run again. What is found is then counted in all draws.
    fn hold(&self, rows: &[Vec<f64>], met: &[bool]) -> Result<(Search, usize), PlanError> {
        let may_miss = ((1.0 - SOUGHT) * rows.len() as f64 + 1e-9).floor() as usize;
        let mut runs = 0;
        let mut still = |open: &[usize], longer_s: u32| -> Result<Vec<bool>, PlanError> {
            runs += open.len();
            each(open.len(), |at| {
                let row = &rows[open[at]];
                self.reductions(row, longer_s)
                    .map(|reductions| self.meets(reductions))
                    .map_err(|error| error.told(self.study, Some((self, row))))
            })
        };
        let mut open: Vec<usize> = (0..rows.len()).filter(|&i| !met[i]).collect();
        if open.len() <= may_miss {
            return Ok((Search::AsItIs, 0));
        }
        let (mut short, mut enough) = (0, MOST_LONGER_S);
        let at_most = still(&open, enough)?;
        // Draws that miss with a hold that is enough miss with any shorter one.
        let mut missed = at_most.iter().filter(|met| !**met).count();
        if missed > may_miss {
            return Ok((Search::None, runs));
        }
        open = kept(&open, &at_most, true);
        while enough - short > 1 {
            let middle = short.midpoint(enough);
            let now = still(&open, middle)?;
            let misses = now.iter().filter(|met| !**met).count();
            if missed + misses > may_miss {
                short = middle;
                open = kept(&open, &now, false);
            } else {
                enough = middle;
                missed += misses;
                open = kept(&open, &now, true);
            }
        }
        let all: Vec<usize> = (0..rows.len()).collect();
        let met = still(&all, enough)?.iter().filter(|met| **met).count();
        let of = rows.len();
        if of - met > may_miss {
            return Ok((Search::None, runs));
        }
        Ok((
            Search::Longer {
                seconds: enough,
                met,
                of,
            },
            runs,
        ))
    }

    fn ranking(&self, indices: &Indices) -> Result<Vec<Part>, PlanError> {
        let mut parts = Vec::with_capacity(self.order.len());
        for (at, &i) in self.order.iter().enumerate() {
            let of = self.study.uncertain[i];
            let mut worse: Option<(f64, f64)> = None;
            for end in [of.low, of.high] {
                let (mut case, mut target) = (self.study.case.clone(), self.target);
                of.what.put(end, &mut case, &mut target);
                let got = reductions(&case, &target).map_err(|error| error.told(self.study, None))?;
                if worse.is_none_or(|(least, _)| got < least) {
                    worse = Some((got, end));
                }
            }
            let (worse_reductions, worse_end) = worse.unwrap_or_default();
            parts.push(Part {
                of,
                alone: indices.first[at],
                in_all: indices.total[at],
                worse_reductions,
                worse_end,
            });
        }
        parts.sort_by(|a, b| b.in_all.value.total_cmp(&a.in_all.value));
        Ok(parts)
    }
}

/// Those that met, or those that did not.
fn kept(open: &[usize], met: &[bool], which: bool) -> Vec<usize> {
    open.iter()
        .zip(met)
        .filter(|(_, met)| **met == which)
        .map(|(i, _)| *i)
        .collect()
}

/// Decimal reductions in the middle of a jar.
fn reductions(case: &Case, target: &SureTarget) -> Result<f64, Fault> {
    let points = Modes::new(case).map_err(Fault::Heat)?.dose_points();
    let dose_min = lethality_weighted_min(&points.weights_s, &points.centre_c, target.reference_c, target.z_k);
    Ok(dose_min.map_err(Fault::Dose)? / target.d_min)
}

/// Why a jar's dose could not be computed.
#[derive(Debug)]
enum Fault {
    Heat(HeatError),
    Dose(DoseError),
}

impl Fault {
    /// The fault with the draw it is in.
    fn told(&self, study: &JarStudy, draw: Option<(&Drawn<'_>, &[f64])>) -> PlanError {
        let drawn = |(drawn, row): (&Drawn<'_>, &[f64])| {
            let one = |(&i, value): (&usize, &f64)| format!("{} {value:.6}", study.uncertain[i].what.key());
            let all: Vec<String> = drawn.order.iter().zip(row).map(one).collect();
            format!("a jar drawn with {}", all.join(", "))
        };
        let what = draw.map_or_else(|| "the jar".into(), drawn);
        match self {
            Self::Heat(HeatError::OutOfRange(error)) => PlanError::physics(what, error),
            Self::Heat(error) => PlanError::physics(what, error),
            Self::Dose(error) => PlanError::physics(what, error),
        }
    }
}

/// Ten to the power of a logarithm.
trait Exp10 {
    fn exp10(&self) -> f64;
}

impl Exp10 for f64 {
    fn exp10(&self) -> f64 {
        10_f64.powf(*self)
    }
}
