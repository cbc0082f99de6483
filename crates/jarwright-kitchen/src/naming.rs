//! Reserved names held against a food: pass or fail, by how much, and what would mend a fail.
//!
//! The rules are rows of `jarwright-reference` (`identity.rs`, `name_rule.rs`). A figure from
//! memory may fail a name; its pass is said as such. What the law sets and nobody here could
//! read is unknown, and an unknown is never a pass. Read next: `naming/mending.rs`.

mod mending;
mod said;
#[cfg(test)]
mod tests;

use jarwright_figure::{Cited, Mark};
use jarwright_reference::{self as reference, Counted, Counts, FoodClass, FruitForm, Identity, Kind, Mixed};

use crate::order::Law;
pub use mending::{Mend, Mending};
pub use said::no_name_known;

/// Share of a figure that two ways of reckoning it may differ by [-]: rounding, nothing else.
const HAIR: f64 = 1e-9;

/// What reserved names count, of one food at the stage it is sold.
///
/// The default counts nothing, and nothing passes with it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct NameFacts {
    /// Soluble solids, in % of the whole food, as a refractometer at 20 °C shows them.
    pub brix: f64,
    /// Fat and oil [g per kg].
    pub fat_g_per_kg: f64,
    /// Egg-yolk solids [g per kg].
    pub yolk_solids_g_per_kg: f64,
    /// Each fruit line: reference name and g used per kg of finished food, without stones, peel
    /// and what the sieve keeps back unless it is eaten. [`is_fruit`] tells which lines are.
    pub fruits: Vec<(String, f64)>,
    /// Fruit in fruit plus sweetener, by weight [-]; gives way to `sweetener_g_per_kg`.
    pub fruit_share: f64,
    /// Sweetener used [g per kg of finished food], where known: then the share counts the fruit
    /// that the name itself counts.
    pub sweetener_g_per_kg: Option<f64>,
    /// Ends of the °Brix's band, where known.
    pub brix_band: Option<(f64, f64)>,
    /// Ends of the fat's band [g per kg], where known.
    pub fat_band: Option<(f64, f64)>,
    /// Soluble solids [%] of single fruit lines, by their names, where measured: the US standards
    /// of jelly and fruit butter let a thin juice count for less than its weight.
    pub fruit_brix: Vec<(String, f64)>,
}

/// One reserved name held against a food.
#[derive(Debug, Clone, PartialEq)]
pub struct NameStanding {
    /// The reserved name.
    pub name: String,
    /// Whose law it is.
    pub market: Law,
    /// What it asks, one amount each.
    pub asks: Vec<Ask>,
    /// What closes the name whatever the amounts.
    pub barred: Vec<String>,
    /// What the law asks or allows beside, which no amount here tells.
    pub beyond: Vec<String>,
}

/// How a food stands to one thing asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// At or above what is asked.
    Passes,
    /// Short of it.
    Fails,
    /// The limit lies within the figure's own band.
    TooClose,
    /// The figure asked, or the one counted, is not known here.
    Unknown,
}

/// One thing a name asks.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// What is counted.
    pub counted: Counted,
    /// The same in words.
    pub what: &'static str,
    /// Unit of `got`, of the limits and of `margin`.
    pub unit: &'static str,
    /// What the food has; not a number where it could not be counted.
    pub got: f64,
    /// The least that is asked; `None` beside an `at_most` of `None`: set by law, figure not
    /// known here.
    pub at_least: Option<Cited>,
    /// The most that is allowed, where there is a most.
    pub at_most: Option<Cited>,
    /// How far inside the nearest limit, below zero when outside: `got - at_least` where there is
    /// only a least.
    pub margin: f64,
    /// How it stands.
    pub held: Held,
    /// Why it is unknown or too close to call.
    pub note: Option<String>,
    /// What would mend a fail, as amounts.
    pub mends: Vec<Mend>,
    /// What would mend a fail, in a cook's words.
    pub change: Option<String>,
}

impl NameStanding {
    /// Whether the food may bear the name by everything counted here: nothing fails, nothing is
    /// unknown, nothing is too close to call.
    #[must_use]
    pub fn bears(&self) -> bool {
        self.barred.is_empty() && !self.asks.is_empty() && self.asks.iter().all(|ask| ask.held == Held::Passes)
    }

    /// Whether the name fails and, whatever were mended, would still hang on what is not counted
    /// here: nobody who does not ask for it wants to be told of it.
    #[must_use]
    pub fn is_remote(&self) -> bool {
        self.asks.iter().any(|ask| ask.got.is_nan()) && self.asks.iter().any(|ask| ask.held == Held::Fails)
    }

    /// Whether the name stands or falls by a reading: nothing fails or is unknown, something is
    /// too close to call.
    #[must_use]
    pub fn too_close(&self) -> bool {
        let is = |held| self.asks.iter().any(|ask| ask.held == held);
        self.barred.is_empty() && is(Held::TooClose) && !is(Held::Fails) && !is(Held::Unknown)
    }
}

impl Ask {
    /// Whether a limit of it is known from memory only.
    #[must_use]
    pub fn from_memory(&self) -> bool {
        self.at_least
            .iter()
            .chain(&self.at_most)
            .any(|cited| !cited.mark.may_open())
    }
}

/// Whether a line of a formula is one of the fruits that names count in a market.
#[must_use]
pub fn is_fruit(kind: Kind, ingredient: &str, market: Law) -> bool {
    matches!(kind, Kind::AcidFruit | Kind::LowAcidFruit | Kind::AcidJuice)
        || reference::equal_to_fruit(market.market(), ingredient)
        || reference::counts_in(market.market(), CHESTNUT_PUREE, ingredient).is_some()
}

/// The one name that counts a nut.
const CHESTNUT_PUREE: &str = "sweetened chestnut puree";

/// Every reserved name of a food's class in a market on a day (`YYYY-MM-DD`), in the table's order.
///
/// A name for one fruit, such as lemon curd, only where every fruit line is of it; a name of foods
/// without a class of their own, such as mincemeat, only where its fruit is in the food. Empty =
/// no reserved name known; [`no_name_known`] says so.
#[must_use]
pub fn standings(food: FoodClass, facts: &NameFacts, market: Law, day: &str) -> Vec<NameStanding> {
    let rows: Vec<&Identity> = reference::identities()
        .iter()
        .filter(|row| row.market == market.market() && row.food == food && row.applies(day))
        .collect();
    let mut names: Vec<&str> = Vec::new();
    for row in &rows {
        if !names.contains(&row.name.as_str()) {
            names.push(&row.name);
        }
    }
    names
        .into_iter()
        .map(|name| Case {
            food,
            facts,
            market,
            day,
            name,
            rows: rows.iter().copied().filter(|row| row.name == name).collect(),
            fruits: counted_fruits(facts, market, name),
        })
        .filter(Case::concerns)
        .map(|case| case.standing())
        .collect()
}

/// The fruit lines that a name counts, as weighed [g per kg].
fn counted_fruits(facts: &NameFacts, market: Law, name: &str) -> Vec<(String, f64)> {
    let counts =
        |fruit: &str| reference::counts_in(market.market(), name, fruit).map_or(Counts::Nothing, |row| row.counts);
    let of = |how: Counts| facts.fruits.iter().filter(move |(fruit, _)| counts(fruit) == how);
    if of(Counts::Fruit).any(|(_, g)| *g > 0.0) {
        of(Counts::Fruit).cloned().collect()
    } else {
        of(Counts::FruitAlone).cloned().collect()
    }
}

/// What share of its weight a juice or pulp counts for [-]: less than 1 when it is thinner than
/// the US standard reckons with. The formula is from memory: it may take, it may not give.
fn strength(facts: &NameFacts, market: Law, name: &str, fruit: &str) -> f64 {
    let solids = facts
        .fruit_brix
        .iter()
        .find(|(own, _)| own == fruit)
        .map(|(_, brix)| *brix);
    match (market, solids, reference::us_fruit_factor(name, fruit)) {
        (Law::Us, Some(solids), Some(factor)) => (solids * factor * 0.01).min(1.0),
        _ => 1.0,
    }
}

/// One name of one food.
struct Case<'a> {
    food: FoodClass,
    facts: &'a NameFacts,
    market: Law,
    day: &'a str,
    name: &'a str,
    rows: Vec<&'a Identity>,
    /// The fruit lines that the name counts, as weighed [g per kg].
    fruits: Vec<(String, f64)>,
}

/// A figure asked of a food's fruit.
enum Asked {
    Known(Cited),
    /// Why not.
    Unknown(String),
}

impl Case<'_> {
    /// Whether the name is one for this food at all.
    fn concerns(&self) -> bool {
        let for_one_fruit = self.rows.iter().all(|row| !row.fruit.is_empty());
        let of_it = || {
            !self.facts.fruits.is_empty()
                && self
                    .facts
                    .fruits
                    .iter()
                    .all(|(fruit, _)| self.rows.iter().any(|row| row.fits(fruit).is_some()))
        };
        (!for_one_fruit || of_it()) && (self.food != FoodClass::Other || self.fruit_g() > 0.0)
    }

    fn standing(&self) -> NameStanding {
        let market = self.market.market();
        let mut counted: Vec<Counted> = Vec::new();
        for row in &self.rows {
            if !counted.contains(&row.counted) {
                counted.push(row.counted);
            }
        }
        NameStanding {
            name: self.name.to_owned(),
            market: self.market,
            asks: counted.into_iter().filter_map(|counted| self.ask(counted)).collect(),
            barred: self.barred(),
            beyond: reference::name_words(market, self.name, self.day)
                .into_iter()
                .map(|row| format!("{} ({}, {}, {})", row.says, row.source, row.place, row.mark.words()))
                .collect(),
        }
    }

    fn ask(&self, counted: Counted) -> Option<Ask> {
        let facts = self.facts;
        Some(match counted {
            Counted::Brix => self.amount(counted, "soluble solids", "°Brix", facts.brix, facts.brix_band),
            Counted::FatGPerKg => self.amount(counted, "fat", "g/kg", facts.fat_g_per_kg, facts.fat_band),
            Counted::YolkSolidsGPerKg => {
                self.amount(counted, "egg-yolk solids", "g/kg", facts.yolk_solids_g_per_kg, None)
            }
            Counted::VineFruitGPerKg => {
                let dried = |name: &str| reference::fruit_form(name) == FruitForm::Dried;
                let vine = self.fruits.iter().filter(|(name, _)| dried(name)).map(|(_, g)| g).sum();
                self.amount(counted, "vine fruit", "g/kg", vine, None)
            }
            Counted::EndocarpGPerKg => {
                let (low, high) = self.endocarp_g();
                let mut ask = self.amount(counted, "citrus flesh and juice", "g/kg", low, Some((low, high)));
                if ask.held == Held::TooClose {
                    ask.note = Some(format!(
                        "{low:.0} to {high:.0} g/kg, as much as is inside the peel: weigh flesh and juice"
                    ));
                    (ask.mends, ask.change) = (Vec::new(), None);
                }
                ask
            }
            Counted::ArtificialSweetener => {
                let mut ask = self.amount(counted, "artificial sweetener alone", "", f64::NAN, None);
                ask.note = Some(
                    "whether it is sweetened by a permitted artificial sweetener alone is not counted here".into(),
                );
                ask
            }
            Counted::FruitGPerKg => self.of_fruit(counted, "fruit", "g/kg", self.fruit_g(), 1.0),
            Counted::FruitShare => self.of_fruit(counted, "fruit in fruit and sugar", "%", 100.0 * self.share(), 100.0),
            Counted::ShareOfEachFruit => return self.least_fruit(),
            Counted::KindsOfFruit => {
                let kinds = self.kinds().len();
                if kinds < 2 {
                    return None;
                }
                self.amount(counted, "kinds of fruit", "kinds", kinds as f64, None)
            }
        })
    }

    /// An amount whose limits are the same for every fruit.
    fn amount(
        &self,
        counted: Counted,
        what: &'static str,
        unit: &'static str,
        got: f64,
        band: Option<(f64, f64)>,
    ) -> Ask {
        let row = self.rows.iter().find(|row| row.counted == counted);
        let limits = (
            row.and_then(|row| row.at_least.clone()),
            row.and_then(|row| row.at_most.clone()),
        );
        self.held(counted, what, unit, got, limits, band, None)
    }

    /// An amount of fruit, whose limit depends on the fruit; `scale` from the table's unit to `unit`.
    fn of_fruit(&self, counted: Counted, what: &'static str, unit: &'static str, got: f64, scale: f64) -> Ask {
        let (least, why) = match self.asked_of_fruit(counted) {
            Asked::Known(cited) => (Some(scaled(cited, scale)), None),
            Asked::Unknown(why) => (None, Some(why)),
        };
        self.held(counted, what, unit, got, (least, None), None, why)
    }

    /// The figure for the fruit of this food, several fruits as the law mixes them.
    fn asked_of_fruit(&self, counted: Counted) -> Asked {
        let market = self.market.market();
        if self.fruits.is_empty() {
            let row = self.rows.iter().find(|row| row.counted == counted);
            return match row.and_then(|row| row.at_least.clone()) {
                Some(cited) => Asked::Known(cited),
                None => Asked::Unknown("no fruit that the name counts is in it".into()),
            };
        }
        let mut of_each: Vec<(f64, &Cited, Mixed)> = Vec::new();
        for (fruit, g) in &self.fruits {
            let Some(row) = reference::identity(market, self.name, counted, fruit, self.day) else {
                return Asked::Unknown(format!("{fruit}: no figure for this fruit in the list of the name"));
            };
            let Some(cited) = &row.at_least else {
                return Asked::Unknown(format!(
                    "{fruit}: the law sets a figure of its own, which was not read ({}, {})",
                    row.source, row.place
                ));
            };
            of_each.push((*g, cited, row.mixed));
        }
        mixture(&of_each, self.fruit_g()).map_or_else(
            || Asked::Unknown("no fruit that the name counts is in it".into()),
            Asked::Known,
        )
    }

    /// The smallest fruit of several, where the law keeps each above a share of them.
    fn least_fruit(&self) -> Option<Ask> {
        let kinds = self.kinds();
        if kinds.len() < 2 {
            return None;
        }
        let total = self.fruit_g();
        kinds
            .iter()
            .filter_map(|(kind, g)| {
                let row = reference::identity(
                    self.market.market(),
                    self.name,
                    Counted::ShareOfEachFruit,
                    kind,
                    self.day,
                )?;
                let least = row.at_least.clone().map(|cited| scaled(cited, 100.0));
                let got = 100.0 * g / total;
                let mut ask = self.held(
                    Counted::ShareOfEachFruit,
                    "least of several fruits, in all the fruit",
                    "%",
                    got,
                    (least, None),
                    None,
                    None,
                );
                ask.note = ask.note.or(Some(format!("the least fruit is {kind}")));
                if let (Held::Fails, Some(least)) = (ask.held, &ask.at_least) {
                    let lines = self.lines();
                    ask.mends = self
                        .counts(&lines, Counted::ShareOfEachFruit)
                        .more_of(kind, *g, least.value / 100.0);
                    ask.change = mending::in_words(&ask.mends, &ask, self.food);
                }
                Some(ask)
            })
            .min_by(|a, b| a.margin.total_cmp(&b.margin))
    }

    #[expect(clippy::too_many_arguments, reason = "one call, everything an ask is made of")]
    fn held(
        &self,
        counted: Counted,
        what: &'static str,
        unit: &'static str,
        got: f64,
        (at_least, at_most): (Option<Cited>, Option<Cited>),
        band: Option<(f64, f64)>,
        unknown: Option<String>,
    ) -> Ask {
        let above = at_least.as_ref().map(|cited| got - cited.value);
        let below = at_most.as_ref().map(|cited| cited.value - got);
        let margin = match (above, below) {
            (Some(a), Some(b)) => a.min(b),
            (Some(only), None) | (None, Some(only)) => only,
            (None, None) => f64::NAN,
        };
        let limit =
            |cited: &Cited| band.is_some_and(|(low, high)| low + hair(low) < cited.value && cited.value <= high);
        let within_band = at_least.iter().any(limit)
            || at_most
                .iter()
                .any(|most| band.is_some_and(|(low, high)| low <= most.value && most.value + hair(high) < high));
        let held = if margin.is_nan() {
            Held::Unknown
        } else if within_band {
            Held::TooClose
        } else if margin < -hair(got) {
            Held::Fails
        } else {
            Held::Passes
        };
        let note = unknown.or_else(|| match (held, counted) {
            (Held::TooClose, Counted::Brix) => Some("too close to call: read it with a refractometer".into()),
            (Held::TooClose, _) => Some("too close to call: weigh it".into()),
            _ => None,
        });
        let mut ask = Ask {
            counted,
            what,
            unit,
            got,
            at_least,
            at_most,
            margin,
            held,
            note,
            mends: Vec::new(),
            change: None,
        };
        if held == Held::Fails || (held == Held::TooClose && margin < -hair(got)) {
            let lines = self.lines();
            ask.mends = self.counts(&lines, counted).mends(&ask);
            ask.change = mending::in_words(&ask.mends, &ask, self.food);
        }
        ask
    }

    /// Fruits that this name keeps apart from others.
    fn barred(&self) -> Vec<String> {
        if self.kinds().len() < 2 {
            return Vec::new();
        }
        self.fruits
            .iter()
            .filter(|(fruit, _)| reference::never_mixed(self.market.market(), self.name, fruit))
            .map(|(fruit, _)| format!("{fruit}: not beside other fruit under this name"))
            .collect()
    }

    /// Fruit that the name counts [g per kg].
    fn fruit_g(&self) -> f64 {
        self.fruits.iter().map(|(_, g)| g).sum()
    }

    /// Names of the lines counted.
    fn lines(&self) -> Vec<String> {
        self.fruits.iter().map(|(name, _)| name.clone()).collect()
    }

    /// Fruit as it stands against the sweetener [g per kg]: a thin juice for less than its weight.
    ///
    /// Without the sweetener's weight there is only the share as it was given.
    fn fruit_beside_sugar_g(&self) -> f64 {
        if self.facts.sweetener_g_per_kg.is_none() {
            return self.fruit_g();
        }
        self.fruits
            .iter()
            .map(|(fruit, g)| g * strength(self.facts, self.market, self.name, fruit))
            .sum()
    }

    /// Fruit in fruit plus sweetener [-].
    fn share(&self) -> f64 {
        match self.facts.sweetener_g_per_kg {
            Some(sweetener) if self.fruit_beside_sugar_g() + sweetener > 0.0 => {
                self.fruit_beside_sugar_g() / (self.fruit_beside_sugar_g() + sweetener)
            }
            Some(_) => 0.0,
            None => self.facts.fruit_share,
        }
    }

    /// For the arithmetic of mends.
    fn counts<'b>(&self, lines: &'b [String], counted: Counted) -> mending::Counts<'b> {
        let beside_sugar = counted == Counted::FruitShare;
        mending::Counts {
            food: self.food,
            brix: self.facts.brix,
            fruit_g: if beside_sugar {
                self.fruit_beside_sugar_g()
            } else {
                self.fruit_g()
            },
            weighed_g: self.fruit_g(),
            sweetener_g: mending::sweetener_g(self.facts, lines),
            lines,
        }
    }

    /// Kinds of fruit counted, `raspberries, frozen` with `raspberries` [g per kg].
    fn kinds(&self) -> Vec<(String, f64)> {
        let mut kinds: Vec<(String, f64)> = Vec::new();
        for (fruit, g) in self.fruits.iter().filter(|(_, g)| *g > 0.0) {
            let kind = kind_of(fruit);
            match kinds.iter_mut().find(|(known, _)| *known == kind) {
                Some((_, sum)) => *sum += g,
                None => kinds.push((kind, *g)),
            }
        }
        kinds
    }

    /// Citrus from inside the peel [g per kg]: at least juice, and whole fruit less the table's
    /// waste where that is its peel; at most juice and all of the whole fruit.
    fn endocarp_g(&self) -> (f64, f64) {
        let inside = |fruit: &str| {
            let row = reference::ingredient(fruit)?;
            let waste = row.refuse.to_lowercase();
            let of_peel = waste.contains("peel") || waste.contains("skin");
            row.refuse_pct.filter(|_| of_peel).map(|pct| 1.0 - pct / 100.0)
        };
        self.fruits
            .iter()
            .map(|(fruit, g)| match reference::fruit_form(fruit) {
                FruitForm::Juice => (*g, *g),
                FruitForm::Whole => (g * inside(fruit).unwrap_or(0.0), *g),
                _ => (0.0, 0.0),
            })
            .fold((0.0, 0.0), |sum, (low, high)| (sum.0 + low, sum.1 + high))
    }
}

/// The kind of a fruit line: the name without what follows a comma, its juice, zest or peel.
pub(crate) fn kind_of(fruit: &str) -> String {
    let kind = fruit.split(',').next().unwrap_or(fruit);
    kind.split_whitespace()
        .filter(|word| !matches!(*word, "juice" | "zest" | "peel" | "pulp" | "puree"))
        .collect::<Vec<_>>()
        .join(" ")
}

fn hair(value: f64) -> f64 {
    HAIR * value.abs().max(1.0)
}

/// The figure of several fruits as the law mixes them; the least sure mark of them all.
fn mixture(of_each: &[(f64, &Cited, Mixed)], total_g: f64) -> Option<Cited> {
    let (_, first, mixed) = *of_each.first()?;
    let alike = of_each.iter().all(|(_, cited, _)| cited == &first);
    if alike {
        return Some(first.clone());
    }
    let values = || of_each.iter().map(|(_, cited, _)| cited.value);
    let value = match mixed {
        Mixed::InProportion if total_g > 0.0 => {
            of_each.iter().map(|(g, cited, _)| g * cited.value).sum::<f64>() / total_g
        }
        Mixed::Lowest => values().fold(f64::INFINITY, f64::min),
        Mixed::InProportion | Mixed::Highest => values().fold(f64::NEG_INFINITY, f64::max),
    };
    let unsure = of_each
        .iter()
        .map(|(_, cited, _)| *cited)
        .find(|cited| !cited.mark.may_open());
    Some(Cited {
        value,
        low: value,
        high: value,
        source: first.source.clone(),
        place: format!(
            "{}, {}",
            unsure.unwrap_or(first).place,
            match mixed {
                Mixed::InProportion => "mixed fruit in proportion",
                Mixed::Lowest => "mixed fruit by the lower figure",
                Mixed::Highest => "mixed fruit, not told by the law read: by the stricter figure",
            }
        ),
        mark: unsure.map_or(first.mark, |cited| cited.mark),
    })
}

fn scaled(cited: Cited, by: f64) -> Cited {
    Cited {
        value: cited.value * by,
        low: cited.low * by,
        high: cited.high * by,
        ..cited
    }
}

/// The mark as people read it beside a pass.
pub(crate) const fn memory_words(mark: Mark) -> &'static str {
    if mark.may_open() { "" } else { ", a figure from memory" }
}
