//! The program, built and serving its pages on a free port of this machine.

use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::{Duration, Instant};

use crate::{Any, Done};

/// Says which build the tests serve, where it is not the one tests are built with.
const BUILD: &str = "JARWRIGHT_BUILD";

/// How the program is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Build {
    /// As tests are.
    Dev,
    /// As people use it.
    Release,
}

/// A served house; closed when dropped.
#[derive(Debug)]
pub struct Served {
    child: Child,
    address: String,
    opened_in: Duration,
}

/// The folder Cargo builds into: this file's program lies in `target/PROFILE` or one below it.
///
/// # Errors
/// Where this program lies somewhere else.
pub fn target() -> Done<PathBuf> {
    let here = std::env::current_exe()?;
    here.ancestors()
        .find(|folder| folder.join("CACHEDIR.TAG").is_file())
        .map(Path::to_path_buf)
        .ok_or_else(|| format!("{} is in no build folder", here.display()).into())
}

/// The program, built anew where its sources changed.
///
/// # Errors
/// What the build said.
pub fn program(build: Build) -> Done<PathBuf> {
    static DEV: OnceLock<Result<PathBuf, String>> = OnceLock::new();
    static RELEASE: OnceLock<Result<PathBuf, String>> = OnceLock::new();
    let once = match build {
        Build::Dev => &DEV,
        Build::Release => &RELEASE,
    };
    once.get_or_init(|| make(build).map_err(|fault| fault.to_string()))
        .clone()
        .map_err(Any::from)
}

fn make(build: Build) -> Done<PathBuf> {
    let (profile, folder) = match build {
        Build::Dev => ("dev", "debug"),
        Build::Release => ("release", "release"),
    };
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let built = Command::new(cargo)
        .args([
            "build",
            "--quiet",
            "--locked",
            "--package",
            "jarwright",
            "--profile",
            profile,
        ])
        .arg("--target-dir")
        .arg(target()?)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .status()?;
    if !built.success() {
        return Err("the program does not build".into());
    }
    Ok(target()?.join(folder).join("jarwright"))
}

impl Served {
    /// Opens the pages over a data folder.
    ///
    /// # Errors
    /// Where the program cannot be built, or does not say where it listens.
    pub fn open(data: &Path) -> Done<Self> {
        let release = std::env::var_os(BUILD).is_some_and(|build| build == "release");
        Self::open_built(if release { Build::Release } else { Build::Dev }, data)
    }

    /// As [`Self::open`], of a build of one's choice.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn open_built(build: Build, data: &Path) -> Done<Self> {
        let program = program(build)?;
        let begun = Instant::now();
        let mut child = Command::new(program)
            .args(["serve", "--listen", "127.0.0.1:0", "--data"])
            .arg(data)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        let told = Arc::new(Mutex::new(String::new()));
        let (out, err) = (child.stdout.take(), child.stderr.take());
        if let Some(mut err) = err {
            let told = Arc::clone(&told);
            std::thread::spawn(move || {
                let mut text = String::new();
                // What is not text is no message for people.
                let _ = err.read_to_string(&mut text);
                told.lock().unwrap_or_else(PoisonError::into_inner).push_str(&text);
            });
        }
        let mut lines = BufReader::new(out.ok_or("no output to read")?);
        let mut line = String::new();
        while lines.read_line(&mut line)? > 0 {
            if let Some((_, rest)) = line.split_once("http://") {
                let address = format!("http://{}", rest.trim().trim_end_matches('/'));
                // What it says later must not fill the pipe.
                std::thread::spawn(move || std::io::copy(&mut lines, &mut std::io::sink()));
                return Ok(Self {
                    child,
                    address,
                    opened_in: begun.elapsed(),
                });
            }
            line.clear();
        }
        child.wait()?;
        let said = told.lock().unwrap_or_else(PoisonError::into_inner).clone();
        Err(format!("the program ended before it listened: {said}").into())
    }

    /// Where it listens: `http://127.0.0.1:PORT`.
    #[must_use]
    pub fn address(&self) -> &str {
        &self.address
    }

    /// From the start of the process to the address it said.
    #[must_use]
    pub const fn opened_in(&self) -> Duration {
        self.opened_in
    }

    /// Ends it as a power cut would: `SIGKILL`, no farewell.
    ///
    /// # Errors
    /// What the system said.
    pub fn kill(mut self) -> Done {
        self.child.kill()?;
        self.child.wait()?;
        Ok(())
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
