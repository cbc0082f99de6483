//! The statements of a text, each in rows that a page can hold.

use super::parse::{Item, is_operand, parse};
use super::tokens::{Token, tokens};

/// Widest row, in letters.
const WIDEST: f64 = 62.0;

/// The rows of a text. A row that goes on begins with [`Item::Gap`].
pub(super) fn rows(text: &str) -> Vec<Vec<Item>> {
    let tokens = tokens(text);
    statements(&tokens)
        .into_iter()
        .flat_map(|statement| broken(parse(statement)))
        .collect()
}

/// Parts at `;` and at two spaces outside of brackets; a unit that stands apart stays.
fn statements<'a>(tokens: &'a [Token<'a>]) -> Vec<&'a [Token<'a>]> {
    let mut statements = Vec::new();
    let (mut from, mut depth) = (0_usize, 0_usize);
    for (place, token) in tokens.iter().enumerate() {
        let apart = token.spaces > 1 && token.text != "[";
        let after = place.checked_sub(1).is_some_and(|before| tokens[before].text == ";");
        if depth == 0 && (apart || after) && place > from {
            statements.push(&tokens[from..place]);
            from = place;
        }
        match token.text {
            "(" | "[" => depth += 1,
            ")" | "]" => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    statements.push(&tokens[from..]);
    statements
}

/// A row broken where it is too wide: behind a comma, between words, before a sign.
fn broken(mut row: Vec<Item>) -> Vec<Vec<Item>> {
    let mut rows = Vec::new();
    loop {
        let Some(at) = place_to_break(&row) else {
            rows.push(row);
            return rows;
        };
        let mut rest = vec![Item::Gap];
        rest.extend(row.split_off(at));
        rows.push(row);
        row = rest;
    }
}

/// Where a row that is too wide is broken best.
fn place_to_break(row: &[Item]) -> Option<usize> {
    // A word or two more are better than a row of them alone.
    if row.iter().map(|item| width(item) + 0.6).sum::<f64>() < WIDEST * 1.15 {
        return None;
    }
    let mut so_far = 0.0;
    let mut best: Option<(usize, usize)> = None;
    for (place, item) in row.iter().enumerate() {
        if place > 1
            && let Some(worth) = worth_of_break(&row[place - 1], item)
        {
            // A break that leaves the row half empty is worth little.
            let worth = if so_far < WIDEST * 0.45 { 0 } else { worth };
            if best.is_none_or(|(had, _)| worth >= had) {
                best = Some((worth, place));
            }
        }
        so_far += width(item) + 0.6;
        if so_far > WIDEST {
            return best.map(|(_, place)| place).filter(|&place| place > 1);
        }
    }
    None
}

/// How good a break between two items is; `None` where there may be none.
fn worth_of_break(before: &Item, after: &Item) -> Option<usize> {
    match (before, after) {
        (Item::Stop(_), _) => Some(3),
        (Item::Prefix(_) | Item::Sign(_) | Item::Big(_) | Item::Gap, _) | (_, Item::Stop(_)) => None,
        (Item::Number(_), Item::Unit { .. }) => None,
        (Item::Word(_), _) | (_, Item::Word(_)) => Some(2),
        (_, Item::Sign(sign)) if matches!(sign.as_str(), "+" | "-" | "=") => Some(2),
        (before, after) if is_operand(before) && is_operand(after) => Some(1),
        _ => None,
    }
}

/// Width in letters, roughly.
fn width(item: &Item) -> f64 {
    let all = |items: &[Item]| items.iter().map(|item| width(item) + 0.4).sum::<f64>();
    match item {
        Item::Number(text) | Item::Symbol(text) | Item::Function(text) | Item::Word(text) => {
            text.chars().count() as f64
        }
        Item::Differential(of) | Item::Difference(of) => 1.0 + width(of),
        Item::Unit { tokens, .. } => tokens.iter().map(|token| token.chars().count()).sum::<usize>() as f64,
        Item::Sign(_) | Item::Prefix(_) | Item::Stop(_) | Item::Gap | Item::Big(_) => 1.6,
        Item::Fraction(over, under) => all(over).max(all(under)),
        Item::Script { base, below, above } => width(base) + 0.7 * all(below).max(all(above)),
        Item::Fenced { inside, .. } => 1.0 + all(inside),
        Item::Root(inside) => 1.5 + all(inside),
        Item::Applied(function, argument) => width(function) + width(argument),
    }
}
