//! How the program ends: its exit code, and why it stopped.

use std::path::PathBuf;
use std::process::ExitCode;

use jarwright_kitchen::PlanError;

use crate::problem_report::Faulty;

/// The exit code, in the words of the README.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Everything asked for was done.
    Done,
    /// A check against the outside world failed.
    CheckFailed,
    /// A file, an option or an answer could not be used.
    BadInput,
    /// The order is understood and cannot be met.
    CannotMeet,
}

impl Exit {
    /// The number the shell sees.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::CheckFailed => 1,
            Self::BadInput => 2,
            Self::CannotMeet => 3,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}

/// Why a command stopped before its end.
#[derive(Debug)]
pub enum Stop {
    /// Faults in the files a person wrote, file by file.
    Faults(Vec<Faulty>),
    /// Something that was asked for on the command line or in an answer.
    Asked {
        /// What is wrong, with the option or answer it is in.
        what: String,
        /// What to do.
        hint: String,
    },
    /// A file or folder that could not be read or written.
    File {
        /// The file.
        path: PathBuf,
        /// What is the matter with it, in plain words.
        what: String,
        /// What to do.
        hint: String,
    },
    /// The kitchen's refusal.
    Plan(PlanError),
    /// Whoever read the output has gone away.
    NobodyReads,
}

impl Stop {
    /// A request that cannot be used.
    pub fn asked(what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Asked {
            what: what.into(),
            hint: hint.into(),
        }
    }

    /// A file that cannot be used.
    pub fn file(path: impl Into<PathBuf>, what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::File {
            path: path.into(),
            what: what.into(),
            hint: hint.into(),
        }
    }

    /// The exit code of this ending.
    #[must_use]
    pub const fn exit(&self) -> Exit {
        match self {
            Self::Plan(PlanError::CannotMeet { .. }) => Exit::CannotMeet,
            Self::Plan(PlanError::Asked { .. } | PlanError::UnknownComposition { .. } | PlanError::Physics { .. })
            | Self::Faults(_)
            | Self::Asked { .. }
            | Self::File { .. } => Exit::BadInput,
            Self::NobodyReads => Exit::Done,
        }
    }
}

impl From<PlanError> for Stop {
    fn from(error: PlanError) -> Self {
        Self::Plan(error)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_that_cannot_be_met_ends_apart_from_bad_input() {
        let cannot = PlanError::CannotMeet {
            reason: "too many".into(),
            would: Vec::new(),
        };
        assert_eq!(Stop::from(cannot).exit().code(), 3);
        assert_eq!(Stop::from(PlanError::asked("no jar", "name one")).exit().code(), 2);
        assert_eq!(Stop::asked("0 jars", "1 or more").exit().code(), 2);
    }
}
