//! Numbers as cooks write them: `12`, `0.5`, `1/4`, `2 1/2`, `2½`.

use super::problem::Fault;

/// A number at the start of a text, and what follows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Leading<'t> {
    /// The number; finite, may be negative or zero.
    pub(crate) value: f64,
    /// What follows, without the space between.
    pub(crate) rest: &'t str,
    /// Byte in the text where `rest` starts.
    pub(crate) rest_at: usize,
}

/// What every fault of a number expects.
pub(crate) const EXPECTED: &str = "a number such as 12, 0.5, 1/4 or 2 1/2";

const FRACTIONS: [(char, f64, f64); 15] = [
    ('½', 1.0, 2.0),
    ('⅓', 1.0, 3.0),
    ('⅔', 2.0, 3.0),
    ('¼', 1.0, 4.0),
    ('¾', 3.0, 4.0),
    ('⅕', 1.0, 5.0),
    ('⅖', 2.0, 5.0),
    ('⅗', 3.0, 5.0),
    ('⅘', 4.0, 5.0),
    ('⅙', 1.0, 6.0),
    ('⅚', 5.0, 6.0),
    ('⅛', 1.0, 8.0),
    ('⅜', 3.0, 8.0),
    ('⅝', 5.0, 8.0),
    ('⅞', 7.0, 8.0),
];

/// Reads the number a text starts with.
///
/// Refused, with what to write instead: a range, a decimal comma, a fraction over zero, two
/// numbers in a row, an exponent, more than 15 digits.
pub(crate) fn leading(text: &str) -> Result<Leading<'_>, Fault> {
    let mut scan = Scan { text, at: 0 };
    scan.spaces();
    let start = scan.at;
    let sign = if scan.take(|c| matches!(c, '-' | '−')) {
        -1.0
    } else {
        scan.take(|c| c == '+');
        1.0
    };
    let value = match scan.digits()? {
        None => scan.sign_fraction().ok_or_else(|| missing(text, start))?,
        Some(first) => {
            let whole_end = scan.at;
            if scan.take(is_slash) {
                scan.over(first, start)?
            } else if let Some(part) = scan.fraction_after()? {
                first + part
            } else {
                scan.at = whole_end;
                first
            }
        }
    };
    scan.refuse_more(start)?;
    scan.spaces();
    let rest = text.get(scan.at..).unwrap_or_default();
    Ok(Leading {
        value: sign * value,
        rest: rest.trim_end(),
        rest_at: scan.at,
    })
}

/// A text that is a number and nothing else.
pub(crate) fn whole(text: &str) -> Result<f64, Fault> {
    let Leading { value, rest, rest_at } = leading(text)?;
    if rest.is_empty() {
        Ok(value)
    } else {
        Err(Fault::new(format!("\"{rest}\" after the number"), "a number alone").within(rest_at..rest_at + rest.len()))
    }
}

/// A number so that [`leading`] reads the same one: a fraction where one is exactly meant.
pub(crate) fn write(value: f64) -> String {
    let whole = value.trunc();
    let is_fraction = |&(_, over, under): &(char, f64, f64)| (whole + over / under).to_bits() == value.to_bits();
    match FRACTIONS.iter().find(|&fraction| is_fraction(fraction)) {
        Some((_, over, under)) if whole > 0.0 && whole < 1e6 => format!("{whole} {over}/{under}"),
        Some((_, over, under)) if whole.abs() < 0.5 => format!("{over}/{under}"),
        _ => format!("{value}"),
    }
}

fn is_slash(c: char) -> bool {
    matches!(c, '/' | '⁄')
}

fn missing(text: &str, start: usize) -> Fault {
    let met = text.trim();
    let what = if met.is_empty() {
        "no number".to_owned()
    } else {
        format!("no number at the start of \"{met}\"")
    };
    Fault::new(what, EXPECTED).within(start..text.len())
}

struct Scan<'t> {
    text: &'t str,
    at: usize,
}

impl Scan<'_> {
    fn peek(&self) -> Option<char> {
        self.text.get(self.at..).and_then(|rest| rest.chars().next())
    }

    fn take(&mut self, is: impl Fn(char) -> bool) -> bool {
        match self.peek() {
            Some(c) if is(c) => {
                self.at += c.len_utf8();
                true
            }
            _ => false,
        }
    }

    fn spaces(&mut self) {
        while self.take(char::is_whitespace) {}
    }

    /// Digits with at most one decimal point.
    fn digits(&mut self) -> Result<Option<f64>, Fault> {
        let start = self.at;
        while self.take(|c| c.is_ascii_digit()) {}
        let point = self.at;
        if self.take(|c| c == '.') {
            let after = self.at;
            while self.take(|c| c.is_ascii_digit()) {}
            if self.at == after {
                self.at = point;
            }
        }
        let digits = self.text.get(start..self.at).unwrap_or_default();
        if digits.is_empty() {
            return Ok(None);
        }
        if digits.len() > 16 {
            let what = format!("the number {digits} is too long");
            return Err(Fault::new(what, "at most 15 digits").within(start..self.at));
        }
        digits.parse().map(Some).map_err(|_| missing(self.text, start))
    }

    fn sign_fraction(&mut self) -> Option<f64> {
        let met = self.peek()?;
        let &(_, over, under) = FRACTIONS.iter().find(|(sign, ..)| *sign == met)?;
        self.at += met.len_utf8();
        Some(over / under)
    }

    fn over(&mut self, first: f64, start: usize) -> Result<f64, Fault> {
        let under = self.digits()?.ok_or_else(|| missing(self.text, start))?;
        if under > 0.0 {
            Ok(first / under)
        } else {
            Err(Fault::new("a fraction over zero", EXPECTED).within(start..self.at))
        }
    }

    /// The fraction of a mixed number, if one follows.
    fn fraction_after(&mut self) -> Result<Option<f64>, Fault> {
        self.spaces();
        if let Some(part) = self.sign_fraction() {
            return Ok(Some(part));
        }
        let start = self.at;
        let Some(first) = self.digits()? else {
            return Ok(None);
        };
        if !self.take(is_slash) {
            return Ok(None);
        }
        let part = self.over(first, start)?;
        if part < 1.0 {
            Ok(Some(part))
        } else {
            Err(Fault::new("a mixed number whose fraction is not below 1", EXPECTED).within(start..self.at))
        }
    }

    /// Refuses what looks like the rest of a number that is not one.
    fn refuse_more(&self, start: usize) -> Result<(), Fault> {
        let rest = self.text.get(self.at..).unwrap_or_default();
        let next = rest.trim_start();
        let met = |length: usize| start..self.text.len().min(self.text.len() - next.len() + length);
        let digit_after = |mark: &str| {
            next.strip_prefix(mark)
                .map(str::trim_start)
                .is_some_and(|after| after.starts_with(is_number_start))
        };
        if next.starts_with(',') {
            return Err(Fault::new("a comma in a number", EXPECTED)
                .hint("write a decimal point and no thousands mark: \"2.5 kg\", \"1200 g\"")
                .within(met(1)));
        }
        if ["-", "–", "—", "to ", "or "].iter().any(|mark| digit_after(mark)) {
            return Err(Fault::new(format!("a range, \"{}\"", self.text.trim()), "one amount")
                .hint("choose one amount; a plan weighs one number")
                .within(start..self.text.trim_end().len()));
        }
        let exponent = rest
            .strip_prefix(['e', 'E'])
            .is_some_and(|after| after.starts_with(|c: char| c.is_ascii_digit()));
        if exponent || next.starts_with(is_number_start) || next.starts_with(is_slash) || rest.starts_with('.') {
            let what = format!("\"{}\" is not one number", self.text.trim());
            return Err(Fault::new(what, EXPECTED).within(met(1)));
        }
        Ok(())
    }
}

fn is_number_start(c: char) -> bool {
    c.is_ascii_digit() || FRACTIONS.iter().any(|(sign, ..)| *sign == c)
}
