//! The graph of quantities behind a plan.
//!
//! One sample, shared: each uncertain leaf draws as many stratified values as the graph has
//! samples (Latin hypercube, one stratum a sample, order shuffled by a generator seeded from the
//! leaf's key), and every computed node is evaluated once on the nominal inputs and once on each
//! sample. Bands are the 5th and 95th percentiles of what came out, never an assumed percentage.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::{BandKind, Bound, Cited, Equation, Mark, Unit};

/// How many values each uncertain quantity of a plan carries.
pub const SAMPLES: usize = 128;

/// Most samples a graph may be asked for.
const MOST_SAMPLES: usize = 65_536;

/// z of the 95th percentile of the standard normal distribution.
const Z95: f64 = 1.644_853_626_951_472_2;

/// Handle of a quantity in its [`Graph`].
///
/// Written `q12`, in text and in JSON.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Id(pub(crate) u32);

impl Id {
    /// Reads a handle as it is written: `q12`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.strip_prefix('q')?;
        let plain = digits.bytes().all(|b| b.is_ascii_digit()) && (digits == "0" || !digits.starts_with('0'));
        plain.then(|| digits.parse().ok().map(Self)).flatten()
    }
}

impl std::fmt::Display for Id {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "q{}", self.0)
    }
}

impl serde::Serialize for Id {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// How an uncertain leaf spreads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// No spread: a count, a rule's number, a declared quantity.
    Exact,
    /// A printed range: every value in it equally likely.
    Printed {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// A measured or judged band: 5th and 95th percentile, normal on each side of the value.
    Percentiles {
        /// 5th percentile.
        low: f64,
        /// 95th percentile.
        high: f64,
    },
    /// An instrument's half width: every value within it equally likely.
    Instrument {
        /// Half width in the quantity's unit.
        half_width: f64,
    },
}

/// Where a quantity comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Basis {
    /// A document: source key, place in it, mark.
    Published {
        /// Key in the sources table.
        source: String,
        /// Place in the source.
        place: String,
        /// How it is known.
        mark: Mark,
    },
    /// An equation over other quantities.
    Computed {
        /// The registered equation.
        equation: &'static Equation,
        /// The quantities it took.
        inputs: Vec<Id>,
    },
    /// A reading.
    Measured {
        /// Instrument's name.
        instrument: String,
        /// Who or what read it, and when.
        by: String,
    },
    /// Written down by a person.
    Entered {
        /// The file, option or answer it was entered in.
        by: String,
    },
}

/// An input to the plan, before it has a place in the graph.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// Key of the cause; the same key is the same cause.
    pub key: String,
    /// Name people read.
    pub name: String,
    /// Unit.
    pub unit: Unit,
    /// Nominal value.
    pub value: f64,
    /// Spread round it.
    pub spread: Spread,
    /// Where it comes from; never [`Basis::Computed`].
    pub basis: Basis,
}

/// One of several quantities that one solver run yields, each by its own equation.
#[derive(Debug, Clone, Copy)]
pub struct Output {
    /// Name people read.
    pub name: &'static str,
    /// Unit.
    pub unit: Unit,
    /// The registered equation.
    pub equation: &'static Equation,
}

#[derive(Debug, Clone)]
pub(crate) struct Node {
    /// Key of a leaf's cause.
    pub(crate) key: Option<String>,
    pub(crate) name: Arc<str>,
    pub(crate) unit: Unit,
    pub(crate) value: f64,
    pub(crate) samples: Option<Box<[f64]>>,
    pub(crate) band: (f64, f64, BandKind),
    pub(crate) basis: Basis,
}

impl Node {
    /// The same quantity with its band, the sample left behind.
    pub(crate) fn without_samples(&self) -> Self {
        Self {
            key: self.key.clone(),
            name: self.name.clone(),
            unit: self.unit,
            value: self.value,
            samples: None,
            band: self.band,
            basis: self.basis.clone(),
        }
    }
}

/// The quantities of one plan. Deterministic: the same leaves give the same bands.
#[derive(Debug)]
pub struct Graph {
    pub(crate) nodes: Vec<Node>,
    leaves: HashMap<String, Id>,
    pub(crate) limits: BTreeMap<Id, Vec<(Bound, Id)>>,
    pub(crate) sample_count: usize,
}

impl Default for Graph {
    fn default() -> Self {
        Self::with_samples(SAMPLES)
    }
}

impl Graph {
    /// An empty graph of [`SAMPLES`] samples.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// An empty graph whose uncertain quantities carry `count` values, at most 65,536. With none,
    /// only nominal values are computed and no computed quantity has a band.
    #[must_use]
    pub fn with_samples(count: usize) -> Self {
        Self {
            nodes: Vec::new(),
            leaves: HashMap::new(),
            limits: BTreeMap::new(),
            sample_count: count.min(MOST_SAMPLES),
        }
    }

    /// Adds a leaf, or returns the one already there under the same key.
    pub fn leaf(&mut self, leaf: Leaf) -> Id {
        if let Some(&id) = self.leaves.get(&leaf.key) {
            return id;
        }
        let (low, high, kind) = match leaf.spread {
            Spread::Exact => (leaf.value, leaf.value, BandKind::Exact),
            Spread::Printed { low, high } => (low, high, BandKind::PrintedRange),
            Spread::Percentiles { low, high } => (low, high, BandKind::P5P95),
            Spread::Instrument { half_width } => {
                (leaf.value - half_width, leaf.value + half_width, BandKind::Instrument)
            }
        };
        let samples = draw(&leaf.key, leaf.value, leaf.spread, self.sample_count);
        let id = self.push(Node {
            key: Some(leaf.key.clone()),
            name: leaf.name.into(),
            unit: leaf.unit,
            value: leaf.value,
            samples,
            band: (low, high, kind),
            basis: leaf.basis,
        });
        self.leaves.insert(leaf.key, id);
        id
    }

    /// A leaf a person wrote down, without spread.
    pub fn entered(&mut self, key: &str, name: &str, unit: Unit, value: f64, by: &str) -> Id {
        self.leaf(Leaf {
            key: key.into(),
            name: name.into(),
            unit,
            value,
            spread: Spread::Exact,
            basis: Basis::Entered { by: by.into() },
        })
    }

    /// A published leaf; its printed range, if any, becomes its spread.
    pub fn published(&mut self, key: &str, name: &str, unit: Unit, cited: &Cited) -> Id {
        let spread = if cited.low < cited.high {
            Spread::Printed {
                low: cited.low,
                high: cited.high,
            }
        } else {
            Spread::Exact
        };
        self.leaf(Leaf {
            key: key.into(),
            name: name.into(),
            unit,
            value: cited.value,
            spread,
            basis: Basis::Published {
                source: cited.source.clone(),
                place: cited.place.clone(),
                mark: cited.mark,
            },
        })
    }

    /// Computes one quantity from others by a registered equation.
    ///
    /// `f` gets the inputs in the order given. A sample that `f` refuses is left out of the
    /// band; the nominal value may not be refused.
    ///
    /// # Errors
    /// What `f` returns for the nominal inputs.
    pub fn compute<E>(
        &mut self,
        name: &str,
        unit: Unit,
        equation: &'static Equation,
        inputs: &[Id],
        f: impl Fn(&[f64]) -> Result<f64, E>,
    ) -> Result<Id, E> {
        let [id] = self.compute_many([(name, unit)], equation, inputs, |x| f(x).map(|y| [y]))?;
        Ok(id)
    }

    /// Computes `K` quantities that one solver run yields together.
    ///
    /// # Errors
    /// What `f` returns for the nominal inputs.
    pub fn compute_many<const K: usize, E>(
        &mut self,
        outputs: [(&str, Unit); K],
        equation: &'static Equation,
        inputs: &[Id],
        f: impl Fn(&[f64]) -> Result<[f64; K], E>,
    ) -> Result<[Id; K], E> {
        let nominal = f(&self.row(inputs, None))?;
        let rows: Option<Vec<Option<[f64; K]>>> = self.spread(inputs).then(|| {
            (0..self.sample_count)
                .map(|s| answer(&f, &self.row(inputs, Some(s))))
                .collect()
        });
        Ok(self.store(outputs, equation, inputs, nominal, rows.as_deref()))
    }

    /// Like [`Graph::compute_many`] for solvers worth spreading over the machine's cores.
    ///
    /// # Errors
    /// What `f` returns for the nominal inputs.
    pub fn solve_many<const K: usize, E: Send>(
        &mut self,
        outputs: [(&str, Unit); K],
        equation: &'static Equation,
        inputs: &[Id],
        f: impl Fn(&[f64]) -> Result<[f64; K], E> + Sync,
    ) -> Result<[Id; K], E> {
        let nominal = f(&self.row(inputs, None))?;
        let rows: Option<Vec<Option<[f64; K]>>> = self.spread(inputs).then(|| {
            let mut rows = vec![None; self.sample_count];
            self.on_all_cores(inputs, &mut rows, 1, |x, y| y[0] = answer(&f, x));
            rows
        });
        Ok(self.store(outputs, equation, inputs, nominal, rows.as_deref()))
    }

    /// Computes several quantities that share one costly step, each by its own equation; any of
    /// them may be refused alone.
    ///
    /// `f` gets the inputs in the order given and writes a value an output; NaN refuses it. What
    /// is refused for the nominal inputs is `None`, what is refused for a sample stays out of
    /// that band.
    pub fn compute_each(
        &mut self,
        outputs: &[Output],
        inputs: &[Id],
        f: impl Fn(&[f64], &mut [f64]) + Sync,
    ) -> Vec<Option<Id>> {
        let many = outputs.len();
        let mut nominal = vec![f64::NAN; many];
        f(&self.row(inputs, None), &mut nominal);
        let mut rows = Vec::new();
        if self.spread(inputs) && many > 0 {
            rows = vec![f64::NAN; many * self.sample_count];
            self.on_all_cores(inputs, &mut rows, many, |x, y| {
                if !x.iter().any(|x| x.is_nan()) {
                    f(x, y);
                }
            });
        }
        outputs
            .iter()
            .enumerate()
            .map(|(k, output)| {
                let value = nominal[k];
                let samples =
                    (!rows.is_empty()).then(|| rows.iter().skip(k).step_by(many).copied().collect::<Box<[f64]>>());
                (!value.is_nan()).then(|| {
                    let basis = Basis::Computed {
                        equation: output.equation,
                        inputs: inputs.to_vec(),
                    };
                    self.computed(output.name, output.unit, value, samples, basis)
                })
            })
            .collect()
    }

    /// Runs `f` on every sample's row of inputs, the samples spread over the machine's cores;
    /// `out` holds `width` cells a sample.
    fn on_all_cores<T: Send>(&self, inputs: &[Id], out: &mut [T], width: usize, f: impl Fn(&[f64], &mut [T]) + Sync) {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let chunk = self.sample_count.div_ceil(cores.clamp(1, 8));
        std::thread::scope(|scope| {
            for (part, cells) in out.chunks_mut(chunk * width).enumerate() {
                let f = &f;
                scope.spawn(move || {
                    for (place, y) in cells.chunks_mut(width).enumerate() {
                        f(&self.row(inputs, Some(part * chunk + place)), y);
                    }
                });
            }
        });
    }

    /// A number that the plan chose from others: it has a reason, but no spread of its own.
    pub fn decide(&mut self, name: &str, unit: Unit, equation: &'static Equation, inputs: &[Id], value: f64) -> Id {
        self.push(Node {
            key: None,
            name: name.into(),
            unit,
            value,
            samples: None,
            band: (value, value, BandKind::Exact),
            basis: Basis::Computed {
                equation,
                inputs: inputs.to_vec(),
            },
        })
    }

    /// [`Graph::decide`], or the quantity already there under the same key.
    pub fn decide_once(
        &mut self,
        key: &str,
        name: &str,
        unit: Unit,
        equation: &'static Equation,
        inputs: &[Id],
        value: f64,
    ) -> Id {
        if let Some(&id) = self.leaves.get(key) {
            return id;
        }
        let id = self.decide(name, unit, equation, inputs, value);
        self.leaves.insert(key.into(), id);
        id
    }

    /// Notes that a quantity is held against a limit, itself a quantity of the graph in the same
    /// unit.
    pub fn hold(&mut self, held: Id, bound: Bound, limit: Id) {
        let limits = self.limits.entry(held).or_default();
        if !limits.contains(&(bound, limit)) {
            limits.push((bound, limit));
        }
    }

    /// What a quantity is held against.
    pub fn limits(&self, id: Id) -> impl Iterator<Item = (Bound, Id)> {
        self.limits.get(&id).into_iter().flatten().copied()
    }

    /// Nominal value.
    #[must_use]
    pub fn value(&self, id: Id) -> f64 {
        self.node(id).value
    }

    /// Lower and upper end of the band.
    #[must_use]
    pub fn band(&self, id: Id) -> (f64, f64) {
        let (low, high, _) = self.node(id).band;
        (low, high)
    }

    /// The shared sample of a quantity, if it spreads.
    #[must_use]
    pub fn samples(&self, id: Id) -> Option<&[f64]> {
        self.node(id).samples.as_deref()
    }

    /// How many quantities there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Whether nothing has been added yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// Every quantity's handle, oldest first.
    pub fn ids(&self) -> impl Iterator<Item = Id> + use<> {
        (0..u32::try_from(self.nodes.len()).unwrap_or(u32::MAX)).map(Id)
    }

    pub(crate) fn node(&self, id: Id) -> &Node {
        &self.nodes[id.0 as usize]
    }

    fn spread(&self, inputs: &[Id]) -> bool {
        inputs.iter().any(|&i| self.node(i).samples.is_some())
    }

    fn row(&self, inputs: &[Id], sample: Option<usize>) -> Vec<f64> {
        inputs
            .iter()
            .map(|&i| {
                let node = self.node(i);
                match (sample, &node.samples) {
                    (Some(s), Some(values)) => values[s],
                    _ => node.value,
                }
            })
            .collect()
    }

    fn store<const K: usize>(
        &mut self,
        outputs: [(&str, Unit); K],
        equation: &'static Equation,
        inputs: &[Id],
        nominal: [f64; K],
        rows: Option<&[Option<[f64; K]>]>,
    ) -> [Id; K] {
        std::array::from_fn(|k| {
            let (name, unit) = outputs[k];
            let samples: Option<Box<[f64]>> = rows.map(|rows| {
                // A refused sample keeps the nominal value's place in the row, so that causes
                // stay aligned, but not in the band.
                rows.iter().map(|r| r.map_or(f64::NAN, |y| y[k])).collect()
            });
            let basis = Basis::Computed {
                equation,
                inputs: inputs.to_vec(),
            };
            self.computed(name, unit, nominal[k], samples, basis)
        })
    }

    /// Adds a computed quantity; its band is that of its samples, wide enough for its value.
    pub(crate) fn computed(
        &mut self,
        name: &str,
        unit: Unit,
        value: f64,
        samples: Option<Box<[f64]>>,
        basis: Basis,
    ) -> Id {
        let band = samples
            .as_deref()
            .and_then(percentiles)
            .map_or((value, value, BandKind::Exact), |(low, high)| {
                (low.min(value), high.max(value), BandKind::P5P95)
            });
        self.push(Node {
            key: None,
            name: name.into(),
            unit,
            value,
            samples,
            band,
            basis,
        })
    }

    fn push(&mut self, node: Node) -> Id {
        // A plan has some thousand quantities; u32 leaves room.
        let id = Id(u32::try_from(self.nodes.len()).unwrap_or(u32::MAX));
        self.nodes.push(node);
        id
    }
}

/// What `f` makes of a row; a row that an earlier step refused stays refused.
fn answer<const K: usize, E>(f: &impl Fn(&[f64]) -> Result<[f64; K], E>, row: &[f64]) -> Option<[f64; K]> {
    if row.iter().any(|x| x.is_nan()) {
        None
    } else {
        f(row).ok()
    }
}

/// 5th and 95th percentile of the finite values, by the nearest rank.
fn percentiles(samples: &[f64]) -> Option<(f64, f64)> {
    let mut finite: Vec<f64> = samples.iter().copied().filter(|v| v.is_finite()).collect();
    if finite.is_empty() {
        return None;
    }
    finite.sort_by(f64::total_cmp);
    let last = finite.len() - 1;
    let at = |p: f64| finite[((last as f64) * p).round() as usize];
    Some((at(0.05), at(0.95)))
}

/// One stratified value a stratum, in an order of the key's own.
fn draw(key: &str, value: f64, spread: Spread, count: usize) -> Option<Box<[f64]>> {
    if matches!(spread, Spread::Exact) || count == 0 {
        return None;
    }
    let mut u: Vec<f64> = (0..count).map(|i| (i as f64 + 0.5) / count as f64).collect();
    u.shuffle(&mut ChaCha8Rng::seed_from_u64(fnv1a(key)));
    let place = |u: f64| match spread {
        Spread::Exact => value,
        Spread::Printed { low, high } => low + u * (high - low),
        Spread::Instrument { half_width } => value + (2.0 * u - 1.0) * half_width,
        Spread::Percentiles { low, high } => {
            let z = Normal::standard().inverse_cdf(u);
            let side = if z < 0.0 { value - low } else { high - value };
            value + z / Z95 * side
        }
    };
    Some(u.into_iter().map(place).collect())
}

/// FNV-1a, 64 bit: a stable seed from a key (Fowler, Noll and Vo).
fn fnv1a(key: &str) -> u64 {
    key.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    static SUM: Equation = Equation {
        key: "sum",
        title: "Sum",
        text: "y = a + b",
        source: "arithmetic",
    };

    fn sum(x: &[f64]) -> Result<f64, std::convert::Infallible> {
        Ok(x[0] + x[1])
    }

    fn normal(graph: &mut Graph, key: &str, value: f64, half: f64) -> Id {
        graph.leaf(Leaf {
            key: key.into(),
            name: key.into(),
            unit: Unit::Gram,
            value,
            spread: Spread::Percentiles {
                low: value - half,
                high: value + half,
            },
            basis: Basis::Entered { by: "test".into() },
        })
    }

    #[test]
    fn one_cause_used_twice_does_not_average_out() -> Result<(), std::convert::Infallible> {
        let mut graph = Graph::new();
        let a = normal(&mut graph, "a", 100.0, 5.0);
        let again = normal(&mut graph, "a", 100.0, 5.0);
        assert_eq!(a, again);
        let b = normal(&mut graph, "b", 100.0, 5.0);
        let same = graph.compute("a + a", Unit::Gram, &SUM, &[a, again], sum)?;
        let apart = graph.compute("a + b", Unit::Gram, &SUM, &[a, b], sum)?;
        let width = |id| graph.band(id).1 - graph.band(id).0;
        // Fully correlated: 2 x 10. Independent: sqrt(2) x 10. Sampling noise under 1.
        assert!((width(same) - 20.0).abs() < 1.0, "{}", width(same));
        assert!((width(apart) - 10.0 * 2f64.sqrt()).abs() < 1.5, "{}", width(apart));
        Ok(())
    }

    #[test]
    fn exact_inputs_give_an_exact_result() -> Result<(), std::convert::Infallible> {
        let mut graph = Graph::new();
        let a = graph.entered("a", "a", Unit::Gram, 1.0, "test");
        let y = graph.compute("y", Unit::Gram, &SUM, &[a, a], sum)?;
        assert_eq!(graph.band(y), (2.0, 2.0));
        assert!(graph.samples(y).is_none());
        Ok(())
    }

    #[test]
    fn the_same_leaves_give_the_same_bands() -> Result<(), std::convert::Infallible> {
        let run = || {
            let mut graph = Graph::new();
            let a = normal(&mut graph, "a", 1.0, 0.3);
            let y = graph.compute("y", Unit::Gram, &SUM, &[a], |x| {
                Ok::<_, std::convert::Infallible>(x[0].exp())
            })?;
            Ok::<_, std::convert::Infallible>(graph.band(y))
        };
        assert_eq!(run()?, run()?);
        Ok(())
    }

    #[test]
    fn solving_on_several_cores_changes_nothing() -> Result<(), std::convert::Infallible> {
        let mut graph = Graph::new();
        let a = normal(&mut graph, "a", 1.0, 0.3);
        let f = |x: &[f64]| Ok::<_, std::convert::Infallible>([x[0].sin(), x[0].cos()]);
        let [s, _] = graph.compute_many([("s", Unit::One), ("c", Unit::One)], &SUM, &[a], f)?;
        let [t, _] = graph.solve_many([("s", Unit::One), ("c", Unit::One)], &SUM, &[a], f)?;
        assert_eq!(graph.samples(s), graph.samples(t));
        Ok(())
    }

    #[test]
    fn quantities_of_one_step_are_refused_one_by_one() {
        let mut graph = Graph::with_samples(64);
        let a = normal(&mut graph, "a", 1.0, 2.0);
        let output = |name| Output {
            name,
            unit: Unit::One,
            equation: &SUM,
        };
        let found = graph.compute_each(&[output("root"), output("never"), output("twice")], &[a], |x, y| {
            y[0] = x[0].sqrt();
            y[2] = 2.0 * x[0];
        });
        assert!(found[1].is_none());
        let band = |k: usize| found[k].map_or((f64::NAN, f64::NAN), |id| graph.band(id));
        // Negative draws have no root; they stay in the other quantity's band.
        assert!(band(0).0 >= 0.0 && band(2).0 < 0.0);
        assert_eq!(found[2].and_then(|id| graph.samples(id)).map(<[f64]>::len), Some(64));
    }

    #[test]
    fn a_refused_sample_stays_out_of_the_band_and_a_refused_value_is_an_error() {
        let mut graph = Graph::new();
        let a = normal(&mut graph, "a", 1.0, 2.0);
        let root = |x: &[f64]| if x[0] < 0.0 { Err("negative") } else { Ok(x[0].sqrt()) };
        let y = graph.compute("root", Unit::One, &SUM, &[a], root);
        assert!(y.is_ok_and(|id| graph.band(id).0 >= 0.0 && graph.band(id).1.is_finite()));
        // max() would make a number of what was refused.
        let on = y.and_then(|y| graph.compute("capped", Unit::One, &SUM, &[y], |x| Ok::<_, &str>(x[0].max(50.0))));
        assert!(on.is_ok_and(|id| graph.samples(id).is_some_and(|s| s.iter().any(|v| v.is_nan()))));
        let b = graph.entered("b", "b", Unit::One, -1.0, "test");
        assert_eq!(graph.compute("root", Unit::One, &SUM, &[b], root), Err("negative"));
    }
}
