//! Items as MathML.

use maud::{Markup, html};

use super::parse::{Item, is_operand};

/// Where a fraction stands: how deep in others, and whether in an index or power.
#[derive(Debug, Clone, Copy, Default)]
struct Level {
    fractions: usize,
    in_script: bool,
}

/// A row's items.
pub(super) fn items(items: &[Item]) -> Markup {
    row(items, Level::default())
}

fn row(items: &[Item], level: Level) -> Markup {
    let mut pieces = Vec::new();
    let mut rest = items;
    let mut before: Option<&Item> = None;
    while let Some((first, behind)) = rest.split_first() {
        if let Some(room) = before.and_then(|before| room(before, first, level)) {
            pieces.push(html! { mspace width=(room) {} });
        }
        // Words side by side are one text.
        let words = rest.iter().take_while(|item| matches!(item, Item::Word(_))).count();
        if words > 1 {
            let said: Vec<&str> = rest[..words].iter().map(word).collect();
            pieces.push(html! { mtext { (said.join(" ")) } });
            before = Some(&rest[words - 1]);
            rest = &rest[words..];
        } else {
            pieces.push(one(first, level));
            before = Some(first);
            rest = behind;
        }
    }
    html! { @for piece in &pieces { (piece) } }
}

fn word(item: &Item) -> &str {
    match item {
        Item::Word(word) => word,
        _ => "",
    }
}

/// Room between two items side by side.
fn room(before: &Item, after: &Item, level: Level) -> Option<&'static str> {
    const WORD: &str = "0.3em";
    let wordy = |item: &Item| matches!(item, Item::Word(_) | Item::Unit { .. });
    match (before, after) {
        (Item::Stop(_), _) => (!level.in_script).then_some("0.4em"),
        (_, Item::Unit { tokens, .. }) if tokens.first().is_some_and(|first| first == "/") => None,
        (Item::Number(_), Item::Unit { .. }) => Some("0.2em"),
        (Item::Number(_), Item::Word(word)) if word == "%" => Some("0.2em"),
        (before, after) if !is_operand(after) && !matches!(after, Item::Big(_)) || !is_operand(before) => None,
        (before, after) if wordy(before) || wordy(after) => Some(WORD),
        (Item::Fenced { .. }, Item::Fenced { .. }) => None,
        _ => Some("0.17em"),
    }
}

/// A group that stands for one element.
fn group(items: &[Item], level: Level) -> Markup {
    match items {
        [item] if !matches!(item, Item::Fenced { .. } | Item::Unit { .. } | Item::Applied(..)) => one(item, level),
        _ => html! { mrow { (row(items, level)) } },
    }
}

fn one(item: &Item, level: Level) -> Markup {
    match item {
        Item::Number(text) => html! { mn { (text) } },
        Item::Symbol(text) if text.chars().count() > 1 && text.chars().all(|c| c.is_lowercase()) => {
            // Letters of several indices: each a symbol.
            html! { mrow { @for letter in text.chars() { mi { (letter) } } } }
        }
        Item::Symbol(text) => html! { mi { (text) } },
        Item::Differential(of) => html! { mrow { mi mathvariant="normal" { "d" } (one(of, level)) } },
        Item::Difference(of) => html! { mrow { mi mathvariant="normal" { "Δ" } (one(of, level)) } },
        Item::Function(name) => html! { mi mathvariant="normal" { (name) } },
        Item::Word(word) => html! { mtext { (word) } },
        Item::Unit { tokens, bracketed } => unit(tokens, *bracketed),
        Item::Sign(sign) => sign_between(sign),
        Item::Prefix(sign) => html! { mo form="prefix" { (seen(sign)) } },
        Item::Big(sign) => html! { mo { (sign) } },
        Item::Stop(sign) => html! { mo lspace="0em" rspace="0em" { (sign) } },
        Item::Gap => html! { mspace width="1.5em" {} },
        Item::Fraction(over, under) => fraction(over, under, level),
        Item::Script { base, below, above } => scripts(base, below, above, level),
        Item::Fenced { open, inside, close } if open.is_empty() && close.is_empty() => {
            html! { mrow { (row(inside, level)) } }
        }
        Item::Fenced { open, inside, close } => html! {
            mrow {
                mo form="prefix" stretchy=(tall(inside)) { (open) }
                (row(inside, level))
                @if !close.is_empty() { mo form="postfix" stretchy=(tall(inside)) { (close) } }
            }
        },
        Item::Root(inside) => html! { msqrt { (row(inside, level)) } },
        Item::Applied(function, argument) => html! {
            mrow {
                (one(function, level))
                @if !matches!(**argument, Item::Fenced { open: "(" | "[", .. }) { mspace width="0.17em" {} }
                (one(argument, level))
            }
        },
    }
}

/// Whether items stand higher than a line of letters, so that what fences them grows.
fn tall(items: &[Item]) -> bool {
    items.iter().any(|item| match item {
        Item::Fraction(..) | Item::Big(_) | Item::Root(_) => true,
        Item::Script { base, below, above } => {
            tall(std::slice::from_ref(base)) || !above.is_empty() && !below.is_empty() || tall(above)
        }
        Item::Fenced { inside, .. } => tall(inside),
        Item::Applied(function, argument) => {
            tall(std::slice::from_ref(function)) || tall(std::slice::from_ref(argument))
        }
        _ => false,
    })
}

/// A sign as it is printed.
fn seen(sign: &str) -> &str {
    match sign {
        "-" => "−",
        "x" => "×",
        "<=" => "≤",
        ">=" => "≥",
        "..." => "…",
        "'" => "′",
        "''" => "″",
        other => other,
    }
}

fn sign_between(sign: &str) -> Markup {
    match sign {
        "/" => html! { mo lspace="0em" rspace="0em" { "/" } },
        "%" | "°" => html! { mtext { (sign) } },
        "'" | "''" => html! { mo { (seen(sign)) } },
        _ => html! { mo form="infix" { (seen(sign)) } },
    }
}

/// Stacked where that reads better: not in a power, nor third in a pile.
fn fraction(over: &[Item], under: &[Item], level: Level) -> Markup {
    if (level.in_script || level.fractions > 1) && under.len() == 1 {
        return html! { mrow { (row(over, level)) (sign_between("/")) (row(under, level)) } };
    }
    let level = Level {
        fractions: level.fractions + 1,
        ..level
    };
    html! { mfrac { (group(without_brackets(over), level)) (group(without_brackets(under), level)) } }
}

/// What stands in the brackets that a stroke needed in plain text.
fn without_brackets(items: &[Item]) -> &[Item] {
    match items {
        [Item::Fenced { open: "(", inside, .. }] => inside,
        _ => items,
    }
}

fn scripts(base: &Item, below: &[Item], above: &[Item], level: Level) -> Markup {
    let script = Level {
        in_script: true,
        ..level
    };
    let (low, high) = (|| group(below, script), || group(above, script));
    match (below.is_empty(), above.is_empty(), base) {
        (false, true, Item::Big(_)) => html! { munder { (one(base, level)) (low()) } },
        // The index belongs to the symbol, not to its differential.
        (false, true, Item::Differential(of)) => html! {
            mrow { mi mathvariant="normal" { "d" } (scripts(of, below, above, level)) }
        },
        (false, true, _) => html! { msub { (one(base, level)) (low()) } },
        (true, false, _) => html! { msup { (one(base, level)) (high()) } },
        _ => html! { msubsup { (one(base, level)) (low()) (high()) } },
    }
}

/// A unit upright, its powers raised.
fn unit(tokens: &[String], bracketed: bool) -> Markup {
    let piece = |token: &str| {
        let stem = token.trim_end_matches(|c: char| c.is_ascii_digit());
        let power = &token[stem.len()..];
        match token {
            " " => html! { mspace width="0.17em" {} },
            "/" => sign_between("/"),
            "(" | ")" => html! { mo stretchy="false" { (token) } },
            _ if power.is_empty() => html! { mtext { (token) } },
            _ => html! { msup { mtext { (stem) } mn { (power) } } },
        }
    };
    html! {
        mrow {
            @if bracketed { mtext { "[" } }
            @for token in tokens { (piece(token)) }
            @if bracketed { mtext { "]" } }
        }
    }
}
