//! Why an order is not planned.

use jarwright_figure::OutOfRange;
use jarwright_heat::HeatError;

use crate::clock::ClockError;

/// What stops a plan.
#[derive(Debug, Clone, PartialEq)]
pub enum PlanError {
    /// What was asked cannot be read or is not in the files: exit 2.
    Asked {
        /// What is wrong.
        what: String,
        /// What to do.
        hint: String,
    },
    /// Nothing is known of an ingredient's composition: exit 2.
    UnknownComposition {
        /// The ingredient.
        ingredient: String,
    },
    /// A fault inside the physics, with what was being computed: exit 2.
    Physics {
        /// What was being computed.
        what: String,
        /// The physics' own words.
        cause: String,
    },
    /// The order is understood and cannot be met here: exit 3.
    CannotMeet {
        /// The reason.
        reason: String,
        /// What would meet it.
        would: Vec<String>,
    },
}

impl PlanError {
    /// A physics fault while computing `what`.
    pub fn physics(what: impl Into<String>, cause: &(impl std::error::Error + ?Sized)) -> Self {
        let mut words = cause.to_string();
        let mut source = cause.source();
        while let Some(inner) = source {
            words = format!("{words}: {inner}");
            source = inner.source();
        }
        Self::Physics {
            what: what.into(),
            cause: words,
        }
    }

    /// A request that cannot be read.
    pub fn asked(what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Asked {
            what: what.into(),
            hint: hint.into(),
        }
    }
}

impl std::fmt::Display for PlanError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Asked { what, hint } => write!(f, "{what}\n  hint: {hint}"),
            Self::UnknownComposition { ingredient } => write!(
                f,
                "nothing is known of what {ingredient} is made of\n  hint: give it an analysis in the stores file: water, sugars, fat, protein, pH"
            ),
            Self::Physics { what, cause } => write!(f, "{what} could not be computed: {cause}"),
            Self::CannotMeet { reason, would } => {
                write!(f, "the order cannot be met: {reason}")?;
                would.iter().try_for_each(|w| write!(f, "\n  what would: {w}"))
            }
        }
    }
}

impl std::error::Error for PlanError {}

impl From<OutOfRange> for PlanError {
    fn from(cause: OutOfRange) -> Self {
        Self::physics("a quantity of the plan", &cause)
    }
}

impl PlanError {
    /// A pot that never gets there is an order that cannot be met; the rest is physics.
    pub fn cooking(formula: &str, error: &HeatError) -> Self {
        match error {
            HeatError::NeverReaches { target, limit, .. } => Self::CannotMeet {
                reason: format!(
                    "{formula} never reaches {} in this pot: what it loses from its surface holds it near {}",
                    crate::words::fine_temperature(*target),
                    crate::words::fine_temperature(*limit)
                ),
                would: vec![
                    "a lid until it is there, a stronger burner, or livelier steam under a bowl that dips deeper"
                        .into(),
                    "a narrower pot, a larger batch in it, or a pan straight on the burner with a careful hand".into(),
                ],
            },
            other => Self::physics(format!("cooking {formula}"), other),
        }
    }

    /// The clock's refusal, in the words of the order.
    pub fn clock(error: &ClockError, jars: usize) -> Self {
        match error {
            ClockError::BatchLongerThanDay { needs_min, has_min, .. } => Self::CannotMeet {
                reason: format!(
                    "one batch alone needs {:.1} h from opening to jars out, and the kitchen is open {:.1} h",
                    needs_min / 60.0,
                    has_min / 60.0
                ),
                would: vec!["a stronger burner, a smaller bath or longer hours".into()],
            },
            ClockError::TooManyDays { days } => Self::CannotMeet {
                reason: format!(
                    "{jars} jars would take about {days} working days here; a run is laid out over {} at most",
                    crate::clock::MOST_DAYS
                ),
                would: vec![
                    format!(
                        "an order of about {} jars",
                        jars * crate::clock::MOST_DAYS / days.max(&1)
                    ),
                    "more baths, a bigger one, or several runs".into(),
                ],
            },
            ClockError::Calendar => Self::asked(
                "a date of this run lies outside the calendar",
                "give --by as YYYY-MM-DD HH:MM",
            ),
        }
    }
}
