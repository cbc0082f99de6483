//! In hand: what is planned, what needs a person, the kitchen at a glance.

use axum::extract::State;
use axum::response::Response;
use jarwright_kitchen::files::{KitchenFile, read_kitchen};
use jarwright_kitchen::ports::{Kept, Name, Version};
use jarwright_kitchen::{Here, here};
use maud::{Markup, html};

use crate::fields::hidden;
use crate::figures::Figures;
use crate::frame::{Page, Place, go_on_to};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared, Worked};
use crate::reader::Reader;
use crate::runs::{deadline, state_of};
use crate::trouble::Trouble;
use crate::words::Words;

/// Most runs shown.
const MOST_SHOWN: usize = 12;

/// The first page.
pub async fn page(State(house): State<Shared>, reader: Reader, visit: Visit) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let words = reader.words();
    let Some(kitchen) = house.kitchen().await.map_err(told)? else {
        return Ok(empty(words, &visit).answer(reader));
    };
    let runs = house.keeper.all(Kept::Run).await.map_err(|error| told(error.into()))?;
    let mut shown = Vec::new();
    for run in runs.iter().take(MOST_SHOWN) {
        shown.push((run, house.worked(run).await));
    }
    let file = read_kitchen("kitchen", kitchen.text.as_str()).ok();
    let body = html! {
        @if let Some(file) = &file { (glance(reader, file)) }
        section {
            h2 { (words.say("in_hand.planned")) }
            @if shown.is_empty() { p { (words.say("in_hand.nothing_planned")) } }
            ul class="jars-row" {
                @for (run, worked) in &shown { (card(words, run, worked)) }
            }
            p class="do" { a class="button" href="/runs/new" { (words.say("runs.new")) } }
        }
    };
    let over = file.as_ref().map(|file| html! { (file.name) });
    Ok(Page {
        place: Place::InHand,
        title: words.say("place.in_hand"),
        over,
        body,
    }
    .answer(reader))
}

/// The kitchen at a glance: height, what water boils at there.
pub(crate) fn glance(reader: Reader, kitchen: &KitchenFile) -> Markup {
    let words = reader.words();
    let figures = Figures::new(reader, "/why/kitchen", &kitchen.currency);
    html! {
        @match here(kitchen, None) {
            Ok(Here { altitude, water_boils, air_pressure, .. }) => {
                dl class="glance" {
                    div { dt { (words.say("in_hand.altitude")) } dd { (figures.show(&altitude)) } }
                    div { dt { (words.say("in_hand.pressure")) } dd { (figures.show(&air_pressure)) } }
                    div { dt { (words.say("in_hand.water_boils")) } dd { (figures.show(&water_boils)) } }
                    div { dt { (words.say("in_hand.people")) } dd { (kitchen.people) } }
                }
            }
            Err(error) => { p class="fault" lang="en" { (error) } }
        }
    }
}

fn card(words: Words, run: &Version, worked: &Result<std::sync::Arc<Worked>, Trouble>) -> Markup {
    html! {
        li class="card" {
            @match worked {
                Ok(worked) => {
                    h3 { a href={ "/runs/" (run.name) } { (worked.run.name) } }
                    p { @for make in &worked.run.makes { span class="of" { (make.formula) } " " } }
                    p { (deadline(words, worked)) }
                    p class="state" { (state_of(words, worked)) }
                }
                Err(_) => {
                    h3 { a href={ "/runs/" (run.name) } { (run.name) } }
                    p class="state" { (words.say("runs.unreadable")) }
                }
            }
        }
    }
}

/// A house with nothing in it.
fn empty<'a>(words: Words, visit: &Visit) -> Page<'a> {
    let title: &'static str = "Jarwright";
    Page {
        place: Place::InHand,
        title,
        over: None,
        body: html! {
            section class="plain welcome" {
                p class="lead" { (words.say("begin.lead")) }
                form method="post" action="/begin" class="do" {
                    (hidden(visit, None))
                    button type="submit" name="with" value="example" { (words.say("begin.example")) }
                    button type="submit" name="with" value="own" class="quiet" { (words.say("begin.own")) }
                }
                p class="hint" { (words.say("begin.hint")) }
            }
        },
    }
}

/// Begins with the invented kitchen, or with its equipment alone to be changed into one's own.
pub async fn begin(State(house): State<Shared>, reader: Reader, posted: Posted) -> Result<Response, Response> {
    let own = posted.get("with") == "own";
    begin_with(&house, own).await.map_err(|trouble| trouble.page(reader))?;
    Ok(go_on_to(if own { "/equipment" } else { "/" }))
}

async fn begin_with(house: &House, own: bool) -> Result<(), Trouble> {
    if house.kitchen().await?.is_some() {
        return Ok(());
    }
    house
        .keep(Kept::Kitchen, &House::only(Kept::Kitchen)?, house.example.kitchen, None)
        .await?;
    if own {
        return Ok(());
    }
    house
        .keep(Kept::Stores, &House::only(Kept::Stores)?, house.example.stores, None)
        .await?;
    for (name, text) in house.example.formulas {
        house.keep(Kept::Formula, &Name::new(name)?, text, None).await?;
    }
    Ok(())
}
