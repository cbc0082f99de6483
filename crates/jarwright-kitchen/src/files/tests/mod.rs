//! The readers against good texts, bad texts and any text.

mod amounts;
mod demo;
mod formulas;
mod jar_cases;
mod jar_studies;
mod kitchens;
mod stores;

use super::Problem;

/// Each fault as people read it.
fn shown<T>(read: Result<T, Vec<Problem>>) -> Vec<String> {
    read.err().unwrap_or_default().iter().map(ToString::to_string).collect()
}

/// Whether the text has one fault, at this place, with these words in it.
fn only<T>(read: Result<T, Vec<Problem>>, place: &str, words: &str) {
    let shown = shown(read);
    assert!(
        shown.len() == 1 && shown[0].starts_with(place) && shown[0].contains(words),
        "wanted {place} {words}, got {shown:#?}"
    );
}
