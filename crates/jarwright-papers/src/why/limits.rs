//! How a figure stands to a limit.

use jarwright_figure::{BandKind, Bound, Figure, Unit};

use super::Step;
use crate::words;

/// Each limit of a figure and each figure of a limit: the other one of the two, the words before
/// it, and how they stand.
pub(super) fn held<'a>(step: &'a Step<'a>) -> impl Iterator<Item = (&'a Figure, String, String)> {
    let limits = step.limits.iter().map(|limit| {
        let stands = standing(step.figure, limit.bound, limit.figure);
        (limit.figure, format!("held against, {}", limit.bound.words()), stands)
    });
    let holds = step.holds.iter().map(|held| {
        let stands = standing(held.figure, held.bound, step.figure);
        (held.figure, format!("a limit, {}, of", held.bound.words()), stands)
    });
    limits.chain(holds)
}

/// How a figure stands to its limit, in words: by how much, and whether its band stays there.
pub(super) fn standing(figure: &Figure, bound: Bound, limit: &Figure) -> String {
    let room = |value: f64| bound.room(value, limit.value);
    let far = room(figure.low).min(room(figure.high));
    let near = room(figure.value);
    let by = |room: f64| words::value(&distance(figure, room));
    if !near.is_finite() || !far.is_finite() {
        "how it stands to it is not known".into()
    } else if near < 0.0 {
        format!("outside it by {}", by(-near))
    } else if figure.band == BandKind::Exact || far >= near {
        format!("inside it by {}", by(near))
    } else if far < 0.0 {
        format!("inside it by {}, but its band reaches {} past it", by(near), by(-far))
    } else {
        format!(
            "inside it by {}, and by {} at the far end of its band",
            by(near),
            by(far)
        )
    }
}

/// A difference of two figures as a figure, with the first one's digits.
fn distance(figure: &Figure, value: f64) -> Figure {
    let half = (figure.high - figure.low) / 2.0;
    Figure {
        value,
        low: value - half,
        high: value + half,
        unit: match figure.unit {
            Unit::Celsius => Unit::Kelvin,
            other => other,
        },
        ..figure.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarwright_figure::BasisView;

    fn figure(value: f64, low: f64, high: f64, unit: Unit) -> Figure {
        Figure {
            id: "q1".into(),
            name: "a figure".into(),
            value,
            unit,
            low,
            high,
            band: if low < high { BandKind::P5P95 } else { BandKind::Exact },
            basis: BasisView::Entered { by: "test".into() },
            causes: Vec::new(),
            limits: Vec::new(),
        }
    }

    #[test]
    fn a_figure_is_told_inside_near_or_outside_its_limit() {
        let limit = figure(4.6, 4.6, 4.6, Unit::Ph);
        let told = |value, low, high| standing(&figure(value, low, high, Unit::Ph), Bound::AtMost, &limit);
        assert_eq!(
            told(3.9, 3.7, 4.1),
            "inside it by 0.70, and by 0.50 at the far end of its band"
        );
        assert_eq!(
            told(4.5, 4.3, 4.7),
            "inside it by 0.10, but its band reaches 0.10 past it"
        );
        assert_eq!(told(4.8, 4.7, 4.9), "outside it by 0.20");
        assert_eq!(told(f64::NAN, 4.7, 4.9), "how it stands to it is not known");
    }

    #[test]
    fn a_distance_of_temperatures_is_no_temperature() {
        let limit = figure(70.0, 70.0, 70.0, Unit::Celsius);
        let held = figure(77.0, 77.0, 77.0, Unit::Celsius);
        // 7 K are 12.6 °F, not 44.6 °F.
        let told = standing(&held, Bound::AtLeast, &limit);
        assert!(told.contains("7 K") && told.contains("13 °F"), "{told}");
    }
}
