//! Kitchen measures: what a cup is depends on whose cup.

/// Whose cups and spoons a formula is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum CupSystem {
    /// US customary: cup 236.588 mL.
    #[default]
    Us,
    /// US nutrition labelling: cup 240 mL, tablespoon 15 mL, teaspoon 5 mL.
    UsLabel,
    /// Metric kitchen: cup 250 mL, tablespoon 15 mL, teaspoon 5 mL.
    Metric,
    /// Imperial: pint 568.261 mL, fluid ounce 28.413 mL; cup of half a pint, metric spoons.
    Imperial,
}

/// A kitchen measure, however it is spelt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Volume {
    Teaspoon,
    Tablespoon,
    FluidOunce,
    Gill,
    Cup,
    Pint,
    Quart,
    Gallon,
    Millilitre,
    Centilitre,
    Decilitre,
    Litre,
}

fn volume(word: &str) -> Option<Volume> {
    Some(match spelling(word).as_str() {
        "tsp" | "teaspoon" => Volume::Teaspoon,
        "tbsp" | "tbs" | "tablespoon" => Volume::Tablespoon,
        "fl oz" | "floz" | "fluid ounce" => Volume::FluidOunce,
        "gill" => Volume::Gill,
        "cup" | "c" => Volume::Cup,
        "pint" | "pt" => Volume::Pint,
        "quart" | "qt" => Volume::Quart,
        "gallon" | "gal" => Volume::Gallon,
        "ml" | "millilitre" | "milliliter" => Volume::Millilitre,
        "cl" | "centilitre" | "centiliter" => Volume::Centilitre,
        "dl" | "decilitre" | "deciliter" => Volume::Decilitre,
        "l" | "litre" | "liter" => Volume::Litre,
        _ => return None,
    })
}

/// Lower case, one blank between words, without a last full stop or plural s.
fn spelling(word: &str) -> String {
    let lower = word
        .replace('.', " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase();
    match lower.strip_suffix('s') {
        Some(stem) if lower.len() > 3 && lower != "tbs" => stem.to_owned(),
        _ => lower,
    }
}

/// Volume [mL] of a named measure, or `None` for a word the system does not have.
///
/// # Source
/// `ucum_2_2`: `[cup_us]`, `[cup_m]`, `[pt_br]` and their kin. The metric cup of 250 mL and
/// its spoons: `nist_sp1038`, practical values. The imperial cup of half a pint with metric
/// spoons is `common_practice`.
#[must_use]
pub fn volume_ml(word: &str, system: CupSystem) -> Option<f64> {
    let ml = match (volume(word)?, system) {
        (Volume::Millilitre, _) => 1.0,
        (Volume::Centilitre, _) => 10.0,
        (Volume::Decilitre, _) => 100.0,
        (Volume::Litre, _) => 1000.0,
        (Volume::Teaspoon, CupSystem::Us) => 4.928_921_593_75,
        (Volume::Tablespoon, CupSystem::Us) => 14.786_764_781_25,
        (Volume::Cup, CupSystem::Us) => 236.588_236_5,
        (Volume::Teaspoon, CupSystem::UsLabel | CupSystem::Metric | CupSystem::Imperial) => 5.0,
        (Volume::Tablespoon, CupSystem::UsLabel | CupSystem::Metric | CupSystem::Imperial) => 15.0,
        (Volume::Cup, CupSystem::UsLabel) => 240.0,
        (Volume::Cup, CupSystem::Metric) => 250.0,
        (Volume::Cup, CupSystem::Imperial) => 284.130_625,
        (Volume::FluidOunce, CupSystem::Us) => 29.573_529_562_5,
        (Volume::FluidOunce, CupSystem::UsLabel) => 30.0,
        (Volume::FluidOunce, CupSystem::Imperial) => 28.413_062_5,
        (Volume::Gill, CupSystem::Us | CupSystem::UsLabel) => 118.294_118_25,
        (Volume::Gill, CupSystem::Imperial) => 142.065_312_5,
        (Volume::Pint, CupSystem::Us | CupSystem::UsLabel) => 473.176_473,
        (Volume::Pint, CupSystem::Imperial) => 568.261_25,
        (Volume::Quart, CupSystem::Us | CupSystem::UsLabel) => 946.352_946,
        (Volume::Quart, CupSystem::Imperial) => 1_136.522_5,
        (Volume::Gallon, CupSystem::Us | CupSystem::UsLabel) => 3_785.411_784,
        (Volume::Gallon, CupSystem::Imperial) => 4546.09,
        (Volume::FluidOunce | Volume::Gill | Volume::Pint | Volume::Quart | Volume::Gallon, CupSystem::Metric) => {
            return None;
        }
    };
    Some(ml)
}

/// Mass [g] of a named unit, or `None` for another word.
///
/// # Source
/// `ucum_2_2`: `[oz_av]`, `[lb_av]`, `[gr]`, `[stone_av]`.
#[must_use]
pub fn mass_g(word: &str) -> Option<f64> {
    Some(match spelling(word).as_str() {
        "mg" | "milligram" => 0.001,
        "g" | "gram" | "gramme" => 1.0,
        "kg" | "kilo" | "kilogram" | "kilogramme" => 1000.0,
        "oz" | "ounce" => 28.349_523_125,
        "lb" | "lbs" | "pound" => 453.592_37,
        "stone" => 6_350.293_18,
        "grain" | "gr" => 0.064_798_91,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_us_cup_is_sixteen_tablespoons_and_a_tablespoon_three_teaspoons() {
        let us = |word| volume_ml(word, CupSystem::Us).unwrap_or(f64::NAN);
        assert!((us("cup") - 16.0 * us("tbsp")).abs() < 1e-9);
        assert!((us("tablespoon") - 3.0 * us("tsp")).abs() < 1e-9);
        assert!(
            (us("gallon") - 231.0 * 2.54_f64.powi(3)).abs() < 1e-9,
            "231 cubic inches"
        );
    }

    #[test]
    fn spelling_does_not_matter_and_unknown_words_have_no_volume() {
        for word in ["cups", "Cup", " cup ", "c.", "C"] {
            assert_eq!(volume_ml(word, CupSystem::Metric), Some(250.0), "{word}");
        }
        assert_eq!(volume_ml("fl. oz.", CupSystem::UsLabel), Some(30.0));
        assert_eq!(volume_ml("Tbs.", CupSystem::Metric), Some(15.0));
        assert_eq!(volume_ml("pint", CupSystem::Metric), None);
        assert_eq!(volume_ml("handful", CupSystem::Us), None);
        assert_eq!(volume_ml("oz", CupSystem::Us), None, "an ounce is a mass");
    }

    #[test]
    fn a_pound_is_sixteen_ounces_and_seven_thousand_grains() {
        let g = |word| mass_g(word).unwrap_or(f64::NAN);
        assert!((g("lb") - 16.0 * g("oz")).abs() < 1e-9);
        assert!((g("pounds") - 7000.0 * g("grains")).abs() < 1e-9);
        assert_eq!(mass_g("cup"), None);
    }
}
