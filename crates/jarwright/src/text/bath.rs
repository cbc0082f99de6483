//! The fillings of the bath, and what each jar gets there.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{ColdSpot, LoadPlan, Process, ScheduleView};
use jarwright_papers::words;

use super::page::Page;
use super::{numbered, several, share};

/// The fillings of the bath.
pub fn loads(page: &mut Page, plan: &Plan) {
    page.heading("Bath loads and process");
    let several = several(plan);
    for load in &plan.loads {
        let whose = if several {
            format!("{}: ", load.formula)
        } else {
            String::new()
        };
        page.line(
            2,
            &format!(
                "{whose}{} in {}: {} jars (it has {} places)",
                numbered("Load", "Loads", load.numbers),
                load.bath,
                words::value(&load.jars),
                words::value(&load.places)
            ),
        );
        let departs = plan
            .process
            .iter()
            .any(|process| process.formula == load.formula && !process.departures.is_empty());
        page.table(4, &facts(load, departs), &[]);
        page.list(4, &load.notes);
    }
}

fn facts(load: &LoadPlan, departs: bool) -> Vec<Vec<String>> {
    let setting = load.burner_setting.as_ref().map(|setting| {
        let share = share(setting);
        format!("burner at {share} of its power for the published come-up")
    });
    let full = format!("burner full on: {}", words::figure(&load.come_up_full));
    let come_up = format!(
        "{}; {}",
        words::figure(&load.come_up),
        setting.map_or(full.clone(), |s| format!("{s}; {full}"))
    );
    let hold = match &load.hold {
        None => "no published time: no schedule covers this jar".to_owned(),
        Some(hold) if departs => {
            format!(
                "{} at full boil by the schedule named, which does not cover this run: see below",
                words::figure(hold)
            )
        }
        Some(hold) => format!("{} at full boil", words::figure(hold)),
    };
    [
        ("water when jars go in", words::figure(&load.start)),
        ("come-up to the boil", come_up),
        ("hold", hold),
        (
            "from the heat to the bath",
            load.longest_wait.as_ref().map_or_else(
                || "no published limit".to_owned(),
                |wait| format!("within {}", words::figure(wait)),
            ),
        ),
        (
            "before the next load",
            format!(
                "take out {} of hot water, then fill up with cold",
                words::figure(&load.swap)
            ),
        ),
        ("one load, in to in", words::duration(&load.cycle)),
    ]
    .into_iter()
    .map(|(what, words)| vec![what.to_owned(), words])
    .collect()
}

/// What is published for the jar and what is computed beside it.
pub fn process(page: &mut Page, plan: &Plan) {
    for process in &plan.process {
        page.gap();
        one(page, process);
    }
}

fn one(page: &mut Page, process: &Process) {
    match &process.schedule {
        Some(schedule) => published(page, &process.formula, schedule, !process.departures.is_empty()),
        None => page.line(2, &format!("{}: no tested schedule applies.", process.formula)),
    }
    for departure in &process.departures {
        page.item(4, "departs: ", departure);
    }
    if let Some(cold) = &process.cold_spot {
        computed(page, cold);
    }
    if let Some(why) = &process.not_computed {
        page.item(4, "not computed: ", why);
    }
}

fn published(page: &mut Page, formula: &str, schedule: &ScheduleView, departs: bool) {
    let name = format!("{} ({})", schedule.title, schedule.key);
    let minutes = format!(
        "{} at full boil, altitude band {}",
        words::figure(&schedule.minutes),
        schedule.band
    );
    if departs {
        page.line(
            2,
            &format!("{formula}: THIS RUN DEPARTS from the schedule it names, which does NOT apply: no tested process covers it. The schedule: {name}: {minutes}."),
        );
    } else {
        page.line(2, &format!("{formula}: {minutes}, by {name}."));
    }
    if schedule.from_memory {
        page.item(
            4,
            "! ",
            "known from memory only: it opens nothing until a person enters the printed page",
        );
    }
    page.line(
        4,
        if departs {
            "It asks for all of these, and not all are kept here:"
        } else {
            "It holds only with all of these:"
        },
    );
    page.list(6, &schedule.conditions);
    if !schedule.clashes.is_empty() {
        page.line(4, "Publishers that differ:");
        page.list(6, &schedule.clashes);
    }
}

fn computed(page: &mut Page, cold: &ColdSpot) {
    page.line(
        4,
        "Computed for the coldest point of the jar (explains, never replaces the minutes above):",
    );
    let mut rows = vec![
        ("food at filling", words::figure(&cold.fill)),
        ("when the bath boils", words::figure(&cold.at_boil)),
        ("at the end of the hold", words::figure(&cold.at_end)),
        ("highest, out of the bath", words::figure(&cold.peak)),
        (
            "down to 54 °C (129 °F)",
            format!("{} after the hold, in air", words::duration(&cold.to_54)),
        ),
        ("dose while heating", words::figure(&cold.heating)),
        (
            "dose while cooling",
            format!(
                "{}, which is {} of the whole",
                words::figure(&cold.cooling),
                share(&cold.cooling_share)
            ),
        ),
    ];
    if let Some(ratio) = &cold.heating_of_reference {
        rows.push((
            "heating dose here",
            format!("{} of that with every published condition at sea level", share(ratio)),
        ));
    }
    if let Some(ratio) = &cold.total_of_reference {
        rows.push((
            "whole dose here",
            format!("{} of that with every published condition at sea level", share(ratio)),
        ));
    }
    rows.push((
        "published target",
        format!("{} ({})", words::figure(&cold.target_minutes), cold.target),
    ));
    let rows: Vec<Vec<String>> = rows
        .into_iter()
        .map(|(what, words)| vec![what.to_owned(), words])
        .collect();
    page.table(6, &rows, &[]);
    page.line(6, &cold.meaning);
}
