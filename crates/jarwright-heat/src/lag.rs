//! How far the food in a jar lags behind its bath: one conductance a jar.
//!
//! A bath's come-up needs only how much heat the jars draw, not where in the jar it is. A
//! lumped jar with the rate of its slowest mode does for that; the jar solver computes the
//! cold spot.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::bessel::j01;
use crate::jar::{Contents, JarBody};

/// Registry entry of [`conducting_w_k`].
pub static JAR_LAG: Equation = Equation {
    key: "jar-lag-conductance",
    title: "Conductance of a jar by its slowest mode",
    text: "UA = k pi R^2 H (x_r^2/R^2 + x_z^2/H^2), x_r J_1(x_r) = (U R/k) J_0(x_r), \
           x_z tan x_z = U H/k, 1/U = 1/h + wall/k_glass",
    source: "incropera_heat_mass",
};

/// Registry entry of [`convecting_w_k`].
pub static JAR_THROUGH: Equation = Equation {
    key: "jar-through-conductance",
    title: "Conductance of a jar of liquid that stirs itself",
    text: "UA = A / (1/h + wall/k_glass + 1/h_inside)",
    source: "incropera_heat_mass",
};

/// Overall coefficient through glass [W/(m² K)] with water outside.
///
/// ```text
/// 1/U = 1/h + wall/k_glass
/// ```
///
/// * `bath_side_w_m2k`: film of the bath [W/(m² K)], 10 to 20000
/// * `wall_m`: thickness [m], above 0 to 0.02
/// * `glass_k_w_mk`: conductivity of the glass [W/(m K)], 0.1 to 10
///
/// # Errors
/// [`HeatError::OutOfRange`].
///
/// # Source
/// Resistances in series, `incropera_heat_mass` chapter 3.
pub fn through_glass_w_m2k(bath_side_w_m2k: f64, wall_m: f64, glass_k_w_mk: f64) -> Result<f64, HeatError> {
    let source = JAR_LAG.source;
    OutOfRange::check("film of the bath", bath_side_w_m2k, 10.0, 20_000.0, "W/(m² K)", source)?;
    OutOfRange::check("wall of the jar", wall_m, 1e-4, 0.02, "m", source)?;
    OutOfRange::check("conductivity of the glass", glass_k_w_mk, 0.1, 10.0, "W/(m K)", source)?;
    Ok(1.0 / (1.0 / bath_side_w_m2k + wall_m / glass_k_w_mk))
}

/// Conductance [W/K] between bath and mean food temperature of a jar that conducts.
///
/// ```text
/// UA = k pi R^2 H (x_r^2/R^2 + x_z^2/H^2)
/// x_r J1(x_r) = (U R/k) J0(x_r)      x_z tan x_z = U H/k
/// ```
///
/// The first eigenvalues of a cylinder with its film on side and base and nothing through the
/// top (the headspace). Once the quick modes have died, the whole food follows the bath with
/// the rate `UA / (m c)`; a lumped jar with this conductance has just that rate. Early on it
/// draws less heat than the real jar, whose skin follows at once; for a come-up that starts
/// within 20 K of the jars the missing heat is a few percent of the bath's own.
///
/// * `body`, `contents`: the jar and its food
/// * `bath_side_w_m2k`: film of the bath [W/(m² K)]
///
/// # Errors
/// [`HeatError::OutOfRange`].
///
/// # Source
/// `incropera_heat_mass` chapter 5, series of the plane wall and the infinite cylinder, one term.
pub fn conducting_w_k(body: &JarBody, contents: &Contents, bath_side_w_m2k: f64) -> Result<f64, HeatError> {
    let source = JAR_LAG.source;
    let k = contents.conductivity_w_mk;
    OutOfRange::check("conductivity of the food", k, 0.01, 10.0, "W/(m K)", source)?;
    check_size(body)?;
    let (radius_m, height_m) = (body.inner_radius_m, body.food_height_m);
    let side = through_glass_w_m2k(bath_side_w_m2k, body.wall_m, body.glass_k_w_mk)?;
    let base = through_glass_w_m2k(bath_side_w_m2k, body.base_m, body.glass_k_w_mk)?;
    let x_r = first_root(side * radius_m / k, 2.404_825_557_695_773, |x| {
        let (j0, j1) = j01(x);
        (x * j1, j0)
    });
    let x_z = first_root(base * height_m / k, std::f64::consts::FRAC_PI_2, |x| {
        (x * x.sin(), x.cos())
    });
    let modes_per_m2 = (x_r / radius_m).powi(2) + (x_z / height_m).powi(2);
    Ok(k * std::f64::consts::PI * radius_m.powi(2) * height_m * modes_per_m2)
}

/// Conductance [W/K] between bath and food of a jar whose liquid stirs itself.
///
/// ```text
/// UA = A / (1/h + wall/k_glass + 1/h_inside)
/// ```
///
/// * `body`: the jar; side and base take heat, the headspace none
/// * `bath_side_w_m2k`: film of the bath [W/(m² K)]
/// * `inside_w_m2k`: film of the liquid inside [W/(m² K)], 10 to 5000; free convection in
///   liquids is printed as 50 to 1000
///
/// # Errors
/// [`HeatError::OutOfRange`].
///
/// # Source
/// Resistances in series, `incropera_heat_mass` chapter 3; range of films `cengel_heat_mass`.
pub fn convecting_w_k(body: &JarBody, bath_side_w_m2k: f64, inside_w_m2k: f64) -> Result<f64, HeatError> {
    OutOfRange::check(
        "film inside the jar",
        inside_w_m2k,
        10.0,
        5000.0,
        "W/(m² K)",
        JAR_THROUGH.source,
    )?;
    check_size(body)?;
    let side = through_glass_w_m2k(bath_side_w_m2k, body.wall_m, body.glass_k_w_mk)?;
    let base = through_glass_w_m2k(bath_side_w_m2k, body.base_m, body.glass_k_w_mk)?;
    let with_inside = |outside: f64| 1.0 / (1.0 / outside + 1.0 / inside_w_m2k);
    let pi = std::f64::consts::PI;
    Ok(2.0 * pi * body.inner_radius_m * body.food_height_m * with_inside(side)
        + pi * body.inner_radius_m.powi(2) * with_inside(base))
}

pub(crate) fn check_size(body: &JarBody) -> Result<(), HeatError> {
    let source = JAR_LAG.source;
    OutOfRange::check("inner radius of the jar", body.inner_radius_m, 0.005, 0.3, "m", source)?;
    OutOfRange::check("height of the food", body.food_height_m, 0.005, 1.0, "m", source)?;
    Ok(())
}

/// First root of `rising(x) = biot * falling(x)` between 0 and `end`, by halving.
fn first_root(biot: f64, end: f64, sides: impl Fn(f64) -> (f64, f64)) -> f64 {
    let (mut low, mut high) = (0.0, end);
    for _ in 0..52 {
        let x = 0.5 * (low + high);
        let (rising, falling) = sides(x);
        if rising < biot * falling {
            low = x;
        } else {
            high = x;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half-pint of the reference tables: inner radius 32 mm, food 80 mm, glass 3 mm.
    const HALF_PINT: JarBody = JarBody {
        inner_radius_m: 0.032,
        food_height_m: 0.080,
        wall_m: 0.003,
        base_m: 0.003,
        glass_k_w_mk: 1.05,
        glass_density_kg_m3: 2500.0,
        glass_cp_j_kgk: 840.0,
    };

    #[test]
    fn first_eigenvalues_meet_the_printed_ones() {
        // incropera_heat_mass table 5.1: Bi, plane wall, infinite cylinder; four digits printed.
        for (biot, wall, cylinder) in [
            (0.1, 0.3111, 0.4417),
            (1.0, 0.8603, 1.2558),
            (10.0, 1.4289, 2.1795),
            (100.0, 1.5552, 2.3809),
        ] {
            let x_z = first_root(biot, std::f64::consts::FRAC_PI_2, |x| (x * x.sin(), x.cos()));
            let x_r = first_root(biot, 2.404_825_557_695_773, |x| {
                let (j0, j1) = j01(x);
                (x * j1, j0)
            });
            assert!((x_z - wall).abs() < 1e-4, "{biot}: {x_z}");
            assert!((x_r - cylinder).abs() < 1e-4, "{biot}: {x_r}");
        }
    }

    #[test]
    fn a_film_through_three_millimetres_of_glass_is_capped_by_the_glass() -> Result<(), HeatError> {
        let thick = through_glass_w_m2k(20_000.0, 0.003, 1.05)?;
        assert!(thick < 1.05 / 0.003);
        assert!(through_glass_w_m2k(500.0, 0.003, 1.05)? < through_glass_w_m2k(2000.0, 0.003, 1.05)?);
        Ok(())
    }

    #[test]
    fn a_conducting_jar_draws_less_than_its_glass_would_pass() -> Result<(), HeatError> {
        let food = Contents {
            conductivity_w_mk: 0.41,
            density_kg_m3: 1150.0,
            heat_capacity_j_kgk: 3100.0,
        };
        let conducting = conducting_w_k(&HALF_PINT, &food, 1000.0)?;
        let glass_alone = convecting_w_k(&HALF_PINT, 1000.0, 5000.0)?;
        assert!(
            conducting > 0.0 && conducting < 0.5 * glass_alone,
            "{conducting} {glass_alone}"
        );
        Ok(())
    }

    #[test]
    fn a_food_that_conducts_without_limit_leaves_only_the_glass() -> Result<(), HeatError> {
        // Bi -> 0: x_r^2 -> 2 Bi, x_z^2 -> Bi, so UA -> U times side and base.
        let thin = JarBody {
            wall_m: 0.02,
            base_m: 0.02,
            glass_k_w_mk: 0.1,
            ..HALF_PINT
        };
        let food = Contents {
            conductivity_w_mk: 10.0,
            density_kg_m3: 1000.0,
            heat_capacity_j_kgk: 4000.0,
        };
        let lumped = conducting_w_k(&thin, &food, 1000.0)?;
        let area_m2 = std::f64::consts::PI * 0.032 * (2.0 * 0.080 + 0.032);
        let glass = through_glass_w_m2k(1000.0, 0.02, 0.1)? * area_m2;
        assert!((lumped / glass - 1.0).abs() < 0.02, "{lumped} {glass}");
        Ok(())
    }

    #[test]
    fn a_jar_without_size_is_refused() {
        let flat = JarBody {
            food_height_m: 0.0,
            ..HALF_PINT
        };
        assert!(convecting_w_k(&flat, 1000.0, 300.0).is_err());
    }
}
