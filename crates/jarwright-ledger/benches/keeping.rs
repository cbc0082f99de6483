//! How long a ledger takes to be opened, to save and to read, with 1,000 formulas of 4 kB in it.
//!
//! Targets on a two-core server: opened within 20 ms, however large the file; one saved within 5 ms, nearly all
//! of it the disk's own sync, which `a_sync_of_the_disk` shows beside it; read within 0.2 ms; all
//! 1,000 within 30 ms. `cargo bench -p jarwright-ledger`.

#![allow(clippy::expect_used, reason = "what a bench makes for itself is made right")]

use std::fs::File;
use std::io::Write;
use std::path::PathBuf;

use divan::Bencher;
use jarwright_kitchen::ports::{Draft, Keeper, Kept, Name, Text, Who};
use jarwright_ledger::{FILE_NAME, Ledger};
use jiff::Timestamp;
use tempfile::TempDir;
use tokio::runtime::Runtime;

fn main() {
    divan::main();
}

const FORMULAS: usize = 1_000;

/// A formula's usual length [bytes].
const LENGTH: usize = 4_096;

/// A draft of some words and as many blanks.
fn draft(name: &str, words: String, length: usize, after: Option<u64>) -> Draft {
    Draft {
        kind: Kept::Formula,
        name: Name::new(name).expect("a name"),
        text: Text::new(words + &" ".repeat(length)).expect("a text"),
        after,
        by: Who::new("bench").expect("a name"),
        at: Timestamp::UNIX_EPOCH,
    }
}

struct Filled {
    runtime: Runtime,
    folder: TempDir,
    ledger: Ledger,
}

impl Filled {
    fn new() -> Self {
        Self::of(FORMULAS, LENGTH)
    }

    fn of(formulas: usize, length: usize) -> Self {
        let runtime = Runtime::new().expect("a runtime");
        let folder = tempfile::tempdir().expect("a folder");
        let ledger = runtime.block_on(async {
            let ledger = Ledger::open(&folder.path().join(FILE_NAME)).await.expect("a ledger");
            for number in 0..formulas {
                let draft = draft(&format!("formula-{number}"), number.to_string(), length, None);
                let saved = ledger.save(draft);
                saved.await.expect("a version");
            }
            ledger
        });
        Self {
            runtime,
            folder,
            ledger,
        }
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join(FILE_NAME)
    }
}

/// With many formulas; with 7 MB of large texts, which are looked through; with 100 MB, which are not.
#[divan::bench(sample_count = 20, args = [(FORMULAS, LENGTH), (7, 1_000_000), (100, 1_000_000)])]
fn open(bencher: Bencher, (formulas, length): (usize, usize)) {
    let filled = Filled::of(formulas, length);
    bencher.bench_local(|| {
        let opened = filled.runtime.block_on(Ledger::open(&filled.file()));
        filled.runtime.block_on(opened.expect("a ledger").close());
    });
}

#[divan::bench(sample_count = 200, sample_size = 1)]
fn save(bencher: Bencher) {
    let filled = Filled::new();
    let mut after = Some(1);
    bencher.bench_local(|| {
        let words = format!("after {after:?}");
        let saved = filled
            .runtime
            .block_on(filled.ledger.save(draft("formula-500", words, LENGTH, after)));
        after = Some(saved.expect("a version").number);
    });
}

/// What no save can be quicker than: as much appended to a file, and synced.
#[divan::bench(sample_count = 200, sample_size = 1)]
fn a_sync_of_the_disk(bencher: Bencher) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = File::create(folder.path().join("file")).expect("a file");
    let page = [b'x'; LENGTH];
    bencher.bench_local(|| {
        file.write_all(&page).expect("room");
        file.sync_data().expect("a disk");
    });
}

#[divan::bench]
fn read_one(bencher: Bencher) {
    let filled = Filled::new();
    let name = Name::new("formula-500").expect("a name");
    bencher.bench_local(|| {
        let newest = filled.runtime.block_on(filled.ledger.newest(Kept::Formula, &name));
        newest.expect("a ledger").expect("a version")
    });
}

#[divan::bench(sample_count = 20)]
fn read_all(bencher: Bencher) {
    let filled = Filled::new();
    bencher.bench_local(|| {
        let all = filled.runtime.block_on(filled.ledger.all(Kept::Formula));
        assert_eq!(all.expect("a ledger").len(), FORMULAS);
    });
}
