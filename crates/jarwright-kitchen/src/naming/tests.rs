use jarwright_figure::Mark;
use proptest::prelude::*;

use super::*;

const TODAY: &str = "2026-11-25";
const BEFORE: &str = "2026-06-13";
const AFTER: &str = "2026-06-14";

/// A jam of one fruit: fruit and sugar [g per kg made].
fn jam(fruit: &str, fruit_g: f64, sugar_g: f64, brix: f64) -> NameFacts {
    NameFacts {
        brix,
        fruits: vec![(fruit.to_owned(), fruit_g)],
        fruit_share: fruit_g / (fruit_g + sugar_g),
        sweetener_g_per_kg: Some(sugar_g),
        ..NameFacts::default()
    }
}

fn named(food: FoodClass, facts: &NameFacts, market: Law, day: &str, name: &str) -> NameStanding {
    standings(food, facts, market, day)
        .into_iter()
        .find(|standing| standing.name == name)
        .unwrap_or_else(|| panic!("no standing of {name}"))
}

fn ask(standing: &NameStanding, counted: Counted) -> &Ask {
    standing.asks.iter().find(|ask| ask.counted == counted).unwrap()
}

/// Pounds as bought, sold as `brix`: fruit at 8 °Brix, nothing lost but water.
fn boiled(fruit: &str, fruit_kg: f64, sugar_kg: f64, brix: f64) -> NameFacts {
    let made = (0.08 * fruit_kg + sugar_kg) / (brix / 100.0);
    jam(fruit, 1000.0 * fruit_kg / made, 1000.0 * sugar_kg / made, brix)
}

#[test]
fn exactly_the_minimum_passes_and_a_hair_less_does_not() {
    let least = jam("apricots", 450.0, 550.0, 65.0);
    assert!(named(FoodClass::Jam, &least, Law::Us, TODAY, "jam").bears());
    assert!(named(FoodClass::Jam, &least, Law::Eu, AFTER, "jam").bears());
    for short in [
        jam("apricots", 449.999, 550.0, 65.0),
        jam("apricots", 450.0, 550.0, 64.999),
    ] {
        assert!(!named(FoodClass::Jam, &short, Law::Us, TODAY, "jam").bears());
    }
    let share = 47.0 / 102.0;
    let group_one = NameFacts {
        brix: 65.0,
        fruits: vec![("strawberries".into(), 470.0)],
        fruit_share: share,
        ..NameFacts::default()
    };
    assert!(named(FoodClass::Jam, &group_one, Law::Us, TODAY, "jam").bears());
    assert!(
        named(FoodClass::Jam, &group_one, Law::Us, TODAY, "preserve")
            .margin_of(Counted::FruitShare)
            .abs()
            < 1e-9
    );
}

impl NameStanding {
    fn margin_of(&self, counted: Counted) -> f64 {
        ask(self, counted).margin
    }
}

#[test]
fn apricot_jam_goes_by_another_name_in_the_european_union_from_14_june_2026() {
    // 9 : 11 to 65 °Brix is 499.1 g of fruit in each kg.
    let facts = boiled("apricots", 9.0, 11.0, 65.0);
    let bears = |market, day, name| named(FoodClass::Jam, &facts, market, day, name).bears();
    assert!(bears(Law::Us, BEFORE, "jam") && bears(Law::Us, AFTER, "jam"));
    assert!(bears(Law::Eu, BEFORE, "jam") && bears(Law::Eu, BEFORE, "extra jam"));
    assert!(bears(Law::Eu, AFTER, "jam") && !bears(Law::Eu, AFTER, "extra jam"));
    assert!(bears(Law::Uk, AFTER, "extra jam"));
    let extra = named(FoodClass::Jam, &facts, Law::Eu, AFTER, "extra jam");
    assert!((extra.margin_of(Counted::FruitGPerKg) + 0.9).abs() < 0.05);
    assert!(
        ask(&extra, Counted::FruitGPerKg)
            .change
            .as_deref()
            .unwrap()
            .contains("0.9 g more fruit")
    );
}

#[test]
fn strawberries_are_of_group_one_and_nine_to_eleven_is_too_little_of_them() {
    let facts = boiled("strawberries", 9.0, 11.0, 65.0);
    assert!(!named(FoodClass::Jam, &facts, Law::Us, TODAY, "jam").bears());
    let mixed = NameFacts {
        fruits: vec![("strawberries".into(), 250.0), ("apricots".into(), 249.2)],
        ..facts
    };
    assert!(named(FoodClass::Jam, &mixed, Law::Us, TODAY, "jam").bears());
}

#[test]
fn a_fruit_whose_figure_was_not_read_is_unknown_and_never_passes() {
    let facts = jam("quinces", 900.0, 500.0, 65.0);
    let standing = named(FoodClass::Jam, &facts, Law::Eu, AFTER, "jam");
    let fruit = ask(&standing, Counted::FruitGPerKg);
    assert_eq!((fruit.held, fruit.at_least.clone()), (Held::Unknown, None));
    assert!(!standing.bears());
    assert!(fruit.said().contains("not read"), "{}", fruit.said());
    assert!(named(FoodClass::Jam, &facts, Law::Eu, BEFORE, "jam").bears());
    // One such fruit among others leaves the mixture unknown too.
    let mixed = NameFacts {
        fruits: vec![("quinces".into(), 100.0), ("apples".into(), 800.0)],
        ..facts
    };
    assert!(!named(FoodClass::Jam, &mixed, Law::Eu, AFTER, "jam").bears());
}

#[test]
fn a_fruit_outside_the_list_of_the_standard_is_unknown() {
    let facts = jam("bananas", 600.0, 500.0, 65.0);
    let standing = named(FoodClass::Jam, &facts, Law::Us, TODAY, "jam");
    assert!(!standing.bears());
    assert!(ask(&standing, Counted::FruitShare).said().contains("bananas"));
}

#[test]
fn a_figure_from_memory_may_fail_a_name_and_its_pass_is_said_as_such() {
    let mut facts = NameFacts {
        brix: 66.0,
        fat_g_per_kg: 30.0,
        fruits: vec![("raisins".into(), 250.0), ("candied fruit".into(), 60.0)],
        ..NameFacts::default()
    };
    let standing = named(FoodClass::Other, &facts, Law::Uk, TODAY, "mincemeat");
    assert!(standing.bears());
    let fat = ask(&standing, Counted::FatGPerKg);
    assert_eq!(fat.at_least.as_ref().unwrap().mark, Mark::Memory);
    assert!(fat.said().contains("by a figure from memory"), "{}", fat.said());
    facts.fat_g_per_kg = 20.0;
    assert!(!named(FoodClass::Other, &facts, Law::Uk, TODAY, "mincemeat").bears());
}

#[test]
fn the_kitchen_lime_curd_is_no_curd_of_the_united_kingdom() {
    // The published lemon curd's composition by hand: 53 °Brix in the water, about 35 in the whole.
    let facts = NameFacts {
        brix: 34.9,
        fat_g_per_kg: 135.0,
        yolk_solids_g_per_kg: 80.3,
        fruits: vec![("lemon juice, bottled".into(), 200.0), ("lemon zest".into(), 10.0)],
        ..NameFacts::default()
    };
    let names: Vec<String> = standings(FoodClass::Curd, &facts, Law::Uk, TODAY)
        .into_iter()
        .map(|standing| standing.name)
        .collect();
    assert_eq!(names, ["curd", "lemon curd", "lemon cheese", "flavour curd"]);
    let curd = named(FoodClass::Curd, &facts, Law::Uk, TODAY, "lemon curd");
    assert!(!curd.bears());
    assert!((curd.margin_of(Counted::Brix) + 30.1).abs() < 1e-9);
    assert_eq!(ask(&curd, Counted::FatGPerKg).held, Held::Passes);
    assert_eq!(ask(&curd, Counted::YolkSolidsGPerKg).held, Held::Passes);
    let lime = NameFacts {
        fruits: vec![("lime juice, bottled".into(), 200.0)],
        ..facts
    };
    let names = standings(FoodClass::Curd, &lime, Law::Uk, TODAY);
    assert!(names.iter().all(|standing| !standing.name.starts_with("lemon")));
}

#[test]
fn where_no_name_is_known_that_is_said() {
    for (food, market) in [
        (FoodClass::Curd, Law::Us),
        (FoodClass::Curd, Law::Eu),
        (FoodClass::Chutney, Law::Uk),
        (FoodClass::Pickle, Law::Us),
        (FoodClass::FruitButter, Law::Uk),
    ] {
        assert!(standings(food, &jam("apricots", 450.0, 550.0, 65.0), market, TODAY).is_empty());
        assert!(no_name_known(food, market).contains(food.word()));
    }
}

#[test]
fn juice_and_zest_are_no_fruit_of_a_jam_and_are_of_a_marmalade() {
    let facts = NameFacts {
        brix: 65.0,
        fruits: vec![
            ("apricots".into(), 449.0),
            ("lemon juice, bottled".into(), 30.0),
            ("lemon zest".into(), 10.0),
        ],
        sweetener_g_per_kg: Some(540.0),
        ..NameFacts::default()
    };
    let jam = named(FoodClass::Jam, &facts, Law::Eu, AFTER, "jam");
    assert!((ask(&jam, Counted::FruitGPerKg).got - 449.0).abs() < 1e-9);
    // Citrus juice beside other fruit is no fruit of a jelly either; alone it is.
    let jelly = |fruits: &[(&str, f64)]| {
        let facts = NameFacts {
            brix: 65.0,
            fruits: fruits.iter().map(|(name, g)| ((*name).to_owned(), *g)).collect(),
            ..NameFacts::default()
        };
        ask(
            &named(FoodClass::Jelly, &facts, Law::Uk, TODAY, "jelly"),
            Counted::FruitGPerKg,
        )
        .got
    };
    assert!((jelly(&[("grape juice", 340.0), ("lemon juice, fresh", 20.0)]) - 340.0).abs() < 1e-9);
    assert!((jelly(&[("lemon juice, fresh", 360.0)]) - 360.0).abs() < 1e-9);
    let marmalade = NameFacts {
        fruits: vec![("oranges, Seville".into(), 150.0), ("lemon juice, fresh".into(), 50.0)],
        ..facts
    };
    let standing = named(FoodClass::Marmalade, &marmalade, Law::Uk, TODAY, "marmalade");
    assert!((ask(&standing, Counted::FruitGPerKg).got - 200.0).abs() < 1e-9);
    assert_eq!(ask(&standing, Counted::FruitGPerKg).held, Held::Passes);
}

#[test]
fn what_is_inside_the_peel_is_weighed_where_the_table_cannot_tell() {
    let of = |fruits: &[(&str, f64)]| {
        let facts = NameFacts {
            brix: 65.0,
            fruits: fruits.iter().map(|(name, g)| ((*name).to_owned(), *g)).collect(),
            ..NameFacts::default()
        };
        ask(
            &named(FoodClass::Marmalade, &facts, Law::Uk, TODAY, "marmalade"),
            Counted::EndocarpGPerKg,
        )
        .held
    };
    assert_eq!(of(&[("oranges", 200.0)]), Held::Passes);
    assert_eq!(of(&[("oranges, Seville", 200.0)]), Held::TooClose);
    assert_eq!(of(&[("oranges, with peel", 200.0)]), Held::TooClose);
    assert_eq!(of(&[("kumquats", 200.0)]), Held::TooClose);
    assert_eq!(of(&[("lemon zest", 150.0), ("lemon juice, fresh", 50.0)]), Held::Fails);
}

#[test]
fn carrots_make_a_jam_in_the_european_union_and_none_in_the_united_states() {
    assert!(is_fruit(Kind::Vegetable, "carrots", Law::Eu));
    assert!(!is_fruit(Kind::Vegetable, "carrots", Law::Us));
    assert!(!is_fruit(Kind::Vegetable, "onions", Law::Eu));
    assert!(
        named(
            FoodClass::Jam,
            &jam("carrots", 460.0, 550.0, 62.0),
            Law::Eu,
            AFTER,
            "jam"
        )
        .bears()
    );
}

#[test]
fn mixed_fruit_is_asked_in_proportion() {
    let half = NameFacts {
        brix: 60.0,
        fruits: vec![("raspberries".into(), 150.0), ("quinces".into(), 150.0)],
        sweetener_g_per_kg: Some(600.0),
        ..NameFacts::default()
    };
    let standing = named(FoodClass::Jam, &half, Law::Uk, TODAY, "jam");
    assert!((ask(&standing, Counted::FruitGPerKg).at_least.as_ref().unwrap().value - 300.0).abs() < 1e-9);
    assert!(standing.bears());
}

#[test]
fn no_other_fruit_stands_beside_apples_in_extra_jam() {
    let facts = NameFacts {
        brix: 65.0,
        fruits: vec![("apples".into(), 300.0), ("blackberries".into(), 300.0)],
        sweetener_g_per_kg: Some(600.0),
        ..NameFacts::default()
    };
    assert!(!named(FoodClass::Jam, &facts, Law::Uk, TODAY, "extra jam").bears());
    assert!(named(FoodClass::Jam, &facts, Law::Uk, TODAY, "jam").bears());
    let alone = jam("apples", 600.0, 600.0, 65.0);
    assert!(named(FoodClass::Jam, &alone, Law::Uk, TODAY, "extra jam").bears());
}

#[test]
fn each_fruit_of_an_american_mixture_is_a_fifth_of_it_or_more() {
    let of = |pears: f64, apples: f64| NameFacts {
        brix: 43.0,
        fruits: vec![("pears".into(), pears), ("apples".into(), apples)],
        sweetener_g_per_kg: Some(300.0),
        ..NameFacts::default()
    };
    assert!(
        named(
            FoodClass::FruitButter,
            &of(200.0, 800.0),
            Law::Us,
            TODAY,
            "fruit butter"
        )
        .bears()
    );
    let short = named(
        FoodClass::FruitButter,
        &of(100.0, 900.0),
        Law::Us,
        TODAY,
        "fruit butter",
    );
    assert!(!short.bears());
    let change = ask(&short, Counted::ShareOfEachFruit).change.clone().unwrap();
    assert!(change.contains("125 g more pears"), "{change}");
}

#[test]
fn a_thin_juice_counts_for_less_and_a_rich_one_for_no_more() {
    let of = |brix: f64| NameFacts {
        brix: 65.0,
        fruits: vec![("apple juice".into(), 450.0)],
        sweetener_g_per_kg: Some(550.0),
        fruit_brix: vec![("apple juice".into(), brix)],
        ..NameFacts::default()
    };
    let share = |brix| {
        ask(
            &named(FoodClass::Jelly, &of(brix), Law::Us, TODAY, "jelly"),
            Counted::FruitShare,
        )
        .got
    };
    assert!((share(100.0 / 7.5) - 45.0).abs() < 1e-9);
    assert!((share(40.0) - 45.0).abs() < 1e-9);
    assert!(share(11.0) < 45.0);
}

#[test]
fn a_margin_within_the_band_is_too_close_to_call() {
    let mut facts = jam("apricots", 480.0, 550.0, 65.2);
    facts.brix_band = Some((64.6, 65.8));
    let standing = named(FoodClass::Jam, &facts, Law::Us, TODAY, "jam");
    assert!(!standing.bears() && standing.too_close());
    assert!(ask(&standing, Counted::Brix).said().contains("refractometer"));
    facts.brix_band = Some((65.0, 65.4));
    assert!(named(FoodClass::Jam, &facts, Law::Us, TODAY, "jam").bears());
    facts.brix = 63.0;
    facts.brix_band = Some((62.0, 64.0));
    let standing = named(FoodClass::Jam, &facts, Law::Us, TODAY, "jam");
    assert!(!standing.too_close() && ask(&standing, Counted::Brix).held == Held::Fails);
}

#[test]
fn reduced_sugar_jam_has_a_most_and_is_told_how_much_water_to_leave() {
    let facts = jam("strawberries", 600.0, 450.0, 55.0);
    let standing = named(FoodClass::Jam, &facts, Law::Uk, TODAY, "reduced sugar jam");
    let brix = ask(&standing, Counted::Brix);
    assert_eq!(brix.held, Held::Fails);
    assert!(brix.change.as_deref().unwrap().contains("leave 100 g more water"));
    let after = brix.mends[0].applied(&facts);
    assert!(named(FoodClass::Jam, &after, Law::Uk, TODAY, "reduced sugar jam").bears());
}

#[test]
fn sugar_is_never_an_artificial_sweetener() {
    let facts = jam("strawberries", 700.0, 450.0, 65.0);
    assert!(!named(FoodClass::Jam, &facts, Law::Us, TODAY, "artificially sweetened jam").bears());
}

#[test]
fn yolks_are_told_by_the_yolk() {
    let facts = NameFacts {
        brix: 66.0,
        fat_g_per_kg: 60.0,
        yolk_solids_g_per_kg: 5.9,
        fruits: vec![("lime juice, bottled".into(), 150.0)],
        ..NameFacts::default()
    };
    let standing = named(FoodClass::Curd, &facts, Law::Uk, TODAY, "curd");
    let yolk = ask(&standing, Counted::YolkSolidsGPerKg);
    assert_eq!(
        yolk.change.as_deref(),
        Some("one yolk more in each kg (6.5 g/kg asked, 5.9 counted)")
    );
}

/// Every way to mend every ask that fails makes that ask pass.
fn every_mend_mends(food: FoodClass, facts: &NameFacts, market: Law, day: &str) -> Result<(), TestCaseError> {
    for standing in standings(food, facts, market, day) {
        for before in &standing.asks {
            for mend in &before.mends {
                let after = mend.applied(facts);
                let Some(again) = standings(food, &after, market, day)
                    .into_iter()
                    .find(|again| again.name == standing.name)
                else {
                    continue;
                };
                let held = again
                    .asks
                    .iter()
                    .find(|ask| ask.counted == before.counted)
                    .map(|ask| ask.held);
                prop_assert_eq!(
                    held,
                    Some(Held::Passes),
                    "{} {:?}: {:?} of {:?}",
                    standing.name,
                    before.counted,
                    mend,
                    facts
                );
            }
            let at_all = before.held != Held::Fails || !before.mends.is_empty() || before.got <= 0.0;
            let told = at_all
                || matches!(
                    before.counted,
                    Counted::KindsOfFruit | Counted::ShareOfEachFruit | Counted::FruitShare
                );
            prop_assert!(told, "{} {:?} has no mend", standing.name, before.counted);
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn what_is_advised_mends_a_jam(
        one in 5.0..700.0f64, other in 0.0..300.0f64, juice in 0.0..60.0f64, sugar in 50.0..700.0f64,
        brix in 20.0..75.0f64, given in any::<bool>(), kind in 0usize..5, day in 0usize..2, market in 0usize..3,
    ) {
        let (a, b) = [("strawberries", "quinces"), ("apricots", "redcurrants"), ("apples", "pears"),
            ("passion fruit pulp", "raspberries"), ("oranges", "lemons")][kind];
        let mut facts = NameFacts {
            brix,
            fruits: vec![(a.into(), one), (b.into(), other), ("lemon juice, bottled".into(), juice)],
            fruit_share: (one + other) / (one + other + sugar),
            sweetener_g_per_kg: given.then_some(sugar),
            ..NameFacts::default()
        };
        let market = [Law::Us, Law::Eu, Law::Uk][market];
        let day = [BEFORE, AFTER][day];
        for food in [FoodClass::Jam, FoodClass::Jelly, FoodClass::Marmalade, FoodClass::FruitButter] {
            every_mend_mends(food, &facts, market, day)?;
        }
        facts.fruit_brix = vec![(a.into(), 9.0)];
        every_mend_mends(FoodClass::Jelly, &facts, Law::Us, day)?;
    }

    #[test]
    fn what_is_advised_mends_a_curd_and_a_mincemeat(
        brix in 20.0..80.0f64, fat in 0.0..120.0f64, yolk in 0.0..20.0f64, vine in 1.0..400.0f64, peel in 0.0..100.0f64,
    ) {
        let curd = NameFacts {
            brix, fat_g_per_kg: fat, yolk_solids_g_per_kg: yolk,
            fruits: vec![("lemon juice, fresh".into(), vine)],
            ..NameFacts::default()
        };
        every_mend_mends(FoodClass::Curd, &curd, Law::Uk, TODAY)?;
        let mincemeat = NameFacts {
            fruits: vec![("raisins".into(), vine), ("candied fruit".into(), peel), ("apples".into(), 100.0)],
            ..curd
        };
        every_mend_mends(FoodClass::Other, &mincemeat, Law::Uk, TODAY)?;
    }

    #[test]
    fn more_fruit_never_loses_a_name(
        fruit in 5.0..700.0f64, more in 0.0..300.0f64, sugar in 50.0..700.0f64, brix in 20.0..75.0f64, market in 0usize..3,
    ) {
        let market = [Law::Us, Law::Eu, Law::Uk][market];
        let before = standings(FoodClass::Jam, &jam("apricots", fruit, sugar, brix), market, TODAY);
        let after = standings(FoodClass::Jam, &jam("apricots", fruit + more, sugar, brix), market, TODAY);
        for (before, after) in before.iter().zip(&after) {
            prop_assert!(!before.bears() || after.bears(), "{}", before.name);
        }
    }

    #[test]
    fn no_figure_whatever_makes_a_standing_fall_over(
        brix in any::<f64>(), fat in any::<f64>(), yolk in any::<f64>(), fruit in any::<f64>(), share in any::<f64>(),
    ) {
        let facts = NameFacts {
            brix, fat_g_per_kg: fat, yolk_solids_g_per_kg: yolk,
            fruits: vec![("apricots".into(), fruit), ("raisins".into(), fruit)],
            fruit_share: share,
            ..NameFacts::default()
        };
        for food in FoodClass::ALL {
            for market in [Law::Us, Law::Eu, Law::Uk] {
                for standing in standings(food, &facts, market, TODAY) {
                    prop_assert!(!standing.said().is_empty());
                    prop_assert!(!brix.is_nan() || !standing.bears());
                }
            }
        }
    }
}
