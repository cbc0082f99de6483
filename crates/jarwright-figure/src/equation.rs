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
    /// The equation as in its source, plain text, with units, in one notation, so that it is read
    /// in a terminal and set as mathematics on a page:
    ///
    /// * statements are parted by `;` or two spaces; prose may stand anywhere
    /// * one letter, a Greek letter's name or a dimensionless number is a symbol, with its index
    ///   behind `_` (`T_ref`, `rho_v`, `c_(p,i)`); a longer word is a word, and may be a quantity
    /// * factors stand side by side or with ` x ` between; powers of ten too: `2.4 x 10^-5`
    /// * `a/b` takes its two neighbours, `a b / c` all factors on both sides
    /// * `dT/dt` is a derivative, `Delta T` a difference, `integral of f dt`, `sum`, `product`,
    ///   `sqrt(...)`, `ln`, `exp`, `log10` are what they say
    /// * a unit stands behind its number, behind `in`, or in square brackets: `[W/(m2 K)]`
    pub text: &'static str,
    /// Key of its source in `jarwright-reference/data/sources.csv`.
    pub source: &'static str,
}
