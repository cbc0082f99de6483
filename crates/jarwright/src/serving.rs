//! The pages, put together and served: keeper, example, clock, socket, lock.
//!
//! Whoever is not on this machine gets in with a passphrase and over TLS only; without both, nothing
//! is opened to them.

use std::net::{IpAddr, SocketAddr, TcpListener};
use std::path::Path;
use std::sync::Arc;

use jarwright_kitchen::ports::{KeepError, Keeper, Kept, Name};
use jarwright_ledger::folder::import_folder;
use jarwright_ledger::{FILE_NAME, Ledger};
use jarwright_pages::{Example, Hosts, House, Key, Parts, Passphrase, Tls};
use jiff::Timestamp;

use crate::cli::demo;
use crate::data_dir::{DataDir, make_dir, read_private, write_private};
use crate::exit::Stop;
use crate::{certificate, out, when};

/// Names of this machine for itself.
const HERE: [&str; 3] = ["127.0.0.1", "localhost", "::1"];

/// Where to listen, by which names, and who may come in.
#[derive(Debug)]
pub struct Listening {
    /// The address and port.
    at: SocketAddr,
    /// Names and addresses that browsers call it by, without port and brackets; none twice.
    names: Vec<String>,
    /// What opens the door.
    passphrase: Option<Passphrase>,
}

impl Listening {
    /// Reads `127.0.0.1:8417`, the names it is called by, and the file with the passphrase.
    ///
    /// # Errors
    /// [`Stop`] for what is no address or name, for an address of other machines without a passphrase
    /// or a name, and for a passphrase that is short or that others may read.
    pub fn new(at: &str, hosts: &[String], passphrase_file: Option<&Path>) -> Result<Self, Stop> {
        let at = address(at)?;
        let mut names = hosts
            .iter()
            .map(|host| name(host))
            .collect::<Result<Vec<String>, Stop>>()?;
        let open = !at.ip().is_loopback();
        if open && passphrase_file.is_none() {
            return Err(Stop::asked(
                format!("--listen {at} opens the pages to other machines, and there is no passphrase"),
                "write one of 12 characters or more into a file that only you may read (chmod 600 FILE) and name it: \
                 --passphrase-file FILE; or stay on this machine: --listen 127.0.0.1:8417",
            ));
        }
        if open && at.ip().is_unspecified() && names.is_empty() {
            return Err(Stop::asked(
                format!("--listen {at} does not say how other machines call this one"),
                "name it, as often as it has names: --host kitchen.local --host 192.0.2.10",
            ));
        }
        let passphrase = passphrase_file.map(passphrase_of).transpose()?;
        if open && !at.ip().is_unspecified() {
            names.push(at.ip().to_string());
        }
        if !open || at.ip().is_unspecified() {
            names.extend(HERE.map(str::to_owned));
        }
        let mut seen = std::collections::BTreeSet::new();
        names.retain(|name| seen.insert(name.clone()));
        Ok(Self { at, names, passphrase })
    }

    /// Whether other machines get here.
    fn is_open(&self) -> bool {
        !self.at.ip().is_loopback()
    }

    /// The names as they stand in an address.
    fn in_addresses(&self) -> Vec<String> {
        let bracketed = |name: &String| {
            if name.contains(':') {
                format!("[{name}]")
            } else {
                name.clone()
            }
        };
        self.names.iter().map(bracketed).collect()
    }
}

fn address(text: &str) -> Result<SocketAddr, Stop> {
    text.trim()
        .replace(&format!("{}:", HERE[1]), "127.0.0.1:")
        .parse()
        .map_err(|_| {
            Stop::asked(
                format!("--listen \"{text}\" is no address and port"),
                "write 127.0.0.1:8417, or 0.0.0.0:8443 for other machines too",
            )
        })
}

/// A name or address as it stands in a certificate.
fn name(text: &str) -> Result<String, Stop> {
    let met = text
        .trim()
        .trim_start_matches('[')
        .trim_end_matches(']')
        .to_ascii_lowercase();
    let label = |label: &str| {
        let plain = label.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
        plain && (1..=63).contains(&label.len()) && !label.starts_with('-') && !label.ends_with('-')
    };
    if let Ok(address) = met.parse::<IpAddr>() {
        return Ok(address.to_string());
    }
    if met.len() <= 253 && met.split('.').all(label) {
        return Ok(met);
    }
    Err(Stop::asked(
        format!("--host \"{text}\" is no name and no address of a machine"),
        "write kitchen.local or 192.0.2.10, without https:// and without a port",
    ))
}

/// The passphrase in a file: its only line.
fn passphrase_of(file: &Path) -> Result<Passphrase, Stop> {
    let text = read_private(file)?;
    let line = text.strip_suffix('\n').unwrap_or(&text);
    Passphrase::new(line.strip_suffix('\r').unwrap_or(line)).map_err(|unfit| {
        Stop::file(
            file,
            format!("the passphrase {unfit}"),
            "write one line of 12 characters or more: four words that do not belong together are good",
        )
    })
}

/// Serves the pages until Ctrl-C, or until the system asks the program to end.
///
/// # Errors
/// [`Stop`] where the address is taken or the folder cannot be kept in.
pub fn serve(data: &DataDir, listening: Listening) -> Result<(), Stop> {
    let asked = listening.at;
    let fault = |error: std::io::Error| {
        Stop::asked(
            format!("the pages cannot listen on {asked}: {error}"),
            "close the other program, or give another port: --listen 127.0.0.1:0",
        )
    };
    let socket = TcpListener::bind(asked).map_err(fault)?;
    socket.set_nonblocking(true).map_err(fault)?;
    let port = socket.local_addr().map_err(fault)?.port();
    let tls = listening
        .is_open()
        .then(|| certificate::of(data, &listening.names, when::now().date()))
        .transpose()?;
    let key = key(data)?;
    let opened = opened(&listening, port, tls.as_ref());
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(fault)?;
    let house = House::new(Parts {
        keeper: Arc::new(runtime.block_on(ledger(data))?),
        example: EXAMPLE,
        clock: when::now,
        program: concat!("jarwright ", env!("CARGO_PKG_VERSION")),
        hosts: Hosts::at(&listening.in_addresses(), port, tls.is_some()),
        passphrase: listening.passphrase,
        secure: tls.is_some(),
        key,
    });
    let router = jarwright_pages::router(house);
    let ended = runtime.block_on(async move {
        let socket = tokio::net::TcpListener::from_std(socket).map_err(fault)?;
        out::say(&opened)?;
        jarwright_pages::listen(socket, tls.as_ref(), router, told_to_end())
            .await
            .map_err(fault)
    });
    // Computations that nobody waits for any more are not waited for either.
    runtime.shutdown_background();
    ended
}

/// The secret of the forms, made at the first start.
fn key(data: &DataDir) -> Result<Key, Stop> {
    let file = data.door().join("forms.key");
    if file.is_file()
        && let Some(key) = Key::of_text(&read_private(&file)?)
    {
        return Ok(key);
    }
    let key = Key::new();
    make_dir(&data.door())?;
    write_private(&file, &key.text())?;
    Ok(key)
}

/// What is said when the pages are open.
fn opened(listening: &Listening, port: u16, tls: Option<&Tls>) -> String {
    let scheme = if tls.is_some() { "https" } else { "http" };
    let mut addresses = listening
        .in_addresses()
        .into_iter()
        .map(|name| format!("{scheme}://{name}:{port}/"));
    let mut text = format!("The pages are open: {}\n", addresses.next().unwrap_or_default());
    if let Some(tls) = tls {
        for address in addresses {
            text += &format!("                and: {address}\n");
        }
        text += &format!(
            "A browser does not know this certificate and asks. Go on only where it shows this SHA-256 fingerprint:\n  {}\n",
            tls.fingerprint()
        );
    }
    text + "Ctrl-C closes them.\n"
}

/// Done when a person or the system tells the program to end.
async fn told_to_end() {
    // Without a signal the pages stay open until the process ends.
    let by_person = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let by_system = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let by_system = std::future::pending::<()>();
    tokio::select! {
        () = by_person => {}
        () = by_system => {}
    }
}

/// The ledger of the data folder, made where there is none.
async fn ledger(data: &DataDir) -> Result<Ledger, Stop> {
    make_dir(&data.path)?;
    let path = data.path.join(FILE_NAME);
    let refused = |error: KeepError| Stop::file(&path, error.to_string(), error.hint());
    let ledger = Ledger::open(&path).await.map_err(refused)?;
    let kitchen = Name::new(Kept::Kitchen.word()).map_err(refused)?;
    // A kitchen that was kept as files so far is taken in; a start that failed at it tries again.
    if data.kitchen().is_file() && ledger.newest(Kept::Kitchen, &kitchen).await.map_err(refused)?.is_none() {
        let taken = import_folder(&ledger, &data.path, Timestamp::now()).await;
        taken.map_err(|error| Stop::asked(error.to_string(), "mend the file, and start again"))?;
    }
    Ok(ledger)
}

/// Does something with the ledger of the data folder, and closes it.
///
/// # Errors
/// [`Stop`] where the ledger cannot be opened.
pub fn with_ledger<T, F: Future<Output = T>>(data: &DataDir, work: impl FnOnce(Ledger) -> F) -> Result<T, Stop> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|error| Stop::asked(format!("the ledger cannot be asked: {error}"), "try again"))?;
    runtime.block_on(async {
        let ledger = ledger(data).await?;
        let done = work(ledger.clone()).await;
        ledger.close().await;
        Ok(done)
    })
}

/// The invented kitchen, as it stands in the repository.
const EXAMPLE: Example = Example {
    kitchen: demo::KITCHEN,
    stores: demo::STORES,
    formulas: &demo::FORMULAS,
};

#[cfg(test)]
mod tests {
    use super::*;

    fn hosts(names: &[&str]) -> Vec<String> {
        names.iter().map(|&name| name.to_owned()).collect()
    }

    fn hint(tried: Result<Listening, Stop>) -> String {
        match tried {
            Err(Stop::Asked { hint, .. } | Stop::File { hint, .. }) => hint,
            other => panic!("{other:?}"),
        }
    }

    /// A file with a text in it that only its owner may read.
    fn secret(text: &str) -> Result<tempfile::NamedTempFile, std::io::Error> {
        let file = tempfile::NamedTempFile::new()?;
        std::fs::write(file.path(), text)?;
        Ok(file)
    }

    #[test]
    fn other_machines_need_a_passphrase_and_a_name_for_this_one() -> Result<(), Box<dyn std::error::Error>> {
        let file = secret("seven jars of quince\n")?;
        assert!(hint(Listening::new("0.0.0.0:8443", &hosts(&["kitchen.local"]), None)).contains("--passphrase-file"));
        assert!(hint(Listening::new("192.0.2.10:8443", &[], None)).contains("--passphrase-file"));
        assert!(hint(Listening::new("[::]:8443", &[], Some(file.path()))).contains("--host"));
        let open = Listening::new(
            "0.0.0.0:8443",
            &hosts(&["Kitchen.local", "kitchen.local"]),
            Some(file.path()),
        );
        let open = open.map_err(|stop| format!("{stop:?}"))?;
        assert!(open.is_open() && open.passphrase.is_some());
        assert_eq!(
            open.in_addresses(),
            ["kitchen.local", "127.0.0.1", "localhost", "[::1]"]
        );
        let named = Listening::new("[2001:db8::1]:8443", &[], Some(file.path())).map_err(|stop| format!("{stop:?}"))?;
        assert_eq!(named.in_addresses(), ["[2001:db8::1]"]);
        Ok(())
    }

    #[test]
    fn this_machine_needs_none_and_may_have_one() -> Result<(), Box<dyn std::error::Error>> {
        let file = secret("seven jars of quince\r\n")?;
        let plain = Listening::new(&format!("{}:8417", HERE[1]), &[], None).map_err(|stop| format!("{stop:?}"))?;
        assert!(!plain.is_open() && plain.passphrase.is_none());
        let locked = Listening::new("127.0.0.1:0", &[], Some(file.path())).map_err(|stop| format!("{stop:?}"))?;
        assert!(!locked.is_open() && locked.passphrase.is_some());
        Ok(())
    }

    #[test]
    fn the_secret_of_the_forms_is_the_same_at_every_start() -> Result<(), Box<dyn std::error::Error>> {
        let dir = tempfile::tempdir()?;
        let data = DataDir {
            path: dir.path().join("kitchen"),
        };
        let first = key(&data).map_err(|stop| format!("{stop:?}"))?;
        assert_eq!(key(&data).map_err(|stop| format!("{stop:?}"))?, first);
        Ok(())
    }

    #[test]
    fn a_short_passphrase_a_missing_file_or_no_name_is_refused_with_what_to_do()
    -> Result<(), Box<dyn std::error::Error>> {
        let short = secret("quince\n")?;
        assert!(hint(Listening::new("127.0.0.1:0", &[], Some(short.path()))).contains("12 characters"));
        assert!(Listening::new("127.0.0.1:0", &[], Some(Path::new("no such file"))).is_err());
        for odd in [
            "https://kitchen.local",
            "kitchen.local:8443",
            "",
            "a b",
            "-a",
            "x/../y",
            &"a.".repeat(200),
        ] {
            assert!(Listening::new("127.0.0.1:0", &hosts(&[odd]), None).is_err(), "{odd}");
        }
        assert!(Listening::new("8417", &[], None).is_err());
        Ok(())
    }
}
