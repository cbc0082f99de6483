//! A planned pot asked again, with something changed: how warm it is all along and how sure that is,
//! what the food at its wall gets, what becomes of egg, what boils off, how much fits.
//!
//! The mean and its band are the plan's own cook on the plan's own draws, so that nothing changed gives
//! the plan's own figure; the wall is laid on it (`wall.rs`). Driven by [`crate::plan_with_jars`].
//! It explains a plan and changes none. Read next: `change.rs` (what can be asked), `draws.rs` (the
//! band), `says.rs` (levels and notes).

mod answer;
mod change;
mod draws;
mod says;
mod wall;

pub use answer::{
    EggShare, LargestPotful, PotBoil, PotEgg, PotLevel, PotPoint, PotWall, PotWatched, PotWith, Splitting,
};
pub use change::PotChange;

use std::sync::Arc;

use jarwright_figure::{Equation, Graph, Id, Output, Unit};
use jarwright_heat::HeatError;
use jarwright_heat::batch_size::{largest_kg, splits_from_kg};
use jarwright_reference::Kind;

use crate::PlanError;
use crate::batching::COOK;
use crate::cooking::{CookCase, Stop};
use crate::files::PotKind;
use crate::place::Place;
use crate::pot_run::practice;
use crate::words;
use crate::worked::Work;
use draws::{Draws, Rows};
use wall::{Beside, Walled, film_m2k_w, most_u_w_m2k, usual_egg, usual_stirs_per_min};

/// Coefficient over steam with other stirring.
pub static STIRRED_OTHERWISE: Equation = Equation {
    key: "stirred-otherwise",
    title: "Coefficient from steam to a food stirred otherwise",
    text: "1/U' = 1/U + 1/h' - 1/h, h and h' the food's film in the mean over the cook (pot-followed), \
           U' at most pure steam through the steel",
    source: "incropera_heat_mass",
};

/// Least potful that is looked at, as a share of the largest that fits.
const LEAST_SHARE: f64 = 0.02;

/// One formula's pot, planned.
#[derive(Debug, Clone)]
pub struct PlannedPot {
    graph: Arc<Graph>,
    work: Arc<Work>,
    place: Place,
}

/// What is reckoned with, changed or as planned.
struct Asked {
    case: CookCase,
    multiple: f64,
    with: PotWith,
    /// Food on the heat for one multiple [kg].
    one_kg: f64,
}

impl PlannedPot {
    pub(crate) fn new(graph: &Arc<Graph>, work: &Arc<Work>, place: &Place) -> Self {
        Self {
            graph: Arc::clone(graph),
            work: Arc::clone(work),
            place: place.clone(),
        }
    }

    /// Formula's name.
    #[must_use]
    pub fn formula(&self) -> &str {
        &self.work.formula.name
    }

    /// Pot's name.
    #[must_use]
    pub fn pot(&self) -> &str {
        &self.work.pot.name
    }

    /// Jars of the planned batch.
    #[must_use]
    pub fn jars_of_batch(&self) -> usize {
        self.work.size.per_batch
    }

    /// Rounds of the spoon a minute that the plan is reckoned with: as is common where egg or a potful is
    /// stirred, none for the brine of a pack.
    #[must_use]
    pub fn stirs_per_min(&self) -> f64 {
        if self.work.formula.pack.is_some() {
            0.0
        } else {
            usual_stirs_per_min()
        }
    }

    /// The pot with something changed, from the heat on to the end.
    ///
    /// The mean and every band are the plan's own cook on the plan's own draws (share of the burner that
    /// gets in, coefficient from steam); how warm the food starts is not among them. The wall is that of
    /// the same pot followed through time with its film, laid on the mean.
    ///
    /// # Errors
    /// [`PlanError::Asked`] for a number outside its bounds; [`PlanError::CannotMeet`] for food that does
    /// not fit the pot or never gets there; [`PlanError::Physics`] for a pot outside what the heat balance
    /// takes.
    pub fn watch(&self, change: &PotChange) -> Result<PotWatched, PlanError> {
        change.check()?;
        let work = &*self.work;
        let asked = self.asked(change)?;
        let case = &asked.case;
        let mut graph = self.graph.branch(self.draws(), self.drawn());
        let efficiency = graph.value(work.efficiency);
        let room_c = graph.value(self.place.room_c);
        let beside = Beside {
            case,
            multiple: asked.multiple,
            efficiency,
            room_c,
        };
        let steam_u = self.steam_u(&mut graph, change, &beside);
        let u_w_m2k = graph.value(steam_u);
        let cook = case
            .followed(asked.multiple, efficiency, u_w_m2k, room_c)
            .map_err(|e| self.never(&e, change))?;

        let column = |graph: &Graph, id: Id| graph.samples(id).map_or_else(|| vec![graph.value(id)], <[f64]>::to_vec);
        let rows = Rows {
            many: self.draws(),
            efficiency: column(&graph, work.efficiency),
            steam_u: column(&graph, steam_u),
            room_c,
        };
        let draws = Draws::new(case, asked.multiple, &rows);
        let inputs = self.inputs(&mut graph, &asked, steam_u);
        let mut figure = |name, unit, value, samples| {
            let output = Output {
                name,
                unit,
                equation: &COOK,
            };
            let samples = (draws.many() > 0).then_some(samples);
            let id = graph.answered(output, &inputs, value, samples);
            graph.figure(id)
        };
        let minutes = figure(
            "cooking time",
            Unit::Minute,
            cook.seconds / 60.0,
            draws.column(|cook| cook.seconds / 60.0),
        );
        let evaporated = figure(
            "boiled off",
            Unit::Gram,
            1000.0 * cook.evaporated_kg,
            draws.column(|cook| 1000.0 * cook.evaporated_kg),
        );
        let end = figure(
            "pot at the end",
            Unit::Celsius,
            cook.end_c,
            draws.column(|cook| cook.end_c),
        );

        let mut curve = draws.curve(&cook, minutes.high);
        let walled = Walled::new(&beside, &cook, asked.with.stirs_per_min, u_w_m2k, self.has_egg());
        let no_wall = walled.as_ref().err().map(says::no_wall);
        let walled = walled.ok();
        if let Some(walled) = &walled {
            for point in curve.iter_mut().filter(|point| point.c.is_some()) {
                walled.put(point);
            }
        }
        let wall = walled.as_ref().map(|walled| walled.wall());
        let egg = walled.as_ref().and_then(Walled::egg);
        let boils_down = matches!(case.stop, Stop::Brix(_) | Stop::Boiled(_));
        let boil = boils_down.then(|| PotBoil {
            boils: cook.boils,
            boils_after_min: cook.boils.then_some(cook.heating_s / 60.0),
            start_brix: case.potted().brix(),
            end_brix: cook.food.brix(),
        });
        let minutes_of = |kg: f64| -> Option<f64> {
            let cooked = case.followed(kg / asked.one_kg, efficiency, u_w_m2k, room_c);
            cooked.ok().map(|cook| cook.seconds / 60.0)
        };
        let (largest, splitting) = self.sizes(&asked, minutes_of)?;
        let levels = says::levels(self, case, &cook, egg.as_ref());
        let said = says::Said {
            planned: self,
            case,
            cook: &cook,
            with: &asked.with,
            draws: draws.many(),
            never: draws.never(),
            wall: wall.as_ref(),
            egg: walled.as_ref().and_then(Walled::egg_setting),
            fill_share: self.fill_share(),
        };
        let notes = said.notes();
        Ok(PotWatched {
            formula: self.formula().to_owned(),
            pot: self.pot().to_owned(),
            kind: case.kind.word(),
            with: asked.with,
            minutes,
            evaporated,
            end,
            draws: draws.many(),
            never: draws.never(),
            curve,
            wall,
            no_wall,
            egg,
            levels,
            boil,
            largest,
            splitting,
            notes,
            cautions: said.cautions(),
        })
    }

    /// Why this pot does not get there, and what of the change would be taken back for it.
    fn never(&self, error: &HeatError, change: &PotChange) -> PlanError {
        let mut told = PlanError::cooking(self.formula(), error);
        if let PlanError::CannotMeet { would, .. } = &mut told {
            if change.stirs_per_min.is_some_and(|rounds| rounds < self.stirs_per_min()) {
                would.insert(
                    0,
                    format!("stirring as planned, {:.0} rounds a minute", self.stirs_per_min()),
                );
            }
            if change.burner_share.is_some_and(|share| share < 1.0) {
                would.insert(0, "the burner turned up".into());
            }
        }
        told
    }

    /// What is asked, with what is left out as planned.
    fn asked(&self, change: &PotChange) -> Result<Asked, PlanError> {
        let work = &*self.work;
        let planned_jars = work.size.per_batch as f64;
        let of_batch = match change.jars {
            Some(jars) => f64::from(jars) / planned_jars,
            None => change.of_batch.unwrap_or(1.0),
        };
        let multiple = self.graph.value(work.batch.multiple) * of_batch;
        let mut case = work.case.clone();
        let burner_share = change.burner_share.unwrap_or(1.0);
        case.power_w *= burner_share;
        if let Some(c) = change.start_c {
            let ends_c = match case.stop {
                Stop::Temperature(c) => c,
                Stop::Brix(_) | Stop::Boiled(_) | Stop::AtTheBoil => case.boils_c,
            };
            if c >= ends_c {
                return Err(PlanError::asked(
                    format!(
                        "food that starts at {} is past where its cook ends, {}",
                        words::fine_temperature(c),
                        words::fine_temperature(ends_c)
                    ),
                    "give a lower start",
                ));
            }
            case.start_c = c;
        }
        let full_share = work.batch.volume_l * of_batch / work.pot.holds_l;
        if full_share > 1.0 {
            let fits = planned_jars * of_batch * self.fill_share() / full_share;
            return Err(PlanError::CannotMeet {
                reason: format!(
                    "{:.1} L of {} do not fit the {}, which holds {:.1} L to its brim",
                    work.batch.volume_l * of_batch,
                    self.formula(),
                    self.pot(),
                    work.pot.holds_l
                ),
                would: vec![format!(
                    "food for {} a potful: the pot is then {:.0} % full",
                    words::count(fits.floor() as usize, "jar"),
                    100.0 * self.fill_share()
                )],
            });
        }
        let one_kg = case.potted().mass_kg();
        Ok(Asked {
            with: PotWith {
                food_kg: multiple * one_kg,
                jars: planned_jars * of_batch,
                of_batch,
                full_share,
                burner_share,
                start_c: case.start_c,
                stirs_per_min: change.stirs_per_min.unwrap_or_else(|| self.stirs_per_min()),
            },
            case,
            multiple,
            one_kg,
        })
    }

    /// Coefficient from steam to this food; other stirring than planned changes what the food's film
    /// holds up, and nothing else of it.
    fn steam_u(&self, graph: &mut Graph, change: &PotChange, beside: &Beside<'_>) -> Id {
        let planned = self.work.steam_u;
        let Some(rounds) = change
            .stirs_per_min
            .filter(|_| beside.case.kind == PotKind::BowlOverSteam)
        else {
            return planned;
        };
        let egg = usual_egg(self.has_egg());
        let film = |rounds: f64| beside.followed(rounds, graph.value(planned), egg.as_ref());
        let (Ok(before), Ok(after)) = (film(self.stirs_per_min()), film(rounds)) else {
            return planned;
        };
        let more_m2k_w = film_m2k_w(&after) - film_m2k_w(&before);
        let stirred = graph.entered(
            "watched:stirs",
            "rounds of the spoon a minute",
            Unit::Count,
            rounds,
            "what is changed at the pot",
        );
        let least = 1.0 / most_u_w_m2k();
        crate::jar_fill::infallible(graph.compute(
            "steam to food, stirred otherwise",
            Unit::WattPerSquareMetreKelvin,
            &STIRRED_OTHERWISE,
            &[planned, stirred],
            |x| Ok(1.0 / (1.0 / x[0] + more_m2k_w).max(least)),
        ))
    }

    /// What the cook is computed from, for whoever asks where its figures come from.
    fn inputs(&self, graph: &mut Graph, asked: &Asked, steam_u: Id) -> Vec<Id> {
        let work = &*self.work;
        let by = "what is changed at the pot";
        let mut inputs = vec![work.batch.multiple, work.efficiency, steam_u, self.place.room_c];
        let mut entered = |key: &str, name: &str, unit, value: f64, planned: f64| {
            (value.to_bits() != planned.to_bits()).then(|| graph.entered(key, name, unit, value, by))
        };
        let with = &asked.with;
        inputs.extend(entered(
            "watched:of-batch",
            "share of the planned batch",
            Unit::One,
            with.of_batch,
            1.0,
        ));
        inputs.extend(entered(
            "watched:burner",
            "share of the burner turned on",
            Unit::One,
            with.burner_share,
            1.0,
        ));
        inputs.extend(entered(
            "watched:start",
            "food when the heat goes on",
            Unit::Celsius,
            with.start_c,
            work.case.start_c,
        ));
        inputs
    }

    /// The plan's draws of what is uncertain about its cook.
    fn drawn(&self) -> Vec<(Id, Box<[f64]>)> {
        [self.work.efficiency, self.work.steam_u]
            .into_iter()
            .filter_map(|id| Some((id, self.graph.samples(id)?.into())))
            .collect()
    }

    fn draws(&self) -> usize {
        self.drawn().first().map_or(0, |(_, samples)| samples.len())
    }

    /// Largest potful, and where two are quicker.
    fn sizes(
        &self,
        asked: &Asked,
        minutes_of: impl Fn(f64) -> Option<f64>,
    ) -> Result<(Option<LargestPotful>, Splitting), PlanError> {
        let with = &asked.with;
        let physics = |e: HeatError| PlanError::physics("the largest potful", &e);
        let jars_of = |kg: f64| with.jars * kg / with.food_kg;
        let holds_kg = with.food_kg * self.fill_share() / with.full_share;
        let largest = largest_kg(&minutes_of, LEAST_SHARE * holds_kg, holds_kg, f64::INFINITY).map_err(physics)?;
        let largest = largest.and_then(|kg| {
            Some(LargestPotful {
                food_kg: kg,
                jars: jars_of(kg),
                minutes: minutes_of(kg)?,
                bound_by: if kg < holds_kg { "heat" } else { "pot" },
            })
        });
        let change_min = practice("change_potful_min");
        let greatest_kg = holds_kg.max(with.food_kg);
        let from_kg =
            splits_from_kg(&minutes_of, LEAST_SHARE * greatest_kg, greatest_kg, change_min).map_err(physics)?;
        let splitting = Splitting {
            from_kg,
            from_jars: from_kg.map(jars_of),
            in_two_min: minutes_of(0.5 * with.food_kg).map(|half| 2.0 * half + change_min),
            change_min,
        };
        Ok((largest, splitting))
    }

    /// Share of the pot to fill.
    fn fill_share(&self) -> f64 {
        practice(match self.work.case.stop {
            Stop::Brix(_) | Stop::Boiled(_) => "boiling_pot_fill_share",
            Stop::Temperature(_) | Stop::AtTheBoil => "pot_fill_share",
        })
    }

    /// Whether egg goes on the heat.
    fn has_egg(&self) -> bool {
        self.work.formula.pack.is_none() && self.work.lines.iter().any(|l| l.ingredient.kind == Kind::Egg)
    }
}
