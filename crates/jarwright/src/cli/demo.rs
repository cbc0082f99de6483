//! `jarwright demo`: an invented kitchen, its order planned.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use jarwright_kitchen::files::{Make, RunFile, run_text};
use jarwright_kitchen::ports::{Draft, KeepError, Keeper, Kept, Name, Text, Who};
use jarwright_kitchen::{Much, Use};
use jarwright_ledger::Ledger;
use jiff::civil::{DateTime, Weekday, time};
use jiff::{Timestamp, ToSpan};

use super::serve::USUAL_PLACE;
use crate::compose::{self, Line, Request};
use crate::data_dir::{DataDir, make_dir, read_text, write_whole};
use crate::exit::{Exit, Stop};
use crate::serving::{self, Listening};
use crate::text::page::Page;
use crate::{out, text, when};

const EXAMPLES: &str = "\
Examples:
  jarwright demo                    in the folder jarwright-demo, here
  jarwright demo --data my-folder
  jarwright demo --listen 127.0.0.1:8417   and open the pages on it, wherever the output goes

The kitchen, its people and its suppliers are invented.";

/// The invented kitchen.
pub const KITCHEN: &str = include_str!("../../../../demo/kitchen.toml");

/// What it has and buys.
pub const STORES: &str = include_str!("../../../../demo/stores.toml");

/// Its formulas, by name.
pub const FORMULAS: [(&str, &str); 4] = [
    ("lime-curd", include_str!("../../../../demo/formulas/lime-curd.toml")),
    (
        "passion-fruit-curd",
        include_str!("../../../../demo/formulas/passion-fruit-curd.toml"),
    ),
    (
        "apricot-jam",
        include_str!("../../../../demo/formulas/apricot-jam.toml"),
    ),
    (
        "dill-pickles",
        include_str!("../../../../demo/formulas/dill-pickles.toml"),
    ),
];

/// Its cases for the bench.
const CASES: [(&str, &str); 4] = [
    (
        "baths/two-loads.toml",
        include_str!("../../../../demo/baths/two-loads.toml"),
    ),
    (
        "jars/lime-curd.toml",
        include_str!("../../../../demo/jars/lime-curd.toml"),
    ),
    (
        "pots/lime-curd.toml",
        include_str!("../../../../demo/pots/lime-curd.toml"),
    ),
    (
        "pots/apricot-jam.toml",
        include_str!("../../../../demo/pots/apricot-jam.toml"),
    ),
];

/// Every file of the data folder, as it stands in the repository.
fn files() -> impl Iterator<Item = (String, &'static str)> {
    let named = |(name, text): (&str, &'static str)| (name.to_owned(), text);
    [("kitchen.toml", KITCHEN), ("stores.toml", STORES)]
        .into_iter()
        .map(named)
        .chain(
            FORMULAS
                .into_iter()
                .map(|(name, text)| (format!("formulas/{name}.toml"), text)),
        )
        .chain(CASES.into_iter().map(named))
}

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Folder for the invented kitchen
    #[arg(long, value_name = "DIR", default_value = "jarwright-demo")]
    data: PathBuf,
    /// The time it is, in place of the computer's clock
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    /// Address and port where the pages then open; without it they open where a person sits at the
    /// terminal, and not where the output goes elsewhere
    #[arg(long, value_name = "ADDRESS:PORT")]
    listen: Option<String>,
}

/// Makes the folder, plans its order, writes the sheets.
///
/// # Errors
/// [`Stop`] when the folder cannot be written or a file in it has faults.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let now = match &args.now {
        Some(text) => when::fixed(text).map_err(|fault| Stop::asked(format!("--now: {fault}"), ""))?,
        None => when::now(),
    };
    let data = DataDir {
        path: args.data.clone(),
    };
    let kept = make_files(&data.path)?;
    let request = order(&data, now)?;
    let plan = compose::plan(&request)?;
    let sheets = compose::write_sheets(&plan, &data.path.join("sheets"))?;

    let mut page = Page::new();
    page.line(0, &format!("An invented kitchen stands in {}.", data.path.display()));
    for file in kept {
        page.item(
            2,
            "- ",
            &format!(
                "{} is yours and differs from the demo's: left as it is, and used",
                file.display()
            ),
        );
    }
    page.line(0, "Planned:");
    page.verbatim(2, &command(&args.data, &request));
    page.gap();
    let mut said = page.text();
    said.push_str(&text::plan(&plan));
    said.push_str(&text::sheets(&sheets));
    said.push_str(&next_steps(&args.data));
    out::say(&said)?;
    if args.listen.is_some() || std::io::stdout().is_terminal() {
        let listening = Listening::new(args.listen.as_deref().unwrap_or(USUAL_PLACE), &[], None)?;
        serving::with_ledger(&data, |ledger| async move { keep_run(&ledger, &request).await })?
            .map_err(|error| Stop::asked(format!("the run is not kept: {error}"), error.hint()))?;
        serving::serve(&data, listening)?;
    }
    Ok(if plan.run.cannot.is_some() {
        Exit::CannotMeet
    } else {
        Exit::Done
    })
}

/// Writes what is not there yet; gives back the files that differ and were left alone.
fn make_files(dir: &Path) -> Result<Vec<PathBuf>, Stop> {
    for folder in ["formulas", "baths", "jars", "pots"] {
        make_dir(&dir.join(folder))?;
    }
    let mut kept = Vec::new();
    for (name, text) in files() {
        let path = dir.join(name);
        // A link that leads nowhere is somebody's too.
        if path.symlink_metadata().is_ok() {
            if read_text(&path)? != text {
                kept.push(path);
            }
        } else {
            write_whole(&path, text)?;
        }
    }
    Ok(kept)
}

/// 48 half-pint jars of lime curd for sale, by the coming Saturday that leaves four days.
fn order(data: &DataDir, now: DateTime) -> Result<Request, Stop> {
    let calendar = || {
        Stop::asked(
            "the demo's Saturday lies outside the calendar",
            "give --now as \"2026-11-25 09:00\"",
        )
    };
    let soonest = now.checked_add(4.days()).map_err(|_| calendar())?;
    let by = when::next(Weekday::Saturday, time(9, 0, 0, 0), soonest).ok_or_else(calendar)?;
    let lines = vec![Line {
        formula: data.formulas().join("lime-curd.toml"),
        much: Much::Jars(48),
        jar: "half-pint".into(),
    }];
    let mut request = compose::request(data, lines, now);
    request.by = Some(by);
    request.for_use = Use::Sale;
    Ok(request)
}

/// Keeps the order as a run of the pages, of the texts that stand, unless one stands already.
async fn keep_run(ledger: &Ledger, request: &Request) -> Result<(), KeepError> {
    let name = Name::new("saturday-market")?;
    let stands = |kind: Kept, name: Name| async move { ledger.newest(kind, &name).await };
    if stands(Kept::Run, name.clone()).await?.is_some() {
        return Ok(());
    }
    let kitchen = stands(Kept::Kitchen, Name::new(Kept::Kitchen.word())?).await?;
    let stores = stands(Kept::Stores, Name::new(Kept::Stores.word())?).await?;
    let formula = stands(Kept::Formula, Name::new("lime-curd")?).await?;
    let (Some(kitchen), Some(formula)) = (kitchen, formula) else {
        return Ok(());
    };
    let run = RunFile {
        name: "Saturday market".into(),
        for_use: request.for_use,
        market: request.market,
        asked_at: request.now,
        by: request.by,
        altitude: None,
        bath_start: None,
        kitchen: kitchen.hash(),
        stores: stores.map(|stores| stores.hash()),
        makes: vec![Make {
            formula: "lime-curd".into(),
            text: formula.hash(),
            much: Much::Jars(48),
            jar: "half-pint".into(),
        }],
    };
    let draft = Draft {
        kind: Kept::Run,
        name,
        text: Text::new(run_text(&run))?,
        after: None,
        by: Who::new("demo")?,
        at: Timestamp::now(),
    };
    ledger.save(draft).await.map(drop)
}

fn command(data: &Path, request: &Request) -> String {
    let by = request
        .by
        .map(|by| by.strftime("%Y-%m-%d %H:%M").to_string())
        .unwrap_or_default();
    format!(
        "jarwright plan lime-curd --jars 48 --jar half-pint --by \"{by}\" --for sale --market US --data {}",
        data.display()
    )
}

fn next_steps(data: &Path) -> String {
    let data = data.display();
    let mut page = Page::new();
    page.gap();
    page.line(0, "What to try next:");
    for line in [
        format!("jarwright plan lime-curd --jars 48 --jar half-pint --altitude-m 1500 --data {data}"),
        format!("jarwright plan lime-curd --from \"2.3 L bottled lime juice\" --jar half-pint --data {data}"),
        format!("jarwright plan lime-curd --jars 48 --jar half-pint --json --data {data}"),
        format!("jarwright serve --data {data}"),
        "jarwright setup".to_owned(),
    ] {
        page.verbatim(2, &line);
    }
    page.line(
        0,
        "Change a file in the folder and plan again: the demo never writes over what you changed.",
    );
    format!("\n{}", page.text())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn the_demos_saturday_is_at_least_four_days_away() -> Result<(), Stop> {
        let data = DataDir {
            path: PathBuf::from("d"),
        };
        for day in 1..=14 {
            let now = date(2026, 11, day).at(10, 0, 0, 0);
            let by = order(&data, now)?.by.ok_or_else(|| Stop::asked("no deadline", ""))?;
            let days = by.duration_since(now).as_hours() / 24;
            assert_eq!(by.date().weekday(), Weekday::Saturday);
            assert!((4..=11).contains(&days), "{days}");
        }
        Ok(())
    }
}
