//! Films of what food is cooled in: still and moving air, water still and stirred.
//!
//! Coefficients from correlations, for a surface as warm as it is at the moment.
//!
//! Read next: `films.rs` for air's properties and a wall in still air.

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::Component;

use crate::HeatError;
use crate::films::{air, still_air_convection_w_m2k};

/// Registry entry of [`film_w_m2k`].
pub static COOLING_FILM: Equation = Equation {
    key: "cooling-film",
    title: "Heat-transfer coefficient of what food is cooled in",
    text: "free: upright Churchill and Chu, up 0.54 Ra^(1/4) or 0.15 Ra^(1/3), down 0.27 Ra^(1/4); forced: plate 0.664 Re^(1/2) Pr^(1/3) \
           or (0.037 Re^0.8 - 871) Pr^(1/3), across Churchill and Bernstein; Nu^3 = free^3 + forced^3; air with e s (T_s^2 + T_a^2)(T_s + T_a)",
    source: "incropera_heat_mass",
};

/// Registry entry of [`water_viscosity_pa_s`].
pub static WATER_VISCOSITY: Equation = Equation {
    key: "water-viscosity",
    title: "Viscosity of water",
    text: "mu = 2.414 x 10^-5 x 10^(247.8/(T - 140))  [Pa s], T in kelvins",
    source: "crc_handbook",
};

/// Absolute zero [°C].
const ZERO_C: f64 = 273.15;
/// Standard gravity [m/s²] (`codata_2018`).
const GRAVITY_M_S2: f64 = 9.806_65;
/// Stefan-Boltzmann constant [W/(m² K⁴)] (`codata_2018`).
const RADIATION_W_M2K4: f64 = 5.670_374_419e-8;
/// Standard pressure [Pa] (`us_standard_atmosphere_1976`).
const STANDARD_PA: f64 = 101_325.0;

/// What the food is cooled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Medium {
    /// Air, at the speed that a fan gives it [m/s]; 0 is still.
    Air {
        /// Speed [m/s], 0 to 30.
        speed_m_s: f64,
    },
    /// Water, at the speed that stirring gives it [m/s]; 0 is still.
    Water {
        /// Speed [m/s], 0 to 5.
        speed_m_s: f64,
    },
}

/// How a surface stands in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stands {
    /// An upright wall of this height [m].
    Upright(f64),
    /// The side of an upright cylinder: height and diameter [m]. Moving air or water crosses it.
    Side {
        /// Height [m].
        high_m: f64,
        /// Diameter [m].
        across_m: f64,
    },
    /// A level surface that faces up, this long [m].
    Up(f64),
    /// A level surface that faces down, this long [m].
    Down(f64),
}

/// What a correlation asks of a fluid at film temperature.
struct Fluid {
    conductivity_w_mk: f64,
    viscosity_m2_s: f64,
    prandtl: f64,
    /// Buoyancy: difference of density over density [-].
    lift: f64,
}

/// Viscosity of water [Pa s].
///
/// ```text
/// mu = 2.414e-5 10^(247.8/(T - 140))
/// ```
///
/// * `c`: 0 to 150 °C; within 2.5 %
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// An engineers' fit in wide use, from memory; held against `crc_handbook`.
pub fn water_viscosity_pa_s(c: f64) -> Result<f64, OutOfRange> {
    let t = OutOfRange::check("water", c, 0.0, 150.0, "°C", WATER_VISCOSITY.key)? + ZERO_C;
    Ok(2.414e-5 * 10.0_f64.powf(247.8 / (t - 140.0)))
}

/// Coefficient [W/(m² K)] of a medium on a surface, in air with radiation to walls as warm as the air.
///
/// ```text
/// Nu^3 = Nu_free^3 + Nu_forced^3     h = Nu k/L + e s (Ts^2 + Ta^2)(Ts + Ta)
/// ```
///
/// A hot surface that faces up and a cold one that faces down are alike, and the other way round.
///
/// * `surface_c`, `medium_c`: air -50 to 150 °C, water 0 to 120 °C; either may be the warmer
/// * lengths 5 mm to 1 m
/// * `emissivity`: 0 to 1, counted in air
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, or where a wall's air turns turbulent (Ra above 1e9).
///
/// # Source
/// `churchill_chu_1975`; the rest as printed in `incropera_heat_mass` chapters 7 and 9, from memory.
pub fn film_w_m2k(
    medium: Medium,
    stands: Stands,
    surface_c: f64,
    medium_c: f64,
    emissivity: f64,
) -> Result<f64, HeatError> {
    let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, COOLING_FILM.key);
    for length in match stands {
        Stands::Side { high_m, across_m } => [high_m, across_m],
        Stands::Upright(long_m) | Stands::Up(long_m) | Stands::Down(long_m) => [long_m; 2],
    } {
        range("length of the surface", length, 0.005, 1.0, "m")?;
    }
    let emissivity = range("emissivity", emissivity, 0.0, 1.0, "1")?;
    let film_c = 0.5 * (surface_c + medium_c);
    let (fluid, speed, radiation) = match medium {
        Medium::Air { speed_m_s } => {
            let speed = range("speed of the air", speed_m_s, 0.0, 30.0, "m/s")?;
            range("surface", surface_c, -50.0, 150.0, "°C")?;
            range("air", medium_c, -50.0, 150.0, "°C")?;
            let at = air(film_c, STANDARD_PA)?;
            let fluid = Fluid {
                conductivity_w_mk: at.conductivity_w_mk,
                viscosity_m2_s: at.viscosity_m2_s,
                prandtl: at.prandtl,
                lift: (surface_c - medium_c).abs() / (film_c + ZERO_C),
            };
            let (s, m) = (surface_c + ZERO_C, medium_c + ZERO_C);
            (fluid, speed, emissivity * RADIATION_W_M2K4 * (s * s + m * m) * (s + m))
        }
        Medium::Water { speed_m_s } => {
            let speed = range("speed of the water", speed_m_s, 0.0, 5.0, "m/s")?;
            range("surface", surface_c, 0.0, 120.0, "°C")?;
            range("water", medium_c, 0.0, 120.0, "°C")?;
            (water(film_c, surface_c, medium_c)?, speed, 0.0)
        }
    };
    let free = match (medium, stands) {
        (Medium::Air { .. }, Stands::Upright(high_m) | Stands::Side { high_m, .. }) => {
            still_air_convection_w_m2k(surface_c, medium_c, high_m)?
        }
        _ => free_w_m2k(&fluid, stands, surface_c > medium_c),
    };
    let forced = forced_w_m2k(&fluid, stands, speed);
    Ok((free.powi(3) + forced.powi(3)).cbrt() + radiation)
}

fn water(film_c: f64, surface_c: f64, medium_c: f64) -> Result<Fluid, HeatError> {
    let at = Component::Water.alone(film_c)?;
    let density = |c: f64| Component::Water.alone(c).map(|at| at.density_kg_m3);
    let viscosity_pa_s = water_viscosity_pa_s(film_c)?;
    Ok(Fluid {
        conductivity_w_mk: at.conductivity_w_mk,
        viscosity_m2_s: viscosity_pa_s / at.density_kg_m3,
        prandtl: at.heat_capacity_j_kgk * viscosity_pa_s / at.conductivity_w_mk,
        lift: (density(surface_c)? - density(medium_c)?).abs() / at.density_kg_m3,
    })
}

fn free_w_m2k(fluid: &Fluid, stands: Stands, hot: bool) -> f64 {
    let (long_m, up) = match stands {
        Stands::Upright(long_m) | Stands::Side { high_m: long_m, .. } => (long_m, None),
        // A surface's own length: area over perimeter, of a square a quarter of its side.
        Stands::Up(long_m) => (0.25 * long_m, Some(hot)),
        Stands::Down(long_m) => (0.25 * long_m, Some(!hot)),
    };
    let ra = GRAVITY_M_S2 * fluid.lift * long_m.powi(3) * fluid.prandtl / fluid.viscosity_m2_s.powi(2);
    let nusselt = match up {
        None => {
            let spread = (1.0 + (0.492 / fluid.prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
            (0.825 + 0.387 * ra.powf(1.0 / 6.0) / spread).powi(2)
        }
        Some(true) if ra < 1e7 => 0.54 * ra.powf(0.25),
        Some(true) => 0.15 * ra.cbrt(),
        Some(false) => 0.27 * ra.powf(0.25),
    };
    nusselt * fluid.conductivity_w_mk / long_m
}

fn forced_w_m2k(fluid: &Fluid, stands: Stands, speed_m_s: f64) -> f64 {
    let (long_m, across) = match stands {
        Stands::Side { across_m, .. } => (across_m, true),
        Stands::Upright(long_m) | Stands::Up(long_m) | Stands::Down(long_m) => (long_m, false),
    };
    if speed_m_s <= 0.0 {
        return 0.0;
    }
    let (re, pr) = (speed_m_s * long_m / fluid.viscosity_m2_s, fluid.prandtl);
    let nusselt = if across {
        0.3 + 0.62 * re.sqrt() * pr.cbrt() / (1.0 + (0.4 / pr).powf(2.0 / 3.0)).powf(0.25)
            * (1.0 + (re / 282_000.0).powf(5.0 / 8.0)).powf(4.0 / 5.0)
    } else if re < 5e5 {
        0.664 * re.sqrt() * pr.cbrt()
    } else {
        (0.037 * re.powf(0.8) - 871.0) * pr.cbrt()
    };
    nusselt * fluid.conductivity_w_mk / long_m
}

/// Film through a wall: 1/U = 1/h + wall/k.
///
/// # Source
/// Resistances in series, `incropera_heat_mass` chapter 3.
#[must_use]
pub fn through_wall_w_m2k(film_w_m2k: f64, wall_m: f64, wall_k_w_mk: f64) -> f64 {
    if wall_m > 0.0 {
        1.0 / (1.0 / film_w_m2k + wall_m / wall_k_w_mk)
    } else {
        film_w_m2k
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moving_it_always_helps_and_water_beats_air() -> Result<(), HeatError> {
        let stands = Stands::Side {
            high_m: 0.09,
            across_m: 0.07,
        };
        let (mut air_before, mut water_before) = (0.0, 0.0);
        for speed_m_s in [0.0, 0.05, 0.2, 1.0, 4.0] {
            let air = film_w_m2k(Medium::Air { speed_m_s }, stands, 60.0, 5.0, 0.9)?;
            let water = film_w_m2k(Medium::Water { speed_m_s }, stands, 60.0, 5.0, 0.9)?;
            assert!(air > air_before && water > water_before && water > 10.0 * air);
            (air_before, water_before) = (air, water);
        }
        Ok(())
    }

    #[test]
    fn a_hot_face_down_is_as_a_cold_face_up() -> Result<(), HeatError> {
        let still = Medium::Air { speed_m_s: 0.0 };
        let down = film_w_m2k(still, Stands::Down(0.3), 60.0, 20.0, 0.0)?;
        let up = film_w_m2k(still, Stands::Up(0.3), 20.0, 60.0, 0.0)?;
        assert!((down - up).abs() < 1e-12);
        assert!(film_w_m2k(still, Stands::Up(0.3), 60.0, 20.0, 0.0)? > down);
        Ok(())
    }

    #[test]
    fn a_gale_and_frozen_water_are_refused() {
        let gale = Medium::Air { speed_m_s: 60.0 };
        assert!(film_w_m2k(gale, Stands::Up(0.3), 60.0, 20.0, 0.9).is_err());
        let water = Medium::Water { speed_m_s: 0.1 };
        assert!(film_w_m2k(water, Stands::Up(0.3), 60.0, -1.0, 0.9).is_err());
        assert!(film_w_m2k(water, Stands::Up(f64::NAN), 60.0, 1.0, 0.9).is_err());
    }
}
