//! Where a food may be kept: rule rows held against the facts of the plan.
//!
//! Nothing here knows a food by its name. A matching closed row closes a route; else one open
//! or only-with row is needed, and only-with wins; where no row speaks the route is closed. An
//! unknown fact satisfies no condition, so what is not known opens nothing.

use std::collections::HashMap;

use jarwright_figure::{Cited, Graph, Mark, Unit};
use jarwright_reference::{self as reference, Fact, FoodClass, ForUse, Keeping, Market, Route, Rule, State};

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

impl Question<'_> {
    /// Whether a rule is one of this market, use, food and day.
    pub(crate) fn is_of(&self, rule: &Rule) -> bool {
        (rule.market == Market::Any || rule.market == self.market.market())
            && (rule.for_use == ForUse::Any || rule.for_use == self.for_use.for_use())
            && (rule.food.is_empty() || rule.food.contains(&self.food))
            && rule.in_force(self.day)
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
            rule.applies(
                route,
                question.market.market(),
                question.for_use.for_use(),
                question.food,
                question.day,
                known,
            )
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
            let (keeps, keeping) = keeping(graph, question, route, state, &rows);
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

/// Whether a published time speaks of the food as it is kept here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Case {
    /// It does.
    Here,
    /// It speaks of a jar that was opened, thawed or did not seal.
    Another,
    /// It does not speak of this food at all.
    None,
}

/// Which case a keeping row is for, by its own words of condition.
fn case_of(row: &Keeping, question: &Question, firing: &[&Rule]) -> Case {
    let says = |words: &str| row.condition.contains(words);
    let ruled = || {
        firing
            .iter()
            .any(|rule| rule.days.is_some() && rule.source == row.days.source)
    };
    let here = if says("date-marked") || says("cook-chill") {
        // Both are told of food that their rule asks it of, and of no other.
        ruled()
    } else if says("in oil") {
        question.facts.get(&Fact::Oil).is_none_or(|&oil| oil > 0.0)
    } else {
        true
    };
    if !here {
        Case::None
    } else if ["opened", "thawed", "seal failed"]
        .iter()
        .any(|other| row.condition.starts_with(other))
    {
        Case::Another
    } else {
        Case::Here
    }
}

/// The earliest published limit, and every limit side by side.
///
/// The earliest of what was read in print and speaks of this case; from memory only where
/// nothing was read; never of another case, whose days are told in words; never by common
/// practice. A rule that names days caps it.
fn keeping(
    graph: &mut Graph,
    question: &Question,
    route: Route,
    state: State,
    firing: &[&Rule],
) -> (Option<jarwright_figure::Figure>, Vec<String>) {
    if state == State::Closed {
        return (None, Vec::new());
    }
    let rows: Vec<(&Keeping, Case)> = reference::keeping_of(question.food, route)
        .filter(|row| row.market == Market::Any || row.market == question.market.market())
        .filter(|row| row.for_use == ForUse::Any || row.for_use == question.for_use.for_use())
        .map(|row| (row, case_of(row, question, firing)))
        .filter(|(_, case)| *case != Case::None)
        .collect();
    let cap = firing
        .iter()
        .filter(|rule| rule.days.is_some())
        .min_by(|a, b| limit(a).total_cmp(&limit(b)));
    let figure = earliest(&rows).map(|row| (row.condition.as_str(), row.days.clone()));
    let figure = match (figure, cap) {
        (Some((words, days)), Some(rule)) if days.low <= limit(rule) => Some((words, capped(days, limit(rule)))),
        (_, Some(rule)) => Some(("as its rule limits it", cited(rule))),
        (Some((words, days)), None) => Some((words, capped(days, f64::INFINITY))),
        (None, None) => None,
    };
    let figure = figure.map(|(words, days)| {
        let id = graph.published(
            &format!(
                "keeps:{}:{}:{words}:{}:{}:{}",
                question.food.word(),
                route.word(),
                days.source,
                days.low,
                days.high
            ),
            &format!("keeps on this route ({words})"),
            Unit::Day,
            &days,
        );
        graph.figure(id)
    });
    let mut words: Vec<String> = rows.iter().map(|(row, case)| said(row, *case)).collect();
    if let Some(rule) = cap
        && !rows
            .iter()
            .any(|(row, _)| row.days.source == rule.source && (row.days.value - limit(rule)).abs() < 1e-9)
    {
        words.insert(
            0,
            format!(
                "{} at most: {} ({}, {})",
                days(limit(rule)),
                rule.reason,
                rule.source,
                rule.mark.words()
            ),
        );
    }
    (figure, words)
}

/// The row for this very case that ends first; another case's days are words, never a figure.
fn earliest<'r>(rows: &[(&'r Keeping, Case)]) -> Option<&'r Keeping> {
    let read = |row: &Keeping| matches!(row.days.mark, Mark::Seen | Mark::ThirdPartyCopy | Mark::Computed);
    let first = |keep: &dyn Fn(&Keeping, Case) -> bool| {
        rows.iter()
            .filter(|(row, case)| row.days.mark != Mark::CommonPractice && keep(row, *case))
            .map(|(row, _)| *row)
            .min_by(|a, b| a.days.low.total_cmp(&b.days.low))
    };
    first(&|row, case| case == Case::Here && read(row)).or_else(|| first(&|_, case| case == Case::Here))
}

/// The days a rule names [d].
fn limit(rule: &Rule) -> f64 {
    rule.days.unwrap_or(f64::INFINITY)
}

fn cited(rule: &Rule) -> Cited {
    let days = limit(rule);
    Cited {
        value: days,
        low: days,
        high: days,
        source: rule.source.clone(),
        place: rule.place.clone(),
        mark: rule.mark,
    }
}

/// The start of a published span, no longer than a rule allows; the span stays its band.
fn capped(days: Cited, most: f64) -> Cited {
    Cited {
        value: days.low.min(most),
        low: days.low.min(most),
        high: days.high.min(most),
        ..days
    }
}

/// A keeping row as people read it.
fn said(row: &Keeping, case: Case) -> String {
    let span = if row.days.low < row.days.high {
        format!("{} to {}", days(row.days.low), days(row.days.high))
    } else {
        days(row.days.value)
    };
    let other = if case == Case::Another {
        " (another case than this)"
    } else {
        ""
    };
    let note = if row.note.is_empty() {
        String::new()
    } else {
        format!("; {}", row.note)
    };
    format!(
        "{span}, {}{other}{note} ({}, {})",
        row.condition,
        row.days.source,
        row.days.mark.words()
    )
}

/// `4 months`, `3 weeks`, `10 days`: as the trade says it, only where it comes out even.
fn days(days: f64) -> String {
    let whole = days.round();
    if whole <= 1.0 {
        "1 day".into()
    } else if (360.0..=370.0).contains(&whole) {
        "1 year".into()
    } else if whole >= 56.0 {
        format!("{:.0} months", whole / 30.4)
    } else if whole >= 14.0 && (whole % 7.0).abs() < 1e-9 {
        format!("{:.0} weeks", whole / 7.0)
    } else {
        format!("{whole:.0} days")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAY: &str = "2026-11-25";

    fn verdict(route: Route, food: FoodClass, for_use: Use, market: Law, known: &[(Fact, f64)]) -> Verdict {
        let facts: Facts = [
            (Fact::PhKnown, 1.0),
            (Fact::PhMeasured, 0.0),
            (Fact::Ph, 3.5),
            (Fact::PhLow, 3.3),
            (Fact::PhHigh, 3.7),
            (Fact::WaterActivity, 0.95),
            (Fact::WaterActivityHigh, 0.96),
            (Fact::InSchedule, 0.0),
            (Fact::InClassSchedule, 0.0),
            (Fact::LetterInForce, 0.0),
            (Fact::Oil, 0.0),
            (Fact::Alliums, 0.0),
            (Fact::HasRefrigerator, 1.0),
            (Fact::HasFreezer, 1.0),
        ]
        .into_iter()
        .chain(known.iter().copied())
        .filter(|(_, value)| value.is_finite())
        .collect();
        let question = Question {
            formula: "test",
            food,
            for_use,
            market,
            day: DAY,
            facts: &facts,
        };
        let mut all = verdicts(&mut Graph::new(), &question, |_| Vec::new());
        all.swap_remove(Route::ALL.iter().position(|r| *r == route).unwrap_or_default())
    }

    fn keeps(verdict: &Verdict) -> Option<(f64, f64, f64)> {
        verdict.keeps.as_ref().map(|f| (f.value, f.low, f.high))
    }

    const LOW_ACID: [(Fact, f64); 3] = [(Fact::Ph, 5.4), (Fact::PhLow, 5.2), (Fact::PhHigh, 5.6)];

    #[test]
    fn garlic_in_oil_keeps_four_days_in_the_refrigerator_and_no_more() {
        let unknown = [
            (Fact::Ph, f64::NAN),
            (Fact::PhLow, f64::NAN),
            (Fact::PhHigh, f64::NAN),
            (Fact::PhKnown, 0.0),
        ];
        for food in FoodClass::ALL {
            for (use_, law) in [
                (Use::Sale, Law::Us),
                (Use::OwnUse, Law::Us),
                (Use::Sale, Law::Eu),
                (Use::OwnUse, Law::Uk),
            ] {
                for ph in [&LOW_ACID[..], &unknown[..]] {
                    let garlic = [ph, &[(Fact::Alliums, 1.0), (Fact::Oil, 1.0)]].concat();
                    let v = verdict(Route::Refrigerator, food, use_, law, &garlic);
                    let most = keeps(&v).map(|(_, _, high)| high);
                    assert!(
                        most.is_some_and(|days| days <= 4.0),
                        "{food:?} {law:?}: {:?}",
                        v.keeping
                    );
                    assert!(v.keeping.iter().any(|line| line.contains("4 days")), "{:?}", v.keeping);
                }
            }
        }
    }

    #[test]
    fn food_that_needs_chilling_is_sold_within_the_seven_days_of_its_date_mark() {
        let sauce = verdict(Route::Refrigerator, FoodClass::Sauce, Use::Sale, Law::Us, &LOW_ACID);
        assert_eq!(keeps(&sauce), Some((7.0, 7.0, 7.0)), "{:?}", sauce.keeping);
        let curd = verdict(Route::Refrigerator, FoodClass::Curd, Use::Sale, Law::Us, &[]);
        assert_eq!(keeps(&curd), Some((7.0, 7.0, 7.0)), "{:?}", curd.keeping);
        // Acid enough to need no date mark: the mark's days are not its own.
        let jam = verdict(Route::Refrigerator, FoodClass::Jam, Use::Sale, Law::Us, &[]);
        assert_eq!(keeps(&jam), Some((21.0, 21.0, 21.0)), "{:?}", jam.keeping);
        assert!(!jam.keeping.iter().any(|line| line.contains("date-marked")));
    }

    #[test]
    fn opened_thawed_and_unsealed_jars_are_told_but_do_not_set_the_time() {
        let curd = verdict(Route::Refrigerator, FoodClass::Curd, Use::OwnUse, Law::Us, &[]);
        assert_eq!(keeps(&curd), Some((7.0, 7.0, 7.0)));
        for case in ["thawed", "opened", "seal failed within a day of the bath"] {
            let told = |line: &String| line.contains(&format!(", {case} (another case than this)"));
            assert!(curd.keeping.iter().any(told), "{case}: {:?}", curd.keeping);
        }
        // Chilled pickles are published only as opened jars: told, but no figure for a sealed one.
        let pickle = verdict(Route::Refrigerator, FoodClass::Pickle, Use::OwnUse, Law::Us, &[]);
        assert_eq!(keeps(&pickle), None, "{:?}", pickle.keeping);
        assert!(
            pickle
                .keeping
                .iter()
                .any(|line| line.contains(", opened (another case than this)")),
            "{:?}",
            pickle.keeping
        );
    }

    #[test]
    fn a_bag_for_sale_is_capped_by_the_earliest_of_its_laws() {
        let acid = verdict(Route::VacuumPack, FoodClass::Chutney, Use::Sale, Law::Us, &[]);
        assert_eq!(keeps(&acid), Some((14.0, 14.0, 14.0)), "{:?}", acid.keeping);
        assert!(!acid.keeping.iter().any(|line| line.contains("cook-chill")));
        let low = verdict(Route::VacuumPack, FoodClass::Chutney, Use::Sale, Law::Us, &LOW_ACID);
        assert_eq!(keeps(&low), Some((7.0, 7.0, 7.0)), "{:?}", low.keeping);
        let eu = verdict(Route::VacuumPack, FoodClass::Chutney, Use::Sale, Law::Eu, &LOW_ACID);
        assert_eq!(keeps(&eu), Some((10.0, 10.0, 10.0)), "{:?}", eu.keeping);
    }

    #[test]
    fn what_was_read_in_print_stands_before_memory_and_common_practice_sets_nothing() {
        let shelf = verdict(
            Route::Shelf,
            FoodClass::Curd,
            Use::OwnUse,
            Law::Us,
            &[(Fact::InSchedule, 1.0), (Fact::ScheduleFromMemory, 0.0)],
        );
        assert_eq!(keeps(&shelf), Some((90.0, 90.0, 120.0)), "{:?}", shelf.keeping);
        assert!(shelf.keeping.iter().any(|line| line.contains("common practice")));
    }
}
