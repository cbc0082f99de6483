//! A form over a kept text: fields are places in a TOML text, faults find their way back to fields.
//!
//! A field's name is its place: `stop_at`, `line.3.amount`, `bath.0.jars.half-pint`. What a person
//! typed is put into the text as it stands, comments and all; the kitchen's own reader then reads the
//! text, so that a page refuses exactly what a file would be refused for, beside the field it is in.

use std::ops::Range;

use jarwright_kitchen::files::Problem;
use toml_edit::{ArrayOfTables, Document, DocumentMut, Item, Table, TableLike, Value};

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Words, or a quantity with its unit.
    Text,
    /// A whole number.
    Count,
    /// A number.
    Number,
    /// Yes or no.
    Flag,
    /// A day.
    Day,
    /// Words with commas between.
    List,
}

/// Most rows of one kind that a form can make.
const MOST_ROWS: usize = 400;
/// Deepest place.
const MOST_DEEP: usize = 6;

/// A text being edited.
#[derive(Debug, Clone)]
pub struct Form {
    document: DocumentMut,
}

/// Why a text cannot be edited as a form: it is no TOML at all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoForm {
    /// The parser's words.
    pub why: String,
}

impl Form {
    /// A form over a text.
    ///
    /// # Errors
    /// [`NoForm`] for a text that is no TOML.
    pub fn open(text: &str) -> Result<Self, NoForm> {
        text.parse()
            .map(|document| Self { document })
            .map_err(|error: toml_edit::TomlError| NoForm {
                why: error.message().to_owned(),
            })
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> String {
        self.document.to_string()
    }

    /// What stands at a place, as a person would type it; empty where nothing does.
    #[must_use]
    pub fn get(&self, place: &str) -> String {
        match self.find(place) {
            Some(Found::Value(item)) => typed(item),
            Some(Found::Table(_)) | None => String::new(),
        }
    }

    fn find(&self, place: &str) -> Option<Found<'_>> {
        let mut table: &dyn TableLike = self.document.as_table();
        let mut steps = place.split('.').peekable();
        while let Some(step) = steps.next() {
            let item = table.get(step)?;
            if let Some(rows) = item.as_array_of_tables() {
                table = rows.get(steps.next()?.parse().ok()?)?;
            } else if let Some(inside) = item.as_table_like() {
                table = inside;
            } else {
                return steps.peek().is_none().then_some(Found::Value(item));
            }
        }
        Some(Found::Table(table))
    }

    /// How many rows there are of a kind: `line`, `item`.
    #[must_use]
    pub fn rows(&self, kind: &str) -> usize {
        self.document
            .get(kind)
            .and_then(Item::as_array_of_tables)
            .map_or(0, ArrayOfTables::len)
    }

    /// Keys of a table at a place, in order.
    #[must_use]
    pub fn keys(&self, place: &str) -> Vec<String> {
        match self.find(place) {
            Some(Found::Table(table)) => table.iter().map(|(key, _)| key.to_owned()).collect(),
            Some(Found::Value(_)) | None => Vec::new(),
        }
    }

    /// Puts what a person typed at a place; nothing typed takes the key out. A row one past the last
    /// is made by its first typed field.
    pub fn put(&mut self, place: &str, holds: Holds, typed: &str) {
        let typed = typed.trim();
        let steps: Vec<&str> = place.split('.').collect();
        if steps.len() > MOST_DEEP {
            return;
        }
        put(self.document.as_table_mut(), &steps, holds, typed);
    }

    /// Takes a row out.
    pub fn remove(&mut self, kind: &str, row: usize) {
        if let Some(rows) = self.document.get_mut(kind).and_then(Item::as_array_of_tables_mut)
            && row < rows.len()
        {
            rows.remove(row);
        }
    }

    /// The place a fault's bytes lie in: of a key, of a row, or nowhere in particular (empty).
    #[must_use]
    pub fn place_of(text: &str, bytes: &Range<usize>) -> String {
        let Ok(document) = Document::parse(text) else {
            return String::new();
        };
        let mut place = Vec::new();
        descend(document.as_table(), bytes.start, &mut place);
        place.join(".")
    }
}

/// What stands at a place.
enum Found<'a> {
    Value(&'a Item),
    Table(&'a dyn TableLike),
}

/// A value as a person would type it.
fn typed(item: &Item) -> String {
    match item.as_value() {
        Some(Value::String(text)) => text.value().clone(),
        Some(Value::Boolean(flag)) => if *flag.value() { "on" } else { "" }.into(),
        Some(Value::Integer(number)) => number.value().to_string(),
        Some(Value::Float(number)) => number.value().to_string(),
        Some(Value::Datetime(day)) => day.value().to_string(),
        Some(Value::Array(list)) => list.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(", "),
        Some(Value::InlineTable(_)) | None => String::new(),
    }
}

fn put(table: &mut dyn TableLike, steps: &[&str], holds: Holds, typed: &str) {
    let [key, rest @ ..] = steps else { return };
    if rest.is_empty() {
        return put_value(table, key, holds, typed);
    }
    if let ([row, inner @ ..], true) = (rest, rest.len() > 1)
        && let Ok(row) = row.parse::<usize>()
    {
        if table.get(key).is_none() {
            if typed.is_empty() || row != 0 {
                return;
            }
            table.insert(key, Item::ArrayOfTables(ArrayOfTables::new()));
        }
        if let Some(rows) = table.get_mut(key).and_then(Item::as_array_of_tables_mut) {
            if row == rows.len() && row < MOST_ROWS && !typed.is_empty() {
                rows.push(Table::new());
            }
            if let Some(inside) = rows.get_mut(row) {
                put(inside, inner, holds, typed);
            }
        }
        return;
    }
    if table.get(key).is_none() {
        if typed.is_empty() {
            return;
        }
        table.insert(key, Item::Table(Table::new()));
    }
    if let Some(inside) = table.get_mut(key).and_then(Item::as_table_like_mut) {
        put(inside, rest, holds, typed);
    }
}

fn put_value(table: &mut dyn TableLike, key: &str, holds: Holds, typed: &str) {
    if typed.is_empty() {
        table.remove(key);
        return;
    }
    let words = || Value::from(typed);
    let mut value = match holds {
        Holds::Text => words(),
        Holds::Count => typed.parse::<i64>().map_or_else(|_| words(), Value::from),
        Holds::Number => typed
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite())
            .map_or_else(words, Value::from),
        Holds::Flag => Value::from(true),
        Holds::Day => typed
            .parse::<toml_edit::Datetime>()
            .map_or_else(|_| words(), Value::from),
        Holds::List => typed
            .split(',')
            .map(str::trim)
            .filter(|word| !word.is_empty())
            .collect(),
    };
    // What stands there keeps its comment; what is the same keeps how it was written.
    if let Some(old) = table.get_mut(key).and_then(Item::as_value_mut) {
        if old.to_string().trim() != value.to_string().trim() {
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
    } else {
        table.insert(key, Item::Value(value));
    }
}

fn descend(table: &dyn TableLike, byte: usize, place: &mut Vec<String>) {
    let holds = |span: Option<Range<usize>>| span.is_some_and(|span| span.start <= byte && byte <= span.end);
    for (key, item) in table.iter() {
        if let Some(rows) = item.as_array_of_tables() {
            // A row reaches from its header to the next row's.
            let starts: Vec<usize> = rows
                .iter()
                .map(|row| row.span().map_or(usize::MAX, |span| span.start))
                .collect();
            let Some(row) = starts.iter().rposition(|&start| start <= byte) else {
                continue;
            };
            if rows
                .get(row)
                .and_then(Table::span)
                .is_some_and(|span| byte <= reach(rows.get(row), &span))
            {
                place.extend([key.to_owned(), row.to_string()]);
                if let Some(inside) = rows.get(row) {
                    descend(inside, byte, place);
                }
                return;
            }
        } else if let Some(inside) = item.as_table() {
            let span = inside.span();
            if span
                .as_ref()
                .is_some_and(|span| span.start <= byte && byte <= reach(Some(inside), span))
            {
                place.push(key.to_owned());
                descend(inside, byte, place);
                return;
            }
        } else if let Some(Value::InlineTable(inside)) = item.as_value() {
            if holds(inside.span()) {
                place.push(key.to_owned());
                descend(inside, byte, place);
                return;
            }
        } else if holds(item.span()) {
            place.push(key.to_owned());
            return;
        }
    }
}

/// Where a table ends: its header's span, or the end of its last value.
fn reach(table: Option<&Table>, header: &Range<usize>) -> usize {
    let mut end = header.end;
    for (_, item) in table.into_iter().flat_map(Table::iter) {
        let inner = match (item.as_table(), item.span()) {
            (Some(table), _) => table.span().map(|span| reach(Some(table), &span)),
            (None, span) => span.map(|span| span.end),
        };
        end = end.max(inner.unwrap_or(end));
    }
    end
}

/// Faults of a text by the places they lie in.
#[derive(Debug, Clone, Default)]
pub struct Faults {
    all: Vec<(String, Problem)>,
}

impl Faults {
    /// The faults a reader found in a text.
    #[must_use]
    pub fn of(text: &str, problems: Vec<Problem>) -> Self {
        let all = problems
            .into_iter()
            .map(|problem| (Form::place_of(text, &problem.offset), problem))
            .collect();
        Self { all }
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// Faults at just this place.
    pub fn at<'a>(&'a self, place: &'a str) -> impl Iterator<Item = &'a Problem> {
        self.all
            .iter()
            .filter(move |(at, _)| at == place)
            .map(|(_, problem)| problem)
    }

    /// Whether there are any at this place or inside it.
    #[must_use]
    pub fn within(&self, place: &str) -> bool {
        self.all.iter().any(|(at, _)| {
            at.strip_prefix(place)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        })
    }

    /// Faults that no field of `shown` shows.
    pub fn elsewhere<'a>(&'a self, shown: &'a [String]) -> impl Iterator<Item = &'a Problem> {
        self.all
            .iter()
            .filter(move |(at, _)| !shown.contains(at))
            .map(|(_, problem)| problem)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# mine\nname = \"Lime curd\" # yes\nfood = \"curd\"\n\n[pack]\npieces_per_jar = \"270 g\"\n\n\
                        [[line]]\ningredient = \"sugar\"\namount = \"2 cup\"\n\n[[line]]\ningredient = \"salt\"\n\
                        jars = { half-pint = 12, pint = 8 }\n";

    fn form() -> Form {
        Form::open(TEXT).unwrap_or_else(|error| panic!("{}", error.why))
    }

    #[test]
    fn what_stands_in_the_text_is_what_a_person_would_type() {
        let form = form();
        assert_eq!(form.get("name"), "Lime curd");
        assert_eq!(form.get("line.0.amount"), "2 cup");
        assert_eq!(form.get("pack.pieces_per_jar"), "270 g");
        assert_eq!(form.get("line.1.jars.pint"), "8");
        assert_eq!(form.keys("line.1.jars"), ["half-pint", "pint"]);
        assert_eq!(form.get("line.7.amount") + &form.get("nothing.at.all"), "");
        assert_eq!(form.rows("line"), 2);
    }

    #[test]
    fn an_edit_changes_its_own_place_and_keeps_comments() {
        let mut form = form();
        form.put("name", Holds::Text, "  Lemon curd ");
        form.put("line.1.jars.pint", Holds::Count, "9");
        form.put("line.0.per_jar", Holds::Flag, "on");
        form.put("line.2.ingredient", Holds::Text, "butter, unsalted");
        form.put("line.2.amount", Holds::Text, "50 g");
        let text = form.text();
        assert!(text.starts_with("# mine\nname = \"Lemon curd\" # yes\n"), "{text}");
        assert!(text.contains("pint = 9") && text.contains("per_jar = true"), "{text}");
        assert_eq!(form.rows("line"), 3);
        assert_eq!(form.get("line.2.amount"), "50 g");
    }

    #[test]
    fn nothing_typed_takes_the_key_out_and_makes_nothing() {
        let mut form = form();
        form.put("line.0.amount", Holds::Text, "");
        form.put("line.9.amount", Holds::Text, "5 g");
        form.put("letter.signer", Holds::Text, " ");
        assert!(!form.text().contains("2 cup") && !form.text().contains("letter"));
        assert_eq!(form.rows("line"), 2);
        form.remove("line", 0);
        assert_eq!(form.get("line.0.ingredient"), "salt");
        form.remove("line", 5);
    }

    #[test]
    fn a_number_that_is_none_stays_as_typed_for_the_reader_to_refuse() {
        let mut form = form();
        form.put("people", Holds::Count, "two");
        form.put("checked", Holds::Day, "2026-10-12");
        form.put("works", Holds::List, "mon, , tue");
        let text = form.text();
        assert!(
            text.contains("people = \"two\"") && text.contains("checked = 2026-10-12"),
            "{text}"
        );
        assert_eq!(form.get("works"), "mon, tue");
    }

    #[test]
    fn a_fault_is_found_in_its_field() {
        let place = |needle: &str| {
            let at = TEXT.find(needle).unwrap_or_default();
            Form::place_of(TEXT, &(at..at + 1))
        };
        assert_eq!(place("Lime"), "name");
        assert_eq!(place("270 g"), "pack.pieces_per_jar");
        assert_eq!(place("2 cup"), "line.0.amount");
        assert_eq!(place("12, pint"), "line.1.jars.half-pint");
        let second = TEXT.rfind("[[line]]").unwrap_or_default();
        assert_eq!(Form::place_of(TEXT, &(second..second + 8)), "line.1");
        assert_eq!(Form::place_of(TEXT, &(0..0)), "");
        assert_eq!(Form::place_of("= broken", &(0..0)), "");
    }
}
