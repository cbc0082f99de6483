//! One story, told to every keeper.

mod common;

use std::path::Path;

use common::{Any, at, curd, name, run, text, who};
use jarwright_kitchen::ports::{Draft, Hash, KeepError, Keeper, Kept, Memory};
use jarwright_ledger::Ledger;
use jiff::{Timestamp, ToSpan};

async fn story(keeper: &dyn Keeper) -> Result<(), Any> {
    let lime = name("lime-curd");
    keeper.health().await?;

    // Nothing yet.
    assert_eq!(keeper.newest(Kept::Formula, &lime).await?, None);
    assert_eq!(keeper.all(Kept::Formula).await?, []);
    assert_eq!(keeper.history(Kept::Formula, &lime).await?, []);
    let never = keeper.save(curd("one", Some(1))).await;
    assert!(
        matches!(&never, Err(KeepError::Withdrawn { last: None, .. })),
        "{never:?}"
    );

    // The first version, and the same again.
    let first = keeper.save(curd("one", None)).await?;
    assert_eq!((first.number, first.text.as_str(), first.saved), (1, "one", at(0)));
    assert_eq!(first.hash(), Hash::of("one"));
    assert_eq!(keeper.save(curd("one", None)).await?, first);
    assert_eq!(keeper.save(curd("one", Some(7))).await?, first);

    // A second, by somebody else.
    let second = keeper
        .save(Draft {
            by: who("Jon O'Neil"),
            at: at(60) + 1_234_567.nanoseconds(),
            ..curd("two", Some(1))
        })
        .await?;
    assert_eq!(second.number, 2);
    assert_eq!(second.saved, at(60) + 1_234.microseconds(), "kept to the microsecond");
    assert_eq!(keeper.newest(Kept::Formula, &lime).await?, Some(second.clone()));
    assert_eq!(keeper.version(Kept::Formula, &lime, 1).await?, Some(first.clone()));
    assert_eq!(keeper.version(Kept::Formula, &lime, 3).await?, None);
    assert_eq!(keeper.version(Kept::Formula, &lime, 0).await?, None);
    assert_eq!(keeper.version(Kept::Formula, &lime, u64::MAX).await?, None);

    // Whoever started from the first, or from nothing, is told what stands now.
    for after in [Some(1), None, Some(3), Some(u64::MAX)] {
        let overtaken = keeper.save(curd("three", after)).await;
        let Err(KeepError::Overtaken { newest }) = overtaken else {
            return Err(format!("{after:?}: {overtaken:?}").into());
        };
        assert_eq!(*newest, second);
    }
    assert_eq!(keeper.newest(Kept::Formula, &lime).await?, Some(second.clone()));
    assert_eq!(
        keeper.content(&Hash::of("three")).await?,
        None,
        "what was refused left nothing"
    );

    // Other names and kinds are apart; names are told in order.
    let other = Draft {
        name: name("dill-pickles"),
        ..curd("one", None)
    };
    let pickles = keeper.save(other).await?;
    let kitchen = Draft {
        kind: Kept::Kitchen,
        ..curd("a pot", None)
    };
    assert_eq!(keeper.save(kitchen).await?.number, 1);
    assert_eq!(keeper.all(Kept::Formula).await?, [pickles.clone(), second.clone()]);
    assert_eq!(keeper.all(Kept::Stores).await?, []);

    // Withdrawn: it does not stand, and all is still there.
    let stale = keeper.withdraw(Kept::Formula, &lime, 1, &who("Mira"), at(90)).await;
    assert!(matches!(stale, Err(KeepError::Overtaken { .. })), "{stale:?}");
    assert_eq!(keeper.withdraw(Kept::Formula, &lime, 2, &who("Mira"), at(90)).await?, 3);
    assert_eq!(keeper.newest(Kept::Formula, &lime).await?, None);
    assert_eq!(keeper.all(Kept::Formula).await?, [pickles]);
    assert_eq!(keeper.version(Kept::Formula, &lime, 2).await?, Some(second.clone()));
    assert_eq!(keeper.version(Kept::Formula, &lime, 3).await?, None);
    let gone = keeper.save(curd("three", Some(2))).await;
    let Err(KeepError::Withdrawn { last: Some(last), .. }) = &gone else {
        return Err(format!("{gone:?}").into());
    };
    assert_eq!((last.number, last.hash, last.saved), (3, None, at(90)));
    let twice = keeper.withdraw(Kept::Formula, &lime, 3, &who("Mira"), at(91)).await;
    assert!(matches!(twice, Err(KeepError::Withdrawn { .. })), "{twice:?}");

    // Saved again, with a text it had before.
    let again = keeper.save(curd("one", None)).await?;
    assert_eq!((again.number, again.hash()), (4, first.hash()));
    let history = keeper.history(Kept::Formula, &lime).await?;
    let told: Vec<_> = history
        .iter()
        .map(|entry| (entry.number, entry.hash, entry.by.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (4, Some(Hash::of("one")), "Mira"),
            (3, None, "Mira"),
            (2, Some(Hash::of("two")), "Jon O'Neil"),
            (1, Some(Hash::of("one")), "Mira"),
        ]
    );

    // A text by its hash, whatever name it has.
    assert_eq!(keeper.content(&Hash::of("two")).await?, Some(text("two")));
    assert_eq!(keeper.content(&Hash::of("never saved")).await?, None);

    // What a run was answered with stays.
    let run = Draft {
        kind: Kept::Run,
        name: name("2026-11-25-a"),
        ..curd("an order", None)
    };
    let run = keeper.save(run).await?.hash();
    let (now, later) = (who("jarwright 0.1.0"), who("jarwright 0.2.0"));
    assert_eq!(keeper.answer(&run, &now).await?, None);
    assert_eq!(
        &*keeper.keep_answer(&run, &now, "{\"jars\":48}").await?,
        "{\"jars\":48}"
    );
    assert_eq!(
        &*keeper.keep_answer(&run, &now, "{\"jars\":47}").await?,
        "{\"jars\":48}"
    );
    assert_eq!(
        &*keeper.keep_answer(&run, &later, "{\"jars\":49}").await?,
        "{\"jars\":49}"
    );
    assert_eq!(keeper.answer(&run, &now).await?.as_deref(), Some("{\"jars\":48}"));
    let unknown = Hash::of("never saved");
    assert_eq!(
        keeper.keep_answer(&unknown, &now, "{}").await,
        Err(KeepError::UnknownHash(unknown))
    );
    assert!(keeper.keep_answer(&run, &now, "\0").await.is_err());

    // Times at the ends of the calendar.
    let last = Timestamp::from_second(Timestamp::MAX.as_second() - 1)?;
    for (place, at) in [Timestamp::MIN, last].into_iter().enumerate() {
        let name = name(&format!("end-{place}"));
        let saved = keeper
            .save(Draft {
                name: name.clone(),
                at,
                ..curd("x", None)
            })
            .await?;
        assert_eq!(keeper.newest(Kept::Formula, &name).await?, Some(saved));
    }
    Ok(())
}

#[test]
fn memory_keeps_the_story() -> Result<(), Any> {
    run(story(&Memory::new()))
}

#[test]
fn a_ledger_without_a_file_keeps_the_story() -> Result<(), Any> {
    run(async { story(&Ledger::in_memory().await?).await })
}

#[test]
fn a_ledger_in_a_file_keeps_the_story() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    run(async { story(&Ledger::open(&folder.path().join("ledger")).await?).await })
}

#[test]
fn a_story_is_still_there_after_the_file_is_opened_again() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let all = |ledger: Ledger| async move {
            let mut all = Vec::new();
            for kind in Kept::ALL {
                all.push(ledger.all(kind).await?);
            }
            let history = ledger.history(Kept::Formula, &name("lime-curd")).await?;
            ledger.close().await;
            Ok::<_, KeepError>((all, history))
        };
        let ledger = Ledger::open(&file).await?;
        story(&ledger).await?;
        let before = all(ledger).await?;
        assert_eq!(before.1.len(), 4);
        assert_eq!(all(Ledger::open(&file).await?).await?, before);
        Ok(())
    })
}

#[cfg(unix)]
#[test]
fn a_new_ledger_and_what_stands_beside_it_are_its_owners_alone() -> Result<(), Any> {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir()?;
    run(async {
        let ledger = Ledger::open(&folder.path().join("ledger")).await?;
        ledger.save(curd("one", None)).await?;
        let mut seen = 0;
        for entry in std::fs::read_dir(folder.path())? {
            let entry = entry?;
            seen += 1;
            assert_eq!(
                entry.metadata()?.permissions().mode() & 0o777,
                0o600,
                "{:?}",
                entry.path()
            );
        }
        assert_eq!(seen, 3, "the file, its log and the log's index");
        Ok(())
    })
}

#[test]
fn a_file_in_no_folder_is_refused_with_its_path() {
    let error = run(Ledger::open(Path::new("no-such-folder/ledger"))).map(|_| ());
    let Err(KeepError::Unreachable(words)) = error else {
        panic!("{error:?}");
    };
    assert!(words.contains("no-such-folder"), "{words}");
}
