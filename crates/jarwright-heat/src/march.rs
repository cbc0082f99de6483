//! The steps of a pot: heating on temperature, boiling on water gone.

use jarwright_matter::Food;

use crate::HeatError;
use crate::pot::{Addition, Charge, Cook, Pot};
use crate::pot_flow::{Flow, Stand, never};
use crate::potful::Potful;

/// Longest step on the way up [K].
const STEP_K: f64 = 8.0;
/// A step may not shrink the net power below this share of what it was.
const KEEPS: f64 = 0.7;
/// Steps a heating stretch may take.
const MAX_STEPS: usize = 200;
/// Steps of a boil.
const BOIL_STEPS: usize = 12;

/// A pot under way.
pub(crate) struct March<'a> {
    stand: Stand<'a>,
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
        Ok(Self {
            stand: Stand::new(pot)?,
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
        let boils_c = self
            .full
            .boils_c(self.full.gone_kg, self.stand.pressure_pa())?;
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
            .boils_c(gone_kg, self.stand.pressure_pa())?
            .ok_or(HeatError::Matter(jarwright_matter::MatterError::NoWater))
    }

    fn heat(&mut self, target_c: f64) -> Result<(), HeatError> {
        let last = self.stand.flow(&self.full, target_c)?;
        if last.net_w <= 0.0 {
            return Err(self.stand.never(&self.full, target_c));
        }
        // Steam hands over the whole burner up to here; the bend must end a step.
        let bend_c = self
            .stand
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
        let mut here = self.stand.flow(&self.full, self.full.c)?;
        for _ in 0..MAX_STEPS {
            let left_k = end_c - self.full.c;
            let mut step_k = usual_k.min(left_k);
            if left_k - step_k < 0.01 * usual_k {
                step_k = left_k;
            }
            let mut there = self.stand.flow(&self.full, self.full.c + step_k)?;
            while there.net_w < KEEPS * here.net_w && step_k > 1e-3 * usual_k {
                step_k *= 0.5;
                there = self.stand.flow(&self.full, self.full.c + step_k)?;
            }
            let middle = self.stand.flow(&self.full, self.full.c + 0.5 * step_k)?;
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
        let flow = self.stand.flow(&self.full, self.full.c)?;
        if flow.net_w < 0.0 {
            return Err(self.stand.never(&self.full, self.full.c));
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
                let factor = given_j / self.boil_needs_j(next_c, step_kg);
                step_kg *= factor;
                if (factor - 1.0).abs() < 1e-8 {
                    break;
                }
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
        let in_j = self.stand.in_w(mid_c) * step_s;
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

    /// Power left to boil water off [W]: at the boil its own vapour is the loss.
    fn boil_net_w(&self, c: f64) -> Result<f64, HeatError> {
        let flow = self.stand.flow(&self.full, c)?;
        let net_w = flow.in_w - flow.out_w;
        if net_w > 0.0 {
            Ok(net_w)
        } else {
            Err(self.stand.never(&self.full, c))
        }
    }
}
