//! Pages found by their links.
//!
//! Of pages that differ only in which thing they show, some are enough: hundreds of figures have a
//! why of their own, all made by one page.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::Done;
use crate::caller::Caller;
use crate::tab::Tab;

/// Most pages that lie side by side.
const MOST_BESIDE: usize = 12;
/// Most pages side by side under a thing named by its hash.
const MOST_OF_ONE_HASH: usize = 6;
/// Most pages in all: a crawl ends.
const MOST_PAGES: usize = 400;

/// A page that a link leads to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Its path, with what is asked of it.
    pub path: String,
    /// The page that led there.
    pub from: String,
    /// The status it came with.
    pub status: u16,
}

impl Found {
    /// Whether it is a sheet laid out for paper, which nobody works on at a screen.
    #[must_use]
    pub fn is_paper(&self) -> bool {
        self.path.contains("/sheets/")
    }

    /// A file name of its own: `runs-market-day-heat`.
    #[must_use]
    pub fn file_name(&self) -> String {
        let words: Vec<String> = shape(&self.path)
            .split(|c: char| !c.is_ascii_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_lowercase)
            .collect();
        if words.is_empty() {
            "first".to_owned()
        } else {
            words.join("-")
        }
    }
}

/// Whether a step of a path is a text's hash.
fn is_hash(step: &str) -> bool {
    step.len() == 64 && step.bytes().all(|b| b.is_ascii_hexdigit())
}

/// A path with every hash as `*`.
#[must_use]
pub fn shape(path: &str) -> String {
    let steps: Vec<&str> = path
        .split('/')
        .map(|step| if is_hash(step) { "*" } else { step })
        .collect();
    steps.join("/")
}

/// What a page has beside it: its path without the last step, and how many of these are looked at.
fn shelf(path: &str) -> (String, usize) {
    let shape = shape(path);
    let parent = shape.rsplit_once('/').map_or("", |(parent, _)| parent).to_owned();
    let most = if parent.contains('*') {
        MOST_OF_ONE_HASH
    } else {
        MOST_BESIDE
    };
    (parent, most)
}

/// Which of the links met are followed: each once, and of those side by side only so many.
#[derive(Debug, Default)]
pub struct Followed {
    met: BTreeSet<String>,
    beside: BTreeMap<String, usize>,
}

impl Followed {
    /// Whether a link is to be followed; remembers that it was.
    pub fn take(&mut self, path: &str) -> bool {
        if self.met.len() >= MOST_PAGES || self.met.contains(path) {
            return false;
        }
        let (shelf, most) = shelf(path);
        let count = self.beside.entry(shelf).or_default();
        if *count >= most {
            return false;
        }
        *count += 1;
        self.met.insert(path.to_owned())
    }
}

/// Every page that can be reached from the first one by links of the house; files to save are none.
///
/// # Errors
/// What the browser said, or where the house does not answer.
pub async fn crawl(tab: &Tab) -> Done<Vec<Found>> {
    const LINKS: &str = "[...document.querySelectorAll('a[href], area[href]')]
        .map((a) => new URL(a.href, location.href))
        .filter((to) => to.origin === location.origin)
        .map((to) => to.pathname + to.search)";
    let caller = Caller::of(tab.house()).await?;
    let mut followed = Followed::default();
    let mut waiting = VecDeque::from([("/".to_owned(), String::new())]);
    let mut found = Vec::new();
    followed.take("/");
    while let Some((path, from)) = waiting.pop_front() {
        // A browser has no page to show for a file.
        if caller.get(&path).await?.to_save {
            continue;
        }
        let status = tab.open(&path).await?;
        for link in tab.eval::<Vec<String>>(LINKS).await? {
            if followed.take(&link) {
                waiting.push_back((link, path.clone()));
            }
        }
        found.push(Found { path, from, status });
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_a_hundred_whys_some_are_followed_and_every_part_of_a_run() {
        let hash = "a".repeat(64);
        let mut followed = Followed::default();
        let whys = (0..100)
            .filter(|q| followed.take(&format!("/why/run/{hash}/q{q}")))
            .count();
        assert_eq!(whys, MOST_OF_ONE_HASH);
        assert!(
            ["heat", "clock", "money"]
                .iter()
                .all(|part| followed.take(&format!("/runs/market/{part}")))
        );
        assert!(!followed.take("/runs/market/heat"));
    }

    #[test]
    fn a_page_has_a_file_name_without_its_hash() {
        let found = |path: &str| {
            Found {
                path: path.into(),
                from: String::new(),
                status: 200,
            }
            .file_name()
        };
        assert_eq!(found("/"), "first");
        assert_eq!(found("/runs/market-day/heat"), "runs-market-day-heat");
        assert_eq!(
            found(&format!("/why/run/{}/Lime%20curd:jars", "0".repeat(64))),
            "why-run-lime-20curd-jars"
        );
    }
}
