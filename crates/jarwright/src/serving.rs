//! The pages, put together and served: keeper, example, clock, socket.

use std::net::{SocketAddr, TcpListener};
use std::sync::Arc;

use jarwright_kitchen::ports::{Keeper, Memory};
use jarwright_pages::{Example, Hosts, House, Parts};

use crate::cli::demo;
use crate::data_dir::DataDir;
use crate::exit::Stop;
use crate::{compose, out, when};

/// Where to listen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listening {
    /// The address and port.
    pub at: SocketAddr,
}

impl Listening {
    /// Reads `127.0.0.1:8417`.
    ///
    /// # Errors
    /// [`Stop`] for what is no address, or an address that is not this machine's alone.
    pub fn parse(text: &str) -> Result<Self, Stop> {
        let at: SocketAddr = text.trim().replace("localhost:", "127.0.0.1:").parse().map_err(|_| {
            Stop::asked(
                format!("--listen \"{text}\" is no address and port"),
                "write 127.0.0.1:8417",
            )
        })?;
        if at.ip().is_loopback() {
            Ok(Self { at })
        } else {
            Err(Stop::asked(
                format!("--listen {at} would open the pages to other machines"),
                "listen on 127.0.0.1",
            ))
        }
    }
}

/// Serves the pages until Ctrl-C.
///
/// # Errors
/// [`Stop`] where the address is taken or the folder cannot be kept in.
pub fn serve(_data: &DataDir, listening: &Listening) -> Result<(), Stop> {
    let fault = |error: std::io::Error| {
        Stop::asked(
            format!("the pages cannot listen on {}: {error}", listening.at),
            "close the other program, or give another port: --listen 127.0.0.1:0",
        )
    };
    let socket = TcpListener::bind(listening.at).map_err(fault)?;
    socket.set_nonblocking(true).map_err(fault)?;
    let at = socket.local_addr().map_err(fault)?;
    let keeper: Arc<dyn Keeper> = Arc::new(Memory::default());
    let house = House::new(Parts {
        keeper,
        equations: compose::equations(),
        example: EXAMPLE,
        clock: when::now,
        program: concat!("jarwright ", env!("CARGO_PKG_VERSION")),
        hosts: Hosts::loopback(at.port()),
    });
    let router = jarwright_pages::router(house);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(fault)?;
    runtime.block_on(async move {
        let socket = tokio::net::TcpListener::from_std(socket).map_err(fault)?;
        out::say(&format!("The pages are open: http://{at}/\nCtrl-C closes them.\n"))?;
        let stop = async {
            // Without the signal the pages stay open until the process ends.
            if tokio::signal::ctrl_c().await.is_err() {
                std::future::pending::<()>().await;
            }
        };
        jarwright_pages::listen(socket, router, stop).await.map_err(fault)
    })
}

/// The invented kitchen, as it stands in the repository.
const EXAMPLE: Example = Example {
    kitchen: demo::KITCHEN,
    stores: demo::STORES,
    formulas: &demo::FORMULAS,
};
