//! Heat and vapour through the still film of air on a jar or a pot.
//!
//! Plain coefficients for whoever walls something: the jar solver, the pot, the bath.

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::{latent_heat_j_kg, saturation_pressure_pa};

use crate::HeatError;

/// Registry entry of [`still_air_w_m2k`].
pub static STILL_AIR: Equation = Equation {
    key: "still-air-film",
    title: "Heat-transfer coefficient of a wall in still air",
    text: "h = (k/L) (0.68 + 0.670 Ra^(1/4) / (1 + (0.492/Pr)^(9/16))^(4/9)) \
           + e s (T_w^2 + T_a^2)(T_w + T_a)  [W/(m2 K)]",
    source: "churchill_chu_1975",
};

/// Registry entry of [`open_surface`].
pub static OPEN_SURFACE: Equation = Equation {
    key: "open-surface-heat",
    title: "Heat from an open hot surface facing up",
    text: "Nu = 0.54 Ra^(1/4) up to Ra = 10^7, 0.15 Ra^(1/3) above; Q = h A (T_s - T_a) + e s A (T_s^4 - T_a^4)  [W]",
    source: "cengel_heat_mass",
};

/// Registry entry of [`evaporation_kg_s`].
pub static EVAPORATION: Equation = Equation {
    key: "open-surface-evaporation",
    title: "Water evaporating from an open hot surface",
    text: "m = A h_m (a_w rho_v(T_s) - phi rho_v(T_a)), Sh = h_m L/D as Nu with Sc for Pr  [kg/s]",
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
    /// Water evaporating [kg/s]; below 0 where vapour of the air condenses.
    pub evaporation_kg_s: f64,
    /// Heat the vapour carries away [W], counted from the liquid at its own temperature.
    pub evaporation_w: f64,
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

/// Air's properties at a film temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Kinematic viscosity [m²/s].
    pub viscosity_m2_s: f64,
    /// Conductivity [W/(m K)].
    pub conductivity_w_mk: f64,
    /// Prandtl number [-].
    pub prandtl: f64,
}

/// Absolute zero [°C].
const ZERO_C: f64 = 273.15;
/// Standard gravity [m/s²] (`codata_2018`).
const GRAVITY_M_S2: f64 = 9.806_65;
/// Molar gas constant [J/(mol K)] (`codata_2018`).
const GAS_J_MOLK: f64 = 8.314_462_618;
/// Stefan-Boltzmann constant [W/(m² K⁴)] (`codata_2018`).
const RADIATION_W_M2K4: f64 = 5.670_374_419e-8;
/// Molar mass of dry air [kg/mol] (`us_standard_atmosphere_1976`).
const AIR_KG_MOL: f64 = 0.028_964_4;
/// Molar mass of water [kg/mol] (`iapws_if97`).
const WATER_KG_MOL: f64 = 0.018_015_268;
/// Heat capacity of air [J/(kg K)]; 1006 to 1010 between 0 and 100 °C (`cengel_heat_mass`, table of air).
const AIR_CP_J_KGK: f64 = 1007.0;
/// Standard pressure [Pa] (`us_standard_atmosphere_1976`).
const STANDARD_PA: f64 = 101_325.0;

/// Properties of air [`Air`] at a temperature and pressure.
///
/// ```text
/// mu = 1.458e-6 T^1.5/(T + 110.4)     k = 2.64638e-3 T^1.5/(T + 245.4 10^(-12/T))
/// rho = P M/(R T)
/// ```
///
/// * `film_c`: mean of wall and air [°C], -50 to 150
/// * `pressure_pa`: 50 to 110 kPa
///
/// # Errors
/// [`OutOfRange`] outside the ranges above.
///
/// # Source
/// `us_standard_atmosphere_1976`.
pub fn air(film_c: f64, pressure_pa: f64) -> Result<Air, OutOfRange> {
    let source = "us_standard_atmosphere_1976";
    let t = OutOfRange::check("film temperature", film_c, -50.0, 150.0, "°C", source)? + ZERO_C;
    let p = OutOfRange::check("air pressure", pressure_pa, 5.0e4, 1.1e5, "Pa", source)?;
    let t15 = t * t.sqrt();
    let viscosity_pa_s = 1.458e-6 * t15 / (t + 110.4);
    let conductivity_w_mk = 2.646_38e-3 * t15 / (t + 245.4 * (-12.0 / t * std::f64::consts::LN_10).exp());
    let density_kg_m3 = p * AIR_KG_MOL / (GAS_J_MOLK * t);
    Ok(Air {
        density_kg_m3,
        viscosity_m2_s: viscosity_pa_s / density_kg_m3,
        conductivity_w_mk,
        prandtl: AIR_CP_J_KGK * viscosity_pa_s / conductivity_w_mk,
    })
}

/// Diffusivity of water vapour in air [m²/s].
///
/// ```text
/// D = 1.87e-10 T^2.072/P,  P in atm
/// ```
///
/// * `film_c`: 7 to 177 °C in the source; used down to 0 °C
/// * `pressure_pa`: above 0
///
/// # Source
/// `marrero_mason_1972`, as `cengel_heat_mass` prints it.
fn vapour_diffusivity_m2_s(film_c: f64, pressure_pa: f64) -> f64 {
    1.87e-10 * (film_c + ZERO_C).powf(2.072) / (pressure_pa / STANDARD_PA)
}

/// Coefficient of still air on an upright wall, radiation left out [W/(m² K)].
///
/// ```text
/// Nu = 0.68 + 0.670 Ra^(1/4) / (1 + (0.492/Pr)^(9/16))^(4/9)     Ra = g (Tw - Ta) L^3 Pr/(T nu^2)
/// ```
///
/// * `wall_c`, `air_c`: -50 to 150 °C, either may be the warmer
/// * `height_m`: height of the wall [m], 5 mm to 1 m
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above or above Ra = 1e9, where the flow is turbulent.
///
/// # Source
/// `churchill_chu_1975`, the laminar form; as printed in `incropera_heat_mass`.
pub fn still_air_convection_w_m2k(wall_c: f64, air_c: f64, height_m: f64) -> Result<f64, HeatError> {
    let source = "churchill_chu_1975";
    OutOfRange::check("wall temperature", wall_c, -50.0, 150.0, "°C", source)?;
    OutOfRange::check("air temperature", air_c, -50.0, 150.0, "°C", source)?;
    let height = OutOfRange::check("height of the wall", height_m, 0.005, 1.0, "m", source)?;
    let film_c = 0.5 * (wall_c + air_c);
    let air = air(film_c, STANDARD_PA)?;
    let grashof =
        GRAVITY_M_S2 * (wall_c - air_c).abs() * height.powi(3) / ((film_c + ZERO_C) * air.viscosity_m2_s.powi(2));
    let rayleigh = OutOfRange::check("Rayleigh number", grashof * air.prandtl, 0.0, 1e9, "1", source)?;
    let spread = (1.0 + (0.492 / air.prandtl).powf(9.0 / 16.0)).powf(4.0 / 9.0);
    Ok(air.conductivity_w_mk / height * (0.68 + 0.670 * rayleigh.sqrt().sqrt() / spread))
}

/// Coefficient of still air and radiation on an upright wall [W/(m² K)].
///
/// ```text
/// h = h_convection + e s (Tw^2 + Ta^2)(Tw + Ta)
/// ```
///
/// * `wall_c`, `air_c`: -50 to 150 °C; the room's walls are taken to be as warm as its air
/// * `height_m`: 5 mm to 1 m
/// * `emissivity`: 0 to 1; glass has about 0.9
///
/// Air at sea level's pressure. Jars that stand close together see one another and cool slower.
///
/// # Errors
/// [`HeatError::OutOfRange`] as [`still_air_convection_w_m2k`], and outside the emissivity's range.
///
/// # Source
/// `churchill_chu_1975`; Stefan and Boltzmann's law with `codata_2018`.
pub fn still_air_w_m2k(wall_c: f64, air_c: f64, height_m: f64, emissivity: f64) -> Result<f64, HeatError> {
    let e = OutOfRange::check("emissivity", emissivity, 0.0, 1.0, "1", "churchill_chu_1975")?;
    Ok(still_air_convection_w_m2k(wall_c, air_c, height_m)? + radiation_w_m2k(wall_c, air_c, e))
}

fn radiation_w_m2k(wall_c: f64, around_c: f64, emissivity: f64) -> f64 {
    let (w, a) = (wall_c + ZERO_C, around_c + ZERO_C);
    emissivity * RADIATION_W_M2K4 * (w * w + a * a) * (w + a)
}

/// Water evaporating from an open hot surface [kg/s].
///
/// ```text
/// m = A h_m (a_w rho_v(Ts) - phi rho_v(Ta))     Sh = h_m L/D
/// Sh = 0.54 (Gr Sc)^(1/4) up to 1e7, 0.15 (Gr Sc)^(1/3) above;  Gr from the densities of the moist air
/// ```
///
/// * `surface_area_m2`: open surface [m²], above 0
/// * `length_m`: area over perimeter [m], a quarter of a round pot's diameter; 5 mm to 2 m
/// * `liquid_c`: 0 to 120 °C, and no hotter than its boiling point
/// * `water_activity`, `rel_humidity`: 0 to 1
/// * `air_c`: 0 to 60 °C
/// * `pressure_pa`: 50 to 110 kPa
///
/// For a quiet surface below boiling. A surface that boils sends off what the burner gives.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `cengel_heat_mass`, example 14.13.
pub fn evaporation_kg_s(
    surface_area_m2: f64,
    length_m: f64,
    liquid_c: f64,
    water_activity: f64,
    air_c: f64,
    rel_humidity: f64,
    pressure_pa: f64,
) -> Result<f64, HeatError> {
    let around = Surroundings {
        air_c,
        rel_humidity,
        pressure_pa,
    };
    Ok(open_surface(surface_area_m2, length_m, liquid_c, water_activity, 0.0, &around)?.evaporation_kg_s)
}

/// Heat and vapour leaving an open hot surface that faces up.
///
/// ```text
/// Nu = 0.54 Ra^(1/4) up to Ra = 1e7, 0.15 Ra^(1/3) above     Sh likewise with Sc for Pr
/// Gr = g (rho_air - rho_surface) L^3/(rho nu^2)
/// Q = h A (Ts - Ta) + e s A (Ts^4 - Ta^4) + m h_fg
/// ```
///
/// Arguments as [`evaporation_kg_s`]; `emissivity` of the liquid, about 0.95.
///
/// # Errors
/// As [`evaporation_kg_s`].
///
/// # Source
/// `cengel_heat_mass`, example 14.13.
pub fn open_surface(
    surface_area_m2: f64,
    length_m: f64,
    liquid_c: f64,
    water_activity: f64,
    emissivity: f64,
    around: &Surroundings,
) -> Result<OpenSurface, HeatError> {
    let at_surface_pa = water_activity_checked(water_activity)? * saturation_pressure_pa(checked_liquid(liquid_c)?)?;
    let leaving = OpenAir::new(around)?.over(surface_area_m2, length_m, liquid_c, at_surface_pa, emissivity)?;
    Ok(OpenSurface {
        convection_w_m2k: leaving.convection_w_m2k,
        convection_w: leaving.convection_w,
        radiation_w: leaving.radiation_w,
        evaporation_kg_s: leaving.evaporation_kg_s,
        evaporation_w: leaving.evaporation_kg_s * latent_heat_j_kg(liquid_c.max(0.01))?,
    })
}

fn in_range(what: &'static str, got: f64, min: f64, max: f64, unit: &'static str) -> Result<f64, OutOfRange> {
    OutOfRange::check(what, got, min, max, unit, EVAPORATION.key)
}

fn checked_liquid(c: f64) -> Result<f64, OutOfRange> {
    in_range("liquid's temperature", c, 0.0, 120.0, "°C")
}

fn water_activity_checked(activity: f64) -> Result<f64, OutOfRange> {
    in_range("water activity", activity, 0.0, 1.0, "1")
}

/// Air over an open surface, with what stays the same while the liquid gets hotter.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OpenAir {
    around: Surroundings,
    in_air_pa: f64,
}

/// What leaves an open surface, its vapour still to be priced in heat.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Leaving {
    pub(crate) convection_w_m2k: f64,
    pub(crate) convection_w: f64,
    pub(crate) radiation_w: f64,
    pub(crate) evaporation_kg_s: f64,
}

impl OpenAir {
    pub(crate) fn new(around: &Surroundings) -> Result<Self, HeatError> {
        in_range("air temperature", around.air_c, 0.0, 60.0, "°C")?;
        in_range("relative humidity", around.rel_humidity, 0.0, 1.0, "1")?;
        Ok(Self {
            around: *around,
            in_air_pa: around.rel_humidity * saturation_pressure_pa(around.air_c)?,
        })
    }

    /// What leaves at a temperature, the vapour pressure of the liquid [Pa] known.
    pub(crate) fn over(
        &self,
        surface_area_m2: f64,
        length_m: f64,
        liquid_c: f64,
        at_surface_pa: f64,
        emissivity: f64,
    ) -> Result<Leaving, HeatError> {
        in_range("open surface", surface_area_m2, 1e-6, 100.0, "m2")?;
        in_range("area over perimeter", length_m, 0.005, 2.0, "m")?;
        checked_liquid(liquid_c)?;
        in_range("emissivity", emissivity, 0.0, 1.0, "1")?;
        let (around, in_air_pa) = (&self.around, self.in_air_pa);
        let pressure = around.pressure_pa;
        let film_c = 0.5 * (liquid_c + around.air_c);
        let air = air(film_c, pressure)?;
        let diffusivity_m2_s = vapour_diffusivity_m2_s(film_c, pressure);
        // A hair of room for a boiling point that was itself computed.
        in_range(
            "vapour pressure of the liquid",
            at_surface_pa,
            0.0,
            pressure * 1.001,
            "Pa",
        )?;

        let vapour = |pa: f64, c: f64| pa * WATER_KG_MOL / (GAS_J_MOLK * (c + ZERO_C));
        let moist = |pa: f64, c: f64| vapour(pa, c) + (pressure - pa) * AIR_KG_MOL / (GAS_J_MOLK * (c + ZERO_C));
        let (light, heavy) = (moist(at_surface_pa, liquid_c), moist(in_air_pa, around.air_c));
        let grashof = GRAVITY_M_S2 * (heavy - light).abs() * length_m.powi(3)
            / (0.5 * (heavy + light) * air.viscosity_m2_s.powi(2));
        let convection_w_m2k = upward(grashof * air.prandtl) * air.conductivity_w_mk / length_m;
        let schmidt = air.viscosity_m2_s / diffusivity_m2_s;
        let transfer_m_s = upward(grashof * schmidt) * diffusivity_m2_s / length_m;
        let warmer_k = liquid_c - around.air_c;
        Ok(Leaving {
            convection_w_m2k,
            convection_w: convection_w_m2k * surface_area_m2 * warmer_k,
            radiation_w: radiation_w_m2k(liquid_c, around.air_c, emissivity) * surface_area_m2 * warmer_k,
            evaporation_kg_s: surface_area_m2
                * transfer_m_s
                * (vapour(at_surface_pa, liquid_c) - vapour(in_air_pa, around.air_c)),
        })
    }
}

/// Nusselt or Sherwood number [-] over a hot surface that faces up.
fn upward(rayleigh: f64) -> f64 {
    if rayleigh < 1e7 {
        0.54 * rayleigh.sqrt().sqrt()
    } else {
        0.15 * rayleigh.cbrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wall_as_warm_as_the_air_still_radiates_and_conducts() -> Result<(), HeatError> {
        let h = still_air_w_m2k(20.0, 20.0, 0.09, 0.9)?;
        let radiation = 4.0 * 0.9 * RADIATION_W_M2K4 * 293.15f64.powi(3);
        assert!(h > radiation && h < radiation + 0.5, "{h}");
        Ok(())
    }

    #[test]
    fn turbulent_air_is_refused_rather_than_guessed() {
        assert!(still_air_w_m2k(95.0, 20.0, 0.9, 0.9).is_err());
        assert!(still_air_w_m2k(f64::NAN, 20.0, 0.09, 0.9).is_err());
    }

    #[test]
    fn water_above_its_boiling_point_is_not_a_quiet_surface() {
        assert!(evaporation_kg_s(0.1, 0.05, 99.9, 1.0, 20.0, 0.5, 101_325.0).is_ok());
        assert!(evaporation_kg_s(0.1, 0.05, 101.0, 1.0, 20.0, 0.5, 101_325.0).is_err());
        assert!(evaporation_kg_s(0.1, 0.05, 101.0, 0.9, 20.0, 0.5, 101_325.0).is_ok());
        assert!(evaporation_kg_s(0.1, 0.05, 96.0, 1.0, 20.0, 0.5, 84_556.0).is_err());
    }

    #[test]
    fn cold_water_gathers_dew_from_damp_air() -> Result<(), HeatError> {
        assert!(evaporation_kg_s(0.1, 0.05, 5.0, 1.0, 25.0, 0.9, 101_325.0)? < 0.0);
        assert!(evaporation_kg_s(0.1, 0.05, 25.0, 1.0, 25.0, 1.0, 101_325.0)?.abs() < 1e-15);
        Ok(())
    }
}
