//! The coldest point of a jar that conducts: what its bath does to it, and what it would have
//! got with every published condition at sea level.
//!
//! The dose is followed at one fixed place, the geometric centre, where both published studies of
//! such jars found the slowest heating (`nchfp_curd_study`); the coldest place wanders while a jar
//! cools.

use jarwright_dose as dose;
use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_heat::HeatError;
use jarwright_heat::jar::{self, Case, Contents, Film, Grid, JAR_CONDUCTION, JarBody, Moment, Phase};

use crate::PlanError;
use crate::jar_fill::{self, JarIds};

/// Share of a whole.
pub static COOLING_SHARE: Equation = Equation {
    key: "cooling-share",
    title: "Share of the dose that comes while cooling",
    text: "share = F_cooling / (F_heating + F_cooling)",
    source: "willmore_2015",
};

/// Dose here against dose with the published conditions.
pub static DOSE_OF_REFERENCE: Equation = Equation {
    key: "dose-of-reference",
    title: "Dose here over dose with every published condition at sea level",
    text: "ratio = F(here) / F(bath at the published start, published come-up and time, 0 m), same \
           food, jar and sample",
    source: "peaceman_rachford_1955",
};

/// Emissivity of glass (`incropera_heat_mass`, window glass).
pub(crate) const GLASS_EMISSIVITY: f64 = 0.9;

/// How long a jar is followed in air after the bath [s]: until it is far below any dose.
pub(crate) const COOLING_S: f64 = 4.0 * 3600.0;

/// Temperature at which the published cooling measurements stop [°C].
const FOLLOWED_TO_C: f64 = 54.0;

/// What a jar goes through.
#[derive(Debug, Clone)]
pub(crate) struct SpotCase {
    pub(crate) jar: JarIds,
    pub(crate) conductivity: Id,
    pub(crate) density: Id,
    pub(crate) heat_capacity: Id,
    pub(crate) fill_c: Id,
    pub(crate) wait_min: Id,
    pub(crate) start_c: Id,
    pub(crate) come_up: Id,
    pub(crate) hold: Id,
    pub(crate) film: Id,
    pub(crate) top_film: Id,
    pub(crate) room_c: Id,
    pub(crate) boils: Id,
    pub(crate) ref_c: f64,
    pub(crate) z_k: f64,
    /// Published start, come-up and minutes at sea level, and the boil there.
    pub(crate) published: Option<Published>,
}

/// The published conditions to compare with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Published {
    pub(crate) start_c: f64,
    pub(crate) come_up_min: f64,
    pub(crate) minutes: f64,
    pub(crate) boils_c: f64,
}

/// The cold spot, solved.
#[derive(Debug, Clone)]
pub(crate) struct Spot {
    pub(crate) at_boil: Id,
    pub(crate) at_end: Id,
    pub(crate) peak: Id,
    pub(crate) heating: Id,
    pub(crate) cooling: Id,
    pub(crate) cooling_share: Id,
    pub(crate) to_54: Id,
    pub(crate) heating_of_reference: Option<Id>,
    pub(crate) total_of_reference: Option<Id>,
    pub(crate) curve: Vec<(f64, f64)>,
}

/// What the middle of one jar went through.
#[derive(Debug, Clone, Default)]
pub(crate) struct Run {
    pub(crate) at_boil: f64,
    pub(crate) at_end: f64,
    pub(crate) peak: f64,
    pub(crate) heating: f64,
    pub(crate) cooling: f64,
    pub(crate) to_54_min: f64,
    /// Minutes from the start of the wait, and the middle's temperature.
    pub(crate) curve: Vec<(f64, f64)>,
    /// Dose in each stretch [min], in the order of [`Stretch`].
    pub(crate) doses_min: [f64; STRETCHES],
}

impl Run {
    /// The middle at a time, on a straight line between readings [°C].
    ///
    /// * `minutes`: from the start of the wait
    pub(crate) fn centre_c(&self, minutes: f64) -> f64 {
        let at = self.curve.partition_point(|(t, _)| *t < minutes);
        match (at.checked_sub(1).and_then(|i| self.curve.get(i)), self.curve.get(at)) {
            (Some((t0, c0)), Some((t1, c1))) => c0 + (c1 - c0) * (minutes - t0) / (t1 - t0),
            (None, Some((_, c))) | (Some((_, c)), None) => *c,
            (None, None) => f64::NAN,
        }
    }
}

/// How many stretches there are.
pub(crate) const STRETCHES: usize = 4;

/// A stretch of a jar's way, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stretch {
    Wait,
    ComeUp,
    Hold,
    Cool,
}

impl Stretch {
    /// What it is called.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Wait => "wait between pot and bath",
            Self::ComeUp => "come-up",
            Self::Hold => "at the boil",
            Self::Cool => "cooling",
        }
    }
}

/// One jar and what it goes through, in plain numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Course {
    pub(crate) body: JarBody,
    pub(crate) contents: Contents,
    pub(crate) fill_c: f64,
    pub(crate) wait_min: f64,
    pub(crate) start_c: f64,
    pub(crate) come_up_min: f64,
    pub(crate) hold_min: f64,
    pub(crate) film_w_m2k: f64,
    pub(crate) top_w_m2k: f64,
    pub(crate) room_c: f64,
    pub(crate) boils_c: f64,
}

impl Course {
    /// From a row of [`SpotCase::inputs`].
    pub(crate) fn of(x: &[f64]) -> Self {
        Self {
            body: jar_fill::body(&x[11..15]),
            contents: Contents {
                conductivity_w_mk: x[0],
                density_kg_m3: x[1],
                heat_capacity_j_kgk: x[2],
            },
            fill_c: x[3],
            wait_min: x[4],
            start_c: x[5],
            come_up_min: x[6],
            hold_min: x[7],
            film_w_m2k: x[8],
            room_c: x[9],
            boils_c: x[10],
            top_w_m2k: x[15],
        }
    }

    /// The stretches that take any time, in order, each with its phase for the solvers.
    pub(crate) fn phases(&self) -> Vec<(Stretch, Phase)> {
        // In the bath nothing is taken to pass through the headspace: the side that is never too
        // warm. In air the lid cools what is under it, which is again the side of less heat.
        let air = |duration_s: f64| Phase {
            duration_s,
            ambient_start_c: self.room_c,
            ambient_end_c: self.room_c,
            side: Film::StillAir {
                emissivity: GLASS_EMISSIVITY,
            },
            top_w_m2k: self.top_w_m2k,
        };
        let water = |minutes: f64, from: f64| Phase {
            duration_s: 60.0 * minutes,
            ambient_start_c: from,
            ambient_end_c: self.boils_c,
            side: Film::Fixed(self.film_w_m2k),
            top_w_m2k: 0.0,
        };
        [
            (Stretch::Wait, air(60.0 * self.wait_min)),
            (Stretch::ComeUp, water(self.come_up_min, self.start_c.min(self.boils_c))),
            (Stretch::Hold, water(self.hold_min, self.boils_c)),
            (Stretch::Cool, air(COOLING_S)),
        ]
        .into_iter()
        .filter(|(_, phase)| phase.duration_s > 0.0)
        .collect()
    }

    /// The case of these phases.
    pub(crate) fn case(&self, phases: Vec<Phase>) -> Case {
        Case {
            body: self.body,
            contents: self.contents,
            food_start_c: self.fill_c,
            glass_start_c: self.fill_c,
            phases,
        }
    }

    /// Through its phases on a grid, each moment shown to `watch`.
    pub(crate) fn run(
        &self,
        grid: &Grid,
        (ref_c, z_k): (f64, f64),
        watch: Option<&mut dyn FnMut(&Moment<'_>)>,
    ) -> Result<Run, HeatError> {
        let (stretches, phases): (Vec<Stretch>, Vec<Phase>) = self.phases().into_iter().unzip();
        let case = self.case(phases);
        let history = match watch {
            Some(watch) => jar::solve_watched(&case, grid, watch)?,
            None => jar::solve(&case, grid)?,
        };
        // The reading at which the last of these stretches ends; the first reading before any.
        let end_of = |of: &[Stretch]| {
            let last = stretches.iter().rposition(|stretch| of.contains(stretch));
            last.and_then(|i| history.phase_ends.get(i)).copied().unwrap_or(0)
        };
        let into = end_of(&[Stretch::Wait]);
        let boil = end_of(&[Stretch::Wait, Stretch::ComeUp]);
        let end = end_of(&[Stretch::Wait, Stretch::ComeUp, Stretch::Hold]);
        let split = |at: usize| {
            dose::lethality_split_min(&history.times_s, &history.centre_c, at, ref_c, z_k).map_err(|_| {
                HeatError::BadShape {
                    what: "temperature history",
                    got: history.times_s.len(),
                    needed: 2,
                }
            })
        };
        let (heating, cooling) = split(end)?;
        let [(to_bath, _), (to_boil, _)] = [split(into)?, split(boil)?];
        let peak = history.centre_c[end..].iter().copied().fold(f64::MIN, f64::max);
        let end_s = history.times_s[end];
        let to_54_min = history.times_s[end..]
            .iter()
            .zip(&history.warmest_c[end..])
            .find(|(_, c)| **c <= FOLLOWED_TO_C)
            .map_or(COOLING_S / 60.0, |(t, _)| (t - end_s) / 60.0);
        let curve = history
            .times_s
            .iter()
            .zip(&history.centre_c)
            .map(|(t, c)| (t / 60.0, *c))
            .collect();
        Ok(Run {
            at_boil: history.centre_c[boil],
            at_end: history.centre_c[end],
            peak,
            heating,
            cooling,
            doses_min: [to_bath, to_boil - to_bath, heating - to_boil, cooling],
            to_54_min,
            curve,
        })
    }
}

impl SpotCase {
    /// What a run takes, in the order [`Course::of`] reads it.
    pub(crate) fn inputs(&self) -> Vec<Id> {
        vec![
            self.conductivity,
            self.density,
            self.heat_capacity,
            self.fill_c,
            self.wait_min,
            self.start_c,
            self.come_up,
            self.hold,
            self.film,
            self.room_c,
            self.boils,
            self.jar.radius_mm,
            self.jar.height_mm,
            self.jar.wall_mm,
            self.jar.base_mm,
            self.top_film,
        ]
    }

    /// One jar through one process.
    fn run(&self, x: &[f64], grid: &Grid) -> Result<Run, HeatError> {
        Course::of(x).run(grid, (self.ref_c, self.z_k), None)
    }

    fn reference(&self, x: &[f64], published: Published) -> Vec<f64> {
        let mut y = x.to_vec();
        y[5] = published.start_c;
        y[6] = published.come_up_min;
        y[7] = published.minutes;
        y[10] = published.boils_c;
        y
    }

    /// Solves the cold spot here, and with the published conditions at sea level.
    pub(crate) fn solve(&self, graph: &mut Graph) -> Result<Spot, PlanError> {
        let physics = |e: HeatError| PlanError::physics("the cold spot", &e);
        let inputs = self.inputs();
        let nominal: Vec<f64> = inputs.iter().map(|&id| graph.value(id)).collect();
        let curve = thin(self.run(&nominal, &Grid::plan()).map_err(physics)?.curve);
        let outputs = [
            ("cold spot when the water boils", Unit::Celsius),
            ("cold spot at the end of the time", Unit::Celsius),
            ("highest cold spot", Unit::Celsius),
            ("dose while heating", Unit::Minute),
            ("dose while cooling", Unit::Minute),
            ("from jars out until 54 °C", Unit::Minute),
            ("dose while heating with the published conditions", Unit::Minute),
            ("whole dose with the published conditions", Unit::Minute),
        ];
        let [
            at_boil,
            at_end,
            peak,
            heating,
            cooling,
            to_54,
            there_heating,
            there_total,
        ] = graph
            .solve_many(outputs, &JAR_CONDUCTION, &inputs, |x| {
                let here = self.run(x, &Grid::plan())?;
                let (heating, total) = match self.published {
                    None => (f64::NAN, f64::NAN),
                    Some(published) => {
                        let there = self.run(&self.reference(x, published), &Grid::plan())?;
                        (there.heating, there.heating + there.cooling)
                    }
                };
                Ok([
                    here.at_boil,
                    here.at_end,
                    here.peak,
                    here.heating,
                    here.cooling,
                    here.to_54_min,
                    heating,
                    total,
                ])
            })
            .map_err(physics)?;
        let cooling_share = jar_fill::infallible(graph.compute(
            "share of the dose while cooling",
            Unit::One,
            &COOLING_SHARE,
            &[heating, cooling],
            |x| Ok(x[1] / (x[0] + x[1])),
        ));
        // Both sides ran on the same sample, so what is uncertain in both falls out of the ratio.
        let ratios = self.published.map(|_| {
            let mut ratio = |name: &str, ids: &[Id], f: fn(&[f64]) -> f64| {
                jar_fill::infallible(graph.compute(name, Unit::One, &DOSE_OF_REFERENCE, ids, |x| Ok(f(x))))
            };
            (
                ratio(
                    "heating dose against the published conditions",
                    &[heating, there_heating],
                    |x| x[0] / x[1],
                ),
                ratio(
                    "whole dose against the published conditions",
                    &[heating, cooling, there_total],
                    |x| (x[0] + x[1]) / x[2],
                ),
            )
        });
        Ok(Spot {
            at_boil,
            at_end,
            peak,
            heating,
            cooling,
            cooling_share,
            to_54,
            heating_of_reference: ratios.map(|r| r.0),
            total_of_reference: ratios.map(|r| r.1),
            curve,
        })
    }
}

/// At most some 120 points, ends kept.
fn thin(curve: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let step = curve.len().div_ceil(120).max(1);
    let last = curve.len().saturating_sub(1);
    curve
        .into_iter()
        .enumerate()
        .filter(|(i, _)| i % step == 0 || *i == last)
        .map(|(_, p)| p)
        .collect()
}
