//! The allowed word that is spelled most like the one met.

/// The nearest of some words, or none when nothing is near enough to be meant.
///
/// Near enough is at most one change in a word of up to four characters, else about one change
/// in every three; swapped neighbours count as one change, and of equals the one with the same
/// first letter is nearer. After those comes the shortest word that starts with the one met.
pub fn nearest<'w>(met: &str, words: impl IntoIterator<Item = &'w str>) -> Option<String> {
    let met = met.trim().to_lowercase();
    let length = met.chars().count();
    if length == 0 || length > 100 {
        return None;
    }
    let allowed = if length <= 4 { 1 } else { length.div_ceil(3) };
    words
        .into_iter()
        .filter_map(|word| {
            let lower = word.to_lowercase();
            let longer = lower.chars().count();
            if longer.abs_diff(length) <= allowed {
                let changes = strsim::damerau_levenshtein(&met, &lower);
                if changes <= allowed {
                    let other_start = lower.chars().next() != met.chars().next();
                    return Some((false, changes, other_start, word));
                }
            }
            (length >= 4 && lower.starts_with(&met)).then_some((true, longer, false, word))
        })
        .min()
        .map(|(.., word)| word.to_owned())
}

/// Words in a row as a person reads them: `a, b or c`.
pub fn list<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    let words: Vec<&str> = words.into_iter().collect();
    match words.as_slice() {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_one_letter_finds_its_word() {
        let words = ["cup", "tbsp", "tsp", "quart"];
        assert_eq!(nearest("cupp", words).as_deref(), Some("cup"));
        assert_eq!(nearest("Qaurt", words).as_deref(), Some("quart"));
        assert_eq!(nearest("kgg", ["egg", "kg"]).as_deref(), Some("kg"));
        assert_eq!(nearest("stop", ["name", "stop_at"]).as_deref(), Some("stop_at"));
    }

    #[test]
    fn a_word_like_none_of_them_finds_nothing() {
        assert_eq!(nearest("elephant", ["cup", "tbsp"]), None);
        assert_eq!(nearest("", ["cup"]), None);
    }

    #[test]
    fn words_are_listed_with_or_before_the_last() {
        assert_eq!(list(["a", "b", "c"]), "a, b or c");
        assert_eq!(list(["a"]), "a");
    }
}
