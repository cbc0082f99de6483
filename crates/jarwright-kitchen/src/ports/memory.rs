//! A keeper without a disk: what it keeps is gone when it is.
//!
//! For tests, and the plainest telling of what a keeper does.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use jiff::Timestamp;

use super::{
    Draft, Entry, Hash, KeepError, Keeper, Kept, MOST_HISTORY, MOST_NAMES, Name, Pending, Text, Version, Who,
    answer_fits, to_the_microsecond,
};

/// A keeper without a disk.
#[derive(Debug, Default)]
pub struct Memory {
    held: Mutex<Held>,
}

#[derive(Debug, Default)]
struct Held {
    /// Every version, oldest first; number `n` at place `n - 1`.
    versions: BTreeMap<(Kept, Name), Vec<Entry>>,
    texts: HashMap<Hash, Text>,
    answers: HashMap<(Hash, Who), Arc<str>>,
}

impl Held {
    fn entries(&self, kind: Kept, name: &Name) -> &[Entry] {
        self.versions
            .get(&(kind, name.clone()))
            .map(Vec::as_slice)
            .unwrap_or_default()
    }

    fn read(&self, kind: Kept, name: &Name, entry: &Entry) -> Option<Version> {
        Some(Version {
            kind,
            name: name.clone(),
            number: entry.number,
            text: self.texts.get(&entry.hash?)?.clone(),
            saved: entry.saved,
            by: entry.by.clone(),
        })
    }

    fn standing(&self, kind: Kept, name: &Name) -> Option<Version> {
        self.read(kind, name, self.entries(kind, name).last()?)
    }

    fn all(&self, kind: Kept) -> Vec<Version> {
        self.versions
            .iter()
            .filter(|((of, _), _)| *of == kind)
            .filter_map(|((_, name), entries)| self.read(kind, name, entries.last()?))
            .collect()
    }

    /// Refuses a change that was not made from what stands.
    fn must_stand(&self, kind: Kept, name: &Name, after: Option<u64>) -> Result<(), KeepError> {
        match (self.standing(kind, name), after) {
            (None, None) => Ok(()),
            (Some(newest), after) if after == Some(newest.number) => Ok(()),
            (Some(newest), _) => Err(KeepError::Overtaken {
                newest: Box::new(newest),
            }),
            (None, Some(_)) => Err(KeepError::Withdrawn {
                kind,
                name: name.clone(),
                last: self.entries(kind, name).last().cloned(),
            }),
        }
    }

    fn add(&mut self, kind: Kept, name: &Name, hash: Option<Hash>, saved: Timestamp, by: &Who) -> u64 {
        let entries = self.versions.entry((kind, name.clone())).or_default();
        let number = entries.len() as u64 + 1;
        entries.push(Entry {
            number,
            hash,
            saved,
            by: by.clone(),
        });
        number
    }

    fn save(&mut self, draft: Draft) -> Result<Version, KeepError> {
        let Draft {
            kind,
            name,
            text,
            after,
            by,
            at,
        } = draft;
        let standing = self.standing(kind, &name);
        if let Some(same) = standing.filter(|newest| newest.text == text) {
            return Ok(same);
        }
        self.must_stand(kind, &name, after)?;
        if after.is_none() && self.all(kind).len() >= MOST_NAMES {
            return Err(KeepError::Full { kind });
        }
        let saved = to_the_microsecond(at)?;
        self.texts.insert(text.hash(), text.clone());
        let number = self.add(kind, &name, Some(text.hash()), saved, &by);
        Ok(Version {
            kind,
            name,
            number,
            text,
            saved,
            by,
        })
    }
}

impl Memory {
    /// A keeper that keeps nothing yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Every change is whole before the lock is given back, so a panic elsewhere spoils nothing.
    fn held(&self) -> MutexGuard<'_, Held> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Keeper for Memory {
    fn newest<'a>(&'a self, kind: Kept, name: &'a Name) -> Pending<'a, Option<Version>> {
        Box::pin(async move { Ok(self.held().standing(kind, name)) })
    }

    fn version<'a>(&'a self, kind: Kept, name: &'a Name, number: u64) -> Pending<'a, Option<Version>> {
        Box::pin(async move {
            let held = self.held();
            let entry = held.entries(kind, name).iter().find(|entry| entry.number == number);
            Ok(entry.and_then(|entry| held.read(kind, name, entry)))
        })
    }

    fn all(&self, kind: Kept) -> Pending<'_, Vec<Version>> {
        Box::pin(async move { Ok(self.held().all(kind)) })
    }

    fn history<'a>(&'a self, kind: Kept, name: &'a Name) -> Pending<'a, Vec<Entry>> {
        Box::pin(async move {
            let held = self.held();
            let entries = held.entries(kind, name).iter().rev();
            Ok(entries.take(MOST_HISTORY).cloned().collect())
        })
    }

    fn content<'a>(&'a self, hash: &'a Hash) -> Pending<'a, Option<Text>> {
        Box::pin(async move { Ok(self.held().texts.get(hash).cloned()) })
    }

    fn save(&self, draft: Draft) -> Pending<'_, Version> {
        Box::pin(async move { self.held().save(draft) })
    }

    fn withdraw<'a>(&'a self, kind: Kept, name: &'a Name, after: u64, by: &'a Who, at: Timestamp) -> Pending<'a, u64> {
        Box::pin(async move {
            let mut held = self.held();
            held.must_stand(kind, name, Some(after))?;
            Ok(held.add(kind, name, None, to_the_microsecond(at)?, by))
        })
    }

    fn keep_answer<'a>(&'a self, run: &'a Hash, program: &'a Who, answer: &'a str) -> Pending<'a, Arc<str>> {
        Box::pin(async move {
            answer_fits(answer)?;
            let mut held = self.held();
            if !held.texts.contains_key(run) {
                return Err(KeepError::UnknownHash(*run));
            }
            let kept = held.answers.entry((*run, program.clone()));
            Ok(Arc::clone(kept.or_insert_with(|| answer.into())))
        })
    }

    fn answer<'a>(&'a self, run: &'a Hash, program: &'a Who) -> Pending<'a, Option<Arc<str>>> {
        Box::pin(async move { Ok(self.held().answers.get(&(*run, program.clone())).cloned()) })
    }

    fn health(&self) -> Pending<'_, ()> {
        Box::pin(async { Ok(()) })
    }
}
