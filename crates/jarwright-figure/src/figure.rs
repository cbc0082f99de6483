//! A figure: the view of one quantity that people and machines get.

use std::sync::Arc;

use serde::Serialize;

use crate::{Basis, Graph, Id, Unit};

/// What the two ends of a band mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum BandKind {
    /// 5th and 95th percentile of the plan's shared sample.
    #[serde(rename = "p5-p95")]
    P5P95,
    /// The range a document prints.
    #[serde(rename = "printed range")]
    PrintedRange,
    /// An instrument's or scale's own width.
    #[serde(rename = "instrument")]
    Instrument,
    /// No spread: a count, a rule's number, a declared quantity.
    #[serde(rename = "exact")]
    Exact,
}

impl BandKind {
    /// Reads the words that a figure is written with.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Some(match text {
            "p5-p95" => Self::P5P95,
            "printed range" => Self::PrintedRange,
            "instrument" => Self::Instrument,
            "exact" => Self::Exact,
            _ => return None,
        })
    }
}

/// One quantity with its unit, band and basis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// Handle, so that figures can name each other: `q12`.
    pub id: String,
    /// Name people read.
    pub name: String,
    /// Nominal value.
    pub value: f64,
    /// Unit's symbol.
    pub unit: Unit,
    /// Lower end of the band.
    pub low: f64,
    /// Upper end of the band.
    pub high: f64,
    /// What the ends mean.
    pub band: BandKind,
    /// Where the value comes from.
    pub basis: BasisView,
    /// What the band of a computed figure comes from, the greatest share first; filled by
    /// [`Graph::figures`], for a figure among all those behind a plan.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub causes: Vec<CauseView>,
    /// Limits that the figure is held against; filled as `causes` are.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<LimitView>,
}

/// On which side of a limit a figure has to stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Bound {
    /// At or above it.
    #[serde(rename = "at least")]
    AtLeast,
    /// At or below it.
    #[serde(rename = "at most")]
    AtMost,
}

impl Bound {
    /// The words it is written with.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::AtLeast => "at least",
            Self::AtMost => "at most",
        }
    }

    /// Reads what [`Bound::words`] writes.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        [Self::AtLeast, Self::AtMost].into_iter().find(|b| b.words() == text)
    }

    /// How far a value is inside a limit, below zero when it is outside.
    #[must_use]
    pub const fn room(self, value: f64, limit: f64) -> f64 {
        match self {
            Self::AtLeast => value - limit,
            Self::AtMost => limit - value,
        }
    }
}

/// A limit that a figure is held against; it explains itself under its own handle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitView {
    /// On which side the figure has to stay.
    pub bound: Bound,
    /// Handle of the limit's own figure.
    pub id: Id,
    /// Name people read.
    #[serde(serialize_with = "as_text")]
    pub name: Arc<str>,
    /// The limit, in the figure's own unit.
    pub value: f64,
}

/// A leaf that a figure's band comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CauseView {
    /// Handle of the leaf's own figure.
    pub id: Id,
    /// Name people read.
    #[serde(serialize_with = "as_text")]
    pub name: Arc<str>,
    /// Share of the figure's variance that moves with the leaf, 0 to 1.
    pub share: f64,
}

/// Where a figure's value comes from, ready to be written out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum BasisView {
    /// A document.
    Published {
        /// Key in the sources table.
        source: String,
        /// Place in the source.
        place: String,
        /// How it is known.
        mark: &'static str,
    },
    /// An equation over other figures.
    Computed {
        /// Equation's key.
        equation: &'static str,
        /// Equation's name in the field's words.
        title: &'static str,
        /// The equation itself.
        text: &'static str,
        /// Key of its source.
        source: &'static str,
        /// What it took.
        inputs: Vec<InputView>,
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

/// An input of a computed figure: enough to read, with the handle to walk on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputView {
    /// Handle of the input's own figure.
    pub id: Id,
    /// Name people read.
    #[serde(serialize_with = "as_text")]
    pub name: Arc<str>,
    /// Nominal value.
    pub value: f64,
    /// Unit's symbol.
    pub unit: Unit,
}

impl Figure {
    /// The same figure with its handles `by` further on, so that figures of two graphs can stand
    /// side by side.
    #[must_use]
    pub fn renumbered(mut self, by: usize) -> Self {
        let by = u32::try_from(by).unwrap_or(u32::MAX);
        let on = |id: &mut Id| id.0 = id.0.saturating_add(by);
        if let Some(mut id) = Id::parse(&self.id) {
            on(&mut id);
            self.id = id.to_string();
        }
        if let BasisView::Computed { inputs, .. } = &mut self.basis {
            inputs.iter_mut().for_each(|input| on(&mut input.id));
        }
        self.causes.iter_mut().for_each(|cause| on(&mut cause.id));
        self.limits.iter_mut().for_each(|limit| on(&mut limit.id));
        self
    }
}

impl Graph {
    /// The figure of a quantity.
    #[must_use]
    pub fn figure(&self, id: Id) -> Figure {
        let node = self.node(id);
        let (low, high, band) = node.band;
        let basis = match &node.basis {
            Basis::Published { source, place, mark } => BasisView::Published {
                source: source.clone(),
                place: place.clone(),
                mark: mark.words(),
            },
            Basis::Computed { equation, inputs } => BasisView::Computed {
                equation: equation.key,
                title: equation.title,
                text: equation.text,
                source: equation.source,
                inputs: inputs
                    .iter()
                    .map(|&i| {
                        let input = self.node(i);
                        InputView {
                            id: i,
                            name: input.name.clone(),
                            value: input.value,
                            unit: input.unit,
                        }
                    })
                    .collect(),
            },
            Basis::Measured { instrument, by } => BasisView::Measured {
                instrument: instrument.clone(),
                by: by.clone(),
            },
            Basis::Entered { by } => BasisView::Entered { by: by.clone() },
        };
        Figure {
            id: id.to_string(),
            name: node.name.to_string(),
            value: node.value,
            unit: node.unit,
            low,
            high,
            band,
            basis,
            causes: Vec::new(),
            limits: Vec::new(),
        }
    }

    /// The limits of a quantity, ready to be written out.
    pub(crate) fn limits_of(&self, id: Id) -> Vec<LimitView> {
        let view = |(bound, limit): (Bound, Id)| LimitView {
            bound,
            id: limit,
            name: self.node(limit).name.clone(),
            value: self.node(limit).value,
        };
        self.limits(id).map(view).collect()
    }

    /// Where a quantity comes from.
    #[must_use]
    pub fn basis(&self, id: Id) -> &Basis {
        &self.node(id).basis
    }
}

/// A shared name as plain text.
fn as_text<S: serde::Serializer>(name: &Arc<str>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(name)
}
