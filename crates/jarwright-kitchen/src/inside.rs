//! Whether a formula, its jar and the place are inside a tested schedule.
//!
//! Inside means: the published ingredients and forms, each mass share within 2 % of the
//! published share, acid juice never below it, egg and butter never above it, the jar and the
//! headspace of the schedule, cooked at least as hot. A class schedule asks for the standard's
//! fruit, solids and kinds of ingredient instead. Nothing is interpolated: the altitude's own
//! printed band, or none.

use jarwright_reference::{
    self as reference, AltitudeBand, ClassRule, CupSystem, FoodClass, Kind, PublishedLine, Schedule, Scope,
};

use crate::PlanError;
use crate::files::{Amount, FormulaFile, GoesIn, Part, nearest};
use crate::lines::Line;
use crate::words;

/// Relative distance of a mass share from the published one that is still inside.
const SHARE_TOLERANCE: f64 = 0.02;

/// Rounding of a share that is meant to be equal.
const EQUAL: f64 = 1e-6;

/// Headspace that is still the published one [mm].
const HEADSPACE_TOLERANCE_MM: f64 = 1.0;

/// Cooking temperature that is still the published one [K]: half a step of a °F dial.
pub(crate) const COOK_TOLERANCE_K: f64 = 0.3;

/// How far below water's boiling point a pot is still said to boil [K].
const BOILING_TOLERANCE_K: f64 = 0.5;

/// What is asked of a schedule.
#[derive(Debug, Clone)]
pub(crate) struct Case<'a> {
    pub(crate) formula: &'a FormulaFile,
    pub(crate) food: FoodClass,
    pub(crate) lines: &'a [Line],
    /// Mass of each line in the formula as written [g].
    pub(crate) masses_g: &'a [f64],
    pub(crate) jar: &'a str,
    pub(crate) headspace_mm: f64,
    pub(crate) altitude_ft: f64,
    /// Temperature the pot stops at [°C].
    pub(crate) stop_c: Option<f64>,
    /// Soluble solids of the finished food [°Brix].
    pub(crate) brix: f64,
    /// Temperature the food leaves the pot at [°C], and the most it is taken to lose on the way
    /// into the jar [K].
    pub(crate) leaves_pot_c: f64,
    /// Water's boiling point here [°C], and whether the endpoint boils the food down.
    pub(crate) boils_c: f64,
    pub(crate) boils_down: bool,
    pub(crate) fill_drop_most_k: f64,
    /// Share of a packed jar's volume below the headspace that its pieces take; 0 without a pack.
    pub(crate) pieces_share: f64,
    /// Most that pieces can take and still be covered all round.
    pub(crate) pieces_share_most: f64,
}

impl Case<'_> {
    /// Least temperature at filling [°C], where the schedule asks for one.
    pub(crate) fn least_fill_c(&self, schedule: &Schedule) -> Option<f64> {
        match (&schedule.fill_min_c, schedule.pack) {
            (Some(printed), _) => Some(printed.value),
            // No figure is printed: hot means as it comes from the pot, less what the way takes.
            (None, reference::Pack::Hot) => Some(self.leaves_pot_c - self.fill_drop_most_k),
            (None, reference::Pack::Raw) => None,
        }
    }
}

/// What of a schedule a departure is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asked {
    Food,
    Jar,
    Headspace,
    Formula,
    Cook,
    Fill,
    FillTemperature,
    Altitude,
}

/// How a case stands to the schedules.
#[derive(Debug, Clone)]
pub(crate) struct Standing {
    /// The schedule claimed or found.
    pub(crate) schedule: Option<&'static Schedule>,
    /// Its altitude band here.
    pub(crate) band: Option<&'static AltitudeBand>,
    /// In what the case departs; empty inside.
    pub(crate) departures: Vec<String>,
    /// What each of them is from; empty where there is no schedule to depart from.
    pub(crate) from: Vec<Asked>,
    /// Fruit as a share of fruit and sweetener, where a class asks for it.
    pub(crate) fruit_share: f64,
}

impl Standing {
    pub(crate) fn inside(&self) -> bool {
        self.schedule.is_some() && self.departures.is_empty() && self.band.is_some()
    }

    /// Departures that nothing at the stove changes: all but those of jar, fill
    /// temperature and altitude.
    pub(crate) fn departures_that_stay(&self) -> Vec<String> {
        let moves = |i: usize| {
            matches!(
                self.from.get(i),
                Some(Asked::Jar | Asked::FillTemperature | Asked::Altitude)
            )
        };
        let all = self.departures.iter().enumerate();
        all.filter(|(i, _)| !moves(*i))
            .map(|(_, words)| words.clone())
            .collect()
    }

    pub(crate) fn by_class(&self) -> bool {
        self.schedule.is_some_and(|s| matches!(s.scope, Scope::Class(_)))
    }
}

/// The standing of a case to the schedule it claims, else to the one that fits it.
pub(crate) fn stand(case: &Case) -> Result<Standing, PlanError> {
    if let Some(key) = &case.formula.schedule {
        let Some(schedule) = reference::schedules().iter().find(|s| s.key.eq_ignore_ascii_case(key)) else {
            let near = nearest(key, reference::schedules().iter().map(|s| s.key.as_str()));
            return Err(PlanError::asked(
                format!(
                    "{} claims the schedule \"{key}\", which is not on file",
                    case.formula.name
                ),
                near.map_or_else(
                    || "leave the key out to see which schedule fits".into(),
                    |n| format!("did you mean \"{n}\"?"),
                ),
            ));
        };
        return Ok(against(case, schedule));
    }
    let best = reference::schedules()
        .iter()
        .filter(|s| s.food == case.food)
        .map(|s| against(case, s))
        .find(Standing::inside);
    Ok(best.unwrap_or_else(|| Standing {
        schedule: None,
        band: None,
        departures: vec![format!(
            "no tested schedule on file covers this {} in the {}",
            case.food.word(),
            case.jar
        )],
        from: Vec::new(),
        fruit_share: fruit_share(case),
    }))
}

fn against(case: &Case, schedule: &'static Schedule) -> Standing {
    let mut departures = Vec::new();
    let mut from = Vec::new();
    if schedule.food != case.food {
        departures.push(format!(
            "the schedule is for {}, the formula is a {}",
            schedule.food.word(),
            case.food.word()
        ));
    }
    from.resize(departures.len(), Asked::Food);
    if !schedule.jars.iter().any(|j| j == case.jar) {
        departures.push(format!(
            "the schedule is tested in {} only, not in the {}",
            schedule.jars.join(", "),
            case.jar
        ));
    }
    from.resize(departures.len(), Asked::Jar);
    let headspace_mm = schedule.headspace_in.value * words::MM_PER_INCH;
    if (case.headspace_mm - headspace_mm).abs() > HEADSPACE_TOLERANCE_MM {
        departures.push(format!(
            "headspace is {:.0} mm, the schedule's is {headspace_mm:.0} mm",
            case.headspace_mm
        ));
    }
    from.resize(departures.len(), Asked::Headspace);
    match &schedule.scope {
        Scope::Formula(published) if published.is_empty() => {
            departures.push("the schedule's own formula is not on file, so nothing can be held against it".into());
        }
        Scope::Formula(published) => formula_departures(case, schedule, published, &mut departures),
        Scope::Class(class) => class_departures(case, class, &mut departures),
    }
    from.resize(departures.len(), Asked::Formula);
    if let (Some(cook_to), Some(stop)) = (&schedule.cook_to_c, case.stop_c)
        && stop < cook_to.value - COOK_TOLERANCE_K
    {
        departures.push(format!(
            "cooked to {} only, the schedule cooks to {}",
            words::temperature(stop),
            words::temperature(cook_to.value)
        ));
    }
    from.resize(departures.len(), Asked::Cook);
    fill_departures(case, schedule, &mut departures);
    from.resize(departures.len(), Asked::Fill);
    fill_temperature_departure(case, schedule, &mut departures);
    from.resize(departures.len(), Asked::FillTemperature);
    let band = schedule.band(case.altitude_ft);
    if band.is_none() {
        departures.push(format!("no time is printed for {:.0} ft", case.altitude_ft));
    }
    from.resize(departures.len(), Asked::Altitude);
    Standing {
        schedule: Some(schedule),
        band,
        departures,
        from,
        fruit_share: fruit_share(case),
    }
}

/// Hot pack or raw, and as it comes from the pot.
fn fill_departures(case: &Case, schedule: &Schedule, out: &mut Vec<String>) {
    match (schedule.pack, case.formula.pack.is_some()) {
        (reference::Pack::Raw, false) => {
            out.push("the schedule is for raw pieces covered with boiling brine, the formula is one mixture".into())
        }
        (reference::Pack::Hot, true) => out.push("the schedule is for hot food, the formula packs raw pieces".into()),
        (reference::Pack::Raw, true) if case.pieces_share > case.pieces_share_most => out.push(format!(
            "pieces take {:.0} % of the jar; more than {:.0} % cannot be covered all round by brine",
            100.0 * case.pieces_share,
            100.0 * case.pieces_share_most
        )),
        (reference::Pack::Raw, true) | (reference::Pack::Hot, false) => {}
    }
    // Where no cooking temperature is printed, the food or its brine comes boiling from the pot.
    if schedule.cook_to_c.is_none() && case.leaves_pot_c < case.boils_c - BOILING_TOLERANCE_K {
        out.push(format!(
            "heated to {} only, the schedule's comes boiling from the pot",
            words::temperature(case.leaves_pot_c)
        ));
    }
    let thick = matches!(
        schedule.food,
        FoodClass::Jam | FoodClass::Jelly | FoodClass::Marmalade | FoodClass::FruitButter
    );
    if thick && !case.boils_down {
        out.push(format!(
            "the schedule's {} is boiled down until it is thick; give °Brix, a boiling rise or minutes",
            schedule.food.word()
        ));
    }
}

/// How hot the food goes into the jar.
fn fill_temperature_departure(case: &Case, schedule: &Schedule, out: &mut Vec<String>) {
    let (Some(fill_c), Some(least_c)) = (case.formula.fill_at_c, case.least_fill_c(schedule)) else {
        return;
    };
    if fill_c < least_c - COOK_TOLERANCE_K {
        out.push(format!(
            "filled at {}; the schedule's food goes into the jar at {} or hotter",
            words::temperature(fill_c),
            words::temperature(least_c)
        ));
    }
}

/// A published line with the formula's lines that answer to it.
fn formula_departures(case: &Case, schedule: &Schedule, published: &[PublishedLine], out: &mut Vec<String>) {
    let mut taken = vec![false; case.lines.len()];
    // (published mass, formula's mass, line), for lines that share one pot.
    let mut shares: Vec<(f64, f64, &PublishedLine)> = Vec::new();
    for line in published {
        let answers: Vec<usize> = (0..case.lines.len())
            .filter(|&i| !taken[i] && is_soak(&case.lines[i]) == line.soak_only && is_named(&case.lines[i], line))
            .collect();
        if answers.is_empty() {
            if !line.optional {
                out.push(format!("{} is missing", line.ingredient));
            }
            continue;
        }
        for &i in &answers {
            taken[i] = true;
            form_departure(&case.lines[i], line, out);
        }
        if line.amount.is_empty() && !line.acid_juice && !line.never_above {
            continue;
        }
        let Some(published_g) = published_g(line) else {
            out.push(format!("the published amount of {} cannot be weighed", line.ingredient));
            continue;
        };
        if line.soak_only {
            continue;
        }
        let by_jar = answers.iter().filter(|&&i| case.lines[i].written.per_jar).count();
        if by_jar > 0 {
            let sours = line.acid_juice
                || line.never_above
                || answers.iter().any(|&i| {
                    matches!(
                        case.lines[i].ingredient.kind,
                        Kind::Salt | Kind::Acid | Kind::Vinegar | Kind::AcidJuice
                    )
                });
            if sours || by_jar < answers.len() {
                out.push(format!(
                    "{} is measured by the jar, published for the whole",
                    line.ingredient
                ));
            } else {
                let got_g: f64 = answers.iter().map(|&i| case.masses_g[i]).sum();
                per_jar_departure(schedule, got_g, published_g, line, out);
            }
            continue;
        }
        for &i in &answers {
            weaker_departure(&case.lines[i], line, out);
            let written = &case.lines[i].written;
            if written.goes_in == GoesIn::End {
                out.push(format!(
                    "{} goes in off the heat, the published one is cooked",
                    line.ingredient
                ));
            }
            // Zest and tied spices come out of every such food; anything else left in a sieve
            // leaves another food than the one weighed.
            if written.sieved_out > 0.0 && !line.optional && case.lines[i].ingredient.kind != Kind::Spice {
                out.push(format!(
                    "{:.0} % of the {} stays in the sieve",
                    100.0 * written.sieved_out,
                    line.ingredient
                ));
            }
        }
        shares.push((published_g, answers.iter().map(|&i| case.masses_g[i]).sum(), line));
    }
    for (i, line) in case.lines.iter().enumerate() {
        if !taken[i] {
            out.push(format!("{} is not in the published formula", line.ingredient.name));
        }
    }
    let published_total: f64 = shares.iter().map(|s| s.0).sum();
    let total: f64 = shares.iter().map(|s| s.1).sum();
    for (published_g, mass_g, line) in shares {
        let (asked, got) = (published_g / published_total, mass_g / total);
        let off = got / asked - 1.0;
        let shown = || format!("{:.1} % of the formula, published {:.1} %", 100.0 * got, 100.0 * asked);
        if line.acid_juice && off < -EQUAL {
            out.push(format!(
                "{}: {}; acid juice may never be below",
                line.ingredient,
                shown()
            ));
        } else if line.never_above && off > EQUAL {
            out.push(format!(
                "{}: {}; of this line the published formula allows no more",
                line.ingredient,
                shown()
            ));
        } else if off.abs() > SHARE_TOLERANCE {
            out.push(format!("{}: {}; more than 2 % off", line.ingredient, shown()));
        }
    }
}

fn is_soak(line: &Line) -> bool {
    line.written.part == Some(Part::Soak)
}

fn is_named(line: &Line, published: &PublishedLine) -> bool {
    let name = canonical(&line.ingredient.name);
    std::iter::once(&published.ingredient)
        .chain(&published.also_allowed)
        .any(|p| canonical(p) == name)
}

fn canonical(name: &str) -> String {
    reference::ingredient(name).map_or_else(|| name.to_lowercase(), |row| row.name.to_lowercase())
}

fn published_g(line: &PublishedLine) -> Option<f64> {
    let row = reference::ingredient(&line.ingredient)?;
    Amount::parse(&line.amount).ok()?.grams(row, CupSystem::Us).ok()
}

/// A supplier's own sheet may not make the souring ingredient weaker than the table's weakest.
fn weaker_departure(line: &Line, published: &PublishedLine, out: &mut Vec<String>) {
    if !published.acid_juice {
        return;
    }
    let Some(known) = reference::ingredient(&line.ingredient.name) else {
        out.push(format!(
            "nothing is on file to hold the {} against",
            line.ingredient.name
        ));
        return;
    };
    let have: f64 = line.ingredient.acids.iter().map(|a| a.g_per_100g.value).sum();
    let least: f64 = known.acids.iter().map(|a| a.g_per_100g.low).sum();
    if have < least * (1.0 - EQUAL) {
        out.push(format!(
            "{} by its sheet holds {have:.1} % acid, the published one at least {least:.1} %",
            line.ingredient.name
        ));
    }
    if let (Some(ph), Some(range)) = (&line.ingredient.ph, &known.ph)
        && ph.value > range.high + EQUAL
    {
        out.push(format!(
            "{} by its sheet has pH {:.2}, the published one at most {:.2}",
            line.ingredient.name, ph.value, range.high
        ));
    }
}

/// A form answers when it is the published one, or has it among its parts between commas; where
/// none is written the name may say it ("lime juice, bottled").
fn form_departure(line: &Line, published: &PublishedLine, out: &mut Vec<String>) {
    let allowed: Vec<&str> = published
        .form
        .iter()
        .map(String::as_str)
        .filter(|f| !f.is_empty())
        .collect();
    if allowed.is_empty() || published.form.iter().any(String::is_empty) {
        return;
    }
    let parts = |text: &str| -> Vec<String> {
        text.to_lowercase()
            .split(',')
            .map(|p| p.trim().to_owned())
            .filter(|p| !p.is_empty())
            .collect()
    };
    let answers = match line.written.form.as_deref() {
        Some(form) => {
            let said = parts(form);
            allowed.iter().any(|f| parts(f).iter().all(|p| said.contains(p)))
        }
        None => {
            let named = words_of(&format!("{} {}", line.ingredient.name, line.written.ingredient));
            allowed
                .iter()
                .any(|f| words_of(f).iter().any(|word| named.contains(word)))
        }
    };
    if !answers {
        let said = line
            .written
            .form
            .as_ref()
            .map_or_else(|| "no form is given".to_owned(), |form| format!("form \"{form}\""));
        out.push(format!(
            "{}: {said}, published \"{}\"",
            line.ingredient.name,
            allowed.join("\" or \"")
        ));
    }
}

/// Words that tell a form: not the little ones.
fn words_of(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| {
            (word.len() > 2 || word.bytes().all(|b| b.is_ascii_digit()))
                && !matches!(*word, "and" | "the" | "for" | "into" | "")
        })
        .map(str::to_owned)
        .collect()
}

/// A spice given by the jar may be less than published, never more.
fn per_jar_departure(schedule: &Schedule, got_g: f64, published_g: f64, line: &PublishedLine, out: &mut Vec<String>) {
    let Some((few, _)) = schedule.formula_makes else { return };
    let most_g = published_g / few;
    if got_g > most_g * (1.0 + SHARE_TOLERANCE) {
        out.push(format!(
            "{}: {got_g:.1} g a jar, published at most {most_g:.1} g",
            line.ingredient
        ));
    }
}

fn fruit_share(case: &Case) -> f64 {
    let sum = |keep: &dyn Fn(&Line) -> bool| -> f64 {
        case.lines
            .iter()
            .zip(case.masses_g)
            .filter(|(l, _)| keep(l))
            .map(|(_, m)| m)
            .sum()
    };
    let fruit = sum(&|l| is_standard_fruit(l));
    let sweetener = sum(&|l| l.ingredient.kind == Kind::Sweetener);
    if fruit + sweetener > 0.0 {
        fruit / (fruit + sweetener)
    } else {
        0.0
    }
}

fn is_standard_fruit(line: &Line) -> bool {
    matches!(
        line.ingredient.kind,
        Kind::AcidFruit | Kind::AcidJuice | Kind::LowAcidFruit
    ) && reference::us_jam_group(&line.ingredient.name).is_some()
}

fn class_departures(case: &Case, class: &ClassRule, out: &mut Vec<String>) {
    let total: f64 = case.masses_g.iter().sum();
    let mut other_g = 0.0;
    let mut sweetener_g = 0.0;
    let mut need = 0.0_f64;
    let mut fruits = 0;
    for (line, &mass_g) in case.lines.iter().zip(case.masses_g) {
        let kind = line.ingredient.kind;
        let fruit_rule = class.min_fruit_share(&line.ingredient.name);
        let is_fruit = matches!(kind, Kind::AcidFruit | Kind::AcidJuice | Kind::LowAcidFruit);
        match (is_fruit, fruit_rule) {
            (true, Some(_)) if !class.allowed.contains(&kind) => {
                out.push(format!(
                    "{} may be above pH 4.6 by nature; the class is for acid fruit",
                    line.ingredient.name
                ));
            }
            (true, Some(share)) => {
                need = need.max(share.value);
                fruits += 1;
            }
            // Lemon or lime juice that only sours is a small acid part of the class.
            (true, None) if class.allowed.contains(&kind) && kind == Kind::AcidJuice => {}
            (true, None) => out.push(format!("{} is not a fruit of the standard", line.ingredient.name)),
            (false, _) if kind == Kind::Sweetener => sweetener_g += mass_g,
            (false, _) if class.allowed.contains(&kind) && kind != Kind::Spice => {}
            (false, _) if kind == Kind::Spice && class.allowed.contains(&kind) => other_g += mass_g,
            (false, _) => out.push(format!("{} is not an ingredient of the class", line.ingredient.name)),
        }
        if line.written.goes_in == GoesIn::End && mass_g > 0.02 * total && kind != Kind::Pectin {
            out.push(format!("{} goes in off the heat", line.ingredient.name));
        }
    }
    if fruits == 0 {
        out.push("no fruit of the standard is in it".into());
    }
    if sweetener_g <= 0.0 {
        out.push("no sugar: the class is for fruit preserved with sugar".into());
    }
    if 100.0 * other_g > class.max_other_pct * total {
        out.push(format!(
            "spice is {:.1} % of it, at most {:.1} % is meant",
            100.0 * other_g / total,
            class.max_other_pct
        ));
    }
    let share = fruit_share(case);
    if share < need - EQUAL {
        out.push(format!(
            "fruit is {:.1} of 100 parts of fruit and sugar, the standard asks for {:.1}",
            100.0 * share,
            100.0 * need
        ));
    }
    // The stop of a boil-down is where its solids are; a hundredth of a degree is rounding.
    if case.brix < class.min_brix.value - 0.01 {
        out.push(format!(
            "soluble solids are {:.1} °Brix, the standard asks for {:.0}",
            case.brix, class.min_brix.value
        ));
    }
}
