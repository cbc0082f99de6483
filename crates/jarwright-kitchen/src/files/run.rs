//! A run as it is kept: what was asked, and the very texts it was asked of.
//!
//! A run names its formulas, kitchen and stores by the hash of their texts, so that it answers the
//! same way years later. Whoever keeps texts finds them by these hashes; this module only reads and
//! writes the question.

use std::fmt::Write;

use jiff::civil::DateTime;

use super::problem::{Fault, Problem};
use super::quantity::{altitude_m, temperature_c};
use super::section::Section;
use super::walk::Need::{May, Must};
use super::walk::{Walk, choose, jar_size};
use super::write::quoted;
use crate::order::{Law, Much, Use};
use crate::ports::Hash;

/// Most formulas that share one bath in a run.
pub const MOST_MAKES: usize = 20;

/// A run's question.
#[derive(Debug, Clone, PartialEq)]
pub struct RunFile {
    /// What the cook calls it: `Saturday market`.
    pub name: String,
    /// For sale or for the own table.
    pub for_use: Use,
    /// Whose law.
    pub market: Law,
    /// When it was asked, local time: the plan starts from here.
    pub asked_at: DateTime,
    /// When the jars must be free to leave, local time.
    pub by: Option<DateTime>,
    /// Height above sea level in place of the kitchen's, as written: `1500 m`.
    pub altitude: Option<Written>,
    /// Bath's temperature at loading in place of the schedule's, as written: `70 C`.
    pub bath_start: Option<Written>,
    /// Text of the kitchen it is for.
    pub kitchen: Hash,
    /// Text of the stores it buys for; without one nothing is on hand and nothing is priced.
    pub stores: Option<Hash>,
    /// What to make, in hand order; at least one.
    pub makes: Vec<Make>,
}

/// A quantity as a person wrote it, and in the unit the program uses.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// As written.
    pub words: String,
    /// In metres or °C.
    pub value: f64,
}

/// One formula of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Make {
    /// Name the formula is kept under.
    pub formula: String,
    /// Its text.
    pub text: Hash,
    /// How much of it.
    pub much: Much,
    /// Jar's name.
    pub jar: String,
}

const ROOT: &[&str] = &[
    "name",
    "for",
    "market",
    "asked_at",
    "by",
    "altitude",
    "bath_start",
    "kitchen",
    "stores",
    "make",
];
const MAKE: &[&str] = &["formula", "text", "jars", "from", "jar"];
const EXPECTED_FILE: &str = "a run: name, for, market, asked_at, kitchen and one [[make]] for each formula";
const EXPECTED_TIME: &str = "a date and time such as \"2026-11-28 09:00\"";
const EXPECTED_HASH: &str = "the 64 hexadecimal digits of a kept text";

/// Reads a run.
///
/// # Errors
/// Every [`Problem`] of the text, in file order.
pub fn read_run(name: &str, text: &str) -> Result<RunFile, Vec<Problem>> {
    let (mut walk, table) = Walk::open(name, text, EXPECTED_FILE)?;
    let root = walk.root(table.get_ref(), "a run", ROOT);
    let run = read(&mut walk, &root);
    walk.finish(())?;
    // Without faults every needed key was there.
    run.ok_or_else(|| {
        vec![Problem::at(
            name,
            text,
            0..0,
            Fault::new("an unreadable run", EXPECTED_FILE),
        )]
    })
}

fn read<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Option<RunFile> {
    let written = |words: &str, read: fn(&str) -> Result<f64, Fault>| {
        read(words).map(|value| Written {
            words: words.trim().into(),
            value,
        })
    };
    let name = root.words(walk, "name", Must, "a name such as \"Saturday market\"");
    let for_use = root.read(walk, "for", Must, "\"sale\" or \"own-use\"", |text| {
        choose(text, "use", &[Use::Sale, Use::OwnUse], Use::word)
    });
    let market = root.read(walk, "market", Must, "\"US\", \"EU\" or \"UK\"", |text| {
        choose(text, "market", &[Law::Us, Law::Eu, Law::Uk], Law::word)
    });
    let asked_at = root.read(walk, "asked_at", Must, EXPECTED_TIME, moment);
    let by = root.read(walk, "by", May, EXPECTED_TIME, moment);
    let altitude = root.read(walk, "altitude", May, "a height such as \"1500 m\"", |text| {
        written(text, altitude_m)
    });
    let bath_start = root.read(walk, "bath_start", May, "a temperature such as \"70 C\"", |text| {
        written(text, temperature_c)
    });
    let kitchen = root.read(walk, "kitchen", Must, EXPECTED_HASH, hash);
    let stores = root.read(walk, "stores", May, EXPECTED_HASH, hash);
    let sections = root.tables(walk, "make", Must, "a formula to make", MAKE);
    if sections.len() > MOST_MAKES {
        walk.fault(
            root.place(walk, "make"),
            Fault::new(
                format!("{} formulas in one run", sections.len()),
                format!("1 to {MOST_MAKES}"),
            ),
        );
    }
    let count = sections.len();
    let makes: Vec<Make> = sections.iter().filter_map(|section| make(walk, section)).collect();
    if makes.len() < count {
        return None;
    }
    Some(RunFile {
        name: name?,
        for_use: for_use?,
        market: market?,
        asked_at: asked_at?,
        by,
        altitude,
        bath_start,
        kitchen: kitchen?,
        stores,
        makes,
    })
}

fn make<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Make> {
    let formula = section.words(walk, "formula", Must, "the name of a kept formula");
    let text = section.read(walk, "text", Must, EXPECTED_HASH, hash);
    let from = section.words(
        walk,
        "from",
        May,
        "what is on hand, such as \"2.3 L bottled lime juice\"",
    );
    let jars = section.count(
        walk,
        "jars",
        if section.has("from") { May } else { Must },
        (1, 1_000_000),
        "a number of good jars, 1 or more",
    );
    if section.has("from") && section.has("jars") {
        walk.fault(
            section.place(walk, "from"),
            Fault::new(
                "both \"jars\" and \"from\"",
                "either a number of jars or what is on hand",
            ),
        );
    }
    let jar = section.read(walk, "jar", Must, "a jar such as \"half-pint\"", jar_size);
    Some(Make {
        formula: formula?,
        text: text?,
        much: match (jars, from) {
            (Some(jars), None) => Much::Jars(u64::from(jars)),
            (None, Some(from)) => Much::From(from),
            (Some(_), Some(_)) | (None, None) => return None,
        },
        jar: jar?,
    })
}

fn moment(text: &str) -> Result<DateTime, Fault> {
    text.trim()
        .replace(' ', "T")
        .parse()
        .map_err(|_| Fault::new(format!("\"{}\" is no date and time", text.trim()), EXPECTED_TIME))
}

fn hash(text: &str) -> Result<Hash, Fault> {
    text.trim()
        .parse()
        .map_err(|_| Fault::new("this is no hash of a text", EXPECTED_HASH))
}

/// A run's text that [`read_run`] reads back to the same run.
#[must_use]
pub fn run_text(run: &RunFile) -> String {
    let mut out = String::new();
    // Writing into a string cannot fail.
    let _ = write_run(&mut out, run);
    out
}

fn write_run(out: &mut String, run: &RunFile) -> std::fmt::Result {
    let q = quoted;
    let moment = |at: DateTime| at.strftime("%Y-%m-%d %H:%M").to_string();
    writeln!(out, "name = {}", q(&run.name))?;
    writeln!(out, "for = {}", q(run.for_use.word()))?;
    writeln!(out, "market = {}", q(run.market.word()))?;
    writeln!(out, "asked_at = {}", q(&moment(run.asked_at)))?;
    if let Some(by) = run.by {
        writeln!(out, "by = {}", q(&moment(by)))?;
    }
    for (key, written) in [("altitude", &run.altitude), ("bath_start", &run.bath_start)] {
        if let Some(written) = written {
            writeln!(out, "{key} = {}", q(&written.words))?;
        }
    }
    writeln!(out, "kitchen = {}", q(&run.kitchen.to_string()))?;
    if let Some(stores) = &run.stores {
        writeln!(out, "stores = {}", q(&stores.to_string()))?;
    }
    for make in &run.makes {
        writeln!(out, "\n[[make]]")?;
        writeln!(out, "formula = {}", q(&make.formula))?;
        writeln!(out, "text = {}", q(&make.text.to_string()))?;
        match &make.much {
            Much::Jars(jars) => writeln!(out, "jars = {jars}")?,
            Much::From(from) => writeln!(out, "from = {}", q(from))?,
        }
        writeln!(out, "jar = {}", q(&make.jar))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hash_of(digit: char) -> String {
        digit.to_string().repeat(64)
    }

    fn text() -> String {
        format!(
            "name = \"Saturday market\"\nfor = \"sale\"\nmarket = \"US\"\nasked_at = \"2026-11-25 08:00\"\n\
             by = \"2026-11-28 09:00\"\naltitude = \"1500 m\"\nkitchen = \"{}\"\n\n[[make]]\n\
             formula = \"lime-curd\"\ntext = \"{}\"\njars = 48\njar = \"half-pint\"\n",
            hash_of('a'),
            hash_of('b')
        )
    }

    #[test]
    fn a_run_reads_back_as_it_was_written() -> Result<(), Vec<Problem>> {
        let run = read_run("run", &text())?;
        assert_eq!(run_text(&run), text());
        assert_eq!(read_run("run", &run_text(&run))?, run);
        Ok(())
    }

    #[test]
    fn jars_and_what_is_on_hand_exclude_each_other() {
        let both = text().replace("jars = 48", "jars = 48\nfrom = \"2 L lime juice, bottled\"");
        assert!(read_run("run", &both).is_err_and(|p| p[0].what.contains("both")));
        let neither = text().replace("jars = 48\n", "");
        assert!(read_run("run", &neither).is_err_and(|p| p[0].what.contains("no \"jars\"")));
    }

    #[test]
    fn what_is_no_hash_is_told_with_its_line() {
        let cut = text().replace(&hash_of('b'), "bbbb");
        assert!(read_run("run", &cut).is_err_and(|p| p[0].line == 11));
    }
}
