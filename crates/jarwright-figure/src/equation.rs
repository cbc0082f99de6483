//! The registry entry of an equation: what "why?" prints.

/// One equation the program computes with.
///
/// Every crate that computes keeps its equations as `pub static` items and lists them in a
/// `pub static EQUATIONS: &[&Equation]`. [`crate::Graph::compute`] takes the item itself, so
/// a figure without a registered equation does not compile.
#[derive(Debug, PartialEq, Eq)]
pub struct Equation {
    /// Short key in kebab case, unique in the program, such as `lethal-rate`.
    pub key: &'static str,
    /// Name in the field's words.
    pub title: &'static str,
    /// The equation as in its source, plain text, with units.
    pub text: &'static str,
    /// Key of its source in `jarwright-reference/data/sources.csv`.
    pub source: &'static str,
}
