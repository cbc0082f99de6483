//! Bytes into records: encoding, line ends, quotes. One record is in memory at a time.
//!
//! Read next: `cells.rs`.

use std::io::{BufRead, BufReader, Read};

use encoding_rs::{Encoding, UTF_16BE, UTF_16LE};
use encoding_rs_io::DecodeReaderBytesBuilder;

use crate::ReadError;

/// Most bytes of one record; a row of 256 cells has a tenth of it.
pub const MOST_LINE: usize = 64 * 1024;
/// Most lines one quoted record may run over.
const MOST_QUOTED_LINES: usize = 16;
/// Bytes looked at to tell text from other things.
const LOOKED_AT: usize = 4096;
const UTF_8_MARK: [u8; 3] = [0xEF, 0xBB, 0xBF];

/// How the bytes of a file are to be read, told from its beginning.
#[derive(Debug, Clone, Copy)]
pub struct Script {
    encoding: Option<&'static Encoding>,
    line_end: u8,
    /// What it is called.
    pub name: &'static str,
}

impl Script {
    /// Tells the encoding and the line ends from the first bytes.
    ///
    /// # Errors
    /// [`ReadError::Empty`], [`ReadError::Binary`].
    pub fn of(first: &[u8]) -> Result<Self, ReadError> {
        let first = &first[..first.len().min(LOOKED_AT)];
        if first.is_empty() || first == UTF_8_MARK {
            return Err(ReadError::Empty);
        }
        let zeros = |from: usize| first.iter().skip(from).step_by(2).filter(|&&b| b == 0).count();
        let half = first.len() / 2;
        let (encoding, name) = match first {
            [0xFF, 0xFE, ..] => (Some(UTF_16LE), "UTF-16"),
            [0xFE, 0xFF, ..] => (Some(UTF_16BE), "UTF-16"),
            _ if half > 2 && zeros(0) == 0 && 4 * zeros(1) > 3 * half => (Some(UTF_16LE), "UTF-16"),
            _ if half > 2 && zeros(1) == 0 && 4 * zeros(0) > 3 * half => (Some(UTF_16BE), "UTF-16"),
            _ if std::str::from_utf8(first).is_ok_and(|text| !text.is_ascii()) => (None, "UTF-8"),
            _ if first.is_ascii() => (None, "ASCII"),
            // A character cut at the end of what was looked at is no other encoding.
            _ if std::str::from_utf8(first).is_err_and(|e| e.error_len().is_none()) => (None, "UTF-8"),
            _ => (None, "Latin-1"),
        };
        let odd = |b: &&u8| **b < 0x20 && !matches!(**b, b'\t' | b'\n' | b'\r' | 0x0C | 0x1A);
        if encoding.is_none() && (first.contains(&0) || 20 * first.iter().filter(odd).count() > first.len()) {
            return Err(ReadError::Binary);
        }
        let line_end = if first.contains(&b'\n') || !first.contains(&b'\r') {
            b'\n'
        } else {
            b'\r'
        };
        Ok(Self {
            encoding,
            line_end,
            name,
        })
    }

    /// The file as UTF-8 (or Latin-1) records.
    ///
    /// # Errors
    /// [`ReadError::Io`].
    pub fn records<'a>(&self, mut bytes: Box<dyn BufRead + 'a>) -> Result<Records<'a>, ReadError> {
        let reader: Box<dyn BufRead + 'a> = match self.encoding {
            Some(encoding) => Box::new(BufReader::new(
                DecodeReaderBytesBuilder::new()
                    .encoding(Some(encoding))
                    .strip_bom(true)
                    .build(bytes),
            )),
            None => {
                if bytes.fill_buf()?.starts_with(&UTF_8_MARK) {
                    bytes.consume(UTF_8_MARK.len());
                }
                bytes
            }
        };
        Ok(Records {
            reader,
            line_end: self.line_end,
            lines: 0,
            line: 0,
            record: Vec::with_capacity(256),
        })
    }
}

/// Records one by one.
pub struct Records<'a> {
    reader: Box<dyn BufRead + 'a>,
    line_end: u8,
    lines: u64,
    /// Line on which the record begins, counted from 1.
    pub line: u64,
    record: Vec<u8>,
}

impl Records<'_> {
    /// The next record without its line end; `None` at the end of the file.
    ///
    /// A record goes on over line ends while a quoted cell is open, as RFC 4180 has it; cells are
    /// told apart by `delimiter`.
    ///
    /// # Errors
    /// [`ReadError::Io`], [`ReadError::LongLine`], [`ReadError::OpenQuote`].
    pub fn next(&mut self, delimiter: Option<u8>) -> Result<Option<&[u8]>, ReadError> {
        self.record.clear();
        self.line = self.lines + 1;
        if !self.add_line()? {
            return Ok(None);
        }
        let mut more = 0;
        while let Some(delimiter) = delimiter
            && self.record.contains(&b'"')
            && open_quote(&self.record, delimiter)
        {
            self.record.push(b'\n');
            more += 1;
            if more > MOST_QUOTED_LINES || !self.add_line()? {
                return Err(ReadError::OpenQuote { line: self.line });
            }
        }
        Ok(Some(&self.record))
    }

    /// The record that [`Records::next`] went to.
    #[must_use]
    pub fn record(&self) -> &[u8] {
        &self.record
    }

    fn add_line(&mut self) -> Result<bool, ReadError> {
        let before = self.record.len();
        let room = (MOST_LINE + 2).saturating_sub(before);
        let mut limited = (&mut self.reader).take(room as u64);
        let got = limited.read_until(self.line_end, &mut self.record)?;
        if got == 0 {
            return Ok(false);
        }
        self.lines += 1;
        if self.record.last() == Some(&self.line_end) {
            self.record.pop();
        }
        if self.record.last() == Some(&b'\r') {
            self.record.pop();
        }
        if self.record.len() > MOST_LINE {
            return Err(ReadError::LongLine {
                line: self.lines,
                most: MOST_LINE,
            });
        }
        Ok(true)
    }
}

/// Whether a record ends inside a quoted cell.
fn open_quote(record: &[u8], delimiter: u8) -> bool {
    let mut at_start = true;
    let mut inside = false;
    let mut i = 0;
    while i < record.len() {
        let byte = record[i];
        if inside {
            if byte == b'"' {
                if record.get(i + 1) == Some(&b'"') {
                    i += 1;
                } else {
                    inside = false;
                }
            }
        } else if byte == delimiter {
            at_start = true;
            i += 1;
            continue;
        } else if byte == b'"' && at_start {
            inside = true;
        }
        at_start &= byte == b' ' && !inside;
        i += 1;
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(bytes: &[u8]) -> Result<Vec<String>, ReadError> {
        let mut records = Script::of(bytes)?.records(Box::new(bytes))?;
        let mut out = Vec::new();
        while let Some(record) = records.next(Some(b','))? {
            out.push(String::from_utf8_lossy(record).into_owned());
        }
        Ok(out)
    }

    #[test]
    fn every_line_end_and_encoding_gives_the_same_records() -> Result<(), ReadError> {
        let wanted = ["t,°C", "0,85", "1,86"];
        let text = wanted.join("\n");
        let wide = |big: bool| -> Vec<u8> {
            text.encode_utf16()
                .flat_map(|u| if big { u.to_be_bytes() } else { u.to_le_bytes() })
                .collect()
        };
        for bytes in [
            text.clone().into_bytes(),
            text.replace('\n', "\r\n").into_bytes(),
            text.replace('\n', "\r").into_bytes(),
            [&UTF_8_MARK[..], text.as_bytes()].concat(),
            [&[0xFF, 0xFE][..], &wide(false)].concat(),
            [&[0xFE, 0xFF][..], &wide(true)].concat(),
            wide(false),
            wide(true),
        ] {
            assert_eq!(all(&bytes)?, wanted, "{bytes:?}");
        }
        Ok(())
    }

    #[test]
    fn what_is_no_log_is_told_apart() {
        assert!(matches!(all(b""), Err(ReadError::Empty)));
        assert!(matches!(all(b"\xEF\xBB\xBF"), Err(ReadError::Empty)));
        assert!(matches!(all(&[0, 1, 2, 3, 200, 0, 0, 9]), Err(ReadError::Binary)));
        assert!(matches!(
            all(&vec![b'7'; 5_000_000]),
            Err(ReadError::LongLine { line: 1, .. })
        ));
        assert!(matches!(all(b"a,\"b\nc\n"), Err(ReadError::OpenQuote { line: 1 })));
    }
}
