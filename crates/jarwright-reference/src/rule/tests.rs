use super::*;

const DAY: &str = "2026-09-01";

fn judge(
    route: Route,
    market: Market,
    for_use: ForUse,
    food: FoodClass,
    known: &[(Fact, f64)],
) -> (State, Vec<&'static Rule>) {
    let look = |fact| {
        known
            .iter()
            .find(|(name, _)| *name == fact)
            .map_or(f64::NAN, |(_, value)| *value)
    };
    let hits: Vec<_> = rules()
        .iter()
        .filter(|rule| rule.applies(route, market, for_use, food, DAY, look))
        .collect();
    let any = |state| hits.iter().any(|rule| rule.state == state);
    let state = if any(State::Closed) || hits.is_empty() {
        State::Closed
    } else if any(State::OnlyWith) {
        State::OnlyWith
    } else {
        State::Open
    };
    (state, hits)
}

fn facts_of(changes: &[(Fact, f64)]) -> Vec<(Fact, f64)> {
    let mut facts = vec![
        (Fact::PhLow, 3.5),
        (Fact::Ph, 3.7),
        (Fact::PhHigh, 3.9),
        (Fact::PhMeasured, 0.0),
        (Fact::WaterActivityLow, 0.91),
        (Fact::WaterActivity, 0.93),
        (Fact::WaterActivityHigh, 0.95),
        (Fact::Brix, 42.0),
        (Fact::BrixMeasured, 0.0),
        (Fact::InSchedule, 0.0),
        (Fact::InClassSchedule, 0.0),
        (Fact::ScheduleFromMemory, 0.0),
        (Fact::ScheduleClaimed, 0.0),
        (Fact::LetterInForce, 0.0),
        (Fact::Alliums, 0.0),
        (Fact::Oil, 0.0),
        (Fact::Egg, 1.0),
        (Fact::Dairy, 1.0),
        (Fact::HeatedToC, 90.0),
        (Fact::HasRefrigerator, 1.0),
        (Fact::HasFreezer, 1.0),
        (Fact::ChillsInTime, 1.0),
    ];
    for &(fact, value) in changes {
        facts.retain(|(name, _)| *name != fact);
        facts.push((fact, value));
    }
    facts
}

fn shelf(market: Market, for_use: ForUse, food: FoodClass, changes: &[(Fact, f64)]) -> State {
    judge(Route::Shelf, market, for_use, food, &facts_of(changes)).0
}

#[test]
fn every_row_of_the_rule_tables_can_be_read() {
    assert_eq!(load().faults, Vec::<String>::new());
}

#[test]
fn names_are_unique_sources_exist_and_braces_hold_facts() {
    let ids: std::collections::HashSet<_> = rules().iter().map(|rule| &rule.id).collect();
    assert_eq!(ids.len(), rules().len());
    for rule in rules() {
        assert!(crate::source(&rule.source).is_some(), "{} in {}", rule.source, rule.id);
        for part in rule.reason.split('{').skip(1) {
            let word = part.split('}').next().unwrap_or_default();
            let fact = Fact::parse(word);
            assert!(fact.is_some(), "{word:?} in {}", rule.id);
            assert!(
                !rule.reason.contains("safe") && !rule.reason.contains("sterile"),
                "{}",
                rule.id
            );
        }
    }
}

#[test]
fn nothing_opens_the_shelf_without_a_schedule_a_class_or_a_letter() {
    for rule in rules()
        .iter()
        .filter(|rule| rule.route == Route::Shelf && rule.state != State::Closed)
    {
        let covered = |c: &Condition| {
            matches!(c.fact, Fact::InSchedule | Fact::InClassSchedule | Fact::LetterInForce)
                && c.holds(1.0)
                && !c.holds(0.0)
        };
        assert!(rule.when.iter().any(covered), "{}", rule.id);
    }
}

#[test]
fn a_rule_from_memory_never_says_open_and_one_that_narrows_says_what_it_needs() {
    for rule in rules() {
        assert!(rule.state != State::Open || rule.mark.may_open(), "{}", rule.id);
        assert_eq!(rule.state == State::OnlyWith, !rule.needs.is_empty(), "{}", rule.id);
    }
}

#[test]
fn the_shelf_opens_for_own_use_inside_a_tested_schedule_only() {
    let curd = |changes| shelf(Market::Us, ForUse::OwnUse, FoodClass::Curd, changes);
    assert_eq!(curd(&[(Fact::InSchedule, 1.0)]), State::Open);
    assert_eq!(
        curd(&[(Fact::InSchedule, 1.0), (Fact::ScheduleFromMemory, 1.0)]),
        State::OnlyWith
    );
    assert_eq!(curd(&[]), State::Closed);
    assert_eq!(curd(&[(Fact::ScheduleClaimed, 1.0)]), State::Closed);
}

#[test]
fn a_schedule_from_memory_asks_for_the_printed_page() {
    let facts = facts_of(&[(Fact::InSchedule, 1.0), (Fact::ScheduleFromMemory, 1.0)]);
    let (_, hits) = judge(Route::Shelf, Market::Us, ForUse::OwnUse, FoodClass::Curd, &facts);
    assert!(
        hits.iter()
            .any(|rule| { rule.needs.iter().any(|need| need.contains("printed page and edition")) })
    );
}

#[test]
fn low_acid_food_is_closed_whatever_is_claimed() {
    let low = [
        (Fact::Ph, 5.0),
        (Fact::PhHigh, 5.2),
        (Fact::InSchedule, 1.0),
        (Fact::LetterInForce, 1.0),
    ];
    for market in [Market::Us, Market::Eu, Market::Uk] {
        for for_use in [ForUse::Sale, ForUse::OwnUse] {
            for food in FoodClass::ALL {
                assert_eq!(
                    shelf(market, for_use, food, &low),
                    State::Closed,
                    "{market:?} {for_use:?} {food:?}"
                );
            }
        }
    }
}

#[test]
fn a_computed_ph_near_the_limit_asks_for_a_measurement_and_a_bad_one_closes() {
    let wide = [(Fact::InSchedule, 1.0), (Fact::Ph, 4.5), (Fact::PhHigh, 4.7)];
    assert_eq!(
        shelf(Market::Us, ForUse::OwnUse, FoodClass::Salsa, &wide),
        State::OnlyWith
    );
    let measured = [
        (Fact::InSchedule, 1.0),
        (Fact::Ph, 4.59),
        (Fact::PhHigh, 4.61),
        (Fact::PhMeasured, 1.0),
    ];
    assert_eq!(
        shelf(Market::Us, ForUse::OwnUse, FoodClass::Salsa, &measured),
        State::Closed
    );
}

#[test]
fn jam_of_its_class_waits_for_a_measured_brix() {
    let jam = |changes: &[(Fact, f64)]| {
        let base = [
            (Fact::InClassSchedule, 1.0),
            (Fact::WaterActivityHigh, 0.84),
            (Fact::Brix, 66.0),
        ];
        shelf(
            Market::Us,
            ForUse::OwnUse,
            FoodClass::Jam,
            &[&base[..], changes].concat(),
        )
    };
    assert_eq!(jam(&[]), State::OnlyWith);
    assert_eq!(jam(&[(Fact::BrixMeasured, 1.0)]), State::Open);
    assert_eq!(jam(&[(Fact::BrixMeasured, 1.0), (Fact::Brix, 64.0)]), State::Closed);
}

#[test]
fn acidified_food_for_sale_needs_authority_registration_and_measured_ph() {
    let facts = facts_of(&[(Fact::InSchedule, 1.0)]);
    for food in [
        FoodClass::Curd,
        FoodClass::Pickle,
        FoodClass::Chutney,
        FoodClass::Relish,
        FoodClass::Sauce,
        FoodClass::Salsa,
    ] {
        let (state, hits) = judge(Route::Shelf, Market::Us, ForUse::Sale, food, &facts);
        assert_eq!(state, State::OnlyWith);
        for word in ["process authority", "registration", "measured equilibrium pH"] {
            assert!(
                hits.iter()
                    .any(|rule| rule.needs.iter().any(|need| need.contains(word))),
                "{food:?} {word}"
            );
        }
    }
    assert_eq!(shelf(Market::Us, ForUse::Sale, FoodClass::Curd, &[]), State::Closed);
}

#[test]
fn sale_is_never_plainly_open_anywhere() {
    for market in [Market::Us, Market::Eu, Market::Uk] {
        for food in FoodClass::ALL {
            for covered in [Fact::InSchedule, Fact::InClassSchedule, Fact::LetterInForce] {
                let facts = facts_of(&[(covered, 1.0), (Fact::BrixMeasured, 1.0), (Fact::Brix, 67.0)]);
                for route in Route::ALL {
                    let (state, _) = judge(route, market, ForUse::Sale, food, &facts);
                    assert_ne!(state, State::Open, "{route:?} {market:?} {food:?}");
                }
            }
        }
    }
}

#[test]
fn a_letter_opens_acid_food_for_every_market_and_use() {
    for market in [Market::Us, Market::Eu, Market::Uk] {
        for for_use in [ForUse::Sale, ForUse::OwnUse] {
            for food in FoodClass::ALL {
                let state = shelf(market, for_use, food, &[(Fact::LetterInForce, 1.0)]);
                assert_eq!(state, State::OnlyWith, "{market:?} {for_use:?} {food:?}");
            }
        }
    }
}

#[test]
fn unknown_facts_open_no_shelf_and_no_vacuum_bag() {
    for route in [Route::Shelf, Route::VacuumPack] {
        for market in [Market::Us, Market::Eu, Market::Uk] {
            for for_use in [ForUse::Sale, ForUse::OwnUse] {
                for food in FoodClass::ALL {
                    assert_eq!(judge(route, market, for_use, food, &[]).0, State::Closed);
                }
            }
        }
    }
}

#[test]
fn a_low_acid_vacuum_bag_is_closed_at_home_and_asks_for_a_variance_in_trade() {
    let low = facts_of(&[(Fact::Ph, 5.5), (Fact::PhHigh, 5.7)]);
    assert_eq!(
        judge(Route::VacuumPack, Market::Us, ForUse::OwnUse, FoodClass::Other, &low).0,
        State::Closed
    );
    let (state, hits) = judge(Route::VacuumPack, Market::Us, ForUse::Sale, FoodClass::Other, &low);
    assert_eq!(state, State::OnlyWith);
    assert!(
        hits.iter()
            .any(|rule| rule.needs.iter().any(|need| need.contains("variance")))
    );
    let warm = facts_of(&[(Fact::SealedAtC, 40.0)]);
    assert_eq!(
        judge(Route::VacuumPack, Market::Us, ForUse::OwnUse, FoodClass::Chutney, &warm).0,
        State::Closed
    );
}

#[test]
fn the_cold_routes_need_their_machines() {
    let none = facts_of(&[(Fact::HasRefrigerator, 0.0), (Fact::HasFreezer, 0.0)]);
    assert_eq!(
        judge(Route::Refrigerator, Market::Uk, ForUse::OwnUse, FoodClass::Curd, &none).0,
        State::Closed
    );
    assert_eq!(
        judge(Route::Freezer, Market::Uk, ForUse::OwnUse, FoodClass::Curd, &none).0,
        State::Closed
    );
    let both = facts_of(&[]);
    assert_eq!(
        judge(Route::Refrigerator, Market::Uk, ForUse::OwnUse, FoodClass::Curd, &both).0,
        State::OnlyWith
    );
    assert_eq!(
        judge(Route::Freezer, Market::Uk, ForUse::OwnUse, FoodClass::Curd, &both).0,
        State::OnlyWith
    );
}

#[test]
fn the_european_jam_minimum_changes_on_its_day() {
    let facts = facts_of(&[(Fact::InClassSchedule, 1.0), (Fact::FruitGPerKg, 400.0)]);
    let look = |fact| {
        facts
            .iter()
            .find(|(name, _)| *name == fact)
            .map_or(f64::NAN, |(_, value)| *value)
    };
    let named = |day: &str| {
        rules().iter().any(|rule| {
            rule.id.starts_with("eu-jam-name")
                && rule.applies(Route::Shelf, Market::Eu, ForUse::Sale, FoodClass::Jam, day, look)
        })
    };
    assert!(!named("2026-06-13"));
    assert!(named("2026-06-14"));
}

#[test]
fn conditions_compare_as_written_and_unknown_holds_nothing() {
    let holds = |text, value| Condition::parse(text).map(|c| c.holds(value));
    assert_eq!(holds("ph_high>4.6", 4.6), Some(false));
    assert_eq!(holds("ph_high>4.6", 4.61), Some(true));
    assert_eq!(holds("ph<=4.6", 4.6), Some(true));
    assert_eq!(holds("brix>=65", 65.0), Some(true));
    assert_eq!(holds("brix<65", 65.0), Some(false));
    assert_eq!(holds("in_schedule=1", 1.0), Some(true));
    for text in ["ph_high>4.6", "ph<=4.6", "in_schedule=0"] {
        assert_eq!(holds(text, f64::NAN), Some(false));
    }
    assert_eq!(Condition::parse("moon>1"), None);
    assert_eq!(Condition::parse("ph>high"), None);
    assert_eq!(Condition::parse("ph"), None);
}

/// Jam of a class whose °Brix was measured, dry enough that water activity closes nothing.
fn thick_jam(market: Market, for_use: ForUse, changes: &[(Fact, f64)]) -> (State, Vec<&'static Rule>) {
    let base = [
        (Fact::InClassSchedule, 1.0),
        (Fact::WaterActivityHigh, 0.84),
        (Fact::Brix, 66.0),
        (Fact::BrixMeasured, 1.0),
        (Fact::FruitGPerKg, 300.0),
        (Fact::PhKnown, 1.0),
    ];
    judge(
        Route::Shelf,
        market,
        for_use,
        FoodClass::Jam,
        &facts_of(&[&base[..], changes].concat()),
    )
}

const EVERY_MARKET_AND_USE: [(Market, ForUse); 6] = [
    (Market::Us, ForUse::Sale),
    (Market::Us, ForUse::OwnUse),
    (Market::Eu, ForUse::Sale),
    (Market::Eu, ForUse::OwnUse),
    (Market::Uk, ForUse::Sale),
    (Market::Uk, ForUse::OwnUse),
];

fn asks(hits: &[&Rule], words: &str) -> bool {
    hits.iter()
        .any(|rule| rule.needs.iter().any(|need| need.contains(words)))
}

const UNKNOWN_PH: [(Fact, f64); 4] = [
    (Fact::Ph, f64::NAN),
    (Fact::PhLow, f64::NAN),
    (Fact::PhHigh, f64::NAN),
    (Fact::PhKnown, 0.0),
];

#[test]
fn the_class_of_jams_opens_no_fruit_above_its_ph_however_dry() {
    for (market, for_use) in EVERY_MARKET_AND_USE {
        let low_acid = [(Fact::PhLow, 4.8), (Fact::Ph, 5.0), (Fact::PhHigh, 5.2)];
        assert_eq!(
            thick_jam(market, for_use, &low_acid).0,
            State::Closed,
            "{market:?} {for_use:?}"
        );
        assert_eq!(
            thick_jam(market, for_use, &UNKNOWN_PH).0,
            State::Closed,
            "{market:?} {for_use:?}"
        );
        // Nor where nobody says that the pH is unknown.
        let silent = [&UNKNOWN_PH[..3], &[(Fact::PhKnown, f64::NAN)]].concat();
        for memory in [0.0, 1.0] {
            let facts = [&silent[..], &[(Fact::ScheduleFromMemory, memory)]].concat();
            assert_eq!(
                thick_jam(market, for_use, &facts).0,
                State::Closed,
                "{market:?} {for_use:?} {memory}"
            );
        }
    }
}

#[test]
fn a_class_jam_near_the_limit_waits_for_its_measured_ph() {
    let near = [(Fact::Ph, 4.5), (Fact::PhHigh, 4.7)];
    for (market, for_use) in EVERY_MARKET_AND_USE {
        let (state, hits) = thick_jam(market, for_use, &near);
        assert_eq!(state, State::OnlyWith);
        assert!(
            asks(&hits, "measured equilibrium pH of each batch: 4.6 or below"),
            "{market:?} {for_use:?}"
        );
    }
    assert_eq!(thick_jam(Market::Us, ForUse::OwnUse, &[]).0, State::Open);
    let measured = [(Fact::Ph, 4.59), (Fact::PhHigh, 4.61), (Fact::PhMeasured, 1.0)];
    assert_eq!(thick_jam(Market::Us, ForUse::OwnUse, &measured).0, State::Open);
    let too_high = [(Fact::Ph, 4.61), (Fact::PhHigh, 4.63), (Fact::PhMeasured, 1.0)];
    assert_eq!(thick_jam(Market::Us, ForUse::OwnUse, &too_high).0, State::Closed);
}

#[test]
fn a_letter_sells_nothing_of_unknown_ph_unless_it_is_dry() {
    for food in FoodClass::ALL {
        for market in [Market::Us, Market::Eu, Market::Uk] {
            let letter = |changes: &[(Fact, f64)]| {
                let base = [(Fact::LetterInForce, 1.0), (Fact::FruitGPerKg, 300.0)];
                let facts = facts_of(&[&base[..], &UNKNOWN_PH[..], changes].concat());
                judge(Route::Shelf, market, ForUse::Sale, food, &facts)
            };
            assert_eq!(letter(&[]).0, State::Closed, "{market:?} {food:?}");
            let (state, hits) = letter(&[(Fact::WaterActivityHigh, 0.84)]);
            assert_eq!(state, State::OnlyWith, "{market:?} {food:?}");
            assert!(asks(&hits, "water activity"), "{market:?} {food:?}");
            if market == Market::Us {
                assert!(asks(&hits, "registration"), "{food:?}");
            }
        }
    }
}

#[test]
fn a_bag_that_leans_on_acid_asks_for_the_measured_ph_of_each_batch() {
    for (market, for_use) in EVERY_MARKET_AND_USE {
        let (state, hits) = judge(Route::VacuumPack, market, for_use, FoodClass::Chutney, &facts_of(&[]));
        assert_eq!(state, State::OnlyWith);
        assert!(
            asks(&hits, "measured equilibrium pH of each batch: 4.6 or below"),
            "{market:?} {for_use:?}"
        );
    }
}

#[test]
fn an_unknown_ph_is_kept_cold_like_a_low_acid_one() {
    let garlic = [&UNKNOWN_PH[..], &[(Fact::Alliums, 1.0), (Fact::Oil, 1.0)]].concat();
    for (market, for_use) in EVERY_MARKET_AND_USE {
        let cold = |route| judge(route, market, for_use, FoodClass::Other, &facts_of(&garlic));
        let (state, hits) = cold(Route::Refrigerator);
        assert_eq!(state, State::OnlyWith);
        assert!(asks(&hits, "within 4 days"), "{market:?} {for_use:?}");
        assert!(hits.iter().any(|rule| rule.days == Some(4.0)));
        assert_eq!(cold(Route::VacuumPack).0, State::Closed);
    }
    let sold = judge(
        Route::Refrigerator,
        Market::Us,
        ForUse::Sale,
        FoodClass::Other,
        &facts_of(&UNKNOWN_PH),
    )
    .1;
    assert!(asks(&sold, "date mark: 7 days"));
}

#[test]
fn days_that_a_rule_names_stand_in_its_number() {
    for rule in rules() {
        if let Some(days) = rule.days {
            assert!(days > 0.0 && rule.state == State::OnlyWith, "{}", rule.id);
            let words = format!("{days:.0}");
            assert!(rule.needs.iter().any(|need| need.contains(&words)), "{}", rule.id);
        }
        if rule
            .needs
            .iter()
            .any(|need| need.contains("date mark") || need.contains("use-by") || need.contains("use within 4 days"))
        {
            assert!(rule.days.is_some(), "{}", rule.id);
        }
    }
}
