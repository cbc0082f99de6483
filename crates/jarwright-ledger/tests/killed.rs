//! A program killed while it writes: every save it was told of is there afterwards.
//!
//! This file is its own child: called with [`CHILD`] and a path it saves one version after the
//! other and says so on its output, until it is killed. No test harness, so that the child prints
//! nothing else. The moments of the kills are spread over a save, and over the making of the file;
//! whether the test passes does not hang on them. [`KILLS`] in the environment says how many.

mod common;

use std::error::Error;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use common::{curd, name, run};
use jarwright_kitchen::ports::{Hash, Keeper, Kept};
use jarwright_ledger::Ledger;

type Any = Box<dyn Error>;

const CHILD: &str = "--write-until-killed";

const KILLS: &str = "JARWRIGHT_KILLS";

/// How often a child is killed unless told otherwise.
const USUAL_KILLS: u32 = 50;

/// A text that differs with each version, sometimes of many pages.
fn text_of(number: u64) -> String {
    format!("version {number} ").repeat(if number.is_multiple_of(3) { 3_000 } else { 1 })
}

fn child(file: &Path) -> Result<(), Any> {
    run(async {
        let ledger = Ledger::open(file).await?;
        let newest = ledger.newest(Kept::Formula, &name("lime-curd")).await?;
        let mut after = newest.map(|newest| newest.number);
        let mut out = std::io::stdout().lock();
        loop {
            let saved = ledger.save(curd(&text_of(after.unwrap_or(0) + 1), after)).await?;
            writeln!(out, "{} {}", saved.number, saved.hash())?;
            out.flush()?;
            after = Some(saved.number);
        }
    })
}

/// What a child told before it was killed.
struct Told {
    saves: Vec<(u64, Hash)>,
    /// From its start to the last of the saves it was to tell of, and from the one before.
    until_told: Duration,
    last_save: Duration,
}

/// Kills a child some time after it has told of `saves`.
fn killed(file: &Path, saves: usize, later: impl Fn(Duration) -> Duration) -> Result<Told, Any> {
    let started = Instant::now();
    let mut child = Command::new(std::env::current_exe()?)
        .arg(CHILD)
        .arg(file)
        .stdout(Stdio::piped())
        .spawn()?;
    let mut output = BufReader::new(child.stdout.take().ok_or("no output")?);
    let mut told = Told {
        saves: Vec::new(),
        until_told: Duration::ZERO,
        last_save: Duration::ZERO,
    };
    let mut line = String::new();
    loop {
        if told.saves.len() == saves {
            let until = started.elapsed();
            told.last_save = until.saturating_sub(told.until_told);
            told.until_told = until;
            std::thread::sleep(later(told.last_save));
            // SIGKILL: nothing of the child runs any more.
            child.kill()?;
        } else if told.saves.len() < saves {
            told.until_told = started.elapsed();
        }
        line.clear();
        if output.read_line(&mut line)? == 0 {
            break;
        }
        // A line cut short by the kill told nothing.
        if let Some(whole) = line.strip_suffix('\n') {
            let (number, hash) = whole.split_once(' ').ok_or("no hash")?;
            told.saves.push((number.parse()?, hash.parse()?));
        }
    }
    let ended = child.wait()?;
    if told.saves.len() < saves {
        return Err(format!("the child ended by itself ({ended}) after {} saves", told.saves.len()).into());
    }
    Ok(told)
}

/// Number of the version that stands, when all that was told of is there and the file is sound.
fn found(file: &Path, told: &[(u64, Hash)]) -> Result<u64, Any> {
    run(async {
        let ledger = Ledger::open(file).await?;
        ledger.check().await?;
        ledger.health().await?;
        for (number, hash) in told {
            let kept = ledger.version(Kept::Formula, &name("lime-curd"), *number).await?;
            let kept = kept.ok_or_else(|| format!("version {number} is lost"))?;
            assert_eq!((kept.hash(), kept.text.as_str()), (*hash, text_of(*number).as_str()));
        }
        let newest = ledger.newest(Kept::Formula, &name("lime-curd")).await?;
        let newest = newest.map_or(0, |newest| newest.number);
        let last = told.last().map_or(0, |(number, _)| *number);
        assert!(
            newest == last || newest == last + 1,
            "told of {last}, found {newest}: the one that was not told of may be there, no other"
        );
        ledger.close().await;
        Ok(newest)
    })
}

fn every_acknowledged_save_outlives_its_program(kills: u32) -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    let (mut told, mut before, mut untold) = (Vec::new(), 0, 0);
    for kill in 0..kills {
        let spread = |save: Duration| save * kill / kills;
        let news = killed(&file, 2 + kill as usize % 6, spread)?.saves;
        let first = news.first().ok_or("nothing was told")?.0;
        assert_eq!(first, before + 1, "the child went on from what stood");
        told.extend(news);
        before = found(&file, &told).map_err(|error| format!("kill {kill}: {error}"))?;
        untold += u32::from(told.last().is_some_and(|(last, _)| *last < before));
    }
    println!(
        "{kills} kills, {} saves told of, {before} found, {untold} kept and not told of",
        told.len()
    );
    Ok(())
}

fn a_file_whose_making_was_killed_is_made_by_the_next(kills: u32) -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let whole = killed(&folder.path().join("whole"), 1, |_| Duration::ZERO)?.until_told;
    let (mut begun, mut saved) = (0, 0);
    for kill in 0..kills {
        let file = folder.path().join(format!("ledger-{kill}"));
        let told = killed(&file, 0, |_| whole * kill / kills)?.saves;
        begun += u32::from(file.exists());
        saved += u32::from(found(&file, &told).map_err(|error| format!("kill {kill}: {error}"))? > 0);
    }
    println!("{kills} kills in the making, {begun} with a file, {saved} with a save");
    Ok(())
}

fn main() -> Result<(), Any> {
    let mut arguments = std::env::args_os().skip(1);
    if let (Some(what), Some(file)) = (arguments.next(), arguments.next())
        && what == CHILD
    {
        return child(Path::new(&file));
    }
    let kills = std::env::var(KILLS).map_or(Ok(USUAL_KILLS), |kills| kills.parse())?;
    every_acknowledged_save_outlives_its_program(kills)?;
    a_file_whose_making_was_killed_is_made_by_the_next(kills)
}
