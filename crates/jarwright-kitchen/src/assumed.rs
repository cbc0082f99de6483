//! What the kitchen did not say, taken from the table of practice; never a bare number.

use jarwright_figure::{Graph, Id, Unit};
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
