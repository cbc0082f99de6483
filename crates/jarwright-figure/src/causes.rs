//! What a band comes from: which uncertain leaves move a quantity, and how much of its spread.

use std::sync::Arc;

use crate::{Basis, Graph, Id};

/// A leaf that moves a quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// The leaf.
    pub leaf: Id,
    /// Key of the leaf's cause.
    pub key: String,
    /// Name people read.
    pub name: Arc<str>,
    /// Share of the quantity's variance that moves with the leaf, 0 to 1.
    pub share: f64,
}

/// Correlations of two independent stratified samples scatter by one over the square root of
/// their number: what lies within two such widths is no cause.
const NOISE_WIDTHS: f64 = 2.0;

impl Graph {
    /// The leaves that a quantity's band comes from, the one that dominates it first.
    ///
    /// The share is the squared correlation of the leaf's sample with the quantity's: leaves are
    /// drawn independently, so shares of a near-linear quantity add up to one. What cannot be
    /// told from chance is left out. A quantity without a band has no causes; a leaf is its own.
    #[must_use]
    pub fn causes(&self, id: Id) -> Vec<Cause> {
        let Some(samples) = self.samples(id) else {
            return Vec::new();
        };
        let noise = NOISE_WIDTHS * NOISE_WIDTHS / samples.len() as f64;
        let mut causes: Vec<Cause> = self
            .leaves_under(id)
            .into_iter()
            .filter_map(|leaf| {
                let node = self.node(leaf);
                let share = squared_correlation(node.samples.as_deref()?, samples)?;
                (share > noise).then(|| Cause {
                    leaf,
                    key: node.key.clone().unwrap_or_default(),
                    name: node.name.clone(),
                    share,
                })
            })
            .collect();
        causes.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.leaf.cmp(&b.leaf)));
        causes
    }

    /// Every leaf that a quantity was computed from, each once; a leaf is its own.
    #[must_use]
    pub fn leaves_under(&self, id: Id) -> Vec<Id> {
        let mut seen = vec![false; self.len()];
        let mut open = vec![id];
        let mut leaves = Vec::new();
        while let Some(next) = open.pop() {
            if std::mem::replace(&mut seen[next.0 as usize], true) {
                continue;
            }
            match &self.node(next).basis {
                Basis::Computed { inputs, .. } => open.extend(inputs),
                Basis::Published { .. } | Basis::Measured { .. } | Basis::Entered { .. } => leaves.push(next),
            }
        }
        leaves
    }
}

/// Squared Pearson correlation of the pairs that are both numbers; `None` where one does not vary.
fn squared_correlation(a: &[f64], b: &[f64]) -> Option<f64> {
    let pairs = || a.iter().zip(b).filter(|(a, b)| a.is_finite() && b.is_finite());
    let count = pairs().count() as f64;
    let (mean_a, mean_b) = pairs().fold((0.0, 0.0), |(x, y), (a, b)| (x + a / count, y + b / count));
    let (mut aa, mut bb, mut ab) = (0.0, 0.0, 0.0);
    for (a, b) in pairs() {
        let (da, db) = (a - mean_a, b - mean_b);
        aa += da * da;
        bb += db * db;
        ab += da * db;
    }
    (aa > 0.0 && bb > 0.0).then(|| ab * ab / (aa * bb))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Equation, Leaf, Spread, Unit};

    static SUM: Equation = Equation {
        key: "sum",
        title: "Sum",
        text: "y = a + b",
        source: "arithmetic",
    };

    fn leaf(graph: &mut Graph, key: &str, half: f64) -> Id {
        graph.leaf(Leaf {
            key: key.into(),
            name: key.into(),
            unit: Unit::Gram,
            value: 10.0,
            spread: Spread::Percentiles {
                low: 10.0 - half,
                high: 10.0 + half,
            },
            basis: Basis::Entered { by: "test".into() },
        })
    }

    fn sum(x: &[f64]) -> Result<f64, std::convert::Infallible> {
        Ok(x.iter().sum())
    }

    #[test]
    fn shares_of_a_sum_are_the_shares_of_its_variance() -> Result<(), std::convert::Infallible> {
        let mut graph = Graph::with_samples(512);
        let (wide, narrow, still) = (
            leaf(&mut graph, "wide", 3.0),
            leaf(&mut graph, "narrow", 1.0),
            leaf(&mut graph, "still", 0.01),
        );
        // Two steps away, and one leaf by two ways.
        let inner = graph.compute("inner", Unit::Gram, &SUM, &[wide, still], sum)?;
        let y = graph.compute("y", Unit::Gram, &SUM, &[inner, narrow], sum)?;
        let causes = graph.causes(y);
        let keys: Vec<&str> = causes.iter().map(|cause| cause.key.as_str()).collect();
        assert_eq!(keys, ["wide", "narrow"]);
        assert!((causes[0].share - 0.9).abs() < 0.03, "{}", causes[0].share);
        assert!((causes[1].share - 0.1).abs() < 0.03, "{}", causes[1].share);
        Ok(())
    }

    #[test]
    fn an_exact_quantity_has_no_cause_and_a_leaf_is_its_own() {
        let mut graph = Graph::new();
        let exact = graph.entered("n", "n", Unit::Count, 3.0, "test");
        assert!(graph.causes(exact).is_empty());
        let loose = leaf(&mut graph, "a", 1.0);
        assert!(graph.causes(loose).iter().map(|c| c.share).sum::<f64>() > 0.999);
    }
}
