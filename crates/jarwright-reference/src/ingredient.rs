//! What foods are made of, what sets them sour, and what a cup or a piece of them weighs.
//!
//! The trade's names stand in `data/ingredients/names.csv`; what a source says of a food stands
//! in a table of its own and is joined here by the food's entry (an NDB number or a word of our
//! own). Read next: `assemble.rs`, where the tables meet.

use std::collections::HashMap;
use std::sync::OnceLock;

use jarwright_figure::{Cited, Mark};

use crate::assemble;
use crate::spread::Spreads;

/// One ingredient as a kitchen buys it. Amounts are per 100 g of its edible part; `None` is
/// unknown, never zero.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ingredient {
    /// Trade name, lower case, unique.
    pub name: String,
    /// Other names it is found by.
    pub aliases: Vec<String>,
    /// NDB number of the food in `usda_sr28`, or empty for an entry of our own.
    pub ndb: String,
    /// Shelf of the store it stands on.
    pub section: String,
    /// Water [g].
    pub water: Option<f64>,
    /// Protein [g].
    pub protein: Option<f64>,
    /// Fat [g].
    pub fat: Option<f64>,
    /// Carbohydrate by difference [g], fibre and (mostly) acids in it.
    pub carbohydrate: Option<f64>,
    /// Dietary fibre [g].
    pub fibre: Option<f64>,
    /// Total sugars [g].
    pub sugars: Option<f64>,
    /// Sucrose [g].
    pub sucrose: Option<f64>,
    /// Glucose [g].
    pub glucose: Option<f64>,
    /// Fructose [g].
    pub fructose: Option<f64>,
    /// Lactose [g].
    pub lactose: Option<f64>,
    /// Maltose [g].
    pub maltose: Option<f64>,
    /// Galactose [g].
    pub galactose: Option<f64>,
    /// Starch [g].
    pub starch: Option<f64>,
    /// Ash [g].
    pub ash: Option<f64>,
    /// Ethanol [g].
    pub alcohol: Option<f64>,
    /// Energy [kcal], from the food's own factors.
    pub energy_kcal: Option<f64>,
    /// Sodium [mg].
    pub sodium_mg: Option<f64>,
    /// Potassium [mg].
    pub potassium_mg: Option<f64>,
    /// Phosphorus [mg].
    pub phosphorus_mg: Option<f64>,
    /// Calcium [mg].
    pub calcium_mg: Option<f64>,
    /// Iron [mg].
    pub iron_mg: Option<f64>,
    /// Magnesium [mg].
    pub magnesium_mg: Option<f64>,
    /// Vitamin C [mg].
    pub vitamin_c_mg: Option<f64>,
    /// Vitamin D [µg].
    pub vitamin_d_ug: Option<f64>,
    /// Saturated fat [g].
    pub saturated_fat: Option<f64>,
    /// Trans fat [g].
    pub trans_fat: Option<f64>,
    /// Monounsaturated fat [g].
    pub monounsaturated_fat: Option<f64>,
    /// Polyunsaturated fat [g].
    pub polyunsaturated_fat: Option<f64>,
    /// Cholesterol [mg].
    pub cholesterol_mg: Option<f64>,
    /// Energy factors of this food [kcal/g] of protein, fat and carbohydrate.
    pub kcal_per_g: Option<EnergyFactors>,
    /// Waste of the food as bought [% of its weight]: peel, stones, shell.
    pub refuse_pct: Option<f64>,
    /// What the waste is.
    pub refuse: String,
    /// Acids [g/100 g], each with its source.
    pub acids: Vec<AcidRow>,
    /// Whether `acids` is all that counts. False: the food may be sour, no figure is known.
    pub acids_known: bool,
    /// Whether `acids` are what a titration finds: free acid, without what potassium and its kin
    /// have taken up. False: free and combined together.
    pub acids_titrated: bool,
    /// pH range published for the ingredient alone.
    pub ph: Option<Cited>,
    /// Ranges that other documents publish; shown beside `ph`, never blended with it.
    pub ph_also: Vec<Cited>,
    /// Protein groups that take up acid.
    pub protein_groups: Option<ProteinGroups>,
    /// Bulk density as measured by the cup or spoon [g/mL], of the usual form.
    pub density_g_ml: Option<Cited>,
    /// Bulk densities of every form it is measured in.
    pub densities: Vec<FormDensity>,
    /// What one piece weighs.
    pub pieces: Vec<PieceRow>,
    /// Major allergens by US law, in its words.
    pub allergens_us: Vec<String>,
    /// Allergens by EU law, in its words.
    pub allergens_eu: Vec<String>,
    /// Common name for an ingredient list.
    pub label_name: String,
    /// Where the composition table hides the acid.
    pub acids_counted_in: AcidsIn,
    /// What the trade takes it for.
    pub kind: Kind,
    /// The food's name in the composition's source.
    pub described_as: String,
    /// Key of the composition's source; empty where the composition is unknown.
    pub source: String,
    /// How the composition is known; `None` where it is not.
    pub mark: Option<Mark>,
    /// What a sheet or an instrument says of the very lot in hand; the table has none.
    pub sheet: Option<Sheet>,
}

/// What a supplier's sheet or the kitchen's own instruments say of one lot of an ingredient,
/// beside the parts that already stand in its row.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// Whether the sheet tells water.
    pub water: bool,
    /// Whether the sheet tells sugars.
    pub sugars: bool,
    /// Whether the sheet tells any acid.
    pub acids: bool,
    /// Soluble solids by refractometer [°Brix].
    pub brix: Option<Cited>,
    /// Titratable acidity.
    pub titration: Option<Titration>,
}

impl Sheet {
    /// Whether the sheet tells what would otherwise spread as the trade's.
    #[must_use]
    pub const fn tells(&self, what: Spreads) -> bool {
        match what {
            Spreads::Water | Spreads::Solids => self.water,
            Spreads::Sugars => self.sugars,
            Spreads::Acid => self.acids,
            _ => false,
        }
    }
}

/// Acid found by titration to pH 8.1, counted as one acid.
#[derive(Debug, Clone, PartialEq)]
pub struct Titration {
    /// The acid it is counted as.
    pub counted_as: Acid,
    /// Acidity [g of that acid in 100 g].
    pub g_per_100g: Cited,
}

impl Ingredient {
    /// Bulk density [g/mL] of a form: `sliced`, `chopped`, `packed`, ...; the usual one for an
    /// empty or unknown form.
    #[must_use]
    pub fn density_of(&self, form: &str) -> Option<&Cited> {
        self.densities
            .iter()
            .find(|row| row.form == form.trim())
            .map(|row| &row.g_ml)
            .or(self.density_g_ml.as_ref())
    }

    /// Weight [g] of one piece of a word such as `large`, `fruit`, `head`.
    #[must_use]
    pub fn piece(&self, word: &str) -> Option<&Cited> {
        self.pieces.iter().find(|row| row.word == word.trim()).map(|row| &row.g)
    }
}

/// Bulk density of one form of an ingredient.
#[derive(Debug, Clone, PartialEq)]
pub struct FormDensity {
    /// How it lies in the cup: empty for as it is, `sliced`, `chopped`, `packed`, ...
    pub form: String,
    /// Density [g/mL].
    pub g_ml: Cited,
}

/// Energy of one gram [kcal/g] by a food's own factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyFactors {
    /// Of protein.
    pub protein: f64,
    /// Of fat.
    pub fat: f64,
    /// Of carbohydrate by difference.
    pub carbohydrate: f64,
}

/// An acid of an ingredient.
#[derive(Debug, Clone, PartialEq)]
pub struct AcidRow {
    /// Which.
    pub acid: Acid,
    /// How much [g/100 g]: free and combined together, unless the ingredient's acids are titrated.
    pub g_per_100g: Cited,
}

/// The acids that preserves are soured with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Acid {
    /// Citric acid, counted anhydrous.
    Citric,
    /// Malic acid.
    Malic,
    /// Tartaric acid.
    Tartaric,
    /// Acetic acid.
    Acetic,
    /// Lactic acid.
    Lactic,
    /// Ascorbic acid, vitamin C.
    Ascorbic,
    /// Phosphoric acid.
    Phosphoric,
}

impl Acid {
    /// Every acid, in the order of the enum.
    pub const ALL: [Self; 7] = [
        Self::Citric,
        Self::Malic,
        Self::Tartaric,
        Self::Acetic,
        Self::Lactic,
        Self::Ascorbic,
        Self::Phosphoric,
    ];

    /// The acid's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Citric => "citric",
            Self::Malic => "malic",
            Self::Tartaric => "tartaric",
            Self::Acetic => "acetic",
            Self::Lactic => "lactic",
            Self::Ascorbic => "ascorbic",
            Self::Phosphoric => "phosphoric",
        }
    }

    /// The acid of a word.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|acid| acid.word() == word)
    }
}

/// Where the composition table counts an ingredient's acid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AcidsIn {
    /// In carbohydrate by difference, beside sugars, starch and fibre: the usual case.
    #[default]
    Carbohydrate,
    /// In total sugars too, because those are carbohydrate less fibre.
    Sugars,
    /// In no column: the parts do not add up to 100 g.
    Nowhere,
}

impl AcidsIn {
    /// Reads the word of the table.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Some(match word {
            "carbohydrate" => Self::Carbohydrate,
            "sugars" => Self::Sugars,
            "nowhere" => Self::Nowhere,
            _ => return None,
        })
    }
}

/// Groups of a food's protein that take up acid [mmol/100 g of food].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProteinGroups {
    /// Aspartic and glutamic acid, their amides counted in: the analysis cannot tell them apart.
    pub asp_glu: f64,
    /// Histidine.
    pub his: f64,
    /// Lysine.
    pub lys: f64,
}

/// What one piece weighs.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceRow {
    /// The piece: `large`, `medium`, `fruit`, `head`, `clove`, ...
    pub word: String,
    /// Its edible part [g].
    pub g: Cited,
}

/// What the trade takes an ingredient for. Rules ask for it, so a doubtful food stands in the
/// kind that is treated more strictly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub enum Kind {
    /// Fruit whose own pH is usually 4.6 or less.
    AcidFruit,
    /// Juice of such a fruit.
    AcidJuice,
    /// Fruit that may be above pH 4.6: banana, melon, fig, papaya, ripe mango, tomato.
    LowAcidFruit,
    /// Vegetable, fresh herb, mushroom.
    Vegetable,
    /// Onion, garlic and their family.
    Allium,
    /// Sugar, syrup, honey.
    Sweetener,
    /// Egg and its parts.
    Egg,
    /// Milk, cream, and what is made of them, butter excepted.
    Dairy,
    /// Butter, oil, other fat.
    Fat,
    /// Vinegar.
    Vinegar,
    /// Pure acid or its salt, added to sour.
    Acid,
    /// Salt.
    Salt,
    /// Dry spice, dried herb, flavouring.
    Spice,
    /// Pectin.
    Pectin,
    /// Starch, flour.
    Starch,
    /// Gelatine, agar.
    Gelatin,
    /// Nut, seed eaten as food.
    Nut,
    /// Chocolate, cocoa.
    Chocolate,
    /// Meat, fish.
    Meat,
    /// Spirit, wine, beer.
    Alcohol,
    /// Water.
    Water,
    /// Anything else.
    #[default]
    Other,
}

impl Kind {
    /// Every kind, in the order of the enum.
    pub const ALL: [Self; 22] = [
        Self::AcidFruit,
        Self::AcidJuice,
        Self::LowAcidFruit,
        Self::Vegetable,
        Self::Allium,
        Self::Sweetener,
        Self::Egg,
        Self::Dairy,
        Self::Fat,
        Self::Vinegar,
        Self::Acid,
        Self::Salt,
        Self::Spice,
        Self::Pectin,
        Self::Starch,
        Self::Gelatin,
        Self::Nut,
        Self::Chocolate,
        Self::Meat,
        Self::Alcohol,
        Self::Water,
        Self::Other,
    ];

    /// The kind as the table and people write it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::AcidFruit => "acid fruit",
            Self::AcidJuice => "acid juice",
            Self::LowAcidFruit => "low-acid fruit",
            Self::Vegetable => "vegetable",
            Self::Allium => "allium",
            Self::Sweetener => "sweetener",
            Self::Egg => "egg",
            Self::Dairy => "dairy",
            Self::Fat => "fat",
            Self::Vinegar => "vinegar",
            Self::Acid => "acid",
            Self::Salt => "salt",
            Self::Spice => "spice",
            Self::Pectin => "pectin",
            Self::Starch => "starch",
            Self::Gelatin => "gelatin",
            Self::Nut => "nut",
            Self::Chocolate => "chocolate",
            Self::Meat => "meat",
            Self::Alcohol => "alcohol",
            Self::Water => "water",
            Self::Other => "other",
        }
    }

    /// The kind of a word.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// Every ingredient, in the table's order.
pub fn ingredients() -> &'static [Ingredient] {
    static ROWS: OnceLock<Vec<Ingredient>> = OnceLock::new();
    ROWS.get_or_init(|| assemble::ingredients().rows)
}

/// The ingredient of a name or alias, whatever its case and outer blanks.
#[must_use]
pub fn ingredient(name: &str) -> Option<&'static Ingredient> {
    static BY_NAME: OnceLock<HashMap<String, &'static Ingredient>> = OnceLock::new();
    let by_name = BY_NAME.get_or_init(|| {
        let mut map = HashMap::new();
        for row in ingredients() {
            for name in std::iter::once(&row.name).chain(&row.aliases) {
                map.entry(name.to_lowercase()).or_insert(row);
            }
        }
        map
    });
    by_name.get(&name.trim().to_lowercase()).copied()
}
