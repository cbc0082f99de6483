//! What each route needs here: pan, depth, ice and refrigerator load; headspace in the freezer.

use jarwright_figure::Graph;
use jarwright_heat::jar::Contents;
use jarwright_heat::{cooling, freezing};
use jarwright_reference::{self as reference, Ingredient, Kind, Route};

use crate::batching::Batch;
use crate::files::{KitchenFile, Part};
use crate::lines::Line;
use crate::words;

/// Where the two-stage rule starts counting [°C] (`fda_food_code`, 3-501.14).
const RULE_STARTS_C: f64 = 57.0;

/// Where a chilled route ends [°C].
const CHILLED_C: f64 = 5.0;

/// Shares that rules and names count.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Composition {
    pub(crate) fruit_g_per_kg: f64,
    pub(crate) fat_g_per_kg: f64,
    pub(crate) yolk_solids_g_per_kg: f64,
    pub(crate) low_acid_share: f64,
    pub(crate) oil_share: f64,
}

/// Fat [g/100 g] above which an egg product is yolk: yolk has 26.5, whole egg 9.5, white 0.2
/// (`usda_sr28`, 01125, 01123, 01124).
const YOLK_FAT: f64 = 20.0;

/// Fat [g/100 g] below which an egg product holds no yolk (`usda_sr28`, 01124).
const WHITE_FAT: f64 = 1.0;

/// Whether an ingredient is yolk, by what it is made of.
fn is_yolk(row: &Ingredient) -> bool {
    row.kind == Kind::Egg && row.fat.is_some_and(|fat| fat > YOLK_FAT)
}

/// The table's yolk with the share [g/g] of its whole egg that it is.
fn table_yolk() -> Option<(&'static Ingredient, f64)> {
    reference::splits().iter().find_map(|split| {
        let yolk = reference::ingredient(&split.part).filter(|row| is_yolk(row))?;
        let part_g = split.part_g_per_whole.value;
        let whole_g = part_g + split.leaves.iter().map(|(_, g)| g).sum::<f64>();
        Some((yolk, part_g / whole_g))
    })
}

/// Solids of a yolk [g/g]; what it holds of sugar beyond a plain yolk's was added and is none.
fn solids_of_yolk(row: &Ingredient, plain: &Ingredient) -> f64 {
    let added = (row.sugars.unwrap_or(0.0) - plain.sugars.unwrap_or(0.0)).max(0.0);
    row.water
        .or(plain.water)
        .map_or(0.0, |water| ((100.0 - water - added) / 100.0).max(0.0))
}

/// Yolk solids [g/g] of an ingredient: a yolk's own, a whole egg's by the table's split.
pub(crate) fn yolk_solids(row: &Ingredient) -> f64 {
    let Some((plain, of_egg)) = table_yolk() else {
        return 0.0;
    };
    match row.kind {
        Kind::Egg if is_yolk(row) => solids_of_yolk(row, plain),
        // An own egg without an analysis is taken as a whole egg.
        Kind::Egg if row.fat.is_none_or(|fat| fat >= WHITE_FAT) => of_egg * solids_of_yolk(plain, plain),
        _ => 0.0,
    }
}

pub(crate) fn composition(
    graph: &Graph,
    batch: &Batch,
    lines: &[Line],
    potted: &[usize],
    is_pack: bool,
) -> Composition {
    let mass = |i: usize| graph.value(batch.masses_g[at(i, potted, is_pack)]);
    let of = |keep: &dyn Fn(&Line) -> bool| -> f64 {
        members(lines, potted, is_pack)
            .filter(|&i| keep(&lines[i]))
            .map(mass)
            .sum()
    };
    let into_jars: f64 = members(lines, potted, is_pack).map(mass).sum();
    let finished = if is_pack {
        into_jars
    } else {
        into_jars - graph.value(batch.boiled_off_g)
    };
    let per_kg = |g: f64| if finished > 0.0 { 1000.0 * g / finished } else { 0.0 };
    let fruit = of(&|l| {
        matches!(
            l.ingredient.kind,
            Kind::AcidFruit | Kind::LowAcidFruit | Kind::AcidJuice
        )
    });
    let yolk_solids_g: f64 = members(lines, potted, is_pack)
        .map(|i| mass(i) * yolk_solids(&lines[i].ingredient))
        .sum();
    let low = of(&|l| {
        matches!(
            l.ingredient.kind,
            Kind::Vegetable
                | Kind::Allium
                | Kind::LowAcidFruit
                | Kind::Egg
                | Kind::Dairy
                | Kind::Nut
                | Kind::Chocolate
                | Kind::Meat
                | Kind::Starch
                | Kind::Other
        )
    });
    let oil = of(&|l| l.ingredient.kind == Kind::Fat && !l.ingredient.allergens_us.iter().any(|a| a == "milk"));
    Composition {
        fruit_g_per_kg: per_kg(fruit),
        fat_g_per_kg: 10.0 * graph.value(batch.filled.fat),
        yolk_solids_g_per_kg: per_kg(yolk_solids_g),
        low_acid_share: if into_jars > 0.0 { low / into_jars } else { 0.0 },
        oil_share: if into_jars > 0.0 { oil / into_jars } else { 0.0 },
    }
}

/// Lines that end in the jar, by their index in the formula.
fn members<'a>(lines: &'a [Line], potted: &'a [usize], is_pack: bool) -> Box<dyn Iterator<Item = usize> + 'a> {
    if is_pack {
        Box::new((0..lines.len()).filter(|&i| lines[i].written.part != Some(Part::Soak)))
    } else {
        Box::new(potted.iter().copied())
    }
}

/// Where a formula's line stands among the batch's masses.
fn at(line: usize, potted: &[usize], is_pack: bool) -> usize {
    if is_pack {
        line
    } else {
        potted.iter().position(|&i| i == line).unwrap_or(0)
    }
}

/// One batch cooled in pans in the refrigerator.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Chill {
    pub(crate) depth_mm: f64,
    pub(crate) passes: bool,
    pub(crate) greatest_mm: Option<f64>,
    pub(crate) heat_mj: f64,
    pub(crate) ice_kg: f64,
    pub(crate) hours_of_refrigerator: Option<f64>,
    /// What the file says the refrigerator takes away beside its own losses [W].
    pub(crate) power_w: Option<f64>,
    pub(crate) film_w_m2k: f64,
    pub(crate) air_c: f64,
}

/// The chilled route's numbers, with a refrigerator to do it in.
pub(crate) fn chill(graph: &Graph, kitchen: &KitchenFile, batch: &Batch) -> Option<Chill> {
    let cold = kitchen
        .refrigerators
        .iter()
        .min_by(|a, b| a.keeps_c.total_cmp(&b.keeps_c))?;
    let depth_mm = reference::practice("pan_depth_thick_mm")?.value.value;
    let film_w_m2k = reference::practice("refrigerator_air_w_m2k")?.value.value;
    let contents = Contents {
        conductivity_w_mk: graph.value(batch.filled.conductivity),
        density_kg_m3: graph.value(batch.filled.density),
        heat_capacity_j_kgk: graph.value(batch.filled.heat_capacity),
    };
    let passes = cooling::pan_cooling(depth_mm / 1000.0, &contents, film_w_m2k, RULE_STARTS_C, cold.keeps_c)
        .ok()?
        .passes;
    let greatest_mm = cooling::greatest_depth_m(&contents, film_w_m2k, RULE_STARTS_C, cold.keeps_c)
        .ok()?
        .map(|m| 1000.0 * m);
    let from_c = graph.value(batch.filled.at_c);
    let heat_j = graph.value(batch.filled_g) / 1000.0 * contents.heat_capacity_j_kgk * (from_c - CHILLED_C).max(0.0);
    Some(Chill {
        depth_mm,
        passes,
        greatest_mm,
        heat_mj: heat_j / 1e6,
        ice_kg: freezing::ice_kg(heat_j, CHILLED_C).ok()?,
        hours_of_refrigerator: cold.power_w.filter(|w| *w > 0.0).map(|w| heat_j / w / 3600.0),
        power_w: cold.power_w,
        film_w_m2k,
        air_c: cold.keeps_c,
    })
}

/// What a route needs here.
pub(crate) fn how(
    route: Route,
    kitchen: &KitchenFile,
    chill: Option<&Chill>,
    batches: usize,
    headspace_mm: f64,
) -> Vec<String> {
    match route {
        Route::Shelf => vec![
            "cool, dark and dry, 10 to 21 °C (50 to 70 °F), bands off, jars not stacked".into(),
            "once opened: refrigerator, and the refrigerator's days".into(),
        ],
        Route::Refrigerator => chill.map_or_else(Vec::new, |chill| chill_words(chill, batches)),
        Route::Freezer => {
            let at = kitchen.freezer.as_ref().map_or_else(|| "a freezer at -18 °C (0 °F)".to_owned(), |f| format!("the {} at {}", f.name, words::temperature(f.keeps_c)));
            vec![
                format!("cold first, then {at}; headspace 25 mm (1 in), not the {headspace_mm:.0} mm of the bath: it swells and breaks glass"),
                "straight-sided jars or freezer boxes, one layer until hard; thaw 24 h in the refrigerator".into(),
            ]
        }
        Route::VacuumPack => vec![
            "below 5 °C (41 °F) all through before the vacuum is drawn: warm food boils at low pressure, and no air suits what no air kills".into(),
            "then refrigerator or freezer: a vacuum keeps nothing by itself".into(),
        ],
    }
}

/// The refrigerator route's figures in words.
fn chill_words(chill: &Chill, batches: usize) -> Vec<String> {
    let verdict = if chill.passes { "meets" } else { "does not meet" };
    let mut lines = vec![format!(
        "in pans {:.0} mm (2 in) deep, uncovered in still refrigerator air, it {verdict} 57 to 21 °C in 2 h and 5 °C in 6 h (135, 70, 41 °F)",
        chill.depth_mm
    )];
    if !chill.passes {
        lines.push("so stand the pans in ice water and stir, until a thermometer shows 21 °C (70 °F) within 2 h; only cold food goes into jars".into());
    }
    if let Some(mm) = chill.greatest_mm {
        lines.push(format!(
            "greatest depth that passes in air at {} (film {:.0} W/m²K): {mm:.0} mm",
            words::temperature(chill.air_c),
            chill.film_w_m2k
        ));
    }
    lines.push(format!(
        "one batch gives off {:.1} MJ down to 5 °C: {:.1} kg of ice, {:.1} kg for {} batches",
        chill.heat_mj,
        chill.ice_kg,
        chill.ice_kg * batches as f64,
        batches
    ));
    if let (Some(hours), Some(power_w)) = (chill.hours_of_refrigerator, chill.power_w) {
        lines.push(format!(
            "without ice: the kitchen file says the refrigerator can take away {power_w:.0} W beside its own losses; at that one batch is {hours:.1} h of its work and warms what else is in it. That does not lengthen the 2 h and 6 h: food that is slower is out of the rule"
        ));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(name: &str) -> f64 {
        reference::ingredient(name).map_or(f64::NAN, yolk_solids)
    }

    #[test]
    fn yolk_is_known_by_what_it_is_made_of() {
        // `usda_sr28`: yolk 52.31 g water in 100 g, 17 g of it in a 50 g egg.
        assert!((of("egg yolk") - 0.4769).abs() < 1e-4);
        assert!((of("egg, whole") - 0.4769 * 17.0 / 50.0).abs() < 1e-4);
        assert!(of("egg white").abs() < 1e-12);
        assert!(of("butter, unsalted").abs() < 1e-12);
    }

    #[test]
    fn a_yolk_under_another_name_counts_and_its_added_sugar_does_not() {
        let own = |fat, sugars| Ingredient {
            name: "yolk from the dairy".into(),
            kind: Kind::Egg,
            fat: Some(fat),
            water: Some(45.0),
            sugars: Some(sugars),
            ..Ingredient::default()
        };
        assert!((yolk_solids(&own(27.0, 0.5)) - 0.55).abs() < 0.002);
        assert!((yolk_solids(&own(23.0, 10.0)) - 0.45).abs() < 0.01);
        assert!((yolk_solids(&own(9.5, 0.4)) - of("egg, whole")).abs() < 1e-9);
    }
}
