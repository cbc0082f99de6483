//! Files that are no ledger, no longer one, or one of tomorrow's; and hands that change the tables.

mod common;

use std::fs;
use std::path::Path;

use common::{Any, at, by_hand, curd, name, run, who};
use jarwright_kitchen::ports::{Draft, Hash, KeepError, Keeper, Kept};
use jarwright_ledger::Ledger;
use sqlx::Connection;

/// A closed ledger of some pages.
async fn written(file: &Path) -> Result<(), KeepError> {
    let ledger = Ledger::open(file).await?;
    for number in 0..20 {
        let draft = Draft {
            name: name(&format!("formula-{number}")),
            ..curd(&format!("{number} ").repeat(2_000), None)
        };
        ledger.save(draft).await?;
    }
    ledger.close().await;
    Ok(())
}

async fn refusal(file: &Path) -> Result<KeepError, Any> {
    let before = fs::read(file)?;
    let refused = Ledger::open(file).await;
    assert!(fs::read(file)? == before, "the file is as it was");
    refused.err().ok_or_else(|| "it was opened".into())
}

#[test]
fn garbage_is_refused_in_words() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    for garbage in [b"name = \"Lime curd\"\n".repeat(100), vec![0xff; 5_000], b"x".to_vec()] {
        fs::write(&file, garbage)?;
        let refused = run(refusal(&file))?;
        assert!(matches!(refused, KeepError::Damaged(_)), "{refused:?}");
        assert!(refused.to_string().contains("not a ledger"), "{refused}");
    }
    Ok(())
}

#[test]
fn a_folder_is_refused_in_words() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let Err(refused) = run(Ledger::open(folder.path())) else {
        return Err("it was opened".into());
    };
    assert!(refused.to_string().contains("this is a folder"), "{refused}");
    Ok(())
}

#[test]
fn a_torn_file_is_refused_in_words_wherever_it_is_torn() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        written(&file).await?;
        let whole = fs::read(&file)?;
        assert!(whole.len() > 20 * 4_096, "{} bytes", whole.len());
        let parts = (1..20).map(|part| whole.len() * part / 20);
        for length in [1, 15, 16, 17, 100, 512, 4_095, 4_096, whole.len() - 1]
            .into_iter()
            .chain(parts)
        {
            fs::write(&file, &whole[..length])?;
            let refused = refusal(&file)
                .await
                .map_err(|error| format!("{length} bytes: {error}"))?;
            assert!(matches!(refused, KeepError::Damaged(_)), "{length} bytes: {refused:?}");
        }
        fs::write(&file, &whole)?;
        Ledger::open(&file).await?;
        Ok(())
    })
}

#[test]
fn a_large_file_is_refused_at_the_latest_where_it_is_damaged() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let ledger = Ledger::open(&file).await?;
        let mut saved = Vec::new();
        for number in 0..12 {
            let draft = Draft {
                name: name(&format!("formula-{number}")),
                ..curd(&format!("{number:>9} ").repeat(100_000), None)
            };
            saved.push(ledger.save(draft).await?);
        }
        ledger.close().await;
        let whole = fs::read(&file)?;
        fs::write(&file, &whole[..whole.len() * 3 / 4])?;
        let torn = refusal(&file).await?;
        assert!(matches!(torn, KeepError::Damaged(_)), "{torn:?}");

        let mut spoilt = whole.clone();
        let page = whole.len() / 2 / 4_096 * 4_096;
        spoilt[page..page + 4_096].fill(0xa5);
        fs::write(&file, spoilt)?;
        let ledger = Ledger::open(&file).await?;
        let checked = ledger.check().await;
        assert!(matches!(checked, Err(KeepError::Damaged(_))), "{checked:?}");
        let mut refused = 0;
        for version in saved {
            match ledger.newest(Kept::Formula, &version.name).await {
                Ok(read) => assert!(read == Some(version)),
                Err(KeepError::Damaged(_)) => refused += 1,
                Err(other) => return Err(other.into()),
            }
        }
        assert_eq!(refused, 1);
        Ok(())
    })
}

#[test]
fn a_torn_log_leaves_a_sound_beginning() -> Result<(), Any> {
    const SAVES: u64 = 6;
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    let log = folder.path().join("ledger-wal");
    run(async {
        let ledger = Ledger::open(&file).await?;
        for number in 0..SAVES {
            let after = (number > 0).then_some(number);
            ledger.save(curd(&format!("{number} ").repeat(2_000), after)).await?;
        }
        // What a power failure leaves: the file, and of its log what had reached the disk.
        let (on_disk, logged) = (fs::read(&file)?, fs::read(&log)?);
        ledger.close().await;
        assert!(logged.len() > 10 * 4_096);
        let torn = folder.path().join("torn");
        let torn_log = folder.path().join("torn-wal");
        let mut before = 0;
        for length in (0..logged.len()).step_by(3_331).chain([logged.len()]) {
            fs::write(&torn, &on_disk)?;
            fs::write(&torn_log, &logged[..length])?;
            let ledger = Ledger::open(&torn)
                .await
                .map_err(|error| format!("{length} bytes: {error}"))?;
            ledger.check().await?;
            let newest = ledger.newest(Kept::Formula, &name("lime-curd")).await?;
            let newest = newest.map_or(0, |newest| newest.number);
            assert!(newest == before || newest == before + 1, "{length} bytes: {newest}");
            before = newest;
            ledger.close().await;
        }
        assert_eq!(before, SAVES, "all of the log, all of the saves");
        Ok(())
    })
}

#[test]
fn a_text_changed_on_the_disk_is_not_given_out() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let ledger = Ledger::open(&file).await?;
        let saved = ledger.save(curd("sugar 500 g", None)).await?;
        ledger.close().await;
        let mut bytes = fs::read(&file)?;
        let place = bytes
            .windows(5)
            .position(|window| window == b"500 g")
            .ok_or("no such text")?;
        bytes[place] = b'9';
        fs::write(&file, bytes)?;
        let ledger = Ledger::open(&file).await?;
        for refused in [
            ledger.newest(Kept::Formula, &saved.name).await.map(|_| ()),
            ledger.version(Kept::Formula, &saved.name, 1).await.map(|_| ()),
            ledger.all(Kept::Formula).await.map(|_| ()),
            ledger.content(&saved.hash()).await.map(|_| ()),
        ] {
            assert!(matches!(refused, Err(KeepError::Damaged(_))), "{refused:?}");
        }
        let checked = ledger.check().await;
        assert!(matches!(checked, Err(KeepError::Damaged(_))), "{checked:?}");
        Ok(())
    })
}

#[test]
fn what_is_missing_from_a_ledger_is_found() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    run(async {
        for (place, spoiling) in [
            "DELETE FROM content",
            "DELETE FROM newest",
            "DELETE FROM versions WHERE number = 1",
            "UPDATE newest SET number = 1",
        ]
        .into_iter()
        .enumerate()
        {
            let file = folder.path().join(format!("{place}.sqlite"));
            let ledger = Ledger::open(&file).await?;
            ledger.save(curd("one", None)).await?;
            ledger.save(curd("two", Some(1))).await?;
            ledger.check().await?;
            let mut hand = by_hand(&file).await?;
            for statement in [
                "PRAGMA foreign_keys = 0",
                "DROP TRIGGER content_no_delete",
                "DROP TRIGGER versions_no_delete",
                "DROP TRIGGER newest_no_delete",
                "DROP TRIGGER newest_moves_on",
                spoiling,
            ] {
                sqlx::query(statement).execute(&mut hand).await?;
            }
            hand.close().await?;
            let checked = ledger.check().await;
            assert!(matches!(checked, Err(KeepError::Damaged(_))), "{spoiling}: {checked:?}");
        }
        Ok(())
    })
}

#[test]
fn another_programs_database_is_refused_and_left_alone() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let mut hand = by_hand(&file).await?;
        sqlx::query("CREATE TABLE guests (name TEXT)")
            .execute(&mut hand)
            .await?;
        hand.close().await?;
        let refused = refusal(&file).await?;
        assert!(refused.to_string().contains("another program's"), "{refused}");
        Ok(())
    })
}

#[test]
fn a_ledger_of_a_newer_program_is_refused_in_words() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        written(&file).await?;
        let mut hand = by_hand(&file).await?;
        sqlx::query(
            "INSERT INTO _sqlx_migrations (version, description, success, checksum, execution_time) \
             VALUES (20991231000000, 'from tomorrow', 1, x'00', 0)",
        )
        .execute(&mut hand)
        .await?;
        hand.close().await?;
        let refused = refusal(&file).await?;
        assert!(matches!(refused, KeepError::Newer(_)), "{refused:?}");
        assert!(refused.to_string().contains("newer program"), "{refused}");
        Ok(())
    })
}

#[test]
fn tables_that_were_made_otherwise_are_refused_in_words() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        written(&file).await?;
        let mut hand = by_hand(&file).await?;
        sqlx::query("UPDATE _sqlx_migrations SET checksum = x'00'")
            .execute(&mut hand)
            .await?;
        hand.close().await?;
        let refused = refusal(&file).await?;
        assert!(matches!(refused, KeepError::Damaged(_)), "{refused:?}");
        Ok(())
    })
}

#[test]
fn what_was_kept_cannot_be_changed_even_by_hand() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    run(async {
        let ledger = Ledger::open(&file).await?;
        let run_hash = ledger.save(curd("one", None)).await?.hash();
        ledger.keep_answer(&run_hash, &who("jarwright"), "{}").await?;
        ledger.close().await;
        let mut hand = by_hand(&file).await?;
        for statement in [
            "UPDATE content SET text = 'other'",
            "DELETE FROM content",
            "UPDATE versions SET by_whom = 'other'",
            "DELETE FROM versions",
            "UPDATE answers SET answer = '[]'",
            "DELETE FROM answers",
            "DELETE FROM newest",
            "UPDATE newest SET number = 5",
            "UPDATE newest SET name = 'other', number = 2",
            "INSERT INTO versions VALUES ('formula', 'lime-curd', 0, NULL, 0, 'x')",
            "INSERT INTO versions VALUES ('letter', 'lime-curd', 1, NULL, 0, 'x')",
            "INSERT INTO versions VALUES ('formula', 'lime-curd', 2, 'no such text', 0, 'x')",
        ] {
            assert!(sqlx::query(statement).execute(&mut hand).await.is_err(), "{statement}");
        }
        Ok(())
    })
}

#[test]
fn what_was_given_never_becomes_part_of_a_statement() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("ledger");
    let sly = "x'); DROP TABLE versions; --";
    run(async {
        // A name of that form is none to begin with; everything else goes in as it stands.
        assert!(jarwright_kitchen::ports::Name::new(sly).is_err());
        let ledger = Ledger::open(&file).await?;
        let draft = Draft {
            by: who(sly),
            ..curd(sly, None)
        };
        let saved = ledger.save(draft).await?;
        assert_eq!((saved.text.as_str(), saved.by.as_str()), (sly, sly));
        assert_eq!(&*ledger.keep_answer(&saved.hash(), &who(sly), sly).await?, sly);
        assert_eq!(ledger.answer(&saved.hash(), &who("' OR '1'='1")).await?, None);
        assert_eq!(ledger.newest(Kept::Formula, &saved.name).await?, Some(saved.clone()));
        ledger.withdraw(Kept::Formula, &saved.name, 1, &who(sly), at(1)).await?;
        let history = ledger.history(Kept::Formula, &saved.name).await?;
        assert_eq!(
            history.iter().map(|entry| entry.by.as_str()).collect::<Vec<_>>(),
            [sly, sly]
        );
        assert_eq!(ledger.content(&Hash::of(sly)).await?, Some(saved.text));
        Ok(())
    })
}
