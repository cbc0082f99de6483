//! Through a socket: a greeting in TLS, a page, and an end that waits for what is under way.

use std::sync::Arc;
use std::time::Duration;

use jarwright_kitchen::ports::Memory;
use jarwright_pages::{Hosts, Tls, listen};
use rcgen::generate_simple_self_signed;
use rustls::pki_types::ServerName;
use rustls::{ClientConfig, RootCertStore};
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::oneshot;
use tokio_rustls::TlsConnector;

use crate::{WORDS, house};

async fn ask(stream: &mut (impl AsyncRead + AsyncWrite + Unpin), host: &str) -> String {
    let head = format!("GET /door HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n\r\n");
    stream.write_all(head.as_bytes()).await.unwrap();
    let mut answer = Vec::new();
    // Ending without a farewell is no fault of an answer that came whole.
    let _ = stream.read_to_end(&mut answer).await;
    String::from_utf8_lossy(&answer).into_owned()
}

#[tokio::test]
async fn a_browser_that_trusts_the_certificate_gets_a_page_and_a_plain_one_nothing() {
    let made = generate_simple_self_signed(["kitchen.local".to_owned()]).unwrap();
    let tls = Tls::new(&made.cert.pem(), &made.signing_key.serialize_pem()).unwrap();
    assert_eq!(tls.fingerprint().split(':').count(), 32);
    let socket = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let at = socket.local_addr().unwrap();
    let host = format!("kitchen.local:{}", at.port());
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
    let connector = TlsConnector::from(Arc::new(config));
    let name = ServerName::try_from("kitchen.local").unwrap();
    let tcp = TcpStream::connect(at).await.unwrap();
    let mut greeted = connector.connect(name, tcp).await.unwrap();
    let answer = ask(&mut greeted, &host).await;
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(
        answer.contains("__Host-jarwright-visit=") && answer.contains("type=\"password\""),
        "{answer}"
    );

    let other = ServerName::try_from("elsewhere.local").unwrap();
    assert!(
        connector
            .connect(other, TcpStream::connect(at).await.unwrap())
            .await
            .is_err()
    );
    let mut plain = TcpStream::connect(at).await.unwrap();
    assert!(!ask(&mut plain, &host).await.starts_with("HTTP/1.1 200"));

    stop.send(()).unwrap();
    let ended = tokio::time::timeout(Duration::from_secs(30), serving).await;
    assert!(matches!(ended, Ok(Ok(Ok(())))), "{ended:?}");
    assert!(TcpStream::connect(at).await.is_err());
}
