//! The command line: arguments in, exit code out. One file a command; files, the terminal
//! and nothing else are touched in [`io`].
//!
//! Exit codes: 0 fine; 1 the design (or text) has faults; 2 the work could not be done:
//! a file that cannot be read or written, or a command that makes no sense.

mod explain;
pub mod io;

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
    /// Print the page of a finding's code: what it checks, why, examples.
    Explain(explain::Explain),
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

/// Runs the program on the process's own arguments.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let mut desk =
        io::Desk { colour: arguments.colour, quiet: arguments.quiet, ..io::Desk::default() };
    let end = match arguments.command {
        Command::Explain(c) => c.run(&mut desk),
    };
    match end {
        End::Fine => ExitCode::SUCCESS,
        End::Faults => ExitCode::from(1),
        End::Failed => ExitCode::from(2),
    }
}
