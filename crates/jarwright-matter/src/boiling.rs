//! Pressure of the air, boiling of water and of food.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError, water_activity};

/// Pressure at an altitude.
pub static STANDARD_ATMOSPHERE: Equation = Equation {
    key: "standard-atmosphere",
    title: "Air pressure at an altitude",
    text: "p = 101325 (1 - 0.0065 H/288.15)^5.2558761, H in m",
    source: "icao_7488",
};

/// Vapour pressure of water.
pub static SATURATION_PRESSURE: Equation = Equation {
    key: "saturation-pressure",
    title: "Vapour pressure of water",
    text: "IAPWS-IF97 region 4, equation 30",
    source: "iapws_if97",
};

/// Boiling point of water.
pub static WATER_BOILS: Equation = Equation {
    key: "water-boils",
    title: "Boiling point of water",
    text: "IAPWS-IF97 region 4, equation 31: the temperature at which the vapour pressure is the air's",
    source: "iapws_if97",
};

/// Boiling point of a food.
pub static FOOD_BOILS: Equation = Equation {
    key: "food-boils",
    title: "Boiling point of a food",
    text: "aw psat(T) = p, so T = Tsat(p/aw)",
    source: "iapws_if97",
};

/// Latent heat of boiling.
pub static LATENT_HEAT: Equation = Equation {
    key: "latent-heat",
    title: "Latent heat of boiling",
    text: "h'' - h' of IAPWS-IF97 at the temperature",
    source: "iapws_if97",
};

/// The steam tables' megapascal [Pa].
const MEGAPASCAL_PA: f64 = 1e6;

/// Pressure [Pa] of the standard atmosphere at an altitude.
///
/// ```text
/// p = 101325 (1 - 0.0065 H/288.15)^5.2558761
/// ```
///
/// * `altitude_m`: height above sea level [m], -500 to 6000
///
/// Weather moves the true pressure by about 3 kPa either way, and with it the boiling point by
/// 0.8 °C.
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `icao_7488`.
pub fn pressure_pa(altitude_m: f64) -> Result<f64, MatterError> {
    let height = OutOfRange::check("altitude", altitude_m, -500.0, 6000.0, "m", "icao_7488")?;
    Ok(101_325.0 * (1.0 - 0.0065 * height / 288.15).powf(5.255_876_1))
}

/// Vapour pressure [Pa] of water at a temperature.
///
/// * `c`: temperature [°C], 0 to 200
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `iapws_if97`, region 4.
pub fn saturation_pressure_pa(c: f64) -> Result<f64, MatterError> {
    let c = OutOfRange::check("temperature", c, 0.0, 200.0, "°C", "iapws_if97")?;
    Ok(seuif97::tx(c, 0.0, seuif97::OP) * MEGAPASCAL_PA)
}

/// Boiling point [°C] of water under a pressure.
///
/// * `pressure_pa`: pressure [Pa], 1 kPa to 1 MPa
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `iapws_if97`, region 4.
pub fn water_boils_c(pressure_pa: f64) -> Result<f64, MatterError> {
    let pa = OutOfRange::check("pressure", pressure_pa, 1e3, 1e6, "Pa", "iapws_if97")?;
    Ok(seuif97::px(pa / MEGAPASCAL_PA, 0.0, seuif97::OT))
}

/// Boiling point [°C] of a food under a pressure.
///
/// ```text
/// aw psat(T) = p
/// ```
///
/// The water activity is that of 25 °C: sugar's hardly moves with temperature below 80 °Brix.
///
/// * `pressure_pa`: pressure [Pa]
///
/// # Errors
/// Those of [`water_activity()`] and [`water_boils_c`].
///
/// # Source
/// `iapws_if97` with `norrish_1966`.
pub fn food_boils_c(food: &Food, pressure_pa: f64) -> Result<f64, MatterError> {
    water_boils_c(pressure_pa / water_activity(food)?)
}

/// Latent heat [J/kg] of boiling water at a temperature.
///
/// * `c`: temperature [°C], 0.01 to 200
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `iapws_if97`.
pub fn latent_heat_j_kg(c: f64) -> Result<f64, MatterError> {
    let c = OutOfRange::check("temperature", c, 0.01, 200.0, "°C", "iapws_if97")?;
    Ok(1000.0 * (seuif97::tx(c, 1.0, seuif97::OH) - seuif97::tx(c, 0.0, seuif97::OH)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_steam_tables_meet_their_published_check_values() -> Result<(), MatterError> {
        // IAPWS-IF97 tables 35 and 36, which also settle megapascal, °C and kJ.
        let mpa = saturation_pressure_pa(300.0 - 273.15)? / 1e6;
        assert!((mpa / 0.353_658_941e-2 - 1.0).abs() < 1e-8);
        for (mpa, kelvin) in [(0.1, 372.755_919), (1.0, 453.035_632)] {
            assert!((water_boils_c(mpa * 1e6)? + 273.15 - kelvin).abs() < 1e-6);
        }
        Ok(())
    }

    #[test]
    fn latent_heat_falls_as_water_gets_hotter() -> Result<(), MatterError> {
        for c in 1..199 {
            assert!(latent_heat_j_kg(f64::from(c) + 1.0)? < latent_heat_j_kg(f64::from(c))?);
        }
        Ok(())
    }

    #[test]
    fn a_negative_pressure_or_a_mountain_beyond_the_table_is_refused() {
        assert!(water_boils_c(-1.0).is_err());
        assert!(pressure_pa(9000.0).is_err());
        assert!(saturation_pressure_pa(f64::NAN).is_err());
    }

    proptest! {
        #[test]
        fn vapour_pressure_and_boiling_point_are_each_others_inverse(c in 10.0..170.0) {
            let back = saturation_pressure_pa(c).and_then(water_boils_c);
            prop_assert!(back.is_ok_and(|b| (b - c).abs() < 1e-6));
        }

        #[test]
        fn sugar_never_lowers_the_boiling_point(sucrose_kg in 0.0..3.0, height in 0.0..3000.0) {
            let syrup = |sucrose_kg| Food { water_kg: 1.0, sucrose_kg, ..Food::default() };
            let pa = pressure_pa(height).map_err(|e| TestCaseError::fail(e.to_string()))?;
            let thin = food_boils_c(&syrup(sucrose_kg), pa);
            let thick = food_boils_c(&syrup(sucrose_kg + 0.1), pa);
            prop_assert!(thin.is_ok_and(|a| thick.is_ok_and(|b| b > a)));
        }
    }
}
