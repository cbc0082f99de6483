//! The two-stage rule followed reading by reading.
//!
//! Read next: `cooling.rs`, which has the rule's marks and applies it to whole curves.

use jarwright_figure::Equation;

use crate::cooling::{BOTH_STAGES_S, FIRST_STAGE_C, FIRST_STAGE_S, RULE_STARTS_C, SECOND_STAGE_C};

/// Registry entry of [`CoolingClock`].
pub static TWO_STAGE_COOLING: Equation = Equation {
    key: "two-stage-cooling",
    title: "Two-stage cooling of food kept chilled",
    text: "57 to 21 °C within 2 h, and 57 to 5 °C within 6 h in all; straight lines between readings; where \
           readings are missing the clock starts at the last hot one and stops at the first cold one",
    source: "fda_food_code",
};

/// Follows a food on its way down through 57, 21 and 5 °C.
///
/// The clock starts at the last fall through 57 °C, or at the first reading if that was cooler.
/// Where the line between two readings is not known, every mark between them is taken against the
/// food: the start early, the ends late.
///
/// # Source
/// `fda_food_code`, 3-501.14.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CoolingClock {
    last: Option<(f64, f64)>,
    started_s: Option<f64>,
    /// Whether the food was above 57 °C when the first reading was taken.
    fell_through: bool,
    at_21_s: Option<f64>,
    at_5_s: Option<f64>,
    in_a_gap: bool,
}

/// What the two-stage rule says of readings that may start late or end early.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stages {
    /// Never below 57 °C after being hotter: the rule's clock did not start.
    NotStarted,
    /// Both stages ended within their limits.
    Met,
    /// The first stage took more than 2 h.
    FirstTooSlow,
    /// Both stages took more than 6 h.
    BothTooSlow,
    /// The readings end before either can be said.
    EndsEarly,
    /// The readings begin below 57 °C, so that the time before them is not known.
    BeginsCool,
}

impl CoolingClock {
    /// Takes the next reading.
    ///
    /// * `time_s`: later than the one before
    /// * `c`: [°C]
    /// * `line_known`: whether the food ran straight from the reading before; false over a gap
    pub fn push(&mut self, time_s: f64, c: f64, line_known: bool) {
        let before = self.last.replace((time_s, c));
        if c > RULE_STARTS_C {
            *self = Self {
                last: self.last,
                ..Self::default()
            };
            return;
        }
        match before {
            None => self.started_s = Some(time_s),
            Some(before) if before.1 > RULE_STARTS_C => {
                self.fell_through = true;
                self.in_a_gap = !line_known;
                self.started_s = Some(if line_known {
                    crossing_s(before, (time_s, c), RULE_STARTS_C)
                } else {
                    before.0
                });
            }
            Some(_) => {}
        }
        for (mark_c, at_s) in [(FIRST_STAGE_C, &mut self.at_21_s), (SECOND_STAGE_C, &mut self.at_5_s)] {
            if at_s.is_none() && c <= mark_c {
                *at_s = Some(match before {
                    Some(before) if line_known && before.1 > mark_c => crossing_s(before, (time_s, c), mark_c),
                    _ => time_s,
                });
                self.in_a_gap |= !line_known;
            }
        }
    }

    /// When the clock started [s], if it did.
    #[must_use]
    pub const fn started_s(&self) -> Option<f64> {
        self.started_s
    }

    /// Time from the start to 21 °C [s], once it was reached.
    #[must_use]
    pub fn to_21_s(&self) -> Option<f64> {
        Some(self.at_21_s? - self.started_s?)
    }

    /// Time from the start to 5 °C [s], once it was reached.
    #[must_use]
    pub fn to_5_s(&self) -> Option<f64> {
        Some(self.at_5_s? - self.started_s?)
    }

    /// Whether the start or an end lies where readings are missing.
    #[must_use]
    pub const fn in_a_gap(&self) -> bool {
        self.in_a_gap
    }

    /// What the rule says so far.
    #[must_use]
    pub fn stages(&self) -> Stages {
        let (Some(start_s), Some((now_s, _))) = (self.started_s, self.last) else {
            return Stages::NotStarted;
        };
        let so_far_s = now_s - start_s;
        if self.to_21_s().unwrap_or(so_far_s) > FIRST_STAGE_S {
            Stages::FirstTooSlow
        } else if self.to_5_s().unwrap_or(so_far_s) > BOTH_STAGES_S {
            Stages::BothTooSlow
        } else if !self.fell_through {
            Stages::BeginsCool
        } else if self.at_5_s.is_none() {
            Stages::EndsEarly
        } else {
            Stages::Met
        }
    }
}

/// When the line between two readings [s, °C] falls through a mark [s].
fn crossing_s(a: (f64, f64), b: (f64, f64), mark_c: f64) -> f64 {
    a.0 + (a.1 - mark_c) / (a.1 - b.1) * (b.0 - a.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clock(readings: &[(f64, f64, bool)]) -> CoolingClock {
        let mut clock = CoolingClock::default();
        for &(hours, c, known) in readings {
            clock.push(3600.0 * hours, c, known);
        }
        clock
    }

    #[test]
    fn limits_are_met_or_missed_by_the_half_hour() {
        let run = |to_21, to_5| {
            clock(&[
                (0.0, 80.0, true),
                (1.0, 57.0, true),
                (1.0 + to_21, 21.0, true),
                (1.0 + to_5, 5.0, true),
            ])
            .stages()
        };
        assert_eq!(run(2.0, 6.0), Stages::Met);
        assert_eq!(run(2.5, 5.0), Stages::FirstTooSlow);
        assert_eq!(run(1.5, 6.5), Stages::BothTooSlow);
    }

    #[test]
    fn missing_readings_count_against_the_food() {
        let seen = clock(&[(0.0, 60.0, true), (1.0, 50.0, true), (2.0, 20.0, true)]);
        let blind = clock(&[(0.0, 60.0, true), (1.0, 50.0, false), (2.0, 20.0, false)]);
        assert!(blind.to_21_s() > seen.to_21_s());
        assert!(blind.in_a_gap() && !seen.in_a_gap());
        assert_eq!(blind.to_21_s(), Some(7200.0));
    }

    #[test]
    fn a_late_start_is_never_met_but_may_be_missed() {
        let cool = [(0.0, 40.0, true), (1.0, 20.0, true), (3.0, 4.0, true)];
        assert_eq!(clock(&cool).stages(), Stages::BeginsCool);
        assert_eq!(
            clock(&[(0.0, 40.0, true), (2.5, 30.0, true)]).stages(),
            Stages::FirstTooSlow
        );
    }

    #[test]
    fn a_log_that_ends_early_says_so_until_it_is_too_late() {
        assert_eq!(
            clock(&[(0.0, 58.0, true), (1.0, 40.0, true)]).stages(),
            Stages::EndsEarly
        );
        assert_eq!(
            clock(&[(0.0, 58.0, true), (3.0, 40.0, true)]).stages(),
            Stages::FirstTooSlow
        );
        assert_eq!(clock(&[(0.0, 90.0, true)]).stages(), Stages::NotStarted);
    }
}
