//! What a band comes from: which uncertain leaves move a quantity, and how much of its spread.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::{Basis, BasisView, CauseView, Figure, Graph, Id};

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

/// How many causes a figure names.
const NAMED: usize = 3;

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

    /// The figures of many quantities by their handles, each with the limits it is held against,
    /// each computed one with the leaves that its band comes from.
    #[must_use]
    pub fn figures(&self, ids: impl IntoIterator<Item = Id>) -> BTreeMap<String, Figure> {
        // Every leaf's sample once, so that a correlation is a sum of products.
        let leaves: Vec<Option<Vec<f64>>> = self
            .nodes
            .iter()
            .map(|node| match node.basis {
                Basis::Computed { .. } => None,
                _ => normed(node.samples.as_deref()?),
            })
            .collect();
        ids.into_iter()
            .map(|id| {
                let mut figure = self.figure(id);
                if matches!(figure.basis, BasisView::Computed { .. }) {
                    figure.causes = self.leading(id, &leaves);
                }
                figure.limits = self.limits_of(id);
                (figure.id.clone(), figure)
            })
            .collect()
    }

    /// The first of [`Graph::causes`].
    fn leading(&self, id: Id, leaves: &[Option<Vec<f64>>]) -> Vec<CauseView> {
        let Some(samples) = self.samples(id) else {
            return Vec::new();
        };
        let Some(normed) = normed(samples) else {
            // A refused sample takes its pair out of every sum.
            let causes = self.causes(id).into_iter().take(NAMED);
            return causes
                .map(|cause| CauseView {
                    id: cause.leaf,
                    name: cause.name,
                    share: cause.share,
                })
                .collect();
        };
        let noise = NOISE_WIDTHS * NOISE_WIDTHS / samples.len() as f64;
        let mut shares: Vec<(f64, Id)> = self
            .leaves_under(id)
            .into_iter()
            .filter_map(|leaf| Some((product(leaves[leaf.0 as usize].as_deref()?, &normed).powi(2), leaf)))
            .filter(|(share, _)| *share > noise)
            .collect();
        shares.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        shares
            .into_iter()
            .take(NAMED)
            .map(|(share, leaf)| CauseView {
                id: leaf,
                name: self.node(leaf).name.clone(),
                share: share.min(1.0),
            })
            .collect()
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

/// A sample less its mean, its squares adding up to one; `None` where it does not vary or is not
/// all numbers.
fn normed(samples: &[f64]) -> Option<Vec<f64>> {
    let mean = samples.iter().sum::<f64>() / samples.len() as f64;
    let length = samples.iter().map(|x| (x - mean).powi(2)).sum::<f64>().sqrt();
    (length > 0.0 && length.is_finite()).then(|| samples.iter().map(|x| (x - mean) / length).collect())
}

/// Sum of products, in four lanes so that the compiler can use them together.
fn product(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0; 4];
    let (a, b) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a.remainder().iter().zip(b.remainder()).map(|(x, y)| x * y).sum();
    for (a, b) in a.zip(b) {
        for lane in 0..4 {
            lanes[lane] += a[lane] * b[lane];
        }
    }
    lanes.iter().sum::<f64>() + rest
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
    fn figures_name_the_same_causes_with_or_without_a_refused_sample() -> Result<(), std::convert::Infallible> {
        let mut graph = Graph::with_samples(512);
        let keys = ["a", "b", "c", "d"];
        let leaves: Vec<Id> = keys
            .iter()
            .zip([4.0, 3.0, 2.0, 1.0])
            .map(|(key, half)| leaf(&mut graph, key, half))
            .collect();
        let y = graph.compute("y", Unit::Gram, &SUM, &leaves, sum)?;
        let figures = graph.figures([y, leaves[0]]);
        let found = &figures[&y.to_string()].causes;
        let all = graph.causes(y);
        // Shares of variance of a sum: 16, 9 and 4 of 30.
        for (cause, share) in found.iter().zip([16.0, 9.0, 4.0]) {
            assert!((cause.share - share / 30.0).abs() < 0.06, "{cause:?}");
        }
        assert_eq!(found.len(), 3);
        for (cause, same) in found.iter().zip(&all) {
            assert_eq!(cause.id, same.leaf);
            assert!((cause.share - same.share).abs() < 1e-12);
        }
        assert!(figures[&leaves[0].to_string()].causes.is_empty());
        let refused = |x: &[f64]| {
            if sum(x).is_ok_and(|y| y < 32.0) {
                Err(())
            } else {
                Ok(x[0])
            }
        };
        let holed = graph.compute("holed", Unit::Gram, &SUM, &leaves, refused);
        let first = holed.map(|id| graph.figures([id])[&id.to_string()].causes[0].id);
        assert_eq!(first, Ok(leaves[0]));
        Ok(())
    }

    #[test]
    fn a_figure_names_the_limits_it_is_held_against_once_each() {
        let mut graph = Graph::new();
        let ph = leaf(&mut graph, "ph", 0.1);
        let limit = graph.entered("limit", "limit", Unit::Gram, 12.0, "test");
        graph.hold(ph, crate::Bound::AtMost, limit);
        graph.hold(ph, crate::Bound::AtMost, limit);
        let limits = &graph.figures([ph])[&ph.to_string()].limits;
        assert_eq!(limits.len(), 1);
        assert_eq!((limits[0].id, limits[0].value), (limit, 12.0));
        assert!((crate::Bound::AtMost.room(10.0, 12.0) - 2.0).abs() < 1e-12);
        assert!((crate::Bound::AtLeast.room(10.0, 12.0) + 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_decision_under_a_key_is_made_once() {
        let mut graph = Graph::new();
        let a = leaf(&mut graph, "a", 1.0);
        let first = graph.decide_once("k", "chosen", Unit::Gram, &SUM, &[a], 3.0);
        assert_eq!(first, graph.decide_once("k", "chosen", Unit::Gram, &SUM, &[a], 3.0));
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
