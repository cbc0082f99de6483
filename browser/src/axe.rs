//! The accessibility rules of axe-core, run on the page that stands.
//!
//! The library is installed for the tests alone, into the build folder, at the version and with the
//! checksum that `axe/package-lock.json` holds.

use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

use serde::Deserialize;

use crate::served::target;
use crate::tab::Tab;
use crate::{Any, Done};

const ORDERED: &str = include_str!("../axe/package.json");
const LOCKED: &str = include_str!("../axe/package-lock.json");

/// WCAG 2.2 at level AA with everything below it, and the library's best practices.
const ASK: &str = "axe.run(document, {
    runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22a', 'wcag22aa', 'best-practice'] },
    resultTypes: ['violations'],
  }).then((answer) => answer.violations.map((rule) => ({
    id: rule.id,
    help: rule.help,
    at: rule.nodes.map((node) => `${node.target.join(' ')}: ${node.any.concat(node.all, node.none).map((c) => c.message).join('; ')}`),
  })))";

/// A rule that a page breaks.
#[derive(Debug, Clone, Deserialize)]
pub struct Broken {
    /// The rule's short name.
    pub id: String,
    /// What it asks.
    pub help: String,
    /// Where it is broken, and how.
    pub at: Vec<String>,
}

impl std::fmt::Display for Broken {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let shown: Vec<&str> = self.at.iter().take(3).map(String::as_str).collect();
        write!(
            f,
            "{} ({}) at {} places: {}",
            self.id,
            self.help,
            self.at.len(),
            shown.join(" | ")
        )
    }
}

/// The library's text.
///
/// # Errors
/// Where npm is missing, or what it fetched is not what is locked.
pub fn library() -> Done<&'static str> {
    static TEXT: OnceLock<Result<String, String>> = OnceLock::new();
    TEXT.get_or_init(|| install().map_err(|fault| fault.to_string()))
        .as_deref()
        .map_err(|fault| Any::from(fault.clone()))
}

fn install() -> Done<String> {
    let folder: PathBuf = target()?.join("axe");
    std::fs::create_dir_all(&folder)?;
    // Two test programs may install at once.
    let lock = std::fs::File::create(folder.join("lock"))?;
    lock.lock()?;
    let script = folder.join("node_modules/axe-core/axe.min.js");
    let installed = std::fs::read_to_string(folder.join("installed")).unwrap_or_default();
    if installed != LOCKED || !script.is_file() {
        std::fs::write(folder.join("package.json"), ORDERED)?;
        std::fs::write(folder.join("package-lock.json"), LOCKED)?;
        let answer = Command::new("npm")
            .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"])
            .current_dir(&folder)
            .output()
            .map_err(|fault| format!("npm cannot be run: {fault} (Debian's package is called npm)"))?;
        if !answer.status.success() {
            return Err(format!("npm ci: {}", String::from_utf8_lossy(&answer.stderr)).into());
        }
        std::fs::write(folder.join("installed"), LOCKED)?;
    }
    Ok(std::fs::read_to_string(script)?)
}

/// The rules that the page in a tab breaks.
///
/// # Errors
/// Where the rules cannot be run.
pub async fn broken(tab: &Tab) -> Done<Vec<Broken>> {
    if !tab.eval::<bool>("'axe' in window").await? {
        tab.eval::<bool>(&format!("{}\n;true", library()?)).await?;
    }
    tab.eval(ASK).await
}
