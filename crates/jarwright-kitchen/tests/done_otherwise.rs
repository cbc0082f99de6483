//! The published ingredients in the published amounts, but not done as published: a formula
//! must not open the shelf by where, when or in what form its lines go in.

mod fixture;

use fixture::shelf::{
    Case, LEMON_CURD, LETTER, LETTER_SHARES, case, jam, letter, measured, none_opens, none_opens_with, simple, with,
};
use fixture::{Any, DILL, LIME_CURD, PASSION, STORES, but};
use jarwright_kitchen::PlanError;
use jarwright_kitchen::{Much, plan_order};

fn not_open(case: Case) -> Result<(), Any> {
    none_opens(&[case.not_open()])
}

#[test]
fn juice_that_stays_in_the_sieve_sours_nothing() -> Result<(), Any> {
    let line = "ingredient = \"lemon juice, bottled\"";
    not_open(case(
        "a third of the juice sieved out",
        but(LEMON_CURD, line, &format!("sieved_out = \"30 %\"\n{line}"))?,
    ))
}

/// The lemon curd with its eggs off the heat, pH measured.
fn late_eggs() -> Result<String, Any> {
    let mut text = with(LEMON_CURD, &measured("ph = 3.7"))?;
    for line in ["ingredient = \"egg yolk\"", "ingredient = \"egg, whole\""] {
        text = but(&text, line, &format!("goes_in = \"end\"\n{line}"))?;
    }
    Ok(text)
}

#[test]
fn eggs_stirred_in_off_the_heat_are_not_the_published_curd() -> Result<(), Any> {
    not_open(case("eggs off the heat", late_eggs()?))
}

#[test]
fn eggs_packed_raw_under_hot_syrup_are_not_the_published_curd() -> Result<(), Any> {
    let mut text = with(
        LEMON_CURD,
        &format!("{}\n[pack]\npieces_per_jar = \"110 g\"", measured("ph = 3.7")),
    )?;
    for (name, part) in [
        ("sugar", "brine"),
        ("lemon zest", "brine"),
        ("lemon juice, bottled", "brine"),
        ("butter, unsalted", "brine"),
        ("egg yolk", "pieces"),
        ("egg, whole", "pieces"),
    ] {
        text = but(
            &text,
            &format!("ingredient = \"{name}\""),
            &format!("part = \"{part}\"\ningredient = \"{name}\""),
        )?;
    }
    not_open(case("raw eggs as pieces", text))
}

#[test]
fn a_spoon_of_vinegar_in_each_jar_is_not_the_published_brine() -> Result<(), Any> {
    let text = but(DILL, "\"1 1/2 quart\"\npart = \"brine\"", "\"40 g\"\nper_jar = true")?;
    not_open(case("vinegar by the spoon", text).jar("pint"))
}

#[test]
fn cucumbers_counted_by_jar_and_by_batch_are_all_counted() -> Result<(), Any> {
    let crumb = "[[line]]\ningredient = \"cucumbers\"\namount = \"1 g\"\nform = \"pickling, 3 to 5 in\"\nper_jar = true\n[[line]]";
    let text = but(&but(DILL, "[[line]]", crumb)?, "\"8 lb\"", "\"24 lb\"")?;
    not_open(case("a crumb by the jar, a heap by the batch", text).jar("pint"))
}

#[test]
fn grated_cucumbers_are_not_whole_ones_though_a_number_agrees() -> Result<(), Any> {
    not_open(case("grated", but(DILL, "pickling, 3 to 5 in", "grated, 3 mm")?).jar("pint"))
}

#[test]
fn pickles_under_a_brine_that_never_boiled_are_not_the_published_ones() -> Result<(), Any> {
    not_open(
        case(
            "brine warmed to 40 °C",
            but(DILL, "stop_at = \"boil\"", "stop_at = \"40 C\"")?,
        )
        .jar("pint"),
    )
}

/// The published apricot jam, amounts as printed (`uga_extension_2006`), only warmed.
const WARM_APRICOTS: &str = r#"
name = "Apricot jam"
food = "jam"
cup = "us"
schedule = "apricot-jam"
stop_at = "60 C"
jar_headspace = "1/4 in"
[[line]]
ingredient = "apricots"
amount = "2 quart"
form = "crushed, peeled"
[[line]]
ingredient = "lemon juice, bottled"
amount = "1/4 cup"
[[line]]
ingredient = "sugar"
amount = "6 cup"
"#;

#[test]
fn fruit_only_warmed_is_not_the_published_apricot_jam() -> Result<(), Any> {
    not_open(case(
        "apricots warmed to 60 °C",
        with(WARM_APRICOTS, &measured("ph = 3.6"))?,
    ))
}

#[test]
fn jam_filled_cold_is_no_hot_pack() -> Result<(), Any> {
    let hot = jam("Raspberry jam", "2.4 kg raspberries; 2.2 kg sugar");
    not_open(case(
        "filled at 15 °C",
        but(&hot, "fill_at = \"85 C\"", "fill_at = \"15 C\"")?,
    ))
}

#[test]
fn a_sheet_that_says_weak_vinegar_is_believed() -> Result<(), Any> {
    let weak = "price = \"7.40\"\n[item.analysis]\nwater = \"97 %\"\nacetic_acid = \"2.5 %\"";
    let stores = fixture::stores_of(&but(STORES, "price = \"7.40\"", weak)?)?;
    none_opens_with(&[case("vinegar of 2.5 %", DILL.into()).jar("pint").not_open()], &stores)
}

#[test]
fn a_sheet_that_says_weak_juice_is_believed() -> Result<(), Any> {
    let weak = "price = \"6.20\"\n[item.analysis]\nwater = \"97 %\"\ncitric_acid = \"2.5 %\"";
    let stores = fixture::stores_of(&but(STORES, "price = \"6.20\"", weak)?)?;
    none_opens_with(&[case("lime juice of 2.5 %", LIME_CURD.into()).not_open()], &stores)
}

#[test]
fn a_letter_holds_to_its_own_ph_and_fill() -> Result<(), Any> {
    let low = letter(&but(LETTER, "ph_max = 4.2", "ph_max = 3.9")?, LETTER_SHARES);
    let hot = letter(
        &but(LETTER, "headspace", "fill_min = \"80 C\"\nheadspace")?,
        LETTER_SHARES,
    );
    let cold = but(PASSION, "stop_at", "fill_at = \"20 C\"\nstop_at")?;
    let ph = |ph: f64| measured(&format!("ph = {ph}"));
    none_opens(&[
        case("pH above the letter's", with(PASSION, &format!("{low}\n{}", ph(4.1)))?),
        case(
            "pH inside the guard band of the letter's",
            with(PASSION, &format!("{low}\n{}", ph(3.89)))?,
        ),
        case(
            "filled colder than the letter's",
            with(&cold, &format!("{hot}\n{}", ph(3.7)))?,
        ),
    ])
}

/// What an order that a cook would write comes to: a plan or a plain no, never a fault of ours.
fn answered(text: &str, jar: &str) -> Result<(), Any> {
    let stores = fixture::stores()?;
    let strong = but(fixture::KITCHEN, "\"3.5 kW\"", "\"6 kW\"")?;
    let order = fixture::order(vec![fixture::wanted(text, Much::Jars(6), jar, &stores)?]);
    if let Err(PlanError::Physics { what, cause }) = plan_order(&order, &fixture::kitchen_of(&strong)?, &stores) {
        return Err(format!("{what}: {cause}").into());
    }
    Ok(())
}

#[test]
fn what_goes_in_off_the_heat_can_be_planned() -> Result<(), Any> {
    answered(&late_eggs()?, "half-pint")
}

#[test]
fn a_sauce_boiled_for_half_an_hour_can_be_planned() -> Result<(), Any> {
    let head = "stop_at = \"30 min\"\njar_headspace = \"1/2 in\"";
    answered(
        &simple("Tomato sauce", "sauce", head, "4 kg tomatoes; 400 g onions; 20 g salt"),
        "half-pint",
    )
}

#[test]
fn brine_for_small_jars_can_be_planned() -> Result<(), Any> {
    answered(&but(DILL, "270 g", "130 g")?, "half-pint")
}

#[test]
fn a_jam_that_thickens_before_it_boils_can_be_planned() -> Result<(), Any> {
    // Where the ring hardly makes up for the pan's losses, water leaves long before the boil.
    let stores = fixture::stores()?;
    let weak = fixture::kitchen_of(&but(fixture::KITCHEN, "\"3.5 kW\"", "\"4 kW\"")?)?;
    let order = fixture::order(vec![fixture::wanted(
        fixture::APRICOT_JAM,
        Much::Jars(6),
        "half-pint",
        &stores,
    )?]);
    match plan_order(&order, &weak, &stores) {
        Ok(_) | Err(PlanError::CannotMeet { .. }) => Ok(()),
        Err(error) => Err(error.into()),
    }
}
