//! One line for another: `lime juice, fresh = lime juice, bottled`.
//!
//! The new line brings what the old one did: an egg its solids, what sours its acid, a sweetener
//! its sugars, a fat its fat; anything else its weight, unless the cook says how much. What the
//! new line brings beside that (sugar in a prepared zest, water in a weaker vinegar) is taken off
//! other lines by the fewest changes.

use jarwright_figure::Graph;
use jarwright_matter::{self as matter, Acid, Food};
use jarwright_reference::Kind;

use super::answer::{HeldView, SwapView};
use super::line_names::lines_named;
use super::movers::added;
use super::rounding::{neighbours, on_scale, plain};
use super::search::{Bench, Goal, Mover, search};
use super::stages::{Loss, Stages};
use super::target::Relation;
use super::{Bounds, Draft, Origin, Stage};
use crate::PlanError;
use crate::files::{Amount, AmountUnit, FormulaLine, GoesIn, Part, StoresFile};
use crate::lines::{find, resolve};

/// Molar mass of citric acid over its three steps [g/mol]: acidity is counted as citric acid.
const CITRIC_G_PER_STEP: f64 = 192.124 / 3.0;

/// How near a total counts as kept: this share of it, or so many grams.
const KEPT: f64 = 0.01;
const KEPT_G: [f64; 5] = [0.1, 1.0, 1.0, 0.5, 0.5];

/// What a swap keeps, in the order of what matters more.
const HELD: [&str; 5] = ["acid, as citric", "sugars", "water", "egg solids", "fat"];

/// Places in [`HELD`].
const ACID: usize = 0;
const SUGARS: usize = 1;

/// Share of sugar and acid from which a line is taken to dissolve [-].
const DISSOLVES: f64 = 0.1;

/// Sizes that a name may carry.
const SIZES: [&str; 5] = ["small", "medium", "large", "extra large", "jumbo"];

/// What sets the new amount.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum By {
    Given,
    Total(usize),
    Weight,
}

/// What a swap asks for, read.
struct Wanted {
    old: Vec<usize>,
    name: String,
    amount: Option<Amount>,
    piece: Option<AmountUnit>,
}

/// Makes one swap in a draft and rebalances the rest.
///
/// # Errors
/// [`PlanError::Asked`] when a side cannot be read, is no line or no ingredient, or the new one
/// cannot take the old one's place.
pub(super) fn swap(
    text: &str,
    draft: &Draft,
    stores: &StoresFile,
    kept: &[usize],
    bounds: Bounds,
) -> Result<(Draft, SwapView), PlanError> {
    let wanted = read(text, draft, stores)?;
    let new = find(&wanted.name, stores)?;
    let first = wanted.old[0];
    let mut graph = Graph::new();
    let old_lines = resolve(&mut graph, &draft.formula, stores)?;
    let same = |i: usize| old_lines[i].ingredient.name == new.name;
    if wanted.amount.is_none() && wanted.piece.is_none() && wanted.old.iter().all(|&i| same(i)) {
        return Err(asked(
            text,
            format!("{} would be swapped for itself", new.name),
            "name another one",
        ));
    }
    let before = totals(&mut graph, draft, stores)?;
    let old_kinds: Vec<Kind> = wanted.old.iter().map(|&i| old_lines[i].ingredient.kind).collect();
    suits(text, &old_kinds, &new.name, new.kind)?;

    // The new line at a trial weight, to see what a gram of it brings.
    let mut next = draft.clone();
    let called = if same(first) {
        draft.formula.lines[first].ingredient.clone()
    } else {
        wanted.name.clone()
    };
    let line = FormulaLine {
        ingredient: called.clone(),
        amount: grams(100.0),
        form: draft.formula.lines[first].form.clone().filter(|_| same(first)),
        ..draft.formula.lines[first].clone()
    };
    next.formula.lines[first] = line;
    next.origins[first] = Origin::For(wanted.old.iter().flat_map(|&i| draft.origins[i].written()).collect());
    let mut gone: Vec<usize> = wanted.old[1..].to_vec();
    gone.sort_unstable_by(|a, b| b.cmp(a));
    for &i in &gone {
        next.formula.lines.remove(i);
        next.origins.remove(i);
    }
    let place = first - gone.iter().filter(|&&i| i < first).count();
    let old_g: f64 = wanted.old.iter().map(|&i| graph.value(old_lines[i].one_g)).sum();
    let brought: Vec<f64> = (0..HELD.len())
        .map(|k| wanted.old.iter().map(|&i| before.lines[i][k]).sum())
        .collect();
    let trial = totals(&mut Graph::new(), &next, stores)?;
    let per_g: Vec<f64> = trial.lines[place].iter().map(|of| of / 100.0).collect();
    // Sugar and acid run through a sieve that kept the old line back.
    if per_g[ACID] + per_g[SUGARS] > DISSOLVES {
        next.formula.lines[place].sieved_out = 0.0;
    }
    let (new_g, by) = amount(text, &wanted, &new, &old_kinds, draft, old_g, &brought, &per_g)?;
    let new_g = on_scale(new_g);
    if new_g <= 0.0 {
        return Err(asked(
            text,
            format!("less than a scale shows of {} would do", new.name),
            "leave the line out instead, or say how much: \"old = 5 g new\"",
        ));
    }
    next.formula.lines[place].amount = grams(new_g);

    // What the new line brings too much or too little of, by other lines.
    let movers = movers(&next, place, kept, bounds, stores)?;
    let held = rebalance(&mut next, &before.sums, &movers, stores)?;
    let kind = |k: Kind| old_kinds.contains(&k);
    let olds: Vec<&str> = wanted
        .old
        .iter()
        .map(|&i| draft.formula.lines[i].ingredient.as_str())
        .collect();
    let said = match (&wanted.piece, by) {
        (Some(AmountUnit::Piece(word)), _) => new.pieces.iter().find(|p| &p.word == word).map(|piece| {
            format!(
                ", about {:.1} {word}; beat and weigh what does not come out even",
                new_g / piece.g.value
            )
        }),
        _ => None,
    };
    let other_acid =
        (kind(Kind::Vinegar) && new.kind != Kind::Vinegar) || (!kind(Kind::Vinegar) && new.kind == Kind::Vinegar);
    let by = match by {
        By::Given => "the amount is the one you gave".to_owned(),
        By::Weight => "weight for weight: no analysis tells how much flavour a gram has; say an amount to set it (\"old = 60 g new\")".to_owned(),
        By::Total(k) => {
            let mut words = format!("the amount brings as much {} as before: {:.1} g", HELD[k], brought[k]);
            if k == 0 && other_acid {
                words.push_str("; another acid in the same strength: it keeps differently and tastes differently");
            }
            words
        }
    };
    let view = SwapView {
        words: format!(
            "{} ({old_g:.0} g) for {} ({} g{})",
            olds.join(" and "),
            called,
            plain(new_g),
            said.unwrap_or_default()
        ),
        by,
        held,
    };
    Ok((next, view))
}

fn asked(text: &str, what: impl std::fmt::Display, hint: &str) -> PlanError {
    PlanError::asked(format!("--swap \"{}\": {what}", text.trim()), hint)
}

fn grams(g: f64) -> Amount {
    Amount {
        quantity: g,
        unit: AmountUnit::Gram,
    }
}

fn read(text: &str, draft: &Draft, stores: &StoresFile) -> Result<Wanted, PlanError> {
    const EXPECTED: &str = "write it as \"lime juice, fresh = lime juice, bottled\"; several old lines with +";
    let Some((old, new)) = text.split_once('=') else {
        return Err(asked(text, "no = between old and new", EXPECTED));
    };
    if old.trim().is_empty() || new.trim().is_empty() || new.contains('=') {
        return Err(asked(text, "one old side and one new side are needed", EXPECTED));
    }
    let mut lines: Vec<usize> = Vec::new();
    for name in old.split('+') {
        let named = lines_named("--swap", name, &draft.formula.lines).or_else(|error| {
            split_piece(name).map_or(Err(error), |(_, name)| {
                lines_named("--swap", &name, &draft.formula.lines)
            })
        })?;
        lines.extend(named.into_iter().filter(|i| !lines.contains(i)).collect::<Vec<_>>());
    }
    lines.sort_unstable();
    if lines.iter().any(|&i| draft.formula.lines[i].part == Some(Part::Soak)) && lines.len() > 1 {
        lines.retain(|&i| draft.formula.lines[i].part != Some(Part::Soak));
    }
    let (amount, name) = split_amount(new);
    let known = |name: &str| find(name, stores).ok().map(|row| row.name);
    if known(&name).is_some() {
        return Ok(Wanted {
            old: lines,
            name,
            amount,
            piece: None,
        });
    }
    if let Some((piece, bare)) = split_piece(&name)
        && known(&bare).is_some()
    {
        return Ok(Wanted {
            old: lines,
            name: bare,
            amount,
            piece: Some(piece),
        });
    }
    let names = || {
        jarwright_reference::ingredients()
            .iter()
            .flat_map(|row| std::iter::once(row.name.as_str()).chain(row.aliases.iter().map(String::as_str)))
            .chain(stores.items.iter().map(|item| item.ingredient.as_str()))
    };
    let hint = "use a name of the ingredient table, or give it an entry with an analysis in the stores file";
    Err(asked(
        text,
        format!("unknown ingredient \"{name}\""),
        &crate::files::nearest(&name, names())
            .map_or_else(|| hint.into(), |near| format!("did you mean \"{near}\"? {hint}")),
    ))
}

/// `60 g prepared zest` as an amount and a name.
fn split_amount(text: &str) -> (Option<Amount>, String) {
    let words: Vec<&str> = text.split_whitespace().collect();
    for cut in (1..words.len().min(5)).rev() {
        if let Ok(amount) = Amount::parse(&words[..cut].join(" ")) {
            return (Some(amount), words[cut..].join(" "));
        }
    }
    (None, words.join(" "))
}

/// `medium egg` or `egg, whole, medium` as a piece and a name.
fn split_piece(text: &str) -> Option<(AmountUnit, String)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let piece = |words: &[&str]| {
        let size = words.join(" ").trim_matches(',').to_lowercase();
        SIZES.contains(&size.as_str()).then_some(AmountUnit::Piece(size))
    };
    let bare = |words: &[&str]| words.join(" ").trim().trim_matches(',').trim().to_owned();
    for size in [2, 1] {
        if words.len() <= size {
            continue;
        }
        let (head, tail) = (words.split_at(size), words.split_at(words.len() - size));
        if let Some(unit) = piece(head.0) {
            return Some((unit, bare(head.1)));
        }
        if let Some(unit) = piece(tail.1) {
            return Some((unit, bare(tail.0)));
        }
    }
    None
}

/// Whether the new ingredient can do the old one's work at all.
fn suits(text: &str, old: &[Kind], name: &str, new: Kind) -> Result<(), PlanError> {
    let egg = old.contains(&Kind::Egg);
    if egg && new != Kind::Egg {
        return Err(asked(
            text,
            format!("{name} is no egg ({})", new.word()),
            "an egg sets the food with its protein; swap it for another egg, yolk or egg product",
        ));
    }
    if !egg && new == Kind::Egg {
        return Err(asked(
            text,
            format!("{name} is an egg, the old line is none"),
            "name an egg line on the left",
        ));
    }
    let was = |kind: Kind| old.iter().all(|k| *k == kind);
    for kind in [Kind::Sweetener, Kind::Fat, Kind::Salt] {
        if was(kind) && new != kind {
            return Err(asked(
                text,
                format!("{name} is no {} but {}", kind.word(), new.word()),
                "swap like for like; move amounts with --to",
            ));
        }
    }
    Ok(())
}

/// How much of the new line [g], and by what.
#[expect(
    clippy::too_many_arguments,
    reason = "one call, everything it needs is at hand there"
)]
fn amount(
    text: &str,
    wanted: &Wanted,
    new: &jarwright_reference::Ingredient,
    old: &[Kind],
    draft: &Draft,
    old_g: f64,
    brought: &[f64],
    per_g: &[f64],
) -> Result<(f64, By), PlanError> {
    if let Some(amount) = &wanted.amount {
        let cup = draft.formula.cup.unwrap_or_default();
        return amount
            .grams(new, cup)
            .map(|g| (g, By::Given))
            .map_err(|e| asked(text, e.to_string(), "give the amount in g"));
    }
    let sours = |kind: &Kind| matches!(kind, Kind::AcidJuice | Kind::Vinegar | Kind::Acid);
    let total = if old.contains(&Kind::Egg) {
        Some(3)
    } else if old.iter().any(sours) {
        Some(0)
    } else if old.contains(&Kind::Sweetener) && new.kind == Kind::Sweetener {
        Some(1)
    } else if old.iter().all(|k| *k == Kind::Fat) {
        Some(4)
    } else {
        None
    };
    let Some(k) = total else {
        return Ok((old_g, By::Weight));
    };
    if brought[k] <= 0.0 || per_g[k] <= 0.0 {
        return Err(asked(
            text,
            format!(
                "no {} is on file for {}",
                HELD[k],
                if per_g[k] <= 0.0 {
                    new.name.as_str()
                } else {
                    "the old line"
                }
            ),
            "give its analysis in the stores file, or say how much: \"old = 60 g new\"",
        ));
    }
    Ok((brought[k] / per_g[k], By::Total(k)))
}

/// What the lines bring [g], and their sums, in the order of [`HELD`].
struct Totals {
    lines: Vec<Vec<f64>>,
    sums: Vec<f64>,
}

fn totals(graph: &mut Graph, draft: &Draft, stores: &StoresFile) -> Result<Totals, PlanError> {
    let lines = resolve(graph, &draft.formula, stores)?;
    let stages = Stages::new(graph, &lines, Loss::Share(0.0), None, Stage::Weighed)?;
    let of: Vec<Vec<f64>> = lines
        .iter()
        .enumerate()
        .map(|(i, line)| {
            if line.written.part == Some(Part::Soak) {
                return vec![0.0; HELD.len()];
            }
            let food = stages.alone(i, graph.value(line.one_g));
            brings(&food, line.ingredient.kind)
        })
        .collect();
    Ok(Totals {
        sums: (0..HELD.len()).map(|k| of.iter().map(|line| line[k]).sum()).collect(),
        lines: of,
    })
}

fn brings(food: &Food, kind: Kind) -> Vec<f64> {
    let egg = kind == Kind::Egg;
    vec![
        match kind {
            // Protein takes up base too, but nobody calls an egg sour.
            Kind::Egg | Kind::Dairy => 0.0,
            // Declared strength is all of the acid.
            Kind::Vinegar | Kind::Acid => declared_g(food),
            _ => titrated_g(food),
        },
        1000.0 * food.sugars_kg(),
        1000.0 * food.water_kg,
        if egg { 1000.0 * food.solids_kg() } else { 0.0 },
        1000.0 * food.fat_kg,
    ]
}

/// Acid as citric [g] by titration; of what is dry, by the steps of its acids.
fn titrated_g(food: &Food) -> f64 {
    match matter::strong_ion_for_ph(food, TITRATION_END_PH, 25.0) {
        Ok(base_mol) if food.acid_kg() > 0.0 => CITRIC_G_PER_STEP * (base_mol - food.strong_ion_mol).max(0.0),
        _ => declared_g(food),
    }
}

/// All acids as citric [g], free or not.
fn declared_g(food: &Food) -> f64 {
    Acid::ALL
        .iter()
        .map(|&acid| CITRIC_G_PER_STEP * food.acid(acid) * steps(acid))
        .sum()
}

/// Where a titration of food ends (`titration_end_point`).
const TITRATION_END_PH: f64 = 8.1;

/// Steps of an acid that a titration takes.
fn steps(acid: Acid) -> f64 {
    acid.steps().iter().filter(|step| step.pk < TITRATION_END_PH).count() as f64
}

/// Lines that may make up for what the new one brings: sugar, water and what sours.
fn movers(
    draft: &Draft,
    place: usize,
    kept: &[usize],
    bounds: Bounds,
    stores: &StoresFile,
) -> Result<Vec<Mover>, PlanError> {
    let mut graph = Graph::new();
    let lines = resolve(&mut graph, &draft.formula, stores)?;
    let total: f64 = lines.iter().map(|l| graph.value(l.one_g)).sum();
    Ok((0..lines.len())
        .filter(|&i| i != place && !kept.iter().any(|k| draft.origins[i].written().contains(k)))
        .filter(|&i| !matches!(lines[i].written.part, Some(Part::Soak | Part::Pieces)))
        .filter(|&i| {
            matches!(
                lines[i].ingredient.kind,
                Kind::Sweetener | Kind::Water | Kind::AcidJuice | Kind::Vinegar | Kind::Acid
            )
        })
        .map(|i| {
            let g = graph.value(lines[i].one_g);
            if draft.origins[i] == Origin::Added {
                return added(i, lines[i].ingredient.kind, total);
            }
            Mover {
                line: i,
                from_g: g,
                unit_g: g,
                low: bounds.least - 1.0,
                high: bounds.most - 1.0,
            }
        })
        .collect())
}

/// The formula's totals as a bench: linear in the masses.
struct TotalsBench<'a> {
    per_g: &'a [Vec<f64>],
    which: &'a [usize],
}

impl Bench for TotalsBench<'_> {
    fn values(&self, masses_g: &[f64]) -> Option<Vec<f64>> {
        Some(
            self.which
                .iter()
                .map(|&k| masses_g.iter().zip(self.per_g).map(|(g, per_g)| g * per_g[k]).sum())
                .collect(),
        )
    }

    fn bands(&self, _: &[f64]) -> Option<Vec<(f64, f64)>> {
        Some(vec![(0.0, 0.0); self.which.len()])
    }
}

/// Moves other lines so that the totals stand as before, as many of them as can.
fn rebalance(
    draft: &mut Draft,
    before: &[f64],
    movers: &[Mover],
    stores: &StoresFile,
) -> Result<Vec<HeldView>, PlanError> {
    let mut graph = Graph::new();
    let lines = resolve(&mut graph, &draft.formula, stores)?;
    let mut masses: Vec<f64> = lines.iter().map(|l| graph.value(l.one_g)).collect();
    let written = masses.clone();
    // What is not there yet is weighed once, to see what a gram of it brings.
    let mut trial = draft.clone();
    for line in trial
        .formula
        .lines
        .iter_mut()
        .filter(|line| line.amount.quantity <= 0.0)
    {
        line.amount = grams(1.0);
    }
    let tried = totals(&mut Graph::new(), &trial, stores)?;
    let per_g: Vec<Vec<f64>> = tried
        .lines
        .iter()
        .zip(&masses)
        .map(|(line, g)| line.iter().map(|of| of / if *g > 0.0 { *g } else { 1.0 }).collect())
        .collect();
    let near = |k: usize| (KEPT * before[k]).max(KEPT_G[k]);
    // In order of weight: what joins the others without a miss is held, the rest is told.
    let mut which: Vec<usize> = Vec::new();
    for k in 0..3 {
        let mut tried = which.clone();
        tried.push(k);
        let bench = TotalsBench {
            per_g: &per_g,
            which: &tried,
        };
        let goals: Vec<Goal> = tried
            .iter()
            .map(|&k| Goal {
                relation: Relation::Equal,
                value: before[k],
                tolerance: near(k),
            })
            .collect();
        let off = |masses: &[f64]| {
            bench.values(masses).is_some_and(|values| {
                values
                    .iter()
                    .zip(&goals)
                    .any(|(v, goal)| (v - goal.value).abs() > goal.tolerance)
            })
        };
        if !off(&masses) {
            which = tried;
            continue;
        }
        let best = search(&bench, &goals, &written, movers, |found| {
            neighbours(&bench, &goals, found)
                .into_iter()
                .find(|rounded| !off(&rounded.masses_g))
        })
        .and_then(|searched| searched.taken);
        if let Some(rounded) = best {
            masses = rounded.masses_g;
            which = tried;
        }
    }
    for (i, (&mass, &was)) in masses.iter().zip(&written).enumerate() {
        if (mass - was).abs() > 1e-9 {
            draft.formula.lines[i].amount = grams(mass);
        }
    }
    let sums = |k: usize| masses.iter().zip(&per_g).map(|(g, per_g)| g * per_g[k]).sum::<f64>();
    Ok((0..HELD.len())
        .filter(|&k| before[k] > 0.05 || sums(k) > 0.05)
        .map(|k| HeldView {
            what: HELD[k],
            before_g: before[k],
            after_g: sums(k),
            kept: (sums(k) - before[k]).abs() <= near(k),
        })
        .collect())
}

/// A line of its own for something added.
pub(super) fn new_line(name: &str, part: Option<Part>) -> FormulaLine {
    FormulaLine {
        ingredient: name.to_owned(),
        amount: grams(0.0),
        form: None,
        step: None,
        goes_in: GoesIn::Start,
        sieved_out: 0.0,
        per_jar: false,
        part,
        ingredient_at: 0..0,
        amount_at: 0..0,
    }
}
