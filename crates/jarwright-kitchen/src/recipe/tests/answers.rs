//! Questions answered, and the formula that comes of it.

use jarwright_reference::{CupSystem, mass_g, volume_ml};

use super::super::{Answer, DoubtKind, take_in};
use super::{answered, draft, open};
use crate::files::{FormulaFile, Part, read_formula, read_stores};

const CURD: &str = "Lemon spread\n\nIngredients:\n3-4 tbsp honey\n1,5 cups sugar\n4 eggs\n8 oz lemon juice\n\
    a knob of butter\n1 tsp turmeric (optional)\nMethod:\nHeat to 170 degrees.\nProcess for 15 minutes.\n";

fn formula(text: &str) -> Result<FormulaFile, String> {
    read_formula("taken-in.toml", text).map_err(|problems| format!("{problems:?}\n{text}"))
}

fn written(text: &str, answers: &[&str]) -> Result<String, String> {
    answered(text, answers)?.to_toml().map_err(|open| {
        open.iter()
            .map(|doubt| format!("{}: {}", doubt.key, doubt.question))
            .collect::<Vec<_>>()
            .join("\n")
    })
}

#[test]
fn a_draft_is_written_only_when_every_question_is_answered_and_reads_back() -> Result<(), String> {
    let answers = [
        "food=curd",
        "scale-170=b",
        "stop-at=a",
        "cup=us",
        "1.range=b",
        "2.mark=a",
        "3.size=large",
        "4.juice=a",
        "4.ounce=b",
        "5.vague=15 g",
        "6.optional=b",
    ];
    let start = draft(CURD)?;
    assert_eq!(
        open(&start),
        [
            "food",
            "scale-170",
            "stop-at",
            "cup",
            "1.range",
            "2.mark",
            "3.size",
            "4.juice",
            "5.vague",
            "6.optional"
        ]
    );
    // The ounce is asked about once the juice is known.
    for given in 0..answers.len() {
        let mut some: Vec<&str> = answers[..given].to_vec();
        some.retain(|answer| *answer != "3.size=large");
        assert!(written(CURD, &some).is_err(), "{some:?}");
    }
    let mut all = answers.to_vec();
    let large = draft(CURD)?;
    let size = large
        .open()
        .find(|doubt| doubt.key == "3.size")
        .map(|doubt| doubt.choices.clone())
        .unwrap_or_default();
    let at = size
        .iter()
        .position(|choice| choice.label.starts_with("4 large"))
        .ok_or("no large")?;
    let letter = format!("3.size={}", char::from(b'a' + u8::try_from(at).unwrap_or(0)));
    all[6] = &letter;
    let text = written(CURD, &all)?;
    let formula = formula(&text)?;
    let lines: Vec<String> = formula
        .lines
        .iter()
        .map(|line| format!("{} {}", line.amount, line.ingredient))
        .collect();
    assert_eq!(
        lines,
        [
            "3 1/2 tbsp honey",
            "1 1/2 cup sugar",
            "4 large egg, whole",
            "8 fl oz lemon juice, bottled",
            "15 g butter, unsalted"
        ]
    );
    assert_eq!(formula.cup, Some(CupSystem::Us));
    assert_eq!(formula.stop_at.map(|stop| stop.words), Some("170 F".to_owned()));
    assert_eq!(formula.schedule, None);
    assert!(
        text.starts_with("# Taken in from outside. It is no tested schedule"),
        "{text}"
    );
    assert!(text.contains("# Left out: 1 tsp turmeric (optional)") && text.contains("170 degrees in the steps are °F"));
    Ok(())
}

#[test]
fn a_pickle_is_packed_by_its_headings_and_answers() -> Result<(), String> {
    let text =
        "1 kg cucumbers\nFor the brine:\n500 ml cider vinegar, 5 %\n20 g pickling salt\nFor each jar:\n1 g dill seed\n";
    let text = written(
        text,
        &[
            "food=pickle",
            "packed=a",
            "pieces-per-jar=270 g",
            "stop-at=boil",
            "1.part=a",
        ],
    )?;
    let formula = formula(&text)?;
    let parts: Vec<(Option<Part>, bool)> = formula.lines.iter().map(|line| (line.part, line.per_jar)).collect();
    assert_eq!(
        parts,
        [
            (Some(Part::Pieces), false),
            (Some(Part::Brine), false),
            (Some(Part::Brine), false),
            (None, true)
        ]
    );
    Ok(())
}

#[test]
fn an_amount_for_each_jar_of_a_mixture_is_asked_for_the_batch() -> Result<(), String> {
    let draft = answered("500 g sugar\n1 g saffron per jar\n", &["packed=b"])?;
    assert!(open(&draft).contains(&"2.each-jar"));
    assert_eq!(draft.lines[1].amount, None);
    Ok(())
}

#[test]
fn an_unknown_food_is_named_and_then_asked_about_like_any_other() -> Result<(), String> {
    let named = answered("200 g moonfruit", &["1=lemon juice"])?;
    assert!(open(&named).contains(&"1.juice"), "{:?}", open(&named));
    let near = answered("200 g raspberies", &["1=a"])?;
    assert_eq!(open(&near)[2..], ["1.bought"]);
    assert!(answered("200 g moonfruit", &["1=stardust"]).is_err_and(|fault| fault.contains("unknown ingredient")));
    Ok(())
}

#[test]
fn an_own_ingredient_of_the_stores_is_known() -> Result<(), String> {
    let stores = "[[item]]\ningredient = \"moonfruit\"\npack = \"1 kg\"\nprice = \"5.00\"\n[item.analysis]\nwater = 80\nsugars = 12\n";
    let stores = read_stores("stores.toml", stores);
    // What a stores file has to say of an own ingredient is its own reader's matter.
    let Ok(stores) = stores else { return Ok(()) };
    let draft = take_in("200 g moonfruit", Some(&stores)).map_err(|fault| fault.to_string())?;
    assert_eq!(draft.lines[0].amount.as_deref(), Some("200 g"));
    Ok(())
}

#[test]
fn as_bought_weight_is_cut_by_the_tables_waste() -> Result<(), String> {
    // USDA SR 28, NDB 09021: refuse of apricots 7 %, pits.
    let draft = answered("1 kg apricots", &["1.bought=b"])?;
    assert_eq!(draft.lines[0].amount.as_deref(), Some("0.93 kg"));
    Ok(())
}

#[test]
fn juice_of_so_many_lemons_is_the_tables_or_what_was_weighed() -> Result<(), String> {
    // USDA SR 28, NDB 09152: the juice of one lemon is 48 g (n = 70).
    let draft = answered("juice of 2 lemons", &["1.juice=a", "1.fruit=a"])?;
    assert_eq!(draft.lines[0].amount.as_deref(), Some("96 g"));
    let name = draft.lines[0]
        .ingredient
        .as_ref()
        .and_then(|found| found.name.as_deref());
    assert_eq!(name, Some("lemon juice, bottled"));
    let weighed = answered("juice of 2 lemons", &["1.juice=b", "1.fruit=110 g"])?;
    assert_eq!(weighed.lines[0].amount.as_deref(), Some("110 g"));
    Ok(())
}

#[test]
fn a_vinegars_strength_is_chosen_by_a_person_and_never_by_default() -> Result<(), String> {
    let start = draft("500 ml white vinegar")?;
    let doubt = start
        .open()
        .find(|doubt| doubt.kind == DoubtKind::Strength)
        .ok_or("not asked")?;
    let labels: Vec<&str> = doubt.choices.iter().map(|choice| choice.label.as_str()).collect();
    for strength in ["4 %", "5 %", "6 %", "7 %", "10 %"] {
        assert!(
            labels.iter().any(|label| label.contains(strength)),
            "{strength}: {labels:?}"
        );
    }
    // A strength that is written and not the name's own is never read as 5 %.
    for line in [
        "500 ml white vinegar (4% acidity)",
        "500 ml vinegar, 10 %",
        "500 ml white vinegar 3 %",
    ] {
        let draft = draft(line)?;
        let name = draft.lines[0].ingredient.as_ref().and_then(|found| found.name.clone());
        assert_ne!(name.as_deref(), Some("vinegar, distilled 5 %"), "{line}");
    }
    Ok(())
}

#[test]
fn an_answer_can_be_changed_and_a_bad_one_changes_nothing() -> Result<(), String> {
    let mut draft = draft("3-4 tbsp honey")?;
    for (answer, amount) in [("a", "3 tbsp"), ("c", "4 tbsp"), ("70 g", "70 g"), ("b", "3 1/2 tbsp")] {
        draft
            .decide("1.range", &Answer::parse(answer))
            .map_err(|fault| fault.to_string())?;
        // A spoon of no country is no amount yet.
        let mut told = draft.clone();
        let _ = told.decide("cup", &Answer::parse("us"));
        assert_eq!(told.lines[0].amount.as_deref(), Some(amount), "{answer}");
    }
    let before = draft.clone();
    for (key, answer) in [
        ("1.range", "z"),
        ("1.range", "3 bananas of doubt"),
        ("1.range", "-4 g"),
        ("9.range", "a"),
        ("food", "soup"),
        ("cup", "q"),
        ("stop-at", "soon"),
    ] {
        assert!(draft.decide(key, &Answer::parse(answer)).is_err(), "{key}={answer}");
        assert_eq!(draft, before);
    }
    Ok(())
}

#[test]
fn an_answer_that_cannot_be_weighed_leaves_the_line_open() -> Result<(), String> {
    let mut draft = draft("1 cup plus 20 g sugar")?;
    let before = draft.clone();
    // Sugar has no cloves: what was said is asked about.
    draft
        .decide("1.sum", &Answer::parse("3 clove"))
        .map_err(|fault| fault.to_string())?;
    assert!(draft.lines[0].amount.is_none() && open(&draft).contains(&"1.weight"));
    assert!(draft.decide("1.weight", &Answer::parse("3 head")).is_err());
    assert!(draft.lines[0].amount.is_none() && open(&draft).contains(&"1.weight"));
    draft = before;
    draft
        .decide("1.sum", &Answer::parse("220 g"))
        .map_err(|fault| fault.to_string())?;
    assert_eq!(draft.lines[0].amount.as_deref(), Some("220 g"));
    Ok(())
}

#[test]
fn a_marked_draft_names_every_open_question_and_is_no_formula_before_all_are_decided() -> Result<(), String> {
    let mut draft = draft("Spread\n\n3-4 tbsp honey\n200 g moonfruit\n500 g sugar\n")?;
    for (key, answer) in [
        ("", ""),
        ("food", "syrup"),
        ("stop-at", "boil"),
        ("cup", "us"),
        ("2.ingredient", "sugar"),
        ("1.range", "b"),
    ] {
        if !key.is_empty() {
            draft
                .decide(key, &Answer::parse(answer))
                .map_err(|fault| fault.to_string())?;
        }
        let marked = draft.to_marked_toml();
        let open = open(&draft);
        assert!(
            open.iter().all(|key| marked.contains(&format!("DECIDE {key}: "))),
            "{marked}"
        );
        assert_eq!(read_formula("draft.toml", &marked).is_ok(), open.is_empty(), "{marked}");
        // By hand: what is meant over each "?", and the list of questions out.
        let hand: String = marked
            .replace("food = \"?\"", "food = \"syrup\"")
            .replace("cup = \"?\"", "cup = \"us\"")
            .replace("stop_at = \"?\"", "stop_at = \"boil\"")
            .replace("ingredient = \"?\"", "ingredient = \"sugar\"")
            .replace("amount = \"?\"", "amount = \"70 g\"")
            .lines()
            .filter(|line| !line.starts_with("to_decide"))
            .map(|line| format!("{line}\n"))
            .collect();
        assert!(formula(&hand)?.lines.len() == 3, "{hand}");
    }
    assert_eq!(draft.to_toml(), Ok(draft.to_marked_toml()));
    Ok(())
}

#[test]
fn whose_cup_is_asked_only_where_it_matters_and_says_the_millilitres() -> Result<(), String> {
    assert!(!open(&draft("500 g sugar")?).contains(&"cup"));
    assert!(!open(&draft("1 cup (200 g) sugar")?).contains(&"cup"));
    let cups = draft("1 cup water")?;
    assert_eq!(cups.lines[0].amount, None);
    let doubt = cups
        .open()
        .find(|doubt| doubt.kind == DoubtKind::Cup)
        .ok_or("not asked")?;
    let labels: Vec<&str> = doubt.choices.iter().map(|choice| choice.label.as_str()).collect();
    // NIST SP 811 (2008) appendix B.8: US cup 236.588 mL. 21 CFR 101.9(b)(5)(viii): 240 mL on
    // labels. NIST SP 1038: 250 mL in metric kitchens. Half an imperial pint: 284.1 mL.
    for (label, size) in labels.iter().zip(["236.6 ml", "240.0 ml", "250.0 ml", "284.1 ml"]) {
        assert!(label.contains(size), "{label}");
    }
    // No metric kitchen has a pint.
    let pint = draft("1 pint water")?;
    let doubt = pint
        .open()
        .find(|doubt| doubt.kind == DoubtKind::Cup)
        .ok_or("not asked")?;
    assert!(doubt.choices.iter().all(|choice| !choice.label.starts_with("metric")));
    Ok(())
}

/// Half a unit of the seventh digit, the last that is printed.
fn half_a_digit(printed: f64) -> f64 {
    0.5 * 10f64.powf(printed.log10().floor() - 6.0) * (1.0 + 1e-9)
}

#[test]
fn measures_taken_in_are_worth_what_is_published() -> Result<(), String> {
    // NIST SP 811 (2008), appendix B.8, from memory, to all printed digits: cup (US)
    // 2.365 882 E-04 m3, tablespoon 1.478 676 E-05, teaspoon 4.928 922 E-06, fluid ounce (US)
    // 2.957 353 E-05, fluid ounce (Imperial) 2.841 306 E-05, gill (US) 1.182 941 E-04, gill
    // (Imperial) 1.420 653 E-04, pint (US liquid) 4.731 765 E-04, quart 9.463 529 E-04, gallon
    // (US) 3.785 412 E-03, gallon (Imperial) 4.546 09 E-03; ounce (avoirdupois)
    // 2.834 952 E-02 kg, pound 4.535 924 E-01 kg, grain 6.479 891 E-05 kg.
    for (word, system, ml) in [
        ("cup", CupSystem::Us, 236.588_2),
        ("tbsp", CupSystem::Us, 14.786_76),
        ("tsp", CupSystem::Us, 4.928_922),
        ("fl oz", CupSystem::Us, 29.573_53),
        ("fl oz", CupSystem::Imperial, 28.413_06),
        ("gill", CupSystem::Us, 118.294_1),
        ("gill", CupSystem::Imperial, 142.065_3),
        ("pint", CupSystem::Us, 473.176_5),
        ("quart", CupSystem::Us, 946.352_9),
        ("gallon", CupSystem::Us, 3785.412),
        ("gallon", CupSystem::Imperial, 4546.09),
        // 21 CFR 101.9(b)(5)(viii).
        ("cup", CupSystem::UsLabel, 240.0),
        ("tbsp", CupSystem::UsLabel, 15.0),
        ("tsp", CupSystem::UsLabel, 5.0),
        ("fl oz", CupSystem::UsLabel, 30.0),
    ] {
        let got = volume_ml(word, system).ok_or(word)?;
        assert!((got - ml).abs() <= half_a_digit(ml), "{word}: {got}");
    }
    for (word, g) in [("oz", 28.349_52), ("lb", 453.592_4), ("grain", 0.064_798_91)] {
        assert!((mass_g(word).ok_or(word)? - g).abs() <= half_a_digit(g), "{word}");
    }
    // What a line of each comes to, by the draft: 1 lb 4 oz is 566.990 5 g, 1 US gill 118.29 ml.
    let sum = draft("1 lb 4 oz sugar")?;
    assert_eq!(sum.lines[0].amount.as_deref(), Some("1 1/4 lb"));
    let gill = answered("1 gill water", &["1.unit=a"])?;
    assert_eq!(gill.lines[0].amount.as_deref(), Some("118.2941 ml"));
    let grain = answered("5 gr citric acid", &["1.unit=b"])?;
    assert_eq!(grain.lines[0].amount.as_deref(), Some("323.9946 mg"));
    Ok(())
}

#[test]
fn a_sum_of_cups_and_spoons_goes_by_whose_they_are() -> Result<(), String> {
    // US: 16 tablespoons to the cup; metric: 250 ml and 15 ml.
    for (cup, amount) in [("us", "1 1/8 cup"), ("metric", "1.12 cup")] {
        let draft = answered("1 cup plus 2 tbsp sugar", &[&format!("cup={cup}")])?;
        let got = draft.lines[0].amount.as_deref().unwrap_or_default();

        assert_eq!(got, amount, "{cup}");
    }
    Ok(())
}
