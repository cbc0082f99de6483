//! Which kept thing an address means: `/formulas/lime-curd/…`, `/equipment/…`.

use axum::extract::{FromRequestParts, RawPathParams};
use axum::http::request::Parts;
use axum::response::Response;
use jarwright_kitchen::ports::{Kept, Name, Version};
use maud::{Markup, html};

use crate::form::Form;
use crate::frame::Place;
use crate::house::{House, Shared};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::words::Words;

/// Addresses of the four kinds: those that there are many of have a name in it.
pub(crate) const ADDRESSES: [(Kept, &str, &str); 4] = [
    (Kept::Formula, "formulas", "/formulas/{name}"),
    (Kept::Run, "runs", "/runs/{name}"),
    (Kept::Kitchen, "equipment", "/equipment"),
    (Kept::Stores, "stores", "/stores"),
];

/// A kept thing that stands.
#[derive(Debug, Clone)]
pub(crate) struct Which {
    /// Its kind.
    pub(crate) kind: Kept,
    /// What stands.
    pub(crate) newest: Version,
}

impl Which {
    /// Where it is shown.
    pub(crate) fn address(&self) -> String {
        address(self.kind, &self.newest.name)
    }

    /// Its place on the shelf.
    pub(crate) const fn place(&self) -> Place {
        match self.kind {
            Kept::Formula => Place::Formulas,
            Kept::Run => Place::Runs,
            Kept::Kitchen => Place::Equipment,
            Kept::Stores => Place::Stores,
        }
    }

    /// What a person calls it.
    pub(crate) fn title(&self, words: Words) -> String {
        match self.kind {
            Kept::Formula | Kept::Run => Form::open(self.newest.text.as_str())
                .map(|form| form.get("name"))
                .ok()
                .filter(|title| !title.is_empty())
                .unwrap_or_else(|| self.newest.name.to_string()),
            Kept::Kitchen => words.say("place.equipment").to_owned(),
            Kept::Stores => words.say("place.stores").to_owned(),
        }
    }

    /// The way back to it.
    pub(crate) fn way(&self, words: Words) -> Markup {
        html! { a href=(self.address()) { (self.title(words)) } }
    }

    /// One of its versions.
    pub(crate) async fn version(&self, house: &House, number: u64) -> Result<Version, Trouble> {
        house
            .keeper
            .version(self.kind, &self.newest.name, number)
            .await?
            .ok_or_else(|| Trouble::not_found(format!("version {number}")))
    }
}

/// Where a kind's things stand.
pub(crate) fn address(kind: Kept, name: &Name) -> String {
    match kind {
        Kept::Formula => format!("/formulas/{name}"),
        Kept::Run => format!("/runs/{name}"),
        Kept::Kitchen => "/equipment".into(),
        Kept::Stores => "/stores".into(),
    }
}

impl FromRequestParts<Shared> for Which {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, house: &Shared) -> Result<Self, Response> {
        let Ok(reader) = Reader::from_request_parts(parts, house).await;
        let missing = || Trouble::not_found(parts.uri.path().chars().take(120).collect::<String>()).page(reader);
        let first = parts
            .uri
            .path()
            .split('/')
            .find(|step| !step.is_empty())
            .unwrap_or_default();
        let (kind, _, _) = ADDRESSES
            .into_iter()
            .find(|(_, word, _)| *word == first)
            .ok_or_else(missing)?;
        let path = RawPathParams::from_request_parts(&mut parts.clone(), house)
            .await
            .map_err(|_| missing())?;
        let name = path
            .iter()
            .find(|(key, _)| *key == "name")
            .map_or(kind.word(), |(_, name)| name);
        let name = Name::new(name).map_err(|_| missing())?;
        let newest = house
            .keeper
            .newest(kind, &name)
            .await
            .map_err(|error| Trouble::from(error).page(reader))?;
        Ok(Self {
            kind,
            newest: newest.ok_or_else(missing)?,
        })
    }
}

/// Names that are addresses of their own.
const TAKEN: [&str; 3] = ["new", "bring", "recipe"];

/// The name to keep a new text under, from the title in it.
///
/// # Errors
/// [`Trouble`] for a title no name can be made of, or one that is an address of its own.
pub(crate) fn name_of_title(text: &str) -> Result<Name, Trouble> {
    let title = Form::open(text).map(|form| form.get("name")).unwrap_or_default();
    let name = Name::of_title(&title).map_err(|error| Trouble::unusable(error.to_string(), error.hint()))?;
    if TAKEN.contains(&name.as_str()) {
        return Err(Trouble::unusable(
            format!("\"{title}\" cannot be its name here"),
            "give it a name of its own",
        ));
    }
    Ok(name)
}

/// The ways to a thing's versions and to its text.
pub(crate) fn ways(kind: Kept, name: &Name, number: u64, words: Words) -> Markup {
    let at = address(kind, name);
    html! {
        a href={ (at) "/versions" } { (words.fill("runs.version", &[("n", &number.to_string())])) }
        " · " a href={ (at) "/text" } { (words.say("text.as_text")) }
    }
}
