//! A page over the one text of a kind that a kitchen has: its equipment, its stores.
//!
//! What stands in such a text is told once, as groups of entries ([`Group`]); showing a form and taking
//! it in again both follow that telling, so that a field that is shown is a field that is kept.

use std::collections::BTreeMap;

use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use jarwright_kitchen::files::Problem;
use jarwright_kitchen::ports::{Kept, Version};
use maud::{Markup, html};

use crate::changes;
use crate::fields::{Fields, hidden};
use crate::form::{Faults, Form, Holds};
use crate::frame::{Page, Place, go_on_to};
use crate::guard::{Posted, Visit};
use crate::house::{House, Shared};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::which::ways;
use crate::words::Words;

/// One entry: a key of the text and how it is asked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Entry {
    /// Key in the text.
    pub(crate) key: &'static str,
    /// Key of its label.
    pub(crate) label: &'static str,
    /// An example of what may be written.
    pub(crate) example: &'static str,
    /// How it is asked for.
    pub(crate) asks: Asks,
}

/// How an entry is asked for.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Asks {
    /// Words or a quantity.
    Text,
    /// A whole number.
    Count,
    /// A number.
    Number,
    /// A day.
    Day,
    /// Several words, with commas between.
    List,
    /// One of several words.
    OneOf(fn(&Form, Words) -> Vec<(String, String)>),
    /// Any of several words.
    AnyOf(&'static [(&'static str, &'static str)]),
    /// A count for each of several words, in a table of its own.
    Counts(fn(&Form) -> Vec<String>),
}

impl Asks {
    const fn holds(self) -> Holds {
        match self {
            Self::Text | Self::OneOf(_) => Holds::Text,
            Self::Count | Self::Counts(_) => Holds::Count,
            Self::Number => Holds::Number,
            Self::Day => Holds::Day,
            Self::List | Self::AnyOf(_) => Holds::List,
        }
    }
}

/// Entries that stand together: of the whole text, of one table, of rows of one kind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Group {
    /// Key of the title.
    pub(crate) title: &'static str,
    /// Where the entries stand.
    pub(crate) at: At,
    /// The entries.
    pub(crate) entries: &'static [Entry],
}

/// Where the entries of a group stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum At {
    /// At the top of the text.
    Top,
    /// In a table.
    Table(&'static str),
    /// In rows of this kind, each called by what stands in one of these keys; the second is the label
    /// key of an empty row.
    Rows(&'static str, &'static [&'static str], &'static str),
}

/// A kept text that there is one of.
pub(crate) struct Only {
    /// Its kind.
    pub(crate) kind: Kept,
    /// Its place on the shelf.
    pub(crate) place: Place,
    /// Its address.
    pub(crate) address: &'static str,
    /// Key of its title.
    pub(crate) title: &'static str,
    /// Key of what the page is for.
    pub(crate) about: &'static str,
    /// What stands in it.
    pub(crate) groups: &'static [Group],
    /// Whether rows are shown shut, by their names: a long list.
    pub(crate) shut: bool,
    /// What to begin with where nothing is kept.
    pub(crate) blank: fn(&House) -> &'static str,
    /// The kitchen's reader of it.
    pub(crate) read: fn(&str) -> Result<(), Vec<Problem>>,
    /// What is shown above the form.
    pub(crate) above: fn(&str, Reader) -> Markup,
}

/// A text on its way through the form.
struct Draft {
    after: Option<u64>,
    text: String,
}

/// The page's addresses: shown, kept, tried.
pub(crate) fn routes(only: &'static Only) -> Router<Shared> {
    let shown = move |State(house): State<Shared>, reader: Reader, visit: Visit| async move {
        page(only, &house, reader, &visit)
            .await
            .map_err(|trouble| trouble.page(reader))
    };
    let taken = move |attempt: bool| {
        move |State(house): State<Shared>, reader: Reader, visit: Visit, posted: Posted| async move {
            take(only, &house, reader, &visit, &posted, attempt)
                .await
                .map_err(|trouble| trouble.page(reader))
        }
    };
    Router::new()
        .route(only.address, get(shown).post(taken(false)))
        .route(&format!("{}/try", only.address), post(taken(true)))
}

/// The page of what stands.
async fn page(only: &Only, house: &House, reader: Reader, visit: &Visit) -> Result<Response, Trouble> {
    let draft = match standing(only, house).await? {
        Some(version) => Draft {
            after: Some(version.number),
            text: version.text.as_str().to_owned(),
        },
        None => Draft {
            after: None,
            text: (only.blank)(house).to_owned(),
        },
    };
    show(only, &draft, None, StatusCode::OK, reader, visit)
}

async fn standing(only: &Only, house: &House) -> Result<Option<Version>, Trouble> {
    Ok(house.keeper.newest(only.kind, &House::only(only.kind)?).await?)
}

/// Keeps what was sent, or shows it with what stands in the way; `attempt` keeps nothing.
async fn take(
    only: &Only,
    house: &House,
    reader: Reader,
    visit: &Visit,
    posted: &Posted,
    attempt: bool,
) -> Result<Response, Trouble> {
    let newest = standing(only, house).await?;
    let after: Option<u64> = posted.get("made-from").parse().ok();
    let base = match (&newest, after) {
        (Some(newest), Some(number)) if number != newest.number => house
            .keeper
            .version(only.kind, &newest.name, number)
            .await?
            .unwrap_or_else(|| newest.clone()),
        (Some(newest), _) => newest.clone(),
        (None, _) => return take_text(only, house, (only.blank)(house), None, reader, visit, posted, attempt).await,
    };
    take_text(only, house, base.text.as_str(), after, reader, visit, posted, attempt).await
}

#[expect(
    clippy::too_many_arguments,
    reason = "one call, split for the text that may not be there yet"
)]
async fn take_text(
    only: &Only,
    house: &House,
    base: &str,
    after: Option<u64>,
    reader: Reader,
    visit: &Visit,
    posted: &Posted,
    attempt: bool,
) -> Result<Response, Trouble> {
    let mut form =
        Form::open(base).map_err(|fault| Trouble::unusable(fault.why, "mend the file and take it in again"))?;
    for group in only.groups {
        put_group(&mut form, group, posted);
    }
    if let Some((kind, row)) = posted.get("take-out").split_once('.')
        && let Ok(row) = row.parse()
    {
        form.remove(kind, row);
    }
    let draft = Draft {
        after,
        text: form.text(),
    };
    if attempt || posted.get("do") == "try" || posted.has("take-out") {
        return show(only, &draft, None, StatusCode::OK, reader, visit);
    }
    if (only.read)(&draft.text).is_err() {
        return show(only, &draft, None, StatusCode::UNPROCESSABLE_ENTITY, reader, visit);
    }
    match house
        .keep(only.kind, &House::only(only.kind)?, &draft.text, draft.after)
        .await
    {
        Ok(_) => Ok(go_on_to(only.address)),
        Err(Trouble::Overtaken) => {
            let newest = standing(only, house).await?.map(|version| version.number);
            show(only, &draft, newest, StatusCode::CONFLICT, reader, visit)
        }
        Err(trouble) => Err(trouble),
    }
}

/// Puts every entry of a group that was sent.
fn put_group(form: &mut Form, group: &Group, posted: &Posted) {
    match group.at {
        At::Top => put_entries(form, group.entries, "", "", posted),
        At::Table(table) => {
            let prefix = format!("{table}.");
            put_entries(form, group.entries, &prefix, &prefix, posted);
        }
        At::Rows(kind, _, _) => {
            let had = form.rows(kind);
            for (row, sent) in rows_sent(posted, kind, had).into_iter().enumerate() {
                put_entries(
                    form,
                    group.entries,
                    &format!("{kind}.{sent}."),
                    &format!("{kind}.{row}."),
                    posted,
                );
            }
        }
    }
}

/// Rows that were sent, as they will be numbered: those that stood, then new ones with something in them.
fn rows_sent(posted: &Posted, kind: &str, had: usize) -> Vec<usize> {
    let mut typed: BTreeMap<usize, bool> = BTreeMap::new();
    for (name, value) in posted.fields() {
        let row = name
            .strip_prefix(kind)
            .and_then(|rest| rest.strip_prefix('.'))
            .and_then(|rest| rest.split_once('.'))
            .and_then(|(row, _)| row.parse().ok());
        if let Some(row) = row {
            *typed.entry(row).or_default() |= !value.is_empty();
        }
    }
    (0..had)
        .chain(
            typed
                .iter()
                .filter(|&(&row, &some)| row >= had && some)
                .map(|(&row, _)| row),
        )
        .collect()
}

fn put_entries(form: &mut Form, entries: &[Entry], sent: &str, place: &str, posted: &Posted) {
    for entry in entries {
        let name = format!("{sent}{}", entry.key);
        let at = format!("{place}{}", entry.key);
        match entry.asks {
            Asks::Counts(_) => {
                let prefix = format!("{name}.");
                for (field, value) in posted.fields() {
                    if let Some(word) = field.strip_prefix(&prefix) {
                        form.put(&format!("{at}.{word}"), Holds::Count, value);
                    }
                }
            }
            Asks::AnyOf(_) if posted.has(&format!("{name}-asked")) => {
                form.put(&at, Holds::List, &posted.all(&name).collect::<Vec<_>>().join(","));
            }
            _ if posted.has(&name) => form.put(&at, entry.asks.holds(), posted.get(&name)),
            _ => {}
        }
    }
}

/// * `overtaken`: the version that somebody else kept meanwhile
fn show(
    only: &Only,
    draft: &Draft,
    overtaken: Option<u64>,
    status: StatusCode,
    reader: Reader,
    visit: &Visit,
) -> Result<Response, Trouble> {
    let words = reader.words();
    let form =
        Form::open(&draft.text).map_err(|fault| Trouble::unusable(fault.why, "mend the file and take it in again"))?;
    let faults = match (only.read)(&draft.text) {
        Err(problems) if draft.after.is_some() || status != StatusCode::OK => Faults::of(&draft.text, problems),
        _ => Faults::default(),
    };
    let fields = Fields {
        form: &form,
        faults: &faults,
        words,
    };
    let body = html! {
        @if let Some(number) = overtaken {
            section class="stop" role="alert" {
                p { (words.fill("form.overtaken", &[("n", &number.to_string())])) }
                p { a href=(only.address) { (words.say("form.see_theirs")) } ". " (words.say("form.keep_mine")) }
            }
        }
        p { (words.say(only.about)) }
        div id="above" data-part aria-live="polite" { ((only.above)(&draft.text, reader)) }
        form method="post" action=(only.address) data-live={ (only.address) "/try" } {
            (hidden(visit, overtaken.or(draft.after)))
            // Enter in a field tries, it does not keep.
            button class="unseen" type="submit" name="do" value="try" tabindex="-1" { (words.say("form.attempt")) }
            div id="faults" data-part { (fields.told_elsewhere(&shown(only, &form))) }
            @for group in only.groups { (told(&fields, group, only.shut)) }
            p class="do" {
                button type="submit" name="do" value="keep" { (words.say("form.keep")) }
                button type="submit" name="do" value="try" class="quiet" { (words.say("form.attempt")) }
            }
        }
        @if let Some(number) = draft.after { (changes::notice(only.kind, &House::only(only.kind)?, number, only.address, words)) }
    };
    let name = House::only(only.kind)?;
    let over = draft.after.map(|number| ways(only.kind, &name, number, words));
    Ok(Page {
        place: only.place,
        title: words.say(only.title),
        over,
        body,
    }
    .answer_with(status, reader))
}

/// Every place that shows its own faults.
fn shown(only: &Only, form: &Form) -> Vec<String> {
    let mut places = Vec::new();
    let mut add = |prefix: &str, entries: &[Entry]| {
        for entry in entries {
            places.push(format!("{prefix}{}", entry.key));
            if let Asks::Counts(words) = entry.asks {
                places.extend(words(form).iter().map(|word| format!("{prefix}{}.{word}", entry.key)));
            }
        }
    };
    for group in only.groups {
        match group.at {
            At::Top => add("", group.entries),
            At::Table(table) => add(&format!("{table}."), group.entries),
            At::Rows(kind, _, _) => {
                for row in 0..=form.rows(kind) {
                    add(&format!("{kind}.{row}."), group.entries);
                }
            }
        }
    }
    for group in only.groups {
        if let At::Rows(kind, _, _) = group.at {
            places.extend((0..form.rows(kind)).map(|row| format!("{kind}.{row}")));
        }
    }
    places
}

fn told(fields: &Fields<'_>, group: &Group, shut: bool) -> Markup {
    let words = fields.words;
    html! {
        fieldset class="plain" {
            legend { (words.say(group.title)) }
            @match group.at {
                At::Top => { (grid(fields, group.entries, "")) }
                At::Table(table) => { (grid(fields, group.entries, &format!("{table}."))) }
                At::Rows(kind, called, another) => {
                    ol class="things" {
                        @for row in 0..fields.form.rows(kind) {
                            (thing(fields, group.entries, kind, called, row, shut))
                        }
                        li class="thing" {
                            details {
                                summary { (words.say(another)) }
                                (grid(fields, group.entries, &format!("{kind}.{}.", fields.form.rows(kind))))
                            }
                        }
                    }
                }
            }
        }
    }
}

/// One row: open, or shut under its name.
fn thing(fields: &Fields<'_>, entries: &[Entry], kind: &str, called: &[&str], row: usize, shut: bool) -> Markup {
    let words = fields.words;
    let prefix = format!("{kind}.{row}.");
    let place = format!("{kind}.{row}");
    let said: Vec<String> = called
        .iter()
        .map(|key| fields.form.get(&format!("{prefix}{key}")))
        .filter(|said| !said.is_empty())
        .collect();
    let name = said.first().cloned().unwrap_or_default();
    let faulty = fields.faults.within(&place);
    html! {
        li class="thing" {
            fieldset {
                legend class="unseen" { (name) }
                details open[!shut || faulty] {
                    summary { span class="strong" { (name) } @for more in said.iter().skip(1) { " · " (more) } }
                    (fields.told(&place))
                    (grid(fields, entries, &prefix))
                    p class="do" {
                        button type="submit" class="quiet" name="take-out" value=(place) {
                            (words.say("form.take_out")) span class="unseen" { " " (name) }
                        }
                    }
                }
            }
        }
    }
}

fn grid(fields: &Fields<'_>, entries: &[Entry], prefix: &str) -> Markup {
    html! {
        div class="grid" {
            @for entry in entries { (field(fields, entry, &format!("{prefix}{}", entry.key))) }
        }
    }
}

fn field(fields: &Fields<'_>, entry: &Entry, place: &str) -> Markup {
    let words = fields.words;
    let label = words.say(entry.label);
    let example = (!entry.example.is_empty()).then_some(entry.example);
    match entry.asks {
        Asks::Text | Asks::List | Asks::Number => fields.text(place, label, example),
        Asks::Count => fields.count(place, label, example),
        Asks::Day => fields.day(place, label),
        Asks::OneOf(choices) => fields.one_of(place, label, &choices(fields.form, words)),
        Asks::AnyOf(choices) => {
            let chosen = fields.form.get(place);
            html! {
                fieldset class="field any" {
                    legend { (label) }
                    input type="hidden" name={ (place) "-asked" } value="on";
                    @for (word, key) in choices {
                        label {
                            input type="checkbox" name=(place) value=(word) checked[chosen.split(", ").any(|one| one == *word)];
                            span { (words.say(key)) }
                        }
                    }
                    (fields.told(place))
                }
            }
        }
        Asks::Counts(words_of) => html! {
            @for word in words_of(fields.form) {
                (fields.count(&format!("{place}.{word}"), &format!("{label}: {}", word.replace('-', " ")), None))
            }
            (fields.told(place))
        },
    }
}
