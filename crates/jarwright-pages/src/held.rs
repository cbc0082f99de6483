//! Answers held ready: the one longest unused goes first.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Answers by what was asked.
#[derive(Debug)]
pub(crate) struct Held<T> {
    most: usize,
    inside: Mutex<Inside<T>>,
}

#[derive(Debug)]
struct Inside<T> {
    by_question: HashMap<String, (u64, Arc<T>)>,
    turn: u64,
}

impl<T> Held<T> {
    /// Holds so many at most.
    pub(crate) fn new(most: usize) -> Self {
        Self {
            most,
            inside: Mutex::new(Inside {
                by_question: HashMap::new(),
                turn: 0,
            }),
        }
    }

    /// The answer to a question, if it is held.
    pub(crate) fn get(&self, question: &str) -> Option<Arc<T>> {
        let mut inside = self.inside.lock().unwrap_or_else(PoisonError::into_inner);
        inside.turn += 1;
        let turn = inside.turn;
        inside.by_question.get_mut(question).map(|(used, answer)| {
            *used = turn;
            Arc::clone(answer)
        })
    }

    /// Holds an answer.
    pub(crate) fn put(&self, question: String, answer: Arc<T>) {
        let mut inside = self.inside.lock().unwrap_or_else(PoisonError::into_inner);
        inside.turn += 1;
        let turn = inside.turn;
        if inside.by_question.len() >= self.most && !inside.by_question.contains_key(&question) {
            let oldest = inside
                .by_question
                .iter()
                .min_by_key(|(_, (used, _))| *used)
                .map(|(key, _)| key.clone());
            if let Some(oldest) = oldest {
                inside.by_question.remove(&oldest);
            }
        }
        inside.by_question.insert(question, (turn, answer));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_one_longest_unused_goes_first() {
        let held = Held::new(2);
        held.put("a".into(), Arc::new(1));
        held.put("b".into(), Arc::new(2));
        assert_eq!(held.get("a").as_deref(), Some(&1));
        held.put("c".into(), Arc::new(3));
        assert_eq!(held.get("b"), None);
        assert_eq!(
            (held.get("a").as_deref(), held.get("c").as_deref()),
            (Some(&1), Some(&3))
        );
        held.put("c".into(), Arc::new(4));
        assert_eq!(
            (held.get("a").as_deref(), held.get("c").as_deref()),
            (Some(&1), Some(&4))
        );
    }
}
