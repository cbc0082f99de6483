//! The joint sample of what a planned jar depends on, drawn as long as a caller wants it.
//!
//! A plan carries 128 values of everything. Quantities that share a cause stay together, row by
//! row; groups that share none are independent, and are put together anew for each further 128 runs,
//! so that no two runs are the same jar (a replicated Latin hypercube).

use jarwright_figure::{Graph, Id};

/// Values of some quantities, jointly.
#[derive(Debug, Clone)]
pub(crate) struct Joint {
    values: Vec<Option<Box<[f64]>>>,
    /// Groups of quantities that share no cause with another group.
    groups: Vec<Vec<usize>>,
}

/// A sample: for each quantity its values, run by run, or none where it does not spread.
pub(crate) type Columns = Vec<Option<Box<[f64]>>>;

impl Joint {
    /// The sample of these quantities as their graph has it.
    pub(crate) fn new(graph: &Graph, ids: &[Id]) -> Self {
        let leaves: Vec<Vec<Id>> = ids
            .iter()
            .map(|&id| {
                let spread = |leaf: &Id| graph.samples(*leaf).is_some();
                graph.leaves_under(id).into_iter().filter(spread).collect()
            })
            .collect();
        let mut groups: Vec<(Vec<usize>, Vec<Id>)> = Vec::new();
        for (i, own) in leaves.iter().enumerate() {
            let (mut members, mut causes) = (vec![i], own.clone());
            let mut apart = Vec::new();
            for (others, theirs) in groups {
                if theirs.iter().any(|leaf| causes.contains(leaf)) {
                    members.extend(others);
                    causes.extend(theirs);
                } else {
                    apart.push((others, theirs));
                }
            }
            apart.push((members, causes));
            groups = apart;
        }
        let mut groups: Vec<Vec<usize>> = groups.into_iter().map(|(members, _)| members).collect();
        for group in &mut groups {
            group.sort_unstable();
        }
        groups.sort_unstable();
        Self {
            values: ids.iter().map(|&id| graph.samples(id).map(Into::into)).collect(),
            groups,
        }
    }

    /// So many runs; the first as many as the graph has are the graph's own.
    pub(crate) fn draw(&self, runs: usize) -> Columns {
        let mut columns: Columns = vec![None; self.values.len()];
        for (at, group) in self.groups.iter().enumerate() {
            let spread = || group.iter().filter_map(|&i| Some((i, self.values[i].as_deref()?)));
            let Some(rows) = spread().map(|(_, values)| values.len()).next() else {
                continue;
            };
            let order = rows_of(rows, runs, at as u64);
            for (i, values) in spread() {
                columns[i] = Some(order.iter().map(|&row| values[row]).collect());
            }
        }
        columns
    }
}

/// Which row each run takes: all of them in order, then all of them shuffled, again and again.
fn rows_of(rows: usize, runs: usize, seed: u64) -> Vec<usize> {
    let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x6a61_7273;
    let mut order: Vec<usize> = Vec::with_capacity(runs + rows);
    let mut turn: Vec<usize> = (0..rows).collect();
    while order.len() < runs {
        order.extend_from_slice(&turn);
        for i in (1..rows).rev() {
            turn.swap(i, (split_mix(&mut state) % (i as u64 + 1)) as usize);
        }
    }
    order.truncate(runs);
    order
}

/// The next number of a sequence (SplitMix64, `steele_2014`).
fn split_mix(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarwright_figure::{Basis, Equation, Leaf, SAMPLES, Spread, Unit};

    static SUM: Equation = Equation {
        key: "sum",
        title: "Sum",
        text: "y = a + b",
        source: "arithmetic",
    };

    fn leaf(graph: &mut Graph, key: &str) -> Id {
        graph.leaf(Leaf {
            key: key.into(),
            name: key.into(),
            unit: Unit::One,
            value: 0.0,
            spread: Spread::Printed { low: -1.0, high: 1.0 },
            basis: Basis::Entered { by: "test".into() },
        })
    }

    #[test]
    fn what_shares_a_cause_stays_together_and_the_rest_is_mixed() -> Result<(), std::convert::Infallible> {
        let mut graph = Graph::new();
        let (a, b, c) = (leaf(&mut graph, "a"), leaf(&mut graph, "b"), leaf(&mut graph, "c"));
        let sum = graph.compute("sum", Unit::One, &SUM, &[a, b], |x| {
            Ok::<_, std::convert::Infallible>(x[0] + x[1])
        })?;
        let joint = Joint::new(&graph, &[a, c, sum, b]);
        let runs = 10 * SAMPLES;
        let columns = joint.draw(runs);
        let column = |i: usize| columns[i].as_deref().unwrap_or(&[]);
        assert_eq!(column(0).len(), runs);
        assert_eq!(&column(1)[..SAMPLES], graph.samples(c).unwrap_or(&[]));
        assert!((0..runs).all(|i| (column(0)[i] + column(3)[i] - column(2)[i]).abs() < 1e-12));
        // No two runs alike, every value as often as any other, and no tie between the groups.
        let mut pairs: Vec<(u64, u64)> = (0..runs)
            .map(|i| (column(0)[i].to_bits(), column(1)[i].to_bits()))
            .collect();
        pairs.sort_unstable();
        pairs.dedup();
        assert!(pairs.len() > runs * 9 / 10, "{}", pairs.len());
        let mean: f64 = column(1).iter().sum::<f64>() / runs as f64;
        assert!(mean.abs() < 1e-12);
        let tie: f64 = (0..runs).map(|i| column(0)[i] * column(1)[i]).sum::<f64>() / runs as f64;
        // Independent columns of variance 1/3 scatter by 1/(3 sqrt(n)); four times that.
        assert!(tie.abs() < 4.0 / (3.0 * (runs as f64).sqrt()), "{tie}");
        Ok(())
    }
}
