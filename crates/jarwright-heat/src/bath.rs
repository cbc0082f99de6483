//! The boiling-water bath: come-up with jars in it, burner, water to swap.
//!
//! Two bodies: the water, with the vessel and the jars' glass, all at one temperature because
//! a bath stirs itself; and the food in the jars, which lags behind through one conductance
//! a jar (`lag.rs` gives it). What the water is held at afterwards is the jar solver's business.

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::latent_heat_j_kg;

use crate::HeatError;
use crate::films::{Surroundings, open_surface};

/// Registry entry of [`come_up`].
pub static COME_UP: Equation = Equation {
    key: "bath-come-up",
    title: "Come-up of a loaded bath",
    text: "(m_w c_w + C_vessel + n m_g c_g) dTw/dt = P - n UA (Tw - Tj) - losses(Tw);  \
           m_f c_f dTj/dt = UA (Tw - Tj); come-up ends when Tw boils",
    source: "incropera_6",
};

/// Registry entry of [`litres_to_swap`].
pub static WATER_TO_SWAP: Equation = Equation {
    key: "bath-water-to-swap",
    title: "Hot water to bail out for cold",
    text: "x = V (T_hot - T_target) / (T_hot - T_cold)",
    source: "heat_balance",
};

/// Registry entry of [`litres_to_add`].
pub static WATER_TO_ADD: Equation = Equation {
    key: "bath-water-to-add",
    title: "Cold water to add without bailing",
    text: "x = V (T_hot - T_target) / (T_target - T_cold)",
    source: "heat_balance",
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
/// Lumped energy balance, `incropera_6` chapter 5.
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
pub fn burner_for_come_up(
    bath: &Bath,
    jars: &Jars,
    start_c: f64,
    minutes: f64,
) -> Result<f64, HeatError> {
    OutOfRange::check(
        "come-up",
        minutes,
        0.01,
        LONGEST_S / 60.0,
        "min",
        COME_UP.source,
    )?;
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
    root(hold_w, high_w, 1.0 / minutes, 1e-6 / minutes, rate)
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
    root(bath.room_c, bath.boils_c, -minutes, 1e-4, sooner)
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
/// `heat_balance`.
pub fn heat_to_boil_j(bath: &Bath, jars: &Jars, start_c: f64) -> Result<f64, HeatError> {
    let ode = Ode::new(bath, jars)?;
    check_start(bath, start_c)?;
    Ok(ode.heat_to_boil_j(ode.after_loading_c(bath, jars, start_c), jars.start_c))
}

/// Hot water to bail out, then to fill up with cold [L], so that the bath meets `target_c`.
///
/// ```text
/// x = V (T_hot - T_target) / (T_hot - T_cold)
/// ```
///
/// * `litres`: water in the bath [L], above 0, the same before and after
/// * `hot_c`, `cold_c`, `target_c`: bath, supply and wanted [°C], cold < target <= hot
///
/// # Errors
/// [`HeatError::OutOfRange`] when the target is not between supply and bath.
///
/// # Source
/// `heat_balance`.
pub fn litres_to_swap(
    litres: f64,
    hot_c: f64,
    cold_c: f64,
    target_c: f64,
) -> Result<f64, HeatError> {
    check_mix(litres, hot_c, cold_c, target_c)?;
    Ok(litres * (hot_c - target_c) / (hot_c - cold_c))
}

/// Cold water to add to a bath without bailing [L], so that it meets `target_c`.
///
/// ```text
/// x = V (T_hot - T_target) / (T_target - T_cold)
/// ```
///
/// Arguments and errors as [`litres_to_swap`]; the vessel must hold the sum.
///
/// # Errors
/// As [`litres_to_swap`].
///
/// # Source
/// `heat_balance`.
pub fn litres_to_add(
    litres: f64,
    hot_c: f64,
    cold_c: f64,
    target_c: f64,
) -> Result<f64, HeatError> {
    check_mix(litres, hot_c, cold_c, target_c)?;
    Ok(litres * (hot_c - target_c) / (target_c - cold_c))
}

fn check_mix(litres: f64, hot_c: f64, cold_c: f64, target_c: f64) -> Result<(), HeatError> {
    let source = WATER_TO_SWAP.source;
    OutOfRange::check(
        "water in the bath",
        litres,
        f64::MIN_POSITIVE,
        1e5,
        "L",
        source,
    )?;
    OutOfRange::check("bath", hot_c, 0.0, 120.0, "°C", source)?;
    OutOfRange::check("supply water", cold_c, 0.0, hot_c.next_down(), "°C", source)?;
    OutOfRange::check(
        "wanted bath",
        target_c,
        cold_c.next_up(),
        hot_c,
        "°C",
        source,
    )?;
    Ok(())
}

fn check_start(bath: &Bath, start_c: f64) -> Result<(), HeatError> {
    OutOfRange::check(
        "bath at loading",
        start_c,
        0.0,
        bath.boils_c,
        "°C",
        COME_UP.source,
    )?;
    Ok(())
}

/// What moves: water with vessel and glass, food, and heat gone to the room.
#[derive(Debug, Clone, Copy)]
struct State {
    water_c: f64,
    food_c: f64,
    lost_j: f64,
}

impl State {
    fn moved(self, slope: Self, by_s: f64) -> Self {
        Self {
            water_c: self.water_c + by_s * slope.water_c,
            food_c: self.food_c + by_s * slope.food_c,
            lost_j: self.lost_j + by_s * slope.lost_j,
        }
    }
}

/// The bath's numbers, checked and lumped.
struct Ode {
    bath: Bath,
    around: Surroundings,
    /// Surface's length in its film [m]: area over rim.
    length_m: f64,
    /// Water, vessel and glass [J/K].
    water_j_k: f64,
    /// Food of all jars [J/K].
    food_j_k: f64,
    /// Conductance of all jars [W/K].
    u_a_w_k: f64,
}

impl Ode {
    fn new(bath: &Bath, jars: &Jars) -> Result<Self, HeatError> {
        let source = COME_UP.source;
        let at_least_0 =
            |quantity, got, max, unit| OutOfRange::check(quantity, got, 0.0, max, unit, source);
        OutOfRange::check(
            "water in the bath",
            bath.water_kg,
            0.05,
            2000.0,
            "kg",
            source,
        )?;
        OutOfRange::check(
            "bath's boiling point",
            bath.boils_c,
            60.0,
            120.0,
            "°C",
            source,
        )?;
        OutOfRange::check("room", bath.room_c, -10.0, 50.0, "°C", source)?;
        at_least_0("heat capacity of the vessel", bath.vessel_j_k, 1e6, "J/K")?;
        at_least_0("burner", bath.burner_w, 1e6, "W")?;
        at_least_0("surface of the bath", bath.surface_m2, 100.0, "m²")?;
        at_least_0("side loss", bath.side_loss_w_k, 1e3, "W/K")?;
        at_least_0("food in a jar", jars.food_kg_each, 20.0, "kg")?;
        at_least_0(
            "heat capacity of the food",
            jars.food_j_kgk,
            6000.0,
            "J/(kg K)",
        )?;
        at_least_0("glass of a jar", jars.glass_kg_each, 20.0, "kg")?;
        at_least_0(
            "heat capacity of the glass",
            jars.glass_j_kgk,
            6000.0,
            "J/(kg K)",
        )?;
        at_least_0("conductance of a jar", jars.u_a_w_k, 1e3, "W/K")?;
        OutOfRange::check("jars at loading", jars.start_c, -10.0, 110.0, "°C", source)?;
        let count = f64::from(jars.count);
        Ok(Self {
            bath: *bath,
            around: Surroundings {
                air_c: bath.room_c,
                rel_humidity: bath.rel_humidity,
                pressure_pa: bath.pressure_pa,
            },
            // A round surface: area over rim is a quarter of the diameter.
            length_m: 0.25 * (4.0 * bath.surface_m2 / std::f64::consts::PI).sqrt(),
            water_j_k: bath.water_kg * WATER_J_KGK
                + bath.vessel_j_k
                + count * jars.glass_kg_each * jars.glass_j_kgk,
            food_j_k: count * jars.food_kg_each * jars.food_j_kgk,
            u_a_w_k: count * jars.u_a_w_k,
        })
    }

    /// Water once the glass has taken its share.
    fn after_loading_c(&self, bath: &Bath, jars: &Jars, start_c: f64) -> f64 {
        let bare_j_k = bath.water_kg * WATER_J_KGK + bath.vessel_j_k;
        let glass_j_k = self.water_j_k - bare_j_k;
        (bare_j_k * start_c + glass_j_k * jars.start_c) / self.water_j_k
    }

    fn heat_to_boil_j(&self, water_c: f64, food_c: f64) -> f64 {
        self.water_j_k * (self.bath.boils_c - water_c)
            + self.food_j_k * (self.bath.boils_c - food_c)
    }

    /// Heat to the room [W] with the water at a temperature.
    fn loss_w(&self, water_c: f64) -> Result<f64, HeatError> {
        let side_w = self.bath.side_loss_w_k * (water_c - self.bath.room_c);
        if self.bath.surface_m2 <= 0.0 || water_c <= self.bath.room_c {
            return Ok(side_w.max(0.0));
        }
        let open = open_surface(
            self.bath.surface_m2,
            self.length_m,
            water_c,
            1.0,
            WATER_EMISSIVITY,
            &self.around,
        )?;
        let vapour_w = match self.bath.lid {
            Lid::On => 0.0,
            Lid::Off => open.evaporation_kg_s * latent_heat_j_kg(water_c)?,
        };
        Ok(side_w + open.convection_w + open.radiation_w + vapour_w)
    }

    /// Temperature where losses eat the burner [°C].
    fn settles_c(&self) -> Result<f64, HeatError> {
        root(
            self.bath.room_c,
            self.bath.boils_c,
            self.bath.burner_w,
            1e-3,
            |c| self.loss_w(c),
        )
    }

    /// A step that resolves both the come-up and the food's lag.
    fn step_s(&self, at: State, spare_w: f64) -> f64 {
        let come_up_s = self.heat_to_boil_j(at.water_c, at.food_c).max(0.0) / spare_w;
        let lag_per_s = if self.food_j_k > 0.0 {
            self.u_a_w_k * (1.0 / self.food_j_k + 1.0 / self.water_j_k)
        } else {
            0.0
        };
        (come_up_s / 24.0)
            .min(0.4 / lag_per_s.max(1e-9))
            .clamp(0.5, 120.0)
    }

    fn slope(&self, at: State) -> Result<State, HeatError> {
        let lost_w = self.loss_w(at.water_c)?;
        let into_food_w = self.u_a_w_k * (at.water_c - at.food_c);
        let food_c = if self.food_j_k > 0.0 {
            into_food_w / self.food_j_k
        } else {
            0.0
        };
        let into_food_w = if self.food_j_k > 0.0 {
            into_food_w
        } else {
            0.0
        };
        Ok(State {
            water_c: (self.bath.burner_w - lost_w - into_food_w) / self.water_j_k,
            food_c,
            lost_j: lost_w,
        })
    }

    /// One Runge-Kutta step of fourth order.
    fn step(&self, at: State, step_s: f64) -> Result<State, HeatError> {
        let a = self.slope(at)?;
        let b = self.slope(at.moved(a, 0.5 * step_s))?;
        let c = self.slope(at.moved(b, 0.5 * step_s))?;
        let d = self.slope(at.moved(c, step_s))?;
        Ok(at
            .moved(a, step_s / 6.0)
            .moved(b, step_s / 3.0)
            .moved(c, step_s / 3.0)
            .moved(d, step_s / 6.0))
    }

    /// The shorter step that ends at the boil.
    fn step_to_boil(
        &self,
        at: State,
        beyond: State,
        step_s: f64,
    ) -> Result<(State, f64), HeatError> {
        let (mut end, mut taken_s) = (beyond, step_s);
        // The curve is nearly straight within a step: three secants reach rounding.
        for _ in 0..4 {
            let share = (self.bath.boils_c - at.water_c) / (end.water_c - at.water_c);
            taken_s *= share;
            end = self.step(at, taken_s)?;
            if (end.water_c - self.bath.boils_c).abs() < 1e-9 {
                break;
            }
        }
        end.water_c = self.bath.boils_c;
        Ok((end, taken_s))
    }
}

/// Where a rising function meets a value: regula falsi with halved ends (Illinois), bounded.
fn root(
    mut low: f64,
    mut high: f64,
    value: f64,
    within: f64,
    f: impl Fn(f64) -> Result<f64, HeatError>,
) -> Result<f64, HeatError> {
    let mut at_low = f(low)? - value;
    let mut at_high = f(high)? - value;
    if at_low >= 0.0 {
        return Ok(low);
    }
    let mut kept_high = false;
    let mut kept_low = false;
    let mut middle = high;
    for _ in 0..80 {
        if at_high.abs() <= within {
            return Ok(high);
        }
        middle = (low * at_high - high * at_low) / (at_high - at_low);
        let here = f(middle)? - value;
        if here.abs() <= within {
            return Ok(middle);
        }
        if here < 0.0 {
            low = middle;
            at_low = here;
            if kept_high {
                at_high *= 0.5;
            }
            (kept_high, kept_low) = (true, false);
        } else {
            high = middle;
            at_high = here;
            if kept_low {
                at_low *= 0.5;
            }
            (kept_high, kept_low) = (false, true);
        }
    }
    Ok(middle)
}
