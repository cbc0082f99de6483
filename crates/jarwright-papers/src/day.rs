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

impl<'a> Day<'a> {
    /// The step of the same batch that keeps something else busy.
    pub(crate) fn of_batch(&self, busy: Busy, of: &Placed<'a>) -> Option<&Placed<'a>> {
        self.steps
            .iter()
            .find(|s| s.busy == busy && s.step.batch == of.step.batch)
    }

    /// When the last jar is filled: the minute at which the clock has the jars go on.
    pub(crate) fn filled_by(&self, fill: &Placed<'a>) -> f64 {
        self.of_batch(Busy::ComeUp, fill)
            .or_else(|| self.of_batch(Busy::Chill, fill))
            .map_or(fill.to_min, |next| next.from_min)
    }
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
            busy: busy(step.doing),
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

/// What a step keeps busy, by the plan's word for it; a step it does not know is `Other`, never lost.
fn busy(doing: &str) -> Busy {
    match doing {
        "prepare" => Busy::Prepare,
        "cook" => Busy::Pot,
        "fill" => Busy::Fill,
        "jars-in" => Busy::ComeUp,
        "boil" => Busy::Hold,
        "jars-out" => Busy::Out,
        "chill" => Busy::Chill,
        "ready" => Busy::Ready,
        _ => Busy::Other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_of_the_plan_has_its_own_place_and_a_new_one_is_kept() {
        let words = [
            "prepare", "cook", "fill", "jars-in", "boil", "jars-out", "chill", "ready", "lunch",
        ];
        let places: Vec<Busy> = words.into_iter().map(busy).collect();
        for (i, place) in places.iter().enumerate() {
            assert!(!places[..i].contains(place), "{}", words[i]);
        }
        assert_eq!(places.last(), Some(&Busy::Other));
    }
}
