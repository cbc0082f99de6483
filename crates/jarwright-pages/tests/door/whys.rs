//! Every figure of every page leads to its why, and every why goes on to what somebody entered,
//! measured or published.

use std::collections::BTreeSet;

use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;

use jarwright_pages::guard::Peer;

use crate::{Browser, location};

/// Fewer than a machine may ask for at once.
const PAGES_OF_ONE_MACHINE: usize = 100;

/// Sees every page and every why that can be reached; gives how many whys there were.
async fn walk(browser: &mut Browser, first: &[String]) -> usize {
    let mut to_see = first.to_vec();
    let mut seen = BTreeSet::new();
    let mut whys = 0;
    while let Some(path) = to_see.pop() {
        if !seen.insert(path.clone()) || path.starts_with("/assets/") || path.ends_with("/file") {
            continue;
        }
        // The walk comes from one machine after another: the pace of one would hold it back.
        let machine = u8::try_from(seen.len() / PAGES_OF_ONE_MACHINE % 200).unwrap_or_default();
        browser.peer = Some(Peer::of([192, 0, 2, machine].into()));
        let answer = browser.get(&path).await;
        assert_ne!(answer.status, StatusCode::TOO_MANY_REQUESTS, "{path}");
        if !answer.header(CONTENT_TYPE).starts_with("text/html") {
            continue;
        }
        if path.starts_with("/why/") {
            whys += 1;
            assert_eq!(answer.status, StatusCode::OK, "{path}");
            grounded(&path, &answer.body);
        }
        for link in answer.links() {
            let link = link.split('#').next().unwrap_or_default().replace("&amp;", "&");
            // A page's own versions and texts say nothing new of a figure.
            if link.starts_with("/why/") || (link.starts_with('/') && !path.starts_with("/why/")) {
                to_see.push(link);
            }
        }
    }
    whys
}

/// A why has grounds: an equation with what it took, or a person, an instrument, a document.
fn grounded(path: &str, body: &str) {
    assert!(body.contains("<article class=\"why\""), "{path} is no why");
    let grounds = ["Computed: ", "Entered: ", "Measured: ", "<p>Published</p>"];
    assert!(
        grounds.iter().any(|ground| body.contains(ground)),
        "{path} has no ground"
    );
    assert!(
        !body.contains("nothing more is known of it here"),
        "{path} ends in nothing"
    );
    let first = body
        .split_once("<article class=\"why\"")
        .map_or("", |(_, article)| article);
    let own = first.split_once("It was computed from").map_or(first, |(own, _)| own);
    if own.contains("<p>Computed: ") {
        assert!(own.contains("<math"), "{path} is computed without an equation");
        assert!(
            first.contains("It was computed from:"),
            "{path} is computed from nothing"
        );
    }
}

#[tokio::test]
async fn every_figure_of_every_page_walks_to_what_was_entered_measured_or_published() {
    let (mut browser, _) = Browser::begun().await;
    browser.get("/runs/new").await;
    let fields = [
        ("name", "Market day"),
        ("for", "sale"),
        ("market", "US"),
        ("make.0.formula", "lime-curd"),
        ("make.0.jars", "48"),
        ("make.0.jar", "half-pint"),
    ];
    let answer = browser.post("/runs/new", &fields).await;
    let run = location(&answer).to_owned();
    assert_eq!(run, "/runs/market-day", "{}", answer.body);
    let first = [
        "/".to_owned(),
        format!("{run}/jar/1?fill_c=65&hold_min=20"),
        format!("{run}/pot/1?jars=6"),
    ];
    let whys = walk(&mut browser, &first).await;
    assert!(whys > 400, "{whys} whys");
}
