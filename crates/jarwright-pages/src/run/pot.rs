//! A planned pot: its curve with its band and its wall, and asked again with something changed.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::response::{Html, IntoResponse, Response};
use jarwright_figure::Figure;
use jarwright_kitchen::plan::BatchPlan;
use jarwright_kitchen::ports::Hash;
use jarwright_kitchen::watching::{EggShare, PotEgg, PotWall};
use jarwright_kitchen::{PlannedPot, PotChange, PotWatched};
use jarwright_papers::drawing::{self, BandPoint, Level, in_both_rooms};
use jarwright_papers::words::both_scales;
use maud::{Markup, html};
use serde::Deserialize;

use super::asked::{Slide, formulas, number, refused, wants_html};
use super::{Shown, find};
use crate::figures::Figures;
use crate::frame::{Page, Place};
use crate::house::Shared;
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::words::Words;

/// What is changed, as it stands in the address; empty is as planned.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub struct Changed {
    jars: String,
    burner_pct: String,
    start_c: String,
    stirs_per_min: String,
}

impl Changed {
    fn change(&self) -> Result<PotChange, Trouble> {
        let jars = number(&self.jars, "jars")?;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number from 0 to 100,000"
        )]
        let jars = match jars {
            None => None,
            Some(jars) if (0.0..=100_000.0).contains(&jars) && jars.fract() <= 0.0 => Some(jars as u32),
            Some(jars) => {
                return Err(Trouble::unusable(
                    format!("a batch for {jars} jars"),
                    "give a whole number of jars",
                ));
            }
        };
        Ok(PotChange {
            of_batch: None,
            jars,
            burner_share: number(&self.burner_pct, "%")?.map(|pct| pct / 100.0),
            start_c: number(&self.start_c, "°C")?,
            stirs_per_min: number(&self.stirs_per_min, "rounds a minute")?,
        })
    }
}

/// A pot of a run's text.
struct Question<'a> {
    run: Hash,
    nth: usize,
    pot: &'a PlannedPot,
    /// Its batch in the plan.
    batch: Option<&'a BatchPlan>,
}

impl<'a> Question<'a> {
    fn of(shown: &'a Shown, nth: usize) -> Result<Self, Trouble> {
        let plan = shown
            .worked
            .plan
            .as_ref()
            .map_err(|error| Trouble::from(error.clone()))?;
        let pot = shown.worked.pots.get(nth.wrapping_sub(1));
        let pot = pot.ok_or_else(|| Trouble::not_found(format!("pot {nth} of this run")))?;
        Ok(Self {
            run: shown.version.hash(),
            nth,
            pot,
            batch: plan.batches.iter().find(|batch| batch.formula == pot.formula()),
        })
    }
}

async fn ask(house: &Shared, question: &Question<'_>, change: PotChange) -> Result<Arc<PotWatched>, Trouble> {
    let key = format!("{} {} {change:?}", question.run, question.nth);
    if let Some(watched) = house.watched.get(&key) {
        return Ok(watched);
    }
    let pot = question.pot.clone();
    let watched = house
        .turns
        .compute(move || pot.watch(&change).map_err(Trouble::from))
        .await?;
    let watched = Arc::new(watched);
    house.watched.put(key, Arc::clone(&watched));
    Ok(watched)
}

/// The pot's page.
pub async fn page(
    State(house): State<Shared>,
    Path((name, nth)): Path<(String, usize)>,
    Query(changed): Query<Changed>,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let words = reader.words();
    let shown = find(&house, &name).await.map_err(told)?;
    let question = Question::of(&shown, nth).map_err(told)?;
    let planned = ask(&house, &question, PotChange::default()).await;
    let watched = match changed.change() {
        Ok(change) => ask(&house, &question, change).await,
        Err(trouble) => Err(trouble),
    };
    let address = format!("/runs/{}/pot/{nth}", shown.version.name);
    let why = format!("/why/run/{}", shown.version.hash());
    let body = html! {
        (super::parts(words, &shown, "pot"))
        (formulas(words, shown.version.name.as_str(), "pot", nth, shown.worked.pots.iter().map(PlannedPot::formula)))
        p { (words.say("pot.about")) }
        form method="get" action=(address) class="departure" data-ask={ "/api" (address) } {
            div class="grid" { (fields(words, question.pot, planned.as_deref().ok(), &changed)) }
            p class="do" {
                button type="submit" { (words.say("jar.ask")) }
                a class="button quiet" href=(address) { (words.say("jar.as_planned")) }
            }
        }
        div id="departed" data-part aria-live="polite" {
            @match &watched {
                Ok(watched) => { (answer(words, Figures::new(reader, &why, ""), watched, planned.as_deref().ok(), question.batch)) }
                Err(trouble) => { (refused(words, trouble)) }
            }
        }
    };
    Ok(Page {
        place: Place::Runs,
        title: &words.fill("pot.title", &[("of", question.pot.formula())]),
        over: Some(html! { a href={ "/runs/" (shown.version.name) } { (shown.worked.run.name) } }),
        body,
    }
    .answer(reader))
}

/// The answer alone: JSON, or the part of the page for who accepts HTML.
pub async fn api(
    State(house): State<Shared>,
    Path((name, nth)): Path<(String, usize)>,
    Query(changed): Query<Changed>,
    headers: HeaderMap,
    reader: Reader,
) -> Response {
    let as_page = wants_html(&headers);
    let words = reader.words();
    let answered = async {
        let shown = find(&house, &name).await?;
        let question = Question::of(&shown, nth)?;
        let watched = ask(&house, &question, changed.change()?).await?;
        if !as_page {
            return Ok(Json(&*watched).into_response());
        }
        let planned = ask(&house, &question, PotChange::default()).await.ok();
        let why = format!("/why/run/{}", shown.version.hash());
        let figures = Figures::new(reader, &why, "");
        let part = answer(words, figures, &watched, planned.as_deref(), question.batch);
        Ok::<_, Trouble>(Html(part.into_string()).into_response())
    };
    match answered.await {
        Ok(answer) => answer,
        Err(trouble) if as_page => (trouble.status(), Html(refused(words, &trouble).into_string())).into_response(),
        Err(trouble) => trouble.problem(),
    }
}

fn fields(words: Words, pot: &PlannedPot, planned: Option<&PotWatched>, changed: &Changed) -> Markup {
    let jars = pot.jars_of_batch() as f64;
    let slide = |name, label, unit, typed, planned, range| {
        Slide {
            name,
            label,
            unit,
            typed,
            planned,
            range,
        }
        .field(words)
    };
    html! {
        (slide("jars", "pot.jars", "", &changed.jars, Some(jars), (1.0, (3.0 * jars).max(24.0), 1.0)))
        (slide("burner_pct", "pot.burner", "%", &changed.burner_pct, Some(100.0), (10.0, 100.0, 5.0)))
        (slide("start_c", "pot.start", "°C", &changed.start_c, planned.map(|planned| planned.with.start_c), (0.0, 60.0, 1.0)))
        (slide("stirs_per_min", "pot.stirs", "/min", &changed.stirs_per_min, Some(pot.stirs_per_min()), (0.0, 200.0, 5.0)))
    }
}

fn answer(
    words: Words,
    figures: Figures<'_>,
    watched: &PotWatched,
    planned: Option<&PotWatched>,
    batch: Option<&BatchPlan>,
) -> Markup {
    let unchanged = planned.is_some_and(|planned| planned == watched);
    // As planned the figures are the plan's own, with their whys; a changed pot's explain themselves
    // by the notes below.
    let as_planned = batch.filter(|_| unchanged);
    let plain = |figure: &Figure| {
        html! {
            span class="v" { (figures.value(figure)) }
            @if let Some(band) = figures.spread(figure) { " " span class="band" { (band) } }
        }
    };
    html! {
        dl class="cells" {
            div { dt { (words.say("answer.cook")) } dd {
                @match as_planned { Some(batch) => (figures.show(&batch.cook)), None => (plain(&watched.minutes)) }
                @if let (false, Some(planned)) = (unchanged, planned) { span class="band" { (words.say("jar.planned")) " " (figures.value(&planned.minutes)) } }
            } }
            div { dt { (words.say("pot.ends")) } dd {
                @match as_planned.and_then(|batch| batch.stop_at.as_ref()) { Some(stop) => (figures.show(stop)), None => (plain(&watched.end)) }
            } }
            div { dt { (words.say("heat.boiled_off")) } dd {
                @match as_planned { Some(batch) => (figures.show(&batch.boiled_off)), None => (plain(&watched.evaporated)) }
            } }
            div { dt { (words.say("pot.food")) } dd { span class="v" { (format!("{:.2} kg", watched.with.food_kg)) } } }
            div { dt { (words.say("heat.full")) } dd { span class="v" { (percent(watched.with.full_share)) } } }
            @if let Some(wall) = &watched.wall { (of_wall(words, wall)) }
            @if let Some(largest) = &watched.largest {
                div { dt { (words.say("pot.largest")) } dd { span class="v" { (format!("{:.1} kg", largest.food_kg)) } span class="band" { (words.fill("pot.largest_jars", &[("n", &format!("{:.0}", largest.jars.floor()))])) } } }
            }
            @if let Some(from) = watched.splitting.from_kg { div { dt { (words.say("pot.splits")) } dd { span class="v" { (format!("{from:.1} kg")) } } } }
        }
        section class="wide-picture" { @if let Some(picture) = picture(words, watched) { (picture) } }
        @if let Some(why) = &watched.no_wall { p lang="en" { (why) } }
        @if let Some(egg) = &watched.egg { (of_egg(words, egg)) }
        @if let Some(boil) = &watched.boil {
            p { (words.fill("pot.brix", &[("from", &format!("{:.1}", boil.start_brix)), ("to", &format!("{:.1}", boil.end_brix))])) }
        }
        @if !watched.notes.is_empty() { ul lang="en" { @for note in &watched.notes { li { (note) } } } }
        @if !watched.cautions.is_empty() {
            section class="care" { h2 { (words.say("answer.care")) } ul lang="en" { @for caution in &watched.cautions { li { (caution.text) } } } }
        }
    }
}

fn of_wall(words: Words, wall: &PotWall) -> Markup {
    html! {
        div { dt { (words.say("pot.wall")) } dd { span class="v" { (both_scales(wall.hottest_c, 0)) } } }
        div { dt { (words.say("pot.carry_over")) } dd { span class="v" { (format!("{:.1} K", wall.carry_over_k)) } } }
    }
}

fn of_egg(words: Words, egg: &PotEgg) -> Markup {
    let cell = |key: &'static str, share: EggShare| {
        html! {
            div { dt { (words.say(key)) } dd {
                span class="v" { (percent(share.value)) }
                span class="band" { (words.fill("jar.from_to", &[("low", &percent(share.low)), ("high", &percent(share.high))])) }
            } }
        }
    };
    html! {
        h2 { (words.say("pot.egg")) }
        dl class="cells" {
            (cell("pot.set", egg.set))
            (cell("pot.scrambled", egg.scrambled))
            (cell("pot.wall_scrambled", egg.wall_scrambled))
        }
        p class="hint" { (words.say("pot.extrapolated")) }
    }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn picture(words: Words, watched: &PotWatched) -> Option<Markup> {
    let mean: Vec<BandPoint> = watched
        .curve
        .iter()
        .map(|point| BandPoint {
            at: point.minutes,
            low: point.low_c,
            value: point.c.unwrap_or(f64::NAN),
            high: point.high_c,
        })
        .filter(|point| point.value.is_finite())
        .collect();
    let wall: Vec<(f64, f64)> = watched
        .curve
        .iter()
        .filter_map(|point| Some((point.minutes, point.wall_c?)))
        .collect();
    in_both_rooms(|room| {
        drawing::pot(&drawing::Pot {
            id: "pot".into(),
            title: words.fill("pot.picture", &[("of", &watched.formula), ("pot", &watched.pot)]),
            desc: String::new(),
            room,
            mean: mean.clone(),
            wall: wall.clone(),
            levels: watched
                .levels
                .iter()
                .map(|level| Level {
                    c: level.c,
                    words: level.what.into(),
                })
                .collect(),
            phases: Vec::new(),
            events: Vec::new(),
            ready_min: Some(watched.minutes.value),
            below: Vec::new(),
        })
    })
}
