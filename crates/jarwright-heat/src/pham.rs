//! Freezing time in two stages by Pham: cooling and freezing each with its own heat and difference.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`pham_freezing`].
pub static PHAM_FREEZING: Equation = Equation {
    key: "pham-freezing",
    title: "Freezing time by Pham's two stages",
    text: "t = d/(E h) (Delta H_1/Delta T_1 + Delta H_2/Delta T_2)(1 + Bi/2); T_fm = 1.8 + 0.263 T_c + 0.105 T_a; \
           Delta H_1 = rho c_u (T_i - T_fm), Delta T_1 = (T_i + T_fm)/2 - T_a; Delta H_2 = rho (L + c_f (T_fm - T_c)), Delta T_2 = T_fm - T_a; Bi = h d/k_f",
    source: "pham_1986",
};

/// Registry entry of [`block_dimension`].
pub static BLOCK_DIMENSION: Equation = Equation {
    key: "block-dimension",
    title: "How many ways heat leaves a block",
    text: "E = 1 + (1 + 2/Bi)/(b_1^2 + 2 b_1/Bi) + (1 + 2/Bi)/(b_2^2 + 2 b_2/Bi), Bi = h d/k_f, d the shortest way out, \
           b_1 = A/(pi d^2), b_2 = 3 V/(4 pi b_1 d^3), A the smallest section through the middle",
    source: "hossain_1992",
};

/// What freezes and where, with properties that do not change but at freezing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pham {
    /// Shortest way from the middle to the surface [m].
    pub way_m: f64,
    /// Equivalent dimension E [-]: 1 a layer, 2 a long cylinder, 3 a ball, between them the rest.
    pub dimension: f64,
    /// Film [W/(m² K)].
    pub film_w_m2k: f64,
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Heat capacity unfrozen [J/(kg K)].
    pub unfrozen_cp_j_kgk: f64,
    /// Heat capacity frozen [J/(kg K)].
    pub frozen_cp_j_kgk: f64,
    /// Conductivity frozen [W/(m K)].
    pub frozen_k_w_mk: f64,
    /// Latent heat of the food: its freezing water's share of 333.6 kJ/kg [J/kg].
    pub latent_j_kg: f64,
    /// Start [°C].
    pub start_c: f64,
    /// Middle at the end [°C].
    pub end_c: f64,
    /// Medium [°C].
    pub medium_c: f64,
}

/// Freezing time with what it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhamTime {
    /// Mean freezing temperature [°C].
    pub mean_freezing_c: f64,
    /// Cooling to it [s].
    pub cooling_s: f64,
    /// Freezing and cooling on [s].
    pub freezing_s: f64,
}

impl PhamTime {
    /// Both stages [s].
    #[must_use]
    pub fn total_s(&self) -> f64 {
        self.cooling_s + self.freezing_s
    }
}

/// Freezing time by Pham.
///
/// ```text
/// t = d/(E h) (dH1/dT1 + dH2/dT2)(1 + Bi/2)     Tfm = 1.8 + 0.263 Tc + 0.105 Ta     Bi = h d/k_f
/// dH1 = rho c_u (Ti - Tfm)     dT1 = (Ti + Tfm)/2 - Ta     dH2 = rho (L + c_f (Tfm - Tc))     dT2 = Tfm - Ta
/// ```
///
/// Made for foods of more than 55 % water: 0.02 < Bi < 11, start up to 40 °C, medium -45 to -15 °C.
///
/// * way 0.5 mm to 1 m, dimension 1 to 3, film 1 to 10 000 W/(m² K), density 100 to 3000 kg/m³, heat
///   capacities 500 to 6000 J/(kg K), conductivity 0.05 to 5 W/(m K), latent heat 10 to 340 kJ/kg
/// * `start_c`: up to 100 °C, above the mean freezing temperature; `end_c`: below it, above `medium_c`
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above, [`HeatError::NeverReaches`] for a medium no
/// colder than the end.
///
/// # Source
/// `pham_1986`, from memory.
pub fn pham_freezing(p: &Pham) -> Result<PhamTime, HeatError> {
    let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, PHAM_FREEZING.key);
    let way = range("way to the surface", p.way_m, 5e-4, 1.0, "m")?;
    let e = range("equivalent dimension", p.dimension, 1.0, 3.0, "1")?;
    let film = range("film", p.film_w_m2k, 1.0, 1e4, "W/(m2 K)")?;
    let density = range("density", p.density_kg_m3, 100.0, 3000.0, "kg/m3")?;
    let unfrozen = range("heat capacity unfrozen", p.unfrozen_cp_j_kgk, 500.0, 6000.0, "J/(kg K)")?;
    let frozen = range("heat capacity frozen", p.frozen_cp_j_kgk, 500.0, 6000.0, "J/(kg K)")?;
    let k = range("frozen conductivity", p.frozen_k_w_mk, 0.05, 5.0, "W/(m K)")?;
    let latent = range("latent heat", p.latent_j_kg, 1e4, 3.4e5, "J/kg")?;
    let medium = range("medium", p.medium_c, -200.0, -5.0, "°C")?;
    let end = range("middle at the end", p.end_c, -60.0, -1.0, "°C")?;
    if end <= medium {
        return Err(HeatError::NeverReaches {
            quantity: "middle of the freezing food",
            target: end,
            limit: medium,
            unit: "°C",
        });
    }
    let mean_freezing_c = 1.8 + 0.263 * end + 0.105 * medium;
    range("mean freezing temperature", mean_freezing_c, end, 0.0, "°C")?;
    let start = range("start", p.start_c, mean_freezing_c, 100.0, "°C")?;
    let per_heat = way / (e * film) * (1.0 + 0.5 * film * way / k);
    let first = density * unfrozen * (start - mean_freezing_c) / (0.5 * (start + mean_freezing_c) - medium);
    let second = density * (latent + frozen * (mean_freezing_c - end)) / (mean_freezing_c - medium);
    Ok(PhamTime {
        mean_freezing_c,
        cooling_s: per_heat * first,
        freezing_s: per_heat * second,
    })
}

/// Equivalent dimension E [-] of a block or a short cylinder that freezes.
///
/// ```text
/// E = 1 + (1 + 2/Bi)/(b1^2 + 2 b1/Bi) + (1 + 2/Bi)/(b2^2 + 2 b2/Bi)     Bi = h d/k_f
/// ```
///
/// * `biot`: on the shortest way out, above 0
/// * `beta`: b1 and b2 of [`section_ratios`], each at least 1; infinite where the body has no end
///
/// The form for ellipsoids, whose other half axes they are over the shortest, used for blocks by the
/// textbooks. A slab has E = 1, a long cylinder 2, a ball 3, whatever the film.
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `hossain_1992`, from memory.
pub fn block_dimension(biot: f64, beta: [f64; 2]) -> Result<f64, HeatError> {
    let bi = OutOfRange::check("Biot number", biot, 1e-6, 1e9, "1", BLOCK_DIMENSION.key)?;
    let mut e = 1.0;
    for b in beta {
        OutOfRange::check("ratio of the ways out", b, 1.0, f64::INFINITY, "1", BLOCK_DIMENSION.key)?;
        if b.is_finite() {
            e += (1.0 + 2.0 / bi) / (b * b + 2.0 * b / bi);
        }
    }
    Ok(e)
}

/// Ratios b1 and b2 of a body: the other half axes, over the shortest, of the ellipsoid that stands for it.
///
/// ```text
/// b1 = A/(pi d^2)     b2 = 3 V/(4 pi b1 d^3)
/// ```
///
/// * `way_m`: shortest way from the middle out [m]; `section_m2`: smallest section through the middle [m²];
///   `volume_m3`: volume [m³]
///
/// # Source
/// `hossain_1992`, from memory.
#[must_use]
pub fn section_ratios(way_m: f64, section_m2: f64, volume_m3: f64) -> [f64; 2] {
    let first = section_m2 / (std::f64::consts::PI * way_m * way_m);
    let second = 3.0 * volume_m3 / (4.0 * std::f64::consts::PI * first * way_m.powi(3));
    [first, second]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slab() -> Pham {
        Pham {
            way_m: 0.025,
            dimension: 1.0,
            film_w_m2k: 50.0,
            density_kg_m3: 1000.0,
            unfrozen_cp_j_kgk: 3600.0,
            frozen_cp_j_kgk: 1900.0,
            frozen_k_w_mk: 1.4,
            latent_j_kg: 250_000.0,
            start_c: 20.0,
            end_c: -18.0,
            medium_c: -40.0,
        }
    }

    #[test]
    fn a_ball_freezes_in_a_third_of_a_layers_time() -> Result<(), HeatError> {
        let layer = pham_freezing(&slab())?.total_s();
        let ball = pham_freezing(&Pham {
            dimension: 3.0,
            ..slab()
        })?
        .total_s();
        assert!((layer / ball - 3.0).abs() < 1e-12);
        Ok(())
    }

    #[test]
    fn a_ball_has_three_ways_out_and_a_plate_one() -> Result<(), HeatError> {
        for bi in [0.01, 1.0, 100.0] {
            assert!((block_dimension(bi, [1.0, 1.0])? - 3.0).abs() < 1e-12);
            assert!((block_dimension(bi, [1.0, f64::INFINITY])? - 2.0).abs() < 1e-12);
            assert!(block_dimension(bi, [1e6, 1e6])? < 1.001);
        }
        // A ball of 1 m: section pi, volume 4/3 pi.
        let pi = std::f64::consts::PI;
        assert!(
            section_ratios(1.0, pi, 4.0 / 3.0 * pi)
                .iter()
                .all(|b| (b - 1.0).abs() < 1e-12)
        );
        assert!(block_dimension(1.0, [0.5, 1.0]).is_err());
        assert!(block_dimension(1.0, [f64::NAN, 1.0]).is_err());
        Ok(())
    }

    #[test]
    fn air_no_colder_than_the_end_freezes_nothing() {
        let warm = Pham {
            medium_c: -18.0,
            ..slab()
        };
        assert!(matches!(pham_freezing(&warm), Err(HeatError::NeverReaches { .. })));
        let nan = Pham {
            film_w_m2k: f64::NAN,
            ..slab()
        };
        assert!(pham_freezing(&nan).is_err());
    }
}
