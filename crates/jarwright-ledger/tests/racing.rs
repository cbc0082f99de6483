//! Several writers at one name: every number has one winner, and nothing that was saved is lost.

mod common;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use common::{Any, curd, name, run, who};
use jarwright_kitchen::ports::{Draft, KeepError, Keeper, Kept, Memory, Version};
use jarwright_ledger::Ledger;

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

#[test]
fn of_two_drafts_made_from_one_version_one_stands() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let (one, two) = (opened(&file).await?, opened(&file).await?);
        let mut after = None;
        for turn in 0..20 {
            let save = |keeper: &Arc<dyn Keeper>, words: String| {
                let keeper = Arc::clone(keeper);
                tokio::spawn(async move { keeper.save(curd(&words, after)).await })
            };
            let (left, right) = (save(&one, format!("left {turn}")), save(&two, format!("right {turn}")));
            let (winner, loser) = match (left.await?, right.await?) {
                (Ok(winner), Err(loser)) | (Err(loser), Ok(winner)) => (winner, loser),
                both => return Err(format!("turn {turn}: {both:?}").into()),
            };
            assert_eq!(
                loser,
                KeepError::Overtaken {
                    newest: Box::new(winner.clone())
                }
            );
            after = Some(winner.number);
        }
        assert_eq!(after, Some(20));
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
