//! A house with a passphrase: who is outside stays outside, who is inside stays inside.

use std::sync::Arc;

use axum::http::StatusCode;
use axum::http::header::{RETRY_AFTER, SET_COOKIE};
use jarwright_kitchen::ports::Memory;
use jarwright_pages::Hosts;
use jarwright_pages::guard::Peer;

use crate::{Browser, WORDS, house, location};

fn peer(last: u8) -> Option<Peer> {
    Some(Peer::of([192, 0, 2, last].into()))
}

#[tokio::test]
async fn nothing_but_the_door_is_seen_from_outside() {
    let mut browser = Browser::outside();
    for path in [
        "/",
        "/formulas",
        "/formulas/lime-curd",
        "/runs/new",
        "/reading",
        "/why/kitchen/1",
        "/nothing",
    ] {
        let answer = browser.get(path).await;
        answer.must_be_a_page(StatusCode::UNAUTHORIZED);
        assert!(answer.body.contains("type=\"password\"") && answer.body.contains(&format!("value=\"{path}\"")));
        assert!(!answer.body.contains("class=\"shelf\""));
        assert!(!answer.header("www-authenticate").is_empty());
    }
    browser
        .get("/api/nothing")
        .await
        .must_be_a_problem(StatusCode::UNAUTHORIZED);
    browser
        .post("/begin", &[("with", "example")])
        .await
        .must_be_a_page(StatusCode::UNAUTHORIZED);
    browser
        .post("/door/close", &[])
        .await
        .must_be_a_page(StatusCode::UNAUTHORIZED);
    let style = browser
        .get("/door")
        .await
        .links()
        .into_iter()
        .find(|link| link.ends_with("style.css"))
        .unwrap();
    assert_eq!(browser.get(&style).await.status, StatusCode::OK);
    assert_eq!(browser.get("/health").await.body, "open");
}

#[tokio::test]
async fn the_passphrase_opens_the_door_and_leads_on_inside_the_house_alone() {
    let mut browser = Browser::outside();
    for (to, way) in [
        ("/formulas?x=1", "/formulas?x=1"),
        ("https://evil.example/", "/"),
        ("//evil.example", "/"),
        ("/\\evil.example", "/"),
        ("javascript:alert(1)", "/"),
    ] {
        browser.get("/door").await;
        let before = browser.cookies.clone();
        let answer = browser.come_in(WORDS, to).await;
        assert_eq!((answer.status, location(&answer)), (StatusCode::SEE_OTHER, way));
        assert_ne!(browser.cookies, before, "the visit is a new one");
        assert_eq!(browser.get("/").await.status, StatusCode::OK);
        let mut planted = browser.another();
        planted.cookies = before;
        planted.get("/").await.must_be_a_page(StatusCode::UNAUTHORIZED);
        browser.cookies.clear();
    }
}

#[tokio::test]
async fn whoever_closes_the_door_is_outside_with_every_copy_of_their_cookie() {
    let mut browser = Browser::outside();
    browser.get("/door").await;
    browser.come_in(WORDS, "/").await;
    let page = browser.get("/").await;
    assert!(page.body.contains("href=\"/door\""), "there is a way out on every page");
    let mut copy = browser.another();
    copy.cookies = browser.cookies.clone();
    assert_eq!(copy.get("/").await.status, StatusCode::OK);
    browser.get("/door").await.must_be_a_page(StatusCode::OK);
    let closed = browser.post("/door/close", &[]).await;
    assert_eq!((closed.status, location(&closed)), (StatusCode::SEE_OTHER, "/door"));
    browser.get("/").await.must_be_a_page(StatusCode::UNAUTHORIZED);
    copy.get("/").await.must_be_a_page(StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn fifty_wrong_tries_are_refused_and_nobody_inside_notices() {
    let mut inside = Browser::outside();
    inside.peer = peer(1);
    inside.get("/door").await;
    inside.come_in(WORDS, "/").await;
    let mut stranger = inside.another();
    stranger.peer = peer(2);
    stranger.get("/door").await;
    let mut looked_at = 0;
    for number in 0..50 {
        let answer = stranger.come_in(&format!("a wrong passphrase {number}"), "/").await;
        assert!(!answer.body.contains("a wrong passphrase"), "a try is not shown again");
        match answer.status {
            StatusCode::UNAUTHORIZED => looked_at += 1,
            StatusCode::TOO_MANY_REQUESTS => {
                answer.must_be_a_page(StatusCode::TOO_MANY_REQUESTS);
                assert!(answer.header(RETRY_AFTER).parse::<u64>().unwrap() >= 1);
            }
            other => panic!("{other}"),
        }
    }
    assert!((1..=10).contains(&looked_at), "{looked_at} tries were looked at");
    let right = stranger.come_in(WORDS, "/").await;
    right.must_be_a_page(StatusCode::TOO_MANY_REQUESTS);
    assert_eq!(inside.get("/").await.status, StatusCode::OK);
    let mut other = inside.another();
    other.peer = peer(3);
    other.get("/door").await;
    assert_eq!(other.come_in(WORDS, "/").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn tries_from_many_addresses_are_bounded_over_all_and_this_machine_can_still_try() {
    let mut browser = Browser::outside();
    browser.get("/door").await;
    let mut refused = false;
    for last in 10..90 {
        browser.peer = peer(last);
        refused |= browser.come_in("wrong from everywhere", "/").await.status == StatusCode::TOO_MANY_REQUESTS;
        if refused {
            break;
        }
    }
    assert!(refused);
    browser.peer = Some(Peer::HERE);
    assert_eq!(browser.come_in(WORDS, "/").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_house_without_a_lock_has_no_door_to_ask_at() {
    let (mut browser, _) = Browser::new();
    browser.get("/").await;
    browser.get("/door").await.must_be_a_page(StatusCode::NOT_FOUND);
    browser
        .post("/door", &[("passphrase", WORDS)])
        .await
        .must_be_a_page(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn over_tls_the_cookie_is_for_tls_and_this_host_alone() {
    let hosts = Hosts::at(&["kitchen.local".into()], 443, true);
    let mut browser = Browser::of(house(Arc::new(Memory::default()), Some(WORDS), true, hosts));
    browser.host = "kitchen.local".into();
    let answer = browser.get("/").await;
    let cookie = answer.header(SET_COOKIE);
    assert!(
        cookie.starts_with("__Host-") && cookie.contains("; Secure") && cookie.contains("; HttpOnly"),
        "{cookie}"
    );
    let inside = browser.come_in(WORDS, "/").await;
    assert!(inside.header(SET_COOKIE).contains("; Secure"));
    assert_eq!(browser.get("/").await.status, StatusCode::OK);
    let mut from_http = browser.bare_post("/begin", &[("form-token", &browser.token), ("with", "example")]);
    from_http
        .headers_mut()
        .insert("origin", "http://kitchen.local".parse().unwrap());
    browser.send(from_http).await.must_be_a_page(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn somebody_outside_sends_no_more_than_a_passphrase() {
    let mut browser = Browser::outside();
    browser.get("/door").await;
    let answer = browser.come_in(&"x".repeat(20_000), "/").await;
    answer.must_be_a_page(StatusCode::PAYLOAD_TOO_LARGE);
}
