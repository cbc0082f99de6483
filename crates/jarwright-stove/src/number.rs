//! A cell into a number, with the unit it may carry.

/// What stands before the decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalMark {
    /// 85.3
    Point,
    /// 85,3
    Comma,
}

/// Unit of a temperature, as a log writes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Degrees {
    /// Degree Celsius.
    Celsius,
    /// Degree Fahrenheit.
    Fahrenheit,
    /// Kelvin.
    Kelvin,
}

impl Degrees {
    /// A reading in °C.
    #[must_use]
    pub fn to_c(self, reading: f64) -> f64 {
        match self {
            Self::Celsius => reading,
            Self::Fahrenheit => (reading - 32.0) / 1.8,
            Self::Kelvin => reading - 273.15,
        }
    }

    /// A temperature difference in K.
    #[must_use]
    pub fn to_k(self, difference: f64) -> f64 {
        match self {
            Self::Celsius | Self::Kelvin => difference,
            Self::Fahrenheit => difference / 1.8,
        }
    }

    /// Symbol.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
            Self::Kelvin => "K",
        }
    }

    /// The unit that a short text is, such as `°C`, `deg F` or `[C]`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let bare: String = text
            .to_lowercase()
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '(' | ')' | '[' | ']' | '.' | '°' | 'º' | '˚' | '_'))
            .collect();
        match bare.as_str() {
            "c" | "degc" | "degreesc" | "degreec" | "celsius" | "degcelsius" | "degreescelsius" | "℃" | "cel" => {
                Some(Self::Celsius)
            }
            "f" | "degf" | "degreesf" | "degreef" | "fahrenheit" | "degreesfahrenheit" | "℉" | "fah" => {
                Some(Self::Fahrenheit)
            }
            "k" | "kelvin" => Some(Self::Kelvin),
            _ => None,
        }
    }
}

/// Powers of ten that a double holds exactly.
const POWERS: [f64; 20] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
];

/// A plain number, rounded as the language's own parser rounds; `None` for anything else.
#[must_use]
pub fn plain(cell: &[u8], mark: DecimalMark) -> Option<f64> {
    let mark = match mark {
        DecimalMark::Point => b'.',
        DecimalMark::Comma => b',',
    };
    let (negative, digits) = match cell {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        _ => (false, cell),
    };
    let mut mantissa = 0_u64;
    let mut many = 0_usize;
    let mut after = None;
    for &byte in digits {
        if byte.is_ascii_digit() {
            many += 1;
            if many > 15 {
                return by_library(cell, mark);
            }
            mantissa = mantissa * 10 + u64::from(byte - b'0');
            if let Some(after) = &mut after {
                *after += 1_usize;
            }
        } else if byte == mark && after.is_none() {
            after = Some(0);
        } else {
            return if matches!(byte, b'e' | b'E') && many > 0 {
                by_library(cell, mark)
            } else {
                None
            };
        }
    }
    if many == 0 {
        return None;
    }
    // Both are exact, so one division rounds once.
    let value = mantissa as f64 / POWERS[after.unwrap_or(0)];
    Some(if negative { -value } else { value })
}

fn by_library(cell: &[u8], mark: u8) -> Option<f64> {
    let text = std::str::from_utf8(cell).ok()?;
    let numeric = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | 'e' | 'E');
    if !text.chars().all(numeric) || (mark == b',' && text.contains('.')) {
        return None;
    }
    let text = if mark == b',' {
        text.replacen(',', ".", 1)
    } else {
        text.to_owned()
    };
    text.parse::<f64>().ok().filter(|value| value.is_finite())
}

/// A number with what people and loggers add to it: a unit, thousands apart, a minus sign of print.
#[must_use]
pub fn dressed(cell: &[u8], mark: DecimalMark) -> Option<(f64, Option<Degrees>)> {
    let text = crate::cells::text(cell);
    let text = text.trim().replace(['\u{2212}', '\u{2013}'], "-");
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | ' ' | '\u{a0}' | '\'')))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let unit = match unit.trim() {
        "" => None,
        unit => Some(Degrees::parse(unit)?),
    };
    let group = match mark {
        DecimalMark::Point => ',',
        DecimalMark::Comma => '.',
    };
    let number = number.trim();
    let grouped = number.contains([group, ' ', '\u{a0}', '\'']);
    if grouped && !well_grouped(number, group) {
        return None;
    }
    let bare: String = number
        .chars()
        .filter(|&c| c != group && !matches!(c, ' ' | '\u{a0}' | '\''))
        .collect();
    plain(bare.as_bytes(), mark).map(|value| (value, unit))
}

/// Whether groups of a number are of three digits, all after the first.
fn well_grouped(number: &str, group: char) -> bool {
    let mark = if group == ',' { '.' } else { ',' };
    let whole = number.split(mark).next().unwrap_or_default();
    let mut groups = whole.split([group, ' ', '\u{a0}', '\'']);
    let first = groups.next().unwrap_or_default().trim_start_matches(['-', '+']);
    let decimals = number.split_once(mark).map_or("", |(_, after)| after);
    (1..=3).contains(&first.len()) && groups.all(|g| g.len() == 3) && !decimals.contains([group, ' ', '\u{a0}', '\''])
}

/// What a cell tells about the file's decimal mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkProof {
    /// Nothing: no comma and no point, or no number.
    None,
    /// The decimal mark is a point.
    Point,
    /// The decimal mark is a comma.
    Comma,
    /// A comma with three digits after it: 85.312 or 85 312.
    Either,
}

/// What one cell proves of the decimal mark.
#[must_use]
pub fn proof(cell: &[u8]) -> MarkProof {
    let digits = cell.iter().filter(|b| b.is_ascii_digit()).count();
    let only = cell
        .iter()
        .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b',' | b'-' | b'+'));
    if digits == 0 || !only {
        return MarkProof::None;
    }
    let last = |byte: u8| cell.iter().rposition(|&b| b == byte);
    let count = |byte: u8| cell.iter().filter(|&&b| b == byte).count();
    match (last(b'.'), last(b',')) {
        (None, None) => MarkProof::None,
        (Some(point), Some(comma)) if point > comma => MarkProof::Point,
        (Some(_), Some(_)) => MarkProof::Comma,
        (Some(_), None) if count(b'.') == 1 => MarkProof::Point,
        (Some(_), None) => MarkProof::None,
        (None, Some(_)) if count(b',') > 1 => MarkProof::Point,
        (None, Some(comma)) => {
            let before = cell[..comma].iter().filter(|b| b.is_ascii_digit()).count();
            let zero = cell[..comma].iter().find(|b| b.is_ascii_digit()) == Some(&b'0');
            let after = cell.len() - comma - 1;
            if after == 3 && (1..=3).contains(&before) && !zero {
                MarkProof::Either
            } else {
                MarkProof::Comma
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_plain_number_is_the_one_the_library_reads(value in -1e6_f64..1e6, places in 0_usize..9) {
            let text = format!("{value:.places$}");
            let wanted: f64 = text.parse().unwrap_or(f64::NAN);
            let point = plain(text.as_bytes(), DecimalMark::Point);
            let comma = plain(text.replace('.', ",").as_bytes(), DecimalMark::Comma);
            prop_assert_eq!(point.map(f64::to_bits), Some(wanted.to_bits()));
            prop_assert_eq!(comma.map(f64::to_bits), Some(wanted.to_bits()));
        }

        #[test]
        fn nothing_panics(bytes in proptest::collection::vec(any::<u8>(), 0..24)) {
            for mark in [DecimalMark::Point, DecimalMark::Comma] {
                let _ = (plain(&bytes, mark), dressed(&bytes, mark), proof(&bytes));
            }
        }
    }

    #[test]
    fn a_number_may_carry_its_unit() {
        for (cell, mark, value, unit) in [
            ("85.3 °C", DecimalMark::Point, 85.3, Some(Degrees::Celsius)),
            ("185F", DecimalMark::Point, 185.0, Some(Degrees::Fahrenheit)),
            ("1.234,5", DecimalMark::Comma, 1234.5, None),
            ("\u{2212}4,5 deg C", DecimalMark::Comma, -4.5, Some(Degrees::Celsius)),
            ("3 600", DecimalMark::Point, 3600.0, None),
        ] {
            assert_eq!(dressed(cell.as_bytes(), mark), Some((value, unit)), "{cell}");
        }
        for cell in ["OL", "---", "", "12:30", "1,23,4", "85.3 V", "2026-03-14"] {
            assert_eq!(dressed(cell.as_bytes(), DecimalMark::Point), None, "{cell}");
        }
    }

    #[test]
    fn only_what_a_cell_proves_is_taken_from_it() {
        for (cell, proves) in [
            ("85,3", MarkProof::Comma),
            ("85.3", MarkProof::Point),
            ("85,312", MarkProof::Either),
            ("0,512", MarkProof::Comma),
            ("1.234,5", MarkProof::Comma),
            ("1,234.5", MarkProof::Point),
            ("1,234,567", MarkProof::Point),
            ("85", MarkProof::None),
            ("OL", MarkProof::None),
        ] {
            assert_eq!(proof(cell.as_bytes()), proves, "{cell}");
        }
    }
}
