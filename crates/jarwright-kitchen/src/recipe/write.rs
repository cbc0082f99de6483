//! A draft whose questions are all answered becomes a formula file.

use jarwright_reference::{CupSystem, FoodClass};

use super::clean::seen;
use super::doubt::{Doubt, DoubtKind, Settles};
use super::draft::{Draft, DraftLine};
use super::line::MOST_LINE;
use super::whole::temperatures;
use crate::files::quantity::mass_g;
use crate::files::{Amount, FormulaFile, FormulaLine, GoesIn, Pack, formula_text, read_formula_with, stop_at};

/// Most set-aside lines told in a formula's head.
const MOST_ASIDE: usize = 50;

/// The word of a cup system in a formula file.
pub(super) const fn cup_word(system: CupSystem) -> &'static str {
    match system {
        CupSystem::Us => "us",
        CupSystem::UsLabel => "us-label",
        CupSystem::Metric => "metric",
        CupSystem::Imperial => "imperial",
    }
}

impl Draft {
    /// The formula file's text. It names no schedule, and its head says that it was taken in from
    /// outside.
    ///
    /// # Errors
    /// Every question that is open still. A draft none of whose lines is left, or whose formula
    /// cannot be read back, comes with one question that says so.
    pub fn to_toml(&self) -> Result<String, Vec<Doubt>> {
        let open: Vec<Doubt> = self.open().cloned().collect();
        if !open.is_empty() {
            return Err(open);
        }
        let fault = |what: String| vec![Doubt::new(DoubtKind::Ingredient, what)];
        let formula = self.formula().map_err(fault)?;
        let mut about = self.about();
        about.insert(1, "Amounts that were doubtful were settled by a person.".to_owned());
        let text = formula_text(&formula, &about);
        // The reader has the last word: what it refuses is never handed out.
        read_formula_with("the draft", &text, self.stores.as_ref())
            .map_err(|problems| fault(problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")))?;
        Ok(text)
    }

    /// What is written for a question of the whole recipe.
    pub(super) fn words(&self, kind: DoubtKind) -> Option<String> {
        let doubt = self.told(kind)?;
        match doubt.chosen() {
            Some(Settles::Words(words)) => Some(words.clone()),
            _ => doubt.said().map(str::to_owned),
        }
    }

    fn formula(&self) -> Result<FormulaFile, String> {
        let packed = self.packed() == Some(true);
        let lines: Vec<FormulaLine> = self
            .lines
            .iter()
            .filter(|line| !line.left_out)
            .map(|line| formula_line(line, packed))
            .collect::<Result<_, _>>()?;
        if lines.is_empty() {
            return Err("every line is left out: nothing is made of that".into());
        }
        let uses_cup = lines.iter().any(|line| line.amount.unit.depends_on_cup());
        let stop = self.words(DoubtKind::StopAt).filter(|words| !words.is_empty());
        let food = self.words(DoubtKind::Food).unwrap_or_default();
        let pieces = self.words(DoubtKind::PiecesPerJar);
        Ok(FormulaFile {
            name: self.name.clone(),
            food: FoodClass::parse(&food).ok_or_else(|| format!("\"{food}\" is no class of food"))?,
            cup: self.cup().filter(|_| uses_cup),
            schedule: None,
            stop_at: stop
                .map(|words| stop_at(&words))
                .transpose()
                .map_err(|fault| fault.to_string())?,
            jar_headspace_mm: None,
            fill_at_c: None,
            measured: None,
            letter: None,
            pack: pieces
                .filter(|_| packed)
                .map(|words| mass_g(&words).map(|g| Pack { pieces_per_jar_g: g }))
                .transpose()
                .map_err(|fault| fault.to_string())?,
            lines,
        })
    }

    /// Lines of comment at the formula's head.
    pub(super) fn about(&self) -> Vec<String> {
        let mut out = vec![
            "Taken in from outside. It is no tested schedule and claims none; minutes in its steps are not \
             one either."
                .to_owned(),
        ];
        out.extend(
            self.made
                .iter()
                .map(|made| format!("Makes, as written: {made}. The plan computes its own.")),
        );
        for line in &self.lines {
            if line.left_out {
                out.push(format!("Left out: {}", line.as_written));
            } else if let Some(amount) = &line.amount {
                out.push(format!("As written: {} -> {amount}", line.as_written));
            }
        }
        if !self.steps.is_empty() {
            out.push("Steps, as written:".into());
            out.extend(self.steps.iter().map(|step| format!("  {step}")));
        }
        if !self.set_aside.is_empty() {
            out.push("Set aside, read as no ingredient:".into());
            let shown = self.set_aside.iter().take(MOST_ASIDE);
            out.extend(shown.map(|line| format!("  {}", seen(line, MOST_LINE))));
            if let Some(more) = self.set_aside.len().checked_sub(MOST_ASIDE).filter(|more| *more > 0) {
                out.push(format!("  and {more} more lines"));
            }
        }
        for found in temperatures(&self.steps).iter().filter(|found| found.scale.is_none()) {
            let key = format!("scale-{}", found.number);
            let doubt = self.doubts.iter().find(|doubt| doubt.key == key);
            if let Some(Settles::Words(scale)) = doubt.and_then(Doubt::chosen) {
                out.push(format!("{} degrees in the steps are °{scale}.", found.number));
            }
        }
        out
    }
}

fn formula_line(line: &DraftLine, packed: bool) -> Result<FormulaLine, String> {
    let name = line.ingredient.as_ref().and_then(|found| found.name.clone());
    let amount = line.amount.as_deref().map(Amount::parse);
    let (Some(ingredient), Some(Ok(amount))) = (name, amount) else {
        return Err(format!("\"{}\" has no amount that can be written", line.as_written));
    };
    Ok(FormulaLine {
        ingredient,
        amount,
        form: line.form.clone(),
        step: None,
        goes_in: GoesIn::Start,
        sieved_out: 0.0,
        per_jar: packed && line.each_jar,
        part: line.part.filter(|_| packed && !line.each_jar),
        ingredient_at: 0..0,
        amount_at: 0..0,
    })
}
