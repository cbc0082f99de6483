//! The same answers as JSON, for machines and for the pages' own script; described by itself.
//!
//! One table ([`PATHS`]) says what there is; the addresses and the description (OpenAPI 3.1) are both
//! made of it, so that nothing is served that is not described.

use axum::extract::{Path, State};
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get};
use axum::{Json, Router};
use jarwright_kitchen::files::read_kitchen;
use jarwright_kitchen::here;
use jarwright_kitchen::ports::{Kept, Name, Version};
use serde_json::{Value, json};

use crate::form::Form;
use crate::formula;
use crate::house::{House, Shared};
use crate::run;
use crate::trouble::Trouble;

/// One path: its address, what it is for, what may be asked in it, what it answers with.
struct Described {
    address: &'static str,
    about: &'static str,
    asks: &'static [Asked],
    answers: &'static str,
    html_too: bool,
    serves: fn() -> MethodRouter<Shared>,
}

/// Something that may be asked in an address.
struct Asked {
    name: &'static str,
    place: &'static str,
    kind: &'static str,
    about: &'static str,
}

const NAME: Asked = Asked {
    name: "name",
    place: "path",
    kind: "string",
    about: "The name it is kept under",
};

const NTH: Asked = Asked {
    name: "nth",
    place: "path",
    kind: "integer",
    about: "Which formula of the run, from 1",
};

const fn query(name: &'static str, kind: &'static str, about: &'static str) -> Asked {
    Asked {
        name,
        place: "query",
        kind,
        about,
    }
}

const PATHS: [Described; 9] = [
    Described {
        address: "/api",
        about: "This description",
        asks: &[],
        answers: "An OpenAPI 3.1 document",
        html_too: false,
        serves: || get(description),
    },
    Described {
        address: "/api/here",
        about: "The kitchen at a glance: height, air pressure, what water boils at",
        asks: &[],
        answers: "Figures with their bands, inputs and sources",
        html_too: false,
        serves: || get(place),
    },
    Described {
        address: "/api/formulas",
        about: "Every formula that stands",
        asks: &[],
        answers: "Names, titles and version numbers",
        html_too: false,
        serves: || get(formulas),
    },
    Described {
        address: "/api/formulas/{name}",
        about: "One formula's text",
        asks: &[NAME],
        answers: "Name, version, hash and the TOML text",
        html_too: false,
        serves: || get(one_formula),
    },
    Described {
        address: "/api/formulas/{name}/assay",
        about: "What is in the food and how it behaves, in this kitchen",
        asks: &[NAME],
        answers: "The assay: figures with their bands, inputs and sources",
        html_too: false,
        serves: || get(assay),
    },
    Described {
        address: "/api/runs",
        about: "Every run that stands",
        asks: &[],
        answers: "Names, titles and version numbers",
        html_too: false,
        serves: || get(runs),
    },
    Described {
        address: "/api/runs/{name}",
        about: "One run's plan",
        asks: &[NAME],
        answers: "Version, question and plan: every figure with its band, inputs and sources",
        html_too: false,
        serves: || get(one_run),
    },
    Described {
        address: "/api/runs/{name}/pot/{nth}",
        about: "A planned pot asked again with something changed at the stove",
        asks: &[
            NAME,
            NTH,
            query("jars", "integer", "Jars that the batch is for"),
            query(
                "burner_pct",
                "number",
                "Share of the burner's rating that is turned on [%]",
            ),
            query("start_c", "number", "Food when the heat goes on [°C]"),
            query("stirs_per_min", "number", "Rounds of the spoon a minute"),
        ],
        answers: "The pot's curve with its band and its wall, what becomes of egg, the largest batch",
        html_too: true,
        serves: || get(run::pot::api),
    },
    Described {
        address: "/api/runs/{name}/jar/{nth}",
        about: "A planned jar asked again with something changed at the stove",
        asks: &[
            NAME,
            NTH,
            query("fill_c", "number", "Food when it is filled [°C]"),
            query("bath_start_c", "number", "Bath when the jars go in [°C]"),
            query("come_up_min", "number", "From jars in to the boil [min]"),
            query("hold_min", "number", "At the boil [min]"),
            query("altitude_m", "number", "Height above sea level [m]"),
            query("jar", "string", "Another jar, by its name"),
        ],
        answers: "The schedule's conditions one by one, what becomes of the shelf, the cold spot with its band",
        html_too: true,
        serves: || get(run::jar::api),
    },
];

/// The addresses.
pub(crate) fn routes() -> Router<Shared> {
    PATHS.iter().fold(Router::new(), |routes, path| {
        routes.route(path.address, (path.serves)())
    })
}

async fn description(State(house): State<Shared>) -> Response {
    ([(CONTENT_TYPE, "application/json")], openapi(house.program).to_string()).into_response()
}

/// The description, as OpenAPI 3.1 asks for it.
fn openapi(program: &str) -> Value {
    let paths: serde_json::Map<String, Value> = PATHS
        .iter()
        .map(|path| {
            let asks: Vec<Value> = path
                .asks
                .iter()
                .map(|asked| {
                    json!({
                        "name": asked.name, "in": asked.place, "required": asked.place == "path",
                        "description": asked.about, "schema": { "type": asked.kind },
                    })
                })
                .collect();
            let mut content = json!({ "application/json": { "schema": { "type": "object" } } });
            if path.html_too {
                content["text/html"] = json!({ "schema": { "type": "string" } });
            }
            let problem = json!({
                "description": "What is wrong and what to do about it (RFC 9457)",
                "content": { "application/problem+json": { "schema": { "$ref": "#/components/schemas/Problem" } } },
            });
            let told = json!({ "get": {
                "summary": path.about,
                "parameters": asks,
                "responses": { "200": { "description": path.answers, "content": content }, "default": problem },
            } });
            (path.address.to_owned(), told)
        })
        .collect();
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Jarwright",
            "version": program.rsplit(' ').next().unwrap_or_default(),
            "description": "What is computed explains a tested schedule; it never replaces one. \
                            Local law and a licensed authority decide.",
        },
        "paths": paths,
        "components": { "schemas": { "Problem": {
            "type": "object",
            "required": ["type", "title", "status"],
            "properties": {
                "type": { "type": "string", "format": "uri-reference" },
                "title": { "type": "string" },
                "status": { "type": "integer" },
                "detail": { "type": "string" },
                "remedies": { "type": "array", "items": { "type": "string" } },
            },
        } } },
    })
}

async fn place(State(house): State<Shared>) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.problem();
    let kitchen = house
        .kitchen()
        .await
        .map_err(told)?
        .ok_or_else(|| told(Trouble::not_found("a kitchen")))?;
    let file = read_kitchen("equipment", kitchen.text.as_str())
        .map_err(|problems| told(crate::house::unreadable("equipment", &problems)))?;
    let here = here(&file, None).map_err(|error| told(error.into()))?;
    Ok(Json(json!({
        "altitude": here.altitude, "air_pressure": here.air_pressure, "water_boils": here.water_boils,
        "quantities": here.quantities,
    }))
    .into_response())
}

async fn all(house: &House, kind: Kept) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.problem();
    let all = house.keeper.all(kind).await.map_err(|error| told(error.into()))?;
    let rows: Vec<Value> = all
        .iter()
        .map(|version| {
            let title = Form::open(version.text.as_str())
                .map(|form| form.get("name"))
                .unwrap_or_default();
            json!({ "name": version.name.as_str(), "title": title, "version": version.number })
        })
        .collect();
    Ok(Json(json!({ "kept": rows })).into_response())
}

async fn formulas(State(house): State<Shared>) -> Result<Response, Response> {
    all(&house, Kept::Formula).await
}

async fn runs(State(house): State<Shared>) -> Result<Response, Response> {
    all(&house, Kept::Run).await
}

async fn newest(house: &House, kind: Kept, name: &str) -> Result<Version, Response> {
    let missing = || {
        let shown: String = name.chars().take(80).collect();
        Trouble::not_found(format!("a {kind} called {shown}")).problem()
    };
    let name = Name::new(name).map_err(|_| missing())?;
    let newest = house.keeper.newest(kind, &name).await;
    newest
        .map_err(|error| Trouble::from(error).problem())?
        .ok_or_else(missing)
}

async fn one_formula(State(house): State<Shared>, Path(name): Path<String>) -> Result<Response, Response> {
    let version = newest(&house, Kept::Formula, &name).await?;
    Ok(Json(json!({
        "name": version.name.as_str(), "version": version.number, "hash": version.hash().to_string(),
        "text": version.text.as_str(),
    }))
    .into_response())
}

async fn assay(State(house): State<Shared>, Path(name): Path<String>) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.problem();
    let version = newest(&house, Kept::Formula, &name).await?;
    let weighed = formula::weigh(&house, version.text.as_str()).await.map_err(told)?;
    match &weighed.sheet {
        Some(Ok(sheet)) => Ok(Json(sheet).into_response()),
        Some(Err(trouble)) => Err(told(trouble.clone())),
        None => Err(told(Trouble::unusable(
            "no assay can be made",
            "mend the formula on its page, and begin a kitchen",
        ))),
    }
}

async fn one_run(State(house): State<Shared>, Path(name): Path<String>) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.problem();
    let shown = run::find(&house, &name).await.map_err(told)?;
    match &shown.worked.plan {
        Ok(plan) => Ok(Json(json!({
            "name": shown.version.name.as_str(), "version": shown.version.number,
            "question": shown.version.text.as_str(), "plan": plan,
        }))
        .into_response()),
        Err(error) => Err(told(error.clone().into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_place_in_an_address_is_told_and_nothing_else_is() {
        for path in &PATHS {
            let mut in_address: Vec<&str> = path
                .address
                .split('{')
                .skip(1)
                .filter_map(|rest| rest.split('}').next())
                .collect();
            let mut told: Vec<&str> = path
                .asks
                .iter()
                .filter(|asked| asked.place == "path")
                .map(|asked| asked.name)
                .collect();
            in_address.sort_unstable();
            told.sort_unstable();
            assert_eq!(in_address, told, "{}", path.address);
        }
        let document = openapi("jarwright 0.1.0");
        assert_eq!(
            document["paths"].as_object().map(serde_json::Map::len),
            Some(PATHS.len())
        );
        assert_eq!(document["info"]["version"], "0.1.0");
    }
}
