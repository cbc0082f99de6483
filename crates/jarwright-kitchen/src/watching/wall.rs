//! The food at the wall of a planned pot, and its egg, beside the plan's own cook.
//!
//! The plan's cook knows one temperature for the whole pot. Here the same pot, with the plan's own
//! coefficient or burner, is followed through time with the film at its wall; what the film adds is laid
//! on the plan's curve, stage by stage between what goes in, at the same share of the stage.

use jarwright_dose::{EggSetting, SUGAR_SHIFT_K};
use jarwright_figure::{Kinetics, Unchanging};
use jarwright_heat::HeatError;
use jarwright_heat::follow::{Filling, Followed, Moment, Setting, follow};
use jarwright_heat::heated_vessel::{PURE_STEAM_W_M2K, STEEL_W_MK, Vessel};
use jarwright_heat::pot::Cook;

use super::answer::{EggShare, PotEgg, PotPoint, PotWall};
use crate::bathing::STEEL_J_KGK;
use crate::cooking::CookCase;
use crate::files::PotKind;
use crate::pot_run::practice;

/// Pot, food and heat of one run.
#[derive(Clone, Copy)]
pub(super) struct Beside<'c> {
    pub(super) case: &'c CookCase,
    pub(super) multiple: f64,
    pub(super) efficiency: f64,
    pub(super) room_c: f64,
}

/// Rounds of a spoon a minute where somebody stirs.
pub(super) fn usual_stirs_per_min() -> f64 {
    practice("stirs_per_min")
}

/// Time between two wipes of one place at these rounds [s]; none where nobody stirs. The scraper goes
/// with the spoon: half as many rounds leave the film twice as long.
pub(super) fn wiped_every_s(stirs_per_min: f64) -> Option<f64> {
    (stirs_per_min > 0.0).then(|| practice("wiped_every_s") * usual_stirs_per_min() / stirs_per_min)
}

/// Egg with the usual shift by sugar, where there is egg.
pub(super) fn usual_egg(eggs: bool) -> Option<EggSetting> {
    EggSetting::new(SUGAR_SHIFT_K.1).ok().filter(|_| eggs)
}

/// Thickness of the pot's steel [m].
fn wall_m() -> f64 {
    practice("pot_wall_mm") / 1000.0
}

/// Greatest coefficient from steam to food: pure steam and the steel, the food holding nothing up
/// [W/(m² K)].
pub(super) fn most_u_w_m2k() -> f64 {
    1.0 / (1.0 / PURE_STEAM_W_M2K + wall_m() / STEEL_W_MK)
}

impl Beside<'_> {
    /// Follows the pot with these rounds of the spoon, over steam by this coefficient.
    pub(super) fn followed(
        &self,
        stirs_per_min: f64,
        u_w_m2k: f64,
        egg: Option<&EggSetting>,
    ) -> Result<Followed, HeatError> {
        let case = self.case;
        let into_w = case.power_w * self.efficiency;
        let diameter_m = case.diameter_m;
        let vessel = match case.kind {
            PotKind::OpenPan | PotKind::Kettle => Vessel::StraightPot {
                diameter_m,
                into_pot_w: into_w,
            },
            PotKind::BowlOverSteam => Vessel::BowlOfCoefficient {
                diameter_m,
                steam_c: case.boils_c,
                steam_w: into_w,
                u_w_m2k,
            },
        };
        let setting = Setting {
            vessel,
            wall_m: wall_m(),
            pot_j_k: case.pot_kg * STEEL_J_KGK,
            stirs_s: (stirs_per_min > 0.0).then_some(stirs_per_min / 60.0),
            sweep: practice("spoon_sweep_share"),
            wiped_s: wiped_every_s(stirs_per_min),
            lid: false,
            room_c: self.room_c,
            humidity: case.rel_humidity,
            pressure_pa: case.pressure_pa,
            measured_pa_s: None,
        };
        let food = case.start.scaled(self.multiple);
        let kinetics: &dyn Kinetics = match egg {
            Some(egg) => egg,
            None => &Unchanging,
        };
        follow(
            &setting,
            &Filling::Composed(&food),
            case.start_c,
            &case.additions(self.multiple),
            case.until(),
            kinetics,
        )
    }
}

/// What the food's film holds up in the mean over a cook [m² K/W].
pub(super) fn film_m2k_w(pot: &Followed) -> f64 {
    let pairs = || pot.moments.windows(2).map(|w| (&w[0], &w[1]));
    let held: f64 = pairs()
        .map(|(a, b)| 0.5 * (1.0 / a.film_w_m2k + 1.0 / b.film_w_m2k) * (b.t_s - a.t_s))
        .sum();
    held / pot.seconds.max(f64::MIN_POSITIVE)
}

/// A pot followed beside the plan's cook of the same food.
pub(super) struct Walled<'c> {
    cook: &'c Cook,
    pot: Followed,
    /// Where the same stage begins in the plan's cook and here [s], and both ends.
    stages: Vec<(f64, f64)>,
    /// For the least and the greatest shift that is printed.
    ends: Option<[Followed; 2]>,
    egg: Option<EggSetting>,
}

impl<'c> Walled<'c> {
    pub(super) fn new(
        beside: &Beside<'_>,
        cook: &'c Cook,
        stirs_per_min: f64,
        u_w_m2k: f64,
        eggs: bool,
    ) -> Result<Self, HeatError> {
        let of = |shift_k: f64| EggSetting::new(shift_k).ok();
        let egg = usual_egg(eggs);
        let followed = |egg: Option<&EggSetting>| beside.followed(stirs_per_min, u_w_m2k, egg);
        let ends = match egg {
            Some(_) => Some([
                followed(of(SUGAR_SHIFT_K.0).as_ref())?,
                followed(of(SUGAR_SHIFT_K.2).as_ref())?,
            ]),
            None => None,
        };
        let pot = followed(egg.as_ref())?;
        Ok(Self {
            cook,
            stages: stages(cook, &pot),
            pot,
            ends,
            egg,
        })
    }

    pub(super) fn egg_setting(&self) -> Option<&EggSetting> {
        self.egg.as_ref()
    }

    /// What the wall is like beside the plan's cook.
    pub(super) fn wall(&self) -> PotWall {
        let above = self.pot.moments.iter().map(|m| m.wall_c - m.bulk_c);
        let hottest = self.pot.moments.iter().filter_map(|m| {
            let planned_s = across(self.stages.iter().map(|&(planned, here)| (here, planned)), m.t_s);
            Some(self.at(planned_s)?.wall_c)
        });
        PotWall {
            hottest_c: hottest.fold(f64::NEG_INFINITY, f64::max),
            most_above_mean_k: above.fold(0.0, f64::max),
            carry_over_k: self.pot.carry_over_k,
            longer_than_plan_share: self.pot.seconds / self.cook.seconds.max(f64::MIN_POSITIVE) - 1.0,
        }
    }

    /// What becomes of the egg.
    pub(super) fn egg(&self) -> Option<PotEgg> {
        let egg = self.egg?;
        let [least, greatest] = self.ends.as_ref()?;
        let last = |pot: &Followed, i: usize| pot.moments.last().and_then(|m| m.bulk.get(i)).copied().unwrap_or(0.0);
        let worst = |pot: &Followed| {
            let at_wall = pot.moments.iter().filter_map(|m| m.film.get(1)).copied();
            at_wall.fold(0.0, f64::max)
        };
        let share = |of: &dyn Fn(&Followed) -> f64| EggShare {
            value: of(&self.pot),
            low: of(greatest),
            high: of(least),
        };
        let half_set = self
            .pot
            .moments
            .iter()
            .find(|m| m.bulk.first().is_some_and(|set| *set >= 0.5));
        let hottest = self.pot.moments.iter().max_by(|a, b| a.wall_c.total_cmp(&b.wall_c));
        Some(PotEgg {
            set: share(&|pot| last(pot, 0)),
            scrambled: share(&|pot| last(pot, 1)),
            wall_scrambled: share(&worst),
            half_set_c: half_set.map(|m| m.bulk_c),
            half_sets_in_a_minute_c: egg.half_sets_c(60.0).ok(),
            wall_scrambles_c: hottest.and_then(|m| egg.half_scrambles_c(m.film_stays_s).ok()),
        })
    }

    /// Puts what is known of the wall into a moment of the plan's curve.
    pub(super) fn put(&self, point: &mut PotPoint) {
        let Some(at) = self.at(60.0 * point.minutes) else {
            return;
        };
        point.wall_c = Some(at.wall_c);
        point.brix = Some(at.brix);
        if self.egg.is_some() {
            point.set_share = at.set;
            point.scrambled_share = at.scrambled;
            point.wall_scrambled_share = at.wall_scrambled;
        }
    }

    /// What is at the wall at a time of the plan's cook [s].
    fn at(&self, planned_s: f64) -> Option<AtWall> {
        let s = across(self.stages.iter().copied(), planned_s);
        let moments = &self.pot.moments;
        let next = moments.partition_point(|m| m.t_s <= s * (1.0 + 1e-12));
        let before = moments.get(next.checked_sub(1)?)?;
        let after = moments.get(next).unwrap_or(before);
        let span = after.t_s - before.t_s;
        let part = if span > 0.0 {
            ((s - before.t_s) / span).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let between = |of: &dyn Fn(&Moment) -> f64| of(before) + part * (of(after) - of(before));
        let share = |of: &dyn Fn(&Moment) -> Option<f64>| {
            of(before)?;
            Some(between(&|m| of(m).unwrap_or(0.0)))
        };
        Some(AtWall {
            wall_c: mean_c(&self.cook.curve, planned_s) + between(&|m| m.wall_c - m.bulk_c),
            brix: between(&|m| m.brix),
            set: share(&|m| m.bulk.first().copied()),
            scrambled: share(&|m| m.bulk.get(1).copied()),
            wall_scrambled: share(&|m| m.film.get(1).copied()),
        })
    }
}

struct AtWall {
    wall_c: f64,
    brix: f64,
    set: Option<f64>,
    scrambled: Option<f64>,
    wall_scrambled: Option<f64>,
}

/// Where the stages of a cook begin in two runs of it [s], and where both end.
fn stages(cook: &Cook, pot: &Followed) -> Vec<(f64, f64)> {
    let planned = cook.curve.windows(2).filter(|w| w[1].0 <= w[0].0).map(|w| w[1].0);
    let here = pot
        .moments
        .windows(2)
        .filter(|w| w[1].t_s <= w[0].t_s)
        .map(|w| w[1].t_s);
    let (planned, here): (Vec<f64>, Vec<f64>) = (planned.collect(), here.collect());
    let mut stages = vec![(0.0, 0.0)];
    if planned.len() == here.len() {
        stages.extend(planned.into_iter().zip(here));
    }
    stages.push((cook.seconds, pot.seconds));
    stages
}

/// Straight between the points of a rising table.
fn across(points: impl Iterator<Item = (f64, f64)>, at: f64) -> f64 {
    let mut before = (0.0, 0.0);
    for (x, y) in points {
        if x > at {
            return before.1 + (at - before.0) / (x - before.0) * (y - before.1);
        }
        before = (x, y);
    }
    before.1
}

/// Temperature of a cook at a time [°C]; after its end, its end.
pub(super) fn mean_c(curve: &[(f64, f64)], s: f64) -> f64 {
    let next = curve.partition_point(|(at, _)| *at <= s);
    match (next.checked_sub(1).and_then(|i| curve.get(i)), curve.get(next)) {
        (Some(&(from_s, from_c)), Some(&(to_s, to_c))) => from_c + (s - from_s) / (to_s - from_s) * (to_c - from_c),
        (Some(&(_, c)), None) | (None, Some(&(_, c))) => c,
        (None, None) => f64::NAN,
    }
}
