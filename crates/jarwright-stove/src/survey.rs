//! The first pass over a log: how long, how often, where each probe is hottest, when the medium holds.

use std::ops::RangeInclusive;

use crate::ReadError;
use crate::rows::{Open, Reading, Rows, Settled, When};
use crate::track::{BELIEVED_C, Intervals, Passed, Point, Sieve, Timeline, Verdict};

/// The medium is up, and holds, while it is within this of its hottest [K]. This project's own
/// choice: a bath at the boil swings by a few tenths.
pub const HOLD_K: f64 = 1.0;

/// What the first pass found.
#[derive(Debug, Clone)]
pub struct Survey {
    /// Rows that count.
    pub rows: u64,
    /// Every row that is not blank.
    pub all_rows: u64,
    /// Time of the last row that counts [s].
    pub end_s: f64,
    /// Usual interval between rows [s].
    pub usual_s: f64,
    /// Times of the first and the last row that count, as written.
    pub written: (String, String),
    /// Time zero [ns], where one was asked for.
    pub zero_ns: Option<i64>,
    /// Each probe.
    pub probes: Vec<ProbeSurvey>,
    /// Rows and times over which the medium held.
    pub hold: Option<Hold>,
    /// First row at or after the moment heat was turned off, where it was told.
    pub off: Option<(u64, f64)>,
}

/// One probe's extent.
#[derive(Debug, Clone, Default)]
pub struct ProbeSurvey {
    /// Hottest reading.
    pub hottest: Option<Point>,
    /// Coldest temperature [°C].
    pub coldest_c: f64,
    /// First reading.
    pub first: Option<Point>,
    /// First row within [`HOLD_K`] of its hottest: what comes before is what a heating fit needs.
    pub warm_row: u64,
    /// First row after its hottest within [`HOLD_K`] of the coldest since, likewise for cooling.
    pub cold_row: u64,
    /// Usual interval between its readings [s].
    pub usual_s: f64,
    warm: HoldFinder,
    cold: HoldFinder,
    intervals: Intervals,
    last_s: Option<f64>,
}

impl ProbeSurvey {
    fn take(&mut self, point: &Point) {
        self.first.get_or_insert(*point);
        if self.hottest.is_none_or(|hottest| point.c > hottest.c) {
            self.hottest = Some(*point);
            self.cold = HoldFinder::default();
        }
        self.warm.take(point);
        self.cold.take(&Point { c: -point.c, ..*point });
        self.coldest_c = self.coldest_c.min(point.c);
        if let Some(last) = self.last_s.replace(point.t_s) {
            self.intervals.push(point.t_s - last);
        }
    }
}

/// When the medium was up.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// First and last row of it.
    pub rows: RangeInclusive<u64>,
    /// First and last time [s].
    pub from_s: f64,
    /// Last time [s].
    pub to_s: f64,
}

/// Finds the first and the last reading within [`HOLD_K`] of the hottest, in constant memory.
#[derive(Debug, Clone, Default)]
struct HoldFinder {
    /// Readings that were the hottest so far, a hundredth of a kelvin apart, within reach of the hottest.
    rises: Vec<Point>,
    last: Option<Point>,
}

impl HoldFinder {
    fn take(&mut self, point: &Point) {
        let hottest = self.rises.last().map_or(f64::NEG_INFINITY, |rise| rise.c);
        if point.c >= hottest + 0.01 {
            self.rises.push(*point);
            let reach = point.c - HOLD_K;
            let below = self.rises.partition_point(|rise| rise.c < reach);
            self.rises.drain(..below);
        }
        if point.c >= self.rises.last().map_or(f64::INFINITY, |rise| rise.c) - HOLD_K {
            self.last = Some(*point);
        }
    }

    fn found(&self) -> Option<Hold> {
        let (first, last) = (self.rises.first()?, self.last?);
        Some(Hold {
            rows: first.row..=last.row.max(first.row),
            from_s: first.t_s,
            to_s: last.t_s.max(first.t_s),
        })
    }
}

/// Goes over the file once.
///
/// # Errors
/// [`ReadError`].
pub fn survey<'a>(
    open: &Open<'a>,
    settled: &Settled,
    medium: Option<usize>,
    zero: Option<When>,
    off: Option<When>,
) -> Result<Survey, ReadError> {
    let mut rows = Rows::new(open, settled)?;
    let many = settled.layout.probes.len();
    let mut sieves = vec![Sieve::default(); many];
    let mut probes = vec![
        ProbeSurvey {
            coldest_c: f64::INFINITY,
            ..ProbeSurvey::default()
        };
        many
    ];
    let mut finder = HoldFinder::default();
    let mut timeline: Option<Timeline> = None;
    let mut intervals = Intervals::default();
    let (mut zero_ns, mut off_ns, mut off_row) = (None, None, None);
    let mut written = (String::new(), String::new());
    let (mut backward, mut last_line, mut blocked_by) = (0_u64, 0_u64, None);
    let mut last_written = Vec::new();
    let (mut all_rows, mut end_s) = (0_u64, 0.0_f64);
    while rows.step()? {
        all_rows += 1;
        if timeline.is_none()
            && let Some(first) = rows.time_ns
        {
            zero_ns = zero.map(|when| when.moment_ns(first, rows.offset_ns));
            off_ns = off.map(|when| when.moment_ns(first, rows.offset_ns));
            timeline = Some(Timeline::from_zero(zero_ns));
        }
        let Some(timeline) = &mut timeline else { continue };
        let verdict = timeline.take(rows.time_ns);
        if matches!(verdict, Verdict::Backward(_)) {
            backward += 1;
            blocked_by.get_or_insert(last_line);
        }
        let Verdict::Use { row, t_s } = verdict else { continue };
        last_line = rows.line;
        if row == 0 {
            written.0 = rows.time_text();
        } else {
            intervals.push(t_s - end_s);
        }
        end_s = t_s;
        rows.keep_time(&mut last_written);
        if off_row.is_none() && off_ns.is_some_and(|off| rows.time_ns.is_some_and(|now| now >= off)) {
            off_row = Some((row, t_s));
        }
        for (probe, reading) in rows.readings.iter().enumerate() {
            let Reading::Value(c) = *reading else { continue };
            if !(BELIEVED_C.0..=BELIEVED_C.1).contains(&c) {
                continue;
            }
            let line = rows.line;
            if let Passed::Point(point) = sieves[probe].push(Point { line, row, t_s, c }) {
                probes[probe].take(&point);
                if medium == Some(probe) {
                    finder.take(&point);
                }
            }
        }
    }
    written.1 = String::from_utf8_lossy(&last_written).into_owned();
    for (probe, sieve) in sieves.iter_mut().enumerate() {
        if let Passed::Point(point) = sieve.finish() {
            probes[probe].take(&point);
            if medium == Some(probe) {
                finder.take(&point);
            }
        }
        let found = &mut probes[probe];
        found.usual_s = found.intervals.usual_s();
        let first_row = |finder: &HoldFinder| finder.found().map_or(0, |hold| *hold.rows.start());
        found.warm_row = first_row(&found.warm);
        found.cold_row = first_row(&found.cold);
    }
    let rows = timeline.map_or(0, |timeline| timeline.rows());
    if rows < 2 {
        return Err(ReadError::NothingLeft {
            why: match (rows, zero_ns) {
                (0, Some(_)) => "every row lies before the time zero that was given".into(),
                (0, None) => "no row has a time".into(),
                _ => "only one row is left, and a log needs two".into(),
            },
        });
    }
    if let Some(line) = blocked_by.filter(|_| backward > rows) {
        return Err(ReadError::NothingLeft {
            why: format!(
                "{backward} rows run back in time and only {rows} do not; the first that runs back follows line {line}, \
                 whose own time may be wrong"
            ),
        });
    }
    if off.is_some() && off_row.is_none() {
        return Err(ReadError::Option {
            option: "--off",
            what: "the log ends before it".into(),
            hint: "give a time inside the log".into(),
        });
    }
    Ok(Survey {
        rows,
        all_rows,
        end_s,
        usual_s: intervals.usual_s(),
        written,
        zero_ns,
        probes,
        hold: finder.found(),
        off: off_row,
    })
}
