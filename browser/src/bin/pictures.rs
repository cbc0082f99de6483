//! `pictures`: every page as a person sees it, and every sheet as it prints, into `docs/pictures/`.
//!
//! Names come from the pages' addresses, so a page made again lies in its old place. Of figures'
//! whys a few are enough. Pictures are reduced to a palette and halved where that keeps the folder small.
//!
//! ```text
//! cargo run -p jarwright-browser --bin pictures
//! cargo run -p jarwright-browser --bin pictures -- --into pictures
//! ```

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use jarwright_browser::chrome::{Chrome, Size};
use jarwright_browser::crawl::{Found, crawl};
use jarwright_browser::print::{self, Paper};
use jarwright_browser::served::{Build, Served};
use jarwright_browser::tab::Tab;
use jarwright_browser::{Done, steps};

/// Each size with the word in the file's name.
const SIZES: [(Size, &str); 3] = [(Size::WIDE, "wide"), (Size::TABLET, "tablet"), (Size::NARROW, "narrow")];
/// Whys that are pictured.
const MOST_WHYS: usize = 4;
/// Dots an inch of printed pages.
const PAPER_DPI: u32 = 60;
/// Leaves of a sheet that are pictured.
const MOST_LEAVES: usize = 2;
/// Tallest picture [px]; what lies below is more of the same.
const TALLEST_PX: u32 = 2400;
/// The whole folder [bytes].
const MOST_BYTES: u64 = 6_000_000;
/// Colours of a reduced picture.
const COLOURS: usize = 32;
/// How many pixels one sample of the palette stands for; 1 is slowest and truest.
const SAMPLE: i32 = 10;

#[tokio::main]
async fn main() -> Done {
    let into = into()?;
    std::fs::create_dir_all(&into)?;
    let data = tempfile::tempdir()?;
    let house = Served::open_built(Build::Dev, data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::WIDE).await?;
    tab.open("/").await?;
    let mut made = BTreeSet::new();
    shoot(&tab, "begin", &into, &mut made).await?;
    steps::begin(&tab).await?;
    steps::plan(&tab, &steps::MARKET_DAY).await?;
    let pages = crawl(&tab).await?;
    for page in chosen(&pages) {
        tab.open(&page.path).await?;
        if page.is_paper() {
            paper(&tab, &page.file_name(), &into, &mut made).await?;
        } else {
            shoot(&tab, &page.file_name(), &into, &mut made).await?;
        }
    }
    steps::read_in(&tab, "dark").await?;
    tab.open("/").await?;
    tab.resize(Size::WIDE).await?;
    keep(&into.join("first-dark.png"), &tab.picture().await?, &mut made)?;
    chrome.close().await?;

    let gone = sweep(&into, &made)?;
    let bytes = weight(&into)?;
    println!(
        "{} pictures, {:.1} MB, in {}; {gone} old ones gone",
        made.len(),
        bytes as f64 / 1e6,
        into.display()
    );
    if bytes > MOST_BYTES {
        return Err(format!("the folder is to stay below {} MB", MOST_BYTES / 1_000_000).into());
    }
    Ok(())
}

fn into() -> Done<PathBuf> {
    let mut words = std::env::args().skip(1);
    match (words.next().as_deref(), words.next()) {
        (None, _) => Ok(Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/pictures")),
        (Some("--into"), Some(folder)) => Ok(folder.into()),
        _ => Err("the one option is --into FOLDER".into()),
    }
}

/// Pages that came, with a few whys.
fn chosen(pages: &[Found]) -> impl Iterator<Item = &Found> {
    let mut whys = 0;
    pages.iter().filter(move |page| {
        let why = page.path.starts_with("/why/");
        whys += usize::from(why);
        page.status == 200 && (!why || whys <= MOST_WHYS)
    })
}

async fn shoot(tab: &Tab, name: &str, into: &Path, made: &mut BTreeSet<PathBuf>) -> Done {
    for (size, word) in SIZES {
        tab.resize(size).await?;
        keep(&into.join(format!("{name}-{word}.png")), &tab.picture().await?, made)?;
    }
    Ok(())
}

async fn paper(tab: &Tab, name: &str, into: &Path, made: &mut BTreeSet<PathBuf>) -> Done {
    let pdf = tab.printed(Paper::A4).await?;
    for (number, leaf) in print::pictures(&pdf, PAPER_DPI)?.iter().take(MOST_LEAVES).enumerate() {
        keep(&into.join(format!("{name}-leaf-{}.png", number + 1)), leaf, made)?;
    }
    Ok(())
}

fn keep(path: &Path, png: &[u8], made: &mut BTreeSet<PathBuf>) -> Done {
    std::fs::write(path, reduced(png)?)?;
    made.insert(path.to_path_buf());
    Ok(())
}

/// A picture with a palette of its own, cut below [`TALLEST_PX`].
fn reduced(picture: &[u8]) -> Done<Vec<u8>> {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(picture));
    decoder.set_transformations(png::Transformations::normalize_to_color8() | png::Transformations::ALPHA);
    let mut reader = decoder.read_info()?;
    let mut dots = vec![0; reader.output_buffer_size().ok_or("a picture too large to hold")?];
    let frame = reader.next_frame(&mut dots)?;
    dots.truncate(frame.buffer_size());
    let rgba: Vec<u8> = match frame.color_type {
        png::ColorType::Rgba => dots,
        png::ColorType::GrayscaleAlpha => dots.chunks_exact(2).flat_map(|d| [d[0], d[0], d[0], d[1]]).collect(),
        other => return Err(format!("a picture of {other:?}").into()),
    };
    let height = frame.height.min(TALLEST_PX);
    let wanted = frame.width as usize * height as usize * 4;
    let rgba = rgba.get(..wanted).unwrap_or(&rgba);
    let palette = color_quant::NeuQuant::new(SAMPLE, COLOURS, rgba);
    let dots: Vec<u8> = rgba.chunks_exact(4).map(|dot| palette.index_of(dot) as u8).collect();
    let mut written = Vec::new();
    let mut encoder = png::Encoder::new(&mut written, frame.width, height);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette.color_map_rgb());
    encoder.set_compression(png::Compression::High);
    encoder.set_filter(png::Filter::NoFilter);
    encoder.write_header()?.write_image_data(&dots)?;
    Ok(written)
}

/// Takes away pictures that no page made this time.
fn sweep(folder: &Path, made: &BTreeSet<PathBuf>) -> Done<usize> {
    let mut gone = 0;
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|ending| ending == "png") && !made.contains(&path) {
            std::fs::remove_file(path)?;
            gone += 1;
        }
    }
    Ok(gone)
}

fn weight(folder: &Path) -> Done<u64> {
    let mut bytes = 0;
    for entry in std::fs::read_dir(folder)? {
        bytes += entry?.metadata()?.len();
    }
    Ok(bytes)
}
