//! The run on the calendar: the latest start that meets the deadline, or the earliest from now.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jiff::ToSpan;
use jiff::civil::{Date, DateTime};

use crate::clock::{self, ClockError, Doing, Hours, Layout, Turn, words};
use crate::files::{KitchenFile, Weekday};
use crate::order::Order;
use crate::plan::{Clock, ClockStep};
use crate::words::{count, duration};
use crate::worked::Work;

/// Working time and waits.
pub static RUN_TIME: Equation = Equation {
    key: "run-time",
    title: "Working time of the run",
    text: "start of a batch = max(pot is free, bath is ready - cook - fill); \
           out = start + cook + fill + come-up + hold; turn round = cycle - come-up - hold; \
           working time = last out + turn round - opening, day by day",
    source: "worked_day",
};

/// The run laid out.
#[derive(Debug, Clone)]
pub(crate) struct Timing {
    pub(crate) layout: Layout,
    pub(crate) turns: Vec<Turn>,
    pub(crate) met: bool,
    pub(crate) findings: Vec<String>,
    pub(crate) would: Vec<String>,
    pub(crate) working_min: f64,
    pub(crate) wait_min: f64,
}

fn hours(kitchen: &KitchenFile, prepare_min: f64) -> Hours {
    let mut works = [kitchen.works.is_empty(); 7];
    for day in &kitchen.works {
        let at = match day {
            Weekday::Monday => 0,
            Weekday::Tuesday => 1,
            Weekday::Wednesday => 2,
            Weekday::Thursday => 3,
            Weekday::Friday => 4,
            Weekday::Saturday => 5,
            Weekday::Sunday => 6,
        };
        works[at] = true;
    }
    Hours {
        opens: kitchen.hours.open,
        closes: kitchen.hours.close,
        prepare_min,
        works,
    }
}

/// Lays the run out.
pub(crate) fn timing(
    graph: &mut Graph,
    order: &Order,
    kitchen: &KitchenFile,
    works: &[Work],
) -> Result<Timing, ClockError> {
    let prepare_min = works.first().map_or(60.0, |w| graph.value(w.prepare_min));
    let hours = hours(kitchen, prepare_min);
    let turns: Vec<Turn> = works.iter().flat_map(|w| w.turns(graph)).collect();
    let soonest = clock::next_opening(order.now, &hours);
    let earliest = clock::lay_out(&turns, &hours, soonest, 0.0)?;
    let mut findings = Vec::new();
    let mut would = Vec::new();
    let mut met = true;
    let mut layout = earliest.clone();
    if let Some(by) = order.by {
        let latest = clock::latest_for(&turns, &hours, by)?;
        day_before(&mut findings, &turns, &hours, by, order.now)?;
        match latest {
            Some(latest) if latest.starts >= order.now => {
                findings.push(format!(
                    "What meets {}: start {} at the latest; the last load is out {}, everything may leave {}.",
                    words(by),
                    words(latest.starts),
                    words(latest.last_out),
                    words(latest.ready)
                ));
                layout = latest;
            }
            _ => {
                met = false;
                would.push(format!(
                    "deliver from {} on: start {}",
                    words(earliest.ready),
                    words(earliest.starts)
                ));
                let ready = clock::ready_by(&turns, &hours, soonest, by)?;
                if ready > 0 {
                    let kept: f64 = turns[..ready].iter().map(|turn| good_of(graph, works, turn)).sum();
                    let good = kept.floor();
                    would.push(format!(
                        "an order of about {good} jars: {} of {} batches are ready by then",
                        ready,
                        turns.len()
                    ));
                }
                if each_alone_meets(&turns, &hours, soonest, by)? {
                    would.push("more baths and pots, so that the last load is out sooner".into());
                }
            }
        }
    }
    // The first load's wait is the longest that everything has in common.
    let wait_min = wait_of(&turns);
    for work in works {
        before_and_after(work, &mut findings);
    }
    let working_min = working(&layout);
    Ok(Timing {
        layout,
        turns,
        met,
        findings,
        would,
        working_min,
        wait_min,
    })
}

/// Whether each batch, with a pot and a bath of its own, would be ready in time.
fn each_alone_meets(turns: &[Turn], hours: &Hours, soonest: Date, by: DateTime) -> Result<bool, ClockError> {
    for turn in turns {
        if clock::lay_out(std::slice::from_ref(turn), hours, soonest, 0.0)?.ready > by {
            return Ok(false);
        }
    }
    Ok(true)
}

/// What a formula asks for outside the day itself.
fn before_and_after(work: &Work, findings: &mut Vec<String>) {
    let name = &work.formula.name;
    let soak = work
        .lines
        .iter()
        .find(|l| l.written.part == Some(crate::files::Part::Soak));
    if let Some(soak) = soak {
        let step = soak.written.step.as_deref().unwrap_or("soak the pieces");
        findings.push(format!("{name}, before the day: {step}."));
    }
    if work.formula.pack.is_some()
        && let Some(wait) = jarwright_reference::practice("ph_wait_pickle_days")
    {
        findings.push(format!(
            "{name}, after the day: pieces and brine agree in pH after {:.0} to {:.0} days ({}); a test jar, pieces and brine blended, that reads above 4.6 at 24 h is held cold and read again.",
            wait.value.low, wait.value.high, wait.value.source
        ));
    }
}

/// Good jars to sell that a batch is expected to give.
fn good_of(graph: &Graph, works: &[Work], turn: &Turn) -> f64 {
    works.iter().find(|w| w.formula.name == turn.formula).map_or(0.0, |w| {
        let sealed = w.size.per_batch as f64 * (1.0 - graph.value(w.failure));
        (sealed - crate::sizing::SPENT_PER_BATCH as f64).max(0.0)
    })
}

fn wait_of(turns: &[Turn]) -> f64 {
    turns.iter().map(|t| t.wait_min).fold(0.0, f64::max)
}

/// Minutes from first step until the last jars are out and all is cleared, day by day.
fn working(layout: &Layout) -> f64 {
    let mut total = 0.0;
    let mut opened: Option<DateTime> = None;
    let mut last: Option<DateTime> = None;
    for step in &layout.steps {
        match step.doing {
            Doing::Prepare => {
                if let (Some(from), Some(to)) = (opened, last) {
                    total += clock::minutes_between(from, to);
                }
                opened = Some(step.at);
            }
            Doing::JarsOut | Doing::Chill => last = Some(clock::later(step.at, step.takes_min)),
            Doing::Cook | Doing::Fill | Doing::JarsIn | Doing::Boil | Doing::Ready => {}
        }
    }
    if let (Some(from), Some(to)) = (opened, last) {
        total += clock::minutes_between(from, to);
    }
    total
}

/// What cooking on the day before the deadline would come to.
fn day_before(
    findings: &mut Vec<String>,
    turns: &[Turn],
    hours: &Hours,
    by: DateTime,
    now: DateTime,
) -> Result<(), ClockError> {
    let day = by.date().checked_sub(1.days()).map_err(|_| ClockError::Calendar)?;
    let name = day.strftime("%A");
    if !hours.works_on(day) {
        findings.push(format!("The kitchen does not work on {name}, the day before."));
        return Ok(());
    }
    if day.to_datetime(hours.opens) < now {
        return Ok(());
    }
    let layout = clock::lay_out(turns, hours, day, 0.0)?;
    let late = clock::minutes_between(by, layout.ready);
    let how = if layout.days == 1 { "Cooking" } else { "Starting" };
    if late > 0.0 {
        findings.push(format!(
            "{how} on {name} cannot meet {}: from {} the last load is out {}, everything may leave {}, {} too late.",
            words(by),
            hours.opens.strftime("%H:%M"),
            words(layout.last_out),
            words(layout.ready),
            duration(late)
        ));
    }
    Ok(())
}

/// Lot codes: year, day of the year, formula's letter, batch.
pub(crate) fn lots(timing: &Timing, works: &[Work]) -> Vec<Vec<String>> {
    works
        .iter()
        .enumerate()
        .map(|(index, work)| {
            let letter = char::from(b'A' + u8::try_from(index % 26).unwrap_or(0));
            (1..=work.size.batches)
                .map(|batch| {
                    let day = timing
                        .layout
                        .steps
                        .iter()
                        .find(|s| {
                            s.doing == Doing::Cook
                                && s.turn.is_some_and(|t| {
                                    timing.turns[t].formula == work.formula.name && timing.turns[t].batch == batch
                                })
                        })
                        .map_or(timing.layout.starts, |s| s.at)
                        .date();
                    format!("{:02}{:03}{letter}{batch:02}", day.year() % 100, day.day_of_year())
                })
                .collect()
        })
        .collect()
}

impl Timing {
    /// The clock of the plan.
    pub(crate) fn view(&self, graph: &mut Graph, order: &Order, works: &[Work]) -> Clock {
        let mut steps = Vec::with_capacity(self.layout.steps.len());
        for step in &self.layout.steps {
            let turn = step.turn.map(|t| &self.turns[t]);
            let work = turn.and_then(|t| works.iter().find(|w| w.formula.name == t.formula));
            let part = parts_of(step.doing, work, works);
            let takes = graph.decide("this step takes", Unit::Minute, &RUN_TIME, &part, step.takes_min);
            steps.push(ClockStep {
                at: step.at.strftime("%Y-%m-%d %H:%M").to_string(),
                doing: step.doing.word(),
                what: what(step.doing, work, works, graph),
                batch: turn.map_or_else(String::new, |t| format!("{} batch {}", t.formula, t.batch)),
                takes: graph.figure(takes),
            });
        }
        let parts: Vec<_> = works
            .iter()
            .flat_map(|w| [w.batch.cook_min, w.fill_min, w.load.cycle])
            .collect();
        let working = graph.decide(
            "working time",
            Unit::Minute,
            &RUN_TIME,
            &parts,
            self.working_min.round(),
        );
        let waits: Vec<_> = works.iter().map(|w| w.wait_h).collect();
        let wait = graph.decide(
            "wait after the last load",
            Unit::Hour,
            &RUN_TIME,
            &waits,
            self.wait_min / 60.0,
        );
        Clock {
            steps,
            starts: words(self.layout.starts),
            last_out: words(self.layout.last_out),
            ready: words(self.layout.ready),
            by: order.by.map(words),
            met: order.by.map(|_| self.met),
            working: graph.figure(working),
            wait: graph.figure(wait),
            findings: self.findings.clone(),
        }
    }
}

/// What the time of a step is told from.
fn parts_of(doing: Doing, work: Option<&Work>, works: &[Work]) -> Vec<Id> {
    let Some(work) = work else {
        let of_day = |w: &Work| {
            if doing == Doing::Prepare {
                w.prepare_min
            } else {
                w.wait_h
            }
        };
        return works.iter().map(of_day).collect();
    };
    match doing {
        Doing::Cook => vec![work.batch.cook_min],
        Doing::Fill => vec![work.fill_min],
        Doing::JarsIn => vec![work.load.come_up],
        Doing::Boil => work.hold.into_iter().collect(),
        Doing::JarsOut => [work.load.cycle, work.load.come_up]
            .into_iter()
            .chain(work.hold)
            .collect(),
        Doing::Chill => vec![work.turn_min],
        Doing::Prepare => vec![work.prepare_min],
        Doing::Ready => vec![work.wait_h],
    }
}

fn what(doing: Doing, work: Option<&Work>, works: &[Work], graph: &Graph) -> String {
    let jars = || work.map_or_else(|| "the jars".into(), |w| count(w.size.per_batch, "jar"));
    match doing {
        Doing::Prepare => {
            let (jars, bath) = if works.iter().any(|w| w.hold.is_some()) {
                (" and kept hot", ", bath on")
            } else {
                ("", "")
            };
            format!(
                "thermometers checked at the boil here, scales checked, jars washed{jars}, first batch weighed{bath}"
            )
        }
        Doing::Cook => match work {
            Some(work) => format!("pot on; stop at {}", work.stop_words(graph)),
            None => "pot on".into(),
        },
        Doing::Fill => match work {
            Some(work) if work.hold.is_none() && work.sieved => {
                format!("strain into shallow pans, enough for {}", jars())
            }
            Some(work) if work.hold.is_none() => format!("into shallow pans, enough for {}", jars()),
            Some(work) if work.formula.pack.is_some() => format!("pack, cover with brine and cap {}", jars()),
            Some(work) if !work.sieved => format!("fill and cap {}", jars()),
            _ => format!("strain, fill and cap {}", jars()),
        },
        Doing::JarsIn => format!("{} into the bath", jars()),
        Doing::Boil => match work.and_then(|w| w.hold) {
            Some(hold) => format!("full boil over the lids: {} min from now", graph.value(hold)),
            None => "full boil over the lids".into(),
        },
        Doing::Chill => format!(
            "pans into ice water, stirred: 57 to 21 °C (135 to 70 °F) within 2 h, 5 °C (41 °F) within 6 h; then cold into {}; no bath",
            jars()
        ),
        Doing::JarsOut => format!(
            "heat off, lid off, 5 min; then {} out, undisturbed; swap water for the next load",
            jars()
        ),
        Doing::Ready => {
            let seals = if works.iter().any(|w| w.hold.is_some()) {
                "seals tested, "
            } else {
                ""
            };
            format!("{seals}pH of each batch measured: the jars may leave, or are held")
        }
    }
}
