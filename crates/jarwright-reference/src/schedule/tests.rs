use super::*;

#[test]
fn every_row_of_the_schedule_tables_can_be_read() {
    assert_eq!(load::load().faults, Vec::<String>::new());
    assert!(schedules().len() >= 30);
}

#[test]
fn keys_are_unique_and_jars_and_sources_exist() {
    let keys: std::collections::HashSet<_> = schedules().iter().map(|row| &row.key).collect();
    assert_eq!(keys.len(), schedules().len());
    for row in schedules() {
        assert!(crate::source(&row.source).is_some(), "{}", row.source);
        for jar in &row.jars {
            assert!(crate::jar(jar).is_some(), "{} in {jar}", row.key);
        }
        let optional = [
            &row.bath_start_max_c,
            &row.come_up_min,
            &row.longest_wait_min,
            &row.cook_to_c,
            &row.held_c,
        ];
        let cited = optional
            .into_iter()
            .flatten()
            .chain([&row.headspace_in])
            .chain(&row.equilibrium_ph);
        let cited = cited.chain(row.bands.iter().map(|band| &band.minutes));
        for figure in cited.chain(row.come_up_clash.iter().map(|(figure, _)| figure)) {
            assert!(
                crate::source(&figure.source).is_some(),
                "{} in {}",
                figure.source,
                row.key
            );
        }
        if let Scope::Class(class) = &row.scope {
            assert!(
                crate::source(&class.min_brix.source).is_some(),
                "{}",
                class.min_brix.source
            );
        }
    }
}

#[test]
fn bands_start_at_sea_level_leave_no_gap_and_never_get_shorter() {
    for row in schedules() {
        assert!(
            row.bands.first().is_some_and(|band| band.above_ft == 0.0),
            "{}",
            row.key
        );
        for pair in row.bands.windows(2) {
            assert_eq!(pair[0].to_ft, Some(pair[1].above_ft), "{}", row.key);
            assert!(pair[0].minutes.value <= pair[1].minutes.value, "{}", row.key);
        }
        for band in &row.bands {
            assert!(band.to_ft.is_none_or(|to| to > band.above_ft), "{}", row.key);
        }
    }
}

#[test]
fn a_time_grows_with_the_jar() {
    for (small, large) in [
        ("apple-butter-half-pint-pint", "apple-butter-quart"),
        ("applesauce-pint", "applesauce-quart"),
        ("peaches-raw-pint", "peaches-raw-quart"),
        ("tomatoes-in-water-hot-pint", "tomatoes-in-water-hot-quart"),
        ("dill-quick-pint", "dill-quick-quart"),
    ] {
        let minutes =
            |key| schedule(key).map(|row| row.bands.iter().map(|band| band.minutes.value).collect::<Vec<_>>());
        assert!(
            minutes(small)
                .zip(minutes(large))
                .is_some_and(|(s, l)| s.iter().zip(&l).all(|(s, l)| s < l)),
            "{small}"
        );
    }
}

#[test]
fn an_altitude_on_a_border_belongs_to_the_lower_band() {
    let at = |ft| {
        schedule("curd-lemon-half-pint")
            .and_then(|row| row.band(ft))
            .map(|band| band.minutes.value)
    };
    assert_eq!(at(1000.0), Some(15.0));
    assert_eq!(at(1000.1), Some(20.0));
    assert_eq!(at(6000.0), Some(20.0));
    assert_eq!(at(9000.0), Some(25.0));
    assert_eq!(at(-300.0), Some(15.0));
    assert_eq!(at(f64::NAN), None);
}

#[test]
fn curd_may_be_opened_at_sea_level_and_not_by_the_altitude_cells_from_memory() {
    let curd = schedule("curd-lemon-half-pint");
    assert!(curd.is_some_and(|row| row.may_open_at(800.0) && !row.may_open_at(4000.0) && !row.may_open_at(7000.0)));
}

#[test]
fn a_schedule_stops_at_its_last_printed_altitude() {
    assert!(schedule("salsa-cranberry-pint").is_some_and(|row| row.band(1500.0).is_none()));
}

#[test]
fn a_formula_that_was_not_read_covers_nothing() {
    let unread = schedules()
        .iter()
        .filter(|row| matches!(&row.scope, Scope::Formula(lines) if lines.is_empty()));
    for row in unread {
        assert!(!row.scope_may_open(), "{}", row.key);
    }
}

#[test]
fn every_line_names_an_ingredient_of_the_table() {
    for row in schedules() {
        if let Scope::Formula(lines) = &row.scope {
            for line in lines {
                for name in line.also_allowed.iter().chain([&line.ingredient]) {
                    assert!(crate::ingredient(name).is_some(), "{name} in {}", row.key);
                }
            }
        }
    }
}

#[test]
fn every_tested_curd_and_pickle_keeps_its_acid_line() {
    for row in schedules()
        .iter()
        .filter(|row| matches!(row.food, FoodClass::Curd | FoodClass::Pickle))
    {
        if let Scope::Formula(lines) = &row.scope {
            assert!(
                lines.is_empty() || lines.iter().any(|line| line.acid_juice && !line.optional),
                "{}",
                row.key
            );
        }
    }
}

#[test]
fn a_process_under_ten_minutes_asks_for_boiled_jars() {
    for row in schedules() {
        let short = row.bands.iter().any(|band| band.minutes.value < 10.0);
        assert_eq!(row.sterile_jars_needed, short, "{}", row.key);
    }
    assert!(schedule("jam-class").is_some_and(|row| row.sterile_jars_needed));
    assert!(schedule("curd-lemon-half-pint").is_some_and(|row| !row.sterile_jars_needed));
}

#[test]
fn a_class_knows_the_least_share_of_each_fruit() {
    let share = |key, fruit| {
        schedule(key).and_then(|row| match &row.scope {
            Scope::Class(class) => class.min_fruit_share(fruit).map(|share| share.value),
            Scope::Formula(_) => None,
        })
    };
    assert!(share("jam-class", "strawberries").is_some_and(|s| (s - 47.0 / 102.0).abs() < 1e-9));
    assert_eq!(share("jam-class", "apricots"), Some(0.45));
    assert_eq!(share("jelly-class", "grape juice"), Some(0.45));
    assert_eq!(share("marmalade-class", "oranges, Seville"), Some(0.25));
    assert_eq!(share("marmalade-class", "oranges"), Some(0.30));
    assert_eq!(share("marmalade-class", "strawberries"), None);
}

#[test]
fn every_amount_is_a_number_and_a_measure_of_its_ingredient() {
    for row in schedules() {
        let Scope::Formula(lines) = &row.scope else {
            continue;
        };
        for line in lines.iter().filter(|line| !line.amount.is_empty()) {
            let (number, word) = line.amount.rsplit_once(' ').unwrap_or(("", ""));
            let fraction = |t: &str| match t.split_once('/') {
                Some((a, b)) => Some(a.parse::<f64>().ok()? / b.parse::<f64>().ok()?),
                None => t.parse().ok(),
            };
            let amount: Option<f64> = number.split(' ').map(fraction).sum();
            assert!(amount.is_some_and(|amount| amount > 0.0), "{}", line.amount);
            let piece = crate::ingredient(&line.ingredient).is_some_and(|i| i.pieces.iter().any(|p| p.word == word));
            let volume = crate::volume_ml(word, crate::CupSystem::Us).is_some();
            assert!(
                volume || crate::mass_g(word).is_some() || piece,
                "{} of {}",
                line.amount,
                line.ingredient
            );
        }
    }
}
