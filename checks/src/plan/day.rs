//! What a working day at one bath holds.

use jarwright_figure::Mark;
use jarwright_kitchen::clock::{ClockError, Doing, Hours, Layout, Turn, latest_for, lay_out, minutes_between};
use jiff::civil::{Date, DateTime, date, time};

use super::Claim;
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![canner_loads(), worked_friday(), friday_for_saturday()]
}

/// The worked day: opening, then an hour until the first jars are in, cooking counted in it.
const HOURS: Hours = Hours {
    opens: time(6, 30, 0, 0),
    closes: time(19, 0, 0, 0),
    prepare_min: 35.0,
    works: [true; 7],
};

const FRIDAY: Date = date(2026, 11, 27);
const SATURDAY: Date = date(2026, 11, 28);

/// Cooks of one load each, with come-up, process and change-over.
fn cooks(many: usize, come_up_min: f64, change_over_min: f64, wait_min: f64) -> Vec<Turn> {
    (1..=many)
        .map(|batch| Turn {
            formula: "curd".into(),
            batch,
            bath: true,
            cook_min: 15.0,
            fill_min: 10.0,
            come_up_min,
            hold_min: 15.0,
            turn_round_min: change_over_min,
            wait_min,
        })
        .collect()
}

/// When each step of a kind begins, in minutes from the first jars going in.
fn begins(layout: &Layout, doing: Doing) -> Vec<f64> {
    let at = |doing: Doing| layout.steps.iter().filter(move |step| step.doing == doing);
    let first: Option<DateTime> = at(Doing::JarsIn).map(|step| step.at).next();
    at(doing)
        .filter_map(|step| first.map(|first| minutes_between(first, step.at)))
        .collect()
}

fn canner_loads() -> Check {
    let mut worst = Worst::default();
    for (come_up_min, change_over_min, load_min, hours) in [(25.0, 8.0, 48.0, 4.0), (30.0, 12.0, 57.0, 4.75)] {
        let laid = lay_out(&cooks(5, come_up_min, change_over_min, 0.0), &HOURS, FRIDAY, 0.0);
        let out = laid.map(|layout| begins(&layout, Doing::JarsOut)).unwrap_or_default();
        worst.add_answer(out.len() == 5);
        for pair in out.windows(2) {
            worst.add(pair[1] - pair[0], load_min);
        }
        let all = out.last().map_or(f64::NAN, |out| out + change_over_min);
        worst.add(all, hours * 60.0);
    }
    Claim {
        name: "canner-loads",
        claim: "60 half-pints at 12 a load: five loads of 48 to 57 min, 4.0 to 4.75 h",
        source: "worked_day",
        place: "five loads; come-up 25 to 30 min and 15 min as published for lemon curd, change-over 8 to 12 min",
        mark: Mark::Computed,
        tolerance: 0.1,
        unit: "min",
        why: "steps are placed to the second",
    }
    .held(&worst, "")
}

/// Six loads in 5 h 18 min: cooking from 07:30 ends at 12:48, told as 12:50.
const TOLD_TO_MIN: f64 = 2.5;

fn worked_friday() -> Check {
    let mut worst = Worst::default();
    let laid = lay_out(&cooks(6, 28.0, 10.0, 24.0 * 60.0), &HOURS, FRIDAY, 0.0);
    match laid {
        Ok(layout) => {
            let loads = begins(&layout, Doing::JarsIn);
            worst.add(loads.len() as f64, 6.0);
            for pair in loads.windows(2) {
                worst.add(pair[1] - pair[0], 53.0);
            }
            for pair in begins(&layout, Doing::Cook).windows(2) {
                worst.add(pair[1] - pair[0], 53.0);
            }
            let first = layout.steps.iter().find(|step| step.doing == Doing::JarsIn);
            let late = |told: DateTime, ours: DateTime| minutes_between(told, ours);
            worst.add(
                first.map_or(f64::NAN, |step| late(FRIDAY.at(7, 30, 0, 0), step.at)),
                0.0,
            );
            worst.add(late(FRIDAY.at(12, 50, 0, 0), layout.last_out), 0.0);
            worst.add(late(SATURDAY.at(12, 50, 0, 0), layout.ready), 0.0);
        }
        Err(_) => worst.add(f64::NAN, 0.0),
    }
    Claim {
        name: "worked-friday",
        claim: "six cooks of 12 jars, one every 53 min: 07:30 to about 12:50, pH known a day later",
        source: "worked_day",
        place: "66 starts, one bath of 12, come-up 28, process 15, change-over 10 min",
        mark: Mark::Computed,
        tolerance: TOLD_TO_MIN,
        unit: "min",
        why: "the day is told to ten minutes; six loads of 53 min end at 12:48",
    }
    .held(&worst, "")
}

fn friday_for_saturday() -> Check {
    let mut worst = Worst::default();
    let turns = |wait_h: f64| cooks(6, 28.0, 10.0, wait_h * 60.0);
    let starts = |wait_h: f64, by: DateTime| -> Result<Option<Date>, ClockError> {
        Ok(latest_for(&turns(wait_h), &HOURS, by)?.map(|layout| layout.starts.date()))
    };
    let thursday = date(2026, 11, 26);
    // Saturday morning: a day's wait for pH asks for Thursday, the seals' 12 h alone do not.
    worst.add_answer(starts(24.0, SATURDAY.at(9, 0, 0, 0)) == Ok(Some(thursday)));
    worst.add_answer(starts(12.0, SATURDAY.at(9, 0, 0, 0)) == Ok(Some(FRIDAY)));
    worst.add_answer(starts(24.0, SATURDAY.at(14, 0, 0, 0)) == Ok(Some(FRIDAY)));
    Claim {
        name: "friday-for-saturday",
        claim: "with a 24 h wait for pH, Friday's jars leave on Saturday afternoon, not in the morning",
        source: "worked_day",
        place: "conclusion: cook on Thursday or deliver in the afternoon",
        mark: Mark::Computed,
        tolerance: 0.0,
        unit: "wrong answers",
        why: "yes or no",
    }
    .held(&worst, "")
}
