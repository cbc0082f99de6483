//! What moves as a whole: the stop of a boiled-down food, and everything for a yield.

use super::Draft;
use super::Request;
use super::Worked;
use super::answer::StopView;
use super::stages::{Loss, Stages};
use super::target::{Relation, Target};
use crate::files::{Endpoint, Part, StopAt};
use crate::lines::Line;
use crate::on_scale;

/// Moves the stop of a food that is boiled down to its solids.
pub(super) fn move_stop(
    draft: &mut Draft,
    stages: &mut Stages,
    targets: &[Target],
    masses_g: &[f64],
    request: &Request,
    cannot: &mut Vec<String>,
) -> Option<StopView> {
    let Loss::ToBrix(now) = stages.loss else { return None };
    let brix_of = |stages: &Stages| stages.values(&targets[..1], masses_g).map(|v| v[0]);
    let have = brix_of(stages)?;
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for target in targets {
        match target.relation {
            Relation::Equal => (low, high) = (low.max(target.value), high.min(target.value)),
            Relation::AtLeast => low = low.max(target.value),
            Relation::AtMost => high = high.min(target.value),
        }
    }
    let before = request
        .formula
        .stop_at
        .as_ref()
        .map_or_else(|| "the boil".into(), |s| s.words.clone());
    let was = draft.formula.stop_at.as_ref().map(|s| s.words.clone());
    let moved = |was: Option<String>| {
        was.filter(|words| *words != before).map(|after| StopView {
            before: before.clone(),
            after,
        })
    };
    let met = targets.iter().all(|t| t.miss(have, have, have) <= 0.0);
    if met {
        return moved(was);
    }
    let wanted = have.clamp(low, high.max(low));
    let Some(stop) = stages.stop_for(wanted, masses_g) else {
        cannot.push(format!(
            "no boiling-down of these amounts ends at {wanted:.1} °Brix: it holds too much before it is cooked, or too little sugar when it is dry"
        ));
        return moved(was);
    };
    // A refractometer is read to a tenth; on the side that is asked for.
    let tenths = 10.0 * stop;
    let stop = if (high - low).abs() < 1e-9 || !low.is_finite() && !high.is_finite() {
        tenths.round()
    } else if wanted <= low {
        (tenths - 1e-6).ceil()
    } else {
        (tenths + 1e-6).floor()
    } / 10.0;
    if (stop - now).abs() < 1e-9 {
        return moved(was);
    }
    stages.loss = Loss::ToBrix(stop);
    let words = format!("{stop} Bx");
    draft.formula.stop_at = Some(StopAt {
        at: Endpoint::Brix { brix: stop },
        words: words.clone(),
    });
    Some(StopView { before, after: words })
}

/// By how much everything is made more or less for a yield; `None` when it is met.
pub(super) fn factor(stages: &Stages, targets: &[Target], masses_g: &[f64]) -> Option<f64> {
    let target = targets.first()?;
    let have = stages
        .values(std::slice::from_ref(target), masses_g)?
        .first()
        .copied()?;
    let met = targets.iter().all(|t| t.miss(have, have, have) <= 0.0);
    let wanted = targets.iter().fold(have, |at, t| match t.relation {
        Relation::Equal => t.value,
        Relation::AtLeast => at.max(t.value),
        Relation::AtMost => at.min(t.value),
    });
    (!met && have > 0.0).then_some(wanted / have)
}

/// Every line times a factor, on the scale, each share on the side its schedule allows.
pub(super) fn scaled_masses(
    stages: &Stages,
    lines: &[Line],
    targets: &[Target],
    masses_g: &[f64],
    factor: f64,
    before: &Worked,
) -> Vec<f64> {
    let by_class = before.work.standing.by_class();
    let pick = |keep: &dyn Fn(&Line) -> bool| -> Vec<usize> {
        (0..lines.len())
            .filter(|&i| masses_g[i] > 0.0 && keep(&lines[i]))
            .collect()
    };
    let there = pick(&|_| true);
    let place =
        |group: Vec<usize>| -> Vec<usize> { group.iter().filter_map(|i| there.iter().position(|t| t == i)).collect() };
    let together = [
        place(pick(&|l| l.written.part != Some(Part::Soak))),
        place(pick(&|l| l.written.part == Some(Part::Brine) && !l.written.per_jar)),
    ];
    let at = |factor: f64| -> Vec<f64> {
        let planned: Vec<(f64, on_scale::Side)> = there
            .iter()
            .map(|&i| {
                // What goes into each jar stays what goes into each jar.
                let times = if lines[i].written.per_jar { 1.0 } else { factor };
                (masses_g[i] * times, on_scale::side(&lines[i], by_class))
            })
            .collect();
        let on = on_scale::rounded(&planned, 1.0, &together);
        let mut all = masses_g.to_vec();
        for (&i, g) in there.iter().zip(on) {
            all[i] = if lines[i].written.per_jar { masses_g[i] } else { g };
        }
        all
    };
    let mut best = at(factor);
    // Rounding may fall on the wrong side of a limit: a little more or less of everything.
    for step in 1..=20 {
        let met = stages
            .values(targets, &best)
            .is_some_and(|values| targets.iter().zip(values).all(|(t, v)| t.miss(v, v, v) <= 0.0));
        if met {
            break;
        }
        let side = match targets.first().map(|t| t.relation) {
            Some(Relation::AtLeast) => 1.0,
            Some(Relation::AtMost) => -1.0,
            _ => break,
        };
        best = at(factor * (1.0 + side * 5e-4 * f64::from(step)));
    }
    best
}
