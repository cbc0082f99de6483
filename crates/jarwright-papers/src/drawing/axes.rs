//! Axes all pictures share: temperature in both scales, minutes, plain counts.

use maud::{Markup, html};

use super::{Anchor, Scale, Stroke, bold, strokes, text};
use crate::words::fahrenheit;

/// Least distance between two marks of an axis.
const LEAST_GAP: f64 = 15.0;

/// Temperature up both sides: °C left with lines across, °F right, round values on each.
///
/// `y` is in °C; the units stand `lift` above the axis.
pub(super) fn temperature(y: &Scale, (left, right): (f64, f64), lift: f64) -> Markup {
    let f = Scale::new(fahrenheit(y.from), fahrenheit(y.to), y.start, y.end);
    let top = y.start.min(y.end);
    html! {
        @let (ticks, step) = y.marks(LEAST_GAP * 1.6);
        (strokes(ticks.iter().map(|tick| [left, y.at(*tick), right, y.at(*tick)]), Stroke::Hair))
        @for tick in ticks {
            (text(left - 6.0, y.at(tick) + 4.0, Anchor::End, &count(tick, step)))
        }
        @let (ticks, step) = f.marks(LEAST_GAP * 1.6);
        (strokes(ticks.iter().map(|tick| [right, f.at(*tick), right + 4.0, f.at(*tick)]), Stroke::Fine))
        @for tick in ticks {
            (text(right + 7.0, f.at(tick) + 4.0, Anchor::Start, &count(tick, step)))
        }
        (bold(left - 6.0, top - lift, Anchor::End, "°C"))
        (bold(right + 7.0, top - lift, Anchor::Start, "°F"))
    }
}

/// A plain count up the left side, with lines across.
pub(super) fn upward(y: &Scale, (left, right): (f64, f64)) -> Markup {
    let (ticks, step) = y.marks(LEAST_GAP * 1.6);
    html! {
        (strokes(ticks.iter().map(|tick| [left, y.at(*tick), right, y.at(*tick)]), Stroke::Hair))
        @for tick in ticks {
            (text(left - 6.0, y.at(tick) + 4.0, Anchor::End, &count(tick, step)))
        }
    }
}

/// Marks along a foot at multiples of `step`, with what they count at the right end.
pub(super) fn along(x: &Scale, step: f64, base: f64, words: &str) -> Markup {
    let ticks = x.every(step);
    html! {
        (strokes(ticks.iter().map(|tick| [x.at(*tick), base, x.at(*tick), base + 4.0]), Stroke::Fine))
        @for tick in ticks {
            (text(x.at(tick), base + 17.0, Anchor::Middle, &count(tick, step)))
        }
        (bold(x.start.max(x.end), base + 33.0, Anchor::End, words))
    }
}

/// Minutes between marks: as clocks have them, at least `gap` apart, `per_min` long each.
pub(super) fn minute_step(span_min: f64, most: f64) -> f64 {
    let step = [
        0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0,
    ]
    .into_iter()
    .find(|step| span_min / step <= most);
    step.unwrap_or((span_min / most / 1440.0).ceil() * 1440.0)
}

/// A multiple of `step` with no more digits than it needs: `20`, `0.05`, `4e9`.
pub(super) fn count(value: f64, step: f64) -> String {
    if !value.is_finite() {
        return "0".into();
    }
    let value = value + 0.0;
    let size = value.abs().max(step.abs());
    if size >= 1e6 || (size > 0.0 && size < 1e-4) {
        let digits = format!("{value:.1e}");
        return digits.replace(".0e", "e");
    }
    let places = (-(step.abs().log10() + 1e-9).floor()).clamp(0.0, 5.0) as usize;
    let digits = format!("{value:.places$}");
    if digits.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        return "0".into();
    }
    digits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_written_with_the_digits_of_their_step() {
        assert_eq!(count(20.0, 10.0), "20");
        assert_eq!(count(0.15, 0.05), "0.15");
        assert_eq!(count(-0.000_000_01, 0.05), "0");
        assert_eq!(count(4e9, 1e9), "4e9");
        assert_eq!(count(f64::NAN, 1.0), "0");
    }

    #[test]
    fn both_scales_have_round_values_at_the_same_heights() {
        let y = Scale::new(20.0, 100.0, 200.0, 20.0);
        let svg = temperature(&y, (40.0, 300.0), 8.0).into_string();
        for words in [">20<", ">100<", ">80<", ">200<", ">°C<", ">°F<"] {
            assert!(svg.contains(words), "{words}");
        }
        // 212 °F is 100 °C: the scale in °F ends where that in °C does.
        let f = Scale::new(fahrenheit(20.0), fahrenheit(100.0), 200.0, 20.0);
        assert!((f.at(212.0) - y.at(100.0)).abs() < 1e-9 && (f.at(140.0) - y.at(60.0)).abs() < 1e-9);
    }

    #[test]
    fn minutes_are_marked_as_clocks_have_them() {
        assert!((minute_step(85.0, 10.0) - 10.0).abs() < 1e-9);
        assert!((minute_step(100.0, 10.0) - 10.0).abs() < 1e-9);
        assert!((minute_step(130.0, 10.0) - 15.0).abs() < 1e-9);
        assert!(1e9 / minute_step(1e9, 10.0) <= 10.0);
    }
}
