//! What a hundred grams of one ingredient hold, and how the lot in hand may differ.
//!
//! The table's parts are [`Parts`]; one draw of what is uncertain is a [`Lot`]; together they
//! give a food of exactly one kilogram. Water and solids move against each other, acid and sugar
//! share the carbohydrate that the table prints, and what a table or sheet leaves blank is a
//! draw of its own, never a zero.

use jarwright_matter::{ACIDS, Acid, Food, Groups};
use jarwright_reference::{AcidsIn, Ingredient, Kind};

use crate::PlanError;

/// Share of an egg's phosphorus that stands in phosphoserine groups: 4.0 mmol in 12.6 mmol of
/// phosphorus per 100 g of yolk (both `usda_sr28` phosphorus and a group content from memory).
const EGG_PHOSPHOSERINE_SHARE: f64 = 0.32;

/// Molar mass of phosphorus [g/mol].
const PHOSPHORUS_G_MOL: f64 = 30.974;

/// Sodium chloride in grams for each gram of sodium (`iupac_atomic_weights`).
const SALT_PER_SODIUM: f64 = 2.542;

/// Sodium [mg/100 g] from which a food counts as salted; what grows unsalted has less.
const SALTED_MG: f64 = 200.0;

/// Parts printed to a hundredth each do not miss 100 g by more than this [g].
const ROUNDING_G: f64 = 0.5;

/// Parts of an ingredient [g/100 g] as the table or the sheet has them.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    water: f64,
    protein: f64,
    fat: f64,
    ash: f64,
    salt: f64,
    alcohol: f64,
    /// Carbohydrate without fibre, acid in it where the table counts it there.
    digestible: f64,
    fibre: f64,
    /// Sugars without acid; `None` is unknown.
    sugars: Option<f64>,
    /// Sugars told apart, as shares of all: sucrose, hexose, of two rings; the rest is not.
    named: [f64; 3],
    /// What is printed in no column though all are filled: volatile oil, carbon dioxide.
    uncounted: f64,
    /// What a sheet with blanks leaves open.
    pub(crate) left_out: f64,
    /// Whether acid stands in no column of the table.
    acid_apart: bool,
    /// Acid at its nominal strength.
    acid: f64,
    /// Starch, where the table prints it.
    starch: f64,
    is_salt: bool,
    tells_water: bool,
    groups: Groups,
}

/// One draw of what is uncertain about an ingredient.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lot {
    /// Water [g/100 g], where it is known better than by the solids.
    pub(crate) water: Option<f64>,
    /// Solids to water, over the table's.
    pub(crate) solids: f64,
    /// Soluble solids by refractometer [°Brix].
    pub(crate) brix: Option<f64>,
    /// Sugars in the solids, over the table's.
    pub(crate) sugars: f64,
    /// Unknown sugars in the carbohydrate that may hold them.
    pub(crate) sugars_share: f64,
    /// Glucose, fructose and galactose in sugars not told apart.
    pub(crate) hexose: f64,
    /// Sugars of two rings other than sucrose in sugars not told apart.
    pub(crate) double: f64,
    /// What is dissolved of the part that a sheet leaves out.
    pub(crate) left_out: f64,
    /// What is dissolved of carbohydrate that no column names, counted as sugars of two rings.
    pub(crate) unnamed: f64,
    /// Sodium chloride in salt.
    pub(crate) purity: f64,
    /// Acids [g/100 g].
    pub(crate) acid_g: [f64; ACIDS],
    /// Strong ions [mol/kg].
    pub(crate) strong_ion_mol: f64,
    /// Share of the protein's acid groups that are amides.
    pub(crate) amide: f64,
}

impl Default for Lot {
    fn default() -> Self {
        Self {
            water: None,
            solids: 1.0,
            brix: None,
            sugars: 1.0,
            sugars_share: 0.5,
            hexose: 0.0,
            double: 0.0,
            left_out: 0.5,
            unnamed: 0.0,
            purity: 1.0,
            acid_g: [0.0; ACIDS],
            strong_ion_mol: 0.0,
            amide: 0.0,
        }
    }
}

impl Parts {
    /// Parts of a row.
    ///
    /// # Errors
    /// [`PlanError::UnknownComposition`] when its water cannot be told.
    pub(crate) fn of(row: &Ingredient) -> Result<Self, PlanError> {
        let known = |value: Option<f64>| value.unwrap_or(0.0);
        let acid: f64 = row.acids.iter().map(|entry| entry.g_per_100g.value).sum();
        let acid_apart = matches!(row.acids_counted_in, AcidsIn::Nowhere);
        let apart = if acid_apart { acid } else { 0.0 };
        let (protein, fat, alcohol) = (known(row.protein), known(row.fat), known(row.alcohol));
        let named: [f64; 3] = [
            known(row.sucrose),
            known(row.glucose) + known(row.fructose) + known(row.galactose),
            known(row.lactose) + known(row.maltose),
        ];
        let told_apart: f64 = named.iter().sum();
        let hidden = if matches!(row.acids_counted_in, AcidsIn::Sugars) {
            acid
        } else {
            0.0
        };
        let sugars = row
            .sugars
            .map(|sugars| (sugars - hidden).max(told_apart.min(sugars)).max(0.0))
            .or((told_apart > 0.0).then_some(told_apart));
        let fibre = known(row.fibre);
        let least = fibre + known(sugars);
        let carbohydrate = row.carbohydrate.unwrap_or(least).max(fibre);
        let salt = salt_of(row);
        let ash = known(row.ash).max(if row.ash.is_none() { salt } else { 0.0 });
        let besides = protein + fat + carbohydrate + ash + alcohol + apart;
        let filled = [row.protein, row.fat, row.carbohydrate, row.ash];
        let water = match row.water {
            Some(water) => water,
            None if filled.iter().flatten().count() >= 2 => (100.0 - besides).max(0.0),
            None => {
                return Err(PlanError::UnknownComposition {
                    ingredient: row.name.clone(),
                });
            }
        };
        let open = (100.0 - water - besides).max(0.0);
        let open = if open > ROUNDING_G { open } else { 0.0 };
        let all_filled = filled.iter().all(Option::is_some);
        let in_all = told_apart.max(known(sugars));
        Ok(Self {
            water,
            protein,
            fat,
            ash,
            salt,
            alcohol,
            digestible: carbohydrate - fibre,
            fibre,
            sugars,
            named: named.map(|part| if in_all > 0.0 { part / in_all } else { 0.0 }),
            uncounted: if all_filled { open } else { 0.0 },
            left_out: if all_filled { 0.0 } else { open },
            acid_apart,
            acid,
            starch: known(row.starch),
            is_salt: matches!(row.kind, Kind::Salt),
            tells_water: row.sheet.as_ref().is_some_and(|sheet| sheet.water),
            groups: groups_of(row),
        })
    }

    /// Whether the sugars are unknown and there is carbohydrate that may be sugar.
    pub(crate) fn sugars_unknown(&self) -> bool {
        self.sugars.is_none() && self.digestible > 0.0
    }

    /// Sugars [g/100 g] that are not told apart.
    pub(crate) fn sugars_untold(&self) -> f64 {
        let told: f64 = self.named.iter().sum();
        let sugars = self.sugars.unwrap_or(self.digestible) + self.left_out;
        (1.0 - told).max(0.0) * sugars
    }

    /// Whether there are both solids and water to move against each other.
    pub(crate) fn moves(&self) -> bool {
        self.water > 0.0 && self.dry() > 0.0
    }

    /// Carbohydrate [g/100 g] that no column names, at the nominal lot.
    pub(crate) fn unnamed(&self) -> f64 {
        let acid = if self.acid_apart { 0.0 } else { self.acid };
        self.sugars
            .map_or(0.0, |sugars| (self.digestible - self.starch - acid - sugars).max(0.0))
    }

    /// Whether any sugar is known.
    pub(crate) fn has_sugars(&self) -> bool {
        self.sugars.is_some_and(|sugars| sugars > 0.0)
    }

    /// Whether its protein holds groups that take up acid.
    pub(crate) fn carries_protein(&self) -> bool {
        self.groups.carboxyl > 0.0
    }

    /// Solids [g/100 g] that dry with the table's water, acid in them where it is counted there.
    fn dry(&self) -> f64 {
        self.protein + self.fat + self.ash + self.digestible + self.fibre + self.uncounted + self.left_out
    }

    /// One kilogram of the lot.
    pub(crate) fn food(&self, lot: &Lot) -> Food {
        let dry = self.dry();
        let share = match lot.water {
            Some(water) if dry > 0.0 => (dry + self.water - water).max(0.0) / dry,
            None if self.moves() => lot.solids * (dry + self.water) / (self.water + lot.solids * dry),
            _ => 1.0,
        };
        let acid: f64 = lot.acid_g.iter().sum();
        let counted = if self.acid_apart { 0.0 } else { acid };
        let available = (share * self.digestible - counted).max(0.0);
        let mut sugars = match self.sugars {
            // Where two documents do not fit in the printed carbohydrate both stand, and water
            // gives way.
            Some(sugars) => (share * sugars * lot.sugars).min(available.max(share * sugars)),
            None => lot.sugars_share.clamp(0.0, 1.0) * available,
        };
        let mut rest = (available - sugars).max(0.0);
        let unnamed = lot.unnamed.clamp(0.0, 1.0) * (rest - share * self.starch).max(0.0);
        rest -= unnamed;
        let left_out = share * self.left_out;
        let dissolved = left_out * lot.left_out.clamp(0.0, 1.0);
        sugars += dissolved;
        rest += left_out - dissolved + share * self.uncounted;
        let salt = share * self.salt * if self.is_salt { lot.purity } else { 1.0 };
        let [protein, fat, ash, fibre] = [self.protein, self.fat, self.ash, self.fibre].map(|part| share * part);
        let firm = protein + fat + (ash - salt) + fibre;
        let mut water = 100.0 - self.alcohol - acid - salt - firm - sugars - unnamed - rest;
        if let Some(brix) = lot.brix {
            let brix = (brix / 100.0).clamp(0.0, 0.99);
            let soluble = if self.tells_water {
                brix * self.water / (1.0 - brix)
            } else {
                brix * (100.0 - self.alcohol - firm - rest)
            };
            sugars = (soluble - acid - salt - unnamed).max(0.0);
            if self.tells_water {
                rest = (100.0 - self.alcohol - firm - self.water - acid - salt - sugars - unnamed).max(0.0);
            }
            water = 100.0 - self.alcohol - acid - salt - firm - sugars - unnamed - rest;
        }
        let [sucrose, hexose, double] = self.split(lot);
        let carboxyl = self.groups.carboxyl * (1.0 - lot.amide);
        let mut food = Food {
            water_kg: water.max(0.0) / 100.0,
            protein_kg: protein / 100.0,
            fat_kg: fat / 100.0,
            sucrose_kg: sucrose * sugars / 100.0,
            hexose_kg: hexose * sugars / 100.0,
            other_sugar_kg: (double * sugars + unnamed) / 100.0,
            starch_kg: rest / 100.0,
            fibre_kg: fibre / 100.0,
            ash_kg: (ash - salt).max(0.0) / 100.0,
            salt_kg: salt / 100.0,
            alcohol_kg: self.alcohol / 100.0,
            groups_mol: Groups {
                carboxyl: share * carboxyl,
                histidine: share * self.groups.histidine,
                lysine: share * self.groups.lysine,
                phosphate: share * self.groups.phosphate,
            },
            strong_ion_mol: lot.strong_ion_mol,
            ..Food::default()
        };
        for (acid, g) in Acid::ALL.into_iter().zip(lot.acid_g) {
            food.add_acid_kg(acid, g.max(0.0) / 100.0);
        }
        food
    }

    /// Shares of sucrose, hexose and other sugars of two rings in all sugars.
    fn split(&self, lot: &Lot) -> [f64; 3] {
        let [sucrose, hexose, double] = self.named;
        let untold = (1.0 - sucrose - hexose - double).max(0.0);
        let (h, d) = (lot.hexose.clamp(0.0, 1.0), lot.double.clamp(0.0, 1.0));
        let whole = (h + d).max(1.0);
        [
            sucrose + untold * (1.0 - (h + d) / whole),
            hexose + untold * h / whole,
            double + untold * d / whole,
        ]
    }
}

/// Salt [g/100 g] of a food: all ash of salt itself, else what its sodium makes, where that is
/// more than foods have by nature and its ash can hold it.
fn salt_of(row: &Ingredient) -> f64 {
    if matches!(row.kind, Kind::Salt) {
        return row.ash.unwrap_or(0.0);
    }
    let salt = row.sodium_mg.filter(|mg| *mg > SALTED_MG).unwrap_or(0.0) / 1000.0 * SALT_PER_SODIUM;
    match row.ash {
        Some(ash) if salt > ash + ROUNDING_G => 0.0,
        Some(ash) => salt.min(ash),
        None => salt,
    }
}

fn groups_of(row: &Ingredient) -> Groups {
    row.protein_groups.map_or_else(Groups::default, |g| Groups {
        carboxyl: g.asp_glu / 100.0,
        histidine: g.his / 100.0,
        lysine: g.lys / 100.0,
        phosphate: if matches!(row.kind, Kind::Egg) {
            row.phosphorus_mg.unwrap_or(0.0) * EGG_PHOSPHOSERINE_SHARE / PHOSPHORUS_G_MOL / 100.0
        } else {
            0.0
        },
    })
}

#[cfg(test)]
mod tests {
    use jarwright_reference::{ingredient, ingredients};
    use proptest::prelude::*;

    use super::*;
    use crate::mixture::acid_of;

    fn at_nominal(row: &Ingredient) -> Lot {
        let mut lot = Lot::default();
        for entry in &row.acids {
            lot.acid_g[acid_of(entry.acid).index()] += entry.g_per_100g.value;
        }
        lot
    }

    fn any_lot() -> impl Strategy<Value = Lot> {
        (
            0.7..1.4_f64,
            0.6..1.5_f64,
            0.0..1.0_f64,
            0.0..1.0_f64,
            0.0..1.0_f64,
            0.0..1.0_f64,
            0.7..1.3_f64,
        )
            .prop_map(|(solids, sugars, sugars_share, hexose, double, left_out, acid)| Lot {
                solids,
                sugars,
                sugars_share,
                hexose,
                double,
                left_out,
                unnamed: left_out,
                acid_g: [acid; ACIDS],
                ..Lot::default()
            })
    }

    proptest! {
        #[test]
        fn a_hundred_grams_stay_a_hundred_grams_whatever_the_lot(drawn in any_lot(), at in 0usize..10_000) {
            let row = &ingredients()[at % ingredients().len()];
            if let Ok(parts) = Parts::of(row) {
                let mut lot = at_nominal(row);
                for (g, by) in lot.acid_g.iter_mut().zip(drawn.acid_g) {
                    *g *= by;
                }
                let food = parts.food(&Lot { acid_g: lot.acid_g, ..drawn });
                // Pure acid that is drawn stronger than pure is the one thing that cannot fit.
                if row.kind != Kind::Acid {
                    prop_assert!((food.mass_kg() - 1.0).abs() < 0.006, "{} {}", row.name, food.mass_kg());
                }
                prop_assert!(food.check().is_ok(), "{} {food:?}", row.name);
            }
        }

        #[test]
        fn what_the_solids_gain_the_water_loses(more in 1.01..1.4_f64) {
            if let Some(Ok(parts)) = ingredient("strawberries").map(Parts::of) {
                let (plain, ripe) = (Lot::default(), Lot { solids: more, ..Lot::default() });
                let (plain, ripe) = (parts.food(&plain), parts.food(&ripe));
                prop_assert!(ripe.water_kg < plain.water_kg && ripe.sugars_kg() > plain.sugars_kg());
                let ratio = |food: &Food| (1.0 - food.water_kg) / food.water_kg;
                prop_assert!((ratio(&ripe) / ratio(&plain) / more - 1.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn the_nominal_lot_is_what_the_table_prints() {
        for (name, water, sugars) in [
            ("strawberries", 90.95, 4.89),
            ("apples", 85.56, 10.39),
            ("honey", 17.1, 82.12),
        ] {
            let food = ingredient(name).and_then(|row| Some(Parts::of(row).ok()?.food(&at_nominal(row))));
            let Some(food) = food else { panic!("{name}") };
            assert!((100.0 * food.water_kg - water).abs() < 0.4, "{name} {}", food.water_kg);
            assert!(
                (100.0 * food.sugars_kg() - sugars).abs() < 0.05,
                "{name} {}",
                food.sugars_kg()
            );
        }
    }

    #[test]
    fn unknown_sugars_are_neither_none_nor_all() {
        let Some(Ok(parts)) = ingredient("quinces").map(Parts::of) else {
            panic!("quinces")
        };
        assert!(parts.sugars_unknown());
        let sugars = |share| {
            parts
                .food(&Lot {
                    sugars_share: share,
                    ..Lot::default()
                })
                .sugars_kg()
        };
        assert!(sugars(0.0) < 1e-12 && sugars(1.0) > 0.1);
    }

    #[test]
    fn a_refractometer_reading_is_read_back() {
        for name in ["strawberries", "lemon juice, fresh", "quinces", "passion fruit pulp"] {
            let Some(row) = ingredient(name) else { panic!("{name}") };
            let Ok(parts) = Parts::of(row) else { panic!("{name}") };
            let food = parts.food(&Lot {
                brix: Some(13.0),
                ..at_nominal(row)
            });
            assert!(
                (food.brix_of_water_phase() - 13.0).abs() < 1e-6,
                "{name}: {}",
                food.brix_of_water_phase()
            );
        }
    }

    #[test]
    fn salted_butter_holds_its_salt_and_baking_soda_holds_none() {
        let salt = |name: &str| {
            ingredient(name)
                .and_then(|row| Parts::of(row).ok())
                .map_or(f64::NAN, |parts| parts.food(&Lot::default()).salt_kg * 100.0)
        };
        assert!((salt("butter, salted") - 1.63).abs() < 0.02);
        assert!(salt("baking soda").abs() < 1e-12);
        assert!((salt("pickling salt") - 100.0).abs() < 1e-9);
    }
}
