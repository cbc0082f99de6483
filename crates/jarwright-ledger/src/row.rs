//! Rows of the database become versions, or a fault that names the row.

use jarwright_kitchen::ports::{Entry, Hash, KeepError, Kept, Last, Name, Text, Version, Who};
use jiff::Timestamp;

/// Name, number, hash, text, microseconds, who.
pub type Row = (String, i64, Option<String>, Option<String>, i64, String);

/// Number, hash, microseconds, who.
pub type Line = (i64, Option<String>, i64, String);

/// One entry of a history.
pub fn entry(kind: Kept, name: &Name, line: Line) -> Result<Entry, KeepError> {
    let (number, hash, saved_us, by) = line;
    let damaged = |_| {
        KeepError::Damaged(format!(
            "version {number} of {kind} \"{name}\" in the ledger cannot be read"
        ))
    };
    Ok(Entry {
        number: u64::try_from(number).map_err(|_| damaged(()))?,
        hash: hash
            .map(|hex| hex.parse())
            .transpose()
            .map_err(|_: KeepError| damaged(()))?,
        saved: Timestamp::from_microsecond(saved_us).map_err(|_| damaged(()))?,
        by: Who::new(&by).map_err(|_| damaged(()))?,
    })
}

/// A text, held against the hash it is kept under.
pub fn text(hash: Hash, text: String) -> Result<Text, KeepError> {
    Text::new(text)
        .ok()
        .filter(|text| text.hash() == hash)
        .ok_or_else(|| KeepError::Damaged(format!("the text with hash {hash} in the ledger is not what was saved")))
}

/// What happened in one row: a version or a withdrawing.
pub fn last(kind: Kept, row: Row) -> Result<Last, KeepError> {
    let (name, number, hash, words, saved_us, by) = row;
    let name = Name::new(&name)
        .map_err(|_| KeepError::Damaged(format!("a {kind} in the ledger has the name {name:?}, which is none")))?;
    let entry = entry(kind, &name, (number, hash, saved_us, by))?;
    let Some(hash) = entry.hash else {
        return Ok(Last::Withdrawn(entry));
    };
    let words = words.ok_or_else(|| KeepError::Damaged(format!("the text with hash {hash} is not in the ledger")))?;
    Ok(Last::Saved(Version {
        kind,
        name,
        number: entry.number,
        text: text(hash, words)?,
        saved: entry.saved,
        by: entry.by,
    }))
}
