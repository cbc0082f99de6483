//! The film of food at a pot's wall: how well it takes heat, how hot it gets, how long it stays.
//!
//! Egg scrambles here and not in the middle. A film that thickens takes heat worse and gets
//! hotter on a hob, and slows the pot over steam.

use std::f64::consts::PI;

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`agitated_film_w_m2k`].
pub static AGITATED_FILM: Equation = Equation {
    key: "agitated-film",
    title: "Coefficient at the wall of a stirred vessel",
    text: "h D_t/k = a (D_a^2 N rho/mu)^(2/3) (c_p mu/k)^(1/3) (mu/mu_w)^m, paddle a = 0.36, m = 0.21; \
           flat-blade turbine with baffles a = 0.74, m = 0.14",
    source: "geankoplis",
};

/// Registry entry of [`Film::stays_s`].
pub static FILM_STAYS: Equation = Equation {
    key: "film-stays",
    title: "Time a film of food stays at the wall before it is stirred away",
    text: "h = 2 sqrt(k rho c_p/(pi t)): t = 4 k rho c_p/(pi h^2)  [s]",
    source: "higbie_1935",
};

/// Registry entry of [`wiped_film_w_m2k`].
pub static WIPED_FILM: Equation = Equation {
    key: "wiped-film",
    title: "Coefficient at a wall that a scraper wipes",
    text: "h = 0.5 x 2 sqrt(k rho c_p/(pi t)), t between two wipes of one place  [W/(m2 K)]",
    source: "harriott_1959",
};

/// Registry entry of [`wall_c`].
pub static WALL_TEMPERATURE: Equation = Equation {
    key: "wall-temperature",
    title: "Temperature of the food at the wall",
    text: "T_w = T + q/h; where it would boil at most T_boil + (q/5.56)^(1/4), q in W/m2",
    source: "geankoplis",
};

/// Coefficient of boiling at an upright wall is this times the cube of its excess [W/(m² K⁴)].
///
/// # Source
/// `geankoplis`, example 4.8-1.
const BOILS_W_M2K4: f64 = 5.56;

/// What stirs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stirrer {
    /// A spoon, a whisk or a paddle: nothing stops the food from turning with it.
    Paddle,
    /// A flat-blade turbine in a vessel with baffles.
    Turbine,
}

impl Stirrer {
    /// Factor and exponent of the viscosity ratio.
    const fn constants(self) -> (f64, f64) {
        match self {
            Self::Paddle => (0.36, 0.21),
            Self::Turbine => (0.74, 0.14),
        }
    }
}

/// Food as the film sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stuff {
    /// Conductivity [W/(m K)].
    pub conductivity_w_mk: f64,
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Heat capacity [J/(kg K)].
    pub heat_capacity_j_kgk: f64,
    /// Viscosity in the middle [Pa s].
    pub viscosity_pa_s: f64,
    /// Viscosity at the wall [Pa s].
    pub at_wall_pa_s: f64,
}

/// Coefficient at the wall of a stirred vessel [W/(m² K)].
///
/// ```text
/// h D_t/k = a (D_a^2 N rho/mu)^(2/3) (cp mu/k)^(1/3) (mu/mu_w)^m
/// ```
///
/// * `stirrer`: paddle a 0.36, m 0.21; flat-blade turbine with baffles a 0.74, m 0.14
/// * `vessel_m`: inner diameter of the vessel [m], 0.02 to 5
/// * `stirrer_m`: diameter that the stirrer sweeps [m], above 0 and at most the vessel's
/// * `turns_s`: turns a second [1/s], 0.01 to 50
///
/// Measured for Reynolds numbers of 300 to 300 000; below that it is used as it stands.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `geankoplis`, equation 4.13-1 and its table, from memory; `kern_1950`, example 20.1, prints the
/// same for a paddle.
pub fn agitated_film_w_m2k(
    stirrer: Stirrer,
    stuff: &Stuff,
    vessel_m: f64,
    stirrer_m: f64,
    turns_s: f64,
) -> Result<f64, HeatError> {
    let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, AGITATED_FILM.source);
    range("vessel", vessel_m, 0.02, 5.0, "m")?;
    range("sweep of the stirrer", stirrer_m, 1e-3, vessel_m, "m")?;
    range("turns of the stirrer", turns_s, 0.01, 50.0, "1/s")?;
    range("viscosity", stuff.viscosity_pa_s, 1e-5, 1e4, "Pa s")?;
    range("viscosity at the wall", stuff.at_wall_pa_s, 1e-5, 1e6, "Pa s")?;
    let (factor, power) = stirrer.constants();
    let reynolds = stirrer_m * stirrer_m * turns_s * stuff.density_kg_m3 / stuff.viscosity_pa_s;
    let prandtl = stuff.heat_capacity_j_kgk * stuff.viscosity_pa_s / stuff.conductivity_w_mk;
    Ok(factor
        * (reynolds * reynolds * prandtl).cbrt()
        * (stuff.viscosity_pa_s / stuff.at_wall_pa_s).powf(power)
        * stuff.conductivity_w_mk
        / vessel_m)
}

/// Share of the coefficient of a wall wiped bare that a scraper leaves in thick food.
///
/// # Source
/// `harriott_1959`, from memory: thick liquids fell to about half of what renewal of the whole film gives.
const WIPED_SHARE: f64 = 0.5;

/// Coefficient at a wall that a scraper wipes every so often [W/(m² K)].
///
/// ```text
/// h = 0.5 2 sqrt(k rho cp/(pi t))
/// ```
///
/// * `conductivity_w_mk`, `heat_j_m3k`: of the food [W/(m K)], [J/(m³ K)]
/// * `wiped_s`: time between two wipes of one place [s], above 0
///
/// # Source
/// `higbie_1935` and, for the half, `harriott_1959`, both from memory.
#[must_use]
pub fn wiped_film_w_m2k(conductivity_w_mk: f64, heat_j_m3k: f64, wiped_s: f64) -> f64 {
    WIPED_SHARE * renewed_film_w_m2k(conductivity_w_mk, heat_j_m3k, wiped_s)
}

/// Mean coefficient of a film that is wholly new every so often [W/(m² K)].
fn renewed_film_w_m2k(conductivity_w_mk: f64, heat_j_m3k: f64, stays_s: f64) -> f64 {
    2.0 * (conductivity_w_mk * heat_j_m3k / (PI * stays_s)).sqrt()
}

/// A film of food at a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    /// Coefficient [W/(m² K)].
    pub w_m2k: f64,
    /// Conductivity of the food [W/(m K)].
    pub conductivity_w_mk: f64,
    /// Density times heat capacity [J/(m³ K)].
    pub heat_j_m3k: f64,
}

impl Film {
    /// Thickness k/h [m].
    #[must_use]
    pub fn thickness_m(&self) -> f64 {
        self.conductivity_w_mk / self.w_m2k
    }

    /// Time [s] that a film stays at the wall before it is stirred away.
    ///
    /// ```text
    /// t = 4 k rho cp/(pi h^2)
    /// ```
    ///
    /// # Source
    /// `higbie_1935`, surface renewal, from memory.
    #[must_use]
    pub fn stays_s(&self) -> f64 {
        4.0 * self.conductivity_w_mk * self.heat_j_m3k / (PI * self.w_m2k * self.w_m2k)
    }

    /// Food in the film as hot as the wall, for each square metre [m]: half its thickness, since
    /// the temperature falls straight across it.
    #[must_use]
    pub fn hot_m(&self) -> f64 {
        0.5 * self.thickness_m()
    }
}

/// Temperature of the food at the wall [°C].
///
/// ```text
/// T_w = T + q/h, where it would boil at most T_boil + (q/5.56)^(1/4)
/// ```
///
/// * `bulk_c`: the middle [°C]
/// * `flux_w_m2`: heat through the wall [W/m²], 0 or more
/// * `film_w_m2k`: coefficient [W/(m² K)], above 0
/// * `boils_c`: boiling point of the food [°C]
///
/// # Source
/// Newton's law of cooling; boiling at an upright wall by `geankoplis`, example 4.8-1.
#[must_use]
pub fn wall_c(bulk_c: f64, flux_w_m2: f64, film_w_m2k: f64, boils_c: f64) -> f64 {
    let by_film_c = bulk_c + flux_w_m2 / film_w_m2k;
    let boiling_c = boils_c + (flux_w_m2.max(0.0) / BOILS_W_M2K4).sqrt().sqrt();
    by_film_c.min(boiling_c.max(bulk_c))
}

#[cfg(test)]
mod tests {
    use super::*;

    const CURD: Stuff = Stuff {
        conductivity_w_mk: 0.45,
        density_kg_m3: 1140.0,
        heat_capacity_j_kgk: 2865.0,
        viscosity_pa_s: 0.02,
        at_wall_pa_s: 0.02,
    };

    #[test]
    fn brisker_stirring_thins_the_film_and_shortens_its_stay() -> Result<(), HeatError> {
        let film = |turns_s| -> Result<Film, HeatError> {
            Ok(Film {
                w_m2k: agitated_film_w_m2k(Stirrer::Paddle, &CURD, 0.3, 0.15, turns_s)?,
                conductivity_w_mk: CURD.conductivity_w_mk,
                heat_j_m3k: CURD.density_kg_m3 * CURD.heat_capacity_j_kgk,
            })
        };
        let (slow, quick) = (film(0.5)?, film(2.0)?);
        assert!(quick.thickness_m() < slow.thickness_m() && quick.stays_s() < slow.stays_s());
        // Renewal's own law back: the mean coefficient over the stay is the film's.
        let mean = renewed_film_w_m2k(slow.conductivity_w_mk, slow.heat_j_m3k, slow.stays_s());
        assert!((mean / slow.w_m2k - 1.0).abs() < 1e-12);
        Ok(())
    }

    #[test]
    fn a_film_that_has_set_takes_heat_worse() -> Result<(), HeatError> {
        let set = Stuff {
            at_wall_pa_s: 1.0,
            ..CURD
        };
        let film = |stuff| agitated_film_w_m2k(Stirrer::Paddle, stuff, 0.3, 0.15, 1.0);
        assert!(film(&set)? < film(&CURD)?);
        Ok(())
    }

    #[test]
    fn a_wall_is_hotter_than_the_food_and_boils_rather_than_glow() {
        assert!((wall_c(70.0, 4000.0, 400.0, 101.0) - 80.0).abs() < 1e-12);
        assert!(wall_c(95.0, 60_000.0, 400.0, 101.0) < 115.0);
        assert!((wall_c(60.0, 0.0, 400.0, 101.0) - 60.0).abs() < 1e-12);
    }

    #[test]
    fn a_stirrer_wider_than_its_vessel_is_refused() {
        assert!(agitated_film_w_m2k(Stirrer::Turbine, &CURD, 0.3, 0.4, 1.0).is_err());
        assert!(agitated_film_w_m2k(Stirrer::Turbine, &CURD, 0.3, 0.2, f64::NAN).is_err());
    }
}
