//! How an answer is spread, with what was asked of it, and what the spread comes from.

use maud::{Markup, html};

use super::{Anchor, Scale, Stroke, bold, line, on_white, path, picture, px, text, through, width_of};

/// A value on the spread worth a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The value, above 0.
    pub value: f64,
    /// What it is.
    pub words: String,
}

/// A share and its interval, each 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShareBar {
    /// The share.
    pub value: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// One cause of the spread.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseBar {
    /// What it is.
    pub words: String,
    /// Its share by itself.
    pub alone: ShareBar,
    /// Its share with all it has a part in.
    pub in_all: ShareBar,
    /// What stands behind the bar.
    pub told: String,
}

/// A spread and its causes.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// The picture in a sentence or two.
    pub desc: String,
    /// What the values are, along the foot.
    pub across: String,
    /// The values, rising, above 0.
    pub rising: Vec<f64>,
    /// What was asked: values below it are drawn dark.
    pub asked: Asked,
    /// A percentile.
    pub percentile: Asked,
    /// Title over the causes.
    pub causes_title: String,
    /// The causes, in the order they are drawn.
    pub causes: Vec<CauseBar>,
    /// Sentences under the picture.
    pub below: Vec<String>,
}

const WIDTH: f64 = 780.0;
const LEFT: f64 = 20.0;
const RIGHT: f64 = 760.0;
const TOP: f64 = 84.0;
const FLOOR: f64 = 264.0;
const BINS: usize = 48;
/// Values left out at each end, as a share.
const OUTSIDE: f64 = 0.001;
const ROW: f64 = 26.0;
const BARS_FROM: f64 = 340.0;
const BARS_TO: f64 = 610.0;
const MOST_CAUSES: usize = 40;

/// Draws a spread; nothing without two different values above 0.
#[must_use]
pub fn odds(o: &Odds) -> Option<Markup> {
    let logs: Vec<f64> = o
        .rising
        .iter()
        .filter(|v| v.is_finite() && **v > 0.0)
        .map(|v| v.log10())
        .collect();
    let out = (OUTSIDE * logs.len() as f64) as usize;
    let (least, most) = (*logs.get(out)?, *logs.get(logs.len().checked_sub(1 + out)?)?);
    let lines: Vec<&Asked> = [&o.asked, &o.percentile]
        .into_iter()
        .filter(|a| a.value > 0.0)
        .collect();
    let with_lines = |end: f64, pick: fn(f64, f64) -> f64| lines.iter().map(|a| a.value.log10()).fold(end, pick);
    let (low, high) = (with_lines(least, f64::min), with_lines(most, f64::max));
    if most <= least {
        return None;
    }
    let margin = 0.03 * (high - low);
    let x = Scale::new(low - margin, high + margin, LEFT, RIGHT);
    // Bins have an edge on what was asked, so that none is half dark.
    let width = (most - least) / BINS as f64;
    let edge = o.asked.value.max(f64::MIN_POSITIVE).log10();
    let bin_of = |log: f64| ((log - edge) / width).floor();
    let mut bins: Vec<(f64, usize)> = Vec::new();
    for bin in logs
        .iter()
        .filter(|log| (least..=most).contains(*log))
        .map(|log| bin_of(*log))
    {
        match bins.last_mut() {
            Some((last, count)) if (*last - bin).abs() < 0.5 => *count += 1,
            _ => bins.push((bin, 1)),
        }
    }
    let tallest = bins.iter().map(|(_, count)| *count).max()? as f64;
    let y = Scale::new(0.0, tallest, FLOOR, TOP);
    let marks = marks(low - margin, high + margin);
    let mut said: Vec<(f64, f64, &str)> = lines
        .iter()
        .enumerate()
        .map(|(i, a)| (x.at(a.value.log10()), TOP - 30.0 + 18.0 * i as f64, a.words.as_str()))
        .collect();
    said.reverse();
    let causes: Vec<&CauseBar> = o.causes.iter().take(MOST_CAUSES).collect();
    let first = FLOOR + 92.0;
    let end = first + ROW * causes.len() as f64;
    let share = Scale::new(0.0, 1.0, BARS_FROM, BARS_TO);
    let inside = html! {
        (bold(LEFT, 18.0, Anchor::Start, &o.title))
        @for (bin, count) in &bins {
            @let from = x.at((edge + bin * width).max(low - margin));
            @let to = x.at((edge + (bin + 1.0) * width).min(high + margin));
            @let (class, fill) = if *bin < -0.5 { ("ink-dark", "#444") } else { ("ink-pale", "#ddd") };
            rect x=(px(from)) y=(px(y.at(*count as f64))) width=(px(to - from))
                height=(px(FLOOR - y.at(*count as f64))) class=(class) fill=(fill) stroke="#000" stroke-width="0.6" {}
        }
        (line(LEFT, FLOOR, RIGHT, FLOOR, Stroke::Fine))
        @for mark in &marks {
            @let at = x.at(mark.log10());
            (line(at, FLOOR, at, FLOOR + 4.0, Stroke::Fine))
            (text(at, FLOOR + 17.0, Anchor::Middle, &format!("{mark}")))
        }
        (text(RIGHT, FLOOR + 34.0, Anchor::End, &o.across))
        @for (at, up, _) in &said { (line(*at, up - 4.0, *at, FLOOR, Stroke::Strong)) }
        @for (at, up, words) in &said {
            @if at + 8.0 + width_of(words) < WIDTH - 8.0 {
                (on_white(at + 7.0, *up, Anchor::Start, words))
            } @else {
                (on_white(at - 7.0, *up, Anchor::End, words))
            }
        }
        @if !causes.is_empty() {
            (bold(LEFT, FLOOR + 66.0, Anchor::Start, &o.causes_title))
            @for tick in [0.0, 0.25, 0.5, 0.75, 1.0] {
                (line(share.at(tick), first - 8.0, share.at(tick), end, Stroke::Hair))
                (text(share.at(tick), end + 16.0, Anchor::Middle, &format!("{:.0} %", 100.0 * tick)))
            }
        }
        @for (i, cause) in causes.iter().enumerate() {
            @let top = first + ROW * i as f64;
            (text(LEFT, top + 12.0, Anchor::Start, &cause.words))
            (bar(&share, cause.in_all.value, top, 16.0, ("ink-open", "#fff")))
            (bar(&share, cause.alone.value, top + 4.0, 8.0, ("ink-dark", "#444")))
            @let (a, b) = (within(&share, cause.in_all.low), within(&share, cause.in_all.high));
            (path(&through([(a, top + 20.0), (b, top + 20.0)].into_iter()), Stroke::Fine))
            (line(a, top + 17.0, a, top + 23.0, Stroke::Fine))
            (line(b, top + 17.0, b, top + 23.0, Stroke::Fine))
            (text(BARS_TO + 12.0, top + 12.0, Anchor::Start, &cause.told))
        }
        @for (i, sentence) in o.below.iter().enumerate() {
            (text(LEFT, end + 42.0 + 17.0 * i as f64, Anchor::Start, sentence))
        }
    };
    let height = end + 36.0 + 17.0 * o.below.len() as f64 + 8.0;
    Some(picture(&o.id, &o.title, &o.desc, WIDTH, height, &inside))
}

/// Where a share lies on the bars' scale; an interval may reach beyond it.
fn within(share: &Scale, value: f64) -> f64 {
    share.at(if value.is_finite() { value.clamp(0.0, 1.0) } else { 0.0 })
}

fn bar(share: &Scale, value: f64, top: f64, height: f64, (class, fill): (&str, &str)) -> Markup {
    let to = within(share, value);
    html! {
        rect x=(px(BARS_FROM)) y=(px(top)) width=(px(to - BARS_FROM)) height=(px(height))
            class=(class) fill=(fill) stroke="#000" stroke-width="0.8" {}
    }
}

/// Round values between two logarithms: 1, 2 and 5 of each power, or the powers alone.
fn marks(low: f64, high: f64) -> Vec<f64> {
    let digits: &[f64] = if high - low > 3.0 { &[1.0] } else { &[1.0, 2.0, 5.0] };
    let powers = Scale::new(low.floor(), high.ceil(), 0.0, 1.0).every(1.0);
    let all = powers
        .iter()
        .flat_map(|power| digits.iter().map(move |digit| (digit, power)));
    all.map(|(digit, power)| {
        // A division keeps 0.2 from being written with all its digits.
        if *power < 0.0 {
            digit / 10_f64.powf(-power)
        } else {
            digit * 10_f64.powf(*power)
        }
    })
    .filter(|mark| (low..=high).contains(&mark.log10()))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spread(rising: Vec<f64>) -> Odds {
        let asked = |value, words: &str| Asked {
            value,
            words: words.into(),
        };
        let part = |value| ShareBar {
            value,
            low: value - 0.02,
            high: value + 0.03,
        };
        Odds {
            id: "o".into(),
            title: "t".into(),
            desc: "d".into(),
            across: "times".into(),
            rising,
            asked: asked(5.0, "asked <5>"),
            percentile: asked(3.0, "5th percentile"),
            causes_title: "causes".into(),
            causes: vec![CauseBar {
                words: "start".into(),
                alone: part(-0.01),
                in_all: part(1.01),
                told: "60 %".into(),
            }],
            below: vec!["below".into()],
        }
    }

    #[test]
    fn values_below_what_was_asked_are_dark_and_words_are_escaped() {
        let drawn = |values: Vec<f64>| {
            odds(&spread(values))
                .map(maud::PreEscaped::into_string)
                .unwrap_or_default()
        };
        let both = drawn(vec![2.0, 4.0, 6.0, 9.0]);
        assert!(both.contains("#444\" stroke=\"#000\" stroke-width=\"0.6\""), "{both}");
        assert!(both.contains("asked &lt;5&gt;") && !both.contains("NaN"));
        // Nothing reaches beyond the bars' scale.
        assert!(!both.contains("width=\"-"));
        let above = drawn(vec![6.0, 7.0, 9.0]);
        assert!(!above.is_empty() && !above.contains("#444\" stroke=\"#000\" stroke-width=\"0.6\""));
    }

    #[test]
    fn no_picture_without_a_spread() {
        for values in [vec![], vec![4.0], vec![4.0, 4.0], vec![f64::NAN, -1.0, 0.0]] {
            assert!(odds(&spread(values)).is_none());
        }
    }

    #[test]
    fn marks_are_round_and_between() {
        assert_eq!(marks(-1.0, 0.8), [0.1, 0.2, 0.5, 1.0, 2.0, 5.0]);
        assert_eq!(marks(-2.0, 2.0), [0.01, 0.1, 1.0, 10.0, 100.0]);
    }
}
