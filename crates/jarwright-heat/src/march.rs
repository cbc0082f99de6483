//! The steps of a pot: heating on temperature, boiling on water gone.

use jarwright_matter::{Food, MatterError, water_boils_c};

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

/// Share of the heat that may still warm a pot said to stand: the last degrees take for ever.
const STANDS: f64 = 0.01;
/// Share of the water that goes off before the water activity is computed anew.
const THICKENS: f64 = 0.01;
/// A pot that stands further below its boil does not simmer, and no minutes of boiling count [K].
const SIMMERS_WITHIN_K: f64 = 10.0;
/// Water that a day does not take off never goes off [s].
const A_DAY_S: f64 = 86_400.0;
/// Turns that a root may take.
const ROOT_STEPS: usize = 60;
/// Share of the heat by which a root may miss.
const ROOT_SHARE: f64 = 1e-5;

/// A step on temperature.
struct Step {
    end_c: f64,
    passed_s: f64,
    gone_kg: f64,
    in_j: f64,
    out_j: f64,
    vapour_j: f64,
}

/// Where a pot stands after a step on water gone.
struct Next {
    c: f64,
    /// Where it would boil.
    boils_c: f64,
    /// Whether it does.
    boils: bool,
    /// Heat that air and walls leave for food and vapour [W].
    net_w: f64,
    /// What the quiet surface sends off [kg/s].
    vapour_kg_s: f64,
}

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
    boils: bool,
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
            boils: true,
            curve: vec![(0.0, charge.start_c)],
        })
    }

    /// Water gone since the last addition [kg].
    pub(crate) fn gone_kg(&self) -> f64 {
        self.full.gone_kg
    }

    /// The pot got where it was asked without a boil.
    pub(crate) fn never_boiled(&mut self) {
        self.boils = false;
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
            boils: self.boils,
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
        let boils_c = self.full.boils_c(self.full.gone_kg, self.stand.pressure_pa())?;
        if let Some(limit) = boils_c.filter(|&c| c < target_c) {
            return Err(never(target_c, limit));
        }
        self.heat(target_c, f64::INFINITY)?;
        Ok(())
    }

    /// Heats until the pot boils, or stands below its boil as hot as the heat keeps it, or until
    /// so much water in all has gone. Whether the water has gone is the answer.
    pub(crate) fn heat_until(&mut self, gone_kg: f64) -> Result<bool, HeatError> {
        // Water that goes off on the way lifts the boil a little: meet it again.
        for _ in 0..4 {
            self.full.activity = self.full.activity_at(self.full.gone_kg)?;
            let stands_c = self.stands_c()?;
            if stands_c - self.full.c <= 1e-6 {
                return Ok(false);
            }
            if self.heat(stands_c, gone_kg)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The boil, or where all but a hair of the heat goes off through the surface [°C].
    fn stands_c(&self) -> Result<f64, HeatError> {
        let boils_c = self.boils_c(self.full.gone_kg)?;
        let left_w = |c: f64| -> Result<f64, HeatError> {
            let flow = self.stand.flow(&self.full, c)?;
            Ok(flow.net_w - STANDS * flow.in_w)
        };
        if left_w(boils_c)? >= 0.0 {
            return Ok(boils_c);
        }
        let low_c = self.stand.room_c().min(boils_c);
        let within_w = ROOT_SHARE * self.stand.in_w(boils_c);
        falling_root(low_c, boils_c, within_w, left_w)
    }

    fn boils_c(&self, gone_kg: f64) -> Result<f64, HeatError> {
        self.full
            .boils_c(gone_kg, self.stand.pressure_pa())?
            .ok_or(HeatError::Matter(MatterError::NoWater))
    }

    fn heat(&mut self, target_c: f64, gone_kg: f64) -> Result<bool, HeatError> {
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
            if self.climb(end_c, gone_kg)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Climbs to a temperature in steps of fourth order on temperature, or until so much water
    /// has gone; whether it has is the answer.
    fn climb(&mut self, end_c: f64, gone_kg: f64) -> Result<bool, HeatError> {
        let from_s = self.time_s;
        let stretch_k = end_c - self.full.c;
        let usual_k = stretch_k / (stretch_k / STEP_K).ceil();
        let mut here = self.stand.flow(&self.full, self.full.c)?;
        let mut thinner_kg = self.full.gone_kg;
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
            let step = self.step(step_k, [here, middle, there]);
            if self.full.gone_kg + step.gone_kg >= gone_kg {
                self.climb_to_gone(step_k, here, gone_kg)?;
                self.heating_s += self.time_s - from_s;
                return Ok(true);
            }
            self.take(&step);
            here = there;
            if end_c - self.full.c <= 1e-9 {
                self.full.c = end_c;
                self.heating_s += self.time_s - from_s;
                return Ok(false);
            }
            if self.full.gone_kg - thinner_kg > THICKENS * self.full.water_kg() {
                thinner_kg = self.full.gone_kg;
                self.full.activity = self.full.activity_at(thinner_kg)?;
                here = self.stand.flow(&self.full, self.full.c)?;
            }
        }
        Err(HeatError::TooManySteps {
            solver: "pot",
            time_s: self.time_s,
            steps: MAX_STEPS,
        })
    }

    /// The part of a step in which the water asked for goes off.
    fn climb_to_gone(&mut self, step_k: f64, here: Flow, gone_kg: f64) -> Result<(), HeatError> {
        let part = |share: f64| -> Result<Step, HeatError> {
            let k = share * step_k;
            let middle = self.stand.flow(&self.full, self.full.c + 0.5 * k)?;
            let there = self.stand.flow(&self.full, self.full.c + k)?;
            Ok(self.step(k, [here, middle, there]))
        };
        let share = falling_root(0.0, 1.0, 1e-9 * gone_kg, |share| {
            Ok(gone_kg - self.full.gone_kg - part(share)?.gone_kg)
        })?;
        let step = part(share)?;
        self.take(&step);
        Ok(())
    }

    /// One step on temperature. Only the heat capacity depends on the water gone.
    fn step(&self, step_k: f64, [a, b, c]: [Flow; 3]) -> Step {
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
        Step {
            end_c,
            passed_s: weigh(&|_, _| 1.0),
            gone_kg: weigh(&|flow, _| flow.vapour_kg_s),
            in_j: weigh(&|flow, _| flow.in_w),
            out_j: weigh(&|flow, _| flow.out_w),
            vapour_j: weigh(&|flow, c| flow.vapour_kg_s * full.vapour_j_kg(c)),
        }
    }

    fn take(&mut self, step: &Step) {
        self.energy_j += step.in_j;
        self.lost_j += step.out_j;
        self.vapour_j += step.vapour_j;
        self.time_s += step.passed_s;
        self.evaporated_kg += step.gone_kg;
        self.full.gone_kg += step.gone_kg;
        self.full.c = step.end_c;
        self.curve.push((self.time_s, step.end_c));
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

    /// Takes an amount of water off, at the boil or as hot below it as the heat keeps the pot.
    pub(crate) fn boil_off(&mut self, water_kg: f64) -> Result<(), HeatError> {
        let step_kg = water_kg / BOIL_STEPS as f64;
        if step_kg <= 0.0 {
            return Ok(());
        }
        let from_s = self.time_s;
        let mut net_w = self.dry_net_w()?;
        for _ in 0..BOIL_STEPS {
            let next = self.next(net_w, step_kg, |flow| step_kg / flow.vapour_kg_s)?;
            let step_s = if next.boils {
                self.boil_needs_j(next.c, step_kg) / (0.5 * (net_w + next.net_w))
            } else {
                step_kg / next.vapour_kg_s
            };
            if !next.boils && self.time_s + step_s - from_s > A_DAY_S {
                return Err(self.stand.never(&self.full, next.boils_c));
            }
            self.boiled(&next, step_kg, step_s.max(0.0));
            net_w = next.net_w;
        }
        Ok(())
    }

    /// Boils for a time, or stands just below the boil for it.
    pub(crate) fn boil_for(&mut self, seconds: f64) -> Result<(), HeatError> {
        let step_s = seconds / BOIL_STEPS as f64;
        if step_s <= 0.0 {
            return Ok(());
        }
        let mut net_w = self.dry_net_w()?;
        for _ in 0..BOIL_STEPS {
            let mut step_kg = net_w.max(0.0) * step_s / self.full.latent_j_kg(self.full.c);
            let mut next = self.next(net_w, step_kg, |_| step_s)?;
            for _ in 0..6 {
                let factor = if next.boils {
                    let given_j = 0.5 * (net_w + next.net_w) * step_s;
                    given_j / self.boil_needs_j(next.c, step_kg)
                } else {
                    next.vapour_kg_s * step_s / step_kg
                };
                if !factor.is_finite() || factor <= 0.0 {
                    return Err(self.stand.never(&self.full, next.boils_c));
                }
                if (factor - 1.0).abs() < 2.0 * ROOT_SHARE {
                    break;
                }
                step_kg *= factor;
                next = self.next(net_w, step_kg, |_| step_s)?;
            }
            if !next.boils && next.c < next.boils_c - SIMMERS_WITHIN_K {
                return Err(self.stand.never(&self.full, next.boils_c));
            }
            self.boiled(&next, step_kg, step_s);
            net_w = next.net_w;
        }
        Ok(())
    }

    /// Where the pot stands once a little more water has gone: at its boil if the heat left
    /// there is more than the quiet surface sends off in the time `takes_s`, else where the heat
    /// in that time is what food, air and vapour took.
    fn next(&self, net_w: f64, step_kg: f64, takes_s: impl Fn(&Flow) -> f64) -> Result<Next, HeatError> {
        let gone_kg = self.full.gone_kg + step_kg;
        let activity = self.full.activity_at(gone_kg)?;
        if activity <= 0.0 {
            return Err(HeatError::Matter(MatterError::NoWater));
        }
        let boils_c = water_boils_c(self.stand.pressure_pa() / activity)?;
        let stand = |c: f64, flow: &Flow, boils: bool| Next {
            c,
            boils_c,
            boils,
            net_w: flow.in_w - flow.out_w,
            vapour_kg_s: flow.vapour_kg_s,
        };
        // More than the food, the pot and the vapour need: the pot gets hotter.
        let spare_j = |c: f64, flow: &Flow, from_w: f64| {
            let step_s = takes_s(flow);
            let vapour_kg = flow.vapour_kg_s * step_s;
            0.5 * (from_w + flow.in_w - flow.out_w) * step_s - self.boil_needs_j(c, vapour_kg)
        };
        let at_boil = self.stand.flow_of(&self.full, activity, boils_c)?;
        let boiling = stand(boils_c, &at_boil, true);
        if boiling.net_w > 0.0 && spare_j(boils_c, &at_boil, net_w) >= 0.0 {
            return Ok(boiling);
        }
        let spare_w = |c: f64| -> Result<f64, HeatError> {
            let flow = self.stand.flow_of(&self.full, activity, c)?;
            // No vapour at all would take for ever: the root lies above.
            if flow.vapour_kg_s <= 0.0 {
                return Ok(f64::MAX);
            }
            Ok(spare_j(c, &flow, flow.in_w - flow.out_w) / takes_s(&flow))
        };
        // Most often it is a little hotter than before.
        let room_c = self.stand.room_c().min(boils_c);
        let here_c = self.full.c.clamp(room_c, boils_c);
        let within_w = ROOT_SHARE * at_boil.in_w;
        let c = if spare_w(here_c)? > 0.0 {
            falling_root(here_c, boils_c, within_w, spare_w)?
        } else {
            falling_root(room_c, here_c, within_w, spare_w)?
        };
        let flow = self.stand.flow_of(&self.full, activity, c)?;
        Ok(stand(c, &flow, false))
    }

    /// Heat of boiling a little water off while the boil rises to `next_c` [J].
    fn boil_needs_j(&self, next_c: f64, step_kg: f64) -> f64 {
        let full = &self.full;
        let mid_c = 0.5 * (full.c + next_c);
        full.enthalpy_j(next_c, full.gone_kg + step_kg) - full.enthalpy_j(full.c, full.gone_kg)
            + step_kg * full.vapour_j_kg(mid_c)
    }

    fn boiled(&mut self, next: &Next, step_kg: f64, step_s: f64) {
        let mid_c = 0.5 * (self.full.c + next.c);
        let in_j = self.stand.in_w(mid_c) * step_s;
        self.energy_j += in_j;
        self.vapour_j += step_kg * self.full.vapour_j_kg(mid_c);
        // What went neither into food and pot nor with the vapour.
        self.lost_j += in_j - self.boil_needs_j(next.c, step_kg);
        self.full.gone_kg += step_kg;
        self.evaporated_kg += step_kg;
        self.full.c = next.c;
        self.time_s += step_s;
        self.boils &= next.boils;
        self.curve.push((self.time_s, next.c));
    }

    /// Heat that air and walls leave for food and vapour [W].
    fn dry_net_w(&self) -> Result<f64, HeatError> {
        let flow = self.stand.flow(&self.full, self.full.c)?;
        Ok(flow.in_w - flow.out_w)
    }
}

/// Where a falling function is within a hair of zero, `low` if it is below from the start: false
/// position with halved ends (Illinois), and a halving of the bracket every fourth time, so that
/// a jump in the function costs no more than a bend.
fn falling_root(
    mut low: f64,
    mut high: f64,
    within: f64,
    f: impl Fn(f64) -> Result<f64, HeatError>,
) -> Result<f64, HeatError> {
    let (mut at_low, mut at_high) = (f(low)?, f(high)?);
    if at_low <= within {
        return Ok(low);
    }
    if at_high >= -within {
        return Ok(high);
    }
    let least = 1e-8 * (high - low);
    let mut kept = 0;
    for turn in 1..=ROOT_STEPS {
        let share = at_low / (at_low - at_high);
        let share = if turn % 4 == 0 || !share.is_finite() {
            0.5
        } else {
            share
        };
        let middle = low + share * (high - low);
        let here = f(middle)?;
        if here.abs() <= within || high - low <= least {
            return Ok(middle);
        }
        if here > 0.0 {
            (low, at_low) = (middle, here);
            at_high *= if kept > 0 { 0.5 } else { 1.0 };
            kept = 1;
        } else {
            (high, at_high) = (middle, here);
            at_low *= if kept < 0 { 0.5 } else { 1.0 };
            kept = -1;
        }
    }
    Ok(0.5 * (low + high))
}
