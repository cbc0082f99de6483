//! Published processes and rules in our tables, held against the documents, typed anew.

use jarwright_figure::Mark;
use jarwright_reference::{
    Counted, JamGroup, Market, egg_pairs, identity, jar, jar_boil_min, practice, schedule, us_jam_group,
};

use crate::{Check, Worst};

/// Every check of schedules, jars and reserved names.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        lemon_curd_page(),
        lemon_curd_study(),
        usda_guide(),
        msu_leaves(),
        salsa_and_chutney(),
        jam_and_jelly(),
        altitude_add_on(),
        jar_boiling(),
        jam_groups(),
        uk_fruit_minima(),
        eu_fruit_minima(),
        uk_curd(),
        egg_pairs_slope(),
        jar_volumes(),
    ]
}

/// Numbers in a printed table are compared whole.
const AS_PRINTED: &str = "whole numbers as printed";
/// A hair for the conversion between °F and °C, in and mm.
const HAIR: f64 = 0.02;

/// Our minutes of one schedule, band by band, against the printed ones of its seen cells.
fn compare(worst: &mut Worst, key: &str, printed: &[f64]) {
    let bands = schedule(key).map_or(&[][..], |row| &row.bands);
    for (i, &minutes) in printed.iter().enumerate() {
        let ours = bands.get(i).filter(|band| band.minutes.mark.may_open());
        worst.add(ours.map_or(f64::NAN, |band| band.minutes.value), minutes);
    }
}

/// Our borders of altitude [ft] against the printed ones.
fn compare_borders(worst: &mut Worst, key: &str, printed: &[f64]) {
    let bands = schedule(key).map_or(&[][..], |row| &row.bands);
    for (i, &feet) in printed.iter().enumerate() {
        worst.add(bands.get(i).and_then(|band| band.to_ft).unwrap_or(f64::NAN), feet);
    }
}

fn fahrenheit(c: f64) -> f64 {
    c * 1.8 + 32.0
}

fn lemon_curd_page() -> Check {
    let mut worst = Worst::default();
    let row = schedule("curd-lemon-half-pint");
    let number = |value: Option<f64>| value.unwrap_or(f64::NAN);
    worst.add(
        number(
            row.and_then(|r| r.bath_start_max_c.as_ref())
                .map(|c| fahrenheit(c.value)),
        ),
        180.0,
    );
    worst.add(number(row.and_then(|r| r.come_up_min.as_ref()).map(|c| c.low)), 25.0);
    worst.add(number(row.and_then(|r| r.come_up_min.as_ref()).map(|c| c.high)), 30.0);
    worst.add(number(row.and_then(|r| r.formula_makes).map(|makes| makes.0)), 3.0);
    worst.add(number(row.and_then(|r| r.formula_makes).map(|makes| makes.1)), 4.0);
    worst.add(number(practice("zest_rest_min").map(|p| p.value.value)), 30.0);
    worst.add(
        number(practice("bath_water_over_lids_mm").map(|p| p.value.low / 25.4)),
        1.0,
    );
    worst.add(
        number(practice("bath_water_over_lids_mm").map(|p| p.value.high / 25.4)),
        2.0,
    );
    Check {
        name: "curd-page",
        claim: "the tested lemon curd's bath, come-up and yield stand as printed",
        source: "nchfp_lemon_curd",
        place: "yield and steps 2 and 3",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: HAIR,
        unit: "°F, min, jars, in",
        why: "stored in °C and whole mm",
        passed: worst.miss <= HAIR,
        note: "minutes above 1,000 ft could not be read; they are from memory and open nothing".into(),
    }
}

fn lemon_curd_study() -> Check {
    let mut worst = Worst::default();
    for key in ["curd-lemon-half-pint", "curd-lime-half-pint"] {
        compare(&mut worst, key, &[15.0]);
        let row = schedule(key);
        let value = |cited: Option<f64>| cited.unwrap_or(f64::NAN);
        worst.add(value(row.and_then(|r| r.equilibrium_ph.as_ref()).map(|c| c.value)), 3.7);
        worst.add(
            value(row.and_then(|r| r.longest_wait_min.as_ref()).map(|c| c.value)),
            15.0,
        );
    }
    worst.add(
        practice("curd_study_centre_min_c").map_or(f64::NAN, |p| p.value.value),
        90.5,
    );
    Check {
        name: "curd-study",
        claim: "process time, equilibrium pH, longest wait and coldest centre of the curd study",
        source: "nchfp_curd_study",
        place: "abstract",
        mark: Mark::ThirdPartyCopy,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min, pH, °C",
        why: AS_PRINTED,
        passed: worst.miss <= 0.0,
        note: String::new(),
    }
}

fn usda_guide() -> Check {
    let mut worst = Worst::default();
    for (key, minutes) in [
        ("apple-butter-half-pint-pint", &[5.0, 10.0, 15.0][..]),
        ("apple-butter-quart", &[10.0, 15.0, 20.0]),
        ("berries-hot", &[15.0, 20.0, 20.0, 25.0]),
        ("berries-raw-pint", &[15.0, 20.0, 20.0]),
        ("peaches-hot-pint", &[20.0, 25.0, 30.0, 35.0]),
        ("peaches-hot-quart", &[25.0, 30.0, 35.0, 40.0]),
        ("peaches-raw-pint", &[25.0, 30.0, 35.0, 40.0]),
        ("peaches-raw-quart", &[30.0, 35.0, 40.0, 45.0]),
        ("tomatoes-in-water-hot-pint", &[40.0, 45.0, 50.0, 55.0]),
        ("tomatoes-in-water-hot-quart", &[45.0, 50.0, 55.0, 60.0]),
        ("tomatoes-in-water-raw-pint", &[40.0, 45.0, 50.0, 55.0]),
        ("tomatoes-in-water-raw-quart", &[45.0, 50.0, 55.0, 60.0]),
        ("tomatoes-in-juice-hot", &[85.0, 90.0, 95.0, 100.0]),
    ] {
        compare(&mut worst, key, minutes);
        let borders: &[f64] = if key.starts_with("apple-butter") {
            &[1000.0, 6000.0]
        } else {
            &[1000.0, 3000.0, 6000.0]
        };
        compare_borders(&mut worst, key, borders);
    }
    printed(
        "usda-guide-process-times",
        "usda_guide_1994",
        "process tables of fruit and tomatoes",
        worst,
    )
}

fn msu_leaves() -> Check {
    let mut worst = Worst::default();
    for (key, minutes) in [
        ("applesauce-pint", &[15.0, 20.0, 20.0, 25.0][..]),
        ("applesauce-quart", &[20.0, 25.0, 30.0, 35.0]),
        ("dill-quick-pint", &[10.0, 15.0, 20.0]),
        ("dill-quick-quart", &[15.0, 20.0, 25.0]),
        ("dill-reduced-sodium-pint", &[15.0, 20.0, 25.0]),
    ] {
        compare(&mut worst, key, minutes);
    }
    compare_borders(&mut worst, "dill-quick-pint", &[1000.0, 6000.0]);
    compare_borders(&mut worst, "applesauce-pint", &[1000.0, 3000.0, 6000.0]);
    printed(
        "state-leaves-process-times",
        "msu_preserving_1997",
        "leaves on applesauce and pickles",
        worst,
    )
}

fn salsa_and_chutney() -> Check {
    let mut worst = Worst::default();
    compare(&mut worst, "salsa-tomato-paste-pint", &[15.0, 20.0, 25.0]);
    compare(&mut worst, "chutney-tomato-apple-pint", &[10.0, 15.0, 20.0]);
    compare(&mut worst, "chutney-set", &[10.0, 15.0, 20.0]);
    compare(&mut worst, "salsa-cranberry-pint", &[10.0]);
    printed(
        "salsa-and-chutney-process-times",
        "nchfp_salsa",
        "process tables; chutney and cranberry in their own",
        worst,
    )
}

fn jam_and_jelly() -> Check {
    let mut worst = Worst::default();
    for key in ["jam-class", "jelly-class", "apricot-jam"] {
        compare(&mut worst, key, &[5.0, 10.0, 15.0]);
        compare_borders(&mut worst, key, &[1000.0, 6000.0]);
    }
    printed(
        "jam-and-jelly-process-times",
        "usda_jam_table",
        "jams and jellies without added pectin",
        worst,
    )
}

fn printed(name: &'static str, source: &'static str, place: &'static str, worst: Worst) -> Check {
    Check {
        name,
        claim: "minutes at the boil and borders of altitude stand as printed",
        source,
        place,
        mark: Mark::ThirdPartyCopy,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min, ft",
        why: AS_PRINTED,
        passed: worst.miss <= 0.0,
        note: "our table against a list typed for this check; cells from memory are left out".into(),
    }
}

/// A second document's rule against the first's tables.
fn altitude_add_on() -> Check {
    let mut worst = Worst::default();
    for key in [
        "peaches-hot-pint",
        "peaches-hot-quart",
        "peaches-raw-pint",
        "peaches-raw-quart",
        "tomatoes-in-water-hot-pint",
        "tomatoes-in-water-hot-quart",
        "tomatoes-in-juice-hot",
        "applesauce-quart",
    ] {
        let bands = schedule(key).map_or(&[][..], |row| &row.bands);
        let minutes = |i: usize| bands.get(i).map_or(f64::NAN, |band| band.minutes.value);
        for (i, add) in [(1, 5.0), (2, 10.0), (3, 15.0)] {
            worst.add(minutes(i) - minutes(0), add);
        }
    }
    Check {
        name: "altitude-add-on",
        claim: "times of recipes in four bands grow by 5, 10 and 15 min with altitude",
        source: "high_altitude_page",
        place: "table of minutes to add",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min",
        why: AS_PRINTED,
        passed: worst.miss <= 0.0,
        note: "berries and applesauce in pints print 5, 5 and 10 instead: the printed table governs".into(),
    }
}

fn jar_boiling() -> Check {
    let mut worst = Worst::default();
    for (feet, minutes) in [
        (0.0, 10.0),
        (1000.0, 10.0),
        (2000.0, 11.0),
        (3000.0, 12.0),
        (5000.0, 14.0),
        (8000.0, 17.0),
        (10_000.0, 19.0),
    ] {
        worst.add(jar_boil_min(feet).unwrap_or(f64::NAN), minutes);
    }
    Check {
        name: "jar-boiling",
        claim: "empty jars boil 10 min up to 1,000 ft and 1 min more for each further 1,000 ft",
        source: "msu_preserving_1997",
        place: "sterilising empty jars",
        mark: Mark::ThirdPartyCopy,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min",
        why: AS_PRINTED,
        passed: worst.miss <= 0.0,
        note: "between whole thousands the program rounds up".into(),
    }
}

fn jam_groups() -> Check {
    let mut worst = Worst::default();
    for fruit in [
        "blackberry",
        "black raspberry",
        "blueberry",
        "boysenberry",
        "cherry",
        "crabapple",
        "dewberry",
        "elderberry",
        "grape",
        "grapefruit",
        "huckleberry",
        "loganberry",
        "orange",
        "pineapple",
        "raspberry",
        "rhubarb",
        "strawberry",
        "tangerine",
        "tomato",
        "youngberry",
    ] {
        worst.add_answer(us_jam_group(fruit) == Some(JamGroup::One));
    }
    for fruit in [
        "apricot",
        "cranberry",
        "damson",
        "fig",
        "gooseberry",
        "greengage",
        "guava",
        "nectarine",
        "peach",
        "pear",
        "plum",
        "quince",
        "red currant",
    ] {
        worst.add_answer(us_jam_group(fruit) == Some(JamGroup::Two));
    }
    Check {
        name: "us-jam-groups",
        claim: "fruits stand in group I (47:55) or II (45:55) as in the standard",
        source: "cfr21_150",
        place: "150.160(b)",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "wrong answers",
        why: "a list",
        passed: worst.miss <= 0.0,
        note: String::new(),
    }
}

fn minimum(market: Market, name: &str, counted: Counted, fruit: &str, day: &str) -> f64 {
    identity(market, name, counted, fruit, day)
        .and_then(|row| row.at_least.as_ref())
        .map_or(f64::NAN, |cited| cited.value)
}

/// A trading-standards note, read apart from the law our rows come from.
fn uk_fruit_minima() -> Check {
    let mut worst = Worst::default();
    let day = "2026-09-01";
    for (fruit, jam, extra) in [
        ("blackcurrants", 250.0, 350.0),
        ("redcurrants", 250.0, 350.0),
        ("rosehips", 250.0, 350.0),
        ("quinces", 250.0, 350.0),
        ("ginger", 150.0, 250.0),
        ("cashew apple", 160.0, 230.0),
        ("passion fruit pulp", 60.0, 80.0),
        ("strawberries", 350.0, 450.0),
        ("apricots", 350.0, 450.0),
    ] {
        worst.add(minimum(Market::Uk, "jam", Counted::FruitGPerKg, fruit, day), jam);
        worst.add(
            minimum(Market::Uk, "extra jam", Counted::FruitGPerKg, fruit, day),
            extra,
        );
    }
    worst.add(
        minimum(Market::Uk, "marmalade", Counted::FruitGPerKg, "oranges", day),
        200.0,
    );
    worst.add(minimum(Market::Uk, "jam", Counted::Brix, "strawberries", day), 60.0);
    names(
        "uk-fruit-minima",
        "hampshire_trading_standards",
        "note on jam and similar products",
        worst,
    )
}

fn eu_fruit_minima() -> Check {
    let mut worst = Worst::default();
    for (day, jam, extra) in [("2026-06-13", 350.0, 450.0), ("2026-06-14", 450.0, 500.0)] {
        worst.add(
            minimum(Market::Eu, "jam", Counted::FruitGPerKg, "strawberries", day),
            jam,
        );
        worst.add(
            minimum(Market::Eu, "extra jam", Counted::FruitGPerKg, "strawberries", day),
            extra,
        );
    }
    names(
        "eu-fruit-minima-2026",
        "eu_2024_1438",
        "summary of the directive",
        worst,
    )
}

fn uk_curd() -> Check {
    let mut worst = Worst::default();
    let day = "2026-09-01";
    worst.add(minimum(Market::Uk, "flavour curd", Counted::FatGPerKg, "", day), 40.0);
    worst.add(
        minimum(Market::Uk, "flavour curd", Counted::YolkSolidsGPerKg, "", day),
        6.5,
    );
    worst.add(minimum(Market::Uk, "flavour curd", Counted::Brix, "", day), 65.0);
    names("uk-flavour-curd", "ni_sr_2018_78", "schedule 3, part 11", worst)
}

fn names(name: &'static str, source: &'static str, place: &'static str, worst: Worst) -> Check {
    Check {
        name,
        claim: "minima that reserved names carry stand as printed",
        source,
        place,
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "g/kg, °Brix",
        why: AS_PRINTED,
        passed: worst.miss <= 0.0,
        note: String::new(),
    }
}

/// The law's two ways to heat one product imply a z; it was measured apart.
fn egg_pairs_slope() -> Check {
    let mut worst = Worst::default();
    for pair in egg_pairs() {
        if let Some(long_c) = pair.long_c {
            worst.add_inside((pair.short_c - long_c) / (6.2_f64 / 3.5).log10(), 4.2, 5.3);
        }
    }
    Check {
        name: "egg-pairs-slope",
        claim: "the z implied by the lawful egg pairs lies in the range measured for Salmonella",
        source: "garibaldi_1969",
        place: "z 4.2 to 5.3 °C over eight media",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "K",
        why: "inside the measured range",
        passed: worst.miss <= 0.0,
        note: String::new(),
    }
}

fn jar_volumes() -> Check {
    let mut worst = Worst::default();
    for (name, ml) in [
        ("quarter-pint", 118.294),
        ("half-pint", 236.588),
        ("12-oz", 354.882),
        ("pint", 473.176),
        ("quart", 946.353),
    ] {
        worst.add(jar(name).map_or(f64::NAN, |row| row.volume_ml.value), ml);
    }
    Check {
        name: "jar-volumes",
        claim: "US jars hold the US measures they are named for",
        source: "nist_sp1038",
        place: "liquid measures",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.5,
        unit: "mL",
        why: "sellers print whole millilitres",
        passed: worst.miss <= 0.5,
        note: "to the brim a jar may hold a little more".into(),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_check_of_schedules_passes() {
        for check in super::all() {
            assert!(check.passed, "{check:?}");
            assert!(check.points > 0, "{}", check.name);
            assert!(jarwright_reference::source(check.source).is_some(), "{}", check.source);
        }
    }
}
