//! Tokens as mathematics: fractions, powers, indices, functions, and words between them.
//!
//! What binds: an index and a power to what stands before them; a function to its brackets, or
//! to what follows it; `/` without room to its two neighbours; factors side by side; `/` with room
//! to all factors on both sides; then `+` and `-`, relations, commas.

use super::tokens::{Kind, Token};

/// A piece of an equation.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Item {
    Number(String),
    /// A letter or a short name that stands for a quantity, as it is to be seen.
    Symbol(String),
    /// `d` before a symbol: a differential.
    Differential(Box<Item>),
    /// A Greek capital delta before a symbol: a difference.
    Difference(Box<Item>),
    /// Upright name of a function.
    Function(String),
    Word(String),
    /// A unit, with its powers and strokes; `bare` unless in square brackets.
    Unit {
        tokens: Vec<String>,
        bracketed: bool,
    },
    /// A sign between two things.
    Sign(String),
    /// A sign before one thing.
    Prefix(String),
    /// Sum, product or integral sign.
    Big(&'static str),
    /// A sign that parts: comma, colon, semicolon.
    Stop(String),
    /// Room before a unit that stands apart.
    Gap,
    Fraction(Vec<Item>, Vec<Item>),
    Script {
        base: Box<Item>,
        below: Vec<Item>,
        above: Vec<Item>,
    },
    Fenced {
        open: &'static str,
        inside: Vec<Item>,
        close: &'static str,
    },
    Root(Vec<Item>),
    /// A function or symbol and what it is applied to.
    Applied(Box<Item>, Box<Item>),
}

/// Deepest nesting that is read as such; deeper brackets stand as plain signs.
const DEEPEST: usize = 24;

const GREEK: [(&str, &str); 13] = [
    ("alpha", "α"),
    ("beta", "β"),
    ("gamma", "γ"),
    ("delta", "δ"),
    ("eta", "η"),
    ("theta", "θ"),
    ("lambda", "λ"),
    ("mu", "μ"),
    ("nu", "ν"),
    ("pi", "π"),
    ("rho", "ρ"),
    ("sigma", "σ"),
    ("phi", "φ"),
];

/// Names of more than one letter that stand for a quantity.
const SYMBOLS: [&str; 14] = [
    "Nu", "Ra", "Pr", "Gr", "Re", "Bi", "Fo", "Sh", "Sc", "UA", "AP", "EP", "TA", "pH",
];

/// Functions that take what follows them without brackets.
const FUNCTIONS: [&str; 10] = ["ln", "log10", "exp", "sin", "cos", "tan", "min", "max", "div", "grad"];

/// Units of one letter, which are symbols too: a unit behind a number or `in`, with nothing that
/// is multiplied behind it.
const ONE_LETTER_UNITS: [&str; 9] = ["g", "h", "K", "s", "m", "J", "W", "L", "N"];

/// Units of more letters.
const UNITS: [&str; 13] = [
    "kg", "mL", "mm", "mol", "mmol", "kJ", "min", "Pa", "mPa", "°C", "°Brix", "kWh", "kelvins",
];

pub(super) fn parse(tokens: &[Token<'_>]) -> Vec<Item> {
    Parser {
        tokens,
        at: 0,
        depth: 0,
    }
    .sequence("", false)
}

struct Parser<'a> {
    tokens: &'a [Token<'a>],
    at: usize,
    depth: usize,
}

impl<'a> Parser<'a> {
    fn peek(&self) -> Option<Token<'a>> {
        self.tokens.get(self.at).copied()
    }

    /// The text of the next token if it follows without room.
    fn tight(&self) -> &'a str {
        self.peek()
            .filter(|token| token.spaces == 0)
            .map_or("", |token| token.text)
    }

    /// Items up to the closing sign, or, of one `factors` side of a stroke, up to what binds less.
    fn sequence(&mut self, close: &str, factors: bool) -> Vec<Item> {
        let mut items: Vec<Item> = Vec::new();
        while let Some(token) = self.peek() {
            let operand_before = items.last().is_some_and(is_operand);
            if token.text == close && !close.is_empty() {
                break;
            }
            if factors && !items.is_empty() && (self.ends_factors(token) || token.spaces > 1) {
                break;
            }
            if token.spaces > 1 && !items.is_empty() {
                items.push(Item::Gap);
            }
            match token.text {
                "/" if operand_before => self.stroke(&mut items),
                "=" | "<=" | ">=" | ">" | "~" | "+" | "-" | "/" | "..." => {
                    self.at += 1;
                    let sign = token.text.to_owned();
                    let before_one = matches!(token.text, "+" | "-") && !operand_before;
                    items.push(if before_one {
                        Item::Prefix(sign)
                    } else {
                        Item::Sign(sign)
                    });
                }
                "," | ":" | ";" => {
                    self.at += 1;
                    items.push(Item::Stop(token.text.into()));
                }
                "<" if !self.is_angle() => {
                    self.at += 1;
                    items.push(Item::Sign("<".into()));
                }
                "|" if operand_before && token.spaces == 0 => {
                    self.at += 1;
                    items.push(Item::Sign("|".into()));
                }
                "x" if operand_before && self.is_times() => {
                    self.at += 1;
                    items.push(Item::Sign("x".into()));
                }
                _ => {
                    let behind_in = matches!(items.last(), Some(Item::Word(word)) if word == "in" || word == "per");
                    match self.unit(behind_in) {
                        Some(unit) => items.push(unit),
                        None => {
                            let item = self.operand();
                            let is_number = ends_with_number(&item);
                            items.push(item);
                            if is_number && let Some(unit) = self.unit(true) {
                                items.push(unit);
                            }
                        }
                    }
                }
            }
        }
        items
    }

    /// Whether a token binds less than factors side by side do.
    fn ends_factors(&self, token: Token<'_>) -> bool {
        match token.text {
            "=" | "<=" | ">=" | ">" | "~" | "+" | "-" | "," | ":" | ";" | ")" | "]" => true,
            "<" => !self.is_angle(),
            "/" => token.spaces > 0,
            "x" => self.is_times(),
            _ => false,
        }
    }

    /// A stroke: with room on both sides all factors stand over it and under it, else its
    /// two neighbours.
    fn stroke(&mut self, items: &mut Vec<Item>) {
        let Some(stroke) = self.peek() else { return };
        self.at += 1;
        let loose = stroke.spaces > 0 && self.peek().is_some_and(|next| next.spaces > 0);
        if !loose
            && items.last().is_some_and(ends_with_number)
            && self
                .peek()
                .is_some_and(|next| is_unit_word(next.text) || (next.text == "s" && self.free_behind(1)))
        {
            let mut tokens = vec!["/".to_owned()];
            tokens.extend(self.peek().map(|token| token.text.to_owned()));
            self.at += 1;
            items.push(Item::Unit {
                tokens,
                bracketed: false,
            });
            return;
        }
        let from = if loose {
            items.iter().rposition(binds_less).map_or(0, |last| last + 1)
        } else {
            items.len().saturating_sub(1)
        };
        let over = items.split_off(from);
        let under = if loose {
            self.nested(|parser| parser.sequence("", true))
        } else {
            let mut under = Vec::new();
            if self.tight() == "-" {
                self.at += 1;
                under.push(Item::Prefix("-".into()));
            }
            under.extend(self.peek().is_some().then(|| self.operand()));
            // A sum goes with what it sums.
            if matches!(under.last(), Some(Item::Big(_))) && self.peek().is_some() {
                under.push(self.operand());
            }
            under
        };
        if under.is_empty() {
            items.extend(over);
            items.push(Item::Sign("/".into()));
        } else {
            let derivative = matches!(under.as_slice(), [Item::Differential(_)]);
            let over = if derivative {
                over.into_iter().map(upright_d).collect()
            } else {
                over
            };
            items.push(Item::Fraction(over, under));
        }
    }

    /// One operand with its indices, powers and brackets.
    fn operand(&mut self) -> Item {
        let Some(token) = self.peek() else {
            return Item::Word(String::new());
        };
        match token.kind {
            Kind::Number => {
                self.at += 1;
                self.scripts(Item::Number(token.text.into()))
            }
            Kind::Name => self.named(token),
            Kind::Sign => self.signed(token),
        }
    }

    fn named(&mut self, token: Token<'a>) -> Item {
        self.at += 1;
        let next = self.peek();
        match token.text {
            "sum" if self.sums() => return self.scripts(Item::Big("∑")),
            "product" if self.sums() => return self.scripts(Item::Big("∏")),
            "integral" if next.is_some_and(|next| next.text == "of") => {
                self.at += 1;
                return Item::Big("∫");
            }
            "Delta" if next.is_some_and(|next| next.kind == Kind::Name) => {
                return Item::Difference(Box::new(self.nested(Self::operand)));
            }
            "sqrt" if self.tight() == "(" && self.depth < DEEPEST => {
                self.at += 1;
                let inside = self.until(")");
                return self.scripts(Item::Root(inside));
            }
            name if FUNCTIONS.contains(&name) => return self.function(name),
            "a" if next.is_some_and(|next| next.spaces > 0 && is_word(next)) => return Item::Word("a".into()),
            _ => {}
        }
        let base = symbol(token.text);
        let base = self.scripts(base);
        // A differential is no function: d/dr(...) applies as a whole.
        if self.tight() == "(" && !matches!(base, Item::Differential(_)) && self.depth < DEEPEST {
            let fenced = self.signed_brackets("(", ")");
            return self.scripts(Item::Applied(Box::new(base), Box::new(fenced)));
        }
        base
    }

    /// Whether a sum's or product's name is the sign: what is summed follows at once.
    fn sums(&self) -> bool {
        self.tight() == "_"
            || self
                .peek()
                .is_some_and(|next| !is_word(next) && !matches!(next.text, "=" | "," | ")"))
    }

    /// A function with its brackets, or with the factors that follow: `sin 2 z`, `ln K(T)`.
    fn function(&mut self, name: &str) -> Item {
        let base = match name.strip_suffix("10") {
            Some(stem) => Item::Script {
                base: Box::new(Item::Function(stem.into())),
                below: vec![Item::Number("10".into())],
                above: Vec::new(),
            },
            None => Item::Function(name.into()),
        };
        let takes = |token: Token<'_>| match token.kind {
            Kind::Number => true,
            Kind::Name => !is_word(token),
            Kind::Sign => matches!(token.text, "(" | "|"),
        };
        let Some(next) = self.peek().filter(|&next| takes(next) && self.depth < DEEPEST) else {
            return base;
        };
        if next.text == "(" && next.spaces == 0 {
            let fenced = self.signed_brackets("(", ")");
            return self.scripts(Item::Applied(Box::new(base), Box::new(fenced)));
        }
        let mut argument = self.nested(Self::operand);
        if matches!(argument, Item::Number(_))
            && !self.is_times_here()
            && self.peek().is_some_and(|next| next.kind == Kind::Name && takes(next))
        {
            let factor = self.nested(Self::operand);
            argument = Item::Fenced {
                open: "",
                inside: vec![argument, factor],
                close: "",
            };
        }
        Item::Applied(Box::new(base), Box::new(argument))
    }

    fn signed(&mut self, token: Token<'a>) -> Item {
        let pair = match token.text {
            "(" => Some((")", "(", ")")),
            "[" => Some(("]", "[", "]")),
            "|" => Some(("|", "|", "|")),
            "<" => Some((">", "⟨", "⟩")),
            _ => None,
        };
        match pair {
            Some((close, open, shut)) if self.depth < DEEPEST && self.closes(close) => {
                if token.text == "["
                    && let Some(unit) = self.bracketed_unit()
                {
                    return unit;
                }
                self.at += 1;
                let inside = self.nested(|parser| parser.sequence(close, false));
                // A bar may have closed something inside already.
                let closed = self.peek().is_some();
                self.at += usize::from(closed);
                self.scripts(Item::Fenced {
                    open,
                    inside,
                    close: if closed { shut } else { "" },
                })
            }
            _ => {
                self.at += 1;
                if token.text == "%" {
                    Item::Word("%".into())
                } else {
                    Item::Sign(token.text.into())
                }
            }
        }
    }

    fn signed_brackets(&mut self, open: &'static str, close: &'static str) -> Item {
        if !self.closes(close) {
            self.at += 1;
            return Item::Sign(open.into());
        }
        self.at += 1;
        let inside = self.until(close);
        Item::Fenced { open, inside, close }
    }

    /// Items up to the closing sign, which is taken too.
    fn until(&mut self, close: &str) -> Vec<Item> {
        let inside = self.nested(|parser| parser.sequence(close, false));
        self.at += usize::from(self.peek().is_some_and(|token| token.text == close));
        inside
    }

    fn nested<T>(&mut self, read: impl FnOnce(&mut Self) -> T) -> T {
        self.depth += 1;
        let read = read(self);
        self.depth -= 1;
        read
    }

    /// Whether the bracket at hand is closed before one round it is.
    fn closes(&self, close: &str) -> bool {
        let mut inner: Vec<&str> = Vec::new();
        for token in self.tokens.get(self.at + 1..).unwrap_or_default() {
            match token.text {
                text if inner.is_empty() && text == close => return true,
                "(" => inner.push(")"),
                "[" => inner.push("]"),
                text if inner.last() == Some(&text) => {
                    inner.pop();
                }
                ")" | "]" => return false,
                _ => {}
            }
        }
        false
    }

    /// Indices, primes and powers behind a base.
    fn scripts(&mut self, base: Item) -> Item {
        let (mut base, mut below, mut above) = (base, Vec::new(), Vec::new());
        // A symbol's own digit is an index already.
        if let Item::Script {
            base: bare,
            below: digits,
            ..
        } = base
        {
            (base, below) = (*bare, digits);
        }
        loop {
            let read_one = match self.tight() {
                "_" if below.is_empty() && above.is_empty() => &mut below,
                "^" if above.is_empty() => &mut above,
                "''" | "'" if above.is_empty() => {
                    above.push(Item::Sign(self.tight().into()));
                    self.at += 1;
                    continue;
                }
                _ => break,
            };
            let Some(next) = self.tokens.get(self.at + 1).filter(|next| next.spaces == 0) else {
                break;
            };
            let is_index = self.tight() == "_";
            self.at += 1;
            *read_one = match next.text {
                "(" if self.depth < DEEPEST && self.closes(")") => {
                    self.at += 1;
                    let inside = self.until(")");
                    match inside.as_slice() {
                        // An index in brackets says the place in order of size.
                        [Item::Symbol(_)] if is_index => vec![Item::Fenced {
                            open: "(",
                            inside,
                            close: ")",
                        }],
                        _ => inside,
                    }
                }
                "-" => {
                    self.at += 1;
                    let mut power = vec![Item::Prefix("-".into())];
                    power.extend(self.peek().map(|token| self.plain(token, is_index)));
                    power
                }
                _ => vec![self.plain(*next, is_index)],
            };
        }
        if below.is_empty() && above.is_empty() {
            return base;
        }
        Item::Script {
            base: Box::new(base),
            below,
            above,
        }
    }

    /// One index or power without brackets; a power may have an index.
    fn plain(&mut self, token: Token<'_>, is_index: bool) -> Item {
        self.at += 1;
        match token.kind {
            Kind::Number => Item::Number(token.text.into()),
            Kind::Name if is_index && token.text.chars().count() > 1 => match token.text {
                "mn" | "ij" => Item::Symbol(token.text.into()),
                text => Item::Word(text.into()),
            },
            Kind::Name if is_index => Item::Symbol(token.text.into()),
            Kind::Name => {
                let base = symbol(token.text);
                if self.tight() == "_" { self.scripts(base) } else { base }
            }
            Kind::Sign => Item::Sign(token.text.into()),
        }
    }

    /// Whether `x` multiplies: room on both sides, and something to multiply behind it.
    fn is_times(&self) -> bool {
        let here = self.peek();
        let next = self.tokens.get(self.at + 1);
        here.is_some_and(|x| x.spaces > 0)
            && next.is_some_and(|next| {
                next.spaces > 0 && (next.kind != Kind::Sign || matches!(next.text, "(" | "[" | "|" | "<"))
            })
    }

    /// Whether the next token is an `x` that multiplies.
    fn is_times_here(&self) -> bool {
        self.peek().is_some_and(|token| token.text == "x") && self.is_times()
    }

    /// Whether `<` opens a mean: no room inside it and its `>`.
    fn is_angle(&self) -> bool {
        let inside = self.tokens.get(self.at + 1..).unwrap_or_default();
        inside.first().is_some_and(|next| next.spaces == 0)
            && inside
                .iter()
                .take_while(|token| token.spaces == 0)
                .any(|token| token.text == ">")
    }

    /// Whether what stands `ahead` tokens on is the end, a sign that parts, or a word.
    fn free_behind(&self, ahead: usize) -> bool {
        self.tokens.get(self.at + ahead).is_none_or(|token| {
            matches!(token.text, "," | ";" | ")" | ":" | "+" | "=" | "]") || (token.spaces > 0 && is_word(*token))
        })
    }

    /// The unit at hand, if it is one: `kg`, `kJ/mol`, `J/(mol K)`, `m`.
    fn unit(&mut self, may_be: bool) -> Option<Item> {
        let first = self.peek()?;
        let one_letter = ONE_LETTER_UNITS.contains(&first.text);
        let long = is_unit_word(first.text);
        let is_function = self
            .tokens
            .get(self.at + 1)
            .is_some_and(|next| next.text == "(" && next.spaces == 0);
        if is_function || !(long || may_be && one_letter) {
            return None;
        }
        let mut tokens = vec![first.text.to_owned()];
        let mut ahead = 1;
        let token = |ahead: usize| self.tokens.get(self.at + ahead).copied();
        let is_unit = |token: Option<Token<'_>>| {
            token.is_some_and(|token| {
                let stem = token.text.trim_end_matches(|c: char| c.is_ascii_digit());
                is_unit_word(stem) || ONE_LETTER_UNITS.contains(&stem)
            })
        };
        if token(ahead).is_some_and(|next| next.text == "/" && next.spaces == 0) {
            if is_unit(token(ahead + 1)) {
                tokens.extend(["/".to_owned(), token(ahead + 1)?.text.to_owned()]);
                ahead += 2;
            } else if token(ahead + 1).is_some_and(|open| open.text == "(")
                && is_unit(token(ahead + 2))
                && is_unit(token(ahead + 3))
                && token(ahead + 4).is_some_and(|close| close.text == ")")
            {
                let inside = [token(ahead + 2)?.text, token(ahead + 3)?.text];
                tokens.extend(["/", "(", inside[0], " ", inside[1], ")"].map(str::to_owned));
                ahead += 5;
            }
        } else if long && token(ahead).is_some_and(|next| next.text == "s" && next.spaces == 1) {
            tokens.extend([" ", "s"].map(str::to_owned));
            ahead += 1;
        }
        if one_letter && tokens.len() == 1 && !self.free_behind(ahead) {
            return None;
        }
        self.at += ahead;
        Some(Item::Unit {
            tokens,
            bracketed: false,
        })
    }

    /// A unit in square brackets, if they hold nothing else.
    fn bracketed_unit(&mut self) -> Option<Item> {
        let inside = self.tokens.get(self.at + 1..)?;
        let length = inside.iter().position(|token| token.text == "]")?;
        let inside = &inside[..length];
        let known = |text: &str| {
            let stem = text.trim_end_matches(|c: char| c.is_ascii_digit());
            is_unit_word(stem) || ONE_LETTER_UNITS.contains(&stem) || matches!(text, "/" | "(" | ")" | "%")
        };
        if inside.is_empty() || !inside.iter().all(|token| known(token.text)) {
            return None;
        }
        let mut tokens = Vec::new();
        for (place, token) in inside.iter().enumerate() {
            if place > 0 && token.spaces > 0 {
                tokens.push(" ".into());
            }
            tokens.push(token.text.to_owned());
        }
        self.at += length + 2;
        Some(Item::Unit {
            tokens,
            bracketed: true,
        })
    }
}

/// What a name stands for.
fn symbol(name: &str) -> Item {
    if let Some((_, letter)) = GREEK.iter().find(|(word, _)| *word == name) {
        return Item::Symbol((*letter).into());
    }
    if SYMBOLS.contains(&name) {
        return Item::Symbol(name.into());
    }
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = &name[stem.len()..];
    let letters = stem.chars().count();
    let differential = letters == 2 && stem.starts_with('d');
    let base = match (letters, differential) {
        (1, _) => Item::Symbol(stem.into()),
        (_, true) => Item::Symbol(stem[1..].into()),
        _ => return Item::Word(name.into()),
    };
    let base = if digits.is_empty() {
        base
    } else {
        Item::Script {
            base: Box::new(base),
            below: vec![Item::Number(digits.into())],
            above: Vec::new(),
        }
    };
    if differential {
        Item::Differential(Box::new(base))
    } else {
        base
    }
}

/// The `d` over a stroke: a derivative's.
fn upright_d(item: Item) -> Item {
    match item {
        Item::Symbol(d) if d == "d" => Item::Function(d),
        Item::Applied(function, of) => Item::Applied(Box::new(upright_d(*function)), of),
        other => other,
    }
}

/// Whether a token is a word of prose.
fn is_word(token: Token<'_>) -> bool {
    token.kind == Kind::Name
        && !FUNCTIONS.contains(&token.text)
        && !matches!(token.text, "sum" | "product" | "integral" | "sqrt" | "Delta")
        && matches!(symbol(token.text), Item::Word(_))
}

fn is_unit_word(text: &str) -> bool {
    UNITS.contains(&text)
}

/// Whether a stroke or a sign can follow an item as something that it works on.
pub(super) fn is_operand(item: &Item) -> bool {
    !matches!(
        item,
        Item::Sign(_) | Item::Prefix(_) | Item::Stop(_) | Item::Gap | Item::Big(_)
    )
}

/// Whether factors side by side end at an item.
fn binds_less(item: &Item) -> bool {
    match item {
        Item::Sign(sign) => sign != "x",
        Item::Prefix(_) | Item::Stop(_) | Item::Gap => true,
        _ => false,
    }
}

/// A number, or a number to a power.
fn ends_with_number(item: &Item) -> bool {
    match item {
        Item::Number(_) => true,
        Item::Script { base, .. } => matches!(**base, Item::Number(_)),
        _ => false,
    }
}
