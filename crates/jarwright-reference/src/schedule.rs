//! Published processes: for which food, in which jar, how long at the boil, at which altitude.
//!
//! A time is a band of altitude, never a line between bands. A schedule covers its printed
//! formula or its class and nothing else.

use std::collections::HashMap;
use std::sync::OnceLock;

use jarwright_figure::{Cited, Mark};

use crate::Kind;
use crate::cell;
use crate::table::{self, Row, Table};

/// Class of food a schedule, rule or keeping time speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FoodClass {
    /// Egg-set fruit curd.
    Curd,
    /// Jam, preserve, conserve.
    Jam,
    /// Jelly from juice.
    Jelly,
    /// Citrus marmalade.
    Marmalade,
    /// Fruit butter.
    FruitButter,
    /// Chutney.
    Chutney,
    /// Vegetable or fruit in acid brine.
    Pickle,
    /// Relish.
    Relish,
    /// Sauce.
    Sauce,
    /// Salsa.
    Salsa,
    /// Syrup.
    Syrup,
    /// Fruit in water, juice or syrup; fruit sauce.
    Fruit,
    /// Tomatoes, acidified.
    Tomato,
    /// Anything else.
    Other,
}

impl FoodClass {
    /// Every class.
    pub const ALL: [Self; 14] = [
        Self::Curd,
        Self::Jam,
        Self::Jelly,
        Self::Marmalade,
        Self::FruitButter,
        Self::Chutney,
        Self::Pickle,
        Self::Relish,
        Self::Sauce,
        Self::Salsa,
        Self::Syrup,
        Self::Fruit,
        Self::Tomato,
        Self::Other,
    ];

    /// The trade's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Curd => "curd",
            Self::Jam => "jam",
            Self::Jelly => "jelly",
            Self::Marmalade => "marmalade",
            Self::FruitButter => "fruit butter",
            Self::Chutney => "chutney",
            Self::Pickle => "pickle",
            Self::Relish => "relish",
            Self::Sauce => "sauce",
            Self::Salsa => "salsa",
            Self::Syrup => "syrup",
            Self::Fruit => "fruit",
            Self::Tomato => "tomato",
            Self::Other => "other",
        }
    }

    /// Reads the trade's word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        Self::ALL
            .into_iter()
            .find(|class| class.word().eq_ignore_ascii_case(text))
    }
}

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
    /// Ingredients the document allows in its place, measure for measure.
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
            (altitude_ft > band.above_ft || band.above_ft <= 0.0)
                && band.to_ft.is_none_or(|to| altitude_ft <= to)
        })
    }

    /// Whether the formula or class it covers can be opened by, or some line of it is known
    /// only from memory or was never read.
    #[must_use]
    pub fn scope_may_open(&self) -> bool {
        match &self.scope {
            Scope::Formula(lines) => {
                !lines.is_empty() && lines.iter().all(|line| line.mark.may_open())
            }
            Scope::Class(class) => class.min_brix.mark.may_open(),
        }
    }

    /// Whether nothing that opens this schedule at this altitude [ft] is from memory.
    #[must_use]
    pub fn may_open_at(&self, altitude_ft: f64) -> bool {
        self.scope_may_open()
            && self
                .band(altitude_ft)
                .is_some_and(|band| band.minutes.mark.may_open())
    }
}

/// The two groups of fruit of the US standard for jam.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum JamGroup {
    /// Fruit to sweetener at least 47 : 55 by weight.
    One,
    /// At least 45 : 55.
    Two,
}

/// Group of a fruit in the US standard for jam, by its name; `None` when not listed.
///
/// # Source
/// `cfr21_150`, 150.160(b).
#[must_use]
pub fn us_jam_group(ingredient: &str) -> Option<JamGroup> {
    let words = plain_words(ingredient);
    if words.iter().any(|word| NO_FRUIT.contains(&word.as_str())) {
        return None;
    }
    let listed = |row: &&JamFruit| {
        plain_words(&row.fruit)
            .iter()
            .all(|word| words.contains(word))
    };
    jam_fruits()
        .iter()
        .filter(listed)
        .max_by_key(|row| row.fruit.split(' ').count())
        .map(|row| row.group)
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

/// Words that make a name something else than the fresh, frozen or canned fruit of the standard.
const NO_FRUIT: [&str; 9] = [
    "juice", "zest", "peel", "dried", "candied", "paste", "sauce", "butter", "syrup",
];

struct JamFruit {
    fruit: String,
    group: JamGroup,
}

/// Lower-case words of a name, each without its plural ending.
pub(crate) fn plain_words(name: &str) -> Vec<String> {
    name.to_lowercase()
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(|word| {
            if let Some(stem) = word.strip_suffix("ies") {
                format!("{stem}y")
            } else if let Some(stem) = word.strip_suffix("oes") {
                format!("{stem}o")
            } else if let Some(stem) = word.strip_suffix("ches") {
                format!("{stem}ch")
            } else {
                word.strip_suffix('s').unwrap_or(word).to_owned()
            }
        })
        .collect()
}

fn jam_fruits() -> &'static [JamFruit] {
    static ROWS: OnceLock<Vec<JamFruit>> = OnceLock::new();
    ROWS.get_or_init(|| load_jam_fruits().rows)
}

fn load_jam_fruits() -> Table<JamFruit> {
    table::read(
        include_str!("../data/schedules/cfr21_150_fruits.csv"),
        |row| {
            Ok(JamFruit {
                fruit: row.text("fruit")?,
                group: row.word("group", |word| match word {
                    "1" => Some(JamGroup::One),
                    "2" => Some(JamGroup::Two),
                    _ => None,
                })?,
            })
        },
    )
}

/// Every published process known.
pub fn schedules() -> &'static [Schedule] {
    static ROWS: OnceLock<Vec<Schedule>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// The process of a key.
#[must_use]
pub fn schedule(key: &str) -> Option<&'static Schedule> {
    schedules().iter().find(|row| row.key == key)
}

fn load() -> Table<Schedule> {
    let mut lines: HashMap<String, Vec<PublishedLine>> = HashMap::new();
    let formulas = table::read(include_str!("../data/schedules/formulas.csv"), |row| {
        lines
            .entry(row.text("schedule")?)
            .or_default()
            .push(line(row)?);
        Ok(())
    });
    let mut classes: HashMap<String, ClassRule> = HashMap::new();
    let rules = table::read(include_str!("../data/schedules/classes.csv"), |row| {
        classes.insert(row.text("schedule")?, class(row)?);
        Ok(())
    });
    let mut clashes: HashMap<String, Vec<(Cited, String)>> = HashMap::new();
    let come_ups = table::read(include_str!("../data/schedules/come_up.csv"), |row| {
        clashes
            .entry(row.text("schedule")?)
            .or_default()
            .push((row.cited()?, row.text("what")?));
        Ok(())
    });
    let mut all = Table {
        rows: Vec::new(),
        faults: Vec::new(),
    };
    for text in [
        include_str!("../data/schedules/nchfp.csv"),
        include_str!("../data/schedules/usda_guide_1994.csv"),
        include_str!("../data/schedules/msu_1997.csv"),
        include_str!("../data/schedules/uga_2006.csv"),
    ] {
        all.append(table::read(text, |row| {
            schedule_row(row, &mut lines, &mut classes, &mut clashes)
        }));
    }
    all.faults
        .extend([formulas.faults, rules.faults, come_ups.faults].concat());
    let left = lines.keys().chain(classes.keys()).chain(clashes.keys());
    all.faults
        .extend(left.map(|key| format!("no schedule {key:?}")));
    all
}

fn schedule_row(
    row: &Row,
    lines: &mut HashMap<String, Vec<PublishedLine>>,
    classes: &mut HashMap<String, ClassRule>,
    clashes: &mut HashMap<String, Vec<(Cited, String)>>,
) -> Result<Schedule, String> {
    let (key, source, place) = (row.text("key")?, row.text("source")?, row.text("place")?);
    let cited = |column| cell::maybe(&row.text(column)?, &source, &place);
    let bands = row
        .list("bands")?
        .iter()
        .map(|text| band(text, &source, &place))
        .collect::<Result<Vec<_>, _>>()?;
    let scope = match row.text("scope")?.as_str() {
        "formula" => Scope::Formula(lines.remove(&key).unwrap_or_default()),
        "class" => Scope::Class(
            classes
                .remove(&key)
                .ok_or_else(|| format!("no class {key:?}"))?,
        ),
        other => return Err(format!("unknown scope {other:?}")),
    };
    let (few, most) = (row.maybe("makes_from")?, row.maybe("makes_to")?);
    Ok(Schedule {
        title: row.text("title")?,
        food: row.word("food", FoodClass::parse)?,
        pack: row.word("pack", Pack::parse)?,
        jars: row.list("jars")?,
        headspace_in: cell::cited(&row.text("headspace_in")?, &source, &place)?,
        scope,
        formula_makes: few.zip(most),
        formula_makes_jar: cell::filled(row.text("makes_jar")?),
        sterile_jars_needed: bands.iter().any(|band| band.minutes.value < 10.0),
        bands,
        bath_start_max_c: cited("bath_start_max_c")?,
        come_up_min: cited("come_up_min")?,
        come_up_clash: clashes.remove(&key).unwrap_or_default(),
        longest_wait_min: cited("longest_wait_min")?,
        fill_min_c: cited("fill_min_c")?,
        cook_to_c: cited("cook_to_c")?,
        held_c: cited("held_c")?,
        timing_starts: row.text("timing_starts")?,
        cooling: row.text("cooling")?,
        closure: row.text("closure")?,
        equilibrium_ph: cited("equilibrium_ph")?,
        conducts: row.word("conducts", cell::yes)?,
        key,
        source,
        place,
    })
}

/// Reads `0-1000: 15 seen` or `6000-: 25 memory`.
fn band(text: &str, source: &str, place: &str) -> Result<AltitudeBand, String> {
    let fault = || format!("{text:?} is not an altitude band");
    let (range, minutes) = text.split_once(": ").ok_or_else(fault)?;
    let (above, to) = range.split_once('-').ok_or_else(fault)?;
    let to = to.trim();
    Ok(AltitudeBand {
        above_ft: above.trim().parse().map_err(|_| fault())?,
        to_ft: if to.is_empty() {
            None
        } else {
            Some(to.parse().map_err(|_| fault())?)
        },
        minutes: cell::cited(minutes, source, place)?,
    })
}

fn line(row: &Row) -> Result<PublishedLine, String> {
    Ok(PublishedLine {
        ingredient: row.text("ingredient")?,
        amount: row.text("amount")?,
        form: row.list("form")?,
        optional: row.word("optional", cell::yes)?,
        acid_juice: row.word("acid_juice", cell::yes)?,
        never_above: row.word("never_above", cell::yes)?,
        also_allowed: row.list("also_allowed")?,
        soak_only: row.word("soak_only", cell::yes)?,
        mark: row.word("mark", Mark::parse)?,
    })
}

fn class(row: &Row) -> Result<ClassRule, String> {
    let (source, place) = (row.text("source")?, row.text("place")?);
    let cited = |column| cell::cited(&row.text(column)?, &source, &place);
    let by_fruit = row
        .list("by_fruit")?
        .iter()
        .map(|part| {
            let (fruit, share) = part.split_once(" = ").ok_or_else(|| format!("{part:?}"))?;
            Ok((fruit.to_owned(), cell::cited(share, &source, &place)?))
        })
        .collect::<Result<_, String>>()?;
    let allowed = row
        .list("allowed")?
        .iter()
        .map(|word| allowed_kind(word).ok_or_else(|| format!("unknown kind {word:?}")))
        .collect::<Result<_, _>>()?;
    Ok(ClassRule {
        min_brix: cited("min_brix")?,
        min_fruit_share_group1: cited("group1")?,
        min_fruit_share_group2: cited("group2")?,
        min_fruit_share_by_fruit: by_fruit,
        allowed,
        max_other_pct: row.number("max_other_pct")?,
    })
}

fn allowed_kind(word: &str) -> Option<Kind> {
    Some(match word {
        "acid fruit" => Kind::AcidFruit,
        "acid juice" => Kind::AcidJuice,
        "sweetener" => Kind::Sweetener,
        "acid" => Kind::Acid,
        "pectin" => Kind::Pectin,
        "spice" => Kind::Spice,
        "water" => Kind::Water,
        _ => return None,
    })
}

#[cfg(test)]
mod tests;
