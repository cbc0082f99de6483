//! The socket: connections in, bounded in number and in time, over TLS where the pages leave this
//! machine.
//!
//! Read next: `guard/mod.rs`, which every request meets first.

use std::collections::HashMap;
use std::convert::Infallible;
use std::fmt;
use std::io;
use std::pin::pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use rustls::ServerConfig;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use sha2::{Digest, Sha256};
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio_rustls::TlsAcceptor;
use tower::ServiceExt;

use crate::guard::Peer;
use crate::patience::Patient;

/// Most connections at the same time; the next wait in the system's queue.
const MOST_CONNECTIONS: usize = 512;
/// Most connections of one address that is not this machine's own.
const MOST_OF_ONE: usize = 64;
/// A greeting in TLS is over in so long, or the connection is.
const LONGEST_GREETING: Duration = Duration::from_secs(10);
/// The head of a request has arrived in so long after the last answer, or the connection ends.
const LONGEST_HEAD: Duration = Duration::from_secs(20);
/// Of an answer, something is taken in so long, or the connection ends.
const LONGEST_TAKING: Duration = Duration::from_secs(30);
/// What is under way when the pages close has so long to end.
const LONGEST_GOODBYE: Duration = Duration::from_secs(10);
/// Largest head of a request [bytes].
const MOST_HEAD: usize = 64 << 10;
/// Rest after the system refused a connection: out of handles, most of the time.
const REST: Duration = Duration::from_millis(100);

/// A certificate with its key, ready to be shown.
#[derive(Clone)]
pub struct Tls {
    config: Arc<ServerConfig>,
    fingerprint: String,
}

/// Why a certificate and a key cannot be used.
#[derive(Debug)]
pub enum Unusable {
    /// One of them is no PEM of its kind.
    Pem(rustls::pki_types::pem::Error),
    /// They do not go together, or are of no kind that is known.
    Pair(rustls::Error),
}

impl fmt::Display for Unusable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pem(error) => write!(f, "no certificate and key in PEM: {error}"),
            Self::Pair(error) => write!(f, "certificate and key cannot be used: {error}"),
        }
    }
}

impl std::error::Error for Unusable {}

impl fmt::Debug for Tls {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Tls({})", self.fingerprint)
    }
}

impl Tls {
    /// Of a certificate and its private key, both in PEM.
    ///
    /// # Errors
    /// [`Unusable`] where they cannot be read or do not go together.
    pub fn new(certificate: &str, key: &str) -> Result<Self, Unusable> {
        let certificate = CertificateDer::from_pem_slice(certificate.as_bytes()).map_err(Unusable::Pem)?;
        let key = PrivateKeyDer::from_pem_slice(key.as_bytes()).map_err(Unusable::Pem)?;
        let hash = Sha256::digest(&certificate);
        let fingerprint: Vec<String> = hash.iter().map(|byte| format!("{byte:02X}")).collect();
        let mut config = ServerConfig::builder_with_provider(Arc::new(rustls::crypto::ring::default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(Unusable::Pair)?
            .with_no_client_auth()
            .with_single_cert(vec![certificate], key)
            .map_err(Unusable::Pair)?;
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok(Self {
            config: Arc::new(config),
            fingerprint: fingerprint.join(":"),
        })
    }

    /// SHA-256 of the certificate as browsers show it: 32 bytes, in hexadecimal, with colons.
    #[must_use]
    pub fn fingerprint(&self) -> &str {
        &self.fingerprint
    }
}

/// Answers on a socket until `stop` is done, then lets what is under way end.
///
/// * `tls`: what the connections are greeted with; none for a socket that only this machine reaches
///
/// # Errors
/// What the socket said before the first connection.
pub async fn listen(
    socket: TcpListener,
    tls: Option<&Tls>,
    router: Router,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    socket.local_addr()?;
    let acceptor = tls.map(|tls| TlsAcceptor::from(Arc::clone(&tls.config)));
    let (under_way, seats) = (GracefulShutdown::new(), Seats::default());
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    let mut stop = pin!(stop);
    loop {
        let next = async {
            let place = Arc::clone(&places).acquire_owned().await;
            (place, socket.accept().await)
        };
        let (place, accepted) = tokio::select! {
            () = &mut stop => break,
            next = next => next,
        };
        let Ok((stream, from)) = accepted else {
            tokio::time::sleep(REST).await;
            continue;
        };
        let peer = Peer::of(from.ip());
        let Some(seat) = seats.take(peer) else { continue };
        let (acceptor, router, watcher) = (acceptor.clone(), router.clone(), under_way.watcher());
        tokio::spawn(async move {
            greet(stream, acceptor, peer, router, watcher).await;
            drop((place, seat));
        });
    }
    drop(socket);
    // What has not ended by then is cut off: a page that listens for changes never ends by itself.
    let _ = tokio::time::timeout(LONGEST_GOODBYE, under_way.shutdown()).await;
    Ok(())
}

async fn greet(stream: TcpStream, acceptor: Option<TlsAcceptor>, peer: Peer, router: Router, watcher: Watcher) {
    // A socket that cannot be told to hurry still works.
    let _ = stream.set_nodelay(true);
    let stream = Patient::new(stream, LONGEST_TAKING);
    match acceptor {
        None => talk(stream, peer, router, watcher).await,
        Some(acceptor) => {
            if let Ok(Ok(stream)) = tokio::time::timeout(LONGEST_GREETING, acceptor.accept(stream)).await {
                talk(stream, peer, router, watcher).await;
            }
        }
    }
}

async fn talk(stream: impl AsyncRead + AsyncWrite + Unpin + 'static, peer: Peer, router: Router, watcher: Watcher) {
    let answer = service_fn(move |request: hyper::Request<Incoming>| {
        let mut request = request.map(Body::new);
        request.extensions_mut().insert(peer);
        let router = router.clone();
        async move { Ok::<_, Infallible>(router.oneshot(request).await.unwrap_or_else(|never| match never {})) }
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(LONGEST_HEAD)
        .max_buf_size(MOST_HEAD)
        .serve_connection(TokioIo::new(stream), answer);
    // A connection that breaks off is its peer's affair.
    let _ = watcher.watch(connection).await;
}

/// How many connections each peer has.
#[derive(Debug, Default, Clone)]
struct Seats {
    taken: Arc<Mutex<HashMap<Peer, usize>>>,
}

/// One connection of a peer, given back when it ends.
#[derive(Debug)]
struct Seat {
    seats: Seats,
    peer: Peer,
}

impl Seats {
    fn take(&self, peer: Peer) -> Option<Seat> {
        let mut taken = self.taken();
        let of_peer = taken.entry(peer).or_default();
        if *of_peer >= MOST_OF_ONE && peer != Peer::HERE {
            return None;
        }
        *of_peer += 1;
        Some(Seat {
            seats: self.clone(),
            peer,
        })
    }

    fn taken(&self) -> MutexGuard<'_, HashMap<Peer, usize>> {
        self.taken.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let mut taken = self.seats.taken();
        if let Some(of_peer) = taken.get_mut(&self.peer) {
            *of_peer -= 1;
            if *of_peer == 0 {
                taken.remove(&self.peer);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_peer_has_so_many_connections_and_gives_them_back() {
        let seats = Seats::default();
        let peer = Peer::of([192, 0, 2, 1].into());
        let held: Vec<Seat> = std::iter::from_fn(|| seats.take(peer)).collect();
        assert_eq!(held.len(), MOST_OF_ONE);
        let other = seats.take(Peer::of([192, 0, 2, 2].into()));
        assert!(other.is_some());
        drop((held, other));
        assert!(seats.taken().is_empty());
        let here: Vec<Option<Seat>> = (0..2 * MOST_OF_ONE).map(|_| seats.take(Peer::HERE)).collect();
        assert!(here.iter().all(Option::is_some));
    }
}
