//! What a person writes is shown as they wrote it, and never becomes part of the page.

use std::collections::BTreeSet;

use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE};

use crate::{Browser, location};

const EVIL: &str = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>&amp;";

/// Most whys that are looked at: they are alike.
const MOST_WHYS: usize = 25;

/// Looks at every page that can be reached, and gives what was looked at.
async fn walk(browser: &mut Browser, first: &str) -> BTreeSet<String> {
    let mut to_see = vec![first.to_owned()];
    let mut seen = BTreeSet::new();
    let mut whys = 0;
    while let Some(path) = to_see.pop() {
        if !seen.insert(path.clone()) {
            continue;
        }
        if path.starts_with("/why/") {
            whys += 1;
            if whys > MOST_WHYS {
                continue;
            }
        }
        let answer = browser.get(&path).await;
        assert!(!answer.status.is_server_error(), "{path}: {}", answer.status);
        if path.starts_with("/assets/") {
            continue;
        }
        if !answer.header(CONTENT_TYPE).starts_with("text/html") {
            // A file to be carried away: kept as it is, and taken for nothing else.
            assert_eq!(answer.header("x-content-type-options"), "nosniff", "{path}");
            assert!(
                answer.header(CONTENT_DISPOSITION).starts_with("attachment"),
                "{path}: {:?}",
                answer.headers
            );
            continue;
        }
        assert!(!answer.body.contains("<script>alert"), "{path}");
        assert!(!answer.body.contains("<img src=x"), "{path}");
        assert!(
            !answer.body.contains(" style=\""),
            "{path} has a style that no policy lets through"
        );
        let policy = answer.header(CONTENT_SECURITY_POLICY);
        assert!(
            policy.starts_with("default-src 'none'") && !policy.contains("unsafe"),
            "{path}: {policy}"
        );
        for link in answer.links() {
            let link = link.split('#').next().unwrap_or_default();
            if link.starts_with('/') {
                to_see.push(link.to_owned());
            } else if !link.is_empty() && !link.contains(':') {
                let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
                to_see.push(format!("{folder}/{link}"));
            }
        }
    }
    seen
}

#[tokio::test]
async fn a_script_in_a_formula_or_a_run_is_text_on_every_page() {
    let (mut browser, _) = Browser::begun().await;
    browser.get("/formulas/new").await;
    let kept = browser
        .post(
            "/formulas/new",
            &[
                ("name", EVIL),
                ("food", "jam"),
                ("cup", "us"),
                ("stop_at", "65 Bx"),
                ("line.0.ingredient", "strawberries"),
                ("line.0.amount", "2 kg"),
                ("line.0.form", EVIL),
                ("line.0.step", EVIL),
                ("line.1.ingredient", "sugar"),
                ("line.1.amount", "2 kg"),
                ("do", "keep"),
            ],
        )
        .await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.body);
    let formula = location(&kept).trim_start_matches("/formulas/").to_owned();
    let shown = browser.get(&format!("/formulas/{formula}")).await;
    assert!(shown.body.contains("&lt;script&gt;alert(1)"), "{}", shown.body);
    let planned = browser
        .post(
            "/runs/new",
            &[
                ("name", EVIL),
                ("for", "sale"),
                ("market", "US"),
                ("make.0.formula", &formula),
                ("make.0.jars", "6"),
                ("make.0.jar", "half-pint"),
                ("do", "plan"),
            ],
        )
        .await;
    assert_eq!(planned.status, StatusCode::SEE_OTHER, "{}", planned.body);
    let seen = walk(&mut browser, "/").await;
    let run = location(&planned);
    for part in [
        "", "/weigh", "/heat", "/clock", "/keeping", "/money", "/labels", "/sheets",
    ] {
        assert!(seen.contains(&format!("{run}{part}")), "{run}{part} was not reached");
    }
    assert!(
        seen.iter().any(|path| path.contains("/sheets/")),
        "no sheet was reached: {seen:#?}"
    );
}

#[tokio::test]
async fn a_script_in_what_is_refused_is_text_too() {
    let (mut browser, _) = Browser::begun().await;
    for field in [
        "name",
        "food",
        "cup",
        "stop_at",
        "jar_headspace",
        "schedule",
        "line.0.ingredient",
        "line.0.amount",
        EVIL,
    ] {
        let answer = browser
            .post("/formulas/new/try", &[(field, EVIL), ("line.1.ingredient", "sugar")])
            .await;
        assert!(!answer.status.is_server_error());
        assert!(
            !answer.body.contains("<script>alert") && !answer.body.contains("<img src=x"),
            "{field}"
        );
    }
    for field in [
        "name",
        "by",
        "market",
        "make.0.formula",
        "make.0.jars",
        "make.0.from",
        "make.0.jar",
    ] {
        let answer = browser
            .post("/runs/new", &[("make.0.formula", "lime-curd"), (field, EVIL)])
            .await;
        assert!(
            !answer.body.contains("<script>alert") && !answer.body.contains("<img src=x"),
            "{field}"
        );
    }
    let evil: String = form_urlencoded::byte_serialize(EVIL.as_bytes()).collect();
    for path in [
        format!("/formulas/{evil}"),
        format!("/runs/{evil}/heat"),
        format!("/{evil}"),
    ] {
        let answer = browser.get(&path).await;
        answer.must_be_a_page(StatusCode::NOT_FOUND);
        assert!(
            !answer.body.contains("<script>alert") && !answer.body.contains("<img src=x"),
            "{path}"
        );
    }
}

#[tokio::test]
async fn a_name_in_any_letters_leads_back_to_its_page() {
    let (mut browser, _) = Browser::begun().await;
    let fields = [
        ("name", "Gr\u{fc}ne So\u{df}e \u{8c4}"),
        ("food", "jam"),
        ("stop_at", "65 Bx"),
        ("line.0.ingredient", "sugar"),
        ("line.0.amount", "2 kg"),
        ("do", "keep"),
    ];
    let kept = browser.post("/formulas/new", &fields).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.body);
    let way = kept.header("location").to_owned();
    assert!(way.is_ascii(), "{way}");
    assert_eq!(browser.get(&way).await.status, StatusCode::OK);
}
