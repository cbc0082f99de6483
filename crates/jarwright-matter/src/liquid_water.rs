//! Liquid water's own properties, for films that run down a wall.

use jarwright_figure::OutOfRange;

use crate::MatterError;

/// Saturated liquid water at a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidWater {
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Dynamic viscosity [Pa s].
    pub viscosity_pa_s: f64,
    /// Conductivity [W/(m K)].
    pub conductivity_w_mk: f64,
}

/// Properties of saturated liquid water.
///
/// * `c`: temperature [°C], 0.01 to 200
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `iapws_if97`; viscosity and conductivity by the association's own formulations that go with it.
pub fn liquid_water(c: f64) -> Result<LiquidWater, MatterError> {
    let c = OutOfRange::check("temperature", c, 0.01, 200.0, "°C", "iapws_if97")?;
    Ok(LiquidWater {
        density_kg_m3: seuif97::tx(c, 0.0, seuif97::OV).recip(),
        viscosity_pa_s: seuif97::tx(c, 0.0, seuif97::ODV),
        conductivity_w_mk: seuif97::tx(c, 0.0, seuif97::OTC),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_of_95_degrees_is_that_of_the_textbook() -> Result<(), MatterError> {
        // incropera_heat_mass, table of saturated water at 370 K: 1/1.041e-3, 289e-6, 679e-3.
        let water = liquid_water(96.85)?;
        assert!((water.density_kg_m3 - 960.6).abs() < 0.6, "{water:?}");
        assert!((water.viscosity_pa_s - 289e-6).abs() < 3e-6, "{water:?}");
        assert!((water.conductivity_w_mk - 0.679).abs() < 0.004, "{water:?}");
        assert!(liquid_water(f64::NAN).is_err());
        Ok(())
    }
}
