//! One formula: its lines with what each of them does, and the whole food as a tag on top.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use jarwright_figure::Figure;
use jarwright_kitchen::Law;
use jarwright_kitchen::assaying::effects::{Effects, LineEffect, line_effects};
use jarwright_kitchen::assaying::{AssayAsked, AssaySheet, At, assay_formula};
use jarwright_kitchen::files::{FormulaFile, KitchenFile, StoresFile, read_formula_with, read_kitchen, read_stores};
use jarwright_kitchen::ports::{Hash, Kept, Name, Text, Version};
use jarwright_reference::FoodClass;
use jiff::civil::DateTime;
use maud::{Markup, html};

use crate::changes;
use crate::fields::{Fields, hidden};
use crate::figures::Figures;
use crate::form::{Faults, Form, Holds};
use crate::frame::{Page, Place, go_on_to};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared, unreadable};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::which::{name_of_title, ways};
use crate::words::Words;

/// Name under which no formula is kept: the form of a new one.
pub const NEW: &str = "new";
/// A formula that has not been written yet.
const BLANK: &str = "name = \"\"\nfood = \"jam\"\ncup = \"us\"\nstop_at = \"\"\n";
/// Empty lines offered on a new formula.
const LINES_OF_NEW: usize = 4;

/// What a field of a formula holds, by the last step of its place.
fn holds(place: &str) -> Holds {
    match place.rsplit('.').next().unwrap_or_default() {
        "per_jar" => Holds::Flag,
        "signed" | "expires" | "when" => Holds::Day,
        "minutes" | "ph_max" | "ph" | "water_activity" => Holds::Number,
        _ => Holds::Text,
    }
}

/// A formula on its way through the form.
struct Draft {
    /// The name it is kept under; none for a new one.
    name: Option<Name>,
    /// Number of the version it was made from.
    after: Option<u64>,
    text: String,
}

/// What a formula's text comes to in this kitchen.
#[derive(Debug)]
pub(crate) struct Weighed {
    pub(crate) faults: Faults,
    pub(crate) sheet: Option<Result<AssaySheet, Trouble>>,
    pub(crate) effects: Option<Effects>,
}

/// Reads a formula and works out what is in it.
pub(crate) async fn weigh(house: &House, text: &str) -> Result<Arc<Weighed>, Trouble> {
    let kitchen = house.kitchen().await?;
    let stores = house.stores().await?;
    let now = (house.clock)();
    let hash = |version: &Option<Version>| version.as_ref().map(|version| version.hash().to_string());
    let question = format!(
        "{} {:?} {:?} {}",
        Text::new(text)?.hash(),
        hash(&kitchen),
        hash(&stores),
        now.date()
    );
    if let Some(weighed) = house.weighed.get(&question) {
        return Ok(weighed);
    }
    let weighed = Arc::new(weigh_anew(house, text, kitchen, stores, now).await?);
    house.weighed.put(question, Arc::clone(&weighed));
    Ok(weighed)
}

async fn weigh_anew(
    house: &House,
    text: &str,
    kitchen: Option<Version>,
    stores: Option<Version>,
    now: DateTime,
) -> Result<Weighed, Trouble> {
    let text = text.to_owned();
    house
        .turns
        .compute(move || {
            let stores = match &stores {
                Some(version) => {
                    read_stores("stores", version.text.as_str()).map_err(|problems| unreadable("stores", &problems))?
                }
                None => StoresFile::default(),
            };
            let formula = match read_formula_with("formula", &text, Some(&stores)) {
                Ok(formula) => formula,
                Err(problems) => {
                    return Ok(Weighed {
                        faults: Faults::of(&text, problems),
                        sheet: None,
                        effects: None,
                    });
                }
            };
            let Some(kitchen) = kitchen else {
                return Ok(Weighed {
                    faults: Faults::default(),
                    sheet: None,
                    effects: None,
                });
            };
            let kitchen =
                read_kitchen("kitchen", kitchen.text.as_str()).map_err(|problems| unreadable("kitchen", &problems))?;
            let asked = asked(formula, now);
            Ok(Weighed {
                faults: Faults::default(),
                sheet: Some(assay(&asked, &kitchen, &stores)),
                effects: line_effects(&asked, &kitchen, &stores).ok(),
            })
        })
        .await
}

fn assay(asked: &AssayAsked, kitchen: &KitchenFile, stores: &StoresFile) -> Result<AssaySheet, Trouble> {
    assay_formula(asked, kitchen, stores).map_err(Trouble::from)
}

fn asked(formula: FormulaFile, now: DateTime) -> AssayAsked {
    AssayAsked {
        formula,
        at: At::Filled,
        at_c: None,
        thermometer_c: None,
        jar: None,
        market: Law::Us,
        now,
        altitude_m: None,
        barometer: None,
    }
}

/// The page of a formula.
pub async fn page(
    State(house): State<Shared>,
    Path(name): Path<String>,
    reader: Reader,
    visit: Visit,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let draft = find(&house, &name).await.map_err(told)?;
    show(&house, &draft, None, StatusCode::OK, reader, &visit)
        .await
        .map_err(told)
}

async fn find(house: &House, name: &str) -> Result<Draft, Trouble> {
    if name == NEW {
        return Ok(Draft {
            name: None,
            after: None,
            text: BLANK.into(),
        });
    }
    let missing = || Trouble::not_found(format!("a formula called {name}"));
    let kept = Name::new(name).map_err(|_| missing())?;
    let version = house.keeper.newest(Kept::Formula, &kept).await?.ok_or_else(missing)?;
    Ok(Draft {
        name: Some(kept),
        after: Some(version.number),
        text: version.text.as_str().to_owned(),
    })
}

/// The text that a form stands for: what it was made from, with every field put in its place.
async fn posted_draft(house: &House, name: &str, posted: &Posted) -> Result<Draft, Trouble> {
    let newest = find(house, name).await?;
    let after: Option<u64> = posted.get("made-from").parse().ok();
    let base = match (&newest.name, after) {
        (Some(kept), Some(number)) if Some(number) != newest.after => house
            .keeper
            .version(Kept::Formula, kept, number)
            .await?
            .map_or(newest.text.clone(), |version| version.text.as_str().to_owned()),
        _ => newest.text.clone(),
    };
    let mut form =
        Form::open(&base).map_err(|fault| Trouble::unusable(fault.why, "mend the file and take it in again"))?;
    for (place, typed) in posted.fields() {
        if matches!(place, "form-token" | "made-from" | "take-out" | "do") {
            continue;
        }
        form.put(place, holds(place), typed);
    }
    // A box that is not ticked is not sent.
    for row in 0..form.rows("line") {
        let place = format!("line.{row}.per_jar");
        if !posted.has(&place) {
            form.put(&place, Holds::Flag, "");
        }
    }
    if let Ok(row) = posted.get("take-out").parse::<usize>() {
        form.remove("line", row);
    }
    Ok(Draft {
        name: newest.name,
        after: after.or(newest.after),
        text: form.text(),
    })
}

/// Shows what the fields would make, and keeps nothing.
pub async fn attempt(
    State(house): State<Shared>,
    Path(name): Path<String>,
    reader: Reader,
    visit: Visit,
    posted: Posted,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let draft = posted_draft(&house, &name, &posted).await.map_err(told)?;
    show(&house, &draft, None, StatusCode::OK, reader, &visit)
        .await
        .map_err(told)
}

/// Keeps the formula, or says beside each field what stands in the way.
pub async fn keep(
    State(house): State<Shared>,
    Path(name): Path<String>,
    reader: Reader,
    visit: Visit,
    posted: Posted,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let draft = posted_draft(&house, &name, &posted).await.map_err(told)?;
    if posted.get("do") == "try" || posted.has("take-out") {
        return show(&house, &draft, None, StatusCode::OK, reader, &visit)
            .await
            .map_err(told);
    }
    let weighed = weigh(&house, &draft.text).await.map_err(told)?;
    if !weighed.faults.is_empty() {
        return show(&house, &draft, None, StatusCode::UNPROCESSABLE_ENTITY, reader, &visit)
            .await
            .map_err(told);
    }
    let kept_as = match &draft.name {
        Some(name) => name.clone(),
        None => name_of_title(&draft.text).map_err(told)?,
    };
    match house.keep(Kept::Formula, &kept_as, &draft.text, draft.after).await {
        Ok(_) => Ok(go_on_to(&format!("/formulas/{kept_as}"))),
        Err(Trouble::Overtaken) => {
            let newest = house
                .keeper
                .newest(Kept::Formula, &kept_as)
                .await
                .map_err(|e| told(e.into()))?;
            show(
                &house,
                &draft,
                newest.map(|v| v.number),
                StatusCode::CONFLICT,
                reader,
                &visit,
            )
            .await
            .map_err(told)
        }
        Err(trouble) => Err(told(trouble)),
    }
}

/// * `overtaken`: the version that somebody else kept meanwhile
async fn show(
    house: &House,
    draft: &Draft,
    overtaken: Option<u64>,
    status: StatusCode,
    reader: Reader,
    visit: &Visit,
) -> Result<Response, Trouble> {
    let words = reader.words();
    let weighed = weigh(house, &draft.text).await?;
    let form =
        Form::open(&draft.text).map_err(|fault| Trouble::unusable(fault.why, "mend the file and take it in again"))?;
    let hash = house.remember(&draft.text)?;
    let address = draft
        .name
        .as_ref()
        .map_or("/formulas/new".to_owned(), |name| format!("/formulas/{name}"));
    let fields = Fields {
        form: &form,
        faults: &weighed.faults,
        words,
    };
    let has_pack = !form.keys("pack").is_empty();
    let rows = form.rows("line") + if draft.name.is_none() { LINES_OF_NEW } else { 1 };
    let mut shown = shown_places(rows);
    shown.push("pack.pieces_per_jar".into());
    let after = overtaken.or(draft.after);
    let body = html! {
        @if let Some(number) = overtaken { (overtaken_notice(words, draft, number)) }
        (tag(reader, hash, &weighed, draft.name.is_none()))
        form method="post" action=(address) data-live={ (address) "/try" } class="formula" {
            (hidden(visit, after))
            // Enter in a field tries, it does not keep.
            button class="unseen" type="submit" name="do" value="try" tabindex="-1" { (words.say("form.attempt")) }
            div id="faults" data-part { (fields.told_elsewhere(&shown)) }
            fieldset class="plain" {
                legend { (words.say("formula.whole")) }
                div class="grid" {
                    (fields.text("name", words.say("formula.name"), None))
                    (fields.one_of("food", words.say("formula.food"), &foods()))
                    (fields.one_of("cup", words.say("formula.cup"), &cups(words)))
                    (fields.text("stop_at", words.say("formula.stop_at"), Some(words.say("formula.stop_at_hint"))))
                    (fields.text("jar_headspace", words.say("formula.headspace"), Some("1/2 in, 6 mm")))
                    (fields.text("fill_at", words.say("formula.fill_at"), Some("85 C, 185 F")))
                    (fields.one_of("schedule", words.say("formula.schedule"), &schedules(words)))
                    @if has_pack { (fields.text("pack.pieces_per_jar", words.say("formula.pieces"), Some("270 g"))) }
                }
            }
            fieldset class="plain" {
                legend { (words.say("formula.lines")) }
                p class="hint" { (words.say("formula.lines_hint")) }
                ol class="lines" {
                    @for row in 0..rows {
                        (line(reader, hash, &fields, row, row < form.rows("line"), has_pack, weighed.effects.as_ref()))
                    }
                }
            }
            datalist id="ingredients" {
                @for row in jarwright_reference::ingredients() { option value=(row.name) {} }
            }
            p class="do" {
                button type="submit" name="do" value="keep" { (words.say("form.keep")) }
                button type="submit" name="do" value="try" class="quiet" { (words.say("form.attempt")) }
                @if draft.name.is_some() { a class="button quiet" href={ (address) "/adjust" } { (words.say("adjust.way")) } }
            }
        }
        @if let (Some(name), Some(number)) = (&draft.name, draft.after) { (changes::notice(Kept::Formula, name, number, &address, words)) }
    };
    let title = form.get("name");
    Ok(Page {
        place: Place::Formulas,
        title: if title.is_empty() {
            words.say("formulas.new")
        } else {
            &title
        },
        over: Some(html! {
            a href="/formulas" { (words.say("place.formulas")) }
            @if let (Some(number), Some(name)) = (draft.after, &draft.name) {
                " · " (ways(Kept::Formula, name, number, words))
            }
        }),
        body,
    }
    .answer_with(status, reader))
}

fn overtaken_notice(words: Words, draft: &Draft, number: u64) -> Markup {
    html! {
        section class="stop" role="alert" {
            p { (words.fill("form.overtaken", &[("n", &number.to_string())])) }
            p {
                @if let Some(name) = &draft.name { a href={ "/formulas/" (name) } { (words.say("form.see_theirs")) } ". " }
                (words.say("form.keep_mine"))
            }
        }
    }
}

/// The whole food, as a tag on a string.
fn tag(reader: Reader, hash: Hash, weighed: &Weighed, new: bool) -> Markup {
    let words = reader.words();
    let why = format!("/why/formula/{hash}/assay");
    let figures = Figures::new(reader, &why, "");
    let cell = |key: &str, figure: Option<&Figure>| {
        html! {
            div { dt { (words.say(key)) } dd { @match figure { Some(f) => (figures.show(f)), None => (words.say("tag.unknown")) } } }
        }
    };
    html! {
        section class="tag" id="tag" data-part aria-live="polite" {
            h2 { (words.say("tag.title")) }
            @match &weighed.sheet {
                Some(Ok(sheet)) => {
                    dl class="cells" {
                        (cell("tag.brix", sheet.brix.as_ref()))
                        (cell("tag.refractometer", sheet.refractometer_brix.as_ref()))
                        (cell("tag.ph", sheet.ph.as_ref()))
                        (cell("tag.acidity", sheet.titratable_acidity.as_ref()))
                        (cell("tag.water_activity", sheet.water_activity.as_ref()))
                        (cell("tag.boils", sheet.boils_at_c.as_ref()))
                        (cell("tag.freezes", sheet.freezes_at_c.as_ref()))
                        (cell("tag.mass", Some(&sheet.mass)))
                    }
                    @if let Some(first) = sheet.dominates.get("ph").and_then(|causes| causes.first()) {
                        p { (words.say("tag.ph_from")) " " span lang="en" { (first.what) } " (" (figures.share(&first.share)) ")" }
                    }
                    details {
                        summary { (words.say("tag.composition")) }
                        dl class="cells" {
                            @for (part, figure) in &sheet.composition {
                                div { dt lang="en" { (part) } dd { (figures.show(figure)) } }
                            }
                        }
                    }
                    @if !sheet.unknown.is_empty() || !sheet.notes.is_empty() {
                        details {
                            summary { (words.count("tag.notes", sheet.unknown.len() + sheet.notes.len())) }
                            ul lang="en" {
                                @for reason in sheet.unknown.values() { li { (reason) } }
                                @for note in &sheet.notes { li { (note) } }
                            }
                        }
                    }
                    @if !sheet.names.is_empty() {
                        details {
                            summary { (words.say("tag.names")) }
                            ul lang="en" {
                                @for name in &sheet.names {
                                    li { span class="strong" { (name.name) " (" (name.market) "): " (name.held) }
                                        ul { @for ask in &name.asks { li { (ask.said) } } @for line in &name.beside { li { (line) } } }
                                    }
                                }
                            }
                        }
                    }
                    p class="hint" lang="en" { (sheet.cautions.join(" ")) }
                }
                Some(Err(trouble)) => { (told(trouble)) }
                None if new || weighed.faults.is_empty() => { p { (words.say("tag.not_yet")) } }
                None => { p { (words.say("tag.faulty")) } }
            }
        }
    }
}

fn told(trouble: &Trouble) -> Markup {
    html! {
        @match trouble {
            Trouble::Unusable { what, hint } => { p class="fault" lang="en" { (what) ". " (hint) } }
            Trouble::Cannot { why, would } => {
                div class="fault" lang="en" { p { (why) } ul { @for line in would { li { (line) } } } }
            }
            Trouble::NotFound { what } | Trouble::Ours { what } => { p class="fault" lang="en" { (what) } }
            _ => {}
        }
    }
}

fn line(
    reader: Reader,
    hash: Hash,
    fields: &Fields<'_>,
    row: usize,
    exists: bool,
    has_pack: bool,
    effects: Option<&Effects>,
) -> Markup {
    let words = reader.words();
    let at = |key: &str| format!("line.{row}.{key}");
    let effect = effects
        .and_then(|effects| effects.lines.get(row))
        .and_then(Option::as_ref);
    let number = (row + 1).to_string();
    html! {
        li class="line" {
            fieldset {
                legend class="unseen" { (words.fill("formula.line", &[("n", &number)])) }
                div class="entry" {
                    div class="field" {
                        label for=(at("ingredient")) { (words.say("formula.ingredient")) }
                        input type="text" list="ingredients" id=(at("ingredient")) name=(at("ingredient"))
                            value=(fields.form.get(&at("ingredient"))) autocomplete="off";
                        div id={ "told-i-" (row) } data-part { (fields.told(&at("ingredient"))) (fields.told(&format!("line.{row}"))) }
                    }
                    div class="field amount" {
                        label for=(at("amount")) { (words.say("formula.amount")) }
                        input type="text" id=(at("amount")) name=(at("amount")) value=(fields.form.get(&at("amount"))) autocomplete="off";
                        div id={ "told-a-" (row) } data-part { (fields.told(&at("amount"))) }
                    }
                }
                div class="effect" id={ "effect-" (row) } data-part {
                    @if let Some(effect) = effect { (does(reader, hash, effect)) }
                }
                details class="more" {
                    summary { (words.say("formula.more")) }
                    div class="grid" {
                        (fields.text(&at("form"), words.say("formula.form"), None))
                        (fields.text(&at("step"), words.say("formula.step"), None))
                        (fields.text(&at("goes_in"), words.say("formula.goes_in"), Some("60 C, end")))
                        (fields.text(&at("sieved_out"), words.say("formula.sieved_out"), Some("90 %")))
                        @if has_pack {
                            (fields.one_of(&at("part"), words.say("formula.part"), &parts(words)))
                            (fields.flag(&at("per_jar"), words.say("formula.per_jar")))
                        }
                    }
                    @if exists {
                        button type="submit" class="quiet" name="take-out" value=(row) { (words.say("formula.take_out")) }
                    }
                }
            }
        }
    }
}

/// What a line does, in one row of small figures.
fn does(reader: Reader, hash: Hash, effect: &LineEffect) -> Markup {
    let words = reader.words();
    let why = format!("/why/formula/{hash}/effects");
    let figures = Figures::new(reader, &why, "");
    let signed = |key: &str, figure: Option<&Figure>, digits: usize| {
        html! {
            @if let Some(figure) = figure {
                span class="does" {
                    (words.say(key)) " "
                    (figures.said(figure, &format!("{:+.digits$}", figure.value).replace('-', "\u{2212}")))
                }
            }
        }
    };
    html! {
        span class="does" { (figures.plain(&effect.mass)) }
        span class="does" { (figures.plain(&effect.share)) " " (words.say("formula.of_it_all")) }
        span class="does-of" { (words.say("formula.tenth_more")) }
        (signed("formula.does_brix", effect.brix.as_ref(), 2))
        (signed("formula.does_ph", effect.ph.as_ref(), 3))
        (signed("formula.does_aw", effect.water_activity.as_ref(), 4))
        (signed("formula.does_boils", effect.boils.as_ref(), 2))
    }
}

/// Places that show their own faults.
fn shown_places(rows: usize) -> Vec<String> {
    const OF_LINE: [&str; 8] = [
        "ingredient",
        "amount",
        "form",
        "step",
        "goes_in",
        "sieved_out",
        "part",
        "per_jar",
    ];
    let mut shown: Vec<String> = ["name", "food", "cup", "stop_at", "jar_headspace", "fill_at", "schedule"]
        .map(str::to_owned)
        .into();
    for row in 0..rows {
        shown.push(format!("line.{row}"));
        shown.extend(OF_LINE.iter().map(|key| format!("line.{row}.{key}")));
    }
    shown
}

fn foods() -> Vec<(String, String)> {
    FoodClass::ALL
        .iter()
        .map(|food| (food.word().to_owned(), food.word().replace('-', " ")))
        .collect()
}

fn cups(words: Words) -> Vec<(String, String)> {
    [
        ("", "formula.cup_none"),
        ("us", "formula.cup_us"),
        ("metric", "formula.cup_metric"),
        ("imperial", "formula.cup_imperial"),
    ]
    .map(|(word, key)| (word.to_owned(), words.say(key).to_owned()))
    .into()
}

fn parts(words: Words) -> Vec<(String, String)> {
    [
        ("", "formula.part_none"),
        ("pieces", "formula.part_pieces"),
        ("brine", "formula.part_brine"),
        ("soak", "formula.part_soak"),
    ]
    .map(|(word, key)| (word.to_owned(), words.say(key).to_owned()))
    .into()
}

fn schedules(words: Words) -> Vec<(String, String)> {
    std::iter::once((String::new(), words.say("formula.schedule_none").to_owned()))
        .chain(
            jarwright_reference::schedules()
                .iter()
                .map(|row| (row.key.clone(), row.title.clone())),
        )
        .collect()
}
