//! Where a food may be kept: rule rows held against the facts of the plan.
//!
//! Nothing here knows a food by its name. A matching closed row closes a route; else one open
//! or only-with row is needed, and only-with wins; where no row speaks the route is closed. An
//! unknown fact satisfies no condition, so what is not known opens nothing.

use std::collections::HashMap;

use jarwright_figure::{Graph, Unit};
use jarwright_reference::{self as reference, Fact, FoodClass, ForUse, Market, Route, Rule, State};

use crate::order::{Law, Use};
use crate::plan::{Reason, Verdict};

/// The facts of one formula; what is missing is unknown.
pub(crate) type Facts = HashMap<Fact, f64>;

/// What a verdict is asked for.
pub(crate) struct Question<'a> {
    pub(crate) formula: &'a str,
    pub(crate) food: FoodClass,
    pub(crate) for_use: Use,
    pub(crate) market: Law,
    /// `YYYY-MM-DD`.
    pub(crate) day: &'a str,
    pub(crate) facts: &'a Facts,
}

impl Law {
    pub(crate) fn market(self) -> Market {
        match self {
            Self::Us => Market::Us,
            Self::Eu => Market::Eu,
            Self::Uk => Market::Uk,
        }
    }
}

impl Use {
    fn for_use(self) -> ForUse {
        match self {
            Self::Sale => ForUse::Sale,
            Self::OwnUse => ForUse::OwnUse,
        }
    }
}

/// State of a route with the rows that set it.
pub(crate) fn state_of<'r>(
    rules: impl Iterator<Item = &'r Rule>,
    question: &Question,
    route: Route,
) -> (State, Vec<&'r Rule>) {
    let known = |fact: Fact| question.facts.get(&fact).copied().unwrap_or(f64::NAN);
    let speaking: Vec<&Rule> = rules
        .filter(|rule| {
            rule.applies(route, question.market.market(), question.for_use.for_use(), question.food, question.day, known)
        })
        .collect();
    let any = |state: State| speaking.iter().any(|rule| rule.state == state);
    let state = if any(State::Closed) {
        State::Closed
    } else if any(State::OnlyWith) {
        State::OnlyWith
    } else if any(State::Open) {
        State::Open
    } else {
        State::Closed
    };
    // A row that is milder than the outcome is not a reason for it.
    let reasons = speaking.into_iter().filter(|rule| rule.state == state).collect();
    (state, reasons)
}

/// The verdict on every route.
pub(crate) fn verdicts(graph: &mut Graph, question: &Question, how: impl Fn(Route) -> Vec<String>) -> Vec<Verdict> {
    Route::ALL
        .into_iter()
        .map(|route| {
            let (state, rows) = state_of(reference::rules().iter(), question, route);
            let mut reasons: Vec<Reason> = rows.iter().map(|rule| reason(rule, question.facts)).collect();
            if reasons.is_empty() {
                reasons.push(Reason {
                    text: "no published rule opens this route for this food".into(),
                    rule: "none".into(),
                    jurisdiction: question.market.word().into(),
                    source: String::new(),
                    edition: String::new(),
                    mark: "",
                });
            }
            let mut missing: Vec<String> = Vec::new();
            for need in rows.iter().flat_map(|rule| &rule.needs) {
                if !missing.contains(need) {
                    missing.push(need.clone());
                }
            }
            let (keeps, keeping) = keeping(graph, question, route, state);
            Verdict {
                formula: question.formula.into(),
                route: route.word(),
                state: word(state),
                reasons,
                missing,
                keeps,
                keeping,
                how: if state == State::Closed { Vec::new() } else { how(route) },
            }
        })
        .collect()
}

/// The state's word in JSON and text.
const fn word(state: State) -> &'static str {
    match state {
        State::Open => "open",
        State::OnlyWith => "only-with",
        State::Closed => "closed",
    }
}

fn reason(rule: &Rule, facts: &Facts) -> Reason {
    let mut text = rule.reason.clone();
    for (fact, value) in facts {
        let place = format!("{{{}}}", fact.word());
        if text.contains(&place) {
            text = text.replace(&place, &number(*value));
        }
    }
    Reason {
        text,
        rule: rule.id.clone(),
        jurisdiction: rule.market.word().into(),
        source: format!("{}, {}", rule.source, rule.place),
        edition: rule.edition.clone(),
        mark: rule.mark.words(),
    }
}

/// At most two decimals, none that say nothing.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The earliest published limit, and every limit side by side.
fn keeping(
    graph: &mut Graph,
    question: &Question,
    route: Route,
    state: State,
) -> (Option<jarwright_figure::Figure>, Vec<String>) {
    if state == State::Closed {
        return (None, Vec::new());
    }
    let all: Vec<_> = reference::keeping_of(question.food, route)
        .filter(|row| row.market == Market::Any || row.market == question.market.market())
        .filter(|row| row.for_use == ForUse::Any || row.for_use == question.for_use.for_use())
        .collect();
    // Rows for this food stand before rows for any food.
    let own: Vec<_> = all.iter().copied().filter(|row| row.food.is_some()).collect();
    let rows = if own.is_empty() { all } else { own };
    let earliest = rows
        .iter()
        .filter(|row| row.days.mark != jarwright_figure::Mark::CommonPractice)
        .min_by(|a, b| a.days.low.total_cmp(&b.days.low));
    let figure = earliest.map(|row| {
        let id = graph.published(
            &format!("keeps:{}:{}:{}:{}", question.food.word(), route.word(), row.condition, row.days.source),
            &format!("keeps on this route ({})", row.condition),
            Unit::Day,
            &row.days,
        );
        graph.figure(id)
    });
    let words = rows
        .iter()
        .map(|row| {
            let span = if row.days.low < row.days.high {
                format!("{} to {}", days(row.days.low), days(row.days.high))
            } else {
                days(row.days.value)
            };
            let note = if row.note.is_empty() { String::new() } else { format!("; {}", row.note) };
            format!("{span}, {}{note} ({}, {})", row.condition, row.days.source, row.days.mark.words())
        })
        .collect();
    (figure, words)
}

/// `4 months`, `3 weeks`, `10 days`: as the trade says it, only where it comes out even.
fn days(days: f64) -> String {
    let whole = days.round();
    if (360.0..=370.0).contains(&whole) {
        "1 year".into()
    } else if whole >= 56.0 {
        format!("{:.0} months", whole / 30.4)
    } else if whole >= 14.0 && (whole % 7.0).abs() < 1e-9 {
        format!("{:.0} weeks", whole / 7.0)
    } else {
        format!("{whole:.0} days")
    }
}
