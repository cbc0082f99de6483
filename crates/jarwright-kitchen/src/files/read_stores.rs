//! Reading a stores file.

use jarwright_reference::{Acid, Ingredient, Kind};
use toml::de::DeTable;

use super::Money;
use super::amount::Amount;
use super::problem::{Fault, Problem};
use super::quantity::{brix, density_g_ml, mass_g, share};
use super::section::Section;
use super::spell;
use super::stores::{Analysis, OwnIngredient, StoresFile, StoresItem, TitratableAcidity};
use super::unit::AmountUnit;
use super::walk::Need::{May, Must};
use super::walk::{Need, Walk, choose};

const ITEM: &[&str] = &[
    "ingredient",
    "name",
    "pack",
    "price",
    "trim_yield",
    "on_hand",
    "lot",
    "supplier",
    "use_by",
    "analysis",
    "kind",
    "density",
    "pieces",
    "allergens",
    "label_name",
];
const ANALYSIS: &[&str] = &[
    "water",
    "protein",
    "fat",
    "carbohydrate",
    "fibre",
    "sugars",
    "ash",
    "salt",
    "alcohol",
    "citric_acid",
    "malic_acid",
    "tartaric_acid",
    "acetic_acid",
    "lactic_acid",
    "ascorbic_acid",
    "phosphoric_acid",
    "titratable_acidity",
    "titrated_as",
    "ph",
    "brix",
];
/// Keys that only an own ingredient has.
const OWN: [&str; 5] = ["kind", "density", "pieces", "allergens", "label_name"];

const EXPECTED_FILE: &str = "stores: one [[item]] with ingredient, pack and price for each thing bought";
const EXPECTED_SHARE: &str = "a share such as \"3.6 %\"";

/// Reads the stores.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_stores(name: &str, text: &str) -> Result<StoresFile, Vec<Problem>> {
    let (mut walk, table) = Walk::open(name, text, EXPECTED_FILE)?;
    let stores = read(&mut walk, table.get_ref());
    walk.finish(stores)
}

fn read<'t>(walk: &mut Walk<'t>, table: &DeTable<'t>) -> StoresFile {
    let root = walk.root(table, "stores", &["item"]);
    let mut items: Vec<StoresItem> = Vec::new();
    for section in root.tables(walk, "item", Must, "an item", ITEM) {
        let Some(item) = item(walk, &section) else {
            continue;
        };
        let meant =
            |name: &str| jarwright_reference::ingredient(name).map_or(name.to_lowercase(), |row| row.name.clone());
        if items
            .iter()
            .any(|known| meant(&known.ingredient) == meant(&item.ingredient))
        {
            let fault = Fault::new(
                format!("\"{}\" is there twice", item.ingredient),
                "one [[item]] for each ingredient",
            );
            walk.fault(
                section.place(walk, if item.own.is_some() { "name" } else { "ingredient" }),
                fault,
            );
        }
        items.push(item);
    }
    StoresFile { items }
}

fn item<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<StoresItem> {
    let own = section.has("name");
    let ingredient = match (own, section.has("ingredient")) {
        (true, true) => {
            let fault = Fault::new("an item with \"ingredient\" and \"name\"", "one of the two")
                .hint("`ingredient` is one of the reference table, `name` is your own with an analysis");
            walk.fault(section.place(walk, "name"), fault);
            None
        }
        (true, false) => section.read(walk, "name", Must, "the name of an own ingredient", own_name),
        (false, _) => section.read(walk, "ingredient", Must, "an ingredient of the reference table", known),
    };
    if own && !section.has("analysis") {
        let fault = Fault::new(
            "an own ingredient without \"analysis\"",
            "[item.analysis] from the supplier's sheet",
        );
        walk.fault(section.at.clone(), fault);
    }
    if !own {
        for key in OWN.into_iter().filter(|key| section.has(key)) {
            let fault = Fault::new(
                format!("\"{key}\" on an ingredient of the reference table"),
                "an own ingredient, with `name`",
            );
            walk.fault(section.place(walk, key), fault);
        }
    }
    let pack = section.read(walk, "pack", Must, "an amount such as \"1 kg\" or \"12 large\"", bought);
    let price = section.read(walk, "price", Must, "money such as \"3.20\"", Money::parse);
    let trim_yield = section.read(walk, "trim_yield", May, "a share such as \"94 %\"", used_share);
    let on_hand = section.read(walk, "on_hand", May, "an amount such as \"500 g\"", bought);
    let lot = section.words(walk, "lot", May, "the supplier's lot");
    let supplier = section.words(walk, "supplier", May, "who sells it");
    let use_by = section.date(walk, "use_by", May);
    let need_water = if own { Must } else { May };
    let analysis = section.table(walk, "analysis", "an analysis", ANALYSIS).map(|sheet| {
        let analysis = analysis(walk, &sheet, need_water);
        let known = ingredient.as_deref().and_then(jarwright_reference::ingredient);
        check_acid(walk, &sheet, &analysis, known);
        analysis
    });
    let own = own.then(|| own_ingredient(walk, section));
    Some(StoresItem {
        ingredient: ingredient?,
        pack: pack?,
        price: price?,
        trim_yield,
        on_hand,
        lot,
        supplier,
        use_by,
        analysis,
        own,
    })
}

/// Packs are bought by weight, litre or piece: a cup of no stated country is refused.
fn bought(text: &str) -> Result<Amount, Fault> {
    let amount = Amount::parse(text)?;
    if amount.unit.depends_on_cup() {
        let what = format!("\"{}\" is not the same everywhere", amount.unit.word());
        return Err(Fault::new(what, "g, kg, oz, lb, ml, l or a piece word"));
    }
    Ok(amount)
}

fn used_share(text: &str) -> Result<f64, Fault> {
    let share = share(text)?;
    if share > 0.0 {
        Ok(share)
    } else {
        Err(Fault::new("a trim yield of zero", "above 0 % and at most 100 %"))
    }
}

fn known(text: &str) -> Result<String, Fault> {
    let name = text.trim();
    if jarwright_reference::ingredient(name).is_some() {
        return Ok(name.to_owned());
    }
    let rows = jarwright_reference::ingredients().iter();
    let words = rows.flat_map(|row| std::iter::once(row.name.as_str()).chain(row.aliases.iter().map(String::as_str)));
    Err(Fault::new(
        format!("unknown ingredient \"{name}\""),
        "an ingredient of the reference table",
    )
    .near(spell::nearest(name, words))
    .hint("for an ingredient of your own write `name` instead, with [item.analysis]"))
}

fn own_name(text: &str) -> Result<String, Fault> {
    let name = text.trim();
    match jarwright_reference::ingredient(name) {
        None => Ok(name.to_owned()),
        Some(row) => {
            let what = format!("\"{name}\" is \"{}\" of the reference table", row.name);
            Err(Fault::new(what, "another name, or `ingredient` instead of `name`"))
        }
    }
}

fn own_ingredient<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> OwnIngredient {
    let kinds = spell::list(Kind::ALL.map(Kind::word));
    let kind = section.read(walk, "kind", Must, &kinds, |text| {
        choose(text, "kind", &Kind::ALL, Kind::word)
    });
    let density = section.read(walk, "density", May, "a density such as \"1.04 g/ml\"", density_g_ml);
    let expected = "pieces = { large = \"50 g\" }";
    let mut pieces_g = Vec::new();
    for (word, value) in section.entries(walk, "pieces", May, expected) {
        if !matches!(AmountUnit::parse(word.value), Ok(AmountUnit::Piece(_))) {
            walk.fault(
                word.at.clone(),
                Fault::new(
                    format!("\"{}\" is no piece word", word.value),
                    "such as large, fruit or head",
                ),
            );
        }
        match value.get_ref().as_str().map(mass_g) {
            Some(Ok(g)) => pieces_g.push((word.value.to_owned(), g)),
            Some(Err(fault)) => walk.fault(value.span(), fault),
            None => walk.fault(
                value.span(),
                Fault::new("the weight of a piece is no text", "a weight such as \"50 g\""),
            ),
        }
    }
    let allergens = section.list(walk, "allergens", "a list such as [\"milk\"]");
    OwnIngredient {
        kind: kind.unwrap_or(Kind::Other),
        density_g_ml: density,
        pieces_g,
        allergens: allergens
            .into_iter()
            .map(|allergen| allergen.value.to_owned())
            .collect(),
        label_name: section.words(walk, "label_name", May, "its name in an ingredient list"),
    }
}

const ACIDS: [(&str, Acid); 7] = [
    ("citric_acid", Acid::Citric),
    ("malic_acid", Acid::Malic),
    ("tartaric_acid", Acid::Tartaric),
    ("acetic_acid", Acid::Acetic),
    ("lactic_acid", Acid::Lactic),
    ("ascorbic_acid", Acid::Ascorbic),
    ("phosphoric_acid", Acid::Phosphoric),
];

fn analysis<'t>(walk: &mut Walk<'t>, sheet: &Section<'_, 't>, water: Need) -> Analysis {
    let mut percent = |key: &str, need: Need| {
        sheet
            .read(walk, key, need, EXPECTED_SHARE, share)
            .map(|share| share * 100.0)
    };
    let mut analysis = Analysis {
        water: percent("water", water),
        protein: percent("protein", May),
        fat: percent("fat", May),
        carbohydrate: percent("carbohydrate", May),
        fibre: percent("fibre", May),
        sugars: percent("sugars", May),
        ash: percent("ash", May),
        salt: percent("salt", May),
        alcohol: percent("alcohol", May),
        ..Analysis::default()
    };
    analysis.acids = ACIDS
        .iter()
        .filter_map(|&(key, acid)| Some((acid, percent(key, May)?)))
        .collect();
    let titrated = percent("titratable_acidity", May);
    let words = spell::list(Acid::ALL.map(Acid::word));
    let counted_as = sheet.read(walk, "titrated_as", May, &words, |text| {
        choose(text, "acid", &Acid::ALL, Acid::word)
    });
    if counted_as.is_some() && titrated.is_none() {
        let fault = Fault::new(
            "\"titrated_as\" without \"titratable_acidity\"",
            "titratable_acidity = \"4.6 %\" beside it",
        );
        walk.fault(sheet.place(walk, "titrated_as"), fault);
    }
    analysis.titratable_acidity = titrated.map(|percent| TitratableAcidity { percent, counted_as });
    analysis.ph = sheet.number(walk, "ph", May, (0.0, 14.0), "a pH such as 2.4");
    analysis.brix = sheet.read(walk, "brix", May, "soluble solids such as \"9 Bx\"", brix);
    check_sum(walk, sheet, &analysis);
    analysis
}

/// End point of a titration: what stands above it takes no base.
const TITRATION_END_PH: f64 = 8.1;

/// A pH needs an acid or a protein to carry it, a titration something to titrate.
fn check_acid<'t>(walk: &mut Walk<'t>, sheet: &Section<'_, 't>, analysis: &Analysis, known: Option<&Ingredient>) {
    let acid_told = analysis.titratable_acidity.is_some() || analysis.acids.iter().any(|(_, g)| *g > 0.0);
    let on_file = known.is_some_and(|row| !row.acids.is_empty() || row.protein_groups.is_some());
    let protein_told = analysis.protein.is_some_and(|g| g > 0.0);
    if analysis.ph.is_some() && !acid_told && !protein_told && !on_file {
        let fault = Fault::new("a pH and no acid that carries it", "the acid beside the pH")
            .hint("add titratable_acidity = \"4.6 %\", or the acid's own key such as citric_acid");
        walk.fault(sheet.place(walk, "ph"), fault);
    }
    let Some(titrated) = analysis.titratable_acidity else {
        return;
    };
    if titrated.percent <= 0.0 {
        let fault = Fault::new("a titratable acidity of zero", "above 0 %, or leave it out");
        walk.fault(sheet.place(walk, "titratable_acidity"), fault);
    }
    if analysis.ph.is_some_and(|ph| ph >= TITRATION_END_PH) {
        let fault = Fault::new(
            "a titratable acidity at a pH above the titration's end",
            "a pH below 8.1 beside a titratable acidity",
        );
        walk.fault(sheet.place(walk, "ph"), fault);
    }
}

/// Parts that cannot overlap may not add up to more than the whole.
fn check_sum<'t>(walk: &mut Walk<'t>, sheet: &Section<'_, 't>, analysis: &Analysis) {
    // Half a percent is what rounding each printed figure to 0.1 % can add.
    const MOST: f64 = 100.5;
    let acid: f64 = analysis.acids.iter().map(|(_, g)| g).sum();
    let carbohydrate = analysis.carbohydrate.or_else(|| {
        let told = [analysis.sugars, analysis.fibre, (acid > 0.0).then_some(acid)];
        told.into_iter().flatten().reduce(|a, b| a + b)
    });
    let parts = [
        analysis.water,
        analysis.protein,
        analysis.fat,
        carbohydrate,
        analysis.ash.or(analysis.salt),
        analysis.alcohol,
    ];
    let sum: f64 = parts.into_iter().flatten().sum();
    if sum > MOST {
        let what = format!("the analysis adds up to {sum:.1} %");
        walk.fault(sheet.at.clone(), Fault::new(what, "at most 100 %"));
        return;
    }
    if let (Some(water), Some(brix)) = (analysis.water, analysis.brix)
        && brix < 100.0
        && water + brix * water / (100.0 - brix) > MOST
    {
        let what = format!("soluble solids of {brix} °Brix do not fit beside {water} % of water");
        walk.fault(
            sheet.place(walk, "brix"),
            Fault::new(what, "water and soluble solids of at most 100 %"),
        );
    }
}
