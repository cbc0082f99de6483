//! pH of a food from its charges.
//!
//! The pH is where the charges of `charges.rs` cancel; the ionic strength that the activity
//! coefficients need comes out of the same balance, so the two are iterated together.

use jarwright_figure::{Equation, OutOfRange};

use crate::charges::{MAX_STEPS, Solution};
use crate::{Acid, Food, MatterError};

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

/// Buffering.
pub static BUFFERING: Equation = Equation {
    key: "buffering",
    title: "What holds the pH",
    text: "beta = ln 10 x sum m (mean of n^2 - (mean of n)^2), n the hydrogen ions given off, for each acid at the pH",
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
/// End point of titrating juice and vinegar.
const TITRATION_END_PH: f64 = 8.1;
/// Ionic strength counts as settled at this change [mol/kg].
const SETTLED: f64 = 1e-9;

/// pH and ionic strength of a food.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// pH: negative decimal logarithm of the activity of hydrogen ions.
    pub ph: f64,
    /// Ionic strength [mol/kg water].
    pub ionic_strength_mol_kg: f64,
}

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
        let activity = solution.activity(on_the_way(ionic)?);
        // No finer than the ionic strength is known so far.
        ln_h = solution.neutral(ln_h, activity, (1e-3 * left).clamp(1e-9, 1e-3))?;
        let next = solution.ionic(solution.charges(ln_h.exp(), activity), solution.strong);
        left = (next - ionic).abs();
        ionic = next;
        if left < SETTLED {
            let ph = OutOfRange::check("pH", -ln_h / std::f64::consts::LN_10, -1.0, 15.0, "pH", "davies_1962")?;
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

/// An iteration may pass the limit before it settles below it.
fn on_the_way(ionic: f64) -> Result<f64, OutOfRange> {
    if ionic <= 2.0 * IONIC_STRENGTH_MAX {
        Ok(ionic)
    } else {
        limited(ionic)
    }
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

/// How far the pH of a solution of known acids and salts may be off [pH], either way.
///
/// ```text
/// 0.02 + 0.08 (I - 0.1)      0.02 below I = 0.1
/// ```
///
/// At I up to 0.1 mol/kg the standards of pH agree within 0.02; at 1.5 mol/kg the Davies
/// coefficients may shift a pH by 0.13. Foods with protein or unknown acids miss by more.
///
/// * `ionic_strength_mol_kg`: ionic strength [mol/kg], 0 to 1.5
///
/// # Source
/// `davies_1962` held against `staples_bates_1969` and the other standards.
#[must_use]
pub fn ph_miss(ionic_strength_mol_kg: f64) -> f64 {
    0.02 + 0.08 * (ionic_strength_mol_kg - 0.1).max(0.0)
}

/// What holds a food's pH: its buffering [mol/(kg water) for one pH], acid by acid, with the ions
/// of water itself, strongest first.
///
/// # Errors
/// Those of [`balance`].
///
/// # Source
/// `davies_1962`; the buffer value is -d(charge)/d(pH).
pub fn buffering(food: &Food, at_c: f64) -> Result<Vec<(&'static str, f64)>, MatterError> {
    let balance = balance(food, at_c)?;
    let solution = Solution::of(food, at_c)?;
    let mut held = solution.buffering(
        10f64.powf(-balance.ph),
        solution.activity(balance.ionic_strength_mol_kg),
    );
    held.sort_by(|a, b| b.1.total_cmp(&a.1));
    Ok(held)
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
    let h = 10f64.powf(-OutOfRange::check("pH", ph, 0.0, 14.0, "pH", "davies_1962")?);
    let mut ionic = solution.salt;
    let mut left = f64::INFINITY;
    for _ in 0..MAX_STEPS {
        let charges = solution.charges(h, solution.activity(on_the_way(ionic)?));
        let strong = -charges.sum;
        let next = solution.ionic(charges, strong);
        left = (next - ionic).abs();
        ionic = next;
        if left < SETTLED {
            limited(ionic)?;
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

    #[test]
    fn a_half_neutralised_acid_holds_the_ph_with_a_quarter_of_its_amount_in_nepers() -> Result<(), MatterError> {
        let held = buffering(&water_with(Acid::Acetic, 0.1, 0.05), 25.0)?;
        assert_eq!(held.first().map(|h| h.0), Some("acetic acid"));
        assert!(
            held.first()
                .is_some_and(|h| (h.1 - 0.25 * 0.1 * std::f64::consts::LN_10).abs() < 1e-4)
        );
        Ok(())
    }

    #[test]
    fn ammonia_and_hydrogen_sulfate_take_part() -> Result<(), MatterError> {
        let mut food = water_with(Acid::Acetic, 0.0, 0.0);
        food.minerals_mol.ammonium = 0.1;
        food.minerals_mol.chloride = 0.1;
        // As much ammonia as free hydrogen ion: a_H² = K m gamma², with log10 gamma = -0.11 at 0.1.
        assert!((ph(&food, 25.0)? - (0.5 * (9.245 + 1.0) + 0.11)).abs() < 0.01);
        let mut acid = water_with(Acid::Acetic, 0.0, 0.0);
        acid.minerals_mol.sulfate = 0.05;
        let one = ph(&acid, 25.0)?;
        // Two hydrogen ions were 1.00 before activity; one alone 1.30.
        assert!(one > 1.1 && one < 1.4, "{one}");
        Ok(())
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
