//! Published processes: for which food, in which jar, how long at the boil, at which altitude.
//!
//! A time is a band of altitude, never a line between bands. A schedule covers its printed
//! formula or its class and nothing else.

use std::sync::OnceLock;

use jarwright_figure::{Cited, Mark};

use crate::jam_group::plain_words;
use crate::{FoodClass, JamGroup, Kind, us_jam_group};

/// How the food goes into the jar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pack {
    /// Cooked or heated first.
    Hot,
    /// Raw, covered with hot liquid.
    Raw,
}

impl Pack {
    /// Reads `hot` or `raw`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        match text.trim() {
            "hot" => Some(Self::Hot),
            "raw" => Some(Self::Raw),
            _ => None,
        }
    }

    /// The trade's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hot => "hot",
            Self::Raw => "raw",
        }
    }
}

/// What a schedule covers.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "some thirty rows, parsed once")]
pub enum Scope {
    /// The printed formula and nothing else. Without a line, the printed formula was not
    /// read and the schedule covers nothing.
    Formula(Vec<PublishedLine>),
    /// Every formula of a class that a standard defines.
    Class(ClassRule),
}

/// One line of a printed formula.
#[derive(Debug, Clone, PartialEq)]
pub struct PublishedLine {
    /// Name in the ingredient table.
    pub ingredient: String,
    /// Amount as cooks write it, such as `2 1/2 cup`; empty where the document sets none.
    pub amount: String,
    /// Forms allowed; empty = any.
    pub form: Vec<String>,
    /// May be left out.
    pub optional: bool,
    /// The juice or vinegar that keeps the food acid: never less of it.
    pub acid_juice: bool,
    /// Never more of it than printed (egg, butter, vegetables).
    pub never_above: bool,
    /// Ingredients the document allows in its place, measure for measure, with the same duties.
    pub also_allowed: Vec<String>,
    /// Used to soak or salt and poured away; no part of what goes into the jar.
    pub soak_only: bool,
    /// How the line is known.
    pub mark: Mark,
}

/// What a formula must be to belong to a class.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassRule {
    /// Least soluble solids [°Brix] of the finished food.
    pub min_brix: Cited,
    /// Least share [-] of fruit (or juice) in fruit plus sweetener, by weight, group I.
    pub min_fruit_share_group1: Cited,
    /// The same, group II.
    pub min_fruit_share_group2: Cited,
    /// The same for single fruits of a class that knows no groups: (word in the name, share).
    pub min_fruit_share_by_fruit: Vec<(String, Cited)>,
    /// Kinds of ingredient allowed.
    pub allowed: Vec<Kind>,
    /// Most spice and the like, together [% of what goes in].
    pub max_other_pct: f64,
}

impl ClassRule {
    /// Least share [-] of this fruit in fruit plus sweetener, or `None` when the class does
    /// not know the fruit.
    #[must_use]
    pub fn min_fruit_share(&self, ingredient: &str) -> Option<&Cited> {
        let words = plain_words(ingredient);
        let by_fruit = self
            .min_fruit_share_by_fruit
            .iter()
            .filter(|(fruit, _)| plain_words(fruit).iter().all(|word| words.contains(word)))
            .max_by_key(|(fruit, _)| plain_words(fruit).len())
            .map(|(_, share)| share);
        if by_fruit.is_some() || !self.min_fruit_share_by_fruit.is_empty() {
            return by_fruit;
        }
        us_jam_group(ingredient).map(|group| match group {
            JamGroup::One => &self.min_fruit_share_group1,
            JamGroup::Two => &self.min_fruit_share_group2,
        })
    }
}

/// Minutes at the boil for a band of altitude.
#[derive(Debug, Clone, PartialEq)]
pub struct AltitudeBand {
    /// Above this altitude [ft]; the lowest band starts at 0 and takes in whatever lies lower.
    pub above_ft: f64,
    /// Up to and with this altitude [ft]; `None` = no upper end printed.
    pub to_ft: Option<f64>,
    /// Process time [min].
    pub minutes: Cited,
}

/// One published process.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// Key, such as `curd-lemon-half-pint`.
    pub key: String,
    /// Title in the trade's words.
    pub title: String,
    /// Class of food.
    pub food: FoodClass,
    /// Hot or raw pack.
    pub pack: Pack,
    /// Jars it was made for, by name.
    pub jars: Vec<String>,
    /// Headspace [in].
    pub headspace_in: Cited,
    /// What it covers.
    pub scope: Scope,
    /// Jars the printed formula makes, fewest and most.
    pub formula_makes: Option<(f64, f64)>,
    /// Which jar that yield is counted in.
    pub formula_makes_jar: Option<String>,
    /// Times by altitude, lowest band first, without gaps.
    pub bands: Vec<AltitudeBand>,
    /// Hottest the bath may be when the jars go in [°C].
    pub bath_start_max_c: Option<Cited>,
    /// Come-up from loading to full boil that is part of the process [min].
    pub come_up_min: Option<Cited>,
    /// What others measured for the come-up [min], and in their words' sense what.
    pub come_up_clash: Vec<(Cited, String)>,
    /// Longest wait between cook and bath the study found without effect [min].
    pub longest_wait_min: Option<Cited>,
    /// Least temperature at fill [°C].
    pub fill_min_c: Option<Cited>,
    /// Temperature to cook to before filling [°C].
    pub cook_to_c: Option<Cited>,
    /// Temperature the bath is held at instead of boiling [°C].
    pub held_c: Option<Cited>,
    /// When the clock starts.
    pub timing_starts: String,
    /// How the jars cool.
    pub cooling: String,
    /// Lid and rim.
    pub closure: String,
    /// Jars must be boiled first, since a process is under 10 minutes.
    pub sterile_jars_needed: bool,
    /// Equilibrium pH of the food tested [-].
    pub equilibrium_ph: Option<Cited>,
    /// Heats by conduction (true) or by convection of its liquid (false).
    pub conducts: bool,
    /// Key of the document.
    pub source: String,
    /// Place in it.
    pub place: String,
}

impl Schedule {
    /// The band of an altitude [ft].
    #[must_use]
    pub fn band(&self, altitude_ft: f64) -> Option<&AltitudeBand> {
        if !altitude_ft.is_finite() {
            return None;
        }
        self.bands.iter().find(|band| {
            (altitude_ft > band.above_ft || band.above_ft <= 0.0) && band.to_ft.is_none_or(|to| altitude_ft <= to)
        })
    }

    /// Whether the formula or class it covers can be opened by, or some line of it is known
    /// only from memory or was never read.
    #[must_use]
    pub fn scope_may_open(&self) -> bool {
        match &self.scope {
            Scope::Formula(lines) => !lines.is_empty() && lines.iter().all(|line| line.mark.may_open()),
            Scope::Class(class) => class.min_brix.mark.may_open(),
        }
    }

    /// Whether every printed condition is known well enough to open a route: headspace, cooking and
    /// fill temperature, bath at the start, come-up and longest wait.
    #[must_use]
    pub fn conditions_may_open(&self) -> bool {
        let conditions = [
            Some(&self.headspace_in),
            self.cook_to_c.as_ref(),
            self.fill_min_c.as_ref(),
            self.bath_start_max_c.as_ref(),
            self.come_up_min.as_ref(),
            self.longest_wait_min.as_ref(),
        ];
        conditions.into_iter().flatten().all(|cited| cited.mark.may_open())
    }

    /// Whether nothing that opens this schedule at this altitude [ft] is from memory.
    #[must_use]
    pub fn may_open_at(&self, altitude_ft: f64) -> bool {
        self.scope_may_open() && self.band(altitude_ft).is_some_and(|band| band.minutes.mark.may_open())
    }
}

/// Minutes to boil empty jars before a process under 10 minutes, by altitude [ft].
///
/// ```text
/// 10 min up to 1,000 ft, and 1 min more for each further 1,000 ft begun
/// ```
///
/// # Source
/// `usda_guide_1994`, jars and lids; read in `msu_preserving_1997`.
#[must_use]
pub fn jar_boil_min(altitude_ft: f64) -> Option<f64> {
    altitude_ft
        .is_finite()
        .then(|| 10.0 + ((altitude_ft - 1000.0) / 1000.0).ceil().max(0.0))
}

/// Every published process known.
pub fn schedules() -> &'static [Schedule] {
    static ROWS: OnceLock<Vec<Schedule>> = OnceLock::new();
    ROWS.get_or_init(|| load::load().rows)
}

/// The process of a key.
#[must_use]
pub fn schedule(key: &str) -> Option<&'static Schedule> {
    schedules().iter().find(|row| row.key == key)
}

mod load;
#[cfg(test)]
mod tests;
