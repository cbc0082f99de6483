//! What a log says: the two passes put together.

use jarwright_dose::LethalTarget;
use jarwright_heat::cooling::{FIRST_STAGE_C, RULE_STARTS_C, SECOND_STAGE_C};
use jarwright_heat::cooling_clock::{CoolingClock, Stages};
use jarwright_heat::penetration::{CORRECTED_ZERO, Penetration, penetration};
use jarwright_heat::two_point::TwoPoint;

use crate::ReadError;
use crate::asked::{Asked, target, temperature_c};
use crate::layout::{ProbeColumn, Times};
use crate::measure::{Dose, Fault, Gap, Kept, LeftOut, Listed, Measured, ProbeMeasured, Task, measure};
use crate::number::{DecimalMark, Degrees};
use crate::rows::{Open, OrderBy, Settled, When, settle};
use crate::stamp::DateOrder;
use crate::survey::{Hold, Survey, survey};
use crate::track::Point;

/// What is counted where nobody asked: 93.3 °C with z 8.9 K, the usual reference of acid foods
/// (16 °F at 200 °F). It is a yardstick and no target.
pub const USUAL_TARGET: &str = "93.3C:8.9C";
/// A cooling medium is steady when it stays within this of its mean [K]. This project's own choice.
pub const STEADY_K: f64 = 2.0;
/// A hold that falls this far below its hottest is two heatings [K]. This project's own choice.
const ONE_HEATING_K: f64 = 10.0;

/// What a log says.
#[derive(Debug, Clone)]
pub struct Report {
    /// How the file was read.
    pub told: Told,
    /// Rows left out.
    pub left_out: LeftOut,
    /// Stretches without rows.
    pub gaps: Listed<Gap>,
    /// Their length together [s].
    pub gaps_s: f64,
    /// What lethalities count against.
    pub targets: Vec<LethalTarget>,
    /// Whether nobody asked for them.
    pub usual_target: bool,
    /// The heating medium.
    pub medium: Option<Medium>,
    /// Each probe.
    pub probes: Vec<ProbeReport>,
}

/// How a file was read.
#[derive(Debug, Clone)]
pub struct Told {
    /// The file's name.
    pub name: String,
    /// Encoding.
    pub script: &'static str,
    /// What stands between cells.
    pub delimiter: &'static str,
    /// Decimal mark.
    pub decimal: DecimalMark,
    /// Where times stand.
    pub times: Times,
    /// Order of dates and how it is known, where the writing leaves it open.
    pub order: Option<(DateOrder, OrderBy)>,
    /// Rows that are not blank.
    pub all_rows: u64,
    /// Rows that count.
    pub rows: u64,
    /// Times of the first and the last of them, as written.
    pub written: (String, String),
    /// From the first to the last [s].
    pub long_s: f64,
    /// Usual interval [s].
    pub usual_s: f64,
    /// Whether times count from a time zero that was given.
    pub zero_given: bool,
    /// Columns that were passed over.
    pub passed_over: Vec<String>,
    /// Unit of the log, if its probes share one.
    pub unit: Option<Degrees>,
}

/// The heating medium.
#[derive(Debug, Clone, PartialEq)]
pub struct Medium {
    /// Its probe, where a column has it.
    pub probe: Option<usize>,
    /// Mean over its hold, or as given [°C].
    pub held_c: f64,
    /// Lowest and highest of the hold [°C].
    pub between_c: (f64, f64),
    /// Come-up time, from time zero to within 1 K of its hottest [s].
    pub come_up_s: Option<f64>,
    /// End of the hold [s].
    pub ends_s: Option<f64>,
}

/// Where heating ends and cooling begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SplitBy {
    /// A person told when heat was turned off.
    Told,
    /// The medium was last within 1 K of its hottest.
    Medium,
    /// The probe was hottest; without a medium nothing better is known.
    Hottest,
}

/// A fit of the straight part of a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The line.
    pub line: Penetration,
    /// Temperature of the medium it tends to [°C].
    pub medium_c: f64,
    /// Temperature of the food where it starts [°C].
    pub start_c: f64,
    /// Lag from the start as read, with its 95 % interval.
    pub lag: (f64, f64, f64),
    /// Lag from the corrected zero, 0.58 of the come-up time after heat on, and that zero [s].
    pub corrected: Option<((f64, f64, f64), f64)>,
}

/// When a food is forecast to pass a mark [s after the clock's start], with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    /// Temperature it tends to [°C].
    pub sink_c: f64,
    /// Time to 21 °C, its ends; `None` if it never gets there.
    pub to_21_s: Option<(f64, f64, f64)>,
    /// Time to 5 °C.
    pub to_5_s: Option<(f64, f64, f64)>,
    /// Whether it rests on a fitted line; else on two readings.
    pub fitted: bool,
}

/// What a log says of one probe.
#[derive(Debug, Clone)]
pub struct ProbeReport {
    /// Its name.
    pub name: String,
    /// Its unit in the log.
    pub unit: Degrees,
    /// Whether it is the medium.
    pub is_medium: bool,
    /// Readings that count.
    pub readings: u64,
    /// Cells without a reading.
    pub missing: u64,
    /// First reading.
    pub first: Option<Point>,
    /// Hottest reading beside a counted stretch.
    pub hottest: Option<Point>,
    /// Last reading.
    pub last: Option<Point>,
    /// Coldest temperature [°C].
    pub coldest_c: f64,
    /// Time covered by counted stretches [s].
    pub counted_s: f64,
    /// End of heating [s].
    pub split_s: f64,
    /// How it is known.
    pub split_by: SplitBy,
    /// Lethalities, in the order of the targets.
    pub doses: Vec<Dose>,
    /// Faults.
    pub faults: Listed<Fault>,
    /// Heating fit, or why there is none.
    pub heating: Result<Fit, String>,
    /// Cooling fit, or why there is none.
    pub cooling: Result<Fit, String>,
    /// The two-stage rule's clock.
    pub clock: CoolingClock,
    /// What the rule says.
    pub stages: Stages,
    /// Forecast where the log ends early, or why there is none.
    pub forecast: Option<Result<Forecast, String>>,
    /// Readings kept for a picture.
    pub kept: Vec<Kept>,
}

/// Reads a log.
///
/// `open` opens the file from its beginning each time it is called: the layout is read off its
/// first quarter of a megabyte, then the file is gone over twice (once more where only a later row
/// proves the order of its dates). Memory does not grow with the file: sums run, the usual interval
/// is the median of 1 % buckets, and of each probe's heating and cooling about
/// [`crate::MOST_KEPT`] readings are kept for the fits, evenly spaced by rows and densest where the
/// probe warms and cools.
///
/// # Errors
/// [`ReadError`]: what is no log, what an option does not fit, and every question that the file
/// leaves open, with the option that answers it.
///
/// ```
/// let log = "Time (min),Centre (°C)\n0,90\n10,90\n20,90\n";
/// let asked = jarwright_stove::Asked { lethality: vec!["90:10".into()], ..Default::default() };
/// let report = jarwright_stove::read(&|| Ok(Box::new(log.as_bytes())), &asked).map_err(|e| e.to_string());
/// let minutes = report.map(|report| report.probes[0].doses[0].total_min());
/// assert_eq!(minutes.map(f64::round), Ok(20.0));
///
/// let unlabelled = "Time (min),Centre\n0,180\n10,180\n";
/// let refused = jarwright_stove::read(&|| Ok(Box::new(unlabelled.as_bytes())), &asked);
/// assert!(refused.is_err_and(|question| question.hint().contains("--unit")));
/// ```
pub fn read<'a>(open: &Open<'a>, asked: &Asked) -> Result<Report, ReadError> {
    let settled = settle(open, asked)?;
    let columns = &settled.layout.probes;
    let unit = common_unit(columns);
    let medium = asked
        .medium
        .as_deref()
        .map(|wanted| find(columns, wanted))
        .transpose()?;
    let given_c = |option, text: &Option<String>| text.as_deref().map(|t| temperature_c(option, t, unit)).transpose();
    let medium_at_c = given_c("--medium-at", &asked.medium_at)?;
    let cooling_at_c = given_c("--cooling-at", &asked.cooling_at)?;
    let usual_target = asked.lethality.is_empty();
    let targets = if usual_target {
        vec![target(USUAL_TARGET, unit)?]
    } else {
        asked
            .lethality
            .iter()
            .map(|text| target(text, unit))
            .collect::<Result<_, _>>()?
    };
    let when = |option, text: &Option<String>| text.as_deref().map(|t| When::parse(option, t, &settled)).transpose();
    let survey = survey(
        open,
        &settled,
        medium,
        when("--zero", &asked.zero)?,
        when("--off", &asked.off)?,
    )?;
    // A medium that never gets as warm as any food was at first cools it, and holds nothing.
    let cold = medium.is_some_and(|at| never_as_warm(&survey, at));
    let hold = survey.hold.clone().filter(|_| !cold);
    let splits: Vec<(u64, f64, SplitBy)> = survey
        .probes
        .iter()
        .enumerate()
        .map(|(i, probe)| match (survey.off, &hold, probe.hottest) {
            (None, None, Some(_)) if medium == Some(i) => (0, 0.0, SplitBy::Hottest),
            (Some((row, t_s)), _, _) => (row, t_s, SplitBy::Told),
            (None, Some(hold), _) => (*hold.rows.end(), hold.to_s, SplitBy::Medium),
            (None, None, Some(hottest)) => (hottest.row, hottest.t_s, SplitBy::Hottest),
            (None, None, None) => (0, 0.0, SplitBy::Hottest),
        })
        .collect();
    let split_rows: Vec<u64> = splits.iter().map(|split| split.0).collect();
    let task = Task {
        targets: &targets,
        split_rows: &split_rows,
        hold: hold.as_ref().map(|hold| hold.rows.clone()),
        mover: medium.unwrap_or_else(|| widest(&survey)),
    };
    let measured = measure(open, &settled, &survey, &task)?;
    if measured.probes.iter().all(|probe| probe.readings == 0) {
        return Err(ReadError::NothingLeft {
            why: "no probe has a number between -40 and 160 °C".into(),
        });
    }
    let medium_told = medium_told(medium, medium_at_c, hold.as_ref(), &measured);
    let probes = (0..columns.len())
        .map(|i| {
            let context = Context {
                column: &columns[i],
                is_medium: medium == Some(i),
                survey: &survey,
                medium: medium_told.as_ref(),
                medium_cooling: medium.map(|m| measured.probes[m].cooling.as_slice()),
                cooling_at_c,
                split: splits[i],
            };
            context.report(i, &measured.probes[i])
        })
        .collect();
    Ok(Report {
        told: told(asked, &settled, &survey, unit),
        left_out: measured.left_out,
        gaps: measured.gaps,
        gaps_s: measured.gaps_s,
        targets,
        usual_target,
        medium: medium_told,
        probes,
    })
}

fn told(asked: &Asked, settled: &Settled, survey: &Survey, unit: Option<Degrees>) -> Told {
    Told {
        name: asked.name.clone(),
        script: settled.layout.script.name,
        delimiter: settled.layout.delimiter.words(),
        decimal: settled.decimal,
        times: settled.layout.times,
        order: settled.order.zip(settled.order_by),
        all_rows: survey.all_rows,
        rows: survey.rows,
        written: survey.written.clone(),
        long_s: survey.end_s,
        usual_s: survey.usual_s,
        zero_given: survey.zero_ns.is_some(),
        passed_over: settled.layout.passed_over.clone(),
        unit,
    }
}

fn common_unit(columns: &[ProbeColumn]) -> Option<Degrees> {
    let first = columns.first()?.unit;
    columns.iter().all(|column| column.unit == first).then_some(first)
}

/// The probe an option names: by heading, by the beginning of one heading, or by its column's number.
fn find(columns: &[ProbeColumn], wanted: &str) -> Result<usize, ReadError> {
    let wanted = wanted.trim().to_lowercase();
    let names: Vec<String> = columns.iter().map(|column| column.name.to_lowercase()).collect();
    if let Some(exact) = names.iter().position(|name| *name == wanted) {
        return Ok(exact);
    }
    if let Ok(number) = wanted.parse::<usize>()
        && let Some(at) = columns.iter().position(|column| column.column + 1 == number)
    {
        return Ok(at);
    }
    let mut begin = (0..names.len()).filter(|&i| !wanted.is_empty() && names[i].starts_with(&wanted));
    match (begin.next(), begin.next()) {
        (Some(one), None) => Ok(one),
        _ => Err(ReadError::Option {
            option: "--medium",
            what: format!("\"{wanted}\" is none of the log's probes"),
            hint: format!(
                "probes: {}",
                columns
                    .iter()
                    .map(|column| format!("{} (column {})", column.name, column.column + 1))
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        }),
    }
}

/// Whether every food starts warmer than the medium ever is.
fn never_as_warm(survey: &Survey, medium: usize) -> bool {
    let hottest_c = survey.probes[medium].hottest.map_or(f64::INFINITY, |hottest| hottest.c);
    let mut foods = survey
        .probes
        .iter()
        .enumerate()
        .filter(|&(i, probe)| i != medium && probe.first.is_some());
    foods.clone().count() > 0 && foods.all(|(_, food)| food.first.is_some_and(|first| first.c > hottest_c))
}

/// The probe that moves most.
fn widest(survey: &Survey) -> usize {
    let width = |i: &usize| {
        let probe = &survey.probes[*i];
        probe.hottest.map_or(0.0, |hottest| hottest.c - probe.coldest_c)
    };
    (0..survey.probes.len())
        .max_by(|a, b| width(a).total_cmp(&width(b)))
        .unwrap_or(0)
}

fn medium_told(medium: Option<usize>, at_c: Option<f64>, hold: Option<&Hold>, measured: &Measured) -> Option<Medium> {
    let column = medium.and_then(|probe| {
        let hold = hold?;
        let (mean_c, low_c, high_c) = measured.probes[probe].held?;
        Some(Medium {
            probe: Some(probe),
            held_c: mean_c,
            between_c: (low_c, high_c),
            come_up_s: Some(hold.from_s),
            ends_s: Some(hold.to_s),
        })
    });
    match (column, at_c) {
        // A given temperature goes before the mean of what was read.
        (Some(column), Some(c)) => Some(Medium { held_c: c, ..column }),
        (Some(column), None) => Some(column),
        (None, Some(c)) => Some(Medium {
            probe: None,
            held_c: c,
            between_c: (c, c),
            come_up_s: None,
            ends_s: None,
        }),
        (None, None) => None,
    }
}

/// What one probe's report needs beside its own readings.
struct Context<'c> {
    column: &'c ProbeColumn,
    is_medium: bool,
    survey: &'c Survey,
    medium: Option<&'c Medium>,
    medium_cooling: Option<&'c [Kept]>,
    cooling_at_c: Option<f64>,
    split: (u64, f64, SplitBy),
}

impl Context<'_> {
    fn report(&self, index: usize, found: &ProbeMeasured) -> ProbeReport {
        let own = &self.survey.probes[index];
        let heating = self.heating(found);
        let sink = self.sink(found);
        let cooling = self.cooling(found, &sink);
        let stages = found.clock.stages();
        let forecast = self.forecast(found, stages, &sink, &cooling);
        let kept = found
            .heating
            .iter()
            .chain(
                found
                    .cooling
                    .iter()
                    .filter(|kept| found.heating.last().is_none_or(|last| kept.t_s > last.t_s)),
            )
            .copied()
            .collect();
        ProbeReport {
            name: self.column.name.clone(),
            unit: self.column.unit,
            is_medium: self.is_medium,
            readings: found.readings,
            missing: found.missing,
            first: own.first,
            hottest: found.hottest,
            last: found.last,
            coldest_c: own.coldest_c,
            counted_s: found.counted_s,
            split_s: self.split.1,
            split_by: self.split.2,
            doses: found.doses.clone(),
            faults: found.faults.clone(),
            heating,
            cooling,
            clock: found.clock,
            stages,
            forecast,
            kept,
        }
    }

    fn heating(&self, found: &ProbeMeasured) -> Result<Fit, String> {
        if self.is_medium {
            return Err("it is the medium".into());
        }
        let medium = self.medium.ok_or(if self.medium_cooling.is_some() {
            "the medium is colder than the food"
        } else {
            "the medium is not known: name its column with --medium or its temperature with --medium-at"
        })?;
        if medium.between_c.1 - medium.between_c.0 > ONE_HEATING_K {
            return Err(format!(
                "the medium fell {:.0} K between its first and its last hold: the log holds more than one heating, \
                 cut it or give --zero and --off",
                medium.between_c.1 - medium.between_c.0
            ));
        }
        let from_s = medium.come_up_s.unwrap_or(0.0);
        let start_c = found.heating.first().ok_or("it has no reading")?.c;
        let part: Vec<&Kept> = found.heating.iter().filter(|kept| kept.t_s >= from_s).collect();
        let line = fit(&part, medium.held_c)?;
        let difference_k = medium.held_c - start_c;
        Ok(Fit {
            line,
            medium_c: medium.held_c,
            start_c,
            lag: line.lag(0.0, difference_k),
            corrected: medium
                .come_up_s
                .filter(|&come_up_s| come_up_s > 0.0)
                .map(|come_up_s| CORRECTED_ZERO * come_up_s)
                .map(|zero_s| (line.lag(zero_s, difference_k), zero_s)),
        })
    }

    /// Temperature that the food cools towards [°C], and since when the medium has it [s].
    fn sink(&self, found: &ProbeMeasured) -> Result<(f64, f64), String> {
        let begins_s = self.split.1;
        if let Some(c) = self.cooling_at_c {
            return Ok((c, begins_s));
        }
        let unknown = "what it cools towards is not known: give --cooling-at";
        let medium = self.medium_cooling.ok_or(unknown)?;
        let ends_s = medium.last().ok_or(unknown)?.t_s;
        let late: Vec<f64> = medium
            .iter()
            .filter(|kept| kept.t_s >= begins_s.midpoint(ends_s))
            .map(|kept| kept.c)
            .collect();
        let mean = late.iter().sum::<f64>() / late.len().max(1) as f64;
        if late.len() < 2 || late.iter().any(|c| (c - mean).abs() > STEADY_K) {
            return Err(format!(
                "the medium is not steady over the second half of cooling (within {STEADY_K:.0} K): give --cooling-at"
            ));
        }
        if found.cooling.first().is_none_or(|first| first.c <= mean + 1.0) {
            return Err("the medium is not colder than the food when it begins to cool: give --cooling-at".into());
        }
        let since_s = medium
            .iter()
            .rev()
            .take_while(|kept| (kept.c - mean).abs() <= STEADY_K)
            .last()
            .map_or(begins_s, |kept| kept.t_s);
        Ok((mean, since_s))
    }

    fn cooling(&self, found: &ProbeMeasured, sink: &Result<(f64, f64), String>) -> Result<Fit, String> {
        if self.is_medium {
            return Err("it is the medium".into());
        }
        let start_c = found.cooling.first().ok_or("the log ends with the heating")?.c;
        let (medium_c, since_s) = sink.clone()?;
        let part: Vec<&Kept> = found.cooling.iter().filter(|kept| kept.t_s >= since_s).collect();
        let line = fit(&part, medium_c)?;
        Ok(Fit {
            line,
            medium_c,
            start_c,
            lag: line.lag(self.split.1, start_c - medium_c),
            corrected: None,
        })
    }

    fn forecast(
        &self,
        found: &ProbeMeasured,
        stages: Stages,
        sink: &Result<(f64, f64), String>,
        cooling: &Result<Fit, String>,
    ) -> Option<Result<Forecast, String>> {
        let last = found.last?;
        let begun = found.clock.started_s();
        let falling = found.cooling.first().is_some_and(|first| last.c < first.c - 1.0);
        let open = match stages {
            Stages::EndsEarly | Stages::FirstTooSlow | Stages::BothTooSlow => last.c > SECOND_STAGE_C,
            Stages::NotStarted => falling,
            Stages::Met | Stages::BeginsCool => false,
        };
        if self.is_medium || !open {
            return None;
        }
        Some(sink.clone().and_then(|(sink_c, _)| {
            let rates = match cooling {
                Ok(fit) => {
                    let (low, high) = fit.line.f_between_s;
                    (fit.line.f_s, low, high)
                }
                Err(_) => {
                    let from = begun
                        .and_then(|begun| found.cooling.iter().rev().find(|kept| kept.t_s <= begun))
                        .or(found.cooling.first())
                        .ok_or("the log ends with the heating")?;
                    let line = TwoPoint::new(from.c, last.c, last.t_s - from.t_s, sink_c)
                        .map_err(|_| "two readings that fall towards the medium are needed")?;
                    let f_s = std::f64::consts::LN_10 / line.rate_per_s;
                    (f_s, f_s, f_s)
                }
            };
            let after = |mark_c: f64, f_s: f64| {
                (mark_c > sink_c).then(|| last.t_s + f_s * ((last.c - sink_c) / (mark_c - sink_c)).log10())
            };
            let start = |f_s: f64| begun.or_else(|| after(RULE_STARTS_C, f_s));
            let to = |reached: Option<f64>, mark_c: f64| match reached {
                Some(s) => Some((s, s, s)),
                None => Some((
                    after(mark_c, rates.0)? - start(rates.0)?,
                    after(mark_c, rates.1)? - start(rates.1)?,
                    after(mark_c, rates.2)? - start(rates.2)?,
                )),
            };
            Ok(Forecast {
                sink_c,
                to_21_s: to(found.clock.to_21_s(), FIRST_STAGE_C),
                to_5_s: to(found.clock.to_5_s(), SECOND_STAGE_C),
                fitted: cooling.is_ok(),
            })
        }))
    }
}

fn fit(part: &[&Kept], medium_c: f64) -> Result<Penetration, String> {
    let times: Vec<f64> = part.iter().map(|kept| kept.t_s).collect();
    let temps: Vec<f64> = part.iter().map(|kept| kept.c).collect();
    penetration(&times, &temps, medium_c).map_err(|why| why.to_string())
}
