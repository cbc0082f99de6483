//! What a log's first rows tell: delimiter, heading, columns, units. Nothing is guessed.
//!
//! Read next: `headings.rs` (words of a heading), `rows.rs` (the rows themselves).

use std::ops::Range;

use crate::ReadError;
use crate::asked::{Asked, TimesCount};
use crate::cells::{Delimiter, text};
use crate::headings::{Heading, headings};
use crate::lines::Script;
use crate::number::{DecimalMark, Degrees, MarkProof, dressed, plain, proof};
use crate::stamp::{DateText, Stamp};

/// Most columns read.
pub const MOST_COLUMNS: usize = 256;
/// Bytes of a file that decide its layout.
pub const SAMPLE: usize = 256 * 1024;
/// Most rows of them that are looked at.
const SAMPLE_ROWS: usize = 600;
/// Delimiters in the order they are preferred.
const DELIMITERS: [Delimiter; 5] = [
    Delimiter::Byte(b'\t'),
    Delimiter::Byte(b';'),
    Delimiter::Byte(b'|'),
    Delimiter::Byte(b','),
    Delimiter::Spaces,
];

/// Where a row's time stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Times {
    /// Date and time of day in one column.
    Stamp(usize),
    /// Date in one column, time of day in another.
    DateAndClock(usize, usize),
    /// Time of day alone; days are counted by midnights.
    Clock(usize),
    /// `h:m:s` since some start.
    ElapsedClock {
        /// The column.
        column: usize,
        /// Seconds that the first number counts.
        first_s: i64,
    },
    /// A bare number since some start.
    Elapsed {
        /// The column.
        column: usize,
        /// Seconds that one counts.
        scale_s: f64,
    },
}

/// A column of temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct ProbeColumn {
    /// Column, from 0.
    pub column: usize,
    /// Its heading without the unit; none is twice in a log.
    pub name: String,
    /// Its unit.
    pub unit: Degrees,
}

/// How a log is written.
#[derive(Debug, Clone)]
pub struct Layout {
    /// Encoding and line ends.
    pub script: Script,
    /// What stands between cells.
    pub delimiter: Delimiter,
    /// Decimal mark, where the first rows or the person tell.
    pub decimal: Option<DecimalMark>,
    /// Where times stand.
    pub times: Times,
    /// Columns of temperatures.
    pub probes: Vec<ProbeColumn>,
    /// Line of the first row, from 1.
    pub first_line: u64,
    /// What was passed over, in words.
    pub passed_over: Vec<String>,
}

/// What a cell is by its writing alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Empty,
    Number,
    Stamp,
    Date,
    Clock,
    Text,
}

pub(crate) fn kind(cell: &[u8]) -> Kind {
    if cell.is_empty() {
        return Kind::Empty;
    }
    let number = plain(cell, DecimalMark::Point).is_some()
        || plain(cell, DecimalMark::Comma).is_some()
        || dressed(cell, DecimalMark::Point).is_some()
        || dressed(cell, DecimalMark::Comma).is_some();
    if number {
        return Kind::Number;
    }
    match Stamp::parse(cell) {
        Some(stamp) if stamp.date == DateText::Absent => Kind::Clock,
        Some(stamp) if stamp.clock_ns.is_some() => Kind::Stamp,
        Some(_) => Kind::Date,
        None => Kind::Text,
    }
}

/// Rows of the sample, cut at one delimiter.
struct Cut {
    delimiter: Delimiter,
    rows: Vec<Row>,
    columns: usize,
    data: usize,
}

struct Row {
    line: u64,
    cells: Vec<String>,
    kinds: Vec<Kind>,
}

impl Row {
    /// Whether it looks like a row of readings.
    fn is_data(&self) -> bool {
        let many = |wanted: Kind| self.kinds.iter().filter(|&&kind| kind == wanted).count();
        let numbers = many(Kind::Number);
        let timed = many(Kind::Stamp) > 0 || many(Kind::Clock) > 0;
        let known = self.kinds.first().is_some_and(|&kind| kind != Kind::Text);
        (timed && numbers >= 1) || (numbers >= 2 && known && many(Kind::Text) < numbers + 2)
    }
}

impl Cut {
    fn new(script: &Script, sample: &[u8], whole: bool, delimiter: Delimiter) -> Result<Self, ReadError> {
        let mut records = script.records(Box::new(sample))?;
        let mut rows = Vec::new();
        let mut places: Vec<Range<usize>> = Vec::new();
        while rows.len() < SAMPLE_ROWS {
            let record = match records.next(delimiter.quoting()) {
                Ok(Some(record)) => record,
                Ok(None) => break,
                // The sample may end inside a quoted cell; another delimiter may not see one.
                Err(ReadError::OpenQuote { .. }) => break,
                Err(fault) => return Err(fault),
            };
            delimiter.split(record, &mut places);
            if places.len() > 4 * MOST_COLUMNS {
                places.truncate(4 * MOST_COLUMNS);
            }
            let cells: Vec<String> = places.iter().map(|p| text(&record[p.clone()])).collect();
            let kinds = places.iter().map(|p| kind(&record[p.clone()])).collect();
            if cells.iter().any(|cell| !cell.is_empty()) {
                rows.push(Row { line: 0, cells, kinds });
                let line = records.line;
                if let Some(row) = rows.last_mut() {
                    row.line = line;
                }
            }
        }
        if !whole && rows.len() > 1 && rows.len() < SAMPLE_ROWS {
            rows.pop();
        }
        let mut counts = std::collections::BTreeMap::new();
        for row in rows.iter().filter(|row| row.is_data()) {
            *counts.entry(row.cells.len()).or_insert(0_usize) += 1;
        }
        let (columns, data) = counts
            .into_iter()
            .filter(|&(columns, _)| columns >= 2)
            .max_by_key(|&(_, many)| many)
            .unwrap_or((0, 0));
        Ok(Self {
            delimiter,
            rows,
            columns,
            data,
        })
    }
}

impl Layout {
    /// Reads the layout off a file's first bytes.
    ///
    /// `whole` says that the sample is the whole file.
    ///
    /// # Errors
    /// [`ReadError`]: no log, or a question that only a person answers.
    pub fn of(sample: &[u8], whole: bool, asked: &Asked) -> Result<Self, ReadError> {
        let script = Script::of(sample)?;
        let mut best: Option<Cut> = None;
        for delimiter in DELIMITERS {
            let cut = Cut::new(&script, sample, whole, delimiter)?;
            if best.as_ref().is_none_or(|best| cut.data > best.data) {
                best = Some(cut);
            }
        }
        let cut = best
            .filter(|cut| cut.data > 0)
            .ok_or_else(|| nothing_found(&script, sample))?;
        if cut.columns > MOST_COLUMNS {
            return Err(ReadError::TooManyColumns {
                got: cut.columns,
                most: MOST_COLUMNS,
            });
        }
        let first = cut
            .rows
            .iter()
            .position(|row| row.is_data() && row.cells.len() == cut.columns)
            .unwrap_or(0);
        let (before, data) = cut.rows.split_at(first);
        let data: Vec<&Row> = data.iter().filter(|row| row.is_data()).collect();
        let above: Vec<&[String]> = before.iter().map(|row| row.cells.as_slice()).collect();
        let heads = headings(&above, cut.columns);
        refuse_loose_commas(&cut, &above)?;

        let times = times(&data, &heads, asked)?;
        let time_columns = match times {
            Times::DateAndClock(a, b) => [a, b],
            Times::Stamp(c)
            | Times::Clock(c)
            | Times::ElapsedClock { column: c, .. }
            | Times::Elapsed { column: c, .. } => [c, c],
        };
        let mut passed_over = Vec::new();
        let mut columns = Vec::new();
        for (column, head) in heads.iter().enumerate() {
            if time_columns.contains(&column) {
                continue;
            }
            let numbers = count(&data, column, Kind::Number);
            let counts_rows = head.name.is_empty() && head.unit.is_none() && is_counter(&data, column) && column == 0;
            if numbers == 0 && head.unit.is_none() {
                if data
                    .iter()
                    .any(|row| row.cells.get(column).is_some_and(|cell| !cell.is_empty()))
                {
                    passed_over.push(format!("{} (no numbers)", head.called(column)));
                }
            } else if head.is_no_temperature() || counts_rows {
                passed_over.push(format!("{} (no temperature)", head.called(column)));
            } else {
                columns.push(column);
            }
        }
        if columns.is_empty() {
            return Err(ReadError::NoTemperatures {
                passed_over: passed_over.join(", "),
            });
        }
        let decimal = asked.decimal.map_or_else(|| decimal(&data), |mark| Ok(Some(mark)))?;
        let probes = probes(&columns, &heads, &above, &data, asked)?;
        Ok(Self {
            script,
            delimiter: cut.delimiter,
            decimal,
            times,
            probes,
            first_line: data.first().map_or(1, |row| row.line),
            passed_over,
        })
    }
}

fn count(data: &[&Row], column: usize, wanted: Kind) -> usize {
    data.iter().filter(|row| row.kinds.get(column) == Some(&wanted)).count()
}

/// What to say of a file without a row of readings.
fn nothing_found(script: &Script, sample: &[u8]) -> ReadError {
    let lines = script.records(Box::new(sample)).map_or(0, |mut records| {
        let mut lines = 0;
        while let Ok(Some(_)) = records.next(None) {
            lines += 1;
        }
        lines
    });
    let found = match lines {
        1 => "one line only, perhaps a heading without rows".to_owned(),
        many => format!("{many} lines at its beginning were looked at"),
    };
    ReadError::NoRows { found }
}

/// A comma both between cells and before decimals cannot be read.
fn refuse_loose_commas(cut: &Cut, above: &[&[String]]) -> Result<(), ReadError> {
    let heading = above.last().map_or(0, |cells| cells.len());
    let temperatures = heading.saturating_sub(1);
    if cut.delimiter == Delimiter::Byte(b',')
        && heading >= 2
        && cut.columns > heading
        && (cut.columns - heading).is_multiple_of(temperatures)
    {
        return Err(ReadError::NoRows {
            found: format!(
                "the heading has {heading} cells and its rows {}: commas stand between cells and before decimals \
                 alike; export with semicolons",
                cut.columns
            ),
        });
    }
    Ok(())
}

/// Whether a column counts its rows: whole numbers one apart.
fn is_counter(data: &[&Row], column: usize) -> bool {
    let values: Vec<f64> = data
        .iter()
        .filter_map(|row| plain(row.cells.get(column)?.as_bytes(), DecimalMark::Point))
        .collect();
    values.len() > 2 && values.windows(2).all(|v| (v[1] - v[0] - 1.0).abs() < 1e-9)
}

/// Finds the column or columns of times.
fn times(data: &[&Row], heads: &[Heading], asked: &Asked) -> Result<Times, ReadError> {
    let mostly = |column: usize, wanted: Kind| 2 * count(data, column, wanted) > data.len();
    let columns = 0..heads.len();
    let half_day = |cell: &String| matches!(cell.to_lowercase().replace('.', "").as_str(), "am" | "pm");
    if let Some(column) = columns
        .clone()
        .find(|&c| data.iter().any(|row| row.cells.get(c).is_some_and(half_day)))
    {
        return Err(ReadError::SplitClock { column: column + 1 });
    }
    let stamps: Vec<usize> = columns.clone().filter(|&c| mostly(c, Kind::Stamp)).collect();
    match stamps[..] {
        [] => {}
        [column] => return Ok(Times::Stamp(column)),
        [a, b, ..] => {
            return Err(ReadError::ManyTimes {
                columns: (a + 1, b + 1),
            });
        }
    }
    let clock = columns.clone().find(|&c| mostly(c, Kind::Clock));
    let date = columns.clone().find(|&c| mostly(c, Kind::Date));
    match (date, clock) {
        (Some(date), Some(clock)) => return Ok(Times::DateAndClock(date, clock)),
        (None, Some(clock)) => return clock_times(data, &heads[clock], clock, asked),
        _ => {}
    }
    let numeric = |&c: &usize| mostly(c, Kind::Number);
    let rises = |c: &usize| {
        let values: Vec<f64> = data
            .iter()
            .filter_map(|row| dressed(row.cells.get(*c)?.as_bytes(), decimal_of(data)).map(|(value, _)| value))
            .collect();
        values.len() > 1 && values.windows(2).filter(|v| v[1] > v[0]).count() * 10 > values.len() * 8
    };
    let column = columns
        .clone()
        .filter(numeric)
        .find(|&c| heads[c].is_time())
        .or_else(|| {
            columns
                .clone()
                .filter(numeric)
                .find(|c| heads[*c].name.is_empty() && heads[*c].unit.is_none() && rises(c))
        })
        .ok_or(ReadError::NoTimes)?;
    let same_kind =
        |&c: &usize| c != column && heads[c].is_time() && heads[c].time_unit_s() == heads[column].time_unit_s();
    let differs = |&c: &usize| data.iter().any(|row| row.cells.get(c) != row.cells.get(column));
    if let Some(other) = columns.clone().filter(numeric).filter(same_kind).find(differs) {
        return Err(ReadError::ManyTimes {
            columns: (column + 1, other + 1),
        });
    }
    let scale_s = match (heads[column].time_unit_s(), asked.times) {
        (_, Some(TimesCount::Clock)) => {
            return Err(ReadError::Option {
                option: "--times",
                what: "the log's times are bare numbers, no times of day".into(),
                hint: "say s, min, h or d".into(),
            });
        }
        (Some(unit), None) => unit,
        (_, Some(told)) => told.seconds().unwrap_or(1.0),
        (None, None) => {
            return Err(ReadError::Question {
                question: format!(
                    "{}: times are bare numbers ({} on line {}); do they count seconds, minutes, hours or days?",
                    heads[column].called(column),
                    data[0].cells.get(column).map_or("", String::as_str),
                    data[0].line
                ),
                option: "--times s, min, h or d",
            });
        }
    };
    Ok(Times::Elapsed { column, scale_s })
}

fn decimal_of(data: &[&Row]) -> DecimalMark {
    decimal(data).ok().flatten().unwrap_or(DecimalMark::Point)
}

/// Times like 12:30 or 12:30:05 without a date.
fn clock_times(data: &[&Row], head: &Heading, column: usize, asked: &Asked) -> Result<Times, ReadError> {
    let shapes: Vec<(u32, usize)> = data
        .iter()
        .filter_map(|row| Stamp::parse(row.cells.get(column)?.as_bytes()))
        .map(|stamp| stamp.clock_shape)
        .collect();
    let two = shapes.iter().all(|&(_, many)| many == 2);
    let past_day = shapes.iter().any(|&(first, _)| first > 23);
    let from_zero = shapes.first().is_some_and(|&(first, _)| first == 0)
        && data[0]
            .cells
            .get(column)
            .is_some_and(|cell| cell.bytes().all(|b| matches!(b, b'0' | b':')));
    let hours = Times::ElapsedClock { column, first_s: 3600 };
    Ok(match (asked.times, two) {
        (Some(TimesCount::Clock), _) => Times::Clock(column),
        (Some(TimesCount::Minutes), true) => Times::ElapsedClock { column, first_s: 60 },
        (Some(_), _) => hours,
        (None, true) if past_day || from_zero || head.is_elapsed() => {
            return Err(ReadError::Question {
                question: format!(
                    "{}: are times like {} minutes and seconds, hours and minutes, or times of day (line {})?",
                    head.called(column),
                    data[0].cells.get(column).map_or("", String::as_str),
                    data[0].line
                ),
                option: "--times min, --times h or --times clock",
            });
        }
        (None, false) if past_day || head.is_elapsed() => hours,
        (None, _) => Times::Clock(column),
    })
}

/// The decimal mark that the sample proves, if it does.
fn decimal(data: &[&Row]) -> Result<Option<DecimalMark>, ReadError> {
    let mut seen: [Option<(&str, u64)>; 2] = [None, None];
    for row in data {
        for cell in &row.cells {
            let at = match proof(cell.as_bytes()) {
                MarkProof::Point => 0,
                MarkProof::Comma => 1,
                MarkProof::None | MarkProof::Either => continue,
            };
            seen[at].get_or_insert((cell, row.line));
        }
    }
    match seen {
        [Some((point, there)), Some((comma, here))] => Err(ReadError::Question {
            question: format!("is the decimal mark a point ({point}, line {there}) or a comma ({comma}, line {here})?"),
            option: "--decimal point or --decimal comma",
        }),
        [Some(_), None] => Ok(Some(DecimalMark::Point)),
        [None, Some(_)] => Ok(Some(DecimalMark::Comma)),
        [None, None] => Ok(None),
    }
}

/// Names and units of the columns of temperatures.
fn probes(
    columns: &[usize],
    heads: &[Heading],
    above: &[&[String]],
    data: &[&Row],
    asked: &Asked,
) -> Result<Vec<ProbeColumn>, ReadError> {
    let said = Heading::said_above(above);
    let by_letter = Heading::common_letter(columns.iter().map(|&c| &heads[c]));
    let mut out: Vec<ProbeColumn> = Vec::with_capacity(columns.len());
    for &column in columns {
        let in_cells = data.iter().find_map(|row| {
            let cell = row.cells.get(column)?.as_bytes();
            [DecimalMark::Point, DecimalMark::Comma]
                .into_iter()
                .find_map(|mark| dressed(cell, mark)?.1)
        });
        let written = heads[column].unit.or(in_cells).or(by_letter).or(said);
        let unit = match (written, asked.unit) {
            (Some(unit), Some(told)) if unit != told => {
                return Err(ReadError::Option {
                    option: "--unit",
                    what: format!(
                        "{} is in {} as the log itself says",
                        heads[column].called(column),
                        unit.symbol()
                    ),
                    hint: "leave --unit out".into(),
                });
            }
            (Some(unit), _) | (None, Some(unit)) => unit,
            (None, None) => {
                let example = data
                    .iter()
                    .find(|row| row.kinds.get(column) == Some(&Kind::Number))
                    .map_or(String::new(), |row| {
                        format!(" ({} on line {})", row.cells[column], row.line)
                    });
                return Err(ReadError::Question {
                    question: format!(
                        "{}{example}: is it °C or °F? The log does not say",
                        heads[column].called(column)
                    ),
                    option: "--unit c or --unit f",
                });
            }
        };
        let mut name = heads[column].called(column);
        if out.iter().any(|probe| probe.name == name) {
            name = format!("{name} (column {})", column + 1);
        }
        out.push(ProbeColumn { column, name, unit });
    }
    Ok(out)
}
