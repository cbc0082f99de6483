//! A graph that goes on from another one, with a sample of its own.

use crate::{Basis, Graph, Id, Output};

impl Graph {
    /// A graph that holds every quantity of this one under the same handle, so that what is
    /// computed in it is explained down to this one's leaves.
    ///
    /// * `count`: how many values an uncertain quantity carries from here on
    /// * `drawn`: quantities with their new samples, `count` values each; others are left out
    ///
    /// Values, bands and bases stay as they are. A quantity that is not drawn counts with its
    /// nominal value in whatever is computed from it here. Keys begin anew: a leaf added here is a
    /// cause of its own.
    #[must_use]
    pub fn branch(&self, count: usize, drawn: Vec<(Id, Box<[f64]>)>) -> Self {
        let mut branch = Self::with_samples(count);
        branch.nodes = self.nodes.iter().map(crate::graph::Node::without_samples).collect();
        for (id, samples) in drawn {
            if let Some(node) = branch.nodes.get_mut(id.0 as usize)
                && samples.len() == branch.sample_count
            {
                node.samples = Some(samples);
            }
        }
        branch
    }

    /// A quantity that a solver computed beside the graph, with its answer for every sample.
    ///
    /// * `inputs`: what the solver took
    /// * `value`: its answer for their nominal values
    /// * `samples`: its answers for their samples, in order, as many as the graph has; NaN where it
    ///   refused. Any other number of them counts as none.
    pub fn answered(&mut self, output: Output, inputs: &[Id], value: f64, samples: Option<Box<[f64]>>) -> Id {
        let samples = samples.filter(|samples| samples.len() == self.sample_count);
        let basis = Basis::Computed {
            equation: output.equation,
            inputs: inputs.to_vec(),
        };
        self.computed(output.name, output.unit, value, samples, basis)
    }
}

#[cfg(test)]
mod tests {
    use crate::{Basis, BasisView, Equation, Graph, Leaf, Output, Spread, Unit};

    static TWICE: Equation = Equation {
        key: "twice",
        title: "Twice",
        text: "y = 2 a",
        source: "arithmetic",
    };

    #[test]
    fn a_branch_keeps_handles_and_bands_and_draws_anew() -> Result<(), std::convert::Infallible> {
        let mut graph = Graph::with_samples(8);
        let a = graph.leaf(Leaf {
            key: "a".into(),
            name: "a".into(),
            unit: Unit::Gram,
            value: 10.0,
            spread: Spread::Printed { low: 9.0, high: 11.0 },
            basis: Basis::Entered { by: "test".into() },
        });
        let mut branch = graph.branch(4, vec![(a, vec![1.0, 2.0, 3.0, 4.0].into())]);
        assert_eq!(branch.figure(a), graph.figure(a));
        let twice = branch.compute("twice", Unit::Gram, &TWICE, &[a], |x| {
            Ok::<_, std::convert::Infallible>(2.0 * x[0])
        })?;
        assert_eq!(branch.samples(twice), Some([2.0, 4.0, 6.0, 8.0].as_slice()));
        assert_eq!(twice.to_string(), "q1");
        let BasisView::Computed { inputs, .. } = branch.figure(twice).basis else {
            return Ok(());
        };
        assert_eq!(inputs[0].id, a);
        let output = Output {
            name: "thrice",
            unit: Unit::Gram,
            equation: &TWICE,
        };
        let thrice = branch.answered(output, &[a], 30.0, Some(vec![3.0, 6.0, 9.0, 99.0].into()));
        assert_eq!((branch.value(thrice), branch.band(thrice)), (30.0, (3.0, 99.0)));
        let short = branch.answered(output, &[a], 30.0, Some(vec![3.0].into()));
        assert_eq!(branch.samples(short), None);
        // Left undrawn, it counts with its nominal value.
        let mut still = graph.branch(4, Vec::new());
        let twice = still.compute("twice", Unit::Gram, &TWICE, &[a], |x| {
            Ok::<_, std::convert::Infallible>(2.0 * x[0])
        })?;
        assert_eq!((still.value(twice), still.band(twice)), (20.0, (20.0, 20.0)));
        Ok(())
    }
}
