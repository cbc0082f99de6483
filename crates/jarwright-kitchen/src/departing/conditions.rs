//! What a schedule or a letter asks of a jar, held against a departure; and what that does to the
//! shelf.

use super::answer::{Condition, DepartedSpot, Kept, Ruling};
use super::changed::{Changed, is_same_jar};
use super::{Departure, PlannedJar};
use crate::inside::COOK_TOLERANCE_K;
use crate::notes::COME_UP_ROUNDING_MIN;
use crate::through_bath::BATH_START_ROUNDING_K;
use crate::words;

/// Rounding of a process time between a clock and a table [min]: a hundredth of a second.
const TIME_ROUNDING_MIN: f64 = 1e-4;

/// One condition as it is asked.
struct Asked {
    what: &'static str,
    least: Option<f64>,
    most: Option<f64>,
    unit: &'static str,
    /// How far beyond an end still counts as the end.
    rounding: f64,
    /// Which ends may hurt when they are passed: below the least, above the most.
    hurts: (bool, bool),
    words: fn(f64) -> String,
}

impl Asked {
    fn held(&self, value: f64) -> Condition {
        let below = self.least.is_some_and(|least| value < least - self.rounding);
        let above = self.most.is_some_and(|most| value > most + self.rounding);
        let asked = match (self.least, self.most) {
            (Some(least), Some(most)) => format!("{} to {}", (self.words)(least), (self.words)(most)),
            (Some(least), None) => format!("{} or more", (self.words)(least)),
            (None, Some(most)) => format!("{} at most", (self.words)(most)),
            (None, None) => "nothing".into(),
        };
        Condition {
            what: self.what,
            asked,
            here: (self.words)(value),
            least: self.least,
            most: self.most,
            value: Some(value),
            unit: self.unit,
            state: if below || above { Kept::DepartedFrom } else { Kept::Kept },
            may_hurt: (below && self.hurts.0) || (above && self.hurts.1),
        }
    }
}

/// A condition that is no number.
fn plain(what: &'static str, asked: String, here: String, kept: bool) -> Condition {
    Condition {
        what,
        asked,
        here,
        least: None,
        most: None,
        value: None,
        unit: "",
        state: if kept { Kept::Kept } else { Kept::DepartedFrom },
        may_hurt: !kept,
    }
}

fn minutes(min: f64) -> String {
    // Tenths, and none where there are none to show.
    let tenths = (10.0 * min).round() / 10.0;
    format!("{tenths} min")
}

fn metres(m: f64) -> String {
    format!("{m:.0} m ({:.0} ft)", m * words::FT_PER_M)
}

fn millimetres(mm: f64) -> String {
    format!("{mm:.1} mm")
}

/// Every condition, kept or departed from.
pub(super) fn conditions(planned: &PlannedJar, departure: &Departure, changed: &Changed) -> Vec<Condition> {
    let work = &planned.work;
    let graph = &changed.graph;
    let letter = work.formula.letter.as_ref().filter(|_| work.letter);
    let schedule = work.standing.schedule.filter(|_| letter.is_none());
    let mut all = Vec::new();

    // Food, formula, headspace, cook: nothing at the stove changes them.
    for departure in &work.way.stays {
        all.push(plain("schedule", "as tested".into(), departure.clone(), false));
    }
    let cited = |cited: Option<&jarwright_figure::Cited>| cited.map(|c| c.value);
    let (least_fill_c, most_start_c) = match letter {
        Some(letter) => (letter.fill_min_c, letter.bath_start_max_c),
        None => (
            work.way.least_fill_c,
            cited(schedule.and_then(|s| s.bath_start_max_c.as_ref())),
        ),
    };
    if let Some(least) = least_fill_c {
        all.push(
            Asked {
                what: "fill temperature",
                least: Some(least),
                most: None,
                unit: "°C",
                rounding: COOK_TOLERANCE_K,
                hurts: (true, true),
                words: words::fine_temperature,
            }
            .held(graph.value(changed.fill_c)),
        );
    }
    if let Some(most) = schedule.and_then(|s| s.longest_wait_min.as_ref()) {
        all.push(
            Asked {
                what: "wait",
                least: None,
                most: Some(most.value),
                unit: "min",
                rounding: TIME_ROUNDING_MIN,
                hurts: (true, true),
                words: minutes,
            }
            .held(graph.value(work.fill_min)),
        );
    }
    if let Some(most) = most_start_c {
        all.push(
            Asked {
                what: "bath start",
                least: None,
                most: Some(most),
                unit: "°C",
                rounding: BATH_START_ROUNDING_K,
                hurts: (true, true),
                words: words::fine_temperature,
            }
            .held(graph.value(changed.start_c)),
        );
    }
    // A come-up longer than published is a departure that brings more heat.
    if let Some(printed) = schedule.and_then(|s| s.come_up_min.as_ref()) {
        all.push(
            Asked {
                what: "come-up",
                least: Some(printed.low),
                most: Some(printed.high),
                unit: "min",
                rounding: COME_UP_ROUNDING_MIN,
                hurts: (true, false),
                words: minutes,
            }
            .held(graph.value(changed.come_up)),
        );
    }
    all.push(altitude(planned, changed));
    let asked_min = match letter {
        Some(letter) => Some(letter.minutes),
        None => schedule
            .and_then(|s| s.band(changed.altitude_m * words::FT_PER_M))
            .map(|band| band.minutes.value),
    };
    match (asked_min, changed.hold) {
        (Some(asked), Some(hold)) => all.push(
            Asked {
                what: "process time",
                least: Some(asked),
                most: None,
                unit: "min",
                rounding: TIME_ROUNDING_MIN,
                hurts: (true, true),
                words: minutes,
            }
            .held(graph.value(hold)),
        ),
        (Some(asked), None) => all.push(plain(
            "process time",
            format!("{} or more", minutes(asked)),
            "no process".into(),
            false,
        )),
        (None, _) => {}
    }
    all.extend(jar(planned, departure, changed));
    all
}

/// Whether times are printed for the altitude.
fn altitude(planned: &PlannedJar, changed: &Changed) -> Condition {
    let work = &planned.work;
    if let Some(letter) = work.formula.letter.as_ref().filter(|_| work.letter) {
        return Asked {
            what: "altitude",
            least: None,
            most: Some(letter.altitude_to_m),
            unit: "m",
            rounding: 0.0,
            hurts: (true, true),
            words: metres,
        }
        .held(changed.altitude_m);
    }
    let feet = changed.altitude_m * words::FT_PER_M;
    let band = work.standing.schedule.and_then(|s| s.band(feet));
    let printed = match band {
        Some(band) => {
            let m = |ft: f64| ft / words::FT_PER_M;
            let ends = match band.to_ft {
                Some(to) => format!("{} to {}", metres(m(band.above_ft)), metres(m(to))),
                None => format!("above {}", metres(m(band.above_ft))),
            };
            format!("{ends}: {}", minutes(band.minutes.value))
        }
        None => "no time is printed for this altitude".into(),
    };
    Condition {
        value: Some(changed.altitude_m),
        unit: "m",
        ..plain("altitude", printed, metres(changed.altitude_m), band.is_some())
    }
}

/// The jars it was tested in.
fn jar(planned: &PlannedJar, departure: &Departure, changed: &Changed) -> Option<Condition> {
    let work = &planned.work;
    let tested: Vec<String> = match work.formula.letter.as_ref().filter(|_| work.letter) {
        Some(letter) => vec![letter.jar.clone()],
        None => work.standing.schedule?.jars.clone(),
    };
    let named = tested.iter().any(|jar| is_same_jar(jar, &changed.jar_name));
    let planned_mm = planned.graph.value(work.way.load.jar.radius_mm);
    let same_size = departure
        .inner_radius_mm
        .is_none_or(|mm| (mm - planned_mm).abs() < 1e-9);
    let here = match departure.inner_radius_mm {
        Some(mm) => format!("inner radius {}", millimetres(mm)),
        None => format!(
            "{}, inner radius {}",
            changed.jar_name,
            millimetres(changed.inner_radius_mm)
        ),
    };
    // An untested size is untested whichever way it goes.
    Some(Condition {
        value: Some(changed.inner_radius_mm),
        unit: "mm",
        ..plain(
            "jar",
            format!(
                "{}, planned with inner radius {}",
                tested.join(" or "),
                millimetres(planned_mm)
            ),
            here,
            named && same_size,
        )
    })
}

/// What becomes of the shelf: closed by any departure that may hurt, else as planned.
pub(super) fn ruling(planned: &PlannedJar, conditions: &[Condition], spot: Option<&DepartedSpot>) -> Ruling {
    let mut why: Vec<String> = conditions
        .iter()
        .filter(|condition| condition.may_hurt)
        .map(|condition| match condition.what {
            "schedule" => condition.here.clone(),
            what => format!(
                "{what}: {} here, the tested process has {}",
                condition.here, condition.asked
            ),
        })
        .collect();
    if let Some((low, high)) = spot.and_then(|spot| spot.heating_of_reference)
        && high < 1.0
        && !planned.work.letter
    {
        why.push(format!(
            "the cold spot gets {:.0} to {:.0} % of the heat that the published conditions give before the jars leave the bath",
            100.0 * low,
            100.0 * high
        ));
    }
    if !why.is_empty() {
        if let Some(spot) = spot
            && spot.heating.of_target >= 1.0
        {
            why.push(format!(
                "the cold spot would get {:.1} min where the target asks {:.2} min: it explains the departure and opens nothing",
                spot.heating.minutes.value, spot.target_min
            ));
        }
        return Ruling { shelf: "closed", why };
    }
    let shelf = planned.work.verdicts.iter().find(|verdict| verdict.route == "shelf");
    let state = shelf.map_or("closed", |verdict| verdict.state);
    if state == "closed" {
        why.push(
            "the shelf is closed in the plan; a departure opens nothing: plan it anew with these conditions".into(),
        );
    } else if conditions.iter().any(|condition| condition.state == Kept::DepartedFrom) {
        why.push("departed from the tested process on the side of more heat; the shelf stays as planned".into());
    } else {
        why.push("every condition is kept; the shelf stays as planned".into());
    }
    why.extend(
        shelf
            .iter()
            .flat_map(|verdict| verdict.reasons.iter().map(|reason| reason.text.clone())),
    );
    Ruling { shelf: state, why }
}
