//! A log's rows one by one: a moment and a reading of each probe. One row is in memory.

use std::io::{self, BufRead, Read};
use std::ops::Range;

use crate::ReadError;
use crate::asked::Asked;
use crate::cells::text;
use crate::layout::{Layout, SAMPLE, Times};
use crate::lines::Records;
use crate::number::{DecimalMark, MarkProof, dressed, plain, proof};
use crate::stamp::{Calendar, DateOrder, DateText, Orders, Stamp, possible};

/// Opens the file, each time from its beginning.
pub type Open<'a> = dyn Fn() -> io::Result<Box<dyn BufRead + 'a>> + 'a;

pub(crate) const SECOND_NS: i64 = 1_000_000_000;
const DAY_NS: i64 = 86_400 * SECOND_NS;

/// A layout with nothing left open.
#[derive(Debug, Clone)]
pub struct Settled {
    /// The layout.
    pub layout: Layout,
    /// Decimal mark.
    pub decimal: DecimalMark,
    /// Order of dates whose writing leaves it open.
    pub order: Option<DateOrder>,
    /// What proved the order, or whether a person told it.
    pub order_by: Option<OrderBy>,
}

/// How the order of day and month is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OrderBy {
    /// A person told.
    Told,
    /// The file has a date that is none in another order, on this line.
    Line(u64),
}

/// Reads the layout and settles what the first rows leave open by looking through the file.
///
/// # Errors
/// [`ReadError`]: no log, or a question that the whole file does not answer.
pub fn settle<'a>(open: &Open<'a>, asked: &Asked) -> Result<Settled, ReadError> {
    let mut sample = Vec::with_capacity(SAMPLE);
    open()?.take(SAMPLE as u64 + 1).read_to_end(&mut sample)?;
    let whole = sample.len() <= SAMPLE;
    sample.truncate(SAMPLE);
    let layout = Layout::of(&sample, whole, asked)?;
    let dated = match layout.times {
        Times::Stamp(column) | Times::DateAndClock(column, _) => Some(column),
        _ => None,
    };
    let told = asked.dates.map_or(Orders::ALL, Orders::only);
    let mut orders = told;
    let mut order_by = asked.dates.map(|_| OrderBy::Told);
    let mut open_date = None;
    let mut decimal = layout.decimal;
    let mut either = None;
    let mut records = layout.script.records(open()?)?;
    let mut places: Vec<Range<usize>> = Vec::new();
    let mut last_date: Vec<u8> = Vec::new();
    loop {
        // An order that a person told is held against every date of the log.
        let dates_done = dated.is_none() || (asked.dates.is_none() && orders.one().is_some());
        if dates_done && decimal.is_some() {
            break;
        }
        let Some(record) = records.next(layout.delimiter.quoting())? else {
            break;
        };
        let record = record.to_vec();
        let line = records.line;
        if line < layout.first_line {
            continue;
        }
        layout.delimiter.split(&record, &mut places);
        if let Some(cell) = dated.and_then(|column| places.get(column)).map(|p| &record[p.clone()]) {
            // Only the part that may hold a date: a row of the same day proves nothing new.
            let day = &cell[..cell.len().min(10)];
            if day != last_date.as_slice() {
                last_date = day.to_vec();
                match Stamp::parse(cell).map(|stamp| stamp.date) {
                    Some(date @ DateText::Open(..)) => {
                        open_date.get_or_insert_with(|| (text(cell), line));
                        let left = orders.and(possible(date));
                        if left.none() {
                            return Err(contradiction(&text(cell), line, asked));
                        }
                        if left != orders && left.one().is_some() {
                            order_by = order_by.or(Some(OrderBy::Line(line)));
                        }
                        orders = left;
                    }
                    // Told apart by its writing; the first such row settles it.
                    Some(DateText::Known(..)) if open_date.is_none() && decimal.is_some() => break,
                    _ => {}
                }
            }
        }
        if decimal.is_none() {
            for probe in &layout.probes {
                let Some(cell) = places.get(probe.column).map(|p| &record[p.clone()]) else {
                    continue;
                };
                match proof(cell) {
                    MarkProof::Point => decimal = Some(DecimalMark::Point),
                    MarkProof::Comma => decimal = Some(DecimalMark::Comma),
                    MarkProof::Either => {
                        either.get_or_insert_with(|| (text(cell), line));
                    }
                    MarkProof::None => {}
                }
            }
        }
    }
    if let (Some((date, line)), None) = (&open_date, orders.one()) {
        return Err(ReadError::Question {
            question: format!("line {line}: is {date} day first or month first? No date in the log proves it"),
            option: "--dates dmy or --dates mdy (ymd where the year stands first)",
        });
    }
    if let (Some((cell, line)), None) = (&either, decimal) {
        return Err(ReadError::Question {
            question: format!("line {line}: is the comma in {cell} a decimal mark, or does it part thousands?"),
            option: "--decimal comma or --decimal point",
        });
    }
    Ok(Settled {
        layout,
        decimal: decimal.unwrap_or(DecimalMark::Point),
        order: open_date.as_ref().and(orders.one()),
        order_by: open_date.and(order_by),
    })
}

fn contradiction(date: &str, line: u64, asked: &Asked) -> ReadError {
    if asked.dates.is_some() {
        ReadError::Option {
            option: "--dates",
            what: format!("{date} on line {line} is no date in that order"),
            hint: "leave --dates out, or give the other order".into(),
        }
    } else {
        ReadError::Question {
            question: format!("{date} on line {line} is no date in the order that earlier lines prove"),
            option: "a log whose dates have one order; nothing on the command line mends this",
        }
    }
}

/// One probe's reading in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// A temperature [°C].
    Value(f64),
    /// An empty cell, or none.
    Missing,
    /// A word where a number should be.
    Word,
}

/// Rows one by one.
pub struct Rows<'s, 'a> {
    settled: &'s Settled,
    records: Records<'a>,
    places: Vec<Range<usize>>,
    calendar: Calendar,
    last_clock: Option<(i64, i64)>,
    /// Line of the row, from 1.
    pub line: u64,
    /// Moment [ns] since some start that the whole log shares; `None` for a row without one.
    pub time_ns: Option<i64>,
    /// Distance of the log's clock from UTC [ns].
    pub offset_ns: i64,
    /// A reading of each probe.
    pub readings: Vec<Reading>,
}

impl<'s, 'a> Rows<'s, 'a> {
    /// From the first row.
    ///
    /// # Errors
    /// [`ReadError::Io`].
    pub fn new(open: &Open<'a>, settled: &'s Settled) -> Result<Self, ReadError> {
        Ok(Self {
            records: settled.layout.script.records(open()?)?,
            places: Vec::new(),
            calendar: Calendar::default(),
            last_clock: None,
            line: 0,
            time_ns: None,
            offset_ns: 0,
            readings: Vec::with_capacity(settled.layout.probes.len()),
            settled,
        })
    }

    /// Goes to the next row that is not blank; false at the end.
    ///
    /// # Errors
    /// As [`Records::next`].
    pub fn step(&mut self) -> Result<bool, ReadError> {
        let layout = &self.settled.layout;
        loop {
            if self.records.next(layout.delimiter.quoting())?.is_none() {
                return Ok(false);
            }
            if self.records.line < layout.first_line {
                continue;
            }
            layout.delimiter.split(self.records.record(), &mut self.places);
            if !self.places.iter().all(Range::is_empty) {
                break;
            }
        }
        self.line = self.records.line;
        self.time_ns = self.time();
        self.readings.clear();
        for probe in &layout.probes {
            let reading = match self.places.get(probe.column) {
                None => Reading::Missing,
                Some(place) if place.is_empty() => Reading::Missing,
                Some(place) => {
                    let cell = &self.records.record()[place.clone()];
                    match plain(cell, self.settled.decimal) {
                        Some(value) => Reading::Value(probe.unit.to_c(value)),
                        None => match dressed(cell, self.settled.decimal) {
                            Some((value, unit)) => Reading::Value(unit.unwrap_or(probe.unit).to_c(value)),
                            None => Reading::Word,
                        },
                    }
                }
            };
            self.readings.push(reading);
        }
        Ok(true)
    }

    /// What a probe's cell says.
    #[must_use]
    pub fn word(&self, probe: usize) -> String {
        self.cell(self.settled.layout.probes[probe].column)
    }

    /// The row's time as written, or its first cell.
    #[must_use]
    pub fn time_text(&self) -> String {
        match self.settled.layout.times {
            Times::DateAndClock(a, b) => format!("{} {}", self.cell(a), self.cell(b)),
            Times::Stamp(c)
            | Times::Clock(c)
            | Times::ElapsedClock { column: c, .. }
            | Times::Elapsed { column: c, .. } => self.cell(c),
        }
    }

    /// Keeps the row's time as written, without taking new memory for each row.
    pub fn keep_time(&self, into: &mut Vec<u8>) {
        into.clear();
        let mut add = |column: usize| {
            if let Some(cell) = self.bytes(column) {
                if !into.is_empty() {
                    into.push(b' ');
                }
                into.extend_from_slice(&cell[..cell.len().min(40)]);
            }
        };
        match self.settled.layout.times {
            Times::DateAndClock(a, b) => {
                add(a);
                add(b);
            }
            Times::Stamp(c)
            | Times::Clock(c)
            | Times::ElapsedClock { column: c, .. }
            | Times::Elapsed { column: c, .. } => {
                add(c);
            }
        }
    }

    /// The row's beginning, to show where something is wrong.
    #[must_use]
    pub fn beginning(&self) -> String {
        text(self.records.record()).chars().take(40).collect()
    }

    fn cell(&self, column: usize) -> String {
        let cell = self
            .places
            .get(column)
            .map_or(&[][..], |p| &self.records.record()[p.clone()]);
        text(cell).chars().take(40).collect()
    }

    fn bytes(&self, column: usize) -> Option<&[u8]> {
        self.places.get(column).map(|p| &self.records.record()[p.clone()])
    }

    fn time(&mut self) -> Option<i64> {
        match self.settled.layout.times {
            Times::Stamp(column) => {
                let stamp = Stamp::parse(self.bytes(column)?)?;
                stamp.clock_ns?;
                self.offset_ns = i64::from(stamp.offset_s.unwrap_or(0)) * SECOND_NS;
                self.calendar.moment_ns(&stamp, self.settled.order)
            }
            Times::DateAndClock(date, clock) => {
                let clock = Stamp::parse(self.bytes(clock)?)?;
                let date = Stamp::parse(self.bytes(date)?)?;
                let stamp = Stamp {
                    date: date.date,
                    ..clock
                };
                stamp.clock_ns?;
                self.offset_ns = i64::from(stamp.offset_s.unwrap_or(0)) * SECOND_NS;
                self.calendar.moment_ns(&stamp, self.settled.order)
            }
            Times::Clock(column) => {
                let stamp = Stamp::parse(self.bytes(column)?)?;
                let clock = stamp.clock_ns.filter(|_| stamp.date == DateText::Absent)?;
                let day = match self.last_clock {
                    // A fall of more than half a day is a midnight.
                    Some((last, day)) if clock < last - DAY_NS / 2 => day + 1,
                    Some((_, day)) => day,
                    None => 0,
                };
                let before = self.last_clock.map_or(i64::MIN, |(last, day)| last + day * DAY_NS);
                let now = clock + day * DAY_NS;
                if now >= before {
                    self.last_clock = Some((clock, day));
                }
                Some(now)
            }
            Times::ElapsedClock { column, first_s } => {
                let stamp = Stamp::parse(self.bytes(column)?)?;
                let clock = stamp.clock_ns.filter(|_| stamp.date == DateText::Absent)?;
                Some(if first_s == 60 { clock / 60 } else { clock })
            }
            Times::Elapsed { column, scale_s } => {
                let cell = self.bytes(column)?;
                let value = plain(cell, self.settled.decimal).or_else(|| {
                    dressed(cell, self.settled.decimal)
                        .filter(|(_, unit)| unit.is_none())
                        .map(|(v, _)| v)
                })?;
                let ns = value * scale_s * 1e9;
                (ns.abs() < 9e18).then_some(ns.round() as i64)
            }
        }
    }
}

/// A moment that an option names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum When {
    /// On the log's own scale [ns].
    At(i64),
    /// The first such time of day [ns] from the first row on.
    Clock(i64),
    /// After the first row [ns].
    After(i64),
}

impl When {
    /// Reads it as the log writes times, or as a length such as `12 min` after the first row.
    ///
    /// # Errors
    /// [`ReadError::Option`].
    pub fn parse(option: &'static str, text: &str, settled: &Settled) -> Result<Self, ReadError> {
        let fault = |hint: &str| ReadError::Option {
            option,
            what: format!("\"{text}\" is no time of this log"),
            hint: hint.into(),
        };
        let trimmed = text.trim();
        let number_end = trimmed
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
            .unwrap_or(trimmed.len());
        let (number, unit) = trimmed.split_at(number_end);
        let scale_s = match unit.trim() {
            "s" | "sec" => Some(1.0),
            "min" => Some(60.0),
            "h" => Some(3600.0),
            _ => None,
        };
        let value = plain(number.as_bytes(), DecimalMark::Point).filter(|value| value.abs() < 1e9);
        if let (Some(value), Some(scale_s)) = (value, scale_s) {
            return Ok(Self::After((value * scale_s * 1e9).round() as i64));
        }
        match settled.layout.times {
            Times::Elapsed { scale_s, .. } => value
                .filter(|_| unit.is_empty())
                .map(|value| Self::At((value * scale_s * 1e9).round() as i64))
                .ok_or_else(|| fault("write a number as in the log's column of times, or a length such as \"12 min\"")),
            Times::ElapsedClock { first_s, .. } => Stamp::parse(trimmed.as_bytes())
                .filter(|stamp| stamp.date == DateText::Absent)
                .and_then(|stamp| stamp.clock_ns)
                .map(|clock| Self::At(if first_s == 60 { clock / 60 } else { clock }))
                .ok_or_else(|| fault("write it as the log does, or as a length such as \"12 min\"")),
            Times::Clock(_) | Times::Stamp(_) | Times::DateAndClock(..) => {
                let hint =
                    "write it as the log does, as a time of day such as 14:05, or as a length such as \"12 min\"";
                let stamp = Stamp::parse(trimmed.as_bytes()).ok_or_else(|| fault(hint))?;
                let clock = stamp.clock_ns.ok_or_else(|| fault(hint))?;
                if stamp.date == DateText::Absent {
                    return Ok(Self::Clock(clock));
                }
                Calendar::default()
                    .moment_ns(&stamp, settled.order)
                    .filter(|_| !matches!(settled.layout.times, Times::Clock(_)))
                    .map(Self::At)
                    .ok_or_else(|| fault(hint))
            }
        }
    }

    /// The moment [ns], once the first row's is known.
    #[must_use]
    pub fn moment_ns(self, first_ns: i64, offset_ns: i64) -> i64 {
        match self {
            Self::At(ns) => ns,
            Self::After(ns) => first_ns.saturating_add(ns),
            Self::Clock(clock) => {
                let own = first_ns.saturating_add(offset_ns);
                let midnight = own.div_euclid(DAY_NS) * DAY_NS;
                let on_first_day = midnight.saturating_add(clock);
                let own_moment = if on_first_day < own {
                    on_first_day.saturating_add(DAY_NS)
                } else {
                    on_first_day
                };
                own_moment.saturating_sub(offset_ns)
            }
        }
    }
}
