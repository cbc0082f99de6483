//! The data folder, and files in and out: bounded, whole or not at all.

use std::fs::{self, File};
use std::io::{ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use jarwright_kitchen::files;

use crate::exit::Stop;

/// Largest file that is read [bytes].
pub const MOST_BYTES: u64 = 1 << 20;

/// Largest saved answer that is read [bytes]; one of forty formulas has some twenty million.
const MOST_SAVED_BYTES: u64 = 1 << 26;

/// Most formulas looked at for a near name.
const MOST_FORMULAS: usize = 2_000;

/// Where a kitchen keeps its files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DataDir {
    /// The folder.
    pub path: PathBuf,
}

impl DataDir {
    /// The folder named by the option, else by `JARWRIGHT_DATA`, else the platform's usual one.
    ///
    /// # Errors
    /// When no option is given and the platform names no home.
    pub fn find(option: Option<&Path>) -> Result<Self, Stop> {
        Self::find_among(option, |name| {
            std::env::var_os(name)
                .filter(|value| !value.is_empty())
                .map(PathBuf::from)
        })
    }

    fn find_among(option: Option<&Path>, named: impl Fn(&str) -> Option<PathBuf>) -> Result<Self, Stop> {
        let usual = || {
            let share = if cfg!(windows) {
                named("APPDATA")
            } else {
                named("XDG_DATA_HOME")
                    .filter(|path| path.is_absolute())
                    .or_else(|| named("HOME").map(|home| home.join(".local").join("share")))
            };
            share.map(|share| share.join("jarwright"))
        };
        option
            .map(Path::to_owned)
            .or_else(|| named("JARWRIGHT_DATA"))
            .or_else(usual)
            .map(|path| Self { path })
            .ok_or_else(|| Stop::asked("there is no usual place for data here", "name a folder: --data DIR"))
    }

    /// The kitchen file.
    #[must_use]
    pub fn kitchen(&self) -> PathBuf {
        self.path.join("kitchen.toml")
    }

    /// The stores file.
    #[must_use]
    pub fn stores(&self) -> PathBuf {
        self.path.join("stores.toml")
    }

    /// The folder of formulas.
    #[must_use]
    pub fn formulas(&self) -> PathBuf {
        self.path.join("formulas")
    }

    /// The folder of what only the door needs: its certificate and the key.
    #[must_use]
    pub fn door(&self) -> PathBuf {
        self.path.join("door")
    }

    /// The file of a formula: a path as it stands, else `formulas/NAME.toml`.
    ///
    /// # Errors
    /// A bare name that is not in the folder, with the nearest one that is.
    pub fn formula(&self, wanted: &str) -> Result<PathBuf, Stop> {
        if wanted.trim().is_empty() {
            return Err(Stop::asked(
                "a formula without a name",
                "name a file or a formula of the data folder",
            ));
        }
        let as_path = Path::new(wanted);
        let is_path = as_path.components().count() != 1
            || as_path.extension().is_some_and(|end| end.eq_ignore_ascii_case("toml"));
        if is_path || as_path.is_file() {
            return Ok(as_path.to_owned());
        }
        let name = wanted.trim().to_lowercase().replace(' ', "-");
        let file = self.formulas().join(format!("{name}.toml"));
        if file.is_file() {
            return Ok(file);
        }
        let known = self.formula_names();
        let what = format!("no formula \"{wanted}\" in {}", self.formulas().display());
        let hint = match files::nearest(&name, known.iter().map(String::as_str)) {
            Some(nearest) => format!("did you mean \"{nearest}\"?"),
            None if known.is_empty() => {
                "give the path of a formula file, or try `jarwright demo` for a folder with formulas".to_owned()
            }
            None => format!("there are: {}; or give the path of a file", shortened(&known)),
        };
        Err(Stop::asked(what, hint))
    }

    /// Names of the formulas in the folder, sorted; none when it cannot be listed.
    #[must_use]
    pub fn formula_names(&self) -> Vec<String> {
        let Ok(entries) = fs::read_dir(self.formulas()) else {
            return Vec::new();
        };
        let mut names: Vec<String> = entries
            .take(MOST_FORMULAS)
            .filter_map(Result::ok)
            .map(|entry| entry.path())
            .filter(|path| path.extension().is_some_and(|end| end == "toml"))
            .filter_map(|path| path.file_stem().and_then(|stem| stem.to_str()).map(str::to_owned))
            .collect();
        names.sort();
        names
    }
}

fn shortened(names: &[String]) -> String {
    const MOST: usize = 12;
    let shown: Vec<&str> = names.iter().take(MOST).map(String::as_str).collect();
    let rest = names.len().saturating_sub(MOST);
    if rest == 0 {
        shown.join(", ")
    } else {
        format!("{} and {rest} more", shown.join(", "))
    }
}

/// Reads a text file of at most [`MOST_BYTES`].
///
/// # Errors
/// A folder, a missing, unreadable, too large or non-UTF-8 file, each in plain words.
pub fn read_text(path: &Path) -> Result<String, Stop> {
    let hint = "a kitchen, stores or formula file has a few thousand bytes; check the name";
    read_up_to(path, MOST_BYTES, hint)
}

/// Reads an answer that the program saved, of at most [`MOST_SAVED_BYTES`].
///
/// # Errors
/// As [`read_text`].
pub fn read_saved(path: &Path) -> Result<String, Stop> {
    read_up_to(path, MOST_SAVED_BYTES, "name a file that was saved with --json")
}

fn read_up_to(path: &Path, most_bytes: u64, hint: &str) -> Result<String, Stop> {
    let fault = |error: &std::io::Error| {
        let (what, hint) = read_fault(error, path);
        Stop::file(path, what, hint)
    };
    let file = File::open(path).map_err(|error| fault(&error))?;
    let about = file.metadata().map_err(|error| fault(&error))?;
    if about.is_dir() {
        return Err(Stop::file(
            path,
            "this is a folder, not a file",
            "name the file inside it",
        ));
    }
    let too_large = || {
        Stop::file(
            path,
            format!(
                "larger than {} MiB, so it is not one of this program's files",
                most_bytes >> 20
            ),
            hint,
        )
    };
    if about.is_file() && about.len() > most_bytes {
        return Err(too_large());
    }
    let mut bytes = Vec::new();
    file.take(most_bytes + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| fault(&error))?;
    if bytes.len() as u64 > most_bytes {
        return Err(too_large());
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at].iter().filter(|&&byte| byte == b'\n').count() + 1;
        let byte = error.as_bytes().get(at).copied().unwrap_or_default();
        Stop::file(
            path,
            format!("byte {} (line {line}) is 0x{byte:02x}, which is not UTF-8 text", at + 1),
            "save the file as plain text in UTF-8; a document or picture cannot be read",
        )
    })
}

fn read_fault(error: &std::io::Error, path: &Path) -> (String, String) {
    match error.kind() {
        ErrorKind::NotFound => {
            let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
            let hint = match name {
                "kitchen.toml" => "`jarwright setup` makes it, question by question; `jarwright demo` shows one",
                "stores.toml" => "`jarwright demo` shows what one looks like; or name yours with --stores",
                _ => "check the name and the folder you are in",
            };
            ("there is no such file".into(), hint.into())
        }
        ErrorKind::PermissionDenied => (
            "this file may not be read by you".into(),
            "change its permissions, or copy it to a folder of yours".into(),
        ),
        ErrorKind::IsADirectory => ("this is a folder, not a file".into(), "name the file inside it".into()),
        _ => (
            format!("could not be read: {error}"),
            "check the name, the disk and the permissions".into(),
        ),
    }
}

/// Makes a folder and those above it.
///
/// # Errors
/// In plain words when it cannot be made, such as a file standing in its place.
pub fn make_dir(dir: &Path) -> Result<(), Stop> {
    fs::create_dir_all(dir).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists | ErrorKind::NotADirectory => Stop::file(
            dir,
            "a file stands where the folder should be",
            "name another folder, or move the file",
        ),
        _ => Stop::file(dir, write_fault(&error), "name a folder that you may write to"),
    })
}

fn write_fault(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "may not be written by you".into(),
        ErrorKind::ReadOnlyFilesystem => "stands on a disk that cannot be written".into(),
        ErrorKind::StorageFull => "the disk is full".into(),
        _ => format!("could not be written: {error}"),
    }
}

/// Reads a text file that nobody but its owner may read (known on unix only).
///
/// # Errors
/// As [`read_text`], and for a file that others may read.
pub fn read_private(path: &Path) -> Result<String, Stop> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let others = fs::metadata(path).is_ok_and(|about| about.is_file() && about.permissions().mode() & 0o077 != 0);
        if others {
            return Err(Stop::file(
                path,
                "others than its owner may read this file, and it is a secret",
                format!("close it to them: chmod 600 {}", path.display()),
            ));
        }
    }
    read_text(path)
}

/// Writes a file whole or not at all: aside, synced, then renamed into place.
///
/// # Errors
/// In plain words; the file that was there before is then untouched.
pub fn write_whole(path: &Path, text: &str) -> Result<(), Stop> {
    write_by(path, text, |aside| File::create(aside))
}

/// As [`write_whole`], of a file that nobody but its owner may read (on unix).
///
/// # Errors
/// As [`write_whole`].
pub fn write_private(path: &Path, text: &str) -> Result<(), Stop> {
    write_by(path, text, |aside| {
        // One left by a program that was stopped may be readable; a new one is not.
        let _ = fs::remove_file(aside);
        let mut options = fs::OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        options.open(aside)
    })
}

fn write_by(path: &Path, text: &str, create: impl FnOnce(&Path) -> std::io::Result<File>) -> Result<(), Stop> {
    let fault = |error: &std::io::Error| {
        Stop::file(
            path,
            write_fault(error),
            "the old file, if there was one, is as it was; free the disk or name another folder",
        )
    };
    if path.is_dir() {
        return Err(Stop::file(
            path,
            "this is a folder, not a file",
            "name another folder, or move this one away",
        ));
    }
    let dir = path
        .parent()
        .filter(|dir| !dir.as_os_str().is_empty())
        .unwrap_or_else(|| Path::new("."));
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let aside = dir.join(format!(".{name}.{}.part", std::process::id()));
    let written = create(&aside).and_then(|mut file| {
        file.write_all(text.as_bytes())?;
        file.sync_all()
    });
    let placed = written.and_then(|()| fs::rename(&aside, path));
    if let Err(error) = placed {
        // What is left aside is of no use; when it cannot be removed there is nothing more to do.
        let _ = fs::remove_file(&aside);
        return Err(fault(&error));
    }
    // The name itself is safe on the disk once its folder is synced; not every system lets a
    // folder be opened for that, and the file is whole either way.
    if let Ok(folder) = File::open(dir) {
        let _ = folder.sync_all();
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(given: &'static [(&'static str, &'static str)]) -> impl Fn(&str) -> Option<PathBuf> {
        move |name| {
            given
                .iter()
                .find(|(known, _)| *known == name)
                .map(|(_, path)| PathBuf::from(path))
        }
    }

    #[test]
    fn the_option_goes_before_the_variable_and_both_before_the_usual_place() -> Result<(), Stop> {
        let all = &[("JARWRIGHT_DATA", "/v"), ("XDG_DATA_HOME", "/x"), ("HOME", "/h")];
        let found = DataDir::find_among(Some(Path::new("/o")), names(all))?;
        assert_eq!(found.path, Path::new("/o"));
        assert_eq!(DataDir::find_among(None, names(all))?.path, Path::new("/v"));
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn the_usual_place_is_the_platforms() -> Result<(), Stop> {
        let home = DataDir::find_among(None, names(&[("HOME", "/h")]))?;
        assert_eq!(home.path, Path::new("/h/.local/share/jarwright"));
        let relative = DataDir::find_among(None, names(&[("HOME", "/h"), ("XDG_DATA_HOME", "x")]))?;
        assert_eq!(relative.path, Path::new("/h/.local/share/jarwright"));
        assert!(DataDir::find_among(None, names(&[])).is_err());
        Ok(())
    }

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_aside() -> Result<(), Box<dyn std::error::Error>> {
        let dir = tempfile::tempdir()?;
        let file = dir.path().join("a.toml");
        write_whole(&file, "one").map_err(|stop| format!("{stop:?}"))?;
        write_whole(&file, "two").map_err(|stop| format!("{stop:?}"))?;
        assert_eq!(fs::read_to_string(&file)?, "two");
        assert_eq!(fs::read_dir(dir.path())?.count(), 1);
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn a_secret_is_read_by_its_owner_alone() -> Result<(), Box<dyn std::error::Error>> {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir()?;
        let file = dir.path().join("secret");
        write_private(&file, "one").map_err(|stop| format!("{stop:?}"))?;
        assert_eq!(fs::metadata(&file)?.permissions().mode() & 0o777, 0o600);
        assert!(matches!(read_private(&file).as_deref(), Ok("one")));
        for mode in [0o640, 0o604, 0o644] {
            fs::set_permissions(&file, fs::Permissions::from_mode(mode))?;
            assert!(matches!(read_private(&file), Err(Stop::File { hint, .. }) if hint.contains("chmod 600")));
        }
        Ok(())
    }

    #[test]
    fn a_text_that_is_not_utf8_names_its_byte() -> Result<(), Box<dyn std::error::Error>> {
        let dir = tempfile::tempdir()?;
        let file = dir.path().join("a.toml");
        fs::write(&file, b"a = 1\nb = \xff")?;
        let Err(Stop::File { what, .. }) = read_text(&file) else {
            return Err("read".into());
        };
        assert!(what.contains("byte 11 (line 2) is 0xff"), "{what}");
        Ok(())
    }
}
