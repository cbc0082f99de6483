//! The question of a run: what to make, how much, in which jar, by when, under whose law.

use axum::http::StatusCode;
use axum::response::Response;
use jarwright_kitchen::files::{read_kitchen, read_run};
use jarwright_kitchen::ports::{Kept, Name};
use maud::{Markup, html};

use super::Shown;
use crate::fields::{Fields, hidden};
use crate::form::{Faults, Form, Holds};
use crate::frame::{Page, Place};
use crate::guard::{Posted, Visit};
use crate::house::House;
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::which::name_of_title;
use crate::words::Words;

const BLANK: &str = "name = \"\"\nfor = \"sale\"\nmarket = \"US\"\n";
/// What stands where no text is pinned yet: of no text at all.
const NO_TEXT: &str = "0000000000000000000000000000000000000000000000000000000000000000";
/// Places a person fills in.
const PLACES: [&str; 6] = ["name", "for", "market", "by", "altitude", "bath_start"];
const OF_MAKE: [&str; 4] = ["formula", "jars", "from", "jar"];

/// A question on its way through the form.
pub(super) struct Question {
    /// The name the run is kept under; none for a new one.
    pub(super) name: Option<Name>,
    /// Number of the version it was made from.
    pub(super) after: Option<u64>,
    /// The run's text.
    pub(super) text: String,
    /// What is wrong with it.
    pub(super) faults: Faults,
}

impl Question {
    /// A question nobody has asked yet.
    pub(super) async fn blank(house: &House) -> Result<Self, Trouble> {
        if house.kitchen().await?.is_none() {
            return Err(Trouble::unusable("there is no kitchen yet", "begin on the first page"));
        }
        Ok(Self {
            name: None,
            after: None,
            text: BLANK.into(),
            faults: Faults::default(),
        })
    }

    /// The question of a kept run.
    pub(super) fn of(shown: &Shown) -> Self {
        Self {
            name: Some(shown.version.name.clone()),
            after: Some(shown.version.number),
            text: shown.version.text.as_str().to_owned(),
            faults: Faults::default(),
        }
    }

    /// What a form asks, of the texts that stand now.
    pub(super) async fn posted(house: &House, name: Option<&str>, posted: &Posted) -> Result<Self, Trouble> {
        let (kept, base) = match name {
            Some(name) => {
                let missing = || Trouble::not_found(format!("a run called {name}"));
                let kept = Name::new(name).map_err(|_| missing())?;
                let newest = house.keeper.newest(Kept::Run, &kept).await?.ok_or_else(missing)?;
                (Some(kept), newest.text.as_str().to_owned())
            }
            None => (None, BLANK.to_owned()),
        };
        let broken = |fault: crate::form::NoForm| Trouble::unusable(fault.why, "plan it anew");
        let mut form = Form::open(&base).map_err(broken)?;
        for place in PLACES {
            form.put(place, Holds::Text, posted.get(place));
        }
        // Rows as sent: those without a formula fall out, the last first.
        let sent = (0..)
            .take_while(|row| posted.has(&format!("make.{row}.formula")))
            .take(jarwright_kitchen::files::MOST_MAKES)
            .count();
        for row in 0..sent {
            for key in OF_MAKE {
                let place = format!("make.{row}.{key}");
                let holds = if key == "jars" { Holds::Count } else { Holds::Text };
                form.put(&place, holds, posted.get(&place));
            }
        }
        for row in (0..form.rows("make")).rev() {
            if form.get(&format!("make.{row}.formula")).is_empty() || row >= sent {
                form.remove("make", row);
            }
        }
        pin(house, &mut form).await?;
        let text = form.text();
        let faults = match read_run("run", &text) {
            Ok(_) => Faults::default(),
            Err(problems) => Faults::of(&text, problems),
        };
        Ok(Self {
            name: kept,
            after: posted.get("made-from").parse().ok(),
            text,
            faults,
        })
    }

    /// The name to keep it under.
    pub(super) fn kept_as(&self) -> Result<Name, Trouble> {
        if let Some(name) = &self.name {
            return Ok(name.clone());
        }
        name_of_title(&self.text)
    }
}

/// Names the texts that stand now, and the time it is.
async fn pin(house: &House, form: &mut Form) -> Result<(), Trouble> {
    let now = (house.clock)();
    form.put("asked_at", Holds::Text, &now.strftime("%Y-%m-%d %H:%M").to_string());
    let kitchen = house.kitchen().await?.map(|version| version.hash().to_string());
    form.put("kitchen", Holds::Text, kitchen.as_deref().unwrap_or(NO_TEXT));
    let stores = house.stores().await?.map(|version| version.hash().to_string());
    form.put("stores", Holds::Text, stores.as_deref().unwrap_or_default());
    for row in 0..form.rows("make") {
        let name = form.get(&format!("make.{row}.formula"));
        let hash = match Name::new(&name) {
            Ok(name) => house
                .keeper
                .newest(Kept::Formula, &name)
                .await?
                .map(|version| version.hash()),
            Err(_) => None,
        };
        let hash = hash.ok_or_else(|| {
            let shown: String = name.chars().take(80).collect();
            Trouble::unusable(format!("no formula is kept as \"{shown}\""), "choose one of the list")
        })?;
        form.put(&format!("make.{row}.text"), Holds::Text, &hash.to_string());
    }
    Ok(())
}

/// The page of a question that has no answer yet.
pub(super) async fn page(
    house: &House,
    question: &Question,
    overtaken: Option<u64>,
    status: StatusCode,
    reader: Reader,
    visit: &Visit,
) -> Result<Response, Trouble> {
    let words = reader.words();
    let body = form(house, question, overtaken, reader, visit).await?;
    Ok(Page {
        place: Place::Runs,
        title: words.say("runs.new"),
        over: Some(html! { a href="/runs" { (words.say("place.runs")) } }),
        body,
    }
    .answer_with(status, reader))
}

/// The form of a question.
pub(super) async fn form(
    house: &House,
    question: &Question,
    overtaken: Option<u64>,
    reader: Reader,
    visit: &Visit,
) -> Result<Markup, Trouble> {
    let words = reader.words();
    let form = Form::open(&question.text).map_err(|fault| Trouble::unusable(fault.why, "plan it anew"))?;
    let fields = Fields {
        form: &form,
        faults: &question.faults,
        words,
    };
    let formulas: Vec<(String, String)> = house
        .keeper
        .all(Kept::Formula)
        .await?
        .iter()
        .map(|version| {
            let title = Form::open(version.text.as_str())
                .map(|form| form.get("name"))
                .unwrap_or_default();
            (version.name.to_string(), title)
        })
        .collect();
    let jars = jars(house).await?;
    let rows = form.rows("make") + 1;
    let mut shown: Vec<String> = PLACES.map(str::to_owned).into();
    for row in 0..rows {
        shown.extend(OF_MAKE.iter().map(|key| format!("make.{row}.{key}")));
        shown.push(format!("make.{row}"));
    }
    let address = question
        .name
        .as_ref()
        .map_or("/runs/new".to_owned(), |name| format!("/runs/{name}"));
    let new = question.name.is_none();
    Ok(html! {
        section class="ask" aria-labelledby="ask" {
            h2 id="ask" { (words.say(if new { "ask.title_new" } else { "ask.title" })) }
            @if let Some(number) = overtaken {
                div class="stop" role="alert" {
                    p { (words.fill("form.overtaken", &[("n", &number.to_string())])) " " (words.say("form.keep_mine")) }
                }
            }
            form id="ask-form" method="post" action=(address) {
                (hidden(visit, overtaken.or(question.after)))
                (fields.told_elsewhere(&shown))
                div class="grid" {
                    (fields.text("name", words.say("ask.name"), Some(words.say("ask.name_hint"))))
                    (moment(&fields, words))
                    (fields.one_of("for", words.say("ask.for"), &said(words, &[("sale", "ask.for_sale"), ("own-use", "ask.for_own")])))
                    (fields.one_of("market", words.say("ask.market"), &said(words, &[("US", "ask.market_us"), ("EU", "ask.market_eu"), ("UK", "ask.market_uk")])))
                }
                fieldset class="plain" {
                    legend { (words.say("ask.make")) }
                    p class="hint" { (words.say("ask.make_hint")) }
                    ol class="makes" {
                        @for row in 0..rows {
                            (make(&fields, words, row, &formulas, &jars))
                        }
                    }
                }
                details open[!form.get("altitude").is_empty() || !form.get("bath_start").is_empty()] {
                    summary { (words.say("ask.departs")) }
                    div class="grid" {
                        (fields.text("altitude", words.say("ask.altitude"), Some("1500 m, 4900 ft")))
                        (fields.text("bath_start", words.say("ask.bath_start"), Some("70 C, 158 F")))
                    }
                }
                p class="do" {
                    button type="submit" name="do" value="keep" { (words.say(if new { "ask.plan" } else { "ask.plan_again" })) }
                    button type="submit" name="do" value="more" class="quiet" { (words.say("ask.more")) }
                }
            }
        }
    })
}

fn moment(fields: &Fields<'_>, words: Words) -> Markup {
    let value = fields.form.get("by").replace(' ', "T");
    html! {
        div class="field" {
            label for="by" { (words.say("ask.by")) }
            p class="hint" id="by-hint" { (words.say("ask.by_hint")) }
            input type="datetime-local" id="by" name="by" value=(value) aria-describedby="by-hint";
            (fields.told("by"))
        }
    }
}

fn said(words: Words, choices: &[(&str, &'static str)]) -> Vec<(String, String)> {
    choices
        .iter()
        .map(|(word, key)| ((*word).to_owned(), words.say(key).to_owned()))
        .collect()
}

fn make(
    fields: &Fields<'_>,
    words: Words,
    row: usize,
    formulas: &[(String, String)],
    jars: &[(String, String)],
) -> Markup {
    let at = |key: &str| format!("make.{row}.{key}");
    let with_none: Vec<(String, String)> = std::iter::once((String::new(), words.say("ask.no_formula").to_owned()))
        .chain(formulas.iter().cloned())
        .collect();
    html! {
        li class="make" {
            fieldset {
                legend class="unseen" { (words.fill("ask.row", &[("n", &(row + 1).to_string())])) }
                (fields.told(&format!("make.{row}")))
                div class="grid" {
                    (fields.one_of(&at("formula"), words.say("ask.formula"), &with_none))
                    (fields.count(&at("jars"), words.say("ask.jars"), None))
                    (fields.text(&at("from"), words.say("ask.from"), None))
                    (fields.one_of(&at("jar"), words.say("ask.jar"), jars))
                }
            }
        }
    }
}

/// Jars that a bath of the kitchen takes.
async fn jars(house: &House) -> Result<Vec<(String, String)>, Trouble> {
    let kitchen = house
        .kitchen()
        .await?
        .and_then(|version| read_kitchen("kitchen", version.text.as_str()).ok());
    let takes = |jar: &str| {
        kitchen
            .as_ref()
            .is_none_or(|kitchen| kitchen.baths.iter().any(|bath| bath.holds(jar).is_some()))
    };
    Ok(jarwright_reference::jars()
        .iter()
        .filter(|jar| takes(&jar.name))
        .map(|jar| (jar.name.clone(), jar.name.replace('-', " ")))
        .collect())
}
