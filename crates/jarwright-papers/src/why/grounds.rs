//! What each basis has to say of a figure: one function a basis.

use jarwright_figure::BasisView;
use jarwright_reference::SourceRow;

/// Why a figure has its value, ready to be shown.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Grounds<'a> {
    /// The basis in a word or two, with the equation's name or the instrument's.
    pub(super) how: String,
    /// The equation's text.
    pub(super) equation: Option<&'a str>,
    /// The document: authors, year, title, kind.
    pub(super) document: Option<String>,
    /// Where in the document, how it is known, how much of it was read; or who and when.
    pub(super) notes: Vec<String>,
}

/// The grounds of a figure.
pub(super) fn grounds(basis: &BasisView) -> Grounds<'_> {
    match basis {
        BasisView::Published { source, place, mark } => published(source, place, mark),
        BasisView::Computed {
            equation,
            title,
            text,
            source,
            ..
        } => computed(equation, title, text, source),
        BasisView::Measured { instrument, by } => measured(instrument, by),
        BasisView::Entered { by } => entered(by),
    }
}

fn published<'a>(source: &str, place: &str, mark: &str) -> Grounds<'a> {
    let row = jarwright_reference::source(source);
    let mut notes = Vec::new();
    if !place.is_empty() {
        notes.push(format!("place: {place}"));
    }
    notes.push(format!("how it is known: [{mark}] {}", mark_words(mark)));
    notes.extend(read(row));
    Grounds {
        how: "Published".into(),
        equation: None,
        document: Some(document(source, row)),
        notes,
    }
}

fn computed<'a>(equation: &str, title: &str, text: &'a str, source: &str) -> Grounds<'a> {
    let row = jarwright_reference::source(source);
    Grounds {
        how: format!("Computed: {title} ({equation})"),
        equation: Some(text),
        document: Some(document(source, row)),
        notes: read(row).into_iter().collect(),
    }
}

fn measured<'a>(instrument: &str, by: &str) -> Grounds<'a> {
    Grounds {
        how: format!("Measured: {instrument}"),
        notes: vec![format!("by: {by}")],
        ..Grounds::default()
    }
}

fn entered<'a>(by: &str) -> Grounds<'a> {
    Grounds {
        how: format!("Entered: {by}"),
        ..Grounds::default()
    }
}

/// A document in one line, with its key.
fn document(key: &str, row: Option<&SourceRow>) -> String {
    let Some(row) = row else {
        return format!("{key}, which is not in the table of sources");
    };
    let year = if row.year.is_empty() {
        String::new()
    } else {
        format!(" ({})", row.year)
    };
    format!("{}{year}: {} [{}, {}]", row.authors, row.title, row.kind, row.key)
}

/// How much of a document was read, and where.
fn read(row: Option<&SourceRow>) -> Option<String> {
    row.map(|row| row.note.trim())
        .filter(|note| !note.is_empty())
        .map(|note| format!("of the document: {note}"))
}

/// A mark in words that need no key.
fn mark_words(mark: &str) -> &str {
    match mark {
        "seen" => "read in the document or a stored copy of it",
        "third-party copy" => "read only in somebody else\u{2019}s copy",
        "computed by library and script" => "computed by a general-purpose library and a script from named inputs",
        "memory" => "from memory, not checked against the document",
        "common practice" => "common practice of the trade, without a source",
        _ => "",
    }
}
