//! `jarwright serve`: the planning pages in a browser.

use std::path::PathBuf;

use crate::data_dir::DataDir;
use crate::exit::{Exit, Stop};
use crate::serving::{self, Listening};

const EXAMPLES: &str = "\
Examples:
  jarwright serve
  jarwright serve --listen 127.0.0.1:8417 --data my-kitchen
  jarwright serve --listen 0.0.0.0:8443 --host kitchen.local --passphrase-file passphrase.txt

The pages are for this machine alone, unless --listen gives an address that others reach: then a
passphrase is asked for, and they are served over TLS with a certificate of the data folder's own.
Ctrl-C closes them; everything kept stays kept.";

/// Where the pages listen unless told otherwise.
pub const USUAL_PLACE: &str = "127.0.0.1:8417";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Address and port to listen on; port 0 takes a free one
    #[arg(long, value_name = "ADDRESS:PORT", default_value = USUAL_PLACE)]
    listen: String,
    /// File with the passphrase in one line of 12 characters or more; only you may read it
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
    /// Name or address that browsers call this machine by; again for each
    #[arg(long, value_name = "NAME")]
    host: Vec<String>,
    /// Folder that everything is kept in
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
}

/// Serves until it is told to stop.
///
/// # Errors
/// [`Stop`] for an address that cannot be listened on, or a folder that cannot be kept in.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let data = DataDir::find(args.data.as_deref())?;
    let listening = Listening::new(&args.listen, &args.host, args.passphrase_file.as_deref())?;
    serving::serve(&data, listening)?;
    Ok(Exit::Done)
}
