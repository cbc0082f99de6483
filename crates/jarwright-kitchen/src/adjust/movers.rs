//! Which lines may move, and how far.

use jarwright_reference::Kind;

use super::search::Mover;
use super::{Bounds, Draft, Origin};
use crate::files::Part;
use crate::lines::Line;

/// An added line's unit of change: this share of the whole formula; of what is strong when dry less.
const ADDED_UNIT: f64 = 0.1;
const ADDED_DRY_UNIT: f64 = 0.01;

/// Most of an added line, as a share of the whole formula: as much water as there is of all the
/// rest, half of that of a juice or a fruit, a fiftieth of a dry acid or thickener
/// (common practice).
const ADDED_MOST: f64 = 0.5;
const ADDED_DRY_MOST: f64 = 0.02;

/// Which lines may move.
#[derive(Debug, Clone, Copy)]
pub(super) struct Who<'a> {
    pub(super) kept: &'a [usize],
    pub(super) only: &'a [usize],
    pub(super) take_out: &'a [usize],
}

/// The lines that may move, with their bounds.
pub(super) fn movers(draft: &Draft, lines: &[Line], from_g: &[f64], who: Who, bounds: Bounds) -> Vec<Mover> {
    let total: f64 = from_g.iter().sum();
    (0..lines.len())
        .filter(|&i| !matches!(lines[i].written.part, Some(Part::Soak | Part::Pieces)))
        .filter_map(|i| {
            let from = draft.origins[i].written();
            if draft.origins[i] == Origin::Added {
                let kind = lines[i].ingredient.kind;
                return Some(
                    Mover {
                        from_g: from_g[i],
                        ..added(i, kind, total)
                    }
                    .counted_from_here(),
                );
            }
            let among = |list: &[usize]| from.iter().any(|i| list.contains(i));
            if among(who.kept) || (!who.only.is_empty() && !among(who.only) && !among(who.take_out)) {
                return None;
            }
            let low = if among(who.take_out) { -1.0 } else { bounds.least - 1.0 };
            (from_g[i] > 0.0).then_some(Mover {
                line: i,
                from_g: from_g[i],
                unit_g: from_g[i],
                low,
                high: bounds.most - 1.0,
            })
        })
        .collect()
}

/// A line that was not there, with bounds by what the trade adds.
pub(super) fn added(line: usize, kind: Kind, total_g: f64) -> Mover {
    let (unit, most) = match kind {
        Kind::Water => (ADDED_UNIT, 1.0),
        Kind::Acid | Kind::Salt | Kind::Spice | Kind::Pectin | Kind::Starch | Kind::Gelatin => {
            (ADDED_DRY_UNIT, ADDED_DRY_MOST)
        }
        _ => (ADDED_UNIT, ADDED_MOST),
    };
    Mover {
        line,
        from_g: 0.0,
        unit_g: unit * total_g,
        low: 0.0,
        high: most / unit,
    }
}
