//! The other way round: how many jars from what is there.

use jarwright_figure::Graph;

use crate::PlanError;
use crate::files::{Amount, FormulaFile, StoresFile};
use crate::lines::{Line, find, mass};
use crate::sizing::Size;

/// What is on hand of one line.
#[derive(Debug, Clone)]
pub(crate) struct OnHand {
    /// As given: `2.3 L bottled lime juice`.
    pub(crate) words: String,
    /// The formula's line it is for.
    pub(crate) line: usize,
    /// Multiples of the formula as written that it is enough for.
    pub(crate) multiples: f64,
}

/// Reads `2.3 L bottled lime juice` against the lines of a formula.
pub(crate) fn multiples(
    text: &str,
    formula: &FormulaFile,
    lines: &[Line],
    stores: &StoresFile,
    graph: &mut Graph,
) -> Result<OnHand, PlanError> {
    let names: Vec<&str> = lines.iter().map(|l| l.written.ingredient.as_str()).collect();
    let help = || {
        PlanError::asked(
            format!(
                "--from \"{text}\" is not an amount of an ingredient of {}",
                formula.name
            ),
            format!("write an amount and one of: {}", names.join("; ")),
        )
    };
    let words: Vec<&str> = text.split_whitespace().collect();
    // The longest beginning that reads as an amount leaves the ingredient's name.
    let (amount, name) = (1..words.len())
        .rev()
        .find_map(|k| Some((Amount::parse(&words[..k].join(" ")).ok()?, words[k..].join(" "))))
        .ok_or_else(help)?;
    let asked = plain(&name);
    let fits = |line: &Line| {
        let known: Vec<String> = std::iter::once(&line.ingredient.name)
            .chain(&line.ingredient.aliases)
            .chain(std::iter::once(&line.written.ingredient))
            .flat_map(|n| plain(n))
            .collect();
        asked.iter().all(|word| known.contains(word))
    };
    let line = lines.iter().position(fits).ok_or_else(help)?;
    let ingredient = find(&lines[line].written.ingredient, stores)?;
    let have = mass(graph, &amount, &ingredient, formula.cup.unwrap_or_default(), "--from")?;
    let same: f64 = lines
        .iter()
        .filter(|l| l.ingredient.name == ingredient.name)
        .map(|l| graph.value(l.one_g))
        .sum();
    Ok(OnHand {
        words: text.to_owned(),
        line,
        multiples: graph.value(have) / same,
    })
}

fn plain(name: &str) -> Vec<String> {
    name.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(|w| w.strip_suffix('s').filter(|s| s.len() > 2).unwrap_or(w).to_owned())
        .collect()
}

/// The largest order whose batches need no more than what is there.
pub(crate) fn most_ordered(
    on_hand: &OnHand,
    most: usize,
    multiple_of: &[f64],
    sizing: impl Fn(usize, usize) -> Result<Size, PlanError>,
) -> Result<(Size, Option<String>), PlanError> {
    // `multiple_of[n]` is what a batch of n jars takes.
    let needs = |size: &Size| multiple_of.get(size.per_batch).copied().unwrap_or(f64::INFINITY) * size.batches as f64;
    let mut best: Option<Size> = None;
    let (mut low, mut high) = (1_usize, crate::starts::MOST_JARS);
    while low <= high {
        let middle = low.midpoint(high);
        let sized = sizing(middle, most)?;
        if needs(&sized) <= on_hand.multiples {
            best = Some(sized);
            low = middle + 1;
        } else if middle == 1 {
            break;
        } else {
            high = middle - 1;
        }
    }
    let Some(size) = best else {
        return Err(PlanError::CannotMeet {
            reason: format!(
                "{} is not enough for one jar to sell beside its pH jar and its kept jar",
                on_hand.words
            ),
            would: vec!["more of it".into()],
        });
    };
    let used = needs(&size);
    let words = format!(
        "{} is enough for {:.2} times the formula; {} use {:.2}, {:.0} % of it",
        on_hand.words,
        on_hand.multiples,
        crate::words::count(size.batches, "batch"),
        used,
        100.0 * used / on_hand.multiples
    );
    Ok((size, Some(words)))
}
