//! Heat of a food that freezes or thaws: ice, properties with it, enthalpy, apparent heat capacity.

use jarwright_figure::{Equation, OutOfRange};

use crate::freezing::COLDEST_C;
use crate::thermal::heat_content_j;
use crate::{Food, MatterError, Mixing, Thermal, ice_kg, thermal_by, thermal_with_ice};

/// Enthalpy of a food.
pub static ENTHALPY: Equation = Equation {
    key: "food-enthalpy",
    title: "Enthalpy of a food, frozen or not",
    text: "H = sum x_i integral of c_(p,i) dT from 0 °C to T - x_ice 333.6 kJ/kg; apparent c_p = dH/dT",
    source: "choi_okos_1986",
};

/// Heat of melting of ice at 0 °C [J/kg] (`ashrae_refrigeration_2006`).
const MELTING_J_KG: f64 = 333.6e3;
/// Half the step over which the apparent heat capacity is taken [K].
const HALF_STEP_K: f64 = 0.005;

/// A food at a temperature, with its ice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frozen {
    /// Ice, share of the food's water [-].
    pub ice_share_of_water: f64,
    /// Conductivity, density and sensible heat capacity: what the ice and the rest hold without
    /// freezing or melting.
    pub thermal: Thermal,
    /// Heat that warms by a kelvin, melting with it [J/(kg K)].
    pub apparent_heat_capacity_j_kgk: f64,
    /// Heat above the same food at 0 °C with no ice in it [J/kg].
    pub enthalpy_j_kg: f64,
}

impl Frozen {
    /// Thermal diffusivity [m²/s] with the apparent heat capacity: how a freezing front crawls.
    #[must_use]
    pub fn apparent_diffusivity_m2_s(&self) -> f64 {
        self.thermal.conductivity_w_mk / (self.thermal.density_kg_m3 * self.apparent_heat_capacity_j_kgk)
    }
}

/// A food at a temperature with the ice it holds at equilibrium.
///
/// Heat of mixing is left out: it is small beside the heat of melting.
///
/// * `at_c`: temperature [°C], -30 to 100
///
/// # Errors
/// Those of [`ice_kg`] and [`thermal_with_ice`].
///
/// # Source
/// `choi_okos_1986` for the components with ice; `ice_melting` for the amount of ice.
pub fn frozen(food: &Food, at_c: f64, mixing: Mixing) -> Result<Frozen, MatterError> {
    let ice = ice_kg(food, at_c)?;
    let thermal = if at_c < 0.0 {
        thermal_with_ice(food, ice, at_c, mixing)?
    } else {
        thermal_by(food, at_c, mixing)?
    };
    let below = (at_c - HALF_STEP_K).max(COLDEST_C);
    let above = at_c + HALF_STEP_K;
    let rise = enthalpy_j_kg(food, above)? - enthalpy_j_kg(food, below)?;
    Ok(Frozen {
        ice_share_of_water: if food.water_kg > 0.0 { ice / food.water_kg } else { 0.0 },
        thermal,
        apparent_heat_capacity_j_kgk: rise / (above - below),
        enthalpy_j_kg: enthalpy_j_kg(food, at_c)?,
    })
}

/// Enthalpy [J/kg] of a food above the same food at 0 °C with no ice in it.
///
/// ```text
/// H = sum x_i integral of cp_i from 0 °C to T - x_ice L
/// ```
///
/// * `at_c`: temperature [°C], -30 to 100
///
/// # Errors
/// Those of [`ice_kg`]; [`MatterError::NotAnAmount`] for an empty food.
///
/// # Source
/// `choi_okos_1986`; heat of melting 333.6 kJ/kg from `ashrae_refrigeration_2006`.
pub fn enthalpy_j_kg(food: &Food, at_c: f64) -> Result<f64, MatterError> {
    let c = OutOfRange::check("temperature", at_c, COLDEST_C, 100.1, "°C", "choi_okos_1986")?;
    let ice = ice_kg(food, c.min(100.0))?;
    let mass = food.mass_kg();
    if mass > 0.0 {
        Ok((heat_content_j(food, ice, c) - ice * MELTING_J_KG) / mass)
    } else {
        Err(MatterError::NotAnAmount {
            amount: "mass",
            got: mass,
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn syrup(sucrose_kg: f64) -> Food {
        Food {
            water_kg: 1.0,
            sucrose_kg,
            ..Food::default()
        }
    }

    proptest! {
        #[test]
        fn warming_always_takes_heat(sucrose_kg in 0.02..1.0, fat_kg in 0.0..0.5, c in -29.5..99.0) {
            let food = Food { fat_kg, ..syrup(sucrose_kg) };
            let (here, warmer) = (enthalpy_j_kg(&food, c), enthalpy_j_kg(&food, c + 0.5));
            prop_assert!(here.is_ok_and(|here| warmer.is_ok_and(|warmer| warmer > here)));
        }

        #[test]
        fn apparent_heat_capacity_is_the_sensible_one_where_nothing_freezes(sucrose_kg in 0.0..1.0, c in 1.0..99.0) {
            let food = frozen(&syrup(sucrose_kg), c, Mixing::Parallel).map_err(|e| TestCaseError::fail(e.to_string()))?;
            let sensible = food.thermal.heat_capacity_j_kgk;
            prop_assert!((food.apparent_heat_capacity_j_kgk / sensible - 1.0).abs() < 1e-5);
            prop_assert!(food.ice_share_of_water.abs() < 1e-12);
        }
    }

    #[test]
    fn freezing_water_gives_off_its_heat_of_melting() -> Result<(), MatterError> {
        let gap = enthalpy_j_kg(&syrup(0.0), 0.0)? - enthalpy_j_kg(&syrup(0.0), -1e-3)?;
        assert!((gap - MELTING_J_KG).abs() < 5.0, "{gap}");
        Ok(())
    }

    #[test]
    fn below_the_freezing_point_most_heat_goes_into_ice() -> Result<(), MatterError> {
        let juice = frozen(&syrup(0.12), -2.0, Mixing::Parallel)?;
        assert!(juice.apparent_heat_capacity_j_kgk > 10.0 * juice.thermal.heat_capacity_j_kgk);
        assert!(juice.apparent_diffusivity_m2_s() < 0.1 * juice.thermal.diffusivity_m2_s());
        assert!(frozen(&syrup(0.12), -31.0, Mixing::Parallel).is_err());
        assert!(frozen(&Food::default(), 20.0, Mixing::Parallel).is_err());
        Ok(())
    }
}
