//! Through a socket: a greeting in TLS, a page, and an end that waits for what is under way.

use std::io::{self, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::sync::Arc;
use std::time::Duration;

use jarwright_kitchen::ports::Memory;
use jarwright_pages::{Hosts, Tls, listen};
use rcgen::generate_simple_self_signed;
use rustls::pki_types::ServerName;
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use tokio::net::TcpListener;
use tokio::sync::oneshot;

use crate::{WORDS, house};

/// Asks for the door, over TLS where a name is greeted, and gives what came back.
fn ask(at: SocketAddr, greeting: Option<(&Arc<ClientConfig>, &'static str)>) -> io::Result<String> {
    let head = format!(
        "GET /door HTTP/1.1\r\nhost: kitchen.local:{}\r\nconnection: close\r\n\r\n",
        at.port()
    );
    let mut plain = TcpStream::connect(at)?;
    let mut answer = Vec::new();
    match greeting {
        None => {
            plain.write_all(head.as_bytes())?;
            plain.read_to_end(&mut answer)?;
        }
        Some((config, name)) => {
            let name = ServerName::try_from(name).map_err(io::Error::other)?;
            let greeted = ClientConnection::new(Arc::clone(config), name).map_err(io::Error::other)?;
            let mut stream = StreamOwned::new(greeted, plain);
            stream.write_all(head.as_bytes())?;
            match stream.read_to_end(&mut answer) {
                // Ending without a farewell is no fault of an answer that came whole.
                Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => {}
                other => {
                    other?;
                }
            }
        }
    }
    Ok(String::from_utf8_lossy(&answer).into_owned())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_browser_that_trusts_the_certificate_gets_a_page_and_a_plain_one_nothing() {
    let made = generate_simple_self_signed(["kitchen.local".to_owned()]).unwrap();
    let tls = Tls::new(&made.cert.pem(), &made.signing_key.serialize_pem()).unwrap();
    assert_eq!(tls.fingerprint().split(':').count(), 32);
    let socket = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let at = socket.local_addr().unwrap();
    let hosts = Hosts::at(&["kitchen.local".into()], at.port(), true);
    let router = house(Arc::new(Memory::default()), Some(WORDS), true, hosts);
    let (stop, stopped) = oneshot::channel::<()>();
    let serving = tokio::spawn(async move {
        listen(socket, Some(&tls), router, async {
            let _ = stopped.await;
        })
        .await
    });

    let mut roots = RootCertStore::empty();
    roots.add(made.cert.der().clone()).unwrap();
    let config = ClientConfig::builder_with_provider(Arc::new(rustls::crypto::ring::default_provider()))
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    tokio::task::spawn_blocking(move || {
        let config = Arc::new(config);
        let answer = ask(at, Some((&config, "kitchen.local"))).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        assert!(
            answer.contains("__Host-jarwright-visit=") && answer.contains("type=\"password\""),
            "{answer}"
        );
        assert!(
            ask(at, Some((&config, "elsewhere.local"))).is_err(),
            "the certificate is for one name"
        );
        assert!(
            !ask(at, None).is_ok_and(|answer| answer.contains("HTTP/1.1 200")),
            "nothing is served in the open"
        );
    })
    .await
    .unwrap();

    stop.send(()).unwrap();
    let ended = tokio::time::timeout(Duration::from_secs(60), serving).await;
    assert!(matches!(ended, Ok(Ok(Ok(())))), "{ended:?}");
    assert!(TcpStream::connect(at).is_err());
}
