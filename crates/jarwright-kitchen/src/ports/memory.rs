//! A keeper without a disk: what it keeps is gone when it is.
//!
//! For tests, and the plainest telling of what a keeper does.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use jiff::Timestamp;

use super::{
    Draft, Entry, Hash, KeepError, Keeper, Kept, Last, MOST_HISTORY, MOST_NAMES, Name, Pending, Text, Version, Who,
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

    fn last(&self, kind: Kept, name: &Name) -> Last {
        match self.entries(kind, name).last() {
            None => Last::Never,
            Some(entry) => match self.read(kind, name, entry) {
                Some(version) => Last::Saved(version),
                None => Last::Withdrawn(entry.clone()),
            },
        }
    }

    fn all(&self, kind: Kept) -> Vec<Version> {
        self.versions
            .iter()
            .filter(|((of, _), _)| *of == kind)
            .filter_map(|((_, name), entries)| self.read(kind, name, entries.last()?))
            .collect()
    }

    /// How many names of a kind stand.
    fn count(&self, kind: Kept) -> usize {
        let stands = |entries: &Vec<Entry>| entries.last().is_some_and(|entry| entry.hash.is_some());
        let all = self.versions.iter();
        all.filter(|((of, _), entries)| *of == kind && stands(entries)).count()
    }

    fn add(&mut self, kind: Kept, name: &Name, entry: Entry) {
        self.versions.entry((kind, name.clone())).or_default().push(entry);
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
        let last = self.last(kind, &name);
        if let Last::Saved(same) = &last
            && same.text == text
        {
            return Ok(same.clone());
        }
        let number = last.next(kind, &name, after)?;
        if after.is_none() && self.count(kind) >= MOST_NAMES {
            return Err(KeepError::Full { kind });
        }
        let saved = to_the_microsecond(at)?;
        self.texts.insert(text.hash(), text.clone());
        let entry = Entry {
            number,
            hash: Some(text.hash()),
            saved,
            by: by.clone(),
        };
        self.add(kind, &name, entry);
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
        Box::pin(async move { Ok(self.held().last(kind, name).standing()) })
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

    fn keep_text<'a>(&'a self, text: &'a Text) -> Pending<'a, ()> {
        Box::pin(async move {
            self.held().texts.insert(text.hash(), text.clone());
            Ok(())
        })
    }

    fn save(&self, draft: Draft) -> Pending<'_, Version> {
        Box::pin(async move { self.held().save(draft) })
    }

    fn withdraw<'a>(&'a self, kind: Kept, name: &'a Name, after: u64, by: &'a Who, at: Timestamp) -> Pending<'a, u64> {
        Box::pin(async move {
            let mut held = self.held();
            let number = held.last(kind, name).next(kind, name, Some(after))?;
            let entry = Entry {
                number,
                hash: None,
                saved: to_the_microsecond(at)?,
                by: by.clone(),
            };
            held.add(kind, name, entry);
            Ok(number)
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
