//! Text from outside made plain: character references resolved, marks of a page dropped, one kind
//! of dash, slash and space.

/// Named character references that stand in recipes; others are left as they are written.
const NAMED: [(&str, &str); 34] = [
    ("amp", "&"),
    ("lt", "<"),
    ("gt", ">"),
    ("quot", "\""),
    ("apos", "'"),
    ("nbsp", " "),
    ("frac12", "½"),
    ("half", "½"),
    ("frac14", "¼"),
    ("frac34", "¾"),
    ("frac13", "⅓"),
    ("frac23", "⅔"),
    ("frac18", "⅛"),
    ("frac38", "⅜"),
    ("frac58", "⅝"),
    ("frac78", "⅞"),
    ("frasl", "⁄"),
    ("ndash", "–"),
    ("mdash", "—"),
    ("minus", "−"),
    ("hellip", "…"),
    ("deg", "°"),
    ("times", "×"),
    ("bull", "•"),
    ("middot", "·"),
    ("rsquo", "’"),
    ("lsquo", "‘"),
    ("rdquo", "”"),
    ("ldquo", "“"),
    ("eacute", "é"),
    ("egrave", "è"),
    ("ntilde", "ñ"),
    ("uuml", "ü"),
    ("ccedil", "ç"),
];

/// Longest name of a character reference that is looked for [bytes].
const MOST_REFERENCE: usize = 10;

/// Resolves `&frac12;`, `&#189;` and `&#xBD;`; twice, for what was written twice over.
pub(super) fn resolve_references(text: &str) -> String {
    let once = resolve_once(text);
    if once.contains('&') { resolve_once(&once) } else { once }
}

fn resolve_once(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        out.push_str(&rest[..at]);
        let after = &rest[at + 1..];
        let end = after.bytes().take(MOST_REFERENCE).position(|byte| byte == b';');
        match end.and_then(|end| Some((reference(after.get(..end)?)?, end))) {
            Some((meant, end)) => {
                out.push_str(&meant);
                rest = &after[end + 1..];
            }
            None => {
                out.push('&');
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

fn reference(name: &str) -> Option<String> {
    if let Some(number) = name.strip_prefix('#') {
        let code = match number.strip_prefix(['x', 'X']) {
            Some(hex) => u32::from_str_radix(hex, 16).ok()?,
            None => number.parse().ok()?,
        };
        return char::from_u32(code).map(String::from);
    }
    NAMED
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, meant)| (*meant).to_owned())
}

/// Without tags; what ends a block of a page ends a line.
pub(super) fn without_tags(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        out.push_str(&rest[..at]);
        let after = &rest[at + 1..];
        // "< 5 g" is no tag.
        let is_tag = after.starts_with(|c: char| c.is_ascii_alphabetic() || c == '/' || c == '!');
        match after.find('>').filter(|_| is_tag) {
            Some(end) => {
                let name = after[..end].trim_start_matches('/').to_ascii_lowercase();
                let ends_line = ["br", "p", "li", "div", "h1", "h2", "h3", "h4", "tr"]
                    .iter()
                    .any(|block| name.split(|c: char| !c.is_ascii_alphanumeric()).next() == Some(block));
                out.push(if ends_line { '\n' } else { ' ' });
                rest = &after[end + 1..];
            }
            None => {
                out.push('<');
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

/// A character that is not seen: it only turns the line around or joins nothing.
fn unseen(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}' | '\u{ad}')
}

/// One line as a person sees it: nothing hidden in it, one blank between words, at most
/// `most` characters.
pub(super) fn seen(text: &str, most: usize) -> String {
    let visible: String = text
        .chars()
        .filter(|c| !unseen(*c))
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let line = visible.split_whitespace().collect::<Vec<_>>().join(" ");
    match line.char_indices().nth(most) {
        Some((end, _)) => format!("{}...", line[..end].trim_end()),
        None => line,
    }
}

/// A seen line with one kind of dash, slash, quotation mark and multiplication sign, for reading.
pub(super) fn uniform(seen: &str) -> String {
    seen.chars()
        .map(|c| match c {
            '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
            '\u{2044}' | '\u{2215}' => '/',
            '\u{2018}' | '\u{2019}' => '\'',
            '\u{201c}' | '\u{201d}' => '"',
            '\u{d7}' => 'x',
            '\u{ba}' | '\u{2da}' => '°',
            '[' => '(',
            ']' => ')',
            c => c,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_are_resolved_by_name_and_number_also_when_written_twice_over() {
        assert_eq!(
            resolve_references("&frac12; cup &amp;frac14; &#189; &#xBD;"),
            "½ cup ¼ ½ ½"
        );
        assert_eq!(
            resolve_references("salt & pepper &unknown; &#xFFFFFFFF; &"),
            "salt & pepper &unknown; &#xFFFFFFFF; &"
        );
    }

    #[test]
    fn tags_go_and_what_is_less_than_stays() {
        assert_eq!(without_tags("<p>Boil</p><b>now</b>"), "\nBoil\n now ");
        assert_eq!(without_tags("if < 5 g"), "if < 5 g");
        assert_eq!(without_tags("open <b"), "open <b");
    }

    #[test]
    fn what_is_not_seen_is_dropped_and_a_long_line_is_cut() {
        assert_eq!(seen("\u{202e}2\u{a0}cups\t\0 sugar\u{200f}", 99), "2 cups sugar");
        assert_eq!(seen("sugar and more", 5), "sugar...");
    }
}
