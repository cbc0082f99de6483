//! The lock of the door: a passphrase, and who has come in with it.
//!
//! Only a hash of the passphrase is held (argon2id); it is compared away from the threads that
//! answer, one at a time. Wrong tries cost turns, by address and over all; whoever is inside stays
//! inside meanwhile. Nothing of a try is written anywhere.

use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use argon2::{Algorithm, Argon2, Params, Version};
use tokio::sync::Semaphore;

use super::pace::{Pace, Paces, Peer};
use super::visit::{Key, Visit, random, same};

/// Fewest characters of a passphrase. NIST SP 800-63B asks for 8 at least; a word that is not
/// changed for years has more.
pub const LEAST_CHARACTERS: usize = 12;
/// Most bytes of a passphrase.
pub const MOST_BYTES: usize = 1024;

/// Memory [KiB], passes and lanes of the hash: the second choice of OWASP's Password Storage Cheat
/// Sheet for argon2id (19 MiB, 2, 1).
const COST: (u32, u32, u32) = (19 * 1024, 2, 1);

/// A stay ends when nothing was asked for so long.
const IDLE: Duration = Duration::from_secs(12 * 3600);
/// A stay ends in any case after so long.
const LONGEST: Duration = Duration::from_secs(7 * 24 * 3600);
/// Most stays at the same time; the one longest idle ends first.
const MOST_STAYS: usize = 500;

/// Tries of one address.
const OF_ONE: Pace = Pace {
    at_once: 5,
    each: Duration::from_secs(30),
};
/// Tries of all addresses but this machine's own, which can always be tried from.
const OF_ALL: Pace = Pace {
    at_once: 30,
    each: Duration::from_secs(5),
};

/// A passphrase as it is held: its hash.
pub struct Passphrase {
    salt: [u8; 16],
    hash: [u8; 32],
}

/// Why a text is no passphrase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// Too few characters.
    Short,
    /// Too many bytes.
    Long,
    /// A tab, a line break or another control character.
    Control,
    /// It could not be hashed: no memory.
    Hash,
}

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Short => write!(f, "has fewer than {LEAST_CHARACTERS} characters"),
            Self::Long => write!(f, "has more than {MOST_BYTES} bytes"),
            Self::Control => f.write_str("has a tab, a second line or another control character in it"),
            Self::Hash => f.write_str("could not be hashed: too little memory"),
        }
    }
}

impl std::error::Error for Unfit {}

impl fmt::Debug for Passphrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Passphrase")
    }
}

impl Passphrase {
    /// A passphrase of its words; only their hash stays.
    ///
    /// # Errors
    /// [`Unfit`] for one too short, too long or of more than one line.
    pub fn new(words: &str) -> Result<Self, Unfit> {
        if words.len() > MOST_BYTES {
            return Err(Unfit::Long);
        }
        if words.chars().any(char::is_control) {
            return Err(Unfit::Control);
        }
        // What is trimmed from a form is no part of it.
        if words.trim().chars().count() < LEAST_CHARACTERS {
            return Err(Unfit::Short);
        }
        let salt = random();
        let hash = hash(words.trim(), &salt).ok_or(Unfit::Hash)?;
        Ok(Self { salt, hash })
    }

    /// Whether these are its words; keeps a core busy for a while.
    fn is(&self, words: &str) -> bool {
        words.len() <= MOST_BYTES && hash(words.trim(), &self.salt).is_some_and(|hash| same(hash, self.hash))
    }
}

fn hash(words: &str, salt: &[u8]) -> Option<[u8; 32]> {
    let (memory, passes, lanes) = COST;
    let mut hash = [0; 32];
    let params = Params::new(memory, passes, lanes, Some(hash.len())).ok()?;
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(words.as_bytes(), salt, &mut hash)
        .ok()?;
    Some(hash)
}

#[derive(Debug, Clone, Copy)]
struct Stay {
    since: Instant,
    seen: Instant,
}

/// What came of a try.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tried {
    /// Right: the visit that is inside from now on.
    Inside(Visit),
    /// Wrong.
    Wrong,
    /// Not looked at: too many tries. The time until the next is looked at.
    Wait(Duration),
}

/// The lock.
#[derive(Debug)]
pub struct Lock {
    passphrase: Arc<Passphrase>,
    stays: Mutex<HashMap<String, Stay>>,
    of_one: Paces,
    of_all: Paces,
    comparing: Semaphore,
}

impl Lock {
    /// A lock that this passphrase opens.
    #[must_use]
    pub fn new(passphrase: Passphrase) -> Self {
        Self {
            passphrase: Arc::new(passphrase),
            stays: Mutex::default(),
            of_one: Paces::new(OF_ONE),
            of_all: Paces::new(OF_ALL),
            comparing: Semaphore::new(1),
        }
    }

    /// Whether a visit is inside; being asked keeps it there.
    #[must_use]
    pub fn has_inside(&self, visit: &Visit, now: Instant) -> bool {
        let mut stays = self.stays();
        let Some(stay) = stays.get_mut(visit.id()) else {
            return false;
        };
        let over = now.duration_since(stay.seen) >= IDLE || now.duration_since(stay.since) >= LONGEST;
        if over {
            stays.remove(visit.id());
        } else {
            stay.seen = now;
        }
        !over
    }

    /// Tries a passphrase; a right one brings in a new visit, so that no address planted before is
    /// worth anything.
    pub async fn try_words(&self, words: &str, peer: Peer, old: &Visit, key: &Key) -> Tried {
        let now = Instant::now();
        if let Err(wait) = self.of_one.take(peer, now) {
            return Tried::Wait(wait);
        }
        if peer != Peer::HERE
            && let Err(wait) = self.of_all.take(Peer::HERE, now)
        {
            return Tried::Wait(wait);
        }
        let Ok(_one) = self.comparing.acquire().await else {
            return Tried::Wrong;
        };
        let (passphrase, words) = (Arc::clone(&self.passphrase), words.to_owned());
        let right = tokio::task::spawn_blocking(move || passphrase.is(&words)).await;
        if !matches!(right, Ok(true)) {
            return Tried::Wrong;
        }
        self.of_one.forgive(peer);
        self.leave(old);
        let visit = Visit::begin(key);
        self.admit(&visit, now);
        Tried::Inside(visit)
    }

    fn admit(&self, visit: &Visit, now: Instant) {
        let mut stays = self.stays();
        if stays.len() >= MOST_STAYS
            && let Some(idle) = stays.iter().min_by_key(|(_, stay)| stay.seen).map(|(id, _)| id.clone())
        {
            stays.remove(&idle);
        }
        stays.insert(visit.id().to_owned(), Stay { since: now, seen: now });
    }

    /// Ends a visit's stay.
    pub fn leave(&self, visit: &Visit) {
        self.stays().remove(visit.id());
    }

    fn stays(&self) -> MutexGuard<'_, HashMap<String, Stay>> {
        self.stays.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORDS: &str = "seven jars of quince";

    fn lock() -> Lock {
        Lock::new(Passphrase::new(WORDS).unwrap_or_else(|unfit| panic!("{unfit}")))
    }

    #[test]
    fn a_passphrase_is_known_by_its_words_alone() {
        let lock = lock();
        assert!(lock.passphrase.is(WORDS));
        assert!(!lock.passphrase.is("seven jars of quincE"));
        assert!(!lock.passphrase.is(""));
        assert!(!lock.passphrase.is(&"x".repeat(MOST_BYTES + 1)));
        assert!(!format!("{lock:?}").contains("quince"));
    }

    /// Made with the Argon2id of the Python package cryptography 48.0.0 (OpenSSL), RFC 9106.
    #[test]
    fn the_hash_is_argon2id_as_another_library_makes_it() {
        let made = hash("seven jars of quince", b"0123456789abcdef").unwrap_or_default();
        let hex: String = made.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(hex, "e83f77c04e71a2ca998c19a28d43abb4cb5af3f67e62d60cadbf903009baa0f2");
    }

    #[test]
    fn what_is_short_long_or_of_two_lines_is_no_passphrase() {
        assert_eq!(Passphrase::new("elevenchars").err(), Some(Unfit::Short));
        assert_eq!(Passphrase::new("           x            ").err(), Some(Unfit::Short));
        assert_eq!(Passphrase::new(&"x".repeat(MOST_BYTES + 1)).err(), Some(Unfit::Long));
        assert_eq!(Passphrase::new("seven jars\nof quince").err(), Some(Unfit::Control));
    }

    #[test]
    fn a_stay_ends_after_twelve_idle_hours_or_a_week() {
        let (lock, key, start) = (lock(), Key::new(), Instant::now());
        let hours = |n: u64| start + Duration::from_secs(n * 3600);
        let idle = Visit::begin(&key);
        lock.admit(&idle, start);
        assert!(lock.has_inside(&idle, hours(11)));
        assert!(lock.has_inside(&idle, hours(22)));
        assert!(!lock.has_inside(&idle, hours(34)));
        assert!(!lock.has_inside(&idle, hours(34)));
        let busy = Visit::begin(&key);
        lock.admit(&busy, start);
        let last = (1..400).take_while(|n| lock.has_inside(&busy, hours(*n))).last();
        assert_eq!(last, Some(7 * 24 - 1));
    }

    #[test]
    fn stays_are_bounded_and_the_longest_idle_ends_first() {
        let (lock, key, start) = (lock(), Key::new(), Instant::now());
        let visits: Vec<Visit> = (0..=MOST_STAYS).map(|_| Visit::begin(&key)).collect();
        for (n, visit) in (0..).zip(&visits) {
            lock.admit(visit, start + Duration::from_secs(n));
        }
        let now = start + Duration::from_secs(3600);
        assert!(!lock.has_inside(&visits[0], now) && lock.has_inside(&visits[1], now));
    }
}
