//! The plan's graph gone on from, with what a departure changes.

use jarwright_figure::{Equation, Figure, Graph, Id, Output, Unit};
use jarwright_matter as matter;
use jarwright_reference as reference;

use super::sample::{Columns, Joint};
use super::{Departure, PlannedJar};
use crate::PlanError;
use crate::cold_spot::Course;
use crate::jar_fill;
use crate::setting::find_jar;

/// A quantity about a new value.
pub static SPREAD_KEPT: Equation = Equation {
    key: "spread-kept",
    title: "A planned quantity about a new value",
    text: "x = x_new + (x_drawn - x_planned)",
    source: "arithmetic",
};

/// Come-up with something changed and the burner as planned.
pub static COME_UP_CHANGED: Equation = Equation {
    key: "come-up-changed",
    title: "Come-up with something changed, the burner as planned",
    text: "t = t_planned t_bath(changed) / t_bath(planned), by the bath's heat balance (bath-come-up)",
    source: "heat_balance",
};

// Where a quantity stands in a cold spot's row; see `Course::of`.
const FILL: usize = 3;
const WAIT: usize = 4;
const START: usize = 5;
const COME_UP: usize = 6;
const HOLD: usize = 7;
const BOILS: usize = 10;
const RADIUS: usize = 11;

/// What a departure makes of a planned jar.
pub(super) struct Changed {
    pub(super) graph: Graph,
    pub(super) fill_c: Id,
    pub(super) start_c: Id,
    pub(super) come_up: Id,
    pub(super) hold: Option<Id>,
    pub(super) boils: Id,
    pub(super) altitude_m: f64,
    pub(super) jar_name: String,
    pub(super) inner_radius_mm: f64,
    /// What a run takes, in the order of [`Course::of`]; empty without a cold spot.
    pub(super) inputs: Vec<Id>,
    pub(super) nominal: Vec<f64>,
    pub(super) columns: Columns,
}

impl Changed {
    pub(super) fn new(planned: &PlannedJar, departure: &Departure, runs: usize) -> Result<Self, PlanError> {
        let work = &planned.work;
        let mut inputs = work.way.spot.as_ref().map(|case| case.inputs()).unwrap_or_default();
        // With the leaves behind them, which their bands come from.
        let mut sampled = inputs.clone();
        for &input in &inputs {
            let leaves = planned.graph.leaves_under(input).into_iter();
            sampled.extend(leaves.filter(|leaf| planned.graph.samples(*leaf).is_some()));
        }
        sampled[inputs.len()..].sort_unstable();
        sampled.dedup();
        let mut columns = Joint::new(&planned.graph, &sampled).draw(runs);
        let drawn = sampled.iter().zip(&columns);
        let drawn = drawn.filter_map(|(id, column)| Some((*id, column.clone()?))).collect();
        columns.truncate(inputs.len());
        let mut graph = planned.graph.branch(runs, drawn);
        let own = |graph: &mut Graph, what: &str, unit, value| {
            graph.entered(&format!("departure:{what}"), what, unit, value, "the departure")
        };
        // What spreads in the plan spreads about the new value.
        let about = |graph: &mut Graph, name: &'static str, unit, value: f64, planned: Id| {
            let entered = own(graph, name, unit, value);
            let Some(samples) = graph.samples(planned) else {
                return entered;
            };
            let away = value - graph.value(planned);
            let samples = samples.iter().map(|x| x + away).collect();
            let output = Output {
                name,
                unit,
                equation: &SPREAD_KEPT,
            };
            graph.answered(output, &[entered, planned], value, Some(samples))
        };
        let fill_c = departure.fill_c.map_or(work.fill_c, |c| {
            about(&mut graph, "food when it is filled", Unit::Celsius, c, work.fill_c)
        });
        let start_c = departure.bath_start_c.map_or(work.start_c, |c| {
            own(&mut graph, "bath when the jars go in", Unit::Celsius, c)
        });
        let hold = match departure.hold_min {
            Some(min) => Some(own(&mut graph, "minutes at the boil", Unit::Minute, min)),
            None => work.hold,
        };
        let (boils, pressure_pa) = match departure.altitude_m {
            None => (planned.place.water_boils, planned.place.pressure_pa),
            Some(m) => {
                let altitude = own(&mut graph, "height above sea level", Unit::Metre, m);
                let physics = |e: matter::MatterError| PlanError::physics("the boiling point there", &e);
                let pressure = graph
                    .compute(
                        "air pressure",
                        Unit::Pascal,
                        &matter::STANDARD_ATMOSPHERE,
                        &[altitude],
                        |x| matter::pressure_pa(x[0]),
                    )
                    .map_err(physics)?;
                let boils = graph
                    .compute(
                        "water boils there",
                        Unit::Celsius,
                        &matter::WATER_BOILS,
                        &[pressure],
                        |x| matter::water_boils_c(x[0]),
                    )
                    .map_err(physics)?;
                (boils, graph.value(pressure))
            }
        };
        let jar_row = departure.jar.as_deref().map(find_jar).transpose()?;
        let jar_row = jar_row.filter(|row| row.name != work.jar_name);
        let mut jar = work.way.load.jar.clone();
        if let Some(row) = jar_row {
            let headspace = own(&mut graph, "headspace", Unit::Millimetre, work.way.headspace_mm);
            jar = jar_fill::jar(&mut graph, row, headspace);
        }
        if let Some(mm) = departure.inner_radius_mm {
            jar.radius_mm = about(&mut graph, "inner radius", Unit::Millimetre, mm, jar.radius_mm);
        }

        // The come-up: by the clock, or by what the changes do to the bath's heat balance.
        let rows = |graph: &Graph, ids: &[Id]| -> Vec<f64> { ids.iter().map(|&id| graph.value(id)).collect() };
        let bath_changed = fill_c != work.fill_c
            || start_c != work.start_c
            || boils != planned.place.water_boils
            || jar.radius_mm != work.way.load.jar.radius_mm;
        let come_up = match departure.come_up_min {
            Some(min) => own(&mut graph, "come-up", Unit::Minute, min),
            None if !bath_changed => work.load.come_up,
            None => {
                let load = &work.way.load;
                let mut there = load.clone();
                (there.fill_c, there.start_c) = (fill_c, start_c);
                there.jar = jar.clone();
                (there.boils_c, there.pressure_pa) = (graph.value(boils), pressure_pa);
                let setting = work.load.setting.map_or(1.0, |id| graph.value(id) / 100.0);
                let before = load.come_up(&rows(&graph, &load.inputs()), setting);
                let mut row = rows(&graph, &there.inputs());
                // Food and glass as the new size has them.
                let of = |radius: Id, height: Id| graph.value(radius).powi(2) * graph.value(height);
                row[3] *= of(jar.radius_mm, jar.height_mm) / of(load.jar.radius_mm, load.jar.height_mm);
                let after = there.come_up(&row, setting);
                let cannot = |e| load.cannot_boil(&e);
                let [before_min, _] = before.map_err(cannot)?;
                let [after_min, _] = after.map_err(cannot)?;
                let factor = if before_min > 0.0 { after_min / before_min } else { 1.0 };
                let value = graph.value(work.load.come_up) * factor;
                let samples = graph
                    .samples(work.load.come_up)
                    .map(|x| x.iter().map(|x| x * factor).collect());
                let output = Output {
                    name: "come-up, the burner as planned",
                    unit: Unit::Minute,
                    equation: &COME_UP_CHANGED,
                };
                graph.answered(output, &[work.load.come_up, fill_c, start_c, boils], value, samples)
            }
        };

        if !inputs.is_empty() {
            inputs[FILL] = fill_c;
            inputs[START] = start_c;
            inputs[COME_UP] = come_up;
            if let Some(hold) = hold {
                inputs[HOLD] = hold;
            }
            inputs[BOILS] = boils;
            for (i, id) in [jar.radius_mm, jar.height_mm, jar.wall_mm, jar.base_mm]
                .into_iter()
                .enumerate()
            {
                inputs[RADIUS + i] = id;
            }
            columns = inputs.iter().map(|&id| graph.samples(id).map(Into::into)).collect();
        }
        Ok(Self {
            fill_c,
            start_c,
            come_up,
            hold,
            boils,
            altitude_m: departure.altitude_m.unwrap_or(planned.place.altitude_m),
            jar_name: jar_row.map_or_else(|| work.jar_name.clone(), |row| row.name.clone()),
            inner_radius_mm: graph.value(jar.radius_mm),
            nominal: rows(&graph, &inputs),
            inputs,
            columns,
            graph,
        })
    }

    pub(super) fn figure(&self, id: Id) -> Figure {
        self.graph.figure(id)
    }

    /// The central run's course; none without a cold spot.
    pub(super) fn course(&self) -> Option<Course> {
        (!self.nominal.is_empty()).then(|| Course::of(&self.nominal))
    }

    /// The course of one draw, and its wait [min].
    pub(super) fn draw(&self, run: usize) -> Course {
        let mut row = self.nominal.clone();
        for (x, column) in row.iter_mut().zip(&self.columns) {
            if let Some(drawn) = column.as_deref().and_then(|column| column.get(run)) {
                *x = *drawn;
            }
        }
        // A wait shorter than none cannot be drawn.
        row[WAIT] = row[WAIT].max(0.0);
        Course::of(&row)
    }
}

/// Whether a jar of this name is on file.
pub(super) fn is_same_jar(a: &str, b: &str) -> bool {
    let name = |jar: &str| reference::jar(jar).map(|row| row.name.clone());
    a == b || (name(a).is_some() && name(a) == name(b))
}
