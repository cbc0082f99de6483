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
