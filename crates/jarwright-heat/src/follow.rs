//! A pot followed through time, with the film at its wall and what the heat does to the food.
//!
//! One temperature for the food in the middle and one for the film at the wall. Where
//! [`crate::pot`] steps on temperature and knows no wall, this one steps on time, so that a
//! kinetics can be carried along and can thicken the film it happens in.
//!
//! Read next: `wall.rs` (the film), `heated_vessel.rs` (the way of the heat to it), `potful.rs`.

use jarwright_figure::{Equation, Kinetics, OutOfRange};
use jarwright_matter::{Food, MatterError, thermal, viscosity_pa_s, water_to_remove_kg};

use crate::HeatError;
use crate::films::{OpenAir, Surroundings};
use crate::heated_vessel::{Filled, Vessel};
use crate::pot::{Addition, UNSTIRRED_SHARE, in_order};
use crate::pot_flow::{Surface, leaves, never};
use crate::potful::Potful;
use crate::wall::{Film, Stirrer, Stuff, agitated_film_w_m2k, wall_c, wiped_film_w_m2k};

/// Registry entry of [`follow`].
pub static POT_FOLLOWED: Equation = Equation {
    key: "pot-followed",
    title: "A pot through time with the film at its wall",
    text: "(m c + C_pot) dT/dt = Q - Q_convection - Q_radiation - h_fg m_evap; Q = hob, or \
           min(steam, A (T_steam - T)/(1/h_steam + s/k + 1/h)); wall T + Q/(A h); \
           middle's shares gain A d/V (film's - middle's) each time the film stays",
    source: "incropera_heat_mass",
};

/// Registry entry of [`Followed::carry_over_k`].
pub static CARRY_OVER: Equation = Equation {
    key: "carry-over",
    title: "How far a pot gets hotter after it leaves the heat",
    text: "Delta T = (C_pot (T_metal - T) + A d/2 rho c_p (T_w - T))/(m c + C_pot)",
    source: "heat_balance",
};

/// Greatest change of temperature in a step [K].
const STEP_K: f64 = 1.5;
/// Greatest share of the water that goes off in a step.
const STEP_WATER: f64 = 0.01;
/// Longest step [s].
const STEP_S: f64 = 60.0;
/// Steps that a pot may take.
const MAX_STEPS: usize = 20_000;
/// Share of the water whose loss makes shape, properties and boiling point be computed anew.
const THICKENS: f64 = 0.01;
/// Temperature of the thermal properties [°C]; they change little over a cook.
const WARM_C: f64 = 60.0;
/// Share of the heat that may still warm a pot said to stand.
const STANDS: f64 = 0.01;
/// Share of the heat below which a heating pot is asked whether it gets there at all.
const SLOW: f64 = 0.1;
/// A pot that stands further below its boil does not simmer [K].
const SIMMERS_WITHIN_K: f64 = 10.0;
/// What a day does not do never happens [s].
const A_DAY_S: f64 = 86_400.0;
/// Layers of a film, from the wall's temperature straight down to the middle's.
const LAYERS: usize = 4;
/// Turns a second of the gentle stirring whose coefficient an unstirred pot takes a share of.
const GENTLE_TURNS_S: f64 = 1.0;

/// A pot to be followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// The vessel and its heat.
    pub vessel: Vessel,
    /// Thickness of its steel [m], 0.0002 to 0.02.
    pub wall_m: f64,
    /// Heat capacity of the pot [J/K], 0 to 1e6.
    pub pot_j_k: f64,
    /// Turns of the spoon a second [1/s]; none where nobody stirs.
    pub stirs_s: Option<f64>,
    /// Diameter the spoon sweeps, as a share of the food's, above 0 to 1.
    pub sweep: f64,
    /// Time between two wipes of a scraper over the same place of the wall [s]; none where nobody
    /// scrapes.
    pub wiped_s: Option<f64>,
    /// Whether a lid lets nothing out.
    pub lid: bool,
    /// Temperature of the room [°C].
    pub room_c: f64,
    /// Its relative humidity, 0 to 1.
    pub humidity: f64,
    /// Its pressure [Pa].
    pub pressure_pa: f64,
    /// Viscosity of the untouched food in the warm pot [Pa s], where measured.
    pub measured_pa_s: Option<f64>,
}

/// Measured properties of a food whose composition is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Conductivity [W/(m K)], 0.05 to 1.
    pub conductivity_w_mk: f64,
    /// Density [kg/m³], 200 to 2000.
    pub density_kg_m3: f64,
    /// Heat capacity [J/(kg K)], 500 to 5000.
    pub heat_capacity_j_kgk: f64,
}

/// What is in the pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Filling<'f> {
    /// A food known by its composition.
    Composed(&'f Food),
    /// A mass [kg] with measured properties, its vapour and boil reckoned as water's.
    Measured(f64, Measured),
}

/// When the pot is done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Until {
    /// At a temperature below the boil [°C], held there for a time [s].
    Temperature(f64, f64),
    /// Boiled down to soluble solids [°Brix].
    Brix(f64),
    /// Boiled, or simmered within 10 K of the boil, for a time [s].
    Boiled(f64),
    /// After a time on the heat [s].
    Time(f64),
}

/// One moment of a pot.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Time [s].
    pub t_s: f64,
    /// Temperature in the middle [°C].
    pub bulk_c: f64,
    /// Temperature of the food at the wall [°C].
    pub wall_c: f64,
    /// Food in the pot [kg].
    pub mass_kg: f64,
    /// Soluble solids [% of the whole mass].
    pub brix: f64,
    /// Coefficient of the film [W/(m² K)].
    pub film_w_m2k: f64,
    /// How long a film stays at the wall [s].
    pub film_stays_s: f64,
    /// Shares in the middle.
    pub bulk: Vec<f64>,
    /// Shares at the wall itself, when its film is stirred away.
    pub film: Vec<f64>,
}

/// A pot that was followed.
#[derive(Debug, Clone, PartialEq)]
pub struct Followed {
    /// Its moments in order of time; two at one time are before and after an addition.
    pub moments: Vec<Moment>,
    /// Whole time [s].
    pub seconds: f64,
    /// Water that went off [kg].
    pub evaporated_kg: f64,
    /// Heat into pot and food [J].
    pub energy_j: f64,
    /// Of it, lost by convection and radiation [J].
    pub lost_j: f64,
    /// Of it, gone with the vapour, above liquid water of 0 °C [J].
    pub vapour_j: f64,
    /// Temperature at the end [°C].
    pub end_c: f64,
    /// Whether it came to its boil.
    pub boils: bool,
    /// How much hotter it gets once off the heat [K], from the metal and the film alone.
    pub carry_over_k: f64,
    /// Hottest the food at the wall got [°C].
    pub hottest_wall_c: f64,
    /// What is left in the pot.
    pub food: Food,
}

/// Follows a pot through time.
///
/// ```text
/// (m c + C_pot) dT/dt = Q - Q_convection - Q_radiation - h_fg m_evap
/// Q = hob   or   min(steam, A (T_steam - T)/(1/h_steam + s/k + 1/h))   or   min(steam, U A (T_steam - T))
/// T_w = T + Q/(A h)        h falls with the viscosity that the kinetics makes, in the middle and at the wall
/// middle's shares += A d/V (film's - middle's) for each time that a film of thickness d stays at the wall
/// ```
///
/// * `setting`: the pot and where it stands
/// * `filling`, `start_c`: what is in it, 0 to 110 °C
/// * `additions`: what goes in on the way; needs a food known by its composition
/// * `until`: when it is done
/// * `kinetics`: what the heat does; [`jarwright_figure::Unchanging`] for nothing
///
/// A film starts as the middle is, stays for its time with a temperature that falls straight from
/// the wall's to the middle's, and is stirred away. Heun's method on time, at most 1.5 K and 1 % of the water a step; within 0.5 % of
/// [`crate::pot`], whose balance it shares.
///
/// # Errors
/// [`HeatError::NeverReaches`] where losses, steam or the boil stop the pot;
/// [`HeatError::OutOfRange`] and [`HeatError::Matter`] for inputs;
/// [`HeatError::TooManySteps`] for a pot that would take more than its steps.
///
/// # Source
/// Lumped energy balance, `incropera_heat_mass` chapter 5; the film by `geankoplis` and
/// `higbie_1935`.
pub fn follow<K: Kinetics + ?Sized>(
    setting: &Setting,
    filling: &Filling<'_>,
    start_c: f64,
    additions: &[Addition],
    until: Until,
    kinetics: &K,
) -> Result<Followed, HeatError> {
    let greatest_c = match until {
        Until::Temperature(c, hold_s) => {
            in_range("hold", hold_s, 0.0, A_DAY_S, "s")?;
            in_range("target", c, 0.0, 150.0, "°C")?
        }
        Until::Brix(brix) => in_range("degree Brix", brix, 0.0, 95.0, "°Brix").map(|_| 150.0)?,
        Until::Boiled(s) | Until::Time(s) => in_range("time", s, 0.0, A_DAY_S, "s").map(|_| 150.0)?,
    };
    let mut walk = Walk::new(setting, filling, start_c, kinetics)?;
    for addition in in_order(additions, greatest_c)? {
        if let Filling::Measured(..) = filling {
            return Err(HeatError::Matter(MatterError::NoWater));
        }
        if let Some(when_c) = addition.when_c {
            walk.heat_to(when_c)?;
        }
        walk.add(addition)?;
    }
    match until {
        Until::Temperature(c, hold_s) => {
            walk.heat_to(c)?;
            walk.hold(hold_s)?;
        }
        Until::Brix(brix) => {
            let gone_kg = walk.full.gone_kg + water_to_remove_kg(&walk.full.food_now()?, brix)?;
            walk.go(&End::Gone(gone_kg))?;
        }
        Until::Boiled(seconds) => {
            walk.go(&End::Boils)?;
            walk.go(&End::At(walk.time_s + seconds))?;
        }
        Until::Time(seconds) => walk.go(&End::At(seconds))?,
    }
    walk.finish()
}

/// Where a stretch ends.
enum End {
    /// At a temperature [°C].
    Heated(f64),
    /// When so much water in all has gone since the last addition [kg].
    Gone(f64),
    /// At the boil, or as near as the heat gets.
    Boils,
    /// At a time [s].
    At(f64),
}

/// Heat and vapour at a temperature.
#[derive(Clone, Copy)]
struct Flows {
    in_w: f64,
    out_w: f64,
    vapour_kg_s: f64,
    net_w: f64,
}

struct Walk<'a, K: ?Sized> {
    setting: &'a Setting,
    kinetics: &'a K,
    air: OpenAir,
    full: Potful,
    measured: Option<(f64, Measured)>,
    steam_side_m2k_w: Option<f64>,
    filled: Filled,
    stuff: Stuff,
    volume_m3: f64,
    film: Film,
    boils_c: f64,
    /// Water gone when shape and properties were last computed [kg].
    known_gone_kg: f64,
    now_food: Food,
    bulk: Vec<f64>,
    /// Shares at the wall itself, and in the mean of its film, when it leaves.
    at_wall: Vec<f64>,
    in_film: Vec<f64>,
    layer: Vec<f64>,
    wall_c: f64,
    flux_w_m2: f64,
    time_s: f64,
    evaporated_kg: f64,
    energy_j: f64,
    lost_j: f64,
    vapour_j: f64,
    boils: bool,
    hottest_wall_c: f64,
    moments: Vec<Moment>,
}

impl<'a, K: Kinetics + ?Sized> Walk<'a, K> {
    fn new(setting: &'a Setting, filling: &Filling<'_>, start_c: f64, kinetics: &'a K) -> Result<Self, HeatError> {
        check(setting)?;
        let (full, measured) = match filling {
            Filling::Composed(food) => (Potful::new(food, setting.pot_j_k, start_c)?, None),
            Filling::Measured(kg, measured) => {
                in_range("conductivity", measured.conductivity_w_mk, 0.05, 1.0, "W/(m K)")?;
                in_range("density", measured.density_kg_m3, 200.0, 2000.0, "kg/m³")?;
                in_range("heat capacity", measured.heat_capacity_j_kgk, 500.0, 5000.0, "J/(kg K)")?;
                let full = Potful::of_water_like(*kg, measured.heat_capacity_j_kgk, setting.pot_j_k, start_c)?;
                (full, Some((*kg, *measured)))
            }
        };
        let now_food = full.food_now()?;
        let shares = kinetics.shares().len();
        let mut walk = Self {
            setting,
            kinetics,
            air: OpenAir::new(&Surroundings {
                air_c: setting.room_c,
                rel_humidity: setting.humidity,
                pressure_pa: setting.pressure_pa,
            })?,
            steam_side_m2k_w: setting.vessel.steam_side_m2k_w(setting.wall_m)?,
            filled: setting.vessel.filled(1e-3)?,
            stuff: Stuff {
                conductivity_w_mk: 0.0,
                density_kg_m3: 0.0,
                heat_capacity_j_kgk: 0.0,
                viscosity_pa_s: 0.0,
                at_wall_pa_s: 0.0,
            },
            volume_m3: 0.0,
            film: Film {
                w_m2k: 0.0,
                conductivity_w_mk: 0.0,
                heat_j_m3k: 0.0,
            },
            full,
            measured,
            boils_c: f64::NAN,
            known_gone_kg: 0.0,
            now_food,
            bulk: vec![0.0; shares],
            at_wall: vec![0.0; shares],
            in_film: vec![0.0; shares],
            layer: vec![0.0; shares],
            wall_c: start_c,
            flux_w_m2: 0.0,
            time_s: 0.0,
            evaporated_kg: 0.0,
            energy_j: 0.0,
            lost_j: 0.0,
            vapour_j: 0.0,
            boils: false,
            hottest_wall_c: start_c,
            moments: Vec::with_capacity(96),
        };
        walk.learn()?;
        // The wall's own temperature thins its film: a few turns settle the two.
        for _ in 0..4 {
            walk.touch_wall(None)?;
        }
        walk.hottest_wall_c = walk.wall_c;
        walk.note();
        Ok(walk)
    }

    /// Shape, properties and boiling point of what is in the pot now.
    fn learn(&mut self) -> Result<(), HeatError> {
        self.now_food = self.full.food_now()?;
        let kg = self.now_food.mass_kg();
        let (conductivity_w_mk, density_kg_m3, heat_capacity_j_kgk) = match self.measured {
            Some((_, m)) => (m.conductivity_w_mk, m.density_kg_m3, m.heat_capacity_j_kgk),
            None => {
                let warm = thermal(&self.now_food, WARM_C)?;
                (warm.conductivity_w_mk, warm.density_kg_m3, warm.heat_capacity_j_kgk)
            }
        };
        self.volume_m3 = kg / density_kg_m3;
        self.filled = self.setting.vessel.filled(self.volume_m3)?;
        self.stuff = Stuff {
            conductivity_w_mk,
            density_kg_m3,
            heat_capacity_j_kgk,
            ..self.stuff
        };
        self.boils_c = self
            .full
            .boils_c(self.full.gone_kg, self.setting.pressure_pa)?
            .unwrap_or(f64::INFINITY);
        self.full.activity = self.full.activity_at(self.full.gone_kg)?;
        self.known_gone_kg = self.full.gone_kg;
        Ok(())
    }

    /// Film, wall and what happens there, at the heat that flows or at a given one [W].
    fn touch_wall(&mut self, given_w: Option<f64>) -> Result<(), HeatError> {
        let fresh_pa_s = |c: f64| -> Result<f64, HeatError> {
            match self.setting.measured_pa_s {
                Some(pa_s) => Ok(pa_s),
                None => Ok(viscosity_pa_s(&self.now_food, c)?),
            }
        };
        self.stuff.viscosity_pa_s = fresh_pa_s(self.full.c)? * self.kinetics.thickening(&self.bulk);
        self.stuff.at_wall_pa_s = fresh_pa_s(self.wall_c)? * self.kinetics.thickening(&self.at_wall);
        let stirred = agitated_film_w_m2k(
            Stirrer::Paddle,
            &self.stuff,
            self.filled.open_diameter_m,
            self.setting.sweep * self.filled.open_diameter_m,
            self.setting.stirs_s.unwrap_or(GENTLE_TURNS_S),
        )?;
        let share = if self.setting.stirs_s.is_some() {
            1.0
        } else {
            UNSTIRRED_SHARE
        };
        let heat_j_m3k = self.stuff.density_kg_m3 * self.stuff.heat_capacity_j_kgk;
        let conductivity_w_mk = self.stuff.conductivity_w_mk;
        // A scraper takes the film off however thick it is.
        let wiped = self
            .setting
            .wiped_s
            .map_or(0.0, |s| wiped_film_w_m2k(conductivity_w_mk, heat_j_m3k, s));
        self.film = Film {
            w_m2k: (share * stirred).max(wiped),
            conductivity_w_mk,
            heat_j_m3k,
        };
        let in_w = given_w.unwrap_or_else(|| self.in_w(self.full.c)).max(0.0);
        self.flux_w_m2 = in_w / self.filled.heated_m2;
        self.wall_c = wall_c(self.full.c, self.flux_w_m2, self.film.w_m2k, self.boils_c).min(self.hottest_by_steam_c());
        let stays_s = self.film.stays_s();
        self.at_wall.copy_from_slice(&self.bulk);
        self.kinetics
            .advance(&mut self.at_wall, self.wall_c, self.wall_c, stays_s);
        self.in_film.fill(0.0);
        for layer in 0..LAYERS {
            let c = self.wall_c + (layer as f64 + 0.5) / LAYERS as f64 * (self.full.c - self.wall_c);
            self.layer.copy_from_slice(&self.bulk);
            self.kinetics.advance(&mut self.layer, c, c, stays_s);
            for (mean, share) in self.in_film.iter_mut().zip(&self.layer) {
                *mean += share / LAYERS as f64;
            }
        }
        self.hottest_wall_c = self.hottest_wall_c.max(self.wall_c);
        Ok(())
    }

    /// What the steel leaves of the steam's temperature where the whole coefficient is given: a film
    /// cannot hold up more than that coefficient does [°C].
    fn hottest_by_steam_c(&self) -> f64 {
        match self.setting.vessel {
            Vessel::BowlOfCoefficient { steam_c, .. } => {
                let steel_k = self.flux_w_m2 * self.setting.wall_m / crate::heated_vessel::STEEL_W_MK;
                (steam_c - steel_k).max(self.full.c)
            }
            Vessel::StraightPot { .. } | Vessel::BowlOverSteam { .. } | Vessel::SteamKettle { .. } => f64::INFINITY,
        }
    }

    /// Heat that comes in [W].
    fn in_w(&self, c: f64) -> f64 {
        let through = |steam_c: f64, steam_w: f64| {
            let resistance = self.steam_side_m2k_w.unwrap_or(0.0) + 1.0 / self.film.w_m2k;
            steam_w.min(self.filled.heated_m2 * (steam_c - c) / resistance)
        };
        match self.setting.vessel {
            Vessel::StraightPot { into_pot_w, .. } => into_pot_w,
            Vessel::BowlOfCoefficient {
                steam_c,
                steam_w,
                u_w_m2k,
                ..
            } => steam_w.min(u_w_m2k * self.filled.heated_m2 * (steam_c - c)),
            Vessel::BowlOverSteam { steam_c, steam_w, .. } | Vessel::SteamKettle { steam_c, steam_w, .. } => {
                through(steam_c, steam_w)
            }
        }
    }

    fn flows(&self, c: f64) -> Result<Flows, HeatError> {
        let in_w = self.in_w(c);
        if self.setting.lid || c <= self.setting.room_c {
            return Ok(Flows {
                in_w,
                out_w: 0.0,
                vapour_kg_s: 0.0,
                net_w: in_w,
            });
        }
        let surface = Surface {
            open_m2: self.filled.open_m2,
            diameter_m: self.filled.open_diameter_m,
        };
        let (out_w, vapour_kg_s) = leaves(&self.air, self.setting.pressure_pa, surface, self.full.activity, c)?;
        Ok(Flows {
            in_w,
            out_w,
            vapour_kg_s,
            net_w: in_w - out_w - vapour_kg_s * self.full.latent_j_kg(c),
        })
    }

    fn heat_to(&mut self, c: f64) -> Result<(), HeatError> {
        if self.full.c >= c {
            return Ok(());
        }
        self.go(&End::Heated(c))
    }

    fn go(&mut self, end: &End) -> Result<(), HeatError> {
        for _ in 0..MAX_STEPS {
            if self.full.gone_kg - self.known_gone_kg > THICKENS * self.now_food.water_kg {
                self.learn()?;
            }
            let here = self.flows(self.full.c)?;
            let at_boil = self.full.c >= self.boils_c - 1e-6 && here.net_w > 0.0;
            if self.ended(end, &here, at_boil)? {
                return Ok(());
            }
            if at_boil {
                self.boil(end, &here)?;
            } else {
                self.warm(end, &here)?;
            }
            if self.time_s > A_DAY_S {
                return Err(never(self.boils_c, self.full.c));
            }
        }
        Err(HeatError::TooManySteps {
            solver: "pot",
            time_s: self.time_s,
            steps: MAX_STEPS,
        })
    }

    fn ended(&self, end: &End, here: &Flows, at_boil: bool) -> Result<bool, HeatError> {
        let stands = here.net_w.abs() <= STANDS * here.in_w.abs();
        match *end {
            End::Heated(c) if self.full.c >= c - 1e-9 => Ok(true),
            End::Heated(c) if at_boil || here.net_w <= 0.0 => Err(never(c, self.full.c)),
            End::Heated(c) if here.net_w < SLOW * here.in_w && self.flows(c.min(self.boils_c))?.net_w <= 0.0 => {
                Err(never(c, self.full.c))
            }
            End::Heated(_) => Ok(false),
            End::Gone(kg) if self.full.gone_kg >= kg * (1.0 - 1e-12) - 1e-15 => Ok(true),
            End::Gone(_) if stands && here.vapour_kg_s <= 0.0 => Err(never(self.boils_c, self.full.c)),
            End::Gone(_) => Ok(false),
            End::Boils if at_boil => Ok(true),
            End::Boils if stands || here.net_w < 0.0 => {
                if self.full.c >= self.boils_c - SIMMERS_WITHIN_K {
                    Ok(true)
                } else {
                    Err(never(self.boils_c, self.full.c))
                }
            }
            End::Boils => Ok(false),
            End::At(s) => Ok(self.time_s >= s - 1e-9),
        }
    }

    /// A step below the boil, by Heun's method.
    fn warm(&mut self, end: &End, here: &Flows) -> Result<(), HeatError> {
        let from_c = self.full.c;
        let slope = here.net_w / self.full.capacity_j_k(from_c, self.full.gone_kg);
        let mut step_s = (STEP_K / slope.abs()).min(STEP_S);
        if here.vapour_kg_s > 0.0 {
            step_s = step_s.min(STEP_WATER * self.now_food.water_kg / here.vapour_kg_s);
        }
        if let End::At(s) = *end {
            step_s = step_s.min(s - self.time_s);
        }
        let guess_c = (from_c + slope * step_s).min(self.boils_c);
        let there = self.flows(guess_c)?;
        let capacity_j_k = self
            .full
            .capacity_j_k(guess_c, self.full.gone_kg + here.vapour_kg_s * step_s);
        let mean = 0.5 * (slope + there.net_w / capacity_j_k);
        let vapour_kg_s = 0.5 * (here.vapour_kg_s + there.vapour_kg_s);
        // The boil, a target or the last of the water may cut the step short.
        let mut part: f64 = 1.0;
        let reaches = |c: f64| {
            if mean > 0.0 {
                (c - from_c) / (mean * step_s)
            } else {
                f64::INFINITY
            }
        };
        part = part.min(reaches(self.boils_c));
        match *end {
            End::Heated(c) => part = part.min(reaches(c)),
            End::Gone(kg) if vapour_kg_s > 0.0 => part = part.min((kg - self.full.gone_kg) / (vapour_kg_s * step_s)),
            End::Gone(_) | End::Boils | End::At(_) => {}
        }
        let step_s = step_s * part.max(0.0);
        let to_c = if part < 1.0 && part >= reaches(self.boils_c) {
            self.boils_c
        } else {
            from_c + mean * step_s
        };
        let gone_kg = vapour_kg_s * step_s;
        let in_j = 0.5 * (here.in_w + there.in_w) * step_s;
        let vapour_j = gone_kg * self.full.vapour_j_kg(0.5 * (from_c + to_c));
        let held_j =
            self.full.enthalpy_j(to_c, self.full.gone_kg + gone_kg) - self.full.enthalpy_j(from_c, self.full.gone_kg);
        self.energy_j += in_j;
        self.vapour_j += vapour_j;
        self.lost_j += in_j - vapour_j - held_j;
        self.pass(step_s, to_c, gone_kg, None)
    }

    /// A step at the boil: what heat is left after the surface's losses goes off as vapour.
    fn boil(&mut self, end: &End, here: &Flows) -> Result<(), HeatError> {
        self.boils = true;
        let give_w = here.in_w - here.out_w;
        let from_c = self.full.c;
        if self.setting.lid {
            // What boils off runs back from the lid: the hob's heat leaves through it.
            let step_s = match *end {
                End::At(s) => (s - self.time_s).min(STEP_S),
                _ => return Err(never(self.boils_c, from_c)),
            };
            self.energy_j += here.in_w * step_s;
            self.lost_j += here.in_w * step_s;
            return self.pass(step_s, from_c, 0.0, None);
        }
        let latent = self.full.latent_j_kg(from_c);
        let mut step_s = (STEP_WATER * self.now_food.water_kg * latent / give_w).min(STEP_S);
        if let End::At(s) = *end {
            step_s = step_s.min(s - self.time_s);
        }
        let boils = |gone_kg: f64| -> Result<f64, HeatError> {
            self.full
                .boils_c(gone_kg, self.setting.pressure_pa)?
                .ok_or(HeatError::Matter(MatterError::NoWater))
        };
        let gone = self.full.gone_kg;
        let mut kg = give_w * step_s / latent;
        if let End::Gone(end_kg) = *end {
            kg = kg.min(end_kg - gone);
        }
        let mut to_c = boils(gone + kg)?;
        let needs_j = |kg: f64, to_c: f64| {
            self.full.enthalpy_j(to_c, gone + kg) - self.full.enthalpy_j(from_c, gone)
                + kg * self.full.vapour_j_kg(0.5 * (from_c + to_c))
        };
        if let End::Gone(_) = *end {
            step_s = needs_j(kg, to_c) / give_w;
        } else {
            for _ in 0..3 {
                kg *= give_w * step_s / needs_j(kg, to_c);
                to_c = boils(gone + kg)?;
            }
        }
        self.energy_j += here.in_w * step_s;
        self.lost_j += here.out_w * step_s;
        self.vapour_j += kg * self.full.vapour_j_kg(0.5 * (from_c + to_c));
        self.boils_c = to_c;
        self.pass(step_s, to_c, kg, None)
    }

    /// Holds the temperature for a time; the heat is turned down to the losses.
    fn hold(&mut self, hold_s: f64) -> Result<(), HeatError> {
        if hold_s <= 0.0 {
            return Ok(());
        }
        let steps = (hold_s / STEP_S).ceil();
        let step_s = hold_s / steps;
        for _ in 0..steps as usize {
            let here = self.flows(self.full.c)?;
            if here.net_w < 0.0 {
                return Err(never(self.full.c, self.full.c));
            }
            let gone_kg = here.vapour_kg_s * step_s;
            let given_w = here.in_w - here.net_w;
            self.energy_j += given_w * step_s;
            self.lost_j += here.out_w * step_s;
            self.vapour_j += gone_kg * self.full.vapour_j_kg(self.full.c);
            self.pass(step_s, self.full.c, gone_kg, Some(given_w))?;
            self.learn()?;
        }
        Ok(())
    }

    /// Lets a time pass: the middle changes, and takes up what films bring from the wall.
    fn pass(&mut self, step_s: f64, to_c: f64, gone_kg: f64, given_w: Option<f64>) -> Result<(), HeatError> {
        let from_c = self.full.c;
        self.full.gone_kg += gone_kg;
        self.evaporated_kg += gone_kg;
        self.full.c = to_c;
        self.time_s += step_s;
        self.kinetics.advance(&mut self.bulk, from_c, to_c, step_s);
        // Each stay at the wall turns over the film's share of the food.
        let turned = self.filled.heated_m2 * self.film.thickness_m() / self.volume_m3 * step_s / self.film.stays_s();
        let share = 1.0 - (-turned).exp();
        for (middle, film) in self.bulk.iter_mut().zip(&self.in_film) {
            *middle += share * (film - *middle).max(0.0);
        }
        self.touch_wall(given_w)?;
        self.note();
        Ok(())
    }

    fn add(&mut self, addition: &Addition) -> Result<(), HeatError> {
        let before_kg = self.full.food_now()?.mass_kg();
        self.full.stir_in(&addition.food, addition.c)?;
        // What was there is diluted by what has not been heated.
        let share = before_kg / (before_kg + addition.food.mass_kg());
        for middle in &mut self.bulk {
            *middle *= share;
        }
        self.learn()?;
        self.touch_wall(None)?;
        self.note();
        Ok(())
    }

    fn note(&mut self) {
        let mass_kg = self.now_food.mass_kg() - (self.full.gone_kg - self.known_gone_kg);
        self.moments.push(Moment {
            t_s: self.time_s,
            bulk_c: self.full.c,
            wall_c: self.wall_c,
            mass_kg,
            brix: 100.0 * self.now_food.soluble_kg() / mass_kg,
            film_w_m2k: self.film.w_m2k,
            film_stays_s: self.film.stays_s(),
            bulk: self.bulk.clone(),
            film: self.at_wall.clone(),
        });
    }

    fn finish(self) -> Result<Followed, HeatError> {
        let c = self.full.c;
        let capacity_j_k = self.full.capacity_j_k(c, self.full.gone_kg);
        let metal_k = self.wall_c - c + 0.5 * self.flux_w_m2 * self.setting.wall_m / crate::heated_vessel::STEEL_W_MK;
        let film_j_k = self.filled.heated_m2 * self.film.hot_m() * self.film.heat_j_m3k;
        Ok(Followed {
            seconds: self.time_s,
            evaporated_kg: self.evaporated_kg,
            energy_j: self.energy_j,
            lost_j: self.lost_j,
            vapour_j: self.vapour_j,
            end_c: c,
            boils: self.boils,
            carry_over_k: (self.setting.pot_j_k * metal_k + film_j_k * (self.wall_c - c)) / capacity_j_k,
            hottest_wall_c: self.hottest_wall_c,
            food: self.full.food_now()?,
            moments: self.moments,
        })
    }
}

fn in_range(what: &'static str, got: f64, min: f64, max: f64, unit: &'static str) -> Result<f64, OutOfRange> {
    OutOfRange::check(what, got, min, max, unit, POT_FOLLOWED.source)
}

fn check(setting: &Setting) -> Result<(), HeatError> {
    in_range("heat capacity of the pot", setting.pot_j_k, 0.0, 1e6, "J/K")?;
    in_range("sweep of the spoon", setting.sweep, 0.05, 1.0, "of the diameter")?;
    in_range("room", setting.room_c, 0.0, 50.0, "°C")?;
    if let Some(stirs_s) = setting.stirs_s {
        in_range("turns of the spoon", stirs_s, 0.01, 10.0, "1/s")?;
    }
    if let Some(wiped_s) = setting.wiped_s {
        in_range("time between two wipes", wiped_s, 0.1, 600.0, "s")?;
    }
    if let Some(pa_s) = setting.measured_pa_s {
        in_range("viscosity", pa_s, 1e-4, 1e3, "Pa s")?;
    }
    if let Vessel::BowlOfCoefficient { u_w_m2k, .. } = setting.vessel {
        in_range("coefficient from steam", u_w_m2k, 1.0, 20_000.0, "W/(m² K)")?;
    }
    match setting.vessel {
        Vessel::StraightPot { into_pot_w, .. } => {
            in_range("power into the pot", into_pot_w, 0.0, 1e6, "W")?;
        }
        Vessel::BowlOverSteam { steam_c, steam_w, .. }
        | Vessel::BowlOfCoefficient { steam_c, steam_w, .. }
        | Vessel::SteamKettle { steam_c, steam_w, .. } => {
            in_range("steam", steam_c, 40.0, 180.0, "°C")?;
            in_range("power of the steam", steam_w, 0.0, 1e6, "W")?;
        }
    }
    Ok(())
}
