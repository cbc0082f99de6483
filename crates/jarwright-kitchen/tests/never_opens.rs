//! Formulas that no table of this program was made from: none of them may open the shelf.

mod fixture;

use std::fmt::Write as _;

use fixture::{Any, APRICOT_JAM, BOTH_USES, DILL, EVERY_LAW, KITCHEN, LIME_CURD, PASSION, STORES, but};
use jarwright_kitchen::files::{KitchenFile, StoresFile};
use jarwright_kitchen::{Law, Much, Order, Plan, Use, plan_order};

/// The published lemon curd, amounts as printed (`nchfp_lemon_curd`).
const LEMON_CURD: &str = r#"
name = "Lemon curd"
food = "curd"
cup = "us"
schedule = "curd-lemon-half-pint"
stop_at = "170 F"
jar_headspace = "1/2 in"
[[line]]
ingredient = "sugar"
amount = "2 1/2 cup"
form = "superfine"
[[line]]
ingredient = "lemon zest"
amount = "1/2 cup"
form = "freshly zested"
sieved_out = "90 %"
[[line]]
ingredient = "lemon juice, bottled"
amount = "1 cup"
[[line]]
ingredient = "butter, unsalted"
amount = "3/4 cup"
form = "chilled"
[[line]]
ingredient = "egg yolk"
amount = "7 large"
[[line]]
ingredient = "egg, whole"
amount = "4 large"
"#;

/// A letter that covers the half-pint here; `but` makes it fail.
const LETTER: &str = r#"
[letter]
signer = "Dr A. Example, invented process authority"
signed = 2026-01-10
expires = 2027-12-31
jar = "half-pint"
minutes = 25
altitude_to = "300 m"
ph_max = 4.2
headspace = "1/2 in"
bath_start_max = "82 C"
text = "25 minutes at the boil for this formula in half-pint jars."
"#;

const MEASURED_BRIX: &str = r#"
[measured]
brix = 66
by = "a cook"
when = 2026-11-20
instrument = "hand refractometer"
"#;

/// Ingredients of the test's own, their analyses invented.
const OWN_STORES: &str = r#"
[[item]]
name = "margarine, stick"
pack = "500 g"
price = "2.00"
kind = "fat"
[item.analysis]
water = "16 %"
fat = "80 %"
carbohydrate = "1 %"
sugars = "1 %"
protein = "0.2 %"
salt = "1.5 %"

[[item]]
name = "erythritol"
pack = "1 kg"
price = "9.00"
kind = "sweetener"
density = "0.9 g/ml"
[item.analysis]
water = "0.1 %"
carbohydrate = "99.8 %"
sugars = "0 %"
protein = "0 %"
fat = "0 %"
ash = "0 %"

[[item]]
name = "elderflower heads"
pack = "100 g"
price = "3.00"
kind = "other"
[item.analysis]
water = "80 %"
carbohydrate = "15 %"
sugars = "2 %"
protein = "2.5 %"
fat = "0.5 %"
ash = "1.5 %"
ph = 5.8
"#;

/// How far from a tested process a formula is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Far {
    /// Nothing published covers it.
    Closed,
    /// Covered but for a paper, a measurement or a page known from memory.
    NotOpen,
}

/// A formula, the jar, and what the order asks besides.
struct Case {
    name: &'static str,
    text: String,
    jar: &'static str,
    far: Far,
    altitude_m: Option<f64>,
    bath_start_c: Option<f64>,
}

fn case(name: &'static str, text: String) -> Case {
    Case { name, text, jar: "half-pint", far: Far::Closed, altitude_m: None, bath_start_c: None }
}

fn pint(name: &'static str, text: String) -> Case {
    Case { jar: "pint", ..case(name, text) }
}

/// A formula of `(ingredient, amount)` lines.
fn simple(name: &str, food: &str, head: &str, lines: &[(&str, &str)]) -> String {
    let mut text = format!("name = \"{name}\"\nfood = \"{food}\"\n{head}\n");
    for (ingredient, amount) in lines {
        let _ = write!(text, "[[line]]\ningredient = \"{ingredient}\"\namount = \"{amount}\"\n");
    }
    text
}

/// A jam boiled to 65 °Brix whose solids were measured, with the class's headspace.
fn jam(name: &str, lines: &[(&str, &str)]) -> String {
    simple(name, "jam", &format!("stop_at = \"65 Bx\"\njar_headspace = \"1/4 in\"\nfill_at = \"85 C\"\n{MEASURED_BRIX}"), lines)
}

/// Any other food cooked for a while.
fn cooked(name: &str, food: &str, stop: &str, lines: &[(&str, &str)]) -> String {
    simple(name, food, &format!("stop_at = \"{stop}\"\njar_headspace = \"1/2 in\""), lines)
}

/// The lemon curd with one line's amount changed to a mass.
fn curd_with(ingredient: &str, amount: &str, to: &str) -> Result<String, Any> {
    but(
        LEMON_CURD,
        &format!("ingredient = \"{ingredient}\"\namount = \"{amount}\""),
        &format!("ingredient = \"{ingredient}\"\namount = \"{to}\""),
    )
}

/// The lemon curd with one more line.
fn curd_plus(line: &str) -> String {
    format!("{LEMON_CURD}[[line]]\n{line}\n")
}

fn with_letter(text: &str, letter: &str) -> Result<String, Any> {
    but(text, "[[line]]", &format!("{letter}\n[[line]]"))
}

fn unclaimed(text: &str) -> Result<String, Any> {
    let line = text.lines().find(|l| l.starts_with("schedule")).ok_or("no schedule is claimed")?;
    but(text, line, "")
}

fn test_kitchen() -> Result<KitchenFile, Any> {
    fixture::kitchen_of(&but(
        KITCHEN,
        "jars = { half-pint = 12, pint = 8 }",
        "jars = { half-pint = 12, 12-oz = 10, pint = 8, quart = 6 }",
    )?)
}

fn test_stores() -> Result<StoresFile, Any> {
    fixture::stores_of(&format!("{STORES}{OWN_STORES}"))
}

fn plan_of(case: &Case, for_use: Use, market: Law, kitchen: &KitchenFile, stores: &StoresFile) -> Result<Plan, Any> {
    let order = Order {
        for_use,
        market,
        altitude_m: case.altitude_m,
        bath_start_c: case.bath_start_c,
        ..fixture::order(vec![fixture::wanted(&case.text, Much::Jars(6), case.jar, stores)?])
    };
    Ok(plan_order(&order, kitchen, stores)?)
}

/// Plans every case for every use and market; what goes wrong comes back as words, all at once.
fn faults(cases: &[Case], stores: &StoresFile) -> Result<Vec<String>, Any> {
    let kitchen = test_kitchen()?;
    let mut faults = Vec::new();
    for case in cases {
        for for_use in BOTH_USES {
            for market in EVERY_LAW {
                let asked = format!("{} ({}, {})", case.name, for_use.word(), market.word());
                let plan = match plan_of(case, for_use, market, &kitchen, stores) {
                    Ok(plan) => plan,
                    Err(error) => {
                        faults.push(format!("{asked}: no plan: {error}"));
                        continue;
                    }
                };
                let shelf = fixture::route(&plan, "shelf")?;
                let wrong = match case.far {
                    Far::Closed => shelf.state != "closed",
                    Far::NotOpen => shelf.state == "open",
                };
                if wrong || shelf.reasons.is_empty() && shelf.state == "only-with" {
                    let rules: Vec<&str> = shelf.reasons.iter().map(|r| r.rule.as_str()).collect();
                    let departures = &plan.process[0].departures;
                    faults.push(format!("{asked}: shelf is {} by {rules:?}, departures {departures:?}", shelf.state));
                }
            }
        }
    }
    Ok(faults)
}

fn none_opens(cases: &[Case]) -> Result<(), Any> {
    let faults = faults(cases, &test_stores()?)?;
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    Ok(())
}

#[test]
fn own_low_acid_and_fatty_foods_stay_off_the_shelf() -> Result<(), Any> {
    none_opens(&[
        case("garlic in oil", cooked("Garlic in oil", "other", "90 C", &[("garlic", "300 g"), ("olive oil", "1200 g"), ("salt", "10 g")])),
        case("mushrooms in oil", cooked("Mushrooms in oil", "pickle", "boil", &[("mushrooms", "1.5 kg"), ("olive oil", "800 g"), ("vinegar, distilled 5 %", "200 g"), ("garlic", "20 g")])),
        case("pumpkin butter", cooked("Pumpkin butter", "fruit butter", "20 min", &[("pumpkin", "2 kg"), ("sugar", "800 g"), ("cinnamon", "8 g")])),
        case("tomato sauce without acid", cooked("Tomato sauce", "sauce", "30 min", &[("tomatoes", "4 kg"), ("onions", "400 g"), ("garlic", "20 g"), ("olive oil", "60 g"), ("salt", "20 g")])),
        case("crushed tomatoes without acid", cooked("Crushed tomatoes", "tomato", "5 min", &[("tomatoes", "4 kg"), ("salt", "20 g")])),
        case("meat sauce", cooked("Meat sauce", "sauce", "40 min", &[("tomatoes", "3 kg"), ("meat", "1 kg"), ("onions", "300 g"), ("salt", "25 g")])),
        case("dulce de leche", cooked("Dulce", "other", "60 min", &[("milk, whole", "4 kg"), ("sugar", "1 kg"), ("baking soda", "3 g")])),
        case("raw-yolk sauce", cooked("Yolk sauce", "sauce", "40 C", &[("egg yolk", "400 g"), ("sunflower oil", "800 g"), ("lemon juice, bottled", "120 g"), ("salt", "12 g")])),
        case("pickled eggs", cooked("Pickled eggs", "pickle", "boil", &[("egg, whole", "1.2 kg"), ("vinegar, distilled 5 %", "1 kg"), ("salt", "20 g")])),
        case("pumpkin curd", cooked("Pumpkin curd", "curd", "77 C", &[("pumpkin", "500 g"), ("sugar", "400 g"), ("butter, unsalted", "150 g"), ("egg yolk", "8 large"), ("lemon juice, bottled", "60 g")])),
        case("chocolate curd", cooked("Chocolate curd", "curd", "77 C", &[("chocolate, dark 60-69 %", "300 g"), ("sugar", "300 g"), ("butter, unsalted", "150 g"), ("egg yolk", "8 large"), ("milk, whole", "200 g")])),
        case("orange curd", cooked("Orange curd", "curd", "77 C", &[("orange juice, fresh", "250 g"), ("sugar", "400 g"), ("butter, unsalted", "170 g"), ("egg yolk", "7 large"), ("egg, whole", "4 large")])),
        case("own chutney", cooked("Plum chutney", "chutney", "40 min", &[("plums", "2 kg"), ("onions", "500 g"), ("sugar, brown", "500 g"), ("vinegar, cider 5 %", "400 g"), ("salt", "15 g")])),
        case("own salsa", cooked("Garden salsa", "salsa", "10 min", &[("tomatoes", "2 kg"), ("onions", "500 g"), ("jalapenos", "150 g"), ("lime juice, bottled", "100 g"), ("coriander leaf", "40 g")])),
        case("sweet corn relish", cooked("Corn relish", "relish", "15 min", &[("sweet corn", "1.5 kg"), ("peppers, sweet red", "400 g"), ("vinegar, distilled 5 %", "600 g"), ("sugar", "250 g"), ("salt", "20 g")])),
        case("elderflower syrup", cooked("Elderflower syrup", "syrup", "10 min", &[("water", "1 kg"), ("sugar", "1.2 kg"), ("elderflower heads", "120 g"), ("lemon juice, bottled", "60 g")])),
        case("bananas in syrup", cooked("Bananas", "fruit", "5 min", &[("bananas", "2 kg"), ("water", "800 g"), ("sugar", "300 g")])),
    ])
}

#[test]
fn jam_that_is_not_the_standards_jam_stays_off_the_shelf() -> Result<(), Any> {
    let sugar = ("sugar", "2.2 kg");
    none_opens(&[
        case("jam with too little fruit", jam("Strawberry jam", &[("strawberries", "1.7 kg"), sugar, ("lemon juice, bottled", "60 g")])),
        case("group I fruit at group II's share", jam("Strawberry jam", &[("strawberries", "1.8 kg"), sugar])),
        case("jam boiled to 60 °Brix", but(&jam("Raspberry jam", &[("raspberries", "2.4 kg"), sugar]), "65 Bx", "60 Bx")?),
        case("jam measured at 62 °Brix", but(&jam("Raspberry jam", &[("raspberries", "2.4 kg"), sugar]), "brix = 66", "brix = 62")?),
        case("sugar-free jam", simple("Sugar-free jam", "jam", &format!("stop_at = \"20 min\"\njar_headspace = \"1/4 in\"\n{MEASURED_BRIX}"), &[("strawberries", "2.2 kg"), ("erythritol", "1.5 kg"), ("pectin, powdered", "30 g")])),
        case("jam without any sweetener", simple("Fruit spread", "jam", &format!("stop_at = \"40 min\"\njar_headspace = \"1/4 in\"\n{MEASURED_BRIX}"), &[("strawberries", "3 kg"), ("lemon juice, bottled", "60 g")])),
        case("banana jam", jam("Banana jam", &[("bananas", "2.2 kg"), sugar, ("lemon juice, bottled", "100 g")])),
        case("melon jam", jam("Melon jam", &[("melon, cantaloupe", "2.4 kg"), sugar, ("lemon juice, bottled", "100 g")])),
        case("coconut jam", jam("Coconut jam", &[("coconut", "2 kg"), ("sugar", "2.4 kg"), ("water", "600 g")])),
        case("jam with onions", jam("Onion jam", &[("apricots", "2.3 kg"), ("onions", "300 g"), sugar])),
        case("jam with chillies", jam("Chilli jam", &[("apricots", "2.3 kg"), ("chillies, red", "80 g"), sugar])),
        case("jam with butter", jam("Apricot jam", &[("apricots", "2.3 kg"), ("butter, unsalted", "60 g"), sugar])),
        case("jam with rum", jam("Apricot jam", &[("apricots", "2.3 kg"), ("rum", "150 g"), sugar])),
        case("jam of vegetables", jam("Courgette jam", &[("courgettes", "2.4 kg"), sugar, ("lemon juice, bottled", "200 g")])),
        case("jam of carrots and apricots", jam("Apricot jam", &[("apricots", "1.6 kg"), ("carrots", "800 g"), sugar])),
        case("jam whose fruit goes in raw at the end", but(&jam("Raspberry jam", &[("raspberries", "1.2 kg"), ("raspberries, frozen", "1.2 kg"), sugar]), "ingredient = \"raspberries, frozen\"", "goes_in = \"end\"\ningredient = \"raspberries, frozen\"")?),
        case("jam with half an inch of headspace", but(&jam("Raspberry jam", &[("raspberries", "2.4 kg"), sugar]), "1/4 in", "1/2 in")?),
        Case { jar: "quart", ..case("jam in quarts", jam("Raspberry jam", &[("raspberries", "2.4 kg"), sugar])) },
        case("marmalade of carrots", but(&jam("Carrot marmalade", &[("carrots", "2 kg"), sugar, ("lemon juice, bottled", "150 g")]), "food = \"jam\"", "food = \"marmalade\"")?),
        case("pepper jelly", but(&jam("Pepper jelly", &[("peppers, sweet red", "800 g"), ("vinegar, cider 5 %", "500 g"), sugar, ("pectin, liquid", "170 g")]), "food = \"jam\"", "food = \"jelly\"")?),
        Case { far: Far::NotOpen, ..case("fig jam without acid", jam("Fig jam", &[("figs", "2.3 kg"), sugar])) },
        Case { far: Far::NotOpen, ..case("tomato jam without acid", jam("Tomato jam", &[("tomatoes", "2.4 kg"), sugar])) },
        Case { far: Far::NotOpen, ..case("good jam nobody measured", but(&jam("Raspberry jam", &[("raspberries", "2.4 kg"), sugar]), MEASURED_BRIX, "")?) },
    ])
}

#[test]
fn the_published_curd_changed_in_one_thing_is_closed() -> Result<(), Any> {
    let juice = but(LEMON_CURD, "ingredient = \"lemon juice, bottled\"", "ingredient = \"lemon juice, fresh\"")?;
    let butter = |other: &str| but(LEMON_CURD, "ingredient = \"butter, unsalted\"\namount = \"3/4 cup\"", &format!("ingredient = \"{other}\"\namount = \"170 g\""));
    none_opens(&[
        case("curd with fresh lemon juice", juice.clone()),
        case("curd with fresh lemon juice, no schedule claimed", unclaimed(&juice)?),
        case("curd with 3 % less juice", curd_with("lemon juice, bottled", "1 cup", "0.97 cup")?),
        case("curd with 1 % less juice", curd_with("lemon juice, bottled", "1 cup", "0.99 cup")?),
        case("curd with one more egg", curd_with("egg, whole", "4 large", "5 large")?),
        case("curd with one more yolk", curd_with("egg yolk", "7 large", "8 large")?),
        case("curd with more butter", curd_with("butter, unsalted", "3/4 cup", "1 cup")?),
        case("curd with less sugar", curd_with("sugar", "2 1/2 cup", "2 cup")?),
        case("curd with margarine", butter("margarine, stick")?),
        case("curd with oil", butter("sunflower oil")?),
        case("curd with salted butter", butter("butter, salted")?),
        case("curd with melted butter", but(LEMON_CURD, "form = \"chilled\"", "form = \"melted\"")?),
        case("curd without butter", but(LEMON_CURD, "[[line]]\ningredient = \"butter, unsalted\"\namount = \"3/4 cup\"\nform = \"chilled\"\n", "")?),
        case("curd with cornstarch", curd_plus("ingredient = \"cornstarch\"\namount = \"15 g\"")),
        case("curd with cream", curd_plus("ingredient = \"cream, heavy\"\namount = \"50 g\"")),
        case("curd with honey for sugar", but(LEMON_CURD, "ingredient = \"sugar\"\namount = \"2 1/2 cup\"\nform = \"superfine\"", "ingredient = \"honey\"\namount = \"500 g\"")?),
        case("curd with orange zest", but(LEMON_CURD, "lemon zest", "orange zest")?),
        case("curd cooked to 65 °C", but(LEMON_CURD, "170 F", "65 C")?),
        case("curd with little headspace", but(LEMON_CURD, "1/2 in", "1/8 in")?),
        Case { jar: "12-oz", ..case("curd in a 12-oz jar", LEMON_CURD.into()) },
        Case { jar: "12-oz", ..case("curd in a 12-oz jar, no schedule claimed", unclaimed(LEMON_CURD)?) },
        pint("published curd in pints", LEMON_CURD.into()),
        Case { bath_start_c: Some(100.0), ..case("bath at the boil when the jars go in", LEMON_CURD.into()) },
        Case { bath_start_c: Some(90.0), ..case("bath at 90 °C when the jars go in", LEMON_CURD.into()) },
        Case { altitude_m: Some(2000.0), far: Far::NotOpen, ..case("published curd at 2000 m", LEMON_CURD.into()) },
        Case { altitude_m: Some(306.0), far: Far::NotOpen, ..case("published curd just above 1000 ft", LEMON_CURD.into()) },
        case("published curd measured at pH 4.8", but(LEMON_CURD, "[[line]]", "[measured]\nph = 4.8\nby = \"a cook\"\nwhen = 2026-11-20\ninstrument = \"bench pH meter\"\n[[line]]")?),
    ])
}

#[test]
fn a_claim_on_another_foods_schedule_covers_nothing() -> Result<(), Any> {
    none_opens(&[
        case("passion fruit curd claims the lemon curd", but(PASSION, "stop_at", "schedule = \"curd-lemon-half-pint\"\nstop_at")?),
        case("lime curd claims the lemon curd", but(LIME_CURD, "curd-lime-half-pint", "curd-lemon-half-pint")?),
        case("curd calls itself a jam", but(LEMON_CURD, "food = \"curd\"", "food = \"jam\"")?),
        case("curd calls itself a jam, no schedule claimed", unclaimed(&but(LEMON_CURD, "food = \"curd\"", "food = \"jam\"")?)?),
        case("curd claims the jam class", but(LEMON_CURD, "curd-lemon-half-pint", "jam-class")?),
        case("onion jam claims the jam class", but(&jam("Onion jam", &[("onions", "2.3 kg"), ("sugar", "2.2 kg")]), "stop_at", "schedule = \"jam-class\"\nstop_at")?),
        case("apricot jam with onion claims the apricot jam", but(&jam("Apricot jam", &[("apricots", "2.3 kg"), ("onions", "200 g"), ("sugar", "2.2 kg"), ("lemon juice, bottled", "100 g")]), "stop_at", "schedule = \"apricot-jam\"\nstop_at")?),
        case("tomatoes claim the acidified schedule without the acid", simple("Tomatoes", "tomato", "schedule = \"tomatoes-crushed-pint\"\nstop_at = \"5 min\"\njar_headspace = \"1/2 in\"", &[("tomatoes", "4 kg"), ("salt", "20 g")])),
    ])
}

#[test]
fn pickles_that_are_not_the_published_pickles_are_closed() -> Result<(), Any> {
    let vinegar = "ingredient = \"vinegar, distilled 5 %\"\namount = \"1 1/2 quart\"";
    let plus = |line: &str| format!("{DILL}\n[[line]]\n{line}\n");
    none_opens(&[
        pint("half the vinegar", but(&but(DILL, vinegar, "ingredient = \"vinegar, distilled 5 %\"\namount = \"3/4 quart\"")?, "amount = \"2 quart\"", "amount = \"2 3/4 quart\"")?),
        pint("a tenth less vinegar", but(DILL, vinegar, "ingredient = \"vinegar, distilled 5 %\"\namount = \"1.35 quart\"")?),
        pint("vinegar of 4 %", but(DILL, vinegar, "ingredient = \"vinegar, distilled 4 %\"\namount = \"1 1/2 quart\"")?),
        pint("malt vinegar", but(DILL, vinegar, "ingredient = \"vinegar, malt 5 %\"\namount = \"1 1/2 quart\"")?),
        pint("garlic in each jar", plus("ingredient = \"garlic\"\namount = \"5 g\"\nper_jar = true")),
        pint("carrots among the cucumbers", plus("ingredient = \"carrots\"\namount = \"500 g\"\npart = \"pieces\"")),
        pint("more water in the brine", but(DILL, "amount = \"2 quart\"", "amount = \"2 1/2 quart\"")?),
        pint("no salt in the brine", but(DILL, "[[line]]\ningredient = \"pickling salt\"\namount = \"1/2 cup\"\npart = \"brine\"\n", "")?),
        pint("table salt", but(DILL, "ingredient = \"pickling salt\"\namount = \"1/2 cup\"", "ingredient = \"salt\"\namount = \"1/2 cup\"")?),
        pint("green beans for cucumbers", but(DILL, "ingredient = \"cucumbers\"", "ingredient = \"green beans\"")?),
        Case { jar: "quart", ..case("quarts under the schedule of pints", but(DILL, "270 g", "560 g")?) },
        case("half-pints under the schedule of pints", but(DILL, "270 g", "130 g")?),
        Case { altitude_m: Some(-600.0), far: Far::NotOpen, ..pint("published pickles with the quart's claim", but(DILL, "dill-quick-pint", "dill-quick-quart")?) },
    ])
}

#[test]
fn a_letter_that_does_not_cover_the_run_opens_nothing() -> Result<(), Any> {
    let letter = |from: &str, to: &str| with_letter(PASSION, &but(LETTER, from, to)?);
    let ph = |ph: &str| format!("{LETTER}\n[measured]\nph = {ph}\nby = \"a cook\"\nwhen = 2026-11-20\ninstrument = \"bench pH meter\"\n");
    none_opens(&[
        case("letter expired", letter("expires = 2027-12-31", "expires = 2026-11-24")?),
        case("letter for another jar", letter("\"half-pint\"", "\"pint\"")?),
        case("letter for lower ground", letter("300 m", "100 m")?),
        case("letter for another headspace", letter("1/2 in", "1/4 in")?),
        Case { bath_start_c: Some(95.0), ..case("bath hotter than the letter's", with_letter(PASSION, LETTER)?) },
        case("letter with pH measured above 4.6", with_letter(PASSION, &ph("4.7"))?),
        case("letter with pH measured at the limit, inside the meter's guard band", with_letter(PASSION, &ph("4.59"))?),
        case("letter that allows pH 5.5 for pumpkin butter", with_letter(&cooked("Pumpkin butter", "fruit butter", "20 min", &[("pumpkin", "2 kg"), ("sugar", "500 g")]), &but(LETTER, "ph_max = 4.2", "ph_max = 5.5")?)?),
        case("letter for garlic in oil", with_letter(&cooked("Garlic in oil", "other", "90 C", &[("garlic", "300 g"), ("olive oil", "1200 g")]), &but(LETTER, "ph_max = 4.2", "ph_max = 7")?)?),
        Case { far: Far::NotOpen, ..case("letter in force", with_letter(PASSION, LETTER)?) },
    ])
}

#[test]
fn a_tenth_more_or_less_of_any_published_line_is_closed() -> Result<(), Any> {
    let stores = test_stores()?;
    let kitchen = test_kitchen()?;
    for (text, jar) in [(LEMON_CURD, "half-pint"), (LIME_CURD, "half-pint"), (DILL, "pint")] {
        let wanted = fixture::wanted(text, Much::Jars(6), jar, &stores)?;
        for index in 0..wanted.formula.lines.len() {
            let line = &wanted.formula.lines[index];
            if line.per_jar || line.part == Some(jarwright_kitchen::files::Part::Soak) {
                continue;
            }
            for factor in [0.9, 1.1] {
                let mut other = wanted.clone();
                other.formula.lines[index].amount = line.amount.times(factor);
                let plan = plan_order(&fixture::order(vec![other]), &kitchen, &stores)?;
                let shelf = fixture::route(&plan, "shelf")?;
                assert_eq!(shelf.state, "closed", "{} of {} x {factor}", line.ingredient, wanted.formula.name);
            }
        }
    }
    Ok(())
}

fn verdict(text: &str, jar: &'static str, for_use: Use, market: Law) -> Result<(Plan, String, Vec<String>), Any> {
    let plan = plan_of(&Case { jar, ..case("control", text.into()) }, for_use, market, &fixture::kitchen()?, &fixture::stores()?)?;
    let shelf = fixture::route(&plan, "shelf")?;
    let (state, missing) = (shelf.state.to_owned(), shelf.missing.clone());
    Ok((plan, state, missing))
}

#[test]
fn the_published_curd_opens_for_the_own_table_and_asks_for_papers_when_sold() -> Result<(), Any> {
    for text in [LIME_CURD, LEMON_CURD] {
        for market in EVERY_LAW {
            let (plan, state, _) = verdict(text, "half-pint", Use::OwnUse, market)?;
            assert_eq!(state, "open");
            // 15 min at up to 1000 ft (nchfp_curd_study; utah_lemon_lime_curd).
            let minutes = plan.process[0].schedule.as_ref().map(|s| s.minutes.value);
            assert!(minutes.is_some_and(|m| (m - 15.0).abs() < 1e-9), "{minutes:?}");
            let (_, state, missing) = verdict(text, "half-pint", Use::Sale, market)?;
            assert_eq!(state, "only-with");
            assert!(missing.iter().any(|m| m.contains("pH")), "{missing:?}");
        }
    }
    Ok(())
}

#[test]
fn passion_fruit_curd_is_closed_and_kept_cold() -> Result<(), Any> {
    for for_use in BOTH_USES {
        for market in EVERY_LAW {
            let (plan, state, _) = verdict(PASSION, "half-pint", for_use, market)?;
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
            let (_, state, missing) = verdict(APRICOT_JAM, "half-pint", for_use, market)?;
            assert_eq!(state, "only-with");
            if for_use == Use::OwnUse || market == Law::Us {
                assert!(missing.iter().any(|m| m.contains("solids")), "{missing:?}");
            }
        }
    }
    let measured = but(APRICOT_JAM, "[[line]]", &format!("{MEASURED_BRIX}\n[[line]]"))?;
    assert_eq!(verdict(&measured, "half-pint", Use::OwnUse, Law::Us)?.1, "open");
    assert_eq!(verdict(&measured, "half-pint", Use::Sale, Law::Us)?.1, "only-with");
    Ok(())
}

#[test]
fn dill_pickles_open_for_the_own_table_and_need_a_scheduled_process_when_sold() -> Result<(), Any> {
    let (plan, state, _) = verdict(DILL, "pint", Use::OwnUse, Law::Us)?;
    assert_eq!(state, "open");
    // 10 min in pints at up to 1000 ft (usda_guide_1994).
    let minutes = plan.process[0].schedule.as_ref().map(|s| s.minutes.value);
    assert!(minutes.is_some_and(|m| (m - 10.0).abs() < 1e-9), "{minutes:?}");
    let (_, state, missing) = verdict(DILL, "pint", Use::Sale, Law::Us)?;
    assert_eq!(state, "only-with");
    for word in ["scheduled process", "2541", "pH"] {
        assert!(missing.iter().any(|m| m.contains(word)), "{word}: {missing:?}");
    }
    Ok(())
}
