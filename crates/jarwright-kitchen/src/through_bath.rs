//! Through the bath: by whose minutes, from what water, and what that does to the cold spot.

use jarwright_figure::{Bound, Graph, Id, Unit};
use jarwright_matter as matter;
use jarwright_reference as reference;

use crate::PlanError;
use crate::assumed::practice;
use crate::bathing::{Load, LoadCase};
use crate::cold_spot::{Published, Spot, SpotCase};
use crate::facts::ph_high;
use crate::inside::Standing;
use crate::jar_fill::infallible;
use crate::letter::{self, LetterCase};
use crate::notes::{come_up_notes, target};
use crate::potful::{FILL_TIME, Filling, Potful};
use crate::setting::{ROOM_HUMIDITY, Setting};
use crate::words;

/// Rounding of a published bath temperature between the scales [K].
pub(crate) const BATH_START_ROUNDING_K: f64 = 0.05;

/// What the bath does.
pub(crate) struct Through {
    /// In what the run departs from its schedule or letter.
    pub(crate) departures: Vec<String>,
    pub(crate) letter: bool,
    pub(crate) hold: Option<Id>,
    pub(crate) start_c: Id,
    pub(crate) turn_min: Id,
    pub(crate) load: Load,
    pub(crate) notes: Vec<String>,
    /// Temperature of the food in the jar when it goes in.
    pub(crate) packed_c: Id,
    pub(crate) spot: Option<Spot>,
    /// What the jar goes through, for asking again with something changed.
    pub(crate) way: Way,
    pub(crate) target: Option<&'static reference::Harbour>,
    pub(crate) not_computed: Option<String>,
}

/// What a jar goes through, as the graph has it.
#[derive(Debug, Clone)]
pub(crate) struct Way {
    pub(crate) load: LoadCase,
    /// Where the food conducts and there is a process to follow.
    pub(crate) spot: Option<SpotCase>,
    /// The pot's temperature while it cooks: seconds, °C.
    pub(crate) pot_curve: Vec<(f64, f64)>,
    /// Least temperature at filling that a schedule without a letter asks for [°C].
    pub(crate) least_fill_c: Option<f64>,
    /// In what the run departs, whatever is changed at the stove: formula, headspace, cook, letter.
    pub(crate) stays: Vec<String>,
    pub(crate) headspace_mm: f64,
}

/// Takes a batch through the bath.
pub(crate) fn through_bath(
    graph: &mut Graph,
    set: &Setting,
    standing: &Standing,
    filling: &Filling,
    potful: &Potful,
) -> Result<Through, PlanError> {
    let &Setting {
        order,
        kitchen,
        place,
        formula,
        food,
        is_pack,
        jar_row,
        headspace_mm,
        bath,
        bath_burner,
        bath_efficiency,
        fill_c,
        ..
    } = set;
    let Setting { jar, lines, one_g, .. } = set;
    let Potful {
        batch,
        size: sized,
        counts,
        ..
    } = potful;
    let schedule = standing.schedule;
    let mut departures = standing.departures.clone();
    // A process authority's letter is a schedule of its own; without one, the tested schedule
    // gives the minutes to what is inside it. A run that then departs, by a hot bath, keeps them
    // to show what they are worth.
    let packed_c = if is_pack { batch.filled.at_c } else { fill_c };
    let ph_high = ph_high(graph, formula, kitchen, batch);
    let letter_departures = letter::departures(&LetterCase {
        formula,
        order,
        lines,
        masses_g: one_g,
        jar: &jar_row.name,
        altitude_m: place.altitude_m,
        headspace_mm,
        fill_low_c: graph.band(packed_c).0,
        ph_high,
    });
    let letter = formula
        .letter
        .as_ref()
        .filter(|_| letter_departures.as_ref().is_some_and(Vec::is_empty));
    departures.extend(letter_departures.iter().flatten().cloned());
    let mut stays = standing.departures_that_stay();
    stays.extend(letter_departures.iter().flatten().cloned());
    let hold = match letter {
        Some(letter) => Some(graph.entered(
            &format!("letter:{}", formula.name),
            "minutes by the process authority's letter",
            Unit::Minute,
            letter.minutes,
            &letter.signer,
        )),
        None if standing.inside() => standing.band.map(|band| {
            graph.published(
                &format!("hold:{}:{:.0}", formula.name, place.altitude_m),
                "minutes at the boil",
                Unit::Minute,
                &band.minutes,
            )
        }),
        None => None,
    };

    // The bath.
    let start_limit = schedule
        .filter(|_| letter.is_none())
        .and_then(|s| s.bath_start_max_c.as_ref());
    let usual_key = if is_pack {
        "usual_bath_start_raw_c"
    } else {
        "usual_bath_start_hot_c"
    };
    let usual = reference::practice(usual_key).map(|p| p.value.clone());
    let letter_start_c = letter.and_then(|l| l.bath_start_max_c);
    let usual_start_c = start_limit
        .map(|c| c.value)
        .or(letter_start_c)
        .or_else(|| usual.as_ref().map(|c| c.value))
        .unwrap_or(place.boils_c)
        .min(place.boils_c);
    let start_key = format!("bath-start:{}", formula.name);
    let start_c = match (order.bath_start_c, start_limit, letter_start_c, &usual) {
        (Some(c), ..) => graph.entered(
            "bath-start",
            "bath when the jars go in",
            Unit::Celsius,
            c,
            "--bath-start-c",
        ),
        (None, Some(cited), ..) => {
            graph.published(&start_key, "hottest bath when the jars go in", Unit::Celsius, cited)
        }
        (None, None, Some(c), _) => {
            graph.entered(&start_key, "hottest bath by the letter", Unit::Celsius, c, "the letter")
        }
        (None, None, None, Some(cited)) if cited.value < place.boils_c => graph.published(
            &start_key,
            "bath when the jars go in, as usual for this pack",
            Unit::Celsius,
            cited,
        ),
        (None, None, None, _) => graph.entered(
            &start_key,
            "bath when the jars go in",
            Unit::Celsius,
            usual_start_c,
            "the boil here",
        ),
    };
    if let (Some(limit), Some(c)) = (start_limit, order.bath_start_c)
        && c > limit.value + BATH_START_ROUNDING_K
    {
        departures.push(format!(
            "the bath starts at {}, the schedule allows {} at most: the come-up is part of the process",
            words::temperature(c),
            words::temperature(limit.value)
        ));
    }
    if let (Some(limit), Some(_)) = (start_limit, order.bath_start_c) {
        let name = "hottest bath when the jars go in";
        let limit = graph.published(&start_key, name, Unit::Celsius, limit);
        graph.hold(start_c, Bound::AtMost, limit);
    }
    if let Some(limit) = schedule
        .filter(|_| letter.is_none())
        .and_then(|s| s.fill_min_c.as_ref())
    {
        let key = format!("fill-least:{}", formula.name);
        let limit = graph.published(&key, "coolest the food may be filled", Unit::Celsius, limit);
        graph.hold(packed_c, Bound::AtLeast, limit);
    }
    let published_come_up = schedule
        .filter(|_| letter.is_none())
        .and_then(|s| s.come_up_min.as_ref())
        .map(|c| {
            graph.published(
                &format!("come-up:{}", formula.name),
                "published come-up",
                Unit::Minute,
                c,
            )
        });
    let film = practice(graph, "bath_side_w_m2k", Unit::WattPerSquareMetreKelvin)?;
    let inside_film = practice(graph, "brine_inside_film_w_m2k", Unit::WattPerSquareMetreKelvin)?;
    let turn_min = match kitchen.times.unload_reload_s {
        // No bath: the pans are watched until the first mark of the two-stage rule.
        _ if hold.is_none() => practice(graph, "chill_attended_min", Unit::Minute)?,
        Some(s) => graph.entered(
            "own:unload",
            "unload, swap water and reload",
            Unit::Minute,
            s / 60.0,
            "kitchen file",
        ),
        None => practice(graph, "unload_reload_min", Unit::Minute)?,
    };
    let load_case = LoadCase {
        key: format!("{}:{}", formula.name, bath.name),
        jars: u32::try_from(sized.per_batch).unwrap_or(u32::MAX),
        water_l: bath.water_l,
        diameter_m: bath.diameter_m,
        vessel_kg: bath.weight_kg.unwrap_or(0.0),
        burner_w: bath_burner.power_w,
        pressure_pa: place.pressure_pa,
        boils_c: place.boils_c,
        rel_humidity: ROOM_HUMIDITY,
        conducts: !is_pack && schedule.is_none_or(|s| s.conducts),
        jar: jar.clone(),
        fill_g: batch.fill_g,
        fill_c: packed_c,
        conductivity: batch.filled.conductivity,
        density: batch.filled.density,
        heat_capacity: batch.filled.heat_capacity,
        efficiency: bath_efficiency,
        film,
        inside_film,
        room_c: place.room_c,
        start_c,
        come_up: if order
            .bath_start_c
            .is_some_and(|c| start_limit.is_some_and(|l| c > l.value + BATH_START_ROUNDING_K))
        {
            None
        } else {
            published_come_up
        },
        hold,
        rest_min: place.rest_min,
        turn_min,
        supply_c: kitchen.water_supply_c,
        next_start_c: usual_start_c,
        water_boils: place.water_boils,
    };
    let load = load_case.solve(graph)?;
    let mut load_notes = Vec::new();
    if let Some(c) = order.bath_start_c.filter(|c| *c > place.boils_c) {
        load_notes.push(format!(
            "no water is at {} here: the bath is taken at its boil, {}",
            words::fine_temperature(c),
            words::fine_temperature(place.boils_c)
        ));
    }
    come_up_notes(
        graph,
        published_come_up,
        &load,
        schedule,
        &mut load_notes,
        &mut departures,
        order.bath_start_c.is_some(),
    );

    // The physics.
    let conducts = load_case.conducts;
    let spot_target = ph_high.and_then(|ph| target(food, ph));
    let (spot, spot_case, not_computed) = match (conducts, hold, spot_target) {
        (false, ..) => (
            None,
            None,
            Some("brine convects: plan by the schedule; no dose is computed for pieces in moving liquid".to_owned()),
        ),
        (true, None, _) => (
            None,
            None,
            Some("no tested time applies, so there is no process to follow to its end".to_owned()),
        ),
        (true, Some(_), None) => (
            None,
            None,
            Some("no published target fits this acidity: it is unknown, or it may be above pH 4.6".to_owned()),
        ),
        (true, Some(hold), Some(target)) => {
            let wait = infallible(graph.compute(
                "from the pot to the bath",
                Unit::Minute,
                &FILL_TIME,
                &[filling.stir_min, counts.per_batch, filling.rate],
                |x| Ok(x[0] + x[1] / (filling.hands * x[2])),
            ));
            let published = schedule.filter(|s| s.bath_start_max_c.is_some()).and_then(|s| {
                Some(Published {
                    start_c: s.bath_start_max_c.as_ref()?.value,
                    come_up_min: s.come_up_min.as_ref()?.value,
                    minutes: s.bands.first()?.minutes.value,
                    boils_c: place.sea_level_boils_c,
                })
            });
            let share = practice(graph, "conductivity_model_share", Unit::One)?;
            let conductivity = infallible(graph.compute(
                "conductivity with the model's miss",
                Unit::WattPerMetreKelvin,
                &matter::CONDUCTIVITY,
                &[batch.filled.conductivity, share],
                |x| Ok(x[0] * x[1]),
            ));
            let case = SpotCase {
                jar: jar.clone(),
                conductivity,
                density: batch.filled.density,
                heat_capacity: batch.filled.heat_capacity,
                fill_c: packed_c,
                wait_min: wait,
                start_c,
                come_up: load.come_up,
                hold,
                film,
                top_film: practice(graph, "top_air_film_w_m2k", Unit::WattPerSquareMetreKelvin)?,
                room_c: place.room_c,
                boils: place.water_boils,
                ref_c: target.ref_c,
                z_k: target.z_k,
                published,
            };
            let spot = case.solve(graph)?;
            (Some(spot), Some(case), None)
        }
    };

    // A computed value may close a route: far less heat than the published process gives is a
    // departure, whatever brought it about.
    if letter.is_none()
        && let Some(ratio) = spot.as_ref().and_then(|s| s.heating_of_reference)
        && graph.band(ratio).1 < 1.0
    {
        let (low, high) = graph.band(ratio);
        departures.push(format!(
            "the cold spot gets {:.0} to {:.0} % of the heat that the published conditions give before the jars leave the bath",
            100.0 * low,
            100.0 * high
        ));
    }

    Ok(Through {
        departures,
        letter: letter.is_some(),
        hold,
        start_c,
        turn_min,
        load,
        notes: load_notes,
        packed_c,
        spot,
        way: Way {
            load: load_case,
            spot: spot_case,
            pot_curve: potful.cook.curve.clone(),
            least_fill_c: schedule.and_then(|s| set.schedule_case(graph).least_fill_c(s)),
            stays,
            headspace_mm,
        },
        target: spot_target,
        not_computed,
    })
}
