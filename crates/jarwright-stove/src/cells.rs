//! A record into cells.

use std::borrow::Cow;
use std::ops::Range;

/// What stands between cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delimiter {
    /// One byte: comma, semicolon, tab, bar.
    Byte(u8),
    /// One or more spaces.
    Spaces,
}

impl Delimiter {
    /// The byte inside whose quotes line ends are data; none for spaces.
    #[must_use]
    pub const fn quoting(self) -> Option<u8> {
        match self {
            Self::Byte(byte) => Some(byte),
            Self::Spaces => None,
        }
    }

    /// What it is called.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Byte(b',') => "commas",
            Self::Byte(b';') => "semicolons",
            Self::Byte(b'\t') => "tabs",
            Self::Byte(_) => "bars",
            Self::Spaces => "spaces",
        }
    }

    /// Places of the cells of a record, without surrounding spaces and quotation marks.
    ///
    /// A doubled quotation mark inside quotes stays doubled; see [`text`].
    pub fn split(self, record: &[u8], cells: &mut Vec<Range<usize>>) {
        cells.clear();
        match self {
            Self::Spaces => {
                let mut from = None;
                for (i, &byte) in record.iter().enumerate() {
                    match (byte == b' ' || byte == b'\t', from) {
                        (false, None) => from = Some(i),
                        (true, Some(start)) => {
                            cells.push(start..i);
                            from = None;
                        }
                        _ => {}
                    }
                }
                if let Some(start) = from {
                    cells.push(start..record.len());
                }
            }
            Self::Byte(delimiter) if !record.contains(&b'"') => {
                let mut from = 0;
                for (i, &byte) in record.iter().enumerate() {
                    if byte == delimiter {
                        cells.push(trimmed(record, from..i));
                        from = i + 1;
                    }
                }
                cells.push(trimmed(record, from..record.len()));
            }
            Self::Byte(delimiter) => split_quoted(record, delimiter, cells),
        }
    }
}

fn split_quoted(record: &[u8], delimiter: u8, cells: &mut Vec<Range<usize>>) {
    let mut i = 0;
    loop {
        let mut start = i;
        while record.get(start) == Some(&b' ') && delimiter != b' ' {
            start += 1;
        }
        if record.get(start) == Some(&b'"') {
            let from = start + 1;
            let mut to = from;
            while to < record.len() {
                if record[to] == b'"' {
                    if record.get(to + 1) == Some(&b'"') {
                        to += 1;
                    } else {
                        break;
                    }
                }
                to += 1;
            }
            cells.push(from..to.min(record.len()));
            i = to.min(record.len());
            while i < record.len() && record[i] != delimiter {
                i += 1;
            }
        } else {
            let to = record[i..]
                .iter()
                .position(|&b| b == delimiter)
                .map_or(record.len(), |n| i + n);
            cells.push(trimmed(record, i..to));
            i = to;
        }
        if i >= record.len() {
            return;
        }
        i += 1;
    }
}

/// A place without spaces at its ends. A quoted cell keeps its own.
fn trimmed(record: &[u8], mut place: Range<usize>) -> Range<usize> {
    let space = |b: u8| matches!(b, b' ' | b'\t' | b'\r' | 0x1A);
    while place.start < place.end && space(record[place.start]) {
        place.start += 1;
    }
    while place.start < place.end && space(record[place.end - 1]) {
        place.end -= 1;
    }
    place
}

/// A cell's text: UTF-8, else Latin-1; doubled quotation marks made single.
#[must_use]
pub fn text(cell: &[u8]) -> String {
    let text: Cow<'_, str> = match std::str::from_utf8(cell) {
        Ok(text) => text.into(),
        Err(_) => encoding_rs::mem::decode_latin1(cell),
    };
    text.replace("\"\"", "\"")
}

/// The cells of the whole of a text, record by record, as RFC 4180 has them.
///
/// # Errors
/// [`crate::ReadError`] for bytes that are no text, a line too long, a quotation mark left open.
///
/// # Source
/// `rfc_4180`.
///
/// ```
/// let cells = jarwright_stove::cells(b"\"a,b\",c\r\n", b',').unwrap_or_default();
/// assert_eq!(cells, [["a,b", "c"]]);
/// assert!(jarwright_stove::cells(b"\"a,b\r\n", b',').is_err());
/// ```
pub fn cells(bytes: &[u8], delimiter: u8) -> Result<Vec<Vec<String>>, crate::ReadError> {
    let mut records = crate::lines::Script::of(bytes)?.records(Box::new(bytes))?;
    let mut places = Vec::new();
    let mut out = Vec::new();
    while let Some(record) = records.next(Some(delimiter))? {
        Delimiter::Byte(delimiter).split(record, &mut places);
        out.push(places.iter().map(|place| text(&record[place.clone()])).collect());
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(delimiter: Delimiter, record: &str) -> Vec<String> {
        let mut places = Vec::new();
        delimiter.split(record.as_bytes(), &mut places);
        places.into_iter().map(|p| text(&record.as_bytes()[p])).collect()
    }

    #[test]
    fn cells_are_told_apart_by_each_delimiter() {
        let wanted = ["1", "85.5", "", "OL"];
        for (delimiter, record) in [
            (b',', "1, 85.5,,OL"),
            (b';', "1;85.5 ; ;OL"),
            (b'\t', "1\t85.5\t\tOL"),
            (b'|', "1|85.5||OL"),
            (b',', "\"1\",85.5,\"\",\"OL\""),
        ] {
            assert_eq!(split(Delimiter::Byte(delimiter), record), wanted, "{record}");
        }
        assert_eq!(split(Delimiter::Spaces, "  1   85.5 OL "), ["1", "85.5", "OL"]);
    }

    #[test]
    fn a_mark_of_inches_in_a_name_is_no_quotation() {
        assert_eq!(
            split(Delimiter::Byte(b','), "probe 3\" deep,b"),
            ["probe 3\" deep", "b"]
        );
    }
}
