//! A formula solved for a target: what textbooks and tested guidance print of such sums.

use jarwright_figure::Mark;
use jarwright_kitchen::adjust::{Adjustment, Request, Stage, Target, adjust};
use jarwright_kitchen::files::{Problem, StoresFile, read_formula_with, read_kitchen, read_stores};
use jiff::civil::date;

use super::Claim;
use super::whole::KITCHEN;
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![
        two_syrups(),
        half_a_tonne_of_syrup(),
        vinegar_by_declared_strength(),
        acid_for_a_quart_of_tomatoes(),
        acid_for_a_pint_of_tomatoes(),
    ]
}

/// Juices and syrups of the printed sums, and tomatoes as the abstract measured them.
const STORES: &str = r#"
[[item]]
name = "juice of 10 %"
kind = "acid juice"
pack = "1 kg"
price = "1.00"
analysis = { water = "90 %", carbohydrate = "10 %", sugars = "10 %" }

[[item]]
name = "syrup of 10 %"
kind = "sweetener"
pack = "1 kg"
price = "1.00"
analysis = { water = "90 %", carbohydrate = "10 %", sugars = "10 %" }

[[item]]
name = "syrup of 60 %"
kind = "sweetener"
pack = "1 kg"
price = "1.00"
analysis = { water = "40 %", carbohydrate = "60 %", sugars = "60 %" }

[[item]]
name = "syrup of 62 %"
kind = "sweetener"
pack = "1 kg"
price = "1.00"
analysis = { water = "38 %", carbohydrate = "62 %", sugars = "62 %" }

[[item]]
ingredient = "tomatoes"
pack = "1 kg"
price = "1.00"
analysis = { ph = 4.41 }
"#;

/// The middle of what the abstract measured, and its mildest fruit.
const MIDDLE_PH: &str = "ph = 4.41";
const MILDEST_PH: &str = "ph = 4.71";

/// What is asked, in the words of the command line.
#[derive(Default)]
struct Asked<'a> {
    stores: Option<&'a str>,
    to: &'a [&'a str],
    keep: &'a [&'a str],
    add: &'a [&'a str],
    swap: &'a [&'a str],
}

/// Solves a formula of lines (ingredient, amount) as weighed.
fn solved(food: &str, cup: &str, lines: &[(&str, &str)], asked: &Asked) -> Option<Adjustment> {
    let words = |list: &[&str]| list.iter().map(|w| (*w).to_owned()).collect();
    let none = |_: Vec<Problem>| ();
    let stores: StoresFile = read_stores("stores", asked.stores.unwrap_or(STORES))
        .map_err(none)
        .ok()?;
    let kitchen = read_kitchen("kitchen", KITCHEN).map_err(none).ok()?;
    let mut text = format!("name = \"Sum\"\nfood = \"{food}\"\n{cup}\nstop_at = \"boil\"\n");
    for (ingredient, amount) in lines {
        text.push_str(&format!(
            "[[line]]\ningredient = \"{ingredient}\"\namount = \"{amount}\"\n"
        ));
    }
    let formula = read_formula_with("formula", &text, Some(&stores)).map_err(none).ok()?;
    let targets = asked.to.iter().map(|t| Target::parse(t).ok()).collect::<Option<_>>()?;
    let request = Request {
        targets,
        stage: Stage::Weighed,
        keep: words(asked.keep),
        add: words(asked.add),
        swaps: words(asked.swap),
        ..Request::new(formula, date(2026, 11, 25).at(9, 0, 0, 0))
    };
    adjust(&request, &kitchen, &stores).ok()
}

/// Mass [g] of a line in an answer; no number where there is none.
fn grams(answer: &Option<Adjustment>, ingredient: &str) -> f64 {
    let line = |a: &Adjustment| {
        let is = |l: &&jarwright_kitchen::adjust::LineView| l.ingredient == ingredient && l.after_g > 0.0;
        a.lines.iter().find(is).map(|l| l.after_g)
    };
    answer.as_ref().and_then(line).unwrap_or(f64::NAN)
}

/// 45 parts of juice and 5 of syrup make 15 %; 35 of a heavy and 17 of a light syrup 45 °Brix.
fn two_syrups() -> Check {
    let mut worst = Worst::default();
    let drink = solved(
        "syrup",
        "",
        &[("juice of 10 %", "4500 g"), ("syrup of 60 %", "300 g")],
        &Asked {
            to: &["brix 15"],
            keep: &["juice of 10 %"],
            ..Asked::default()
        },
    );
    worst.add_relative(grams(&drink, "syrup of 60 %"), 500.0);
    let light = solved(
        "syrup",
        "",
        &[("syrup of 62 %", "3500 g"), ("syrup of 10 %", "1000 g")],
        &Asked {
            to: &["brix 45"],
            keep: &["syrup of 62 %"],
            ..Asked::default()
        },
    );
    worst.add_relative(grams(&light, "syrup of 10 %"), 1700.0);
    Claim {
        name: "adjust-two-syrups",
        claim: "how much of a second syrup or juice brings a first one to a printed strength",
        source: "fruit_juice_brief",
        place: "appendix: 10 % juice and 60 % syrup to 15 %, 45 to 5; and syrup_lab_manual, experiment 3: 62 and 10 to 45 °Brix, 35 to 17",
        mark: Mark::Seen,
        tolerance: 0.005,
        unit: "relative",
        why: "whole grams of the scale on 500 g",
    }
    .held(&worst, "")
}

/// 500 kg of 45 °Brix from 62 and 10: strength and yield at once.
fn half_a_tonne_of_syrup() -> Check {
    let mut worst = Worst::default();
    let both = solved(
        "syrup",
        "",
        &[("syrup of 62 %", "3 kg"), ("syrup of 10 %", "2 kg")],
        &Asked {
            to: &["brix 45", "yield 500 kg"],
            ..Asked::default()
        },
    );
    worst.add(grams(&both, "syrup of 10 %") / 1000.0, 163.5);
    Claim {
        name: "adjust-syrup-and-yield",
        claim: "a strength and a yield asked together give the printed weight of the light syrup",
        source: "syrup_lab_manual",
        place: "experiment 3: 17/52 of 500 kg is 163.5 kg",
        mark: Mark::Seen,
        tolerance: 0.5,
        unit: "kg",
        why: "a yield is met to two thousandths, and °Brix to a tenth",
    }
    .held(&worst, "")
}

/// What is declared in grams per 100 mL is diluted by volume: 1.25 of 4 % for 1 of 5 %.
fn vinegar_by_declared_strength() -> Check {
    let mut worst = Worst::default();
    // g/mL at 20 °C, as the strength table's own rows print them.
    let density = |percent: i32| match percent {
        4 => 1.004,
        5 => 1.0055,
        6 => 1.0069,
        _ => 1.0125,
    };
    for (old, new) in [(5, 4), (5, 6), (5, 10), (10, 5), (4, 5)] {
        let name = |percent: i32| format!("vinegar, distilled {percent} %");
        let swapped = solved(
            "pickle",
            "",
            &[(&name(old), "1000 g"), ("water", "2000 g"), ("pickling salt", "50 g")],
            &Asked {
                swap: &[&format!("{} = {}", name(old), name(new))],
                ..Asked::default()
            },
        );
        let volume = |g: f64, percent: i32| g / density(percent);
        let got = volume(grams(&swapped, &name(new)), new) / volume(1000.0, old);
        worst.add_relative(got, f64::from(old) / f64::from(new));
    }
    Claim {
        name: "adjust-vinegar-strength",
        claim: "a vinegar of another declared strength is taken by volume in the ratio of the strengths",
        source: "fda_cpg_525_825",
        place: "strength in grams of acetic acid per 100 mL at 20 °C; the ratio is arithmetic",
        mark: Mark::Computed,
        tolerance: 0.002,
        unit: "relative",
        why: "whole grams of the scale on 500 g",
    }
    .held(&worst, "")
}

/// A teaspoon of citric acid weighs 4 to 5 g (memory).
const TSP_OF_CITRIC_G: f64 = 4.6;

/// The printed acid for a quart is no less than what the mildest tomatoes need for pH 4.6.
fn acid_for_a_quart_of_tomatoes() -> Check {
    let mut worst = Worst::default();
    let mut told = Vec::new();
    let mildest = STORES.replace(MIDDLE_PH, MILDEST_PH);
    for (acid, printed_g) in [
        ("lemon juice, bottled", 2.0 * 14.787 * 1.03),
        ("citric acid", 0.5 * TSP_OF_CITRIC_G),
        ("vinegar, distilled 5 %", 4.0 * 14.787 * 1.006),
    ] {
        let asked = |to: &str| {
            let quart = solved(
                "other",
                "",
                &[("tomatoes", "908 g")],
                &Asked {
                    stores: Some(&mildest),
                    to: &[to],
                    keep: &["tomatoes"],
                    add: &[acid],
                    ..Asked::default()
                },
            );
            grams(&quart, acid)
        };
        let (got, far_end) = (asked("ph 4.6"), asked("ph <= 4.6"));
        told.push(format!(
            "{acid} {got:.1} g, printed {printed_g:.1} g, by the far end of the band {far_end:.1} g"
        ));
        worst.add_inside(got, 0.0, printed_g);
    }
    Claim {
        name: "adjust-tomatoes-quart",
        claim: "acid that brings a quart of the mildest tomatoes measured, pH 4.71, to pH 4.6 is no more than tested guidance prints",
        source: "usda_guide_1994",
        place: "tomatoes, introduction: 2 tbsp bottled lemon juice, 1/2 tsp citric acid or 4 tbsp 5 % vinegar a quart; pH by tomato_canning_abstract",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "g above the printed dose",
        why: "the printed dose has a margin of its own: it is a limit here, not a value to hit",
    }
    .held(
        &worst,
        format!(
            "asked for: {}; the printed amount stands, and the program says so",
            told.join("; ")
        ),
    )
}

/// A quarter teaspoon a pint brought raw tomatoes of pH 4.11 to 4.71 to about 4.05.
fn acid_for_a_pint_of_tomatoes() -> Check {
    let mut worst = Worst::default();
    let pint = solved(
        "other",
        "",
        &[("tomatoes", "454 g")],
        &Asked {
            to: &["ph 4.05"],
            keep: &["tomatoes"],
            add: &["citric acid"],
            ..Asked::default()
        },
    );
    let got = grams(&pint, "citric acid");
    worst.add(got, 0.25 * TSP_OF_CITRIC_G);
    Claim {
        name: "adjust-tomatoes-pint",
        claim: "citric acid that brings a pint of tomatoes from pH 4.41 to 4.05 is about a quarter teaspoon",
        source: "tomato_canning_abstract",
        place: "raw, six cultivars, pH 4.11 to 4.71; 1/4 tsp citric acid a pint to about 4.05",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.5,
        unit: "g",
        why: "the middle of the printed range stands for tomatoes of 4.11 to 4.71, \"about\", and a spoon is good to an eighth of a teaspoon",
    }
    .held(&worst, format!("asked for {got:.2} g; a quarter teaspoon is taken as {:.2} g, from memory", 0.25 * TSP_OF_CITRIC_G))
}
