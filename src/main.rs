//! The program: parse the arguments, run the command, leave with its exit code.

use std::process::ExitCode;

use clap::FromArgMatches;
use slopepack::cli::{self, Cli};
use slopepack::commands;

fn main() -> ExitCode {
    match cli::command().try_get_matches().and_then(|given| Cli::from_arg_matches(&given)) {
        Ok(cli) => commands::run(&cli),
        Err(why) => commands::wrong(&why),
    }
}
