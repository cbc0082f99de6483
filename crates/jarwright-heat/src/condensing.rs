//! Steam that condenses on a jar: pure, and mixed with air.

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::{LiquidWater, latent_heat_j_kg, liquid_water, saturation_pressure_pa};

use crate::HeatError;
use crate::heated_vessel::{STEAM_WITH_AIR, steam_film_w_m2k};

/// Registry entry of [`film_condensation`].
pub static FILM_CONDENSATION: Equation = Equation {
    key: "film-condensation",
    title: "Steam condensing on an upright wall",
    text: "h = 0.943 (g r^2 h_fg k^3 / (m L Delta T))^(1/4) while Re = 4 q/(m h_fg) <= 30; \
           above, Re = (3.70 L k Delta T/(m h_fg) (g/n^2)^(1/3) + 4.81)^0.820, h = Re k (g/n^2)^(1/3)/(1.08 Re^1.22 - 5.2)",
    source: "nusselt_1916",
};

/// Standard gravity [m/s²] (`codata_2018`).
const GRAVITY_M_S2: f64 = 9.806_65;
/// Molar mass of dry air over that of water [-] (`us_standard_atmosphere_1976`, `iapws_if97`).
const AIR_OVER_WATER: f64 = 0.028_964_4 / 0.018_015_268;
/// Reynolds number up to which the film is smooth [-] (`cengel_heat_mass`, chapter 10).
const SMOOTH_RE: f64 = 30.0;
/// Reynolds number up to which the film only ripples [-] (`cengel_heat_mass`, chapter 10).
const RIPPLED_RE: f64 = 1800.0;

/// A film of condensate on an upright wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    /// Mean coefficient [W/(m² K)].
    pub w_m2k: f64,
    /// Reynolds number at its foot [-].
    pub reynolds: f64,
    /// Heat into the wall [W/m²].
    pub heat_w_m2: f64,
    /// Condensate [kg/s] for a metre of width.
    pub condensate_kg_sm: f64,
}

/// Film of pure steam that condenses on an upright wall.
///
/// ```text
/// h = 0.943 (g rho^2 h_fg k^3 / (mu L dT))^(1/4)                       Re = 4 q L/(mu h_fg) <= 30
/// Re = (3.70 L k dT/(mu h_fg) (g/nu^2)^(1/3) + 4.81)^0.820             30 to 1800
/// h  = Re k (g/nu^2)^(1/3) / (1.08 Re^1.22 - 5.2)
/// ```
///
/// * `water`: properties of the condensate at the mean of wall and steam
/// * `latent_j_kg`: latent heat at the steam's temperature, above 0
/// * `colder_k`: steam less wall [K], above 0 to 150
/// * `height_m`: height of the wall [m], 1 mm to 10 m
///
/// The steam's own density is left out (0.06 % of the water's), and the film's subcooling.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, and above Re = 1800, where the film is
/// turbulent.
///
/// # Source
/// `nusselt_1916`; the rippled film after Kutateladze as `cengel_heat_mass` chapter 10 prints it.
pub fn film_condensation(
    water: &LiquidWater,
    latent_j_kg: f64,
    colder_k: f64,
    height_m: f64,
) -> Result<Film, HeatError> {
    let source = FILM_CONDENSATION.source;
    OutOfRange::check("steam less wall", colder_k, 1e-9, 150.0, "K", source)?;
    OutOfRange::check("height of the wall", height_m, 1e-3, 10.0, "m", source)?;
    OutOfRange::check("latent heat", latent_j_kg, 1e5, 3e6, "J/kg", source)?;
    let &LiquidWater {
        density_kg_m3: rho,
        viscosity_pa_s: mu,
        conductivity_w_mk: k,
    } = water;
    OutOfRange::check("density of the condensate", rho, 100.0, 2000.0, "kg/m³", source)?;
    OutOfRange::check("viscosity of the condensate", mu, 1e-5, 1.0, "Pa s", source)?;
    OutOfRange::check("conductivity of the condensate", k, 1e-2, 10.0, "W/(m K)", source)?;
    let smooth = 0.943
        * (GRAVITY_M_S2 * rho * rho * latent_j_kg * k.powi(3) / (mu * height_m * colder_k))
            .sqrt()
            .sqrt();
    let reynolds_of = |h: f64| 4.0 * h * colder_k * height_m / (mu * latent_j_kg);
    let (w_m2k, reynolds) = if reynolds_of(smooth) <= SMOOTH_RE {
        (smooth, reynolds_of(smooth))
    } else {
        let per_length = (GRAVITY_M_S2 * (rho / mu).powi(2)).cbrt();
        let rippled = (3.70 * height_m * k * colder_k / (mu * latent_j_kg) * per_length + 4.81).powf(0.820);
        let re = rippled.max(SMOOTH_RE);
        OutOfRange::check("Reynolds number of the film", re, 0.0, RIPPLED_RE, "1", source)?;
        ((re * k * per_length / (1.08 * re.powf(1.22) - 5.2)).max(smooth), re)
    };
    let heat_w_m2 = w_m2k * colder_k;
    Ok(Film {
        w_m2k,
        reynolds,
        heat_w_m2,
        condensate_kg_sm: heat_w_m2 * height_m / latent_j_kg,
    })
}

/// Film of pure steam on a jar [W/(m² K)].
///
/// * `steam_c`, `wall_c`: steam, and the colder glass [°C]; less than 1 mK apart counts as 1 mK
/// * `height_m`: as [`film_condensation`]
///
/// # Errors
/// As [`film_condensation`].
///
/// # Source
/// `nusselt_1916` with `iapws_if97`.
pub fn steam_on_wall_w_m2k(steam_c: f64, wall_c: f64, height_m: f64) -> Result<f64, HeatError> {
    let colder_k = (steam_c - wall_c).max(1e-3);
    let water = liquid_water(steam_c - 0.5 * colder_k)?;
    Ok(film_condensation(&water, latent_heat_j_kg(steam_c)?, colder_k, height_m)?.w_m2k)
}

/// Film of steam that still has air in it [W/(m² K)].
///
/// ```text
/// h = 380 (m_air/m_steam)^-0.7, at most that of pure steam
/// ```
///
/// * `mixture_c`: temperature of the saturated mixture [°C], 10 to the boil
/// * `pressure_pa`: of the room [Pa]
///
/// The mixture's steam is as much as its temperature allows. A few parts of air in a hundred
/// take more than half of pure steam's film away: a canner must be purged before time counts.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// [`STEAM_WITH_AIR`].
pub fn steam_with_air_w_m2k(mixture_c: f64, pressure_pa: f64) -> Result<f64, HeatError> {
    let source = STEAM_WITH_AIR.source;
    OutOfRange::check("steam and air", mixture_c, 0.01, 120.0, "°C", source)?;
    OutOfRange::check("air pressure", pressure_pa, 5e4, 1.1e5, "Pa", source)?;
    let steam_pa = saturation_pressure_pa(mixture_c)?;
    let air_pa = (pressure_pa - steam_pa).max(1e-4 * pressure_pa);
    steam_film_w_m2k(AIR_OVER_WATER * air_pa / steam_pa)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_taller_wall_and_a_colder_wall_have_a_thicker_film() -> Result<(), HeatError> {
        let water = liquid_water(95.0)?;
        let h = |colder_k, height_m| film_condensation(&water, 2.257e6, colder_k, height_m).map(|film| film.w_m2k);
        assert!(h(1.0, 0.05)? > h(2.0, 0.05)?);
        assert!(h(1.0, 0.05)? > h(1.0, 0.1)?);
        Ok(())
    }

    #[test]
    fn smooth_and_rippled_films_meet_within_a_few_parts_in_a_hundred() -> Result<(), HeatError> {
        let water = liquid_water(95.0)?;
        let mut before: Option<Film> = None;
        for step in 1..400 {
            let film = film_condensation(&water, 2.257e6, 0.1 * f64::from(step), 0.09)?;
            if let Some(before) = before {
                assert!(film.heat_w_m2 > before.heat_w_m2, "{film:?}");
                assert!(film.w_m2k < 1.1 * before.w_m2k, "{film:?} {before:?}");
            }
            before = Some(film);
        }
        Ok(())
    }

    #[test]
    fn air_in_the_steam_takes_more_than_half_of_the_film_away() -> Result<(), HeatError> {
        let pure = steam_on_wall_w_m2k(99.97, 90.0, 0.09)?;
        // At 99 °C air is about 5 % of the mass.
        assert!(steam_with_air_w_m2k(99.0, 101_325.0)? < 0.5 * pure, "{pure}");
        assert!(steam_with_air_w_m2k(60.0, 101_325.0)? < steam_with_air_w_m2k(90.0, 101_325.0)?);
        assert!(steam_with_air_w_m2k(f64::NAN, 101_325.0).is_err());
        assert!(film_condensation(&liquid_water(95.0)?, 2.257e6, 0.0, 0.09).is_err());
        Ok(())
    }
}
