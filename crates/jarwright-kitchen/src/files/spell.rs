//! The allowed word that is spelled most like the one met.

/// The nearest of some words, or none when nothing is near enough to be meant.
///
/// Near enough is at most one change in a word of up to four characters, else one change in
/// every three characters; swapped neighbours count as one change.
pub fn nearest<'w>(met: &str, words: impl IntoIterator<Item = &'w str>) -> Option<String> {
    let met = met.trim().to_lowercase();
    let length = met.chars().count();
    if length == 0 || length > 100 {
        return None;
    }
    let allowed = if length <= 4 { 1 } else { length / 3 };
    words
        .into_iter()
        .filter(|word| word.chars().count().abs_diff(length) <= allowed)
        .map(|word| {
            (
                strsim::damerau_levenshtein(&met, &word.to_lowercase()),
                word,
            )
        })
        .filter(|&(changes, _)| changes <= allowed)
        .min_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(b.1)))
        .map(|(_, word)| word.to_owned())
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
