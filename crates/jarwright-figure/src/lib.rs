//! Figures that explain themselves.
//!
//! Every number a person can see is a [`Figure`]: value, unit, band and basis. Figures are
//! views of the nodes of a [`Graph`]. Uncertain leaves each carry one shared sample, computed
//! nodes are evaluated on the nominal value and on every sample, so a thermometer or a juice
//! that enters twice stays one cause. Solvers know nothing of this: they run on plain numbers.
//!
//! Floor 0. Never knows food. Read next: `graph.rs`, then `equation.rs`.

mod branch;
mod causes;
mod equation;
mod figure;
mod graph;
mod kinetics;
mod range;
mod source;
mod unit;

pub use causes::Cause;
pub use equation::Equation;
pub use figure::{BandKind, BasisView, Bound, CauseView, Figure, InputView, LimitView};
pub use graph::{Basis, Graph, Id, Leaf, Output, SAMPLES, Spread};
pub use kinetics::{Kinetics, Unchanging};
pub use range::OutOfRange;
pub use source::{Cited, Mark};
pub use unit::Unit;
