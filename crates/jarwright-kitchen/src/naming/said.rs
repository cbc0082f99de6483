//! Standings in words.

use jarwright_reference::FoodClass;

use super::{Ask, Held, NameStanding, memory_words};
use crate::order::Law;

/// That no reserved name is known for a class of food in a market; not that there is none.
#[must_use]
pub fn no_name_known(food: FoodClass, market: Law) -> String {
    format!(
        "no reserved name is known in this market ({}) for {}: give it a name that tells plainly what it is, and ask the authority",
        market.word(),
        food.word()
    )
}

impl NameStanding {
    /// How the food stands to the name, in few words.
    #[must_use]
    pub fn verdict(&self) -> &'static str {
        if self.bears() {
            "met by what is counted"
        } else if self.too_close() {
            "too close to call"
        } else if !self.barred.is_empty() || self.asks.iter().any(|ask| ask.held == Held::Fails) {
            "not met"
        } else {
            "not known"
        }
    }

    /// The standing in sentences: the name, each thing asked, what bars it.
    #[must_use]
    pub fn said(&self) -> Vec<String> {
        let verdict = self.verdict();
        let mut lines = vec![format!("\"{}\" ({}): {verdict}", self.name, self.market.word())];
        lines.extend(self.asks.iter().map(Ask::said));
        lines.extend(self.barred.iter().cloned());
        lines.extend(self.beyond.iter().map(|words| format!("not counted here: {words}")));
        lines
    }
}

impl Ask {
    /// One sentence: what was counted, what is asked and by whom, by how much, what would mend it.
    #[must_use]
    pub fn said(&self) -> String {
        let mut said = if self.got.is_nan() {
            format!("{} not counted", self.what)
        } else {
            format!("{} {}", self.what, self.amount(self.got))
        };
        if let Some(least) = &self.at_least {
            said.push_str(&format!(
                ", the name asks for {} ({}, {}{})",
                self.amount(least.value),
                least.source,
                least.place,
                memory_words(least.mark)
            ));
        }
        if let Some(most) = &self.at_most {
            said.push_str(&format!(
                ", at most {} ({}, {}{})",
                self.amount(most.value),
                most.source,
                most.place,
                memory_words(most.mark)
            ));
        }
        match self.held {
            Held::Passes if self.from_memory() => {
                said.push_str(&format!(
                    ": {} to spare, by a figure from memory",
                    self.amount(self.margin)
                ));
            }
            Held::Passes => said.push_str(&format!(": {} to spare", self.amount(self.margin))),
            Held::Fails => said.push_str(&format!(": {} off", self.amount(-self.margin))),
            Held::Unknown if self.at_least.is_none() && self.at_most.is_none() => {
                said.push_str(": what is asked is not known here");
            }
            Held::Unknown | Held::TooClose => {}
        }
        if let Some(note) = &self.note {
            said.push_str(&format!("; {note}"));
        }
        if let Some(change) = &self.change {
            said.push_str(&format!("; {change}"));
        }
        said
    }

    /// An amount with as many digits as tell it from the limit, four at most.
    fn amount(&self, value: f64) -> String {
        let differ = self.margin.abs();
        let digits = if !(1e-6..0.05).contains(&differ) {
            1
        } else if differ >= 0.005 {
            2
        } else {
            4
        };
        // No minus before nothing.
        let scale = 10f64.powi(digits);
        let value = (value * scale).round() / scale + 0.0;
        format!("{value:.0$} {1}", digits as usize, self.unit)
            .trim_end()
            .to_owned()
    }
}
