//! What a cook asks of a food: `brix 65`, `ph<=3.9`, `yield 2 kg`.

use crate::PlanError;
use crate::files::{nearest, quantity};

/// What can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Asked {
    /// Soluble solids of the whole food [°Brix].
    Brix,
    /// Equilibrium pH.
    Ph,
    /// Water activity.
    WaterActivity,
    /// Titratable acidity, as citric acid [g/100 g].
    Acidity,
    /// Fat [g/100 g].
    Fat,
    /// Sugars [g/100 g].
    Sugar,
    /// Fruit and juice put in [g for 100 g of food at the stage].
    Fruit,
    /// Mass of one formula at the stage [g].
    Yield,
}

/// How the food shall stand to the value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// At it.
    Equal,
    /// At it or below.
    AtMost,
    /// At it or above.
    AtLeast,
}

impl Relation {
    /// `=`, `<=` or `>=`.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Equal => "=",
            Self::AtMost => "<=",
            Self::AtLeast => ">=",
        }
    }
}

/// One target.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// What.
    pub asked: Asked,
    /// Below, above or at.
    pub relation: Relation,
    /// The value, in the unit of what is asked.
    pub value: f64,
}

/// Words of a quantity, its range and how near counts as at it.
struct Row {
    asked: Asked,
    words: &'static [&'static str],
    unit: &'static str,
    range: (f64, f64),
    range_words: &'static str,
    tolerance: f64,
}

/// The ranges are what foods in jars can be, by common practice; the tolerances are the last
/// digit that kitchen instruments show.
const ROWS: [Row; 8] = [
    Row {
        asked: Asked::Brix,
        words: &["brix", "°brix", "bx", "soluble solids", "solids"],
        unit: "°Brix",
        range: (0.0, 85.0),
        range_words: "from 0 to 85 °Brix; a syrup that is stronger sets to sugar",
        tolerance: 0.1,
    },
    Row {
        asked: Asked::Ph,
        words: &["ph"],
        unit: "pH",
        range: (1.5, 9.0),
        range_words: "from 1.5 to 9; no food in jars is outside that",
        tolerance: 0.01,
    },
    Row {
        asked: Asked::WaterActivity,
        words: &["aw", "a_w", "water activity", "water-activity"],
        unit: "",
        range: (0.5, 1.0),
        range_words: "from 0.5 to 1, such as 0.85",
        tolerance: 0.001,
    },
    Row {
        asked: Asked::Acidity,
        words: &["acidity", "acid", "titratable acidity"],
        unit: "% as citric acid",
        range: (0.0, 15.0),
        range_words: "from 0 to 15 %, as citric acid",
        tolerance: 0.01,
    },
    Row {
        asked: Asked::Fat,
        words: &["fat"],
        unit: "% fat",
        range: (0.0, 90.0),
        range_words: "from 0 to 90 %",
        tolerance: 0.1,
    },
    Row {
        asked: Asked::Sugar,
        words: &["sugar", "sugars"],
        unit: "% sugars",
        range: (0.0, 85.0),
        range_words: "from 0 to 85 %",
        tolerance: 0.1,
    },
    Row {
        asked: Asked::Fruit,
        words: &["fruit"],
        unit: "% fruit and juice",
        range: (0.0, 500.0),
        range_words: "from 0 to 500 g in 100 g; boiling down takes more than 100",
        tolerance: 0.1,
    },
    Row {
        asked: Asked::Yield,
        words: &["yield", "mass", "batch", "weight"],
        unit: "g",
        range: (10.0, 1e6),
        range_words: "from 10 g to 1000 kg, such as \"yield 2 kg\"",
        tolerance: 1.0,
    },
];

impl Asked {
    fn row(self) -> &'static Row {
        // Every quantity has its row; a test holds that.
        ROWS.iter().find(|row| row.asked == self).unwrap_or(&ROWS[0])
    }

    /// The word of the quantity in a target.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::WaterActivity => "water activity",
            other => other.row().words[0],
        }
    }

    /// Its unit as people read it; empty for a plain number.
    #[must_use]
    pub fn unit(self) -> &'static str {
        self.row().unit
    }

    /// How near a value counts as at the target.
    #[must_use]
    pub fn tolerance(self) -> f64 {
        self.row().tolerance
    }

    /// Whether the value is computed with a band, whose far end a limit is held against.
    #[must_use]
    pub const fn banded(self) -> bool {
        matches!(self, Self::Ph | Self::WaterActivity)
    }

    /// A value in as many digits as make sense.
    #[must_use]
    pub fn number(self, value: f64) -> String {
        let places = match self {
            Self::Ph | Self::Acidity => 2,
            Self::WaterActivity => 3,
            Self::Yield => 0,
            Self::Brix | Self::Fat | Self::Sugar | Self::Fruit => 1,
        };
        format!("{value:.places$}")
    }
}

const EXPECTED: &str = "write one as \"brix 65\", \"ph<=3.9\", \"aw <= 0.85\", \"acidity 0.8\", \"fat >= 4\", \
                        \"sugar 40\", \"fruit >= 35\" or \"yield 2 kg\"";

impl Target {
    /// Reads one target.
    ///
    /// # Errors
    /// [`PlanError::Asked`]: an unknown quantity with the nearest word, no number, a number that
    /// no food has.
    pub fn parse(text: &str) -> Result<Self, PlanError> {
        let fault = |what: String| PlanError::asked(format!("--to \"{}\": {what}", text.trim()), EXPECTED);
        let plain = text.trim().replace('≤', "<=").replace('≥', ">=");
        if plain.is_empty() {
            return Err(fault("a target of nothing".into()));
        }
        let cut = plain.find(['<', '>', '=']);
        let (name, relation, rest) = match cut {
            Some(at) => {
                let (name, signed) = plain.split_at(at);
                let rest = signed.trim_start_matches(['<', '>', '=']);
                let relation = match &signed[..signed.len() - rest.len()] {
                    "=" | "==" => Relation::Equal,
                    "<=" | "<" | "=<" => Relation::AtMost,
                    ">=" | ">" | "=>" => Relation::AtLeast,
                    other => return Err(fault(format!("\"{other}\" is not =, <= or >="))),
                };
                (name, relation, rest)
            }
            None => {
                // A bare number: it starts where the last word that is one does.
                let at = plain
                    .char_indices()
                    .find(|&(i, c)| {
                        let starts = c.is_ascii_digit() || (matches!(c, '-' | '+' | '.') && i > 0);
                        starts && plain[..i].ends_with(char::is_whitespace)
                    })
                    .map(|(i, _)| i)
                    .or_else(|| plain.rfind(char::is_whitespace))
                    .ok_or_else(|| fault("no number".into()))?;
                (&plain[..at], Relation::Equal, &plain[at..])
            }
        };
        let asked = asked_of(name.trim()).map_err(|near| {
            let what = if name.trim().is_empty() {
                "nothing is named before the number".into()
            } else {
                format!("unknown target \"{}\"", name.trim())
            };
            let hint = near.map_or_else(
                || EXPECTED.into(),
                |near| format!("did you mean \"{near}\"? {EXPECTED}"),
            );
            PlanError::asked(format!("--to \"{}\": {what}", text.trim()), hint)
        })?;
        let value = number(asked, rest.trim()).map_err(fault)?;
        let row = asked.row();
        let (least, most) = row.range;
        if !(least..=most).contains(&value) {
            return Err(PlanError::asked(
                format!("--to \"{}\": no food has that", text.trim()),
                format!("give {} {}", asked.word(), row.range_words),
            ));
        }
        Ok(Self { asked, relation, value })
    }

    /// `ph <= 3.9`.
    #[must_use]
    pub fn words(&self) -> String {
        let number = format!("{}", (self.value * 1e6).round() / 1e6);
        let unit = match self.asked {
            Asked::Yield => " g",
            Asked::Fat | Asked::Sugar | Asked::Fruit | Asked::Acidity => " %",
            Asked::Brix | Asked::Ph | Asked::WaterActivity => "",
        };
        format!("{} {} {number}{unit}", self.asked.word(), self.relation.sign())
    }

    /// How near counts as at the value; of a yield two thousandths, as many lines are rounded.
    #[must_use]
    pub fn tolerance(&self) -> f64 {
        match self.asked {
            Asked::Yield => self.asked.tolerance().max(0.002 * self.value),
            other => other.tolerance(),
        }
    }

    /// How far a reading is on the wrong side, in the target's own unit; 0 where it is met.
    ///
    /// * `low`, `high`: ends of the value's band, the value itself where it has none
    pub(super) fn miss(&self, value: f64, low: f64, high: f64) -> f64 {
        let miss = match self.relation {
            Relation::Equal => (value - self.value).abs() - self.tolerance(),
            Relation::AtMost => high - self.value,
            Relation::AtLeast => self.value - low,
        };
        // Binary fractions are no miss.
        if miss > 1e-9 * self.value.abs().max(1.0) {
            miss
        } else {
            0.0
        }
    }
}

/// Refuses targets that cannot hold together, whatever the food.
///
/// # Errors
/// [`PlanError::Asked`] naming the two.
pub(super) fn agree(targets: &[Target]) -> Result<(), PlanError> {
    for (i, a) in targets.iter().enumerate() {
        for b in &targets[i + 1..] {
            if a.asked != b.asked {
                continue;
            }
            let span = |t: &Target| match t.relation {
                Relation::Equal => (t.value, t.value),
                Relation::AtMost => (f64::NEG_INFINITY, t.value),
                Relation::AtLeast => (t.value, f64::INFINITY),
            };
            let ((a_low, a_high), (b_low, b_high)) = (span(a), span(b));
            if a_low.max(b_low) > a_high.min(b_high) {
                return Err(PlanError::asked(
                    format!("\"{}\" and \"{}\" contradict each other", a.words(), b.words()),
                    "give one of them",
                ));
            }
        }
    }
    Ok(())
}

fn asked_of(name: &str) -> Result<Asked, Option<String>> {
    let lower = name.to_lowercase();
    ROWS.iter()
        .find(|row| row.words.contains(&lower.as_str()))
        .map(|row| row.asked)
        .ok_or_else(|| nearest(&lower, ROWS.iter().flat_map(|row| row.words.iter().copied())))
}

fn number(asked: Asked, text: &str) -> Result<f64, String> {
    if text.is_empty() {
        return Err("no number".into());
    }
    if asked == Asked::Yield && text.ends_with(char::is_alphabetic) {
        return quantity::mass_g(text).map_err(|fault| fault.to_string());
    }
    let digits = text
        .trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '%' | '°'))
        .trim_end();
    let unit = text[digits.len()..].trim().to_lowercase();
    let known = match asked {
        Asked::Brix => ["bx", "brix", "°brix", "°bx", "%"].contains(&unit.as_str()),
        Asked::Acidity | Asked::Fat | Asked::Sugar | Asked::Fruit => unit == "%",
        Asked::Ph => unit == "ph",
        Asked::WaterActivity | Asked::Yield => false,
    };
    if !unit.is_empty() && !known && !digits.is_empty() {
        return Err(format!("\"{unit}\" is no unit of it"));
    }
    if digits.contains(',') {
        return Err(format!("a comma in \"{digits}\": write a decimal point"));
    }
    match digits.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(format!("\"{text}\" is not a number")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<(Asked, Relation, f64)> {
        Target::parse(text).ok().map(|t| (t.asked, t.relation, t.value))
    }

    #[test]
    fn a_target_is_read_as_cooks_write_it() {
        for (text, want) in [
            ("brix 65", (Asked::Brix, Relation::Equal, 65.0)),
            ("Brix = 65 °Bx", (Asked::Brix, Relation::Equal, 65.0)),
            ("ph<=3.9", (Asked::Ph, Relation::AtMost, 3.9)),
            ("pH ≤ 3.9", (Asked::Ph, Relation::AtMost, 3.9)),
            ("water activity <= 0.85", (Asked::WaterActivity, Relation::AtMost, 0.85)),
            ("water activity 0.85", (Asked::WaterActivity, Relation::Equal, 0.85)),
            ("fat>=4%", (Asked::Fat, Relation::AtLeast, 4.0)),
            ("acidity 0.8 %", (Asked::Acidity, Relation::Equal, 0.8)),
            ("yield 2 kg", (Asked::Yield, Relation::Equal, 2000.0)),
            ("yield=900", (Asked::Yield, Relation::Equal, 900.0)),
        ] {
            assert_eq!(read(text), Some(want), "{text}");
        }
    }

    #[test]
    fn what_no_food_has_is_refused_with_a_remedy() {
        for text in [
            "brix 120",
            "ph -1",
            "ph NaN",
            "aw 85",
            "brix inf",
            "brix",
            "",
            "65",
            "ph<=",
            "ph<>3",
            "sugar 3,5",
            "brix 65 kg",
            "yield 2 parsec",
            "ph <= three",
            "aw 0.85 %",
        ] {
            let error = Target::parse(text).err().map(|e| e.to_string()).unwrap_or_default();
            assert!(error.contains("hint: "), "{text}: {error}");
        }
        let error = Target::parse("brx 65").err().map(|e| e.to_string()).unwrap_or_default();
        assert!(error.contains("did you mean \"brix\"?"), "{error}");
    }

    proptest::proptest! {
        #[test]
        fn arbitrary_text_never_panics(text in ".{0,40}", sign in "(<=|>=|=| )") {
            let _ = (Target::parse(&text), Target::parse(&format!("brix{sign}{text}")));
        }
    }

    #[test]
    fn every_quantity_has_its_own_row() {
        for row in &ROWS {
            assert_eq!(row.asked.row().words, row.words);
        }
    }

    #[test]
    fn two_targets_that_cannot_both_hold_are_told() {
        let all = |texts: &[&str]| -> Vec<Target> { texts.iter().filter_map(|t| Target::parse(t).ok()).collect() };
        assert!(agree(&all(&["brix 60", "brix 65"])).is_err());
        assert!(agree(&all(&["ph <= 3.5", "ph >= 3.6"])).is_err());
        assert!(agree(&all(&["ph <= 3.9", "ph >= 3.6", "brix 60"])).is_ok());
    }
}
