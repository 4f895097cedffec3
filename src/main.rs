//! The program: parse the arguments, run the command, leave with its exit code.

use std::process::ExitCode;

use clap::Parser;
use slopepack::cli::Cli;
use slopepack::commands;

fn main() -> ExitCode {
    commands::run(&Cli::parse())
}
