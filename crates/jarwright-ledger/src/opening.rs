//! A file becomes a ledger, or is refused before anything in it is changed.

use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::time::{Duration, Instant};

use jarwright_kitchen::ports::KeepError;
use sqlx::migrate::{Migration, MigrationType, Migrator};
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous};
use sqlx::{ConnectOptions, Connection, SqlSafeStr};

use crate::fault::{of_migration, passes, said};
use crate::whole_file;

/// "Jarw" in the file's header says that it is a ledger of this program.
const APPLICATION_ID: i64 = 0x4a61_7277;

/// The first bytes of every database.
///
/// # Source
/// SQLite, "Database File Format", section 1.3.1.
const HEADER: &[u8; 16] = b"SQLite format 3\0";

/// What the database says of a sound file.
pub const SOUND: &str = "ok";

/// How long another program's writing is waited for.
const BUSY: Duration = Duration::from_secs(5);

/// How soon a file that another program is making is asked for again.
const AGAIN: Duration = Duration::from_millis(20);

/// How long a free connection is waited for.
const ACQUIRE: Duration = Duration::from_secs(15);

/// Reads that go on at the same time.
const READERS: u32 = 4;

/// Largest file that is looked through from end to end at each opening [bytes]: it takes some 10 ms.
/// Of a larger one only the head is looked at, and the rest when it is read; `Ledger::check` looks at
/// all of it.
const LOOKED_THROUGH: u64 = 8 << 20;

/// The tables, by the date they were made. Never edited: a change is a new one.
pub const MIGRATIONS: [(i64, &str, &str); 2] = [
    (
        20_261_125_100_000,
        "versions",
        include_str!("../migrations/common/20261125100000_versions.sql"),
    ),
    (
        20_261_125_100_001,
        "only grows",
        include_str!("../migrations/sqlite/20261125100001_only_grows.sql"),
    ),
];

fn migrator() -> Migrator {
    let one = |(version, title, sql): (i64, &'static str, &'static str)| {
        Migration::new(version, title.into(), MigrationType::Simple, sql.into_sql_str(), false)
    };
    Migrator::with_migrations(MIGRATIONS.into_iter().map(one).collect())
}

/// One connection that writes, and some that read.
///
/// While another program makes the file, or turns its log on, SQLite refuses at once instead of
/// waiting: it is asked again until [`BUSY`] is over.
pub async fn file(path: &Path) -> Result<(SqlitePool, SqlitePool), KeepError> {
    let begun = Instant::now();
    loop {
        match once(path).await {
            Err(error) if passes(&error) && begun.elapsed() < BUSY => tokio::time::sleep(AGAIN).await,
            opened => return opened,
        }
    }
}

async fn once(path: &Path) -> Result<(SqlitePool, SqlitePool), KeepError> {
    make_private(path)?;
    let plain = SqliteConnectOptions::new()
        .filename(path)
        .busy_timeout(BUSY)
        .foreign_keys(true);
    let small = std::fs::metadata(path).is_ok_and(|about| about.len() <= LOOKED_THROUGH);
    must_be_ours(&plain, small).await?;
    let lasting = plain
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full);
    let write = pool(lasting.clone(), 1).await?;
    make_tables(&write).await?;
    let read = pool(lasting.pragma("query_only", "1"), READERS).await?;
    Ok((write, read))
}

/// One connection for both: what it holds is gone with it.
pub async fn memory() -> Result<SqlitePool, KeepError> {
    let pool = pool(SqliteConnectOptions::new().in_memory(true).foreign_keys(true), 1).await?;
    make_tables(&pool).await?;
    Ok(pool)
}

async fn pool(options: SqliteConnectOptions, most: u32) -> Result<SqlitePool, KeepError> {
    SqlitePoolOptions::new()
        .max_connections(most)
        .acquire_timeout(ACQUIRE)
        .idle_timeout(None)
        .max_lifetime(None)
        .connect_with(options)
        .await
        .map_err(said)
}

/// Makes the file, when there is none, for its owner alone; the database's side files follow it.
fn make_private(path: &Path) -> Result<(), KeepError> {
    let fault = |error: &std::io::Error| {
        let what = match error.kind() {
            ErrorKind::NotFound => "its folder is not there".to_owned(),
            ErrorKind::PermissionDenied => "it may not be opened by you".to_owned(),
            ErrorKind::IsADirectory => "this is a folder".to_owned(),
            _ => error.to_string(),
        };
        KeepError::Unreachable(format!("{}: {what}", path.display()))
    };
    if path.is_dir() {
        return Err(fault(&ErrorKind::IsADirectory.into()));
    }
    let mut how = OpenOptions::new();
    how.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut how, 0o600);
    match how.open(path) {
        Ok(made) => made.sync_all().map_err(|error| fault(&error))?,
        Err(error) if error.kind() == ErrorKind::AlreadyExists => {
            return begins_as_one(path).map_err(|error| fault(&error))?;
        }
        Err(error) => return Err(fault(&error)),
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    whole_file::sync_folder(folder.unwrap_or_else(|| Path::new(".")));
    Ok(())
}

/// Refuses a file that is neither empty nor begins as a database does. SQLite does so itself, except
/// with a file of one byte, which it takes for an empty one and writes over.
fn begins_as_one(path: &Path) -> std::io::Result<Result<(), KeepError>> {
    let mut start = Vec::new();
    File::open(path)?.take(HEADER.len() as u64).read_to_end(&mut start)?;
    if start.is_empty() || start == HEADER {
        return Ok(Ok(()));
    }
    Ok(Err(KeepError::Damaged("this file is not a ledger".into())))
}

/// Refuses what is no ledger, or is damaged, without writing to it.
async fn must_be_ours(plain: &SqliteConnectOptions, look_through: bool) -> Result<(), KeepError> {
    let asked = async {
        let mut once = plain.clone().pragma("query_only", "1").connect().await?;
        // The tables first: another program that makes them meanwhile sets the mark in the same commit,
        // so that whoever has seen tables finds the mark too.
        let tables: i64 = sqlx::query_scalar("SELECT COUNT(*) FROM sqlite_master")
            .fetch_one(&mut once)
            .await?;
        let id: i64 = sqlx::query_scalar("PRAGMA application_id").fetch_one(&mut once).await?;
        let check: String = if look_through {
            sqlx::query_scalar("PRAGMA quick_check(1)").fetch_one(&mut once).await?
        } else {
            SOUND.into()
        };
        once.close().await?;
        Ok::<_, sqlx::Error>((id, tables, check))
    };
    match asked.await.map_err(said)? {
        (_, _, check) if check != SOUND => Err(KeepError::Damaged(format!("the ledger's file is damaged ({check})"))),
        (APPLICATION_ID, _, _) | (0, 0, _) => Ok(()),
        _ => Err(KeepError::Damaged(
            "this file is not a ledger: it is another program's database".into(),
        )),
    }
}

/// Makes the tables that are missing, all or none, and refuses those it does not know.
async fn make_tables(write: &SqlitePool) -> Result<(), KeepError> {
    // Held from before the first look, so that two programs cannot both make them.
    let mut whole = write.begin_with("BEGIN IMMEDIATE").await.map_err(said)?;
    // `run` would make the future one that cannot be sent between threads.
    migrator()
        .run_direct(None, &mut *whole, false)
        .await
        .map_err(of_migration)?;
    sqlx::query("PRAGMA application_id = 0x4a617277")
        .execute(&mut *whole)
        .await
        .map_err(said)?;
    whole.commit().await.map_err(said)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SQLite, "Pragma statements supported by SQLite": synchronous 2 is FULL, with which a commit in
    /// WAL mode waits for the disk.
    #[test]
    fn the_writer_waits_for_the_disk_and_the_readers_cannot_write() -> Result<(), Box<dyn std::error::Error>> {
        let folder = tempfile::tempdir()?;
        let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
        runtime.block_on(async {
            let (write, read) = file(&folder.path().join("ledger")).await?;
            let journal: String = sqlx::query_scalar("PRAGMA journal_mode").fetch_one(&write).await?;
            assert_eq!(journal, "wal");
            for (pool, pragma, expected) in [
                (&write, "PRAGMA synchronous", 2),
                (&write, "PRAGMA foreign_keys", 1),
                (&write, "PRAGMA busy_timeout", 5_000),
                (&write, "PRAGMA application_id", APPLICATION_ID),
                (&read, "PRAGMA query_only", 1),
            ] {
                let found: i64 = sqlx::query_scalar(pragma).fetch_one(pool).await?;
                assert_eq!(found, expected, "{pragma}");
            }
            Ok(())
        })
    }
}
