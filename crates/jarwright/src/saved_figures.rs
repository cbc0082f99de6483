//! The figures of an answer that was saved with `--json`, read back so that they can be walked.
//!
//! An equation is told from this program's own registry. A figure computed by one that is not in
//! it, or reads otherwise, was saved by another version, and is refused: no walk shows an equation
//! that the number was not computed with.

use std::collections::BTreeMap;
use std::path::Path;

use jarwright_figure::{BandKind, BasisView, Bound, CauseView, Equation, Figure, Id, InputView, LimitView, Mark, Unit};
use serde_json::{Map, Value};

use crate::data_dir::read_saved;
use crate::exit::Stop;

/// The figures of a saved answer.
#[derive(Debug)]
pub struct Saved {
    /// Every quantity, by handle.
    pub quantities: BTreeMap<String, Figure>,
    /// Currency of its money; empty where the answer has none.
    pub currency: String,
}

/// Reads a saved answer.
///
/// # Errors
/// [`Stop`]: a file that cannot be read, is no answer of this program, or was saved by another
/// version.
pub fn read(path: &Path, equations: &[&'static Equation]) -> Result<Saved, Stop> {
    let text = read_saved(path)?;
    let answer: Value = serde_json::from_str(&text).map_err(|error| {
        Stop::file(
            path,
            format!("is no JSON: line {}, column {}", error.line(), error.column()),
            "save an answer with --json first: jarwright plan FORMULA --json > plan.json",
        )
    })?;
    let Some(quantities) = answer["quantities"].as_object() else {
        return Err(Stop::file(
            path,
            "has no figures: there are no \"quantities\" in it",
            "plan, assay and adjust write them with --json",
        ));
    };
    let quantities = quantities
        .iter()
        .map(|(handle, value)| match figure(value, equations) {
            Ok(figure) if figure.id == *handle => Ok((handle.clone(), figure)),
            Ok(figure) => Err((handle, format!("is kept as {handle} and calls itself {}", figure.id))),
            Err(fault) => Err((handle, fault)),
        })
        .collect::<Result<_, _>>()
        .map_err(|(handle, fault)| {
            Stop::file(
                path,
                format!("the figure {handle} {fault}"),
                "save the answer anew with this version of the program",
            )
        })?;
    let currency = answer["run"]["currency"].as_str().unwrap_or_default().to_owned();
    Ok(Saved { quantities, currency })
}

/// One figure; the error says what is the matter with it.
fn figure(value: &Value, equations: &[&'static Equation]) -> Result<Figure, String> {
    let map = value.as_object().ok_or("is no figure")?;
    Ok(Figure {
        id: handle(map)?.to_string(),
        name: word(map, "name")?.into(),
        value: number(map, "value")?,
        unit: unit(map)?,
        low: number(map, "low")?,
        high: number(map, "high")?,
        band: BandKind::parse(word(map, "band")?).ok_or("has a band of no known kind")?,
        basis: basis(map.get("basis").unwrap_or(&Value::Null), equations)?,
        causes: list(map.get("causes"), |map| {
            Ok(CauseView {
                id: handle(map)?,
                name: word(map, "name")?.into(),
                share: number(map, "share")?,
            })
        })?,
        limits: list(map.get("limits"), |map| {
            Ok(LimitView {
                bound: Bound::parse(word(map, "bound")?).ok_or("has a limit of no known side")?,
                id: handle(map)?,
                name: word(map, "name")?.into(),
                value: number(map, "value")?,
            })
        })?,
    })
}

fn basis(value: &Value, equations: &[&'static Equation]) -> Result<BasisView, String> {
    let map = value.as_object().ok_or("has no basis")?;
    Ok(match word(map, "kind")? {
        "published" => BasisView::Published {
            source: word(map, "source")?.into(),
            place: word(map, "place")?.into(),
            mark: Mark::from_words(word(map, "mark")?)
                .ok_or("has a mark that is not known")?
                .words(),
        },
        "measured" => BasisView::Measured {
            instrument: word(map, "instrument")?.into(),
            by: word(map, "by")?.into(),
        },
        "entered" => BasisView::Entered {
            by: word(map, "by")?.into(),
        },
        "computed" => {
            let key = word(map, "equation")?;
            let equation = equations
                .iter()
                .find(|equation| equation.key == key)
                .filter(|equation| map.get("text").and_then(Value::as_str) == Some(equation.text))
                .ok_or_else(|| format!("was computed by \"{key}\" as another version of the program has it"))?;
            BasisView::Computed {
                equation: equation.key,
                title: equation.title,
                text: equation.text,
                source: equation.source,
                inputs: list(map.get("inputs"), |map| {
                    Ok(InputView {
                        id: handle(map)?,
                        name: word(map, "name")?.into(),
                        value: number(map, "value")?,
                        unit: unit(map)?,
                    })
                })?,
            }
        }
        other => return Err(format!("has a basis of no known kind, \"{other}\"")),
    })
}

fn list<T>(value: Option<&Value>, entry: impl Fn(&Map<String, Value>) -> Result<T, String>) -> Result<Vec<T>, String> {
    let entries = value.and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default();
    let entries = entries
        .iter()
        .map(|value| entry(value.as_object().ok_or("has a list of no known kind")?));
    entries.collect()
}

fn word<'a>(map: &'a Map<String, Value>, key: &str) -> Result<&'a str, String> {
    let found = map.get(key).and_then(Value::as_str);
    found.ok_or_else(|| format!("has no {key}"))
}

fn number(map: &Map<String, Value>, key: &str) -> Result<f64, String> {
    let found = map.get(key).and_then(Value::as_f64);
    found.ok_or_else(|| format!("has no {key}"))
}

fn unit(map: &Map<String, Value>) -> Result<Unit, String> {
    let symbol = word(map, "unit")?;
    Unit::parse(symbol).ok_or_else(|| format!("has a unit that is not known, \"{symbol}\""))
}

fn handle(map: &Map<String, Value>) -> Result<Id, String> {
    let text = word(map, "id")?;
    Id::parse(text).ok_or_else(|| format!("names \"{text}\", which is no handle"))
}
