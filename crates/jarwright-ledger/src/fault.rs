//! What the database says, in words a cook can act on.

use jarwright_kitchen::ports::KeepError;
use sqlx::migrate::MigrateError;

/// What is said while another program writes.
const ANOTHER_WRITES: &str = "another program is writing to the ledger just now";

/// Whether it may go in a moment.
pub fn passes(error: &KeepError) -> bool {
    matches!(error, KeepError::Unreachable(what) if what.starts_with(ANOTHER_WRITES))
}

/// What a result code of SQLite means; the numbers are those of its documented interface.
///
/// # Source
/// SQLite, "Result and Error Codes", primary codes.
fn primary(code: i32, words: &str) -> KeepError {
    let unreachable = |what: &str| KeepError::Unreachable(format!("{what} ({words})"));
    match code {
        3 | 23 => unreachable("the ledger's file may not be used by you"),
        5 | 6 => unreachable(ANOTHER_WRITES),
        8 => unreachable("the ledger's file cannot be written"),
        10 => unreachable("the disk under the ledger cannot be read or written"),
        13 => unreachable("the disk under the ledger is full"),
        14 => unreachable("the ledger's file cannot be opened or made"),
        11 => KeepError::Damaged(format!("the ledger's file is damaged ({words})")),
        26 => KeepError::Damaged(format!("this file is not a ledger ({words})")),
        _ => unreachable("the ledger refused"),
    }
}

/// What the database said.
pub fn said(error: sqlx::Error) -> KeepError {
    match error {
        sqlx::Error::Database(fault) => {
            // The lowest eight bits of an extended code are the primary one.
            let code = fault
                .code()
                .and_then(|code| code.parse::<i32>().ok())
                .unwrap_or_default();
            primary(code & 0xff, fault.message())
        }
        sqlx::Error::PoolTimedOut => KeepError::Unreachable("the ledger was busy for too long".into()),
        sqlx::Error::PoolClosed => KeepError::Unreachable("the ledger was closed".into()),
        error @ (sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_)) => {
            KeepError::Damaged(format!("what the ledger holds cannot be read: {error}"))
        }
        error => KeepError::Unreachable(format!("the ledger could not be asked: {error}")),
    }
}

/// A fault while the tables are made or held against this program's.
pub fn of_migration(error: MigrateError) -> KeepError {
    match error {
        MigrateError::VersionMissing(version) => KeepError::Newer(format!(
            "the ledger was written by a newer program (its tables are of {version}, unknown here)"
        )),
        MigrateError::Execute(fault) | MigrateError::ExecuteMigration(fault, _) => said(fault),
        error => KeepError::Damaged(format!("the ledger's tables are not this program's: {error}")),
    }
}
