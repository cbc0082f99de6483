//! Where a band comes from, and what a change changes: rows of bars, each told beside it.

use maud::{Markup, html};

use super::{
    Anchor, Room, Scale, Stroke, axes, bold, figure, folded, letters_in, line, on_white, picture, px, strokes, text,
    width_of,
};

/// One cause.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseRow {
    /// What it is.
    pub words: String,
    /// Its share, 0 to 1.
    pub share: f64,
    /// What stands behind the bar; empty for the share in per cent.
    pub told: String,
}

/// What a band comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Causes {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// What the picture shows, in words; empty for words made from the rows.
    pub desc: String,
    /// How much room there is.
    pub room: Room,
    /// The causes, in the order they are drawn.
    pub rows: Vec<CauseRow>,
}

/// One quantity in two versions.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What it is.
    pub words: String,
    /// Its value before.
    pub before: f64,
    /// Its value after.
    pub after: f64,
    /// The value before with its unit, in both scales where it is a temperature.
    pub before_words: String,
    /// The value after.
    pub after_words: String,
}

/// What the rows of a difference are measured on.
#[derive(Debug, Clone, PartialEq)]
pub enum ChangeScale {
    /// All rows count the same, with its unit.
    Shared(String),
    /// Rows count different things: each change is drawn in per cent of what it was.
    EachOwn,
}

/// Two versions, quantity by quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Changes {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// What the picture shows, in words; empty for words made from the rows.
    pub desc: String,
    /// How much room there is.
    pub room: Room,
    /// What the rows are measured on.
    pub scale: ChangeScale,
    /// The quantities, in the order they are drawn.
    pub rows: Vec<Change>,
}

const MOST_ROWS: usize = 40;
const ROW: f64 = 16.0;
const LEFT: f64 = 10.0;

/// Draws causes as bars, each under its name; nothing without a finite share.
#[must_use]
pub fn causes(c: &Causes) -> Option<Markup> {
    let width = c.room.width();
    let right = width - 10.0;
    let rows: Vec<(&CauseRow, Vec<String>, String)> = c
        .rows
        .iter()
        .filter(|row| row.share.is_finite())
        .take(MOST_ROWS)
        .map(|row| (row, folded(&row.words, letters_in(right - LEFT)), told(row)))
        .collect();
    let most = rows.iter().map(|(row, ..)| row.share).fold(0.0, f64::max).min(1.0);
    if rows.is_empty() {
        return None;
    }
    // Words behind the longest bar need room.
    let widest = rows.iter().map(|(_, _, told)| width_of(told)).fold(0.0, f64::max);
    let bars_to = (right - widest.min(0.5 * width) - 10.0).max(LEFT + 60.0);
    let x = Scale::new(0.0, if most > 0.0 { round_up(most) } else { 1.0 }, LEFT, bars_to);
    let title = folded(&c.title, letters_in(width * 0.92));
    let top = ROW * title.len() as f64 + 14.0;
    let mut next = top;
    let mut placed = Vec::new();
    for (row, words, told) in &rows {
        placed.push((row, words, told, next));
        next += ROW * words.len() as f64 + 22.0;
    }
    let (ticks, step) = x.marks(44.0);
    let percent = Scale::new(0.0, 100.0 * x.to, LEFT, bars_to);
    let inside = html! {
        @for (i, row) in title.iter().enumerate() { (bold(4.0, ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, row)) }
        @for tick in &ticks { (line(x.at(*tick), top, x.at(*tick), next, Stroke::Hair)) }
        @for (row, words, told, y) in &placed {
            @for (i, row) in words.iter().enumerate() {
                (on_white(LEFT + 4.0, y + ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, row))
            }
            @let bar = y + ROW * words.len() as f64 + 2.0;
            @let to = x.at(row.share.clamp(0.0, 1.0));
            rect x=(px(LEFT)) y=(px(bar)) width=(px((to - LEFT).max(0.0))) height="12" class="ink-dark" fill="#444" stroke="#000" stroke-width="0.8" {}
            (on_white(to + 6.0, bar + 10.5, Anchor::Start, &fitted(told, right - to - 6.0)))
        }
        (line(LEFT, top, LEFT, next, Stroke::Fine))
        (line(LEFT, next, bars_to, next, Stroke::Fine))
        (axes::along(&percent, 100.0 * step, next, "% of the spread"))
    };
    let desc = if c.desc.is_empty() {
        let all: Vec<String> = rows
            .iter()
            .map(|(row, _, told)| format!("{}: {told}", row.words))
            .collect();
        format!("{}.", all.join("; "))
    } else {
        c.desc.clone()
    };
    Some(picture(&c.room.id(&c.id), &c.title, &desc, width, next + 40.0, &inside))
}

fn told(row: &CauseRow) -> String {
    if !row.told.is_empty() {
        return row.told.clone();
    }
    match 100.0 * row.share {
        share if share > 0.0 && share < 1.0 => "under 1 %".into(),
        share => format!("{share:.0} %"),
    }
}

/// The next share with one digit: bars reach near the end of their scale.
fn round_up(share: f64) -> f64 {
    let power = 10_f64.powf(share.log10().floor());
    let step = power / 2.0;
    ((share / step - 1e-9).ceil() * step).min(1.0)
}

fn fitted(words: &str, length: f64) -> String {
    let letters = letters_in(length);
    if words.chars().count() <= letters {
        words.to_owned()
    } else {
        words.chars().take(letters - 1).chain(['…']).collect()
    }
}

/// One quantity that differs: by how much, and what it was and is.
struct Differing {
    by: f64,
    words: Vec<String>,
    told: String,
}

/// Draws what differs between two versions as bars from no change: less to the left, more to the right.
///
/// What does not differ is said in a line beneath, and so is what has no share because it was
/// nothing. Nothing is drawn without a known pair.
#[must_use]
pub fn changes(c: &Changes) -> Option<Markup> {
    let width = c.room.width();
    let right = width - LEFT;
    let known: Vec<&Change> = c
        .rows
        .iter()
        .filter(|row| row.before.is_finite() && row.after.is_finite())
        .take(MOST_ROWS)
        .collect();
    if known.is_empty() {
        return None;
    }
    let pair = |row: &Change| {
        format!(
            "{}: {}, now {}",
            row.words,
            row.before_words.trim(),
            row.after_words.trim()
        )
    };
    let shown = known.iter().filter_map(|row| {
        let by = change(row, &c.scale).filter(|by| *by != 0.0)?;
        let words = folded(&pair(row), letters_in(right - LEFT));
        Some(Differing {
            by,
            words,
            told: signed(by, &c.scale),
        })
    });
    let shown: Vec<Differing> = shown.collect();
    let beneath = beneath(&known, &c.scale);
    let beneath: Vec<String> = beneath
        .iter()
        .flat_map(|s| folded(s, letters_in(right - LEFT)))
        .collect();

    let side = shown
        .iter()
        .map(|row| width_of(&row.told) + 10.0)
        .fold(0.0, f64::max)
        .min(0.3 * width);
    let low = shown.iter().map(|row| row.by).fold(0.0, f64::min);
    let high = shown.iter().map(|row| row.by).fold(0.0, f64::max);
    let from = if low < 0.0 { LEFT + side } else { LEFT };
    let to = if high > 0.0 { right - side } else { right };
    let x = Scale::new(low, high, from, to);
    let title = folded(&c.title, letters_in(width * 0.92));
    let top = ROW * title.len() as f64 + 14.0;
    let mut next = top;
    let mut placed = Vec::new();
    for row in &shown {
        placed.push((row, next));
        next += ROW * row.words.len() as f64 + 24.0;
    }
    let (ticks, step) = x.marks(44.0);
    let foot = if shown.is_empty() { next } else { next + 44.0 };
    let unit = match &c.scale {
        ChangeScale::Shared(unit) => format!("change, {unit}"),
        ChangeScale::EachOwn => "change, % of what it was".into(),
    };
    let inside = html! {
        @for (i, row) in title.iter().enumerate() { (bold(4.0, ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, row)) }
        @if !shown.is_empty() {
            (strokes(ticks.iter().map(|tick| [x.at(*tick), top, x.at(*tick), next]), Stroke::Hair))
            (line(x.at(0.0), top, x.at(0.0), next, Stroke::Fine))
        }
        @for (row, y) in &placed {
            @let bar = y + ROW * row.words.len() as f64 + 3.0;
            @let (zero, end) = (x.at(0.0), x.at(row.by));
            rect x=(px(zero.min(end))) y=(px(bar)) width=(px((end - zero).abs().max(1.0))) height="12"
                class="ink-dark" fill="#444" stroke="#000" stroke-width="0.8" {}
            @for (i, words) in row.words.iter().enumerate() {
                (on_white(LEFT, y + ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, words))
            }
            @if row.by > 0.0 {
                (on_white(end + 6.0, bar + 10.5, Anchor::Start, &row.told))
            } @else {
                (on_white(end - 6.0, bar + 10.5, Anchor::End, &row.told))
            }
        }
        @if !shown.is_empty() {
            (line(x.start, next, x.end, next, Stroke::Fine))
            (axes::along(&x, step, next, &unit))
        }
        @for (i, words) in beneath.iter().enumerate() {
            (text(LEFT, foot + ROW * (i as f64 + 1.0), Anchor::Start, words))
        }
    };
    let height = foot + ROW * beneath.len() as f64 + 10.0;
    let desc = if c.desc.is_empty() {
        let all: Vec<String> = known.iter().map(|row| pair(row)).collect();
        format!("{}.", all.join("; "))
    } else {
        c.desc.clone()
    };
    Some(picture(&c.room.id(&c.id), &c.title, &desc, width, height, &inside))
}

/// By how much a quantity changed: in the shared unit, or in per cent of what it was.
fn change(row: &Change, scale: &ChangeScale) -> Option<f64> {
    let by = row.after - row.before;
    let by = match scale {
        _ if by == 0.0 => 0.0,
        ChangeScale::Shared(_) => by,
        ChangeScale::EachOwn => 100.0 * by / row.before.abs(),
    };
    by.is_finite().then_some(by)
}

/// A change with its sign: `+12 %`, `−280 g`.
fn signed(by: f64, scale: &ChangeScale) -> String {
    let sign = if by < 0.0 { '\u{2212}' } else { '+' };
    match scale {
        ChangeScale::Shared(unit) => format!("{sign}{} {unit}", figure(by.abs())),
        ChangeScale::EachOwn if by.abs() < 0.1 => format!("{sign}under 0.1 %"),
        ChangeScale::EachOwn if by.abs() < 9.95 => format!("{sign}{:.1} %", by.abs()),
        ChangeScale::EachOwn if by.abs() < 1e5 => format!("{sign}{:.0} %", by.abs()),
        ChangeScale::EachOwn => format!("{sign}{} %", figure(by.abs())),
    }
}

/// What no bar shows: quantities as before, and those that were nothing.
fn beneath(known: &[&Change], scale: &ChangeScale) -> Vec<String> {
    let same: Vec<String> = known
        .iter()
        .filter(|row| row.after - row.before == 0.0)
        .map(|row| format!("{} {}", row.words, row.after_words.trim()))
        .collect();
    let new = known.iter().filter(|row| change(row, scale).is_none());
    let mut said: Vec<String> = new
        .map(|row| {
            format!(
                "{}: {}, now {}.",
                row.words,
                row.before_words.trim(),
                row.after_words.trim()
            )
        })
        .collect();
    if !same.is_empty() {
        said.push(format!("As before: {}.", same.join("; ")));
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cause(words: &str, share: f64) -> CauseRow {
        CauseRow {
            words: words.into(),
            share,
            told: String::new(),
        }
    }

    fn three(rows: Vec<CauseRow>) -> Option<String> {
        let all = Causes {
            id: "c".into(),
            title: "t".into(),
            desc: String::new(),
            room: Room::Narrow,
            rows,
        };
        causes(&all).map(maud::PreEscaped::into_string)
    }

    fn change(before: f64, after: f64) -> Change {
        Change {
            words: "sugar <&>".into(),
            before,
            after,
            before_words: format!("{before} g"),
            after_words: format!("{after} g"),
        }
    }

    fn pair(scale: ChangeScale, rows: Vec<Change>) -> Option<String> {
        let all = Changes {
            id: "c".into(),
            title: "t".into(),
            desc: String::new(),
            room: Room::Narrow,
            scale,
            rows,
        };
        changes(&all).map(maud::PreEscaped::into_string)
    }

    #[test]
    fn each_cause_is_told_in_the_picture_and_in_its_words() {
        let svg = three(vec![cause("fill <temperature>", 0.62), cause("glass", 0.004)]).unwrap();
        assert!(svg.contains("fill &lt;temperature&gt;") && svg.contains("62 %") && svg.contains("under 1 %"));
        assert!(svg.contains("fill &lt;temperature&gt;: 62 %; glass: under 1 %."));
    }

    #[test]
    fn shares_that_are_none_do_not_break_a_picture() {
        assert!(three(vec![]).is_none() && three(vec![cause("a", f64::NAN)]).is_none());
        for share in [0.0, -3.0, 1e-9, 7.0, 1e300] {
            let svg = three(vec![cause(&"word ".repeat(60), share)]).unwrap();
            assert!(
                !svg.contains("NaN") && !svg.contains("inf") && !svg.contains("=\"-"),
                "{share}: {svg}"
            );
        }
    }

    #[test]
    fn each_difference_has_its_bar_its_pair_and_its_sign() {
        let svg = pair(
            ChangeScale::Shared("g".into()),
            vec![change(400.0, 380.0), change(10.0, 15.0)],
        )
        .unwrap();
        for words in [
            "sugar &lt;&amp;&gt;: 400 g, now 380 g",
            ">\u{2212}20 g<",
            ">+5 g<",
            ">change, g<",
            "sugar &lt;&amp;&gt;: 10 g, now 15 g.",
        ] {
            assert!(svg.contains(words), "{words}");
        }
        assert_eq!(svg.matches("ink-dark").count(), 2);
    }

    #[test]
    fn shares_are_of_what_it_was() {
        let svg = pair(ChangeScale::EachOwn, vec![change(400.0, 300.0), change(-20.0, -10.0)]).unwrap();
        assert!(svg.contains(">\u{2212}25 %<") && svg.contains(">+50 %<"));
    }

    #[test]
    fn what_has_no_bar_is_said() {
        let svg = pair(ChangeScale::EachOwn, vec![change(0.0, 5.0), change(7.0, 7.0)]).unwrap();
        assert!(svg.contains("0 g, now 5 g.") && svg.contains("As before: sugar &lt;&amp;&gt; 7 g."));
        assert!(!svg.contains("ink-dark") && !svg.contains("NaN") && !svg.contains("inf"));
        assert!(pair(ChangeScale::Shared("g".into()), vec![change(f64::NAN, 5.0)]).is_none());
        assert!(pair(ChangeScale::EachOwn, vec![]).is_none());
    }

    #[test]
    fn differences_of_any_size_have_a_picture() {
        for size in [1e-300, 1e-12, 1e12, 1e300, 1.7e308] {
            for scale in [ChangeScale::Shared("u".into()), ChangeScale::EachOwn] {
                let rows = vec![change(size, 1.05 * size), change(-size, size), change(1.0, size)];
                let svg = pair(scale, rows).unwrap();
                assert!(
                    !svg.contains("NaN") && !svg.contains("=\"inf") && !svg.contains("=\"-"),
                    "{size}: {svg}"
                );
            }
        }
    }
}
