//! One person's first day with the pages, from an empty house to paper in the hand.

use jarwright_browser::chrome::{Chrome, Size};
use jarwright_browser::print::{Paper, leaves, letters};
use jarwright_browser::served::Served;
use jarwright_browser::steps::{self, IN_THE_HILLS, MARKET_DAY};
use jarwright_browser::tab::Tab;
use jarwright_browser::{Done, none};

/// Most presses of Tab until a person gives up.
const MOST_PRESSES: usize = 120;
/// What the answer's first page calls the minutes of the bath.
const MINUTES: &str = "[...document.querySelectorAll('dt')].find((t) => t.innerText === 'At the boil')
    ?.nextElementSibling.querySelector('.v').innerText";

/// Fifteen minutes up to 1000 ft, and what is remembered for the band above it
/// (`nchfp_lemon_curd`: 20 minutes from 1001 to 6000 ft, from memory).
const LOW: &str = "15 min";
const HIGH: &str = "20 min";

async fn answered_minutes(tab: &Tab) -> Done<String> {
    Ok(tab.eval::<Option<String>>(MINUTES).await?.unwrap_or_default())
}

/// From nothing to a plan, and to another plan higher up; the same with and without script.
async fn first_plan(scripts: bool) -> Done {
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::WIDE).await?;
    tab.scripts(scripts).await?;

    steps::begin(&tab).await?;
    let run = steps::plan(&tab, &MARKET_DAY).await?;
    let answer = tab.text("main").await?;
    assert!(answer.contains("Lime curd, half pint"), "{answer}");
    assert_eq!(answered_minutes(&tab).await?, LOW);

    // The same order somewhere else: in the question itself.
    tab.fill("[name=altitude]", IN_THE_HILLS.altitude).await?;
    assert_eq!(tab.follow("button[name=do][value=keep]").await?, 200);
    assert_eq!(answered_minutes(&tab).await?, HIGH);
    assert!(
        tab.text("main")
            .await?
            .contains("enter the printed page and edition of the schedule")
    );

    // And back, with the whole kitchen moved instead.
    tab.fill("[name=altitude]", "").await?;
    tab.follow("button[name=do][value=keep]").await?;
    assert_eq!(answered_minutes(&tab).await?, LOW);
    tab.open("/equipment").await?;
    tab.fill("[name=altitude]", IN_THE_HILLS.altitude).await?;
    assert_eq!(tab.follow("button[name=do][value=keep]:not(.quiet)").await?, 200);
    tab.open(&run).await?;
    assert_eq!(
        answered_minutes(&tab).await?,
        LOW,
        "a plan stands on the texts it was made from"
    );
    tab.follow("button[name=do][value=keep]").await?;
    assert_eq!(answered_minutes(&tab).await?, HIGH);

    none(&tab.complaints().await?)?;
    chrome.close().await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_new_person_plans_the_demo_order_and_sees_the_minutes_change_with_the_height() -> Done {
    first_plan(true).await
}

#[tokio::test(flavor = "multi_thread")]
async fn without_script_the_same_plan_is_made_by_the_same_steps() -> Done {
    first_plan(false).await
}

#[tokio::test(flavor = "multi_thread")]
async fn three_whys_are_opened_with_the_keyboard_alone() -> Done {
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::WIDE).await?;
    steps::begin(&tab).await?;
    let run = steps::plan(&tab, &MARKET_DAY).await?;
    let mut titles = Vec::new();
    for nth in 1..=3 {
        for _ in 0..nth {
            tab.tab_to("main a.fig", MOST_PRESSES).await?;
        }
        assert_eq!(tab.enter().await?, 200);
        assert!(tab.path().await?.starts_with("/why/"), "{}", tab.path().await?);
        titles.push(tab.text("h1").await?);
        // Back by the shelf, as a keyboard finds it.
        tab.tab_to(".shelf a[href='/runs']", MOST_PRESSES).await?;
        assert_eq!(tab.enter().await?, 200);
        tab.tab_to(&format!("main a[href='{run}']"), MOST_PRESSES).await?;
        assert_eq!(tab.enter().await?, 200);
    }
    titles.dedup();
    assert_eq!(titles.len(), 3, "{titles:?}");
    none(&tab.complaints().await?)?;
    chrome.close().await
}

#[tokio::test(flavor = "multi_thread")]
async fn the_skip_link_is_the_first_stop_and_leads_past_the_shelf() -> Done {
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::WIDE).await?;
    steps::begin(&tab).await?;
    tab.open("/formulas").await?;
    assert_eq!(tab.tab_to(".skip", 1).await?, 1);
    tab.press(jarwright_browser::tab::Key::Enter).await?;
    tab.until("location.hash === '#main'").await?;
    tab.press(jarwright_browser::tab::Key::Tab).await?;
    assert!(tab.eval::<bool>("!!document.activeElement.closest('main')").await?);
    chrome.close().await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_formula_answers_while_it_is_typed() -> Done {
    const PH: &str = "document.querySelector('#tag a.fig[href*=\"/assay/\"]').closest('dl').innerText";
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::WIDE).await?;
    steps::begin(&tab).await?;
    tab.open("/formulas/lime-curd").await?;
    let before: String = tab.eval(PH).await?;
    let amount = "[name='line.0.amount']";
    let typed = if tab.has(amount).await? {
        amount
    } else {
        "fieldset .line input[type=text]"
    };
    tab.fill(typed, "4 cup").await?;
    tab.until(&format!("{PH} !== {}", jarwright_browser::tab::quoted(&before)))
        .await?;
    assert_eq!(tab.path().await?, "/formulas/lime-curd");
    none(&tab.complaints().await?)?;
    chrome.close().await
}

#[tokio::test(flavor = "multi_thread")]
async fn whoever_saves_second_is_told_and_loses_nothing() -> Done {
    const FORMULA: &str = "/formulas/lime-curd";
    const KEEP: &str = "p.do button[name=do][value=keep]";
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let one = chrome.person(house.address(), Size::WIDE).await?;
    let other = chrome.person(house.address(), Size::NARROW).await?;
    steps::begin(&one).await?;
    assert_eq!(one.open(FORMULA).await?, 200);
    assert_eq!(other.open(FORMULA).await?, 200);

    one.fill("[name=name]", "Lime curd, hers").await?;
    assert_eq!(one.follow(KEEP).await?, 200);
    other.fill("[name=name]", "Lime curd, his").await?;
    other.fill("[name=stop_at]", "78 C").await?;
    assert_eq!(other.follow(KEEP).await?, 409);
    let told = other.text("[role=alert]").await?;
    assert!(told.contains("Nothing of yours is lost"), "{told}");
    assert_eq!(other.value("[name=name]").await?, "Lime curd, his");
    assert_eq!(other.value("[name=stop_at]").await?, "78 C");

    // Theirs stands until he keeps his on top of it.
    one.open(FORMULA).await?;
    assert_eq!(one.value("[name=name]").await?, "Lime curd, hers");
    assert_eq!(other.follow(KEEP).await?, 200);
    one.open(FORMULA).await?;
    assert_eq!(one.value("[name=name]").await?, "Lime curd, his");
    assert_eq!(one.value("[name=stop_at]").await?, "78 C");
    chrome.close().await
}

#[tokio::test(flavor = "multi_thread")]
async fn the_answer_and_its_sheets_print_whole_on_a4_and_letter() -> Done {
    /// Edge that a desk printer leaves white (common practice) [pt].
    const WHITE_EDGE: f64 = 12.0;
    /// Most leaves a part of the demo's plan takes.
    const MOST_LEAVES: usize = 12;
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::WIDE).await?;
    steps::begin(&tab).await?;
    let run = steps::plan(&tab, &MARKET_DAY).await?;
    tab.open(&format!("{run}/sheets")).await?;
    let sheets: Vec<String> = tab
        .eval("[...document.querySelectorAll('.sheets a')].map((a) => a.pathname)")
        .await?;
    tab.open(&run).await?;
    let parts: Vec<String> = tab
        .eval("[...document.querySelectorAll('nav.parts a')].map((a) => a.pathname)")
        .await?;
    assert!(!sheets.is_empty() && !parts.is_empty());

    let mut faults = Vec::new();
    for path in parts.iter().chain(&sheets) {
        assert_eq!(tab.open(path).await?, 200);
        let shown = tab.words_on_paper().await?;
        for paper in Paper::ALL {
            let (width, height) = paper.points();
            let printed = leaves(&tab.printed(paper).await?)?;
            let mut fault = |what: String| faults.push(format!("{path} on {paper:?}: {what}"));
            if printed.is_empty() || printed.len() > MOST_LEAVES {
                fault(format!("{} leaves", printed.len()));
            }
            for (number, leaf) in printed.iter().enumerate() {
                // The driver's papers are in whole points.
                if (leaf.width - width).abs() > 1.0 || (leaf.height - height).abs() > 1.0 {
                    fault(format!("leaf {} is {} by {} pt", number + 1, leaf.width, leaf.height));
                }
                if leaf.words.is_empty() {
                    fault(format!("leaf {} is empty", number + 1));
                }
                let cut = leaf.words.iter().find(|word| {
                    word.left < WHITE_EDGE
                        || word.top < WHITE_EDGE
                        || word.right > leaf.width - WHITE_EDGE
                        || word.bottom > leaf.height - WHITE_EDGE
                });
                if let Some(word) = cut {
                    fault(format!("leaf {}: \"{}\" runs into the edge", number + 1, word.text));
                }
            }
            // Hyphens, breaks and the order of columns differ; letters do not.
            let on_paper: Vec<&str> = printed
                .iter()
                .flat_map(|leaf| &leaf.words)
                .map(|word| word.text.as_str())
                .collect();
            let (wanted, met) = (letters(&shown.concat()), letters(&on_paper.concat()));
            let lost: Vec<String> = wanted
                .iter()
                .filter(|(letter, count)| met.get(letter).copied().unwrap_or(0) < **count)
                .map(|(letter, count)| format!("{letter} {} of {count}", met.get(letter).copied().unwrap_or(0)))
                .collect();
            if !lost.is_empty() {
                fault(format!("letters lost: {}", lost.join(", ")));
            }
        }
    }
    chrome.close().await?;
    none(&faults)
}
