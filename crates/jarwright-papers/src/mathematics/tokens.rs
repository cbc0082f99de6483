//! An equation's text as numbers, names and signs.

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// `0.825`, `½`.
    Number,
    /// Letters with the digits behind them, and words with hyphen or apostrophe: `Ra`, `b1`, `come-up`.
    Name,
    /// Anything else: one character, or `<=`, `>=`, `...`, `''`.
    Sign,
}

/// A token and the room before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Token<'a> {
    pub(super) kind: Kind,
    pub(super) text: &'a str,
    /// Spaces before it; a line end counts as two.
    pub(super) spaces: usize,
}

const SIGNS: [&str; 4] = ["<=", ">=", "...", "''"];

pub(super) fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut tokens = Vec::new();
    let mut rest = text;
    let mut spaces = 0;
    while let Some(first) = rest.chars().next() {
        if first.is_whitespace() {
            spaces += if first == '\n' { 2 } else { 1 };
            rest = &rest[first.len_utf8()..];
            continue;
        }
        let (kind, length) = if first.is_numeric() {
            (Kind::Number, number(rest))
        } else if first.is_alphabetic() || first == '°' {
            (Kind::Name, name(rest))
        } else {
            let sign = SIGNS.iter().find(|sign| rest.starts_with(**sign));
            (Kind::Sign, sign.map_or(first.len_utf8(), |sign| sign.len()))
        };
        let (text, behind) = rest.split_at(length);
        tokens.push(Token { kind, text, spaces });
        (rest, spaces) = (behind, 0);
    }
    tokens
}

/// Length of the run of characters at the start that `keep` holds for.
fn run(text: &str, keep: impl Fn(char) -> bool) -> usize {
    text.find(|c| !keep(c)).unwrap_or(text.len())
}

/// Digits, and digits behind a point.
fn number(text: &str) -> usize {
    let whole = run(text, char::is_numeric);
    match text[whole..].strip_prefix('.') {
        Some(behind) if behind.starts_with(|c: char| c.is_ascii_digit()) => whole + 1 + run(behind, char::is_numeric),
        _ => whole,
    }
}

/// A name; a word goes on behind a hyphen with another word, and ends with its `'s`.
fn name(text: &str) -> usize {
    let part = |from: usize| run(&text[from..], |c| c.is_alphanumeric() || c == '°');
    let is_word = |part: &str| part.chars().filter(|c| c.is_alphabetic()).count() > 1;
    let mut end = part(0);
    let mut last = 0..end;
    while is_word(&text[last.clone()])
        && text[end..].starts_with('-')
        && is_word(&text[end + 1..end + 1 + part(end + 1)])
    {
        last = end + 1..end + 1 + part(end + 1);
        end = last.end;
    }
    let possessive = text[end..].starts_with("'s") && part(end + 1) == 1;
    end + if possessive { 2 } else { 0 }
}
