//! The charges of a food, per kg of its water.
//!
//! Every acid is a ladder of species, ammonium and sulfate too, every protein group a site; the
//! other ions are fixed. No ion is taken to pair with another: calcium citrate and its like are
//! not modelled.
//! Amounts are molal in the water present, so sugar drives the pH down as it should. Ions get
//! activity coefficients; protein groups have apparent pKs and get none.

use crate::acid::{ASPARTATE_SHARE, Shift, Step, water_step};
use crate::{ACIDS, Acid, Food, Ion, MatterError, SideChain, debye_huckel_a};

/// Salting-out of an acid without charge [kg/mol], by decimal logarithm (`phreeqc`).
const SALTING_OUT_KG_MOL: f64 = 0.1;
/// Molar mass of sodium chloride [kg/mol].
const SALT_KG_MOL: f64 = 0.058_443;
/// Bound on either iteration; the outer needs about eight, the inner about five.
pub(crate) const MAX_STEPS: usize = 60;

/// Ladders at most: every acid, and the ions that give or take a hydrogen ion.
const LADDERS: usize = ACIDS + 2;

#[derive(Clone, Copy, Default)]
struct Ladder {
    name: &'static str,
    molal: f64,
    k: [f64; 3],
    steps: usize,
    /// Charge of the form that holds every hydrogen ion.
    sour: i32,
}

impl Ladder {
    fn new(name: &'static str, molal: f64, sour: i32, steps: &[Step], shift: Shift) -> Self {
        let mut ladder = Self {
            name,
            molal,
            steps: steps.len(),
            sour,
            ..Self::default()
        };
        for (k, step) in ladder.k.iter_mut().zip(steps) {
            *k = shift.ln_k(step).exp();
        }
        ladder
    }

    /// Mean charge, and mean square of the charge, at a hydrogen-ion activity.
    fn charge(&self, h: f64, odd: &[f64; 4]) -> (f64, f64) {
        let sour = f64::from(self.sour);
        let (mut term, mut zeroth, mut first, mut second, mut charge) = (1.0, 1.0, sour, sour * sour, sour);
        let from = &odd[(1 - self.sour) as usize..];
        for (k, odd) in self.k[..self.steps].iter().zip(from) {
            term *= k * odd / h;
            charge -= 1.0;
            zeroth += term;
            first += charge * term;
            second += charge * charge * term;
        }
        (first / zeroth, second / zeroth)
    }
}

/// Charge, its slope by ln h, and the part of the ionic strength that moves, all per kg water.
#[derive(Clone, Copy)]
pub(crate) struct Charges {
    pub(crate) sum: f64,
    slope: f64,
    twice_ionic: f64,
}

/// Activity coefficients at one ionic strength.
#[derive(Clone, Copy)]
pub(crate) struct Activity {
    /// Of an ion of one charge.
    ion: f64,
    /// Of an acid without charge.
    neutral: f64,
}

impl Activity {
    /// What giving off a hydrogen ion at charge z multiplies by, gamma(z) / gamma(z - 1), for
    /// z = 1, 0, -1, -2; gamma(z) is that of one charge to the power z².
    fn steps(self) -> [f64; 4] {
        let gamma = self.ion;
        [
            gamma / self.neutral,
            self.neutral / gamma,
            gamma.powi(-3),
            gamma.powi(-5),
        ]
    }
}

/// A food's charges per kg of its water, ready to be balanced.
pub(crate) struct Solution {
    ladders: [Ladder; LADDERS],
    used: usize,
    /// Molal protein sites as (amount, K, charge of the bare site).
    sites: [(f64, f64, f64); 5],
    /// Strong ions named nowhere.
    pub(crate) strong: f64,
    /// Charge of the named ions that neither give nor take a hydrogen ion.
    named: f64,
    /// Ionic strength of those and of the salt.
    pub(crate) salt: f64,
    kw: f64,
    slope_a: f64,
}

impl Solution {
    /// Takes a food apart at a temperature [°C].
    pub(crate) fn of(food: &Food, at_c: f64) -> Result<Self, MatterError> {
        food.check()?;
        if food.water_kg <= 0.0 {
            return Err(MatterError::NoWater);
        }
        let shift = Shift::to(at_c)?;
        let per = 1.0 / food.water_kg;
        let mut ladders = [Ladder::default(); LADDERS];
        let mut used = 0;
        for (acid, &mol) in Acid::ALL.iter().zip(&food.acid_mol) {
            if mol > 0.0 {
                ladders[used] = Ladder::new(acid.words(), mol * per, 0, acid.steps(), shift);
                used += 1;
            }
        }
        let (mut named, mut salt) = (0.0, food.salt_kg * per / SALT_KG_MOL);
        for ion in Ion::ALL {
            let molal = food.minerals_mol.amount(ion) * per;
            if molal > 0.0 {
                if let Some((sour, steps)) = ion.step() {
                    ladders[used] = Ladder::new(ion.words(), molal, sour, steps, shift);
                    used += 1;
                } else {
                    named += molal * ion.charge();
                    salt += 0.5 * molal * ion.charge().powi(2);
                }
            }
        }
        let groups = food.groups_mol;
        let site = |mol: f64, chain: SideChain, bare: f64| (mol * per, 10f64.powf(-chain.pk()), bare);
        Ok(Self {
            ladders,
            used,
            sites: [
                site(groups.carboxyl * ASPARTATE_SHARE, SideChain::Aspartate, -1.0),
                site(groups.carboxyl * (1.0 - ASPARTATE_SHARE), SideChain::Glutamate, -1.0),
                site(groups.histidine, SideChain::Histidine, 0.0),
                site(groups.lysine, SideChain::Lysine, 0.0),
                site(groups.phosphate, SideChain::PhosphateEster, -2.0),
            ],
            strong: food.strong_ion_mol * per,
            named,
            salt,
            kw: shift.ln_k(water_step()).exp(),
            slope_a: debye_huckel_a(at_c)?,
        })
    }

    /// Activity coefficients at an ionic strength [mol/kg].
    pub(crate) fn activity(&self, ionic: f64) -> Activity {
        let root = ionic.sqrt();
        let log_ion = -self.slope_a * (root / (1.0 + root) - 0.3 * ionic);
        Activity {
            ion: (std::f64::consts::LN_10 * log_ion).exp(),
            neutral: (std::f64::consts::LN_10 * SALTING_OUT_KG_MOL * ionic).exp(),
        }
    }

    /// Charges at hydrogen-ion activity `h`, unnamed strong ions left out.
    pub(crate) fn charges(&self, h: f64, activity: Activity) -> Charges {
        let gamma = activity.ion;
        let hydrogen = h / gamma;
        let hydroxyl = self.kw / (h * gamma);
        let mut out = Charges {
            sum: self.named + hydrogen - hydroxyl,
            slope: hydrogen + hydroxyl,
            twice_ionic: hydrogen + hydroxyl,
        };
        let odd = activity.steps();
        for ladder in &self.ladders[..self.used] {
            let (mean, mean_square) = ladder.charge(h, &odd);
            out.sum += ladder.molal * mean;
            out.slope += ladder.molal * (mean_square - mean * mean);
            out.twice_ionic += ladder.molal * mean_square;
        }
        for (molal, k, bare) in self.sites {
            let held = h / (h + k);
            out.sum += molal * (bare + held);
            out.slope += molal * held * (1.0 - held);
        }
        out
    }

    /// Buffering [mol/kg] of each ladder by its name, of protein and of water itself.
    pub(crate) fn buffering(&self, h: f64, activity: Activity) -> Vec<(&'static str, f64)> {
        let ln_10 = std::f64::consts::LN_10;
        let odd = activity.steps();
        let mut held: Vec<(&'static str, f64)> = self.ladders[..self.used]
            .iter()
            .map(|ladder| {
                let (mean, mean_square) = ladder.charge(h, &odd);
                (ladder.name, ln_10 * ladder.molal * (mean_square - mean * mean))
            })
            .collect();
        let ions: f64 = (h + self.kw / h) / activity.ion;
        held.push(("water's own ions", ln_10 * ions));
        let rest = self.charges(h, activity).slope * ln_10 - held.iter().map(|(_, beta)| beta).sum::<f64>();
        if self.sites.iter().any(|(molal, ..)| *molal > 0.0) {
            held.push(("protein", rest));
        }
        held
    }

    /// The logarithm of the activity of hydrogen ions at which all charges cancel, for given
    /// coefficients, to `within` or (Newton's last step being the error) far better.
    pub(crate) fn neutral(&self, start: f64, activity: Activity, within: f64) -> Result<f64, MatterError> {
        // The sum of charges rises with ln h everywhere, so a bracketed Newton step is sure.
        let (mut low, mut high) = (LN_H_MIN, LN_H_MAX);
        let mut ln_h = start;
        let mut left = f64::INFINITY;
        for _ in 0..MAX_STEPS {
            let charges = self.charges(ln_h.exp(), activity);
            left = charges.sum + self.strong;
            if left > 0.0 {
                high = ln_h;
            } else {
                low = ln_h;
            }
            let newton = ln_h - left / charges.slope;
            let next = if newton > low && newton < high {
                newton
            } else {
                0.5 * (low + high)
            };
            let moved = (next - ln_h).abs();
            ln_h = next;
            if moved < within {
                return Ok(ln_h);
            }
        }
        Err(MatterError::NotSettled {
            solver: "charge balance",
            steps: MAX_STEPS,
            left,
        })
    }

    /// Ionic strength [mol/kg] of everything dissolved.
    pub(crate) fn ionic(&self, charges: Charges, strong: f64) -> f64 {
        0.5 * (charges.twice_ionic + strong.abs()) + self.salt
    }
}

/// pH 16 and pH -2, as natural logarithms of the activity.
const LN_H_MIN: f64 = -16.0 * std::f64::consts::LN_10;
const LN_H_MAX: f64 = 2.0 * std::f64::consts::LN_10;
