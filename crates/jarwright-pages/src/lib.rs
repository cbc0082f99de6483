//! The planning pages: the kitchen's answers in a browser.
//!
//! Served by the program itself, with no other service and no network: pages are rendered here, the
//! texts behind them are kept by whoever implements the kitchen's [`Keeper`], plans are worked out by
//! the kitchen. No equation, no rule and no SQL live here.
//!
//! Read next: `socket.rs` (connections), `guard/mod.rs` (who may ask), `house.rs` (what every page shares), `frame.rs` (what every page
//! looks like), `form.rs` (how a field becomes a line of a text), then the page wanted.
//!
//! Floor 5: it stands on the papers, whose drawings and words it uses.
//!
//! [`Keeper`]: jarwright_kitchen::ports::Keeper

mod adjust;
mod api;
mod assets;
mod changes;
mod entry;
mod equipment;
mod fields;
mod figures;
mod form;
mod formula;
mod formulas;
mod frame;
pub mod guard;
mod held;
mod house;
mod in_hand;
mod kept_form;
mod patience;
mod reader;
mod reading;
mod run;
mod runs;
mod socket;
mod stores;
mod take_in;
mod texts;
mod trouble;
mod versions;
mod which;
mod why;
pub mod words;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

pub use guard::{Hosts, Key, Passphrase};
pub use house::{Example, House, Parts, Shared};
pub use reader::Reader;
pub use socket::{Tls, listen};
pub use trouble::Trouble;

/// Everything that is served.
pub fn router(house: Shared) -> Router {
    Router::new()
        .route("/", get(in_hand::page))
        .route("/begin", post(in_hand::begin))
        .route("/formulas", get(formulas::page))
        .route("/formulas/recipe", get(take_in::page).post(take_in::take))
        .route("/formulas/{name}", get(formula::page).post(formula::keep))
        .route("/formulas/{name}/try", post(formula::attempt))
        .route("/formulas/{name}/adjust", get(adjust::page).post(adjust::keep))
        .route("/runs", get(runs::page))
        .route("/runs/new", get(run::new).post(run::keep_new))
        .route("/runs/{name}", get(run::page).post(run::keep))
        .route("/runs/{name}/sheets/{sheet}", get(run::sheet))
        .route("/runs/{name}/pot/{nth}", get(run::pot::page))
        .route("/runs/{name}/jar/{nth}", get(run::jar::page))
        .route("/runs/{name}/{part}", get(run::part))
        .merge(api::routes())
        .merge(versions::routes())
        .merge(texts::routes())
        .merge(kept_form::routes(&equipment::PAGE))
        .merge(kept_form::routes(&stores::PAGE))
        .route("/why/formula/{text}/{of}/{figure}", get(why::of_formula))
        .route("/why/run/{text}/{figure}", get(why::of_run))
        .route("/why/run/{text}/jar/{nth}/{figure}", get(why::of_jar))
        .route("/why/kitchen/{figure}", get(why::of_kitchen))
        .route("/reading", get(reading::page).post(reading::choose))
        .route("/door", get(entry::page).post(entry::come_in))
        .route("/door/close", post(entry::close))
        .route("/changes", get(changes::listen))
        .route("/health", get(health))
        .route("/assets/{tag}/{name}", get(assets::serve))
        .fallback(nothing)
        .layer(DefaultBodyLimit::max(guard::MOST_BODY))
        .layer(CatchPanicLayer::custom(broken))
        .layer(from_fn_with_state(house.clone(), guard::door))
        .layer(CompressionLayer::new())
        .with_state(house)
}

/// Whether the house can keep and find texts just now.
async fn health(axum::extract::State(house): axum::extract::State<Shared>) -> Result<&'static str, Response> {
    house
        .keeper
        .health()
        .await
        .map(|()| "open")
        // Why not is for those inside; this is asked by anybody.
        .map_err(|_| Trouble::of_status(StatusCode::SERVICE_UNAVAILABLE).problem())
}

async fn nothing(reader: Reader, uri: axum::http::Uri) -> Response {
    let trouble = Trouble::not_found(uri.path());
    if uri.path().starts_with("/api/") {
        trouble.problem()
    } else {
        trouble.page(reader)
    }
}

/// A panic is our fault; what it said stays on this side, and the door says the rest.
fn broken(_: Box<dyn std::any::Any + Send + 'static>) -> Response {
    StatusCode::INTERNAL_SERVER_ERROR.into_response()
}
