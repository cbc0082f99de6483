//! pH of a food from its charges.
//!
//! Every acid is a ladder of species, every protein group a site; strong ions are fixed. The
//! pH is where the charges cancel. Amounts are molal in the water present, so sugar drives the
//! pH down as it should. Ions get activity coefficients; protein groups have apparent pKs and
//! get none.

use jarwright_figure::{Equation, OutOfRange};

use crate::acid::{ASPARTATE_SHARE, Shift, water_step};
use crate::{ACIDS, Acid, Food, MatterError, SideChain, debye_huckel_a};

/// pH from the balance of charges.
pub static PH: Equation = Equation {
    key: "ph-charge-balance",
    title: "Equilibrium pH",
    text: "strong ions + H - OH - acid anions + charge of protein groups = 0, molal in the water present; \
           log10 gamma = -A z^2 (I^½/(1 + I^½) - 0.3 I), 0.1 I for acid without charge",
    source: "davies_1962",
};

/// Strong ions from a known pH.
pub static STRONG_ION: Equation = Equation {
    key: "strong-ions-from-ph",
    title: "Strong ions that give a food its pH",
    text: "strong ions = -(H - OH - acid anions + charge of protein groups) at the food's own pH",
    source: "davies_1962",
};

/// Titratable acidity.
pub static TITRATABLE_ACIDITY: Equation = Equation {
    key: "titratable-acidity",
    title: "Titratable acidity as citric acid",
    text: "TA = 100 x 0.192124/3 x (base to bring the food to pH 8.1 [mol]) / mass [kg]",
    source: "titration_end_point",
};

/// Greatest ionic strength taken [mol/kg]. The Davies equation serves to about 0.5; at 1.5, a
/// brine of 8 % salt, it shifts a pH by about 0.13.
const IONIC_STRENGTH_MAX: f64 = 1.5;
/// Salting-out of an acid without charge [kg/mol], by decimal logarithm (`phreeqc`).
const SALTING_OUT_KG_MOL: f64 = 0.1;
/// End point of titrating juice and vinegar.
const TITRATION_END_PH: f64 = 8.1;
/// Molar mass of sodium chloride [kg/mol].
const SALT_KG_MOL: f64 = 0.058_443;
/// Ionic strength counts as settled at this change [mol/kg].
const SETTLED: f64 = 1e-9;
/// Bound on the outer iteration; it needs about eight.
const MAX_STEPS: usize = 60;

/// pH and ionic strength of a food.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// pH: negative decimal logarithm of the activity of hydrogen ions.
    pub ph: f64,
    /// Ionic strength [mol/kg water].
    pub ionic_strength_mol_kg: f64,
}

#[derive(Clone, Copy, Default)]
struct Ladder {
    molal: f64,
    k: [f64; 3],
    steps: usize,
}

/// Charge, its slope by ln h, and the part of the ionic strength that moves, all per kg water.
#[derive(Clone, Copy)]
struct Charges {
    sum: f64,
    slope: f64,
    twice_ionic: f64,
}

/// Activity coefficients at one ionic strength.
#[derive(Clone, Copy)]
struct Activity {
    /// Of an ion of one charge.
    ion: f64,
    /// Of an acid without charge.
    neutral: f64,
}

/// A food's charges per kg of its water, ready to be balanced.
struct Solution {
    ladders: [Ladder; ACIDS],
    used: usize,
    /// Molal protein sites as (amount, K, charge of the bare site).
    sites: [(f64, f64, f64); 5],
    strong: f64,
    salt: f64,
    kw: f64,
    slope_a: f64,
}

impl Solution {
    fn of(food: &Food, at_c: f64) -> Result<Self, MatterError> {
        food.check()?;
        if food.water_kg <= 0.0 {
            return Err(MatterError::NoWater);
        }
        let shift = Shift::to(at_c)?;
        let per = 1.0 / food.water_kg;
        let mut ladders = [Ladder::default(); ACIDS];
        let mut used = 0;
        for (acid, &mol) in Acid::ALL.iter().zip(&food.acid_mol) {
            if mol > 0.0 {
                let steps = acid.steps();
                let mut ladder = Ladder {
                    molal: mol * per,
                    k: [0.0; 3],
                    steps: steps.len(),
                };
                for (k, step) in ladder.k.iter_mut().zip(steps) {
                    *k = shift.ln_k(step).exp();
                }
                ladders[used] = ladder;
                used += 1;
            }
        }
        let groups = food.groups_mol;
        let site =
            |mol: f64, chain: SideChain, bare: f64| (mol * per, 10f64.powf(-chain.pk()), bare);
        Ok(Self {
            ladders,
            used,
            sites: [
                site(
                    groups.carboxyl * ASPARTATE_SHARE,
                    SideChain::Aspartate,
                    -1.0,
                ),
                site(
                    groups.carboxyl * (1.0 - ASPARTATE_SHARE),
                    SideChain::Glutamate,
                    -1.0,
                ),
                site(groups.histidine, SideChain::Histidine, 0.0),
                site(groups.lysine, SideChain::Lysine, 0.0),
                site(groups.phosphate, SideChain::PhosphateEster, -2.0),
            ],
            strong: food.strong_ion_mol * per,
            salt: food.salt_kg * per / SALT_KG_MOL,
            kw: shift.ln_k(water_step()).exp(),
            slope_a: debye_huckel_a(at_c)?,
        })
    }

    fn activity(&self, ionic: f64) -> Activity {
        let root = ionic.sqrt();
        let log_ion = -self.slope_a * (root / (1.0 + root) - 0.3 * ionic);
        Activity {
            ion: (std::f64::consts::LN_10 * log_ion).exp(),
            neutral: (std::f64::consts::LN_10 * SALTING_OUT_KG_MOL * ionic).exp(),
        }
    }

    /// Charges at hydrogen-ion activity `h`, strong ions left out.
    fn charges(&self, h: f64, activity: Activity) -> Charges {
        let gamma = activity.ion;
        let hydrogen = h / gamma;
        let hydroxyl = self.kw / (h * gamma);
        let mut out = Charges {
            sum: hydrogen - hydroxyl,
            slope: hydrogen + hydroxyl,
            twice_ionic: hydrogen + hydroxyl,
        };
        // A step from charge -(i-1) to -i takes gamma^((i-1)² - i²), gamma being that of z = 1.
        let odd = [activity.neutral / gamma, gamma.powi(-3), gamma.powi(-5)];
        for ladder in &self.ladders[..self.used] {
            let (mut term, mut zeroth, mut first, mut second, mut charge) =
                (1.0, 1.0, 0.0, 0.0, 0.0);
            for (k, odd) in ladder.k[..ladder.steps].iter().zip(odd) {
                term *= k * odd / h;
                charge += 1.0;
                zeroth += term;
                first += charge * term;
                second += charge * charge * term;
            }
            let (mean, mean_square) = (first / zeroth, second / zeroth);
            out.sum -= ladder.molal * mean;
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

    /// The activity of hydrogen ions at which all charges cancel, for a given ionic strength.
    fn neutral(&self, start: f64, activity: Activity) -> Result<f64, MatterError> {
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
            if moved < 1e-10 {
                return Ok(ln_h);
            }
        }
        Err(MatterError::NotSettled {
            solver: "charge balance",
            steps: MAX_STEPS,
            left,
        })
    }

    fn ionic(&self, charges: Charges, strong: f64) -> f64 {
        0.5 * (charges.twice_ionic + strong.abs()) + self.salt
    }
}

/// pH 16 and pH -2, as natural logarithms of the activity.
const LN_H_MIN: f64 = -16.0 * std::f64::consts::LN_10;
const LN_H_MAX: f64 = 2.0 * std::f64::consts::LN_10;

/// pH and ionic strength of a food at a temperature.
///
/// ```text
/// strong ions + H - OH - acid anions + charge of protein groups = 0
/// log10 gamma = -A z^2 (I^½/(1 + I^½) - 0.3 I)      log10 gamma = 0.1 I without charge
/// ```
///
/// * `at_c`: temperature [°C], 0 to 100
///
/// # Errors
/// [`MatterError::NoWater`]; [`MatterError::NotAnAmount`]; [`OutOfRange`] for the temperature,
/// a pH outside -1 to 15 or an ionic strength above 1.5 mol/kg.
///
/// # Source
/// `davies_1962` for the coefficients of ions, with the later 0.3; `phreeqc` for acids without
/// charge.
pub fn balance(food: &Food, at_c: f64) -> Result<Balance, MatterError> {
    let solution = Solution::of(food, at_c)?;
    let mut ionic = solution.salt + 0.5 * solution.strong.abs();
    let mut ln_h = -4.0 * std::f64::consts::LN_10;
    let mut left = f64::INFINITY;
    for _ in 0..MAX_STEPS {
        let activity = solution.activity(limited(ionic)?);
        ln_h = solution.neutral(ln_h, activity)?;
        let next = solution.ionic(solution.charges(ln_h.exp(), activity), solution.strong);
        left = (next - ionic).abs();
        ionic = next;
        if left < SETTLED {
            let ph = OutOfRange::check(
                "pH",
                -ln_h / std::f64::consts::LN_10,
                -1.0,
                15.0,
                "pH",
                "davies_1962",
            )?;
            return Ok(Balance {
                ph,
                ionic_strength_mol_kg: limited(ionic)?,
            });
        }
    }
    Err(MatterError::NotSettled {
        solver: "ionic strength",
        steps: MAX_STEPS,
        left,
    })
}

fn limited(ionic: f64) -> Result<f64, OutOfRange> {
    OutOfRange::check(
        "ionic strength",
        ionic,
        0.0,
        IONIC_STRENGTH_MAX,
        "mol/kg",
        "davies_1962",
    )
}

/// pH of a food at a temperature; see [`balance`].
///
/// Good to about 0.02 in solutions of known acids and salts; 0.15 to 0.25 where egg or other
/// protein takes up acid. A computed pH explains; only a measured one releases.
///
/// # Errors
/// Those of [`balance`].
///
/// # Source
/// `davies_1962`.
pub fn ph(food: &Food, at_c: f64) -> Result<f64, MatterError> {
    Ok(balance(food, at_c)?.ph)
}

/// Ionic strength of a food [mol/kg water] at a temperature; see [`balance`].
///
/// # Errors
/// Those of [`balance`].
///
/// # Source
/// `davies_1962`.
pub fn ionic_strength(food: &Food, at_c: f64) -> Result<f64, MatterError> {
    Ok(balance(food, at_c)?.ionic_strength_mol_kg)
}

/// Strong ions [mol of charge] that give a food, taken alone, a known pH.
///
/// Whatever `strong_ion_mol` the food has now is left aside. This is how the native pH of an
/// egg white or the printed pH of a juice becomes an amount that adds.
///
/// * `ph`: pH of the food alone, 0 to 14
/// * `at_c`: temperature [°C], 0 to 100
///
/// # Errors
/// Those of [`balance`], and [`OutOfRange`] for the pH.
///
/// # Source
/// `davies_1962`.
pub fn strong_ion_for_ph(food: &Food, ph: f64, at_c: f64) -> Result<f64, MatterError> {
    let solution = Solution::of(food, at_c)?;
    let h = 10f64.powf(-OutOfRange::check(
        "pH",
        ph,
        0.0,
        14.0,
        "pH",
        "davies_1962",
    )?);
    let mut ionic = solution.salt;
    let mut left = f64::INFINITY;
    for _ in 0..MAX_STEPS {
        let charges = solution.charges(h, solution.activity(limited(ionic)?));
        let strong = -charges.sum;
        let next = solution.ionic(charges, strong);
        left = (next - ionic).abs();
        ionic = next;
        if left < SETTLED {
            return Ok(strong * food.water_kg);
        }
    }
    Err(MatterError::NotSettled {
        solver: "ionic strength",
        steps: MAX_STEPS,
        left,
    })
}

/// Titratable acidity [g citric acid in 100 g]: base that brings the food to pH 8.1, counted as
/// citric acid of three steps.
///
/// # Errors
/// Those of [`balance`].
///
/// # Source
/// `titration_end_point`.
pub fn titratable_acidity_pct_citric(food: &Food, at_c: f64) -> Result<f64, MatterError> {
    let base_mol = strong_ion_for_ph(food, TITRATION_END_PH, at_c)? - food.strong_ion_mol;
    Ok(100.0 * Acid::Citric.molar_mass_kg_mol() / 3.0 * base_mol / food.mass_kg())
}

impl Food {
    /// Titratable acidity [g citric acid in 100 g] at 25 °C.
    ///
    /// # Errors
    /// Those of [`balance`].
    pub fn titratable_acidity_pct_citric(&self) -> Result<f64, MatterError> {
        titratable_acidity_pct_citric(self, 25.0)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::Groups;

    fn water_with(acid: Acid, mol: f64, strong_ion_mol: f64) -> Food {
        let mut food = Food {
            water_kg: 1.0,
            strong_ion_mol,
            ..Food::default()
        };
        food.acid_mol[acid.index()] = mol;
        food
    }

    #[test]
    fn water_alone_is_neutral() {
        let food = Food {
            water_kg: 1.0,
            ..Food::default()
        };
        assert!(ph(&food, 25.0).is_ok_and(|ph| (ph - 13.995 / 2.0).abs() < 1e-6));
        assert_eq!(ph(&Food::default(), 25.0), Err(MatterError::NoWater));
    }

    #[test]
    fn a_half_neutralised_dilute_acid_stands_at_its_pk() {
        let food = water_with(Acid::Acetic, 0.002, 0.001);
        // A thousandth molal still costs 0.016 by activity, and 0.015 by free hydrogen ions.
        assert!(ph(&food, 25.0).is_ok_and(|ph| (ph - 4.756).abs() < 0.03));
    }

    #[test]
    fn a_fully_dissociated_strong_base_or_acid_has_its_own_ph() {
        let base = Food {
            water_kg: 1.0,
            strong_ion_mol: 1e-3,
            ..Food::default()
        };
        assert!(ph(&base, 25.0).is_ok_and(|ph| (ph - 10.98).abs() < 0.02));
        let acid = Food {
            water_kg: 1.0,
            strong_ion_mol: -1e-3,
            ..Food::default()
        };
        assert!(ph(&acid, 25.0).is_ok_and(|ph| (ph - 3.015).abs() < 0.01));
    }

    #[test]
    fn titrating_pure_citric_acid_finds_what_was_weighed() {
        let food = water_with(Acid::Citric, 0.25, 0.0);
        let percent = 100.0 * food.acid_kg() / food.mass_kg();
        // At pH 8.1 the third step is all but complete.
        assert!(
            food.titratable_acidity_pct_citric()
                .is_ok_and(|ta| (ta / percent - 1.0).abs() < 0.01)
        );
    }

    #[test]
    fn a_brine_beyond_the_activity_model_is_refused() {
        let brine = Food {
            water_kg: 1.0,
            salt_kg: 0.2,
            ..Food::default()
        };
        assert!(matches!(ph(&brine, 25.0), Err(MatterError::OutOfRange(_))));
        assert!(ph(&water_with(Acid::Citric, 0.1, 0.0), 101.0).is_err());
        assert!(ph(&water_with(Acid::Citric, f64::NAN, 0.0), 25.0).is_err());
        assert!(ph(&water_with(Acid::Citric, 0.1, f64::INFINITY), 25.0).is_err());
    }

    proptest! {
        #[test]
        fn strong_ions_found_from_a_ph_give_that_ph_back(
            citric in 0.0..0.4, carboxyl in 0.0..0.5, phosphate in 0.0..0.05, salt_kg in 0.0..0.03,
            native in 2.5..9.5, c in 0.0..100.0,
        ) {
            let mut food = water_with(Acid::Citric, citric, 0.0);
            food.groups_mol = Groups { carboxyl, histidine: 0.1 * carboxyl, lysine: 0.3 * carboxyl, phosphate };
            food.salt_kg = salt_kg;
            // A salt-heavy draw may leave the activity model: then both directions refuse.
            if let Ok(strong) = strong_ion_for_ph(&food, native, c) {
                food.strong_ion_mol = strong;
                let back = ph(&food, c).map_err(|e| TestCaseError::fail(e.to_string()))?;
                prop_assert!((back - native).abs() < 1e-6, "{back} for {native}");
            }
        }

        #[test]
        fn more_acid_lowers_and_more_potassium_raises_the_ph(
            which in 0usize..7, mol in 0.001..0.4, strong in 0.0..0.3, c in 0.0..100.0,
        ) {
            let acid = Acid::ALL[which];
            let of = |mol, strong| ph(&water_with(acid, mol, strong), c).unwrap_or(f64::NAN);
            let here = of(mol, strong);
            prop_assert!(of(mol * 1.1, strong) < here);
            prop_assert!(of(mol, strong + 0.01) > here);
        }

        #[test]
        fn the_size_of_the_batch_does_not_move_the_ph(mol in 0.001..0.4, factor in 0.01..100.0) {
            let food = water_with(Acid::Malic, mol, 0.02);
            let (one, many) = (ph(&food, 25.0), ph(&food.scaled(factor), 25.0));
            prop_assert!(one.is_ok_and(|one| many.is_ok_and(|many| (one - many).abs() < 1e-9)));
        }
    }
}
