//! `completions` and `manual`: what a shell and a reader at a terminal are given, from the command line itself.

use super::write_out;
use crate::cli::{self, CompletionsArgs};
use crate::problem::Failure;

/// Writes the completions of a shell to standard output.
pub(super) fn completions(args: &CompletionsArgs) -> Result<(), Failure> {
    let mut written = Vec::new();
    clap_complete::generate(args.shell, &mut shown(), "slopepack", &mut written);
    write_out(&String::from_utf8_lossy(&written))
}

/// The command line without what the program starts by itself.
fn shown() -> clap::Command {
    let whole = cli::command();
    let commands = whole.get_subcommands().filter(|command| !command.is_hide_set()).cloned();
    let shown = clap::Command::new("slopepack")
        .version(env!("CARGO_PKG_VERSION"))
        .args(whole.get_arguments().cloned())
        .subcommands(commands);
    shown.disable_help_flag(true).disable_version_flag(true).disable_help_subcommand(true)
}

/// Writes the manual page to standard output.
pub(super) fn manual() -> Result<(), Failure> {
    let mut written = Vec::new();
    let page = clap_mangen::Man::new(cli::command());
    page.render(&mut written).map_err(|why| Failure::Template(format!("the manual page: {why}")))?;
    write_out(&String::from_utf8_lossy(&written))
}
