//! `load`: readers, keepers and departures upon a served house, and a table of how long each waited.
//!
//! Calls are sent by the clock, not when the one before is answered, and a wait is counted from the
//! moment the call was due: a house that stalls is seen to stall.
//!
//! ```text
//! cargo run -p jarwright-browser --bin load
//! cargo run -p jarwright-browser --bin load -- --seconds 20
//! ```

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use jarwright_browser::caller::{Caller, field, links};
use jarwright_browser::crawl::Followed;
use jarwright_browser::served::{Build, Served};
use jarwright_browser::{Any, Done};
use tokio::sync::mpsc;
use tokio::time::{MissedTickBehavior, interval};

/// Page reads [1/s].
const READS_PER_S: u32 = 50;
/// Departures reported [1/s].
const DEPARTURES_PER_S: u32 = 5;
/// Edits kept, beside the readers [1/s].
const EDITS_PER_S: u32 = 1;
/// Pages read in turn.
const MOST_PAGES: usize = 200;
/// Slowest pages that are named.
const SLOWEST_SHOWN: usize = 5;

/// Longest wait of 99 in 100 reads [ms].
const READ_P99_MS: f64 = 50.0;
/// Longest wait of 99 in 100 departures [ms].
const DEPARTURE_P99_MS: f64 = 100.0;
/// Longest wait of any edit [ms].
const EDIT_MAX_MS: f64 = 300.0;
/// Heaviest first page with all it loads, as sent [kB].
const FIRST_PAGE_KB: f64 = 150.0;
/// From the start of the process to its address [ms].
const START_MS: f64 = 300.0;

/// How long calls of one kind waited.
#[derive(Debug, Default)]
struct Waits {
    waits_ms: Vec<f64>,
    failed: usize,
    first_fault: String,
    worst_ms: BTreeMap<String, f64>,
}

/// One call's wait [ms], or why it failed.
struct Call {
    path: String,
    wait: Result<f64, String>,
}

type Told = mpsc::UnboundedSender<Call>;

#[tokio::main]
async fn main() -> Done {
    let seconds = seconds()?;
    let data = tempfile::tempdir()?;
    let house = Served::open_built(Build::Release, data.path())?;
    let caller = Caller::of(house.address()).await?;
    let run = furnish(&caller).await?;
    let first_page = weight(&caller, "/").await?;
    let (pages, refused) = pages(&caller).await?;
    println!(
        "{} pages in turn, {READS_PER_S} reads/s and {EDITS_PER_S} edit/s for {} s on {}",
        pages.len(),
        seconds,
        run
    );
    for (path, status) in &refused {
        println!("not read, answers {status}: {path}");
    }

    let end = Instant::now() + Duration::from_secs(seconds);
    let (reads, edits, departures) = tokio::join!(
        by_the_clock(READS_PER_S, end, |nth, due, told| {
            let (caller, path) = (caller.clone(), pages[nth % pages.len()].clone());
            tokio::spawn(async move { tell(&told, due, &path, caller.get(&path).await.map(|answer| answer.status)) });
        }),
        edits(&caller, end),
        by_the_clock(DEPARTURES_PER_S, end, |nth, due, told| {
            // Each asks something that was not asked before, so that each is worked out.
            let fill_c = 60.0 + 0.01 * nth as f64;
            let (caller, path) = (caller.clone(), format!("/api{run}/jar/1?fill_c={fill_c:.2}"));
            tokio::spawn(async move { tell(&told, due, &path, caller.get(&path).await.map(|answer| answer.status)) });
        }),
    );
    let edits = edits?;

    println!(
        "{:<12}{:>8}{:>8}{:>10}{:>10}{:>10}  target",
        "", "calls", "failed", "p50 ms", "p99 ms", "max ms"
    );
    row(
        "reads",
        &reads,
        &format!("p99 < {READ_P99_MS} ms"),
        reads.share(0.99) < READ_P99_MS,
    );
    row(
        "edits",
        &edits,
        &format!("max < {EDIT_MAX_MS} ms"),
        edits.share(1.0) < EDIT_MAX_MS,
    );
    row(
        "departures",
        &departures,
        &format!("p99 < {DEPARTURE_P99_MS} ms"),
        departures.share(0.99) < DEPARTURE_P99_MS,
    );
    for (path, wait) in reads.slowest().iter().take(SLOWEST_SHOWN) {
        println!("{wait:>46.1}  {path}");
    }
    let kb = first_page as f64 / 1000.0;
    println!(
        "first page {kb:.1} kB with all it loads, as sent   target < {FIRST_PAGE_KB} kB: {}",
        word(kb < FIRST_PAGE_KB)
    );
    let start_ms = house.opened_in().as_secs_f64() * 1000.0;
    println!(
        "from start to address {start_ms:.0} ms   target < {START_MS} ms: {}",
        word(start_ms < START_MS)
    );
    Ok(())
}

/// How long it runs [s].
fn seconds() -> Done<u64> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        [] => Ok(60),
        ["--seconds", seconds] => Ok(seconds.parse::<u64>()?.clamp(1, 600)),
        _ => Err("only --seconds N is known".into()),
    }
}

/// The demo with its order planned; answers where the run stands.
async fn furnish(caller: &Caller) -> Done<String> {
    caller.post("/begin", &[("with", "example")]).await?;
    let order = [
        ("name", "Market day"),
        ("for", "sale"),
        ("market", "US"),
        ("make.0.formula", "lime-curd"),
        ("make.0.jars", "48"),
        ("make.0.jar", "half-pint"),
        ("do", "keep"),
    ];
    let planned = caller.post("/runs/new", &order).await?;
    if planned.status == 303 {
        Ok(planned.location)
    } else {
        Err(format!("the order answers {}: {}", planned.status, planned.text).into())
    }
}

/// Bytes of a page and everything it loads, as sent to a browser.
async fn weight(caller: &Caller, path: &str) -> Done<usize> {
    let page = caller.get(path).await?;
    let mut bytes = caller.get_packed(path).await?.bytes;
    for asset in links(&page.text).iter().filter(|link| link.starts_with("/assets/")) {
        bytes += caller.get_packed(asset).await?.bytes;
    }
    Ok(bytes)
}

/// Pages that links lead to, and those that do not come.
async fn pages(caller: &Caller) -> Done<(Vec<String>, Vec<(String, u16)>)> {
    let mut followed = Followed::default();
    let (mut there, mut refused) = (vec!["/".to_owned()], Vec::new());
    followed.take("/");
    let mut at = 0;
    while at < there.len() && there.len() < MOST_PAGES {
        let page = caller.get(&there[at]).await?;
        at += 1;
        for link in links(&page.text) {
            if !link.starts_with("/assets/") && followed.take(&link) {
                match caller.get(&link).await?.status {
                    200 => there.push(link),
                    status => refused.push((link, status)),
                }
            }
        }
    }
    Ok((there, refused))
}

fn tell(told: &Told, due: Instant, path: &str, answer: Done<u16>) {
    let waited = due.elapsed().as_secs_f64() * 1000.0;
    // Nobody waits for it any more once the run is over.
    let _ = told.send(Call {
        path: path.to_owned(),
        wait: match answer {
            Ok(200..=399) => Ok(waited),
            Ok(status) => Err(format!("answers {status}")),
            Err(fault) => Err(fault.to_string()),
        },
    });
}

/// Calls at an even pace until the end, and gathers how long each waited.
async fn by_the_clock(per_s: u32, end: Instant, mut call: impl FnMut(usize, Instant, Told)) -> Waits {
    let (tell, mut told) = mpsc::unbounded_channel();
    if per_s > 0 {
        let mut ticks = interval(Duration::from_secs(1) / per_s);
        ticks.set_missed_tick_behavior(MissedTickBehavior::Burst);
        for nth in 0.. {
            let due = ticks.tick().await.into_std();
            if due >= end {
                break;
            }
            call(nth, due, tell.clone());
        }
    }
    drop(tell);
    let mut waits = Waits::default();
    while let Some(one) = told.recv().await {
        waits.add(one);
    }
    waits
}

/// One keeper, who edits what stands, one change after another.
async fn edits(caller: &Caller, end: Instant) -> Done<Waits> {
    const FORMULA: &str = "/formulas/lime-curd";
    let mut waits = Waits::default();
    let mut ticks = interval(Duration::from_secs(1) / EDITS_PER_S);
    for nth in 0.. {
        ticks.tick().await;
        if Instant::now() >= end {
            break;
        }
        let page = caller.get(FORMULA).await?;
        let made_from = field(&page.text, "made-from").ok_or_else(|| Any::from("the formula has no version"))?;
        let name = format!("Lime curd {nth}");
        let begun = Instant::now();
        let kept = caller
            .post(FORMULA, &[("made-from", &made_from), ("name", &name), ("do", "keep")])
            .await?;
        waits.add(Call {
            path: FORMULA.to_owned(),
            wait: if kept.status == 303 {
                Ok(begun.elapsed().as_secs_f64() * 1000.0)
            } else {
                Err(format!("answers {}", kept.status))
            },
        });
    }
    Ok(waits)
}

impl Waits {
    fn add(&mut self, one: Call) {
        match one.wait {
            Ok(wait) => {
                self.waits_ms.push(wait);
                let worst = self.worst_ms.entry(one.path).or_default();
                *worst = worst.max(wait);
            }
            Err(fault) => {
                self.failed += 1;
                if self.first_fault.is_empty() {
                    self.first_fault = format!("{} {fault}", one.path);
                }
            }
        }
    }

    /// The pages that were waited for longest, the longest first.
    fn slowest(&self) -> Vec<(&str, f64)> {
        let mut all: Vec<(&str, f64)> = self
            .worst_ms
            .iter()
            .map(|(path, &wait)| (path.as_str(), wait))
            .collect();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }

    /// The wait that this share of the calls did not exceed [ms].
    fn share(&self, share: f64) -> f64 {
        let mut sorted = self.waits_ms.clone();
        sorted.sort_by(f64::total_cmp);
        let at = (share * sorted.len() as f64).ceil() as usize;
        sorted.get(at.saturating_sub(1)).copied().unwrap_or(f64::NAN)
    }
}

fn row(name: &str, waits: &Waits, target: &str, met: bool) {
    println!(
        "{name:<12}{:>8}{:>8}{:>10.1}{:>10.1}{:>10.1}  {target}: {}",
        waits.waits_ms.len() + waits.failed,
        waits.failed,
        waits.share(0.5),
        waits.share(0.99),
        waits.share(1.0),
        word(met && waits.failed == 0)
    );
    if !waits.first_fault.is_empty() {
        println!("            first fault: {}", waits.first_fault);
    }
}

const fn word(met: bool) -> &'static str {
    if met { "met" } else { "NOT MET" }
}
