//! The second pass over a log: lethality, cooling clock and faults of each probe, and a bounded
//! number of readings kept for the fits and the picture.

use std::ops::RangeInclusive;

use jarwright_dose::{LethalTarget, lethal_rate, mean_rate_between};
use jarwright_heat::cooling_clock::CoolingClock;
use serde::Serialize;

use crate::ReadError;
use crate::rows::{Open, Reading, Rows, Settled};
use crate::survey::{ProbeSurvey, Survey};
use crate::track::{BELIEVED_C, Passed, Point, Sieve, Stretch, Timeline, Verdict, stretch};

/// About how many readings are kept of each side of a probe's curve, for the fits and the picture.
pub const MOST_KEPT: usize = 4096;
/// Most entries of a list that is told; all are counted.
pub const MOST_LISTED: usize = 20;
/// A probe that shows one value for this many readings while another is more than [`MOVED_K`] away
/// from where it was may be stuck. This project's own choice.
pub const STUCK_READINGS: u64 = 20;
/// See [`STUCK_READINGS`].
pub const MOVED_K: f64 = 10.0;

/// The first of many, and how many.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Listed<T> {
    /// The first [`MOST_LISTED`].
    pub first: Vec<T>,
    /// How many there are.
    pub total: u64,
}

impl<T> Default for Listed<T> {
    fn default() -> Self {
        Self {
            first: Vec::new(),
            total: 0,
        }
    }
}

impl<T> Listed<T> {
    fn push(&mut self, entry: impl FnOnce() -> T) {
        self.total += 1;
        if self.first.len() < MOST_LISTED {
            self.first.push(entry());
        }
    }
}

/// Rows left out.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct LeftOut {
    /// Lines whose time is earlier than the row before, with how much earlier [s].
    pub backward: Listed<(u64, f64)>,
    /// Lines whose time is that of the row before.
    pub repeated: Listed<u64>,
    /// Rows before time zero.
    pub before_zero: u64,
    /// Lines without a time, with their beginning.
    pub no_time: Listed<(u64, String)>,
}

/// A stretch without rows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Gap {
    /// Line before it.
    pub after_line: u64,
    /// Time it begins [s].
    pub from_s: f64,
    /// How long [s].
    pub long_s: f64,
}

/// What is the matter with a probe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FaultKind {
    /// A word where a number should be.
    Word(String),
    /// A reading outside -40 to 160 °C [°C].
    OutOfRange(f64),
    /// A lone reading far from both its neighbours [°C].
    Spike(f64),
    /// From, to [°C] and in what time [s]: faster than a kitchen heats or cools.
    Jump(f64, f64, f64),
    /// No reading for this long while rows went on [s].
    Silent(f64),
    /// One value [°C] over so many readings while another probe moved by more than 10 K.
    Stuck(f64, u64),
}

/// A fault with its lines.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fault {
    /// What.
    pub kind: FaultKind,
    /// First and last line.
    pub lines: (u64, u64),
}

/// One lethality of one probe.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Dose {
    /// Exact integral of straight lines, heating [min].
    pub heating_min: f64,
    /// The same, cooling [min].
    pub cooling_min: f64,
    /// Trapezoid rule, heating [min].
    pub heating_trapezoid_min: f64,
    /// The same, cooling [min].
    pub cooling_trapezoid_min: f64,
    /// Time above the reference temperature [s].
    pub above_s: f64,
}

impl Dose {
    /// Heating and cooling, exact [min].
    #[must_use]
    pub fn total_min(&self) -> f64 {
        self.heating_min + self.cooling_min
    }

    /// Heating and cooling, trapezoid [min].
    #[must_use]
    pub fn total_trapezoid_min(&self) -> f64 {
        self.heating_trapezoid_min + self.cooling_trapezoid_min
    }
}

/// A reading kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    /// Time [s].
    pub t_s: f64,
    /// Temperature [°C].
    pub c: f64,
    /// First target's exact lethality so far [min].
    pub dose_min: f64,
    /// Whether the line from the one kept before is not known all the way.
    pub broken: bool,
}

/// What the second pass found of one probe.
#[derive(Debug, Clone, Default)]
pub struct ProbeMeasured {
    /// Readings that count.
    pub readings: u64,
    /// Cells without a reading.
    pub missing: u64,
    /// Hottest of the readings beside a counted stretch.
    pub hottest: Option<Point>,
    /// Last reading.
    pub last: Option<Point>,
    /// Time covered by counted stretches [s].
    pub counted_s: f64,
    /// Each target's lethality.
    pub doses: Vec<Dose>,
    /// The two-stage rule.
    pub clock: CoolingClock,
    /// Faults.
    pub faults: Listed<Fault>,
    /// Readings up to the end of heating, thinned.
    pub heating: Vec<Kept>,
    /// Readings from there on, thinned.
    pub cooling: Vec<Kept>,
    /// Mean [°C] over the medium's hold, lowest and highest of it.
    pub held: Option<(f64, f64, f64)>,
    rates: Vec<f64>,
    broken: bool,
    hold_integral: (f64, f64),
    run: Option<Run>,
    last_row_line: u64,
}

/// A run of one value.
#[derive(Debug, Clone, Copy)]
struct Run {
    c: f64,
    readings: u64,
    /// Of them, while the other probe had moved.
    moved: u64,
    from_line: u64,
    mover_c: f64,
}

/// What the second pass found.
#[derive(Debug, Clone)]
pub struct Measured {
    /// Rows left out.
    pub left_out: LeftOut,
    /// Stretches without rows.
    pub gaps: Listed<Gap>,
    /// Their length together [s].
    pub gaps_s: f64,
    /// Each probe.
    pub probes: Vec<ProbeMeasured>,
}

/// What the second pass is told.
pub struct Task<'t> {
    /// Lethalities wanted.
    pub targets: &'t [LethalTarget],
    /// Last row of heating, for each probe.
    pub split_rows: &'t [u64],
    /// Rows of the medium's hold.
    pub hold: Option<RangeInclusive<u64>>,
    /// The probe whose movement shows that others are stuck.
    pub mover: usize,
}

/// Goes over the file a second time.
///
/// # Errors
/// [`ReadError`].
pub fn measure<'a>(
    open: &Open<'a>,
    settled: &Settled,
    survey: &Survey,
    task: &Task<'_>,
) -> Result<Measured, ReadError> {
    let mut rows = Rows::new(open, settled)?;
    let many = settled.layout.probes.len();
    let mut timeline = Timeline::from_zero(survey.zero_ns);
    let mut sieves = vec![Sieve::default(); many];
    let mut found = Measured {
        left_out: LeftOut::default(),
        gaps: Listed::default(),
        gaps_s: 0.0,
        probes: vec![
            ProbeMeasured {
                doses: vec![Dose::default(); task.targets.len()],
                rates: vec![0.0; task.targets.len()],
                ..ProbeMeasured::default()
            };
            many
        ],
    };
    let thinning: Vec<Thinning> = (0..many)
        .map(|probe| Thinning::new(task.split_rows[probe], &survey.probes[probe], survey.rows))
        .collect();
    let longest_s = crate::track::GAP_INTERVALS * survey.usual_s * (1.0 + 1e-9);
    let mut before: Option<(u64, f64)> = None;
    let mut mover_c = f64::NAN;
    while rows.step()? {
        let (row, t_s) = match timeline.take(rows.time_ns) {
            Verdict::Use { row, t_s } => (row, t_s),
            Verdict::Repeated => {
                found.left_out.repeated.push(|| rows.line);
                continue;
            }
            Verdict::Backward(by_s) => {
                found.left_out.backward.push(|| (rows.line, by_s));
                continue;
            }
            Verdict::BeforeZero => {
                found.left_out.before_zero += 1;
                continue;
            }
            Verdict::NoTime => {
                found.left_out.no_time.push(|| (rows.line, rows.beginning()));
                continue;
            }
        };
        let row_gap = before.is_some_and(|(_, last_s)| t_s - last_s > longest_s);
        if let (Some((after_line, from_s)), true) = (before, row_gap) {
            let long_s = t_s - from_s;
            found.gaps_s += long_s;
            found.gaps.push(|| Gap {
                after_line,
                from_s,
                long_s,
            });
        }
        before = Some((rows.line, t_s));
        if let Some(Reading::Value(c)) = rows.readings.get(task.mover) {
            mover_c = *c;
        }
        for probe in 0..many {
            let (line, reading) = (rows.line, rows.readings[probe]);
            let own = &mut found.probes[probe];
            match reading {
                Reading::Missing => own.missing += 1,
                Reading::Word => own.fault_again(line, FaultKind::Word(rows.word(probe))),
                Reading::Value(c) if !(BELIEVED_C.0..=BELIEVED_C.1).contains(&c) => {
                    own.fault_again(line, FaultKind::OutOfRange(c));
                }
                Reading::Value(c) => {
                    own.follow_run(line, c, mover_c, probe != task.mover);
                    let passed = sieves[probe].push(Point { line, row, t_s, c });
                    own.take(passed, probe, survey, task, Some(&thinning[probe]));
                }
            }
            own.last_row_line = line;
        }
    }
    for (probe, own) in found.probes.iter_mut().enumerate() {
        let passed = sieves[probe].finish();
        own.take(passed, probe, survey, task, None);
        own.end_run(probe != task.mover);
        if own.hold_integral.1 > 0.0 {
            let mean = own.hold_integral.0 / own.hold_integral.1;
            if let Some(held) = &mut own.held {
                held.0 = mean;
            }
        }
    }
    Ok(found)
}

impl ProbeMeasured {
    fn take(&mut self, passed: Passed, probe: usize, survey: &Survey, task: &Task<'_>, thinning: Option<&Thinning>) {
        let point = match passed {
            Passed::Nothing => return,
            Passed::Spike(point) => {
                self.faults.push(|| Fault {
                    kind: FaultKind::Spike(point.c),
                    lines: (point.line, point.line),
                });
                return;
            }
            Passed::Point(point) => point,
        };
        self.readings += 1;
        let before = self.last.replace(point);
        let split = task.split_rows[probe];
        let mut known = true;
        match before {
            None => self.start_rates(&point, task.targets),
            Some(from) => {
                let judged = stretch(&from, &point, survey.probes[probe].usual_s);
                known = judged == Stretch::Counted;
                self.add(&from, &point, judged, point.row <= split, task.targets);
                match judged {
                    Stretch::Counted => {}
                    Stretch::Gap if point.row == from.row + 1 => {}
                    Stretch::Gap => self.faults.push(|| Fault {
                        kind: FaultKind::Silent(point.t_s - from.t_s),
                        lines: (from.line, point.line),
                    }),
                    Stretch::Jump => self.faults.push(|| Fault {
                        kind: FaultKind::Jump(from.c, point.c, point.t_s - from.t_s),
                        lines: (from.line, point.line),
                    }),
                }
            }
        }
        self.clock.push(point.t_s, point.c, known);
        self.broken |= !known;
        if let Some(hold) = &task.hold
            && hold.contains(&point.row)
        {
            let held = self.held.get_or_insert((point.c, point.c, point.c));
            held.1 = held.1.min(point.c);
            held.2 = held.2.max(point.c);
            if let Some(from) = before.filter(|from| known && hold.contains(&from.row)) {
                let dt = point.t_s - from.t_s;
                self.hold_integral.0 += 0.5 * (from.c + point.c) * dt;
                self.hold_integral.1 += dt;
            }
        }
        let side = if point.row <= split {
            &mut self.heating
        } else {
            &mut self.cooling
        };
        let kept = Kept {
            t_s: point.t_s,
            c: point.c,
            dose_min: self.doses.first().map_or(0.0, Dose::total_min),
            broken: self.broken,
        };
        // The last reading comes without a thinning and is kept.
        if thinning.is_none_or(|thinning| thinning.keeps(point.row)) {
            side.push(kept);
            self.broken = false;
            if point.row == split {
                self.cooling.push(kept);
            }
        }
    }

    fn start_rates(&mut self, point: &Point, targets: &[LethalTarget]) {
        for (rate, target) in self.rates.iter_mut().zip(targets) {
            *rate = target.rate(point.c);
        }
    }

    /// Adds a stretch to every sum it belongs to.
    fn add(&mut self, from: &Point, to: &Point, judged: Stretch, heating: bool, targets: &[LethalTarget]) {
        let dt = to.t_s - from.t_s;
        let counted = judged == Stretch::Counted;
        if counted {
            self.counted_s += dt;
            for point in [from, to] {
                if self.hottest.is_none_or(|hottest| point.c > hottest.c) {
                    self.hottest = Some(*point);
                }
            }
        }
        let minutes = dt / 60.0;
        for ((rate, dose), target) in self.rates.iter_mut().zip(&mut self.doses).zip(targets) {
            let now = lethal_rate(to.c, target.ref_c, target.z_k);
            if counted {
                let exact = minutes * mean_rate_between(to.c - from.c, *rate, now, target.z_k);
                let trapezoid = minutes * 0.5 * (*rate + now);
                if heating {
                    dose.heating_min += exact;
                    dose.heating_trapezoid_min += trapezoid;
                } else {
                    dose.cooling_min += exact;
                    dose.cooling_trapezoid_min += trapezoid;
                }
                dose.above_s += dt * part_above(from.c, to.c, target.ref_c);
            }
            *rate = now;
        }
    }

    /// A fault that may go on from the row before.
    fn fault_again(&mut self, line: u64, kind: FaultKind) {
        let goes_on = |fault: &&mut Fault| {
            fault.lines.1 == self.last_row_line
                && match (&fault.kind, &kind) {
                    (FaultKind::Word(a), FaultKind::Word(b)) => a == b,
                    (FaultKind::OutOfRange(_), FaultKind::OutOfRange(_)) => true,
                    _ => false,
                }
        };
        if let Some(fault) = self.faults.first.last_mut().filter(goes_on) {
            fault.lines.1 = line;
            return;
        }
        self.faults.push(|| Fault {
            kind,
            lines: (line, line),
        });
    }

    fn follow_run(&mut self, line: u64, c: f64, mover_c: f64, judged: bool) {
        match &mut self.run {
            Some(run) if run.c.to_bits() == c.to_bits() => {
                run.readings += 1;
                run.moved += u64::from((mover_c - run.mover_c).abs() > MOVED_K);
            }
            _ => {
                self.end_run(judged);
                self.run = Some(Run {
                    c,
                    readings: 1,
                    moved: 0,
                    from_line: line,
                    mover_c,
                });
            }
        }
    }

    fn end_run(&mut self, judged: bool) {
        let Some(run) = self.run.take().filter(|_| judged) else {
            return;
        };
        if run.moved >= STUCK_READINGS {
            let to_line = self.last_row_line;
            self.faults.push(|| Fault {
                kind: FaultKind::Stuck(run.c, run.readings),
                lines: (run.from_line, to_line),
            });
        }
    }
}

/// Which rows are kept: every n-th of each of four stretches, so that a log that runs on for days
/// after its jars have cooled thins the days and not the jars.
struct Thinning {
    /// First row after each stretch, and n.
    stretches: [(u64, u64); 4],
    split: u64,
}

impl Thinning {
    fn new(split: u64, probe: &ProbeSurvey, rows: u64) -> Self {
        let ends = [
            probe.warm_row.min(split) + 1,
            split + 1,
            probe.cold_row.max(split) + 1,
            rows.max(split + 1),
        ];
        let mut from = 0;
        let stretches = ends.map(|end| {
            let every = end.saturating_sub(from).div_ceil(MOST_KEPT as u64 / 2).max(1);
            from = end.max(from);
            (end, every)
        });
        Self { stretches, split }
    }

    fn keeps(&self, row: u64) -> bool {
        let every = self.stretches.iter().find(|(end, _)| row < *end).map_or(1, |s| s.1);
        row == self.split || row.is_multiple_of(every)
    }
}

/// Share of a straight line that lies above a mark.
fn part_above(from_c: f64, to_c: f64, mark_c: f64) -> f64 {
    match (from_c >= mark_c, to_c >= mark_c) {
        (true, true) => 1.0,
        (false, false) => 0.0,
        (true, false) => (from_c - mark_c) / (from_c - to_c),
        (false, true) => (to_c - mark_c) / (to_c - from_c),
    }
}
