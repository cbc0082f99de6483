//! Foods held against reserved names, by the laws' own figures and their authorities' answers.

use jarwright_figure::Mark;
use jarwright_kitchen::Law;
use jarwright_kitchen::naming::{Held, NameFacts, NameStanding, is_fruit, standings};
use jarwright_reference::{Counted, FoodClass, Kind, us_fruit_factor};

use crate::{Check, Claim, Worst};

/// Every check of foods held against reserved names.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        us_ratios(),
        us_quotients(),
        us_mixtures(),
        us_jelly_and_butter(),
        us_other_jelly(),
        us_marmalade(),
        eu_annex_one(),
        eu_2026(),
        eu_what_is_fruit(),
        ni_schedule(),
        wales_schedule(),
        scotland_notes(),
        uk_quick_guide(),
        uk_names(),
        uk_combined_weight(),
    ]
}

const DAY: &str = "2026-09-01";
const ANSWERS: &str = "a pass or a fail each";

/// Fruit [g] to sugar [g] for each kg, with everything else in plenty.
fn food(fruits: &[(&str, f64)], sugar: f64, brix: f64) -> NameFacts {
    NameFacts {
        brix,
        fat_g_per_kg: 500.0,
        yolk_solids_g_per_kg: 100.0,
        fruits: fruits.iter().map(|(name, g)| ((*name).to_owned(), *g)).collect(),
        sweetener_g_per_kg: Some(sugar),
        ..NameFacts::default()
    }
}

fn named(class: FoodClass, facts: &NameFacts, market: Law, day: &str, name: &str) -> Option<NameStanding> {
    standings(class, facts, market, day)
        .into_iter()
        .find(|standing| standing.name == name)
}

/// Whether an amount is held, by a figure that was read.
fn holds(class: FoodClass, facts: &NameFacts, market: Law, name: &str, counted: Counted) -> bool {
    holds_on(DAY, class, facts, market, name, counted)
}

fn holds_on(day: &str, class: FoodClass, facts: &NameFacts, market: Law, name: &str, counted: Counted) -> bool {
    named(class, facts, market, day, name).is_some_and(|standing| {
        standing
            .asks
            .iter()
            .any(|ask| ask.counted == counted && ask.held == Held::Passes && !ask.from_memory())
    })
}

/// A printed least of fruit [g/kg]: that much passes and a gram less does not.
fn at_the_edge(worst: &mut Worst, day: &str, class: FoodClass, market: Law, name: &str, fruit: &str, least: f64) {
    let held = |g| {
        let facts = food(&[(fruit, g)], 500.0, 70.0);
        holds_on(day, class, &facts, market, name, Counted::FruitGPerKg)
    };
    worst.add_answer(held(least) && !held(least - 1.0));
}

/// A printed ratio of fruit to sugar: that passes and one part of fruit less does not.
fn at_the_ratio(worst: &mut Worst, class: FoodClass, name: &str, fruits: &[&str], parts: f64, sugar: f64) {
    let held = |parts: f64| {
        let each: Vec<(&str, f64)> = fruits
            .iter()
            .map(|fruit| (*fruit, parts / fruits.len() as f64))
            .collect();
        holds(class, &food(&each, sugar, 70.0), Law::Us, name, Counted::FruitShare)
    };
    worst.add_answer(held(parts) && !held(parts - 0.01));
}

/// A printed least of soluble solids [%].
fn at_the_brix(worst: &mut Worst, class: FoodClass, market: Law, name: &str, fruit: &str, least: f64) {
    let held = |brix| {
        holds(
            class,
            &food(&[(fruit, 900.0)], 100.0, brix),
            market,
            name,
            Counted::Brix,
        )
    };
    worst.add_answer(held(least) && !held(least - 0.1));
}

fn us_ratios() -> Check {
    let mut worst = Worst::default();
    at_the_ratio(&mut worst, FoodClass::Jam, "jam", &["apricots"], 45.0, 55.0);
    at_the_ratio(&mut worst, FoodClass::Jam, "preserve", &["peaches"], 45.0, 55.0);
    at_the_ratio(&mut worst, FoodClass::Jam, "jam", &["strawberries"], 47.0, 55.0);
    at_the_ratio(&mut worst, FoodClass::Jelly, "jelly", &["grape juice"], 45.0, 55.0);
    at_the_ratio(
        &mut worst,
        FoodClass::FruitButter,
        "fruit butter",
        &["apples"],
        5.0,
        2.0,
    );
    at_the_brix(&mut worst, FoodClass::Jam, Law::Us, "jam", "apricots", 65.0);
    at_the_brix(&mut worst, FoodClass::Jelly, Law::Us, "jelly", "grape juice", 65.0);
    at_the_brix(
        &mut worst,
        FoodClass::FruitButter,
        Law::Us,
        "fruit butter",
        "apples",
        43.0,
    );
    let sweetened = "artificially sweetened jam";
    at_the_edge(&mut worst, DAY, FoodClass::Jam, Law::Us, sweetened, "apricots", 550.0);
    Claim {
        name: "name-us-ratios",
        claim: "fruit to sugar 45:55, 47:55 and 5:2, solids 65 and 43 %, 55 % fruit when artificially sweetened: held at the figure, lost below it",
        source: "fda_jam_answers",
        place: "first answer",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "")
}

fn us_quotients() -> Check {
    let mut worst = Worst::default();
    for (fruit, printed) in [("strawberries", 0.85), ("apricots", 0.82)] {
        let least = named(
            FoodClass::Jam,
            &food(&[(fruit, 500.0)], 500.0, 65.0),
            Law::Us,
            DAY,
            "jam",
        )
        .and_then(|standing| {
            let ask = standing
                .asks
                .into_iter()
                .find(|ask| ask.counted == Counted::FruitShare)?;
            ask.at_least.map(|cited| cited.value / (100.0 - cited.value))
        });
        worst.add(least.unwrap_or(f64::NAN), printed);
    }
    Claim {
        name: "name-us-quotients",
        claim: "fruit over sugar by weight is 0.85 in group I and 0.82 in group II",
        source: "ucce_jam_sheet",
        place: "jams and preserves ingredient ratios",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.005,
        unit: "-",
        why: "two printed decimals",
    }
    .held(&worst, "")
}

fn us_mixtures() -> Check {
    let mut worst = Worst::default();
    at_the_ratio(
        &mut worst,
        FoodClass::Jam,
        "jam",
        &["strawberries", "raspberries"],
        47.0,
        55.0,
    );
    at_the_ratio(
        &mut worst,
        FoodClass::Jam,
        "jam",
        &["strawberries", "apricots"],
        45.0,
        55.0,
    );
    at_the_ratio(&mut worst, FoodClass::Jam, "jam", &["peaches", "apricots"], 45.0, 55.0);
    Claim {
        name: "name-us-mixtures",
        claim: "47 parts only for group I fruits among themselves, 45 parts for every other mixture",
        source: "indiana_jam_rules",
        place: "standards of identity: jams and preserves",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "")
}

/// Fruit and factor of 21 CFR 150.140(b)(1).
const JELLY: [(&str, f64); 28] = [
    ("apple", 7.5),
    ("apricot", 7.0),
    ("blackberry", 10.0),
    ("black raspberry", 9.0),
    ("boysenberry", 10.0),
    ("cherry", 7.0),
    ("crabapple", 6.5),
    ("cranberry", 9.5),
    ("damson", 7.0),
    ("dewberry", 10.0),
    ("fig", 5.5),
    ("gooseberry", 12.0),
    ("grape", 7.0),
    ("grapefruit", 11.0),
    ("greengage", 7.0),
    ("guava", 13.0),
    ("loganberry", 9.5),
    ("orange", 8.0),
    ("peach", 8.5),
    ("pineapple", 7.0),
    ("plum", 7.0),
    ("pomegranate", 5.5),
    ("prickly pear", 11.0),
    ("quince", 7.5),
    ("raspberry", 9.5),
    ("red currant", 9.5),
    ("strawberry", 12.5),
    ("youngberry", 10.0),
];

/// Fruit and factor of 21 CFR 150.110(b)(1).
const BUTTER: [(&str, f64); 8] = [
    ("apple", 7.5),
    ("apricot", 7.0),
    ("grape", 7.0),
    ("peach", 8.5),
    ("pear", 6.5),
    ("plum", 7.0),
    ("prune", 7.0),
    ("quince", 7.5),
];

fn us_jelly_and_butter() -> Check {
    let mut worst = Worst::default();
    for (fruit, factor) in JELLY {
        worst.add(us_fruit_factor("jelly", fruit).unwrap_or(f64::NAN), factor);
        at_the_ratio(&mut worst, FoodClass::Jelly, "jelly", &[fruit], 45.0, 55.0);
    }
    for (fruit, factor) in BUTTER {
        worst.add(us_fruit_factor("fruit butter", fruit).unwrap_or(f64::NAN), factor);
        at_the_ratio(&mut worst, FoodClass::FruitButter, "fruit butter", &[fruit], 5.0, 2.0);
    }
    for (class, name) in [(FoodClass::Jelly, "jelly"), (FoodClass::FruitButter, "fruit butter")] {
        for (least, held) in [(200.0, true), (199.0, false)] {
            let facts = food(&[("apples", 1000.0 - least), ("quinces", least)], 10.0, 70.0);
            worst.add_answer(holds(class, &facts, Law::Us, name, Counted::ShareOfEachFruit) == held);
        }
        let of = |fruits: &[&str]| {
            let each: Vec<(&str, f64)> = fruits.iter().map(|fruit| (*fruit, 100.0)).collect();
            holds(class, &food(&each, 10.0, 70.0), Law::Us, name, Counted::KindsOfFruit)
        };
        let six = ["apples", "apricots", "grapes", "peaches", "plums", "quinces"];
        worst.add_answer(of(&six[..5]) && !of(&six));
    }
    Claim {
        name: "name-us-jelly-butter",
        claim: "28 fruits of jelly and 8 of fruit butter with their factors; two to five together, each a fifth or more",
        source: "cfr21_150",
        place: "150.140(b), 150.110(b), as of 2024",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "factor; wrong answers",
        why: "printed to a half, compared whole",
    }
    .held(
        &worst,
        "the formula that uses the factors is from memory: it may take from a thin juice, never give to a rich one",
    )
}

fn us_other_jelly() -> Check {
    let mut worst = Worst::default();
    for fruit in ["bananas", "mango juice", "pears", "blackcurrants"] {
        let facts = food(&[(fruit, 600.0)], 400.0, 70.0);
        worst.add_answer(named(FoodClass::Jelly, &facts, Law::Us, DAY, "jelly").is_some_and(|name| !name.bears()));
    }
    Claim {
        name: "name-us-other-jelly",
        claim: "a jelly of fruit that the standard does not name is no standardized jelly, however much fruit is in it",
        source: "fda_cpg_550_475",
        place: "background",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(
        &worst,
        "the guide lets such a jelly be sold under an informative label; that is not judged here",
    )
}

fn us_marmalade() -> Check {
    let mut worst = Worst::default();
    for (fruit, parts, sugar) in [
        ("oranges", 30.0, 70.0),
        ("oranges, Seville", 25.0, 75.0),
        ("lemons", 25.0, 75.0),
        ("limes", 25.0, 75.0),
    ] {
        at_the_ratio(&mut worst, FoodClass::Marmalade, "marmalade", &[fruit], parts, sugar);
    }
    let peel = food(&[("oranges", 20.0), ("orange zest", 10.0)], 70.0, 65.0);
    worst.add_answer(holds(
        FoodClass::Marmalade,
        &peel,
        Law::Us,
        "marmalade",
        Counted::FruitShare,
    ));
    Claim {
        name: "name-us-marmalade",
        claim: "sweet orange marmalade 30:70, Seville orange, lemon and lime 25:75, peel and juice counted as fruit",
        source: "fda_jam_answers",
        place: "answer on marmalade",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "advice of the authority, no standard")
}

/// Fruits whose minima the European law prints apart, and one of the general rule; jam, extra jam.
const GROUPS: [(&str, f64, f64); 11] = [
    ("redcurrants", 250.0, 350.0),
    ("rowanberries", 250.0, 350.0),
    ("sea buckthorns", 250.0, 350.0),
    ("blackcurrants", 250.0, 350.0),
    ("rosehips", 250.0, 350.0),
    ("quinces", 250.0, 350.0),
    ("ginger", 150.0, 250.0),
    ("cashew apples", 160.0, 230.0),
    ("passion fruit pulp", 60.0, 80.0),
    ("strawberries", 350.0, 450.0),
    ("apricots", 350.0, 450.0),
];

fn eu_annex_one() -> Check {
    let mut worst = Worst::default();
    let day = "2026-06-13";
    for (fruit, jam, extra) in GROUPS {
        at_the_edge(&mut worst, day, FoodClass::Jam, Law::Eu, "jam", fruit, jam);
        at_the_edge(&mut worst, day, FoodClass::Jam, Law::Eu, "extra jam", fruit, extra);
        at_the_edge(&mut worst, day, FoodClass::Jelly, Law::Eu, "jelly", fruit, jam);
    }
    at_the_brix(&mut worst, FoodClass::Jam, Law::Eu, "jam", "apricots", 60.0);
    at_the_brix(&mut worst, FoodClass::Jelly, Law::Eu, "jelly", "apricots", 60.0);
    for fruit in [
        "apples",
        "pears",
        "melon, cantaloupe",
        "watermelon",
        "grapes",
        "pumpkin",
        "cucumbers",
        "tomatoes",
    ] {
        let both = food(&[(fruit, 400.0), ("strawberries", 400.0)], 500.0, 65.0);
        let extra = named(FoodClass::Jam, &both, Law::Eu, day, "extra jam");
        worst.add_answer(extra.is_some_and(|name| !name.barred.is_empty() && !name.bears()));
    }
    let halves = food(&[("strawberries", 150.0), ("quinces", 150.0)], 500.0, 65.0);
    worst.add_answer(holds_on(
        day,
        FoodClass::Jam,
        &halves,
        Law::Eu,
        "jam",
        Counted::FruitGPerKg,
    ));
    Claim {
        name: "name-eu-annex-one",
        claim: "fruit in jam, extra jam and jelly, soluble solids, and what extra jam never mixes: held at the figure, lost a gram below",
        source: "eu_2001_113",
        place: "Annex I, as it stood until 13 June 2026",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "clingstone plums are not told from other plums by the table of ingredients")
}

fn eu_2026() -> Check {
    let mut worst = Worst::default();
    for (class, name, before, after) in [
        (FoodClass::Jam, "jam", 350.0, 450.0),
        (FoodClass::Jam, "extra jam", 450.0, 500.0),
        (FoodClass::Jelly, "extra jelly", f64::NAN, 500.0),
    ] {
        if before.is_finite() {
            at_the_edge(&mut worst, "2026-06-13", class, Law::Eu, name, "apricots", before);
        }
        at_the_edge(&mut worst, "2026-06-14", class, Law::Eu, name, "apricots", after);
    }
    let citrus = food(&[("oranges, Seville", 300.0)], 600.0, 65.0);
    let is = |day, name| named(FoodClass::Marmalade, &citrus, Law::Eu, day, name).is_some();
    worst.add_answer(is("2026-06-13", "marmalade") && !is("2026-06-13", "citrus marmalade"));
    worst.add_answer(is("2026-06-14", "citrus marmalade") && !is("2026-06-14", "marmalade"));
    Claim {
        name: "name-eu-2026",
        claim: "jam 350 to 450, extra jam 450 to 500, extra jelly to 500 g/kg, marmalade to citrus marmalade",
        source: "fsai_jam",
        place: "summary of amendments",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(
        &worst,
        "the lower figures of currants, quinces, ginger, cashew apples and passion fruit were not read: those fruits are unknown from that day",
    )
}

fn eu_what_is_fruit() -> Check {
    let mut worst = Worst::default();
    for (name, kind) in [
        ("tomatoes", Kind::LowAcidFruit),
        ("rhubarb", Kind::AcidFruit),
        ("carrots", Kind::Vegetable),
        ("sweet potatoes", Kind::Vegetable),
        ("cucumbers", Kind::Vegetable),
        ("pumpkin", Kind::Vegetable),
        ("melon, honeydew", Kind::LowAcidFruit),
        ("watermelon", Kind::LowAcidFruit),
        ("ginger", Kind::Vegetable),
    ] {
        worst.add_answer(is_fruit(kind, name, Law::Eu));
    }
    for name in ["onions", "beetroot", "potatoes", "parsnips"] {
        worst.add_answer(!is_fruit(Kind::Vegetable, name, Law::Eu));
    }
    Claim {
        name: "name-eu-fruit",
        claim: "tomatoes, rhubarb, carrots, sweet potatoes, cucumbers, pumpkins, melons, watermelons and ginger are fruit, other vegetables are not",
        source: "eu_2001_113",
        place: "Annex III, A 1",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "")
}

fn ni_schedule() -> Check {
    let mut worst = Worst::default();
    for (fruit, least, _) in GROUPS {
        at_the_edge(&mut worst, DAY, FoodClass::Jelly, Law::Uk, "jelly", fruit, least);
        at_the_edge(&mut worst, DAY, FoodClass::Jam, Law::Uk, "jam", fruit, least);
    }
    at_the_edge(
        &mut worst,
        DAY,
        FoodClass::Marmalade,
        Law::Uk,
        "marmalade",
        "oranges",
        200.0,
    );
    let juice = |g| {
        let facts = food(&[("lemon juice, fresh", g), ("lemon zest", 300.0)], 600.0, 65.0);
        holds(
            FoodClass::Marmalade,
            &facts,
            Law::Uk,
            "marmalade",
            Counted::EndocarpGPerKg,
        )
    };
    worst.add_answer(juice(75.0) && !juice(74.0));
    let chestnut = "sweetened chestnut puree";
    at_the_edge(&mut worst, DAY, FoodClass::Other, Law::Uk, chestnut, "chestnuts", 380.0);
    at_the_brix(&mut worst, FoodClass::Other, Law::Uk, chestnut, "chestnuts", 60.0);
    let curd = |brix, fat, yolk| {
        let facts = NameFacts {
            fat_g_per_kg: fat,
            yolk_solids_g_per_kg: yolk,
            ..food(&[], 500.0, brix)
        };
        named(FoodClass::Curd, &facts, Law::Uk, DAY, "flavour curd").is_some_and(|name| name.bears())
    };
    worst.add_answer(curd(65.0, 40.0, 6.5));
    worst.add_answer(!curd(64.9, 40.0, 6.5) && !curd(65.0, 39.9, 6.5) && !curd(65.0, 40.0, 6.4));
    let mincemeat = |vine, peel, counted| {
        let facts = food(
            &[("raisins", vine), ("candied fruit", peel), ("apples", 200.0)],
            300.0,
            70.0,
        );
        holds(FoodClass::Other, &facts, Law::Uk, "mincemeat", counted)
    };
    worst.add_answer(mincemeat(200.0, 100.0, Counted::FruitGPerKg) && !mincemeat(200.0, 99.0, Counted::FruitGPerKg));
    worst.add_answer(mincemeat(200.0, 100.0, Counted::VineFruitGPerKg));
    worst.add_answer(!mincemeat(199.0, 200.0, Counted::VineFruitGPerKg));
    Claim {
        name: "name-ni-schedule",
        claim: "jam, jelly, marmalade with its endocarp, chestnut puree, flavour curd and mincemeat: held at the figure, lost below it",
        source: "ni_sr_2018_78",
        place: "schedule 3, parts 2, 4, 6, 8, 11, 12",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(
        &worst,
        "mincemeat's fat and its place for solids in this text were not read; part 9, curds of a fruit, was not either",
    )
}

fn wales_schedule() -> Check {
    let mut worst = Worst::default();
    for (fruit, jam, extra) in GROUPS {
        at_the_edge(&mut worst, DAY, FoodClass::Jam, Law::Uk, "jam", fruit, jam);
        // The copy breaks off before the general rule of extra jam.
        if extra < 450.0 {
            at_the_edge(&mut worst, DAY, FoodClass::Jam, Law::Uk, "extra jam", fruit, extra);
        }
    }
    Claim {
        name: "name-wales-schedule",
        claim: "the Welsh schedule prints the same fruit for jam and extra jam",
        source: "wsi_2018_274",
        place: "schedule 1, paragraphs 4 and 12",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "")
}

fn scotland_notes() -> Check {
    let mut worst = Worst::default();
    for (class, name, fruit, least) in [
        (FoodClass::Jam, "jam", "apricots", 60.0),
        (FoodClass::Jam, "extra jam", "apricots", 60.0),
        (FoodClass::Jelly, "jelly", "apricots", 60.0),
        (FoodClass::Marmalade, "marmalade", "oranges", 60.0),
        (FoodClass::Curd, "curd", "limes", 65.0),
        (FoodClass::Curd, "lemon curd", "lemons", 65.0),
        (FoodClass::Other, "mincemeat", "raisins", 65.0),
        (FoodClass::Jam, "reduced sugar jam", "apricots", 25.0),
    ] {
        at_the_brix(&mut worst, class, Law::Uk, name, fruit, least);
    }
    let reduced = |brix| {
        let facts = food(&[("apricots", 500.0)], 300.0, brix);
        holds(FoodClass::Jam, &facts, Law::Uk, "reduced sugar jam", Counted::Brix)
    };
    worst.add_answer(reduced(50.0) && !reduced(50.1));
    Claim {
        name: "name-scotland-notes",
        claim: "soluble solids 60 %, 65 % of curds and mincemeat, 25 to 50 % when reduced in sugar",
        source: "ssi_2004_133",
        place: "schedule, note 2",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "")
}

fn uk_quick_guide() -> Check {
    let mut worst = Worst::default();
    // The printed example: raspberry and quince in equal parts, 175 g and 125 g.
    let both = food(&[("raspberries", 200.0), ("quinces", 200.0)], 500.0, 65.0);
    let asked = named(FoodClass::Jam, &both, Law::Uk, DAY, "jam").and_then(|name| {
        let ask = name.asks.into_iter().find(|ask| ask.counted == Counted::FruitGPerKg)?;
        ask.at_least.map(|cited| cited.value)
    });
    worst.add(asked.unwrap_or(f64::NAN), 175.0 + 125.0);
    let least = |class, facts: &NameFacts, name: &str, counted| {
        named(class, facts, Law::Uk, DAY, name)
            .and_then(|name| {
                let ask = name.asks.into_iter().find(|ask| ask.counted == counted)?;
                ask.at_least.map(|cited| cited.value)
            })
            .unwrap_or(f64::NAN)
    };
    for (fruit, jam, extra) in [
        ("raspberries", 350.0, 450.0),
        ("cashew apples", 160.0, 230.0),
        ("ginger", 150.0, 250.0),
        ("passion fruit pulp", 60.0, 80.0),
        ("rosehips", 250.0, 350.0),
    ] {
        let facts = food(&[(fruit, 500.0)], 500.0, 65.0);
        for (class, name, printed) in [
            (FoodClass::Jam, "jam", jam),
            (FoodClass::Jam, "extra jam", extra),
            (FoodClass::Jelly, "jelly", jam),
            (FoodClass::Jelly, "extra jelly", extra),
        ] {
            worst.add(least(class, &facts, name, Counted::FruitGPerKg), printed);
        }
    }
    let orange = food(&[("oranges", 500.0)], 500.0, 65.0);
    worst.add(
        least(FoodClass::Marmalade, &orange, "marmalade", Counted::FruitGPerKg),
        200.0,
    );
    worst.add(
        least(FoodClass::Marmalade, &orange, "marmalade", Counted::EndocarpGPerKg),
        75.0,
    );
    let lime = food(&[("limes", 100.0)], 500.0, 65.0);
    worst.add(least(FoodClass::Curd, &lime, "curd", Counted::FatGPerKg), 40.0);
    worst.add(least(FoodClass::Curd, &lime, "curd", Counted::YolkSolidsGPerKg), 6.5);
    Claim {
        name: "name-uk-quick-guide",
        claim: "raspberry and quince jam in equal parts asks for 175 g and 125 g; the guide's table, marmalade and curd",
        source: "fsa_jam_quick_guide",
        place: "minimum fruit requirements",
        mark: Mark::ThirdPartyCopy,
        tolerance: 1e-9,
        unit: "g/kg",
        why: "whole numbers as printed; a hair for binary numbers",
    }
    .held(
        &worst,
        "the guide prints egg solids where the regulations print egg-yolk solids; the stricter is held",
    )
}

fn uk_names() -> Check {
    let mut worst = Worst::default();
    let fruit = |name| food(&[(name, 900.0)], 100.0, 65.0);
    let lemon = fruit("lemons");
    let all = [
        (FoodClass::Jam, fruit("apricots")),
        (FoodClass::Jelly, fruit("apricots")),
        (FoodClass::Marmalade, lemon.clone()),
        (FoodClass::Curd, lemon),
        (FoodClass::Other, fruit("chestnuts")),
        (FoodClass::Other, fruit("raisins")),
    ];
    let known: Vec<String> = all
        .iter()
        .flat_map(|(class, facts)| standings(*class, facts, Law::Uk, DAY))
        .map(|standing| standing.name)
        .collect();
    for name in [
        "jam",
        "extra jam",
        "jelly",
        "extra jelly",
        "marmalade",
        "jelly marmalade",
        "sweetened chestnut puree",
        "curd",
        "lemon cheese",
        "flavour curd",
        "mincemeat",
    ] {
        worst.add_answer(known.iter().any(|own| own == name));
    }
    for name in ["preserve", "conserve", "fruit butter", "chutney"] {
        worst.add_answer(!known.iter().any(|own| own == name));
    }
    Claim {
        name: "name-uk-reserved",
        claim: "the eleven reserved descriptions are known; preserve and conserve are none of them",
        source: "hampshire_trading_standards",
        place: "what are reserved descriptions",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: "a list",
    }
    .held(
        &worst,
        "the note's line that 75 g of a marmalade's fruit come from peel stands against the regulations, the guide and another office, which say endocarp",
    )
}

fn uk_combined_weight() -> Check {
    let mut worst = Worst::default();
    let both = |g| food(&[("strawberries", g), ("raspberries", g)], 500.0, 65.0);
    let held = |g| holds(FoodClass::Jam, &both(g), Law::Uk, "jam", Counted::FruitGPerKg);
    worst.add_answer(held(175.0) && !held(174.0));
    let flesh = |fruits: &[(&str, f64)]| {
        let facts = food(fruits, 600.0, 65.0);
        let marmalade = named(FoodClass::Marmalade, &facts, Law::Uk, DAY, "marmalade");
        marmalade.is_some_and(|name| name.bears())
    };
    worst.add_answer(flesh(&[("lemon juice, fresh", 80.0), ("lemon zest", 120.0)]));
    worst.add_answer(!flesh(&[("lemon juice, fresh", 20.0), ("lemon zest", 180.0)]));
    worst.add_answer(!flesh(&[("strawberries", 400.0)]));
    Claim {
        name: "name-uk-combined-weight",
        claim: "several fruits count by their combined weight; marmalade is of citrus alone, 75 g of it from inside the peel",
        source: "slough_trading_standards",
        place: "jam and marmalade",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: ANSWERS,
    }
    .held(&worst, "")
}
