//! Where a band comes from, and what a change changes: rows of bars and of pairs, each told beside it.

use maud::{Markup, html};

use super::{Anchor, Room, Scale, Stroke, axes, bold, folded, letters_in, line, on_white, picture, px, width_of};

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
    /// Rows count different things: each is drawn as a share of what it was before.
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

/// Draws two versions as pairs: an open ring before, a full one after; nothing without a known pair.
#[must_use]
pub fn changes(c: &Changes) -> Option<Markup> {
    let width = c.room.width();
    let right = width - 10.0;
    let place = |row: &Change, value: f64| match c.scale {
        ChangeScale::Shared(_) => value,
        ChangeScale::EachOwn => 100.0 * value / row.before,
    };
    let rows: Vec<(&Change, f64, f64, Vec<String>)> = c
        .rows
        .iter()
        .map(|row| (row, place(row, row.before), place(row, row.after)))
        .filter(|(_, before, after)| before.is_finite() && after.is_finite())
        .take(MOST_ROWS)
        .map(|(row, before, after)| (row, before, after, folded(&row.words, letters_in(right - LEFT))))
        .collect();
    let all = || rows.iter().flat_map(|(_, before, after, _)| [*before, *after]);
    let (low, high) = (
        all().fold(f64::INFINITY, f64::min),
        all().fold(f64::NEG_INFINITY, f64::max),
    );
    if low > high {
        return None;
    }
    let margin = (0.05 * (high - low)).max(0.01 * high.abs()).max(1e-9);
    let side = if c.room == Room::Wide { 150.0 } else { 76.0 };
    let x = Scale::new(low - margin, high + margin, LEFT + side, right - side);
    let title = folded(&c.title, letters_in(width * 0.92));
    let top = ROW * title.len() as f64 + 14.0;
    let mut next = top;
    let mut placed = Vec::new();
    let mut head = None;
    for (row, before, after, words) in &rows {
        placed.push((*row, x.at(*before), x.at(*after), words, next));
        // Over the first pair that differs stands which is which.
        let heads = head.is_none() && differ(x.at(*before), x.at(*after));
        if heads {
            head = Some(placed.len() - 1);
        }
        next += ROW * words.len() as f64 + if heads { 40.0 } else { 26.0 };
    }
    let (ticks, step) = x.marks(44.0);
    let unit = match &c.scale {
        ChangeScale::Shared(words) => words.clone(),
        ChangeScale::EachOwn => "% of what it was".into(),
    };
    let inside = html! {
        @for (i, row) in title.iter().enumerate() { (bold(4.0, ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, row)) }
        @for tick in &ticks { (line(x.at(*tick), top, x.at(*tick), next, Stroke::Hair)) }
        @for (i, (row, before, after, words, y)) in placed.iter().enumerate() {
            @for (i, row) in words.iter().enumerate() {
                (on_white(LEFT, y + ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, row))
            }
            @let at = y + ROW * words.len() as f64 + if head == Some(i) { 22.0 } else { 8.0 };
            @let (left, far) = (before.min(*after), before.max(*after));
            @let (left_words, right_words) = if after >= before { (&row.before_words, &row.after_words) } else { (&row.after_words, &row.before_words) };
            (line(*before, at, *after, at, Stroke::Strong))
            circle cx=(px(*before)) cy=(px(at)) r="5" class="ink-open" fill="#fff" stroke="#000" stroke-width="1.5" {}
            circle cx=(px(*after)) cy=(px(at)) r="5" class="ink-solid" fill="#000" stroke="#000" stroke-width="1.5" {}
            @if !differ(*before, *after) {
                (on_white(far + 10.0, at + 4.0, Anchor::Start, &fitted(&format!("{}, as before", row.after_words.trim()), right - far - 10.0)))
            } @else {
                (on_white(left - 10.0, at + 4.0, Anchor::End, &fitted(left_words, left - 10.0)))
                (on_white(far + 10.0, at + 4.0, Anchor::Start, &fitted(right_words, right - far - 10.0)))
                @if head == Some(i) {
                    (on_white(*before, at - 9.0, if after >= before { Anchor::End } else { Anchor::Start }, "before"))
                    (on_white(*after, at - 9.0, if after >= before { Anchor::Start } else { Anchor::End }, "after"))
                }
            }
        }
        (line(x.start, next, x.end, next, Stroke::Fine))
        (axes::along(&x, step, next, &unit))
    };
    let desc = if c.desc.is_empty() {
        let all: Vec<String> = rows
            .iter()
            .map(|(row, ..)| format!("{}: before {}, after {}", row.words, row.before_words, row.after_words))
            .collect();
        format!("{}.", all.join("; "))
    } else {
        c.desc.clone()
    };
    Some(picture(&c.room.id(&c.id), &c.title, &desc, width, next + 40.0, &inside))
}

/// Whether two rings stand apart at all.
fn differ(before: f64, after: f64) -> bool {
    (after - before).abs() >= 2.0
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
    fn before_and_after_are_told_apart_without_colour() {
        let svg = pair(ChangeScale::Shared("g".into()), vec![change(400.0, 380.0)]).unwrap();
        for words in [
            "sugar &lt;&amp;&gt;",
            "400 g",
            "380 g",
            "ink-open",
            "ink-solid",
            ">before<",
            ">after<",
        ] {
            assert!(svg.contains(words), "{words}");
        }
    }

    #[test]
    fn a_share_of_nothing_is_left_out_and_no_change_is_said() {
        assert!(pair(ChangeScale::EachOwn, vec![change(0.0, 5.0)]).is_none());
        assert!(pair(ChangeScale::Shared("g".into()), vec![change(f64::NAN, 5.0)]).is_none());
        let same = pair(ChangeScale::EachOwn, vec![change(5.0, 5.0)]).unwrap();
        assert!(same.contains("as before"));
        for size in [1e-12, 1e12, 1e300] {
            let svg = pair(ChangeScale::Shared("u".into()), vec![change(size, 2.0 * size)]).unwrap();
            assert!(!svg.contains("NaN"), "{size}");
        }
    }
}
