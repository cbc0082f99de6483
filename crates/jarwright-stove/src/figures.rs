//! A report in figures that explain themselves, for machines.

use std::convert::Infallible;

use jarwright_dose::{LETHALITY, LETHALITY_TRAPEZOID, LethalTarget};
use jarwright_figure::{Basis, Equation, Figure, Graph, Id, Leaf, Spread, Unit};
use jarwright_heat::cooling_clock::{Stages, TWO_STAGE_COOLING};
use jarwright_heat::penetration::{PENETRATION_LAG, PENETRATION_RATE};
use jarwright_heat::two_point::TWO_POINT_COOLING;
use serde::Serialize;

use crate::measure::{Fault, Gap, LeftOut, Listed};
use crate::report::{Fit, Forecast, ProbeReport, Report, SplitBy};

/// A report for machines: counts and lines as numbers, everything measured or computed as figures.
#[derive(Debug, Serialize)]
pub struct ReportFigures {
    /// What governs and what this is not.
    pub cautions: Vec<&'static str>,
    /// The file's name.
    pub file: String,
    /// First and last time that count, as written.
    pub written: (String, String),
    /// Rows that are not blank.
    pub rows: u64,
    /// Rows that count.
    pub rows_counted: u64,
    /// Usual interval.
    pub usual_interval: Figure,
    /// Length of the log.
    pub length: Figure,
    /// Rows left out.
    pub left_out: LeftOut,
    /// Stretches without rows; no lethality is counted over them.
    pub gaps: Listed<Gap>,
    /// The heating medium.
    pub medium: Option<MediumFigures>,
    /// Each probe.
    pub probes: Vec<ProbeFigures>,
    /// Every quantity that others name as an input.
    pub inputs: Vec<Figure>,
}

/// The heating medium.
#[derive(Debug, Serialize)]
pub struct MediumFigures {
    /// Mean over its hold, or as given.
    pub held: Figure,
    /// Come-up time.
    pub come_up: Option<Figure>,
}

/// One probe.
#[derive(Debug, Serialize)]
pub struct ProbeFigures {
    /// Its name.
    pub name: String,
    /// Unit in the log.
    pub log_unit: &'static str,
    /// Whether it is the medium.
    pub is_medium: bool,
    /// Readings that count.
    pub readings: u64,
    /// Cells without a reading.
    pub missing: u64,
    /// Hottest reading and when.
    pub hottest: Option<(Figure, Figure)>,
    /// First reading.
    pub first: Option<Figure>,
    /// Last reading.
    pub last: Option<Figure>,
    /// Where heating ends.
    pub heating_ends: Figure,
    /// How that is known.
    pub heating_ends_by: &'static str,
    /// Lethalities.
    pub lethality: Vec<DoseFigures>,
    /// Heating fit.
    pub heating: FitFigures,
    /// Cooling fit.
    pub cooling: FitFigures,
    /// Two-stage rule for food kept chilled.
    pub two_stage_cooling: StageFigures,
    /// Faults.
    pub faults: Listed<Fault>,
}

/// One lethality.
#[derive(Debug, Serialize)]
pub struct DoseFigures {
    /// Reference temperature.
    pub reference: Figure,
    /// Slope z.
    pub z: Figure,
    /// Exact integral of straight lines, whole log.
    pub exact: Figure,
    /// Trapezoid rule, whole log.
    pub trapezoid: Figure,
    /// Exact, while heating.
    pub heating: Figure,
    /// Exact, while cooling.
    pub cooling: Figure,
    /// Time above the reference temperature.
    pub above: Figure,
}

/// A fit, or why there is none.
#[derive(Debug, Default, Serialize)]
pub struct FitFigures {
    /// Why there is none.
    pub refused: Option<String>,
    /// Rate f.
    pub f: Option<Figure>,
    /// Ends of its 95 % interval [min].
    pub f_95: Option<(f64, f64)>,
    /// Lag j from time zero as read.
    pub j: Option<Figure>,
    /// Ends of its 95 % interval.
    pub j_95: Option<(f64, f64)>,
    /// Lag j from the corrected zero.
    pub j_corrected: Option<Figure>,
    /// Ends of its 95 % interval.
    pub j_corrected_95: Option<(f64, f64)>,
    /// First and last minute of the straight part.
    pub window_min: Option<(f64, f64)>,
    /// Readings in it.
    pub readings: Option<usize>,
    /// Root mean square residual in powers of ten.
    pub residual_log10: Option<f64>,
}

/// The two-stage rule.
#[derive(Debug, Serialize)]
pub struct StageFigures {
    /// What it says.
    pub says: &'static str,
    /// Time to 21 °C.
    pub to_21_c: Option<Figure>,
    /// Time to 5 °C.
    pub to_5_c: Option<Figure>,
    /// Whether readings are missing where it matters.
    pub in_a_gap: bool,
    /// Forecast to 21 °C, where the log ends early.
    pub forecast_to_21_c: Option<Figure>,
    /// Forecast to 5 °C.
    pub forecast_to_5_c: Option<Figure>,
    /// Why there is no forecast.
    pub no_forecast: Option<String>,
}

/// What a machine is told of the two-stage rule.
#[must_use]
pub const fn stage_key(stages: Stages) -> &'static str {
    match stages {
        Stages::NotStarted => "not started",
        Stages::Met => "met",
        Stages::FirstTooSlow => "first stage over 2 h",
        Stages::BothTooSlow => "both stages over 6 h",
        Stages::EndsEarly => "log ends early",
        Stages::BeginsCool => "log begins below 57 °C",
    }
}

struct Builder<'r> {
    graph: Graph,
    report: &'r Report,
}

impl Report {
    /// The report in figures.
    #[must_use]
    pub fn figures(&self) -> ReportFigures {
        let mut builder = Builder {
            graph: Graph::new(),
            report: self,
        };
        let usual = builder.measured(
            "usual",
            "Usual interval",
            Unit::Second,
            self.told.usual_s,
            "clock",
            "median of all rows",
        );
        let length = builder.measured(
            "length",
            "Length of the log",
            Unit::Minute,
            self.told.long_s / 60.0,
            "clock",
            "first to last row",
        );
        let medium = self.medium.as_ref().map(|medium| {
            let held = match medium.probe {
                Some(probe) => builder.measured(
                    "medium",
                    "Medium, mean of its hold",
                    Unit::Celsius,
                    medium.held_c,
                    &self.probes[probe].name,
                    "mean over time between first and last within 1 K of its hottest",
                ),
                None => builder
                    .graph
                    .entered("medium", "Medium", Unit::Celsius, medium.held_c, "--medium-at"),
            };
            let come_up = medium.come_up_s.map(|s| {
                builder.measured(
                    "come-up",
                    "Come-up time",
                    Unit::Minute,
                    s / 60.0,
                    "clock",
                    "to within 1 K of its hottest",
                )
            });
            (held, come_up)
        });
        let probes = (0..self.probes.len()).map(|i| builder.probe(i)).collect();
        let graph = &builder.graph;
        ReportFigures {
            cautions: crate::CAUTIONS.to_vec(),
            file: self.told.name.clone(),
            written: self.told.written.clone(),
            rows: self.told.all_rows,
            rows_counted: self.told.rows,
            usual_interval: graph.figure(usual),
            length: graph.figure(length),
            left_out: self.left_out.clone(),
            gaps: self.gaps.clone(),
            medium: medium.map(|(held, come_up)| MediumFigures {
                held: graph.figure(held),
                come_up: come_up.map(|id| graph.figure(id)),
            }),
            probes,
            inputs: graph.ids().map(|id| graph.figure(id)).collect(),
        }
    }
}

impl Builder<'_> {
    fn measured(&mut self, key: &str, name: &str, unit: Unit, value: f64, instrument: &str, place: &str) -> Id {
        self.graph.leaf(Leaf {
            key: key.into(),
            name: name.into(),
            unit,
            value,
            spread: Spread::Exact,
            basis: Basis::Measured {
                instrument: instrument.into(),
                by: format!("{}, {place}", self.report.told.name),
            },
        })
    }

    fn shown(&self, id: Id) -> Figure {
        self.graph.figure(id)
    }

    fn reading(&mut self, index: usize, what: &str, c: f64, line: u64) -> Id {
        let name = self.report.probes[index].name.clone();
        self.measured(
            &format!("{index} {what}"),
            &format!("{name}, {what}"),
            Unit::Celsius,
            c,
            &name,
            &format!("line {line}"),
        )
    }

    fn probe(&mut self, index: usize) -> ProbeFigures {
        let report = self.report;
        let probe = &report.probes[index];
        let name = &probe.name;
        let lines = (probe.first.map_or(0, |p| p.line), probe.last.map_or(0, |p| p.line));
        let readings = self.measured(
            &format!("{index} readings"),
            &format!("{name}, readings"),
            Unit::Count,
            probe.readings as f64,
            name,
            &format!("lines {} to {}", lines.0, lines.1),
        );
        let first = probe.first.map(|p| self.reading(index, "first", p.c, p.line));
        let last = probe.last.map(|p| self.reading(index, "last", p.c, p.line));
        let hottest = probe.hottest.map(|p| {
            let c = self.reading(index, "hottest", p.c, p.line);
            let at = self.measured(
                &format!("{index} hottest at"),
                &format!("{name}, hottest at"),
                Unit::Minute,
                p.t_s / 60.0,
                "clock",
                &format!("line {}", p.line),
            );
            (self.shown(c), self.shown(at))
        });
        let ends = self.measured(
            &format!("{index} ends"),
            &format!("{name}, end of heating"),
            Unit::Minute,
            probe.split_s / 60.0,
            "clock",
            split_words(probe.split_by),
        );
        let lethality = (0..report.targets.len())
            .map(|t| self.dose(index, t, readings, ends))
            .collect();
        ProbeFigures {
            name: name.clone(),
            log_unit: probe.unit.symbol(),
            is_medium: probe.is_medium,
            readings: probe.readings,
            missing: probe.missing,
            hottest,
            first: first.map(|id| self.shown(id)),
            last: last.map(|id| self.shown(id)),
            heating_ends: self.shown(ends),
            heating_ends_by: split_words(probe.split_by),
            lethality,
            heating: self.fit(index, "heating", &probe.heating, readings),
            cooling: self.fit(index, "cooling", &probe.cooling, readings),
            two_stage_cooling: self.stages(probe, readings),
            faults: probe.faults.clone(),
        }
    }

    fn dose(&mut self, index: usize, at: usize, readings: Id, ends: Id) -> DoseFigures {
        let report = self.report;
        let LethalTarget { ref_c, z_k } = report.targets[at];
        let by = if report.usual_target {
            "nobody asked for another: the usual reference of acid foods"
        } else {
            "--lethality"
        };
        let reference = self
            .graph
            .entered(&format!("ref {at}"), "Reference temperature", Unit::Celsius, ref_c, by);
        let z = self.graph.entered(&format!("z {at}"), "Slope z", Unit::Kelvin, z_k, by);
        let (name, dose) = (&report.probes[index].name, report.probes[index].doses[at]);
        let mut minutes = |what: &str, equation, value, split: bool| {
            let inputs: &[Id] = if split {
                &[readings, reference, z, ends]
            } else {
                &[readings, reference, z]
            };
            let id = self
                .graph
                .decide(&format!("{name}, {what}"), Unit::Minute, equation, inputs, value);
            self.graph.figure(id)
        };
        let (exact, trapezoid, heating, cooling) = (
            minutes("lethality", &LETHALITY, dose.total_min(), false),
            minutes(
                "lethality, trapezoid",
                &LETHALITY_TRAPEZOID,
                dose.total_trapezoid_min(),
                false,
            ),
            minutes("lethality while heating", &LETHALITY, dose.heating_min, true),
            minutes("lethality while cooling", &LETHALITY, dose.cooling_min, true),
        );
        let above = self.measured(
            &format!("{index} above {at}"),
            &format!("{name}, time above the reference temperature"),
            Unit::Minute,
            dose.above_s / 60.0,
            name,
            "straight lines between readings",
        );
        DoseFigures {
            reference: self.shown(reference),
            z: self.shown(z),
            exact,
            trapezoid,
            heating,
            cooling,
            above: self.shown(above),
        }
    }

    fn fit(&mut self, index: usize, what: &str, fit: &Result<Fit, String>, readings: Id) -> FitFigures {
        let fit = match fit {
            Ok(fit) => fit,
            Err(why) => {
                return FitFigures {
                    refused: Some(why.clone()),
                    ..FitFigures::default()
                };
            }
        };
        let name = self.report.probes[index].name.clone();
        let medium = self.measured(
            &format!("{index} {what} medium"),
            &format!("{name}, medium of {what}"),
            Unit::Celsius,
            fit.medium_c,
            "medium",
            what,
        );
        let start = self.measured(
            &format!("{index} {what} start"),
            &format!("{name}, where {what} starts"),
            Unit::Celsius,
            fit.start_c,
            &name,
            what,
        );
        let line = &fit.line;
        let fall = self.spread(
            &format!("{index} {what} fall"),
            &format!("{name}, fall of the logarithm in a minute of {what}"),
            per_minute(line.fall_per_s()),
            &name,
        );
        let f = self.computed(
            &format!("{name}, f of {what}"),
            Unit::Minute,
            &PENETRATION_RATE,
            &[fall, medium, readings],
            |x| 1.0 / x[0],
        );
        let split_s = self.report.probes[index].split_s;
        let mut lag = |label: &str, zero_s: f64| {
            let meets = self.spread(
                &format!("{index} {what} meets {label}"),
                &format!("{name}, logarithm of the difference where {what} meets {label}"),
                line.meets(zero_s),
                &name,
            );
            self.computed(
                &format!("{name}, j of {what} from {label}"),
                Unit::One,
                &PENETRATION_LAG,
                &[meets, medium, start],
                |x| 10_f64.powf(x[0]) / (x[1] - x[2]).abs(),
            )
        };
        let heats = what == "heating";
        let j = lag(
            if heats { "time zero" } else { "the end of heating" },
            if heats { 0.0 } else { split_s },
        );
        let j_corrected = fit.corrected.map(|(_, zero_s)| lag("the corrected zero", zero_s));
        FitFigures {
            refused: None,
            f: Some(f),
            f_95: Some((line.f_between_s.0 / 60.0, line.f_between_s.1 / 60.0)),
            j: Some(j),
            j_95: Some((fit.lag.1, fit.lag.2)),
            j_corrected,
            j_corrected_95: fit.corrected.map(|(lag, _)| (lag.1, lag.2)),
            window_min: Some((line.window_s.0 / 60.0, line.window_s.1 / 60.0)),
            readings: Some(line.readings),
            residual_log10: Some(line.residual),
        }
    }

    /// A number read off a line, with its 5th and 95th percentile.
    fn spread(&mut self, key: &str, name: &str, (value, low, high): (f64, f64, f64), instrument: &str) -> Id {
        self.graph.leaf(Leaf {
            key: key.into(),
            name: name.into(),
            unit: Unit::One,
            value,
            spread: Spread::Percentiles { low, high },
            basis: Basis::Measured {
                instrument: instrument.into(),
                by: format!("{}, least squares over the straight part", self.report.told.name),
            },
        })
    }

    /// A figure by an equation that refuses nothing.
    fn computed(
        &mut self,
        name: &str,
        unit: Unit,
        equation: &'static Equation,
        inputs: &[Id],
        f: impl Fn(&[f64]) -> f64,
    ) -> Figure {
        let done = self
            .graph
            .compute(name, unit, equation, inputs, |x| Ok::<f64, Infallible>(f(x)));
        match done {
            Ok(id) => self.graph.figure(id),
            Err(never) => match never {},
        }
    }

    fn stages(&mut self, probe: &ProbeReport, readings: Id) -> StageFigures {
        let name = &probe.name;
        let mut minutes = |what: &str, equation, s: f64| {
            let id = self.graph.decide(
                &format!("{name}, {what}"),
                Unit::Minute,
                equation,
                &[readings],
                s / 60.0,
            );
            self.graph.figure(id)
        };
        let started = probe.stages != Stages::NotStarted;
        let seen = |s: Option<f64>| s.filter(|_| started);
        let to_21_c = seen(probe.clock.to_21_s()).map(|s| minutes("57 to 21 °C", &TWO_STAGE_COOLING, s));
        let to_5_c = seen(probe.clock.to_5_s()).map(|s| minutes("57 to 5 °C", &TWO_STAGE_COOLING, s));
        let forecast: Option<Forecast> = probe.forecast.as_ref().and_then(|f| f.as_ref().ok()).copied();
        let mut ahead = |what: &str, s: Option<(f64, f64, f64)>| s.map(|s| minutes(what, &TWO_POINT_COOLING, s.0));
        StageFigures {
            says: stage_key(probe.stages),
            to_21_c,
            to_5_c,
            in_a_gap: probe.clock.in_a_gap(),
            forecast_to_21_c: ahead("57 to 21 °C, forecast", forecast.and_then(|f| f.to_21_s)),
            forecast_to_5_c: ahead("57 to 5 °C, forecast", forecast.and_then(|f| f.to_5_s)),
            no_forecast: probe.forecast.as_ref().and_then(|f| f.as_ref().err()).cloned(),
        }
    }
}

fn per_minute((value, low, high): (f64, f64, f64)) -> (f64, f64, f64) {
    (60.0 * value, 60.0 * low, 60.0 * high)
}

/// How the end of heating is known, in words.
#[must_use]
pub const fn split_words(by: SplitBy) -> &'static str {
    match by {
        SplitBy::Told => "as told with --off",
        SplitBy::Medium => "when the medium was last within 1 K of its hottest",
        SplitBy::Hottest => "when this probe was hottest; no warmer medium is known",
    }
}
