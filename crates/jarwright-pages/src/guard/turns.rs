//! Who computes: a core each, and what is only tried never takes the last turn from a page.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::trouble::Trouble;

/// Most computations that wait for a turn; the next is refused.
const MOST_WAITING: usize = 128;
/// Longest wait for a turn.
const LONGEST_WAIT: Duration = Duration::from_secs(20);

tokio::task_local! {
    /// Set while a request is answered that only tries something.
    static TRYING: ();
}

/// Answers a request that only tries something: what it computes leaves a turn for pages.
pub(crate) async fn trying<T>(answer: impl Future<Output = T>) -> T {
    TRYING.scope((), answer).await
}

/// Turns of everything that computes.
#[derive(Debug)]
pub(crate) struct Turns {
    all: Arc<Semaphore>,
    tries: Arc<Semaphore>,
    waiting: AtomicUsize,
}

/// A turn, held until the work is done.
type Turn = (OwnedSemaphorePermit, Option<OwnedSemaphorePermit>);

impl Turns {
    /// As many turns for tries as there are cores, and one more that only pages take.
    pub(crate) fn of_cores(cores: usize) -> Self {
        Self {
            all: Arc::new(Semaphore::new(cores + 1)),
            tries: Arc::new(Semaphore::new(cores)),
            waiting: AtomicUsize::new(0),
        }
    }

    /// Computes when it is its turn, away from the threads that answer. Work that has begun runs to
    /// its end and holds its turn, also when nobody waits for it any more.
    ///
    /// # Errors
    /// [`Trouble::TooMany`] when too many wait, or it waited too long; what the work says; our own
    /// fault when it broke off.
    pub(crate) async fn compute<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T, Trouble> + Send + 'static,
    ) -> Result<T, Trouble> {
        let turn = self.wait().await?;
        tokio::task::spawn_blocking(move || {
            let _held = turn;
            work()
        })
        .await
        .map_err(|_| Trouble::Ours {
            what: "the computation broke off".into(),
        })?
    }

    async fn wait(&self) -> Result<Turn, Trouble> {
        let _place = Place::among(&self.waiting).ok_or(Trouble::TooMany)?;
        let turn = async {
            let tried = match TRYING.try_with(|()| ()) {
                Ok(()) => Some(Arc::clone(&self.tries).acquire_owned().await?),
                Err(_) => None,
            };
            Ok((Arc::clone(&self.all).acquire_owned().await?, tried))
        };
        match tokio::time::timeout(LONGEST_WAIT, turn).await {
            Ok(Ok(turn)) => Ok(turn),
            Ok(Err::<_, tokio::sync::AcquireError>(_)) | Err(_) => Err(Trouble::TooMany),
        }
    }
}

/// A place among those who wait, given back however the waiting ends.
struct Place<'a>(&'a AtomicUsize);

impl<'a> Place<'a> {
    fn among(waiting: &'a AtomicUsize) -> Option<Self> {
        let before = waiting.fetch_add(1, Ordering::Relaxed);
        let place = Self(waiting);
        (before < MOST_WAITING).then_some(place)
    }
}

impl Drop for Place<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn tries_that_fill_every_core_leave_a_turn_for_a_page() {
        let turns = Arc::new(Turns::of_cores(2));
        let (let_go, gate) = std::sync::mpsc::channel::<()>();
        let gate = Arc::new(std::sync::Mutex::new(gate));
        let tries: Vec<_> = (0..5)
            .map(|_| {
                let (turns, gate) = (Arc::clone(&turns), Arc::clone(&gate));
                tokio::spawn(TRYING.scope((), async move {
                    turns
                        .compute(move || {
                            let _ = gate.lock().map(|gate| gate.recv());
                            Ok(())
                        })
                        .await
                }))
            })
            .collect();
        while turns.tries.available_permits() > 0 {
            tokio::task::yield_now().await;
        }
        assert_eq!(turns.compute(|| Ok(7)).await, Ok(7));
        drop(let_go);
        for tried in tries {
            assert!(matches!(tried.await, Ok(Ok(()))));
        }
        assert_eq!(turns.tries.available_permits(), 2);
        assert_eq!(turns.waiting.load(Ordering::Relaxed), 0);
    }

    #[tokio::test]
    async fn more_than_may_wait_are_refused_and_a_panic_gives_its_turn_back() {
        let turns = Turns::of_cores(1);
        turns.waiting.store(MOST_WAITING, Ordering::Relaxed);
        assert_eq!(turns.compute(|| Ok(())).await, Err(Trouble::TooMany));
        turns.waiting.store(0, Ordering::Relaxed);
        let broke: Result<(), Trouble> = turns.compute(|| panic!("trace")).await;
        assert!(matches!(broke, Err(Trouble::Ours { what }) if !what.contains("trace")));
        assert_eq!(turns.all.available_permits(), 2);
    }
}
