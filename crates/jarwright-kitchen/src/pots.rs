//! Which pot, what stands in it, where it stops and how warm the food reaches the jar.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_matter as matter;
use jarwright_reference::Kind;

use crate::PlanError;
use crate::assumed::practice;
use crate::cooking::{CookCase, Stop};
use crate::files::{Burner, Endpoint, FormulaFile, GoesIn, KitchenFile, Pot, PotKind};
use crate::jar_fill::infallible;
use crate::lines::Line;
use crate::mixture::Mixture;
use crate::place::Place;
use crate::setting::{ROOM_HUMIDITY, burner};
use crate::words;

/// Temperature the food is filled at.
pub static FILL_TEMPERATURE: Equation = Equation {
    key: "fill-temperature",
    title: "Temperature the food is filled at",
    text: "T_fill = T_stop - what it loses on the way to the jar",
    source: "common_practice",
};

/// Food just out of the refrigerator [°C] (`fda_food_code`, 3-501.16).
const CHILLED_C: f64 = 5.0;

/// Egg goes over steam where the kitchen has a bowl for it; everything else in the largest pan.
pub(crate) fn choose_pot<'k>(
    kitchen: &'k KitchenFile,
    lines: &[Line],
    formula: &FormulaFile,
) -> Result<(&'k Pot, &'k Burner), PlanError> {
    let eggs = lines.iter().any(|l| l.ingredient.kind == Kind::Egg);
    let below_boil = matches!(
        formula.stop_at.as_ref().map(|s| s.at),
        Some(Endpoint::Temperature { .. })
    );
    let gentle = eggs && below_boil;
    let suits = |pot: &&Pot| match pot.kind {
        PotKind::BowlOverSteam | PotKind::Kettle => gentle || pot.kind == PotKind::Kettle,
        PotKind::OpenPan => !gentle,
    };
    let largest = |pots: &mut dyn Iterator<Item = &'k Pot>| pots.max_by(|a, b| a.holds_l.total_cmp(&b.holds_l));
    // Boiling down wants a wide pan, everything else a large one.
    let boils_down = match formula.stop_at.as_ref().map(|s| s.at) {
        Some(Endpoint::Brix { .. } | Endpoint::Boiled { .. }) => true,
        Some(Endpoint::AboveBoiling { kelvin }) => kelvin > 0.0,
        Some(Endpoint::Temperature { .. }) | None => false,
    } && formula.pack.is_none();
    let widest = |pots: &mut dyn Iterator<Item = &'k Pot>| pots.max_by(|a, b| a.diameter_m.total_cmp(&b.diameter_m));
    let choose = |pots: &mut dyn Iterator<Item = &'k Pot>| if boils_down { widest(pots) } else { largest(pots) };
    let pot = choose(&mut kitchen.pots.iter().filter(suits))
        .or_else(|| largest(&mut kitchen.pots.iter()))
        .ok_or_else(|| PlanError::asked("the kitchen has no pot", "add a [[pot]] to the kitchen file"))?;
    Ok((pot, burner(kitchen, &pot.burner)?))
}

/// The pot with one multiple of the formula's own food.
#[expect(
    clippy::too_many_arguments,
    reason = "one call, everything it needs is at hand there"
)]
pub(crate) fn cook_case(
    graph: &mut Graph,
    kitchen: &KitchenFile,
    pot: &Pot,
    burner: &Burner,
    place: &Place,
    lines: &[Line],
    potted: &[usize],
    one_g: &[f64],
) -> Result<CookCase, PlanError> {
    let mut start = matter::Food::default();
    let mut later = Vec::new();
    let mut after = matter::Food::default();
    let mut after_c = kitchen.room_c;
    let (mut warmth, mut mass) = (0.0, 0.0);
    for &i in potted {
        let line = &lines[i];
        let mixture = Mixture::new(graph, &[&line.ingredient])?;
        let food = mixture.nominal(graph, &[line.one_g]);
        let cold = line
            .written
            .form
            .as_deref()
            .is_some_and(|f| f.contains("chilled") || f.contains("cold"));
        let c = if cold { CHILLED_C } else { kitchen.room_c };
        match line.written.goes_in {
            GoesIn::Start => {
                start.add(&food);
                warmth += one_g[i] * c;
                mass += one_g[i];
            }
            GoesIn::When { c: when } => later.push((food, c, when)),
            // Off the heat: it is in the jar, but the pot has not to carry it to its endpoint.
            GoesIn::End => {
                let had = after.mass_kg();
                after_c = (after_c * had + c * food.mass_kg()) / (had + food.mass_kg());
                after.add(&food);
            }
        }
    }
    if mass <= 0.0 {
        return Err(PlanError::asked(
            "nothing is in the pot at the start",
            "let at least one line go in at the start",
        ));
    }
    let pot_kg = match pot.weight_kg {
        Some(kg) => kg,
        None => {
            let per_l = practice(graph, "pot_kg_per_l", Unit::Kilogram)?;
            graph.value(per_l) * pot.holds_l
        }
    };
    Ok(CookCase {
        kind: pot.kind,
        power_w: burner.power_w,
        diameter_m: pot.diameter_m,
        pot_kg,
        pressure_pa: place.pressure_pa,
        boils_c: place.boils_c,
        rel_humidity: ROOM_HUMIDITY,
        start,
        start_c: warmth / mass,
        later,
        after,
        after_c,
        stop: Stop::AtTheBoil,
    })
}

/// A °Brix that the formula is already past cannot be boiled down to.
pub(crate) fn check_brix(formula: &FormulaFile, case: &CookCase) -> Result<(), PlanError> {
    if let Stop::Brix(brix) = case.stop {
        let have = case.potted().brix();
        if have >= brix {
            return Err(PlanError::asked(
                format!(
                    "{} holds {have:.1} °Brix before it is cooked, past its endpoint of {brix:.1} °Brix",
                    formula.name
                ),
                "less sugar, or a higher endpoint",
            ));
        }
        let food = case.potted();
        let solids = food.mass_kg() - food.water_kg;
        let most = 100.0 * food.brix() / 100.0 * food.mass_kg() / solids.max(1e-9);
        if brix >= most {
            return Err(PlanError::asked(
                format!(
                    "{} cannot reach {brix:.1} °Brix: dry it would be {most:.1} °Brix",
                    formula.name
                ),
                "more sugar, or a lower endpoint",
            ));
        }
    }
    if !matches!(case.stop, Stop::Temperature(_)) && case.later.iter().any(|(_, _, when)| *when > case.boils_c) {
        return Err(PlanError::asked(
            format!(
                "a line of {} goes in above the boil here, {}",
                formula.name,
                words::fine_temperature(case.boils_c)
            ),
            "let it go in at a lower temperature",
        ));
    }
    // Additions may not be due above the endpoint.
    if let Stop::Temperature(c) = case.stop
        && case.later.iter().any(|(_, _, when)| *when > c)
    {
        return Err(PlanError::asked(
            format!("a line of {} goes in above its endpoint", formula.name),
            "let it go in earlier, or \"end\"",
        ));
    }
    Ok(())
}

/// What the thermometer shows at the endpoint here, where it shows anything.
pub(crate) fn stop_temperature(
    graph: &mut Graph,
    formula: &FormulaFile,
    case: &CookCase,
    place: &Place,
) -> Result<Option<Id>, PlanError> {
    Ok(match case.stop {
        Stop::Temperature(c) => Some(graph.entered(
            &format!("stop:{}", formula.name),
            "stop temperature",
            Unit::Celsius,
            c,
            &formula.name,
        )),
        Stop::Brix(brix) => {
            let target = graph.entered(
                &format!("stop-brix:{}", formula.name),
                "soluble solids at the end",
                Unit::Brix,
                brix,
                &formula.name,
            );
            let food = case.potted();
            let pressure_pa = place.pressure_pa;
            let id = graph
                .compute(
                    "thermometer at the endpoint here",
                    Unit::Celsius,
                    &matter::FOOD_BOILS,
                    &[target, place.water_boils],
                    |x| {
                        let left = food.minus_water(matter::water_to_remove_kg(&food, x[0])?)?;
                        matter::food_boils_c(&left, pressure_pa)
                    },
                )
                .map_err(|e| PlanError::physics(format!("the boiling endpoint of {}", formula.name), &e))?;
            Some(id)
        }
        Stop::Boiled(_) | Stop::AtTheBoil => None,
    })
}

pub(crate) fn fill_temperature(
    graph: &mut Graph,
    formula: &FormulaFile,
    stop_c: Option<Id>,
    case: &CookCase,
    boiling: bool,
) -> Result<Id, PlanError> {
    if let Some(c) = formula.fill_at_c {
        return Ok(graph.entered(
            &format!("fill-at:{}", formula.name),
            "fill temperature",
            Unit::Celsius,
            c,
            &formula.name,
        ));
    }
    let drop = practice(
        graph,
        if boiling { "boiled_fill_drop_k" } else { "fill_drop_k" },
        Unit::Kelvin,
    )?;
    let from = match stop_c {
        Some(id) => id,
        None => graph.entered(
            &format!("boil:{}", formula.name),
            "the boil here",
            Unit::Celsius,
            case.boils_c,
            "the boil here",
        ),
    };
    // What goes in off the heat cools the pot by its share of the mass.
    let share = case.after.mass_kg() / case.all_in().mass_kg();
    let after_c = case.after_c;
    Ok(infallible(graph.compute(
        "fill temperature",
        Unit::Celsius,
        &FILL_TEMPERATURE,
        &[from, drop],
        |x| Ok(x[0] * (1.0 - share) + after_c * share - x[1]),
    )))
}

pub(crate) fn pack_densities(
    lines: &[Line],
    pieces: &[usize],
    case: &CookCase,
    graph: &mut Graph,
) -> Result<(f64, f64), matter::MatterError> {
    let mut food = matter::Food::default();
    for &i in pieces {
        if let Ok(mixture) = Mixture::new(graph, &[&lines[i].ingredient]) {
            food.add(&mixture.nominal(graph, &[lines[i].one_g]));
        }
    }
    let pieces_kg_m3 = if food.mass_kg() > 0.0 {
        matter::thermal(&food, 20.0)?.density_kg_m3
    } else {
        1000.0
    };
    Ok((pieces_kg_m3, matter::thermal(&case.all_in(), 90.0)?.density_kg_m3))
}
