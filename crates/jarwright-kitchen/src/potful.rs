//! How many jars a batch fills, and the batch that fills them: a potful, or a pot of brine for a
//! pack.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_heat::pot::Cook;
use jarwright_matter as matter;
use jarwright_reference::{self as reference, Kind};

use crate::PlanError;
use crate::assumed::{entered_or, practice};
use crate::batching::{Batch, Recipe};
use crate::cooking::Stop;
use crate::files::{Endpoint, Part};
use crate::inside::Standing;
use crate::jar_fill::infallible;
use crate::notes::studied_size;
use crate::on_hand;
use crate::order::Much;
use crate::pack::{PackLine, PackRecipe};
use crate::setting::Setting;
use crate::sizing::{Counts, Size, size};
use crate::words;

/// Time to fill a batch.
pub static FILL_TIME: Equation = Equation {
    key: "fill-time",
    title: "Stirring off the heat and filling a batch",
    text: "t = stir + jars / (hands x jars one person fills in a minute)",
    source: "worked_day",
};

/// Hands that can fill side by side: one ladles, one wipes and caps.
const MOST_HANDS: f64 = 2.0;

/// How fast jars are filled, and how many a batch may have at most.
pub(crate) struct Filling {
    pub(crate) rate: Id,
    pub(crate) hands: f64,
    pub(crate) stir_min: Id,
    pub(crate) wait_max_min: f64,
    most: usize,
    bound_by: String,
}

/// A batch with its size.
pub(crate) struct Potful {
    pub(crate) batch: Batch,
    pub(crate) size: Size,
    pub(crate) failure: Id,
    pub(crate) correlation: Id,
    pub(crate) from_on_hand: Option<String>,
    pub(crate) all_at_once: String,
    pub(crate) bound_by: String,
    pub(crate) notes: Vec<String>,
    /// The cook at the nominal values.
    pub(crate) cook: Cook,
    /// The pot steams below its boil: no thermometer shows its endpoint.
    pub(crate) simmers: bool,
    pub(crate) sieved: bool,
    pub(crate) counts: Counts,
    pub(crate) fill_min: Id,
}

/// Whether a tested time or a letter may send these jars through the bath.
fn goes_through_bath(set: &Setting, standing: &Standing) -> bool {
    standing.inside() || set.formula.letter.is_some()
}

/// How fast this kitchen fills, and what that and the bath allow a batch.
pub(crate) fn filling(graph: &mut Graph, set: &Setting, standing: &Standing) -> Result<Filling, PlanError> {
    let &Setting {
        kitchen,
        is_pack,
        places,
        ref lines,
        ..
    } = set;
    let schedule = standing.schedule;
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
        graph.entered(
            "no-stir",
            "stirring off the heat",
            Unit::Minute,
            0.0,
            "formula: nothing to stir in",
        )
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
    let most = places.min(by_wait.max(1));
    let bound_by = if by_wait < places {
        format!(
            "{} in the longest wait of {wait_max_min:.0} min between pot and bath",
            words::count(by_wait, "jar")
        )
    } else if goes_through_bath(set, standing) {
        format!("one filling of the bath, {places} jars, so that every jar meets the water hot")
    } else {
        format!("{places} jars, as many as a filling of the bath; there is no process that asks for less")
    };

    Ok(Filling {
        rate: fill_rate,
        hands,
        stir_min,
        wait_max_min,
        most,
        bound_by,
    })
}

/// Solves the batch.
pub(crate) fn potful(
    graph: &mut Graph,
    set: &Setting,
    filling: &Filling,
    standing: &Standing,
) -> Result<Potful, PlanError> {
    let &Setting {
        wanted,
        kitchen,
        stores,
        place,
        formula,
        is_pack,
        jar_row,
        pot,
        densities,
        fill_c,
        steam_u,
        ..
    } = set;
    let Setting {
        jar,
        lines,
        one_g,
        potted,
        pieces,
        mixture,
        case,
        ..
    } = set;
    let efficiency = set.efficiency;
    let schedule = standing.schedule;
    let bathed = goes_through_bath(set, standing);
    let wait_max_min = filling.wait_max_min;
    let mut most = filling.most;
    let mut bound_by = filling.bound_by.clone();
    // Without a process there is no seal that could fail: the food is kept cold.
    let failure = if bathed {
        entered_or(
            graph,
            "seal_failure",
            Unit::One,
            kitchen.losses.seal_failure,
            "kitchen file",
        )?
    } else {
        graph.entered(
            "no-seal",
            "share of jars that do not seal: none is asked to",
            Unit::One,
            0.0,
            "no process",
        )
    };
    let correlation = practice(graph, "seal_failure_load_correlation", Unit::One)?;
    let promised = match wanted.much {
        Much::Jars(jars) => {
            let key = format!("promised:{}", formula.name);
            Some(graph.entered(&key, "good jars ordered", Unit::Count, jars as f64, "--jars"))
        }
        Much::From(_) => None,
    };
    let mut counted_from = vec![failure, correlation, filling.rate, filling.stir_min];
    counted_from.extend(promised);
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
    let fill_key = if set.boils_down() {
        "boiling_pot_fill_share"
    } else {
        "pot_fill_share"
    };
    let pot_fill_share = practice(graph, fill_key, Unit::One)?;
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
            mixture,
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
            efficiency,
            steam_u,
            room_c: place.room_c,
            film_mm,
            counted_from: &counted_from,
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
                let on_hand = on_hand::multiples(text, formula, lines, stores, graph)?;
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
            mixture,
            lines: masses,
            case: case.clone(),
            pot_l: pot.holds_l,
            pot_fill_share: graph.value(pot_fill_share),
            sieved,
            jar_volume_ml: jar.volume_ml,
            fill_c,
            efficiency,
            steam_u,
            room_c: place.room_c,
            film_mm,
            sieve_g,
            own_pot_g,
            read_brix: set.read_brix(graph),
            counted_from: &counted_from,
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
                let on_hand = on_hand::multiples(text, formula, lines, stores, graph)?;
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
            if case.all_in().acid(matter::Acid::Acetic) > 0.0 {
                notes.push(crate::assaying::VINEGAR_STEAMS.into());
            }
        }
        (batch, sized, from_words, once)
    };
    let batch = solved;

    if sieved
        && !is_pack
        && bathed
        && let Some(strain) = reference::practice("hand_strain_l_per_h")
    {
        let litres = graph.value(batch.filled_g) / graph.value(batch.filled.density);
        let slow_min = 60.0 * litres / strain.value.low;
        if slow_min > wait_max_min {
            notes.push(format!(
                "straining {litres:.1} L of thick food by hand is said to take {:.0} to {slow_min:.0} min ({}): the plan's filling time takes a coarse sieve and four hands; else cook smaller batches, or the {wait_max_min:.0} min between pot and bath are gone",
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
    let cook = case
        .followed(
            graph.value(batch.multiple),
            graph.value(efficiency),
            graph.value(steam_u),
            graph.value(place.room_c),
        )
        .map_err(|e| PlanError::cooking(&formula.name, &e))?;
    let simmers = matches!(case.stop, Stop::Brix(_) | Stop::Boiled(_)) && !cook.boils;
    if simmers {
        notes.push(format!(
            "on this burner the {} steams at {} and does not boil: the thermometer never shows the stop temperature. Go by refractometer or weight, or take less food or a stronger burner",
            pot.name,
            words::temperature(cook.end_c)
        ));
    }

    // Filling, waiting, preparing.
    let counts = sized.counts(graph, &formula.name, promised, &counted_from);
    let fill_min = infallible(graph.compute(
        "stir, strain and fill",
        Unit::Minute,
        &FILL_TIME,
        &[filling.stir_min, counts.per_batch, filling.rate],
        |x| Ok(x[0] + x[1] / (filling.hands * x[2])),
    ));
    Ok(Potful {
        batch,
        size: sized,
        failure,
        correlation,
        from_on_hand: from_words,
        all_at_once,
        bound_by,
        notes,
        cook,
        simmers,
        sieved,
        counts,
        fill_min,
    })
}
