//! Joins the tables a schedule is made of.

use std::collections::HashMap;

use jarwright_figure::{Cited, Mark};

use super::{AltitudeBand, ClassRule, Pack, PublishedLine, Schedule, Scope};
use crate::cell;
use crate::table::{self, Row, Table};
use crate::{FoodClass, Kind};

pub(super) fn load() -> Table<Schedule> {
    let mut lines: HashMap<String, Vec<PublishedLine>> = HashMap::new();
    let formulas = table::read(include_str!("../../data/schedules/formulas.csv"), |row| {
        lines.entry(row.text("schedule")?).or_default().push(line(row)?);
        Ok(())
    });
    let mut classes: HashMap<String, ClassRule> = HashMap::new();
    let rules = table::read(include_str!("../../data/schedules/classes.csv"), |row| {
        classes.insert(row.text("schedule")?, class(row)?);
        Ok(())
    });
    let mut clashes: HashMap<String, Vec<(Cited, String)>> = HashMap::new();
    let come_ups = table::read(include_str!("../../data/schedules/come_up.csv"), |row| {
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
        include_str!("../../data/schedules/nchfp.csv"),
        include_str!("../../data/schedules/usda_guide_1994.csv"),
        include_str!("../../data/schedules/msu_1997.csv"),
        include_str!("../../data/schedules/uga_2006.csv"),
    ] {
        all.append(table::read(text, |row| {
            schedule_row(row, &mut lines, &mut classes, &mut clashes)
        }));
    }
    all.faults
        .extend([formulas.faults, rules.faults, come_ups.faults].concat());
    let left = lines.keys().chain(classes.keys()).chain(clashes.keys());
    all.faults.extend(left.map(|key| format!("no schedule {key:?}")));
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
        "class" => Scope::Class(classes.remove(&key).ok_or_else(|| format!("no class {key:?}"))?),
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
