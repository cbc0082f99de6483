//! A cell into a moment: dates in any order, clocks of 12 or 24 hours, zones, fractions.
//!
//! Nothing is guessed: an order of day and month is a set of candidates, and every row of the log
//! strikes out those that would make it no date.

use jiff::civil::Date;

/// Orders of day, month and year, as a set of those still possible.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Orders(u8);

/// One order of day, month and year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// 14/3/2026
    DayMonthYear,
    /// 3/14/2026
    MonthDayYear,
    /// 2026-3-14
    YearMonthDay,
}

const ORDERS: [DateOrder; 3] = [
    DateOrder::DayMonthYear,
    DateOrder::MonthDayYear,
    DateOrder::YearMonthDay,
];

impl Orders {
    /// Every order.
    pub const ALL: Self = Self(0b111);

    /// Only this one.
    #[must_use]
    pub const fn only(order: DateOrder) -> Self {
        Self(1 << order as u8)
    }

    /// Those in both.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Whether none is left.
    #[must_use]
    pub const fn none(self) -> bool {
        self.0 == 0
    }

    /// The one that is left, if it is one.
    #[must_use]
    pub fn one(self) -> Option<DateOrder> {
        let mut left = self.each();
        left.next().filter(|_| left.next().is_none())
    }

    fn each(self) -> impl Iterator<Item = DateOrder> {
        ORDERS
            .into_iter()
            .filter(move |&order| self.0 & (1 << order as u8) != 0)
    }
}

/// A date as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateText {
    /// None.
    Absent,
    /// Year, month, day, told apart by the writing itself.
    Known(i16, i8, i8),
    /// Three numbers in some order; whether the last has four digits.
    Open([u32; 3], bool),
}

/// A moment as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stamp {
    /// The date.
    pub date: DateText,
    /// Time of day [ns], where one is written; hours may exceed 23 in elapsed times.
    pub clock_ns: Option<i64>,
    /// Number before the first colon, and how many numbers the clock has.
    pub clock_shape: (u32, usize),
    /// Distance from UTC [s], where one is written.
    pub offset_s: Option<i32>,
}

const SECOND_NS: i64 = 1_000_000_000;
const DAY_S: i64 = 86_400;

/// Names of months by their first letters, in the languages loggers are sold in: English, German,
/// French, Spanish, Italian, Dutch, Portuguese.
const MONTHS: [&[&str]; 12] = [
    &["jan", "gen", "ene", "jän"],
    &["feb", "fév", "fev"],
    &["mar", "mär", "mrt", "maa", "mrz"],
    &["apr", "avr", "abr"],
    &["may", "mai", "mag", "mei"],
    &["jun", "giu", "juin"],
    &["jul", "lug", "juil"],
    &["aug", "aoû", "aou", "ago"],
    &["sep", "set"],
    &["oct", "okt", "ott", "out"],
    &["nov"],
    &["dec", "dez", "déc", "dic"],
];

impl Stamp {
    /// Reads a cell; `None` for what is no date and no time of day.
    ///
    /// A bare number is none.
    #[must_use]
    pub fn parse(cell: &[u8]) -> Option<Self> {
        if cell.is_empty() || cell.len() > 48 || !cell.iter().any(u8::is_ascii_digit) {
            return None;
        }
        let mut tokens = Tokens::default();
        tokens.read(cell)?;
        tokens.stamp()
    }
}

/// One group of digits.
#[derive(Debug, Clone, Copy, Default)]
struct Digits {
    value: u32,
    width: u8,
    /// Byte before it.
    before: u8,
    /// Byte after it.
    after: u8,
}

#[derive(Debug, Default)]
struct Tokens {
    groups: [Digits; 8],
    many: usize,
    month: Option<i8>,
    afternoon: Option<bool>,
    offset_s: Option<i32>,
    fraction_ns: i64,
    compact_after: bool,
}

impl Tokens {
    fn read(&mut self, cell: &[u8]) -> Option<()> {
        let mut colons = 0_u8;
        let mut i = 0;
        while i < cell.len() {
            let byte = cell[i];
            match byte {
                b'0'..=b'9' => {
                    let from = i;
                    let mut value = 0_u32;
                    while i < cell.len() && cell[i].is_ascii_digit() {
                        if i - from >= 9 {
                            return None;
                        }
                        value = value * 10 + u32::from(cell[i] - b'0');
                        i += 1;
                    }
                    let group = Digits {
                        value,
                        width: (i - from) as u8,
                        before: if from == 0 { 0 } else { cell[from - 1] },
                        after: cell.get(i).copied().unwrap_or(0),
                    };
                    // The decimals of a second: after a point or comma behind a clock's third number.
                    if matches!(group.before, b'.' | b',') && colons == 2 && self.last_after_colon() {
                        if self.fraction_ns != 0 {
                            return None;
                        }
                        self.fraction_ns =
                            i64::from(value) * 10_i64.checked_pow(9 - u32::from(group.width)).unwrap_or(0);
                        continue;
                    }
                    *self.groups.get_mut(self.many)? = group;
                    self.many += 1;
                }
                b':' => {
                    colons += 1;
                    if colons > 3 || self.many == 0 {
                        return None;
                    }
                    i += 1;
                }
                b'+' | b'-' if colons > 0 || self.compact_after => {
                    self.offset_s = Some(offset_s(&cell[i..])?);
                    return Some(());
                }
                b'-' if self.many == 0 => return None,
                b'/' | b'-' | b'.' | b',' | b' ' | b'\'' => i += 1,
                b'Z' if i + 1 == cell.len() => {
                    self.offset_s = Some(0);
                    i += 1;
                }
                b'T' | b't' if self.many > 0 && cell.get(i + 1).is_some_and(u8::is_ascii_digit) => {
                    self.compact_after = true;
                    i += 1;
                }
                _ => {
                    let from = i;
                    while i < cell.len() && (cell[i].is_ascii_alphabetic() || cell[i] >= 0x80 || cell[i] == b'.') {
                        i += 1;
                    }
                    if i == from {
                        return None;
                    }
                    self.word(&cell[from..i])?;
                }
            }
        }
        Some(())
    }

    fn last_after_colon(&self) -> bool {
        self.many > 0 && self.groups[self.many - 1].before == b':'
    }

    fn word(&mut self, word: &[u8]) -> Option<()> {
        let word = crate::cells::text(word).to_lowercase().replace('.', "");
        match word.as_str() {
            "am" | "a" => self.afternoon = Some(false),
            "pm" | "p" => self.afternoon = Some(true),
            "z" | "utc" | "gmt" => self.offset_s = Some(0),
            "" | "mon" | "tue" | "wed" | "thu" | "fri" | "sat" | "sun" | "monday" | "tuesday" | "wednesday"
            | "thursday" | "friday" | "saturday" | "sunday" => {}
            _ => {
                let month = MONTHS
                    .iter()
                    .position(|names| names.iter().any(|name| word.starts_with(name)))?;
                if self.month.is_some() || word.chars().count() > 10 {
                    return None;
                }
                self.month = i8::try_from(month + 1).ok();
            }
        }
        Some(())
    }

    fn stamp(&self) -> Option<Stamp> {
        let groups = &self.groups[..self.many];
        if groups.len() == 1 && self.month.is_none() {
            return self.compact(groups[0], None);
        }
        if let ([date, clock], true) = (groups, self.compact_after)
            && date.width == 8
            && clock.after != b':'
        {
            return self.compact(*date, Some(*clock));
        }
        let colon = groups.iter().position(|g| g.after == b':');
        let clock_at = match (colon, groups.len()) {
            (Some(at), _) => at,
            // 14.03.2026 10.15 and 14.03.2026 10.15.30
            (None, 5 | 6) => 3,
            (None, many) => many,
        };
        let (date, clock) = groups.split_at(clock_at);
        let clock_ns = if clock.is_empty() {
            None
        } else {
            Some(self.clock(clock)?)
        };
        Some(Stamp {
            date: self.date(date)?,
            clock_ns,
            clock_shape: (clock.first().map_or(0, |g| g.value), clock.len()),
            offset_s: self.offset_s,
        })
    }

    /// 20260314 and 101530 or 1015; 14 digits in one.
    fn compact(&self, date: Digits, clock: Option<Digits>) -> Option<Stamp> {
        let clock = clock?;
        let (hour, minute, second) = match clock.width {
            6 => (clock.value / 10_000, clock.value / 100 % 100, clock.value % 100),
            4 => (clock.value / 100, clock.value % 100, 0),
            _ => return None,
        };
        let v = date.value;
        Some(Stamp {
            date: known(v / 10_000, v / 100 % 100, v % 100)?,
            clock_ns: Some(clock_ns(hour, minute, second, self.fraction_ns)?),
            clock_shape: (hour, 3),
            offset_s: self.offset_s,
        })
    }

    fn clock(&self, clock: &[Digits]) -> Option<i64> {
        let (hour, minute, second) = match clock {
            [h, m] => (h.value, m.value, 0),
            [h, m, s] => (h.value, m.value, s.value),
            _ => return None,
        };
        let hour = match self.afternoon {
            None => hour,
            Some(_) if !(1..=12).contains(&hour) => return None,
            Some(afternoon) => hour % 12 + if afternoon { 12 } else { 0 },
        };
        clock_ns(hour, minute, second, self.fraction_ns)
    }

    fn date(&self, date: &[Digits]) -> Option<DateText> {
        match (date, self.month) {
            ([], None) => Some(DateText::Absent),
            ([a, b], Some(month)) => {
                let (day, year) = if a.width == 4 { (b, a) } else { (a, b) };
                known(full_year(year)?, u32::from(month.unsigned_abs()), day.value)
            }
            // Year and day of the year.
            ([year, day], None) if year.width == 4 && day.width == 3 => {
                let first = Date::new(i16::try_from(year.value).ok()?, 1, 1).ok()?;
                let date = first
                    .checked_add(jiff::Span::new().try_days(i64::from(day.value) - 1).ok()?)
                    .ok()?;
                (date.year() == first.year()).then_some(DateText::Known(date.year(), date.month(), date.day()))
            }
            ([y, m, d], None) if y.width == 4 => known(y.value, m.value, d.value),
            ([a, b, c], None) if a.width <= 2 && b.width <= 2 && matches!(c.width, 2 | 4) => {
                Some(DateText::Open([a.value, b.value, c.value], c.width == 4))
            }
            _ => None,
        }
    }
}

fn full_year(group: &Digits) -> Option<u32> {
    match group.width {
        4 => Some(group.value),
        2 => Some(2000 + group.value),
        _ => None,
    }
}

fn known(year: u32, month: u32, day: u32) -> Option<DateText> {
    let date = Date::new(
        i16::try_from(year).ok()?,
        i8::try_from(month).ok()?,
        i8::try_from(day).ok()?,
    )
    .ok()?;
    Some(DateText::Known(date.year(), date.month(), date.day()))
}

fn clock_ns(hour: u32, minute: u32, second: u32, fraction_ns: i64) -> Option<i64> {
    if minute > 59 || second > 60 || hour > 99_999 {
        return None;
    }
    Some(i64::from(hour * 3600 + minute * 60 + second) * SECOND_NS + fraction_ns)
}

/// `+01:00`, `-0530`, `+02`.
fn offset_s(text: &[u8]) -> Option<i32> {
    let sign = if text[0] == b'-' { -1 } else { 1 };
    let digits: Vec<i32> = text[1..]
        .iter()
        .filter(|&&b| b != b':')
        .map(|b| b.is_ascii_digit().then(|| i32::from(b - b'0')))
        .collect::<Option<_>>()?;
    let (hours, minutes) = match digits[..] {
        [a, b] => (10 * a + b, 0),
        [a, b, c, d] => (10 * a + b, 10 * c + d),
        _ => return None,
    };
    (hours <= 18 && minutes < 60).then_some(sign * (hours * 3600 + minutes * 60))
}

/// Dates into days, remembering the last one.
#[derive(Debug, Clone, Default)]
pub struct Calendar {
    last: Option<(DateText, Option<DateOrder>, i64)>,
}

impl Calendar {
    /// Days since 1 January 1970; `None` for no date in that order.
    pub fn day(&mut self, date: DateText, order: Option<DateOrder>) -> Option<i64> {
        if let Some((before, under, day)) = self.last
            && before == date
            && under == order
        {
            return Some(day);
        }
        let (year, month, day) = match date {
            DateText::Absent => return None,
            DateText::Known(y, m, d) => (y, m, d),
            DateText::Open(numbers, long_year) => in_order(numbers, long_year, order?)?,
        };
        let date_then = Date::new(year, month, day).ok()?;
        let number = date_then.duration_since(Date::new(1970, 1, 1).ok()?).as_secs() / DAY_S;
        self.last = Some((date, order, number));
        Some(number)
    }

    /// Moment [ns] since 1 January 1970: UTC where a zone is written, else the log's own clock.
    pub fn moment_ns(&mut self, stamp: &Stamp, order: Option<DateOrder>) -> Option<i64> {
        let day = self.day(stamp.date, order)?;
        let clock = stamp.clock_ns.unwrap_or(0);
        let seconds = day * DAY_S - i64::from(stamp.offset_s.unwrap_or(0));
        seconds.checked_mul(SECOND_NS)?.checked_add(clock)
    }
}

fn in_order([a, b, c]: [u32; 3], long_year: bool, order: DateOrder) -> Option<(i16, i8, i8)> {
    let year = |y: u32| if long_year { y } else { 2000 + y };
    let (y, m, d) = match order {
        DateOrder::DayMonthYear => (year(c), b, a),
        DateOrder::MonthDayYear => (year(c), a, b),
        DateOrder::YearMonthDay if long_year => return None,
        DateOrder::YearMonthDay => (year(a), b, c),
    };
    Some((i16::try_from(y).ok()?, i8::try_from(m).ok()?, i8::try_from(d).ok()?))
}

/// The orders under which a date is one.
#[must_use]
pub fn possible(date: DateText) -> Orders {
    match date {
        DateText::Absent | DateText::Known(..) => Orders::ALL,
        DateText::Open(numbers, long_year) => {
            let fits = |order| in_order(numbers, long_year, order).is_some_and(|(y, m, d)| Date::new(y, m, d).is_ok());
            Orders(
                ORDERS
                    .into_iter()
                    .filter(|&o| fits(o))
                    .fold(0, |set, o| set | 1 << o as u8),
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Milliseconds since 1970 of a text in an order.
    fn at(text: &str, order: Option<DateOrder>) -> Option<i64> {
        let stamp = Stamp::parse(text.as_bytes())?;
        Calendar::default().moment_ns(&stamp, order).map(|ns| ns / 1_000_000)
    }

    /// 14 March 2026 10:15:30 UTC.
    const THEN: i64 = 1_773_483_330_000;

    #[test]
    fn one_moment_is_read_from_every_writing() {
        let day_first = Some(DateOrder::DayMonthYear);
        for (text, order) in [
            ("2026-03-14T10:15:30Z", None),
            ("2026-03-14 10:15:30", None),
            ("2026-03-14T11:15:30+01:00", None),
            ("2026-03-14T05:45:30-0430", None),
            ("20260314T101530Z", None),
            ("2026/03/14 10:15:30 AM", None),
            ("2026-073 10:15:30", None),
            ("14 Mar 2026 10:15:30", None),
            ("Sat, 14 March 2026 10:15:30 a.m.", None),
            ("14-MAR-26 10:15:30", None),
            ("14.03.2026 10:15:30", day_first),
            ("14.03.2026 10.15.30", day_first),
            ("14/3/26 10:15:30", day_first),
            ("3/14/2026 10:15:30 AM", Some(DateOrder::MonthDayYear)),
            ("26-03-14 10:15:30", Some(DateOrder::YearMonthDay)),
        ] {
            assert_eq!(at(text, order), Some(THEN), "{text}");
        }
        assert_eq!(at("2026-03-14T10:15:30.250Z", None), Some(THEN + 250));
        assert_eq!(at("2026-03-14 10:15:30,5", None), Some(THEN + 500));
        assert_eq!(at("2026-03-14 10:15:30 pm", None), Some(THEN + 43_200_000));
    }

    #[test]
    fn twelve_hour_clocks_turn_at_noon_and_midnight() {
        let hour = |text: &str| {
            Stamp::parse(text.as_bytes())
                .and_then(|s| s.clock_ns)
                .map(|ns| ns / 3_600 / SECOND_NS)
        };
        assert_eq!(hour("12:00:00 AM"), Some(0));
        assert_eq!(hour("12:00 pm"), Some(12));
        assert_eq!(hour("1:00 p.m."), Some(13));
        assert_eq!(hour("13:00 PM"), None);
        assert_eq!(hour("0:00 AM"), None);
    }

    #[test]
    fn what_is_no_moment_is_none() {
        for text in [
            "85.3",
            "-5",
            "12",
            "OL",
            "10:75",
            "2026-02-30 10:00",
            "1,234.5",
            "10:15:30 85",
            "",
            "v1.2.3a",
        ] {
            let date = Stamp::parse(text.as_bytes());
            assert!(date.is_none(), "{text}: {date:?}");
        }
    }

    #[test]
    fn a_thirteenth_month_proves_the_order() {
        let orders = |text: &str| Stamp::parse(text.as_bytes()).map(|s| possible(s.date));
        assert_eq!(
            orders("13/04/2026").and_then(Orders::one),
            Some(DateOrder::DayMonthYear)
        );
        assert_eq!(
            orders("04/13/2026").and_then(Orders::one),
            Some(DateOrder::MonthDayYear)
        );
        assert_eq!(orders("3/4/2026").and_then(Orders::one), None);
        assert_eq!(orders("32-03-04").and_then(Orders::one), Some(DateOrder::YearMonthDay));
        assert_eq!(orders("40/40/2026").map(Orders::none), Some(true));
    }

    proptest! {
        #[test]
        fn nothing_panics(bytes in proptest::collection::vec(any::<u8>(), 0..40)) {
            let _ = Stamp::parse(&bytes);
        }

        #[test]
        fn nothing_like_a_date_panics(text in "[0-9:/. TZapm+,-]{0,40}") {
            if let Some(stamp) = Stamp::parse(text.as_bytes()) {
                for order in ORDERS {
                    let _ = Calendar::default().moment_ns(&stamp, Some(order));
                }
            }
        }
    }
}
