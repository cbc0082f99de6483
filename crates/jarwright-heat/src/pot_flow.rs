//! What goes into a pot and out of it at one temperature.

use jarwright_figure::OutOfRange;
use jarwright_matter::saturation_pressure_pa;

use crate::HeatError;
use crate::bath::WATER_EMISSIVITY;
use crate::films::{OpenAir, Surroundings};
use crate::pot::{Heating, POT_HEATS, Pot, UNSTIRRED_SHARE};
use crate::potful::Potful;

/// No pot boils below this at the pressures the films serve [°C].
const NEVER_BOILS_BELOW_C: f64 = 80.0;

/// Heat and vapour at one temperature.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flow {
    /// Heat in [W].
    pub(crate) in_w: f64,
    /// Convection and radiation out [W].
    pub(crate) out_w: f64,
    /// Vapour out [kg/s].
    pub(crate) vapour_kg_s: f64,
    /// What is left to heat the pot [W].
    pub(crate) net_w: f64,
}

/// A pot's heat source and its surroundings.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stand<'a> {
    pot: &'a Pot,
    air: OpenAir,
}

impl<'a> Stand<'a> {
    pub(crate) fn new(pot: &'a Pot) -> Result<Self, HeatError> {
        check(pot)?;
        Ok(Self {
            pot,
            air: OpenAir::new(&Surroundings {
                air_c: pot.room_c,
                rel_humidity: pot.humidity,
                pressure_pa: pot.pressure_pa,
            })?,
        })
    }

    pub(crate) fn pressure_pa(&self) -> f64 {
        self.pot.pressure_pa
    }

    /// Heat into the pot [W].
    pub(crate) fn in_w(&self, c: f64) -> f64 {
        match self.pot.heating {
            Heating::Direct { into_pot_w } => into_pot_w,
            Heating::OverSteam { steam_c, burner_w, .. } => burner_w.min(self.steam_w_k() * (steam_c - c)),
        }
    }

    /// Conductance from steam to food [W/K].
    fn steam_w_k(&self) -> f64 {
        match self.pot.heating {
            Heating::Direct { .. } => 0.0,
            Heating::OverSteam { area_m2, u_w_m2k, .. } if self.pot.stirred => u_w_m2k * area_m2,
            Heating::OverSteam { area_m2, u_w_m2k, .. } => UNSTIRRED_SHARE * u_w_m2k * area_m2,
        }
    }

    /// Temperature below which the burner, not the bowl, limits the steam's heat [°C].
    pub(crate) fn bend_c(&self) -> Option<f64> {
        match self.pot.heating {
            Heating::Direct { .. } => None,
            Heating::OverSteam { steam_c, burner_w, .. } => Some(steam_c - burner_w / self.steam_w_k()),
        }
    }

    /// Temperature of the room [°C].
    pub(crate) fn room_c(&self) -> f64 {
        self.pot.room_c
    }

    /// What goes in and out with the pot at a temperature.
    pub(crate) fn flow(&self, full: &Potful, c: f64) -> Result<Flow, HeatError> {
        self.flow_of(full, full.activity, c)
    }

    /// The same with a water activity of its own.
    pub(crate) fn flow_of(&self, full: &Potful, activity: f64, c: f64) -> Result<Flow, HeatError> {
        let in_w = self.in_w(c);
        let surface = Surface {
            open_m2: self.pot.surface_m2,
            diameter_m: self.pot.diameter_m,
        };
        if surface.open_m2 <= 0.0 || c <= self.pot.room_c {
            return Ok(Flow {
                in_w,
                out_w: 0.0,
                vapour_kg_s: 0.0,
                net_w: in_w,
            });
        }
        let (out_w, vapour_kg_s) = leaves(&self.air, self.pot.pressure_pa, surface, activity, c)?;
        let net_w = in_w - out_w - vapour_kg_s * full.latent_j_kg(c);
        Ok(Flow {
            in_w,
            out_w,
            vapour_kg_s,
            net_w,
        })
    }

    /// Refusal of a target, with the temperature below it where the losses eat the heat.
    pub(crate) fn never(&self, full: &Potful, target_c: f64) -> HeatError {
        let (mut low, mut high) = (self.pot.room_c.min(target_c), target_c);
        for _ in 0..40 {
            let c = 0.5 * (low + high);
            match self.flow(full, c) {
                Ok(flow) if flow.net_w > 0.0 => low = c,
                Ok(_) => high = c,
                Err(error) => return error,
            }
        }
        never(target_c, low)
    }
}

/// Open surface of the food.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Surface {
    /// Area [m²].
    pub(crate) open_m2: f64,
    /// Diameter [m].
    pub(crate) diameter_m: f64,
}

/// Convection and radiation [W] and vapour [kg/s] that leave a surface warmer than the room.
pub(crate) fn leaves(
    air: &OpenAir,
    pressure_pa: f64,
    surface: Surface,
    activity: f64,
    c: f64,
) -> Result<(f64, f64), HeatError> {
    let mut vapour_pa = activity * saturation_pressure_pa(c)?;
    if c > NEVER_BOILS_BELOW_C {
        // At the boil the vapour just meets the air's pressure, however thick the food is.
        vapour_pa = vapour_pa.min(pressure_pa);
    }
    let open = air.over(
        surface.open_m2,
        0.25 * surface.diameter_m,
        c,
        vapour_pa,
        WATER_EMISSIVITY,
    )?;
    // Damp air over a dry food would condense: not this model's business.
    Ok((open.convection_w + open.radiation_w, open.evaporation_kg_s.max(0.0)))
}

/// Refusal of a target that lies above a limit.
pub(crate) fn never(target: f64, limit: f64) -> HeatError {
    HeatError::NeverReaches {
        quantity: "pot",
        target,
        limit,
        unit: "°C",
    }
}

fn check(pot: &Pot) -> Result<(), HeatError> {
    let range = |quantity, got, min, max, unit| OutOfRange::check(quantity, got, min, max, unit, POT_HEATS.source);
    range("open surface", pot.surface_m2, 0.0, 20.0, "m²")?;
    range("diameter of the surface", pot.diameter_m, 0.0, 5.0, "m")?;
    range("heat capacity of the pot", pot.pot_j_k, 0.0, 1e6, "J/K")?;
    range("room", pot.room_c, 0.0, 50.0, "°C")?;
    range("relative humidity", pot.humidity, 0.0, 1.0, "1")?;
    match pot.heating {
        Heating::Direct { into_pot_w } => {
            range("power into the pot", into_pot_w, 0.0, 1e6, "W")?;
        }
        Heating::OverSteam {
            steam_c,
            area_m2,
            u_w_m2k,
            burner_w,
        } => {
            range("steam", steam_c, 40.0, 150.0, "°C")?;
            range("area over steam", area_m2, 1e-5, 20.0, "m²")?;
            range("coefficient from steam", u_w_m2k, 1.0, 20_000.0, "W/(m² K)")?;
            range("power under the steam", burner_w, 0.0, 1e6, "W")?;
        }
    }
    Ok(())
}
