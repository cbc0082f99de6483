//! Any text comes back as it went in, and a ledger answers as a keeper without a disk does.

mod common;

use std::cell::Cell;

use common::{Any, at, name, run, runtime, text, who};
use jarwright_kitchen::ports::{Draft, Hash, KeepError, Keeper, Kept, MOST_TEXT_BYTES, Memory, Name, Text};
use jarwright_ledger::Ledger;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

/// Texts with what breaks careless keepers: quotes, comment signs, NUL, line ends, any script.
fn any_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("'".to_owned()),
        Just("\"".to_owned()),
        Just("--".to_owned()),
        Just("$1".to_owned()),
        Just("\\".to_owned()),
        Just("\r\n".to_owned()),
        Just("\u{feff}".to_owned()),
        Just("e\u{301}".to_owned()),
        Just("\0".to_owned()),
        any::<String>(),
        any::<char>().prop_map(String::from),
    ];
    prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
}

#[test]
fn any_text_comes_back_as_it_went_in() -> Result<(), Any> {
    let runtime = runtime();
    let ledger = runtime.block_on(Ledger::in_memory())?;
    let count = Cell::new(0_u32);
    let config = ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    TestRunner::new(config).run(&any_text(), |words| {
        let Ok(text) = Text::new(words.as_str()) else {
            prop_assert!(words.contains('\0'), "only a NUL is refused");
            return Ok(());
        };
        prop_assert!(!words.contains('\0'));
        count.set(count.get() + 1);
        let draft = Draft {
            kind: Kept::Run,
            name: name(&format!("text-{}", count.get())),
            text,
            after: None,
            by: who("Mira"),
            at: at(0),
        };
        let kept = runtime.block_on(async {
            let saved = ledger.save(draft).await?;
            let back = ledger.newest(Kept::Run, &saved.name).await?;
            Ok::<_, KeepError>((saved, back))
        });
        let (saved, back) = kept.map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert_eq!(back.as_ref().map(|back| back.text.as_str()), Some(words.as_str()));
        prop_assert_eq!(saved.hash(), Hash::of(&words));
        Ok(())
    })?;
    assert!(count.get() > 0, "some were kept");
    Ok(())
}

#[test]
fn the_largest_text_comes_back_as_it_went_in() -> Result<(), Any> {
    run(async {
        let ledger = Ledger::in_memory().await?;
        let draft = Draft {
            kind: Kept::Stores,
            name: name("stores"),
            text: Text::new("é".repeat(MOST_TEXT_BYTES / 2))?,
            after: None,
            by: who("Mira"),
            at: at(0),
        };
        let saved = ledger.save(draft.clone()).await?;
        assert_eq!(ledger.content(&saved.hash()).await?, Some(draft.text));
        Ok(())
    })
}

/// What may be asked of a keeper, on few names and texts so that they meet.
#[derive(Debug, Clone)]
enum Step {
    Save(Name, Text, Option<u64>),
    Withdraw(Name, u64),
    Answer(Text, Text),
}

fn step() -> impl Strategy<Value = Step> {
    let names = prop::sample::select(vec![name("a"), name("b"), name("ä"), name("Ж".to_lowercase().as_str())]);
    let texts = || prop::sample::select(["", "x", "y", "z"].map(text).to_vec());
    prop_oneof![
        4 => (names.clone(), texts(), prop::option::of(0_u64..5)).prop_map(|(n, t, a)| Step::Save(n, t, a)),
        1 => (names, 0_u64..5).prop_map(|(n, a)| Step::Withdraw(n, a)),
        1 => (texts(), texts()).prop_map(|(r, a)| Step::Answer(r, a)),
    ]
}

async fn take(keeper: &dyn Keeper, step: &Step, s: i64) -> String {
    match step {
        Step::Save(name, text, after) => {
            let draft = Draft {
                kind: Kept::Formula,
                name: name.clone(),
                text: text.clone(),
                after: *after,
                by: who("Mira"),
                at: at(s),
            };
            format!("{:?}", keeper.save(draft).await)
        }
        Step::Withdraw(name, after) => {
            format!(
                "{:?}",
                keeper.withdraw(Kept::Formula, name, *after, &who("Jon"), at(s)).await
            )
        }
        Step::Answer(run, answer) => {
            let program = who("jarwright");
            format!("{:?}", keeper.keep_answer(&run.hash(), &program, answer.as_str()).await)
        }
    }
}

async fn whole(keeper: &dyn Keeper) -> Result<String, KeepError> {
    let mut told = format!("{:?}", keeper.all(Kept::Formula).await?);
    for each in ["a", "b", "ä", "ж"] {
        told += &format!("{:?}", keeper.history(Kept::Formula, &name(each)).await?);
    }
    Ok(told)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_ledger_answers_as_a_keeper_without_a_disk_does(steps in prop::collection::vec(step(), 1..30)) {
        run(async {
            let (memory, ledger) = (Memory::new(), Ledger::in_memory().await.expect("a ledger"));
            for (s, step) in (0..).zip(&steps) {
                prop_assert_eq!(take(&memory, step, s).await, take(&ledger, step, s).await);
            }
            prop_assert_eq!(whole(&memory).await, whole(&ledger).await);
            Ok(())
        })?;
    }
}
