//! How often one address may ask: a store of turns for each, used up by asking, filled by waiting.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv6Addr};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// Most addresses that are counted one by one; more of them share one store.
const MOST_PEERS: usize = 10_000;

/// Who asks: an address; of IPv6 the network of 64 bits, which one household has to itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Peer(IpAddr);

impl Peer {
    /// This machine itself.
    pub const HERE: Self = Self(IpAddr::V6(Ipv6Addr::LOCALHOST));
    /// Everybody for whom there is no store of their own any more.
    const CROWD: Self = Self(IpAddr::V6(Ipv6Addr::UNSPECIFIED));

    /// The peer of an address.
    #[must_use]
    pub fn of(address: IpAddr) -> Self {
        match address.to_canonical() {
            loopback if loopback.is_loopback() => Self::HERE,
            IpAddr::V6(long) => Self(IpAddr::V6(Ipv6Addr::from_bits(long.to_bits() >> 64 << 64))),
            IpAddr::V4(short) => Self(IpAddr::V4(short)),
        }
    }
}

/// A pace: so many at once, then one each so often.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pace {
    /// Turns of a full store, 1 or more.
    pub at_once: u32,
    /// Time in which one turn comes back.
    pub each: Duration,
}

/// The stores of every peer at one pace.
///
/// Kept as the time at which each store will be full again: one number a peer, and a full store is
/// as good as none.
#[derive(Debug)]
pub struct Paces {
    pace: Pace,
    full_at: Mutex<HashMap<Peer, Instant>>,
}

impl Paces {
    /// Full stores at a pace.
    #[must_use]
    pub fn new(pace: Pace) -> Self {
        Self {
            pace,
            full_at: Mutex::default(),
        }
    }

    /// Takes a turn of a peer.
    ///
    /// # Errors
    /// The time until there is a turn again.
    pub fn take(&self, peer: Peer, now: Instant) -> Result<(), Duration> {
        let mut stores = self.stores();
        let peer = if stores.len() < MOST_PEERS || stores.contains_key(&peer) {
            peer
        } else {
            stores.retain(|_, full_at| *full_at > now);
            if stores.len() < MOST_PEERS { peer } else { Peer::CROWD }
        };
        let full_at = stores.get(&peer).map_or(now, |full_at| (*full_at).max(now));
        let missing = full_at.duration_since(now);
        let most_missing = self.pace.each * self.pace.at_once.saturating_sub(1);
        if missing > most_missing {
            return Err(missing.saturating_sub(most_missing));
        }
        stores.insert(peer, full_at + self.pace.each);
        Ok(())
    }

    /// Fills the store of a peer.
    pub fn forgive(&self, peer: Peer) {
        self.stores().remove(&peer);
    }

    fn stores(&self) -> MutexGuard<'_, HashMap<Peer, Instant>> {
        self.full_at.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PACE: Pace = Pace {
        at_once: 3,
        each: Duration::from_secs(10),
    };

    fn peer(address: &str) -> Peer {
        Peer::of(address.parse().unwrap_or_else(|_| panic!("{address} is no address")))
    }

    #[test]
    fn a_store_gives_its_turns_at_once_and_then_one_each_so_often() {
        let (paces, one, start) = (Paces::new(PACE), peer("192.0.2.1"), Instant::now());
        for _ in 0..3 {
            assert_eq!(paces.take(one, start), Ok(()));
        }
        assert_eq!(paces.take(one, start), Err(Duration::from_secs(10)));
        let later = |seconds| start + Duration::from_secs(seconds);
        assert_eq!(paces.take(one, later(9)), Err(Duration::from_secs(1)));
        assert_eq!(paces.take(one, later(10)), Ok(()));
        assert_eq!(paces.take(one, later(10)), Err(Duration::from_secs(10)));
        for _ in 0..3 {
            assert_eq!(paces.take(one, later(1000)), Ok(()));
        }
        assert!(paces.take(one, later(1000)).is_err());
    }

    #[test]
    fn one_peers_haste_is_not_anothers_and_can_be_forgiven() {
        let (paces, now) = (Paces::new(PACE), Instant::now());
        let (one, other) = (peer("192.0.2.1"), peer("192.0.2.2"));
        while paces.take(one, now).is_ok() {}
        assert_eq!(paces.take(other, now), Ok(()));
        paces.forgive(one);
        assert_eq!(paces.take(one, now), Ok(()));
    }

    #[test]
    fn a_network_of_64_bits_is_one_peer_and_loopback_is_here() {
        assert_eq!(peer("2001:db8::1"), peer("2001:db8::ffff:1"));
        assert_ne!(peer("2001:db8::1"), peer("2001:db8:0:1::1"));
        assert_eq!(peer("::ffff:192.0.2.1"), peer("192.0.2.1"));
        assert_eq!(peer("127.0.0.1"), Peer::HERE);
        assert_eq!(peer("::1"), Peer::HERE);
    }

    #[test]
    fn more_peers_than_are_counted_share_one_store() {
        let (paces, now) = (Paces::new(PACE), Instant::now());
        for number in 0..MOST_PEERS {
            let bits = u32::try_from(number).unwrap_or_default() + (10 << 24);
            assert_eq!(paces.take(Peer::of(IpAddr::V4(bits.into())), now), Ok(()));
        }
        let refused = (0..10).filter(|last| paces.take(peer(&format!("192.0.2.{last}")), now).is_err());
        assert_eq!(refused.count(), 7);
        assert!(paces.stores().len() <= MOST_PEERS + 1);
        let later = now + Duration::from_secs(60);
        assert_eq!(paces.take(peer("192.0.2.99"), later), Ok(()));
        assert!(paces.stores().len() < 10);
    }
}
