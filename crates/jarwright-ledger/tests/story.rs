//! One story, told to every keeper.

mod common;

use std::path::Path;

use common::{Any, at, by_hand, curd, name, run, text, who};
use jarwright_kitchen::ports::{
    Draft, Hash, KeepError, Keeper, Kept, MOST_ANSWER_BYTES, MOST_HISTORY, MOST_NAMES, MOST_TEXT_BYTES, Memory, Name,
};
use jarwright_ledger::{FILE_NAME, Ledger};
use jiff::{Timestamp, ToSpan};
use sqlx::Connection;

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

    // A text without a name, for runs to name; it stands under none.
    keeper.keep_text(&text("of long ago")).await?;
    keeper.keep_text(&text("of long ago")).await?;
    assert_eq!(
        keeper.content(&Hash::of("of long ago")).await?,
        Some(text("of long ago"))
    );
    assert_eq!(keeper.all(Kept::Formula).await?.len(), 2);

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
    let (longest, longer) = ("9".repeat(MOST_ANSWER_BYTES), "9".repeat(MOST_ANSWER_BYTES + 1));
    let large = who("a program of many words");
    let refused = keeper.keep_answer(&run, &large, &longer).await;
    assert!(matches!(refused, Err(KeepError::TooLarge { .. })), "{refused:?}");
    assert_eq!(keeper.answer(&run, &large).await?, None);
    assert!(*keeper.keep_answer(&run, &large, &longest).await? == *longest);

    // The largest text, and none at all.
    for (name, words) in [("large", "é".repeat(MOST_TEXT_BYTES / 2)), ("empty", String::new())] {
        let draft = Draft {
            kind: Kept::Stores,
            name: Name::new(name)?,
            ..curd(&words, None)
        };
        let saved = keeper.save(draft).await?;
        assert!(saved.text.as_str() == words);
        assert_eq!(keeper.newest(Kept::Stores, &saved.name).await?, Some(saved));
    }

    // Names in the order of their code points, whatever the script.
    let order = ["10-ways", "2-ways", "a", "a-b", "ab", "z", "é", "варенье", "梅干し"];
    for each in order.into_iter().rev() {
        let draft = Draft {
            kind: Kept::Kitchen,
            name: Name::new(each)?,
            ..curd(each, None)
        };
        keeper.save(draft).await?;
    }
    let kitchens = keeper.all(Kept::Kitchen).await?;
    let names: Vec<_> = kitchens.iter().map(|kitchen| kitchen.name.as_str()).collect();
    let mut expected = order.to_vec();
    expected.insert(5, "lime-curd");
    assert_eq!(names, expected);

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

/// With one name fewer than may stand: the next is the last, until one is withdrawn.
async fn full(keeper: &dyn Keeper) -> Result<(), Any> {
    let named = |each: &str, after| Draft {
        kind: Kept::Run,
        name: name(each),
        ..curd("x", after)
    };
    assert_eq!(keeper.all(Kept::Run).await?.len(), MOST_NAMES - 1);
    keeper.save(named("last", None)).await?;
    let full = keeper.save(named("one-more", None)).await;
    assert_eq!(full, Err(KeepError::Full { kind: Kept::Run }));
    assert_eq!(keeper.newest(Kept::Run, &name("one-more")).await?, None);
    keeper.save(curd("other kinds have room", None)).await?;
    let newer = Draft {
        text: text("y"),
        ..named("last", Some(1))
    };
    assert_eq!(keeper.save(newer).await?.number, 2, "a name that stands may go on");
    keeper
        .withdraw(Kept::Run, &name("last"), 2, &who("Mira"), at(1))
        .await?;
    assert_eq!(keeper.save(named("one-more", None)).await?.number, 1);
    Ok(())
}

/// With more versions than are told.
async fn long(keeper: &dyn Keeper) -> Result<(), Any> {
    let most = MOST_HISTORY as u64;
    for number in 0..most + 5 {
        let after = (number > 0).then_some(number);
        keeper.save(curd(&format!("{number}"), after)).await?;
    }
    let history = keeper.history(Kept::Formula, &name("lime-curd")).await?;
    let numbers: Vec<u64> = history.iter().map(|entry| entry.number).collect();
    assert_eq!(numbers, (6..=most + 5).rev().collect::<Vec<_>>());
    Ok(())
}

#[test]
fn a_long_history_is_told_from_its_end() -> Result<(), Any> {
    run(async {
        long(&Memory::new()).await?;
        long(&Ledger::in_memory().await?).await
    })
}

#[test]
fn memory_refuses_a_name_too_many() -> Result<(), Any> {
    run(async {
        let memory = Memory::new();
        for number in 1..MOST_NAMES {
            let draft = Draft {
                kind: Kept::Run,
                name: name(&format!("run-{number}")),
                ..curd("x", None)
            };
            memory.save(draft).await?;
        }
        full(&memory).await
    })
}

#[test]
fn a_ledger_refuses_a_name_too_many() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join(FILE_NAME);
    run(async {
        let ledger = Ledger::open(&file).await?;
        ledger.keep_text(&text("x")).await?;
        // By hand, because ten thousand saves wait for the disk ten thousand times.
        let mut hand = by_hand(&file).await?;
        for statement in [
            "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < $1) \
             INSERT INTO versions SELECT 'run', 'run-' || i, 1, hash, 0, 'Mira' FROM n, content",
            "INSERT INTO newest SELECT kind, name, number FROM versions WHERE $1 > 0",
        ] {
            let many = sqlx::query(statement).bind(MOST_NAMES as i64 - 1);
            many.execute(&mut hand).await?;
        }
        hand.close().await?;
        full(&ledger).await?;
        ledger.check().await?;
        Ok(())
    })
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
        let checked = ledger.check().await?;
        assert!(checked.texts > 10 && checked.versions > checked.texts, "{checked:?}");
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
