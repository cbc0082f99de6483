//! A recipe being taken in, as text: each line with what it was understood as, then what is open.

use std::path::Path;

use jarwright_kitchen::recipe::{Answer, Doubt, Draft, DraftLine};

use super::page::Page;

/// Most set-aside lines shown.
const MOST_ASIDE: usize = 50;

/// The draft, its open questions, and the formula where nothing is open.
pub fn draft(draft: &Draft, formula: Option<&str>, written: Option<&Path>) -> String {
    let mut page = Page::new();
    page.line(0, &draft.name);
    if let Some(made) = &draft.made {
        page.line(0, &format!("Makes, as written: {made}. A plan computes its own."));
    }
    page.heading("What it was understood as");
    for (index, line) in draft.lines.iter().enumerate() {
        page.item(0, &format!("{:>3}  ", index + 1), &line.as_written);
        page.item(5, "-> ", &understood(line));
    }
    if !draft.set_aside.is_empty() {
        page.heading("Set aside, read as no ingredient");
        page.list(2, draft.set_aside.iter().take(MOST_ASIDE).cloned().collect::<Vec<_>>());
        if draft.set_aside.len() > MOST_ASIDE {
            page.line(2, &format!("and {} more lines", draft.set_aside.len() - MOST_ASIDE));
        }
    }
    if !draft.steps.is_empty() {
        page.heading("Steps, as written");
        page.list(2, &draft.steps);
    }
    let answered: Vec<&Doubt> = draft
        .doubts
        .iter()
        .chain(draft.lines.iter().flat_map(|line| &line.doubts))
        .filter(|doubt| doubt.answer.is_some())
        .collect();
    if !answered.is_empty() {
        page.heading("What you answered");
        for doubt in answered {
            page.item(0, &format!("{}  ", doubt.key), &said(doubt));
        }
    }
    match formula {
        None => open(&mut page, draft),
        Some(formula) => {
            page.heading("The formula");
            match written {
                Some(path) => page.line(0, &format!("Written: {}", path.display())),
                None => {
                    for line in formula.lines() {
                        page.verbatim(0, line);
                    }
                }
            }
        }
    }
    page.gap();
    page.line(
        0,
        "A recipe from outside is no tested schedule, whatever its steps say: a plan shows which routes \
         stay closed. Local law and a licensed authority decide.",
    );
    page.text()
}

fn understood(line: &DraftLine) -> String {
    if line.left_out {
        return "left out".into();
    }
    let name = line.ingredient.as_ref().and_then(|found| found.name.as_deref());
    let mut words = match (&line.amount, name) {
        (Some(amount), Some(name)) => format!("{amount} {name}"),
        (None, Some(name)) => format!("{name}, amount open"),
        (_, None) => "ingredient open".to_owned(),
    };
    if let Some(form) = &line.form {
        words.push_str(&format!(" ({form})"));
    }
    if line.each_jar {
        words.push_str(", in each jar");
    }
    words
}

fn said(doubt: &Doubt) -> String {
    match &doubt.answer {
        Some(Answer::Choice(at)) => doubt
            .choices
            .get(*at)
            .map_or_else(String::new, |choice| choice.label.clone()),
        Some(Answer::Words(words)) => words.clone(),
        None => String::new(),
    }
}

fn open(page: &mut Page, draft: &Draft) {
    page.heading("What only you can say");
    for doubt in draft.open() {
        page.gap();
        page.item(0, &format!("{}  ", doubt.key), &doubt.question);
        for (at, choice) in doubt.choices.iter().enumerate() {
            let letter = u8::try_from(at).map_or('?', |at| char::from(b'a' + at.min(25)));
            page.item(5, &format!("{letter}  "), &choice.label);
        }
        if let Some(words) = &doubt.in_words {
            page.item(5, "   ", &format!("or {words}"));
        }
    }
    page.gap();
    let count = draft.open().count();
    let first = draft.open().next().map_or("", |doubt| doubt.key.as_str());
    page.line(
        0,
        &format!("{count} open; nothing is written before all are answered. Answer with --answer {first}=..., again for each."),
    );
}
