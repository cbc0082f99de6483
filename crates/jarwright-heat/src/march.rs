//! The steps of a pot: heating on temperature, boiling on water gone.

use jarwright_figure::OutOfRange;
use jarwright_matter::Food;

use crate::HeatError;
use crate::bath::WATER_EMISSIVITY;
use crate::films::{Surroundings, open_surface};
use crate::pot::{Addition, Charge, Cook, Heating, POT_HEATS, Pot, UNSTIRRED_SHARE};
use crate::potful::Potful;

/// Longest step on the way up [K].
const STEP_K: f64 = 8.0;
/// A step may not shrink the net power below this share of what it was.
const KEEPS: f64 = 0.7;
/// Steps a heating stretch may take.
const MAX_STEPS: usize = 200;
/// Steps of a boil.
const BOIL_STEPS: usize = 12;

/// What the surroundings do to a pot at one temperature.
#[derive(Debug, Clone, Copy)]
struct Flow {
    /// Heat in [W].
    in_w: f64,
    /// Convection and radiation out [W].
    out_w: f64,
    /// Vapour out [kg/s].
    vapour_kg_s: f64,
    /// What is left to heat the pot [W].
    net_w: f64,
}

/// A pot under way.
pub(crate) struct March<'a> {
    pot: &'a Pot,
    around: Surroundings,
    full: Potful,
    time_s: f64,
    heating_s: f64,
    evaporated_kg: f64,
    energy_j: f64,
    lost_j: f64,
    vapour_j: f64,
    curve: Vec<(f64, f64)>,
}

impl<'a> March<'a> {
    pub(crate) fn new(pot: &'a Pot, charge: &Charge) -> Result<Self, HeatError> {
        check(pot)?;
        Ok(Self {
            pot,
            around: Surroundings {
                air_c: pot.room_c,
                rel_humidity: pot.humidity,
                pressure_pa: pot.pressure_pa,
            },
            full: Potful::new(&charge.food, pot.pot_j_k, charge.start_c)?,
            time_s: 0.0,
            heating_s: 0.0,
            evaporated_kg: 0.0,
            energy_j: 0.0,
            lost_j: 0.0,
            vapour_j: 0.0,
            curve: vec![(0.0, charge.start_c)],
        })
    }

    pub(crate) fn food_now(&self) -> Result<Food, HeatError> {
        self.full.food_now()
    }

    pub(crate) fn finish(self) -> Result<Cook, HeatError> {
        Ok(Cook {
            seconds: self.time_s,
            heating_s: self.heating_s,
            boiling_s: self.time_s - self.heating_s,
            evaporated_kg: self.evaporated_kg,
            energy_j: self.energy_j,
            lost_j: self.lost_j,
            vapour_j: self.vapour_j,
            end_c: self.full.c,
            food: self.full.food_now()?,
            curve: self.curve,
        })
    }

    /// Heats to where an addition goes in, and stirs it in.
    pub(crate) fn add(&mut self, addition: &Addition) -> Result<(), HeatError> {
        if let Some(when_c) = addition.when_c {
            self.heat_to(when_c)?;
        }
        self.full.stir_in(&addition.food, addition.c)?;
        self.curve.push((self.time_s, self.full.c));
        Ok(())
    }

    /// Heats to a temperature below the boil; a pot already hotter stays as it is.
    pub(crate) fn heat_to(&mut self, target_c: f64) -> Result<(), HeatError> {
        if self.full.c >= target_c {
            return Ok(());
        }
        let boils_c = self.full.boils_c(self.full.gone_kg, self.pot.pressure_pa)?;
        if let Some(limit) = boils_c.filter(|&c| c < target_c) {
            return Err(never(target_c, limit));
        }
        self.heat(target_c)
    }

    /// Heats to the boil of what is in the pot.
    pub(crate) fn heat_to_boil(&mut self) -> Result<(), HeatError> {
        // Water that goes off on the way lifts the boil a little: meet it again.
        for _ in 0..4 {
            let boils_c = self.boils_c(self.full.gone_kg)?;
            if boils_c - self.full.c <= 1e-6 {
                return Ok(());
            }
            self.heat(boils_c)?;
        }
        Ok(())
    }

    fn boils_c(&self, gone_kg: f64) -> Result<f64, HeatError> {
        self.full
            .boils_c(gone_kg, self.pot.pressure_pa)?
            .ok_or(HeatError::Matter(jarwright_matter::MatterError::NoWater))
    }

    fn heat(&mut self, target_c: f64) -> Result<(), HeatError> {
        let last = self.flow(target_c)?;
        if last.net_w <= 0.0 {
            return Err(never(target_c, self.settles_c(target_c)?));
        }
        // Steam hands over the whole burner up to here; the bend must end a step.
        let bend_c = self
            .bend_c()
            .filter(|&c| c > self.full.c + 1e-6 && c < target_c - 1e-6);
        for end_c in bend_c.into_iter().chain([target_c]) {
            self.climb(end_c)?;
        }
        Ok(())
    }

    /// Climbs to a temperature in steps of fourth order on temperature.
    fn climb(&mut self, end_c: f64) -> Result<(), HeatError> {
        let from_s = self.time_s;
        let stretch_k = end_c - self.full.c;
        let usual_k = stretch_k / (stretch_k / STEP_K).ceil();
        let mut here = self.flow(self.full.c)?;
        for _ in 0..MAX_STEPS {
            let left_k = end_c - self.full.c;
            let mut step_k = usual_k.min(left_k);
            if left_k - step_k < 0.01 * usual_k {
                step_k = left_k;
            }
            let mut there = self.flow(self.full.c + step_k)?;
            while there.net_w < KEEPS * here.net_w && step_k > 1e-3 * usual_k {
                step_k *= 0.5;
                there = self.flow(self.full.c + step_k)?;
            }
            let middle = self.flow(self.full.c + 0.5 * step_k)?;
            self.take(step_k, [here, middle, there]);
            here = there;
            if end_c - self.full.c <= 1e-9 {
                self.full.c = end_c;
                self.heating_s += self.time_s - from_s;
                return Ok(());
            }
        }
        Err(HeatError::TooManySteps {
            solver: "pot",
            time_s: self.time_s,
            steps: MAX_STEPS,
        })
    }

    /// One step on temperature. Only the heat capacity depends on the water gone.
    fn take(&mut self, step_k: f64, [a, b, c]: [Flow; 3]) {
        let full = &self.full;
        let mid_c = full.c + 0.5 * step_k;
        let end_c = full.c + step_k;
        let slow = |flow: Flow, c: f64, gone_kg: f64| full.capacity_j_k(c, gone_kg) / flow.net_w;
        let gone = full.gone_kg;
        let k1 = slow(a, full.c, gone);
        let k2 = slow(b, mid_c, gone + 0.5 * step_k * a.vapour_kg_s * k1);
        let k3 = slow(b, mid_c, gone + 0.5 * step_k * b.vapour_kg_s * k2);
        let k4 = slow(c, end_c, gone + step_k * b.vapour_kg_s * k3);
        let weigh = |f: &dyn Fn(Flow, f64) -> f64| {
            step_k / 6.0 * (k1 * f(a, full.c) + 2.0 * (k2 + k3) * f(b, mid_c) + k4 * f(c, end_c))
        };
        let passed_s = weigh(&|_, _| 1.0);
        let gone_kg = weigh(&|flow, _| flow.vapour_kg_s);
        self.energy_j += weigh(&|flow, _| flow.in_w);
        self.lost_j += weigh(&|flow, _| flow.out_w);
        self.vapour_j += weigh(&|flow, c| flow.vapour_kg_s * full.vapour_j_kg(c));
        self.time_s += passed_s;
        self.evaporated_kg += gone_kg;
        self.full.gone_kg += gone_kg;
        self.full.c = end_c;
        self.curve.push((self.time_s, end_c));
    }

    /// Holds the temperature for a time; the burner gives what is lost.
    pub(crate) fn hold(&mut self, hold_s: f64) -> Result<(), HeatError> {
        if hold_s <= 0.0 {
            return Ok(());
        }
        let flow = self.flow(self.full.c)?;
        if flow.net_w < 0.0 {
            return Err(never(self.full.c, self.settles_c(self.full.c)?));
        }
        let gone_kg = flow.vapour_kg_s * hold_s;
        self.full.gone_kg += gone_kg;
        self.full.food_now()?;
        self.evaporated_kg += gone_kg;
        self.lost_j += flow.out_w * hold_s;
        self.vapour_j += gone_kg * self.full.vapour_j_kg(self.full.c);
        self.energy_j += (flow.in_w - flow.net_w) * hold_s;
        self.time_s += hold_s;
        self.curve.push((self.time_s, self.full.c));
        Ok(())
    }

    /// Boils an amount of water off.
    pub(crate) fn boil_off(&mut self, water_kg: f64) -> Result<(), HeatError> {
        let step_kg = water_kg / BOIL_STEPS as f64;
        if step_kg <= 0.0 {
            return Ok(());
        }
        let mut net_w = self.boil_net_w(self.full.c)?;
        for _ in 0..BOIL_STEPS {
            let next_c = self.boils_c(self.full.gone_kg + step_kg)?;
            let next_w = self.boil_net_w(next_c)?;
            let needs_j = self.boil_needs_j(next_c, step_kg);
            self.boiled(next_c, step_kg, needs_j / (0.5 * (net_w + next_w)));
            net_w = next_w;
        }
        Ok(())
    }

    /// Boils for a time.
    pub(crate) fn boil_for(&mut self, seconds: f64) -> Result<(), HeatError> {
        let step_s = seconds / BOIL_STEPS as f64;
        if step_s <= 0.0 {
            return Ok(());
        }
        let mut net_w = self.boil_net_w(self.full.c)?;
        for _ in 0..BOIL_STEPS {
            let mut step_kg = net_w * step_s / self.full.latent_j_kg(self.full.c);
            let mut next_c = self.full.c;
            let mut next_w = net_w;
            for _ in 0..6 {
                next_c = self.boils_c(self.full.gone_kg + step_kg)?;
                next_w = self.boil_net_w(next_c)?;
                let given_j = 0.5 * (net_w + next_w) * step_s;
                step_kg *= given_j / self.boil_needs_j(next_c, step_kg);
            }
            self.boiled(next_c, step_kg, step_s);
            net_w = next_w;
        }
        Ok(())
    }

    /// Heat of boiling a little water off while the boil rises to `next_c` [J].
    fn boil_needs_j(&self, next_c: f64, step_kg: f64) -> f64 {
        let full = &self.full;
        let mid_c = 0.5 * (full.c + next_c);
        full.enthalpy_j(next_c, full.gone_kg + step_kg) - full.enthalpy_j(full.c, full.gone_kg)
            + step_kg * full.vapour_j_kg(mid_c)
    }

    fn boiled(&mut self, next_c: f64, step_kg: f64, step_s: f64) {
        let mid_c = 0.5 * (self.full.c + next_c);
        let in_j = self.in_w(mid_c) * step_s;
        let vapour_j = step_kg * self.full.vapour_j_kg(mid_c);
        self.energy_j += in_j;
        self.vapour_j += vapour_j;
        // What went neither into food and pot nor with the vapour.
        self.lost_j += in_j - self.boil_needs_j(next_c, step_kg);
        self.full.gone_kg += step_kg;
        self.evaporated_kg += step_kg;
        self.full.c = next_c;
        self.time_s += step_s;
        self.curve.push((self.time_s, next_c));
    }

    /// Heat into the pot [W].
    fn in_w(&self, c: f64) -> f64 {
        match self.pot.heating {
            Heating::Direct { into_pot_w } => into_pot_w,
            Heating::OverSteam {
                steam_c, burner_w, ..
            } => burner_w.min(self.steam_w_k() * (steam_c - c)),
        }
    }

    /// Conductance from steam to food [W/K].
    fn steam_w_k(&self) -> f64 {
        match self.pot.heating {
            Heating::Direct { .. } => 0.0,
            Heating::OverSteam {
                area_m2, u_w_m2k, ..
            } => {
                let share = if self.pot.stirred {
                    1.0
                } else {
                    UNSTIRRED_SHARE
                };
                share * u_w_m2k * area_m2
            }
        }
    }

    /// Temperature below which the burner, not the bowl, limits the steam's heat [°C].
    fn bend_c(&self) -> Option<f64> {
        match self.pot.heating {
            Heating::Direct { .. } => None,
            Heating::OverSteam {
                steam_c, burner_w, ..
            } => Some(steam_c - burner_w / self.steam_w_k()),
        }
    }

    /// What the surroundings do at a temperature below the boil.
    fn flow(&self, c: f64) -> Result<Flow, HeatError> {
        let in_w = self.in_w(c);
        if self.pot.surface_m2 <= 0.0 || c <= self.pot.room_c {
            return Ok(Flow {
                in_w,
                out_w: 0.0,
                vapour_kg_s: 0.0,
                net_w: in_w,
            });
        }
        let open = open_surface(
            self.pot.surface_m2,
            0.25 * self.pot.diameter_m,
            c,
            self.full.activity,
            WATER_EMISSIVITY,
            &self.around,
        )?;
        // Damp air over a dry food would condense: not this model's business.
        let vapour_kg_s = open.evaporation_kg_s.max(0.0);
        let out_w = open.convection_w + open.radiation_w;
        let net_w = in_w - out_w - vapour_kg_s * self.full.latent_j_kg(c);
        Ok(Flow {
            in_w,
            out_w,
            vapour_kg_s,
            net_w,
        })
    }

    /// Power left to boil water off [W]: at the boil its own vapour is the loss.
    fn boil_net_w(&self, c: f64) -> Result<f64, HeatError> {
        let flow = self.flow(c)?;
        let net_w = flow.in_w - flow.out_w;
        if net_w > 0.0 {
            Ok(net_w)
        } else {
            Err(never(c, self.settles_c(c)?))
        }
    }

    /// Temperature where the losses eat the heat [°C], below one where they do.
    fn settles_c(&self, above_c: f64) -> Result<f64, HeatError> {
        let (mut low, mut high) = (self.pot.room_c.min(self.full.c), above_c);
        for _ in 0..40 {
            let c = 0.5 * (low + high);
            if self.flow(c)?.net_w > 0.0 {
                low = c;
            } else {
                high = c;
            }
        }
        Ok(0.5 * (low + high))
    }
}

fn never(target: f64, limit: f64) -> HeatError {
    HeatError::NeverReaches {
        quantity: "pot",
        target,
        limit,
        unit: "°C",
    }
}

fn check(pot: &Pot) -> Result<(), HeatError> {
    let source = POT_HEATS.source;
    OutOfRange::check("open surface", pot.surface_m2, 0.0, 20.0, "m²", source)?;
    OutOfRange::check(
        "diameter of the surface",
        pot.diameter_m,
        0.0,
        5.0,
        "m",
        source,
    )?;
    OutOfRange::check(
        "heat capacity of the pot",
        pot.pot_j_k,
        0.0,
        1e6,
        "J/K",
        source,
    )?;
    OutOfRange::check("room", pot.room_c, 0.0, 50.0, "°C", source)?;
    match pot.heating {
        Heating::Direct { into_pot_w } => {
            OutOfRange::check("power into the pot", into_pot_w, 0.0, 1e6, "W", source)?;
        }
        Heating::OverSteam {
            steam_c,
            area_m2,
            u_w_m2k,
            burner_w,
        } => {
            OutOfRange::check("steam", steam_c, 40.0, 150.0, "°C", source)?;
            OutOfRange::check("area over steam", area_m2, 1e-5, 20.0, "m²", source)?;
            OutOfRange::check(
                "coefficient from steam",
                u_w_m2k,
                1.0,
                20_000.0,
                "W/(m² K)",
                source,
            )?;
            OutOfRange::check("power under the steam", burner_w, 0.0, 1e6, "W", source)?;
        }
    }
    Ok(())
}
