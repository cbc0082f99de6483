//! What one sold jar costs: everything started is paid for, only what is sold brings money.

use std::collections::BTreeMap;

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_heat::HeatError;
use jarwright_heat::bath::{self, Bath, Jars, Lid};

use crate::PlanError;
use crate::bathing::STEEL_J_KGK;
use crate::buying::price_per_g;
use crate::clock::Doing;
use crate::files::{KitchenFile, StoresFile};
use crate::jar_fill::infallible;
use crate::place::Place;
use crate::plan::CostSheet;
use crate::timing::Timing;
use crate::worked::Work;

/// Ingredients of a run, per sold jar.
pub static INGREDIENT_COST: Equation = Equation {
    key: "ingredient-cost",
    title: "Ingredients of one sold jar",
    text: "c = sum over lines of (mass used x price as purchased / yield) / jars",
    source: "bccampus_kitchen_management",
};

/// Labour of one jar.
pub static LABOUR_COST: Equation = Equation {
    key: "labour-cost",
    title: "Labour of one jar",
    text: "c = people x hours of the run x rate / jars started",
    source: "bccampus_kitchen_management",
};

/// Energy of one jar.
pub static ENERGY_COST: Equation = Equation {
    key: "energy-cost",
    title: "Energy of one jar",
    text: "c = (batches x heat into pot / burner's share + bath's heat / burner's share) x price / jars started; \
           bath's heat = times heated x from the tap to the first load + batches x (come-up + hold)",
    source: "heat_balance",
};

/// Heating the bath for its first load.
pub static BATH_FIRST_HEAT: Equation = Equation {
    key: "bath-first-heat",
    title: "Heat that brings the bath from the tap to its first load",
    text: "Q = (m_water c_water + C_vessel) (T_first - T_tap), losses on the way left out",
    source: "heat_balance",
};

/// Keeping the bath at the boil.
pub static BATH_HOLD_HEAT: Equation = Equation {
    key: "bath-hold-heat",
    title: "Heat that keeps the covered bath at the boil for one load",
    text: "Q = (convection + radiation of the lid at the boil) x minutes of the hold; a rolling boil takes more",
    source: "cengel_heat_mass",
};

/// Under a lid no vapour leaves, so the room's humidity does not count; any value does.
const ANY_HUMIDITY: f64 = 0.5;

/// One sold jar.
pub static SOLD_JAR: Equation = Equation {
    key: "sold-jar",
    title: "Cost of one sold jar",
    text: "c_sold = c_started x started / ordered",
    source: "bccampus_kitchen_management",
};

/// One cost sheet a formula.
pub(crate) fn sheets(
    graph: &mut Graph,
    kitchen: &KitchenFile,
    stores: &StoresFile,
    works: &[Work],
    timing: &Timing,
    place: &Place,
) -> Result<Vec<CostSheet>, PlanError> {
    let minutes = |w: &Work, graph: &Graph| {
        w.size.batches as f64
            * graph
                .value(w.load.cycle)
                .max(graph.value(w.batch.cook_min) + graph.value(w.fill_min))
    };
    let all_minutes: f64 = works.iter().map(|w| minutes(w, graph)).sum();
    let mut sheets = Vec::new();
    for work in works {
        let (started, ordered) = (work.counts.started, work.counts.ordered);
        let per_batch = work.size.per_batch as f64;
        let mut unpriced = Vec::new();
        let mut priced = Vec::new();
        for (line, mass) in work.in_batch() {
            let name = &line.ingredient.name;
            match price_per_g(stores, name) {
                Some(price) => {
                    let id = graph.entered(
                        &format!("price:{name}"),
                        &format!("price of a gram of {name}, trim counted"),
                        Unit::Money,
                        price,
                        "stores file",
                    );
                    priced.push((mass, id));
                }
                None if line.ingredient.kind == jarwright_reference::Kind::Water => {}
                None => unpriced.push(name.clone()),
            }
        }
        let ids: Vec<_> = priced.iter().flat_map(|&(m, p)| [m, p]).collect();
        let ingredients = infallible(
            graph.compute("ingredients of a jar", Unit::Money, &INGREDIENT_COST, &ids, |x| {
                Ok(x.chunks_exact(2).map(|p| p[0] * p[1]).sum::<f64>() / per_batch)
            }),
        );
        let stock = kitchen
            .jars
            .iter()
            .find(|j| jarwright_reference::jar(&j.size).is_some_and(|row| row.name == work.jar_name));
        let jar_price = stock.map_or(0.0, |j| j.price.units() + j.lid_price.units());
        if stock.is_none() {
            unpriced.push(format!("{} jar and lid", work.jar_name));
        }
        let jar = graph.entered(
            &format!("jar-price:{}", work.jar_name),
            "jar and lid",
            Unit::Money,
            jar_price,
            "kitchen file",
        );
        let rate = graph.entered(
            "rate",
            "labour",
            Unit::MoneyPerHour,
            kitchen.labour_per_hour.units(),
            "kitchen file",
        );
        let people = graph.entered(
            "people",
            "people",
            Unit::Count,
            f64::from(kitchen.people),
            "kitchen file",
        );
        let share = if all_minutes > 0.0 {
            minutes(work, graph) / all_minutes
        } else {
            1.0
        };
        let hours = graph.decide(
            "hours of the run for this formula",
            Unit::Hour,
            &crate::timing::RUN_TIME,
            &[work.batch.cook_min, work.load.cycle],
            timing.working_min / 60.0 * share,
        );
        let labour = infallible(graph.compute(
            "labour of a jar",
            Unit::Money,
            &LABOUR_COST,
            &[people, hours, rate, started],
            |x| Ok(x[0] * x[1] * x[2] / x[3]),
        ));
        let tariff = graph.entered(
            "tariff",
            "energy",
            Unit::MoneyPerKilowattHour,
            kitchen.energy_per_kwh.units(),
            "kitchen file",
        );
        let batches = work.size.batches as f64;
        let mut inputs = vec![work.batch.energy_kwh, work.efficiency, tariff, started];
        let times = times_heated(work, works, timing);
        if let Some(heats) = bath_heats(graph, kitchen, work, place)? {
            inputs.extend([work.bath_efficiency, heats.first, work.load.energy_kwh, heats.hold]);
        }
        let energy = infallible(
            graph.compute("energy of a jar", Unit::Money, &ENERGY_COST, &inputs, |x| {
                let bath = if let [share, first, come_up, hold] = x[4..] {
                    (times * first + batches * (come_up + hold)) / share
                } else {
                    0.0
                };
                Ok((batches * x[0] / x[1] + bath) * x[2] / x[3])
            }),
        );
        let sold = infallible(graph.compute(
            "one sold jar",
            Unit::Money,
            &SOLD_JAR,
            &[ingredients, jar, labour, energy, started, ordered],
            |x| Ok((x[0] + x[1] + x[2] + x[3]) * x[4] / x[5]),
        ));
        let losses = infallible(graph.compute(
            "jars started and not sold",
            Unit::Money,
            &SOLD_JAR,
            &[ingredients, jar, labour, energy, started, ordered],
            |x| Ok((x[0] + x[1] + x[2] + x[3]) * (x[4] / x[5] - 1.0)),
        ));
        sheets.push(CostSheet {
            formula: work.formula.name.clone(),
            ingredients: graph.figure(ingredients),
            jar: graph.figure(jar),
            labour: graph.figure(labour),
            energy: graph.figure(energy),
            losses: graph.figure(losses),
            sold_jar: graph.figure(sold),
            unpriced,
        });
    }
    Ok(sheets)
}

/// Heats of the bath besides the come-up.
struct BathHeats {
    /// From the tap to the first load [kWh].
    first: Id,
    /// Kept at the boil for one load [kWh].
    hold: Id,
}

/// Heats of a formula's bath; none where the jars go through no bath.
fn bath_heats(
    graph: &mut Graph,
    kitchen: &KitchenFile,
    work: &Work,
    place: &Place,
) -> Result<Option<BathHeats>, PlanError> {
    let Some(hold) = work.hold else { return Ok(None) };
    let Some(file) = kitchen.baths.iter().find(|b| b.name == work.bath_name) else {
        return Ok(None);
    };
    let vessel = Bath {
        water_kg: file.water_l,
        vessel_j_k: file.weight_kg.unwrap_or(0.0) * STEEL_J_KGK,
        burner_w: 0.0,
        lid: Lid::On,
        surface_m2: std::f64::consts::FRAC_PI_4 * file.diameter_m * file.diameter_m,
        side_loss_w_k: 0.0,
        room_c: kitchen.room_c,
        rel_humidity: ANY_HUMIDITY,
        pressure_pa: place.pressure_pa,
        boils_c: place.boils_c,
    };
    let physics = |e: HeatError| PlanError::physics("the heat of the bath", &e);
    let supply = graph.entered(
        "supply",
        "water from the tap",
        Unit::Celsius,
        kitchen.water_supply_c,
        "kitchen file",
    );
    let water = graph.entered(
        &format!("water:{}:{}", work.formula.name, file.name),
        "water in the bath",
        Unit::Litre,
        file.water_l,
        "kitchen file",
    );
    let first = graph
        .compute(
            "heat from the tap to the first load",
            Unit::KilowattHour,
            &BATH_FIRST_HEAT,
            &[water, supply, work.start_c],
            |x| {
                first_heat_kwh(
                    &Bath {
                        water_kg: x[0],
                        ..vessel
                    },
                    x[1],
                    x[2],
                )
            },
        )
        .map_err(physics)?;
    let held = graph
        .compute(
            "heat that keeps the bath at the boil",
            Unit::KilowattHour,
            &BATH_HOLD_HEAT,
            &[hold, place.room_c, place.water_boils],
            |x| {
                hold_heat_kwh(
                    &Bath {
                        room_c: x[1],
                        boils_c: x[2],
                        ..vessel
                    },
                    x[0],
                )
            },
        )
        .map_err(physics)?;
    Ok(Some(BathHeats { first, hold: held }))
}

/// Heat [kWh] that takes water and vessel from `supply_c` to `start_c` [°C]; 0 where the tap is
/// as hot.
fn first_heat_kwh(vessel: &Bath, supply_c: f64, start_c: f64) -> Result<f64, HeatError> {
    let to_boil = |c: f64| bath::heat_to_boil_j(vessel, &Jars::NONE, c.min(vessel.boils_c));
    Ok((to_boil(supply_c)? - to_boil(start_c)?).max(0.0) / 3.6e6)
}

/// Heat [kWh] that keeps the covered bath at the boil for so many minutes.
fn hold_heat_kwh(vessel: &Bath, minutes: f64) -> Result<f64, HeatError> {
    Ok(bath::hold_power_w(vessel)? * minutes * 60.0 / 3.6e6)
}

/// How often the bath is heated from the tap on this formula's account: once a day, shared by
/// that day's loads in the same bath.
fn times_heated(work: &Work, works: &[Work], timing: &Timing) -> f64 {
    let bath_of = |formula: &str| {
        works
            .iter()
            .find(|w| w.formula.name == formula)
            .map(|w| w.bath_name.as_str())
    };
    let mut days: BTreeMap<jiff::civil::Date, (f64, f64)> = BTreeMap::new();
    for step in timing.layout.steps.iter().filter(|s| s.doing == Doing::JarsIn) {
        let Some(turn) = step.turn.and_then(|t| timing.turns.get(t)) else {
            continue;
        };
        if bath_of(&turn.formula) != Some(work.bath_name.as_str()) {
            continue;
        }
        let (own, all) = days.entry(step.at.date()).or_default();
        *all += 1.0;
        if turn.formula == work.formula.name {
            *own += 1.0;
        }
    }
    days.values().map(|(own, all)| own / all).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    const BATH: Bath = Bath {
        water_kg: 18.0,
        vessel_j_k: 0.0,
        burner_w: 0.0,
        lid: Lid::On,
        surface_m2: 0.0855,
        side_loss_w_k: 0.0,
        room_c: 21.0,
        rel_humidity: 0.5,
        pressure_pa: 101_325.0,
        boils_c: 100.0,
    };

    #[test]
    fn the_first_heating_is_the_water_s_enthalpy_difference() -> Result<(), HeatError> {
        // `iapws_if97`, water at 0.101325 MPa: 83.9 kJ/kg at 20 °C and 335.0 kJ/kg at 80 °C.
        let got = first_heat_kwh(&BATH, 20.0, 80.0)?;
        let want = 18.0 * (335.0 - 83.9) / 3600.0;
        assert!((got / want - 1.0).abs() < 0.003, "{got} {want}");
        assert!(first_heat_kwh(&BATH, 80.0, 80.0)?.abs() < 1e-12);
        Ok(())
    }

    #[test]
    fn holding_costs_in_proportion_to_time_and_surface() -> Result<(), HeatError> {
        let one = hold_heat_kwh(&BATH, 10.0)?;
        assert!(one > 0.0);
        assert!((hold_heat_kwh(&BATH, 20.0)? / one - 2.0).abs() < 1e-9);
        assert!(
            hold_heat_kwh(
                &Bath {
                    surface_m2: 2.0 * 0.0855,
                    ..BATH
                },
                10.0
            )? > 1.9 * one
        );
        Ok(())
    }
}
