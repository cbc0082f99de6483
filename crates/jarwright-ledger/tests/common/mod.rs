//! What the tests of this crate share.
#![allow(dead_code, reason = "each test file uses its part")]
#![allow(clippy::expect_used, reason = "what a test makes for itself is made right")]

use std::future::Future;
use std::path::Path;

use jarwright_kitchen::ports::{Draft, Kept, Name, Text, Who};
use jiff::Timestamp;
use sqlx::ConnectOptions;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use tokio::runtime::{Builder, Runtime};

/// What stops a test.
pub type Any = Box<dyn std::error::Error>;

/// What futures run on; a ledger without a file lives as long as the one it was opened on.
pub fn runtime() -> Runtime {
    let mut builder = Builder::new_multi_thread();
    builder.worker_threads(2).enable_all().build().expect("a runtime")
}

/// Runs to the end.
pub fn run<T>(future: impl Future<Output = T>) -> T {
    runtime().block_on(future)
}

/// A ledger's file as another program would open it.
pub async fn by_hand(file: &Path) -> Result<SqliteConnection, sqlx::Error> {
    let options = SqliteConnectOptions::new().filename(file).create_if_missing(true);
    options.connect().await
}

/// A name.
pub fn name(name: &str) -> Name {
    Name::new(name).expect("a name")
}

/// A person.
pub fn who(who: &str) -> Who {
    Who::new(who).expect("a person")
}

/// A text.
pub fn text(text: &str) -> Text {
    Text::new(text).expect("a text")
}

/// A time [s] after noon.
pub fn at(s: i64) -> Timestamp {
    Timestamp::from_second(1_795_000_000 + s).expect("a time")
}

/// A formula called "lime-curd".
pub fn curd(words: &str, after: Option<u64>) -> Draft {
    Draft {
        kind: Kept::Formula,
        name: name("lime-curd"),
        text: text(words),
        after,
        by: who("Mira"),
        at: at(0),
    }
}
