//! `jarwright why`: an equation behind the numbers, with its source.

use jarwright_kitchen::files;
use jarwright_reference::SourceRow;

use crate::exit::{Exit, Stop};
use crate::problem_report::visible;
use crate::text::page::Page;
use crate::{compose, out};

const EXAMPLES: &str = "\
Examples:
  jarwright why                 all keys
  jarwright why lethality       one equation
  jarwright why cfr21_114       one source that a plan names

A plan's JSON names the key of every computed number under \"basis\".";

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Key of an equation or a source; without it, the equations are listed
    #[arg(value_name = "KEY")]
    key: Option<String>,
}

/// Prints the equation, or the list of all.
///
/// # Errors
/// [`Stop`] on a key that is neither an equation's nor a source's, with the nearest one.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let all = compose::equations();
    let Some(key) = &args.key else {
        let mut page = Page::new();
        let width = all.iter().map(|equation| equation.key.len()).max().unwrap_or(0);
        for equation in &all {
            page.item(0, &format!("{:width$}  ", equation.key), equation.title);
        }
        page.gap();
        page.line(0, "jarwright why KEY shows one.");
        return out::say(&page.text()).map(|()| Exit::Done);
    };
    let met = key.trim().to_lowercase();
    let Some(equation) = all.iter().find(|equation| equation.key == met) else {
        if let Some(row) = jarwright_reference::source(&met) {
            let mut page = Page::new();
            source(&mut page, row);
            return out::say(&page.text()).map(|()| Exit::Done);
        }
        let sources = jarwright_reference::sources().iter().map(|row| row.key.as_str());
        let known = all.iter().map(|equation| equation.key).chain(sources);
        let hint = files::nearest(&met, known).map_or_else(
            || "`jarwright why` lists all keys".into(),
            |near| format!("did you mean \"{near}\"?"),
        );
        return Err(Stop::asked(
            format!("no equation and no source \"{}\"", visible(key)),
            hint,
        ));
    };
    let mut page = Page::new();
    page.line(0, equation.title);
    page.gap();
    for line in equation.text.lines() {
        page.verbatim(2, line.trim_end());
    }
    page.gap();
    match jarwright_reference::source(equation.source) {
        Some(row) => source(&mut page, row),
        None => page.item(0, "Source  ", "not in the table of sources"),
    }
    page.item(
        0,
        "Keys    ",
        &format!("equation {}, source {}", equation.key, equation.source),
    );
    out::say(&page.text()).map(|()| Exit::Done)
}

fn source(page: &mut Page, row: &SourceRow) {
    let year = if row.year.is_empty() {
        String::new()
    } else {
        format!(" ({})", row.year)
    };
    page.item(
        0,
        "Source  ",
        &format!("{}{year}: {} ({})", row.authors, row.title, row.kind),
    );
    page.item(0, "        ", &row.note);
}
