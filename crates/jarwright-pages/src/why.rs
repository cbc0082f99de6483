//! Why? One page for every figure, whatever it is a figure of.

use std::collections::BTreeMap;

use axum::extract::{Path, Query, RawQuery, State};
use axum::response::Response;
use jarwright_figure::Figure;
use jarwright_kitchen::files::read_kitchen;
use jarwright_kitchen::here;
use jarwright_papers::why::{self, Bounds};
use maud::html;

use crate::formula;
use crate::frame::{Page, Place};
use crate::house::Shared;
use crate::reader::Reader;
use crate::run::jar::{Changed, quantities};
use crate::trouble::Trouble;

/// Of a formula's assay, or of what its lines do.
pub async fn of_formula(
    State(house): State<Shared>,
    Path((text, of, figure)): Path<(String, String, String)>,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let kept = house.text_of(&text).await.map_err(told)?;
    let weighed = formula::weigh(&house, kept.as_str()).await.map_err(told)?;
    let quantities = match of.as_str() {
        "assay" => match &weighed.sheet {
            Some(Ok(sheet)) => Some(&sheet.quantities),
            Some(Err(trouble)) => return Err(told(trouble.clone())),
            None => None,
        },
        "effects" => weighed.effects.as_ref().map(|effects| &effects.quantities),
        _ => None,
    };
    let base = format!("/why/formula/{text}/{of}");
    show(quantities, &figure, &base, "", reader).map_err(told)
}

/// Of a run's plan.
pub async fn of_run(
    State(house): State<Shared>,
    Path((text, figure)): Path<(String, String)>,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let kept = house.text_of(&text).await.map_err(told)?;
    let worked = house.worked_text(&kept).await.map_err(told)?;
    let plan = worked.plan.as_ref().map_err(|error| told(error.clone().into()))?;
    let base = format!("/why/run/{text}");
    show(Some(&plan.quantities), &figure, &base, &worked.kitchen.currency, reader).map_err(told)
}

/// Of a run's jar, with what was changed at it.
pub async fn of_jar(
    State(house): State<Shared>,
    Path((text, nth, figure)): Path<(String, usize, String)>,
    Query(changed): Query<Changed>,
    RawQuery(query): RawQuery,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let kept = house.text_of(&text).await.map_err(told)?;
    let worked = house.worked_text(&kept).await.map_err(told)?;
    let reasons = quantities(&house, &worked, kept.hash(), nth, &changed)
        .await
        .map_err(told)?;
    let query = query.map_or_else(String::new, |query| format!("?{query}"));
    let link = |handle: &str| format!("/why/run/{text}/jar/{nth}/{handle}{query}");
    show_linked(Some(&reasons), &figure, &link, &worked.kitchen.currency, reader).map_err(told)
}

/// Of where the kitchen stands.
pub async fn of_kitchen(
    State(house): State<Shared>,
    Path(figure): Path<String>,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let kitchen = house.kitchen().await.map_err(told)?;
    let here = kitchen
        .and_then(|version| read_kitchen("kitchen", version.text.as_str()).ok())
        .and_then(|kitchen| here(&kitchen, None).ok());
    show(
        here.as_ref().map(|here| &here.quantities),
        &figure,
        "/why/kitchen",
        "",
        reader,
    )
    .map_err(told)
}

fn show(
    quantities: Option<&BTreeMap<String, Figure>>,
    handle: &str,
    base: &str,
    currency: &str,
    reader: Reader,
) -> Result<Response, Trouble> {
    let link = |handle: &str| format!("{base}/{handle}");
    show_linked(quantities, handle, &link, currency, reader)
}

fn show_linked(
    quantities: Option<&BTreeMap<String, Figure>>,
    handle: &str,
    link: &dyn Fn(&str) -> String,
    currency: &str,
    reader: Reader,
) -> Result<Response, Trouble> {
    let words = reader.words();
    let missing = || Trouble::not_found(format!("a figure {}", handle.chars().take(20).collect::<String>()));
    let quantities = quantities.ok_or_else(missing)?;
    let figure = quantities.get(handle).ok_or_else(missing)?;
    let link = |handle: &str| Some(link(handle));
    let step = why::walk(figure, quantities, Bounds::PAGE);
    let body = html! {
        (why::page(&step, currency, &link))
        p class="do" { button type="button" class="quiet" data-print { (words.say("why.print")) } }
    };
    Ok(Page {
        place: Place::Elsewhere,
        title: &figure.name,
        over: Some(html! { (words.say("why.title")) }),
        body,
    }
    .answer(reader))
}
