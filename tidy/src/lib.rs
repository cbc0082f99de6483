//! The repository as text: what the rules in `tests/repository` look at.
//!
//! Nothing here knows a rule. Read next: `tests/repository/main.rs`.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// One file of the repository.
#[derive(Debug)]
pub struct Text {
    /// Path from the repository's root, with `/`.
    pub path: String,
    /// The whole text.
    pub text: String,
}

impl Text {
    /// The part of a Rust file before its tests.
    #[must_use]
    pub fn before_tests(&self) -> &str {
        self.text.split("#[cfg(test)]").next().unwrap_or_default()
    }

    /// Whether the file holds only tests.
    #[must_use]
    pub fn is_tests(&self) -> bool {
        self.path.contains("/tests/") || self.path.ends_with("/tests.rs")
    }
}

/// Folder of the repository.
#[must_use]
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap_or(Path::new("."))
}

/// Endings of the files that people write.
const WRITTEN: [&str; 9] = ["rs", "toml", "md", "csv", "py", "css", "sh", "svg", "html"];
/// Files without an ending that people write.
const NAMED: [&str; 3] = ["check", "run", ".gitignore"];
/// Folders that hold no work: what a build, the version store or the demo leaves.
const PASSED_OVER: [&str; 4] = ["target", ".git", "jarwright-demo", "demo-data"];
/// Deepest folder looked into.
const DEEPEST: usize = 12;

/// Every file under a folder of the repository that people write, sorted by path.
///
/// # Errors
/// A folder or file that cannot be read, or a text that is not UTF-8.
pub fn texts(folder: &str) -> io::Result<Vec<Text>> {
    let mut found = Vec::new();
    gather(&root().join(folder), DEEPEST, &mut found)?;
    found.sort();
    found
        .into_iter()
        .map(|path| {
            let name = path
                .strip_prefix(root())
                .unwrap_or(&path)
                .to_string_lossy()
                .replace('\\', "/");
            Ok(Text {
                path: name,
                text: fs::read_to_string(&path)?,
            })
        })
        .collect()
}

fn gather(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .unwrap_or_default();
        let ending = path
            .extension()
            .map(|ending| ending.to_string_lossy().into_owned())
            .unwrap_or_default();
        if path.is_dir() {
            if depth > 0 && !PASSED_OVER.contains(&name.as_str()) {
                gather(&path, depth - 1, found)?;
            }
        } else if WRITTEN.contains(&ending.as_str()) || NAMED.contains(&name.as_str()) || name.starts_with("LICENSE") {
            found.push(path);
        }
    }
    Ok(())
}

/// Names of the folders directly inside a folder of the repository, without those that start
/// with a dot or hold no work, sorted.
///
/// # Errors
/// A folder that cannot be read.
pub fn folders(folder: &str) -> io::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in fs::read_dir(root().join(folder))? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_dir() && !name.starts_with('.') && !PASSED_OVER.contains(&name.as_str()) {
            names.push(name);
        }
    }
    names.sort();
    Ok(names)
}

/// What stands between backticks on one line, outside fenced blocks.
#[must_use]
pub fn backticked(markdown: &str) -> Vec<&str> {
    let mut fenced = false;
    let mut found = Vec::new();
    for line in markdown.lines() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            found.extend(line.split('`').skip(1).step_by(2));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fenced_blocks_are_not_prose() {
        let text = "see `a` and `b c`\n```sh\n`d`\n```\n`e`";
        assert_eq!(backticked(text), ["a", "b c", "e"]);
    }

    #[test]
    fn the_root_holds_the_workspace() {
        assert!(root().join("Cargo.toml").is_file() && root().join("tidy").is_dir());
    }
}
