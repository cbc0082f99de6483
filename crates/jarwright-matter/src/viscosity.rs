//! How thick a syrup is, and a food that is syrup with fat and solids in it.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Component, Food, MatterError};

/// Viscosity of a sucrose solution.
pub static SYRUP_VISCOSITY: Equation = Equation {
    key: "syrup-viscosity",
    title: "Viscosity of a sucrose solution",
    text: "log10 eta = 22.46 X - 0.114 + (30 - T)/(91 + T) (1.1 + 43.1 X^1.25), X = Brix/(1900 - 18 Brix), eta in mPa s",
    source: "genotelle_1978",
};

/// Viscosity of a syrup with drops and particles in it.
pub static DISPERSED_VISCOSITY: Equation = Equation {
    key: "dispersed-viscosity",
    title: "Viscosity of a syrup with fat and solids stirred in",
    text: "eta = eta_syrup (1 - phi/0.64)^(-1.6), phi the share of the volume that is fat, protein, starch and fibre",
    source: "krieger_dougherty_1959",
};

/// Share of the volume at which drops or particles lock.
const LOCKED: f64 = 0.64;
/// Greatest share that is reckoned: close to locking no formula holds.
const MOST_DISPERSED: f64 = 0.55;

/// Viscosity [Pa s] of a sucrose solution.
///
/// ```text
/// log10(eta/mPa s) = 22.46 X - 0.114 + (30 - T)/(91 + T) (1.1 + 43.1 X^1.25)     X = Brix/(1900 - 18 Brix)
/// ```
///
/// * `brix`: sucrose [% by mass], 0 to 78
/// * `c`: temperature [°C], 0 to 120
///
/// From 20 °C up within 9 % of a printed table; cold thick syrups come out up to 14 % too thick.
///
/// # Errors
/// [`OutOfRange`] outside the ranges above.
///
/// # Source
/// `genotelle_1978`, from memory; held against a printed table.
pub fn syrup_viscosity_pa_s(brix: f64, c: f64) -> Result<f64, MatterError> {
    let brix = OutOfRange::check("syrup", brix, 0.0, 78.0, "°Brix", SYRUP_VISCOSITY.source)?;
    let c = OutOfRange::check("temperature", c, 0.0, 120.0, "°C", SYRUP_VISCOSITY.source)?;
    let x = brix / (1900.0 - 18.0 * brix);
    let power = 22.46 * x - 0.114 + (30.0 - c) / (91.0 + c) * (1.1 + 43.1 * x.powf(1.25));
    Ok(1e-3 * 10_f64.powf(power))
}

/// Viscosity [Pa s] of a food taken as a syrup with fat and solids stirred in.
///
/// ```text
/// eta = eta_syrup (1 - phi/0.64)^(-1.6)
/// ```
///
/// * `food`: with water; neither set egg nor pectin nor swollen starch thickens it here
/// * `c`: temperature [°C], 0 to 120
///
/// # Errors
/// [`OutOfRange`] outside the ranges above, for a syrup above 78 °Brix and for more than 55 % of
/// the volume dispersed; [`MatterError::NoWater`].
///
/// # Source
/// `krieger_dougherty_1959`, from memory, with [`syrup_viscosity_pa_s`].
pub fn viscosity_pa_s(food: &Food, c: f64) -> Result<f64, MatterError> {
    if food.water_kg <= 0.0 {
        return Err(MatterError::NoWater);
    }
    let syrup_kg = food.water_kg + food.soluble_kg();
    let syrup = syrup_viscosity_pa_s(100.0 * food.soluble_kg() / syrup_kg, c)?;
    let volume = |kg: f64, part: Component| -> Result<f64, MatterError> { Ok(kg / part.alone(c)?.density_kg_m3) };
    let dispersed_m3 = volume(food.fat_kg, Component::Fat)?
        + volume(food.protein_kg, Component::Protein)?
        + volume(food.starch_kg, Component::Carbohydrate)?
        + volume(food.fibre_kg, Component::Fibre)?;
    let syrup_m3 = volume(food.water_kg, Component::Water)? + volume(food.soluble_kg(), Component::Carbohydrate)?;
    let share = OutOfRange::check(
        "fat and solids in the syrup",
        dispersed_m3 / (dispersed_m3 + syrup_m3),
        0.0,
        MOST_DISPERSED,
        "of the volume",
        DISPERSED_VISCOSITY.source,
    )?;
    Ok(syrup * (1.0 - share / LOCKED).powf(-2.5 * LOCKED))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_food_is_thicker_than_its_syrup_and_thinner_when_hot() -> Result<(), MatterError> {
        let syrup = Food {
            water_kg: 0.5,
            sucrose_kg: 0.5,
            ..Food::default()
        };
        let creamy = Food {
            fat_kg: 0.2,
            ..syrup.clone()
        };
        assert!((viscosity_pa_s(&syrup, 60.0)? - syrup_viscosity_pa_s(50.0, 60.0)?).abs() < 1e-12);
        assert!(viscosity_pa_s(&creamy, 60.0)? > 1.5 * viscosity_pa_s(&syrup, 60.0)?);
        assert!(viscosity_pa_s(&creamy, 90.0)? < viscosity_pa_s(&creamy, 60.0)?);
        Ok(())
    }

    #[test]
    fn a_dry_food_and_one_that_is_nearly_all_fat_are_refused() {
        assert!(viscosity_pa_s(&Food::default(), 60.0).is_err());
        let butter = Food {
            water_kg: 0.16,
            fat_kg: 0.81,
            ..Food::default()
        };
        assert!(viscosity_pa_s(&butter, 60.0).is_err());
        assert!(syrup_viscosity_pa_s(f64::NAN, 20.0).is_err());
    }
}
