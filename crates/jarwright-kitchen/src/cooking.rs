//! One batch in its pot: what it takes, what boils off, what stays behind.
//!
//! Plain numbers; `batching.rs` chooses the batch and puts the results in the graph.

use jarwright_heat::HeatError;
use jarwright_heat::follow::Until;
use jarwright_heat::pot::{self, Addition, Charge, Cook, Heating, Pot};
use jarwright_matter::{self as matter, Food};

use crate::bathing::STEEL_J_KGK;
use crate::files::{Endpoint, PotKind};

/// How far below water's boiling point a liquid brought to the boil is taken to be there [K].
const AT_THE_BOIL_K: f64 = 0.3;

/// Temperature at which a potful's volume is reckoned [°C]; density changes 2 % over the cook.
const WARM_POT_C: f64 = 60.0;

/// A pot, its heat and one multiple of what goes into it.
#[derive(Debug, Clone)]
pub(crate) struct CookCase {
    pub(crate) kind: PotKind,
    pub(crate) power_w: f64,
    pub(crate) diameter_m: f64,
    pub(crate) pot_kg: f64,
    pub(crate) pressure_pa: f64,
    pub(crate) boils_c: f64,
    pub(crate) rel_humidity: f64,
    /// What starts in the pot, for one multiple, and how warm.
    pub(crate) start: Food,
    pub(crate) start_c: f64,
    /// What goes in later: food for one multiple, its temperature, pot temperature.
    pub(crate) later: Vec<(Food, f64, f64)>,
    /// What is stirred in off the heat, for one multiple, and how warm.
    pub(crate) after: Food,
    pub(crate) after_c: f64,
    pub(crate) stop: Stop,
}

/// When the pot is done, resolved for this place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Stop {
    /// At a temperature below the boil [°C].
    Temperature(f64),
    /// Boiled down to soluble solids [°Brix].
    Brix(f64),
    /// Boiled so long [s].
    Boiled(f64),
    /// Just brought to the boil.
    AtTheBoil,
}

/// What one cook run gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cooked {
    pub(crate) minutes: f64,
    pub(crate) boiled_off_g: f64,
    pub(crate) energy_kwh: f64,
    /// Whether it came to its own boil, and how hot it ended [°C].
    pub(crate) boils: bool,
    pub(crate) end_c: f64,
}

impl CookCase {
    /// What is on the heat of one multiple, before anything boils off.
    pub(crate) fn potted(&self) -> Food {
        let mut food = self.start.clone();
        for (addition, ..) in &self.later {
            food.add(addition);
        }
        food
    }

    /// Everything of one multiple, before anything boils off.
    pub(crate) fn all_in(&self) -> Food {
        let mut food = self.potted();
        food.add(&self.after);
        food
    }

    /// Resolves an endpoint for this place.
    ///
    /// # Errors
    /// A temperature or boiling rise that no boiling-down of this food reaches.
    pub(crate) fn stop_of(&self, endpoint: Option<Endpoint>) -> Result<Stop, matter::MatterError> {
        Ok(match endpoint {
            None => Stop::AtTheBoil,
            Some(Endpoint::Temperature { c }) if c < self.boils_c - AT_THE_BOIL_K => Stop::Temperature(c),
            Some(Endpoint::Temperature { c }) => Stop::Brix(self.brix_boiling_at(c)?),
            Some(Endpoint::AboveBoiling { kelvin }) if kelvin <= 0.0 => Stop::AtTheBoil,
            Some(Endpoint::AboveBoiling { kelvin }) => Stop::Brix(self.brix_boiling_at(self.boils_c + kelvin)?),
            Some(Endpoint::Brix { brix }) => Stop::Brix(brix),
            Some(Endpoint::Boiled { seconds }) => Stop::Boiled(seconds),
        })
    }

    /// °Brix at which the food boils at `c` here.
    fn brix_boiling_at(&self, c: f64) -> Result<f64, matter::MatterError> {
        matter::brix_when_boiling_at(&self.potted(), c, self.pressure_pa)
    }

    /// Cooks `multiple` of it.
    ///
    /// # Errors
    /// The heat balance's own: a target the pot never reaches, a quantity out of range.
    pub(crate) fn cook(
        &self,
        multiple: f64,
        efficiency: f64,
        steam_u_w_m2k: f64,
        room_c: f64,
    ) -> Result<Cooked, HeatError> {
        let cook = self.followed(multiple, efficiency, steam_u_w_m2k, room_c)?;
        Ok(Cooked {
            minutes: cook.seconds / 60.0,
            boiled_off_g: cook.evaporated_kg * 1000.0,
            energy_kwh: cook.energy_j / 3.6e6,
            boils: cook.boils,
            end_c: cook.end_c,
        })
    }

    /// The same, with the pot's temperature all along.
    ///
    /// # Errors
    /// As [`CookCase::cook`].
    pub(crate) fn followed(
        &self,
        multiple: f64,
        efficiency: f64,
        steam_u_w_m2k: f64,
        room_c: f64,
    ) -> Result<Cook, HeatError> {
        let into_pot_w = self.power_w * efficiency;
        let all = self.potted().scaled(multiple);
        let volume_m3 = all.mass_kg() / density(&all)?;
        let brim_m2 = std::f64::consts::FRAC_PI_4 * self.diameter_m * self.diameter_m;
        let (heating, surface_m2, diameter_m) = match self.kind {
            PotKind::OpenPan | PotKind::Kettle => (Heating::Direct { into_pot_w }, brim_m2, self.diameter_m),
            PotKind::BowlOverSteam => {
                // A bowl deeper than a half sphere has upright sides that the steam does not wet.
                let half_sphere_m3 = std::f64::consts::PI * self.diameter_m.powi(3) / 12.0;
                let bowl = pot::bowl(self.diameter_m, volume_m3.min(half_sphere_m3))?;
                let heating = Heating::OverSteam {
                    steam_c: self.boils_c,
                    area_m2: bowl.wetted_m2,
                    u_w_m2k: steam_u_w_m2k,
                    burner_w: into_pot_w,
                };
                (heating, bowl.open_m2, bowl.open_diameter_m)
            }
        };
        let pot = Pot {
            heating,
            surface_m2,
            diameter_m,
            pot_j_k: self.pot_kg * STEEL_J_KGK,
            room_c,
            humidity: self.rel_humidity,
            pressure_pa: self.pressure_pa,
            stirred: true,
        };
        let charge = Charge {
            food: self.start.scaled(multiple),
            start_c: self.start_c,
        };
        let later = self.additions(multiple);
        match self.stop {
            Stop::Temperature(c) => pot::cook_to_c(&pot, &charge, &later, c, 0.0),
            Stop::AtTheBoil => pot::cook_to_c(&pot, &charge, &later, self.boils_c - AT_THE_BOIL_K, 0.0),
            Stop::Brix(brix) => pot::boil_to_brix(&pot, &charge, &later, brix),
            Stop::Boiled(seconds) => pot::boil_for(&pot, &charge, &later, seconds / 60.0),
        }
    }

    /// What goes in on the way.
    pub(crate) fn additions(&self, multiple: f64) -> Vec<Addition> {
        let scaled = self.later.iter().map(|(food, c, when_c)| Addition {
            food: food.scaled(multiple),
            c: *c,
            when_c: Some(*when_c),
        });
        scaled.collect()
    }

    /// When it is done, for the pot followed through time.
    pub(crate) fn until(&self) -> Until {
        match self.stop {
            Stop::Temperature(c) => Until::Temperature(c, 0.0),
            Stop::AtTheBoil => Until::Temperature(self.boils_c - AT_THE_BOIL_K, 0.0),
            Stop::Brix(brix) => Until::Brix(brix),
            Stop::Boiled(seconds) => Until::Boiled(seconds),
        }
    }

    /// Volume [L] of one multiple with everything in.
    pub(crate) fn one_l(&self) -> Result<f64, HeatError> {
        let all = self.all_in();
        Ok(1000.0 * all.mass_kg() / density(&all)?)
    }

    /// Mass [g] of a film of `film_mm` on what the food of `volume_l` wets, at `density_kg_m3`.
    pub(crate) fn film_g(&self, volume_l: f64, film_mm: f64, density_kg_m3: f64) -> f64 {
        let base_m2 = std::f64::consts::FRAC_PI_4 * self.diameter_m * self.diameter_m;
        let side_m2 = 4.0 * volume_l / 1000.0 / self.diameter_m;
        (base_m2 + side_m2) * film_mm * density_kg_m3
    }
}

/// Density [kg/m³] in a warm pot.
fn density(food: &Food) -> Result<f64, HeatError> {
    Ok(matter::thermal(food, WARM_POT_C)?.density_kg_m3)
}
