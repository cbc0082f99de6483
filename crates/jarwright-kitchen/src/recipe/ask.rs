//! Which questions a line raises. Nothing doubtful is settled here.

use jarwright_reference::{Acid, CupSystem, Ingredient, Kind, mass_g, volume_ml};

use super::doubt::{Doubt, DoubtKind, Settles};
use super::food::{Found, HowSure, Pantry, alternatives};
use super::line::{Reading, Taken};
use super::measured::{Measured, Unit, is_drained};
use super::number::Many;
use super::{CUPS, amount_text};
use crate::files::{AmountUnit, Weights};

/// Two writings of one amount may differ by so much and still agree: what rounding to handy
/// numbers does, such as 1 lb and 450 g. Judged.
const AGREE: f64 = 0.03;
/// A measured volume and a weight of it may differ by more: how a cup is filled. Judged.
const AGREE_BY_DENSITY: f64 = 0.10;
/// Waste below this share of what is bought is not asked for [%]: it is within [`AGREE`].
const LITTLE_WASTE_PCT: f64 = 3.0;

/// What is answered in words about how much.
pub(super) const AN_AMOUNT: &str = "an amount such as \"350 g\"";

/// Questions about which food a line means.
pub(super) fn about_food(reading: &Reading, found: &Found, pantry: &Pantry<'_>) -> Vec<Doubt> {
    let phrase = &reading.phrase;
    let lower = phrase.to_lowercase();
    let named = |name: &str| Settles::Ingredient(name.to_owned());
    if found.matched.how_sure != HowSure::Exact {
        if let Some((first, second)) = alternatives(phrase) {
            let mut doubt = Doubt::new(DoubtKind::Either, format!("Which one: \"{first}\" or \"{second}\"?"));
            for side in [first, second] {
                if let Some(name) = pantry.find(side).matched.name {
                    doubt = doubt.choice(name.clone(), named(&name));
                }
            }
            if doubt.choices.len() == 2 {
                return vec![doubt.or_words("the name of an ingredient")];
            }
        }
        let question = if phrase.is_empty() {
            "The line names no ingredient. Which one is meant?".to_owned()
        } else if found.matched.how_sure == HowSure::Near {
            format!("\"{phrase}\" is not in the table by that name. Is one of these meant?")
        } else {
            format!("\"{phrase}\" is not known. Which ingredient is it?")
        };
        let mut doubt = Doubt::new(DoubtKind::Ingredient, question);
        for name in &found.matched.nearest {
            doubt = doubt.choice(name.clone(), named(name));
        }
        return vec![
            doubt
                .choice("leave the line out", Settles::LeftOut)
                .or_words("the name of an ingredient of the table or of your stores"),
        ];
    }
    let name = found.matched.name.as_deref().unwrap_or_default();
    let all_words = format!("{lower} {}", reading.brackets.join(" ").to_lowercase());
    let mut out = Vec::new();
    if let Some(fruit) = name.strip_suffix(" juice, fresh") {
        let bottled = format!("{fruit} juice, bottled");
        let said = all_words.contains("bottle") || (all_words.contains("fresh") && reading.taken.is_none());
        if jarwright_reference::ingredient(&bottled).is_some() && !said {
            let question = format!(
                "Is the {fruit} juice bottled or fresh? The acid of fresh juice varies from fruit to fruit; tested \
                 schedules that count on it name bottled juice."
            );
            out.push(
                Doubt::new(DoubtKind::Juice, question)
                    .choice(bottled.clone(), named(&bottled))
                    .choice(name, named(name)),
            );
        }
    }
    if let Some(row) = jarwright_reference::ingredient(name).filter(|row| row.kind == Kind::Vinegar)
        && !name.is_empty()
        && !lower.contains(&row.name.to_lowercase())
    {
        out.extend(strength(reading, row, &lower));
    }
    // Plain words that several entries of the table answer to, which weigh or set differently.
    const PLAIN: [(&str, &[&str]); 2] = [
        ("salt", &["pickling salt", "salt", "salt, kosher"]),
        ("pectin", &["pectin, powdered", "pectin, liquid", "pectin, pure"]),
    ];
    let by_mass = reading.amount.as_ref().is_some_and(is_mass);
    if let Some((word, kinds)) = PLAIN.iter().find(|(word, _)| *word == lower)
        && (*word != "salt" || !by_mass)
    {
        let question = match *word {
            "salt" => "Which salt? A spoon of a coarse one holds far less.",
            _ => "Which pectin? They set at different amounts.",
        };
        let mut doubt = Doubt::new(DoubtKind::Which, question);
        for kind in *kinds {
            doubt = doubt.choice(*kind, named(kind));
        }
        out.push(doubt);
    }
    out
}

/// A vinegar's strength: never taken for granted.
fn strength(reading: &Reading, row: &Ingredient, lower: &str) -> Option<Doubt> {
    let family = |other: &Ingredient| {
        let stem = |name: &str| {
            name.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, ' ' | '%'))
                .to_owned()
        };
        other.kind == Kind::Vinegar && (stem(&other.name) == stem(&row.name) || lower == "vinegar")
    };
    let acetic = |row: &Ingredient| {
        let acid = row.acids.iter().find(|acid| acid.acid == Acid::Acetic)?;
        Some(acid.g_per_100g.value)
    };
    let mut kin: Vec<&Ingredient> = jarwright_reference::ingredients()
        .iter()
        .filter(|row| family(row))
        .collect();
    if let Some(percent) = reading.percent {
        let sign = format!(" {percent} %");
        kin.retain(|row| row.name.ends_with(&sign) || acetic(row).is_some_and(|acid| (acid - percent).abs() < 0.05));
        // The strength is written and there is one such vinegar: nothing is open.
        if let [only] = kin.as_slice()
            && only.name == row.name
        {
            return None;
        }
    }
    let question = match reading.percent {
        Some(percent) => format!("A vinegar of {percent} %: which is it?"),
        None => "How strong is the vinegar? The bottle says so; tested recipes need 5 % or more.".to_owned(),
    };
    let mut doubt = Doubt::new(DoubtKind::Strength, question);
    for row in kin {
        let label = match acetic(row) {
            Some(acid) if !row.name.contains('%') => format!("{} ({acid} g acetic acid in 100 g)", row.name),
            _ => row.name.clone(),
        };
        doubt = doubt.choice(label, Settles::Ingredient(row.name.clone()));
    }
    Some(doubt.or_words("the name of a vinegar of the table or of your stores"))
}

/// Questions about how much a line means, once its food is settled.
pub(super) fn about_amount(reading: &Reading, name: &str, weights: &Weights<'_>, ready: bool) -> Vec<Doubt> {
    let mut out = Vec::new();
    let row = jarwright_reference::ingredient(name);
    let Some(amount) = &reading.amount else {
        let question = if reading.to_taste {
            "Goes in to taste or as needed: how much is weighed in? Weigh it once."
        } else {
            "No amount is written. How much goes in?"
        };
        return vec![
            Doubt::new(DoubtKind::Vague, question)
                .choice("leave the line out", Settles::LeftOut)
                .or_words(AN_AMOUNT),
        ];
    };
    let again = reading
        .again
        .as_ref()
        .filter(|_| !matches!(amount.unit, Unit::Container(..)) && reading.taken.is_none());
    // Of two writings the clash asks for the number too.
    out.extend(about_number(amount).filter(|_| again.is_none()));
    if let Some(taken) = reading.taken {
        out.push(by_the_fruit(taken, amount, row));
    } else if let Some(again) = again {
        out.extend(clash(
            amount,
            again,
            reading.again_rough,
            weights,
            row.is_none_or(may_be_poured),
        ));
    } else {
        out.extend(about_unit(amount, row, weights));
    }
    let written = amount.one().and_then(|number| Some((number, amount.unit.plain()?)));
    let as_it_is = |doubt: Doubt| match &written {
        Some((number, (factor, unit))) => doubt.choice(amount_text(number * factor, unit), Settles::AsWritten),
        None => doubt.choice("the number as written", Settles::AsWritten),
    };
    if let Some(word) = &reading.rough {
        let doubt = Doubt::new(
            DoubtKind::About,
            format!("\"{word}\" so much: a formula weighs one number. Which?"),
        );
        out.push(as_it_is(doubt).or_words(AN_AMOUNT));
    }
    if let Some(word) = &reading.heaped {
        let question = format!("A \"{word}\" measure weighs what the hand says. Weigh it once, or count it level?");
        let doubt = Doubt::new(DoubtKind::Heaped, question);
        let doubt = match &written {
            Some((number, (factor, unit))) => doubt.choice(
                format!("level: {}", amount_text(number * factor, unit)),
                Settles::AsWritten,
            ),
            None => doubt,
        };
        out.push(doubt.or_words(AN_AMOUNT));
    }
    if reading.more || reading.to_taste {
        let doubt = Doubt::new(
            DoubtKind::More,
            "More goes in than the amount says, or as taste has it. How much?",
        );
        out.push(as_it_is(doubt).or_words(AN_AMOUNT));
    }
    out.extend(bought(reading, amount, row, ready));
    out
}

fn about_number(amount: &Measured) -> Option<Doubt> {
    let plain = amount.unit.plain();
    let of = |doubt: Doubt, label: &str, number: f64| {
        let told = match &plain {
            Some((factor, unit)) => format!("{label}: {}", amount_text(number * factor, unit)),
            None => format!("{label}: {}", plain_number(number)),
        };
        let mut doubt = doubt.choice(told, Settles::Number(number));
        if let (Some((factor, unit)), Some(last)) = (&plain, doubt.choices.last_mut()) {
            last.amount = Some(amount_text(number * factor, unit));
        }
        doubt
    };
    match &amount.many {
        Many::One(_) => None,
        Many::Range(low, high) => {
            let doubt = Doubt::new(
                DoubtKind::Range,
                "From so much to so much: a formula weighs one number. Which?",
            );
            let doubt = of(doubt, "low", *low);
            let doubt = of(doubt, "middle", f64::midpoint(*low, *high));
            Some(of(doubt, "high", *high).or_words(AN_AMOUNT))
        }
        Many::Mark { decimal, thousands } => {
            let doubt = Doubt::new(
                DoubtKind::Mark,
                "Is the mark between the digits a decimal mark, or does it part thousands?",
            );
            let doubt = of(doubt, "decimal mark", *decimal);
            let doubt = match thousands {
                Some(thousands) => of(doubt, "thousands", *thousands),
                None => doubt,
            };
            Some(doubt.or_words(AN_AMOUNT))
        }
        Many::Unclear => Some(
            Doubt::new(
                DoubtKind::Number,
                "The number is no amount that can be weighed. How much is meant?",
            )
            .or_words(AN_AMOUNT),
        ),
    }
}

fn plain_number(number: f64) -> String {
    format!("{}", (number * 1e6).round() / 1e6)
}

/// How many, where it is settled, before a unit: `7 large`.
fn counted(amount: &Measured, unit: &str) -> String {
    amount
        .one()
        .map_or_else(|| unit.to_owned(), |number| format!("{} {unit}", plain_number(number)))
}

fn about_unit(amount: &Measured, row: Option<&Ingredient>, weights: &Weights<'_>) -> Option<Doubt> {
    match &amount.unit {
        Unit::Of(AmountUnit::Piece(word)) if !weights.pieces_g.iter().any(|(known, _)| known == word) => Some(sizes(
            amount,
            weights,
            &format!("{} has no published weight of one \"{word}\". ", weights.name),
        )),
        Unit::Of(_) | Unit::Times(..) => None,
        Unit::Ounce => {
            if row.is_some_and(|row| !may_be_poured(row)) {
                return None;
            }
            let fluid: Vec<String> = [CupSystem::Us, CupSystem::Imperial]
                .iter()
                .filter_map(|system| Some(format!("{:.1}", volume_ml("fl oz", *system)?)))
                .collect();
            let ounce_g = mass_g("oz").unwrap_or_default();
            Some(
                Doubt::new(DoubtKind::Ounce, "Ounces of weight or fluid ounces?")
                    .choice(
                        format!("{}, by weight ({ounce_g:.2} g each)", counted(amount, "oz")),
                        Settles::Unit(1.0, AmountUnit::Ounce),
                    )
                    .choice(
                        format!(
                            "{}, by volume ({} ml each, US or imperial)",
                            counted(amount, "fl oz"),
                            fluid.join(" or ")
                        ),
                        Settles::Unit(1.0, AmountUnit::FluidOunce),
                    )
                    .or_words(AN_AMOUNT),
            )
        }
        Unit::Several(word, meanings) => {
            let mut doubt = Doubt::new(
                DoubtKind::Unit,
                format!("\"{word}\" has more than one meaning or none that is sure. Which?"),
            );
            for (label, factor, unit) in meanings {
                doubt = doubt.choice(label.clone(), Settles::Unit(*factor, unit.clone()));
            }
            Some(doubt.or_words(AN_AMOUNT))
        }
        Unit::Vague(word) => Some(
            Doubt::new(
                DoubtKind::Vague,
                format!("\"{word}\" measures nothing. Weigh it once: how much goes in?"),
            )
            .choice("leave the line out", Settles::LeftOut)
            .or_words(AN_AMOUNT),
        ),
        Unit::Container(word, size) => container(amount, word, size.as_deref()),
        Unit::Bare => Some(sizes(amount, weights, "")),
    }
}

/// Whether an ingredient is poured, so that its ounces may be fluid ones.
fn may_be_poured(row: &Ingredient) -> bool {
    match row.kind {
        Kind::AcidJuice | Kind::Vinegar | Kind::Alcohol | Kind::Water | Kind::Dairy | Kind::Other => true,
        Kind::Fat => row.name.contains("oil"),
        Kind::Sweetener => !row.name.contains("sugar"),
        Kind::Pectin => row.name.contains("liquid"),
        Kind::Spice => row.name.contains("extract"),
        Kind::LowAcidFruit => ["juice", "milk", "water", "puree", "sauce"]
            .iter()
            .any(|word| row.name.contains(word)),
        Kind::Egg => row.name.contains("pasteurised"),
        Kind::AcidFruit
        | Kind::Vegetable
        | Kind::Allium
        | Kind::Acid
        | Kind::Salt
        | Kind::Starch
        | Kind::Gelatin
        | Kind::Nut
        | Kind::Chocolate
        | Kind::Meat => false,
    }
}

/// A count whose size is not said.
fn sizes(amount: &Measured, weights: &Weights<'_>, lead: &str) -> Doubt {
    let question = if weights.pieces_g.is_empty() {
        format!("{lead}Pieces of no stated weight. How much is it on the scale?")
    } else {
        format!("{lead}How large is one? The weights are of what is eaten of it.")
    };
    let mut doubt = Doubt::new(DoubtKind::Size, question);
    for (word, g) in &weights.pieces_g {
        doubt = doubt.choice(
            format!("{} of {} g", counted(amount, word), plain_number(*g)),
            Settles::Unit(1.0, AmountUnit::Piece((*word).to_owned())),
        );
    }
    doubt.or_words(AN_AMOUNT)
}

fn container(amount: &Measured, word: &str, size: Option<&Measured>) -> Option<Doubt> {
    let sized = size.and_then(|size| {
        let (factor, unit) = match &size.unit {
            // A can's or packet's ounces are of weight.
            Unit::Ounce => (1.0, AmountUnit::Ounce),
            other => other.plain()?,
        };
        Some((size.one()? * factor, unit))
    });
    let doubt = match (&sized, is_drained(word)) {
        (Some(_), true) => Doubt::new(
            DoubtKind::Container,
            format!("Does all that is in the {word} go in, or is it drained? A drained one is weighed."),
        ),
        (Some(_), false) => Doubt::new(DoubtKind::Container, format!("A {word} of the size that is written?")),
        (None, _) => Doubt::new(
            DoubtKind::Container,
            format!("How much is in the {word}? The label says so; sizes differ from country to country."),
        ),
    };
    Some(match (sized, amount.one()) {
        (Some((each, unit)), Some(number)) => doubt
            .choice(
                format!("all of it, {}", amount_text(number * each, &unit)),
                Settles::Amount(number * each, unit),
            )
            .or_words(AN_AMOUNT),
        (Some((each, unit)), None) => doubt
            .choice(
                format!("all of it, {} each", amount_text(each, &unit)),
                Settles::Unit(each, unit),
            )
            .or_words(AN_AMOUNT),
        (None, _) => doubt.or_words(AN_AMOUNT),
    })
}

/// Juice or zest by the fruit.
fn by_the_fruit(taken: Taken, amount: &Measured, row: Option<&Ingredient>) -> Doubt {
    let what = match taken {
        Taken::Juice => "juice",
        Taken::Zest => "zest",
    };
    let question = format!("Fruit gives more {what} or less, by half and more. How much is it?");
    let doubt = Doubt::new(DoubtKind::Fruit, question);
    // What is bottled has no fruit of its own: the fresh juice's row counts for both.
    let fresh = row.and_then(|row| {
        let fruit = row.name.split(" juice").next()?;
        jarwright_reference::ingredient(&format!("{fruit} juice, fresh"))
    });
    let each = (taken == Taken::Juice)
        .then(|| fresh.or(row)?.piece("fruit").map(|g| g.value))
        .flatten();
    match (each, amount.one()) {
        (Some(each), Some(number)) => doubt.choice(
            format!(
                "{} g, by the table's {} g a fruit",
                plain_number(number * each),
                plain_number(each)
            ),
            Settles::Amount(number * each, AmountUnit::Gram),
        ),
        (Some(each), None) => doubt.choice(
            format!("the table's {} g a fruit", plain_number(each)),
            Settles::Unit(each, AmountUnit::Gram),
        ),
        (None, _) => doubt,
    }
    .or_words(AN_AMOUNT)
}

/// What one writing of an amount may weigh or hold.
#[derive(Debug, Clone, PartialEq, Default)]
struct Sizes {
    grams: Vec<f64>,
    ml: Vec<f64>,
}

fn sizes_of(amount: &Measured, poured: bool) -> Option<Sizes> {
    let number = amount.one()?;
    let mut out = Sizes::default();
    let unit = match &amount.unit {
        Unit::Ounce => {
            out.grams.push(number * mass_g("oz")?);
            // An ounce of sugar is of weight, though a fluid one may weigh as much.
            let fluid = CUPS.iter().filter(|_| poured);
            out.ml
                .extend(fluid.filter_map(|system| Some(number * volume_ml("fl oz", *system)?)));
            return Some(out);
        }
        other => other.plain()?,
    };
    let (factor, unit) = unit;
    match mass_g(unit.word()) {
        Some(g) => out.grams.push(number * factor * g),
        None => out.ml.extend(
            CUPS.iter()
                .filter_map(|system| Some(number * factor * volume_ml(unit.word(), *system)?)),
        ),
    }
    Some(out)
}

fn is_mass(amount: &Measured) -> bool {
    amount
        .unit
        .plain()
        .is_some_and(|(_, unit)| mass_g(unit.word()).is_some())
}

/// Whether two writings of one amount agree; `None` where nothing is known to compare by.
fn agree(first: &Sizes, second: &Sizes, density: Option<f64>) -> Option<bool> {
    let within = |ones: &[f64], others: &[f64], times: f64, tolerance: f64| {
        let pairs = ones
            .iter()
            .flat_map(|one| others.iter().map(move |other| (one * times, other)));
        pairs
            .into_iter()
            .any(|(one, other)| (one / other - 1.0).abs() <= tolerance)
    };
    let comparable = |ones: &[f64], others: &[f64]| !ones.is_empty() && !others.is_empty();
    let mut compared = false;
    let mut agreed = false;
    let mut look = |ones: &[f64], others: &[f64], times: f64, tolerance: f64| {
        compared |= comparable(ones, others);
        agreed |= within(ones, others, times, tolerance);
    };
    look(&first.grams, &second.grams, 1.0, AGREE);
    look(&first.ml, &second.ml, 1.0, AGREE);
    if let Some(density) = density {
        look(&first.ml, &second.grams, density, AGREE_BY_DENSITY);
        look(&second.ml, &first.grams, density, AGREE_BY_DENSITY);
    }
    compared.then_some(agreed)
}

/// The writing that leaves less open: grams before other weights before millilitres.
pub(super) fn plainer<'m>(first: &'m Measured, second: &'m Measured) -> &'m Measured {
    let rank = |measured: &Measured| match &measured.unit {
        Unit::Of(AmountUnit::Gram | AmountUnit::Kilogram | AmountUnit::Milligram) => 0,
        _ if is_mass(measured) => 1,
        Unit::Of(AmountUnit::Millilitre | AmountUnit::Litre) | Unit::Times(..) => 2,
        _ => 3,
    };
    if rank(second) < rank(first) { second } else { first }
}

/// Two writings of one amount: a question unless they agree.
fn clash(
    first: &Measured,
    second: &Measured,
    second_is_rough: bool,
    weights: &Weights<'_>,
    poured: bool,
) -> Option<Doubt> {
    let agreed = match (sizes_of(first, poured), sizes_of(second, poured)) {
        (Some(first), Some(second)) => agree(&first, &second, weights.density_g_ml),
        _ => None,
    };
    if agreed == Some(true) && !second_is_rough {
        return None;
    }
    let question = match agreed {
        Some(true) => "Two amounts are written, one of them roughly. Which one holds?",
        Some(false) => "Two amounts are written and they do not agree. Which one holds?",
        None => "Two amounts are written that cannot be compared. Which one holds?",
    };
    let mut doubt = Doubt::new(DoubtKind::Clash, question);
    for measured in [first, second] {
        let Some(number) = measured.one() else { continue };
        match &measured.unit {
            Unit::Ounce => {
                for unit in [AmountUnit::Ounce, AmountUnit::FluidOunce]
                    .into_iter()
                    .take(1 + usize::from(poured))
                {
                    doubt = doubt.choice(amount_text(number, &unit), Settles::Amount(number, unit));
                }
            }
            Unit::Bare => {
                for (word, g) in &weights.pieces_g {
                    let unit = AmountUnit::Piece((*word).to_owned());
                    let label = format!("{} of {} g", amount_text(number, &unit), plain_number(*g));
                    doubt = doubt.choice(label, Settles::Amount(number, unit));
                }
            }
            unit => {
                if let Some((factor, unit)) = unit.plain() {
                    doubt = doubt.choice(
                        amount_text(number * factor, &unit),
                        Settles::Amount(number * factor, unit),
                    );
                }
            }
        }
    }
    Some(doubt.or_words(AN_AMOUNT))
}

/// Whole as bought, or ready to use: asked of what is weighed and has waste.
fn bought(reading: &Reading, amount: &Measured, row: Option<&Ingredient>, ready: bool) -> Option<Doubt> {
    let row = row?;
    let waste = row.refuse_pct.filter(|pct| *pct > LITTLE_WASTE_PCT && *pct < 100.0)?;
    let weighed = |measured: &Measured| is_mass(measured) || measured.unit == Unit::Ounce;
    let by_weight = weighed(amount) || reading.again.as_ref().is_some_and(weighed);
    let said = |words: &str| {
        reading.phrase.to_lowercase().contains(words)
            || reading.brackets.iter().any(|b| b.to_lowercase().contains(words))
    };
    let told_ready = ready
        || [
            "prepared weight",
            "after peeling",
            "after pitting",
            "after trimming",
            "net weight",
            "trimmed weight",
        ]
        .iter()
        .any(|words| said(words));
    if !by_weight || told_ready || reading.taken.is_some() || row.name.contains("juice") || row.name.contains("zest") {
        return None;
    }
    let of = if row.refuse.is_empty() {
        "waste"
    } else {
        row.refuse.as_str()
    };
    let question = format!(
        "Is the weight of {} as bought, or of what is ready to use? By the table {} % is {}.",
        row.name,
        plain_number(waste),
        of.to_lowercase()
    );
    let share = 1.0 - waste / 100.0;
    let told = |share: f64| {
        let number = amount.one()?;
        let (factor, unit) = amount.unit.plain()?;
        Some(amount_text(number * factor * share, &unit)).filter(|_| reading.again.is_none())
    };
    let mut doubt = Doubt::new(DoubtKind::Bought, question);
    for (label, share) in [("ready to use", 1.0), ("as bought", share)] {
        let label = told(share).map_or_else(|| label.to_owned(), |amount| format!("{label}: {amount} goes in"));
        doubt = doubt.choice(label, Settles::Share(share));
        if let Some(last) = doubt.choices.last_mut() {
            last.amount = told(share);
        }
    }
    Some(doubt.or_words(AN_AMOUNT))
}
