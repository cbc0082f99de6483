//! Where a food begins to freeze.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError, water_activity};

/// Molar gas constant [J/(mol K)].
const GAS_J_MOL_K: f64 = 8.314_462_618;
/// Ice melts at [K].
const MELTS_K: f64 = 273.15;
/// Heat of melting of ice at 0 °C [J/mol].
const MELTING_J_MOL: f64 = 6009.5;
/// Heat capacity of water less that of ice [J/(mol K)].
const CAPACITY_J_MOL_K: f64 = 37.9;
/// Bound on Newton steps; it needs about five.
const MAX_STEPS: usize = 40;

/// Freezing point of a food.
pub static FREEZES: Equation = Equation {
    key: "food-freezes",
    title: "Temperature at which a food begins to freeze",
    text: "ln aw = dH/R (1/T0 - 1/T) + dCp/R (T0/T - 1 + ln(T/T0)) with T0 = 273.15 K, dH = 6009.5 J/mol, dCp = 37.9 J/(mol K)",
    source: "ice_melting",
};

/// Temperature [°C] at which ice first forms in a food.
///
/// ```text
/// ln aw = dH/R (1/T0 - 1/T) + dCp/R (T0/T - 1 + ln(T/T0))
/// ```
///
/// # Errors
/// Those of [`water_activity()`]; [`OutOfRange`] below -30 °C.
///
/// # Source
/// `ice_melting`, from memory.
pub fn food_freezes_c(food: &Food) -> Result<f64, MatterError> {
    let target = water_activity(food)?.ln();
    let mut t = MELTS_K;
    for _ in 0..MAX_STEPS {
        let warm = MELTS_K / t;
        let ln_aw = MELTING_J_MOL / GAS_J_MOL_K * (1.0 / MELTS_K - 1.0 / t)
            + CAPACITY_J_MOL_K / GAS_J_MOL_K * (warm - 1.0 - warm.ln());
        let slope = (MELTING_J_MOL + CAPACITY_J_MOL_K * (t - MELTS_K)) / (GAS_J_MOL_K * t * t);
        let left = target - ln_aw;
        t += left / slope;
        if left.abs() < 1e-12 {
            let c = t - MELTS_K;
            return Ok(OutOfRange::check(
                "freezing point",
                c,
                -30.0,
                0.001,
                "°C",
                "ice_melting",
            )?);
        }
        // Far below the range the slope changes sign: refuse before that.
        if t < 200.0 {
            let got = t - MELTS_K;
            let refused = OutOfRange {
                quantity: "freezing point",
                got,
                min: -30.0,
                max: 0.0,
                unit: "°C",
                source: "ice_melting",
            };
            return Err(refused.into());
        }
    }
    Err(MatterError::NotSettled {
        solver: "freezing point",
        steps: MAX_STEPS,
        left: target,
    })
}

#[cfg(test)]
mod tests {
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
        assert!(matches!(syrup(5.0), Err(MatterError::OutOfRange(_))));
    }
}
