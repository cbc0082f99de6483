//! What to buy for the whole run, and what is left over.

use std::collections::BTreeMap;

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_reference as reference;

use crate::files::{KitchenFile, StoresFile, StoresItem};
use crate::jar_fill::infallible;
use crate::packs::{self, Offer};
use crate::plan::BuyLine;
use crate::worked::Work;

/// As purchased from edible portion.
pub static AS_PURCHASED: Equation = Equation {
    key: "as-purchased",
    title: "Mass as purchased",
    text: "AP = EP / yield",
    source: "bccampus_kitchen_management",
};

/// Need of a whole from the need of its part.
pub static WHOLE_FOR_PART: Equation = Equation {
    key: "whole-for-part",
    title: "Wholes to buy for a part",
    text: "n = ceil(part needed / part of one whole)",
    source: "usda_sr28",
};

/// Sum of a need over batches and formulas.
pub static NEED: Equation = Equation {
    key: "need",
    title: "Mass needed for the run",
    text: "m = sum over formulas of batches x mass of the line",
    source: "mass_balance",
};

/// What is not there yet.
pub static TO_BUY: Equation = Equation {
    key: "to-buy",
    title: "Still to buy",
    text: "m = max(0, as purchased at the high end of its band - on hand); 0 for water from the tap",
    source: "mass_balance",
};

/// Jars of one size.
pub static JARS_NEEDED: Equation = Equation {
    key: "jars-needed",
    title: "Jars and lids of one size for the run",
    text: "n = sum over formulas of jars started in this size",
    source: "arithmetic",
};

/// Price of the jars to buy.
pub static JARS_PRICE: Equation = Equation {
    key: "jars-price",
    title: "Price of the jars and lids to buy",
    text: "price = max(0, needed - on hand) x (jar + lid)",
    source: "arithmetic",
};

/// Left over.
pub static LEFT_OVER: Equation = Equation {
    key: "left-over",
    title: "Left over after the run",
    text: "left = on hand + bought - as purchased",
    source: "mass_balance",
};

/// Price of the packs.
pub static PACKS_PRICE: Equation = Equation {
    key: "packs-price",
    title: "Price of the packs to buy",
    text: "least sum of n_i price_i with sum n_i pack_i >= need",
    source: "cheapest_cover",
};

/// What a run needs, by ingredient name.
pub(crate) type Needs = BTreeMap<String, Vec<Id>>;

/// Adds what a formula's batches need of each ingredient.
pub(crate) fn add_needs(graph: &mut Graph, work: &Work, needs: &mut Needs) {
    let batches = work.counts.batches;
    for (line, mass) in work.in_batch() {
        let need = infallible(
            graph.compute("needed for the run", Unit::Gram, &NEED, &[batches, mass], |x| {
                Ok(x[0] * x[1])
            }),
        );
        needs.entry(line.ingredient.name.clone()).or_default().push(need);
    }
}

/// Unit cost of an ingredient's edible gram, when it is priced.
pub(crate) fn price_per_g(stores: &StoresFile, name: &str) -> Option<f64> {
    // What the stores sell as such is priced as such.
    let sold_itself = stores
        .items
        .iter()
        .any(|item| item.ingredient.eq_ignore_ascii_case(name));
    let (bought, part_g) = if sold_itself {
        (name.to_owned(), None)
    } else {
        as_bought(name)
    };
    let item = stores.item(&bought)?;
    let pack_g = pack_g(item)?;
    let yield_ = trim_yield(item);
    let per_g = item.price.units() / (pack_g * yield_);
    // A part carries the price of its whole; what else the whole leaves is counted as left over.
    Some(match part_g {
        Some((whole_g, part_g)) => per_g * whole_g / part_g,
        None => per_g,
    })
}

/// The name an ingredient is bought under; for a part, the whole's and the part's mass [g].
fn as_bought(name: &str) -> (String, Option<(f64, f64)>) {
    match reference::splits().iter().find(|s| s.part.eq_ignore_ascii_case(name)) {
        Some(split) => {
            let left: f64 = split.leaves.iter().map(|(_, g)| g).sum();
            let part = split.part_g_per_whole.value;
            (split.whole.clone(), Some((part + left, part)))
        }
        None => (name.to_owned(), None),
    }
}

fn pack_g(item: &StoresItem) -> Option<f64> {
    item.pack
        .weigh(&item.weights(), reference::CupSystem::default())
        .ok()
        .filter(|g| *g > 0.0)
}

/// Share of what is bought that is used: the kitchen's own, else the table's refuse, where the
/// pack is weighed whole. A pack counted in pieces is already edible mass.
fn trim_yield(item: &StoresItem) -> f64 {
    if let Some(own) = item.trim_yield {
        return own;
    }
    let counted = matches!(item.pack.unit, crate::files::AmountUnit::Piece(_));
    let refuse = reference::ingredient(&item.ingredient)
        .and_then(|row| row.refuse_pct)
        .unwrap_or(0.0);
    if counted { 1.0 } else { (1.0 - refuse / 100.0).max(0.01) }
}

/// The buying list.
pub(crate) fn list(graph: &mut Graph, needs: &Needs, stores: &StoresFile) -> Vec<BuyLine> {
    // Parts are bought as wholes; parts of one whole share it, so the larger count governs.
    let mut direct: BTreeMap<String, Vec<Id>> = BTreeMap::new();
    let mut wholes: BTreeMap<String, Vec<(String, Id, f64, f64)>> = BTreeMap::new();
    for (name, ids) in needs {
        let need = sum(graph, name, ids);
        match reference::splits().iter().find(|s| s.part.eq_ignore_ascii_case(name)) {
            // What the stores sell as such is bought as such.
            Some(_) if stores.items.iter().any(|i| i.ingredient.eq_ignore_ascii_case(name)) => {
                direct.entry(name.clone()).or_default().push(need);
            }
            Some(split) => {
                let part_id = graph.published(
                    &format!("split:{}", split.part),
                    &format!("{} of one {}", split.part, split.whole),
                    Unit::Gram,
                    &split.part_g_per_whole,
                );
                let count = infallible(graph.compute(
                    &format!("{} for the {}", split.whole, split.part),
                    Unit::Count,
                    &WHOLE_FOR_PART,
                    &[need, part_id],
                    |x| Ok((x[0] / x[1] - 1e-9).ceil()),
                ));
                let left: f64 = split.leaves.iter().map(|(_, g)| g).sum();
                wholes.entry(split.whole.clone()).or_default().push((
                    name.clone(),
                    count,
                    split.part_g_per_whole.value + left,
                    split.part_g_per_whole.value,
                ));
            }
            None => direct.entry(name.clone()).or_default().push(need),
        }
    }
    let mut notes: BTreeMap<String, (Vec<String>, String)> = BTreeMap::new();
    for (whole, parts) in wholes {
        // One whole serves different parts; the part that needs most sets the count.
        let Some(&(ref most, count, whole_g, _)) = parts
            .iter()
            .max_by(|a, b| graph.value(a.1).total_cmp(&graph.value(b.1)))
        else {
            continue;
        };
        let mass = infallible(graph.compute(
            &format!("{whole} for {most}"),
            Unit::Gram,
            &WHOLE_FOR_PART,
            &[count],
            |x| Ok(x[0] * whole_g),
        ));
        let many = graph.value(count);
        let mut left = Vec::new();
        for split in reference::splits()
            .iter()
            .filter(|s| s.whole == whole && parts.iter().any(|p| p.0.eq_ignore_ascii_case(&s.part)))
            .take(1)
        {
            for (name, g) in &split.leaves {
                let used: f64 = parts
                    .iter()
                    .filter(|p| p.0.eq_ignore_ascii_case(name))
                    .map(|p| graph.value(p.1) * p.3)
                    .sum();
                let rest = many * g - used;
                if rest > 1.0 {
                    left.push(format!("{rest:.0} g {name} of {many:.0} {}", plural(&whole)));
                }
            }
        }
        let serves: Vec<&str> = parts.iter().map(|p| p.0.as_str()).collect();
        notes.insert(
            whole.clone(),
            (left, format!("{many:.0} of them for the {}", serves.join(" and "))),
        );
        direct.entry(whole).or_default().push(mass);
    }
    direct
        .into_iter()
        .map(|(name, ids)| {
            let need = sum(graph, &name, &ids);
            let (also_left, note) = notes.remove(&name).unwrap_or_default();
            line(graph, &name, need, stores, also_left, note)
        })
        .collect()
}

fn plural(whole: &str) -> String {
    match whole.split_once(',') {
        Some((noun, _)) => format!("{noun}s"),
        None => format!("{whole}s"),
    }
}

fn sum(graph: &mut Graph, name: &str, ids: &[Id]) -> Id {
    if let [one] = ids {
        return *one;
    }
    infallible(
        graph.compute(&format!("{name} for the run"), Unit::Gram, &NEED, ids, |x| {
            Ok(x.iter().sum())
        }),
    )
}

fn line(graph: &mut Graph, name: &str, need: Id, stores: &StoresFile, also_left: Vec<String>, note: String) -> BuyLine {
    let known = reference::ingredient(name).map(|row| row.name.clone());
    let same = |item: &&StoresItem| {
        item.ingredient.eq_ignore_ascii_case(name)
            || (item.own.is_none()
                && known.is_some()
                && reference::ingredient(&item.ingredient).map(|row| row.name.clone()) == known)
    };
    let items: Vec<&StoresItem> = stores.items.iter().filter(same).collect();
    let first = items.first().copied();
    let trim = graph.entered(
        &format!("trim:{name}"),
        &format!("share of {name} that is used"),
        Unit::One,
        first.map_or(1.0, trim_yield),
        "stores file, or the table's refuse",
    );
    let as_purchased = infallible(
        graph.compute("as purchased", Unit::Gram, &AS_PURCHASED, &[need, trim], |x| {
            Ok(x[0] / x[1])
        }),
    );
    let on_hand_g = items
        .iter()
        .filter_map(|item| {
            item.on_hand
                .as_ref()?
                .weigh(&item.weights(), reference::CupSystem::default())
                .ok()
        })
        .sum::<f64>();
    let on_hand = graph.entered(
        &format!("on-hand:{name}"),
        &format!("{name} on hand"),
        Unit::Gram,
        on_hand_g,
        "stores file",
    );
    // Bought for the high end of the need: the run must not stop for a missing spoonful.
    let to_buy_g = if is_water(name) && items.is_empty() {
        0.0
    } else {
        (graph.band(as_purchased).1 - on_hand_g).max(0.0)
    };
    let to_buy = graph.decide("still to buy", Unit::Gram, &TO_BUY, &[as_purchased, on_hand], to_buy_g);
    let offers: Vec<(Offer, &StoresItem)> = items
        .iter()
        .filter_map(|item| {
            Some((
                Offer {
                    grams: pack_g(item)?,
                    price: item.price.units(),
                },
                *item,
            ))
        })
        .collect();
    let plain: Vec<Offer> = offers.iter().map(|o| o.0).collect();
    let basket = packs::cheapest(to_buy_g, &plain);
    let bought_g = basket.as_ref().map_or(0.0, |b| b.grams);
    let bought = graph.decide(
        &format!("{name} in the packs"),
        Unit::Gram,
        &PACKS_PRICE,
        &[to_buy],
        bought_g,
    );
    let left_over = infallible(graph.compute(
        "left over",
        Unit::Gram,
        &LEFT_OVER,
        &[on_hand, bought, as_purchased],
        |x| Ok((x[0] + x[1] - x[2]).max(0.0)),
    ));
    let price = basket.as_ref().map(|b| {
        let id = graph.decide("price of the packs", Unit::Money, &PACKS_PRICE, &[to_buy], b.price);
        graph.figure(id)
    });
    let packs = basket.as_ref().map_or_else(Vec::new, |b| {
        b.counts
            .iter()
            .zip(&offers)
            .filter(|(n, _)| **n > 0)
            .map(|(n, (_, item))| format!("{n} x {}", item.pack))
            .collect()
    });
    let note = if note.is_empty() { None } else { Some(note) };
    let note = match (&note, to_buy_g > 0.0 && items.is_empty()) {
        (_, false) if is_water(name) && items.is_empty() => Some("from the tap".into()),
        (Some(note), true) => Some(format!("{note}; no pack in the stores file")),
        (None, true) => Some("no pack in the stores file".into()),
        (_, false) => note,
    };
    BuyLine {
        ingredient: name.to_owned(),
        needed: graph.figure(need),
        as_purchased: graph.figure(as_purchased),
        on_hand: graph.figure(on_hand),
        to_buy: graph.figure(to_buy),
        packs,
        price,
        left_over: graph.figure(left_over),
        also_left,
        note,
    }
}

/// Jars and lids, one line a size, for the jars started.
pub(crate) fn jars(graph: &mut Graph, works: &[Work], kitchen: &KitchenFile) -> Vec<BuyLine> {
    let mut sizes: BTreeMap<&str, Vec<Id>> = BTreeMap::new();
    for work in works {
        sizes.entry(&work.jar_name).or_default().push(work.counts.started);
    }
    sizes
        .into_iter()
        .map(|(size, started)| jar_line(graph, size, &started, kitchen))
        .collect()
}

fn jar_line(graph: &mut Graph, size: &str, started: &[Id], kitchen: &KitchenFile) -> BuyLine {
    let stock = kitchen
        .jars
        .iter()
        .find(|j| reference::jar(&j.size).is_some_and(|row| row.name == size));
    let needed = infallible(graph.compute(
        &format!("{size} jars and lids"),
        Unit::Count,
        &JARS_NEEDED,
        started,
        |x| Ok(x.iter().sum()),
    ));
    let there = stock.and_then(|j| j.on_hand).map_or(0.0, f64::from);
    let on_hand = graph.entered(
        &format!("jars-on-hand:{size}"),
        &format!("{size} jars on hand"),
        Unit::Count,
        there,
        "kitchen file",
    );
    let to_buy = infallible(
        graph.compute("jars and lids to buy", Unit::Count, &TO_BUY, &[needed, on_hand], |x| {
            Ok((x[0] - x[1]).max(0.0))
        }),
    );
    let left_over = infallible(graph.compute(
        "jars left over",
        Unit::Count,
        &LEFT_OVER,
        &[on_hand, to_buy, needed],
        |x| Ok((x[0] + x[1] - x[2]).max(0.0)),
    ));
    let price = stock.map(|j| {
        let one = graph.entered(
            &format!("jar-price:{size}"),
            "jar and lid",
            Unit::Money,
            j.price.units() + j.lid_price.units(),
            "kitchen file",
        );
        let all = infallible(graph.compute(
            "price of the jars and lids",
            Unit::Money,
            &JARS_PRICE,
            &[to_buy, one],
            |x| Ok(x[0] * x[1]),
        ));
        graph.figure(all)
    });
    let more = graph.value(to_buy);
    let note = match stock {
        None => "no price in the kitchen file",
        Some(stock) if stock.on_hand.is_none() => {
            "the kitchen file does not say how many are on hand: none are counted"
        }
        Some(_) => "jars on hand are counted with their lids; a lid seals once, so count the new ones",
    };
    BuyLine {
        ingredient: format!("{size} jar and lid"),
        needed: graph.figure(needed),
        as_purchased: graph.figure(needed),
        on_hand: graph.figure(on_hand),
        to_buy: graph.figure(to_buy),
        packs: if more > 0.0 {
            vec![format!("{more:.0} jars and lids")]
        } else {
            Vec::new()
        },
        price,
        left_over: graph.figure(left_over),
        also_left: Vec::new(),
        note: Some(note.into()),
    }
}

fn is_water(name: &str) -> bool {
    reference::ingredient(name).is_some_and(|row| row.kind == reference::Kind::Water)
}
