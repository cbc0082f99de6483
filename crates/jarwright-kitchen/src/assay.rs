//! The assay of a stage: what is in the food and how it behaves, as quantities of the graph.

use jarwright_figure::{Graph, Id, Unit};
use jarwright_matter::{self as matter, Food, MatterError};

use crate::PlanError;
use crate::assumed::practice;
use crate::mixture::{Inputs, Mixture};
use crate::plan::Assay;
use crate::property::{Misses, Property, Reading};

/// What a plan asks of each stage.
pub(crate) const OF_A_PLAN: &[Property] = &[
    Property::Water,
    Property::Sugars,
    Property::Fat,
    Property::Protein,
    Property::Acids,
    Property::Brix,
    Property::WaterActivity,
    Property::Ph,
    Property::Density,
    Property::Conductivity,
    Property::HeatCapacity,
];

/// The food that is assayed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sample<'a> {
    pub(crate) mixture: &'a Mixture,
    /// Mass of each line [g].
    pub(crate) masses_g: &'a [Id],
    /// Water that has left it.
    pub(crate) steam: Steam,
    /// Share of its sucrose that acid and heat have split, where some may be.
    pub(crate) inverted: Option<Id>,
    /// Temperature of the thermal properties [°C].
    pub(crate) at_c: Id,
    /// Pressure of the air [Pa]; [`Property::BoilsAt`] needs it.
    pub(crate) pressure_pa: Option<Id>,
}

/// The water that leaves a food on the heat.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Steam {
    /// None.
    Nothing,
    /// So many grams, by the pot's heat balance.
    Grams(Id),
    /// As much as brings it to a reading [°Brix]: the refractometer stops the cook, whatever the
    /// fruit brought.
    ToBrix(Id),
}

/// Handles of the quantities a plan knows of a stage.
#[derive(Debug, Clone)]
pub(crate) struct AssayIds {
    pub(crate) water: Id,
    pub(crate) sugars: Id,
    pub(crate) fat: Id,
    pub(crate) protein: Id,
    pub(crate) acids: Id,
    pub(crate) brix: Id,
    pub(crate) water_activity: Id,
    pub(crate) ph: Option<Id>,
    pub(crate) ph_unknown: Option<String>,
    pub(crate) density: Id,
    pub(crate) conductivity: Id,
    pub(crate) heat_capacity: Id,
    pub(crate) at_c: Id,
}

/// Properties with their handles, or why one could not be told.
pub(crate) type Found = Vec<(Property, Result<Id, String>)>;

/// Where each value that a sample's food is made from stands in a row of inputs.
struct Row {
    inputs: Inputs,
    ids: Vec<Id>,
    at: usize,
    pressure: Option<usize>,
    grams: Option<usize>,
    brix: Option<usize>,
    inverted: Option<usize>,
    ph_miss: usize,
    aw_miss: usize,
}

impl Row {
    fn of(graph: &mut Graph, sample: &Sample) -> Result<Self, PlanError> {
        let inputs = sample.mixture.inputs(sample.masses_g);
        let mut ids = inputs.ids.clone();
        let mut place = |id: Id| {
            ids.push(id);
            ids.len() - 1
        };
        let at = place(sample.at_c);
        let pressure = sample.pressure_pa.map(&mut place);
        let (grams, brix) = match sample.steam {
            Steam::Nothing => (None, None),
            Steam::Grams(id) => (Some(place(id)), None),
            Steam::ToBrix(id) => (None, Some(place(id))),
        };
        let inverted = sample.inverted.map(&mut place);
        let ph_miss = place(practice(graph, "ph_model_miss", Unit::Ph)?);
        let aw_miss = place(practice(graph, "aw_model_miss", Unit::WaterActivity)?);
        Ok(Self {
            inputs,
            ids,
            at,
            pressure,
            grams,
            brix,
            inverted,
            ph_miss,
            aw_miss,
        })
    }

    /// The food of one row.
    fn food(&self, mixture: &Mixture, x: &[f64]) -> Result<Food, MatterError> {
        let mut food = mixture.food(&self.inputs, x);
        if let Some(k) = self.inverted {
            food = food.inverted(x[k])?;
        }
        if let Some(k) = self.grams {
            food = food.minus_water(x[k] / 1000.0)?;
        }
        if let Some(k) = self.brix {
            food = food.minus_water(matter::water_to_remove_kg(&food, x[k])?)?;
        }
        Ok(food)
    }

    fn reading<'f>(&self, food: &'f Food, x: &[f64]) -> Reading<'f> {
        let misses = Misses {
            ph: x[self.ph_miss],
            water_activity: x[self.aw_miss],
        };
        Reading::new(food, x[self.at], self.pressure.map_or(f64::NAN, |k| x[k]), misses)
    }
}

/// Reads `asked` of a sample, all from one shared draw of everything uncertain in it.
///
/// A property that cannot be told has the reason in its place.
pub(crate) fn read(graph: &mut Graph, sample: &Sample, asked: &[Property]) -> Result<Found, PlanError> {
    let row = Row::of(graph, sample)?;
    let outputs: Vec<_> = asked.iter().map(|property| property.output()).collect();
    let ids = graph.compute_each(&outputs, &row.ids, |x, y| {
        let Ok(food) = row.food(sample.mixture, x) else {
            return;
        };
        let reading = row.reading(&food, x);
        for (property, y) in asked.iter().zip(y) {
            *y = reading.value(*property).unwrap_or(f64::NAN);
        }
    });
    let nominal: Vec<f64> = sample.masses_g.iter().map(|&id| graph.value(id)).collect();
    let ph_unknown = sample.mixture.ph_unknown(&nominal);
    let x: Vec<f64> = row.ids.iter().map(|&id| graph.value(id)).collect();
    let food = row.food(sample.mixture, &x);
    let why = |property: Property| match &food {
        Err(error) => error.to_string(),
        Ok(food) => match row.reading(food, &x).value(property) {
            Err(error) => error.to_string(),
            Ok(value) => format!("the model gives {value}"),
        },
    };
    Ok(asked
        .iter()
        .zip(ids)
        .map(|(&property, id)| {
            let found = match (&ph_unknown, id) {
                (Some(reason), _) if property.needs_acidity() => Err(reason.clone()),
                (_, Some(id)) => Ok(id),
                (_, None) => Err(why(property)),
            };
            (property, found)
        })
        .collect())
}

/// Boiling points of a sample boiled down to each of some readings [°Brix]; `None` where it cannot
/// be boiled down so far.
pub(crate) fn boils_at(graph: &mut Graph, sample: &Sample, targets: &[Id]) -> Result<Vec<Option<Id>>, PlanError> {
    let mut row = Row::of(graph, sample)?;
    let first = row.ids.len();
    row.ids.extend(targets);
    let outputs = vec![Property::BoilsAt.output(); targets.len()];
    Ok(graph.compute_each(&outputs, &row.ids, |x, y| {
        let Ok(food) = row.food(sample.mixture, x) else {
            return;
        };
        for (brix, y) in x[first..].iter().zip(y) {
            let left = matter::water_to_remove_kg(&food, *brix).and_then(|kg| food.minus_water(kg));
            *y = left
                .and_then(|left| row.reading(&left, x).value(Property::BoilsAt))
                .unwrap_or(f64::NAN);
        }
    }))
}

/// Assays a mixture for a plan, after `steam` has left it, at `at_c`.
///
/// # Errors
/// [`PlanError::Physics`] where anything but the pH cannot be told.
pub(crate) fn assay(
    graph: &mut Graph,
    mixture: &Mixture,
    masses_g: &[Id],
    steam: Steam,
    at_c: Id,
) -> Result<AssayIds, PlanError> {
    let sample = Sample {
        mixture,
        masses_g,
        steam,
        inverted: None,
        at_c,
        pressure_pa: None,
    };
    let found = read(graph, &sample, OF_A_PLAN)?;
    let need = |property: Property| {
        find(&found, property).map_err(|cause| PlanError::Physics {
            what: "the assay".into(),
            cause,
        })
    };
    let ph = find(&found, Property::Ph);
    Ok(AssayIds {
        water: need(Property::Water)?,
        sugars: need(Property::Sugars)?,
        fat: need(Property::Fat)?,
        protein: need(Property::Protein)?,
        acids: need(Property::Acids)?,
        brix: need(Property::Brix)?,
        water_activity: need(Property::WaterActivity)?,
        ph_unknown: ph.clone().err(),
        ph: ph.ok(),
        density: need(Property::Density)?,
        conductivity: need(Property::Conductivity)?,
        heat_capacity: need(Property::HeatCapacity)?,
        at_c,
    })
}

/// One property of those found, or why it could not be told.
pub(crate) fn find(found: &Found, property: Property) -> Result<Id, String> {
    found
        .iter()
        .find(|(p, _)| *p == property)
        .map_or_else(|| Err("not asked for".into()), |(_, found)| found.clone())
}

impl AssayIds {
    pub(crate) fn view(&self, graph: &Graph) -> Assay {
        let figure = |id| graph.figure(id);
        Assay {
            water: figure(self.water),
            sugars: figure(self.sugars),
            fat: figure(self.fat),
            protein: figure(self.protein),
            acids: figure(self.acids),
            brix: figure(self.brix),
            water_activity: figure(self.water_activity),
            ph: self.ph.map(figure),
            ph_unknown: self.ph_unknown.clone(),
            density: figure(self.density),
            conductivity: figure(self.conductivity),
            heat_capacity: figure(self.heat_capacity),
            at: figure(self.at_c),
        }
    }
}
