//! Several writers at one name: every number has one winner, and nothing that was saved is lost.

mod common;

use std::collections::BTreeMap;
use std::future::poll_fn;
use std::path::Path;
use std::sync::Arc;
use std::task::Poll;

use common::{Any, by_hand, curd, name, run, who};
use jarwright_kitchen::ports::{Draft, KeepError, Keeper, Kept, Memory, Version};
use jarwright_ledger::Ledger;
use sqlx::Connection;

/// Versions each writer makes.
const EACH: usize = 25;

/// Saves [`EACH`] versions, each made from what stands; gives them with how often it was overtaken.
async fn write(keeper: Arc<dyn Keeper>, writer: usize) -> Result<(Vec<Version>, usize), KeepError> {
    let lime = name("lime-curd");
    let (mut won, mut overtaken) = (Vec::new(), 0);
    while won.len() < EACH {
        let after = keeper.newest(Kept::Formula, &lime).await?.map(|newest| newest.number);
        let draft = Draft {
            by: who(&format!("writer {writer}")),
            ..curd(&format!("writer {writer}, text {}", won.len()), after)
        };
        match keeper.save(draft).await {
            Ok(version) => won.push(version),
            Err(KeepError::Overtaken { newest }) => {
                assert!(Some(newest.number) > after, "only by a newer one");
                overtaken += 1;
            }
            Err(other) => return Err(other),
        }
    }
    Ok((won, overtaken))
}

async fn race(keepers: Vec<Arc<dyn Keeper>>) -> Result<(), Any> {
    let writers = keepers.len();
    let running: Vec<_> = keepers
        .iter()
        .enumerate()
        .map(|(writer, keeper)| tokio::spawn(write(Arc::clone(keeper), writer)))
        .collect();
    let mut winners = BTreeMap::new();
    for each in running {
        for version in each.await??.0 {
            let number = version.number;
            assert!(winners.insert(number, version).is_none(), "{number} was won twice");
        }
    }
    let numbers: Vec<u64> = winners.keys().copied().collect();
    let expected: Vec<u64> = (1..=(writers * EACH) as u64).collect();
    assert_eq!(numbers, expected, "no gap, nothing lost");
    for (number, version) in winners {
        for keeper in &keepers {
            let kept = keeper.version(Kept::Formula, &version.name, number).await?;
            assert_eq!(kept.as_ref(), Some(&version));
        }
    }
    Ok(())
}

async fn opened(file: &Path) -> Result<Arc<dyn Keeper>, KeepError> {
    Ok(Arc::new(Ledger::open(file).await?))
}

#[test]
fn writers_of_one_program_each_win_their_numbers() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    run(async {
        let ledger = opened(&folder.path().join("ledger")).await?;
        race(vec![ledger; 4]).await
    })
}

#[test]
fn writers_of_two_programs_each_win_their_numbers() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async { race(vec![opened(&file).await?, opened(&file).await?]).await })
}

#[test]
fn writers_in_memory_each_win_their_numbers() -> Result<(), Any> {
    let memory: Arc<dyn Keeper> = Arc::new(Memory::new());
    run(race(vec![memory; 4]))
}

/// Every keeper saves a draft of its own, all made from the same version; one stands.
async fn one_of_many(keepers: Vec<Arc<dyn Keeper>>) -> Result<(), Any> {
    let mut after = None;
    for turn in 1..=10 {
        let running: Vec<_> = keepers
            .iter()
            .map(Arc::clone)
            .enumerate()
            .map(|(writer, keeper)| {
                let draft = curd(&format!("turn {turn}, writer {writer}"), after);
                tokio::spawn(async move { keeper.save(draft).await })
            })
            .collect();
        let (mut won, mut overtaken) = (Vec::new(), Vec::new());
        for each in running {
            match each.await? {
                Ok(version) => won.push(version),
                Err(KeepError::Overtaken { newest }) => overtaken.push(*newest),
                Err(other) => return Err(other.into()),
            }
        }
        let [winner] = won.as_slice() else {
            return Err(format!("turn {turn}: {won:?} won").into());
        };
        assert_eq!(winner.number, turn);
        assert_eq!(overtaken, vec![winner.clone(); keepers.len() - 1]);
        after = Some(winner.number);
    }
    Ok(())
}

#[test]
fn of_many_drafts_made_from_one_version_one_stands() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let memory: Arc<dyn Keeper> = Arc::new(Memory::new());
        one_of_many(vec![memory; 8]).await?;
        let (one, two) = (opened(&file).await?, opened(&file).await?);
        let both = vec![one, two].into_iter().cycle().take(8).collect();
        one_of_many(both).await
    })
}

#[test]
fn what_is_read_does_not_wait_for_what_is_written() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let ledger = opened(&file).await?;
        let first = ledger.save(curd("one", None)).await?;
        let mut hand = by_hand(&file).await?;
        let held = hand.begin_with("BEGIN IMMEDIATE").await?;
        // While the lock is held nobody can write, so whatever ends here did not wait for it.
        let saving = tokio::spawn({
            let ledger = Arc::clone(&ledger);
            async move { ledger.save(curd("two", Some(1))).await }
        });
        for _ in 0..100 {
            assert_eq!(ledger.newest(Kept::Formula, &first.name).await?, Some(first.clone()));
            assert_eq!(ledger.all(Kept::Formula).await?, std::slice::from_ref(&first));
        }
        assert!(!saving.is_finished());
        held.rollback().await?;
        assert_eq!(saving.await??.number, 2);
        Ok(())
    })
}

#[test]
fn a_save_that_nobody_waits_for_is_whole_or_not_at_all() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let lime = name("lime-curd");
    run(async {
        let ledger = Ledger::open(&folder.path().join("ledger")).await?;
        let mut after = None;
        for turn in 0..60 {
            let words = format!("turn {turn}");
            let mut saving = ledger.save(curd(&words, after));
            // Asked a few times only, then dropped wherever it is.
            for _ in 0..turn {
                let asked = poll_fn(|context| Poll::Ready(saving.as_mut().poll(context).is_ready()));
                if asked.await {
                    break;
                }
                tokio::task::yield_now().await;
            }
            drop(saving);
            // Whoever saves next waits behind it, and is neither stopped nor misled by what it left.
            let newest = match ledger.save(curd(&format!("after {words}"), after)).await {
                Ok(version) => version,
                Err(KeepError::Overtaken { newest }) => *newest,
                Err(other) => return Err(other.into()),
            };
            assert!(newest.text.as_str().ends_with(&words), "turn {turn}: {newest:?}");
            assert_eq!(newest.number, after.unwrap_or(0) + 1);
            assert_eq!(ledger.newest(Kept::Formula, &lime).await?.as_ref(), Some(&newest));
            after = Some(newest.number);
        }
        ledger.check().await?;
        Ok(())
    })
}

#[test]
fn two_programs_make_one_file_at_the_same_time() -> Result<(), Any> {
    run(async {
        for turn in 0..10 {
            let folder = tempfile::tempdir()?;
            let file = folder.path().join("ledger");
            let open = || {
                tokio::spawn({
                    let file = file.clone();
                    async move { opened(&file).await }
                })
            };
            let (one, two) = (open(), open());
            let (one, two) = (one.await??, two.await??);
            let saved = one.save(curd(&format!("{turn}"), None)).await?;
            assert_eq!(two.newest(Kept::Formula, &saved.name).await?, Some(saved));
        }
        Ok(())
    })
}
