//! The stores as read: what is bought in which pack, and own ingredients with their sheets.

use jarwright_reference::{Acid, Kind};
use jiff::civil::Date;

use super::amount::Weights;
use super::{Amount, Money};

/// A stores file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StoresFile {
    /// What can be bought or is on hand, in file order; names are unique.
    pub items: Vec<StoresItem>,
}

/// One thing in the stores.
#[derive(Debug, Clone, PartialEq)]
pub struct StoresItem {
    /// Name: of the reference table, or its own when `own` is there.
    pub ingredient: String,
    /// The pack it is bought in.
    pub pack: Amount,
    /// Price of one pack.
    pub price: Money,
    /// Share of what is bought that is used, 0 to 1.
    pub trim_yield: Option<f64>,
    /// What is on the shelf.
    pub on_hand: Option<Amount>,
    /// Supplier's lot of it.
    pub lot: Option<String>,
    /// Who sells it.
    pub supplier: Option<String>,
    /// Last day to use it.
    pub use_by: Option<Date>,
    /// The supplier's analysis; governs over the reference table.
    pub analysis: Option<Analysis>,
    /// What an ingredient that the reference table lacks is.
    pub own: Option<OwnIngredient>,
}

/// What an own ingredient is, besides its analysis.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnIngredient {
    /// Trade class, used by the rules.
    pub kind: Kind,
    /// Bulk density [g/ml].
    pub density_g_ml: Option<f64>,
    /// Weight [g] of a piece by its word.
    pub pieces_g: Vec<(String, f64)>,
    /// Allergens it brings.
    pub allergens: Vec<String>,
    /// Name in an ingredient list.
    pub label_name: Option<String>,
}

/// A supplier's analysis: g per 100 g where no other unit is said. What is absent is unknown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Analysis {
    /// Water.
    pub water: Option<f64>,
    /// Protein.
    pub protein: Option<f64>,
    /// Fat.
    pub fat: Option<f64>,
    /// Carbohydrate, fibre apart from it or in it as the sheet says.
    pub carbohydrate: Option<f64>,
    /// Fibre.
    pub fibre: Option<f64>,
    /// Sugars.
    pub sugars: Option<f64>,
    /// Ash.
    pub ash: Option<f64>,
    /// Salt, as NaCl.
    pub salt: Option<f64>,
    /// Alcohol.
    pub alcohol: Option<f64>,
    /// Acids.
    pub acids: Vec<(Acid, f64)>,
    /// Titratable acidity.
    pub titratable_acidity: Option<TitratableAcidity>,
    /// pH of the ingredient.
    pub ph: Option<f64>,
    /// Soluble solids [°Brix].
    pub brix: Option<f64>,
}

/// Acid found by titration to pH 8.1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TitratableAcidity {
    /// Acidity [g/100 g] of the acid it is counted as.
    pub percent: f64,
    /// The acid it is counted as; where none is said, the food's chief acid, acetic for vinegar.
    pub counted_as: Option<Acid>,
}

impl StoresFile {
    /// The item of an ingredient, by its name without regard to case, or by any alias of it in
    /// the reference table.
    #[must_use]
    pub fn item(&self, ingredient: &str) -> Option<&StoresItem> {
        let name = ingredient.trim();
        let same = |item: &&StoresItem| item.ingredient.to_lowercase() == name.to_lowercase();
        let meant = jarwright_reference::ingredient(name);
        self.items.iter().find(same).or_else(|| {
            let meant = meant?;
            self.items.iter().filter(|item| item.own.is_none()).find(|item| {
                jarwright_reference::ingredient(&item.ingredient).is_some_and(|known| known.name == meant.name)
            })
        })
    }
}

impl StoresItem {
    /// What turns volumes and pieces of it into grams: its own sheet, else the reference table.
    #[must_use]
    pub fn weights(&self) -> Weights<'_> {
        if let Some(own) = &self.own {
            return Weights {
                name: &self.ingredient,
                density_g_ml: own.density_g_ml,
                pieces_g: own.pieces_g.iter().map(|(word, g)| (word.as_str(), *g)).collect(),
            };
        }
        Weights::of(&self.ingredient)
    }
}
