//! TOML files in and out of a keeper: `kitchen.toml`, `stores.toml`, `formulas/NAME.toml`.
//!
//! The keeper is the master. An import is a version like any other; an export does not write over
//! a file that was changed by hand and never imported. Neither looks into the texts. Both open
//! files while they run, so a server calls them where it may wait.

use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

use jarwright_kitchen::ports::{Draft, KeepError, Keeper, Kept, MOST_NAMES, Name, Text, Who};
use jiff::Timestamp;

use crate::whole_file;

/// Who an imported version is saved by.
pub const IMPORT: &str = "import";

/// Files that stand beside the folder of formulas, with the names they are kept under.
const SINGLE: [(Kept, &str); 2] = [(Kept::Kitchen, "kitchen"), (Kept::Stores, "stores")];

const FORMULAS: &str = "formulas";

/// What an import did with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Imported {
    /// The file.
    pub file: PathBuf,
    /// What kind of thing it is.
    pub kind: Kept,
    /// The name it is kept under.
    pub name: Name,
    /// Version that now stands.
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
}

/// What an export did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Exported {
    /// Files that were written.
    pub written: Vec<PathBuf>,
    /// Files that had the text already.
    pub same: Vec<PathBuf>,
    /// Formula files under whose name nothing stands in the keeper; they were left as they are.
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
        cause: KeepError,
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
            Self::Keep { cause, .. } => Some(cause),
            Self::Files(_) | Self::Write(_) => None,
        }
    }
}

struct Found {
    file: PathBuf,
    kind: Kept,
    name: Name,
    text: Text,
}

/// Saves every file of a folder that differs from what stands under its name, by [`IMPORT`].
///
/// All files are read before the first is saved.
///
/// # Errors
/// [`FolderError`]: files that cannot be read or have no name to be kept under, or the keeper's
/// refusal, such as somebody saving the same name meanwhile.
pub async fn import_folder(keeper: &dyn Keeper, folder: &Path, at: Timestamp) -> Result<Vec<Imported>, FolderError> {
    let by = Who::new(IMPORT).map_err(|cause| FolderError::Keep { file: None, cause })?;
    let mut imported = Vec::new();
    for found in files_in(folder)? {
        let Found { file, kind, name, text } = found;
        let refused = |cause| FolderError::Keep {
            file: Some(file.clone()),
            cause,
        };
        let before = keeper
            .newest(kind, &name)
            .await
            .map_err(refused)?
            .map(|newest| newest.number);
        let draft = Draft {
            kind,
            name,
            text,
            after: before,
            by: by.clone(),
            at,
        };
        let stands = keeper.save(draft).await.map_err(refused)?;
        let became = match before {
            None => Became::New,
            Some(before) if before == stands.number => Became::Same,
            Some(_) => Became::Newer,
        };
        imported.push(Imported {
            file,
            kind,
            name: stands.name,
            number: stands.number,
            became,
        });
    }
    Ok(imported)
}

fn files_in(folder: &Path) -> Result<Vec<Found>, FolderError> {
    let mut found = Vec::new();
    let mut faults = Vec::new();
    let mut read = |kind: Kept, name: Result<Name, String>, file: PathBuf| {
        let both = name.and_then(|name| Ok((name, whole_file::read(&file)?)));
        match both {
            Ok((name, Some(text))) => found.push(Found { file, kind, name, text }),
            Ok((_, None)) => {}
            Err(what) => faults.push(FileFault { file, what }),
        }
    };
    for (kind, name) in SINGLE {
        let file = folder.join(format!("{name}.toml"));
        read(kind, Name::new(name).map_err(|error| error.to_string()), file);
    }
    for file in formula_files(folder)? {
        read(Kept::Formula, name_of(&file), file);
    }
    if faults.is_empty() {
        Ok(found)
    } else {
        Err(FolderError::Files(faults))
    }
}

/// Paths of the TOML files in the folder of formulas, by name; none when there is no such folder.
fn formula_files(folder: &Path) -> Result<Vec<PathBuf>, FolderError> {
    let formulas = folder.join(FORMULAS);
    let fault = |what: String| {
        FolderError::Files(vec![FileFault {
            file: formulas.clone(),
            what,
        }])
    };
    let entries = match fs::read_dir(&formulas) {
        Ok(entries) => entries,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(fault(format!("cannot be listed: {error}"))),
    };
    let mut files = Vec::new();
    for entry in entries {
        let path = entry
            .map_err(|error| fault(format!("cannot be listed: {error}")))?
            .path();
        if path.extension().is_some_and(|end| end == "toml") {
            files.push(path);
        }
        if files.len() > MOST_NAMES {
            return Err(fault(format!("holds more than {MOST_NAMES} formulas")));
        }
    }
    files.sort();
    Ok(files)
}

fn name_of(file: &Path) -> Result<Name, String> {
    let stem = file.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default();
    Name::new(stem).map_err(|error| match Name::of_title(stem) {
        Ok(better) => format!("cannot be kept under its name: {error}; rename it to {better}.toml"),
        Err(_) => format!("cannot be kept under its name: {error}"),
    })
}

/// Writes what stands in a keeper into a folder, which is made when it is not there.
///
/// A file is written over only when its text is one that the keeper once kept.
///
/// # Errors
/// [`FolderError`]: files changed by hand and not imported, the keeper's refusal, or a file that
/// cannot be written.
pub async fn export_folder(keeper: &dyn Keeper, folder: &Path) -> Result<Exported, FolderError> {
    let refused = |cause| FolderError::Keep { file: None, cause };
    let mut stands = Vec::new();
    for (kind, name) in SINGLE {
        let name = Name::new(name).map_err(refused)?;
        let newest = keeper.newest(kind, &name).await.map_err(refused)?;
        stands.extend(newest.map(|version| (folder.join(format!("{name}.toml")), version.text)));
    }
    for version in keeper.all(Kept::Formula).await.map_err(refused)? {
        let file = folder.join(FORMULAS).join(format!("{}.toml", version.name));
        stands.push((file, version.text));
    }

    let mut exported = Exported {
        left: formula_files(folder)?,
        ..Exported::default()
    };
    exported
        .left
        .retain(|file| stands.iter().all(|(standing, _)| standing != file));
    let mut to_write = Vec::new();
    let mut faults = Vec::new();
    for (file, text) in stands {
        match whole_file::read(&file) {
            Ok(None) => to_write.push((file, text)),
            Ok(Some(there)) if there == text => exported.same.push(file),
            Ok(Some(there)) if keeper.content(&there.hash()).await.map_err(refused)?.is_some() => {
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
    let formulas = folder.join(FORMULAS);
    written(&formulas, fs::create_dir_all(&formulas))?;
    for (file, text) in to_write {
        written(&file, whole_file::write(&file, &text))?;
        exported.written.push(file);
    }
    Ok(exported)
}
