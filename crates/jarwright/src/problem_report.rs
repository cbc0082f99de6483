//! Faults drawn for a person: the source line, a mark under the place, what is allowed there.
//!
//! The only file that names the diagnostics library. What is drawn comes from files anybody may
//! have written, so control characters never reach the terminal and a long line is cut.

use std::ops::Range;

use jarwright_kitchen::PlanError;
use jarwright_kitchen::files::Problem;
use miette::{
    GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteDiagnostic, NamedSource, Report, ThemeCharacters,
    ThemeStyles,
};

use crate::exit::Stop;

/// A file's text with the faults found in it.
#[derive(Debug)]
pub struct Faulty {
    /// The text the faults' places count in.
    pub text: String,
    /// The faults.
    pub problems: Vec<Problem>,
}

/// Columns a report may take.
const WIDTH: usize = 96;

/// Most bytes of one source line that are drawn.
const MOST_LINE_BYTES: usize = 240;

/// Draws why a command stopped. Empty when nobody reads.
#[must_use]
pub fn draw(stop: &Stop, colour: bool) -> String {
    match stop {
        Stop::Faults(files) => draw_files(files, colour),
        Stop::Asked { what, hint } => plain(what, hint),
        Stop::File { path, what, hint } => plain(&format!("{}: {what}", path.display()), hint),
        Stop::Plan(PlanError::CannotMeet { reason, would }) => {
            let would: String = would
                .iter()
                .map(|w| format!("  what would: {}\n", visible(w)))
                .collect();
            format!("the order cannot be met: {}\n{would}", visible(reason))
        }
        Stop::Plan(error) => format!("{}\n", visible(&error.to_string())),
        Stop::NobodyReads => String::new(),
    }
}

fn plain(what: &str, hint: &str) -> String {
    let hint = if hint.is_empty() {
        String::new()
    } else {
        format!("  hint: {}\n", visible(hint))
    };
    format!("{}\n{hint}", visible(what))
}

fn draw_files(files: &[Faulty], colour: bool) -> String {
    let mut out = String::new();
    let mut count = 0;
    for file in files {
        for problem in &file.problems {
            out.push_str(&draw_problem(problem, &file.text, colour));
            count += 1;
        }
    }
    if count > 1 {
        out.push_str(&format!("{count} faults; nothing was worked out.\n"));
    }
    out
}

fn draw_problem(problem: &Problem, text: &str, colour: bool) -> String {
    let place = format!("{}:{}:{}", problem.file, problem.line, problem.column);
    let mut help = Vec::new();
    if let Some(nearest) = &problem.nearest {
        help.push(format!("did you mean \"{}\"?", visible(nearest)));
    }
    if let Some(hint) = &problem.hint {
        help.push(visible(hint));
    }
    let excerpt = excerpt(text, &problem.offset);
    let label = if problem.expected.is_empty() {
        "here".to_owned()
    } else {
        format!("expected {}", visible(&problem.expected))
    };
    // The snippet's frame names the place; without text to show, the message does.
    let what = if text.is_empty() {
        format!("{place}: {}", problem.what)
    } else {
        problem.what.clone()
    };
    let mut diagnostic = MietteDiagnostic::new(visible(&what));
    let fits = label.chars().count() <= 48;
    let shown = if fits {
        Some(label.clone())
    } else {
        Some("here".to_owned())
    };
    if !fits {
        help.insert(0, label);
    }
    if !text.is_empty() {
        diagnostic = diagnostic.with_label(LabeledSpan::new(shown, excerpt.mark.start, excerpt.mark.len()));
    } else if fits {
        help.insert(0, shown.unwrap_or_default());
    }
    if !help.is_empty() {
        diagnostic = diagnostic.with_help(help.join("\n"));
    }
    let report = Report::new(diagnostic).with_source_code(NamedSource::new(visible(&problem.file), excerpt.text));
    let theme = if colour {
        GraphicalTheme::unicode()
    } else {
        GraphicalTheme {
            characters: ThemeCharacters::unicode(),
            styles: ThemeStyles::none(),
        }
    };
    let handler = GraphicalReportHandler::new_themed(theme)
        .with_width(WIDTH)
        .with_links(false)
        .with_context_lines(1);
    let mut out = String::new();
    match handler.render_report(&mut out, report.as_ref()) {
        Ok(()) => out.push('\n'),
        // A report that cannot be drawn is still told.
        Err(_) => out = format!("{}\n", visible(&problem.to_string())),
    }
    out
}

struct Excerpt {
    text: String,
    mark: Range<usize>,
}

/// The text with nothing in it that moves a terminal's cursor, and no line too long to draw.
///
/// Line numbers stay right: only the insides of lines are cut, and each unprintable character
/// is replaced by one of as many bytes.
fn excerpt(text: &str, offset: &Range<usize>) -> Excerpt {
    let start = floor(text, offset.start);
    let end = floor(text, offset.end).max(start);
    let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
    let mut out = String::with_capacity(text.len().min(1 << 16));
    let mut mark = 0..0;
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let here = at == line_start;
        let stop = at + line.len();
        if line.len() <= MOST_LINE_BYTES {
            if here {
                mark = out.len() + (start - at)..out.len() + (end.min(stop) - at);
            }
            out.push_str(&same_width(line));
        } else {
            let from = if here {
                floor(line, (start - at).saturating_sub(MOST_LINE_BYTES / 2))
            } else {
                0
            };
            let to = floor(line, from + MOST_LINE_BYTES);
            if from > 0 {
                out.push_str("...");
            }
            if here {
                let first = out.len() + (start - at).saturating_sub(from);
                mark = first..first + (end.min(at + to) - start.min(at + to));
            }
            out.push_str(&same_width(line[from..to].trim_end_matches(['\r', '\n'])));
            out.push_str(if line.ends_with('\n') { "...\n" } else { "..." });
        }
        at = stop;
    }
    if start == text.len() && (text.is_empty() || text.ends_with('\n')) {
        // The fault is that the text ends here: mark its last line.
        let last = out.trim_end_matches('\n').len();
        mark = last..last;
    }
    Excerpt { text: out, mark }
}

/// Each unprintable character replaced by a printable one of as many bytes; line ends stay.
fn same_width(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\t' => c,
            '\r' => ' ',
            c if hidden(c) => match c.len_utf8() {
                1 => '?',
                2 => '¿',
                3 => '\u{fffd}',
                _ => '\u{1f7c6}',
            },
            c => c,
        })
        .collect()
}

/// A message without characters that move a terminal's cursor or turn the line around.
#[must_use]
pub fn visible(text: &str) -> String {
    text.chars()
        .map(|c| if c != '\n' && hidden(c) { '?' } else { c })
        .collect()
}

fn hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

fn floor(text: &str, byte: usize) -> usize {
    let byte = byte.min(text.len());
    (0..=byte).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarwright_kitchen::files::Fault;

    fn report(text: &str, offset: Range<usize>) -> String {
        let problem = Problem::at(
            "lime.toml",
            text,
            offset,
            Fault::new("unknown unit \"cupp\"", "g, kg or cup"),
        );
        draw(
            &Stop::Faults(vec![Faulty {
                text: text.into(),
                problems: vec![problem],
            }]),
            false,
        )
    }

    #[test]
    fn a_report_shows_the_line_the_place_and_what_is_allowed() {
        let text = "name = \"Lime curd\"\namount = \"2 cupp\"\n";
        let at = text.find("cupp").unwrap_or_default();
        let drawn = report(text, at..at + 4);
        for part in [
            "lime.toml:2:13",
            "unknown unit \"cupp\"",
            "amount = \"2 cupp\"",
            "expected g, kg or cup",
        ] {
            assert!(drawn.contains(part), "{part} is missing in\n{drawn}");
        }
    }

    #[test]
    fn a_long_line_is_cut_around_the_fault() {
        let text = format!("a = 1\nb = \"{}cupp{}\"\n", "é".repeat(5_000), "y".repeat(5_000));
        let at = text.find("cupp").unwrap_or_default();
        let drawn = report(&text, at..at + 4);
        assert!(drawn.contains("cupp"), "{drawn}");
        assert!(drawn.len() < 4_000, "{}", drawn.len());
    }

    #[test]
    fn a_fault_at_the_end_of_an_empty_or_ended_text_is_drawn() {
        assert!(report("", 0..0).contains("expected g, kg or cup"));
        assert!(report("a = 1\n", 6..6).contains("expected g, kg or cup"));
    }

    #[test]
    fn nothing_from_a_file_moves_the_cursor() {
        let text = "a = \"\u{1b}[2J\u{202e}cupp\"\r\n";
        let at = text.find("cupp").unwrap_or_default();
        let drawn = report(text, at..at + 4);
        assert!(!drawn.contains('\u{1b}') && !drawn.contains('\u{202e}') && !drawn.contains('\r'));
    }
}
