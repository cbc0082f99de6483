//! The two bodies of a loaded bath, and their steps.

use jarwright_figure::OutOfRange;
use jarwright_matter::{latent_heat_j_kg, saturation_pressure_pa};

use crate::HeatError;
use crate::bath::{Bath, COME_UP, Jars, Lid, WATER_EMISSIVITY, WATER_J_KGK};
use crate::films::{Surroundings, open_surface};
use crate::root::rising_root;

/// What moves: water with vessel and glass, food, and heat gone to the room.
#[derive(Debug, Clone, Copy)]
pub(crate) struct State {
    /// Water, vessel and glass [°C].
    pub(crate) water_c: f64,
    /// Mean of the food [°C].
    pub(crate) food_c: f64,
    /// Lost to the room so far [J].
    pub(crate) lost_j: f64,
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
pub(crate) struct Ode {
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
    pub(crate) fn new(bath: &Bath, jars: &Jars) -> Result<Self, HeatError> {
        let source = COME_UP.source;
        let at_least_0 = |quantity, got, max, unit| OutOfRange::check(quantity, got, 0.0, max, unit, source);
        OutOfRange::check("water in the bath", bath.water_kg, 0.05, 2000.0, "kg", source)?;
        OutOfRange::check("bath's boiling point", bath.boils_c, 60.0, 120.0, "°C", source)?;
        OutOfRange::check("room", bath.room_c, 0.0, 50.0, "°C", source)?;
        at_least_0("heat capacity of the vessel", bath.vessel_j_k, 1e6, "J/K")?;
        at_least_0("burner", bath.burner_w, 1e6, "W")?;
        at_least_0("surface of the bath", bath.surface_m2, 100.0, "m²")?;
        at_least_0("side loss", bath.side_loss_w_k, 1e3, "W/K")?;
        at_least_0("food in a jar", jars.food_kg_each, 20.0, "kg")?;
        at_least_0("heat capacity of the food", jars.food_j_kgk, 6000.0, "J/(kg K)")?;
        at_least_0("glass of a jar", jars.glass_kg_each, 20.0, "kg")?;
        at_least_0("heat capacity of the glass", jars.glass_j_kgk, 6000.0, "J/(kg K)")?;
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
            water_j_k: bath.water_kg * WATER_J_KGK + bath.vessel_j_k + count * jars.glass_kg_each * jars.glass_j_kgk,
            food_j_k: count * jars.food_kg_each * jars.food_j_kgk,
            u_a_w_k: count * jars.u_a_w_k,
        })
    }

    /// Water once the glass has taken its share.
    pub(crate) fn after_loading_c(&self, bath: &Bath, jars: &Jars, start_c: f64) -> f64 {
        let bare_j_k = bath.water_kg * WATER_J_KGK + bath.vessel_j_k;
        let glass_j_k = self.water_j_k - bare_j_k;
        (bare_j_k * start_c + glass_j_k * jars.start_c) / self.water_j_k
    }

    pub(crate) fn heat_to_boil_j(&self, water_c: f64, food_c: f64) -> f64 {
        self.water_j_k * (self.bath.boils_c - water_c) + self.food_j_k * (self.bath.boils_c - food_c)
    }

    /// Heat to the room [W] with the water at a temperature.
    pub(crate) fn loss_w(&self, water_c: f64) -> Result<f64, HeatError> {
        let (dry_w, vapour_kg_s) = self.loss(water_c)?;
        match self.bath.lid {
            Lid::On => Ok(dry_w),
            Lid::Off => Ok(dry_w + vapour_kg_s * latent_heat_j_kg(water_c.max(0.01))?),
        }
    }

    /// Heat to the room without its vapour [W], and the vapour that an open surface sends off
    /// below the boil [kg/s].
    pub(crate) fn loss(&self, water_c: f64) -> Result<(f64, f64), HeatError> {
        let side_w = self.bath.side_loss_w_k * (water_c - self.bath.room_c);
        if self.bath.surface_m2 <= 0.0 || water_c <= self.bath.room_c {
            return Ok((side_w.max(0.0), 0.0));
        }
        // A step tried past the boil asks for vapour above the air's pressure: there is none.
        let activity = (self.bath.pressure_pa / saturation_pressure_pa(water_c)?).min(1.0);
        let open = open_surface(
            self.bath.surface_m2,
            self.length_m,
            water_c,
            activity,
            WATER_EMISSIVITY,
            &self.around,
        )?;
        let vapour_kg_s = match self.bath.lid {
            Lid::On => 0.0,
            Lid::Off => open.evaporation_kg_s,
        };
        Ok((side_w + open.convection_w + open.radiation_w, vapour_kg_s))
    }

    /// Temperature where losses eat the burner [°C].
    pub(crate) fn settles_c(&self) -> Result<f64, HeatError> {
        rising_root(self.bath.room_c, self.bath.boils_c, self.bath.burner_w, 1e-3, |c| {
            self.loss_w(c)
        })
    }

    /// A step that resolves both the come-up and the food's lag.
    pub(crate) fn step_s(&self, at: State, spare_w: f64) -> f64 {
        let come_up_s = self.heat_to_boil_j(at.water_c, at.food_c).max(0.0) / spare_w;
        let lag_per_s = if self.food_j_k > 0.0 {
            self.u_a_w_k * (1.0 / self.food_j_k + 1.0 / self.water_j_k)
        } else {
            0.0
        };
        (come_up_s / 24.0).min(0.4 / lag_per_s.max(1e-9)).clamp(0.5, 120.0)
    }

    fn slope(&self, at: State) -> Result<State, HeatError> {
        let lost_w = self.loss_w(at.water_c)?;
        let into_food_w = self.u_a_w_k * (at.water_c - at.food_c);
        let food_c = if self.food_j_k > 0.0 {
            into_food_w / self.food_j_k
        } else {
            0.0
        };
        let into_food_w = if self.food_j_k > 0.0 { into_food_w } else { 0.0 };
        Ok(State {
            water_c: (self.bath.burner_w - lost_w - into_food_w) / self.water_j_k,
            food_c,
            lost_j: lost_w,
        })
    }

    /// One Runge-Kutta step of fourth order.
    pub(crate) fn step(&self, at: State, step_s: f64) -> Result<State, HeatError> {
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
    pub(crate) fn step_to_boil(&self, at: State, beyond: State, step_s: f64) -> Result<(State, f64), HeatError> {
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
