//! The assay of one formula: everything that is known of the food at a stage, and what its bands
//! come from.
//!
//! Follow it: `setting` settles formula and kitchen as for a plan, [`assay_formula`] makes the
//! stage's [`Sample`], `assay.rs` reads its properties from one shared draw, and the causes of
//! each band are gathered by ingredient.

pub mod effects;
pub mod names;
mod sheet;

use std::collections::BTreeMap;

use jarwright_figure::{Basis, Equation, Figure, Graph, Id, Leaf, Spread, Unit};
use jarwright_matter as matter;
use jarwright_reference as reference;
use jiff::civil::DateTime;

use crate::assay::{Found, Sample, Steam, boils_at, find, read};
use crate::assumed::practice;
use crate::batching::{BATCH_LINE, COOK, KEPT_BACK, STAGE_MASS};
use crate::cooking::Stop;
use crate::facts::guard;
use crate::files::{FormulaFile, InstrumentKind, KitchenFile, Part, StoresFile};
use crate::jar_fill::infallible;
use crate::lines::Line;
use crate::order::{Law, Much, Order, Use, Wanted};
use crate::pack::brine_per_jar;
use crate::place::{Barometer, Place, place};
use crate::property::Property;
use crate::setting::{Setting, setting};
use crate::{PlanError, naming, views, words};
pub use sheet::{AskTold, AssaySheet, BoiledDown, Dominant, NameTold};

/// Values that each uncertain quantity of an assay carries.
pub const SAMPLES: usize = 256;

/// Share of a band that comes from an ingredient.
pub static BAND_SHARE: Equation = Equation {
    key: "band-share",
    title: "Share of a band that comes from one cause",
    text: "share = squared correlation of the cause's draws with the quantity's, summed over an ingredient's causes",
    source: "saltelli_2008",
};

/// Shares of a band below this are not told.
const LEAST_SHARE: f64 = 0.05;

/// Causes that are told of one band.
const MOST_CAUSES: usize = 4;

/// Stage of a food between scale and jar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum At {
    /// Everything weighed, nothing heated.
    Weighed,
    /// At the endpoint, before sieve and jar.
    Cooked,
    /// In the jar.
    Filled,
}

impl At {
    /// As written on the command line and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Cooked => "cooked",
            Self::Filled => "filled",
        }
    }
}

/// What is asked of one formula.
#[derive(Debug, Clone)]
pub struct AssayAsked {
    /// The formula.
    pub formula: FormulaFile,
    /// At which stage.
    pub at: At,
    /// Temperature of the thermal properties [°C]; the stage's own where absent.
    pub at_c: Option<f64>,
    /// A thermometer in the boiling food [°C], to be told as °Brix.
    pub thermometer_c: Option<f64>,
    /// Jar of a pack; the tested one, or the first of the bath, where absent.
    pub jar: Option<String>,
    /// Whose law reserves names.
    pub market: Law,
    /// The day, which rules of names depend on.
    pub now: DateTime,
    /// Height above sea level [m], in place of the kitchen's.
    pub altitude_m: Option<f64>,
    /// Today's barometer.
    pub barometer: Option<Barometer>,
}

/// What is read of every assay, by its key.
const READ: [(&str, Property); 12] = [
    ("brix", Property::Brix),
    ("refractometer_brix", Property::Refractometer),
    ("ph", Property::Ph),
    ("titratable_acidity", Property::TitratableAcidity),
    ("ionic_strength", Property::IonicStrength),
    ("water_activity", Property::WaterActivity),
    ("boils_at_c", Property::BoilsAt),
    ("freezes_at_c", Property::FreezesAt),
    ("density_kg_m3", Property::Density),
    ("heat_capacity_j_kgk", Property::HeatCapacity),
    ("conductivity_w_mk", Property::Conductivity),
    ("diffusivity_m2_s", Property::Diffusivity),
];

/// Parts of the food.
const PARTS: [Property; 13] = [
    Property::Water,
    Property::Sugars,
    Property::Sucrose,
    Property::GlucoseFructose,
    Property::OtherSugars,
    Property::Starch,
    Property::Fibre,
    Property::Fat,
    Property::Protein,
    Property::Salt,
    Property::Ash,
    Property::Alcohol,
    Property::Acids,
];

/// °Brix that the boiling-down table shows.
const SHOWN_BRIX: [f64; 7] = [50.0, 55.0, 60.0, 65.0, 68.0, 70.0, 72.0];

/// Assays one formula.
///
/// # Errors
/// [`PlanError`]: what was asked cannot be read, or the formula cannot be cooked in this kitchen.
pub fn assay_formula(asked: &AssayAsked, kitchen: &KitchenFile, stores: &StoresFile) -> Result<AssaySheet, PlanError> {
    assay_with(asked, kitchen, stores, SAMPLES)
}

/// Assays one formula from `samples` draws of everything uncertain; none gives no bands.
///
/// # Errors
/// Those of [`assay_formula`].
pub fn assay_with(
    asked: &AssayAsked,
    kitchen: &KitchenFile,
    stores: &StoresFile,
    samples: usize,
) -> Result<AssaySheet, PlanError> {
    let mut graph = Graph::with_samples(samples);
    let place = place(&mut graph, kitchen, asked.altitude_m, asked.barometer)?;
    let wanted = Wanted {
        formula: asked.formula.clone(),
        much: Much::Jars(1),
        jar: jar_of(asked, kitchen)?,
    };
    let order = Order {
        lines: vec![wanted.clone()],
        by: None,
        now: asked.now,
        for_use: Use::OwnUse,
        market: asked.market,
        altitude_m: asked.altitude_m,
        bath_start_c: None,
    };
    let set = setting(&mut graph, &order, &wanted, kitchen, stores, &place)?;
    let staged = staged(&mut graph, &set, asked)?;
    let staged_steam = staged.steam;
    let sample = Sample {
        mixture: &set.mixture,
        masses_g: &staged.masses_g,
        steam: staged.steam,
        inverted: staged.inverted,
        at_c: staged.at_c,
        pressure_pa: Some(place.pressure),
    };
    let properties: Vec<Property> = std::iter::once(Property::Mass)
        .chain(READ.map(|(_, property)| property))
        .chain(PARTS)
        .chain((graph.value(staged.at_c) < 0.0).then_some(Property::Ice))
        .chain(acids_in(&mut graph, &sample))
        .collect();
    let found = read(&mut graph, &sample, &properties)?;
    let mass = find(&found, Property::Mass).map_err(|cause| PlanError::Physics {
        what: format!("the assay of {}", set.formula.name),
        cause,
    })?;
    let boiled_off = (!matches!(staged.steam, Steam::Nothing)).then(|| {
        let mut inputs = vec![mass];
        inputs.extend(&staged.masses_g);
        infallible(graph.compute("boiled off", Unit::Gram, &STAGE_MASS, &inputs, |x| {
            Ok(x[1..].iter().sum::<f64>() - x[0])
        }))
    });
    let figure = |key: &str| {
        let property = READ.iter().find(|(k, _)| *k == key).map(|&(_, p)| p)?;
        find(&found, property).ok().map(|id| graph.figure(id))
    };
    let mut sheet = AssaySheet {
        formula: set.formula.name.clone(),
        food: set.food.word().into(),
        stage: asked.at.word(),
        jar: set.is_pack.then(|| set.jar_row.name.clone()),
        mass: graph.figure(mass),
        boiled_off: boiled_off.map(|id| graph.figure(id)),
        at: graph.figure(staged.at_c),
        altitude: graph.figure(place.altitude),
        air_pressure: graph.figure(place.pressure),
        water_boils: graph.figure(place.water_boils),
        ph: figure("ph"),
        ph_band: figure("ph"),
        titratable_acidity: figure("titratable_acidity"),
        water_activity: figure("water_activity"),
        ionic_strength: figure("ionic_strength"),
        boils_at_c: figure("boils_at_c"),
        freezes_at_c: figure("freezes_at_c"),
        brix: figure("brix"),
        refractometer_brix: figure("refractometer_brix"),
        frozen_share_pct: find(&found, Property::Ice).ok().map(|id| graph.figure(id)),
        density_kg_m3: figure("density_kg_m3"),
        heat_capacity_j_kgk: figure("heat_capacity_j_kgk"),
        conductivity_w_mk: figure("conductivity_w_mk"),
        diffusivity_m2_s: figure("diffusivity_m2_s"),
        composition: composition(&graph, &found),
        dominates: BTreeMap::new(),
        unknown: unknown(&found),
        boiled_down: Vec::new(),
        thermometer: None,
        names: name_standings(&mut graph, &set, asked, &staged, &found, mass),
        notes: staged.notes,
        cautions: CAUTIONS.map(str::to_owned).into(),
        quantities: BTreeMap::new(),
    };
    for (key, property) in READ {
        if let Ok(id) = find(&found, property) {
            let causes = dominant(&mut graph, &set, id);
            if !causes.is_empty() {
                sheet.dominates.insert(key, causes);
            }
        }
    }
    let boils = !matches!(set.case.stop, Stop::Temperature(_));
    if !set.is_pack {
        if boils {
            sheet.boiled_down = boiled_down(&mut graph, &set, &staged.weighed_g, &place)?;
        }
        sheet.thermometer = asked
            .thermometer_c
            .map(|c| by_thermometer(&mut graph, &set, &staged.weighed_g, &place, c))
            .transpose()?;
    } else if asked.thermometer_c.is_some() {
        return Err(PlanError::asked(
            format!(
                "{} is a pack: pieces and brine are not boiled down together",
                set.formula.name
            ),
            "ask the thermometer of a formula that is cooked in one pot",
        ));
    }
    sheet.notes.extend(grains(&graph, &found));
    sheet.notes.extend(out_of_the_light(&set, &sheet));
    if matches!(staged_steam, Steam::Grams(_) | Steam::ToBrix(_)) && holds_vinegar(&graph, &found) {
        sheet.notes.push(VINEGAR_STEAMS.into());
    }
    if sheet.names.is_empty() {
        sheet.notes.push(naming::no_name_known(set.food, asked.market));
    }
    sheet.quantities = views::reachable_from(&graph, &sheet.handles());
    Ok(sheet)
}

/// What is not modelled of a food boiled with vinegar.
pub(crate) const VINEGAR_STEAMS: &str = "some acetic acid leaves with the steam and is counted here as staying: the food \
    is then less sour, and its pH higher, than told. Measure it after the cook";

/// Whether there is acetic acid in a food.
fn holds_vinegar(graph: &Graph, found: &Found) -> bool {
    find(found, Property::OneAcid(matter::Acid::Acetic)).is_ok_and(|id| graph.value(id) > 0.05)
}

/// Where a refractometer stops the cook: what it then shows, pulp and fat being out of its light.
fn out_of_the_light(set: &Setting, sheet: &AssaySheet) -> Option<String> {
    let Stop::Brix(brix) = set.case.stop else { return None };
    let shows = sheet.refractometer_brix.as_ref()?.value;
    (sheet.boiled_off.is_some() && shows > brix + 0.2).then(|| {
        format!(
            "{brix:.1} °Brix is counted of the whole food. Pulp, fat and fibre stay out of a refractometer's light: it then \
             shows {shows:.1}, and a cook who stops when it shows {brix:.1} has less"
        )
    })
}

/// Room temperature of the shelf that a finished food is judged at for graining [°C].
const SHELF_C: f64 = 20.0;

/// That the sucrose may grain on the shelf, where there is more than water alone holds.
fn grains(graph: &Graph, found: &Found) -> Option<String> {
    let share = |property| find(found, property).ok().map(|id| graph.value(id));
    let (sucrose, water) = (share(Property::Sucrose)?, share(Property::Water)?);
    let dissolved = 100.0 * sucrose / (sucrose + water);
    let most = matter::sucrose_solubility_pct(SHELF_C).ok()?;
    (dissolved > most).then(|| {
        format!(
            "sucrose is {dissolved:.1} % of itself and water, and {most:.1} % saturates water at {}: unless some of it is split, it \
             may grain in the jar",
            words::fine_temperature(SHELF_C)
        )
    })
}

/// The reserved names of the food's class in the market today.
fn name_standings(
    graph: &mut Graph,
    set: &Setting,
    asked: &AssayAsked,
    staged: &Staged,
    found: &Found,
    mass: Id,
) -> Vec<NameTold> {
    let in_food: Vec<usize> = (0..set.lines.len())
        .filter(|&i| set.lines[i].written.part != Some(Part::Soak))
        .collect();
    let masses: Vec<f64> = staged.masses_g.iter().map(|&id| graph.value(id)).collect();
    let lines: Vec<(&Line, f64)> = in_food.iter().map(|&i| &set.lines[i]).zip(masses).collect();
    let mut facts = names::counted(&lines, graph.value(mass), asked.market);
    // Of the whole food, as the plan counts: below what a refractometer shows, never above it.
    if let Ok(id) = find(found, Property::Brix) {
        facts.brix = graph.value(id);
        facts.brix_band = Some(graph.band(id));
    }
    if let Ok(id) = find(found, Property::Fat) {
        let (low, high) = graph.band(id);
        facts.fat_g_per_kg = 10.0 * graph.value(id);
        facts.fat_band = Some((10.0 * low, 10.0 * high));
    }
    let inputs: Vec<Id> = staged.masses_g.iter().copied().chain([mass]).collect();
    naming::standings(set.food, &facts, asked.market, &asked.now.date().to_string())
        .iter()
        .filter(|standing| !standing.is_remote())
        .map(|standing| names::told(graph, standing, &inputs))
        .collect()
}

/// What is said beside every assay.
const CAUTIONS: [&str; 2] = [
    "These figures are computed: they plan and explain, and release nothing. Measure pH and °Brix of the finished food.",
    "Local law and a licensed authority decide what may be kept, sold and how it is named.",
];

/// A jar for the setting: the pack's own, else one that the bath takes.
fn jar_of(asked: &AssayAsked, kitchen: &KitchenFile) -> Result<String, PlanError> {
    if let Some(jar) = &asked.jar {
        return Ok(jar.clone());
    }
    let takes = |jar: &str| kitchen.baths.iter().any(|bath| bath.holds(jar).is_some());
    let tested = asked
        .formula
        .schedule
        .as_ref()
        .and_then(|key| reference::schedules().iter().find(|s| s.key.eq_ignore_ascii_case(key)))
        .map(|schedule| schedule.jars.clone())
        .unwrap_or_default();
    tested
        .into_iter()
        .chain(reference::jars().iter().map(|jar| jar.name.clone()))
        .find(|jar| takes(jar))
        .ok_or_else(|| {
            PlanError::asked(
                "no bath of the kitchen names a jar",
                "add jars = { half-pint = N } to a bath",
            )
        })
}

/// The food of a stage, ready to be read.
struct Staged {
    /// Of the formula once, before anything has left it.
    weighed_g: Vec<Id>,
    masses_g: Vec<Id>,
    steam: Steam,
    inverted: Option<Id>,
    at_c: Id,
    notes: Vec<String>,
}

fn staged(graph: &mut Graph, set: &Setting, asked: &AssayAsked) -> Result<Staged, PlanError> {
    let mut notes = Vec::new();
    let weighed_g = if set.is_pack {
        notes.push(format!(
            "pieces and brine of one {} taken together, as they are once they have come to equilibrium: that takes days",
            set.jar_row.name
        ));
        one_jar(graph, set)
    } else {
        set.potted.iter().map(|&i| set.lines[i].one_g).collect()
    };
    let heated = asked.at != At::Weighed;
    let steam = match set.read_brix(graph) {
        _ if !heated || set.is_pack => Steam::Nothing,
        Some(brix) => Steam::ToBrix(brix),
        None => Steam::Grams(boiled_off(graph, set)?),
    };
    let inverted = (heated && set.boils_down() && may_invert(graph, set, &weighed_g))
        .then(|| practice(graph, "inverted_share", Unit::One))
        .transpose()?;
    if inverted.is_some() {
        notes.push(
            "acid and heat split some of the sucrose: the bands of water activity, boiling and freezing point run from none split to as much as is published of a boiled jam"
                .into(),
        );
    }
    let at_c = match asked.at_c {
        Some(c) => graph.entered("asked-c", "temperature asked for", Unit::Celsius, c, "--at-c"),
        None if heated && !set.is_pack => set.fill_c,
        None => set.place.room_c,
    };
    let masses_g = if asked.at == At::Filled && !set.is_pack {
        set.potted
            .iter()
            .zip(&weighed_g)
            .map(|(&i, &mass)| {
                let share = set.lines[i].written.sieved_out;
                if share <= 0.0 {
                    return mass;
                }
                infallible(graph.compute("left of the line", Unit::Gram, &KEPT_BACK, &[mass], |x| {
                    Ok(x[0] * (1.0 - share))
                }))
            })
            .collect()
    } else {
        weighed_g.clone()
    };
    Ok(Staged {
        weighed_g,
        masses_g,
        steam,
        inverted,
        at_c,
        notes,
    })
}

/// Lines of one packed jar: its pieces, the brine that covers them, what is added to each jar.
fn one_jar(graph: &mut Graph, set: &Setting) -> Vec<Id> {
    let pieces_per_jar = graph.entered(
        &format!("pieces:{}", set.formula.name),
        "pieces in a jar",
        Unit::Gram,
        set.formula.pack.as_ref().map_or(0.0, |pack| pack.pieces_per_jar_g),
        &set.formula.name,
    );
    let brine = brine_per_jar(graph, set.jar.volume_ml, pieces_per_jar, set.densities);
    let total = |part: Part| -> f64 {
        let of_part = |i: &&usize| set.lines[**i].written.part == Some(part) && !set.lines[**i].written.per_jar;
        let all: Vec<usize> = (0..set.lines.len()).collect();
        all.iter().filter(of_part).map(|&i| set.one_g[i]).sum()
    };
    let (pieces_g, brine_g) = (total(Part::Pieces), total(Part::Brine));
    (0..set.lines.len())
        .filter(|&i| set.lines[i].written.part != Some(Part::Soak))
        .map(|i| {
            let line = &set.lines[i];
            let (whole, whole_g) = match line.written.part {
                _ if line.written.per_jar => return line.one_g,
                Some(Part::Brine) => (brine, brine_g),
                _ => (pieces_per_jar, pieces_g),
            };
            let keep = 1.0 - line.written.sieved_out;
            infallible(
                graph.compute("in the jar", Unit::Gram, &BATCH_LINE, &[whole, line.one_g], |x| {
                    Ok(x[0] * x[1] / whole_g * keep)
                }),
            )
        })
        .collect()
}

/// Water that leaves the formula once in the kitchen's own pot [g].
fn boiled_off(graph: &mut Graph, set: &Setting) -> Result<Id, PlanError> {
    let [off] = graph
        .solve_many(
            [("boiled off", Unit::Gram)],
            &COOK,
            &[set.efficiency, set.steam_u, set.place.room_c],
            |x| set.case.cook(1.0, x[0], x[1], x[2]).map(|cooked| [cooked.boiled_off_g]),
        )
        .map_err(|e| PlanError::cooking(&set.formula.name, &e))?;
    Ok(off)
}

/// Whether boiling down can split sucrose in this food: there is sucrose and acid.
fn may_invert(graph: &Graph, set: &Setting, masses_g: &[Id]) -> bool {
    let food = set.mixture.nominal(graph, masses_g);
    food.sucrose_kg > 0.01 * food.mass_kg() && food.acid_kg() > 0.0
}

/// The acids that this food holds.
fn acids_in(graph: &mut Graph, sample: &Sample) -> Vec<Property> {
    let food = sample.mixture.nominal(graph, sample.masses_g);
    matter::Acid::ALL
        .into_iter()
        .filter(|&acid| food.acid(acid) > 0.0)
        .map(Property::OneAcid)
        .collect()
}

fn composition(graph: &Graph, found: &Found) -> BTreeMap<String, Figure> {
    let part = |property: &Property| PARTS.contains(property) || matches!(property, Property::OneAcid(_));
    found
        .iter()
        .filter(|(property, _)| part(property))
        .filter_map(|(property, id)| Some((property.output().name.to_owned(), graph.figure(*id.as_ref().ok()?))))
        .collect()
}

fn unknown(found: &Found) -> BTreeMap<&'static str, String> {
    READ.iter()
        .filter_map(|&(key, property)| Some((key, find(found, property).err()?)))
        .collect()
}

/// What a quantity's band comes from, gathered by ingredient.
fn dominant(graph: &mut Graph, set: &Setting, id: Id) -> Vec<Dominant> {
    struct Group {
        what: String,
        share: f64,
        leaves: Vec<Id>,
        through: Vec<String>,
    }
    let mut groups: Vec<Group> = Vec::new();
    for cause in graph.causes(id) {
        let ingredient = set
            .lines
            .iter()
            .map(|line| &line.ingredient.name)
            .find(|name| cause.key.split(':').any(|part| part == name.as_str()));
        let what = ingredient.cloned().unwrap_or_else(|| match cause.key.as_str() {
            "practice:ph_model_miss" => "the pH model itself".into(),
            "practice:aw_model_miss" => "the water-activity model itself".into(),
            _ => cause.name.to_string(),
        });
        match groups.iter_mut().find(|group| group.what == what) {
            Some(group) => {
                group.share += cause.share;
                group.leaves.push(cause.leaf);
                group.through.push(cause.name.to_string());
            }
            None => groups.push(Group {
                what,
                share: cause.share,
                leaves: vec![cause.leaf],
                through: vec![cause.name.to_string()],
            }),
        }
    }
    // Independent draws correlate a little by chance: what adds up to more than the whole is scaled.
    let all: f64 = groups.iter().map(|group| group.share).sum();
    if all > 1.0 {
        for group in &mut groups {
            group.share /= all;
        }
    }
    groups.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.what.cmp(&b.what)));
    groups
        .into_iter()
        .filter(|group| group.share >= LEAST_SHARE)
        .take(MOST_CAUSES)
        .map(|group| {
            let mut inputs = vec![id];
            inputs.extend(&group.leaves);
            let share = graph.decide(
                "share of the band",
                Unit::Percent,
                &BAND_SHARE,
                &inputs,
                100.0 * group.share,
            );
            Dominant {
                through: told(&group.what, &group.through),
                what: group.what,
                share: graph.figure(share),
            }
        })
        .collect()
}

/// Names of an ingredient's causes, without the ingredient's own name in them.
fn told(what: &str, through: &[String]) -> Vec<String> {
    through
        .iter()
        .filter(|name| name.contains(what))
        .map(|name| {
            let short = name
                .replace(&format!(" in {what}"), "")
                .replace(&format!(" of {what}"), "");
            short.trim().trim_end_matches(',').to_owned()
        })
        .filter(|name| !name.is_empty() && name != what)
        .collect()
}

/// What a thermometer shows in the food boiled down to each °Brix that it can reach.
fn boiled_down(graph: &mut Graph, set: &Setting, masses_g: &[Id], place: &Place) -> Result<Vec<BoiledDown>, PlanError> {
    let now = set.mixture.nominal(graph, masses_g).brix();
    let own = match set.case.stop {
        Stop::Brix(brix) => Some(brix),
        Stop::Temperature(_) | Stop::Boiled(_) | Stop::AtTheBoil => None,
    };
    let mut wanted: Vec<f64> = SHOWN_BRIX.into_iter().chain(own).filter(|&brix| brix > now).collect();
    wanted.sort_by(f64::total_cmp);
    wanted.dedup();
    let inverted = may_invert(graph, set, masses_g)
        .then(|| practice(graph, "inverted_share", Unit::One))
        .transpose()?;
    let targets: Vec<Id> = wanted
        .into_iter()
        .map(|brix| {
            let key = format!("shown-brix:{brix}");
            graph.entered(&key, "soluble solids", Unit::Brix, brix, "the assay")
        })
        .collect();
    let sample = Sample {
        mixture: &set.mixture,
        masses_g,
        steam: Steam::Nothing,
        inverted,
        at_c: place.room_c,
        pressure_pa: Some(place.pressure),
    };
    let boils = boils_at(graph, &sample, &targets)?;
    Ok(targets
        .into_iter()
        .zip(boils)
        .filter_map(|(target, boils)| {
            Some(BoiledDown {
                brix: graph.figure(target),
                boils_at_c: graph.figure(boils?),
            })
        })
        .collect())
}

/// °Brix of the food boiled down until it boils at `reads_c` here.
fn by_thermometer(
    graph: &mut Graph,
    set: &Setting,
    masses_g: &[Id],
    place: &Place,
    reads_c: f64,
) -> Result<BoiledDown, PlanError> {
    let reads = graph.leaf(Leaf {
        key: "thermometer".into(),
        name: "thermometer in the boiling food".into(),
        unit: Unit::Celsius,
        value: reads_c,
        spread: Spread::Instrument {
            half_width: guard(set.formula, set.kitchen, InstrumentKind::Thermometer),
        },
        basis: Basis::Entered {
            by: "--thermometer".into(),
        },
    });
    let food = set.mixture.nominal(graph, masses_g);
    let pressure_pa = place.pressure_pa;
    let at_first_c = matter::food_boils_c(&food, pressure_pa)
        .map_err(|e| PlanError::physics(format!("the boiling point of {}", set.formula.name), &e))?;
    if reads_c < at_first_c {
        return Err(PlanError::asked(
            format!(
                "{} as weighed boils only at {} here, above the reading of {}",
                set.formula.name,
                words::fine_temperature(at_first_c),
                words::fine_temperature(reads_c)
            ),
            "read the thermometer once the food boils, held off the bottom",
        ));
    }
    let inverted = may_invert(graph, set, masses_g)
        .then(|| practice(graph, "inverted_share", Unit::One))
        .transpose()?;
    let inputs = set.mixture.inputs(masses_g);
    let mut ids = inputs.ids.clone();
    let first = ids.len();
    ids.extend([reads, place.pressure]);
    ids.extend(inverted);
    let boils = graph
        .compute(
            "soluble solids when it boils there",
            Unit::Brix,
            &matter::BRIX_AT_BOILING,
            &ids,
            |x| {
                let food = set.mixture.food(&inputs, x);
                let food = match x.get(first + 2) {
                    Some(&share) => food.inverted(share)?,
                    None => food,
                };
                matter::brix_when_boiling_at(&food, x[first], x[first + 1])
            },
        )
        .map_err(|e| PlanError::physics(format!("the °Brix of {} at that reading", set.formula.name), &e))?;
    Ok(BoiledDown {
        brix: graph.figure(boils),
        boils_at_c: graph.figure(reads),
    })
}
