//! `jarwright carry-out` and `jarwright carry-in`: what the pages keep, as TOML files and back.

use std::path::PathBuf;

use jarwright_kitchen::ports::Keeper;
use jarwright_ledger::folder::{Became, FolderError, export_folder, import_folder};
use jiff::Timestamp;

use crate::data_dir::DataDir;
use crate::exit::{Exit, Stop};
use crate::{out, serving};

const OUT_EXAMPLES: &str = "\
Examples:
  jarwright carry-out my-kitchen-files
  jarwright carry-out /media/stick/kitchen --data my-kitchen

A file that was changed by hand and not carried in is never written over.";

const IN_EXAMPLES: &str = "\
Examples:
  jarwright carry-in my-kitchen-files
  jarwright carry-in jarwright-demo --data my-kitchen

Every text becomes a new version; what stood before is still there. A text that was once kept and
was overtaken since does not come back by itself.";

/// Where to.
#[derive(Debug, clap::Args)]
#[command(after_help = OUT_EXAMPLES)]
pub struct OutArgs {
    /// Folder to write into
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// Folder that everything is kept in
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
}

/// Where from.
#[derive(Debug, clap::Args)]
#[command(after_help = IN_EXAMPLES)]
pub struct InArgs {
    /// Folder to read: kitchen.toml, stores.toml, formulas/, runs/
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// Folder that everything is kept in
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
}

/// Writes everything that stands.
///
/// # Errors
/// [`Stop`] where the ledger cannot be opened or a file cannot be written.
pub fn carry_out(args: &OutArgs) -> Result<Exit, Stop> {
    let data = DataDir::find(args.data.as_deref())?;
    let done = serving::with_ledger(
        &data,
        |ledger| async move { export_folder(&ledger, &args.folder).await },
    )?
    .map_err(|error| refused(&error))?;
    let mut said = format!(
        "{} written, {} already as kept, in {}.\n",
        files(done.written.len()),
        files(done.same.len()),
        args.folder.display()
    );
    for file in &done.left {
        said += &format!("  left as it is, nothing of this name stands: {}\n", file.display());
    }
    out::say(&said)?;
    Ok(Exit::Done)
}

/// Keeps every file of a folder.
///
/// # Errors
/// [`Stop`] where the ledger cannot be opened or a file cannot be kept.
pub fn carry_in(args: &InArgs) -> Result<Exit, Stop> {
    let data = DataDir::find(args.data.as_deref())?;
    let done = serving::with_ledger(&data, |ledger| async move {
        let keeper: &dyn Keeper = &ledger;
        import_folder(keeper, &args.folder, Timestamp::now()).await
    })?
    .map_err(|error| refused(&error))?;
    let mut said = String::new();
    for file in &done.files {
        said += &format!(
            "{} {}: version {}, {}\n",
            file.kind,
            file.name,
            file.number,
            match file.became {
                Became::New => "new",
                Became::Newer => "newer than what stood",
                Became::Same => "as it stands",
                Became::Behind => "was kept once and overtaken since: left",
            }
        );
    }
    if done.files.is_empty() {
        said += "Nothing to keep was found there.\n";
    }
    out::say(&said)?;
    Ok(Exit::Done)
}

fn files(n: usize) -> String {
    if n == 1 { "1 file".into() } else { format!("{n} files") }
}

fn refused(error: &FolderError) -> Stop {
    let hint = match error {
        FolderError::Files(_) => "mend or move the files, and do it again",
        FolderError::Keep { .. } => "look at what stands in the pages, and do it again",
        FolderError::Write(_) => "name a folder that you may write to",
    };
    Stop::asked(error.to_string(), hint)
}
