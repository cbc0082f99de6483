//! Levels to draw beside a watched pot, and what is to be said with it.

use jarwright_dose::EggSetting;
use jarwright_heat::HeatError;
use jarwright_heat::pot::Cook;

use super::PlannedPot;
use super::answer::{PotEgg, PotLevel, PotWall, PotWith};
use super::wall::{usual_stirs_per_min, wiped_every_s};
use crate::cooking::{CookCase, Stop};
use crate::files::{Fuel, PotKind};
use crate::plan::Caution;
use crate::pot_run::{EGG_AT_THE_WALL, egg_extrapolated, practice};
use crate::words::fine_temperature;

/// Difference of the two models of a pot that is said, as a share of the plan's time.
const APART: f64 = 0.01;

/// Why the wall is not computed, for a person.
pub(super) fn no_wall(error: &HeatError) -> String {
    match error {
        HeatError::OutOfRange(range) => format!(
            "the food at the wall is not computed: {} of {:.1} {} is outside {:.1} to {:.1}, where it is known",
            range.quantity, range.got, range.unit, range.min, range.max
        ),
        other => format!("the food at the wall is not computed: {other}"),
    }
}

/// Levels to draw beside the curve.
pub(super) fn levels(pot: &PlannedPot, case: &CookCase, cook: &Cook, egg: Option<&PotEgg>) -> Vec<PotLevel> {
    let mut levels = Vec::new();
    let mut add = |what, c: f64, words: String| levels.push(PotLevel { what, c, words });
    let stop_c = match case.stop {
        Stop::Temperature(c) => Some(c),
        Stop::AtTheBoil => Some(case.boils_c),
        Stop::Brix(_) | Stop::Boiled(_) => cook.boils.then_some(cook.end_c),
    };
    if let Some(c) = stop_c {
        add("stop", c, format!("stop at {}", pot.work.stop_words(&pot.graph)));
    }
    add(
        "water boils here",
        case.boils_c,
        format!("water boils at {} here", fine_temperature(case.boils_c)),
    );
    if let Some(c) = egg.and_then(|egg| egg.half_sets_in_a_minute_c) {
        add(
            "egg sets",
            c,
            format!("half of the egg sets in a minute at {}", fine_temperature(c)),
        );
    }
    if let Some(c) = egg.and_then(|egg| egg.wall_scrambles_c) {
        let words = format!(
            "half of the egg in the film at the wall scrambles at {}",
            fine_temperature(c)
        );
        add("egg at the wall scrambles", c, words);
    }
    levels
}

/// What the notes are of.
pub(super) struct Said<'a> {
    pub(super) planned: &'a PlannedPot,
    pub(super) case: &'a CookCase,
    pub(super) cook: &'a Cook,
    pub(super) with: &'a PotWith,
    pub(super) draws: usize,
    pub(super) never: usize,
    pub(super) wall: Option<&'a PotWall>,
    pub(super) egg: Option<&'a EggSetting>,
    pub(super) fill_share: f64,
}

impl Said<'_> {
    /// What was assumed, what is extrapolated, what to mind.
    pub(super) fn notes(&self) -> Vec<String> {
        let work = &*self.planned.work;
        let (case, with) = (self.case, self.with);
        let mut notes = Vec::new();
        if let Some(wall) = self.wall {
            let stirring = match wiped_every_s(with.stirs_per_min) {
                Some(s) => format!(
                    "{:.0} rounds of the spoon a minute, every place of the wall scraped each {s:.1} s with them",
                    with.stirs_per_min
                ),
                None => "nobody stirs".into(),
            };
            notes.push(format!(
                "Assumed for the wall: {stirring}; steel of {:.1} mm; a film reckoned from the thickness of the \
                 food's syrup with fat and solids stirred in.",
                practice("pot_wall_mm")
            ));
            if wall.longer_than_plan_share.abs() > APART {
                notes.push(format!(
                    "Two models: the pot followed with its wall takes {:+.0} % of the plan's time, as its level \
                     rises and sinks; the mean shown is the plan's, the wall is laid on it.",
                    100.0 * wall.longer_than_plan_share
                ));
            }
        }
        if work.formula.pack.is_some() {
            notes.push("The pot holds the brine alone; the pieces are in the jars.".into());
        }
        if let Some(egg) = self.egg {
            notes.push(egg_extrapolated(egg));
            notes.push(EGG_AT_THE_WALL.into());
        }
        if self.never > self.draws / 20 {
            notes.push(format!(
                "In {:.0} of 100 cases, with poor steam or a weak flame, this pot would not get there.",
                100.0 * self.never as f64 / self.draws as f64
            ));
        }
        if matches!(case.stop, Stop::Brix(_) | Stop::Boiled(_)) && !self.cook.boils {
            notes.push(format!(
                "It steams at {} and does not boil: a thermometer does not show the end; go by refractometer or \
                 weight.",
                fine_temperature(self.cook.end_c)
            ));
        }
        if with.full_share > 1.02 * self.fill_share {
            notes.push(format!(
                "{:.0} % full, more than {:.0} %: it may boil over or spit; a smaller potful leaves room to stir.",
                100.0 * with.full_share,
                100.0 * self.fill_share
            ));
        }
        if with.of_batch > 1.0 {
            notes.push(
                "More food than planned: whether its jars fit the bath and are filled before they cool is for the \
                 plan to say."
                    .into(),
            );
        }
        if case.kind == PotKind::Kettle {
            notes.push("A jacketed kettle is reckoned as a pan on its burner.".into());
        }
        if work.burner.fuel == Fuel::Coil {
            notes.push(
                "A coil keeps heating after it is off: what it carries over is not counted. Move the pot.".into(),
            );
        }
        if work.case.after.mass_kg() > 0.0 {
            notes.push("What is stirred in off the heat is not in this curve.".into());
        }
        notes.push(
            "The band is of what the plan holds uncertain: the share of the burner that gets in and the steam's \
             coefficient. How warm the food starts is taken as it is."
                .into(),
        );
        notes.push("Computed: it explains the plan, and changes and releases nothing.".into());
        notes
    }

    /// What may hurt someone at this pot.
    pub(super) fn cautions(&self) -> Vec<Caution> {
        let work = &*self.planned.work;
        let mut cautions: Vec<Caution> = work.cautions.iter().filter(|c| c.at == "pot").cloned().collect();
        let mut add = |text: String| {
            cautions.push(Caution {
                at: "pot",
                formula: work.formula.name.clone(),
                text,
            });
        };
        let hottest_c = self.wall.map_or(self.cook.end_c, |wall| wall.hottest_c);
        if hottest_c >= 60.0 {
            add(format!(
                "Food this hot burns: {} sticks and scalds at once. Two people for more than 10 kg, dry mitts.",
                fine_temperature(hottest_c)
            ));
        }
        if self.egg.is_some() && self.with.stirs_per_min < usual_stirs_per_min() {
            add(
                "Stirred less, the middle is not warm when the wall is: take the temperature in the middle after \
                 stirring, in several places."
                    .into(),
            );
        }
        cautions
    }
}
