//! One formula of an order, worked through: setting, schedule, potful, bath, rules.

use jarwright_figure::{Graph, Unit};
use jarwright_reference::{FoodClass, Kind};

use crate::PlanError;
use crate::assumed::practice;
use crate::cautions::{CautionCase, of_formula};
use crate::cooking::Stop;
use crate::facts::facts;
use crate::files::{KitchenFile, StoresFile};
use crate::inside::stand;
use crate::limits;
use crate::order::{Order, Wanted};
use crate::place::Place;
use crate::potful::{filling, potful};
use crate::routes;
use crate::setting::setting;
use crate::through_bath::through_bath;
use crate::verdict::{Question, verdicts};
use crate::worked::Work;

/// Works one formula through.
pub(crate) fn work(
    graph: &mut Graph,
    order: &Order,
    wanted: &Wanted,
    kitchen: &KitchenFile,
    stores: &StoresFile,
    place: &Place,
) -> Result<Work, PlanError> {
    let set = setting(graph, order, wanted, kitchen, stores, place)?;
    let standing = stand(&set.schedule_case(graph))?;
    let fill = filling(graph, &set, &standing)?;
    let pot = potful(graph, &set, &fill, &standing)?;
    let bath = through_bath(graph, &set, &standing, &fill, &pot)?;
    let (formula, food, lines, batch, letter) = (set.formula, set.food, &set.lines, &pot.batch, bath.letter);
    let prepare_min = practice(graph, "prep_min", Unit::Minute)?;
    // The rules.
    let kinds: Vec<Kind> = lines.iter().map(|l| l.ingredient.kind).collect();
    let composition = routes::composition(graph, batch, lines, &set.potted, set.is_pack);
    let fruit_share = standing.fruit_share;
    let chill = routes::chill(graph, kitchen, batch);
    // A temperature stop is what the cook reads; anything else is as hot as the balance says.
    let heated_c = match set.case.stop {
        Stop::Temperature(c) => c,
        Stop::Brix(_) | Stop::Boiled(_) | Stop::AtTheBoil => pot.cook.end_c,
    };
    // What a refractometer would show of the finished food.
    let end_brix = match set.case.stop {
        Stop::Brix(brix) => brix,
        Stop::Temperature(_) | Stop::Boiled(_) | Stop::AtTheBoil => graph.value(batch.filled.brix),
    };
    let facts = facts(
        graph,
        formula,
        kitchen,
        batch,
        &standing,
        &bath.departures,
        &composition,
        letter,
        lines,
        heated_c,
        end_brix,
        chill.as_ref(),
    );
    let inside = standing.inside() && bath.departures.is_empty();
    let day = order.now.date().to_string();
    let question = Question {
        formula: &formula.name,
        food,
        for_use: order.for_use,
        market: order.market,
        day: &day,
        facts: &facts,
    };
    let stop_c = set.stop_c.filter(|_| matches!(set.case.stop, Stop::Temperature(_)));
    limits::hold_to_rules(graph, &question, &limits::asked(formula, batch, stop_c));
    let verdicts = verdicts(graph, &question, |route| {
        routes::how(route, kitchen, chill.as_ref(), pot.size.batches, set.headspace_mm)
    });
    // What must have its pH measured waits for it; a jam that need not waits for its seals.
    let by_class = matches!(
        food,
        FoodClass::Jam | FoodClass::Jelly | FoodClass::Marmalade | FoodClass::Syrup
    );
    let asked = verdicts
        .iter()
        .any(|v| v.route == "shelf" && v.missing.iter().any(|m| m.contains("pH")));
    let wait_h = practice(
        graph,
        if asked || !by_class { "ph_wait_h" } else { "seal_wait_h" },
        Unit::Hour,
    )?;
    let mut allergens: Vec<String> = Vec::new();
    for line in lines {
        let list = match order.market {
            crate::order::Law::Us => &line.ingredient.allergens_us,
            crate::order::Law::Eu | crate::order::Law::Uk => &line.ingredient.allergens_eu,
        };
        for allergen in list {
            if !allergens.contains(allergen) {
                allergens.push(allergen.clone());
            }
        }
    }
    let cautions = of_formula(&CautionCase {
        formula: &formula.name,
        kinds: &kinds,
        allergens: &allergens,
        inside: inside || letter,
        pack: set.is_pack,
        boiling_swap: bath.hold.is_some() && graph.value(bath.load.swap_l) > 0.0 && pot.size.batches > 1,
        for_use: order.for_use,
    });
    Ok(Work {
        formula: formula.clone(),
        food,
        jar_name: set.jar_row.name.clone(),
        size: pot.size,
        counts: pot.counts,
        failure: pot.failure,
        correlation: pot.correlation,
        from_on_hand: pot.from_on_hand,
        sieved: pot.sieved,
        pot: set.pot.clone(),
        burner: set.pot_burner.clone(),
        efficiency: set.efficiency,
        steam_u: set.steam_u,
        case: set.case.clone(),
        bound_by: pot.bound_by,
        all_at_once: pot.all_at_once,
        notes: pot.notes,
        stop: set.case.stop,
        stop_c: set.stop_c.filter(|_| !pot.simmers),
        fill_c: bath.packed_c,
        fill_min: pot.fill_min,
        prepare_min,
        wait_h,
        standing,
        departures: bath.departures,
        hold: bath.hold,
        turn_min: bath.turn_min,
        bath_name: set.bath.name.clone(),
        bath_efficiency: set.bath_efficiency,
        places: set.places,
        start_c: bath.start_c,
        load: bath.load,
        load_notes: bath.notes,
        spot: bath.spot,
        way: bath.way,
        letter,
        spot_target: bath.target,
        not_computed: bath.not_computed,
        verdicts,
        cautions,
        fruit_share,
        fat_g_per_kg: composition.fat_g_per_kg,
        yolk_solids_g_per_kg: composition.yolk_solids_g_per_kg,
        batch: pot.batch,
        lines: set.lines,
    })
}
