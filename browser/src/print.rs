//! What came out of the printer, read with poppler's tools.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use std::process::Command;

use crate::{Any, Done};

/// Points in an inch of PDF, exactly.
const POINTS_PER_INCH: f64 = 72.0;

/// A paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm (ISO 216).
    A4,
    /// 8.5 in by 11 in (ANSI/ASME Y14.1, size A).
    Letter,
}

/// A word on a page, with its box in points from the top left.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    /// The word.
    pub text: String,
    /// Left edge [pt].
    pub left: f64,
    /// Top edge [pt].
    pub top: f64,
    /// Right edge [pt].
    pub right: f64,
    /// Bottom edge [pt].
    pub bottom: f64,
}

/// A printed page.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// Width [pt].
    pub width: f64,
    /// Height [pt].
    pub height: f64,
    /// Its words.
    pub words: Vec<Word>,
}

impl Paper {
    /// Both.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Width and height [in].
    #[must_use]
    pub fn inches(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0 / 25.4, 297.0 / 25.4),
            Self::Letter => (8.5, 11.0),
        }
    }

    /// Width and height [pt].
    #[must_use]
    pub fn points(self) -> (f64, f64) {
        let (width, height) = self.inches();
        (width * POINTS_PER_INCH, height * POINTS_PER_INCH)
    }
}

/// Pages of a PDF with every word on them.
///
/// # Errors
/// Where poppler's tools are missing, or cannot read it.
pub fn leaves(pdf: &[u8]) -> Done<Vec<Leaf>> {
    let file = on_disk(pdf)?;
    let answer = poppler("pdftotext", &["-bbox"], file.path(), Some("-"))?;
    let text = String::from_utf8(answer)?;
    let mut leaves: Vec<Leaf> = Vec::new();
    for line in text.lines().map(str::trim) {
        let number = |name: &str| {
            attribute(line, name)
                .and_then(|value| value.parse::<f64>().ok())
                .unwrap_or(f64::NAN)
        };
        if line.starts_with("<page ") {
            leaves.push(Leaf {
                width: number("width"),
                height: number("height"),
                words: Vec::new(),
            });
        } else if line.starts_with("<word ")
            && let Some(leaf) = leaves.last_mut()
        {
            let inner = line.split_once('>').map_or("", |(_, rest)| rest);
            leaf.words.push(Word {
                text: plain(inner.split("</word>").next().unwrap_or_default()),
                left: number("xMin"),
                top: number("yMin"),
                right: number("xMax"),
                bottom: number("yMax"),
            });
        }
    }
    Ok(leaves)
}

/// Pages of a PDF as PNG, at `dpi` dots an inch.
///
/// # Errors
/// As [`leaves`].
pub fn pictures(pdf: &[u8], dpi: u32) -> Done<Vec<Vec<u8>>> {
    let file = on_disk(pdf)?;
    let folder = tempfile::tempdir()?;
    let stem = folder.path().join("leaf");
    let dpi = dpi.to_string();
    poppler(
        "pdftoppm",
        &["-png", "-r", &dpi],
        file.path(),
        Some(&stem.to_string_lossy()),
    )?;
    let mut made: Vec<_> = std::fs::read_dir(folder.path())?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()?;
    made.sort();
    made.iter().map(|path| std::fs::read(path).map_err(Any::from)).collect()
}

/// Letters and digits of a text, without what may be broken or set otherwise on paper.
#[must_use]
pub fn letters(text: &str) -> BTreeMap<char, usize> {
    let mut count = BTreeMap::new();
    for letter in text.chars().filter(|c| c.is_alphanumeric()) {
        *count.entry(letter).or_default() += 1;
    }
    count
}

fn on_disk(pdf: &[u8]) -> Done<tempfile::NamedTempFile> {
    let mut file = tempfile::NamedTempFile::new()?;
    file.write_all(pdf)?;
    file.flush()?;
    Ok(file)
}

fn poppler(tool: &str, options: &[&str], pdf: &Path, to: Option<&str>) -> Done<Vec<u8>> {
    let answer = Command::new(tool)
        .args(options)
        .arg(pdf)
        .args(to)
        .output()
        .map_err(|fault| format!("{tool} cannot be run: {fault} (Debian's package is called poppler-utils)"))?;
    if answer.status.success() {
        Ok(answer.stdout)
    } else {
        Err(format!("{tool}: {}", String::from_utf8_lossy(&answer.stderr)).into())
    }
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let rest = tag.split_once(&format!("{name}=\""))?.1;
    rest.split('"').next()
}

fn plain(text: &str) -> String {
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}
