//! What would mend a food that falls short of a name: amounts that pass when applied.

use std::fmt::Write;

use jarwright_reference::{self as reference, Counted, FoodClass};

use super::{Ask, NameFacts, kind_of};

/// What is done to the food.
#[derive(Debug, Clone, PartialEq)]
pub enum Mending {
    /// More of the fruit there is, cooked down to the same weight.
    MoreFruit,
    /// More of one fruit of several, cooked down to the same weight.
    MoreOf(String),
    /// Fruit stirred in, nothing cooked away.
    FruitStirredIn,
    /// Dried vine fruit stirred in, nothing cooked away.
    VineFruitStirredIn,
    /// Less sugar, cooked to the same °Brix.
    LessSugar,
    /// Water boiled off.
    BoilOff,
    /// Water left in.
    LeaveWater,
    /// Sugar stirred in, nothing cooked away.
    MoreSugar,
    /// Pure fat stirred in.
    MoreFat,
    /// Raw egg yolk stirred in, by whole yolks.
    MoreYolk,
}

/// One thing that would mend a fail.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What is done.
    pub what: Mending,
    /// How much of it for each kg of food made now [g], rounded up as a scale reads it.
    pub g_per_kg: f64,
    /// The fruit lines that the name counts.
    pub fruit: Vec<String>,
}

impl Mend {
    /// The food after the mend, again by the kg.
    ///
    /// Mass balance: what is stirred in makes the food more, what is boiled off less; `MoreFruit`
    /// and `MoreOf` end at the same weight, so that the °Brix counted does not fall.
    #[must_use]
    pub fn applied(&self, facts: &NameFacts) -> NameFacts {
        let g = self.g_per_kg;
        let mut after = facts.clone();
        let mut sugar = sweetener_g(facts, &self.fruit);
        let mut made = 1000.0;
        match &self.what {
            Mending::MoreFruit => self.add_fruit(&mut after, |_| true),
            Mending::MoreOf(kind) => self.add_fruit(&mut after, |name| kind_of(name) == *kind),
            Mending::FruitStirredIn => {
                self.add_fruit(&mut after, |_| true);
                made += g;
            }
            Mending::VineFruitStirredIn => {
                self.add_fruit(&mut after, |name| {
                    reference::fruit_form(name) == reference::FruitForm::Dried
                });
                made += g;
            }
            Mending::LessSugar => {
                sugar = sugar.map(|all| all - g);
                made -= 100.0 * g / facts.brix;
                // Less soluble solids in less food: the same °Brix.
                after.brix *= made / 1000.0;
            }
            Mending::BoilOff => made -= g,
            Mending::LeaveWater => made += g,
            Mending::MoreSugar => {
                sugar = sugar.map(|all| all + g);
                made += g;
                after.brix += g / 10.0;
            }
            Mending::MoreFat => {
                made += g;
                after.fat_g_per_kg += g;
            }
            Mending::MoreYolk => {
                made += g;
                after.yolk_solids_g_per_kg += g * yolk_solids_share();
            }
        }
        let of_a_kg = 1000.0 / made;
        after.brix *= of_a_kg;
        after.fat_g_per_kg *= of_a_kg;
        after.yolk_solids_g_per_kg *= of_a_kg;
        for (_, fruit) in &mut after.fruits {
            *fruit *= of_a_kg;
        }
        if let Some(sugar) = sugar {
            let fruit = fruit_g(&after, &self.fruit);
            after.sweetener_g_per_kg = facts.sweetener_g_per_kg.map(|_| sugar * of_a_kg);
            after.fruit_share = fruit / (fruit + sugar * of_a_kg);
        }
        // Bands belong to what was read of the food as it was.
        after.brix_band = None;
        after.fat_band = None;
        after
    }

    /// Adds the fruit to the lines counted that `is` picks, in proportion to what there is of them.
    fn add_fruit(&self, facts: &mut NameFacts, is: impl Fn(&str) -> bool) {
        let picked = |name: &String| self.fruit.contains(name) && is(name);
        let there: f64 = facts
            .fruits
            .iter()
            .filter(|(name, _)| picked(name))
            .map(|(_, g)| g)
            .sum();
        if there > 0.0 {
            for (_, own) in facts.fruits.iter_mut().filter(|(name, _)| picked(name)) {
                *own *= 1.0 + self.g_per_kg / there;
            }
        }
    }
}

/// Fruit of the lines named [g per kg], as weighed.
pub(super) fn fruit_g(facts: &NameFacts, counted: &[String]) -> f64 {
    let lines = facts.fruits.iter().filter(|(name, _)| counted.contains(name));
    lines.map(|(_, g)| g).sum()
}

/// Sweetener [g per kg]: given, or by the share and the fruit of the lines named.
pub(super) fn sweetener_g(facts: &NameFacts, counted: &[String]) -> Option<f64> {
    let share = facts.fruit_share;
    facts
        .sweetener_g_per_kg
        .or_else(|| (share > 0.0 && share <= 1.0).then(|| fruit_g(facts, counted) * (1.0 - share) / share))
}

/// Rounded up to what a kitchen scale shows: tenths of a gram below 10 g, else whole grams.
fn on_a_scale(g: f64) -> f64 {
    // What is a whole number but for rounding stays one.
    let up = |g: f64| (g - 1e-7).ceil();
    if g < 10.0 { up(10.0 * g) / 10.0 } else { up(g) }
}

/// The food as a name counts it, for the arithmetic of its mends.
pub(super) struct Counts<'a> {
    pub(super) food: FoodClass,
    pub(super) brix: f64,
    /// Fruit, a thin juice for less than its weight [g per kg].
    pub(super) fruit_g: f64,
    /// The same as weighed [g per kg].
    pub(super) weighed_g: f64,
    pub(super) sweetener_g: Option<f64>,
    pub(super) lines: &'a [String],
}

impl Counts<'_> {
    fn mend(&self, what: Mending, g_per_kg: f64) -> Option<Mend> {
        (g_per_kg.is_finite() && g_per_kg > 0.0).then(|| Mend {
            what,
            g_per_kg: on_a_scale(g_per_kg),
            fruit: self.lines.to_vec(),
        })
    }

    /// More fruit, so that `g` more counts.
    fn more_fruit(&self, what: Mending, g: f64) -> Option<Mend> {
        // None to have more of: the cook is told what is asked, not how much more.
        (self.fruit_g > 0.0)
            .then(|| self.mend(what, g * self.weighed_g / self.fruit_g))
            .flatten()
    }

    /// Less sugar, where so much of it is in the food, in the sugar and in what is dissolved.
    fn less_sugar(&self, g: f64) -> Option<Mend> {
        let there = self.sweetener_g.unwrap_or(0.0).min(10.0 * self.brix);
        self.mend(Mending::LessSugar, g).filter(|mend| mend.g_per_kg < there)
    }

    /// More of one fruit of several, for its least share of them [-].
    pub(super) fn more_of(&self, kind: &str, of_it_g: f64, least: f64) -> Vec<Mend> {
        let g = (least * self.fruit_g - of_it_g) / (1.0 - least);
        self.mend(Mending::MoreOf(kind.to_owned()), g).into_iter().collect()
    }

    /// What would mend one ask that fails.
    pub(super) fn mends(&self, ask: &Ask) -> Vec<Mend> {
        if let Some(most) = ask.at_most.as_ref().filter(|most| ask.got > most.value) {
            let less = (ask.counted == Counted::Brix)
                .then(|| self.mend(Mending::LeaveWater, 1000.0 * (self.brix / most.value - 1.0)));
            return less.flatten().into_iter().collect();
        }
        let Some(least) = ask.at_least.as_ref().map(|cited| cited.value) else {
            return Vec::new();
        };
        let short = least - ask.got;
        // What is stirred in makes the food more than a kilogram, and must fill that too.
        let stirred = 1000.0 * short / (1000.0 - least);
        let cooked = !matches!(self.food, FoodClass::Curd | FoodClass::Other);
        match ask.counted {
            Counted::FruitGPerKg if cooked => vec![
                self.more_fruit(Mending::MoreFruit, short),
                self.less_sugar((1000.0 - 1000.0 * self.fruit_g / least) * self.brix / 100.0),
            ],
            Counted::FruitGPerKg => vec![self.more_fruit(Mending::FruitStirredIn, stirred)],
            Counted::VineFruitGPerKg => vec![
                (ask.got > 0.0)
                    .then(|| self.mend(Mending::VineFruitStirredIn, stirred))
                    .flatten(),
            ],
            Counted::FruitShare => {
                let least = least / 100.0;
                self.sweetener_g.map_or_else(Vec::new, |sugar| {
                    vec![
                        self.more_fruit(Mending::MoreFruit, least * sugar / (1.0 - least) - self.fruit_g),
                        self.less_sugar(sugar - self.fruit_g * (1.0 - least) / least),
                    ]
                })
            }
            Counted::Brix if cooked => vec![self.mend(Mending::BoilOff, 1000.0 * (1.0 - self.brix / least))],
            Counted::Brix => vec![self.mend(Mending::MoreSugar, 1000.0 * short / (100.0 - least))],
            Counted::FatGPerKg => vec![self.mend(Mending::MoreFat, stirred)],
            Counted::YolkSolidsGPerKg => {
                let yolk = yolk_g();
                let raw = short / (yolk_solids_share() - least / 1000.0);
                vec![self.mend(Mending::MoreYolk, (raw / yolk).ceil() * yolk)]
            }
            Counted::EndocarpGPerKg => vec![self.more_fruit(Mending::MoreFruit, short * self.fruit_g / ask.got)],
            Counted::ShareOfEachFruit | Counted::KindsOfFruit | Counted::ArtificialSweetener => Vec::new(),
        }
        .into_iter()
        .flatten()
        .collect()
    }
}

/// The mends in a cook's words, joined by "or".
pub(super) fn in_words(mends: &[Mend], ask: &Ask, food: FoodClass) -> Option<String> {
    let mut said = String::new();
    for mend in mends {
        if !said.is_empty() {
            said.push_str(", or ");
        }
        said.push_str(&one_in_words(mend, ask, food));
    }
    (!said.is_empty()).then_some(said)
}

fn one_in_words(mend: &Mend, ask: &Ask, food: FoodClass) -> String {
    let g = grams(mend.g_per_kg);
    let to = |limit: &Option<jarwright_figure::Cited>| {
        limit
            .as_ref()
            .map_or_else(String::new, |cited| format!("{:.0} °Brix", cited.value))
    };
    match &mend.what {
        Mending::MoreFruit => format!("{g} more fruit for each kg made, cooked down to the same weight"),
        Mending::MoreOf(kind) => format!("{g} more {kind} for each kg made, cooked down to the same weight"),
        Mending::FruitStirredIn => format!("{g} more of its fruit in each kg"),
        Mending::VineFruitStirredIn => format!("{g} more vine fruit in each kg"),
        Mending::LessSugar => format!("{g} less sugar for each kg made, cooked to the same °Brix"),
        Mending::BoilOff => format!("boil off {g} of each kg to reach {}", to(&ask.at_least)),
        Mending::LeaveWater => format!(
            "leave {g} more water in each kg, to come down to {} (everything else is then less of a kg)",
            to(&ask.at_most)
        ),
        Mending::MoreSugar => format!(
            "{g} more sugar in each kg to reach {} (everything else is then less of a kg)",
            to(&ask.at_least)
        ),
        Mending::MoreFat => {
            let mut said = format!("{g} more fat in each kg");
            let butter = reference::ingredient("butter, unsalted").and_then(|row| row.fat);
            if let (FoodClass::Curd, Some(fat)) = (food, butter) {
                let least = ask.at_least.as_ref().map_or(0.0, |cited| cited.value);
                // Butter brings water too.
                let butter_g = 1000.0 * -ask.margin / (10.0 * fat - least);
                let _ = write!(said, " ({} of butter)", grams(on_a_scale(butter_g)));
            }
            said
        }
        Mending::MoreYolk => {
            let yolks = (mend.g_per_kg / yolk_g()).round() as usize;
            let asked = ask.at_least.as_ref().map_or(f64::NAN, |cited| cited.value);
            let count = if yolks == 1 {
                "one yolk".to_owned()
            } else {
                format!("{yolks} yolks")
            };
            format!(
                "{count} more in each kg ({asked:.1} g/kg asked, {:.1} counted)",
                ask.got
            )
        }
    }
}

fn grams(g: f64) -> String {
    if g < 10.0 {
        format!("{g:.1} g")
    } else {
        format!("{g:.0} g")
    }
}

/// Mass of one yolk of a large egg [g] (`usda_sr28`, 01125).
fn yolk_g() -> f64 {
    reference::splits()
        .iter()
        .find(|split| split.part == "egg yolk")
        .map_or(f64::NAN, |split| split.part_g_per_whole.value)
}

/// Solids of raw yolk [g/g] (`usda_sr28`, 01125).
fn yolk_solids_share() -> f64 {
    reference::ingredient("egg yolk")
        .and_then(|row| row.water)
        .map_or(f64::NAN, |water| (100.0 - water) / 100.0)
}
