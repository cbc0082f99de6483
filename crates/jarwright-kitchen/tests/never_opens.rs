//! Formulas that no table of this program was made from: none of them may open the shelf.

mod fixture;

use fixture::shelf::{
    Case, LEMON_CURD, LETTER, LETTER_SHARES, case, jam, letter, measured, none_opens, plan_of, rows, simple,
    test_kitchen, test_stores, unclaimed, with,
};
use fixture::{APRICOT_JAM, Any, BOTH_USES, DILL, EVERY_LAW, LIME_CURD, PASSION, but};
use jarwright_kitchen::{Law, Much, Plan, Use, plan_order};
use jarwright_reference::{ForUse, Market, Route, State, rules};

/// Name, class, stop, lines.
const OWN_FOODS: &str = "
garlic in oil             | other        | 90 C | 300 g garlic; 1.2 kg olive oil; 10 g salt
mushrooms in oil          | pickle       | boil | 1.5 kg mushrooms; 800 g olive oil; 200 g vinegar, distilled 5 %; 20 g garlic
pumpkin butter            | fruit butter | 95 C | 2 kg pumpkin; 800 g sugar; 8 g cinnamon
tomato sauce without acid | sauce        | 95 C | 4 kg tomatoes; 400 g onions; 20 g garlic; 60 g olive oil; 20 g salt
tomatoes without acid     | tomato       | 95 C | 4 kg tomatoes; 20 g salt
meat sauce                | sauce        | 95 C | 3 kg tomatoes; 1 kg minced beef; 300 g onions; 25 g salt
dulce de leche            | other        | 95 C | 4 kg milk, whole; 1 kg sugar; 3 g baking soda
raw-yolk sauce            | sauce        | 40 C | 400 g egg yolk; 800 g sunflower oil; 120 g lemon juice, bottled; 12 g salt
pickled eggs              | pickle       | boil | 1.2 kg egg, whole; 1 kg vinegar, distilled 5 %; 20 g salt
pumpkin curd              | curd         | 77 C | 500 g pumpkin; 400 g sugar; 150 g butter, unsalted; 8 large egg yolk; 60 g lemon juice, bottled
chocolate curd            | curd         | 77 C | 300 g chocolate, dark 60-69 %; 300 g sugar; 150 g butter, unsalted; 8 large egg yolk; 200 g milk, whole
orange curd               | curd         | 77 C | 250 g orange juice, fresh; 400 g sugar; 170 g butter, unsalted; 7 large egg yolk; 4 large egg, whole
plum chutney              | chutney      | 95 C | 2 kg plums; 500 g onions; 500 g sugar, brown; 400 g vinegar, cider 5 %; 15 g salt
garden salsa              | salsa        | 95 C | 2 kg tomatoes; 500 g onions; 150 g jalapenos; 100 g lime juice, bottled; 40 g coriander leaf
sweet corn relish         | relish       | 95 C | 1.5 kg sweet corn; 400 g peppers, sweet red; 600 g vinegar, distilled 5 %; 250 g sugar; 20 g salt
elderflower syrup         | syrup        | 95 C | 1 kg water; 1.2 kg sugar; 120 g elderflower heads; 60 g lemon juice, bottled
bananas in syrup          | fruit        | 95 C | 2 kg bananas; 800 g water; 300 g sugar
";

#[test]
fn own_foods_without_a_tested_process_are_closed() -> Result<(), Any> {
    let cases: Vec<Case> = rows::<4>(OWN_FOODS)?
        .into_iter()
        .map(|[name, food, stop, lines]| {
            let head = format!("stop_at = \"{stop}\"\njar_headspace = \"1/2 in\"");
            case(name, simple(name, food, &head, lines))
        })
        .collect();
    none_opens(&cases)
}

/// Name, lines; each boiled to 65 °Brix and measured at 66.
const NO_JAMS: &str = "
strawberry jam with too little fruit   | 1.7 kg strawberries; 2.2 kg sugar; 60 g lemon juice, bottled
group I fruit at the share of group II | 1.8 kg strawberries; 2.2 kg sugar
banana jam                             | 2.2 kg bananas; 2.2 kg sugar; 100 g lemon juice, bottled
melon jam                              | 2.4 kg melon, cantaloupe; 2.2 kg sugar; 100 g lemon juice, bottled
coconut jam                            | 2 kg coconut; 2.4 kg sugar; 600 g water
jam with onions                        | 2.3 kg apricots; 300 g onions; 2.2 kg sugar
jam with chillies                      | 2.3 kg apricots; 80 g chillies, red; 2.2 kg sugar
jam with butter                        | 2.3 kg apricots; 60 g butter, unsalted; 2.2 kg sugar
jam with rum                           | 2.3 kg apricots; 150 g rum; 2.2 kg sugar
jam of courgettes                      | 2.4 kg courgettes; 2.2 kg sugar; 200 g lemon juice, bottled
jam of apricots and carrots            | 1.6 kg apricots; 800 g carrots; 2.2 kg sugar
fig jam without acid                   | 2.3 kg figs; 2.2 kg sugar
";

/// A jam of the standard, but for what a test changes.
fn raspberry() -> String {
    jam("Raspberry jam", "2.4 kg raspberries; 2.2 kg sugar")
}

#[test]
fn jam_that_is_not_the_standards_jam_is_closed() -> Result<(), Any> {
    let mut cases: Vec<Case> = rows::<2>(NO_JAMS)?
        .into_iter()
        .map(|[name, lines]| case(name, jam(name, lines)))
        .collect();
    let pale = |food: &str, lines: &str| but(&jam("No jam", lines), "food = \"jam\"", &format!("food = \"{food}\""));
    let cooked = |lines: &str| {
        simple(
            "Spread",
            "jam",
            &format!(
                "stop_at = \"95 C\"\njar_headspace = \"1/4 in\"\n{}",
                measured("brix = 66")
            ),
            lines,
        )
    };
    let at_the_end = |text: String| {
        but(
            &text,
            "ingredient = \"raspberries, frozen\"",
            "goes_in = \"end\"\ningredient = \"raspberries, frozen\"",
        )
    };
    cases.extend([
        case("boiled to 60 °Brix", but(&raspberry(), "65 Bx", "60 Bx")?),
        case("measured at 62 °Brix", but(&raspberry(), "brix = 66", "brix = 62")?),
        case("half an inch of headspace", but(&raspberry(), "1/4 in", "1/2 in")?),
        case("jam in quarts", raspberry()).jar("quart"),
        case(
            "some of the fruit raw at the end",
            at_the_end(jam("Jam", "2 kg raspberries; 400 g raspberries, frozen; 2.2 kg sugar"))?,
        ),
        case(
            "sugar-free jam",
            cooked("2.2 kg strawberries; 1.5 kg erythritol; 30 g pectin, powdered"),
        ),
        case(
            "no sweetener at all",
            cooked("3 kg strawberries; 60 g lemon juice, bottled"),
        ),
        case(
            "marmalade of carrots",
            pale("marmalade", "2 kg carrots; 2.2 kg sugar; 150 g lemon juice, bottled")?,
        ),
        case(
            "pepper jelly",
            pale(
                "jelly",
                "800 g peppers, sweet red; 500 g vinegar, cider 5 %; 2.2 kg sugar; 170 g pectin, liquid",
            )?,
        ),
        case(
            "tomato jam without acid",
            jam("Tomato jam", "2.4 kg tomatoes; 2.2 kg sugar"),
        )
        .not_open(),
        case(
            "a good jam nobody measured",
            but(&raspberry(), &measured("brix = 66"), "")?,
        )
        .not_open(),
        case(
            "a good jam at 2000 m, unmeasured",
            but(&raspberry(), &measured("brix = 66"), "")?,
        )
        .altitude(2000.0)
        .not_open(),
    ]);
    none_opens(&cases)
}

/// What changes, from, to.
const CHANGED_CURDS: &str = r#"
fresh lemon juice    | lemon juice, bottled        | lemon juice, fresh
3 % less juice       | "1 cup"                     | "0.97 cup"
1 % less juice       | "1 cup"                     | "0.99 cup"
one more egg         | "4 large"                   | "5 large"
one more yolk        | "7 large"                   | "8 large"
more butter          | "3/4 cup"                   | "1 cup"
less sugar           | "2 1/2 cup"                 | "2 cup"
margarine            | butter, unsalted            | margarine, stick
oil                  | butter, unsalted            | sunflower oil
salted butter        | butter, unsalted            | butter, salted
melted butter        | chilled                     | melted
no butter            | "3/4 cup"                   | "1 g"
with cornstarch      | [[line]]                    | [[line]] ingredient = "cornstarch" amount = "15 g" [[line]]
with cream           | [[line]]                    | [[line]] ingredient = "cream, heavy" amount = "50 g" [[line]]
honey for sugar      | "sugar"                     | "honey"
orange zest          | lemon zest                  | orange zest
cooked to 65 °C      | 170 F                       | 65 C
an eighth headspace  | 1/2 in                      | 1/8 in
measured at pH 4.8   | [[line]]                    | [measured] ph = 4.8 by = "a cook" when = 2026-11-20 [[line]]
"#;

/// A table's cell as lines of a formula.
fn as_lines(cell: &str) -> String {
    [
        "[[line]]",
        "ingredient =",
        "amount =",
        "form =",
        "part =",
        "per_jar =",
        "ph =",
        "by =",
        "when =",
    ]
    .iter()
    .fold(cell.to_owned(), |text, word| {
        text.replace(&format!(" {word}"), &format!("\n{word}"))
    })
    .replace("[[line]] ", "[[line]]\n")
    .replace("[measured] ", "[measured]\n")
}

#[test]
fn the_published_curd_changed_in_one_thing_is_closed() -> Result<(), Any> {
    let mut cases = Vec::new();
    for [name, from, to] in rows::<3>(CHANGED_CURDS)? {
        cases.push(case(name, but(LEMON_CURD, from, &as_lines(to))?));
    }
    let lemon = || LEMON_CURD.to_owned();
    cases.extend([
        case(
            "fresh juice, no schedule claimed",
            unclaimed(&but(LEMON_CURD, "juice, bottled", "juice, fresh")?)?,
        ),
        case("12-oz jar", lemon()).jar("12-oz"),
        case("12-oz jar, no schedule claimed", unclaimed(LEMON_CURD)?).jar("12-oz"),
        case("pints", lemon()).jar("pint"),
        case("bath at the boil when the jars go in", lemon()).bath_start(100.0),
        case("bath at 90 °C when the jars go in", lemon()).bath_start(90.0),
        case("published curd at 2000 m", lemon()).altitude(2000.0).not_open(),
        case("published curd just above 1000 ft", lemon())
            .altitude(306.0)
            .not_open(),
    ]);
    none_opens(&cases)
}

#[test]
fn a_time_known_from_memory_only_asks_for_the_page() -> Result<(), Any> {
    for market in EVERY_LAW {
        let high = case("published curd at 2000 m", LEMON_CURD.into()).altitude(2000.0);
        let plan = plan_of(&high, Use::OwnUse, market, &test_kitchen()?, &test_stores()?)?;
        let shelf = fixture::route(&plan, "shelf")?;
        assert_eq!(shelf.state, "only-with");
        assert!(
            shelf.missing.iter().any(|m| m.contains("printed page")),
            "{:?}",
            shelf.missing
        );
    }
    Ok(())
}

#[test]
fn a_claim_on_another_foods_schedule_covers_nothing() -> Result<(), Any> {
    let claim = |text: String, key: &str| but(&text, "stop_at", &format!("schedule = \"{key}\"\nstop_at"));
    let curd_as_jam = but(LEMON_CURD, "food = \"curd\"", "food = \"jam\"")?;
    let tomatoes = simple(
        "Tomatoes",
        "tomato",
        "stop_at = \"95 C\"\njar_headspace = \"1/2 in\"",
        "4 kg tomatoes; 20 g salt",
    );
    none_opens(&[
        case(
            "passion fruit curd as lemon curd",
            claim(PASSION.into(), "curd-lemon-half-pint")?,
        ),
        case(
            "lime curd as lemon curd",
            but(LIME_CURD, "curd-lime-half-pint", "curd-lemon-half-pint")?,
        ),
        case("curd calls itself a jam", curd_as_jam.clone()),
        case("curd calls itself a jam, no schedule claimed", unclaimed(&curd_as_jam)?),
        case(
            "curd as a jam of the class",
            but(LEMON_CURD, "curd-lemon-half-pint", "jam-class")?,
        ),
        case(
            "onions as a jam of the class",
            claim(jam("Onion jam", "2.3 kg onions; 2.2 kg sugar"), "jam-class")?,
        ),
        case(
            "apricots with onions as apricot jam",
            claim(
                jam(
                    "Jam",
                    "2.3 kg apricots; 200 g onions; 2.2 kg sugar; 100 g lemon juice, bottled",
                ),
                "apricot-jam",
            )?,
        ),
        case("tomatoes as acidified ones", claim(tomatoes, "tomatoes-crushed-pint")?).jar("pint"),
    ])
}

/// What changes, from, to.
const CHANGED_PICKLES: &str = r#"
half the vinegar         | 1 1/2 quart            | 3/4 quart
a tenth less vinegar     | 1 1/2 quart            | 1.35 quart
vinegar of 4 %           | vinegar, distilled 5 % | vinegar, distilled 4 %
malt vinegar             | vinegar, distilled 5 % | vinegar, malt 5 %
garlic in each jar       | [[line]]               | [[line]] ingredient = "garlic" amount = "5 g" per_jar = true [[line]]
carrots among the pieces | [[line]]               | [[line]] ingredient = "carrots" amount = "500 g" part = "pieces" [[line]]
more water in the brine  | "2 quart"              | "2 1/2 quart"
little salt in the brine | "1/2 cup"              | "1 tbsp"
table salt in the brine  | "pickling salt"        | "salt"
green beans              | cucumbers              | green beans
the quart's schedule     | dill-quick-pint        | dill-quick-quart
"#;

#[test]
fn pickles_that_are_not_the_published_pickles_are_closed() -> Result<(), Any> {
    let mut cases = Vec::new();
    for [name, from, to] in rows::<3>(CHANGED_PICKLES)? {
        let lines = DILL.find("name =").map_or(DILL, |at| &DILL[at..]);
        cases.push(case(name, but(lines, from, &as_lines(to))?).jar("pint"));
    }
    cases.push(case("quarts under the schedule of pints", but(DILL, "270 g", "560 g")?).jar("quart"));
    none_opens(&cases)
}

#[test]
fn a_letter_that_does_not_cover_the_run_opens_nothing() -> Result<(), Any> {
    let changed = |from: &str, to: &str| with(PASSION, &letter(&but(LETTER, from, to)?, LETTER_SHARES));
    let ph = |ph: f64| {
        with(
            PASSION,
            &format!("{}\n{}", letter(LETTER, LETTER_SHARES), measured(&format!("ph = {ph}"))),
        )
    };
    let cooked = |name: &str, food: &str, lines: &str, shares: &str, most: &str| {
        let text = simple(name, food, "stop_at = \"90 C\"\njar_headspace = \"1/2 in\"", lines);
        with(&text, &letter(&but(LETTER, "ph_max = 4.2", most)?, shares))
    };
    let garlic = ("300 g garlic; 1.2 kg olive oil", "20 % garlic; 80 % olive oil");
    let pumpkin = ("2 kg pumpkin; 500 g sugar", "80 % pumpkin; 20 % sugar");
    none_opens(&[
        case("expired", changed("expires = 2027-12-31", "expires = 2026-11-24")?),
        case(
            "signed on a day to come",
            changed("signed = 2026-01-10", "signed = 2026-12-01")?,
        ),
        case("for another jar", changed("\"half-pint\"", "\"pint\"")?),
        case("for lower ground", changed("300 m", "100 m")?),
        case("for another headspace", changed("1/2 in", "1/4 in")?),
        case("for a cooler bath", ph(3.7)?).bath_start(95.0),
        case("pH measured above 4.6", ph(4.7)?),
        case("pH measured inside the meter's guard band of 4.6", ph(4.59)?),
        case(
            "pumpkin butter to pH 5.5",
            cooked("Pumpkin butter", "fruit butter", pumpkin.0, pumpkin.1, "ph_max = 5.5")?,
        ),
        case(
            "garlic in oil to pH 7",
            cooked("Garlic in oil", "other", garlic.0, garlic.1, "ph_max = 7")?,
        ),
        case(
            "another egg than in the letter",
            but(&ph(3.7)?, "\"3 large\"", "\"4 large\"")?,
        ),
        case("less juice than in the letter", but(&ph(3.7)?, "\"40 g\"", "\"30 g\"")?),
        case("in force", ph(3.7)?).not_open(),
    ])
}

#[test]
fn a_letter_in_force_asks_for_its_papers() -> Result<(), Any> {
    let text = with(
        PASSION,
        &format!("{}\n{}", letter(LETTER, LETTER_SHARES), measured("ph = 3.7")),
    )?;
    for for_use in BOTH_USES {
        for market in EVERY_LAW {
            let (plan, state, missing) = shelf(&text, "half-pint", for_use, market)?;
            assert_eq!(state, "only-with", "{:?}", plan.process[0].departures);
            assert!(!missing.is_empty());
        }
    }
    Ok(())
}

#[test]
fn a_tenth_more_or_less_of_any_published_line_is_closed() -> Result<(), Any> {
    let stores = test_stores()?;
    let kitchen = test_kitchen()?;
    for (text, jar) in [(LEMON_CURD, "half-pint"), (DILL, "pint")] {
        let wanted = fixture::wanted(text, Much::Jars(6), jar, &stores)?;
        for (index, line) in wanted.formula.lines.iter().enumerate() {
            if line.per_jar || line.part == Some(jarwright_kitchen::files::Part::Soak) {
                continue;
            }
            for factor in [0.9, 1.1] {
                let mut other = wanted.clone();
                other.formula.lines[index].amount = line.amount.times(factor);
                let plan = plan_order(&fixture::order(vec![other]), &kitchen, &stores)?;
                let shelf = fixture::route(&plan, "shelf")?;
                assert_eq!(
                    shelf.state, "closed",
                    "{} of {} x {factor}",
                    line.ingredient, wanted.formula.name
                );
            }
        }
    }
    Ok(())
}

#[test]
fn no_row_opens_the_shelf_for_sale() {
    let open: Vec<_> = rules()
        .iter()
        .filter(|r| r.route == Route::Shelf && r.state == State::Open)
        .collect();
    assert!(!open.is_empty());
    for rule in open {
        assert!(
            rule.for_use == ForUse::OwnUse && rule.market == Market::Any && rule.mark.may_open(),
            "{}",
            rule.id
        );
    }
}

/// Shelf's state and what is missing, with the plan.
fn shelf(text: &str, jar: &'static str, for_use: Use, market: Law) -> Result<(Plan, String, String), Any> {
    let plan = plan_of(
        &case("control", text.into()).jar(jar),
        for_use,
        market,
        &test_kitchen()?,
        &test_stores()?,
    )?;
    let shelf = fixture::route(&plan, "shelf")?;
    let (state, missing) = (shelf.state.to_owned(), shelf.missing.join("; "));
    Ok((plan, state, missing))
}

fn minutes(plan: &Plan) -> Option<f64> {
    plan.process[0].schedule.as_ref().map(|s| s.minutes.value)
}

#[test]
fn the_published_curd_opens_for_the_own_table_and_asks_for_papers_when_sold() -> Result<(), Any> {
    for (text, markets) in [(LIME_CURD, &EVERY_LAW[..]), (LEMON_CURD, &EVERY_LAW[..1])] {
        for &market in markets {
            let (plan, state, _) = shelf(text, "half-pint", Use::OwnUse, market)?;
            assert_eq!(state, "open");
            // 15 min up to 1000 ft: nchfp_curd_study; lime the same, utah_lemon_lime_curd.
            assert_eq!(minutes(&plan), Some(15.0));
            let (_, state, missing) = shelf(text, "half-pint", Use::Sale, market)?;
            assert_eq!(state, "only-with");
            assert!(missing.contains("pH"), "{missing}");
        }
    }
    Ok(())
}

#[test]
fn passion_fruit_curd_is_closed_and_kept_cold() -> Result<(), Any> {
    for for_use in BOTH_USES {
        for market in EVERY_LAW {
            let (plan, state, _) = shelf(PASSION, "half-pint", for_use, market)?;
            assert_eq!(state, "closed");
            assert_eq!(fixture::route(&plan, "refrigerator")?.state, "only-with");
            assert!(plan.process[0].schedule.is_none() && plan.loads.is_empty());
        }
    }
    Ok(())
}

#[test]
fn apricot_jam_waits_for_its_measured_solids() -> Result<(), Any> {
    for for_use in BOTH_USES {
        for market in EVERY_LAW {
            let (_, state, missing) = shelf(APRICOT_JAM, "half-pint", for_use, market)?;
            assert_eq!(state, "only-with");
            assert!(
                missing.contains("solids") || for_use == Use::Sale && market != Law::Us,
                "{missing}"
            );
        }
    }
    let text = with(APRICOT_JAM, &measured("brix = 66\nph = 3.4"))?;
    assert_eq!(shelf(&text, "half-pint", Use::OwnUse, Law::Us)?.1, "open");
    assert_eq!(shelf(&text, "half-pint", Use::Sale, Law::Us)?.1, "only-with");
    Ok(())
}

#[test]
fn the_demo_kitchen_cooks_its_own_jam() -> Result<(), Any> {
    let plan = fixture::plan(APRICOT_JAM, 24, "half-pint")?;
    assert_eq!(fixture::route(&plan, "shelf")?.state, "only-with");
    Ok(())
}

#[test]
fn dill_pickles_open_for_the_own_table_and_need_a_scheduled_process_when_sold() -> Result<(), Any> {
    let (plan, state, _) = shelf(DILL, "pint", Use::OwnUse, Law::Us)?;
    assert_eq!(state, "open");
    // 10 min in pints up to 1000 ft: usda_guide_1994.
    assert_eq!(minutes(&plan), Some(10.0));
    let (_, state, missing) = shelf(DILL, "pint", Use::Sale, Law::Us)?;
    assert_eq!(state, "only-with");
    for word in ["scheduled process", "2541", "measured equilibrium pH"] {
        assert!(missing.contains(word), "{word}: {missing}");
    }
    Ok(())
}
