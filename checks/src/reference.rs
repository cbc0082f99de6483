//! The tables of ingredients and measures against the documents around them.

use jarwright_figure::Mark;
use jarwright_reference::{Acid, CupSystem, Ingredient, ingredient, ingredients, volume_ml};

use crate::{Check, Worst};

/// Every check of the ingredient and measure tables.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        energy_of_foods_from_their_own_factors(),
        parts_of_a_food_close(),
        white_and_yolk_make_a_whole_egg(),
        shell_egg_classes_give_the_piece_weights(),
        parts_of_a_shell_egg(),
        fractions_make_the_whole_egg(),
        acetic_acid_is_what_vinegars_lack(),
        kitchen_measures_in_ucum(),
        cup_and_spoons_of_the_handbook(),
        allergens_named_by_law(),
    ]
}

/// Foods of the composition database, under one trade name each.
fn database_foods() -> Vec<&'static Ingredient> {
    let mut seen = std::collections::HashSet::new();
    ingredients()
        .iter()
        .filter(|food| !food.ndb.is_empty() && seen.insert(&food.ndb))
        .collect()
}

fn check(check: Check, worst: Worst) -> Check {
    Check {
        points: worst.points,
        worst_miss: worst.miss,
        passed: worst.points > 0 && worst.miss <= check.tolerance,
        ..check
    }
}

/// A check still to be filled with its points.
fn claim(name: &'static str, claim: &'static str, source: &'static str, place: &'static str) -> Check {
    Check {
        name,
        claim,
        source,
        place,
        mark: Mark::Seen,
        measured_or_printed: true,
        points: 0,
        worst_miss: f64::INFINITY,
        tolerance: 0.0,
        unit: "",
        why: "",
        passed: false,
        note: String::new(),
    }
}

fn energy_of_foods_from_their_own_factors() -> Check {
    /// Energy of ethanol [kcal/g] in the database.
    const ALCOHOL_KCAL_G: f64 = 6.93;
    let mut worst = Worst::default();
    for food in database_foods() {
        let Some(factors) = food.kcal_per_g else {
            continue;
        };
        if let (Some(protein), Some(fat), Some(carbohydrate), Some(printed)) =
            (food.protein, food.fat, food.carbohydrate, food.energy_kcal)
        {
            let computed = protein * factors.protein
                + fat * factors.fat
                + carbohydrate * factors.carbohydrate
                + food.alcohol.unwrap_or(0.0) * ALCOHOL_KCAL_G;
            worst.add(computed, printed);
        }
    }
    check(
        Check {
            tolerance: 2.5,
            unit: "kcal/100 g",
            why: "parts are printed to 0.01 g and energy to 1 kcal; some foods were analysed again after their energy was set",
            ..claim(
                "energy-from-food-factors",
                "protein, fat and carbohydrate times a food's own factors give its printed energy",
                "usda_sr28",
                "every food that has factors",
            )
        },
        worst,
    )
}

fn sum_of_parts(food: &Ingredient) -> Option<f64> {
    Some(food.water? + food.protein? + food.fat? + food.carbohydrate? + food.ash? + food.alcohol.unwrap_or(0.0))
}

/// Foods whose parts are known not to close, and why.
const OPEN: [(&str, &str); 4] = [
    ("02030", "volatile oil of pepper"),
    ("02032", "volatile oil of pepper"),
    ("04047", "coconut oil, printed 99.1 g"),
    ("18372", "carbon dioxide of baking soda leaves the ash"),
];

fn parts_of_a_food_close() -> Check {
    let mut worst = Worst::default();
    for food in database_foods() {
        let vinegar = food.kind == jarwright_reference::Kind::Vinegar;
        if vinegar || OPEN.iter().any(|(ndb, _)| *ndb == food.ndb) {
            continue;
        }
        if let Some(sum) = sum_of_parts(food) {
            worst.add(sum, 100.0);
        }
    }
    check(
        Check {
            tolerance: 0.5,
            unit: "g/100 g",
            why: "six parts, each rounded on its own",
            note: format!(
                "left out: four vinegars, whose acid no part counts, and {}",
                OPEN.map(|(ndb, why)| format!("{ndb} ({why})")).join(", ")
            ),
            ..claim(
                "composition-closes",
                "water, protein, fat, carbohydrate, ash and alcohol of a food make 100 g",
                "usda_sr28",
                "every food but eight",
            )
        },
        worst,
    )
}

fn white_and_yolk_make_a_whole_egg() -> Check {
    let mut worst = Worst::default();
    if let (Some(whole), Some(white), Some(yolk)) = (
        ingredient("egg, whole"),
        ingredient("egg white"),
        ingredient("egg yolk"),
    ) {
        let grams = |food: &Ingredient| food.piece("large").map_or(f64::NAN, |piece| piece.value / 100.0);
        let parts: [fn(&Ingredient) -> Option<f64>; 5] = [
            |f| f.protein,
            |f| f.fat,
            |f| f.energy_kcal,
            |f| f.cholesterol_mg,
            |f| f.water,
        ];
        for part in parts {
            let of = |food: &Ingredient| part(food).unwrap_or(f64::NAN) * grams(food);
            // The white has no cholesterol, which the table prints as 0.
            worst.add_relative(of(white) + of(yolk), of(whole));
        }
    }
    check(
        Check {
            tolerance: 0.04,
            unit: "1",
            why: "whole egg, white and yolk were sampled apart; piece weights are printed to 1 g",
            ..claim(
                "white-and-yolk-are-an-egg",
                "33 g of white and 17 g of yolk hold what 50 g of whole egg holds",
                "usda_sr28",
                "01123, 01124, 01125, large",
            )
        },
        worst,
    )
}

fn shell_egg_classes_give_the_piece_weights() -> Check {
    /// Least weight of a dozen [oz] by class.
    const CLASSES: [(&str, f64); 5] = [
        ("jumbo", 30.0),
        ("extra large", 27.0),
        ("large", 24.0),
        ("medium", 21.0),
        ("small", 18.0),
    ];
    const OZ_G: f64 = 28.349_523_125;
    let mut worst = Worst::default();
    if let Some(egg) = ingredient("egg, whole") {
        let edible = 1.0 - egg.refuse_pct.unwrap_or(f64::NAN) / 100.0;
        for (class, oz_a_dozen) in CLASSES {
            let piece = egg.piece(class).map_or(f64::NAN, |piece| piece.value);
            worst.add(piece, oz_a_dozen * OZ_G / 12.0 * edible);
        }
    }
    check(
        Check {
            tolerance: 1.0,
            unit: "g",
            why: "pieces are printed to 1 g and stand for eggs at, not above, the least weight of a class",
            ..claim(
                "egg-classes",
                "a dozen's least weight less 12 % shell gives the edible egg of each class",
                "pa_code_7_87_42",
                "weight classes, net weight of a dozen",
            )
        },
        worst,
    )
}

fn parts_of_a_shell_egg() -> Check {
    let mut worst = Worst::default();
    if let (Some(whole), Some(white), Some(yolk)) = (
        ingredient("egg, whole"),
        ingredient("egg white"),
        ingredient("egg yolk"),
    ) {
        let shell = whole.refuse_pct.unwrap_or(f64::NAN);
        let large = |food: &Ingredient| food.piece("large").map_or(f64::NAN, |piece| piece.value);
        let in_shell = large(whole) / (1.0 - shell / 100.0);
        worst.add_inside(large(white) / in_shell * 100.0, 58.0, 63.0);
        worst.add_inside(large(yolk) / in_shell * 100.0, 27.5, 31.0);
        worst.add_inside(shell, 8.0, 12.0);
    }
    check(
        Check {
            tolerance: 0.5,
            unit: "% of the egg",
            why: "the ranges are printed to 0.5 %",
            ..claim(
                "parts-of-a-shell-egg",
                "white, yolk and shell of the table lie in the shares published for the egg",
                "cotterill_geiger_1977",
                "white 58-63 %, yolk 27.5-31 %, shell 8-12 %",
            )
        },
        worst,
    )
}

fn fractions_make_the_whole_egg() -> Check {
    let mut worst = Worst::default();
    let solids = |name: &str| {
        ingredient(name)
            .and_then(|food| food.water)
            .map_or(f64::NAN, |water| 100.0 - water)
    };
    // Whole egg is 0.61 of white and 0.39 of commercial yolk.
    worst.add(0.61 * solids("egg white") + 0.39 * 44.0, solids("egg, whole"));
    check(
        Check {
            tolerance: 1.0,
            unit: "g/100 g",
            why: "commercial yolk is standardised to 44 % by adding white, to about 1 %",
            ..claim(
                "egg-fractions",
                "0.61 of white and 0.39 of commercial yolk hold the solids of the whole egg",
                "cotterill_1979",
                "0.61 white and 0.39 commercial yolk",
            )
        },
        worst,
    )
}

fn acetic_acid_is_what_vinegars_lack() -> Check {
    let mut worst = Worst::default();
    for name in ["vinegar, distilled 5 %", "vinegar, cider 5 %"] {
        let Some(vinegar) = ingredient(name) else {
            continue;
        };
        let lacking = 100.0 - sum_of_parts(vinegar).unwrap_or(f64::NAN);
        let declared = vinegar.acids.iter().find(|row| row.acid == Acid::Acetic);
        worst.add(declared.map_or(f64::NAN, |row| row.g_per_100g.value), lacking);
    }
    check(
        Check {
            tolerance: 0.25,
            unit: "g/100 g",
            why: "the lack carries the rounding of all parts, and bottlers stay a little above what they declare",
            ..claim(
                "vinegar-lacks-its-acid",
                "what the parts of 5 % vinegars lack to 100 g is their declared acetic acid",
                "usda_sr28",
                "02053 lacks 5.16 g, 02048 lacks 5.09 g",
            )
        },
        worst,
    )
}

fn kitchen_measures_in_ucum() -> Check {
    const PRINTED: [(&str, CupSystem, f64); 17] = [
        ("cup", CupSystem::Us, 236.588_236_5),
        ("tbsp", CupSystem::Us, 14.786_764_781_25),
        ("tsp", CupSystem::Us, 4.928_921_593_75),
        ("fl oz", CupSystem::Us, 29.573_529_562_5),
        ("gill", CupSystem::Us, 118.294_118_25),
        ("pint", CupSystem::Us, 473.176_473),
        ("quart", CupSystem::Us, 946.352_946),
        ("gallon", CupSystem::Us, 3_785.411_784),
        ("cup", CupSystem::UsLabel, 240.0),
        ("tbsp", CupSystem::UsLabel, 15.0),
        ("tsp", CupSystem::UsLabel, 5.0),
        ("fl oz", CupSystem::UsLabel, 30.0),
        ("fl oz", CupSystem::Imperial, 28.413_062_5),
        ("pint", CupSystem::Imperial, 568.261_25),
        ("gallon", CupSystem::Imperial, 4_546.09),
        ("cl", CupSystem::Metric, 10.0),
        ("l", CupSystem::Metric, 1_000.0),
    ];
    const MASSES: [(&str, f64); 4] = [
        ("oz", 28.349_523_125),
        ("lb", 453.592_37),
        ("stone", 6_350.293_18),
        ("gr", 0.064_798_91),
    ];
    let mut worst = Worst::default();
    for (word, system, ml) in PRINTED {
        worst.add_relative(volume_ml(word, system).unwrap_or(f64::NAN), ml);
    }
    for (word, g) in MASSES {
        worst.add_relative(jarwright_reference::mass_g(word).unwrap_or(f64::NAN), g);
    }
    check(
        Check {
            tolerance: 1e-12,
            unit: "1",
            why: "the units are exact by definition",
            // Definitions, typed twice: it holds the table against slips, not against the world.
            measured_or_printed: false,
            ..claim(
                "kitchen-measures-ucum",
                "volumes and masses of kitchen words are the code's exact values",
                "ucum_2_2",
                "[cup_us] [tbs_us] [cup_m] [pt_br] [oz_av] and their kin",
            )
        },
        worst,
    )
}

fn cup_and_spoons_of_the_handbook() -> Check {
    let us = |word| volume_ml(word, CupSystem::Us).unwrap_or(f64::NAN);
    let mut worst = Worst::default();
    worst.add(us("cup"), 237.0);
    worst.add(us("tbsp"), 15.0);
    worst.add(us("tsp"), 5.0);
    worst.add(us("cup") / us("fl oz"), 8.0);
    worst.add(us("tbsp") / us("fl oz"), 0.5);
    worst.add(us("tsp") / us("tbsp"), 1.0 / 3.0);
    check(
        Check {
            tolerance: 0.5,
            unit: "mL",
            why: "millilitres are printed whole; the ratios are exact",
            ..claim(
                "cup-and-spoons-handbook",
                "a cup is 8 fluid ounces or 237 mL, a tablespoon half an ounce, a teaspoon its third",
                "nist_hb44_c",
                "Appendix C, cup, tablespoon, teaspoon",
            )
        },
        worst,
    )
}

fn allergens_named_by_law() -> Check {
    const US: [(&str, &[&str]); 12] = [
        ("eggs", &["egg"]),
        ("egg yolk", &["egg"]),
        ("butter, unsalted", &["milk"]),
        ("cream, heavy", &["milk"]),
        ("lemon juice, bottled", &[]),
        ("sugar", &[]),
        ("tahini", &["sesame"]),
        ("mustard seed", &[]),
        ("celery", &[]),
        ("wheat flour", &["wheat"]),
        ("peanut butter", &["peanuts"]),
        ("almonds", &["almond"]),
    ];
    const EU: [(&str, &[&str]); 9] = [
        ("eggs", &["eggs"]),
        ("butter, unsalted", &["milk"]),
        ("mustard seed", &["mustard"]),
        ("celery seed", &["celery"]),
        ("celeriac", &["celery"]),
        ("tahini", &["sesame"]),
        ("wheat flour", &["gluten"]),
        ("dried apricots", &["sulphites"]),
        ("pine nuts", &[]),
    ];
    let mut worst = Worst::default();
    for (name, listed) in US {
        worst.add_answer(ingredient(name).is_some_and(|food| food.allergens_us == listed));
    }
    for (name, listed) in EU {
        worst.add_answer(ingredient(name).is_some_and(|food| food.allergens_eu == listed));
    }
    check(
        Check {
            tolerance: 0.0,
            unit: "wrong answers",
            why: "a food is on the list or it is not",
            // Our reading of the lists, held against our table.
            measured_or_printed: false,
            note: "the European answers are from Annex II of eu_1169_2011".to_owned(),
            ..claim(
                "allergens-by-law",
                "foods carry the allergens of the nine American and fourteen European classes",
                "usc21_343",
                "321(qq), 343(w); Annex II",
            )
        },
        worst,
    )
}
