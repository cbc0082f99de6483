//! A vessel that heats food: its shape, what it stands on or in, and the way of the heat into it.
//!
//! Read next: `wall.rs` (the food's side of that way), `follow.rs` (a pot through time).

use std::f64::consts::{FRAC_PI_4, PI};

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::pot::bowl;

/// Registry entry of [`steam_film_w_m2k`].
pub static STEAM_WITH_AIR: Equation = Equation {
    key: "steam-with-air",
    title: "Coefficient of steam that has air in it",
    text: "h = 380 (m_air/m_steam)^-0.7, at most 8500  [W/(m2 K)]",
    source: "uchida_1964",
};

/// Registry entry of [`Vessel::filled`].
pub static KETTLE_FILLED: Equation = Equation {
    key: "kettle-filled",
    title: "A half-round bottom with straight sides above it, filled",
    text: "up to 2 pi R^3/3 a spherical cap; above it the sides rise straight and are not heated",
    source: "geometry",
};

/// Condensing steam with the scale on a pan's wall [W/(m² K)].
///
/// # Source
/// `coulson_richardson_1`, problem 9.33.
pub const PURE_STEAM_W_M2K: f64 = 8500.0;

/// Conductivity of stainless steel [W/(m K)].
///
/// # Source
/// `geankoplis`, example 4.8-1.
pub const STEEL_W_MK: f64 = 16.27;

/// A vessel and what heats it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Vessel {
    /// A half-round bowl over simmering water.
    BowlOverSteam {
        /// Diameter at the rim [m], 0.02 to 3.
        diameter_m: f64,
        /// Temperature of the steam [°C].
        steam_c: f64,
        /// Heat that makes the steam [W].
        steam_w: f64,
        /// Air in the steam [kg for each kg of steam]; see [`steam_film_w_m2k`].
        air_kg_kg: f64,
    },
    /// The same, known by its whole coefficient from steam to food.
    BowlOfCoefficient {
        /// Diameter at the rim [m], 0.02 to 3.
        diameter_m: f64,
        /// Temperature of the steam [°C].
        steam_c: f64,
        /// Heat that makes the steam [W].
        steam_w: f64,
        /// Coefficient from steam to stirred food [W/(m² K)], 1 to 20000, whatever the food's film is.
        u_w_m2k: f64,
    },
    /// A kettle whose half-round bottom stands in a steam jacket.
    SteamKettle {
        /// Diameter [m], 0.02 to 3.
        diameter_m: f64,
        /// Temperature of the steam [°C].
        steam_c: f64,
        /// Most heat that the steam brings [W].
        steam_w: f64,
    },
    /// A straight pot on a hob, heated through its bottom.
    StraightPot {
        /// Diameter [m], 0.02 to 3.
        diameter_m: f64,
        /// Heat into pot and food [W]: rating times efficiency.
        into_pot_w: f64,
    },
}

/// A vessel with food in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filled {
    /// Depth of the food [m].
    pub depth_m: f64,
    /// Area through which heat comes in [m²].
    pub heated_m2: f64,
    /// Open surface [m²].
    pub open_m2: f64,
    /// Diameter of the open surface [m].
    pub open_diameter_m: f64,
}

impl Vessel {
    /// Diameter [m].
    #[must_use]
    pub const fn diameter_m(&self) -> f64 {
        match *self {
            Self::BowlOverSteam { diameter_m, .. }
            | Self::BowlOfCoefficient { diameter_m, .. }
            | Self::SteamKettle { diameter_m, .. }
            | Self::StraightPot { diameter_m, .. } => diameter_m,
        }
    }

    /// Depth, heated area and open surface of a volume of food.
    ///
    /// * `volume_m3`: food [m³], above 0
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] for a diameter outside 0.02 to 3 m or no food.
    ///
    /// # Source
    /// Spherical cap and cylinder, geometry.
    pub fn filled(&self, volume_m3: f64) -> Result<Filled, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, KETTLE_FILLED.source);
        let diameter_m = range("diameter of the vessel", self.diameter_m(), 0.02, 3.0, "m")?;
        let volume_m3 = range("food in the vessel", volume_m3, f64::MIN_POSITIVE, 30.0, "m³")?;
        let brim_m2 = FRAC_PI_4 * diameter_m * diameter_m;
        match self {
            Self::StraightPot { .. } => Ok(Filled {
                depth_m: volume_m3 / brim_m2,
                heated_m2: brim_m2,
                open_m2: brim_m2,
                open_diameter_m: diameter_m,
            }),
            Self::BowlOverSteam { .. } | Self::BowlOfCoefficient { .. } | Self::SteamKettle { .. } => {
                let half_m3 = PI * diameter_m.powi(3) / 12.0;
                let cap = bowl(diameter_m, volume_m3.min(half_m3))?;
                Ok(Filled {
                    depth_m: cap.depth_m + (volume_m3 - half_m3).max(0.0) / brim_m2,
                    heated_m2: cap.wetted_m2,
                    open_m2: cap.open_m2,
                    open_diameter_m: cap.open_diameter_m,
                })
            }
        }
    }

    /// Volume up to a height [m³].
    ///
    /// * `height_m`: height of the food above the lowest point [m], above 0
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] for a height outside 0.01 to 3 m.
    ///
    /// # Source
    /// As [`Vessel::filled`].
    pub fn holds_m3(&self, height_m: f64) -> Result<f64, HeatError> {
        let height_m = OutOfRange::check("height of the vessel", height_m, 0.01, 3.0, "m", KETTLE_FILLED.source)?;
        let radius_m = 0.5 * self.diameter_m();
        let brim_m2 = PI * radius_m * radius_m;
        Ok(match self {
            Self::StraightPot { .. } => brim_m2 * height_m,
            Self::BowlOverSteam { .. } | Self::BowlOfCoefficient { .. } | Self::SteamKettle { .. } => {
                let cap_m = height_m.min(radius_m);
                PI * cap_m * cap_m * (3.0 * radius_m - cap_m) / 3.0 + brim_m2 * (height_m - cap_m)
            }
        })
    }

    /// Resistance between steam and the food's side of the wall [m² K/W]; none on a hob and under a
    /// bowl of a given coefficient, where the heat comes whatever the wall is.
    ///
    /// * `wall_m`: thickness of the steel [m], 0.0002 to 0.02
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside that.
    ///
    /// # Source
    /// Resistances in a row, `incropera_heat_mass`; [`steam_film_w_m2k`].
    pub fn steam_side_m2k_w(&self, wall_m: f64) -> Result<Option<f64>, HeatError> {
        let wall_m = OutOfRange::check("wall of the pot", wall_m, 2e-4, 0.02, "m", STEAM_WITH_AIR.source)?;
        let film_w_m2k = match *self {
            Self::BowlOverSteam { air_kg_kg, .. } => steam_film_w_m2k(air_kg_kg)?,
            Self::SteamKettle { .. } => PURE_STEAM_W_M2K,
            Self::StraightPot { .. } | Self::BowlOfCoefficient { .. } => return Ok(None),
        };
        Ok(Some(1.0 / film_w_m2k + wall_m / STEEL_W_MK))
    }
}

/// Coefficient of condensing steam that has air in it [W/(m² K)].
///
/// ```text
/// h = 380 (m_air/m_steam)^-0.7, at most 8500
/// ```
///
/// * `air_kg_kg`: air for each kilogram of steam [kg/kg], 0 to 200. A bowl that sits loosely over
///   simmering water lets air in; how much nobody measures, and the coefficient hangs on it.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the range above.
///
/// # Source
/// `uchida_1964`, from memory; its fivefold loss with some air is what measurements find.
pub fn steam_film_w_m2k(air_kg_kg: f64) -> Result<f64, HeatError> {
    let air_kg_kg = OutOfRange::check(
        "air in the steam",
        air_kg_kg,
        0.0,
        200.0,
        "kg/kg",
        STEAM_WITH_AIR.source,
    )?;
    Ok((380.0 * air_kg_kg.powf(-0.7)).min(PURE_STEAM_W_M2K))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kettle(diameter_m: f64) -> Vessel {
        Vessel::SteamKettle {
            diameter_m,
            steam_c: 110.0,
            steam_w: 1e5,
        }
    }

    #[test]
    fn what_a_vessel_holds_to_a_height_fills_it_to_that_height() -> Result<(), HeatError> {
        let pot = Vessel::StraightPot {
            diameter_m: 0.3,
            into_pot_w: 1000.0,
        };
        for vessel in [kettle(0.4), pot] {
            for height_m in [0.05, 0.2, 0.31] {
                let filled = vessel.filled(vessel.holds_m3(height_m)?)?;
                assert!((filled.depth_m - height_m).abs() < 1e-9);
            }
        }
        Ok(())
    }

    #[test]
    fn only_the_half_round_part_of_a_kettle_is_heated() -> Result<(), HeatError> {
        let full = kettle(0.4).filled(kettle(0.4).holds_m3(0.2)?)?;
        let higher = kettle(0.4).filled(kettle(0.4).holds_m3(0.3)?)?;
        assert!((full.heated_m2 - 2.0 * PI * 0.04).abs() < 1e-6);
        assert!((higher.heated_m2 - full.heated_m2).abs() < 1e-9);
        Ok(())
    }

    #[test]
    fn air_in_the_steam_slows_it_and_pure_steam_does_not_grow_endless() -> Result<(), HeatError> {
        assert!((steam_film_w_m2k(0.0)? - PURE_STEAM_W_M2K).abs() < 1e-9);
        assert!(steam_film_w_m2k(1.0)? < steam_film_w_m2k(0.1)?);
        assert!(steam_film_w_m2k(f64::NAN).is_err() && steam_film_w_m2k(-1.0).is_err());
        Ok(())
    }
}
