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

/// Pressure here from a reading that a weather service reduced to sea level.
pub static STATION_PRESSURE: Equation = Equation {
    key: "station-pressure",
    title: "Air pressure here from today's reading at sea level",
    text: "p = (p_sea^n - 101325^n 0.0065 H/288.15)^(1/n), n = 0.190263, H in m",
    source: "smithsonian_meteorological",
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
    text: "a_w p_sat(T) = p, so T = T_sat(p/a_w)",
    source: "iapws_if97",
};

/// Latent heat of boiling.
pub static LATENT_HEAT: Equation = Equation {
    key: "latent-heat",
    title: "Latent heat of boiling",
    text: "h'' - h' of IAPWS-IF97 at the temperature",
    source: "iapws_if97",
};

/// Most alcohol in the liquid of a food that is told a boiling point [-] (`common_practice`).
const ALCOHOL_MOST: f64 = 0.005;
/// The steam tables' megapascal [Pa].
const MEGAPASCAL_PA: f64 = 1e6;
/// The standard atmosphere (`icao_7488`): pressure [Pa] and temperature [K] at sea level, lapse
/// rate [K/m], and the exponent that follows from gravity and the gas constant of air.
const STANDARD_PA: f64 = 101_325.0;
const STANDARD_K: f64 = 288.15;
const LAPSE_K_M: f64 = 0.0065;
const EXPONENT: f64 = 5.255_876_1;

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
    Ok(STANDARD_PA * (1.0 - LAPSE_K_M * height / STANDARD_K).powf(EXPONENT))
}

/// Pressure [Pa] here, from an altitude and the sea-level pressure that weather services give.
///
/// ```text
/// p = (p_sea^n - 101325^n 0.0065 H/288.15)^(1/n)      n = 1/5.2558761
/// ```
///
/// This is the reduction of an altimeter setting. Services that reduce with the day's own
/// temperature differ by about 0.1 °C of boiling point at 1500 m.
///
/// * `sea_level_pa`: reading reduced to sea level [Pa], 87 to 108.5 kPa: the least and the
///   greatest ever measured, so that a reading taken high up as it is does not pass for one
/// * `altitude_m`: height above sea level [m], -500 to 6000
///
/// # Errors
/// [`OutOfRange`] outside those.
///
/// # Source
/// `smithsonian_meteorological`.
pub fn station_pressure_pa(sea_level_pa: f64, altitude_m: f64) -> Result<f64, MatterError> {
    let sea = OutOfRange::check(
        "air pressure at sea level",
        sea_level_pa,
        87_000.0,
        108_500.0,
        "Pa",
        "wmo_extremes",
    )?;
    let height = OutOfRange::check("altitude", altitude_m, -500.0, 6000.0, "m", "icao_7488")?;
    let n = 1.0 / EXPONENT;
    Ok((sea.powf(n) - STANDARD_PA.powf(n) * LAPSE_K_M * height / STANDARD_K).powf(EXPONENT))
}

/// Pressure [Pa] here, from a barometer that stands here and is not set to sea level.
///
/// * `reading_pa`: reading [Pa]
/// * `altitude_m`: height above sea level [m], -500 to 6000
///
/// # Errors
/// [`OutOfRange`] for a reading that no weather gives at the altitude: more than 8 % above or
/// 14 % below the standard atmosphere, as far as sea-level pressure has ever strayed. A reading
/// set to sea level is caught by it from about 700 m up.
///
/// # Source
/// `wmo_extremes`, with `icao_7488`.
pub fn barometer_pa(reading_pa: f64, altitude_m: f64) -> Result<f64, MatterError> {
    let standard = pressure_pa(altitude_m)?;
    Ok(OutOfRange::check(
        "air pressure at this altitude",
        reading_pa,
        0.86 * standard,
        1.08 * standard,
        "Pa",
        "wmo_extremes",
    )?)
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
/// Steam counts as ideal between the two pressures, which makes a rise 1.3 % too small.
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

/// `Ok` where a food holds so little alcohol that its boiling point is water's and its solids'.
///
/// # Errors
/// [`MatterError::AlcoholBoils`] above half a percent of the liquid: alcohol boils off first, and
/// hotter numbers beside its vapour would mislead.
pub fn no_alcohol_to_boil(food: &Food) -> Result<(), MatterError> {
    let liquid_kg = food.water_kg + food.alcohol_kg;
    if food.alcohol_kg > ALCOHOL_MOST * liquid_kg {
        return Err(MatterError::AlcoholBoils {
            percent: 100.0 * food.alcohol_kg / liquid_kg,
        });
    }
    Ok(())
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

    #[test]
    fn a_reading_for_the_wrong_place_is_refused() {
        // 850 hPa is a plain day at 1500 m, but no sea-level pressure; 1013 hPa the other way.
        assert!(station_pressure_pa(85_000.0, 1500.0).is_err());
        assert!(barometer_pa(85_000.0, 1500.0).is_ok());
        assert!(barometer_pa(101_325.0, 1500.0).is_err());
        assert!(station_pressure_pa(101_325.0, f64::NAN).is_err());
    }

    proptest! {
        #[test]
        fn a_standard_day_is_the_standard_atmosphere_and_high_pressure_boils_hotter(
            height in -400.0..5000.0, more in 0.0..5000.0,
        ) {
            let here = |pa| station_pressure_pa(pa, height);
            let standard = pressure_pa(height).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert!(here(101_325.0).is_ok_and(|pa| (pa - standard).abs() < 1e-6));
            let boils = here(101_325.0 + more).and_then(water_boils_c);
            prop_assert!(boils.is_ok_and(|c| water_boils_c(standard).is_ok_and(|s| c >= s)));
        }

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
