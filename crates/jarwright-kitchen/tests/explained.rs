//! Every number explains itself: figures in the JSON, down to what is entered, published or measured.

mod fixture;

use std::collections::BTreeMap;

use fixture::{Any, everything, near, plan_everything};
use jarwright_figure::{BandKind, BasisView, Figure};
use jarwright_kitchen::Plan;
use serde_json::Value;

/// Numbers that are no quantities: places of batches and counts of a sheet.
fn structural(path: &str) -> bool {
    let plain: String = path.chars().filter(|c| !c.is_ascii_digit()).collect();
    matches!(
        plain.as_str(),
        "/batches//numbers/" | "/loads//numbers/" | "/weigh//batches"
    ) || plain.starts_with("/process//cold_spot/curve/")
}

/// Every bare number of a JSON, and every null.
fn walk(value: &Value, path: &str, see: &mut impl FnMut(&str, &Value)) {
    match value {
        Value::Object(map)
            if ["id", "value", "unit", "low", "high", "band", "basis"]
                .iter()
                .all(|k| map.contains_key(*k)) =>
        {
            see(path, value);
        }
        Value::Object(map) => map.iter().for_each(|(k, v)| walk(v, &format!("{path}/{k}"), see)),
        Value::Array(list) => list
            .iter()
            .enumerate()
            .for_each(|(i, v)| walk(v, &format!("{path}/{i}"), see)),
        Value::Number(_) | Value::Null | Value::String(_) | Value::Bool(_) => see(path, value),
    }
}

#[test]
fn every_number_that_is_shown_is_a_figure() -> Result<(), Any> {
    let mut json = serde_json::to_value(everything()?)?;
    json.as_object_mut().ok_or("no object")?.remove("quantities");
    let mut bare = Vec::new();
    let mut figures = 0;
    walk(&json, "", &mut |path, value| match value {
        Value::Number(_) if !structural(path) => bare.push(path.to_owned()),
        Value::Object(_) => figures += 1,
        _ => {}
    });
    assert!(bare.is_empty(), "{bare:?}");
    assert!(figures > 300, "{figures}");
    Ok(())
}

#[test]
fn no_number_is_lost_on_the_way_to_json() -> Result<(), Any> {
    let plan = everything()?;
    let text = serde_json::to_string(&plan)?;
    // What is not finite becomes null inside a figure or a curve, where null has no meaning.
    let json: Value = serde_json::from_str(&text)?;
    let quantities = json["quantities"].as_object().ok_or("no quantities")?;
    for (id, figure) in quantities {
        assert!(
            ["value", "low", "high"].iter().all(|k| figure[*k].is_number()),
            "{id}: {figure}"
        );
    }
    let mut lost = Vec::new();
    walk(&json, "", &mut |path, value| match value {
        Value::Null if path.contains("curve") => lost.push(path.to_owned()),
        Value::Object(_) if !["value", "low", "high"].iter().all(|k| value[*k].is_number()) => {
            lost.push(path.to_owned())
        }
        _ => {}
    });
    assert!(lost.is_empty(), "{lost:?}");
    for word in ["NaN", "inf "] {
        assert!(!text.contains(word), "{word} is printed");
    }
    Ok(())
}

fn figures(plan: &Plan) -> Vec<Figure> {
    let mut all = Vec::new();
    plan.each_figure(&mut |f| all.push(f.clone()));
    all
}

#[test]
fn every_band_holds_its_value() -> Result<(), Any> {
    for figure in figures(&everything()?) {
        let within = 1e-9 * (1.0 + figure.value.abs());
        assert!(figure.low <= figure.high + within, "{figure:?}");
        if figure.band == BandKind::Exact {
            assert!(
                near(figure.low, figure.value, within) && near(figure.high, figure.value, within),
                "{figure:?}"
            );
        }
        if figure.band != BandKind::P5P95 {
            assert!(
                figure.low <= figure.value + within && figure.value <= figure.high + within,
                "{figure:?}"
            );
        }
    }
    Ok(())
}

/// Walks from a figure to its leaves; `Err` names what is missing or goes in a circle.
fn leads_to_leaves(
    figure: &Figure,
    all: &BTreeMap<String, Figure>,
    above: &mut Vec<String>,
    done: &mut BTreeMap<String, ()>,
) -> Result<(), String> {
    if done.contains_key(&figure.id) {
        return Ok(());
    }
    if above.contains(&figure.id) {
        return Err(format!("{above:?} comes back to {}", figure.id));
    }
    match &figure.basis {
        BasisView::Computed {
            inputs,
            equation,
            title,
            text,
            source,
        } => {
            if inputs.is_empty() || title.is_empty() || equation.is_empty() || text.is_empty() || source.is_empty() {
                return Err(format!("{} ({}) is computed from nothing", figure.id, figure.name));
            }
            above.push(figure.id.clone());
            for input in inputs {
                let found = all.get(&input.id.to_string()).ok_or_else(|| {
                    format!(
                        "{} ({}): input {} ({}) is nowhere",
                        figure.id, figure.name, input.id, input.name
                    )
                })?;
                if *found.name != *input.name || !near(found.value, input.value, 0.0) || found.unit != input.unit {
                    return Err(format!("{}: input {} is shown as another", figure.id, input.id));
                }
                leads_to_leaves(found, all, above, done)?;
            }
            above.pop();
        }
        BasisView::Published { source, mark, .. } if source.is_empty() || mark.is_empty() => {
            return Err(format!("{} has no source", figure.id));
        }
        BasisView::Entered { by } if by.is_empty() => return Err(format!("{} was entered by nobody", figure.id)),
        BasisView::Published { .. } | BasisView::Entered { .. } | BasisView::Measured { .. } => {}
    }
    done.insert(figure.id.clone(), ());
    Ok(())
}

#[test]
fn every_figure_leads_to_what_is_entered_published_or_measured() -> Result<(), Any> {
    let plan = everything()?;
    let mut faults = Vec::new();
    for figure in figures(&plan).iter().chain(plan.quantities.values()) {
        if let Err(fault) = leads_to_leaves(figure, &plan.quantities, &mut Vec::new(), &mut BTreeMap::new()) {
            faults.push(fault);
        }
    }
    faults.sort();
    faults.dedup();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    Ok(())
}

#[test]
fn every_source_that_is_named_is_on_file() -> Result<(), Any> {
    let plan = everything()?;
    let mut missing: Vec<&str> = plan
        .quantities
        .values()
        .filter_map(|f| match &f.basis {
            BasisView::Published { source, .. } => Some(source.as_str()),
            BasisView::Computed { source, .. } => Some(*source),
            BasisView::Measured { .. } | BasisView::Entered { .. } => None,
        })
        .filter(|key| jarwright_reference::source(key).is_none())
        .collect();
    missing.sort_unstable();
    missing.dedup();
    assert!(missing.is_empty(), "{missing:?}");
    Ok(())
}

#[test]
fn every_equation_that_is_named_is_registered() -> Result<(), Any> {
    let known: Vec<&str> = jarwright_kitchen::EQUATIONS
        .iter()
        .chain(jarwright_matter::EQUATIONS)
        .chain(jarwright_heat::EQUATIONS)
        .chain(jarwright_dose::EQUATIONS)
        .map(|e| e.key)
        .collect();
    for figure in everything()?.quantities.values() {
        if let BasisView::Computed { equation, .. } = &figure.basis {
            assert!(known.contains(equation), "{equation}");
        }
    }
    Ok(())
}

#[test]
fn the_same_order_gives_the_same_json_to_the_last_digit() -> Result<(), Any> {
    assert_eq!(
        serde_json::to_string(&plan_everything()?)?,
        serde_json::to_string(&plan_everything()?)?
    );
    Ok(())
}
