//! Fields of a form: a label, what was typed, and the faults beside it.

use jarwright_kitchen::files::Problem;
use maud::{Markup, html};

use crate::form::{Faults, Form};
use crate::guard::Visit;
use crate::words::Words;

/// Fields over one text and its faults.
#[derive(Debug, Clone, Copy)]
pub struct Fields<'a> {
    /// The text being edited.
    pub form: &'a Form,
    /// What is wrong with it.
    pub faults: &'a Faults,
    /// The page's texts.
    pub words: Words,
}

impl Fields<'_> {
    /// A line of text with its label above and its faults below.
    pub fn text(&self, place: &str, label: &str, hint: Option<&str>) -> Markup {
        self.labelled(place, label, hint, |described| {
            html! {
                input type="text" id=(place) name=(place) value=(self.form.get(place)) autocomplete="off"
                    aria-invalid=[self.wrong(place).then_some("true")] aria-describedby=[described];
            }
        })
    }

    /// A whole number.
    pub fn count(&self, place: &str, label: &str, hint: Option<&str>) -> Markup {
        self.labelled(place, label, hint, |described| {
            html! {
                input type="text" inputmode="numeric" id=(place) name=(place) value=(self.form.get(place)) autocomplete="off"
                    aria-invalid=[self.wrong(place).then_some("true")] aria-describedby=[described];
            }
        })
    }

    /// A day.
    pub fn day(&self, place: &str, label: &str) -> Markup {
        self.labelled(place, label, None, |described| {
            html! {
                input type="date" id=(place) name=(place) value=(self.form.get(place))
                    aria-invalid=[self.wrong(place).then_some("true")] aria-describedby=[described];
            }
        })
    }

    /// One of several words, each with the words people read; the first may be nothing.
    pub fn one_of(&self, place: &str, label: &str, choices: &[(String, String)]) -> Markup {
        let chosen = self.form.get(place);
        let known = choices.iter().any(|(word, _)| *word == chosen);
        self.labelled(place, label, None, |described| {
            html! {
                select id=(place) name=(place) aria-invalid=[self.wrong(place).then_some("true")] aria-describedby=[described] {
                    @if !known { option value=(chosen) selected { (chosen) } }
                    @for (word, said) in choices {
                        option value=(word) selected[*word == chosen] { (said) }
                    }
                }
            }
        })
    }

    /// Yes or no.
    pub fn flag(&self, place: &str, label: &str) -> Markup {
        html! {
            div class="field tick" {
                input type="checkbox" id=(place) name=(place) value="on" checked[!self.form.get(place).is_empty()];
                label for=(place) { (label) }
            }
        }
    }

    /// The faults at a place, told.
    pub fn told(&self, place: &str) -> Markup {
        let faults: Vec<&Problem> = self.faults.at(place).collect();
        html! {
            @if !faults.is_empty() {
                div class="fault" id={ (place) "-fault" } lang="en" {
                    @for fault in faults { p { (self.said(fault)) } }
                }
            }
        }
    }

    /// Faults that stand at none of these places: of the whole text.
    pub fn told_elsewhere(&self, shown: &[String]) -> Markup {
        let faults: Vec<&Problem> = self.faults.elsewhere(shown).collect();
        html! {
            @if !faults.is_empty() {
                div class="fault" role="alert" lang="en" { @for fault in faults { p { (self.said(fault)) } } }
            }
        }
    }

    fn said(&self, fault: &Problem) -> Markup {
        html! {
            (fault.what)
            @if !fault.expected.is_empty() { "; " (self.words.say("form.expected")) " " (fault.expected) }
            @if let Some(nearest) = &fault.nearest { ". " (self.words.say("form.did_you_mean")) " \u{201c}" (nearest) "\u{201d}?" }
            @if let Some(hint) = &fault.hint { ". " (hint) }
        }
    }

    fn wrong(&self, place: &str) -> bool {
        self.faults.at(place).next().is_some()
    }

    fn labelled(
        &self,
        place: &str,
        label: &str,
        hint: Option<&str>,
        input: impl Fn(Option<String>) -> Markup,
    ) -> Markup {
        let ids: Vec<String> = [
            hint.map(|_| format!("{place}-hint")),
            self.wrong(place).then(|| format!("{place}-fault")),
        ]
        .into_iter()
        .flatten()
        .collect();
        let described = (!ids.is_empty()).then(|| ids.join(" "));
        html! {
            div class="field" {
                label for=(place) { (label) }
                @if let Some(hint) = hint { p class="hint" id={ (place) "-hint" } { (hint) } }
                (input(described))
                (self.told(place))
            }
        }
    }
}

/// The hidden fields that a change needs: the visit's token, and the version it was made from.
pub fn hidden(visit: &Visit, after: Option<u64>) -> Markup {
    html! {
        input type="hidden" name="form-token" value=(visit.token());
        @if let Some(after) = after { input type="hidden" name="made-from" value=(after); }
    }
}
