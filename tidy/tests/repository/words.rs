//! Words that belong to no file: places on one machine, and words about how a text came to be.

use jarwright_tidy::texts;

use crate::{Any, none};

/// Places on somebody's machine, and hosts that packages come from.
///
/// Halves, so that this file is not its own fault.
const PLACES: [[&str; 2]; 12] = [
    ["/wo", "rk/"],
    ["/ho", "me/"],
    ["/ro", "ot/"],
    ["/Us", "ers/"],
    ["C:\\", "Users"],
    ["crates", ".io"],
    ["py", "pi.org"],
    ["npm", "js.org"],
    ["deb.", "debian"],
    ["static.rust", "-lang"],
    ["local", "host:"],
    ["shared/", "reference"],
];

/// Whole words and phrases; none is a word of the trade or of the code.
const TALK: [[&str; 2]; 13] = [
    ["tran", "script"],
    ["tran", "scripts"],
    ["seed ", "document"],
    ["seed ", "text"],
    ["this ", "session"],
    ["a ", "session"],
    ["the ", "session"],
    ["sub", "agent"],
    ["AI ", "agent"],
    ["an ", "agent"],
    ["helper ", "session"],
    ["language ", "model"],
    ["work", "place"],
];

/// Whether `word` stands in `text` with no letter or digit beside it.
fn stands(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, _)| {
        let free = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
        free(text[..at].chars().next_back()) && free(text[at + word.len()..].chars().next())
    })
}

#[test]
fn no_file_names_a_place_or_how_it_came_to_be() -> Result<(), Any> {
    let mut faults = Vec::new();
    for file in texts("")? {
        // Cargo's own lock names its registry; it is not written by people.
        let lower = file.text.to_lowercase();
        for place in PLACES.iter().map(|halves| halves.concat()) {
            if file.text.contains(&place) {
                faults.push(format!("{}: {place}", file.path));
            }
        }
        for word in TALK.iter().map(|halves| halves.concat().to_lowercase()) {
            if stands(&lower, &word) {
                faults.push(format!("{}: {word}", file.path));
            }
        }
    }
    none(&faults);
    Ok(())
}

#[test]
fn a_word_inside_another_does_not_count() {
    let word = TALK[0].concat();
    assert!(stands(&format!("a {word}."), &word));
    assert!(!stands(&format!("{word}ion of a table"), &word));
}

#[test]
fn food_is_never_called_what_nobody_can_promise() -> Result<(), Any> {
    // Of jars "sterile" is a published step; of food it is a promise. "Safe" is one always.
    let promises = [
        ["is ", "safe"],
        ["are ", "safe"],
        ["safe ", "to eat"],
        ["sterile ", "food"],
        ["food is ", "sterile"],
    ];
    let mut faults = Vec::new();
    for file in texts("crates")?.iter().chain(&texts("demo")?) {
        // What stands in a comment is said to nobody who eats.
        let said: Vec<&str> = file
            .text
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
            .collect();
        let lower = said.join("\n").to_lowercase();
        for promise in promises.iter().map(|halves| halves.concat()) {
            if stands(&lower, &promise) {
                faults.push(format!("{}: {promise}", file.path));
            }
        }
    }
    none(&faults);
    Ok(())
}
