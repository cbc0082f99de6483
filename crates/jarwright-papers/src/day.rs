//! The clock's steps sorted into what works when: pot, filling, bath, wait.

use jarwright_kitchen::plan::{Clock, ClockStep};

use crate::moment::Moment;

/// What a step of the clock keeps busy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Busy {
    /// Opening, thermometers, scales, weighing.
    Prepare,
    /// The pot.
    Pot,
    /// Straining, filling, capping.
    Fill,
    /// The bath coming up.
    ComeUp,
    /// The bath at the boil.
    Hold,
    /// Jars out, water swapped.
    Out,
    /// Food or jars cooled quickly, where there is no bath.
    Chill,
    /// Jars may leave.
    Ready,
    /// Anything else.
    Other,
}

/// A step with its day and its minutes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placed<'a> {
    pub(crate) step: &'a ClockStep,
    pub(crate) busy: Busy,
    pub(crate) from_min: f64,
    pub(crate) to_min: f64,
}

/// The steps of one day.
#[derive(Debug, Clone)]
pub(crate) struct Day<'a> {
    /// The day as the plan writes it.
    pub(crate) name: &'a str,
    /// Its steps in order.
    pub(crate) steps: Vec<Placed<'a>>,
}

impl Placed<'_> {
    /// The number of the step's batch alone: `Lemon curd batch 3` gives `3`.
    pub(crate) fn number(&self) -> Option<&str> {
        let last = self.step.batch.rsplit(' ').next()?;
        (!last.is_empty() && last.chars().all(|c| c.is_ascii_digit())).then_some(last)
    }

    /// The formula of the step's batch: `Lemon curd batch 3` gives `Lemon curd`.
    pub(crate) fn formula(&self) -> &str {
        let batch = self.step.batch.as_str();
        let bare = self
            .number()
            .and_then(|n| batch.strip_suffix(n))
            .unwrap_or(batch)
            .trim_end();
        bare.strip_suffix(" batch").unwrap_or(bare)
    }
}

/// The clock day by day; steps whose time cannot be read are left to the table.
pub(crate) fn days(clock: &Clock) -> Vec<Day<'_>> {
    let mut days: Vec<Day<'_>> = Vec::new();
    for step in &clock.steps {
        let Some(moment) = Moment::read(&step.at) else {
            continue;
        };
        let takes = minutes(step);
        let placed = Placed {
            step,
            busy: busy(&step.what),
            from_min: moment.minutes,
            to_min: moment.minutes + if takes.is_finite() { takes.max(0.0) } else { 0.0 },
        };
        match days.last_mut().filter(|day| day.name == moment.day) {
            Some(day) => day.steps.push(placed),
            None => days.push(Day {
                name: moment.day,
                steps: vec![placed],
            }),
        }
    }
    days
}

fn minutes(step: &ClockStep) -> f64 {
    match step.takes.unit {
        jarwright_figure::Unit::Second => step.takes.value / 60.0,
        jarwright_figure::Unit::Hour => step.takes.value * 60.0,
        _ => step.takes.value,
    }
}

/// Reads what a step keeps busy from its words; a step it does not know is `Other`, never lost.
fn busy(what: &str) -> Busy {
    const WORDS: [(Busy, &[&str]); 8] = [
        (Busy::Chill, &["shallow pans", "over ice"]),
        (Busy::Pot, &["pot on", "cook"]),
        (Busy::Prepare, &["thermometer", "prepare"]),
        (Busy::Ready, &["may leave"]),
        (Busy::Out, &["swap water", "jars out"]),
        (Busy::ComeUp, &["into the bath", "jars in"]),
        (Busy::Fill, &["fill and cap", "strain, fill"]),
        (Busy::Hold, &["full boil", "time starts"]),
    ];
    let what = what.to_lowercase();
    WORDS
        .iter()
        .find(|(_, words)| words.iter().any(|word| what.contains(word)))
        .map_or(Busy::Other, |(busy, _)| *busy)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_batch_goes_from_pot_to_bath_to_wait() {
        for (what, expected) in [
            (
                "thermometers checked at the boil here, scales checked, bath on",
                Busy::Prepare,
            ),
            ("pot on; stop at 104 °C (219 °F), a full boil", Busy::Pot),
            ("strain, fill and cap 12 jars", Busy::Fill),
            ("12 jars into the bath", Busy::ComeUp),
            ("full boil over the lids: 25 min from now", Busy::Hold),
            ("12 jars out, undisturbed; swap water for the next load", Busy::Out),
            (
                "seals tested, pH measured: the jars may leave, or are held",
                Busy::Ready,
            ),
            ("12 jars worth into shallow pans over ice: no bath", Busy::Chill),
            ("lunch", Busy::Other),
        ] {
            assert_eq!(busy(what), expected, "{what}");
        }
    }
}
