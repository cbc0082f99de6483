//! Which line of a formula a cook means.

use jarwright_reference as reference;

use crate::PlanError;
use crate::files::{FormulaLine, nearest};

/// Lines (by index) that a name means: as written, by any name the table knows it under, else by
/// words that only one ingredient of the formula has.
///
/// # Errors
/// [`PlanError::Asked`] naming the nearest line, or the lines that could all be meant.
pub(super) fn lines_named(option: &str, name: &str, lines: &[FormulaLine]) -> Result<Vec<usize>, PlanError> {
    let pick =
        |keep: &dyn Fn(&FormulaLine) -> bool| -> Vec<usize> { (0..lines.len()).filter(|&i| keep(&lines[i])).collect() };
    let wanted = name.trim().to_lowercase();
    if wanted.is_empty() {
        return Err(PlanError::asked(format!("{option}: no line is named"), listed(lines)));
    }
    let written = pick(&|line| line.ingredient.to_lowercase() == wanted);
    if !written.is_empty() {
        return Ok(written);
    }
    if let Some(row) = reference::ingredient(&wanted) {
        let known = pick(&|line| reference::ingredient(&line.ingredient).is_some_and(|l| l.name == row.name));
        if !known.is_empty() {
            return Ok(known);
        }
    }
    let words = |text: &str| -> Vec<String> {
        text.to_lowercase()
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_owned)
            .collect()
    };
    let asked = words(&wanted);
    let by_words = pick(&|line| {
        let have = words(&line.ingredient);
        !asked.is_empty() && asked.iter().all(|word| have.contains(word))
    });
    let mut names: Vec<&str> = by_words.iter().map(|&i| lines[i].ingredient.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    match names.as_slice() {
        [] => {
            let heads = || {
                lines
                    .iter()
                    .map(|line| line.ingredient.split(',').next().unwrap_or_default())
            };
            let near = nearest(&wanted, lines.iter().map(|line| line.ingredient.as_str())).or_else(|| {
                let head = nearest(&wanted, heads())?;
                lines
                    .iter()
                    .zip(heads())
                    .find(|(_, h)| *h == head)
                    .map(|(line, _)| line.ingredient.clone())
            });
            let hint = near.map_or_else(
                || listed(lines),
                |near| format!("did you mean \"{near}\"? {}", listed(lines)),
            );
            Err(PlanError::asked(
                format!("{option}: no line of the formula is \"{}\"", name.trim()),
                hint,
            ))
        }
        [_] => Ok(by_words),
        several => Err(PlanError::asked(
            format!("{option}: \"{}\" could be {}", name.trim(), several.join(" or ")),
            "write the line's whole name",
        )),
    }
}

fn listed(lines: &[FormulaLine]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for line in lines {
        if !names.contains(&line.ingredient.as_str()) {
            names.push(&line.ingredient);
        }
    }
    format!("the lines are: {}", names.join("; "))
}
