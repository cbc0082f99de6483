//! The clock of a run: batches through one bath, over as many working days as it takes.
//!
//! Plain minutes in, civil times out. One pot works while the bath is busy, so the bath (or the
//! pot, when it is slower) sets the pace. Time is an argument: nothing here reads a clock.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime, Time};

/// Longest run that is laid out; beyond it the order is the wrong size for the kitchen.
pub const MOST_DAYS: usize = 14;

/// Days looked back from a deadline.
const MOST_DAYS_BACK: i32 = 60;

/// One batch and its load.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// Formula's name.
    pub formula: String,
    /// Number of the batch within its formula, from 1.
    pub batch: usize,
    /// Cooking [min].
    pub cook_min: f64,
    /// Straining, filling and capping [min].
    pub fill_min: f64,
    /// Whether the jars go through the bath; without a tested time they are chilled instead.
    pub bath: bool,
    /// From jars in the bath to full boil [min].
    pub come_up_min: f64,
    /// At the boil [min].
    pub hold_min: f64,
    /// Rest, lift out, swap water, ready for the next load [min].
    pub turn_round_min: f64,
    /// Wait after the last jar is out until it may leave [min].
    pub wait_min: f64,
}

/// When the kitchen works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hours {
    /// Opens, local time.
    pub opens: Time,
    /// Last load must be out by then, local time.
    pub closes: Time,
    /// From opening the door to the first pot on the heat [min].
    pub prepare_min: f64,
    /// Working days, Monday first; at least one.
    pub works: [bool; 7],
}

impl Hours {
    /// Whether the kitchen works on a day.
    #[must_use]
    pub fn works_on(&self, day: Date) -> bool {
        self.works[usize::from(day.weekday().to_monday_zero_offset().unsigned_abs())]
    }

    /// The `n`th working day from `first`, which counts if it is one.
    fn working_day(&self, first: Date, n: usize) -> Result<Date, ClockError> {
        let mut day = first;
        let mut left = n;
        // Two weeks hold every weekday at least twice, so a year holds any n this file asks for.
        for _ in 0..366 {
            if self.works_on(day) {
                if left == 0 {
                    return Ok(day);
                }
                left -= 1;
            }
            day = day.tomorrow().map_err(|_| ClockError::Calendar)?;
        }
        Err(ClockError::Calendar)
    }
}

/// One step with its local time.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Local time.
    pub at: DateTime,
    /// What.
    pub doing: Doing,
    /// Index of the turn, or none for the whole day.
    pub turn: Option<usize>,
    /// How long [min].
    pub takes_min: f64,
}

/// What a step is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Thermometers, scales, jars, weighing.
    Prepare,
    /// The pot on the heat.
    Cook,
    /// Strain, fill, cap.
    Fill,
    /// Jars in; come-up.
    JarsIn,
    /// Full boil: the time starts.
    Boil,
    /// Jars out.
    JarsOut,
    /// Into ice and refrigerator instead of the bath.
    Chill,
    /// Seals and pH known.
    Ready,
}

impl Doing {
    /// The step's word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Prepare => "prepare",
            Self::Cook => "cook",
            Self::Fill => "fill",
            Self::JarsIn => "jars-in",
            Self::Boil => "boil",
            Self::JarsOut => "jars-out",
            Self::Chill => "chill",
            Self::Ready => "ready",
        }
    }
}

/// A run laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Steps in order of time.
    pub steps: Vec<Step>,
    /// First step.
    pub starts: DateTime,
    /// Last load out.
    pub last_out: DateTime,
    /// Everything may leave.
    pub ready: DateTime,
    /// Working days used.
    pub days: usize,
}

/// Why a run cannot be laid out.
#[derive(Debug, Clone, PartialEq)]
pub enum ClockError {
    /// One batch alone does not fit between opening and closing.
    BatchLongerThanDay {
        /// Index of the turn.
        turn: usize,
        /// What it needs [min].
        needs_min: f64,
        /// What a day has [min].
        has_min: f64,
    },
    /// More working days than [`MOST_DAYS`].
    TooManyDays {
        /// Days needed.
        days: usize,
    },
    /// A date outside the calendar.
    Calendar,
}

/// Minutes of each turn's events from opening, day by day.
#[derive(Debug, Clone, PartialEq)]
struct Placed {
    turn: usize,
    day: usize,
    cook: f64,
    fill: f64,
    jars_in: f64,
    boil: f64,
    out: f64,
}

fn day_minutes(hours: &Hours) -> f64 {
    minute_of(hours.closes) - minute_of(hours.opens)
}

fn minute_of(time: Time) -> f64 {
    f64::from(time.hour()) * 60.0 + f64::from(time.minute())
}

/// Places every turn at its earliest, opening a new day when one no longer fits.
fn place(turns: &[Turn], hours: &Hours) -> Result<Vec<Placed>, ClockError> {
    let has_min = day_minutes(hours);
    let mut placed = Vec::with_capacity(turns.len());
    let (mut day, mut pot_free, mut bath_free) = (0, hours.prepare_min, hours.prepare_min);
    for (index, turn) in turns.iter().enumerate() {
        for attempt in 0..2 {
            // The pot starts so that the jars meet a ready bath, never earlier than it is free.
            let bath_ready = if turn.bath {
                bath_free - turn.cook_min - turn.fill_min
            } else {
                pot_free
            };
            let cook = pot_free.max(bath_ready);
            let fill = cook + turn.cook_min;
            let jars_in = fill + turn.fill_min;
            let boil = jars_in + turn.come_up_min;
            let out = if turn.bath {
                boil + turn.hold_min
            } else {
                jars_in + turn.turn_round_min
            };
            // Rest, lifting out and clearing away belong to the day too.
            let done = if turn.bath { out + turn.turn_round_min } else { out };
            if done > has_min {
                if attempt == 1 || (day == 0 && index == 0) {
                    return Err(ClockError::BatchLongerThanDay {
                        turn: index,
                        needs_min: done,
                        has_min,
                    });
                }
                day += 1;
                if day >= MOST_DAYS {
                    let done = index.max(1);
                    return Err(ClockError::TooManyDays {
                        days: (day * turns.len()).div_ceil(done),
                    });
                }
                (pot_free, bath_free) = (hours.prepare_min, hours.prepare_min);
                continue;
            }
            placed.push(Placed {
                turn: index,
                day,
                cook,
                fill,
                jars_in,
                boil,
                out,
            });
            pot_free = jars_in;
            if turn.bath {
                bath_free = out + turn.turn_round_min;
            }
            break;
        }
    }
    Ok(placed)
}

/// Lays a run out from the opening of `first_day`, its first step `later_min` after opening.
///
/// # Errors
/// See [`ClockError`].
pub fn lay_out(turns: &[Turn], hours: &Hours, first_day: Date, later_min: f64) -> Result<Layout, ClockError> {
    let placed = place(turns, hours)?;
    let at = |day: usize, minute: f64| -> Result<DateTime, ClockError> {
        let open = hours.working_day(first_day, day)?.to_datetime(hours.opens);
        // Whole minutes, as clocks show them, so that what is printed adds up.
        let minutes = (minute + later_min).round() as i64;
        open.checked_add(minutes.minutes()).map_err(|_| ClockError::Calendar)
    };
    let mut steps = Vec::new();
    let mut ready = at(0, 0.0)?;
    let mut last_out = ready;
    let mut prepared = None;
    for p in &placed {
        let turn = &turns[p.turn];
        if prepared != Some(p.day) {
            steps.push(Step {
                at: at(p.day, 0.0)?,
                doing: Doing::Prepare,
                turn: None,
                takes_min: hours.prepare_min,
            });
            prepared = Some(p.day);
        }
        for (minute, doing, takes_min) in [
            (p.cook, Doing::Cook, turn.cook_min),
            (p.fill, Doing::Fill, turn.fill_min),
        ] {
            steps.push(Step {
                at: at(p.day, minute)?,
                doing,
                turn: Some(p.turn),
                takes_min,
            });
        }
        let bathed = [
            (p.jars_in, Doing::JarsIn, turn.come_up_min),
            (p.boil, Doing::Boil, turn.hold_min),
            (p.out, Doing::JarsOut, turn.turn_round_min),
        ];
        let chilled = [(p.jars_in, Doing::Chill, turn.turn_round_min)];
        let after: &[_] = if turn.bath { &bathed } else { &chilled };
        for &(minute, doing, takes_min) in after {
            steps.push(Step {
                at: at(p.day, minute)?,
                doing,
                turn: Some(p.turn),
                takes_min,
            });
        }
        let done = if turn.bath { p.out + turn.turn_round_min } else { p.out };
        last_out = last_out.max(at(p.day, done)?);
        ready = ready.max(at(p.day, done + turn.wait_min)?);
    }
    // Nobody reads a pH meter on a closed day.
    if !hours.works_on(ready.date()) {
        ready = hours.working_day(ready.date(), 0)?.to_datetime(hours.opens);
    }
    steps.push(Step {
        at: ready,
        doing: Doing::Ready,
        turn: None,
        takes_min: 0.0,
    });
    steps.sort_by_key(|step| step.at);
    Ok(Layout {
        starts: at(0, 0.0)?,
        steps,
        last_out,
        ready,
        days: placed.last().map_or(1, |p| p.day + 1),
    })
}

/// The latest working days on which the run is ready by `by`, its start as late as it can be.
///
/// `Ok(None)` when no day within the look-back serves.
///
/// # Errors
/// See [`ClockError`].
pub fn latest_for(turns: &[Turn], hours: &Hours, by: DateTime) -> Result<Option<Layout>, ClockError> {
    for back in 0..MOST_DAYS_BACK {
        let day = by.date().checked_sub(back.days()).map_err(|_| ClockError::Calendar)?;
        if !hours.works_on(day) {
            continue;
        }
        let early = lay_out(turns, hours, day, 0.0)?;
        if early.ready > by {
            continue;
        }
        let spare_min = minutes_between(early.ready, by);
        let closes = early.last_out.date().to_datetime(hours.closes);
        // A run of several days keeps to opening time; a single day can start later.
        let later = if early.days == 1 {
            spare_min.min(minutes_between(early.last_out, closes)).max(0.0)
        } else {
            0.0
        };
        let late = lay_out(turns, hours, day, later.floor())?;
        // A later start may push the end over midnight into a closed day.
        return Ok(Some(if late.ready <= by { late } else { early }));
    }
    Ok(None)
}

/// How many of the turns are ready by `by` when the run starts at the opening of `first_day`.
///
/// # Errors
/// See [`ClockError`].
pub fn ready_by(turns: &[Turn], hours: &Hours, first_day: Date, by: DateTime) -> Result<usize, ClockError> {
    let mut many = 0;
    for upto in 1..=turns.len() {
        match lay_out(&turns[..upto], hours, first_day, 0.0) {
            Ok(layout) if layout.ready <= by => many = upto,
            Ok(_) | Err(ClockError::TooManyDays { .. }) => break,
            Err(error) => return Err(error),
        }
    }
    Ok(many)
}

/// The first day that still opens at or after `now`.
#[must_use]
pub fn next_opening(now: DateTime, hours: &Hours) -> Date {
    if now.time() <= hours.opens {
        now.date()
    } else {
        now.date().tomorrow().unwrap_or(now.date())
    }
}

/// `minutes` after `at`, in whole minutes; `at` itself at the end of the calendar.
#[must_use]
pub fn later(at: DateTime, minutes: f64) -> DateTime {
    at.checked_add((minutes.round() as i64).minutes()).unwrap_or(at)
}

/// Minutes from `a` to `b`, negative when `b` is earlier.
#[must_use]
pub fn minutes_between(a: DateTime, b: DateTime) -> f64 {
    b.duration_since(a).as_secs_f64() / 60.0
}

/// `Saturday 28 November 2026, 09:00`.
#[must_use]
pub fn words(at: DateTime) -> String {
    at.strftime("%A %-d %B %Y, %H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time};

    fn turn(batch: usize) -> Turn {
        Turn {
            formula: "curd".into(),
            batch,
            bath: true,
            cook_min: 20.0,
            fill_min: 10.0,
            come_up_min: 28.0,
            hold_min: 15.0,
            turn_round_min: 10.0,
            wait_min: 24.0 * 60.0,
        }
    }

    const HOURS: Hours = Hours {
        opens: time(6, 30, 0, 0),
        closes: time(19, 0, 0, 0),
        prepare_min: 30.0,
        works: [true; 7],
    };

    #[test]
    fn the_bath_sets_the_pace() -> Result<(), ClockError> {
        let turns: Vec<Turn> = (1..=6).map(turn).collect();
        let layout = lay_out(&turns, &HOURS, date(2026, 11, 27), 0.0)?;
        let boils: Vec<DateTime> = layout
            .steps
            .iter()
            .filter(|s| s.doing == Doing::Boil)
            .map(|s| s.at)
            .collect();
        for pair in boils.windows(2) {
            assert!((minutes_between(pair[0], pair[1]) - 53.0).abs() < 1e-6);
        }
        Ok(())
    }

    #[test]
    fn a_day_long_wait_rules_out_the_day_before_a_morning_delivery() -> Result<(), ClockError> {
        let turns: Vec<Turn> = (1..=6).map(turn).collect();
        let by = date(2026, 11, 28).at(9, 0, 0, 0);
        let friday = lay_out(&turns, &HOURS, date(2026, 11, 27), 0.0)?;
        assert!(friday.ready > by);
        let late = latest_for(&turns, &HOURS, by)?;
        assert!(late.is_some_and(|l| l.starts.date() == date(2026, 11, 26) && l.ready <= by));
        Ok(())
    }

    #[test]
    fn a_run_longer_than_a_day_goes_on_the_next_morning() -> Result<(), ClockError> {
        let turns: Vec<Turn> = (1..=20).map(turn).collect();
        let layout = lay_out(&turns, &HOURS, date(2026, 11, 27), 0.0)?;
        assert_eq!(layout.days, 2);
        assert_eq!(layout.steps.iter().filter(|s| s.doing == Doing::Prepare).count(), 2);
        for step in layout.steps.iter().filter(|s| s.doing == Doing::JarsOut) {
            assert!(step.at.time() <= HOURS.closes && step.at.time() > HOURS.opens);
        }
        Ok(())
    }

    #[test]
    fn what_has_no_tested_time_is_chilled_and_never_waits_for_the_bath() -> Result<(), ClockError> {
        let turns: Vec<Turn> = (1..=3).map(|n| Turn { bath: false, ..turn(n) }).collect();
        let layout = lay_out(&turns, &HOURS, date(2026, 11, 27), 0.0)?;
        assert!(
            layout
                .steps
                .iter()
                .all(|s| s.doing != Doing::JarsIn && s.doing != Doing::Boil)
        );
        let cooks: Vec<DateTime> = layout
            .steps
            .iter()
            .filter(|s| s.doing == Doing::Cook)
            .map(|s| s.at)
            .collect();
        for pair in cooks.windows(2) {
            assert!((minutes_between(pair[0], pair[1]) - 30.0).abs() < 1e-6);
        }
        Ok(())
    }

    #[test]
    fn a_closed_day_is_passed_over() -> Result<(), ClockError> {
        let turns: Vec<Turn> = (1..=20).map(turn).collect();
        let mut works = [true; 7];
        works[5] = false;
        // A Friday run of two days goes on on Sunday.
        let layout = lay_out(&turns, &Hours { works, ..HOURS }, date(2026, 11, 27), 0.0)?;
        assert_eq!(layout.last_out.date(), date(2026, 11, 29));
        Ok(())
    }

    #[test]
    fn what_fits_no_day_and_what_never_ends_are_refused() {
        let long = Turn {
            come_up_min: 900.0,
            ..turn(1)
        };
        assert!(matches!(
            lay_out(&[long], &HOURS, date(2026, 11, 27), 0.0),
            Err(ClockError::BatchLongerThanDay { .. })
        ));
        let many: Vec<Turn> = (1..=2_000).map(turn).collect();
        assert!(matches!(
            lay_out(&many, &HOURS, date(2026, 11, 27), 0.0),
            Err(ClockError::TooManyDays { days }) if days > MOST_DAYS
        ));
    }
}
