//! What the kitchen did not say, taken from the table of practice; never a bare number.

use jarwright_figure::{Basis, Graph, Id, Leaf, Spread, Unit};
use jarwright_reference as reference;

use crate::PlanError;

/// A row of the practice table as a leaf of the graph; its range becomes the spread.
pub(crate) fn practice(graph: &mut Graph, key: &'static str, unit: Unit) -> Result<Id, PlanError> {
    let row = reference::practice(key).ok_or_else(|| PlanError::Physics {
        what: format!("practice row \"{key}\""),
        cause: "missing from the program's own table".into(),
    })?;
    Ok(graph.published(&format!("practice:{key}"), &row.name, unit, &row.value))
}

/// The kitchen's own value where it is entered, else the table of practice.
pub(crate) fn entered_or(
    graph: &mut Graph,
    key: &'static str,
    unit: Unit,
    own: Option<f64>,
    by: &str,
) -> Result<Id, PlanError> {
    match own {
        Some(value) => {
            let name = reference::practice(key).map_or(key, |row| row.name.as_str());
            Ok(graph.entered(&format!("own:{key}"), name, unit, value, by))
        }
        None => practice(graph, key, unit),
    }
}

/// A reading of an instrument whose half width is known.
pub(crate) fn reading(graph: &mut Graph, key: &str, name: &str, unit: Unit, value: f64, half_width: f64, by: &str) -> Id {
    graph.leaf(Leaf {
        key: key.into(),
        name: name.into(),
        unit,
        value,
        spread: if half_width > 0.0 { Spread::Instrument { half_width } } else { Spread::Exact },
        basis: Basis::Measured { instrument: by.into(), by: "at the stove".into() },
    })
}
