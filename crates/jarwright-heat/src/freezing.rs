//! Freezing time of a food, and ice to cool with.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`plank_freezing_s`].
pub static PLANK_FREEZING: Equation = Equation {
    key: "plank-freezing",
    title: "Freezing time by Plank",
    text: "t = L rho/(T_f - T_a) (P d/h + R d^2/k)  [s]; slab P = 1/2, R = 1/8; cylinder 1/4, 1/16; sphere 1/6, 1/24",
    source: "geankoplis",
};

/// Registry entry of [`ice_kg`].
pub static ICE_TO_COOL: Equation = Equation {
    key: "ice-to-cool",
    title: "Ice that takes up a heat",
    text: "m = Q / (L + c T_end)  [kg], ice at 0 °C, melt water leaving at T_end",
    source: "ashrae_refrigeration_2006",
};

/// Latent heat of ice [J/kg] (`ashrae_refrigeration_2006`).
const ICE_J_KG: f64 = 333_600.0;
/// Heat capacity of water between 0 and 30 °C [J/(kg K)] (`iapws_if97`).
const WATER_CP_J_KGK: f64 = 4190.0;
/// Shape of what freezes, from all its faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FreezingShape {
    /// A layer; its size is the thickness.
    Slab,
    /// A long cylinder; its size is the diameter.
    Cylinder,
    /// A sphere; its size is the diameter.
    Sphere,
}

/// What freezes, and in what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Freezing {
    /// Shape.
    pub shape: FreezingShape,
    /// Thickness or diameter [m].
    pub size_m: f64,
    /// Film [W/(m² K)].
    pub film_w_m2k: f64,
    /// Conductivity of the frozen food [W/(m K)].
    pub frozen_k_w_mk: f64,
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Latent heat of the food: its water's share of 333.6 kJ/kg [J/kg].
    pub latent_j_kg: f64,
    /// Temperature at which it begins to freeze [°C]; it is taken to be there already.
    pub freezes_c: f64,
    /// Temperature of the freezer's air [°C].
    pub air_c: f64,
}

/// Freezing time by Plank [s].
///
/// ```text
/// t = L rho/(Tf - Ta) (P d/h + R d^2/k)     slab P 1/2 R 1/8, cylinder 1/4 1/16, sphere 1/6 1/24
/// ```
///
/// * `freezing`: size 1 mm to 1 m, film 1 to 10 000 W/(m² K), conductivity 0.05 to 5 W/(m K), density
///   100 to 3000 kg/m³, latent heat 10 to 340 kJ/kg, freezing point -40 to 0 °C, above the air's
///
/// Counts neither cooling to the freezing point nor from there to the store's temperature, so it
/// falls short by a fifth or more: a lower bound.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, [`HeatError::NeverReaches`] in air no colder
/// than the freezing point.
///
/// # Source
/// `geankoplis`, example 5.5-2 for the slab; the factors of cylinder and sphere stand from memory.
pub fn plank_freezing_s(freezing: &Freezing) -> Result<f64, HeatError> {
    let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, PLANK_FREEZING.key);
    let size = range("thickness or diameter", freezing.size_m, 0.001, 1.0, "m")?;
    let film = range("film", freezing.film_w_m2k, 1.0, 1e4, "W/(m2 K)")?;
    let k = range("conductivity", freezing.frozen_k_w_mk, 0.05, 5.0, "W/(m K)")?;
    let density = range("density", freezing.density_kg_m3, 100.0, 3000.0, "kg/m3")?;
    let latent = range("latent heat", freezing.latent_j_kg, 1e4, 3.4e5, "J/kg")?;
    let freezes = range("freezing point", freezing.freezes_c, -40.0, 0.0, "°C")?;
    let air = range("air temperature", freezing.air_c, -200.0, 100.0, "°C")?;
    if air >= freezes {
        return Err(HeatError::NeverReaches {
            quantity: "freezing food",
            target: freezes,
            limit: air,
            unit: "°C",
        });
    }
    let (p, r) = match freezing.shape {
        FreezingShape::Slab => (1.0 / 2.0, 1.0 / 8.0),
        FreezingShape::Cylinder => (1.0 / 4.0, 1.0 / 16.0),
        FreezingShape::Sphere => (1.0 / 6.0, 1.0 / 24.0),
    };
    Ok(latent * density / (freezes - air) * (p * size / film + r * size * size / k))
}

/// Ice [kg] that takes up a heat while it melts and its water warms.
///
/// ```text
/// m = Q / (L + c T_end)
/// ```
///
/// * `heat_j`: at least 0
/// * `melt_water_c`: temperature the melt water ends at, 0 to 30 °C
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `ashrae_refrigeration_2006` for the latent heat.
pub fn ice_kg(heat_j: f64, melt_water_c: f64) -> Result<f64, HeatError> {
    let heat = OutOfRange::check("heat to take up", heat_j, 0.0, 1e12, "J", ICE_TO_COOL.key)?;
    let end = OutOfRange::check("melt water", melt_water_c, 0.0, 30.0, "°C", ICE_TO_COOL.key)?;
    Ok(heat / (ICE_J_KG + WATER_CP_J_KGK * end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_a_film_a_sphere_freezes_in_a_third_of_a_slabs_time() {
        let at = |shape| {
            plank_freezing_s(&Freezing {
                shape,
                size_m: 0.5,
                film_w_m2k: 1e4,
                frozen_k_w_mk: 0.1,
                density_kg_m3: 1000.0,
                latent_j_kg: 2.5e5,
                freezes_c: -1.0,
                air_c: -20.0,
            })
            .unwrap_or(f64::NAN)
        };
        let ratio = at(FreezingShape::Slab) / at(FreezingShape::Sphere);
        assert!((ratio - 3.0).abs() < 1e-9, "{ratio}");
        let ratio = at(FreezingShape::Slab) / at(FreezingShape::Cylinder);
        assert!((ratio - 2.0).abs() < 1e-9, "{ratio}");
    }

    #[test]
    fn warm_air_freezes_nothing() {
        let warm = Freezing {
            shape: FreezingShape::Slab,
            size_m: 0.05,
            film_w_m2k: 10.0,
            frozen_k_w_mk: 1.0,
            density_kg_m3: 1000.0,
            latent_j_kg: 2.5e5,
            freezes_c: -1.0,
            air_c: 3.0,
        };
        assert!(matches!(plank_freezing_s(&warm), Err(HeatError::NeverReaches { .. })));
    }
}
