//! What is read of a folder: the files of names, and the texts under their hashes.
//!
//! A link is no file of ours: it could lead out of the folder.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use jarwright_kitchen::ports::{Hash, Kept, MOST_NAMES, Name, Text};

use super::{FileFault, FolderError, MOST_FOLDER_BYTES};
use crate::whole_file;

/// Folder of the texts that stand under their hash.
pub const TEXTS: &str = "texts";

/// A file of a name, read.
#[derive(Debug)]
pub struct Found {
    pub file: PathBuf,
    pub kind: Kept,
    pub name: Name,
    pub text: Text,
}

/// Everything in a folder.
#[derive(Debug, Default)]
pub struct Everything {
    pub named: Vec<Found>,
    pub texts: Vec<(PathBuf, Text)>,
}

/// The folder of a kind.
const fn folder_of(kind: Kept) -> &'static str {
    match kind {
        Kept::Formula => "formulas",
        Kept::Kitchen => "kitchens",
        Kept::Stores => "stores",
        Kept::Run => "runs",
    }
}

/// The one file of the kitchen, or of the stores, that stands beside the folders.
fn beside(kind: Kept) -> Option<PathBuf> {
    matches!(kind, Kept::Kitchen | Kept::Stores).then(|| format!("{kind}.toml").into())
}

/// Where the text of a name stands in a folder.
pub fn place_of(kind: Kept, name: &Name) -> PathBuf {
    beside(kind)
        .filter(|_| name.as_str() == kind.word())
        .unwrap_or_else(|| Path::new(folder_of(kind)).join(format!("{name}.toml")))
}

/// Paths of the files of names that are there, whether they can be kept or not.
pub fn of_names(folder: &Path) -> Result<Vec<PathBuf>, FolderError> {
    let mut files = Vec::new();
    for kind in Kept::ALL {
        let beside = beside(kind).map(|file| folder.join(file));
        files.extend(beside.filter(|file| file.symlink_metadata().is_ok()));
        files.extend(toml_files(&folder.join(folder_of(kind)))?);
    }
    Ok(files)
}

/// Reads every file, or names all that stop it.
pub fn read_all(folder: &Path) -> Result<Everything, FolderError> {
    if !folder.is_dir() {
        return Err(fault(folder, "is no folder".into()));
    }
    let mut everything = Everything::default();
    let mut faults = Vec::new();
    let mut bytes = 0;
    let mut read = |file: &Path| {
        let text = whole_file::read(file)?;
        bytes += text.as_ref().map_or(0, |text| text.as_str().len());
        Ok::<_, String>((text, bytes <= MOST_FOLDER_BYTES))
    };
    let too_much = || {
        let what = format!("holds more than {} MiB of texts", MOST_FOLDER_BYTES >> 20);
        Err(fault(folder, what))
    };
    for kind in Kept::ALL {
        let beside = beside(kind).map(|file| folder.join(file));
        for file in beside.into_iter().chain(toml_files(&folder.join(folder_of(kind)))?) {
            let both = name_of(folder, kind, &file).and_then(|name| Ok((name, read(&file)?)));
            match both {
                Ok((_, (_, false))) => return too_much(),
                Ok((name, (Some(text), true))) => everything.named.push(Found { file, kind, name, text }),
                Ok((_, (None, true))) => {}
                Err(what) => faults.push(FileFault { file, what }),
            }
        }
    }
    for file in toml_files(&folder.join(TEXTS))? {
        match read(&file) {
            Ok((_, false)) => return too_much(),
            Ok((Some(text), true)) if hash_of_name(&file) == Some(text.hash()) => everything.texts.push((file, text)),
            Ok((Some(_), true)) => faults.push(FileFault {
                file,
                what: "is not the text of its name (its SHA-256); it was changed, or renamed".into(),
            }),
            Ok((None, true)) => {}
            Err(what) => faults.push(FileFault { file, what }),
        }
    }
    if faults.is_empty() {
        Ok(everything)
    } else {
        Err(FolderError::Files(faults))
    }
}

fn fault(file: &Path, what: String) -> FolderError {
    FolderError::Files(vec![FileFault {
        file: file.to_owned(),
        what,
    }])
}

/// Paths of the TOML files in a folder, by name, without hidden ones; none when there is no such
/// folder.
fn toml_files(folder: &Path) -> Result<Vec<PathBuf>, FolderError> {
    let unlisted = |error: std::io::Error| fault(folder, format!("cannot be listed: {error}"));
    match folder.symlink_metadata() {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(unlisted(error)),
        Ok(about) if !about.is_dir() => return Err(fault(folder, "is not a folder, or is a link to one".into())),
        Ok(_) => {}
    }
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(unlisted)? {
        let entry = entry.map_err(unlisted)?;
        let path = entry.path();
        let hidden = entry.file_name().as_encoded_bytes().starts_with(b".");
        if !hidden && path.extension().is_some_and(|end| end == "toml") {
            files.push(path);
        }
        if files.len() > MOST_NAMES {
            return Err(fault(folder, format!("holds more than {MOST_NAMES} files")));
        }
    }
    files.sort();
    Ok(files)
}

fn stem(file: &Path) -> &str {
    file.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default()
}

/// The name that a file is kept under.
fn name_of(folder: &Path, kind: Kept, file: &Path) -> Result<Name, String> {
    let name = Name::new(stem(file)).map_err(|error| match Name::of_title(stem(file)) {
        Ok(better) => format!("cannot be kept under its name: {error}; rename it to {better}.toml"),
        Err(_) => format!("cannot be kept under its name: {error}"),
    })?;
    let place = place_of(kind, &name);
    if folder.join(&place) == file {
        Ok(name)
    } else {
        Err(format!("belongs at {}", place.display()))
    }
}

/// The hash that a file's name is, in lower case as it is written.
fn hash_of_name(file: &Path) -> Option<Hash> {
    stem(file)
        .parse()
        .ok()
        .filter(|hash: &Hash| hash.to_string() == stem(file))
}
