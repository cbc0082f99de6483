//! Where a food begins to freeze, and how much of it is ice below.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError, water_activity_at};

/// Molar gas constant [J/(mol K)].
const GAS_J_MOL_K: f64 = 8.314_462_618;
/// Ice melts at [K].
const MELTS_K: f64 = 273.15;
/// Heat of melting of ice at 0 °C [J/mol].
const MELTING_J_MOL: f64 = 6009.5;
/// Heat capacity of water less that of ice [J/(mol K)].
const CAPACITY_J_MOL_K: f64 = 37.9;
/// Coldest temperature taken [°C]: below lies the glass of sugar syrups.
pub(crate) const COLDEST_C: f64 = -30.0;
/// Halvings of an interval; each gains a binary digit.
const MAX_STEPS: usize = 50;
/// A freezing point is found when the logarithms of the two activities agree to this; 1e-12 are
/// 1e-10 K.
const SETTLED_LN: f64 = 1e-13;
/// Water that protein holds back from freezing [kg/kg] (`ashrae_refrigeration_2006`, from memory).
const HELD_BY_PROTEIN: f64 = 0.4;
/// Sodium chloride in the water where salt and ice freeze out together, at -21.1 °C [mol/kg]:
/// 23.3 % (`crc_handbook`, from memory).
const SALT_EUTECTIC_MOL_KG: f64 = 5.2;
/// Molar mass of sodium chloride [kg/mol].
const SALT_KG_MOL: f64 = 0.058_443;

/// Freezing point of a food.
pub static FREEZES: Equation = Equation {
    key: "food-freezes",
    title: "Temperature at which a food begins to freeze",
    text: "ln a_w = Delta H/R (1/T_0 - 1/T) + Delta C_p/R (T_0/T - 1 + ln(T/T_0)) with T_0 = 273.15 K, Delta H = 6009.5 J/mol, Delta C_p = 37.9 J/(mol K)",
    source: "ice_melting",
};

/// Ice in a food.
pub static ICE: Equation = Equation {
    key: "ice-in-food",
    title: "Ice in a food below its freezing point",
    text: "ice = (water - 0.4 protein)(1 - w/water), w the water that keeps the rest of the food at its freezing point",
    source: "ice_melting",
};

/// Logarithm of the activity of water over ice at a temperature [°C].
fn ln_ice_activity(c: f64) -> f64 {
    let t = c + MELTS_K;
    let warm = MELTS_K / t;
    MELTING_J_MOL / GAS_J_MOL_K * (1.0 / MELTS_K - 1.0 / t) + CAPACITY_J_MOL_K / GAS_J_MOL_K * (warm - 1.0 - warm.ln())
}

/// Temperature [°C] at which ice first forms in a food.
///
/// ```text
/// ln aw = dH/R (1/T0 - 1/T) + dCp/R (T0/T - 1 + ln(T/T0))
/// ```
///
/// # Errors
/// Those of [`water_activity_at`]; [`MatterError::NoIce`] where it freezes below -30 °C.
///
/// # Source
/// `ice_melting`, from memory.
pub fn food_freezes_c(food: &Food) -> Result<f64, MatterError> {
    // A salt's activity moves little with temperature, so one root lies between.
    let above_ice = |c: f64| Ok::<_, MatterError>(water_activity_at(food, c)?.ln() - ln_ice_activity(c));
    let (mut cold, mut warm) = (COLDEST_C, 0.0);
    let (mut at_cold, mut at_warm) = (above_ice(cold)?, above_ice(warm)?);
    if at_cold <= 0.0 {
        return Err(MatterError::NoIce { coldest_c: COLDEST_C });
    }
    // The chord between the ends; an end that stays twice counts half (Illinois rule).
    let mut kept = 0;
    for _ in 0..MAX_STEPS {
        if at_warm >= 0.0 {
            break;
        }
        let middle = (cold * at_warm - warm * at_cold) / (at_warm - at_cold);
        let at_middle = above_ice(middle)?;
        if at_middle.abs() < SETTLED_LN {
            return Ok(middle);
        }
        if at_middle > 0.0 {
            (cold, at_cold) = (middle, at_middle);
            at_warm *= if kept == 1 { 0.5 } else { 1.0 };
            kept = 1;
        } else {
            (warm, at_warm) = (middle, at_middle);
            at_cold *= if kept == -1 { 0.5 } else { 1.0 };
            kept = -1;
        }
    }
    Ok(warm)
}

/// Ice [kg] in a food at a temperature, at equilibrium: as water freezes out, the rest thickens
/// until it freezes no further.
///
/// ```text
/// ice = (water - 0.4 protein)(1 - w/water)
/// ```
///
/// Sugar and salt do not crystallise here: down to the eutectic of salt, and above the glass of
/// syrups, both usual in a freezer. Protein holds back 0.4 of its mass.
///
/// * `at_c`: temperature [°C], -30 to 100
///
/// # Errors
/// [`OutOfRange`] outside that, and where the unfrozen rest holds more than 5.2 mol/kg of salt
/// (below -21.1 °C) or leaves the range of [`water_activity_at`].
///
/// # Source
/// `ice_melting` for the equilibrium; `ashrae_refrigeration_2006` for the water held by protein.
pub fn ice_kg(food: &Food, at_c: f64) -> Result<f64, MatterError> {
    let c = OutOfRange::check("temperature", at_c, COLDEST_C, 100.0, "°C", "ice_melting")?;
    food.check()?;
    if food.water_kg <= 0.0 || c >= 0.0 {
        return Ok(0.0);
    }
    let target = ln_ice_activity(c);
    let left = |share: f64| Food {
        water_kg: share * food.water_kg,
        ..food.clone()
    };
    let thick = |share: f64| water_activity_at(&left(share), c).map(|aw| aw.ln() <= target);
    if thick(1.0)? {
        return Ok(0.0);
    }
    // Where water is too scarce for the equations, the rest counts as thick enough.
    let (mut dry, mut wet) = (0.0, 1.0);
    for _ in 0..MAX_STEPS {
        let middle = 0.5 * (dry + wet);
        if thick(middle).unwrap_or(true) {
            dry = middle;
        } else {
            wet = middle;
        }
    }
    let rest = left(wet);
    if dry > 0.0 && (water_activity_at(&rest, c)?.ln() - target).abs() > 1e-6 {
        // The equations ended first: their own refusal says where.
        water_activity_at(&left(dry), c)?;
    }
    let salt = food.salt_kg + SALT_KG_MOL * food.minerals_mol.sodium.min(food.minerals_mol.chloride);
    OutOfRange::check(
        "salt in the unfrozen water",
        if rest.water_kg > 0.0 {
            salt / SALT_KG_MOL / rest.water_kg
        } else {
            0.0
        },
        0.0,
        SALT_EUTECTIC_MOL_KG,
        "mol/kg",
        "crc_handbook",
    )?;
    let held = (HELD_BY_PROTEIN * food.protein_kg).min(food.water_kg);
    Ok((food.water_kg - held) * (1.0 - wet))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn water_freezes_at_zero() {
        let water = Food {
            water_kg: 1.0,
            ..Food::default()
        };
        assert!(food_freezes_c(&water).is_ok_and(|c| c.abs() < 1e-9));
    }

    #[test]
    fn a_dilute_solution_freezes_by_the_molal_constant() {
        // Kf 1.86 K kg/mol: 0.05 mol/kg of hexose.
        let juice = Food {
            water_kg: 1.0,
            hexose_kg: 0.05 * 0.180_156,
            ..Food::default()
        };
        assert!(food_freezes_c(&juice).is_ok_and(|c| (c + 0.05 * 1.86).abs() < 5e-4));
    }

    proptest! {
        #[test]
        fn the_rest_of_a_freezing_food_is_at_its_freezing_point(
            sucrose_kg in 0.02..1.0, salt_kg in 0.0..0.02, c in -20.0..-0.5,
        ) {
            let food = Food { water_kg: 1.0, sucrose_kg, salt_kg, ..Food::default() };
            let ice = ice_kg(&food, c).map_err(|e| TestCaseError::fail(e.to_string()))?;
            if ice > 0.0 {
                let rest = food.minus_water(ice).and_then(|rest| food_freezes_c(&rest));
                prop_assert!(rest.is_ok_and(|at| (at - c).abs() < 1e-3));
            } else {
                prop_assert!(food_freezes_c(&food).is_ok_and(|at| at <= c + 1e-9));
            }
        }

        #[test]
        fn colder_means_more_ice(sucrose_kg in 0.0..1.0, protein_kg in 0.0..0.3, c in -29.0..-0.1) {
            let food = Food { water_kg: 1.0, sucrose_kg, protein_kg, ..Food::default() };
            let (here, colder) = (ice_kg(&food, c), ice_kg(&food, c - 1.0));
            prop_assert!(here.is_ok_and(|here| colder.is_ok_and(|colder| colder >= here)));
        }
    }

    #[test]
    fn pure_water_freezes_whole_and_protein_holds_some_back() {
        let water = |protein_kg| Food {
            water_kg: 1.0,
            protein_kg,
            ..Food::default()
        };
        assert!(ice_kg(&water(0.0), -0.01).is_ok_and(|kg| (kg - 1.0).abs() < 1e-9));
        assert!(ice_kg(&water(0.5), -10.0).is_ok_and(|kg| (kg - 0.8).abs() < 1e-9));
        assert!(ice_kg(&water(0.0), 20.0).is_ok_and(|kg| kg.abs() < 1e-12));
    }

    #[test]
    fn a_brine_below_its_eutectic_and_a_glass_are_refused() {
        let brine = Food {
            water_kg: 0.95,
            salt_kg: 0.05,
            ..Food::default()
        };
        assert!(ice_kg(&brine, -18.0).is_ok_and(|kg| kg > 0.7 && kg < 0.8));
        assert!(matches!(ice_kg(&brine, -25.0), Err(MatterError::OutOfRange(_))));
        assert!(matches!(ice_kg(&brine, -40.0), Err(MatterError::OutOfRange(_))));
    }

    #[test]
    fn more_sugar_freezes_lower_until_the_range_ends() {
        let syrup = |sucrose_kg| {
            food_freezes_c(&Food {
                water_kg: 1.0,
                sucrose_kg,
                ..Food::default()
            })
        };
        let points: Vec<f64> = (1..15).filter_map(|i| syrup(0.1 * f64::from(i)).ok()).collect();
        assert_eq!(points.len(), 14);
        assert!(points.windows(2).all(|two| two[1] < two[0]));
        assert!(matches!(syrup(5.0), Err(MatterError::NoIce { .. })));
    }
}
