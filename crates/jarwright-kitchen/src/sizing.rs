//! How many batches of how many jars.

use jarwright_figure::{Equation, Graph, Id, OutOfRange, Unit};

use crate::starts::{chance_correlated, chance_independent, least_starts};

/// The order's own sum.
pub static ORDER_COUNT: Equation = Equation {
    key: "jars-to-start",
    title: "Jars to start",
    text: "started = batches x jars of a batch >= good ones for the order in 95 of 100 runs \
           + one pH jar and one kept jar a batch",
    source: "johnson_kotz_2005",
};

/// Jars that a batch gives away: one for its pH, one kept.
pub(crate) const SPENT_PER_BATCH: usize = 2;

/// The run's size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Size {
    pub(crate) ordered: usize,
    pub(crate) started: usize,
    pub(crate) batches: usize,
    pub(crate) per_batch: usize,
    /// Starts for good jars alone if each failed on its own.
    pub(crate) if_independent: usize,
    /// Chance that enough good ones come out.
    pub(crate) chance: f64,
}

/// A run's counts as quantities.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Counts {
    pub(crate) ordered: Id,
    pub(crate) started: Id,
    pub(crate) batches: Id,
    pub(crate) per_batch: Id,
}

impl Size {
    /// The counts as quantities, chosen from `from`; `ordered` is there where somebody asked for it.
    pub(crate) fn counts(&self, graph: &mut Graph, formula: &str, ordered: Option<Id>, from: &[Id]) -> Counts {
        let mut chosen = |what: &str, name: &str, from: &[Id], value: usize| {
            let key = format!("{what}:{formula}");
            graph.decide_once(&key, name, Unit::Count, &ORDER_COUNT, from, value as f64)
        };
        let ordered = ordered.unwrap_or_else(|| chosen("good", "good jars", from, self.ordered));
        let from: Vec<Id> = from
            .iter()
            .copied()
            .filter(|&id| id != ordered)
            .chain([ordered])
            .collect();
        Counts {
            ordered,
            started: chosen("started", "jars to start", &from, self.started),
            batches: chosen("batches", "batches", &from, self.batches),
            per_batch: jars_of_batch(graph, formula, self.per_batch as f64, &from),
        }
    }
}

/// The jars of a batch, chosen from `from`.
pub(crate) fn jars_of_batch(graph: &mut Graph, formula: &str, jars: f64, from: &[Id]) -> Id {
    let key = format!("jars-of-batch:{formula}:{jars}");
    graph.decide_once(&key, "jars of a batch", Unit::Count, &ORDER_COUNT, from, jars)
}

/// Smallest number of equal batches, each of at most `most` jars, that brings `ordered` good
/// ones in 95 cases of 100, a pH jar and a kept jar a batch on top.
///
/// # Errors
/// [`OutOfRange`] when the order is beyond what can be counted; `Ok(None)` when batches of
/// `most` jars give nothing but their own test jars.
pub(crate) fn size(ordered: usize, most: usize, failure: f64, correlation: f64) -> Result<Option<Size>, OutOfRange> {
    if most <= SPENT_PER_BATCH {
        return Ok(None);
    }
    let if_independent = least_starts(ordered, failure, |n| chance_independent(n, ordered, failure))?;
    let mut batches = ordered.div_ceil(most - SPENT_PER_BATCH).max(1);
    // Every further batch brings most - 2 jars; the spares grow slower than that.
    loop {
        let guess = (ordered.div_ceil(batches) + SPENT_PER_BATCH).min(most);
        let good = least_starts(ordered, failure, |n| {
            chance_correlated(n, ordered, failure, correlation, guess)
        })?;
        let per_batch = (good + SPENT_PER_BATCH * batches).div_ceil(batches);
        if per_batch <= most {
            let started = per_batch * batches;
            let chance = chance_correlated(
                started - SPENT_PER_BATCH * batches,
                ordered,
                failure,
                correlation,
                per_batch,
            );
            return Ok(Some(Size {
                ordered,
                started,
                batches,
                per_batch,
                if_independent,
                chance,
            }));
        }
        batches += ((good + SPENT_PER_BATCH * batches) - most * batches)
            .div_ceil(most)
            .max(1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_batch_gives_two_jars_away_and_none_is_larger_than_the_bath() -> Result<(), OutOfRange> {
        for ordered in [1, 5, 12, 48, 200, 600] {
            let size = size(ordered, 12, 0.07, 0.1)?;
            assert!(size.is_some_and(|s| {
                s.per_batch <= 12
                    && s.started == s.per_batch * s.batches
                    && s.started >= ordered + SPENT_PER_BATCH * s.batches
                    && s.chance >= 0.95
            }));
        }
        Ok(())
    }

    #[test]
    fn a_bath_of_two_can_fill_no_order() -> Result<(), OutOfRange> {
        assert_eq!(size(10, 2, 0.05, 0.1)?, None);
        Ok(())
    }
}
