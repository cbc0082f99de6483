//! Every page that a link leads to, at a desk and on a telephone, light and dark.

use jarwright_browser::chrome::{Chrome, Size};
use jarwright_browser::crawl::{Found, crawl};
use jarwright_browser::served::Served;
use jarwright_browser::tab::Tab;
use jarwright_browser::{Done, axe, look, none, steps};

const THEMES: [&str; 2] = ["light", "dark"];
const SIZES: [Size; 2] = [Size::WIDE, Size::NARROW];
/// Narrowest window that must do without scrolling sideways (WCAG 2.2, success criterion 1.4.10).
const REFLOW: Size = Size {
    width: 320,
    height: 640,
};

/// A house with everything in it, and every page of it.
struct Looked {
    house: Served,
    chrome: Chrome,
    tab: Tab,
    pages: Vec<Found>,
    _data: tempfile::TempDir,
}

impl Looked {
    async fn at() -> Done<Self> {
        let data = tempfile::tempdir()?;
        let house = Served::open(data.path())?;
        let chrome = Chrome::open().await?;
        let tab = chrome.person(house.address(), Size::WIDE).await?;
        steps::furnish(&tab).await?;
        let pages = crawl(&tab).await?;
        // What furnishing and crawling complained of is looked at page by page.
        tab.complaints().await?;
        Ok(Self {
            house,
            chrome,
            tab,
            pages,
            _data: data,
        })
    }

    /// Pages that came; those that did not are one test's business.
    fn there(&self) -> impl Iterator<Item = &Found> {
        self.pages.iter().filter(|page| page.status == 200)
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn no_link_leads_nowhere_and_no_page_complains() -> Done {
    let looked = Looked::at().await?;
    assert!(looked.pages.len() > 40, "{} pages", looked.pages.len());
    let mut faults = Vec::new();
    for page in &looked.pages {
        if page.status != 200 {
            faults.push(format!("{} answers {} (from {})", page.path, page.status, page.from));
            continue;
        }
        looked.tab.open(&page.path).await?;
        for complaint in looked.tab.complaints().await? {
            faults.push(format!("{}: {complaint}", page.path));
        }
        for written in look::inline(&looked.tab).await? {
            faults.push(format!("{}: {written}", page.path));
        }
    }
    looked.chrome.close().await?;
    none(&faults)
}

#[tokio::test(flavor = "multi_thread")]
async fn no_page_breaks_a_rule_of_accessibility_in_either_theme_at_either_size() -> Done {
    let looked = Looked::at().await?;
    let tab = &looked.tab;
    let mut faults = Vec::new();
    for theme in THEMES {
        steps::read_in(tab, theme).await?;
        for page in looked.there() {
            tab.open(&page.path).await?;
            for size in SIZES {
                tab.resize(size).await?;
                for broken in axe::broken(tab).await? {
                    faults.push(format!("{} {theme} {}: {broken}", page.path, size.width));
                }
            }
        }
    }
    looked.chrome.close().await?;
    none(&faults)
}

#[tokio::test(flavor = "multi_thread")]
async fn pages_out_of_the_ordinary_break_no_rule_of_accessibility_either() -> Done {
    let data = tempfile::tempdir()?;
    let house = Served::open(data.path())?;
    let chrome = Chrome::open().await?;
    let tab = chrome.person(house.address(), Size::NARROW).await?;
    let mut faults = Vec::new();
    let mut look = async |what: &str| -> Done {
        for broken in axe::broken(&tab).await? {
            faults.push(format!("{what}: {broken}"));
        }
        for wide in look::too_wide(&tab).await? {
            faults.push(format!("{what}: {wide}"));
        }
        Ok(())
    };
    assert_eq!(tab.open("/").await?, 200);
    look("the empty house").await?;
    steps::begin(&tab).await?;
    assert_eq!(tab.open("/nothing/here").await?, 404);
    look("a page that is not there").await?;
    tab.open("/runs/new").await?;
    tab.fill("[name=name]", "Nonsense").await?;
    tab.choose("[name='make.0.formula']", "lime-curd").await?;
    tab.fill("[name='make.0.jars']", "many").await?;
    assert_eq!(tab.follow("button[name=do][value=keep]").await?, 422);
    look("a question with a fault").await?;
    tab.open("/formulas/lime-curd").await?;
    tab.fill("[name=stop_at]", "warm").await?;
    assert_eq!(tab.follow("p.do button[name=do][value=keep]").await?, 422);
    look("a formula with a fault").await?;
    chrome.close().await?;
    none(&faults)
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_fits_a_telephone_and_is_read_and_hit_at_arms_length() -> Done {
    let looked = Looked::at().await?;
    let tab = &looked.tab;
    let mut faults = Vec::new();
    for page in looked.there().filter(|page| !page.is_paper()) {
        tab.resize(Size::WIDE).await?;
        tab.open(&page.path).await?;
        for size in [Size::WIDE, Size::NARROW, REFLOW] {
            tab.resize(size).await?;
            let mut met = look::too_wide(tab).await?;
            met.extend(look::too_small_to_read(tab).await?);
            met.extend(look::too_small_to_hit(tab).await?);
            faults.extend(
                met.iter()
                    .take(4)
                    .map(|fault| format!("{} at {}: {fault}", page.path, size.width)),
            );
        }
    }
    looked.chrome.close().await?;
    none(&faults)
}

#[tokio::test(flavor = "multi_thread")]
async fn whatever_takes_the_focus_shows_it() -> Done {
    let looked = Looked::at().await?;
    let tab = &looked.tab;
    let mut faults = Vec::new();
    for page in looked.there().filter(|page| !page.is_paper()) {
        tab.open(&page.path).await?;
        for fault in look::unseen_focus(tab).await? {
            faults.push(format!("{}: {fault}", page.path));
        }
    }
    looked.chrome.close().await?;
    none(&faults)
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_says_the_same_without_script() -> Done {
    // A film shows one frame after another with script, and all of them without.
    const SAID: &str = "(() => { for (const film of document.querySelectorAll('.film')) film.remove(); \
        return document.body.innerText; })()";
    let looked = Looked::at().await?;
    let still = looked.chrome.person(looked.house.address(), Size::WIDE).await?;
    still.scripts(false).await?;
    let mut faults = Vec::new();
    for page in looked.there() {
        looked.tab.open(&page.path).await?;
        still.open(&page.path).await?;
        let (with, without): (String, String) = (looked.tab.eval(SAID).await?, still.eval(SAID).await?);
        if with != without {
            let differ = with.lines().zip(without.lines()).find(|(a, b)| a != b);
            faults.push(format!("{}: {differ:?}", page.path));
        }
    }
    looked.chrome.close().await?;
    none(&faults)
}
