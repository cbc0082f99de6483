//! Files in and out: bounded, whole or not at all.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::Path;

use jarwright_kitchen::ports::{MOST_TEXT_BYTES, Text};

/// Reads a text file; none when there is no such file.
///
/// # Errors
/// In plain words: a link, no ordinary file, unreadable, too large, not UTF-8, or with a NUL in it.
pub fn read(path: &Path) -> Result<Option<Text>, String> {
    let unreadable = |error: &io::Error| match error.kind() {
        ErrorKind::PermissionDenied => "may not be read by you".to_owned(),
        _ => format!("could not be read: {error}"),
    };
    // Asked before opening: a pipe would be waited on for ever, a link leads elsewhere.
    match fs::symlink_metadata(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(unreadable(&error)),
        Ok(about) if about.is_symlink() => return Err("is a link, not a file".into()),
        Ok(about) if !about.is_file() => return Err("is not an ordinary file".into()),
        Ok(_) => {}
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|error| unreadable(&error))?;
    file.take(MOST_TEXT_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| unreadable(&error))?;
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at].iter().filter(|&&byte| byte == b'\n').count() + 1;
        format!("is not UTF-8 text (line {line})")
    });
    Text::new(text?).map(Some).map_err(|error| error.to_string())
}

/// Writes a file whole or not at all: aside, synced, then renamed into place.
///
/// # Errors
/// The file that was there before is then untouched.
pub fn write(path: &Path, text: &Text) -> io::Result<()> {
    let (Some(folder), Some(name)) = (path.parent(), path.file_name()) else {
        return Err(ErrorKind::InvalidInput.into());
    };
    let aside = folder.join(format!(".{}.{}.part", name.to_string_lossy(), std::process::id()));
    // Left by a program that was stopped, or a link laid there: not written through.
    match fs::remove_file(&aside) {
        Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    let written = File::create_new(&aside).and_then(|mut file| {
        file.write_all(text.as_str().as_bytes())?;
        file.sync_all()
    });
    if let Err(error) = written.and_then(|()| fs::rename(&aside, path)) {
        // What is left aside is of no use; when it cannot be removed there is nothing more to do.
        let _ = fs::remove_file(&aside);
        return Err(error);
    }
    sync_folder(folder);
    Ok(())
}

/// A new name is on the disk once its folder is; not every system lets a folder be opened.
pub fn sync_folder(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}
