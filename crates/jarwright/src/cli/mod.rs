//! The commands, one file each.

mod adjust;
mod assay;
mod bath;
mod brine;
mod carry;
mod checks;
mod common;
mod cool;
pub mod demo;
mod jar;
mod plan;
mod pot;
mod readings;
mod serve;
mod setup;
mod take_in;
mod why;

use clap::{Parser, Subcommand};

use crate::exit::{Exit, Stop};
use crate::{out, problem_report};

const SHORT_HELP: &str = "\
Jarwright plans what people put in jars.

  jarwright demo                                see a whole plan of an invented kitchen
  jarwright setup                               describe your own kitchen
  jarwright plan lime-curd --jars 48 --jar half-pint --by \"Saturday 09:00\" --for sale
                                                plan an order
  jarwright assay lime-curd                     what is in the food and how it behaves
  jarwright brine citric=0.05 K=0.03            what a solution is: pH, water activity and more
  jarwright adjust lime-curd --to \"brix 50\" --keep butter
                                                solve a formula for a target
  jarwright take-in spread.txt --food curd      make a formula of a recipe from outside
  jarwright readings run-12.csv --medium Bath   what a temperature logger's file says
  jarwright jar CASE.toml                       heat one jar on the bench
  jarwright pot jarwright-demo/pots/lime-curd.toml
                                                a pot on the heat, its wall and its batch
  jarwright cool sauce.toml                     how fast food cools or freezes, and its glass
  jarwright bath two-loads.toml                 a bath's come-up, boil and water, load by load
  jarwright serve                               the planning pages in a browser
  jarwright carry-out FOLDER                    what the pages keep, as files; carry-in brings files back
  jarwright why                                 the equations behind the numbers
  jarwright checks                              how the program stands against the outside world
  jarwright help COMMAND                        all about a command

Local law and a licensed authority decide; this program does not.
";

const AFTER_HELP: &str = "\
Example:
  jarwright plan lime-curd --jars 48 --jar half-pint --by \"Saturday 09:00\" --for sale

Exit codes: 0 done, 1 a check failed, 2 bad input, 3 the order cannot be met.
Local law and a licensed authority decide; this program does not.";

/// Plans what people put in jars: what to buy, weigh, cook and fill, for how long and when.
#[derive(Debug, Parser)]
#[command(name = "jarwright", version, after_help = AFTER_HELP)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Plan an order
    Plan(Box<plan::Args>),
    /// Tell everything known of a formula's food at a stage
    Assay(Box<assay::Args>),
    /// Solve a formula for a target with the fewest changes
    Adjust(Box<adjust::Args>),
    /// Take in a recipe from outside: a page or pasted lines, every doubt a question
    TakeIn(Box<take_in::Args>),
    /// Follow a pot on the heat: its middle, its wall, how time grows with the batch
    Pot(pot::Args),
    /// Describe your kitchen, question by question
    Setup(setup::Args),
    /// Make an invented kitchen and plan its order
    Demo(demo::Args),
    /// Read a temperature logger's file
    Readings(Box<readings::Args>),
    /// Heat one jar on the bench, by two solvers
    Jar(jar::Args),
    /// Work out how fast a vessel of food cools or freezes, and what its glass goes through
    Cool(cool::Args),
    /// Compare the program with the outside world
    Checks(checks::Args),
    /// Work out what a solution is: pH, water activity, boiling and freezing point, and more
    Brine(brine::Args),
    /// Follow a bath or steam canner load by load: come-up, boil lost, water gone, burner setting
    Bath(bath::Args),
    /// Open the planning pages in a browser
    Serve(serve::Args),
    /// Write everything the pages keep into a folder, as TOML files
    CarryOut(carry::OutArgs),
    /// Keep the TOML files of a folder in the pages
    CarryIn(carry::InArgs),
    /// Show an equation behind the numbers or a source
    Why(why::Args),
}

/// Reads the command line and runs the command.
pub fn run() -> Exit {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are asked for; everything else is bad input. A closed pipe is
            // no fault of either.
            let _ = error.print();
            return if error.use_stderr() { Exit::BadInput } else { Exit::Done };
        }
    };
    let ending = match &cli.command {
        None => out::say(SHORT_HELP).map(|()| Exit::Done),
        Some(Command::Plan(args)) => plan::run(args),
        Some(Command::Assay(args)) => assay::run(args),
        Some(Command::Adjust(args)) => adjust::run(args),
        Some(Command::TakeIn(args)) => take_in::run(args),
        Some(Command::Pot(args)) => pot::run(args),
        Some(Command::Setup(args)) => setup::run(args),
        Some(Command::Demo(args)) => demo::run(args),
        Some(Command::Readings(args)) => readings::run(args),
        Some(Command::Jar(args)) => jar::run(args),
        Some(Command::Cool(args)) => cool::run(args),
        Some(Command::Checks(args)) => checks::run(args),
        Some(Command::Brine(args)) => brine::run(args),
        Some(Command::Bath(args)) => bath::run(args),
        Some(Command::Serve(args)) => serve::run(args),
        Some(Command::CarryOut(args)) => carry::carry_out(args),
        Some(Command::CarryIn(args)) => carry::carry_in(args),
        Some(Command::Why(args)) => why::run(args),
    };
    ending.unwrap_or_else(|stop: Stop| {
        out::complain(&problem_report::draw(&stop, out::coloured()));
        stop.exit()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_well_formed() {
        Cli::command().debug_assert();
    }
}
