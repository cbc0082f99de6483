//! Times as people write them: `2026-11-28 09:00`, `Saturday 09:00`.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime, Time, Weekday};

const EXPECTED: &str = "write \"2026-11-28 09:00\" or \"Saturday 09:00\", local time";

/// Weekdays by their English names, Monday first.
const DAYS: [(&str, Weekday); 7] = [
    ("monday", Weekday::Monday),
    ("tuesday", Weekday::Tuesday),
    ("wednesday", Weekday::Wednesday),
    ("thursday", Weekday::Thursday),
    ("friday", Weekday::Friday),
    ("saturday", Weekday::Saturday),
    ("sunday", Weekday::Sunday),
];

/// The local time it is now.
#[must_use]
pub fn now() -> DateTime {
    jiff::ZonedDateTime::now().datetime()
}

/// A time to come: a date and time, or a weekday and time, which is the next one after `now`.
///
/// # Errors
/// What is wrong and how to write it, one sentence.
pub fn coming(text: &str, now: DateTime) -> Result<DateTime, String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    if let [day, rest @ ..] = words.as_slice()
        && let Some(weekday) = weekday(day)
    {
        let [time] = rest else {
            return Err(format!("\"{text}\" needs one time after the day: {EXPECTED}"));
        };
        return next(weekday, clock_time(time)?, now).ok_or_else(|| format!("no such day in the calendar: \"{text}\""));
    }
    let at = fixed(text)?;
    if at <= now {
        return Err(format!(
            "\"{text}\" is past: it is {} now",
            now.strftime("%A %Y-%m-%d %H:%M")
        ));
    }
    Ok(at)
}

/// A date and time: `2026-11-28 09:00`, `2026-11-28T09:00`, `2026-11-28T09:00:00`.
///
/// # Errors
/// What is wrong and how to write it, one sentence.
pub fn fixed(text: &str) -> Result<DateTime, String> {
    let met = text.trim();
    let Some((date, time)) = met.split_once(['T', 't', ' ']) else {
        let missing = if met.parse::<Date>().is_ok() {
            "has no time of day"
        } else {
            "is no date and time"
        };
        return Err(format!("\"{met}\" {missing}: {EXPECTED}"));
    };
    if date.len() != 10 {
        return Err(format!("\"{date}\" is no date: {EXPECTED}"));
    }
    let date: Date = date
        .parse()
        .map_err(|_| format!("\"{date}\" is no date of the calendar: {EXPECTED}"))?;
    Ok(date.to_datetime(clock_time(time.trim())?))
}

/// The first such weekday and time after `after`.
#[must_use]
pub fn next(weekday: Weekday, time: Time, after: DateTime) -> Option<DateTime> {
    (0..=7).find_map(|days| {
        let date = after.date().checked_add(i64::from(days).days()).ok()?;
        let at = date.to_datetime(time);
        (date.weekday() == weekday && at > after).then_some(at)
    })
}

/// A weekday by its name or the first three or more letters of it.
fn weekday(word: &str) -> Option<Weekday> {
    let word = word.trim_end_matches([',', '.']).to_lowercase();
    if word.len() < 3 {
        return None;
    }
    DAYS.iter()
        .find(|(name, _)| name.starts_with(&word))
        .map(|&(_, day)| day)
}

/// A time of day, `9:00`, `09:00` or `09:00:00`.
fn clock_time(text: &str) -> Result<Time, String> {
    let fault = || format!("\"{text}\" is no time of day: {EXPECTED}");
    let parts: Vec<&str> = text.split(':').collect();
    let number = |part: &str| {
        let digits = (1..=2).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
        if digits {
            part.parse::<i8>().map_err(|_| fault())
        } else {
            Err(fault())
        }
    };
    let (hour, minute, second) = match parts.as_slice() {
        [hour, minute] if minute.len() == 2 => (number(hour)?, number(minute)?, 0),
        [hour, minute, second] if minute.len() == 2 && second.len() == 2 => {
            (number(hour)?, number(minute)?, number(second)?)
        }
        _ => return Err(fault()),
    };
    Time::new(hour, minute, second, 0).map_err(|_| fault())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// A Wednesday.
    const NOW: DateTime = date(2026, 11, 25).at(12, 0, 0, 0);

    #[test]
    fn a_weekday_is_the_next_one_after_now() {
        assert_eq!(coming("Saturday 09:00", NOW), Ok(date(2026, 11, 28).at(9, 0, 0, 0)));
        assert_eq!(coming("sat 9:00", NOW), Ok(date(2026, 11, 28).at(9, 0, 0, 0)));
        assert_eq!(coming("Wednesday 13:00", NOW), Ok(date(2026, 11, 25).at(13, 0, 0, 0)));
        assert_eq!(coming("Wednesday 12:00", NOW), Ok(date(2026, 12, 2).at(12, 0, 0, 0)));
    }

    #[test]
    fn iso_forms_are_read() {
        let at = date(2026, 11, 28).at(9, 0, 0, 0);
        for text in [
            "2026-11-28 09:00",
            "2026-11-28T09:00",
            "2026-11-28T09:00:00",
            " 2026-11-28 9:00 ",
        ] {
            assert_eq!(coming(text, NOW), Ok(at), "{text}");
        }
    }

    #[test]
    fn what_could_be_meant_twice_or_is_no_time_is_refused() {
        for text in [
            "",
            "Saturday",
            "Someday 09:00",
            "Sa 09:00",
            "28/11/2026 09:00",
            "2026-11-28",
            "2026-11-31 09:00",
            "2026-11-28 25:00",
            "2026-11-28 9",
            "2026-11-28T09:00Z",
            "2026-11-28T09:00+01:00",
            "2026-11-20 09:00",
            "Saturday 9",
            "Saturday 09:00 sharp",
            "99999-01-01 09:00",
            "-2026-1-1 09:00",
        ] {
            assert!(coming(text, NOW).is_err(), "{text}");
        }
    }
}
