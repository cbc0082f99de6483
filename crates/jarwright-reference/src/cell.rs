//! One figure in one cell of a table.

use jarwright_figure::{Cited, Mark};

/// Reads `15 seen`, `27.5[25..30] seen` or `20 memory : source_key : place`.
///
/// Source and place fall back on the row's own.
pub(crate) fn cited(text: &str, source: &str, place: &str) -> Result<Cited, String> {
    let mut parts = text.splitn(3, " : ");
    let figure = parts.next().unwrap_or_default().trim();
    let (numbers, mark) = figure.split_once(' ').ok_or_else(|| format!("{text:?} has no mark"))?;
    let mark = Mark::parse(mark).ok_or_else(|| format!("{text:?}: unknown mark"))?;
    let number = |t: &str| match t.trim().parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(format!("{text:?}: {t:?} is not a number")),
    };
    let (value, low, high) = match numbers.split_once('[') {
        None => {
            let value = number(numbers)?;
            (value, value, value)
        }
        Some((value, range)) => {
            let (low, high) = range
                .trim_end_matches(']')
                .split_once("..")
                .ok_or_else(|| format!("{text:?}: a range is low..high"))?;
            (number(value)?, number(low)?, number(high)?)
        }
    };
    if low > value || value > high {
        return Err(format!("{text:?}: {value} is not within {low} to {high}"));
    }
    Ok(Cited {
        value,
        low,
        high,
        source: parts.next().map_or(source, str::trim).to_owned(),
        place: parts.next().map_or(place, str::trim).to_owned(),
        mark,
    })
}

/// Like [`cited`]; a blank cell is unknown.
pub(crate) fn maybe(text: &str, source: &str, place: &str) -> Result<Option<Cited>, String> {
    if text.trim().is_empty() {
        Ok(None)
    } else {
        cited(text, source, place).map(Some)
    }
}

/// Reads `yes` or `no`; a blank is no.
pub(crate) fn yes(text: &str) -> Option<bool> {
    match text.trim() {
        "yes" => Some(true),
        "no" | "" => Some(false),
        _ => None,
    }
}

/// A blank as `None`.
pub(crate) fn filled(text: String) -> Option<String> {
    if text.is_empty() { None } else { Some(text) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_holds_value_range_mark_source_and_place() {
        let read = cited("27.5[25..30] seen", "row_source", "row place");
        assert!(read.is_ok_and(|c| (c.value, c.low, c.high) == (27.5, 25.0, 30.0)
            && c.mark == Mark::Seen
            && c.source == "row_source"));
        let read = cited("20 memory : other : table 1", "row_source", "row place");
        assert!(read.is_ok_and(|c| c.source == "other" && c.place == "table 1" && c.mark == Mark::Memory));
    }

    #[test]
    fn a_figure_without_a_mark_or_outside_its_own_range_is_refused() {
        assert!(cited("15", "s", "p").is_err());
        assert!(cited("15 surely", "s", "p").is_err());
        assert!(cited("15[16..18] seen", "s", "p").is_err());
        assert!(cited("NaN seen", "s", "p").is_err());
    }
}
