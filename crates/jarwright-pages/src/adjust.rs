//! A formula solved for a target: which lines move, by how little, and what that does.

use axum::extract::{Path, Query, State};
use axum::response::Response;
use jarwright_kitchen::Law;
use jarwright_kitchen::adjust::{Adjustment, LineView, Request, Target, adjust};
use jarwright_kitchen::files::{StoresFile, formula_text, read_formula_with, read_kitchen, read_stores};
use jarwright_kitchen::order::Use;
use jarwright_kitchen::ports::{Kept, Name, Version};
use maud::{Markup, html};
use serde::Deserialize;

use crate::fields::hidden;
use crate::form::Form;
use crate::frame::{Page, Place, go_on_to};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared, unreadable};
use crate::reader::Reader;
use crate::run::answer::{route_key, state_key};
use crate::trouble::Trouble;
use crate::words::Words;

/// What is asked of a formula, as it stands in the address.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub struct Wish {
    /// Targets, with semicolons between: `ph<=3.9; brix 45`.
    to: String,
    /// Lines that stay, with semicolons between.
    keep: String,
    /// Ingredients that may come in.
    add: String,
    /// One line for another: `egg, whole = medium egg, whole`.
    swap: String,
    /// `sale` or `own-use`.
    #[serde(rename = "for")]
    for_use: String,
    /// `US`, `EU` or `UK`.
    market: String,
}

impl Wish {
    fn of(posted: &Posted) -> Self {
        let get = |name| posted.get(name).to_owned();
        Self {
            to: get("to"),
            keep: get("keep"),
            add: get("add"),
            swap: get("swap"),
            for_use: get("for"),
            market: get("market"),
        }
    }

    fn is_empty(&self) -> bool {
        self.to.trim().is_empty() && self.swap.trim().is_empty()
    }
}

fn listed(text: &str) -> Vec<String> {
    text.split(';')
        .map(str::trim)
        .filter(|one| !one.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Solves in the house's kitchen.
async fn solve(house: &House, version: &Version, wish: &Wish) -> Result<Adjustment, Trouble> {
    let kitchen = house
        .kitchen()
        .await?
        .ok_or_else(|| Trouble::unusable("there is no kitchen yet", "begin on the first page"))?;
    let stores = house.stores().await?;
    let (wish, now, text) = (wish.clone(), (house.clock)(), version.text.clone());
    house
        .turns
        .compute(move || {
            let stores = match &stores {
                Some(version) => {
                    read_stores("stores", version.text.as_str()).map_err(|problems| unreadable("stores", &problems))?
                }
                None => StoresFile::default(),
            };
            let kitchen =
                read_kitchen("kitchen", kitchen.text.as_str()).map_err(|problems| unreadable("kitchen", &problems))?;
            let formula = read_formula_with("formula", text.as_str(), Some(&stores))
                .map_err(|problems| unreadable("formula", &problems))?;
            let targets = listed(&wish.to)
                .iter()
                .map(|one| Target::parse(one))
                .collect::<Result<Vec<_>, _>>()?;
            let request = Request {
                targets,
                keep: listed(&wish.keep),
                add: listed(&wish.add),
                swaps: listed(&wish.swap),
                market: match wish.market.as_str() {
                    "EU" => Law::Eu,
                    "UK" => Law::Uk,
                    _ => Law::Us,
                },
                for_use: if wish.for_use == "own-use" {
                    Use::OwnUse
                } else {
                    Use::Sale
                },
                ..Request::new(formula, now)
            };
            Ok(adjust(&request, &kitchen, &stores)?)
        })
        .await
}

async fn find(house: &House, name: &str) -> Result<Version, Trouble> {
    let missing = || Trouble::not_found(format!("a formula called {name}"));
    let kept = Name::new(name).map_err(|_| missing())?;
    house.keeper.newest(Kept::Formula, &kept).await?.ok_or_else(missing)
}

/// The question, and its answer once something is asked.
pub async fn page(
    State(house): State<Shared>,
    Path(name): Path<String>,
    Query(wish): Query<Wish>,
    reader: Reader,
    visit: Visit,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let words = reader.words();
    let version = find(&house, &name).await.map_err(told)?;
    let title = Form::open(version.text.as_str())
        .map(|form| form.get("name"))
        .unwrap_or_default();
    let answer = if wish.is_empty() {
        None
    } else {
        Some(solve(&house, &version, &wish).await)
    };
    let body = html! {
        (question(words, &version, &wish))
        @match &answer {
            None => {}
            Some(Err(trouble)) => { (refused(words, trouble)) }
            Some(Ok(answer)) => { (answered(words, answer)) @if answer.met { (take_over(words, &version, &wish, &visit)) } }
        }
    };
    Ok(Page {
        place: Place::Formulas,
        title: &words.fill("adjust.title", &[("of", &title)]),
        over: Some(html! { a href={ "/formulas/" (version.name) } { (title) } }),
        body,
    }
    .answer(reader))
}

fn refused(words: Words, trouble: &Trouble) -> Markup {
    html! {
        section class="stop" role="alert" {
            h2 { (words.say("trouble.unusable")) }
            @match trouble {
                Trouble::Unusable { what, hint } => { p lang="en" { (what) ". " (hint) } }
                Trouble::Cannot { why, would } => { p lang="en" { (why) } ul lang="en" { @for line in would { li { (line) } } } }
                _ => { p { (words.say("trouble.ours")) } }
            }
        }
    }
}

fn question(words: Words, version: &Version, wish: &Wish) -> Markup {
    let field = |name: &str, label: &str, example: &str, value: &str| {
        html! {
            div class="field" {
                label for=(name) { (label) }
                p class="hint" id={ (name) "-hint" } { (example) }
                input type="text" id=(name) name=(name) value=(value) autocomplete="off" aria-describedby={ (name) "-hint" };
            }
        }
    };
    let one_of = |name: &str, label: &str, chosen: &str, choices: [(&str, &'static str); 3]| {
        html! {
            div class="field" {
                label for=(name) { (label) }
                select id=(name) name=(name) {
                    @for (word, key) in choices.iter().filter(|(word, _)| !word.is_empty()) {
                        option value=(word) selected[*word == chosen] { (words.say(key)) }
                    }
                }
            }
        }
    };
    html! {
        p { (words.say("adjust.about")) }
        form method="get" action={ "/formulas/" (version.name) "/adjust" } {
            div class="grid" {
                (field("to", words.say("adjust.to"), "ph<=3.9; brix 45; yield 2 kg", &wish.to))
                (field("swap", words.say("adjust.swap"), "egg, whole = medium egg, whole", &wish.swap))
                (field("keep", words.say("adjust.keep"), "butter; egg yolk", &wish.keep))
                (field("add", words.say("adjust.add"), "citric acid; water", &wish.add))
                (one_of("for", words.say("ask.for"), &wish.for_use, [("sale", "ask.for_sale"), ("own-use", "ask.for_own"), ("", "ask.for_own")]))
                (one_of("market", words.say("ask.market"), &wish.market, [("US", "ask.market_us"), ("EU", "ask.market_eu"), ("UK", "ask.market_uk")]))
            }
            p class="do" { button type="submit" { (words.say("adjust.solve")) } }
        }
        p class="hint" { (words.say("adjust.hint")) }
    }
}

fn answered(words: Words, answer: &Adjustment) -> Markup {
    let grams = |mass: f64| format!("{mass:.0} g");
    html! {
        section {
            h2 { (words.say(if answer.met { "adjust.met" } else { "adjust.not_met" })) }
            @if !answer.cannot.is_empty() { div class="stop" lang="en" { ul { @for line in &answer.cannot { li { (line) } } } } }
            @if !answer.targets.is_empty() {
                div class="wide" { table {
                    thead { tr {
                        th scope="col" { (words.say("adjust.target")) }
                        th scope="col" class="n" { (words.say("adjust.before")) }
                        th scope="col" class="n" { (words.say("adjust.after")) }
                        th scope="col" { (words.say("adjust.held")) }
                    } }
                    tbody { @for target in &answer.targets {
                        tr {
                            th scope="row" { (target.target) " " (target.unit) }
                            td class="n" { (span(target.before.value, target.before.low, target.before.high)) }
                            td class="n" { (span(target.after.value, target.after.low, target.after.high)) }
                            td lang="en" { (target.held_against) @if !target.met { " · " (words.say("adjust.short")) " " (format!("{:.3}", target.short)) } }
                        }
                    } }
                } }
            }
            h3 { (words.count("adjust.lines", answer.lines_changed)) }
            div class="wide" { table {
                thead { tr {
                    th scope="col" { (words.say("formula.ingredient")) }
                    th scope="col" class="n" { (words.say("adjust.before")) }
                    th scope="col" class="n" { (words.say("adjust.after")) }
                    th scope="col" class="n" { (words.say("adjust.by")) }
                    th scope="col" { (words.say("adjust.how")) }
                } }
                tbody { @for line in &answer.lines {
                    tr class=(if line.change == "as written" { "same" } else { "is" }) {
                        th scope="row" { (line.ingredient) }
                        td class="n" { (grams(line.before_g)) }
                        td class="n" { (grams(line.after_g)) @if !line.after_measure.is_empty() { br; small { (line.after_measure) } } }
                        td class="n" { (moved(line)) }
                        td lang="en" { (line.change) }
                    }
                } }
            } }
            @if let Some(stop) = &answer.stop { p lang="en" { (words.say("answer.stop")) ": " (stop.before) " \u{2192} " (stop.after) } }
            @for swap in &answer.swaps {
                p lang="en" { span class="strong" { (swap.words) } ". " (swap.by) }
                ul lang="en" { @for held in &swap.held { li { (held.what) ": " (format!("{:.1} g \u{2192} {:.1} g", held.before_g, held.after_g)) } } }
            }
        }
        section {
            h2 { (words.say("adjust.does")) }
            div class="wide" { table {
                thead { tr { th scope="col" { (words.say("versions.what")) } th scope="col" { (words.say("adjust.before")) } th scope="col" { (words.say("adjust.after")) } } }
                tbody {
                    @for change in &answer.assay {
                        tr { th scope="row" lang="en" { (change.what) } td { (figure(words, change.before.as_ref())) } td { (figure(words, change.after.as_ref())) } }
                    }
                    @for route in &answer.routes {
                        tr { th scope="row" { (words.say(route_key(route.route))) } td { (words.say(state_key(route.before))) } td { (words.say(state_key(route.after))) } }
                    }
                    @for name in &answer.names {
                        tr { th scope="row" lang="en" { (name.name) } td lang="en" { (name.before) } td lang="en" { (name.after) } }
                    }
                }
            } }
            @if answer.schedule.inside_before && !answer.schedule.inside_after {
                div class="stop" { p { (words.say("adjust.schedule_lost")) } ul lang="en" { @for line in &answer.schedule.departures { li { (line) } } } }
            }
            @if !answer.alternatives.is_empty() {
                details { summary { (words.say("adjust.others")) } ul lang="en" { @for line in &answer.alternatives { li { (line) } } } }
            }
            @if !answer.notes.is_empty() { ul lang="en" { @for note in &answer.notes { li { (note) } } } }
        }
        section class="care" { h2 { (words.say("answer.care")) } ul lang="en" { @for caution in &answer.cautions { li { (caution.text) } } } }
    }
}

/// A value with its band.
fn span(value: f64, low: f64, high: f64) -> Markup {
    html! {
        (format!("{value:.2}"))
        @if high > low { br; small { (format!("{low:.2}")) " \u{2013} " (format!("{high:.2}")) } }
    }
}

fn moved(line: &LineView) -> String {
    let by = match line.relative {
        Some(share) if share.abs() >= 0.000_5 => format!("{:+.1} %", 100.0 * share),
        Some(_) => String::new(),
        None => format!("{:+.0} g", line.difference_g),
    };
    by.replace('-', "\u{2212}")
}

fn figure(words: Words, figure: Option<&jarwright_figure::Figure>) -> Markup {
    html! {
        @match figure {
            Some(figure) => {
                (jarwright_papers::words::value(figure))
                @if let Some(band) = jarwright_papers::words::spread(figure) { br; small { (band) } }
            }
            None => { (words.say("tag.unknown")) }
        }
    }
}

fn take_over(words: Words, version: &Version, wish: &Wish, visit: &Visit) -> Markup {
    html! {
        form method="post" action={ "/formulas/" (version.name) "/adjust" } class="do" {
            (hidden(visit, Some(version.number)))
            @for (name, value) in [("to", &wish.to), ("keep", &wish.keep), ("add", &wish.add), ("swap", &wish.swap), ("for", &wish.for_use), ("market", &wish.market)] {
                input type="hidden" name=(name) value=(value);
            }
            button type="submit" { (words.say("adjust.take_over")) }
        }
    }
}

/// Keeps the adjusted formula as the next version.
pub async fn keep(
    State(house): State<Shared>,
    Path(name): Path<String>,
    reader: Reader,
    posted: Posted,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let version = find(&house, &name).await.map_err(told)?;
    let answer = solve(&house, &version, &Wish::of(&posted)).await.map_err(told)?;
    if !answer.met {
        let cannot = Trouble::Cannot {
            why: "the targets are not met: nothing was kept".into(),
            would: answer.cannot,
        };
        return Err(told(cannot));
    }
    let mut about: Vec<String> = answer
        .targets
        .iter()
        .map(|target| format!("For {}.", target.target))
        .collect();
    about.extend(answer.swaps.iter().map(|swap| format!("Swapped: {}.", swap.words)));
    about.push("A computed pH releases nothing: measure the new food.".into());
    let text = formula_text(&answer.new_formula, &about);
    let after = posted.get("made-from").parse().ok();
    house
        .keep(Kept::Formula, &version.name, &text, after)
        .await
        .map_err(told)?;
    Ok(go_on_to(&format!("/formulas/{}", version.name)))
}
