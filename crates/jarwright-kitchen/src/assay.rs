//! The assay of a stage: what is in the food and how it behaves.

use jarwright_figure::{Graph, Id, Unit};
use jarwright_matter as matter;

use crate::PlanError;
use crate::assumed::practice;
use crate::mixture::{ASSAY, Mixture};
use crate::plan::Assay;

/// Handles of an assay's quantities.
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

/// Assays a mixture of `masses_g` after `boiled_off_g` of water has left it, at `at_c`.
pub(crate) fn assay(
    graph: &mut Graph,
    mixture: &Mixture,
    masses_g: &[Id],
    boiled_off_g: Option<Id>,
    at_c: Id,
) -> Result<AssayIds, PlanError> {
    let inputs = mixture.inputs(masses_g);
    let mut ids = inputs.ids.clone();
    let first_extra = ids.len();
    ids.push(at_c);
    ids.extend(boiled_off_g);
    let food = |x: &[f64]| -> Result<matter::Food, matter::MatterError> {
        let food = mixture.food(&inputs, x);
        match boiled_off_g {
            Some(_) => food.minus_water(x[first_extra + 1] / 1000.0),
            None => Ok(food),
        }
    };
    let percent = |part: f64, whole: f64| 100.0 * part / whole;
    let physics = |what: &'static str| move |e: matter::MatterError| PlanError::physics(what, &e);
    let [
        water,
        sugars,
        fat,
        protein,
        acids,
        brix,
        water_activity,
        density,
        conductivity,
        heat_capacity,
    ] = graph
        .compute_many(
            [
                ("water", Unit::Percent),
                ("sugars", Unit::Percent),
                ("fat", Unit::Percent),
                ("protein", Unit::Percent),
                ("acids", Unit::Percent),
                ("soluble solids", Unit::Brix),
                ("water activity", Unit::WaterActivity),
                ("density", Unit::KilogramPerCubicMetre),
                ("thermal conductivity", Unit::WattPerMetreKelvin),
                ("heat capacity", Unit::JoulePerKilogramKelvin),
            ],
            &ASSAY,
            &ids,
            |x| {
                let food = food(x)?;
                let mass = food.mass_kg();
                let thermal = matter::thermal(&food, x[first_extra])?;
                Ok([
                    percent(food.water_kg, mass),
                    percent(food.sucrose_kg + food.hexose_kg + food.other_sugar_kg, mass),
                    percent(food.fat_kg, mass),
                    percent(food.protein_kg, mass),
                    percent(food.acid_kg(), mass),
                    food.brix(),
                    matter::water_activity(&food)?,
                    thermal.density_kg_m3,
                    thermal.conductivity_w_mk,
                    thermal.heat_capacity_j_kgk,
                ])
            },
        )
        .map_err(physics("the assay"))?;
    let aw_miss = practice(graph, "aw_model_miss", Unit::WaterActivity)?;
    let water_activity = graph
        .compute(
            "water activity",
            Unit::WaterActivity,
            &matter::WATER_ACTIVITY,
            &[water_activity, aw_miss],
            |x| Ok::<_, std::convert::Infallible>((x[0] + x[1]).min(1.0)),
        )
        .unwrap_or(water_activity);
    let nominal: Vec<f64> = masses_g.iter().map(|&id| graph.value(id)).collect();
    let ph_unknown = mixture.ph_unknown(&nominal);
    let ph = if ph_unknown.is_some() {
        None
    } else {
        // What predictions of this kind have missed measured mixtures by.
        let miss = practice(graph, "ph_model_miss", Unit::Ph)?;
        let mut with_error = ids.clone();
        with_error.push(miss);
        Some(
            graph
                .compute("equilibrium pH", Unit::Ph, &matter::PH, &with_error, |x| {
                    Ok(matter::ph(&food(&x[..x.len() - 1])?, 25.0)? + x[x.len() - 1])
                })
                .map_err(physics("the pH"))?,
        )
    };
    Ok(AssayIds {
        water,
        sugars,
        fat,
        protein,
        acids,
        brix,
        water_activity,
        ph,
        ph_unknown,
        density,
        conductivity,
        heat_capacity,
        at_c,
    })
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
