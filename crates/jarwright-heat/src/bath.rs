//! The boiling-water bath: come-up with jars in it, burner, water to swap.
//!
//! Two bodies: the water, with the vessel and the jars' glass, all at one temperature because
//! a bath stirs itself; and the food in the jars, which lags behind through one conductance
//! a jar (`lag.rs` gives it). What the water is held at afterwards is the jar solver's business.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::bath_ode::{Ode, State};
pub use crate::bath_water::{WATER_TO_ADD, WATER_TO_SWAP, litres_to_add, litres_to_swap};
use crate::root::rising_root;

/// Registry entry of [`come_up`].
pub static COME_UP: Equation = Equation {
    key: "bath-come-up",
    title: "Come-up of a loaded bath",
    text: "(m_w c_w + C_vessel + n m_g c_g) dT_w/dt = P - n UA (T_w - T_j) - losses(T_w);  \
           m_f c_f dT_j/dt = UA (T_w - T_j); come-up ends when T_w boils",
    source: "incropera_heat_mass",
};

/// Heat capacity of water between 15 and 100 °C [J/(kg K)].
///
/// # Source
/// `iapws_if97`: mean of 419.1 - 63.0 kJ/kg over 85 K.
pub const WATER_J_KGK: f64 = 4189.0;

/// Emissivity of an open water surface [1]: `cengel_heat_mass`, example 14.13.
pub const WATER_EMISSIVITY: f64 = 0.95;

/// Longest come-up that is followed [s].
const LONGEST_S: f64 = 12.0 * 3600.0;
/// Steps a come-up may take.
const MAX_STEPS: usize = 4000;

/// Whether the bath is covered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lid {
    /// Covered: vapour condenses under the lid and runs back; the lid is as hot as the water.
    On,
    /// Open: vapour leaves.
    Off,
}

/// A vessel of water on a burner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bath {
    /// Water in it, without jars [kg], above 0.
    pub water_kg: f64,
    /// Heat capacity of vessel and rack [J/K], 0 if the burner's efficiency counts them.
    pub vessel_j_k: f64,
    /// Power into the water [W]: rating times efficiency.
    pub burner_w: f64,
    /// Covered or open.
    pub lid: Lid,
    /// Area of the water's surface [m²].
    pub surface_m2: f64,
    /// Loss through the side [W/K], 0 if the burner's efficiency counts it.
    pub side_loss_w_k: f64,
    /// Temperature of the room [°C].
    pub room_c: f64,
    /// Relative humidity of the room, 0 to 1.
    pub rel_humidity: f64,
    /// Pressure of the room [Pa].
    pub pressure_pa: f64,
    /// Temperature its water boils at [°C].
    pub boils_c: f64,
}

/// The jars of one load, all alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jars {
    /// How many.
    pub count: u32,
    /// Food in each [kg].
    pub food_kg_each: f64,
    /// Heat capacity of the food [J/(kg K)].
    pub food_j_kgk: f64,
    /// Glass of each [kg].
    pub glass_kg_each: f64,
    /// Heat capacity of the glass [J/(kg K)].
    pub glass_j_kgk: f64,
    /// Temperature of food and glass when they go in [°C].
    pub start_c: f64,
    /// Conductance between water and the food's mean temperature, one jar [W/K].
    pub u_a_w_k: f64,
}

impl Jars {
    /// No jars: a bath on its own.
    pub const NONE: Self = Self {
        count: 0,
        food_kg_each: 0.0,
        food_j_kgk: 0.0,
        glass_kg_each: 0.0,
        glass_j_kgk: 0.0,
        start_c: 20.0,
        u_a_w_k: 0.0,
    };
}

/// How a loaded bath came up.
#[derive(Debug, Clone, PartialEq)]
pub struct ComeUp {
    /// From loading to the boil [min].
    pub minutes: f64,
    /// Water once the jars' glass has taken its share [°C].
    pub after_loading_c: f64,
    /// Heat the burner put in [J].
    pub energy_j: f64,
    /// Of it, lost to the room [J].
    pub lost_j: f64,
    /// Mean temperature of the food when the water boils [°C].
    pub jar_mean_c_at_boil: f64,
    /// Water's temperature over time: (s, °C), first at loading.
    pub curve: Vec<(f64, f64)>,
}

/// Come-up of a loaded bath, from loading at `start_c` to the boil.
///
/// ```text
/// (m_w c_w + C_vessel + n m_g c_g) dTw/dt = P - n UA (Tw - Tj) - losses(Tw)
/// m_f c_f dTj/dt = UA (Tw - Tj)
/// ```
///
/// * `bath`: the vessel; its `burner_w` is used
/// * `jars`: the load; [`Jars::NONE`] for water alone
/// * `start_c`: water's temperature just before loading [°C], 0 to the boil
///
/// The jars' glass takes the water's temperature at once. Losses: [`hold_power_w`] below the
/// boil. Runge-Kutta of fourth order, at most 4000 steps and 12 hours.
///
/// # Errors
/// [`HeatError::NeverReaches`] with the temperature where losses eat the burner;
/// [`HeatError::OutOfRange`] for an input outside its range.
///
/// # Source
/// Lumped energy balance, `incropera_heat_mass` chapter 5.
pub fn come_up(bath: &Bath, jars: &Jars, start_c: f64) -> Result<ComeUp, HeatError> {
    let ode = Ode::new(bath, jars)?;
    check_start(bath, start_c)?;
    let spare_w = bath.burner_w - ode.loss_w(bath.boils_c)?;
    let after_loading_c = ode.after_loading_c(bath, jars, start_c);
    if spare_w <= 0.0 {
        return Err(HeatError::NeverReaches {
            quantity: "bath",
            target: bath.boils_c,
            limit: ode.settles_c()?,
            unit: "°C",
        });
    }
    let mut at = State {
        water_c: after_loading_c,
        food_c: jars.start_c,
        lost_j: 0.0,
    };
    let mut time_s = 0.0;
    let mut curve = vec![(0.0, at.water_c)];
    let step_s = ode.step_s(at, spare_w);
    for _ in 0..MAX_STEPS {
        if at.water_c >= bath.boils_c {
            return Ok(ComeUp {
                minutes: time_s / 60.0,
                after_loading_c,
                energy_j: bath.burner_w * time_s,
                lost_j: at.lost_j,
                jar_mean_c_at_boil: at.food_c,
                curve,
            });
        }
        let mut next = ode.step(at, step_s)?;
        let mut taken_s = step_s;
        if next.water_c > bath.boils_c {
            (next, taken_s) = ode.step_to_boil(at, next, step_s)?;
        }
        time_s += taken_s;
        at = next;
        curve.push((time_s, at.water_c));
        if time_s > LONGEST_S {
            return Err(HeatError::NeverReaches {
                quantity: "bath, within 12 hours,",
                target: bath.boils_c,
                limit: at.water_c,
                unit: "°C",
            });
        }
    }
    Err(HeatError::TooManySteps {
        solver: "bath come-up",
        time_s,
        steps: MAX_STEPS,
    })
}

/// Power into the water [W] that brings a loaded bath to the boil in `minutes`.
///
/// * `minutes`: wanted come-up [min], above 0 to 720
///
/// Found on [`come_up`] itself, to a thousandth of a minute. The bath's own `burner_w` is not
/// looked at.
///
/// # Errors
/// [`HeatError::OutOfRange`] when the bath already boils on loading or a number is out of its
/// range; else as [`come_up`].
///
/// # Source
/// As [`come_up`].
pub fn burner_for_come_up(bath: &Bath, jars: &Jars, start_c: f64, minutes: f64) -> Result<f64, HeatError> {
    OutOfRange::check("come-up", minutes, 0.01, LONGEST_S / 60.0, "min", COME_UP.source)?;
    let ode = Ode::new(bath, jars)?;
    check_start(bath, start_c)?;
    let first_c = ode.after_loading_c(bath, jars, start_c);
    OutOfRange::check(
        "water once loaded",
        first_c,
        0.0,
        bath.boils_c - 0.01,
        "°C",
        COME_UP.source,
    )?;
    let hold_w = ode.loss_w(bath.boils_c)?;
    let rate = |burner_w: f64| -> Result<f64, HeatError> {
        match come_up(&Bath { burner_w, ..*bath }, jars, start_c) {
            Ok(done) => Ok(1.0 / done.minutes),
            Err(HeatError::NeverReaches { .. }) => Ok(0.0),
            Err(other) => Err(other),
        }
    };
    // All heat at once, in the time wanted: more than any lag allows, so a first guess.
    let mut high_w = hold_w + ode.heat_to_boil_j(first_c, jars.start_c) / (60.0 * minutes);
    let mut bracketed = false;
    for _ in 0..40 {
        if rate(high_w)? >= 1.0 / minutes {
            bracketed = true;
            break;
        }
        high_w *= 1.5;
    }
    if !bracketed {
        return Err(HeatError::TooManySteps {
            solver: "burner for a come-up",
            time_s: 0.0,
            steps: 40,
        });
    }
    // One over the come-up is nearly straight in the burner's power.
    rising_root(hold_w, high_w, 1.0 / minutes, 1e-6 / minutes, rate)
}

/// Water's temperature at loading [°C] from which a loaded bath boils in `minutes`.
///
/// * `minutes`: wanted come-up [min], above 0
///
/// # Errors
/// [`HeatError::OutOfRange`] when even water at the room's temperature boils sooner; else as
/// [`come_up`].
///
/// # Source
/// As [`come_up`].
pub fn start_c_for_come_up(bath: &Bath, jars: &Jars, minutes: f64) -> Result<f64, HeatError> {
    let longest = come_up(bath, jars, bath.room_c)?.minutes;
    OutOfRange::check("come-up", minutes, 0.01, longest, "min", COME_UP.source)?;
    let sooner = |start_c: f64| come_up(bath, jars, start_c).map(|done| -done.minutes);
    rising_root(bath.room_c, bath.boils_c, -minutes, 1e-4, sooner)
}

/// Power that holds the bath at its boil [W]: what it loses there.
///
/// * `Lid::On`: convection and radiation of a lid as hot as the water, and the side
/// * `Lid::Off`: the same from the open surface, and the vapour's latent heat
///
/// A rolling boil needs more; what it boils away is the difference over the latent heat.
///
/// # Errors
/// [`HeatError::OutOfRange`].
///
/// # Source
/// `cengel_heat_mass`, by way of [`crate::films::open_surface`].
pub fn hold_power_w(bath: &Bath) -> Result<f64, HeatError> {
    Ode::new(bath, &Jars::NONE)?.loss_w(bath.boils_c)
}

/// Heat to bring water, vessel and jars, food and all, to the boil [J], without losses.
///
/// # Errors
/// [`HeatError::OutOfRange`].
///
/// # Source
/// `arithmetic`.
pub fn heat_to_boil_j(bath: &Bath, jars: &Jars, start_c: f64) -> Result<f64, HeatError> {
    let ode = Ode::new(bath, jars)?;
    check_start(bath, start_c)?;
    Ok(ode.heat_to_boil_j(ode.after_loading_c(bath, jars, start_c), jars.start_c))
}

fn check_start(bath: &Bath, start_c: f64) -> Result<(), HeatError> {
    OutOfRange::check("bath at loading", start_c, 0.0, bath.boils_c, "°C", COME_UP.source)?;
    Ok(())
}
