//! TOML files in and out of a keeper: `kitchen.toml`, `stores.toml`, `formulas/NAME.toml`,
//! `runs/NAME.toml`, and `texts/HASH.toml` for what a run still names and no name stands for.
//!
//! The keeper is the master. An import is a version like any other; an export does not write over
//! a file that was changed by hand and never imported, an import does not bring back what was
//! changed or withdrawn since. Neither looks into a text, but for the hashes in a run. Both open
//! files while they run, so a server calls them where it may wait. Read next: `folder/files.rs`
//! (what is read of a folder), `whole_file.rs` (one file, whole or not at all).

mod files;

use std::collections::BTreeSet;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

use jarwright_kitchen::ports::{Draft, Hash, KeepError, Keeper, Kept, Name, Text, Who};
use jiff::Timestamp;

use crate::whole_file;
use files::{Found, TEXTS};

/// Who an imported version is saved by.
pub const IMPORT: &str = "import";

/// Most that is read of a folder [bytes].
pub const MOST_FOLDER_BYTES: usize = 256 << 20;

/// What an import did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Imported {
    /// Every file of a name.
    pub files: Vec<ImportedFile>,
    /// Texts under their hash that are now kept.
    pub texts: Vec<PathBuf>,
}

/// What an import did with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportedFile {
    /// The file.
    pub file: PathBuf,
    /// What kind of thing it is.
    pub kind: Kept,
    /// The name it is kept under.
    pub name: Name,
    /// What is now the last version of the name.
    pub number: u64,
    /// What became of it.
    pub became: Became,
}

/// What became of an imported file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Became {
    /// Nothing stood under its name.
    New,
    /// It follows another text, which is still in the history.
    Newer,
    /// Its text stood already; nothing was saved.
    Same,
    /// Its text is an earlier version, changed or withdrawn since; nothing was saved.
    Behind,
}

impl Became {
    /// In a few words, for a person.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Newer => "changed",
            Self::Same => "as it was",
            Self::Behind => "left out: an earlier version, changed or withdrawn since",
        }
    }
}

/// What an export did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Exported {
    /// Files that were written.
    pub written: Vec<PathBuf>,
    /// Files that had the text already.
    pub same: Vec<PathBuf>,
    /// Files under whose name nothing stands in the keeper; they were left as they are.
    pub left: Vec<PathBuf>,
}

/// A file that stops an import or an export.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFault {
    /// The file.
    pub file: PathBuf,
    /// What is the matter with it.
    pub what: String,
}

/// Why a folder was not imported or exported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FolderError {
    /// Files that stop it, all of them; nothing was saved or written.
    Files(Vec<FileFault>),
    /// The keeper refused; files before this one are done, and doing it again does no harm.
    Keep {
        /// The file it was about, none for the whole.
        file: Option<PathBuf>,
        /// The refusal.
        cause: Box<KeepError>,
    },
    /// A file could not be written; those before it are done, and doing it again does no harm.
    Write(FileFault),
}

impl fmt::Display for FolderError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let fault =
            |f: &mut fmt::Formatter<'_>, fault: &FileFault| write!(f, "{} {}", fault.file.display(), fault.what);
        match self {
            Self::Files(faults) => {
                for (place, each) in faults.iter().enumerate() {
                    if place > 0 {
                        f.write_str("\n")?;
                    }
                    fault(f, each)?;
                }
                Ok(())
            }
            Self::Keep { file: Some(file), .. } => write!(f, "{} is not kept", file.display()),
            Self::Keep { file: None, .. } => f.write_str("what is kept could not be read"),
            Self::Write(one) => fault(f, one),
        }
    }
}

impl std::error::Error for FolderError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Keep { cause, .. } => Some(cause.as_ref()),
            Self::Files(_) | Self::Write(_) => None,
        }
    }
}

fn refused(file: Option<PathBuf>, cause: KeepError) -> FolderError {
    FolderError::Keep {
        file,
        cause: Box::new(cause),
    }
}

fn unread(cause: KeepError) -> FolderError {
    refused(None, cause)
}

/// Saves every file of a folder whose text was never a version of its name, by [`IMPORT`].
///
/// All files are read before the first is saved.
///
/// # Errors
/// [`FolderError`]: no such folder, files that cannot be read or have no name to be kept under,
/// more than [`MOST_FOLDER_BYTES`], or the keeper's refusal, such as somebody saving the same name
/// meanwhile.
pub async fn import_folder(keeper: &dyn Keeper, folder: &Path, at: Timestamp) -> Result<Imported, FolderError> {
    let by = Who::new(IMPORT).map_err(unread)?;
    let found = files::read_all(folder)?;
    let mut imported = Imported::default();
    for (file, text) in found.texts {
        let kept = keeper.keep_text(&text).await;
        kept.map_err(|cause| refused(Some(file.clone()), cause))?;
        imported.texts.push(file);
    }
    for found in found.named {
        let file = found.file.clone();
        let done = import_file(keeper, found, &by, at).await;
        imported.files.push(done.map_err(|cause| refused(Some(file), cause))?);
    }
    Ok(imported)
}

async fn import_file(keeper: &dyn Keeper, found: Found, by: &Who, at: Timestamp) -> Result<ImportedFile, KeepError> {
    let Found { file, kind, name, text } = found;
    let history = keeper.history(kind, &name).await?;
    let last = history.first();
    let stands = last.filter(|last| last.hash.is_some());
    let (number, became) = if let Some(same) = stands.filter(|last| last.hash == Some(text.hash())) {
        (same.number, Became::Same)
    } else if let Some(last) = last.filter(|_| history.iter().any(|entry| entry.hash == Some(text.hash()))) {
        (last.number, Became::Behind)
    } else {
        let draft = Draft {
            kind,
            name: name.clone(),
            text,
            after: stands.map(|stands| stands.number),
            by: by.clone(),
            at,
        };
        let became = if stands.is_some() { Became::Newer } else { Became::New };
        (keeper.save(draft).await?.number, became)
    };
    Ok(ImportedFile {
        file,
        kind,
        name,
        number,
        became,
    })
}

/// Writes what stands in a keeper, and the texts that its runs name, into a folder, which is made
/// when it is not there.
///
/// A file is written over only when its text is one that the keeper once kept.
///
/// # Errors
/// [`FolderError`]: files changed by hand and not imported, the keeper's refusal, or a file that
/// cannot be written.
pub async fn export_folder(keeper: &dyn Keeper, folder: &Path) -> Result<Exported, FolderError> {
    let stands = standing(keeper, folder).await.map_err(unread)?;
    let files: BTreeSet<&PathBuf> = stands.iter().map(|(file, _)| file).collect();
    let mut left = files::of_names(folder)?;
    left.retain(|file| !files.contains(file));
    let mut exported = Exported {
        left,
        ..Exported::default()
    };
    let mut to_write = Vec::new();
    let mut faults = Vec::new();
    for (file, text) in stands {
        match whole_file::read(&file) {
            Ok(None) => to_write.push((file, text)),
            Ok(Some(there)) if there == text => exported.same.push(file),
            Ok(Some(there)) if keeper.content(&there.hash()).await.map_err(unread)?.is_some() => {
                to_write.push((file, text));
            }
            Ok(Some(_)) => faults.push(FileFault {
                file,
                what: "was changed and not imported; import it first, or name another folder".into(),
            }),
            Err(what) => faults.push(FileFault { file, what }),
        }
    }
    if !faults.is_empty() {
        return Err(FolderError::Files(faults));
    }
    let written = |file: &Path, done: std::io::Result<()>| {
        done.map_err(|error| {
            FolderError::Write(FileFault {
                file: file.to_owned(),
                what: format!("could not be written: {error}"),
            })
        })
    };
    written(folder, fs::create_dir_all(folder))?;
    for (file, text) in to_write {
        if let Some(parent) = file.parent() {
            written(parent, fs::create_dir_all(parent))?;
        }
        written(&file, whole_file::write(&file, &text))?;
        exported.written.push(file);
    }
    whole_file::sync_folder(folder);
    Ok(exported)
}

/// Every file of an export with its text.
async fn standing(keeper: &dyn Keeper, folder: &Path) -> Result<Vec<(PathBuf, Text)>, KeepError> {
    let mut stands = Vec::new();
    let mut there = BTreeSet::new();
    let mut named = BTreeSet::new();
    for kind in Kept::ALL {
        for version in keeper.all(kind).await? {
            if kind == Kept::Run {
                named.extend(hashes_in(version.text.as_str()));
            }
            there.insert(version.hash());
            stands.push((folder.join(files::place_of(kind, &version.name)), version.text));
        }
    }
    for hash in named.difference(&there) {
        if let Some(text) = keeper.content(hash).await? {
            stands.push((folder.join(TEXTS).join(format!("{hash}.toml")), text));
        }
    }
    Ok(stands)
}

/// Whatever is a hash in a text.
fn hashes_in(text: &str) -> impl Iterator<Item = Hash> {
    text.split(|c: char| !c.is_ascii_hexdigit())
        .filter(|word| word.len() == 64)
        .filter_map(|word| word.parse().ok())
}
