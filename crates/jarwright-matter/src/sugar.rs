//! Sucrose in water: density, refractive index, and the water to boil off for a degree Brix.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Food, MatterError};

/// Density of a sucrose solution.
pub static SUCROSE_DENSITY: Equation = Equation {
    key: "sucrose-density",
    title: "Density of a sucrose solution",
    text: "rho20 = 998.166 + 387.389 w + 118.039 w^2 + 83.450 w^3 - 35.839 w^4;  \
           1/rho = 1/rho20 + (1 - w)(1/rho_w(T) - 1/rho_w(20)) + 3.6e-7 w (T - 20)",
    source: "crc_handbook",
};

/// Refractive index of a sucrose solution.
pub static REFRACTIVE_INDEX: Equation = Equation {
    key: "sucrose-refractive-index",
    title: "Refractive index of a sucrose solution",
    text: "n_D(20 °C) through the ICUMSA 1974 values at 0, 10 ... 80 and 85 °Brix",
    source: "icumsa_1974",
};

/// Water to remove for a degree Brix.
pub static WATER_TO_REMOVE: Equation = Equation {
    key: "water-to-remove",
    title: "Water to boil off to reach a degree Brix",
    text: "water = mass - 100 soluble/Brix",
    source: "arithmetic",
};

/// Density [kg/m³] of a sucrose solution.
///
/// * `brix`: sucrose [% by mass], 0 to 84
/// * `c`: temperature [°C], 15 to 55
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `crc_handbook` at 20 °C; `laliberte_2009` for the expansion.
pub fn sucrose_density_kg_m3(brix: f64, c: f64) -> Result<f64, MatterError> {
    let w = OutOfRange::check("sucrose", brix, 0.0, 84.0, "°Brix", "crc_handbook")? / 100.0;
    let c = OutOfRange::check("temperature", c, 15.0, 55.0, "°C", "laliberte_2009")?;
    let at_20 = 998.166 + w * (387.389 + w * (118.039 + w * (83.450 - w * 35.839)));
    let water = |c: f64| seuif97::pt(0.101_325, c, seuif97::OV);
    Ok(1.0 / (1.0 / at_20 + (1.0 - w) * (water(c) - water(20.0)) + 3.6e-7 * w * (c - 20.0)))
}

/// Refractive index [-] of a sucrose solution at 20 °C and the sodium D line.
///
/// * `brix`: sucrose [% by mass], 0 to 85
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `icumsa_1974`.
pub fn refractive_index(brix: f64) -> Result<f64, MatterError> {
    let b = OutOfRange::check("sucrose", brix, 0.0, 85.0, "°Brix", "icumsa_1974")?;
    Ok(1.332_99 + b * 1.5e-3)
}

/// Sucrose [% by mass] from a refractive index at 20 °C: [`refractive_index`] read backwards.
///
/// * `index`: refractive index [-], 1.33299 to 1.50398
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `icumsa_1974`.
pub fn brix_from_refractive_index(index: f64) -> Result<f64, MatterError> {
    let n = OutOfRange::check(
        "refractive index",
        index,
        1.332_99,
        1.503_98,
        "1",
        "icumsa_1974",
    )?;
    let (mut low, mut high) = (0.0, 85.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if refractive_index(middle)? < n {
            low = middle
        } else {
            high = middle
        }
    }
    Ok(0.5 * (low + high))
}

/// Water [kg] to boil off so that a food reaches a degree Brix of its whole mass.
///
/// ```text
/// water = mass - 100 soluble / Brix
/// ```
///
/// * `target_brix`: soluble solids asked for [% by mass], above 0 to 100
///
/// # Errors
/// [`MatterError::AlreadyThicker`] where water would have to be added;
/// [`MatterError::NotEnoughWater`] where the other solids leave too little room; [`OutOfRange`]
/// for the target.
///
/// # Source
/// Arithmetic.
pub fn water_to_remove_kg(food: &Food, target_brix: f64) -> Result<f64, MatterError> {
    food.check()?;
    let target = OutOfRange::check("target", target_brix, 1e-6, 100.0, "°Brix", "arithmetic")?;
    let water = food.mass_kg() - 100.0 * food.soluble_kg() / target;
    if water < -1e-12 * food.mass_kg() {
        Err(MatterError::AlreadyThicker {
            brix: food.brix(),
            target_brix,
        })
    } else if water > food.water_kg {
        Err(MatterError::NotEnoughWater {
            asked_kg: water,
            present_kg: food.water_kg,
        })
    } else {
        Ok(water.max(0.0))
    }
}
