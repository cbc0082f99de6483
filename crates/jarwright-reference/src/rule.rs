//! Rules that open and close the routes to keep food by.
//!
//! How a route is judged: any [`State::Closed`] row that applies closes it; else it needs at
//! least one row that applies and is [`State::Open`] or [`State::OnlyWith`], and one
//! `OnlyWith` outweighs any `Open`; where nothing applies it is closed. A fact that is not
//! known makes every condition on it false.

use std::sync::OnceLock;

use jarwright_figure::Mark;

use crate::FoodClass;
use crate::cell;
use crate::table::{self, Row, Table};

/// A way to keep the food.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Route {
    /// Sealed jar at room temperature.
    Shelf,
    /// Refrigerator.
    Refrigerator,
    /// Freezer.
    Freezer,
    /// Vacuum bag, chilled.
    VacuumPack,
}

impl Route {
    /// Every route.
    pub const ALL: [Self; 4] = [Self::Shelf, Self::Refrigerator, Self::Freezer, Self::VacuumPack];

    /// The trade's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shelf => "shelf",
            Self::Refrigerator => "refrigerator",
            Self::Freezer => "freezer",
            Self::VacuumPack => "vacuum pack",
        }
    }

    /// Reads the trade's word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|route| route.word() == text.trim())
    }
}

/// Where the food is made or sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Market {
    /// Anywhere.
    Any,
    /// United States.
    Us,
    /// European Union.
    Eu,
    /// United Kingdom.
    Uk,
}

impl Market {
    /// The word used in the tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Any => "any",
            Self::Us => "US",
            Self::Eu => "EU",
            Self::Uk => "UK",
        }
    }

    /// Reads the word, whatever its case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        [Self::Any, Self::Us, Self::Eu, Self::Uk]
            .into_iter()
            .find(|m| m.word().eq_ignore_ascii_case(text.trim()))
    }
}

/// What the food is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ForUse {
    /// Either.
    Any,
    /// For sale.
    Sale,
    /// For the cook's own table.
    OwnUse,
}

impl ForUse {
    /// The word used in the tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Any => "any",
            Self::Sale => "sale",
            Self::OwnUse => "own use",
        }
    }

    /// Reads the word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        [Self::Any, Self::Sale, Self::OwnUse]
            .into_iter()
            .find(|u| u.word().eq_ignore_ascii_case(text.trim()))
    }
}

/// What a rule says about its route.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum State {
    /// Open.
    Open,
    /// Open once what it needs is there.
    OnlyWith,
    /// Closed.
    Closed,
}

impl State {
    /// The trade's words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::OnlyWith => "only with",
            Self::Closed => "closed",
        }
    }

    /// Reads the trade's words.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        [Self::Open, Self::OnlyWith, Self::Closed]
            .into_iter()
            .find(|s| s.word() == text.trim())
    }
}

macro_rules! facts {
    ($($(#[$doc:meta])* $name:ident = $word:literal,)*) => {
        /// A fact that a rule may ask for. Yes is 1, no is 0, unknown is NaN.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Fact { $($(#[$doc])* $name,)* }

        impl Fact {
            /// Every fact.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// The word used in the tables and in the reasons' braces.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }
        }
    };
}

facts! {
    /// Lower end of the band of the equilibrium pH [-].
    PhLow = "ph_low",
    /// Equilibrium pH [-]; measured where measured, else computed.
    Ph = "ph",
    /// Upper end of its band [-]; for a measurement, value plus guard band.
    PhHigh = "ph_high",
    /// Whether the pH is a measurement at equilibrium.
    PhMeasured = "ph_measured",
    /// Whether the pH is known at all, computed or measured: 1 or 0.
    PhKnown = "ph_known",
    /// Lower end of the band of the water activity [-].
    WaterActivityLow = "water_activity_low",
    /// Water activity [-].
    WaterActivity = "water_activity",
    /// Upper end of its band [-].
    WaterActivityHigh = "water_activity_high",
    /// Soluble solids by refractometer [°Brix].
    Brix = "brix",
    /// Whether the °Brix is a measurement.
    BrixMeasured = "brix_measured",
    /// Fruit in fruit plus sweetener, by weight [-].
    FruitShare = "fruit_share",
    /// Fruit used [g per kg of finished food].
    FruitGPerKg = "fruit_g_per_kg",
    /// Fat and oil [g per kg].
    FatGPerKg = "fat_g_per_kg",
    /// Egg-yolk solids [g per kg].
    YolkSolidsGPerKg = "yolk_solids_g_per_kg",
    /// Whether formula, jar, fill, bath and time are those of a printed formula's schedule.
    InSchedule = "in_schedule",
    /// Whether they are those of a schedule for a class of food.
    InClassSchedule = "in_class_schedule",
    /// Whether the formula or the time at this altitude is known only from memory.
    ScheduleFromMemory = "schedule_from_memory",
    /// Whether the plan names a schedule.
    ScheduleClaimed = "schedule_claimed",
    /// Whether a process authority's letter in force covers the plan.
    LetterInForce = "letter_in_force",
    /// Onion, garlic, leek and their kin are in it.
    Alliums = "alliums",
    /// Oil is in it.
    Oil = "oil",
    /// Egg is in it.
    Egg = "egg",
    /// Milk, cream, butter or cheese is in it.
    Dairy = "dairy",
    /// Low-acid ingredients in the whole, by weight [-].
    LowAcidShare = "low_acid_share",
    /// Coldest spot's highest temperature [°C].
    HeatedToC = "heated_to_c",
    /// Whether every jar's seal has been tested.
    SealTested = "seal_tested",
    /// The kitchen has a refrigerator.
    HasRefrigerator = "has_refrigerator",
    /// The kitchen has a freezer.
    HasFreezer = "has_freezer",
    /// From 57 to 21 °C within 2 h and to 5 °C within 6 h in all.
    ChillsInTime = "chills_in_time",
    /// Depth of the food in the cooling pan [mm].
    DepthMm = "depth_mm",
    /// Temperature when the bag is sealed [°C].
    SealedAtC = "sealed_at_c",
    /// Temperature it will be kept at [°C].
    KeptAtC = "kept_at_c",
}

impl Fact {
    /// Reads the word used in the tables.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|fact| fact.word() == text.trim())
    }
}

/// How a fact is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Op {
    /// `>`
    Above,
    /// `>=`
    AtLeast,
    /// `<`
    Below,
    /// `<=`
    AtMost,
    /// `=`
    Is,
}

/// One comparison; all of a rule's must hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// The fact.
    pub fact: Fact,
    /// How it is compared.
    pub op: Op,
    /// With what, in the fact's unit.
    pub value: f64,
}

impl Condition {
    /// Reads `ph_high>4.6`, `water_activity<=0.85` or `in_schedule=1`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let at = text.find(['>', '<', '='])?;
        let (fact, rest) = text.split_at(at);
        let (op, value) = [
            (">=", Op::AtLeast),
            ("<=", Op::AtMost),
            (">", Op::Above),
            ("<", Op::Below),
            ("=", Op::Is),
        ]
        .into_iter()
        .find_map(|(sign, op)| rest.strip_prefix(sign).map(|value| (op, value)))?;
        let value: f64 = value.trim().parse().ok()?;
        value.is_finite().then_some(Self {
            fact: Fact::parse(fact)?,
            op,
            value,
        })
    }

    /// Whether it holds for a value; never for NaN.
    #[must_use]
    pub fn holds(&self, got: f64) -> bool {
        match self.op {
            Op::Above => got > self.value,
            Op::AtLeast => got >= self.value,
            Op::Below => got < self.value,
            Op::AtMost => got <= self.value,
            Op::Is => (got - self.value).abs() < 1e-9,
        }
    }
}

/// One published rule about one route.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Name of the rule, unique and stable: verdicts keep it.
    pub id: String,
    /// Route it speaks of.
    pub route: Route,
    /// Where it holds.
    pub market: Market,
    /// For sale, own use or both.
    pub for_use: ForUse,
    /// Foods it speaks of; empty = any.
    pub food: Vec<FoodClass>,
    /// When it applies; all must hold.
    pub when: Vec<Condition>,
    /// What it then says.
    pub state: State,
    /// Why, in plain trade words; `{fact}` stands for the fact's value.
    pub reason: String,
    /// Measurements, papers and doings that are needed.
    pub needs: Vec<String>,
    /// Key of the document.
    pub source: String,
    /// Place in it.
    pub place: String,
    /// How it is known.
    pub mark: Mark,
    /// First day it holds, `YYYY-MM-DD`.
    pub from: Option<String>,
    /// Last day it holds, `YYYY-MM-DD`.
    pub until: Option<String>,
    /// Edition of the document.
    pub edition: String,
    /// Days that it lets the food be kept on its route [d], where it names any.
    pub days: Option<f64>,
}

impl Rule {
    /// Whether the rule speaks of this route, market, use, food and day (`YYYY-MM-DD`) and all
    /// its conditions hold for what is known (`known` returns NaN for what is not).
    #[must_use]
    pub fn applies(
        &self,
        route: Route,
        market: Market,
        for_use: ForUse,
        food: FoodClass,
        day: &str,
        known: impl Fn(Fact) -> f64,
    ) -> bool {
        self.route == route
            && (self.market == Market::Any || self.market == market)
            && (self.for_use == ForUse::Any || self.for_use == for_use)
            && (self.food.is_empty() || self.food.contains(&food))
            && self.in_force(day)
            && self.when.iter().all(|condition| condition.holds(known(condition.fact)))
    }

    /// Whether the rule holds on a day, `YYYY-MM-DD`.
    #[must_use]
    pub fn in_force(&self, day: &str) -> bool {
        self.from.as_deref().is_none_or(|from| from <= day) && self.until.as_deref().is_none_or(|until| day <= until)
    }
}

/// Every rule known.
pub fn rules() -> &'static [Rule] {
    static ROWS: OnceLock<Vec<Rule>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

fn load() -> Table<Rule> {
    let mut all = Table {
        rows: Vec::new(),
        faults: Vec::new(),
    };
    for text in [
        include_str!("../data/rules/tested_process_guidance.csv"),
        include_str!("../data/rules/us_cfr_21.csv"),
        include_str!("../data/rules/us_food_code.csv"),
        include_str!("../data/rules/eu_uk.csv"),
    ] {
        all.append(table::read(text, parse));
    }
    all
}

fn parse(row: &Row) -> Result<Rule, String> {
    let conditions = |text: &String| Condition::parse(text).ok_or_else(|| format!("{text:?} is no condition"));
    let foods = |text: &String| FoodClass::parse(text).ok_or_else(|| format!("unknown food {text:?}"));
    Ok(Rule {
        id: row.text("id")?,
        route: row.word("route", Route::parse)?,
        market: row.word("market", Market::parse)?,
        for_use: row.word("for_use", ForUse::parse)?,
        food: row.list("food")?.iter().map(foods).collect::<Result<_, _>>()?,
        when: row.list("when")?.iter().map(conditions).collect::<Result<_, _>>()?,
        state: row.word("state", State::parse)?,
        reason: row.text("reason")?,
        needs: row.list("needs")?,
        source: row.text("source")?,
        place: row.text("place")?,
        mark: row.word("mark", Mark::parse)?,
        from: cell::filled(row.text("from")?),
        until: cell::filled(row.text("until")?),
        edition: row.text("edition")?,
        days: row.maybe("days")?,
    })
}

#[cfg(test)]
mod tests;
