//! A program killed while it writes: every save it was told of is there afterwards.
//!
//! This file is its own child: called with [`CHILD`] and a path it saves one version after the
//! other and says so on its output, until it is killed. No test harness, so that the child prints
//! nothing else.

mod common;

use std::error::Error;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use common::{curd, name, run};
use jarwright_kitchen::ports::{Hash, Keeper, Kept};
use jarwright_ledger::Ledger;

const CHILD: &str = "--write-until-killed";

/// How often a child is killed.
const ROUNDS: usize = 20;

/// A text that differs with each version, sometimes of many pages.
fn text_of(number: u64) -> String {
    format!("version {number} ").repeat(if number % 3 == 0 { 3_000 } else { 1 })
}

fn child(file: &Path) -> Result<(), Box<dyn Error>> {
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

/// Kills a child once it has told of `saves`; gives every save it told of.
fn killed_after(saves: usize, file: &Path) -> Result<Vec<(u64, Hash)>, Box<dyn Error>> {
    let mut child = Command::new(std::env::current_exe()?)
        .arg(CHILD)
        .arg(file)
        .stdout(Stdio::piped())
        .spawn()?;
    let mut output = BufReader::new(child.stdout.take().ok_or("no output")?);
    let mut told = Vec::new();
    let mut line = String::new();
    while output.read_line(&mut line)? > 0 {
        // A line cut short by the kill told nothing.
        if let Some(whole) = line.strip_suffix('\n') {
            let (number, hash) = whole.split_once(' ').ok_or("no hash")?;
            told.push((number.parse()?, hash.parse()?));
        }
        line.clear();
        if told.len() == saves {
            // SIGKILL: nothing of the child runs any more.
            child.kill()?;
        }
    }
    let ended = child.wait()?;
    if told.len() < saves {
        return Err(format!("the child ended by itself ({ended}) after {} saves", told.len()).into());
    }
    Ok(told)
}

fn every_acknowledged_save_outlives_its_program() -> Result<(), Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    let mut told = Vec::new();
    let mut before = 0;
    for round in 0..ROUNDS {
        let news = killed_after(1 + round % 7, &file)?;
        let first = news.first().ok_or("nothing was told")?.0;
        assert_eq!(first, before + 1, "the child went on from what stood");
        told.extend(news);
        before = run(async {
            let ledger = Ledger::open(&file).await?;
            ledger.health().await?;
            for (number, hash) in &told {
                let kept = ledger.version(Kept::Formula, &name("lime-curd"), *number).await?;
                let kept = kept.ok_or_else(|| format!("round {round}: version {number} is lost"))?;
                assert_eq!((kept.hash(), kept.text.as_str()), (*hash, text_of(*number).as_str()));
            }
            let newest = ledger
                .newest(Kept::Formula, &name("lime-curd"))
                .await?
                .ok_or("nothing")?;
            let last = told.last().ok_or("nothing")?.0;
            assert!(
                newest.number == last || newest.number == last + 1,
                "round {round}: told of {last}, found {}",
                newest.number
            );
            ledger.close().await;
            Ok::<u64, Box<dyn Error>>(newest.number)
        })?;
    }
    println!("{ROUNDS} kills, {} saves told of, {before} found", told.len());
    Ok(())
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args_os().skip(1);
    match (arguments.next(), arguments.next()) {
        (Some(what), Some(file)) if what == CHILD => child(Path::new(&file)),
        _ => every_acknowledged_save_outlives_its_program(),
    }
}
