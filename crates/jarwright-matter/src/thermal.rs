//! Conductivity, density and heat capacity of a food from its composition.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError};

/// Density and heat capacity of a mixture.
pub static THERMAL: Equation = Equation {
    key: "density-heat-capacity",
    title: "Density and heat capacity from composition",
    text: "1/rho = sum x_i/rho_i(T);  c_p = sum x_i c_(p,i)(T);  each a + b T + c T^2, T in °C",
    source: "choi_okos_1986",
};

/// Conductivity of a mixture.
pub static CONDUCTIVITY: Equation = Equation {
    key: "conductivity",
    title: "Thermal conductivity from composition",
    text: "k = sum phi_i k_i(T), phi_i the share of the volume; across: 1/k = sum phi_i/k_i; between: k = product k_i^phi_i",
    source: "choi_okos_1986",
};

/// Diffusivity.
pub static DIFFUSIVITY: Equation = Equation {
    key: "diffusivity",
    title: "Thermal diffusivity",
    text: "alpha = k / (rho c_p)",
    source: "choi_okos_1986",
};

/// Thermal properties of a food at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thermal {
    /// Thermal conductivity [W/(m K)].
    pub conductivity_w_mk: f64,
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Heat capacity [J/(kg K)].
    pub heat_capacity_j_kgk: f64,
}

impl Thermal {
    /// Thermal diffusivity [m²/s].
    ///
    /// ```text
    /// alpha = k / (rho cp)
    /// ```
    #[must_use]
    pub fn diffusivity_m2_s(&self) -> f64 {
        self.conductivity_w_mk / (self.density_kg_m3 * self.heat_capacity_j_kgk)
    }
}

/// How the components of a food lie to the flow of heat.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Mixing {
    /// Side by side: the greatest conductivity. The default, because Choi and Okos fitted their
    /// components with it. Measured foods scatter by 15 % round it and do not decide between it
    /// and the geometric mean; where slow heating is the danger, take that as the low end.
    #[default]
    Parallel,
    /// One behind the other: the least conductivity.
    Perpendicular,
    /// Between the two: the geometric mean by volume.
    Geometric,
}

/// A component the equations have polynomials for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Component {
    /// Liquid water.
    Water,
    /// Protein.
    Protein,
    /// Fat.
    Fat,
    /// Sugars, starch and acids.
    Carbohydrate,
    /// Fibre.
    Fibre,
    /// Ash and salt.
    Ash,
    /// Ethanol, not one of Choi and Okos's.
    Ethanol,
    /// Ice.
    Ice,
}

impl Component {
    const ALL: [Self; 8] = [
        Self::Water,
        Self::Protein,
        Self::Fat,
        Self::Carbohydrate,
        Self::Fibre,
        Self::Ash,
        Self::Ethanol,
        Self::Ice,
    ];

    /// Properties of the component alone.
    ///
    /// * `at_c`: temperature [°C], 0 to 150; ice -40 to 0
    ///
    /// # Errors
    /// [`OutOfRange`] outside that.
    ///
    /// # Source
    /// `choi_okos_1986` as printed in `ibarz`, whose heat capacity of water starts at 4.1762
    /// kJ/(kg K) and agrees with IAPWS within 0.2 %; the 4.1289 of another printing is 1.2 %
    /// low. Ethanol near 20 °C: `crc_handbook`, from memory.
    pub fn alone(self, at_c: f64) -> Result<Thermal, MatterError> {
        let (least, greatest) = if self == Self::Ice { (-40.0, 0.0) } else { (0.0, 150.0) };
        OutOfRange::check("temperature", at_c, least, greatest, "°C", "choi_okos_1986")?;
        Ok(self.at(at_c))
    }

    fn at(self, c: f64) -> Thermal {
        let (k, rho, cp) = self.coefficients(c);
        let value = |[a, b, q]: [f64; 3]| a + c * (b + c * q);
        Thermal {
            conductivity_w_mk: value(k),
            density_kg_m3: value(rho),
            heat_capacity_j_kgk: 1000.0 * value(cp),
        }
    }

    /// Coefficients by powers of °C of conductivity [W/(m K)], density [kg/m³] and heat
    /// capacity [kJ/(kg K)].
    fn coefficients(self, c: f64) -> ([f64; 3], [f64; 3], [f64; 3]) {
        match self {
            Self::Water => (
                [0.571_09, 1.762_5e-3, -6.703_6e-6],
                [997.18, 3.143_9e-3, -3.757_4e-3],
                if c < 0.0 {
                    [4.081_7, -5.306_2e-3, 9.951_6e-4]
                } else {
                    [4.176_2, -9.086_4e-5, 5.473_1e-6]
                },
            ),
            Self::Protein => (
                [0.178_81, 1.195_8e-3, -2.717_8e-6],
                [1329.9, -0.518_4, 0.0],
                [2.008_2, 1.208_9e-3, -1.312_9e-6],
            ),
            Self::Fat => (
                [0.180_71, -2.760_4e-4, -1.774_9e-7],
                [925.59, -0.417_57, 0.0],
                [1.984_2, 1.473_3e-3, -4.800_8e-6],
            ),
            Self::Carbohydrate => (
                [0.201_41, 1.387_4e-3, -4.331_2e-6],
                [1599.1, -0.310_46, 0.0],
                [1.548_8, 1.962_5e-3, -5.939_9e-6],
            ),
            Self::Fibre => (
                [0.183_31, 1.249_7e-3, -3.168_3e-6],
                [1311.5, -0.365_89, 0.0],
                [1.845_9, 1.830_6e-3, -4.650_9e-6],
            ),
            Self::Ash => (
                [0.329_62, 1.401_1e-3, -2.906_9e-6],
                [2423.8, -0.280_63, 0.0],
                [1.092_6, 1.889_6e-3, -3.681_7e-6],
            ),
            Self::Ice => (
                [2.219_6, -6.248_9e-3, 1.015_4e-4],
                [916.89, -0.130_71, 0.0],
                [2.062_3, 6.076_9e-3, 0.0],
            ),
            Self::Ethanol => ([0.171, 0.0, 0.0], [806.3, -0.85, 0.0], [2.30, 5.5e-3, 0.0]),
        }
    }

    fn mass_kg(self, food: &Food, ice_kg: f64) -> f64 {
        match self {
            Self::Water => food.water_kg - ice_kg,
            Self::Protein => food.protein_kg,
            Self::Fat => food.fat_kg,
            Self::Carbohydrate => food.sugars_kg() + food.starch_kg + food.acid_kg(),
            Self::Fibre => food.fibre_kg,
            Self::Ash => food.ash_kg + food.salt_kg + food.minerals_mol.mass_kg(),
            Self::Ethanol => food.alcohol_kg,
            Self::Ice => ice_kg,
        }
    }
}

/// Thermal properties of a food, its conductivity by [`Mixing::Parallel`].
///
/// * `at_c`: temperature [°C], 0 to 150, the food unfrozen
///
/// # Errors
/// [`OutOfRange`] outside that or for more than 20 % alcohol; [`MatterError::NotAnAmount`] for
/// an empty food or a negative amount.
///
/// # Source
/// `choi_okos_1986`.
pub fn thermal(food: &Food, at_c: f64) -> Result<Thermal, MatterError> {
    thermal_by(food, at_c, Mixing::Parallel)
}

/// Thermal properties of a food, its conductivity by a chosen model.
///
/// ```text
/// 1/rho = sum x_i/rho_i      cp = sum x_i cp_i      phi_i = (x_i/rho_i) / sum (x_j/rho_j)
/// k = sum phi_i k_i    or    1/k = sum phi_i/k_i    or    k = product k_i^phi_i
/// ```
///
/// Acids count as carbohydrate, salt and named ions as ash. No air: a whipped or foaming food is lighter.
///
/// # Errors
/// Those of [`thermal`].
///
/// # Source
/// `choi_okos_1986`.
pub fn thermal_by(food: &Food, at_c: f64, mixing: Mixing) -> Result<Thermal, MatterError> {
    OutOfRange::check("temperature", at_c, 0.0, 150.0, "°C", "choi_okos_1986")?;
    mixed(food, 0.0, at_c, mixing)
}

/// Thermal properties of a food of whose water `ice_kg` is ice, its heat capacity without the
/// heat of freezing.
///
/// As [`thermal_by`], with ice as one more component and the other components below 0 °C.
///
/// * `ice_kg`: ice [kg], part of the food's water
/// * `at_c`: temperature [°C], -40 to 0
///
/// # Errors
/// [`OutOfRange`] outside that or for more than 20 % alcohol; [`MatterError::NotEnoughWater`];
/// [`MatterError::NotAnAmount`].
///
/// # Source
/// `choi_okos_1986`.
pub fn thermal_with_ice(food: &Food, ice_kg: f64, at_c: f64, mixing: Mixing) -> Result<Thermal, MatterError> {
    OutOfRange::check("temperature", at_c, -40.0, 0.0, "°C", "choi_okos_1986")?;
    if !(0.0..=food.water_kg).contains(&ice_kg) {
        return Err(MatterError::NotEnoughWater {
            asked_kg: ice_kg,
            present_kg: food.water_kg,
        });
    }
    mixed(food, ice_kg, at_c, mixing)
}

fn mixed(food: &Food, ice_kg: f64, at_c: f64, mixing: Mixing) -> Result<Thermal, MatterError> {
    food.check()?;
    let mass = food.mass_kg();
    if mass <= 0.0 {
        return Err(MatterError::NotAnAmount {
            amount: "mass",
            got: mass,
        });
    }
    OutOfRange::check(
        "alcohol",
        100.0 * food.alcohol_kg / mass,
        0.0,
        20.0,
        "%",
        "choi_okos_1986",
    )?;
    let (mut volume, mut heat, mut along) = (0.0, 0.0, 0.0);
    for component in Component::ALL {
        let kg = component.mass_kg(food, ice_kg);
        if kg > 0.0 {
            let alone = component.at(at_c);
            let share = kg / alone.density_kg_m3;
            volume += share;
            heat += kg * alone.heat_capacity_j_kgk;
            along += share
                * match mixing {
                    Mixing::Parallel => alone.conductivity_w_mk,
                    Mixing::Perpendicular => 1.0 / alone.conductivity_w_mk,
                    Mixing::Geometric => alone.conductivity_w_mk.ln(),
                };
        }
    }
    let mean = along / volume;
    Ok(Thermal {
        conductivity_w_mk: match mixing {
            Mixing::Parallel => mean,
            Mixing::Perpendicular => 1.0 / mean,
            Mixing::Geometric => mean.exp(),
        },
        density_kg_m3: mass / volume,
        heat_capacity_j_kgk: heat / mass,
    })
}

/// Heat [J] that the components of a food with `ice_kg` of ice hold above themselves at 0 °C,
/// all liquid.
pub(crate) fn heat_content_j(food: &Food, ice_kg: f64, at_c: f64) -> f64 {
    Component::ALL
        .into_iter()
        .map(|component| {
            let [a, b, q] = component.coefficients(at_c).2;
            1000.0 * component.mass_kg(food, ice_kg) * at_c * (a + at_c * (b / 2.0 + at_c * q / 3.0))
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn the_three_conductivities_keep_their_order(
            water_kg in 0.01..1.0, sucrose_kg in 0.0..1.0, fat_kg in 0.0..1.0, protein_kg in 0.0..0.5, c in 0.0..120.0,
        ) {
            let food = Food { water_kg, sucrose_kg, fat_kg, protein_kg, ..Food::default() };
            let k = |mixing| thermal_by(&food, c, mixing).map(|t| t.conductivity_w_mk).unwrap_or(f64::NAN);
            let (low, middle, high) = (k(Mixing::Perpendicular), k(Mixing::Geometric), k(Mixing::Parallel));
            prop_assert!(low <= middle + 1e-12 && middle <= high + 1e-12, "{low} {middle} {high}");
        }

        #[test]
        fn heat_content_and_volume_of_a_mixture_are_sums(a in 0.1..1.0, b in 0.1..1.0, c in 0.0..120.0) {
            let water = Food { water_kg: a, ..Food::default() };
            let fat = Food { fat_kg: b, ..Food::default() };
            let mut both = water.clone();
            both.add(&fat);
            let of = |food: &Food| thermal(food, c).map(|t| (food.mass_kg() * t.heat_capacity_j_kgk, food.mass_kg() / t.density_kg_m3));
            let (w, f, sum) = (of(&water), of(&fat), of(&both));
            if let (Ok(w), Ok(f), Ok(sum)) = (w, f, sum) {
                prop_assert!((w.0 + f.0 - sum.0).abs() < 1e-9 * sum.0);
                prop_assert!((w.1 + f.1 - sum.1).abs() < 1e-9 * sum.1);
            } else {
                prop_assert!(false, "refused");
            }
        }
    }

    #[test]
    fn every_component_conducts_no_better_than_water_and_is_refused_frozen() -> Result<(), MatterError> {
        let water = Component::Water.alone(20.0)?;
        for component in Component::ALL.into_iter().filter(|&c| c != Component::Ice) {
            assert!(component.alone(20.0)?.conductivity_w_mk <= water.conductivity_w_mk);
            assert!(component.alone(-5.0).is_err());
        }
        Ok(())
    }

    #[test]
    fn ice_is_no_component_of_a_warm_food_and_conducts_best_of_all() -> Result<(), MatterError> {
        assert!(Component::Ice.alone(1.0).is_err());
        let water = Food {
            water_kg: 1.0,
            ..Food::default()
        };
        let ice = thermal_with_ice(&water, 1.0, -5.0, Mixing::Parallel)?;
        assert!(ice.conductivity_w_mk > 3.0 * Component::Water.alone(0.0)?.conductivity_w_mk);
        assert!(thermal_with_ice(&water, 1.1, -5.0, Mixing::Parallel).is_err());
        assert!(thermal_with_ice(&water, f64::NAN, -5.0, Mixing::Parallel).is_err());
        Ok(())
    }

    #[test]
    fn an_empty_food_and_a_bottle_of_spirits_are_refused() {
        assert!(thermal(&Food::default(), 20.0).is_err());
        let spirits = Food {
            water_kg: 0.6,
            alcohol_kg: 0.4,
            ..Food::default()
        };
        assert!(matches!(thermal(&spirits, 20.0), Err(MatterError::OutOfRange(_))));
    }
}
