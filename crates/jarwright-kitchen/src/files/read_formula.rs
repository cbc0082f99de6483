//! Reading a formula file.

use jarwright_reference::{CupSystem, FoodClass};
use toml::de::DeTable;

use super::amount::{Amount, AmountUnit, Weights};
use super::formula::{
    Endpoint, FormulaFile, FormulaLine, GoesIn, Letter, Measured, Pack, Part, StopAt,
};
use super::problem::{Fault, Problem};
use super::quantity::{
    altitude_m, brix, headspace_m, kelvin, mass_g, share, temperature_c, time_s,
};
use super::spell;
use super::stores::{StoresFile, StoresItem};
use super::walk::Need::{May, Must};
use super::walk::{Section, Walk, choose, jar_size};

const ROOT: &[&str] = &[
    "name",
    "food",
    "cup",
    "schedule",
    "stop_at",
    "jar_headspace",
    "fill_at",
    "measured",
    "letter",
    "pack",
    "line",
];
const LINE: &[&str] = &[
    "ingredient",
    "amount",
    "form",
    "step",
    "goes_in",
    "sieved_out",
    "per_jar",
    "part",
];
const MEASURED: &[&str] = &["ph", "brix", "water_activity", "by", "when", "instrument"];
const LETTER: &[&str] = &[
    "signer",
    "signed",
    "expires",
    "jar",
    "minutes",
    "altitude_to",
    "ph_max",
    "headspace",
    "fill_min",
    "bath_start_max",
    "text",
];

const EXPECTED_FILE: &str = "a formula: name, food, stop_at and one [[line]] for each ingredient";
const EXPECTED_STOP: &str = "\"170 F\", \"65 Bx\", \"boil\", \"boil + 9 F\" or \"20 min\"";
const EXPECTED_HEADSPACE: &str = "a headspace such as \"1/2 in\"";
const EXPECTED_TEMPERATURE: &str = "a temperature such as \"180 F\" or \"82 C\"";
const EXPECTED_PART: &str = "\"pieces\", \"brine\" or \"soak\"";
const EXPECTED_GOES_IN: &str = "\"start\", \"end\" or a pot temperature such as \"60 C\"";
const EXPECTED_CUP: &str = "\"us\", \"us-label\", \"metric\" or \"imperial\"";

/// Longest text of a letter [characters].
const LETTER_CHARS: usize = 20_000;

/// Reads a formula whose ingredients all stand in the reference table.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_formula(name: &str, text: &str) -> Result<FormulaFile, Vec<Problem>> {
    read_formula_with(name, text, None)
}

/// Reads a formula that may also use the own ingredients of a stores file.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_formula_with(
    name: &str,
    text: &str,
    stores: Option<&StoresFile>,
) -> Result<FormulaFile, Vec<Problem>> {
    let (mut walk, table) = Walk::open(name, text, EXPECTED_FILE)?;
    let formula = read(&mut walk, table.get_ref(), stores);
    walk.finish(formula)
}

fn read<'t>(walk: &mut Walk<'t>, table: &DeTable<'t>, stores: Option<&StoresFile>) -> FormulaFile {
    let root = walk.root(table, "a formula", ROOT);
    let pack = root
        .table(walk, "pack", "a pack", &["pieces_per_jar"])
        .map(|section| {
            let expected = "a weight such as \"270 g\"";
            Pack {
                pieces_per_jar_g: section
                    .read(walk, "pieces_per_jar", Must, expected, mass_g)
                    .unwrap_or_default(),
            }
        });
    let stop_need = if pack.is_some() { May } else { Must };
    let lines = root.tables(walk, "line", Must, "a line", LINE);
    let formula = FormulaFile {
        name: root
            .words(walk, "name", Must, "a name such as \"Lime curd\"")
            .unwrap_or_default(),
        food: root
            .read(walk, "food", Must, "a class of food", food)
            .unwrap_or(FoodClass::Other),
        cup: root.read(walk, "cup", May, EXPECTED_CUP, cup),
        schedule: root.read(
            walk,
            "schedule",
            May,
            "the key of a tested schedule",
            schedule,
        ),
        stop_at: root.read(walk, "stop_at", stop_need, EXPECTED_STOP, stop_at),
        jar_headspace_mm: root
            .read(walk, "jar_headspace", May, EXPECTED_HEADSPACE, headspace_m)
            .map(millimetres),
        fill_at_c: root.read(walk, "fill_at", May, EXPECTED_TEMPERATURE, temperature_c),
        measured: root
            .table(walk, "measured", "a measurement", MEASURED)
            .and_then(|section| measured(walk, &section)),
        letter: root
            .table(walk, "letter", "a letter", LETTER)
            .and_then(|section| letter(walk, &section)),
        lines: lines
            .iter()
            .filter_map(|section| line(walk, section, pack.is_some(), stores))
            .collect(),
        pack,
    };
    check_cup(walk, &root, &formula, stores);
    let has_pieces = formula
        .lines
        .iter()
        .any(|line| line.part == Some(Part::Pieces));
    if formula.pack.is_some() && formula.lines.len() == lines.len() && !has_pieces {
        walk.fault(
            root.place(walk, "pack"),
            Fault::new("a pack without pieces", "a line with part = \"pieces\""),
        );
    }
    formula
}

/// A cup-like word needs its country, and every amount needs a weight.
fn check_cup<'t>(
    walk: &mut Walk<'t>,
    root: &Section<'_, 't>,
    formula: &FormulaFile,
    stores: Option<&StoresFile>,
) {
    let unclear = formula
        .lines
        .iter()
        .find(|line| line.amount.unit.depends_on_cup());
    if let (Some(line), false) = (unclear, root.has("cup")) {
        let what = format!(
            "\"{}\" is not the same everywhere, and the formula has no \"cup\"",
            line.amount.unit.word()
        );
        walk.fault(
            line.amount_at.clone(),
            Fault::new(what, format!("cup = {EXPECTED_CUP} at the top of the file")),
        );
    }
    for line in &formula.lines {
        let cup = match formula.cup {
            Some(cup) => cup,
            None if line.amount.unit.depends_on_cup() => continue,
            None => CupSystem::Us,
        };
        let item = stores.and_then(|stores| stores.item(&line.ingredient));
        let weights = item.map_or_else(|| Weights::of(&line.ingredient), StoresItem::weights);
        if let Err(error) = line.amount.weigh(&weights, cup) {
            walk.fault(line.amount_at.clone(), error.into());
        }
    }
}

fn millimetres(m: f64) -> f64 {
    m * 1000.0
}

fn food(text: &str) -> Result<FoodClass, Fault> {
    choose(
        &text.replace('-', " "),
        "class of food",
        &FoodClass::ALL,
        FoodClass::word,
    )
}

/// The word of a cup system in a file.
const fn cup_word(cup: CupSystem) -> &'static str {
    match cup {
        CupSystem::Us => "us",
        CupSystem::UsLabel => "us-label",
        CupSystem::Metric => "metric",
        CupSystem::Imperial => "imperial",
    }
}

fn cup(text: &str) -> Result<CupSystem, Fault> {
    let all = [
        CupSystem::Us,
        CupSystem::UsLabel,
        CupSystem::Metric,
        CupSystem::Imperial,
    ];
    choose(text, "cup", &all, cup_word)
}

fn schedule(text: &str) -> Result<String, Fault> {
    let key = text.trim();
    if jarwright_reference::schedule(key).is_some() {
        return Ok(key.to_owned());
    }
    let keys = || {
        jarwright_reference::schedules()
            .iter()
            .map(|schedule| schedule.key.as_str())
    };
    Err(Fault::new(
        format!("unknown schedule \"{key}\""),
        "the key of a tested schedule",
    )
    .near(spell::nearest(key, keys()))
    .hint("leave it out if the formula follows none"))
}

/// Reads an endpoint.
fn stop_at(text: &str) -> Result<StopAt, Fault> {
    let words = text.trim();
    let lower = words.to_lowercase();
    let out_of = |what: &str, expected: &str| {
        Err(Fault::new(
            format!("{what} \"{words}\" is out of range"),
            expected,
        ))
    };
    let at = if let Some(after) = lower.strip_prefix("boil") {
        let rise = after.trim_start();
        let kelvin = match rise.strip_prefix('+') {
            None if rise.is_empty() => 0.0,
            Some(rise) => kelvin(rise).map_err(|fault| Fault {
                within: None,
                ..fault
            })?,
            None => {
                return Err(Fault::new(
                    format!("unknown endpoint \"{words}\""),
                    EXPECTED_STOP,
                ));
            }
        };
        if kelvin > 25.0 {
            return out_of("boiling-point rise", "at most 25 C, or 45 F");
        }
        Endpoint::AboveBoiling { kelvin }
    } else {
        let unit = words
            .trim_start_matches(|c: char| !c.is_alphabetic() && c != '°')
            .to_lowercase();
        match unit.trim_start_matches('°') {
            "bx" | "brix" => Endpoint::Brix { brix: brix(words)? },
            "s" | "sec" | "min" | "minute" | "minutes" | "h" | "hour" | "hours" => {
                let seconds = time_s(words)?;
                if seconds <= 0.0 || seconds > 43_200.0 {
                    return out_of("boiling time", "above 0 and at most 12 h");
                }
                Endpoint::Boiled { seconds }
            }
            "c" | "f" => {
                let c = temperature_c(words)?;
                if !(20.0..=150.0).contains(&c) {
                    return out_of("endpoint", "from 20 C to 150 C");
                }
                Endpoint::Temperature { c }
            }
            _ => {
                let near = spell::nearest(&unit, ["Bx", "Brix", "min", "F", "C", "h", "boil"]);
                return Err(
                    Fault::new(format!("unknown endpoint \"{words}\""), EXPECTED_STOP).near(near),
                );
            }
        }
    };
    Ok(StopAt {
        at,
        words: words.to_owned(),
    })
}

fn goes_in(text: &str) -> Result<GoesIn, Fault> {
    match text.trim() {
        "start" => Ok(GoesIn::Start),
        "end" => Ok(GoesIn::End),
        other => temperature_c(other)
            .map(|c| GoesIn::When { c })
            .map_err(|fault| Fault {
                expected: EXPECTED_GOES_IN.into(),
                ..fault
            }),
    }
}

const fn part_word(part: Part) -> &'static str {
    match part {
        Part::Pieces => "pieces",
        Part::Brine => "brine",
        Part::Soak => "soak",
    }
}

fn part(text: &str) -> Result<Part, Fault> {
    choose(
        text,
        "part of a pack",
        &[Part::Pieces, Part::Brine, Part::Soak],
        part_word,
    )
}

/// Refuses an ingredient that neither the reference table nor the stores know.
fn known(text: &str, stores: Option<&StoresFile>) -> Result<String, Fault> {
    let name = text.trim();
    let own = stores.is_some_and(|stores| stores.item(name).is_some());
    if own || jarwright_reference::ingredient(name).is_some() {
        return Ok(name.to_owned());
    }
    let table = jarwright_reference::ingredients().iter();
    let words = table.flat_map(|row| {
        std::iter::once(row.name.as_str()).chain(row.aliases.iter().map(String::as_str))
    });
    let items = stores
        .iter()
        .flat_map(|stores| stores.items.iter().map(|item| item.ingredient.as_str()));
    let expected = "an ingredient of the reference table or an own one of the stores";
    Err(
        Fault::new(format!("unknown ingredient \"{name}\""), expected)
            .near(spell::nearest(name, words.chain(items)))
            .hint("an own ingredient needs an [[item]] with `name` and `analysis` in the stores"),
    )
}

fn line<'t>(
    walk: &mut Walk<'t>,
    section: &Section<'_, 't>,
    in_pack: bool,
    stores: Option<&StoresFile>,
) -> Option<FormulaLine> {
    let ingredient = section.read(
        walk,
        "ingredient",
        Must,
        "an ingredient such as \"sugar\"",
        |text| known(text, stores),
    );
    let amount = section.read(
        walk,
        "amount",
        Must,
        "an amount such as \"2 1/2 cup\"",
        Amount::parse,
    );
    let per_jar = section.flag(walk, "per_jar");
    let part = section.read(walk, "part", May, EXPECTED_PART, part);
    let line = FormulaLine {
        ingredient: ingredient.unwrap_or_default(),
        form: section.words(walk, "form", May, "a form such as \"superfine\""),
        step: section.words(walk, "step", May, "what to do with it"),
        goes_in: section
            .read(walk, "goes_in", May, EXPECTED_GOES_IN, goes_in)
            .unwrap_or_default(),
        sieved_out: section
            .read(walk, "sieved_out", May, "a share such as \"90 %\"", share)
            .unwrap_or_default(),
        per_jar,
        part,
        ingredient_at: section.place(walk, "ingredient"),
        amount_at: section.place(walk, "amount"),
        amount: amount.clone().unwrap_or(Amount {
            quantity: 0.0,
            unit: AmountUnit::Gram,
        }),
    };
    match (in_pack, per_jar, section.has("part")) {
        (true, true, true) => {
            let fault = Fault::new(
                "\"part\" on a line that goes into each jar",
                "either per_jar = true or part",
            );
            walk.fault(section.place(walk, "part"), fault);
        }
        (true, false, false) => {
            let fault = Fault::new(
                "a line of a pack that is no part of it",
                format!("part = {EXPECTED_PART}"),
            )
            .hint("write per_jar = true if the amount is for each jar");
            walk.fault(section.at.clone(), fault);
        }
        (false, _, true) => {
            walk.fault(
                section.place(walk, "part"),
                Fault::new("\"part\" outside a pack", "a [pack] in the formula"),
            );
        }
        (false, true, false) => {
            walk.fault(
                section.place(walk, "per_jar"),
                Fault::new("\"per_jar\" outside a pack", "a [pack] in the formula"),
            );
        }
        (true, true, false) | (true, false, true) | (false, false, false) => {}
    }
    (amount.is_some() && !line.ingredient.is_empty()).then_some(line)
}

fn measured<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Measured> {
    if !["ph", "brix", "water_activity"]
        .iter()
        .any(|key| section.has(key))
    {
        walk.fault(
            section.at.clone(),
            Fault::new("a measurement of nothing", "ph, brix or water_activity"),
        );
    }
    let ph = section.number(walk, "ph", May, (0.0, 14.0), "a pH such as 3.7");
    let brix = section.number(walk, "brix", May, (0.0, 90.0), "°Brix such as 66");
    let expected = "a water activity above 0 and at most 1, such as 0.86";
    let water_activity = section.number(
        walk,
        "water_activity",
        May,
        (f64::MIN_POSITIVE, 1.0),
        expected,
    );
    let by = section.words(walk, "by", Must, "who measured");
    let when = section.date(walk, "when", Must);
    let instrument = section.words(walk, "instrument", May, "an instrument of the kitchen file");
    Some(Measured {
        ph,
        brix,
        water_activity,
        by: by?,
        when: when?,
        instrument,
    })
}

fn letter<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Letter> {
    let signer = section.words(walk, "signer", Must, "the process authority who signed");
    let signed = section.date(walk, "signed", May);
    let expires = section.date(walk, "expires", Must);
    let jar = section.read(walk, "jar", Must, "the jar it holds for", jar_size);
    let minutes = section.number(
        walk,
        "minutes",
        Must,
        (f64::MIN_POSITIVE, 600.0),
        "minutes, above 0 and at most 600",
    );
    let altitude_to_m = section.read(
        walk,
        "altitude_to",
        Must,
        "an altitude such as \"300 m\" or \"1000 ft\"",
        altitude_m,
    );
    let ph_max = section.number(
        walk,
        "ph_max",
        Must,
        (0.0, 14.0),
        "the highest pH, such as 4.2",
    );
    let headspace_mm = section
        .read(walk, "headspace", May, EXPECTED_HEADSPACE, headspace_m)
        .map(millimetres);
    let fill_min_c = section.read(walk, "fill_min", May, EXPECTED_TEMPERATURE, temperature_c);
    let bath_start_max_c = section.read(
        walk,
        "bath_start_max",
        May,
        EXPECTED_TEMPERATURE,
        temperature_c,
    );
    let text = section.read_long(
        walk,
        "text",
        Must,
        LETTER_CHARS,
        "what the letter says",
        |text| Ok(text.to_owned()),
    );
    if let (Some(signed), Some(expires)) = (signed, expires)
        && expires < signed
    {
        walk.fault(
            section.place(walk, "expires"),
            Fault::new("the letter ends before it was signed", "a later day"),
        );
    }
    Some(Letter {
        signer: signer?,
        signed,
        expires: expires?,
        jar: jar?,
        minutes: minutes?,
        altitude_to_m: altitude_to_m?,
        ph_max: ph_max?,
        headspace_mm,
        fill_min_c,
        bath_start_max_c,
        text: text?,
    })
}
