//! A recipe as web pages carry it: schema.org `Recipe` in JSON-LD, alone or in a page.
//!
//! Shapes by schema.org 30.0: `recipeIngredient` is text, a list or a list of property values,
//! `recipeInstructions` text, steps or sections, `recipeYield` text, number or quantity.

use serde_json::{Map, Value};

use super::clean::{resolve_references, without_tags};
use super::raw::{Raw, RawLine};

/// Deepest nesting that is looked into.
const MOST_DEPTH: usize = 40;
/// Most values of one list that are read.
const MOST_ITEMS: usize = 500;
/// Most script blocks of a page that are tried.
const MOST_BLOCKS: usize = 100;

/// The first recipe with ingredients in a JSON text; others are named in what is set aside.
pub(super) fn from_json(text: &str) -> Result<Option<Raw>, String> {
    all_in_json(text).map(first)
}

/// The first recipe with ingredients among the JSON-LD blocks of a page.
pub(super) fn from_page(text: &str) -> Option<Raw> {
    let blocks = blocks(text);
    first(
        blocks
            .into_iter()
            .filter_map(|block| all_in_json(block).ok())
            .flatten()
            .collect(),
    )
}

/// The first of several, the others named; a page may well hold the same one twice.
fn first(all: Vec<Raw>) -> Option<Raw> {
    let mut all = all.into_iter();
    let mut first = all.next()?;
    let others: Vec<String> = all
        .filter(|other| *other != first)
        .map(|other| {
            let name = other.name.as_deref().unwrap_or("without a name");
            format!("Another recipe: {name}")
        })
        .collect();
    first.aside.extend(others);
    Some(first)
}

fn all_in_json(text: &str) -> Result<Vec<Raw>, String> {
    // Line ends inside strings are no JSON, but stand in many pages.
    let parsed = serde_json::from_str::<Value>(text).or_else(|first| {
        let spaced: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        serde_json::from_str(&spaced).map_err(|_| first.to_string())
    })?;
    let mut found = Vec::new();
    recipes(&parsed, 0, &mut found);
    Ok(found.into_iter().map(raw).collect())
}

/// Insides of `<script type="application/ld+json">`.
fn blocks(text: &str) -> Vec<&str> {
    let lower = text.to_ascii_lowercase();
    let mut out = Vec::new();
    let mut at = 0;
    while out.len() < MOST_BLOCKS
        && let Some(found) = lower.get(at..).and_then(|rest| rest.find("<script"))
    {
        let tag = at + found;
        let Some(open) = lower[tag..].find('>').map(|end| tag + end + 1) else {
            break;
        };
        let close = lower[open..].find("</script").map_or(text.len(), |end| open + end);
        if lower[tag..open].contains("ld+json") {
            let inside = text[open..close].trim();
            let inside = inside.strip_prefix("<!--").unwrap_or(inside);
            let inside = inside.strip_suffix("-->").unwrap_or(inside).trim();
            let inside = inside.trim_start_matches("//").trim_start();
            let inside = inside.strip_prefix("<![CDATA[").unwrap_or(inside);
            let inside = inside.trim_end_matches("//").trim_end();
            out.push(
                inside
                    .strip_suffix("]]>")
                    .unwrap_or(inside)
                    .trim()
                    .trim_end_matches("//"),
            );
        }
        at = close;
    }
    out
}

fn is_recipe(map: &Map<String, Value>) -> bool {
    let named = |value: &Value| {
        value
            .as_str()
            .is_some_and(|word| word.rsplit(['/', ':', '#']).next() == Some("Recipe"))
    };
    match map.get("@type").or_else(|| map.get("type")) {
        Some(Value::Array(types)) => types.iter().take(MOST_ITEMS).any(named),
        Some(one) => named(one),
        None => false,
    }
}

fn ingredients_of(map: &Map<String, Value>) -> Option<&Value> {
    let there = |value: &&Value| !value.is_null();
    map.get("recipeIngredient")
        .filter(there)
        .or_else(|| map.get("ingredients").filter(there))
}

/// Recipes with ingredients, wherever they are nested, in their order.
fn recipes<'v>(value: &'v Value, depth: usize, out: &mut Vec<&'v Map<String, Value>>) {
    if depth > MOST_DEPTH {
        return;
    }
    match value {
        Value::Object(map) if is_recipe(map) && ingredients_of(map).is_some() => out.push(map),
        Value::Object(map) => map.values().for_each(|inner| recipes(inner, depth + 1, out)),
        Value::Array(list) => list.iter().for_each(|inner| recipes(inner, depth + 1, out)),
        _ => {}
    }
}

fn raw(map: &Map<String, Value>) -> Raw {
    let mut lines = Vec::new();
    if let Some(value) = ingredients_of(map) {
        ingredient_lines(value, 0, &mut lines);
    }
    let mut steps = Vec::new();
    if let Some(value) = map.get("recipeInstructions").or_else(|| map.get("step")) {
        step_lines(value, 0, &mut steps);
    }
    let made = map.get("recipeYield").or_else(|| map.get("yield"));
    Raw {
        name: map.get("name").or_else(|| map.get("headline")).and_then(text_of),
        made: made.and_then(yield_words),
        lines: lines.into_iter().map(RawLine::of).collect(),
        steps,
        aside: Vec::new(),
    }
}

/// A value's text, marks of the page resolved.
fn text_of(value: &Value) -> Option<String> {
    let written = match value {
        Value::String(text) => text.clone(),
        Value::Number(number) => number.to_string(),
        Value::Array(list) => return list.iter().take(MOST_ITEMS).find_map(text_of),
        Value::Object(map) => return map.get("@value").and_then(text_of),
        Value::Null | Value::Bool(_) => return None,
    };
    let plain = without_tags(&resolve_references(&written));
    let plain = plain.trim();
    (!plain.is_empty()).then(|| plain.to_owned())
}

fn ingredient_lines(value: &Value, depth: usize, out: &mut Vec<String>) {
    if depth > MOST_DEPTH {
        return;
    }
    match value {
        // An old page may hold all in one string.
        Value::String(_) | Value::Number(_) => {
            out.extend(text_of(value).iter().flat_map(|text| text.lines()).map(str::to_owned));
        }
        Value::Array(list) => {
            for inner in list {
                ingredient_lines(inner, depth + 1, out);
            }
        }
        Value::Object(map) => {
            if let Some(list) = map.get("itemListElement") {
                ingredient_lines(list, depth + 1, out);
            } else if let Some(inner) = map.get("item").filter(|inner| !inner.is_string()) {
                ingredient_lines(inner, depth + 1, out);
            } else {
                // What is not understood stands as it is written, and is asked about.
                out.push(property_line(map).unwrap_or_else(|| value.to_string()));
            }
        }
        Value::Bool(_) => out.push(value.to_string()),
        Value::Null => {}
    }
}

/// A property value as a line: `3/4 cup sugar`.
fn property_line(map: &Map<String, Value>) -> Option<String> {
    let of = |key: &str| map.get(key).and_then(text_of);
    let name = of("name").or_else(|| of("text")).or_else(|| of("item"))?;
    let number = of("value").or_else(|| Some(format!("{}-{}", of("minValue")?, of("maxValue")?)));
    let unit = of("unitText").or_else(|| of("unitCode").map(|code| unit_word(&code).to_owned()));
    Some(match (number, unit) {
        (Some(number), Some(unit)) => format!("{number} {unit} {name}"),
        (Some(number), None) => format!("{number} {name}"),
        (None, _) => name,
    })
}

/// The word of a unit code of UN/CEFACT Recommendation 20; another code stands as it is.
fn unit_word(code: &str) -> &str {
    match code {
        "GRM" => "g",
        "KGM" => "kg",
        "MGM" => "mg",
        "MLT" => "ml",
        "LTR" => "l",
        "ONZ" => "oz",
        "LBR" => "lb",
        "OZA" => "fl oz",
        "G21" => "cup",
        "G24" => "tbsp",
        "G25" => "tsp",
        "C62" | "EA" => "",
        other => other,
    }
}

/// The yield in the words that tell most.
fn yield_words(value: &Value) -> Option<String> {
    match value {
        Value::Array(list) => list
            .iter()
            .take(MOST_ITEMS)
            .filter_map(yield_words)
            .max_by_key(|words| words.chars().count()),
        Value::Object(map) => {
            let number = map.get("value").and_then(text_of)?;
            let unit = map.get("unitText").or_else(|| map.get("unitCode")).and_then(text_of);
            Some(unit.map_or_else(|| number.clone(), |unit| format!("{number} {unit}")))
        }
        other => text_of(other),
    }
}

fn step_lines(value: &Value, depth: usize, out: &mut Vec<String>) {
    if depth > MOST_DEPTH {
        return;
    }
    match value {
        Value::String(_) => {
            let text = text_of(value).unwrap_or_default();
            out.extend(
                text.lines()
                    .map(str::trim)
                    .filter(|line| !line.is_empty())
                    .map(str::to_owned),
            );
        }
        Value::Array(list) => {
            for inner in list {
                step_lines(inner, depth + 1, out);
            }
        }
        Value::Object(map) => {
            let section = map.get("itemListElement").or_else(|| map.get("steps"));
            if let Some(list) = section {
                out.extend(map.get("name").and_then(text_of).map(|name| format!("{name}:")));
                step_lines(list, depth + 1, out);
            } else if let Some(inner) = map.get("item") {
                step_lines(inner, depth + 1, out);
            } else if let Some(text) = map.get("text").or_else(|| map.get("name")) {
                step_lines(text, depth + 1, out);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}
