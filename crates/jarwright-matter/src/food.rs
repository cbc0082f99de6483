//! A food as amounts.

use jarwright_figure::{Equation, OutOfRange};

use crate::{ACIDS, Acid, Ion, MatterError, Minerals};

/// Mass of a food from its amounts.
pub static FOOD_MASS: Equation = Equation {
    key: "food-mass",
    title: "Mass of a food",
    text: "m = sum of component masses [kg] + sum of acid and ion amounts [mol] x molar mass [kg/mol]",
    source: "arithmetic",
};

/// Degrees Brix from amounts.
pub static BRIX: Equation = Equation {
    key: "soluble-solids",
    title: "Soluble solids",
    text: "Brix = 100 (sugars + acids + salt + named ions) / mass",
    source: "cfr21_150",
};

/// Inversion of sucrose.
pub static INVERSION: Equation = Equation {
    key: "inversion",
    title: "Sucrose split into glucose and fructose",
    text: "342.297 g sucrose + 18.015 g water = 180.156 g glucose + 180.156 g fructose",
    source: "iupac_atomic_weights",
};

/// Water [kg] that a kilogram of sucrose takes up when it splits.
const INVERSION_WATER: f64 = 0.018_015 / 0.342_297;

/// Greatest amount taken [kg or mol]: beyond it sums would overflow.
const GREATEST: f64 = 1e12;

/// Charged groups of the food's protein [mol], with the amides already taken off the carboxyls.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Groups {
    /// Side-chain carboxyls: aspartate and glutamate.
    pub carboxyl: f64,
    /// Imidazoles of histidine.
    pub histidine: f64,
    /// Amines of lysine.
    pub lysine: f64,
    /// Phosphate esters on protein and lipid (phosphoserine, phosphatidic head groups).
    pub phosphate: f64,
}

/// A food as amounts. Every field is extensive, so two foods stirred together simply add.
///
/// Acids stand apart from carbohydrate: who reads a composition table that hides acid in
/// carbohydrate or sugars takes it out there before putting it here.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Food {
    /// Water [kg].
    pub water_kg: f64,
    /// Protein [kg].
    pub protein_kg: f64,
    /// Fat [kg].
    pub fat_kg: f64,
    /// Sucrose [kg].
    pub sucrose_kg: f64,
    /// Glucose and fructose [kg].
    pub hexose_kg: f64,
    /// Maltose, lactose and other sugars of two rings [kg].
    pub other_sugar_kg: f64,
    /// Starch and other carbohydrate that no refractometer sees [kg].
    pub starch_kg: f64,
    /// Fibre [kg].
    pub fibre_kg: f64,
    /// Ash [kg], without the salt below.
    pub ash_kg: f64,
    /// Sodium chloride [kg].
    pub salt_kg: f64,
    /// Ethanol [kg].
    pub alcohol_kg: f64,
    /// Acids, dissociated or not [mol], in the order of [`Acid::ALL`].
    pub acid_mol: [f64; ACIDS],
    /// Charged groups of protein [mol].
    pub groups_mol: Groups,
    /// Strong cations minus strong anions that are named nowhere else [mol of charge], such as
    /// what the printed pH of a juice asks for. May be negative.
    pub strong_ion_mol: f64,
    /// Named ions [mol], beyond the sodium chloride.
    pub minerals_mol: Minerals,
}

impl Food {
    /// Mass [kg] of everything.
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        self.water_kg + self.solids_kg() + self.alcohol_kg
    }

    /// Mass [kg] of everything but water and alcohol.
    #[must_use]
    pub fn solids_kg(&self) -> f64 {
        self.protein_kg + self.fat_kg + self.starch_kg + self.fibre_kg + self.ash_kg + self.soluble_kg()
    }

    /// Mass [kg] of sugars, acids, salt and named ions: what counts as soluble solids here.
    #[must_use]
    pub fn soluble_kg(&self) -> f64 {
        self.sugars_kg() + self.acid_kg() + self.salt_kg + self.minerals_mol.mass_kg()
    }

    /// Mass [kg] of sugars.
    #[must_use]
    pub fn sugars_kg(&self) -> f64 {
        self.sucrose_kg + self.hexose_kg + self.other_sugar_kg
    }

    /// Mass [kg] of acids.
    #[must_use]
    pub fn acid_kg(&self) -> f64 {
        Acid::ALL
            .iter()
            .zip(&self.acid_mol)
            .map(|(acid, mol)| acid.molar_mass_kg_mol() * mol)
            .sum()
    }

    /// Amount [mol] of one acid.
    #[must_use]
    pub fn acid(&self, acid: Acid) -> f64 {
        self.acid_mol[acid.index()]
    }

    /// Adds a mass [kg] of a pure acid.
    pub fn add_acid_kg(&mut self, acid: Acid, kg: f64) {
        self.acid_mol[acid.index()] += kg / acid.molar_mass_kg_mol();
    }

    /// Stirs another food in.
    pub fn add(&mut self, other: &Self) {
        self.add_scaled(other, 1.0);
    }

    /// Stirs `factor` times another food in.
    pub fn add_scaled(&mut self, other: &Self, factor: f64) {
        let Self {
            water_kg,
            protein_kg,
            fat_kg,
            sucrose_kg,
            hexose_kg,
            other_sugar_kg,
            starch_kg,
            fibre_kg,
            ash_kg,
            salt_kg,
            alcohol_kg,
            acid_mol,
            groups_mol,
            strong_ion_mol,
            minerals_mol,
        } = self;
        *water_kg += factor * other.water_kg;
        *protein_kg += factor * other.protein_kg;
        *fat_kg += factor * other.fat_kg;
        *sucrose_kg += factor * other.sucrose_kg;
        *hexose_kg += factor * other.hexose_kg;
        *other_sugar_kg += factor * other.other_sugar_kg;
        *starch_kg += factor * other.starch_kg;
        *fibre_kg += factor * other.fibre_kg;
        *ash_kg += factor * other.ash_kg;
        *salt_kg += factor * other.salt_kg;
        *alcohol_kg += factor * other.alcohol_kg;
        for (mine, theirs) in acid_mol.iter_mut().zip(&other.acid_mol) {
            *mine += factor * theirs;
        }
        groups_mol.carboxyl += factor * other.groups_mol.carboxyl;
        groups_mol.histidine += factor * other.groups_mol.histidine;
        groups_mol.lysine += factor * other.groups_mol.lysine;
        groups_mol.phosphate += factor * other.groups_mol.phosphate;
        *strong_ion_mol += factor * other.strong_ion_mol;
        for ion in Ion::ALL {
            minerals_mol.add(ion, factor * other.minerals_mol.amount(ion));
        }
    }

    /// `factor` times this food.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let mut food = Self::default();
        food.add_scaled(self, factor);
        food
    }

    /// This food after `kg` of water has boiled off (or been stirred in, where negative).
    ///
    /// # Errors
    /// [`MatterError::NotEnoughWater`] where the food holds less water.
    pub fn minus_water(&self, kg: f64) -> Result<Self, MatterError> {
        if kg <= self.water_kg {
            Ok(Self {
                water_kg: self.water_kg - kg,
                ..self.clone()
            })
        } else {
            Err(MatterError::NotEnoughWater {
                asked_kg: kg,
                present_kg: self.water_kg,
            })
        }
    }

    /// This food after a share of its sucrose has split into glucose and fructose, as acid and
    /// heat do; mass is kept, water is taken up.
    ///
    /// ```text
    /// 342.297 g sucrose + 18.015 g water = 180.156 g glucose + 180.156 g fructose
    /// ```
    ///
    /// * `share`: share of the sucrose [-], 0 to 1
    ///
    /// # Errors
    /// [`OutOfRange`] for the share; [`MatterError::NotEnoughWater`]; [`MatterError::NotAnAmount`].
    ///
    /// # Source
    /// `iupac_atomic_weights`.
    pub fn inverted(&self, share: f64) -> Result<Self, MatterError> {
        self.check()?;
        let split_kg = OutOfRange::check("share inverted", share, 0.0, 1.0, "1", "arithmetic")? * self.sucrose_kg;
        let water_kg = split_kg * INVERSION_WATER;
        let mut food = self.minus_water(water_kg)?;
        food.sucrose_kg -= split_kg;
        food.hexose_kg += split_kg + water_kg;
        Ok(food)
    }

    /// Soluble solids [% of the whole mass].
    ///
    /// ```text
    /// Brix = 100 (sugars + acids + salt + named ions) / mass
    /// ```
    ///
    /// An empty food has 0. A refractometer sees the water phase: see
    /// [`Food::brix_of_water_phase`].
    ///
    /// # Source
    /// `cfr21_150` states the standard in these percent.
    #[must_use]
    pub fn brix(&self) -> f64 {
        percent(self.soluble_kg(), self.mass_kg())
    }

    /// Soluble solids [% of water and soluble solids], which is what a drop on a refractometer
    /// shows where fat, protein and fibre stay out of the light.
    #[must_use]
    pub fn brix_of_water_phase(&self) -> f64 {
        percent(self.soluble_kg(), self.soluble_kg() + self.water_kg)
    }

    /// `Ok` where every amount is a number, none negative and none beyond 1e12.
    ///
    /// # Errors
    /// [`MatterError::NotAnAmount`] naming the first that is not.
    pub fn check(&self) -> Result<(), MatterError> {
        let named = [
            ("water", self.water_kg),
            ("protein", self.protein_kg),
            ("fat", self.fat_kg),
            ("sucrose", self.sucrose_kg),
            ("glucose and fructose", self.hexose_kg),
            ("other sugar", self.other_sugar_kg),
            ("starch", self.starch_kg),
            ("fibre", self.fibre_kg),
            ("ash", self.ash_kg),
            ("salt", self.salt_kg),
            ("alcohol", self.alcohol_kg),
            ("carboxyl groups", self.groups_mol.carboxyl),
            ("histidine groups", self.groups_mol.histidine),
            ("lysine groups", self.groups_mol.lysine),
            ("phosphate groups", self.groups_mol.phosphate),
            ("strong ions", self.strong_ion_mol.abs()),
        ];
        let acids = Acid::ALL
            .iter()
            .zip(&self.acid_mol)
            .map(|(acid, &mol)| (acid.words(), mol));
        let ions = Ion::ALL.iter().map(|&ion| (ion.words(), self.minerals_mol.amount(ion)));
        match named
            .into_iter()
            .chain(acids)
            .chain(ions)
            .find(|(_, got)| !(0.0..=GREATEST).contains(got))
        {
            Some((amount, got)) => Err(MatterError::NotAnAmount { amount, got }),
            None => Ok(()),
        }
    }
}

fn percent(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { 100.0 * part / whole } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn any_food() -> impl Strategy<Value = Food> {
        (
            0.01..1.0,
            0.0..0.2,
            0.0..0.2,
            0.0..1.0,
            0.0..0.5,
            0.0..0.05,
            -0.02..0.05,
        )
            .prop_map(
                |(water_kg, protein_kg, fat_kg, sucrose_kg, hexose_kg, citric, strong_ion_mol)| {
                    let mut food = Food {
                        water_kg,
                        protein_kg,
                        fat_kg,
                        sucrose_kg,
                        hexose_kg,
                        strong_ion_mol,
                        ..Food::default()
                    };
                    food.add_acid_kg(Acid::Citric, citric);
                    food
                },
            )
    }

    proptest! {
        #[test]
        fn mass_of_a_mixture_is_the_sum_of_masses(a in any_food(), b in any_food()) {
            let mut both = a.clone();
            both.add(&b);
            prop_assert!((both.mass_kg() - a.mass_kg() - b.mass_kg()).abs() < 1e-12);
        }

        #[test]
        fn brix_does_not_depend_on_the_size_of_the_batch(a in any_food(), factor in 0.1..100.0) {
            prop_assert!((a.scaled(factor).brix() - a.brix()).abs() < 1e-9);
        }

        #[test]
        fn water_boiled_off_leaves_the_mass_and_nothing_else(a in any_food(), share in 0.0..1.0) {
            let kg = share * a.water_kg;
            let thick = a.minus_water(kg).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert!((a.mass_kg() - thick.mass_kg() - kg).abs() < 1e-12);
            prop_assert!((thick.soluble_kg() - a.soluble_kg()).abs() < 1e-15);
        }
    }

    proptest! {
        #[test]
        fn inversion_keeps_the_mass_and_takes_up_a_nineteenth_of_the_sucrose(a in any_food(), share in 0.0..1.0) {
            prop_assume!(share * a.sucrose_kg < 10.0 * a.water_kg);
            let b = a.inverted(share).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert!((a.mass_kg() - b.mass_kg()).abs() < 1e-12);
            prop_assert!((a.water_kg - b.water_kg - share * a.sucrose_kg / 19.0).abs() < 1e-5);
        }
    }

    #[test]
    fn more_than_all_sucrose_and_a_dry_sugar_cannot_invert() {
        let dry = Food {
            sucrose_kg: 1.0,
            ..Food::default()
        };
        assert!(matches!(dry.inverted(0.5), Err(MatterError::NotEnoughWater { .. })));
        assert!(matches!(dry.inverted(1.1), Err(MatterError::OutOfRange(_))));
        assert!(dry.inverted(f64::NAN).is_err());
    }

    #[test]
    fn named_ions_weigh_add_and_count_as_soluble() {
        let mut brine = Food {
            water_kg: 1.0,
            ..Food::default()
        };
        brine.minerals_mol.calcium = 1.0;
        brine.minerals_mol.chloride = 2.0;
        let mut both = brine.clone();
        both.add(&brine);
        assert!((both.mass_kg() - 2.0 * 1.110_984).abs() < 1e-9);
        assert!((brine.brix() - 100.0 * 0.110_984 / 1.110_984).abs() < 1e-9);
        brine.minerals_mol.sulfate = -1.0;
        assert!(matches!(
            brine.check(),
            Err(MatterError::NotAnAmount { amount: "sulfate", .. })
        ));
    }

    #[test]
    fn more_water_than_there_is_cannot_leave() {
        let food = Food {
            water_kg: 0.5,
            ..Food::default()
        };
        assert_eq!(
            food.minus_water(0.6),
            Err(MatterError::NotEnoughWater {
                asked_kg: 0.6,
                present_kg: 0.5
            })
        );
        assert!(food.minus_water(f64::NAN).is_err());
    }

    #[test]
    fn a_negative_amount_is_named() {
        let mut food = Food {
            water_kg: 1.0,
            ..Food::default()
        };
        assert_eq!(food.check(), Ok(()));
        food.add_acid_kg(Acid::Malic, -0.1);
        assert!(matches!(
            food.check(),
            Err(MatterError::NotAnAmount {
                amount: "malic acid",
                ..
            })
        ));
    }
}
