//! Formulas, kitchens, stores and runs kept as versions in one file.
//!
//! The [`Ledger`] is a [`Keeper`] over SQLite: a text is kept once under its hash, a version names
//! a hash, and nothing that was kept changes again. One write at a time, reads beside it; a save
//! is acknowledged when it is on the disk. Driven by the program; knows no physics. Read next:
//! `migrations/` (the tables), `sql.rs` (every statement), `opening.rs` (what is refused),
//! `checking.rs` (all of the file held against what must be so), `folder.rs` (TOML files in and out).
//!
//! Floor 4; the only crate that names SQL. The statements and common tables are such that
//! PostgreSQL reads them too.

mod checking;
mod fault;
pub mod folder;
mod opening;
mod row;
mod sql;
mod whole_file;

use std::path::Path;
use std::sync::Arc;

use jarwright_kitchen::ports::{
    Draft, Entry, Hash, KeepError, Keeper, Kept, Last, MOST_HISTORY, MOST_NAMES, Name, Pending, Text, Version, Who,
    answer_fits, to_the_microsecond,
};
use jiff::Timestamp;
use sqlx::Transaction;
use sqlx::sqlite::{Sqlite, SqliteExecutor, SqlitePool};

pub use crate::checking::Checked;
use crate::fault::said;
use crate::row::{Line, Row};

/// What the file is called in a folder where everything is kept.
pub const FILE_NAME: &str = "jarwright.sqlite";

/// A file of versions.
#[derive(Debug, Clone)]
pub struct Ledger {
    /// One connection, so writes of this program wait for each other here and not in the file.
    write: SqlitePool,
    read: SqlitePool,
}

impl Ledger {
    /// Opens a ledger, or makes it, for its owner alone, when there is no such file.
    ///
    /// On a Tokio runtime with its timers on. Several programs may have the same file open.
    ///
    /// # Errors
    /// [`KeepError::Damaged`] when the file is damaged or is no ledger, [`KeepError::Newer`] when a
    /// newer program wrote it, [`KeepError::Unreachable`] when it cannot be opened, read or written.
    /// The file is then as it was.
    pub async fn open(path: &Path) -> Result<Self, KeepError> {
        let (write, read) = opening::file(path).await?;
        Ok(Self { write, read })
    }

    /// A ledger without a file, gone with it or with the runtime it was opened on.
    ///
    /// # Errors
    /// [`KeepError::Unreachable`] when there is no memory for it.
    pub async fn in_memory() -> Result<Self, KeepError> {
        let write = opening::memory().await?;
        Ok(Self {
            read: write.clone(),
            write,
        })
    }

    /// Waits for what is being written, and closes the file.
    pub async fn close(self) {
        self.read.close().await;
        self.write.close().await;
    }

    /// A writing that is whole or not at all, with the file's lock held from its start.
    async fn writing(&self) -> Result<Transaction<'static, Sqlite>, KeepError> {
        self.write.begin_with("BEGIN IMMEDIATE").await.map_err(said)
    }

    async fn save_draft(&self, draft: Draft) -> Result<Version, KeepError> {
        let Draft {
            kind,
            name,
            text,
            after,
            by,
            at,
        } = draft;
        let mut whole = self.writing().await?;
        let last = last_of(&mut *whole, kind, &name).await?;
        if let Last::Saved(same) = &last
            && same.text == text
        {
            return Ok(same.clone());
        }
        let number = last.next(kind, &name, after)?;
        if after.is_none() {
            let count = sqlx::query_scalar::<_, i64>(sql::COUNT).bind(kind.word());
            let standing = count.fetch_one(&mut *whole).await.map_err(said)?;
            if usize::try_from(standing).is_ok_and(|standing| standing >= MOST_NAMES) {
                return Err(KeepError::Full { kind });
            }
        }
        add_content(&mut *whole, &text).await?;
        let entry = Entry {
            number,
            hash: Some(text.hash()),
            saved: to_the_microsecond(at)?,
            by,
        };
        add(&mut whole, kind, &name, &entry).await?;
        whole.commit().await.map_err(said)?;
        Ok(Version {
            kind,
            name,
            number,
            text,
            saved: entry.saved,
            by: entry.by,
        })
    }

    async fn withdraw_name(
        &self,
        kind: Kept,
        name: &Name,
        after: u64,
        by: &Who,
        at: Timestamp,
    ) -> Result<u64, KeepError> {
        let mut whole = self.writing().await?;
        let entry = Entry {
            number: last_of(&mut *whole, kind, name).await?.next(kind, name, Some(after))?,
            hash: None,
            saved: to_the_microsecond(at)?,
            by: by.clone(),
        };
        add(&mut whole, kind, name, &entry).await?;
        whole.commit().await.map_err(said)?;
        Ok(entry.number)
    }

    async fn keep_first_answer(&self, run: &Hash, program: &Who, answer: &str) -> Result<Arc<str>, KeepError> {
        answer_fits(answer)?;
        let mut whole = self.writing().await?;
        if content_of(&mut *whole, run).await?.is_none() {
            return Err(KeepError::UnknownHash(*run));
        }
        let keep = sqlx::query(sql::ADD_ANSWER)
            .bind(run.to_string())
            .bind(program.as_str())
            .bind(answer);
        keep.execute(&mut *whole).await.map_err(said)?;
        let kept = answer_of(&mut *whole, run, program).await?;
        whole.commit().await.map_err(said)?;
        kept.ok_or_else(|| KeepError::Damaged("an answer just kept is not in the ledger".into()))
    }
}

/// Keeps a text under its hash; it may be there already.
async fn add_content(to: impl SqliteExecutor<'_>, text: &Text) -> Result<(), KeepError> {
    let keep = sqlx::query(sql::ADD_CONTENT)
        .bind(text.hash().to_string())
        .bind(text.as_str());
    keep.execute(to).await.map_err(said)?;
    Ok(())
}

/// Adds a version and moves its name on to it.
async fn add(
    whole: &mut Transaction<'static, Sqlite>,
    kind: Kept,
    name: &Name,
    entry: &Entry,
) -> Result<(), KeepError> {
    let number = to_i64(entry.number)?;
    let version = sqlx::query(sql::ADD_VERSION)
        .bind(kind.word())
        .bind(name.as_str())
        .bind(number)
        .bind(entry.hash.map(|hash| hash.to_string()))
        .bind(entry.saved.as_microsecond())
        .bind(entry.by.as_str());
    version.execute(&mut **whole).await.map_err(said)?;
    let newest = sqlx::query(sql::MOVE_ON)
        .bind(kind.word())
        .bind(name.as_str())
        .bind(number);
    newest.execute(&mut **whole).await.map_err(said)?;
    Ok(())
}

async fn last_of(from: impl SqliteExecutor<'_>, kind: Kept, name: &Name) -> Result<Last, KeepError> {
    let query = sqlx::query_as::<_, Row>(sql::LAST)
        .bind(kind.word())
        .bind(name.as_str());
    let row = query.fetch_optional(from).await.map_err(said)?;
    row.map_or(Ok(Last::Never), |row| row::last(kind, row))
}

async fn content_of(from: impl SqliteExecutor<'_>, hash: &Hash) -> Result<Option<Text>, KeepError> {
    let query = sqlx::query_scalar::<_, String>(sql::CONTENT).bind(hash.to_string());
    let text = query.fetch_optional(from).await.map_err(said)?;
    text.map(|text| row::text(*hash, text)).transpose()
}

async fn answer_of(from: impl SqliteExecutor<'_>, run: &Hash, program: &Who) -> Result<Option<Arc<str>>, KeepError> {
    let query = sqlx::query_scalar::<_, String>(sql::ANSWER)
        .bind(run.to_string())
        .bind(program.as_str());
    let answer = query.fetch_optional(from).await.map_err(said)?;
    Ok(answer.map(Arc::from))
}

fn to_i64(number: u64) -> Result<i64, KeepError> {
    i64::try_from(number).map_err(|_| KeepError::bad("version", &number.to_string(), "a number of a version"))
}

impl Keeper for Ledger {
    fn newest<'a>(&'a self, kind: Kept, name: &'a Name) -> Pending<'a, Option<Version>> {
        Box::pin(async move { Ok(last_of(&self.read, kind, name).await?.standing()) })
    }

    fn version<'a>(&'a self, kind: Kept, name: &'a Name, number: u64) -> Pending<'a, Option<Version>> {
        Box::pin(async move {
            let Ok(number) = to_i64(number) else {
                return Ok(None);
            };
            let query = sqlx::query_as::<_, Row>(sql::ONE)
                .bind(kind.word())
                .bind(name.as_str())
                .bind(number);
            let row = query.fetch_optional(&self.read).await.map_err(said)?;
            Ok(row
                .map(|row| row::last(kind, row))
                .transpose()?
                .and_then(Last::standing))
        })
    }

    fn all(&self, kind: Kept) -> Pending<'_, Vec<Version>> {
        Box::pin(async move {
            let query = sqlx::query_as::<_, Row>(sql::ALL).bind(kind.word());
            let rows = query.fetch_all(&self.read).await.map_err(said)?;
            let mut all = Vec::with_capacity(rows.len());
            for row in rows {
                all.extend(row::last(kind, row)?.standing());
            }
            // Here and not in the statement: databases differ in how they sort letters.
            all.sort_by(|one: &Version, other| one.name.cmp(&other.name));
            Ok(all)
        })
    }

    fn history<'a>(&'a self, kind: Kept, name: &'a Name) -> Pending<'a, Vec<Entry>> {
        Box::pin(async move {
            let query = sqlx::query_as::<_, Line>(sql::HISTORY)
                .bind(kind.word())
                .bind(name.as_str())
                .bind(to_i64(MOST_HISTORY as u64)?);
            let lines = query.fetch_all(&self.read).await.map_err(said)?;
            lines.into_iter().map(|line| row::entry(kind, name, line)).collect()
        })
    }

    fn content<'a>(&'a self, hash: &'a Hash) -> Pending<'a, Option<Text>> {
        Box::pin(content_of(&self.read, hash))
    }

    fn keep_text<'a>(&'a self, text: &'a Text) -> Pending<'a, ()> {
        Box::pin(add_content(&self.write, text))
    }

    fn save(&self, draft: Draft) -> Pending<'_, Version> {
        Box::pin(self.save_draft(draft))
    }

    fn withdraw<'a>(&'a self, kind: Kept, name: &'a Name, after: u64, by: &'a Who, at: Timestamp) -> Pending<'a, u64> {
        Box::pin(self.withdraw_name(kind, name, after, by, at))
    }

    fn keep_answer<'a>(&'a self, run: &'a Hash, program: &'a Who, answer: &'a str) -> Pending<'a, Arc<str>> {
        Box::pin(self.keep_first_answer(run, program, answer))
    }

    fn answer<'a>(&'a self, run: &'a Hash, program: &'a Who) -> Pending<'a, Option<Arc<str>>> {
        Box::pin(answer_of(&self.read, run, program))
    }

    fn health(&self) -> Pending<'_, ()> {
        Box::pin(async move {
            let count = sqlx::query_scalar::<_, i64>(sql::COUNT).bind(Kept::Kitchen.word());
            count.fetch_one(&self.read).await.map_err(said)?;
            self.writing().await?.rollback().await.map_err(said)
        })
    }
}
