//! A recipe being taken in: its lines, what is open, and the answers given so far.

use jarwright_reference::CupSystem;
use serde::Serialize;

use super::amount_text;
use super::ask::{self, AN_AMOUNT};
use super::clean::{seen, uniform};
use super::doubt::{Answer, Choice, Doubt, DoubtKind, Settles};
use super::food::{Found, HowSure, IngredientMatch, Pantry};
use super::line::{MOST_LINE, Reading, Under, take_apart};
use super::measured::{Measured, Unit};
use super::raw::{Raw, section};
use super::{MOST_STEP, MOST_STEPS, whole};
use crate::files::{Amount, AmountUnit, Fault, MOST_CHARS, Part, StoresFile};

/// A recipe from outside as a draft formula.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Draft {
    /// Its name.
    pub name: String,
    /// What it makes, as written; a formula's yield is computed.
    pub made: Option<String>,
    /// What goes in.
    pub lines: Vec<DraftLine>,
    /// The steps, as written.
    pub steps: Vec<String>,
    /// What was read as neither title, yield, ingredient nor step: headings, notes, other recipes
    /// of the page. Nothing of the text is dropped unsaid.
    pub set_aside: Vec<String>,
    /// Questions about the whole recipe.
    pub doubts: Vec<Doubt>,
    #[serde(skip)]
    pub(super) stores: Option<StoresFile>,
}

/// One ingredient line of a draft.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DraftLine {
    /// The line as written, without what cannot be seen.
    pub as_written: String,
    /// What the line's food is taken for.
    pub ingredient: Option<IngredientMatch>,
    /// How much, in the formula file's notation; `None` while anything about it is open.
    pub amount: Option<String>,
    /// The form it is used in.
    pub form: Option<String>,
    /// Whether a person said to leave it out.
    pub left_out: bool,
    /// Whether the amount is for each jar.
    pub each_jar: bool,
    /// Questions, answered ones among them.
    pub doubts: Vec<Doubt>,
    #[serde(skip)]
    pub(super) part: Option<Part>,
    #[serde(skip)]
    pub(super) under: Under,
    #[serde(skip)]
    pub(super) reading: Reading,
    /// What its food was found to be before any answer.
    #[serde(skip)]
    found: Found,
}

impl Draft {
    pub(super) fn new(raw: Raw, stores: Option<&StoresFile>) -> Self {
        let mut lines = Vec::new();
        let mut set_aside: Vec<String> = raw.aside.iter().map(|line| seen(line, MOST_STEP)).collect();
        let mut under = Under::Nothing;
        for raw_line in raw.lines {
            let as_written = seen(&raw_line.text, MOST_LINE);
            let plain = uniform(&as_written);
            if as_written.is_empty() {
                continue;
            }
            // A page's list may hold its headings as lines.
            if let Some(told) = section(&plain) {
                under = told;
                set_aside.push(as_written);
                continue;
            }
            let under = if raw_line.under == Under::Nothing {
                under
            } else {
                raw_line.under
            };
            for reading in take_apart(&plain) {
                lines.push(DraftLine {
                    as_written: as_written.clone(),
                    ingredient: None,
                    amount: None,
                    form: None,
                    left_out: false,
                    each_jar: false,
                    doubts: Vec::new(),
                    part: None,
                    under,
                    found: Pantry(stores).find(&reading.phrase),
                    reading,
                });
            }
        }
        let name = raw.name.map(|name| seen(&name, 120)).filter(|name| !name.is_empty());
        let mut steps: Vec<String> = raw.steps.iter().map(|step| seen(step, MOST_STEP)).collect();
        steps.retain(|step| !step.is_empty());
        set_aside.extend(steps.drain(MOST_STEPS.min(steps.len())..));
        set_aside.retain(|line| !line.is_empty());
        let mut draft = Self {
            name: name.unwrap_or_else(|| "Recipe from outside".to_owned()),
            made: raw.made.map(|made| seen(&made, 120)).filter(|made| !made.is_empty()),
            lines,
            steps,
            set_aside,
            doubts: Vec::new(),
            stores: stores.cloned(),
        };
        draft.settle();
        draft
    }

    /// Questions without an answer, those of the whole recipe first.
    pub fn open(&self) -> impl Iterator<Item = &Doubt> {
        let whole = self.doubts.iter().filter(|doubt| doubt.answer.is_none());
        whole.chain(self.lines.iter().flat_map(DraftLine::open))
    }

    /// The question of a key: `cup`, `3.range`; `3` is the only open one of line 3.
    fn find(&mut self, key: &str) -> Result<&mut Doubt, Fault> {
        let key = key.trim();
        let line = key
            .parse::<usize>()
            .ok()
            .and_then(|number| self.lines.get(number.checked_sub(1)?));
        let key = match line.map(|line| line.open().collect::<Vec<_>>()) {
            Some(open) => match open.as_slice() {
                [only] => only.key.clone(),
                [] => return Err(Fault::new(format!("nothing is open in line {key}"), "")),
                more => {
                    let keys: Vec<&str> = more.iter().map(|doubt| doubt.key.as_str()).collect();
                    let what = format!("line {key} has {} open questions", more.len());
                    return Err(Fault::new(what, keys.join(" or ")));
                }
            },
            None => key.to_owned(),
        };
        let asked: Vec<String> = self.open().map(|doubt| doubt.key.clone()).take(12).collect();
        let mut all = self
            .doubts
            .iter_mut()
            .chain(self.lines.iter_mut().flat_map(|line| line.doubts.iter_mut()));
        all.find(|doubt| doubt.key == key).ok_or_else(|| {
            Fault::new(
                format!("no question \"{key}\""),
                format!("an open one: {}", asked.join(", ")),
            )
        })
    }

    /// Answers a question by its key. What the answer leaves open is asked next.
    ///
    /// # Errors
    /// A [`Fault`]: no such question or choice, or words that do not answer it. The draft is then
    /// as it was.
    pub fn decide(&mut self, key: &str, answer: &Answer) -> Result<(), Fault> {
        let stores = self.stores.clone();
        let doubt = self.find(key)?;
        let key = doubt.key.clone();
        let settled = match answer {
            Answer::Choice(at) if *at < doubt.choices.len() => Answer::Choice(*at),
            Answer::Choice(_) => {
                let last = u8::try_from(doubt.choices.len()).map_or(b'z', |count| b'a' + count.clamp(1, 26) - 1);
                let expected = match (&doubt.in_words, doubt.choices.is_empty()) {
                    (Some(words), true) => words.clone(),
                    _ => format!("a letter from a to {}", char::from(last)),
                };
                return Err(Fault::new(format!("{key} has no such choice"), expected));
            }
            Answer::Words(words) => in_words(doubt, words, Pantry(stores.as_ref()))?,
        };
        let before = self.clone();
        if let Ok(doubt) = self.find(&key) {
            doubt.answer = Some(settled);
        }
        self.settle();
        if self.open().any(|doubt| doubt.key == key) {
            *self = before;
            return Err(Fault::new(format!("{key} is open still after that"), AN_AMOUNT));
        }
        Ok(())
    }

    /// The answer to a question of the whole recipe, by its kind.
    pub(super) fn told(&self, kind: DoubtKind) -> Option<&Doubt> {
        self.doubts
            .iter()
            .find(|doubt| doubt.kind == kind && doubt.answer.is_some())
    }

    /// Whose cups were meant, where it was asked and said.
    pub(super) fn cup(&self) -> Option<CupSystem> {
        match self.told(DoubtKind::Cup)?.chosen() {
            Some(Settles::Cup(system)) => Some(*system),
            _ => None,
        }
    }

    /// Whether pieces are packed and covered; `None` while that is open.
    pub(super) fn packed(&self) -> Option<bool> {
        match self.doubts.iter().find(|doubt| doubt.kind == DoubtKind::Packed) {
            None => Some(false),
            Some(doubt) => match doubt.chosen() {
                Some(Settles::Flag(packed)) => Some(*packed),
                _ => None,
            },
        }
    }

    /// Asks everything anew from the lines as written and the answers given, and works out what
    /// they settle. One answer never changes what another said.
    fn settle(&mut self) {
        let stores = self.stores.clone();
        let pantry = Pantry(stores.as_ref());
        let asked = whole::doubts(self);
        self.doubts = carry(asked, &self.doubts);
        let (packed, cup) = (self.packed(), self.cup());
        for (index, line) in self.lines.iter_mut().enumerate() {
            line.settle(index + 1, pantry, packed, cup);
        }
        // Whose cups depends on what the lines came to.
        let asked = whole::doubts(self);
        self.doubts = carry(asked, &self.doubts);
        let (packed, cup) = (self.packed(), self.cup());
        for (index, line) in self.lines.iter_mut().enumerate() {
            line.settle(index + 1, pantry, packed, cup);
        }
    }
}

/// New questions with the answers that were given to the same ones before.
///
/// Words hold in any case. A choice holds while it is among the choices still; of a line's, with
/// the same words, for another food's pieces are others.
fn carry(asked: Vec<Doubt>, before: &[Doubt]) -> Vec<Doubt> {
    let again = |old: &Doubt, new: &Doubt| match &old.answer {
        Some(Answer::Choice(at)) => {
            let chosen = old.choices.get(*at)?;
            let same = |choice: &Choice| {
                let of_line = new.key.starts_with(|c: char| c.is_ascii_digit());
                choice.settles == chosen.settles && (!of_line || choice.label == chosen.label)
            };
            new.choices.iter().position(same).map(Answer::Choice)
        }
        other => other.clone(),
    };
    let carried = |mut doubt: Doubt| {
        let old = before.iter().find(|old| old.key == doubt.key);
        doubt.answer = old.and_then(|old| again(old, &doubt));
        doubt
    };
    asked.into_iter().map(carried).collect()
}

/// Words as an answer: an amount, an ingredient, or what the whole recipe's questions ask.
fn in_words(doubt: &Doubt, words: &str, pantry: Pantry<'_>) -> Result<Answer, Fault> {
    let words = words.trim();
    if words.chars().count() > MOST_CHARS {
        return Err(Fault::new(
            "an answer too long",
            format!("at most {MOST_CHARS} characters"),
        ));
    }
    // A choice may be said by its words: --answer cup=metric.
    let said = words.to_lowercase();
    let by_words = doubt.choices.iter().position(|choice| {
        let settles = match &choice.settles {
            Settles::Words(words) | Settles::Ingredient(words) => words.to_lowercase(),
            Settles::Cup(system) => super::write::cup_word(*system).to_owned(),
            _ => String::new(),
        };
        choice.label.to_lowercase() == said || (!settles.is_empty() && settles == said)
    });
    if let Some(at) = by_words {
        return Ok(Answer::Choice(at));
    }
    let Some(expected) = &doubt.in_words else {
        let last = char::from(b'a' + u8::try_from(doubt.choices.len().clamp(1, 26) - 1).unwrap_or(25));
        return Err(Fault::new(
            format!("{} is answered by one of its choices, not \"{words}\"", doubt.key),
            format!("a letter from a to {last}"),
        ));
    };
    if doubt.kind.is_food() {
        pantry.named(words).ok_or_else(|| {
            let near = pantry.find(words).matched.nearest.into_iter().next();
            Fault::new(format!("unknown ingredient \"{words}\""), expected.clone()).near(near)
        })?;
        return Ok(Answer::Words(words.to_owned()));
    }
    if doubt.kind.is_amount() {
        return Amount::parse(words).map(|amount| Answer::Words(amount.to_string()));
    }
    whole::check(doubt.kind, words).map(|()| Answer::Words(words.to_owned()))
}

impl DraftLine {
    /// Questions without an answer. A weighed amount answers all that are about how much, unless it
    /// weighs nothing of this food; a line left out has none.
    pub fn open(&self) -> impl Iterator<Item = &Doubt> {
        let weighed = self.said_amount().is_some();
        self.doubts.iter().filter(move |doubt| {
            let by_weight = weighed && doubt.kind.is_amount() && doubt.kind != DoubtKind::Weight;
            !self.left_out && doubt.answer.is_none() && !by_weight
        })
    }

    /// The amount that a person said in words: the latest question about it counts.
    fn said_amount(&self) -> Option<&str> {
        let amounts = self.doubts.iter().rev().filter(|doubt| doubt.kind.is_amount());
        amounts.filter_map(Doubt::said).next()
    }

    /// Asks and works out one line.
    fn settle(&mut self, number: usize, pantry: Pantry<'_>, packed: Option<bool>, cup: Option<CupSystem>) {
        let before = std::mem::take(&mut self.doubts);
        let keyed = |asked: Vec<Doubt>| {
            let asked = asked.into_iter().map(|mut doubt| {
                doubt.key = format!("{number}.{}", doubt.kind.word());
                doubt
            });
            carry(asked.collect(), &before)
        };
        let reading = &self.reading;
        let mut doubts = Vec::new();
        if reading.optional {
            let doubt = Doubt::new(DoubtKind::Optional, "It may be left out. Does it go in?")
                .choice("it goes in", Settles::Flag(true))
                .choice("leave the line out", Settles::LeftOut);
            doubts.extend(keyed(vec![doubt]));
        }
        let (found, asked) = settle_food(reading, self.found.clone(), pantry, &keyed);
        doubts.extend(asked);
        let name = found.matched.name.clone();
        let mut form = found.form.clone();
        form.extend(reading.brackets.iter().cloned());
        self.form = Some(form.join(", ").chars().take(MOST_CHARS).collect::<String>()).filter(|form| !form.is_empty());
        (self.part, self.each_jar) = match self.under {
            _ if reading.each_jar => (None, true),
            Under::EachJar => (None, true),
            Under::Part(part) => (Some(part), false),
            Under::Nothing => (None, false),
        };
        if packed == Some(true) && self.part.is_none() && !self.each_jar {
            let asked = keyed(vec![part_doubt()]);
            if let Some(Settles::Part(part)) = asked.first().and_then(Doubt::chosen) {
                (self.part, self.each_jar) = (*part, part.is_none());
            }
            doubts.extend(asked);
        }
        if packed == Some(false) && self.each_jar {
            let doubt = Doubt::new(
                DoubtKind::EachJar,
                "The amount is for each jar, and all is one mixture. How much goes into the whole batch?",
            );
            doubts.extend(keyed(vec![doubt.or_words(AN_AMOUNT)]));
            self.each_jar = false;
        }
        if packed == Some(false) {
            self.part = None;
        }
        self.ingredient = Some(found.matched);
        self.doubts = doubts;
        self.amount = None;
        if let Some(name) = name {
            self.settle_amount(&name, found.ready, pantry, cup, &keyed);
        }
        self.left_out = self
            .doubts
            .iter()
            .any(|doubt| doubt.chosen() == Some(&Settles::LeftOut));
        if self.left_out || self.open().next().is_some() {
            self.amount = None;
        }
    }

    /// Asks about the amount, and works it out where nothing about it is open.
    fn settle_amount(
        &mut self,
        name: &str,
        ready: bool,
        pantry: Pantry<'_>,
        cup: Option<CupSystem>,
        keyed: &dyn Fn(Vec<Doubt>) -> Vec<Doubt>,
    ) {
        let weights = pantry.weights(name);
        self.doubts
            .extend(keyed(ask::about_amount(&self.reading, name, &weights, ready)));
        let mut amount = self.resolved(cup);
        // What is asked about no further and still comes to no amount: cups and grams in one sum.
        let any_cup = cup.or(Some(CupSystem::Us));
        let asked_already = |doubt: &Doubt| doubt.kind.is_amount() && doubt.answer.is_none();
        if self.resolved(any_cup).is_none() && !self.doubts.iter().any(asked_already) {
            let doubt = Doubt::new(
                DoubtKind::Sum,
                "The parts of the amount do not add up to one. How much is it in all?",
            );
            self.doubts.extend(keyed(vec![doubt.or_words(AN_AMOUNT)]));
            amount = self.resolved(cup);
        }
        let weighs = |text: &str| {
            let amount = Amount::parse(text).map_err(|fault| fault.to_string())?;
            let systems = cup.map_or_else(|| super::CUPS.to_vec(), |cup| vec![cup]);
            let failed = systems
                .iter()
                .map(|cup| amount.weigh(&weights, *cup))
                .find(Result::is_ok);
            match failed {
                Some(_) => Ok(()),
                None => amount
                    .weigh(&weights, systems[0])
                    .map(|_| ())
                    .map_err(|error| error.to_string()),
            }
        };
        if let Some(Err(why)) = amount.as_deref().map(weighs) {
            let doubt = Doubt::new(
                DoubtKind::Weight,
                format!(
                    "{}: {why}. Weigh it once: how much is it?",
                    amount.clone().unwrap_or_default()
                ),
            );
            let mut asked = keyed(vec![doubt.or_words(AN_AMOUNT)]);
            amount = asked.first().and_then(Doubt::said).map(str::to_owned);
            // What cannot be weighed either is no answer: it stays open.
            if amount.as_deref().is_some_and(|text| weighs(text).is_err()) {
                amount = None;
                for doubt in &mut asked {
                    doubt.answer = None;
                }
            }
            self.doubts.extend(asked);
        }
        // What hangs on whose cup is open until that is said.
        let waits = |text: &str| cup.is_none() && Amount::parse(text).is_ok_and(|amount| amount.unit.depends_on_cup());
        self.amount = amount.filter(|text| !waits(text));
    }

    /// The amount by the writing and the answers.
    fn resolved(&self, cup: Option<CupSystem>) -> Option<String> {
        if let Some(said) = self.said_amount() {
            return Some(said.to_owned());
        }
        if self
            .doubts
            .iter()
            .any(|doubt| doubt.kind.is_amount() && doubt.answer.is_none())
        {
            return None;
        }
        let (mut number, mut unit, mut share) = (None, None, 1.0);
        let asked = |kind: DoubtKind| self.doubts.iter().any(|doubt| doubt.kind == kind);
        let written = self.reading.amount.as_ref();
        let written = match (&self.reading.again, written) {
            (Some(again), Some(amount))
                if !asked(DoubtKind::Clash) && !asked(DoubtKind::Container) && !asked(DoubtKind::Fruit) =>
            {
                Some(ask::plainer(amount, again))
            }
            _ => written,
        };
        if let Some(written) = written {
            number = written.one();
            unit = match &written.unit {
                // A solid's ounces, which were not asked about.
                Unit::Ounce => Some((1.0, AmountUnit::Ounce)),
                other => other.plain(),
            };
        }
        for settles in self.doubts.iter().filter_map(Doubt::chosen) {
            match settles {
                Settles::Number(settled) => number = Some(*settled),
                Settles::Unit(factor, settled) => unit = Some((*factor, settled.clone())),
                Settles::Amount(settled, of) => {
                    number = Some(*settled);
                    unit = Some((1.0, of.clone()));
                }
                Settles::Share(settled) => share = *settled,
                Settles::AsWritten
                | Settles::Ingredient(_)
                | Settles::LeftOut
                | Settles::Part(_)
                | Settles::Cup(_)
                | Settles::Words(_)
                | Settles::Flag(_) => {}
            }
        }
        let (factor, unit) = unit?;
        let total = added(number? * factor, &unit, &self.reading.plus, cup)?;
        Some(amount_text(total * share, &unit))
    }

    /// Whether anything about its amount may hang on whose cup is meant.
    pub(super) fn may_need_cup(&self) -> bool {
        if self.left_out {
            return false;
        }
        if let Some(said) = self.said_amount() {
            return Amount::parse(said).is_ok_and(|amount| amount.unit.depends_on_cup());
        }
        let agreed = self.doubts.iter().all(|doubt| doubt.kind != DoubtKind::Clash);
        let written: Vec<&Measured> = match (&self.reading.amount, &self.reading.again) {
            (Some(amount), Some(again)) if agreed => vec![ask::plainer(amount, again)],
            (Some(amount), _) => vec![amount],
            (None, _) => Vec::new(),
        };
        // A sum in cups and spoons; a question that was answered by them.
        let chosen = self
            .doubts
            .iter()
            .filter_map(Doubt::chosen)
            .any(|settles| match settles {
                Settles::Unit(_, unit) | Settles::Amount(_, unit) => unit.depends_on_cup(),
                _ => false,
            });
        let settled_otherwise = self
            .doubts
            .iter()
            .any(|doubt| matches!(doubt.chosen(), Some(Settles::Amount(..))));
        let by_writing = written
            .into_iter()
            .chain(&self.reading.plus)
            .any(|measured| measured.unit.depends_on_cup());
        chosen || (by_writing && !settled_otherwise)
    }
}

/// An amount and what is added to it, in its own unit; `None` where a size is missing.
fn added(first: f64, unit: &AmountUnit, plus: &[Measured], cup: Option<CupSystem>) -> Option<f64> {
    let size = |unit: &AmountUnit| {
        jarwright_reference::mass_g(unit.word()).or_else(|| {
            // Units that do not depend on the cup are the same in every system.
            let system = if unit.depends_on_cup() { cup? } else { CupSystem::Us };
            jarwright_reference::volume_ml(unit.word(), system)
        })
    };
    let is_mass = |unit: &AmountUnit| jarwright_reference::mass_g(unit.word()).is_some();
    plus.iter().try_fold(first, |sum, more| {
        let (factor, of) = match &more.unit {
            Unit::Ounce if is_mass(unit) => (1.0, AmountUnit::Ounce),
            Unit::Ounce => (1.0, AmountUnit::FluidOunce),
            other => other.plain()?,
        };
        if of == *unit {
            return Some(sum + more.one()? * factor);
        }
        (is_mass(&of) == is_mass(unit)).then_some(())?;
        Some(sum + more.one()? * factor * size(&of)? / size(unit)?)
    })
}

/// Settles which food a line means, question after question: what an answer opens is asked too.
fn settle_food(
    reading: &Reading,
    mut found: Found,
    pantry: Pantry<'_>,
    keyed: &dyn Fn(Vec<Doubt>) -> Vec<Doubt>,
) -> (Found, Vec<Doubt>) {
    let mut doubts: Vec<Doubt> = Vec::new();
    // Unknown, then bottled or fresh: two rounds are all there are.
    let mut looked_up = reading.clone();
    for _ in 0..2 {
        let asked = ask::about_food(&looked_up, &found, &pantry);
        let new = |doubt: &Doubt| doubts.iter().all(|old: &Doubt| old.kind != doubt.kind);
        let new = keyed(asked.into_iter().filter(new).collect());
        if new.is_empty() {
            break;
        }
        let open = new.iter().any(|doubt| doubt.answer.is_none());
        for doubt in &new {
            let meant = match (doubt.chosen(), doubt.said()) {
                (Some(Settles::Ingredient(name)), _) => Some((name.as_str(), Some(name.clone()))),
                (_, Some(said)) => Some((said, pantry.named(said))),
                _ => None,
            };
            if let Some((phrase, name)) = meant {
                phrase.clone_into(&mut looked_up.phrase);
                found.matched.name = name;
                found.matched.how_sure = HowSure::Exact;
            }
        }
        doubts.extend(new);
        if open {
            found.matched.name = None;
            break;
        }
    }
    (found, doubts)
}

fn part_doubt() -> Doubt {
    Doubt::new(
        DoubtKind::Part,
        "What is it in the jar, and is the amount for all or for each jar?",
    )
    .choice("pieces that are packed", Settles::Part(Some(Part::Pieces)))
    .choice(
        "part of the brine or syrup that covers them",
        Settles::Part(Some(Part::Brine)),
    )
    .choice("part of a soak that is thrown away", Settles::Part(Some(Part::Soak)))
    .choice("goes into each jar, so much for each", Settles::Part(None))
}
