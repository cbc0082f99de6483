//! One formula of an order, worked through: lines, pot, batch, load, schedule, physics, rules.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_matter as matter;
use jarwright_reference::{self as reference, FoodClass, JarRow, Kind};

use crate::PlanError;
use crate::assumed::{entered_or, practice};
use crate::batching::Recipe;
use crate::bathing::LoadCase;
use crate::cautions::{CautionCase, of_formula};
use crate::cold_spot::{Published, SpotCase};
use crate::cooking::Stop;
use crate::facts::{facts, ph_high};
use crate::files::{Burner, Endpoint, Fuel, KitchenFile, Part, StoresFile, nearest};
use crate::inside::{Case, stand};
use crate::jar_fill::{self, infallible};
use crate::letter::{self, LetterCase};
use crate::lines::resolve;
use crate::mixture::Mixture;
use crate::notes::{come_up_notes, studied_size, target};
use crate::on_hand;
use crate::order::{Much, Order, Wanted};
use crate::pack::{PackLine, PackRecipe};
use crate::pots::{check_brix, choose_pot, cook_case, fill_temperature, pack_densities, stop_temperature};
use crate::routes;
use crate::sizing::{Size, size};
use crate::verdict::{Question, verdicts};
use crate::words;
use crate::worked::{Place, Work};

/// Time to fill a batch.
pub static FILL_TIME: Equation = Equation {
    key: "fill-time",
    title: "Stirring off the heat and filling a batch",
    text: "t = stir + jars / (hands x jars one person fills in a minute)",
    source: "worked_day",
};

/// Temperature the food is filled at.
pub static FILL_TEMPERATURE: Equation = Equation {
    key: "fill-temperature",
    title: "Temperature the food is filled at",
    text: "T_fill = T_stop - what it loses on the way to the jar",
    source: "common_practice",
};

/// Headspace where neither formula nor schedule gives one [mm]: half an inch.
const USUAL_HEADSPACE_MM: f64 = 12.7;

/// Rounding of a published bath temperature between the scales [K].
const BATH_START_ROUNDING_K: f64 = 0.05;

/// Hands that can fill side by side: one ladles, one wipes and caps.
const MOST_HANDS: f64 = 2.0;

/// The burner's share that reaches the food, own or by its fuel.
fn efficiency(graph: &mut Graph, burner: &Burner) -> Result<Id, PlanError> {
    if let Some(own) = burner.efficiency {
        return Ok(graph.entered(
            &format!("efficiency:{}", burner.name),
            &format!("share of the {}'s heat that reaches the pot", burner.name),
            Unit::One,
            own,
            "kitchen file",
        ));
    }
    let key = match burner.fuel {
        Fuel::Gas => "gas_efficiency",
        Fuel::Coil => "coil_efficiency",
        Fuel::Induction => "induction_efficiency",
    };
    practice(graph, key, Unit::One)
}

/// The burner of a name.
pub(crate) fn burner<'k>(kitchen: &'k KitchenFile, name: &str) -> Result<&'k Burner, PlanError> {
    kitchen.burner(name).ok_or_else(|| {
        PlanError::asked(
            format!("the kitchen has no burner \"{name}\""),
            "name one of its burners",
        )
    })
}

/// Works one formula through.
pub(crate) fn work(
    graph: &mut Graph,
    order: &Order,
    wanted: &Wanted,
    kitchen: &KitchenFile,
    stores: &StoresFile,
    place: &Place,
) -> Result<Work, PlanError> {
    let formula = &wanted.formula;
    let food = formula.food;
    let jar_row = find_jar(&wanted.jar)?;
    let lines = resolve(graph, formula, stores)?;
    let one_g: Vec<f64> = lines.iter().map(|l| graph.value(l.one_g)).collect();

    // The bath that takes most of these jars.
    let (bath, places) = kitchen
        .baths
        .iter()
        .filter_map(|b| b.holds(&jar_row.name).map(|n| (b, n as usize)))
        .max_by_key(|(_, n)| *n)
        .ok_or_else(|| {
            PlanError::asked(
                format!(
                    "no bath of {} says how many {} jars it takes",
                    kitchen.name, jar_row.name
                ),
                format!("add jars = {{ {} = N }} to a bath in the kitchen file", jar_row.name),
            )
        })?;
    let bath_burner = burner(kitchen, &bath.burner)?;

    // Headspace decides what fills a jar before the schedule is asked, so a claim helps first.
    let claimed = formula
        .schedule
        .as_ref()
        .and_then(|key| reference::schedules().iter().find(|s| s.key.eq_ignore_ascii_case(key)));
    let headspace_mm = formula
        .jar_headspace_mm
        .or_else(|| claimed.map(|s| s.headspace_in.value * words::MM_PER_INCH))
        .unwrap_or(USUAL_HEADSPACE_MM);
    let headspace = graph.entered(
        &format!("headspace:{}", formula.name),
        "headspace",
        Unit::Millimetre,
        headspace_mm,
        &formula.name,
    );
    let jar = jar_fill::jar(graph, jar_row, headspace);

    // What goes into the pot, and when.
    let is_pack = formula.pack.is_some();
    let in_food: Vec<usize> = (0..lines.len())
        .filter(|&i| lines[i].written.part != Some(Part::Soak))
        .collect();
    let rows: Vec<&reference::Ingredient> = in_food.iter().map(|&i| &lines[i].ingredient).collect();
    let mixture = Mixture::new(graph, &rows)?;
    let potted: Vec<usize> = (0..lines.len())
        .filter(|&i| {
            if is_pack {
                lines[i].written.part == Some(Part::Brine) && !lines[i].written.per_jar
            } else {
                !lines[i].written.per_jar
            }
        })
        .collect();
    if potted.is_empty() {
        return Err(PlanError::asked(
            format!("nothing of {} goes into a pot", formula.name),
            "mark the brine's lines with part = \"brine\"",
        ));
    }
    let (pot, pot_burner) = choose_pot(kitchen, &lines, formula)?;
    let efficiency_id = efficiency(graph, pot_burner)?;
    let mut case = cook_case(graph, kitchen, pot, pot_burner, place, &lines, &potted, &one_g)?;
    let physics = |what: &str| {
        let what = format!("{what} of {}", formula.name);
        move |e: matter::MatterError| PlanError::physics(what.clone(), &e)
    };
    case.stop = case
        .stop_of(formula.stop_at.as_ref().map(|s| s.at))
        .map_err(physics("the endpoint"))?;
    check_brix(formula, &case)?;
    let stop_c = stop_temperature(graph, formula, &case, place)?;
    let end_brix = match case.stop {
        Stop::Brix(brix) => brix,
        Stop::Temperature(_) | Stop::Boiled(_) | Stop::AtTheBoil => case.all_in().brix(),
    };

    // How hot the food leaves the pot, how full of pieces a packed jar is.
    let boiled = !matches!(case.stop, Stop::Temperature(_));
    let leaves_pot_c = stop_c.map_or(place.boils_c, |id| graph.value(id));
    let drop_key = if boiled { "boiled_fill_drop_k" } else { "fill_drop_k" };
    let drop_most_k = reference::practice(drop_key).map_or(0.0, |p| p.value.high);
    let pieces: Vec<usize> = (0..lines.len())
        .filter(|&i| lines[i].written.part == Some(Part::Pieces))
        .collect();
    let densities = pack_densities(&lines, &pieces, &case, graph).map_err(physics("the pack"))?;
    let pieces_share = formula.pack.as_ref().map_or(0.0, |pack| {
        1000.0 * pack.pieces_per_jar_g / densities.0 / graph.value(jar.volume_ml)
    });
    if pieces_share >= 0.95 {
        return Err(PlanError::asked(
            format!(
                "{:.0} g of pieces do not fit a {} with brine round them",
                formula.pack.as_ref().map_or(0.0, |p| p.pieces_per_jar_g),
                jar_row.name
            ),
            "fewer pieces in a jar, or a larger jar",
        ));
    }

    // Inside a schedule?
    let standing = stand(&Case {
        formula,
        food,
        lines: &lines,
        masses_g: &one_g,
        jar: &jar_row.name,
        headspace_mm,
        altitude_ft: place.altitude_m * words::FT_PER_M,
        stop_c: stop_c.map(|id| graph.value(id)),
        brix: end_brix,
        leaves_pot_c,
        boils_c: place.boils_c,
        boils_down: matches!(case.stop, Stop::Brix(_) | Stop::Boiled(_)),
        fill_drop_most_k: drop_most_k,
        pieces_share,
        pieces_share_most: reference::practice("pack_pieces_share_most").map_or(0.0, |p| p.value.value),
    })?;
    let schedule = standing.schedule;
    let mut departures = standing.departures.clone();
    let wait_max_min = schedule.and_then(|s| s.longest_wait_min.as_ref()).map_or_else(
        || {
            reference::schedules()
                .iter()
                .find_map(|s| s.longest_wait_min.as_ref())
                .map_or(15.0, |c| c.value)
        },
        |c| c.value,
    );

    // How many jars a batch may fill.
    let fill_key = if is_pack {
        "pack_jars_per_min"
    } else {
        "hand_fill_jars_per_min"
    };
    let fill_rate = entered_or(
        graph,
        fill_key,
        Unit::JarsPerMinute,
        kitchen.times.fill_jars_per_min,
        "kitchen file",
    )?;
    let hands = f64::from(kitchen.people).clamp(1.0, MOST_HANDS);
    let stir_min = if lines.iter().any(|l| l.ingredient.kind == Kind::Egg) && !is_pack {
        practice(graph, "stir_after_heat_min", Unit::Minute)?
    } else {
        graph.entered("no-stir", "stirring off the heat", Unit::Minute, 0.0, "the plan")
    };
    // At the slow end of the filling, so that the wait is kept by slow hands too. Packing raw
    // pieces is done before the brine is poured, so it does not count.
    let by_wait = if is_pack {
        places
    } else {
        ((wait_max_min - graph.value(stir_min)) * graph.band(fill_rate).0 * hands)
            .floor()
            .max(0.0) as usize
    };
    let mut most = places.min(by_wait.max(1));
    let mut bound_by = if by_wait < places {
        format!(
            "{} in the longest wait of {wait_max_min:.0} min between pot and bath",
            words::count(by_wait, "jar")
        )
    } else {
        format!("one filling of the bath, {places} jars, so that every jar meets the water hot")
    };

    let failure = entered_or(
        graph,
        "seal_failure",
        Unit::One,
        kitchen.losses.seal_failure,
        "kitchen file",
    )?;
    let correlation = practice(graph, "seal_failure_load_correlation", Unit::One)?;
    let film_mm = practice(graph, "pot_film_mm", Unit::Millimetre)?;
    let sieve_g = entered_or(
        graph,
        "sieve_keeps_g",
        Unit::Gram,
        kitchen.losses.sieve_g,
        "kitchen file",
    )?;
    let own_pot_g = kitchen
        .losses
        .pot_g
        .map(|g| graph.entered("own:pot_g", "food the pot keeps", Unit::Gram, g, "kitchen file"));
    let steam_u = practice(graph, "steam_bowl_u_w_m2k", Unit::WattPerSquareMetreKelvin)?;
    let boiling = matches!(case.stop, Stop::Brix(_) | Stop::Boiled(_));
    let fill_key = if boiling {
        "boiling_pot_fill_share"
    } else {
        "pot_fill_share"
    };
    let pot_fill_share = practice(graph, fill_key, Unit::One)?;
    let fill_c = fill_temperature(graph, formula, stop_c, &case, boiling)?;
    let masses: Vec<(Id, f64)> = potted
        .iter()
        .map(|&i| (lines[i].one_g, lines[i].written.sieved_out))
        .collect();
    let sieved =
        lines.iter().any(|l| l.written.sieved_out > 0.0) || lines.iter().any(|l| l.ingredient.kind == Kind::Egg);

    let mut notes = Vec::new();
    if let (Some(Endpoint::Temperature { c }), Stop::Brix(brix)) = (formula.stop_at.as_ref().map(|s| s.at), case.stop) {
        notes.push(format!(
            "{} is {:.1} K above the boil here and means {brix:.0} °Brix; written as \"boil + {:.0} F\" it means the same food at any height",
            words::fine_temperature(c),
            c - place.boils_c,
            1.8 * (c - place.sea_level_boils_c).max(0.0)
        ));
    }
    let fail = graph.value(failure);
    let corr = graph.value(correlation);
    let sizing = |ordered: usize, most: usize| -> Result<Size, PlanError> {
        let sized = size(ordered, most, fail, corr).map_err(|_| PlanError::CannotMeet {
            reason: format!("{ordered} jars of {} are more than one run can be", formula.name),
            would: vec![
                format!("an order of at most {} jars a run", crate::starts::MOST_JARS),
                "several runs".into(),
            ],
        })?;
        sized.ok_or_else(|| PlanError::CannotMeet {
            reason: format!(
                "a batch of {most} {} jars leaves none to sell: one is opened for its pH, one is kept",
                jar_row.name
            ),
            would: vec!["a pot and a bath that take at least 3 jars together".into()],
        })
    };
    let ordered_of = |much: &Much| -> Result<usize, PlanError> {
        match much {
            Much::Jars(0) => Err(PlanError::asked("an order of 0 jars", "give --jars 1 or more")),
            Much::Jars(n) => {
                usize::try_from(*n).map_err(|_| PlanError::asked(format!("{n} jars"), "give a smaller number"))
            }
            Much::From(_) => Ok(0),
        }
    };

    // The batch itself: a pack and a potful share everything that follows.
    let (solved, sized, from_words, all_at_once) = if let Some(pack) = &formula.pack {
        let pieces_per_jar = graph.entered(
            &format!("pieces:{}", formula.name),
            "pieces in a jar",
            Unit::Gram,
            pack.pieces_per_jar_g,
            &formula.name,
        );
        let recipe = PackRecipe {
            formula: &formula.name,
            mixture: &mixture,
            lines: lines
                .iter()
                .map(|l| PackLine {
                    one_g: l.one_g,
                    part: l.written.part,
                    per_jar: l.written.per_jar,
                    sieved_out: l.written.sieved_out,
                })
                .collect(),
            case: case.clone(),
            pieces_per_jar,
            pieces_kg_m3: densities.0,
            brine_kg_m3: densities.1,
            pieces_c: graph.value(place.room_c),
            jar_volume_ml: jar.volume_ml,
            efficiency: efficiency_id,
            steam_u,
            room_c: place.room_c,
            film_mm,
        };
        let holds = recipe.most(pot.holds_l, graph.value(pot_fill_share))?;
        let mut many = recipe.multiple_for(graph, most as f64)?;
        if many > holds {
            let by_pot = (most as f64 * holds / many).floor() as usize;
            bound_by = format!(
                "the {} takes brine for {} at most",
                pot.name,
                words::count(by_pot, "jar")
            );
            most = most.min(by_pot);
            many = holds;
        }
        let (sized, from_words) = match &wanted.much {
            Much::Jars(_) => (sizing(ordered_of(&wanted.much)?, most)?, None),
            Much::From(text) => {
                let on_hand = on_hand::multiples(text, formula, &lines, stores, graph)?;
                // Pieces are counted by the jar, brine by its multiple.
                let part = lines[on_hand.line].written.part;
                let per_jar = lines[on_hand.line].written.per_jar;
                let pieces_g: f64 = pieces.iter().map(|&i| one_g[i]).sum();
                let mut table = vec![0.0];
                for n in 1..=most {
                    table.push(match part {
                        _ if per_jar => n as f64,
                        Some(Part::Pieces) => n as f64 * pack.pieces_per_jar_g / pieces_g,
                        _ => recipe.multiple_for(graph, n as f64)?,
                    });
                }
                on_hand::most_ordered(&on_hand, most, &table, sizing)?
            }
        };
        let once = format!(
            "the brine for all {} at once would be {:.1} L; the jars are filled as the bath takes them",
            words::count(sized.started, "jar"),
            many * sized.started as f64 / most as f64 / holds * pot.holds_l * graph.value(pot_fill_share)
        );
        (recipe.batch(graph, sized.per_batch)?, sized, from_words, once)
    } else {
        let recipe = Recipe {
            formula: &formula.name,
            mixture: &mixture,
            lines: masses,
            case: case.clone(),
            pot_l: pot.holds_l,
            pot_fill_share: graph.value(pot_fill_share),
            sieved,
            jar_volume_ml: jar.volume_ml,
            fill_c,
            efficiency: efficiency_id,
            steam_u,
            room_c: place.room_c,
            film_mm,
            sieve_g,
            own_pot_g,
        };
        let holds = recipe.most()?;
        let most_by_pot = recipe.jars_of(graph, holds)?;
        // The margin of the 95 % rule costs some of the pot; a tenth is more than it takes.
        let by_pot = (most_by_pot * 0.9).floor().max(0.0) as usize;
        if by_pot < most {
            bound_by = format!(
                "the {} takes food for {} at most when {:.0} % full",
                pot.name,
                words::count(by_pot, "jar"),
                100.0 * graph.value(pot_fill_share)
            );
            most = by_pot;
        }
        let (sized, from_words) = match &wanted.much {
            Much::Jars(_) => (sizing(ordered_of(&wanted.much)?, most)?, None),
            Much::From(text) => {
                let on_hand = on_hand::multiples(text, formula, &lines, stores, graph)?;
                // Every size of batch by its own fixed point and margin; one that cannot be cooked
                // takes more than there is.
                let table: Vec<f64> = std::iter::once(0.0)
                    .chain((1..=most).map(|n| {
                        recipe
                            .batch(graph, n)
                            .map_or(f64::INFINITY, |b| graph.value(b.multiple))
                    }))
                    .collect();
                on_hand::most_ordered(&on_hand, most, &table, sizing)?
            }
        };
        let once = recipe.all_at_once(graph, sized.started);
        let batch = recipe.batch(graph, sized.per_batch)?;
        if recipe.boils_down() {
            notes.push("boiled down: the refractometer decides, not the clock".into());
        }
        (batch, sized, from_words, once)
    };
    let batch = solved;

    if sieved
        && !is_pack
        && let Some(strain) = reference::practice("hand_strain_l_per_h")
    {
        let litres = graph.value(batch.filled_g) / graph.value(batch.filled.density);
        let slow_min = 60.0 * litres / strain.value.low;
        if slow_min > wait_max_min {
            notes.push(format!(
                "straining {litres:.1} L of thick food by hand is said to take {:.0} to {slow_min:.0} min ({}): coarse sieve, four hands or smaller batches, or the {wait_max_min:.0} min between pot and bath are gone",
                60.0 * litres / strain.value.high,
                strain.value.mark.words()
            ));
        }
    }
    let pot_share = graph.value(pot_fill_share);
    if batch.volume_l > 1.02 * pot.holds_l * pot_share {
        notes.push(format!(
            "a little over {:.0} % of the {}: take care at the boil",
            100.0 * pot_share,
            pot.name
        ));
    }
    if let Some(samples) = graph.samples(batch.cook_min) {
        let never = samples.iter().filter(|s| s.is_nan()).count();
        if never > samples.len() / 20 {
            notes.push(format!(
                "in {:.0} of 100 cases, with poor steam or a weak flame, this pot would not get there: keep the steam lively and watch the thermometer",
                100.0 * never as f64 / samples.len() as f64
            ));
        }
    }
    if let Some(schedule) = schedule {
        studied_size(schedule, &batch, graph, &mut notes);
    }

    // Whether the pot ever boils at this size: a wide pan on a small flame only stands and steams.
    let cooked = case
        .cook(
            graph.value(batch.multiple),
            graph.value(efficiency_id),
            graph.value(steam_u),
            graph.value(place.room_c),
        )
        .map_err(|e| PlanError::cooking(&formula.name, &e))?;
    let simmers = matches!(case.stop, Stop::Brix(_) | Stop::Boiled(_)) && !cooked.boils;
    if simmers {
        notes.push(format!(
            "on this burner the {} steams at {} and does not boil: the thermometer never shows the stop temperature. Go by refractometer or weight, or take less food or a stronger burner",
            pot.name,
            words::temperature(cooked.end_c)
        ));
    }

    // Filling, waiting, preparing.
    let jars_id = graph.entered(
        &format!("jars-of-batch:{}:{}", formula.name, sized.per_batch as f64),
        "jars of a batch",
        Unit::Count,
        sized.per_batch as f64,
        "the plan",
    );
    let fill_min = infallible(graph.compute(
        "stir, strain and fill",
        Unit::Minute,
        &FILL_TIME,
        &[stir_min, jars_id, fill_rate],
        |x| Ok(x[0] + x[1] / (hands * x[2])),
    ));
    let prepare_min = practice(graph, "prep_min", Unit::Minute)?;
    let needs_ph = !matches!(
        food,
        FoodClass::Jam | FoodClass::Jelly | FoodClass::Marmalade | FoodClass::Syrup
    );
    let wait_h = practice(graph, if needs_ph { "ph_wait_h" } else { "seal_wait_h" }, Unit::Hour)?;

    // A process authority's letter is a schedule of its own; without one, the tested schedule
    // gives the minutes to what is inside it. A run that then departs, by a hot bath, keeps them
    // to show what they are worth.
    let packed_c = if is_pack { batch.filled.at_c } else { fill_c };
    let ph_high = ph_high(graph, formula, kitchen, &batch);
    let letter_departures = letter::departures(&LetterCase {
        formula,
        order,
        lines: &lines,
        masses_g: &one_g,
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
    let bath_efficiency = efficiency(graph, bath_burner)?;
    let film = practice(graph, "bath_side_w_m2k", Unit::WattPerSquareMetreKelvin)?;
    let inside_film = practice(graph, "brine_inside_film_w_m2k", Unit::WattPerSquareMetreKelvin)?;
    let turn_min = match kitchen.times.unload_reload_s {
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
    let (spot, not_computed) = match (conducts, hold, spot_target) {
        (false, ..) => (
            None,
            Some("brine convects: plan by the schedule; no dose is computed for pieces in moving liquid".to_owned()),
        ),
        (true, None, _) => (
            None,
            Some("no tested time applies, so there is no process to follow to its end".to_owned()),
        ),
        (true, Some(_), None) => (
            None,
            Some("no published target fits this acidity: it is unknown, or it may be above pH 4.6".to_owned()),
        ),
        (true, Some(hold), Some(target)) => {
            let wait = infallible(graph.compute(
                "from the pot to the bath",
                Unit::Minute,
                &FILL_TIME,
                &[stir_min, jars_id, fill_rate],
                |x| Ok(x[0] + x[1] / (hands * x[2])),
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
            let spot = SpotCase {
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
            }
            .solve(graph)?;
            (Some(spot), None)
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

    // The rules.
    let kinds: Vec<Kind> = lines.iter().map(|l| l.ingredient.kind).collect();
    let composition = routes::composition(graph, &batch, &lines, &potted, is_pack);
    let fruit_share = standing.fruit_share;
    let chill = routes::chill(graph, kitchen, &batch);
    // A temperature stop is what the cook reads; anything else is as hot as the balance says.
    let heated_c = match case.stop {
        Stop::Temperature(c) => c,
        Stop::Brix(_) | Stop::Boiled(_) | Stop::AtTheBoil => cooked.end_c,
    };
    let facts = facts(
        graph,
        formula,
        kitchen,
        &batch,
        &standing,
        &departures,
        &composition,
        letter.is_some(),
        &lines,
        heated_c,
        end_brix,
        chill.as_ref(),
    );
    let inside = standing.inside() && departures.is_empty();
    let day = order.now.date().to_string();
    let verdicts = verdicts(
        graph,
        &Question {
            formula: &formula.name,
            food,
            for_use: order.for_use,
            market: order.market,
            day: &day,
            facts: &facts,
        },
        |route| routes::how(route, kitchen, chill.as_ref(), sized.batches, headspace_mm),
    );
    let mut allergens: Vec<String> = Vec::new();
    for line in &lines {
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
        inside: inside || letter.is_some(),
        pack: is_pack,
        boiling_swap: hold.is_some() && graph.value(load.swap_l) > 0.0 && sized.batches > 1,
        for_use: order.for_use,
    });
    Ok(Work {
        formula: formula.clone(),
        food,
        jar_name: jar_row.name.clone(),
        lines,
        size: sized,
        failure,
        correlation,
        from_on_hand: from_words,
        pot: pot.clone(),
        burner: pot_burner.clone(),
        efficiency: efficiency_id,
        batch,
        bound_by,
        all_at_once,
        notes,
        stop: case.stop,
        stop_c,
        fill_c: packed_c,
        fill_min,
        prepare_min,
        wait_h,
        standing,
        departures,
        hold,
        turn_min,
        bath_name: bath.name.clone(),
        bath_efficiency,
        places,
        start_c,
        load,
        load_notes,
        spot,
        spot_target,
        not_computed,
        verdicts,
        cautions,
        fruit_share,
        fruit_g_per_kg: composition.fruit_g_per_kg,
        fat_g_per_kg: composition.fat_g_per_kg,
        yolk_solids_g_per_kg: composition.yolk_solids_g_per_kg,
    })
}

/// Humidity of a working kitchen (`common_practice`); evaporation hardly feels it.
pub(crate) const ROOM_HUMIDITY: f64 = 0.5;

fn find_jar(name: &str) -> Result<&'static JarRow, PlanError> {
    reference::jar(name).ok_or_else(|| {
        let names = || reference::jars().iter().map(|j| j.name.as_str());
        let near = nearest(name, names());
        let all: Vec<&str> = names().collect();
        PlanError::asked(
            format!("unknown jar \"{name}\""),
            near.map_or_else(
                || format!("one of: {}", all.join(", ")),
                |n| format!("did you mean \"{n}\"? known: {}", all.join(", ")),
            ),
        )
    })
}
