//! What only a browser can show about an attack: what runs, what is framed, what another site may send.

use std::io::{Read, Write};
use std::net::TcpListener;

use jarwright_browser::caller::Caller;
use jarwright_browser::chrome::{Chrome, Size};
use jarwright_browser::served::Served;
use jarwright_browser::tab::Tab;
use jarwright_browser::{Done, none, steps};

/// A page of another site, served to whoever asks; answers its address.
fn elsewhere(page: String) -> Done<String> {
    let socket = TcpListener::bind("127.0.0.1:0")?;
    let address = format!("http://{}", socket.local_addr()?);
    std::thread::spawn(move || {
        for met in socket.incoming() {
            let Ok(mut met) = met else { continue };
            let mut asked = [0_u8; 4096];
            let _ = met.read(&mut asked);
            let answer = format!(
                "HTTP/1.1 200 OK\r\ncontent-type: text/html; charset=utf-8\r\ncontent-length: {}\r\nconnection: close\r\n\r\n{page}",
                page.len()
            );
            let _ = met.write_all(answer.as_bytes());
        }
    });
    Ok(address)
}

const ATTACKS: [&str; 4] = [
    "<script>window.taken = 1</script>",
    "\"><img src=x onerror=\"window.taken = 1\">",
    "</title><svg onload=\"window.taken = 1\">",
    "' autofocus onfocus='window.taken = 1",
];

async fn is_whole(tab: &Tab, what: &str) -> Done<Vec<String>> {
    let taken: bool = tab.eval("'taken' in window").await?;
    let mut faults: Vec<String> = tab
        .complaints()
        .await?
        .iter()
        .map(|said| format!("{what}: {said}"))
        .collect();
    if taken {
        faults.push(format!("{what}: the script ran"));
    }
    Ok(faults)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_script_in_a_name_is_shown_and_never_run() -> Done {
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::WIDE).await?;
    steps::begin(&tab).await?;
    let mut faults = Vec::new();
    for attack in ATTACKS {
        tab.open("/formulas/lime-curd").await?;
        tab.fill("[name=name]", attack).await?;
        assert_eq!(tab.follow("p.do button[name=do][value=keep]").await?, 200, "{attack}");
        assert_eq!(tab.text("h1").await?.trim(), attack);
        faults.extend(is_whole(&tab, "the formula's page").await?);
        for path in ["/formulas", "/runs/new"] {
            tab.open(path).await?;
            assert!(
                tab.eval::<String>("document.body.textContent").await?.contains(attack),
                "{attack} on {path}"
            );
            faults.extend(is_whole(&tab, path).await?);
        }
        let named = steps::Order {
            name: &format!("Run {attack}"),
            ..steps::MARKET_DAY
        };
        let run = steps::plan(&tab, &named).await?;
        for part in ["", "/weigh", "/heat", "/labels", "/sheets"] {
            tab.open(&format!("{run}{part}")).await?;
            faults.extend(is_whole(&tab, part).await?);
        }
        let sheets: Vec<String> = tab
            .eval("[...document.querySelectorAll('.sheets a')].map((a) => a.pathname)")
            .await?;
        assert!(!sheets.is_empty());
        for sheet in sheets {
            tab.open(&sheet).await?;
            faults.extend(is_whole(&tab, &sheet).await?);
        }
    }
    chrome.close().await?;
    none(&faults)
}

#[tokio::test(flavor = "multi_thread")]
async fn another_sites_frame_stays_empty() -> Done {
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let trap = elsewhere(format!(
        "<!doctype html><title>trap</title><iframe src=\"{}/\"></iframe>",
        house.address()
    ))?;
    let tab = chrome.person(&trap, Size::WIDE).await?;
    tab.open("/").await?;
    tab.until("performance.getEntriesByType('resource').length > 0").await?;
    let said = tab.complaints().await?;
    assert!(said.iter().any(|line| line.contains("frame-ancestors")), "{said:?}");
    chrome.close().await
}

#[tokio::test(flavor = "multi_thread")]
async fn another_sites_form_changes_nothing_and_reads_nothing() -> Done {
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let at = house.address().to_owned();
    let chrome = Chrome::open().await?;
    let caller = Caller::of(&at).await?;
    let trap = elsewhere(format!(
        "<!doctype html><title>trap</title><form method=post action=\"{at}/begin\"><input name=with value=example>\
         <button>free jam</button></form>"
    ))?;
    let tab = chrome.person(&trap, Size::WIDE).await?;
    tab.open("/").await?;
    assert_eq!(tab.follow("button").await?, 403);
    assert!(
        caller.get("/").await?.text.contains("value=\"example\""),
        "the house is empty still"
    );
    tab.open("/").await?;
    let read: String = tab
        .eval(&format!(
            "fetch('{at}/', {{ credentials: 'include' }}).then((a) => a.text(), () => 'refused')"
        ))
        .await?;
    assert_eq!(read, "refused");
    chrome.close().await
}
