//! Hostile texts: nothing panics, everything is bounded.

use proptest::prelude::*;

use super::super::{Answer, Draft, take_in};
use crate::files::MOST_BYTES;

/// Answers whatever is open with its first choice, or some words, until nothing is left.
fn answer_all(mut draft: Draft) -> Draft {
    for _ in 0..2000 {
        let Some((key, choices, amount)) = draft
            .open()
            .next()
            .map(|doubt| (doubt.key.clone(), doubt.choices.len(), doubt.kind.is_amount()))
        else {
            break;
        };
        let words = if amount { "5 g" } else { "65 Bx" };
        let first = Answer::Choice(0);
        let answer = if choices > 0 {
            first
        } else {
            Answer::Words(words.into())
        };
        if draft.decide(&key, &answer).is_err() && draft.decide(&key, &Answer::Words("5 g".into())).is_err() {
            break;
        }
    }
    draft
}

#[test]
fn too_deep_too_long_and_too_many_are_refused_or_cut() {
    let deep = format!("{}1{}", "[".repeat(100_000), "]".repeat(100_000));
    assert!(take_in(&format!("{{\"a\":{deep}}}"), None).is_err());
    assert!(take_in(&"2 cups sugar\n".repeat(1_000_000), None).is_err_and(|fault| fault.what.contains("bytes")));
    assert!(take_in(&"2 cups sugar\n".repeat(201), None).is_err_and(|fault| fault.what.contains("201")));
    let long = take_in(&"a".repeat(MOST_BYTES), None);
    assert!(long.is_ok_and(|draft| draft.lines.iter().all(|line| line.as_written.chars().count() < 310)));
    let page = format!("<html>{}", "<script ".repeat(100_000));
    assert!(take_in(&page, None).is_err());
    let blocks = "<script type='application/ld+json'>{".repeat(20_000);
    assert!(take_in(&blocks, None).is_err());
}

#[test]
fn what_cannot_be_seen_is_not_kept() -> Result<(), String> {
    let draft = take_in("\u{202e}2 cups\0 sugar\u{200f}\u{1b}[2J", None).map_err(|fault| fault.to_string())?;
    let kept = &draft.lines[0].as_written;
    assert!(
        kept.chars()
            .all(|c| !c.is_control() && c != '\u{202e}' && c != '\u{200f}'),
        "{kept:?}"
    );
    Ok(())
}

#[test]
fn a_script_in_a_line_is_words() -> Result<(), String> {
    let text =
        r#"{"@type":"Recipe","name":"<script>alert(1)</script>x","recipeIngredient":["<img src=x>2 cups sugar"]}"#;
    let draft = take_in(text, None).map_err(|fault| fault.to_string())?;
    assert_eq!(draft.name, "alert(1) x");
    assert_eq!(draft.lines[0].as_written, "2 cups sugar");
    Ok(())
}

/// Whether each line has its amount, or a question that stands for it.
fn nothing_is_guessed(draft: &Draft) -> Result<(), TestCaseError> {
    let cup_is_open = draft.open().any(|doubt| doubt.key == "cup");
    for line in &draft.lines {
        let open = line.open().next().is_some();
        prop_assert!(
            line.left_out || open || line.amount.is_some() || cup_is_open,
            "neither amount nor question: {line:?}"
        );
        prop_assert!(
            !(open && line.amount.is_some()),
            "an amount beside a question: {line:?}"
        );
    }
    Ok(())
}

/// Headings and lines of recipes; `#` stands for a number of its own in each line.
fn page_lines() -> impl Strategy<Value = Vec<String>> {
    let line = prop_oneof![
        Just("Ingredients"),
        Just("Method"),
        Just("Notes"),
        Just("For the brine:"),
        Just("## For each jar"),
        Just("#z spread"),
        Just("Makes #z jars"),
        Just("2 cups sugar #z"),
        Just("- #z lemons"),
        Just("juice and zest of 2 lemons #z"),
        Just("<b>#z"),
        Just("1. Boil #z minutes"),
        Just("▢ a pinch of #z"),
        Just(""),
    ];
    proptest::collection::vec(line, 1..30).prop_map(|lines| {
        let numbered = lines.iter().enumerate();
        numbered
            .map(|(at, line)| line.replace("#z", &format!("zz{at}zz")))
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_text_is_taken_in_or_refused(text in "\\PC{0,200}") {
        let _ = take_in(&text, None);
    }

    #[test]
    fn any_json_is_taken_in_or_refused(
        entries in proptest::collection::vec("\\PC{0,30}", 0..6), kind in "\\PC{0,12}|Recipe", more in "\\PC{0,40}",
    ) {
        let value = serde_json::json!({
            "@type": kind, "recipeIngredient": entries,
            "recipeInstructions": [{"text": more}, {"value": [entries]}], "recipeYield": {"value": more},
        });
        if let Ok(draft) = take_in(&value.to_string(), None) {
            nothing_is_guessed(&draft)?;
        }
        let _ = take_in(&format!("{{{more}"), None);
        let _ = take_in(&format!("<script type=ld+json>{value}{more}"), None);
    }

    #[test]
    fn every_line_of_a_text_is_an_ingredient_a_step_or_set_aside(lines in page_lines()) {
        if let Ok(draft) = take_in(&lines.join("\n"), None) {
            let mut all: Vec<&str> = vec![&draft.name];
            all.extend(draft.made.as_deref());
            all.extend(draft.lines.iter().map(|line| line.as_written.as_str()));
            all.extend(draft.steps.iter().chain(&draft.set_aside).map(String::as_str));
            for line in lines.iter().filter(|line| !line.is_empty()) {
                let mark = line.split_whitespace().find(|word| word.contains("zz"));
                let kept = mark.map_or_else(|| all.contains(&line.as_str()), |mark| all.iter().any(|t| t.contains(mark)));
                prop_assert!(kept, "{line} is nowhere in {all:?}");
            }
        }
    }

    #[test]
    fn any_bytes_are_taken_in_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let _ = take_in(&String::from_utf8_lossy(&bytes), None);
    }

    #[test]
    fn words_of_recipes_in_any_order_are_taken_in_answered_and_written(
        words in proptest::collection::vec(prop_oneof![
            Just("2"), Just("1/2"), Just("½"), Just("1,5"), Just("-"), Just("–"), Just("("), Just(")"), Just("/"),
            Just("cups"), Just("oz"), Just("g"), Just("T"), Just("can"), Just("large"), Just("clove"), Just("knob"),
            Just("juice"), Just("zest"), Just("of"), Just("or"), Just("to"), Just("plus"), Just("lemons"),
            Just("sugar"), Just("vinegar"), Just("5 %"), Just("salt"), Just("apricots"), Just(","), Just("é∞"),
            Just("optional"), Just("each jar"), Just("about"), Just("heaped"), Just("(about 200 g)"), Just("to taste"), Just("plus extra"), Just("a pinch"),
            Just("tbsp"), Just("clove"), Just("\n"), Just("For the brine:\n"),
        ], 1..14)
    ) {
        if let Ok(draft) = take_in(&words.join(" "), None) {
            nothing_is_guessed(&draft)?;
            let before = draft.open().count();
            let wrote = draft.to_toml();
            let marked = draft.to_marked_toml();
            prop_assert!(marked.parse::<toml::Table>().is_ok(), "{marked}");
            prop_assert!(before == 0 || crate::files::read_formula("draft", &marked).is_err(), "{marked}");
            prop_assert!(before == 0 || wrote.is_err(), "written with {before} open");
            let after = answer_all(draft);
            nothing_is_guessed(&after)?;
            if after.open().next().is_none() && after.lines.iter().any(|line| !line.left_out) {
                let wrote = after.to_toml();
                // A pack of no pieces is the one thing that answers can still get wrong.
                let said = |faults: &[super::Doubt]| faults.iter().any(|f| f.question.contains("pack without pieces"));
                prop_assert!(wrote.as_ref().map_or_else(|faults| said(faults), |text| !text.contains("schedule =")),
                    "{wrote:?} {after:?}");
            }
        }
    }
}
