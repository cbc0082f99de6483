//! A mass said again in the cook's own measure: cups, spoons, pieces.
//!
//! Said only where it is within 1 % of the planned amount, and on the side the line may be off.

use jarwright_reference::{CupSystem, mass_g, volume_ml};

use crate::files::{Amount, AmountUnit};
use crate::on_scale::Side;

/// How far a measure may be off.
const CLOSE: f64 = 0.01;

/// Relative difference that is only rounding of numbers.
const EQUAL: f64 = 1e-6;

/// Measures of a kitchen, largest first: word, parts it is marked in, most of it worth counting
/// out where a larger one would do.
const MEASURES: [(&str, f64, f64); 6] = [
    ("gallon", 4.0, f64::INFINITY),
    ("quart", 4.0, 8.0),
    ("pint", 4.0, 8.0),
    ("cup", 4.0, 16.0),
    ("tbsp", 2.0, 8.0),
    ("tsp", 4.0, 6.0),
];

/// `2 1/2 cup + 2 tbsp`, `about 12 1/4 large`; nothing for what is weighed anyway, and nothing
/// where no mix of up to three measures comes within 1 %.
pub(crate) fn kitchen_measure(amount: &Amount, system: CupSystem, side: Side) -> String {
    let word = amount.unit.word();
    if let AmountUnit::Piece(_) = amount.unit {
        return pieces(amount.quantity, word, side);
    }
    if mass_g(word).is_some() || matches!(word, "ml" | "l") {
        return String::new();
    }
    let Some(one_ml) = volume_ml(word, system) else {
        return String::new();
    };
    let from = MEASURES.iter().position(|(known, ..)| *known == word);
    // A spoon may be said in cups, but a cup is not said in quarts; an ounce is said by itself.
    let measures: Vec<Measure> = match (from, word) {
        (Some(_), "tbsp" | "tsp") => measures(3, system),
        (Some(from), _) => measures(from, system),
        (None, _) => vec![Measure {
            word,
            parts: 4.0,
            most: f64::INFINITY,
            ml: one_ml,
        }],
    };
    let want_ml = amount.quantity * one_ml;
    // Less than one of a large measure is said in the smaller ones.
    let first = measures
        .iter()
        .position(|m| matches!(m.word, "cup" | "tbsp" | "tsp") || want_ml >= m.ml)
        .unwrap_or(0);
    let measures = &measures[first..];
    (1..=3)
        .find_map(|terms| mix(want_ml, want_ml, measures, terms, side))
        .unwrap_or_default()
}

/// A measure by its size.
#[derive(Debug, Clone, Copy)]
struct Measure<'a> {
    word: &'a str,
    parts: f64,
    most: f64,
    ml: f64,
}

fn measures(from: usize, system: CupSystem) -> Vec<Measure<'static>> {
    MEASURES[from..]
        .iter()
        .enumerate()
        // Between a quart and a cup no pint is needed.
        .filter(|(at, (word, ..))| *at == 0 || *word != "pint")
        .filter_map(|(at, &(word, parts, most))| {
            let most = if at == 0 { f64::INFINITY } else { most };
            Some(Measure {
                word,
                parts,
                most,
                ml: volume_ml(word, system)?,
            })
        })
        .collect()
}

/// `left_ml` in exactly so many measures, larger first, within 1 % of `want_ml`.
fn mix(left_ml: f64, want_ml: f64, measures: &[Measure], terms: usize, side: Side) -> Option<String> {
    for (at, measure) in measures.iter().enumerate() {
        let parts = left_ml / measure.ml * measure.parts;
        if terms == 1 {
            let count = match side {
                Side::Up => (parts - EQUAL).ceil(),
                Side::Down => (parts + EQUAL).floor(),
                Side::Nearest => parts.round(),
            } / measure.parts;
            let off = (count * measure.ml - left_ml).abs() / want_ml;
            if count > 0.0 && count <= measure.most && off <= CLOSE {
                return Some(said(count, measure.word));
            }
            continue;
        }
        let count = (parts + EQUAL).floor() / measure.parts;
        let rest_ml = left_ml - count * measure.ml;
        if count > 0.0
            && count <= measure.most
            && let Some(rest) = mix(rest_ml, want_ml, &measures[at + 1..], terms - 1, side)
        {
            return Some(format!("{} + {rest}", said(count, measure.word)));
        }
    }
    None
}

/// Pieces are never of one size, so their count is never more than about right.
fn pieces(quantity: f64, word: &str, side: Side) -> String {
    let quarters = match side {
        Side::Up => (4.0 * quantity - EQUAL).ceil(),
        Side::Down => (4.0 * quantity + EQUAL).floor(),
        Side::Nearest => (4.0 * quantity).round(),
    };
    if quarters > 0.0 {
        format!("about {}", said(quarters / 4.0, word))
    } else {
        String::new()
    }
}

/// `2 1/2 cup`.
fn said(count: f64, word: &str) -> String {
    let quarters = (count * 4.0).round() as i64;
    match (
        quarters / 4,
        ["", "1/4", "1/2", "3/4"][(quarters % 4).unsigned_abs() as usize],
    ) {
        (0, rest) => format!("{rest} {word}"),
        (whole, "") => format!("{whole} {word}"),
        (whole, rest) => format!("{whole} {rest} {word}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn us(text: &str, factor: f64, side: Side) -> String {
        Amount::parse(text).map_or_else(
            |_| "?".into(),
            |a| kitchen_measure(&a.times(factor), CupSystem::Us, side),
        )
    }

    #[test]
    fn measures_are_mixed_as_cooks_mix_them() {
        assert_eq!(us("1 cup", 2.5, Side::Nearest), "2 1/2 cup");
        assert_eq!(us("1 cup", 2.625, Side::Nearest), "2 1/2 cup + 2 tbsp");
        assert_eq!(us("1 tbsp", 8.0, Side::Nearest), "1/2 cup");
        assert_eq!(us("1 tsp", 1.5, Side::Nearest), "1/2 tbsp");
        assert_eq!(us("1 quart", 2.0, Side::Nearest), "2 quart");
        assert_eq!(us("2 quart", 0.433, Side::Nearest), "3 1/4 cup + 3 1/2 tbsp");
        assert_eq!(us("300 g", 2.0, Side::Nearest), "");
        assert_eq!(us("1 tsp", 0.1, Side::Nearest), "", "no spoon says it within 1 %");
        assert_eq!(us("1 large", 12.3, Side::Nearest), "about 12 1/4 large");
        assert_eq!(us("1 large", 12.7, Side::Down), "about 12 1/2 large");
    }

    /// Reads a measure back with the table's own sizes.
    fn read_back(text: &str, system: CupSystem) -> Option<f64> {
        text.split(" + ").try_fold(0.0, |sum, term| {
            let amount = Amount::parse(term).ok()?;
            Some(sum + amount.quantity * volume_ml(amount.unit.word(), system)?)
        })
    }

    #[test]
    fn a_measure_read_back_is_within_a_hundredth_and_on_its_side() {
        for system in [
            CupSystem::Us,
            CupSystem::UsLabel,
            CupSystem::Metric,
            CupSystem::Imperial,
        ] {
            for side in [Side::Up, Side::Down, Side::Nearest] {
                let mut said_some = 0;
                for step in 1..600 {
                    let cups = 0.0137 * f64::from(step);
                    let amount = Amount {
                        quantity: cups,
                        unit: AmountUnit::Cup,
                    };
                    let text = kitchen_measure(&amount, system, side);
                    if text.is_empty() {
                        continue;
                    }
                    said_some += 1;
                    let want = cups * volume_ml("cup", system).unwrap_or(f64::NAN);
                    let off = read_back(&text, system).unwrap_or(f64::NAN) / want - 1.0;
                    assert!(off.abs() <= CLOSE + 1e-5, "{cups} cup is not {text}");
                    assert!(side != Side::Up || off > -1e-5, "{cups} cup is above {text}");
                    assert!(side != Side::Down || off < 1e-5, "{cups} cup is below {text}");
                }
                assert!(said_some > 540, "{said_some} of 599 are said");
            }
        }
    }
}
