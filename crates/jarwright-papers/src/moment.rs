//! Times of the clock as the plan writes them: a day's words, then hours and minutes.

const DAY_MIN: f64 = 24.0 * 60.0;

/// A local time: the day's words and the minutes since its midnight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Moment<'a> {
    /// The day as written.
    pub(crate) day: &'a str,
    /// Minutes since midnight.
    pub(crate) minutes: f64,
}

impl<'a> Moment<'a> {
    /// Reads `Saturday 28 November 2026, 09:00` or `2026-11-28T09:00`; nothing without a time.
    pub(crate) fn read(at: &'a str) -> Option<Self> {
        let colon = at.rfind(':').filter(|&i| i >= 2)?;
        // `09:00:00` has two colons; hours and minutes are round the first of them.
        let colon = match at[..colon].rfind(':') {
            Some(first) if first + 3 == colon => first,
            _ => colon,
        };
        let two = |from: usize| at.get(from..from + 2)?.parse::<u8>().ok();
        let (hour, minute) = (two(colon.checked_sub(2)?)?, two(colon + 1)?);
        if hour > 23 || minute > 59 {
            return None;
        }
        let day = at[..colon - 2].trim_end_matches([' ', ',', 'T']);
        Some(Self {
            day,
            minutes: f64::from(hour) * 60.0 + f64::from(minute),
        })
    }
}

/// `2026-11-27` as `Friday 27 November 2026`; any other words as they are.
pub(crate) fn day_words(day: &str) -> String {
    const DAYS: [&str; 7] = [
        "Sunday",
        "Monday",
        "Tuesday",
        "Wednesday",
        "Thursday",
        "Friday",
        "Saturday",
    ];
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    // Shift of the weekday at the start of each month, January and February counted to the
    // year before (Sakamoto's rule of the Gregorian calendar).
    const SHIFT: [i64; 12] = [0, 3, 2, 5, 0, 3, 5, 1, 4, 6, 2, 4];
    let mut parts = day.split('-').map(|part| part.parse::<u16>().ok());
    let (Some(Some(year)), Some(Some(month)), Some(Some(date)), None) =
        (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return day.into();
    };
    let Some(index) = usize::from(month).checked_sub(1).filter(|&i| i < 12) else {
        return day.into();
    };
    let y = i64::from(year) - i64::from(month < 3);
    let weekday = (y + y / 4 - y / 100 + y / 400 + SHIFT[index] + i64::from(date)).rem_euclid(7);
    let name = usize::try_from(weekday).map_or("", |i| DAYS[i]);
    format!("{name} {date} {} {year}", MONTHS[index])
}

/// `07:45`; from the next midnight on `07:45 next day`, later `07:45, 2 days later`.
pub(crate) fn clock_words(minutes: f64) -> String {
    let whole = minutes.round();
    if !whole.is_finite() {
        return "unknown".into();
    }
    let (days, rest) = ((whole / DAY_MIN).floor(), whole.rem_euclid(DAY_MIN));
    let time = format!("{:02.0}:{:02.0}", (rest / 60.0).floor(), rest % 60.0);
    match days {
        d if d < 1.0 => time,
        d if d < 2.0 => format!("{time} next day"),
        d => format!("{time}, {d:.0} days later"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_ways_of_writing_a_time_are_read() {
        let words = Moment::read("Saturday 28 November 2026, 09:05");
        assert_eq!(
            words,
            Some(Moment {
                day: "Saturday 28 November 2026",
                minutes: 545.0
            })
        );
        let iso = Moment::read("2026-11-28T09:05:00");
        assert_eq!(
            iso,
            Some(Moment {
                day: "2026-11-28",
                minutes: 545.0
            })
        );
        assert_eq!(
            Moment::read("07:00"),
            Some(Moment {
                day: "",
                minutes: 420.0
            })
        );
    }

    #[test]
    fn days_have_their_names() {
        // Weekdays of dates everyone can look up.
        assert_eq!(day_words("2000-01-01"), "Saturday 1 January 2000");
        assert_eq!(day_words("1969-07-20"), "Sunday 20 July 1969");
        assert_eq!(day_words("2024-02-29"), "Thursday 29 February 2024");
        assert_eq!(day_words("2026-13-01"), "2026-13-01");
        assert_eq!(day_words("Friday 27 November"), "Friday 27 November");
    }

    #[test]
    fn what_is_no_time_is_none() {
        for at in ["", "soon", ":", "1:", "25:00", "12:75", "é:00", "aé:00", "09:é"] {
            assert_eq!(Moment::read(at), None, "{at}");
        }
    }

    #[test]
    fn times_past_midnight_say_so() {
        assert_eq!(clock_words(545.4), "09:05");
        assert_eq!(clock_words(545.0 + 1440.0), "09:05 next day");
        assert_eq!(clock_words(545.0 + 2880.0), "09:05, 2 days later");
    }
}
