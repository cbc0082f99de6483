//! One load through a bath or a steam canner: come-up, boil lost and regained, hold, water gone.
//!
//! Three bodies: water with its vessel, the jars' glass, and the food behind it by the terms of
//! its series (`bath_jar.rs`). [`crate::bath::come_up`] is the quick lump that a plan asks for a
//! hundred times; this is the whole course, for whoever looks at one load.

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::latent_heat_j_kg;

use crate::HeatError;
use crate::bath::{Bath, COME_UP, Jars, WATER_J_KGK};
pub use crate::bath_jar::Inside;
use crate::bath_jar::{Term, terms};
use crate::bath_ode::Ode;
use crate::condensing::{steam_on_wall_w_m2k, steam_with_air_w_m2k};
use crate::jar::{Contents, JarBody};
use crate::root::rising_root;

/// Registry entry of [`run`].
pub static BATH_RUN: Equation = Equation {
    key: "bath-run",
    title: "A load through its bath",
    text: "(m_w c_w + C_vessel) dT_w/dt = P - losses(T_w) - n h A (T_w - T_g), T_w <= boil, what is left over boils away;  \
           C_g dT_g/dt = h A (T_w - T_g) - q;  q = C_f d(mean food)/dt, food behind its glass by a series of lags",
    source: "heat_balance",
};

/// What is around the jars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Around {
    /// Hot water over them, with a film [W/(m² K)]; [`crate::films::BATH_SIDE_W_M2K`].
    Water {
        /// Film on the glass [W/(m² K)], 10 to 20000.
        film_w_m2k: f64,
    },
    /// Steam from water under them: with air in it below the boil, pure at the boil.
    Steam,
}

/// Jars that go in together, all alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// How many.
    pub count: u32,
    /// The jar and how far it is filled.
    pub body: JarBody,
    /// What the food is to heat.
    pub contents: Contents,
    /// How heat gets about inside.
    pub inside: Inside,
    /// Glass of each [kg], above 0.
    pub glass_kg_each: f64,
    /// Temperature of food and glass when they go in [°C].
    pub start_c: f64,
}

impl Load {
    /// Food in one jar [kg].
    #[must_use]
    pub fn food_kg_each(&self) -> f64 {
        self.contents.density_kg_m3 * std::f64::consts::PI * self.body.inner_radius_m.powi(2) * self.body.food_height_m
    }

    /// Glass in touch with the bath, one jar: side up to the food's level, and base [m²].
    #[must_use]
    pub fn wetted_m2_each(&self) -> f64 {
        let outer_m = self.body.inner_radius_m + self.body.wall_m;
        std::f64::consts::PI * outer_m * (2.0 * (self.body.food_height_m + self.body.base_m) + outer_m)
    }
}

/// How a load is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// Water when the jars go in [°C], 0 to the boil.
    pub start_c: f64,
    /// From the boil to the end [s], 0 to 6 h.
    pub hold_s: f64,
    /// Power into the water once it boils [W]; the bath's own when `None`.
    pub hold_w: Option<f64>,
}

/// A moment of the course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Since the jars went in [s].
    pub at_s: f64,
    /// Water [°C]; of a steam canner, the steam above it as well.
    pub water_c: f64,
    /// Mean of the food [°C].
    pub food_c: f64,
    /// Coldest place in the food [°C]: the middle, under the headspace; of jars hotter than the
    /// bath the skin.
    pub coldest_c: f64,
}

/// Where the heat went, up to the end [J].
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Heat {
    /// From the burner.
    pub burner_j: f64,
    /// Into water and vessel.
    pub water_j: f64,
    /// Into the glass.
    pub glass_j: f64,
    /// Into the food.
    pub food_j: f64,
    /// To the room, dry.
    pub room_j: f64,
    /// Away with the vapour.
    pub vapour_j: f64,
}

impl Heat {
    /// What the parts miss of the burner's heat [J]; 0 but for rounding.
    #[must_use]
    pub fn miss_j(&self) -> f64 {
        self.burner_j - self.water_j - self.glass_j - self.food_j - self.room_j - self.vapour_j
    }
}

/// A boil that the jars took away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoilLost {
    /// How far the water fell below its boil [K].
    pub by_k: f64,
    /// From loading until it boiled again [s].
    pub back_s: f64,
}

/// What a load does.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The course: at loading, about every `every_s`, at the boil, at the end.
    pub samples: Vec<Sample>,
    /// From loading until the water stands at its boil [s]: when minutes may be counted from.
    pub boils_s: f64,
    /// Come-up [s]: as `boils_s`; 0 when the jars found the water at its boil.
    pub come_up_s: f64,
    /// The boil lost, when the jars found the water at its boil.
    pub boil_lost: Option<BoilLost>,
    /// How far the water fell below its boil while minutes were counted [K].
    pub fell_in_hold_k: f64,
    /// At the boil.
    pub at_boil: Sample,
    /// At the end.
    pub at_end: Sample,
    /// Water that left as vapour [kg].
    pub evaporated_kg: f64,
    /// Water left [kg].
    pub water_left_kg: f64,
    /// When the water was gone [s]; the run ends there.
    pub dry_s: Option<f64>,
    /// Where the heat went.
    pub heat: Heat,
}

/// Water that finds its boil within this of it boils [K].
const AT_BOIL_K: f64 = 0.05;
/// Water below which a vessel counts as dry [kg].
const DRY_KG: f64 = 0.05;
/// Step [s]; the exchange is implicit and the food's lags are exact, so that only the water's
/// own slope is cut.
const STEP_S: f64 = 5.0;
/// The first minute, when the glass takes its heat, is cut this much finer.
const FINER: f64 = 10.0;
const FIRST_S: f64 = 60.0;
/// Between samples [s].
const SAMPLE_S: f64 = 30.0;
/// Longest come-up that is followed [s].
const LONGEST_S: f64 = 12.0 * 3600.0;
/// Longest hold [s].
const LONGEST_HOLD_S: f64 = 6.0 * 3600.0;
/// Places at which losses and films are worked out; between them they are straight.
const NODES: usize = 24;

/// Takes one load through its bath.
///
/// ```text
/// (m_w c_w + C_vessel) dTw/dt = P - losses(Tw) - n h A (Tw - Tg)      Tw <= boil
/// C_g dTg/dt = h A (Tw - Tg) - q
/// q = C_f d(mean food)/dt
/// ```
///
/// * `bath`: vessel, water and burner; `burner_w` is into the water
/// * `load`: the jars; a count of 0 for water alone
/// * `around`: water over the jars, or steam
///
/// At the boil what is left over leaves as vapour, lid or not: a lid keeps the vapour of water
/// that does not yet boil. Steam's condensate runs back. In a steam canner the steam is as warm
/// as the water under it, so that its come-up ends when the last air is gone; a canner whose
/// steam goes around the jars unevenly is slower.
///
/// # Errors
/// [`HeatError::NeverReaches`] where losses eat the burner; [`HeatError::OutOfRange`] for an
/// input outside its range.
///
/// # Source
/// `heat_balance`; the food's lags `carslaw_jaeger_1959`.
pub fn run(bath: &Bath, load: &Load, around: Around, course: &Course) -> Result<Run, HeatError> {
    stepped(bath, load, around, course, STEP_S)
}

/// Power into the water [W] that brings a load to the boil in `minutes`.
///
/// The bath's own `burner_w` is not looked at; the answer gives the come-up of [`run`] to a
/// hundredth of a minute.
///
/// # Errors
/// [`HeatError::OutOfRange`] when the water is already at its boil or the minutes are not 0.1 to
/// 720; else as [`run`].
///
/// # Source
/// As [`run`].
pub fn power_for_come_up_w(
    bath: &Bath,
    load: &Load,
    around: Around,
    start_c: f64,
    minutes: f64,
) -> Result<f64, HeatError> {
    let source = BATH_RUN.source;
    OutOfRange::check("come-up", minutes, 0.1, LONGEST_S / 60.0, "min", source)?;
    OutOfRange::check("bath at loading", start_c, 0.0, bath.boils_c - AT_BOIL_K, "°C", source)?;
    let course = Course {
        start_c,
        hold_s: 0.0,
        hold_w: None,
    };
    let rate = |burner_w: f64| match run(&Bath { burner_w, ..*bath }, load, around, &course) {
        Ok(done) => Ok(60.0 / done.boils_s.max(1e-3)),
        Err(HeatError::NeverReaches { .. }) => Ok(0.0),
        Err(other) => Err(other),
    };
    let hold_w = Ode::new(bath, &Jars::NONE)?.loss_w(bath.boils_c)?;
    let food_j_k = f64::from(load.count) * load.food_kg_each() * load.contents.heat_capacity_j_kgk;
    let water_j_k = bath.water_kg * WATER_J_KGK + bath.vessel_j_k;
    let all_j = water_j_k * (bath.boils_c - start_c) + food_j_k * (bath.boils_c - load.start_c).max(0.0);
    let mut high_w = hold_w + all_j / (60.0 * minutes);
    for _ in 0..40 {
        if rate(high_w)? >= 1.0 / minutes {
            return rising_root(hold_w, high_w, 1.0 / minutes, 1e-4 / minutes, rate);
        }
        high_w *= 1.5;
    }
    Err(HeatError::TooManySteps {
        solver: "power for a come-up",
        time_s: 0.0,
        steps: 40,
    })
}

/// Losses and films of a bath, straight between [`NODES`] temperatures.
struct Table {
    low_c: f64,
    per_k: f64,
    dry_w: [f64; NODES],
    vapour_kg_s: [f64; NODES],
    film_w_m2k: [f64; NODES],
    latent_j_kg: f64,
}

impl Table {
    fn new(bath: &Bath, load: &Load, around: Around, low_c: f64) -> Result<Self, HeatError> {
        let ode = Ode::new(bath, &Jars::NONE)?;
        let width_k = (bath.boils_c - low_c) / (NODES - 1) as f64;
        let mut table = Self {
            low_c,
            per_k: 1.0 / width_k,
            dry_w: [0.0; NODES],
            vapour_kg_s: [0.0; NODES],
            film_w_m2k: [0.0; NODES],
            latent_j_kg: latent_heat_j_kg(bath.boils_c)?,
        };
        let pure_w_m2k = match around {
            Around::Water { film_w_m2k } => {
                OutOfRange::check(
                    "film of the bath",
                    film_w_m2k,
                    10.0,
                    20_000.0,
                    "W/(m² K)",
                    BATH_RUN.source,
                )?;
                film_w_m2k
            }
            // Ten kelvin across the film; the glass holds nearly all the rest whatever it is.
            Around::Steam => steam_on_wall_w_m2k(bath.boils_c, bath.boils_c - 10.0, load.body.food_height_m)?,
        };
        for node in 0..NODES {
            let c = (low_c + width_k * node as f64).min(bath.boils_c);
            (table.dry_w[node], table.vapour_kg_s[node]) = ode.loss(c)?;
            table.film_w_m2k[node] = match around {
                Around::Water { film_w_m2k } => film_w_m2k,
                Around::Steam if c >= bath.boils_c - AT_BOIL_K => pure_w_m2k,
                Around::Steam => steam_with_air_w_m2k(c.max(0.01), bath.pressure_pa)?.min(pure_w_m2k),
            };
        }
        Ok(table)
    }

    fn at(&self, values: &[f64; NODES], c: f64) -> f64 {
        let place = ((c - self.low_c) * self.per_k).clamp(0.0, (NODES - 1) as f64);
        let below = (place as usize).min(NODES - 2);
        let share = place - below as f64;
        values[below] + share * (values[below + 1] - values[below])
    }
}

/// What the lags do in a step of one length.
struct Paces {
    step_s: f64,
    /// What a step leaves of each lag, and what a slope of the glass adds to it [s].
    lags: Vec<(f64, f64)>,
    /// Mean of what is added, over the terms [s].
    added_s: f64,
}

impl Paces {
    fn new(terms: &[Term], step_s: f64) -> Self {
        let lags: Vec<(f64, f64)> = terms
            .iter()
            .map(|term| {
                let left = (-term.rate_per_s * step_s).exp();
                (left, (1.0 - left) / term.rate_per_s)
            })
            .collect();
        let added_s = terms
            .iter()
            .zip(&lags)
            .map(|(term, (_, added))| term.of_mean * added)
            .sum();
        Self { step_s, lags, added_s }
    }
}

/// The bodies on their way.
struct March<'a> {
    bath: &'a Bath,
    table: Table,
    terms: Vec<Term>,
    count: f64,
    wetted_m2: f64,
    glass_j_k: f64,
    food_j_k: f64,
    at_s: f64,
    water_kg: f64,
    water_c: f64,
    glass_c: f64,
    /// How far each lag is behind the glass [K].
    behind_k: Vec<f64>,
    /// Rise of the water in the step before [K].
    rise_k: f64,
    heat: Heat,
    evaporated_kg: f64,
}

impl March<'_> {
    fn sample(&self) -> Sample {
        let behind = |share: fn(&Term) -> f64| -> f64 {
            self.terms
                .iter()
                .zip(&self.behind_k)
                .map(|(term, behind_k)| share(term) * behind_k)
                .sum()
        };
        let food_c = self.glass_c - behind(|term| term.of_mean);
        let coldest_c = self.glass_c - behind(|term| term.of_coldest);
        Sample {
            at_s: self.at_s,
            water_c: self.water_c,
            food_c,
            // Of jars hotter than their bath the skin is the coldest.
            coldest_c: coldest_c.min(self.glass_c),
        }
    }

    /// One step; how much of it the water took to its boil, when it came to it.
    fn step(&mut self, paces: &Paces, burner_w: f64) -> Option<f64> {
        let step_s = paces.step_s;
        let boils_c = self.bath.boils_c;
        let middle_c = (self.water_c + 0.5 * self.rise_k).min(boils_c);
        let room_j = self.table.at(&self.table.dry_w, middle_c) * step_s;
        let quiet_kg = self.table.at(&self.table.vapour_kg_s, middle_c) * step_s;
        let spare_j = burner_w * step_s - room_j - quiet_kg * self.table.latent_j_kg;
        let water_j_k = self.water_kg * WATER_J_KGK + self.bath.vessel_j_k;

        // Glass and water against each other, implicitly; the food by what its lags will draw.
        let across_j_k = self.table.at(&self.table.film_w_m2k, self.water_c) * self.wetted_m2 * step_s;
        let drawn_k: f64 = self
            .terms
            .iter()
            .zip(&self.behind_k)
            .zip(&paces.lags)
            .map(|((term, behind_k), (left, _))| term.of_mean * behind_k * (1.0 - left))
            .sum();
        let follows_j_k = self.food_j_k * (1.0 - paces.added_s / step_s);
        let apart_k = self.water_c - self.glass_c;
        let held_j_k = self.glass_j_k + follows_j_k + across_j_k;
        let glass_rise = |water_rise: f64| (across_j_k * (apart_k + water_rise) - self.food_j_k * drawn_k) / held_j_k;
        let (rise, per) = (glass_rise(0.0), across_j_k / held_j_k);
        let n = self.count;
        let free_k = (spare_j - n * across_j_k * (apart_k - rise)) / (water_j_k + n * across_j_k * (1.0 - per));
        let to_boil_k = boils_c - self.water_c;
        let reached = free_k >= to_boil_k;
        let water_rise = if reached { to_boil_k } else { free_k };
        let rise = glass_rise(water_rise);
        let into_glass_j = across_j_k * (apart_k + water_rise - rise);

        let boiled_j = if reached {
            (spare_j - water_j_k * water_rise - n * into_glass_j).max(0.0)
        } else {
            0.0
        };
        let gone_kg = quiet_kg + boiled_j / self.table.latent_j_kg;
        for (behind_k, (left, added_s)) in self.behind_k.iter_mut().zip(&paces.lags) {
            *behind_k = *behind_k * left + rise / step_s * added_s;
        }
        self.heat.burner_j += burner_w * step_s;
        self.heat.room_j += room_j;
        self.heat.vapour_j += gone_kg * self.table.latent_j_kg;
        self.heat.water_j += water_j_k * water_rise;
        self.water_c = if reached { boils_c } else { self.water_c + water_rise };
        self.glass_c += rise;
        self.rise_k = water_rise;
        self.evaporated_kg += gone_kg;
        self.water_kg -= gone_kg;
        self.at_s += step_s;
        reached.then(|| if to_boil_k <= 0.0 { 0.0 } else { to_boil_k / free_k })
    }
}

fn stepped(bath: &Bath, load: &Load, around: Around, course: &Course, step_s: f64) -> Result<Run, HeatError> {
    check(bath, load, course)?;
    let terms = terms(&load.body, &load.contents, load.inside)?;
    let low_c = course.start_c.min(load.start_c).min(bath.boils_c - 1.0) - 1.0;
    let table = Table::new(bath, load, around, low_c.max(0.0))?;
    let most_w = bath.burner_w;
    let loss_w = table.dry_w[NODES - 1] + table.vapour_kg_s[NODES - 1] * table.latent_j_kg;
    if most_w <= loss_w {
        return Err(HeatError::NeverReaches {
            quantity: "bath",
            target: bath.boils_c,
            limit: Ode::new(bath, &Jars::NONE)?.settles_c()?,
            unit: "°C",
        });
    }
    let found_boiling = course.start_c >= bath.boils_c - AT_BOIL_K;
    let behind_k = vec![0.0; terms.len()];
    let paces = Paces::new(&terms, step_s);
    let first_paces = Paces::new(&terms, step_s / FINER);
    let mut march = March {
        bath,
        table,
        count: f64::from(load.count),
        wetted_m2: load.wetted_m2_each(),
        glass_j_k: load.glass_kg_each * load.body.glass_cp_j_kgk,
        food_j_k: load.food_kg_each() * load.contents.heat_capacity_j_kgk,
        terms,
        at_s: 0.0,
        water_kg: bath.water_kg,
        water_c: if found_boiling { bath.boils_c } else { course.start_c },
        glass_c: load.start_c,
        behind_k,
        rise_k: 0.0,
        heat: Heat::default(),
        evaporated_kg: 0.0,
    };
    let first = march.sample();
    let mut samples = vec![first];
    let mut next_sample_s = SAMPLE_S;
    let (mut lowest_c, mut dry_s) = (march.water_c, None);
    let most_steps = (LONGEST_S / step_s + FINER * FIRST_S / step_s) as usize;

    // Up to the boil.
    let mut boils_s = None;
    for _ in 0..most_steps {
        let before_s = march.at_s;
        let now = if before_s < FIRST_S - 1e-9 {
            &first_paces
        } else {
            &paces
        };
        let reached = march.step(now, most_w);
        lowest_c = lowest_c.min(march.water_c);
        if let Some(share) = reached {
            boils_s = Some(before_s + share * now.step_s);
            break;
        }
        if march.water_kg < DRY_KG {
            dry_s = Some(march.at_s);
            break;
        }
        if march.at_s >= next_sample_s {
            samples.push(march.sample());
            next_sample_s += SAMPLE_S;
        }
    }
    let at_boil = march.sample();
    samples.push(at_boil);
    let Some(boils_s) = boils_s else {
        return Err(HeatError::NeverReaches {
            quantity: "bath, within 12 hours or before it is dry,",
            target: bath.boils_c,
            limit: march.water_c,
            unit: "°C",
        });
    };

    // At the boil.
    let hold_w = course.hold_w.unwrap_or(most_w);
    let end_s = boils_s + course.hold_s;
    let mut coldest_hold_c = bath.boils_c;
    next_sample_s = march.at_s + SAMPLE_S;
    while dry_s.is_none() && march.at_s < end_s - 1e-9 {
        let left_s = end_s - march.at_s;
        if left_s < step_s {
            march.step(&Paces::new(&march.terms, left_s), hold_w);
        } else if march.at_s < FIRST_S - 1e-9 {
            march.step(&first_paces, hold_w);
        } else {
            march.step(&paces, hold_w);
        }
        coldest_hold_c = coldest_hold_c.min(march.water_c);
        if march.water_kg < DRY_KG {
            dry_s = Some(march.at_s);
        }
        if march.at_s >= next_sample_s {
            samples.push(march.sample());
            next_sample_s += SAMPLE_S;
        }
    }
    let at_end = march.sample();
    if samples.last().is_some_and(|last| at_end.at_s > last.at_s) {
        samples.push(at_end);
    }
    if load.start_c <= course.start_c && coldest_hold_c >= bath.boils_c {
        never_falls(&mut samples);
    }
    let at_boil = samples
        .iter()
        .copied()
        .find(|sample| sample.at_s >= at_boil.at_s)
        .unwrap_or(at_boil);
    let n = march.count;
    march.heat.glass_j = n * march.glass_j_k * (march.glass_c - load.start_c);
    march.heat.food_j = n * march.food_j_k * (at_end.food_c - load.start_c);
    Ok(Run {
        samples,
        boils_s,
        come_up_s: if found_boiling { 0.0 } else { boils_s },
        boil_lost: found_boiling.then_some(BoilLost {
            by_k: bath.boils_c - lowest_c,
            back_s: boils_s,
        }),
        fell_in_hold_k: bath.boils_c - coldest_hold_c,
        at_boil,
        at_end,
        evaporated_kg: march.evaporated_kg,
        water_left_kg: march.water_kg,
        dry_s,
        heat: march.heat,
    })
}

/// The middle of a jar that is only ever heated never cools: in the first minutes, where the
/// terms left out of the series still ripple, the least that follows is taken.
fn never_falls(samples: &mut [Sample]) {
    let mut least_c = f64::INFINITY;
    for sample in samples.iter_mut().rev() {
        least_c = least_c.min(sample.coldest_c);
        sample.coldest_c = least_c;
    }
}

fn check(bath: &Bath, load: &Load, course: &Course) -> Result<(), HeatError> {
    let source = COME_UP.source;
    OutOfRange::check("bath at loading", course.start_c, 0.0, bath.boils_c, "°C", source)?;
    OutOfRange::check("jars at loading", load.start_c, -10.0, 110.0, "°C", source)?;
    OutOfRange::check(
        "minutes at the boil, in seconds,",
        course.hold_s,
        0.0,
        LONGEST_HOLD_S,
        "s",
        source,
    )?;
    if let Some(hold_w) = course.hold_w {
        OutOfRange::check("power at the boil", hold_w, 0.0, 1e6, "W", source)?;
    }
    OutOfRange::check("wall of the jar", load.body.wall_m, 1e-4, 0.02, "m", source)?;
    OutOfRange::check("base of the jar", load.body.base_m, 1e-4, 0.02, "m", source)?;
    OutOfRange::check(
        "conductivity of the glass",
        load.body.glass_k_w_mk,
        0.1,
        10.0,
        "W/(m K)",
        source,
    )?;
    OutOfRange::check(
        "heat capacity of the glass",
        load.body.glass_cp_j_kgk,
        100.0,
        6000.0,
        "J/(kg K)",
        source,
    )?;
    OutOfRange::check("glass of a jar", load.glass_kg_each, 1e-3, 20.0, "kg", source)?;
    OutOfRange::check(
        "conductivity of the food",
        load.contents.conductivity_w_mk,
        0.01,
        10.0,
        "W/(m K)",
        source,
    )?;
    OutOfRange::check(
        "density of the food",
        load.contents.density_kg_m3,
        100.0,
        3000.0,
        "kg/m³",
        source,
    )?;
    let heat_capacity = load.contents.heat_capacity_j_kgk;
    OutOfRange::check(
        "heat capacity of the food",
        heat_capacity,
        500.0,
        6000.0,
        "J/(kg K)",
        source,
    )?;
    if let Inside::Stirs { film_w_m2k } = load.inside {
        OutOfRange::check("film inside the jar", film_w_m2k, 10.0, 5000.0, "W/(m² K)", source)?;
    }
    OutOfRange::check("jars in a load", f64::from(load.count), 0.0, 500.0, "1", source)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bath::Lid;

    #[test]
    fn steps_half_as_long_change_the_come_up_by_less_than_three_seconds() -> Result<(), HeatError> {
        let bath = Bath {
            water_kg: 18.0,
            vessel_j_k: 1500.0,
            burner_w: 1700.0,
            lid: Lid::Off,
            surface_m2: 0.085,
            side_loss_w_k: 0.0,
            room_c: 22.0,
            rel_humidity: 0.5,
            pressure_pa: 101_325.0,
            boils_c: 99.97,
        };
        let load = Load {
            count: 12,
            body: JarBody {
                inner_radius_m: 0.032,
                food_height_m: 0.070,
                wall_m: 0.003,
                base_m: 0.004,
                glass_k_w_mk: 1.05,
                glass_density_kg_m3: 2520.0,
                glass_cp_j_kgk: 820.0,
            },
            contents: Contents {
                conductivity_w_mk: 0.45,
                density_kg_m3: 1140.0,
                heat_capacity_j_kgk: 2865.0,
            },
            inside: Inside::Conducts,
            glass_kg_each: 0.177,
            start_c: 20.0,
        };
        for start_c in [60.0, 99.97] {
            for around in [Around::Water { film_w_m2k: 1000.0 }, Around::Steam] {
                let course = Course {
                    start_c,
                    hold_s: 900.0,
                    hold_w: None,
                };
                let whole = stepped(&bath, &load, around, &course, STEP_S)?;
                let half = stepped(&bath, &load, around, &course, 0.5 * STEP_S)?;
                let apart_s = (whole.boils_s - half.boils_s).abs();
                assert!(apart_s < 3.0, "{around:?} {start_c}: {apart_s}");
                assert!((whole.at_end.coldest_c - half.at_end.coldest_c).abs() < 0.05);
                if let (Some(whole), Some(half)) = (whole.boil_lost, half.boil_lost) {
                    assert!((whole.by_k / half.by_k - 1.0).abs() < 0.03, "{whole:?} {half:?}");
                }
            }
        }
        Ok(())
    }
}
