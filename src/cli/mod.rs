//! The command line: arguments in, exit code out. One file a command; files, the terminal
//! and nothing else are touched in [`io`].
//!
//! Exit codes: 0 fine; 1 the design (or text) has faults; 2 the work could not be done:
//! a file that cannot be read or written, or a command that makes no sense.

mod correct;
mod errata;
mod explain;
mod grade;
pub mod io;
mod load;
mod new;
mod proof;
mod publish;
mod table;
mod theme;

use crate::design::Design;
use crate::diag::Finding;
use crate::written::tree::Terms;
use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Grades, works, proves and prints crochet hat patterns from one design file.
#[derive(Debug, Parser)]
#[command(
    name = "brimwright",
    version,
    after_help = "Exit codes: 0 fine, 1 the design has faults, 2 the work could not be done."
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// Terminal colours.
    #[arg(long, global = true, value_enum, default_value_t, value_name = "WHEN")]
    colour: io::Colour,
    /// Say nothing but faults and cautions.
    #[arg(long, short, global = true)]
    quiet: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// List the starter designs, or write a commented copy of one.
    New(new::New),
    /// Work every stitch of every size and report everything that is wrong.
    Proof(proof::Proof),
    /// Show every graded number in every size.
    Grade(grade::Grade),
    /// Prove a design and print its booklet.
    Publish(publish::Publish),
    /// Print copies for testers, and blank cards to send back.
    Table(table::Table),
    /// Correct a design's gauge from its testers' cards.
    Correct(correct::Correct),
    /// Compare two editions of a design: an errata sheet.
    Errata(errata::Errata),
    /// Print the page of a finding's code: what it checks, why, examples.
    Explain(explain::Explain),
}

/// Stitch names by country.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Words {
    /// Single crochet, double crochet, skip.
    Us,
    /// Double crochet, treble, miss.
    Uk,
}

impl From<Words> for Terms {
    fn from(w: Words) -> Terms {
        match w {
            Words::Us => Terms::Us,
            Words::Uk => Terms::Uk,
        }
    }
}

/// The position of a size given on the command line.
fn size_position(design: &Design, id: &str) -> Result<usize, Box<Finding>> {
    design.size(id).map(|(i, _)| i).ok_or_else(|| {
        let known: Vec<&str> = design.sizes.iter().map(|s| s.id.as_str()).collect();
        let fault = Finding::fault("usage", format!("this design has no size `{id}`"));
        Box::new(fault.help(format!("its sizes are {}", known.join(", "))))
    })
}

/// How a command ended.
enum End {
    /// All is well.
    Fine,
    /// What was read has faults.
    Faults,
    /// The work could not be done.
    Failed,
}

/// Why a command ended early: what to report, and how it ends.
type Failure = (Vec<Finding>, End);

/// How a command ended, once what stopped it has been reported.
fn ended(desk: &io::Desk, result: Result<End, Failure>) -> End {
    match result {
        Ok(end) => end,
        Err((findings, end)) => {
            desk.report(&findings);
            end
        }
    }
}

/// Runs the program on the process's own arguments.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let mut desk =
        io::Desk { colour: arguments.colour, quiet: arguments.quiet, ..io::Desk::default() };
    let end = match arguments.command {
        Command::New(c) => c.run(&mut desk),
        Command::Proof(c) => c.run(&mut desk),
        Command::Grade(c) => c.run(&mut desk),
        Command::Publish(c) => c.run(&mut desk),
        Command::Table(c) => c.run(&mut desk),
        Command::Correct(c) => c.run(&mut desk),
        Command::Errata(c) => c.run(&mut desk),
        Command::Explain(c) => c.run(&mut desk),
    };
    match end {
        End::Fine => ExitCode::SUCCESS,
        End::Faults => ExitCode::from(1),
        End::Failed => ExitCode::from(2),
    }
}
