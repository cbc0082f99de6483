//! A sheet of the stores file over the reference table: what it tells governs, what it does not
//! tell stays the table's, and the parts still make 100 g.

use jarwright_figure::{Cited, Mark};
use jarwright_reference::{self as reference, Acid, AcidRow, AcidsIn, Ingredient, Kind, Sheet, Spreads, Titration};

use crate::files::{Analysis, OwnIngredient, StoresItem};
use crate::lot_acid::{base_mol_kg, chief_acid};
use crate::mixture::STORES;

/// Sodium [mg] in one gram of salt (`iupac_atomic_weights`).
const SODIUM_MG_PER_G: f64 = 393.37;

/// An ingredient that the reference table lacks.
pub(crate) fn own(item: &StoresItem) -> Ingredient {
    let mut row = Ingredient {
        name: item.ingredient.clone(),
        source: STORES.into(),
        ..Ingredient::default()
    };
    if let Some(OwnIngredient {
        kind,
        density_g_ml,
        pieces_g,
        allergens,
        label_name,
    }) = &item.own
    {
        row.kind = *kind;
        row.density_g_ml = density_g_ml.map(|value| told(value, 0.0, "density"));
        row.pieces = pieces_g
            .iter()
            .map(|(word, g)| reference::PieceRow {
                word: word.clone(),
                g: told(*g, 0.0, "piece weight"),
            })
            .collect();
        row.allergens_us = allergens.clone();
        row.allergens_eu = allergens.clone();
        row.label_name = label_name.clone().unwrap_or_else(|| item.ingredient.clone());
    }
    overlay(row, item)
}

/// A row with what the stores' sheet of it tells.
pub(crate) fn overlay(mut row: Ingredient, item: &StoresItem) -> Ingredient {
    let Some(sheet) = &item.analysis else { return row };
    parts(&mut row, sheet);
    acids(&mut row, sheet);
    if let Some(ph) = sheet.ph {
        row.ph = Some(told(ph, widest("ph_meter_half_width"), "pH"));
    }
    row.sheet = Some(Sheet {
        water: sheet.water.is_some(),
        sugars: sheet.sugars.is_some(),
        acids: !sheet.acids.is_empty() || sheet.titratable_acidity.is_some(),
        brix: sheet
            .brix
            .map(|brix| told(brix, widest("refractometer_half_width_brix"), "soluble solids")),
        titration: titration(&row, sheet),
    });
    row
}

/// Water, protein, fat, carbohydrate, ash and alcohol. Where the sheet tells water, what it does
/// not tell shares the rest as in the table; where it does not, water is what is left.
fn parts(row: &mut Ingredient, sheet: &Analysis) {
    let acid = acid_inside(row, sheet);
    let carbohydrate = sheet.carbohydrate.or_else(|| match (sheet.sugars, row.carbohydrate) {
        (None, _) => None,
        (Some(sugars), Some(table)) => {
            Some((table - row.sugars.unwrap_or(0.0) + sugars).max(sugars + row.fibre.unwrap_or(0.0) + acid))
        }
        (Some(_), None) => None,
    });
    let ash = sheet.ash.or(sheet.salt);
    if let Some(salt) = sheet.salt {
        row.sodium_mg = Some(salt * SODIUM_MG_PER_G);
    }
    let told = [sheet.protein, sheet.fat, carbohydrate, ash, sheet.alcohol];
    let any = sheet.water.is_some() || told.iter().any(Option::is_some);
    let untold_fibre = sheet.fibre.is_none() && sheet.carbohydrate.is_none();
    let untold_sugars = sheet.sugars.is_none() && sheet.carbohydrate.is_none();
    let fields = [
        &mut row.protein,
        &mut row.fat,
        &mut row.carbohydrate,
        &mut row.ash,
        &mut row.alcohol,
    ];
    let known: f64 = sheet.water.unwrap_or(0.0) + told.iter().flatten().sum::<f64>();
    let untold: f64 = fields
        .iter()
        .zip(&told)
        .filter(|(_, told)| told.is_none())
        .filter_map(|(field, _)| **field)
        .sum();
    let room = match sheet.water {
        Some(_) if untold > 0.0 => ((100.0 - known) / untold).max(0.0),
        _ => 1.0,
    };
    let scales_carbohydrate = carbohydrate.is_none();
    for (field, told) in fields.into_iter().zip(told) {
        *field = told.or(field.map(|part| part * room));
    }
    let within = if scales_carbohydrate { room } else { 1.0 };
    row.fibre = sheet
        .fibre
        .or(row.fibre.map(|fibre| if untold_fibre { fibre * within } else { fibre }));
    let table_sugars = row
        .sugars
        .map(|sugars| if untold_sugars { sugars * within } else { sugars });
    if sheet.sugars.is_some() {
        // Which sugars the table's were says nothing of how much there is now.
        let over = sheet.sugars.unwrap_or(0.0) / row.sugars.unwrap_or(f64::INFINITY);
        scale_each_sugar(row, if over.is_finite() { over } else { 1.0 });
    } else if untold_sugars {
        scale_each_sugar(row, within);
    }
    row.sugars = sheet.sugars.or(table_sugars);
    row.water = match sheet.water {
        Some(water) => Some(water),
        None if any => [row.protein, row.fat, row.carbohydrate, row.ash, row.alcohol]
            .iter()
            .flatten()
            .copied()
            .reduce(|a, b| a + b)
            .map(|solids| (100.0 - solids).max(0.0)),
        None => row.water,
    };
}

fn scale_each_sugar(row: &mut Ingredient, by: f64) {
    for sugar in [
        &mut row.sucrose,
        &mut row.glucose,
        &mut row.fructose,
        &mut row.lactose,
        &mut row.maltose,
        &mut row.galactose,
    ] {
        *sugar = sugar.map(|g| g * by);
    }
}

/// Acid [g/100 g] that the carbohydrate must hold.
fn acid_inside(row: &Ingredient, sheet: &Analysis) -> f64 {
    if matches!(row.acids_counted_in, AcidsIn::Nowhere) {
        return 0.0;
    }
    if sheet.acids.is_empty() {
        row.acids.iter().map(|entry| entry.g_per_100g.value).sum()
    } else {
        sheet.acids.iter().map(|(_, g)| g).sum()
    }
}

/// Acids by name; a titration scales those on file, or stands for the one it is counted as.
fn acids(row: &mut Ingredient, sheet: &Analysis) {
    if !sheet.acids.is_empty() {
        row.acids = sheet
            .acids
            .iter()
            .map(|&(acid, g)| AcidRow {
                acid,
                g_per_100g: told(g, g * lot_share(), "acid"),
            })
            .collect();
    }
    if let Some(titrated) = &sheet.titratable_acidity {
        let counted_as = counted_as(row, titrated.counted_as);
        let base = base_mol_kg(counted_as, titrated.percent);
        let on_file: f64 = row
            .acids
            .iter()
            .map(|entry| base_mol_kg(entry.acid, entry.g_per_100g.value))
            .sum();
        if on_file > 0.0 {
            for entry in &mut row.acids {
                let g = entry.g_per_100g.value * base / on_file;
                entry.g_per_100g = told(g, g * lot_share(), "acid by its titration");
            }
        } else {
            let g = titrated.percent;
            row.acids = vec![AcidRow {
                acid: counted_as,
                g_per_100g: told(g, g * lot_share(), "acid by its titration"),
            }];
        }
    }
    if row.carbohydrate.is_none() && !row.acids.is_empty() {
        row.acids_counted_in = AcidsIn::Nowhere;
    }
}

fn titration(row: &Ingredient, sheet: &Analysis) -> Option<Titration> {
    sheet.titratable_acidity.as_ref().map(|titrated| Titration {
        counted_as: counted_as(row, titrated.counted_as),
        g_per_100g: told(titrated.percent, titrated.percent * lot_share(), "titratable acidity"),
    })
}

/// The acid a titration is counted as: the one said, else the trade's for that food. Acetic for
/// vinegar, the chief acid on file for others (malic of pome and stone fruit, tartaric of
/// grapes), citric where none is.
pub(crate) fn counted_as(row: &Ingredient, said: Option<Acid>) -> Acid {
    match (said, row.kind) {
        (Some(acid), _) => acid,
        (None, Kind::Vinegar) => Acid::Acetic,
        (None, _) => chief_acid(row).unwrap_or(Acid::Citric),
    }
}

/// How far a told acid may lie from the lot in hand, as a share of it.
fn lot_share() -> f64 {
    reference::ingredient_spreads()
        .iter()
        .find(|row| row.of == "sheet" && row.what == Spreads::Acid)
        .map_or(0.0, |row| row.cited.high - row.cited.value)
}

/// Half width of an instrument that no one names: the widest of common practice.
fn widest(key: &str) -> f64 {
    reference::practice(key).map_or(0.0, |row| row.value.high)
}

fn told(value: f64, half_width: f64, place: &str) -> Cited {
    Cited {
        value,
        low: value - half_width,
        high: value + half_width,
        source: STORES.into(),
        place: place.into(),
        mark: Mark::Seen,
    }
}
