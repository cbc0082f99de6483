//! Requests of odd shape: each gets an answer of ours, and a short one.

use std::sync::Arc;

use axum::body::Body;
use axum::http::header::{ALLOW, CONTENT_TYPE};
use axum::http::{Method, StatusCode};
use jarwright_kitchen::ports::{Draft, Entry, Hash, Keeper, Kept, Name, Pending, Text, Version, Who};
use jarwright_pages::Hosts;
use jiff::Timestamp;

use crate::{Browser, house};

#[tokio::test]
async fn a_path_that_climbs_or_is_garbled_finds_a_page_of_ours() {
    let (mut browser, _) = Browser::begun().await;
    let long = "x".repeat(20_000);
    let odd = [
        "/assets/..%2f..%2fetc%2fpasswd".to_owned(),
        "/assets/0000000000000000/style.css".into(),
        "/assets/..%2f/style.css".into(),
        "/assets/%00/%00".into(),
        "/formulas/%00".into(),
        "/formulas/..%2fkitchen".into(),
        "/formulas/%ff%fe".into(),
        "/runs/../formulas".into(),
        "/runs/..".into(),
        "/runs//".into(),
        "/runs/%2e%2e/heat".into(),
        "/runs/lime-curd%0d%0aset-cookie:a=b".into(),
        "//evil.example/".into(),
        "/why/run/0/0".into(),
        "/why/formula/%00/assay/x".into(),
        format!("/formulas/{long}"),
        format!("/runs/{long}/sheets/{long}"),
        format!("/{long}"),
    ];
    for path in odd {
        let answer = browser.get(&path).await;
        let status = answer.status;
        assert!(
            matches!(status, StatusCode::NOT_FOUND | StatusCode::BAD_REQUEST),
            "{status} {}",
            &path[..40.min(path.len())]
        );
        answer.must_be_a_page(status);
        assert!(answer.body.len() < 8_000, "{} bytes", answer.body.len());
        assert!(!answer.body.contains("root:"));
    }
}

#[tokio::test]
async fn a_body_too_large_of_no_form_or_of_too_many_fields_is_told_on_a_page() {
    let (mut browser, _) = Browser::begun().await;
    let token = browser.token.clone();
    let sized = |browser: &Browser, kind: &str, body: String| {
        let request = browser
            .request(Method::POST, "/formulas/new/try")
            .header(CONTENT_TYPE, kind);
        request.body(Body::from(body)).unwrap()
    };
    let form = "application/x-www-form-urlencoded";
    let large = sized(
        &browser,
        form,
        format!("form-token={token}&name={}", "x".repeat(2 << 20)),
    );
    browser.send(large).await.must_be_a_page(StatusCode::PAYLOAD_TOO_LARGE);
    let many = sized(&browser, form, format!("form-token={token}{}", "&a".repeat(900_000)));
    browser.send(many).await.must_be_a_page(StatusCode::PAYLOAD_TOO_LARGE);
    for kind in ["application/json", "text/plain", "multipart/form-data; boundary=x", ""] {
        let other = sized(&browser, kind, format!("form-token={token}"));
        browser
            .send(other)
            .await
            .must_be_a_page(StatusCode::UNSUPPORTED_MEDIA_TYPE);
    }
    let garbled = sized(&browser, form, "%%%=%ff&=&&&==".into());
    browser.send(garbled).await.must_be_a_page(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn forms_deep_huge_and_odd_are_answered_without_a_fault_of_ours() {
    let (mut browser, _) = Browser::begun().await;
    let deep = vec!["a"; 2_000].join(".");
    let huge = "9".repeat(100_000);
    let odd: [(&str, &str); 16] = [
        (&deep, "1"),
        ("line", "no rows any more"),
        ("line.0", "1"),
        ("line.399999999999999999999.amount", "1 g"),
        ("line.-1.amount", "1 g"),
        ("line.0.amount", &huge),
        ("line.0.amount", "1e999 g"),
        ("line.0.amount", "NaN kg"),
        ("line.0.ingredient", "\u{202e}\u{0}\u{7f}\r\n[[line]]"),
        ("name.x.y", "under a text"),
        ("", "no place"),
        ("...", "dots"),
        ("schedule", "\"\"\"\n[letter]"),
        ("letter.minutes", "inf"),
        ("take-out", "18446744073709551616"),
        ("made-from", "-1"),
    ];
    for path in [
        "/formulas/new/try",
        "/formulas/lime-curd/try",
        "/formulas/new",
        "/runs/new",
    ] {
        for (field, value) in odd {
            let answer = browser.post(path, &[("name", "Odd"), (field, value)]).await;
            assert!(
                !answer.status.is_server_error(),
                "{path} {:.40} {:.40}: {}",
                field,
                value,
                answer.status
            );
        }
    }
    let rows: Vec<String> = (0..3_000).map(|row| format!("line.{row}.ingredient")).collect();
    let many: Vec<(&str, &str)> = rows.iter().map(|row| (row.as_str(), "sugar")).collect();
    let answer = browser.post("/formulas/new/try", &many).await;
    assert!(!answer.status.is_server_error(), "{}", answer.status);
}

#[tokio::test]
async fn a_method_that_is_not_for_an_address_is_told_on_a_page_with_those_that_are() {
    let (mut browser, _) = Browser::begun().await;
    for (method, path) in [
        (Method::DELETE, "/formulas/lime-curd"),
        (Method::PUT, "/"),
        (Method::OPTIONS, "/formulas"),
        (Method::TRACE, "/"),
        (Method::from_bytes(b"STIR").unwrap(), "/runs"),
    ] {
        let request = browser.request(method.clone(), path).body(Body::empty()).unwrap();
        let answer = browser.send(request).await;
        answer.must_be_a_page(StatusCode::METHOD_NOT_ALLOWED);
        assert!(answer.header(ALLOW).contains("GET"), "{method}");
    }
    let answer = browser.post("/formulas", &[]).await;
    answer.must_be_a_page(StatusCode::METHOD_NOT_ALLOWED);
}

#[tokio::test]
async fn head_says_what_get_would_and_sends_nothing() {
    let (mut browser, _) = Browser::begun().await;
    for path in ["/", "/formulas", "/formulas/lime-curd", "/reading", "/health"] {
        let get = browser.get(path).await;
        let request = browser.request(Method::HEAD, path).body(Body::empty()).unwrap();
        let head = browser.send(request).await;
        assert_eq!((head.status, head.body.len()), (StatusCode::OK, 0), "{path}");
        assert_eq!(head.header(CONTENT_TYPE), get.header(CONTENT_TYPE), "{path}");
    }
}

#[tokio::test]
async fn machines_get_problem_details() {
    let (mut browser, _) = Browser::begun().await;
    browser
        .get("/api/nothing")
        .await
        .must_be_a_problem(StatusCode::NOT_FOUND);
    browser.host = "evil.example".into();
    browser
        .get("/api/nothing")
        .await
        .must_be_a_problem(StatusCode::FORBIDDEN);
}

/// A keeper that breaks off whatever it is asked.
struct Breaking;

const TRACE: &str = "secret words of a panic";

impl Keeper for Breaking {
    fn newest<'a>(&'a self, _: Kept, _: &'a Name) -> Pending<'a, Option<Version>> {
        panic!("{TRACE}")
    }
    fn version<'a>(&'a self, _: Kept, _: &'a Name, _: u64) -> Pending<'a, Option<Version>> {
        panic!("{TRACE}")
    }
    fn all(&self, _: Kept) -> Pending<'_, Vec<Version>> {
        panic!("{TRACE}")
    }
    fn history<'a>(&'a self, _: Kept, _: &'a Name) -> Pending<'a, Vec<Entry>> {
        panic!("{TRACE}")
    }
    fn content<'a>(&'a self, _: &'a Hash) -> Pending<'a, Option<Text>> {
        panic!("{TRACE}")
    }
    fn save(&self, _: Draft) -> Pending<'_, Version> {
        panic!("{TRACE}")
    }
    fn withdraw<'a>(&'a self, _: Kept, _: &'a Name, _: u64, _: &'a Who, _: Timestamp) -> Pending<'a, u64> {
        panic!("{TRACE}")
    }
    fn keep_answer<'a>(&'a self, _: &'a Hash, _: &'a Who, _: &'a str) -> Pending<'a, Arc<str>> {
        panic!("{TRACE}")
    }
    fn answer<'a>(&'a self, _: &'a Hash, _: &'a Who) -> Pending<'a, Option<Arc<str>>> {
        panic!("{TRACE}")
    }
    fn keep_text<'a>(&'a self, _: &'a Text) -> Pending<'a, ()> {
        panic!("{TRACE}")
    }
    fn health(&self) -> Pending<'_, ()> {
        panic!("{TRACE}")
    }
}

#[tokio::test]
async fn what_breaks_off_is_told_on_a_page_without_a_trace() {
    let mut browser = Browser::of(house(
        Arc::new(Breaking),
        None,
        false,
        Hosts::new(vec![crate::HOST_NAME.into()]),
    ));
    for path in ["/", "/formulas", "/formulas/lime-curd", "/runs", "/health"] {
        let answer = browser.get(path).await;
        answer.must_be_a_page(StatusCode::INTERNAL_SERVER_ERROR);
        assert!(!answer.body.contains(TRACE) && !answer.body.contains("panick") && !answer.body.contains(".rs"));
    }
}
