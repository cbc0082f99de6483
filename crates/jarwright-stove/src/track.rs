//! Rows in order, readings that can be believed, and the usual interval.

/// Largest reading that is a temperature of a kitchen [°C]; what lies outside is a sensor's fault.
///
/// The range that `jarwright-dose` computes lethalities for.
pub const BELIEVED_C: (f64, f64) = (-40.0, 160.0);
/// A gap is longer than this many usual intervals.
pub const GAP_INTERVALS: f64 = 3.0;
/// A change is a jump if it is larger than this [K] and faster than [`JUMP_K_S`].
///
/// This project's own choice, as all figures of this file: they list a reading or leave it out,
/// and decide nothing else.
pub const JUMP_K: f64 = 10.0;
/// 4 kW, more than a kitchen's burner, warms a litre of water by 1 K in a second.
pub const JUMP_K_S: f64 = 1.0;
/// A lone reading further than this [K] from both its neighbours, on one side, is a spike.
pub const SPIKE_K: f64 = 10.0;

/// What becomes of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// It counts: its number from 0, and its time [s] after the first row that counts.
    Use {
        /// Number of the row among those that count.
        row: u64,
        /// Time [s].
        t_s: f64,
    },
    /// Its time is that of the row before.
    Repeated,
    /// Its time is earlier than that of the last row that counts, by this [s].
    Backward(f64),
    /// It lies before time zero.
    BeforeZero,
    /// It has no time.
    NoTime,
}

/// Judges rows by their times. Both passes over a file use it, so both count alike.
#[derive(Debug, Clone, Default)]
pub struct Timeline {
    origin_ns: Option<i64>,
    last_ns: i64,
    rows: u64,
    zero_ns: Option<i64>,
}

impl Timeline {
    /// Rows before `zero_ns` do not count.
    #[must_use]
    pub fn from_zero(zero_ns: Option<i64>) -> Self {
        Self {
            zero_ns,
            ..Self::default()
        }
    }

    /// The next row's verdict.
    pub fn take(&mut self, time_ns: Option<i64>) -> Verdict {
        let Some(now) = time_ns else { return Verdict::NoTime };
        if self.zero_ns.is_some_and(|zero| now < zero) {
            return Verdict::BeforeZero;
        }
        let Some(origin) = self.origin_ns else {
            self.origin_ns = Some(now);
            self.last_ns = now;
            self.rows = 1;
            return Verdict::Use { row: 0, t_s: 0.0 };
        };
        if now == self.last_ns {
            return Verdict::Repeated;
        }
        if now < self.last_ns {
            return Verdict::Backward((self.last_ns as f64 - now as f64) / 1e9);
        }
        self.last_ns = now;
        let row = self.rows;
        self.rows += 1;
        Verdict::Use {
            row,
            t_s: now.saturating_sub(origin) as f64 / 1e9,
        }
    }

    /// Rows that count so far.
    #[must_use]
    pub const fn rows(&self) -> u64 {
        self.rows
    }
}

/// A reading that counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Line of the file, from 1.
    pub line: u64,
    /// Number of the row among those that count.
    pub row: u64,
    /// Time [s] after the first row that counts.
    pub t_s: f64,
    /// Temperature [°C].
    pub c: f64,
}

/// Holds each reading back until its successor shows whether it stands alone.
#[derive(Debug, Clone, Copy, Default)]
pub struct Sieve {
    before: Option<f64>,
    held: Option<Point>,
}

/// What the sieve lets through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Passed {
    /// Nothing yet.
    Nothing,
    /// A reading.
    Point(Point),
    /// A lone reading far from both its neighbours: a spike, left out.
    Spike(Point),
}

impl Sieve {
    /// Takes the next reading.
    pub fn push(&mut self, point: Point) -> Passed {
        let Some(held) = self.held.replace(point) else {
            return Passed::Nothing;
        };
        if let Some(before) = self.before {
            let (up, down) = (held.c - before, held.c - point.c);
            let alone = up * down > 0.0 && up.abs().min(down.abs()) > SPIKE_K;
            if alone && (point.c - before).abs() < 0.5 * up.abs().min(down.abs()) {
                return Passed::Spike(held);
            }
        }
        self.before = Some(held.c);
        Passed::Point(held)
    }

    /// The last reading.
    pub fn finish(&mut self) -> Passed {
        self.held.take().map_or(Passed::Nothing, Passed::Point)
    }
}

/// How a stretch between two readings counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stretch {
    /// A straight line between them.
    Counted,
    /// Readings are missing.
    Gap,
    /// The change is faster than a kitchen can heat or cool.
    Jump,
}

/// Judges the stretch between two readings.
#[must_use]
pub fn stretch(from: &Point, to: &Point, usual_s: f64) -> Stretch {
    let (dt, rise) = (to.t_s - from.t_s, (to.c - from.c).abs());
    // A hair of slack: times in decimal fractions of a minute are not exact in binary.
    if dt > GAP_INTERVALS * usual_s * (1.0 + 1e-9) {
        Stretch::Gap
    } else if rise > JUMP_K && rise > JUMP_K_S * dt {
        Stretch::Jump
    } else {
        Stretch::Counted
    }
}

/// Buckets of intervals: 1 % wide, from a millisecond to years.
const BUCKETS: usize = 2600;

/// The median of all intervals in constant memory.
#[derive(Debug, Clone)]
pub struct Intervals {
    counts: Vec<(u64, f64)>,
    run: (f64, u64),
    total: u64,
}

impl Default for Intervals {
    fn default() -> Self {
        Self {
            counts: vec![(0, 0.0); BUCKETS],
            run: (0.0, 0),
            total: 0,
        }
    }
}

impl Intervals {
    /// Takes an interval [s], above 0.
    pub fn push(&mut self, interval_s: f64) {
        if interval_s.to_bits() == self.run.0.to_bits() {
            self.run.1 += 1;
            return;
        }
        self.settle();
        self.run = (interval_s, 1);
    }

    fn settle(&mut self) {
        let (interval, many) = self.run;
        if many == 0 {
            return;
        }
        let bucket = ((interval / 1e-3).max(1.0).ln() / 0.01) as usize;
        let (count, sum) = &mut self.counts[bucket.min(BUCKETS - 1)];
        *count += many;
        *sum += interval * many as f64;
        self.total += many;
        self.run = (0.0, 0);
    }

    /// Median interval [s]: the mean of the intervals within 1 % of it; 0 without any.
    pub fn usual_s(&mut self) -> f64 {
        self.settle();
        let mut seen = 0;
        for &(count, sum) in &self.counts {
            seen += count;
            if count > 0 && 2 * seen >= self.total {
                return sum / count as f64;
            }
        }
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(t_s: f64, c: f64) -> Point {
        Point {
            line: 1,
            row: 0,
            t_s,
            c,
        }
    }

    #[test]
    fn the_usual_interval_is_the_one_most_rows_keep() {
        let mut intervals = Intervals::default();
        for i in 0..1000 {
            intervals.push(if i % 10 == 0 { 600.0 } else { 60.0 });
        }
        assert!((intervals.usual_s() - 60.0).abs() < 1e-9);
        assert!(Intervals::default().usual_s().abs() < 1e-12);
    }

    #[test]
    fn a_lone_reading_is_a_spike_and_a_step_is_not() {
        let run = |temps: &[f64]| {
            let mut sieve = Sieve::default();
            let mut spikes = 0;
            for (i, &c) in temps.iter().enumerate() {
                spikes += usize::from(matches!(sieve.push(point(i as f64, c)), Passed::Spike(_)));
            }
            spikes
        };
        assert_eq!(run(&[80.0, 80.1, 140.0, 80.2, 80.3]), 1);
        assert_eq!(run(&[80.0, 80.1, 20.0, 80.2, 80.3]), 1);
        assert_eq!(run(&[20.0, 20.0, 95.0, 95.0, 96.0]), 0);
        assert_eq!(run(&[80.0, 85.0, 80.0, 85.0]), 0);
    }

    #[test]
    fn gaps_are_longer_than_three_intervals_and_jumps_faster_than_a_burner() {
        let judge = |dt: f64, rise: f64| stretch(&point(0.0, 50.0), &point(dt, 50.0 + rise), 10.0);
        assert_eq!(judge(30.0, 1.0), Stretch::Counted);
        assert_eq!(judge(30.1, 1.0), Stretch::Gap);
        assert_eq!(judge(10.0, 30.0), Stretch::Jump);
        assert_eq!(judge(10.0, -30.0), Stretch::Jump);
        assert_eq!(judge(10.0, 9.0), Stretch::Counted);
        assert_eq!(judge(30.0, 20.0), Stretch::Counted);
    }

    #[test]
    fn backward_and_repeated_rows_do_not_move_the_clock() {
        let mut timeline = Timeline::from_zero(Some(0));
        let verdicts: Vec<Verdict> = [-5, 0, 10, 10, 5, 20]
            .into_iter()
            .map(|s| timeline.take(Some(s * 1_000_000_000)))
            .collect();
        assert_eq!(
            verdicts,
            [
                Verdict::BeforeZero,
                Verdict::Use { row: 0, t_s: 0.0 },
                Verdict::Use { row: 1, t_s: 10.0 },
                Verdict::Repeated,
                Verdict::Backward(5.0),
                Verdict::Use { row: 2, t_s: 20.0 },
            ]
        );
    }
}
