//! Why a file was not read.

use std::io;

use jarwright_dose::DoseError;

/// What keeps a log from being read; every one of these ends with nothing computed.
#[derive(Debug)]
pub enum ReadError {
    /// The file could not be opened or read.
    Io(io::Error),
    /// Nothing is in it.
    Empty,
    /// It is no text.
    Binary,
    /// A line is longer than any logger writes.
    LongLine {
        /// The line, counted from 1.
        line: u64,
        /// Most bytes of a line.
        most: usize,
    },
    /// A quoted cell does not end.
    OpenQuote {
        /// The line where it begins, counted from 1.
        line: u64,
    },
    /// No row has a time and a number.
    NoRows {
        /// The best that was found, in words.
        found: String,
    },
    /// Rows of numbers without a column of times.
    NoTimes,
    /// Times without a column of temperatures.
    NoTemperatures {
        /// Columns that were passed over, and why.
        passed_over: String,
    },
    /// Several columns of times, one for each channel.
    ManyTimes {
        /// The columns, counted from 1.
        columns: (usize, usize),
    },
    /// AM and PM stand apart from their times.
    SplitClock {
        /// Their column, counted from 1.
        column: usize,
    },
    /// More columns than any logger has.
    TooManyColumns {
        /// How many there are.
        got: usize,
        /// How many may be.
        most: usize,
    },
    /// Every row was left out.
    NothingLeft {
        /// Why, in words.
        why: String,
    },
    /// The file leaves open what only a person knows.
    Question {
        /// What is not known, with the cell and line that show it.
        question: String,
        /// The option that answers, with its values.
        option: &'static str,
    },
    /// An option names something that is not in this file, or is no number.
    Option {
        /// The option.
        option: &'static str,
        /// What is the matter.
        what: String,
        /// What to do.
        hint: String,
    },
    /// A reference temperature or z out of range.
    Dose(DoseError),
}

impl ReadError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Io(_) => "check that the file is there and readable".into(),
            Self::Empty => "was the log saved before it was copied?".into(),
            Self::Binary => "export the log as text (CSV) with the logger's own program".into(),
            Self::LongLine { .. } => "export one reading a line".into(),
            Self::OpenQuote { .. } => "close the quotation mark, or take it out".into(),
            Self::NoRows { .. } => {
                "a log needs rows of a time and one or more temperatures, apart by commas, semicolons, tabs, bars \
                 or spaces"
                    .into()
            }
            Self::NoTimes => "give the column of times a heading such as \"Time (s)\" or \"Date\"".into(),
            Self::NoTemperatures { .. } => "export at least one temperature beside the times".into(),
            Self::ManyTimes { .. } => "export each channel with its own times as a file of its own".into(),
            Self::SplitClock { .. } => {
                "export with a 24-hour clock, or with AM and PM in the column of the times".into()
            }
            Self::TooManyColumns { .. } => "export fewer columns".into(),
            Self::NothingLeft { .. } => "look at the lines named".into(),
            Self::Question { option, .. } => format!("answer with {option}"),
            Self::Option { hint, .. } => hint.clone(),
            Self::Dose(_) => "see `jarwright why lethality`".into(),
        }
    }
}

impl std::fmt::Display for ReadError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Io(error) => write!(f, "the log could not be read: {error}"),
            Self::Empty => write!(f, "the log is empty"),
            Self::Binary => write!(f, "the log is no text"),
            Self::LongLine { line, most } => write!(f, "line {line} is longer than {most} bytes"),
            Self::OpenQuote { line } => write!(f, "line {line}: a quoted cell begins and does not end"),
            Self::NoRows { found } => write!(f, "no row with a time and a temperature; {found}"),
            Self::NoTimes => write!(f, "rows of numbers, and no column of them is a time"),
            Self::NoTemperatures { passed_over } if passed_over.is_empty() => write!(f, "no column of temperatures"),
            Self::NoTemperatures { passed_over } => write!(f, "no column of temperatures; passed over: {passed_over}"),
            Self::ManyTimes { columns: (a, b) } => {
                write!(
                    f,
                    "columns {a} and {b} both hold times, and not the same; one column of times is read"
                )
            }
            Self::SplitClock { column } => write!(f, "column {column}: AM and PM stand apart from their times"),
            Self::TooManyColumns { got, most } => write!(f, "{got} columns, at most {most} are read"),
            Self::NothingLeft { why } => write!(f, "too little of the log is left: {why}"),
            Self::Question { question, .. } => write!(f, "{question}"),
            Self::Option { option, what, .. } => write!(f, "{option}: {what}"),
            Self::Dose(error) => {
                write!(f, "{error}")?;
                std::error::Error::source(error).map_or(Ok(()), |cause| write!(f, ": {cause}"))
            }
        }
    }
}

impl std::error::Error for ReadError {}

impl From<io::Error> for ReadError {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

impl From<DoseError> for ReadError {
    fn from(error: DoseError) -> Self {
        Self::Dose(error)
    }
}
