//! A change comes from a page of this house, sent to this house, or it is none.

use axum::body::Body;
use axum::http::header::{CONTENT_TYPE, HOST, ORIGIN};
use axum::http::{HeaderValue, Method, Request, StatusCode};

use crate::{Browser, held};

/// Every address that changes something.
const CHANGES: [&str; 9] = [
    "/begin",
    "/formulas/new",
    "/formulas/lime-curd",
    "/formulas/lime-curd/try",
    "/runs/new",
    "/runs/market",
    "/reading",
    "/door",
    "/door/close",
];

#[tokio::test]
async fn a_form_without_its_token_changes_nothing() {
    let (mut browser, keeper) = Browser::new();
    let other = browser.another().get("/").await.token().unwrap().to_owned();
    browser.get("/").await;
    let own = browser.token.clone();
    let before = held(&keeper).await;
    for path in CHANGES {
        for token in ["", "0", &other, &own[1..], &own.to_uppercase()] {
            let request = browser.bare_post(path, &[("form-token", token), ("with", "example")]);
            browser.send(request).await.must_be_a_page(StatusCode::FORBIDDEN);
        }
        let request = browser.bare_post(path, &[("with", "example")]);
        browser.send(request).await.must_be_a_page(StatusCode::FORBIDDEN);
    }
    assert_eq!(held(&keeper).await, before);
    assert_eq!(
        browser.post("/begin", &[("with", "example")]).await.status,
        StatusCode::SEE_OTHER
    );
    assert_ne!(held(&keeper).await, before);
}

#[tokio::test]
async fn a_token_without_its_cookie_or_with_a_forged_one_is_worth_nothing() {
    let (mut browser, keeper) = Browser::new();
    browser.get("/").await;
    let before = held(&keeper).await;
    let cookies = browser.cookies.clone();
    browser.cookies.clear();
    browser
        .post("/begin", &[("with", "example")])
        .await
        .must_be_a_page(StatusCode::FORBIDDEN);
    for (name, value) in cookies {
        let (id, seal) = value.split_once('.').unwrap();
        browser
            .cookies
            .insert(name, format!("{}.{seal}", id.replace(['0', '1', '2', '3'], "f")));
    }
    browser
        .post("/begin", &[("with", "example")])
        .await
        .must_be_a_page(StatusCode::FORBIDDEN);
    assert_eq!(held(&keeper).await, before);
}

#[tokio::test]
async fn another_origin_or_site_changes_nothing_even_with_the_token() {
    let (mut browser, keeper) = Browser::new();
    browser.get("/").await;
    let before = held(&keeper).await;
    let foreign: [(&str, &str); 9] = [
        ("origin", "https://evil.example"),
        ("origin", "null"),
        ("origin", "http://127.0.0.1:8418"),
        ("origin", "http://127.0.0.1"),
        ("origin", "https://127.0.0.1:8417"),
        ("origin", "http://127.0.0.1:8417.evil.example"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
        ("sec-fetch-site", ""),
    ];
    for (name, value) in foreign {
        let mut request = browser.bare_post("/begin", &[("form-token", &browser.token), ("with", "example")]);
        request.headers_mut().insert(name, HeaderValue::from_static(value));
        browser.send(request).await.must_be_a_page(StatusCode::FORBIDDEN);
    }
    let mut twice = browser.bare_post("/begin", &[("form-token", &browser.token), ("with", "example")]);
    twice
        .headers_mut()
        .append(ORIGIN, HeaderValue::from_static("http://127.0.0.1:8417"));
    twice
        .headers_mut()
        .append(ORIGIN, HeaderValue::from_static("https://evil.example"));
    browser.send(twice).await.must_be_a_page(StatusCode::FORBIDDEN);
    assert_eq!(held(&keeper).await, before);
    let mut own = browser.bare_post("/begin", &[("form-token", &browser.token), ("with", "example")]);
    own.headers_mut()
        .insert(ORIGIN, HeaderValue::from_static("http://127.0.0.1:8417"));
    own.headers_mut()
        .insert("sec-fetch-site", HeaderValue::from_static("same-origin"));
    assert_eq!(browser.send(own).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn asking_never_changes_anything() {
    let (mut browser, keeper) = Browser::begun().await;
    let before = held(&keeper).await;
    let token = browser.token.clone();
    let fields = Browser::form(&[
        ("form-token", &token),
        ("with", "own"),
        ("name", "Quince"),
        ("do", "keep"),
    ]);
    for path in CHANGES {
        for method in [Method::GET, Method::HEAD] {
            let with_body = browser
                .request(method, &format!("{path}?{fields}"))
                .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
                .body(Body::from(fields.clone()))
                .unwrap();
            let answer = browser.send(with_body).await;
            assert!(
                answer.status != StatusCode::SEE_OTHER && !answer.status.is_server_error(),
                "{path}"
            );
        }
    }
    assert_eq!(held(&keeper).await, before);
}

#[tokio::test]
async fn a_house_called_by_a_name_that_is_not_its_own_does_not_answer() {
    let (mut browser, _) = Browser::begun().await;
    for host in [
        "evil.example",
        "evil.example:8417",
        "127.0.0.1",
        "127.0.0.1:80",
        "127.0.0.1:8417.evil.example",
        "",
    ] {
        browser.host = host.into();
        let answer = browser.get("/formulas").await;
        answer.must_be_a_page(StatusCode::FORBIDDEN);
        assert!(!answer.body.contains("Lime curd"), "{host}");
        assert!(answer.header("set-cookie").is_empty());
    }
    let nobody = Request::builder().uri("/").body(Body::empty()).unwrap();
    browser.send(nobody).await.must_be_a_page(StatusCode::FORBIDDEN);
    let twice = Request::builder()
        .uri("/")
        .header(HOST, crate::HOST_NAME)
        .header(HOST, "evil.example");
    browser
        .send(twice.body(Body::empty()).unwrap())
        .await
        .must_be_a_page(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_link_followed_from_elsewhere_does_not_begin_a_new_visit() {
    let (mut browser, _) = Browser::new();
    let first = browser.get("/").await;
    // Lax: sent along when a link is followed, not with what another page loads or posts.
    assert!(first.header("set-cookie").contains("SameSite=Lax") && first.header("set-cookie").contains("HttpOnly"));
    assert!(browser.get("/formulas").await.header("set-cookie").is_empty());
}
