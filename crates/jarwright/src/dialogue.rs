//! Questions to a person, one line an answer, asked again while an answer cannot be used.

use std::io::{BufRead, Read, Write};

use jarwright_kitchen::files::{self, Fault};

use crate::exit::Stop;
use crate::problem_report::visible;

/// Longest answer [bytes].
const MOST_BYTES: u64 = 400;
/// Times a question is asked again before the program gives up.
const MOST_TRIES: usize = 20;

/// A person at the other end of two streams.
pub struct Dialogue<I, O> {
    /// What they answer.
    pub input: I,
    /// What they are shown.
    pub output: O,
}

/// An answer that can be used, or what is wrong with it.
pub type Checked<T> = Result<T, Fault>;

impl<I: BufRead, O: Write> Dialogue<I, O> {
    /// Shows a text.
    ///
    /// # Errors
    /// [`Stop`] when the answers end or nobody can be asked.
    pub fn say(&mut self, text: &str) -> Result<(), Stop> {
        self.output
            .write_all(text.as_bytes())
            .and_then(|()| self.output.flush())
            .map_err(|_| {
                Stop::asked(
                    "the questions could not be shown, so nothing was written",
                    "run setup in a terminal",
                )
            })
    }

    /// One answer, checked; asked again with what was wrong.
    ///
    /// # Errors
    /// [`Stop`] when the answers end or nobody can be asked.
    pub fn ask<T>(
        &mut self,
        question: &str,
        example: &str,
        default: Option<&str>,
        check: impl Fn(&str) -> Checked<T>,
    ) -> Result<T, Stop> {
        let example = if example.is_empty() {
            String::new()
        } else {
            format!(" (such as {example})")
        };
        let usual = default.map(|default| format!(" [{default}]")).unwrap_or_default();
        for _ in 0..MOST_TRIES {
            self.say(&format!("{question}{example}{usual}: "))?;
            let line = self.line(question)?;
            let answer = match (line.trim(), default) {
                ("", Some(default)) => default,
                (answer, _) => answer,
            };
            match check(answer) {
                Ok(value) => return Ok(value),
                Err(fault) => {
                    let hint = fault.hint.as_ref().map(|hint| format!(" ({hint})")).unwrap_or_default();
                    self.say(&format!("  {}{}\n", visible(&fault.to_string()), visible(&hint)))?;
                }
            }
        }
        Err(Stop::asked(
            format!("\"{question}\" had {MOST_TRIES} answers that cannot be used; nothing was written"),
            "run `jarwright setup` again",
        ))
    }

    fn line(&mut self, question: &str) -> Result<String, Stop> {
        let mut bytes = Vec::new();
        let read = self.input.by_ref().take(MOST_BYTES).read_until(b'\n', &mut bytes);
        let ended = match read {
            Ok(0) => true,
            // What is left of a line too long to be an answer would answer the next question.
            Ok(_) => bytes.last() != Some(&b'\n') && bytes.len() as u64 >= MOST_BYTES,
            Err(_) => true,
        };
        if ended {
            let what = if bytes.is_empty() {
                "the answers ended"
            } else {
                "an answer was longer than a line"
            };
            return Err(Stop::asked(
                format!("{what} at \"{question}\"; nothing was written"),
                "run `jarwright setup` again and answer every question",
            ));
        }
        Ok(String::from_utf8_lossy(&bytes).trim().to_owned())
    }

    /// An answer kept as it was written, with its unit.
    ///
    /// # Errors
    /// [`Stop`] when the answers end or nobody can be asked.
    pub fn kept<T>(
        &mut self,
        question: &str,
        example: &str,
        default: Option<&str>,
        check: impl Fn(&str) -> Checked<T>,
    ) -> Result<String, Stop> {
        self.ask(question, example, default, |text| check(text).map(|_| text.to_owned()))
    }

    /// The same, or `none`.
    ///
    /// # Errors
    /// [`Stop`] when the answers end or nobody can be asked.
    pub fn kept_or_none<T>(
        &mut self,
        question: &str,
        example: &str,
        default: &str,
        check: impl Fn(&str) -> Checked<T>,
    ) -> Result<Option<String>, Stop> {
        self.ask(question, &format!("{example}, or none"), Some(default), |text| {
            if text.eq_ignore_ascii_case("none") {
                Ok(None)
            } else {
                check(text).map(|_| Some(text.to_owned()))
            }
        })
    }

    /// A yes or a no.
    ///
    /// # Errors
    /// [`Stop`] when the answers end or nobody can be asked.
    pub fn yes(&mut self, question: &str, default: bool) -> Result<bool, Stop> {
        self.ask(
            &format!("{question} yes or no"),
            "",
            Some(if default { "yes" } else { "no" }),
            |text| match text.to_lowercase().as_str() {
                "y" | "yes" => Ok(true),
                "n" | "no" => Ok(false),
                _ => Err(Fault::new(format!("\"{text}\" is neither"), "yes or no")),
            },
        )
    }

    /// One of some words.
    ///
    /// # Errors
    /// [`Stop`] when the answers end or nobody can be asked.
    pub fn choice<T: Copy>(&mut self, question: &str, default: &str, choices: &[(&str, T)]) -> Result<T, Stop> {
        let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
        let question = format!("{question}: {}", words.join(", "));
        self.ask(&question, "", Some(default), |text| {
            choices
                .iter()
                .find(|(word, _)| word.eq_ignore_ascii_case(text))
                .map(|&(_, value)| value)
                .ok_or_else(|| {
                    Fault::new(format!("\"{text}\" is none of them"), words.join(", "))
                        .near(files::nearest(text, words.iter().copied()))
                })
        })
    }

    /// A name that is not taken yet.
    ///
    /// # Errors
    /// [`Stop`] when the answers end or nobody can be asked.
    pub fn name(&mut self, question: &str, default: &str, taken: &[String]) -> Result<String, Stop> {
        self.ask(question, "", Some(default), |text| {
            if taken.iter().any(|name| name == text) {
                return Err(Fault::new(
                    format!("there is a \"{text}\" already"),
                    "a name of its own",
                ));
            }
            words(text)
        })
    }
}

fn words(text: &str) -> Checked<String> {
    if text.is_empty() || text.chars().count() > 80 || text.chars().any(char::is_control) {
        return Err(Fault::new("no name", "a few words"));
    }
    Ok(text.to_owned())
}
